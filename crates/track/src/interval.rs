//! How far apart the fixes of a recorded flight usually are.

use earth::{Millis, Utc};

/// Intervals that are looked at.
const LOOKED_AT: usize = 60;

/// The usual interval of a recorded flight: the median of the first 60 intervals above zero between
/// consecutive points, of two middle ones the lesser. `None` if there is no such interval.
///
/// Takes no more of the times than it needs.
#[must_use]
pub fn usual_interval(times: impl IntoIterator<Item = Utc>) -> Option<Millis> {
    let mut intervals = Vec::with_capacity(LOOKED_AT);
    let mut last: Option<Utc> = None;
    for time in times {
        if let Some(last) = last
            && time > last
        {
            intervals.push(time - last);
            if intervals.len() == LOOKED_AT {
                break;
            }
        }
        last = Some(time);
    }
    intervals.sort_unstable();
    let middle = intervals.len().checked_sub(1)? / 2;
    intervals.get(middle).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(times: &[i64]) -> Option<i64> {
        usual_interval(times.iter().map(|t| Utc(*t))).map(|m| m.0)
    }

    #[test]
    fn the_median_of_what_goes_forward() {
        assert_eq!(of(&[]), None);
        assert_eq!(of(&[5]), None);
        assert_eq!(of(&[5, 5, 3]), None);
        assert_eq!(of(&[0, 1000]), Some(1000));
        assert_eq!(of(&[0, 1000, 3000]), Some(1000));
        assert_eq!(of(&[0, 1000, 3000, 6000]), Some(2000));
        // 1000, nothing, back, then 5000 from where it went back to.
        assert_eq!(of(&[0, 1000, 1000, 0, 5000]), Some(1000));
        assert_eq!(of(&[0, 1000, 1000, 0, 5000, 10_000]), Some(5000));
    }

    #[test]
    fn no_more_than_sixty_are_taken() {
        let mut taken = 0;
        let times = (0..1000).inspect(|_| taken += 1).map(|n| Utc(if n <= 60 { n } else { n * 9 }));
        assert_eq!(usual_interval(times), Some(Millis(1)));
        assert_eq!(taken, 61);
    }
}
