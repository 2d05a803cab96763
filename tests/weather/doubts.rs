//! What a file says that is not to be believed, or not what it seems: snow in July, years to come, another place.

use crate::help::{read, text};
use dryspell::record::{MOST_YEARS, YearKind};
use dryspell_weather::{Options, PlaceOptions};

/// Greensboro as a plain file with what stands above the columns, and with depth of snow by month and day.
fn plain(head: &str, year: i32, snow_cm: impl Fn(u32, u32) -> f64) -> String {
    let mut out = format!(
        "{head}# latitude: 36.1\n# longitude: -79.95\n# elevation: 273 m\n# utc offset: -5\n# stamps: end\n\
         time,ghi_w_per_m2,dni_w_per_m2,dhi_w_per_m2,air_degc,snow_depth_cm\n"
    );
    for line in text("723170TYA.CSV").lines().skip(2) {
        let f: Vec<&str> = line.split(',').collect();
        let (month, day, hour) = (&f[0][..2], &f[0][3..5], &f[1][..2]);
        let snow = snow_cm(month.parse().unwrap(), day.parse().unwrap());
        out += &format!("{year}-{month}-{day}T{hour}:00,{},{},{},{},{snow}\n", f[4], f[7], f[10], f[31]);
    }
    out
}

#[test]
fn snow_all_july_is_not_used_and_said_so_and_a_winters_snow_is_used() {
    let july =
        read(&plain("", 2019, |month, _| if month == 7 { 2.0 } else { 0.0 }), &Options::default()).unwrap();
    assert_eq!(july.record.snow_depth_m, None);
    let note = "the snow depth column is not used: snow on the ground in 744 of the 744 hours of 2019-07, whose mean \
     air is 25.4 degC (above 10 degC snow does not last)";
    assert!(july.record.source.notes.contains(&note.to_owned()), "{:?}", july.record.source.notes);
    let winter = |month, day| if month == 1 { f64::from(day % 9) } else { 0.0 };
    let january = read(&plain("", 2019, winter), &Options::default()).unwrap();
    assert_eq!(january.record.snow_depth_m.unwrap()[24 * 4], 0.05);
}

#[test]
fn years_of_a_scenario_are_projected_whether_plain_or_epw_and_a_statement_prevails() {
    let none = |_, _| 0.0;
    let options = Options::default();
    let of = |head: &str, options: &Options| read(&plain(head, 2019, none), options).unwrap();
    let named = of("# note: CMIP6, SSP5-8.5, bias corrected\n", &options);
    assert_eq!((named.record.kind, named.report.kind), (YearKind::Projected, "projected"));
    assert!(named.record.source.notes.iter().any(|n| n.contains("climate scenario SSP 5-8.5")));
    assert_eq!(of("# kind: projected\n", &options).record.kind, YearKind::Projected);
    assert_eq!(of("", &options).record.kind, YearKind::Calendar);
    let stated = Options { kind: Some(YearKind::Calendar), ..Options::default() };
    assert_eq!(of("# note: SSP5-8.5\n", &stated).record.kind, YearKind::Calendar);

    let epw = text("tmy_45.000_8.000_2005_2023_january.epw");
    let morphed = epw.replacen("COMMENTS 1,", "COMMENTS 1,morphed to RCP8.5 of 2050; ", 1);
    assert!(morphed != epw);
    let part = Options { part_of_year: true, kind: None, ..Options::default() };
    assert_eq!(read(&morphed, &part).unwrap().record.kind, YearKind::Projected);
    assert_ne!(read(&epw, &part).unwrap().record.kind, YearKind::Projected);

    // Months of different years stay one year.
    let tmy3 =
        text("723170TYA.CSV").replacen("\"GREENSBORO PIEDMONT TRIAD INT\"", "\"GREENSBORO RCP 4.5\"", 1);
    let typical = read(&tmy3, &options).unwrap().record;
    assert_eq!((typical.kind, typical.hours()), (YearKind::Projected, 8760));
}

#[test]
fn dates_to_come_are_an_alert_and_no_more() {
    let later = read(&plain("", 2190, |_, _| 0.0), &Options::default()).unwrap().record;
    assert_eq!(later.kind, YearKind::Calendar);
    assert_eq!(later.source.alerts.len(), 1, "{:?}", later.source.alerts);
    assert!(later.source.alerts[0].starts_with("dates up to 2190 are taken as measured, but it is 20"));
    assert!(later.source.alerts[0].contains("state years = \"projected\""));
    assert!(read(&plain("", 2019, |_, _| 0.0), &Options::default()).unwrap().record.source.alerts.is_empty());
}

#[test]
fn a_stated_place_and_the_files_own_are_both_told_with_distance_and_height() {
    // Raleigh to the file's Greensboro.
    let place = PlaceOptions {
        latitude_deg: Some(35.9),
        longitude_deg: Some(-78.8),
        elevation_m: Some(127.0),
        ..PlaceOptions::default()
    };
    let weather = read(&text("723170TYA.CSV"), &Options { place, ..Options::default() }).unwrap();
    let own = weather.report.station.unwrap();
    assert_eq!(
        (own.latitude_deg, own.longitude_deg, own.elevation_m, own.higher_m),
        (36.1, -79.95, 273.0, 146.0)
    );
    // A degree of latitude has 111.2 km, one of longitude 111.2 cos(36) = 90.0 km: the hypotenuse of 22.2 and 103.5 km.
    assert!((own.distance_km - 105.8).abs() < 0.3, "{}", own.distance_km);
    // Raleigh is far, and not much lower; the sun is told to be that of Raleigh in the notes.
    assert_eq!(
        weather.record.source.alerts,
        [
            "the file's own place (36.1, -79.95 degrees, 273 m) is 106 km from the site stated and 146 m higher: cloud and snow may differ; check the \
          place under [weather], or take a nearer file (said above 25 km or 200 m: common practice, no source)"
        ]
    );
    let alerts = |latitude: f64, elevation: f64| {
        let place = PlaceOptions {
            latitude_deg: Some(latitude),
            elevation_m: Some(elevation),
            ..PlaceOptions::default()
        };
        let options = Options { place, ..Options::default() };
        read(&text("723170TYA.CSV"), &options).unwrap().record.source.alerts
    };
    // A degree has 111.2 km: 24 and 26 of them; 199 and 201 m up.
    assert_eq!(alerts(36.1 + 24.0 / 111.2, 273.0 + 199.0), Vec::<String>::new());
    assert_eq!(alerts(36.1 + 26.0 / 111.2, 273.0).len(), 1);
    let up = alerts(36.1, 273.0 + 201.0);
    assert!(
        up.len() == 1
            && up[0].contains("is 0 km from the site stated and 201 m lower")
            && up[0].contains("with height"),
        "{up:?}"
    );
    let alone = read(&text("723170TYA.CSV"), &Options::default()).unwrap();
    assert_eq!((alone.report.station, alone.record.source.station), (None, None));
}

#[test]
fn as_many_years_are_read_as_are_made() {
    // The last label of made years, and the year after it.
    let last = 2000 + i32::try_from(MOST_YEARS).unwrap() - 1;
    let year = |year| read(&plain("# kind: synthetic\n", year, |_, _| 0.0), &Options::default());
    assert_eq!(year(last).unwrap().record.kind, YearKind::Synthetic);
    let error = year(last + 1).unwrap_err().to_string();
    assert!(error.contains("the year of 2999-01-01; years 1800 to 2998 are accepted"), "{error}");
    let key = dryspell::scheme::keys::find("weather", "made_years").unwrap();
    assert!(key.range.holds(MOST_YEARS as f64) && !key.range.holds(MOST_YEARS as f64 + 1.0));
}
