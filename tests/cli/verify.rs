//! `dryspell verify`: documents worked again from what is attached to them.

use base64::Engine as _;
use base64::prelude::BASE64_STANDARD;
use serde_json::Value;
use sha2::{Digest, Sha256};

use crate::program::{Answer, Desk};
use crate::support::root;

/// The scheme's own question is answered again, too.
const QUESTION: &str = "[what_if.more]\nset = \"herd.*.count * 1.25\"\n";

/// A shipped scheme beside its weather, with a pump's table in a file of its own, and its document.
fn document(scheme: &str, form: &str) -> Desk {
    let desk = Desk::new();
    let text = std::fs::read_to_string(root().join(format!("data/demo/{scheme}.toml"))).unwrap();
    std::fs::copy(root().join("data/demo/weather.csv"), desk.path("weather.csv")).unwrap();
    std::fs::create_dir(desk.path("sheets")).unwrap();
    let (before, duty) = text.split_once("duty = [").unwrap();
    let (rows, after) = duty.split_once("\n]").unwrap();
    let number = |cell: &str| cell.trim().trim_matches(['"', '[', ']']).split(' ').next().unwrap().to_owned();
    let rows: Vec<String> = rows
        .lines()
        .filter(|row| row.contains('['))
        .map(|row| row.trim().trim_end_matches(',').split(',').map(number).collect::<Vec<_>>().join(","))
        .collect();
    desk.write("sheets/pump.csv", &format!("head m,power W,flow L/min\n{}\n", rows.join("\n")));
    desk.write("scheme.toml", &format!("{before}duty = \"sheets/pump.csv\"{after}\n{QUESTION}"));
    let answer = desk.run(&["summary", "scheme.toml", "-o", &format!("s.{form}")]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    desk
}

/// One line of complaint that holds these words, and exit code 2.
fn refused(answer: &Answer, words: &[&str]) {
    assert_eq!((answer.code, answer.err.lines().count()), (2, 1), "{}{}", answer.out, answer.err);
    for word in words {
        assert!(answer.err.contains(word), "{word}: {}", answer.err);
    }
}

#[test]
fn a_fresh_document_is_the_same_wherever_its_weather_lies() {
    for (scheme, form) in [("scheme", "pdf"), ("scheme", "html"), ("rounds", "pdf"), ("roomy", "html")] {
        let desk = document(scheme, form);
        let name = format!("s.{form}");
        let bytes = std::fs::read(desk.path(&name)).unwrap();
        // All that it needs is inside it but the weather.
        for file in ["scheme.toml", "sheets/pump.csv"] {
            std::fs::remove_file(desk.path(file)).unwrap();
        }
        let answer = desk.run(&["verify", &name]);
        assert_eq!((answer.code, answer.err.as_str()), (0, ""), "{}", answer.out);
        assert!(answer.out.contains("SAME: all "), "{}", answer.out);
        assert!(answer.out.contains("Attached: scheme.toml, pump.csv, results.json."), "{}", answer.out);
        assert!(answer.out.contains("The first page shows the answer"), "{}", answer.out);
        // By content, under whatever name and in whatever folder.
        std::fs::create_dir(desk.path("far")).unwrap();
        std::fs::rename(desk.path("weather.csv"), desk.path("far/other.csv")).unwrap();
        for weather in ["far/other.csv", "far"] {
            let answer = desk.run(&["verify", &name, "--weather", weather]);
            assert_eq!((answer.code, answer.err.as_str()), (0, ""), "{}", answer.out);
        }
        refused(
            &desk.run(&["verify", &name]),
            &["its weather is not attached", "weather.csv with SHA-256", "--weather FILE"],
        );
        // No folder of this machine stands in what is attached.
        if form == "html" {
            for (name, contents) in attached(&String::from_utf8(bytes).unwrap()) {
                let text = String::from_utf8(contents).unwrap();
                assert!(!text.contains(desk.path("").to_str().unwrap()), "{name}");
            }
        }
    }
}

#[test]
fn weather_in_a_folder_of_its_own_is_found_from_the_document_and_counts_the_same() {
    let desk = document("scheme", "html");
    std::fs::create_dir(desk.path("years")).unwrap();
    std::fs::rename(desk.path("weather.csv"), desk.path("years/w.csv")).unwrap();
    for named in ["years/w.csv", "years"] {
        desk.write("s.toml", &desk.read("scheme.toml").replace("\"weather.csv\"", &format!("\"{named}\"")));
        assert_eq!(desk.run(&["summary", "s.toml", "-o", "s.html", "--units", "us"]).code, 0);
        let answer = desk.run(&["verify", "s.html", "--weather", "years"]);
        assert_eq!((answer.code, answer.err.as_str()), (0, ""), "{}", answer.out);
    }
    let page = with(&desk.read("s.html"), "results.json", |text| text.to_owned() + " ");
    desk.write("s.html", &page);
    assert_eq!(desk.run(&["verify", "s.html", "--weather", "years"]).code, 1, "a changed file is told");
    desk.write("s.toml", &desk.read("scheme.toml").replace("\"weather.csv\"", "\"years/w.csv\""));
    assert_eq!(desk.run(&["summary", "s.toml", "-o", "s.pdf"]).code, 0);
    let answer = desk.run(&["verify", "s.pdf"]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""), "{}", answer.out);
    assert!(answer.out.contains("(years/w.csv)"), "{}", answer.out);
}

/// Files attached to a page.
fn attached(page: &str) -> Vec<(String, Vec<u8>)> {
    page.split("download=\"")
        .skip(1)
        .map(|link| {
            let (name, rest) = link.split_once('"').unwrap();
            let data = rest.split_once(";base64,").unwrap().1.split_once('"').unwrap().0;
            (name.to_owned(), BASE64_STANDARD.decode(data).unwrap())
        })
        .collect()
}

/// The page with an attached file changed.
fn with(page: &str, file: &str, change: impl Fn(&str) -> String) -> String {
    let (_, before) = attached(page).into_iter().find(|(name, _)| name == file).unwrap();
    let after = change(std::str::from_utf8(&before).unwrap());
    assert_ne!(after.as_bytes(), before, "nothing was changed");
    page.replace(&BASE64_STANDARD.encode(&before), &BASE64_STANDARD.encode(after))
}

fn sha256(text: &[u8]) -> String {
    Sha256::digest(text).iter().map(|byte| format!("{byte:02x}")).collect()
}

#[test]
fn a_figure_tampered_with_is_named_with_both_values() {
    let desk = document("scheme", "html");
    let page = desk.read("s.html");
    let results = attached(&page).into_iter().find(|(name, _)| name == "results.json").unwrap().1;
    let json: Value = serde_json::from_slice(&results).unwrap();
    let days = json["shortfall_days"].as_u64().unwrap();
    let fewer = |text: &str| {
        text.replacen(&format!("\"shortfall_days\": {days}"), &format!("\"shortfall_days\": {}", days - 1), 1)
    };
    let told = format!("shortfall_days: {} in the document, {days} in a new run", days - 1);
    // Clumsily: the hash in the list tells it as well.
    let clumsy = with(&page, "results.json", fewer);
    desk.write("clumsy.html", &clumsy);
    let answer = desk.run(&["verify", "clumsy.html"]);
    assert_eq!((answer.code, answer.err.as_str()), (1, ""));
    assert!(
        answer.out.contains(&told) && answer.out.contains("results.json: file changed"),
        "{}",
        answer.out
    );
    assert!(answer.out.contains("DIFFERENT: 1 of "), "{}", answer.out);
    // With care: the hash in the list was changed, too.
    let changed = fewer(std::str::from_utf8(&results).unwrap());
    let careful =
        with(&clumsy, "dryspell.json", |list| list.replace(&sha256(&results), &sha256(changed.as_bytes())));
    desk.write("careful.html", &careful);
    let answer = desk.run(&["verify", "careful.html"]);
    assert_eq!((answer.code, answer.err.as_str()), (1, ""));
    assert!(answer.out.contains(&told) && !answer.out.contains("file changed"), "{}", answer.out);
    // What is read, and not what is attached.
    desk.write(
        "page.html",
        &page.replacen(&format!("short on {days}"), &format!("short on {}", days - 1), 1),
    );
    let answer = desk.run(&["verify", "page.html"]);
    assert_eq!((answer.code, answer.err.as_str()), (1, ""));
    assert!(answer.out.contains("DIFFERENT: the first page does not show the answer"), "{}", answer.out);
    // Another scheme is another run.
    let other =
        with(&page, "scheme.toml", |text| text.replace("capacity = \"11 m3\"", "capacity = \"12 m3\""));
    desk.write("other.html", &other);
    let answer = desk.run(&["verify", "other.html"]);
    assert_eq!((answer.code, answer.err.as_str()), (1, ""));
    assert!(
        answer.out.contains("scheme.toml: file changed: SHA-256")
            && answer.out.contains("DIFFERENT: what is attached"),
        "{}",
        answer.out
    );
}

#[test]
fn weather_that_was_changed_is_told_and_nothing_is_run() {
    let desk = document("scheme", "pdf");
    let weather = desk.read("weather.csv");
    let line = weather.lines().nth(2000).unwrap();
    desk.write("weather.csv", &weather.replacen(line, &format!("{line} "), 1));
    refused(
        &desk.run(&["verify", "s.pdf"]),
        &["weather.csv: file changed: SHA-256", "s.pdf was made from weather.csv with SHA-256"],
    );
    // The right file prevails over one of the right name.
    desk.write("kept.csv", &weather);
    let answer = desk.run(&["verify", "s.pdf", "--weather", "weather.csv", "--weather", "kept.csv"]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    refused(&desk.run(&["verify", "s.pdf", "--weather", "none.csv"]), &["none.csv"]);
}

#[test]
fn what_is_no_whole_document_is_refused_in_a_line() {
    let desk = document("scheme", "pdf");
    let bytes = std::fs::read(desk.path("s.pdf")).unwrap();
    for share in [10, 50, 90, 99] {
        std::fs::write(desk.path("cut.pdf"), &bytes[..bytes.len() * share / 100]).unwrap();
        refused(&desk.run(&["verify", "cut.pdf"]), &["cut.pdf: ", "ask for the file"]);
    }
    // Another program's PDF.
    let mut other = lopdf::Document::with_version("1.5");
    let pages = other.new_object_id();
    let page = other.add_object(lopdf::dictionary! { "Type" => "Page", "Parent" => pages });
    other.objects.insert(
        pages,
        lopdf::dictionary! { "Type" => "Pages", "Kids" => vec![page.into()], "Count" => 1 }.into(),
    );
    let catalog = other.add_object(lopdf::dictionary! { "Type" => "Catalog", "Pages" => pages });
    other.trailer.set("Root", catalog);
    other.save(desk.path("other.pdf")).unwrap();
    refused(&desk.run(&["verify", "other.pdf"]), &["not made by dryspell summary"]);
    desk.write("other.html", "<!DOCTYPE html><html><title>a</title></html>");
    refused(&desk.run(&["verify", "other.html"]), &["not made by dryspell summary"]);
    // Its attachments taken out.
    let mut bare = lopdf::Document::load_mem(&bytes).unwrap();
    bare.objects.retain(|_, object| !object.as_dict().is_ok_and(|about| about.has(b"EF")));
    bare.save(desk.path("bare.pdf")).unwrap();
    refused(&desk.run(&["verify", "bare.pdf"]), &["nothing is attached"]);
    // What is no document at all.
    refused(&desk.run(&["verify", "scheme.toml"]), &["this is a scheme", "dryspell run scheme.toml"]);
    refused(&desk.run(&["verify", "none.pdf"]), &["none.pdf: no such file"]);
    refused(&desk.run(&["verify", "sheets"]), &["sheets: "]);
}

#[test]
fn another_version_and_an_incomplete_list_are_told() {
    let desk = document("scheme", "html");
    let page = desk.read("s.html");
    let version = env!("CARGO_PKG_VERSION");
    let list = |change: &dyn Fn(&str) -> String| {
        desk.write("other.html", &with(&page, "dryspell.json", change));
        desk.run(&["verify", "other.html"])
    };
    let old = list(&|list| list.replace(&format!("\"dryspell\": \"{version}\""), "\"dryspell\": \"0.1.7\""));
    refused(&old, &["made by dryspell 0.1.7", "verify it with dryspell 0.1.7"]);
    refused(
        &list(&|list| list.replace("\"file\": \"pump.csv\"", "\"file\": \"pumps.csv\"")),
        &["\"pumps.csv\" is missing"],
    );
    refused(&list(&|list| list[..list.len() / 2].to_owned()), &["what is attached is not whole"]);
    refused(
        &list(&|list| list.replace("\"units\": \"si\"", "\"units\": \"ell\"")),
        &["units that are not known"],
    );
    for share in [30, 60, 99] {
        desk.write("cut.html", &page[..page.len() * share / 100]);
        refused(&desk.run(&["verify", "cut.html"]), &["cut.html: "]);
    }
}
