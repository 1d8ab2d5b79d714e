//! What the heights of the ground say of a plan and of a flight.
//!
//! These are cautions of ours for whoever plans a film. They are no rules of the air, and they are no
//! clearance from the ground: files of heights know no trees, masts or wires, and are wrong by more
//! than a hill in places.

use earth::{DegreesTrue, Metres, Millis, Position, Surface, Utc, geodesic};
use plan::{AltitudeBand, Flown, PlaceId, Plan, Shape, Zone, ZoneId};
use terrain::Terrain;
use timeline::Flight;

use crate::pose::Pose;
use crate::sight::Coverage;

/// Flown lower than this above the ground is worth a caution: 150 m, the 500 ft of SERA.5005(f)
/// (Regulation (EU) 923/2012) away from towns. What is allowed where is not said here.
pub const LOW: Metres = Metres::of(150.0);
/// Within this of a take-off or landing one is low because one has to be: 1.5 NM (common practice,
/// no source).
const NEAR: f64 = 1.5 * 1852.0;
/// An elevation that differs by more than this from the file of heights is worth a look: about twice
/// the 16 m that nine in ten heights of the SRTM keep to (its specification, from memory).
pub const DIFFERENT: Metres = Metres::of(30.0);

/// Something that the ground says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Caution {
    /// The ground stands higher than the lower end of a zone's band.
    FloorInGround {
        /// Which zone.
        zone: ZoneId,
        /// Where the ground is highest, of the places looked at.
        at: Position,
        /// How high it is there.
        ground: Metres,
        /// The lower end.
        floor: Metres,
    },
    /// The ground stands higher than the upper end of a zone's band: there nobody is ever in it.
    BandBeneathGround {
        /// Which zone.
        zone: ZoneId,
        /// Where the ground is highest, of the places looked at.
        at: Position,
        /// How high it is there.
        ground: Metres,
        /// The upper end.
        ceiling: Metres,
    },
    /// The flight is low above the ground, away from take-offs and landings.
    FlownLow {
        /// From when on.
        from: Utc,
        /// For how long without a break.
        lasts: Millis,
        /// When it is lowest, ...
        lowest: Utc,
        /// ... and how high above the ground then; below nought in the ground.
        height: Metres,
    },
    /// The authored elevation of a place is not that of the ground.
    ElevationDiffers {
        /// Which place.
        place: PlaceId,
        /// As authored.
        elevation: Metres,
        /// As the file of heights has it.
        ground: Metres,
    },
}

/// What the ground says of the zones, and of the places that this flight is about.
#[must_use]
pub fn of_plan(plan: &Plan, coverage: &Coverage, ground: &Terrain) -> Vec<Caution> {
    let zones = (0..).map(ZoneId).zip(&plan.zones);
    let mut cautions: Vec<Caution> =
        zones.filter_map(|(id, zone)| of_zone(id, zone, zone.band?, ground)).collect();
    let mut places: Vec<PlaceId> = coverage.sights.iter().map(|seen| seen.place).collect();
    places.push(plan.route.home);
    places.sort_unstable();
    places.dedup();
    for id in places {
        let Some(place) = plan.places.get(id.index()) else { continue };
        let (Some(elevation), Some(ground)) = (place.elevation, ground.height(place.position))
        else {
            continue;
        };
        if (elevation - ground).get().abs() > DIFFERENT.get() {
            cautions.push(Caution::ElevationDiffers { place: id, elevation, ground });
        }
    }
    cautions
}

fn of_zone(zone: ZoneId, of: &Zone, band: AltitudeBand, ground: &Terrain) -> Option<Caution> {
    let known = net(&of.shape).into_iter().filter_map(|at| Some((at, ground.height(at)?)));
    let (at, ground) = known.max_by(|(_, one), (_, other)| one.get().total_cmp(&other.get()))?;
    if let Some(ceiling) = band.to.filter(|ceiling| *ceiling < ground) {
        return Some(Caution::BandBeneathGround { zone, at, ground, ceiling });
    }
    // A floor at the sea or beneath it is meant as none.
    let floor = band.from.filter(|floor| *floor > Metres::ZERO && *floor < ground)?;
    Some(Caution::FloorInGround { zone, at, ground, floor })
}

/// How many places across a zone are looked at. A hill narrower than a twentieth of the zone may be
/// missed.
const NET: u32 = 20;

/// Places all over a zone. A combined zone has none: its parts have.
fn net(shape: &Shape) -> Vec<Position> {
    match shape {
        Shape::Circle { centre, radius } => slice(*centre, *radius, 0.0, 360.0),
        Shape::Sector { centre, radius, from, to } => {
            let wide = (to.get() - from.get()).rem_euclid(360.0);
            let wide = if wide <= 0.0 { 360.0 } else { wide };
            slice(*centre, *radius, from.get(), wide)
        }
        Shape::Polygon { outer, holes } => polygon(outer, holes),
        Shape::Corridor { line, half_width } => along(line, half_width.get()),
        Shape::Gate { line, .. } => along(line, 0.0),
        Shape::Combined { .. } => Vec::new(),
    }
}

fn slice(centre: Position, radius: Metres, from: f64, wide: f64) -> Vec<Position> {
    let rings = (1..=NET / 2).flat_map(|ring| {
        let away = Metres::of(radius.get() * f64::from(ring) / f64::from(NET / 2));
        (0..=3 * NET).map(move |step| {
            let azimuth = DegreesTrue::of(from + wide * f64::from(step) / f64::from(3 * NET));
            geodesic::direct(centre, azimuth, away).0
        })
    });
    std::iter::once(centre).chain(rings).collect()
}

fn along(line: &[Position], half_width: f64) -> Vec<Position> {
    let mut places = Vec::new();
    for (one, other) in line.iter().zip(line.iter().skip(1)) {
        let way = geodesic::inverse(*one, *other);
        let run = geodesic::Line::new(*one, way.azimuth_start);
        for step in 0..=2 * NET {
            let (middle, azimuth) =
                run.at(Metres::of(way.distance.get() * f64::from(step) / f64::from(2 * NET)));
            places.push(middle);
            for share in [-1.0, -0.5, 0.5, 1.0].into_iter().filter(|_| half_width > 0.0) {
                let aside = DegreesTrue::of(azimuth.get() + 90.0);
                places.push(geodesic::direct(middle, aside, Metres::of(half_width * share)).0);
            }
        }
    }
    places
}

/// Corners, and the points of a net that lie inside on the map: near enough for a caution, but not
/// for a polygon around a pole.
fn polygon(outer: &[Position], holes: &[Vec<Position>]) -> Vec<Position> {
    let Some(first) = outer.first() else { return Vec::new() };
    // East of the first corner, so that it may lie across the 180° meridian.
    let flat = |at: &Position| {
        ((at.lon() - first.lon() + 180.0).rem_euclid(360.0) - 180.0, at.lat() - first.lat())
    };
    let ring = |points: &[Position]| points.iter().map(flat).collect::<Vec<_>>();
    let (edge, inner): (_, Vec<_>) = (ring(outer), holes.iter().map(|hole| ring(hole)).collect());
    let least = edge.iter().fold((f64::MAX, f64::MAX), |a, b| (a.0.min(b.0), a.1.min(b.1)));
    let most = edge.iter().fold((f64::MIN, f64::MIN), |a, b| (a.0.max(b.0), a.1.max(b.1)));
    let mut places = outer.to_vec();
    for row in 0..=NET {
        for column in 0..=NET {
            let share = |least: f64, most: f64, step: u32| {
                least + (most - least) * f64::from(step) / f64::from(NET)
            };
            let at = (share(least.0, most.0, column), share(least.1, most.1, row));
            if !holds(&edge, at) || inner.iter().any(|hole| holds(hole, at)) {
                continue;
            }
            let lon = (first.lon() + at.0 + 180.0).rem_euclid(360.0) - 180.0;
            places.push(Position::of((first.lat() + at.1).clamp(-90.0, 90.0), lon));
        }
    }
    places
}

/// Whether a ring on the map holds a point: a line to the east crosses it an odd number of times.
fn holds(ring: &[(f64, f64)], (x, y): (f64, f64)) -> bool {
    let edges = ring.iter().zip(ring.iter().cycle().skip(1));
    let crossed = edges.filter(|((ax, ay), (bx, by))| {
        (*ay > y) != (*by > y) && x < ax + (y - ay) / (by - ay) * (bx - ax)
    });
    crossed.count() % 2 == 1
}

/// Where a flight is low above the ground, away from every take-off and landing: each stretch once.
///
/// For a planned flight. What a pilot has flown is the pilot's.
#[must_use]
pub fn flown_low(plan: &Plan, flight: &Flight, poses: &[Pose], ground: &Terrain) -> Vec<Caution> {
    let poses: Vec<&Pose> =
        poses.iter().filter(|pose| pose.flight == (flight.run, flight.number)).collect();
    let legs = plan.route.legs.iter().filter_map(|leg| match leg.flown {
        Flown::Land { at, .. } => Some(Surface::from(at)),
        _ => None,
    });
    let home = plan.places.get(plan.route.home.index()).map(|home| Surface::from(home.position));
    // Where it left the ground or came to it.
    let touched = poses
        .iter()
        .zip(poses.iter().skip(1))
        .filter(|(one, next)| one.airborne != next.airborne)
        .map(|(one, _)| one.surface);
    let places: Vec<Surface> = legs.chain(home).chain(touched).collect();
    let mut found: Vec<Caution> = Vec::new();
    let mut goes_on = false;
    for pose in poses {
        let above = pose
            .altitude
            .zip(ground.height(pose.position))
            .map(|(altitude, ground)| altitude - ground)
            // A metre for what is planned exactly at the limit.
            .filter(|above| above.get() < LOW.get() - 1.0)
            .filter(|_| pose.airborne == Some(true))
            .filter(|_| !places.iter().any(|place| place.chord(&pose.surface) <= NEAR));
        let Some(above) = above else {
            goes_on = false;
            continue;
        };
        match found.last_mut().filter(|_| goes_on) {
            Some(Caution::FlownLow { lasts, lowest, height, .. }) => {
                *lasts = *lasts + pose.lasts;
                if above < *height {
                    (*lowest, *height) = (pose.time, above);
                }
            }
            _ => found.push(Caution::FlownLow {
                from: pose.time,
                lasts: pose.lasts,
                lowest: pose.time,
                height: above,
            }),
        }
        goes_on = true;
    }
    found
}
