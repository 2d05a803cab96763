//! What a change of a scheme came to: the new answer, the keys that changed, the headline figures before and now.

use dryspell::results::{HEADLINES, answer};
use dryspell::scheme::Scheme;
use dryspell::simulate::Run;
use dryspell::units::System;

use super::compare::{WIDEST, keys, name, shown, unit};
use super::inputs::{Input, Inputs, Role};
use super::layout::{table, wrap_to};

/// A run, and all that it was of: what the next is held against.
#[derive(Debug)]
pub struct State {
    /// Text of the scheme.
    pub text: String,
    /// What it says.
    pub scheme: Scheme,
    /// Its run.
    pub run: Run,
    /// All that it rests on.
    pub inputs: Inputs,
}

/// Headlines that are told when they differ; of all others only how many.
const FIGURES: [&str; 11] = [
    "goal_met",
    "shortfall_days",
    "spells",
    "longest_spell_days",
    "volume_served_percent",
    "worst_day_short_percent",
    "longest_dry_hours",
    "haul_m3",
    "full_tank_autonomy_days.worst",
    "autonomy_in_service_days.min",
    "storage_needed_m3",
];

/// The new answer with what changed.
///
/// # Example
/// See `dryspell run --watch`, which prints this whenever a file is saved.
#[must_use]
pub fn page(before: &State, now: &State, system: System) -> String {
    let mut out = String::new();
    wrap_to(&mut out, "", "", &answer(&now.run, system));
    out.push('\n');
    given(&mut out, before, now);
    out.push('\n');
    figures(&mut out, before, now, system);
    out
}

/// What was given anew: keys of the scheme, and the content of other files.
fn given(out: &mut String, before: &State, now: &State) {
    let (old, new) = (keys(&before.text, &before.scheme), keys(&now.text, &now.scheme));
    let value = |list: &[(String, String)], key: &str| {
        list.iter().find(|(k, _)| k == key).map_or_else(|| "-".to_owned(), |(_, value)| value.clone())
    };
    let mut names: Vec<&str> = new.iter().map(|(key, _)| key.as_str()).collect();
    names.extend(old.iter().map(|(key, _)| key.as_str()).filter(|key| !new.iter().any(|(k, _)| k == key)));
    let mut rows = vec![["changed", "before", "now"].map(str::to_owned).to_vec()];
    let mut long = Vec::new();
    for key in names {
        let (was, is) = (value(&old, key), value(&new, key));
        if was == is {
            continue;
        }
        let is_long = |text: &str| text.chars().count() > WIDEST;
        if is_long(&was) || is_long(&is) {
            long.extend(stretch(key, &was, &is));
        } else {
            rows.push(vec![key.to_owned(), was, is]);
        }
    }
    let files = other_files(before, now);
    if rows.len() > 1 {
        table(out, &rows);
    } else if long.is_empty() && files.is_empty() {
        out.push_str("  changed: no value; remarks, spaces or the order\n");
    }
    for text in long.iter().chain(&files) {
        wrap_to(out, "  ", "      ", text);
    }
}

/// A long value in lines of its own; of rows those alone that differ, where as many stand in both.
fn stretch(key: &str, was: &str, is: &str) -> Vec<String> {
    let rows = |text: &str| -> Vec<String> {
        text.split("), (").map(|row| row.trim_matches(['(', ')']).to_owned()).collect()
    };
    let (old, new) = (rows(was), rows(is));
    if old.len() < 2 || old.len() != new.len() {
        return vec![format!("{key} before: {was}"), format!("{key} now: {is}")];
    }
    let both = old.iter().zip(&new).enumerate().filter(|(_, (was, is))| was != is);
    both.map(|(row, (was, is))| format!("{key}, row {}: before {was}; now {is}", row + 1)).collect()
}

/// Files beside the scheme whose content is another, or which are here or there alone.
fn other_files(before: &State, now: &State) -> Vec<String> {
    let beside = |state: &State| -> Vec<Input> {
        let files = [Role::Weather, Role::Climate, Role::Table];
        state.inputs.sorted().into_iter().filter(|input| files.contains(&input.role)).collect()
    };
    let (old, new) = (beside(before), beside(now));
    let named = |list: &[Input], name: &str| list.iter().find(|input| input.name == name).cloned();
    let mut told: Vec<String> = new
        .iter()
        .filter_map(|input| match named(&old, &input.name) {
            Some(was) if was.sha256 == input.sha256 => None,
            Some(_) => Some(format!("{}: other content", input.name)),
            None => Some(format!("{}: read now, not before", input.name)),
        })
        .collect();
    let gone = old.iter().filter(|input| named(&new, &input.name).is_none());
    told.extend(gone.map(|input| format!("{}: read before, not now", input.name)));
    told
}

fn figures(out: &mut String, before: &State, now: &State, system: System) {
    let mut rows = vec![["figure", "unit", "before", "now"].map(str::to_owned).to_vec()];
    let mut others = 0;
    for field in HEADLINES {
        let value = |state: &State| shown(&(field.get)(&state.run, 0), field.unit, system);
        let (was, is) = (value(before), value(now));
        if was == is {
            continue;
        }
        if FIGURES.contains(&field.name) {
            rows.push(vec![name(field.name), unit(field.unit, system).to_owned(), was, is]);
        } else {
            others += 1;
        }
    }
    match (rows.len() > 1, others) {
        (false, 0) => out.push_str("  no figure differs\n"),
        (false, _) => out.push_str("  none of the first figures differs\n"),
        (true, _) => table(out, &rows),
    }
    if others > 0 {
        wrap_to(out, "  ", "  ", &format!("other figures that differ: {others}"));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_a_long_table_the_rows_that_differ_are_told() {
        let was = "(20 m, 45 W, 2.5 L/min), (20 m, 100 W, 8.5 L/min)";
        let is = "(20 m, 44 W, 2.5 L/min), (20 m, 100 W, 8.5 L/min)";
        assert_eq!(
            stretch("pump.duty", was, is),
            ["pump.duty, row 1: before 20 m, 45 W, 2.5 L/min; now 20 m, 44 W, 2.5 L/min"]
        );
        assert_eq!(stretch("pump.duty", "pump.csv", is).len(), 2);
    }

    #[test]
    fn every_figure_told_is_a_headline() {
        for name in FIGURES {
            assert!(HEADLINES.iter().any(|field| field.name == name), "{name}");
        }
    }
}
