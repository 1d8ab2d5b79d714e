//! The narration channel: what is asked for, what waits, what plays.

use earth::{MetresPerSecond, Millis, Utc};
use plan::{NarrationId, OnRadio, Otherwise, Plan, RuleId, ZoneId};

use crate::outbox::Outbox;
use crate::output::{Cut, Event, GivenUp, NarrationEvent, NarrationState, Obstacle, Playing};
use crate::rules::Rules;

#[derive(Clone, Copy, Debug)]
struct Current {
    /// What plays: the narration that was asked for, or its short version.
    narration: NarrationId,
    /// The one that was asked for.
    asked: NarrationId,
    rule: RuleId,
    priority: i32,
    length: Millis,
    on_ground: bool,
    on_radio: OnRadio,
    longest_pause: Millis,
    /// How much had played when it last went on.
    played: Millis,
    /// Since when it plays, or is paused.
    since: Utc,
    how: Playing,
}

impl Current {
    fn played_by(&self, now: Utc) -> Millis {
        match self.how {
            Playing::Paused => self.played,
            Playing::Full | Playing::Ducked => (self.played + (now - self.since)).min(self.length),
        }
    }

    fn due(&self) -> Utc {
        match self.how {
            Playing::Paused => self.since + self.longest_pause,
            Playing::Full | Playing::Ducked => self.since + (self.length - self.played),
        }
    }
}

/// A narration asked for.
#[derive(Clone, Copy, Debug)]
struct Request {
    rule: RuleId,
    narration: NarrationId,
    priority: i32,
    asked: Utc,
    until: Option<Utc>,
    otherwise: Otherwise,
    on_ground: bool,
    /// Asked for at this very instant.
    fresh: bool,
}

impl Request {
    /// Whether it may still start: one that waits as long as its rule stays active was given up
    /// when the rule ended.
    fn still_asks(&self, rules: &Rules) -> bool {
        self.fresh || self.until.is_some() || rules.is_active(self.rule)
    }
}

/// What is told of a narration: its short version where it has one and the room for the whole is not
/// there. The room is the time that the planned way from the asking to what would spoil it takes at
/// the present groundspeed, with the time that the aircraft stands on it, less the time since the
/// asking; at the planned groundspeed where the present one is not known or below the minimum speed.
fn version(plan: &Plan, request: &Request, now: &Now) -> NarrationId {
    let whole = plan.narrations.get(request.narration.index());
    let effect = plan.rules.get(request.rule.index()).and_then(|rule| rule.narration);
    let (Some(whole), Some(room)) = (whole, effect.and_then(|effect| effect.room)) else {
        return request.narration;
    };
    let groundspeed = now.groundspeed.unwrap_or(room.groundspeed).get();
    let flown = room.way.get() / groundspeed.max(f64::MIN_POSITIVE) * 1000.0;
    let left = flown + room.stands.get() - (now.time - request.asked).get();
    match whole.short {
        Some(short) if left < whole.length.get() => short,
        _ => request.narration,
    }
}

/// What the channel is settled by.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Now {
    pub(crate) time: Utc,
    pub(crate) airborne: Option<bool>,
    pub(crate) quiet: Option<ZoneId>,
    pub(crate) lost: bool,
    /// The present groundspeed, if known and not below the minimum speed.
    pub(crate) groundspeed: Option<MetresPerSecond>,
}

/// The narration channel, with voice and radio.
#[derive(Debug)]
pub(crate) struct Voice {
    pub(crate) voice_on: bool,
    pub(crate) radio_busy: bool,
    current: Option<Current>,
    breath_until: Option<Utc>,
    requests: Vec<Request>,
    played: Vec<bool>,
}

impl Voice {
    pub(crate) fn new(plan: &Plan) -> Self {
        Self {
            voice_on: true,
            radio_busy: false,
            current: None,
            breath_until: None,
            requests: Vec::with_capacity(plan.rules.len().min(1024)),
            played: vec![false; plan.narrations.len()],
        }
    }

    /// A run begins with voice on and radio clear.
    pub(crate) fn begin_run(&mut self) {
        self.voice_on = true;
        self.radio_busy = false;
        self.current = None;
        self.breath_until = None;
        self.requests.clear();
        self.played.fill(false);
    }

    /// What plays is cut off, what waits given up, and all may be played again.
    pub(crate) fn begin_flight(&mut self, plan: &Plan, now: Utc, out: &mut Outbox) {
        self.stop(plan, now, Cut::NewFlight, GivenUp::NewFlight, out);
        self.played.fill(false);
    }

    pub(crate) fn end_run(&mut self, plan: &Plan, now: Utc, out: &mut Outbox) {
        self.stop(plan, now, Cut::RunEnded, GivenUp::RunEnded, out);
    }

    fn stop(&mut self, plan: &Plan, now: Utc, cut: Cut, given_up: GivenUp, out: &mut Outbox) {
        self.cut(plan, now, cut, out);
        for request in self.requests.drain(..) {
            tell(request.narration, Some(request.rule), NarrationEvent::GivenUp(given_up), out);
        }
    }

    /// Take-off cuts off one for the ground.
    pub(crate) fn take_off(&mut self, plan: &Plan, now: Utc, out: &mut Outbox) {
        if self.current.is_some_and(|current| current.on_ground) {
            self.cut(plan, now, Cut::TookOff, out);
        }
    }

    pub(crate) fn state(&self, now: Utc) -> Option<NarrationState> {
        self.current.map(|current| NarrationState {
            narration: current.narration,
            into: current.played_by(now),
            how: current.how,
        })
    }

    /// The narration playing or paused, with the rule that asked for it.
    pub(crate) fn playing(&self) -> Option<(NarrationId, RuleId)> {
        self.current.map(|current| (current.narration, current.rule))
    }

    /// The rules whose narrations wait.
    pub(crate) fn waiting(&self) -> impl Iterator<Item = RuleId> {
        self.requests.iter().map(|request| request.rule)
    }

    /// Whether a narration has started in this flight.
    pub(crate) fn was_played(&self, narration: NarrationId) -> bool {
        self.played.get(narration.index()).copied().unwrap_or(false)
    }

    /// Whether the breath after a narration is still on.
    pub(crate) fn breathing(&self, now: Utc) -> bool {
        self.breath_until.is_some_and(|until| now < until)
    }

    /// The pilot skips what is playing or paused; tells whether anything was.
    pub(crate) fn skip(&mut self, plan: &Plan, now: Utc, out: &mut Outbox) -> bool {
        self.cut(plan, now, Cut::Skipped, out)
    }

    /// A rule has become active.
    pub(crate) fn rule_began(&mut self, plan: &Plan, rule: RuleId, now: Utc, out: &mut Outbox) {
        let Some(written) = plan.rules.get(rule.index()) else { return };
        let Some(effect) = written.narration else { return };
        let Some(narration) = plan.narrations.get(effect.narration.index()) else { return };
        let playing = self.current.is_some_and(|current| current.asked == effect.narration);
        if playing || self.was_played(effect.narration) && !narration.again {
            return;
        }
        let until = effect.waits.map(|waits| now + waits);
        // One told how long to wait may still wait from an earlier asking of the same rule, and goes
        // on doing so. One that waits as long as its rule stays active was given up with it.
        if let Some(place) = self.requests.iter().position(|request| request.rule == rule) {
            if until.is_some() {
                return;
            }
            let given_up = self.requests.remove(place);
            if !given_up.fresh {
                let what = NarrationEvent::GivenUp(GivenUp::RuleEnded);
                tell(given_up.narration, Some(rule), what, out);
            }
        }
        self.requests.push(Request {
            rule,
            narration: effect.narration,
            priority: written.priority,
            asked: now,
            until,
            otherwise: effect.otherwise,
            on_ground: narration.on_ground,
            fresh: true,
        });
    }

    /// What is due to end, ends: a narration, a pause, a wait.
    pub(crate) fn end_due(&mut self, plan: &Plan, now: Utc, out: &mut Outbox) {
        if let Some(current) = self.current
            && current.due() <= now
        {
            if current.how == Playing::Paused {
                self.cut(plan, now, Cut::PausedTooLong, out);
            } else {
                self.current = None;
                self.breath_until = Some(now + plan.settings.breath);
                tell(current.narration, Some(current.rule), NarrationEvent::Ended, out);
            }
        }
        self.requests.retain(|request| {
            let over = request.until.is_some_and(|until| until <= now);
            if over {
                let what = NarrationEvent::GivenUp(GivenUp::WaitedLongEnough);
                tell(request.narration, Some(request.rule), what, out);
            }
            !over
        });
    }

    /// When something of the channel is next due.
    pub(crate) fn due(&self, now: Utc) -> Option<Utc> {
        let current = self.current.map(|current| current.due());
        let breath = self.breath_until.filter(|until| *until > now && !self.requests.is_empty());
        let wait = self.requests.iter().filter_map(|request| request.until).min();
        [current, breath, wait].into_iter().flatten().min()
    }

    /// Settles the channel.
    pub(crate) fn settle(&mut self, plan: &Plan, rules: &Rules, now: &Now, out: &mut Outbox) {
        self.settle_current(plan, now, out);
        self.start_one(plan, rules, now, out);
        self.settle_waiting(rules, now, out);
    }

    /// What cuts off, pauses or ducks the one that is on.
    fn settle_current(&mut self, plan: &Plan, now: &Now, out: &mut Outbox) {
        let Some(current) = self.current else { return };
        let on_its_ground = current.on_ground && now.airborne == Some(false);
        let cut = if !self.voice_on {
            Some(Cut::VoiceOff)
        } else if let Some(zone) = now.quiet.filter(|_| !on_its_ground) {
            Some(Cut::Quiet(zone))
        } else if self.radio_busy && current.on_radio == OnRadio::Dropped {
            Some(Cut::Radio)
        } else {
            None
        };
        if let Some(cut) = cut {
            self.cut(plan, now.time, cut, out);
            return;
        }
        let how = match (self.radio_busy, current.on_radio) {
            (true, OnRadio::Paused) => Playing::Paused,
            (true, OnRadio::Ducked) => Playing::Ducked,
            _ => Playing::Full,
        };
        if how == current.how {
            return;
        }
        let what = match (current.how, how) {
            (_, Playing::Paused) => NarrationEvent::Paused,
            (Playing::Paused, _) => NarrationEvent::WentOn,
            (_, how) => NarrationEvent::Ducked(how == Playing::Ducked),
        };
        self.current =
            Some(Current { played: current.played_by(now.time), since: now.time, how, ..current });
        tell(current.narration, Some(current.rule), what, out);
    }

    /// Of several that could start, the highest priority, then the longest waiting, then the one
    /// written first.
    fn start_one(&mut self, plan: &Plan, rules: &Rules, now: &Now, out: &mut Outbox) {
        let best = self
            .requests
            .iter()
            .filter(|request| request.still_asks(rules) && self.may_start(request, now))
            .min_by_key(|request| {
                (std::cmp::Reverse(request.priority), request.asked, request.rule)
            })
            .copied();
        let Some(request) = best else { return };
        let version = version(plan, &request, now);
        let Some(narration) = plan.narrations.get(version.index()) else { return };
        self.cut(plan, now.time, Cut::Interrupted(version), out);
        self.current = Some(Current {
            narration: version,
            asked: request.narration,
            rule: request.rule,
            priority: request.priority,
            length: narration.length,
            on_ground: narration.on_ground,
            on_radio: narration.on_radio.unwrap_or(plan.settings.on_radio),
            longest_pause: narration.longest_pause.unwrap_or(plan.settings.longest_pause),
            played: Millis::ZERO,
            since: now.time,
            how: Playing::Full,
        });
        if let Some(played) = self.played.get_mut(request.narration.index()) {
            *played = true;
        }
        tell(version, Some(request.rule), NarrationEvent::Started, out);
        // It plays now, so for other rules it is not to be asked for: what waits is given up.
        self.requests.retain(|other| {
            let this = other.rule == request.rule;
            let same = other.narration == request.narration;
            if same && !this && !other.fresh {
                let ended = !other.still_asks(rules);
                let why = if ended { GivenUp::RuleEnded } else { GivenUp::PlayedAlready };
                let what = NarrationEvent::GivenUp(why);
                tell(other.narration, Some(other.rule), what, out);
            }
            !this && !same
        });
    }

    /// Those that could not start wait, are skipped or are given up.
    fn settle_waiting(&mut self, rules: &Rules, now: &Now, out: &mut Outbox) {
        let mut place = 0;
        while let Some(request) = self.requests.get(place).copied() {
            let skip = request.fresh && request.otherwise == Otherwise::Skip;
            let what = if skip {
                self.standing_in_the_way(&request, now).map(NarrationEvent::Skipped)
            } else if request.until.is_some_and(|until| until <= now.time) {
                Some(NarrationEvent::GivenUp(GivenUp::WaitedLongEnough))
            } else if request.until.is_none() && !rules.is_active(request.rule) {
                Some(NarrationEvent::GivenUp(GivenUp::RuleEnded))
            } else {
                None
            };
            if let Some(what) = what {
                self.requests.remove(place);
                tell(request.narration, Some(request.rule), what, out);
                continue;
            }
            if request.fresh {
                if let Some(obstacle) = self.standing_in_the_way(&request, now) {
                    tell(
                        request.narration,
                        Some(request.rule),
                        NarrationEvent::Waits(obstacle),
                        out,
                    );
                }
                if let Some(request) = self.requests.get_mut(place) {
                    request.fresh = false;
                }
            }
            place += 1;
        }
    }

    /// What stands in the way of a request, whether or not it may interrupt.
    fn standing_in_the_way(&self, request: &Request, now: &Now) -> Option<Obstacle> {
        self.above(request, now).or_else(|| {
            let playing = self.current.map(|current| Obstacle::Playing(current.narration));
            playing.or_else(|| self.breathing(now.time).then_some(Obstacle::Breath))
        })
    }

    /// Whether a request may start now. Interrupt needs no breath, and when it is asked for it cuts
    /// off one of no higher priority, but never one for the ground.
    fn may_start(&self, request: &Request, now: &Now) -> bool {
        let interrupts = request.otherwise == Otherwise::Interrupt;
        let free = match self.current {
            Some(current) => {
                interrupts
                    && request.fresh
                    && current.priority <= request.priority
                    && !current.on_ground
            }
            None => interrupts || !self.breathing(now.time),
        };
        free && self.above(request, now).is_none()
    }

    /// What stands above the channel.
    fn above(&self, request: &Request, now: &Now) -> Option<Obstacle> {
        if now.lost {
            return Some(Obstacle::Lost);
        }
        if !self.voice_on {
            return Some(Obstacle::VoiceOff);
        }
        if request.on_ground {
            // One for the ground plays there in quiet zones too.
            if now.airborne != Some(false) {
                return Some(Obstacle::NotOnGround);
            }
        } else if let Some(zone) = now.quiet {
            return Some(Obstacle::Quiet(zone));
        }
        self.radio_busy.then_some(Obstacle::Radio)
    }

    /// Cuts off what plays or is paused; tells whether anything did.
    fn cut(&mut self, plan: &Plan, now: Utc, by: Cut, out: &mut Outbox) -> bool {
        let Some(current) = self.current.take() else { return false };
        self.breath_until = Some(now + plan.settings.breath);
        let what = NarrationEvent::CutOff { by, played: current.played_by(now) };
        tell(current.narration, Some(current.rule), what, out);
        true
    }
}

fn tell(narration: NarrationId, rule: Option<RuleId>, what: NarrationEvent, out: &mut Outbox) {
    out.push(Event::Narration { narration, what }, rule);
}
