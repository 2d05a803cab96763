//! The record again, with the tanks put to given levels on some of its days: each year goes on from there.

use super::passes::acts_back;
use super::put::Put;
use super::{AnswersBy, Upstream};
use crate::calendar::HOURS_PER_DAY;
use crate::fault::Faults;
use crate::plan::Plan;
use crate::reliability::demand::Demand;
use crate::reliability::outcome::Keep;
use crate::reliability::periods::{self, DayFigures};
use crate::tank::ledger::{Flows, Hour, Tanks, run};

/// What the days of a record came to with the tanks put to levels.
#[derive(Debug, Clone)]
pub struct FromLevels {
    /// Each day of the record; those before the first level are from full tanks.
    pub days: Vec<DayFigures>,
    /// Losses that each day's tank had too little water for, m³: of water that is brought they take their part.
    pub losses_left_m3: Vec<f64>,
    /// The pass that answers.
    pub answers_by: AnswersBy,
}

/// Takes a plan through a record with `puts`, in the order of their days, without its backup. What is not water in a tank (battery,
/// troughs, the level in the well, snow on the panels) is as the record's own course left it.
///
/// # Units
/// Levels and volumes in m³, from 0; what stands above full is lost. `puts` are ordered by day, each a day of the record.
///
/// # Validity
/// A record that runs straight through, from full tanks. A one-year record is gone through here as if it did not repeat where the columns
/// answer, and until it repeats where the march does: put such a year together with itself first.
///
/// # Errors
/// As [`super::at_tank`].
///
/// # Panics
/// If a put's day lies behind the record, or before that of the put before it.
pub fn from_levels(upstream: &Upstream, plan: &Plan, puts: &[Put]) -> Result<FromLevels, Faults> {
    let days = |flows: &Flows, demand: &Demand, demand_m3: &[f64], hours: &[Hour<1>]| {
        let plane_w_per_m2 = &upstream.array.plane_w_per_m2;
        let tolerance = plan.tank.tolerance;
        periods::days(&periods::Columns { plane_w_per_m2, flows, demand_m3, demand, hours, tolerance })
    };
    let hours = by_columns(&upstream.flows, plan, puts);
    if acts_back(upstream, plan, hours.iter().any(|hour| hour.level_m3[0] < 0.0)) {
        let marched = upstream.march.march_with(plan, puts)?;
        return Ok(FromLevels {
            days: days(&marched.flows, &marched.demand, &marched.demand_m3, &marched.hours),
            losses_left_m3: losses_left_m3(&marched.flows, &marched.hours),
            answers_by: AnswersBy::March,
        });
    }
    Ok(FromLevels {
        days: days(&upstream.flows, &upstream.demand, &upstream.demand_m3, &hours),
        losses_left_m3: losses_left_m3(&upstream.flows, &hours),
        answers_by: AnswersBy::Columns,
    })
}

/// The hours of one tank that nothing acts back on.
fn by_columns(flows: &Flows, plan: &Plan, puts: &[Put]) -> Vec<Hour<1>> {
    let tanks = Tanks::new([&plan.tank]);
    let mut state = tanks.full();
    let mut kept = Keep(Vec::with_capacity(flows.hours()));
    let mut from = 0;
    for put in puts {
        run(&tanks, flows, from..put.day * HOURS_PER_DAY, &mut state, &mut kept);
        put.water.put(0, &tanks, &mut state);
        from = put.day * HOURS_PER_DAY;
    }
    run(&tanks, flows, from..flows.hours(), &mut state, &mut kept);
    kept.0
}

fn losses_left_m3(flows: &Flows, hours: &[Hour<1>]) -> Vec<f64> {
    let left = |(h, hour): (usize, &Hour<1>)| {
        let most_m3 = flows.evaporation_m3[h] + flows.leak_m3[h];
        (most_m3 - hour.evaporated_m3[0] - hour.leaked_m3[0]).max(0.0)
    };
    let left: Vec<f64> = hours.iter().enumerate().map(left).collect();
    left.chunks(HOURS_PER_DAY).map(|day| day.iter().sum()).collect()
}
