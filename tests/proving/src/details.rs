//! Details of a run: every joint as CSV; job files and truth for others to try.

use crate::judge::JudgedJoint;
use crate::runner::{Plan, Run};
use crate::sim::Simulated;
use crate::sim::visit::Stage;
use std::collections::HashMap;
use std::fmt::Write;
use std::path::Path;
use std::{fs, io};

/// Writes the job files of every stage asked for, and `truth.csv`, into a folder.
pub fn emit(plan: &Plan, folder: &Path) -> io::Result<()> {
    fs::create_dir_all(folder)?;
    let houses = plan.houses();
    let mut truth = "job,joint,kind,condition,milliohm_20c\n".to_owned();
    for simulated in &houses {
        for stage in Stage::ALL.into_iter().filter(|stage| plan.stages.contains(stage.letter())) {
            let name = format!("{}-{}.toml", simulated.house.name, stage.letter());
            fs::write(folder.join(name), simulated.job_text(stage))?;
        }
        write_truth(&mut truth, simulated);
    }
    fs::write(folder.join("truth.csv"), truth)
}

fn write_truth(out: &mut String, simulated: &Simulated) {
    for joint in simulated.house.joints() {
        let (kind, condition) = (joint.kind.word(), joint.condition.word());
        let name = &simulated.house.name;
        // Writing to a String cannot fail.
        let _ = writeln!(out, "{name},{},{kind},{condition},{:.4}", joint.id, joint.mohm);
    }
}

impl Run {
    /// Every joint at every stage as CSV: what is true, what was read, what was thought of it.
    pub fn write_details(&self, file: &Path) -> io::Result<()> {
        if let Some(folder) = file.parent() {
            fs::create_dir_all(folder)?;
        }
        let mut text =
            "job,arrangement,stage,joint,kind,condition,true_mohm,true_max_a,class,rating_a,other_make,\
                        arc_fault,read_a,face_c,room_c,excess_k,measured,signs_seen,regression,burnt,mohm,reasons\n"
                .to_owned();
        for stage in &self.stages {
            for (case, simulated) in stage.cases.iter().zip(&self.houses) {
                let judged = case.judged.as_ref().and_then(|judged| judged.as_ref().ok());
                let given: HashMap<&str, &JudgedJoint> = judged.map_or_else(HashMap::new, |judged| {
                    judged.joints.iter().map(|joint| (joint.id.as_str(), joint)).collect()
                });
                let rows: HashMap<&str, _> = case.rows.iter().map(|row| (row.id.as_str(), row)).collect();
                for joint in simulated.house.joints() {
                    let _ = write!(
                        text,
                        "{},{},{},{},{},{},{:.3},{}",
                        simulated.house.name,
                        simulated.house.arrangement.word(),
                        stage.stage.letter(),
                        joint.id,
                        joint.kind.word(),
                        joint.condition.word(),
                        joint.mohm,
                        pole_words(simulated, &joint.id),
                    );
                    let regression = stage.baselines.last().filter(|rule| rule.is_probability());
                    match rows.get(joint.id.as_str()) {
                        Some(row) => {
                            let amps = row.amps.map_or(String::new(), |amps| format!("{amps:.1}"));
                            let learnt =
                                regression.map_or(String::new(), |rule| format!("{:.4}", rule.score(row)));
                            let _ = write!(
                                text,
                                ",{amps},{:.1},{:.1},{:.1},{},{},{learnt}",
                                row.face_c,
                                simulated.visit.room_c,
                                row.excess_k,
                                row.measured,
                                row.signs_seen
                            );
                        }
                        None => text.push_str(",,,,,,,"),
                    }
                    let _ = match given.get(joint.id.as_str()) {
                        Some(own) => {
                            let reasons = own.reasons.replace('"', "'");
                            writeln!(text, ",{:.4},{:.3},\"{reasons}\"", own.burnt, own.mohm)
                        }
                        None => writeln!(text, ",,,"),
                    };
                }
            }
        }
        fs::write(file, text)
    }
}

/// Highest true current over the states, class, rating, other make, arc fault: of a stab or terminal's pole.
fn pole_words(simulated: &Simulated, id: &str) -> String {
    for (panel_idx, panel) in simulated.house.panels.iter().enumerate() {
        for (idx, pole) in panel.poles.iter().enumerate() {
            let own = pole.stab.id == id || pole.terminal.as_ref().is_some_and(|joint| joint.id == id);
            if own {
                let breaker = &panel.breakers[pole.breaker];
                let most = simulated
                    .loads
                    .states
                    .iter()
                    .map(|state| state.stretch.currents[panel_idx][idx])
                    .fold(0.0, f64::max);
                return format!(
                    "{most:.1},{:?},{},{},{}",
                    breaker.class, breaker.rating_a, breaker.other_make, breaker.arc_fault
                );
            }
        }
    }
    ",,,,".to_owned()
}
