//! The stage as a whole: several arrays, snow, soiling, night.

use super::facing::Season;
use super::incidence::Glass;
use super::snow::Snow;
use super::soiling::Soiling;
use super::*;
use crate::calendar::{Calendar, DateSpan, MonthDay};
use crate::record::{Place, YearKind};
use crate::sun::SkyModel;

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
        seasons: vec![],
        azimuth_deg,
        module: Module::Parameters(M36),
        series,
        parallel: 1,
        soiling: Soiling::Share(0.0),
        mismatch: 0.0,
        cable_ohm: 0.0,
        glass: Glass::Clear,
        faiman: Faiman::default(),
        slope_strings: 1,
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
        kind: YearKind::Synthetic,
        ghi_w_per_m2: column(700.0),
        dni_w_per_m2: Some(column(600.0)),
        dhi_w_per_m2: Some(column(200.0)),
        air_degc: vec![12.0; n],
        ..Record::without_weather(calendar)
    }
}

fn run(arrays: Vec<ArraySettings>, covered: Vec<DateSpan>) -> Columns {
    let sun = sun::Settings::default();
    let record = record();
    let sky = sun::sky(&sun, &record).unwrap();
    array(
        &Settings { arrays, terminals: Terminals::Separate, snow: Snow { covered, ..Snow::default() } },
        &sky,
        &sun,
        &record,
    )
    .unwrap()
}

#[test]
fn arrays_with_an_input_each_add_up_and_weigh_by_their_peak() {
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
    let dirty = p(&ArraySettings { soiling: Soiling::Share(0.10), ..clean.clone() });
    assert!(dirty < 0.91 * full && dirty > 0.88 * full);
    let glass = p(&ArraySettings { glass: Glass::Fresnel, tilt_deg: 0.0, ..clean.clone() });
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
    let fault = ArrayModel::new(&a, None).unwrap_err().to_string();
    assert!(
        fault.starts_with("array.roof.module: no one-diode module has Isc 4.97 A, Voc 21.8 V, Imp 5.1 A"),
        "{fault}"
    );
    assert!(!fault.contains('\n'));
}

fn stage(arrays: Vec<ArraySettings>, snow: Snow, record: &Record) -> Columns {
    under(SkyModel::Perez, arrays, snow, record)
}

fn under(sky_model: SkyModel, arrays: Vec<ArraySettings>, snow: Snow, record: &Record) -> Columns {
    let sun = sun::Settings { sky_model, ..sun::Settings::default() };
    let sky = sun::sky(&sun, record).unwrap();
    array(&Settings { arrays, terminals: Terminals::Separate, snow }, &sky, &sun, record).unwrap()
}

#[test]
fn snow_of_the_weather_file_covers_slides_and_is_swept() {
    let mut record = record();
    // 5 cm fall at midnight before day 10 and lie until day 14; it thaws from noon of day 11.
    let mut depth = vec![0.0; record.hours()];
    depth[240..336].fill(0.05);
    record.snow_depth_m = Some(depth);
    record.air_degc.fill(-20.0);
    record.air_degc[276..].fill(3.0);
    let roof = ArraySettings { slope_strings: 3, ..one("roof", 1, 180.0) };
    let columns = stage(vec![roof.clone()], Snow::default(), &record);
    let clear = stage(vec![roof.clone()], Snow { from_weather: false, ..Snow::default() }, &record);
    let cover = &columns.each[0].snow_cover;
    assert_eq!((cover[239], cover[240], cover[275]), (0.0, 1.0, 1.0));
    // 0.0985 an hour from 30 degrees; after four hours two of three strings are still under snow.
    assert!((cover[279] - (1.0 - 4.0 * 0.0985)).abs() < 1e-12, "{}", cover[279]);
    assert!((columns.array_w[279] / clear.array_w[279] - 1.0 / 3.0).abs() < 1e-9);
    // The curve that a coupling sees has as many strings as the power.
    let mut circuit = Circuit::default();
    circuit_of(&columns.each, 279, &mut circuit);
    assert!((circuit.maximum_power().power_w - columns.array_w[279]).abs() < 1e-9);
    assert!(columns.array_w[252].abs() < 1e-12 && (columns.array_w[300] - clear.array_w[300]).abs() < 1e-12);
    assert_eq!(clear.each[0].snow_cover, vec![0.0; 8760]);
    let day = MonthDay { month: 1, day: 11 };
    let broom = Snow { swept: vec![DateSpan { from: day, to: day }], swept_at_h: 10.0, ..Snow::default() };
    let swept = stage(vec![roof], broom, &record);
    assert!(swept.array_w[249].abs() < 1e-12);
    // What is swept off stays off.
    assert!((250..336).all(|h| (swept.array_w[h] - clear.array_w[h]).abs() < 1e-12));
}

#[test]
fn a_record_that_begins_in_snow_begins_with_covered_panels() {
    let mut record = record();
    record.air_degc.fill(-20.0);
    record.snow_depth_m = Some(vec![0.3; record.hours()]);
    let columns = stage(vec![one("a", 1, 180.0)], Snow::default(), &record);
    assert!(columns.array_w[..48].iter().all(|w| w.abs() < 1e-12));
}

#[test]
fn each_season_has_its_tilt() {
    let day = |month, day| MonthDay { month, day };
    let season = |from, to, tilt_deg| Season { dates: DateSpan { from, to }, tilt_deg };
    let winter = season(day(10, 15), day(2, 28), 65.0);
    let turned = ArraySettings { seasons: vec![winter], glass: Glass::Fresnel, ..one("a", 1, 180.0) };
    let fixed = |tilt_deg| {
        let a = ArraySettings { tilt_deg, glass: Glass::Fresnel, ..one("a", 1, 180.0) };
        run(vec![a], vec![]).array_w
    };
    let (turned, steep, flat) = (run(vec![turned], vec![]).array_w, fixed(65.0), fixed(30.0));
    for d in 0..365 {
        let hours = d * 24..d * 24 + 24;
        let own = if (59..287).contains(&d) { &flat } else { &steep };
        assert_eq!(turned[hours.clone()], own[hours], "day {d}");
    }
}

#[test]
fn rain_washes_dust_off_and_dust_without_rain_is_a_fault() {
    let dust = soiling::Dust { per_day: 0.002, washed_by_mm: 6.0, damp_days: 5 };
    let dusty = ArraySettings { soiling: Soiling::Rain(dust), ..one("roof", 1, 180.0) };
    let mut record = record();
    let sun = sun::Settings::default();
    let sky = sun::sky(&sun, &record).unwrap();
    let settings = Settings { arrays: vec![dusty], terminals: Terminals::Common, snow: Snow::default() };
    let fault = array(&settings, &sky, &sun, &record).unwrap_err().to_string();
    assert!(fault.starts_with("array.roof.dust: the weather file has no credible rain"), "{fault}");
    let mut rain = vec![0.0; 8760];
    rain[2400] = 10.0;
    record.precipitation_mm = Some(rain);
    let share = array(&settings, &sky, &sun, &record).unwrap().each.swap_remove(0).soiling;
    // The year begins with the dust of its end.
    assert!((share[0] - share[8759]).abs() < 1e-12 && share[0] > 0.2, "{}", share[0]);
    assert!(share[2399] > 0.2 && share[2400].abs() < 1e-12 && share[2500].abs() < 1e-12);
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(24))]
    #[test]
    fn cleaner_glass_never_gives_less(dirt in 0.0..0.5_f64, cleaner in 0.0..1.0_f64, tilt_deg in 0.0..90.0_f64) {
        let dirty = ArraySettings { soiling: Soiling::Share(dirt), tilt_deg, ..one("a", 2, 150.0) };
        let clean = ArraySettings { soiling: Soiling::Share(dirt * cleaner), ..dirty.clone() };
        let coated = ArraySettings { glass: Glass::Ashrae { coefficient: 0.03 }, ..dirty.clone() };
        let plain = ArraySettings { glass: Glass::Ashrae { coefficient: 0.08 }, ..dirty.clone() };
        let mut record = record();
        record.calendar = Calendar::new(record.calendar.days()[..2].to_vec(), 0);
        for column in [&mut record.ghi_w_per_m2, &mut record.air_degc]
            .into_iter().chain(&mut record.dni_w_per_m2).chain(&mut record.dhi_w_per_m2)
        {
            column.truncate(48);
        }
        // Glass is compared under an even sky: the horizon part of Perez's sky may be negative, and better glass then
        // takes more away.
        for (model, more, less) in
            [(SkyModel::Perez, clean, dirty), (SkyModel::Isotropic, coated, plain)]
        {
            let power = |a| under(model, vec![a], Snow::default(), &record).array_w;
            let (more, less) = (power(more), power(less));
            proptest::prop_assert!(more.iter().zip(&less).all(|(m, l)| *m >= l * (1.0 - 1e-9)));
        }
    }
}
