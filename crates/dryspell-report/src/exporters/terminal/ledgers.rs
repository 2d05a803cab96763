//! The ledgers of well, source, tank, troughs, battery and gardens.

use std::fmt::Write;

use dryspell::delivery::Volumes;
use dryspell::simulate::{AnswersBy, Run};
use dryspell::units::{Quantity, column_number, column_unit};

use crate::figures::detail;
use crate::report::Report;

pub(super) fn ledgers(run: &Run, context: &Report<'_>) -> String {
    let system = context.system;
    let l = &run.outcome.ledgers;
    let v = |m3: f64| column_number(m3, Quantity::Volume, system);
    let gardens = !run.garden.gardens.is_empty();
    let mut out = format!("LEDGERS  {}, over the record\n", column_unit(Quantity::Volume, system));
    if let Some(well) = &run.well {
        let _ = writeln!(
            out,
            "  well    lifted {} = weep hole {} + refilling the drained pipe {} + arrived in the tank {}{}",
            v(well.ledger.lifted_m3),
            v(well.ledger.weep_m3),
            v(well.ledger.riser_refill_m3),
            v(well.ledger.arrived_m3),
            // The other ledgers are then those of the columns.
            if run.answers_by == AnswersBy::Columns { " (by the march)" } else { "" }
        );
    } else {
        let source = &run.supply.ledger;
        let _ = writeln!(
            out,
            "  {} lifted {} = weep hole {} + refilling the drained pipe {} + available {}",
            if run.lifts.is_empty() { "well   " } else { "well 1 " },
            v(source.lifted_m3),
            v(source.weep_m3),
            v(source.riser_refill_m3),
            v(source.available_m3)
        );
    }
    let _ = writeln!(
        out,
        "  source  available {} = pumped {} + curtailed {}",
        v(l.available_m3),
        v(l.pumped_m3),
        v(l.curtailed_m3)
    );
    let _ = writeln!(
        out,
        "  {} start {} + pumped {}{} = drawn {}{} + spilled {} + evaporated {} + leaked {} + end {}",
        if run.tanks.is_empty() { "tank   " } else { "tanks  " },
        v(l.start_m3),
        v(l.pumped_m3),
        if run.inflows.is_empty() { String::new() } else { format!(" + inflows {}", v(l.inflow_m3)) },
        v(l.drawn_m3),
        if gardens { format!(" + gardens {}", v(l.garden_m3)) } else { String::new() },
        v(l.spilled_m3),
        v(l.evaporated_m3),
        v(l.leaked_m3),
        v(l.end_m3)
    );
    stock(&mut out, run, &v);
    if gardens {
        let _ = writeln!(
            out,
            "  gardens requested {} = drawn {} + short {} (and {} held back while stock was short)",
            v(run.garden_sum_m3),
            v(l.garden_m3),
            v(detail(run, "garden_m3.short")),
            v(detail(run, "garden_m3.held_back"))
        );
    }
    let _ = writeln!(out, "  largest relative residual {:.1e}; a run above 1e-9 is refused", run.residual());
    out
}

/// What the stock asked for: at the tank, or behind hydrants at the outlet and in the troughs.
fn stock(out: &mut String, run: &Run, v: &dyn Fn(f64) -> String) {
    let l = &run.outcome.ledgers;
    if run.herds.is_some() {
        herds(out, run, v);
        if let Some(delivery) = &run.delivery {
            troughs(out, run, &delivery.volumes, v);
            battery(out, run);
        }
        return;
    }
    match &run.delivery {
        None => {
            let _ = writeln!(
                out,
                "  demand  {} = drunk {} + short {} (tank empty {})",
                v(l.requested_m3),
                v(l.drawn_m3),
                v(l.short_m3),
                v(l.short_m3)
            );
        }
        Some(delivery) => {
            let _ = writeln!(
                out,
                "  outlet  requested {} = drawn {} + short {} (tank empty)",
                v(l.requested_m3),
                v(l.drawn_m3),
                v(l.short_m3)
            );
            troughs(out, run, &delivery.volumes, v);
            battery(out, run);
        }
    }
}

/// Each herd by its own book, and extras.
fn herds(out: &mut String, run: &Run, v: &dyn Fn(f64) -> String) {
    let l = &run.outcome.ledgers;
    let by_cause = run.delivery.as_ref().map_or_else(String::new, |d| {
        let d = &d.volumes;
        format!(
            "frozen {}, pump too small {}, battery empty {}, ",
            v(d.short_frozen_m3),
            v(d.short_too_small_m3),
            v(d.short_battery_m3)
        )
    });
    let _ = writeln!(
        out,
        "  herds   demand {} = drunk {} + short {} ({by_cause}tank empty {})",
        v(run.demand_sum_m3),
        v(detail(run, "herds_m3.drunk")),
        v(run.short_m3()),
        v(l.short_m3)
    );
    let demand = run.extra_m3.iter().sum::<f64>();
    if demand > 0.0 {
        let _ = writeln!(
            out,
            "  extras  demand {} = drunk {} + short {}",
            v(demand),
            v(l.extra_drunk_m3),
            v(l.extra_short_m3)
        );
    }
}

fn troughs(out: &mut String, run: &Run, d: &Volumes, v: &dyn Fn(f64) -> String) {
    let troughs = |name: &str| v(detail(run, &format!("troughs_m3.{name}")));
    let _ = writeln!(
        out,
        "  troughs start {} + {} {} + short {} (frozen {}, pump too small {}, battery empty {}{}) = demand {} + end {}",
        troughs("start"),
        if run.herds.is_some() { "filled" } else { "requested" },
        troughs("requested"),
        troughs("short"),
        v(d.short_frozen_m3),
        v(d.short_too_small_m3),
        v(d.short_battery_m3),
        if run.herds.is_some() { format!(", tank empty {}", v(d.short_tank_m3)) } else { String::new() },
        troughs("demand"),
        troughs("end")
    );
}

fn battery(out: &mut String, run: &Run) {
    if run.booster().is_some() {
        let kwh = |name: &str| format!("{:.2}", detail(run, &format!("battery_kwh.{name}")));
        let _ = writeln!(
            out,
            "  battery start {} + charged {} = to the pump {} + charging loss {} + rate loss {} + self-discharge {} + end {} kWh",
            kwh("start"),
            kwh("charged"),
            kwh("discharged"),
            kwh("charge_loss"),
            kwh("rate_loss"),
            kwh("self_discharge"),
            kwh("end")
        );
    }
}
