//! Why a sight is not filmed.

use earth::{Metres, Millis, Share};
use plan::{CameraId, Day, Plan, Wanted, ZoneId};
use timeline::{Flight, Span, words};

use crate::look::Seen;
use crate::sight::{Filmed, Glance, SightSeen, Stretch, held, is_as_wanted};

/// What hindered a sight from being filmed: of all that was missing, what came nearest to a film.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Hindrance {
    /// It was filmed as wanted, but for too short a time in one shot.
    TooShort {
        /// The longest of it.
        longest: Filmed,
    },
    /// The live camera held it as wanted for long enough, and nothing was recorded then.
    NotRecorded {
        /// By which camera.
        camera: CameraId,
        /// When it was held.
        span: Span,
        /// The no-filming zone in which that was, if it was in one.
        zone: Option<ZoneId>,
    },
    /// Another camera held it as wanted while one that did not was live.
    OtherCameraLive {
        /// The camera that had it the longest.
        had: CameraId,
        /// When.
        span: Span,
        /// The camera that was live for most of that; none where none was.
        live: Option<CameraId>,
    },
    /// Only a camera that is out of service or not allowed today would have held it.
    CameraNotUsed {
        /// Which.
        camera: CameraId,
        /// When.
        span: Span,
    },
    /// It was in the picture, but too far away and too small.
    TooFar {
        /// The nearest that it was in a picture, and by which camera.
        nearest: (CameraId, Metres),
        /// The largest that it was, where that is known.
        largest: Option<Share>,
    },
    /// The airframe stood before it whenever a camera pointed there.
    BehindAirframe {
        /// Of which camera, for the longest time.
        camera: CameraId,
        /// For how long.
        lasts: Millis,
    },
    /// The ground stood before it.
    BehindGround {
        /// For how long while a camera pointed there.
        lasts: Millis,
    },
    /// The curve of the earth hid it.
    BelowHorizon,
    /// No camera pointed there.
    OutOfFrame,
    /// It was not known where the nose points.
    HeadingNotKnown,
    /// The aircraft has no camera that looks outside.
    NoCamera,
}

pub(crate) fn hindrance(
    plan: &Plan,
    day: &Day,
    flight: &Flight,
    seen: &SightSeen,
    glances: &[Glance<'_>],
) -> Hindrance {
    let held = held(&seen.wanted, glances);
    let long = |span: &Span| span.length() >= seen.wanted.lasts;
    let live = live(flight, &held);
    // Held live for long enough: then it was the recording.
    if let Some((camera, span)) =
        live.iter().copied().filter(|(_, span)| long(span)).max_by_key(length)
    {
        return Hindrance::NotRecorded { camera, span, zone: forbidden(flight, span) };
    }
    let others = held.iter().filter(|stretch| day.uses(stretch.camera));
    let other = others.map(|it| (it.camera, it.span)).max_by_key(length);
    if let Some((had, span)) = other.filter(|(_, span)| long(span)) {
        // What was live meanwhile; the cuts between cameras that had it may have made it short.
        let most = most_live(flight, span);
        if most != Some(had) {
            return Hindrance::OtherCameraLive { had, span, live: most };
        }
    }
    if let Some(longest) = seen.filmed {
        return Hindrance::TooShort { longest };
    }
    if let Some((camera, span)) = live.into_iter().max_by_key(length) {
        return Hindrance::NotRecorded { camera, span, zone: forbidden(flight, span) };
    }
    if let Some((had, span)) = other {
        return Hindrance::OtherCameraLive { had, span, live: most_live(flight, span) };
    }
    let idle = held.iter().filter(|stretch| !day.uses(stretch.camera));
    if let Some((camera, span)) = idle.map(|it| (it.camera, it.span)).max_by_key(length) {
        return Hindrance::CameraNotUsed { camera, span };
    }
    never(plan, day, &seen.wanted, glances)
}

fn length(held: &(CameraId, Span)) -> Millis {
    held.1.length()
}

/// What was held by the camera that was live.
fn live(flight: &Flight, held: &[Stretch]) -> Vec<(CameraId, Span)> {
    let shots = |stretch: &Stretch| {
        let camera = stretch.camera;
        let span = stretch.span;
        let shots = flight.shots.iter().filter(move |shot| shot.camera == camera);
        shots.filter_map(move |shot| Some((camera, shot.span.overlap(span)?)))
    };
    held.iter().flat_map(shots).collect()
}

/// The no-filming zone that a stretch lies in, at least in part.
fn forbidden(flight: &Flight, span: Span) -> Option<ZoneId> {
    let inside = flight.no_filming.iter().find(|visit| visit.span.overlap(span).is_some());
    inside.map(|visit| visit.zone)
}

/// The camera that was live for most of a stretch.
fn most_live(flight: &Flight, span: Span) -> Option<CameraId> {
    let mut sums: Vec<(CameraId, Millis)> = Vec::new();
    for shot in &flight.shots {
        let Some(both) = shot.span.overlap(span) else { continue };
        match sums.iter_mut().find(|(camera, _)| *camera == shot.camera) {
            Some((_, sum)) => *sum = *sum + both.length(),
            None => sums.push((shot.camera, both.length())),
        }
    }
    sums.into_iter().max_by_key(|(_, sum)| *sum).map(|(camera, _)| camera)
}

/// Why it was never in a picture as it is wanted.
fn never(plan: &Plan, day: &Day, wanted: &Wanted, glances: &[Glance<'_>]) -> Hindrance {
    let cameras = &plan.aircraft.cameras;
    if cameras.iter().all(|camera| camera.cabin || camera.width.get() <= 0.0) {
        return Hindrance::NoCamera;
    }
    let mut nearest: Option<(CameraId, Metres)> = None;
    let mut largest: Option<Share> = None;
    // What stood before it where it would have been filmed else, and what stood before it farther off.
    let mut near = Stood { hidden: vec![Millis::ZERO; cameras.len()], ground: Millis::ZERO };
    let mut far = near.clone();
    let (mut below, mut known) = (Millis::ZERO, false);
    for glance in glances {
        let lasts = glance.pose.lasts;
        let (mut ground_near, mut ground_far) = (false, false);
        for (number, look) in glance.looks.iter().enumerate() {
            let camera = CameraId(u32::try_from(number).unwrap_or(u32::MAX));
            if !day.uses(camera) {
                continue;
            }
            let is_near = is_as_wanted(wanted, look);
            match look.seen {
                Seen::InFrame => {
                    let distance = look.direction.map_or(Metres::ZERO, |it| it.distance);
                    if nearest.is_none_or(|(_, least)| distance < least) {
                        nearest = Some((camera, distance));
                    }
                    if look.size > largest {
                        largest = look.size;
                    }
                }
                Seen::BehindAirframe => {
                    let stood = if is_near { &mut near } else { &mut far };
                    if let Some(sum) = stood.hidden.get_mut(number) {
                        *sum = *sum + lasts;
                    }
                }
                Seen::BehindGround if is_near => ground_near = true,
                Seen::BehindGround => ground_far = true,
                Seen::BelowHorizon => below = below + lasts,
                _ => {}
            }
            known |= look.direction.is_some();
        }
        for (stood, there) in [(&mut near, ground_near), (&mut far, ground_far)] {
            if there {
                stood.ground = stood.ground + lasts;
            }
        }
    }
    if !known {
        return Hindrance::HeadingNotKnown;
    }
    if let Some(stood) = near.most() {
        return stood;
    }
    if let Some(nearest) = nearest {
        return Hindrance::TooFar { nearest, largest };
    }
    match far.most() {
        Some(stood) => stood,
        None if below > Millis::ZERO => Hindrance::BelowHorizon,
        None => Hindrance::OutOfFrame,
    }
}

/// For how long something stood before a sight.
#[derive(Clone)]
struct Stood {
    /// The airframe, in the picture of each camera.
    hidden: Vec<Millis>,
    ground: Millis,
}

impl Stood {
    /// What stood before it the longest; none where nothing did.
    fn most(&self) -> Option<Hindrance> {
        let most = (0..).map(CameraId).zip(&self.hidden).max_by_key(|(_, lasts)| **lasts);
        let most = most.filter(|(_, lasts)| **lasts > Millis::ZERO);
        match most {
            Some((camera, lasts)) if *lasts >= self.ground => {
                Some(Hindrance::BehindAirframe { camera, lasts: *lasts })
            }
            _ if self.ground > Millis::ZERO => Some(Hindrance::BehindGround { lasts: self.ground }),
            _ => None,
        }
    }
}

impl Hindrance {
    /// In a word of its own, for programs.
    #[must_use]
    pub const fn name(&self) -> &'static str {
        match self {
            Self::TooShort { .. } => "too_short",
            Self::NotRecorded { zone: Some(_), .. } => "no_filming",
            Self::NotRecorded { zone: None, .. } => "not_recorded",
            Self::OtherCameraLive { .. } => "other_camera_live",
            Self::CameraNotUsed { .. } => "camera_not_used",
            Self::TooFar { .. } => "too_far",
            Self::BehindAirframe { .. } => "behind_airframe",
            Self::BehindGround { .. } => "behind_ground",
            Self::BelowHorizon => "below_horizon",
            Self::OutOfFrame => "out_of_frame",
            Self::HeadingNotKnown => "heading_not_known",
            Self::NoCamera => "no_camera",
        }
    }

    /// The camera that had the sight, or would have had it.
    #[must_use]
    pub const fn had(&self) -> Option<CameraId> {
        match self {
            Self::TooShort { longest } => Some(longest.camera),
            Self::NotRecorded { camera, .. }
            | Self::CameraNotUsed { camera, .. }
            | Self::BehindAirframe { camera, .. } => Some(*camera),
            Self::OtherCameraLive { had, .. } => Some(*had),
            Self::TooFar { nearest, .. } => Some(nearest.0),
            Self::BehindGround { .. }
            | Self::BelowHorizon
            | Self::OutOfFrame
            | Self::HeadingNotKnown
            | Self::NoCamera => None,
        }
    }

    /// When that was, where there is one moment to point at.
    #[must_use]
    pub const fn when(&self) -> Option<Span> {
        match self {
            Self::TooShort { longest } => Some(longest.span),
            Self::NotRecorded { span, .. }
            | Self::OtherCameraLive { span, .. }
            | Self::CameraNotUsed { span, .. } => Some(*span),
            _ => None,
        }
    }

    /// In a sentence for people, without a full stop.
    #[must_use]
    pub fn words(&self, plan: &Plan, wanted: &Wanted) -> String {
        let camera = |id: CameraId| words::camera(plan, id);
        let seconds = |time: Millis| format!("{:.1} s", time.secs());
        match self {
            Self::TooShort { longest } => format!(
                "filmed by `{}` for {} at a stretch, {} are wanted",
                camera(longest.camera),
                seconds(longest.span.length()),
                seconds(wanted.lasts),
            ),
            Self::NotRecorded { camera: id, span, zone } => {
                let why = zone.map_or_else(
                    || "nothing was recorded then".to_owned(),
                    |zone| format!("it is in no-filming zone `{}`", words::zone(plan, zone)),
                );
                format!(
                    "`{}` was live and held it for {}, but {why}",
                    camera(*id),
                    seconds(span.length())
                )
            }
            Self::OtherCameraLive { had, span, live } => {
                let live = live.map_or_else(
                    || "none was live".to_owned(),
                    |live| format!("`{}` was live", camera(live)),
                );
                format!("`{}` held it for {} while {live}", camera(*had), seconds(span.length()))
            }
            Self::CameraNotUsed { camera: id, span } => format!(
                "only `{}`, which is not used today, would have held it, for {}",
                camera(*id),
                seconds(span.length()),
            ),
            Self::TooFar { nearest: (id, distance), largest } => {
                let size = largest.map_or_else(String::new, |size| {
                    format!(", {:.1} % of the picture high", size.percent())
                });
                let within =
                    wanted.within.map(|it| format!("within {:.2} NM", it.nautical_miles()));
                let at = wanted.size.map(|it| format!("{:.1} % high", it.percent()));
                let wanted: Vec<String> = within.into_iter().chain(at).collect();
                format!(
                    "in the picture of `{}` no nearer than {:.2} NM{size}; wanted {}",
                    camera(*id),
                    distance.nautical_miles(),
                    wanted.join(" or "),
                )
            }
            Self::BehindAirframe { camera: id, lasts } => format!(
                "the airframe stood before it in the picture of `{}` for {}",
                camera(*id),
                seconds(*lasts),
            ),
            Self::BehindGround { lasts } => {
                format!("the ground stood before it, for {}", seconds(*lasts))
            }
            Self::BelowHorizon => "it was beyond the horizon".to_owned(),
            Self::OutOfFrame => "no camera pointed there".to_owned(),
            Self::HeadingNotKnown => "it is not known where the nose pointed".to_owned(),
            Self::NoCamera => "the aircraft has no camera that looks outside".to_owned(),
        }
    }
}
