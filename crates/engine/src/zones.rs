//! Which zones the aircraft is in, and what it crosses on a leg.
//!
//! A near zone is looked at only when the aircraft has flown far enough to change anything: when it
//! was last looked at it lay so many metres from the nearest thing that matters (its edge from
//! outside, its margin from inside), and distance to it cannot change faster than the aircraft
//! flies. Zones that are not near are not looked at at all. So their number is hardly felt.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use plan::{Plan, Shape, ZoneId};

use crate::crossing::{Crossing, Definition, Kind, Lies, SPARE, record, trace, was_away};
use crate::leg::{End, Leg, OnLeg};
use crate::near::Near;
use crate::shape::{Extent, GateCrossing, ON_EDGE, gate_crossings};

#[derive(Debug)]
struct Combination {
    zone: ZoneId,
    any_of: Vec<ZoneId>,
    all_of: Vec<ZoneId>,
    except: Vec<ZoneId>,
}

/// The memberships, and what is needed to keep them.
#[derive(Debug)]
pub(crate) struct Zones {
    definitions: Vec<Definition>,
    combinations: Vec<Combination>,
    inside: Vec<bool>,
    passes: Vec<u32>,
    /// Zones the aircraft is in, in order.
    within: Vec<ZoneId>,
    quiet: Vec<ZoneId>,
    no_filming: Vec<ZoneId>,
    /// Gates being crossed at this very look.
    crossed_now: Vec<ZoneId>,
    near: Near,
    /// When to find the near zones anew, in metres flown.
    near_until: f64,
    /// When to look at a near zone again, in metres flown (as bits, which sort like the number).
    due: BinaryHeap<Reverse<(u64, u32)>>,
    /// Which zones are in `due`, or on their way back there.
    queued: Vec<bool>,
    /// Gates whose next crossing does not count yet.
    unarmed: Vec<u32>,
    flown: f64,
    altitude_was_known: bool,
    crossings: Vec<Crossing>,
    gates: Vec<GateCrossing>,
    visited: Vec<(f64, u32)>,
}

impl Zones {
    pub(crate) fn new(plan: &Plan) -> Self {
        let mut definitions = Vec::new();
        let mut combinations = Vec::new();
        for (index, zone) in plan.zones.iter().enumerate() {
            definitions.push(Definition::new(zone));
            if let Shape::Combined { any_of, all_of, except } = &zone.shape {
                combinations.push(Combination {
                    zone: ZoneId(u32::try_from(index).unwrap_or(u32::MAX)),
                    any_of: any_of.clone(),
                    all_of: all_of.clone(),
                    except: except.clone(),
                });
            }
        }
        let count = definitions.len();
        let outlines = (0_u32..).zip(&definitions);
        let near = Near::new(outlines.filter_map(|(zone, definition): (u32, &Definition)| {
            definition.outline.as_ref().map(|outline| (zone, outline))
        }));
        Self {
            near,
            near_until: 0.0,
            queued: vec![false; count],
            unarmed: Vec::with_capacity(count),
            definitions,
            combinations,
            inside: vec![false; count],
            passes: vec![0; count],
            within: Vec::with_capacity(count),
            quiet: Vec::with_capacity(count),
            no_filming: Vec::with_capacity(count),
            crossed_now: Vec::with_capacity(count),
            due: BinaryHeap::with_capacity(count),
            flown: 0.0,
            altitude_was_known: false,
            crossings: Vec::with_capacity(count.min(64)),
            gates: Vec::new(),
            visited: Vec::with_capacity(count),
        }
    }

    /// Zones the aircraft is in, in the plan's order.
    pub(crate) fn within(&self) -> &[ZoneId] {
        &self.within
    }

    /// Quiet zones the aircraft is in, in the order of entry.
    pub(crate) fn quiet(&self) -> &[ZoneId] {
        &self.quiet
    }

    /// No-filming zones the aircraft is in, in the order of entry.
    pub(crate) fn no_filming(&self) -> &[ZoneId] {
        &self.no_filming
    }

    /// Whether the aircraft is in a zone, or crosses a gate at this very look.
    pub(crate) fn holds(&self, zone: ZoneId) -> bool {
        self.inside.get(zone.index()).copied().unwrap_or(false) || self.crossed_now.contains(&zone)
    }

    /// How often a zone has been entered or crossed in this flight.
    pub(crate) fn passes(&self, zone: ZoneId) -> u32 {
        self.passes.get(zone.index()).copied().unwrap_or(0)
    }

    /// Whether a zone is a no-filming zone.
    pub(crate) fn is_no_filming(&self, zone: ZoneId) -> bool {
        self.definitions.get(zone.index()).is_some_and(|zone| zone.no_filming)
    }

    /// The crossings found, in the order in which they happened: by time, and of one instant the
    /// entries and gates before the exits.
    pub(crate) fn crossings(&self) -> &[Crossing] {
        &self.crossings
    }

    /// Forgets memberships and passes: as if just switched on.
    pub(crate) fn reset(&mut self) {
        self.inside.fill(false);
        self.unarmed.clear();
        self.passes.fill(0);
        self.within.clear();
        self.quiet.clear();
        self.no_filming.clear();
        self.crossed_now.clear();
        self.crossings.clear();
    }

    /// A new flight: passes begin anew, gates count again.
    pub(crate) fn begin_flight(&mut self) {
        self.passes.fill(0);
        self.unarmed.clear();
    }

    /// Finds what is entered and left by simply being at a place, no leg leading there: the first
    /// fix of a run, or the first after a gap. With `afresh` the zones it lies in are entered
    /// whether it was in them or not, and those it does not lie in are left without margin.
    pub(crate) fn compare(&mut self, here: &End, afresh: bool) {
        self.crossings.clear();
        self.near_until = 0.0;
        self.altitude_was_known = here.altitude.is_some();
        let at = OnLeg { surface: here.surface, altitude: here.altitude };
        for index in 0..self.definitions.len() {
            let Some(definition) = self.definitions.get(index) else { continue };
            let Some(outline) = definition.outline.as_ref() else { continue };
            let number = u32::try_from(index).unwrap_or(u32::MAX);
            let was = self.inside.get(index).copied().unwrap_or(false);
            let far = outline.at_least(&here.surface);
            if !was && far > definition.margin + SPARE {
                continue;
            }
            let kind = match &outline.extent {
                Extent::Gate { .. } => None,
                _ => {
                    let lies = definition.lies(outline, &at, was);
                    let margin = if afresh { ON_EDGE } else { definition.margin };
                    match lies {
                        Lies::Unknown => None,
                        Lies::Outside(by) if was => (by > margin).then_some(Kind::Left),
                        Lies::Outside(by) => (by <= ON_EDGE).then_some(Kind::Entered),
                    }
                }
            };
            let kind = match kind {
                None if afresh && was => Some(Kind::Entered),
                kind => kind,
            };
            if let Some(kind) = kind {
                self.crossings.push(Crossing { time: here.time, kind, zone: ZoneId(number), at });
            }
        }
        let definitions = &self.definitions;
        self.unarmed.retain(|number| {
            definitions.get(*number as usize).is_some_and(|definition| {
                let outline = definition.outline.as_ref();
                outline.is_some_and(|gate| gate.outside(&here.surface) <= definition.margin)
            })
        });
        self.in_order();
    }

    /// Finds what is crossed on a leg.
    pub(crate) fn scan(&mut self, leg: &Leg) {
        self.crossings.clear();
        self.flown += leg.reach();
        let altitude_known = leg.to.altitude.is_some();
        if altitude_known != self.altitude_was_known || self.flown > self.near_until {
            self.altitude_was_known = altitude_known;
            self.find_near(leg);
        }
        self.visited.clear();
        while let Some(&Reverse((due, number))) = self.due.peek() {
            if f64::from_bits(due) > self.flown {
                break;
            }
            self.due.pop();
            set(&mut self.queued, number as usize, false);
            if let Some(free) = self.look(number as usize, leg) {
                self.visited.push((self.flown + (free - SPARE).max(0.0), number));
            }
        }
        for &(due, number) in &self.visited {
            set(&mut self.queued, number as usize, true);
            self.due.push(Reverse((due.to_bits(), number)));
        }
        if self.crossings.len() > 1 {
            self.in_order();
        }
    }

    /// Finds the near zones anew, to be looked at on this leg: those within a radius of the leg's
    /// end and anything that lies on the leg, those the aircraft is in, and gates that do not
    /// count yet.
    fn find_near(&mut self, leg: &Leg) {
        self.flown = leg.reach();
        while let Some(Reverse((_, number))) = self.due.pop() {
            set(&mut self.queued, number as usize, false);
        }
        let (due, queued) = (&mut self.due, &mut self.queued);
        let mut queue = |number: u32| {
            if let Some(queued) = queued.get_mut(number as usize)
                && !*queued
            {
                *queued = true;
                due.push(Reverse((0, number)));
            }
        };
        let radius = self.near.find(&leg.to.surface, leg.reach(), &mut queue);
        self.near_until = self.flown + radius;
        self.within.iter().for_each(|zone| queue(zone.0));
        self.unarmed.iter().for_each(|zone| queue(*zone));
    }

    /// Looks for crossings of one zone on a leg. Returns how far the aircraft can fly from the
    /// leg's end before the zone need be looked at again; `None` if never.
    fn look(&mut self, index: usize, leg: &Leg) -> Option<f64> {
        let definition = self.definitions.get(index)?;
        let outline = definition.outline.as_ref()?;
        let was = self.inside.get(index).copied().unwrap_or(false);
        let far = outline.at_least(&leg.to.surface);
        let zone = ZoneId(u32::try_from(index).unwrap_or(u32::MAX));
        let was_armed = !self.unarmed.contains(&zone.0);
        if !was && was_armed && far > leg.reach() + SPARE {
            return Some(far);
        }
        if let Extent::Gate { pieces } = &outline.extent {
            let mut armed = was_armed;
            let gates = &mut self.gates;
            let crossings = &mut self.crossings;
            leg.stretches(|stretch| {
                gate_crossings(pieces, &stretch.from.surface, &stretch.to.surface, gates);
                let mut before = 0.0;
                for crossing in gates.iter() {
                    armed = armed
                        || was_away(outline, definition.margin, stretch, before, crossing.fraction);
                    before = crossing.fraction;
                    let at = stretch.at(crossing.fraction);
                    if armed && definition.counts(crossing.from_left, &at) {
                        armed = false;
                        let kind = Kind::Crossed { from_left: crossing.from_left };
                        crossings.push(Crossing {
                            time: stretch.time(crossing.fraction),
                            kind,
                            zone,
                            at,
                        });
                    }
                }
                armed = armed || was_away(outline, definition.margin, stretch, before, 1.0);
            });
            match (was_armed, armed) {
                (true, false) => self.unarmed.push(zone.0),
                (false, true) => self.unarmed.retain(|other| *other != zone.0),
                _ => {}
            }
            return Some(if armed { outline.outside(&leg.to.surface) } else { 0.0 });
        }
        let with_band = definition.banded && leg.has_altitude();
        let end = leg.at(1.0);
        let at_end = definition.outside(outline, &end, with_band);
        let known = !definition.banded || with_band || definition.strict;
        let threshold = if was { definition.margin } else { ON_EDGE };
        let free = (at_end - threshold).abs();
        let mut inside = was;
        let changed = (at_end <= threshold) != was;
        if changed || free <= leg.reach() + SPARE {
            let crossings = &mut self.crossings;
            let at_start = definition.outside(outline, &leg.at(0.0), with_band);
            let begins_inside = !was && at_start <= ON_EDGE;
            // From both ends what matters is too far away for the leg to reach it and come back.
            let out_of_reach =
                !changed && (at_start - threshold).abs() + free > leg.reach() + SPARE;
            // Only an altitude that has become unknown lets a leg begin inside a zone it is not in:
            // then the end alone shows.
            if !begins_inside && !out_of_reach {
                leg.stretches(|stretch| {
                    trace(
                        definition,
                        outline,
                        stretch,
                        with_band,
                        known,
                        &mut inside,
                        |kind, fraction, at| {
                            record(
                                crossings,
                                Crossing { time: stretch.time(fraction), kind, zone, at },
                            );
                        },
                    );
                });
            }
        }
        if definition.banded && !with_band {
            match definition.lies(outline, &end, inside) {
                Lies::Outside(by) if inside && by > definition.margin => {
                    inside = false;
                    let crossing = Crossing { time: leg.to.time, kind: Kind::Left, zone, at: end };
                    record(&mut self.crossings, crossing);
                }
                Lies::Outside(by) if !inside && by <= ON_EDGE => {
                    inside = true;
                    let crossing =
                        Crossing { time: leg.to.time, kind: Kind::Entered, zone, at: end };
                    record(&mut self.crossings, crossing);
                }
                _ => {}
            }
        }
        // Where the altitude is not known the band cannot change anything until it is, and then
        // every zone is looked at.
        let threshold = if inside { definition.margin } else { ON_EDGE };
        Some((definition.outside(outline, &end, true) - threshold).abs())
    }

    /// Takes up entries and gate crossings, or exits, of one instant. Combined zones follow; what
    /// happens to them is told through `told` after the zones themselves.
    pub(crate) fn apply(&mut self, group: &[Crossing], mut told: impl FnMut(&Crossing, u32)) {
        self.crossed_now.clear();
        for crossing in group {
            self.take_up(crossing);
            told(crossing, self.passes(crossing.zone));
        }
        let Some(last) = group.last().copied() else { return };
        for index in 0..self.combinations.len() {
            let Some(combination) = self.combinations.get(index) else { continue };
            let holds = |zone: &ZoneId| self.inside.get(zone.index()).copied().unwrap_or(false);
            let now = (combination.any_of.is_empty() || combination.any_of.iter().any(holds))
                && combination.all_of.iter().all(holds)
                && !combination.except.iter().any(holds);
            let zone = combination.zone;
            if now != holds(&zone) {
                let kind = if now { Kind::Entered } else { Kind::Left };
                let crossing = Crossing { kind, zone, ..last };
                self.take_up(&crossing);
                told(&crossing, self.passes(zone));
            }
        }
    }

    /// The combined zones the aircraft is in are entered anew with a new flight.
    pub(crate) fn reenter_combined(&mut self, here: &End, mut told: impl FnMut(&Crossing, u32)) {
        let at = OnLeg { surface: here.surface, altitude: here.altitude };
        for index in 0..self.combinations.len() {
            let Some(zone) = self.combinations.get(index).map(|combination| combination.zone)
            else {
                continue;
            };
            if self.inside.get(zone.index()).copied().unwrap_or(false) && self.passes(zone) == 0 {
                let crossing = Crossing { time: here.time, kind: Kind::Entered, zone, at };
                self.take_up(&crossing);
                told(&crossing, self.passes(zone));
            }
        }
    }

    /// The look at a gate's crossing is over.
    pub(crate) fn forget_crossing(&mut self) -> Option<ZoneId> {
        self.crossed_now.pop()
    }

    fn take_up(&mut self, crossing: &Crossing) {
        let (zone, index) = (crossing.zone, crossing.zone.index());
        let Some(definition) = self.definitions.get(index) else { return };
        let (quiet, no_filming) = (definition.quiet, definition.no_filming);
        match crossing.kind {
            Kind::Entered | Kind::Crossed { .. } => {
                if let Some(passes) = self.passes.get_mut(index) {
                    *passes = passes.saturating_add(1);
                }
            }
            Kind::Left => {}
        }
        match crossing.kind {
            Kind::Crossed { .. } => self.crossed_now.push(zone),
            Kind::Entered => {
                set(&mut self.inside, index, true);
                if let Err(place) = self.within.binary_search(&zone) {
                    self.within.insert(place, zone);
                    if quiet {
                        self.quiet.push(zone);
                    }
                    if no_filming {
                        self.no_filming.push(zone);
                    }
                }
            }
            Kind::Left => {
                set(&mut self.inside, index, false);
                if let Ok(place) = self.within.binary_search(&zone) {
                    self.within.remove(place);
                }
                self.quiet.retain(|other| *other != zone);
                self.no_filming.retain(|other| *other != zone);
            }
        }
    }

    fn in_order(&mut self) {
        self.crossings
            .sort_by_key(|crossing| (crossing.time, crossing.kind == Kind::Left, crossing.zone));
    }
}

fn set(list: &mut [bool], index: usize, value: bool) {
    if let Some(place) = list.get_mut(index) {
        *place = value;
    }
}
