//! Against the full algorithm, and what must hold anywhere.

use super::site::REFRACTION_AIR_DEGC;
use super::*;
use crate::fault::FaultKind;
use crate::sun::pressure::standard_pressure_pa;
use libm::sincos;
use solar_positioning::{Location, RefractionCorrection, SolarPositions, delta_t, time::JulianDate};

#[test]
fn within_a_hundredth_of_a_degree_of_the_full_algorithm_every_hour() {
    let sites = [
        (36.1, -79.95, 273.0),
        (-34.0, 18.5, 1500.0),
        (0.3, 36.0, 1800.0),
        (69.6, 18.9, 10.0),
        (-77.8, 166.7, 0.0),
        (23.4, -110.0, 0.0),
    ];
    let mut worst = (0.0_f64, 0.0_f64);
    for (n, (latitude, longitude, elevation)) in sites.into_iter().enumerate() {
        let pressure_pa = standard_pressure_pa(elevation);
        let site = Site::with_air(latitude, longitude, elevation, pressure_pa, REFRACTION_AIR_DEGC);
        let mut ephemeris = Ephemeris::default();
        let refraction = RefractionCorrection::new(pressure_pa / 100.0, REFRACTION_AIR_DEGC).unwrap();
        for year in [1950, 1972, 1999, 2024, 2063, 2100] {
            for day in 0..365 {
                let date = chrono::NaiveDate::from_yo_opt(year, 1 + day).unwrap();
                // Every hour of the day is met over the sites and days; each at an odd minute.
                for hour in [0_u32, 5, 8, 11, 12, 15, 19, 22] {
                    let minutes =
                        f64::from((hour + day) % 24) * 60.0 + 7.0 * f64::from(u8::try_from(n).unwrap()) + 3.3;
                    let jd = julian_date(date, minutes);
                    let ours = sun_position(&mut ephemeris, &site, jd).unwrap();
                    let dt = delta_t::estimate_from_date(year, chrono::Datelike::month(&date)).unwrap();
                    let full = SolarPositions::new()
                        .at_from_julian(
                            JulianDate::new(jd, dt).unwrap(),
                            Location { latitude, longitude },
                            elevation,
                            Some(refraction),
                        )
                        .unwrap();
                    let zenith = (ours.zenith_deg - full.zenith_angle()).abs();
                    // An azimuth counts by the arc it moves the sun on the sky.
                    let turn = (ours.azimuth_deg() - full.azimuth() + 540.0).rem_euclid(360.0) - 180.0;
                    let (sin_zenith, _) = sincos(full.zenith_angle().to_radians());
                    worst = (worst.0.max(zenith), worst.1.max(turn.abs() * sin_zenith));
                    if full.zenith_angle() > 3.0 {
                        assert!(turn.abs() < 0.01, "{date} {minutes}: azimuth off by {turn}");
                    }
                }
            }
        }
    }
    assert!(worst.0 < 0.001 && worst.1 < 0.001, "worst zenith and arc of azimuth {worst:?}");
}

#[test]
fn a_jump_between_years_gives_what_a_fresh_start_gives() {
    let site = Site::with_air(36.1, -79.95, 273.0, 98_000.0, 12.0);
    let mut going = Ephemeris::default();
    for (year, ordinal) in [(1988, 30), (1988, 31), (1996, 32), (1996, 59), (1990, 60), (1980, 91)] {
        let jd = julian_date(chrono::NaiveDate::from_yo_opt(year, ordinal).unwrap(), 1000.0);
        let fresh = sun_position(&mut Ephemeris::default(), &site, jd).unwrap();
        assert_eq!(sun_position(&mut going, &site, jd).unwrap(), fresh);
    }
}

#[test]
fn a_year_beyond_the_model_is_a_fault_that_says_so() {
    let site = Site::with_air(0.0, 0.0, 0.0, 101_325.0, 12.0);
    let fault = sun_position(&mut Ephemeris::default(), &site, 1e7).unwrap_err();
    assert_eq!(fault.kind, FaultKind::Weather);
    assert!(fault.to_string().contains("-500 to 3000"), "{fault}");
}

proptest::proptest! {
    #[test]
    fn zenith_and_azimuth_stay_in_range(
        latitude in -90.0..=90.0_f64, longitude in -180.0..=180.0_f64, days in 0.0..55_000.0_f64,
    ) {
        let site = Site::with_air(latitude, longitude, 0.0, 101_325.0, 12.0);
        let sun = sun_position(&mut Ephemeris::default(), &site, 2_433_282.5 + days).unwrap();
        proptest::prop_assert!((-0.01..=180.0).contains(&sun.zenith_deg));
        proptest::prop_assert!((0.0..=360.0).contains(&sun.azimuth_deg()));
        let [e, n, u] = sun.direction;
        proptest::prop_assert!((e * e + n * n + u * u - 1.0).abs() < 1e-9);
        let (sin_zenith, cos_zenith) = sincos(sun.zenith_deg.to_radians());
        proptest::prop_assert!((u - cos_zenith).abs() < 1e-7);
        proptest::prop_assert!((e - sin_zenith * libm::sin(sun.azimuth_deg().to_radians())).abs() < 1e-7);
    }
}
