//! Couplings, pumps, well and pipe: what must hold for any of them, and each exception to it.

mod exceptions;
mod refusals;
mod stops;

use crate::checks::array::module;
use dryspell::array::Terminals;
use dryspell::array::circuit::{Circuit, Wiring};
use dryspell::calendar::Calendar;
use dryspell::coupling::{self, Booster, Power, Tracking};
use dryspell::pipe::{self, Run, WeepHole};
use dryspell::pump::{
    CentrifugalSettings, DisplacementSettings, DutyPoint, Machine, Meeting, Motor, PermanentMagnet,
    PumpEfficiency, RatedCurve, Settings as Pump, Site, Start, Surface, VoltPoint, VoltTable,
};
use dryspell::supply::{Hour, Limit, Settings, State, System, supply};
use dryspell::well::{self, BoreSize, Restart};
use proptest::prelude::*;

fn wiring(series: u32, cable_ohm: f64) -> Wiring {
    Wiring { module: module("m36"), series, parallel: 1, cable_ohm, mismatch: 0.02 }
}

fn circuit(wiring: &Wiring, light: f64, cell: f64) -> Circuit {
    Circuit { strings: wiring.string(light, cell).into_iter().collect() }
}

/// One hour from rest in this light and heat.
fn hour(system: &System, wiring: &Wiring, light: f64, cell: f64) -> Hour {
    step(system, &mut system.at_rest(), wiring, light, cell)
}

fn step(system: &System, state: &mut State, wiring: &Wiring, light: f64, cell: f64) -> Hour {
    let circuit = circuit(wiring, light, cell);
    system.step(state, 6, &Power::of(&circuit, Terminals::Common), 1.0, &mut Vec::new())
}

const MOTOR: PermanentMagnet = PermanentMagnet { armature_ohm: 0.8, constant_nm_per_a: 0.12 };

fn displacement(friction: f64, breakaway: f64) -> Pump {
    Pump::Displacement(DisplacementSettings {
        displacement_m3: 7e-6,
        slip_m3_per_h_m: 0.0006,
        motor: MOTOR,
        friction_torque_nm: friction,
        breakaway_torque_nm: breakaway,
        highest_voltage_v: 45.0,
        highest_head_m: 90.0,
    })
}

fn centrifugal(rated: RatedCurve) -> Pump {
    Pump::Centrifugal(CentrifugalSettings {
        rated_flow_m3_per_h: 0.9,
        curve: rated,
        efficiency: PumpEfficiency::Best(0.45),
        motor: Motor::PermanentMagnet {
            motor: PermanentMagnet { armature_ohm: 0.8, constant_nm_per_a: 0.1 },
            rated_speed_rad_per_s: 304.0,
            friction_torque_nm: 0.03,
            breakaway_torque_nm: 0.06,
        },
    })
}

fn volt_rows() -> Vec<VoltPoint> {
    let row = |head_m, voltage_v, flow, current_a| VoltPoint {
        head_m,
        voltage_v,
        flow_m3_per_h: 0.06 * flow,
        current_a,
    };
    vec![
        row(5.0, 12.0, 3.2, 1.9),
        row(5.0, 24.0, 8.0, 2.1),
        row(5.0, 36.0, 12.8, 2.3),
        row(40.0, 12.0, 1.2, 3.9),
        row(40.0, 24.0, 6.0, 4.1),
        row(40.0, 36.0, 10.8, 4.3),
        row(70.0, 24.0, 3.0, 4.4),
        row(70.0, 36.0, 7.8, 4.6),
    ]
}

/// A pump of any kind.
fn any_pump() -> impl Strategy<Value = Pump> {
    let start = prop_oneof![Just(Start::Zero), (1.0..11.0_f64).prop_map(Start::From)];
    let duty = volt_rows()
        .iter()
        .map(|p| DutyPoint {
            head_m: p.head_m,
            power_w: p.voltage_v * p.current_a,
            flow_m3_per_h: p.flow_m3_per_h,
        })
        .collect::<Vec<_>>();
    prop_oneof![
        Just(Pump::duty(duty, Start::Zero)),
        start.prop_map(|start| Pump::Volts(VoltTable { rows: volt_rows(), start, one_voltage: false })),
        (0.0..0.3_f64, 0.0..0.2_f64).prop_map(|(f, more)| displacement(f, f + more)),
        (15.0..60.0_f64).prop_map(|head_m| centrifugal(RatedCurve::OnePoint { head_m })),
        (25.0..60.0_f64, 0.2..0.8_f64, 0.0..0.6_f64).prop_map(|(top, middle, end)| {
            centrifugal(RatedCurve::Points(vec![
                (0.0, top),
                (0.9, top * (0.3 + 0.7 * middle)),
                (1.4, top * 0.3 * end),
            ]))
        }),
        (25.0..60.0_f64, 0.1..0.4_f64).prop_map(|(top, drop)| {
            let at = |q: f64, share: f64| (q, top * share);
            centrifugal(RatedCurve::Points(vec![
                at(0.0, 1.0),
                at(0.5, 1.0 - 0.3 * drop),
                at(1.0, 1.0 - drop),
                at(1.5, 0.5 - drop),
            ]))
        }),
    ]
}

fn booster(bypass: bool) -> coupling::Settings {
    coupling::Settings::Booster(Booster { efficiency: 0.94, bypass, current_limit_a: None })
}

fn any_coupling() -> impl Strategy<Value = coupling::Settings> {
    prop_oneof![
        (0.8..1.0_f64).prop_map(coupling::Settings::tracking),
        (10.0..20.0_f64, 25.0..60.0_f64).prop_map(|(low, high)| window(low, high)),
        any::<bool>().prop_map(booster),
        Just(coupling::Settings::Direct),
    ]
}

fn window(low: f64, high: f64) -> coupling::Settings {
    let coupling::Settings::Tracking(tracking) = coupling::Settings::tracking(0.96) else { panic!() };
    coupling::Settings::Tracking(Tracking { window_v: Some((low, high)), ..tracking })
}

fn settings(pump: Pump, coupling: coupling::Settings, level_m: f64) -> Settings {
    Settings {
        pump,
        coupling,
        well: well::Settings {
            static_level_m: [level_m; 12],
            specific_capacity_m3_per_h_m: Some(0.4),
            ..well::Settings::default()
        },
        pipe: pipe::Settings {
            runs: vec![Run {
                name: "drop".into(),
                length_m: 40.0,
                bore_m: 0.0204,
                roughness_m: 1.5e-6,
                fittings_k: 4.0,
                ..Run::default()
            }],
            inlet_height_m: 2.0,
            water_degc: 12.0,
            ..pipe::Settings::default()
        },
    }
}

fn bore(settings: &mut Settings, diameter_m: f64) {
    settings.well.bore = Some(BoreSize { diameter_m, pipe_diameter_m: 0.025 });
}

/// The site of an hour with a settled drawdown, for trying flows beside the one found.
struct Beside<'a>(&'a System);

impl Site for Beside<'_> {
    fn head_m(&self, flow_m3_per_h: f64) -> f64 {
        self.0.head(6, flow_m3_per_h).total_m()
    }

    fn meet(&self, _: &Surface, _: f64, _: &[f64]) -> Meeting {
        unreachable!("no table")
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, max_global_rejects: 100_000, ..ProptestConfig::default() })]

    #[test]
    fn more_sun_thicker_cable_and_less_head_never_offer_less(
        pump in any_pump(),
        coupling in any_coupling(),
        level in 0.0..45.0_f64,
        deeper in 0.0..5.0_f64,
        light in 20.0..1200.0_f64,
        more in 1.0..1.6_f64,
        cell in -10.0..70.0_f64,
        cable in 0.0..2.0_f64,
        thinner in 1.0..3.0_f64,
    ) {
        let (Ok(system), Ok(deep)) = (
            System::new(&settings(pump.clone(), coupling.clone(), level)),
            System::new(&settings(pump.clone(), coupling.clone(), level + deeper)),
        ) else { return Err(TestCaseError::reject("")) };
        let slack = 2e-9 * system.pump().machine().full_flow_m3_per_h();
        let wires = wiring(2, cable);
        let base = hour(&system, &wires, light, cell).available_m3;
        prop_assert!(hour(&system, &wires, light * more, cell).available_m3 >= base - slack, "more sun");
        prop_assert!(hour(&deep, &wires, light, cell).available_m3 <= base + slack, "more head");
        let thin = wiring(2, cable * thinner);
        prop_assert!(hour(&system, &thin, light, cell).available_m3 <= base + slack, "thinner cable");
    }

    #[test]
    fn more_sun_all_day_never_offers_less_with_a_bore_and_no_lockout(
        pump in any_pump(),
        coupling in any_coupling(),
        level in 0.0..30.0_f64,
        more in 1.0..1.5_f64,
        day in prop::collection::vec(0.0..900.0_f64, 8),
        diameter in 0.08..0.4_f64,
    ) {
        let mut settings = settings(pump, coupling, level);
        bore(&mut settings, diameter);
        let Ok(system) = System::new(&settings) else { return Err(TestCaseError::reject("")) };
        let wires = wiring(2, 0.2);
        let total = |share: f64| {
            let mut state = system.at_rest();
            day.iter().map(|g| step(&system, &mut state, &wires, g * share, 30.0).available_m3).sum::<f64>()
        };
        let slack = 1e-8 * system.pump().machine().full_flow_m3_per_h();
        // The day may draw the bore down in one hour and so lift less in the next, but not less in all.
        prop_assert!(total(more) >= total(1.0) - slack);
    }

    #[test]
    fn the_operating_point_is_found_to_a_billionth_of_full_flow(
        pump in any_pump(),
        coupling in any_coupling(),
        level in 0.0..40.0_f64,
        light in 50.0..1200.0_f64,
    ) {
        let Ok(system) = System::new(&settings(pump, coupling, level)) else { return Err(TestCaseError::reject("")) };
        let machine = system.pump().machine();
        let wires = wiring(2, 0.3);
        let circuit = circuit(&wires, light, 30.0);
        let power = Power::of(&circuit, Terminals::Common);
        let found = system.hour_on(6, &power);
        if found.limit != Limit::Sun || machine.table().is_some() {
            return Ok(());
        }
        let offer = system.settings().coupling.offer(&power);
        let surplus = |flow: f64| {
            let running = machine.run(flow, &Beside(&system), &mut Vec::new());
            match (&offer, running.voltage_v, running.current_a) {
                (coupling::Offer::Power { watts, .. }, ..) => watts - running.power_w,
                (_, Some(volts), Some(amps)) => offer.current_a(volts) - amps,
                _ => panic!("no voltage"),
            }
        };
        let near = 1e-9 * machine.full_flow_m3_per_h();
        prop_assert!(surplus((found.flow_m3_per_h - near).max(0.0)) >= 0.0);
        prop_assert!(surplus(found.flow_m3_per_h + near) <= 0.0);
    }

    #[test]
    fn a_table_with_voltage_balances_flow_and_current(
        start in prop_oneof![Just(Start::Zero), (1.0..11.0_f64).prop_map(Start::From)],
        level in 5.0..50.0_f64,
        light in 50.0..1200.0_f64,
    ) {
        let pump = Pump::Volts(VoltTable { rows: volt_rows(), start, one_voltage: false });
        let Ok(system) = System::new(&settings(pump, coupling::Settings::Direct, level)) else {
            return Err(TestCaseError::reject(""));
        };
        let dryspell::pump::Pump::Volts(table) = system.pump() else { panic!() };
        let found = hour(&system, &wiring(2, 0.3), light, 30.0);
        if found.limit != Limit::Sun {
            return Ok(());
        }
        let (volts, amps) = (found.voltage_v.unwrap(), found.current_a.unwrap());
        let full = table.full_flow_m3_per_h();
        prop_assert!(found.flow_m3_per_h <= table.flow_m3_per_h(found.head.total_m(), volts) + 1e-9 * full);
        // No more than the array gives at that voltage.
        let given = |volts| circuit(&wiring(2, 0.3), light, 30.0).current_a(volts);
        prop_assert!(amps <= given(volts) * (1.0 + 1e-9));
        // No less either, but where the curves jump: from rest to a table's first voltage.
        if start != Start::Zero {
            let more = volts + 1e-6;
            prop_assert!(table.current_a(found.head.total_m(), more) >= given(more) * (1.0 - 1e-6), "{found:?}");
        }
    }

    #[test]
    fn the_sources_ledger_closes_and_a_larger_hole_offers_less(
        coupling in any_coupling(),
        depth in 0.0..10.0_f64,
        mm in 0.5..4.0_f64,
        day in prop::collection::vec(0.0..1000.0_f64, 12),
    ) {
        let make = |mm: f64| {
            let mut s = settings(displacement(0.1, 0.15), coupling.clone(), 15.0);
            s.pipe.weep_hole = Some(WeepHole {
                run: 0, depth_m: depth, diameter_m: mm / 1000.0, discharge_coefficient: 0.8,
            });
            s.pipe.runs.push(Run { name: "riser".into(), length_m: 8.0, bore_m: 0.0204, drains_back: true, ..Run::default() });
            System::new(&s).unwrap()
        };
        let total = |system: &System| {
            let mut state = system.at_rest();
            let mut sums = [0.0; 4];
            for light in &day {
                let h = step(system, &mut state, &wiring(2, 0.2), *light, 25.0);
                let terms = [h.lifted_m3, h.weep_m3, h.riser_refill_m3, h.available_m3];
                prop_assert!((terms[0] - terms[1] - terms[2] - terms[3]).abs() <= 1e-9 * terms[0].max(1e-6), "{h:?}");
                prop_assert!(terms.iter().all(|m3| *m3 >= 0.0));
                sums.iter_mut().zip(terms).for_each(|(s, t)| *s += t);
            }
            Ok(sums)
        };
        let (small, large) = (total(&make(mm))?, total(&make(mm * 1.3))?);
        // A hole takes pressure off the pipe above it, so a little more may be lifted, but less arrives.
        prop_assert!(large[3] <= small[3] + 1e-9);
    }
}

#[test]
fn hours_follow_one_another_as_the_columns_do() {
    let mut s = settings(displacement(0.1, 0.2), coupling::Settings::tracking(0.95), 20.0);
    bore(&mut s, 0.15);
    s.well.pump_setting_m = Some(21.0);
    s.well.restart = Some(Restart::Delay(0.75));
    let system = System::new(&s).unwrap();
    let calendar = Calendar::year(2023);
    let array_w: Vec<f64> = (0..calendar.hours())
        .map(|h| {
            if (7..17).contains(&(h % 24)) {
                20.0 + f64::from(u8::try_from(h % 23).unwrap()) * 7.0
            } else {
                0.0
            }
        })
        .collect();
    let columns = supply(&s, &array_w, &calendar).unwrap();
    for h in [0, 8, 9, 31, 100, 4000, 8759] {
        let one = system.hour_of(&array_w, &calendar, h).unwrap();
        assert_eq!(columns.available_m3[h].to_bits(), one.available_m3.to_bits(), "hour {h}");
        assert_eq!(columns.limit[h], one.limit, "hour {h}");
    }
    assert!(columns.cut_out_stops > 100);
    assert!(system.hour_of(&array_w, &calendar, 8760).is_err());
}

#[test]
fn a_running_pump_keeps_running_where_one_at_rest_would_not_start() {
    // Running takes 0.28 N m or 2.3 A at this head, breaking away 3.6 A.
    let system = System::new(&settings(displacement(0.1, 0.25), coupling::Settings::Direct, 15.0)).unwrap();
    let wires = wiring(2, 0.2);
    let rest = hour(&system, &wires, 650.0, 30.0);
    assert!(rest.held_fast && rest.limit == Limit::SunBelowStart && rest.available_m3 <= 0.0, "{rest:?}");
    let mut state = system.at_rest();
    assert!(step(&system, &mut state, &wires, 900.0, 30.0).available_m3 > 0.0);
    assert!(step(&system, &mut state, &wires, 650.0, 30.0).available_m3 > 0.0);
    // A dark hour stops it.
    assert!(step(&system, &mut state, &wires, 0.0, 30.0).available_m3 <= 0.0);
    assert!(step(&system, &mut state, &wires, 650.0, 30.0).available_m3 <= 0.0);
}

#[test]
fn the_riser_is_refilled_at_each_start_and_only_then() {
    let mut s = settings(displacement(0.1, 0.1), coupling::Settings::tracking(0.95), 15.0);
    s.pipe.weep_hole = Some(WeepHole {
        run: 0,
        depth_m: 4.0 * 0.3048,
        diameter_m: 0.0254 / 16.0,
        discharge_coefficient: 0.8,
    });
    s.pipe.runs.push(Run {
        name: "riser".into(),
        length_m: 6.0,
        bore_m: 0.0204,
        drains_back: true,
        ..Run::default()
    });
    let system = System::new(&s).unwrap();
    let mut state = system.at_rest();
    let refill: Vec<f64> = [800.0, 800.0, 0.0, 0.0, 800.0]
        .iter()
        .map(|light| 1000.0 * step(&system, &mut state, &wiring(2, 0.2), *light, 25.0).riser_refill_m3)
        .collect();
    // 6 m and 4 ft of 20.4 mm pipe: 0.3269 L/m.
    let full = 0.326_85 * (6.0 + 4.0 * 0.3048);
    for (got, expected) in refill.iter().zip([full, 0.0, 0.0, 0.0, full]) {
        assert!((got - expected).abs() < 1e-3, "{refill:?}");
    }
}
