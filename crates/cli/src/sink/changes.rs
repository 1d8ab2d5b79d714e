//! The list of changes, written as they come.

use std::io::{self, Write};

use earth::Millis;
use engine::{Change, Notice, Sink, State};
use plan::Plan;

use super::held::{Held, Released};
use crate::args::TextFormat;
use crate::render::identity::Identity;
use crate::render::place::Places;
use crate::render::time::{TimeOfDay, since_text};
use crate::render::wire::change::ChangeWire;
use crate::render::{wire, words};

/// Writes each change as a line of text or of JSON.
pub(crate) struct Changes<'a, W: Write> {
    plan: &'a Plan,
    places: Places<'a>,
    out: W,
    format: TextFormat,
    held: Held<Change>,
    day: String,
    /// The first failure of writing; nothing is written after it.
    failed: Option<io::Error>,
}

impl<'a, W: Write> Changes<'a, W> {
    /// Begins with what the list is about.
    ///
    /// # Errors
    /// Where `out` cannot be written.
    pub(crate) fn new(
        plan: &'a Plan,
        identity: &Identity,
        mut out: W,
        format: TextFormat,
    ) -> io::Result<Self> {
        match format {
            TextFormat::Text => {
                writeln!(out, "{}\n", identity.head())?;
                writeln!(
                    out,
                    "{:<9} {:<12} {:<8} {:<10} what, why, rule; where",
                    "T", "UTC", "take", "channel"
                )?;
            }
            TextFormat::Json => {
                writeln!(out, "{}", wire::first_line(wire::CHANGES, identity))?;
            }
        }
        Ok(Self {
            plan,
            places: Places::new(plan),
            out,
            format,
            held: Held::new(),
            day: String::new(),
            failed: None,
        })
    }

    /// Writes what still waits, and says how the writing went.
    ///
    /// # Errors
    /// The first failure of writing.
    pub(crate) fn finish(mut self) -> io::Result<()> {
        let rest = self.held.finish();
        self.write_all(rest);
        match self.failed {
            Some(error) => Err(error),
            None => self.out.flush(),
        }
    }

    /// Whether writing has failed, so that flying on serves nobody.
    pub(crate) const fn has_failed(&self) -> bool {
        self.failed.is_some()
    }

    fn write_all(&mut self, released: Released<Change>) {
        for (since, change) in released {
            self.write(&change, since);
        }
    }

    fn write(&mut self, change: &Change, since: Option<Millis>) {
        if self.failed.is_some() {
            return;
        }
        let result = match self.format {
            TextFormat::Text => self.text(change, since),
            TextFormat::Json => self.json(change, since),
        };
        self.failed = result.err();
    }

    fn json(&mut self, change: &Change, since: Option<Millis>) -> io::Result<()> {
        serde_json::to_writer(&mut self.out, &ChangeWire::of(self.plan, change, since))?;
        self.out.write_all(b"\n")
    }

    fn text(&mut self, change: &Change, since: Option<Millis>) -> io::Result<()> {
        let day = change.effect.day();
        if day != self.day {
            writeln!(self.out, "{day}")?;
            self.day = day;
        }
        let words = words::change(self.plan, change);
        let take = change.take.map_or_else(String::new, |take| {
            format!("{}/{}", take.take, crate::render::time::Clock(take.time))
        });
        let mut line = format!(
            "{:<9} {:<12} {take:<8} {:<10} {}",
            since_text(since),
            TimeOfDay(change.effect).to_string(),
            words.channel,
            words.what
        );
        if !words.why.is_empty() {
            line.push_str(&format!(", {}", words.why));
        }
        if let Some(rule) = change.rule {
            line.push_str(&format!(", {}", words::rule_and_place(self.plan, rule)));
        }
        line.push_str(&format!("; {}", self.places.words(change.position)));
        if let Some(own) = change.own {
            line.push_str(&format!("; its own time {}", TimeOfDay(own)));
        }
        writeln!(self.out, "{line}")
    }
}

impl<W: Write> Sink for Changes<'_, W> {
    fn change(&mut self, change: &Change) {
        let released = self.held.hear(change);
        self.write_all(released);
        match change.since_takeoff {
            None if change.event != engine::Event::TookOff => {
                let released = self.held.wait(change.effect, *change);
                self.write_all(released);
            }
            since => self.write(change, Some(since.unwrap_or_default())),
        }
    }

    fn state(&mut self, _state: &State<'_>) {}

    fn notice(&mut self, _notice: &Notice) {}
}
