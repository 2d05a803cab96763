//! The whole way of the water: a plan and a record in, a [`Run`] out.

mod asked;
mod frozen;
mod losses;

pub use asked::Asked;
pub use frozen::{Frozen, frost_report};
pub use losses::Losses;

use crate::calendar::{Calendar, HOURS_PER_DAY};
use crate::fault::Fault;
use crate::pipe::Advice;
use crate::plan::Plan;
use crate::record::{Place, Record, Source, YearKind};
use crate::reliability::autonomy::{Autonomy, FullTank, InService};
use crate::reliability::demand::Demand;
use crate::reliability::outcome::{Outcome, follow, shortfall_days, shortfall_days_from_empty};
use crate::reliability::periods::{self, DayFigures, LimitHours, MonthFigures};
use crate::reliability::storage::{StorageNeeded, needed};
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
    pub calendar: Calendar,
    /// Air temperature, °C, each hour.
    pub air_degc: Vec<f64>,
    /// Sun and radiation, each hour.
    pub sky: sun::Sky,
    /// Panels, each hour.
    pub array: array::Columns,
    /// Pump, well and pipe, each hour.
    pub supply: supply::Columns,
    /// The head taken apart at the highest flow of the record.
    pub head: supply::HeadBuildUp,
    /// The hour of that flow.
    pub head_hour: usize,
    /// What the pipe's velocities and pressure classes deserve a word about.
    pub advice: Vec<Advice>,
    /// Herd, each hour.
    pub draw: draw::Columns,
    /// Gardens, each hour.
    pub garden: draw::garden::Columns,
    /// The hours in which frost stops a way.
    pub frozen: Frozen,
    /// From the tank to the hydrants; `None` where all stock drinks at the tank.
    pub delivery: Option<delivery::Columns>,
    /// Wanted by the stock, m³ in each hour, on the grid.
    pub wanted_m3: Vec<f64>,
    /// The stock's draw by day, and what is short before the tank has a say.
    pub demand: Demand,
    /// What tank and troughs lose, at most.
    pub losses: Losses,
    /// The tank's hours in record order.
    pub hours: Vec<Hour<1>>,
    /// The columns that drove the tank, on the grid.
    pub flows: Flows,
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
    record.check().map_err(|fault| vec![fault])?;
    let sky = sun::sky(&plan.sun, record).map_err(|fault| vec![fault])?;
    let array = array::array(&plan.array, &sky, &plan.sun, record).map_err(|fault| vec![fault])?;
    let frozen = Frozen::of(plan, record)?;
    let source = supply::Source::from(&array).stopped(&frozen.supply);
    let mut supply = supply::supply(&plan.supply, source, &record.calendar)?;
    supply.ledger.close().map_err(|fault| vec![fault])?;
    // The pump cannot tell covered panels from night; the sky can.
    for (limit, plane) in supply.limit.iter_mut().zip(&array.plane_w_per_m2) {
        if *limit == supply::Limit::Night && *plane > 0.0 {
            *limit = supply::Limit::SunBelowStart;
        }
    }
    // The highest flow is the one that a reviewer asks about; the first hour on ties.
    let head_hour = (0..record.hours())
        .max_by(|a, b| supply.lifted_m3[*a].total_cmp(&supply.lifted_m3[*b]).then(b.cmp(a)))
        .unwrap_or(0);
    let head_month = record.calendar.day_of(head_hour).month;
    let head = supply::head_build_up(&plan.supply, head_month, supply.lifted_m3[head_hour])?;
    let system = supply::System::new(&plan.supply)?;
    let pressure_m = supply.limit.iter().zip(&supply.head_m).filter(|(l, _)| l.flows()).map(|(_, h)| *h);
    let advice = system.advice(head.flow_m3_per_h, pressure_m.fold(0.0, f64::max));
    let draw = draw::draw(&plan.draw, &record.calendar, &record.air_degc)?;
    let garden = draw::garden::garden(&plan.draw.gardens, record)?;
    let hours = record.hours();
    let booster = plan.delivery.as_ref().and_then(|d| d.booster.as_ref());
    let panel_w = booster.map_or(Ok(Vec::new()), |b| delivery::panel_w(b, &sky, &plan.sun, record));
    let panel_w = panel_w.map_err(|fault| vec![fault])?;
    let asked = Asked::of(plan, record, &draw, &garden.wanted_m3, &frozen.hydrants, &panel_w)?;
    let losses = Losses::of(plan, record);
    let flows_of = |offered_m3: &[f64], asked: &Asked| {
        Flows::new(offered_m3, &asked.stock_m3, &losses.evaporation_m3, &losses.leak_m3)
            .with_garden(&asked.garden_m3)
    };
    let flows = flows_of(&supply.offered_m3, &asked);
    let (tank_hours, outcome) = follow(&plan.tank, &flows, &asked.demand, &record.calendar)?;

    let wraps = record.calendar.is_one_year();
    let storage = needed(&flows, wraps);
    let autonomy = Autonomy::new(&flows, wraps);
    let full_tank = FullTank::of(&autonomy, tank::grid::volume_m3(plan.tank.full_m3()), |h| {
        record.calendar.day_of(h).month
    });
    let level_at_start: Vec<f64> =
        (0..hours).map(|h| level_before(&outcome, &tank_hours, plan.tank.carry, h)).collect();
    let in_service = InService::of(&autonomy, &level_at_start);

    let shortfall_of = |offered_m3: &[f64], asked: &Asked| {
        shortfall_days(&plan.tank, &flows_of(offered_m3, asked), &asked.demand, &record.calendar)
    };
    let with_start_end = |hopeful: bool| -> Result<Option<u32>, Vec<Fault>> {
        match plan.supply.pump.with_start_end(hopeful) {
            None => Ok(None),
            Some(pump) if pump == plan.supply.pump => Ok(Some(outcome.counts.shortfall_days)),
            Some(pump) => {
                let settings = supply::Settings { pump, ..plan.supply.clone() };
                let other = supply::supply(&settings, source, &record.calendar)?;
                Ok(Some(shortfall_of(&other.offered_m3, &asked)))
            }
        }
    };
    let start_ends = with_start_end(false)?
        .zip(with_start_end(true)?)
        .map(|(zero_days, best_line_days)| StartEnds { zero_days, best_line_days });
    let mut covered = Vec::new();
    for days in COVERED_DAYS {
        let Some(critical) = storage.critical else { continue };
        let mut offered = supply.offered_m3.clone();
        cover(&mut offered, critical.began, days);
        let shortfall_days = if panel_w.is_empty() {
            shortfall_of(&offered, &asked)
        } else {
            // The booster's panels lie under the same snow.
            let mut dark_w = panel_w.clone();
            cover(&mut dark_w, critical.began, days);
            let asked = Asked::of(plan, record, &draw, &garden.wanted_m3, &frozen.hydrants, &dark_w)?;
            shortfall_of(&offered, &asked)
        };
        covered.push(Covered { days, shortfall_days });
    }
    let shortfall_days_without_frost = if frozen.stops_anything() {
        let supply = supply::supply(&plan.supply, &array, &record.calendar)?;
        let asked = Asked::of(plan, record, &draw, &garden.wanted_m3, &[], &panel_w)?;
        Some(shortfall_of(&supply.offered_m3, &asked))
    } else {
        None
    };
    let shortfall_days_if_started_empty =
        (!wraps).then(|| shortfall_days_from_empty(&plan.tank, &flows, &asked.demand));
    let days = periods::days(&periods::Columns {
        plane_w_per_m2: &array.plane_w_per_m2,
        flows: &flows,
        wanted_m3: &asked.wanted_m3,
        demand: &asked.demand,
        hours: &tank_hours,
        tolerance: plan.tank.tolerance,
    });
    let months = periods::months(&record.calendar, &days);
    let limit_hours = periods::limit_hours(&supply.limit, &tank_hours);
    let snow_not_modelled =
        !plan.array.snow.is_modelled(record) && coldest_month_degc(record) < SNOW_MONTH_DEGC;
    Ok(Run {
        plan: plan.clone(),
        place: record.place.clone(),
        kind: record.kind,
        source: record.source.clone(),
        calendar: record.calendar.clone(),
        air_degc: record.air_degc.clone(),
        sky,
        array,
        supply,
        head,
        head_hour,
        advice,
        draw,
        garden,
        frozen,
        delivery: asked.delivery,
        wanted_m3: asked.wanted_m3,
        demand: asked.demand,
        losses,
        hours: tank_hours,
        flows,
        outcome,
        days,
        months,
        limit_hours,
        storage,
        full_tank,
        in_service,
        start_ends,
        covered,
        shortfall_days_without_frost,
        shortfall_days_if_started_empty,
        snow_not_modelled,
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

/// Nothing is pumped for `days` days from the day of hour `began`, going round the record's end.
fn cover(offered_m3: &mut [f64], began: usize, days: u32) {
    let n = offered_m3.len();
    let first = began / HOURS_PER_DAY * HOURS_PER_DAY;
    let length = (days as usize * HOURS_PER_DAY).min(n);
    for h in first..first + length {
        offered_m3[h % n] = 0.0;
    }
}

/// Mean temperature of the coldest calendar month, °C.
fn coldest_month_degc(record: &Record) -> f64 {
    let mut sums = [(0.0, 0_u32); 12];
    for (h, degc) in record.air_degc.iter().enumerate() {
        let month = &mut sums[usize::from(record.calendar.day_of(h).month) - 1];
        month.0 += degc;
        month.1 += 1;
    }
    sums.iter().filter(|m| m.1 > 0).map(|m| m.0 / f64::from(m.1)).fold(f64::INFINITY, f64::min)
}
