//! One flight under one plan, as the page shows it.

mod fixes;
mod happened;
mod material;
mod seen;

use compiler::fit::{Fits, Telling};
use coverage::{Coverage, Pose};
use diagnostic::Diagnostic;
use earth::{Millis, Position, Utc};
use plan::{Approval, Day, Plan};
use terrain::Terrain;
use timeline::Flight;

use crate::columns::Meridian;
use crate::data;
use crate::findings;
use crate::watch::Watch;

/// What a side is made of.
#[derive(Clone, Copy, Debug)]
pub struct Given<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// Its short code.
    pub code: &'a str,
    /// The day.
    pub day: &'a Day,
    /// The day in words; empty where nothing is said for it.
    pub today: &'a str,
    /// The names of the recorded flight's files; none where the planned route is flown.
    pub files: &'a [String],
    /// The flight.
    pub flight: &'a Flight,
    /// How many flights there are in what was given.
    pub flights: usize,
    /// Where the aircraft was, of this flight or of all.
    pub poses: &'a [Pose],
    /// What the cameras saw on the flight.
    pub coverage: &'a Coverage,
    /// The heights of the ground, if there are any.
    pub ground: Option<&'a Terrain>,
    /// What else happened, on this flight or on all.
    pub watch: &'a Watch,
    /// The planned route as it is flown, if it can be.
    pub route: &'a [Position],
    /// The narrations as they are told on these fixes with what room they have; empty where that is
    /// not known.
    pub told: &'a [(Utc, Telling)],
    /// How narrations fit on the planned route, if that is known.
    pub fits: Option<&'a Fits>,
    /// What was found in the tour and in the recording.
    pub findings: &'a [Diagnostic],
    /// What is not in the page and why, in sentences.
    pub notes: &'a [String],
    /// The sound that belongs to it.
    pub sound: Option<SoundOf<'a>>,
}

/// A sound beside a flight.
#[derive(Clone, Copy, Debug)]
pub struct SoundOf<'a> {
    /// Its media type, such as `audio/wav`.
    pub media_type: &'a str,
    /// The file.
    pub bytes: &'a [u8],
    /// The moment at which it begins.
    pub starts: Utc,
}

/// Times as they are written: from the first fix of the flight.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Clock {
    start: Utc,
}

impl Clock {
    pub(crate) fn at(self, time: Utc) -> i64 {
        (time - self.start).0
    }

    pub(crate) fn span(self, span: timeline::Span) -> data::Span {
        data::Span { from: self.at(span.from), to: self.at(span.to) }
    }

    pub(crate) fn spans(self, spans: &[timeline::Span]) -> Vec<data::Span> {
        spans.iter().map(|span| self.span(*span)).collect()
    }
}

/// What all the parts of a side are made with.
#[derive(Clone, Copy)]
pub(crate) struct Making<'a> {
    pub(crate) given: Given<'a>,
    pub(crate) clock: Clock,
    pub(crate) meridian: Meridian,
    pub(crate) poses: &'a [Pose],
}

impl<'a> Given<'a> {
    /// The poses of the flight, on the ground before and after it too.
    pub(crate) fn own_poses(&self) -> &'a [Pose] {
        let mine = (self.flight.run, self.flight.number);
        let from = self.poses.partition_point(|pose| pose.flight < mine);
        let to = self.poses.partition_point(|pose| pose.flight <= mine);
        self.poses.get(from..to).unwrap_or_default()
    }

    /// The places that a map has to show: every fix, or where there is none the planned route.
    pub(crate) fn extent(&self) -> Vec<Position> {
        let flown: Vec<Position> = self.own_poses().iter().map(|pose| pose.position).collect();
        if flown.is_empty() { self.route.to_vec() } else { flown }
    }
}

/// A side, for a page that is drawn about a meridian; `element` is the name of its sound.
pub(crate) fn side(given: Given<'_>, meridian: Meridian, element: &str) -> data::Side {
    let Given { plan, flight, .. } = given;
    let poses = given.own_poses();
    let start = poses.first().map_or(flight.span.from, |pose| pose.time);
    let clock = Clock { start };
    let making = Making { given, clock, meridian, poses };
    let zero = flight.zero.unwrap_or(start);
    data::Side {
        identity: identity(&given),
        start: start.0,
        length: clock.at(flight.span.to).max(0),
        zero: clock.at(zero),
        flew: flight.zero.is_some(),
        utc_offset: plan.route.utc_offset.0,
        notes: making.notes(),
        languages: plan.languages.clone(),
        cameras: making.cameras(),
        places: making.places(),
        zones: making.zones(),
        rules: making.rules(),
        narrations: making.narrations(),
        music: making.music(),
        titles: making.titles(),
        route: meridian.line(given.route.iter().copied()),
        fixes: making.fixes(),
        shots: making.shots(),
        takes: making.takes(),
        tellings: making.tellings(),
        untold: making.untold(),
        fits: making.fits(),
        music_spans: making.music_spans(),
        title_spans: making.title_spans(),
        stills: making.stills(),
        visits: making.visits(),
        landings: making.landings(),
        take_offs: flight.take_offs.iter().map(|time| clock.at(*time)).collect(),
        radio_busy: clock.spans(&flight.radio_busy),
        voice_off: clock.spans(&flight.voice_off),
        lost: clock.spans(&flight.lost),
        hand: making.hand(),
        sights: making.sights(),
        sun_in_lens: making.sun_in_lens(),
        findings: findings::all(&making),
        sound: given.sound.map(|sound| data::Sound {
            element: element.to_owned(),
            starts: clock.at(sound.starts),
        }),
    }
}

fn identity(given: &Given<'_>) -> data::Identity {
    let Given { plan, flight, .. } = given;
    let approved = match &plan.approval {
        Approval::Draft => None,
        Approval::Approved { by, on } => Some(data::Approved { by: by.clone(), on: on.clone() }),
    };
    data::Identity {
        title: plan.title.clone(),
        code: given.code.to_owned(),
        revision: plan.revision,
        approved,
        differences: plan.differences.clone(),
        today: given.today.to_owned(),
        aircraft: plan.aircraft.name.clone(),
        registration: plan.aircraft.registration.clone(),
        files: given.files.to_vec(),
        planned: given.files.is_empty(),
        run: flight.run,
        flight: flight.number,
        flights: given.flights,
    }
}

impl Making<'_> {
    /// What is not in the page and why.
    fn notes(&self) -> Vec<String> {
        let mut notes = self.given.notes.to_vec();
        if self.poses.is_empty() {
            notes.push("There is no fix in this flight, so there is no track to show.".to_owned());
            return notes;
        }
        if self.given.flight.zero.is_none() {
            notes
                .push("This flight never took off; its times count from its first fix.".to_owned());
        }
        let known = self.poses.iter().filter(|pose| pose.heading.is_some()).count();
        if known == 0 {
            notes.push(
                "The heading is not known in this flight, so no camera's frame can be drawn: give \
                 the wind of the day, or a recording with a compass."
                    .to_owned(),
            );
        }
        if self.poses.iter().all(|pose| pose.altitude.is_none()) {
            notes.push("The altitude is not known in this flight.".to_owned());
        }
        if !self.given.coverage.ground_known {
            notes.push(
                "The height of the ground is not known here: no height above it is shown, and no \
                 hill hides a sight."
                    .to_owned(),
            );
        }
        if self.given.coverage.nose_in_doubt > Millis::ZERO {
            notes.push(format!(
                "For {:.0} s it stood over a place without a compass: its nose may have pointed \
                 elsewhere than shown.",
                self.given.coverage.nose_in_doubt.secs()
            ));
        }
        match self.given.coverage.others {
            0 => {}
            1 => notes.push("One more sight of the library is no part of this tour.".to_owned()),
            more => {
                notes.push(format!("{more} more sights of the library are no part of this tour."))
            }
        }
        notes
    }
}

/// Where the aircraft was at a moment: at the last fix by then.
pub(crate) fn pose_at(poses: &[Pose], time: Utc) -> Option<&Pose> {
    let after = poses.partition_point(|pose| pose.time <= time);
    poses.get(after.saturating_sub(1))
}
