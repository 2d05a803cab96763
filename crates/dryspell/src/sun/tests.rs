//! The stage as a whole: columns, instants, horizon.

use super::plane::{Plane, plane_light};
use super::*;
use crate::calendar::{Calendar, Day};
use crate::record::{Place, YearKind};

pub(crate) fn record(latitude_deg: f64, days: Vec<Day>) -> Record {
    let calendar = Calendar::new(days, 0);
    let n = calendar.hours();
    Record {
        place: Place {
            name: "nowhere".into(),
            latitude_deg,
            longitude_deg: 15.0,
            elevation_m: 100.0,
            utc_offset_h: 1.0,
        },
        kind: YearKind::Typical,
        ghi_w_per_m2: vec![0.0; n],
        air_degc: vec![10.0; n],
        ..Record::without_weather(calendar)
    }
}

fn days(dates: &[(i32, u8, u8)]) -> Vec<Day> {
    dates.iter().map(|&(year, month, day)| Day { year, month, day }).collect()
}

#[test]
fn noon_is_south_and_each_day_stands_alone() {
    let stitched =
        sky(&Settings::default(), &record(45.0, days(&[(1988, 1, 31), (1996, 2, 1), (1990, 3, 1)]))).unwrap();
    let alone = sky(&Settings::default(), &record(45.0, days(&[(1996, 2, 1)]))).unwrap();
    assert_eq!(stitched.zenith_deg[24..48], alone.zenith_deg[..]);
    assert!((alone.hour(12).azimuth_deg() - 180.0).abs() < 10.0);
    // All night: the hour's middle.
    assert_eq!((alone.sun_minute[0], alone.lit_fraction[0]), (30.0, 0.0));
    assert!(!alone.sun_seen[0] && alone.sun_seen[12]);
}

#[test]
fn a_date_that_does_not_exist_is_a_fault() {
    let fault = sky(&Settings::default(), &record(45.0, days(&[(2001, 2, 29)]))).unwrap_err();
    assert_eq!(
        fault.to_string(),
        "weather.date: 2001-02-29 in hour 0; dates that exist; correct the date in the weather file"
    );
}

/// A clear sky of constant clearness seen at one instant an hour gives that clearness with the hour's own sun.
#[test]
fn instants_are_rebuilt_with_the_hours_own_sun() {
    let mut r = record(45.0, days(&[(2005, 5, 20)]));
    let minutes_after_start = 10.0;
    r.radiation_time = RadiationTime::Instant { minutes_after_start };
    let site = Site::new(&r.place);
    let outside = extraterrestrial_normal(140.0, SOLAR_CONSTANT_W_PER_M2);
    let (mut ghi, mut dhi) = (vec![], vec![]);
    for h in 0..24 {
        let jd =
            julian_date(r.calendar.day_of(h).date().unwrap(), (h as f64 - 1.0) * 60.0 + minutes_after_start);
        let sun = sun_position(&mut Ephemeris::default(), &site, jd).unwrap();
        let g = 0.6 * outside * sun.direction[2].max(0.0);
        ghi.push(g);
        dhi.push(0.3 * g);
    }
    let seen: f64 = ghi.iter().sum();
    r.ghi_w_per_m2 = ghi;
    r.dhi_w_per_m2 = Some(dhi);
    let sky = sky(&Settings::default(), &r).unwrap();
    let mut rebuilt = 0.0;
    for h in 0..24 {
        let expected = 0.6 * outside * sky.direction[h][2].max(0.0) * sky.lit_fraction[h];
        // A Julian date is good to 40 µs.
        assert!((sky.ghi_w_per_m2[h] - expected).abs() < 1e-5, "{h}: {} v {expected}", sky.ghi_w_per_m2[h]);
        rebuilt += sky.ghi_w_per_m2[h];
        if sky.zenith_deg[h] < 87.0 {
            let beam = 0.7 * expected / sky.direction[h][2];
            assert!((sky.dni_w_per_m2[h] - beam).abs() < 1e-6 * beam);
        }
    }
    // Twenty minutes of shift leave the day's sum as it was.
    assert!((rebuilt / seen - 1.0).abs() < 0.01, "{rebuilt} v {seen}");
    // The hour of sunrise has light although its scan came before the sun.
    let rise = (0..24).find(|&h| sky.lit_fraction[h] > 0.0).unwrap();
    assert!(r.ghi_w_per_m2[rise] < sky.ghi_w_per_m2[rise]);
}

#[test]
fn a_hill_takes_the_beam_and_what_is_around_the_sun() {
    let mut r = record(45.0, days(&[(2005, 5, 20)]));
    r.ghi_w_per_m2 = vec![500.0; 24];
    r.dni_w_per_m2 = Some(vec![600.0; 24]);
    r.dhi_w_per_m2 = Some(vec![100.0; 24]);
    let flat = sky(&Settings::default(), &r).unwrap();
    let hill = Horizon { points_deg: vec![(60.0, 0.0), (80.0, 40.0), (110.0, 40.0), (130.0, 0.0)] };
    let hidden = sky(&Settings { horizon: Some(hill.clone()), ..Settings::default() }, &r).unwrap();
    let plane = Plane::new(30.0, 100.0);
    let within = Plane::within(30.0, 100.0, Some(&hill));
    let factor = horizon::sky_seen(&hill, 30.0, 100.0);
    assert!((0.7..0.99).contains(&factor), "{factor}");
    let mut less = 0;
    for h in 0..24 {
        for model in [SkyModel::Isotropic, SkyModel::HayDavies, SkyModel::Perez] {
            let open = plane_light(model, &flat.hour(h), &plane);
            let shut = plane_light(model, &hidden.hour(h), &plane);
            let behind = plane_light(model, &hidden.hour(h), &within);
            assert!((behind.sky.isotropic - factor * shut.sky.isotropic).abs() < 1e-12);
            if hidden.sun_seen[h] == flat.sun_seen[h] {
                assert_eq!(open, shut);
            } else {
                less += 1;
                assert!(shut.beam.abs() < 1e-12 && shut.sky.circumsolar.abs() < 1e-12);
                assert!((shut.sky.isotropic - open.sky.isotropic).abs() < 1e-12);
                assert!((shut.ground - open.ground).abs() < 1e-12);
                assert!(open.beam > 0.0);
            }
        }
    }
    assert!(less >= 3 * 2, "the hill hides the sun for some hours: {less}");
}

#[test]
fn no_beam_from_a_sun_below_the_horizon() {
    let hour = SkyHour {
        zenith_deg: 90.2,
        direction: [0.98, -0.17, -0.0035],
        extraterrestrial_normal_w_per_m2: 1360.0,
        ghi_w_per_m2: 5.0,
        dni_w_per_m2: 40.0,
        dhi_w_per_m2: 5.0,
        albedo: 0.2,
        sun_seen: false,
    };
    for model in [SkyModel::Isotropic, SkyModel::HayDavies, SkyModel::Perez] {
        let light = plane_light(model, &hour, &Plane::new(90.0, 100.0));
        assert!((light.total() - (2.5 + 0.5)).abs() < 1e-12, "{model:?}: {light:?}");
    }
}

proptest::proptest! {
    #[test]
    fn a_level_plane_gets_the_global_light_back(
        zenith_deg in 0.0..84.9_f64, azimuth_deg in 0.0..360.0_f64, dni in 0.0..1000.0_f64, dhi in 0.1..500.0_f64,
        faces in 0.0..360.0_f64, model in 0..3,
    ) {
        let (s, c) = libm::sincos(zenith_deg.to_radians());
        let (sa, ca) = libm::sincos(azimuth_deg.to_radians());
        let hour = SkyHour {
            zenith_deg, direction: [s * sa, s * ca, c], extraterrestrial_normal_w_per_m2: 1366.0,
            ghi_w_per_m2: dni * c + dhi, dni_w_per_m2: dni, dhi_w_per_m2: dhi, albedo: 0.3, sun_seen: true,
        };
        let model = [SkyModel::Isotropic, SkyModel::HayDavies, SkyModel::Perez][usize::try_from(model).unwrap()];
        let light = plane_light(model, &hour, &Plane::new(0.0, faces));
        proptest::prop_assert!((light.total() - hour.ghi_w_per_m2).abs() < 1e-9 * (1.0 + hour.ghi_w_per_m2));
    }

    #[test]
    fn light_on_a_plane_is_never_negative(
        zenith_deg in 0.0..100.0_f64, dni in 0.0..1100.0_f64, dhi in 0.0..600.0_f64, tilt in 0.0..=90.0_f64,
        faces in 0.0..360.0_f64, model in 0..3, seen in proptest::bool::ANY,
    ) {
        let (s, c) = libm::sincos(zenith_deg.to_radians());
        let hour = SkyHour {
            zenith_deg, direction: [0.0, -s, c], extraterrestrial_normal_w_per_m2: 1366.0,
            ghi_w_per_m2: dni * c.max(0.0) + dhi, dni_w_per_m2: dni, dhi_w_per_m2: dhi, albedo: 0.2,
            sun_seen: seen && zenith_deg < 90.0,
        };
        let model = [SkyModel::Isotropic, SkyModel::HayDavies, SkyModel::Perez][usize::try_from(model).unwrap()];
        let light = plane_light(model, &hour, &Plane::new(tilt, faces));
        proptest::prop_assert!(light.beam >= 0.0 && light.sky.total() >= 0.0 && light.ground >= 0.0);
        proptest::prop_assert!(light.total().is_finite() && light.total() < 20_000.0);
    }
}
