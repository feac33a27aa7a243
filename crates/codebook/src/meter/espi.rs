//! ESPI ("Green Button") XML, fed in pieces. Names, titles and addresses in the file are not kept.

use super::import::{Channel, Import, Known, Raw, Unusable, flow, scaled};
use super::pieces::{BadXml, Pieces};
use super::series::Series;
use model::Note;
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};
use std::collections::BTreeMap;

/// Roots that a file or a fragment of one may have.
const ROOTS: [&str; 6] = ["feed", "entry", "UsagePoint", "MeterReading", "ReadingType", "IntervalBlock"];

/// Kinds of elements that are kept apart; ESPI has some two hundred.
const MOST_NAMES: usize = 1000;

#[derive(Debug, Default)]
struct Entry {
    own: Option<String>,
    up: Option<String>,
    related: Vec<String>,
    kind: Option<i32>,
    reading_type: Option<Known>,
    is_meter: bool,
    raw: Vec<Raw>,
}

/// Readings of one meter reading, by its link.
#[derive(Debug, Default)]
struct Block {
    raw: Vec<Raw>,
}

/// Reads a file of any size in pieces.
#[derive(Debug)]
pub struct EspiReader {
    pieces: Pieces,
    /// Names of elements met, each once.
    names: Vec<String>,
    /// Open elements, as places in `names`.
    stack: Vec<usize>,
    text: String,
    entry: Entry,
    start_s: Option<i64>,
    seconds: Option<u32>,
    value: Option<f64>,
    quality: u8,
    /// Service kind by usage point.
    kinds: BTreeMap<String, Option<i32>>,
    /// Reading types by link.
    types: BTreeMap<String, Known>,
    loose_types: Vec<Known>,
    /// Reading type links by meter reading.
    meters: BTreeMap<String, Vec<String>>,
    blocks: BTreeMap<String, Block>,
    offset_s: Option<i32>,
    rooted: bool,
}

impl Default for EspiReader {
    fn default() -> Self {
        EspiReader::new()
    }
}

impl EspiReader {
    /// A reader that was fed nothing yet.
    pub fn new() -> Self {
        EspiReader {
            pieces: Pieces::new(),
            names: vec![],
            stack: vec![],
            text: String::new(),
            entry: Entry::default(),
            start_s: None,
            seconds: None,
            value: None,
            quality: 0,
            kinds: BTreeMap::new(),
            types: BTreeMap::new(),
            loose_types: vec![],
            meters: BTreeMap::new(),
            blocks: BTreeMap::new(),
            offset_s: None,
            rooted: false,
        }
    }

    /// Bytes taken so far, for a progress display.
    pub fn bytes(&self) -> u64 {
        self.pieces.bytes()
    }

    /// Readings found so far.
    pub fn n_readings(&self) -> usize {
        self.entry.raw.len() + self.blocks.values().map(|block| block.raw.len()).sum::<usize>()
    }

    /// Takes the next piece of the file, of any length.
    pub fn feed(&mut self, bytes: &[u8]) -> Result<(), BadXml> {
        self.pieces.feed(bytes)?;
        let ready = std::mem::replace(&mut self.pieces, Pieces::new());
        let told = self.read(ready.ready(), ready.start());
        self.pieces = ready;
        self.pieces.taken();
        told
    }

    /// The file has ended: what was in it.
    pub fn finish(mut self) -> Result<Import, BadXml> {
        if let Some(element) = self.stack.last() {
            return Err(BadXml::CutOff { element: self.names[*element].clone() });
        }
        if self.pieces.is_inside() {
            return Err(BadXml::CutOff { element: "markup".to_owned() });
        }
        if !self.rooted {
            return Err(BadXml::Empty);
        }
        if self.pieces.rest().iter().any(|byte| !byte.is_ascii_whitespace()) {
            let at = self.pieces.start();
            return Err(BadXml::Form { at, message: "text after the root element".to_owned() });
        }
        self.end_entry();
        Ok(self.gather())
    }

    fn read(&mut self, bytes: &[u8], start: u64) -> Result<(), BadXml> {
        // Cut at the end of markup, so never inside a character. Bytes of another encoding stand in names only.
        let text = String::from_utf8_lossy(bytes);
        let mut reader = Reader::from_str(&text);
        let config = reader.config_mut();
        config.check_end_names = false;
        config.allow_unmatched_ends = true;
        loop {
            let at = start + reader.buffer_position();
            let form = |message: String| BadXml::Form { at, message };
            match reader.read_event().map_err(|error| form(error.to_string()))? {
                Event::Eof => return Ok(()),
                Event::Start(tag) => self.open(&tag)?,
                Event::Empty(tag) => {
                    self.open(&tag)?;
                    self.close(at)?;
                }
                Event::End(tag) => {
                    let name = tag.local_name();
                    if self.stack.last().is_none_or(|open| self.names[*open] != name.as_ref()) {
                        let name = name.as_ref().to_owned();
                        return Err(form(format!("`{name}` is closed where it is not open")));
                    }
                    self.close(at)?;
                }
                Event::Text(text) => self.text.push_str(&text),
                Event::CData(text) => self.text.push_str(&text),
                // Entities in names and titles; no number has one.
                Event::GeneralRef(_) => self.text.push('\u{fffd}'),
                Event::Comment(_) | Event::Decl(_) | Event::PI(_) | Event::DocType(_) => {}
            }
        }
    }

    fn open(&mut self, tag: &BytesStart<'_>) -> Result<(), BadXml> {
        let local = tag.local_name();
        let name = local.as_ref();
        if self.stack.is_empty() {
            if !ROOTS.contains(&name) {
                return Err(BadXml::ForeignRoot { root: name.to_owned() });
            }
            self.rooted = true;
        }
        match name {
            "entry" => self.end_entry(),
            "link" => self.link(tag),
            "ReadingType" => self.entry.reading_type = Some(Known::default()),
            "MeterReading" => self.entry.is_meter = true,
            "UsagePoint" => self.entry.kind = self.entry.kind.or(Some(0)),
            "IntervalReading" => {
                (self.start_s, self.seconds, self.value, self.quality) = (None, None, None, 0);
            }
            _ => {}
        }
        self.text.clear();
        let known = self.names.iter().position(|known| known == name);
        if known.is_none() && MOST_NAMES <= self.names.len() {
            return Err(BadXml::ManyElements { most: MOST_NAMES });
        }
        self.stack.push(known.unwrap_or_else(|| {
            self.names.push(name.to_owned());
            self.names.len() - 1
        }));
        Ok(())
    }

    fn link(&mut self, tag: &BytesStart<'_>) {
        let (mut rel, mut href) = (String::new(), String::new());
        for attribute in tag.attributes().with_checks(false).flatten() {
            let value = attribute.value.replace("&amp;", "&");
            match attribute.key.local_name().as_ref() {
                "rel" => rel = value,
                "href" => href = value.trim().trim_end_matches('/').to_owned(),
                _ => {}
            }
        }
        match rel.trim() {
            "self" => self.entry.own = Some(href),
            "up" => self.entry.up = Some(href),
            "related" => self.entry.related.push(href),
            _ => {}
        }
    }

    fn close(&mut self, at: u64) -> Result<(), BadXml> {
        let Some(name) = self.stack.pop() else { return Ok(()) };
        let name = self.names[name].as_str();
        let parent = self.stack.last().map_or("", |open| self.names[*open].as_str());
        let text = self.text.trim();
        let number = |element: &str| -> Result<f64, BadXml> {
            text.parse::<f64>().ok().filter(|number| number.is_finite()).ok_or_else(|| BadXml::Number {
                element: element.to_owned(),
                text: text.chars().take(40).collect(),
                at,
            })
        };
        let in_reading = self.stack.iter().rev().take(2).any(|open| self.names[*open] == "IntervalReading");
        match (name, parent) {
            ("start", "timePeriod") if in_reading => {
                let start = number("start")?;
                // Before 1970 or after 2200 there is no meter data.
                if !(0.0..=7.26e9).contains(&start) {
                    let text = text.to_owned();
                    return Err(BadXml::Number { element: name.to_owned(), text, at });
                }
                self.start_s = Some(start as i64);
            }
            ("duration", "timePeriod") if in_reading => {
                let seconds = number("duration")?;
                if !(0.0..=4e7).contains(&seconds) {
                    let text = text.to_owned();
                    return Err(BadXml::Number { element: name.to_owned(), text, at });
                }
                self.seconds = Some(seconds as u32);
            }
            ("value", "IntervalReading") => self.value = Some(number("value")?),
            ("quality", "ReadingQuality" | "IntervalReading") => {
                // The worst code of a reading counts; 7 to 13 are the doubtful ones.
                let code = number("quality")? as u8;
                if self.quality == 0 || (7..=13).contains(&code) {
                    self.quality = code;
                }
            }
            ("IntervalReading", _) => {
                if let (Some(start_s), Some(value)) = (self.start_s, self.value) {
                    self.entry.raw.push(Raw { start_s, seconds: self.seconds, value, quality: self.quality });
                }
            }
            ("kind", "ServiceCategory") => self.entry.kind = Some(number("kind")? as i32),
            ("tzOffset", _) => self.offset_s = Some(number("tzOffset")? as i32),
            (field, "ReadingType") => {
                if let Some(mut known) = self.entry.reading_type {
                    match field {
                        "uom" => known.uom = Some(number(field)? as i32),
                        "powerOfTenMultiplier" => known.power = number(field)? as i32,
                        "intervalLength" => known.interval_s = Some(number(field)? as u32),
                        "flowDirection" => known.flow = Some(number(field)? as i32),
                        "accumulationBehaviour" => known.accumulation = Some(number(field)? as i32),
                        "commodity" => known.commodity = Some(number(field)? as i32),
                        _ => {}
                    }
                    self.entry.reading_type = Some(known);
                }
            }
            ("entry", _) => self.end_entry(),
            _ => {}
        }
        self.text.clear();
        Ok(())
    }

    fn end_entry(&mut self) {
        let entry = std::mem::take(&mut self.entry);
        let own = entry.own.clone().unwrap_or_default();
        if let Some(kind) = entry.kind {
            self.kinds.insert(own.clone(), Some(kind));
        }
        if let Some(known) = entry.reading_type {
            match entry.own {
                Some(own) => {
                    self.types.insert(own, known);
                }
                None => self.loose_types.push(known),
            }
        }
        if entry.is_meter {
            let types = entry.related.iter().filter(|href| href.contains("ReadingType")).cloned();
            self.meters.insert(own.clone(), types.collect());
        }
        if !entry.raw.is_empty() {
            let key = entry
                .up
                .as_deref()
                .and_then(|up| up.strip_suffix("/IntervalBlock"))
                .or_else(|| own.rfind("/IntervalBlock").map(|end| &own[..end]))
                .unwrap_or("")
                .to_owned();
            self.blocks.entry(key).or_default().raw.extend(entry.raw);
        }
    }

    /// The reading type of a meter reading: by its link, else the only one that is there.
    fn type_of(&self, meter: &str) -> Result<(Known, bool), Unusable> {
        if let Some(links) = self.meters.get(meter)
            && let Some(known) = links.iter().find_map(|link| self.types.get(link))
        {
            return Ok((*known, false));
        }
        let all: Vec<&Known> = self.types.values().chain(&self.loose_types).collect();
        match all.as_slice() {
            [] => Err(Unusable::NoUnit),
            [one] => Ok((**one, self.meters.contains_key(meter))),
            // Several that say the same are as good as one.
            [first, rest @ ..] if rest.iter().all(|other| other == first) => Ok((**first, true)),
            many => Err(Unusable::ManyUnits { n: many.len() }),
        }
    }

    fn gather(mut self) -> Import {
        let mut notes = vec![];
        let mut channels = vec![];
        let mut numbers = BTreeMap::<String, usize>::new();
        let blocks = std::mem::take(&mut self.blocks);
        for (meter, block) in blocks {
            let point = meter.find("/MeterReading").map_or("", |end| &meter[..end]).to_owned();
            let n = numbers.len() + 1;
            let n = *numbers.entry(point.clone()).or_insert(n);
            let kind = self.kinds.get(&point).copied().flatten().or_else(|| match self.kinds.len() {
                1 => self.kinds.values().next().copied().flatten(),
                _ => None,
            });
            let usage_point = n.to_string();
            let known = self.type_of(&meter);
            if matches!(known, Ok((_, true))) {
                notes.push(Note::new(
                    "meter data",
                    "the readings name no reading type that is there; the only one was taken",
                ));
            }
            let code = known.as_ref().ok().and_then(|(known, _)| known.flow);
            let commodity = known.as_ref().ok().and_then(|(known, _)| known.commodity);
            let n_raw = block.raw.len();
            let series = match (kind, commodity) {
                (Some(kind), _) if kind != 0 => {
                    Err(Unusable::NotElectricity { usage_point: usage_point.clone(), kind })
                }
                (_, Some(kind)) if kind != 0 && kind != 1 => {
                    Err(Unusable::NotElectricity { usage_point: usage_point.clone(), kind })
                }
                _ => known.and_then(|(known, _)| scaled(block.raw, &known, &mut notes)).map(Series::clean),
            };
            let flow = flow(code);
            let label = format!(
                "usage point {usage_point}, channel {}, {n_raw} readings, {flow:?}",
                channels.len() + 1
            );
            channels.push(Channel { usage_point, label, flow, series });
        }
        if channels.is_empty() {
            notes.push(Note::new("meter data", "the file has no interval readings"));
        }
        Import { channels, offset_s: self.offset_s, notes }
    }
}
