//! Evaluators of `data/reference/checks/statistics.csv`: intervals, coverage, return levels, the bootstrap's law.

use super::{Evaluator, Row};
use dryspell::reliability::interval::clopper_pearson::{clopper_pearson, upper_bound};
use dryspell::reliability::interval::coverage::{Coverage, Method};
use dryspell::reliability::interval::wilson::wilson;
use dryspell::reliability::interval::{Interval, Level, Tally, binomial, normal};
use dryspell::reliability::returns::ReturnLevels;
use dryspell::resample::blocks::kept_correlation;
use dryspell::sun::clear_sky::haurwitz_w_per_m2;

pub const EVALUATORS: &[(&str, Evaluator)] = &[
    ("clopper_pearson", |row| end(row, clopper_pearson(tally(row), level(row)).unwrap())),
    ("wilson", |row| end(row, wilson(tally(row), level(row)).unwrap())),
    ("upper_bound", |row| upper_bound(tally(row), level(row)).unwrap()),
    ("at_least", |row| binomial::at_least(whole(row, "k"), whole(row, "n"), row.number("p"))),
    ("normal_two_sided", |row| normal::two_sided(level(row))),
    ("coverage", |row| {
        let method: Method = match row.text("method") {
            "wilson" => wilson,
            "clopper_pearson" => clopper_pearson,
            other => panic!("{}: method {other}", row.id),
        };
        Coverage::new(method, whole(row, "n"), level(row)).unwrap().at(row.number("p"))
    }),
    ("exceedance", |row| {
        ReturnLevels::of(&row.numbers("values")).unwrap().positions()[whole(row, "rank") as usize - 1]
            .exceedance
    }),
    ("return_level", |row| ReturnLevels::of(&row.numbers("values")).unwrap().at(row.number("t")).unwrap()),
    ("haurwitz_w_per_m2", |row| haurwitz_w_per_m2(libm::cos(row.number("zenith").to_radians()))),
    ("bootstrap_law", |row| kept_correlation(row.number("mean"), whole(row, "lag"))),
];

fn whole(row: &Row, name: &str) -> u32 {
    row.number(name) as u32
}

fn level(row: &Row) -> Level {
    Level::new(row.number("level")).unwrap()
}

fn tally(row: &Row) -> Tally {
    Tally::new(whole(row, "k"), whole(row, "n")).unwrap()
}

fn end(row: &Row, interval: Interval) -> f64 {
    match row.text("end") {
        "low" => interval.low,
        "high" => interval.high,
        other => panic!("{}: end {other}", row.id),
    }
}
