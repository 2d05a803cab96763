//! Stamps against the sun: what is tested, what is refused, and the ways out.

use crate::help::{edit, kwh, read, real, text, with_field};
use dryspell_weather::{ErrorKind, Options, PlaceOptions, Stamps};

/// Greensboro with its clock said wrongly.
fn wrong_clock(offset: &str) -> String {
    edit(&text("723170TYA.CSV"), 1, |l| l.replace("-5.0", offset))
}

#[test]
fn every_way_of_being_off_is_seen() {
    for (offset, shift) in
        [("-4.5", 30.0), ("-5.5", -30.0), ("-4.7", 18.0), ("-4", 60.0), ("-6", -60.0), ("-3", 120.0)]
    {
        let error = read(&wrong_clock(offset), &Options::default()).unwrap_err();
        let ErrorKind::StampsOff { shift_min, residual, residual_as_read } = error.kind() else {
            panic!("{error}")
        };
        assert!((shift_min - shift).abs() <= 1.5, "{offset}: {shift_min}");
        assert!(*residual < 4.0 && *residual_as_read > 15.0, "{offset}: {residual} {residual_as_read}");
    }
    // Nine minutes off is within what is let through, and reported.
    let near = read(&wrong_clock("-4.85"), &Options::default()).unwrap();
    assert!((near.report.reading.closure.best_shift_min.unwrap() - 9.0).abs() < 0.5);
}

#[test]
fn a_clock_off_by_half_a_day_is_a_matter_of_stamps_and_not_of_single_values() {
    let text = text("723170TYA.CSV");
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let values: Vec<String> =
        lines[2..].iter().map(|l| l.splitn(3, ',').nth(2).unwrap().to_owned()).collect();
    for (n, line) in lines[2..].iter_mut().enumerate() {
        let time: Vec<&str> = line.splitn(3, ',').collect();
        *line = format!("{},{},{}", time[0], time[1], values[(n + 12) % values.len()]);
    }
    let error = read(&lines.join("\n"), &Options::default()).unwrap_err();
    let ErrorKind::StampsOff { shift_min, .. } = error.kind() else { panic!("{error}") };
    assert!(shift_min.abs() > 700.0, "{shift_min}");
}

#[test]
fn a_shift_is_applied_where_it_is_accepted() {
    let right = real("723170TYA.CSV", &Options::default()).record;
    let options = Options { accept_shift: true, ..Options::default() };
    let weather = read(&wrong_clock("-4"), &options).unwrap();
    let moved = weather.record;
    // Stamps an hour early on a clock an hour ahead: the same hours, an hour later on that clock.
    assert_eq!(moved.ghi_w_per_m2[1..], right.ghi_w_per_m2[..8759]);
    assert!(
        moved.source.notes.iter().any(|n| n == "times shifted by +60 min to agree with the sun, as accepted")
    );
    // And the record as it stands closes.
    let sky = dryspell::sun::sky(&dryspell::sun::Settings::default(), &moved).unwrap();
    let (dni, dhi) = (moved.dni_w_per_m2.as_ref().unwrap(), moved.dhi_w_per_m2.as_ref().unwrap());
    let (mut sum, mut n) = (0.0, 0.0);
    for h in (0..8760).filter(|h| sky.lit_fraction[*h] > 0.99 && dni[*h] > 100.0) {
        let left = moved.ghi_w_per_m2[h] - dhi[h] - dni[h] * sky.direction[h][2];
        sum += left * left;
        n += 1.0;
    }
    assert!(f64::sqrt(sum / n) < 3.0);

    // Half an hour: the hours stay whole and begin at the half hour.
    let half = read(&wrong_clock("-4.5"), &options).unwrap().record;
    assert!(half.calendar.start_text(0).ends_with(":30"), "{}", half.calendar.start_text(0));
    assert!((kwh(&half.ghi_w_per_m2) - kwh(&right.ghi_w_per_m2)).abs() < 1e-9);
}

#[test]
fn what_is_stated_stands_and_the_sun_is_still_reported() {
    let options = Options { stamps: Some(Stamps::Start), ..Options::default() };
    let weather = real("723170TYA.CSV", &options);
    assert!((weather.report.reading.closure.best_shift_min.unwrap() + 60.0).abs() < 1.5);
    let notes = weather.record.source.notes.join("\n");
    assert!(
        notes.contains("rows taken to be means, stamped at the start of their interval, as stated"),
        "{notes}"
    );
    assert!(notes.contains("the sun agrees best with times shifted by -60 min"), "{notes}");
    assert_eq!(weather.report.reading.stamps, "means, stamped at the start of their interval");

    let place = PlaceOptions { utc_offset_h: Some(-5.0), ..PlaceOptions::default() };
    let options = Options { place, ..Options::default() };
    let weather = read(&wrong_clock("-4"), &options).unwrap();
    assert_eq!(weather.record.ghi_w_per_m2, real("723170TYA.CSV", &Options::default()).record.ghi_w_per_m2);
    let notes = weather.record.source.notes.join("\n");
    assert!(notes.contains("offset from UTC taken as -5 h as stated; the file says -4 h"), "{notes}");
}

#[test]
fn what_cannot_be_tested_says_why() {
    let no_diffuse = text("723170TYA.CSV").replacen("DHI (W/m^2)", "Other (W/m^2)", 1);
    let weather = read(&no_diffuse, &Options::default()).unwrap();
    assert_eq!(
        weather.report.reading.closure.not_testable.as_deref(),
        Some("the file does not have global, direct and diffuse radiation")
    );
    // Diffuse that has nothing to do with the rest: no time of day makes them fit.
    let mut noise = 12345_u32;
    let mut next = || {
        noise = noise.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f64::from(noise >> 16) / 65536.0
    };
    let jumbled: Vec<String> = text("723170TYA.CSV")
        .lines()
        .enumerate()
        .map(|(n, l)| {
            if n < 2 || l.split(',').nth(4) == Some("0") {
                l.to_owned()
            } else {
                let ghi: f64 = l.split(',').nth(4).unwrap().parse().unwrap();
                with_field(l, 11, &format!("{:.0}", 0.6 * ghi * next()))
            }
        })
        .collect();
    let weather = read(&jumbled.join("\n"), &Options::default()).unwrap();
    let reason = weather.report.reading.closure.not_testable.unwrap_or_default();
    assert!(reason.contains("do not match at any time of day"), "{reason}");
}

#[test]
fn at_most_four_hundred_rows_are_compared() {
    for name in ["723170TYA.CSV", "703165TY.csv"] {
        let rows = real(name, &Options::default()).report.reading.closure.rows;
        assert!((200..=400).contains(&rows), "{name}: {rows}");
    }
}

/// Greensboro's values moved by so many rows from mid-March to the end of October, every time there once.
fn summer_moved(text: &str, rows: usize) -> String {
    let lines: Vec<&str> = text.lines().collect();
    let values = |n: usize| lines[n].splitn(3, ',').nth(2).unwrap();
    let (first, last) = (2 + 70 * 24 + 2, 2 + 304 * 24);
    let mut out: Vec<String> = lines.iter().map(|l| (*l).to_owned()).collect();
    for (n, line) in out.iter_mut().enumerate().take(last).skip(first) {
        let time: Vec<&str> = lines[n].splitn(3, ',').collect();
        *line = format!("{},{},{}", time[0], time[1], values(n - rows));
    }
    out.join("\n")
}

#[test]
fn a_clock_that_was_put_forward_in_summer() {
    let moved = summer_moved(&text("723170TYA.CSV"), 1);
    assert_eq!(
        read(&moved, &Options::default()).unwrap_err().to_string(),
        "site.csv: against the sun, the clock of April to September is 60 min from that of November to February; times \
         must be standard time all year, without daylight saving; convert the file to standard time, or export it again \
         in UTC"
    );
    let error = read(&moved, &Options { accept_shift: true, ..Options::default() }).unwrap_err();
    assert!(
        matches!(error.kind(), ErrorKind::ClockMovesWithTheSeasons { minutes } if (minutes + 60.0).abs() < 3.0)
    );
    for name in ["723170TYA.CSV", "703165TY.csv", "tmy_45.000_8.000_2005_2023.csv"] {
        let closure = real(name, &Options::default()).report.reading.closure;
        assert!(closure.summer_less_winter_min.unwrap().abs() < 2.0, "{name}: {closure:?}");
    }
}

/// Greensboro's hours as one year in the plain format; `time` makes the stamp of each hour's start.
fn one_year(stamps: &str, time: impl Fn(chrono::NaiveDateTime) -> String) -> String {
    let record = real("723170TYA.CSV", &Options::default()).record;
    let mut out = format!(
        "# place: Site\n# latitude: 36.1\n# longitude: -79.95\n# elevation: 273 m\n# utc offset: -5\n# stamps: \
         {stamps}\ntime,ghi_w_per_m2,dni_w_per_m2,dhi_w_per_m2,air_degc\n"
    );
    let first = chrono::NaiveDate::from_ymd_opt(2001, 1, 1).unwrap().and_hms_opt(0, 0, 0).unwrap();
    let (dni, dhi) = (record.dni_w_per_m2.unwrap(), record.dhi_w_per_m2.unwrap());
    for h in 0..8760 {
        let start = first + chrono::TimeDelta::hours(i64::try_from(h).unwrap());
        out += &format!(
            "{},{},{},{},{}\n",
            time(start),
            record.ghi_w_per_m2[h],
            dni[h],
            dhi[h],
            record.air_degc[h]
        );
    }
    out
}

fn at(time: chrono::NaiveDateTime) -> String {
    time.format("%Y-%m-%dT%H:%M").to_string()
}

#[test]
fn a_year_whose_last_row_runs_back_into_its_january_is_read_however_it_is_stamped() {
    use chrono::Datelike;
    // The end of the hour, with the year kept: the last row is 2001-01-01T00:00.
    let text = |stamps: &str| {
        one_year(stamps, |start| at((start + chrono::TimeDelta::hours(1)).with_year(2001).unwrap()))
    };
    let right = real("723170TYA.CSV", &Options::default()).record.ghi_w_per_m2;
    let as_said = read(&text("end"), &Options::default()).unwrap().record;
    assert_eq!(as_said.ghi_w_per_m2, right);
    let accepted = read(&text("start"), &Options { accept_shift: true, ..Options::default() });
    let accepted = accepted.unwrap_or_else(|e| panic!("{e}")).record;
    assert_eq!(accepted.ghi_w_per_m2, right, "the last hour wraps to where it belongs");
    assert!(accepted.source.notes.iter().any(|n| n.contains("joins its beginning")), "{accepted:?}");
    let stated = read(&text("end"), &Options { stamps: Some(Stamps::Start), ..Options::default() });
    let stated = stated.unwrap_or_else(|e| panic!("{e}")).record;
    assert_eq!((stated.ghi_w_per_m2[0], &stated.ghi_w_per_m2[1..]), (right[8759], &right[..8759]));
    let middle = read(&text("start"), &Options { stamps: Some(Stamps::Middle), ..Options::default() });
    assert!(middle.is_ok(), "{:?}", middle.map(|_| ()));
}

#[test]
fn a_calendar_year_wraps_within_itself_where_a_shift_was_accepted_or_the_stamps_were_stated() {
    let right = real("723170TYA.CSV", &Options::default()).record.ghi_w_per_m2;
    let ends = |stamps: &str| one_year(stamps, |start| at(start + chrono::TimeDelta::hours(1)));
    let stated = read(&ends("end"), &Options { stamps: Some(Stamps::Start), ..Options::default() });
    let stated = stated.unwrap_or_else(|e| panic!("{e}")).record;
    assert_eq!(stated.calendar.days().len(), 365);
    assert_eq!((stated.ghi_w_per_m2[0], &stated.ghi_w_per_m2[1..]), (right[8759], &right[..8759]));
    assert!(
        stated
            .source
            .notes
            .iter()
            .any(|n| n.contains("the last 1 h of the file are moved to the record's beginning")),
        "{:?}",
        stated.source.notes
    );
    let starts = one_year("start", at);
    let stated = read(&starts, &Options { stamps: Some(Stamps::End), ..Options::default() }).unwrap().record;
    assert_eq!((&stated.ghi_w_per_m2[..8759], stated.ghi_w_per_m2[8759]), (&right[1..], right[0]));
    // Minutes to either side leave every hour on its own day: nothing wraps, nothing is lost.
    for minutes in [-50_i32, -30, -20, 20, 30, 50] {
        let off = one_year("start", |start| at(start + chrono::TimeDelta::minutes(minutes.into())));
        let weather = read(&off, &Options { accept_shift: true, ..Options::default() });
        let record = weather.unwrap_or_else(|e| panic!("{minutes}: {e}")).record;
        assert_eq!(record.ghi_w_per_m2.len(), 8760, "{minutes}");
        assert!((kwh(&record.ghi_w_per_m2) - kwh(&right)).abs() < 1e-9, "{minutes}");
        let back = read(
            &one_year("start", at)
                .replace("utc offset: -5", &format!("utc offset: {}", -5.0 + f64::from(minutes) / 60.0)),
            &Options { accept_shift: true, ..Options::default() },
        )
        .unwrap_or_else(|e| panic!("{minutes}: {e}"))
        .record;
        assert!((kwh(&back.ghi_w_per_m2) - kwh(&right)).abs() < 1e-9, "{minutes}");
    }
}

#[test]
fn the_first_hours_of_march_may_stand_on_a_leap_day_of_a_typical_year() {
    // Five hours later on the file's clock, with February from a leap year: five rows of 29 February.
    let record = real("723170TYA.CSV", &Options::default()).record;
    let mut text = String::from(
        "# place: Site\n# latitude: 36.1\n# longitude: -79.95\n# elevation: 273 m\n# utc offset: -5\n# stamps: start\n# \
         kind: typical\ntime,ghi_w_per_m2,air_degc\n",
    );
    for h in 0..8760 {
        let day = record.calendar.day_of(h).date().unwrap().and_hms_opt(0, 0, 0).unwrap();
        let utc = day + chrono::TimeDelta::hours(i64::try_from(h % 24).unwrap() + 5);
        text += &format!("{}Z,{},{}\n", at(utc), record.ghi_w_per_m2[h], record.air_degc[h]);
    }
    assert_eq!(text.matches("-02-29T").count(), 5);
    let read = read(&text, &Options::default()).unwrap_or_else(|e| panic!("{e}")).record;
    assert_eq!(read.ghi_w_per_m2, record.ghi_w_per_m2);
    assert_eq!(read.calendar.days().len(), 365);
}
