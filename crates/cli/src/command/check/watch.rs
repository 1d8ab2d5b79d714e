//! `fulmar check --watch`: checks again whenever a file is saved.

use std::time::{Duration, Instant};

use serde_json::json;

use super::Checked;
use crate::args::{CheckArgs, MessageFormat};
use crate::input::watch::{Watch, Woken};
use crate::input::world::Disk;
use crate::outcome::{Outcome, Stop};
use crate::render::findings::Count;
use crate::render::screen::{ALL_WELL, Look, Size, lines};
use crate::terminal::Terminal;

/// How often it is seen whether the screen has another size.
const TICK: Duration = Duration::from_millis(250);

/// Checks until the person wants to end. Ends as the last check did.
pub(super) fn run(
    args: &CheckArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let mut watch = Watch::begin().map_err(Stop::Found)?;
    let on_screen = terminal.out_is_screen && format != MessageFormat::Json;
    let mut cleared = false;
    loop {
        let began = Instant::now();
        let disk = Disk::default();
        let checked = Checked::new(args, &disk);
        let view =
            View { checked: &checked, when: jiff::ZonedDateTime::now(), took: began.elapsed() };
        let mut size = screen_size();
        if on_screen {
            // What the screen showed before stays above, where it can be scrolled to.
            if !cleared {
                write!(terminal.out, "\u{1b}[2J")?;
                cleared = true;
            }
            view.draw(size, format, terminal)?;
        } else {
            view.print(format, terminal)?;
        }
        loop {
            let fresh = watch.follow(&disk.asked()).map_err(Stop::Found)?;
            if fresh && !disk.is_current() {
                break;
            }
            match watch.wait(TICK) {
                Woken::Saved if !disk.is_current() => break,
                Woken::Nothing if on_screen && screen_size() != size => {
                    size = screen_size();
                    view.draw(size, format, terminal)?;
                }
                Woken::Saved | Woken::Nothing => {}
                Woken::Ended => {
                    if on_screen {
                        writeln!(terminal.out)?;
                    }
                    return Ok(checked.outcome());
                }
            }
        }
    }
}

/// The size of the screen; where it does not tell, that of the oldest.
fn screen_size() -> Size {
    let size = terminal_size::terminal_size();
    size.map_or(Size { columns: 80, rows: 24 }, |(columns, rows)| Size {
        columns: columns.0.into(),
        rows: rows.0.into(),
    })
}

/// One check, to be looked at.
struct View<'c> {
    checked: &'c Checked,
    when: jiff::ZonedDateTime,
    took: Duration,
}

impl View<'_> {
    /// Draws it over what stands on the screen.
    fn draw(&self, size: Size, format: MessageFormat, terminal: &mut Terminal) -> Result<(), Stop> {
        let found = &self.checked.found;
        let look = Look { full: format == MessageFormat::Full, colour: terminal.colour_out };
        let when = format!("{}; Ctrl-C ends", self.when());
        let mut sound = Vec::new();
        self.checked.print_sound(&mut sound)?;
        let sound = String::from_utf8_lossy(&sound);
        let lines = lines(&found.list, &found.texts, &sound, &when, size, look);
        // To the top left; then each line and what is left of the old one; then all below.
        let text = lines.join("\u{1b}[K\n");
        write!(terminal.out, "\u{1b}[H{text}\u{1b}[K\u{1b}[J")?;
        terminal.flush()?;
        Ok(())
    }

    /// Prints it below the one before, with a last line by which a program knows that it is whole.
    fn print(&self, format: MessageFormat, terminal: &mut Terminal) -> Result<(), Stop> {
        self.checked.print(format, terminal)?;
        let count = Count::of(&self.checked.found.list);
        if format == MessageFormat::Json {
            let outcome = match self.checked.outcome() {
                Outcome::Clean => "clean",
                Outcome::Findings => "findings",
                Outcome::CouldNotRun => "could_not_run",
            };
            let line = json!({
                "format": "fulmar-checked",
                "version": 1,
                "at": self.when.timestamp().to_string(),
                "took_ms": u64::try_from(self.took.as_millis()).unwrap_or(u64::MAX),
                "outcome": outcome,
                "errors": count.errors,
                "warnings": count.warnings,
                "notes": count.notes,
            });
            writeln!(terminal.out, "{line}")?;
        } else {
            let none = self.checked.found.list.is_empty();
            let words = if none { ALL_WELL.to_owned() } else { count.words() };
            writeln!(terminal.out, "{}: {words}\n", self.when())?;
        }
        terminal.flush()?;
        Ok(())
    }

    fn when(&self) -> String {
        let clock = self.when.strftime("%H:%M:%S");
        format!("checked at {clock} in {} ms", self.took.as_millis())
    }
}
