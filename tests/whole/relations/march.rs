//! The march, its books, and the columns beside it.

use dryspell::inflow::{Backup, Kind, Settings, Steady, WhenFull};
use dryspell::plan::Plan;
use dryspell::simulate::{AnswersBy, Run, by_march, simulate};

use super::{Allow, Outcome, held, refused};
use crate::case::{Bench, Case};
use crate::compare::{differences, headlines};
use crate::random::Random;

/// For every herd and day `demand = drunk + short`, exactly, and `0 ≤ short ≤ demand`; all herds together want what the scheme's herds
/// want.
pub fn books(case: &Case, _: &mut Random, _: &Bench) -> Outcome {
    let run = match by_march(&case.run.found.upstream, &case.run.plan) {
        Ok(run) => run,
        Err(faults) => return refused(&faults),
    };
    let mut found = Vec::new();
    let herds = run.herds.as_ref().unwrap();
    for herd in herds.iter() {
        for (day, page) in herd.days.iter().enumerate() {
            let short = page.short_m3();
            if page.demand_m3 - page.drunk_m3 - short != 0.0 || short < 0.0 || short > page.demand_m3 {
                found.push(format!("{}, day {day}: {page:?}", herd.name));
            }
        }
    }
    let sum: f64 = herds.iter().flat_map(|herd| &herd.days).map(|day| day.demand_m3).sum();
    let step = crate::compare::STEP_M3;
    if (sum - case.run.demand_sum_m3).abs() > step * (1.0 + herds.len() as f64) {
        found.push(format!("herds want {sum} m³, the scheme {} m³", case.run.demand_sum_m3));
    }
    if run.residual() > 1e-9 {
        found.push(format!("residual {}", run.residual()));
    }
    held(found)
}

/// Where the columns answer the march says the same: volumes within 0.4 %, days of shortfall within one. A day is short by the march for
/// any one herd; the columns know herds that share a tank as one.
pub fn across_the_seam(case: &Case, _: &mut Random, _: &Bench) -> Outcome {
    if case.run.answers_by == AnswersBy::March {
        return Outcome::NotHere;
    }
    let marched = match by_march(&case.run.found.upstream, &case.run.plan) {
        Ok(run) => run,
        Err(faults) => return refused(&faults),
    };
    let (columns, march) = (&case.run.outcome, &marched.outcome);
    let mut found = Vec::new();
    let scale = columns.ledgers.pumped_m3.max(columns.ledgers.drawn_m3).max(columns.ledgers.capacity_m3);
    // The float that rests a well, or lets a riser drain, costs or spares what it takes to fill it again.
    let volumes = |run: &Run| [run.outcome.ledgers.pumped_m3, run.outcome.ledgers.drawn_m3, run.short_m3()];
    let names = ["pumped", "drawn", "short"];
    for ((name, a), b) in names.into_iter().zip(volumes(&case.run)).zip(volumes(&marched)) {
        if (a - b).abs() > 0.004 * scale {
            found.push(format!("{name}: {b} m³ by the march, {a} m³ by the columns"));
        }
    }
    let (a, b) = (columns.counts.shortfall_days, march.counts.shortfall_days);
    let one_herd = marched.herds.as_ref().is_some_and(|herds| herds.len() <= 1);
    if one_herd && a.abs_diff(b) > 1 {
        found.push(format!("days of shortfall: {b} by the march, {a} by the columns"));
    }
    held(found)
}

/// Whether more water in the tank can do harm somewhere: a band, gardens, losses, a booster that then runs more, a well that it rests.
fn may_harm(case: &Case) -> bool {
    let flows = &case.run.flows;
    let loses = flows.evaporation_m3.iter().chain(&flows.leak_m3).any(|m3| *m3 > 0.0);
    let plan = &case.run.plan;
    let booster = plan.delivery.as_ref().is_some_and(|delivery| delivery.booster.is_some());
    case.has_band() || loses || !plan.draw.gardens.is_empty() || booster || case.run.well.is_some()
}

/// A spring besides the pump never makes more short.
pub fn a_spring(case: &Case, r: &mut Random, _: &Bench) -> Outcome {
    if may_harm(case) {
        return Outcome::NotHere;
    }
    let before = match by_march(&case.run.found.upstream, &case.run.plan) {
        Ok(run) => run,
        Err(faults) => return refused(&faults),
    };
    let mut plan = case.run.plan.clone();
    let flow = 0.2 * case.run.demand_sum_m3 / case.run.flows.hours() as f64;
    plan.inflows.push(Settings {
        name: "one more".into(),
        kind: Kind::Steady(Steady::of(flow * r.unit())),
        tank: plan.tank.name.clone(),
        when_full: if r.chance(0.5) { WhenFull::Refused } else { WhenFull::Spilled },
    });
    let after = match simulate(&plan, &case.record) {
        Ok(run) => run,
        Err(faults) => return refused(&faults),
    };
    let (before, after) = (before.short_m3(), after.short_m3());
    // A share rounded down may be a grid step less for one and more for another.
    let slack = crate::compare::STEP_M3 * case.run.flows.hours() as f64;
    if after > before + slack {
        Outcome::Failed(format!("short: {after} m³ after {before} m³"))
    } else {
        Outcome::Held
    }
}

/// Headlines are judged without the backup, to the last bit; with it no more is short, where more water does no harm.
pub fn a_backup(case: &Case, r: &mut Random, _: &Bench) -> Outcome {
    let mut plan = case.run.plan.clone();
    let full = plan.tank.full_m3();
    plan.backup = None;
    let without = match simulate(&plan, &case.record) {
        Ok(run) => run,
        Err(faults) => return refused(&faults),
    };
    let day_m3 = case.run.demand_sum_m3 / case.run.days.len() as f64;
    let backup = Backup::flow("main", (0.5 * day_m3).max(0.01), (full * 0.5 * r.unit(), full * 0.9));
    let with = match simulate(&Plan { backup: Some(backup), ..plan }, &case.record) {
        Ok(run) => run,
        Err(faults) => return refused(&faults),
    };
    let allow =
        Allow::nothing().skipping(&["backup", "shortfall_days_with", "dry_hours_with", "short_m3_with"]);
    let mut found = differences(&headlines(&with), &headlines(&without), &allow);
    let Some(backed) = &with.backup else { return Outcome::Failed("no backup in the run".into()) };
    let slack = crate::compare::STEP_M3 * case.run.flows.hours() as f64;
    let seam = 0.004 * with.outcome.ledgers.pumped_m3.max(with.outcome.ledgers.capacity_m3);
    if !may_harm(case) && backed.short_m3 > with.short_m3() + slack + seam {
        found.push(format!("short with the backup {} m³, without {} m³", backed.short_m3, with.short_m3()));
    }
    held(found)
}
