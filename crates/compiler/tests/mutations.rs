//! Whatever is written, the compiler answers with findings or with a sound plan that flies.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

mod texts;

use earth::Millis;
use route::MemoryWorld;
use texts::texts;

/// A small generator of its own, so that a failure can be found again by its number.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        // Numerical Recipes' 64-bit linear congruential generator; the high bits are the good ones.
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % sides.max(1)
    }

    fn pick<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        &from[self.roll(from.len())]
    }
}

const NUMBERS: &[&str] =
    &["0", "90", "-90", "180", "179.9999", "360", "1e308", "0.0001", "12000", "61.28"];

/// Changes words and numbers, so that most of what comes out can still be read.
fn by_words(text: &str, dice: &mut Dice) -> String {
    let words: Vec<&str> = text.split_inclusive([' ', ',', '\n', '}', ']']).collect();
    let mut out: Vec<String> = words.iter().map(|word| (*word).to_owned()).collect();
    for _ in 0..=dice.roll(3) {
        let at = dice.roll(out.len());
        let end = out[at].chars().last().filter(|c| !c.is_alphanumeric()).map(String::from);
        let end = end.unwrap_or_default();
        match dice.roll(4) {
            0 => {
                let numbers: Vec<usize> = (0..out.len())
                    .filter(|index| out[*index].starts_with(|c: char| c.is_ascii_digit()))
                    .collect();
                if !numbers.is_empty() {
                    let at = *dice.pick(&numbers);
                    let end: String =
                        out[at].chars().skip_while(|c| c.is_ascii_digit() || *c == '.').collect();
                    out[at] = format!("{}{end}", dice.pick(NUMBERS));
                }
            }
            1 => out[at] = format!("{}{end}", dice.pick(&words).trim()),
            2 => {
                let other = dice.roll(out.len());
                out.swap(at, other);
            }
            _ => {
                out.remove(at);
            }
        }
    }
    out.concat()
}

fn by_bytes(text: &str, dice: &mut Dice) -> Vec<u8> {
    let mut bytes = text.as_bytes().to_vec();
    for _ in 0..=dice.roll(4) {
        let at = dice.roll(bytes.len());
        match dice.roll(3) {
            0 => bytes[at] = dice.pick(b"\0\n :{}[],\"-#&*!|\xff\x80a9").to_owned(),
            1 => {
                bytes.remove(at);
            }
            _ => {
                let end = (at + dice.roll(40)).min(bytes.len());
                let slice = bytes[at..end].to_vec();
                let to = dice.roll(bytes.len());
                bytes.splice(to..to, slice);
            }
        }
    }
    bytes
}

#[test]
fn nothing_written_is_too_much() {
    let cases = texts("cases");
    let sound: Vec<_> =
        cases.iter().filter(|(_, text)| !text.contains("#! error")).cloned().collect();
    let shared = texts("shared");
    let mut plans = 0;
    for seed in 0..4_000 {
        let mut dice = Dice(seed);
        let from = if dice.roll(3) == 0 { &cases } else { &sound };
        let (_, text) = dice.pick(from).clone();
        if text.len() > 10_000 {
            continue;
        }
        let tour = match dice.roll(4) {
            0 => by_bytes(&text, &mut dice),
            _ => by_words(&text, &mut dice).into_bytes(),
        };
        let world = shared
            .iter()
            .fold(MemoryWorld::new(), |world, (name, text)| world.with(name, text.as_str()))
            .with("tour.yaml", tour);
        let (project, findings) = route::read(&world, "tour.yaml", None);
        let Some(project) = project else {
            assert!(!findings.is_empty(), "seed {seed}");
            continue;
        };
        let (plan, found) = compiler::compile(&project);
        let Some(plan) = plan else {
            let said = !findings.is_empty() || !found.is_empty();
            assert!(said, "seed {seed}: no plan and no word why: {project:#?}");
            continue;
        };
        plans += 1;
        assert_eq!(plan.check(), Ok(()), "seed {seed}");
        let flight = compiler::planned(&plan, None).unwrap();
        assert!(flight.end() - flight.begin() <= Millis::from_secs(24 * 3600), "seed {seed}");
        let middle = flight.begin() + Millis((flight.end() - flight.begin()).0 / 2);
        assert!(flight.at(middle).groundspeed.get() < 600.0, "seed {seed}");
    }
    assert!(plans > 200, "only {plans} of the changed tours were still plans");
}
