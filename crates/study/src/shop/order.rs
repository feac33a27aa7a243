//! The order of jobs by urgency, as it is kept in the store.

use model::advice::Urgency;

/// Bands in their order. Not known stands after what has a term, and before what is known to have time: a job that
/// nobody judged may be urgent.
const ORDER: [Option<Urgency>; 6] = [
    Some(Urgency::Now),
    Some(Urgency::Within72Hours),
    Some(Urgency::ThisMonth),
    None,
    Some(Urgency::PlanIt),
    Some(Urgency::NoAction),
];

/// Place of an urgency in the order of lists, the most urgent first; `None` is not known.
pub fn urgency_band(urgency: Option<Urgency>) -> i64 {
    ORDER.iter().position(|one| *one == urgency).expect("every urgency has its place") as i64
}

/// The urgency of a place; `None` where it is not known.
pub fn urgency_of_band(band: i64) -> Option<Urgency> {
    usize::try_from(band).ok().and_then(|band| ORDER.get(band).copied()).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_urgency_has_a_place_of_its_own() {
        let all =
            [Urgency::Now, Urgency::Within72Hours, Urgency::ThisMonth, Urgency::PlanIt, Urgency::NoAction];
        for urgency in all {
            assert_eq!(urgency_of_band(urgency_band(Some(urgency))), Some(urgency));
        }
        // The store's own value of a job that nobody judged.
        assert_eq!(urgency_band(None), 3);
        assert_eq!((urgency_of_band(3), urgency_of_band(6), urgency_of_band(-1)), (None, None, None));
    }
}
