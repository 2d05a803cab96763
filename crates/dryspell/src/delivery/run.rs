//! The delivery over a record.

use super::autonomy::{BatteryDays, battery_days};
use super::battery::{Battery, Energy};
use super::inputs::Inputs;
use super::ledger::{Hour, Reach};
use super::operate::operate;
use super::pass::pass;
use super::pressure_tank::SHORTEST_RUN_H;
use super::ready::Ready;
use super::{BoosterSettings, Settings};
use crate::array;
use crate::calendar::HOURS_PER_DAY;
use crate::fault::{Fault, Faults};
use crate::record::Record;
use crate::residual;
use crate::sun::{self, Sky};

/// Why demand at a hydrant was not served, in the order in which it is put down to them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// The way was frozen, or emptied and shut for the frost.
    Frozen,
    /// Pump or pipes too small.
    TooSmall,
    /// The battery was empty.
    Battery,
}

/// One hydrant.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct HydrantColumns {
    /// Name in the scheme.
    pub name: String,
    /// Into its trough, m³ in each hour.
    pub requested_m3: Vec<f64>,
    /// In its trough at the hour's end, m³; thirst below zero.
    pub level_m3: Vec<f64>,
    /// Short, frozen: m³ in each hour, booked at midnight where thirst carries over.
    pub short_frozen_m3: Vec<f64>,
    /// Short, pump or pipes too small.
    pub short_too_small_m3: Vec<f64>,
    /// Short, battery empty.
    pub short_battery_m3: Vec<f64>,
    /// Short, tank empty; nothing where the tank was taken to hold water.
    pub short_tank_m3: Vec<f64>,
    /// Flow when it alone is open, m³/h.
    pub alone_m3_per_h: f64,
    /// Flow when all are open, m³/h.
    pub together_m3_per_h: f64,
    /// Water in its trough between full and empty, m³.
    pub trough_m3: f64,
}

impl HydrantColumns {
    /// Booked as short in an hour between tank and animals, m³.
    #[must_use]
    pub fn short_m3(&self, h: usize) -> f64 {
        self.short_frozen_m3[h] + self.short_too_small_m3[h] + self.short_battery_m3[h]
    }

    /// Drunk in an hour with a demand of `demand_m3`, m³: less what is owed at its end, and what was owed before.
    #[must_use]
    pub fn drunk_m3(&self, h: usize, demand_m3: f64) -> f64 {
        let owed = |h: usize| (-self.level_m3[h]).max(0.0);
        let before = h
            .checked_sub(1)
            .map_or(0.0, |b| owed(b) - self.short_m3(b) - self.short_tank_m3.get(b).copied().unwrap_or(0.0));
        demand_m3 + before - owed(h)
    }
}

/// Volumes over the record, m³, each accumulated on its own.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Volumes {
    /// Demand at the hydrants.
    pub demand_m3: f64,
    /// Requested of the tank.
    pub requested_m3: f64,
    /// Short, by cause.
    pub short_frozen_m3: f64,
    /// Short, by cause.
    pub short_too_small_m3: f64,
    /// Short, by cause.
    pub short_battery_m3: f64,
    /// Short, by cause: nothing where the tank was taken to hold water.
    pub short_tank_m3: f64,
    /// In the troughs at first.
    pub start_m3: f64,
    /// In the troughs at last.
    pub end_m3: f64,
}

impl Volumes {
    /// Short between tank and animals, whatever the cause, m³.
    #[must_use]
    pub fn delivery_shortage_m3(&self) -> f64 {
        self.short_frozen_m3 + self.short_too_small_m3 + self.short_battery_m3
    }

    /// Start + requested + short = demand + end: what is missing, m³.
    #[must_use]
    pub fn residual_m3(&self) -> f64 {
        let short = self.delivery_shortage_m3() + self.short_tank_m3;
        self.start_m3 + self.requested_m3 + short - self.demand_m3 - self.end_m3
    }
}

/// The columns of the delivery.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Columns {
    /// What it could ask of the tank, m³ in each hour: the tank's draw.
    pub requested_m3: Vec<f64>,
    /// Short by each cause at all hydrants, m³ in each hour.
    pub short_frozen_m3: Vec<f64>,
    /// Short, pump or pipes too small.
    pub short_too_small_m3: Vec<f64>,
    /// Short, battery empty.
    pub short_battery_m3: Vec<f64>,
    /// Each hydrant.
    pub hydrants: Vec<HydrantColumns>,
    /// Mean power that the booster takes, W, in each hour.
    pub booster_w: Vec<f64>,
    /// In the battery's store at the hour's end, W·h.
    pub stored_wh: Vec<f64>,
    /// Whether the low-voltage cut-out was open at any time of the hour.
    pub cut_out: Vec<bool>,
    /// Starts of the booster in each hour: a mean, not a whole number, where it cycles at a pressure tank.
    pub starts: Vec<f64>,
    /// Most starts in a day.
    pub most_starts_per_day: f64,
    /// Shortest run at the pressure tank, h; `None` where it never cycles.
    pub shortest_run_h: Option<f64>,
    /// Whether that is at least a minute; `None` as above.
    pub spares_the_motor: Option<bool>,
    /// How long the battery carries the booster without sun; `None` without a booster or a need.
    pub battery_days: Option<BatteryDays>,
    /// Whether troughs and battery of a one-year record came round to where they began; true for a record of many years. If
    /// not, the columns are those of the driest pass.
    pub settled: bool,
    /// Volumes.
    pub volumes: Volumes,
    /// Energies of panel, battery and booster.
    pub energy: Energy,
}

impl Columns {
    /// Short between tank and animals in an hour at all hydrants, whatever the cause, m³.
    #[must_use]
    pub fn short_in_m3(&self, h: usize) -> f64 {
        self.short_frozen_m3[h] + self.short_too_small_m3[h] + self.short_battery_m3[h]
    }

    /// The same of every hour.
    #[must_use]
    pub fn short_m3(&self) -> Vec<f64> {
        (0..self.requested_m3.len()).map(|h| self.short_in_m3(h)).collect()
    }

    /// The largest of what is missing in the troughs' and the battery's ledgers, as a share of their scale.
    #[must_use]
    pub fn residual(&self) -> f64 {
        let v = &self.volumes;
        let scale = v.demand_m3.max(v.requested_m3).max(v.start_m3).max(1.0);
        let energy = if self.energy.scale_wh() > 0.0 {
            self.energy.residual_wh() / self.energy.scale_wh()
        } else {
            0.0
        };
        let worst = (v.residual_m3().abs() / scale).max(energy);
        // A term that is not a number, or endless, must not pass as "not larger".
        if worst.is_finite() && v.residual_m3().is_finite() { worst } else { f64::INFINITY }
    }

    /// The residual, if both ledgers close.
    ///
    /// # Errors
    /// A [`crate::fault::FaultKind::Ledger`] fault when it is above 1e-9.
    pub fn close(&self) -> Result<f64, Fault> {
        let terms = format!("{:?}, {:?}", self.volumes, self.energy);
        residual::close(self.residual(), "delivery", "troughs or battery do not balance", &terms)
    }

    /// Whether any hydrant owes water at the end of an hour.
    #[must_use]
    pub fn owes(&self, h: usize) -> bool {
        self.hydrants.iter().any(|hydrant| hydrant.level_m3[h] < -crate::grid::STEP_M3)
    }
}

/// Power of the booster's own panels, W, in each hour.
///
/// # Errors
/// A module's datasheet that nothing fits.
pub fn panel_w(
    booster: &BoosterSettings,
    sky: &Sky,
    sun: &sun::Settings,
    record: &Record,
) -> Result<Vec<f64>, Fault> {
    Ok(array::array(&booster.panel, sky, sun, record)?.array_w)
}

/// The delivery over a record.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | x_i | water in trough i when positive, thirst owed today when negative | m³ | at most V_i |
/// | V_i | `trough_m3` | m³ | ≥ 0 |
/// | W_i | demand of the hour | m³ | ≥ 0 |
/// | q_i | flow of [`operate`] while a set of hydrants is open | m³/h | ≥ 0 |
/// | S_1, S_2, S_3 | short with frost alone; and pump and pipes; and battery | m³ | S_1 ≤ S_2 ≤ S_3 |
///
/// # Equation
/// 1. `x_i ← x_i − W_i`.
/// 2. All troughs that are not full and not frozen fill at the flows that they get together. When one is full its valve
///    shuts and the others get the flows of those that are still open, until the hour or the battery is at its end.
/// 3. What flowed in is requested of the tank. 4. At midnight (or in each hour, without carry-over) `−x_i`, if positive, is booked as
///    short and forgotten.
///
/// The same hours are worked three times: with frost alone in the way, then with pump and pipes, then with the battery
/// too. `S_1` is short for frost, `S_2 − S_1` for a pump or pipes too small, `S_3 − S_2` for an empty battery: a cause is charged
/// with what would not have been short without it.
///
/// So Σ demand + troughs at last = Σ requested + Σ short + troughs at first.
///
/// # Validity
/// The tank is taken to hold water, its level at the outlet. Draw and inflow of an hour meet within the hour. Frost of a
/// whole hour counts where any moment of it is frozen. A one-year record is repeated until troughs and battery come
/// round, at most 20 times; then the pass with the largest volume short counts and [`Columns::settled`] is false. Other
/// records begin full.
///
/// # Errors
/// Everything that keeps it from running, each with its key.
pub fn delivery(settings: &Settings, inputs: &Inputs<'_>) -> Result<Columns, Faults> {
    let mut ready = Ready::new(settings, inputs)?;
    let hours = inputs.calendar.hours();
    let wraps = inputs.calendar.is_one_year();
    let (works, drive, points) = ready.parts();
    let frost = pass(&works, Reach::Frost, &drive, hours, wraps, points);
    let pipes = pass(&works, Reach::Pipes, &drive, hours, wraps, points);
    let full = if works.battery.is_some() {
        pass(&works, Reach::Battery, &drive, hours, wraps, points)
    } else {
        pipes.clone()
    };
    let mut out = gather(settings, inputs, [&frost.hours, &pipes.hours, &full.hours]);
    let n = settings.hydrants.len();
    let flows = |open: &[bool]| operate(&ready.network, ready.lift.as_ref(), open).flows_m3_per_h;
    let together = flows(&vec![true; n]);
    let mut open = vec![false; n];
    for (i, hydrant) in out.hydrants.iter_mut().enumerate() {
        open[i] = true;
        hydrant.alone_m3_per_h = flows(&open)[i];
        hydrant.together_m3_per_h = together[i];
        open[i] = false;
    }
    out.volumes.start_m3 = full.start_m3;
    out.volumes.end_m3 = full.end_m3;
    out.energy = full.energy;
    out.settled = frost.settled && pipes.settled && full.settled;
    out.battery_days = ready.battery.and_then(|b| autonomy(b, &pipes.hours, &ready.battery_degc, wraps));
    Ok(out)
}

fn autonomy(battery: &Battery, hours: &[Hour], degc: &[f64], wraps: bool) -> Option<BatteryDays> {
    let drain: Vec<f64> = hours.iter().map(|h| h.drain_wh).collect();
    let pump: Vec<f64> = hours.iter().map(|h| h.pump_wh).collect();
    battery_days(battery, &drain, &pump, degc, wraps)
}

/// Columns from the hours of the three passes: a cause is charged with what would not have been short without it.
fn gather(settings: &Settings, inputs: &Inputs<'_>, [frost, pipes, full]: [&[Hour]; 3]) -> Columns {
    let by_cause = |h: usize, i: usize| {
        let all = full[h].short_m3[i];
        let frozen = frost[h].short_m3[i].min(all);
        let with_pipes = pipes[h].short_m3[i].clamp(frozen, all);
        [frozen, with_pipes - frozen, all - with_pipes, 0.0]
    };
    Columns::of_hours(settings, inputs.demand_m3, full, by_cause)
}

impl Columns {
    /// Columns from the hours as they were, with the demand at each hydrant. `short_m3` is what is booked as short in an hour at
    /// a hydrant: frozen, pump or pipes too small, battery empty, tank empty.
    pub(crate) fn of_hours(
        settings: &Settings,
        demand_m3: &[&[f64]],
        hours: &[Hour],
        short_m3: impl Fn(usize, usize) -> [f64; 4],
    ) -> Self {
        let n = hours.len();
        let mut out = Self {
            requested_m3: vec![0.0; n],
            short_frozen_m3: vec![0.0; n],
            short_too_small_m3: vec![0.0; n],
            short_battery_m3: vec![0.0; n],
            booster_w: hours.iter().map(|h| h.pump_wh).collect(),
            stored_wh: hours.iter().map(|h| h.stored_wh).collect(),
            cut_out: hours.iter().map(|h| h.cut_out).collect(),
            starts: hours.iter().map(|h| h.starts).collect(),
            ..Self::default()
        };
        for (i, hydrant) in settings.hydrants.iter().enumerate() {
            let mut one = HydrantColumns {
                name: hydrant.name.clone(),
                trough_m3: hydrant.trough_m3,
                ..HydrantColumns::default()
            };
            for (h, hour) in hours.iter().enumerate() {
                let [frozen, too_small, battery, tank] = short_m3(h, i);
                one.requested_m3.push(hour.requested_m3[i]);
                one.level_m3.push(hour.level_m3[i]);
                one.short_frozen_m3.push(frozen);
                one.short_too_small_m3.push(too_small);
                one.short_battery_m3.push(battery);
                one.short_tank_m3.push(tank);
                out.requested_m3[h] += hour.requested_m3[i];
                out.short_frozen_m3[h] += frozen;
                out.short_too_small_m3[h] += too_small;
                out.short_battery_m3[h] += battery;
                out.volumes.demand_m3 += demand_m3[i][h];
                out.volumes.requested_m3 += hour.requested_m3[i];
                out.volumes.short_frozen_m3 += frozen;
                out.volumes.short_too_small_m3 += too_small;
                out.volumes.short_battery_m3 += battery;
                out.volumes.short_tank_m3 += tank;
            }
            out.hydrants.push(one);
        }
        out.most_starts_per_day =
            hours.chunks(HOURS_PER_DAY).map(|day| day.iter().map(|h| h.starts).sum()).fold(0.0, f64::max);
        let shortest = hours.iter().map(|h| h.shortest_run_h).fold(f64::INFINITY, f64::min);
        out.shortest_run_h = shortest.is_finite().then_some(shortest);
        out.spares_the_motor = out.shortest_run_h.map(|h| h >= SHORTEST_RUN_H);
        out
    }
}
