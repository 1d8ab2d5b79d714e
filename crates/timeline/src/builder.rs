//! From changes to spans.

use earth::{Millis, Utc};
use engine::{
    CameraWhy, Change, Cut, Event, GivenUp, HandOutcome, MusicWhy, NarrationEvent, Notice,
    RecordWhy, Sink, State,
};
use plan::{CameraId, Hand, NarrationId, Plan, RuleId};

use crate::Timeline;
use crate::flight::{
    Ending, Flight, Landing, MusicSpan, Shot, Span, Still, Stretch, Take, Telling, TitleSpan,
    Untold, Visit, Waited,
};

/// Makes a timeline of what the engine tells. Bounded by what changes, not by the track.
#[derive(Debug)]
pub struct Builder {
    quiet: Vec<bool>,
    no_filming: Vec<bool>,
    flights: Vec<Flight>,
    now: Utc,
    on: GoingOn,
}

/// What is going on and not yet a whole span.
#[derive(Debug, Default)]
struct GoingOn {
    shot: Option<Shot>,
    /// With the place of its flight, which may be over when the take's end is told.
    take: Option<(usize, Take)>,
    telling: Option<(usize, Telling, Playing)>,
    waiting: Vec<(NarrationId, Option<RuleId>, Waited)>,
    music: Option<MusicSpan>,
    music_ducked: Option<Utc>,
    title: Option<TitleSpan>,
    radio_busy: Option<Utc>,
    voice_off: Option<Utc>,
    lost: Option<Utc>,
    visits: Vec<Visit>,
}

/// How the narration that is on plays now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Playing {
    Full,
    Ducked,
    Paused,
}

impl Builder {
    /// Nothing has happened yet.
    #[must_use]
    pub fn new(plan: &Plan) -> Self {
        Self {
            quiet: plan.zones.iter().map(|zone| zone.quiet).collect(),
            no_filming: plan.zones.iter().map(|zone| zone.no_filming.is_some()).collect(),
            flights: Vec::new(),
            now: Utc(0),
            on: GoingOn::default(),
        }
    }

    /// The timeline. What is still going on ends with the last that was told.
    #[must_use]
    pub fn finish(mut self) -> Timeline {
        self.end_run();
        self.end_what_the_run_cuts();
        Timeline { flights: self.flights }
    }

    /// Takes up the next change, as the engine told it.
    pub fn take_up(&mut self, change: &Change) {
        self.come_to(change.run, change.flight, change.effect);
        let now = self.now;
        let Some(flight) = self.flights.last_mut() else { return };
        if let Some(since) = change.since_takeoff {
            flight.zero.get_or_insert(now - since);
        }
        match change.event {
            Event::RunBegan
            | Event::HandCameraEnded
            | Event::FlightBegan
            | Event::FilmedInside { .. } => {}
            Event::RunEnded => self.end_run(),
            Event::GpsLost => self.on.lost = Some(now),
            Event::GpsBack { .. } => close(&mut flight.lost, self.on.lost.take(), now),
            Event::Hand { action, outcome } => self.hand(action, outcome),
            Event::TookOff => flight.take_offs.push(now),
            Event::Landed { home } => flight.landings.push(Landing { time: now, home }),
            Event::Entered { zone, pass } => {
                let entered = change.own.unwrap_or(now);
                let span = Span { from: now, to: now };
                self.on.visits.push(Visit { zone, pass, span, entered, left: None });
            }
            Event::Left { zone } => {
                if let Some(place) = self.on.visits.iter().position(|visit| visit.zone == zone) {
                    let visit = self.on.visits.remove(place);
                    self.end_visit(visit, Some(change.own.unwrap_or(now)));
                }
            }
            Event::Crossed { zone, pass, .. } => {
                let entered = change.own.unwrap_or(now);
                let span = Span { from: now, to: now };
                flight.visits.push(Visit { zone, pass, span, entered, left: Some(entered) });
            }
            Event::Camera { to, why, .. } => self.camera(to, why, change.rule),
            Event::RecordOn { why } => self.record_on(change, why),
            Event::RecordOff { why } => self.record_off(why),
            Event::Narration { narration, what } => self.narration(narration, change.rule, what),
            Event::Music { to, why, .. } => self.music(to, why, change.rule),
            Event::MusicDucked { ducked, .. } => self.duck_music(ducked),
            Event::Title { to, .. } => {
                self.end_title();
                let span = Span { from: now, to: now };
                let rule = change.rule;
                self.on.title = to.map(|title| TitleSpan { title, span, began: now, rule });
            }
            Event::Still { camera, why } => flight.stills.push(Still {
                camera,
                time: change.own.unwrap_or(now),
                told: now,
                position: change.position,
                altitude: change.altitude,
                why,
                rule: change.rule,
            }),
        }
    }

    /// Comes to a moment of a flight, which may be a new one.
    fn come_to(&mut self, run: u32, number: u32, time: Utc) {
        let before = self.flights.last().map(|flight| (flight.run, flight.number));
        if before != Some((run, number)) {
            if before.is_some_and(|(before, _)| before == run) {
                self.now = time;
                self.begin_flight();
            } else {
                // The run before has ended; where that was not told, it ended with its last change.
                self.end_run();
                self.end_what_the_run_cuts();
                self.on = GoingOn::default();
            }
            let span = Span { from: time, to: time };
            self.flights.push(Flight { run, number, span, ..Flight::default() });
        }
        self.now = time;
        if let Some(flight) = self.flights.last_mut() {
            flight.span.to = time;
        }
    }

    /// What goes on when a new flight begins ends with the one before; the same goes on in the new
    /// one. What the new flight cuts off is still to be told.
    fn begin_flight(&mut self) {
        let now = self.now;
        let span = Span { from: now, to: now };
        let on = &self.on;
        let shot = on.shot.map(|shot| Shot { span, ..shot });
        let title = on.title.map(|title| TitleSpan { span, ..title });
        let music = on.music.clone().map(|music| MusicSpan { span, ducked: Vec::new(), ..music });
        let goes_on = |since: Option<Utc>| since.map(|_| now);
        let music_ducked = goes_on(on.music_ducked);
        let (radio_busy, voice_off, lost) =
            (goes_on(on.radio_busy), goes_on(on.voice_off), goes_on(on.lost));
        if let Some(flight) = self.flights.last_mut() {
            flight.span.to = now;
        }
        self.end_run();
        self.end_music(None, None);
        let GoingOn { take, telling, waiting, .. } = std::mem::take(&mut self.on);
        self.on = GoingOn {
            shot,
            take,
            telling,
            waiting,
            music,
            music_ducked,
            title,
            radio_busy,
            voice_off,
            lost,
            visits: Vec::new(),
        };
    }

    /// Ends what nothing tells the end of.
    fn end_run(&mut self) {
        let now = self.now;
        self.end_shot();
        self.end_title();
        for visit in std::mem::take(&mut self.on.visits) {
            self.end_visit(visit, None);
        }
        let Some(flight) = self.flights.last_mut() else { return };
        close(&mut flight.radio_busy, self.on.radio_busy.take(), now);
        close(&mut flight.voice_off, self.on.voice_off.take(), now);
        close(&mut flight.lost, self.on.lost.take(), now);
    }

    /// Ends what the end of a run cuts off, where that was not told.
    fn end_what_the_run_cuts(&mut self) {
        self.record_off(RecordWhy::RunEnded);
        self.end_telling(Ending::CutOff(Cut::RunEnded));
        self.end_music(Some(MusicWhy::RunEnded), None);
    }

    fn hand(&mut self, action: Hand, outcome: HandOutcome) {
        if outcome != HandOutcome::Done {
            return;
        }
        let now = self.now;
        let Some(flight) = self.flights.last_mut() else { return };
        match action {
            Hand::RadioBusy => self.on.radio_busy = Some(now),
            Hand::RadioClear => close(&mut flight.radio_busy, self.on.radio_busy.take(), now),
            Hand::VoiceOff => self.on.voice_off = Some(now),
            Hand::VoiceOn => close(&mut flight.voice_off, self.on.voice_off.take(), now),
            _ => {}
        }
    }

    fn camera(&mut self, to: Option<CameraId>, why: CameraWhy, rule: Option<RuleId>) {
        self.end_shot();
        let span = Span { from: self.now, to: self.now };
        self.on.shot = to.map(|camera| Shot { camera, span, began: self.now, why, rule });
    }

    fn end_shot(&mut self) {
        let Some(mut shot) = self.on.shot.take() else { return };
        shot.span.to = self.now;
        if let Some(flight) = self.flights.last_mut().filter(|_| shot.span.length() > Millis::ZERO)
        {
            flight.shots.push(shot);
        }
    }

    fn record_on(&mut self, change: &Change, why: RecordWhy) {
        self.record_off(RecordWhy::RunEnded);
        let Some(flight) = self.flights.len().checked_sub(1) else { return };
        let number = change.take.map_or(1, |take| take.take);
        let span = Span { from: self.now, to: self.now };
        let take = Take { number, span, why, rule: change.rule, ended: RecordWhy::RunEnded };
        self.on.take = Some((flight, take));
    }

    fn record_off(&mut self, ended: RecordWhy) {
        let Some((flight, mut take)) = self.on.take.take() else { return };
        take.span.to = self.now;
        take.ended = ended;
        if let Some(flight) = self.flights.get_mut(flight) {
            flight.takes.push(take);
        }
    }

    fn narration(&mut self, narration: NarrationId, rule: Option<RuleId>, what: NarrationEvent) {
        let now = self.now;
        match what {
            NarrationEvent::Waits(obstacle) => {
                self.on.waiting.push((narration, rule, Waited { since: now, obstacle }));
            }
            NarrationEvent::Started => {
                self.end_telling(Ending::CutOff(Cut::RunEnded));
                let Some(flight) = self.flights.len().checked_sub(1) else { return };
                let telling = Telling {
                    narration,
                    rule,
                    waited: self.end_wait(narration, rule),
                    span: Span { from: now, to: now },
                    stretches: vec![Stretch {
                        span: Span { from: now, to: now },
                        into: Millis::ZERO,
                        ducked: false,
                    }],
                    ending: Ending::Told,
                };
                self.on.telling = Some((flight, telling, Playing::Full));
            }
            NarrationEvent::Ended => self.end_telling(Ending::Told),
            NarrationEvent::CutOff { by, .. } => self.end_telling(Ending::CutOff(by)),
            NarrationEvent::Paused => self.play(Playing::Paused),
            NarrationEvent::WentOn | NarrationEvent::Ducked(false) => self.play(Playing::Full),
            NarrationEvent::Ducked(true) => self.play(Playing::Ducked),
            NarrationEvent::Skipped(obstacle) => {
                let untold = Untold::Skipped { narration, rule, time: now, obstacle };
                if let Some(flight) = self.flights.last_mut() {
                    flight.untold.push(untold);
                }
            }
            NarrationEvent::GivenUp(why) => {
                let waited = self.end_wait(narration, rule);
                let untold = Untold::GivenUp { narration, rule, time: now, waited, why };
                // What a new flight ends was of the one before.
                let back = usize::from(why == GivenUp::NewFlight && self.flights.len() > 1);
                if let Some(flight) = self.flights.iter_mut().rev().nth(back) {
                    flight.untold.push(untold);
                }
            }
        }
    }

    fn end_wait(&mut self, narration: NarrationId, rule: Option<RuleId>) -> Option<Waited> {
        let same = |(waiting, by, _): &(NarrationId, Option<RuleId>, Waited)| {
            *waiting == narration && *by == rule
        };
        let place = self.on.waiting.iter().position(same)?;
        Some(self.on.waiting.remove(place).2)
    }

    /// The narration that is on plays in another way from now on.
    fn play(&mut self, how: Playing) {
        let now = self.now;
        let Some((_, telling, before)) = &mut self.on.telling else { return };
        end_stretch(telling, *before, now);
        if how != Playing::Paused {
            let into = telling.played();
            let span = Span { from: now, to: now };
            let ducked = how == Playing::Ducked;
            telling.stretches.push(Stretch { span, into, ducked });
        }
        *before = how;
    }

    fn end_telling(&mut self, ending: Ending) {
        let Some((flight, mut telling, playing)) = self.on.telling.take() else { return };
        end_stretch(&mut telling, playing, self.now);
        telling.span.to = self.now;
        telling.ending = ending;
        if let Some(flight) = self.flights.get_mut(flight) {
            flight.narrations.push(telling);
        }
    }

    fn music(&mut self, to: Option<plan::MusicId>, why: MusicWhy, rule: Option<RuleId>) {
        self.end_music(Some(why), to);
        let now = self.now;
        let span = Span { from: now, to: now };
        self.on.music = to.map(|music| MusicSpan {
            music,
            span,
            began: now,
            rule,
            ducked: Vec::new(),
            ended: None,
            followed_by: None,
        });
    }

    fn duck_music(&mut self, ducked: bool) {
        if ducked {
            self.on.music_ducked = Some(self.now);
        } else if let Some(music) = &mut self.on.music {
            close(&mut music.ducked, self.on.music_ducked.take(), self.now);
        }
    }

    fn end_music(&mut self, ended: Option<MusicWhy>, followed_by: Option<plan::MusicId>) {
        let ducked = self.on.music_ducked.take();
        let Some(mut music) = self.on.music.take() else { return };
        close(&mut music.ducked, ducked, self.now);
        music.span.to = self.now;
        music.ended = ended;
        music.followed_by = followed_by;
        if music.span.length() > Millis::ZERO {
            if let Some(flight) = self.flights.last_mut() {
                flight.music.push(music);
            }
            return;
        }
        // It was thought to go on into the flight that begins at this instant, and does not.
        let before = self.flights.iter_mut().rev().nth(1).and_then(|it| it.music.last_mut());
        if let Some(before) = before.filter(|it| it.span.to == self.now && it.ended.is_none()) {
            before.ended = music.ended;
            before.followed_by = followed_by;
        }
    }

    fn end_title(&mut self) {
        let Some(mut title) = self.on.title.take() else { return };
        title.span.to = self.now;
        if let Some(flight) = self.flights.last_mut().filter(|_| title.span.length() > Millis::ZERO)
        {
            flight.titles.push(title);
        }
    }

    fn end_visit(&mut self, mut visit: Visit, left: Option<Utc>) {
        visit.span.to = self.now;
        visit.left = left;
        let is = |list: &[bool]| list.get(visit.zone.index()).copied().unwrap_or(false);
        let (quiet, no_filming) = (is(&self.quiet), is(&self.no_filming));
        let Some(flight) = self.flights.last_mut() else { return };
        insert(&mut flight.visits, visit);
        if visit.span.length() > Millis::ZERO {
            if quiet {
                insert(&mut flight.quiet, visit);
            }
            if no_filming {
                insert(&mut flight.no_filming, visit);
            }
        }
    }
}

/// Keeps visits in the order of entry; those that were entered at one time, in the order told.
fn insert(visits: &mut Vec<Visit>, visit: Visit) {
    let place = visits.partition_point(|other| {
        (other.span.from, other.entered) <= (visit.span.from, visit.entered)
    });
    visits.insert(place, visit);
}

fn end_stretch(telling: &mut Telling, playing: Playing, now: Utc) {
    if playing == Playing::Paused {
        return;
    }
    if let Some(last) = telling.stretches.last_mut() {
        last.span.to = now;
    }
    telling.stretches.retain(|stretch| stretch.span.length() > Millis::ZERO);
}

fn close(spans: &mut Vec<Span>, from: Option<Utc>, to: Utc) {
    if let Some(from) = from.filter(|from| *from < to) {
        spans.push(Span { from, to });
    }
}

impl Sink for Builder {
    fn change(&mut self, change: &Change) {
        self.take_up(change);
    }

    fn state(&mut self, state: &State<'_>) {
        self.come_to(state.run, state.flight, state.time);
        if let (Some(since), Some(flight)) = (state.since_takeoff, self.flights.last_mut()) {
            flight.zero.get_or_insert(state.time - since);
        }
    }

    fn notice(&mut self, _: &Notice) {}
}
