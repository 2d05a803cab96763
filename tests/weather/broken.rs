//! Files that must be refused, with the exact message.

use crate::help::{edit, message, text, with_field};
use dryspell_weather::{Error, ErrorKind, Options, read_bytes, read_file};

fn greensboro() -> String {
    text("723170TYA.CSV")
}

/// Line 12 of Greensboro (10:00 on the first of January) with a field changed.
fn changed(field: usize, value: &str) -> String {
    message(&edit(&greensboro(), 12, |l| with_field(l, field, value)))
}

fn of_bytes(bytes: &[u8]) -> Error {
    read_bytes("site.csv", bytes, &Options::default()).unwrap_err()
}

#[test]
fn a_missing_file_and_a_folder() {
    let error = read_file("no/such/site.csv", &Options::default()).unwrap_err();
    assert_eq!(
        error.to_string(),
        "no/such/site.csv: cannot be opened (entity not found); a weather file that can be read is needed; check the \
         name and the folder"
    );
    assert!(matches!(error.kind(), ErrorKind::CannotOpen { reason: std::io::ErrorKind::NotFound }));
    assert!(matches!(
        read_file("/", &Options::default()).unwrap_err().kind(),
        ErrorKind::CannotOpen { reason: std::io::ErrorKind::IsADirectory }
    ));
}

#[test]
fn what_is_no_weather_file() {
    assert_eq!(
        of_bytes(b"").to_string(),
        "site.csv: the file is empty; a weather file has a header and rows; download the file again"
    );
    assert_eq!(
        of_bytes(b"\xFF\xFEt\0i\0").to_string(),
        "site.csv: text in two-byte characters (UTF-16); UTF-8, ASCII or Latin-1 text is accepted; save the file again \
         as UTF-8"
    );
    assert_eq!(
        of_bytes(b"PK\x03\x04\0\0").to_string(),
        "site.csv: not text (a zero byte at position 4); weather files are text; if it is an archive or a spreadsheet, \
         unpack it or save it as CSV"
    );
    assert_eq!(
        of_bytes(b"name,age\nAnn,5\n").to_string(),
        "site.csv: format not recognised, first line \"name,age\"; known formats are TMY3, EPW, PVGIS typical year, \
         PVGIS hourly series, NSRDB PSM, CSV with pvlib's column names, plain CSV; name a file of one of these, or put \
         the data into the plain CSV format"
    );
}

#[test]
fn a_file_cut_off() {
    let text = greensboro();
    let two = text.lines().take(2).collect::<Vec<_>>().join("\n");
    assert_eq!(
        message(&two),
        "site.csv: no rows of data; a row for each hour must follow the column names; download the file again"
    );
    let within_a_row = &text[..1_000_030];
    assert_eq!(
        message(within_a_row),
        "site.csv: line 5085: the row has 21 fields; 71 are needed; the file may be cut off here: download it again, or \
         correct the row"
    );
    let at_a_row = text.lines().take(5002).collect::<Vec<_>>().join("\n");
    assert_eq!(
        message(&at_a_row),
        "site.csv: 5000 hours, the last row is 1981-07-28 08:00; a year has 8760 hours, or 8784 with 29 February; \
         the file may be cut off: download it again, or accept a part of a year (option part_of_year)"
    );
    let psm = self::text("test_psm4_polar_tmy_2023.csv");
    let one = psm.lines().next().unwrap();
    assert_eq!(
        message(one),
        "site.csv: the file ends after 1 line; the header alone has 3; download the file again"
    );
}

#[test]
fn columns() {
    assert_eq!(
        message(&greensboro().replacen("Dry-bulb (C)", "Wet-bulb (C)", 1)),
        "site.csv: line 2: no column of air temperature; a column named \"dry-bulb\" is needed; ask for this column \
         when downloading, or add it"
    );
    assert_eq!(
        message(&greensboro().replacen("Dry-bulb (C)", "Dry-bulb (F)", 1)),
        "site.csv: line 2, column Dry-bulb (F): the unit is \"F\"; C is accepted; convert the column and rename \
         its unit"
    );
    assert_eq!(
        message(&greensboro().replacen("ETRN (W/m^2)", "GHI (W/m^2)", 1)),
        "site.csv: line 2, column GHI (W/m^2): the column appears twice; each column must appear once; remove or rename \
         one of them"
    );
}

#[test]
fn values() {
    assert_eq!(
        changed(5, "bright"),
        "site.csv: line 12, column GHI (W/m^2): \"bright\" is not a number; a number with a decimal point is needed; \
         correct the value, or mark it as missing"
    );
    assert_eq!(
        changed(5, "-35"),
        "site.csv: line 12, column GHI (W/m^2): -35 W/m2 is below zero; radiation must be 0 or more, with -5 to 0 taken as 0; correct the value, or mark it as missing"
    );
    assert_eq!(
        changed(8, "4000"),
        "site.csv: line 12, column DNI (W/m^2): 4000 W/m2 is too high; at most 1408 W/m2 is physically possible here; \
         correct the value, or mark it as missing"
    );
    assert_eq!(
        changed(32, "283.15"),
        "site.csv: line 12, column Dry-bulb (C): air temperature of 283.15 degC; -90 to 60 degC is accepted; check the \
         column's unit; correct the value, or mark it as missing"
    );
}

#[test]
fn small_negatives_are_zero_and_counted() {
    let text = edit(&greensboro(), 4, |l| with_field(l, 5, "-4.9"));
    let weather = read_bytes("site.csv", text.as_bytes(), &Options::default()).unwrap();
    assert_eq!(weather.record.ghi_w_per_m2[1], 0.0);
    assert!(
        weather.record.source.notes.contains(&"1 radiation value between -5 and 0 W/m2 set to 0".to_owned())
    );
}

#[test]
fn times() {
    assert_eq!(
        message(&edit(&greensboro(), 12, |l| l.replace("01/01/1988", "1988-01-01"))),
        "site.csv: line 12: \"1988-01-01,10:00\" is not a time; MM/DD/YYYY,HH:MM with hours 00 to 24 is accepted; \
         correct the row"
    );
    assert_eq!(
        message(&edit(&greensboro(), 12, |l| l.replace("01/01/1988", "13/01/1988"))),
        "site.csv: line 12: there is no date 1988-13-01; a calendar date is needed; check the order of day, month and \
         year"
    );
    let mut lines: Vec<String> = greensboro().lines().map(str::to_owned).collect();
    lines.insert(12, lines[11].clone());
    assert_eq!(
        message(&lines.join("\n")),
        "site.csv: line 13: 1988-01-01 10:00 already appears in line 12; each time must appear once; remove one of the \
         two rows; if the clock went back here, convert the file to standard time"
    );
    let mut lines: Vec<String> = greensboro().lines().map(str::to_owned).collect();
    lines.swap(11, 12);
    assert_eq!(
        message(&lines.join("\n")),
        "site.csv: line 13: 1988-01-01 10:00 comes after 1988-01-01 11:00; rows must be in time order; sort the rows by \
         time"
    );
    let mut lines: Vec<String> = greensboro().lines().map(str::to_owned).collect();
    lines.drain(99..104);
    assert_eq!(
        message(&lines.join("\n")),
        "site.csv: rows are missing for 5 h from 1988-01-05T01:00; gaps up to 3 h are bridged; fill the gap from \
         another source, or allow filling from neighbouring days (option fill_long_gaps)"
    );
    assert_eq!(
        message(&edit(&greensboro(), 12, |l| l.replace("10:00", "10:20"))),
        "site.csv: line 12: 1988-01-01 10:20 is between the steps; rows must be 60 minutes apart; correct the time, or \
         resample the data to even steps"
    );
}

#[test]
fn places() {
    assert_eq!(
        message(&edit(&greensboro(), 1, |l| l.replace("-79.950", "79.950"))),
        "site.csv: try option longitude first: the clock is UTC-5 but longitude 79.95 is at UTC+5.3; a clock must be \
         within 50 degrees (3.3 hours) of its longitude; check the sign of the longitude and the offset, and state the right one (options longitude, \
         utc_offset)"
    );
    assert_eq!(
        message(&edit(&greensboro(), 1, |l| l.replace("36.100", "361.00"))),
        "site.csv: latitude is 361; latitude must be between -90 and 90; correct the header, or state the right value \
         (option latitude)"
    );
    assert_eq!(
        message(&edit(&greensboro(), 1, |l| l.replace("36.100", "36N"))),
        "site.csv: line 1: latitude is \"36N\"; a number with a decimal point is accepted; correct the header"
    );
}
