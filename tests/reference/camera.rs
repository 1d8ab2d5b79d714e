//! The camera: who has the channel, which camera it wants, and when the shot changes.

use earth::Utc;
use engine::{CameraWhy, Event, HandOutcome};
use plan::{CameraEffect, CameraId, CameraTurn, Hand, ManualCamera, RuleId};

use super::film::{Moment, Scene};
use super::fixes::later;
use super::ground;
use super::without::Without;

/// Who has the channel.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Holder {
    Rule(RuleId),
    Default,
    Hand,
}

pub struct Camera {
    pub live: Option<CameraId>,
    pub why: CameraWhy,
    live_since: Option<Utc>,
    holder: Option<Holder>,
    /// The cameras of the holder in turn, each with its time.
    list: Vec<CameraTurn>,
    index: usize,
    /// When the present turn began to count.
    turn_from: Option<Utc>,
    pick: Option<(CameraId, Option<Utc>)>,
    /// Which camera the winning rule looks through, also while a pick by hand stands above it.
    look: Option<(RuleId, CameraId)>,
}

impl Camera {
    pub fn new() -> Self {
        Self {
            live: None,
            why: CameraWhy::NoCamera,
            live_since: None,
            holder: None,
            list: vec![],
            index: 0,
            turn_from: None,
            pick: None,
            look: None,
        }
    }

    fn wanted(&self) -> Option<CameraId> {
        self.list.get(self.index).map(|turn| turn.camera)
    }

    /// A camera that is wanted and waits.
    pub fn next(&self) -> Option<CameraId> {
        self.wanted().filter(|wanted| Some(*wanted) != self.live)
    }

    pub fn due(&self, scene: &Scene<'_>) -> Option<Utc> {
        let pick = self.pick.and_then(|(_, until)| until);
        let shot = self.next().and(self.live_since).map(|since| later(since, minimum(scene)));
        let turn = self.turn_ends();
        [pick, shot, turn].into_iter().flatten().filter(|due| *due > scene.now).min()
    }

    fn turn_ends(&self) -> Option<Utc> {
        if self.list.len() < 2 {
            return None;
        }
        let turn = self.list.get(self.index)?;
        Some(later(self.turn_from?, turn.lasts?.0))
    }

    pub fn end_what_is_due(&mut self, scene: &mut Scene<'_>) {
        if let Some((_, Some(until))) = self.pick
            && until <= scene.now
        {
            self.pick = None;
            scene.say(Event::HandCameraEnded, None);
        }
    }

    pub fn hand(&mut self, scene: &mut Scene<'_>, action: Hand) -> HandOutcome {
        let Hand::Camera(camera) = action else {
            return match self.pick.take() {
                Some(_) => HandOutcome::Done,
                None => HandOutcome::NoEffect,
            };
        };
        if scene.case.day.out_of_service.contains(&camera) && !scene.off(Without::OutOfService) {
            return HandOutcome::OutOfService;
        }
        if scene.case.day.not_allowed.contains(&camera) && !scene.off(Without::NotAllowed) {
            return HandOutcome::NotAllowed;
        }
        let until = match scene.plan().settings.manual_camera {
            ManualCamera::For(time) if !scene.off(Without::PickRunsOut) => {
                Some(later(scene.now, time.0))
            }
            _ => None,
        };
        self.pick = Some((camera, until));
        HandOutcome::Done
    }

    pub fn settle(&mut self, scene: &mut Scene<'_>) {
        if self.pick.is_some()
            && ((scene.landed() && !scene.off(Without::PickEndsAtLanding)) || scene.new_flight())
        {
            self.pick = None;
            scene.say(Event::HandCameraEnded, None);
        }
        // Every rule begins inactive, so one that had the channel gets it again.
        if scene.new_flight() && matches!(self.holder, Some(Holder::Rule(_))) {
            self.holder = None;
        }
        let (holder, list) = self.whose(scene);
        let again = self.holder == Some(holder);
        if !again {
            self.index = 0;
            self.turn_from = None;
            if scene.off(Without::StartsWithFirst) && list.len() > 1 {
                self.index = 1;
            }
        } else if list.len() != self.list.len() || holder == Holder::Hand {
            self.index = 0;
        }
        self.holder = Some(holder);
        self.list = list;
        if again && self.turn_ends().is_some_and(|ends| ends <= scene.now) {
            self.index = (self.index + 1) % self.list.len();
            self.turn_from = None;
        }
        let why = self.reason(scene);
        let wanted = self.wanted();
        if wanted == self.live {
            self.why = why;
            self.turn_from = self.turn_from.or(Some(scene.now));
            if scene.off(Without::ShotGoesOn) && !again {
                self.live_since = Some(scene.now);
            }
            return;
        }
        let waits = self
            .live_since
            .filter(|_| self.live.is_some())
            .is_some_and(|since| scene.now < later(since, minimum(scene)));
        let at_once = holder == Holder::Hand && !scene.off(Without::PickDoesNotWait);
        if waits && !at_once {
            if scene.off(Without::TurnCountsFromLive) {
                self.turn_from = self.turn_from.or(Some(scene.now));
            }
            return;
        }
        let rule = match why {
            CameraWhy::Rule(rule) | CameraWhy::ShotHold(rule) => Some(rule),
            _ => None,
        };
        scene.say(Event::Camera { from: self.live, to: wanted, why }, rule);
        self.live = wanted;
        self.why = why;
        self.live_since = Some(scene.now);
        if !scene.off(Without::TurnCountsFromLive) || self.turn_from.is_none() {
            self.turn_from = Some(scene.now);
        }
    }

    fn reason(&self, scene: &Scene<'_>) -> CameraWhy {
        if self.list.is_empty() {
            return CameraWhy::NoCamera;
        }
        match self.holder {
            Some(Holder::Hand) => CameraWhy::Hand,
            Some(Holder::Rule(rule)) if scene.lost.is_some() => CameraWhy::ShotHold(rule),
            Some(Holder::Rule(rule)) => CameraWhy::Rule(rule),
            _ if scene.hold_is_over() => CameraWhy::Lost,
            _ => CameraWhy::DefaultSequence,
        }
    }

    /// Who has the channel now, and the cameras it wants in turn.
    fn whose(&mut self, scene: &Scene<'_>) -> (Holder, Vec<CameraTurn>) {
        let by_plan = self.by_plan(scene);
        match self.pick {
            Some((camera, _)) => (Holder::Hand, vec![CameraTurn { camera, lasts: None }]),
            None => by_plan,
        }
    }

    /// Who would have it were it not for the pilot.
    fn by_plan(&mut self, scene: &Scene<'_>) -> (Holder, Vec<CameraTurn>) {
        let before = self.look.take();
        let rules = if scene.hold_is_over() { vec![] } else { scene.by_priority() };
        for rule in rules {
            let holder = Holder::Rule(rule);
            let list = match &scene.plan().rules[rule.index()].camera {
                None => continue,
                Some(CameraEffect::Sequence(turns)) => {
                    let mut list = turns.clone();
                    list.retain(|turn| is_allowed(scene, turn.camera));
                    list
                }
                Some(CameraEffect::LookAt { sight, from }) => {
                    let looks = |(looking, _): &(RuleId, CameraId)| *looking == rule;
                    let present = before.filter(looks).map(|(_, camera)| camera);
                    let from: Vec<CameraId> =
                        from.iter().copied().filter(|camera| is_allowed(scene, *camera)).collect();
                    let place = &scene.plan().places[sight.index()];
                    let chosen = match present {
                        Some(_) if scene.fix.is_none() => present,
                        _ if scene.lost.is_some() => None,
                        _ => choose(scene, &from, place, present),
                    };
                    self.look = chosen.map(|camera| (rule, camera));
                    chosen.into_iter().map(|camera| CameraTurn { camera, lasts: None }).collect()
                }
            };
            if !list.is_empty() {
                return (holder, list);
            }
            if scene.off(Without::Yields) {
                break;
            }
        }
        #[expect(clippy::cast_possible_truncation, reason = "a plan in a test is small")]
        let all = (0..scene.plan().aircraft.cameras.len())
            .map(|index| CameraId(index as u32))
            .filter(|camera| is_allowed(scene, *camera))
            .map(|camera| CameraTurn { camera, lasts: Some(scene.plan().settings.default_turn) })
            .collect();
        (Holder::Default, all)
    }
}

fn minimum(scene: &Scene<'_>) -> i64 {
    if scene.off(Without::MinimumShot) { 0 } else { scene.plan().settings.minimum_shot.0 }
}

pub fn is_allowed(scene: &Scene<'_>, camera: CameraId) -> bool {
    let day = &scene.case.day;
    let serves = !day.out_of_service.contains(&camera) || scene.off(Without::OutOfService);
    let allowed = !day.not_allowed.contains(&camera) || scene.off(Without::NotAllowed);
    serves && allowed
}

/// How a camera sees a sight.
struct View {
    camera: CameraId,
    off_axis: f64,
    in_frame: bool,
}

/// Which camera looks at a sight, judged at the last good fix.
fn choose(
    scene: &Scene<'_>,
    from: &[CameraId],
    place: &plan::Place,
    present: Option<CameraId>,
) -> Option<CameraId> {
    let Some((heading, _)) = scene.last.motion.heading else { return present };
    let views: Vec<View> =
        from.iter().map(|camera| view(scene, scene.last, heading, *camera, place)).collect();
    let mut best: Option<&View> = None;
    for view in views.iter().filter(|view| view.in_frame) {
        if best.is_none_or(|best| view.off_axis < best.off_axis) {
            best = Some(view);
        }
    }
    let stays = views.iter().find(|view| Some(view.camera) == present && view.in_frame);
    if let (Some(stays), Some(best)) = (stays, best)
        && stays.off_axis - best.off_axis <= 5.0
        && !scene.off(Without::FiveDegrees)
    {
        return present;
    }
    best.map(|best| best.camera)
}

fn view(
    scene: &Scene<'_>,
    moment: &Moment,
    heading: f64,
    camera: CameraId,
    place: &plan::Place,
) -> View {
    let lens = &scene.plan().aircraft.cameras[camera.index()];
    let (distance, bearing, _) = ground::inverse(moment.at(), place.position);
    let aside = ground::turn(bearing - heading - lens.bearing.get());
    let down = moment
        .motion
        .altitude
        .zip(place.elevation)
        .map(|(altitude, elevation)| how_far_down(altitude, elevation.get(), distance));
    let off_axis = match down {
        None => aside.abs(),
        Some(down) => {
            let (a, b) = (down.to_radians(), lens.depression.get().to_radians());
            (a.sin() * b.sin() + a.cos() * b.cos() * aside.to_radians().cos())
                .clamp(-1.0, 1.0)
                .acos()
                .to_degrees()
        }
    };
    let in_width = aside.abs() <= lens.width.get() / 2.0 || scene.off(Without::FrameWidth);
    let in_height = match (down, lens.height) {
        (Some(down), Some(height)) => {
            (down - lens.depression.get()).abs() <= height.get() / 2.0
                || scene.off(Without::FrameHeight)
        }
        _ => true,
    };
    View { camera, off_axis, in_frame: in_width && in_height }
}

/// Degrees below the horizontal plane at which a place appears, on a round earth without air.
fn how_far_down(altitude: f64, elevation: f64, distance: f64) -> f64 {
    const RADIUS: f64 = 6_371_000.0;
    let between = distance / RADIUS;
    let below = RADIUS + altitude - (RADIUS + elevation) * between.cos();
    let ahead = (RADIUS + elevation) * between.sin();
    below.atan2(ahead).to_degrees()
}
