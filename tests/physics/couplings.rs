//! Each coupling with each kind of pump on a real typical year.
#![allow(
    clippy::print_stdout,
    reason = "the table of volumes and thresholds is worth seeing with --nocapture"
)]

use crate::checks::array::module;
use crate::support::data;
use crate::tmy3;
use dryspell::array::incidence::Glass;
use dryspell::array::soiling::Soiling;
use dryspell::array::{ArraySettings, Faiman, Module};
use dryspell::coupling::{self, Booster};
use dryspell::curve::sun_curve;
use dryspell::fault::FaultKind;
use dryspell::pipe::{self, Run};
use dryspell::plan::Plan;
use dryspell::pump::{
    CentrifugalSettings, DisplacementSettings, DutyPoint, Motor, PermanentMagnet, PumpEfficiency, RatedCurve,
    Settings, Start, VoltPoint, VoltTable, hydraulic_power_w,
};
use dryspell::scheme::{STARTER, Scheme};
use dryspell::simulate::simulate;
use dryspell::{supply, well};

const LITRE_PER_MINUTE: f64 = 0.06;

/// Rows of head and, for each voltage, flow (L/min) and current (A).
fn volt_rows(voltages: &[f64]) -> Vec<VoltPoint> {
    let table = [
        (10.0, [(12.0, 3.2, 1.9), (24.0, 8.0, 2.1), (36.0, 12.8, 2.3)]),
        (25.0, [(12.0, 2.2, 2.9), (24.0, 7.0, 3.1), (36.0, 11.8, 3.3)]),
        (40.0, [(12.0, 1.2, 3.9), (24.0, 6.0, 4.1), (36.0, 10.8, 4.3)]),
    ];
    let mut rows = Vec::new();
    for (head_m, points) in table {
        for (voltage_v, flow, current_a) in points {
            if voltages.contains(&voltage_v) {
                rows.push(VoltPoint { head_m, voltage_v, flow_m3_per_h: flow * LITRE_PER_MINUTE, current_a });
            }
        }
    }
    rows
}

const MOTOR: PermanentMagnet = PermanentMagnet { armature_ohm: 0.8, constant_nm_per_a: 0.12 };

pub fn pumps() -> Vec<(&'static str, Settings)> {
    let duty = volt_rows(&[12.0, 24.0, 36.0])
        .iter()
        .map(|p| DutyPoint {
            head_m: p.head_m,
            power_w: p.voltage_v * p.current_a,
            flow_m3_per_h: p.flow_m3_per_h,
        })
        .collect();
    let volts = |voltages: &[f64], start, one_voltage| {
        Settings::Volts(VoltTable { rows: volt_rows(voltages), start, one_voltage })
    };
    vec![
        ("duty table", Settings::duty(duty, Start::Zero)),
        ("volt table", volts(&[12.0, 24.0, 36.0], Start::Zero, false)),
        ("head-flow table", volts(&[24.0], Start::From(6.0), true)),
        (
            "displacement",
            Settings::Displacement(DisplacementSettings {
                displacement_m3: 7e-6,
                slip_m3_per_h_m: 0.01 * LITRE_PER_MINUTE,
                motor: MOTOR,
                friction_torque_nm: 0.12,
                breakaway_torque_nm: 0.18,
                highest_voltage_v: 45.0,
                highest_head_m: 60.0,
            }),
        ),
        (
            "centrifugal",
            Settings::Centrifugal(CentrifugalSettings {
                rated_flow_m3_per_h: 15.0 * LITRE_PER_MINUTE,
                curve: RatedCurve::OnePoint { head_m: 22.0 },
                efficiency: PumpEfficiency::Best(0.45),
                motor: Motor::PermanentMagnet {
                    motor: PermanentMagnet { armature_ohm: 0.8, constant_nm_per_a: 0.1 },
                    rated_speed_rad_per_s: 304.0,
                    friction_torque_nm: 0.03,
                    breakaway_torque_nm: 0.06,
                },
            }),
        ),
    ]
}

fn booster(bypass: bool) -> coupling::Settings {
    coupling::Settings::Booster(Booster { efficiency: 0.95, bypass, current_limit_a: None })
}

fn couplings() -> [(&'static str, coupling::Settings); 4] {
    [
        ("tracking", coupling::Settings::tracking(0.97)),
        ("booster, bypass", booster(true)),
        ("booster", booster(false)),
        ("direct", coupling::Settings::Direct),
    ]
}

/// Two panels of 80 W in series on a well of 12 m and a tank of 3 m.
fn plan() -> Plan {
    let mut plan = Scheme::from_toml(STARTER).unwrap().plan();
    plan.array.arrays = vec![ArraySettings {
        name: "pole".into(),
        tilt_deg: 36.0,
        seasons: vec![],
        azimuth_deg: 180.0,
        module: Module::Parameters(module("m36")),
        series: 2,
        parallel: 1,
        soiling: Soiling::Share(0.03),
        mismatch: 0.02,
        cable_ohm: 0.2,
        glass: Glass::Fresnel,
        faiman: Faiman::default(),
        slope_strings: 1,
    }];
    plan.supply.well = well::Settings {
        static_level_m: [12.0; 12],
        specific_capacity_m3_per_h_m: Some(0.6),
        ..well::Settings::default()
    };
    plan.supply.pipe = pipe::Settings {
        runs: vec![Run {
            name: "drop".into(),
            length_m: 30.0,
            bore_m: 0.026,
            roughness_m: 1.5e-6,
            fittings_k: 3.0,
            ..Run::default()
        }],
        inlet_height_m: 3.0,
        water_degc: 12.0,
        ..pipe::Settings::default()
    };
    plan
}

#[test]
fn each_coupling_with_each_pump_on_a_real_year() {
    let record = tmy3::read(&data("weather/723170TYA.CSV"));
    println!(
        "{:16} {:16} {:>9} {:>8} {:>10} {:>8}",
        "pump", "coupling", "m3/year", "hours", "start W/m2", "Wh/m3"
    );
    let mut volumes = Vec::new();
    for (pump_name, pump) in pumps() {
        for (coupling_name, coupling) in couplings() {
            let mut plan = plan();
            plan.supply.pump = pump.clone();
            plan.supply.coupling = coupling.clone();
            if matches!(pump, Settings::Duty(_)) && !matches!(coupling, coupling::Settings::Tracking(_)) {
                let faults = simulate(&plan, &record).unwrap_err();
                assert_eq!(faults.len(), 1, "{faults:?}");
                assert_eq!(faults[0].kind, FaultKind::Contradiction);
                assert_eq!(faults[0].location.key.as_deref(), Some("coupling.kind"));
                assert!(faults[0].found.contains("no voltage"), "{}", faults[0]);
                println!("{pump_name:16} {coupling_name:16} refused: no voltage");
                continue;
            }
            // A ledger that does not close would be an error here.
            let run =
                simulate(&plan, &record).unwrap_or_else(|f| panic!("{pump_name}, {coupling_name}: {}", f[0]));
            let energy_wh: f64 = run.array.array_w.iter().sum();
            let volume = run.supply.ledger.available_m3;
            let most = 0.6 * energy_wh / hydraulic_power_w(999.5, 15.0, 1.0);
            assert!(volume > 0.0 && volume < most, "{pump_name}, {coupling_name}: {volume} of {most} m3");
            assert!(run.supply.ledger.residual() < 1e-12);
            let taken: f64 = run.supply.power_w.iter().sum();
            assert!(taken < energy_wh);
            let start = sun_curve(&plan, 6).unwrap().start_w_per_m2[1].unwrap();
            let hours = run.supply.lifted_m3.iter().filter(|m3| **m3 > 0.0).count();
            println!(
                "{pump_name:16} {coupling_name:16} {volume:9.1} {hours:8} {start:10.0} {:8.1}",
                taken / volume
            );
            volumes.push((pump_name, coupling_name, volume, start));
        }
    }
    let of = |pump: &str, coupling: &str| {
        volumes.iter().find(|v| v.0 == pump && v.1 == coupling).map(|v| (v.2, v.3)).unwrap()
    };
    for (pump, _) in pumps().into_iter().skip(1) {
        let (direct, bypass) = (of(pump, "direct"), of(pump, "booster, bypass"));
        assert!(bypass.0 >= direct.0 * (1.0 - 1e-9), "{pump}: {bypass:?} against {direct:?}");
        assert!(of(pump, "booster").0 <= bypass.0 * (1.0 + 1e-9));
        // What a booster is for: it starts in less sun.
        assert!(bypass.1 <= direct.1 + 0.2, "{pump}: {bypass:?} against {direct:?}");
    }
}

#[test]
fn the_couplings_of_the_shipped_case_differ() {
    let record = tmy3::read(&data("weather/723170TYA.CSV"));
    let text = std::fs::read_to_string(data("demo/brushed.toml")).unwrap();
    let plan = Scheme::from_toml(&text).unwrap_or_else(|f| panic!("{}", f[0])).plan();
    let volume = |coupling: coupling::Settings| {
        let mut plan = plan.clone();
        plan.supply.coupling = coupling;
        let run = simulate(&plan, &record).unwrap();
        let ledger = run.supply.ledger;
        println!(
            "{:24} lifted {:.1}, weep {:.1}, riser refill {:.1}, available {:.1} m3; {} stops at the cut-out",
            plan.supply.coupling.word(),
            ledger.lifted_m3,
            ledger.weep_m3,
            ledger.riser_refill_m3,
            ledger.available_m3,
            run.supply.cut_out_stops
        );
        assert!(ledger.residual() < 1e-9);
        assert!(ledger.weep_m3 > 0.0 && ledger.riser_refill_m3 > 0.0 && ledger.available_m3 > 0.0);
        assert!(run.supply.cut_out_stops > 0, "the weak well is felt");
        ledger.available_m3
    };
    let [tracking, booster, direct] =
        [coupling::Settings::tracking(0.97), booster(true), coupling::Settings::Direct].map(volume);
    for (a, b) in [(tracking, booster), (booster, direct), (tracking, direct)] {
        assert!((a / b - 1.0).abs() > 0.01, "{a} and {b}");
    }
    assert!(booster >= direct);
    // The scheme as it is shipped is the booster's.
    let shipped = supply::Settings { coupling: booster_of(&plan), ..plan.supply.clone() };
    assert_eq!(shipped, plan.supply);
}

fn booster_of(plan: &Plan) -> coupling::Settings {
    let coupling::Settings::Booster(b) = plan.supply.coupling else { panic!("{:?}", plan.supply.coupling) };
    assert!(b.bypass && b.efficiency > 0.92);
    coupling::Settings::Booster(b)
}
