//! Words that no printed line holds.

use std::path::{Path, PathBuf};

use crate::program::{Desk, run_in};
use crate::support::root;

/// A promise that no simulation can keep.
const UNSAID: &str = "never";

const SCHEMES: [&str; 6] = ["scheme", "roomy", "five_herds", "brushed", "rounds", "three_tanks"];

const COMMANDS: [&str; 15] = [
    "", "new", "run", "hour", "curve", "herd", "frost", "odds", "summary", "compare", "size", "sweep",
    "gather", "weather", "synth",
];

fn says(text: &str) -> bool {
    text.split(|c: char| !c.is_alphanumeric()).any(|word| word.eq_ignore_ascii_case(UNSAID))
}

fn clear(what: &str, text: &str) {
    let found: Vec<&str> = text.lines().filter(|line| says(line)).collect();
    assert!(found.is_empty(), "{what}: {found:#?}");
}

#[test]
fn no_command_says_it_of_a_shipped_scheme() {
    let desk = Desk::new();
    let page = desk.path("page.html");
    let table = desk.path("sweep.csv");
    let (page, table) = (page.to_str().unwrap(), table.to_str().unwrap());
    for name in SCHEMES {
        let scheme = format!("data/demo/{name}.toml");
        let scheme = scheme.as_str();
        let few = ["--made-years", "2", "--drawings", "0"];
        let out_page = ["--out", page];
        let target = ["--target", "days=0", "--tank", "6, 12 m3"];
        let vary = ["--vary", "tank.main.capacity = 6, 9 m3", "--out", table];
        let level = if name == "three_tanks" {
            vec!["main = 50 %", "yard = 50 %", "ridge = 50 %"]
        } else {
            vec!["50 %"]
        };
        let levels = level.into_iter().flat_map(|level| ["--level", level]);
        let asked: [(&str, Vec<&str>); 10] = [
            ("run", vec![]),
            ("hour", vec!["01-15T11:00"]),
            ("curve", vec![]),
            ("frost", vec![]),
            ("odds", few.to_vec()),
            ("summary", [&out_page[..], &few].concat()),
            ("compare", vec!["data/demo/roomy.toml"]),
            ("size", [&target[..], &few].concat()),
            ("review", vec![]),
            ("ahead", ["--on", "12-14"].into_iter().chain(levels).collect()),
        ];
        for (command, rest) in asked {
            let answer = run_in(&root(), &[&[command, scheme], &rest[..]].concat());
            clear(&format!("{command} {scheme}"), &(answer.out + &answer.err));
        }
        clear(&format!("the page of {scheme}"), &std::fs::read_to_string(page).unwrap());
        let json = run_in(&root(), &["run", scheme, "--json", "-"]);
        clear(&format!("the JSON of {scheme}"), &json.out);
        let _ = std::fs::remove_file(table);
        let sweep = run_in(&root(), &[&["sweep", scheme], &vary[..]].concat());
        assert_eq!(sweep.code, 0, "{}", sweep.err);
        clear(&format!("the sweep of {scheme}"), &(sweep.out + &std::fs::read_to_string(table).unwrap()));
    }
    clear("herd", &run_in(&root(), &["herd"]).out);
    clear("weather", &run_in(&root(), &["weather", "data/weather/723170TYA.CSV"]).out);
}

#[test]
fn neither_help_nor_starter_nor_keys_say_it() {
    for command in COMMANDS {
        let args: Vec<&str> = [command, "--help"].into_iter().filter(|a| !a.is_empty()).collect();
        let answer = run_in(&root(), &args);
        assert_eq!(answer.code, 0, "{command}: {}", answer.err);
        clear(&format!("help of {command}"), &answer.out);
    }
    clear("the starter", dryspell::scheme::STARTER);
    clear("the page of keys", &dryspell::keys::page());
}

/// Every text that a crate could print is a string of its sources: alerts, errors, notes, headlines.
#[test]
fn no_string_of_the_sources_says_it() {
    let mut files = Vec::new();
    for krate in std::fs::read_dir(root().join("crates")).unwrap() {
        sources(&krate.unwrap().path().join("src"), &mut files);
    }
    assert!(files.len() > 100, "{} files", files.len());
    let mut count = 0;
    for file in files {
        let text = std::fs::read_to_string(&file).unwrap();
        let text = text.split("#[cfg(test)]\nmod tests {").next().unwrap();
        for string in strings(text) {
            count += 1;
            assert!(!says(&string), "{}: {string:?}", file.display());
        }
    }
    assert!(count > 5000, "{count} strings");
}

#[test]
fn a_string_is_found_and_a_comment_is_not() {
    let text =
        "// it \"never\" counts\nlet a = ['\"', 'x']; f(\"one \\\" never\"); g::<'a>(r#\"raw \"x\" two\"#);";
    assert_eq!(strings(text), ["one \\\" never", "raw \"x\" two"]);
    assert!(says("it Never, they said") && !says("nevertheless"));
}

/// Rust files below a folder that are no tests.
fn sources(folder: &Path, files: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let stem = path.file_stem().unwrap().to_str().unwrap().to_owned();
        if stem == "tests" {
            continue;
        }
        if path.is_dir() {
            sources(&path, files);
        } else if path.extension().is_some_and(|e| e == "rs") {
            files.push(path);
        }
    }
}

/// What stands between quotes, as written; comments and single letters are passed over.
fn strings(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find(['"', '/', '\'', 'r']) {
        let here = &rest[at..];
        let raw = here.starts_with("r\"") || here.starts_with("r#\"");
        let begins = !rest[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_');
        rest = if here.starts_with("//") {
            here.find('\n').map_or("", |end| &here[end..])
        } else if raw && begins {
            let open = here.find('"').unwrap() + 1;
            let close = if open > 2 { "\"#" } else { "\"" };
            let end = here[open..].find(close).unwrap();
            found.push(here[open..open + end].to_owned());
            &here[open + end + close.len()..]
        } else if let Some(body) = here.strip_prefix('"') {
            let mut escaped = false;
            let ends = |c: char| {
                let end = c == '"' && !escaped;
                escaped = c == '\\' && !escaped;
                end
            };
            let end = body.find(ends).unwrap();
            found.push(body[..end].to_owned());
            &body[end + 1..]
        } else if let Some(rest) = here.strip_prefix("'\"'") {
            rest
        } else if here.starts_with("'\\") {
            &here[4..]
        } else {
            &here[1..]
        };
    }
    found
}
