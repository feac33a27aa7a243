//! What the papers say, in text.

mod fixtures;

#[test]
fn letter_of_a_split_bus_panel() {
    let (job, assessment) = fixtures::split_bus();
    insta::assert_snapshot!(papers::owner_letter(&job, &assessment).text());
}

#[test]
fn record_of_a_split_bus_panel() {
    let (job, assessment) = fixtures::split_bus();
    insta::assert_snapshot!(papers::technical_record(&job, &assessment).text());
}
