//! The planned route: legs with their places looked up, flown once to see that it can be.

use earth::flight::{self, Flight};
use earth::{Degrees, Metres, MetresPerSecond, Millis, Position};
use plan::{Flown, Leg, PlaceId, PlannedRoute, Turn, Wind};
use route::model::{self, LegKind, OrbitExtent, Project, Side, Spot};
use route::{Span, Spanned};

use crate::checks::{elevation, legs};
use crate::findings::Findings;
use crate::fly;
use crate::places::{Ground, Places};
use crate::settings::{tour_wind, wind};
use crate::source;

/// Bank in turns where none is written: 15 degrees (common practice, no source).
const BANK: Degrees = Degrees::of(15.0);
/// Rate of climb and descent where none is written: 500 ft/min (common practice, no source).
const CLIMB: MetresPerSecond = MetresPerSecond::of(500.0 * Metres::PER_FOOT / 60.0);
/// How long the aircraft stays on the ground at a landing on the way: 2 min (common practice, no
/// source).
const STAY: Millis = Millis::from_secs(120);

/// A route as far as it could be compiled.
pub(crate) struct Compiled {
    /// None if a mistake has been reported.
    pub(crate) route: Option<PlannedRoute>,
    /// The flight, if the route can be flown.
    pub(crate) flight: Option<Flight>,
}

pub(crate) fn compile(
    project: &Project,
    places: &Places<'_>,
    findings: &mut Findings<'_>,
) -> Compiled {
    let nothing = Compiled { route: None, flight: None };
    let Some((first, rest)) = project.route.legs.split_first() else { return nothing };
    // A route that begins with anything else has been reported when it was read.
    let LegKind::From(from) = &first.kind.value else { return nothing };
    let from = Spanned { value: from.clone(), span: first.kind.span };
    let home = home(&from, places, findings);
    if let Some((_, ground)) = &home {
        places.check_distances(project, ground.position, findings);
    }
    let mut builder = Builder {
        project,
        places,
        start: home.as_ref().map(|(_, ground)| ground.position),
        elevation: home.as_ref().and_then(|(_, ground)| ground.elevation).unwrap_or_default(),
        legs: Vec::new(),
        // Legs that could not be read are left out, and the others alone are another flight.
        whole: project.could_be_read(project.route.span),
        settings_known: settings_could_be_read(project),
    };
    for (index, leg) in rest.iter().enumerate() {
        let last = index + 1 == rest.len();
        match builder.leg(leg, last, findings) {
            Some(leg) => builder.legs.push(leg),
            None => builder.whole = false,
        }
    }
    let Builder { legs, whole, elevation, .. } = builder;
    let (Some((home, ground)), true) = (home, whole) else { return nothing };
    let mut departures: Vec<_> = project.departures.iter().map(|time| time.value).collect();
    departures.sort_unstable();
    departures.dedup();
    let route = PlannedRoute {
        departure: project.departure.value,
        utc_offset: project.utc_offset,
        departures,
        home,
        legs,
    };
    let spans: Vec<Span> = rest.iter().map(|leg| leg.kind.span).collect();
    let start = fly::Start { position: ground.position, elevation };
    let flight = match Flight::plan(&fly::itinerary(&route, start, None)) {
        Ok(flight) => {
            legs::remarks(&route, flight.remarks(), &spans, findings);
            legs::landings(&route, places, &spans, findings);
            Some(flight)
        }
        Err(error) => {
            legs::unflyable(&route, error, &spans, project.route.span, findings);
            None
        }
    };
    Compiled { route: Some(route), flight }
}

/// The line of the planned route, for a corridor along it. All its points stand where the author
/// wrote `route`.
pub(crate) fn line(
    compiled: &Compiled,
    project: &Project,
    at: Span,
    findings: &mut Findings<'_>,
) -> Option<Vec<Spanned<Position>>> {
    if let Some(flight) = &compiled.flight {
        let points: Vec<_> =
            flight.line().iter().map(|point| Spanned { value: *point, span: at }).collect();
        if points.len() > 1 {
            return Some(points);
        }
    }
    if compiled.flight.is_some() || project.route.legs.len() < 2 {
        legs::no_line(at, findings);
    }
    None
}

/// Whether no mistake was found in the route outside its legs.
fn settings_could_be_read(project: &Project) -> bool {
    let route = &project.route;
    let within =
        |at: &Span, span: Span| at.file == span.file && (span.start..=span.end).contains(&at.start);
    let in_a_leg = |at: &Span| route.legs.iter().any(|leg| within(at, leg.span));
    project.mistakes.iter().filter(|at| within(at, route.span)).all(in_a_leg)
}

/// Where the flight begins: a place with a name and an elevation.
fn home(
    from: &Spanned<Spot>,
    places: &Places<'_>,
    findings: &mut Findings<'_>,
) -> Option<(PlaceId, Ground)> {
    let ground = places.ground(from, findings)?;
    let help = "name a waypoint or landing site that has an `elevation`";
    let Some(place) = ground.place else {
        let why = "the flight begins at a place without a name and an elevation";
        elevation::unknown(findings, from.span, why, help);
        return None;
    };
    if ground.elevation.is_none() {
        let why = "the elevation of the place where the flight begins is not known";
        elevation::unknown(findings, from.span, why, help);
        return None;
    }
    Some((place, ground))
}

struct Builder<'a, 'p> {
    project: &'p Project,
    places: &'a Places<'p>,
    start: Option<Position>,
    elevation: Metres,
    legs: Vec<Leg>,
    whole: bool,
    /// Whether all that the route says for every leg could be read.
    settings_known: bool,
}

/// How a leg is flown, with everything filled in.
struct Flying {
    airspeed: MetresPerSecond,
    altitude: Metres,
    bank: Degrees,
    climb: MetresPerSecond,
    wind: Option<Wind>,
}

impl Builder<'_, '_> {
    fn leg(&self, leg: &model::Leg, last: bool, findings: &mut Findings<'_>) -> Option<Leg> {
        let flying = self.flying(leg, findings);
        let flown = self.flown(&leg.kind, last, flying.as_ref(), findings);
        let (flying, (flown, label)) = (flying?, flown?);
        Some(Leg {
            flown,
            label,
            airspeed: flying.airspeed,
            altitude: flying.altitude,
            bank: flying.bank,
            climb: flying.climb,
            wind: flying.wind,
            source: source(findings.sources(), leg.span),
        })
    }

    fn flying(&self, leg: &model::Leg, findings: &mut Findings<'_>) -> Option<Flying> {
        let (own, at) = (&leg.settings, leg.kind.span);
        let all = &self.project.route.settings;
        // What is missing may be what could not be read.
        let known = self.settings_known && self.project.could_be_read(leg.span);
        let altitude = own.altitude.as_ref().or(all.altitude.as_ref());
        let airspeed = own.airspeed.or(all.airspeed);
        if airspeed.is_none() && known {
            legs::missing("airspeed", "80 kt", at, findings);
        }
        let altitude = match altitude {
            Some(altitude) => self.places.altitude(&altitude.value, findings),
            None if known => {
                legs::missing("altitude", "1000 ft", at, findings);
                None
            }
            None => None,
        };
        let altitude = match &self.project.route.not_above {
            Some(most) => {
                let most = self.places.altitude(&most.value, findings);
                altitude
                    .zip(most)
                    .map(|(planned, most)| if planned > most { most } else { planned })
            }
            None => altitude,
        };
        let leg_wind = own.wind.or(all.wind).map(|written| wind(written.value));
        Some(Flying {
            airspeed: airspeed?.value,
            altitude: altitude?,
            bank: own.bank.or(all.bank).map_or(BANK, |bank| bank.value),
            climb: own.climb.or(all.climb).map_or(CLIMB, |climb| climb.value),
            wind: leg_wind.or_else(|| tour_wind(self.project)),
        })
    }

    fn flown(
        &self,
        kind: &Spanned<LegKind>,
        last: bool,
        flying: Option<&Flying>,
        findings: &mut Findings<'_>,
    ) -> Option<(Flown, String)> {
        let spanned = |spot: &Spot| Spanned { value: spot.clone(), span: kind.span };
        match &kind.value {
            // A second start has been reported when the route was read.
            LegKind::From(_) => None,
            LegKind::To(to) => {
                let position = self.places.position(&spanned(to), findings)?;
                Some((Flown::To(position), label(to)))
            }
            LegKind::Land { at: to, stay } => {
                let ground = self.places.ground(&spanned(to), findings)?;
                let Some(elevation) = ground.elevation else {
                    let why = "the elevation of the place to land at is not known";
                    let help = "name a waypoint or landing site that has an `elevation`";
                    elevation::unknown(findings, kind.span, why, help);
                    return None;
                };
                let usual = if last { Millis::ZERO } else { STAY };
                let stays = stay.map_or(usual, |stay| stay.value);
                Some((Flown::Land { at: ground.position, elevation, stays }, label(to)))
            }
            LegKind::Hover { at, time, facing } => {
                let (position, label) = match at {
                    Some(at) => (self.places.position(at, findings)?, label(&at.value)),
                    None => {
                        let position = self.present(findings)?;
                        (position, coordinates(position))
                    }
                };
                let facing = facing.map(|facing| facing.value);
                Some((Flown::Hover { at: position, lasts: time.value, facing }, label))
            }
            LegKind::Orbit { around, radius, turn, extent } => {
                let centre = self.places.position(around, findings)?;
                let sweep = self.sweep(*extent, radius.value, flying?, kind.span, findings)?;
                let turn = match turn {
                    Side::Left => Turn::Left,
                    Side::Right => Turn::Right,
                };
                let flown = Flown::Orbit { centre, radius: radius.value, turn, sweep };
                Some((flown, label(&around.value)))
            }
        }
    }

    /// How far round an orbit goes.
    fn sweep(
        &self,
        extent: OrbitExtent,
        radius: Metres,
        flying: &Flying,
        at: Span,
        findings: &mut Findings<'_>,
    ) -> Option<Degrees> {
        let time = match extent {
            OrbitExtent::Turns(turns) => return Some(Degrees::of(turns * 360.0)),
            OrbitExtent::For(time) => time,
        };
        let air = fly::moving_air(flying.wind);
        match flight::orbit_sweep(flying.airspeed, air, radius, time) {
            // Less than a degree round is no orbit, and a hundred times round enough of one.
            Ok(sweep) => Some(Degrees::of(sweep.get().clamp(1.0, 36_000.0))),
            Err(_) => {
                legs::orbit_in_wind(at, findings);
                None
            }
        }
    }

    /// Where the legs so far end.
    fn present(&self, findings: &mut Findings<'_>) -> Option<Position> {
        let start = self.start.filter(|_| self.whole)?;
        match self.legs.last().map(|leg| leg.flown) {
            None => Some(start),
            Some(Flown::To(at) | Flown::Land { at, .. } | Flown::Hover { at, .. }) => Some(at),
            Some(Flown::Orbit { .. }) => {
                // The home of the route does not matter to where its legs lie.
                let route = PlannedRoute {
                    departure: self.project.departure.value,
                    utc_offset: self.project.utc_offset,
                    departures: Vec::new(),
                    home: PlaceId(0),
                    legs: self.legs.clone(),
                };
                let start = fly::Start { position: start, elevation: self.elevation };
                match Flight::plan(&fly::itinerary(&route, start, None)) {
                    Ok(flight) => Some(flight.at(flight.end()).position.rounded()),
                    Err(error) => {
                        let written = self.project.route.legs.iter().skip(1);
                        let spans: Vec<Span> = written.map(|leg| leg.kind.span).collect();
                        legs::unflyable(&route, error, &spans, self.project.route.span, findings);
                        None
                    }
                }
            }
        }
    }
}

fn label(spot: &Spot) -> String {
    match spot {
        Spot::Named(name) => name.to_string(),
        Spot::At(position) => coordinates(*position),
    }
}

/// Coordinates for people to read, such as `61.2345 N 6.7890 W`.
pub(crate) fn coordinates(at: Position) -> String {
    let north = if at.lat() < 0.0 { 'S' } else { 'N' };
    let east = if at.lon() < 0.0 { 'W' } else { 'E' };
    format!("{:.4} {north} {:.4} {east}", at.lat().abs(), at.lon().abs())
}
