//! When the aircraft is where on its way, and how high.

use super::path::{Piece, Shape, Standing};
use super::{
    ACCELERATION, FlightError, Itinerary, LIFT_OFF, LONGEST, Manoeuvre, Remark, RemarkKind, Segment,
};
use crate::units::Metres;
use crate::wind::make_good;

/// Speeds are reckoned at points no further apart than this on a line, in metres, ...
const STEP: f64 = 25.0;
/// ... than this on an arc, in degrees, ...
const ARC_STEP: f64 = 5.0;
/// ... and at no more than this many on one piece.
const MOST_STEPS: f64 = 4000.0;
/// An altitude this near is reached, in metres.
const NEAR_ENOUGH: f64 = 15.0;

/// Part of a piece at a constant acceleration.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Move {
    /// Which piece.
    pub piece: usize,
    /// Seconds since the beginning of the flight.
    pub time: f64,
    /// Seconds.
    pub lasts: f64,
    /// Metres from the start of the piece.
    pub along: f64,
    /// Metres a second at its start and at its end.
    pub speed: (f64, f64),
}

impl Move {
    /// Metres from the start of the piece, and metres a second, at a time.
    pub(super) fn at(&self, seconds: f64) -> (f64, f64) {
        if self.lasts <= 0.0 {
            return (self.along, self.speed.1);
        }
        let since = (seconds - self.time).clamp(0.0, self.lasts);
        let gain = (self.speed.1 - self.speed.0) / self.lasts;
        (
            self.along + self.speed.0 * since + 0.5 * gain * since * since,
            (self.speed.0 + gain * since).max(0.0),
        )
    }

    /// The time at which a speed is first reached on it.
    fn reaches(&self, speed: f64) -> Option<f64> {
        if self.speed.0 >= speed {
            return Some(self.time);
        }
        if self.speed.1 < speed {
            return None;
        }
        Some(self.time + self.lasts * (speed - self.speed.0) / (self.speed.1 - self.speed.0))
    }
}

/// An altitude that runs straight from each point to the next: seconds and metres.
#[derive(Clone, Debug, Default)]
pub(super) struct Profile(Vec<(f64, f64)>);

impl Profile {
    /// The altitude at a time.
    pub(super) fn at(&self, seconds: f64) -> f64 {
        let after = self.0.partition_point(|(time, _)| *time <= seconds);
        let earlier = after.checked_sub(1).and_then(|index| self.0.get(index));
        match (earlier, self.0.get(after)) {
            (Some((t0, h0)), Some((t1, h1))) => h0 + (h1 - h0) * (seconds - t0) / (t1 - t0),
            (Some((_, height)), None) | (None, Some((_, height))) => *height,
            (None, None) => 0.0,
        }
    }

    fn level(&self) -> f64 {
        self.0.last().map_or(0.0, |(_, height)| *height)
    }

    fn push(&mut self, seconds: f64, height: f64) {
        self.0.push((seconds, height));
    }

    /// Climbs or descends towards `target` at `rate` between two times.
    fn towards(&mut self, target: f64, rate: f64, from: f64, to: f64) {
        let start = self.level();
        self.push(from, start);
        let takes = (target - start).abs() / rate;
        if from + takes <= to {
            self.push(from + takes, target);
            self.push(to, target);
        } else {
            let way = if target > start { rate } else { -rate };
            self.push(to, start + way * (to - from));
        }
    }
}

/// A way with its times.
pub(super) struct Timed {
    pub moves: Vec<Move>,
    pub altitude: Profile,
    pub segments: Vec<(f64, f64)>,
    /// Seconds to the first lift-off.
    pub lift_off: f64,
    pub lasts: f64,
}

/// A point of the way at which the speed is reckoned.
struct Point {
    piece: usize,
    along: f64,
    speed: f64,
}

/// Puts times and heights to a way.
pub(super) fn time(
    itinerary: &Itinerary,
    pieces: &[Piece],
    remarks: &mut Vec<Remark>,
) -> Result<Timed, FlightError> {
    let points = speeds(pieces)?;
    let mut clock = Clock {
        pieces,
        points: &points,
        next_point: 0,
        next_piece: 0,
        now: 0.0,
        moves: Vec::new(),
        altitude: Profile(vec![(0.0, itinerary.elevation.get())]),
        on_ground: true,
        lift_off: None,
    };
    let mut segments = Vec::new();
    for (number, segment) in itinerary.segments.iter().enumerate() {
        let from = clock.now;
        clock.segment(number, segment, remarks);
        segments.push((from, clock.now));
        if clock.now > LONGEST.secs() {
            return Err(FlightError::TooLong);
        }
    }
    Ok(Timed {
        moves: clock.moves,
        altitude: clock.altitude,
        segments,
        lift_off: clock.lift_off.unwrap_or(itinerary.before.secs()),
        lasts: clock.now,
    })
}

/// The speeds along the way: never above what the wind makes of the planned airspeed, nought where
/// one stands, and changing no faster than the acceleration.
fn speeds(pieces: &[Piece]) -> Result<Vec<Point>, FlightError> {
    let mut points = Vec::new();
    for (number, piece) in pieces.iter().enumerate() {
        if matches!(piece.shape, Shape::Stand { .. }) {
            points.push(Point { piece: number, along: 0.0, speed: 0.0 });
            continue;
        }
        let length = piece.length();
        let by_angle = match piece.shape {
            Shape::Arc { sweep, .. } => sweep.abs() / ARC_STEP,
            _ => 0.0,
        };
        let steps = libm::ceil((length / STEP).max(by_angle)).clamp(2.0, MOST_STEPS);
        let line = piece.geodesic();
        let mut step = 0.0;
        while step <= steps {
            let along = length * (step / steps);
            let track = match &line {
                Some(line) => line.azimuth_at(Metres::of(along)),
                None => piece.at(along).1,
            };
            let made = make_good(track, piece.airspeed, piece.wind)
                .map_err(|_| FlightError::CannotMakeGood { segment: piece.segment, track })?;
            points.push(Point { piece: number, along, speed: made.groundspeed.get() });
            step += 1.0;
        }
    }
    limit(&mut points);
    Ok(points)
}

/// Takes speeds down to what can be reached from the point before and from the point after. Where
/// two pieces meet there are two points at one place, which end with the lower of their speeds.
fn limit(points: &mut [Point]) {
    let reach = |from: &Point, to: &Point| {
        let apart = if from.piece == to.piece { (to.along - from.along).abs() } else { 0.0 };
        libm::sqrt(from.speed * from.speed + 2.0 * ACCELERATION * apart)
    };
    for index in 1..points.len() {
        if let [.., before, here] = &mut points[..=index] {
            here.speed = here.speed.min(reach(before, here));
        }
    }
    for index in (1..points.len()).rev() {
        if let [.., before, here] = &mut points[..=index] {
            before.speed = before.speed.min(reach(here, before));
        }
    }
}

struct Clock<'a> {
    pieces: &'a [Piece],
    points: &'a [Point],
    next_point: usize,
    next_piece: usize,
    now: f64,
    moves: Vec<Move>,
    altitude: Profile,
    on_ground: bool,
    lift_off: Option<f64>,
}

impl Clock<'_> {
    /// Times the pieces of one segment, in their order, and climbs and descends on them.
    fn segment(&mut self, number: usize, segment: &Segment, remarks: &mut Vec<Remark>) {
        let mut begin = self.now;
        let mut moves = self.moves.len();
        let mut arrived = false;
        while let Some(piece) = self.pieces.get(self.next_piece) {
            if piece.segment != number {
                break;
            }
            match piece.shape {
                Shape::Stand { lasts, why, .. } => {
                    if self.moves.is_empty() {
                        // Before anything has moved.
                        self.wait(lasts);
                        begin = self.now;
                        moves = self.moves.len();
                    } else if why == Standing::Ground && !arrived {
                        self.climb(segment, begin, moves);
                        self.touch_down(number, segment, remarks);
                        arrived = true;
                        self.wait(lasts);
                    } else {
                        self.wait(lasts);
                    }
                }
                _ => self.run(),
            }
            self.next_piece += 1;
        }
        if !arrived {
            self.climb(segment, begin, moves);
            let reached = self.altitude.level();
            let airborne = !self.on_ground;
            if airborne && (reached - segment.altitude.get()).abs() > NEAR_ENOUGH {
                let kind = RemarkKind::AltitudeNotReached { reached: Metres::of(reached) };
                remarks.push(Remark { segment: number, kind });
            }
        }
        let level = self.altitude.level();
        self.altitude.push(self.now, level);
    }

    fn wait(&mut self, lasts: f64) {
        self.moves.push(Move {
            piece: self.next_piece,
            time: self.now,
            lasts,
            along: 0.0,
            speed: (0.0, 0.0),
        });
        self.now += lasts;
        // A place to stand has one point, which has served for the speeds beside it.
        self.next_point += 1;
    }

    /// Moves along the whole of the next piece.
    fn run(&mut self) {
        while let [here, there, ..] = self.points.get(self.next_point..).unwrap_or_default() {
            if here.piece != self.next_piece {
                break;
            }
            if there.piece == here.piece {
                let mean = (here.speed + there.speed) / 2.0;
                let lasts = if mean > 0.0 { (there.along - here.along) / mean } else { 0.0 };
                self.moves.push(Move {
                    piece: here.piece,
                    time: self.now,
                    lasts,
                    along: here.along,
                    speed: (here.speed, there.speed),
                });
                self.now += lasts;
            }
            self.next_point += 1;
        }
        // The last point of the way has no other behind it.
        if self.points.get(self.next_point).is_some_and(|last| last.piece == self.next_piece) {
            self.next_point += 1;
        }
    }

    /// The time from which height may be gained: at once in the air; from the ground, when the
    /// speed of lift-off is reached. Where a stand comes first that asks for less, at once too.
    fn lifts_off(&mut self, begin: f64, moves: usize) -> Option<f64> {
        if !self.on_ground {
            return Some(begin);
        }
        let flown = self.moves.get(moves..).unwrap_or_default();
        let reached = flown.iter().find_map(|part| part.reaches(LIFT_OFF.get()));
        let stops = flown.last().is_some_and(|part| part.speed.1 <= 0.0);
        let time = match reached {
            Some(time) => time,
            None if stops => begin,
            None => return None,
        };
        self.on_ground = false;
        self.lift_off.get_or_insert(time);
        Some(time)
    }

    fn climb(&mut self, segment: &Segment, begin: f64, moves: usize) {
        let Some(from) = self.lifts_off(begin, moves) else { return };
        let (rate, end) = (segment.climb.get(), self.now);
        let Manoeuvre::Land { elevation, .. } = segment.manoeuvre else {
            self.altitude.towards(segment.altitude.get(), rate, from, end);
            return;
        };
        let (ground, level) = (elevation.get(), self.altitude.level());
        let cruise = segment.altitude.get().max(ground);
        // The last descent, seen backwards from where it ends.
        let descent_at = |time: f64| ground + rate * (end - time);
        if level >= descent_at(from) {
            self.altitude.towards(ground, rate, from, end);
            return;
        }
        let takes = (cruise - level).abs() / rate;
        let top = end - (cruise - ground) / rate;
        if from + takes <= top {
            self.altitude.towards(cruise, rate, from, top);
            self.altitude.towards(ground, rate, top, end);
        } else {
            // There is no time to get up there: climb until the descent has to begin.
            let peak = (from + end + (ground - level) / rate) / 2.0;
            let peak = peak.clamp(from, end);
            self.altitude.towards(descent_at(peak), rate, from, peak);
            self.altitude.towards(ground, rate, peak, end);
        }
    }

    fn touch_down(&mut self, number: usize, segment: &Segment, remarks: &mut Vec<Remark>) {
        let Manoeuvre::Land { elevation, .. } = segment.manoeuvre else { return };
        let above = self.altitude.level() - elevation.get();
        if above.abs() > 1e-6 {
            if above > NEAR_ENOUGH {
                let kind = RemarkKind::SteepDescent { height: Metres::of(above) };
                remarks.push(Remark { segment: number, kind });
            }
            let (lasts, from) = (above.abs() / segment.climb.get(), self.now);
            self.moves.push(Move {
                piece: self.next_piece,
                time: from,
                lasts,
                along: 0.0,
                speed: (0.0, 0.0),
            });
            self.now += lasts;
            self.altitude.towards(elevation.get(), segment.climb.get(), from, self.now);
        }
        self.altitude.push(self.now, elevation.get());
        self.on_ground = true;
    }
}
