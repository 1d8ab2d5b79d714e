//! How a command ends.

use std::io;
use std::process::ExitCode;

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
    /// It could not go on, and the person has been told why.
    Reported,
    /// The plan cannot be flown, in these words.
    CannotFly(String),
    /// Whoever read the output has gone away; that is no error.
    NobodyListens,
    /// The output could not be written.
    CannotWrite(io::Error),
}

impl From<io::Error> for Stop {
    fn from(error: io::Error) -> Self {
        if error.kind() == io::ErrorKind::BrokenPipe {
            Self::NobodyListens
        } else {
            Self::CannotWrite(error)
        }
    }
}
