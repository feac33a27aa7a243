//! Papers for a permit and the chart of meter data: what the code book answered, as the papers take it.

use super::asks::{is_service, main_panel};
use super::loads::{Loads, loads};
use super::meter::Readings;
use super::premises::{service_a, system};
use super::sizes::{Sizes, Wish, sizes};
use super::{Blocked, CAUTIONS, Row};
use crate::print::{Document, Press};
use crate::settings::StudyError;
use codebook::Law;
use codebook::load::Question;
use model::Date;
use model::conductor::{Conductor, Metal};
use model::job::Job;
use model::panel::{Feed, Panel};
use model::site::Outdoor;
use papers::{
    DayBar, LoadPaper, MeterChart, MethodFigures, MethodRow, OneLine, OpenQuestion, PeakDay, PermitHead,
    SizeRow, Stage, Symbol, Wire,
};
use remedy::words::{breaker_label, capital};

/// The papers for a permit: load sheet as PDF and text, one-line diagram as SVG, PDF and text. Equal input gives equal
/// bytes.
///
/// # Errors
/// Where the typesetter refuses a paper.
pub fn permit_papers(
    law: &Law<'_>,
    job: &Job,
    day: Date,
    press: &Press,
) -> Result<Vec<Document>, StudyError> {
    let diagram = one_line(law, job, day);
    let mut documents = press.documents(job, &permit_paper_trees(law, job, day))?;
    let name = papers::one_line_paper(&diagram).file_name;
    documents.push(Document {
        file_name: format!("{name}.svg"),
        bytes: papers::one_line_svg(&diagram).into_bytes(),
    });
    Ok(documents)
}

/// One of the papers for a permit by the name of its file: load sheet, one-line diagram, permit set. `None` where there is no
/// such file.
///
/// # Errors
/// Where the typesetter refuses the paper.
pub fn permit_paper(
    law: &Law<'_>,
    job: &Job,
    day: Date,
    press: &Press,
    file: &str,
) -> Result<Option<Document>, StudyError> {
    let mut trees = permit_paper_trees(law, job, day);
    trees.push(crate::install::permit_set_paper(law, job, day));
    let diagram = one_line(law, job, day);
    if file == format!("{}.svg", papers::one_line_paper(&diagram).file_name) {
        let bytes = papers::one_line_svg(&diagram).into_bytes();
        return Ok(Some(Document { file_name: file.to_owned(), bytes }));
    }
    press.named(job, &trees, file)
}

/// Load sheet and one-line diagram as page trees.
pub(crate) fn permit_paper_trees(law: &Law<'_>, job: &Job, day: Date) -> Vec<papers::Paper> {
    vec![papers::load_sheet(&load_paper(law, job, day)), papers::one_line_paper(&one_line(law, job, day))]
}

/// Names of the files of [`permit_papers()`], in its order, without setting any.
pub fn permit_names(law: &Law<'_>, job: &Job, day: Date) -> Vec<String> {
    let diagram = papers::one_line_paper(&one_line(law, job, day)).file_name;
    let sheet = papers::load_sheet(&load_paper(law, job, day)).file_name;
    let mut names = Vec::new();
    for stem in [&sheet, &diagram] {
        names.push(format!("{stem}.{}", crate::print::PRINTABLE));
        names.push(format!("{stem}.txt"));
    }
    names.push(format!("{diagram}.svg"));
    names
}

/// The one-line diagram as SVG text.
pub fn one_line_drawing(law: &Law<'_>, job: &Job, day: Date) -> String {
    papers::one_line_svg(&one_line(law, job, day))
}

/// The chart of meter data as SVG text.
pub fn meter_chart(readings: &Readings) -> String {
    let peaks = readings.peak_days.iter().zip(&readings.courses).map(|(day, course)| PeakDay {
        day: day.day,
        kw: day.kw,
        course: course.clone(),
    });
    let demand = readings.demand.as_ref().ok();
    papers::meter_svg(&MeterChart {
        days: readings
            .days
            .iter()
            .map(|day| DayBar { day: day.day, kw: day.kw, covered_h: day.covered_h })
            .collect(),
        peaks: peaks.collect(),
        demand_kw: demand.map(|demand| (demand.measured.least_kw, demand.measured.most_kw)),
    })
}

fn head(law: &Law<'_>, job: &Job, day: Date) -> PermitHead {
    let place: Vec<&str> =
        [job.place.as_str(), job.town.as_str()].into_iter().filter(|part| !part.is_empty()).collect();
    PermitHead {
        job: job.id.clone(),
        place: place.join(", "),
        invented: job.invented,
        day: day.to_string(),
        code: law.chosen().to_owned(),
        supply: system(job)
            .map_or_else(|| "no panel is described".to_owned(), |system| system.label().to_owned()),
        service_a: service_a(job),
        cautions: CAUTIONS.iter().map(|&caution| caution.to_owned()).collect(),
    }
}

fn load_paper(law: &Law<'_>, job: &Job, day: Date) -> LoadPaper {
    let (loads, sizes) = (loads(law, job), sizes(law, job, &Wish::default()));
    let mut questions: Vec<OpenQuestion> = Vec::new();
    let mut ask = |asked: &[Question]| {
        for one in asked {
            let one = OpenQuestion { about: one.subject.clone(), ask: one.ask.clone(), why: one.why.clone() };
            if !questions.contains(&one) {
                questions.push(one);
            }
        }
    };
    for (_, row) in loads.rows() {
        if let Err(Blocked::Ask(asked)) = &row.sheet {
            ask(asked);
        }
    }
    ask(&sizes.questions);
    LoadPaper {
        head: head(law, job, day),
        methods: loads.rows().map(|(unit, row)| method(unit, row)).collect(),
        sizes: sizes
            .lines
            .iter()
            .map(|line| SizeRow {
                name: line.title.clone(),
                size: line.result.clone(),
                workings: line.workings.clone(),
            })
            .collect(),
        questions,
    }
}

fn method(unit: &str, row: &Row) -> MethodRow {
    let name = if unit.is_empty() { row.method.to_string() } else { format!("{}, {unit}", row.method) };
    let figures = match &row.sheet {
        Err(Blocked::Ask(asked)) => Err(format!("{} questions are open, see below", asked.len())),
        Err(other) => Err(other.to_string()),
        Ok(sheet) => Ok(MethodFigures {
            load_a: sheet.load_a,
            rating_a: sheet.standard_rating_a,
            least_a: sheet.least_service_a,
            neutral_a: sheet.neutral.as_ref().map(|neutral| neutral.load_a),
            left_a: row.room.as_ref().map(|room| room.room_a),
            exceed: row.room.as_ref().map(|room| room.sentence()),
            otherwise: row
                .alternatives
                .iter()
                .map(|other| format!("{} would give {:.0} A", other.reading.other(), other.load_a))
                .collect(),
            workings: sheet.all_workings(),
            notes: sheet.notes.clone(),
        }),
    };
    MethodRow { name, figures }
}

const NOT_ON_RECORD: &str = "not on record";

fn metal(metal: Metal) -> &'static str {
    match metal {
        Metal::Copper => "copper",
        Metal::Aluminium => "aluminium",
        Metal::CopperCladAluminium => "copper-clad aluminium",
    }
}

fn conductor(from: &Conductor) -> String {
    let mut parts = vec![from.size.map_or_else(|| format!("size {NOT_ON_RECORD}"), |size| size.to_string())];
    parts.extend(from.metal.map(|one| metal(one).to_owned()));
    parts.extend(from.insulation.clone());
    parts.join(", ")
}

fn length(length: Option<model::Length>) -> Option<String> {
    length.map(|length| format!("{:.0} ft one way", length.feet()))
}

/// A size by its name, as it was computed.
fn size_of<'s>(sizes: &'s Sizes, start: &str) -> impl Iterator<Item = (&'s str, &'s str)> {
    let start = start.to_owned();
    sizes
        .lines
        .iter()
        .filter(move |line| line.title.starts_with(&start))
        .filter_map(|line| Some((line.title.as_str(), line.result.as_deref().ok()?)))
}

fn one_line(law: &Law<'_>, job: &Job, day: Date) -> OneLine {
    let all = loads(law, job);
    let sizes = sizes(law, job, &Wish::default());
    let mut stages = vec![utility(job, &sizes), meter(job)];
    stages.extend(outdoor(job, &sizes));
    if let Some(main) = main_panel(&job.installation) {
        stages.push(service_panel(job, main, &all, &sizes));
        below(job, main, &sizes, 1, &mut stages);
    }
    OneLine { head: head(law, job, day), stages }
}

fn utility(job: &Job, sizes: &Sizes) -> Stage {
    let service = &job.installation.service;
    let kva =
        service.transformer_kva.map_or_else(|| format!("rating {NOT_ON_RECORD}"), |kva| format!("{kva} kVA"));
    let percent = service.transformer_impedance_pct;
    let percent =
        percent.map_or_else(|| format!("impedance {NOT_ON_RECORD}"), |percent| format!("{percent} %"));
    let mut lines = vec![format!("{kva}, {percent}")];
    lines.extend(system(job).map(|system| system.label().to_owned()));
    let fault = size_of(sizes, "available fault current")
        .map(|(_, told)| format!("fault current at the line terminals {told}, computed"));
    lines.extend(fault);
    stage(Symbol::Transformer, "Utility transformer", lines)
}

fn stage(symbol: Symbol, title: &str, lines: Vec<String>) -> Stage {
    Stage {
        symbol,
        planned: false,
        title: title.to_owned(),
        lines,
        wire: None,
        circuits: Vec::new(),
        depth: 0,
        grounding: Vec::new(),
    }
}

fn meter(job: &Job) -> Stage {
    let service = &job.installation.service;
    let path = service.path.map(|path| match path {
        model::service::SupplyPath::Overhead => "overhead drop",
        model::service::SupplyPath::Underground => "underground lateral",
    });
    let mut wire = vec![format!("{}: {}", path.unwrap_or("drop or lateral"), conductor(&service.drop))];
    wire.extend(length(service.drop_length));
    let mut lines: Vec<String> = service.meter.iter().cloned().collect();
    lines.extend(service.other_sources.iter().map(|source| format!("other source on record: {source}")));
    Stage { wire: Some(Wire { lines: wire, planned: false }), ..stage(Symbol::Meter, "Meter", lines) }
}

/// What stands outdoors after the work, ahead of the panel.
fn outdoor(job: &Job, sizes: &Sizes) -> Option<Stage> {
    let (title, line) = match job.premises.site().outdoor? {
        Outdoor::Nothing => return None,
        Outdoor::Emergency => ("Emergency disconnect outdoors", "ahead of the service disconnect"),
        Outdoor::ServiceDisconnect => {
            ("Service disconnect outdoors", "neutral bonded here; the panel indoors becomes a sub-panel")
        }
    };
    let grounding = if title.starts_with("Service") { grounding(sizes) } else { Vec::new() };
    Some(Stage {
        planned: true,
        wire: Some(Wire { lines: vec!["from the meter".to_owned()], planned: true }),
        grounding,
        ..stage(Symbol::Disconnect, title, vec![line.to_owned()])
    })
}

fn grounding(sizes: &Sizes) -> Vec<String> {
    let mut lines = Vec::new();
    for metal in ["copper", "aluminium"] {
        let whose = format!(", for {metal} service conductors");
        let own = |start| size_of(sizes, start).filter(|(title, _)| title.ends_with(&whose));
        let jumper = own("main bonding jumper").map(|(_, size)| format!("main bonding jumper {size}"));
        let first = "electrode conductor, copper, ";
        let electrode = own(first).map(|(title, size)| {
            format!("{size} {}", title.trim_start_matches(first).trim_end_matches(whose.as_str()))
        });
        let electrode: Vec<String> = electrode.collect();
        let electrode =
            (!electrode.is_empty()).then(|| format!("electrode conductor {}", electrode.join(", ")));
        let told: Vec<String> = jumper.chain(electrode).collect();
        if !told.is_empty() {
            lines.push(format!("with {metal} service conductors, in copper: {}", told.join("; ")));
        }
    }
    lines
}

fn service_panel(job: &Job, panel: &Panel, all: &Loads, sizes: &Sizes) -> Stage {
    let service = &job.installation.service;
    let mut wire = vec![format!("existing service conductors: {}", conductor(&service.entrance))];
    wire.extend(length(service.entrance_length));
    let planned: Vec<String> = size_of(sizes, "service conductors")
        .map(|(title, size)| format!("computed: {title}: {size}"))
        .collect();
    wire.extend(planned);
    let mut lines = panel_lines(panel);
    if let Some(service_a) = service_a(job) {
        lines.push(format!("service rating {service_a:.0} A"));
    }
    for row in all.of_service() {
        if let Ok(sheet) = &row.sheet {
            lines.push(format!("load by the {}: {:.0} A", row.method, sheet.load_a));
        }
    }
    let outdoors = job.premises.site().outdoor == Some(Outdoor::ServiceDisconnect);
    let replaced = job.premises.site().work.is_some_and(model::site::PlannedWork::replaces_panel);
    Stage {
        planned: replaced,
        wire: Some(Wire { lines: wire, planned: replaced }),
        circuits: circuits(job, panel),
        grounding: if outdoors { Vec::new() } else { grounding(sizes) },
        ..stage(Symbol::Panel, &format!("Panel {}", panel.id), lines)
    }
}

fn panel_lines(panel: &Panel) -> Vec<String> {
    let mut lines = Vec::new();
    let place = panel.place.trim();
    if !place.is_empty() {
        lines.push(place.to_owned());
    }
    let bus = panel
        .bus
        .rating
        .map_or_else(|| format!("bus rating {NOT_ON_RECORD}"), |rating| format!("bus {:.0} A", rating.a()));
    lines.push(format!("{} spaces, {bus}", panel.n_spaces));
    for section in &panel.sections {
        let feed = match &section.feed {
            Feed::ServiceLugs => "lugs, no main of its own".to_owned(),
            Feed::MainBreaker { rating } => format!("main breaker {:.0} A", rating.a()),
            Feed::Breaker { slot } => format!("fed by the breaker in space {}", slot.space),
        };
        lines.push(if panel.sections.len() == 1 { feed } else { format!("section {}: {feed}", section.id) });
    }
    lines
}

/// Circuits of two poles, and the number of the others: the panel schedule has them all.
fn circuits(job: &Job, panel: &Panel) -> Vec<String> {
    let mut lines = Vec::new();
    let mut n_small = 0;
    for breaker in &panel.breakers {
        let Some(&first) = breaker.spaces.first() else { continue };
        if breaker.spaces.len() < 2 {
            n_small += 1;
            continue;
        }
        let slot = model::Slot::new(panel.id.clone(), first);
        let size = breaker.circuit.as_ref().and_then(|circuit| circuit.conductor.size);
        let size = size.map(|size| format!(", {size}")).unwrap_or_default();
        lines.push(format!(
            "{:.0} A, {} poles: {}{size}",
            breaker.rating.a(),
            breaker.spaces.len(),
            breaker_label(&job.installation, &slot)
        ));
    }
    for appliance in &job.premises.appliances {
        if appliance.item.status == model::dwelling::Status::Added {
            let rating = appliance
                .item
                .rating
                .as_ref()
                .map(|rating| format!(", {}", rating.label()))
                .unwrap_or_default();
            lines.push(format!("planned: {}{rating}", appliance.item.name));
        }
    }
    if 0 < n_small {
        lines.push(format!("{n_small} breakers of one pole, see the drawing of the panel"));
    }
    lines
}

/// Sub-panels below a panel.
fn below(job: &Job, upper: &Panel, sizes: &Sizes, depth: u8, stages: &mut Vec<Stage>) {
    // A panel that feeds itself is refused by the record; depth ends it all the same.
    if 4 < depth {
        return;
    }
    for panel in job.installation.panels.iter().filter(|panel| !is_service(panel) && panel.id != upper.id) {
        let fed = panel.sections.iter().find_map(|section| match &section.feed {
            Feed::Breaker { slot } if slot.panel == upper.id => Some((slot, &section.feeder)),
            _ => None,
        });
        let Some((slot, feeder)) = fed else { continue };
        let rating = job
            .installation
            .breaker_at(slot)
            .map(|breaker| format!("{:.0} A breaker in space {}", breaker.rating.a(), slot.space));
        let mut wire = vec![format!("feeder: {}", conductor(feeder))];
        wire.extend(rating);
        let start = format!("feeder of panel {}", panel.id);
        wire.extend(
            size_of(sizes, &start).map(|(title, size)| format!("{}: {size}, computed", capital(title))),
        );
        stages.push(Stage {
            wire: Some(Wire { lines: wire, planned: false }),
            circuits: circuits_of_sub(job, panel),
            depth,
            ..stage(Symbol::Panel, &format!("Panel {}", panel.id), panel_lines(panel))
        });
        below(job, panel, sizes, depth + 1, stages);
    }
}

fn circuits_of_sub(job: &Job, panel: &Panel) -> Vec<String> {
    circuits(job, panel).into_iter().filter(|line| !line.starts_with("planned: ")).collect()
}
