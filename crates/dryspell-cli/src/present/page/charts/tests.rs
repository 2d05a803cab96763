//! Every picture of every shipped scheme: readable XML, words inside the sheet and apart from each other, findings that are
//! the run's.

use std::path::Path;

use dryspell::units::System;
use roxmltree::{Document, Node};

use super::words::width;
use super::{all, finished, paper::Paper};
use crate::job::Job;
use crate::present::page::model::Chart;

const SCHEMES: [&str; 5] = ["scheme", "roomy", "rounds", "brushed", "five_herds"];

fn charts(scheme: &str, units: System) -> (dryspell::simulate::Run, Vec<Chart>) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../data/demo/{scheme}.toml"));
    let job = Job::open(&path).unwrap();
    let run = job.run(&job.weather().unwrap().record).unwrap();
    let charts = all(&run, units).unwrap();
    (run, charts)
}

/// Left, top, right, bottom.
type Bounds = (f64, f64, f64, f64);

/// Left, top, right, bottom of the words of an element that does not turn.
fn bounds(node: Node<'_, '_>) -> Option<Bounds> {
    let number = |name| node.attribute(name).unwrap().parse::<f64>().unwrap();
    if node.attribute("transform").is_some() {
        return None;
    }
    let (x, y, size) = (number("x"), number("y"), number("font-size"));
    let wide = width(node.text().unwrap(), size, node.attribute("font-weight").is_some());
    let left = match node.attribute("text-anchor") {
        Some("middle") => x - 0.5 * wide,
        Some("end") => x - wide,
        _ => x,
    };
    // From the height of small letters to the base line: words of two lines may come near each other.
    Some((left, y - 0.6 * size, left + wide, y))
}

fn check(chart: &Chart, scheme: &str) {
    let document = Document::parse(&chart.svg).unwrap();
    let (wide, high) = (f64::from(chart.size.0), f64::from(chart.size.1));
    let words: Vec<(&str, Bounds)> = document
        .descendants()
        .filter(|node| node.has_tag_name("text"))
        .filter_map(|node| Some((node.text().unwrap(), bounds(node)?)))
        .collect();
    assert!(!words.is_empty() && !chart.alternative.is_empty() && !chart.title.is_empty());
    let name = chart.name;
    for (i, (text, a)) in words.iter().enumerate() {
        assert!(
            a.0 >= -0.5 && a.1 >= -0.5 && a.2 <= wide + 0.5 && a.3 <= high + 0.5,
            "{scheme}, {name}: {text:?} leaves the sheet: {a:?} of {wide} x {high}"
        );
        for (other, b) in &words[i + 1..] {
            let apart = a.2 <= b.0 + 0.3 || b.2 <= a.0 + 0.3 || a.3 <= b.1 + 0.3 || b.3 <= a.1 + 0.3;
            assert!(apart, "{scheme}, {name}: {text:?} lies over {other:?}: {a:?} {b:?}");
        }
    }
}

#[test]
fn words_are_inside_and_apart() {
    for scheme in SCHEMES {
        for units in [System::Si, System::Us] {
            for chart in charts(scheme, units).1 {
                check(&chart, scheme);
            }
        }
    }
}

#[test]
fn findings_are_those_of_the_run() {
    for scheme in SCHEMES {
        let (run, charts) = charts(scheme, System::Si);
        let title = |name: &str| charts.iter().find(|c| c.name == name).map(|c| c.title.clone());
        let short = run.outcome.counts.shortfall_days;
        for name in ["tank_level", "calendar"] {
            let title = title(name).unwrap();
            let told = if short == 0 {
                title.contains("no day of shortfall")
                    || title.contains("on all")
                    || title.contains("without a day")
            } else {
                title.contains(&short.to_string())
            };
            assert!(told, "{scheme}, {name}: {title}");
        }
        let needed = run
            .storage
            .storage_m3
            .map(|m3| dryspell::units::show(m3, dryspell::units::Quantity::Volume, System::Si));
        if let (Some(title), Some(needed)) = (title("critical_spell"), needed) {
            assert!(title.contains(&needed), "{title}");
        }
    }
}

#[test]
fn odd_letters_are_escaped() {
    let mut paper = Paper::new(100, 50);
    paper.words((1.0, 20.0), 8.0, super::paper::Anchor::Start, "<b>&\"' Ωλ Жщ");
    let chart = finished("odd", String::new(), "a < b & \"c\"".to_owned(), &paper);
    let document = Document::parse(&chart.svg).unwrap();
    let text = document.descendants().find(|n| n.has_tag_name("text")).unwrap();
    assert_eq!(text.text(), Some("<b>&\"' Ωλ Жщ"));
    assert_eq!(document.root_element().attribute("aria-label"), Some("a < b & \"c\""));
}
