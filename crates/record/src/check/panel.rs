//! Geometry of panels: spaces, columns, legs, sections.

use super::{Finding, Site, Spot};
use crate::fact::{Fact, HalfWidthDescribed, PanelDescribed};
use crate::limits;
use crate::text::{Textual, list};
use model::PanelId;
use std::collections::BTreeMap;

pub(super) fn check(site: &Site<'_>, findings: &mut Vec<Finding>) {
    for &(fact, body) in site.panels.values() {
        sizes(fact, body, findings);
        legs(fact, body, findings);
        half_width(fact, body, findings);
        sections(fact, body, findings);
    }
    if site.panels.len() > limits::PANELS_MAX {
        let message = format!("the job has {} panels", site.panels.len());
        findings.push(Finding::error(
            "too-many",
            Spot::nowhere(),
            message,
            format!("at most {}", limits::PANELS_MAX),
        ));
    }
}

fn sizes(fact: &Fact, body: &PanelDescribed, findings: &mut Vec<Finding>) {
    let id = &body.panel.0;
    if body.spaces == 0 || limits::SPACES_MAX < body.spaces {
        findings.push(Finding::error(
            "out-of-range",
            Spot::field(fact.id(), ("spaces", 0)),
            format!("panel {id} has {} spaces", body.spaces),
            format!("a panel has 1 to {} spaces", limits::SPACES_MAX),
        ));
    } else if body.columns == 2 && body.spaces % 2 == 1 {
        findings.push(Finding::warning(
            "odd-spaces",
            Spot::field(fact.id(), ("spaces", 0)),
            format!("panel {id} has two columns and {} spaces, an odd number", body.spaces),
            "count again; a panel with one column has `columns = 1`",
        ));
    }
    if !(1..=2).contains(&body.columns) {
        findings.push(Finding::error(
            "out-of-range",
            Spot::field(fact.id(), ("columns", 0)),
            format!("panel {id} has {} columns", body.columns),
            "a panel has one column or two",
        ));
    }
    if let Some(year) = body.year.filter(|year| *year < limits::YEAR.0 || limits::YEAR.1 < *year) {
        findings.push(Finding::error(
            "out-of-range",
            Spot::field(fact.id(), ("year", 0)),
            format!("panel {id} was put in in the year {year}"),
            format!("a year from {}; leave it out where it is not known", limits::YEAR.0),
        ));
    }
}

fn legs(fact: &Fact, body: &PanelDescribed, findings: &mut Vec<Finding>) {
    let legs = body.system.0.legs();
    if !legs.contains(&body.first_leg.0) {
        let names: Vec<String> = legs.iter().map(ToString::to_string).collect();
        findings.push(Finding::error(
            "unknown-leg",
            Spot::field(fact.id(), ("first_leg", 0)),
            format!(
                "panel {} begins with leg {}, which its {} V system does not have",
                body.panel.0,
                body.first_leg.0,
                body.system.0.write()
            ),
            format!(
                "its legs are {}; a panel with three legs is `system = \"208Y/120\"`",
                list(names.iter().map(String::as_str))
            ),
        ));
    }
}

fn half_width(fact: &Fact, body: &PanelDescribed, findings: &mut Vec<Finding>) {
    let Some(HalfWidthDescribed::In(numbers)) = &body.half_width else { return };
    for (idx, number) in numbers.iter().enumerate() {
        if *number == 0 || body.spaces < *number {
            findings.push(Finding::error(
                "unknown-space",
                Spot::field(fact.id(), ("half_width", idx + 1)),
                format!("panel {} has no space {number}", body.panel.0),
                format!("it has spaces 1 to {}", body.spaces),
            ));
        }
    }
}

fn sections(fact: &Fact, body: &PanelDescribed, findings: &mut Vec<Finding>) {
    let id: &PanelId = &body.panel.0;
    let n_rows = body.spaces.div_ceil(u16::from(body.columns.max(1)));
    let rows_spot = |idx| Spot::field(fact.id(), ("rows", idx));
    if body.sections.is_empty() {
        findings.push(Finding::error(
            "split-without-sections",
            Spot::whole(fact.id()),
            format!("panel {id} has no bus section"),
            "a panel has one section at least, from row 1 to its last row",
        ));
        return;
    }
    let mut first_with: BTreeMap<&str, usize> = BTreeMap::new();
    let mut in_range = true;
    for (idx, section) in body.sections.iter().enumerate() {
        let name = section.id.0.as_str();
        if let Some(first) = first_with.get(name) {
            findings.push(
                Finding::error(
                    "duplicate-section",
                    Spot::field(fact.id(), ("section_id", idx)),
                    format!("panel {id} has two sections `{name}`"),
                    "give each section an id of its own, for example `upper` and `lower`",
                )
                .with(Spot::field(fact.id(), ("section_id", *first)), "the first"),
            );
        }
        first_with.entry(name).or_insert(idx);
        let [first, last] = section.rows;
        if first == 0 || last < first || n_rows < last {
            in_range = false;
            findings.push(
                Finding::error(
                    "section-rows",
                    rows_spot(idx),
                    format!(
                        "section {name} runs from row {first} to row {last}, but panel {id} has {n_rows} rows"
                    ),
                    format!("rows from 1 to {n_rows}, the smaller first"),
                )
                .with(Spot::field(fact.id(), ("spaces", 0)), "the number of spaces is given here"),
            );
        }
    }
    if !in_range {
        return;
    }
    let mut order: Vec<usize> = (0..body.sections.len()).collect();
    order.sort_by_key(|&idx| body.sections[idx].rows);
    let mut next_row = 1;
    let mut above: Option<usize> = None;
    for idx in order {
        let section = &body.sections[idx];
        let [first, last] = section.rows;
        if first < next_row {
            let mut finding = Finding::error(
                "section-overlap",
                rows_spot(idx),
                format!("section {} begins in row {first}, which another section holds", section.id.0),
                format!("each row belongs to one section; the next free row is {next_row}"),
            );
            if let Some(above) = above {
                finding = finding.with(rows_spot(above), "the section above");
            }
            findings.push(finding);
        } else if next_row < first {
            findings.push(Finding::error(
                "section-gap",
                rows_spot(idx),
                format!("no section holds {} of panel {id}", rows(next_row, first - 1)),
                format!(
                    "sections follow each other without gaps: let {} begin in row {next_row}",
                    section.id.0
                ),
            ));
        }
        if next_row <= last {
            next_row = last + 1;
            above = Some(idx);
        }
    }
    if let Some(above) = above.filter(|_| next_row <= n_rows) {
        findings.push(Finding::error(
            "section-gap",
            rows_spot(above),
            format!("no section holds {} of panel {id}", rows(next_row, n_rows)),
            format!("the last section ends in the last row, {n_rows}"),
        ));
    }
}

fn rows(first: u16, last: u16) -> String {
    if first == last { format!("row {first}") } else { format!("rows {first} to {last}") }
}
