use super::*;

/// Values computed from the published form by an independent program: mean 11 C, swing 12 K, coldest
/// day 35, 0.055728 m2/day; rows by depth, columns by day.
#[test]
fn undisturbed_soil_table() {
    let days = [1.0, 35.0, 100.0, 200.0, 300.0];
    let table = [
        (0.0, [0.997, -1.000, 5.760, 22.460, 12.801]),
        (0.5, [4.003, 1.331, 5.046, 19.663, 14.354]),
        (1.0, [6.476, 3.517, 4.942, 17.225, 15.190]),
        (2.0, [9.916, 7.136, 5.832, 13.542, 15.405]),
        (4.0, [12.379, 11.003, 8.760, 10.258, 13.463]),
    ];
    let diffusivity_m2_s = 0.055_728 / 86_400.0;
    for (depth_m, row) in table {
        for (day, expected_c) in days.into_iter().zip(row) {
            let temp_c =
                undisturbed_soil_kusuda1965(depth_m, day, 11.0, 12.0, 35.0, diffusivity_m2_s);
            assert!(
                (temp_c - expected_c).abs() < 6e-4,
                "{depth_m} m day {day}: {temp_c}"
            );
        }
    }
}
