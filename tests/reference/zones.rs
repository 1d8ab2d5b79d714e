//! Memberships, passes and crossings over the whole flight, fix by fix.

use std::collections::BTreeMap;

use earth::{Position, Utc};
use engine::{Event, Gps};
use plan::{Plan, Shape, Zone, ZoneId};

use super::fixes::{Good, Limits, later};
use super::flight::Aloft;
use super::ground::{self, Line};
use super::motion::Motion;
use super::without::Without;
use super::zone::{Crossing, Ground, Leg, What, combine};

/// One look at the rules.
#[derive(Clone, Debug)]
pub struct Look {
    /// The own time of what gave rise to it; the fix's time for the look at the fix.
    pub own: Utc,
    pub members: Vec<bool>,
    pub passes: Vec<u32>,
    /// Gates crossed at this instant.
    pub crossed: Vec<bool>,
}

/// An entry, exit or crossing.
#[derive(Clone, Copy, Debug)]
pub struct ZoneEvent {
    pub own: Utc,
    pub at: Position,
    pub altitude: Option<f64>,
    pub event: Event,
}

/// A stay in a zone by its own times.
#[derive(Clone, Copy, Debug)]
pub struct Stay {
    pub zone: ZoneId,
    pub from: Utc,
    pub to: Option<Utc>,
}

/// What a good fix says about the zones.
#[derive(Default)]
pub struct Crossed {
    /// The leg that ends at this fix, if there is one, and when it began.
    pub leg: Option<(Leg, Utc)>,
    /// The looks of this leg in order; the last is the one at the fix.
    pub looks: Vec<Look>,
    pub events: Vec<ZoneEvent>,
    /// Stays that have not ended, or ended on this leg.
    pub stays: Vec<Stay>,
}

impl Crossed {
    pub fn members(&self) -> &[bool] {
        self.looks.last().map_or(&[], |look| &look.members)
    }
}

struct Walk<'a> {
    plan: &'a Plan,
    grounds: Vec<Ground>,
    without: Option<Without>,
    own: Vec<bool>,
    all: Vec<bool>,
    passes: Vec<u32>,
    armed: Vec<bool>,
    stays: Vec<Stay>,
}

/// What happens to zones at one millisecond, in the order found.
#[derive(Default)]
struct Instant {
    entered: Vec<usize>,
    left: Vec<usize>,
    crossed: Vec<(usize, plan::Side)>,
}

pub fn crossings(
    good: &[Good],
    motions: &[Motion],
    aloft: &[Aloft],
    plan: &Plan,
    limits: Limits,
    without: Option<Without>,
) -> Vec<Crossed> {
    let count = plan.zones.len();
    let mut walk = Walk {
        plan,
        grounds: plan.zones.iter().map(Ground::of).collect(),
        without,
        own: vec![false; count],
        all: vec![false; count],
        passes: vec![0; count],
        armed: vec![true; count],
        stays: Vec::new(),
    };
    let mut crossed = Vec::new();
    for index in 0..good.len() {
        let fix = &good[index];
        if fix.how == Gps::First || aloft[index].new_flight {
            crossed.push(walk.begin(fix, &motions[index], fix.how == Gps::First));
            continue;
        }
        let before = &good[index - 1];
        let bridged = fix.how != Gps::Gap
            && ((fix.fix.time - before.fix.time).0 <= limits.lost_after
                || without != Some(Without::Bridge));
        let altitude = motions[index - 1].altitude.zip(motions[index].altitude);
        if bridged {
            let line = Line::between(before.fix.position, fix.fix.position);
            let leg = Leg { line, altitude };
            crossed.push(walk.fly(fix, before.fix.time, leg, &motions[index]));
        } else {
            crossed.push(walk.jump(fix, &motions[index]));
        }
    }
    crossed
}

impl Walk<'_> {
    fn off(&self, rule: Without) -> bool {
        self.without == Some(rule)
    }

    fn margin(&self, zone: &Zone) -> f64 {
        if self.off(Without::Margin) { 0.0 } else { zone.margin.get() }
    }

    /// With altitude not known, a quiet or no-filming zone counts as if it had no band.
    fn ignores_band(&self, zone: &Zone, altitude_known: bool) -> bool {
        !altitude_known
            && (zone.quiet || zone.no_filming.is_some())
            && !self.off(Without::QuietBandUnknown)
    }

    fn lies_in(&self, index: usize, at: Position, altitude: Option<f64>) -> bool {
        let zone = &self.plan.zones[index];
        if self.ignores_band(zone, altitude.is_some()) {
            return self.grounds[index].outside(zone, at) <= 0.0;
        }
        self.grounds[index].lies_in(zone, at, altitude)
    }

    fn is_left(&self, index: usize, at: Position, altitude: Option<f64>) -> bool {
        let zone = &self.plan.zones[index];
        self.grounds[index].is_left_at(zone, self.margin(zone), at, altitude)
    }

    fn with_extent(&self) -> Vec<usize> {
        let extent = |shape: &Shape| !matches!(shape, Shape::Combined { .. } | Shape::Gate { .. });
        (0..self.plan.zones.len()).filter(|index| extent(&self.plan.zones[*index].shape)).collect()
    }

    fn is_gate(&self, index: usize) -> bool {
        matches!(self.plan.zones[index].shape, Shape::Gate { .. })
    }

    /// The first fix of a run or flight: the zones it lies in are entered at it.
    fn begin(&mut self, fix: &Good, motion: &Motion, is_run: bool) -> Crossed {
        let count = self.plan.zones.len();
        let time = fix.fix.time;
        let was = std::mem::replace(&mut self.all, vec![false; count]);
        let was_own = std::mem::replace(&mut self.own, vec![false; count]);
        self.passes = vec![0; count];
        self.armed = vec![true; count];
        for stay in &mut self.stays {
            stay.to = stay.to.or(Some(time));
        }
        self.stays.clear();
        let mut instant = Instant::default();
        for index in self.with_extent() {
            let zone = &self.plan.zones[index];
            // Where the altitude is not known, a zone with a band is lain in as it was.
            let is_unknown = zone.band.is_some() && motion.altitude.is_none();
            let stays = !is_run
                && was_own[index]
                && is_unknown
                && !self.ignores_band(zone, false)
                && !self.is_left(index, fix.fix.position, None);
            if stays || self.lies_in(index, fix.fix.position, motion.altitude) {
                instant.entered.push(index);
            }
        }
        let mut crossed = Crossed::default();
        self.settle(&mut crossed, instant, time, fix.fix.position, motion.altitude, true);
        // A zone it was in only by its margin is left as the flight begins.
        if !is_run {
            for (index, was_in) in was.iter().enumerate() {
                if *was_in && !self.all[index] {
                    crossed.events.push(ZoneEvent {
                        own: time,
                        at: fix.fix.position,
                        altitude: motion.altitude,
                        event: Event::Left { zone: id(index) },
                    });
                }
            }
        }
        self.close(&mut crossed);
        crossed
    }

    /// The first fix after a gap: memberships are compared, nothing is crossed.
    fn jump(&mut self, fix: &Good, motion: &Motion) -> Crossed {
        let (at, time) = (fix.fix.position, fix.fix.time);
        let mut instant = Instant::default();
        for index in self.with_extent() {
            self.compare(index, at, motion.altitude, &mut instant);
        }
        for index in 0..self.plan.zones.len() {
            let zone = &self.plan.zones[index];
            if self.is_gate(index) && self.grounds[index].outside(zone, at) > zone.margin.get() {
                self.armed[index] = true;
            }
        }
        let mut crossed = Crossed::default();
        self.settle(&mut crossed, instant, time, at, motion.altitude, true);
        self.close(&mut crossed);
        crossed
    }

    /// What a fix by itself shows about a zone.
    fn compare(&self, index: usize, at: Position, altitude: Option<f64>, into: &mut Instant) {
        if self.own[index] {
            if self.is_left(index, at, altitude) {
                into.left.push(index);
            }
        } else if self.lies_in(index, at, altitude) {
            into.entered.push(index);
        }
    }

    /// A leg.
    fn fly(&mut self, fix: &Good, began: Utc, leg: Leg, motion: &Motion) -> Crossed {
        let time = fix.fix.time;
        let mut found: Vec<(usize, Crossing)> = Vec::new();
        for index in 0..self.plan.zones.len() {
            let zone = &self.plan.zones[index];
            if self.is_gate(index) {
                let (crossings, armed) =
                    self.grounds[index].crossings(zone, &leg, self.armed[index], self.without);
                self.armed[index] = armed;
                found.extend(crossings.into_iter().map(|crossing| (index, crossing)));
            } else if !matches!(zone.shape, Shape::Combined { .. }) {
                let ignores = self.ignores_band(zone, leg.altitude.is_some());
                let margin = self.margin(zone);
                let crossings =
                    self.grounds[index].along(zone, margin, &leg, self.own[index], ignores);
                found.extend(crossings.into_iter().map(|crossing| (index, crossing)));
            }
        }
        if self.off(Without::InAndOut) {
            self.drop_in_and_outs(&mut found);
        }

        #[expect(clippy::cast_possible_truncation, reason = "a leg is short")]
        let own_time = |part: f64| later(began, ((time - began).get() * part).round() as i64);
        let mut instants: BTreeMap<Utc, Instant> = BTreeMap::new();
        found.sort_by(|a, b| a.1.part.total_cmp(&b.1.part));
        for (index, crossing) in found {
            let own = if self.off(Without::OwnTimes) { time } else { own_time(crossing.part) };
            let instant = instants.entry(own).or_default();
            match crossing.what {
                What::Entered => instant.entered.push(index),
                What::Left => instant.left.push(index),
                What::Crossed { from } => instant.crossed.push((index, from)),
            }
        }
        let mut crossed = Crossed::default();
        for (own, instant) in instants {
            let part = (own - began).get() / (time - began).get();
            let at = leg.line.at(part);
            self.settle(&mut crossed, instant, own, at, leg.altitude_at(part), false);
        }
        if leg.altitude.is_none() && !self.off(Without::AltitudeUnknownLeg) {
            let mut instant = Instant::default();
            for index in self.with_extent() {
                if self.plan.zones[index].band.is_some() {
                    self.compare(index, fix.fix.position, motion.altitude, &mut instant);
                }
            }
            if !(instant.entered.is_empty() && instant.left.is_empty()) {
                let at = fix.fix.position;
                self.settle(&mut crossed, instant, time, at, motion.altitude, false);
            }
        }
        crossed.looks.push(self.look(time, vec![false; self.plan.zones.len()]));
        crossed.leg = Some((leg, began));
        self.close(&mut crossed);
        crossed
    }

    fn drop_in_and_outs(&self, found: &mut Vec<(usize, Crossing)>) {
        for index in self.with_extent() {
            let ends_in = self.own[index]
                ^ (found.iter().filter(|(zone, _)| *zone == index).count() % 2 == 1);
            let last = found.iter().rposition(|(zone, _)| *zone == index);
            let keep = if ends_in == self.own[index] { None } else { last };
            let mut position = 0;
            found.retain(|(zone, _)| {
                position += 1;
                *zone != index || keep == Some(position - 1)
            });
        }
    }

    fn look(&self, own: Utc, crossed: Vec<bool>) -> Look {
        Look { own, members: self.all.clone(), passes: self.passes.clone(), crossed }
    }

    /// One instant: all entries together, then all exits together. `in_one_look` where there is
    /// only the fix itself to look at.
    fn settle(
        &mut self,
        crossed: &mut Crossed,
        instant: Instant,
        own: Utc,
        at: Position,
        altitude: Option<f64>,
        in_one_look: bool,
    ) {
        let mut gates = vec![false; self.plan.zones.len()];
        for (index, _) in &instant.crossed {
            gates[*index] = true;
        }
        for index in &instant.entered {
            self.own[*index] = true;
        }
        if !in_one_look {
            let told = self.follow(crossed, &instant.crossed, (own, at, altitude));
            if told {
                let look = self.look(own, gates.clone());
                crossed.looks.push(look);
            }
        }
        for index in &instant.left {
            self.own[*index] = false;
        }
        let told = self.follow(crossed, &[], (own, at, altitude));
        if told || in_one_look {
            let look = self.look(own, gates);
            crossed.looks.push(look);
        }
    }

    /// Tells what follows from the memberships of the zones with an extent of their own: their own
    /// entries and exits, those of combinations, and the gates crossed. Says whether anything did.
    fn follow(
        &mut self,
        crossed: &mut Crossed,
        gates: &[(usize, plan::Side)],
        (own, at, altitude): (Utc, Position, Option<f64>),
    ) -> bool {
        let after = combine(self.plan, &self.own, self.without);
        let before = std::mem::replace(&mut self.all, after);
        let mut events = Vec::new();
        for (index, was_in) in before.iter().enumerate() {
            if !was_in && self.all[index] {
                self.passes[index] += 1;
                self.stays.push(Stay { zone: id(index), from: own, to: None });
                events.push(Event::Entered { zone: id(index), pass: self.passes[index] });
            }
            if let Some((_, from)) = gates.iter().find(|(gate, _)| *gate == index) {
                self.passes[index] += 1;
                let pass = self.passes[index];
                events.push(Event::Crossed { zone: id(index), from: *from, pass });
            }
        }
        for (index, was_in) in before.iter().enumerate() {
            if *was_in && !self.all[index] {
                for stay in &mut self.stays {
                    if stay.zone.index() == index && stay.to.is_none() {
                        stay.to = Some(own);
                    }
                }
                events.push(Event::Left { zone: id(index) });
            }
        }
        let told = !events.is_empty();
        let told_at = |event| ZoneEvent { own, at, altitude, event };
        crossed.events.extend(events.into_iter().map(told_at));
        told
    }

    /// Hands over the stays that matter for this leg and forgets those that have ended.
    fn close(&mut self, crossed: &mut Crossed) {
        crossed.stays = self.stays.clone();
        self.stays.retain(|stay| stay.to.is_none());
    }
}

#[expect(clippy::cast_possible_truncation, reason = "a plan in a test is small")]
pub fn id(index: usize) -> ZoneId {
    ZoneId(index as u32)
}

/// Metres between a point of a leg and a place.
pub fn distance_on(leg: &Leg, part: f64, place: Position) -> f64 {
    ground::distance(leg.line.at(part), place)
}
