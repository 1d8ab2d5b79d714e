//! The flown path of a planned route: where the aircraft is, how high, how fast and which way, at
//! every moment from standing on the ground before take-off to standing there after landing.
//!
//! Legs are geodesics flown by the wind triangle. Turns are circles over the ground at a radius
//! that never asks for more than the planned bank, at the greatest groundspeed of the turn. Where
//! there is room the turn is begun before the point, so that it touches both legs; where there is
//! none, or the turn is sharper than 120 degrees, the point is flown over and the turn made behind
//! it; a leg that is long enough is then regained. From a hover or from the ground the aircraft leaves straight.
//!
//! A leg is never flown faster than planned: the aircraft slows down before a slower leg and speeds
//! up after the start of a faster one, at [`ACCELERATION`]. A turn belongs to the leg it turns onto
//! and is flown at that leg's airspeed, bank and wind. Height is gained and lost at the planned
//! rate, begun at the start of the leg; from the ground, once [`LIFT_OFF`] is reached. A landing
//! descends so as to touch down where it comes to rest; what height is left there is lost straight
//! down.

mod motion;
mod path;

use crate::angle::DegreesTrue;
use crate::fix::{Fix, HeadingReading, SourceHeading};
use crate::geodesic;
use crate::position::Position;
use crate::time::{Millis, Utc};
use crate::units::{Degrees, Metres, MetresPerSecond};
use crate::wind::Wind;

use motion::{Move, Profile};
use path::Piece;

/// Gain and loss of groundspeed: 1 m/s² (about 2 kt a second; common practice, no source).
pub const ACCELERATION: f64 = 1.0;

/// The groundspeed at which the aircraft lifts off: 30 kt.
pub const LIFT_OFF: MetresPerSecond = MetresPerSecond::from_knots(30.0);

/// How fast the nose turns at most, in degrees a second (common practice, no source).
const NOSE_RATE: f64 = 30.0;

/// The longest flight that is reckoned.
pub const LONGEST: Millis = Millis::from_secs(24 * 3600);

/// One part of a route to be flown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Segment {
    /// What is flown.
    pub manoeuvre: Manoeuvre,
    /// True airspeed, above nought.
    pub airspeed: MetresPerSecond,
    /// Altitude to be at, above mean sea level.
    pub altitude: Metres,
    /// Bank in turns, above 0 and below 90 degrees.
    pub bank: Degrees,
    /// Rate of climb and of descent, above nought.
    pub climb: MetresPerSecond,
    /// The wind; [`Wind::CALM`] for none.
    pub wind: Wind,
}

/// What is flown on a segment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Manoeuvre {
    /// On to a position.
    To(Position),
    /// To a position, down to the ground, and there for a time.
    Land {
        /// Where.
        at: Position,
        /// Elevation of the ground there.
        elevation: Metres,
        /// How long on the ground.
        stays: Millis,
    },
    /// To a position, and standing over it for a time.
    Hover {
        /// Where.
        at: Position,
        /// For how long.
        lasts: Millis,
        /// Where the nose points; else as it arrived.
        facing: Option<DegreesTrue>,
    },
    /// To a circle and round it. It is joined along its tangent; from inside, at its nearest point
    /// and from rest.
    Orbit {
        /// Round what.
        centre: Position,
        /// At what distance, above nought.
        radius: Metres,
        /// Which way round.
        way: Way,
        /// How far round (360 degrees is once).
        sweep: Degrees,
    },
}

/// A way to turn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Anticlockwise, seen from above.
    Left,
    /// Clockwise, seen from above.
    Right,
}

/// A route to be flown.
#[derive(Clone, Debug, PartialEq)]
pub struct Itinerary {
    /// Where the aircraft stands at first.
    pub start: Position,
    /// Elevation of the ground there.
    pub elevation: Metres,
    /// When it lifts off.
    pub departure: Utc,
    /// How long it stands before it moves.
    pub before: Millis,
    /// How long it stands after the last landing.
    pub after: Millis,
    /// What is flown, in order.
    pub segments: Vec<Segment>,
}

impl Itinerary {
    /// How long one stands before and after a flight unless told otherwise.
    pub const STAND: Millis = Millis::from_secs(30);
}

/// Why a route cannot be flown.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum FlightError {
    /// The wind is too strong for the airspeed of a segment.
    #[error(
        "leg {}: the wind is too strong for the airspeed to make good a track of {:03.0}°",
        segment + 1,
        track.get()
    )]
    CannotMakeGood {
        /// Which segment, from 0.
        segment: usize,
        /// The track that cannot be made good.
        track: DegreesTrue,
    },
    /// A number of a segment is outside what can be flown.
    #[error("leg {}: its {what} is outside what can be flown", segment + 1)]
    Unflyable {
        /// Which segment, from 0.
        segment: usize,
        /// Which number, such as `airspeed`.
        what: &'static str,
    },
    /// There is nothing to fly.
    #[error("the route has no leg")]
    Empty,
    /// The flight would take longer than [`LONGEST`].
    #[error("the flight would take more than 24 hours")]
    TooLong,
}

/// Something about the flight that its planner may not have meant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Remark {
    /// On which segment, from 0.
    pub segment: usize,
    /// What.
    pub kind: RemarkKind,
}

/// What a [`Remark`] says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RemarkKind {
    /// The legs beside the turn onto this segment are too short for it at the planned bank; the
    /// point is flown over and the turn made behind it.
    NoRoomToTurn {
        /// Radius of the turn.
        radius: Metres,
        /// What the turn takes of each leg.
        needs: Metres,
        /// What there is.
        has: Metres,
    },
    /// The orbit asks for more bank than planned.
    OrbitTooTight {
        /// The bank it asks for where the groundspeed is greatest.
        bank: Degrees,
    },
    /// The orbit is joined from inside its circle.
    OrbitFromInside,
    /// The altitude is not reached by the end of the segment.
    AltitudeNotReached {
        /// The altitude there.
        reached: Metres,
    },
    /// The way to the landing is too short for the descent; the rest is lost straight down.
    SteepDescent {
        /// The height above the ground on arrival.
        height: Metres,
    },
}

/// Where the aircraft is at one moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// When.
    pub time: Utc,
    /// Where.
    pub position: Position,
    /// How high, above mean sea level.
    pub altitude: Metres,
    /// Speed over the ground.
    pub groundspeed: MetresPerSecond,
    /// Track over the ground; at rest the one it came with.
    pub track: DegreesTrue,
    /// Where the nose points.
    pub heading: DegreesTrue,
    /// Which segment is flown, from 0.
    pub segment: usize,
}

impl Sample {
    /// As an ideal receiver would give it, with or without a heading source.
    #[must_use]
    pub fn fix(&self, heading_source: HeadingSource) -> Fix {
        let heading = match heading_source {
            HeadingSource::None => None,
            HeadingSource::Ideal => {
                Some(SourceHeading { time: self.time, reading: HeadingReading::True(self.heading) })
            }
        };
        Fix {
            time: self.time,
            position: self.position,
            altitude: Some(self.altitude),
            groundspeed: Some(self.groundspeed),
            track: Some(self.track),
            heading,
        }
    }
}

/// Whether the aircraft says where its nose points.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeadingSource {
    /// It does not.
    None,
    /// It does, and without error.
    Ideal,
}

/// A whole flight, from standing to standing.
#[derive(Clone, Debug)]
pub struct Flight {
    pieces: Vec<Piece>,
    /// The geodesic of each piece that is one.
    lines: Vec<Option<geodesic::Line>>,
    moves: Vec<Move>,
    altitude: Profile,
    segments: Vec<(f64, f64)>,
    line: Vec<Position>,
    begin: Utc,
    lift_off: Utc,
    lasts: f64,
    remarks: Vec<Remark>,
}

impl Flight {
    /// Flies a route.
    ///
    /// # Errors
    /// [`FlightError`] naming the segment that cannot be flown.
    pub fn plan(itinerary: &Itinerary) -> Result<Self, FlightError> {
        check(&itinerary.segments)?;
        let mut remarks = Vec::new();
        let (pieces, line) = path::plan(itinerary, &mut remarks);
        let timed = motion::time(itinerary, &pieces, &mut remarks)?;
        // Rounded up, so that the speed has been reached at the departure itself.
        let to_lift_off = Millis::from_secs_f64(libm::ceil(timed.lift_off * 1000.0) / 1000.0);
        let lines = pieces.iter().map(Piece::geodesic).collect();
        Ok(Self {
            pieces,
            lines,
            moves: timed.moves,
            altitude: timed.altitude,
            segments: timed.segments,
            line,
            begin: itinerary.departure - to_lift_off,
            lift_off: itinerary.departure,
            lasts: timed.lasts,
            remarks,
        })
    }

    /// The first moment: standing, before anything moves.
    #[must_use]
    pub fn begin(&self) -> Utc {
        self.begin
    }

    /// The moment of lift-off: the departure that was asked for.
    #[must_use]
    pub fn lift_off(&self) -> Utc {
        self.lift_off
    }

    /// The last moment.
    #[must_use]
    pub fn end(&self) -> Utc {
        self.begin + Millis::from_secs_f64(self.lasts)
    }

    /// When each segment begins and ends; one ends where the next begins.
    #[must_use]
    pub fn segments(&self) -> Vec<(Utc, Utc)> {
        let at = |seconds| self.begin + Millis::from_secs_f64(seconds);
        self.segments.iter().map(|(from, to)| (at(*from), at(*to))).collect()
    }

    /// What the planner may not have meant.
    #[must_use]
    pub fn remarks(&self) -> &[Remark] {
        &self.remarks
    }

    /// Where the aircraft is at a moment; before the first and after the last, where it is then.
    #[must_use]
    pub fn at(&self, time: Utc) -> Sample {
        let seconds = (time - self.begin).secs().clamp(0.0, self.lasts);
        let next = self.moves.partition_point(|part| part.time <= seconds);
        let part = self.moves.get(next.saturating_sub(1)).copied().unwrap_or_default();
        let (along, speed) = part.at(seconds);
        let altitude = Metres::of(self.altitude.at(seconds));
        let (position, track, heading, segment) = match self.pieces.get(part.piece) {
            Some(piece) => {
                let line = self.lines.get(part.piece).and_then(Option::as_ref);
                let (position, track) = piece.at_on(line, along);
                (position, track, piece.nose(track), piece.segment)
            }
            None => (Position::of(0.0, 0.0), DegreesTrue::NORTH, DegreesTrue::NORTH, 0),
        };
        let groundspeed = MetresPerSecond::of(speed);
        Sample { time, position, altitude, groundspeed, track, heading, segment }
    }

    /// Samples at a steady interval (at least 1 ms), one of them at lift-off. The nose does not
    /// turn faster than it can.
    pub fn samples(&self, interval: Millis) -> impl Iterator<Item = Sample> + '_ {
        let step = interval.0.max(1);
        let before = (self.lift_off - self.begin).0.div_euclid(step);
        let first = self.lift_off - Millis(step) * before;
        let count = (self.end() - first).0.div_euclid(step) + 1;
        let turn = NOSE_RATE * Millis(step).secs();
        let mut nose: Option<DegreesTrue> = None;
        (0..count).map(move |number| {
            let mut sample = self.at(first + Millis(step) * number);
            if let Some(last) = nose {
                let wanted = last.shortest_to(sample.heading).get();
                sample.heading = last.turned(Degrees::of(wanted.clamp(-turn, turn)));
            }
            nose = Some(sample.heading);
            sample
        })
    }

    /// The line of the route as a chart would show it: from point to point, round the orbits, and
    /// round the turns made behind a point. Turns that cut a corner are not in it, the corner is.
    /// Arcs are kept to 10 degrees and better, their points to a millimetre; no point repeats the
    /// one before it.
    #[must_use]
    pub fn line(&self) -> &[Position] {
        &self.line
    }

    /// Length of the way over the ground.
    #[must_use]
    pub fn length(&self) -> Metres {
        Metres::of(self.pieces.iter().map(Piece::length).sum())
    }
}

fn check(segments: &[Segment]) -> Result<(), FlightError> {
    if segments.is_empty() {
        return Err(FlightError::Empty);
    }
    for (segment, planned) in segments.iter().enumerate() {
        let unflyable = |what| Err(FlightError::Unflyable { segment, what });
        let numbers = [
            ("airspeed", planned.airspeed.get(), 1.0, 500.0),
            ("bank", planned.bank.get(), 0.1, 85.0),
            ("climb", planned.climb.get(), 0.01, 200.0),
            ("altitude", planned.altitude.get(), -1000.0, 30_000.0),
            ("wind", planned.wind.speed.get(), 0.0, 200.0),
        ];
        for (what, value, least, most) in numbers {
            if !(least..=most).contains(&value) {
                return unflyable(what);
            }
        }
        if let Manoeuvre::Orbit { radius, sweep, .. } = planned.manoeuvre {
            if !(1.0..=100_000.0).contains(&radius.get()) {
                return unflyable("radius");
            }
            if !(0.0..=36_000.0).contains(&sweep.get()) {
                return unflyable("sweep");
            }
        }
    }
    Ok(())
}

/// The part of a full turn that an orbit makes in a time, in degrees: the time over that of a full
/// circle at the groundspeeds the wind gives all round it.
///
/// # Errors
/// [`crate::wind::CannotMakeGood`] where the wind is too strong on some part of the circle.
pub fn orbit_sweep(
    airspeed: MetresPerSecond,
    wind: Wind,
    radius: Metres,
    time: Millis,
) -> Result<Degrees, crate::wind::CannotMakeGood> {
    const STEPS: u32 = 360;
    let step = radius.get() * crate::trig::RADIANS_PER_DEGREE * 360.0 / f64::from(STEPS);
    let mut around = 0.0;
    for number in 0..STEPS {
        let track = DegreesTrue::of(f64::from(number) * 360.0 / f64::from(STEPS));
        around += step / crate::wind::make_good(track, airspeed, wind)?.groundspeed.get();
    }
    Ok(Degrees::of(360.0 * time.secs() / around))
}

/// Distance of two positions, in metres.
fn distance(from: Position, to: Position) -> f64 {
    geodesic::inverse(from, to).distance.get()
}
