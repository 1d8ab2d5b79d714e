//! When something is said, in plain words: made of the conditions of the rules that ask for it.

use plan::{Condition, North, Plan, Rule, Shape, Test, Window, ZoneId};

/// When a rule asks for what it has said: all its conditions, what a listener notices first.
pub(crate) fn cue_point(plan: &Plan, rule: &Rule) -> String {
    let mut parts: Vec<(u8, String)> =
        rule.conditions.iter().map(|condition| words(plan, condition)).collect();
    if parts.is_empty() {
        return "at the very beginning".to_owned();
    }
    // Of equal rank in the order written.
    parts.sort_by_key(|(rank, _)| *rank);
    let parts: Vec<String> = parts.into_iter().map(|(_, words)| words).collect();
    parts.join(", ")
}

/// A condition in words, and how early in the sentence it belongs.
fn words(plan: &Plan, condition: &Condition) -> (u8, String) {
    match &condition.test {
        Test::OnGround => (0, "on the ground".to_owned()),
        Test::BeforeAbeam { sight, by, .. } => {
            let sight = plan.places.get(sight.index()).map_or("?", |place| place.title.as_str());
            let seconds = by.0.div_euclid(1000);
            let tenths = by.0.rem_euclid(1000) / 100;
            let time =
                if tenths == 0 { format!("{seconds} s") } else { format!("{seconds}.{tenths} s") };
            (0, format!("{time} before passing {sight}"))
        }
        Test::In(zone) if is_line(plan, *zone) => {
            (1, format!("on crossing the line {}", zone_name(plan, *zone)))
        }
        Test::In(zone) => (1, format!("in the zone {}", zone_name(plan, *zone))),
        Test::Pass { zone, nth } => {
            let there = if is_line(plan, *zone) { "across" } else { "in" };
            (1, format!("the {} time {there} {}", ordinal(*nth), zone_name(plan, *zone)))
        }
        Test::After(rule) => {
            let rule = plan.rules.get(rule.index()).map_or("?", |rule| rule.name.as_str());
            (2, format!("after the rule {rule}"))
        }
        Test::Track(window) => (3, direction("on the way", "track", *window)),
        Test::Heading(window) => (3, direction("with the nose to the", "heading", *window)),
        Test::NotIn(zone) => (4, format!("outside {}", zone_name(plan, *zone))),
        // As written: `altitude: above 400 ft` is plain enough without its colon.
        Test::Altitude(_) | Test::Groundspeed(_) => (5, condition.written.replacen(':', "", 1)),
        Test::Airborne => (6, "in the air".to_owned()),
    }
}

fn is_line(plan: &Plan, zone: ZoneId) -> bool {
    plan.zones.get(zone.index()).is_some_and(|zone| matches!(zone.shape, Shape::Gate { .. }))
}

fn zone_name(plan: &Plan, zone: ZoneId) -> String {
    plan.zones.get(zone.index()).map_or_else(String::new, |zone| zone.name.replace(['-', '_'], " "))
}

fn ordinal(number: u32) -> String {
    let ending = match (number % 10, number % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    format!("{number}{ending}")
}

/// A window of directions: `on the way south (track 120..225)`. Where it holds more than half of
/// them there is no one direction to name.
fn direction(how: &str, what: &str, window: Window) -> String {
    let (from, to) = (window.from.get(), window.to.get());
    let magnetic = if window.north == North::Magnetic { " magnetic" } else { "" };
    let written = format!("{what} {from:03.0}..{to:03.0}{magnetic}");
    let wide = (to - from).rem_euclid(360.0);
    if wide > 180.0 || from == to || (to - from).abs() >= 360.0 {
        return written;
    }
    let middle = (from + wide / 2.0).rem_euclid(360.0);
    format!("{how} {} ({written})", toward(middle))
}

/// The nearest of the eight principal directions, in a word.
fn toward(degrees: f64) -> &'static str {
    const NAMES: [&str; 8] =
        ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];
    let eighths = (degrees / 45.0).round().rem_euclid(8.0);
    let found = NAMES.iter().enumerate().find(|(number, _)| *number as f64 == eighths);
    found.map_or("north", |(_, name)| name)
}

#[cfg(test)]
mod tests {
    use earth::Degrees;

    use super::*;

    fn window(from: f64, to: f64) -> Window {
        Window { from: Degrees::of(from), to: Degrees::of(to), north: North::True }
    }

    #[test]
    fn a_window_is_told_by_its_middle() {
        let told = |from, to| direction("on the way", "track", window(from, to));
        assert_eq!(told(120.0, 225.0), "on the way south (track 120..225)");
        assert_eq!(told(290.0, 75.0), "on the way north (track 290..075)");
        assert_eq!(told(30.0, 75.0), "on the way north-east (track 030..075)");
        assert_eq!(told(0.0, 360.0), "track 000..360");
        assert_eq!(told(10.0, 350.0), "track 010..350");
    }

    #[test]
    fn numbers_in_order_read_as_people_say_them() {
        let said: Vec<String> = [1, 2, 3, 4, 11, 12, 13, 21, 112].map(ordinal).into();
        assert_eq!(said, ["1st", "2nd", "3rd", "4th", "11th", "12th", "13th", "21st", "112th"]);
    }
}
