//! What the formulas of this crate refuse.

/// Input that no formula can answer, with its position and the range that would do.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum PhysicsError {
    /// A cover with no layer, or with more than can be solved.
    #[error("a cover has 1 to {most} layers, this one has {found}")]
    LayerCount {
        /// Layers given.
        found: usize,
        /// Most layers allowed.
        most: usize,
    },
    /// The number of spaces does not fit the layers.
    #[error("{layers} layers have {} spaces between them, {spaces} are given", layers.saturating_sub(1))]
    SpaceCount {
        /// Layers given.
        layers: usize,
        /// Spaces given.
        spaces: usize,
    },
    /// A layer's value lies outside its range.
    #[error("layer {layer} from the house: {what} is {value}, it must be {low} to {high}")]
    Layer {
        /// Position of the layer, 1 next to the house.
        layer: usize,
        /// The quantity, with its unit.
        what: &'static str,
        /// Value given.
        value: f64,
        /// Lowest allowed.
        low: f64,
        /// Highest allowed.
        high: f64,
    },
    /// A space's value lies outside its range.
    #[error("space {space} from the house: {what} is {value}, it must be {low} to {high}")]
    Space {
        /// Position of the space, 1 next to the house.
        space: usize,
        /// The quantity, with its unit.
        what: &'static str,
        /// Value given.
        value: f64,
        /// Lowest allowed.
        low: f64,
        /// Highest allowed.
        high: f64,
    },
    /// A condition lies outside its range.
    #[error("{what} is {value}, it must be {low} to {high}")]
    Condition {
        /// The quantity, with its unit.
        what: &'static str,
        /// Value given.
        value: f64,
        /// Lowest allowed.
        low: f64,
        /// Highest allowed.
        high: f64,
    },
    /// A value of one of several parts lies outside its range.
    #[error("{part} {position}: {what} is {value}, it must be {low} to {high}")]
    Part {
        /// Kind of part.
        part: &'static str,
        /// Position of the part, from 1.
        position: usize,
        /// The quantity, with its unit.
        what: &'static str,
        /// Value given.
        value: f64,
        /// Lowest allowed.
        low: f64,
        /// Highest allowed.
        high: f64,
    },
    /// A part names another that is not there.
    #[error("{part} {position} names {what} {number}, there are {known}")]
    NotThere {
        /// Kind of part that names the other.
        part: &'static str,
        /// Its position, from 1.
        position: usize,
        /// Kind of part named.
        what: &'static str,
        /// Number named, from 1.
        number: usize,
        /// How many there are.
        known: usize,
    },
    /// A list does not have one entry for each part.
    #[error("{what}: {found} are given, {needed} are needed")]
    Entries {
        /// What is listed.
        what: &'static str,
        /// Entries given.
        found: usize,
        /// Entries needed.
        needed: usize,
    },
    /// The pressures of a network did not settle.
    #[error("flows still miss each other by {imbalance_m3_s} m3/s after {passes} passes")]
    NoPressures {
        /// Largest imbalance of a section, m3/s.
        imbalance_m3_s: f64,
        /// Passes made.
        passes: usize,
    },
    /// The temperatures of a cover did not settle.
    #[error("layer temperatures still change by {change_k} K after {passes} passes")]
    NoSteadyState {
        /// Largest change of the last pass, K.
        change_k: f64,
        /// Passes made.
        passes: usize,
    },
}

impl PhysicsError {
    /// The same refusal with the part it concerns, where it has no position yet.
    pub(crate) fn of_part(self, part: &'static str, position: usize) -> Self {
        match self {
            Self::Condition {
                what,
                value,
                low,
                high,
            } => Self::Part {
                part,
                position,
                what,
                value,
                low,
                high,
            },
            placed => placed,
        }
    }
}
