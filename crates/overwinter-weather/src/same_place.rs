//! Whether two years are of one place.

use crate::year::Place;

/// Coordinates this near are one place whatever it is called: about 5 km (estimate).
const NEAR_DEG: f64 = 0.05;
/// Coordinates this near are one place under one name: a station that was moved, or a town and its
/// field (estimate).
const NEAR_BY_NAME_DEG: f64 = 0.5;

/// True if two places are one for a comparison of their years: within 0.05 degrees of latitude and of
/// longitude, or within 0.5 degrees under the same name and region.
///
/// Names are compared without regard to case; a place without a name is known by its coordinates
/// alone. Being the same is not transitive at these distances: compare with one place of a group.
pub fn is_same_place(a: &Place, b: &Place) -> bool {
    let apart_deg = apart_deg(a, b);
    let same = |a: &str, b: &str| a.trim().to_lowercase() == b.trim().to_lowercase();
    let is_named = !a.name.trim().is_empty();
    let is_same_name = is_named && same(&a.name, &b.name) && same(&a.region, &b.region);
    apart_deg <= NEAR_DEG || (is_same_name && apart_deg <= NEAR_BY_NAME_DEG)
}

/// The larger of the differences in latitude and in longitude, the short way round.
fn apart_deg(a: &Place, b: &Place) -> f64 {
    let around = (a.longitude_deg - b.longitude_deg + 540.0).rem_euclid(360.0) - 180.0;
    (a.latitude_deg - b.latitude_deg).abs().max(around.abs())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::heading::place_at;

    fn place(latitude_deg: f64, longitude_deg: f64, name: &str) -> Place {
        Place {
            name: name.to_owned(),
            ..place_at(latitude_deg, longitude_deg, 0.0, "")
        }
    }

    #[test]
    fn near_coordinates_or_a_name_make_one_place() {
        let field = place(41.98, -87.92, "Hill Field");
        for (other, is_same) in [
            (place(41.95, -87.90, "elsewhere"), true),
            (place(41.98, -87.70, "HILL FIELD "), true),
            (place(41.98, -87.70, "Dale Field"), false),
            (place(41.98, -87.30, "Hill Field"), false),
            (place(41.90, -87.92, ""), false),
        ] {
            assert_eq!(is_same_place(&field, &other), is_same, "{other:?}");
            assert_eq!(is_same_place(&other, &field), is_same, "{other:?}");
        }
        let nameless = place(10.0, 20.0, "");
        assert!(!is_same_place(&nameless, &place(10.2, 20.0, "")));
    }

    #[test]
    fn the_date_line_does_not_part_a_place() {
        let west = place(-17.0, -179.99, "");
        assert!(is_same_place(&west, &place(-17.0, 179.99, "")));
        assert!(!is_same_place(&west, &place(-17.0, 0.01, "")));
    }
}
