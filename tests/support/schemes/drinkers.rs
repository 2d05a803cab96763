//! Herds, extras and gardens.

use dryspell::draw::classes::{Animal, Ask, CLASSES, Class};
use dryspell::draw::garden::crops;
use dryspell::units::Quantity as Q;

use super::super::random::{Random, three_digits};
use super::draft::{Draft, Value, bare, quantity, text};

/// First and last day of the months from one to another.
fn span(from: usize, to: usize) -> String {
    const LAST: [u8; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    format!("{:02}-01 to {:02}-{}", from + 1, to + 1, LAST[to])
}

/// Herds of about `need_l` a day in all; places are the hydrants.
pub fn herds(d: &mut Draft, r: &mut Random, need_l: f64, hydrants: &[String]) {
    let number = *r.pick(&[1, 1, 2, 2, 3]);
    for name in &["cows", "sheep", "others"][..number] {
        let path = format!("herd.{name}");
        herd(d, r, &path, need_l / number as f64);
        if !hydrants.is_empty() && r.chance(0.85) {
            places(d, r, &path, hydrants);
        } else if r.chance(0.3) {
            let (a, b) = (r.below(12), r.below(12));
            let dates = if a <= b { span(a, b) } else { format!("{:02}-05 to {:02}-20", a + 1, b + 1) };
            d.set(&path, "present", Value::List(vec![text(dates)]));
        }
        pattern(d, r, &path);
    }
    for name in &["deer", "house"][..*r.pick(&[0, 0, 1, 2])] {
        let path = format!("extra.{name}");
        if r.chance(0.5) {
            d.set(&path, "share_of_herd", quantity(r.between(1.0, 10.0), "%", Q::Fraction));
        } else if r.chance(0.3) {
            let months =
                (0..12).map(|_| quantity(three_digits(0.1 * need_l * r.unit()), "L/day", Q::DailyVolume));
            d.set(&path, "drinks", Value::List(months.collect()));
        } else {
            d.set(&path, "drinks", quantity(three_digits(0.1 * need_l), "L/day", Q::DailyVolume));
        }
        if r.chance(0.4) {
            d.set(&path, "present", Value::List(vec![text("05-01 to 09-30")]));
        }
        pattern(d, r, &path);
    }
}

fn herd(d: &mut Draft, r: &mut Random, path: &str, need_l: f64) {
    let mut each_l = 50.0;
    if r.chance(0.45) {
        each_l = r.between(5.0, 60.0);
        let one = quantity(each_l, "L/day", Q::DailyVolume);
        if r.chance(0.3) {
            let months = (0..12)
                .map(|_| quantity(three_digits(each_l * (0.7 + 0.6 * r.unit())), "L/day", Q::DailyVolume));
            d.set(path, "drinks", Value::List(months.collect()));
        } else {
            d.set(path, "drinks", one);
        }
    } else {
        let class: &Class = CLASSES[r.below(CLASSES.len())];
        d.set(path, "class", text(class.name));
        let animal = animal(d, r, path, class);
        if let Ok(curve) = class.curve(&animal) {
            let hours = [15.0; 24];
            each_l = curve.litres_per_day(dryspell::draw::classes::DayAir::of(&hours)).max(0.05);
        }
        if class.counts_feed_water && r.chance(0.4) {
            if !class.inputs.iter().any(|i| i.ask == Ask::DryMatter) {
                d.set(path, "dry_matter", quantity(r.between(1.0, 8.0), "kg/day", Q::DailyMass));
            }
            d.set(path, "forage_moisture", quantity(r.between(20.0, 70.0), "%", Q::Fraction));
        }
    }
    let count = (need_l / each_l).ceil().clamp(1.0, 50_000.0);
    d.set(path, "count", bare(count));
    if r.chance(0.3) {
        d.set(path, "waste", quantity(r.between(0.0, 15.0), "%", Q::Fraction));
    }
    if r.chance(0.25) {
        let (from, to) = (r.below(6), 6 + r.below(6));
        let row = vec![text(span(from, to)), bare((count * r.between(0.3, 1.6)).round())];
        d.set(path, "counts", Value::List(vec![Value::List(row)]));
    }
}

/// What a class asks, somewhere within its ranges.
fn animal(d: &mut Draft, r: &mut Random, path: &str, class: &Class) -> Animal {
    let mut animal = Animal::UNKNOWN;
    for input in class.inputs {
        let needed = matches!(input.left_out, dryspell::draw::classes::Fallback::Needed);
        if !needed && r.chance(0.4) {
            continue;
        }
        // A little off the ends, which a rounding may pass.
        let span = input.most - input.least;
        let value = r.between(input.least + 0.02 * span, input.most - 0.02 * span);
        let written = match input.ask {
            Ask::Mass => quantity(value, "kg", Q::Mass),
            Ask::Milk | Ask::DryMatter => quantity(value, "kg/day", Q::DailyMass),
            Ask::Sodium => quantity(three_digits(1000.0 * value), "g/day", Q::DailyMass),
            Ask::Age => quantity(value, "weeks", Q::Duration),
            Ask::Laying => quantity(three_digits(100.0 * value), "%", Q::Fraction),
        };
        d.set(path, input.ask.key(), written);
        animal = animal.with(input.ask, value);
    }
    animal
}

fn places(d: &mut Draft, r: &mut Random, path: &str, hydrants: &[String]) {
    let rows = if hydrants.len() > 1 && r.chance(0.6) {
        let change = 2 + r.below(6);
        vec![(r.below(hydrants.len()), span(0, change)), (r.below(hydrants.len()), span(change + 1, 11))]
    } else {
        vec![(r.below(hydrants.len()), span(0, if r.chance(0.6) { 11 } else { 8 }))]
    };
    let list = rows.into_iter().map(|(h, dates)| Value::List(vec![text(hydrants[h].clone()), text(dates)]));
    d.set(path, "at", Value::List(list.collect()));
}

fn pattern(d: &mut Draft, r: &mut Random, path: &str) {
    if r.chance(0.25) {
        // Shares in parts of 1024, which are exact.
        let mut parts = [0_u32; 24];
        (0..1024).for_each(|_| parts[r.below(24)] += 1);
        d.set(path, "pattern", Value::List(parts.iter().map(|p| bare(f64::from(*p) / 1024.0)).collect()));
    } else if r.chance(0.6) {
        d.set(path, "pattern", text(*r.pick(&["one visit", "two visits", "spread", "even"])));
    }
}

/// A garden or two.
pub fn gardens(d: &mut Draft, r: &mut Random, need_l: f64) {
    for name in &["beds", "orchard"][..1 + r.below(2)] {
        let path = format!("garden.{name}");
        d.set(&path, "area", quantity(three_digits(0.06 * need_l * r.between(0.2, 1.0)), "m2", Q::Area));
        match r.below(3) {
            0 => {
                d.set(&path, "crop", text(*r.pick(crops::NAMES)));
                d.set(&path, "planted", text(*r.pick(&["05-01", "10-15", "03-20"])));
                d.set(&path, "stages", Value::List([20, 30, 60, 30].map(bare).to_vec()));
            }
            1 => d.set(&path, "kc", bare(r.between(0.5, 1.1))),
            _ => d.set(&path, "crop", text(*r.pick(crops::NAMES))),
        }
        if !d.has(&path, "planted") && r.chance(0.6) {
            d.set(&path, "season", Value::List(vec![text("04-15 to 10-15")]));
        }
        if r.chance(0.5) {
            d.set(&path, "efficiency", quantity(r.between(60.0, 95.0), "%", Q::Fraction));
        }
        if r.chance(0.5) {
            d.set(&path, "hours", Value::List([4, 5, 20].map(bare).to_vec()));
        }
        if r.chance(0.5) {
            d.set(&path, "soil_storage", quantity(r.between(5.0, 40.0), "mm", Q::Length));
        }
        if r.chance(0.5) {
            d.set(
                &path,
                "evapotranspiration",
                text(*r.pick(&["penman-monteith", "penman-monteith hourly", "hargreaves"])),
            );
        }
    }
}
