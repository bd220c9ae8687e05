//! The elimination: small systems solved in place, without pivoting.
//!
//! Every block is a balance of a few nodes, with storage and conductance on its diagonal and at most
//! the same amount beside it, so the diagonal needs no search.

use overwinter_physics::number::Real;

/// Solves `matrix x = columns` for `K` right-hand sides at once; `columns` becomes `x`.
///
/// Only the first `size` rows and columns of the fixed arrays are used.
#[inline(always)]
pub fn solve_block<R: Real, const N: usize, const K: usize>(
    size: usize,
    matrix: &mut [[R; N]; N],
    columns: &mut [[R; K]; N],
) {
    eliminate_block(size, matrix, columns);
    substitute_block(size, size, matrix, columns);
}

/// Forward elimination: afterwards row `i` holds its later unknowns, the inverse of its pivot on
/// the diagonal, and its reduced right-hand sides.
#[inline(always)]
pub fn eliminate_block<R: Real, const N: usize, const K: usize>(
    size: usize,
    matrix: &mut [[R; N]; N],
    columns: &mut [[R; K]; N],
) {
    assert!(size <= N, "a block holds at most {N} unknowns");
    for pivot in 0..size {
        let inverse = R::one() / matrix[pivot][pivot];
        let pivot_row = matrix[pivot];
        let pivot_columns = columns[pivot];
        for row in pivot + 1..size {
            let factor = matrix[row][pivot] * inverse;
            for column in pivot + 1..size {
                matrix[row][column] -= factor * pivot_row[column];
            }
            for (value, above) in columns[row].iter_mut().zip(pivot_columns) {
                *value -= factor * above;
            }
        }
        matrix[pivot][pivot] = inverse;
    }
}

/// Back-substitution of rows `0..unknown` of an eliminated block of `size` rows; the rows from
/// `unknown` on must already hold their solution.
#[inline(always)]
pub fn substitute_block<R: Real, const N: usize, const K: usize>(
    unknown: usize,
    size: usize,
    matrix: &[[R; N]; N],
    columns: &mut [[R; K]; N],
) {
    for row in (0..unknown).rev() {
        let mut sums = columns[row];
        for later in row + 1..size {
            let factor = matrix[row][later];
            for (value, known) in sums.iter_mut().zip(columns[later]) {
                *value -= factor * known;
            }
        }
        columns[row] = sums.map(|value| value * matrix[row][row]);
    }
}

/// One node of a chain: `diagonal x - left x_left - right x_right = source`.
#[derive(Clone, Copy, Debug)]
pub struct ChainNode<R> {
    /// Storage plus every conductance at the node.
    pub diagonal: R,
    /// Conductance to the next node away from the house.
    pub outward: R,
    /// Known heat into the node.
    pub source: R,
}

/// Eliminates a chain from its outer end inwards, down to node 0.
///
/// Node `i` is coupled to node `i + 1` by `nodes[i].outward`; the last node's `outward` must be
/// zero. Afterwards node 0 reads `diagonal x_0 = source` (plus whatever couples it to the room) and
/// each later node `x_i = source + outward x_(i-1)`: see [`substitute_chain`].
#[inline(always)]
pub fn eliminate_chain<R: Real>(nodes: &mut [ChainNode<R>]) {
    for index in (1..nodes.len()).rev() {
        let inward = nodes[index - 1].outward;
        let inverse = R::one() / nodes[index].diagonal;
        let source = nodes[index].source * inverse;
        let follow = inward * inverse;
        nodes[index].source = source;
        nodes[index].outward = follow;
        nodes[index - 1].diagonal -= inward * follow;
        nodes[index - 1].source += inward * source;
    }
}

/// Gives every node of an eliminated chain its value, once node 0 is known.
#[inline(always)]
pub fn substitute_chain<R: Real>(nodes: &[ChainNode<R>], first: R, values: &mut [R]) {
    values[0] = first;
    for index in 1..nodes.len() {
        values[index] = nodes[index].source + nodes[index].outward * values[index - 1];
    }
}

#[cfg(test)]
mod tests {
    use super::{ChainNode, eliminate_chain, solve_block, substitute_chain};

    #[test]
    fn a_block_is_solved_for_two_columns() {
        // Worked by hand: [[4, -1], [-2, 5]] x = [7, 8] has x = (43/18, 46/18).
        let mut matrix = [[4.0, -1.0, 0.0], [-2.0, 5.0, 0.0], [0.0; 3]];
        let mut columns = [[7.0, 4.0], [8.0, -2.0], [0.0, 0.0]];
        solve_block(2, &mut matrix, &mut columns);
        assert!((columns[0][0] - 43.0 / 18.0).abs() < 1e-14);
        assert!((columns[1][0] - 46.0 / 18.0).abs() < 1e-14);
        assert!((columns[0][1] - 1.0).abs() < 1e-14);
        assert!(columns[1][1].abs() < 1e-14);
    }

    #[test]
    fn a_chain_between_two_held_ends_is_a_straight_line() {
        // Three nodes, unit conductances, one end held at 0 and the other at 4 through unit
        // conductances: 1, 2, 3.
        let mut nodes = [
            ChainNode {
                diagonal: 2.0,
                outward: 1.0,
                source: 0.0,
            },
            ChainNode {
                diagonal: 2.0,
                outward: 1.0,
                source: 0.0,
            },
            ChainNode {
                diagonal: 2.0,
                outward: 0.0,
                source: 4.0,
            },
        ];
        eliminate_chain(&mut nodes);
        let first = nodes[0].source / nodes[0].diagonal;
        let mut values = [0.0; 3];
        substitute_chain(&nodes, first, &mut values);
        for (value, expected) in values.into_iter().zip([1.0, 2.0, 3.0]) {
            assert!((value - expected).abs() < 1e-14);
        }
    }
}
