use std::sync::Arc;

use super::*;
use crate::model::{Block, Chart, Document, Text};
use crate::setting::sample::{SPECIAL, document};

const PAPERS: [Paper; 2] = [Paper::A4, Paper::Letter];

fn fonts() -> Fonts {
    Fonts::new(Vec::new()).unwrap()
}

fn with_box() -> Fonts {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/fonts/box.ttf");
    Fonts::new(vec![("box.ttf".to_owned(), std::fs::read(path).unwrap())]).unwrap()
}

fn one(block: Block) -> Document {
    Document { title: "Title".to_owned(), foot: "Foot".to_owned(), blocks: vec![block], attached: Vec::new() }
}

/// What leaves the inside of a page.
pub(crate) fn outside(boxes: &[PlacedBox], paper: Paper) -> Vec<&PlacedBox> {
    let (left, top, right, bottom) = paper.inside();
    let near = 0.05;
    boxes
        .iter()
        .filter(|b| {
            b.x < left - near
                || b.y < top - near
                || b.x + b.width > right + near
                || b.y + b.height > bottom + near
        })
        .collect()
}

/// Pairs of texts, labels and charts that share a part of a page.
pub(crate) fn clashes(boxes: &[PlacedBox]) -> Vec<(&PlacedBox, &PlacedBox)> {
    let near = 0.05;
    let apart = |a: &PlacedBox, b: &PlacedBox| {
        a.page != b.page
            || a.x + a.width <= b.x + near
            || b.x + b.width <= a.x + near
            || a.y + a.height <= b.y + near
            || b.y + b.height <= a.y + near
    };
    let mut out = Vec::new();
    for (at, a) in boxes.iter().enumerate() {
        for b in &boxes[at + 1..] {
            let told = matches!(
                (a.kind, b.kind),
                (Kind::Text | Kind::Chart, Kind::Text | Kind::Chart)
                    | (Kind::Label, Kind::Label | Kind::Text)
                    | (Kind::Text, Kind::Label)
            );
            if told && a.width > 0.0 && b.width > 0.0 && !apart(a, b) {
                out.push((a, b));
            }
        }
    }
    out
}

#[test]
fn nothing_leaves_its_page_and_nothing_overlaps() {
    for paper in PAPERS {
        let laid = layout(&document(), paper, &fonts()).unwrap();
        let boxes = laid.boxes();
        for kind in [Kind::Text, Kind::Label, Kind::Frame, Kind::Rule, Kind::Chart] {
            assert!(boxes.iter().any(|b| b.kind == kind), "{kind:?}");
        }
        assert_eq!(outside(&boxes, paper), Vec::<&PlacedBox>::new());
        assert_eq!(clashes(&boxes), Vec::new());
        assert!((4..=7).contains(&laid.count()), "{}", laid.count());
    }
}

#[test]
fn the_box_check_sees_what_is_wrong() {
    let laid = layout(&document(), Paper::A4, &fonts()).unwrap();
    let mut boxes = laid.boxes();
    // The larger sheet's layout cannot fit the smaller sheet's inside.
    assert!(!outside(&boxes, Paper::Letter).is_empty());
    let texts: Vec<usize> =
        (0..boxes.len()).filter(|at| boxes[*at].kind == Kind::Text && boxes[*at].page == 0).collect();
    boxes[texts[5]].y = boxes[texts[6]].y;
    boxes[texts[5]].x = boxes[texts[6]].x;
    assert!(!clashes(&boxes).is_empty());
}

#[test]
fn text_comes_out_of_the_pdf_as_it_went_in() {
    for paper in PAPERS {
        let laid = layout(&document(), paper, &fonts()).unwrap();
        let bytes = draw(&laid, &fonts()).unwrap();
        let pdf = lopdf::Document::load_mem(&bytes).unwrap();
        let pages = pdf.get_pages();
        assert_eq!(pages.len(), laid.count());
        let numbers: Vec<u32> = pages.keys().copied().collect();
        for (page, number) in numbers.iter().enumerate() {
            let text = pdf.extract_text(&[*number]).unwrap();
            for placed in laid.boxes().iter().filter(|b| b.page == page && !b.text.is_empty()) {
                // Runs of different faces come out on lines of their own.
                let squeezed = |t: &str| t.chars().filter(|c| !c.is_whitespace()).collect::<String>();
                assert!(squeezed(&text).contains(&squeezed(&placed.text)), "{:?} not in {text}", placed.text);
            }
            assert!(text.contains(&format!("page {} of {}", page + 1, laid.count())), "{text}");
        }
        let all = pdf.extract_text(&numbers).unwrap();
        for words in ["Жщ", "Ωλ", "<b>&\"'", "Water, m³ a day", "Prepared by"] {
            assert!(all.contains(words), "{words}");
        }
        assert!(all.contains(SPECIAL) || SPECIAL.split(' ').all(|part| all.contains(part)));
    }
}

#[test]
fn the_pdf_says_what_it_is() {
    let laid = layout(&document(), Paper::A4, &fonts()).unwrap();
    let bytes = draw(&laid, &fonts()).unwrap();
    let pdf = lopdf::Document::load_mem(&bytes).unwrap();
    let catalog = pdf.catalog().unwrap();
    assert_eq!(catalog.get(b"Lang").and_then(lopdf::Object::as_str).unwrap(), b"en-GB");
    assert!(catalog.has(b"StructTreeRoot") && catalog.has(b"Outlines"));
    let outline = pdf.get_toc().unwrap();
    let titles: Vec<&str> = outline.toc.iter().map(|t| t.title.as_str()).collect();
    assert!(titles.contains(&"Site and scheme") && titles.contains(&"To be filled in"), "{titles:?}");
    let info = pdf.trailer.get(b"Info").and_then(|i| pdf.dereference(i)).unwrap().1.as_dict().unwrap();
    assert!(info.has(b"Title") && !info.has(b"CreationDate"));
    // Both faces are in the file, cut to the letters used.
    let files = pdf
        .objects
        .values()
        .filter_map(|o| o.as_dict().ok())
        .filter(|d| d.has(b"FontFile2") || d.has(b"FontFile3"))
        .count();
    assert_eq!(files, 2);
    assert!(bytes.len() < 200_000, "{}", bytes.len());
}

#[test]
fn the_same_document_gives_the_same_bytes() {
    let once = pdf(&document(), Paper::Letter, &fonts()).unwrap();
    assert!(once == pdf(&document(), Paper::Letter, &fonts()).unwrap());
    assert!(once != pdf(&document(), Paper::A4, &fonts()).unwrap());
}

#[test]
fn a_letter_that_no_font_has_is_named() {
    let expected = "the letter \"語\" (U+8A9E) is in no font; the built-in font has Latin, Greek and Cyrillic letters; \
                    give one that has it with --font FILE";
    let said = pdf(&one(Block::Paragraph(Text::from("日語".replace('日', "")))), Paper::A4, &fonts());
    assert_eq!(said.unwrap_err(), expected);
    let chart = |text: &str| {
        one(Block::Chart(Arc::new(Chart {
            name: "a",
            title: String::new(),
            alternative: "A word.".to_owned(),
            svg: format!(
                "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"90\" height=\"20\" viewBox=\"0 0 90 20\">\
                 <text x=\"5\" y=\"15\" font-family=\"sans-serif\" font-size=\"9\">{text}</text></svg>"
            ),
            size: (90, 20),
        })))
    };
    assert_eq!(pdf(&chart("a 語"), Paper::A4, &fonts()).unwrap_err(), expected);
    let mut titled = document();
    titled.foot = "語".to_owned();
    assert_eq!(pdf(&titled, Paper::A4, &fonts()).unwrap_err(), expected);
    // With a font that has it, it is set and found again, in text and in charts.
    for document in [chart("a 語 b"), one(Block::Paragraph(Text::strong("a 語 b")))] {
        let bytes = pdf(&document, Paper::A4, &with_box()).unwrap();
        let text = lopdf::Document::load_mem(&bytes).unwrap().extract_text(&[1]).unwrap();
        assert!(text.contains('語'), "{text}");
    }
    // A sign that shows nothing is no letter; a mark is named on a circle.
    assert!(pdf(&one(Block::Paragraph(Text::from("a\u{200d}b\u{ad}c\u{7}"))), Paper::A4, &fonts()).is_ok());
}

#[test]
fn a_file_that_is_no_font_is_refused() {
    let said = Fonts::new(vec![("notes.txt".to_owned(), b"no font at all".to_vec())]).unwrap_err();
    assert_eq!(said, "notes.txt: no font; give a TrueType or OpenType font (.ttf, .otf, .ttc)");
    assert!(Fonts::new(vec![("empty.ttf".to_owned(), Vec::new())]).is_err());
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/fonts/regular.ttf");
    let cut = std::fs::read(path).unwrap()[..2000].to_vec();
    assert!(Fonts::new(vec![("cut.ttf".to_owned(), cut)]).is_err());
}

#[test]
fn heads_are_repeated_and_headings_stay_with_what_follows() {
    for paper in PAPERS {
        let boxes = layout(&document(), paper, &fonts()).unwrap().boxes();
        let pages = |text: &str| {
            let mut pages: Vec<usize> =
                boxes.iter().filter(|b| b.text.trim() == text).map(|b| b.page).collect();
            pages.dedup();
            pages
        };
        // The wide table has the first four of these names, too.
        let rows: Vec<usize> = (4..50).flat_map(|n| pages(&format!("Herd {n}"))).collect();
        assert!(rows.first() != rows.last(), "the table must cross a page: {rows:?}");
        assert!(rows.iter().all(|page| pages("Herd or garden").contains(page)));
        let (_, _, _, bottom) = paper.inside();
        for heading in ["Site and scheme", "Through the year", "To be filled in"] {
            let at = boxes.iter().find(|b| b.text.trim() == heading).unwrap();
            let below = boxes.iter().filter(|b| b.page == at.page && b.y > at.y + 5.0);
            let below = below.filter(|b| matches!(b.kind, Kind::Text | Kind::Chart) && b.y < bottom - 20.0);
            assert!(below.count() > 0, "{heading} stands alone");
        }
    }
}

#[test]
fn rows_are_not_cut() {
    // Each row has a number of its own in its second column; its name's first line must stand on the same height.
    let laid = layout(&document(), Paper::A4, &fonts()).unwrap();
    let boxes = laid.boxes();
    for n in [4_usize, 20, 32] {
        let name = boxes.iter().find(|b| b.text.trim() == format!("Herd {n}")).unwrap();
        let number = format!("{}.{}", (n + 3) * 37 % 900, (n + 3) % 10);
        assert!(boxes.iter().any(|b| b.text == number && b.page == name.page && (b.y - name.y).abs() < 0.01));
    }
}

#[test]
fn what_a_chart_may_not_hold_is_refused() {
    for (inside, what) in [
        (
            "<clipPath id=\"c\"><rect width=\"3\" height=\"3\"/></clipPath><rect width=\"9\" height=\"9\" clip-path=\"url(#c)\"/>",
            "a clip path",
        ),
        (
            "<linearGradient id=\"g\"><stop offset=\"0\" stop-color=\"red\"/><stop offset=\"1\"/></linearGradient><rect width=\"9\" height=\"9\" fill=\"url(#g)\"/>",
            "a gradient",
        ),
        ("<rect width=\"9\"", "cannot be drawn"),
    ] {
        let svg =
            format!("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"90\" height=\"20\">{inside}</svg>");
        let chart =
            Chart { name: "odd", title: String::new(), alternative: "Odd.".to_owned(), svg, size: (90, 20) };
        let said = layout(&one(Block::Chart(Arc::new(chart))), Paper::A4, &fonts()).unwrap_err();
        assert!(said.starts_with("the chart \"odd\" cannot be drawn: ") && said.contains(what), "{said}");
    }
}

#[test]
fn very_long_texts_run_over_pages() {
    let long = "Wörter und Wörter, ".repeat(3000);
    for block in [
        Block::Paragraph(Text::from(long.as_str())),
        Block::Notice(Text::from(long.as_str())),
        Block::List(vec![Text::from(long.as_str())]),
        Block::Facts(vec![("Name".to_owned(), Text::from(long.as_str()))]),
        Block::Beside(vec![vec![Block::Paragraph(Text::from(long.as_str()))], vec![]]),
        Block::Paragraph(Text::from("W".repeat(9000))),
    ] {
        let laid = layout(&one(block), Paper::Letter, &fonts()).unwrap();
        assert!(laid.count() > 1);
        assert_eq!(outside(&laid.boxes(), Paper::Letter), Vec::<&PlacedBox>::new());
        assert_eq!(clashes(&laid.boxes()), Vec::new());
    }
}

#[test]
fn words_from_right_to_left_keep_their_order() {
    // By hand: of "a ش ش b" the two middle words change places, those around them do not.
    let fonts = with_box();
    let setter = set::Setter::new(&fonts).unwrap();
    let text = Text::from("a شش ش b");
    let line = setter.lines(&text, 10.0, 500.0).unwrap().remove(0);
    assert_eq!(line.text(), "a ش شش b");
}

#[test]
fn lines_end_at_good_places() {
    let fonts = fonts();
    let setter = set::Setter::new(&fonts).unwrap();
    let lines = |text: &str, width: f32| -> Vec<String> {
        let lines = setter.lines(&Text::from(text), 10.0, width).unwrap();
        assert!(lines.iter().all(|line| line.width <= width + 0.01), "{text}");
        lines.iter().map(|line| line.text().trim_end().to_owned()).collect()
    };
    // So narrow that a line ends wherever it may.
    assert_eq!(lines("flow 12 m³/h, a lot", 45.0), ["flow", "12 m³/h,", "a lot"]);
    assert_eq!(lines("of 12 people", 30.0), ["of 12", "peopl", "e"]);
    assert_eq!(lines("at /home/some/folder/scheme.toml", 60.0), ["at /home/", "some/folder/", "scheme.toml"]);
    assert_eq!(lines("A\u{301}A\u{301}A\u{301}", 7.0), ["A\u{301}", "A\u{301}", "A\u{301}"]);
    assert_eq!(lines("", 60.0), [""]);
    // No letter is lost, however narrow.
    let text = "Übergrößenträger für 3,5 m³ Жидкость";
    for width in [1.0, 20.0, 50.0, 500.0] {
        let all = setter.lines(&Text::from(text), 10.0, width).unwrap();
        assert_eq!(all.iter().map(set::Line::text).collect::<String>(), text);
    }
}

#[test]
#[ignore = "writes the sample for the eye: DRYSPELL_SAMPLE=FOLDER"]
fn sample() {
    let folder = std::path::PathBuf::from(std::env::var("DRYSPELL_SAMPLE").unwrap());
    std::fs::write(folder.join("sample.html"), crate::setting::html::html(&document()).unwrap()).unwrap();
    for (paper, name) in [(Paper::A4, "a4.pdf"), (Paper::Letter, "letter.pdf")] {
        std::fs::write(folder.join(name), pdf(&document(), paper, &fonts()).unwrap()).unwrap();
    }
}

#[test]
fn a_number_and_its_unit_stay_on_one_line_whatever_the_width() {
    let fonts = Fonts::new(Vec::new()).unwrap();
    let setter = set::Setter::new(&fonts).unwrap();
    let text = Text::from("(35 m, 70 W, 2.5 L/min), (35 m, 140 W, 7.5 L/min), (35 m, 250 W, 14 L/min)");
    for width in 60..300_u16 {
        for line in setter.lines(&text, 6.6, f32::from(width)).unwrap() {
            let line = line.text();
            assert!(
                !line.starts_with([',', 'W', 'm']) && !line.trim_end().ends_with(char::is_numeric),
                "{width}: {line:?}"
            );
        }
    }
}
