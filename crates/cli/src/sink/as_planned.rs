//! What was planned and did not happen, and what happened though it was not planned.

use std::collections::BTreeSet;

use earth::Millis;
use plan::{NarrationId, Plan, RuleId, Test, ZoneId};

use compiler::summary::Flight;

/// What two flights differ in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Differences {
    /// Narrations told in one that did not start or were not told to their end in the other, with
    /// the time since take-off there.
    pub(crate) narrations: Vec<(NarrationId, Option<Millis>)>,
    /// Zones entered, or gates crossed, in one and not in the other.
    pub(crate) zones: Vec<(ZoneId, Option<Millis>)>,
    /// Rules that fired in one and not in the other.
    pub(crate) rules: Vec<(RuleId, Option<Millis>)>,
}

impl Differences {
    /// Whether there are none.
    pub(crate) fn is_empty(&self) -> bool {
        self.narrations.is_empty() && self.zones.is_empty() && self.rules.is_empty()
    }

    /// What happened in `one` and did not in `other`.
    pub(crate) fn only_in(plan: &Plan, one: &Flight, other: &Flight) -> Self {
        // One that was told to its end here and cut off there did not happen there.
        let (here, there) = (told(plan, one), told(plan, other));
        let narrations = ids(&here, &there, |one, other| {
            let lacks = other.first_started.is_none() || one.ended && !other.ended;
            one.first_started.filter(|_| lacks)
        });
        let zones = ids(&one.entered, &other.entered, |(first, _), (other, _)| {
            first.filter(|_| other.is_none())
        });
        let rules = ids(&one.fired, &other.fired, |first, other| first.filter(|_| other.is_none()));
        let since = |time| one.since(time);
        Self {
            narrations: narrations.map(|(id, time)| (NarrationId(id), since(time))).collect(),
            zones: zones.map(|(id, time)| (ZoneId(id), since(time))).collect(),
            rules: rules.map(|(id, time)| (RuleId(id), since(time))).collect(),
        }
    }
}

/// What became of a narration, or of its short version.
struct Told {
    first_started: Option<earth::Utc>,
    ended: bool,
}

/// The narrations of a flight. Where the short version was told the narration was.
fn told(plan: &Plan, flight: &Flight) -> Vec<Told> {
    let own = |id: usize| flight.narrations.get(id);
    let versions = |id: usize| {
        let short = plan.narrations.get(id).and_then(|narration| narration.short);
        own(id).into_iter().chain(short.and_then(|short| own(short.index())))
    };
    (0..plan.narrations.len())
        .map(|id| Told {
            first_started: versions(id).filter_map(|used| used.first_started).min(),
            ended: versions(id).any(|used| used.ended > 0),
        })
        .collect()
}

/// The indices of what happened in `one` and is lacking in `other`, with its moment.
fn ids<'a, T>(
    one: &'a [T],
    other: &'a [T],
    lacking: impl Fn(&T, &T) -> Option<earth::Utc> + 'a,
) -> impl Iterator<Item = (u32, earth::Utc)> + 'a {
    (0_u32..)
        .zip(one.iter().zip(other))
        .filter_map(move |(id, (one, other))| Some((id, lacking(one, other)?)))
}

/// What of a plan happened in none of these flights.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Never {
    /// Narrations that never started.
    pub(crate) narrations: Vec<NarrationId>,
    /// Zones never entered, gates never crossed.
    pub(crate) zones: Vec<ZoneId>,
    /// Rules that never fired.
    pub(crate) rules: Vec<RuleId>,
}

impl Never {
    /// What happened in none of them, of what the plan's rules name: libraries bring narrations and
    /// zones for other tours too. Zones that forbid something are left out, as it is well if nobody
    /// comes near them.
    pub(crate) fn of<'a>(plan: &Plan, flights: impl Iterator<Item = &'a Flight>) -> Self {
        let mut narrations = vec![false; plan.narrations.len()];
        let mut zones = vec![false; plan.zones.len()];
        let mut rules = vec![false; plan.rules.len()];
        for flight in flights {
            for (seen, narration) in narrations.iter_mut().zip(told(plan, flight)) {
                *seen |= narration.first_started.is_some();
            }
            for (seen, (_, times)) in zones.iter_mut().zip(&flight.entered) {
                *seen |= *times > 0;
            }
            for (seen, fired) in rules.iter_mut().zip(&flight.fired) {
                *seen |= fired.is_some();
            }
        }
        let named = Named::by_rules(plan);
        Self {
            narrations: unseen(&narrations)
                .map(NarrationId)
                .filter(|id| named.narrations.contains(id))
                .collect(),
            zones: unseen(&zones).map(ZoneId).filter(|id| named.zones.contains(id)).collect(),
            rules: unseen(&rules).map(RuleId).collect(),
        }
    }

    /// Whether everything happened.
    pub(crate) fn is_empty(&self) -> bool {
        self.narrations.is_empty() && self.zones.is_empty() && self.rules.is_empty()
    }
}

fn unseen(seen: &[bool]) -> impl Iterator<Item = u32> {
    (0..).zip(seen).filter(|(_, seen)| !**seen).map(|(index, _)| index)
}

/// What the rules of a plan name.
#[derive(Clone, Debug, Default)]
pub(crate) struct Named {
    /// Narrations that a rule asks for.
    pub(crate) narrations: BTreeSet<NarrationId>,
    /// Zones that a rule waits to be in or to be crossed.
    pub(crate) zones: BTreeSet<ZoneId>,
}

impl Named {
    /// What they name.
    pub(crate) fn by_rules(plan: &Plan) -> Self {
        let mut named = Self::default();
        for rule in &plan.rules {
            named.narrations.extend(rule.narration.map(|effect| effect.narration));
            for condition in &rule.conditions {
                if let Test::In(zone) | Test::Pass { zone, .. } = condition.test {
                    let forbids = plan
                        .zones
                        .get(zone.index())
                        .is_some_and(|zone| zone.quiet || zone.no_filming.is_some());
                    if !forbids {
                        named.zones.insert(zone);
                    }
                }
            }
        }
        named
    }
}
