//! The film, instant by instant: what is due to end ends, then the pilot's hand, then the fix, then
//! each channel is settled once.

use std::collections::VecDeque;

use earth::{DegreesTrue, Metres, MetresPerSecond, Millis, Position, Utc};
use engine::{Change, Event, Gps, HandOutcome, Notice, TakeTime};
use plan::{Hand, Plan, RuleId, Side, ZoneId};

use super::camera::Camera;
use super::fixes::{Good, RUN_ENDS_AFTER, good_fixes, later};
use super::flight::{Aloft, story};
use super::motion::{Motion, motions};
use super::narration::Voice;
use super::record::Record;
use super::rules::{Ruled, run};
use super::sound::Sound;
use super::still::Stills;
use super::without::Without;
use super::zones::{Crossed, crossings, id};
use super::{Case, Film, Row};

/// A good fix and all that it says by itself.
pub struct Moment {
    pub good: Good,
    pub motion: Motion,
    pub aloft: Aloft,
    pub crossed: Crossed,
    pub ruled: Ruled,
}

impl Moment {
    pub fn time(&self) -> Utc {
        self.good.fix.time
    }

    pub fn at(&self) -> Position {
        self.good.fix.position
    }
}

/// The order in which changes of one instant stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    Run,
    Gps,
    Hand,
    Flight,
    Zone,
    Camera,
    Record,
    Narration,
    Music,
    Title,
    Still,
}

pub fn class_of(event: &Event) -> Class {
    match event {
        Event::RunBegan | Event::RunEnded => Class::Run,
        Event::GpsLost | Event::GpsBack { .. } => Class::Gps,
        Event::Hand { .. } | Event::HandCameraEnded => Class::Hand,
        Event::TookOff | Event::Landed { .. } | Event::FlightBegan => Class::Flight,
        Event::Entered { .. } | Event::Left { .. } | Event::Crossed { .. } => Class::Zone,
        Event::Camera { .. } => Class::Camera,
        Event::RecordOn { .. } | Event::RecordOff { .. } | Event::FilmedInside { .. } => {
            Class::Record
        }
        Event::Narration { .. } => Class::Narration,
        Event::Music { .. } | Event::MusicDucked { .. } => Class::Music,
        Event::Title { .. } => Class::Title,
        Event::Still { .. } => Class::Still,
    }
}

/// What all channels see.
pub struct Scene<'a> {
    pub case: &'a Case,
    pub without: Option<Without>,
    pub now: Utc,
    /// The fix of this instant, if it has one.
    pub fix: Option<&'a Moment>,
    /// The last good fix.
    pub last: &'a Moment,
    /// Since when GPS is lost.
    pub lost: Option<Utc>,
    pub voice_on: bool,
    pub radio_busy: bool,
    pub said: Vec<Said>,
}

/// A change before the fields are filled in that follow from the state after it.
pub struct Said {
    pub event: Event,
    pub rule: Option<RuleId>,
    pub own: Option<Utc>,
    pub at: Option<(Position, Option<f64>)>,
    pub take: Option<TakeTime>,
}

impl<'a> Scene<'a> {
    pub fn plan(&self) -> &'a Plan {
        &self.case.plan
    }

    pub fn off(&self, rule: Without) -> bool {
        self.without == Some(rule)
    }

    pub fn say(&mut self, event: Event, rule: Option<RuleId>) {
        self.said.push(Said { event, rule, own: None, at: None, take: None });
    }

    pub fn airborne(&self) -> Option<bool> {
        self.last.aloft.airborne
    }

    pub fn is_active(&self, rule: RuleId) -> bool {
        self.last.ruled.active[rule.index()]
    }

    pub fn members(&self) -> &[bool] {
        self.last.crossed.members()
    }

    /// Whether the shot hold after a loss is over.
    pub fn hold_is_over(&self) -> bool {
        let hold = if self.off(Without::ShotHold) { 0 } else { self.plan().settings.shot_hold.0 };
        self.lost.is_some_and(|since| self.now >= later(since, hold))
    }

    /// The active rules, the one that wins first.
    pub fn by_priority(&self) -> Vec<RuleId> {
        let rules = &self.plan().rules;
        let mut active: Vec<usize> =
            (0..rules.len()).filter(|index| self.last.ruled.active[*index]).collect();
        if self.off(Without::EqualsWrittenFirst) {
            active.reverse();
        }
        if !self.off(Without::Priority) {
            active.sort_by_key(|index| -i64::from(rules[*index].priority));
        }
        #[expect(clippy::cast_possible_truncation, reason = "a plan in a test is small")]
        active.into_iter().map(|index| RuleId(index as u32)).collect()
    }

    /// The quiet zone the aircraft is in, the first written.
    pub fn quiet(&self) -> Option<ZoneId> {
        let quiet = |index: &usize| self.members()[*index] && self.plan().zones[*index].quiet;
        if self.off(Without::Quiet) {
            return None;
        }
        (0..self.members().len()).find(quiet).map(id)
    }

    /// The no-filming zones the aircraft is in.
    pub fn no_filming(&self) -> Vec<ZoneId> {
        if self.off(Without::NoFilming) {
            return vec![];
        }
        (0..self.members().len())
            .filter(|index| {
                self.members()[*index] && self.plan().zones[*index].no_filming.is_some()
            })
            .map(id)
            .collect()
    }

    pub fn landed(&self) -> bool {
        self.fix.is_some_and(|fix| fix.aloft.landed)
    }

    pub fn new_flight(&self) -> bool {
        self.fix.is_some_and(|fix| fix.aloft.new_flight)
    }
}

/// Everything that has a state of its own.
struct Channels {
    camera: Camera,
    record: Record,
    voice: Voice,
    sound: Sound,
    stills: Stills,
}

/// The whole flight, fix by fix, before the film is made.
pub fn moments(case: &Case, without: Option<Without>) -> (Vec<Moment>, Vec<Notice>) {
    let plan = &case.plan;
    let greatest = plan.settings.greatest_speed.get();
    let (good, notices) = good_fixes(&case.fixes, case.limits, greatest, without);
    let motions = motions(&good, plan, &case.day, case.limits, without);
    let aloft = story(&good, &motions, plan, without);
    let crossed = crossings(&good, &motions, &aloft, plan, case.limits, without);
    let ruled = run(&good, &motions, &aloft, &crossed, plan, without);
    let mut moments = Vec::new();
    for ((((good, motion), aloft), crossed), ruled) in
        good.into_iter().zip(motions).zip(aloft).zip(crossed).zip(ruled)
    {
        moments.push(Moment { good, motion, aloft, crossed, ruled });
    }
    (moments, notices)
}

pub fn make(case: &Case, without: Option<Without>) -> Film {
    let (moments, notices) = moments(case, without);
    let mut film = Film { notices, ..Film::default() };
    let mut hands: VecDeque<(Utc, Hand)> = case.hands.iter().copied().collect();
    let mut start = 0;
    while start < moments.len() {
        let end = (start + 1..moments.len())
            .find(|index| moments[*index].good.how == Gps::First)
            .unwrap_or(moments.len());
        let over = match moments.get(end) {
            Some(next) if next.time() > moments[end - 1].time() => {
                later(moments[end - 1].time(), RUN_ENDS_AFTER)
            }
            _ => moments[end - 1].time(),
        };
        Run::begin(case, without, &moments[start]).film(
            &moments[start..end],
            over,
            &mut hands,
            &mut film,
        );
        start = end;
    }
    for (time, action) in hands {
        film.notices.push(Notice::HandAfterEnd { time, action });
    }
    film
}

/// One run.
struct Run<'a> {
    scene: Scene<'a>,
    channels: Channels,
    first: Utc,
    begun: bool,
}

impl<'a> Run<'a> {
    fn begin(case: &'a Case, without: Option<Without>, first: &'a Moment) -> Self {
        Self {
            scene: Scene {
                case,
                without,
                now: first.time(),
                fix: None,
                last: first,
                lost: None,
                voice_on: true,
                radio_busy: false,
                said: Vec::new(),
            },
            channels: Channels {
                camera: Camera::new(),
                record: Record::new(),
                voice: Voice::new(case.plan.narrations.len()),
                sound: Sound::new(),
                stills: Stills::new(),
            },
            first: first.time(),
            begun: false,
        }
    }

    fn film(
        mut self,
        moments: &'a [Moment],
        over: Utc,
        hands: &mut VecDeque<(Utc, Hand)>,
        film: &mut Film,
    ) {
        for moment in moments {
            self.run_up_to(moment.time(), hands, film);
            self.instant(moment.time(), Some(moment), hands, film);
        }
        let last = moments[moments.len() - 1].time();
        if over > last {
            self.run_up_to(over, hands, film);
            // What is due at the very moment the run ends still ends.
            self.scene.now = over;
            self.end_what_is_due();
        }
        self.end(over, film);
    }

    /// All instants before a moment.
    fn run_up_to(&mut self, until: Utc, hands: &mut VecDeque<(Utc, Hand)>, film: &mut Film) {
        if !self.begun {
            return; // Nothing happens before the first fix.
        }
        loop {
            let hand = hands.front().map(|(at, _)| (*at).max(self.scene.now));
            let next = self.due().into_iter().chain(hand).min();
            match next {
                Some(next) if next < until => self.instant(next, None, hands, film),
                _ => return,
            }
        }
    }

    /// When the next thing is due.
    fn due(&self) -> Option<Utc> {
        let scene = &self.scene;
        let loss = later(scene.last.time(), scene.case.limits.lost_after);
        let hold = scene.lost.map(|since| later(since, scene.plan().settings.shot_hold.0));
        let mut all: Vec<Utc> = Vec::new();
        if scene.lost.is_none() {
            all.push(loss);
        }
        all.extend(hold);
        all.extend(self.channels.camera.due(scene));
        all.extend(self.channels.record.due(scene));
        all.extend(self.channels.voice.due(scene));
        all.extend(self.channels.stills.due(scene));
        all.into_iter().filter(|due| *due > scene.now).min()
    }

    fn end_what_is_due(&mut self) {
        self.channels.voice.end_what_is_due(&mut self.scene);
        self.channels.record.end_what_is_due(&self.scene);
        self.channels.camera.end_what_is_due(&mut self.scene);
    }

    fn instant(
        &mut self,
        now: Utc,
        fix: Option<&'a Moment>,
        hands: &mut VecDeque<(Utc, Hand)>,
        film: &mut Film,
    ) {
        let is_first = !self.begun;
        self.begun = true;
        self.scene.now = now;
        // Until the pilot's actions of this instant are done, its fix has not come.
        self.scene.fix = None;
        if is_first {
            self.scene.say(Event::RunBegan, None);
        }
        if !is_first {
            self.end_what_is_due();
        }
        if let (None, None) = (fix, self.scene.lost)
            && now >= later(self.scene.last.time(), self.scene.case.limits.lost_after)
            && !self.scene.off(Without::Loss)
        {
            self.scene.lost = Some(now);
            self.scene.say(Event::GpsLost, None);
        }
        while let Some((at, action)) = hands.front().copied()
            && at <= now
        {
            hands.pop_front();
            self.hand(at, action, is_first);
        }
        if let Some(fix) = fix {
            self.take_in(fix);
        }
        self.settle();
        self.write(film);
        if let Some(fix) = fix {
            film.states.push(self.row(fix));
            self.channels.stills.since_fix.clear();
        }
    }

    fn hand(&mut self, at: Utc, action: Hand, is_first: bool) {
        let scene = &mut self.scene;
        let outcome = match action {
            Hand::Camera(_) | Hand::Automatic => self.channels.camera.hand(scene, action),
            Hand::RecordOn | Hand::RecordOff => {
                self.channels.record.hand(scene, action == Hand::RecordOn, is_first)
            }
            Hand::Still => self.channels.stills.hand(scene, is_first),
            Hand::Skip => self.channels.voice.skip(scene),
            Hand::VoiceOff => switch(&mut scene.voice_on, false),
            Hand::VoiceOn => switch(&mut scene.voice_on, true),
            Hand::RadioBusy => switch(&mut scene.radio_busy, true),
            Hand::RadioClear => switch(&mut scene.radio_busy, false),
        };
        let own = (at != scene.now).then_some(at);
        let event = Event::Hand { action, outcome };
        scene.said.push(Said { event, rule: None, own, at: None, take: None });
    }

    /// The fix of this instant.
    fn take_in(&mut self, fix: &'a Moment) {
        let scene = &mut self.scene;
        scene.fix = Some(fix);
        scene.last = fix;
        if scene.lost.take().is_some() {
            scene.say(Event::GpsBack { gap: fix.good.how == Gps::Gap }, None);
        }
        for event in &fix.aloft.events {
            scene.say(*event, None);
        }
        for crossed in &fix.crossed.events {
            scene.said.push(Said {
                event: crossed.event,
                rule: None,
                own: (crossed.own != fix.time()).then_some(crossed.own),
                at: Some((crossed.at, crossed.altitude)),
                take: None,
            });
        }
    }

    fn settle(&mut self) {
        let Channels { camera, record, voice, sound, stills } = &mut self.channels;
        camera.settle(&mut self.scene);
        record.settle(&mut self.scene);
        voice.settle(&mut self.scene);
        sound.settle(&mut self.scene);
        stills.settle(&mut self.scene, camera.live);
    }

    /// Writes down what was said at this instant, in its order.
    fn write(&mut self, film: &mut Film) {
        let mut said = std::mem::take(&mut self.scene.said);
        said.sort_by_key(|said| class_of(&said.event));
        let last = self.scene.last;
        let take = self.channels.record.take_at(self.scene.now);
        for said in said {
            let (position, altitude) = said.at.unwrap_or((last.at(), last.motion.altitude));
            film.changes.push(Change {
                effect: self.scene.now,
                own: said.own,
                run: last.good.run,
                flight: last.aloft.flight,
                since_takeoff: last.aloft.counts_from.map(|from| self.scene.now - from),
                take: said.take.or(take),
                event: said.event,
                rule: said.rule,
                position,
                altitude: altitude.map(Metres::of),
            });
        }
    }

    fn end(mut self, over: Utc, film: &mut Film) {
        self.scene.now = over;
        self.scene.fix = None;
        self.scene.say(Event::RunEnded, None);
        self.channels.record.end_of_run(&mut self.scene);
        self.channels.voice.end_of_run(&mut self.scene);
        self.channels.sound.end_of_run(&mut self.scene);
        self.write(film);
    }

    fn row(&self, fix: &Moment) -> Row {
        let now = self.scene.now;
        let channels = &self.channels;
        Row {
            time: now,
            run: fix.good.run,
            flight: fix.aloft.flight,
            since_first: now - self.first,
            since_takeoff: fix.aloft.counts_from.map(|from| now - from),
            position: fix.at(),
            altitude: fix.motion.altitude.map(Metres::of),
            groundspeed: fix.motion.speed.map(MetresPerSecond::of),
            track: fix.motion.track.map(DegreesTrue::of),
            heading: fix.motion.heading.map(|(degrees, from)| (DegreesTrue::of(degrees), from)),
            airborne: fix.aloft.airborne,
            zones: (0..fix.crossed.members().len())
                .filter(|index| fix.crossed.members()[*index])
                .map(id)
                .collect(),
            camera: channels.camera.live,
            camera_why: channels.camera.why,
            camera_next: channels.camera.next(),
            narration: channels.voice.state(&self.scene),
            music: channels.sound.music,
            music_ducked: channels.sound.music.is_some() && self.scene.radio_busy,
            title: channels.sound.title,
            take: channels.record.take_at(now),
            stills: channels.stills.since_fix.clone(),
            gps: fix.good.how,
            voice_on: self.scene.voice_on,
            radio_busy: self.scene.radio_busy,
        }
    }
}

fn switch(what: &mut bool, to: bool) -> HandOutcome {
    if *what == to {
        return HandOutcome::NoEffect;
    }
    *what = to;
    HandOutcome::Done
}

/// The other side of a gate.
pub fn opposite(side: Side) -> Side {
    match side {
        Side::Left => Side::Right,
        Side::Right => Side::Left,
        Side::Either => Side::Either,
    }
}

/// Milliseconds from one moment to another.
pub fn between(from: Utc, to: Utc) -> Millis {
    to - from
}
