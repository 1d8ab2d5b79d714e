//! On the ground or airborne, and which flight it is.

use earth::{Metres, MetresPerSecond, Millis, Surface, Utc};
use plan::Plan;

/// At this speed or more the aircraft is airborne.
const FLYING: MetresPerSecond = MetresPerSecond::from_knots(30.0);
/// Below this speed it is slow.
const SLOW: MetresPerSecond = MetresPerSecond::from_knots(8.0);
/// Metres above the last slow fix, or above a landing place, that tell flight from ground.
const HEIGHT: f64 = 30.0;
/// It has landed when it has been slow for so long.
const LANDING: Millis = Millis::from_secs(10);
/// Metres from home within which a landing is a landing at home.
const HOME_RADIUS: f64 = 1000.0;

#[derive(Clone, Copy, Debug)]
struct Site {
    at: Surface,
    elevation: Option<f64>,
    radius: f64,
}

impl Site {
    fn holds(&self, at: &Surface, altitude: Option<f64>) -> bool {
        let low = match (self.elevation, altitude) {
            (Some(elevation), Some(altitude)) => altitude < elevation + HEIGHT,
            _ => true,
        };
        low && self.at.distance(at).get() <= self.radius
    }
}

/// What a fix brought.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Happened {
    /// Whether it is on the ground or airborne is known for the first time.
    pub(crate) first_known: bool,
    /// A new flight begins.
    pub(crate) new_flight: bool,
    /// It took off.
    pub(crate) took_off: bool,
    /// It landed, at home or not.
    pub(crate) landed: Option<bool>,
}

/// Ground, air and flights of a run.
#[derive(Debug)]
pub(crate) struct Ground {
    /// `None` until a speed is known.
    pub(crate) airborne: Option<bool>,
    /// Number of the flight, from 1.
    pub(crate) flight: u32,
    /// When the flight took off; of a run that began in the air, its first fix.
    pub(crate) took_off: Option<Utc>,
    first_fix: Utc,
    home: Option<Site>,
    last_slow: Option<(Surface, Option<f64>)>,
    slow_since: Option<Utc>,
    landed_at_home: Option<Utc>,
    sites: Vec<Site>,
    route_begins: Option<Site>,
    turnaround: Millis,
}

impl Ground {
    pub(crate) fn new(plan: &Plan) -> Self {
        let site = |place: plan::PlaceId, radius: f64| {
            plan.places.get(place.index()).map(|place| Site {
                at: Surface::from(place.position),
                elevation: place.elevation.map(Metres::get),
                radius,
            })
        };
        Self {
            airborne: None,
            flight: 1,
            took_off: None,
            first_fix: Utc(0),
            home: None,
            last_slow: None,
            slow_since: None,
            landed_at_home: None,
            sites: plan
                .landing_sites
                .iter()
                .filter_map(|at| site(at.place, at.radius.get()))
                .collect(),
            route_begins: site(plan.route.home, HOME_RADIUS),
            turnaround: plan.settings.turnaround,
        }
    }

    /// As if just switched on.
    pub(crate) fn begin_run(&mut self, first_fix: Utc) {
        self.airborne = None;
        self.flight = 1;
        self.took_off = None;
        self.first_fix = first_fix;
        self.home = None;
        self.last_slow = None;
        self.slow_since = None;
        self.landed_at_home = None;
    }

    /// Takes up a good fix.
    pub(crate) fn take_up(
        &mut self,
        time: Utc,
        at: &Surface,
        speed: Option<f64>,
        altitude: Option<f64>,
        after_gap: bool,
    ) -> Happened {
        let mut happened = Happened::default();
        if after_gap {
            self.slow_since = None;
        }
        if self.landed_at_home.is_some_and(|landed| time - landed >= self.turnaround) {
            self.landed_at_home = None;
            self.flight = self.flight.saturating_add(1);
            self.took_off = None;
            happened.new_flight = true;
        }
        let slow = speed.is_some_and(|speed| speed < SLOW.get());
        if slow {
            self.slow_since.get_or_insert(time);
        } else {
            self.slow_since = None;
        }
        match self.airborne {
            None => happened.first_known = self.first_speed(speed),
            Some(false) => happened.took_off = self.leaves_the_ground(time, at, speed, altitude),
            Some(true) => happened.landed = self.comes_to_rest(time, at, altitude),
        }
        if slow && self.airborne == Some(false) {
            self.last_slow = Some((*at, altitude));
        }
        happened
    }

    /// Whether a speed is known at last.
    fn first_speed(&mut self, speed: Option<f64>) -> bool {
        let Some(speed) = speed else { return false };
        let airborne = speed >= FLYING.get();
        self.airborne = Some(airborne);
        if airborne {
            self.took_off = Some(self.first_fix);
            self.home = self.route_begins;
        }
        true
    }

    fn leaves_the_ground(
        &mut self,
        time: Utc,
        at: &Surface,
        speed: Option<f64>,
        altitude: Option<f64>,
    ) -> bool {
        let fast = speed.is_some_and(|speed| speed >= FLYING.get());
        let ground = self.last_slow.and_then(|(_, altitude)| altitude);
        let high = matches!((altitude, ground), (Some(now), Some(ground)) if now > ground + HEIGHT);
        if !fast && !high {
            return false;
        }
        self.airborne = Some(true);
        // After a landing on the way the flight goes on, and so does its time.
        self.took_off.get_or_insert(time);
        self.landed_at_home = None;
        if self.home.is_none() {
            // Home is where it last stood or crept; where it never did, the take-off itself.
            let (at, elevation) = self.last_slow.unwrap_or((*at, altitude));
            self.home = Some(Site { at, elevation, radius: HOME_RADIUS });
        }
        true
    }

    /// Whether it lands at this fix, and if so whether at home.
    fn comes_to_rest(&mut self, time: Utc, at: &Surface, altitude: Option<f64>) -> Option<bool> {
        let since = self.slow_since?;
        if time - since < LANDING {
            return None;
        }
        let home = self.home.is_some_and(|home| home.holds(at, altitude));
        if !home && !self.sites.iter().any(|site| site.holds(at, altitude)) {
            return None;
        }
        self.airborne = Some(false);
        self.landed_at_home = home.then_some(time);
        Some(home)
    }
}
