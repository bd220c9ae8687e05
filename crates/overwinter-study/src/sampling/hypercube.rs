//! Latin hypercube sampling.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// Probabilities of the draws of one input: exactly one in each of `draws` equal shares of 0 to 1, at
/// a random place in its share, in a random order. None is 0 or 1.
///
/// They follow from `seed` and `stream` alone. ChaCha8 is a published cipher, so that they stay the
/// same whatever the version of the crate that computes it.
///
/// # References
/// - McKay, M. D., Beckman, R. J. and Conover, W. J. (1979): A comparison of three methods for
///   selecting values of input variables in the analysis of output from a computer code,
///   Technometrics 21(2), 239-245, section 2 (from memory).
/// - Bernstein, D. J. (2008): ChaCha, a variant of Salsa20, Workshop Record of SASC 2008 (from
///   memory).
pub(super) fn probabilities(seed: u64, stream: usize, draws: usize) -> Vec<f64> {
    let mut random = generator(seed, stream as u64);
    let order: Vec<u64> = (0..draws).map(|_| random.next_u64()).collect();
    // The shares in the order of random numbers are in random order.
    let mut shares: Vec<usize> = (0..draws).collect();
    shares.sort_by_key(|share| order[*share]);
    let mut place = || unit(random.next_u64());
    let probability = |share: usize| (share as f64 + place()) / draws as f64;
    shares.into_iter().map(probability).collect()
}

fn generator(seed: u64, stream: u64) -> ChaCha8Rng {
    let mut key = [0; 32];
    key[..8].copy_from_slice(&seed.to_le_bytes());
    let mut random = ChaCha8Rng::from_seed(key);
    random.set_stream(stream);
    random
}

/// A number between 0 and 1, and neither, from the upper 52 bits.
fn unit(bits: u64) -> f64 {
    ((bits >> 12) as f64 + 0.5) / (1_u64 << 52) as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Strombergson, J. (2013): Test Vectors for the Stream Cipher ChaCha,
    /// draft-strombergson-chacha-test-vectors-00, TC1 (all-zero key of 256 bits and IV), 8 rounds;
    /// from memory.
    #[test]
    fn the_generator_is_the_published_cipher() {
        let mut block = [0; 32];
        generator(0, 0).fill_bytes(&mut block);
        let published = [
            0x3e, 0x00, 0xef, 0x2f, 0x89, 0x5f, 0x40, 0xd6, 0x7f, 0x5b, 0xb8, 0xe8, 0x1f, 0x09,
            0xa5, 0xa1, 0x2c, 0x84, 0x0e, 0xc3, 0xce, 0x9a, 0x7f, 0x3b, 0x18, 0x1b, 0xe1, 0x88,
            0xef, 0x71, 0x1a, 0x1e,
        ];
        assert_eq!(block, published);
    }

    #[test]
    fn every_share_has_exactly_one_draw() {
        for (seed, stream, draws) in [(1, 0, 1), (1, 1, 2), (7, 3, 200), (u64::MAX, 9, 1001)] {
            let mut shares: Vec<_> = probabilities(seed, stream, draws)
                .into_iter()
                .map(|probability| (probability * draws as f64).floor() as usize)
                .collect();
            shares.sort_unstable();
            assert_eq!(shares, (0..draws).collect::<Vec<_>>());
        }
    }

    #[test]
    fn numbers_lie_between_0_and_1() {
        assert!(unit(0) > 0.0 && unit(u64::MAX) < 1.0);
    }

    #[test]
    fn draws_follow_from_seed_and_place() {
        let first = probabilities(1, 0, 50);
        assert_eq!(probabilities(1, 0, 50), first);
        for other in [probabilities(2, 0, 50), probabilities(1, 1, 50)] {
            assert_ne!(other, first);
        }
    }

    /// The correlation of two random orders of n has a standard deviation of 1 / sqrt(n - 1)
    /// (Kendall and Gibbons 1990, Rank Correlation Methods, 5th ed., chapter 4, from memory), so that
    /// four of them are hardly ever passed.
    #[test]
    fn inputs_are_not_correlated() {
        let draws = 1000;
        let inputs: Vec<_> = (0..6)
            .map(|stream| probabilities(3, stream, draws))
            .collect();
        let limit = 4.0 / (draws as f64 - 1.0).sqrt();
        for (index, one) in inputs.iter().enumerate() {
            for other in &inputs[..index] {
                let product = |(a, b): (&f64, &f64)| 12.0 * (a - 0.5) * (b - 0.5);
                let sum: f64 = one.iter().zip(other).map(product).sum();
                let correlation = sum / draws as f64;
                assert!(correlation.abs() < limit, "{correlation}");
            }
        }
    }
}
