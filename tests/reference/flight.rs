//! On the ground or airborne, take-offs, landings and flights.

use earth::{Position, Utc};
use engine::{Event, Gps};
use plan::Plan;

use super::fixes::Good;
use super::ground;
use super::motion::Motion;
use super::without::Without;

const KNOT: f64 = 1852.0 / 3600.0;

/// What a good fix says about the flight.
#[derive(Clone, Debug, Default)]
pub struct Aloft {
    pub airborne: Option<bool>,
    /// Number of the flight in the run, from 1.
    pub flight: u32,
    /// The moment from which T+ counts, once it has come.
    pub counts_from: Option<Utc>,
    pub new_flight: bool,
    pub took_off: bool,
    pub landed: bool,
    pub events: Vec<Event>,
}

#[derive(Default)]
struct Story {
    now: Aloft,
    first: Option<Utc>,
    home: Option<(Position, Option<f64>)>,
    last_slow: Option<(Position, Option<f64>)>,
    slow_since: Option<Utc>,
    landed_home: Option<Utc>,
}

pub fn story(
    good: &[Good],
    motions: &[Motion],
    plan: &Plan,
    without: Option<Without>,
) -> Vec<Aloft> {
    let mut story = Story::default();
    good.iter()
        .zip(motions)
        .map(|(fix, motion)| {
            if fix.how == Gps::First {
                story = Story { first: Some(fix.fix.time), ..Story::default() };
                story.now.flight = 1;
            }
            story.step(fix, motion, plan, without);
            story.now.clone()
        })
        .collect()
}

impl Story {
    fn step(&mut self, good: &Good, motion: &Motion, plan: &Plan, without: Option<Without>) {
        let off = |rule: Without| without == Some(rule);
        let at = good.fix.position;
        let time = good.fix.time;
        self.now.events.clear();
        self.now.new_flight = false;
        self.now.took_off = false;
        self.now.landed = false;

        let is_slow = motion.speed.is_some_and(|speed| speed < 8.0 * KNOT);
        if !is_slow || (good.how == Gps::Gap && !off(Without::LandingNoGap)) {
            self.slow_since = None;
        }
        if is_slow && self.slow_since.is_none() {
            self.slow_since = Some(time);
        }

        if let Some(landed) = self.landed_home
            && (time - landed).0 >= plan.settings.turnaround.0
            && !off(Without::NewFlight)
        {
            self.landed_home = None;
            self.now.new_flight = true;
            self.now.flight += 1;
            self.now.counts_from = None;
            self.now.events.push(Event::FlightBegan);
        }

        match self.now.airborne {
            None => {
                let Some(speed) = motion.speed else { return };
                self.now.airborne = Some(speed >= 30.0 * KNOT);
                if self.now.airborne == Some(true) {
                    self.now.counts_from = self.first;
                    self.home = planned_home(plan);
                }
            }
            Some(false) => {
                let climbed = motion.altitude.zip(self.last_slow.and_then(|(_, slow)| slow));
                let is_fast = motion.speed.is_some_and(|speed| speed >= 30.0 * KNOT);
                let is_high = climbed.is_some_and(|(now, slow)| now - slow > 30.0)
                    && !off(Without::TakeOffByHeight);
                if is_fast || is_high {
                    self.now.airborne = Some(true);
                    self.now.took_off = true;
                    self.landed_home = None;
                    self.now.counts_from = self.now.counts_from.or(Some(time));
                    if self.home.is_none() {
                        self.home = self.last_slow.or(Some((at, motion.altitude)));
                    }
                    self.now.events.push(Event::TookOff);
                }
            }
            Some(true) => {
                let long_slow = self.slow_since.is_some_and(|since| {
                    (time - since).0 >= 10_000 || off(Without::LandingTenSeconds)
                });
                let down = |place: Position, elevation: Option<f64>, radius: f64| {
                    let low = motion
                        .altitude
                        .zip(elevation)
                        .is_none_or(|(altitude, ground)| altitude - ground < 30.0);
                    ground::distance(place, at) <= radius && (low || off(Without::LandingHeight))
                };
                let at_home = self.home.is_some_and(|(place, ground)| down(place, ground, 1000.0));
                let at_site = plan.landing_sites.iter().any(|site| {
                    let place = &plan.places[site.place.index()];
                    down(place.position, place.elevation.map(|e| e.get()), site.radius.get())
                }) && !off(Without::LandingSites);
                if long_slow && (at_home || at_site || off(Without::LandingPlace)) {
                    self.now.airborne = Some(false);
                    self.now.landed = true;
                    let home = at_home || off(Without::LandingAway);
                    self.landed_home = home.then_some(time);
                    self.now.events.push(Event::Landed { home: at_home });
                }
            }
        }
        if self.now.airborne == Some(false) && is_slow {
            self.last_slow = Some((at, motion.altitude));
        }
    }
}

fn planned_home(plan: &Plan) -> Option<(Position, Option<f64>)> {
    let place = plan.places.get(plan.route.home.index())?;
    Some((place.position, place.elevation.map(|elevation| elevation.get())))
}
