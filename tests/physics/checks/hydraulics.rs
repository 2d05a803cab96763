//! Pipe, well, pump and their operating point.

use super::{Evaluator, Row};
use dryspell::pipe::{
    FITTINGS, FrictionFactor, MATERIALS, Run, RunLaw, fittings_loss_m, hazen_williams_m,
    water_density_kg_per_m3, water_viscosity_m2_per_s,
};
use dryspell::pump::{DutyPoint, Pchip, Start, hydraulic_power_w};
use dryspell::supply::{
    HeadBuildUp, Settings, System, head_build_up, peak_hours_flow_m3_per_h, peak_hours_volume_m3_per_day,
    strings_needed, wire_power_w,
};
use dryspell::well::drawdown_m;
use dryspell::{pipe, pump, well};

const FOOT: f64 = 0.3048;
const INCH: f64 = 0.0254;
const GALLON_M3: f64 = 3.785_411_784e-3;
/// Gallons a minute in m³/h.
const GPM: f64 = GALLON_M3 * 60.0;
/// Pounds per square inch in feet of water.
const PSI_FT: f64 = 2.31;

pub const EVALUATORS: &[(&str, Evaluator)] = &[
    ("friction_factor", |r| FrictionFactor::new(r.number("roughness_ratio")).at(r.number("re"))),
    ("friction_m_per_100m", friction),
    ("hazen_williams_m_per_100m", hazen_williams),
    ("hazen_williams_ft", |r| hazen_williams(r) * r.number("length_ft") / 100.0),
    ("fittings_loss_m", |r| fittings_loss_m(r.number("k"), r.number("v"))),
    ("fitting_k", |r| named(FITTINGS, r)),
    ("material_roughness_mm", |r| 1000.0 * named(MATERIALS, r)),
    ("water_density", |r| water_density_kg_per_m3(r.number("degc"))),
    ("water_viscosity_1e-6_m2_per_s", |r| 1e6 * water_viscosity_m2_per_s(r.number("degc"))),
    ("pipe_volume_l_per_m", |r| 1000.0 * run(r.number("id_mm") / 1000.0, 1.0, 0.0, 0.0).volume_m3()),
    ("drawdown_m", |r| drawdown_m(3.6 * r.number("q_l_per_s"), 3600.0 * r.number("sc_m2_per_s"))),
    ("hydraulic_energy_wh", hydraulic_energy),
    ("hydraulic_power_w_per_ft_gpm", |r| hydraulic_power_w(r.number("density"), FOOT, GPM)),
    ("head_build_up_ft", head_ft),
    ("peak_hours_gpm", |r| {
        peak_hours_flow_m3_per_h(r.number("gal_per_day") * GALLON_M3, r.number("hours")) / GPM
    }),
    ("wire_power_w", |r| {
        wire_power_w(1000.0, r.number("head_ft") * FOOT, r.number("gpm") * GPM, r.number("efficiency"))
    }),
    ("strings_needed", |r| {
        strings_needed(r.number("power_w"), r.number("volts"), r.number("amperes"), r.number("derating"))
    }),
    ("peak_hours_gal_per_day", |r| {
        let head = r.number("head_ft") * FOOT;
        let [power, hours, efficiency] = ["power_w", "hours", "efficiency"].map(|n| r.number(n));
        peak_hours_volume_m3_per_day(1000.0, head, power, hours, efficiency) / GALLON_M3
    }),
    ("pchip", |r| curve(r).at(r.number("at"))),
    ("pchip_slope", |r| {
        let n: usize = r.text("point").parse().unwrap();
        curve(r).slopes()[n - 1]
    }),
    ("operating_flow_l_per_s", operating_flow),
];

fn curve(r: &Row) -> Pchip {
    Pchip::new(&r.numbers("x"), &r.numbers("y")).unwrap()
}

/// A value by trade name; the row writes spaces as underscores.
fn named(table: &[(&str, f64)], r: &Row) -> f64 {
    let name = r.text("name").replace('_', " ");
    table.iter().find(|(n, _)| *n == name).unwrap_or_else(|| panic!("{}: no {name}", r.id)).1
}

fn run(bore_m: f64, length_m: f64, roughness_m: f64, fittings_k: f64) -> Run {
    Run { name: "run".into(), length_m, bore_m, roughness_m, fittings_k }
}

fn friction(r: &Row) -> f64 {
    let pipe = run(r.number("id_mm") / 1000.0, 100.0, r.number("e_mm") / 1000.0, 0.0);
    RunLaw::new(&pipe, r.number("nu")).friction_m(3.6 * r.number("q_l_per_s"))
}

fn hazen_williams(r: &Row) -> f64 {
    let (flow, bore) = if r.inputs.contains_key("q_gpm") {
        (r.number("q_gpm") * GPM / 3600.0, r.number("id_in") * INCH)
    } else {
        (r.number("q_l_per_s") / 1000.0, r.number("id_mm") / 1000.0)
    };
    let loss = hazen_williams_m(flow, r.number("c"), bore, 100.0);
    if r.inputs.contains_key("psi") { loss / r.number("psi") } else { loss }
}

fn hydraulic_energy(r: &Row) -> f64 {
    let volume = if r.inputs.contains_key("gal") { r.number("gal") * GALLON_M3 } else { r.number("m3") };
    let head = if r.inputs.contains_key("head_ft") { r.number("head_ft") * FOOT } else { r.number("head_m") };
    // The energy of lifting a volume is the power of lifting it in one hour.
    hydraulic_power_w(1000.0, head, volume)
}

/// One part of the total dynamic head, in feet.
fn head_ft(r: &Row) -> f64 {
    let pipe = pipe::Settings {
        runs: vec![run(
            r.number("id_in") * INCH,
            r.number("length_ft") * FOOT,
            r.number("e_mm") / 1000.0,
            r.number("k"),
        )],
        inlet_height_m: r.number("inlet_ft") * FOOT,
        discharge_pressure_m: r.number_or("psi", 0.0) * PSI_FT * FOOT,
        water_degc: r.number("degc"),
    };
    let well = well::Settings {
        static_level_m: [r.number("level_ft") * FOOT; 12],
        specific_capacity_m3_per_h_m: None,
        yield_m3_per_h: None,
    };
    let pump = pump::Settings { duty: vec![], start: Start::Zero, tracking_efficiency: 1.0 };
    let built: HeadBuildUp = head_build_up(&Settings { pump, well, pipe }, 1, r.number("gpm") * GPM).unwrap();
    let part = match r.text("part") {
        "static" => built.static_lift_m,
        "friction" => built.friction_m,
        "fittings" => built.fittings_m,
        "discharge_pressure" => built.discharge_pressure_m,
        "total" => built.total_m,
        other => panic!("{}: part {other}", r.id),
    };
    part / FOOT
}

/// A centrifugal pump `80 n² − 20 Q²` (m, L/s) tabulated every metre for five speeds, on a system `30 + 5 Q²`.
fn operating_flow(r: &Row) -> f64 {
    let power = |n: f64| 2000.0 * n * n * n;
    let mut duty = Vec::new();
    for metre in 0..=80 {
        let head_m = f64::from(metre);
        for n in [0.6, 0.7, 0.8, 0.9, 1.0] {
            let flow = ((80.0 * n * n - head_m) / 20.0).max(0.0).sqrt();
            duty.push(DutyPoint { head_m, power_w: power(n), flow_m3_per_h: 3.6 * flow });
        }
    }
    // No length: fittings and exit make the whole loss, (K + 1) V²/2g = 5 Q² with V = 0.001 Q / area.
    let bore = 0.04;
    let area = std::f64::consts::PI * bore * bore / 4.0;
    let k = 5.0 * 2.0 * 9.80665 * (area / 0.001) * (area / 0.001) - 1.0;
    let settings = Settings {
        pump: pump::Settings { duty, start: Start::Zero, tracking_efficiency: 1.0 },
        well: well::Settings {
            static_level_m: [30.0; 12],
            specific_capacity_m3_per_h_m: None,
            yield_m3_per_h: None,
        },
        pipe: pipe::Settings {
            runs: vec![run(bore, 0.0, 0.0, k)],
            inlet_height_m: 0.0,
            discharge_pressure_m: 0.0,
            water_degc: 15.0,
        },
    };
    let system = System::new(&settings).unwrap_or_else(|f| panic!("{}: {}", r.id, f[0]));
    system.hour(1, power(r.number("n"))).flow_m3_per_h / 3.6
}
