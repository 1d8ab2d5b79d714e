//! Numbers that look random and are the same on every machine.

use earth::Millis;

/// A stream of numbers from a seed (the splitmix64 sequence, Steele, Lea and Flood 2014).
pub struct Dice {
    state: u64,
    /// Whether times are whole seconds, so that many things fall on one instant.
    pub whole_seconds: bool,
}

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self { state: seed, whole_seconds: false }
    }

    fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// From nought up to 1.
    #[expect(clippy::cast_precision_loss, reason = "53 bits fit")]
    pub fn part(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn between(&mut self, from: f64, to: f64) -> f64 {
        from + (to - from) * self.part()
    }

    pub fn chance(&mut self, probability: f64) -> bool {
        self.part() < probability
    }

    /// From nought up to, not including, a number above nought.
    pub fn below(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }

    pub fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())]
    }

    /// A time between two numbers of seconds, in whole seconds or in milliseconds.
    pub fn time(&mut self, from: f64, to: f64) -> Millis {
        let seconds = self.between(from, to);
        if self.whole_seconds && from >= 1.0 {
            return Millis::from_secs_f64(seconds.round());
        }
        Millis::from_secs_f64(seconds)
    }
}
