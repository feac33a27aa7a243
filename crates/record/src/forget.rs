//! What stays of a job whose customer asked to be forgotten: readings, openings, days and sizes. Names of people and
//! places, what was said, and photos go.
//!
//! A job is forgotten by one fact in it, and that fact holds for all others of the job, whenever they arrive: what comes
//! later from a laptop that was away is stored redacted, too. What a fact becomes hangs on that fact alone, so two
//! benches that forget the same job hold the same. Names of facts hold words of what they are about, so they go as well:
//! each fact gets another name made from its old one.

use crate::fact::{Body, Fact, TorqueFrom};
use crate::text::AsText;
use model::FactId;
use sha2::{Digest, Sha256};

/// Stands where words were taken out.
pub const REMOVED: &str = "removed on request";

/// Names of redacted facts begin so.
const PREFIX: &str = "kept-";

/// Is the job of these facts forgotten?
pub fn is_forgotten<'a>(facts: impl IntoIterator<Item = &'a Fact>) -> bool {
    facts.into_iter().any(|fact| matches!(fact.body, Body::Forgotten(_)))
}

/// All of them redacted where one of them says that the job is forgotten; as they are otherwise.
pub fn as_forgotten(facts: Vec<Fact>) -> Vec<Fact> {
    if is_forgotten(&facts) { facts.iter().map(redacted).collect() } else { facts }
}

/// What stays of a fact. Redacted again it stays the same. The fact that makes a job forgotten loses its words alone.
pub fn redacted(fact: &Fact) -> Fact {
    let mut fact = fact.clone();
    if !matches!(fact.body, Body::Forgotten(_)) {
        fact.id = AsText(renamed(&fact.id.0));
    }
    for old in &mut fact.supersedes {
        *old = AsText(renamed(&old.0));
    }
    redact(&mut fact.body);
    fact
}

/// The name of a fact after its job is forgotten; of one that has it already the same.
pub fn renamed(id: &FactId) -> FactId {
    if id.as_str().starts_with(PREFIX) || id.as_str().starts_with("forgotten-") {
        return id.clone();
    }
    FactId::new(format!("{PREFIX}{}", hash(id.as_str(), 16)))
}

fn hash(text: &str, n_hex: usize) -> String {
    let digest = Sha256::digest(text.as_bytes());
    digest.iter().take(n_hex / 2).map(|byte| format!("{byte:02x}")).collect()
}

/// Words that say something to people.
fn out(text: &mut String) {
    if !text.is_empty() {
        REMOVED.clone_into(text);
    }
}

fn out_all<'a>(texts: impl IntoIterator<Item = &'a mut String>) {
    texts.into_iter().for_each(out);
}

/// A name by which facts point at each other, such as of a load state: another one, the same in every fact.
fn rename(text: &mut String) {
    const MARK: &str = "name ";
    if !text.is_empty() && !text.starts_with(MARK) {
        *text = format!("{MARK}{}", hash(text, 8));
    }
}

/// Every kind states what goes; a kind that does not, does not compile.
fn redact(body: &mut Body) {
    match body {
        // The town stays: reconnections are counted by it.
        Body::Job(body) => out_all([&mut body.place, &mut body.owner]),
        Body::Service(body) => {
            out_all(body.meter.iter_mut().chain(&mut body.other_sources));
            out_all(body.drop.colour.iter_mut().chain(&mut body.entrance.colour));
        }
        Body::Panel(body) => {
            out(&mut body.place);
            out_all(body.sections.iter_mut().flat_map(|section| &mut section.feeder.colour));
        }
        Body::Breaker(body) => {
            if let Some(circuit) = &mut body.circuit {
                out(&mut circuit.feeds);
                out_all(&mut circuit.conductor.colour);
            }
        }
        Body::State(body) => {
            rename(&mut body.name);
            out(&mut body.words);
        }
        Body::Temperature(body) => rename(&mut body.state),
        Body::Touch(body) => rename(&mut body.state),
        Body::Clamp(body) => rename(&mut body.state),
        Body::Voltage(body) => rename(&mut body.state),
        Body::Drop(body) => rename(&mut body.state),
        Body::Trip(body) => body.state.iter_mut().for_each(rename),
        Body::Sign(body) => {
            out(&mut body.words);
            if let Some(photo) = &mut body.photo {
                photo.0 = renamed(&photo.0);
            }
        }
        Body::Photo(body) => out(&mut body.words),
        Body::Pin(body) => out(&mut body.words),
        Body::Call(body) => out(&mut body.words),
        Body::Complaint(body) => out(&mut body.words),
        Body::Decision(body) => out(&mut body.words),
        Body::Work(body) => out(&mut body.words),
        Body::Opening(body) => out(&mut body.words),
        Body::Cut(body) => out(&mut body.words),
        Body::Source(body) => out_all([&mut body.source, &mut body.looked]),
        Body::Interim(body) => out_all([
            &mut body.limits_words,
            &mut body.done,
            &mut body.watch_words,
            &mut body.alarms_words,
            &mut body.medical,
            &mut body.food,
            &mut body.heat,
            &mut body.answer_words,
            &mut body.answer_by,
            &mut body.reasons,
        ]),
        Body::Promise(body) => out(&mut body.words),
        Body::Kept(body) => {
            out(&mut body.words);
            body.of.0 = renamed(&body.of.0);
        }
        Body::Circuit(body) => {
            out_all([&mut body.feeds, &mut body.room, &mut body.words]);
            out_all(&mut body.conductor.colour);
            rename(&mut body.name);
            rename(&mut body.together);
        }
        Body::Surprise(body) => out(&mut body.words),
        Body::Arrangement(body) => {
            out(&mut body.words);
            body.seats.iter_mut().filter_map(|seat| seat.new.as_mut()).for_each(rename);
        }
        // Whoever has the number of a permit finds the address by it.
        Body::Permit(body) => out_all([&mut body.number, &mut body.words]),
        Body::Installed(body) => out(&mut body.words),
        Body::Torqued(body) => {
            if let TorqueFrom::Sheet(words) = &mut body.source {
                out(words);
            }
        }
        Body::Tried(body) => out(&mut body.words),
        Body::Card(body) => body.lines.iter_mut().for_each(|line| out(&mut line.words)),
        Body::Quote(body) => out(&mut body.words),
        Body::Outage(body) => out(&mut body.told),
        Body::Tick(body) => out(&mut body.words),
        Body::Used(body) => out(&mut body.words),
        Body::Dwelling(body) => {
            rename(&mut body.unit);
            body.managed.iter_mut().for_each(|managed| rename(&mut managed.name));
        }
        Body::Appliance(body) => {
            rename(&mut body.name);
            rename(&mut body.unit);
            body.managed.iter_mut().for_each(rename);
        }
        Body::Demand(body) => out(&mut body.words),
        Body::Site(body) => {
            body.new_circuits.iter_mut().for_each(|circuit| rename(&mut circuit.name));
            body.three_wire.iter_mut().for_each(|circuit| rename(&mut circuit.name));
        }
        Body::Retraction(body) => out(&mut body.words),
        Body::Forgotten(body) => out(&mut body.words),
        // Of the place that adopted it, and of parts, tools and steps: nothing of the customer.
        Body::Adoption(_)
        | Body::Handle(_)
        | Body::Proof(_)
        | Body::Energised(_)
        | Body::Verified(_)
        | Body::SharedNeutral(_)
        | Body::Exposure(_) => {}
    }
}
