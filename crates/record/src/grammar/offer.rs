//! Tables of price and day: quotes as they were issued, the day as it was booked, steps ticked, parts used.

use super::{Form, PHRASE, Table, TextForm, key, need, text_form};
use crate::text::{NotRead, Textual};
use model::PanelId;
use model::offer::Clock;

impl Textual for Clock {
    const WHAT: &'static str = "a time of day";

    fn write(&self) -> String {
        format!("{:02}:{:02}", self.0 / 60, self.0 % 60)
    }

    fn read(text: &str, _: Option<&PanelId>) -> Result<Self, NotRead> {
        let read = || {
            let (hours, minutes) = text.split_once(':')?;
            let two = |part: &str| part.len() == 2 && part.bytes().all(|byte| byte.is_ascii_digit());
            let (hours, minutes): (u16, u16) =
                (two(hours).then(|| hours.parse().ok())??, two(minutes).then(|| minutes.parse().ok())??);
            (hours < 24 && minutes < 60).then_some(Clock(hours * 60 + minutes))
        };
        read().ok_or_else(|| NotRead::Form {
            text: text.to_owned(),
            what: Self::WHAT,
            right: "hours and minutes: `07:30`".to_owned(),
        })
    }
}

const CLOCK: TextForm = text_form::<Clock>("07:30", "^([01][0-9]|2[0-3]):[0-5][0-9]$");
/// Largest sum of a quote, US dollars.
pub(super) const USD_MAX: i64 = 1_000_000;

/// A quote.
pub(crate) static QUOTE: Table = Table {
    heading: "[[quote]]",
    name: "quote",
    doc: "A quote as it was given to the owner. It is kept as it was, whatever prices say later.",
    keys: &[
        need("option", Form::Text(PHRASE), "What was offered: `replace-panel`."),
        key("with", Form::List(&Form::Text(PHRASE)), "Contested items that are in it: `surge`."),
        need("low_usd", Form::Count(0, USD_MAX), "Lower end of the range, US dollars."),
        need("usual_usd", Form::Count(0, USD_MAX), "Middle of the range, US dollars."),
        need("high_usd", Form::Count(0, USD_MAX), "Upper end of the range, US dollars."),
        need("valid_until", Form::Day, "Last day on which it holds."),
        key("book", Form::Words, "The price book it was made from."),
        key("words", Form::Words, "What else was said."),
    ],
    choices: &[],
    entry: true,
};

/// A booked day.
pub(crate) static OUTAGE: Table = Table {
    heading: "[[outage]]",
    name: "outage",
    doc: "The day without power as it was booked. The last one counts.",
    keys: &[
        need("option", Form::Text(PHRASE), "What is done: `replace-panel`."),
        need("date", Form::Day, "The day."),
        key("asked", Form::Day, "Day on which the utility was asked for it."),
        key("start", Form::Text(CLOCK), "Start of the crew. Left out: 07:00."),
        key("crew", Form::Count(1, 6), "People. Left out: 2."),
        key("cut_from", Form::Text(CLOCK), "Start of the window in which the utility cuts."),
        key("cut_to", Form::Text(CLOCK), "End of it."),
        key("inspector_from", Form::Text(CLOCK), "Start of the inspector's window."),
        key("inspector_to", Form::Text(CLOCK), "End of it."),
        key(
            "reconnect_from",
            Form::Text(CLOCK),
            "Start of the window in which the utility gives the supply back, where it is booked ahead.",
        ),
        key("reconnect_to", Form::Text(CLOCK), "End of it."),
        key("reconnect_by", Form::Text(CLOCK), "Latest time at which the utility gives the supply back."),
        key("done", Form::List(&Form::Text(PHRASE)), "Steps that are done before the day: `trace`."),
        key("told", Form::Words, "Who said so: number of the order, name of the office."),
    ],
    choices: &[],
    entry: true,
};

/// A step that was begun or done.
pub(crate) static TICK: Table = Table {
    heading: "[[tick]]",
    name: "tick",
    doc: "A step of the day was begun, or done. The times make the hours that it really took.",
    keys: &[
        need("step", Form::Text(PHRASE), "The step: `trace`."),
        need("done", Form::Flag, "It is done; `false`: only begun."),
        key("people", Form::Count(1, 6), "People at it. Left out: as the step says."),
        key("words", Form::Words, "What held it up."),
    ],
    choices: &[],
    entry: true,
};

/// A part that was used.
pub(crate) static USED: Table = Table {
    heading: "[[used]]",
    name: "used",
    doc: "Parts that were used, for what was built against what was quoted.",
    keys: &[
        need("part", Form::Text(PHRASE), "The part, as in the price book: `breaker-1p-plain`."),
        need("count", Form::Count(0, 10_000), "How many."),
        key("words", Form::Words, "Why more or fewer."),
    ],
    choices: &[],
    entry: true,
};
