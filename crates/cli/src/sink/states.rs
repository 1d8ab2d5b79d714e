//! The state at every good fix, written as it comes.

use std::io::{self, Write};

use earth::Millis;
use engine::{Change, Notice, Sink, State};
use plan::{CameraId, Plan, ZoneId};

use super::held::{Held, Released};
use crate::args::StatesFormat;
use crate::render::identity::Identity;
use crate::render::wire;
use crate::render::wire::state::{CsvRows, StateWire};

/// A state that keeps what it borrowed.
#[derive(Debug)]
struct Kept {
    state: State<'static>,
    zones: Vec<ZoneId>,
    stills: Vec<CameraId>,
}

impl Kept {
    fn of(state: &State<'_>) -> Self {
        Self {
            zones: state.zones.to_vec(),
            stills: state.stills.to_vec(),
            state: State { zones: &[], stills: &[], ..*state },
        }
    }

    fn lent(&self) -> State<'_> {
        State { zones: &self.zones, stills: &self.stills, ..self.state }
    }
}

enum Rows<W: Write> {
    Csv(Box<CsvRows<W>>),
    Json(W),
}

/// Writes each state as a row of CSV or a line of JSON.
pub(crate) struct States<'a, W: Write> {
    plan: &'a Plan,
    rows: Rows<W>,
    held: Held<Kept>,
    failed: Option<io::Error>,
}

impl<'a, W: Write> States<'a, W> {
    /// Begins with the headings, or with what the lines are about.
    ///
    /// # Errors
    /// Where `out` cannot be written.
    pub(crate) fn new(
        plan: &'a Plan,
        identity: &Identity,
        mut out: W,
        format: StatesFormat,
    ) -> io::Result<Self> {
        let rows = match format {
            StatesFormat::Csv => Rows::Csv(Box::new(CsvRows::new(out, identity)?)),
            StatesFormat::Json => {
                writeln!(out, "{}", wire::first_line(wire::STATES, identity))?;
                Rows::Json(out)
            }
        };
        Ok(Self { plan, rows, held: Held::new(), failed: None })
    }

    /// Writes what still waits, and says how the writing went.
    ///
    /// # Errors
    /// The first failure of writing.
    pub(crate) fn finish(mut self) -> io::Result<()> {
        let rest = self.held.finish();
        self.write_all(rest);
        match (self.failed, self.rows) {
            (Some(error), _) => Err(error),
            (None, Rows::Csv(mut rows)) => rows.flush(),
            (None, Rows::Json(mut out)) => out.flush(),
        }
    }

    /// Whether writing has failed, so that flying on serves nobody.
    pub(crate) const fn has_failed(&self) -> bool {
        self.failed.is_some()
    }

    fn write_all(&mut self, released: Released<Kept>) {
        for (since, kept) in released {
            self.write(&kept.lent(), since);
        }
    }

    fn write(&mut self, state: &State<'_>, since: Option<Millis>) {
        if self.failed.is_some() {
            return;
        }
        let wire = StateWire::of(self.plan, state, since);
        let result = match &mut self.rows {
            Rows::Csv(rows) => rows.row(&wire),
            Rows::Json(out) => serde_json::to_writer(&mut *out, &wire)
                .map_err(io::Error::from)
                .and_then(|()| out.write_all(b"\n")),
        };
        self.failed = result.err();
    }
}

impl<W: Write> Sink for States<'_, W> {
    fn change(&mut self, change: &Change) {
        let released = self.held.hear(change);
        self.write_all(released);
    }

    fn state(&mut self, state: &State<'_>) {
        if state.since_takeoff.is_some() {
            self.write(state, state.since_takeoff);
        } else {
            let released = self.held.wait(state.time, Kept::of(state));
            self.write_all(released);
        }
    }

    fn notice(&mut self, _notice: &Notice) {}
}
