//! What is written reads back the same; the order and number of arrivals makes no difference to the fold.

use super::invented::{Dice, facts};
use super::{TODAY, told};
use proptest::prelude::*;
use record::{Fact, fold, read_job, write_facts, write_job};

fn numbers() -> impl Strategy<Value = Vec<u32>> {
    prop::collection::vec(any::<u32>(), 1..200)
}

fn sorted(mut facts: Vec<Fact>) -> Vec<Fact> {
    facts.sort_by(|a, b| a.id().cmp(b.id()));
    facts
}

/// A permutation of `n` things by a string of numbers.
fn shuffled<T: Clone>(things: &[T], numbers: &[u32]) -> Vec<T> {
    let mut order: Vec<usize> = (0..things.len()).collect();
    order.sort_by_key(|&idx| (numbers[idx % numbers.len()].rotate_left(idx as u32), idx));
    order.into_iter().map(|idx| things[idx].clone()).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 128, ..ProptestConfig::default() })]

    #[test]
    fn verif_facts_survive_a_job_file(numbers in numbers()) {
        let facts = facts(&mut Dice::new(&numbers));
        let job = fold(&facts).map_err(|problems| format!("{problems:#?}")).expect("facts that fit together");
        let text = write_facts(&facts).expect("they do");
        let reading = read_job("job.toml", &text, TODAY);
        prop_assert!(reading.job.is_some(), "{}\n{text}", told(&text));
        prop_assert_eq!(sorted(reading.facts), sorted(facts), "{}", text);
        prop_assert_eq!(reading.job.expect("just seen"), job, "{}", text);
    }

    #[test]
    fn verif_a_job_survives_a_job_file(numbers in numbers()) {
        let facts = facts(&mut Dice::new(&numbers));
        let job = fold(&facts).expect("facts that fit together");
        let text = write_job(&job);
        let reading = read_job("job.toml", &text, TODAY);
        prop_assert!(reading.job.is_some(), "{}\n{text}", told(&text));
        prop_assert_eq!(reading.job.expect("just seen"), job, "{}", text);
    }

    #[test]
    fn verif_facts_survive_storage(numbers in numbers()) {
        for fact in facts(&mut Dice::new(&numbers)) {
            prop_assert_eq!(Fact::from_json(&fact.to_json()).expect("just written"), fact);
        }
    }

    #[test]
    fn verif_the_fold_knows_no_order(
        numbers in numbers(),
        order in numbers(),
        cut in any::<prop::sample::Index>(),
    ) {
        let facts = facts(&mut Dice::new(&numbers));
        let job = fold(&facts).expect("facts that fit together");
        let mut arrived = shuffled(&facts, &order);
        // Some arrive twice, from two devices.
        let again: Vec<Fact> = arrived[..cut.index(arrived.len())].to_vec();
        arrived.extend(again);
        prop_assert_eq!(fold(&arrived).expect("the same facts"), job);
    }

    #[test]
    fn verif_no_live_reading_is_lost(numbers in numbers()) {
        let facts = facts(&mut Dice::new(&numbers));
        let job = fold(&facts).expect("facts that fit together");
        let superseded: Vec<_> = facts.iter().flat_map(|fact| &fact.supersedes).collect();
        let kept = |kinds: &[&str]| {
            facts
                .iter()
                .filter(|fact| !superseded.contains(&&fact.id) && kinds.contains(&fact.body.kind()))
                .count()
        };
        let seen = ["temperature", "touch", "clamp", "voltage", "drop", "trip", "sign"];
        prop_assert_eq!(job.observations.len(), kept(&seen));
        prop_assert_eq!(job.complaints.len(), kept(&["complaint"]));
        prop_assert_eq!(job.photos.len(), kept(&["photo"]));
        prop_assert_eq!(job.decisions.len(), kept(&["decision"]));
        prop_assert_eq!(job.work.len(), kept(&["work"]));
        prop_assert_eq!(job.openings.len(), kept(&["opening"]));
        prop_assert_eq!(job.calls.len(), kept(&["call"]));
        prop_assert_eq!(job.handles.len(), kept(&["handle"]));
        prop_assert_eq!(job.cuts.len(), kept(&["cut"]));
        prop_assert_eq!(job.sources.len(), kept(&["source"]));
        prop_assert_eq!(job.proofs.len(), kept(&["proof"]));
        prop_assert_eq!(job.interims.len(), kept(&["interim"]));
        prop_assert_eq!(job.replacement.circuits.len(), kept(&["circuit"]));
        prop_assert_eq!(job.replacement.surprises.len(), kept(&["surprise"]));
        prop_assert_eq!(job.replacement.arrangements.len(), kept(&["arrangement"]));
        prop_assert_eq!(job.replacement.quotes.len(), kept(&["quote"]));
        prop_assert_eq!(job.replacement.outages.len(), kept(&["outage"]));
        prop_assert_eq!(job.replacement.ticks.len(), kept(&["tick"]));
        prop_assert_eq!(job.replacement.used.len(), kept(&["used"]));
        prop_assert_eq!(job.promises.len(), kept(&["promise"]));
        prop_assert_eq!(job.kept.len(), kept(&["kept"]));
        let install =
            ["permit", "installed", "torqued", "energised", "verified", "shared-neutral", "tried", "card"];
        prop_assert_eq!(job.install.facts().count(), kept(&install));
        prop_assert_eq!(job.photos.iter().map(|photo| photo.pins.len()).sum::<usize>(), kept(&["pin"]));
    }

    #[test]
    fn verif_any_text_is_answered(text in "\\PC{0,300}") {
        let reading = read_job("job.toml", &text, TODAY);
        prop_assert!(reading.job.is_some() || !reading.problems.is_empty());
    }

    /// A good file with one piece cut out of it, or put in twice.
    #[test]
    fn verif_a_torn_file_is_answered(
        numbers in numbers(),
        from in any::<prop::sample::Index>(),
        length in 0_usize..60,
        twice in any::<bool>(),
    ) {
        let text = write_facts(&facts(&mut Dice::new(&numbers))).expect("facts that fit together");
        let chars: Vec<char> = text.chars().collect();
        let from = from.index(chars.len());
        let to = (from + length).min(chars.len());
        let torn: String = if twice {
            chars[..to].iter().chain(&chars[from..]).collect()
        } else {
            chars[..from].iter().chain(&chars[to..]).collect()
        };
        let reading = read_job("job.toml", &torn, TODAY);
        prop_assert_eq!(reading.job.is_some(), !reading.problems.iter().any(record::Problem::is_error));
        for problem in &reading.problems {
            prop_assert!(problem.span.end <= torn.len() && problem.line > 0);
            prop_assert!(record::render(problem, &torn).contains(problem.code));
        }
    }
}
