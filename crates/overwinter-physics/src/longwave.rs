//! Thermal radiation between house, a stack of partly transparent layers, and the outside.
//!
//! Every layer has a transmittance and, on each face, a reflectance and an emissivity that sum to
//! one. [`stack_response`] gives the linear answer of a stack to the emissive power of its layers
//! and to the radiation that arrives from both sides; [`exchange_factors`] closes the house side
//! with a floor. Radiation is diffuse and grey in the longwave range; layers are wide and flat.

#![expect(
    clippy::needless_range_loop,
    reason = "layers and sources are indices of the equations, across several arrays at once"
)]

use crate::number::Real;

/// Most layers a stack can have.
pub const MAX_LAYERS: usize = 4;

/// Sources of a stack: each layer's emission, the house, the outside.
const SOURCES: usize = MAX_LAYERS + 2;

/// Reflectance of a liquid film in the longwave range (from memory).
const WATER_REFLECTANCE: f64 = 0.05;

/// Longwave properties of a layer; lower is the house side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LayerLongwave<R> {
    /// Hemispherical transmittance, the same both ways.
    pub transmittance: R,
    /// Reflectance of the face towards the house.
    pub lower_reflectance: R,
    /// Reflectance of the face towards the outside.
    pub upper_reflectance: R,
    /// Emissivity of the face towards the house.
    pub lower_emissivity: R,
    /// Emissivity of the face towards the outside.
    pub upper_emissivity: R,
}

impl<R: Real> LayerLongwave<R> {
    /// A dry layer, the same on both faces; the emissivity is what transmittance and reflectance
    /// leave of one.
    #[inline(always)]
    pub fn dry(transmittance: R, reflectance: R) -> Self {
        Self::coated(transmittance, reflectance, reflectance)
    }

    /// A dry layer with a reflectance for each face; emissivities are what is left of one.
    #[inline(always)]
    pub fn coated(transmittance: R, lower_reflectance: R, upper_reflectance: R) -> Self {
        let opaque = R::one() - transmittance;
        Self {
            transmittance,
            lower_reflectance,
            upper_reflectance,
            lower_emissivity: opaque - lower_reflectance,
            upper_emissivity: opaque - upper_reflectance,
        }
    }
}

/// A layer whose lower face carries liquid water on a share of its area, 0 to 1.
///
/// Water is opaque to longwave with reflectance 0.05, so a wet spot shows the house water and the
/// outside the layer backed by water: `rho + tau^2 rho_w / (1 - rho rho_w)`. Properties of the
/// whole are area-weighted.
///
/// # References
/// Composite of two plane layers (ray tracing sum). Reflectance of a water film 0.04 to 0.05, from
/// memory.
#[inline(always)]
pub fn wet_lower_face<R: Real>(dry: &LayerLongwave<R>, wet_share: R) -> LayerLongwave<R> {
    let behind_water = dry.upper_reflectance
        + dry.transmittance.squared() * WATER_REFLECTANCE
            / (R::one() - dry.lower_reflectance * WATER_REFLECTANCE);
    let wet = LayerLongwave {
        transmittance: R::zero(),
        lower_reflectance: R::splat(WATER_REFLECTANCE),
        upper_reflectance: behind_water,
        lower_emissivity: R::splat(1.0 - WATER_REFLECTANCE),
        upper_emissivity: R::one() - behind_water,
    };
    let mix = |dry: R, wet: R| dry + (wet - dry) * wet_share;
    LayerLongwave {
        transmittance: mix(dry.transmittance, wet.transmittance),
        lower_reflectance: mix(dry.lower_reflectance, wet.lower_reflectance),
        upper_reflectance: mix(dry.upper_reflectance, wet.upper_reflectance),
        lower_emissivity: mix(dry.lower_emissivity, wet.lower_emissivity),
        upper_emissivity: mix(dry.upper_emissivity, wet.upper_emissivity),
    }
}

/// Linear response of a stack of n layers.
///
/// Source j below n is the emissive power `sigma T^4` of layer j (0 on the house side), source n the
/// irradiance from the house and source n + 1 that from the outside. In each source's column
/// `absorbed`, `to_house` and `to_outside` sum to 1 for an irradiance and to 0 for an emission.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StackResponse<R> {
    /// Net gain of layer i (absorbed less its own emission) per unit of source j.
    pub absorbed: [[R; SOURCES]; MAX_LAYERS],
    /// Radiosity that leaves the stack towards the house.
    pub to_house: [R; SOURCES],
    /// Radiosity that leaves the stack towards the outside.
    pub to_outside: [R; SOURCES],
}

/// How a stack of layers, listed from the house outwards, answers its sources.
///
/// Adding method: from the outside inwards each layer is joined to what lies above it, then the
/// fluxes are carried back up; one division a layer. Only the first [`MAX_LAYERS`] layers count.
///
/// # References
/// Stokes 1862, "On the intensity of the light reflected from or transmitted through a pile of
/// plates", Proc. R. Soc. London 11; Edwards 1977, "Solar absorption by each element in an
/// absorber-coverglass array", Solar Energy 19 (both from memory).
#[inline(always)]
pub fn stack_response<R: Real>(layers: &[LayerLongwave<R>]) -> StackResponse<R> {
    debug_assert!(
        layers.len() <= MAX_LAYERS,
        "a stack has at most {MAX_LAYERS} layers"
    );
    // A known number of layers halves the cost.
    match *layers {
        [] => respond(&[]),
        [a] => respond(&[a]),
        [a, b] => respond(&[a, b]),
        [a, b, c] => respond(&[a, b, c]),
        [a, b, c, d, ..] => respond(&[a, b, c, d]),
    }
}

#[inline(always)]
fn respond<R: Real, const N: usize>(layers: &[LayerLongwave<R>; N]) -> StackResponse<R> {
    let joined = Joined::outside_in(layers);
    let mut absorbed = [[R::zero(); SOURCES]; MAX_LAYERS];
    let mut up = [R::zero(); SOURCES];
    up[N] = R::one();
    for (i, layer) in layers.iter().enumerate() {
        for j in 0..N + 2 {
            let emitted = if j == i {
                layer.upper_emissivity
            } else {
                R::zero()
            };
            let reached = emitted
                + layer.transmittance * up[j]
                + layer.upper_reflectance * joined.own[i + 1][j];
            let next_up = reached * joined.per_trap[i];
            let down = joined.reflected[i] * up[j] + joined.own[i][j];
            let next_down = joined.reflected[i + 1] * next_up + joined.own[i + 1][j];
            absorbed[i][j] = (up[j] - next_up) + (next_down - down);
            up[j] = next_up;
        }
    }
    let mut to_house = joined.own[0];
    to_house[N] += joined.reflected[0];
    StackResponse {
        absorbed,
        to_house,
        to_outside: up,
    }
}

/// Each layer joined with all that lies outside of it: downwards on its house side comes
/// `reflected * up + own . sources`.
struct Joined<R> {
    reflected: [R; MAX_LAYERS + 1],
    own: [[R; SOURCES]; MAX_LAYERS + 1],
    /// Sum of the reflections between a layer and what lies outside of it.
    per_trap: [R; MAX_LAYERS],
}

impl<R: Real> Joined<R> {
    #[inline(always)]
    fn outside_in<const N: usize>(layers: &[LayerLongwave<R>; N]) -> Self {
        let zero = R::zero();
        let mut reflected = [zero; MAX_LAYERS + 1];
        let mut own = [[zero; SOURCES]; MAX_LAYERS + 1];
        let mut per_trap = [zero; MAX_LAYERS];
        own[N][N + 1] = R::one();
        for (i, layer) in layers.iter().enumerate().rev() {
            per_trap[i] = R::one() / (R::one() - layer.upper_reflectance * reflected[i + 1]);
            let passed = layer.transmittance * per_trap[i];
            let returned = passed * reflected[i + 1];
            reflected[i] = layer.lower_reflectance + returned * layer.transmittance;
            for j in i + 1..N + 2 {
                own[i][j] = passed * own[i + 1][j];
            }
            own[i][i] = layer.lower_emissivity + returned * layer.upper_emissivity;
        }
        Self {
            reflected,
            own,
            per_trap,
        }
    }
}

/// Net gain of each member of the enclosure floor, stack and outside, per unit of emissive power.
///
/// Row i, column j: gain of member i for each W/m2 of member j's emissive power, W per m2 of cover.
/// Members 0 to n - 1 are the layers, n is the floor (with its crop), n + 1 the outside, whose
/// emissive power is the irradiance it sends. The matrix is symmetric, and its rows and columns sum
/// to zero: equal temperatures exchange nothing and nothing is lost.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ExchangeFactors<R> {
    /// Gain of row's member per unit of column's emissive power.
    pub gain: [[R; SOURCES]; SOURCES],
}

/// Exchange factors of a floor under a cover of larger area and the outside.
///
/// The convex floor sees only cover; the cover sees the floor with `floor_to_cover` (floor area over
/// cover area, above 0 to 1) and otherwise itself.
///
/// # References
/// Net-radiation method for diffuse grey enclosures, Siegel and Howell, "Thermal Radiation Heat
/// Transfer", and reciprocity of view factors (from memory).
pub fn exchange_factors<R: Real>(
    layers: &[LayerLongwave<R>],
    floor_emissivity: f64,
    floor_to_cover: f64,
) -> ExchangeFactors<R> {
    let count = layers.len().min(MAX_LAYERS);
    let (floor, outside) = (count, count + 1);
    let stack = stack_response(layers);
    let emitting_share = floor_to_cover * floor_emissivity;
    // Of what leaves the cover downwards, this share comes back to it.
    let returned = 1.0 - emitting_share;
    let per_trap = R::one() / (R::one() - stack.to_house[count] * returned);

    let mut gain = [[R::zero(); SOURCES]; SOURCES];
    for source in 0..count + 2 {
        let (direct, from_stack) = if source == floor {
            (R::splat(emitting_share), R::zero())
        } else {
            (R::zero(), stack.to_house[source])
        };
        let arriving = (direct + from_stack * returned) * per_trap;
        let downwards = from_stack + stack.to_house[count] * arriving;
        for layer in 0..count {
            let own = if source == floor {
                R::zero()
            } else {
                stack.absorbed[layer][source]
            };
            gain[layer][source] = own + stack.absorbed[layer][count] * arriving;
        }
        let own = if source == floor {
            R::zero()
        } else {
            stack.to_outside[source]
        };
        gain[outside][source] = own + stack.to_outside[count] * arriving;
        gain[floor][source] = downwards * emitting_share;
    }
    gain[floor][floor] -= R::splat(emitting_share);
    gain[outside][outside] -= R::one();
    ExchangeFactors { gain }
}

#[cfg(test)]
mod tests;
