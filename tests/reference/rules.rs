//! Which rules are active at every fix, and which began and ended on the way.

use earth::{Position, Utc};
use engine::Gps;
use plan::{Plan, RuleId, Test, Window};

use super::fixes::Good;
use super::flight::Aloft;
use super::ground;
use super::motion::{Motion, declination};
use super::without::Without;
use super::zone::beyond;
use super::zones::{Crossed, Look};

/// A rule began or ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    pub rule: RuleId,
    pub began: bool,
    /// The own time of the look at which it did.
    pub own: Utc,
}

/// What the rules do at a good fix.
#[derive(Clone, Debug, Default)]
pub struct Ruled {
    pub turns: Vec<Turn>,
    /// Active at the fix.
    pub active: Vec<bool>,
}

#[derive(Clone, Copy, PartialEq)]
enum Answer {
    Holds,
    Fails,
    Unknown,
}

impl Answer {
    fn of(holds: bool) -> Self {
        if holds { Self::Holds } else { Self::Fails }
    }
}

/// Where the aircraft is and how it moves: the same for every look of a leg.
struct Scene<'a> {
    at: Position,
    time: Utc,
    motion: &'a Motion,
    airborne: Option<bool>,
}

struct Rules<'a> {
    plan: &'a Plan,
    without: Option<Without>,
    order: Vec<usize>,
    active: Vec<bool>,
    fired: Vec<bool>,
    /// For each condition of each rule: ended by passing its sight, and not yet to begin again.
    passed: Vec<Vec<bool>>,
}

pub fn run(
    good: &[Good],
    motions: &[Motion],
    aloft: &[Aloft],
    crossed: &[Crossed],
    plan: &Plan,
    without: Option<Without>,
) -> Vec<Ruled> {
    let mut rules = Rules::new(plan, without);
    let mut all = Vec::new();
    for index in 0..good.len() {
        if good[index].how == Gps::First || aloft[index].new_flight {
            rules.reset();
        }
        let scene = Scene {
            at: good[index].fix.position,
            time: good[index].fix.time,
            motion: &motions[index],
            airborne: aloft[index].airborne,
        };
        let mut turns = Vec::new();
        let looks = &crossed[index].looks;
        for (which, look) in looks.iter().enumerate() {
            if without == Some(Without::EveryLook) && which + 1 < looks.len() {
                continue;
            }
            rules.look(look, &scene, &mut turns);
        }
        all.push(Ruled { turns, active: rules.active.clone() });
    }
    all
}

impl<'a> Rules<'a> {
    fn new(plan: &'a Plan, without: Option<Without>) -> Self {
        let order = if without == Some(Without::Dependence) {
            (0..plan.rules.len()).rev().collect()
        } else {
            in_order_of_dependence(plan)
        };
        let mut rules =
            Self { plan, without, order, active: vec![], fired: vec![], passed: vec![] };
        rules.reset();
        rules
    }

    fn reset(&mut self) {
        self.active = vec![false; self.plan.rules.len()];
        self.fired = self.active.clone();
        self.passed =
            self.plan.rules.iter().map(|rule| vec![false; rule.conditions.len()]).collect();
    }

    fn look(&mut self, look: &Look, scene: &Scene<'_>, turns: &mut Vec<Turn>) {
        for index in self.order.clone() {
            let conditions = &self.plan.rules[index].conditions;
            for which in 0..conditions.len() {
                self.forget_passing(index, which, scene);
            }
            let answers: Vec<Answer> =
                (0..conditions.len()).map(|which| self.answer(index, which, look, scene)).collect();
            let unknown = answers.contains(&Answer::Unknown);
            let stays = self.active[index] && self.without != Some(Without::UnknownStays);
            let active = !answers.contains(&Answer::Fails) && (!unknown || stays);
            if active == self.active[index] {
                continue;
            }
            self.active[index] = active;
            #[expect(clippy::cast_possible_truncation, reason = "a plan in a test is small")]
            let rule = RuleId(index as u32);
            turns.push(Turn { rule, began: active, own: look.own });
            if active {
                self.fired[index] = true;
            } else {
                for which in 0..conditions.len() {
                    if self.ahead(index, which, scene).is_some_and(|ahead| ahead.seconds < 0.0) {
                        self.passed[index][which] = true;
                        // It may be far behind already.
                        self.forget_passing(index, which, scene);
                    }
                }
            }
        }
    }

    /// One ended by passing begins again only after the time or the distance was more than doubled.
    fn forget_passing(&mut self, index: usize, which: usize, scene: &Scene<'_>) {
        if let Some(ahead) = self.ahead(index, which, scene)
            && (ahead.seconds.abs() > 2.0 * ahead.by || ahead.off > 2.0 * ahead.within)
        {
            self.passed[index][which] = false;
        }
    }

    fn answer(&self, index: usize, which: usize, look: &Look, scene: &Scene<'_>) -> Answer {
        let off = |rule: Without| self.without == Some(rule);
        let settings = &self.plan.settings;
        let is_active = self.active[index];
        let slack = |slack: f64, rule: Without| if is_active && !off(rule) { slack } else { 0.0 };
        match &self.plan.rules[index].conditions[which].test {
            Test::In(zone) => Answer::of(look.members[zone.index()] || look.crossed[zone.index()]),
            Test::NotIn(zone) => Answer::of(!look.members[zone.index()]),
            Test::Track(window) => {
                let slack = slack(settings.direction_slack.get(), Without::DirectionSlack);
                self.in_window(window, scene.motion.track, slack, scene)
            }
            Test::Heading(window) => {
                let heading = scene.motion.heading.map(|(heading, _)| heading);
                let heading =
                    if off(Without::HeadingIsNotTrack) { scene.motion.track } else { heading };
                let slack = slack(settings.direction_slack.get(), Without::DirectionSlack);
                self.in_window(window, heading, slack, scene)
            }
            Test::Altitude(band) => match scene.motion.altitude {
                None => Answer::Unknown,
                Some(altitude) => {
                    let slack = slack(settings.altitude_slack.get(), Without::AltitudeSlack);
                    Answer::of(beyond(*band, altitude) <= slack)
                }
            },
            Test::Groundspeed(band) => match scene.motion.speed {
                None => Answer::Unknown,
                Some(speed) => {
                    let slack = slack(settings.groundspeed_slack.get(), Without::SpeedSlack);
                    let below = band.from.map_or(f64::NEG_INFINITY, |from| from.get() - speed);
                    let above = band.to.map_or(f64::NEG_INFINITY, |to| speed - to.get());
                    Answer::of(below.max(above) <= slack)
                }
            },
            Test::BeforeAbeam { .. } => match self.ahead(index, which, scene) {
                None => Answer::Unknown,
                Some(ahead) => {
                    let factor = if is_active && !off(Without::AbeamDoubled) { 2.0 } else { 1.0 };
                    let is_past = ahead.seconds < 0.0 && !off(Without::AbeamPast);
                    let near = ahead.seconds <= factor * ahead.by
                        && (ahead.off <= factor * ahead.within || off(Without::AbeamDistance));
                    let again =
                        is_active || !self.passed[index][which] || off(Without::AbeamOnceInOrbit);
                    Answer::of(!is_past && near && again)
                }
            },
            Test::After(rule) => Answer::of(self.fired[rule.index()]),
            Test::Pass { zone, nth } => {
                let passes = look.passes[zone.index()];
                Answer::of(if off(Without::PassUntilNext) {
                    passes >= *nth
                } else {
                    passes == *nth
                })
            }
            Test::OnGround => scene.airborne.map_or(Answer::Unknown, |is| Answer::of(!is)),
            Test::Airborne => scene.airborne.map_or(Answer::Unknown, Answer::of),
        }
    }

    fn in_window(
        &self,
        window: &Window,
        direction: Option<f64>,
        slack: f64,
        scene: &Scene<'_>,
    ) -> Answer {
        let Some(direction) = direction else { return Answer::Unknown };
        let (from, to) = (window.from.get(), window.to.get());
        if from == 0.0 && to == 360.0 {
            return Answer::Holds;
        }
        let is_magnetic =
            window.north == plan::North::Magnetic && self.without != Some(Without::Magnetic);
        let direction = if is_magnetic {
            direction - declination(scene.at, scene.motion.altitude, scene.time)
        } else {
            direction
        };
        let width = (to - from).rem_euclid(360.0);
        let into = (direction - from).rem_euclid(360.0);
        let outside = if into <= width { 0.0 } else { (into - width).min(360.0 - into) };
        Answer::of(outside <= slack)
    }

    /// How a `before abeam` stands, if the condition is one and it is known.
    fn ahead(&self, index: usize, which: usize, scene: &Scene<'_>) -> Option<Ahead> {
        let condition = &self.plan.rules[index].conditions[which];
        let Test::BeforeAbeam { sight, by, within } = condition.test else { return None };
        let speed = scene.motion.speed?;
        let track = scene.motion.track?;
        if speed < self.plan.settings.minimum_speed.get()
            && self.without != Some(Without::AbeamSlow)
        {
            return None;
        }
        let place = self.plan.places[sight.index()].position;
        let (along, off) = ground::closest_along(scene.at, track, place);
        Some(Ahead { seconds: along / speed, off, by: by.secs(), within: within.get() })
    }
}

struct Ahead {
    seconds: f64,
    off: f64,
    by: f64,
    within: f64,
}

/// Rules that others are `after` come before them; else the order written.
fn in_order_of_dependence(plan: &Plan) -> Vec<usize> {
    let mut order: Vec<usize> = Vec::new();
    while order.len() < plan.rules.len() {
        let next = (0..plan.rules.len()).find(|index| {
            !order.contains(index)
                && plan.rules[*index].conditions.iter().all(|condition| match condition.test {
                    Test::After(rule) => order.contains(&rule.index()),
                    _ => true,
                })
        });
        match next {
            Some(next) => order.push(next),
            None => return order,
        }
    }
    order
}
