//! One camera, one moment, one sight: whether the sight is in the picture, and where.
//!
//! Three frames follow each other. East, north and up where the aircraft is; forward, right and down
//! of the aircraft, its nose level along the heading and its wings banked; right, up and ahead of the
//! camera, whose mount says where its axis points in the frame of the aircraft. What lies ahead is
//! then put on the picture as the lens does it:
//!
//! - rectilinear: x / z and y / z, so that the edge of a field of view w is at tan(w / 2);
//! - equidistant: as far from the middle as the angle to the axis, so that the edge is at w / 2.
//!
//! # References
//! Both projections as in any textbook of photography or photogrammetry; the field of view of a
//! rectilinear lens is 2 atan(s / 2f) for a sensor of width s and a focal length f.

use earth::{Degrees, Metres, Position, Share, Surface, Vector, horizon, trig};
use plan::{Camera, Lens};
use terrain::Terrain;

use crate::pose::Pose;

/// A sight as something to look at.
#[derive(Clone, Debug)]
pub struct Target {
    position: Position,
    surface: Surface,
    /// Of the middle of the thing, above mean sea level.
    middle: Option<f64>,
    /// Of its top.
    top: Option<f64>,
    /// Of the thing itself.
    height: Option<f64>,
}

impl Target {
    /// A place to look at: the middle of the thing where its height is known, else its ground.
    #[must_use]
    pub fn new(place: &plan::Place) -> Self {
        Self::at(place.position, place.elevation, place.height)
    }

    /// A thing of a height on ground of an elevation, each as far as it is known.
    #[must_use]
    pub fn at(position: Position, elevation: Option<Metres>, height: Option<Metres>) -> Self {
        let ground = elevation.map(Metres::get);
        let tall = height.map(Metres::get);
        let raised = |share: f64| ground.map(|ground| ground + tall.unwrap_or(0.0) * share);
        Self {
            position,
            surface: Surface::from(position),
            middle: raised(0.5),
            top: raised(1.0),
            height: tall,
        }
    }

    /// The point of the ellipsoid beneath it.
    #[must_use]
    pub const fn surface(&self) -> &Surface {
        &self.surface
    }

    /// How high its top is above mean sea level, if known.
    #[must_use]
    pub fn top(&self) -> Option<Metres> {
        self.top.map(Metres::of)
    }
}

/// Where a sight is from the aircraft, in the frame of the aircraft.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Direction {
    /// Clockwise from the nose, 0 ≤ value < 360.
    pub bearing: Degrees,
    /// Above the plane of the wings; negative below. `None` where altitude or elevation is not
    /// known: then the aircraft is taken as level and the width of a frame alone decides.
    pub elevation: Option<Degrees>,
    /// Straight to it; along the ground where a height is not known.
    pub distance: Metres,
    /// Whether the curve of the earth hides even its top.
    pub below_horizon: bool,
    /// The angle that it is high, seen from here; `None` where its height is not known.
    pub tall: Option<Degrees>,
    /// Forward, right, down, length 1.
    ahead: [f64; 3],
}

/// Where a sight is from an aircraft; none where it is not known where the nose points.
#[must_use]
pub fn direction(pose: &Pose, target: &Target) -> Option<Direction> {
    let heading = pose.heading?.0;
    let from = &pose.surface;
    let heights = pose.altitude.map(Metres::get).zip(target.middle);
    let (across, known) = match heights {
        Some((altitude, middle)) => {
            let here = from.point + from.up * altitude;
            (target.surface.point + target.surface.up * middle - here, true)
        }
        None => (target.surface.point - from.point, false),
    };
    let (east, north) = from.east_and_north();
    let (e, n, u) = (across.dot(east), across.dot(north), across.dot(from.up));
    let u = if known { u } else { 0.0 };
    let (sin, cos) = trig::sin_cos(heading.get());
    let (forward, right, down) = (e * sin + n * cos, e * cos - n * sin, -u);
    let (forward, right, down) = banked((forward, right, down), pose.bank.filter(|_| known));
    let length = Vector([forward, right, down]).length();
    if length <= 0.0 {
        return None;
    }
    let bearing = trig::bearing(right, forward);
    let level = (forward * forward + right * right).sqrt();
    let elevation = known.then(|| Degrees::of(trig::bearing(-down, level)));
    let tall = known.then_some(()).and(target.height).map(|height| {
        // Seen at a right angle from as far away; from above it is foreshortened.
        let steep = (u / length).abs().min(1.0);
        let upright = height * (1.0 - steep * steep).sqrt();
        Degrees::of(2.0 * trig::bearing(upright / 2.0, length))
    });
    let below_horizon = heights.is_some() && {
        let top = target.top.unwrap_or(0.0);
        let altitude = pose.altitude.map_or(0.0, Metres::get);
        let seen = horizon::sees(Metres::of(altitude), Metres::of(top));
        from.chord(&target.surface) > seen.get()
    };
    Some(Direction {
        bearing: Degrees::of(bearing.rem_euclid(360.0)),
        elevation,
        distance: Metres::of(length),
        below_horizon,
        tall,
        ahead: [forward / length, right / length, down / length],
    })
}

/// From level wings to banked ones: the right wing goes down in a turn to the right.
fn banked((forward, right, down): (f64, f64, f64), bank: Option<Degrees>) -> (f64, f64, f64) {
    let (sin, cos) = trig::sin_cos(bank.map_or(0.0, Degrees::get));
    (forward, right * cos + down * sin, down * cos - right * sin)
}

impl Direction {
    /// Of what lies far away in a direction of length 1 from an aircraft with level wings: forward,
    /// right, down.
    pub(crate) fn of(level: (f64, f64, f64), bank: Option<Degrees>) -> Self {
        let (forward, right, down) = banked(level, bank);
        let bearing = trig::bearing(right, forward);
        let across = (forward * forward + right * right).sqrt();
        Self {
            bearing: Degrees::of(bearing.rem_euclid(360.0)),
            elevation: Some(Degrees::of(trig::bearing(-down, across))),
            distance: Metres::of(f64::MAX),
            below_horizon: false,
            tall: None,
            ahead: [forward, right, down],
        }
    }
}

/// Whether a camera has a sight in its picture, and what is in the way if not.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Seen {
    /// It is in the picture.
    InFrame,
    /// The frame does not reach it.
    OutOfFrame,
    /// The airframe stands before it.
    BehindAirframe,
    /// The ground stands before it.
    BehindGround,
    /// The curve of the earth hides it.
    BelowHorizon,
    /// It is not known where the nose points.
    HeadingNotKnown,
    /// The camera is one for the cabin, or its field of view is not known.
    NoView,
}

/// A sight in, or out of, a camera's picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    /// Whether it is in the picture.
    pub seen: Seen,
    /// Where it is; none where it is not known where the nose points.
    pub direction: Option<Direction>,
    /// From the camera's axis.
    pub off_axis: Option<Degrees>,
    /// Where it is in the picture: to the right and up, −1 to 1 from edge to edge; up is nought where
    /// a height is not known. `None` behind a rectilinear lens.
    pub picture: Option<(f64, f64)>,
    /// How high it stands in the picture, of the picture's height; `None` where its height, or that
    /// of the frame, is not known.
    pub size: Option<Share>,
}

/// Looks at a sight by a camera.
#[must_use]
pub fn look(camera: &Camera, pose: &Pose, target: &Target) -> Look {
    through(camera, direction(pose, target))
}

/// Looks by a camera into a direction that is known.
#[must_use]
pub fn through(camera: &Camera, direction: Option<Direction>) -> Look {
    Eye::new(camera).look(direction)
}

/// All cameras of an aircraft, for whoever looks by them often.
#[derive(Debug)]
pub struct Eyes<'c>(Vec<Eye<'c>>);

impl<'c> Eyes<'c> {
    /// The cameras in the aircraft's order.
    #[must_use]
    pub fn new(cameras: &'c [Camera]) -> Self {
        Self(cameras.iter().map(Eye::new).collect())
    }

    /// Looks at a sight by each camera, as [`look`] does; where heights of the ground are known, a
    /// hill may stand before it.
    #[must_use]
    pub fn look(&self, pose: &Pose, target: &Target, ground: Option<&Terrain>) -> Vec<Look> {
        let towards = direction(pose, target);
        let mut looks: Vec<Look> = self.0.iter().map(|eye| eye.look(towards)).collect();
        // The ground is asked only where it matters.
        if let (Some(ground), Some(altitude), Some(top)) = (ground, pose.altitude, target.top())
            && looks.iter().any(|look| look.seen == Seen::InFrame)
            && ground.blocks((pose.position, altitude), (target.position, top)).is_some()
        {
            for look in looks.iter_mut().filter(|look| look.seen == Seen::InFrame) {
                look.seen = Seen::BehindGround;
            }
        }
        looks
    }
}

/// A camera with the sines of its mount and the edges of its picture.
#[derive(Debug)]
struct Eye<'c> {
    camera: &'c Camera,
    bearing: (f64, f64),
    depression: (f64, f64),
    /// The tangents of half its width and half its height.
    edge: (f64, Option<f64>),
}

impl<'c> Eye<'c> {
    fn new(camera: &'c Camera) -> Self {
        let edge = |angle: Degrees| trig::tan(angle.get() / 2.0);
        Self {
            camera,
            bearing: trig::sin_cos(camera.bearing.get()),
            depression: trig::sin_cos(camera.depression.get()),
            edge: (edge(camera.width), camera.height.map(edge)),
        }
    }

    fn look(&self, direction: Option<Direction>) -> Look {
        seen(self, direction)
    }
}

fn seen(eye: &Eye<'_>, direction: Option<Direction>) -> Look {
    let camera = eye.camera;
    let nothing = |seen| Look { seen, direction, off_axis: None, picture: None, size: None };
    if camera.cabin || camera.width.get() <= 0.0 {
        return nothing(Seen::NoView);
    }
    let Some(direction) = direction else { return nothing(Seen::HeadingNotKnown) };
    let [forward, right, down] = direction.ahead;
    let ((sin, cos), (sin_down, cos_down)) = (eye.bearing, eye.depression);
    let known = direction.elevation.is_some();
    let (x, y, z) = if known {
        (
            right * cos - forward * sin,
            forward * sin_down * cos + right * sin_down * sin - down * cos_down,
            forward * cos_down * cos + right * cos_down * sin + down * sin_down,
        )
    } else {
        // How high it lies in the picture is not known: as high as the axis.
        (right * cos - forward * sin, 0.0, forward * cos + right * sin)
    };
    let off_axis = trig::acos(z);
    let height = camera.height.filter(|_| known);
    let picture = on_picture(eye, (x, y, z), off_axis);
    let inside =
        picture.is_some_and(|(x, y)| x.abs() <= 1.0 && (height.is_none() || y.abs() <= 1.0));
    let seen = if direction.below_horizon {
        Seen::BelowHorizon
    } else if !inside {
        Seen::OutOfFrame
    } else if is_hidden(camera, &direction) {
        Seen::BehindAirframe
    } else {
        Seen::InFrame
    };
    let size = direction.tall.zip(camera.height).map(|(tall, height)| size(camera, tall, height));
    Look { seen, direction: Some(direction), off_axis: Some(Degrees::of(off_axis)), picture, size }
}

/// Right and up in the picture, −1 to 1 from edge to edge.
fn on_picture(eye: &Eye<'_>, (x, y, z): (f64, f64, f64), off_axis: f64) -> Option<(f64, f64)> {
    let camera = eye.camera;
    let half = |angle: f64| angle / 2.0;
    let (width, height) = (camera.width.get(), camera.height.map(Degrees::get));
    match camera.lens {
        Lens::Rectilinear => {
            if z <= 0.0 {
                return None;
            }
            let up = eye.edge.1.map_or(0.0, |edge| y / z / edge);
            Some((x / z / eye.edge.0, up))
        }
        Lens::Equidistant => {
            let across = (x * x + y * y).sqrt();
            if across <= 0.0 {
                // Straight ahead; or straight behind, which is at the edge all round.
                return (z > 0.0).then_some((0.0, 0.0));
            }
            let up = height.map_or(0.0, |height| off_axis * (y / across) / half(height));
            Some((off_axis * (x / across) / half(width), up))
        }
    }
}

/// An angle in the middle of the picture as a share of its height.
fn size(camera: &Camera, tall: Degrees, height: Degrees) -> Share {
    Share::of(match camera.lens {
        Lens::Rectilinear => trig::tan(tall.get() / 2.0) / trig::tan(height.get() / 2.0),
        Lens::Equidistant => tall.get() / height.get(),
    })
}

pub(crate) fn is_hidden(camera: &Camera, direction: &Direction) -> bool {
    let bearing = direction.bearing.get();
    camera.hidden.iter().any(|hidden| {
        let from_start = (bearing - hidden.from.get()).rem_euclid(360.0);
        let wide = (hidden.to.get() - hidden.from.get()).rem_euclid(360.0);
        if from_start > wide {
            return false;
        }
        // Where it is not known how high the sight lies, a part of the airframe that does not stand
        // all the way up and down is no obstacle: what is not known hides nothing.
        let Some(elevation) = direction.elevation.map(Degrees::get) else {
            return hidden.below.is_none() && hidden.above.is_none();
        };
        hidden.below.is_none_or(|below| -elevation > below.get())
            && hidden.above.is_none_or(|above| elevation > above.get())
    })
}
