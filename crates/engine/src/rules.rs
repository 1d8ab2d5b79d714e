//! Which rules are active.
//!
//! Only rules whose zones hold are looked at, and those that have something to end or to remember;
//! with thousands of rules a look costs what the few near ones cost.

use std::cell::Cell;

use earth::{DegreesTrue, Fix, Metres, MetresPerSecond, Millis, Surface, magnetic};
use plan::{AltitudeBand, North, Plan, RuleId, Settings, SpeedBand, Test, Window, ZoneId};

use crate::abeam::{Abeam, abeam};
use crate::motion::{Motion, outside_window};
use crate::why::Actual;
use crate::zones::Zones;

/// Whether a condition holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It holds.
    Holds,
    /// It does not hold.
    Fails,
    /// What it asks about is not known.
    Unknown,
}

impl Verdict {
    fn of(holds: bool) -> Self {
        if holds { Self::Holds } else { Self::Fails }
    }
}

/// What rules are looked at with: the second fix of the leg, whichever crossing it is after.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sight<'a> {
    pub(crate) fix: &'a Fix,
    pub(crate) surface: &'a Surface,
    pub(crate) altitude: Option<f64>,
    pub(crate) motion: &'a Motion,
    pub(crate) airborne: Option<bool>,
}

#[derive(Debug)]
struct Rule {
    conditions: Vec<Condition>,
    /// Zones of its conditions hold as far as zones go.
    zones_hold: bool,
    active: bool,
    fired: bool,
    /// It is in the list of rules to look at.
    listed: bool,
}

#[derive(Debug)]
struct Condition {
    test: Test,
    /// Of `before abeam`: the rule was ended by passing the sight, and has not been far from it
    /// since.
    passed: bool,
}

/// The rules and which are active.
#[derive(Debug)]
pub(crate) struct Rules {
    rules: Vec<Rule>,
    /// Place of each rule in the order of dependence.
    rank: Vec<u32>,
    /// The rule at each place.
    by_rank: Vec<u32>,
    /// Rules that ask about a zone.
    asking: Vec<Vec<u32>>,
    /// Ranks of the rules to look at, in order.
    listed: Vec<u32>,
    /// Active rules, in the order written.
    active: Vec<RuleId>,
    sights: Vec<Surface>,
    settings: Settings,
    /// The magnetic model was asked for a date it does not cover.
    pub(crate) model_clamped: Cell<bool>,
}

impl Rules {
    pub(crate) fn new(plan: &Plan) -> Self {
        let count = plan.rules.len();
        let mut asking = vec![Vec::new(); plan.zones.len()];
        for (index, rule) in plan.rules.iter().enumerate() {
            for condition in &rule.conditions {
                if let Some(zone) = zone_of(&condition.test)
                    && let Some(list) = asking.get_mut(zone.index())
                {
                    let number = u32::try_from(index).unwrap_or(u32::MAX);
                    if list.last() != Some(&number) {
                        list.push(number);
                    }
                }
            }
        }
        let by_rank = in_order_of_dependence(plan);
        let mut rank = vec![0; count];
        for (place, rule) in by_rank.iter().enumerate() {
            if let Some(entry) = rank.get_mut(*rule as usize) {
                *entry = u32::try_from(place).unwrap_or(u32::MAX);
            }
        }
        let rules = plan.rules.iter().map(|rule| Rule {
            conditions: rule
                .conditions
                .iter()
                .map(|condition| Condition { test: condition.test.clone(), passed: false })
                .collect(),
            zones_hold: false,
            active: false,
            fired: false,
            listed: false,
        });
        Self {
            rules: rules.collect(),
            rank,
            by_rank,
            asking,
            listed: Vec::with_capacity(count),
            active: Vec::with_capacity(count),
            sights: plan.places.iter().map(|place| Surface::from(place.position)).collect(),
            settings: plan.settings.clone(),
            model_clamped: Cell::new(false),
        }
    }

    /// Active rules, in the order written.
    pub(crate) fn active(&self) -> &[RuleId] {
        &self.active
    }

    /// Whether a rule is active.
    pub(crate) fn is_active(&self, rule: RuleId) -> bool {
        self.rules.get(rule.index()).is_some_and(|rule| rule.active)
    }

    /// Whether a rule has fired in this flight.
    pub(crate) fn has_fired(&self, rule: RuleId) -> bool {
        self.rules.get(rule.index()).is_some_and(|rule| rule.fired)
    }

    /// Every rule begins inactive and not fired.
    pub(crate) fn begin_flight(&mut self, zones: &Zones) {
        self.active.clear();
        self.listed.clear();
        for index in 0..self.rules.len() {
            if let Some(rule) = self.rules.get_mut(index) {
                rule.active = false;
                rule.fired = false;
                rule.listed = false;
                for condition in &mut rule.conditions {
                    condition.passed = false;
                }
            }
            self.zones_changed_for(index, zones);
        }
    }

    /// A zone was entered, left or crossed.
    pub(crate) fn zone_changed(&mut self, zone: ZoneId, zones: &Zones) {
        let count = self.asking.get(zone.index()).map_or(0, Vec::len);
        for place in 0..count {
            if let Some(&rule) = self.asking.get(zone.index()).and_then(|list| list.get(place)) {
                self.zones_changed_for(rule as usize, zones);
            }
        }
    }

    fn zones_changed_for(&mut self, index: usize, zones: &Zones) {
        let Some(rule) = self.rules.get_mut(index) else { return };
        rule.zones_hold = rule
            .conditions
            .iter()
            .all(|condition| zone_verdict(&condition.test, zones) != Some(Verdict::Fails));
        if rule.zones_hold && !rule.listed {
            rule.listed = true;
            let rank = self.rank.get(index).copied().unwrap_or(0);
            if let Err(place) = self.listed.binary_search(&rank) {
                self.listed.insert(place, rank);
            }
        }
    }

    /// Looks at the rules once. Tells every rule that becomes active (true) or inactive (false), in
    /// the order of dependence.
    pub(crate) fn look(
        &mut self,
        zones: &Zones,
        sight: &Sight<'_>,
        mut told: impl FnMut(RuleId, bool),
    ) {
        let mut place = 0;
        while let Some(&rank) = self.listed.get(place) {
            let number = self.by_rank.get(rank as usize).copied().unwrap_or(0);
            let id = RuleId(number);
            let was = self.is_active(id);
            let now = self.judge(id, zones, sight);
            let Some(rule) = self.rules.get_mut(id.index()) else { break };
            if now != was {
                rule.active = now;
                rule.fired |= now;
                match self.active.binary_search(&id) {
                    Err(at) if now => self.active.insert(at, id),
                    Ok(at) if !now => {
                        self.active.remove(at);
                    }
                    _ => {}
                }
                told(id, now);
            }
            let Some(rule) = self.rules.get_mut(id.index()) else { break };
            if rule.zones_hold
                || rule.active
                || rule.conditions.iter().any(|condition| condition.passed)
            {
                place += 1;
            } else {
                rule.listed = false;
                self.listed.remove(place);
            }
        }
    }

    /// Whether a rule is to be active, and what its `before abeam` conditions remember.
    fn judge(&mut self, id: RuleId, zones: &Zones, sight: &Sight<'_>) -> bool {
        let Some(rule) = self.rules.get(id.index()) else { return false };
        let (was, count) = (rule.active, rule.conditions.len());
        let mut verdict = Verdict::Holds;
        for index in 0..count {
            let rule = self.rules.get(id.index());
            let asked = rule.and_then(|rule| rule.conditions.get(index)).map(|it| &it.test);
            let found = match asked {
                Some(Test::BeforeAbeam { .. }) => {
                    self.look_abeam(id, index, sight).unwrap_or(Verdict::Unknown)
                }
                // What fails already fails; only `before abeam` keeps anything in mind.
                _ if verdict == Verdict::Fails => continue,
                _ => self.verdict(id, index, zones, sight),
            };
            match (found, verdict) {
                (Verdict::Fails, _) => verdict = Verdict::Fails,
                (Verdict::Unknown, Verdict::Holds) => verdict = Verdict::Unknown,
                _ => {}
            }
        }
        match verdict {
            Verdict::Holds => true,
            Verdict::Fails => false,
            Verdict::Unknown => was,
        }
    }

    /// Looks at a `before abeam` condition and keeps in mind whether its sight has been passed.
    /// `None` for other conditions.
    fn look_abeam(&mut self, id: RuleId, index: usize, sight: &Sight<'_>) -> Option<Verdict> {
        let abeam = self.abeam(id, index, sight)?;
        let rule = self.rules.get_mut(id.index())?;
        let active = rule.active;
        let condition = rule.conditions.get_mut(index)?;
        if let Some(abeam) = &abeam {
            if abeam.far() {
                condition.passed = false;
            } else if active && abeam.is_past() {
                condition.passed = true;
            }
        }
        Some(Self::abeam_verdict(abeam, active, condition.passed))
    }

    fn abeam_verdict(abeam: Option<Asked>, active: bool, passed: bool) -> Verdict {
        abeam.map_or(Verdict::Unknown, |abeam| {
            Verdict::of(
                !passed && if active { !abeam.far() && !abeam.is_past() } else { abeam.near() },
            )
        })
    }

    /// Where the sight of a `before abeam` condition lies, `None` within where track or speed are
    /// not known; `None` for other conditions.
    fn abeam(&self, id: RuleId, index: usize, sight: &Sight<'_>) -> Option<Option<Asked>> {
        let condition = self.rules.get(id.index())?.conditions.get(index)?;
        let Test::BeforeAbeam { sight: place, by, within } = condition.test else { return None };
        let speed =
            sight.motion.groundspeed.filter(|speed| *speed >= self.settings.minimum_speed.get());
        let (Some(speed), Some(track)) = (speed, sight.motion.track) else { return Some(None) };
        let place = self.sights.get(place.index())?;
        let (by, within) = (by.secs(), within.get());
        // The chord is no longer than the way there; a sight beyond both doubled limits is far
        // without asking where it lies.
        let lies = if sight.surface.chord(place) > 2.1 * (by * speed + within) {
            Abeam { ahead: f64::INFINITY, aside: f64::INFINITY }
        } else {
            abeam(sight.surface, track, speed, place)
        };
        Some(Some(Asked { lies, by, within }))
    }

    /// Whether one condition of a rule holds, the rule being active or not as it now is.
    pub(crate) fn verdict(
        &self,
        id: RuleId,
        index: usize,
        zones: &Zones,
        sight: &Sight<'_>,
    ) -> Verdict {
        let Some(rule) = self.rules.get(id.index()) else { return Verdict::Unknown };
        let Some(condition) = rule.conditions.get(index) else { return Verdict::Unknown };
        let active = rule.active;
        if let Some(verdict) = zone_verdict(&condition.test, zones) {
            return verdict;
        }
        match &condition.test {
            Test::Track(window) => {
                let window = *window;
                self.in_window(sight.motion.track, &window, active, sight)
            }
            Test::Heading(window) => {
                let window = *window;
                self.in_window(
                    sight.motion.heading.map(|(heading, _)| heading),
                    &window,
                    active,
                    sight,
                )
            }
            Test::Altitude(band) => {
                let slack = if active { self.settings.altitude_slack.get() } else { 0.0 };
                in_band(sight.altitude, altitudes(band), slack)
            }
            Test::Groundspeed(band) => {
                let slack = if active { self.settings.groundspeed_slack.get() } else { 0.0 };
                in_band(sight.motion.groundspeed, speeds(band), slack)
            }
            Test::BeforeAbeam { .. } => {
                let passed = condition.passed;
                let abeam = self.abeam(id, index, sight).flatten();
                Self::abeam_verdict(abeam, active, passed)
            }
            Test::After(rule) => Verdict::of(self.has_fired(*rule)),
            Test::OnGround => {
                sight.airborne.map_or(Verdict::Unknown, |airborne| Verdict::of(!airborne))
            }
            Test::Airborne => sight.airborne.map_or(Verdict::Unknown, Verdict::of),
            Test::In(_) | Test::NotIn(_) | Test::Pass { .. } => Verdict::Unknown,
        }
    }

    /// What a condition found in place of what it asks for; `None` where it is not known, and for
    /// conditions that say it all themselves.
    pub(crate) fn actual(
        &self,
        id: RuleId,
        index: usize,
        zones: &Zones,
        sight: &Sight<'_>,
    ) -> Option<Actual> {
        let condition = self.rules.get(id.index())?.conditions.get(index)?;
        let direction = |direction: DegreesTrue, window: &Window| {
            Actual::Direction(self.as_counted(direction, window.north, sight), window.north)
        };
        match &condition.test {
            Test::Track(window) => Some(direction(sight.motion.track?, window)),
            Test::Heading(window) => Some(direction(sight.motion.heading?.0, window)),
            Test::Altitude(_) => Some(Actual::Altitude(Metres::of(sight.altitude?))),
            Test::Groundspeed(_) => {
                Some(Actual::Groundspeed(MetresPerSecond::of(sight.motion.groundspeed?)))
            }
            Test::BeforeAbeam { sight: place, .. } => {
                // Known where the verdict is.
                self.abeam(id, index, sight).flatten()?;
                let (track, speed) = (sight.motion.track?, sight.motion.groundspeed?);
                let lies = abeam(sight.surface, track, speed, self.sights.get(place.index())?);
                Some(Actual::Abeam {
                    ahead: Millis::from_secs_f64(lies.ahead),
                    aside: Metres::of(lies.aside),
                })
            }
            Test::Pass { zone, .. } => Some(Actual::Pass(zones.passes(*zone))),
            Test::In(_) | Test::NotIn(_) | Test::After(_) | Test::OnGround | Test::Airborne => None,
        }
    }

    /// A direction counted from the north that a window asks for.
    fn as_counted(&self, direction: DegreesTrue, north: North, sight: &Sight<'_>) -> DegreesTrue {
        match north {
            North::True => direction,
            North::Magnetic => {
                let altitude = sight.altitude.map(Metres::of);
                let declination =
                    magnetic::declination(sight.fix.position, altitude, sight.fix.time);
                if declination.clamped {
                    self.model_clamped.set(true);
                }
                direction.turned(declination.degrees * -1.0)
            }
        }
    }

    fn in_window(
        &self,
        direction: Option<DegreesTrue>,
        window: &Window,
        active: bool,
        sight: &Sight<'_>,
    ) -> Verdict {
        let Some(direction) = direction else { return Verdict::Unknown };
        let direction = self.as_counted(direction, window.north, sight);
        let slack = if active { self.settings.direction_slack.get() } else { 0.0 };
        Verdict::of(outside_window(direction, window.from, window.to) <= slack)
    }
}

/// The active rule of the highest priority that says something about a channel; of equals the one
/// written first.
pub(crate) fn winner(
    plan: &Plan,
    rules: &Rules,
    speaks: impl Fn(&plan::Rule) -> bool,
) -> Option<RuleId> {
    let mut best: Option<(i32, RuleId)> = None;
    for id in rules.active() {
        let Some(rule) = plan.rules.get(id.index()) else { continue };
        // Active rules come in the order written, so an equal one comes later.
        if speaks(rule) && best.is_none_or(|(priority, _)| rule.priority > priority) {
            best = Some((rule.priority, *id));
        }
    }
    best.map(|(_, id)| id)
}

/// Where a sight lies, and what was asked of it.
#[derive(Clone, Copy, Debug)]
struct Asked {
    lies: Abeam,
    /// Seconds.
    by: f64,
    /// Metres.
    within: f64,
}

impl Asked {
    fn is_past(&self) -> bool {
        self.lies.ahead < 0.0
    }

    fn near(&self) -> bool {
        (0.0..=self.by).contains(&self.lies.ahead) && self.lies.aside <= self.within
    }

    /// The time, ahead or behind, or the distance is more than doubled.
    fn far(&self) -> bool {
        self.lies.ahead.abs() > 2.0 * self.by || self.lies.aside > 2.0 * self.within
    }
}

fn zone_of(test: &Test) -> Option<ZoneId> {
    match test {
        Test::In(zone) | Test::NotIn(zone) | Test::Pass { zone, .. } => Some(*zone),
        _ => None,
    }
}

/// Whether a condition about a zone holds; `None` for other conditions.
fn zone_verdict(test: &Test, zones: &Zones) -> Option<Verdict> {
    match test {
        Test::In(zone) => Some(Verdict::of(zones.holds(*zone))),
        Test::NotIn(zone) => Some(Verdict::of(!zones.holds(*zone))),
        Test::Pass { zone, nth } => Some(Verdict::of(zones.passes(*zone) == *nth)),
        _ => None,
    }
}

fn altitudes(band: &AltitudeBand) -> (Option<f64>, Option<f64>) {
    (band.from.map(|from| from.get()), band.to.map(|to| to.get()))
}

fn speeds(band: &SpeedBand) -> (Option<f64>, Option<f64>) {
    (band.from.map(|from| from.get()), band.to.map(|to| to.get()))
}

fn in_band(value: Option<f64>, (from, to): (Option<f64>, Option<f64>), slack: f64) -> Verdict {
    let Some(value) = value else { return Verdict::Unknown };
    Verdict::of(
        from.is_none_or(|from| value >= from - slack) && to.is_none_or(|to| value <= to + slack),
    )
}

/// The rules so that each comes after those it names with `after`, else as written. A sound plan
/// has no circle; rules of one would come last, as written.
fn in_order_of_dependence(plan: &Plan) -> Vec<u32> {
    let count = plan.rules.len();
    let mut placed = vec![false; count];
    let mut order = Vec::with_capacity(count);
    let mut stack: Vec<(usize, usize)> = Vec::new();
    for start in 0..count {
        stack.push((start, 0));
        while let Some((rule, next)) = stack.pop() {
            if placed.get(rule).copied().unwrap_or(true) {
                continue;
            }
            let conditions = plan.rules.get(rule).map_or(&[][..], |rule| &rule.conditions);
            let needed = conditions.iter().enumerate().skip(next).find_map(|(index, condition)| {
                let Test::After(other) = condition.test else { return None };
                let waiting = stack.iter().any(|(below, _)| *below == other.index());
                let open = !placed.get(other.index()).copied().unwrap_or(true) && !waiting;
                open.then_some((index, other.index()))
            });
            match needed {
                Some((index, other)) => {
                    stack.push((rule, index + 1));
                    stack.push((other, 0));
                }
                None => {
                    if let Some(done) = placed.get_mut(rule) {
                        *done = true;
                    }
                    order.push(u32::try_from(rule).unwrap_or(u32::MAX));
                }
            }
        }
    }
    order
}
