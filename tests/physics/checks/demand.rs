//! The draw: what a cow drinks, and the peak of the patterns.

use super::{Evaluator, Row};
use dryspell::draw::classes::{Animal, DayAir, beef_cow};
use dryspell::draw::pattern::preset;

pub const EVALUATORS: &[(&str, Evaluator)] = &[
    ("cow_gal_per_day", |row| cow_l(row, row.number("air_degf")) / L_PER_GAL),
    ("cow_l_per_day", |row| cow_l(row, row.number("air_degf"))),
    ("cow_gal_per_degf", |row| {
        let at = row.number("air_degf");
        (cow_l(row, at + 1.0) - cow_l(row, at)) / L_PER_GAL
    }),
    ("peak_share", peak),
    ("peak_over_mean_hour", |row| peak(row) * 24.0),
];

const L_PER_GAL: f64 = 231.0 * 2.54 * 2.54 * 2.54 / 1000.0;

fn cow_l(row: &Row, air_degf: f64) -> f64 {
    let cow = Animal::in_milk(row.number("mass_lb") * 0.45359237, row.number("milk_lb") * 0.45359237);
    beef_cow::CLASS.curve(&cow).unwrap().litres_per_day(DayAir::steady((air_degf - 32.0) * 5.0 / 9.0))
}

fn peak(row: &Row) -> f64 {
    preset(&row.text("pattern").replace('_', " ")).unwrap().into_iter().fold(0.0, f64::max)
}
