//! Bytes thrown at the reader: whatever comes, it is measured or refused, and soon.

mod common;

use std::io::Cursor;
use std::time::{Duration, Instant};

use common::{data, whole_numbers};

/// A small generator of numbers (SplitMix64), so that the same bytes are thrown everywhere.
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    fn below(&mut self, limit: usize) -> usize {
        (self.roll() % limit.max(1) as u64) as usize
    }
}

fn seeds() -> Vec<(&'static str, Vec<u8>)> {
    let mut seeds: Vec<(&str, Vec<u8>)> =
        ["tone.flac", "tone.mp3", "tone-no-table.mp3", "tone.ogg", "tone.opus", "tone.aac"]
            .into_iter()
            .map(|name| (name, data(name)))
            .collect();
    seeds.push(("16 bit", whole_numbers(16)[..8_000].to_vec()));
    seeds.push(("24 bit", whole_numbers(24)[..8_000].to_vec()));
    seeds
}

/// Throws one, and asks for an answer within a time that a person would still wait.
fn throw(what: &str, bytes: &[u8]) {
    let began = Instant::now();
    match sound::measure(Cursor::new(bytes)) {
        Ok(measured) => {
            assert!(measured.frames > 0 && measured.channels > 0, "{what}");
            assert!(measured.head <= measured.length(), "{what}");
            let _ = measured.review(what);
        }
        Err(refusal) => assert!(!refusal.finding(what).headline.is_empty()),
    }
    assert!(began.elapsed() < Duration::from_secs(30), "{what} took {:?}", began.elapsed());
}

#[test]
fn a_file_cut_anywhere_in_its_beginning_is_survived() {
    for (name, bytes) in seeds() {
        for keep in (0..200).chain((200..bytes.len()).step_by(bytes.len() / 40)) {
            throw(&format!("{name} cut at {keep}"), &bytes[..keep]);
        }
    }
}

#[test]
fn bytes_changed_at_random_are_survived() {
    for (name, bytes) in seeds() {
        let mut dice = Dice(bytes.len() as u64);
        for round in 0..300 {
            let mut changed = bytes.clone();
            // Half of the changes fall on the header, where they matter most.
            let limit = if round % 2 == 0 { 128 } else { changed.len() };
            for _ in 0..=dice.below(6) {
                let at = dice.below(limit);
                changed[at] = dice.roll() as u8;
            }
            throw(&format!("{name}, round {round}"), &changed);
        }
    }
}

#[test]
fn pieces_taken_out_and_put_in_are_survived() {
    for (name, bytes) in seeds() {
        let mut dice = Dice(7 + bytes.len() as u64);
        for round in 0..100 {
            let (a, b) = (dice.below(bytes.len()), dice.below(bytes.len()));
            let (from, until) = (a.min(b), a.max(b));
            let mut changed = bytes[..from].to_vec();
            if round % 2 == 0 {
                changed.extend(&bytes[from..until]);
                changed.extend(&bytes[from..]);
            } else {
                changed.extend(&bytes[until..]);
            }
            throw(&format!("{name}, round {round}"), &changed);
        }
    }
}

#[test]
fn beginnings_of_every_kind_with_noise_behind_are_survived() {
    let starts: [&[u8]; 6] = [
        b"fLaC",
        b"RIFF\xff\xff\xff\xffWAVE",
        b"OggS\0\x02",
        b"ID3\x04\0\0\0\0\0\0",
        b"\xff\xfb\x90",
        b"",
    ];
    for start in starts {
        let mut dice = Dice(start.len() as u64);
        for _ in 0..50 {
            let mut bytes = start.to_vec();
            bytes.extend((0..2_000).map(|_| dice.roll() as u8));
            throw("noise", &bytes);
        }
    }
}
