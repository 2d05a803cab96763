//! A thing cut into two equal halves is the same thing.

use dryspell::units::Quantity as Q;

use super::{Outcome, alike, refused};
use crate::case::{Bench, Case};
use crate::random::Random;
use crate::schemes::draft::{Draft, Table, Units, bare, quantity};

/// Copies a table and those below it under another name, behind the last of them.
fn copy(draft: &mut Draft, path: &str, other: &str) {
    let below = format!("{path}.");
    let within = |t: &&Table| t.path == path || t.path.starts_with(&below);
    let copies: Vec<Table> = draft
        .tables
        .iter()
        .filter(within)
        .map(|t| Table { path: t.path.replacen(path, other, 1), ..t.clone() })
        .collect();
    let last = draft.tables.iter().rposition(|t| within(&t)).unwrap();
    draft.tables.splice(last + 1..last + 1, copies);
}

fn compare(case: &Case, draft: &Draft, bench: &Bench, skip: &[&'static str]) -> Outcome {
    match bench.run(draft, Units::Si) {
        Ok(other) => alike(case, &other, skip),
        Err(faults) => refused(&faults),
    }
}

/// Half the heads in each of two herds.
pub fn herd(case: &Case, r: &mut Random, bench: &Bench) -> Outcome {
    let mut draft = case.draft.clone();
    let name = r.pick(&draft.names("herd")).clone();
    let (path, other) = (format!("herd.{name}"), format!("herd.{name}_too"));
    let count = draft.table(&path).unwrap().get("count").unwrap().times(0.5);
    draft.set(&path, "count", count);
    if let Some(crate::schemes::draft::Value::List(rows)) = draft.table(&path).unwrap().get("counts").cloned()
    {
        use crate::schemes::draft::Value::List;
        let halved = rows.into_iter().map(|row| {
            let List(cells) = row else { unreachable!() };
            List(vec![cells[0].clone(), cells[1].times(0.5)])
        });
        draft.set(&path, "counts", List(halved.collect()));
    }
    copy(&mut draft, &path, &other);
    compare(case, &draft, bench, &[])
}

/// Half the strings in each of two arrays, each on a cable of twice the resistance.
pub fn array(case: &Case, r: &mut Random, bench: &Bench) -> Outcome {
    let mut draft = case.draft.clone();
    let name = r.pick(&draft.names("array")).clone();
    let (path, other) = (format!("array.{name}"), format!("array.{name}_too"));
    let strings = draft.table(&path).unwrap().get("parallel").map_or(1.0, crate::schemes::draft::Value::base);
    let settings = case.run.plan.array.arrays.iter().find(|a| a.name == name).unwrap();
    // An odd number of strings is doubled first, in the run that it is held against too.
    let whole = if (strings as u32).is_multiple_of(2) { strings } else { 2.0 * strings };
    draft.set(&path, "parallel", bare(whole));
    let base = if whole == strings {
        None
    } else {
        match bench.run(&draft, Units::Si) {
            Ok(base) => Some(base),
            // Twice the panels may pass what a coupling bears.
            Err(_) => return Outcome::NotHere,
        }
    };
    draft.set(&path, "parallel", bare(whole / 2.0));
    if settings.cable_ohm > 0.0 {
        let cable = format!("{path}.cable");
        let table = draft.table_mut(&cable);
        ["length", "area", "awg"].iter().for_each(|key| table.remove(key));
        table.set("resistance", quantity(2.0 * settings.cable_ohm, "ohm", Q::Resistance));
    }
    copy(&mut draft, &path, &other);
    compare(base.as_ref().unwrap_or(case), &draft, bench, &[])
}

/// Half the length in each of two runs; the fittings stay in the first.
pub fn pipe(case: &Case, r: &mut Random, bench: &Bench) -> Outcome {
    let mut draft = case.draft.clone();
    let mut paths: Vec<String> = draft.names("pipe").iter().map(|n| format!("pipe.{n}")).collect();
    paths.extend(draft.names("delivery").iter().map(|n| format!("delivery.{n}")));
    paths.extend(draft.names("hydrant").iter().map(|n| format!("hydrant.{n}.pipe.branch")));
    // A weep hole must be in the run that ends at the wellhead, so that run is not cut.
    paths.retain(|path| !draft.has(path, "weep_hole"));
    if paths.is_empty() {
        return Outcome::NotHere;
    }
    let path = r.pick(&paths).clone();
    let length = draft.table(&path).unwrap().get("length").unwrap().times(0.5);
    draft.set(&path, "length", length);
    let other = format!("{path}_too");
    copy(&mut draft, &path, &other);
    draft.table_mut(&other).remove("fittings");
    compare(case, &draft, bench, &[])
}
