//! The draw: what animals need, the peak of the patterns, the rules of troughs.

use super::{Evaluator, Row};
use dryspell::draw::classes::{self, Animal, Ask, DayAir, beef_cow, dairy_cow, winchester_morris};
use dryspell::draw::equations::{arias_mader, cardot, hicks, little_shaw, meyer, stockdale_king};
use dryspell::draw::pattern::preset;
use dryspell::draw::trough::{self, Rule};

pub const EVALUATORS: &[(&str, Evaluator)] = &[
    ("cow_gal_per_day", |row| cow_l(row, row.number("air_degf")) / L_PER_GAL),
    ("cow_l_per_day", |row| cow_l(row, row.number("air_degf"))),
    ("cow_gal_per_degf", |row| {
        let at = row.number("air_degf");
        (cow_l(row, at + 1.0) - cow_l(row, at)) / L_PER_GAL
    }),
    ("peak_share", peak),
    ("peak_over_mean_hour", |row| peak(row) * 24.0),
    ("class_l", |row| class_l(row, air_degc(row))),
    ("class_gal", |row| class_l(row, air_degc(row)) / L_PER_GAL),
    ("thousand_l", |row| 1000.0 * class_l(row, air_degc(row))),
    ("heat_ratio", |row| class_l(row, row.number("hot_degc")) / class_l(row, row.number("cool_degc"))),
    ("factor_gal_per_lb", |row| factor_l_per_kg(row) * KG_PER_LB / L_PER_GAL),
    ("factor_l_per_kg", factor_l_per_kg),
    ("forage_l", |row| {
        dryspell::draw::forage_litres(row.number("dry_matter_lb") * KG_PER_LB, row.number("moisture"))
    }),
    ("eq_murphy", |row| {
        dairy_cow::murphy_l_per_day(
            row.number("dry_matter_kg"),
            row.number("milk_kg"),
            row.number("sodium_g"),
            row.number("least_degc"),
        )
    }),
    ("eq_stockdale_king", |row| {
        stockdale_king::l_per_day(
            row.number("dry_matter_kg"),
            row.number("feed_dry_g_per_kg"),
            row.number("mean_degc"),
        )
    }),
    ("eq_little_shaw", |row| little_shaw::l_per_day(row.number("dry_matter_kg"), row.number("milk_kg"))),
    ("eq_meyer", |row| {
        meyer::l_per_day(
            row.number("mean_degc"),
            row.number("milk_kg"),
            row.number("mass_kg"),
            row.number("sodium_g"),
        )
    }),
    ("eq_cardot", |row| {
        cardot::l_per_day(
            row.number("dry_matter_kg"),
            row.number("milk_kg"),
            row.number("feed_dry_percent"),
            row.number("least_degc"),
            row.number("rain_mm"),
        )
    }),
    ("eq_arias_mader_least", |row| {
        arias_mader::l_per_day(
            row.number("dry_matter_kg"),
            row.number("solar_w_per_m2"),
            row.number("least_degc"),
        )
    }),
    ("eq_arias_mader_thi", |row| {
        arias_mader::by_index_l_per_day(
            row.number("dry_matter_kg"),
            row.number("solar_w_per_m2"),
            row.number("thi"),
        )
    }),
    ("eq_hicks", |row| {
        hicks::l_per_day(
            row.number("greatest_degf"),
            row.number("dry_matter_kg"),
            row.number("rain_cm"),
            row.number("salt_percent"),
        )
    }),
    ("trough_needed_m3", |row| rule(row).trough_m3(row.number("heads"), row.number("day_m3")).unwrap()),
    ("refill_needed_m3_per_h", |row| rule(row).refill_m3_per_h(row.number("day_m3")).unwrap()),
    ("pipeline_needed_m3_per_h", |row| trough::pipeline_m3_per_h(row.number("day_m3"), row.number("hours"))),
    ("pfra_storage_m3", |row| {
        trough::pfra_storage_m3(row.number("day_l") / 1000.0, row.number("peak_l_per_min") * 0.06)
    }),
    ("pfra_peak_storage_m3", |row| trough::pfra_storage_m3(0.0, row.number("peak_l_per_min") * 0.06)),
];

const L_PER_GAL: f64 = 231.0 * 2.54 * 2.54 * 2.54 / 1000.0;
const KG_PER_LB: f64 = 0.45359237;

fn cow_l(row: &Row, air_degf: f64) -> f64 {
    let cow = Animal::in_milk(row.number("mass_lb") * KG_PER_LB, row.number("milk_lb") * KG_PER_LB);
    beef_cow::CLASS.curve(&cow).unwrap().litres_per_day(DayAir::steady((air_degf - 32.0) * 5.0 / 9.0))
}

fn air_degc(row: &Row) -> f64 {
    if row.inputs.contains_key("air_degf") {
        (row.number("air_degf") - 32.0) * 5.0 / 9.0
    } else {
        row.number("air_degc")
    }
}

/// Litres of the row's class and animal on a steady day.
fn class_l(row: &Row, air_degc: f64) -> f64 {
    let keys = [
        ("mass_kg", Ask::Mass, 1.0),
        ("mass_lb", Ask::Mass, KG_PER_LB),
        ("milk_kg", Ask::Milk, 1.0),
        ("dry_matter_kg", Ask::DryMatter, 1.0),
        ("dry_matter_lb", Ask::DryMatter, KG_PER_LB),
        ("sodium_g", Ask::Sodium, 1e-3),
        ("age_weeks", Ask::Age, 1.0),
        ("laying_percent", Ask::Laying, 0.01),
    ];
    let mut animal = Animal::UNKNOWN;
    for (key, ask, unit) in keys {
        if row.inputs.contains_key(key) {
            animal = animal.with(ask, row.number(key) * unit);
        }
    }
    let class = classes::find(&row.text("class").replace('_', " ")).unwrap();
    class.curve(&animal).unwrap().litres_per_day(DayAir::steady(air_degc))
}

fn factor_l_per_kg(row: &Row) -> f64 {
    winchester_morris::curve(1.0).litres_per_day(DayAir::steady(air_degc(row)))
}

fn peak(row: &Row) -> f64 {
    preset(&row.text("pattern").replace('_', " ")).unwrap().into_iter().fold(0.0, f64::max)
}

fn rule(row: &Row) -> Rule {
    match row.text("rule") {
        "herd" => Rule::HerdTogether,
        "singly" => Rule::Singly,
        "refill_1_h" => Rule::RefillOneHour,
        "refill_4_h" => Rule::RefillFourHours,
        "refill_slow" => Rule::RefillSlow,
        "solar" => Rule::SolarSource,
        other => panic!("{}: {other}", row.id),
    }
}
