//! How inflated gaps are fed: `[inflation]`.

use overwinter_engine::house::{Section, Space};
use overwinter_units::range;

use crate::document::Part;

/// How inflated gaps are fed.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Inflation {
    gap_m: f64,
    /// Flow of the whole house, or per area where only that is known.
    flow: Flow,
    inside_air: bool,
    blower_w: Option<f64>,
}

#[derive(Clone, Copy, Debug)]
enum Flow {
    Whole(f64),
    PerArea(f64),
}

/// Blower power per inflated area, W/m2.
const BLOWER_W_M2: f64 = 0.25;
const BLOWER_SOURCE: &str = "Castilla, Greenhouse Technology and Management: 250 W for 1000 m2";

impl Inflation {
    /// For houses without an inflated cover.
    pub(crate) const NONE: Self = Self {
        gap_m: 0.1,
        flow: Flow::PerArea(0.0),
        inside_air: false,
        blower_w: None,
    };

    /// Reads `[inflation]`.
    pub(crate) fn read(root: &Part<'_>) -> Self {
        let part = root.part("inflation");
        let gap_m = part.quantity_or(
            "gap",
            &range::GAP,
            "4.7 in",
            "estimate: mean gap 0.12 m; practice 2 to 12 in, which changes the loss by 3 % at most",
        );
        let inside_air = part.word_or(
            "air",
            &[("outside", false), ("inside", true)],
            false,
            "extension advice: outside air is drier",
        );
        if part.has("flow") && part.has("flow_per_area") {
            part.problem(
                "flow",
                "either `flow` of the whole house or `flow_per_area`, not both",
            );
        }
        let flow = if part.has("flow") {
            Flow::Whole(part.quantity("flow", &range::GAP_FLOW).unwrap_or(0.0))
        } else {
            Flow::PerArea(part.quantity_or(
                "flow_per_area",
                &range::GAP_FLOW_PER_AREA,
                "0.04 L/sm2",
                "estimate: leaks of 0.02 to 0.1 L/s per m2 of cover at 60 Pa",
            ))
        };
        let blower_w = part.quantity("blower", &range::ELECTRIC_POWER);
        part.finish();
        Self {
            gap_m,
            flow,
            inside_air,
            blower_w,
        }
    }

    /// An inflated space; a flow of the whole house is shared out by [`Self::complete`].
    pub(crate) fn space(&self) -> Space {
        Space::Inflated {
            gap_m: self.gap_m,
            flow_m3_s_m2: match self.flow {
                Flow::PerArea(flow) => flow,
                Flow::Whole(_) => 0.0,
            },
            inside_air: self.inside_air,
        }
    }

    /// Shares a flow of the whole house over its inflated area; gives the blower's draw.
    pub(crate) fn complete(&self, sections: &mut [Section], root: &Part<'_>) -> f64 {
        let is_inflated = |section: &Section| {
            section
                .spaces
                .iter()
                .any(|s| matches!(s, Space::Inflated { .. }))
        };
        let area_m2: f64 = sections
            .iter()
            .filter(|s| is_inflated(s))
            .map(Section::area_m2)
            .sum();
        if area_m2 <= 0.0 {
            if root.has("inflation") {
                let warning = "[inflation] is given, but no cover of this house is inflated";
                root.findings().borrow_mut().warning(warning.to_owned());
            }
            return self.blower_w.unwrap_or(0.0);
        }
        if let Flow::Whole(flow_m3_s) = self.flow {
            for space in sections.iter_mut().flat_map(|section| &mut section.spaces) {
                if let Space::Inflated { flow_m3_s_m2, .. } = space {
                    *flow_m3_s_m2 = flow_m3_s / area_m2;
                }
            }
        }
        self.blower_w.unwrap_or_else(|| {
            root.part("inflation").value_or(
                "blower",
                &range::ELECTRIC_POWER,
                BLOWER_W_M2 * area_m2,
                BLOWER_SOURCE,
            )
        })
    }
}
