//! Where a sight is in a picture: against published figures, and against a second computation that
//! shares nothing with the first.

#![allow(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a test that cannot go on should stop; the second computation uses other mathematics"
)]

use coverage::{Pose, Seen, Target, bank, direction, look};
use earth::{
    Degrees, DegreesTrue, Metres, MetresPerSecond, Millis, Position, Share, Surface, Utc, geodesic,
};
use engine::{CameraWhy, Gps, HeadingFrom};
use plan::{Camera, Hidden, Lens};

fn pose(at: Position, altitude: Option<f64>, heading: Option<f64>, bank: f64) -> Pose {
    Pose {
        time: Utc(0),
        flight: (1, 1),
        position: at,
        surface: Surface::from(at),
        altitude: altitude.map(Metres::of),
        groundspeed: Some(MetresPerSecond::of(40.0)),
        track: Some(DegreesTrue::of(0.0)),
        heading: heading.map(|heading| (DegreesTrue::of(heading), HeadingFrom::Source)),
        bank: Some(Degrees::of(bank)),
        airborne: Some(true),
        live: None,
        why: CameraWhy::DefaultSequence,
        take: None,
        gps: Gps::Good,
        lasts: Millis(1000),
    }
}

fn camera(bearing: f64, depression: f64, width: f64, height: Option<f64>, lens: Lens) -> Camera {
    Camera {
        name: "c".into(),
        input: 1,
        bearing: Degrees::of(bearing),
        depression: Degrees::of(depression),
        width: Degrees::of(width),
        height: height.map(Degrees::of),
        lens,
        cabin: false,
        hidden: Vec::new(),
    }
}

fn there(from: Position, azimuth: f64, distance: f64) -> Position {
    geodesic::direct(from, DegreesTrue::of(azimuth), Metres::of(distance)).0
}

fn here() -> Position {
    Position::of(46.4, -33.2)
}

/// Fields of view of a 36 by 24 mm sensor behind a 50 mm lens, 39.6 by 27.0 degrees (stored page
/// ayton.id.au, photo:fov), and of 22.5 mm behind 30 mm, 41.1 degrees (sciencezero, Angle_of_view):
/// what is half a sensor aside of the axis, a focal length ahead, is at the edge of the picture.
#[test]
fn published_fields_of_view_are_the_edge_of_a_rectilinear_picture() {
    for (sensor, focal, printed) in [(36.0, 50.0, 39.6), (24.0, 50.0, 27.0), (22.5, 30.0, 41.1)] {
        let camera = camera(0.0, 0.0, printed, None, Lens::Rectilinear);
        let aside = f64::atan2(sensor / 2.0, focal).to_degrees();
        let at = Target::at(there(here(), aside, 500.0), None, None);
        let seen = look(&camera, &pose(here(), None, Some(0.0), 0.0), &at);
        let (x, _) = seen.picture.unwrap();
        // Half of the last printed figure, as a share of half the field.
        assert!((x - 1.0).abs() < 0.05 / printed * 2.0, "{sensor} mm, {focal} mm: {x}");
    }
}

/// Depression angles to a point on flat ground, atan(h / d), computed: 1000 ft at 1 NM and 500 ft at
/// 0.5 NM 9.3459 degrees, 1500 ft at 0.25 NM 44.6389, 2000 ft at 3 NM 6.2614. The earth's curve adds
/// half the angle of the distance, 0.025 degrees at 3 NM.
#[test]
fn depression_angles() {
    for (feet, miles, angle) in [
        (1000.0, 1.0, 9.3459),
        (500.0, 0.5, 9.3459),
        (1500.0, 0.25, 44.6389),
        (2000.0, 3.0, 6.2614),
    ] {
        let distance = Metres::from_nautical_miles(miles).get();
        let at = Target::at(there(here(), 120.0, distance), Some(Metres::ZERO), None);
        let from = pose(here(), Some(Metres::from_feet(feet).get()), Some(30.0), 0.0);
        let seen = direction(&from, &at).unwrap();
        let below = -seen.elevation.unwrap().get();
        let curve = distance / 6_371_000.0 / 2.0_f64;
        assert!(
            (below - angle - curve.to_degrees()).abs() < 0.01,
            "{feet} ft, {miles} NM: {below}"
        );
        assert!((seen.bearing.get() - 90.0).abs() < 1e-3, "{seen:?}");
    }
}

/// FAA-H-8083-25A, chapter 4: at 120 knots and 30 degrees of bank the rate of turn is 5.25 degrees a
/// second, at 240 knots 2.63; the handbook's constant 1091 differs from exact units by 0.11 %.
#[test]
fn the_bank_of_a_published_turn() {
    for (knots, rate) in [(120.0, 5.25), (240.0, 2.63)] {
        let speed = MetresPerSecond::from_knots(knots);
        let right = bank(speed, Degrees::of(rate)).get();
        assert!((right - 30.0).abs() < 0.1, "{knots}: {right}");
        assert!((bank(speed, Degrees::of(-rate)).get() + right).abs() < 1e-9);
    }
}

/// The second computation: azimuth by the published geodesic algorithm, elevation on a sphere of the
/// place's mean curvature, and rotations by matrices made of plain sines and cosines.
fn again(camera: &Camera, pose: &Pose, at: Position, height: f64) -> (f64, Option<(f64, f64)>) {
    let way = geodesic::inverse(pose.position, at);
    let radius = 6_378_000.0;
    let angle = way.distance.get() / radius;
    let (here, there) = (radius + pose.altitude.unwrap().get(), radius + height);
    let up = there * angle.cos() - here;
    let level = there * angle.sin();
    let azimuth = way.azimuth_start.get().to_radians();
    let vector = [level * azimuth.sin(), level * azimuth.cos(), up];
    // East, north, up to forward, right, down.
    let heading = pose.heading.unwrap().0.get().to_radians();
    let bank = pose.bank.unwrap().get().to_radians();
    let level_frame = [
        [heading.sin(), heading.cos(), 0.0],
        [heading.cos(), -heading.sin(), 0.0],
        [0.0, 0.0, -1.0],
    ];
    let roll = [[1.0, 0.0, 0.0], [0.0, bank.cos(), bank.sin()], [0.0, -bank.sin(), bank.cos()]];
    let (b, d) = (camera.bearing.get().to_radians(), camera.depression.get().to_radians());
    let yaw = [[b.cos(), b.sin(), 0.0], [-b.sin(), b.cos(), 0.0], [0.0, 0.0, 1.0]];
    let tilt = [[d.cos(), 0.0, d.sin()], [0.0, 1.0, 0.0], [-d.sin(), 0.0, d.cos()]];
    let times = |matrix: [[f64; 3]; 3], v: [f64; 3]| {
        matrix.map(|row| row[0] * v[0] + row[1] * v[1] + row[2] * v[2])
    };
    let [ahead, right, down] = times(tilt, times(yaw, times(roll, times(level_frame, vector))));
    let length = (ahead * ahead + right * right + down * down).sqrt();
    let off_axis = (ahead / length).acos();
    let half = |angle: f64| (angle / 2.0).to_radians();
    let (width, tall) = (half(camera.width.get()), half(camera.height.unwrap().get()));
    let picture = match camera.lens {
        Lens::Rectilinear => {
            (ahead > 0.0).then(|| (right / ahead / width.tan(), -down / ahead / tall.tan()))
        }
        Lens::Equidistant => {
            let around = (-down).atan2(right);
            Some((off_axis * around.cos() / width, off_axis * around.sin() / tall))
        }
    };
    (off_axis.to_degrees(), picture)
}

fn seeded(seed: &mut u64) -> f64 {
    *seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    (*seed >> 11) as f64 / (1_u64 << 53) as f64
}

#[test]
fn a_second_computation_agrees() {
    let mut seed = 41;
    let mut between = |least: f64, most: f64| least + (most - least) * seeded(&mut seed);
    let mut inside = 0;
    for round in 0..3000 {
        let at = Position::of(between(-70.0, 70.0), between(-180.0, 180.0));
        let lens = if round % 2 == 0 { Lens::Rectilinear } else { Lens::Equidistant };
        let widest = if lens == Lens::Rectilinear { 120.0 } else { 190.0 };
        let camera = camera(
            between(0.0, 360.0),
            between(-10.0, 80.0),
            between(40.0, widest),
            Some(between(30.0, 100.0)),
            lens,
        );
        let pose =
            pose(at, Some(between(100.0, 900.0)), Some(between(0.0, 360.0)), between(-30.0, 30.0));
        let (azimuth, distance) = (between(0.0, 360.0), between(200.0, 6000.0));
        let (place, height) = (there(at, azimuth, distance), between(0.0, 90.0));
        let seen = look(&camera, &pose, &Target::at(place, Some(Metres::of(height)), None));
        let (off_axis, picture) = again(&camera, &pose, place, height);
        // The sphere is not the ellipsoid: 0.02 degrees at 6 km.
        assert!(
            (seen.off_axis.unwrap().get() - off_axis).abs() < 0.03,
            "{round}: {seen:?} {off_axis}"
        );
        let (Some((x, y)), Some((u, v))) = (seen.picture, picture) else { continue };
        if u.abs() < 1.5 && v.abs() < 1.5 {
            assert!((x - u).abs() < 0.01 && (y - v).abs() < 0.01, "{round}: {x} {y}, {u} {v}");
            if u.abs() < 0.98 && v.abs() < 0.98 {
                assert_eq!(seen.seen, Seen::InFrame, "{round}");
                inside += 1;
            }
            if u.abs() > 1.02 || v.abs() > 1.02 {
                assert_eq!(seen.seen, Seen::OutOfFrame, "{round}");
            }
        }
    }
    assert!(inside > 100, "only {inside} were in a picture");
}

/// With the wind from the left the nose points to the left of the track, and what lies on the track
/// stands to the right in the picture of the nose camera. E6B example of the Aviation Formulary would
/// give the angle; here it is 10 degrees.
#[test]
fn crab_moves_the_picture() {
    let nose = camera(0.0, 0.0, 90.0, Some(60.0), Lens::Rectilinear);
    let ahead = Target::at(there(here(), 0.0, 2000.0), Some(Metres::of(300.0)), None);
    let straight = look(&nose, &pose(here(), Some(300.0), Some(0.0), 0.0), &ahead);
    let crabbed = look(&nose, &pose(here(), Some(300.0), Some(350.0), 0.0), &ahead);
    assert!(straight.picture.unwrap().0.abs() < 1e-9);
    let (x, _) = crabbed.picture.unwrap();
    assert!((x - 10.0_f64.to_radians().tan()).abs() < 1e-6, "{x}");
    assert!((crabbed.direction.unwrap().bearing.get() - 10.0).abs() < 1e-6);
}

#[test]
fn a_right_turn_lifts_what_is_on_the_right() {
    let right = Target::at(there(here(), 90.0, 2000.0), Some(Metres::of(300.0)), None);
    let level = direction(&pose(here(), Some(300.0), Some(0.0), 0.0), &right).unwrap();
    let turning = direction(&pose(here(), Some(300.0), Some(0.0), 15.0), &right).unwrap();
    assert!(
        (turning.elevation.unwrap().get() - level.elevation.unwrap().get() - 15.0).abs() < 0.01
    );
}

#[test]
fn the_airframe_hides_what_its_mask_says_and_no_more() {
    let mut left = camera(270.0, 10.0, 100.0, Some(60.0), Lens::Rectilinear);
    let hidden = |from, to, below, above| Hidden {
        from: Degrees::of(from),
        to: Degrees::of(to),
        below: Option::map(below, Degrees::of),
        above: Option::map(above, Degrees::of),
    };
    let seen = |camera: &Camera, azimuth: f64, distance: f64, altitude: Option<f64>| {
        let at = Target::at(there(here(), azimuth, distance), Some(Metres::ZERO), None);
        look(camera, &pose(here(), altitude, Some(0.0), 0.0), &at).seen
    };
    left.hidden = vec![hidden(260.0, 275.0, None, None)];
    assert_eq!(seen(&left, 270.0, 1000.0, Some(200.0)), Seen::BehindAirframe);
    assert_eq!(seen(&left, 276.0, 1000.0, Some(200.0)), Seen::InFrame);
    // 200 m at 1000 m are 11.3 degrees down.
    left.hidden = vec![hidden(260.0, 275.0, Some(12.0), None)];
    assert_eq!(seen(&left, 270.0, 1000.0, Some(200.0)), Seen::InFrame);
    left.hidden = vec![hidden(260.0, 275.0, Some(11.0), None)];
    assert_eq!(seen(&left, 270.0, 1000.0, Some(200.0)), Seen::BehindAirframe);
    // How high it lies is not known: only what stands all the way up hides it.
    assert_eq!(seen(&left, 270.0, 1000.0, None), Seen::InFrame);
    left.hidden = vec![hidden(350.0, 280.0, None, None)];
    assert_eq!(seen(&left, 270.0, 1000.0, None), Seen::BehindAirframe);
}

#[test]
fn what_is_not_known_is_said_and_not_made_up() {
    let left = camera(270.0, 10.0, 100.0, Some(60.0), Lens::Rectilinear);
    let west = |elevation: Option<f64>, height: Option<f64>| {
        let at = there(here(), 270.0, 1000.0);
        Target::at(at, elevation.map(Metres::of), height.map(Metres::of))
    };
    let from = pose(here(), Some(200.0), Some(0.0), 0.0);
    let whole = look(&left, &from, &west(Some(0.0), Some(40.0)));
    assert!(whole.size.unwrap() > Share::of(0.02));
    // Without a height there is no size, without an elevation no height in the picture.
    assert_eq!(look(&left, &from, &west(Some(0.0), None)).size, None);
    let flat = look(&left, &from, &west(None, Some(40.0)));
    assert_eq!((flat.seen, flat.size), (Seen::InFrame, None));
    assert_eq!(flat.direction.unwrap().elevation, None);
    let lost = look(&left, &pose(here(), Some(200.0), None, 0.0), &west(Some(0.0), None));
    assert_eq!((lost.seen, lost.direction.is_none()), (Seen::HeadingNotKnown, true));
    let mut cabin = left.clone();
    cabin.cabin = true;
    assert_eq!(look(&cabin, &from, &west(Some(0.0), None)).seen, Seen::NoView);
    // Right above a thing every direction is down, and that is a direction.
    let below = Target::at(here(), Some(Metres::ZERO), None);
    assert!((direction(&from, &below).unwrap().elevation.unwrap().get() + 90.0).abs() < 1e-6);
    // At the thing itself there is none.
    assert_eq!(direction(&from, &Target::at(here(), Some(Metres::of(200.0)), None)), None);
}

#[test]
fn the_horizon_hides_what_is_far_and_low() {
    let nose = camera(0.0, 0.0, 90.0, Some(60.0), Lens::Rectilinear);
    // From 300 m the sea's horizon is 36.7 NM away.
    let at = |miles: f64| {
        let far = there(here(), 0.0, Metres::from_nautical_miles(miles).get());
        look(
            &nose,
            &pose(here(), Some(300.0), Some(0.0), 0.0),
            &Target::at(far, Some(Metres::ZERO), None),
        )
    };
    assert_eq!(at(36.0).seen, Seen::InFrame);
    assert_eq!(at(37.5).seen, Seen::BelowHorizon);
}

#[test]
fn across_the_180th_meridian_and_at_a_pole() {
    let nose = camera(0.0, 0.0, 90.0, Some(60.0), Lens::Rectilinear);
    let at = Position::of(0.0, 179.999);
    let target = Target::at(Position::of(0.0, -179.995), Some(Metres::of(100.0)), None);
    let seen = look(&nose, &pose(at, Some(100.0), Some(90.0), 0.0), &target);
    assert_eq!(seen.seen, Seen::InFrame);
    assert!(seen.picture.unwrap().0.abs() < 1e-6);
    let pole = pose(Position::of(90.0, 0.0), Some(100.0), Some(0.0), 0.0);
    assert!(direction(&pole, &Target::at(Position::of(89.99, 20.0), None, None)).is_some());
}
