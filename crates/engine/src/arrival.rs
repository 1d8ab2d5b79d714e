//! What a good fix brings: motion, ground and flight, crossings, and looks at the rules.

use earth::{Fix, Metres, MetresPerSecond, Surface, Utc};
use plan::Side;

use crate::camera::Pose;
use crate::crossing::{Crossing, Kind};
use crate::engine::Engine;
use crate::leg::{End, Leg, OnLeg};
use crate::output::{Event, Gps, HeadingFrom, Notice, RuleActivity, Sink, State};
use crate::rules::Sight;

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
    /// An instant with a good fix.
    pub(crate) fn arrive(
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
        let leg = arrival.leg.map(|(from, metres)| (from.time, metres));
        let clamped = self.motion.take_up(fix, end, leg, &self.reckoning);
        let speed = self.motion.groundspeed;
        let happened = self.ground.take_up(
            fix.time,
            &end.surface,
            speed,
            end.altitude,
            arrival.gps == Gps::Gap,
        );
        self.unsettled |= happened.first_known;
        if happened.new_flight {
            self.begin_flight();
        }
        if happened.took_off {
            self.unsettled = true;
            self.voice.take_off(&self.plan, self.now, &mut self.out);
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
        self.camera.begin_flight(&mut self.out);
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
                self.voice.rule_began(&self.plan, *rule, self.now, &mut self.out);
                self.stills.rule_began(&self.plan, *rule, self.now, point, inside);
            } else {
                self.stills.rule_ended(*rule);
            }
        }
        while let Some(gate) = self.zones.forget_crossing() {
            self.rules.zone_changed(gate, &self.zones);
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
