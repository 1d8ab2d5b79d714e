//! The engine: what happens at one instant, and when the next instant is.

use std::collections::VecDeque;

use earth::{Fix, Metres, MetresPerSecond, Millis, Surface, Utc};
use plan::{Day, Hand, Plan, PlanError, RuleId, Side};

use crate::accept::{Judge, RUN_ENDS_AFTER, Verdict};
use crate::backdrop::{Backdrop, winner};
use crate::camera::{Camera, Pose};
use crate::ground::Ground;
use crate::leg::{End, Leg, OnLeg};
use crate::limits::Limits;
use crate::motion::{Motion, Reckoning};
use crate::outbox::{Entry, Outbox};
use crate::output::{
    Change, Event, Gps, HandOutcome, HeadingFrom, Notice, RuleActivity, Sink, State,
};
use crate::record::{self, Record};
use crate::rules::{Rules, Sight};
use crate::still::Stills;
use crate::voice::{self, Voice};
use crate::zones::{Crossing, Kind, Zones};

/// Flies one plan: fixes and the pilot's hand in, changes and states out.
///
/// The engine's time is that of the good fixes. Between them it is moved on only by what is due:
/// whether or not anybody asks in between ([`Engine::advance`]) makes no difference.
#[derive(Debug)]
pub struct Engine {
    pub(crate) plan: Plan,
    pub(crate) limits: Limits,
    pub(crate) reckoning: Reckoning,
    judge: Judge,
    pub(crate) motion: Motion,
    pub(crate) ground: Ground,
    pub(crate) zones: Zones,
    pub(crate) rules: Rules,
    pub(crate) camera: Camera,
    pub(crate) record: Record,
    pub(crate) voice: Voice,
    pub(crate) backdrop: Backdrop,
    stills: Stills,
    out: Outbox,
    /// The pilot's hand to come, by time.
    hands: VecDeque<(Utc, Hand)>,
    run: u32,
    run_over: bool,
    first_fix: Utc,
    pub(crate) last: Option<(Fix, End)>,
    last_altitude: Option<(Utc, f64)>,
    /// The instant settled last.
    pub(crate) now: Utc,
    pub(crate) lost_since: Option<Utc>,
    pub(crate) hold_over: bool,
    /// Something has happened since the channels were settled.
    unsettled: bool,
    /// When a channel has something due.
    channel_due: Option<Utc>,
    given: u64,
    said_track_stands_in: bool,
    said_model_clamped: bool,
    crossings: Vec<Crossing>,
    told: Vec<(Crossing, u32)>,
    activities: Vec<(RuleId, bool)>,
}

/// A good fix that has just come.
#[derive(Clone, Copy, Debug)]
struct Arrival {
    fix: Fix,
    end: End,
    gps: Gps,
    /// Metres flown since the last good fix, where a leg leads here.
    leg: Option<(End, f64)>,
}

impl Arrival {
    /// Whether nothing before this fix counts: the first of a run, or the first after a gap.
    fn afresh(&self) -> bool {
        self.leg.is_none()
    }
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
        self.end_due();
        if self.lost_since.is_none() && now >= last + self.limits.lost_after {
            self.lost_since = Some(last + self.limits.lost_after);
            self.out.push(Event::GpsLost, None);
        }
        if self.lost_since.is_some_and(|since| now >= since + self.plan.settings.shot_hold) {
            self.hold_over = true;
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
    fn end_due(&mut self) {
        self.camera.end_due(self.now, &mut self.out);
        self.record.end_due(self.now, self.lost_since.is_some());
        self.voice.end_due(&self.plan, self.now, &mut self.out);
    }

    fn hands_due(&mut self) {
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
                None => self.stills.take_by_hand(),
            },
            Hand::VoiceOff => effect(std::mem::replace(&mut self.voice.voice_on, false)),
            Hand::VoiceOn => effect(!std::mem::replace(&mut self.voice.voice_on, true)),
            Hand::Skip => effect(self.voice.skip(&self.plan, now, out)),
            Hand::RadioBusy => effect(!std::mem::replace(&mut self.voice.radio_busy, true)),
            Hand::RadioClear => effect(std::mem::replace(&mut self.voice.radio_busy, false)),
        }
    }

    /// An instant with a good fix.
    fn arrive(
        &mut self,
        fix: &Fix,
        surface: Surface,
        gps: Gps,
        leg: Option<(End, f64)>,
        sink: &mut impl Sink,
    ) {
        self.now = self.now.max(fix.time);
        if let Some(altitude) = fix.altitude {
            self.last_altitude = Some((fix.time, altitude.get()));
        }
        let altitude = self
            .last_altitude
            .filter(|(since, _)| fix.time - *since <= self.limits.lost_after)
            .map(|(_, altitude)| altitude);
        let end = End { time: fix.time, position: fix.position, surface, altitude };
        let arrival = Arrival { fix: *fix, end, gps, leg };
        if self.lost_since.take().is_some() {
            self.hold_over = false;
            self.unsettled = true;
            self.out.push(Event::GpsBack { gap: arrival.afresh() }, None);
        }
        if self.channel_due.is_some_and(|due| due <= self.now) {
            self.unsettled = true;
            self.end_due();
            self.stills.end_due(self.now, false);
        }
        self.last = Some((*fix, end));
        self.hands_due();
        self.take_up(&arrival, sink);
        if self.unsettled || self.camera.looks_at_a_sight() {
            let heading = self.motion.heading.map(|(heading, _)| heading);
            let pose = Pose { surface: &surface, altitude, heading };
            self.camera.judge(&self.plan, &self.rules, &pose);
            self.settle();
        }
        self.tell(sink);
        self.tell_state(&arrival, sink);
    }

    /// The fix with its motion, crossings and rules.
    fn take_up(&mut self, arrival: &Arrival, sink: &mut impl Sink) {
        let Arrival { fix, end, .. } = arrival;
        let clamped = self.motion.take_up(fix, end, arrival.afresh(), &self.reckoning);
        let speed = self.motion.groundspeed;
        let happened = self.ground.take_up(
            fix.time,
            &end.surface,
            speed,
            end.altitude,
            arrival.gps == Gps::Gap,
        );
        if happened.new_flight {
            self.begin_flight();
        }
        if happened.took_off {
            self.unsettled = true;
            self.voice.take_off();
            self.out.push(Event::TookOff, None);
        }
        if let Some(home) = happened.landed {
            self.unsettled = true;
            self.record.land();
            if self.camera.return_to_automatic() {
                self.out.push(Event::HandCameraEnded, None);
            }
            self.out.push(Event::Landed { home }, None);
        }
        match arrival.leg {
            Some((from, distance)) if !happened.new_flight => {
                self.fly(&Leg::new(from, *end, distance), arrival, sink);
            }
            _ => self.be_there(arrival, happened.new_flight, sink),
        }
        self.record.report_entered(self.now, &mut self.out);
        self.say_once(clamped, fix.time, sink);
    }

    fn begin_flight(&mut self) {
        self.unsettled = true;
        self.record.begin_flight(self.now, &mut self.out);
        self.voice.begin_flight(&self.plan, self.now, &mut self.out);
        self.camera.begin_flight();
        self.stills.begin_flight();
        self.zones.begin_flight();
        self.rules.begin_flight(&self.zones);
        self.out.push(Event::FlightBegan, None);
    }

    /// Flies the leg to this fix: its crossings in their order, a look after each, and a last look
    /// at the fix itself.
    fn fly(&mut self, leg: &Leg, arrival: &Arrival, sink: &mut impl Sink) {
        self.zones.scan(leg);
        let mut flown_to = leg.from.time;
        if !self.zones.crossings().is_empty() {
            self.crossings.clear();
            self.crossings.extend_from_slice(self.zones.crossings());
            let mut first = 0;
            while let Some(start) = self.crossings.get(first).copied() {
                let leaving = start.kind == Kind::Left;
                let same = |next: &&Crossing| {
                    next.time == start.time && (next.kind == Kind::Left) == leaving
                };
                let count = self.crossings.iter().skip(first).take_while(same).count();
                self.fly_on(leg, flown_to, start.time);
                flown_to = start.time;
                self.cross(first, count);
                self.look(arrival, (start.time, start.at), sink);
                first += count;
            }
        }
        self.fly_on(leg, flown_to, leg.to.time);
        self.look_at_the_fix(arrival, sink);
    }

    /// Past the places of stills at their closest point.
    fn fly_on(&mut self, leg: &Leg, from: Utc, to: Utc) {
        if self.stills.approaching() && from < to {
            let inside = !self.zones.no_filming().is_empty();
            self.stills.fly(leg, from, to, inside);
        }
    }

    /// No leg leads to this fix: the zones are compared with it, all in one look.
    fn be_there(&mut self, arrival: &Arrival, new_flight: bool, sink: &mut impl Sink) {
        self.zones.compare(&arrival.end, new_flight);
        self.crossings.clear();
        self.crossings.extend_from_slice(self.zones.crossings());
        self.cross(0, self.crossings.len());
        if new_flight {
            self.told.clear();
            let told = &mut self.told;
            self.zones
                .reenter_combined(&arrival.end, |crossing, pass| told.push((*crossing, pass)));
            self.tell_crossings();
        }
        self.look_at_the_fix(arrival, sink);
    }

    fn look_at_the_fix(&mut self, arrival: &Arrival, sink: &mut impl Sink) {
        let end = &arrival.end;
        let at = OnLeg { surface: end.surface, altitude: end.altitude };
        self.look(arrival, (end.time, at), sink);
        if self.stills.approaching() {
            self.stills.arrive(end, !self.zones.no_filming().is_empty());
        }
        self.unsettled |= self.stills.has_wanted();
    }

    /// Takes up so many crossings of one instant.
    fn cross(&mut self, first: usize, count: usize) {
        let group = self.crossings.get(first..first + count).unwrap_or_default();
        if group.is_empty() {
            return;
        }
        self.told.clear();
        let told = &mut self.told;
        self.zones.apply(group, |crossing, pass| told.push((*crossing, pass)));
        self.tell_crossings();
    }

    fn tell_crossings(&mut self) {
        self.unsettled = true;
        for (crossing, pass) in &self.told {
            let (zone, pass) = (crossing.zone, *pass);
            let event = match crossing.kind {
                Kind::Entered => Event::Entered { zone, pass },
                Kind::Left => Event::Left { zone },
                Kind::Crossed { from_left } => Event::Crossed {
                    zone,
                    from: if from_left { Side::Left } else { Side::Right },
                    pass,
                },
            };
            self.out.push_at(event, None, crossing.time, Some(crossing.at));
            self.rules.zone_changed(zone, &self.zones);
            self.record.zone_crossed(crossing, self.now, &self.zones, &mut self.out);
        }
    }

    /// Looks at the rules. What becomes active does so at this point of the leg.
    fn look(&mut self, arrival: &Arrival, point: (Utc, OnLeg), sink: &mut impl Sink) {
        let sight = Sight {
            fix: &arrival.fix,
            surface: &arrival.end.surface,
            altitude: arrival.end.altitude,
            motion: &self.motion,
            airborne: self.ground.airborne,
        };
        self.activities.clear();
        let activities = &mut self.activities;
        self.rules.look(&self.zones, &sight, |rule, active| activities.push((rule, active)));
        for (rule, active) in &self.activities {
            self.unsettled = true;
            sink.rule(&RuleActivity { time: self.now, rule: *rule, active: *active });
            if *active {
                let inside = !self.zones.no_filming().is_empty();
                self.voice.rule_began(&self.plan, *rule, self.now);
                self.stills.rule_began(&self.plan, *rule, self.now, point, inside);
            } else {
                self.stills.rule_ended(*rule);
            }
        }
        while let Some(gate) = self.zones.forget_crossing() {
            self.rules.zone_changed(gate, &self.zones);
        }
    }

    /// Settles each channel once.
    fn settle(&mut self) {
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
        let voice = voice::Now { time: now, airborne, quiet, lost };
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
    fn tell(&mut self, sink: &mut impl Sink) {
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

    fn tell_state(&mut self, arrival: &Arrival, sink: &mut impl Sink) {
        let time = arrival.fix.time;
        sink.state(&State {
            time,
            run: self.run,
            flight: self.ground.flight,
            since_first: time - self.first_fix,
            since_takeoff: self.ground.took_off.map(|took_off| time - took_off),
            position: arrival.fix.position,
            altitude: arrival.end.altitude.map(Metres::of),
            groundspeed: self.motion.groundspeed.map(MetresPerSecond::of),
            track: self.motion.track,
            heading: self.motion.heading,
            airborne: self.ground.airborne,
            zones: self.zones.within(),
            camera: self.camera.live(),
            camera_why: self.camera.why(),
            camera_next: self.camera.next(),
            narration: self.voice.state(self.now),
            music: self.backdrop.music,
            music_ducked: self.backdrop.ducked,
            title: self.backdrop.title,
            take: self.record.take(self.now),
            stills: self.stills.taken(),
            gps: arrival.gps,
            voice_on: self.voice.voice_on,
            radio_busy: self.voice.radio_busy,
        });
        self.stills.forget_taken();
    }

    /// What is said once a run.
    fn say_once(&mut self, clamped: bool, time: Utc, sink: &mut impl Sink) {
        let stands_in = matches!(self.motion.heading, Some((_, HeadingFrom::Track)));
        if stands_in && !self.said_track_stands_in {
            self.said_track_stands_in = true;
            sink.notice(&Notice::TrackStandsIn { time });
        }
        if (clamped || self.rules.model_clamped.get()) && !self.said_model_clamped {
            self.said_model_clamped = true;
            sink.notice(&Notice::MagneticModelDate { time });
        }
    }
}

/// The group of the zones in the order of one instant.
const ZONES: u8 = 4;
