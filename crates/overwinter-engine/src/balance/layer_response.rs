//! How the layers of a section answer longwave radiation, for the water that is on them.

use overwinter_physics::longwave::{
    LayerLongwave, MAX_LAYERS, StackResponse, stack_response, wet_lower_face,
};
use overwinter_physics::number::Real;

use crate::model::SectionModel;
use crate::water_place::WaterHeld;

/// How the layers of a section answer emission and irradiance, for a wetness of their faces.
#[derive(Clone, Debug)]
pub(super) struct Longwave<R> {
    /// The response, in m2 for what is absorbed or let out, as a share of the shell for what
    /// returns to the house.
    pub(super) response: StackResponse<R>,
    wet: [R; MAX_LAYERS],
    closed: R,
    known: bool,
}

impl<R: Real> Longwave<R> {
    pub(super) fn unknown() -> Self {
        let zero = R::zero();
        let source = [zero; MAX_LAYERS + 2];
        Self {
            response: StackResponse {
                absorbed: [source; MAX_LAYERS],
                to_house: source,
                to_outside: source,
            },
            wet: [zero; MAX_LAYERS],
            closed: zero,
            known: false,
        }
    }

    /// Solves the layers' longwave optics again if wetness or screen changed.
    #[inline(always)]
    pub(super) fn refresh(&mut self, section: &SectionModel<R>, water: &[WaterHeld<R>], closed: R) {
        let mut wet = [R::zero(); MAX_LAYERS];
        for (wet, layer) in wet.iter_mut().zip(&section.layers) {
            *wet = layer.place.wet_share(&water[layer.place_at]);
        }
        if self.known && same(&wet, &self.wet) && same(&[closed], &[self.closed]) {
            return;
        }
        self.wet = wet;
        self.closed = closed;
        self.known = true;
        let count = section.layers.len();
        let mut layers = [section.layers[0].dry; MAX_LAYERS];
        for (into, (layer, wet)) in layers.iter_mut().zip(section.layers.iter().zip(wet)) {
            *into = wet_lower_face(&layer.dry, wet);
        }
        if section.has_screen {
            layers[0] = drawn(&layers[0], closed);
        }
        let response = &mut self.response;
        *response = stack_response(&layers[..count]);
        for gains in response.absorbed[..count]
            .iter_mut()
            .chain([&mut response.to_outside])
        {
            for gain in &mut gains[..count + 2] {
                *gain = *gain * section.area_m2;
            }
        }
        for share in &mut response.to_house[..count + 2] {
            *share = *share * section.shell_share;
        }
    }
}

/// A screen that is drawn (1) or folded away (0).
#[inline(always)]
fn drawn<R: Real>(layer: &LayerLongwave<R>, closed: R) -> LayerLongwave<R> {
    LayerLongwave {
        transmittance: layer.transmittance * closed + (R::one() - closed),
        lower_reflectance: layer.lower_reflectance * closed,
        upper_reflectance: layer.upper_reflectance * closed,
        lower_emissivity: layer.lower_emissivity * closed,
        upper_emissivity: layer.upper_emissivity * closed,
    }
}

/// True if no lane of any pair differs.
#[inline(always)]
fn same<R: Real, const N: usize>(a: &[R; N], b: &[R; N]) -> bool {
    a.iter()
        .zip(b)
        .all(|(x, y)| !R::any(x.lt(*y)) && !R::any(y.lt(*x)))
}
