//! The engine: what happens at one instant, and when the next instant is.

use std::collections::VecDeque;

use earth::{Fix, Metres, MetresPerSecond, Millis, Surface, Utc};
use plan::{Day, Hand, Plan, PlanError, RuleId};

use crate::accept::{Judge, RUN_ENDS_AFTER, Verdict};
use crate::backdrop::Backdrop;
use crate::camera::Camera;
use crate::crossing::Crossing;
use crate::ground::Ground;
use crate::leg::End;
use crate::limits::Limits;
use crate::motion::{Motion, Reckoning};
use crate::outbox::{Entry, Outbox};
use crate::output::{Change, Event, Gps, HandOutcome, Notice, Sink};
use crate::record::{self, Record};
use crate::rules::{Rules, winner};
use crate::still::Stills;
use crate::voice::{self, Voice};
use crate::zones::Zones;

/// Flies one plan: fixes and the pilot's hand in, changes and states out.
///
/// The engine's time is that of the good fixes. Between them it is moved on only by what is due:
/// whether or not anybody asks in between ([`Engine::advance`]) makes no difference.
#[derive(Debug)]
pub struct Engine {
    pub(crate) plan: Plan,
    pub(crate) limits: Limits,
    pub(crate) reckoning: Reckoning,
    pub(crate) judge: Judge,
    pub(crate) motion: Motion,
    pub(crate) ground: Ground,
    pub(crate) zones: Zones,
    pub(crate) rules: Rules,
    pub(crate) camera: Camera,
    pub(crate) record: Record,
    pub(crate) voice: Voice,
    pub(crate) backdrop: Backdrop,
    pub(crate) stills: Stills,
    pub(crate) out: Outbox,
    /// The pilot's hand to come, by time.
    pub(crate) hands: VecDeque<(Utc, Hand)>,
    pub(crate) run: u32,
    pub(crate) run_over: bool,
    pub(crate) first_fix: Utc,
    pub(crate) last: Option<(Fix, End)>,
    pub(crate) last_altitude: Option<(Utc, f64)>,
    /// The instant settled last.
    pub(crate) now: Utc,
    pub(crate) lost_since: Option<Utc>,
    pub(crate) hold_over: bool,
    /// Something has happened since the channels were settled.
    pub(crate) unsettled: bool,
    /// When a channel has something due.
    pub(crate) channel_due: Option<Utc>,
    pub(crate) given: u64,
    pub(crate) said_track_stands_in: bool,
    pub(crate) said_model_clamped: bool,
    pub(crate) crossings: Vec<Crossing>,
    pub(crate) told: Vec<(Crossing, u32)>,
    pub(crate) activities: Vec<(RuleId, bool)>,
}

impl Engine {
    /// An engine for one plan on one day. [`Limits::of`] gives the plan's own limits.
    ///
    /// # Errors
    /// The first thing that makes the plan unsound.
    pub fn new(plan: &Plan, day: &Day, limits: Limits) -> Result<Self, PlanError> {
        plan.check()?;
        Ok(Self {
            reckoning: Reckoning {
                minimum_speed: plan.settings.minimum_speed.get(),
                lost_after: limits.lost_after,
                wind: day.wind.or(plan.wind),
            },
            limits: Limits { bridge: limits.bridge.max(limits.lost_after), ..limits },
            judge: Judge::default(),
            motion: Motion::default(),
            ground: Ground::new(plan),
            zones: Zones::new(plan),
            rules: Rules::new(plan),
            camera: Camera::new(plan, day),
            record: Record::new(plan),
            voice: Voice::new(plan),
            backdrop: Backdrop::default(),
            stills: Stills::default(),
            out: Outbox::default(),
            hands: VecDeque::new(),
            run: 0,
            run_over: true,
            first_fix: Utc(0),
            last: None,
            last_altitude: None,
            now: Utc(i64::MIN),
            lost_since: None,
            hold_over: false,
            unsettled: false,
            channel_due: None,
            given: 0,
            said_track_stands_in: false,
            said_model_clamped: false,
            crossings: Vec::new(),
            told: Vec::new(),
            activities: Vec::new(),
            plan: plan.clone(),
        })
    }

    /// The plan being flown.
    #[must_use]
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// Whether there is no run: no fix has come yet, or the last run is over.
    #[must_use]
    pub fn is_over(&self) -> bool {
        self.run_over
    }

    /// Says what the pilot's hand does at a time. It acts when the engine's time comes there: at
    /// its own time, at the first fix if that is later, right away if that is past. Of several at
    /// one time the first said acts first.
    pub fn hand(&mut self, at: Utc, action: Hand) {
        let place = self.hands.partition_point(|(time, _)| *time <= at);
        self.hands.insert(place, (at, action));
    }

    /// Takes one fix.
    pub fn fix(&mut self, fix: &Fix, sink: &mut impl Sink) {
        self.given = self.given.saturating_add(1);
        let surface = Surface::from(fix.position);
        let last = self.last.as_ref().map(|(_, end)| end);
        let greatest = self.plan.settings.greatest_speed.get();
        let bridge = self.limits.bridge;
        let verdict = self.judge.judge(last, self.run_over, fix.time, &surface, greatest, bridge);
        let before = last.copied();
        match (verdict, before) {
            (Verdict::Rejected(why), _) => {
                sink.notice(&Notice::Rejected { time: fix.time, number: self.given, why });
            }
            (Verdict::First | Verdict::BelievedNewRun, _) => {
                if verdict == Verdict::BelievedNewRun {
                    self.close_run_before(fix.time, sink);
                    sink.notice(&Notice::Believed { time: fix.time, new_run: true });
                }
                self.begin_run(fix.time);
                self.arrive(fix, surface, Gps::First, None, sink);
            }
            (Verdict::Leg(distance), Some(before)) => {
                self.run_until(fix.time, sink);
                let gps = if self.lost_since.is_some() { Gps::Back } else { Gps::Good };
                self.arrive(fix, surface, gps, Some((before, distance)), sink);
            }
            _ => {
                self.run_until(fix.time, sink);
                if verdict == Verdict::BelievedAfterGap {
                    sink.notice(&Notice::Believed { time: fix.time, new_run: false });
                }
                self.arrive(fix, surface, Gps::Gap, None, sink);
            }
        }
    }

    /// Lets the time pass up to a moment, which itself is not settled: a fix stamped with it may
    /// still come. Live, the moment is the last fix's time, plus the time since it came, less the
    /// allowance for a late one.
    pub fn advance(&mut self, to: Utc, sink: &mut impl Sink) {
        self.run_until(to, sink);
    }

    /// The last fix has come: the run ends with it, and what is due later does not happen.
    pub fn finish(&mut self, sink: &mut impl Sink) {
        if !self.run_over {
            self.end_run();
            self.tell(sink);
        }
        while let Some((time, action)) = self.hands.pop_front() {
            sink.notice(&Notice::HandAfterEnd { time, action });
        }
        self.last = None;
    }

    fn begin_run(&mut self, time: Utc) {
        self.run = self.run.saturating_add(1);
        self.run_over = false;
        self.first_fix = time;
        self.now = time;
        self.last = None;
        self.last_altitude = None;
        self.lost_since = None;
        self.hold_over = false;
        self.motion = Motion::default();
        self.ground.begin_run(time);
        self.zones.reset();
        self.rules.begin_flight(&self.zones);
        self.camera.begin_run();
        self.record.begin_run();
        self.voice.begin_run();
        self.backdrop.begin_run();
        self.stills.begin_run();
        self.said_track_stands_in = false;
        self.said_model_clamped = false;
        self.rules.model_clamped.set(false);
        self.unsettled = true;
        self.out.push(Event::RunBegan, None);
    }

    /// Ends the present run before one that begins at a time: what is due until 30 min after the
    /// last good fix happens, unless time has stepped back.
    fn close_run_before(&mut self, time: Utc, sink: &mut impl Sink) {
        let Some((_, end)) = self.last else { return };
        if time > end.time {
            self.run_until(end.time + RUN_ENDS_AFTER + Millis(1), sink);
        }
        if !self.run_over {
            self.end_run();
            self.tell(sink);
        }
    }

    fn end_run(&mut self) {
        self.record.end_run(self.now, &mut self.out);
        self.voice.end_run(&self.plan, self.now, &mut self.out);
        self.backdrop.end_run(&mut self.out);
        self.out.push(Event::RunEnded, None);
        self.run_over = true;
    }

    /// Settles every instant before `time` at which something is due.
    fn run_until(&mut self, time: Utc, sink: &mut impl Sink) {
        while let Some(due) = self.next_due()
            && due < time
        {
            self.between(due.max(self.now), sink);
        }
    }

    fn next_due(&self) -> Option<Utc> {
        if self.run_over {
            return None;
        }
        let last = self.last.as_ref().map(|(_, end)| end.time)?;
        let mut due = last + RUN_ENDS_AFTER;
        match self.lost_since {
            None => due = due.min(last + self.limits.lost_after),
            Some(since) if !self.hold_over => due = due.min(since + self.plan.settings.shot_hold),
            Some(_) => {}
        }
        if let Some(channel) = self.channel_due {
            due = due.min(channel);
        }
        if let Some((hand, _)) = self.hands.front() {
            due = due.min(*hand);
        }
        Some(due)
    }

    /// An instant without a fix.
    fn between(&mut self, now: Utc, sink: &mut impl Sink) {
        self.now = now;
        let Some(last) = self.last.as_ref().map(|(_, end)| end.time) else { return };
        // What is due to end at the instant of the loss has ended; nothing starts at it.
        self.end_due();
        if self.lost_since.is_none() && now >= last + self.limits.lost_after {
            self.lost_since = Some(last + self.limits.lost_after);
            self.out.push(Event::GpsLost, None);
        }
        if self.lost_since.is_some_and(|since| now >= since + self.plan.settings.shot_hold) {
            self.hold_over = true;
            self.camera.end_hold();
        }
        self.stills.end_due(now, self.lost_since.is_some());
        if now >= last + RUN_ENDS_AFTER {
            self.end_run();
        } else {
            self.hands_due();
            self.settle();
        }
        self.tell(sink);
    }

    /// What is due to end at this instant, ends.
    pub(crate) fn end_due(&mut self) {
        self.camera.end_due(self.now, &mut self.out);
        self.record.end_due(self.now, self.lost_since.is_some());
        self.voice.end_due(&self.plan, self.now, &mut self.out);
    }

    pub(crate) fn hands_due(&mut self) {
        while let Some((at, action)) = self.hands.front().copied()
            && at <= self.now
        {
            self.hands.pop_front();
            self.unsettled = true;
            let place = self.out.entries.len();
            let outcome = self.act(action);
            let own = (at != self.now).then_some(at);
            let event = Event::Hand { action, outcome };
            self.out.entries.insert(place, Entry { event, rule: None, own, at: None, take: None });
        }
    }

    fn act(&mut self, action: Hand) -> HandOutcome {
        let (now, out) = (self.now, &mut self.out);
        let effect =
            |changed: bool| if changed { HandOutcome::Done } else { HandOutcome::NoEffect };
        match action {
            Hand::Camera(camera) => self.camera.pick(now, camera, self.plan.settings.manual_camera),
            Hand::Automatic => effect(self.camera.return_to_automatic()),
            Hand::RecordOn => self.record.switch(true, now, &self.zones, out),
            Hand::RecordOff => self.record.switch(false, now, &self.zones, out),
            Hand::Still => match self.zones.no_filming().first() {
                Some(zone) => HandOutcome::NoFilming(*zone),
                None if self.camera.has_no_camera() => HandOutcome::NoEffect,
                None => self.stills.take_by_hand(),
            },
            Hand::VoiceOff => effect(std::mem::replace(&mut self.voice.voice_on, false)),
            Hand::VoiceOn => effect(!std::mem::replace(&mut self.voice.voice_on, true)),
            Hand::Skip => effect(self.voice.skip(&self.plan, now, out)),
            Hand::RadioBusy => effect(!std::mem::replace(&mut self.voice.radio_busy, true)),
            Hand::RadioClear => effect(std::mem::replace(&mut self.voice.radio_busy, false)),
        }
    }

    /// Settles each channel once.
    pub(crate) fn settle(&mut self) {
        let now = self.now;
        let lost = self.lost_since.is_some();
        let minimum = self.plan.settings.minimum_shot;
        let quiet = self.zones.quiet().first().copied();
        let airborne = self.ground.airborne;
        self.camera.settle(now, minimum, lost, self.hold_over, &mut self.out);
        let record = record::Now {
            time: now,
            winner: winner(&self.plan, &self.rules, |rule| rule.record.is_some()),
            airborne,
            lost,
        };
        self.record.settle(&self.plan, &self.zones, &record, &mut self.out);
        let slow = self.plan.settings.minimum_speed.get();
        let groundspeed = self.motion.groundspeed.filter(|speed| *speed >= slow);
        let groundspeed = groundspeed.map(MetresPerSecond::of);
        let voice = voice::Now { time: now, airborne, quiet, lost, groundspeed };
        self.voice.settle(&self.plan, &self.rules, &voice, &mut self.out);
        let busy = self.voice.radio_busy;
        self.backdrop.settle_music(&self.plan, &self.rules, quiet, busy, &mut self.out);
        self.backdrop.settle_title(&self.plan, &self.rules, self.hold_over, &mut self.out);
        self.stills.settle(&self.camera, !self.zones.no_filming().is_empty(), &mut self.out);
        self.unsettled = false;
        let dues = [
            self.camera.due(minimum),
            self.record.due(lost),
            self.voice.due(now),
            self.stills.due(),
        ];
        self.channel_due = dues.into_iter().flatten().min();
    }

    /// Tells the changes of this instant in their order.
    pub(crate) fn tell(&mut self, sink: &mut impl Sink) {
        if self.out.entries.is_empty() {
            return;
        }
        let now = self.now;
        self.out.entries.sort_by_key(|entry| {
            let group = entry.group();
            (group, if group == ZONES { entry.own } else { None })
        });
        let here = self.last.as_ref().map(|(_, end)| (end.position, end.altitude.map(Metres::of)));
        let here = here.unwrap_or((earth::Position::of(0.0, 0.0), None));
        let take = self.record.take(now);
        for entry in self.out.entries.drain(..) {
            let (position, altitude) = entry.at.unwrap_or(here);
            sink.change(&Change {
                effect: now,
                own: entry.own.filter(|own| *own != now),
                run: self.run,
                flight: self.ground.flight,
                since_takeoff: self.ground.took_off.map(|took_off| now - took_off),
                take: entry.take.or(take),
                event: entry.event,
                rule: entry.rule,
                position,
                altitude,
            });
        }
    }
}

/// The group of the zones in the order of one instant.
const ZONES: u8 = 4;
