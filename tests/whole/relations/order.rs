//! The same scheme written in another way.

use super::{Outcome, alike, equal, refused};
use crate::case::{Bench, Case};
use crate::random::Random;
use crate::schemes::draft::{Draft, Table, Units};

/// Tables and keys in another order. Runs of pipe keep theirs, which is the water's.
pub fn tables(case: &Case, r: &mut Random, bench: &Bench) -> Outcome {
    let is_pipe = |t: &Table| t.path.split('.').any(|p| p == "pipe" || p == "delivery");
    let (pipes, mut rest): (Vec<Table>, Vec<Table>) = case.draft.tables.iter().cloned().partition(is_pipe);
    r.shuffle(&mut rest);
    for pipe in pipes.into_iter().rev() {
        rest.insert(0, pipe);
    }
    for table in &mut rest {
        r.shuffle(&mut table.keys);
    }
    let draft = Draft { tables: rest, files: case.draft.files.clone() };
    match bench.run(&draft, Units::Si) {
        Ok(other) => alike(case, &other, &[]),
        Err(faults) => refused(&faults),
    }
}

/// Feet, gallons, pounds: the same numbers but for the last bit.
pub fn us_units(case: &Case, _: &mut Random, bench: &Bench) -> Outcome {
    match bench.run(&case.draft, Units::Us) {
        Ok(other) => alike(case, &other, &[]),
        Err(faults) => refused(&faults),
    }
}

/// Tables with the names of their columns.
const TABLES: [(&str, &str, &[&str]); 7] = [
    ("pump", "duty", &["head", "power", "flow"]),
    ("pump", "voltage_table", &["head", "voltage", "flow", "current"]),
    ("pump", "head_flow", &["head", "flow", "current"]),
    ("pump", "curve", &["flow", "head"]),
    ("pump", "efficiency_curve", &["flow", "efficiency"]),
    ("well", "step_test", &["flow", "drawdown"]),
    ("booster", "table", &["flow", "head", "current"]),
];

/// Every table in a CSV file of its own: the same to the last bit.
pub fn in_a_file(case: &Case, _: &mut Random, bench: &Bench) -> Outcome {
    let mut draft = case.draft.clone();
    let moved = TABLES.iter().filter(|(path, key, columns)| draft.put_into_file(path, key, columns)).count();
    if moved == 0 {
        return Outcome::NotHere;
    }
    match bench.run(&draft, Units::Si) {
        Ok(other) => equal(case, &other, &[]),
        Err(faults) => refused(&faults),
    }
}
