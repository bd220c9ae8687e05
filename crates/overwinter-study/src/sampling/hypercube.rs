//! Latin hypercube sampling.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// Largest number of times that an order is straightened: what one time leaves, the next halves at best.
const MOST_PASSES: usize = 8;

/// Probabilities of the draws of one input: exactly one in each of `draws` equal shares of 0 to 1, at
/// a random place in its share, in a random order that has little correlation with the inputs
/// `before`. None is 0 or 1.
///
/// Two random orders of n draws are correlated by some 1 / sqrt(n - 1): by 0.3 of ten draws, so that
/// an input that does nothing would seem to drive a result. Here what goes with an earlier input is
/// taken out of the order and the rest ranked anew, until that helps no more.
///
/// They follow from `seed`, `stream` and the inputs before alone. ChaCha8 is a published cipher, so
/// that they stay the same whatever the version of the crate that computes it.
///
/// # References
/// - McKay, M. D., Beckman, R. J. and Conover, W. J. (1979): A comparison of three methods for
///   selecting values of input variables in the analysis of output from a computer code,
///   Technometrics 21(2), 239-245, section 2 (from memory).
/// - Owen, A. B. (1994): Controlling correlations in Latin hypercube samples, Journal of the American
///   Statistical Association 89(428), 1517-1522: ranked residuals, forward only (from memory).
/// - Bernstein, D. J. (2008): ChaCha, a variant of Salsa20, Workshop Record of SASC 2008 (from
///   memory).
pub(super) fn probabilities(seed: u64, stream: usize, draws: usize, before: &[&[f64]]) -> Vec<f64> {
    let mut random = generator(seed, stream as u64);
    let order: Vec<u64> = (0..draws).map(|_| random.next_u64()).collect();
    // The shares in the order of random numbers are in random order.
    let mut shares: Vec<usize> = (0..draws).collect();
    shares.sort_by_key(|share| order[*share]);
    let mut place = || unit(random.next_u64());
    let places: Vec<f64> = shares.iter().map(|_| place()).collect();
    let probability = |(share, place): (usize, f64)| (share as f64 + place) / draws as f64;
    let shares = straightened(shares, before);
    shares.into_iter().zip(places).map(probability).collect()
}

/// The order with the least correlation with any of `others` that ranked residuals come to.
fn straightened(shares: Vec<usize>, others: &[&[f64]]) -> Vec<usize> {
    let others: Vec<Vec<f64>> = others.iter().map(|other| centred(other)).collect();
    let mut least = largest_correlation(&shares, &others);
    let mut best = shares;
    for _ in 0..MOST_PASSES {
        let mut rest = centred_shares(&best);
        for other in &others {
            take_out(&mut rest, other);
        }
        let next = ranks(&rest);
        let largest = largest_correlation(&next, &others);
        if largest >= least {
            break;
        }
        (best, least) = (next, largest);
    }
    best
}

/// The largest size of the correlation of an order with any of some centred numbers; 0 without any.
fn largest_correlation(shares: &[usize], others: &[Vec<f64>]) -> f64 {
    let own = centred_shares(shares);
    let of = |other: &Vec<f64>| {
        let size = product(&own, &own) * product(other, other);
        if size > 0.0 {
            product(&own, other).abs() / size.sqrt()
        } else {
            0.0
        }
    };
    others.iter().map(of).fold(0.0, f64::max)
}

/// Takes out of `numbers` what goes with `other`, both centred.
fn take_out(numbers: &mut [f64], other: &[f64]) {
    let size = product(other, other);
    if size > 0.0 {
        let slope = product(numbers, other) / size;
        for (number, other) in numbers.iter_mut().zip(other) {
            *number -= slope * other;
        }
    }
}

/// Places of numbers in their order of size, from 0; of equal ones the earlier is lower.
fn ranks(numbers: &[f64]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..numbers.len()).collect();
    order.sort_by(|a, b| numbers[*a].total_cmp(&numbers[*b]));
    let mut ranks = vec![0; numbers.len()];
    for (rank, at) in order.into_iter().enumerate() {
        ranks[at] = rank;
    }
    ranks
}

fn centred_shares(shares: &[usize]) -> Vec<f64> {
    let middle = (shares.len() as f64 - 1.0) / 2.0;
    shares.iter().map(|share| *share as f64 - middle).collect()
}

fn centred(numbers: &[f64]) -> Vec<f64> {
    let mean = numbers.iter().sum::<f64>() / numbers.len().max(1) as f64;
    numbers.iter().map(|number| number - mean).collect()
}

fn product(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
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
        for (seed, draws) in [(1, 1), (1, 2), (9, 3), (7, 200), (u64::MAX, 1001)] {
            for input in inputs(seed, 5, draws) {
                let share = |probability: f64| (probability * draws as f64).floor() as usize;
                let mut shares: Vec<_> = input.into_iter().map(share).collect();
                shares.sort_unstable();
                assert_eq!(shares, (0..draws).collect::<Vec<_>>());
            }
        }
    }

    #[test]
    fn numbers_lie_between_0_and_1() {
        assert!(unit(0) > 0.0 && unit(u64::MAX) < 1.0);
    }

    #[test]
    fn draws_follow_from_seed_and_place() {
        let first = probabilities(1, 0, 50, &[]);
        assert_eq!(probabilities(1, 0, 50, &[]), first);
        for other in [probabilities(2, 0, 50, &[]), probabilities(1, 1, 50, &[])] {
            assert_ne!(other, first);
        }
    }

    #[test]
    fn an_input_more_leaves_those_before_alone() {
        let (fewer, more) = (inputs(5, 3, 20), inputs(5, 4, 20));
        assert_eq!(fewer, more[..3]);
    }

    /// The correlation of two random orders of n has a standard deviation of 1 / sqrt(n - 1)
    /// (Kendall and Gibbons 1990, Rank Correlation Methods, 5th ed., chapter 4, from memory). The
    /// largest of the fifteen pairs of six inputs passes it in nearly every sample, and is twice as
    /// large at the median.
    #[test]
    fn inputs_are_hardly_correlated() {
        for (draws, of_chance) in [(10, 0.6), (16, 0.5), (100, 0.2), (1000, 0.05)] {
            let chance = 1.0 / (draws as f64 - 1.0).sqrt();
            let sum: f64 = (1..=20)
                .map(|seed| largest_of_pairs(&inputs(seed, 6, draws)))
                .sum();
            let mean = sum / 20.0;
            assert!(mean < of_chance * chance, "{draws}: {}", mean / chance);
        }
    }

    /// With as many inputs as draws no order is free of the others: nothing is made worse.
    #[test]
    fn more_inputs_than_draws_are_taken() {
        for input in inputs(3, 12, 4) {
            assert!(input.iter().all(|p| *p > 0.0 && *p < 1.0));
        }
    }

    fn inputs(seed: u64, count: usize, draws: usize) -> Vec<Vec<f64>> {
        let mut inputs: Vec<Vec<f64>> = Vec::new();
        for stream in 0..count {
            let before: Vec<&[f64]> = inputs.iter().map(Vec::as_slice).collect();
            let next = probabilities(seed, stream, draws, &before);
            inputs.push(next);
        }
        inputs
    }

    /// The largest size of the correlation of any two inputs.
    fn largest_of_pairs(inputs: &[Vec<f64>]) -> f64 {
        let inputs: Vec<_> = inputs.iter().map(|input| centred(input)).collect();
        let mut largest = 0.0_f64;
        for (index, one) in inputs.iter().enumerate() {
            for other in &inputs[..index] {
                let size = (product(one, one) * product(other, other)).sqrt();
                largest = largest.max((product(one, other) / size).abs());
            }
        }
        largest
    }
}
