//! A record that is still being written, or that contradicts itself, can be judged and printed as far as it goes.

use model::Date;
use record::{Fact, Settled, read_job, settle};
use study::{Press, Settings, assess, panel_drawing, paper, paper_names};

const TODAY: Date = Date::constant(2026, 11, 25);

/// Invented.
const FILE: &str = r#"
panelwright = 1

[job]
id = "unfinished"
opened = 2026-03-04
invented = true
exposure = "cover-off"

[[panel]]
id = "main"
spaces = 12
main = "split"

[[panel.section]]
id = "upper"
rows = [1, 3]
fed_by = "lugs"

[[panel.section]]
id = "lower"
rows = [4, 6]
fed_by = 1

[[panel.breaker]]
space = 1
poles = 2
rating_a = 60

[[panel.breaker]]
space = 5
rating_a = 20

[[panel.breaker]]
space = 7
rating_a = 20
partner = 9

[[panel.breaker]]
space = 9
rating_a = 20
partner = 7

[[panel.breaker]]
space = 2
poles = 2
rating_a = 30

[[panel]]
id = "garage"
spaces = 6
main = "feeder"
fed_by = "main/2"

[[panel.breaker]]
space = 1
rating_a = 15

[[state]]
name = "all on"
at = 2026-03-04T14:30
unloaded = ["main/9"]

[[face]]
space = "main/5"
c = 61
at = 2026-03-04T14:31
state = "all on"

[[face]]
space = "main/7"
c = 33
at = 2026-03-04T14:31
state = "all on"

[[clamp]]
place = "main/5"
amps = 12
state = "all on"

[[complaint]]
kind = "trips"
space = "main/5"
words = "goes off"
"#;

fn facts() -> Vec<Fact> {
    let reading = read_job("job.toml", FILE, TODAY);
    assert!(reading.job.is_some(), "{:#?}", reading.problems);
    reading.facts
}

/// Judges and prints what was settled, if there is a panel.
fn judged(settled: &Settled) -> bool {
    let job = settled.job.as_ref().expect("the job is opened");
    let settings = Settings { n_sweeps: 20, ..Settings::on(TODAY) };
    let Ok(assessment) = assess(job, &settings) else {
        assert!(job.installation.panels.is_empty(), "only a job without a panel cannot be judged");
        return false;
    };
    // The typesetter is left out: it sets what the text holds, and takes seconds for each.
    let press = Press::new();
    for name in paper_names(job, &assessment).iter().filter(|name| !name.ends_with(".pdf")) {
        let made = paper(job, &assessment, &press, None, name).expect("a paper");
        assert!(made.is_some_and(|made| !made.bytes.is_empty()), "{name}");
    }
    for panel in &job.installation.panels {
        assert!(panel_drawing(job, None, &panel.id).starts_with("<svg"));
    }
    true
}

#[test]
fn without_any_one_fact_it_is_judged_as_far_as_it_goes() {
    let all = facts();
    assert!(judged(&settle(&all, Some(TODAY))));
    for idx in 0..all.len() {
        if all[idx].body.kind() == "job" {
            continue;
        }
        let mut facts = all.clone();
        facts.remove(idx);
        assert!(judged(&settle(&facts, Some(TODAY))), "without {}", all[idx].id());
    }
}

#[test]
fn fact_by_fact_it_grows_from_nothing() {
    let all = facts();
    let mut n_judged = 0;
    for n in 1..=all.len() {
        let settled = settle(&all[..n], Some(TODAY));
        n_judged += usize::from(judged(&settled));
        assert_eq!(settled.replaced.len(), 0);
    }
    assert!(n_judged + 3 >= all.len(), "{n_judged} of {}", all.len());
}
