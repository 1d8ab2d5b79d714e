//! `fulmar check`.

mod fix;
mod watch;

use std::io::{self, Write};

use rayon::prelude::*;

use crate::args::{CheckArgs, MessageFormat};
use crate::input::findings::Findings;
use crate::input::tour::{Against, Load, load_from};
use crate::input::world::Disk;
use crate::input::{day, today};
use crate::outcome::{Outcome, Stop};
use crate::render::identity::Identity;
use crate::render::{against, findings};
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
    if args.watch {
        return watch::run(args, format, terminal);
    }
    let checked = Checked::new(args, &Disk::default());
    checked.print(format, terminal)?;
    Ok(checked.outcome())
}

/// What was found in tours.
struct Checked {
    /// Everything found, sorted.
    found: Findings,
    /// Those that can be flown, and what becomes of them today.
    sound: Vec<(Identity, Option<Against>)>,
    /// The day in words.
    day: String,
    /// Whether one could not be read at all.
    unusable: bool,
}

impl Checked {
    /// Checks all tours.
    fn new(args: &CheckArgs, disk: &Disk) -> Self {
        let mut found = Findings::default();
        let mut unusable = false;
        let mut ready = Vec::new();
        let today = today::read(disk, &args.today, &mut found);
        let day = today.as_ref().map(day::words).unwrap_or_default();
        unusable |= today.is_none();
        for (tour, today) in args.tours.iter().zip(today.iter().cycle()) {
            match load_from(disk, tour, today, &mut found) {
                Load::Ready(loaded) => match day::day(today, &loaded.plan) {
                    Ok(day) => ready.push((loaded, day)),
                    Err(unknown) => {
                        found.extend(unknown);
                        unusable = true;
                    }
                },
                Load::Mistakes => {}
                Load::Unusable => unusable = true,
            }
        }
        // Side by side: the flights take most of the time.
        let reviewed: Vec<Findings> = ready
            .par_iter()
            .map(|(loaded, day)| {
                let mut found = Findings::default();
                loaded.review(day, &mut found);
                found
            })
            .collect();
        let mut sound = Vec::new();
        for ((loaded, day), more) in ready.into_iter().zip(reviewed) {
            if !more.has_errors() {
                let against = loaded.against_written(disk, &day);
                sound.push((loaded.identity, against));
            }
            found.extend(more.list);
        }
        found.count();
        Self { found, sound, day, unusable }
    }

    /// Prints it all.
    fn print(&self, format: MessageFormat, terminal: &mut Terminal) -> Result<(), Stop> {
        let Findings { list, texts } = &self.found;
        findings::print(&mut *terminal.out, list, texts, format, terminal.colour_out)?;
        if format != MessageFormat::Json {
            self.print_sound(&mut *terminal.out)?;
        }
        Ok(())
    }

    /// Prints what can be flown, and what becomes of it today.
    fn print_sound(&self, out: &mut dyn Write) -> io::Result<()> {
        let day = match self.day.as_str() {
            "" => String::new(),
            day => format!("; today: {day}"),
        };
        for (identity, against) in &self.sound {
            writeln!(
                out,
                "{}, {}: can be flown; {}{day}",
                identity.title,
                identity.aircraft,
                identity.plan(),
            )?;
            if let Some(against) = against {
                against::text(out, against, "  ")?;
            }
        }
        Ok(())
    }

    /// How the check ended.
    fn outcome(&self) -> Outcome {
        let count = findings::Count::of(&self.found.list);
        if self.unusable { Outcome::CouldNotRun } else { count.outcome() }
    }
}
