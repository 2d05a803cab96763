//! A whole real year of evapotranspiration and open-water evaporation against reference libraries, day by day.
#![allow(clippy::print_stdout, reason = "the worst days are worth seeing with --nocapture")]

use crate::support::data;
use crate::tmy3;
use dryspell::draw::garden::{Method, reference_mm};
use dryspell::evaporation::{day, open_water};
use dryspell::record::Record;

fn year() -> Record {
    tmy3::read(&data("weather/723170TYA.CSV"))
}

/// A column of the reference file.
fn reference(name: &str) -> Vec<f64> {
    let path = data("reference/evaporation_year.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).unwrap();
    let at = reader.headers().unwrap().iter().position(|n| n == name).unwrap();
    let column: Vec<f64> = reader.records().map(|row| row.unwrap()[at].parse().unwrap()).collect();
    assert_eq!(column.len(), 365);
    column
}

/// Every day within `abs + rel × reference`; the worst is printed.
fn compare(what: &str, ours: &[f64], theirs: &[f64], abs: f64, rel: f64) {
    assert_eq!(ours.len(), theirs.len());
    let miss = |d: &usize| (ours[*d] - theirs[*d]).abs() / (abs + rel * theirs[*d].abs());
    let worst = (0..ours.len()).max_by(|a, b| miss(a).total_cmp(&miss(b))).unwrap();
    println!(
        "{what}: worst day {worst}: {:.5} against {:.5}, {:.2} of the tolerance",
        ours[worst],
        theirs[worst],
        miss(&worst)
    );
    assert!(miss(&worst) <= 1.0, "{what}: day {worst}: {} against {}", ours[worst], theirs[worst]);
}

#[test]
fn daily_evapotranspiration_of_a_real_year() {
    let record = year();
    let ours = reference_mm(Method::Daily, &record);
    compare("FAO-56 (pyet)", &ours, &reference("pyet_mm"), 0.001, 0.0);
    compare("ASCE short (refet)", &ours, &reference("refet_mm"), 0.01, 0.0);
    // The worst day is the same day.
    let worst = |mm: &[f64]| (0..mm.len()).max_by(|a, b| mm[*a].total_cmp(&mm[*b])).unwrap();
    assert_eq!(worst(&ours), worst(&reference("pyet_mm")));
    compare(
        "Hargreaves (pyet)",
        &reference_mm(Method::Hargreaves, &record),
        &reference("hargreaves_mm"),
        0.001,
        // FAO-56 writes 0.408 for 1/2.45.
        0.0005,
    );
}

/// The hourly form sums to nearly the daily one: FAO-56 expects a few percent between them.
#[test]
fn hourly_evapotranspiration_sums_to_the_daily_of_a_real_year() {
    let record = year();
    let total = |method| reference_mm(method, &record).iter().sum::<f64>();
    let ratio = total(Method::Hourly) / reference("pyet_mm").iter().sum::<f64>();
    println!("hourly over daily sum of the year: {ratio:.4}");
    assert!((ratio - 1.0).abs() < 0.06, "{ratio}");
}

#[test]
fn open_water_of_a_real_year() {
    let (days, assumed) = day::days(&year());
    assert_eq!(assumed, day::MissingWeather::default());
    let ours: Vec<f64> = days.iter().map(open_water::evaporation_mm).collect();
    compare("open water (pyet)", &ours, &reference("open_water_mm"), 0.02, 0.02);
}
