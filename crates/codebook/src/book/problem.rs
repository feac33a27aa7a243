//! What can be wrong in a data file of the book or of a shop; all mistakes of a file are reported at once.

/// One mistake in a data file.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BadData {
    /// Not the form of the file.
    #[error("{file}: {message}")]
    Form {
        /// File.
        file: String,
        /// What the reader says, with the line.
        message: String,
    },
    /// An id twice.
    #[error("{file}: `{id}` stands twice")]
    Twice {
        /// File.
        file: String,
        /// The id.
        id: String,
    },
    /// An id that nothing has.
    #[error("{file}: `{id}` names no {what} of the book")]
    Unknown {
        /// File.
        file: String,
        /// The id.
        id: String,
        /// What it should name.
        what: &'static str,
    },
    /// Editions out of order, or the first is not 2008.
    #[error("{file}: the editions of `{id}` must start with 2008 and rise")]
    Order {
        /// File.
        file: String,
        /// Rule.
        id: String,
    },
    /// A value without a section.
    #[error("{file}: `{id}` has no section for {edition}")]
    NoSection {
        /// File.
        file: String,
        /// Rule.
        id: String,
        /// Edition.
        edition: u16,
    },
    /// A published value without a source.
    #[error("{file}: `{id}` is called published or reported for {edition} and names no source")]
    NoSource {
        /// File.
        file: String,
        /// Rule.
        id: String,
        /// Edition.
        edition: u16,
    },
    /// Neither a value nor said to be absent, or both.
    #[error("{file}: `{id}` needs either `value` or `absent = true` for {edition}")]
    NoValue {
        /// File.
        file: String,
        /// Rule.
        id: String,
        /// Edition.
        edition: u16,
    },
    /// A rule is closed for an edition and no refusal says why.
    #[error("refusals.toml: nothing says why `{id}` is refused under {edition} and what would enable it")]
    NoRefusal {
        /// Rule.
        id: String,
        /// Edition.
        edition: u16,
    },
    /// A refusal of something that is open.
    #[error(
        "refusals.toml: `{id}` is refused under {edition}, but the rule is open there; write `close = true`"
    )]
    IdleRefusal {
        /// Rule.
        id: String,
        /// Edition.
        edition: u16,
    },
    /// A confirmation of something that is not refused.
    #[error("confirmed: `{id}` under {edition} is not refused and needs no confirmation")]
    IdleConfirmation {
        /// Rule.
        id: String,
        /// Edition.
        edition: u16,
    },
    /// A day that is none.
    #[error("{file}: `{day}` is no day: write YYYY-MM-DD")]
    Day {
        /// File.
        file: String,
        /// The text.
        day: String,
    },
    /// A field that must say something and is blank.
    #[error("{file}: `{field}` of `{id}` is blank")]
    Blank {
        /// File.
        file: String,
        /// Rule or profile.
        id: String,
        /// Field.
        field: &'static str,
    },
    /// A word where a number belongs, or the other way round.
    #[error("{file}: `{id}` must be {want}")]
    Kind {
        /// File.
        file: String,
        /// Rule.
        id: String,
        /// What it must be.
        want: String,
    },
    /// Editions of a profile out of order.
    #[error("adoption profile: {edition} must follow an older edition with an earlier day")]
    AdoptionOrder {
        /// Edition.
        edition: u16,
    },
    /// An amendment of an edition that the place never adopted.
    #[error("adoption profile: `{rule}` amends the {edition} edition, which the profile does not adopt")]
    AmendsNothing {
        /// Rule.
        rule: String,
        /// Edition.
        edition: u16,
    },
}
