//! Every picture of the shipped schemes and of runs that are odd in one way each.

mod runs;
mod sheet;

use std::path::PathBuf;

use dryspell::curve::power_curve;
use dryspell::results::{DAYS, Figure, HEADLINES};
use dryspell::simulate::Run;
use dryspell::units::{Quantity, show};

use self::runs::{demo, odd, run, runs};
use self::sheet::boxes;
use super::all;
use crate::model::Chart;

/// What a run says under a name in one of the lists.
fn headline(run: &Run, name: &str) -> Figure {
    (HEADLINES.iter().find(|f| f.name == name).unwrap().get)(run, 0)
}

fn named<'a>(charts: &'a [Chart], name: &str) -> &'a Chart {
    charts.iter().find(|c| c.name == name).unwrap()
}

/// Pictures to look at: `DRYSPELL_CHARTS=DIR cargo test -p dryspell-cli charts::tests::to_look_at -- --ignored`.
#[test]
#[ignore = "writes files for the eye"]
fn to_look_at() {
    let folder = PathBuf::from(std::env::var("DRYSPELL_CHARTS").unwrap());
    for (name, run, units) in runs() {
        for chart in all(&run, units).unwrap() {
            let file = folder.join(format!("{}-{}.svg", name.replace(' ', "_"), chart.name));
            std::fs::write(file, &chart.svg).unwrap();
            std::fs::write(
                folder.join(format!("{}-{}.txt", name.replace(' ', "_"), chart.name)),
                format!("{}\n{}\n", chart.title, chart.alternative),
            )
            .unwrap();
        }
    }
}

#[test]
fn pictures_come_in_page_order_and_are_the_same_each_time() {
    let (plan, record, units) = demo("rounds");
    let first = all(&run(&plan, &record), units).unwrap();
    let names: Vec<&str> = first.iter().map(|c| c.name).collect();
    let order = ["schematic", "head", "pump", "water_by_month", "tank_level", "calendar", "critical_spell"];
    assert_eq!(names, order);
    assert_eq!(first, all(&run(&plan, &record), units).unwrap());
}

#[test]
fn findings_say_the_headlines_numbers() {
    for (name, run, units) in runs() {
        let charts = all(&run, units).unwrap();
        let count = |name: &str| match headline(&run, name) {
            Figure::Count(n) => n,
            other => panic!("{name}: {other:?}"),
        };
        let number = |name: &str| match headline(&run, name) {
            Figure::Number(x) => Some(x),
            Figure::Null => None,
            other => panic!("{name}: {other:?}"),
        };
        let metres = |field: &str| show(number(field).unwrap(), Quantity::Length, units);
        let has = |chart: &str, text: &str| {
            let title = &named(&charts, chart).title;
            assert!(title.contains(text), "{name}, {chart}: {title}, not {text}");
        };
        let (short, stock) = (count("shortfall_days"), count("stock_days"));
        if short > 0 {
            has("tank_level", &format!("short on {short} day"));
            has("calendar", &format!("Of {stock} day"));
            has("calendar", &format!(" {short} "));
        } else {
            has("tank_level", "day of shortfall");
            has("calendar", if stock > 0 { "on all" } else { "No stock draws" });
        }
        has("head", &metres("design_point.total_m"));
        has("schematic", &metres("design_point.static_level_m"));
        let flow = number("design_point.flow_m3_per_h").unwrap();
        if flow > 0.0 {
            has("pump", &show(flow, Quantity::Flow, units));
            has("pump", &show(number("design_point.power_w").unwrap(), Quantity::Power, units));
            has("pump", &metres("design_point.total_m"));
        } else {
            has("pump", "lifts no water");
        }
        if let (Some(needed), false) =
            (number("storage_needed_m3"), headline(&run, "critical_spell.began") == Figure::Null)
        {
            has("critical_spell", &show(needed, Quantity::Volume, units));
        }
        // The calendar's words are the sums of the daily table.
        let states = DAYS.iter().find(|f| f.name == "state").unwrap();
        let days = |word: &str| {
            (0..run.days.len()).filter(|d| (states.get)(&run, *d) == Figure::Text(word.to_owned())).count()
                as u64
        };
        let (partly, nothing) = (days("partly short"), days("a herd got nothing"));
        assert_eq!(partly + nothing, short, "{name}");
        assert_eq!(days("served") + short, stock, "{name}");
        if short > 0 {
            has("calendar", &format!("{partly} in part, {nothing} on which a herd got nothing"));
        }
        let worst = run.outcome.counts.worst_day.map(|d| run.days[d].state().word());
        let all_short = number("worst_day_short_percent").unwrap() >= 99.9999;
        // Where all is short every herd got nothing; one of several may get nothing while others drink.
        assert!(!all_short || worst == Some("a herd got nothing"), "{name}: {worst:?}");
    }
}

#[test]
fn a_calendar_marks_each_day_once() {
    let (plan, record, units) = demo("scheme");
    let run = run(&plan, &record);
    let chart = named(&all(&run, units).unwrap(), "calendar").clone();
    let tree = roxmltree::Document::parse(&chart.svg).unwrap();
    let count = |tag: &str, attribute: &str, value: &str| {
        tree.descendants().filter(|n| n.has_tag_name(tag) && n.attribute(attribute) == Some(value)).count()
    };
    // One of each stands in the legend.
    let days = |word: &str| run.days.iter().filter(|d| d.state().word() == word).count() + 1;
    assert_eq!(count("polygon", "fill", "#1a1a1a"), days("partly short"));
    assert_eq!(count("rect", "fill", "#1a1a1a"), days("a herd got nothing"));
    assert_eq!(count("circle", "r", "0.8"), days("no stock"));
    assert_eq!(count("rect", "stroke", "#9a9a9a"), days("served"));
}

#[test]
fn the_pumps_curve_passes_through_the_highest_flow() {
    for name in ["scheme", "roomy", "rounds"] {
        let (plan, record, _) = demo(name);
        let run = run(&plan, &record);
        let curve = power_curve(&plan.supply.pump, plan.supply.pipe.water_degc, run.head.total_m).unwrap();
        let power = run.supply.power_w[run.head_hour];
        let after = curve.iter().position(|p| p.power_w >= power - 1e-6).unwrap();
        let (a, b) = (curve[after - 1], curve[after]);
        let share = ((power - a.power_w) / (b.power_w - a.power_w)).min(1.0);
        let flow = a.flow_m3_per_h + share * (b.flow_m3_per_h - a.flow_m3_per_h);
        assert!(
            (flow / run.head.flow_m3_per_h - 1.0).abs() < 0.005,
            "{name}: {flow} {}",
            run.head.flow_m3_per_h
        );
        assert!(curve.windows(2).all(|w| w[1].flow_m3_per_h >= w[0].flow_m3_per_h), "{name}");
    }
}

#[test]
fn a_long_spell_is_cut_and_says_so() {
    let (_, run, units) = odd().into_iter().find(|(name, ..)| *name == "no sun").unwrap();
    let charts = all(&run, units).unwrap();
    let words: Vec<String> =
        boxes(&named(&charts, "critical_spell").svg).into_iter().map(|(t, _)| t).collect();
    assert!(words.join(" ").contains("Only 60 of 365 days are drawn."), "{words:?}");
    let (_, run, units) = odd().into_iter().find(|(name, ..)| *name == "no draw").unwrap();
    assert!(all(&run, units).unwrap().iter().all(|c| c.name != "critical_spell"));
}

#[test]
fn what_is_told_apart_differs_in_grey() {
    use crate::setting::paper::{DEEP, INK, WATER, WHITE};
    let grey = |ink: &str| {
        let (r, g, b) = crate::setting::ink::rgb(ink);
        (0.2126 * f64::from(r) + 0.7152 * f64::from(g) + 0.0722 * f64::from(b)) / 255.0
    };
    // Bars that given as well as each other, and the line on them; white against light is told by the outline.
    for (a, b) in [(WATER, DEEP), (WHITE, DEEP), (WATER, INK), ("#7fb0d3", DEEP), ("#7fb0d3", WATER)] {
        assert!((grey(a) - grey(b)).abs() > 0.15, "{a} {b}");
    }
}

#[test]
fn letters_of_any_script_and_marks_of_xml_come_out_right() {
    let (_, run, units) = odd().into_iter().find(|(name, ..)| *name == "eight hydrants").unwrap();
    let charts = all(&run, units).unwrap();
    let schematic = named(&charts, "schematic");
    let words: Vec<String> = boxes(&schematic.svg).into_iter().map(|(t, _)| t).collect();
    assert!(words.iter().any(|w| w.starts_with("7 <Brunnen & \"Tränke\"")), "{words:?}");
    assert!(words.iter().any(|w| w.contains('π') && w.ends_with('…')), "{words:?}");
    // Whole in what is read aloud.
    assert!(schematic.alternative.contains("колодец у дальнего холма"));
    assert_eq!(
        words.iter().filter(|w| w.contains("the tank's outlet") && !w.starts_with("level")).count(),
        8
    );
}
