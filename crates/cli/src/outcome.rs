//! How a command ends.

use std::io;
use std::process::ExitCode;

use diagnostic::{Diagnostic, Place};

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Outcome {
    /// Done, nothing to complain of.
    Clean,
    /// Done, with findings.
    Findings,
    /// It could not run.
    CouldNotRun,
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        match outcome {
            Outcome::Clean => Self::from(0),
            Outcome::Findings => Self::from(1),
            Outcome::CouldNotRun => Self::from(2),
        }
    }
}

/// Why a command stopped before its end.
#[derive(Debug)]
pub(crate) enum Stop {
    /// It could not go on, for this reason.
    Found(Box<Diagnostic>),
    /// Whoever read the output has gone away; that is no error.
    NobodyListens,
}

impl From<io::Error> for Stop {
    fn from(error: io::Error) -> Self {
        if error.kind() == io::ErrorKind::BrokenPipe {
            Self::NobodyListens
        } else {
            Self::Found(Box::new(cannot_write("the output", &error)))
        }
    }
}

/// What is to be written cannot be.
pub(crate) fn cannot_write(what: &str, error: &io::Error) -> Diagnostic {
    Diagnostic::error(
        "output-unwritable",
        Place::whole(what),
        format!("it cannot be written: {error}"),
    )
    .help("check the folder, the room on the disk, and the right to write there")
}
