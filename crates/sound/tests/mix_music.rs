//! Music through the mixer: ducking, fades, crossfades, loops, pauses; and voices cut off.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

mod common;

use common::mixing::{bed, greatest_step, level, noise, render, score, sine, span, stretch, voice};
use common::wav;
use earth::Millis;
use sound::mix::{Level, RATE, Repeat};
use sound::{Decibels, Lufs};

const SECOND: u64 = RATE as u64;

/// A tone of 1 kHz at -20 dBFS: in any hundredth of a second its level is -23.01 dB.
const TONE: f64 = -23.0103;

fn near(found: f64, expected: f64, tolerance: f64, case: &str) {
    assert!((found - expected).abs() <= tolerance, "{case}: {found}, expected {expected}");
}

fn tone(seconds: u64) -> Vec<u8> {
    let tone = sine(RATE, 1000.0, -20.0);
    wav(RATE, seconds * SECOND, &[&tone, &tone])
}

#[test]
fn ducked_music_is_lower_by_exactly_the_depth_and_moves_in_the_times_told() {
    let mut score = score(10_000);
    score.beds = vec![bed(0, 0, 10_000)];
    score.ducking.spans = vec![span(2_000, 5_000)];
    let (frames, _) = render(score, &[tone(10)]);
    near(level(&frames, 0.0, 2.0), TONE, 0.001, "before");
    near(level(&frames, 2.3, 5.0), TONE - 12.0, 0.001, "down");
    near(level(&frames, 6.5, 10.0), TONE, 0.001, "after");
    // Evenly in decibels on the way: in the middle of ten milliseconds.
    for tenth in 0..3 {
        let at = 2.0 + 0.1 * f64::from(tenth) + 0.05;
        let passed = at - 2.0;
        near(level(&frames, at - 0.005, at + 0.005), TONE - 40.0 * passed, 0.02, "on the way down");
    }
    for half in 0..3 {
        let at = 5.0 + 0.5 * f64::from(half) + 0.25;
        let passed = at - 5.0;
        let there = TONE - 12.0 + 8.0 * passed;
        near(level(&frames, at - 0.005, at + 0.005), there, 0.02, "on the way up");
    }
    near(level(&frames, 2.28, 2.3), TONE - 11.6, 0.1, "not yet down");
    near(level(&frames, 6.45, 6.5), TONE - 0.2, 0.1, "not yet up");
}

#[test]
fn a_bed_is_brought_to_its_level_and_a_voice_stands_above_it() {
    let speech = sine(RATE, 1_100.0, -9.0);
    let sources = [tone(20), wav(RATE, 6 * SECOND, &[&speech])];
    let mut score = score(20_000);
    score.beds = vec![bed(0, 0, 20_000)];
    score.beds[0].level = Level::Loudness(Lufs::new(-26.0).unwrap());
    let (_, whole) = render(score.clone(), &sources);
    near(whole.loudness.unwrap().get(), -26.0, 0.1, "the bed alone");
    score.voices = vec![voice(1, 8_000, 6_000)];
    score.ducking.spans = vec![span(8_000, 14_000)];
    let (frames, _) = render(score, &sources);
    let apart = level(&frames, 8.5, 13.5) - level(&frames, 0.5, 7.5);
    near(apart, 8.0, 0.3, "a voice at -18 above music at -26");
}

#[test]
fn fades_begin_and_end_when_they_should_and_do_not_click() {
    let mut score = score(10_000);
    score.beds = vec![bed(0, 1_000, 6_000)];
    score.beds[0].fade_in = Millis(1_500);
    score.beds[0].fade_out = Millis(1_500);
    let (frames, _) = render(score, &[tone(20)]);
    assert_eq!(level(&frames, 0.0, 1.0), f64::NEG_INFINITY);
    near(level(&frames, 1.745, 1.755), TONE - 3.01, 0.03, "half in");
    near(level(&frames, 2.5, 6.0), TONE, 0.001, "in");
    near(level(&frames, 6.745, 6.755), TONE - 3.01, 0.03, "half out");
    assert_eq!(level(&frames, 7.51, 10.0), f64::NEG_INFINITY);
    // A sine's own greatest step, and nothing above it.
    let own = common::amplitude(-20.0) * std::f64::consts::TAU / 48.0;
    assert!(greatest_step(&frames) <= own * 1.01);
}

#[test]
fn a_fade_turned_round_half_way_goes_back_from_there() {
    let mut score = score(4_000);
    score.beds = vec![bed(0, 0, 500)];
    score.beds[0].fade_in = Millis(1_000);
    score.beds[0].fade_out = Millis(1_000);
    let (frames, _) = render(score, &[tone(5)]);
    near(level(&frames, 0.495, 0.505), TONE - 3.01, 0.1, "half in");
    near(level(&frames, 0.745, 0.755), TONE - 8.34, 0.2, "half way back");
    assert_eq!(level(&frames, 1.01, 4.0), f64::NEG_INFINITY);
}

#[test]
fn a_crossfade_of_two_pieces_keeps_the_level() {
    let (one, other) = (noise(1, 0.2), noise(2, 0.2));
    let sources =
        [wav(RATE, 10 * SECOND, &[&one, &one]), wav(RATE, 10 * SECOND, &[&other, &other])];
    let mut score = score(10_000);
    score.beds = vec![bed(0, 0, 4_000), bed(1, 4_000, 10_000)];
    score.beds[0].fade_out = Millis(3_000);
    score.beds[1].fade_in = Millis(3_000);
    let (frames, _) = render(score, &sources);
    let steady = level(&frames, 0.5, 4.0);
    for step in 0..10 {
        let at = 4.0 + 0.3 * f64::from(step);
        near(level(&frames, at, at + 0.3), steady, 0.25, &format!("from {at} s"));
    }
    near(level(&frames, 7.0, 10.0), steady, 0.1, "after");
}

fn repeat(from: i64, to: i64, crossfade: i64) -> Option<Repeat> {
    Some(Repeat { from: Millis(from), to: Millis(to), crossfade: Millis(crossfade) })
}

/// The two ends of a loop are the same sound: whole periods of a tone. It goes on as if it had never
/// been cut.
#[test]
fn a_loop_of_the_same_sound_has_no_seam() {
    for (from, to, crossfade) in
        [(2_000, 6_000, 2_000), (0, 5_000, 500), (500, 4_500, 1_000), (1_000, 9_000, 0)]
    {
        let mut score = score(30_000);
        score.beds = vec![bed(0, 0, 30_000)];
        score.beds[0].repeat = repeat(from, to, crossfade);
        let (frames, _) = render(score, &[tone(8)]);
        let same = sine(RATE, 1000.0, -20.0);
        for (frame, [left, _]) in frames.iter().enumerate() {
            let off = (f64::from(*left) - same(frame as u64)).abs();
            assert!(off < 1e-4, "{from}..{to}/{crossfade}: {off} at frame {frame}");
        }
    }
}

/// One that is too long to be kept is decoded again, and sounds the same.
#[test]
fn a_long_loop_has_no_seam_either() {
    let tone = sine(8_000, 1000.0, -20.0);
    let mut score = score(300_000);
    score.beds = vec![bed(0, 0, 300_000)];
    score.beds[0].repeat = repeat(2_000, 132_000, 1_000);
    let (frames, _) = render(score, &[wav(8_000, 140 * 8_000, &[&tone])]);
    let same = sine(RATE, 1000.0, -20.0);
    for (frame, [left, _]) in frames.iter().enumerate().skip(4_800) {
        let off = (f64::from(*left) - same(frame as u64)).abs();
        assert!(off < 1e-3, "{off} at frame {frame}");
    }
}

/// Two loops a second at the end of a long piece: it is not decoded for each of them.
#[test]
fn a_short_loop_far_into_a_piece_is_soon_rendered() {
    let mut score = score(600_000);
    score.beds = vec![bed(0, 0, 600_000)];
    score.beds[0].repeat = repeat(59_000, 59_500, 100);
    let sources = [tone(60)];
    let began = std::time::Instant::now();
    let (frames, _) = render(score, &sources);
    near(level(&frames, 300.0, 600.0), TONE, 0.001, "at the end");
    // Decoding all of it each time takes minutes.
    assert!(began.elapsed().as_secs() < 60, "{:?}", began.elapsed());
}

#[test]
fn a_loop_of_unlike_ends_keeps_its_level_and_does_not_click() {
    let grain = noise(9, 0.2);
    let sources = [wav(RATE, 8 * SECOND, &[&grain, &grain])];
    let mut score = score(40_000);
    score.beds = vec![bed(0, 0, 40_000)];
    score.beds[0].repeat = repeat(2_000, 8_000, 2_000);
    let (frames, _) = render(score, &sources);
    let steady = level(&frames, 0.0, 6.0);
    for step in 0..130 {
        let at = 0.3 * f64::from(step);
        near(level(&frames, at, at + 0.3), steady, 0.25, &format!("from {at} s"));
    }
    // From the end of a crossfade to the next it is the source, six seconds later each time.
    assert!(frames[3 * 48_000..5 * 48_000] == frames[9 * 48_000..11 * 48_000]);
    assert!(frames[3 * 48_000..5 * 48_000] == frames[33 * 48_000..35 * 48_000]);
}

#[test]
fn a_loop_between_two_tones_does_not_click() {
    // It rises in pitch, so that what goes and what comes are never alike.
    let slide = |frame: u64| {
        let time = frame as f64 / 48_000.0;
        0.1 * libm::sin(std::f64::consts::TAU * (300.0 * time + 40.0 * time * time))
    };
    let sources = [wav(RATE, 6 * SECOND, &[&slide])];
    let mut score = score(20_000);
    score.beds = vec![bed(0, 0, 20_000)];
    score.beds[0].repeat = repeat(1_000, 5_500, 0);
    let (frames, _) = render(score, &sources);
    // Two sines of at most 740 Hz at once, in 5 ms.
    let most = 0.2 * std::f64::consts::TAU * 740.0 / 48_000.0 + 0.2 / 240.0 * 1.6;
    assert!(greatest_step(&frames) < most, "{}", greatest_step(&frames));
    near(level(&frames, 5.3, 5.6), level(&frames, 2.0, 5.0), 1.5, "at the seam");
}

#[test]
fn without_a_loop_it_plays_once() {
    let mut score = score(10_000);
    score.beds = vec![bed(0, 1_000, 10_000)];
    let (frames, _) = render(score, &[tone(3)]);
    near(level(&frames, 1.0, 4.0), TONE, 0.001, "once");
    assert_eq!(level(&frames, 4.0, 10.0), f64::NEG_INFINITY);
}

#[test]
fn a_loop_that_leaves_nothing_plays_once() {
    for nothing in [repeat(5_000, 5_001, 100), repeat(9_000, 12_000, 100), repeat(3_000, 1_000, 0)]
    {
        let mut score = score(10_000);
        score.beds = vec![bed(0, 0, 10_000)];
        score.beds[0].repeat = nothing;
        let (frames, _) = render(score, &[tone(3)]);
        assert_eq!(level(&frames, 3.0, 10.0), f64::NEG_INFINITY);
    }
}

/// While the line is busy, the music stops, and goes on from there.
#[test]
fn paused_music_goes_on_from_where_it_stopped() {
    let rising = |frame: u64| 0.4 * frame as f64 / (10.0 * 48_000.0);
    let sources = [wav(RATE, 10 * SECOND, &[&rising])];
    let mut score = score(9_000);
    score.beds = vec![bed(0, 0, 9_000)];
    score.beds[0].pauses = vec![span(2_000, 6_000)];
    let (frames, _) = render(score, &sources);
    assert_eq!(level(&frames, 2.31, 6.0), f64::NEG_INFINITY);
    // Gone in 0.3 s and back in 1.5 s: it was stopped for 3.7 s.
    for (at, there) in [(1.9, 1.9), (7.6, 3.9), (8.9, 5.2)] {
        let sample = frames[(at * 48_000.0) as usize][0];
        near(f64::from(sample), 0.04 * there, 1e-3, &format!("at {at} s"));
    }
}

/// Cut off at four seconds of ten, it is gone within fifty milliseconds, and does not click.
#[test]
fn a_voice_cut_off_goes_quickly_and_without_a_click() {
    let mut score = score(6_000);
    score.voices = vec![voice(0, 1_000, 3_000)];
    score.voices[0].level = Level::Gain(Decibels::of(0.0));
    let (frames, _) = render(score, &[tone(10)]);
    near(level(&frames, 1.0, 4.0), TONE, 0.001, "until then");
    near(level(&frames, 4.02, 4.03), TONE - 3.01, 0.3, "half gone");
    assert_eq!(level(&frames, 4.05, 6.0), f64::NEG_INFINITY);
    let own = common::amplitude(-20.0) * std::f64::consts::TAU / 48.0;
    assert!(greatest_step(&frames) <= own * 1.05);
}

/// Paused by the radio, it loses nothing.
#[test]
fn a_paused_voice_goes_on_from_where_it_stopped() {
    let rising = |frame: u64| 0.5 * frame as f64 / (4.0 * 48_000.0);
    let sources = [wav(RATE, 4 * SECOND, &[&rising])];
    let mut score = score(9_000);
    let mut paused = voice(0, 1_000, 2_000);
    paused.level = Level::Gain(Decibels::of(0.0));
    paused.stretches = vec![stretch(1_000, 0, 2_000), stretch(6_000, 2_000, 2_000)];
    score.voices = vec![paused];
    let (frames, _) = render(score, &sources);
    let at = |seconds: f64| f64::from(frames[(seconds * 48_000.0) as usize][0]);
    near(at(2.9), 0.125 * 1.9, 1e-4, "before");
    assert_eq!(level(&frames, 3.06, 6.0), f64::NEG_INFINITY);
    near(at(6.1), 0.125 * 2.1, 1e-4, "after");
    near(at(7.9), 0.125 * 3.9, 1e-4, "at its end");
    assert_eq!(level(&frames, 8.0, 9.0), f64::NEG_INFINITY);
}

/// Ducked for the radio, it plays on, lower.
#[test]
fn a_ducked_voice_plays_on_lower() {
    let mut score = score(8_000);
    score.voices = vec![voice(0, 1_000, 6_000)];
    score.voices[0].level = Level::Gain(Decibels::of(0.0));
    score.voices[0].ducked = vec![span(2_000, 4_000)];
    let (frames, _) = render(score, &[tone(6)]);
    near(level(&frames, 1.0, 2.0), TONE, 0.001, "before");
    near(level(&frames, 2.3, 4.0), TONE - 12.0, 0.001, "ducked");
    near(level(&frames, 5.5, 7.0), TONE, 0.001, "after");
}
