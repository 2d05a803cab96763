//! NSRDB PSM: real typical years in local time and in UTC.

use crate::help::{colorado, message, real, text, years};
use dryspell::record::{RadiationTime, YearKind};
use dryspell_weather::{Options, PlaceOptions, read_bytes};

/// Adds a column of temperature, hour by hour: the sample file has radiation only.
pub fn with_temperature(text: &str) -> String {
    let mut out = String::new();
    for (n, line) in text.lines().enumerate() {
        out += line;
        match n {
            0 | 1 => {}
            2 => out += ",Temperature",
            _ => {
                let hour: f64 = line.split(',').nth(3).unwrap().parse().unwrap();
                out += &format!(",{}", hour / 10.0);
            }
        }
        out.push('\n');
    }
    out
}

#[test]
fn typical_years_in_local_time_stand_at_their_hours() {
    // Sums, first and last values as pandas gives them for the same columns of the file.
    for (name, ghi, dni, dhi, first_year, last) in [
        ("test_psm3_tmy-2017.csv", 1_777_892.0, 2_275_045.0, 523_507.0, 2003, ("2006-12-31T23:00", -4.0)),
        ("test_psm4_tmy-2023.csv", 1_809_860.0, 2_152_523.0, 580_110.0, 2020, ("2019-12-31T23:00", -11.2)),
    ] {
        let r = real(name, &colorado()).record;
        assert_eq!(r.hours(), 8760, "{name}");
        assert_eq!(
            (r.kind, r.radiation_time),
            (YearKind::Typical, RadiationTime::Instant { minutes_after_start: 30.0 })
        );
        assert_eq!(r.ghi_w_per_m2.iter().sum::<f64>(), ghi, "{name}");
        // The file of 2023 has beam in 35 hours with the sun down, which is set to 0.
        let beam = r.dni_w_per_m2.as_ref().unwrap().iter().sum::<f64>();
        assert!(beam <= dni && beam > 0.999 * dni, "{name}: {beam}");
        let said = r.source.notes.iter().any(|n| n.starts_with("direct radiation set to 0 in "));
        assert_eq!(said, beam < dni, "{name}: {:?}", r.source.notes);
        assert_eq!(r.dhi_w_per_m2.as_ref().unwrap().iter().sum::<f64>(), dhi, "{name}");
        assert_eq!(r.calendar.start_text(0), format!("{first_year}-01-01T00:00"));
        assert_eq!((r.calendar.start_text(8759).as_str(), r.air_degc[8759]), last);
        assert!(r.albedo.is_some() && r.wind_m_per_s.is_some() && r.pressure_pa.is_some());
    }
}

#[test]
fn a_re_export_without_place_asks_for_it() {
    assert_eq!(
        message(&text("test_psm4_tmy-2023.csv")),
        "site.csv: the file does not say the latitude, longitude, elevation, offset from UTC; it must be known; state \
         what is missing (options latitude, longitude, elevation, utc_offset)"
    );
}

#[test]
fn rows_in_utc_roll_to_local_standard_time() {
    let utc = with_temperature(&text("test_psm4_polar_tmy_2023.csv"));
    let r = read_bytes("polar.csv", utc.as_bytes(), &Options::default()).unwrap().record;
    let file: Vec<f64> = utc.lines().skip(3).map(|l| l.split(',').nth(5).unwrap().parse().unwrap()).collect();
    assert_eq!((r.place.utc_offset_h, r.place.latitude_deg), (-9.0, 64.84091));
    // 09:00 UTC on 1 January is local midnight; the nine hours before it close the record.
    assert_eq!(r.ghi_w_per_m2[..8751], file[9..]);
    assert_eq!(r.ghi_w_per_m2[8751..], file[..9]);
    assert_eq!(r.air_degc[0], 0.9);
    // A day keeps the year of its noon, though its evening comes from the next row's year.
    let utc_years: Vec<i32> = utc
        .lines()
        .skip(3)
        .filter(|l| l.split(',').nth(2) == Some("15") && l.split(',').nth(3) == Some("12"))
        .map(|l| l.split(',').next().unwrap().parse().unwrap())
        .collect();
    assert_eq!(years(&r), utc_years);
    assert_eq!(r.calendar.start_text(0), format!("{}-01-01T00:00", utc_years[0]));
    assert_eq!(r.calendar.start_text(8759), format!("{}-12-31T23:00", utc_years[11]));
    assert!(
        r.source.notes.contains(
            &"rows shifted by -9 h from the file's clock to local standard time; the first 9 h of the file are moved to \
             the record's end"
                .to_owned()
        ),
        "{:?}",
        r.source.notes
    );
    // Darkness at noon in the far north is short: the brightest hour of the year lies around local noon.
    let brightest = (0..8760).max_by(|a, b| r.ghi_w_per_m2[*a].total_cmp(&r.ghi_w_per_m2[*b])).unwrap();
    assert!((11..=14).contains(&(brightest % 24)), "brightest at hour {}", brightest % 24);
}

#[test]
fn half_hour_zones_stay_on_the_files_own_grid() {
    let utc = with_temperature(&text("test_psm4_polar_tmy_2023.csv"));
    for (zone, start, first) in [(-9.5, "23:30", 9), (-8.75, "00:15", 9), (-9.25, "23:45", 9)] {
        let place = PlaceOptions { utc_offset_h: Some(zone), ..PlaceOptions::default() };
        let options = Options { place, ..Options::default() };
        let r = read_bytes("polar.csv", utc.as_bytes(), &options).unwrap().record;
        let file: Vec<f64> =
            utc.lines().skip(3).map(|l| l.split(',').nth(5).unwrap().parse().unwrap()).collect();
        // The first hour of the record is the one whose middle is the first after local midnight.
        let text = r.calendar.start_text(0);
        assert!(text.ends_with(start), "{zone}: {text}");
        assert_eq!(r.ghi_w_per_m2[0], file[first], "{zone}");
        assert_eq!(r.ghi_w_per_m2[8759], file[(first + 8759) % 8760], "{zone}");
    }
}

#[test]
fn the_sample_without_temperature_is_refused() {
    assert_eq!(
        message(&text("test_psm4_polar_tmy_2023.csv")),
        "site.csv: line 3: no column of air temperature; a column named \"temperature\" or \"tdry\" is needed; ask \
         for this column when downloading, or add it"
    );
}
