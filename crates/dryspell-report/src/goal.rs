//! The goal and what came of it, in words: the same on the terminal, in `odds`, `size` and the document.

use dryspell::plan::Plan;
use dryspell::reliability::goal::{Asked, FEWEST_YEARS, Judgement, Row};
use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, counted, show};

use crate::layout::{table, trimmed, wrap_to};

/// Heads of the columns of [`rows`].
pub(crate) const COLUMNS: [&str; 5] = ["", "asked", "found", "margin", ""];

/// The verdict on the whole.
pub(crate) fn title(judged: &Judgement) -> String {
    format!("GOAL {}", judged.text())
}

/// Each thing asked: what, how much, what was found, the margin, the verdict.
pub(crate) fn rows(judged: &Judgement, system: System) -> Vec<[String; 5]> {
    let row = |row: &Row| {
        let value = |value: Option<f64>| {
            value.map_or_else(|| "-".to_owned(), |value| amount(row.asked, value, system))
        };
        let sign = if row.margin().is_some_and(|margin| margin > 0.0) { "+" } else { "" };
        [
            row.asked.text().to_owned(),
            limit(row.asked, row.limit, system),
            value(row.found),
            sign.to_owned() + &value(row.margin()),
            row.verdict.text().to_owned(),
        ]
    };
    judged.rows.iter().map(row).collect()
}

/// What must be known to read the rows.
pub(crate) fn notes(judged: &Judgement, plan: &Plan) -> Vec<String> {
    let mut notes = vec!["The margin is what was found less what is asked.".to_owned()];
    if plan.backup.is_some() {
        notes.push("Judged without the backup.".to_owned());
    }
    notes.extend(judged.rows.iter().find(|row| row.asked == Asked::DryYearsInTen).map(years));
    notes
}

/// What the count of dry years rests on.
fn years(row: &Row) -> String {
    match (row.years, row.interval) {
        (Some(years), Some(interval)) => format!(
            "Dry years: {} of {} with a day of shortfall; the record allows {:.1} to {:.1} in ten (95 %, Clopper and Pearson), \
             if years are independent and alike.",
            years.with(),
            counted(years.of(), "whole measured tank year"),
            interval.low,
            interval.high
        ),
        (Some(years), None) => {
            // Ten years whose tank year begins elsewhere have lost one at their ends.
            let way_out = if years.of() + 1 == FEWEST_YEARS {
                " One more would be whole if the tank year began with the record (rules.tank_year_starts)."
            } else {
                ""
            };
            format!(
                "Dry years in ten need {FEWEST_YEARS} whole measured tank years; this record has {}.{way_out}",
                years.of()
            )
        }
        (None, _) => "Dry years in ten need measured years; nobody measured those of this record.".to_owned(),
    }
}

/// How much is asked: at most, or at least.
fn limit(asked: Asked, limit: f64, system: System) -> String {
    format!("{} {}", if asked.at_least() { "at least" } else { "at most" }, amount(asked, limit, system))
}

/// A value in its unit.
fn amount(asked: Asked, value: f64, system: System) -> String {
    match asked {
        Asked::LowestLevel => show(value, Quantity::Volume, system),
        Asked::DryHoursInARow => format!("{} h", trimmed(value, 2)),
        Asked::ShortDays | Asked::Autonomy => some(value, "day"),
        Asked::DryYearsInTen => trimmed(value, 2),
    }
}

/// So much of something, in the plural but for one.
fn some(value: f64, what: &str) -> String {
    let number = trimmed(value, 2);
    let plural = if number == "1" || number == "-1" { "" } else { "s" };
    format!("{number} {what}{plural}")
}

/// All that a plan's goal asks, in a line; nothing without one.
pub(crate) fn asked(plan: &Plan, system: System) -> String {
    let part = |(asked, limit): (Asked, f64)| match asked {
        Asked::ShortDays => format!("at most {} of shortfall in a mean year", some(limit, "day")),
        Asked::DryHoursInARow => format!("at most {} in a row", some(limit, "dry hour")),
        Asked::LowestLevel => format!("a lowest level of at least {}", amount(asked, limit, system)),
        Asked::Autonomy => format!("a full tank lasts at least {}", some(limit, "day")),
        Asked::DryYearsInTen => format!("at most {} in ten", some(limit, "dry year")),
    };
    plan.goal.iter().flat_map(|goal| goal.limits()).map(part).collect::<Vec<_>>().join("; ")
}

/// The goal of a run as a block of lines; nothing without one.
pub(crate) fn block(run: &Run, system: System) -> String {
    let Some(judged) = run.goal() else { return String::new() };
    let mut out = title(&judged) + "\n";
    let rows = rows(&judged, system);
    // Verdicts stand under each other at their beginning, whatever their length.
    let numbers = |row: &[String; 5]| row[..4].to_vec();
    let head = COLUMNS[..4].iter().map(|name| (*name).to_owned()).collect();
    let mut left = String::new();
    table(&mut left, &std::iter::once(head).chain(rows.iter().map(numbers)).collect::<Vec<_>>());
    let verdicts = std::iter::once("").chain(rows.iter().map(|row| row[4].as_str()));
    for (line, verdict) in left.lines().zip(verdicts) {
        out += format!("{line}   {verdict}").trim_end();
        out.push('\n');
    }
    wrap_to(&mut out, "  ", "  ", &notes(&judged, &run.plan).join(" "));
    out
}
