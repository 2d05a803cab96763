//! Why a scheme goes short, against what can be worked out beside it; what would mend it, against the scheme so changed.

use dryspell::curve::{CELL_DEGC, sun_curve};
use dryspell::mends::mends;
use dryspell::plan::Plan;
use dryspell::record::Record;
use dryspell::scheme::Scheme;
use dryspell::simulate::{Run, simulate};
use dryspell::supply::Limit;
use dryspell::units::System;
use dryspell::why::{HeldBy, Why, spell, why};

use crate::support::data;
use crate::tmy3;

/// A year measured in the cold.
fn cold_year() -> Record {
    tmy3::read(&data("weather/703165TY.csv"))
}

fn demo(name: &str, edits: &[(&str, &str)]) -> Plan {
    let mut text = std::fs::read_to_string(data(&format!("demo/{name}.toml"))).unwrap();
    for (old, new) in edits {
        assert!(text.contains(old), "{name}: {old}");
        text = text.replace(old, new);
    }
    Scheme::from_toml(&text).unwrap_or_else(|f| panic!("{}", f[0])).plan()
}

fn run(plan: &Plan) -> (Run, Why) {
    let run = simulate(plan, &cold_year()).unwrap();
    let found = why(&run).unwrap().unwrap();
    (run, found)
}

fn first(found: &Why) -> HeldBy {
    found.held_back[0].by
}

/// The parts are the whole: what was missing against full input in each hour, reckoned again from the columns.
#[test]
fn what_was_held_back_is_what_was_missing() {
    for plan in [
        demo("scheme", &[]),
        demo("brushed", &[]),
        demo("brushed", &[("count = 14", "count = 40")]),
        demo("rounds", &[]),
        demo("three_tanks", &[]),
    ] {
        let (run, found) = run(&plan);
        let well = dryspell::well::Settings { bore: None, restart: None, ..plan.supply.well.clone() };
        let settings = dryspell::supply::Settings { well, ..plan.supply.clone() };
        let system = dryspell::supply::System::new(&settings).unwrap();
        let by_month: Vec<f64> = (1..=12).map(|m| system.at_full_input(m).free_flow_m3_per_h).collect();
        let mut missing = 0.0;
        for h in found.window.hours(&run) {
            let month = usize::from(run.calendar.day_of(h).month) - 1;
            let had = run.lifts.first().map_or(run.hours[h].pumped_m3[0], |lift| lift.hourly_m3[h]);
            missing += (by_month[month] - had).max(0.0);
        }
        let parts: f64 = found.held_back.iter().map(|held| held.m3).sum();
        // Of an hour at most four parts may each be left out as the grid's steps, 1e-5 m³.
        let slack = 4e-5 * found.window.length as f64;
        assert!((parts - missing).abs() <= slack, "{parts} and {missing}");
        // The window ends at its lowest level, and from a full tank on none of its hours ends full.
        let level = |h: usize| run.hours[h].level_m3[0];
        assert!(found.window.hours(&run).all(|h| level(h) >= level(found.window.deepest)));
    }
}

/// A brushed pump wired straight to its panels. By hand: at rest it must turn 0.2 N m and the water standing 16 m over it,
/// 999.8 · 9.807 · 6.5 mL / 2π · 16 m = 0.162 N m, with 0.115 N m/A: 3.15 A, of 5.1 A that the panels give at 1000 W/m², so 618 W/m² on the cells, and
/// 650 W/m² on the plane behind 3 % of dirt and 2 % of mismatch, with 0.05 % more for each kelvin below 25 °C.
#[test]
fn a_pump_wired_straight_is_held_by_its_start() {
    let booster = "kind = \"linear current booster\"\nefficiency = 0.94";
    let (run, found) = run(&demo("brushed", &[(booster, "kind = \"direct\""), ("count = 14", "count = 30")]));
    assert_eq!(first(&found), HeldBy::SunBelowStart);
    assert!(found.spell.is_some_and(|spell| spell.by_cause_m3[3] > 0.0));
    let starts = found.starts_at_w_per_m2.unwrap();
    let by_hand = 618.0 / (0.97 * 0.98 * (1.0 + 0.0005 * (found.cell_degc - 25.0)));
    assert!((starts / by_hand - 1.0).abs() < 0.01, "{starts} W/m²");
    // The hours of the line are those without flow, snow apart.
    let idle = |h: &usize| {
        run.array.plane_w_per_m2[*h] > 0.0
            && run.supply.limit[*h] == Limit::SunBelowStart
            && !run.array.each.iter().any(|array| array.snow_cover.get(*h).is_some_and(|c| *c > 0.0))
    };
    assert_eq!(found.held_back[0].hours as usize, found.window.hours(&run).filter(idle).count());
    // The same threshold stands in the table for the site, at its own cell temperatures.
    let month = run.calendar.day_of(found.window.deepest).month;
    let table = sun_curve(&run.plan, month).unwrap().start_w_per_m2;
    let [near, ..] = table.map(Option::unwrap);
    assert!((near / starts - 1.0).abs() < 0.02, "{near} at {} °C", CELL_DEGC[0]);
}

/// A well that gives a litre a minute under a pump for twenty; panels under snow for two months; a booster without charge.
#[test]
fn the_first_line_names_the_limit() {
    let (_, weak) = run(&demo("scheme", &[("yield = \"24 L/min\"", "yield = \"1 L/min\"")]));
    assert_eq!(first(&weak), HeldBy::Well);

    let text = std::fs::read_to_string(data("demo/scheme.toml")).unwrap();
    let at = text.find("covered = ").unwrap();
    let line = &text[at..at + text[at..].find('\n').unwrap()];
    let (_, snow) = run(&demo("scheme", &[(line, "covered = [\"12-01 to 01-31\"]")]));
    assert_eq!(first(&snow), HeldBy::Snow);

    let (rounds, _) = run(&demo("rounds", &[("capacity = \"6 m3\"", "capacity = \"600 m3\"")]));
    let spell = spell(&rounds).unwrap();
    let most = (0..4).max_by(|a, b| spell.by_cause_m3[*a].total_cmp(&spell.by_cause_m3[*b])).unwrap();
    assert!(most != 3 && (spell.by_cause_m3.iter().sum::<f64>() / spell.short_m3 - 1.0).abs() < 1e-6);
}

/// A change that is offered is what the scheme so written comes to.
#[test]
fn a_mend_is_a_run_of_its_own() {
    let (record, plan) = (cold_year(), demo("scheme", &[]));
    let found = mends(&plan, &record, System::Si).unwrap();
    let days = |what: &str| found.iter().find(|mend| mend.what.starts_with(what)).unwrap().days;
    let short = |edits: &[(&str, &str)]| {
        f64::from(simulate(&demo("scheme", edits), &record).unwrap().outcome.counts.shortfall_days)
    };
    assert_eq!(days("shed: 3 in series"), short(&[("series = 2", "series = 3")]));
    assert_eq!(days("shed: 2 in parallel"), short(&[("series = 2", "series = 2\nparallel = 2")]));
    let larger = &[
        ("capacity = \"11 m3\"", "capacity = \"13.75 m3\""),
        ("float_stop = \"10.5 m3\"", "float_stop = \"13.125 m3\""),
        ("float_start = \"9 m3\"", "float_start = \"11.25 m3\""),
    ];
    assert_eq!(days("tank: 13.75 m³"), short(larger));
    // Best first; no worse than the tank that there is.
    assert!(found.is_sorted_by(|a, b| a.days <= b.days));
    let stands = short(&[]);
    assert!(found.iter().filter(|mend| mend.what.starts_with("tank")).all(|mend| mend.days < stands));
}
