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
//! | 1 | findings: an error or a warning was told |
//! | 2 | could not run: bad arguments, or a file named on the command line that is missing, unreadable, empty or not what is needed |
//!
//! The rule is the same for every command: what it exists to tell counts. `check` tells of the tour;
//! `plan`, `simulate` and `why` tell of what happens on it, for which the tour must be sound, and of
//! its warnings they say only how many `check` shows. `compare` tells what differs, so 1 says that
//! something does; what keeps it from comparing, mistakes in a tour too, is 2.
//!
//! `check --fix` ends as a check of the mended files does, and with 2 where a file could not be
//! written; `check --diff` ends with 1 where something would be changed, else with 0; `check --watch`
//! ends with the code of the last check.

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

use input::findings::Findings;
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
        Err(Stop::NobodyListens) => Outcome::Clean.into(),
        Err(Stop::Found(finding)) => {
            let mut findings = Findings::default();
            findings.push(*finding);
            // If it cannot be said, there is nobody to tell.
            let _ = terminal.flush();
            let _ = findings.tell(&mut terminal, args.message_format);
            Outcome::CouldNotRun.into()
        }
    }
}
