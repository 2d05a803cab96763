//! Where more sun offers less.

use super::stops::weak_well;
use super::*;

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
