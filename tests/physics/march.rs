//! The march: all stores stepped together, against stepping by five seconds, against hand, and against the columns.

mod by_hand;
mod seconds;
mod tanks;

use dryspell::plan::Plan;
use dryspell::record::Record;
use dryspell::scheme::Scheme;
use dryspell::simulate::{Memo, Run, at_tank, by_march};

use crate::support::data;
use crate::tmy3;

/// The plan of a demo scheme with lines of its text replaced.
fn demo(name: &str, changes: &[(&str, &str)]) -> Plan {
    let mut text = std::fs::read_to_string(data(&format!("demo/{name}.toml"))).unwrap();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    Scheme::from_toml(&text).unwrap().plan()
}

fn year() -> Record {
    tmy3::read(&data("weather/703165TY.csv"))
}

/// A run by the pass that answers, and one by the march.
fn both(plan: &Plan, record: &Record) -> (Run, Run) {
    let upstream = Memo::default().upstream(plan, dryspell::edition::EditionRef::new(record)).unwrap();
    (at_tank(&upstream, plan).unwrap(), by_march(&upstream, plan).unwrap())
}

/// The run by the march.
fn by_march_run(plan: &Plan, record: &Record) -> Run {
    both(plan, record).1
}
