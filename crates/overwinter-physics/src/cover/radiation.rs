//! Thermal radiation in every space of a stack whose faces have temperatures of their own.

use crate::longwave::LayerLongwave;

/// A value for the lower and the upper face of a layer.
pub(super) type Faces = [f64; 2];

/// Upward and downward radiation in the spaces of a stack, the house first and the outside last.
#[derive(Clone, Debug)]
pub(super) struct Fluxes {
    pub(super) upward_w_m2: Vec<f64>,
    pub(super) downward_w_m2: Vec<f64>,
}

/// What lies below and above the stack.
#[derive(Clone, Copy, Debug)]
pub(super) struct Surroundings {
    /// Emissive power of the floor, W/m2.
    pub(super) floor_w_m2: f64,
    /// Floor area over cover area times floor emissivity.
    pub(super) emitting_share: f64,
    /// Irradiance from the outside, W/m2.
    pub(super) outside_w_m2: f64,
}

/// Fluxes for given emissive powers (`sigma T^4`) of the faces, W/m2: layers are joined from the
/// outside inwards, the house closed with its floor, and the fluxes carried back up.
pub(super) fn fluxes(
    layers: &[LayerLongwave<f64>],
    powers_w_m2: &[Faces],
    surroundings: &Surroundings,
) -> Fluxes {
    let count = layers.len();
    let mut reflected = vec![0.0; count + 1];
    let mut own_w_m2 = vec![surroundings.outside_w_m2; count + 1];
    for (i, layer) in layers.iter().enumerate().rev() {
        let [lower_w_m2, upper_w_m2] = powers_w_m2[i];
        let passed = layer.transmittance / (1.0 - layer.upper_reflectance * reflected[i + 1]);
        let emitted_up_w_m2 = layer.upper_emissivity * upper_w_m2;
        reflected[i] = layer.lower_reflectance + passed * reflected[i + 1] * layer.transmittance;
        own_w_m2[i] = layer.lower_emissivity * lower_w_m2
            + passed * (own_w_m2[i + 1] + reflected[i + 1] * emitted_up_w_m2);
    }

    // Of what leaves the cover downwards, all but the floor's absorption comes back.
    let returned = 1.0 - surroundings.emitting_share;
    let emitted_w_m2 = surroundings.emitting_share * surroundings.floor_w_m2;
    let arriving_w_m2 = (emitted_w_m2 + returned * own_w_m2[0]) / (1.0 - returned * reflected[0]);
    let mut upward_w_m2 = vec![arriving_w_m2];
    let mut downward_w_m2 = vec![reflected[0] * arriving_w_m2 + own_w_m2[0]];
    for (i, layer) in layers.iter().enumerate() {
        let up_w_m2 = (layer.upper_emissivity * powers_w_m2[i][1]
            + layer.transmittance * upward_w_m2[i]
            + layer.upper_reflectance * own_w_m2[i + 1])
            / (1.0 - layer.upper_reflectance * reflected[i + 1]);
        upward_w_m2.push(up_w_m2);
        downward_w_m2.push(reflected[i + 1] * up_w_m2 + own_w_m2[i + 1]);
    }
    Fluxes {
        upward_w_m2,
        downward_w_m2,
    }
}

/// Net gain of every layer's faces, W/m2: what each absorbs less what it emits.
pub(super) fn gains_w_m2(
    layers: &[LayerLongwave<f64>],
    powers_w_m2: &[Faces],
    fluxes: &Fluxes,
) -> Vec<Faces> {
    let gain = |(i, layer): (usize, &LayerLongwave<f64>)| {
        [
            layer.lower_emissivity * (fluxes.upward_w_m2[i] - powers_w_m2[i][0]),
            layer.upper_emissivity * (fluxes.downward_w_m2[i + 1] - powers_w_m2[i][1]),
        ]
    };
    layers.iter().enumerate().map(gain).collect()
}

/// Gain of every face for one W/m2 of emissive power of one face, nothing else emitting.
pub(super) fn unit_gains(
    layers: &[LayerLongwave<f64>],
    emitting_share: f64,
    source: (usize, usize),
) -> Vec<Faces> {
    let mut powers_w_m2 = vec![[0.0; 2]; layers.len()];
    powers_w_m2[source.0][source.1] = 1.0;
    let dark = Surroundings {
        floor_w_m2: 0.0,
        emitting_share,
        outside_w_m2: 0.0,
    };
    let fluxes = fluxes(layers, &powers_w_m2, &dark);
    gains_w_m2(layers, &powers_w_m2, &fluxes)
}
