//! The outside checks of `data/reference/checks/*.csv`, one row each.
//!
//! A row holds the inputs and the value that somebody else published or computed; `what` names the evaluator below
//! that works it out with our code. Columns: `id, what, inputs, expected, tolerance, why, kind, source`.
//! - `inputs` is `name=value` pairs separated by spaces.
//! - `tolerance` is `abs X` or `rel X`; `why` says where it comes from.
//! - `kind` is one of [`KINDS`].

use crate::support::data;
use std::collections::{BTreeMap, BTreeSet};

pub mod array;
mod delivery;
mod demand;
mod evaporation;
mod frost;
mod hydraulics;
mod inflow;
mod source;
mod statistics;
mod sun;
mod tank;
mod units;

/// Where an expected value may come from. None is ever made by our own code.
const KINDS: [&str; 5] = ["published", "reference library", "closed form", "common practice", "from memory"];

/// One outside check.
#[derive(Debug, Clone)]
pub struct Row {
    pub id: String,
    pub what: String,
    pub inputs: BTreeMap<String, String>,
    pub expected: f64,
    pub tolerance: f64,
    pub kind: String,
    pub why: String,
    pub source: String,
}

impl Row {
    /// A numeric input.
    pub fn number(&self, name: &str) -> f64 {
        let text = self.text(name);
        text.parse().unwrap_or_else(|_| panic!("{}: input {name}: {text:?} is not a number", self.id))
    }

    /// A numeric input that may be absent.
    pub fn number_or(&self, name: &str, default: f64) -> f64 {
        if self.inputs.contains_key(name) { self.number(name) } else { default }
    }

    /// An input as it stands.
    pub fn text(&self, name: &str) -> &str {
        self.inputs.get(name).unwrap_or_else(|| panic!("{}: no input {name}", self.id))
    }

    /// Comma-separated numbers.
    pub fn numbers(&self, name: &str) -> Vec<f64> {
        self.text(name)
            .split(',')
            .map(|t| t.parse().unwrap_or_else(|_| panic!("{}: {name}: {t:?}", self.id)))
            .collect()
    }
}

/// An evaluator: the value of our own code for a row's inputs.
pub type Evaluator = fn(&Row) -> f64;

/// All evaluators, by the name that a row's `what` gives.
fn evaluators() -> BTreeMap<&'static str, Evaluator> {
    let lists: [&[(&'static str, Evaluator)]; 12] = [
        array::EVALUATORS,
        delivery::EVALUATORS,
        demand::EVALUATORS,
        evaporation::EVALUATORS,
        frost::EVALUATORS,
        hydraulics::EVALUATORS,
        inflow::EVALUATORS,
        source::EVALUATORS,
        statistics::EVALUATORS,
        sun::EVALUATORS,
        tank::EVALUATORS,
        units::EVALUATORS,
    ];
    let mut all = BTreeMap::new();
    for (name, evaluator) in lists.into_iter().flatten() {
        assert!(all.insert(*name, *evaluator).is_none(), "two evaluators are called {name}");
    }
    all
}

/// Every row of every file, in order.
pub fn rows() -> Vec<Row> {
    let mut files: Vec<_> =
        std::fs::read_dir(data("reference/checks")).unwrap().map(|e| e.unwrap().path()).collect();
    files.retain(|f| f.extension().is_some_and(|e| e == "csv"));
    files.sort();
    let mut rows = Vec::new();
    for file in files {
        let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(&file).unwrap();
        let names = ["id", "what", "inputs", "expected", "tolerance", "why", "kind", "source"];
        assert_eq!(reader.headers().unwrap().iter().collect::<Vec<_>>(), names, "{}", file.display());
        for record in reader.records() {
            let record = record.unwrap_or_else(|e| panic!("{}: {e}", file.display()));
            let id = record[0].to_owned();
            let expected: f64 =
                record[3].parse().unwrap_or_else(|_| panic!("{id}: expected {:?}", &record[3]));
            let tolerance = match record[4].split_once(' ') {
                Some(("abs", x)) => x.parse().unwrap(),
                Some(("rel", x)) => x.parse::<f64>().unwrap() * expected.abs(),
                _ => panic!("{id}: tolerance {:?}: abs X or rel X", &record[4]),
            };
            let inputs = record[2]
                .split_whitespace()
                .map(|pair| {
                    pair.split_once('=').unwrap_or_else(|| panic!("{id}: input {pair:?}: name=value"))
                })
                .map(|(k, v)| (k.to_owned(), v.to_owned()))
                .collect();
            rows.push(Row {
                what: record[1].to_owned(),
                inputs,
                expected,
                tolerance,
                why: record[5].to_owned(),
                kind: record[6].to_owned(),
                source: record[7].to_owned(),
                id,
            });
        }
    }
    rows
}

/// Evaluates a row with our code and compares it with an expected value.
fn passes(row: &Row, evaluate: Evaluator, expected: f64) -> bool {
    (evaluate(row) - expected).abs() <= row.tolerance
}

#[test]
fn every_row_holds_and_every_row_is_consumed() {
    let evaluators = evaluators();
    let rows = rows();
    let mut used = BTreeSet::new();
    let mut failures = Vec::new();
    let mut ids = BTreeSet::new();
    for row in &rows {
        assert!(ids.insert(row.id.clone()), "two rows are called {}", row.id);
        assert!(KINDS.contains(&row.kind.as_str()), "{}: kind {:?}", row.id, row.kind);
        assert!(row.tolerance > 0.0, "{}: a tolerance is above zero", row.id);
        assert!(!row.source.is_empty() && !row.why.is_empty(), "{}: source and why are needed", row.id);
        let Some(evaluate) = evaluators.get(row.what.as_str()) else {
            failures.push(format!("{}: nothing evaluates {:?}", row.id, row.what));
            continue;
        };
        used.insert(row.what.clone());
        let got = evaluate(row);
        if !passes(row, *evaluate, row.expected) {
            failures.push(format!("{}: got {got}, expected {} ± {}", row.id, row.expected, row.tolerance));
        }
    }
    for name in evaluators.keys() {
        if !used.contains(*name) {
            failures.push(format!("no row uses the evaluator {name:?}"));
        }
    }
    assert!(failures.is_empty(), "{} of {} rows:\n{}", failures.len(), rows.len(), failures.join("\n"));
    assert!(rows.len() >= 60, "at least 60 outside checks, found {}", rows.len());
}

#[test]
fn every_row_fails_when_its_expected_value_is_moved_by_three_tolerances() {
    let evaluators = evaluators();
    for row in rows() {
        let evaluate = evaluators[row.what.as_str()];
        for moved in [row.expected - 3.0 * row.tolerance, row.expected + 3.0 * row.tolerance] {
            assert!(!passes(&row, evaluate, moved), "{} passes with {moved} for {}", row.id, row.expected);
        }
    }
}

/// The table of `data/reference/CHECKS.md`.
fn page() -> String {
    use std::fmt::Write;
    let rows = rows();
    let mut page = String::from(
        "# Outside checks\n\nGenerated from `checks/*.csv`; `DRYSPELL_WRITE=1 cargo test -p dryspell --test physics checks` writes it \
         anew. Each row is worked out by our own code under test and must meet the expected value within its tolerance; \
         moved by three tolerances it must fail.\n\n| kind | rows |\n| --- | --- |\n",
    );
    for kind in KINDS {
        let _ = writeln!(page, "| {kind} | {} |", rows.iter().filter(|r| r.kind == kind).count());
    }
    let _ = writeln!(page, "| **all** | **{}** |", rows.len());
    page.push_str("\n| id | what | expected | ± | kind | source |\n| --- | --- | --- | --- | --- | --- |\n");
    for r in &rows {
        let clean = |text: &str| text.replace('|', "\\|").replace('\n', " ");
        let _ = writeln!(
            page,
            "| {} | `{}` | {} | {:.2e} | {} | {} |",
            r.id,
            r.what,
            r.expected,
            r.tolerance,
            r.kind,
            clean(&r.source)
        );
    }
    page
}

#[test]
fn the_page_of_checks_is_up_to_date() {
    let path = data("reference/CHECKS.md");
    let page = page();
    if std::env::var_os("DRYSPELL_WRITE").is_some() {
        std::fs::write(&path, &page).unwrap();
    }
    assert!(std::fs::read_to_string(&path).unwrap_or_default() == page, "write it anew: see its first lines");
}
