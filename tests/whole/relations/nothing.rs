//! A part that cannot matter does not.

use dryspell::units::Quantity as Q;

use super::{Outcome, equal, refused};
use crate::case::{Bench, Case};
use crate::random::Random;
use crate::schemes::draft::{Draft, Units, Value, bare, quantity, text};

/// One of the parts that change nothing, added to a draft.
fn add(draft: &mut Draft, r: &mut Random) -> &'static str {
    match r.below(8) {
        0 => {
            draft.set("herd.nobody", "count", bare(0));
            draft.set("herd.nobody", "drinks", quantity(40.0, "L/day", Q::DailyVolume));
            "a herd of no heads"
        }
        1 => {
            draft.set("extra.nothing", "drinks", quantity(0.0, "L/day", Q::DailyVolume));
            "an extra that draws nothing"
        }
        2 => {
            draft.set("garden.nowhere", "area", quantity(0.0, "m2", Q::Area));
            draft.set("garden.nowhere", "kc", bare(0.9));
            "a garden of no area"
        }
        3 => {
            draft.set("frost.part.beside", "location", text("buried"));
            draft.set("frost.part.beside", "cover", quantity(10.0, "cm", Q::Length));
            "a part that freezes and stops nothing"
        }
        4 => {
            let drop = draft.table("pipe.drop").unwrap().clone();
            draft.set("pipe.end", "length", quantity(0.0, "m", Q::Length));
            draft.set("pipe.end", "bore", drop.get("bore").unwrap().clone());
            draft.set("pipe.end", "material", text("pe"));
            "a pipe of no length"
        }
        5 => {
            draft.set("pipe.drop", "pressure_class", quantity(90_000.0, "kPa", Q::Pressure));
            "a pressure class"
        }
        6 => {
            draft.set("herd.away", "count", bare(20));
            draft.set("herd.away", "drinks", quantity(0.0, "L/day", Q::DailyVolume));
            "a herd that drinks nothing"
        }
        _ => {
            if draft.has("site", "horizon") {
                draft.set("", "name", text("another name"));
                return "another name";
            }
            let points = [0.0, 90.0, 270.0]
                .map(|a| Value::List(vec![quantity(a, "deg", Q::Angle), quantity(0.0, "deg", Q::Angle)]));
            draft.set("site", "horizon", Value::List(points.to_vec()));
            "a horizon of no height"
        }
    }
}

/// Equal to the last bit.
pub fn added(case: &Case, r: &mut Random, bench: &Bench) -> Outcome {
    let mut draft = case.draft.clone();
    let what = add(&mut draft, r);
    match bench.run(&draft, Units::Si) {
        // With a table of frost its depth is told, where it was not before.
        Ok(other) => {
            match equal(case, &other, if case.run.plan.frost.is_none() { &["frost_depth"] } else { &[] }) {
                Outcome::Failed(why) => Outcome::Failed(format!("{what}: {why}")),
                held => held,
            }
        }
        Err(faults) => refused(&faults),
    }
}
