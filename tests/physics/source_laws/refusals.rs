//! What no controller and no well can be.

use super::*;

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
