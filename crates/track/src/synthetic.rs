//! Making a flight as it might have been recorded from one as it was meant to be.
//!
//! Everything here changes fixes in place and depends on nothing but its arguments: the same seed
//! gives the same flight on every machine.

use earth::{Degrees, DegreesTrue, Fix, HeadingReading, Metres, Millis, Utc, geodesic};

/// Drops the fixes from one time up to, not including, another: a GPS dropout.
pub fn drop_out(fixes: &mut Vec<Fix>, from: Utc, until: Utc) {
    fixes.retain(|fix| fix.time < from || fix.time >= until);
}

/// Moves a flight in time.
pub fn shift(fixes: &mut [Fix], by: Millis) {
    for fix in fixes {
        fix.time = fix.time + by;
        if let Some(heading) = &mut fix.heading {
            heading.time = heading.time + by;
        }
    }
}

/// Keeps the first fix and then each that comes at least so long after the last one kept.
pub fn thin(fixes: &mut Vec<Fix>, interval: Millis) {
    let mut last: Option<Utc> = None;
    fixes.retain(|fix| {
        let keep = last.is_none_or(|last| fix.time - last >= interval);
        if keep {
            last = Some(fix.time);
        }
        keep
    });
}

/// Flies a track the other way round, from its first time on, with the same time between each two
/// places. Track and heading are turned about.
pub fn reverse(fixes: &mut [Fix]) {
    let (Some(first), Some(last)) = (fixes.first(), fixes.last()) else { return };
    let (first, last) = (first.time, last.time);
    fixes.reverse();
    for fix in fixes {
        fix.time = first + (last - fix.time);
        fix.track = fix.track.map(DegreesTrue::reversed);
        if let Some(heading) = &mut fix.heading {
            heading.time = fix.time;
            heading.reading = match heading.reading {
                HeadingReading::True(degrees) => HeadingReading::True(degrees.reversed()),
                HeadingReading::Magnetic { degrees, variation } => {
                    HeadingReading::Magnetic { degrees: degrees.reversed(), variation }
                }
            };
        }
    }
}

/// Moves each fix sideways by a smooth, seeded deviation of at most `most`, the way a pilot who
/// flies by eye wanders about the line: a new random deviation each `every`, and a smooth way from
/// one to the next. What the receiver said of groundspeed and track is left out, as it belongs to
/// the undisturbed line.
///
/// An `every` that is not above nought is taken as one second.
pub fn wander(fixes: &mut [Fix], most: Metres, every: Millis, seed: u64) {
    let Some(start) = fixes.first().map(|f| f.time) else { return };
    let every = if every > Millis::ZERO { every } else { Millis(1000) };
    let mut direction = DegreesTrue::NORTH;
    let places: Vec<_> = fixes.iter().map(|f| f.position).collect();
    for (at, fix) in fixes.iter_mut().enumerate() {
        let before = places.get(at.saturating_sub(1)).copied().unwrap_or(fix.position);
        let after = places.get(at + 1).copied().unwrap_or(fix.position);
        let way = geodesic::inverse(before, after);
        // In a hover there is no sideways: the last direction stands.
        if way.distance.get() > 0.5 {
            direction = way.azimuth_start;
        }
        let since = (fix.time - start).get() / every.get();
        let sideways = most * smooth_noise(seed, since);
        (fix.position, _) =
            geodesic::direct(fix.position, direction.turned(Degrees::of(90.0)), sideways);
        fix.groundspeed = None;
        fix.track = None;
    }
}

/// Moves each fix by a seeded error of its own, of about this standard deviation north and east:
/// a receiver's noise. What the receiver said of groundspeed and track stays.
pub fn receiver_noise(fixes: &mut [Fix], deviation: Metres, seed: u64) {
    let mut random = Random(seed);
    for fix in fixes {
        let north = deviation * random.about_normal();
        let east = deviation * random.about_normal();
        let (place, _) = geodesic::direct(fix.position, DegreesTrue::NORTH, north);
        (fix.position, _) = geodesic::direct(place, DegreesTrue::of(90.0), east);
    }
}

/// A smooth curve from −1 to 1 through a random value at each whole number.
fn smooth_noise(seed: u64, at: f64) -> f64 {
    let whole = at.floor();
    let part = at - whole;
    #[expect(clippy::cast_possible_truncation, reason = "a float to integer cast saturates")]
    let knot = whole as i64;
    let value = |knot: i64| {
        let mut random = Random(seed ^ knot.cast_unsigned().wrapping_mul(0x9e37_79b9_7f4a_7c15));
        random.next();
        random.unit() * 2.0 - 1.0
    };
    let (from, to) = (value(knot), value(knot.saturating_add(1)));
    from + (to - from) * part * part * (3.0 - 2.0 * part)
}

/// A small generator of random numbers.
///
/// # References
/// Steele, Lea and Flood, Fast splittable pseudorandom number generators, OOPSLA 2014 (SplitMix64;
/// constants from memory).
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// From 0 up to, not including, 1.
    #[expect(clippy::cast_precision_loss, reason = "53 bits are exact")]
    fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Of mean 0 and standard deviation 1, never beyond 6: the sum of twelve uniform numbers, which
    /// needs no logarithm and so is the same everywhere.
    fn about_normal(&mut self) -> f64 {
        (0..12).map(|_| self.unit()).sum::<f64>() - 6.0
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop")]
    use super::*;
    use earth::{MetresPerSecond, Position, SourceHeading};

    /// Twenty minutes north-east at 40 m/s, a fix a second (invented).
    fn line() -> Vec<Fix> {
        let start = Position::new(60.0, -1.0).unwrap();
        (0..1200_i32)
            .map(|n| {
                let (place, track) =
                    geodesic::direct(start, DegreesTrue::of(45.0), Metres::of(f64::from(n) * 40.0));
                let time = Utc(i64::from(n) * 1000);
                Fix {
                    groundspeed: Some(MetresPerSecond::of(40.0)),
                    track: Some(track),
                    heading: Some(SourceHeading { time, reading: HeadingReading::True(track) }),
                    ..Fix::at(time, place)
                }
            })
            .collect()
    }

    #[test]
    fn a_dropout_takes_what_lies_in_it() {
        let mut fixes = line();
        drop_out(&mut fixes, Utc(10_000), Utc(20_000));
        assert_eq!(fixes.len(), 1190);
        assert!(fixes.iter().all(|f| !(10_000..20_000).contains(&f.time.0)));
    }

    #[test]
    fn shifting_there_and_back_changes_nothing() {
        let mut fixes = line();
        shift(&mut fixes, Millis(86_400_000));
        assert_eq!(fixes[3].time, Utc(86_403_000));
        assert_eq!(fixes[3].heading.unwrap().time, Utc(86_403_000));
        shift(&mut fixes, Millis(-86_400_000));
        assert_eq!(fixes, line());
    }

    #[test]
    fn thinning_keeps_the_interval() {
        let mut fixes = line();
        thin(&mut fixes, Millis(7_000));
        assert_eq!(fixes.len(), 172);
        assert!(fixes.windows(2).all(|w| w[1].time - w[0].time == Millis(7_000)));
    }

    #[test]
    fn reversing_twice_changes_nothing_and_once_turns_about() {
        let mut fixes = line();
        fixes.remove(5);
        let original = fixes.clone();
        reverse(&mut fixes);
        assert_eq!(fixes[0].position, original.last().unwrap().position);
        assert_eq!(fixes[0].time, Utc(0));
        assert!(fixes.windows(2).all(|w| w[1].time > w[0].time));
        let turned = original.last().unwrap().track.unwrap().reversed();
        assert_eq!(fixes[0].track, Some(turned));
        reverse(&mut fixes);
        for (a, b) in fixes.iter().zip(&original) {
            assert_eq!((a.time, a.position), (b.time, b.position));
            assert!(a.track.unwrap().shortest_to(b.track.unwrap()).abs().get() < 1e-9);
        }
        reverse(&mut []);
    }

    #[test]
    fn wandering_is_bounded_smooth_sideways_and_repeatable() {
        let (mut fixes, original) = (line(), line());
        wander(&mut fixes, Metres::of(200.0), Millis(60_000), 7);
        let mut again = line();
        wander(&mut again, Metres::of(200.0), Millis(60_000), 7);
        assert_eq!(fixes, again);
        let mut other = line();
        wander(&mut other, Metres::of(200.0), Millis(60_000), 8);
        assert_ne!(fixes, other);
        let away: Vec<f64> = fixes
            .iter()
            .zip(&original)
            .map(|(a, b)| geodesic::inverse(b.position, a.position).distance.get())
            .collect();
        let most = away.iter().copied().fold(0.0, f64::max);
        assert!((50.0..=200.1).contains(&most), "{most}");
        // A step of 40 m ahead with at most 1.5 · 400 m / 60 s = 10 m sideways.
        for pair in fixes.windows(2) {
            let step = geodesic::inverse(pair[0].position, pair[1].position).distance.get();
            assert!((39.0..42.0).contains(&step), "{step}");
        }
        assert!(fixes.iter().all(|f| f.track.is_none() && f.groundspeed.is_none()));
    }

    #[test]
    fn receiver_noise_has_the_deviation_asked_for() {
        let (mut fixes, original) = (line(), line());
        receiver_noise(&mut fixes, Metres::of(3.0), 1);
        let squares: f64 = fixes
            .iter()
            .zip(&original)
            .map(|(a, b)| geodesic::inverse(b.position, a.position).distance.get())
            .map(|off| off * off)
            .sum();
        let deviation = (squares / 2.0 / 1200.0).sqrt();
        assert!((2.7..3.3).contains(&deviation), "{deviation}");
    }
}
