//! Published figures about flying: the wind triangle, turns, and time, speed and distance. The
//! source stands beside each figure.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use earth::wind::{Velocity, Wind, make_good, over_the_ground, through_the_air};
use earth::{Degrees, DegreesTrue, Metres, MetresPerSecond, turn};

fn knots(value: f64) -> MetresPerSecond {
    MetresPerSecond::from_knots(value)
}

fn wind(from: f64, speed: f64) -> Wind {
    Wind { from: DegreesTrue::of(from), speed: knots(speed) }
}

/// Course, airspeed, wind from, wind speed; published groundspeed and heading, each with the
/// tolerance of its print. Any one unit of speed will do: kt and mph rows alike.
struct Triangle {
    course: f64,
    airspeed: f64,
    wind: (f64, f64),
    groundspeed: Option<(f64, f64)>,
    heading: Option<(f64, f64)>,
    source: &'static str,
}

const TRIANGLES: &[Triangle] = &[
    Triangle {
        course: 90.0,
        airspeed: 120.0,
        wind: (45.0, 40.0),
        groundspeed: None,
        heading: Some((76.37, 0.005)),
        source: "computed by the law of sines: 13.63 degrees to the left",
    },
    Triangle {
        course: 90.0,
        airspeed: 125.0,
        wind: (230.0, 18.0),
        groundspeed: Some((138.0, 0.5)),
        heading: None,
        source: "ASA E6-B flight computer instruction booklet p. 30",
    },
    Triangle {
        course: 180.0,
        airspeed: 180.0,
        wind: (100.0, 18.0),
        groundspeed: Some((176.0, 0.6)),
        heading: Some((174.0, 0.5)),
        source: "EASA ECQB 2020, General Navigation, practice question",
    },
    Triangle {
        course: 21.0,
        airspeed: 110.0,
        wind: (330.0, 25.0),
        groundspeed: None,
        heading: Some((11.0, 0.5)),
        source: "CFI Brief, learntoflyblog.com 2015-08-06",
    },
    Triangle {
        course: 175.0,
        airspeed: 120.0,
        wind: (330.0, 20.0),
        groundspeed: Some((138.0, 0.5)),
        heading: None,
        source: "wikiHow, Use a Graphic Flight Computer to Find Ground Speed and True Heading",
    },
];

#[test]
fn wind_triangles_from_course_and_airspeed() {
    for row in TRIANGLES {
        let found = make_good(
            DegreesTrue::of(row.course),
            knots(row.airspeed),
            wind(row.wind.0, row.wind.1),
        )
        .unwrap();
        if let Some((expected, tolerance)) = row.groundspeed {
            let off = (found.groundspeed.knots() - expected).abs();
            assert!(off <= tolerance, "{}: {found:?}", row.source);
        }
        if let Some((expected, tolerance)) = row.heading {
            let off = found.heading.shortest_to(DegreesTrue::of(expected)).get().abs();
            assert!(off <= tolerance, "{}: {found:?}", row.source);
        }
    }
}

#[test]
fn groundspeed_from_heading_and_airspeed() {
    // US War Department TM 1-900, Mathematics for Air Crew Trainees, par. 45 exercise (2): heading
    // 315, 150 mph, wind from 045 at 30 mph: 153 mph.
    let air = Velocity { direction: DegreesTrue::of(315.0), speed: knots(150.0) };
    let ground = over_the_ground(air, wind(45.0, 30.0));
    assert!((ground.speed.knots() - 153.0).abs() < 0.5, "{ground:?}");
}

#[test]
fn heading_and_airspeed_from_track_and_groundspeed() {
    // CR-3 flight computer training slides, Wind Side 2/2, problem 5: course 175, 144 mph over the
    // ground, heading 160, 180 mph, so the wind is from 118 at 55 mph. The slide rule is read to a
    // degree and a mile an hour. Here the wind is given and the heading asked for.
    let ground = Velocity { direction: DegreesTrue::of(175.0), speed: knots(144.0) };
    let air = through_the_air(ground, wind(118.0, 55.0));
    assert!(air.direction.shortest_to(DegreesTrue::of(160.0)).get().abs() < 1.0, "{air:?}");
    assert!((air.speed.knots() - 180.0).abs() < 1.5, "{air:?}");
    // EASA ECQB 2020 again, backwards: track 180 at 176 kt, wind 100 at 18 kt, heading 174, 180 kt.
    let ground = Velocity { direction: DegreesTrue::of(180.0), speed: knots(176.0) };
    let air = through_the_air(ground, wind(100.0, 18.0));
    assert!(air.direction.shortest_to(DegreesTrue::of(174.35)).get().abs() < 0.5, "{air:?}");
    assert!((air.speed.knots() - 180.0).abs() < 0.5, "{air:?}");
}

fn radius(speed: f64, bank: f64) -> f64 {
    turn::radius(knots(speed), Degrees::of(bank)).unwrap().get()
}

#[test]
fn turn_radius_in_si() {
    // Computed in double precision, R = v^2 / (9.80665 tan bank).
    for (speed, bank, metres) in
        [(60.0, 15.0, 362.5821), (90.0, 20.0, 600.5863), (120.0, 25.0, 833.3861)]
    {
        assert!((radius(speed, bank) - metres).abs() < 5e-5, "{speed} kt, {bank} degrees");
    }
}

#[test]
fn turn_radius_of_the_handbooks_differs_by_their_rounded_constants() {
    // FAA-H-8083-25A ch. 4, R = V^2 / (11.26 tan bank): 120 kt, 30 degrees, 2,215 ft.
    let feet = Metres::of(radius(120.0, 30.0)).feet();
    assert!((feet / 2215.0 - 1.0 + 0.0030).abs() < 0.0003, "{feet} ft");
    // Aviation Formulary V1.47, R = v^2 / (11.23 tan bank): 100 kt, 45 degrees, 891 ft.
    let feet = Metres::of(radius(100.0, 45.0)).feet();
    assert!((feet / 891.0 - 1.0 + 0.0057).abs() < 0.0006, "{feet} ft");
    // ICAO Annex 11 Attachment A 7.4: 750 kt, 20 degrees, 22.51 NM (with g = 9.81).
    let miles = Metres::of(radius(750.0, 20.0)).nautical_miles();
    assert!((miles - 22.51).abs() < 0.02, "{miles} NM");
}

#[test]
fn rate_of_turn() {
    const TAN_30: f64 = 0.577_350_269_189_625_8;
    // FAA-H-8083-25A ch. 4, ROT = 1091 tan(bank) / TAS: 120 kt, 30 degrees, 5.25 degrees a second.
    let found = turn::rate(knots(120.0), Degrees::of(30.0)).unwrap().get();
    assert!((found / (1091.0 * TAN_30 / 120.0) - 1.0).abs() < 0.0012, "{found}");
    assert!((found - 5.25).abs() < 0.012, "{found}");
    // Aviation Formulary V1.47: 100 kt, 45 degrees, 10.9 degrees a second.
    let found = turn::rate(knots(100.0), Degrees::of(45.0)).unwrap().get();
    assert!((found - 10.9).abs() < 0.06, "{found}");
}

#[test]
fn bank_of_a_turn() {
    // Common rule of thumb, bank = TAS/10 + 7 for a standard-rate turn (3 degrees a second): 15
    // degrees at 80 kt, close to the exact bank.
    let speed = knots(80.0);
    let standard = Metres::of(speed.get() / 3f64.to_radians());
    let found = turn::bank(speed, standard).unwrap().get();
    assert!((found - 15.0).abs() < 3.0, "{found}");
    assert!((turn::rate(speed, Degrees::of(found)).unwrap().get() - 3.0).abs() < 1e-9);
}

#[test]
fn time_speed_and_distance() {
    // FAA-H-8083-25: 210 NM at 140 kt take 1.5 h; 270 NM in 3 h are 90 kt.
    let hours = Metres::from_nautical_miles(210.0).get() / knots(140.0).get() / 3600.0;
    assert!((hours - 1.5).abs() < 1e-12);
    let speed = MetresPerSecond::of(Metres::from_nautical_miles(270.0).get() / (3.0 * 3600.0));
    assert!((speed.knots() - 90.0).abs() < 1e-12);
}
