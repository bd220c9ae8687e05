//! Into which blocks the cases of a study are cut, and which share of them is run.

use std::ops::Range;

/// Cases in a part where each takes a second or has thousands of rows.
const FEW: usize = 8;
/// Cases in a part otherwise, in a large study: about half a second of work on one core.
const MANY: usize = 64;
/// A study has at least this many blocks, if it has the cases, so that threads have something to share.
const LEAST_BLOCKS: usize = 32;

/// A share of the cases: every `of`-th block, from the `number`-th.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shard {
    number: usize,
    of: usize,
}

impl Shard {
    /// All cases.
    pub const ALL: Self = Self { number: 1, of: 1 };

    /// Share `number`, from 1, of `of`; `None` if there is no such share.
    pub fn new(number: usize, of: usize) -> Option<Self> {
        (1..=of).contains(&number).then_some(Self { number, of })
    }

    /// Its number, from 1.
    pub fn number(self) -> usize {
        self.number
    }

    /// Number of shares.
    pub fn of(self) -> usize {
        self.of
    }

    fn takes(self, block: usize) -> bool {
        block % self.of == self.number - 1
    }
}

/// Cases in a block of a study of so many; `heavy` where nights are tried or hours kept.
pub(super) fn cases_a_block(cases: usize, heavy: bool) -> usize {
    let most = if heavy { FEW } else { MANY };
    let even = cases.div_ceil(LEAST_BLOCKS);
    // Lanes step four cases at a time.
    let of_lanes = if heavy {
        even
    } else {
        even.next_multiple_of(4)
    };
    of_lanes.clamp(1, most)
}

/// The blocks of a share, as ranges of cases counted from 0.
pub(super) fn blocks(
    cases: usize,
    size: usize,
    shard: Shard,
) -> impl Iterator<Item = Range<usize>> {
    let all = (0..cases.div_ceil(size)).filter(move |block| shard.takes(*block));
    all.map(move |block| block * size..cases.min((block + 1) * size))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_case_is_in_one_block_of_one_share() {
        for (cases, heavy, shares) in [
            (1, true, 1),
            (5, false, 3),
            (1000, false, 7),
            (777, true, 64),
        ] {
            let size = cases_a_block(cases, heavy);
            let mut seen = vec![0; cases];
            for number in 1..=shares {
                let shard = Shard::new(number, shares).expect("a share");
                for block in blocks(cases, size, shard) {
                    block.for_each(|case| seen[case] += 1);
                }
            }
            assert!(seen.iter().all(|times| *times == 1), "{cases} in {shares}");
        }
    }

    #[test]
    fn blocks_are_small_where_a_case_is_slow_and_shared_where_cases_are_few() {
        assert_eq!(cases_a_block(1, true), 1);
        assert_eq!(cases_a_block(12, true), 1);
        assert_eq!(cases_a_block(12, false), 4);
        assert_eq!(cases_a_block(10_000, false), MANY);
        assert_eq!(cases_a_block(10_000, true), FEW);
    }

    #[test]
    fn there_is_no_share_beyond_the_last() {
        assert_eq!(Shard::new(0, 3), None);
        assert_eq!(Shard::new(4, 3), None);
        assert_eq!(Shard::new(1, 0), None);
        assert_eq!(Shard::new(1, 1), Some(Shard::ALL));
    }
}
