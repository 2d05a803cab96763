//! The report: a real year's table, spells and frost against sums made here from the file's own text.

use crate::help::{real, text};
use dryspell_weather::{Options, Report};

/// Fields of Greensboro's rows.
fn greensboro(field: usize) -> Vec<f64> {
    text("723170TYA.CSV").lines().skip(2).map(|l| l.split(',').nth(field).unwrap().parse().unwrap()).collect()
}

fn report() -> Report {
    real("723170TYA.CSV", &Options::default()).report
}

#[test]
fn the_table_of_months() {
    let report = report();
    let (ghi, air, etr) = (greensboro(4), greensboro(31), greensboro(2));
    let lengths = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    let mut from = 0;
    for (month, days) in report.months.iter().zip(lengths) {
        let month = month.as_ref().unwrap();
        let hours = from..from + 24 * days;
        assert_eq!(month.days, days);
        let sum: f64 = ghi[hours.clone()].iter().sum();
        assert!((month.ghi_kwh_per_m2_day - sum / 1000.0 / days as f64).abs() < 1e-9);
        let mean = air[hours.clone()].iter().sum::<f64>() / (24 * days) as f64;
        assert!((month.air_degc - mean).abs() < 1e-9);
        // The file has the radiation outside the air by hours, from a solar constant of 1367: half a percent.
        let outside: f64 = etr[hours.clone()].iter().sum();
        assert!((month.clearness.unwrap() / (sum / outside) - 1.0).abs() < 0.006, "{month:?}");
        from = hours.end;
    }
    assert!((report.year.ghi_kwh_per_m2_day * 365.0 - 1566.2).abs() < 0.05);
    assert!((report.year.dni_kwh_per_m2_day.unwrap() * 365.0 - 1476.5).abs() < 0.05);
    assert!((report.year.dhi_kwh_per_m2_day.unwrap() * 365.0 - 682.2).abs() < 0.05);
    assert_eq!(report.year.lowest_degc, air.iter().copied().fold(f64::INFINITY, f64::min));
    assert_eq!(report.year.highest_degc, air.iter().copied().fold(f64::NEG_INFINITY, f64::max));
}

#[test]
fn the_dullest_days_and_the_frost() {
    let report = report();
    let daily: Vec<f64> = greensboro(4).chunks(24).map(|d| d.iter().sum::<f64>() / 1000.0).collect();
    assert_eq!(report.dullest.iter().map(|s| s.days).collect::<Vec<_>>(), [3, 5, 10, 20]);
    for spell in &report.dullest {
        let least = (0..365)
            .map(|d| (0..spell.days).map(|k| daily[(d + k) % 365]).sum::<f64>() / spell.days as f64)
            .fold(f64::INFINITY, f64::min);
        assert!((spell.mean - least).abs() < 1e-12);
    }
    // All spells of dull days are in the winter half of this place.
    assert!(
        report.dullest.iter().all(|s| ["10", "11", "12", "01", "02"].contains(&&s.from[5..7])),
        "{:?}",
        report.dullest
    );
    let air: Vec<f64> = greensboro(31).chunks(24).map(|d| d.iter().sum::<f64>() / 24.0).collect();
    let july = 181;
    let sums: Vec<f64> = (0..365)
        .scan(0.0, |sum, d| {
            *sum += air[(july + d) % 365];
            Some(*sum)
        })
        .collect();
    let mut fall = 0.0_f64;
    for (k, sum) in sums.iter().enumerate() {
        let peak = sums[..=k].iter().copied().fold(0.0, f64::max);
        fall = fall.max(peak - sum);
    }
    assert_eq!(report.cold.freezing_index.len(), 1);
    let index = report.cold.freezing_index[0].freezing_index_degc_days;
    assert!((index - fall).abs() < 1e-9 && index > 5.0, "{index} {fall}");
    assert_eq!(report.cold.lowest_degc, greensboro(31).iter().copied().fold(f64::INFINITY, f64::min));
}

#[test]
fn what_it_is_and_what_it_lacks() {
    let report = report();
    assert_eq!((report.format.as_str(), report.kind, report.hours), ("TMY3", "typical", 8760));
    assert_eq!(report.years, [1980, 1981, 1986, 1988, 1989, 1990, 1994, 1996, 2001, 2003]);
    assert_eq!(report.lacks, ["ground albedo", "snow depth", "precipitation"]);
    assert_eq!(report.reading.stamps, "means, stamped at the end of their interval");
    assert_eq!((report.reading.rows, report.reading.step_min, report.reading.rows_clock_h), (8760, 60, -5.0));
    assert!(report.reading.fills.is_empty());
}

#[test]
fn it_serialises_with_units_in_its_names() {
    let value = serde_json::to_value(report()).unwrap();
    assert_eq!(value["reading"]["closure"]["not_testable"], serde_json::Value::Null);
    assert!(value["months"][0]["ghi_kwh_per_m2_day"].is_number());
    assert_eq!(value["kind"], "typical");
    assert_eq!(value["utc_offset_h"], -5.0);
}
