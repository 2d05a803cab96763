//! What a duty table must be before it can be used.

use super::{Pchip, Row, Start, Surface, hydraulic_power_w};
use crate::fault::{Fault, FaultKind, Faults};
use std::fmt::Write as _;

/// Share of the greatest flow by which an *interpolated* flow at a higher head may pass a row at a lower head before
/// the table is refused: rows are rounded, and a curve between rows is only an estimate.
const INTERPOLATION_SLACK: f64 = 0.01;

/// How the faults of a table of one kind speak.
#[derive(Debug, Clone, Copy)]
pub(super) struct Words {
    key: &'static str,
    start_key: &'static str,
    drive: &'static str,
    unit: &'static str,
    /// Whether one drive at a head is enough.
    one_drive: bool,
}

/// Rows of head, power, flow.
pub(super) const DUTY: Words =
    Words { key: "pump.duty", start_key: "pump.start_power", drive: "power", unit: "W", one_drive: false };
/// Rows of head, voltage, flow, current.
pub(super) const VOLTS: Words = Words {
    key: "pump.voltage_table",
    start_key: "pump.start_voltage",
    drive: "voltage",
    unit: "V",
    one_drive: false,
};
/// Rows of head, flow, current at one voltage.
pub(super) const ONE_VOLTAGE: Words = Words {
    key: "pump.head_flow",
    start_key: "pump.start_voltage",
    drive: "voltage",
    unit: "V",
    one_drive: true,
};

/// A row with its number in the scheme, from 1.
type NumberedRow = (usize, Row);

/// The surface of a table's rows.
pub(super) fn surface(words: &Words, rows: &[Row], start: Start) -> Result<Surface, Faults> {
    let mut faults = Vec::new();
    let rows: Vec<NumberedRow> = rows.iter().enumerate().map(|(i, p)| (i + 1, *p)).collect();
    for row in &rows {
        check_row(words, row, &mut faults);
    }
    if rows.is_empty() {
        let accepted =
            if words.one_drive { "rows of one or more heads" } else { "at least two powers at one head" };
        faults.push(words.fault(FaultKind::WrongLength, "no rows".into(), accepted, "copy the maker's rows"));
    }
    if !faults.is_empty() {
        return Err(faults.into());
    }
    let groups = by_head(&rows);
    for group in &groups {
        check_group(words, group, &mut faults);
    }
    if rows.iter().all(|(_, p)| p.flow_m3_per_h <= 0.0) {
        faults.push(words.fault(
            FaultKind::OutOfRange,
            "no row has any flow".into(),
            "at least one flow above 0",
            "check the flow's column and its unit",
        ));
    }
    let curves: Vec<Option<Pchip>> = groups.iter().map(|g| curve(g, |p| p.flow_m3_per_h)).collect();
    check_across_heads(words, &groups, &curves, &mut faults);
    check_start(words, start, &groups, &mut faults);
    if !faults.is_empty() {
        return Err(faults.into());
    }
    let groups: Vec<Vec<Row>> = groups.into_iter().map(|g| g.into_iter().map(|(_, p)| p).collect()).collect();
    Ok(Surface::new(&groups, curves.into_iter().flatten().collect(), start))
}

/// A value of one head's rows by their drive.
fn curve(group: &[NumberedRow], value: impl Fn(&Row) -> f64) -> Option<Pchip> {
    if let [(_, only)] = group {
        return Some(Pchip::constant(only.drive, value(only)));
    }
    let x: Vec<f64> = group.iter().map(|(_, p)| p.drive).collect();
    let y: Vec<f64> = group.iter().map(|(_, p)| value(p)).collect();
    Pchip::new(&x, &y)
}

/// The same, of sound rows: heads rising, as [`Surface`] has them.
pub(super) fn curves(rows: &[Row], value: impl Fn(&Row) -> f64 + Copy) -> Vec<Pchip> {
    let rows: Vec<NumberedRow> = rows.iter().map(|p| (0, *p)).collect();
    by_head(&rows).iter().filter_map(|g| curve(g, value)).collect()
}

impl Words {
    pub(super) fn fault(&self, kind: FaultKind, found: String, accepted: &str, way_out: &str) -> Fault {
        Fault::at_key(self.key, kind, found, accepted, way_out)
    }
}

fn check_row(words: &Words, (n, p): &NumberedRow, faults: &mut Vec<Fault>) {
    let mut out = |found: String, accepted: &str, way_out: &str| {
        faults.push(words.fault(FaultKind::OutOfRange, found, accepted, way_out));
    };
    let mut sound = true;
    if !(p.head_m.is_finite() && p.head_m >= 0.0) {
        out(format!("row {n}: head {} m", p.head_m), "a head of 0 m or more", "correct the row");
        sound = false;
    }
    if !(p.drive.is_finite() && p.drive > 0.0) {
        let (drive, unit) = (words.drive, words.unit);
        out(
            format!("row {n}: {drive} {} {unit}", p.drive),
            &format!("a {drive} above 0 {unit}"),
            &format!("leave out rows with the pump at rest, or give the {drive} at which it starts"),
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
fn by_head(rows: &[NumberedRow]) -> Vec<Vec<NumberedRow>> {
    let mut sorted = rows.to_vec();
    // A stable sort; adding zero makes −0 and 0 one head.
    sorted.sort_by(|a, b| (a.1.head_m + 0.0).total_cmp(&(b.1.head_m + 0.0)));
    sorted.chunk_by(|a, b| a.1.head_m >= b.1.head_m).map(<[NumberedRow]>::to_vec).collect()
}

fn check_group(words: &Words, group: &[NumberedRow], faults: &mut Vec<Fault>) {
    let (drive, unit) = (words.drive, words.unit);
    if let [(n, p)] = group
        && !words.one_drive
    {
        faults.push(words.fault(
            FaultKind::WrongLength,
            format!("row {n}: the only {drive} at {} m", p.head_m),
            &format!("at least two {drive}s at each head"),
            &format!("add this head's other {drive}s, write equal heads exactly alike, or leave the row out"),
        ));
    }
    for pair in group.windows(2) {
        let [(m, before), (n, p)] = [pair[0], pair[1]];
        if p.drive <= before.drive {
            faults.push(words.fault(
                FaultKind::Contradiction,
                format!(
                    "row {n}: {} {unit} follows {} {unit} (row {m}) at {} m",
                    p.drive, before.drive, p.head_m
                ),
                &format!("{drive}s that rise from row to row of one head"),
                &format!("put the rows of each head in order of {drive} and remove duplicates"),
            ));
        } else if p.flow_m3_per_h < before.flow_m3_per_h {
            faults.push(words.fault(
                FaultKind::Contradiction,
                format!(
                    "row {n}: flow falls to {} m³/h at {} {unit} from {} m³/h at {} {unit} (row {m}), both at {} m",
                    p.flow_m3_per_h, p.drive, before.flow_m3_per_h, before.drive, p.head_m
                ),
                &format!("flows that do not fall with {drive}"),
                "check the two rows against the datasheet",
            ));
        }
    }
}

/// No row may give less flow than a greater head gives at that row's power.
fn check_across_heads(
    words: &Words,
    groups: &[Vec<NumberedRow>],
    curves: &[Option<Pchip>],
    faults: &mut Vec<Fault>,
) {
    let full = groups.iter().flatten().map(|(_, p)| p.flow_m3_per_h).fold(0.0, f64::max);
    for (i, group) in groups.iter().enumerate() {
        for (n, p) in group {
            for (higher, curve) in groups.iter().zip(curves).skip(i + 1) {
                let Some(curve) = curve else { continue };
                if p.drive < curve.first().0 {
                    continue;
                }
                let there = curve.at(p.drive);
                let near = higher.iter().rfind(|(_, q)| q.drive <= p.drive);
                let exact = p.drive >= curve.last().0 || near.is_some_and(|(_, q)| q.drive >= p.drive);
                let slack = if exact { 0.0 } else { INTERPOLATION_SLACK * full };
                if there > p.flow_m3_per_h + slack {
                    let mut found = format!(
                        "row {n}: {} m³/h at {} m and {} {}, but {:.4} m³/h at the greater head of {} m",
                        p.flow_m3_per_h, p.head_m, p.drive, words.unit, there, higher[0].1.head_m
                    );
                    if let Some((m, _)) = near {
                        // Writing to a String cannot fail.
                        let _ = write!(found, " (row {m})");
                    }
                    faults.push(words.fault(
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

fn check_start(words: &Words, start: Start, groups: &[Vec<NumberedRow>], faults: &mut Vec<Fault>) {
    let (drive, unit) = (words.drive, words.unit);
    if matches!(start, Start::Proportional | Start::SameLoss) && (groups.len() < 2 || !words.one_drive) {
        faults.push(Fault::at_key(
            "pump.flow_by_voltage",
            FaultKind::CannotRun,
            if words.one_drive {
                format!("one head, {} m, in {}", groups[0][0].1.head_m, words.key)
            } else {
                format!("{} has rows of several {drive}s", words.key)
            },
            "rows of two heads or more at one voltage: they show what the head takes of the flow",
            "ask the maker for the flow at a second head, or leave flow_by_voltage out",
        ));
    }
    let Start::From(from) = start else { return };
    if !(from.is_finite() && from >= 0.0) {
        faults.push(Fault::at_key(
            words.start_key,
            FaultKind::OutOfRange,
            format!("start {drive} {from} {unit}"),
            format!("a {drive} of 0 {unit} or more"),
            format!("leave it out: below the lowest tabulated {drive} the flow is then zero"),
        ));
        return;
    }
    let running = groups.iter().flatten().find(|(_, p)| p.flow_m3_per_h > 0.0 && p.drive < from);
    if let Some((n, p)) = running {
        faults.push(Fault::at_key(
            words.start_key,
            FaultKind::Contradiction,
            format!(
                "start {drive} {from} {unit}, but row {n} of {} has flow at {} {unit}",
                words.key, p.drive
            ),
            format!("a start {drive} at or below that of every row with flow"),
            format!("lower the start {drive}, or correct the row"),
        ));
    }
}
