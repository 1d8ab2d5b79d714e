//! The way over the ground: lines, circles and places to stand, one joined to the next.

use super::{Itinerary, Manoeuvre, Remark, RemarkKind, Segment, Way, distance};
use crate::angle::DegreesTrue;
use crate::geodesic;
use crate::position::Position;
use crate::trig;
use crate::turn;
use crate::units::{Degrees, Metres, MetresPerSecond};
use crate::wind::{Wind, make_good};

/// After a turn behind its point the leg is regained so many turn radii along it, if it is at least
/// twice as long.
const REGAIN: f64 = 4.0;
/// Places nearer than this are one place, in metres.
const SAME_PLACE: f64 = 0.5;
/// A sharper turn is made behind its point.
const SHARPEST_FLY_BY: f64 = 120.0;
/// After a lesser turn one goes on from where it ends; the leg is never far.
const SHALLOWEST_REGAIN: f64 = 30.0;
/// Mean radius of the earth in metres, for the angle of a tangent only.
const EARTH_RADIUS: f64 = 6_371_009.0;

/// One piece of the way.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece {
    /// The segment it belongs to.
    pub segment: usize,
    /// Airspeed and wind on it.
    pub airspeed: MetresPerSecond,
    pub wind: Wind,
    pub shape: Shape,
}

#[derive(Clone, Copy, Debug)]
pub(super) enum Shape {
    /// A geodesic.
    Line { from: Position, azimuth: DegreesTrue, length: f64 },
    /// A part of a circle, from an azimuth at its centre. The sweep is positive clockwise.
    Arc { centre: Position, radius: f64, from: DegreesTrue, sweep: f64 },
    /// Standing, in seconds, with the track of arrival and the nose somewhere.
    Stand { at: Position, lasts: f64, track: DegreesTrue, nose: DegreesTrue, why: Standing },
}

/// Why one stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Standing {
    /// On the ground.
    Ground,
    /// In a hover, or for an instant.
    Hover,
}

impl Piece {
    /// Its length in metres; nought for standing.
    pub(super) fn length(&self) -> f64 {
        match self.shape {
            Shape::Line { length, .. } => length,
            Shape::Arc { radius, sweep, .. } => radius * sweep.abs() * trig::RADIANS_PER_DEGREE,
            Shape::Stand { .. } => 0.0,
        }
    }

    /// Its geodesic, for whoever asks for many points of it; none for what is no line.
    pub(super) fn geodesic(&self) -> Option<geodesic::Line> {
        let Shape::Line { from, azimuth, .. } = self.shape else { return None };
        Some(geodesic::Line::new(from, azimuth))
    }

    /// Position and track after so many metres.
    pub(super) fn at(&self, along: f64) -> (Position, DegreesTrue) {
        self.at_on(self.geodesic().as_ref(), along)
    }

    /// [`Self::at`], with its [`Self::geodesic`].
    pub(super) fn at_on(
        &self,
        line: Option<&geodesic::Line>,
        along: f64,
    ) -> (Position, DegreesTrue) {
        match self.shape {
            Shape::Line { from, azimuth, .. } => match line {
                Some(line) => line.at(Metres::of(along)),
                None => geodesic::direct(from, azimuth, Metres::of(along)),
            },
            Shape::Arc { centre, radius, from, sweep } => {
                let turned = along / radius / trig::RADIANS_PER_DEGREE;
                let turned = if sweep < 0.0 { -turned } else { turned };
                let (at, outward) =
                    geodesic::direct(centre, from.turned(Degrees::of(turned)), Metres::of(radius));
                let right = if sweep < 0.0 { -90.0 } else { 90.0 };
                (at, outward.turned(Degrees::of(right)))
            }
            Shape::Stand { at, track, .. } => (at, track),
        }
    }

    /// Where the nose points on a track: into the wind as far as the planned airspeed asks for.
    pub(super) fn nose(&self, track: DegreesTrue) -> DegreesTrue {
        match self.shape {
            Shape::Stand { nose, .. } => nose,
            _ => make_good(track, self.airspeed, self.wind).map_or(track, |made| made.heading),
        }
    }
}

/// Where the way has come to. Without a track one stands and may leave in any direction.
#[derive(Clone, Copy)]
struct Pose {
    at: Position,
    track: Option<DegreesTrue>,
}

/// What the way leads to next.
#[derive(Clone, Copy)]
enum Aim {
    Point(Position),
    Circle { centre: Position, radius: f64, way: Way },
}

struct Planner<'a> {
    pieces: Vec<Piece>,
    line: Vec<Position>,
    pose: Pose,
    /// The track of arrival, for those who stand.
    last_track: DegreesTrue,
    /// The radius of a turn for which the line before it was shortened.
    begun: Option<f64>,
    remarks: &'a mut Vec<Remark>,
}

/// Lays the way of a whole route, standing before and after included, and the line of the route as
/// a chart would show it.
pub(super) fn plan(
    itinerary: &Itinerary,
    remarks: &mut Vec<Remark>,
) -> (Vec<Piece>, Vec<Position>) {
    let segments = &itinerary.segments;
    let mut planner = Planner {
        pieces: Vec::new(),
        line: vec![itinerary.start],
        pose: Pose { at: itinerary.start, track: None },
        last_track: DegreesTrue::NORTH,
        begun: None,
        remarks,
    };
    if let Some(first) = segments.first() {
        let towards = end_of_straight(itinerary.start, aim(first)).unwrap_or(itinerary.start);
        planner.last_track = geodesic::inverse(itinerary.start, towards).azimuth_start;
        planner.stand(0, first, itinerary.before.secs(), None, Standing::Ground);
    }
    for (number, segment) in segments.iter().enumerate() {
        planner.fly(number, segment, segments.get(number + 1), segments.get(number + 2));
    }
    if let Some(last @ Segment { manoeuvre: Manoeuvre::Land { .. }, .. }) = segments.last() {
        let number = segments.len() - 1;
        planner.stand(number, last, itinerary.after.secs(), None, Standing::Ground);
    }
    (planner.pieces, planner.line)
}

fn aim(segment: &Segment) -> Aim {
    match segment.manoeuvre {
        Manoeuvre::To(at) | Manoeuvre::Land { at, .. } | Manoeuvre::Hover { at, .. } => {
            Aim::Point(at)
        }
        Manoeuvre::Orbit { centre, radius, way, .. } => {
            Aim::Circle { centre, radius: radius.get(), way }
        }
    }
}

/// Where the straight way from a position to an aim ends; none from inside a circle.
fn end_of_straight(from: Position, aim: Aim) -> Option<Position> {
    match aim {
        Aim::Point(at) => Some(at),
        Aim::Circle { centre, radius, way } => {
            let out = geodesic::inverse(centre, from);
            let opens = tangent_angle(radius, out.distance.get())?;
            let turn = if way == Way::Right { opens } else { -opens };
            let azimuth = out.azimuth_start.turned(Degrees::of(turn));
            Some(geodesic::direct(centre, azimuth, Metres::of(radius)).0)
        }
    }
}

/// The angle at the centre of a circle between a point outside it and where the tangent from there
/// touches (of a right-angled triangle on the sphere); none from inside.
fn tangent_angle(radius: f64, distance: f64) -> Option<f64> {
    if distance < radius {
        return None;
    }
    let (near, far) = (libm::tan(radius / EARTH_RADIUS), libm::tan(distance / EARTH_RADIUS));
    // Beyond a quarter of the earth's circumference there is no such triangle that is any use.
    (far > 0.0).then(|| trig::acos(near / far))
}

impl Planner<'_> {
    fn push(&mut self, number: usize, segment: &Segment, shape: Shape) {
        let (airspeed, wind) = (segment.airspeed, segment.wind);
        self.pieces.push(Piece { segment: number, airspeed, wind, shape });
    }

    fn stand(
        &mut self,
        number: usize,
        segment: &Segment,
        lasts: f64,
        facing: Option<DegreesTrue>,
        why: Standing,
    ) {
        let track = self.last_track;
        let nose = facing.unwrap_or_else(|| {
            make_good(track, segment.airspeed, segment.wind).map_or(track, |made| made.heading)
        });
        let at = self.pose.at;
        self.push(number, segment, Shape::Stand { at, lasts: lasts.max(0.0), track, nose, why });
        self.pose.track = None;
    }

    fn fly(
        &mut self,
        number: usize,
        segment: &Segment,
        next: Option<&Segment>,
        after_next: Option<&Segment>,
    ) {
        self.regain(number, segment);
        match segment.manoeuvre {
            Manoeuvre::To(at) => {
                self.turn_towards(number, segment, Aim::Point(at));
                self.chart(at);
                self.line(number, segment, at, |line_length, arrival| {
                    let next = next?;
                    fly_by(number + 1, at, arrival, line_length, next, after_next)
                });
            }
            Manoeuvre::Land { at, stays, .. } => {
                self.turn_towards(number, segment, Aim::Point(at));
                self.chart(at);
                self.line(number, segment, at, |_, _| None);
                self.stand(number, segment, stays.secs(), None, Standing::Ground);
            }
            Manoeuvre::Hover { at, lasts, facing } => {
                self.turn_towards(number, segment, Aim::Point(at));
                self.chart(at);
                self.line(number, segment, at, |_, _| None);
                self.stand(number, segment, lasts.secs(), facing, Standing::Hover);
            }
            Manoeuvre::Orbit { centre, radius, way, sweep } => {
                self.orbit(number, segment, (centre, radius.get(), way), sweep.get());
            }
        }
    }

    /// Where the turn onto a leg is made behind its first point, turns and goes back to the leg.
    fn regain(&mut self, number: usize, segment: &Segment) {
        let (Some(track), None) = (self.pose.track, self.begun) else { return };
        let at = self.pose.at;
        let Some(end) = end_of_straight(at, aim(segment)) else { return };
        let leg = geodesic::inverse(at, end);
        let turn = track.shortest_to(leg.azimuth_start).get();
        let radius = turn_radius(segment, track, turn);
        if turn.abs() < SHALLOWEST_REGAIN || leg.distance.get() < 2.0 * REGAIN * radius {
            return;
        }
        let (on_leg, _) = geodesic::direct(at, leg.azimuth_start, Metres::of(REGAIN * radius));
        if self.turn_towards(number, segment, Aim::Point(on_leg)) == Turned::Impossible {
            return;
        }
        self.chart(on_leg.rounded());
        self.line(number, segment, on_leg, |whole, arrival| {
            let turn = arrival.shortest_to(geodesic::inverse(on_leg, end).azimuth_start).get();
            let radius = turn_radius(segment, arrival, turn);
            let cut = radius * trig::tan(turn.abs() / 2.0);
            (turn.abs() < SHARPEST_FLY_BY && cut <= whole).then_some(FlyBy::Early { cut, radius })
        });
    }

    /// Turns from the present track until an aim is straight ahead.
    fn turn_towards(&mut self, number: usize, segment: &Segment, aim: Aim) -> Turned {
        let Some(track) = self.pose.track else { return Turned::Done };
        let at = self.pose.at;
        let Some(end) = end_of_straight(at, aim) else { return Turned::Impossible };
        if distance(at, end) < SAME_PLACE {
            return Turned::Done;
        }
        let wanted = track.shortest_to(geodesic::inverse(at, end).azimuth_start);
        let begun = self.begun.take();
        let mut radius = begun.unwrap_or_else(|| turn_radius(segment, track, wanted.get()));
        let Some(mut arc) = arc_to(at, track, radius, aim) else { return Turned::Impossible };
        // The turn goes on a little beyond the direction that it was asked for at its start.
        let greatest = turn_radius(segment, track, arc.sweep);
        if begun.is_none() && greatest > radius {
            radius = greatest;
            arc = match arc_to(at, track, radius, aim) {
                Some(arc) => arc,
                None => return Turned::Impossible,
            };
        }
        if arc.sweep.abs() > 1e-9 {
            let shape = Shape::Arc { centre: arc.centre, radius, from: arc.from, sweep: arc.sweep };
            self.push(number, segment, shape);
            if begun.is_none() {
                self.chart_last();
            }
            self.arrive();
        }
        Turned::Done
    }

    /// Adds a point to the line of the route.
    fn chart(&mut self, at: Position) {
        if self.line.last().is_none_or(|last| distance(*last, at) >= SAME_PLACE) {
            self.line.push(at);
        }
    }

    /// Adds the last piece to the line of the route, an arc once round at most.
    fn chart_last(&mut self) {
        let Some(piece) = self.pieces.last().copied() else { return };
        let Shape::Arc { radius, sweep, .. } = piece.shape else { return };
        let sweep = sweep.abs().min(360.0);
        let steps = libm::ceil(sweep / 10.0);
        let mut step = 0.0;
        while step <= steps {
            let turned = sweep * (step / steps.max(1.0));
            self.chart(piece.at(radius * turned * trig::RADIANS_PER_DEGREE).0.rounded());
            step += 1.0;
        }
        self.chart(piece.at(piece.length()).0.rounded());
    }

    /// Takes over where the last piece ends.
    fn arrive(&mut self) {
        if let Some(piece) = self.pieces.last() {
            let (at, track) = piece.at(piece.length());
            self.pose = Pose { at, track: Some(track) };
            self.last_track = track;
        }
    }

    /// A line to a position, shortened by what `short` says of its length and its track there.
    fn line(
        &mut self,
        number: usize,
        segment: &Segment,
        to: Position,
        short: impl FnOnce(f64, DegreesTrue) -> Option<FlyBy>,
    ) {
        let way = geodesic::inverse(self.pose.at, to);
        let whole = way.distance.get();
        if whole < SAME_PLACE {
            return;
        }
        let cut = match short(whole, way.azimuth_end) {
            Some(FlyBy::Early { cut, radius }) => {
                self.begun = Some(radius);
                cut
            }
            Some(FlyBy::NoRoom(remark)) => {
                self.remarks.push(remark);
                0.0
            }
            None => 0.0,
        };
        let (from, azimuth) = (self.pose.at, way.azimuth_start);
        self.push(number, segment, Shape::Line { from, azimuth, length: (whole - cut).max(0.0) });
        self.arrive();
    }

    fn orbit(
        &mut self,
        number: usize,
        segment: &Segment,
        (centre, radius, way): (Position, f64, Way),
        sweep: f64,
    ) {
        let aim = Aim::Circle { centre, radius, way };
        let mut joined = self.turn_towards(number, segment, aim) == Turned::Done;
        match end_of_straight(self.pose.at, aim) {
            Some(end) if joined => self.line(number, segment, end, |_, _| None),
            _ => joined = false,
        }
        if !joined {
            self.remarks.push(Remark { segment: number, kind: RemarkKind::OrbitFromInside });
            if self.pose.track.is_some() {
                self.stand(number, segment, 0.0, None, Standing::Hover);
            }
            let out = geodesic::inverse(centre, self.pose.at).azimuth_start;
            let nearest = geodesic::direct(centre, out, Metres::of(radius)).0;
            self.line(number, segment, nearest, |_, _| None);
            self.stand(number, segment, 0.0, None, Standing::Hover);
        }
        let fastest = MetresPerSecond::of(segment.airspeed.get() + segment.wind.speed.get());
        let bank = turn::bank(fastest, Metres::of(radius)).unwrap_or_default();
        if bank.get() > segment.bank.get() + 0.5 {
            let kind = RemarkKind::OrbitTooTight { bank };
            self.remarks.push(Remark { segment: number, kind });
        }
        if sweep > 0.0 {
            let from = geodesic::inverse(centre, self.pose.at).azimuth_start;
            let sweep = if way == Way::Right { sweep } else { -sweep };
            self.push(number, segment, Shape::Arc { centre, radius, from, sweep });
            self.chart_last();
            self.arrive();
        }
    }
}

#[derive(PartialEq, Eq)]
enum Turned {
    Done,
    Impossible,
}

struct Arc {
    centre: Position,
    from: DegreesTrue,
    sweep: f64,
    length: f64,
}

/// The shorter of the turns from a pose, right or left, until an aim is straight ahead.
fn arc_to(at: Position, track: DegreesTrue, radius: f64, aim: Aim) -> Option<Arc> {
    let right = arc_one_way(at, track, Way::Right, radius, aim);
    let left = arc_one_way(at, track, Way::Left, radius, aim);
    match (right, left) {
        // The right wins a draw, whatever the last digits say.
        (Some(right), Some(left)) if left.length + 1.0 < right.length => Some(left),
        (Some(right), _) => Some(right),
        (None, left) => left,
    }
}

/// The turn from a pose, one way round, until an aim is straight ahead along the tangent.
fn arc_one_way(at: Position, track: DegreesTrue, way: Way, radius: f64, aim: Aim) -> Option<Arc> {
    let right = if way == Way::Right { 1.0 } else { -1.0 };
    let (centre, _) =
        geodesic::direct(at, track.turned(Degrees::of(90.0 * right)), Metres::of(radius));
    let from = geodesic::inverse(centre, at).azimuth_start;
    let (goal, opens, beyond) = match aim {
        Aim::Point(goal) => {
            let beyond = geodesic::inverse(centre, goal);
            (goal, tangent_angle(radius, beyond.distance.get())?, beyond)
        }
        Aim::Circle { centre: goal, radius: other, way: other_way } => {
            // The outer tangent of two circles flown the same way, else the inner one.
            let beyond = geodesic::inverse(centre, goal);
            let apart = if other_way == way { radius - other } else { radius + other };
            let cosine = apart / beyond.distance.get().max(1e-3);
            if cosine.abs() > 1.0 + 1e-6 {
                return None;
            }
            (goal, trig::acos(cosine), beyond)
        }
    };
    let leave = beyond.azimuth_start.turned(Degrees::of(-opens * right));
    let turn = if way == Way::Right { from.clockwise_to(leave) } else { leave.clockwise_to(from) };
    // All but a full turn is none, seen through the last digits.
    let turn = if turn.get() > 359.9999 { 0.0 } else { turn.get() };
    let left_behind = geodesic::direct(centre, leave, Metres::of(radius)).0;
    let length = radius * turn * trig::RADIANS_PER_DEGREE + distance(left_behind, goal);
    Some(Arc { centre, from, sweep: turn * right, length })
}

/// Radius of a turn from a track over so many degrees (positive clockwise), at the planned bank
/// and the greatest groundspeed on the way round.
fn turn_radius(segment: &Segment, from: DegreesTrue, turn: f64) -> f64 {
    const STEPS: i32 = 8;
    const BEYOND: f64 = 15.0;
    let mut fastest = 0.0_f64;
    if turn.abs() > SHARPEST_FLY_BY {
        fastest = segment.airspeed.get() + segment.wind.speed.get();
    }
    // A turn may go on a little beyond the direction that was asked for when it began.
    let turn = if turn < 0.0 { turn - BEYOND } else { turn + BEYOND };
    for step in 0..=STEPS {
        let track = from.turned(Degrees::of(turn * f64::from(step) / f64::from(STEPS)));
        if let Ok(made) = make_good(track, segment.airspeed, segment.wind) {
            fastest = fastest.max(made.groundspeed.get());
        }
    }
    let radius = turn::radius(MetresPerSecond::of(fastest), segment.bank);
    radius.map_or(1.0, |radius| radius.get().clamp(1.0, 100_000.0))
}

enum FlyBy {
    /// Begin a turn of this radius so many metres before the point.
    Early {
        cut: f64,
        radius: f64,
    },
    NoRoom(Remark),
}

/// How much of the line to a point the turn behind it takes; none where there is no turn or it is
/// made behind the point anyway.
fn fly_by(
    next_number: usize,
    at: Position,
    arrival: DegreesTrue,
    line_length: f64,
    next: &Segment,
    after_next: Option<&Segment>,
) -> Option<FlyBy> {
    let end = end_of_straight(at, aim(next))?;
    let out = geodesic::inverse(at, end);
    let leaves = out.distance.get();
    if leaves < SAME_PLACE {
        return None;
    }
    let turn = arrival.shortest_to(out.azimuth_start).get();
    let angle = turn.abs();
    if angle > SHARPEST_FLY_BY {
        return None;
    }
    let radius = turn_radius(next, arrival, turn);
    let needs = radius * trig::tan(angle / 2.0);
    // The other half of the next leg is left to the turn at its end, if one can come there.
    let turns_again = matches!(next.manoeuvre, Manoeuvre::To(_)) && after_next.is_some();
    let has = line_length.min(if turns_again { leaves / 2.0 } else { leaves });
    if needs <= has {
        return Some(FlyBy::Early { cut: needs, radius });
    }
    let kind = RemarkKind::NoRoomToTurn {
        radius: Metres::of(radius),
        needs: Metres::of(needs),
        has: Metres::of(has),
    };
    Some(FlyBy::NoRoom(Remark { segment: next_number, kind }))
}
