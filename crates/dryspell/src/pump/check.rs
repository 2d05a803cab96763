//! What a duty table must be before it can be used.

use super::{DutyPoint, Pchip, Settings, Start, hydraulic_power_w};
use crate::fault::{Fault, FaultKind};
use std::fmt::Write as _;

/// Share of the greatest flow by which an *interpolated* flow at a higher head may pass a row at a lower head before
/// the table is refused: rows are rounded, and a curve between rows is only an estimate.
const INTERPOLATION_SLACK: f64 = 0.01;

const KEY: &str = "pump.duty";

/// A row with its number in the scheme, from 1.
type Row = (usize, DutyPoint);

/// The curve of each head, heads rising.
pub(super) fn groups(settings: &Settings) -> Result<Vec<(f64, Pchip)>, Vec<Fault>> {
    let mut faults = Vec::new();
    let efficiency = settings.tracking_efficiency;
    if !(efficiency > 0.0 && efficiency <= 1.0) {
        faults.push(Fault::at_key(
            "pump.tracking_efficiency",
            FaultKind::OutOfRange,
            format!("tracking efficiency {efficiency}"),
            "a number above 0 and at most 1",
            "leave it out where the table's power is taken at the controller's input",
        ));
    }
    let rows: Vec<Row> = settings.duty.iter().enumerate().map(|(i, p)| (i + 1, *p)).collect();
    for row in &rows {
        check_row(row, &mut faults);
    }
    if settings.duty.is_empty() {
        faults.push(duty(
            FaultKind::WrongLength,
            "no rows".into(),
            "at least two powers at one head",
            "copy the maker's rows of head, power and flow",
        ));
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let groups = by_head(&rows);
    for group in &groups {
        check_group(group, &mut faults);
    }
    if rows.iter().all(|(_, p)| p.flow_m3_per_h <= 0.0) {
        faults.push(duty(
            FaultKind::OutOfRange,
            "no row has any flow".into(),
            "at least one flow above 0",
            "check the flow's column and its unit",
        ));
    }
    let curves: Vec<Option<Pchip>> = groups
        .iter()
        .map(|g| {
            let x: Vec<f64> = g.iter().map(|(_, p)| p.power_w).collect();
            let y: Vec<f64> = g.iter().map(|(_, p)| p.flow_m3_per_h).collect();
            Pchip::new(&x, &y)
        })
        .collect();
    check_across_heads(&groups, &curves, &mut faults);
    check_start(settings.start, &groups, &mut faults);
    if !faults.is_empty() {
        return Err(faults);
    }
    Ok(groups.iter().zip(curves).filter_map(|(g, curve)| Some((g[0].1.head_m, curve?))).collect())
}

fn duty(kind: FaultKind, found: String, accepted: &str, way_out: &str) -> Fault {
    Fault::at_key(KEY, kind, found, accepted, way_out)
}

fn check_row((n, p): &Row, faults: &mut Vec<Fault>) {
    let mut out = |found: String, accepted: &str, way_out: &str| {
        faults.push(duty(FaultKind::OutOfRange, found, accepted, way_out));
    };
    let mut sound = true;
    if !(p.head_m.is_finite() && p.head_m >= 0.0) {
        out(format!("row {n}: head {} m", p.head_m), "a head of 0 m or more", "correct the row");
        sound = false;
    }
    if !(p.power_w.is_finite() && p.power_w > 0.0) {
        out(
            format!("row {n}: power {} W", p.power_w),
            "a power above 0 W",
            "leave out rows where the pump stands still, or give the power at which it starts",
        );
        sound = false;
    }
    if !(p.flow_m3_per_h.is_finite() && p.flow_m3_per_h >= 0.0) {
        out(format!("row {n}: flow {} m³/h", p.flow_m3_per_h), "a flow of 0 or more", "correct the row");
        sound = false;
    }
    // 990 kg/m³ is below water's density at any temperature allowed, so nothing possible is refused.
    let lifting_w = hydraulic_power_w(990.0, p.head_m, p.flow_m3_per_h);
    if sound && lifting_w > p.power_w {
        out(
            format!(
                "row {n}: {} m³/h against {} m takes {lifting_w:.0} W in water alone, more than the row's {} W",
                p.flow_m3_per_h, p.head_m, p.power_w
            ),
            "an efficiency below 100 %",
            "check the units of head, power and flow",
        );
    }
}

/// Rows of exactly equal head, heads rising, rows in the scheme's order.
fn by_head(rows: &[Row]) -> Vec<Vec<Row>> {
    let mut sorted = rows.to_vec();
    // A stable sort; adding zero makes −0 and 0 one head.
    sorted.sort_by(|a, b| (a.1.head_m + 0.0).total_cmp(&(b.1.head_m + 0.0)));
    sorted.chunk_by(|a, b| a.1.head_m >= b.1.head_m).map(<[Row]>::to_vec).collect()
}

fn check_group(group: &[Row], faults: &mut Vec<Fault>) {
    if let [(n, p)] = group {
        faults.push(duty(
            FaultKind::WrongLength,
            format!("row {n}: the only power at {} m", p.head_m),
            "at least two powers at each head",
            "add this head's other powers, write equal heads exactly alike, or leave the row out",
        ));
    }
    for pair in group.windows(2) {
        let [(m, before), (n, p)] = [pair[0], pair[1]];
        if p.power_w <= before.power_w {
            faults.push(duty(
                FaultKind::Contradiction,
                format!("row {n}: {} W follows {} W (row {m}) at {} m", p.power_w, before.power_w, p.head_m),
                "powers that rise from row to row of one head",
                "put the rows of each head in order of power and leave out doubles",
            ));
        } else if p.flow_m3_per_h < before.flow_m3_per_h {
            faults.push(duty(
                FaultKind::Contradiction,
                format!(
                    "row {n}: flow falls to {} m³/h at {} W from {} m³/h at {} W (row {m}), both at {} m",
                    p.flow_m3_per_h, p.power_w, before.flow_m3_per_h, before.power_w, p.head_m
                ),
                "flows that do not fall with power",
                "check the two rows against the datasheet",
            ));
        }
    }
}

/// No row may give less flow than a greater head gives at that row's power.
fn check_across_heads(groups: &[Vec<Row>], curves: &[Option<Pchip>], faults: &mut Vec<Fault>) {
    let full = groups.iter().flatten().map(|(_, p)| p.flow_m3_per_h).fold(0.0, f64::max);
    for (i, group) in groups.iter().enumerate() {
        for (n, p) in group {
            for (higher, curve) in groups.iter().zip(curves).skip(i + 1) {
                let Some(curve) = curve else { continue };
                if p.power_w < curve.first().0 {
                    continue;
                }
                let there = curve.at(p.power_w);
                let near = higher.iter().rfind(|(_, q)| q.power_w <= p.power_w);
                let exact = p.power_w >= curve.last().0 || near.is_some_and(|(_, q)| q.power_w >= p.power_w);
                let slack = if exact { 0.0 } else { INTERPOLATION_SLACK * full };
                if there > p.flow_m3_per_h + slack {
                    let mut found = format!(
                        "row {n}: {} m³/h at {} m and {} W, but {:.4} m³/h at the greater head of {} m",
                        p.flow_m3_per_h, p.head_m, p.power_w, there, higher[0].1.head_m
                    );
                    if let Some((m, _)) = near {
                        // Writing to a String cannot fail.
                        let _ = write!(found, " (row {m})");
                    }
                    faults.push(duty(
                        FaultKind::Contradiction,
                        found,
                        "flows that do not rise with head",
                        "check the two rows against the datasheet",
                    ));
                    break;
                }
            }
        }
    }
}

fn check_start(start: Start, groups: &[Vec<Row>], faults: &mut Vec<Fault>) {
    let Start::Power(from_w) = start else { return };
    if !(from_w.is_finite() && from_w >= 0.0) {
        faults.push(Fault::at_key(
            "pump.start_power",
            FaultKind::OutOfRange,
            format!("start power {from_w} W"),
            "a power of 0 W or more",
            "leave it out: below the lowest tabulated power the flow is then zero",
        ));
        return;
    }
    let running = groups.iter().flatten().find(|(_, p)| p.flow_m3_per_h > 0.0 && p.power_w < from_w);
    if let Some((n, p)) = running {
        faults.push(Fault::at_key(
            "pump.start_power",
            FaultKind::Contradiction,
            format!("start power {from_w} W, but row {n} of pump.duty has flow at {} W", p.power_w),
            "a start power that no row with flow lies below",
            "lower the start power, or correct the row",
        ));
    }
}
