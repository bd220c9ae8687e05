use super::*;
use overwinter_units::constants::ZERO_CELSIUS_K;

fn catalogue_cover_named(name: &str) -> Cover {
    from_catalogue(name).expect("in the catalogue")
}

#[test]
fn every_cover_of_the_catalogue_has_a_loss() {
    let covers = all_of_catalogue().expect("the catalogue is whole");
    assert!(covers.len() >= 12);
    for cover in covers {
        let loss = cover.heat_loss(&Conditions::USUAL).expect(&cover.name);
        assert!((1.5..9.0).contains(&loss.u_w_m2k), "{}", cover.name);
        assert_eq!(loss.layer_temps_k.len(), cover.layer_names.len());
        assert!(!published(&cover.name).is_empty(), "{}", cover.name);
    }
}

#[test]
fn a_name_that_is_not_there_is_answered_with_those_that_are() {
    let told = |name: &str| {
        let error = of_catalogue(&[name.to_owned()]).expect_err("no such cover");
        error.to_string()
    };
    assert!(told("inflated pare").ends_with("did you mean \"inflated pair\"?"));
    let alike = told("inflated double film");
    assert!(alike.contains("\"inflated pair\", ") && alike.contains("\"single film\""));
    assert!(!alike.contains("glass"), "{alike}");
    assert!(told("").contains("\"insulating glass\""));
}

#[test]
fn a_house_that_is_no_warmer_has_no_u_value() {
    let cover = catalogue_cover_named("inflated pair");
    for warmer_k in [0.0, -5.0, 0.5] {
        let conditions = Conditions {
            outside_k: Conditions::USUAL.inside_k - warmer_k,
            ..Conditions::USUAL
        };
        let error = cover.heat_loss(&conditions).expect_err("no difference");
        assert!(matches!(error, CoverError::NotWarmer { .. }), "{error}");
    }
}

/// Water closes a plain film to thermal radiation, and glass reflects more of it than water does
/// (Feuilloley and Issanchou 1996): the one is kindest wet, the other dry, both under cloud.
#[test]
fn the_kindest_case_is_found() {
    for (name, wet_share) in [("single film", 1.0), ("single glass", 0.0)] {
        let least = kindest(&catalogue_cover_named(name), &Conditions::USUAL).expect(name);
        assert!(
            (least.wet_share - wet_share).abs() < 1e-12,
            "{name}: {least:?}"
        );
        assert!(least.sky_below_air_k.abs() < 1e-12, "{name}: {least:?}");
    }
}

#[test]
fn steep_covers_see_less_of_the_sky() {
    let cover = catalogue_cover_named("single film");
    let at = |tilt_deg| {
        let conditions = Conditions {
            tilt_deg,
            sky_below_air_k: 20.0,
            ..Conditions::USUAL
        };
        cover.heat_loss(&conditions).expect("a loss").u_w_m2k
    };
    assert!(at(90.0) < at(45.0) && at(45.0) < at(0.0));
}

#[test]
fn usual_conditions_are_those_they_are_said_to_be() {
    // 50 degF, 14 degF.
    assert!((Conditions::USUAL.inside_k - ZERO_CELSIUS_K - 10.0).abs() < 1e-12);
    assert!((Conditions::USUAL.outside_k - ZERO_CELSIUS_K + 10.0).abs() < 1e-12);
}

/// Argon conducts a third less than air, and a coating holds radiation back: both lower the loss of a
/// window (EN 673:2011 gives 1.17 W/m2 K for 4-16-4 with argon and an emissivity of 0.05, 2.73 plain).
#[test]
fn gas_and_coating_are_taken_from_the_house() {
    let glass = catalogue_cover_named("insulating glass");
    let mut argon = glass.clone();
    argon.spaces = vec![still(0.012, ARGON, 0.0)];
    let mut coated = glass.clone();
    coated.layers[0].longwave = LayerLongwave::coated(0.0, 0.1, 0.95);
    let u = |cover: &Cover| {
        let loss = cover.heat_loss(&Conditions::USUAL).expect("a loss");
        loss.u_w_m2k
    };
    assert!(u(&argon) < u(&glass) * 0.97, "{}", u(&argon));
    assert!(u(&coated) < u(&glass) * 0.8, "{}", u(&coated));
    assert_eq!(gap(&argon.spaces[0]).map(|gap| gap.filling), Some("argon"));
}

/// The panes of the plain room are 3.048 mm of 1 W/(m K) each.
#[test]
fn a_pane_keeps_its_own_resistance() {
    let path =
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios/plain-room.toml");
    let checked = crate::scenario::check(&path).expect("a shipped scenario");
    let covers = of_scenario(&checked);
    assert_eq!(covers.len(), 1);
    for layer in &covers[0].layers {
        assert!((layer.resistance_m2k_w - 0.003_048).abs() < 1e-12);
    }
}
