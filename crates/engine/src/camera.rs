//! The camera channel: who has it, whose turn it is, which camera is live.

use earth::{DegreesTrue, Millis, Surface, Utc};
use plan::{CameraEffect, CameraId, CameraTurn, Day, ManualCamera, Plan, RuleId};

use crate::outbox::Outbox;
use crate::output::{CameraWhy, Event, HandOutcome};
use crate::rules::Rules;

/// Another camera's axis must be so many degrees nearer to the sight to take over.
const NEARER: f64 = 5.0;

/// Who has the channel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Holder {
    Nobody,
    Hand,
    Rule(RuleId),
    Default,
}

#[derive(Clone, Copy, Debug)]
struct Pick {
    camera: CameraId,
    until: Option<Utc>,
}

/// Where the aircraft is and points, for cameras that look at a sight.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pose<'a> {
    pub(crate) surface: &'a Surface,
    pub(crate) altitude: Option<f64>,
    pub(crate) heading: Option<DegreesTrue>,
}

/// The camera channel.
#[derive(Debug)]
pub(crate) struct Camera {
    out_of_service: Vec<bool>,
    not_allowed: Vec<bool>,
    default: Vec<CameraTurn>,
    /// Of each rule, its sequence without the cameras that may not be used.
    sequences: Vec<Vec<CameraTurn>>,
    sights: Vec<Surface>,
    live: Option<CameraId>,
    live_why: CameraWhy,
    shot_began: Utc,
    holder: Holder,
    turn: usize,
    turn_came: Utc,
    turn_began: Option<Utc>,
    hand: Option<Pick>,
    /// The rule that has the channel as far as rules go, judged at the last fix.
    winner: Option<RuleId>,
    /// Of a winner that looks at a sight, the camera chosen.
    chosen: Option<CameraId>,
    /// An active rule that looks at a sight was asked at the last fix.
    looking: bool,
}

impl Camera {
    pub(crate) fn new(plan: &Plan, day: &Day) -> Self {
        let marked = |list: &[CameraId]| {
            let mut marks = vec![false; plan.aircraft.cameras.len()];
            for camera in list {
                if let Some(mark) = marks.get_mut(camera.index()) {
                    *mark = true;
                }
            }
            marks
        };
        let (out_of_service, not_allowed) = (marked(&day.out_of_service), marked(&day.not_allowed));
        let usable = |camera: CameraId| {
            let index = camera.index();
            out_of_service.get(index) == Some(&false) && not_allowed.get(index) == Some(&false)
        };
        let all = (0..plan.aircraft.cameras.len())
            .map(|index| CameraId(u32::try_from(index).unwrap_or(u32::MAX)));
        let default = all
            .filter(|camera| usable(*camera))
            .map(|camera| CameraTurn { camera, lasts: Some(plan.settings.default_turn) })
            .collect();
        let sequences = plan.rules.iter().map(|rule| match &rule.camera {
            Some(CameraEffect::Sequence(turns)) => {
                turns.iter().copied().filter(|turn| usable(turn.camera)).collect()
            }
            Some(CameraEffect::LookAt { from, .. }) => from
                .iter()
                .filter(|camera| usable(**camera))
                .map(|camera| CameraTurn { camera: *camera, lasts: None })
                .collect(),
            None => Vec::new(),
        });
        Self {
            sequences: sequences.collect(),
            default,
            sights: plan.places.iter().map(|place| Surface::from(place.position)).collect(),
            out_of_service,
            not_allowed,
            live: None,
            live_why: CameraWhy::NoCamera,
            shot_began: Utc(0),
            holder: Holder::Nobody,
            turn: 0,
            turn_came: Utc(0),
            turn_began: None,
            hand: None,
            winner: None,
            chosen: None,
            looking: false,
        }
    }

    pub(crate) fn begin_run(&mut self) {
        self.live = None;
        self.live_why = CameraWhy::NoCamera;
        self.holder = Holder::Nobody;
        self.hand = None;
        self.winner = None;
        self.chosen = None;
    }

    /// Camera by hand begins anew, and no rule has the channel.
    pub(crate) fn begin_flight(&mut self, out: &mut Outbox) {
        if self.return_to_automatic() {
            out.push(Event::HandCameraEnded, None);
        }
        self.winner = None;
        self.chosen = None;
        if matches!(self.holder, Holder::Rule(_) | Holder::Hand) {
            self.holder = Holder::Nobody;
        }
    }

    /// GPS has been lost for longer than the shot hold: no rule has the channel any more.
    pub(crate) fn end_hold(&mut self) {
        self.winner = None;
        self.chosen = None;
    }

    pub(crate) fn live(&self) -> Option<CameraId> {
        self.live
    }

    pub(crate) fn why(&self) -> CameraWhy {
        self.live_why
    }

    pub(crate) fn holder(&self) -> Holder {
        self.holder
    }

    /// The rule that has the channel as far as rules go.
    pub(crate) fn winner(&self) -> Option<RuleId> {
        self.winner
    }

    /// Whether the camera is to be judged at every fix: a rule that looks at a sight may want it.
    pub(crate) fn looks_at_a_sight(&self) -> bool {
        self.looking
    }

    /// Whether an active rule has nothing to show: it was asked at the last fix, or would not have
    /// helped.
    pub(crate) fn yields(&self, plan: &Plan, rule: RuleId) -> bool {
        let looks = matches!(
            plan.rules.get(rule.index()).and_then(|rule| rule.camera.as_ref()),
            Some(CameraEffect::LookAt { .. })
        );
        let rank = |id: RuleId| plan.rules.get(id.index()).map(|rule| (rule.priority, id));
        let asked = match (self.winner.and_then(rank), rank(rule)) {
            (Some(winner), Some(this)) => comes_before(this, winner),
            _ => true,
        };
        asked && (self.has_none(rule) || looks)
    }

    /// Whether a rule has no camera left to show today.
    fn has_none(&self, rule: RuleId) -> bool {
        self.sequences.get(rule.index()).is_none_or(Vec::is_empty)
    }

    /// The camera wanted, where it waits for the minimum shot.
    pub(crate) fn next(&self) -> Option<CameraId> {
        let wanted = self.wanted().map(|turn| turn.camera);
        wanted.filter(|wanted| Some(*wanted) != self.live)
    }

    /// Whether no camera may be used today.
    pub(crate) fn has_no_camera(&self) -> bool {
        self.default.is_empty()
    }

    pub(crate) fn usable(&self, camera: CameraId) -> HandOutcome {
        if self.out_of_service.get(camera.index()) != Some(&false) {
            HandOutcome::OutOfService
        } else if self.not_allowed.get(camera.index()) != Some(&false) {
            HandOutcome::NotAllowed
        } else {
            HandOutcome::Done
        }
    }

    pub(crate) fn pick(&mut self, now: Utc, camera: CameraId, lasts: ManualCamera) -> HandOutcome {
        let outcome = self.usable(camera);
        if outcome == HandOutcome::Done {
            let until = match lasts {
                ManualCamera::For(time) => Some(now + time),
                ManualCamera::UntilReturned => None,
            };
            self.hand = Some(Pick { camera, until });
        }
        outcome
    }

    /// Ends a pick by hand; tells whether there was one.
    pub(crate) fn return_to_automatic(&mut self) -> bool {
        self.hand.take().is_some()
    }

    /// What is due to end, ends.
    pub(crate) fn end_due(&mut self, now: Utc, out: &mut Outbox) {
        if self.hand.is_some_and(|pick| pick.until.is_some_and(|until| until <= now)) {
            self.hand = None;
            out.push(Event::HandCameraEnded, None);
        }
    }

    /// Judges at a fix which rule has the channel.
    pub(crate) fn judge(&mut self, plan: &Plan, rules: &Rules, pose: &Pose<'_>) {
        let before = self.winner.zip(self.chosen);
        let mut tried: Option<(i32, RuleId)> = None;
        self.winner = None;
        self.chosen = None;
        self.looking = false;
        loop {
            let next = rules
                .active()
                .iter()
                .filter_map(|id| plan.rules.get(id.index()).map(|rule| (rule, *id)))
                .filter(|(rule, _)| rule.camera.is_some())
                .map(|(rule, id)| (rule.priority, id))
                .filter(|found| tried.is_none_or(|tried| comes_before(tried, *found)))
                .reduce(|best, found| if comes_before(found, best) { found } else { best });
            let Some((priority, rule)) = next else { return };
            tried = Some((priority, rule));
            match plan.rules.get(rule.index()).and_then(|rule| rule.camera.as_ref()) {
                Some(CameraEffect::LookAt { sight, .. }) => {
                    self.looking = true;
                    let kept =
                        before.filter(|(winner, _)| *winner == rule).map(|(_, camera)| camera);
                    if let Some(camera) = self.choose(plan, rule, sight.index(), kept, pose) {
                        self.winner = Some(rule);
                        self.chosen = Some(camera);
                        return;
                    }
                }
                _ if self.has_none(rule) => {}
                _ => {
                    self.winner = Some(rule);
                    return;
                }
            }
        }
    }

    /// The camera that looks at a sight, if one has it in its frame.
    fn choose(
        &self,
        plan: &Plan,
        rule: RuleId,
        sight: usize,
        kept: Option<CameraId>,
        pose: &Pose<'_>,
    ) -> Option<CameraId> {
        let Some(heading) = pose.heading else { return kept };
        let place = plan.places.get(sight)?;
        let direction =
            direction_to(pose, self.sights.get(sight)?, place.elevation.map(earth::Metres::get));
        let mut best: Option<(f64, CameraId)> = None;
        let mut of_kept = None;
        for turn in self.sequences.get(rule.index())? {
            let camera = plan.aircraft.cameras.get(turn.camera.index())?;
            let Some(off) = off_axis(camera, heading, direction) else { continue };
            if Some(turn.camera) == kept {
                of_kept = Some(off);
            }
            if best.is_none_or(|(least, _)| off < least) {
                best = Some((off, turn.camera));
            }
        }
        let (least, nearest) = best?;
        match (kept, of_kept) {
            (Some(kept), Some(off)) if least >= off - NEARER => Some(kept),
            _ => Some(nearest),
        }
    }

    fn wanted(&self) -> Option<CameraTurn> {
        match self.holder {
            Holder::Nobody => None,
            Holder::Hand => self.hand.map(|pick| CameraTurn { camera: pick.camera, lasts: None }),
            Holder::Rule(_) if self.chosen.is_some() => {
                self.chosen.map(|camera| CameraTurn { camera, lasts: None })
            }
            Holder::Rule(rule) => self.sequences.get(rule.index())?.get(self.turn).copied(),
            Holder::Default => self.default.get(self.turn).copied(),
        }
    }

    fn turns(&self) -> usize {
        match self.holder {
            Holder::Rule(_) if self.chosen.is_some() => 1,
            Holder::Rule(rule) => self.sequences.get(rule.index()).map_or(0, Vec::len),
            Holder::Default => self.default.len(),
            Holder::Nobody | Holder::Hand => 1,
        }
    }

    /// Settles the channel. `lost` tells that GPS is lost, `hold_over` that the shot hold is over.
    pub(crate) fn settle(
        &mut self,
        now: Utc,
        minimum_shot: Millis,
        lost: bool,
        hold_over: bool,
        out: &mut Outbox,
    ) {
        let (holder, why) = if self.hand.is_some() {
            (Holder::Hand, CameraWhy::Hand)
        } else if hold_over {
            (Holder::Default, CameraWhy::Lost)
        } else if let Some(rule) = self.winner {
            (
                Holder::Rule(rule),
                if lost { CameraWhy::ShotHold(rule) } else { CameraWhy::Rule(rule) },
            )
        } else {
            (Holder::Default, CameraWhy::DefaultSequence)
        };
        if holder != self.holder {
            self.holder = holder;
            self.turn = 0;
            self.turn_came = now;
            self.turn_began = None;
        }
        let rule = match holder {
            Holder::Rule(rule) => Some(rule),
            _ => None,
        };
        // Each round either ends or passes one turn on; a turn lasts at least a millisecond.
        while let Some(wanted) = self.wanted() {
            if self.live == Some(wanted.camera) {
                self.live_why = why;
                let began = *self.turn_began.get_or_insert(self.turn_came);
                match wanted.lasts {
                    Some(lasts) if self.turns() > 1 && now - began >= lasts.max(Millis(1)) => {
                        self.turn = (self.turn + 1) % self.turns();
                        self.turn_came = began + lasts.max(Millis(1));
                        self.turn_began = None;
                    }
                    _ => break,
                }
            } else {
                let waits = holder != Holder::Hand && now - self.shot_began < minimum_shot;
                if self.live.is_some() && waits {
                    break;
                }
                let event = Event::Camera { from: self.live, to: Some(wanted.camera), why };
                out.push(event, rule);
                self.live = Some(wanted.camera);
                self.live_why = why;
                self.shot_began = now;
                self.turn_began = Some(now);
            }
        }
    }

    /// When the channel has next to be settled.
    pub(crate) fn due(&self, minimum_shot: Millis) -> Option<Utc> {
        let hand = self.hand.and_then(|pick| pick.until);
        let wanted = self.wanted();
        let change = match wanted {
            Some(wanted) if Some(wanted.camera) != self.live => {
                Some(self.shot_began + minimum_shot)
            }
            Some(CameraTurn { lasts: Some(lasts), .. }) if self.turns() > 1 => {
                self.turn_began.map(|began| began + lasts.max(Millis(1)))
            }
            _ => None,
        };
        match (hand, change) {
            (Some(hand), Some(change)) => Some(hand.min(change)),
            (hand, change) => hand.or(change),
        }
    }
}

/// Whether a rule wins over another: the higher priority, then the one written first.
fn comes_before(one: (i32, RuleId), other: (i32, RuleId)) -> bool {
    one.0 > other.0 || one.0 == other.0 && one.1 < other.1
}

/// Azimuth of a sight, and its elevation above the horizon in degrees where the heights are known.
fn direction_to(
    pose: &Pose<'_>,
    sight: &Surface,
    elevation: Option<f64>,
) -> (DegreesTrue, Option<f64>) {
    let azimuth = pose.surface.azimuth_to(sight);
    let raised = pose.altitude.zip(elevation).map(|(altitude, elevation)| {
        let from = pose.surface.point + pose.surface.up * altitude;
        let to = sight.point + sight.up * elevation;
        let across = to - from;
        let up = across.dot(pose.surface.up);
        let level = (across - pose.surface.up * up).length();
        libm::atan2(up, level).to_degrees()
    });
    (azimuth, raised)
}

/// Degrees from a camera's axis to a direction, if its frame holds the direction. Where a height is
/// not known, the direction's or the frame's, the width alone decides.
fn off_axis(
    camera: &plan::Camera,
    heading: DegreesTrue,
    (azimuth, raised): (DegreesTrue, Option<f64>),
) -> Option<f64> {
    let aside = heading.turned(camera.bearing).shortest_to(azimuth).get().abs();
    if aside > camera.width.get() / 2.0 {
        return None;
    }
    let Some(raised) = raised else { return Some(aside) };
    let axis = -camera.depression.get();
    if camera.height.is_some_and(|height| (raised - axis).abs() > height.get() / 2.0) {
        return None;
    }
    let (sin_raised, cos_raised) = libm::sincos(raised.to_radians());
    let (sin_axis, cos_axis) = libm::sincos(axis.to_radians());
    let together = sin_raised * sin_axis + cos_raised * cos_axis * libm::cos(aside.to_radians());
    Some(libm::acos(together.clamp(-1.0, 1.0)).to_degrees())
}

/// Whether a camera of an aircraft flying level has a sight in its frame, as `look at` sees it.
/// Altitude and elevation are above mean sea level; where one is not known the frame's width alone
/// decides.
#[must_use]
pub fn in_frame(
    camera: &plan::Camera,
    (from, altitude): (&Surface, Option<earth::Metres>),
    heading: DegreesTrue,
    (sight, elevation): (&Surface, Option<earth::Metres>),
) -> bool {
    let altitude = altitude.map(earth::Metres::get);
    let pose = Pose { surface: from, altitude, heading: Some(heading) };
    let direction = direction_to(&pose, sight, elevation.map(earth::Metres::get));
    off_axis(camera, heading, direction).is_some()
}
