//! How a run ends: the one place where errors become messages and exit codes.

use std::io;
use std::path::PathBuf;
use std::process::ExitCode;

/// How a run ended. The codes are documented in `panelwright --help`; 2, a wrong command line, is given by the
/// parser of the arguments.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Ending {
    /// All is well.
    Fine,
    /// Some input had errors, which were printed.
    InputErrors,
    /// A file or folder could not be read or written.
    Files,
    /// A fault of the program.
    Internal,
}

impl Ending {
    /// The exit code.
    pub(crate) fn code(self) -> ExitCode {
        ExitCode::from(match self {
            Ending::Fine => 0,
            Ending::InputErrors => 1,
            Ending::Files => 3,
            Ending::Internal => 4,
        })
    }
}

/// Why a command stopped.
#[derive(Debug, thiserror::Error)]
pub(crate) enum Failure {
    /// A file or folder cannot be read.
    #[error("{} cannot be read: {source}", path.display())]
    Read { path: PathBuf, source: io::Error },
    /// A file or folder cannot be written.
    #[error("{} cannot be written: {source}", path.display())]
    Write { path: PathBuf, source: io::Error },
    /// A folder without a job file.
    #[error("{} has no job file: files that end in .toml or .json are looked for", path.display())]
    NoJobFile { path: PathBuf },
    /// Standard output is closed or full.
    #[error("the output cannot be written: {0}")]
    Output(#[from] io::Error),
    /// The policy has errors.
    #[error(transparent)]
    Policy(#[from] study::PolicyError),
    /// The experience has errors.
    #[error("{}: {source}", path.display())]
    Experience { path: PathBuf, source: study::shop::ExperienceError },
    /// The bench cannot be served.
    #[error(transparent)]
    Serve(#[from] web::ServeError),
    /// The store cannot do it.
    #[error("{}; {}", .0, .0.hint())]
    Store(#[from] store::Error),
    /// The exchange ended early.
    #[error("{}; {}", .0, .0.hint())]
    Exchange(#[from] web::ExchangeError),
    /// A case that comes with the program has errors, for instance by a day before its readings.
    #[error("the case {name} cannot be used for this day; `panelwright demo --papers` says why")]
    Case { name: &'static str },
    /// The system gives no threads.
    #[error("the system gives no threads: {0}")]
    Threads(io::Error),
    /// A paper cannot be set.
    #[error(transparent)]
    Study(#[from] study::StudyError),
}

impl Failure {
    /// Says it on standard error, once. A reader that closed the pipe, as `head` does, is no failure.
    pub(crate) fn report(&self) -> Ending {
        if let Failure::Output(error) = self
            && error.kind() == io::ErrorKind::BrokenPipe
        {
            return Ending::Fine;
        }
        eprintln!("panelwright: {self}");
        match self {
            Failure::Read { .. } | Failure::Write { .. } | Failure::NoJobFile { .. } | Failure::Output(_) => {
                Ending::Files
            }
            Failure::Policy(_) | Failure::Experience { .. } | Failure::Case { .. } => Ending::InputErrors,
            Failure::Exchange(web::ExchangeError::Store(error))
            | Failure::Store(error)
            | Failure::Serve(web::ServeError::Store(error)) => match error.kind() {
                store::Kind::Asked | store::Kind::Data => Ending::InputErrors,
                store::Kind::Machine => Ending::Files,
            },
            Failure::Exchange(
                web::ExchangeError::NotJoined { .. }
                | web::ExchangeError::NotLetIn { .. }
                | web::ExchangeError::Refused { .. }
                | web::ExchangeError::Address { .. },
            ) => Ending::InputErrors,
            Failure::Exchange(_) | Failure::Serve(_) | Failure::Threads(_) => Ending::Files,
            Failure::Study(_) => Ending::Internal,
        }
    }
}
