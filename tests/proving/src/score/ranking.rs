//! Metrics of a ranking: only the order of the scores counts.

/// A score with the truth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Scored {
    pub(crate) score: f64,
    pub(crate) burnt: bool,
}

/// Counts at each distinct score, highest first: (true positives, false positives) with a score at least that.
fn steps(all: &[Scored]) -> Vec<(f64, f64)> {
    let mut sorted: Vec<Scored> = all.to_vec();
    sorted.sort_by(|a, b| b.score.total_cmp(&a.score));
    let (mut hits, mut alarms) = (0.0, 0.0);
    let mut counts = Vec::new();
    for (idx, scored) in sorted.iter().enumerate() {
        if scored.burnt {
            hits += 1.0;
        } else {
            alarms += 1.0;
        }
        let is_last_of_score = sorted.get(idx + 1).is_none_or(|next| next.score < scored.score);
        if is_last_of_score {
            counts.push((hits, alarms));
        }
    }
    counts
}

/// Area under the ROC curve; ties count half. `None` without both kinds.
pub(crate) fn auc(all: &[Scored]) -> Option<f64> {
    let counts = steps(all);
    let &(n_burnt, n_other) = counts.last()?;
    if n_burnt < 0.5 || n_other < 0.5 {
        return None;
    }
    let mut area = 0.0;
    let mut before = (0.0, 0.0);
    for &(hits, alarms) in &counts {
        area += (alarms - before.1) * 0.5 * (hits + before.0);
        before = (hits, alarms);
    }
    Some(area / (n_burnt * n_other))
}

/// Average precision: precision at each threshold weighted by the recall it adds.
pub(crate) fn average_precision(all: &[Scored]) -> Option<f64> {
    let counts = steps(all);
    let &(n_burnt, _) = counts.last()?;
    if n_burnt < 0.5 {
        return None;
    }
    let mut sum = 0.0;
    let mut before = 0.0;
    for &(hits, alarms) in &counts {
        sum += (hits - before) / n_burnt * hits / (hits + alarms);
        before = hits;
    }
    Some(sum)
}

/// Share of the not burnt that lie at or above the highest threshold which catches this share of the burnt.
pub(crate) fn false_alarms_at(all: &[Scored], recall: f64) -> Option<f64> {
    let counts = steps(all);
    let &(n_burnt, n_other) = counts.last()?;
    if n_burnt < 0.5 || n_other < 0.5 {
        return None;
    }
    counts.iter().find(|(hits, _)| recall * n_burnt - 1e-9 <= *hits).map(|(_, alarms)| alarms / n_other)
}

/// Share of the groups with at least one burnt whose highest score is burnt. Ties at the top share the credit.
pub(crate) fn top_one<'a>(groups: impl Iterator<Item = &'a [Scored]>) -> Option<f64> {
    let (mut n_groups, mut credit) = (0.0, 0.0);
    for group in groups.filter(|group| group.iter().any(|scored| scored.burnt)) {
        let most = group.iter().map(|scored| scored.score).fold(f64::NEG_INFINITY, f64::max);
        let top: Vec<&Scored> = group.iter().filter(|scored| most <= scored.score).collect();
        n_groups += 1.0;
        credit += top.iter().filter(|scored| scored.burnt).count() as f64 / top.len() as f64;
    }
    (n_groups > 0.5).then(|| credit / n_groups)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scored(pairs: &[(f64, bool)]) -> Vec<Scored> {
        pairs.iter().map(|&(score, burnt)| Scored { score, burnt }).collect()
    }

    /// By hand: burnt at 0.9, 0.6, 0.3; others at 0.7, 0.6, 0.2, 0.1. Of 12 pairs, 0.9 wins 4, 0.6 wins 2 and
    /// ties 1, 0.3 wins 2: 8.5 / 12.
    #[test]
    fn val_area_by_hand() {
        let all = example();
        assert!((auc(&all).unwrap_or(0.0) - 8.5 / 12.0).abs() < 1e-12);
        assert_eq!(auc(&scored(&[(0.5, true)])), None);
    }

    fn example() -> Vec<Scored> {
        scored(&[
            (0.9, true),
            (0.6, true),
            (0.3, true),
            (0.7, false),
            (0.6, false),
            (0.2, false),
            (0.1, false),
        ])
    }

    /// Thresholds 0.9: 1/1 adding ⅓; 0.7: adds none; 0.6: 2 of 4 adding ⅓; 0.3: 3 of 5 adding ⅓.
    #[test]
    fn val_average_precision_by_hand() {
        let exact = (1.0 + 0.5 + 0.6) / 3.0;
        assert!((average_precision(&example()).unwrap_or(0.0) - exact).abs() < 1e-12);
    }

    /// Nine tenths of three is 2.7, so all three: threshold 0.3, two of four alarms. Half: threshold 0.6, also two.
    /// A third: threshold 0.9, none.
    #[test]
    fn val_false_alarms_by_hand() {
        assert_eq!(false_alarms_at(&example(), 0.9), Some(0.5));
        assert_eq!(false_alarms_at(&example(), 0.5), Some(0.5));
        assert_eq!(false_alarms_at(&example(), 1.0 / 3.0), Some(0.0));
    }

    #[test]
    fn val_top_one_by_hand() {
        let hit = scored(&[(0.9, true), (0.1, false)]);
        let miss = scored(&[(0.2, true), (0.8, false)]);
        let tie = scored(&[(0.5, true), (0.5, false)]);
        let none = scored(&[(0.5, false)]);
        let groups = [hit, miss, tie, none];
        assert_eq!(top_one(groups.iter().map(Vec::as_slice)), Some(0.5));
    }
}
