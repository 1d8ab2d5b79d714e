//! Recording: what the plan wants, what the hand wants, and the zones that stand above both.

use earth::Utc;
use engine::{Event, HandOutcome, RecordWhy, TakeTime};
use plan::{HandFilming, RecordEffect, RuleId, ZoneId};

use super::film::{Said, Scene};
use super::fixes::later;
use super::without::Without;
use super::zones::ZoneEvent;

pub struct Record {
    take: Option<(u32, Utc)>,
    takes: u32,
    /// Takes that have ended, from and to.
    ended: Vec<(Utc, Utc)>,
    /// Switched by hand, until it is what the plan wants.
    hand: Option<bool>,
    /// Pressed inside these no-filming zones, and when.
    inside: Vec<ZoneId>,
    inside_since: Option<Utc>,
    /// The rule that has recording on, as the plan wants it.
    has_it_on: Option<RuleId>,
    post_roll: Option<(RuleId, Utc)>,
    zones_before: Vec<ZoneId>,
}

impl Record {
    pub fn new() -> Self {
        Self {
            take: None,
            takes: 0,
            ended: vec![],
            hand: None,
            inside: vec![],
            inside_since: None,
            has_it_on: None,
            post_roll: None,
            zones_before: vec![],
        }
    }

    pub fn take_at(&self, now: Utc) -> Option<TakeTime> {
        self.take.map(|(take, from)| TakeTime { take, time: now - from })
    }

    pub fn due(&self, scene: &Scene<'_>) -> Option<Utc> {
        let lost = scene.lost.is_some() && !scene.off(Without::PostRollInLoss);
        self.post_roll.map(|(_, until)| until).filter(|_| !lost)
    }

    pub fn end_what_is_due(&mut self, scene: &Scene<'_>) {
        // One that ends while GPS is lost ends at the next good fix: see `settle`.
        let lost = scene.lost.is_some() && !scene.off(Without::PostRollInLoss);
        if self.post_roll.is_some_and(|(_, until)| until <= scene.now) && !lost {
            self.post_roll = None;
        }
    }

    /// The rule that wins the channel.
    fn winner(scene: &Scene<'_>) -> Option<RuleId> {
        let speaks = |rule: &RuleId| scene.plan().rules[rule.index()].record.is_some();
        scene.by_priority().into_iter().find(speaks)
    }

    fn records_here(scene: &Scene<'_>, rule: RuleId) -> bool {
        let effect = effect_of(scene, rule);
        scene.airborne() == Some(true)
            || effect.is_some_and(|effect| effect.on_ground)
            || scene.off(Without::RecordOnlyAirborne)
    }

    /// Whether a rule has recording on.
    fn on_by_rule(scene: &Scene<'_>, rule: RuleId) -> bool {
        let effect = effect_of(scene, rule);
        effect.is_some_and(|effect| effect.on) && Self::records_here(scene, rule)
    }

    /// What the plan wants now, no-filming zones not counted.
    fn plan_wants(&self, scene: &Scene<'_>) -> bool {
        match Self::winner(scene) {
            Some(rule) => Self::on_by_rule(scene, rule),
            None => self.post_roll.is_some(),
        }
    }

    pub fn hand(&mut self, scene: &mut Scene<'_>, on: bool, is_first: bool) -> HandOutcome {
        let zones = if is_first { vec![] } else { scene.no_filming() };
        let wants = !is_first && self.plan_wants(scene);
        if on && !zones.is_empty() {
            let refuses = |zone: &&ZoneId| {
                scene.plan().zones[zone.index()].no_filming == Some(HandFilming::Refused)
                    || scene.off(Without::HandInsideAllowed)
            };
            if let Some(zone) = zones.iter().find(refuses) {
                return HandOutcome::NoFilming(*zone);
            }
            if !self.inside.is_empty() {
                return HandOutcome::NoEffect;
            }
            self.inside = zones;
            self.inside_since = Some(scene.now);
            return HandOutcome::Done;
        }
        let was_inside = !on && !self.inside.is_empty();
        if !on && was_inside {
            self.film_inside_ended(scene);
        }
        let to = if wants == on && !scene.off(Without::HandUntilPlan) { None } else { Some(on) };
        let was = self.hand;
        self.hand = to;
        if was == to && !was_inside { HandOutcome::NoEffect } else { HandOutcome::Done }
    }

    pub fn settle(&mut self, scene: &mut Scene<'_>) {
        self.report_filmed_inside(scene);
        // Whose post-roll there is, or would be if it could record here.
        let rolls =
            |rule: &RuleId| effect_of(scene, *rule).is_some_and(|effect| effect.post_roll.0 > 0);
        let rolled = self.post_roll.map(|(rule, _)| rule).or(self.has_it_on.filter(rolls));
        if scene.landed() {
            if !scene.off(Without::HandRecordEndsAtLanding) {
                self.hand = None;
            }
            if self.post_roll.is_some_and(|(rule, _)| !Self::records_here(scene, rule)) {
                self.post_roll = None;
            }
        }
        if scene.fix.is_some() && self.post_roll.is_some_and(|(_, until)| until <= scene.now) {
            self.post_roll = None;
        }
        if scene.new_flight() {
            self.hand = None;
            self.post_roll = None;
            self.has_it_on = None;
            self.film_inside_ended(scene);
            if self.take.is_some() {
                self.end_take(scene, RecordWhy::NewFlight, None);
            }
            self.takes = 0;
        }

        let zones = scene.no_filming();
        let entered = zones.iter().any(|zone| !self.zones_before.contains(zone));
        if entered {
            self.post_roll = None;
        }
        if !self.inside.is_empty()
            && (zones.is_empty() || zones.iter().any(|zone| !self.inside.contains(zone)))
        {
            self.film_inside_ended(scene);
        }
        self.inside.retain(|zone| zones.contains(zone));
        self.zones_before.clone_from(&zones);

        let winner = Self::winner(scene);
        let has_it_on = winner.filter(|rule| Self::on_by_rule(scene, *rule));
        if winner.is_some() {
            self.post_roll = None;
        } else if let Some(rule) = self.has_it_on
            && zones.is_empty()
            && Self::records_here(scene, rule)
            && !scene.off(Without::PostRoll)
        {
            let effect = effect_of(scene, rule);
            self.post_roll = effect
                .filter(|effect| effect.post_roll.0 > 0)
                .map(|effect| (rule, later(scene.now, effect.post_roll.0)));
        }
        self.has_it_on = has_it_on;

        let wants = self.plan_wants(scene);
        let on =
            if zones.is_empty() { self.hand.unwrap_or(wants) } else { !self.inside.is_empty() };
        if on && self.take.is_none() {
            let by_plan = match winner.or(self.post_roll.map(|(rule, _)| rule)) {
                Some(rule) if winner.is_some() => RecordWhy::Rule(rule),
                Some(rule) => RecordWhy::PostRoll(rule),
                None => RecordWhy::NoRule,
            };
            let by_hand = !self.inside.is_empty() || self.hand == Some(true);
            let why = if by_hand { RecordWhy::Hand } else { by_plan };
            self.takes += 1;
            self.take = Some((self.takes, scene.now));
            scene.say(Event::RecordOn { why }, rule_of(why));
        } else if !on && self.take.is_some() {
            let says_off =
                winner.filter(|rule| effect_of(scene, *rule).is_some_and(|effect| !effect.on));
            let grounded = winner.or(rolled).is_some_and(|rule| !Self::records_here(scene, rule));
            let why = if let Some(zone) = zones.first() {
                RecordWhy::NoFilming(*zone)
            } else if self.hand == Some(false) {
                RecordWhy::Hand
            } else if let Some(rule) = says_off {
                RecordWhy::Rule(rule)
            } else if grounded {
                RecordWhy::OnGround
            } else {
                RecordWhy::NoRule
            };
            self.end_take(scene, why, rule_of(why));
        }
    }

    fn end_take(&mut self, scene: &mut Scene<'_>, why: RecordWhy, rule: Option<RuleId>) {
        let Some((take, from)) = self.take.take() else { return };
        self.ended.push((from, scene.now));
        let take = Some(TakeTime { take, time: scene.now - from });
        scene.said.push(Said { event: Event::RecordOff { why }, rule, own: None, at: None, take });
    }

    /// What was filmed inside a zone before it was known that the aircraft had entered it.
    fn report_filmed_inside(&self, scene: &mut Scene<'_>) {
        let Some(fix) = scene.fix else { return };
        if fix.crossed.leg.is_none() {
            return;
        }
        if scene.off(Without::NoFilming) || scene.off(Without::FilmedInside) {
            return;
        }
        let mut takes = self.ended.clone();
        takes.extend(self.take.map(|(_, from)| (from, scene.now)));
        let mut stays = fix.crossed.stays.clone();
        stays.sort_by_key(|stay| (stay.from, stay.zone));
        for stay in stays {
            let entered = |event: &ZoneEvent| {
                let entry = matches!(event.event, Event::Entered { zone, .. } if zone == stay.zone);
                entry && event.own == stay.from
            };
            if scene.plan().zones[stay.zone.index()].no_filming.is_none()
                || !fix.crossed.events.iter().any(entered)
            {
                continue;
            }
            for (from, to) in &takes {
                let from = stay.from.max(*from);
                let to = stay.to.unwrap_or(scene.now).min(*to);
                if from < to {
                    let zone = stay.zone;
                    filmed(scene, Event::FilmedInside { zone, from, to, by_hand: false }, from);
                }
            }
        }
    }

    /// Filming inside by hand is over: says so.
    fn film_inside_ended(&mut self, scene: &mut Scene<'_>) {
        let since = self.inside_since.take().unwrap_or(scene.now);
        // Inside several, the first written stands for all.
        let inside = std::mem::take(&mut self.inside);
        if let Some(zone) = inside.first().copied()
            && since < scene.now
        {
            let (from, to) = (since, scene.now);
            filmed(scene, Event::FilmedInside { zone, from, to, by_hand: true }, from);
        }
    }

    pub fn end_of_run(&mut self, scene: &mut Scene<'_>) {
        if !self.inside.is_empty() {
            self.film_inside_ended(scene);
        }
        self.end_take(scene, RecordWhy::RunEnded, None);
    }
}

fn effect_of(scene: &Scene<'_>, rule: RuleId) -> Option<RecordEffect> {
    scene.plan().rules[rule.index()].record
}

fn rule_of(why: RecordWhy) -> Option<RuleId> {
    match why {
        RecordWhy::Rule(rule) | RecordWhy::PostRoll(rule) => Some(rule),
        _ => None,
    }
}

fn filmed(scene: &mut Scene<'_>, event: Event, from: Utc) {
    scene.said.push(Said { event, rule: None, own: Some(from), at: None, take: None });
}
