//! What the papers say: text of both, and drawings, read before they were accepted.

mod fixtures;

use fixtures::{main_panel, one_column, sound_42, split_bus, three_phase};
use model::advice::{ChoiceKind, FiredRule, Standing, Urgency};
use model::evidence::{ClampPlace, CurrentReading, Observation, Observed, VoltageReading};
use model::offer::Quote;
use model::place::Place;
use model::{Current, FactId, Leg, Voltage};
use papers::{Audience, Paper, owner_letter, panel_svg, technical_record};
use unicode_width::UnicodeWidthStr;

#[test]
fn letter_of_a_split_bus_panel() {
    let (job, assessment) = split_bus();
    insta::assert_snapshot!(owner_letter(&job, &assessment).text());
}

#[test]
fn letter_of_a_sound_panel() {
    let (job, assessment) = sound_42();
    insta::assert_snapshot!(owner_letter(&job, &assessment).text());
}

#[test]
fn letter_of_a_three_phase_panel() {
    let (job, assessment) = three_phase();
    insta::assert_snapshot!(owner_letter(&job, &assessment).text());
}

/// The words of the rule that makes it so urgent, not those of one that asks for less.
#[test]
fn the_letter_tells_why_it_presses() {
    let (job, mut assessment) = sound_42();
    let rule = |urgency: Urgency, owner: Option<&str>| FiredRule {
        rule: "invented".to_owned(),
        urgency,
        because: "600 mV over the pole".to_owned(),
        reason: "volts lost are heat".to_owned(),
        owner: owner.map(str::to_owned),
    };
    assert!(!flat(&owner_letter(&job, &assessment)).contains("Why so soon"));
    assessment.verdict.urgency = Urgency::Within72Hours;
    assessment.verdict.rules = vec![
        rule(Urgency::Within72Hours, None),
        rule(Urgency::Within72Hours, Some("a measurement says that power turns into heat there")),
        rule(Urgency::ThisMonth, Some("a buzz was heard")),
    ];
    let letter = flat(&owner_letter(&job, &assessment));
    assert!(letter.contains("Why so soon: a measurement says that power turns into heat there."));
    assert!(!letter.contains("a buzz was heard"));
    // Before anything that might be taken for what it explains.
    let [why, found] = ["Why so soon", "No connection that was checked"].map(|words| letter.find(words));
    assert!(why.is_some() && (found.is_none() || why < found), "{letter}");
}

#[test]
fn record_of_a_split_bus_panel() {
    let (job, assessment) = split_bus();
    insta::assert_snapshot!(technical_record(&job, &assessment).text());
}

#[test]
fn record_of_two_panels() {
    let (job, assessment) = one_column();
    insta::assert_snapshot!(technical_record(&job, &assessment).text());
}

#[test]
fn drawings() {
    let (job, assessment) = one_column();
    let svg = panel_svg(&job, Some(&assessment), &main_panel(), Audience::Owner);
    insta::assert_snapshot!("drawing_one_column_owner", svg);
    let svg = panel_svg(&job, None, &model::PanelId::new("workshop"), Audience::Technician);
    insta::assert_snapshot!("drawing_sub_panel_without_findings", svg);
    let (job, assessment) = split_bus();
    let svg = panel_svg(&job, Some(&assessment), &main_panel(), Audience::Technician);
    insta::assert_snapshot!("drawing_split_bus_technician", svg);
}

/// The words of a paper in one line.
fn flat(paper: &Paper) -> String {
    let text = paper.text();
    let lines: Vec<&str> = text.lines().map(|line| line.trim_start_matches(['|', '-', ' '])).collect();
    lines.join(" ")
}

/// All strings of a paper, one after the other.
fn data(paper: &Paper) -> String {
    serde_json::to_string(&paper.body).expect("a page tree is data")
}

fn papers() -> Vec<Paper> {
    [split_bus(), sound_42(), one_column(), three_phase()]
        .iter()
        .flat_map(|(job, assessment)| [owner_letter(job, assessment), technical_record(job, assessment)])
        .collect()
}

#[test]
fn text_forms_are_78_columns_wide() {
    for paper in papers() {
        for line in paper.text().lines() {
            assert!(line.width() <= 78, "{}: {line}", paper.file_name);
        }
    }
}

#[test]
fn no_place_of_a_phrase_stays_empty() {
    for paper in papers() {
        for (idx, part) in paper.text().split('{').enumerate() {
            assert!(idx == 0, "{}: {{{}", paper.file_name, part.chars().take(30).collect::<String>());
        }
    }
    for (job, assessment) in [split_bus(), sound_42(), one_column(), three_phase()] {
        for audience in [Audience::Owner, Audience::Technician] {
            assert!(!panel_svg(&job, Some(&assessment), &main_panel(), audience).contains('{'));
        }
    }
}

#[test]
fn the_four_classes_stand_in_order() {
    for (job, assessment) in [split_bus(), sound_42(), one_column(), three_phase()] {
        let text = owner_letter(&job, &assessment).text();
        let at = |title: &str| text.find(title).unwrap_or_else(|| panic!("`{title}` is missing"));
        let places =
            [at("What was seen"), at("What was measured"), at("What we infer"), at("What we do not know")];
        assert!(places.is_sorted(), "{places:?}");
    }
}

#[test]
fn every_fact_note_and_working_reaches_the_record() {
    let (job, assessment) = split_bus();
    // words only, so that line breaks and columns do not matter
    let text = technical_record(&job, &assessment).text();
    let letters = |text: &str| text.chars().filter(|mark| mark.is_alphanumeric()).collect::<String>();
    for observation in &job.observations {
        assert!(text.contains(observation.fact.as_str()), "{}", observation.fact);
    }
    // a fact is met twice at least: in its table by number, in the list of names
    assert!(text.matches("F12").count() > 1);
    for fact in ["f01", "f02", "f03", "f40", "f41", "f42"] {
        assert!(text.contains(fact), "{fact}");
    }
    let paper = technical_record(&job, &assessment);
    let data = letters(&data(&paper));
    for note in &assessment.notes {
        assert!(data.contains(&letters(&note.text)), "{}", note.text);
    }
    for working in &assessment.workings {
        assert!(data.contains(&letters(&working.validity)), "{}", working.title);
    }
    for rule in &assessment.verdict.rules {
        assert!(data.contains(&letters(&rule.because)), "{}", rule.rule);
    }
}

#[test]
fn an_invented_job_is_marked_and_a_real_one_is_not() {
    let (job, assessment) = split_bus();
    assert!(owner_letter(&job, &assessment).text().contains("INVENTED EXAMPLE"));
    assert!(technical_record(&job, &assessment).text().contains("INVENTED EXAMPLE"));
    let (job, assessment) = one_column();
    for paper in [owner_letter(&job, &assessment), technical_record(&job, &assessment)] {
        assert!(!paper.text().to_lowercase().contains("invented example"));
    }
}

/// However long the names of the circuits are: what is to be switched off is named to the end, names give way.
#[test]
fn the_list_of_what_is_off_is_never_cut() {
    let (mut job, mut assessment) = sound_42();
    let long =
        "chest freezer in the garage and the door opener and everything on the wall behind the workbench";
    let mut named = Vec::new();
    for breaker in &mut job.installation.panels[0].breakers {
        let Some(circuit) = &mut breaker.circuit else { continue };
        circuit.feeds = long.to_owned();
        let spaces: Vec<String> = breaker.spaces.iter().map(ToString::to_string).collect();
        named.push(format!("breaker {}", spaces.join("/")));
    }
    for n in [3, named.len()] {
        let list: Vec<String> = named[..n].iter().map(|name| format!("{name} ({long})")).collect();
        let told = format!("The breaker is switched off. It means {}.", list.join(", "));
        let off = fixtures::judgement::choice(
            ChoiceKind::MakeSafe,
            "off",
            Standing::Recommended,
            &told,
            None,
            None,
        );
        assessment.options = vec![off];
        let text = data(&owner_letter(&job, &assessment));
        // Drawings tell names in full: only the choices are looked at.
        let cell = text.split("Your choices").nth(1).expect("the choices are there");
        for name in &named[..n] {
            assert!(cell.contains(name), "{name} is not in {cell}");
        }
        assert!(!cell.contains("behind the workbench"), "{cell}");
    }
    // The bracket behind a name that was cut is closed.
    let text = flat(&owner_letter(&job, &assessment));
    assert!(!text.contains("…:"), "{text}");
}

/// A quote that was given for this house counts before the usual range of the shop; each says which it is.
#[test]
fn the_letter_tells_the_quote_and_calls_the_rest_usual() {
    let (mut job, assessment) = split_bus();
    let usual = flat(&owner_letter(&job, &assessment));
    assert!(usual.contains("$2,500") && !usual.contains("Quoted on"), "{usual}");
    job.replacement.quotes.push(Quote {
        fact: FactId::new("quote"),
        at: fixtures::at(15, 0),
        option: ChoiceKind::ReplacePanel.word().to_owned(),
        with: Vec::new(),
        range_usd: (3_780, 4_400, 5_050),
        valid_until: fixtures::DAY,
        book: "invented".to_owned(),
        words: String::new(),
    });
    let quoted = data(&owner_letter(&job, &assessment));
    assert!(quoted.contains("Quoted on October 14, 2026: $3,780 to $5,050"), "{quoted}");
    assert!(!quoted.contains("$2,500") && quoted.contains("$1,800"), "{quoted}");
}

/// What another reading contradicts or a later one replaced is not told as a fact; that it was left out is.
#[test]
fn a_contradicted_reading_is_no_fact_for_the_owner() {
    let (mut job, mut assessment) = split_bus();
    let first = job.observations[0].clone();
    for (fact, amps) in [("typed", 250.0), ("again", 0.0)] {
        let what = Observed::Current(CurrentReading {
            place: ClampPlace::Pole(fixtures::slot("5")),
            value: Current::from_a(amps),
            instrument: None,
            state: "saw on".to_owned(),
        });
        job.observations.push(Observation { what, fact: FactId::new(fact), ..first.clone() });
    }
    let told = flat(&owner_letter(&job, &assessment));
    assert!(told.contains("carried 250 A"), "{told}");
    assessment.set_against.contradicted = vec![FactId::new("typed"), FactId::new("again")];
    let told = flat(&owner_letter(&job, &assessment));
    assert!(!told.contains("250 A"), "{told}");
    assert!(told.contains("Left out here: 2 readings that contradict each other."), "{told}");
}

/// A panel behind another one's breaker has legs of its own: both are told, each by its panel.
#[test]
fn the_legs_of_two_panels_in_one_state_are_told_apart() {
    let (mut job, assessment) = one_column();
    let first = split_bus().0.observations[0].clone();
    let workshop = model::PanelId::new("workshop");
    for (panel, volts) in [(main_panel(), [120.0, 121.0]), (workshop, [110.0, 130.0])] {
        for (leg, volts) in [Leg::A, Leg::B].into_iter().zip(volts) {
            let (from, to) = (Place::Lug(panel.clone(), leg), Place::NeutralBar(panel.clone()));
            let value = Voltage::from_v(volts);
            let what = Observed::Voltage(VoltageReading {
                from,
                to,
                value,
                instrument: None,
                state: "saw on".into(),
            });
            job.observations.push(Observation { what, ..first.clone() });
        }
    }
    let text = flat(&owner_letter(&job, &assessment));
    for told in
        ["the supply was side A 120 V and side B 121 V", "panel workshop was side A 110 V and side B 130 V"]
    {
        assert!(text.contains(told), "{told} is not in {text}");
    }
}

#[test]
fn doing_nothing_is_always_a_choice() {
    for (mut job, mut assessment) in [split_bus(), sound_42(), three_phase()] {
        assessment.options.clear();
        job.complaints.clear();
        assert!(data(&owner_letter(&job, &assessment)).contains("Do nothing for now"));
    }
}

#[test]
fn an_owner_is_never_told_to_touch_more_than_a_handle() {
    for (job, assessment) in [split_bus(), sound_42(), one_column(), three_phase()] {
        let text = flat(&owner_letter(&job, &assessment));
        for needed in ["Call 911 from outside", "Do not touch the panel", "Never take its cover off"] {
            assert!(text.contains(needed), "{needed}");
        }
        assert!(!text.contains("Face temperature of 6 and 8"), "how a check is done is not for an owner");
        for forbidden in ["open the panel", "remove the cover", "take the cover off.", "pull the breaker"] {
            let lower = text.to_lowercase().replace("never take its cover off.", "");
            assert!(!lower.contains(forbidden), "{forbidden}");
        }
    }
}

/// Flesch–Kincaid grade level. Source: J. P. Kincaid et al., Derivation of new readability formulas for Navy
/// enlisted personnel, Research Branch Report 8-75, 1975: 0.39 words/sentences + 11.8 syllables/words − 15.59
/// (formula from memory). Syllables are counted as groups of vowels, a silent e at the end left out.
fn grade(text: &str) -> f64 {
    let sentences = text.split(['.', '!', '?', ':']).filter(|part| part.trim().len() > 2).count();
    let words: Vec<&str> = text
        .split(|mark: char| !mark.is_alphabetic() && mark != '\'')
        .filter(|word| !word.is_empty())
        .collect();
    let syllables: usize = words.iter().map(|word| syllables(&word.to_lowercase())).sum();
    0.39 * words.len() as f64 / sentences as f64 + 11.8 * syllables as f64 / words.len() as f64 - 15.59
}

fn syllables(word: &str) -> usize {
    let is_vowel = |mark: char| "aeiouy".contains(mark);
    let mut groups = 0;
    let mut before = false;
    for mark in word.chars() {
        groups += usize::from(is_vowel(mark) && !before);
        before = is_vowel(mark);
    }
    let silent = word.ends_with('e') && !word.ends_with("le") && 1 < groups;
    (groups - usize::from(silent)).max(1)
}

#[test]
fn the_letter_reads_at_about_grade_eight() {
    // worked by hand: 6 words, 1 sentence, 7 syllables
    let expected = 0.39 * 6.0 + 11.8 * 7.0 / 6.0 - 15.59;
    assert!((grade("The panel is warm at noon.") - expected).abs() < 1e-9);
    for (job, assessment) in [split_bus(), sound_42(), three_phase()] {
        let text = owner_letter(&job, &assessment).text();
        // the drawing and the rules of tables are no sentences
        let lines: Vec<&str> = text
            .lines()
            .filter(|line| !line.contains("=A=") && !line.contains("=B=") && !line.contains("=C="))
            .filter(|line| !line.starts_with("--") && !line.starts_with("[X]"))
            .map(|line| line.trim_start_matches(['-', '|', ' ']))
            .collect();
        let found = grade(&lines.join(" "));
        assert!(found <= 8.5, "grade {found:.1}");
    }
}
