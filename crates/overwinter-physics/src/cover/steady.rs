//! The temperatures at which every layer of a cover gains as much heat as it loses.

use overwinter_units::constants::STEFAN_BOLTZMANN_W_M2K4;

use super::check::check;
use super::radiation::{Faces, Surroundings, fluxes, gains_w_m2, unit_gains};
use super::{CoverConditions, CoverLayer, CoverResult, CoverSpace, FaceTemps};
use crate::error::PhysicsError;
use crate::longwave::LayerLongwave;

const MOST_PASSES: usize = 400;
/// Passes after which steps are halved, should coefficients and temperatures chase each other.
const FULL_STEP_PASSES: usize = 50;
const SETTLED_K: f64 = 1e-9;

/// Solves a cover for its steady state.
///
/// `layers` and the `spaces` between them are listed from the house outwards. Every face balances
/// radiation, convection and conduction; radiation is taken by Newton's method, convection
/// coefficients follow the temperatures from pass to pass until no temperature moves by 1e-9 K.
///
/// # Errors
/// Refuses counts and values outside the ranges named in [`PhysicsError`], and reports a cover that
/// does not settle.
///
/// # References
/// Net-radiation method for diffuse grey layers, Siegel and Howell, "Thermal Radiation Heat
/// Transfer" (from memory). Convection: see [`crate::convection`] and [`crate::cavity`].
///
/// # Examples
/// ```
/// use overwinter_physics::cover::{CoverConditions, CoverLayer, CoverSpace, steady_cover};
/// let film = CoverLayer::film(0.70, 0.08);
/// let gap = CoverSpace::StillAir { gap_m: 0.12, bridge_w_m2k: 0.0 };
/// let conditions = CoverConditions::night(283.15, 263.15, 10.0);
/// let dry = steady_cover(&[film, film], &[gap], &conditions)?;
/// let wet = steady_cover(&[film.wet(1.0), film], &[gap], &conditions)?;
/// // Feuilloley and Issanchou 1996: condensation lowers the heat loss of plastic films.
/// assert!(wet.u_w_m2k < dry.u_w_m2k);
/// # Ok::<(), overwinter_physics::error::PhysicsError>(())
/// ```
pub fn steady_cover(
    layers: &[CoverLayer],
    spaces: &[CoverSpace],
    conditions: &CoverConditions,
) -> Result<CoverResult, PhysicsError> {
    check(layers, spaces, conditions)?;
    let stack = Stack::new(layers, spaces, conditions);
    let temps_k = stack.settle()?;
    Ok(stack.result(&temps_k))
}

/// A cover with what does not change from pass to pass.
struct Stack<'a> {
    layers: &'a [CoverLayer],
    spaces: &'a [CoverSpace],
    conditions: &'a CoverConditions,
    longwave: Vec<LayerLongwave<f64>>,
    surroundings: Surroundings,
    /// Number of the unknown temperature of each face; a thin layer has one for both.
    unknowns: Vec<[usize; 2]>,
    unknown_count: usize,
    /// `gain[row][column]`: gain of an unknown's faces per W/m2 of another's emissive power.
    exchange: Vec<Vec<f64>>,
}

/// Coefficients of one pass, W/m2 K.
struct Coefficients {
    inside: f64,
    outside: f64,
    spaces: Vec<f64>,
}

impl<'a> Stack<'a> {
    fn new(
        layers: &'a [CoverLayer],
        spaces: &'a [CoverSpace],
        conditions: &'a CoverConditions,
    ) -> Self {
        let longwave: Vec<_> = layers.iter().map(CoverLayer::effective).collect();
        let (unknowns, unknown_count) = number_unknowns(layers);
        let emitting_share = conditions.floor_to_cover * conditions.floor_emissivity;
        let ground_w_m2 = emissive_power_w_m2(conditions.outside_air_k);
        let sky_w_m2 = emissive_power_w_m2(conditions.sky_k);
        let surroundings = Surroundings {
            floor_w_m2: emissive_power_w_m2(conditions.floor_k),
            emitting_share,
            outside_w_m2: ground_w_m2 + conditions.sky_share * (sky_w_m2 - ground_w_m2),
        };
        let exchange = exchange_matrix(&longwave, emitting_share, &unknowns, unknown_count);
        Self {
            layers,
            spaces,
            conditions,
            longwave,
            surroundings,
            unknowns,
            unknown_count,
            exchange,
        }
    }

    /// Temperatures of the unknowns in balance, K.
    fn settle(&self) -> Result<Vec<f64>, PhysicsError> {
        let mut temps_k = self.first_guess_k();
        let mut change_k = f64::INFINITY;
        for pass in 0..MOST_PASSES {
            let step_k = self.newton_step_k(&temps_k);
            let share = if pass < FULL_STEP_PASSES { 1.0 } else { 0.5 };
            change_k = 0.0;
            for (temp_k, step_k) in temps_k.iter_mut().zip(step_k) {
                *temp_k = (*temp_k + share * step_k).clamp(50.0, 500.0);
                change_k = change_k.max(step_k.abs());
            }
            if change_k < SETTLED_K {
                return Ok(temps_k);
            }
        }
        Err(PhysicsError::NoSteadyState {
            change_k,
            passes: MOST_PASSES,
        })
    }

    /// A straight line from inside to outside air.
    fn first_guess_k(&self) -> Vec<f64> {
        let CoverConditions {
            inside_air_k,
            outside_air_k,
            ..
        } = *self.conditions;
        let parts = self.unknown_count as f64 + 1.0;
        let temp_k =
            |i: usize| inside_air_k + (outside_air_k - inside_air_k) * (i as f64 + 1.0) / parts;
        (0..self.unknown_count).map(temp_k).collect()
    }

    /// Change of the unknowns that closes every balance with this pass's coefficients.
    fn newton_step_k(&self, temps_k: &[f64]) -> Vec<f64> {
        let mut imbalance = self.radiation_gains_w_m2(temps_k);
        let mut fall: Vec<Vec<f64>> = self
            .exchange
            .iter()
            .map(|row| {
                let slopes = row.iter().zip(temps_k);
                slopes
                    .map(|(gain, temp_k)| -gain * emissive_slope_w_m2k(*temp_k))
                    .collect()
            })
            .collect();
        let coefficients = self.coefficients(temps_k);
        let mut to_air = |unknown: usize, coefficient: f64, air_k: f64| {
            imbalance[unknown] += coefficient * (air_k - temps_k[unknown]);
            fall[unknown][unknown] += coefficient;
        };
        let last = self.unknown_count - 1;
        to_air(0, coefficients.inside, self.conditions.inside_air_k);
        to_air(last, coefficients.outside, self.conditions.outside_air_k);
        for (lower, upper, coefficient) in self.links(&coefficients) {
            let flow_w_m2 = coefficient * (temps_k[lower] - temps_k[upper]);
            imbalance[lower] -= flow_w_m2;
            imbalance[upper] += flow_w_m2;
            fall[lower][lower] += coefficient;
            fall[upper][upper] += coefficient;
            fall[lower][upper] -= coefficient;
            fall[upper][lower] -= coefficient;
        }
        eliminate(fall, imbalance)
    }

    /// Pairs of unknowns joined by a space or by a thick layer, with the conductance, W/m2 K.
    fn links(&self, coefficients: &Coefficients) -> Vec<(usize, usize, f64)> {
        let across_spaces = coefficients.spaces.iter().enumerate();
        let across_layers = self.layers.iter().zip(&self.unknowns);
        across_spaces
            .map(|(i, coefficient)| (self.unknowns[i][1], self.unknowns[i + 1][0], *coefficient))
            .chain(
                across_layers
                    .filter(|(layer, _)| layer.resistance_m2k_w > 0.0)
                    .map(|(layer, [lower, upper])| (*lower, *upper, 1.0 / layer.resistance_m2k_w)),
            )
            .collect()
    }

    fn coefficients(&self, temps_k: &[f64]) -> Coefficients {
        let space = |(i, space): (usize, &CoverSpace)| {
            let lower_k = temps_k[self.unknowns[i][1]];
            let upper_k = temps_k[self.unknowns[i + 1][0]];
            self.conditions.space_w_m2k(space, lower_k, upper_k)
        };
        Coefficients {
            inside: self.conditions.inside_w_m2k(temps_k[0]),
            outside: self
                .conditions
                .outside_w_m2k(temps_k[self.unknown_count - 1]),
            spaces: self.spaces.iter().enumerate().map(space).collect(),
        }
    }

    fn powers_w_m2(&self, temps_k: &[f64]) -> Vec<Faces> {
        let power = |unknown: usize| emissive_power_w_m2(temps_k[unknown]);
        self.unknowns
            .iter()
            .map(|[lower, upper]| [power(*lower), power(*upper)])
            .collect()
    }

    fn radiation_gains_w_m2(&self, temps_k: &[f64]) -> Vec<f64> {
        let powers_w_m2 = self.powers_w_m2(temps_k);
        let fluxes = fluxes(&self.longwave, &powers_w_m2, &self.surroundings);
        let gains = gains_w_m2(&self.longwave, &powers_w_m2, &fluxes);
        gather(&gains, &self.unknowns, self.unknown_count)
    }

    fn result(&self, temps_k: &[f64]) -> CoverResult {
        let coefficients = self.coefficients(temps_k);
        let powers_w_m2 = self.powers_w_m2(temps_k);
        let fluxes = fluxes(&self.longwave, &powers_w_m2, &self.surroundings);
        let CoverConditions {
            inside_air_k,
            outside_air_k,
            ..
        } = *self.conditions;
        let convection_w_m2 = coefficients.inside * (inside_air_k - temps_k[0]);
        let radiation_w_m2 = fluxes.upward_w_m2[0] - fluxes.downward_w_m2[0];
        let heat_w_m2 = convection_w_m2 + radiation_w_m2;
        let faces = |[lower, upper]: &[usize; 2]| FaceTemps {
            lower_k: temps_k[*lower],
            upper_k: temps_k[*upper],
        };
        CoverResult {
            heat_w_m2,
            u_w_m2k: heat_w_m2 / (inside_air_k - outside_air_k),
            convection_w_m2,
            radiation_w_m2,
            layers: self.unknowns.iter().map(faces).collect(),
            spaces_w_m2k: coefficients.spaces,
            inside_w_m2k: coefficients.inside,
            outside_w_m2k: coefficients.outside,
            upward_w_m2: fluxes.upward_w_m2,
            downward_w_m2: fluxes.downward_w_m2,
        }
    }
}

fn number_unknowns(layers: &[CoverLayer]) -> (Vec<[usize; 2]>, usize) {
    let mut next = 0;
    let number = |layer: &CoverLayer| {
        let lower = next;
        let upper = if layer.resistance_m2k_w > 0.0 {
            lower + 1
        } else {
            lower
        };
        next = upper + 1;
        [lower, upper]
    };
    let unknowns = layers.iter().map(number).collect();
    (unknowns, next)
}

fn exchange_matrix(
    longwave: &[LayerLongwave<f64>],
    emitting_share: f64,
    unknowns: &[[usize; 2]],
    unknown_count: usize,
) -> Vec<Vec<f64>> {
    let mut matrix = vec![vec![0.0; unknown_count]; unknown_count];
    for (layer, faces) in unknowns.iter().enumerate() {
        for (face, column) in faces.iter().enumerate() {
            let gains = unit_gains(longwave, emitting_share, (layer, face));
            for (row, gain) in gather(&gains, unknowns, unknown_count)
                .into_iter()
                .enumerate()
            {
                matrix[row][*column] += gain;
            }
        }
    }
    matrix
}

/// Sums what belongs to the faces by their unknowns.
fn gather(faces: &[Faces], unknowns: &[[usize; 2]], unknown_count: usize) -> Vec<f64> {
    let mut sums = vec![0.0; unknown_count];
    for (values, numbers) in faces.iter().zip(unknowns) {
        for (value, number) in values.iter().zip(numbers) {
            sums[*number] += value;
        }
    }
    sums
}

/// Solves a linear system. The matrix is that of a heat network, whose diagonal outweighs the rest
/// of its row, so no rows need to change places.
fn eliminate(mut matrix: Vec<Vec<f64>>, mut right: Vec<f64>) -> Vec<f64> {
    let count = right.len();
    for pivot in 0..count {
        let (done, rest) = matrix.split_at_mut(pivot + 1);
        let pivot_row = &done[pivot];
        for (offset, row) in rest.iter_mut().enumerate() {
            let factor = row[pivot] / pivot_row[pivot];
            for (value, above) in row.iter_mut().zip(pivot_row).skip(pivot) {
                *value -= factor * above;
            }
            right[pivot + 1 + offset] -= factor * right[pivot];
        }
    }
    for row in (0..count).rev() {
        let known: f64 = (row + 1..count)
            .map(|column| matrix[row][column] * right[column])
            .sum();
        right[row] = (right[row] - known) / matrix[row][row];
    }
    right
}

fn emissive_power_w_m2(temp_k: f64) -> f64 {
    STEFAN_BOLTZMANN_W_M2K4 * temp_k.powi(4)
}

fn emissive_slope_w_m2k(temp_k: f64) -> f64 {
    4.0 * STEFAN_BOLTZMANN_W_M2K4 * temp_k.powi(3)
}
