//! What only the whole program does: sweeps, parts, documents.

use std::process::{Command, Output};

use dryspell::simulate::AnswersBy;
use serde_json::Value;

use super::sizes::resized;
use super::{Outcome, held, refused};
use crate::case::{Bench, Case};
use crate::compare::headlines;
use crate::document::{figures, plain, words};
use crate::random::{Random, three_digits};
use crate::schemes::draft::{Units, bare};

/// A folder with the scheme of a case.
pub struct Desk(tempfile::TempDir);

/// What came out.
pub struct Answer {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Desk {
    pub fn new(case: &Case) -> Self {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("scheme.toml"), case.draft.text(Units::Si)).unwrap();
        for (name, text) in &case.draft.files {
            std::fs::write(folder.path().join(name), text).unwrap();
        }
        Self(folder)
    }

    pub fn run(&self, args: &[&str]) -> Answer {
        let Output { status, stdout, stderr } = Command::new(env!("CARGO_BIN_EXE_dryspell"))
            .args(args)
            .current_dir(self.0.path())
            .output()
            .unwrap();
        let text = |bytes| String::from_utf8(bytes).unwrap();
        Answer { code: status.code().unwrap(), out: text(stdout), err: text(stderr) }
    }

    fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.0.path().join(name)).unwrap()
    }
}

fn stopped(answer: &Answer) -> Outcome {
    Outcome::Failed(format!("code {}: {}", answer.code, answer.err))
}

/// Sizes of tank and heads of a herd, as they are typed; the tanks are enough of them to go side by side.
fn axes(case: &Case) -> (Vec<f64>, Vec<f64>, String, [String; 2]) {
    let tank = &case.run.plan.tank;
    let least = 1.01 * tank.garden_reserve_m3.max(0.1 * tank.capacity_m3);
    let sizes: Vec<f64> =
        (0..8).map(|n| three_digits(least + f64::from(n) * 0.37 * tank.capacity_m3)).collect();
    let herd = case.draft.names("herd")[0].clone();
    let count = case.draft.table(&format!("herd.{herd}")).unwrap().get("count").unwrap().base();
    let counts = vec![count, (0.6 * count).round()];
    let list = |numbers: &[f64], unit: &str| {
        numbers.iter().map(|n| format!("{n}{unit}")).collect::<Vec<_>>().join(", ")
    };
    let typed = [
        format!("tank.main.capacity = {}", list(&sizes, " m3")),
        format!("herd.{herd}.count = {}", list(&counts, "")),
    ];
    (sizes, counts, herd, typed)
}

/// A row of a sweep is the run of its own scheme, to the last digit.
pub fn sweep(case: &Case, r: &mut Random, bench: &Bench) -> Outcome {
    let desk = Desk::new(case);
    let (sizes, counts, herd, typed) = axes(case);
    let answer =
        desk.run(&["sweep", "scheme.toml", "--vary", &typed[0], "--vary", &typed[1], "--out", "s.csv"]);
    if answer.code != 0 {
        return stopped(&answer);
    }
    let table = desk.read("s.csv");
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let columns = reader.headers().unwrap().clone();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    if rows.len() != sizes.len() * counts.len() {
        return Outcome::Failed(format!("{} rows", rows.len()));
    }
    let row = r.pick(&rows);
    let field = |name: &str| row.get(columns.iter().position(|c| c == name).unwrap()).unwrap();
    let capacity: f64 = field("tank.main.capacity_m3").parse().unwrap();
    let count: f64 = field(&format!("herd.{herd}.count")).parse().unwrap();
    let mut draft = resized(case, &case.draft, capacity);
    draft.set(&format!("herd.{herd}"), "count", bare(count));
    let run = match bench.run(&draft, Units::Si) {
        Ok(alone) => alone.run,
        Err(_) if !field("fault").is_empty() => return Outcome::Held,
        Err(faults) => return refused(&faults),
    };
    let wrong = headlines(&run).into_iter().filter_map(|(name, _, figure)| {
        let there = field(&name);
        (there != figure.to_string()).then(|| {
            format!("{name}: {there} in the row, {figure} alone (capacity {capacity}, count {count})")
        })
    });
    held(wrong.collect())
}

/// Parts of a sweep, joined, are its table to the last byte.
pub fn gather(case: &Case, r: &mut Random, _: &Bench) -> Outcome {
    if case.always_marches() || case.run.answers_by == AnswersBy::March {
        return Outcome::NotHere;
    }
    let desk = Desk::new(case);
    let (.., typed) = axes(case);
    let vary = ["sweep", "scheme.toml", "--vary", &typed[0], "--vary", &typed[1], "--out"];
    let parts = 2 + r.below(3);
    let mut names = Vec::new();
    for part in 1..=parts {
        let number = format!("{part}/{parts}");
        let answer = desk.run(&[&vary[..], &["p.csv", "--part", &number]].concat());
        if answer.code != 0 {
            return stopped(&answer);
        }
        names.push(format!("p.csv.part-{part}-of-{parts}"));
    }
    r.shuffle(&mut names);
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    for answer in [
        desk.run(&[&["gather"], &names[..], &["--out", "gathered.csv"]].concat()),
        desk.run(&[&vary[..], &["whole.csv"]].concat()),
    ] {
        if answer.code != 0 {
            return stopped(&answer);
        }
    }
    held(if desk.read("gathered.csv") == desk.read("whole.csv") {
        Vec::new()
    } else {
        vec![format!("{parts} parts differ from the whole")]
    })
}

/// The document shows the figures of the JSON.
pub fn document(case: &Case, _: &mut Random, _: &Bench) -> Outcome {
    let desk = Desk::new(case);
    let units = ["--units", "si"];
    for answer in [
        desk.run(&[&["run", "scheme.toml", "--json", "run.json"], &units[..]].concat()),
        desk.run(&[&["summary", "scheme.toml", "-o", "page.html", "--made-years", "0"], &units[..]].concat()),
    ] {
        if answer.code != 0 {
            return stopped(&answer);
        }
    }
    let json: Value = serde_json::from_str(&desk.read("run.json")).unwrap();
    let page = plain(&desk.read("page.html"));
    let lacking = figures(&json).into_iter().filter(|figure| !page.contains(&words(figure)));
    held(lacking.map(|figure| format!("the page lacks {figure:?}")).collect())
}
