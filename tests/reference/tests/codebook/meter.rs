//! Interval-meter files that others published, by a count of a separate parser; and files made here.

use codebook::load::{Basis, Blocked, Dwelling, Readings, measured};
use codebook::meter::{BadXml, Channel, CsvForm, CsvReader, EspiReader, Import, NoDemand, Series, Unusable};
use codebook::{Book, Edition};
use model::System;
use reference::{assert_printed, assert_within};
use std::path::PathBuf;

/// A file of the shared reference data, beside the repository or where `PANELWRIGHT_SHARED` says; `None`, and a word
/// on it, where the data are not there. They are not copied into the project.
fn shared(name: &str) -> Option<Vec<u8>> {
    let beside = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../../shared");
    let folder = std::env::var_os("PANELWRIGHT_SHARED").map_or(beside, PathBuf::from);
    let file = std::fs::read(folder.join("reference/data").join(name)).ok();
    if file.is_none() {
        println!("left out: {name} is not here");
    }
    file
}

fn espi(bytes: &[u8], piece: usize) -> Result<Import, BadXml> {
    let mut reader = EspiReader::new();
    for part in bytes.chunks(piece) {
        reader.feed(part)?;
    }
    assert_eq!(reader.bytes(), bytes.len() as u64);
    reader.finish()
}

fn import(name: &str) -> Option<Import> {
    let bytes = shared(name)?;
    let whole = espi(&bytes, bytes.len()).expect("it reads");
    // However it is cut into pieces, the same is found.
    assert_eq!(espi(&bytes, 4093).as_ref(), Ok(&whole), "{name}");
    Some(whole)
}

fn usable(channel: &Channel) -> &Series {
    channel.series.as_ref().expect("usable")
}

/// Source: shared reference data, counts of a separate parser: 2976 readings, 1645.992 kWh, peak 13.556 kW.
#[test]
fn val_utility_quarter_hours_of_a_month() {
    let Some(import) = import("intervals/utility-15min-month.xml") else { return };
    let series = usable(import.only().expect("one of four usage points has data"));
    assert_eq!(series.n_read, 2976);
    assert_printed("1645.992", series.kwh());
    assert_printed("13.556", series.peak().expect("a peak").kw());
    let demand = import.demand(series, Some(200.0), 240.0).expect("a month of quarter hours");
    assert_eq!((demand.least_kw, demand.most_kw), (demand.straddling_kw, demand.least_kw));
    assert!(
        matches!(demand.basis, Basis::Recording { days: 30..=31, interval_min: 15 }),
        "{:?}",
        demand.basis
    );
}

/// Source: shared reference data: 8727 readings, 5089.595 kWh, peak 5.180 kW, gaps 32 400 s, 32 zero hours.
#[test]
fn val_household_hours_of_a_year() {
    let Some(import) = import("intervals/household-hourly-year.xml") else { return };
    let series = usable(import.only().expect("one"));
    assert_eq!((series.n_read, series.gap_s, series.n_zero), (8727, 32_400, 32));
    assert_printed("5089.595", series.kwh());
    assert_printed("5.180", series.peak().expect("a peak").kw());
    assert!(import.notes.iter().any(|note| note.text.contains("accumulation code 0")));
    let demand = import.demand(series, Some(100.0), 240.0).expect("a year, nearly");
    assert_eq!(demand.basis, Basis::Year { interval_min: 60 });
    assert_printed("5.180", demand.least_kw);
    assert_printed("20.720", demand.most_kw);
    assert!(demand.notes.iter().any(|note| note.text.contains("364 days")));
}

/// Source: shared reference data: 743 hours of March, 2278.213 kWh; 97 readings, 24.380 kWh; 769 readings with one
/// repeated; five usage points of 768.
#[test]
fn val_counts_and_energy_of_other_files() {
    let Some(march) = import("intervals/hourly-march-dst.xml") else { return };
    let series = usable(march.only().expect("one"));
    assert_eq!((series.n_read, series.gap_s), (743, 0));
    assert_printed("2278.213", series.kwh());

    let day = import("intervals/bulk-97-readings.xml").expect("beside the others");
    let series = usable(day.only().expect("one"));
    assert_eq!(series.n_read, 97);
    assert_printed("24.380", series.kwh());
    assert!(matches!(day.demand(series, None, 240.0), Err(NoDemand::TooShort { days: 1 })));

    let twice = import("intervals/one-duplicate.xml").expect("beside the others");
    let series = usable(twice.only().expect("one"));
    assert_eq!((series.n_read, series.n_duplicates, series.conflicts.len()), (769, 1, 0));

    let five = import("intervals/five-usage-points.xml").expect("beside the others");
    assert_eq!(five.only().expect_err("a person must choose").labels.len(), 5);
    for channel in &five.channels {
        assert_eq!(usable(channel).n_read, 768);
    }
}

/// Source: shared reference data: daily and monthly readings and gas are to be refused, a foreign root is an error;
/// monthly 9567 kWh.
#[test]
fn val_what_is_refused() {
    let Some(daily) = import("intervals/daily-year.xml") else { return };
    let series = usable(daily.only().expect("one"));
    assert!(matches!(daily.demand(series, None, 240.0), Err(NoDemand::TooCoarse { .. })));
    let lengths: std::collections::BTreeSet<u32> =
        series.readings.iter().map(|reading| reading.seconds).collect();
    assert!(lengths.contains(&82_800) && lengths.contains(&90_000), "{lengths:?}");

    let monthly = import("intervals/monthly-kwh.xml").expect("beside the others");
    let series = usable(monthly.only().expect("one"));
    assert_printed("9567", series.kwh());
    assert!(matches!(monthly.demand(series, None, 240.0), Err(NoDemand::TooCoarse { .. })));

    let gas = import("intervals/gas.xml").expect("beside the others");
    assert!(matches!(gas.only().expect("one").series, Err(Unusable::NotElectricity { kind: 1, .. })));

    let foreign = shared("intervals/foreign-root.xml").expect("beside the others");
    assert_eq!(espi(&foreign, 100), Err(BadXml::ForeignRoot { root: "xyz".to_owned() }));
}

/// Source: shared reference data, simulated house (OCHRE 0.9.2): peak 12.348 kW at 15 min, 8.53 kW from hourly means.
/// The bound from the hours must hold the quarter-hour peak.
#[test]
fn val_bound_from_hours_holds_the_quarter_hour_peak() {
    let Some(bytes) = shared("loads/simulated-house-15min-year.csv") else { return };
    let read = |form: CsvForm| {
        let mut reader = CsvReader::new(form);
        for part in bytes.chunks(65_521) {
            reader.feed(part)?;
        }
        reader.finish()
    };
    assert!(read(CsvForm::default()).is_err(), "six columns: a person must choose");
    let form = CsvForm { value: Some("Total Electric Power (kW)".to_owned()), ..CsvForm::default() };
    let import = read(form).expect("it reads");
    let series = usable(import.only().expect("one"));
    assert_eq!((series.n_read, series.gap_s, series.interval_s), (35_040, 0, 900));
    let quarter = import.demand(series, Some(100.0), 240.0).expect("a year");
    assert_printed("12.348", quarter.least_kw);
    assert_eq!(quarter.least_kw, quarter.most_kw);
    assert_eq!(quarter.basis, Basis::Year { interval_min: 15 });

    let mut hours = vec![];
    for four in series.readings.chunks(4) {
        let mut hour = four[0];
        hour.seconds = 3600;
        hour.wh = four.iter().map(|reading| reading.wh).sum();
        hours.push(hour);
    }
    let hourly = Series::clean(hours);
    let coarse = import.demand(&hourly, None, 240.0).expect("a year");
    assert_printed("8.53", coarse.least_kw);
    assert!(
        coarse.least_kw <= quarter.least_kw
            && quarter.least_kw <= coarse.most_kw
            && coarse.most_kw <= coarse.straddling_kw
    );
    assert_eq!(series.days(0).len(), 365);
    assert_printed("12.348", series.peak_days(0, 3)[0].kw);
}

/// A file of our own: prefix, white space round numbers, newest first, entities and names that must not be kept.
fn made(quality: u8, flow: u8, power: i32, values: &[i64]) -> String {
    let mut text = format!(
        "<?xml version=\"1.0\"?>\n<!-- invented --><a:feed xmlns:a=\"http://www.w3.org/2005/Atom\" xmlns:e=\"http://naesb.org/espi\">\
         <a:title>A &amp; B, 1 Nowhere</a:title><a:entry><a:link rel='self' href='R/1'/><a:content><e:ReadingType>\
         <e:flowDirection> {flow} </e:flowDirection><e:powerOfTenMultiplier>{power}</e:powerOfTenMultiplier>\
         <e:uom>\n 72 \n</e:uom></e:ReadingType></a:content></a:entry><a:entry><a:content><e:IntervalBlock>"
    );
    for (idx, value) in values.iter().enumerate().rev() {
        text += &format!(
            "<e:IntervalReading><e:ReadingQuality><e:quality>{quality}</e:quality></e:ReadingQuality><e:timePeriod>\
             <e:duration> 900 </e:duration><e:start> {} </e:start></e:timePeriod><e:value> {value} </e:value></e:IntervalReading>",
            1_600_000_200 + 900 * idx
        );
    }
    text + "</e:IntervalBlock></a:content></a:entry></a:feed>"
}

/// Source: the form of ESPI by hand: the multiplier scales the value, reverse flow and negative values are generation,
/// quality 8 is an estimate, and a scale that no service carries is an error.
#[test]
fn verif_files_of_our_own() {
    let values: Vec<i64> = (0..31 * 96).map(|idx| if idx == 50 { 2000 } else { 250 }).collect();
    let read = |text: &str| espi(text.as_bytes(), 777).expect("it reads");
    let plain = read(&made(0, 1, 0, &values));
    let series = usable(plain.only().expect("one"));
    assert_within(8.0, series.peak().expect("a peak").kw(), 1e-12, "2000 Wh in a quarter of an hour");
    assert!(plain.demand(series, Some(100.0), 240.0).is_ok());

    let estimated = read(&made(8, 1, 0, &values));
    let demand = estimated.demand(usable(&estimated.channels[0]), None, 240.0).expect("a month");
    assert!(demand.notes.iter().any(|note| note.text.contains("not a measurement")));

    let scaled = read(&made(0, 1, 3, &values));
    let wrong = scaled.demand(usable(&scaled.channels[0]), Some(100.0), 240.0);
    assert!(matches!(wrong, Err(NoDemand::Impossible { .. })));

    for (flow, values) in [(19, values.clone()), (4, values.clone()), (1, vec![-5; 3000])] {
        let sun = read(&made(0, flow, 0, &values));
        assert!(
            matches!(sun.demand(usable(&sun.channels[0]), None, 240.0), Err(NoDemand::Generation)),
            "{flow}"
        );
    }
    let text = made(0, 1, 0, &values);
    assert!(matches!(espi(&text.as_bytes()[..text.len() - 30], 99), Err(BadXml::CutOff { .. })));
    assert!(matches!(espi(text.replace("> 250 <", "> x <").as_bytes(), 99), Err(BadXml::Number { .. })));
    assert!(!format!("{plain:?}").contains("Nowhere"), "names and addresses are not kept");
}

/// Source: the rule itself, by hand: 125 % of 10 kW and a charger of 24 A at 125 %: 12,500 + 7,200 = 19,700 VA, 82 A;
/// solar on the same service bars the method.
#[test]
fn verif_measured_demand_and_a_charger() {
    let book = Book::built_in();
    let law = book.edition(Edition::Y2020);
    let mut dwelling = Dwelling::unknown(System::SplitPhase);
    dwelling.items.push(
        codebook::load::Item::new(
            "charger",
            codebook::load::Use::Ev,
            codebook::load::Rating::Amps { amps: 24.0, volts: 240.0 },
        )
        .added(),
    );
    let mut demand = codebook::load::MeasuredDemand {
        least_kw: 10.0,
        most_kw: 10.0,
        basis: Basis::Year { interval_min: 15 },
        own_generation: Some(false),
        occupied: Some(true),
        season_included: None,
        power_factor: Some(1.0),
    };
    let sheet = measured(&law, &dwelling, &demand, &Readings::default()).expect("all is known");
    assert_printed("19 700", sheet.total_va);
    assert_printed("82", sheet.load_a);
    demand.own_generation = Some(true);
    assert!(matches!(measured(&law, &dwelling, &demand, &Readings::default()), Err(Blocked::NotFor { .. })));
    demand.own_generation = None;
    assert!(
        matches!(measured(&law, &dwelling, &demand, &Readings::default()), Err(Blocked::Ask(asked)) if asked.len() == 1)
    );
}

/// Source: the budget: 100 MB of XML within 15 s and 100 MB of memory, a year of quarter hours within 1 s. Runs with
/// `RUN_SLOW=1`; the times are printed.
#[test]
fn verif_budget_of_large_files() {
    if std::env::var_os("RUN_SLOW").is_none() {
        println!("left out: set RUN_SLOW=1");
        return;
    }
    let values: Vec<i64> = (0..35_040).map(|idx| 100 + idx % 700).collect();
    let year = made(17, 1, 0, &values);
    let start = std::time::Instant::now();
    let import = espi(year.as_bytes(), 1 << 16).expect("it reads");
    let took = start.elapsed();
    println!("a year of quarter hours, {} bytes: {took:?}", year.len());
    assert_eq!(usable(&import.channels[0]).n_read, 35_040);
    assert!(took.as_secs_f64() < 1.0, "{took:?}");

    let (head, tail) = year.split_once("<e:IntervalReading>").expect("it has readings");
    let (first, _) = tail.split_once("</e:IntervalReading>").expect("it has readings");
    let start = std::time::Instant::now();
    let mut reader = EspiReader::new();
    reader.feed(head.as_bytes()).expect("it reads");
    let (stamp_from, stamp) = (1_600_000_200u64, format!(" {} ", 1_600_000_200 + 900 * 35_039));
    let mut n = 0u64;
    while reader.bytes() < 100_000_000 {
        let mut part = String::new();
        for _ in 0..400 {
            let at = format!(" {} ", stamp_from + 900 * n);
            part += &format!("<e:IntervalReading>{}</e:IntervalReading>\n", first.replace(&stamp, &at));
            n += 1;
        }
        reader.feed(part.as_bytes()).expect("it reads");
    }
    reader.feed(b"</e:IntervalBlock></a:content></a:entry></a:feed>").expect("it reads");
    let import = reader.finish().expect("whole");
    let took = start.elapsed();
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let peak = status.lines().find(|line| line.starts_with("VmHWM")).unwrap_or("VmHWM unknown");
    println!("100 MB, {n} readings: {took:?}; most memory of the process {peak}");
    assert_eq!(usable(&import.channels[0]).n_read as u64, n);
    assert!(took.as_secs_f64() < 15.0, "{took:?}");
}
