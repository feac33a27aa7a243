//! Meter data as comma-separated text, fed in pieces: columns by name, local labels, clock changes.

use super::civil;
use super::import::{Channel, Flow, Import};
use super::series::{Reading, Series};
use model::Note;

/// Unit of the value column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ValueUnit {
    /// Energy of the interval, Wh.
    Wh,
    /// Energy of the interval, kWh.
    Kwh,
    /// Mean power, W.
    W,
    /// Mean power, kW.
    Kw,
}

/// How to read the file. What is `None` is looked for in the header.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CsvForm {
    /// Name of the column with the value.
    pub value: Option<String>,
    /// Its unit.
    pub unit: Option<ValueUnit>,
    /// Length of an interval, s; otherwise the most common step.
    pub interval_s: Option<u32>,
}

/// Why a file cannot be read, or what must be said first.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CsvTrouble {
    /// No header with a time.
    #[error("no line has a column of dates or times and a column of values: no header was found")]
    NoHeader,
    /// Several columns could be meant.
    #[error("several columns could be meant; name one: {}", names.join("; "))]
    WhichColumn {
        /// Their names.
        names: Vec<String>,
    },
    /// No such column.
    #[error("there is no column `{name}`")]
    NoColumn {
        /// Name.
        name: String,
    },
    /// Unit not told.
    #[error("the unit of column `{name}` is not told: say Wh, kWh, W or kW")]
    NoUnit {
        /// Name of the column.
        name: String,
    },
    /// A line that cannot be read.
    #[error("line {line}: `{text}` is no {what}")]
    Line {
        /// Line, from 1.
        line: usize,
        /// Text.
        text: String,
        /// What it should be.
        what: &'static str,
    },
    /// No regular step.
    #[error("the step between the lines cannot be told: give the length of an interval")]
    NoStep,
}

#[derive(Debug)]
struct Columns {
    time: usize,
    clock: Option<usize>,
    value: usize,
    unit: ValueUnit,
    name: String,
}

/// Reads a file of any size in pieces.
#[derive(Debug)]
pub struct CsvReader {
    form: CsvForm,
    pending: Vec<u8>,
    bytes: u64,
    line: usize,
    columns: Option<Columns>,
    rows: Vec<(i64, f64)>,
}

impl CsvReader {
    /// A reader that was fed nothing yet.
    pub fn new(form: CsvForm) -> Self {
        CsvReader { form, pending: vec![], bytes: 0, line: 0, columns: None, rows: vec![] }
    }

    /// Bytes taken so far, for a progress display.
    pub fn bytes(&self) -> u64 {
        self.bytes
    }

    /// Takes the next piece of the file, of any length.
    pub fn feed(&mut self, bytes: &[u8]) -> Result<(), CsvTrouble> {
        self.bytes += bytes.len() as u64;
        self.pending.extend_from_slice(bytes);
        let Some(end) = self.pending.iter().rposition(|byte| *byte == b'\n') else { return Ok(()) };
        let rest = self.pending.split_off(end + 1);
        let whole = std::mem::replace(&mut self.pending, rest);
        self.lines(&whole)
    }

    /// The file has ended: what was in it.
    pub fn finish(mut self) -> Result<Import, CsvTrouble> {
        let mut last = std::mem::take(&mut self.pending);
        last.push(b'\n');
        self.lines(&last)?;
        let Some(columns) = &self.columns else { return Err(CsvTrouble::NoHeader) };
        let mut notes =
            vec![Note::new("meter data", "the times are the labels of the file, in its own local time")];
        let mut rows = self.rows;
        let descending = rows.windows(2).filter(|pair| pair[1].0 < pair[0].0).count() * 2 > rows.len();
        if descending {
            rows.reverse();
        }
        let step = match self.form.interval_s {
            Some(step) => i64::from(step),
            None => common_step(&rows).ok_or(CsvTrouble::NoStep)?,
        };
        let hours = step as f64 / 3600.0;
        let mut shift = 0;
        let mut before: Option<i64> = None;
        let mut readings = Vec::with_capacity(rows.len());
        for (label, value) in rows {
            if let Some(before) = before {
                let jump = label + shift - (before + step);
                let changes = civil::day_at(label, 0).is_some_and(civil::clocks_change);
                // In autumn an hour of labels comes twice, in spring one is left out; no energy is lost by either.
                if changes && (jump == -3600 || jump == 3600) {
                    shift -= jump;
                    let way = if jump < 0 { "come twice" } else { "are left out" };
                    notes.push(Note::new(
                        "meter data",
                        format!("labels of an hour {way} at a clock change: taken as such"),
                    ));
                }
            }
            let start_s = label + shift;
            before = Some(start_s);
            let wh = match columns.unit {
                ValueUnit::Wh => value,
                ValueUnit::Kwh => value * 1000.0,
                ValueUnit::W => value * hours,
                ValueUnit::Kw => value * hours * 1000.0,
            };
            readings.push(Reading { start_s, seconds: step as u32, wh, quality: 0 });
        }
        let channel = Channel {
            usage_point: "1".to_owned(),
            label: format!("column {}", columns.name),
            flow: Flow::Unspecified,
            series: Ok(Series::clean(readings)),
        };
        Ok(Import { channels: vec![channel], offset_s: None, notes })
    }

    fn lines(&mut self, bytes: &[u8]) -> Result<(), CsvTrouble> {
        for line in bytes.split(|byte| *byte == b'\n') {
            self.line += 1;
            let text = String::from_utf8_lossy(line);
            let text = text.trim_start_matches('\u{feff}').trim();
            if text.is_empty() {
                continue;
            }
            let cells = cells(text);
            match &self.columns {
                None => self.columns = header(&cells, &self.form)?,
                Some(columns) => {
                    if let Some(row) = row(&cells, columns, self.line)? {
                        self.rows.push(row);
                    }
                }
            }
        }
        // The piece after the last line end is no line of its own.
        self.line -= 1;
        Ok(())
    }
}

/// The cells of a line. A quote that is not closed ends with the line: meter files have no cells of several lines, and
/// one stray quote must not swallow the rest of a file.
fn cells(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    for letter in line.chars() {
        match letter {
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            _ => cells.last_mut().expect("there is always one").push(letter),
        }
    }
    for cell in &mut cells {
        *cell = cell.trim().to_owned();
    }
    cells
}

fn row(cells: &[String], columns: &Columns, line: usize) -> Result<Option<(i64, f64)>, CsvTrouble> {
    let (Some(time), Some(value)) = (cells.get(columns.time), cells.get(columns.value)) else {
        return Ok(None);
    };
    if time.is_empty() && value.is_empty() {
        return Ok(None);
    }
    let label = match columns.clock.and_then(|clock| cells.get(clock)) {
        Some(clock) => format!("{time} {clock}"),
        None => time.clone(),
    };
    let at = civil::read(&label).ok_or(CsvTrouble::Line { line, text: label, what: "date and time" })?;
    // A missing value is a gap, not a zero.
    if value.is_empty() {
        return Ok(None);
    }
    let number: f64 = value
        .replace(',', "")
        .parse()
        .ok()
        .filter(|number: &f64| number.is_finite())
        .ok_or_else(|| CsvTrouble::Line { line, text: value.clone(), what: "number" })?;
    Ok(Some((civil::seconds_of(at), number)))
}

/// Is this line the header? Lines before it, with names and addresses, are passed over and not kept.
fn header(cells: &[String], form: &CsvForm) -> Result<Option<Columns>, CsvTrouble> {
    let lower: Vec<String> = cells.iter().map(|cell| cell.to_ascii_lowercase()).collect();
    let find = |words: &[&str]| lower.iter().position(|cell| words.iter().any(|word| cell.contains(word)));
    let date = find(&["date"]);
    let clock = find(&["start time", "starttime", "hour"]).or_else(|| find(&["time", "start"]));
    let (time, clock) = match (date, clock) {
        (Some(date), Some(clock)) if date != clock => (date, Some(clock)),
        (Some(only), _) | (None, Some(only)) => (only, None),
        (None, None) => return Ok(None),
    };
    let candidates: Vec<usize> = (0..cells.len())
        .filter(|idx| *idx != time && Some(*idx) != clock)
        .filter(|idx| {
            let cell = &lower[*idx];
            ["kwh", "wh", "kw", "usage", "consumption", "energy", "value"]
                .iter()
                .any(|word| cell.contains(word))
                && !["cost", "unit", "price"].iter().any(|word| cell.contains(word))
        })
        .collect();
    let value = match (&form.value, candidates.as_slice()) {
        (Some(name), _) => cells
            .iter()
            .position(|cell| cell == name)
            .ok_or_else(|| CsvTrouble::NoColumn { name: name.clone() })?,
        (None, []) => return Ok(None),
        (None, [one]) => *one,
        (None, many) => {
            return Err(CsvTrouble::WhichColumn {
                names: many.iter().map(|idx| cells[*idx].clone()).collect(),
            });
        }
    };
    let name = cells[value].clone();
    let told = &lower[value];
    let unit = form.unit.or(if told.contains("kwh") {
        Some(ValueUnit::Kwh)
    } else if told.contains("wh") {
        Some(ValueUnit::Wh)
    } else if told.contains("kw") {
        Some(ValueUnit::Kw)
    } else if told.contains("(w)") {
        Some(ValueUnit::W)
    } else {
        None
    });
    match unit {
        Some(unit) => Ok(Some(Columns { time, clock, value, unit, name })),
        None => Err(CsvTrouble::NoUnit { name }),
    }
}

fn common_step(rows: &[(i64, f64)]) -> Option<i64> {
    let mut counts = std::collections::BTreeMap::<i64, usize>::new();
    for pair in rows.windows(2) {
        let step = pair[1].0 - pair[0].0;
        if 0 < step {
            *counts.entry(step).or_default() += 1;
        }
    }
    counts.into_iter().max_by_key(|(_, count)| *count).map(|(step, _)| step)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str, form: CsvForm) -> Result<Import, CsvTrouble> {
        let mut reader = CsvReader::new(form);
        for piece in text.as_bytes().chunks(7) {
            reader.feed(piece)?;
        }
        reader.finish()
    }

    #[test]
    fn clock_changes_lose_and_double_no_energy() {
        let mut text =
            String::from("Name,Jane Doe (invented)\nTYPE,DATE,START TIME,END TIME,USAGE (kWh),COST\n");
        for hour in ["00:00", "01:00", "03:00", "04:00"] {
            text += &format!("Electric usage,2018-03-11,{hour},{hour},1.0,0.1\n");
        }
        let spring = read(&text, CsvForm::default()).expect("it reads");
        let series = spring.only().expect("one").series.clone().expect("usable");
        assert_eq!((series.readings.len(), series.gap_s), (4, 0));
        let autumn = "Time,kWh\n2018-11-04 00:00,1\n2018-11-04 01:00,2\n2018-11-04 02:00,3\n2018-11-04 02:00,4\n2018-11-04 03:00,5\n";
        let import = read(autumn, CsvForm::default()).expect("it reads");
        let series = import.only().expect("one").series.clone().expect("usable");
        assert_eq!((series.readings.len(), series.conflicts.len(), series.gap_s), (5, 0, 0));
        assert_eq!(series.kwh(), 15.0);
    }

    #[test]
    fn newest_first_gives_the_same() {
        let up = "Time,kW\n2020-06-01 00:00,1\n2020-06-01 00:15,2\n2020-06-01 00:30,3\n";
        let down = "Time,kW\n2020-06-01 00:30,3\n2020-06-01 00:15,2\n2020-06-01 00:00,1\n";
        let series =
            |text| read(text, CsvForm::default()).expect("reads").only().expect("one").series.clone();
        assert_eq!(series(up), series(down));
        assert_eq!(series(up).expect("usable").kwh(), 1.5);
    }

    #[test]
    fn what_is_not_clear_is_asked() {
        assert!(matches!(read("a,b\n1,2\n", CsvForm::default()), Err(CsvTrouble::NoHeader)));
        assert!(matches!(
            read("Time,A (kW),B (kW)\n", CsvForm::default()),
            Err(CsvTrouble::WhichColumn { .. })
        ));
        assert!(matches!(read("Time,Usage\n", CsvForm::default()), Err(CsvTrouble::NoUnit { .. })));
        let bad = read("Time,kW\n2020-06-01 00:00,1\n2020-06-01 00:15,many\n", CsvForm::default());
        assert_eq!(bad, Err(CsvTrouble::Line { line: 3, text: "many".to_owned(), what: "number" }));
    }
}
