//! `fulmar completions`.

use clap::CommandFactory;

use crate::args::{Args, CompletionsArgs};
use crate::outcome::{Outcome, Stop};
use crate::terminal::Terminal;

pub(super) fn run(args: &CompletionsArgs, terminal: &mut Terminal) -> Result<Outcome, Stop> {
    // Made whole before it is printed: the generator does not say when its output fails.
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Args::command(), "fulmar", &mut script);
    terminal.out.write_all(&script)?;
    Ok(Outcome::Clean)
}
