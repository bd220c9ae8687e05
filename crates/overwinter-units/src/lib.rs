//! overwinter-units
