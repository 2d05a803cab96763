//! The whole way of the water: a plan and a record in, a [`Run`] out.

mod asked;
mod frozen;
mod losses;
mod memo;
mod upstream;

pub use asked::Asked;
pub use frozen::{Frozen, frost_report};
pub use losses::Losses;
pub use memo::Memo;
pub use upstream::{Upstream, Variant, Variants};

use std::sync::Arc;

use crate::calendar::{Calendar, HOURS_PER_DAY};
use crate::fault::Fault;
use crate::pipe::Advice;
use crate::plan::Plan;
use crate::record::{Place, Record, Source, YearKind};
use crate::reliability::autonomy::{Autonomy, FullTank, InService};
use crate::reliability::demand::Demand;
use crate::reliability::outcome::{Outcome, follow, shortfall_days, shortfall_days_from_empty};
use crate::reliability::periods::{self, DayFigures, LimitHours, MonthFigures};
use crate::reliability::storage::StorageNeeded;
use crate::tank::ledger::{Flows, Hour};
use crate::{array, delivery, draw, sun, supply, tank};

/// Everything that one simulation found. All that is printed, written or drawn is read from here.
#[derive(Debug, Clone)]
pub struct Run {
    /// The settings it ran with.
    pub plan: Plan,
    /// Where.
    pub place: Place,
    /// Kind of years.
    pub kind: YearKind,
    /// Where the weather came from.
    pub source: Source,
    /// Hours and days.
    pub calendar: Arc<Calendar>,
    /// Air temperature, °C, each hour.
    pub air_degc: Arc<Vec<f64>>,
    /// Sun and radiation, each hour.
    pub sky: Arc<sun::Sky>,
    /// Panels, each hour.
    pub array: Arc<array::Columns>,
    /// Pump, well and pipe, each hour.
    pub supply: Arc<supply::Columns>,
    /// The head taken apart at the highest flow of the record.
    pub head: supply::HeadBuildUp,
    /// The hour of that flow.
    pub head_hour: usize,
    /// What the pipe's velocities and pressure classes deserve a word about.
    pub advice: Vec<Advice>,
    /// Herd, each hour.
    pub draw: Arc<draw::Columns>,
    /// Gardens, each hour.
    pub garden: Arc<draw::garden::Columns>,
    /// The hours in which frost stops a way.
    pub frozen: Arc<Frozen>,
    /// From the tank to the hydrants; `None` where all stock drinks at the tank.
    pub delivery: Option<Arc<delivery::Columns>>,
    /// Wanted by the stock, m³ in each hour, on the grid.
    pub wanted_m3: Arc<Vec<f64>>,
    /// The stock's draw by day, and what is short before the tank has a say.
    pub demand: Arc<Demand>,
    /// What tank and troughs lose, at most.
    pub losses: Arc<Losses>,
    /// The tank's hours in record order.
    pub hours: Vec<Hour<1>>,
    /// The columns that drove the tank, on the grid.
    pub flows: Arc<Flows>,
    /// What the tank did over the record.
    pub outcome: Outcome,
    /// Sums by day.
    pub days: Vec<DayFigures>,
    /// Sums by calendar month.
    pub months: [MonthFigures; 12],
    /// Hours by what set the water.
    pub limit_hours: LimitHours,
    /// Storage needed by the sequent peak.
    pub storage: StorageNeeded,
    /// Days a full tank lasts.
    pub full_tank: FullTank,
    /// Days the tank would have lasted at the levels it had.
    pub in_service: Option<InService>,
    /// Counts for the two ends of what a duty table leaves open below its lowest power; `None` for a pump whose start
    /// is not left open by a table.
    pub start_ends: Option<StartEnds>,
    /// The same year with the panels covered for the first days of the critical spell.
    pub covered: Vec<Covered>,
    /// Days of shortfall if nothing froze; `None` where frost stops nothing.
    pub shortfall_days_without_frost: Option<u32>,
    /// Days of shortfall when the record starts with an empty tank; `None` for a one-year record, which repeats.
    pub shortfall_days_if_started_empty: Option<u32>,
    /// Whether a month is colder than 2 °C and nothing says when snow lies on the panels.
    pub snow_not_modelled: bool,
}

/// Days of shortfall for both ends of the start rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StartEnds {
    /// Nothing flows below the lowest tabulated power.
    pub zero_days: u32,
    /// A straight line to the hydraulic minimum at the table's best efficiency.
    pub best_line_days: u32,
}

/// Days of shortfall with the panels covered at the start of the critical spell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Covered {
    /// So many days covered.
    pub days: u32,
    /// Days of shortfall then.
    pub shortfall_days: u32,
}

/// Days that the panels are covered in the question that is always asked.
pub const COVERED_DAYS: [u32; 3] = [3, 7, 14];

/// Monthly mean temperature below which snow must be spoken of, °C.
pub const SNOW_MONTH_DEGC: f64 = 2.0;

/// Simulates a plan on a record.
///
/// # Errors
/// Everything that keeps the scheme from running (a static head above the pump's reach, a record with a hole), each as
/// a [`Fault`] with the key that caused it; or a ledger that does not close.
pub fn simulate(plan: &Plan, record: &Record) -> Result<Run, Vec<Fault>> {
    let upstream = Memo::default().upstream(plan, record, 0)?;
    at_tank(&upstream, plan)
}

/// The tank at the end of what flows and what is asked: the part of a run that the tank's own size and float decide.
///
/// # Errors
/// A ledger that does not close.
pub fn at_tank(upstream: &Upstream, plan: &Plan) -> Result<Run, Vec<Fault>> {
    let calendar = &upstream.calendar;
    let asked = &upstream.asked;
    let flows = &upstream.flows;
    let (tank_hours, outcome) = follow(&plan.tank, flows, &asked.demand, calendar)?;
    let wraps = calendar.is_one_year();
    let autonomy = Autonomy::new(flows, wraps);
    let full_m3 = tank::grid::volume_m3(plan.tank.full_m3());
    let full_tank = FullTank::of(&autonomy, full_m3, |h| calendar.day_of(h).month);
    let level_at_start: Vec<f64> =
        (0..flows.hours()).map(|h| level_before(&outcome, &tank_hours, plan.tank.carry, h)).collect();
    let in_service = InService::of(&autonomy, &level_at_start);

    let variants = &upstream.variants;
    let days_of = |other: &Variant| shortfall_days(&plan.tank, &other.flows, &other.demand, calendar);
    let start_ends = variants.start_ends.as_ref().map(|ends| {
        let [zero_days, best_line_days] =
            ends.each_ref().map(|end| end.as_ref().map_or(outcome.counts.shortfall_days, days_of));
        StartEnds { zero_days, best_line_days }
    });
    let covered = variants
        .covered
        .iter()
        .map(|(days, variant)| Covered { days: *days, shortfall_days: days_of(variant) })
        .collect();
    let shortfall_days_without_frost = variants.without_frost.as_ref().map(days_of);
    let shortfall_days_if_started_empty =
        (!wraps).then(|| shortfall_days_from_empty(&plan.tank, flows, &asked.demand));
    let days = periods::days(&periods::Columns {
        plane_w_per_m2: &upstream.array.plane_w_per_m2,
        flows,
        wanted_m3: &asked.wanted_m3,
        demand: &asked.demand,
        hours: &tank_hours,
        tolerance: plan.tank.tolerance,
    });
    let months = periods::months(calendar, &days);
    let limit_hours = periods::limit_hours(&upstream.supply.limit, &tank_hours);
    Ok(Run {
        plan: plan.clone(),
        place: upstream.place.clone(),
        kind: upstream.kind,
        source: upstream.source.clone(),
        calendar: upstream.calendar.clone(),
        air_degc: upstream.air_degc.clone(),
        sky: upstream.sky.clone(),
        array: upstream.array.clone(),
        supply: upstream.supply.clone(),
        head: upstream.head.clone(),
        head_hour: upstream.head_hour,
        advice: upstream.advice.clone(),
        draw: upstream.draw.clone(),
        garden: upstream.garden.clone(),
        frozen: upstream.frozen.clone(),
        delivery: asked.delivery.clone(),
        wanted_m3: asked.wanted_m3.clone(),
        demand: asked.demand.clone(),
        losses: upstream.losses.clone(),
        hours: tank_hours,
        flows: flows.clone(),
        outcome,
        days,
        months,
        limit_hours,
        storage: variants.storage,
        full_tank,
        in_service,
        start_ends,
        covered,
        shortfall_days_without_frost,
        shortfall_days_if_started_empty,
        snow_not_modelled: upstream.snow_not_modelled,
    })
}

impl Run {
    /// Level at the start of hour `h`, m³: usable water, or thirst owed from earlier hours of the day below zero.
    ///
    /// # Panics
    /// If `h` lies outside the record.
    #[must_use]
    pub fn level_before(&self, h: usize) -> f64 {
        level_before(&self.outcome, &self.hours, self.plan.tank.carry, h)
    }
}

/// Level at the start of hour `h`: what the hour before left, once what it booked as short is forgotten.
fn level_before(outcome: &Outcome, hours: &[Hour<1>], carry: tank::Carry, h: usize) -> f64 {
    let Some(before) = h.checked_sub(1) else {
        return outcome.start.level_m3[0];
    };
    let level = hours[before].level_m3[0];
    let forgets = h.is_multiple_of(HOURS_PER_DAY) || carry == tank::Carry::None;
    if forgets { level.max(0.0) } else { level }
}
