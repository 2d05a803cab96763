//! Missing values, missing rows, and values that cannot be.

use crate::help::{edit, read, real, text, with_field};
use dryspell_weather::{ErrorKind, How, Options};

const GREENSBORO: &str = "723170TYA.CSV";
/// Line of the hour from midnight on the first of July: 181 days in, two lines of head, counted from 1.
const JULY: usize = 181 * 24 + 3;

/// Greensboro with a field of some lines replaced.
fn with(first: usize, count: usize, field: usize, value: &str) -> String {
    (first..first + count).fold(text(GREENSBORO), |t, line| edit(&t, line, |l| with_field(l, field, value)))
}

#[test]
fn three_hours_are_bridged_by_the_share_of_a_clear_sky() {
    let good = real(GREENSBORO, &Options::default()).record;
    // A day in July on which the sky hardly changes from 8:00 to 12:00.
    let clear = (0..31)
        .map(|d| (181 + d) * 24)
        .min_by(|a, b| {
            let spread = |h: usize| {
                let dni = &good.dni_w_per_m2.as_ref().unwrap()[h + 8..h + 13];
                let most = dni.iter().copied().fold(0.0, f64::max);
                let least = dni.iter().copied().fold(f64::INFINITY, f64::min);
                (most - least) / most.max(1.0) - most / 5000.0
            };
            spread(*a).total_cmp(&spread(*b))
        })
        .unwrap();
    let line = clear + 9 + 3;
    let weather = read(&with(line, 3, 5, "-9900"), &Options::default()).unwrap();
    let r = &weather.record;
    let mut straight_off: f64 = 0.0;
    for h in clear + 9..clear + 12 {
        let share = (h - clear - 8) as f64 / 4.0;
        let straight = good.ghi_w_per_m2[clear + 8] * (1.0 - share) + good.ghi_w_per_m2[clear + 12] * share;
        straight_off = straight_off.max((straight - good.ghi_w_per_m2[h]).abs());
        let off = (r.ghi_w_per_m2[h] - good.ghi_w_per_m2[h]).abs();
        assert!(
            off < 0.06 * good.ghi_w_per_m2[h],
            "hour {h}: {} for {}",
            r.ghi_w_per_m2[h],
            good.ghi_w_per_m2[h]
        );
    }
    assert!(straight_off > 20.0, "a straight line would do here: {straight_off}");
    let fills = &weather.report.reading.fills;
    assert_eq!(fills.len(), 1);
    assert_eq!((fills[0].hours, fills[0].how), (3, How::Bridged));
    assert_eq!(fills[0].columns, ["ghi_w_per_m2"]);
    assert_eq!(fills[0].from, r.calendar.start_text(clear + 9));
    // Nothing else has changed.
    let changed =
        (0..8760).filter(|h| r.ghi_w_per_m2[*h].to_bits() != good.ghi_w_per_m2[*h].to_bits()).count();
    assert!(changed <= 3);
    assert_eq!(r.air_degc, good.air_degc);
}

#[test]
fn night_stays_dark_and_temperature_goes_straight() {
    let good = real(GREENSBORO, &Options::default()).record;
    let night = read(&with(JULY, 3, 5, "-9900"), &Options::default()).unwrap().record;
    assert_eq!(night.ghi_w_per_m2[JULY - 3..JULY], [0.0, 0.0, 0.0]);
    let air = read(&with(JULY + 10, 2, 32, ""), &Options::default()).unwrap().record;
    let h = JULY - 3 + 10;
    let (a, b) = (good.air_degc[h - 1], good.air_degc[h + 2]);
    assert!((air.air_degc[h] - (a + (b - a) / 3.0)).abs() < 1e-12);
}

#[test]
fn missing_rows_are_bridged_in_all_columns_and_diffuse_closes() {
    let good = real(GREENSBORO, &Options::default()).record;
    let mut lines: Vec<String> = text(GREENSBORO).lines().map(str::to_owned).collect();
    lines.drain(JULY - 1 + 12..JULY - 1 + 14);
    let weather = read(&lines.join("\n"), &Options::default()).unwrap();
    let r = &weather.record;
    assert_eq!(r.hours(), 8760);
    let h = JULY - 3 + 12;
    assert_eq!(r.ghi_w_per_m2[h + 2], good.ghi_w_per_m2[h + 2]);
    let sky = dryspell::sun::sky(&dryspell::sun::Settings::default(), r).unwrap();
    for k in [h, h + 1] {
        let (dni, dhi) = (r.dni_w_per_m2.as_ref().unwrap()[k], r.dhi_w_per_m2.as_ref().unwrap()[k]);
        assert!(dni > 0.0 && (r.ghi_w_per_m2[k] - dhi - dni * sky.direction[k][2]).abs() < 0.5);
    }
    let fills = &weather.report.reading.fills;
    assert_eq!(fills.len(), 1, "{fills:?}");
    // Albedo and precipitation of this file are not credible and were left out before.
    let columns = ["ghi_w_per_m2", "dni_w_per_m2", "dhi_w_per_m2", "air_degc", "wind_m_per_s"];
    assert_eq!(fills[0].columns[..5], columns);
    assert_eq!(fills[0].columns[5..], ["relative_humidity_percent", "pressure_pa"]);
}

#[test]
fn longer_gaps_are_refused_or_filled_from_neighbouring_days_on_request() {
    let good = real(GREENSBORO, &Options::default()).record;
    let gap = with(JULY + 8, 30, 5, "-9900");
    let error = read(&gap, &Options::default()).unwrap_err();
    assert_eq!(
        error.to_string(),
        "site.csv: global horizontal radiation is missing for 30 h from 1981-07-01T08:00; gaps up to 3 h are bridged; \
         fill the gap from another source, or allow filling from neighbouring days (option fill_long_gaps)"
    );
    let weather = read(&gap, &Options { fill_long_gaps: true, ..Options::default() }).unwrap();
    let r = &weather.record;
    let h = JULY - 3 + 8;
    // The day before has every hour of the first 24; for the rest it is missing itself, so the day after stands in.
    assert_eq!(r.ghi_w_per_m2[h..h + 24], good.ghi_w_per_m2[h - 24..h]);
    assert_eq!(r.ghi_w_per_m2[h + 24..h + 30], good.ghi_w_per_m2[h + 48..h + 54]);
    let fill = &weather.report.reading.fills[0];
    assert_eq!((fill.hours, fill.how), (30, How::NeighbouringDays));
}

#[test]
fn a_column_that_is_not_needed_is_left_out_rather_than_invented() {
    let weather = read(&with(JULY, 10, 47, "-9900"), &Options::default()).unwrap();
    assert_eq!(weather.record.wind_m_per_s, None);
    let notes = weather.record.source.notes.join("\n");
    assert!(notes.contains("the wind speed column is not used: 10 of 8760 hours are missing"), "{notes}");
    assert!(weather.report.lacks.contains(&"wind speed"));
    assert!(weather.report.reading.fills.is_empty());
    let filled =
        read(&with(JULY, 10, 47, "-9900"), &Options { fill_long_gaps: true, ..Options::default() }).unwrap();
    assert!(filled.record.wind_m_per_s.is_some());
}

#[test]
fn a_file_that_ends_an_hour_early_is_cut_off_and_not_bridged() {
    let text = text(GREENSBORO);
    let cut = text.lines().take(8761).collect::<Vec<_>>().join("\n");
    let error = read(&cut, &Options { fill_long_gaps: true, ..Options::default() }).unwrap_err();
    assert!(matches!(error.kind(), ErrorKind::WrongHourCount { found, .. } if *found == 8759.0), "{error}");
}

#[test]
fn a_clear_sky_can_be_enhanced_by_clouds_but_not_at_any_height_of_the_sun() {
    // 1200 W/m2 at noon in July is within the limits, at seven in the morning it is not.
    read(&with(JULY + 12, 1, 5, "1200"), &Options::default()).unwrap();
    let error = read(&with(JULY + 6, 1, 5, "1200"), &Options::default()).unwrap_err();
    let ErrorKind::ImpossibleRadiation { value, limit } = error.kind() else { panic!("{error}") };
    assert_eq!(*value, 1200.0);
    assert!((700.0..1150.0).contains(limit), "{limit}");
    assert_eq!(error.at().line, Some(JULY as u64 + 6));
}

#[test]
fn a_few_hours_of_beam_in_the_night_are_set_to_zero_and_counted() {
    let weather = read(&with(JULY, 2, 8, "60"), &Options::default()).unwrap();
    assert_eq!(weather.report.reading.beam_at_night, 2);
    assert_eq!(weather.record.dni_w_per_m2.as_ref().unwrap()[JULY - 3], 0.0);
    assert!(
        weather
            .record
            .source
            .notes
            .contains(&"direct radiation set to 0 in 2 rows with the sun down".to_owned())
    );
}

#[test]
fn precipitation_is_believed_only_where_it_can_be_weather() {
    let rain = |mm: f64, most: f64| {
        let lines: Vec<String> = text(GREENSBORO)
            .lines()
            .enumerate()
            .map(|(n, l)| match n {
                0 | 1 => l.to_owned(),
                5000 => with_field(l, 65, &most.to_string()),
                _ => with_field(l, 65, &mm.to_string()),
            })
            .collect();
        read(&lines.join("\n"), &Options::default()).unwrap()
    };
    let header = text(GREENSBORO).lines().nth(1).unwrap().split(',').nth(64).unwrap().to_owned();
    assert_eq!(header, "Lprecip depth (mm)");
    assert!(rain(0.1, 40.0).record.precipitation_mm.is_some());
    for (mm, most, why) in [
        (0.0, 40.0, "the precipitation column is not used: 40 mm a year (50 to 4000 mm is credible)"),
        (1.0, 40.0, "the precipitation column is not used: 8799 mm a year (50 to 4000 mm is credible)"),
        (0.1, 140.0, "the precipitation column is not used: an hour of 140 mm (0 to 100 mm is credible)"),
    ] {
        let weather = rain(mm, most);
        assert_eq!(weather.record.precipitation_mm, None);
        assert!(weather.record.source.notes.iter().any(|n| n == why), "{:?}", weather.record.source.notes);
    }
}
