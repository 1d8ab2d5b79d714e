//! When the sights are passed.

use earth::{Metres, Surface, Utc};
use engine::{Change, Event, Notice, Sink, State};
use plan::{PlaceId, PlaceKind, Plan};

/// A sight passed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pass {
    /// Which sight.
    pub sight: PlaceId,
    /// At which fix the aircraft was closest.
    pub time: Utc,
    /// How far away it was then.
    pub distance: Metres,
}

/// Notes when each sight is passed: a sink of the engine.
///
/// A sight is passed once for each stay within two nautical miles of it, at the fix that is closest.
#[derive(Debug)]
pub struct Sights {
    sights: Vec<(PlaceId, Surface)>,
    near: Vec<Option<(Utc, Metres)>>,
    passes: Vec<Pass>,
}

/// How near a sight has to be: two nautical miles, as for `before abeam`.
const NEAR: Metres = Metres::from_nautical_miles(2.0);

impl Sights {
    /// Nothing is passed yet.
    #[must_use]
    pub fn new(plan: &Plan) -> Self {
        let sights: Vec<(PlaceId, Surface)> = (0..)
            .zip(&plan.places)
            .filter(|(_, place)| place.kind == PlaceKind::Sight)
            .map(|(index, place)| (PlaceId(index), Surface::from(place.position)))
            .collect();
        Self { near: vec![None; sights.len()], sights, passes: Vec::new() }
    }

    /// What was passed, in the order of time.
    #[must_use]
    pub fn finish(mut self) -> Vec<Pass> {
        self.leave_all();
        self.passes.sort_by_key(|pass| (pass.time, pass.sight));
        self.passes
    }

    fn leave_all(&mut self) {
        for ((sight, _), near) in self.sights.iter().zip(&mut self.near) {
            if let Some((time, distance)) = near.take() {
                self.passes.push(Pass { sight: *sight, time, distance });
            }
        }
    }
}

impl Sink for Sights {
    fn change(&mut self, change: &Change) {
        if matches!(change.event, Event::RunEnded | Event::FlightBegan) {
            self.leave_all();
        }
    }

    fn state(&mut self, state: &State<'_>) {
        if state.airborne != Some(true) {
            return;
        }
        let at = Surface::from(state.position);
        for ((sight, there), near) in self.sights.iter().zip(&mut self.near) {
            let distance = at.distance(there);
            if distance > NEAR {
                if let Some((time, distance)) = near.take() {
                    self.passes.push(Pass { sight: *sight, time, distance });
                }
            } else if near.is_none_or(|(_, least)| distance < least) {
                *near = Some((state.time, distance));
            }
        }
    }

    fn notice(&mut self, _: &Notice) {}
}
