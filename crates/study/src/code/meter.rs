//! Interval-meter files fed in pieces: what they are is seen from their first bytes, and nothing of them is kept but the
//! readings.

use codebook::load::{Basis, MeasuredDemand};
use codebook::meter::{
    BadXml, Channel, CsvForm, CsvReader, CsvTrouble, DayPeak, EspiReader, Import, MeterDemand, Series,
};
use model::Note;

/// Bytes by which XML and CSV are told apart.
const SNIFFED: usize = 512;

/// Days with the highest peaks that are shown.
const PEAK_DAYS: usize = 5;

/// Why a file was not read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unread {
    /// It is some other kind of file.
    #[error("the file is {what}, neither ESPI XML nor a table of comma-separated values")]
    Other {
        /// What it looks like.
        what: &'static str,
    },
    /// Not the XML that is read.
    #[error(transparent)]
    Xml(#[from] BadXml),
    /// Not the table that is read.
    #[error(transparent)]
    Csv(#[from] CsvTrouble),
}

#[derive(Debug)]
enum Reader {
    /// The first bytes, not enough yet to tell.
    Start(Vec<u8>, CsvForm),
    Xml(Box<EspiReader>),
    Csv(Box<CsvReader>),
}

/// Reads a meter file of any size in pieces.
#[derive(Debug)]
pub struct MeterReader {
    reader: Reader,
    bytes: u64,
}

impl MeterReader {
    /// A reader that was fed nothing yet. `form` says how a table is to be read, if it is one.
    pub fn new(form: CsvForm) -> Self {
        MeterReader { reader: Reader::Start(Vec::new(), form), bytes: 0 }
    }

    /// Bytes taken so far, for a progress display.
    pub fn bytes(&self) -> u64 {
        self.bytes
    }

    /// Takes the next piece, of any length.
    ///
    /// # Errors
    /// The file is of another kind, or broken there.
    pub fn feed(&mut self, bytes: &[u8]) -> Result<(), Unread> {
        self.bytes += bytes.len() as u64;
        match &mut self.reader {
            Reader::Start(start, _) => {
                start.extend_from_slice(bytes);
                if SNIFFED <= start.len() { self.sniff() } else { Ok(()) }
            }
            Reader::Xml(reader) => Ok(reader.feed(bytes)?),
            Reader::Csv(reader) => Ok(reader.feed(bytes)?),
        }
    }

    /// Sees from the first bytes what the file is.
    fn sniff(&mut self) -> Result<(), Unread> {
        let Reader::Start(start, form) = &mut self.reader else { return Ok(()) };
        let (start, form) = (std::mem::take(start), std::mem::take(form));
        let text = start.strip_prefix(b"\xef\xbb\xbf").unwrap_or(&start);
        let first = text.iter().position(|byte| !byte.is_ascii_whitespace()).map(|at| text[at]);
        let other = |what| Err(Unread::Other { what });
        // UTF-16 is named by the reader of XML.
        let utf16 = start.starts_with(b"\xff\xfe") || start.starts_with(b"\xfe\xff");
        if first == Some(b'<') || utf16 || first.is_none() {
            let mut reader = EspiReader::new();
            reader.feed(&start)?;
            self.reader = Reader::Xml(Box::new(reader));
            return Ok(());
        }
        if start.starts_with(b"PK\x03\x04") {
            return other("a ZIP archive or a spreadsheet: unpack it, or save the sheet as CSV");
        }
        if start.starts_with(b"%PDF") {
            return other("a PDF: ask the utility for interval data as XML or CSV");
        }
        if start.starts_with(b"\x1f\x8b") {
            return other("a compressed file: unpack it");
        }
        if start.contains(&0) {
            return other("no text");
        }
        if first == Some(b'{') || first == Some(b'[') {
            return other("JSON");
        }
        let mut reader = CsvReader::new(form);
        reader.feed(text)?;
        self.reader = Reader::Csv(Box::new(reader));
        Ok(())
    }

    /// The file has ended: what was in it. `service_a` and `volts` catch a wrong scale where they are known;
    /// `offset_h` places midnight, where a person knows better than the file.
    ///
    /// # Errors
    /// The file is of another kind, or broken.
    pub fn finish(
        mut self,
        service_a: Option<f64>,
        volts: f64,
        offset_h: Option<f64>,
    ) -> Result<MeterData, Unread> {
        self.sniff()?;
        let import = match self.reader {
            Reader::Xml(reader) => reader.finish()?,
            Reader::Csv(reader) => reader.finish()?,
            Reader::Start(..) => return Err(Unread::Xml(BadXml::Empty)),
        };
        let offset_s = offset_h.map(|hours| (hours * 3600.0) as i32).or(import.offset_s).unwrap_or(0);
        let channels =
            import.channels.iter().map(|channel| channel_of(&import, channel, service_a, volts, offset_s));
        let told = import.offset_s.is_some() || offset_h.is_some();
        Ok(MeterData {
            bytes: self.bytes,
            channels: channels.collect(),
            notes: import.notes.clone(),
            offset_s,
            offset_told: told,
        })
    }
}

/// What a file held.
#[derive(Debug, Clone, PartialEq)]
pub struct MeterData {
    /// Size, bytes.
    pub bytes: u64,
    /// Channels. Several are never added.
    pub channels: Vec<MeterChannel>,
    /// Remarks on the file.
    pub notes: Vec<Note>,
    /// Offset of local time by which days are told, s.
    pub offset_s: i32,
    /// Did the file or a person tell it?
    pub offset_told: bool,
}

/// A channel with what it supports.
#[derive(Debug, Clone, PartialEq)]
pub struct MeterChannel {
    /// What tells it from the others.
    pub label: String,
    /// Readings, or why the channel cannot be used.
    pub readings: Result<Readings, String>,
}

/// The readings of a channel at a glance.
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    /// Readings after cleaning.
    pub n: usize,
    /// Length of an interval, s.
    pub interval_s: u32,
    /// Energy, kWh.
    pub kwh: f64,
    /// Greatest mean power of a reading, kW.
    pub peak_kw: f64,
    /// Every day.
    pub days: Vec<DayPeak>,
    /// Days with the highest peaks, highest first.
    pub peak_days: Vec<DayPeak>,
    /// The readings of those days: hour of the day and kW.
    pub courses: Vec<Vec<(f64, f64)>>,
    /// The demand that they support, or why none.
    pub demand: Result<Demand, String>,
    /// Remarks.
    pub notes: Vec<Note>,
}

/// A demand out of meter data.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// For the load calculation.
    pub measured: MeasuredDemand,
    /// At most this for any fifteen minutes, two intervals together, kW.
    pub straddling_kw: f64,
    /// Length of the meter's intervals, minutes.
    pub interval_min: u32,
    /// Days of a recording; nothing where it is a year.
    pub days: Option<u32>,
}

fn channel_of(
    import: &Import,
    channel: &Channel,
    service_a: Option<f64>,
    volts: f64,
    offset_s: i32,
) -> MeterChannel {
    let readings = match &channel.series {
        Err(why) => Err(why.to_string()),
        Ok(series) => Ok(readings(import, series, service_a, volts, offset_s)),
    };
    MeterChannel { label: channel.label.clone(), readings }
}

fn readings(import: &Import, series: &Series, service_a: Option<f64>, volts: f64, offset_s: i32) -> Readings {
    let demand = import.demand(series, service_a, volts);
    let mut notes = match &demand {
        Ok(demand) => demand.notes.clone(),
        Err(_) => series.notes.clone(),
    };
    notes.dedup();
    let peak_days = series.peak_days(offset_s, PEAK_DAYS);
    let courses = peak_days.iter().map(|day| course(series, *day, offset_s)).collect();
    Readings {
        n: series.readings.len(),
        interval_s: series.interval_s,
        kwh: series.kwh(),
        peak_kw: series.peak().map_or(0.0, codebook::meter::Reading::kw),
        days: series.days(offset_s),
        peak_days,
        courses,
        demand: demand.map(|demand| demand_of(&demand)).map_err(|why| why.to_string()),
        notes,
    }
}

fn demand_of(demand: &MeterDemand) -> Demand {
    let (interval_min, days) = match demand.basis {
        Basis::Year { interval_min } => (interval_min, None),
        Basis::Recording { days, interval_min } => (interval_min, Some(days)),
    };
    // To the watt: no meter tells more.
    let watts = |kw: f64| (kw * 1000.0).round() / 1000.0;
    let measured = demand.measured();
    let (least_kw, most_kw) = (watts(measured.least_kw), watts(measured.most_kw));
    let measured = MeasuredDemand { least_kw, most_kw, ..measured };
    Demand { measured, straddling_kw: watts(demand.straddling_kw), interval_min, days }
}

/// The readings of one day as hours from midnight and kW.
fn course(series: &Series, day: DayPeak, offset_s: i32) -> Vec<(f64, f64)> {
    series.course(day.day, offset_s)
}
