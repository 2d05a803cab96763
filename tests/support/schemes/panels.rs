//! Panels of a given power, and snow on them.

use dryspell::units::Quantity as Q;

use super::super::random::{Random, three_digits};
use super::draft::{Draft, Value, bare, head, percent, quantity, rows, text};
use super::lift::Duty;

/// Modules: short-circuit current, open-circuit voltage, current and voltage at maximum power, cells.
const MODULES: [(f64, f64, f64, f64, u32); 4] = [
    (6.1, 22.6, 5.7, 18.3, 36),
    (9.6, 40.2, 9.05, 33.4, 60),
    (5.6, 43.5, 5.2, 36.0, 72),
    (10.4, 48.9, 9.9, 40.6, 72),
];

pub fn panels(d: &mut Draft, r: &mut Random, duty: Duty, power_w: f64, voltage_v: f64) {
    let wanted_w = power_w * r.between(1.0, 2.2);
    let number = *r.pick(&[1, 1, 1, 2, 2, 3]);
    for name in &["shed", "roof", "slope"][..number] {
        let path = format!("array.{name}");
        let (_, _, imp, vmp, _) = array(d, r, &path, duty.latitude_deg, None);
        // Strings near the pump's voltage; arrays beside each other may differ by a module.
        let series = ((1.15 * voltage_v / vmp).round() as u32).max(1) + u32::from(r.chance(0.2));
        let strings = (wanted_w / number as f64 / (imp * vmp * f64::from(series))).round() as u32;
        d.set(&path, "series", bare(series));
        if strings > 1 || r.chance(0.3) {
            d.set(&path, "parallel", bare(strings.clamp(1, 60)));
        }
    }
    if r.chance(0.4) {
        snow(d, r, duty.latitude_deg < 0.0);
    }
    let at = "site";
    if r.chance(0.3) {
        d.set(at, "albedo", bare(r.between(0.1, 0.4)));
    }
    if r.chance(0.4) {
        d.set(at, "sky", text(*r.pick(&["perez", "hay-davies", "isotropic"])));
    }
    if r.chance(0.3) {
        let list = [30.0, 110.0, 200.0, 300.0]
            .map(|a| vec![quantity(a, "deg", Q::Angle), quantity(r.between(0.0, 12.0), "deg", Q::Angle)]);
        d.set(at, "horizon", rows(list.to_vec()));
    }
    if r.chance(0.25) {
        d.set(at, "inside_hour", text(*r.pick(&["hourly mean", "distribution"])));
    }
}

/// One array but for its number of modules; the module it has.
pub fn array(
    d: &mut Draft,
    r: &mut Random,
    path: &str,
    latitude_deg: f64,
    kind: Option<usize>,
) -> (f64, f64, f64, f64, u32) {
    let tilt = (latitude_deg.abs() + r.between(-15.0, 15.0)).round().clamp(5.0, 80.0);
    d.set(path, "tilt", quantity(tilt, "deg", Q::Angle));
    if r.chance(0.2) {
        let seasons = [("10-15 to 02-28", 15.0), ("05-01 to 08-15", -20.0)].map(|(dates, more)| {
            vec![text(dates), quantity((tilt + more).clamp(0.0, 85.0), "deg", Q::Angle)]
        });
        d.set(path, "seasonal_tilt", rows(seasons.to_vec()));
    }
    let faces = if latitude_deg < 0.0 { 0.0 } else { 180.0 };
    if r.chance(0.5) {
        d.set(path, "azimuth", text(if latitude_deg < 0.0 { "north" } else { "south" }));
    } else {
        d.set(path, "azimuth", bare((faces + r.between(-50.0, 50.0).round() + 360.0) % 360.0));
    }
    match r.below(3) {
        0 => d.set(path, "soiling", percent(r.between(0.0, 0.06))),
        1 if r.chance(0.5) => {
            d.set(path, "dust", quantity(r.between(0.02, 0.3), "%", Q::Fraction));
            if r.chance(0.5) {
                d.set(path, "cleaning_rain", quantity(r.between(1.0, 8.0), "mm", Q::Length));
            }
            if r.chance(0.5) {
                d.set(path, "dust_free_for", quantity(*r.pick(&[3.0, 7.0, 14.0]), "days", Q::Duration));
            }
        }
        _ => {}
    }
    if r.chance(0.3) {
        d.set(path, "slope_strings", bare(1 + r.below(3)));
    }
    if r.chance(0.5) {
        d.set(path, "mismatch", percent(r.between(0.0, 0.03)));
    }
    if r.chance(0.2) {
        d.set(path, "incidence_loss", bare(false));
    } else if r.chance(0.25) {
        d.set(path, "ashrae_coefficient", bare(0.05));
    }
    if r.chance(0.2) {
        d.set(path, "heat_loss", quantity(r.between(20.0, 35.0), "W/m2/K", Q::HeatLoss));
        d.set(path, "wind_heat_loss", quantity(r.between(0.0, 8.0), "W s/m3/K", Q::WindHeatLoss));
    }
    cable(d, r, &format!("{path}.cable"));
    let module = MODULES[kind.unwrap_or_else(|| r.below(MODULES.len()))];
    let at = format!("{path}.module");
    let (isc, voc, imp, vmp, cells) = module;
    // By the tilt, so that no more is drawn and seeded schemes stay as they were.
    let plate = (tilt as u32).is_multiple_of(9).then_some((tilt as u32).is_multiple_of(2));
    if plate.is_none() {
        d.set(&at, "isc_temperature", quantity(0.05, "%/K", Q::FractionPerKelvin));
    }
    if r.chance(0.25) && plate.is_none() {
        // About the same module by the five parameters.
        let ideality = 0.0275 * f64::from(cells);
        d.set(&at, "photocurrent", quantity(isc, "A", Q::Current));
        d.set(
            &at,
            "saturation_current",
            quantity(three_digits(isc * (-voc / ideality).exp() * 1e9), "nA", Q::Current),
        );
        d.set(&at, "series_resistance", quantity(0.3, "ohm", Q::Resistance));
        d.set(&at, "shunt_resistance", quantity(400.0, "ohm", Q::Resistance));
        d.set(&at, "ideality", quantity(three_digits(ideality), "V", Q::Voltage));
        return module;
    }
    if let Some(by_voltage) = plate {
        d.set(&at, "power", quantity(three_digits(imp * vmp), "W", Q::Power));
        match (by_voltage, cells) {
            (true, 36) => d.set(&at, "nominal_voltage", quantity(12.0, "V", Q::Voltage)),
            (true, 60) => d.set(&at, "nominal_voltage", quantity(20.0, "V", Q::Voltage)),
            (true, 72) => d.set(&at, "nominal_voltage", quantity(24.0, "V", Q::Voltage)),
            _ => d.set(&at, "cells", bare(cells)),
        }
        return module;
    }
    for (key, value, unit, q) in [
        ("isc", isc, "A", Q::Current),
        ("voc", voc, "V", Q::Voltage),
        ("imp", imp, "A", Q::Current),
        ("vmp", vmp, "V", Q::Voltage),
    ] {
        d.set(&at, key, quantity(value, unit, q));
    }
    d.set(&at, "cells", bare(cells));
    d.set(&at, "voc_temperature", quantity(-0.3, "%/K", Q::FractionPerKelvin));
    module
}

fn cable(d: &mut Draft, r: &mut Random, at: &str) {
    match r.below(5) {
        0 => d.set(at, "resistance", quantity(r.between(0.01, 0.3), "ohm", Q::Resistance)),
        1 => {
            d.set(at, "length", head(r.between(5.0, 60.0)));
            d.set(at, "awg", bare(r.pick(&[4, 6, 8, 10])));
        }
        2 => {
            d.set(at, "length", head(r.between(5.0, 60.0)));
            d.set(at, "area", quantity(*r.pick(&[4.0, 6.0, 10.0]), "mm2", Q::Area));
        }
        _ => {}
    }
}

fn snow(d: &mut Draft, r: &mut Random, south: bool) {
    let at = "snow";
    let dates = |a: &str, b: &str| Value::List(vec![text(if south { a } else { b })]);
    match r.below(3) {
        0 => d.set(at, "covered", dates("07-05 to 07-09", "12-28 to 01-04")),
        1 => {
            let days = (0..12).map(|_| quantity(r.below(4) as f64, "days", Q::Duration));
            d.set(at, "covered_days", Value::List(days.collect()));
        }
        _ => {}
    }
    if r.chance(0.5) {
        d.set(at, "from_weather", bare(r.chance(0.6)));
    }
    if r.chance(0.4) {
        d.set(at, "swept", dates("06-20 to 08-10", "12-20 to 02-20"));
        d.set(at, "swept_at", quantity(r.between(8.0, 14.0), "h", Q::Duration));
    }
    if r.chance(0.2) {
        d.set(at, "from_rain", text(*r.pick(&["least", "most"])));
    }
}
