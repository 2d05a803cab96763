//! Friction factors and duty surfaces against reference libraries, in bulk.

use crate::support::data;
use dryspell::pipe::FrictionFactor;
use dryspell::pump::{Duty, DutyPoint, Settings, Start};

/// The numbers of a reference file.
fn table(name: &str) -> Vec<Vec<f64>> {
    let path = data(&format!("reference/{name}.csv"));
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).unwrap();
    reader.records().map(|r| r.unwrap().iter().map(|v| v.parse().unwrap()).collect()).collect()
}

/// Fails with the row that departs most.
fn assert_close(rows: &[Vec<f64>], departure: impl Fn(&[f64]) -> f64, tolerance: f64) {
    let (worst, row) =
        rows.iter().map(|r| (departure(r), r)).max_by(|a, b| a.0.total_cmp(&b.0)).expect("rows");
    assert!(worst <= tolerance, "worst row {row:?}: off by {worst:e}, allowed {tolerance:e}");
}

#[test]
fn friction_factors_agree_with_fluids() {
    let rows = table("friction_factor");
    assert!(rows.len() >= 400);
    assert_close(&rows, |r| (FrictionFactor::new(r[1]).at(r[0]) / r[2] - 1.0).abs(), 1e-9);
}

#[test]
fn duty_surface_agrees_with_scipy() {
    let text = std::fs::read_to_string(data("reference/duty_surface.csv")).unwrap();
    let listed = text.lines().find_map(|l| l.strip_prefix("# table: ")).unwrap();
    let duty = listed
        .split(' ')
        .map(|row| {
            let v: Vec<f64> = row.split(',').map(|t| t.parse().unwrap()).collect();
            DutyPoint { head_m: v[0], power_w: v[1], flow_m3_per_h: v[2] }
        })
        .collect();
    let duty = Duty::new(&Settings { duty, start: Start::Zero, tracking_efficiency: 1.0 }).unwrap();
    let rows = table("duty_surface");
    assert!(rows.len() >= 300);
    assert_close(&rows, |r| (duty.flow_m3_per_h(r[0], r[1]) - r[2]).abs(), 1e-12);
}
