//! The pages by their addresses.

use std::fmt;

/// A page or a form's target.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Route {
    /// List of jobs.
    Jobs,
    /// Call sheet of a new job.
    New,
    /// Devices and invitations.
    Devices,
    /// Joining with a code.
    Join,
    /// Signing in with name and password.
    SignIn,
    /// Setting a password by an invitation.
    Welcome,
    /// Who looks: own devices, own password, signing out.
    Me,
    /// The people of the shop.
    People,
    /// Who did what.
    Audit,
    /// The exchange with a shop, from a laptop's own bench.
    Exchange,
    /// What is due in all jobs.
    Board,
    /// The shop's policy.
    Policy,
    /// Predicted against found, over all jobs.
    Score,
    /// The questions an owner asks.
    Questions,
    /// The shop's price book, and its notice of cancelling.
    Prices,
    /// What utilities and permit offices told the shop.
    Cards,
    /// What to do without a network, HTTPS on a phone, cautions.
    Guide,
    /// The bench: one job, its panels and what is thought of them.
    Bench(String),
    /// Call notes with triage of a job.
    Call(String),
    /// Describing a panel: rows, main, split. The name is empty for a further panel.
    Panel(String, String),
    /// Filling the spaces of a panel.
    Fill(String, String),
    /// One space of a panel: job, panel, space.
    Space(String, String, String),
    /// One joint: job, joint.
    Joint(String, String),
    /// Form for a fact.
    Enter(String, EntryKind),
    /// Isolation step by step, with its proofs.
    Isolation(String),
    /// The verdict in full, with every choice.
    Verdict(String),
    /// The plan until the replacement, and what is due.
    Plan(String),
    /// Survey of the circuits for the replacement.
    Survey(String),
    /// Questions before the day of the replacement.
    Surprises(String),
    /// Layout of the new panel.
    Layout(String),
    /// Places to which a circuit could be moved: job, panel, space.
    Moves(String, String, String),
    /// All facts, newest first; taking back.
    Log(String),
    /// All photos of a job.
    Photos(String),
    /// One photo with its pins: job, hash.
    Photo(String, String),
    /// What the code book knows and asks of a job.
    Code(String),
    /// The load by every method.
    Load(String),
    /// Every size.
    Sizes(String),
    /// What the edition asks.
    Asks(String),
    /// Editions side by side.
    Editions(String),
    /// Interval-meter data.
    Meter(String),
    /// Switching the new panel on, and how it stands.
    Proving(String),
    /// Torque log of the new panel.
    Torque(String),
    /// Every option with its price.
    Price(String),
    /// The day without power.
    Outage(String),
    /// List of papers.
    Papers(String),
    /// Links for others to papers of a job.
    Links(String),
}

macro_rules! entry_kinds {
    ($($(#[$doc:meta])* $variant:ident = $word:literal;)+) => {
        /// What can be entered on a form of its own.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum EntryKind { $($(#[$doc])* $variant,)+ }

        impl EntryKind {
            /// All kinds.
            pub const ALL: &'static [EntryKind] = &[$(EntryKind::$variant,)+];

            /// The word in addresses.
            pub const fn word(self) -> &'static str {
                match self { $(EntryKind::$variant => $word,)+ }
            }

            /// The kind with this word.
            pub fn of_word(word: &str) -> Option<Self> {
                match word { $($word => Some(EntryKind::$variant),)+ _ => None }
            }
        }
    };
}

entry_kinds! {
    /// A load state.
    State = "state";
    /// How far the panel is open.
    Exposure = "exposure";
    /// A hand on a breaker face.
    Touch = "touch";
    /// A temperature.
    Temperature = "temperature";
    /// A current.
    Clamp = "clamp";
    /// Voltages of the legs.
    Voltage = "voltage";
    /// A millivolt drop.
    Drop = "drop";
    /// A trip.
    Trip = "trip";
    /// A sign.
    Sign = "sign";
    /// A complaint.
    Complaint = "complaint";
    /// The service.
    Service = "service";
    /// A breaker, in full.
    Breaker = "breaker";
    /// What was found when a joint was opened.
    Opening = "opening";
    /// A decision.
    Decision = "decision";
    /// Work done.
    Work = "work";
    /// A pin on a photo.
    Pin = "pin";
    /// A handle that was moved.
    Handle = "handle";
    /// A cut by the utility.
    Cut = "cut";
    /// Another source that was looked for.
    Source = "source";
    /// A test for absence of voltage.
    Proof = "proof";
    /// The plan until the replacement.
    Interim = "interim";
    /// A promise.
    Promise = "promise";
    /// Something due was done.
    Kept = "kept";
    /// A breaker of the new panel.
    Installed = "installed";
    /// A termination that was tightened.
    Torqued = "torqued";
    /// A step of switching on.
    Energised = "energised";
    /// A shared neutral.
    SharedNeutral = "shared-neutral";
    /// The day without power, booked.
    Booked = "booked";
    /// A step of the day, begun or done.
    Tick = "tick";
    /// A quote that was given.
    Quote = "quote";
    /// Parts that were used.
    Used = "used";
    /// A temperature of the new panel.
    Verified = "verified";
    /// A device that was tried.
    Tried = "tried";
    /// The permit as filed.
    Permit = "permit";
    /// The directory card.
    Card = "card";
    /// The adopted code.
    Adoption = "adoption";
    /// A dwelling.
    Dwelling = "dwelling";
    /// An appliance.
    Appliance = "appliance";
    /// A measured demand.
    Demand = "demand";
    /// The site and the planned work.
    Site = "site";
    /// Facts taken back.
    TakeBack = "take-back";
}

/// A form of a photo.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rendition {
    /// Small, for lists.
    Thumb,
    /// As wide as a page, upright, without location.
    Page,
    /// As it was taken.
    Original,
}

impl Route {
    /// The route of a path, percent-encoded as in a request.
    pub fn of_path(path: &str) -> Option<Route> {
        let parts: Vec<String> =
            path.split('/').filter(|part| !part.is_empty()).map(decode).collect::<Option<Vec<_>>>()?;
        let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
        let own = str::to_owned;
        Some(match parts.as_slice() {
            [] => Route::Jobs,
            ["new"] => Route::New,
            ["devices"] => Route::Devices,
            ["join"] => Route::Join,
            ["signin"] => Route::SignIn,
            ["welcome"] => Route::Welcome,
            ["me"] => Route::Me,
            ["people"] => Route::People,
            ["audit"] => Route::Audit,
            ["exchange"] => Route::Exchange,
            ["guide"] => Route::Guide,
            ["board"] => Route::Board,
            ["policy"] => Route::Policy,
            ["score"] => Route::Score,
            ["questions"] => Route::Questions,
            ["prices"] => Route::Prices,
            ["cards"] => Route::Cards,
            ["jobs", job] => Route::Bench(own(job)),
            ["jobs", job, "call"] => Route::Call(own(job)),
            ["jobs", job, "panel"] => Route::Panel(own(job), String::new()),
            ["jobs", job, "panel", panel] => Route::Panel(own(job), own(panel)),
            ["jobs", job, "fill", panel] => Route::Fill(own(job), own(panel)),
            ["jobs", job, "spaces", panel, space] => Route::Space(own(job), own(panel), own(space)),
            ["jobs", job, "joints", joint] => Route::Joint(own(job), own(joint)),
            ["jobs", job, "enter", kind] => Route::Enter(own(job), EntryKind::of_word(kind)?),
            ["jobs", job, "isolation"] => Route::Isolation(own(job)),
            ["jobs", job, "plan"] => Route::Plan(own(job)),
            ["jobs", job, "survey"] => Route::Survey(own(job)),
            ["jobs", job, "surprises"] => Route::Surprises(own(job)),
            ["jobs", job, "layout"] => Route::Layout(own(job)),
            ["jobs", job, "verdict"] => Route::Verdict(own(job)),
            ["jobs", job, "moves", panel, space] => Route::Moves(own(job), own(panel), own(space)),
            ["jobs", job, "log"] => Route::Log(own(job)),
            ["jobs", job, "photos"] => Route::Photos(own(job)),
            ["jobs", job, "photos", photo] => Route::Photo(own(job), own(photo)),
            ["jobs", job, "code"] => Route::Code(own(job)),
            ["jobs", job, "load"] => Route::Load(own(job)),
            ["jobs", job, "sizes"] => Route::Sizes(own(job)),
            ["jobs", job, "asks"] => Route::Asks(own(job)),
            ["jobs", job, "editions"] => Route::Editions(own(job)),
            ["jobs", job, "meter"] => Route::Meter(own(job)),
            ["jobs", job, "proving"] => Route::Proving(own(job)),
            ["jobs", job, "torque"] => Route::Torque(own(job)),
            ["jobs", job, "price"] => Route::Price(own(job)),
            ["jobs", job, "outage"] => Route::Outage(own(job)),
            ["jobs", job, "papers"] => Route::Papers(own(job)),
            ["jobs", job, "links"] => Route::Links(own(job)),
            _ => return None,
        })
    }

    /// The job it is about.
    pub fn job(&self) -> Option<&str> {
        match self {
            Route::Jobs
            | Route::New
            | Route::Devices
            | Route::Join
            | Route::SignIn
            | Route::Welcome
            | Route::Me
            | Route::People
            | Route::Audit
            | Route::Exchange
            | Route::Guide
            | Route::Board
            | Route::Policy
            | Route::Score
            | Route::Questions
            | Route::Prices
            | Route::Cards => None,
            Route::Bench(job)
            | Route::Call(job)
            | Route::Panel(job, _)
            | Route::Fill(job, _)
            | Route::Space(job, ..)
            | Route::Joint(job, _)
            | Route::Enter(job, _)
            | Route::Isolation(job)
            | Route::Plan(job)
            | Route::Survey(job)
            | Route::Surprises(job)
            | Route::Layout(job)
            | Route::Verdict(job)
            | Route::Moves(job, ..)
            | Route::Log(job)
            | Route::Photos(job)
            | Route::Photo(job, _)
            | Route::Code(job)
            | Route::Load(job)
            | Route::Sizes(job)
            | Route::Asks(job)
            | Route::Editions(job)
            | Route::Meter(job)
            | Route::Proving(job)
            | Route::Torque(job)
            | Route::Price(job)
            | Route::Outage(job)
            | Route::Links(job)
            | Route::Papers(job) => Some(job),
        }
    }
}

/// The address, percent-encoded.
impl fmt::Display for Route {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let parts: Vec<&str> = match self {
            Route::Jobs => vec![],
            Route::New => vec!["new"],
            Route::Devices => vec!["devices"],
            Route::Join => vec!["join"],
            Route::SignIn => vec!["signin"],
            Route::Welcome => vec!["welcome"],
            Route::Me => vec!["me"],
            Route::People => vec!["people"],
            Route::Audit => vec!["audit"],
            Route::Exchange => vec!["exchange"],
            Route::Guide => vec!["guide"],
            Route::Board => vec!["board"],
            Route::Policy => vec!["policy"],
            Route::Score => vec!["score"],
            Route::Questions => vec!["questions"],
            Route::Prices => vec!["prices"],
            Route::Cards => vec!["cards"],
            Route::Bench(job) => vec!["jobs", job],
            Route::Call(job) => vec!["jobs", job, "call"],
            Route::Panel(job, panel) if panel.is_empty() => vec!["jobs", job, "panel"],
            Route::Panel(job, panel) => vec!["jobs", job, "panel", panel],
            Route::Fill(job, panel) => vec!["jobs", job, "fill", panel],
            Route::Space(job, panel, space) => vec!["jobs", job, "spaces", panel, space],
            Route::Joint(job, joint) => vec!["jobs", job, "joints", joint],
            Route::Enter(job, kind) => vec!["jobs", job, "enter", kind.word()],
            Route::Isolation(job) => vec!["jobs", job, "isolation"],
            Route::Plan(job) => vec!["jobs", job, "plan"],
            Route::Survey(job) => vec!["jobs", job, "survey"],
            Route::Surprises(job) => vec!["jobs", job, "surprises"],
            Route::Layout(job) => vec!["jobs", job, "layout"],
            Route::Verdict(job) => vec!["jobs", job, "verdict"],
            Route::Moves(job, panel, space) => vec!["jobs", job, "moves", panel, space],
            Route::Log(job) => vec!["jobs", job, "log"],
            Route::Photos(job) => vec!["jobs", job, "photos"],
            Route::Photo(job, photo) => vec!["jobs", job, "photos", photo],
            Route::Code(job) => vec!["jobs", job, "code"],
            Route::Load(job) => vec!["jobs", job, "load"],
            Route::Sizes(job) => vec!["jobs", job, "sizes"],
            Route::Asks(job) => vec!["jobs", job, "asks"],
            Route::Editions(job) => vec!["jobs", job, "editions"],
            Route::Meter(job) => vec!["jobs", job, "meter"],
            Route::Proving(job) => vec!["jobs", job, "proving"],
            Route::Torque(job) => vec!["jobs", job, "torque"],
            Route::Price(job) => vec!["jobs", job, "price"],
            Route::Outage(job) => vec!["jobs", job, "outage"],
            Route::Papers(job) => vec!["jobs", job, "papers"],
            Route::Links(job) => vec!["jobs", job, "links"],
        };
        if parts.is_empty() {
            return f.write_str("/");
        }
        parts.iter().try_for_each(|part| write!(f, "/{}", encode(part)))
    }
}

/// A text percent-encoded, as part of an address.
pub(crate) fn encode(part: &str) -> String {
    let mut out = String::new();
    for byte in part.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~:".contains(&byte) {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    out
}

fn decode(part: &str) -> Option<String> {
    let mut bytes = part.bytes();
    let mut out = Vec::new();
    while let Some(byte) = bytes.next() {
        if byte == b'%' {
            let high = char::from(bytes.next()?).to_digit(16)?;
            let low = char::from(bytes.next()?).to_digit(16)?;
            out.push((high * 16 + low) as u8);
        } else {
            out.push(byte);
        }
    }
    String::from_utf8(out).ok()
}
