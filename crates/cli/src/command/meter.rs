//! `panelwright meter`.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::screen::{Bytes, Screen};
use crate::show::code::{note, wrapped};
use clap::{Args, ValueEnum};
use serde_json::json;
use std::fmt::Write as _;
use std::fs::File;
use std::io::{self, Read};
use std::path::PathBuf;
use study::code::{CsvForm, MeterChannel, MeterData, MeterReader, Readings, Unread, ValueUnit};

/// Read interval-meter data: what is in the file, the demand that it supports as an interval, a chart.
///
/// ESPI XML ("Green Button") and comma-separated tables, of any size, read in pieces. Names and addresses in the file are
/// not kept. What it supports no demand for is refused with the reason. Several usage points are never added: name one
/// with --channel.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright meter usage.xml
  panelwright meter usage.xml --channel 2 --chart year.svg
  panelwright meter usage.csv --column kwh --unit kwh --interval-min 15")]
pub(crate) struct MeterArgs {
    /// An ESPI XML file or a table of comma-separated values, or `-` for standard input.
    #[arg(value_name = "FILE")]
    file: PathBuf,

    /// Channel to use, where the file holds several.
    #[arg(long, value_name = "NUMBER")]
    channel: Option<usize>,

    /// Hours from UTC to local time, for midnight, where the file does not tell it or tells it wrong.
    #[arg(long, value_name = "HOURS", allow_negative_numbers = true)]
    utc_offset: Option<f64>,

    /// Rating of the service, A: a demand far above it is an error of scale.
    #[arg(long, value_name = "A")]
    service: Option<f64>,

    /// Of a table: name of the column with the value.
    #[arg(long, value_name = "NAME")]
    column: Option<String>,

    /// Of a table: unit of the value.
    #[arg(long, value_enum)]
    unit: Option<Unit>,

    /// Of a table: length of an interval, minutes.
    #[arg(long, value_name = "MINUTES")]
    interval_min: Option<u32>,

    /// File to write the chart of the year and the peak days into, as SVG.
    #[arg(long, value_name = "FILE")]
    chart: Option<PathBuf>,
}

/// Unit of a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Unit {
    /// Energy of the interval, Wh.
    Wh,
    /// Energy of the interval, kWh.
    Kwh,
    /// Mean power, W.
    W,
    /// Mean power, kW.
    Kw,
}

/// Bytes read at once.
const PIECE: usize = 256 * 1024;

/// Volts between the legs, for the check of the scale.
const VOLTS: f64 = 240.0;

pub(crate) fn run(args: &MeterArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let name = args.file.display().to_string();
    let data = match read(args)? {
        Ok(data) => data,
        Err(unread) => {
            if global.json {
                screen.line(&json!({ "file": name, "refused": unread.to_string() }).to_string())?;
            } else {
                screen.line(&format!("{name}: error[not-meter-data]: {unread}"))?;
            }
            return Ok(Ending::InputErrors);
        }
    };
    let chosen = choose(&data, args.channel);
    if global.json {
        let mut value = study::code::json::meter(&data);
        if let Some(object) = value.as_object_mut() {
            object.insert("file".to_owned(), name.into());
        }
        screen.line(&value.to_string())?;
    } else {
        screen.text(&text(&name, &data, &chosen))?;
    }
    let usable = match &chosen {
        Ok(channel) => channel.readings.as_ref().ok(),
        Err(_) => None,
    };
    if let (Some(path), Some(readings)) = (&args.chart, usable) {
        let svg = study::code::meter_chart(readings);
        std::fs::write(path, svg).map_err(|source| Failure::Write { path: path.clone(), source })?;
        if !global.json {
            screen.line(&format!("chart: {}", path.display()))?;
        }
    }
    let demand = usable.is_some_and(|readings| readings.demand.is_ok());
    Ok(if demand { Ending::Fine } else { Ending::InputErrors })
}

/// Feeds the file to the reader, with progress on a terminal.
fn read(args: &MeterArgs) -> Result<Result<MeterData, Unread>, Failure> {
    let unread = |source| Failure::Read { path: args.file.clone(), source };
    let (mut input, total): (Box<dyn Read>, Option<u64>) = if args.file.as_os_str() == "-" {
        (Box::new(io::stdin().lock()), None)
    } else {
        let file = File::open(&args.file).map_err(unread)?;
        let total = file.metadata().ok().map(|metadata| metadata.len());
        (Box::new(file), total)
    };
    let form = CsvForm {
        value: args.column.clone(),
        unit: args.unit.map(|unit| match unit {
            Unit::Wh => ValueUnit::Wh,
            Unit::Kwh => ValueUnit::Kwh,
            Unit::W => ValueUnit::W,
            Unit::Kw => ValueUnit::Kw,
        }),
        interval_s: args.interval_min.map(|minutes| minutes * 60),
    };
    let mut reader = MeterReader::new(form);
    let progress = Bytes::of(total);
    let mut piece = vec![0; PIECE];
    loop {
        let n = input.read(&mut piece).map_err(unread)?;
        if n == 0 {
            break;
        }
        if let Err(error) = reader.feed(&piece[..n]) {
            progress.end();
            return Ok(Err(error));
        }
        progress.done(reader.bytes());
    }
    progress.end();
    Ok(reader.finish(args.service, VOLTS, args.utc_offset))
}

/// The channel that is meant: the only one, or the one that was named. Several are never added.
fn choose(data: &MeterData, wanted: Option<usize>) -> Result<&MeterChannel, String> {
    match (wanted, data.channels.as_slice()) {
        (_, []) => Err("the file has no interval readings".to_owned()),
        (Some(number), all) => number
            .checked_sub(1)
            .and_then(|idx| all.get(idx))
            .ok_or_else(|| format!("there is no channel {number}: the file has 1 to {}", all.len())),
        (None, [one]) => Ok(one),
        (None, all) => Err(format!(
            "the file has {} channels; say which with --channel, they are never added",
            all.len()
        )),
    }
}

fn text(name: &str, data: &MeterData, chosen: &Result<&MeterChannel, String>) -> String {
    let mut out = format!("METER DATA  {name}, {:.1} MB\n", data.bytes as f64 / 1e6);
    if 1 < data.channels.len() {
        out.push_str("\nCHANNELS\n");
        for (idx, channel) in data.channels.iter().enumerate() {
            let refused =
                channel.readings.as_ref().err().map(|why| format!(": refused, {why}")).unwrap_or_default();
            out.push_str(&wrapped(&format!("{}  {}{refused}", idx + 1, channel.label), "  "));
        }
    }
    for one in &data.notes {
        out.push_str(&note(one));
    }
    match chosen {
        Err(why) => out.push_str(&wrapped(&format!("Not used: {why}."), "")),
        Ok(channel) => match &channel.readings {
            Err(why) => out.push_str(&wrapped(&format!("Refused: {why}."), "")),
            Ok(readings) => out.push_str(&summary(readings, data)),
        },
    }
    out
}

fn summary(readings: &Readings, data: &MeterData) -> String {
    let mut out = "\nREADINGS\n".to_owned();
    let length = match readings.interval_s {
        seconds if seconds <= 7200 => format!("{} min", seconds / 60),
        seconds => format!("{} h", seconds / 3600),
    };
    let _ =
        writeln!(out, "  {} readings of {length}, {} days with readings", readings.n, readings.days.len());
    let _ = writeln!(out, "  {:.1} kWh, greatest mean of a reading {:.2} kW", readings.kwh, readings.peak_kw);
    if !data.offset_told {
        out.push_str(&wrapped(
            "The file tells no time zone: days are counted by its own labels, or in UTC.",
            "  ",
        ));
    }
    out.push_str("\nPEAK DAYS\n");
    for day in &readings.peak_days {
        let _ = writeln!(out, "  {}  {:6.2} kW  {:6.1} kWh", day.day, day.kw, day.kwh);
    }
    out.push_str("\nDEMAND\n");
    match &readings.demand {
        Err(why) => out.push_str(&wrapped(&format!("Refused: {why}."), "  ")),
        Ok(demand) => {
            let (least, most) = (demand.measured.least_kw, demand.measured.most_kw);
            if least == most {
                let _ = writeln!(out, "  {most:.2} kW over fifteen minutes");
            } else {
                out.push_str(&wrapped(
                    &format!(
                        "The demand of fifteen minutes lies between {least:.2} and {most:.2} kW: readings of {} min tell \
                         their mean only. At least the mean, at most the whole energy of a reading in one quarter of an \
                         hour; {:.2} kW where the quarter lies across two readings.",
                        demand.interval_min, demand.straddling_kw
                    ),
                    "  ",
                ));
            }
            let what = demand.days.map_or("a year".to_owned(), |days| format!("a recording of {days} days"));
            out.push_str(&wrapped(&format!("It may stand as {what}. In a job file:"), "  "));
            let _ = writeln!(
                out,
                "\n[demand]\nleast_kw = {least}\nmost_kw = {most}\ninterval_min = {}",
                demand.interval_min
            );
            if let Some(days) = demand.days {
                let _ = writeln!(out, "days = {days}");
            }
            out.push_str("# own_generation = false   solar, battery or peak shaving on this service?\n");
            out.push_str("# occupied = true          was the house lived in as usual?\n\n");
        }
    }
    for one in &readings.notes {
        out.push_str(&note(one));
    }
    out
}
