//! The delivery as a whole.

use super::*;
use crate::calendar::{Calendar, Day};
use proptest::prelude::*;

const PA: f64 = 101_325.0;

fn pipe(length_m: f64, bore_m: f64) -> Vec<Run> {
    vec![Run { name: "hose".into(), length_m, bore_m, roughness_m: 1.5e-6, ..Run::default() }]
}

fn hydrant(name: &str, height_m: f64, bore_m: f64, trough_m3: f64) -> Hydrant {
    Hydrant {
        name: name.into(),
        runs: pipe(100.0, bore_m),
        height_m,
        pressure_m: 1.0,
        trough_m3,
        walk_m: None,
        open_surface_m2: 0.0,
        overflow_m3_per_h: 0.0,
        tank: None,
    }
}

fn battery(capacity_ah: f64) -> Battery {
    Battery {
        voltage_v: 24.0,
        capacity_ah,
        rated_h: 20.0,
        rate: RateLaw::Peukert(1.0),
        charge_efficiency: 0.8,
        self_discharge_per_month: 0.0,
        cold_per_k: 0.0,
        cut_out: 0.5,
        reconnect: 0.5,
    }
}

fn booster(capacity_ah: f64) -> BoosterSettings {
    let row = |flow_m3_per_h, head_m, current_a| BoosterRow { flow_m3_per_h, head_m, current_a };
    BoosterSettings {
        // One flow and one power at any head up to 30 m, for sums by hand.
        rows: vec![row(0.5, 1.0, 5.0), row(0.5, 30.0, 5.0)],
        voltage_v: 24.0,
        tank: None,
        battery: battery(capacity_ah),
        panel: array::Settings {
            arrays: Vec::new(),
            terminals: array::Terminals::Common,
            snow: array::snow::Snow::default(),
        },
        controller_efficiency: 0.9,
        standby_w: 0.0,
        battery_degc: Some(25.0),
    }
}

fn settings(hydrants: Vec<Hydrant>, booster: Option<BoosterSettings>) -> Settings {
    Settings {
        shared: Vec::new(),
        hydrants,
        booster,
        friction: FrictionLaw::DarcyWeisbach,
        water_degc: 10.0,
        carry: Carry::WithinDay,
        tank: None,
        other_lines: Vec::new(),
    }
}

/// So many days from 1 June.
fn days(n: u8) -> Calendar {
    Calendar::new((1..=n).map(|day| Day { year: 2023, month: 6, day }).collect(), 0)
}

fn run(
    settings: &Settings,
    calendar: &Calendar,
    demand: &[&[f64]],
    frozen: &[&[bool]],
    panel: &[f64],
) -> Columns {
    let air = vec![10.0; calendar.hours()];
    let inputs = Inputs { calendar, demand_m3: demand, frozen, panel_w: panel, air_degc: &air, air_pa: PA };
    delivery(settings, &inputs).unwrap()
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-6
}

#[test]
fn gravity_fills_the_trough_and_the_thin_pipe_is_the_cause() {
    // 0.6 m³ in one hour from a trough of 0.2 m³: the pipe gives some q each hour, until midnight.
    let mut demand = vec![0.0; 24];
    demand[22] = 0.6;
    let settings = settings(vec![hydrant("a", -5.0, 0.0131, 0.2)], None);
    let columns = run(&settings, &days(1), &[&demand], &[], &[]);
    let q = columns.hydrants[0].alone_m3_per_h;
    // 4 m on 100 m of 13.1 mm pipe.
    assert!(q > 0.19 && q < 0.3, "{q}");
    // Trough 0.2, then q in hours 22 and 23 alone: short is what is left.
    let short = (0.6 - 0.2 - 2.0 * q).max(0.0);
    assert!(close(columns.requested_m3[22], q));
    if short > 0.0 {
        assert!(close(columns.short_too_small_m3[23], short));
    }
    let mut more = demand.clone();
    more[22] = 1.2;
    let columns = run(&settings, &days(1), &[&more], &[], &[]);
    assert!(close(columns.short_too_small_m3[23], 1.2 - 0.2 - 2.0 * q));
    assert!(close(columns.short_too_small_m3.iter().sum(), columns.short_too_small_m3[23]));
    assert!(columns.battery_days.is_none() && columns.stored_wh.iter().all(|e| *e <= 0.0));
}

#[test]
fn each_cause_by_hand() {
    // A booster of 0.5 m³/h and 120 W; 100 A·h at 24 V with half of it to use: 1200 W·h, 10 h, 5 m³. No sun.
    // Each hour from 0 to 23 wants 0.4 m³; no trough. Frozen from 0 to 3.
    let settings = settings(vec![hydrant("a", 5.0, 0.026, 0.0)], Some(booster(100.0)));
    let demand = vec![0.4; 24];
    let frozen: Vec<bool> = (0..24).map(|h| h < 4).collect();
    let dark = vec![0.0; 24];
    let columns = run(&settings, &days(1), &[&demand], &[&frozen], &dark);
    // A demand of 9.6, 5 with the battery; without it 20 h at 0.5 are enough: nothing short but for the battery.
    assert!(close(columns.short_frozen_m3.iter().sum(), 0.0));
    assert!(close(columns.short_too_small_m3.iter().sum(), 0.0));
    assert!(close(columns.short_battery_m3[23], 4.6));
    assert!(close(columns.volumes.requested_m3, 5.0));
    assert!(columns.cut_out[23] && !columns.cut_out[4]);
    // Frozen to the end of the day from hour 20: the demand then is short by frost.
    let evening: Vec<bool> = (0..24).map(|h| h >= 20).collect();
    let columns = run(&settings, &days(1), &[&demand], &[&evening], &dark);
    assert!(close(columns.short_frozen_m3[23], 1.6));
    // 0 to 19 want 8.0 and the pump can bring all of it; the battery 5.
    assert!(close(columns.short_battery_m3[23], 3.0));
    // 0.6 in each hour is more than the pump has: 2.4 short in 24 h for it, frost again 4 h of 0.6.
    let more = vec![0.6; 24];
    let columns = run(&settings, &days(1), &[&more], &[&evening], &dark);
    assert!(close(columns.short_frozen_m3[23], 2.4));
    assert!(close(columns.short_too_small_m3[23], 0.1 * 20.0));
    assert!(close(columns.short_battery_m3[23], 20.0 * 0.5 - 5.0));
    // A trough of 1 m³ takes its volume off the first of what would be short.
    let trough =
        Settings { hydrants: vec![Hydrant { trough_m3: 1.0, ..settings.hydrants[0].clone() }], ..settings };
    let columns = run(&trough, &days(1), &[&more], &[&evening], &dark);
    assert!(close(columns.short_frozen_m3[23], 1.4));
    let sum = columns.volumes.short_frozen_m3
        + columns.volumes.short_too_small_m3
        + columns.volumes.short_battery_m3;
    assert!(close(sum, 24.0 * 0.6 - 1.0 - 5.0));
}

#[test]
fn sun_on_the_panel_runs_the_pump_and_fills_the_battery() {
    let settings = settings(vec![hydrant("a", 5.0, 0.026, 0.0)], Some(booster(100.0)));
    // 250 W from 8 to 16, 225 behind the controller; a demand of 0.5 an hour from 8 to 16: the pump's 120 W come from the panel.
    let sun: Vec<f64> = (0..48).map(|h| if (8..16).contains(&(h % 24)) { 250.0 } else { 0.0 }).collect();
    let day: Vec<f64> = (0..48).map(|h| if (8..16).contains(&(h % 24)) { 0.5 } else { 0.0 }).collect();
    let columns = run(&settings, &days(2), &[&day], &[], &sun);
    assert!(close(columns.energy.direct_wh, 2.0 * 8.0 * 120.0));
    assert!(close(columns.energy.unused_wh, 2.0 * 8.0 * 105.0));
    assert!(close(columns.energy.discharged_wh, 0.0));
    // Wanted at night: the battery gives 960 W·h and takes 960/0.8 = 1200 of the day's 1800.
    let night: Vec<f64> = (0..48).map(|h| if (0..8).contains(&(h % 24)) { 0.5 } else { 0.0 }).collect();
    let columns = run(&settings, &days(2), &[&night], &[], &sun);
    assert!(close(columns.energy.discharged_wh, 1920.0));
    assert!(close(columns.energy.charged_wh, 2400.0));
    assert!(close(columns.energy.charge_loss_wh, 480.0));
    assert!(close(columns.energy.unused_wh, 1200.0));
    assert!(close(columns.stored_wh[7], 2400.0 - 960.0));
    // Without sun the night's 960 of the 1200 W·h: the second night ends after 2 h of pump, at 2 of 24 h.
    let days_without_sun = columns.battery_days.unwrap();
    assert!(close(days_without_sun.worst_days, 1.0 + 2.0 / 24.0), "{days_without_sun:?}");
}

#[test]
fn a_full_neighbour_leaves_the_flow_to_the_other() {
    // Both want; b is small and shuts first, then a gets the whole pump.
    let hydrants = vec![hydrant("a", 5.0, 0.026, 0.0), hydrant("b", 5.0, 0.026, 0.0)];
    let settings = settings(hydrants, Some(booster(200.0)));
    let (mut a, mut b) = (vec![0.0; 24], vec![0.0; 24]);
    (a[10], b[10]) = (0.35, 0.1);
    let columns = run(&settings, &days(1), &[&a, &b], &[], &[0.0; 24]);
    let [a, b] = [&columns.hydrants[0], &columns.hydrants[1]];
    assert!(
        close(a.together_m3_per_h, 0.25) && close(b.together_m3_per_h, 0.25) && close(a.alone_m3_per_h, 0.5)
    );
    // 0.4 h at 0.25 each, then 0.5 h at 0.5: 0.9 h in all, one start.
    assert!(close(a.requested_m3[10], 0.35) && close(b.requested_m3[10], 0.1));
    assert!(close(columns.booster_w[10], 0.9 * 120.0));
    assert!(close(columns.starts[10], 1.0) && close(columns.most_starts_per_day, 1.0));
}

#[test]
fn the_pressure_tank_counts_starts() {
    let psi = 6_894.757_293;
    let tank = PressureTank {
        volume_m3: 0.3217,
        precharge_pa: 8.0 * psi,
        cut_in_pa: 10.0 * psi,
        cut_out_pa: 30.0 * psi,
    };
    let booster = BoosterSettings { tank: Some(tank), ..booster(200.0) };
    let settings = settings(vec![hydrant("a", 5.0, 0.008, 0.0)], Some(booster));
    let mut demand = vec![0.0; 24];
    demand[10] = 0.02;
    let columns = run(&settings, &days(1), &[&demand], &[], &[0.0; 24]); // The water drawn, over what a whole cycle brings: drawdown · pump/(pump − drawn).
    let q = columns.hydrants[0].alone_m3_per_h;
    let drawdown = tank.drawdown_m3(PA);
    assert!(q > 0.02 && q < 0.2, "{q}");
    assert!(close(columns.starts[10], 0.02 / (drawdown * 0.5 / (0.5 - q))));
    assert!(close(columns.shortest_run_h.unwrap(), drawdown / (0.5 - q)));
    assert_eq!(columns.spares_the_motor, Some(true));
    // Each cubic metre takes the pump 2 h of 120 W.
    assert!(close(columns.booster_w[10], 0.02 / 0.5 * 120.0));
}

#[test]
fn all_faults_at_once() {
    let mut bad = booster(5.0);
    bad.battery.cut_out = 1.0;
    bad.controller_efficiency = 1.2;
    let mut settings = settings(vec![hydrant("a", 5.0, 0.026, -1.0)], Some(bad));
    let keys = |s: &Settings| -> Vec<String> {
        check(s, PA).unwrap_err().into_iter().filter_map(|f| f.location.key).collect()
    };
    assert_eq!(
        keys(&settings),
        [
            "hydrant.a.trough",
            "booster.controller_efficiency",
            "booster.battery.cut_out",
            "booster.battery.capacity"
        ]
    );
    // 5 A·h at 24 V: 60 W·h to use, an hour takes 120.
    settings.booster = Some(booster(5.0));
    settings.hydrants[0].trough_m3 = 1.0;
    let faults = check(&settings, PA).unwrap_err();
    assert_eq!(faults.len(), 1);
    assert!(
        faults[0].to_string().contains("60 Wh to use, and the pump takes 120 Wh an hour"),
        "{}",
        faults[0]
    );
    settings.booster = Some(booster(100.0));
    settings.hydrants[0].height_m = 29.5;
    assert_eq!(keys(&settings), ["hydrant.a.height"]);
    settings.booster = None;
    let text = check(&settings, PA).unwrap_err()[0].to_string();
    assert!(text.starts_with("hydrant.a.height: 30.5 m above the tank's outlet"), "{text}");
    settings.hydrants.clear();
    assert_eq!(keys(&settings), ["hydrant"]);
}

/// A year's hours for two hydrants, from a small set of random numbers.
fn year(seed: &[f64]) -> (Vec<f64>, Vec<f64>, Vec<bool>, Vec<f64>) {
    let pick = |h: usize, k: usize| seed[(h * 7 + k * 13 + h / 24) % seed.len()];
    let n = 24 * 60;
    (
        (0..n).map(|h| if pick(h, 0) < 0.3 { 0.5 * pick(h, 1) } else { 0.0 }).collect(),
        (0..n).map(|h| if pick(h, 2) < 0.4 { 0.3 * pick(h, 3) } else { 0.0 }).collect(),
        (0..n).map(|h| pick(h / 12, 4) < 0.2).collect(),
        (0..n).map(|h| if (7..17).contains(&(h % 24)) { 200.0 * pick(h, 5) } else { 0.0 }).collect(),
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn volumes_and_energy_close_and_causes_add_up(
        seed in proptest::collection::vec(0.0_f64..1.0, 50..200),
        capacity in 15.0_f64..150.0,
        trough in 0.0_f64..1.0,
        peukert in 1.0_f64..1.3,
        cold in -15.0_f64..25.0,
        reconnect in 0.5_f64..0.8,
        none in proptest::bool::ANY,
    ) {
        let (a, b, frozen, sun) = year(&seed);
        let mut booster = booster(capacity);
        booster.battery.rate = RateLaw::Peukert(peukert);
        booster.battery.cold_per_k = 0.008;
        booster.battery.self_discharge_per_month = 0.04;
        booster.battery.reconnect = reconnect;
        booster.battery_degc = Some(cold);
        booster.standby_w = 1.5;
        let mut settings = settings(
            vec![hydrant("a", 5.0, 0.020, trough), hydrant("b", 12.0, 0.0131, 0.3)],
            Some(booster),
        );
        settings.shared = pipe(150.0, 0.020);
        settings.carry = if none { Carry::None } else { Carry::WithinDay };
        prop_assume!(check(&settings, PA).is_ok());
        let never = vec![false; a.len()];
        let calendar = Calendar::new(Calendar::year(2023).days()[..60].to_vec(), 0);
        let columns = run(&settings, &calendar, &[&a, &b], &[&frozen, &never], &sun);
        let v = &columns.volumes;
        prop_assert!(v.residual_m3().abs() <= 1e-9 * v.demand_m3.max(1.0), "{v:?}");
        prop_assert!(columns.energy.residual_wh() <= 1e-9 * columns.energy.scale_wh(), "{:?}", columns.energy);
        prop_assert!((columns.energy.load_wh - columns.booster_w.iter().sum::<f64>()) >= -1e-6);
        // Never negative, never more in a trough than it holds, never more requested than it can take.
        for (hydrant, s) in columns.hydrants.iter().zip(&settings.hydrants) {
            for h in 0..a.len() {
                prop_assert!(hydrant.requested_m3[h] >= 0.0);
                prop_assert!(hydrant.level_m3[h] <= s.trough_m3 + 1e-12);
                prop_assert!(hydrant.short_frozen_m3[h] >= 0.0);
                prop_assert!(hydrant.short_too_small_m3[h] >= 0.0);
                prop_assert!(hydrant.short_battery_m3[h] >= 0.0);
            }
        }
        // Where frost is, b is not: nothing of b's is frost's. Its frozen hours ask for nothing.
        prop_assert!(columns.hydrants[1].short_frozen_m3.iter().all(|s| *s <= 0.0));
        for (asked, f) in columns.hydrants[0].requested_m3.iter().zip(&frozen) {
            prop_assert!(!f || *asked <= 0.0);
        }
        // A cause that is taken away takes its shortage with it, and leaves those before it as they were.
        let none_frozen = run(&settings, &calendar, &[&a, &b], &[], &sun);
        prop_assert!(none_frozen.volumes.short_frozen_m3 <= 0.0);
        let mut endless = settings.clone();
        if let Some(b) = &mut endless.booster {
            b.battery.capacity_ah = 1e6;
            b.battery.rated_h = 1e-3;
        }
        let endless = run(&endless, &calendar, &[&a, &b], &[&frozen, &never], &sun);
        prop_assert!(endless.volumes.short_battery_m3 <= 1e-9);
        prop_assert!((endless.volumes.short_frozen_m3 - v.short_frozen_m3).abs() < 1e-9);
        prop_assert!((endless.volumes.short_too_small_m3 - v.short_too_small_m3).abs() < 1e-6);
    }
}

#[test]
fn a_year_comes_round() {
    let settings = settings(vec![hydrant("a", 5.0, 0.026, 0.5)], Some(booster(100.0)));
    let calendar = Calendar::year(2023);
    let n = calendar.hours();
    let mut demand = vec![0.0; n]; // The last hour of the year empties the trough: the first hour of the repeated year must fill it.
    demand[n - 1] = 2.0;
    let columns = run(&settings, &calendar, &[&demand], &[], &vec![100.0; n]);
    assert!(columns.requested_m3[0] > 0.49, "{}", columns.requested_m3[0]);
    assert!(close(columns.volumes.residual_m3(), 0.0));
    assert!(close(columns.volumes.start_m3, columns.volumes.end_m3));
    assert!(close(columns.energy.start_wh, columns.energy.end_wh));
}

/// Without panels a battery falls by the same each year: one that lasts for 30 years has not come round after 20, one that
/// is empty after some weeks has.
#[test]
fn a_delivery_that_does_not_come_round_says_so() {
    let calendar = Calendar::year(2001);
    let demand: Vec<f64> = (0..8760).map(|h| if h % 24 == 12 { 0.1 } else { 0.0 }).collect();
    let with = |capacity_ah: f64| {
        let settings = settings(vec![hydrant("hill", 10.0, 0.040, 0.5)], Some(booster(capacity_ah)));
        let inputs = Inputs {
            calendar: &calendar,
            demand_m3: &[&demand],
            frozen: &[],
            panel_w: &vec![0.0; 8760],
            air_degc: &vec![25.0; 8760],
            air_pa: PA,
        };
        delivery(&settings, &inputs).unwrap()
    };
    // A fifth of an hour at 5 A is 1 Ah a day, of half of what the battery holds.
    let never = with(2.0 * 365.0 * 30.0);
    assert!(!never.settled);
    assert!(never.energy.end_wh < never.energy.start_wh);
    let soon = with(60.0);
    assert!(soon.settled && soon.volumes.short_battery_m3 > 0.0);
    let few = Calendar::new(calendar.days()[..30].to_vec(), 0);
    let line = delivery(
        &settings(vec![hydrant("hill", 10.0, 0.040, 0.5)], Some(booster(600.0))),
        &Inputs {
            calendar: &few,
            demand_m3: &[&demand[..720]],
            frozen: &[],
            panel_w: &vec![0.0; 720],
            air_degc: &vec![25.0; 720],
            air_pa: PA,
        },
    );
    assert!(line.unwrap().settled, "a record that does not repeat has nothing to come round to");
}
