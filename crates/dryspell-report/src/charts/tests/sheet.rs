//! What is drawn lies on its sheet, and no word on another.

use super::super::{PAGE, all};
use super::runs::runs;
use crate::setting::words::width;

/// Height of capital letters and what rises above them, as a share of the size.
const ASCENT: f64 = 0.78;
/// Depth of letters that hang, as a share of the size.
const DESCENT: f64 = 0.22;

/// The box of words on the sheet: left, top, right, bottom.
type Box4 = (f64, f64, f64, f64);

/// The boxes of all words of a picture, each letter as wide as in one of the widest faces.
pub(super) fn boxes(svg: &str) -> Vec<(String, Box4)> {
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
