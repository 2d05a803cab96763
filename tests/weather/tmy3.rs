//! TMY3: two real files, and the same files as other programs save them.

use crate::help::{bytes, edit, kwh, real, same_sum, text, years};
use dryspell::calendar::Day;
use dryspell::record::{RadiationTime, YearKind};
use dryspell_weather::{Options, Weather, read_bytes};

const GREENSBORO: &str = "723170TYA.CSV";
const SAND_POINT: &str = "703165TY.csv";

/// The same record and report, of files that are written differently.
#[track_caller]
fn same_but_for_the_bytes(a: &Weather, b: &Weather) {
    assert!(a.record == b.record && a.report == b.report);
}

#[test]
fn greensboro_has_its_sums_its_years_and_its_hours() {
    let r = real(GREENSBORO, &Options::default()).record;
    assert_eq!(r.hours(), 8760);
    same_sum("GHI", &r.ghi_w_per_m2, 1566.2);
    same_sum("DNI", r.dni_w_per_m2.as_ref().unwrap(), 1476.5);
    same_sum("DHI", r.dhi_w_per_m2.as_ref().unwrap(), 682.2);
    assert_eq!(r.ghi_w_per_m2.iter().copied().fold(0.0, f64::max), 1013.0);
    assert_eq!(years(&r), [1988, 1996, 1990, 1980, 1986, 1989, 1981, 2001, 2003, 1980, 1994, 1980]);
    assert_eq!((r.kind, r.radiation_time), (YearKind::Typical, RadiationTime::HourMean));
    let p = &r.place;
    assert_eq!(p.name, "GREENSBORO PIEDMONT TRIAD INT, NC");
    assert_eq!((p.latitude_deg, p.longitude_deg, p.elevation_m, p.utc_offset_h), (36.1, -79.95, 273.0, -5.0));
    // The row stamped 01:00 is the hour from midnight, that stamped 24:00 the hour from 23:00.
    assert_eq!(r.calendar.start_text(0), "1988-01-01T00:00");
    assert_eq!(r.calendar.start_text(8759), "1980-12-31T23:00");
    assert_eq!(r.calendar.day_of(31 * 24), Day { year: 1996, month: 2, day: 1 });
    assert_eq!((r.air_degc[0], r.air_degc[8759]), (10.0, 2.2));
    assert_eq!(r.wind_m_per_s.as_ref().map(|w| (w[0], w[8759])), Some((6.2, 2.6)));
    assert_eq!(r.pressure_pa.as_ref().map(|p| (p[0], p[8759])), Some((99_300.0, 98_000.0)));
    assert_eq!(r.relative_humidity.as_ref().map(|h| (h[0], h[8759])), Some((0.77, 0.89)));
}

#[test]
fn greensboro_columns_that_are_not_credible_are_left_out_and_said() {
    let r = real(GREENSBORO, &Options::default()).record;
    assert_eq!((&r.albedo, &r.precipitation_mm, &r.snow_depth_m), (&None, &None, &None));
    let notes = r.source.notes.join("\n");
    assert!(notes.contains("ground albedo is 0 in every row of the file: treated as missing"), "{notes}");
    assert!(notes.contains("the precipitation column is not used: an hour of "), "{notes}");
    assert_eq!(r.source.format, "TMY3");
}

#[test]
fn sand_point_has_its_sums_and_its_albedo() {
    let r = real(SAND_POINT, &Options::default()).record;
    same_sum("GHI", &r.ghi_w_per_m2, 829.2);
    same_sum("DNI", r.dni_w_per_m2.as_ref().unwrap(), 819.2);
    same_sum("DHI", r.dhi_w_per_m2.as_ref().unwrap(), 460.9);
    assert_eq!(r.ghi_w_per_m2.iter().copied().fold(0.0, f64::max), 862.0);
    assert_eq!(r.albedo.as_ref().map(|a| (a[0], a[8759])), Some((0.24, 0.25)));
    assert_eq!(r.precipitation_mm, None);
    let notes = r.source.notes.join("\n");
    assert!(notes.contains("the precipitation column is not used: an hour of "), "{notes}");
    assert_eq!(r.place.longitude_deg, -160.517);
}

#[test]
fn line_ends_byte_order_marks_latin_1_and_the_last_row_at_midnight_change_nothing() {
    let plain = text(GREENSBORO);
    let expected = read_bytes("f", plain.as_bytes(), &Options::default()).unwrap();
    let crlf = plain.replace('\n', "\r\n");
    same_but_for_the_bytes(&read_bytes("f", crlf.as_bytes(), &Options::default()).unwrap(), &expected);
    let mut marked = vec![0xEF, 0xBB, 0xBF];
    marked.extend(crlf.as_bytes());
    same_but_for_the_bytes(&read_bytes("f", &marked, &Options::default()).unwrap(), &expected);
    let cut = plain.trim_end();
    same_but_for_the_bytes(&read_bytes("f", cut.as_bytes(), &Options::default()).unwrap(), &expected);
    let padded = plain.replace('\n', ",,,\n");
    same_but_for_the_bytes(&read_bytes("f", padded.as_bytes(), &Options::default()).unwrap(), &expected);

    let midnight = edit(&plain, 8762, |l| l.replace("12/31/1980,24:00", "01/01/1981,00:00"));
    same_but_for_the_bytes(&read_bytes("f", midnight.as_bytes(), &Options::default()).unwrap(), &expected);

    // As the look-alike files have it: Latin-1 in a quoted licence text, no station, a double bracket.
    let bracket = plain.replace("DNI (W/m^2)", "DNI (W/m^2))");
    let look_alike = edit(&bracket, 1, |_| {
        "0,Gr\u{fc}nfeld,NC,-5.0,36.100,-79.950,273,\"Copyright \u{ae}, all rights\",,".into()
    });
    let latin: Vec<u8> = look_alike.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect();
    let read = read_bytes("f", &latin, &Options::default()).unwrap();
    assert_eq!(read.record.place.name, "Gr\u{fc}nfeld, NC");
    assert_eq!(read.record.ghi_w_per_m2, expected.record.ghi_w_per_m2);
    assert_eq!(read.record.dni_w_per_m2, expected.record.dni_w_per_m2);
}

#[test]
fn columns_are_found_by_name_wherever_they_stand() {
    let plain = text(GREENSBORO);
    let expected = read_bytes("f", &bytes(GREENSBORO), &Options::default()).unwrap();
    let turned: Vec<String> = plain
        .lines()
        .enumerate()
        .map(|(n, line)| {
            if n == 0 {
                return line.to_owned();
            }
            let fields: Vec<&str> = line.split(',').collect();
            let mut moved = fields[..2].to_vec();
            moved.extend(fields[2..].iter().rev());
            moved.join(",")
        })
        .collect();
    let read = read_bytes("f", turned.join("\n").as_bytes(), &Options::default()).unwrap();
    same_but_for_the_bytes(&read, &expected);
    assert!(kwh(&read.record.ghi_w_per_m2) > 1500.0);
}

#[test]
fn midnight_written_as_the_next_day_keeps_every_month_whole() {
    // Also at the end of a February whose year has a 29th that the file leaves out: 1996.
    let plain = text(GREENSBORO);
    let expected = read_bytes("f", plain.as_bytes(), &Options::default()).unwrap();
    let mut changed = 0;
    let next_day: String = plain
        .lines()
        .map(|line| match line.split_once(",24:00") {
            Some((date, rest)) => {
                changed += 1;
                let date = chrono::NaiveDate::parse_from_str(date, "%m/%d/%Y").unwrap().succ_opt().unwrap();
                format!("{},00:00{rest}\n", date.format("%m/%d/%Y"))
            }
            None => format!("{line}\n"),
        })
        .collect();
    assert_eq!(changed, 365);
    same_but_for_the_bytes(&read_bytes("f", next_day.as_bytes(), &Options::default()).unwrap(), &expected);
}
