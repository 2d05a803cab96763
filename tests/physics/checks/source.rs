//! Couplings, pump kinds, well and weep hole.

use super::{Evaluator, Row};
use dryspell::array::Terminals;
use dryspell::array::circuit::{Circuit, Strings};
use dryspell::array::one_diode::Curve;
use dryspell::coupling::{self, Booster, Power};
use dryspell::pipe::{self, Line, Run, WeepHole, drain_down_h, orifice_m3_per_h, water_density_kg_per_m3};
use dryspell::pump::{
    self, CentrifugalSettings, DisplacementSettings, HeadCurve, Machine, Meeting, Motor, PermanentMagnet,
    PumpEfficiency, RatedCurve, Site, Start, Surface, VoltPoint, VoltPump, VoltTable, hydraulic_power_w,
};
use dryspell::supply::{Hour, Settings, System};
use dryspell::well::{self, Aquifer, Bore, drawdown_m, step_test, well_function};
use std::f64::consts::PI;

const FOOT: f64 = 0.3048;
const GALLON_M3: f64 = 3.785_411_784e-3;
const GPM: f64 = GALLON_M3 * 60.0;

pub const EVALUATORS: &[(&str, Evaluator)] = &[
    ("motor_array", motor_array),
    ("motor_constant_torque", motor_constant_torque),
    ("motor_square_torque", motor_square_torque),
    ("motor_current", |r| motor(r).current_at(r.number("v"), omega(r))),
    ("motor_output_w", |r| {
        let current = motor(r).current_at(r.number("v"), omega(r));
        r.number("k") * omega(r) * current - r.number("loss")
    }),
    ("motor_speed_rpm", |r| motor(r).speed_rad_per_s(r.number("v"), r.number("i")) * 30.0 / PI),
    ("motor_current_of_torque", |r| motor(r).current_a(r.number("torque"))),
    ("pump_curve_m", |r| curve(r).head_m(r.number("q"))),
    ("affinity_speed", |r| curve(r).speed(r.number("q"), r.number("h"))),
    ("affinity_flow", affinity_flow),
    ("orifice_l_per_min", |r| {
        orifice_m3_per_h(r.number("cd"), circle(r.number("d_mm") / 1000.0), r.number("h")) / 0.06
    }),
    ("drain_down_min", |r| {
        let (pipe, hole) = (circle(r.number("id_mm") / 1000.0), circle(r.number("d_mm") / 1000.0));
        60.0 * drain_down_h(pipe, r.number("h"), r.number("cd"), hole)
    }),
    ("drain_back_l", |r| {
        let run =
            Run { name: "drop".into(), length_m: 30.0, bore_m: r.number("id_mm") / 1000.0, ..Run::default() };
        let hole = WeepHole {
            run: 0,
            depth_m: r.number("above_m"),
            diameter_m: 0.0254 / 16.0,
            discharge_coefficient: 0.61,
        };
        let settings = pipe::Settings { runs: vec![run], weep_hole: Some(hole), ..Default::default() };
        1000.0 * Line::new(&settings).unwrap().drains_m3()
    }),
    ("well_function", |r| well_function(r.number("u"))),
    ("superposition_m", |r| {
        let aquifer =
            Aquifer { transmissivity_m2_per_h: 100.3 / 24.0, storativity: 9.92e-4, distance_m: 5.0 };
        let flows = [(0.0, 500.0 / 24.0), (0.5, 700.0 / 24.0), (4.0 / 3.0, 600.0 / 24.0)];
        aquifer.drawdown_m(&flows, r.number("t_s") / 3600.0)
    }),
    ("step_test_b", |r| steps(r).0),
    ("step_test_c", |r| steps(r).1),
    ("bore_m", |r| bore(r).advance(0.0, 3600.0 * r.number("q"), r.number("t") / 3600.0).0),
    ("bore_recovery_s", |r| {
        let from = r.number("q") / r.number("sc");
        let back = bore(r).time_to(from, 0.0, from * (1.0 - r.number("share")), 1e4).unwrap();
        3600.0 * back
    }),
    ("bore_minutes", |r| {
        // The trade's own figures: a bore of so many gallons a foot, an inflow that does not depend on the level.
        let area_m2 = r.number("gal_per_ft") * GALLON_M3 / FOOT;
        let inflow = r.number("inflow_gpm") * GPM;
        let bore = Bore { area_m2, specific_capacity_m3_per_h_m: 1e9, yield_m3_per_h: Some(inflow) };
        60.0 * bore.time_to(0.0, r.number("draw_gpm") * GPM, r.number("feet") * FOOT, 10.0).unwrap()
    }),
    ("drawdown_q2_m", |r| drawdown_m(r.number("q"), r.number("b"), r.number("c"))),
    ("diaphragm_efficiency", diaphragm),
    ("flow_proportional", |r| scaled(r, Start::Proportional)),
    ("flow_same_loss", |r| scaled(r, Start::SameLoss)),
];

fn circle(diameter_m: f64) -> f64 {
    PI * diameter_m * diameter_m / 4.0
}

fn motor(r: &Row) -> PermanentMagnet {
    PermanentMagnet { armature_ohm: r.number("r"), constant_nm_per_a: r.number("k") }
}

fn omega(r: &Row) -> f64 {
    r.number("rpm") * PI / 30.0
}

fn circuit(r: &Row) -> Circuit {
    let curve = Curve {
        photocurrent_a: 5.0 * r.number("g") / 1000.0,
        saturation_current_a: 2e-9,
        series_resistance_ohm: 0.3,
        shunt_conductance_per_ohm: 1.0 / 200.0,
        modified_ideality_v: 1.95,
    };
    Circuit { strings: vec![Strings::new(&curve, 1, 1, 0.0, 0.0)] }
}

fn motor_array(r: &Row) -> f64 {
    let circuit = circuit(r);
    match r.text("out") {
        "isc" => circuit.current_a(0.0),
        "voc" => circuit.open_circuit_v(),
        _ => circuit.maximum_power().power_w,
    }
}

const MOTOR: PermanentMagnet = PermanentMagnet { armature_ohm: 0.8, constant_nm_per_a: 0.12 };

/// The hour of a pump on a well that stands at the tank's height.
fn hour(r: &Row, pump: pump::Settings, coupling: coupling::Settings, pipe: pipe::Settings) -> Hour {
    let settings = Settings { pump, coupling, well: well::Settings::default(), pipe };
    let system = System::new(&settings).unwrap_or_else(|f| panic!("{}: {}", r.id, f[0]));
    let circuit = circuit(r);
    system.hour_on(1, &Power::of(&circuit, Terminals::Common))
}

fn read(r: &Row, hour: &Hour) -> f64 {
    match r.text("out") {
        "v" => hour.voltage_v.unwrap(),
        "i" => hour.current_a.unwrap(),
        "speed" => hour.speed_rad_per_s.unwrap(),
        "p" => hour.power_taken_w,
        "flow" => hour.flow_m3_per_h,
        other => panic!("{}: {other}", r.id),
    }
}

/// A displacement pump without head: its friction is the whole torque.
fn motor_constant_torque(r: &Row) -> f64 {
    let pump = pump::Settings::Displacement(DisplacementSettings {
        displacement_m3: 10e-6,
        slip_m3_per_h_m: 0.0,
        motor: MOTOR,
        friction_torque_nm: 0.42,
        breakaway_torque_nm: 0.42,
        highest_voltage_v: 80.0,
        highest_head_m: 10.0,
    });
    let coupling = match r.text("coupling") {
        "direct" => coupling::Settings::Direct,
        "booster" => {
            coupling::Settings::Booster(Booster { efficiency: 0.95, bypass: false, current_limit_a: None })
        }
        _ => coupling::Settings::tracking(0.95),
    };
    let pipe = pipe::Settings { water_degc: 15.0, ..Default::default() };
    read(r, &hour(r, pump, coupling, pipe))
}

/// Fittings alone, K chosen so that the loss is `a q²` with q in L/s.
fn square_pipe(a: f64) -> pipe::Settings {
    let bore_m = 0.04;
    let per_flow = 0.001 / circle(bore_m);
    let fittings_k = a * 2.0 * 9.80665 / (per_flow * per_flow) - 1.0;
    let run = Run { name: "run".into(), bore_m, fittings_k, ..Run::default() };
    pipe::Settings { runs: vec![run], water_degc: 15.0, ..Default::default() }
}

/// A centrifugal pump on friction alone works at one point of its curve at any speed, so that its shaft's torque is as
/// the square of speed; its efficiency is set so that the factor is 1.2e-5.
fn motor_square_torque(r: &Row) -> f64 {
    let rated_speed_rad_per_s = 300.0;
    // 8 n² − 2 q² on 0.5 q²: q = √(8/2.5) n.
    let x = (8.0_f64 / 2.5).sqrt();
    let shaft_w = 1.2e-5 * 300.0 * 300.0 * 300.0;
    let lift = hydraulic_power_w(water_density_kg_per_m3(15.0), 8.0, 3.6) * (1.0 + 0.5 * x) / 2.0;
    let pump = pump::Settings::Centrifugal(CentrifugalSettings {
        rated_flow_m3_per_h: 3.6,
        curve: RatedCurve::OnePoint { head_m: 6.0 },
        efficiency: PumpEfficiency::Best(lift / shaft_w),
        motor: Motor::PermanentMagnet {
            motor: MOTOR,
            rated_speed_rad_per_s,
            friction_torque_nm: 0.02,
            breakaway_torque_nm: 0.02,
        },
    });
    read(r, &hour(r, pump, coupling::Settings::Direct, square_pipe(0.5)))
}

fn curve(r: &Row) -> HeadCurve {
    let rated = if r.inputs.contains_key("curve") {
        RatedCurve::Points(r.numbers("curve").chunks(2).map(|p| (p[0], p[1])).collect())
    } else {
        RatedCurve::OnePoint { head_m: r.number("h_star") }
    };
    HeadCurve::new(r.number("q_star"), &rated).unwrap()
}

/// The pump 80 n² − 20 q² on 30 + 5 q², given the power that it takes at speed n and that flow.
fn affinity_flow(r: &Row) -> f64 {
    let n = r.number("n");
    let settings = CentrifugalSettings {
        rated_flow_m3_per_h: 3.6,
        curve: RatedCurve::OnePoint { head_m: 60.0 },
        efficiency: PumpEfficiency::Best(0.6),
        motor: Motor::Efficiency(0.8),
    };
    let pipe = square_pipe(5.0);
    let machine = pump::Centrifugal::new(&settings, water_density_kg_per_m3(15.0)).unwrap();
    let system = System::new(&Settings {
        pump: pump::Settings::Centrifugal(settings),
        coupling: coupling::Settings::tracking(1.0),
        well: well::Settings { static_level_m: [30.0; 12], ..Default::default() },
        pipe,
    })
    .unwrap();
    // At which power does the operating point have this speed? Shaft power rises with it.
    let speed = |watts: f64| {
        let hour = system.hour(1, watts);
        machine.speed(hour.flow_m3_per_h, hour.head.total_m())
    };
    let (mut low, mut high) = (1.0, 3000.0);
    while high - low > 1e-10 * high {
        let middle = 0.5 * (low + high);
        if speed(middle) < n { low = middle } else { high = middle }
    }
    system.hour(1, high).flow_m3_per_h / 3.6
}

fn steps(r: &Row) -> (f64, f64) {
    let list: Vec<(f64, f64)> = r.numbers("steps").chunks(2).map(|p| (p[0], p[1])).collect();
    step_test(&list).unwrap()
}

fn bore(r: &Row) -> Bore {
    Bore {
        area_m2: circle(0.1524),
        specific_capacity_m3_per_h_m: 3600.0 * r.number("sc"),
        yield_m3_per_h: None,
    }
}

/// A head that does not depend on flow.
struct Still(f64);

impl Site for Still {
    fn head_m(&self, _: f64) -> f64 {
        self.0
    }

    fn meet(&self, surface: &Surface, _: f64, flows: &[f64]) -> Meeting {
        let place = surface.place(self.0);
        let next = flows.get(place.index + 1).copied().unwrap_or(0.0);
        let flow_m3_per_h = flows[place.index] * (1.0 - place.weight) + next * place.weight;
        Meeting { flow_m3_per_h, place, table_end: false, below_lowest_head: false }
    }
}

/// Flow of a table at one voltage, scaled to another: rows at 10 m and 40 m.
fn scaled(r: &Row, start: Start) -> f64 {
    let row = |head_m: f64, flow: &str| VoltPoint {
        head_m,
        voltage_v: 24.0,
        flow_m3_per_h: r.number(flow),
        current_a: 4.0,
    };
    let rows = vec![row(10.0, "low"), row(40.0, "high")];
    let pump = VoltPump::new(&VoltTable { rows, start, one_voltage: true }).unwrap();
    pump.flow_m3_per_h(r.number("head"), r.number("voltage"))
}

/// Wire-to-water efficiency of a diaphragm booster's table at one voltage: 6 gpm open, a trickle at 160 ft, 18 A.
fn diaphragm(r: &Row) -> f64 {
    let rows = [(0.0, 6.0), (40.0, 4.5), (80.0, 3.0), (120.0, 1.5), (160.0, 0.02)]
        .iter()
        .map(|&(feet, gpm)| VoltPoint {
            head_m: feet * FOOT,
            voltage_v: 12.0,
            flow_m3_per_h: gpm * GPM,
            current_a: 18.0,
        })
        .collect();
    let pump = VoltPump::new(&VoltTable { rows, start: Start::Zero, one_voltage: true }).unwrap();
    let efficiency = |feet: f64| {
        let running = pump.run(12.0, &Still(feet * FOOT), &mut Vec::new());
        hydraulic_power_w(1000.0, feet * FOOT, running.flow_m3_per_h) / running.power_w
    };
    let feet = (0..=160).map(f64::from);
    match r.text("part") {
        "best" => feet.map(efficiency).fold(0.0, f64::max),
        "100ft" => efficiency(100.0),
        _ => feet.map(|f| f64::from(u8::from((0.0..0.5).contains(&efficiency(f))))).sum::<f64>() / 161.0,
    }
}
