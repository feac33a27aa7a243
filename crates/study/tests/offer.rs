//! The demo has its prices on its own day; price and pull list of its panel agree on the splices; what other jobs took changes
//! the day, and a job does not teach itself.

use model::Date;
use model::advice::ChoiceKind;
use model::job::Job;
use std::fmt::Write as _;
use study::{OutageAsk, Past, PriceAsk, PriceBook, Shop};

const CASE: &str = include_str!("../../../cases/1-burnt-stabs.toml");
const TODAY: Date = Date::constant(2026, 11, 26);

fn job(text: &str) -> Job {
    record::read_job("case.toml", text, TODAY).job.expect("the case has no errors")
}

#[test]
fn the_splices_of_the_price_are_those_of_the_pull_list() {
    let job = job(CASE);
    let (lines, _) = study::install::pull_lines(&job);
    let foretold = lines.iter().filter(|line| line.splice == Some(true)).count();
    assert!(0 < foretold, "the demo has short conductors");
    let parts = study::planned_parts(&job, ChoiceKind::ReplacePanel).expect("it is designed");
    let splices = parts.iter().filter(|part| part.part == "splice-connector");
    assert_eq!(splices.map(|part| part.quantity).sum::<u32>() as usize, foretold);
}

/// The day of the first case has prices; on a day before the book's first there are none, and it says for want of what.
#[test]
fn a_choice_has_a_price_or_the_reason_why_not() {
    let (job, book, past) = (job(CASE), PriceBook::demo(), Past::default());
    let of = |day: Date| {
        let ask = PriceAsk {
            panel: None,
            spaces: None,
            book: &book,
            past: &past,
            law: None,
            day,
            seed: 1,
            n_draws: 200,
        };
        study::price_options(&job, &ask).expect("it is designed")
    };
    let says =
        |day: Date| of(day).notes.iter().any(|note| note.starts_with("The price book has no price on"));
    let today = Date::constant(2025, 11, 24);
    assert!(of(today).options.iter().all(|option| option.without.is_ok()) && !says(today));
    let before = Date::constant(2025, 10, 31);
    assert!(of(before).options.iter().all(|option| option.without.is_err()) && says(before));
}

/// The case under another name, with a step that took so many minutes of two people.
fn other(name: &str, minutes: u32) -> Job {
    let mut text = CASE.replace("Q-0117", name);
    for (done, minute) in [("false", 0), ("true", minutes)] {
        let (hour, minute) = (8 + minute / 60, minute % 60);
        let _ = write!(
            text,
            "\n[[tick]]\nstep = \"trace\"\ndone = {done}\nat = 2026-03-10T{hour:02}:{minute:02}\n"
        );
    }
    job(&text)
}

#[test]
fn other_jobs_change_the_day_and_a_job_does_not_teach_itself() {
    let own = job(CASE);
    let minutes = |past: Past, job: &Job| {
        let shop = Shop { past, ..Shop::default() };
        let mut ask = OutageAsk::booked(job, &shop, None, TODAY);
        ask.n_runs = 50;
        let plan = study::plan_outage(job, &ask).expect("it is planned");
        let task = plan.day.tasks.iter().find(|task| task.id == "trace").expect("it is traced").minutes;
        (task.usual, plan.steps.iter().find(|one| one.id == "trace").map(|one| one.count.n))
    };
    let past = |names: [&str; 3]| Past {
        jobs: names.iter().filter_map(|name| study::past_job(&other(name, 160))).collect(),
    };
    let (listed, none) = minutes(Past::default(), &own);
    assert_eq!(none, None);
    // Sixteen circuits at five minutes are planned, twice that was taken.
    let (taught, n) = minutes(past(["A", "B", "C"]), &own);
    assert_eq!((listed, n), (80.0, Some(3)));
    assert!(listed * 1.1 < taught && taught < 160.0, "between the list and the counts: {taught}");
    let (same, n) = minutes(past(["A", "B", "Q-0117"]), &own);
    assert_eq!((same, n), (listed, Some(2)), "two others are counted and too few");
}

/// Cards as a shop may have them: asked a year and more before, of a town of the invented case.
const CARDS: &str = r#"
[[card]]
id = "power"
kind = "utility"
name = "Power of the test"
towns = ["Quenmarsh"]
source = "the desk, by telephone"
told = "2025-11-25"
cut_from = "09:00"
cut_to = "11:00"
notice_days = 3
reconnect = "later-day"
fee_usd = "64.00"

[[card]]
id = "permits"
kind = "permit"
name = "Office of the test"
towns = ["Quenmarsh"]
source = "the counter"
told = "2026-11-02"
notice_days = 5
hours_from = "08:00"
hours_to = "12:00"
"#;

#[test]
fn the_cards_of_a_town_drive_what_is_not_booked_and_say_who_told_them() {
    use study::cards::Cards;
    use study::outage::Arrival;
    let own = job(CASE);
    let plan = |cards: Cards, booking: study::Booking, date: Option<Date>| {
        let shop = Shop { cards, ..Shop::default() };
        let ask = OutageAsk { n_runs: 200, booking, date, ..OutageAsk::booked(&own, &shop, None, TODAY) };
        study::plan_outage(&own, &ask).expect("it is planned")
    };
    let open = study::Booking::default();
    let without = plan(Cards::default(), open.clone(), None);
    assert!(without.rules.is_empty() && without.notes.iter().any(|note| note.contains("assumed")));
    let cards = Cards::read(CARDS).expect("two cards");
    // 2026-11-26 is a Thursday: the permit, of five working days, is the later of the two.
    let with = plan(cards.clone(), open.clone(), None);
    let arrival = |plan: &study::OutagePlan, visit: &str| {
        let visits = plan.day.tasks.iter().filter_map(|task| task.visit.clone());
        visits.filter(|one| one.id == visit).map(|one| one.arrival).next().expect("somebody comes")
    };
    assert!(
        matches!(arrival(&with, "cut"), Arrival::Booked { from, to, .. } if (from, to) == (540.0, 660.0))
    );
    assert!(matches!(arrival(&with, "inspector"), Arrival::Called { latest, .. } if latest == 720.0));
    assert!(1.0 <= with.outlook.not_that_day(), "who gives back another day gives nothing back that day");
    assert!(with.notes.iter().any(|note| note.contains("2026-12-03")), "{:?}", with.notes);
    assert!(with.notes.iter().all(|note| !note.contains("assumed")), "{:?}", with.notes);
    let cut = &with.rules[0];
    assert!(
        cut.used && cut.old && cut.origin().contains("2025-11-25: the desk, by telephone; old"),
        "{cut:?}"
    );
    assert!(
        with.notes
            .iter()
            .any(|note| note.starts_with("Older than a year: the address cards of Power of the test."))
    );
    // A booking counts before a card, and too late is said.
    let booked = study::Booking { cut: Some((480.0, 540.0)), reconnect_latest: Some(1080.0), ..open };
    let late = plan(cards, booked, Some(Date::constant(2026, 11, 30)));
    assert!(matches!(arrival(&late, "cut"), Arrival::Booked { from, .. } if from == 480.0));
    assert!(late.rules.iter().all(|rule| !rule.says.starts_with("Cuts") || !rule.used));
    assert!(late.notes.iter().any(|note| note.contains("had to be asked by 2026-11-25")), "{:?}", late.notes);
}

/// Five other jobs used more connectors than the list says, and a gutter that it does not know.
#[test]
fn parts_that_other_jobs_used_change_the_next_list_and_price() {
    let used = |name: &str| {
        let mut text = CASE.replace("Q-0117", name);
        for (part, count) in [("cable-connector", 32), ("rod", 1)] {
            let _ = write!(text, "\n[[used]]\npart = \"{part}\"\ncount = {count}\nat = 2026-03-10T15:00\n");
        }
        job(&text)
    };
    let jobs = ["Q-0201", "Q-0202", "Q-0203", "Q-0204", "Q-0117"].map(used);
    let past = Past { jobs: jobs.iter().filter_map(study::past_job).collect() };
    assert_eq!(past.jobs.len(), 5);
    let (own, book) = (job(CASE), PriceBook::demo());
    let of = |past: &Past| {
        let ask = PriceAsk {
            panel: None,
            spaces: None,
            book: &book,
            past,
            law: None,
            day: Date::constant(2025, 11, 24),
            seed: 1,
            n_draws: 200,
        };
        study::price_options(&own, &ask).expect("it is designed")
    };
    let connectors = |past: &Past| {
        let prices = of(past);
        let option =
            prices.options.into_iter().find(|one| one.kind == ChoiceKind::ReplacePanel).expect("there");
        let line = option.materials.into_iter().find(|line| line.part == "cable-connector").expect("planned");
        let mean = option.without.expect("it has a price").mean;
        (line.quantity, line.because, mean)
    };
    let (listed, _, price) = connectors(&Past::default());
    let (learned, because, dearer) = connectors(&past);
    // By hand: the job itself does not count; of 4 others (4 × n + 4 × 32) / (8 × n).
    let expected = f64::from(listed) * (4.0 * f64::from(listed) + 128.0) / (8.0 * f64::from(listed));
    assert_eq!(learned, expected.round() as u32);
    assert!(because.contains("4 jobs of the shop used 128 for"), "{because}");
    assert!(price < dearer, "{price:?} {dearer:?}");
    assert!(of(&past).notes.iter().any(|note| note.starts_with("Parts of a new panel: 2 were counted")));
}
