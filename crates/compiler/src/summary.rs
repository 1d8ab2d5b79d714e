//! Counting what a flight did: for a summary, and to compare flights.

use earth::{Millis, Utc};
use engine::{
    Change, Cut, Event, GivenUp, HandOutcome, NarrationEvent, Notice, Obstacle, RuleActivity, Sink,
    State,
};
use plan::{CameraId, Plan, ZoneId};

/// How many flights are told apart; what comes later is counted into the last.
const MOST_FLIGHTS: usize = 1000;
/// How many things of a kind are kept for a flight where each is told: landings, cut narrations,
/// what was filmed inside.
const MOST_TOLD: usize = 20;

/// What one camera did.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct CameraUse {
    /// How often it went live.
    pub shots: u32,
    /// How long it was live.
    pub live: Millis,
    /// How long it was live while recording.
    pub recorded: Millis,
    /// Stills taken by it.
    pub stills: u32,
}

/// What became of one narration.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NarrationUse {
    /// When it first started.
    pub first_started: Option<Utc>,
    /// How often it started.
    pub started: u32,
    /// How often it ended in full.
    pub ended: u32,
    /// How often it had to wait.
    pub waited: u32,
    /// The longest wait that led to a start.
    pub longest_wait: Millis,
    /// What it first waited for.
    pub waited_for: Option<Obstacle>,
    /// Since when it waits now.
    waiting_since: Option<Utc>,
    /// How often it was paused.
    pub paused: u32,
    /// By what it was cut off, and how much had played; the first few.
    pub cut_off: Vec<(Cut, Millis)>,
    /// How often it was cut off.
    pub cut_offs: u32,
    /// How often it was skipped, and what first stood in its way.
    pub skipped: u32,
    /// What first stood in the way when it was skipped.
    pub skipped_for: Option<Obstacle>,
    /// How often it was given up.
    pub given_up: u32,
    /// Why it was first given up.
    pub given_up_for: Option<GivenUp>,
}

/// What was filmed inside a no-filming zone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FilmedInside {
    /// Which zone.
    pub zone: ZoneId,
    /// From when.
    pub from: Utc,
    /// Until when.
    pub to: Utc,
    /// Whether by hand where the route allows it.
    pub by_hand: bool,
}

/// One flight.
#[derive(Clone, Debug, Default)]
pub struct Flight {
    /// Number of the run.
    pub run: u32,
    /// Number in its run.
    pub number: u32,
    /// Its first moment.
    pub first: Utc,
    /// Its last moment.
    pub last: Utc,
    /// From when time is counted: take-off, or the first fix of a run that begins in the air.
    pub zero: Option<Utc>,
    /// Whether a take-off was seen.
    pub took_off: Option<Utc>,
    /// Landings, and whether at home; the first few and the last.
    pub landings: Vec<(Utc, bool)>,
    /// How often it landed.
    pub landings_times: u32,
    /// By camera.
    pub cameras: Vec<CameraUse>,
    /// By narration.
    pub narrations: Vec<NarrationUse>,
    /// When each rule first became active.
    pub fired: Vec<Option<Utc>>,
    /// When each zone was first entered or crossed, and how often.
    pub entered: Vec<(Option<Utc>, u32)>,
    /// Number of takes.
    pub takes: u32,
    /// Time recorded.
    pub recorded: Millis,
    /// How often GPS was lost.
    pub losses: u32,
    /// For how long GPS was lost altogether.
    pub lost_for: Millis,
    /// How often the flight between two fixes is not known.
    pub gaps: u32,
    /// What was filmed inside no-filming zones; the first few.
    pub filmed_inside: Vec<FilmedInside>,
    /// How often that happened.
    pub filmed_inside_times: u32,
    /// Actions by hand.
    pub hand: u32,
    /// Actions by hand that were refused.
    pub refused: u32,
}

impl Flight {
    /// Whether it was in the air at all.
    pub const fn flew(&self) -> bool {
        self.zero.is_some()
    }

    /// Stills of all cameras.
    pub fn stills(&self) -> u32 {
        self.cameras.iter().map(|camera| camera.stills).sum()
    }

    /// Time since take-off of a moment; nothing for a flight that never took off.
    pub fn since(&self, time: Utc) -> Option<Millis> {
        self.zero.map(|zero| time - zero)
    }
}

/// Counts what happens. Bounded by the plan and the number of flights, not by the track.
#[derive(Debug)]
pub struct Summary {
    /// The flights, in order, with the time on the ground after the last one.
    pub flights: Vec<Flight>,
    /// Good fixes.
    pub fixes: u64,
    /// Changes.
    pub changes: u64,
    blank: Flight,
    activities: Vec<RuleActivity>,
    now: Option<Utc>,
    live: Option<CameraId>,
    recording: bool,
    lost_since: Option<Utc>,
}

impl Summary {
    /// Nothing has happened.
    pub fn new(plan: &Plan) -> Self {
        let blank = Flight {
            cameras: vec![CameraUse::default(); plan.aircraft.cameras.len()],
            narrations: vec![NarrationUse::default(); plan.narrations.len()],
            fired: vec![None; plan.rules.len()],
            entered: vec![(None, 0); plan.zones.len()],
            ..Flight::default()
        };
        Self {
            flights: Vec::new(),
            fixes: 0,
            changes: 0,
            blank,
            activities: Vec::new(),
            now: None,
            live: None,
            recording: false,
            lost_since: None,
        }
    }

    /// The flight of that run and number, made if it is new. What has gone on until now is counted
    /// into the flight before.
    fn flight(&mut self, run: u32, number: u32, time: Utc) -> &mut Flight {
        self.advance(time);
        let same = self.flights.last().is_some_and(|last| (last.run, last.number) == (run, number));
        if !same && self.flights.len() < MOST_FLIGHTS {
            self.flights.push(Flight {
                run,
                number,
                first: time,
                last: time,
                ..self.blank.clone()
            });
        }
        // There is one now; the blank is for a list that cannot be empty and the compiler.
        let flight = match self.flights.last_mut() {
            Some(flight) => flight,
            None => &mut self.blank,
        };
        flight.last = flight.last.max(time);
        for activity in self.activities.drain(..) {
            if let Some(first) = flight.fired.get_mut(activity.rule.index()) {
                first.get_or_insert(activity.time);
            }
        }
        flight
    }

    /// Counts the time since the last thing that came.
    fn advance(&mut self, to: Utc) {
        let from = self.now.unwrap_or(to);
        self.now = Some(from.max(to));
        let spent = Millis((to - from).0.max(0));
        let Some(flight) = self.flights.last_mut() else { return };
        if self.recording {
            flight.recorded = flight.recorded + spent;
        }
        if let Some(camera) = self.live.and_then(|live| flight.cameras.get_mut(live.index())) {
            // A camera that stays live when a new flight begins has its first shot there.
            if spent.0 > 0 {
                camera.shots = camera.shots.max(1);
            }
            camera.live = camera.live + spent;
            if self.recording {
                camera.recorded = camera.recorded + spent;
            }
        }
    }

    fn narration(flight: &mut Flight, index: usize, what: NarrationEvent, time: Utc) {
        let Some(narration) = flight.narrations.get_mut(index) else { return };
        match what {
            NarrationEvent::Waits(by) => {
                narration.waited += 1;
                narration.waited_for.get_or_insert(by);
                narration.waiting_since = Some(time);
            }
            NarrationEvent::Started => {
                narration.started += 1;
                narration.first_started.get_or_insert(time);
                if let Some(since) = narration.waiting_since.take() {
                    narration.longest_wait = narration.longest_wait.max(time - since);
                }
            }
            NarrationEvent::Ended => narration.ended += 1,
            NarrationEvent::CutOff { by, played } => {
                narration.cut_offs += 1;
                if narration.cut_off.len() < MOST_TOLD {
                    narration.cut_off.push((by, played));
                }
            }
            NarrationEvent::Skipped(by) => {
                narration.skipped += 1;
                narration.skipped_for.get_or_insert(by);
            }
            NarrationEvent::GivenUp(why) => {
                narration.given_up += 1;
                narration.given_up_for.get_or_insert(why);
                narration.waiting_since = None;
            }
            NarrationEvent::Paused => narration.paused += 1,
            NarrationEvent::WentOn | NarrationEvent::Ducked(_) => {}
        }
    }
}

impl Sink for Summary {
    fn change(&mut self, change: &Change) {
        self.changes += 1;
        let time = change.effect;
        if change.event == Event::RunBegan {
            // Between two runs nothing went on.
            self.now = Some(time);
            self.live = None;
            self.recording = false;
            self.lost_since = None;
        }
        let lost_since = self.lost_since;
        let flight = self.flight(change.run, change.flight, time);
        if let Some(since) = change.since_takeoff {
            flight.zero.get_or_insert(time - since);
        }
        match change.event {
            Event::RunBegan
            | Event::HandCameraEnded
            | Event::FlightBegan
            | Event::Left { .. }
            | Event::Music { .. }
            | Event::MusicDucked { .. }
            | Event::Title { .. } => {}
            Event::RunEnded => {
                if let Some(since) = lost_since {
                    flight.lost_for = flight.lost_for + (time - since);
                }
                self.live = None;
                self.recording = false;
                self.lost_since = None;
            }
            Event::GpsLost => {
                flight.losses += 1;
                self.lost_since = Some(time);
            }
            Event::GpsBack { gap } => {
                flight.gaps += u32::from(gap);
                if let Some(since) = lost_since {
                    flight.lost_for = flight.lost_for + (time - since);
                }
                self.lost_since = None;
            }
            Event::Hand { outcome, .. } => {
                flight.hand += 1;
                let refused = !matches!(outcome, HandOutcome::Done | HandOutcome::NoEffect);
                flight.refused += u32::from(refused);
            }
            Event::TookOff => {
                flight.zero.get_or_insert(time);
                flight.took_off.get_or_insert(time);
            }
            Event::Landed { home } => {
                flight.landings_times += 1;
                if flight.landings.len() >= MOST_TOLD {
                    flight.landings.pop();
                }
                flight.landings.push((time, home));
            }
            Event::Entered { zone, .. } | Event::Crossed { zone, .. } => {
                if let Some((first, times)) = flight.entered.get_mut(zone.index()) {
                    first.get_or_insert(change.own.unwrap_or(time));
                    *times += 1;
                }
            }
            Event::Camera { to, .. } => {
                if let Some(camera) = to.and_then(|to| flight.cameras.get_mut(to.index())) {
                    camera.shots += 1;
                }
                self.live = to;
            }
            Event::RecordOn { .. } => {
                flight.takes += 1;
                self.recording = true;
            }
            Event::RecordOff { .. } => self.recording = false,
            Event::FilmedInside { zone, from, to, by_hand } => {
                flight.filmed_inside_times += 1;
                if flight.filmed_inside.len() < MOST_TOLD {
                    flight.filmed_inside.push(FilmedInside { zone, from, to, by_hand });
                }
            }
            Event::Narration { narration, what } => {
                // What a new flight ends was of the one before.
                let of_the_last = matches!(
                    what,
                    NarrationEvent::CutOff { by: Cut::NewFlight, .. }
                        | NarrationEvent::GivenUp(GivenUp::NewFlight)
                );
                let back = usize::from(of_the_last && self.flights.len() > 1);
                if let Some(flight) = self.flights.iter_mut().rev().nth(back) {
                    Self::narration(flight, narration.index(), what, time);
                }
            }
            Event::Still { camera, .. } => {
                if let Some(camera) = flight.cameras.get_mut(camera.index()) {
                    camera.stills += 1;
                }
            }
        }
    }

    fn state(&mut self, state: &State<'_>) {
        self.fixes += 1;
        let flight = self.flight(state.run, state.flight, state.time);
        if let Some(since) = state.since_takeoff {
            flight.zero.get_or_insert(state.time - since);
        }
    }

    fn notice(&mut self, _notice: &Notice) {}

    fn rule(&mut self, activity: &RuleActivity) {
        if !activity.active {
            return;
        }
        // The changes and the state of the same instant are told after it, and say which flight.
        self.activities.push(*activity);
    }
}
