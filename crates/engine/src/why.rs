//! Why a channel is as it is at the engine's present time.

use earth::{DegreesTrue, Metres, MetresPerSecond, Millis, Utc};
use plan::{North, RuleId, ZoneId};

use crate::camera::Holder;
use crate::engine::Engine;
use crate::output::RecordWhy;
use crate::rules::{Sight, Verdict, winner};

/// A channel that can be asked about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Channel {
    /// Which camera is live.
    Camera,
    /// Whether it records.
    Record,
    /// Which narration plays.
    Narration,
    /// Which music plays.
    Music,
    /// Which title shows.
    Title,
    /// Which stills are taken.
    Still,
}

/// The answer to "why".
#[derive(Clone, Debug, PartialEq)]
pub struct Explanation {
    /// The time it is about: the engine's present.
    pub time: Utc,
    /// The channel it is about.
    pub channel: Channel,
    /// What stands above the rules, the highest first.
    pub above: Vec<Above>,
    /// Every rule that says something about the channel, in the order written.
    pub rules: Vec<RuleStanding>,
}

/// What can stand above the rules.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Above {
    /// There is no run: no fix has come, or the last run is over.
    NoRun,
    /// Inside a no-filming zone.
    NoFilming(ZoneId),
    /// The pilot's hand has the channel.
    Hand,
    /// In a quiet zone.
    Quiet(ZoneId),
    /// Radio or intercom is busy.
    Radio,
    /// The voice is off.
    VoiceOff,
    /// GPS is lost since then: no rule starts or ends.
    Lost(Utc),
    /// The shot hold is over: the default sequence runs and no title shows.
    ShotHoldOver,
    /// On the ground, where this rule does not record.
    OnGround,
    /// The minimum shot of the camera that is live is not over.
    MinimumShot,
    /// The breath after a narration is not over.
    Breath,
}

/// What a condition that does not hold found in place of what it asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Actual {
    /// The track or heading, counted clockwise from the north that the condition names; the type
    /// says true, and with [`North::Magnetic`] it is not.
    Direction(DegreesTrue, North),
    /// The altitude above mean sea level.
    Altitude(Metres),
    /// The groundspeed.
    Groundspeed(MetresPerSecond),
    /// Where the sight of a `before abeam` lies on the present track at the present groundspeed.
    Abeam {
        /// The time until it is abeam; negative once it is past.
        ahead: Millis,
        /// How far from the track it lies.
        aside: Metres,
    },
    /// The entries or crossings of the zone so far in this flight.
    Pass(u32),
}

/// A rule and how it stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RuleStanding {
    /// Which rule.
    pub rule: RuleId,
    /// How it stands.
    pub standing: Standing,
}

/// How a rule stands in a channel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Standing {
    /// It is active and won, whatever stands above.
    Won,
    /// It is active and another has won.
    Outranked,
    /// It is active and has no camera to show: none of its cameras may be used today, or none has
    /// its sight in the frame.
    Yields,
    /// It is active (or was) and its narration waits.
    Waits,
    /// It is active and its narration has been played in this flight.
    Played,
    /// It has ended and its post-roll runs.
    PostRoll,
    /// It is not active: the first of its conditions, counted from 0, that does not hold.
    Inactive {
        /// Which condition.
        condition: u32,
        /// Whether it fails or is not known.
        verdict: Verdict,
        /// What it found, where that is known and the condition does not say it itself.
        actual: Option<Actual>,
    },
    /// It is not active although all its conditions hold as things stand: it has not been looked at
    /// since, or it was active only for an instant.
    NotLookedAt,
}

impl Engine {
    /// Why a channel is as it is at the engine's present time, as the last look left things.
    #[must_use]
    pub fn why(&self, channel: Channel) -> Explanation {
        let rules = self.plan.rules.iter().enumerate().filter(|(_, rule)| match channel {
            Channel::Camera => rule.camera.is_some(),
            Channel::Record => rule.record.is_some(),
            Channel::Narration => rule.narration.is_some(),
            Channel::Music => rule.music.is_some(),
            Channel::Title => rule.title.is_some(),
            Channel::Still => !rule.stills.is_empty(),
        });
        let rules = rules.map(|(index, _)| {
            let rule = RuleId(u32::try_from(index).unwrap_or(u32::MAX));
            RuleStanding { rule, standing: self.standing(rule, channel) }
        });
        Explanation { time: self.now, channel, above: self.above(channel), rules: rules.collect() }
    }

    fn standing(&self, rule: RuleId, channel: Channel) -> Standing {
        if channel == Channel::Narration {
            if self.voice.playing().is_some_and(|(_, playing)| playing == rule) {
                return Standing::Won;
            }
            if self.voice.waiting().any(|waiting| waiting == rule) {
                return Standing::Waits;
            }
        }
        if channel == Channel::Record && self.record.why() == RecordWhy::PostRoll(rule) {
            return Standing::PostRoll;
        }
        if !self.rules.is_active(rule) {
            return self.inactive(rule);
        }
        let effects = self.plan.rules.get(rule.index());
        let best = |speaks: fn(&plan::Rule) -> bool| {
            if winner(&self.plan, &self.rules, speaks) == Some(rule) {
                Standing::Won
            } else {
                Standing::Outranked
            }
        };
        match channel {
            Channel::Camera if self.camera.winner() == Some(rule) => Standing::Won,
            Channel::Camera if self.camera.yields(&self.plan, rule) => Standing::Yields,
            Channel::Camera => Standing::Outranked,
            Channel::Record => best(|rule| rule.record.is_some()),
            Channel::Music => best(|rule| rule.music.is_some()),
            Channel::Title => best(|rule| rule.title.is_some()),
            Channel::Still => Standing::Won,
            Channel::Narration => {
                let played = effects
                    .and_then(|rule| rule.narration)
                    .is_some_and(|effect| self.voice.was_played(effect.narration));
                if played { Standing::Played } else { Standing::Outranked }
            }
        }
    }

    fn inactive(&self, rule: RuleId) -> Standing {
        let count = self.plan.rules.get(rule.index()).map_or(0, |rule| rule.conditions.len());
        let Some((fix, end)) = self.last.as_ref() else { return Standing::NotLookedAt };
        let sight = Sight {
            fix,
            surface: &end.surface,
            altitude: end.altitude,
            motion: &self.motion,
            airborne: self.ground.airborne,
        };
        for condition in 0..count {
            let verdict = self.rules.verdict(rule, condition, &self.zones, &sight);
            if verdict != Verdict::Holds {
                let actual = self.rules.actual(rule, condition, &self.zones, &sight);
                let condition = u32::try_from(condition).unwrap_or(u32::MAX);
                return Standing::Inactive { condition, verdict, actual };
            }
        }
        Standing::NotLookedAt
    }

    fn above(&self, channel: Channel) -> Vec<Above> {
        if self.is_over() {
            return vec![Above::NoRun];
        }
        let no_filming = self.zones.no_filming().first().map(|zone| Above::NoFilming(*zone));
        let quiet = self.zones.quiet().first().map(|zone| Above::Quiet(*zone));
        let lost = self.lost_since.map(Above::Lost);
        let hold_over = self.hold_over.then_some(Above::ShotHoldOver);
        let radio = self.voice.radio_busy.then_some(Above::Radio);
        let found = match channel {
            Channel::Camera => [
                (self.camera.holder() == Holder::Hand).then_some(Above::Hand),
                lost,
                hold_over,
                self.camera.next().map(|_| Above::MinimumShot),
            ],
            Channel::Record => [
                no_filming,
                self.record.hand().map(|_| Above::Hand),
                (self.record.why() == RecordWhy::OnGround).then_some(Above::OnGround),
                lost,
            ],
            Channel::Narration => {
                let voice_off = (!self.voice.voice_on).then_some(Above::VoiceOff);
                let breath = self.voice.breathing(self.now).then_some(Above::Breath);
                [voice_off, quiet, radio, lost.or(breath)]
            }
            Channel::Music => [quiet, radio, lost, None],
            Channel::Title => [lost, hold_over, None, None],
            Channel::Still => [no_filming, lost, None, None],
        };
        found.into_iter().flatten().collect()
    }
}
