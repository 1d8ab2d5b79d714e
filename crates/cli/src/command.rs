//! The commands, one file each.

mod audio;
mod briefing;
mod captions;
mod check;
mod compare;
mod completions;
mod coverage;
mod edit;
mod explain;
mod fit;
mod flown;
mod fly;
mod grid;
mod ground;
mod handed_on;
mod light;
mod mix;
mod music;
mod notices;
mod page;
mod plan;
mod schema;
mod script;
mod seen;
mod simulate;
mod takes;
mod texts;
mod why;

use crate::args::{Args, Command};
use crate::outcome::{Outcome, Stop};
use crate::terminal::Terminal;

/// Runs what the arguments ask for.
///
/// # Errors
/// Why it stopped before its end.
pub(crate) fn run(args: &Args, terminal: &mut Terminal) -> Result<Outcome, Stop> {
    let format = args.message_format;
    match &args.command {
        Command::Check(args) => check::run(args, format, terminal),
        Command::Fit(args) => fit::run(args, format, terminal),
        Command::Grid(args) => grid::run(args, format, terminal),
        Command::Simulate(args) => simulate::run(args, format, terminal),
        Command::Plan(args) => plan::run(args, format, terminal),
        Command::Why(args) => why::run(args, format, terminal),
        Command::Audio(args) => audio::run(args, format, terminal),
        Command::Takes(args) => takes::run(args, format, terminal),
        Command::Mix(args) => mix::run(args, format, terminal),
        Command::Music(args) => music::run(args, format, terminal),
        Command::Script(args) => script::run(args, format, terminal),
        Command::Texts(args) => texts::run(args, format, terminal),
        Command::Captions(args) => captions::run(args, format, terminal),
        Command::Coverage(args) => coverage::run(args, format, terminal),
        Command::Briefing(args) => briefing::run(args, format, terminal),
        Command::Light(args) => light::run(args, format, terminal),
        Command::Edit(args) => edit::run(args, format, terminal),
        Command::Page(args) => page::run(args, format, terminal),
        Command::Compare(args) => compare::run(args, format, terminal),
        Command::Explain(args) => explain::run(args, format, terminal),
        Command::Schema(args) => schema::run(args, terminal),
        Command::Completions(args) => completions::run(args, terminal),
    }
}
