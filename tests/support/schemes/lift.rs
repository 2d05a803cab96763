//! Everything up to the tank's inlet: well, pipe and coupling here, pump and panels sized to fit them.

use dryspell::units::Quantity as Q;

use super::super::random::{Random, three_digits};
use super::draft::{Draft, Value, bare, flow, head, quantity, rows, text};
use super::panels::panels;
use super::pump::{LIFTING_W, Rated, pump};

/// What the lift is to do.
#[derive(Debug, Clone, Copy)]
pub struct Duty {
    /// Flow in good sun, L/min.
    pub flow_l_per_min: f64,
    pub latitude_deg: f64,
}

/// Everything up to the tank's inlet.
pub fn draw(d: &mut Draft, r: &mut Random, duty: Duty) {
    let lift_m = well(d, r, duty);
    let power_w = LIFTING_W * (0.06 * duty.flow_l_per_min) * lift_m / 0.42;
    let voltage_v = *r.pick(&[24.0, 48.0, 60.0]);
    let kind = *r.pick(&[
        "duty table",
        "duty table",
        "volt table",
        "head-flow table",
        "positive displacement",
        "centrifugal",
    ]);
    let by_voltage = pump(d, r, kind, &Rated { lift_m, flow: duty.flow_l_per_min, power_w, voltage_v });
    coupling(d, r, by_voltage, power_w, voltage_v);
    panels(d, r, duty, power_w, voltage_v);
}

/// Well, pipe and inlet; the static lift.
fn well(d: &mut Draft, r: &mut Random, duty: Duty) -> f64 {
    let level_m = r.between(4.0, 55.0);
    let wiggle = 0.06 * level_m;
    if r.chance(0.3) {
        let months = (0..12).map(|_| head(three_digits(level_m + wiggle * (r.unit() - 0.5))));
        d.set("well", "static_level", Value::List(months.collect()));
    } else {
        d.set("well", "static_level", head(level_m));
    }
    // A drawdown of about 3 m at full flow.
    let capacity = duty.flow_l_per_min / r.between(1.5, 6.0);
    match r.below(5) {
        0 => {
            let steps = [0.5, 1.0, 1.5].map(|share| {
                let q = share * duty.flow_l_per_min;
                vec![flow(three_digits(q)), head(three_digits(q / capacity * (0.8 + 0.3 * share)))]
            });
            d.set("well", "step_test", rows(steps.to_vec()));
        }
        1 => {}
        _ => {
            d.set(
                "well",
                "specific_capacity",
                quantity(three_digits(capacity), "L/min/m", Q::SpecificCapacity),
            );
            if r.chance(0.4) {
                let m3_per_h = 0.06 * duty.flow_l_per_min;
                d.set(
                    "well",
                    "well_loss",
                    quantity(three_digits(0.8 * r.unit() / (m3_per_h * m3_per_h)), "h2/m5", Q::WellLoss),
                );
            }
        }
    }
    if r.chance(0.4) {
        d.set("well", "yield", flow(three_digits(duty.flow_l_per_min * r.between(0.5, 1.5))));
    }
    let known = d.has("well", "specific_capacity") || d.has("well", "step_test");
    let mut setting_m = level_m + 15.0;
    if r.chance(0.6) {
        setting_m = three_digits(level_m + wiggle + r.between(5.0, 15.0));
        d.set("well", "pump_setting", head(setting_m));
        if r.chance(0.4) {
            d.set("well", "submergence", head(r.between(0.2, 1.5)));
        }
        if r.chance(0.5) {
            d.set("well", "cut_out", head(three_digits(setting_m - 1.6)));
        }
        // A restart wants the water in the bore, and that how fast it comes back.
        if known && r.chance(0.5) {
            bore(d, r);
            if r.chance(0.5) {
                d.set("well", "restart_delay", quantity(*r.pick(&[20.0, 30.0, 90.0]), "min", Q::Duration));
            } else {
                d.set("well", "restart_level", head(three_digits(level_m + wiggle + 1.0)));
            }
        }
    }
    if known && r.chance(0.2) {
        bore(d, r);
    }
    if r.chance(0.5) {
        d.set("well", "water_temperature", quantity(r.between(4.0, 18.0), "degC", Q::Temperature));
    }
    let inlet_m = r.between(1.0, 15.0);
    d.set("tank.main", "inlet_height", head(inlet_m));
    let pressure_kpa = if r.chance(0.2) { r.between(5.0, 40.0) } else { 0.0 };
    if pressure_kpa > 0.0 {
        d.set("tank.main", "discharge_pressure", quantity(pressure_kpa, "kPa", Q::Pressure));
    }
    pipes(d, r, duty, setting_m);
    if r.chance(0.3) {
        d.set("rules", "pipe_friction", text(*r.pick(&["darcy-weisbach", "hazen-williams"])));
    }
    level_m + wiggle + inlet_m + pressure_kpa / 9.8 + 4.0
}

fn bore(d: &mut Draft, r: &mut Random) {
    d.set("well", "bore", quantity(*r.pick(&[100.0, 125.0, 150.0]), "mm", Q::Length));
    if r.chance(0.6) {
        d.set("well", "drop_pipe_diameter", quantity(*r.pick(&[32.0, 40.0, 50.0]), "mm", Q::Length));
    }
}

fn pipes(d: &mut Draft, r: &mut Random, duty: Duty, setting_m: f64) {
    let bore_mm = if duty.flow_l_per_min < 25.0 {
        32.6
    } else if duty.flow_l_per_min < 70.0 {
        51.4
    } else {
        90.0
    };
    run(d, r, "pipe.drop", three_digits(setting_m), bore_mm);
    if r.chance(0.25) {
        d.set("pipe.drop", "weep_hole", quantity(*r.pick(&[1.0, 1.6, 2.4]), "mm", Q::Length));
        d.set("pipe.drop", "weep_hole_depth", head(r.between(0.5, 2.0)));
        if r.chance(0.5) {
            d.set("pipe.drop", "weep_hole_coefficient", bare(r.between(0.6, 0.85)));
        }
    }
    if r.chance(0.8) {
        let length_m = r.between(10.0, 300.0);
        run(d, r, "pipe.buried", length_m, bore_mm);
        if d.has("pipe.drop", "weep_hole") && r.chance(0.6) {
            d.set("pipe.buried", "drains_back", bare(r.chance(0.7)));
        }
    }
    if r.chance(0.3) {
        let length_m = r.between(1.0, 10.0);
        run(d, r, "pipe.riser", length_m, bore_mm);
    }
}

/// One run of pipe.
pub fn run(d: &mut Draft, r: &mut Random, path: &str, length_m: f64, bore_mm: f64) {
    d.set(path, "length", head(length_m));
    d.set(path, "bore", quantity(bore_mm, "mm", Q::Length));
    if r.chance(0.25) {
        d.set(path, "roughness", quantity(r.between(0.001, 0.05), "mm", Q::Length));
    } else {
        d.set(path, "material", text(*r.pick(&["pe", "plastic", "pvc", "steel"])));
    }
    if r.chance(0.5) {
        let kinds = ["elbow", "gate_valve", "swing_check", "tee_run"];
        let first = r.below(3);
        let fittings = kinds[first..=first + 1].iter().map(|k| ((*k).to_owned(), bare(1 + r.below(4))));
        d.set(path, "fittings", Value::Inline(fittings.collect()));
    }
    if r.chance(0.2) {
        d.set(path, "hazen_williams_c", bare(r.between(120.0, 150.0)));
    }
    if r.chance(0.2) {
        d.set(path, "pressure_class", quantity(*r.pick(&[600.0, 1000.0, 1600.0]), "kPa", Q::Pressure));
    }
}

fn coupling(d: &mut Draft, r: &mut Random, by_voltage: bool, power_w: f64, voltage_v: f64) {
    let at = "coupling";
    let kind = if by_voltage { r.below(3) } else { 0 };
    match kind {
        1 => {
            d.set(at, "kind", text("linear current booster"));
            if r.chance(0.5) {
                d.set(at, "efficiency", bare(r.between(0.9, 0.97)));
            }
            if r.chance(0.5) {
                d.set(at, "bypass", bare(r.chance(0.5)));
            }
            if r.chance(0.4) {
                d.set(
                    at,
                    "current_limit",
                    quantity(three_digits(1.5 * power_w / voltage_v), "A", Q::Current),
                );
            }
        }
        2 => d.set(at, "kind", text("direct")),
        _ => {
            if r.chance(0.3) {
                d.set(at, "kind", text("maximum power tracking"));
            }
            if r.chance(0.4) {
                d.set(at, "tracker_inputs", text(if r.chance(0.5) { "common" } else { "one each" }));
            }
            match r.below(4) {
                0 => d.set(at, "efficiency", bare(r.between(0.9, 0.98))),
                1 => {
                    let curve = [(10.0, 80.0), (50.0, 96.0), (100.0, 94.0)];
                    let list = curve.map(|(load, e)| {
                        vec![quantity(load, "%", Q::Fraction), quantity(e, "%", Q::Fraction)]
                    });
                    d.set(at, "efficiency_curve", rows(list.to_vec()));
                    d.set(at, "rated_power", quantity(three_digits(1.5 * power_w), "W", Q::Power));
                }
                2 => d.set("pump", "tracking_efficiency", bare(r.between(0.9, 0.98))),
                _ => {}
            }
            if r.chance(0.3) {
                d.set(at, "rated_power", quantity(three_digits(1.2 * power_w), "W", Q::Power));
            }
            if r.chance(0.3) {
                d.set(
                    at,
                    "lowest_tracking_voltage",
                    quantity(three_digits(0.5 * voltage_v), "V", Q::Voltage),
                );
                d.set(
                    at,
                    "highest_tracking_voltage",
                    quantity(three_digits(3.0 * voltage_v), "V", Q::Voltage),
                );
            }
            if r.chance(0.3) {
                d.set(at, "highest_voltage", quantity(600.0, "V", Q::Voltage));
                d.set(at, "record_low", quantity(-r.between(5.0, 40.0), "degC", Q::Temperature));
            }
        }
    }
}
