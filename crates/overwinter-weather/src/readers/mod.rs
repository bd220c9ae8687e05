//! One reader for each format; each turns the text of a file into a [`crate::table::Table`].

pub(crate) mod epw;
pub(crate) mod pvgis_csv;
pub(crate) mod tmy3;
