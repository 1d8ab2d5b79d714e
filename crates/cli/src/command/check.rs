//! `fulmar check`.

mod fix;

use crate::args::{CheckArgs, MessageFormat};
use crate::input::findings::Findings;
use crate::input::tour::{Load, load_from};
use crate::input::world::Disk;
use crate::outcome::{Outcome, Stop};
use crate::render::findings;
use crate::render::identity::Identity;
use crate::terminal::Terminal;

/// Finds all mistakes of all tours. The findings are the result, so they go to standard output.
pub(super) fn run(
    args: &CheckArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    if args.fix || args.diff {
        return fix::run(args, format, terminal);
    }
    let checked = Checked::new(args, &Disk::default());
    checked.print(format, terminal)?;
    Ok(checked.outcome())
}

/// What was found in tours.
struct Checked {
    /// Everything found, sorted.
    found: Findings,
    /// Those that can be flown.
    sound: Vec<Identity>,
    /// Whether one could not be read at all.
    unusable: bool,
}

impl Checked {
    /// Checks all tours.
    fn new(args: &CheckArgs, disk: &Disk) -> Self {
        let mut found = Findings::default();
        let mut unusable = false;
        let mut sound = Vec::new();
        for tour in &args.tours {
            match load_from(disk, tour, args.aircraft.as_deref(), &mut found) {
                Load::Ready(loaded) => {
                    if loaded.review(&mut found) {
                        sound.push(loaded.identity);
                    }
                }
                Load::Mistakes => {}
                Load::Unusable => unusable = true,
            }
        }
        found.count();
        Self { found, sound, unusable }
    }

    /// Prints it all.
    fn print(&self, format: MessageFormat, terminal: &mut Terminal) -> Result<(), Stop> {
        let Findings { list, texts } = &self.found;
        findings::print(&mut *terminal.out, list, texts, format, terminal.colour_out)?;
        if format != MessageFormat::Json {
            for identity in &self.sound {
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
        Ok(())
    }

    /// How the check ended.
    fn outcome(&self) -> Outcome {
        let count = findings::Count::of(&self.found.list);
        if self.unusable {
            Outcome::CouldNotRun
        } else if count.errors + count.warnings > 0 {
            Outcome::Findings
        } else {
            Outcome::Clean
        }
    }
}
