#![allow(
    clippy::float_cmp,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "hours of the record are stored as whole numbers and read back"
)]

use super::*;
use crate::calendar::Day;
use crate::record::{Place, YearKind};
use proptest::prelude::*;

fn place(latitude_deg: f64) -> Place {
    Place {
        name: "test".into(),
        latitude_deg,
        longitude_deg: -105.0,
        elevation_m: 1200.0,
        utc_offset_h: -7.0,
    }
}

/// A record with days of random brightness, and columns from which the source hour can be read back.
fn record(from: i32, years: i32, latitude_deg: f64) -> Record {
    record_at(from, years, latitude_deg, 0)
}

fn record_at(from: i32, years: i32, latitude_deg: f64, start_minute: i8) -> Record {
    let days: Vec<Day> = (from..from + years).flat_map(|y| Calendar::year(y).days().to_vec()).collect();
    let mut record = blank(&place(latitude_deg), days, start_minute);
    let sky = sun::sky(&sun::Settings::default(), &record).unwrap();
    let clear = clear(&sky);
    let mut stream = Stream::new(17, Purpose::Years, 5);
    let n = record.hours();
    let mut brightness = vec![0.0; n];
    for day in 0..n / HOURS_PER_DAY {
        let date = f64::from(u32::try_from(date(record.calendar.days()[day])).unwrap());
        let season = libm::cos(std::f64::consts::TAU * date / 366.0);
        let today = stream.uniform();
        for h in day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY {
            brightness[h] = 0.2 + 0.8 * today;
            record.ghi_w_per_m2[h] = brightness[h] * clear[h];
            record.air_degc[h] = 9.0 - 11.0 * season + 6.0 * today + 0.3 * (h % HOURS_PER_DAY) as f64;
        }
    }
    let share = |b: f64| (1.1 - b).clamp(0.1, 1.0);
    let diffuse: Vec<f64> = (0..n).map(|h| share(brightness[h]) * record.ghi_w_per_m2[h]).collect();
    let beam = (0..n)
        .map(|h| {
            let up = sky.direction[h][2];
            if up > 0.06 { (record.ghi_w_per_m2[h] - diffuse[h]) / up } else { 0.0 }
        })
        .collect();
    record.dni_w_per_m2 = Some(beam);
    record.dhi_w_per_m2 = Some(diffuse);
    record.wind_m_per_s = Some((0..n).map(|h| h as f64).collect());
    record.precipitation_mm = Some((0..n).map(|h| (h / HOURS_PER_DAY) as f64).collect());
    record.kind = YearKind::Calendar;
    record.check().unwrap();
    record
}

/// Source days of a made year, read back from its wind.
fn source_days(year: &Record) -> Vec<usize> {
    let wind = year.wind_m_per_s.as_ref().unwrap();
    wind.chunks_exact(HOURS_PER_DAY)
        .map(|day| {
            assert!(
                (0..HOURS_PER_DAY).all(|h| day[h] == day[0] + h as f64),
                "hours of one day stay together"
            );
            day[0] as usize / HOURS_PER_DAY
        })
        .collect()
}

fn apart(a: usize, b: usize) -> usize {
    a.abs_diff(b).min(DATES - a.abs_diff(b))
}

const TWO: NonZeroUsize = NonZeroUsize::new(2).unwrap();

#[test]
fn blocks_begin_within_the_window_and_run_on() {
    let record = record(2003, 3, 40.0);
    let archive = Archive::of(&record).unwrap();
    let settings = Settings { mean_block_days: 10.0, window_days: 12 };
    let resampler = Resampler::of_all(&archive, settings, 3).unwrap();
    let (mut joins, mut days, mut over_new_year) = (0, 0, 0);
    for index in 0..40 {
        let year = resampler.year(index).unwrap();
        let from = source_days(&year);
        days += from.len();
        for (day, source) in from.iter().enumerate() {
            let (made, own) = (date(year.calendar.days()[day]), date(record.calendar.days()[*source]));
            // A block that runs over 29 February, there or here, is a date off.
            assert!(apart(made, own) <= 13, "{made} {own}");
            over_new_year += usize::from(made.abs_diff(own) > 300);
            if day > 0 && *source != (from[day - 1] + 1) % 1096 {
                joins += 1;
                assert!(apart(made, own) <= 12, "{made} {own}");
            }
        }
    }
    assert!(over_new_year > 50, "{over_new_year}");
    let n = f64::from(u32::try_from(days).unwrap());
    let joins = f64::from(joins);
    // One start in 75 goes on by chance.
    let expected = 0.1 * (1.0 - 1.0 / 75.0) * n;
    assert!((joins - expected).abs() < 3.5 * (0.09 * n).sqrt(), "{joins} {expected}");
}

#[test]
fn a_year_depends_on_its_number_and_the_seed_alone() {
    let record = record(2003, 2, 40.0);
    let archive = Archive::of(&record).unwrap();
    let resampler = Resampler::of_all(&archive, Settings::default(), 8).unwrap();
    let three = resampler.years(3, NonZeroUsize::MIN).unwrap();
    assert_eq!(three, resampler.years(3, TWO).unwrap());
    assert_eq!(three[..], resampler.years(7, NonZeroUsize::new(5).unwrap()).unwrap()[..3]);
    assert_ne!(source_days(&three[0]), source_days(&three[1]));
    let other = Resampler::of_all(&archive, Settings::default(), 9).unwrap();
    assert_ne!(source_days(&three[0]), source_days(&other.year(0).unwrap()));
    let joined = resampler.record(3, TWO).unwrap();
    joined.check().unwrap();
    assert_eq!(joined.hours(), 8784 + 2 * 8760);
    assert_eq!(joined.ghi_w_per_m2[8784..8784 + 8760], three[1].ghi_w_per_m2[..]);
    assert_eq!(joined.kind, YearKind::Synthetic);
    let thirty = Calendar::new((2000..2030).flat_map(|y| Calendar::year(y).days().to_vec()).collect(), 0);
    assert!((thirty.years() - 30.0).abs() < 1e-12);
}

#[test]
fn a_sub_record_gives_the_years_that_its_indices_give() {
    let record = record(2003, 4, 40.0);
    let years = [3, 0, 0, 2];
    let sub = years::sub_record(&record, &years).unwrap();
    sub.check().unwrap();
    assert_eq!(sub.calendar.days().len(), 365 + 365 + 365 + 365);
    assert_eq!(sub.calendar.days()[0].year, 2006);
    let archive = Archive::of(&record).unwrap();
    let own = Archive::of(&sub).unwrap();
    let by_index = Resampler::new(&archive, &years, Settings::default(), 5).unwrap();
    let by_record = Resampler::of_all(&own, Settings::default(), 5).unwrap();
    for index in [0, 3] {
        let (mut a, mut b) = (by_index.year(index).unwrap(), by_record.year(index).unwrap());
        a.source = Source::default();
        b.source = Source::default();
        assert_eq!(a, b);
    }
}

#[test]
fn light_of_the_same_date_comes_back() {
    // One year, no window: every day stands on its own date, and the sun of the label's year is a hair's breadth away.
    let record = record(2001, 1, 40.0);
    let archive = Archive::of(&record).unwrap();
    let settings = Settings { window_days: 0, ..Settings::default() };
    let year = Resampler::of_all(&archive, settings, 1).unwrap().year(1).unwrap();
    for h in 0..8760 {
        assert!((year.ghi_w_per_m2[h] - record.ghi_w_per_m2[h]).abs() < 1e-9, "{h}");
        assert!((year.air_degc[h] - record.air_degc[h]).abs() < 1e-9, "{h}");
        let (was, is) = (&record.dhi_w_per_m2.as_ref().unwrap()[h], &year.dhi_w_per_m2.as_ref().unwrap()[h]);
        // With the sun low the share comes from the next hour up.
        assert!((was - is).abs() < 25.0, "{h}: {was} {is}");
    }
    // Every block of a single year without a window is the year itself.
    assert_eq!(source_days(&year), (0..365).collect::<Vec<_>>());
}

#[test]
fn whole_years_of_an_odd_record_are_found_and_the_rest_is_left_out() {
    let mut long = record(2003, 2, 40.0);
    let cut = 500 * HOURS_PER_DAY;
    let days = long.calendar.days()[..500].to_vec();
    long.calendar = Calendar::new(days, 0);
    long.ghi_w_per_m2.truncate(cut);
    long.air_degc.truncate(cut);
    for column in
        [&mut long.dni_w_per_m2, &mut long.dhi_w_per_m2, &mut long.wind_m_per_s, &mut long.precipitation_mm]
    {
        column.as_mut().unwrap().truncate(cut);
    }
    let archive = Archive::of(&long).unwrap();
    assert_eq!(archive.years(), 1);
    let year = Resampler::of_all(&archive, Settings::default(), 1).unwrap().year(0).unwrap();
    assert!(source_days(&year).iter().all(|d| *d < 365));
}

#[test]
fn polar_nights_and_half_hours_are_borne() {
    for (latitude, start_minute) in [(78.0, 0), (-70.0, -30), (0.0, 29)] {
        let polar = record_at(2003, 1, latitude, start_minute);
        let archive = Archive::of(&polar).unwrap();
        let settings = Settings { window_days: 40, ..Settings::default() };
        let year = Resampler::of_all(&archive, settings, 1).unwrap().year(4).unwrap();
        year.check().unwrap();
        assert_eq!(year.calendar.start_minute_of_day(0), i32::from(start_minute));
        assert_eq!(year.calendar.days().len(), 366);
        let sky = sun::sky(&sun::Settings::default(), &year).unwrap();
        for h in 0..year.hours() {
            let lit = sky.lit_fraction[h] > 0.0 && sky.direction[h][2] > 0.02;
            assert!(!lit || year.ghi_w_per_m2[h] > 0.0, "{latitude} {h}: lit and dark");
        }
    }
}

#[test]
fn bad_input_is_a_fault_with_a_way_out() {
    let record = record(2003, 1, 40.0);
    let archive = Archive::of(&record).unwrap();
    let make = |settings| Resampler::of_all(&archive, settings, 1);
    for mean_block_days in [0.5, 400.0, f64::NAN] {
        let fault = make(Settings { mean_block_days, ..Settings::default() }).unwrap_err();
        assert_eq!(fault.location.key.as_deref(), Some("mean_block_days"));
    }
    let fault = make(Settings { window_days: 184, ..Settings::default() }).unwrap_err();
    assert!(fault.to_string().starts_with("window_days: 184 days; "), "{fault}");
    let resampler = make(Settings::default()).unwrap();
    assert!(resampler.year(MOST_YEARS).unwrap_err().to_string().contains("1000 years"));
    assert!(resampler.year(usize::MAX).is_err());
    assert!(resampler.years(1000, TWO).is_err());
    assert!(resampler.record(0, TWO).is_err());
    assert!(Resampler::new(&archive, &[], Settings::default(), 1).is_err());
    let fault = Resampler::new(&archive, &[0, 1], Settings::default(), 1).unwrap_err();
    assert!(fault.to_string().contains("year 1") && fault.to_string().contains("0 to 0"), "{fault}");
    let mut short = record.clone();
    short.calendar = Calendar::new(record.calendar.days()[..100].to_vec(), 0);
    assert!(Archive::of(&short).is_err(), "columns longer than the calendar");
    let short = blank(&place(40.0), record.calendar.days()[..364].to_vec(), 0);
    assert!(Archive::of(&short).unwrap_err().to_string().contains("without a whole year"));
    assert!(years::sub_record(&short, &[0]).is_err());
}

#[test]
fn the_last_year_that_can_be_made_is_made() {
    let record = record(2003, 1, 40.0);
    let archive = Archive::of(&record).unwrap();
    let year = Resampler::of_all(&archive, Settings::default(), 1).unwrap().year(MOST_YEARS - 1).unwrap();
    assert_eq!(year.calendar.days()[0].year, 2998);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]
    #[test]
    fn made_years_close_and_stay_within_what_can_be(
        seed: u64, index in 0..900_usize, latitude in -65.0..65.0_f64, mean in 1.0..60.0_f64, window in 0..60_u32,
    ) {
        let record = record(2003, 2, latitude);
        let archive = Archive::of(&record).unwrap();
        let settings = Settings { mean_block_days: mean, window_days: window };
        let year = Resampler::of_all(&archive, settings, seed).unwrap().year(index).unwrap();
        prop_assert!(year.check().is_ok());
        let sky = sun::sky(&sun::Settings::default(), &year).unwrap();
        for h in 0..year.hours() {
            let up = sky.direction[h][2].max(0.0);
            let outside = sky.extraterrestrial_normal_w_per_m2[h];
            let (dni, dhi) = (sky.dni_w_per_m2[h], sky.dhi_w_per_m2[h]);
            prop_assert!((sky.ghi_w_per_m2[h] - dhi - dni * up).abs() < 1e-9);
            prop_assert!(dni <= outside && sky.ghi_w_per_m2[h] <= outside * up + 1e-9);
            prop_assert!(sky.lit_fraction[h] > 0.0 || sky.ghi_w_per_m2[h] <= 0.0);
        }
    }
}

/// Seven years, so that a day that follows another by chance is rare.
#[test]
fn no_block_is_forced_to_begin_in_midwinter() {
    let source = record(2001, 7, 45.0);
    let archive = Archive::of(&source).unwrap();
    let days = source.calendar.days().len();
    for mean_block_days in [15.0, 60.0] {
        let settings = Settings { mean_block_days, window_days: 15 };
        let resampler = Resampler::of_all(&archive, settings, 4).unwrap();
        let years: Vec<Vec<usize>> = (0..400).map(|i| source_days(&resampler.year(i).unwrap())).collect();
        let joined =
            years.windows(2).filter(|pair| pair[1][0] != (pair[0].last().unwrap() + 1) % days).count();
        // By the law a block begins on one day in L: 399 turns of the year, three standard deviations.
        let chance = 1.0 / mean_block_days;
        let law = 399.0 * chance;
        assert!(
            (joined as f64 - law).abs() < 3.0 * (law * (1.0 - chance)).sqrt(),
            "{mean_block_days}: {joined} for {law}"
        );
    }
}

/// A warm and a cold year, 20 degrees apart: where blocks of them meet, the step at midnight is gone and the days keep their mean.
#[test]
fn temperature_makes_no_step_where_blocks_meet() {
    let mut source = record(2001, 2, 45.0);
    let half = source.hours() / 2;
    for (h, degc) in source.air_degc.iter_mut().enumerate() {
        *degc = if h < half { 10.0 } else { -10.0 };
    }
    let archive = Archive::of(&source).unwrap();
    let settings = Settings { mean_block_days: 8.0, window_days: 10 };
    let year = Resampler::of_all(&archive, settings, 4).unwrap().year(0).unwrap();
    let warm: Vec<bool> = source_days(&year).iter().map(|day| *day < half / HOURS_PER_DAY).collect();
    let meets = (1..warm.len()).filter(|day| warm[*day] != warm[day - 1]).count();
    assert!(meets > 10, "{meets}");
    // From hour to hour 20 degrees over a day is 0.87 K.
    let steps = year.air_degc.windows(2).map(|pair| (pair[1] - pair[0]).abs());
    assert!(steps.fold(0.0, f64::max) < 1.0);
    let mean = year.air_degc.iter().sum::<f64>() / year.hours() as f64;
    let of_days = warm.iter().map(|warm| if *warm { 10.0 } else { -10.0 }).sum::<f64>() / warm.len() as f64;
    // The months' own correction moves the mean a little; the smoothing leaves it.
    assert!((mean - of_days).abs() < 3.0, "{mean} {of_days}");
}
