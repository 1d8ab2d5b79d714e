//! What the ground says of a tour and of its planned flight, as findings.

use ::coverage::Coverage;
use ::coverage::ground::{Caution, flown_low, of_plan};
use diagnostic::{Diagnostic, Place};
use earth::{Metres, Millis};
use plan::Source;
use terrain::Terrain;
use timeline::Flight;

use super::fly::Ready;
use super::notices::PLANNED_FLIGHT;
use crate::args::FlightArgs;
use crate::input::file;
use crate::render::place::Places;
use crate::render::time::Since;

/// Looks at the zones and places against the ground and, where the planned route is flown, at its
/// height. Nothing where no heights are known.
pub(super) fn cautions(
    ready: &Ready<'_>,
    args: &FlightArgs,
    (flight, poses, coverage): (&Flight, &[::coverage::Pose], &Coverage),
    ground: &Terrain,
) -> Vec<Diagnostic> {
    let plan = &ready.loaded.plan;
    let mut found = of_plan(plan, coverage, ground);
    if args.planned {
        found.extend(flown_low(plan, flight, poses, ground));
    }
    let places = Places::new(plan);
    let authored = |source: Source| {
        let file = plan.sources.get(source.file as usize).map_or("?", String::as_str);
        Place { line: source.line, column: source.column, ..Place::whole(file) }
    };
    let findings = found.iter().filter_map(|caution| match caution {
        Caution::FloorInGround { zone, at, ground, floor } => {
            let zone = plan.zones.get(zone.index())?;
            let headline = format!(
                "zone `{}` begins at {}, and {} the ground is {} high",
                zone.name,
                feet(*floor),
                places.words(*at),
                feet(*ground)
            );
            let finding = Diagnostic::note("floor-in-ground", authored(zone.source), headline);
            Some(finding.help("if it is meant to begin above the ground there, raise its lower end"))
        }
        Caution::BandBeneathGround { zone, at, ground, ceiling } => {
            let zone = plan.zones.get(zone.index())?;
            let headline = format!(
                "zone `{}` ends at {}, and {} the ground is {} high: there nobody is ever in it",
                zone.name,
                feet(*ceiling),
                places.words(*at),
                feet(*ground)
            );
            let finding =
                Diagnostic::warning("band-beneath-ground", authored(zone.source), headline);
            Some(finding.help("raise its upper end, or leave that ground out of the zone"))
        }
        Caution::FlownLow { from, lasts, lowest, height } => {
            let clock = |time| Since(flight.since(time)).to_string();
            let headline = format!(
                "from {} on, for {}, the planned flight is less than 500 ft above the ground; at {} it \
                 is {}",
                clock(*from),
                seconds(*lasts),
                clock(*lowest),
                if *height < Metres::ZERO {
                    format!("{} in the ground", feet(Metres::of(-height.get())))
                } else {
                    format!("{} above it", feet(*height))
                }
            );
            let finding = Diagnostic::warning("flown-low", Place::whole(PLANNED_FLIGHT), headline);
            Some(finding.help(
                "a caution, not a clearance: plan it higher, or make sure that it may be flown; the \
                 pilot in command, the flight manual and local rules decide",
            ))
        }
        Caution::ElevationDiffers { place, elevation, ground } => {
            let place = plan.places.get(place.index())?;
            let headline = format!(
                "the ground at {} is {} high by the file of heights, and {} as written",
                place.name,
                feet(*ground),
                feet(*elevation)
            );
            let at = Place::whole(file::name(&args.tour));
            let finding = Diagnostic::note("elevation-differs", at, headline);
            Some(finding.help("look whether the place lies where it should, and at its elevation"))
        }
    });
    ready.loaded.located(findings.collect())
}

fn feet(height: Metres) -> String {
    format!("{:.0} ft", height.feet())
}

fn seconds(time: Millis) -> String {
    format!("{:.0} s", time.secs())
}
