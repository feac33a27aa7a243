//! The audit trail in words.

use super::unkept;
use crate::bench::Bench;
use crate::clock;
use crate::exchange::Counts;
use crate::failure::Failure;
use crate::members::Member;
use crate::page::{Ground, made};
use crate::sent::query;
use crate::trouble::trouble;
use axum::Extension;
use axum::extract::{Request, State};
use axum::response::Response;
use pages::{AuditGround, AuditWords, Route};
use std::collections::BTreeMap;
use store::{Act, AuditLine};

/// Lines of a page.
const LINES: u32 = 100;

/// The page.
pub(crate) async fn give(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    request: Request,
) -> Result<Response, Failure> {
    bench.note_broken_exchanges(false).await;
    let before = query(request.uri()).text("before").and_then(|text| text.parse().ok());
    let lines = bench.inner.store.audit(before, LINES).await.map_err(|error| trouble(&error))?;
    let older = lines.last().map(|line| line.number).filter(|number| 1 < *number);
    let names = Names::of(&bench, &lines).await?;
    let audit = AuditGround { lines: lines.iter().map(|line| names.words(line)).collect(), older };
    let ground = Ground::of(&bench, &Route::Audit, Some(&member), request.headers()).await?;
    made(move || pages::audit_page(&audit, &ground.context())).await.map(unkept)
}

/// What the ids of the trail stand for today; the trail itself has no names.
struct Names {
    persons: BTreeMap<String, String>,
    /// By device: its name, with the person who signed in on it.
    devices: BTreeMap<String, String>,
    /// By link and by digest.
    jobs: BTreeMap<String, String>,
}

impl Names {
    async fn of(bench: &Bench, lines: &[AuditLine]) -> Result<Names, Failure> {
        let store = &bench.inner.store;
        let persons = store.persons().await.map_err(|error| trouble(&error))?;
        let devices = store.devices().await.map_err(|error| trouble(&error))?;
        let mut jobs = BTreeMap::new();
        let names = |acts: &[Act]| lines.iter().any(|line| acts.iter().any(|act| act.word() == line.act));
        if names(&[Act::MadeLink, Act::RevokedLink, Act::LookedByLink]) {
            jobs.extend(store.linked_jobs().await.map_err(|error| trouble(&error))?);
        }
        if names(&[Act::Exported, Act::Deleted]) {
            let all = store.jobs().await.map_err(|error| trouble(&error))?;
            jobs.extend(all.into_iter().map(|line| (store::job_digest(&line.job), line.job)));
        }
        let device = |device: store::Device| match device.person_name.is_empty() {
            true => (device.id, device.name),
            false => (device.id, format!("{}, {}", device.person_name, device.name)),
        };
        Ok(Names {
            persons: persons.into_iter().map(|person| (person.id, person.name)).collect(),
            devices: devices.into_iter().map(device).collect(),
            jobs,
        })
    }

    fn words(&self, line: &AuditLine) -> AuditWords {
        let person = |id: &str| self.persons.get(id).cloned().unwrap_or_else(|| "somebody".to_owned());
        let device = |id: &str| self.devices.get(id).cloned().unwrap_or_else(|| "a device".to_owned());
        let object = line.object.as_str();
        let act = Act::ALL.into_iter().find(|act| act.word() == line.act);
        let what = match act {
            Some(Act::Joined) => "Joined by a code".to_owned(),
            Some(Act::SignedIn) => "Signed in".to_owned(),
            Some(Act::SignInRefused) if object.is_empty() => {
                "A sign-in was refused; nobody has that name".to_owned()
            }
            Some(Act::SignInRefused) => format!("A sign-in as {} was refused", person(object)),
            Some(Act::SignedOut) => format!("Signed out: {}", device(object)),
            Some(Act::Invited) => format!("Invited a device as {object}"),
            Some(Act::InvitedPerson) => format!("Invited {}", person(object)),
            Some(Act::PasswordSet) => format!("{} has another password", person(object)),
            Some(Act::RevokedDevice) => format!("Shut out {}", device(object)),
            Some(Act::RevokedPerson) => format!("Shut out {} with all devices", person(object)),
            Some(Act::RestoredPerson) => format!("Let {} in again", person(object)),
            Some(Act::ChangedRole) => format!("Gave {} another role", person(object)),
            Some(Act::ChangedPolicy) => "Put another policy in force".to_owned(),
            Some(Act::ChangedPrices) => "Put another price book in force".to_owned(),
            Some(Act::ChangedText) => format!("Changed a text of the shop: {object}"),
            Some(Act::MadeLink) => format!("Made link {object}"),
            Some(Act::RevokedLink) => format!("Took back link {object}"),
            Some(Act::LookedByLink) => format!("Somebody looked by link {object}"),
            Some(Act::Exported) => "Exported a job".to_owned(),
            Some(Act::Deleted) => "Deleted what was a customer’s".to_owned(),
            Some(Act::Exchanged) => format!("Exchanged with this bench: {}", went(object)),
            Some(Act::ExchangedWithShop) => format!("Had this bench exchange with a shop: {}", went(object)),
            None => format!("{} (by a newer program)", line.act),
        };
        let who = match (line.person.as_str(), line.device.as_str()) {
            ("", "") if act == Some(Act::ExchangedWithShop) => "the command line of this machine".to_owned(),
            ("", "") => "nobody of the shop".to_owned(),
            (person_id, "") => person(person_id),
            (_, device_id) => device(device_id),
        };
        let job = self.jobs.get(object).cloned();
        AuditWords { number: line.number, at: clock::civil(line.at), who, what, job }
    }
}

/// What went each way by an exchange, in words.
fn went(object: &str) -> String {
    Counts::of_text(object).map_or_else(|| "as a newer program wrote it".to_owned(), Counts::words)
}
