//! The pipes from the tank to the hydrants.

use super::{Lowest, PipePressure};
use crate::delivery::{Lift, Network, Settings, operate};
use crate::pipe::Run;
use crate::units::table::METRE_OF_WATER_PA;

/// Heads in each pipe from the tank's outlet to the hydrants.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | d | depth below the tank's outlet of the lowest hydrant that the pipe serves, 0 where all lie higher | m | ≥ 0 |
/// | p₃ | cut-out of the pressure switch | m | > 0 |
/// | H₀ | highest head of the booster's table | m | |
///
/// # Equation
/// - static: `d`; behind a pressure tank `d + p₃`, since the line stands at the cut-out;
/// - working: behind a pressure tank `d + p₃`; behind a booster without one `d +` the greatest head at the pipes' start with
///   one hydrant open; by gravity, less than static;
/// - against shut valves: behind a booster without a pressure tank `d + H₀`.
///
/// # Validity
/// Every trough's valve shuts its pipe. The booster stands at the tank's outlet. Water that stands in the tank above its
/// outlet adds its depth, which is not stated. Where the pipes branch is not known in height: each counts as low as the
/// lowest end that is.
///
/// # Example
/// Cut-out at 345 kPa, 345000/9806.65 = 35.2 m, and a hydrant 9 m below the outlet: 44.2 m in its pipe.
///
/// # References
/// Hydrostatics.
#[must_use]
pub fn behind_tank(settings: &Settings, network: &Network, lift: Option<&Lift>) -> Vec<PipePressure> {
    let hydrants = &settings.hydrants;
    let cut_out = lift.and_then(|lift| lift.tank).map(|tank| tank.cut_out_pa / METRE_OF_WATER_PA);
    let free = lift.filter(|lift| lift.tank.is_none());
    let running = free.map(|_| {
        let alone = |one: usize| (0..hydrants.len()).map(|i| i == one).collect::<Vec<_>>();
        (0..hydrants.len()).map(|i| operate(network, lift, &alone(i)).head_m).fold(0.0, f64::max)
    });
    let pressure = |key: String, run: &Run, depth: f64| PipePressure {
        key,
        name: run.name.clone(),
        lowest: Lowest::OutletOrHydrant,
        lower_end_m: depth,
        static_m: depth + cut_out.unwrap_or(0.0),
        working_m: cut_out.or(running).map(|head| depth + head),
        shut_off_m: free.map(|lift| depth + lift.booster.highest_head_m()),
        class_m: run.pressure_class_m,
    };
    let below = |height: f64| (-height).max(0.0);
    let lowest = hydrants.iter().map(|h| below(h.height_m)).fold(0.0, f64::max);
    let shared = settings.shared.iter().map(|run| pressure(format!("delivery.{}", run.name), run, lowest));
    let own = hydrants.iter().flat_map(|hydrant| {
        let depth = below(hydrant.height_m);
        hydrant
            .runs
            .iter()
            .map(move |run| pressure(format!("hydrant.{}.pipe.{}", hydrant.name, run.name), run, depth))
    });
    shared.chain(own).collect()
}
