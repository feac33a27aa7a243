//! The machine-readable form of what the code book answers. Keys are added, never renamed or taken away.

use super::{
    Answer, Blocked, Editions, Finding, Loads, MeterData, Question, Room, Row, Sheet, SizeLine, Sizes,
};
use model::working::Working;
use model::{Cite, Note};
use serde_json::{Value, json};

fn cite(cite: &Cite) -> Value {
    json!({ "document": cite.document, "place": cite.place, "standing": cite.standing.to_string() })
}

fn note(note: &Note) -> Value {
    json!({ "about": note.subject, "text": note.text, "cite": note.cite.as_ref().map(cite) })
}

fn notes(notes: &[Note]) -> Vec<Value> {
    notes.iter().map(note).collect()
}

/// A working with its inputs.
pub fn working(working: &Working) -> Value {
    let inputs: Vec<Value> = working
        .inputs
        .iter()
        .map(|one| json!({ "symbol": one.symbol, "meaning": one.meaning, "value": one.value, "from": one.from }))
        .collect();
    json!({
        "title": working.title,
        "about": working.subject,
        "formula": working.formula,
        "inputs": inputs,
        "result": working.result,
        "valid": working.validity,
        "cite": cite(&working.cite),
    })
}

/// A question.
pub fn question(question: &Question) -> Value {
    json!({ "about": question.subject, "ask": question.ask, "why": question.why })
}

fn blocked(blocked: &Blocked) -> Value {
    match blocked {
        Blocked::Ask(asked) => json!({ "ask": asked.iter().map(question).collect::<Vec<_>>() }),
        Blocked::Input(bad) => json!({ "bad": bad.iter().map(ToString::to_string).collect::<Vec<_>>() }),
        Blocked::Refused(refused) => json!({
            "refused": { "rule": refused.rule, "edition": refused.edition.year(), "reason": refused.reason, "confirm": refused.confirm }
        }),
        Blocked::NotFor { why, cite: by } => json!({ "not_for": why, "cite": cite(by) }),
    }
}

fn sheet(sheet: &Sheet) -> Value {
    let lines: Vec<Value> = sheet
        .lines
        .iter()
        .map(|line| json!({ "title": line.title, "va": line.va(), "working": working(&line.working) }))
        .collect();
    json!({
        "edition": sheet.edition.year(),
        "lines": lines,
        "total_va": sheet.total_va,
        "amps": sheet.amps,
        "load_a": sheet.load_a,
        "least_service_a": sheet.least_service_a,
        "standard_rating_a": sheet.standard_rating_a,
        "neutral_a": sheet.neutral.as_ref().map(|neutral| neutral.load_a),
        "neutral": sheet.neutral.as_ref().map(|neutral| working(&neutral.working)),
        "workings": sheet.workings.iter().map(working).collect::<Vec<_>>(),
        "notes": notes(&sheet.notes),
    })
}

fn room(room: &Room) -> Value {
    json!({
        "service_a": room.service_a,
        "left_a": room.room_a,
        "largest_vehicle_supply_a": room.ev_a,
        "largest_appliance_va": room.appliance_va,
        "sentence": room.sentence(),
    })
}

fn row(unit: &str, row: &Row) -> Value {
    let others: Vec<Value> = row
        .alternatives
        .iter()
        .map(|other| json!({ "read": other.reading.other(), "load_a": other.load_a, "neutral_a": other.neutral_a }))
        .collect();
    json!({
        "dwelling": unit,
        "method": row.method.to_string(),
        "sheet": row.sheet.as_ref().ok().map(sheet),
        "blocked": row.sheet.as_ref().err().map(blocked),
        "read_otherwise": others,
        "room": row.room.as_ref().map(room),
    })
}

/// The loads of a job.
pub fn loads(loads: &Loads) -> Value {
    json!({
        "code": loads.law,
        "service_a": loads.service_a,
        "methods": loads.rows().map(|(unit, one)| row(unit, one)).collect::<Vec<_>>(),
        "cautions": super::CAUTIONS,
    })
}

/// The word for an answer.
pub fn answer_word(answer: &Answer) -> &'static str {
    match answer {
        Answer::Required { .. } => "required",
        Answer::NotRequired => "not required",
        Answer::DependsOn(_) => "depends on",
        Answer::InspectorsCall => "inspector's call",
        Answer::Refused(_) => "refused",
    }
}

/// A finding.
pub fn finding(finding: &Finding) -> Value {
    let (met, asks, refused) = match &finding.answer {
        Answer::Required { met } => (*met, None, None),
        Answer::DependsOn(question) => (None, Some(question.clone()), None),
        Answer::Refused(refused) => (None, None, Some(refused.to_string())),
        Answer::NotRequired | Answer::InspectorsCall => (None, None, None),
    };
    json!({
        "about": finding.title,
        "answer": answer_word(&finding.answer),
        "met": met,
        "asks": asks,
        "refused": refused,
        "text": finding.text,
        "cite": finding.cite.as_ref().map(cite),
    })
}

/// What the edition asks.
pub fn asks(law: &str, findings: &[Finding]) -> Value {
    json!({
        "code": law,
        "findings": findings.iter().map(finding).collect::<Vec<_>>(),
        "cautions": super::CAUTIONS,
    })
}

fn size(line: &SizeLine) -> Value {
    json!({
        "what": line.title,
        "size": line.result.as_ref().ok(),
        "none": line.result.as_ref().err(),
        "workings": line.workings.iter().map(working).collect::<Vec<_>>(),
        "notes": notes(&line.notes),
    })
}

/// The sizes of a job.
pub fn sizes(sizes: &Sizes) -> Value {
    json!({
        "code": sizes.law,
        "service_a": sizes.rating_a,
        "sizes": sizes.lines.iter().map(size).collect::<Vec<_>>(),
        "asks": sizes.questions.iter().map(question).collect::<Vec<_>>(),
        "cautions": super::CAUTIONS,
    })
}

/// A job under every edition.
pub fn editions(editions: &Editions) -> Value {
    let rows: Vec<Value> = editions
        .rows
        .iter()
        .map(|one| {
            let methods: Vec<Value> = one.loads.rows().map(|(unit, one)| row(unit, one)).collect();
            json!({ "edition": one.edition.year(), "methods": methods })
        })
        .collect();
    let asks: Vec<Value> = editions
        .asks
        .iter()
        .map(|one| {
            let by: Vec<Value> = one
                .findings
                .iter()
                .zip(&editions.rows)
                .map(|(found, row)| json!({ "edition": row.edition.year(), "finding": found.as_ref().map(finding) }))
                .collect();
            json!({ "about": one.title, "differs": one.differs(), "editions": by })
        })
        .collect();
    json!({ "loads": rows, "asks": asks, "cautions": super::CAUTIONS })
}

/// What a meter file held.
pub fn meter(data: &MeterData) -> Value {
    let channels: Vec<Value> = data
        .channels
        .iter()
        .map(|channel| match &channel.readings {
            Err(why) => json!({ "channel": channel.label, "refused": why }),
            Ok(readings) => {
                let demand = readings.demand.as_ref().ok().map(|demand| {
                    json!({
                        "least_kw": demand.measured.least_kw,
                        "most_kw": demand.measured.most_kw,
                        "straddling_kw": demand.straddling_kw,
                        "interval_min": demand.interval_min,
                        "days": demand.days,
                    })
                });
                let peaks: Vec<Value> = readings
                    .peak_days
                    .iter()
                    .map(|day| json!({ "day": day.day.to_string(), "kw": day.kw, "kwh": day.kwh }))
                    .collect();
                json!({
                    "channel": channel.label,
                    "readings": readings.n,
                    "interval_s": readings.interval_s,
                    "kwh": readings.kwh,
                    "peak_kw": readings.peak_kw,
                    "days": readings.days.len(),
                    "peak_days": peaks,
                    "demand": demand,
                    "no_demand": readings.demand.as_ref().err(),
                    "notes": notes(&readings.notes),
                })
            }
        })
        .collect();
    json!({ "bytes": data.bytes, "channels": channels, "notes": notes(&data.notes) })
}
