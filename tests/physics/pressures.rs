//! Pressures in pipes, worked by hand: one datum for standing, flowing and shut, each at the pipe's lowest point.

use dryspell::delivery::{self, Booster, BoosterRow, Hydrant, Lift, Network, PressureTank};
use dryspell::draw::Carry;
use dryspell::pipe::{self, FrictionLaw, Run};
use dryspell::pressure::{LineHeads, Lowest, PipePressure, Verdict, behind_tank, well_line};
use dryspell::pump::{self, DutyPoint, Start};
use dryspell::supply::{Settings, head_build_up};
use dryspell::{coupling, well};

/// 1 L/s in new plastic pipe of 40.8 mm at 15 °C: 1.7608 m in 100 m (fluids 1.3.1, Colebrook) at 0.7649 m/s, whose velocity
/// head is 0.7649²/19.6133 = 0.0298 m.
const FLOW_M3_PER_H: f64 = 3.6;
const FRICTION_M_PER_M: f64 = 0.017_608;
const EXIT_M: f64 = 0.0298;
/// The transition law between Colebrook's chart and ours: within 1 % of the friction.
const NEAR_M: f64 = 0.03;

fn run(name: &str, length_m: f64) -> Run {
    Run { name: name.into(), length_m, bore_m: 0.0408, roughness_m: 1.5e-6, ..Run::default() }
}

fn scheme(pump_setting_m: Option<f64>, level_m: f64, runs: Vec<Run>, inlet_height_m: f64) -> Settings {
    let row = |head_m, power_w, flow_m3_per_h| DutyPoint { head_m, power_w, flow_m3_per_h };
    Settings {
        pump: pump::Settings::duty(vec![row(10.0, 400.0, 4.0), row(60.0, 900.0, 3.0)], Start::Zero),
        coupling: coupling::Settings::tracking(1.0),
        well: well::Settings { static_level_m: [level_m; 12], pump_setting_m, ..well::Settings::default() },
        pipe: pipe::Settings { runs, inlet_height_m, water_degc: 15.0, ..pipe::Settings::default() },
    }
}

/// The line's pressures at 1 L/s, with the pump's shut-off head.
fn pressures(settings: &Settings, shut_off_m: f64) -> Vec<PipePressure> {
    let head = head_build_up(settings, 1, FLOW_M3_PER_H).unwrap();
    well_line(settings, &head, LineHeads { at_pump_m: head.total_m, shut_off_m: Some(shut_off_m) })
}

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < NEAR_M, "{found} for {expected}");
}

#[test]
fn a_pump_set_far_below_the_water_gives_static_and_working_head_one_datum() {
    // Pump at 40 m, water at 25 m, 20 m of drop pipe, then 30 m of riser that begins 40 − 20 = 20 m down, tank 6 m up.
    let pipes = pressures(&scheme(Some(40.0), 25.0, vec![run("drop", 20.0), run("riser", 30.0)], 6.0), 60.0);
    // The drop pipe: below 25 m the well presses back. 25 + 6 standing; 50 m of friction more while it flows.
    near(pipes[0].static_m, 31.0);
    near(pipes[0].working_m.unwrap(), 31.0 + 50.0 * FRICTION_M_PER_M + EXIT_M);
    // The riser, from its own lower end at 20 m: 20 + 6 standing; 30 m of friction more: 26.56 m, and not the
    // 25 − 20 + 6 + 0.56 = 11.56 m of a riser that begins where the water stands.
    near(pipes[1].static_m, 26.0);
    near(pipes[1].working_m.unwrap(), 26.0 + 30.0 * FRICTION_M_PER_M + EXIT_M);
    // No valve is stated: nothing shuts the line.
    assert_eq!(pipes.iter().map(|p| p.shut_off_m).collect::<Vec<_>>(), [None, None]);
}

#[test]
fn flowing_water_never_presses_less_than_standing_water_in_a_line_that_rises() {
    for setting in [12.5, 18.0, 25.0, 31.0, 40.0, 55.0] {
        for (first, second) in [(5.0, 10.0), (20.0, 30.0), (32.0, 140.0)] {
            let runs = vec![run("a", first), run("b", second), run("c", 80.0)];
            for pipe in pressures(&scheme(Some(setting), 12.0, runs, 3.0), 60.0) {
                let working = pipe.working_m.unwrap();
                assert!(working >= pipe.static_m, "{setting} {first}: {working} below {}", pipe.static_m);
            }
        }
    }
}

#[test]
fn a_hand_valve_lets_the_pump_press_its_shut_off_head_into_all_pipe_before_it() {
    let mut buried = run("buried", 100.0);
    buried.can_be_shut = true;
    buried.pressure_class_m = Some(32.0);
    let last = Run { pressure_class_m: Some(32.0), ..run("last", 50.0) };
    let runs = vec![run("drop", 30.0), buried, last];
    // Pump at 30 m in water at 25 m: 60 m at the pump against the shut valve, 60 − 25 = 35 m at the wellhead.
    let pipes = pressures(&scheme(Some(30.0), 25.0, runs, 6.0), 60.0);
    near(pipes[0].shut_off_m.unwrap(), 60.0);
    near(pipes[1].shut_off_m.unwrap(), 35.0);
    assert_eq!((pipes[1].lowest, pipes[1].lower_end_m), (Lowest::Wellhead, 0.0));
    // 6 m standing and 6 + 150 · 0.0176 + 0.03 = 8.7 m flowing are well within 72 % of 32 m; shut, 35 m are above the class.
    near(pipes[1].working_m.unwrap(), 6.0 + 150.0 * FRICTION_M_PER_M + EXIT_M);
    assert_eq!(pipes[1].verdict(), Verdict::AboveClass);
    // Behind the valve nothing changes.
    assert_eq!((pipes[2].shut_off_m, pipes[2].verdict()), (None, Verdict::Within));
}

#[test]
fn a_pipe_that_falls_to_the_tank_is_judged_at_the_tank() {
    let mut buried = run("buried", 100.0);
    buried.can_be_shut = true;
    // Water at 15 m, pump at 20 m, tank 12 m below the wellhead: 12 m standing, and 40 − 15 + 12 = 37 m shut at the tank.
    let pipes = pressures(&scheme(Some(20.0), 15.0, vec![run("drop", 20.0), buried], -12.0), 40.0);
    near(pipes[0].static_m, 15.0);
    near(pipes[1].static_m, 12.0);
    near(pipes[1].shut_off_m.unwrap(), 37.0);
    assert_eq!(pipes[1].lowest, Lowest::Tank);
}

#[test]
fn a_pump_of_unknown_setting_hangs_in_the_water_that_it_draws_down() {
    let mut settings = scheme(None, 25.0, vec![run("drop", 20.0), run("riser", 30.0)], 6.0);
    // 3.6 m³/h from 1.2 m³/h a metre: 3 m of drawdown, the pump at 28 m, the riser from 8 m.
    settings.well.specific_capacity_m3_per_h_m = Some(1.2);
    let pipes = pressures(&settings, 60.0);
    near(pipes[0].lower_end_m, 28.0);
    near(pipes[1].static_m, 8.0 + 6.0);
}

fn hydrants(heights: &[f64]) -> delivery::Settings {
    let hydrant = |(at, height_m): (usize, &f64)| Hydrant {
        name: format!("h{at}"),
        runs: vec![Run { pressure_class_m: Some(40.0), ..run("branch", 60.0) }],
        height_m: *height_m,
        pressure_m: 0.0,
        trough_m3: 0.5,
        walk_m: None,
        open_surface_m2: 0.0,
        overflow_m3_per_h: 0.0,
        tank: None,
    };
    delivery::Settings {
        shared: vec![run("ring", 100.0)],
        hydrants: heights.iter().enumerate().map(hydrant).collect(),
        booster: None,
        friction: FrictionLaw::DarcyWeisbach,
        water_degc: 15.0,
        carry: Carry::WithinDay,
        tank: None,
        other_lines: Vec::new(),
    }
}

fn behind(settings: &delivery::Settings, tank: Option<Option<PressureTank>>) -> Vec<PipePressure> {
    let ends: Vec<_> = settings.hydrants.iter().map(|h| (h.runs.as_slice(), h.height_m, 0.0)).collect();
    let net = Network::new(&settings.shared, &ends, FrictionLaw::DarcyWeisbach, 15.0).unwrap();
    let row = |flow_m3_per_h, head_m, current_a| BoosterRow { flow_m3_per_h, head_m, current_a };
    let booster = Booster::new(&[row(1.5, 3.0, 8.0), row(0.0, 42.0, 3.5)], 24.0).unwrap();
    let lift = tank.map(|tank| Lift { booster, tank, air_pa: 101_325.0 });
    behind_tank(settings, &net, lift.as_ref())
}

#[test]
fn hydrants_below_the_tank_are_judged_with_the_valve_shut() {
    // By gravity: the shared pipe as low as its lowest hydrant, 9 m; a hydrant above the outlet has none.
    let pipes = behind(&hydrants(&[-9.0, -2.0]), None);
    let found: Vec<_> =
        pipes.iter().map(|p| (p.key.as_str(), p.static_m, p.working_m, p.shut_off_m)).collect();
    assert_eq!(
        found,
        [
            ("delivery.ring", 9.0, None, None),
            ("hydrant.h0.pipe.branch", 9.0, None, None),
            ("hydrant.h1.pipe.branch", 2.0, None, None)
        ]
    );
}

#[test]
fn behind_a_pressure_tank_the_cut_out_stands_in_the_pipes() {
    let tank = PressureTank { volume_m3: 0.08, precharge_pa: 190e3, cut_in_pa: 207e3, cut_out_pa: 345e3 };
    // 345000/9806.65 = 35.18 m at the tank's outlet; 44.18 m at a hydrant 9 m below: above its class of 40 m.
    let pipes = behind(&hydrants(&[-9.0, 4.0]), Some(Some(tank)));
    near(pipes[1].static_m, 44.18);
    assert_eq!(pipes[1].verdict(), Verdict::AboveClass);
    near(pipes[2].static_m, 35.18);
    assert_eq!(pipes[2].verdict(), Verdict::NoRoomForSurges);
}

#[test]
fn behind_a_booster_without_pressure_tank_shut_troughs_meet_its_highest_head() {
    let pipes = behind(&hydrants(&[-9.0, 4.0]), Some(None));
    near(pipes[1].static_m, 9.0);
    near(pipes[1].shut_off_m.unwrap(), 51.0);
    assert!(pipes[1].working_m.unwrap() > 9.0 && pipes[1].working_m.unwrap() < 51.0);
    assert_eq!(pipes[1].verdict(), Verdict::AboveClass);
}

#[test]
fn a_run_that_begins_in_the_well_and_falls_to_a_low_tank_is_judged_at_the_tank() {
    // Pump at 23.6 m in water at 21 m; 23 m of drop pipe end 0.6 m below the wellhead; the buried pipe then falls 60 m to the
    // tank: 60 m standing there, and 91 − 21 + 60 = 130 m against a shut valve, for a pump of 91 m.
    let buried = Run { can_be_shut: true, ..run("buried", 172.0) };
    let runs = vec![run("drop", 23.0), buried.clone()];
    let pipes = pressures(&scheme(Some(23.6), 21.0, runs, -60.0), 91.0);
    assert_eq!((pipes[0].lowest, pipes[1].lowest), (Lowest::InWell, Lowest::Tank));
    near(pipes[1].static_m, 60.0);
    near(pipes[1].shut_off_m.unwrap(), 130.0);
    // The drop pipe stays in the well: 21 m stand in it.
    near(pipes[0].static_m, 21.0);
    near(pipes[0].shut_off_m.unwrap(), 91.0);
    // One run all the way has both ends.
    let pipes = pressures(&scheme(Some(23.6), 21.0, vec![buried], -60.0), 91.0);
    near(pipes[0].static_m, 60.0);
    near(pipes[0].shut_off_m.unwrap(), 130.0);
    // A drop pipe that reaches 1 m beyond the wellhead falls no more than that metre.
    let runs = vec![run("drop", 24.6), run("buried", 172.0)];
    near(pressures(&scheme(Some(23.6), 21.0, runs, -60.0), 91.0)[0].static_m, 21.0);
}
