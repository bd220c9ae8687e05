use super::*;

fn clear_glass(extinction_thickness: f64) -> Sheet {
    Sheet::Slab {
        refractive_index: 1.526,
        extinction_thickness,
    }
}

fn cos_deg(angle: f64) -> f64 {
    angle.to_radians().cos()
}

fn place(angle_deg: f64) -> AnglePlace {
    AnglePlace::of_cos(cos_deg(angle_deg))
}

#[test]
fn one_surface_follows_the_textbook() {
    // Duffie and Beckman, example 5.1.1, n = 1.526.
    let [normal, _] = fresnel_reflectance(1.526, 1.0);
    let [across, along] = fresnel_reflectance(1.526, 0.5);
    assert!((normal - 0.0434).abs() < 5e-5);
    assert!((across - 0.1855).abs() < 1e-4 && (along - 0.0014).abs() < 1e-4);
    assert!((0.5 * (across + along) - 0.0935).abs() < 1e-4);
}

#[test]
fn absorbing_cover_follows_the_textbook() {
    // Duffie and Beckman, example 5.3.1: 2.3 mm, 32 1/m, 60 deg.
    let pane = clear_glass(0.0736).unpolarised(0.5);
    assert!((pane.transmittance - 0.768).abs() < 6e-4);
    assert!((pane.reflectance - 0.147).abs() < 6e-4);
    assert!((pane.absorptance() - 0.085).abs() < 6e-4);
}

#[test]
fn clear_covers_follow_the_closed_form() {
    // Half the sum over polarisations of (1 - r) / (1 + (2 N - 1) r), Duffie and Beckman,
    // equation 5.1.9, n = 1.526, evaluated apart from this code for N = 1 to 4 covers.
    for (angle_deg, expected) in [
        (0.0, [0.9169, 0.8465, 0.7862, 0.7339]),
        (30.0, [0.9145, 0.8441, 0.7848, 0.7340]),
        (50.0, [0.8897, 0.8168, 0.7646, 0.7249]),
        (60.0, [0.8421, 0.7588, 0.7070, 0.6715]),
        (70.0, [0.7236, 0.6052, 0.5326, 0.4807]),
        (80.0, [0.4554, 0.3096, 0.2361, 0.1912]),
    ] {
        for (covers, wanted) in (1..).zip(expected) {
            let stack = StackOptics::new(&vec![clear_glass(0.0); covers]);
            let got = stack.transmittance(place(angle_deg));
            assert!((got - wanted).abs() < 6e-5, "{angle_deg} {covers} {got}");
        }
    }
}

#[test]
fn tables_keep_to_the_closed_form_between_their_rows() {
    // As above at angles that fall between rows, down to grazing light.
    for covers in [1_u32, 2, 4] {
        let stack = StackOptics::new(&vec![clear_glass(0.0); covers as usize]);
        for step in 0..900_u32 {
            let cos_incidence = cos_deg(f64::from(step) * 0.1);
            let exact: f64 = fresnel_reflectance(1.526, cos_incidence)
                .iter()
                .map(|r| 0.5 * (1.0 - r) / (1.0 + f64::from(2 * covers - 1) * r))
                .sum();
            let got = stack.transmittance(AnglePlace::of_cos(cos_incidence));
            assert!((got - exact).abs() < 1e-4, "{covers} {step} {got} {exact}");
        }
    }
}

#[test]
fn two_absorbing_covers_share_out_what_they_absorb() {
    // Two covers of extinction times thickness 0.0370 at 60 deg, both polarisations kept apart,
    // evaluated apart from this code.
    let stack = StackOptics::new(&[clear_glass(0.0370), clear_glass(0.0370)]);
    let at = place(60.0);
    assert!((stack.transmittance(at) - 0.6903).abs() < 6e-5);
    assert!((stack.reflectance(at) - 0.2246).abs() < 6e-5);
    assert!((stack.absorptance(at, 1) - 0.0485).abs() < 6e-5);
    assert!((stack.absorptance(at, 0) - 0.0366).abs() < 6e-5);
}

#[test]
fn double_pane_of_the_building_fabric_test() {
    // Optics of the double window of ASHRAE Standard 140-2017 (n 1.526, 0.0196 1/mm, 3.175 mm),
    // exact two-pane sums evaluated apart from this code: angle, transmittance, outer and inner
    // absorptance, reflectance, transmittance of one pane.
    const ROWS: [[f64; 6]; 9] = [
        [0.0, 0.747, 0.064, 0.052, 0.137, 0.861],
        [10.0, 0.746, 0.065, 0.052, 0.137, 0.861],
        [20.0, 0.744, 0.066, 0.053, 0.137, 0.860],
        [30.0, 0.739, 0.068, 0.055, 0.138, 0.856],
        [40.0, 0.728, 0.071, 0.057, 0.144, 0.847],
        [50.0, 0.705, 0.075, 0.058, 0.162, 0.827],
        [60.0, 0.647, 0.080, 0.058, 0.215, 0.779],
        [70.0, 0.507, 0.087, 0.054, 0.352, 0.665],
        [80.0, 0.242, 0.094, 0.041, 0.622, 0.409],
    ];
    let pane = clear_glass(0.0196 * 3.175);
    let stack = StackOptics::new(&[pane, pane]);
    for [angle, transmittance, outer, inner, reflectance, single] in ROWS {
        let at = place(angle);
        assert!(
            (stack.transmittance(at) - transmittance).abs() < 6e-4,
            "{angle}"
        );
        assert!((stack.absorptance(at, 1) - outer).abs() < 6e-4, "{angle}");
        assert!((stack.absorptance(at, 0) - inner).abs() < 6e-4, "{angle}");
        assert!(
            (stack.reflectance(at) - reflectance).abs() < 6e-4,
            "{angle}"
        );
        let one = pane.unpolarised(cos_deg(angle)).transmittance;
        assert!((one - single).abs() < 6e-4, "{angle}");
    }
    // The same sums over the hemisphere in 20,000 rings, evaluated apart from this code.
    assert!((stack.diffuse_from_outside().transmittance - 0.65879).abs() < 2e-4);
}

#[test]
fn measured_pane_turns_into_the_slab_it_was_measured_on() {
    // A pane of 3.175 mm: transmittance 0.8614 and reflectance 0.0785 at normal incidence
    // (ASHRAE Standard 140-2017, optics evaluated apart from this code).
    let measured = Sheet::Measured {
        transmittance: 0.8614,
        reflectance: 0.0785,
    };
    for angle in [0.0, 30.0, 60.0, 80.0, 88.0] {
        let slab = clear_glass(0.0196 * 3.175).unpolarised(cos_deg(angle));
        let got = measured.unpolarised(cos_deg(angle));
        assert!((got.transmittance - slab.transmittance).abs() < 2e-4);
        assert!((got.reflectance - slab.reflectance).abs() < 2e-4);
    }
}

#[test]
fn polyethylene_pair_lets_through_what_growers_are_told() {
    // Extension figures: about 80 percent for a double film, about 90 percent for a single one;
    // film of index 1.51 with 2.5 percent absorbed along 150 um; diffuse near 0.75 (from memory).
    let film = Sheet::Slab {
        refractive_index: 1.51,
        extinction_thickness: 0.025,
    };
    let [one, two] = [1, 2].map(|films| StackOptics::new(&vec![film; films]));
    assert!((one.transmittance(place(0.0)) - 0.90).abs() < 0.01);
    assert!((two.transmittance(place(0.0)) - 0.82).abs() < 0.015);
    let diffuse = two.diffuse_from_outside().transmittance;
    assert!((diffuse - 0.75).abs() < 0.03, "{diffuse}");
}

#[test]
fn tilted_diffuse_agrees_with_effective_angles() {
    // Brandemuehl and Beckman (1980), "Transmission of diffuse radiation through CPC and flat
    // plate collector glazings", Solar Energy 24, 511-513 (from memory), fitted on covers of
    // n 1.34 to 1.526, stated to hold within a few hundredths.
    let pane = clear_glass(0.0125);
    let stack = StackOptics::new(&[pane, pane]);
    for tilt in [0.0_f64, 30.0, 60.0, 90.0] {
        let sky = 59.7 - 0.1388 * tilt + 0.001497 * tilt * tilt;
        let got = stack.diffuse_from_sky(tilt).transmittance;
        let fit = stack.transmittance(place(sky));
        assert!((got - fit).abs() < 0.02, "sky {tilt}: {got} {fit}");
    }
    for tilt in [45.0_f64, 60.0, 90.0] {
        let ground = 90.0 - 0.5788 * tilt + 0.002693 * tilt * tilt;
        let got = stack.diffuse_from_ground(tilt).transmittance;
        let fit = stack.transmittance(place(ground));
        assert!((got - fit).abs() < 0.04, "ground {tilt}: {got} {fit}");
    }
}

#[test]
fn sky_and_ground_parts_make_the_whole() {
    let stack = StackOptics::new(&[clear_glass(0.05), clear_glass(0.02)]);
    let whole = stack.diffuse_from_outside().transmittance;
    for tilt in [10.0_f64, 45.0, 90.0, 120.0] {
        let sky_view = 0.5 * (1.0 + cos_deg(tilt));
        let parts = sky_view * stack.diffuse_from_sky(tilt).transmittance
            + (1.0 - sky_view) * stack.diffuse_from_ground(tilt).transmittance;
        assert!((parts - whole).abs() < 3e-4, "{tilt}");
    }
}

#[test]
fn a_band_at_the_horizon_meets_a_wall_frontally_and_a_roof_at_a_glance() {
    let pane = clear_glass(0.0);
    let stack = StackOptics::new(&[pane]);
    let at = |tilt| stack.diffuse_from_horizon(tilt).transmittance;
    // One clear cover, upright: the closed form (1 - r) / (1 + r), Duffie and Beckman, equation
    // 5.1.8, weighted by cos a in 20,000 steps, evaluated apart from this code.
    assert!((at(90.0) - 0.87784).abs() < 2e-4, "{}", at(90.0));
    assert!(at(0.0) < 1e-12);
    assert!(at(30.0) < at(60.0) && at(60.0) < at(90.0));
}

#[test]
fn light_is_accounted_for_and_reciprocal() {
    let cloth = Sheet::Diffusing {
        transmittance: 0.4,
        reflectance: 0.35,
    };
    let stack = StackOptics::new(&[cloth, clear_glass(0.03), clear_glass(0.2)]);
    let inside = stack.diffuse_from_inside();
    let outside = stack.diffuse_from_outside();
    for shares in [inside, &outside, &stack.diffuse_from_sky(35.0)] {
        let absorbed: f64 = shares.absorptance.iter().sum();
        assert!((shares.transmittance + shares.reflectance + absorbed - 1.0).abs() < 1e-12);
    }
    assert!((inside.transmittance - outside.transmittance).abs() < 1e-12);
    assert!(inside.absorptance[0] > outside.absorptance[0]);
    let at = place(50.0);
    let absorbed: f64 = (0..3)
        .map(|sheet| stack.absorptance_from_inside(at, sheet))
        .sum();
    let rest = stack.transmittance(at) + stack.reflectance_from_inside(at);
    assert!((absorbed + rest - 1.0).abs() < 1e-12);
    assert!(stack.absorptance_from_inside(at, 0) > stack.absorptance(at, 0));
}

#[test]
fn odd_stacks_do_not_break() {
    assert!((StackOptics::new(&[]).transmittance(place(40.0)) - 1.0).abs() < 1e-12);
    let mirror = Sheet::Measured {
        transmittance: 0.5,
        reflectance: 1.5,
    };
    let black = Sheet::Measured {
        transmittance: 0.0,
        reflectance: 0.1,
    };
    let stack = StackOptics::new(&[mirror, mirror, black]);
    assert!(stack.transmittance(place(0.0)).abs() < 1e-12);
    assert!((stack.absorptance(place(0.0), 2) - 0.9).abs() < 1e-9);
    let odd = StackOptics::new(&[Sheet::Slab {
        refractive_index: 0.2,
        extinction_thickness: -3.0,
    }]);
    assert!((odd.transmittance(place(20.0)) - 1.0).abs() < 1e-12);
}
