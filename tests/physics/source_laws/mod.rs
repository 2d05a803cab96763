//! Couplings, pumps, well and pipe: what must hold for any of them, and each exception to it.

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
    system.step(state, 6, &Power::of(&circuit, Terminals::Common), &mut Vec::new())
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

/// A weak well and constant power: what a day gives, and the greatest drawdown.
fn weak_well(watts: f64, restart: Option<Restart>, hours: usize) -> (f64, f64, u32) {
    let mut s = settings(displacement(0.05, 0.05), coupling::Settings::tracking(1.0), 20.0);
    s.well.specific_capacity_m3_per_h_m = Some(0.05);
    s.well.pump_setting_m = Some(30.0);
    s.well.submergence_m = 1.0;
    s.well.restart = restart;
    bore(&mut s, 0.15);
    let system = System::new(&s).unwrap();
    let mut state = system.at_rest();
    let (mut lifted, mut deepest, mut stops) = (0.0, 0.0_f64, 0);
    for _ in 0..hours {
        let hour = system.step(&mut state, 6, &Power::watts(watts), &mut Vec::new());
        lifted += hour.lifted_m3;
        deepest = deepest.max(hour.drawdown_end_m.unwrap());
        stops += hour.stops;
    }
    (lifted, deepest, stops)
}

#[test]
fn a_pump_that_outruns_its_well_lifts_what_flows_in_at_the_cut_out() {
    // 9 m of room times 0.05 m³/h per m: 0.45 m³/h at most, besides what stood in the bore.
    let stood = 9.0 * std::f64::consts::PI / 4.0 * (0.15 * 0.15 - 0.025 * 0.025);
    for (restart, least) in [
        (None, 0.999),
        (Some(Restart::Level(28.9)), 0.98),
        (Some(Restart::Delay(1.0 / 60.0)), 0.95),
        (Some(Restart::Level(22.0)), 0.5),
        (Some(Restart::Delay(2.5)), 0.05),
    ] {
        let (lifted, deepest, stops) = weak_well(150.0, restart, 48);
        assert!(lifted <= 0.45 * 48.0 + stood + 1e-9, "{restart:?}: {lifted}");
        assert!(lifted >= least * 0.45 * 48.0, "{restart:?}: {lifted}");
        assert!(deepest <= 9.0 + 1e-9 && stops > 0, "{restart:?}: {deepest} m, {stops} stops");
    }
}

/// A pump that stops within the hour flows faster while it runs than the hour's volume says.
#[test]
fn the_highest_flow_is_that_of_the_running_pump_not_the_volume_of_its_hour() {
    let scheme = std::fs::read_to_string(crate::support::data("demo/brushed.toml")).unwrap();
    let record = crate::tmy3::read(&crate::support::data("weather/723170TYA.CSV"));
    let scheme = dryspell::scheme::Scheme::from_toml(&scheme).unwrap();
    let run = dryspell::simulate::simulate(&scheme.plan(), &record).unwrap();
    let supply = &run.supply;
    assert!(supply.cut_out_stops > 100, "{}", supply.cut_out_stops);
    let most = |column: &[f64]| column.iter().copied().fold(0.0, f64::max);
    let faster = supply.flow_m3_per_h.iter().zip(&supply.lifted_m3).filter(|(f, l)| **f > 1.05 * **l);
    assert!(faster.count() > 100);
    assert!(supply.flow_m3_per_h.iter().zip(&supply.lifted_m3).all(|(f, l)| *f >= l - 1e-12));
    assert!((run.head.flow_m3_per_h - most(&supply.flow_m3_per_h)).abs() < 1e-9);
    // Its head is that of its hour: a full bore is not yet drawn down as that flow would draw it in the end.
    assert!((run.head.total_m - supply.head_m[run.head_hour]).abs() < 1e-9);
    assert!(run.head.drawdown_m > 0.0);
}

#[test]
fn head_and_hydraulic_energy_of_an_hour_with_stops_are_those_of_all_its_runs() {
    let first_hour = |restart| {
        let mut s = settings(displacement(0.05, 0.05), coupling::Settings::tracking(1.0), 20.0);
        s.well.specific_capacity_m3_per_h_m = Some(0.05);
        s.well.pump_setting_m = Some(30.0);
        s.well.submergence_m = 1.0;
        s.well.restart = restart;
        bore(&mut s, 0.15);
        let system = System::new(&s).unwrap();
        let hour = system.step(&mut system.at_rest(), 6, &Power::watts(150.0), &mut Vec::new());
        (system, hour)
    };
    // With a long wait there is one run, from rest down to the cut-out; without one the rest of the hour follows at the
    // cut-out, where 9 m times 0.05 m³/h per m flow in.
    let (_, down) = first_hour(Some(Restart::Delay(3.0)));
    let (system, hour) = first_hour(None);
    assert!(down.stops == 1 && hour.stops == 1 && down.running_h > 0.05 && down.running_h < 0.95);
    let held = system.head(6, 0.45);
    assert!((held.drawdown_m - 9.0).abs() < 1e-9);
    let held_m3 = 0.45 * (1.0 - down.running_h);
    assert!((hour.lifted_m3 - down.lifted_m3 - held_m3).abs() < 1e-9);
    let energy = down.head.total_m() * down.lifted_m3 + held.total_m() * held_m3;
    assert!((hour.head.total_m() * hour.lifted_m3 / energy - 1.0).abs() < 1e-9);
    let drawdown = (down.head.drawdown_m * down.lifted_m3 + 9.0 * held_m3) / hour.lifted_m3;
    assert!((hour.head.drawdown_m - drawdown).abs() < 1e-9 && drawdown < 8.5, "{drawdown}");
}

#[test]
fn exception_a_lockout_makes_more_sun_offer_less() {
    // Just what the well sustains, and a third more power, with a pump that then waits three hours.
    let restart = Some(Restart::Delay(3.0));
    let (gentle, _, none) = weak_well(45.0, restart, 10);
    let (eager, _, stops) = weak_well(60.0, restart, 10);
    assert_eq!(none, 0);
    assert!(stops > 0 && eager < 0.8 * gentle, "{gentle} m3, {eager} m3 with {stops} stops");
}

#[test]
fn exception_warmer_cells_offer_less_in_the_same_light() {
    let system =
        System::new(&settings(displacement(0.1, 0.1), coupling::Settings::tracking(0.95), 20.0)).unwrap();
    let at = |cell| hour(&system, &wiring(2, 0.2), 700.0, cell).available_m3;
    assert!(at(65.0) < 0.95 * at(25.0), "{} {}", at(65.0), at(25.0));
}

#[test]
fn exception_outside_the_voltage_window_more_sun_on_hotter_cells_offers_less() {
    let system = System::new(&settings(displacement(0.1, 0.1), window(33.0, 60.0), 20.0)).unwrap();
    let mild = hour(&system, &wiring(2, 0.2), 600.0, 25.0).available_m3;
    let fierce = hour(&system, &wiring(2, 0.2), 1000.0, 75.0).available_m3;
    assert!(fierce < 0.8 * mild, "{mild} {fierce}");
    // One module never comes into the window.
    assert!(hour(&system, &wiring(1, 0.2), 1000.0, 25.0).available_m3 <= 0.0);
}

#[test]
fn exception_a_booster_without_bypass_loses_near_full_match() {
    // At 25 m the motor takes about 4.2 A of the 4.5 A that the panels give at their best.
    let volume = |coupling| {
        let system = System::new(&settings(displacement(0.2, 0.2), coupling, 25.0)).unwrap();
        hour(&system, &wiring(2, 0.0), 1000.0, 25.0).available_m3
    };
    let (direct, plain, bypass) =
        (volume(coupling::Settings::Direct), volume(booster(false)), volume(booster(true)));
    assert!(plain < 0.99 * direct, "{plain} {direct}");
    assert!(bypass >= direct * (1.0 - 1e-9));
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

#[test]
fn a_cold_array_above_the_controllers_voltage_is_refused() {
    let coupling::Settings::Tracking(tracking) = coupling::Settings::tracking(0.95) else { panic!() };
    let tracking = Tracking { highest_voltage_v: Some(50.0), record_low_degc: Some(-30.0), ..tracking };
    let faults = |series| {
        let each = dryspell::array::OneArray {
            name: "pole".into(),
            wiring: Some(wiring(series, 0.0)),
            ..Default::default()
        };
        coupling::Settings::Tracking(tracking.clone()).array_faults(&[each])
    };
    // 36 cells have about 21.8 V at 25 °C and 2 % more for each 6 K below it.
    assert!(faults(1).is_empty());
    let text = faults(2)[0].to_string();
    assert!(
        text.starts_with("coupling.highest_voltage: array pole reaches 5") && text.contains("-30 degC"),
        "{text}"
    );
    let missing = coupling::Settings::Tracking(Tracking { record_low_degc: None, ..tracking });
    assert_eq!(missing.faults()[0].location.key.as_deref(), Some("coupling.record_low"));
}

#[test]
fn an_output_that_falls_with_load_is_refused() {
    let coupling::Settings::Tracking(tracking) = coupling::Settings::tracking(0.95) else { panic!() };
    let curve = coupling::Efficiency::ByLoad(vec![(0.1, 0.9), (0.5, 0.95), (1.0, 0.4)]);
    let faults =
        coupling::Settings::Tracking(Tracking { efficiency: curve, rated_power_w: Some(300.0), ..tracking })
            .faults();
    assert!(faults[0].to_string().contains("between loads 0.5 and 1 the output falls"), "{}", faults[0]);
}

#[test]
fn a_well_that_cannot_be_is_refused_by_key() {
    let refused = |change: fn(&mut well::Settings)| {
        let mut s = settings(displacement(0.1, 0.1), coupling::Settings::tracking(0.95), 15.0);
        change(&mut s.well);
        let faults = System::new(&s).unwrap_err();
        faults[0].location.key.clone().unwrap()
    };
    assert_eq!(refused(|w| w.pump_setting_m = Some(14.0)), "well.pump_setting");
    assert_eq!(refused(|w| (w.pump_setting_m, w.cut_out_m) = (Some(20.0), Some(21.0))), "well.cut_out");
    assert_eq!(refused(|w| w.restart = Some(Restart::Delay(1.0))), "well.pump_setting");
    let no_bore = |w: &mut well::Settings| {
        (w.pump_setting_m, w.restart) = (Some(20.0), Some(Restart::Delay(1.0)));
    };
    assert_eq!(refused(no_bore), "well.bore");
    let high = |w: &mut well::Settings| {
        w.bore = Some(BoreSize { diameter_m: 0.15, pipe_diameter_m: 0.0 });
        (w.pump_setting_m, w.restart) = (Some(20.0), Some(Restart::Level(14.0)));
    };
    assert_eq!(refused(high), "well.restart_level");
    assert_eq!(
        refused(|w| {
            w.specific_capacity_m3_per_h_m = None;
            w.bore = Some(BoreSize { diameter_m: 0.15, pipe_diameter_m: 0.0 });
        }),
        "well.specific_capacity"
    );
}
