//! `fulmar check`.

use crate::args::{CheckArgs, MessageFormat};
use crate::input::findings::Findings;
use crate::input::tour::{Load, load};
use crate::outcome::{Outcome, Stop};
use crate::render::findings;
use crate::terminal::Terminal;

/// Finds all mistakes of all tours. The findings are the result, so they go to standard output.
pub(super) fn run(
    args: &CheckArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let mut found = Findings::default();
    let mut unusable = false;
    let mut sound = Vec::new();
    for tour in &args.tours {
        match load(tour, args.aircraft.as_deref(), &mut found) {
            Load::Ready(loaded) => {
                if loaded.review(&mut found) {
                    sound.push(loaded.identity);
                }
            }
            Load::Mistakes => {}
            Load::Unusable => unusable = true,
        }
    }
    let count = found.count();
    findings::print(&mut *terminal.out, &found.list, &found.texts, format, terminal.colour_out)?;
    if format != MessageFormat::Json {
        for identity in &sound {
            writeln!(
                terminal.out,
                "{}, {}: can be flown; plan {}, revision {}, {}",
                identity.title,
                identity.aircraft,
                identity.code,
                identity.revision,
                identity.status()
            )?;
        }
    }
    Ok(if unusable {
        Outcome::CouldNotRun
    } else if count.errors + count.warnings > 0 {
        Outcome::Findings
    } else {
        Outcome::Clean
    })
}
