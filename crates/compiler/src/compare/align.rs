//! Two lists laid side by side.

/// A place in two lists laid side by side, by their indices.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pair {
    /// The same in both.
    Both(usize, usize),
    /// Only in the older list.
    Old(usize),
    /// Only in the newer list.
    New(usize),
}

/// More comparisons than this are not made; what is left is then taken as wholly different.
const MOST_COMPARISONS: usize = 4_000_000;

/// Lays two lists side by side so that as much as possible is the same in both: a longest common
/// subsequence. Of what differs in one place the older comes first.
///
/// # References
/// R. A. Wagner, M. J. Fischer, The string-to-string correction problem, J. ACM 21, 168–173 (1974).
#[must_use]
pub fn align<T: PartialEq>(old: &[T], new: &[T]) -> Vec<Pair> {
    let before = old.iter().zip(new).take_while(|(a, b)| a == b).count();
    let (old_rest, new_rest) =
        (old.get(before..).unwrap_or_default(), new.get(before..).unwrap_or_default());
    let after =
        old_rest.iter().rev().zip(new_rest.iter().rev()).take_while(|(a, b)| a == b).count();
    let old_middle = old_rest.get(..old_rest.len() - after).unwrap_or_default();
    let new_middle = new_rest.get(..new_rest.len() - after).unwrap_or_default();
    let mut pairs: Vec<Pair> = (0..before).map(|at| Pair::Both(at, at)).collect();
    pairs.extend(middle(old_middle, new_middle).into_iter().map(|pair| match pair {
        Pair::Both(a, b) => Pair::Both(a + before, b + before),
        Pair::Old(a) => Pair::Old(a + before),
        Pair::New(b) => Pair::New(b + before),
    }));
    let (old_end, new_end) = (before + old_middle.len(), before + new_middle.len());
    pairs.extend((0..after).map(|at| Pair::Both(old_end + at, new_end + at)));
    pairs
}

fn middle<T: PartialEq>(old: &[T], new: &[T]) -> Vec<Pair> {
    if old.len().saturating_mul(new.len()) > MOST_COMPARISONS {
        return (0..old.len()).map(Pair::Old).chain((0..new.len()).map(Pair::New)).collect();
    }
    // Row `a`, column `b`: how much is common from there on.
    let width = new.len() + 1;
    let mut common = vec![0_u32; (old.len() + 1) * width];
    let at = |common: &[u32], a: usize, b: usize| common.get(a * width + b).copied().unwrap_or(0);
    for (a, in_old) in old.iter().enumerate().rev() {
        for (b, in_new) in new.iter().enumerate().rev() {
            let best = if in_old == in_new {
                at(&common, a + 1, b + 1) + 1
            } else {
                at(&common, a + 1, b).max(at(&common, a, b + 1))
            };
            if let Some(slot) = common.get_mut(a * width + b) {
                *slot = best;
            }
        }
    }
    let mut pairs = Vec::new();
    let (mut a, mut b) = (0, 0);
    while let (Some(in_old), Some(in_new)) = (old.get(a), new.get(b)) {
        if in_old == in_new {
            pairs.push(Pair::Both(a, b));
            (a, b) = (a + 1, b + 1);
        } else if at(&common, a + 1, b) >= at(&common, a, b + 1) {
            pairs.push(Pair::Old(a));
            a += 1;
        } else {
            pairs.push(Pair::New(b));
            b += 1;
        }
    }
    pairs.extend((a..old.len()).map(Pair::Old));
    pairs.extend((b..new.len()).map(Pair::New));
    pairs
}

#[cfg(test)]
mod tests {
    use super::*;

    fn marked(old: &str, new: &str) -> String {
        let old: Vec<&str> = old.split(' ').collect();
        let new: Vec<&str> = new.split(' ').collect();
        let mark = |pair: &Pair| match *pair {
            Pair::Both(a, b) => {
                assert_eq!(old.get(a), new.get(b));
                old.get(a).map(ToString::to_string)
            }
            Pair::Old(a) => old.get(a).map(|word| format!("-{word}")),
            Pair::New(b) => new.get(b).map(|word| format!("+{word}")),
        };
        align(&old, &new).iter().filter_map(mark).collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn as_much_as_possible_is_common() {
        assert_eq!(marked("a b c", "a b c"), "a b c");
        assert_eq!(marked("a b c", "a x c"), "a -b +x c");
        assert_eq!(marked("b c", "a b c d"), "+a b c +d");
        assert_eq!(marked("a b c b a", "c b a b a c"), "-a -b c b a +b +a +c");
        assert_eq!(marked("x", "y"), "-x +y");
    }

    #[test]
    fn lists_too_long_to_be_laid_out_differ_as_a_whole() {
        let old: Vec<usize> = (0..3000).collect();
        let new: Vec<usize> = (0..3000).map(|n| if n == 0 { 9999 } else { 3000 - n }).collect();
        let pairs = align(&old, &new);
        assert!(pairs.len() > 3000 && pairs.len() <= 6000);
        assert!(!pairs.iter().any(|pair| matches!(pair, Pair::Both(..))));
    }
}
