//! Random numbers that depend on the seed, the purpose and the year only.
//!
//! Each year takes its numbers from streams of its own, so that any number of threads, and years made in any order,
//! give the same bytes.

use dryspell::normal;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{RngCore, SeedableRng};

/// What fills the key beside the seed.
const TAG: [u8; 24] = *b"dryspell synthetic years";

/// 2⁻⁵³: the step of a uniform number with 53 bits.
const STEP: f64 = 1.0 / 9_007_199_254_740_992.0;

/// One stream of random numbers.
#[derive(Debug, Clone)]
pub(super) struct Stream(ChaCha8Rng);

impl Stream {
    /// The stream of a seed for a purpose (below 256) and an index (below 2⁵⁶).
    pub(super) fn new(seed: u64, purpose: u8, index: u64) -> Self {
        let mut key = [0; 32];
        key[..8].copy_from_slice(&seed.to_le_bytes());
        key[8..].copy_from_slice(&TAG);
        let mut generator = ChaCha8Rng::from_seed(key);
        generator.set_stream((index << 8) | u64::from(purpose));
        Self(generator)
    }

    /// A uniform number, 0 ≤ u < 1.
    pub(super) fn uniform(&mut self) -> f64 {
        let bits = self.0.next_u64() >> 11;
        // 53 bits fit a float exactly.
        let (high, low) = (u32::try_from(bits >> 32), u32::try_from(bits & 0xffff_ffff));
        let (high, low) = (high.unwrap_or(0), low.unwrap_or(0));
        (f64::from(high) * 4_294_967_296.0 + f64::from(low)) * STEP
    }

    /// A standard normal number.
    pub(super) fn normal(&mut self) -> f64 {
        normal::quantile(self.uniform())
    }

    /// A whole number below `n`, for small `n`.
    pub(super) fn below(&mut self, n: u32) -> usize {
        let product = u64::from(self.0.next_u32()) * u64::from(n);
        usize::try_from(product >> 32).unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn streams_are_their_own() {
        let first = |seed, purpose, index| Stream::new(seed, purpose, index).uniform();
        let all = [first(1, 0, 0), first(2, 0, 0), first(1, 1, 0), first(1, 0, 1), first(1, 0, 256)];
        for (i, a) in all.iter().enumerate() {
            assert!(all[i + 1..].iter().all(|b| (a - b).abs() > 1e-6), "{all:?}");
        }
        assert_eq!(first(1, 3, 5).to_bits(), first(1, 3, 5).to_bits());
    }

    #[test]
    fn moments_of_uniform_and_normal_numbers() {
        let mut stream = Stream::new(5, 0, 0);
        let n = 400_000;
        let (mut u, mut x, mut xx) = (0.0, 0.0, 0.0);
        let mut faces = [0_u32; 6];
        for _ in 0..n {
            u += stream.uniform();
            let v = stream.normal();
            x += v;
            xx += v * v;
            faces[stream.below(6)] += 1;
        }
        let n = f64::from(n);
        assert!((u / n - 0.5).abs() < 3.0 * (1.0 / 12.0 / n).sqrt());
        assert!((x / n).abs() < 3.0 / n.sqrt());
        assert!((xx / n - 1.0).abs() < 3.0 * (2.0 / n).sqrt());
        for f in faces {
            assert!((f64::from(f) - n / 6.0).abs() < 4.0 * (n * 5.0 / 36.0).sqrt(), "{faces:?}");
        }
    }
}
