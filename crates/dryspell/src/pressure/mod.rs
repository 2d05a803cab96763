//! Pressure in each pipe at its lowest point, from the well to the tank and from the tank to the hydrants: standing, flowing,
//! and against a valve that is shut. One datum for all three; whoever judges a pipe's class reads it here.

mod behind_tank;
mod well_line;

pub use behind_tank::behind_tank;
pub use well_line::{LineHeads, fall_m, lower_ends_m, static_head_m, well_line};

use crate::delivery;
use crate::evaporation::air::pressure_kpa;
use crate::pipe::{PRESSURE_SHARE, water_density_kg_per_m3};
use crate::pump::Pump;
use crate::simulate::Run;

/// Where a pipe lies lowest, as far as the scheme tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lowest {
    /// Its lower end, down in the well.
    InWell,
    /// Its lower end at the wellhead.
    Wellhead,
    /// Its end at the tank, which lies lower than the wellhead.
    Tank,
    /// The tank's outlet, or a hydrant that lies lower.
    OutletOrHydrant,
}

/// Heads in a run of pipe at its lowest point, m of water above what presses from outside.
///
/// # Units
/// Heads in metres of water of the density pumped; 9806.65 Pa a metre.
///
/// # Validity
/// Steady heads: a surge when a pump stops or a valve slams comes on top; [`PRESSURE_SHARE`] leaves room for it. Ground that
/// dips below both ends of a pipe is not known and adds its depth.
#[derive(Debug, Clone, PartialEq)]
pub struct PipePressure {
    /// Its table in the scheme, such as `pipe.drop`.
    pub key: String,
    /// Its name there.
    pub name: String,
    /// Where its lowest point is.
    pub lowest: Lowest,
    /// Depth of its lower end below the wellhead, or below the tank's outlet behind the tank, m.
    pub lower_end_m: f64,
    /// While nothing flows and no pump presses against a valve, m.
    pub static_m: f64,
    /// The greatest while water flows, m; `None` where flow only takes from the static head.
    pub working_m: Option<f64>,
    /// With a valve shut behind it while the pump runs, m, as far as the pump's data reach; `None` where no valve is stated.
    pub shut_off_m: Option<f64>,
    /// Its pressure class, m; `None` where not stated.
    pub class_m: Option<f64>,
}

/// What a pipe's pressure is held against its class.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// The class is not stated.
    NotStated,
    /// More than the class.
    AboveClass,
    /// Within the class, above the share of it that leaves room for surges.
    NoRoomForSurges,
    /// Within that share.
    Within,
}

impl PipePressure {
    /// The greatest of its heads, m.
    #[must_use]
    pub fn greatest_m(&self) -> f64 {
        [self.working_m, self.shut_off_m].into_iter().flatten().fold(self.static_m, f64::max)
    }

    /// Head that its class allows, m.
    #[must_use]
    pub fn allowed_m(&self) -> Option<f64> {
        self.class_m.map(|class| PRESSURE_SHARE * class)
    }

    /// Its greatest head against its class.
    ///
    /// # Example
    /// ```
    /// use dryspell::pressure::{Lowest, PipePressure, Verdict};
    /// let pipe = |working_m, shut_off_m| PipePressure {
    ///     key: "pipe.drop".into(),
    ///     name: "drop".into(),
    ///     lowest: Lowest::InWell,
    ///     lower_end_m: 30.0,
    ///     static_m: 40.0,
    ///     working_m: Some(working_m),
    ///     shut_off_m,
    ///     class_m: Some(60.0),
    /// };
    /// // 72 % of 60 m is 43.2 m.
    /// assert_eq!(pipe(43.0, None).verdict(), Verdict::Within);
    /// assert_eq!(pipe(44.0, None).verdict(), Verdict::NoRoomForSurges);
    /// assert_eq!(pipe(43.0, Some(61.0)).verdict(), Verdict::AboveClass);
    /// ```
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        match self.class_m {
            None => Verdict::NotStated,
            Some(class) if self.greatest_m() > class => Verdict::AboveClass,
            Some(class) if self.greatest_m() > PRESSURE_SHARE * class => Verdict::NoRoomForSurges,
            Some(_) => Verdict::Within,
        }
    }
}

/// Every pipe of a run's scheme, in the water's order.
#[must_use]
pub fn pressures(run: &Run) -> Vec<PipePressure> {
    let supply = &run.plan.supply;
    let flowing = run
        .supply
        .limit
        .iter()
        .zip(&run.supply.head_m)
        .filter(|(limit, _)| limit.flows())
        .map(|(_, head)| *head)
        .reduce(f64::max);
    let density = water_density_kg_per_m3(supply.pipe.water_degc);
    let heads = LineHeads {
        // Where nothing flows the pump stands against the head without flow.
        at_pump_m: flowing.unwrap_or(run.head.total_m),
        shut_off_m: Pump::new(&supply.pump, density).ok().map(|pump| pump.machine().highest_head_m()),
    };
    let mut list = well_line(supply, &run.head, heads);
    if let Some(settings) = &run.plan.delivery
        && let Ok((network, lift)) = delivery::check(settings, 1000.0 * pressure_kpa(run.place.elevation_m))
    {
        list.extend(behind_tank(settings, &network, lift.as_ref()));
    }
    list
}
