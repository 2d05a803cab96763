//! Stops at the cut-out: what is lifted all the same, and at which flow and head.

use super::*;

/// A weak well and constant power: what a day gives, and the greatest drawdown.
pub(super) fn weak_well(watts: f64, restart: Option<Restart>, hours: usize) -> (f64, f64, u32) {
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
        let hour = system.step(&mut state, 6, &Power::watts(watts), 1.0, &mut Vec::new());
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

/// A well that comes back beyond its restart level in the night is ready in the morning: the second day is like the first.
#[test]
fn a_well_that_came_back_in_the_night_is_pumped_in_the_morning() {
    let mut s = settings(displacement(0.05, 0.05), coupling::Settings::tracking(1.0), 20.0);
    s.well.specific_capacity_m3_per_h_m = Some(0.05);
    s.well.pump_setting_m = Some(30.0);
    s.well.submergence_m = 1.0;
    s.well.restart = Some(Restart::Level(25.0));
    bore(&mut s, 0.15);
    let system = System::new(&s).unwrap();
    let mut state = system.at_rest();
    let mut day = || {
        let sun = |hour: u32| if (8..16).contains(&hour) { 150.0 } else { 0.0 };
        let step =
            |state: &mut State, hour| system.step(state, 6, &Power::watts(sun(hour)), 1.0, &mut Vec::new());
        let hours: Vec<_> = (0..24).map(|hour| step(&mut state, hour)).collect();
        let stops: u32 = hours.iter().map(|hour| hour.stops).sum();
        (hours.iter().map(|hour| hour.lifted_m3).sum::<f64>(), stops, hours[23].drawdown_end_m.unwrap())
    };
    let ((first, stops, morning_m), (second, ..)) = (day(), day());
    // Its last stop of the day was above the level at which it may start; the night has seen to that.
    assert!(stops > 2 && morning_m < 5.0, "{stops} stops, {morning_m} m");
    assert!(first > 1.0 && (second / first - 1.0).abs() < 0.05, "{first} m³, then {second} m³");
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
        let hour = system.step(&mut system.at_rest(), 6, &Power::watts(150.0), 1.0, &mut Vec::new());
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
