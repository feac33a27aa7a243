//! What the code book answers, as text: methods side by side, workings, findings, sizes.

use model::Note;
use model::working::Working;
use std::fmt::Write as _;
use study::code::json::answer_word;
use study::code::{Answer, Blocked, Finding, Loads, Question, Row, SizeLine};

/// Width of a line.
const WIDTH: usize = 78;

/// A text in lines, each with the same indent.
pub(crate) fn wrapped(text: &str, indent: &str) -> String {
    let options = textwrap::Options::new(WIDTH).initial_indent(indent).subsequent_indent(indent);
    let mut out = textwrap::fill(text, options);
    out.push('\n');
    out
}

/// As [`wrapped`], the first line with a lead.
fn led(lead: &str, text: &str) -> String {
    let options = textwrap::Options::new(WIDTH).initial_indent(lead).subsequent_indent("      ");
    let mut out = textwrap::fill(text, options);
    out.push('\n');
    out
}

fn name(unit: &str, row: &Row) -> String {
    if unit.is_empty() { row.method.to_string() } else { format!("{}, {unit}", row.method) }
}

fn amps(value: Option<f64>) -> String {
    value.map_or("-".to_owned(), |value| format!("{value:.0} A"))
}

/// The methods side by side, what would exceed the service, other readings, and what is not known.
pub(crate) fn side_by_side(loads: &Loads) -> String {
    let mut out = "\nSIDE BY SIDE\n".to_owned();
    let left = loads.service_a.map_or("left".to_owned(), |service| format!("left of {service:.0} A"));
    let _ = writeln!(
        out,
        "  {:<28}{:>8}{:>10}{:>10}{:>10}{:>16}",
        "method", "load", "rating", "least", "neutral", left
    );
    for (unit, row) in loads.rows() {
        match &row.sheet {
            Ok(sheet) => {
                let _ = writeln!(
                    out,
                    "  {:<28}{:>8}{:>10}{:>10}{:>10}{:>16}",
                    name(unit, row),
                    amps(Some(sheet.load_a)),
                    amps(sheet.standard_rating_a),
                    amps(Some(sheet.least_service_a)),
                    amps(sheet.neutral.as_ref().map(|neutral| neutral.load_a)),
                    amps(row.room.as_ref().map(|room| room.room_a)),
                );
            }
            Err(blocked) => {
                let why = match blocked {
                    Blocked::Ask(asked) if asked.len() == 1 => "not computed: one question below".to_owned(),
                    Blocked::Ask(asked) => format!("not computed: {} questions below", asked.len()),
                    Blocked::Input(_) => "not computed: an input cannot be, see below".to_owned(),
                    Blocked::Refused(_) => "refused, see below".to_owned(),
                    Blocked::NotFor { .. } => "not for this case, see below".to_owned(),
                };
                let _ = writeln!(out, "  {:<28}{why}", name(unit, row));
            }
        }
    }
    if loads.service_a.is_none() {
        out.push_str(&wrapped("No rating of the service is on record: margins are not told.", "  "));
    }
    let rooms: Vec<String> = loads
        .rows()
        .filter_map(|(unit, row)| {
            Some(led(&format!("  {}: ", name(unit, row)), &row.room.as_ref()?.sentence()))
        })
        .collect();
    section(&mut out, "WHAT WOULD EXCEED IT", &rooms);
    let mut others = Vec::new();
    for (unit, row) in loads.rows() {
        for other in &row.alternatives {
            let neutral = other.neutral_a.map(|amps| format!(", neutral {amps:.0} A")).unwrap_or_default();
            let text = format!("{} would give {:.0} A{neutral}", other.reading.other(), other.load_a);
            others.push(led(&format!("  {}: ", name(unit, row)), &text));
        }
    }
    section(&mut out, "READ OTHERWISE", &others);
    let mut asked: Vec<Question> = Vec::new();
    let mut closed = Vec::new();
    for (unit, row) in loads.rows() {
        match &row.sheet {
            Err(Blocked::Ask(questions)) => {
                for one in questions {
                    if !asked.contains(one) {
                        asked.push(one.clone());
                    }
                }
            }
            Err(other) => closed.push(led(&format!("  {}: ", name(unit, row)), &other.to_string())),
            Ok(_) => {}
        }
    }
    section(&mut out, "TO BE ASKED", &questions(&asked));
    section(&mut out, "NOT COMPUTED", &closed);
    out
}

fn section(out: &mut String, title: &str, lines: &[String]) {
    if !lines.is_empty() {
        let _ = write!(out, "\n{title}\n{}", lines.concat());
    }
}

/// Questions, one a paragraph.
pub(crate) fn questions(asked: &[Question]) -> Vec<String> {
    asked.iter().map(|one| led("  ? ", &format!("{}: {} ({})", one.subject, one.ask, one.why))).collect()
}

/// Every working of every method.
pub(crate) fn workings_of(loads: &Loads) -> String {
    let mut out = String::new();
    for (unit, row) in loads.rows() {
        let Ok(sheet) = &row.sheet else { continue };
        let _ = writeln!(out, "\nWORKING: {}", name(unit, row));
        for working in sheet.all_workings() {
            out.push_str(&self::working(&working));
        }
        for note in &sheet.notes {
            out.push_str(&self::note(note));
        }
    }
    out
}

/// One working.
pub(crate) fn working(working: &Working) -> String {
    let mut out = led("  = ", &format!("{}: {}", working.title, working.result));
    out.push_str(&wrapped(&working.formula, "      "));
    for input in &working.inputs {
        let symbol = if input.symbol.is_empty() { "·" } else { &input.symbol };
        out.push_str(&wrapped(
            &format!("{symbol}  {}: {}  [{}]", input.meaning, input.value, input.from),
            "        ",
        ));
    }
    out.push_str(&wrapped(&format!("holds for: {}", working.validity), "      "));
    out.push_str(&wrapped(&format!("source: {}", working.cite), "      "));
    out
}

/// A remark.
pub(crate) fn note(note: &Note) -> String {
    let cite = note.cite.as_ref().map(|cite| format!(" [{cite}]")).unwrap_or_default();
    led("  ! ", &format!("{}: {}{cite}", note.subject, note.text))
}

/// A finding.
pub(crate) fn finding(finding: &Finding) -> String {
    let met = match &finding.answer {
        Answer::Required { met: Some(true) } => ", met",
        Answer::Required { met: Some(false) } => ", not met",
        _ => "",
    };
    let mut out =
        led("  ", &format!("{}: {}{met}", finding.title, answer_word(&finding.answer).to_uppercase()));
    match &finding.answer {
        Answer::DependsOn(question) => out.push_str(&wrapped(&format!("? {question}"), "      ")),
        Answer::Refused(refused) => out.push_str(&wrapped(&refused.to_string(), "      ")),
        _ => {}
    }
    out.push_str(&wrapped(&finding.text, "      "));
    if let Some(cite) = &finding.cite {
        out.push_str(&wrapped(&format!("source: {cite}"), "      "));
    }
    out
}

/// A size, or why there is none.
pub(crate) fn size(line: &SizeLine, full: bool) -> String {
    let mut out = match &line.result {
        Ok(size) => led("  ", &format!("{}: {size}", line.title)),
        Err(why) => led("  ", &format!("{}: none, {why}", line.title)),
    };
    for one in line.workings.iter().filter(|_| full) {
        out.push_str(&working(one));
    }
    for one in &line.notes {
        out.push_str(&note(one));
    }
    out
}
