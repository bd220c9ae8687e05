//! One reader for each format; each turns the text of a file into a [`crate::table::Table`].

pub(crate) mod epw;
pub(crate) mod nsrdb;
pub(crate) mod plain;
pub(crate) mod pvgis_csv;
pub(crate) mod pvgis_json;
pub(crate) mod tmy2;
pub(crate) mod tmy3;
pub(crate) mod try_dwd;
