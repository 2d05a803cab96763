//! The document: three shipped schemes (one that fails, one that passes, one with many herds) in both forms and on both
//! papers, its figures held against the run's own.

use serde_json::Value;

use crate::document::{figures, plain, words};
use crate::program::{Desk, run_in};
use crate::support::root;

/// A scheme that fails, one that passes, one with many herds, one with hydrants, booster and frost.
const SCHEMES: [&str; 4] =
    ["data/demo/scheme.toml", "data/demo/roomy.toml", "data/demo/five_herds.toml", "data/demo/rounds.toml"];

fn json(scheme: &str) -> Value {
    let answer = run_in(&root(), &["run", scheme, "--json", "-"]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    serde_json::from_str(&answer.out).unwrap()
}

#[test]
fn the_documents_figures_are_those_of_the_run() {
    let desk = Desk::new();
    for (i, scheme) in SCHEMES.into_iter().enumerate() {
        let json = json(scheme);
        let expected = figures(&json);
        let html = desk.path(&format!("{i}.html"));
        let answer = run_in(&root(), &["summary", scheme, "-o", html.to_str().unwrap()]);
        assert_eq!((answer.code, answer.err.as_str()), (0, ""));
        let text = plain(&std::fs::read_to_string(&html).unwrap());
        for figure in &expected {
            assert!(text.contains(&words(figure)), "{scheme}: the page lacks {figure:?}");
        }
        for paper in ["a4", "letter"] {
            let pdf = desk.path(&format!("{i}-{paper}.pdf"));
            let args = ["summary", scheme, "--paper", paper, "-o", pdf.to_str().unwrap()];
            let answer = run_in(&root(), &args);
            assert_eq!((answer.code, answer.err.as_str()), (0, ""));
            let file = lopdf::Document::load(&pdf).unwrap();
            let pages: Vec<u32> = file.get_pages().keys().copied().collect();
            // Hydrants, booster, garden and frost parts, three tanks and two wells, or five herds with long names make long lists.
            let long = ["rounds", "three_tanks", "five_herds"].iter().any(|name| scheme.contains(name));
            let most = if long { 8 } else { 7 };
            assert!((2..=most).contains(&pages.len()), "{scheme} on {paper}: {} pages", pages.len());
            let text = words(&file.extract_text(&pages).unwrap());
            assert!(text.contains(&format!("page {0} of {0}", pages.len())), "{scheme} on {paper}");
            // Lines of columns are woven into each other: the answer stands over the full width.
            let answer = words(json["answer"].as_str().unwrap());
            assert!(text.contains(&answer), "{scheme} on {paper} lacks {answer:?}");
        }
    }
}

#[test]
fn the_same_scheme_gives_the_same_bytes_and_pictures() {
    let desk = Desk::new();
    let make = |name: &str, charts: &str| {
        let (out, charts) = (desk.path(name), desk.path(charts));
        let args = ["summary", SCHEMES[0], "-o", out.to_str().unwrap(), "--charts", charts.to_str().unwrap()];
        let answer = run_in(&root(), &args);
        assert_eq!((answer.code, answer.err.as_str()), (0, ""));
        std::fs::read(out).unwrap()
    };
    // The command, and with it the file's name, stands in the document: the same file, written twice.
    let (one, other) = (make("s.pdf", "a"), make("s.pdf", "b"));
    assert!(one == other, "{} and {} bytes", one.len(), other.len());
    let names = |folder: &str| {
        let mut names: Vec<String> = std::fs::read_dir(desk.path(folder))
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    };
    let pictures = names("a");
    assert!(pictures.len() >= 6 && pictures.contains(&"tank_level.svg".to_owned()), "{pictures:?}");
    assert_eq!(pictures, names("b"));
    for name in pictures {
        let read = |folder: &str| std::fs::read_to_string(desk.path(folder).join(&name)).unwrap();
        assert_eq!(read("a"), read("b"));
        assert!(read("a").contains("aria-label"), "{name} has no words for those who cannot see it");
    }
}

#[test]
fn odd_letters_come_out_right_and_missing_ones_are_named() {
    let desk = Desk::new();
    let demo = std::fs::read_to_string(root().join("data/demo/scheme.toml")).unwrap();
    let weather = root().join("data/demo/weather.csv");
    let with_name = |name: &str| {
        demo.replace("Low Garth winter paddock", name)
            .replace("file = \"weather.csv\"", &format!("file = \"{}\"", weather.display()))
    };
    desk.write("odd.toml", &with_name("<b>Brow & Scar</b> Άνω Λιβάδι Верхний Луг"));
    let answer = desk.run(&["summary", "odd.toml", "-o", "odd.html"]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    let html = desk.read("odd.html");
    assert!(html.contains("&lt;b&gt;Brow &amp; Scar&lt;/b&gt; Άνω Λιβάδι Верхний Луг"));
    assert!(
        !html.contains("<b>Brow")
            && !html.contains("<script")
            && !html.contains("http://www.w3.org/1999/xlink")
    );
    let answer = desk.run(&["summary", "odd.toml", "-o", "odd.pdf"]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    let file = lopdf::Document::load(desk.path("odd.pdf")).unwrap();
    let text = words(&file.extract_text(&[1]).unwrap());
    assert!(text.contains("<b>Brow & Scar</b> Άνω Λιβάδι Верхний Луг"), "{text}");

    desk.write("far.toml", &with_name("牧場"));
    let answer = desk.run(&["summary", "far.toml", "-o", "far.pdf"]);
    assert_eq!(answer.code, 2);
    assert!(
        answer.err.contains('牧') && answer.err.contains("U+7267") && answer.err.contains("--font"),
        "{}",
        answer.err
    );
    assert!(!desk.path("far.pdf").exists());
}

#[test]
fn what_cannot_be_written_is_refused_and_what_was_there_stays() {
    let desk = Desk::new();
    let scheme = root().join(SCHEMES[0]);
    let scheme = scheme.to_str().unwrap();
    for (args, part) in [
        (vec!["-o", "s.txt"], ".html or .pdf"),
        (vec!["-o", "no/such/folder/s.pdf"], "no/such/folder does not exist"),
        (vec!["-o", "s.pdf", "--charts", scheme], "a file; a folder is needed here"),
        (vec!["-o", "s.html", "--paper", "a4"], "--paper is for a PDF"),
        (vec!["-o", "s.html", "--font", "x.ttf"], "--font is for a PDF"),
        (vec!["-o", "s.pdf", "--font", "missing.ttf"], "--font missing.ttf"),
        (
            vec!["-o", "s.pdf", "--charts", "no/such/folder"],
            "no/such/folder: cannot be written: no/such does not exist",
        ),
        (vec!["-o", "s.pdf", "--drawings", "3"], "too few"),
    ] {
        let answer = desk.run(&[vec!["summary", scheme], args].concat());
        assert_eq!(answer.code, 2);
        assert!(answer.err.contains(part) && answer.err.lines().count() == 1, "{part}: {}", answer.err);
    }
    desk.write("not.ttf", "a letter to my aunt");
    desk.write("s.pdf", "what was there");
    let answer = desk.run(&["summary", scheme, "-o", "s.pdf", "--font", "not.ttf"]);
    assert!(answer.code == 2 && answer.err.contains("not.ttf: no font"), "{}", answer.err);
    assert_eq!(desk.read("s.pdf"), "what was there");
    let answer = desk.run(&["summary", scheme, "-o", scheme]);
    assert_eq!(answer.code, 2);
}

#[test]
fn schemes_stand_side_by_side() {
    let answer = run_in(&root(), &["compare", SCHEMES[0], SCHEMES[1]]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    let (a, b) = (json(SCHEMES[0]), json(SCHEMES[1]));
    let row = |name: &str| {
        let line =
            answer.out.lines().find(|l| l.trim_start().starts_with(name)).unwrap_or_else(|| panic!("{name}"));
        line.split_whitespace().map(ToOwned::to_owned).collect::<Vec<_>>()
    };
    let days = row("shortfall days");
    assert_eq!(days[3..], [a["shortfall_days"].to_string(), b["shortfall_days"].to_string()]);
    let series = row("array.shed.series");
    assert_eq!(series[1..], ["2", "3"]);
    assert!(!answer.out.contains("array.shed.tilt"), "what is the same is not listed as a difference");

    let same = run_in(&root(), &["compare", SCHEMES[0], SCHEMES[0]]);
    assert!(same.out.contains("nothing: every key has the same value") && same.out.contains("  none\n"));
    let desk = Desk::new();
    let csv = desk.path("c.csv");
    let args = ["compare", SCHEMES[0], SCHEMES[1], "--csv", csv.to_str().unwrap()];
    assert_eq!(run_in(&root(), &args).code, 0);
    let mut reader = csv::Reader::from_path(&csv).unwrap();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let found = rows.iter().find(|r| &r[0] == "storage_needed_m3").unwrap();
    assert_eq!(found[2].parse::<f64>().ok(), a["storage_needed_m3"].as_f64());
    assert_eq!(found[3].parse::<f64>().ok(), b["storage_needed_m3"].as_f64());
    let missing = run_in(&root(), &["compare", SCHEMES[0], "no.toml", "nor.toml"]);
    assert!(missing.code == 2 && missing.err.lines().count() == 2, "{}", missing.err);
}

/// The structure tree of a shipped document, as a screen reader meets it: names of rows are heads of their rows, pictures
/// say where they stand and what they show, headings go down one level at a time.
#[test]
fn the_document_can_be_listened_to() {
    let desk = Desk::new();
    let out = desk.path("s.pdf");
    let answer = run_in(&root(), &["summary", "data/demo/rounds.toml", "-o", out.to_str().unwrap()]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    let file = lopdf::Document::load(&out).unwrap();
    let parts: Vec<&lopdf::Dictionary> = file
        .objects
        .values()
        .filter_map(|object| object.as_dict().ok())
        .filter(|part| part.get(b"S").is_ok() && part.get(b"P").is_ok() && part.get(b"K").is_ok())
        .collect();
    let role = |part: &lopdf::Dictionary| {
        String::from_utf8_lossy(part.get(b"S").unwrap().as_name().unwrap()).into_owned()
    };
    // Attributes, whatever their number, as text.
    let attributes =
        |part: &lopdf::Dictionary| format!("{:?}", part.get(b"A").ok().map(|a| file.dereference(a)));
    let of = |name: &str| parts.iter().filter(|part| role(part) == name).copied().collect::<Vec<_>>();
    let heads = of("TH");
    let rows = heads.iter().filter(|part| attributes(part).contains("Row")).count();
    let columns = heads.iter().filter(|part| attributes(part).contains("Column")).count();
    assert_eq!(rows + columns, heads.len());
    assert!(rows > 60 && columns > 60, "{rows} heads of rows, {columns} of columns");
    let figures = of("Figure");
    assert!(figures.len() >= 6);
    for figure in figures {
        assert!(attributes(figure).contains("BBox"), "{figure:?}");
        assert!(figure.get(b"Alt").is_ok(), "{figure:?}");
    }
    assert!(!of("H1").is_empty() && of("H2").len() > 8 && of("H3").len() > 3);
    // Points to tick off are entries of a list.
    assert!(of("LI").len() > 20);
}
