//! The record channel: rules, the hand, the ground, and no-filming zones above them all.

use earth::{Millis, Utc};
use plan::{HandFilming, Plan, RuleId, Shape, ZoneId};

use crate::crossing::{Crossing, Kind};
use crate::outbox::{Entry, Outbox};
use crate::output::{Event, HandOutcome, RecordWhy, TakeTime};
use crate::zones::Zones;

/// The record channel.
#[derive(Debug)]
pub(crate) struct Record {
    /// When the take being recorded began.
    on_since: Option<Utc>,
    /// Number of the last take of this flight.
    take: u32,
    why: RecordWhy,
    /// What the plan has recording on for, reckoned without no-filming zones and the hand.
    plan_on: Option<RuleId>,
    post_roll: Option<(RuleId, Utc)>,
    hand: Option<bool>,
    /// No-filming zones in which a press has switched recording on.
    pressed_in: Vec<ZoneId>,
    filming_inside_since: Option<Utc>,
    hand_allowed: Vec<bool>,
    /// When recording was on since the last good fix.
    stretches: Vec<(Utc, Utc)>,
    stretch_from: Option<Utc>,
    /// Zones entered on the present leg, with the time of entry.
    entered: Vec<(ZoneId, Utc)>,
}

/// What the record channel is settled by.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Now {
    pub(crate) time: Utc,
    pub(crate) winner: Option<RuleId>,
    pub(crate) airborne: Option<bool>,
    pub(crate) lost: bool,
}

impl Record {
    pub(crate) fn new(plan: &Plan) -> Self {
        Self {
            on_since: None,
            take: 0,
            why: RecordWhy::NoRule,
            plan_on: None,
            post_roll: None,
            hand: None,
            pressed_in: Vec::new(),
            filming_inside_since: None,
            hand_allowed: plan
                .zones
                .iter()
                .map(|zone| {
                    zone.no_filming == Some(HandFilming::Allowed)
                        && !matches!(zone.shape, Shape::Gate { .. })
                })
                .collect(),
            stretches: Vec::new(),
            stretch_from: None,
            entered: Vec::new(),
        }
    }

    pub(crate) fn begin_run(&mut self) {
        self.on_since = None;
        self.take = 0;
        self.why = RecordWhy::NoRule;
        self.plan_on = None;
        self.post_roll = None;
        self.hand = None;
        self.pressed_in.clear();
        self.filming_inside_since = None;
        self.stretches.clear();
        self.stretch_from = None;
        self.entered.clear();
    }

    /// Takes and recording by hand begin anew. What was recording ends here.
    pub(crate) fn begin_flight(&mut self, now: Utc, out: &mut Outbox) {
        self.end_filming_inside(now, out);
        self.stop(now, RecordWhy::NewFlight, None, out);
        self.take = 0;
        self.plan_on = None;
        self.post_roll = None;
        self.hand = None;
        self.pressed_in.clear();
    }

    /// Landing ends recording by hand.
    pub(crate) fn land(&mut self) {
        self.hand = None;
    }

    pub(crate) fn why(&self) -> RecordWhy {
        self.why
    }

    /// Whether recording was switched by hand, and to what.
    pub(crate) fn hand(&self) -> Option<bool> {
        self.hand
    }

    pub(crate) fn take(&self, now: Utc) -> Option<TakeTime> {
        self.on_since.map(|since| TakeTime { take: self.take, time: now - since })
    }

    /// The pilot switches recording. Inside a no-filming zone on is obeyed only where the route
    /// allows it; off always is.
    pub(crate) fn switch(
        &mut self,
        on: bool,
        now: Utc,
        zones: &Zones,
        out: &mut Outbox,
    ) -> HandOutcome {
        let inside = zones.no_filming();
        if on && !inside.is_empty() {
            let refused = inside
                .iter()
                .find(|zone| !self.hand_allowed.get(zone.index()).copied().unwrap_or(false));
            if let Some(zone) = refused {
                return HandOutcome::NoFilming(*zone);
            }
            if !self.pressed_in.is_empty() {
                return HandOutcome::NoEffect;
            }
            self.pressed_in.extend_from_slice(inside);
            return HandOutcome::Done;
        }
        let filmed_inside = !on && !self.pressed_in.is_empty();
        if filmed_inside {
            self.end_filming_inside(now, out);
            self.pressed_in.clear();
        }
        let planned = self.plan_on.is_some() || self.post_roll.is_some();
        let before = std::mem::replace(&mut self.hand, (on != planned).then_some(on));
        if before == self.hand && !filmed_inside {
            HandOutcome::NoEffect
        } else {
            HandOutcome::Done
        }
    }

    /// A zone was entered or left on the leg that ends at this fix.
    pub(crate) fn zone_crossed(
        &mut self,
        crossing: &Crossing,
        now: Utc,
        zones: &Zones,
        out: &mut Outbox,
    ) {
        if !zones.is_no_filming(crossing.zone) {
            return;
        }
        match crossing.kind {
            Kind::Entered => {
                // An entry ends the take, whatever had it on, and any post-roll.
                self.post_roll = None;
                self.end_filming_inside(now, out);
                self.pressed_in.clear();
                self.entered.push((crossing.zone, crossing.time));
            }
            Kind::Left => {
                if let Some(place) =
                    self.entered.iter().position(|(zone, _)| *zone == crossing.zone)
                {
                    let (zone, from) = self.entered.remove(place);
                    self.report_filmed(zone, from, crossing.time, out);
                }
                if zones.no_filming().is_empty() {
                    self.end_filming_inside(now, out);
                    self.pressed_in.clear();
                }
            }
            Kind::Crossed { .. } => {}
        }
    }

    /// Reports what was filmed inside zones that have been entered by this fix.
    pub(crate) fn report_entered(&mut self, now: Utc, out: &mut Outbox) {
        while let Some((zone, from)) = self.entered.pop() {
            self.report_filmed(zone, from, now, out);
        }
        self.stretches.clear();
        self.stretch_from = self.on_since.map(|_| now);
    }

    fn report_filmed(&self, zone: ZoneId, from: Utc, to: Utc, out: &mut Outbox) {
        let last = self.stretch_from.map(|since| (since, Utc(i64::MAX)));
        for (on, off) in self.stretches.iter().copied().chain(last) {
            let (from, to) = (from.max(on), to.min(off));
            if from < to {
                let event = Event::FilmedInside { zone, from, to, by_hand: false };
                out.push_at(event, None, from, None);
            }
        }
    }

    fn end_filming_inside(&mut self, now: Utc, out: &mut Outbox) {
        if let Some(from) = self.filming_inside_since.take()
            && let Some(zone) = self.pressed_in.first()
        {
            out.push_at(
                Event::FilmedInside { zone: *zone, from, to: now, by_hand: true },
                None,
                from,
                None,
            );
        }
    }

    /// What is due to end, ends: the post-roll, but not while GPS is lost.
    pub(crate) fn end_due(&mut self, now: Utc, lost: bool) {
        if !lost && self.post_roll.is_some_and(|(_, until)| until <= now) {
            self.post_roll = None;
        }
    }

    pub(crate) fn due(&self, lost: bool) -> Option<Utc> {
        self.post_roll.filter(|_| !lost).map(|(_, until)| until)
    }

    /// Settles the channel.
    pub(crate) fn settle(&mut self, plan: &Plan, zones: &Zones, now: &Now, out: &mut Outbox) {
        let inside = zones.no_filming();
        let (planned, mut why) = self.what_the_plan_wants(plan, inside.is_empty(), now);
        let mut on = planned;
        if let Some(hand) = self.hand {
            on = hand;
            why = RecordWhy::Hand;
        }
        if let Some(zone) = inside.first() {
            let by_hand = !self.pressed_in.is_empty()
                && inside.iter().all(|zone| self.pressed_in.contains(zone));
            on = by_hand;
            why = if by_hand { RecordWhy::Hand } else { RecordWhy::NoFilming(*zone) };
            if by_hand {
                self.filming_inside_since.get_or_insert(now.time);
            } else {
                self.end_filming_inside(now.time, out);
            }
        }
        let rule = match why {
            RecordWhy::Rule(rule) | RecordWhy::PostRoll(rule) => Some(rule),
            _ => None,
        };
        if !on {
            self.stop(now.time, why, rule, out);
        } else if self.on_since.is_none() {
            self.take = self.take.saturating_add(1);
            self.on_since = Some(now.time);
            self.stretch_from = Some(now.time);
            out.push(Event::RecordOn { why }, rule);
        }
        self.why = why;
    }

    /// Whether the plan has recording on, reckoned without no-filming zones but for the post-roll,
    /// which none begins inside.
    fn what_the_plan_wants(
        &mut self,
        plan: &Plan,
        may_post_roll: bool,
        now: &Now,
    ) -> (bool, RecordWhy) {
        let effect = |rule: RuleId| plan.rules.get(rule.index()).and_then(|rule| rule.record);
        let here = |on_ground: bool| on_ground || now.airborne == Some(true);
        if let Some((rule, effect)) =
            now.winner.and_then(|rule| effect(rule).map(|effect| (rule, effect)))
        {
            self.post_roll = None;
            let on = effect.on && here(effect.on_ground);
            self.plan_on = on.then_some(rule);
            let why = if effect.on && !on { RecordWhy::OnGround } else { RecordWhy::Rule(rule) };
            return (on, why);
        }
        if let Some(ended) = self.plan_on.take()
            && may_post_roll
            && let Some(effect) = effect(ended)
            && effect.post_roll > Millis::ZERO
        {
            self.post_roll = Some((ended, now.time + effect.post_roll));
        }
        let Some((rule, until)) = self.post_roll else { return (false, RecordWhy::NoRule) };
        if !effect(rule).is_some_and(|effect| here(effect.on_ground)) {
            self.post_roll = None;
            return (false, RecordWhy::OnGround);
        }
        if until <= now.time && !now.lost {
            self.post_roll = None;
            return (false, RecordWhy::NoRule);
        }
        (true, RecordWhy::PostRoll(rule))
    }

    /// The run is over: the take is cut here.
    pub(crate) fn end_run(&mut self, now: Utc, out: &mut Outbox) {
        self.end_filming_inside(now, out);
        self.stop(now, RecordWhy::RunEnded, None, out);
    }

    fn stop(&mut self, now: Utc, why: RecordWhy, rule: Option<RuleId>, out: &mut Outbox) {
        let Some(since) = self.on_since.take() else { return };
        if let Some(from) = self.stretch_from.take() {
            self.stretches.push((from, now));
        }
        out.entries.push(Entry {
            event: Event::RecordOff { why },
            rule,
            own: None,
            at: None,
            take: Some(TakeTime { take: self.take, time: now - since }),
        });
        self.why = why;
    }
}
