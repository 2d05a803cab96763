//! What must hold between two runs.

mod halves;
mod inflow;
mod lanes;
mod march;
mod nothing;
mod order;
mod program;
mod sizes;
mod turned;

use crate::case::{Bench, Case};
use crate::compare::{Allow, columns_differ, differences, figures};
use crate::random::Random;
use dryspell::simulate::AnswersBy;

/// How it went.
pub enum Outcome {
    Held,
    /// The relation says nothing of such a scheme.
    NotHere,
    Failed(String),
}

/// A relation between a run and another one.
pub struct Relation {
    pub name: &'static str,
    pub holds: fn(&Case, &mut Random, &Bench) -> Outcome,
}

pub const RELATIONS: &[Relation] = &[
    Relation { name: "the year begun in another month", holds: turned::rotated },
    Relation { name: "the year given twice", holds: turned::twice },
    Relation { name: "a herd in two halves", holds: halves::herd },
    Relation { name: "an array in two halves", holds: halves::array },
    Relation { name: "a pipe in two halves", holds: halves::pipe },
    Relation { name: "tables in another order", holds: order::tables },
    Relation { name: "the same scheme in US units", holds: order::us_units },
    Relation { name: "a pump's table in a file", holds: order::in_a_file },
    Relation { name: "a part that cannot matter", holds: nothing::added },
    Relation { name: "lanes as hour by hour", holds: lanes::as_alone },
    Relation { name: "more inflow is never worse", holds: inflow::more },
    Relation { name: "books of herds", holds: march::books },
    Relation { name: "the march where the columns answer", holds: march::across_the_seam },
    Relation { name: "a spring besides is never worse", holds: march::a_spring },
    Relation { name: "a backup changes no verdict", holds: march::a_backup },
    Relation { name: "the tank that is enough is, one step less not", holds: sizes::enough },
    Relation { name: "size's answer meets its target, one step less not", holds: sizes::size },
    Relation { name: "a case of a sweep is a run", holds: program::sweep },
    Relation { name: "parts gathered are the whole", holds: program::gather },
    Relation { name: "the document's figures are the run's", holds: program::document },
];

/// Figures that hang on the tank's course.
const OF_THE_TANK: &[&str] = &[
    "shortfall",
    "spells",
    "longest",
    "dry_hours",
    "worst",
    "days_served",
    "volume_served",
    "haul",
    "autonomy_in_service",
    "start_m3",
    "end_m3",
    "lifted",
    "weep",
    "riser",
    "pumped",
    "drawn",
    "short",
    "curtailed",
    "spilled",
    "losses",
    "garden_m3",
    "settled",
    "passes",
    "start_power_ends",
    "snow_by_rain",
    "panels_covered",
    "limit_hours",
    "ledger_residual",
    "months",
    "years",
    "tank_year",
    "critical_spell",
    "below_lowest",
];

/// Two runs of one year that may differ by a grid step an hour.
fn alike(case: &Case, other: &Case, skip: &[&'static str]) -> Outcome {
    let mut allow = Allow::grid(&case.run).skipping(&["ledger_residual"]).skipping(skip);
    // A float's band turns a step of the grid into hours of pumping: of such tanks what lies before them is compared.
    if case.has_band() {
        allow = allow.skipping(OF_THE_TANK);
    }
    let mut found = columns_before_the_tank(case, other);
    found.extend(differences(&figures(&case.run), &figures(&other.run), &allow));
    held(found)
}

/// What two hours of a column may be apart, m³: a step of the grid each; in the march what is asked of a tank hangs on what was
/// owed, which carries the steps of a day's shares.
fn apart_m3(case: &Case, column: &str) -> f64 {
    let hours = if case.run.answers_by == AnswersBy::March && column == "requested" { 24.0 } else { 1.0 };
    // Each well's water is put on the grid by itself.
    let wells = if column == "available" { 1.0 + case.run.plan.lifts.len() as f64 } else { 1.0 };
    hours * wells * 2.0 * crate::compare::STEP_M3
}

/// Columns before the tank, by hour.
fn columns_before_the_tank(case: &Case, other: &Case) -> Vec<String> {
    let (a, b) = (&case.run.flows, &other.run.flows);
    [
        ("available", &a.available_m3, &b.available_m3),
        ("requested", &a.requested_m3, &b.requested_m3),
        ("garden", &a.garden_m3, &b.garden_m3),
        ("evaporation", &a.evaporation_m3, &b.evaporation_m3),
        ("leak", &a.leak_m3, &b.leak_m3),
    ]
    .into_iter()
    .filter_map(|(name, a, b)| columns_differ(name, a, b, apart_m3(case, name)))
    .collect()
}

/// Two runs equal to the last bit.
fn equal(case: &Case, other: &Case, skip: &[&'static str]) -> Outcome {
    held(differences(&figures(&case.run), &figures(&other.run), &Allow::nothing().skipping(skip)))
}

fn held(differences: Vec<String>) -> Outcome {
    if differences.is_empty() {
        return Outcome::Held;
    }
    let more = differences.len().saturating_sub(6);
    Outcome::Failed(format!(
        "{}{}",
        differences[..differences.len().min(6)].join("; "),
        if more > 0 { format!("; {more} more") } else { String::new() }
    ))
}

fn refused(faults: &[dryspell::fault::Fault]) -> Outcome {
    Outcome::Failed(format!(
        "refused: {}",
        faults.iter().map(ToString::to_string).collect::<Vec<_>>().join(" | ")
    ))
}
