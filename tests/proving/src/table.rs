//! The tables of a run, as Markdown.

use crate::judge::Judged;
use crate::runner::{Run, StageRun};
use crate::score::calibration::{Bin, brier, equal_count, equal_width, expected_error, log_loss};
use crate::score::features::StabRow;
use crate::score::ranking::{Scored, auc, average_precision, false_alarms_at, top_one};
use model::job::Condition;
use std::collections::HashMap;
use std::fmt::Write;

/// Name of the program's own line.
const OURS: &str = "**Panelwright**";
/// Bins of the calibration errors and table.
const N_BINS: usize = 10;

/// Metrics of one method over groups of joints.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Line {
    pub(crate) n: usize,
    pub(crate) n_burnt: usize,
    pub(crate) auc: Option<f64>,
    average_precision: Option<f64>,
    top_one: Option<f64>,
    false_alarms: Option<f64>,
    /// Brier, log loss, calibration error by width and by count: of probabilities only.
    probability: Option<[f64; 4]>,
}

impl Line {
    fn of(groups: &[Vec<Scored>], is_probability: bool) -> Line {
        let all: Vec<Scored> = groups.iter().flatten().copied().collect();
        Line {
            n: all.len(),
            n_burnt: all.iter().filter(|scored| scored.burnt).count(),
            auc: auc(&all),
            average_precision: average_precision(&all),
            top_one: top_one(groups.iter().map(Vec::as_slice)),
            false_alarms: false_alarms_at(&all, 0.9),
            probability: is_probability.then(|| {
                [
                    brier(&all),
                    log_loss(&all),
                    expected_error(&equal_width(&all, N_BINS)),
                    expected_error(&equal_count(&all, N_BINS)),
                ]
            }),
        }
    }

    fn markdown(&self, name: &str) -> String {
        let shown = |value: Option<f64>| value.map_or("–".to_owned(), |value| format!("{value:.3}"));
        let [brier, log_loss, by_width, by_count] = self
            .probability
            .map_or([None; 4], |values| values.map(Some))
            .map(|value| value.map_or("–".to_owned(), |value| format!("{value:.4}")));
        format!(
            "| {name} | {} | {} | {} | {brier} | {log_loss} | {by_width} | {by_count} | {} | {} |",
            self.n,
            shown(self.auc),
            shown(self.average_precision),
            shown(self.top_one),
            shown(self.false_alarms),
        )
    }
}

impl StageRun {
    /// Stabs by house, scored by a rule, of those that `keep` keeps.
    fn stabs(&self, keep: impl Fn(&StabRow) -> bool, score: impl Fn(&StabRow) -> f64) -> Vec<Vec<Scored>> {
        self.cases
            .iter()
            .map(|case| {
                let kept = case.rows.iter().filter(|row| keep(row));
                kept.map(|row| Scored { score: score(row), burnt: row.burnt }).collect()
            })
            .collect()
    }

    /// Stabs by house, scored by the program. Houses that it could not judge are left out.
    fn judged_stabs(&self, keep: impl Fn(&StabRow) -> bool) -> Vec<Vec<Scored>> {
        self.cases
            .iter()
            .filter_map(|case| {
                let given = by_id(case.judged.as_ref()?.as_ref().ok()?);
                let kept = case.rows.iter().filter(|row| keep(row));
                Some(
                    kept.filter_map(|row| {
                        let score = *given.get(row.id.as_str())?;
                        Some(Scored { score, burnt: row.burnt })
                    })
                    .collect(),
                )
            })
            .collect()
    }

    /// The program's line over the stabs, for tests and the table.
    pub(crate) fn our_line(&self, keep: impl Fn(&StabRow) -> bool) -> Line {
        Line::of(&self.judged_stabs(keep), true)
    }

    /// The line of a simple rule over the stabs.
    pub(crate) fn baseline_line(&self, nth: usize, keep: impl Fn(&StabRow) -> bool) -> Line {
        let rule = &self.baselines[nth];
        Line::of(&self.stabs(keep, |row| rule.score(row)), rule.is_probability())
    }

    fn all_joints(&self, run: &Run) -> Vec<Vec<Scored>> {
        self.cases
            .iter()
            .zip(&run.houses)
            .filter_map(|(case, simulated)| {
                let given = by_id(case.judged.as_ref()?.as_ref().ok()?);
                let joints = simulated.house.joints();
                Some(
                    joints
                        .filter_map(|joint| {
                            let score = *given.get(joint.id.as_str())?;
                            Some(Scored { score, burnt: joint.condition == Condition::Burnt })
                        })
                        .collect(),
                )
            })
            .collect()
    }
}

fn by_id(judged: &Judged) -> HashMap<&str, f64> {
    judged.joints.iter().map(|joint| (joint.id.as_str(), joint.burnt)).collect()
}

const HEAD: &str = "| method | joints | AUC | average precision | Brier | log loss | calibration error, width | \
calibration error, count | top-1 | false alarms at 90 % |\n|---|---|---|---|---|---|---|---|---|---|\n";

/// A pole with less current than this hides its clip from every thermometer, A.
const LOADED_A: f64 = 3.0;

impl Run {
    /// Every table of the run.
    pub fn markdown(&self) -> String {
        let mut text = String::new();
        let with_burnt = self
            .houses
            .iter()
            .filter(|simulated| simulated.house.joints().any(|joint| joint.condition == Condition::Burnt))
            .count();
        let plan = &self.plan;
        // Writing to a String cannot fail.
        let _ = writeln!(
            text,
            "Seed {}, {} houses, {with_burnt} of them with a burnt joint; regression fitted on {} others.\n",
            plan.seed,
            self.houses.len(),
            plan.n_training
        );
        for stage in &self.stages {
            let _ = writeln!(text, "## Stage {}\n", stage.stage.words());
            self.write_scores(&mut text, stage, "Stabs", &|_| true);
            self.write_scores(&mut text, stage, "Stabs that carry 3 A or more by the record", &|row| {
                row.amps.is_some_and(|amps| LOADED_A <= amps)
            });
            if stage.cases.iter().any(|case| case.rows.iter().any(|row| row.measured)) {
                self.write_scores(&mut text, stage, "Stabs with a drop", &|row| row.measured);
            }
            write_calibration(&mut text, stage);
            write_quality(&mut text, stage);
        }
        text
    }

    fn write_scores(
        &self,
        text: &mut String,
        stage: &StageRun,
        title: &str,
        keep: &dyn Fn(&StabRow) -> bool,
    ) {
        let lines: Vec<Line> = (0..stage.baselines.len()).map(|nth| stage.baseline_line(nth, keep)).collect();
        let n_burnt = lines.first().map_or(0, |line| line.n_burnt);
        let _ = write!(text, "{title}, {n_burnt} of them burnt:\n\n{HEAD}");
        for (rule, line) in stage.baselines.iter().zip(&lines) {
            let _ = writeln!(text, "{}", line.markdown(rule.name()));
        }
        let ours = stage.our_line(keep);
        if ours.n > 0 {
            let _ = writeln!(text, "{}", ours.markdown(OURS));
        }
        if title == "Stabs" && ours.n > 0 {
            let all = Line::of(&stage.all_joints(self), true);
            let name = format!("{OURS}, all joints ({} burnt)", all.n_burnt);
            let _ = writeln!(text, "{}", all.markdown(&name));
        }
        let _ = writeln!(text);
    }
}

fn write_calibration(text: &mut String, stage: &StageRun) {
    let all: Vec<Scored> = stage.judged_stabs(|_| true).into_iter().flatten().collect();
    if all.is_empty() {
        return;
    }
    let _ = write!(
        text,
        "Calibration, stabs:\n\n| probability given | stabs | mean given | burnt |\n|---|---|---|---|\n"
    );
    for (nth, Bin { n, given, found }) in equal_width(&all, N_BINS).into_iter().enumerate() {
        let (low, high) = (nth as f64 / N_BINS as f64, (nth + 1) as f64 / N_BINS as f64);
        let _ = writeln!(text, "| {low:.1}–{high:.1} | {n} | {given:.3} | {found:.3} |");
    }
    let _ = writeln!(text);
}

fn write_quality(text: &mut String, stage: &StageRun) {
    let judged: Vec<&Judged> =
        stage.cases.iter().filter_map(|case| case.judged.as_ref()?.as_ref().ok()).collect();
    for (idx, case) in stage.cases.iter().enumerate() {
        if let Some(Err(error)) = &case.judged {
            let _ = writeln!(text, "House {idx} was not judged: {error}\n");
        }
    }
    if judged.is_empty() {
        return;
    }
    let converged = judged.iter().filter(|judged| judged.converged).count();
    let seconds: f64 = judged.iter().map(|judged| judged.seconds).sum();
    let longest = judged.iter().map(|judged| judged.seconds).fold(0.0, f64::max);
    let _ = writeln!(
        text,
        "Sampling checks passed in {converged} of {} houses. Time of one house on one core: mean {:.2} s, \
         longest {longest:.2} s.\n",
        judged.len(),
        seconds / judged.len() as f64
    );
}
