//! Pumps, panels and couplings in order: what serves the herd, at what cost.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

use dryspell::units::{Quantity, System, counted, show};

use crate::error::Error;
use crate::layout::{table, trimmed, wrap_to};

/// One that ran.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// The pump's name.
    pub pump: String,
    /// Kind of the coupling.
    pub coupling: String,
    /// Value of the array's key.
    pub array: String,
    /// Modules of all arrays.
    pub modules: u32,
    /// Days of shortfall a year.
    pub days: f64,
    /// Least water at the end of any hour, m³.
    pub lowest_m3: f64,
    /// Whether the goal is met; `None` without a goal.
    pub goal_met: Option<bool>,
    /// What pump, coupling and modules cost; `None` where a price is not known.
    pub cost: Option<f64>,
}

impl Choice {
    /// Whether it comes to what is asked: the goal, or else no day of shortfall.
    fn serves(&self) -> bool {
        self.goal_met.unwrap_or(self.days == 0.0)
    }
}

/// One that could not run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// The pump's name.
    pub pump: String,
    /// Kind of the coupling.
    pub coupling: String,
    /// Value of the array's key.
    pub array: String,
    /// Why.
    pub why: String,
}

/// All that the page is made from.
#[derive(Debug)]
pub struct Page<'a> {
    /// Scheme file as typed.
    pub file: &'a str,
    /// Folder of the pumps.
    pub folder: &'a str,
    /// Key of the array.
    pub axis: &'a str,
    /// What ran.
    pub choices: Vec<Choice>,
    /// What did not.
    pub left_out: Vec<LeftOut>,
    /// Units that come first.
    pub system: System,
}

/// The page, and whether anything serves.
#[derive(Debug)]
pub struct ChoicePage {
    /// The page.
    pub text: String,
    /// Whether anything serves.
    pub met: bool,
}

/// Puts them in order: first what comes to what is asked, the cheapest first (without all prices the one with fewest modules); then what
/// does not, fewest days of shortfall first.
#[must_use]
pub fn page(p: &Page<'_>) -> ChoicePage {
    let priced = !p.choices.is_empty() && p.choices.iter().all(|choice| choice.cost.is_some());
    let mut order: Vec<&Choice> = p.choices.iter().collect();
    order.sort_by(|a, b| {
        let cheap = |c: &Choice| if priced { c.cost.unwrap_or(f64::INFINITY) } else { f64::from(c.modules) };
        let days =
            if a.serves() && b.serves() { std::cmp::Ordering::Equal } else { a.days.total_cmp(&b.days) };
        b.serves()
            .cmp(&a.serves())
            .then(days)
            .then(cheap(a).total_cmp(&cheap(b)))
            .then(a.days.total_cmp(&b.days))
            .then(b.lowest_m3.total_cmp(&a.lowest_m3))
    });
    let goal = order.iter().any(|choice| choice.goal_met.is_some());
    let met = order.first().is_some_and(|first| first.serves());
    let asked = if goal { "meets the goal" } else { "leaves no day short" };
    let mut out = String::new();
    let answer = match order.first() {
        Some(first) if met => format!(
            "{} by {} with {} = {} ({}) {asked}{}.",
            first.pump,
            first.coupling,
            p.axis,
            first.array,
            counted(first.modules, "module"),
            if priced { " at the least cost" } else { " with the fewest modules" }
        ),
        Some(_) => format!("Nothing that was tried {asked}."),
        None => "Nothing that was tried can run.".to_owned(),
    };
    wrap_to(&mut out, "", "", &answer);
    let _ = writeln!(
        out,
        "\nCHOICES  {}, pumps of {}: {} tried",
        p.file,
        p.folder,
        p.choices.len() + p.left_out.len()
    );
    if order.is_empty() {
        out.push_str("  none\n");
    } else {
        // The first of each pump and coupling: larger arrays of the same two hide the next pump.
        let mut seen = BTreeSet::new();
        let first: Vec<&Choice> =
            order.iter().copied().filter(|choice| seen.insert((&choice.pump, &choice.coupling))).collect();
        rows(&mut out, p, &first, goal, priced);
        if order.len() > first.len() {
            let _ = writeln!(
                out,
                "  each pump and coupling with its first array in this order; all {} by --csv",
                order.len()
            );
        }
    }
    if !priced && !order.is_empty() {
        wrap_to(
            &mut out,
            "  ",
            "  ",
            "in order of modules: a cost needs price in each pump's file, and module, tracker and current_booster under [price] of the scheme",
        );
    }
    left_out(&mut out, p);
    let _ = writeln!(out);
    wrap_to(
        &mut out,
        "",
        "",
        "Each is a run of the scheme with that pump, coupling and array, all else as it is. Makers' tables decide: ask for them at your head.",
    );
    ChoicePage { text: out, met }
}

/// A row for each choice.
fn rows(out: &mut String, p: &Page<'_>, choices: &[&Choice], goal: bool, priced: bool) {
    let mut head = vec!["pump", "coupling", p.axis, "modules", "days short", "lowest level"];
    if goal {
        head.push("goal");
    }
    if priced {
        head.push("cost");
    }
    let mut rows = vec![head.into_iter().map(str::to_owned).collect::<Vec<_>>()];
    for choice in choices {
        let mut row = vec![
            choice.pump.clone(),
            choice.coupling.clone(),
            choice.array.clone(),
            choice.modules.to_string(),
            trimmed(choice.days, 1),
            show(choice.lowest_m3, Quantity::Volume, p.system),
        ];
        if goal {
            row.push(if choice.goal_met == Some(true) { "MET" } else { "NOT MET" }.to_owned());
        }
        if priced {
            row.push(choice.cost.map_or_else(String::new, |cost| format!("{cost:.0}")));
        }
        rows.push(row);
    }
    table(out, &rows);
}

/// What could not run, each reason once: a coupling's, and behind it the pumps; sizes of the array only where others of them ran.
fn left_out(out: &mut String, p: &Page<'_>) {
    if p.left_out.is_empty() {
        return;
    }
    let _ = writeln!(out, "\nLEFT OUT");
    let mut arrays: BTreeMap<(&str, &str, &str), Vec<&str>> = BTreeMap::new();
    for left in &p.left_out {
        arrays.entry((&left.coupling, &left.why, &left.pump)).or_default().push(&left.array);
    }
    let mut reasons: BTreeMap<(&str, &str), Vec<String>> = BTreeMap::new();
    for ((coupling, why, pump), arrays) in arrays {
        let ran = p.choices.iter().any(|choice| choice.pump == pump && choice.coupling == coupling);
        let pump = if ran { format!("{pump} ({} = {})", p.axis, arrays.join(", ")) } else { pump.to_owned() };
        reasons.entry((coupling, why)).or_default().push(pump);
    }
    for ((coupling, why), pumps) in reasons {
        wrap_to(out, "  ", "    ", &format!("{coupling} with {}: {why}", pumps.join(", ")));
    }
}

/// All that ran, in the order in which they were tried, as CSV: SI units in the names of the columns.
///
/// # Errors
/// What the writer of CSV reports.
pub fn choices_csv(choices: &[Choice]) -> Result<String, Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record([
        "pump",
        "coupling",
        "array",
        "modules",
        "days_short_a_year",
        "lowest_level_m3",
        "goal_met",
        "cost",
    ])?;
    for choice in choices {
        writer.write_record([
            choice.pump.clone(),
            choice.coupling.clone(),
            choice.array.clone(),
            choice.modules.to_string(),
            choice.days.to_string(),
            choice.lowest_m3.to_string(),
            choice.goal_met.map_or_else(String::new, |met| met.to_string()),
            choice.cost.map_or_else(String::new, |cost| cost.to_string()),
        ])?;
    }
    let bytes = writer.into_inner().map_err(csv::IntoInnerError::into_error)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
