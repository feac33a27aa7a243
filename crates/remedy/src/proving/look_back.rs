//! The look-back after a year: when it is due, which readings to repeat, what to look at.

use super::limits::Limits;
use super::torque::terminal_words;
use model::job::Job;
use model::plan::PromiseKind;
use model::proving::LookBack;

/// What the look-back needs.
pub fn look_back(job: &Job, limits: &Limits) -> LookBack {
    let promised =
        job.promises.iter().filter(|one| one.kind == PromiseKind::LookBack).map(|one| one.due).max();
    let last = job.install.energised.iter().map(|one| one.at.date()).max();
    let after = last.and_then(|day| day.checked_add(jiff::Span::new().days(limits.look_back.days)).ok());
    let again = job
        .install
        .verified
        .iter()
        .map(|one| {
            let load = one.current.map_or("load not known".to_owned(), |amps| format!("{:.1} A", amps.a()));
            let room =
                one.room.map_or("room not known".to_owned(), |room| format!("room {:.1} °C", room.c()));
            let place = terminal_words(job, one.terminal);
            (place, format!("{:.1} °C, {load}, {room}", one.value.c()))
        })
        .collect();
    let look = [
        "Ask the owner: smell, flicker, trips, buzz, anything added since?",
        "Cover closed: hand over the front, listen, look for discoloration.",
        "Same loads as on the day, for as long as on the day; then the same readings at the same places.",
        "Volts between the legs, of each leg to neutral, without load and with it.",
        "Press the test button of every arc-fault and ground-fault device.",
        "Is the card still true? Walk two circuits.",
        "A termination is not tightened again by rule: a maker may forbid it. Warm at equal load is the reason to open.",
    ];
    LookBack { due: promised.or(after), again, look: look.iter().map(|&line| line.to_owned()).collect() }
}
