//! Random numbers that depend on the seed, the purpose and a number (of a year, a replicate, a key) only.
//!
//! Each year, replicate and key takes its numbers from a stream of its own, so that any number of threads, in any order,
//! give the same bytes.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{RngCore, SeedableRng};

/// What fills the key beside the seed.
const TAG: [u8; 24] = *b"dryspell resampled years";

/// 2⁻⁵³: the step of a uniform number with 53 bits.
const STEP: f64 = 1.0 / 9_007_199_254_740_992.0;

/// What a stream is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Purpose {
    /// Blocks of days.
    Blocks = 0,
    /// Years of a record.
    Years = 1,
    /// Seeds of replicates.
    Replicates = 2,
    /// Values of a scheme's keys.
    #[cfg(feature = "scheme")]
    Values = 3,
    /// What a scheme calls uncertain.
    #[cfg(feature = "scheme")]
    Unknowns = 4,
}

/// One stream of random numbers.
#[derive(Debug, Clone)]
pub(crate) struct Stream(ChaCha8Rng);

impl Stream {
    /// The stream of a seed for a purpose and a number (of which 56 bits count).
    pub(crate) fn new(seed: u64, purpose: Purpose, number: u64) -> Self {
        let mut key = [0; 32];
        key[..8].copy_from_slice(&seed.to_le_bytes());
        key[8..].copy_from_slice(&TAG);
        let mut generator = ChaCha8Rng::from_seed(key);
        generator.set_stream((number << 8) | u64::from(purpose as u8));
        Self(generator)
    }

    /// The stream of a seed for a purpose and a name (FNV-1a, of which 56 bits count).
    #[cfg(feature = "scheme")]
    pub(crate) fn named(seed: u64, purpose: Purpose, name: &str) -> Self {
        let number = name.bytes().fold(0xcbf2_9ce4_8422_2325, |hash: u64, byte| {
            (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
        });
        Self::new(seed, purpose, number >> 8)
    }

    /// Sixty-four bits.
    pub(crate) fn bits(&mut self) -> u64 {
        self.0.next_u64()
    }

    /// A uniform number, 0 ≤ u < 1.
    pub(crate) fn uniform(&mut self) -> f64 {
        #[allow(clippy::cast_precision_loss, reason = "53 bits fit a float exactly")]
        let bits = (self.0.next_u64() >> 11) as f64;
        bits * STEP
    }

    /// A whole number below `n`; 0 when `n` is 0. With 64 random bits no number is favoured by more than n/2⁶⁴.
    pub(crate) fn below(&mut self, n: usize) -> usize {
        let product = u128::from(self.0.next_u64()) * u128::try_from(n).unwrap_or(0);
        usize::try_from(product >> 64).unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn streams_are_their_own_and_repeat() {
        let first = |seed, purpose, number| Stream::new(seed, purpose, number).bits();
        let all = [
            first(1, Purpose::Blocks, 0),
            first(2, Purpose::Blocks, 0),
            first(1, Purpose::Years, 0),
            first(1, Purpose::Blocks, 1),
            first(1, Purpose::Blocks, 256),
        ];
        for (i, a) in all.iter().enumerate() {
            assert!(!all[i + 1..].contains(a), "{all:?}");
        }
        assert_eq!(first(7, Purpose::Years, 9), first(7, Purpose::Years, 9));
    }

    #[test]
    fn faces_are_equally_likely() {
        let mut stream = Stream::new(5, Purpose::Blocks, 0);
        let n = 300_000;
        let mut faces = [0_u32; 6];
        let mut sum = 0.0;
        for _ in 0..n {
            faces[stream.below(6)] += 1;
            sum += stream.uniform();
        }
        let n = f64::from(n);
        assert!((sum / n - 0.5).abs() < 3.0 * (1.0 / 12.0 / n).sqrt());
        for f in faces {
            assert!((f64::from(f) - n / 6.0).abs() < 3.0 * (n * 5.0 / 36.0).sqrt(), "{faces:?}");
        }
        assert_eq!(stream.below(0), 0);
    }
}
