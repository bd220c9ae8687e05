//! The block of a cover section: its layers, bordered by the core unknowns they touch.
//!
//! The air of the spaces between the layers has been eliminated before.

#![expect(
    clippy::needless_range_loop,
    reason = "slots are indices of the equations, across several arrays at once"
)]

use overwinter_physics::number::Real;

use super::{Core, FEELING, FELT};
use crate::house::MAX_LAYERS;

/// Column of the house air, of its vapour and of the shell's irradiance in [`FELT`].
pub(super) const FELT_AIR: usize = 0;
pub(super) const FELT_VAPOUR: usize = 1;
pub(super) const FELT_SHELL: usize = 2;
/// Row of the balance of the house air, of its vapour and of the floor plane in [`FEELING`].
pub(super) const IN_AIR: usize = 0;
pub(super) const IN_VAPOUR: usize = 1;
pub(super) const IN_PLANE: usize = 2;

/// A section's balances at the linearisation point.
///
/// `SIZE` is known to the compiler, so that every loop below is written out.
pub(super) struct Block<R, const SIZE: usize> {
    matrix: [[R; SIZE]; SIZE],
    known: [R; SIZE],
    felt: [[R; SIZE]; 3],
    feeling: [[R; SIZE]; 3],
}

/// What is left of a block when it has been eliminated: each unknown in terms of those towards the
/// house and of the core.
#[derive(Clone, Debug)]
pub(super) struct Eliminated<R> {
    matrix: [[R; MAX_LAYERS]; MAX_LAYERS],
    known: [R; MAX_LAYERS],
    felt: [[R; MAX_LAYERS]; 3],
}

impl<R: Real, const SIZE: usize> Block<R, SIZE> {
    /// A block of layers that only store heat.
    #[inline(always)]
    pub(super) fn new(diagonal: [R; SIZE], push: [R; SIZE]) -> Self {
        let zero = R::zero();
        let mut block = Self {
            matrix: [[zero; SIZE]; SIZE],
            known: push,
            felt: [[zero; SIZE]; 3],
            feeling: [[zero; SIZE]; 3],
        };
        for (slot, diagonal) in diagonal.into_iter().enumerate() {
            block.matrix[slot][slot] = diagonal;
        }
        block
    }

    /// A flux into `to`.
    #[inline(always)]
    pub(super) fn gain(&mut self, to: usize, flux: R) {
        self.known[to] += flux;
    }

    /// The flux into `to` grows by `slope` for each unit of `with`.
    #[inline(always)]
    pub(super) fn slope(&mut self, to: usize, with: usize, slope: R) {
        self.matrix[to][with] -= slope;
    }

    /// The flux into `to` grows by `slope` for each unit of a core unknown.
    #[inline(always)]
    pub(super) fn feel(&mut self, to: usize, felt: usize, slope: R) {
        self.felt[felt][to] -= slope;
    }

    /// The flux into a core balance grows by `slope` for each unit of `with`.
    #[inline(always)]
    pub(super) fn felt_by(&mut self, feeling: usize, with: usize, slope: R) {
        self.feeling[feeling][with] -= slope;
    }

    /// Heat from `from` to `to` through a conductance; `difference` is `from - to`.
    #[inline(always)]
    pub(super) fn couple(&mut self, to: usize, from: usize, conductance: R, difference: R) {
        let flux = conductance * difference;
        self.gain(to, flux);
        self.gain(from, -flux);
        self.slope(to, from, conductance);
        self.slope(from, to, conductance);
        self.slope(to, to, -conductance);
        self.slope(from, from, -conductance);
    }

    /// Eliminates the block into the core, from the outermost unknown inwards.
    ///
    /// `MIXED` says that the house air reaches further than the innermost layer; without it its
    /// rows and columns are empty there.
    #[inline(always)]
    pub(super) fn eliminate<const MIXED: bool>(
        mut self,
        core: &mut Core<R>,
        eliminated: &mut Eliminated<R>,
    ) {
        for pivot in (0..SIZE).rev() {
            let inverse = R::one() / self.matrix[pivot][pivot];
            let first_felt = if MIXED || pivot == 0 { 0 } else { FELT_SHELL };
            for column in 0..pivot {
                self.matrix[pivot][column] = self.matrix[pivot][column] * inverse;
                eliminated.matrix[pivot][column] = self.matrix[pivot][column];
            }
            for felt in first_felt..3 {
                self.felt[felt][pivot] = self.felt[felt][pivot] * inverse;
                eliminated.felt[felt][pivot] = self.felt[felt][pivot];
            }
            self.known[pivot] = self.known[pivot] * inverse;
            eliminated.known[pivot] = self.known[pivot];
            for row in 0..pivot {
                let factor = self.matrix[row][pivot];
                for column in 0..pivot {
                    let above = self.matrix[pivot][column];
                    self.matrix[row][column] -= factor * above;
                }
                for felt in first_felt..3 {
                    let above = self.felt[felt][pivot];
                    self.felt[felt][row] -= factor * above;
                }
                let above = self.known[pivot];
                self.known[row] -= factor * above;
            }
            let first_feeling = if MIXED || pivot == 0 { 0 } else { IN_PLANE };
            for feeling in first_feeling..3 {
                let factor = self.feeling[feeling][pivot];
                for column in 0..pivot {
                    self.feeling[feeling][column] -= factor * self.matrix[pivot][column];
                }
                for felt in first_felt..3 {
                    core.matrix[FEELING[feeling]][FELT[felt]] -= factor * self.felt[felt][pivot];
                }
                core.source[FEELING[feeling]] -= factor * self.known[pivot];
            }
        }
    }
}

impl<R: Real> Eliminated<R> {
    pub(super) fn none() -> Self {
        let zero = R::zero();
        Self {
            matrix: [[zero; MAX_LAYERS]; MAX_LAYERS],
            known: [zero; MAX_LAYERS],
            felt: [[zero; MAX_LAYERS]; 3],
        }
    }

    /// Changes of a block's unknowns, once those of the core (in the order of [`FELT`]) are known.
    #[inline(always)]
    pub(super) fn substitute<const SIZE: usize, const MIXED: bool>(
        &self,
        core: [R; 3],
        change: &mut [R; MAX_LAYERS],
    ) {
        for slot in 0..SIZE {
            let mut value = self.known[slot];
            let first_felt = if MIXED || slot == 0 { 0 } else { FELT_SHELL };
            for felt in first_felt..3 {
                value -= self.felt[felt][slot] * core[felt];
            }
            for column in 0..slot {
                value -= self.matrix[slot][column] * change[column];
            }
            change[slot] = value;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Block, Eliminated};
    use crate::balance::{Core, FEELING, FELT};
    use crate::house::MAX_LAYERS;
    use crate::model::{AIR, CORE, SHELL_IRRADIANCE, VAPOUR};
    use crate::solver::solve_block;

    const SIZE: usize = 4;
    /// Core unknowns, then the block's.
    const WHOLE: usize = CORE + SIZE;

    /// A block whose couplings all differ.
    fn block(mixed: bool) -> Block<f64, SIZE> {
        let mut block = Block::new(
            std::array::from_fn(|slot| 3.0 + slot as f64),
            std::array::from_fn(|slot| 1.0 - 0.7 * slot as f64),
        );
        for slot in 0..SIZE {
            for other in 0..SIZE {
                block.slope(slot, other, 0.05 * (1 + slot + 3 * other) as f64);
            }
            for border in 0..3 {
                if mixed || slot == 0 || border == 2 {
                    block.feel(slot, border, 0.11 * (1 + slot + border) as f64);
                    block.felt_by(border, slot, 0.07 * (2 + slot + 2 * border) as f64);
                }
            }
        }
        block
    }

    fn solves_like_the_whole<const MIXED: bool>() {
        let mut core = Core {
            matrix: [[0.0; CORE]; CORE],
            source: [1.0, 2.0, 0.0, 0.0, 0.0, 0.0, -1.0, 4.0],
        };
        for index in 0..CORE {
            core.matrix[index][index] = 5.0 + index as f64;
        }
        let local = block(MIXED);
        let mut whole = [[0.0; WHOLE]; WHOLE];
        let mut columns = [[0.0; 1]; WHOLE];
        for index in 0..CORE {
            whole[index][..CORE].copy_from_slice(&core.matrix[index]);
            columns[index] = [core.source[index]];
        }
        for slot in 0..SIZE {
            columns[CORE + slot] = [local.known[slot]];
            for other in 0..SIZE {
                whole[CORE + slot][CORE + other] = local.matrix[slot][other];
            }
            for border in 0..3 {
                whole[CORE + slot][FELT[border]] = local.felt[border][slot];
                whole[FEELING[border]][CORE + slot] = local.feeling[border][slot];
            }
        }
        solve_block(WHOLE, &mut whole, &mut columns);

        let mut eliminated = Eliminated::none();
        local.eliminate::<MIXED>(&mut core, &mut eliminated);
        let mut source = core.source.map(|value| [value]);
        solve_block(CORE, &mut core.matrix, &mut source);
        let mut change = [0.0; MAX_LAYERS];
        let felt = [
            source[AIR][0],
            source[VAPOUR][0],
            source[SHELL_IRRADIANCE][0],
        ];
        eliminated.substitute::<SIZE, MIXED>(felt, &mut change);
        for index in 0..CORE {
            assert!((source[index][0] - columns[index][0]).abs() < 1e-13);
        }
        for slot in 0..SIZE {
            assert!((change[slot] - columns[CORE + slot][0]).abs() < 1e-13);
        }
    }

    #[test]
    fn a_bordered_block_is_solved_like_the_whole_system() {
        solves_like_the_whole::<true>();
        solves_like_the_whole::<false>();
    }
}
