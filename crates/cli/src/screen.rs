//! Standard output, with colours only where a person sees them.

use crate::failure::Failure;
use anstream::{AutoStream, ColorChoice};
use std::cell::Cell;
use std::io::{self, BufWriter, IsTerminal, Stdout, Write};
use std::time::{Duration, Instant};

/// From so many jobs on, how many a second were done is said at the end.
const MANY: usize = 8;
/// Work shorter than this shows no progress.
const LONG: Duration = Duration::from_secs(1);

/// Standard output.
pub(crate) struct Screen {
    out: BufWriter<AutoStream<Stdout>>,
    coloured: bool,
}

impl Screen {
    pub(crate) fn new(no_color: bool) -> Self {
        let choice = if no_color { ColorChoice::Never } else { ColorChoice::Auto };
        let out = AutoStream::new(io::stdout(), choice);
        let coloured = out.current_choice() != ColorChoice::Never;
        Screen { out: BufWriter::new(out), coloured }
    }

    /// Are colours shown?
    pub(crate) fn coloured(&self) -> bool {
        self.coloured
    }

    /// Writes text as it stands.
    pub(crate) fn text(&mut self, text: &str) -> Result<(), Failure> {
        Ok(self.out.write_all(text.as_bytes())?)
    }

    /// Writes a line.
    pub(crate) fn line(&mut self, text: &str) -> Result<(), Failure> {
        self.text(text)?;
        self.text("\n")
    }

    /// Shows what was written so far.
    pub(crate) fn finish(&mut self) -> Result<(), Failure> {
        Ok(self.out.flush()?)
    }
}

/// Progress of a file that is read, on standard error: only on a terminal, only when it takes long.
pub(crate) struct Bytes {
    shown: bool,
    since: Instant,
    total: Option<u64>,
    /// Last percent or megabyte that was told, so that a terminal is not flooded.
    last: Cell<u64>,
}

impl Bytes {
    pub(crate) fn of(total: Option<u64>) -> Self {
        Bytes { shown: io::stderr().is_terminal(), since: Instant::now(), total, last: Cell::new(u64::MAX) }
    }

    /// Says how much is read.
    pub(crate) fn done(&self, bytes: u64) {
        if !self.shown || self.since.elapsed() <= LONG {
            return;
        }
        let (step, unit) = match self.total {
            Some(total) if 0 < total => (bytes * 100 / total, "%"),
            _ => (bytes / 1_000_000, " MB"),
        };
        if self.last.replace(step) != step {
            eprint!("\r{step}{unit} read");
        }
    }

    /// Ends the line, where one was begun.
    pub(crate) fn end(&self) {
        if self.last.get() != u64::MAX {
            eprintln!();
        }
    }
}

/// Progress on standard error: counts only on a terminal and when the work is long; the speed of many jobs always.
pub(crate) struct Progress {
    shown: bool,
    since: Instant,
    total: usize,
}

impl Progress {
    pub(crate) fn of(total: usize) -> Self {
        Progress { shown: 1 < total && io::stderr().is_terminal(), since: Instant::now(), total }
    }

    /// Says how many are done.
    pub(crate) fn done(&self, n_done: usize) {
        if n_done == self.total && MANY <= self.total {
            let seconds = self.since.elapsed().as_secs_f64();
            let start = if self.shown { "\r" } else { "" };
            eprintln!("{start}{n_done} jobs in {seconds:.1} s, {:.1} a second", n_done as f64 / seconds);
            return;
        }
        if self.shown && LONG < self.since.elapsed() {
            eprint!("\r{n_done} of {} assessed", self.total);
            if n_done == self.total {
                eprintln!();
            }
        }
    }
}
