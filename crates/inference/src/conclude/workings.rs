//! The working behind the figures of the most suspect joints.

use super::Posterior;
use model::assessment::{Interval, JointFinding};
use model::working::{Input, Working};
use model::{Cite, Standing};

/// Joints that get a working.
const N_JOINTS: usize = 4;

impl Posterior<'_> {
    pub(crate) fn workings(&self, joints: &[JointFinding]) -> Vec<Working> {
        let mut suspects: Vec<&JointFinding> = joints
            .iter()
            .filter(|finding| 0.2 <= finding.probability.burnt + finding.probability.worn)
            .collect();
        suspects.sort_by(|a, b| b.probability.burnt.total_cmp(&a.probability.burnt));
        suspects.truncate(N_JOINTS);
        let mut workings: Vec<Working> =
            suspects.iter().flat_map(|finding| self.joint_workings(finding)).collect();
        workings.extend(self.prior_workings(&suspects));
        workings
    }

    /// What twice and half the prior odds would make of the most suspect joints.
    fn prior_workings(&self, suspects: &[&JointFinding]) -> Vec<Working> {
        let asked: Vec<(usize, f64)> = suspects
            .iter()
            .filter_map(|finding| {
                let res = self.p.joints.iter().position(|joint| joint.id == finding.joint.id)?;
                let burnt = finding.probability.burnt;
                (0.02..0.995).contains(&burnt).then_some((res, burnt))
            })
            .collect();
        let (twice, half) = (self.with_prior_odds(&asked, 2.0), self.with_prior_odds(&asked, 0.5));
        asked
            .iter()
            .zip(twice.into_iter().zip(half))
            .filter_map(|(&(res, burnt), (twice, half))| {
                Some(Working {
                    title: "how much the probability of burnt hangs on the prior".into(),
                    subject: self.p.joints[res].id.to_string(),
                    formula: "draws weighted by the prior with other odds over the prior as it is".into(),
                    inputs: vec![Input {
                        symbol: "p".into(),
                        meaning: "probability of burnt with the prior odds as they are".into(),
                        value: format!("{burnt:.2}"),
                        from: "inferred".into(),
                    }],
                    result: format!(
                        "{:.2} with twice the prior odds of burnt at every joint, {:.2} with half",
                        twice?, half?
                    ),
                    validity: "the same evidence; only the odds before it are changed".into(),
                    cite: Cite::new(
                        "importance weighting",
                        "any textbook of Bayesian computation",
                        Standing::Published,
                    ),
                })
            })
            .collect()
    }

    fn joint_workings(&self, finding: &JointFinding) -> Vec<Working> {
        let subject = finding.joint.id.to_string();
        let resistance = Input {
            symbol: "R".into(),
            meaning: "resistance of the joint".into(),
            value: span(finding.resistance_mohm, 2, "mΩ"),
            from: "inferred from the readings; median and 90 % interval".into(),
        };
        let joule = Cite::new("Joule's law", "any textbook", Standing::Published);
        let mut workings = Vec::new();
        if let (Some(heat), Some(current)) = (finding.heat_now_w, finding.current_now_a) {
            workings.push(Working {
                title: "heat in the joint in its most loaded recorded state".into(),
                subject: subject.clone(),
                formula: "P = I²·R".into(),
                inputs: vec![
                    Input {
                        symbol: "I".into(),
                        meaning: "current through the joint".into(),
                        value: span(current, 1, "A"),
                        from: "clamped, or inferred where it was not".into(),
                    },
                    resistance.clone(),
                ],
                result: span(heat, 2, "W"),
                validity: "the state that was recorded; the two inputs are not independent, so the interval is taken over \
                           the draws"
                    .into(),
                cite: joule.clone(),
            });
        }
        workings.push(Working {
            title: "heat in the joint at the rating".into(),
            subject: subject.clone(),
            formula: "P = I_n²·R".into(),
            inputs: vec![
                Input {
                    symbol: "I_n".into(),
                    meaning: "rating of the breaker or service".into(),
                    value: format!("{:.0} A", finding.current_rated_a),
                    from: "the record".into(),
                },
                resistance.clone(),
            ],
            result: span(finding.heat_rated_w, 2, "W"),
            validity: "the resistance as it is now; a joint that gets hotter changes".into(),
            cite: joule,
        });
        if let Some(hot) = finding.hot_spot_c {
            workings.push(Working {
                title: "hottest metal in the joint in that state".into(),
                subject,
                formula: "T² = T₀² + V²/(4 L), V = I·R, L = 2.44e-8 V²/K²".into(),
                inputs: vec![resistance],
                result: span(hot, 0, "°C"),
                validity: "metal on metal, below 0.45 V across the joint; from V rms to V peak; not for a film, a glow or an arc"
                    .into(),
                cite: Cite::new("Holm, Electric Contacts, 4th edition 1967", "voltage-temperature relation", Standing::FromMemory),
            });
        }
        workings
    }
}

fn span(interval: Interval, digits: usize, unit: &str) -> String {
    let Interval { low, median, high } = interval;
    format!("{median:.digits$} {unit} ({low:.digits$} to {high:.digits$})")
}
