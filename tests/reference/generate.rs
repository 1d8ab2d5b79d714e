//! Made-up tours, and the cases in which they are flown. All invented.

use earth::{Degrees, DegreesTrue, MetresPerSecond, Millis, Position};
use plan::{
    AltitudeBand, CameraEffect, CameraId, CameraTurn, Condition, HandFilming, ManualCamera,
    NarrationEffect, NarrationId, North, OnRadio, Otherwise, PlaceId, RecordEffect, Room, Rule,
    RuleId, Shape, Side, SpeedBand, StillEffect, StillMoment, Test, Wind, Window, Zone, ZoneId,
};

use super::build::{Tour, count, metres, rule, source};
use super::dice::Dice;
use super::fixes::Limits;
use super::generate_flight::{flight, hands};
use super::{Case, ground};

/// The place of a case: a middle, and positions about it in metres east and north.
#[derive(Clone, Copy)]
pub struct Ground {
    middle: Position,
}

impl Ground {
    pub fn at(self, east: f64, north: f64) -> Position {
        ground::direct(self.middle, east.atan2(north).to_degrees(), east.hypot(north)).0
    }
}

/// A case from a seed.
pub fn case(seed: u64) -> Case {
    let dice = &mut Dice::new(seed);
    dice.whole_seconds = dice.chance(0.3);
    let middle = match dice.below(5) {
        0 => Position::of(dice.between(-60.0, 60.0), dice.between(-179.0, 179.0)),
        1 => Position::of(dice.between(-70.0, 70.0), 180.0 + dice.between(-0.05, 0.05)),
        2 => Position::of(dice.between(89.97, 89.99), dice.between(-180.0, 180.0)),
        3 => Position::of(dice.between(-89.99, -89.97), dice.between(-180.0, 180.0)),
        _ => Position::of(61.3, -6.8),
    };
    let ground = Ground { middle };
    let mut tour = Tour::new();
    settings(&mut tour, dice);
    places(&mut tour, dice, ground);
    zones(&mut tour, dice, ground);
    material(&mut tour, dice);
    rules(&mut tour, dice);
    short_versions(&mut tour, dice);
    let fixes = flight(&tour, dice, ground);
    let hands = hands(&tour, dice, &fixes);
    let limits = if dice.chance(0.5) {
        Limits::for_recorded(&tour.plan.settings, &fixes)
    } else {
        Limits::of(&tour.plan.settings)
    };
    tour.plan.check().unwrap();
    Case { plan: tour.plan, day: tour.day, limits, fixes, hands }
}

fn wind(dice: &mut Dice) -> Wind {
    Wind {
        from: DegreesTrue::of(dice.between(0.0, 360.0)),
        speed: MetresPerSecond::of(dice.between(0.0, 25.0)),
    }
}

fn settings(tour: &mut Tour, dice: &mut Dice) {
    let set = &mut tour.plan.settings;
    if dice.chance(0.5) {
        set.minimum_shot = dice.time(0.0, 6.0);
        set.default_turn = dice.time(1.0, 8.0);
        set.breath = dice.time(0.0, 4.0);
        set.shot_hold = dice.time(0.0, 15.0);
        set.longest_pause = dice.time(2.0, 30.0);
    }
    if dice.chance(0.3) {
        set.minimum_speed = MetresPerSecond::of(dice.between(2.0, 10.0));
        set.greatest_speed = MetresPerSecond::of(dice.between(80.0, 200.0));
        set.direction_slack = Degrees::of(dice.between(0.0, 40.0));
        set.altitude_slack = metres(dice.between(0.0, 60.0));
        set.groundspeed_slack = MetresPerSecond::of(dice.between(0.0, 6.0));
    }
    if dice.chance(0.3) {
        set.lost_after = dice.time(2.0, 12.0);
        set.bridge = set.lost_after + dice.time(0.0, 30.0);
    }
    set.turnaround = dice.time(5.0, 60.0);
    set.manual_camera = if dice.chance(0.3) {
        ManualCamera::UntilReturned
    } else {
        ManualCamera::For(dice.time(3.0, 60.0))
    };
    set.on_radio = dice.pick(&[OnRadio::Ducked, OnRadio::Paused, OnRadio::Dropped]);
    if dice.chance(0.4) {
        tour.plan.wind = Some(wind(dice));
    }
    if dice.chance(0.2) {
        tour.day.wind = Some(wind(dice));
    }
    for camera in &mut tour.plan.aircraft.cameras {
        camera.bearing = Degrees::of(camera.bearing.get());
        camera.width = Degrees::of(dice.between(60.0, 120.0));
        camera.depression = Degrees::of(dice.between(-5.0, 25.0));
        camera.height = dice.chance(0.5).then(|| Degrees::of(dice.between(30.0, 80.0)));
    }
    for camera in 0..4 {
        if dice.chance(0.06) {
            tour.day.out_of_service.push(CameraId(camera));
        } else if dice.chance(0.06) {
            tour.day.not_allowed.push(CameraId(camera));
        }
    }
}

fn places(tour: &mut Tour, dice: &mut Dice, ground: Ground) {
    tour.plan.places[0].position = ground.at(dice.between(-900.0, 900.0), 0.0);
    tour.plan.places[0].elevation = dice.chance(0.8).then(|| metres(dice.between(0.0, 40.0)));
    for _ in 0..1 + dice.below(3) {
        let sight = tour.sight(0.0, 0.0);
        let place = &mut tour.plan.places[sight.index()];
        place.position = ground.at(dice.between(-4e3, 4e3), dice.between(-4e3, 4e3));
        place.elevation = dice.chance(0.7).then(|| metres(dice.between(0.0, 200.0)));
    }
    if dice.chance(0.3) {
        tour.landing_site(0.0, 0.0);
        let site = tour.plan.landing_sites[0].place;
        tour.plan.places[site.index()].position =
            ground.at(dice.between(-3e3, 3e3), dice.between(-3e3, 3e3));
        tour.plan.landing_sites[0].radius = metres(dice.between(500.0, 5000.0));
    }
}

/// Points round a middle, each at a distance of its own.
fn ring(dice: &mut Dice, ground: Ground, (east, north): (f64, f64), size: f64) -> Vec<Position> {
    let count = 3 + dice.below(6);
    let backwards = dice.chance(0.5);
    #[expect(clippy::cast_precision_loss, reason = "a few points")]
    let mut points: Vec<Position> = (0..count)
        .map(|index| {
            let round = (index as f64 + dice.between(0.0, 0.6)) / count as f64;
            let angle = round * std::f64::consts::TAU;
            let far = size * dice.between(0.5, 1.0);
            ground.at(east + far * angle.sin(), north + far * angle.cos())
        })
        .collect();
    if backwards {
        points.reverse();
    }
    points
}

fn line(dice: &mut Dice, ground: Ground, (east, north): (f64, f64), size: f64) -> Vec<Position> {
    let count = 2 + dice.below(3);
    let along = dice.between(0.0, std::f64::consts::TAU);
    #[expect(clippy::cast_precision_loss, reason = "a few points")]
    (0..count)
        .map(|index| {
            let far = size * (index as f64 / (count - 1) as f64 * 2.0 - 1.0);
            let aside = size * dice.between(-0.3, 0.3);
            ground.at(
                east + far * along.sin() + aside * along.cos(),
                north + far * along.cos() - aside * along.sin(),
            )
        })
        .collect()
}

fn shape(tour: &Tour, dice: &mut Dice, ground: Ground) -> Shape {
    let middle = (dice.between(-4e3, 4e3), dice.between(-4e3, 4e3));
    let size = dice.between(100.0, 2000.0);
    let centre = ground.at(middle.0, middle.1);
    let parts: Vec<ZoneId> = (0..count(tour.plan.zones.len()))
        .map(ZoneId)
        .filter(|zone| !matches!(tour.plan.zones[zone.index()].shape, Shape::Gate { .. }))
        .collect();
    match dice.below(if parts.is_empty() { 7 } else { 9 }) {
        0 | 1 => Shape::Circle { centre, radius: metres(size) },
        2 => {
            let outer = ring(dice, ground, middle, size);
            // Of six points or more none of the edges comes as near to the middle as the hole.
            let hole = (outer.len() >= 6 && dice.chance(0.5))
                .then(|| ring(dice, ground, middle, size * 0.2));
            Shape::Polygon { outer, holes: hole.into_iter().collect() }
        }
        3 => Shape::Corridor {
            line: line(dice, ground, middle, size),
            half_width: metres(dice.between(50.0, 600.0)),
        },
        4 => {
            let from = dice.between(0.0, 359.0);
            let whole = dice.chance(0.1);
            Shape::Sector {
                centre,
                radius: metres(size),
                from: Degrees::of(if whole { 0.0 } else { from }),
                to: Degrees::of(if whole {
                    360.0
                } else {
                    (from + dice.between(20.0, 340.0)) % 360.0
                }),
            }
        }
        5 | 6 => Shape::Gate {
            line: line(dice, ground, middle, size),
            crossed_from: dice.pick(&[Side::Left, Side::Right, Side::Either, Side::Either]),
        },
        _ => {
            let mut some = |most: usize| -> Vec<ZoneId> {
                (0..dice.below(most + 1)).map(|_| dice.pick(&parts)).collect()
            };
            let (mut any_of, all_of, except) = (some(3), some(1), some(2));
            if any_of.is_empty() && all_of.is_empty() {
                any_of.push(parts[0]);
            }
            Shape::Combined { any_of, all_of, except }
        }
    }
}

fn zones(tour: &mut Tour, dice: &mut Dice, ground: Ground) {
    for _ in 0..2 + dice.below(7) {
        let shape = shape(tour, dice, ground);
        let is_gate = matches!(shape, Shape::Gate { .. });
        let is_combined = matches!(shape, Shape::Combined { .. });
        let id = tour.zone(shape);
        let zone: &mut Zone = &mut tour.plan.zones[id.index()];
        if !is_combined {
            zone.margin = metres(dice.pick(&[0.0, 50.0, 50.0, 20.0, 200.0]));
            if dice.chance(0.3) {
                let from = dice.between(50.0, 500.0);
                zone.band = Some(AltitudeBand {
                    from: dice.chance(0.7).then(|| metres(from)),
                    to: Some(metres(from + dice.between(50.0, 500.0))),
                });
            }
        }
        if !is_gate {
            zone.quiet = dice.chance(0.15);
            zone.no_filming =
                dice.chance(0.2).then(|| dice.pick(&[HandFilming::Refused, HandFilming::Allowed]));
        }
    }
}

fn material(tour: &mut Tour, dice: &mut Dice) {
    for _ in 0..1 + dice.below(8) {
        let seconds = dice.time(2.0, 30.0).secs();
        let id = tour.narration(seconds);
        let narration = &mut tour.plan.narrations[id.index()];
        narration.again = dice.chance(0.3);
        narration.on_ground = dice.chance(0.2);
        narration.on_radio = dice
            .chance(0.5)
            .then(|| dice.pick(&[OnRadio::Ducked, OnRadio::Paused, OnRadio::Dropped]));
        narration.longest_pause = dice.chance(0.2).then(|| dice.time(2.0, 20.0));
    }
    for _ in 0..3 {
        tour.music();
        tour.title();
    }
}

/// Some narrations have a short version, and the rules that ask for them some room.
fn short_versions(tour: &mut Tour, dice: &mut Dice) {
    for number in 0..tour.plan.narrations.len() {
        if dice.chance(0.3) {
            let seconds = dice.time(1.0, 15.0).secs();
            tour.shortened(NarrationId(count(number)), seconds);
        }
    }
    for rule in &mut tour.plan.rules {
        if let Some(effect) = &mut rule.narration {
            effect.room = dice.chance(0.7).then(|| Room {
                way: metres(dice.between(0.0, 1500.0)),
                stands: if dice.chance(0.3) { dice.time(1.0, 10.0) } else { Millis::ZERO },
                groundspeed: MetresPerSecond::of(dice.between(20.0, 60.0)),
            });
        }
    }
}

fn window(dice: &mut Dice) -> Window {
    let from = dice.between(0.0, 359.0);
    let north = if dice.chance(0.3) { North::Magnetic } else { North::True };
    if dice.chance(0.05) {
        return Window { from: Degrees::of(0.0), to: Degrees::of(360.0), north };
    }
    let to = (from + dice.between(20.0, 300.0)) % 360.0;
    Window { from: Degrees::of(from), to: Degrees::of(to), north }
}

fn test(tour: &Tour, dice: &mut Dice, index: usize) -> Test {
    let zone = ZoneId(count(dice.below(tour.plan.zones.len())));
    let is_gate = matches!(tour.plan.zones[zone.index()].shape, Shape::Gate { .. });
    let sight = PlaceId(1 + count(dice.below(tour.plan.places.len() - 1)));
    match dice.below(16) {
        0..=4 => Test::In(zone),
        5 if !is_gate => Test::NotIn(zone),
        6 => Test::Track(window(dice)),
        7 => Test::Heading(window(dice)),
        8 => {
            let from = dice.between(50.0, 400.0);
            let to = metres(from + dice.between(50.0, 400.0));
            Test::Altitude(AltitudeBand { from: Some(metres(from)), to: Some(to) })
        }
        9 => {
            let from = dice.between(0.0, 45.0);
            let to = MetresPerSecond::of(from + dice.between(5.0, 30.0));
            Test::Groundspeed(SpeedBand { from: Some(MetresPerSecond::of(from)), to: Some(to) })
        }
        10 | 11 => Test::BeforeAbeam {
            sight,
            by: dice.time(5.0, 40.0),
            within: metres(dice.between(200.0, 4000.0)),
        },
        // Any rule before this one, so that there is no circle; or, rarely, one after it.
        12 | 13 if index > 0 => Test::After(RuleId(count(dice.below(index)))),
        14 => Test::Pass { zone, nth: 1 + count(dice.below(2)) },
        15 if dice.chance(0.5) => Test::OnGround,
        15 => Test::Airborne,
        _ => Test::In(zone),
    }
}

fn rules(tour: &mut Tour, dice: &mut Dice) {
    let count_of_rules = 3 + dice.below(8);
    let (priorities, talk) = (dice.pick(&[1, 4, 4]), dice.pick(&[0.4, 0.4, 0.95]));
    let mut rules: Vec<Rule> = Vec::new();
    for index in 0..count_of_rules {
        let mut made = rule();
        made.priority = i32::try_from(dice.below(priorities)).unwrap();
        let most = if dice.chance(0.2) { 0 } else { 1 + dice.below(2) };
        for _ in 0..most {
            let test = test(tour, dice, index);
            made.conditions.push(Condition {
                test,
                written: "as written".to_owned(),
                source: source(3000),
            });
        }
        effects(tour, dice, &mut made, talk);
        rules.push(made);
    }
    // In one case of three the order written is turned round, so that `after` names later rules.
    if dice.chance(0.33) {
        rules.reverse();
        let last = count(count_of_rules - 1);
        for made in &mut rules {
            for condition in &mut made.conditions {
                if let Test::After(other) = &mut condition.test {
                    *other = RuleId(last - other.0);
                }
            }
        }
    }
    for made in rules {
        tour.rule(made);
    }
}

pub fn camera(dice: &mut Dice) -> CameraId {
    CameraId(count(dice.below(4)))
}

fn effects(tour: &Tour, dice: &mut Dice, made: &mut Rule, talk: f64) {
    let sight = PlaceId(1 + count(dice.below(tour.plan.places.len() - 1)));
    if dice.chance(0.4) {
        made.camera = Some(match dice.below(3) {
            0 => CameraEffect::Sequence(vec![CameraTurn { camera: camera(dice), lasts: None }]),
            1 => CameraEffect::Sequence(
                (0..2 + dice.below(2))
                    .map(|_| CameraTurn { camera: camera(dice), lasts: Some(dice.time(1.0, 9.0)) })
                    .collect(),
            ),
            _ => CameraEffect::LookAt {
                sight,
                from: (0..1 + dice.below(4)).map(|_| camera(dice)).collect(),
            },
        });
    }
    if dice.chance(0.4) {
        let on = dice.chance(0.75);
        made.record = Some(RecordEffect {
            on,
            post_roll: if on && dice.chance(0.6) { dice.time(1.0, 20.0) } else { Millis::ZERO },
            on_ground: on && dice.chance(0.25),
        });
    }
    if dice.chance(talk) {
        made.narration = Some(NarrationEffect {
            narration: NarrationId(count(dice.below(tour.plan.narrations.len()))),
            otherwise: dice.pick(&[
                Otherwise::Wait,
                Otherwise::Wait,
                Otherwise::Skip,
                Otherwise::Interrupt,
            ]),
            waits: dice.chance(0.4).then(|| dice.time(1.0, 40.0)),
            room: None,
        });
    }
    if dice.chance(0.3) {
        made.music = Some(plan::MusicId(count(dice.below(3))));
    }
    if dice.chance(0.3) {
        made.title = Some(plan::TitleId(count(dice.below(3))));
    }
    while dice.chance(0.3) {
        let moment = match dice.below(3) {
            0 => StillMoment::Start,
            1 => StillMoment::Every(dice.time(1.0, 20.0)),
            _ => StillMoment::Closest(sight),
        };
        let camera = dice.chance(0.5).then(|| camera(dice));
        made.stills.push(StillEffect { camera, moment });
    }
}
