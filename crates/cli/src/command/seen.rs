//! What `coverage`, `light`, `page` and `briefing` share: a flight flown with somebody looking.

use ::terrain::Terrain;
use coverage::{Coverage, Pose, Watch, cover};
use diagnostic::Diagnostic;
use engine::Sink;
use timeline::Flight;

use super::flown::{self, Flown, the_flight};
use super::fly::Ready;
use crate::args::{FlightArgs, TerrainArgs};
use crate::input::findings::Findings;
use crate::input::terrain;
use crate::outcome::Stop;

/// What was flown, and what was seen.
pub(super) struct Seen {
    /// The flights.
    pub(super) flown: Flown,
    /// Where the aircraft was at every good fix of all of them.
    pub(super) poses: Vec<Pose>,
}

impl Seen {
    /// The flight of this number, from 1, and what the cameras saw on it.
    ///
    /// # Errors
    /// A finding where there is no such flight.
    pub(super) fn of_flight(
        &self,
        ready: &Ready<'_>,
        number: u32,
        ground: &Terrain,
    ) -> Result<(&Flight, Coverage), Box<Diagnostic>> {
        let flight = the_flight(&self.flown.timeline, number)?;
        let ground = (!ground.is_empty()).then_some(ground);
        let coverage = cover(&ready.loaded.plan, &ready.day, flight, &self.poses, ground);
        Ok((flight, coverage))
    }
}

/// Flies all of it, with somebody more who listens.
///
/// # Errors
/// Where the plan cannot be flown.
pub(super) fn fly(
    ready: &Ready<'_>,
    args: &FlightArgs,
    watched: bool,
    more: &mut impl Sink,
) -> Result<Seen, Stop> {
    let mut watch = Watch::new(&ready.loaded.plan);
    let flown = flown::fly(ready, args, watched, &mut (&mut watch, more))?;
    Ok(Seen { flown, poses: watch.finish(Some(ready.limits.bridge)) })
}

/// One flight and what its cameras saw, with the heights of the ground that were given.
pub(super) struct Looked {
    /// The flight.
    pub(super) flight: Flight,
    /// Where the aircraft was at every good fix, of all flights.
    pub(super) poses: Vec<Pose>,
    /// What the cameras saw.
    pub(super) coverage: Coverage,
    /// Heights of the ground; empty where none were given.
    pub(super) ground: Terrain,
}

/// Reads the heights, flies all of it and looks at the flight of a number; none, with what is found,
/// where there is nothing to look at.
///
/// # Errors
/// Where the plan cannot be flown.
pub(super) fn look(
    ready: &Ready<'_>,
    (args, number): (&FlightArgs, u32),
    heights: &TerrainArgs,
    watched: bool,
    findings: &mut Findings,
) -> Result<Option<Looked>, Stop> {
    let ground = terrain::read(heights, &ready.loaded, findings);
    let seen = fly(ready, args, watched, &mut ())?;
    findings.extend(seen.flown.findings.iter().cloned());
    if !seen.flown.any || findings.has_errors() {
        return Ok(None);
    }
    match seen.of_flight(ready, number, &ground) {
        Ok((flight, coverage)) => {
            let flight = flight.clone();
            Ok(Some(Looked { flight, poses: seen.poses, coverage, ground }))
        }
        Err(finding) => {
            findings.push(*finding);
            Ok(None)
        }
    }
}
