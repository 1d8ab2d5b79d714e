//! What changes at one instant, gathered and told in the order of the groups.

use earth::{Metres, Position, Utc};
use plan::RuleId;

use crate::leg::OnLeg;
use crate::output::{Event, TakeTime};

/// A change before it is told.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Entry {
    pub(crate) event: Event,
    pub(crate) rule: Option<RuleId>,
    pub(crate) own: Option<Utc>,
    pub(crate) at: Option<(Position, Option<Metres>)>,
    /// Of a take's end, the take and its length.
    pub(crate) take: Option<TakeTime>,
}

impl Entry {
    /// The channel's place in the order of one instant.
    pub(crate) fn group(&self) -> u8 {
        match self.event {
            Event::RunBegan => 0,
            Event::GpsLost | Event::GpsBack { .. } => 1,
            Event::Hand { .. } => 2,
            Event::RunEnded | Event::TookOff | Event::Landed { .. } | Event::FlightBegan => 3,
            Event::Entered { .. } | Event::Left { .. } | Event::Crossed { .. } => 4,
            Event::HandCameraEnded | Event::Camera { .. } => 5,
            Event::RecordOn { .. } | Event::RecordOff { .. } | Event::FilmedInside { .. } => 6,
            Event::Narration { .. } => 7,
            Event::Music { .. } | Event::MusicDucked { .. } => 8,
            Event::Title { .. } => 9,
            Event::Still { .. } => 10,
        }
    }
}

/// Gathers the changes of one instant.
#[derive(Debug, Default)]
pub(crate) struct Outbox {
    pub(crate) entries: Vec<Entry>,
}

impl Outbox {
    pub(crate) fn push(&mut self, event: Event, rule: Option<RuleId>) {
        self.entries.push(Entry { event, rule, own: None, at: None, take: None });
    }

    /// A change with a time and place of its own.
    pub(crate) fn push_at(
        &mut self,
        event: Event,
        rule: Option<RuleId>,
        own: Utc,
        at: Option<OnLeg>,
    ) {
        let at = at.map(|at| (at.surface.position(), at.altitude.map(Metres::of)));
        self.entries.push(Entry { event, rule, own: Some(own), at, take: None });
    }
}
