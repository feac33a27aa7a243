//! The list of materials, from the design: by what a part must be, never by make.

use crate::experience::PartCount;
use crate::work::{Basis, Contested, parts};
use model::advice::ChoiceKind;
use model::breaker::Protection;

/// A breaker that the design needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BreakerNeed {
    /// Poles.
    pub n_poles: u8,
    /// Rating, A.
    pub rating_a: f64,
    /// Protection.
    pub protection: Protection,
}

/// What is to be built.
#[derive(Debug, Clone, PartialEq)]
pub struct Design {
    /// The option.
    pub option: ChoiceKind,
    /// Breakers of the circuits, each once, without those of half width.
    pub breakers: Vec<BreakerNeed>,
    /// Pairs of half-width breakers in one space: their two ratings, A.
    pub half_width: Vec<[f64; 2]>,
    /// Circuits that the work touches.
    pub n_circuits: u32,
    /// Circuits that are moved to a sound stab.
    pub n_moved: u32,
    /// Splices that the lengths on record ask for.
    pub n_splices: u32,
    /// Multiwire pairs on two breakers of one pole.
    pub n_multiwire: u32,
    /// Spaces of the new panel, where one is chosen.
    pub n_spaces: Option<u16>,
    /// Feet of service conductor that are replaced.
    pub service_ft: u32,
    /// What the shop's own jobs used of each part.
    pub past: Vec<PartCount>,
}

/// A line of the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Material {
    /// Name in the price book.
    pub part: String,
    /// What it must be.
    pub words: String,
    /// How many.
    pub quantity: u32,
    /// Why so many.
    pub because: String,
}

/// Sizes of panels that are asked for, spaces. Usual sizes of the trade, no source.
const SIZES: [u16; 7] = [12, 20, 24, 30, 40, 42, 60];

/// Share of the spaces that is left for later. Common practice, no source: 20 %, or four to six.
const SPARE: f64 = 0.2;

impl Design {
    /// Spaces that the breakers fill: poles, and one for each pair of half width.
    pub fn n_poles(&self) -> u32 {
        let whole: u32 = self.breakers.iter().map(|breaker| u32::from(breaker.n_poles)).sum();
        whole + u32::try_from(self.half_width.len()).unwrap_or(u32::MAX)
    }

    /// Spaces of the panel: as chosen, or the smallest usual size that leaves a fifth for later; the largest where none
    /// does.
    pub fn spaces(&self) -> u16 {
        self.n_spaces.unwrap_or_else(|| {
            let needed = f64::from(self.n_poles()) / (1.0 - SPARE);
            SIZES.into_iter().find(|&size| needed <= f64::from(size)).unwrap_or(SIZES[SIZES.len() - 1])
        })
    }

    pub(crate) fn count(&self, per: Basis) -> u32 {
        match per {
            Basis::Job => 1,
            Basis::Circuit => self.n_circuits,
            Basis::Splice => self.n_splices,
            Basis::Multiwire => self.n_multiwire,
            Basis::FreeSpace => match self.option {
                ChoiceKind::ReplaceInterior | ChoiceKind::ReplacePanel | ChoiceKind::ReplaceService => {
                    u32::from(self.spaces()).saturating_sub(self.n_poles())
                }
                _ => 0,
            },
            Basis::ServiceFoot => self.service_ft,
            Basis::Plain120 => self.breakers.iter().filter(|need| is_plain_120(need)).count() as u32,
        }
    }
}

fn is_plain_120(need: &BreakerNeed) -> bool {
    need.n_poles == 1 && need.rating_a <= 20.0 && need.protection == Protection::ThermalMagnetic
}

/// Name of a breaker in the price book.
fn part_of(need: &BreakerNeed) -> String {
    let kind = match need.protection {
        Protection::ThermalMagnetic | Protection::SwitchOnly => "plain",
        Protection::ArcFault => "arc-fault",
        Protection::GroundFault => "ground-fault",
        Protection::ArcAndGroundFault => "dual",
    };
    let large = if 60.0 < need.rating_a { "-over-60" } else { "" };
    format!("breaker-{}p-{kind}{large}", need.n_poles)
}

fn words_of(need: &BreakerNeed) -> String {
    let poles = match need.n_poles {
        1 => "1 pole".to_owned(),
        n => format!("{n} poles"),
    };
    let kind = match need.protection {
        Protection::ThermalMagnetic | Protection::SwitchOnly => "thermal-magnetic",
        Protection::ArcFault => "arc-fault",
        Protection::GroundFault => "ground-fault",
        Protection::ArcAndGroundFault => "arc-fault and ground-fault",
    };
    format!("Breaker, {poles}, {} A, {kind}, listed for the panel", need.rating_a)
}

/// What the design needs, breakers first by poles and rating, without contested items.
pub fn materials(design: &Design) -> Vec<Material> {
    let mut list: Vec<Material> = Vec::new();
    let mut needs = design.breakers.clone();
    needs.sort_by(|a, b| {
        (b.n_poles, a.rating_a).partial_cmp(&(a.n_poles, b.rating_a)).unwrap_or(std::cmp::Ordering::Equal)
    });
    let replaces = matches!(design.option, ChoiceKind::ReplacePanel | ChoiceKind::ReplaceService);
    if replaces {
        let spaces = design.spaces();
        list.push(Material {
            part: format!("panel-{spaces}"),
            words: format!(
                "Load center with main, {spaces} spaces, rated for the service and its fault current"
            ),
            quantity: 1,
            because: match design.n_spaces {
                Some(_) => "as chosen".to_owned(),
                None => format!("{} poles, and a fifth left for later", design.n_poles()),
            },
        });
    }
    if design.option != ChoiceKind::MakeSafe {
        for need in &needs {
            let words = words_of(need);
            match list.iter_mut().find(|line| line.words == words) {
                Some(line) => line.quantity += 1,
                None => list.push(Material {
                    part: part_of(need),
                    words,
                    quantity: 1,
                    because: "circuits on record".to_owned(),
                }),
            }
        }
    }
    let mut pairs = design.half_width.clone();
    pairs.iter_mut().for_each(|pair| pair.sort_by(f64::total_cmp));
    for [low, high] in pairs {
        let words =
            format!("Breaker of half width, two of 1 pole, {low} A and {high} A, listed for the panel");
        match list.iter_mut().find(|line| line.words == words) {
            Some(line) => line.quantity += 1,
            None => list.push(Material {
                part: "breaker-half-width-pair".to_owned(),
                words,
                quantity: 1,
                because: "two circuits in one space, by the chosen layout".to_owned(),
            }),
        }
    }
    for part in parts().into_iter().filter(|part| part.options.contains(&design.option)) {
        let listed = part.count * design.count(part.per);
        let count = design.past.iter().find(|count| count.part == part.id && count.is_planned());
        let quantity = count.filter(|_| 0 < listed).map_or(listed, |count| count.quantity(listed));
        if 0 < quantity {
            let because = match count.filter(|count| count.counts) {
                Some(count) => format!(
                    "{}; {listed} by the list, {} jobs of the shop used {} for {}",
                    basis(part.per),
                    count.n,
                    count.used,
                    count.planned
                ),
                None => basis(part.per).to_owned(),
            };
            list.push(Material { part: part.id, words: part.words, quantity, because });
        }
    }
    for count in design.past.iter().filter(|count| !count.is_planned()) {
        let quantity = count.quantity(0);
        if 0 < quantity {
            list.push(Material {
                part: count.part.clone(),
                words: format!("{}, beside the list", count.part.replace('-', " ")),
                quantity,
                because: format!("{} jobs of the shop used {} of it", count.n, count.used),
            });
        }
    }
    list
}

/// What a contested item adds: parts in, and the parts whose place they take out (as a negative count).
pub(crate) fn contested_parts(design: &Design, item: &Contested) -> Vec<(String, i64)> {
    let n = i64::from(item.count * design.count(item.per));
    let out = item.instead_of.iter().map(|part| (part.clone(), -n));
    std::iter::once((item.part.clone(), n)).chain(out).filter(|(_, n)| *n != 0).collect()
}

const fn basis(per: Basis) -> &'static str {
    match per {
        Basis::Job => "every such job",
        Basis::Circuit => "circuits on record",
        Basis::Splice => "conductors that do not reach",
        Basis::Multiwire => "multiwire pairs on record",
        Basis::FreeSpace => "spaces that stay open",
        Basis::ServiceFoot => "length of the service on record",
        Basis::Plain120 => "plain breakers of 15 and 20 A",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn design(option: ChoiceKind) -> Design {
        let need =
            |n_poles, rating_a| BreakerNeed { n_poles, rating_a, protection: Protection::ThermalMagnetic };
        Design {
            option,
            breakers: vec![need(2, 30.0), need(1, 15.0), need(1, 15.0), need(1, 20.0)],
            half_width: Vec::new(),
            n_circuits: 4,
            n_moved: 1,
            n_splices: 0,
            n_multiwire: 1,
            n_spaces: None,
            service_ft: 20,
            past: Vec::new(),
        }
    }

    fn quantity(list: &[Material], part: &str) -> u32 {
        list.iter().filter(|line| line.part == part).map(|line| line.quantity).sum()
    }

    #[test]
    fn no_breaker_is_lost_and_every_open_space_has_its_plate() {
        let list = materials(&design(ChoiceKind::ReplacePanel));
        let breakers: u32 =
            list.iter().filter(|line| line.part.starts_with("breaker")).map(|line| line.quantity).sum();
        assert_eq!(breakers, 4);
        // 5 poles / 0.8 = 6.25: the smallest size is 12.
        assert_eq!((quantity(&list, "panel-12"), quantity(&list, "filler-plate")), (1, 7));
        assert_eq!((quantity(&list, "handle-tie"), quantity(&list, "splice-connector")), (1, 0));
        assert_eq!(quantity(&list, "meter-socket"), 0);
    }

    #[test]
    fn what_own_jobs_used_changes_the_list_and_says_so() {
        let mut own = design(ChoiceKind::ReplacePanel);
        let count = |part: &str, used, planned, factor| PartCount {
            part: part.to_owned(),
            n: 5,
            used,
            planned,
            counts: true,
            factor,
        };
        own.past = vec![count("cable-connector", 40, 20, 1.5), count("gutter", 9, 0, 1.0)];
        let list = materials(&own);
        assert_eq!((quantity(&list, "cable-connector"), quantity(&list, "gutter")), (6, 1));
        let line = list.iter().find(|line| line.part == "cable-connector").expect("there");
        assert!(
            line.because.contains("4 by the list, 5 jobs of the shop used 40 for 20"),
            "{}",
            line.because
        );
        own.past.iter_mut().for_each(|count| count.counts = false);
        assert_eq!(materials(&own), materials(&design(ChoiceKind::ReplacePanel)));
    }

    #[test]
    fn two_circuits_in_one_space_are_one_part_and_one_space() {
        let mut design = design(ChoiceKind::ReplacePanel);
        design.breakers.truncate(1);
        design.half_width = vec![[20.0, 15.0]];
        design.n_spaces = Some(12);
        let list = materials(&design);
        assert_eq!(quantity(&list, "breaker-half-width-pair"), 1);
        assert_eq!(quantity(&list, "breaker-1p-plain"), 0);
        assert_eq!(quantity(&list, "filler-plate"), 12 - 3);
        assert!(list.iter().any(|line| line.words.contains("15 A and 20 A")));
    }

    #[test]
    fn making_safe_needs_no_breaker_and_a_service_its_feet() {
        let safe = materials(&design(ChoiceKind::MakeSafe));
        assert_eq!(safe.iter().map(|line| line.part.as_str()).collect::<Vec<_>>(), ["label-set"]);
        let service = materials(&design(ChoiceKind::ReplaceService));
        assert_eq!(quantity(&service, "service-conductor-ft"), 20);
    }

    #[test]
    fn a_contested_item_takes_the_place_of_what_it_replaces() {
        let item =
            crate::work::contested().into_iter().find(|item| item.id == "arc-fault").expect("in the data");
        let list = contested_parts(&design(ChoiceKind::ReplacePanel), &item);
        assert_eq!(list, [("breaker-1p-dual".to_owned(), 3), ("breaker-1p-plain".to_owned(), -3)]);
    }
}
