//! Frames and timecode.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use earth::Millis;
use film::Rate;

fn rate(name: &str) -> Rate {
    name.parse().unwrap()
}

/// Frames with their timecode, as the reference library of OpenTimelineIO 0.18.1 gives them (read
/// there, not computed here).
#[test]
fn timecode_as_the_reference_library_gives_it() {
    let rows = [
        ("25", 90_000, "01:00:00:00"),
        ("29.97", 1800, "00:01:00;02"),
        ("29.97", 17_982, "00:10:00;00"),
    ];
    for (name, frame, timecode) in rows {
        assert_eq!(rate(name).timecode(frame), timecode);
        assert_eq!(rate(name).frame_of(timecode), Ok(frame));
    }
}

/// SMPTE 12M: in an hour of drop-frame timecode at 29.97 frames a second 108 numbers are left out,
/// so that 01:00:00;00 is frame 107,892; of 59.94, twice as many.
#[test]
fn an_hour_of_drop_frame() {
    assert_eq!(rate("29.97").frame_of("01:00:00;00"), Ok(107_892));
    assert_eq!(rate("59.94").frame_of("01:00:00;00"), Ok(215_784));
    assert_eq!(rate("29.97ndf").frame_of("01:00:00:00"), Ok(108_000));
    // An hour by the clock is within a frame or two of that.
    assert_eq!(rate("29.97").frame_at(Millis::from_secs(3600)), 107_892);
    assert_eq!(rate("59.94").frame_at(Millis::from_secs(3600)), 215_784);
}

#[test]
fn every_frame_of_a_day_has_a_timecode_of_its_own_in_order() {
    for name in Rate::known() {
        let rate = rate(name);
        let mut before = rate.timecode(0);
        for frame in (1..60_000).chain(1_980_000..2_000_000) {
            let now = rate.timecode(frame);
            assert!(frame == 1_980_000 || now > before, "{name}: {before} then {now}");
            assert_eq!(rate.frame_of(&now), Ok(frame), "{name} {now}");
            before = now;
        }
    }
}

#[test]
fn after_a_day_timecode_begins_again() {
    assert_eq!(rate("25").timecode(25 * 86_400), "00:00:00:00");
    assert_eq!(rate("25").timecode(-1), "23:59:59:24");
    assert_eq!(rate("29.97").timecode(107_892 * 24), "00:00:00;00");
}

/// Ten hours of frames: the time of each is its own, so none is ever more than half a millisecond
/// off, and back again it is the same frame.
#[test]
fn frames_do_not_drift() {
    let exact =
        [("25", 25.0), ("23.976", 24_000.0 / 1001.0), ("29.97", 30_000.0 / 1001.0), ("60", 60.0)];
    for (name, per_second) in exact {
        let rate = rate(name);
        assert!((rate.per_second() - per_second).abs() < 1e-12);
        for frame in (0..2_160_000_i32).step_by(977) {
            let time = rate.time_of(i64::from(frame));
            let off = time.get() - f64::from(frame) * 1000.0 / per_second;
            assert!(off.abs() <= 0.5001, "{name} {frame}: {off}");
            assert_eq!(rate.frame_at(time), i64::from(frame), "{name}");
        }
    }
    assert_eq!(rate("25").frame_at(Millis(-20)), 0);
    assert_eq!(rate("25").frame_at(Millis(-21)), -1);
    assert_eq!(rate("25").frame_at(Millis(20)), 1);
}

#[test]
fn what_is_no_timecode_or_rate_is_refused() {
    for wrong in
        ["", "1:00:00:00", "01:00:00", "24:00:00:00", "00:60:00:00", "00:00:00:25", "00:00:0a:00"]
    {
        assert!(rate("25").frame_of(wrong).is_err(), "{wrong}");
    }
    assert!(rate("29.97").frame_of("00:01:00;01").unwrap_err().contains("begins with 02"));
    assert!(rate("29.97").frame_of("00:10:00;01").is_ok());
    for wrong in ["", "0", "-25", "25.0", "1e9", "NaN"] {
        let said = wrong.parse::<Rate>().unwrap_err();
        assert!(said.contains("29.97"), "{said}");
    }
    for name in Rate::known() {
        assert_eq!(rate(name).to_string(), name);
    }
}
