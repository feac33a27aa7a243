//! Days: nothing from the future, nothing before the job.

use super::{Finding, Site, Spot};
use crate::fact::Body;
use model::Date;

pub(super) fn check(site: &Site<'_>, today: Option<Date>, findings: &mut Vec<Finding>) {
    let opened = site.jobs.first().map(|(_, body)| body.opened);
    if let (Some(today), Some((fact, body))) = (today, site.jobs.first())
        && today < body.opened
    {
        findings.push(future(Spot::field(fact.id(), ("opened", 0)), body.opened, today));
    }
    for &fact in &site.live.facts {
        if super::is_full(findings) {
            return;
        }
        let day = fact.at.date();
        let spot = Spot::field(fact.id(), ("at", 0));
        match today {
            Some(today) if today < day => findings.push(future(spot.clone(), day, today)),
            _ => {}
        }
        if let Some(opened) = opened.filter(|opened| day < *opened && is_taken_on_the_job(&fact.body)) {
            findings.push(before(spot, day, opened));
        }
        if let Body::Panel(body) = &fact.body
            && let (Some(year), Some(today)) = (body.year, today)
            && today.year() < year
        {
            findings.push(Finding::error(
                "future-date",
                Spot::field(fact.id(), ("year", 0)),
                format!("the panel was put in in {year}, which is in the future"),
                format!("today is {today}"),
            ));
        }
    }
}

fn future(spot: Spot, day: Date, today: Date) -> Finding {
    Finding::error("future-date", spot, format!("{day} is in the future"), format!("today is {today}"))
}

/// Readings belong to the job; what went before it, a trip or a complaint, may well be older.
fn is_taken_on_the_job(body: &Body) -> bool {
    matches!(
        body,
        Body::State(_)
            | Body::Temperature(_)
            | Body::Touch(_)
            | Body::Clamp(_)
            | Body::Voltage(_)
            | Body::Drop(_)
            | Body::Sign(_)
            | Body::Opening(_)
            | Body::Handle(_)
            | Body::Cut(_)
            | Body::Source(_)
            | Body::Proof(_)
            | Body::Exposure(_)
            | Body::Torqued(_)
            | Body::Energised(_)
            | Body::Verified(_)
            | Body::SharedNeutral(_)
            | Body::Tried(_)
    )
}

fn before(spot: Spot, day: Date, opened: Date) -> Finding {
    Finding::warning(
        "before-opened",
        spot,
        format!("{day} is before the job was opened"),
        format!("the job was opened on {opened}; if it is really older, leave it"),
    )
}
