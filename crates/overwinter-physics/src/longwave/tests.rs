#![expect(
    clippy::float_cmp,
    reason = "lanes promise the same bits as a single number"
)]

use super::*;
use crate::number::Lanes;
use proptest::prelude::*;

fn plain() -> LayerLongwave<f64> {
    LayerLongwave::dry(0.70, 0.08)
}

fn infrared() -> LayerLongwave<f64> {
    LayerLongwave::dry(0.20, 0.08)
}

/// Independent calculation of the same net-radiation equations (dense 6 x 6 solve): floor to cover
/// 0.62, floor emissivity 0.95, plain film 0.70 / 0.08, infrared film 0.20 / 0.08, three decimals.
#[test]
fn exchange_factors_of_film_pairs() {
    let wet = wet_lower_face(&plain(), 1.0);
    let stacks = [
        ([plain(), plain()], [0.144, 0.096, 0.305, 0.064, 0.205]),
        ([wet, plain()], [0.571, 0.000, 0.000, 0.199, 0.632]),
        ([infrared(), plain()], [0.446, 0.027, 0.086, 0.173, 0.551]),
    ];
    for (layers, expected) in stacks {
        let gain = exchange_factors(&layers, 0.95, 0.62).gain;
        let pairs = [gain[0][2], gain[1][2], gain[3][2], gain[0][1], gain[0][3]];
        for (found, expected) in pairs.into_iter().zip(expected) {
            assert!(
                (found - expected).abs() < 6e-4,
                "{pairs:?} against {expected:?}"
            );
        }
    }
}

/// Composite of film and water by ray tracing: rho_out = 1 - 0.895 for the plain film.
#[test]
fn wet_film_is_opaque_and_grey_from_above() {
    let wet = wet_lower_face(&plain(), 1.0);
    assert!(wet.transmittance.abs() < f64::EPSILON);
    assert!((wet.lower_emissivity - 0.95).abs() < 1e-12);
    assert!((wet.upper_emissivity - 0.895).abs() < 1e-3);
    assert_eq!(wet_lower_face(&plain(), 0.0), plain());
}

/// Between opaque planes the radiative exchange is 1 / (1/e1 + 1/e2 - 1) of the difference of
/// emissive powers (parallel plate formula, any textbook).
#[test]
fn opaque_layers_exchange_as_parallel_plates() {
    let layers = [LayerLongwave::dry(0.0, 0.16), LayerLongwave::dry(0.0, 0.45)];
    let response = stack_response(&layers);
    let plates = 1.0 / (1.0 / 0.84 + 1.0 / 0.55 - 1.0);
    assert!((response.absorbed[0][1] - plates).abs() < 1e-12);
    assert!((response.absorbed[1][0] - plates).abs() < 1e-12);
    assert!(response.to_outside[2].abs() < 1e-15);
}

fn any_layer() -> impl Strategy<Value = LayerLongwave<f64>> {
    (0.0..0.9_f64, 0.02..0.9_f64, 0.0..1.0_f64).prop_map(|(transmittance, share, wet)| {
        let dry = LayerLongwave::dry(transmittance, (1.0 - transmittance) * share);
        wet_lower_face(&dry, wet)
    })
}

proptest! {
    #[test]
    fn every_source_is_accounted_for(layers in prop::collection::vec(any_layer(), 0..=4)) {
        let count = layers.len();
        let response = stack_response(&layers);
        for source in 0..count + 2 {
            let gains: f64 = (0..count).map(|layer| response.absorbed[layer][source]).sum();
            let total = gains + response.to_house[source] + response.to_outside[source];
            let arriving = if source < count { 0.0 } else { 1.0 };
            prop_assert!((total - arriving).abs() < 1e-13, "source {source}: {total}");
        }
    }

    #[test]
    fn exchange_is_mutual_and_conserving(
        layers in prop::collection::vec(any_layer(), 0..=4),
        floor_emissivity in 0.1..1.0_f64,
        floor_to_cover in 0.2..1.0_f64,
    ) {
        let members = layers.len() + 2;
        let gain = exchange_factors(&layers, floor_emissivity, floor_to_cover).gain;
        for i in 0..members {
            let row: f64 = gain[i][..members].iter().sum();
            let column: f64 = (0..members).map(|j| gain[j][i]).sum();
            prop_assert!(row.abs() < 1e-13 && column.abs() < 1e-13, "{i}: {row} {column}");
            for j in 0..members {
                prop_assert!((gain[i][j] - gain[j][i]).abs() < 1e-13, "{i} {j}: {gain:?}");
                prop_assert!(i == j || gain[i][j] >= -1e-15);
            }
        }
    }

    #[test]
    fn lanes_give_the_bits_of_one(
        a in prop::collection::vec(any_layer(), 3),
        b in prop::collection::vec(any_layer(), 3),
    ) {
        let both: Vec<LayerLongwave<Lanes<2>>> = a.iter().zip(&b).map(|(a, b)| LayerLongwave {
            transmittance: Lanes([a.transmittance, b.transmittance]),
            lower_reflectance: Lanes([a.lower_reflectance, b.lower_reflectance]),
            upper_reflectance: Lanes([a.upper_reflectance, b.upper_reflectance]),
            lower_emissivity: Lanes([a.lower_emissivity, b.lower_emissivity]),
            upper_emissivity: Lanes([a.upper_emissivity, b.upper_emissivity]),
        }).collect();
        let (both, a, b) = (stack_response(&both), stack_response(&a), stack_response(&b));
        for source in 0..5 {
            for layer in 0..3 {
                let found = both.absorbed[layer][source].0;
                prop_assert_eq!(found, [a.absorbed[layer][source], b.absorbed[layer][source]]);
            }
            prop_assert_eq!(both.to_house[source].0, [a.to_house[source], b.to_house[source]]);
        }
    }
}
