//! What is wrong with a narration that does not fit, and which change helps most.

use earth::{Metres, Millis};
use plan::Plan;

use super::{Fit, Telling};
use crate::pace::Pace;

/// Whether a voice fits.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// It is told to its end on every flight, with so much time to spare where there is least.
    Fits(Millis),
    /// It is too long where there is least room, by so much.
    TooLong {
        /// There.
        at: Telling,
        /// By how much.
        over: Millis,
        /// Whether it is too long as planned already.
        as_planned: bool,
        /// What helps.
        advice: Advice,
    },
    /// It is not told as planned.
    NotTold,
}

/// What helps a voice that is too long; the first that can be done helps most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Advice {
    /// So much earlier is enough; none where it would begin before the breath after the narration
    /// before it, in a quiet zone or on the ground.
    pub earlier: Option<Earlier>,
    /// So many words, or characters, shorter is enough, wherever it begins.
    pub shorter: u32,
    /// How many it may have where it begins now.
    pub budget: u32,
}

/// A start earlier.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Earlier {
    /// By how much time.
    pub time: Millis,
    /// How far that is at the groundspeed of that flight.
    pub way: Metres,
}

impl Fit {
    /// The verdict on one of a plan's voices, told at some pace.
    #[must_use]
    pub fn verdict(&self, plan: &Plan, voice: usize, pace: Pace) -> Verdict {
        let over = |telling: &Telling| telling.over(telling.length_of(plan, voice));
        let Some(planned) = &self.planned else { return Verdict::NotTold };
        // At the greatest groundspeed where it is too long there, since that is what an author can
        // picture; else on whichever flight it is.
        let greatest = self.greatest.as_ref().filter(|it| over(it) > Millis::ZERO);
        let all = [&self.planned, &self.least, &self.greatest, &self.tightest];
        let tightest = all.into_iter().flatten().max_by_key(|it| over(it));
        let Some(at) = greatest.or(tightest) else { return Verdict::NotTold };
        let by = over(at);
        if by <= Millis::ZERO {
            return Verdict::Fits(Millis::ZERO - by);
        }
        Verdict::TooLong {
            at: at.clone(),
            over: by,
            as_planned: over(planned) > Millis::ZERO,
            advice: advice(at, by, pace),
        }
    }
}

fn advice(at: &Telling, over: Millis, pace: Pace) -> Advice {
    let earlier = (at.free_before >= over)
        .then(|| Earlier { time: over, way: Metres::of(at.groundspeed.get() * over.secs()) });
    Advice { earlier, shorter: pace.that_last(over), budget: pace.told_in(at.room) }
}
