//! What can go wrong with the store, and what to do then.

use std::fmt;
use std::path::PathBuf;
use std::sync::Arc;

/// Something did not work. Nothing was stored by the call that gives it, unless a variant says otherwise.
#[derive(Debug, Clone, thiserror::Error)]
#[expect(missing_docs, reason = "the message of each variant says what its fields are")]
pub enum Error {
    // The folder.
    #[error("{} is not a folder", .path.display())]
    NotAFolder { path: PathBuf },
    #[error("the data folder {} cannot be written: it is read-only for this program", .path.display())]
    ReadOnly { path: PathBuf },
    #[error("no room is left on the disk of the data folder {}; nothing of this was stored", .path.display())]
    DiskFull { path: PathBuf },
    #[error("the data folder {} is in use by another program{}", .path.display(), process_text(*.process))]
    Locked { path: PathBuf, process: Option<u32> },
    #[error("the data folder {} has only half of a backup in it: a restore was interrupted", .path.display())]
    HalfRestored { path: PathBuf },
    #[error("the data folder {} holds no database of this program", .path.display())]
    NoDatabase { path: PathBuf },
    #[error("the data folder {} cannot be used", .path.display())]
    Folder { path: PathBuf, source: Arc<std::io::Error> },

    // The database.
    #[error("the database {} is damaged: {what}", .path.display())]
    Damaged { path: PathBuf, what: String },
    #[error("the database {} is of version {found}; this program knows versions up to {known}", .path.display())]
    Newer { path: PathBuf, found: i64, known: i64 },
    #[error("step {version} of the database {} is not the one this program has", .path.display())]
    OtherHistory { path: PathBuf, version: i64 },
    #[error("the database failed while {doing}")]
    Database { doing: &'static str, source: Arc<sqlx::Error> },
    #[error("the database could not be brought to the version of this program")]
    Migration { source: Arc<sqlx::migrate::MigrateError> },
    #[error("this is no address of a PostgreSQL server")]
    Address,
    #[error("the database at {server} cannot be reached")]
    Unreachable { server: String, source: Arc<sqlx::Error> },
    #[error("no room is left on the disk of the database at {server}; nothing of this was stored")]
    ServerFull { server: String },
    #[error("the database to write to holds something already: {n} rows of {table}")]
    NotEmptyDatabase { table: &'static str, n: i64 },
    #[error("rows and photos are the same at both ends")]
    SamePlace,
    #[error("{table} arrived otherwise than it was sent; the new database is not to be used")]
    ArrivedOtherwise { table: &'static str },
    #[error("the store is closed")]
    Closed,
    #[error("the store was opened for reading only")]
    ReadingOnly,
    #[error("the machine gives no random numbers")]
    NoChance,

    // Facts.
    #[error("{name:?} cannot name a job: 1 to {max} characters, no control characters, no blank at an end")]
    JobName { name: String, max: usize },
    #[error("{name:?} cannot name an entry: 1 to {max} letters, digits, `-`, `_` and `.`")]
    EntryName { name: String, max: usize },
    #[error("there is no job {job:?}")]
    NoJob { job: String },
    #[error("job {job:?} has a fact {fact:?} already, and it says something else; the first one stays")]
    FactDiffers { job: String, fact: String },
    #[error("entry {entry:?} of job {job:?} was stored before, and it said something else")]
    EntryDiffers { job: String, entry: String },
    #[error("job {job:?} would have {n} facts; a record has {max} at most")]
    TooManyFacts { job: String, n: usize, max: usize },
    #[error("fact {fact:?} of job {job:?} cannot be read by this program")]
    FactNotRead { job: String, fact: String, source: Arc<serde_json::Error> },

    #[error("job {job:?} was forgotten at its customer's request; photos of it are not kept")]
    Forgotten { job: String },

    // Photos.
    #[error("job {job:?} has no photo {photo}")]
    NoPhoto { job: String, photo: String },
    #[error("photo {photo} has no form {form:?} here")]
    NoForm { photo: String, form: &'static str },
    #[error("the bytes of photo {photo}, form {form:?}, are gone")]
    PhotoGone { photo: String, form: &'static str },
    #[error("the bytes of photo {photo}, form {form:?}, are damaged: they hash to {found}")]
    PhotoDamaged { photo: String, form: &'static str, found: String },
    #[error("a photo of {bytes} bytes is too large; {max} is the most")]
    PhotoTooLarge { bytes: usize, max: usize },
    #[error("a photo without bytes is none")]
    PhotoEmpty,
    #[error("{address:?} is no place for photos: {why}")]
    Bucket { address: String, why: String },
    #[error("the photos could not be read or written")]
    Photos { source: Arc<object_store::Error> },

    // Devices.
    #[error("{name:?} cannot name a device: 1 to {max} characters, no control characters")]
    DeviceName { name: String, max: usize },
    #[error("no invitation has this code")]
    NoInvitation,
    #[error("the invitation has run out")]
    InvitationExpired,
    #[error("the invitation was used already")]
    InvitationUsed,
    #[error("there is no device {device:?}")]
    NoDevice { device: String },

    // Persons and links.
    #[error("{name:?} cannot name a person: 1 to {max} characters, no control characters")]
    PersonName { name: String, max: usize },
    #[error("there is a person {name:?} already")]
    PersonThere { name: String },
    #[error("there is no person {person:?}")]
    NoPerson { person: String },
    #[error("there is no link {link:?}")]
    NoLink { link: String },

    // Backups and exported jobs.
    #[error("the file {} is there already", .path.display())]
    FileExists { path: PathBuf },
    #[error("the file {} cannot be read or written", .path.display())]
    File { path: PathBuf, source: Arc<std::io::Error> },
    #[error("{} is not {what}: {why}", .path.display())]
    NotAnArchive { path: PathBuf, what: &'static str, why: String },
    #[error("{} is of version {found}; this program reads version {known}", .path.display())]
    NewerArchive { path: PathBuf, found: u32, known: u32 },
    #[error("{member:?} in {} is damaged: {why}", .path.display())]
    MemberDamaged { path: PathBuf, member: String, why: String },
    #[error("{member:?} is missing in {}", .path.display())]
    MemberMissing { path: PathBuf, member: String },
    #[error("{member:?} in {} does not belong there", .path.display())]
    MemberForeign { path: PathBuf, member: String },
    #[error("{member:?} in {} has {bytes} bytes; {max} is the most", .path.display())]
    MemberTooLarge { path: PathBuf, member: String, bytes: u64, max: u64 },
    #[error("the folder {} is not empty", .path.display())]
    NotEmpty { path: PathBuf },
}

/// Whose matter an error is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// What was asked for cannot be: the asker can mend it.
    Asked,
    /// What is stored or was handed over is damaged, or of another version.
    Data,
    /// The machine, its disk or its folder.
    Machine,
}

impl Error {
    /// Whose matter it is.
    pub fn kind(&self) -> Kind {
        use Error::*;
        match self {
            JobName { .. } | EntryName { .. } | NoJob { .. } | FactDiffers { .. } | EntryDiffers { .. } => {
                Kind::Asked
            }
            Forgotten { .. }
            | TooManyFacts { .. }
            | NoPhoto { .. }
            | NoForm { .. }
            | PhotoTooLarge { .. }
            | PhotoEmpty => Kind::Asked,
            DeviceName { .. } | NoInvitation | InvitationExpired | InvitationUsed | NoDevice { .. } => {
                Kind::Asked
            }
            PersonName { .. } | PersonThere { .. } | NoPerson { .. } | NoLink { .. } => Kind::Asked,
            FileExists { .. }
            | NotEmpty { .. }
            | ReadingOnly
            | Address
            | SamePlace
            | NotEmptyDatabase { .. } => Kind::Asked,
            Damaged { .. } | Newer { .. } | OtherHistory { .. } | Migration { .. } | FactNotRead { .. } => {
                Kind::Data
            }
            PhotoGone { .. } | PhotoDamaged { .. } | NotAnArchive { .. } | NewerArchive { .. } => Kind::Data,
            MemberDamaged { .. } | MemberMissing { .. } | MemberForeign { .. } | MemberTooLarge { .. } => {
                Kind::Data
            }
            HalfRestored { .. } | NoDatabase { .. } | ArrivedOtherwise { .. } => Kind::Data,
            NotAFolder { .. } | ReadOnly { .. } | DiskFull { .. } | Locked { .. } | Folder { .. } => {
                Kind::Machine
            }
            Bucket { .. } | Unreachable { .. } | ServerFull { .. } => Kind::Machine,
            Database { .. } | Closed | NoChance | Photos { .. } | File { .. } => Kind::Machine,
        }
    }

    /// What to do next.
    pub fn hint(&self) -> &'static str {
        use Error::*;
        match self {
            NotAFolder { .. } => "name a folder; it is made where it does not exist",
            ReadOnly { .. } => "give this program the right to write there, or name another folder",
            DiskFull { .. } => "free some space and try again; what was acknowledged before is safe",
            Locked { .. } => "stop the other program first, or name another folder",
            HalfRestored { .. } => "empty the folder and restore again; the backup file itself is unharmed",
            NoDatabase { .. } => "name the folder that the program was served from",
            Folder { .. } => "look whether the folder is there and may be used",
            Damaged { .. } => {
                "keep a copy of the folder as it is, and restore the last backup into an empty one"
            }
            Newer { .. } => {
                "use the newer program that wrote it; an older one would lose what it does not know"
            }
            OtherHistory { .. } => {
                "use the program that made this folder, or restore a backup into an empty one"
            }
            Database { .. } | Migration { .. } => {
                "try again; if it stays so, make a copy of the folder first"
            }
            Address => "write it as `postgres://user@host/database`",
            Unreachable { .. } => "look whether the server runs, and whether this program may come in",
            ServerFull { .. } => {
                "make room on the server's disk and try again; what was acknowledged before is safe"
            }
            NotEmptyDatabase { .. } => "name an empty database; nothing is written over",
            SamePlace => "name another folder, server or bucket to copy to",
            ArrivedOtherwise { .. } => "drop it and move again; what was moved from is unharmed",
            Closed => "open it again",
            ReadingOnly => "open the folder for writing",
            NoChance => "without them no safe names can be made; restart the machine",
            JobName { .. } => "choose a short name, such as `2026-031`",
            EntryName { .. } => "give every entry a fresh random id",
            NoJob { .. } => "look at the list of jobs",
            FactDiffers { .. } => "give the new fact an id of its own; a correction supersedes the old fact",
            EntryDiffers { .. } => {
                "open the form afresh and enter it again, so that it gets an id of its own"
            }
            TooManyFacts { .. } => "begin a further job for the rest",
            FactNotRead { .. } => "a newer program may read it",
            Forgotten { .. } => "begin a new job for new work",
            NoPhoto { .. } => "look at the photos of the job",
            NoForm { .. } => "make the form from another one, or send the photo again",
            PhotoGone { .. } | PhotoDamaged { .. } => {
                "send the photo again from the phone, or restore a backup"
            }
            PhotoTooLarge { .. } => "take it with a smaller size",
            PhotoEmpty => "choose the photo again",
            Bucket { .. } => {
                "write it as `s3://bucket/prefix`, with its keys and AWS_ENDPOINT_URL in the environment"
            }
            Photos { .. } => "look whether the place of the photos can be reached and has room",
            DeviceName { .. } => "choose a short name, such as `phone of JD`",
            NoInvitation => "read the code once more, or have a new one made",
            InvitationExpired | InvitationUsed => {
                "have a new one made; each serves one device, for a short time"
            }
            NoDevice { .. } => "look at the list of devices",
            PersonName { .. } => "choose a short name, such as `J. Doe`",
            PersonThere { .. } => "add something that tells the two apart",
            NoPerson { .. } => "look at the list of people",
            NoLink { .. } => "look at the links of the job",
            FileExists { .. } => "name a new file; nothing is written over",
            File { .. } => "look whether the file and its folder are there and may be used",
            NotAnArchive { .. } => "name a file that this program wrote",
            NewerArchive { .. } => "use the newer program that wrote it",
            MemberDamaged { .. } | MemberMissing { .. } => {
                "use another copy of the file; nothing was taken from it"
            }
            MemberForeign { .. } | MemberTooLarge { .. } => {
                "the file was changed after it was written; use another copy"
            }
            NotEmpty { .. } => "name an empty folder or one that does not exist; nothing is written over",
        }
    }
}

fn process_text(process: Option<u32>) -> impl fmt::Display {
    process.map(|process| format!(" (process {process})")).unwrap_or_default()
}
