//! The stage as a whole: several arrays, snow, soiling, night.

use super::*;
use crate::calendar::{Calendar, MonthDay};
use crate::record::{Place, RadiationTime, Source, YearKind};

const M36: OneDiode = OneDiode {
    photocurrent_a: 4.980938,
    saturation_current_a: 9.686902e-10,
    series_resistance_ohm: 0.326085,
    shunt_resistance_ohm: 148.161652,
    modified_ideality_v: 0.976234,
    isc_temperature_a_per_k: 0.004423,
    band_gap_ev: one_diode::SILICON_BAND_GAP_EV,
};

fn one(name: &str, series: u32, azimuth_deg: f64) -> ArraySettings {
    ArraySettings {
        name: name.into(),
        tilt_deg: 30.0,
        azimuth_deg,
        module: Module::Parameters(M36),
        series,
        parallel: 1,
        soiling: 0.0,
        mismatch: 0.0,
        cable_ohm: 0.0,
        incidence_loss: false,
        faiman: Faiman::default(),
    }
}

/// A year with the same bell of light every day.
fn record() -> Record {
    let calendar = Calendar::year(2001);
    let n = calendar.hours();
    let bell = |h: usize, top: f64| top * libm::sin((h % 24) as f64 / 24.0 * std::f64::consts::PI).max(0.0);
    let lit = |h: usize| (6..18).contains(&(h % 24));
    let column = |top: f64| (0..n).map(|h| if lit(h) { bell(h, top) } else { 0.0 }).collect::<Vec<_>>();
    Record {
        place: Place {
            name: "nowhere".into(),
            latitude_deg: 30.0,
            longitude_deg: 0.0,
            elevation_m: 0.0,
            utc_offset_h: 0.0,
        },
        calendar,
        kind: YearKind::Synthetic,
        radiation_time: RadiationTime::HourMean,
        ghi_w_per_m2: column(700.0),
        dni_w_per_m2: Some(column(600.0)),
        dhi_w_per_m2: Some(column(200.0)),
        air_degc: vec![12.0; n],
        wind_m_per_s: None,
        albedo: None,
        snow_depth_m: None,
        precipitation_mm: None,
        relative_humidity: None,
        pressure_pa: None,
        source: Source::default(),
    }
}

fn run(arrays: Vec<ArraySettings>, covered: Vec<DateSpan>) -> Columns {
    let sun = sun::Settings::default();
    let record = record();
    let sky = sun::sky(&sun, &record).unwrap();
    array(&Settings { arrays, covered }, &sky, &sun, &record).unwrap()
}

#[test]
fn arrays_add_up_and_weigh_by_their_peak() {
    let (east, west) = (one("east", 1, 90.0), one("west", 3, 270.0));
    let both = run(vec![east.clone(), west.clone()], vec![]);
    let (a, b) = (run(vec![east], vec![]), run(vec![west], vec![]));
    assert!((both.peak_w - 4.0 * 80.15).abs() < 0.01);
    for h in (0..8760).step_by(7) {
        assert!((both.array_w[h] - a.array_w[h] - b.array_w[h]).abs() < 1e-9);
        let plane = 0.25 * a.plane_w_per_m2[h] + 0.75 * b.plane_w_per_m2[h];
        assert!((both.plane_w_per_m2[h] - plane).abs() < 1e-9);
    }
    assert_eq!(both.each[1].name, "west");
    assert_eq!(both.each[1].power_w, b.array_w);
}

#[test]
fn at_night_cells_are_as_warm_as_the_air_and_give_nothing() {
    let c = run(vec![one("a", 1, 180.0)], vec![]);
    for h in [0, 3, 23] {
        assert!((c.cell_degc[h] - 12.0).abs() < 1e-12 && c.array_w[h].abs() < 1e-12);
    }
    assert!(c.array_w[12] > 20.0 && c.cell_degc[12] > 20.0);
    // No wind in the record: 1 m/s.
    assert!((c.cell_degc[12] - 12.0 - c.plane_w_per_m2[12] / 31.84).abs() < 1e-9);
}

#[test]
fn snow_takes_the_power_of_its_days_and_no_other() {
    let span = DateSpan { from: MonthDay { month: 12, day: 30 }, to: MonthDay { month: 1, day: 2 } };
    let open = run(vec![one("a", 1, 180.0)], vec![]);
    let shut = run(vec![one("a", 1, 180.0)], vec![span]);
    assert_eq!(open.plane_w_per_m2, shut.plane_w_per_m2);
    for day in 0..365 {
        let covered = !(2..363).contains(&day);
        let sum = |c: &Columns| c.array_w[day * 24..day * 24 + 24].iter().sum::<f64>();
        if covered {
            assert!(
                sum(&shut).abs() < 1e-12 && (shut.cell_degc[day * 24 + 12] - 12.0).abs() < 1e-12,
                "{day}"
            );
        } else {
            assert!((sum(&shut) - sum(&open)).abs() < 1e-12, "{day}");
        }
    }
}

#[test]
fn soiling_takes_light_mismatch_takes_power_and_glass_takes_beam() {
    let clean = one("a", 1, 180.0);
    let p = |a: &ArraySettings| run(vec![a.clone()], vec![]).array_w[12];
    let full = p(&clean);
    let mismatched = p(&ArraySettings { mismatch: 0.03, ..clean.clone() });
    assert!((mismatched / full - 0.97).abs() < 1e-12);
    let dirty = p(&ArraySettings { soiling: 0.10, ..clean.clone() });
    assert!(dirty < 0.91 * full && dirty > 0.88 * full);
    let glass = p(&ArraySettings { incidence_loss: true, tilt_deg: 0.0, ..clean.clone() });
    assert!(glass < p(&ArraySettings { tilt_deg: 0.0, ..clean }));
}

#[test]
fn a_datasheet_that_nothing_fits_names_its_array_and_values() {
    let sheet = Datasheet {
        isc_a: 4.97,
        voc_v: 21.8,
        imp_a: 5.1,
        vmp_v: 17.5,
        isc_temperature_a_per_k: 0.0044,
        voc_temperature_v_per_k: -0.08,
        cells: 36,
    };
    let a = ArraySettings { module: Module::Datasheet(sheet), ..one("roof", 1, 180.0) };
    let fault = Prepared::new(&a).unwrap_err().to_string();
    assert!(
        fault.starts_with("array.roof.module: no one-diode module has Isc 4.97 A, Voc 21.8 V, Imp 5.1 A"),
        "{fault}"
    );
    assert!(!fault.contains('\n'));
}
