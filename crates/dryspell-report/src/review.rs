//! Many schemes in a table, a row each: for whoever has a pile of applications before him.

use std::fmt::Write;

use dryspell::results::{Severity, alerts, answer};
use dryspell::scheme::Scheme;
use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, column_number, column_unit, counted};
use dryspell::worksheet::rule_margin_m3;

use super::goal;
use super::layout::{table, trimmed, wrap_to};
use crate::inputs::Inputs;
use crate::values::{How, values};

/// What the page says of itself.
pub(crate) const NOTES: [&str; 4] = [
    "Days short are of a mean year of the record. The goal is the scheme's own [goal]; without one there is nothing to meet.",
    "Rule: three days of the peak month's mean draw in the tank (NRCS South Dakota SD2006-1); the margin is the tank less that.",
    "Assumed: values that the scheme leaves out. Without source: values that it gives and for which [sources] says nothing.",
    "Odd: inputs outside their usual range, or without effect. None of this is a verdict on the application: look at each.",
];

/// One scheme of the pile.
#[derive(Debug, Clone)]
pub struct Entry {
    /// Scheme file as typed.
    pub file: String,
    /// What it comes to, or the lines that say why it cannot be run.
    pub found: Result<Row, Vec<String>>,
}

/// What a scheme comes to.
#[derive(Debug, Clone)]
pub struct Row {
    /// Name of the scheme.
    pub name: Option<String>,
    /// The answer in words.
    pub answer: String,
    /// Days of shortfall in a mean year.
    pub short_days: f64,
    /// Whether its goal is met; `None` without a goal.
    pub goal_met: Option<bool>,
    /// Each thing that its goal asks: what, how much, what was found, margin, verdict.
    pub goal: Vec<[String; 5]>,
    /// Lowest level, m³.
    pub lowest_m3: f64,
    /// Days that a full tank lasts from the worst start hour; `None` where the record cannot tell.
    pub full_tank_days: Option<f64>,
    /// The tank less what the rule asks, m³.
    pub rule_margin_m3: f64,
    /// Keys that the scheme leaves out, with the value taken.
    pub assumed: Vec<String>,
    /// Keys that it gives without a source.
    pub without_source: Vec<String>,
    /// What can hurt stock or people.
    pub dangers: Vec<String>,
    /// What bears on every figure.
    pub bears: Vec<String>,
    /// Inputs that look odd.
    pub odd: Vec<String>,
}

impl Row {
    /// The row of a run; `text` is that of the scheme.
    #[must_use]
    pub fn of(run: &Run, scheme: &Scheme, text: &str, inputs: &Inputs, system: System) -> Self {
        let judged = run.goal();
        let values = values(run, scheme, text, inputs, system);
        let left_out = values.iter().filter(|value| matches!(value.how, How::Default | How::Assumed));
        // The scheme's own name and units have no source.
        let given = values
            .iter()
            .filter(|value| value.how == How::Given && value.source.is_none() && !value.table().is_empty());
        let alerts = alerts(run, system);
        let of = |severity: Severity| {
            let texts = alerts.iter().filter(|alert| alert.severity == severity);
            texts.map(|alert| alert.text.clone()).collect()
        };
        Self {
            name: scheme.name.clone(),
            answer: answer(run, system),
            short_days: f64::from(run.outcome.counts.shortfall_days) / run.calendar.years(),
            goal_met: judged.as_ref().map(dryspell::reliability::goal::Judgement::met),
            goal: judged.iter().flat_map(|judged| goal::rows(judged, system)).collect(),
            lowest_m3: run.outcome.lowest_m3,
            full_tank_days: run.full_tank.worst,
            rule_margin_m3: rule_margin_m3(run),
            assumed: left_out.map(|value| format!("{} = {}", value.key, value.value)).collect(),
            without_source: given.map(|value| value.key.clone()).collect(),
            dangers: of(Severity::Danger),
            bears: of(Severity::EveryFigure),
            odd: of(Severity::Input),
        }
    }
}

/// Heads of the columns; the unit of volumes stands in the second row.
pub(crate) const COLUMNS: [&str; 9] = [
    "",
    "days short",
    "goal",
    "lowest level",
    "full tank",
    "rule margin",
    "assumed",
    "without source",
    "odd",
];

/// The units below them.
pub(crate) fn units(system: System) -> [&'static str; 9] {
    let volume = column_unit(Quantity::Volume, system);
    ["", "a year", "", volume, "days", volume, "values", "values", "inputs"]
}

/// The cells of a scheme behind its name.
pub(crate) fn cells(entry: &Entry, system: System) -> [String; 8] {
    let Ok(row) = &entry.found else {
        return ["-", "cannot run", "-", "-", "-", "-", "-", "-"].map(str::to_owned);
    };
    let sign = if row.rule_margin_m3 > 0.0 { "+" } else { "" };
    let goal = match row.goal_met {
        None => "none",
        Some(true) => "met",
        Some(false) => "not met",
    };
    [
        trimmed(row.short_days, 1),
        goal.to_owned(),
        column_number(row.lowest_m3, Quantity::Volume, system),
        row.full_tank_days.map_or_else(|| "-".to_owned(), |days| format!("{days:.1}")),
        format!("{sign}{}", column_number(row.rule_margin_m3, Quantity::Volume, system)),
        row.assumed.len().to_string(),
        row.without_source.len().to_string(),
        row.odd.len().to_string(),
    ]
}

/// The page.
#[must_use]
pub fn page(entries: &[Entry], system: System) -> String {
    let mut out = String::new();
    wrap_to(&mut out, "", "", &title(entries));
    out.push_str("\nSCHEMES\n");
    let mut rows = vec![COLUMNS.map(str::to_owned).to_vec(), units(system).map(str::to_owned).to_vec()];
    for (number, entry) in entries.iter().enumerate() {
        rows.push(std::iter::once((number + 1).to_string()).chain(cells(entry, system)).collect());
    }
    table(&mut out, &rows);
    for (number, entry) in entries.iter().enumerate() {
        let _ = writeln!(out, "\n{}  {}", number + 1, entry_title(entry));
        for (label, text) in points(entry) {
            wrap_to(&mut out, &format!("  {label:<10}"), &" ".repeat(12), &text);
        }
    }
    out.push_str("\nHOW TO READ IT\n");
    for note in NOTES {
        wrap_to(&mut out, "  - ", "    ", note);
    }
    out
}

/// How many schemes, and how they fare.
pub(crate) fn title(entries: &[Entry]) -> String {
    let rows = || entries.iter().filter_map(|entry| entry.found.as_ref().ok());
    let count = |of: &dyn Fn(&Row) -> bool| rows().filter(|row| of(row)).count();
    let (short, met) = (count(&|row| row.short_days > 0.0), count(&|row| row.goal_met == Some(true)));
    let asked = count(&|row| row.goal_met.is_some());
    let refused = entries.len() - rows().count();
    let mut text = format!(
        "Of {}, {short} {} short on some day",
        counted(u32::try_from(entries.len()).unwrap_or(u32::MAX), "scheme"),
        if short == 1 { "goes" } else { "go" }
    );
    if asked > 0 {
        let _ = write!(text, "; {met} of {asked} with a goal {} it", if met == 1 { "meets" } else { "meet" });
    }
    if refused > 0 {
        let _ = write!(text, "; {refused} cannot be run as written");
    }
    text + "."
}

/// A scheme's name and file.
pub(crate) fn entry_title(entry: &Entry) -> String {
    let name = entry.found.as_ref().ok().and_then(|row| row.name.as_deref());
    name.map_or_else(|| entry.file.clone(), |name| format!("{name} ({})", entry.file))
}

/// What there is to say of a scheme, point by point.
pub(crate) fn points(entry: &Entry) -> Vec<(&'static str, String)> {
    let row = match &entry.found {
        Ok(row) => row,
        Err(lines) => return lines.iter().map(|line| ("fault", line.clone())).collect(),
    };
    let mut points = vec![("answer", row.answer.clone())];
    points.extend(row.goal.iter().map(|[what, asked, found, margin, verdict]| {
        ("goal", format!("{what}: asked {asked}, found {found}, margin {margin}: {verdict}"))
    }));
    points.extend(row.dangers.iter().map(|text| ("danger", text.clone())));
    points.extend(row.bears.iter().map(|text| ("figures", text.clone())));
    points.extend(row.odd.iter().map(|text| ("odd", text.clone())));
    if !row.assumed.is_empty() {
        points.push(("assumed", by_table(&row.assumed)));
    }
    if !row.without_source.is_empty() {
        points.push(("no source", by_table(&row.without_source)));
    }
    points
}

/// Keys, some with a value, of one table side by side under its name.
fn by_table(keys: &[String]) -> String {
    let mut tables: Vec<(&str, Vec<&str>)> = Vec::new();
    for text in keys {
        let key = text.split_once(" = ").map_or(text.as_str(), |(key, _)| key);
        let table = key.rsplit_once('.').map_or("", |(table, _)| table);
        let rest = if table.is_empty() { text } else { &text[table.len() + 1..] };
        match tables.iter_mut().find(|(name, _)| *name == table) {
            Some((_, all)) => all.push(rest),
            None => tables.push((table, vec![rest])),
        }
    }
    let one = |(table, all): &(&str, Vec<&str>)| {
        let all = all.join(", ");
        if table.is_empty() { all } else { format!("{table}: {all}") }
    };
    tables.iter().map(one).collect::<Vec<_>>().join("; ")
}
