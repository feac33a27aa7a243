//! How full the wiring space of the new panel becomes with a layout, and whether the adopted code permits it.

use super::LaidOut;
use crate::code::Law;
use codebook::size::cabinet;
use model::conductor::WireSize;
use model::panel::Column;
use remedy::fill::{Areas, Bundle, Gutter, gutters};
use remedy::reach::Measures;
use remedy::survey::KnownCircuit;

/// Size that is taken for a circuit whose conductor nobody looked at, by its rating: the smallest copper size that is
/// usual for it. Value from memory; common practice.
const USUAL: [(f64, WireSize); 5] = [
    (15.0, WireSize::Awg(14)),
    (20.0, WireSize::Awg(12)),
    (30.0, WireSize::Awg(10)),
    (40.0, WireSize::Awg(8)),
    (60.0, WireSize::Awg(6)),
];
const LARGER: WireSize = WireSize::Awg(4);

/// The wiring spaces of each layout, and how many sizes were taken by the rating.
pub(super) fn fills(
    laid_out: &LaidOut,
    known: &[KnownCircuit],
    measures: &Measures,
) -> (Vec<Vec<Gutter>>, usize) {
    let Ok(areas) = Areas::standard() else { return (Vec::new(), 0) };
    let mut n_assumed = 0;
    let mut all = Vec::new();
    for (plan, (_, layout)) in laid_out.plans.iter().enumerate() {
        let mut bundles = Vec::new();
        for it in 0..layout.seats.len() {
            let places = laid_out.places(plan, it);
            for (pole, (space, spliced)) in places.iter().enumerate() {
                let old = laid_out.circuits[it].0.get(pole);
                let circuit = old.and_then(|old| {
                    known.iter().find(|one| one.spaces.iter().any(|space| space.number == *old))
                });
                let rating =
                    laid_out.wish.blocks[it].poles.first().map_or(0.0, |pole| pole.rating as f64 / 10.0);
                let usual =
                    |amps: f64| USUAL.iter().find(|(most, _)| amps <= *most).map_or(LARGER, |one| one.1);
                let said = circuit.and_then(|one| one.conductor.size);
                n_assumed += usize::from(plan == 0 && said.is_none());
                let size = said.unwrap_or_else(|| usual(circuit.map_or(rating, |one| one.rating.a())));
                let one = areas.wire_in2(size, circuit.and_then(|one| one.conductor.insulation.as_deref()));
                // With the first pole its neutral and its ground come along, unless somebody said that there is none.
                let first = circuit.is_none_or(|one| one.spaces.first().map(|space| &space.number) == old);
                let neutral = usize::from(first && circuit.is_none_or(|one| one.uses_neutral != Some(false)));
                let ground = usize::from(first && circuit.is_none_or(|one| one.grounded != Some(false)));
                bundles.push(Bundle {
                    number: space.number,
                    entry: circuit.and_then(|one| one.conductor.entry),
                    entry_down_in: circuit
                        .and_then(|one| one.conductor.entry_down)
                        .map(model::Length::inches),
                    wires_in2: one * (1 + neutral + ground) as f64,
                    splices_in2: if *spliced { areas.splice_in2(size) } else { 0.0 },
                });
            }
        }
        all.push(gutters(&laid_out.new, measures, &bundles));
    }
    (all, n_assumed)
}

/// The fill of a layout in sentences, by the adopted code where there is one.
pub fn fill_words(laid_out: &LaidOut, plan: usize, law: Option<&Law<'_>>) -> Vec<String> {
    let Some(gutters) = laid_out.fills.get(plan) else { return Vec::new() };
    let mut all = Vec::new();
    let mut limit = String::new();
    for gutter in gutters {
        let side = if gutter.column == Column::Left { "left" } else { "right" };
        let part = |area: f64| area / gutter.space_in2 * 100.0;
        let splices = match gutter.n_splices {
            0 => "no splice".to_owned(),
            1 => format!("{:.0} % with its one splice", part(gutter.wires_in2 + gutter.splices_in2)),
            n => format!(
                "{:.0} % were all {n} splices at one height",
                part(gutter.wires_in2 + gutter.splices_in2)
            ),
        };
        let mut words = format!(
            "Wiring space on the {side}, {:.1} in²: {:.0} % conductors where it is fullest, {splices}",
            gutter.space_in2,
            part(gutter.wires_in2)
        );
        match law.map(|law| cabinet(law, gutter.space_in2, gutter.wires_in2, gutter.splices_in2)) {
            Some(Ok(sized)) => {
                words.push_str(if sized.value.fits {
                    ": fits."
                } else {
                    ": too much. Stagger the splices, or make them in a gutter or box beside the panel."
                });
                if limit.is_empty() {
                    limit = allowed(law);
                }
            }
            Some(Err(refusal)) => {
                words.push('.');
                limit = format!("What part may be filled is not said: {refusal}.");
            }
            None => {
                words.push('.');
                limit = "What part may be filled is not said: no edition is adopted on record.".to_owned();
            }
        }
        all.push(words);
    }
    all.push(limit);
    all.push("Neutral and ground of each cable counted with it; service conductors, jumpers and the back of the interior are not. Areas from memory, measures of usual cabinets (judgement): a hint where to look, no proof.".to_owned());
    all
}

/// What the code permits, with its citation.
fn allowed(law: Option<&Law<'_>>) -> String {
    let number = |rule| law.and_then(|law| law.number(rule).ok());
    match (number(codebook::rule::FILL_CONDUCTORS), number(codebook::rule::FILL_SPLICES)) {
        (Some(wires), Some(both)) => {
            format!(
                "Permitted: {} % and {} % at any cross-section ({}).",
                wires.value,
                both.value,
                both.cite()
            )
        }
        _ => String::new(),
    }
}
