//! Every picture of the shipped schemes and of runs that are odd in one way each.

use std::path::PathBuf;

use dryspell::calendar::{Calendar, Day};
use dryspell::curve::power_curve;
use dryspell::plan::Plan;
use dryspell::record::{Record, YearKind};
use dryspell::results::{DAYS, Figure, HEADLINES};
use dryspell::simulate::{Run, simulate};
use dryspell::units::{Quantity, System, show};

use super::{PAGE, all};
use crate::demo::DEMOS;
use crate::model::Chart;
use crate::setting::words::width;

/// Height of capital letters and what rises above them, as a share of the size.
const ASCENT: f64 = 0.78;
/// Depth of letters that hang, as a share of the size.
const DESCENT: f64 = 0.22;

fn demo(name: &str) -> (Plan, Record, System) {
    let demo = crate::demo::demo(name);
    (demo.scheme.plan(), demo.record, demo.scheme.units)
}

fn run(plan: &Plan, record: &Record) -> Run {
    simulate(plan, record)
        .map_err(|faults| faults.iter().map(ToString::to_string).collect::<Vec<_>>())
        .unwrap()
}

/// A run that is odd in one way, by name.
fn odd() -> Vec<(&'static str, Run, System)> {
    let (plan, record, si) = demo("scheme");
    let mut list = vec![];

    let mut no_draw = plan.clone();
    no_draw.draw.groups.clear();
    list.push(("no draw", run(&no_draw, &record), si));

    let mut dark = record.clone();
    dark.ghi_w_per_m2.fill(0.0);
    dark.dni_w_per_m2.iter_mut().for_each(|c| c.fill(0.0));
    dark.dhi_w_per_m2.iter_mut().for_each(|c| c.fill(0.0));
    list.push(("no sun", run(&plan, &dark), si));

    list.push(("twelve years", run(&plan, &years(&record, 12)), si));
    list.push(("thirty years", run(&plan, &years(&record, 30)), System::Us));
    list.push(("part of a year", run(&plan, &part(&record, 100)), si));

    let mut south = record.clone();
    south.place.latitude_deg = -record.place.latitude_deg;
    // Half a year on, so that its winter is in July.
    let half = 24 * 182;
    south.ghi_w_per_m2.rotate_left(half);
    south.air_degc.rotate_left(half);
    (south.dni_w_per_m2, south.dhi_w_per_m2) = (None, None);
    let mut north = plan.clone();
    north.array.arrays.iter_mut().for_each(|a| a.azimuth_deg = 0.0);
    north.draw.groups.iter_mut().for_each(|g| g.present.clear());
    list.push(("southern", run(&north, &south), System::Us));

    let mut low = plan.clone();
    low.supply.pipe.inlet_height_m = -4.0;
    low.tank.float_stop_m3 = None;
    low.tank.float_start_m3 = None;
    list.push(("low open tank", run(&low, &record), si));

    let (rounds, record, si) = demo("rounds");
    let mut one = rounds.clone();
    let delivery = one.delivery.as_mut().unwrap();
    delivery.hydrants.truncate(1);
    let brook = delivery.hydrants[0].name.clone();
    one.draw.groups.iter_mut().flat_map(|g| &mut g.places).for_each(|(place, _)| place.clone_from(&brook));
    one.frost = None;
    list.push(("one hydrant", run(&one, &record), si));

    for (what, many, frost) in [("eight hydrants", 8, true), ("thirty hydrants", 30, false)] {
        let plan = hydrants(&rounds, many, frost);
        list.push((what, run(&plan, &record), System::Us));
    }
    list
}

/// A scheme whose every name is as long and as awkward as it may be.
fn hydrants(rounds: &Plan, many: usize, frost: bool) -> Plan {
    const AWKWARD: &str = "<Brunnen & \"Tränke\"> πηγάδι колодец у дальнего холма за рекой WWWWWWWW";
    let name = |n: usize| format!("{n} {}", AWKWARD.chars().take(60).collect::<String>());
    let mut plan = rounds.clone();
    let delivery = plan.delivery.as_mut().unwrap();
    let model = delivery.hydrants.clone();
    delivery.hydrants = (0..many)
        .map(|n| {
            let mut hydrant = model[n % model.len()].clone();
            hydrant.name = name(n);
            hydrant.height_m = if n % 3 == 0 { -2.5 - n as f64 / 10.0 } else { 1.0 + n as f64 / 10.0 };
            if n % 4 == 1 {
                hydrant.trough_m3 = 0.0;
                hydrant.runs.push(hydrant.runs[0].clone());
            }
            hydrant
        })
        .collect();
    let group = plan.draw.groups[0].clone();
    plan.draw.groups.truncate(1);
    for n in 0..many {
        let mut other = group.clone();
        other.name = name(n);
        other.count = 3.0;
        other.places = vec![(name(n), group.places[0].1)];
        plan.draw.groups.push(other);
    }
    plan.draw.groups.remove(0);
    plan.tank.name = name(0);
    plan.array.arrays[0].name = name(1);
    plan.supply.pipe.runs.iter_mut().for_each(|r| r.name = name(2));
    plan.draw.gardens.iter_mut().for_each(|g| g.name = name(3));
    if frost {
        // No part may name a hydrant that is gone.
        plan.frost.iter_mut().for_each(|f| f.parts.truncate(3));
    } else {
        plan.frost = None;
    }
    plan
}

/// A record of many calendar years, each a little duller or brighter than the one given.
fn years(record: &Record, many: u16) -> Record {
    let mut out = record.clone();
    out.kind = YearKind::Calendar;
    let mut days: Vec<Day> = vec![];
    for column in [&mut out.ghi_w_per_m2, &mut out.air_degc] {
        column.clear();
    }
    let spread = |column: &Option<Vec<f64>>| column.as_ref().map(|_| Vec::new());
    out.dni_w_per_m2 = spread(&record.dni_w_per_m2);
    out.dhi_w_per_m2 = spread(&record.dhi_w_per_m2);
    out.wind_m_per_s = spread(&record.wind_m_per_s);
    (out.albedo, out.snow_depth_m, out.precipitation_mm) = (None, None, None);
    (out.relative_humidity, out.pressure_pa) = (None, None);
    for year in 0..many {
        let bright = 0.82 + 0.06 * f64::from((year * 5) % 7);
        days.extend(record.calendar.days().iter().map(|d| Day { year: 2001 + i32::from(year), ..*d }));
        out.ghi_w_per_m2.extend(record.ghi_w_per_m2.iter().map(|x| x * bright));
        out.air_degc.extend(&record.air_degc);
        for (to, from) in
            [(&mut out.dni_w_per_m2, &record.dni_w_per_m2), (&mut out.dhi_w_per_m2, &record.dhi_w_per_m2)]
        {
            if let (Some(to), Some(from)) = (to, from) {
                to.extend(from.iter().map(|x| x * bright));
            }
        }
        if let (Some(to), Some(from)) = (&mut out.wind_m_per_s, &record.wind_m_per_s) {
            to.extend(from);
        }
    }
    out.calendar = Calendar::new(days, 0);
    out
}

/// The last days of a record.
fn part(record: &Record, days: usize) -> Record {
    let mut out = record.clone();
    let first = record.calendar.days().len() - days;
    out.calendar = Calendar::new(record.calendar.days()[first..].to_vec(), 0);
    let cut = |column: &Vec<f64>| column[first * 24..].to_vec();
    out.ghi_w_per_m2 = cut(&record.ghi_w_per_m2);
    out.air_degc = cut(&record.air_degc);
    out.dni_w_per_m2 = record.dni_w_per_m2.as_ref().map(cut);
    out.dhi_w_per_m2 = record.dhi_w_per_m2.as_ref().map(cut);
    out.wind_m_per_s = record.wind_m_per_s.as_ref().map(cut);
    (out.albedo, out.snow_depth_m, out.precipitation_mm) = (None, None, None);
    (out.relative_humidity, out.pressure_pa) = (None, None);
    out
}

fn runs() -> Vec<(&'static str, Run, System)> {
    let mut list: Vec<_> = DEMOS
        .into_iter()
        .map(|name| {
            let (plan, record, units) = demo(name);
            (name, run(&plan, &record), units)
        })
        .collect();
    list.extend(odd());
    list
}

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

/// The box of words on the sheet: left, top, right, bottom.
type Box4 = (f64, f64, f64, f64);

/// The boxes of all words of a picture, each letter as wide as in one of the widest faces.
fn boxes(svg: &str) -> Vec<(String, Box4)> {
    let tree = roxmltree::Document::parse(svg).unwrap();
    tree.descendants()
        .filter(|n| n.has_tag_name("text"))
        .map(|n| {
            let number = |name: &str| n.attribute(name).unwrap().parse::<f64>().unwrap();
            let (x, y, size) = (number("x"), number("y"), number("font-size"));
            assert!(size >= 7.0, "{size} pt is too small to read");
            let text = n.text().unwrap().to_owned();
            let wide = width(&text, size, n.attribute("font-weight") == Some("bold"));
            let before = match n.attribute("text-anchor") {
                Some("middle") => 0.5 * wide,
                Some("end") => wide,
                _ => 0.0,
            };
            let place = match n.attribute("transform") {
                // Upwards: what was to the right is above.
                Some(turn) => {
                    assert!(turn.starts_with("rotate(-90 "), "{turn}");
                    (x - ASCENT * size, y - (wide - before), x + DESCENT * size, y + before)
                }
                None => (x - before, y - ASCENT * size, x - before + wide, y + DESCENT * size),
            };
            (text, place)
        })
        .collect()
}

#[test]
fn every_picture_is_drawn_within_its_sheet_and_no_word_lies_on_another() {
    let mut seen = 0;
    for (name, run, units) in runs() {
        let charts = all(&run, units).unwrap();
        assert!(charts.len() >= 6, "{name}");
        for chart in &charts {
            let what = format!("{name}, {}", chart.name);
            let tree = roxmltree::Document::parse(&chart.svg).unwrap_or_else(|e| panic!("{what}: {e}"));
            let root = tree.root_element();
            let (w, h) = chart.size;
            assert_eq!(root.attribute("width"), Some(w.to_string().as_str()), "{what}");
            assert_eq!(root.attribute("height"), Some(h.to_string().as_str()), "{what}");
            assert_eq!(root.attribute("viewBox"), Some(format!("0 0 {w} {h}").as_str()), "{what}");
            assert_eq!(root.attribute("font-family"), Some("sans-serif"));
            assert_eq!(w, PAGE);
            assert!(h < 620, "{what}: {h} pt fills the page");
            assert!(
                !chart.title.is_empty() && !chart.title.ends_with('.') && !chart.title.contains("NaN"),
                "{what}"
            );
            assert_eq!(root.attribute("aria-label"), Some(chart.alternative.as_str()), "{what}");
            assert!(chart.alternative.contains(&chart.title), "{what}");
            let boxes = boxes(&chart.svg);
            let (w, h) = (f64::from(w), f64::from(h));
            for (at, (text, a)) in boxes.iter().enumerate() {
                assert!(
                    a.0 >= 0.0 && a.1 >= 0.0 && a.2 <= w && a.3 <= h,
                    "{what}: \"{text}\" {a:?} leaves the sheet"
                );
                for (other, b) in &boxes[..at] {
                    let apart = a.2 <= b.0 || b.2 <= a.0 || a.3 <= b.1 || b.3 <= a.1;
                    assert!(apart, "{what}: \"{text}\" {a:?} lies on \"{other}\" {b:?}");
                }
                seen += 1;
            }
            // Lines and shapes stay on the sheet, too.
            for node in tree.descendants() {
                for (names, most) in [(["x", "x1", "x2", "cx"], w), (["y", "y1", "y2", "cy"], h)] {
                    for value in names.iter().filter_map(|a| node.attribute(*a)) {
                        let value: f64 = value.parse().unwrap();
                        assert!((-0.01..=most + 0.01).contains(&value), "{what}: {node:?} {value}");
                    }
                }
                let points = node.attribute("points").unwrap_or("");
                for pair in points.split_whitespace() {
                    let (x, y) = pair.split_once(',').unwrap();
                    let (x, y): (f64, f64) = (x.parse().unwrap(), y.parse().unwrap());
                    assert!(
                        (-0.01..=w + 0.01).contains(&x) && (-0.01..=h + 0.01).contains(&y),
                        "{what}: {pair}"
                    );
                }
            }
            assert!(!chart.svg.contains("NaN") && !chart.svg.contains("inf\""), "{what}");
        }
    }
    assert!(seen > 3000, "{seen} words");
}

#[test]
fn the_box_check_sees_words_that_lie_on_each_other() {
    let mut paper = crate::setting::paper::Paper::new(PAGE, 100);
    paper.words((20.0, 20.0), 8.0, crate::setting::paper::Anchor::Start, "one word");
    paper.words((40.0, 24.0), 8.0, crate::setting::paper::Anchor::Start, "another");
    paper.upwards((10.0, 50.0), 8.0, crate::setting::paper::Anchor::Middle, "upwards");
    let boxes = boxes(&paper.svg(""));
    let (a, b, c) = (boxes[0].1, boxes[1].1, boxes[2].1);
    assert!(a.2 > b.0 && a.3 > b.1, "{a:?} {b:?}");
    assert!(c.3 - c.1 > 25.0 && c.2 - c.0 < 9.0 && c.1 < 50.0 && c.3 > 50.0, "{c:?}");
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
