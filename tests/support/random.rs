//! A small generator of repeatable draws, so that a seed alone brings a case back.

/// A stream of draws (SplitMix64, Steele, Lea and Flood 2014).
#[derive(Debug, Clone)]
pub struct Random(u64);

impl Random {
    /// The stream of a seed and a number within it: neighbours have nothing in common.
    pub fn new(seed: u64, number: u64) -> Self {
        let mut start = Self(seed ^ 0x6a09_e667_f3bc_c909);
        let first = start.bits();
        let mut stream = Self(first ^ number.wrapping_mul(0xd134_2543_de82_ef95));
        stream.bits();
        stream
    }

    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From 0 to below `n`; 0 where `n` is 0.
    pub fn below(&mut self, n: usize) -> usize {
        ((u128::from(self.bits()) * n as u128) >> 64) as usize
    }

    /// From 0 to below 1.
    pub fn unit(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn chance(&mut self, share: f64) -> bool {
        self.unit() < share
    }

    /// Between two numbers, with three digits: what a person would write.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        three_digits(low + (high - low) * self.unit()).clamp(low, high)
    }

    pub fn pick<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        &list[self.below(list.len())]
    }

    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for i in (1..list.len()).rev() {
            list.swap(i, self.below(i + 1));
        }
    }
}

/// A number with three digits.
pub fn three_digits(value: f64) -> f64 {
    format!("{value:.2e}").parse().unwrap()
}
