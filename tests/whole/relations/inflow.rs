//! More water from the pump is never worse, where nothing makes the tank forget it.

use std::sync::Arc;

use dryspell::simulate::{AnswersBy, Upstream, at_tank};
use dryspell::tank::ledger::Flows;

use super::{Outcome, held};
use crate::case::{Bench, Case};
use crate::random::Random;

/// With a band more inflow can stop the pump sooner; with losses a fuller tank loses more. Without both, shortage never grows.
pub fn more(case: &Case, r: &mut Random, _: &Bench) -> Outcome {
    if case.run.answers_by == AnswersBy::March {
        return Outcome::NotHere;
    }
    let flows = &case.run.flows;
    let loses = flows.evaporation_m3.iter().chain(&flows.leak_m3).any(|m3| *m3 > 0.0);
    let gardens = flows.garden_m3.iter().any(|m3| *m3 > 0.0);
    if case.has_band() || loses || gardens {
        return Outcome::NotHere;
    }
    let available: Vec<f64> =
        flows.available_m3.iter().map(|m3| if r.chance(0.1) { m3 * (1.0 + r.unit()) } else { *m3 }).collect();
    let more = Flows::new(&available, &flows.requested_m3, &flows.evaporation_m3, &flows.leak_m3);
    // The rounding of the running sum may take a step from an hour.
    let available_m3: Vec<f64> =
        more.available_m3.iter().zip(&flows.available_m3).map(|(a, b)| a.max(*b)).collect();
    let upstream = Upstream {
        flows: Arc::new(Flows { available_m3, ..flows.as_ref().clone() }),
        ..case.run.found.upstream.columns().as_ref().clone()
    };
    let other = match at_tank(&Arc::new(upstream), &case.run.plan) {
        Ok(other) => other,
        Err(faults) => return super::refused(&faults),
    };
    let (before, after) = (&case.run.outcome.counts, &other.outcome.counts);
    let mut found = Vec::new();
    for (name, before, after) in [
        ("days of shortfall", before.shortfall_days, after.shortfall_days),
        ("dry hours", before.dry_hours, after.dry_hours),
        ("longest dry run", before.longest_dry_hours, after.longest_dry_hours),
    ] {
        if after > before {
            found.push(format!("{name}: {after} after {before}"));
        }
    }
    let short = |run: &dryspell::simulate::Run| run.outcome.ledgers.short_m3;
    if short(&other) > short(&case.run) {
        found.push(format!("short: {} m³ after {} m³", short(&other), short(&case.run)));
    }
    held(found)
}
