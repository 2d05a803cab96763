//! The pump, by kind.

use super::super::reader::{Reader, Section, Value};
use crate::fault::FaultKind;
use crate::pump::{
    CentrifugalSettings, DisplacementSettings, DutyPoint, Motor, PermanentMagnet, PumpEfficiency, RatedCurve,
    Settings, Start, VoltPoint, VoltTable,
};
use crate::scheme::DefaultUsed;
use crate::scheme::keys::{KeyDoc, Kind, Range};
use crate::units::Quantity;

const DUTY: &[&str] = &["duty", "start_power"];
const VOLT: &[&str] = &["voltage_table", "start_voltage"];
const HEAD_FLOW: &[&str] = &["head_flow", "voltage", "start_voltage", "flow_by_voltage", "principle"];
const MAGNET: [&str; 4] = ["armature_resistance", "torque_constant", "friction_torque", "breakaway_torque"];
const DISPLACEMENT: &[&str] =
    &["displacement", "slip", "highest_voltage", "highest_head", MAGNET[0], MAGNET[1], MAGNET[2], MAGNET[3]];
const CENTRIFUGAL: &[&str] = &[
    "rated_flow",
    "rated_head",
    "curve",
    "efficiency",
    "efficiency_curve",
    "motor_efficiency",
    "rated_speed",
    MAGNET[0],
    MAGNET[1],
    MAGNET[2],
    MAGNET[3],
];

/// Kinds of pump and the keys that each has.
const KINDS: [(&str, &[&str]); 5] = [
    ("duty table", DUTY),
    ("volt table", VOLT),
    ("head-flow table", HEAD_FLOW),
    ("positive displacement", DISPLACEMENT),
    ("centrifugal", CENTRIFUGAL),
];

pub(super) fn pump(r: &mut Reader<'_>, s: &Section<'_>) -> Option<Settings> {
    r.labels(s, &["make", "model"]);
    // All keys that are there are read, whatever the kind, so that each is checked.
    let kind = if s.may_have("kind") { r.word(s, "kind") } else { Some("duty table") };
    let rows = r.key(s, "duty", duty);
    let volts = r.key(s, "voltage_table", voltage_table);
    let voltage = r.quantity(s, "voltage");
    let heads = r.key(s, "head_flow", head_flow);
    let start_voltage = r.quantity(s, "start_voltage").map_or(Start::Zero, Start::From);
    let by_voltage = r.word(s, "flow_by_voltage");
    let principle = r.word(s, "principle");
    let wants_start_power = kind == Some("duty table") || s.has("start_power");
    let start_power = wants_start_power.then(|| r.quantity(s, "start_power")).flatten();
    let displacement = displacement(r, s);
    let centrifugal = centrifugal(r, s);
    let kind = kind?;
    foreign(r, s, kind);
    match kind {
        "duty table" => {
            r.missing_here(s, "duty");
            Some(Settings::duty(rows?, start_power.map_or(Start::Zero, Start::From)))
        }
        "volt table" => {
            r.missing_here(s, "voltage_table");
            Some(Settings::Volts(VoltTable { rows: volts?, start: start_voltage, one_voltage: false }))
        }
        "head-flow table" => {
            r.missing_here(s, "head_flow");
            r.missing_here(s, "voltage");
            let scaled = scaled(r, s, by_voltage, principle);
            if start_voltage == Start::Zero && !s.may_have("start_voltage") && !scaled {
                r.defaults.push(DefaultUsed {
                    key: s.key("start_voltage"),
                    value: "not given".into(),
                    why: "no flow below the table's voltage, the conservative reading of the table".into(),
                });
            }
            let (voltage_v, mut rows) = (voltage?, heads?);
            rows.iter_mut().for_each(|row| row.voltage_v = voltage_v);
            let start = match (scaled, by_voltage) {
                (false, _) => start_voltage,
                (true, Some("constant loss")) => Start::SameLoss,
                (true, _) => Start::Proportional,
            };
            Some(Settings::Volts(VoltTable { rows, start, one_voltage: true }))
        }
        "positive displacement" => {
            for name in
                ["displacement", "armature_resistance", "torque_constant", "highest_voltage", "highest_head"]
            {
                r.missing_here(s, name);
            }
            displacement.map(Settings::Displacement)
        }
        "centrifugal" => {
            r.missing_here(s, "rated_flow");
            if !s.may_have("curve") {
                r.missing_here(s, "rated_head");
            }
            if !s.may_have("efficiency_curve") {
                r.missing_here(s, "efficiency");
            }
            if MAGNET.iter().any(|name| s.may_have(name)) {
                ["armature_resistance", "torque_constant", "rated_speed"]
                    .into_iter()
                    .for_each(|n| r.missing_here(s, n));
            } else {
                r.missing_here(s, "motor_efficiency");
            }
            centrifugal.map(Settings::Centrifugal)
        }
        _ => {
            r.fault_at(
                s,
                "kind",
                FaultKind::UnknownWord,
                "a kind that is not read",
                "a kind listed",
                "choose another",
            );
            None
        }
    }
}

/// Whether the flow is scaled from the one voltage of a table, which only displacement allows.
fn scaled(r: &mut Reader<'_>, s: &Section<'_>, by_voltage: Option<&str>, principle: Option<&str>) -> bool {
    if principle == Some("centrifugal") {
        r.fault_at(
            s,
            "principle",
            FaultKind::CannotRun,
            "a centrifugal pump with a table at one voltage",
            "its table at a second voltage (kind = \"volt table\"), at several powers (\"duty table\") or its rated curve \
             (\"centrifugal\"): below some voltage it does not reach the head, and one voltage does not tell which",
            "ask the maker for head, flow and current at a second, lower voltage or speed, or for the curve at several \
             powers; until then leave principle and flow_by_voltage out: nothing then flows below the table's voltage",
        );
        return false;
    }
    if by_voltage.is_none() {
        return false;
    }
    r.missing_here(s, "principle");
    if s.has("start_voltage") {
        r.fault_at(
            s,
            "start_voltage",
            FaultKind::Contradiction,
            "start_voltage given as well as flow_by_voltage",
            "either a start voltage, from which the flow rises linearly, or the flow scaled by voltage",
            "keep start_voltage if it was measured",
        );
    }
    true
}

/// Keys of another kind.
fn foreign(r: &mut Reader<'_>, s: &Section<'_>, kind: &str) {
    let own = KINDS.iter().find(|(name, _)| *name == kind).map_or(DUTY, |(_, keys)| keys);
    let mut told = Vec::new();
    for (other, keys) in KINDS {
        for name in keys.iter().filter(|name| s.has(name) && !own.contains(name)) {
            if told.contains(name) {
                continue;
            }
            told.push(*name);
            r.fault_at(
                s,
                name,
                FaultKind::Contradiction,
                format!("{name} in a pump of kind \"{kind}\""),
                format!("keys of this kind: {}", own.join(", ")),
                format!("write kind = \"{other}\", or remove {name}"),
            );
        }
    }
    let both = |a: &str, b: &str| s.has(a) && s.has(b);
    for (first, second) in
        [("rated_head", "curve"), ("efficiency", "efficiency_curve"), ("motor_efficiency", "torque_constant")]
    {
        if both(first, second) && kind == "centrifugal" {
            r.fault_at(
                s,
                second,
                FaultKind::Contradiction,
                format!("{second} given as well as {first}"),
                format!("either {first} or {second}"),
                "keep one of them",
            );
        }
    }
}

fn displacement(r: &mut Reader<'_>, s: &Section<'_>) -> Option<DisplacementSettings> {
    let displacement_m3 = r.quantity(s, "displacement");
    let slip = r.quantity(s, "slip");
    let highest_voltage_v = r.quantity(s, "highest_voltage");
    let highest_head_m = r.quantity(s, "highest_head");
    let (motor, friction_torque_nm, breakaway_torque_nm) = magnet(r, s);
    Some(DisplacementSettings {
        displacement_m3: displacement_m3?,
        slip_m3_per_h_m: slip.unwrap_or(0.0),
        motor: motor?,
        friction_torque_nm,
        breakaway_torque_nm,
        highest_voltage_v: highest_voltage_v?,
        highest_head_m: highest_head_m?,
    })
}

/// The permanent-magnet motor, its friction, its friction at rest.
fn magnet(r: &mut Reader<'_>, s: &Section<'_>) -> (Option<PermanentMagnet>, f64, f64) {
    let ohm = r.quantity(s, "armature_resistance");
    let constant = r.quantity(s, "torque_constant");
    let friction = r.quantity(s, "friction_torque").unwrap_or(0.0);
    let breakaway = r.quantity(s, "breakaway_torque").unwrap_or(friction);
    let motor = ohm
        .zip(constant)
        .map(|(armature_ohm, constant_nm_per_a)| PermanentMagnet { armature_ohm, constant_nm_per_a });
    (motor, friction, breakaway)
}

fn centrifugal(r: &mut Reader<'_>, s: &Section<'_>) -> Option<CentrifugalSettings> {
    let rated_flow = r.quantity(s, "rated_flow");
    let rated_head = r.quantity(s, "rated_head");
    let points = r.key(s, "curve", curve);
    let best = r.ratio(s, "efficiency");
    let efficiencies = r.key(s, "efficiency_curve", efficiency_curve);
    let motor_efficiency = r.ratio(s, "motor_efficiency");
    let rated_speed = r.quantity(s, "rated_speed");
    let (motor, friction_torque_nm, breakaway_torque_nm) = magnet(r, s);
    let motor = match (motor, rated_speed) {
        (Some(motor), Some(rated_speed_rad_per_s)) => Some(Motor::PermanentMagnet {
            motor,
            rated_speed_rad_per_s,
            friction_torque_nm,
            breakaway_torque_nm,
        }),
        (Some(_), None) => None,
        (None, _) => motor_efficiency.map(Motor::Efficiency),
    };
    Some(CentrifugalSettings {
        rated_flow_m3_per_h: rated_flow?,
        curve: points.map(RatedCurve::Points).or(rated_head.map(|head_m| RatedCurve::OnePoint { head_m }))?,
        efficiency: efficiencies.map(PumpEfficiency::Points).or(best.map(PumpEfficiency::Best))?,
        motor: motor?,
    })
}

/// Documentation of a row's cells.
struct Cells {
    head: KeyDoc,
    power: KeyDoc,
    voltage: KeyDoc,
    flow: KeyDoc,
    current: KeyDoc,
    share: KeyDoc,
}

fn cells(doc: &KeyDoc) -> Cells {
    let cell = |q, range, meaning, example| doc.part(Kind::Quantity(q), range, meaning, example);
    Cells {
        head: cell(Quantity::Length, Range::Between(0.0, 2000.0), "total dynamic head", "\"20 m\""),
        power: cell(Quantity::Power, Range::Above(0.0, 1e6), "electrical power", "\"60 W\""),
        voltage: cell(Quantity::Voltage, Range::Above(0.0, 2000.0), "voltage", "\"24 V\""),
        flow: cell(Quantity::Flow, Range::Between(0.0, 10_000.0), "flow", "\"7 L/min\""),
        current: cell(Quantity::Current, Range::Above(0.0, 1000.0), "current", "\"4 A\""),
        share: cell(Quantity::Fraction, Range::Between(0.0, 1.0), "efficiency", "\"45 %\""),
    }
}

fn duty(r: &mut Reader<'_>, v: Value<'_>, doc: &'static KeyDoc) -> Option<Vec<DutyPoint>> {
    let c = cells(doc);
    let mut points = Vec::new();
    let sound = r.table_rows(v, doc, &["head", "power", "flow"], |r, row| {
        let head_m = r.head_value(row[0], &c.head);
        let power_w = r.quantity_value(row[1], &c.power);
        let flow_m3_per_h = r.quantity_value(row[2], &c.flow);
        points.push(DutyPoint { head_m: head_m?, power_w: power_w?, flow_m3_per_h: flow_m3_per_h? });
        Some(())
    });
    sound.then_some(points)
}

fn voltage_table(r: &mut Reader<'_>, v: Value<'_>, doc: &'static KeyDoc) -> Option<Vec<VoltPoint>> {
    let c = cells(doc);
    let mut points = Vec::new();
    let sound = r.table_rows(v, doc, &["head", "voltage", "flow", "current"], |r, row| {
        let head_m = r.head_value(row[0], &c.head);
        let voltage_v = r.quantity_value(row[1], &c.voltage);
        let flow_m3_per_h = r.quantity_value(row[2], &c.flow);
        let current_a = r.quantity_value(row[3], &c.current);
        points.push(VoltPoint {
            head_m: head_m?,
            voltage_v: voltage_v?,
            flow_m3_per_h: flow_m3_per_h?,
            current_a: current_a?,
        });
        Some(())
    });
    sound.then_some(points)
}

/// Rows of head, flow and current; the voltage is put in by whoever knows it.
fn head_flow(r: &mut Reader<'_>, v: Value<'_>, doc: &'static KeyDoc) -> Option<Vec<VoltPoint>> {
    let c = cells(doc);
    let mut points = Vec::new();
    let sound = r.table_rows(v, doc, &["head", "flow", "current"], |r, row| {
        let head_m = r.head_value(row[0], &c.head);
        let flow_m3_per_h = r.quantity_value(row[1], &c.flow);
        let current_a = r.quantity_value(row[2], &c.current);
        points.push(VoltPoint {
            head_m: head_m?,
            voltage_v: 0.0,
            flow_m3_per_h: flow_m3_per_h?,
            current_a: current_a?,
        });
        Some(())
    });
    sound.then_some(points)
}

fn curve(r: &mut Reader<'_>, v: Value<'_>, doc: &'static KeyDoc) -> Option<Vec<(f64, f64)>> {
    let c = cells(doc);
    r.pairs(v, doc, &["flow", "head"], &c.flow, &c.head)
}

fn efficiency_curve(r: &mut Reader<'_>, v: Value<'_>, doc: &'static KeyDoc) -> Option<Vec<(f64, f64)>> {
    let c = cells(doc);
    r.pairs(v, doc, &["flow", "efficiency"], &c.flow, &c.share)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scheme::keys::find;

    #[test]
    fn every_kind_of_pump_has_its_list_of_keys() {
        let Some(KeyDoc { kind: Kind::Word(words), .. }) = find("pump", "kind") else { panic!("pump.kind") };
        assert_eq!(words.to_vec(), KINDS.map(|(name, _)| name).to_vec());
    }
}
