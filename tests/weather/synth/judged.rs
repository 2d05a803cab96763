//! What is told of made years is what the committed table says.

use crate::support::data;
use dryspell_weather::synth::judged::{FROM_MEANS, LIKE_A_RECORD, PLACES, SHUFFLED, Sun};

/// Fewest short days a year on the record from which a tank counts.
const FEWEST_DAYS: f64 = 1.0;

const SITES: [&str; 4] = ["davos", "arm", "iowa", "wageningen"];

#[test]
fn the_factors_are_those_of_the_table() {
    let text = std::fs::read_to_string(data("reference").join("weather_judge.csv")).unwrap();
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    let head: Vec<&str> = lines.next().unwrap().split(',').collect();
    let rows: Vec<Vec<&str>> = lines.map(|line| line.split(',').collect()).collect();
    let at = |name: &str| head.iter().position(|column| *column == name).unwrap();
    let short = |site: &str, years: &str| -> Vec<f64> {
        let row = rows.iter().find(|row| row[0] == site && row[1] == years).unwrap();
        (1..=5).map(|tank| row[at(&format!("tank_{tank}_short_days_a_year"))].parse().unwrap()).collect()
    };
    for judged in [FROM_MEANS, LIKE_A_RECORD, SHUFFLED] {
        for (site, (place, least, most)) in SITES.into_iter().zip(judged.times) {
            let factors: Vec<f64> = short(site, "measured")
                .into_iter()
                .zip(short(site, judged.kind))
                .filter(|(measured, _)| *measured >= FEWEST_DAYS)
                .map(|(measured, made)| made / measured)
                .collect();
            assert!(factors.len() >= 2, "{place}: {factors:?}");
            let low = factors.iter().copied().fold(f64::INFINITY, f64::min);
            let high = factors.iter().copied().fold(0.0, f64::max);
            assert!(
                (low - least).abs() < 0.005 && (high - most).abs() < 0.005,
                "{}, {place}: {low:.2} to {high:.2}",
                judged.kind
            );
        }
    }
}

/// The rows of the guide's table, made from the committed one.
#[test]
fn the_guide_shows_the_table() {
    let text = std::fs::read_to_string(data("reference").join("weather_judge.csv")).unwrap();
    let rows: Vec<Vec<&str>> = text
        .lines()
        .filter(|line| !line.starts_with('#'))
        .skip(1)
        .map(|line| line.split(',').collect())
        .collect();
    let guide = std::fs::read_to_string(data("..").join("crates/dryspell-cli/docs/weather.md")).unwrap();
    let places = FROM_MEANS.times.map(|(place, ..)| place);
    let mut shown = 0;
    for (site, place) in SITES.into_iter().zip(places) {
        let of = |years: &str, tank: usize, what: usize| -> f64 {
            let row = rows.iter().find(|row| row[0] == site && row[1] == years).unwrap();
            row[3 + 3 * tank + what].parse().unwrap()
        };
        for tank in (0..5).filter(|tank| of("measured", *tank, 1) >= FEWEST_DAYS) {
            let cells: Vec<String> =
                ["twelve means", "like a typical year", "like the record", "blocks of 15 days"]
                    .iter()
                    .map(|years| format!("{:.1} ± {:.1}", of(years, tank, 1), of(years, tank, 2)))
                    .collect();
            let line = format!(
                "| {place} | {:.0} | {:.1} ± {:.1} | {} |",
                of("measured", tank, 0),
                of("measured", tank, 1),
                of("measured", tank, 2),
                cells.join(" | ")
            );
            assert!(guide.contains(&line), "the guide lacks\n{line}");
            shown += 1;
        }
    }
    assert_eq!(
        guide
            .lines()
            .filter(|line| places.iter().any(|place| line.starts_with(&format!("| {place} |"))))
            .count(),
        shown
    );
}

/// The sun of the places is that of the committed table, and each is nearest to itself.
#[test]
fn the_places_are_those_of_the_table() {
    let text = std::fs::read_to_string(data("reference").join("weather_judge_places.csv")).unwrap();
    let rows: Vec<Vec<String>> =
        text.lines().skip(1).map(|line| line.split(',').map(str::to_owned).collect()).collect();
    assert_eq!(rows.len(), SITES.len());
    for (n, ((row, site), place)) in rows.iter().zip(SITES).zip(PLACES).enumerate() {
        assert_eq!(row[0], site);
        let number = |i: usize| row[i].parse::<f64>().unwrap();
        assert_eq!([number(1), number(2), number(3)], [place.darkest_kwh, place.brightest_kwh, place.spread]);
        assert_eq!(place.nearest(), Some(n));
    }
    // The tropics are like none of them.
    let even = Sun { darkest_kwh: 4.8, brightest_kwh: 6.0, spread: 0.2 };
    assert_eq!(even.nearest(), None);
    assert_eq!(SHUFFLED.nearest_words(Some(even)), "none of the four is near this record in its sun");
    let told = SHUFFLED.nearest_words(Some(PLACES[1]));
    assert_eq!(told, "nearest to this record in its sun: the prairie, 0.9 to 1.0");
}

#[test]
fn the_sun_of_days_by_hand() {
    // January 1 and 3 on alternate days (mean 2, shares 0.5 and 1.5), December and February 2.5 and 3.5, the rest 6.
    let days: Vec<(u8, f64)> = (1..=12_u8)
        .flat_map(|month| {
            (0..30).map(move |day| {
                let swing = if day % 2 == 0 { -1.0 } else { 1.0 };
                let kwh = match month {
                    1 => 2.0 + swing,
                    2 | 12 => 3.0 + 0.5 * swing,
                    _ => 6.0,
                };
                (month, kwh)
            })
        })
        .collect();
    let sun = Sun::of(&days).unwrap();
    let spread = ((0.25 + 2.0 / 36.0) / 3.0_f64).sqrt();
    assert_eq!((sun.darkest_kwh, sun.brightest_kwh), (2.0, 6.0));
    assert!((sun.spread - spread).abs() < 1e-12, "{} {spread}", sun.spread);
    assert_eq!(Sun::of(&days[..300]), None);
}
