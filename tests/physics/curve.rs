//! Flow against sun: the same chain as the run, and the threshold where it says.

use dryspell::curve::{CELL_DEGC, PLANE_W_PER_M2, sun_curve};
use dryspell::scheme::{STARTER, Scheme};

#[test]
fn flow_rises_with_sun_falls_with_heat_and_starts_at_the_threshold() {
    let plan = Scheme::from_toml(STARTER).unwrap().plan();
    let curve = sun_curve(&plan, 7).unwrap();
    for column in 0..CELL_DEGC.len() {
        let flows: Vec<f64> = curve.points.iter().map(|row| row[column].flow_m3_per_h).collect();
        assert!(flows.windows(2).all(|w| w[0] <= w[1]), "{flows:?}");
        let start = curve.start_w_per_m2[column].unwrap();
        for (plane, flow) in PLANE_W_PER_M2.iter().zip(&flows) {
            assert_eq!(*flow > 0.0, *plane >= start, "{plane} W/m2, start {start}");
        }
    }
    for row in &curve.points {
        assert!(row.windows(2).all(|w| w[0].flow_m3_per_h >= w[1].flow_m3_per_h));
        assert!(row.windows(2).all(|w| w[0].array_w >= w[1].array_w));
    }
    // Half the array, or a deeper well, starts later.
    let mut half = plan.clone();
    half.array.arrays[0].series = 1;
    assert!(sun_curve(&half, 7).unwrap().start_w_per_m2[1] > curve.start_w_per_m2[1]);
    let mut deep = plan;
    deep.supply.well.static_level_m = [25.0; 12];
    assert!(sun_curve(&deep, 7).unwrap().start_w_per_m2[1] > curve.start_w_per_m2[1]);
}
