//! The `fulmar` command: arguments, files, printing, exit codes. The only crate that touches the
//! world.
//!
//! What is asked for goes through three forms: the words of the command line (`args`, parsed
//! without opening any file), the files read and checked (`input`), and the run itself
//! (`command`, a file for each command). What comes out goes through a renderer (`render`) or,
//! while a flight is being flown, through a sink (`sink`).
//!
//! # Exit codes
//! | code | meaning |
//! | --- | --- |
//! | 0 | done, nothing to complain of (notes do not count) |
//! | 1 | findings: mistakes or warnings in what `check` looked at; mistakes in a tour; a flight file that could be flown in part only |
//! | 2 | could not run: bad arguments, or a file that is missing, unreadable, empty or not what is needed |

mod args;
mod command;
mod input;
mod outcome;
mod output;
mod pages;
mod render;
mod sink;
mod terminal;

use std::process::ExitCode;

use clap::Parser;

use outcome::{Outcome, Stop};
use terminal::Terminal;

/// Runs the command that the program's arguments ask for, and says how it ended.
#[must_use]
pub fn run() -> ExitCode {
    let args = match args::Args::try_parse() {
        Ok(args) => args,
        Err(error) => {
            // Printing can only fail because nobody listens.
            let _ = error.print();
            return if error.use_stderr() { Outcome::CouldNotRun } else { Outcome::Clean }.into();
        }
    };
    let mut terminal = Terminal::of_process();
    let result = command::run(&args, &mut terminal).and_then(|outcome| {
        terminal.flush()?;
        Ok(outcome)
    });
    match result {
        Ok(outcome) => outcome.into(),
        Err(Stop::Reported) => {
            let _ = terminal.flush();
            Outcome::CouldNotRun.into()
        }
        Err(Stop::CannotFly(why)) => {
            terminal.complain(&format!("error: the plan cannot be flown: {why}"));
            Outcome::CouldNotRun.into()
        }
        Err(Stop::NobodyListens) => Outcome::Clean.into(),
        Err(Stop::CannotWrite(error)) => {
            terminal.complain(&format!("error: cannot write the output: {error}"));
            Outcome::CouldNotRun.into()
        }
    }
}
