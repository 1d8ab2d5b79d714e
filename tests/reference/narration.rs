//! The voice: one narration at a time, others wait, are skipped or interrupt.

use earth::{Millis, Utc};
use engine::{Cut, Event, GivenUp, HandOutcome, NarrationEvent, NarrationState, Obstacle, Playing};
use plan::{NarrationEffect, NarrationId, OnRadio, Otherwise, Room, RuleId, ZoneId};

use super::film::Scene;
use super::fixes::later;
use super::without::Without;

/// The narration playing or paused.
struct Now {
    /// What plays: the narration asked for, or its short version.
    narration: NarrationId,
    asked: NarrationId,
    rule: RuleId,
    /// How much had played when it last started or went on, and when that was.
    before: i64,
    since: Utc,
    /// When it was paused, if it is.
    paused: Option<Utc>,
    ducked: bool,
}

/// One that waits, or that is asked for at this instant.
#[derive(Clone, Copy, Debug)]
struct Waiting {
    narration: NarrationId,
    rule: RuleId,
    asked: Utc,
    /// Until when it waits; without it, as long as its rule stays active.
    until: Option<Utc>,
    otherwise: Otherwise,
    room: Option<Room>,
    fresh: bool,
}

pub struct Voice {
    now: Option<Now>,
    breath_until: Option<Utc>,
    waiting: Vec<Waiting>,
    played: Vec<bool>,
    skip: bool,
    was_busy: bool,
}

impl Voice {
    pub fn new(narrations: usize) -> Self {
        Self {
            now: None,
            breath_until: None,
            waiting: vec![],
            played: vec![false; narrations],
            skip: false,
            was_busy: false,
        }
    }

    fn pause_ends(scene: &Scene<'_>, now: &Now) -> Option<Utc> {
        let narration = &scene.plan().narrations[now.narration.index()];
        let longest = narration.longest_pause.unwrap_or(scene.plan().settings.longest_pause);
        now.paused
            .filter(|_| !scene.off(Without::LongestPause))
            .map(|since| later(since, longest.0))
    }

    /// When the one that plays ends.
    fn play_ends(scene: &Scene<'_>, now: &Now) -> Option<Utc> {
        let length = scene.plan().narrations[now.narration.index()].length.0;
        (now.paused.is_none()).then(|| later(now.since, length - now.before))
    }

    fn played_of(scene: &Scene<'_>, now: &Now) -> i64 {
        let until = now.paused.unwrap_or(scene.now);
        now.before + (until - now.since).0
    }

    pub fn due(&self, scene: &Scene<'_>) -> Option<Utc> {
        let playing = self.now.as_ref();
        let mut all: Vec<Utc> = self.waiting.iter().filter_map(|waiting| waiting.until).collect();
        all.extend(playing.and_then(|now| Self::play_ends(scene, now)));
        all.extend(playing.and_then(|now| Self::pause_ends(scene, now)));
        all.extend(self.breath_until);
        all.into_iter().filter(|due| *due > scene.now).min()
    }

    pub fn state(&self, scene: &Scene<'_>) -> Option<NarrationState> {
        let now = self.now.as_ref()?;
        let how = if now.paused.is_some() {
            Playing::Paused
        } else if now.ducked {
            Playing::Ducked
        } else {
            Playing::Full
        };
        let into = Millis(Self::played_of(scene, now));
        Some(NarrationState { narration: now.narration, into, how })
    }

    pub fn end_what_is_due(&mut self, scene: &mut Scene<'_>) {
        if let Some(now) = &self.now
            && Self::play_ends(scene, now).is_some_and(|ends| ends <= scene.now)
        {
            say(scene, now.narration, NarrationEvent::Ended, Some(now.rule));
            self.over(scene);
        }
        if let Some(now) = &self.now
            && Self::pause_ends(scene, now).is_some_and(|ends| ends <= scene.now)
        {
            self.cut(scene, Cut::PausedTooLong);
        }
        if self.breath_until.is_some_and(|until| until <= scene.now) {
            self.breath_until = None;
        }
        let now = scene.now;
        let (over, stay): (Vec<Waiting>, Vec<Waiting>) = std::mem::take(&mut self.waiting)
            .into_iter()
            .partition(|waiting| waiting.until.is_some_and(|until| until <= now));
        self.waiting = stay;
        for waiting in over {
            give_up(scene, &waiting, GivenUp::WaitedLongEnough);
        }
    }

    pub fn skip(&mut self, scene: &Scene<'_>) -> HandOutcome {
        if self.now.is_none() || self.skip || scene.off(Without::Skip) {
            return HandOutcome::NoEffect;
        }
        self.skip = true;
        HandOutcome::Done
    }

    /// The one that plays is over, however it ended.
    fn over(&mut self, scene: &Scene<'_>) {
        self.now = None;
        let breath = scene.plan().settings.breath.0;
        self.breath_until = if scene.off(Without::Breath) || breath == 0 {
            None
        } else {
            Some(later(scene.now, breath))
        };
    }

    fn cut(&mut self, scene: &mut Scene<'_>, by: Cut) {
        let Some(now) = &self.now else { return };
        let played = Millis(Self::played_of(scene, now));
        say(scene, now.narration, NarrationEvent::CutOff { by, played }, Some(now.rule));
        if scene.off(Without::CutOffCountsAsPlayed) {
            self.played[now.narration.index()] = false;
        }
        self.over(scene);
    }

    fn for_ground(scene: &Scene<'_>, narration: NarrationId) -> bool {
        scene.plan().narrations[narration.index()].on_ground && !scene.off(Without::GroundNarration)
    }

    /// The quiet zone that silences a narration here.
    fn silenced(scene: &Scene<'_>, narration: NarrationId) -> Option<ZoneId> {
        let spared = Self::for_ground(scene, narration)
            && scene.airborne() == Some(false)
            && !scene.off(Without::GroundNarrationInQuiet);
        scene.quiet().filter(|_| !spared)
    }

    pub fn settle(&mut self, scene: &mut Scene<'_>) {
        if std::mem::take(&mut self.skip) {
            self.cut(scene, Cut::Skipped);
        }
        if !scene.voice_on && !scene.off(Without::VoiceOff) {
            self.cut(scene, Cut::VoiceOff);
        }
        if scene.new_flight() {
            self.new_flight(scene);
        }
        self.obey_place(scene);
        self.obey_radio(scene);
        self.forget_ended_rules(scene);
        let asked = self.asked(scene);
        self.waiting.extend(asked);
        self.start_one(scene);
    }

    fn new_flight(&mut self, scene: &mut Scene<'_>) {
        self.cut(scene, Cut::NewFlight);
        for waiting in std::mem::take(&mut self.waiting) {
            give_up(scene, &waiting, GivenUp::NewFlight);
        }
        self.played.fill(false);
    }

    fn obey_place(&mut self, scene: &mut Scene<'_>) {
        let Some(now) = &self.now else { return };
        let narration = now.narration;
        if Self::for_ground(scene, narration) && scene.airborne() == Some(true) {
            self.cut(scene, Cut::TookOff);
        } else if let Some(zone) = Self::silenced(scene, narration) {
            self.cut(scene, Cut::Quiet(zone));
        }
    }

    fn obey_radio(&mut self, scene: &mut Scene<'_>) {
        let busy = scene.radio_busy;
        let was_busy = std::mem::replace(&mut self.was_busy, busy);
        let at = scene.now;
        if busy == was_busy {
            return;
        }
        let Some(now) = &mut self.now else { return };
        let narration = &scene.plan().narrations[now.narration.index()];
        let own = narration.on_radio.filter(|_| !scene.off(Without::NarrationOnRadio));
        let how = own.unwrap_or(scene.plan().settings.on_radio);
        let rule = Some(now.rule);
        let id = now.narration;
        if !busy {
            if now.paused.is_some() {
                now.before = Self::played_of(scene, now);
                now.paused = None;
                now.since = at;
                say(scene, id, NarrationEvent::WentOn, rule);
            } else if now.ducked {
                now.ducked = false;
                say(scene, id, NarrationEvent::Ducked(false), rule);
            }
            return;
        }
        match how {
            OnRadio::Ducked => {
                now.ducked = true;
                say(scene, id, NarrationEvent::Ducked(true), rule);
            }
            OnRadio::Paused => {
                now.paused = Some(at);
                say(scene, id, NarrationEvent::Paused, rule);
            }
            OnRadio::Dropped => self.cut(scene, Cut::Radio),
        }
    }

    /// Those that wait as long as their rule stays active, and whose rule ended.
    fn forget_ended_rules(&mut self, scene: &mut Scene<'_>) {
        let Some(fix) = scene.fix else { return };
        let ended =
            |rule: RuleId| fix.ruled.turns.iter().any(|turn| turn.rule == rule && !turn.began);
        let (over, stay): (Vec<Waiting>, Vec<Waiting>) =
            std::mem::take(&mut self.waiting).into_iter().partition(|waiting| {
                waiting.until.is_none()
                    && ended(waiting.rule)
                    && !scene.off(Without::WaitsWhileActive)
            });
        self.waiting = stay;
        for waiting in over {
            give_up(scene, &waiting, GivenUp::RuleEnded);
        }
    }

    /// What is asked for at this fix: one asking for each rule that became active on the leg.
    fn asked(&self, scene: &Scene<'_>) -> Vec<Waiting> {
        let Some(fix) = scene.fix else { return vec![] };
        let mut asked: Vec<Waiting> = Vec::new();
        for turn in fix.ruled.turns.iter().filter(|turn| turn.began) {
            let rule = &scene.plan().rules[turn.rule.index()];
            let Some(effect) = rule.narration else { continue };
            let NarrationEffect { narration, otherwise, waits, room } = effect;
            let again = scene.plan().narrations[narration.index()].again;
            let played = self.played[narration.index()] && !again;
            let playing = self.now.as_ref().is_some_and(|now| now.asked == narration);
            let waits_already = self.waiting.iter().chain(&asked).any(|w| w.rule == turn.rule);
            if (played && !scene.off(Without::OnceAFlight)) || playing || waits_already {
                continue;
            }
            asked.push(Waiting {
                narration,
                rule: turn.rule,
                asked: scene.now,
                until: waits.map(|time| later(scene.now, time.0)),
                otherwise,
                room,
                fresh: true,
            });
        }
        asked
    }

    /// What stands in the way of one, the first that applies.
    fn obstacle(&self, scene: &Scene<'_>, waiting: &Waiting) -> Option<Obstacle> {
        let interrupts = waiting.otherwise == Otherwise::Interrupt;
        if let Some(now) = &self.now
            && !(interrupts && waiting.fresh && self.may_cut(scene, now, waiting))
        {
            return Some(Obstacle::Playing(now.narration));
        }
        if self.breath_until.is_some() && !interrupts {
            return Some(Obstacle::Breath);
        }
        if let Some(zone) = Self::silenced(scene, waiting.narration) {
            return Some(Obstacle::Quiet(zone));
        }
        if scene.radio_busy && !scene.off(Without::RadioBusy) {
            return Some(Obstacle::Radio);
        }
        if !scene.voice_on && !scene.off(Without::VoiceOff) {
            return Some(Obstacle::VoiceOff);
        }
        if Self::for_ground(scene, waiting.narration) && scene.airborne() != Some(false) {
            return Some(Obstacle::NotOnGround);
        }
        (scene.lost.is_some() && !scene.off(Without::LossStartsNothing)).then_some(Obstacle::Lost)
    }

    fn may_cut(&self, scene: &Scene<'_>, now: &Now, waiting: &Waiting) -> bool {
        let priority = |rule: RuleId| scene.plan().rules[rule.index()].priority;
        let lower = priority(now.rule) <= priority(waiting.rule);
        !Self::for_ground(scene, now.narration)
            && (lower || scene.off(Without::InterruptPriority))
            && !scene.off(Without::Interrupt)
    }

    /// The whole narration or the short one, by the room there is now: how many seconds the planned
    /// way takes at this speed, and the standing, and less what went by in waiting.
    fn fitting(scene: &Scene<'_>, waiting: &Waiting) -> NarrationId {
        let narration = &scene.plan().narrations[waiting.narration.index()];
        let (Some(short), Some(room)) = (narration.short, waiting.room) else {
            return waiting.narration;
        };
        let least = scene.plan().settings.minimum_speed.get();
        let speed = match scene.last.motion.speed {
            Some(speed) if speed >= least => speed,
            _ => room.groundspeed.get(),
        };
        let waited = (scene.now.0 - waiting.asked.0) as f64 / 1000.0;
        let seconds = room.way.get() / speed + room.stands.0 as f64 / 1000.0 - waited;
        let fits = seconds >= narration.length.0 as f64 / 1000.0;
        if fits || scene.off(Without::ShortVersion) { waiting.narration } else { short }
    }

    /// Starts the one that comes first of those that could start, and tells the others.
    fn start_one(&mut self, scene: &mut Scene<'_>) {
        let all = std::mem::take(&mut self.waiting);
        let obstacles: Vec<Option<Obstacle>> =
            all.iter().map(|waiting| self.obstacle(scene, waiting)).collect();
        let priority = |rule: RuleId| scene.plan().rules[rule.index()].priority;
        let mut could: Vec<Waiting> = all
            .iter()
            .zip(&obstacles)
            .filter(|(_, obstacle)| obstacle.is_none())
            .map(|(waiting, _)| *waiting)
            .collect();
        could.sort_by_key(|waiting| {
            let highest = if scene.off(Without::NarrationPriority) {
                0
            } else {
                -i64::from(priority(waiting.rule))
            };
            let longest = if scene.off(Without::LongestWaiting) { Utc(0) } else { waiting.asked };
            (highest, longest, waiting.rule)
        });
        let first = could.first().copied();
        if let Some(first) = first {
            let told = Self::fitting(scene, &first);
            if self.now.is_some() {
                self.cut(scene, Cut::Interrupted(told));
            }
            say(scene, told, NarrationEvent::Started, Some(first.rule));
            self.played[first.narration.index()] = true;
            self.breath_until = None;
            self.now = Some(Now {
                narration: told,
                asked: first.narration,
                rule: first.rule,
                before: 0,
                since: scene.now,
                paused: None,
                ducked: false,
            });
        }
        for (waiting, obstacle) in all.iter().zip(obstacles) {
            if first.is_some_and(|first| first.rule == waiting.rule) {
                continue;
            }
            if first.is_some_and(|first| first.narration == waiting.narration) {
                if !waiting.fresh {
                    give_up(scene, waiting, GivenUp::PlayedAlready);
                }
                continue;
            }
            let order = first.map(|first| Obstacle::Playing(first.narration));
            let Some(obstacle) = obstacle.or(order) else { continue };
            self.put_off(scene, *waiting, obstacle);
        }
    }

    /// One that cannot start now.
    fn put_off(&mut self, scene: &mut Scene<'_>, mut waiting: Waiting, obstacle: Obstacle) {
        if !waiting.fresh {
            self.waiting.push(waiting);
            return;
        }
        let skips = waiting.otherwise == Otherwise::Skip && !scene.off(Without::Skips);
        let still_active = scene.is_active(waiting.rule);
        if skips {
            say(scene, waiting.narration, NarrationEvent::Skipped(obstacle), Some(waiting.rule));
        } else if waiting.until.is_none() && !still_active {
            // Its rule has begun and ended on this leg: now or not at all.
            give_up(scene, &waiting, GivenUp::RuleEnded);
        } else {
            say(scene, waiting.narration, NarrationEvent::Waits(obstacle), Some(waiting.rule));
            waiting.fresh = false;
            self.waiting.push(waiting);
        }
    }

    pub fn end_of_run(&mut self, scene: &mut Scene<'_>) {
        self.cut(scene, Cut::RunEnded);
        for waiting in std::mem::take(&mut self.waiting) {
            give_up(scene, &waiting, GivenUp::RunEnded);
        }
    }
}

fn say(scene: &mut Scene<'_>, narration: NarrationId, what: NarrationEvent, rule: Option<RuleId>) {
    scene.say(Event::Narration { narration, what }, rule);
}

fn give_up(scene: &mut Scene<'_>, waiting: &Waiting, why: GivenUp) {
    say(scene, waiting.narration, NarrationEvent::GivenUp(why), Some(waiting.rule));
}
