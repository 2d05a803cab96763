//! Many tanks side by side are each as if alone.

use std::sync::Arc;

use dryspell::plan::Plan;
use dryspell::simulate::{Marches, at_tank, at_tanks};

use super::{Allow, Outcome, held};
use crate::case::{Bench, Case};
use crate::compare::{differences, headlines};
use crate::random::Random;

/// Equal to the last bit.
pub fn as_alone(case: &Case, r: &mut Random, _: &Bench) -> Outcome {
    let plan = &Plan { backup: None, ..case.run.plan.clone() };
    // The march takes its time: fewer tanks, and no questions besides, each of which would march.
    let marches = Marches::of(plan) != Marches::Nothing;
    let upstream = if marches {
        Arc::new(case.run.found.upstream.columns().without_questions())
    } else {
        case.run.found.upstream.clone()
    };
    let mut tanks: Vec<_> = (0..if marches { 6 } else { 12 })
        .map(|_| plan.tank.resized(plan.tank.capacity_m3 * (0.1 + 3.0 * r.unit())))
        .collect();
    for tank in &mut tanks {
        tank.garden_reserve_m3 = tank.garden_reserve_m3.min(tank.capacity_m3);
        // Each may have a band, a bare float or none.
        match r.below(4) {
            0 => tank.float_start_m3 = tank.float_stop_m3.map(|stop| stop * r.unit()),
            1 => (tank.float_stop_m3, tank.float_start_m3) = (None, None),
            _ => {}
        }
    }
    let many = at_tanks(&upstream, plan, &tanks);
    for (tank, together) in tanks.iter().zip(many) {
        let alone = at_tank(&upstream, &Plan { tank: tank.clone(), ..plan.clone() });
        let (together, alone) = match (together, alone) {
            (Ok(together), Ok(alone)) => (together, alone),
            (Err(a), Err(b)) if a == b => continue,
            (a, b) => return Outcome::Failed(format!("{tank:?}: {:?} against {:?}", a.err(), b.err())),
        };
        let found = differences(&headlines(&together), &headlines(&alone), &Allow::nothing());
        if !found.is_empty() {
            return held(found.into_iter().map(|f| format!("{f} ({tank:?})")).collect());
        }
    }
    Outcome::Held
}
