//! The real engine and the reference agree on thousands of made-up tours and flights.
#![allow(clippy::unwrap_used, reason = "a test may stop at once")]
#![allow(clippy::print_stderr, reason = "the test says how many cases were flown")]
#![allow(dead_code, reason = "other tests use other parts of the reference")]
#![allow(unreachable_pub, reason = "the reference is shared by several tests")]

mod reference;

use std::time::{Duration, Instant};

use reference::compare::{Difference, compare, doubtful_from};
use reference::without::{ALL, Without};
use reference::{Case, fly, fly_without, generate, real};

/// What came of one case.
enum Outcome {
    Agree,
    /// They differ after a moment at which the case hangs on less than the tolerance.
    Doubtful,
    Differ(Difference),
}

fn outcome(case: &Case) -> Outcome {
    let Some(difference) = compare(&real::fly_real(case), &fly(case)) else {
        return Outcome::Agree;
    };
    if doubtful_from(case).is_some_and(|from| from <= difference.effect) {
        return Outcome::Doubtful;
    }
    Outcome::Differ(difference)
}

/// A number from the environment, so that more can be flown: `REFERENCE_CASES`, `REFERENCE_SEED`.
fn number(name: &str, usual: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

#[test]
fn the_engines_agree_on_made_up_flights() {
    let (cases, first) = (number("REFERENCE_CASES", 2000), number("REFERENCE_SEED", 1));
    let most = Duration::from_secs(number("REFERENCE_SECONDS", 60));
    let began = Instant::now();
    let (mut flown, mut doubtful) = (0_u64, 0_u64);
    for seed in first..first + cases {
        if began.elapsed() > most {
            break;
        }
        let case = generate::case(seed);
        flown += 1;
        match outcome(&case) {
            Outcome::Agree => {}
            Outcome::Doubtful => {
                doubtful += 1;
                eprintln!("seed {seed} is doubtful");
            }
            Outcome::Differ(difference) => {
                let small = smaller(case);
                let difference = match outcome(&small) {
                    Outcome::Differ(difference) => difference,
                    _ => difference,
                };
                panic!("seed {seed}: the engines do not agree\n{difference}\n{}", told(&small));
            }
        }
    }
    eprintln!("{flown} flights from seed {first}, {doubtful} doubtful, {:?}", began.elapsed());
    assert!(flown >= 100, "too slow: {flown} flights");
    assert!(doubtful * 100 <= flown, "{doubtful} of {flown} flights are doubtful");
}

/// The same case with everything left out that does not matter to the disagreement.
fn smaller(mut case: Case) -> Case {
    let differs = |case: &Case| matches!(outcome(case), Outcome::Differ(_));
    let mut step = case.fixes.len() / 2;
    while step > 0 {
        while case.fixes.len() > step {
            let mut tried = case.clone();
            tried.fixes.truncate(case.fixes.len() - step);
            if !differs(&tried) {
                break;
            }
            case = tried;
        }
        step /= 2;
    }
    for index in (0..case.hands.len()).rev() {
        let mut tried = case.clone();
        tried.hands.remove(index);
        if differs(&tried) {
            case = tried;
        }
    }
    for index in 0..case.plan.rules.len() {
        type Change = fn(&mut plan::Rule);
        let changes: [Change; 7] = [
            |rule| rule.camera = None,
            |rule| rule.record = None,
            |rule| rule.narration = None,
            |rule| rule.music = None,
            |rule| rule.title = None,
            |rule| rule.stills.clear(),
            |rule| rule.conditions.clear(),
        ];
        for change in changes {
            let mut tried = case.clone();
            change(&mut tried.plan.rules[index]);
            if differs(&tried) {
                case = tried;
            }
        }
    }
    for index in 0..case.plan.zones.len() {
        let changes: [fn(&mut plan::Zone); 3] =
            [|zone| zone.quiet = false, |zone| zone.no_filming = None, |zone| zone.band = None];
        for change in changes {
            let mut tried = case.clone();
            change(&mut tried.plan.zones[index]);
            if differs(&tried) {
                case = tried;
            }
        }
    }
    let mut index = 1;
    while index + 1 < case.fixes.len() {
        let mut tried = case.clone();
        tried.fixes.remove(index);
        if differs(&tried) {
            case = tried;
        } else {
            index += 1;
        }
    }
    case
}

/// A case, for people to read.
fn told(case: &Case) -> String {
    use std::fmt::Write;
    let mut text = String::new();
    let _ = writeln!(text, "limits {:?} settings {:?}", case.limits, case.plan.settings);
    let _ = writeln!(text, "day {:?} wind {:?}", case.day, case.plan.wind);
    for (index, rule) in case.plan.rules.iter().enumerate() {
        let tests: Vec<_> = rule.conditions.iter().map(|condition| &condition.test).collect();
        let _ = writeln!(
            text,
            "rule {index} priority {} when {tests:?}: {:?} {:?} {:?} {:?} {:?} {:?}",
            rule.priority,
            rule.camera,
            rule.record,
            rule.narration,
            rule.music,
            rule.title,
            rule.stills
        );
    }
    for (index, zone) in case.plan.zones.iter().enumerate() {
        let _ = writeln!(
            text,
            "zone {index} {:?} band {:?} margin {} quiet {} no filming {:?}",
            zone.shape,
            zone.band,
            zone.margin.get(),
            zone.quiet,
            zone.no_filming
        );
    }
    for (index, narration) in case.plan.narrations.iter().enumerate() {
        let _ = writeln!(
            text,
            "narration {index} {:?} again {} ground {} {:?} {:?}",
            narration.length,
            narration.again,
            narration.on_ground,
            narration.on_radio,
            narration.longest_pause
        );
    }
    let _ = writeln!(text, "hands {:?}", case.hands);
    for fix in &case.fixes {
        let _ = writeln!(
            text,
            "{} {:.6} {:.6} {:?} {:?} {:?} {:?}",
            fix.time.0,
            fix.position.lat(),
            fix.position.lon(),
            fix.altitude.map(earth::Metres::get),
            fix.groundspeed.map(earth::MetresPerSecond::get),
            fix.track.map(earth::DegreesTrue::get),
            fix.heading
        );
    }
    text
}

/// Each rule of the plan is seen to matter: with it left out, the reference no longer agrees with
/// the real engine on some flight on which it agrees with it.
#[test]
fn every_rule_matters() {
    let mut left: Vec<Without> = ALL.to_vec();
    for seed in 1..number("REFERENCE_MATTER", 4000) {
        if left.is_empty() {
            break;
        }
        let case = generate::case(seed);
        let real = real::fly_real(&case);
        if compare(&real, &fly(&case)).is_some() {
            continue;
        }
        left.retain(|without| compare(&real, &fly_without(&case, Some(*without))).is_none());
    }
    assert!(left.is_empty(), "no flight shows that these matter: {left:?}");
}
