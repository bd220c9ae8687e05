//! The elimination: small systems solved in place, without pivoting.
//!
//! Every block is a balance of a few nodes, with storage and conductance on its diagonal and at most
//! the same amount beside it, so the diagonal needs no search.

use overwinter_physics::number::Real;

/// Solves `matrix x = columns` for `K` right-hand sides at once; `columns` becomes `x`. The plain form
/// against which the written-out eliminations are tested.
///
/// Only the first `size` rows and columns of the fixed arrays are used.
#[cfg(test)]
pub(crate) fn solve_block<R: Real, const N: usize, const K: usize>(
    size: usize,
    matrix: &mut [[R; N]; N],
    columns: &mut [[R; K]; N],
) {
    eliminate_block(size, matrix, columns);
    substitute_block(size, size, matrix, columns);
}

/// Forward elimination: afterwards row `i` holds its later unknowns, the inverse of its pivot on
/// the diagonal, and its reduced right-hand sides.
#[cfg(test)]
fn eliminate_block<R: Real, const N: usize, const K: usize>(
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
#[cfg(test)]
fn substitute_block<R: Real, const N: usize, const K: usize>(
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

/// Eliminates one unknown of a sparse system from the balances that feel it.
///
/// `columns` are the unknowns still to come that the pivot's own balance feels, `rows` the balances
/// still to come that feel the pivot. Afterwards the diagonal holds the inverse of the pivot.
#[inline(always)]
pub fn eliminate_pivot<R: Real, const N: usize, const C: usize, const W: usize>(
    matrix: &mut [[R; N]; N],
    source: &mut [R; N],
    pivot: usize,
    columns: [usize; C],
    rows: [usize; W],
) {
    let inverse = R::one() / matrix[pivot][pivot];
    for row in rows {
        let factor = matrix[row][pivot] * inverse;
        for column in columns {
            let above = matrix[pivot][column];
            matrix[row][column] -= factor * above;
        }
        let above = source[pivot];
        source[row] -= factor * above;
    }
    matrix[pivot][pivot] = inverse;
}

/// Value of an unknown that [`eliminate_pivot`] took out, once those in its `columns` are known.
#[inline(always)]
pub fn substitute_pivot<R: Real, const N: usize, const C: usize>(
    matrix: &[[R; N]; N],
    source: &[R; N],
    pivot: usize,
    columns: [usize; C],
    values: &mut [R; N],
) {
    let mut sum = source[pivot];
    for column in columns {
        sum -= matrix[pivot][column] * values[column];
    }
    values[pivot] = sum * matrix[pivot][pivot];
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
    use super::{
        ChainNode, eliminate_chain, eliminate_pivot, solve_block, substitute_chain,
        substitute_pivot,
    };

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
    fn pivots_of_a_sparse_system_are_taken_one_by_one() {
        // Worked by hand: 2a - c = 1, 4b - 2c = 2, -a - b + 5c = 3 has c = 8/8, a = 1, b = 1.
        let mut matrix = [[2.0, 0.0, -1.0], [0.0, 4.0, -2.0], [-1.0, -1.0, 5.0]];
        let mut source = [1.0, 2.0, 3.0];
        eliminate_pivot(&mut matrix, &mut source, 0, [2], [2]);
        eliminate_pivot(&mut matrix, &mut source, 1, [2], [2]);
        assert!((matrix[2][2] - 4.0_f64).abs() < 1e-14);
        let mut values = [0.0, 0.0, source[2] / matrix[2][2]];
        substitute_pivot(&matrix, &source, 1, [2], &mut values);
        substitute_pivot(&matrix, &source, 0, [2], &mut values);
        for value in values {
            assert!((value - 1.0).abs() < 1e-14, "{values:?}");
        }
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
