//! The starter's text while it is filled in. Its notes stay.

use std::path::{Path, PathBuf};

use dryspell::fault::{Fault, FaultKind};
use dryspell::scheme::{STARTER, Scheme, written};
use dryspell::sweep::set;

use crate::tables::Tables;

/// A scheme that is being filled in.
#[derive(Debug, Clone)]
pub(super) struct Draft {
    /// Its text.
    pub(super) text: String,
    /// Where it will lie.
    pub(super) folder: PathBuf,
}

impl Draft {
    /// The starter, to lie in a folder.
    pub(super) fn starter(folder: &Path) -> Self {
        // The first lines say that all of it is invented, and what to do before it runs.
        let (_, rest) = STARTER.split_once("#\n").unwrap_or(("", STARTER));
        let head = "# A stock-water scheme for dryspell, begun with `dryspell new --ask`. What was not asked is invented: look it through.\n";
        Self { text: format!("{head}#\n{rest}"), folder: folder.to_owned() }
    }

    /// The scheme as it reads now. Tables are read anew each time: a file may have been put right.
    pub(super) fn read(&self) -> Result<Scheme, Vec<Fault>> {
        let tables = Tables::in_folder(&self.folder);
        Scheme::from_toml_with(&self.text, &|name| tables.text(name)).map_err(Into::into)
    }

    /// What is still at fault.
    pub(super) fn faults(&self) -> Vec<Fault> {
        self.read().err().unwrap_or_default()
    }

    /// Sets a key, if the scheme's reader finds no fault at it; else the fault in its own words.
    pub(super) fn set(&mut self, key: &str, answer: &str) -> Result<(), String> {
        let text = set(&shown(&self.text, key), &[format!("{key} = {answer}")]);
        let then = Self { text: text.map_err(|fault| words(&fault))?, folder: self.folder.clone() };
        // What is missing elsewhere is asked for later.
        let at_it = |fault: &&Fault| {
            fault.kind == FaultKind::Syntax
                || fault.location.key.as_deref().is_some_and(|at| {
                    at.strip_prefix(key).is_some_and(|rest| rest.is_empty() || rest.starts_with(['[', ',']))
                })
        };
        match then.faults().iter().find(at_it) {
            Some(fault) => Err(words(fault)),
            None => {
                self.text = then.text;
                Ok(())
            }
        }
    }

    /// Sets a key, whatever the reader finds of it.
    pub(super) fn keep(&mut self, key: &str, answer: &str) -> Result<(), String> {
        self.text =
            set(&shown(&self.text, key), &[format!("{key} = {answer}")]).map_err(|fault| words(&fault))?;
        Ok(())
    }

    /// Makes a note of a key that stands there, so that it is left out.
    pub(super) fn leave_out(&mut self, key: &str) {
        let Some((first, last)) = lines_of(&self.text, key, "") else { return };
        let lines = self.text.lines().enumerate().map(|(n, line)| {
            if (first..=last).contains(&n) { format!("# {line}\n") } else { format!("{line}\n") }
        });
        self.text = lines.collect();
    }

    /// A value as it is written now.
    pub(super) fn value(&self, key: &str) -> Option<String> {
        let (table, name) = key.rsplit_once('.').unwrap_or(("", key));
        let tables = written(&self.text);
        let values = &tables.iter().find(|t| t.table == table)?.values;
        values.iter().find(|(key, _)| key == name).map(|(_, value)| value.clone())
    }
}

/// A fault without its place, which the question tells.
fn words(fault: &Fault) -> String {
    format!("{}; {}; {}", fault.found, fault.accepted, fault.way_out)
}

/// The text with a key shown that stands in it as a note.
fn shown(text: &str, key: &str) -> String {
    if lines_of(text, key, "").is_some() {
        return text.to_owned();
    }
    let Some((first, last)) = lines_of(text, key, "# ") else { return text.to_owned() };
    let lines = text.lines().enumerate().map(|(n, line)| {
        let bare = if (first..=last).contains(&n) { line.strip_prefix("# ").unwrap_or(line) } else { line };
        format!("{bare}\n")
    });
    lines.collect()
}

/// First and last line of a key in its table, where each begins so.
fn lines_of(text: &str, key: &str, mark: &str) -> Option<(usize, usize)> {
    let (table, name) = key.rsplit_once('.').unwrap_or(("", key));
    let lines: Vec<&str> = text.lines().collect();
    let is_header = |line: &str| line.starts_with('[') || line.starts_with("# [");
    let begin = if table.is_empty() { 0 } else { lines.iter().position(|l| *l == format!("[{table}]"))? + 1 };
    let end = lines[begin..].iter().position(|line| is_header(line)).map_or(lines.len(), |n| begin + n);
    let first = begin + lines[begin..end].iter().position(|l| l.starts_with(&format!("{mark}{name} = ")))?;
    // A list over several lines ends with a bracket at the margin.
    let many = lines[first].trim_end().ends_with('[');
    let last = if many {
        first + lines[first..].iter().position(|l| l.starts_with(&format!("{mark}]")))?
    } else {
        first
    };
    Some((first, last))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_set_where_they_stand_and_notes_stay() {
        let mut draft = Draft::starter(Path::new(""));
        let lines = draft.text.lines().count();
        draft.set("tank.main.capacity", "14 m3").unwrap();
        draft.set("array.main.parallel", "2").unwrap();
        draft.set("weather.latitude", "47.1 deg").unwrap();
        assert!(
            draft.text.contains("\ncapacity = \"14 m3\"                   # between outlet and overflow"),
            "{}",
            draft.text
        );
        assert!(draft.text.contains("\nparallel = 2                       # strings in parallel"));
        assert!(draft.text.contains("\nlatitude = \"47.1 deg\"              # north positive"));
        assert_eq!(draft.text.lines().count(), lines);
        draft.leave_out("pump.duty");
        assert!(draft.text.contains("\n# duty = [\n#   [\"20 m\", \"60 W\", \"4 L/min\"],"));
        assert_eq!(draft.value("pump.duty"), None);
        assert_eq!(draft.text.lines().count(), lines);
        draft.set("pump.kind", "centrifugal").unwrap();
        assert!(draft.text.contains("\nkind = \"centrifugal\"     # or \"volt table\""));
    }

    #[test]
    fn a_refusal_has_the_words_of_the_scheme_s_reader() {
        let mut draft = Draft::starter(Path::new(""));
        let before = draft.text.clone();
        assert_eq!(
            draft.set("tank.main.capacity", "14").unwrap_err(),
            "\"14\" has no unit; a volume carries its unit: L, gal, m3, mL, imp gal, ft3; write \"14 m3\""
        );
        assert!(draft.set("herd.cows.count", "many").unwrap_err().contains("number"));
        assert!(draft.set("array.main.azimuth", "sauth").unwrap_err().ends_with("did you mean \"south\"?"));
        assert!(draft.set("pump.duty", "nowhere.csv").unwrap_err().contains("no such file"));
        assert!(draft.set("tank.main.capacity", "-2 m3").unwrap_err().contains("out of range"));
        assert_eq!(draft.text, before);
    }
}
