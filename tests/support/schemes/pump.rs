//! Pumps of every kind, for a point that they are built for.

use dryspell::units::Quantity as Q;

use super::super::random::{Random, three_digits};
use super::draft::{Draft, bare, flow, head, percent, quantity, rows, text};

/// Heat of water lifted: W for each m³/h and m.
pub const LIFTING_W: f64 = 2.725;

/// The point for which a pump is built.
pub struct Rated {
    pub lift_m: f64,
    /// Flow in good sun, L/min.
    pub flow: f64,
    pub power_w: f64,
    pub voltage_v: f64,
}

/// A pump of that kind; whether it has a voltage.
pub fn pump(d: &mut Draft, r: &mut Random, kind: &str, rated: &Rated) -> bool {
    if kind != "duty table" || r.chance(0.3) {
        d.set("pump", "kind", text(kind));
    }
    let heads = [0.5, 1.0, 1.7].map(|share| three_digits(share * rated.lift_m));
    let power = |h: f64| rated.power_w * h / rated.lift_m;
    match kind {
        "duty table" => {
            let row = |h: f64, share: f64| {
                let q = rated.flow * (1.2 - 0.2 * h / rated.lift_m) * (share - 0.12) / 0.88;
                vec![head(h), quantity(three_digits(share * power(h)), "W", Q::Power), flow(three_digits(q))]
            };
            let list = heads.iter().flat_map(|h| [0.25, 0.5, 0.75, 1.0].map(|share| row(*h, share)));
            d.set("pump", "duty", rows(list.collect()));
            if r.chance(0.4) {
                d.set("pump", "start_power", quantity(three_digits(0.1 * power(heads[0])), "W", Q::Power));
            }
        }
        "volt table" => {
            let row = |h: f64, share: f64| {
                let q = rated.flow * (1.2 - 0.2 * h / rated.lift_m) * (share - 0.2) / 0.8;
                let ampere = power(h) / rated.voltage_v * (0.25 + 0.75 * share);
                vec![
                    head(h),
                    quantity(share * rated.voltage_v, "V", Q::Voltage),
                    flow(three_digits(q)),
                    quantity(three_digits(ampere * 1.15), "A", Q::Current),
                ]
            };
            let list = heads.iter().flat_map(|h| [0.5, 0.75, 1.0].map(|share| row(*h, share)));
            d.set("pump", "voltage_table", rows(list.collect()));
        }
        "head-flow table" => {
            let row = |h: f64| {
                let q = rated.flow * (1.3 - 0.3 * h / rated.lift_m);
                vec![
                    head(h),
                    flow(three_digits(q)),
                    quantity(three_digits(1.15 * power(h) / rated.voltage_v), "A", Q::Current),
                ]
            };
            d.set("pump", "head_flow", rows(heads.map(row).to_vec()));
            d.set("pump", "voltage", quantity(0.9 * rated.voltage_v, "V", Q::Voltage));
        }
        "positive displacement" => displacement(d, r, rated),
        _ => centrifugal(d, r, rated),
    }
    if kind == "head-flow table" && r.chance(0.3) {
        d.set("pump", "flow_by_voltage", text("proportional"));
        d.set("pump", "principle", text("positive displacement"));
    } else if matches!(kind, "volt table" | "head-flow table") && r.chance(0.4) {
        d.set("pump", "start_voltage", quantity(three_digits(0.35 * rated.voltage_v), "V", Q::Voltage));
    }
    match kind {
        "duty table" => false,
        "centrifugal" => d.has("pump", "torque_constant"),
        _ => true,
    }
}

/// A permanent-magnet motor that gives a torque at a speed at the rated voltage; friction at most.
fn magnet(d: &mut Draft, r: &mut Random, rated: &Rated, rpm: f64, torque_nm: f64) {
    let constant = 0.85 * rated.voltage_v / (rpm * std::f64::consts::TAU / 60.0);
    let ampere = 1.15 * torque_nm / constant;
    d.set("pump", "torque_constant", quantity(three_digits(constant), "N m/A", Q::TorqueConstant));
    d.set(
        "pump",
        "armature_resistance",
        quantity(three_digits(0.12 * rated.voltage_v / ampere), "ohm", Q::Resistance),
    );
    if r.chance(0.6) {
        d.set("pump", "friction_torque", quantity(three_digits(0.08 * torque_nm), "N m", Q::Torque));
        if r.chance(0.6) {
            d.set("pump", "breakaway_torque", quantity(three_digits(0.2 * torque_nm), "N m", Q::Torque));
        }
    }
}

fn displacement(d: &mut Draft, r: &mut Random, rated: &Rated) {
    let rpm = r.between(1200.0, 2400.0);
    let ml_per_turn = three_digits(1000.0 * rated.flow / rpm);
    d.set("pump", "displacement", quantity(ml_per_turn, "mL/rev", Q::Displacement));
    if r.chance(0.5) {
        d.set(
            "pump",
            "slip",
            quantity(three_digits(0.1 * rated.flow / rated.lift_m), "L/min/m", Q::SpecificCapacity),
        );
    }
    let torque_nm = 9810.0 * rated.lift_m * ml_per_turn * 1e-6 / std::f64::consts::TAU;
    magnet(d, r, rated, rpm, torque_nm);
    d.set("pump", "highest_voltage", quantity(three_digits(1.1 * rated.voltage_v), "V", Q::Voltage));
    d.set("pump", "highest_head", head(three_digits(1.8 * rated.lift_m)));
}

fn centrifugal(d: &mut Draft, r: &mut Random, rated: &Rated) {
    d.set("pump", "rated_flow", flow(rated.flow));
    let rated_head = three_digits(1.25 * rated.lift_m);
    if r.chance(0.5) {
        d.set("pump", "rated_head", head(rated_head));
    } else {
        let curve = [(0.0, 1.3), (1.0, 1.0), (1.6, 0.5)];
        let list =
            curve.map(|(q, h)| vec![flow(three_digits(q * rated.flow)), head(three_digits(h * rated_head))]);
        d.set("pump", "curve", rows(list.to_vec()));
    }
    if r.chance(0.5) {
        d.set("pump", "efficiency", bare(r.between(0.4, 0.6)));
    } else {
        let curve = [(0.5, 0.42), (1.0, 0.55), (1.5, 0.4)];
        let list = curve.map(|(q, e)| vec![flow(three_digits(q * rated.flow)), percent(e)]);
        d.set("pump", "efficiency_curve", rows(list.to_vec()));
    }
    if r.chance(0.5) {
        d.set("pump", "motor_efficiency", bare(r.between(0.7, 0.85)));
    } else {
        let rpm = r.between(2400.0, 3000.0);
        d.set("pump", "rated_speed", quantity(rpm, "rpm", Q::Turning));
        let shaft_w = LIFTING_W * 0.06 * rated.flow * rated_head / 0.55;
        magnet(d, r, rated, rpm, shaft_w / (rpm * std::f64::consts::TAU / 60.0));
    }
}
