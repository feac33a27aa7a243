//! Every option with its price, with and without what is contested, and its materials.

use super::design::{Contest, ContestStanding, NotDesigned, SHORT, contests, design, foretold, panel_of};
use crate::code::Law;
use model::Date;
use model::advice::ChoiceKind;
use model::id::Slot;
use model::job::Job;
use model::replacement::{Found, SurpriseAnswer};
use remedy::experience::Past;
use remedy::materials::{Design, Material};
use remedy::price::{Ask, NoPrice, Price, PriceBook, Risk, list_of, price, risks};
use remedy::work::{Contested, OPTIONS, option_leaves, option_words, steps};
use std::collections::BTreeSet;

/// What is asked for.
#[derive(Debug, Clone)]
pub struct PriceAsk<'a> {
    /// The panel; `None`: the only one, or the one that short references mean.
    pub panel: Option<&'a str>,
    /// Spaces of a new panel, where they are chosen.
    pub spaces: Option<u16>,
    /// The shop's prices.
    pub book: &'a PriceBook,
    /// What the shop's own jobs took and met.
    pub past: &'a Past,
    /// The code of the job, where it has one.
    pub law: Option<&'a Law<'a>>,
    /// The day whose prices count.
    pub day: Date,
    /// Seed.
    pub seed: u64,
    /// Draws for a range.
    pub n_draws: usize,
}

/// An option with its prices.
#[derive(Debug, Clone, PartialEq)]
pub struct OptionPrice {
    /// The option.
    pub kind: ChoiceKind,
    /// In words.
    pub title: &'static str,
    /// What it does not do.
    pub leaves: &'static str,
    /// Without what is contested.
    pub without: Result<Price, NoPrice>,
    /// With all of it; `None` where nothing is contested.
    pub with: Option<Result<Price, NoPrice>>,
    /// Items that only the second price holds.
    pub open: Vec<String>,
    /// Materials of the first price.
    pub materials: Vec<Material>,
}

/// Prices of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Prices {
    /// Options in order.
    pub options: Vec<OptionPrice>,
    /// What is contested, and how it stands.
    pub contests: Vec<Contest>,
    /// Whose price book.
    pub book: String,
    /// Is the book invented?
    pub invented_book: bool,
    /// Surprises about which nobody knows, of a new panel.
    pub unknown: Vec<String>,
    /// What is to be known of these prices.
    pub notes: Vec<String>,
}

/// Everything that an option is priced and planned from.
pub(super) struct Made {
    pub(super) design: Design,
    pub(super) risks: Vec<Risk>,
    pub(super) in_scope: Vec<Contested>,
    pub(super) open: Vec<Contested>,
}

pub(super) fn make(
    job: &Job,
    panel: Option<&str>,
    spaces: Option<u16>,
    option: ChoiceKind,
    contests: &[Contest],
    past: &Past,
    notes: &mut Vec<String>,
) -> Result<Made, NotDesigned> {
    let panel = panel_of(job, panel)?;
    let mut design = design(job, panel, option, spaces, notes)?;
    design.past = past.parts(option);
    let list = past.surprises(remedy::surprise::surprises().map_err(NotDesigned::List)?);
    let circuits = remedy::survey::circuits(job, &panel.id);
    let slots: Vec<_> = circuits.iter().map(|circuit| circuit.slot.clone()).collect();
    let mut standing = remedy::surprise::standing(job, &list, &slots);
    // Where the chosen layout tells whether a conductor reaches, nothing about it is left to chance.
    let foretold = foretold(job, panel, option, &circuits);
    let no = job.replacement.arrangement(&panel.id).map(|chosen| SurpriseAnswer {
        fact: chosen.fact.clone(),
        at: chosen.at,
        by: None,
        question: SHORT.to_owned(),
        slot: None,
        found: Found::No,
        carry: None,
        cost: Default::default(),
        words: String::new(),
    });
    let is_told = |slot: &Slot| foretold.iter().any(|(told, _)| told == slot);
    for one in standing.iter_mut().filter(|one| one.surprise.id == SHORT) {
        if one.slot.as_ref().is_some_and(is_told) {
            one.answer = no.as_ref();
        }
    }
    let mut risks = risks(option, &standing, design.n_circuits);
    // What is known to be short is counted as a splice.
    if 0 < design.n_splices {
        risks.iter_mut().filter(|risk| risk.id == SHORT).for_each(|risk| risk.n_yes = 0);
    }
    let of = |open: bool| {
        let wanted = contests.iter().filter(|one| match one.standing {
            ContestStanding::InScope(_) => !open,
            ContestStanding::Open(_) => open,
            ContestStanding::LeftOut(_) => false,
        });
        wanted.filter(|one| one.item.options.contains(&option)).map(|one| one.item.clone()).collect()
    };
    Ok(Made { design, risks, in_scope: of(false), open: of(true) })
}

/// Names of the contested items.
pub fn contested_names() -> Vec<String> {
    remedy::work::contested().into_iter().map(|item| item.id).collect()
}

/// The parts that an option asks for, by the record alone: what the list of its materials says without what is contested.
///
/// # Errors
/// See [`NotDesigned`].
pub fn planned_parts(job: &Job, option: ChoiceKind) -> Result<Vec<Material>, NotDesigned> {
    let made = make(job, None, None, option, &[], Past::NONE, &mut Vec::new())?;
    Ok(list_of(&made.design, &[]))
}

/// Prices every option.
///
/// # Errors
/// See [`NotDesigned`].
pub fn price_options(job: &Job, ask: &PriceAsk<'_>) -> Result<Prices, NotDesigned> {
    let past = ask.past.for_job(job.id.as_str(), job.invented);
    let (steps, contests) = (past.steps(steps()), contests(job, ask.law));
    let mut notes = Vec::new();
    let mut options = Vec::new();
    let mut unknown = Vec::new();
    for option in OPTIONS {
        let made = make(job, ask.panel, ask.spaces, option, &contests, &past, &mut notes)?;
        let priced = |with: &[Contested]| {
            price(&Ask {
                design: &made.design,
                steps: &steps,
                risks: &made.risks,
                with,
                done: &[],
                fees: option != ChoiceKind::MakeSafe,
                book: ask.book,
                day: ask.day,
                seed: ask.seed,
                n_draws: ask.n_draws,
            })
        };
        let both: Vec<Contested> = made.in_scope.iter().chain(&made.open).cloned().collect();
        if option == ChoiceKind::ReplacePanel {
            unknown.extend(
                made.risks
                    .iter()
                    .filter(|one| 0 < one.n_unknown + one.n_excluded)
                    .map(|one| one.words.clone()),
            );
        }
        options.push(OptionPrice {
            kind: option,
            title: option_words(option),
            leaves: option_leaves(option),
            without: priced(&made.in_scope),
            with: (!made.open.is_empty()).then(|| priced(&both)),
            open: made.open.iter().map(|item| item.words.clone()).collect(),
            materials: list_of(&made.design, &made.in_scope),
        });
    }
    let counted = past.parts(ChoiceKind::ReplacePanel);
    if !counted.is_empty() {
        let n_used = counted.iter().filter(|one| one.counts).count();
        let most = counted.iter().map(|one| one.n).max().unwrap_or(0);
        notes.push(format!(
            "Parts of a new panel: {} were counted on up to {most} jobs of the shop; {n_used} of them are counted often \
             enough to change the list.",
            counted.len()
        ));
    }
    let lacking: BTreeSet<&String> = options
        .iter()
        .flat_map(|one: &OptionPrice| [Some(&one.without), one.with.as_ref()])
        .flatten()
        .filter_map(|price| price.as_ref().err())
        .flat_map(|NoPrice::NotInTheBook { items, .. }| items)
        .collect();
    if !lacking.is_empty() {
        let items: Vec<&str> = lacking.into_iter().map(String::as_str).collect();
        notes.push(format!(
            "The price book has no price on {} for: {}. A choice that needs one has no price.",
            ask.day,
            items.join(", ")
        ));
    }
    if ask.book.invented() {
        let words = match ask.book.n_invented() {
            n if 0 < n && n < ask.book.lines().len() => format!(
                "{n} lines of the price book are still invented. These are no prices until the shop puts in its own."
            ),
            _ => "The price book is invented. These are no prices until the shop puts in its own.".to_owned(),
        };
        notes.insert(0, words);
    }
    let old = ask.book.old(ask.day);
    if !old.is_empty() {
        let items: Vec<String> = old.iter().map(|(item, from)| format!("{item} ({from})")).collect();
        notes.push(format!("Prices that are a year old or older: {}.", items.join(", ")));
    }
    notes.push(
        "What the utility charges for its own side, and what a town asks beyond the permit, is in no price."
            .to_owned(),
    );
    Ok(Prices {
        options,
        contests,
        book: ask.book.title.clone(),
        invented_book: ask.book.invented(),
        unknown,
        notes,
    })
}
