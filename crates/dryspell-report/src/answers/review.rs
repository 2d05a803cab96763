//! Many schemes, a row each.

use schemars::JsonSchema;
use serde::Serialize;

use crate::review::{Entry, Row, title};

/// What `dryspell review --json` writes: many schemes, a row each.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ReviewAnswer {
    /// Name and version of this shape.
    schema: &'static str,
    /// How the schemes fare, in words.
    answer: String,
    /// Version of the program.
    program_version: &'static str,
    /// The schemes in the order typed.
    schemes: Vec<SchemeTold>,
}

/// One scheme.
#[derive(Debug, Serialize, JsonSchema)]
struct SchemeTold {
    /// The scheme file as typed.
    file: String,
    /// Why it cannot be run; empty where it was run.
    faults: Vec<String>,
    /// What it comes to; null where it cannot be run.
    found: Option<RowTold>,
}

/// What a scheme comes to.
#[derive(Debug, Serialize, JsonSchema)]
struct RowTold {
    /// Name of the scheme.
    name: Option<String>,
    /// The answer in words.
    answer: String,
    /// Days of shortfall in a mean year of the record.
    short_days_a_year: f64,
    /// Whether its goal is met; null without a goal.
    goal_met: Option<bool>,
    /// Each thing that the goal asks.
    goal: Vec<AskedTold>,
    /// Lowest level, m3.
    lowest_m3: f64,
    /// Days that a full tank lasts from the worst start hour; null where the record cannot tell.
    full_tank_days: Option<f64>,
    /// Usable volume of the tank less three days of the peak month's mean draw, m3.
    rule_margin_m3: f64,
    /// Values that the scheme leaves out, as taken.
    assumed: Vec<String>,
    /// Keys that it gives without a source.
    without_source: Vec<String>,
    /// What can hurt stock or people.
    dangers: Vec<String>,
    /// What bears on every figure.
    bears_on_every_figure: Vec<String>,
    /// Inputs outside their usual range, or without effect.
    odd_inputs: Vec<String>,
}

/// One thing that a goal asks, in words with units.
#[derive(Debug, Serialize, JsonSchema)]
struct AskedTold {
    /// What is asked.
    what: String,
    /// How much of it.
    asked: String,
    /// What was found.
    found: String,
    /// What was found less what is asked.
    margin: String,
    /// Whether it is met.
    verdict: String,
}

/// The answer.
#[must_use]
pub fn review_answer(entries: &[Entry]) -> ReviewAnswer {
    let told = |entry: &Entry| SchemeTold {
        file: entry.file.clone(),
        faults: entry.found.as_ref().err().cloned().unwrap_or_default(),
        found: entry.found.as_ref().ok().map(row_told),
    };
    ReviewAnswer {
        schema: "dryspell-review-1",
        answer: title(entries),
        program_version: env!("CARGO_PKG_VERSION"),
        schemes: entries.iter().map(told).collect(),
    }
}

fn row_told(row: &Row) -> RowTold {
    let asked = |[what, asked, found, margin, verdict]: &[String; 5]| AskedTold {
        what: what.clone(),
        asked: asked.clone(),
        found: found.clone(),
        margin: margin.clone(),
        verdict: verdict.clone(),
    };
    RowTold {
        name: row.name.clone(),
        answer: row.answer.clone(),
        short_days_a_year: row.short_days,
        goal_met: row.goal_met,
        goal: row.goal.iter().map(asked).collect(),
        lowest_m3: row.lowest_m3,
        full_tank_days: row.full_tank_days,
        rule_margin_m3: row.rule_margin_m3,
        assumed: row.assumed.clone(),
        without_source: row.without_source.clone(),
        dangers: row.dangers.clone(),
        bears_on_every_figure: row.bears.clone(),
        odd_inputs: row.odd.clone(),
    }
}
