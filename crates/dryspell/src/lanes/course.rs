//! What all tanks meet, on the integer grid: the hours of each day, and all that is the same for every tank in them.

use std::ops::Range;

use crate::calendar::HOURS_PER_DAY;
use crate::grid;
use crate::reliability::demand::Demand;
use crate::reliability::groups::{self, ALL_HOURS, GroupDay, TankDay};
use crate::tank::hour::Met;
use crate::tank::ledger::Flows;

/// The largest volume that a lane can hold, in steps of the grid: just under 2048 m³.
pub(super) const MOST: i32 = i32::MAX - 2;

/// Inflow, draw and losses of a record, made ready once for any number of tanks.
#[derive(Debug, Clone)]
pub struct Course<'a> {
    pub(super) flows: &'a Flows,
    pub(super) demand: &'a Demand,
    pub(super) tolerance: f64,
    /// `None` where a volume is off the grid or too large for it.
    pub(super) days: Option<Days>,
}

impl<'a> Course<'a> {
    /// Makes flows and demand ready. A day is short when its shortage exceeds `tolerance` (0 to 1) of that day's stock
    /// draw, or when a hydrant by itself is that short.
    #[must_use]
    pub fn new(flows: &'a Flows, demand: &'a Demand, tolerance: f64) -> Self {
        Self { flows, demand, tolerance, days: Days::new(flows, demand, tolerance) }
    }

    /// Number of days.
    #[must_use]
    pub fn days(&self) -> usize {
        self.flows.hours() / HOURS_PER_DAY
    }
}

/// The days of a record.
#[derive(Debug, Clone)]
pub(super) struct Days {
    pub(super) days: Vec<Day>,
    /// The steps of all days, one after the other.
    pub(super) steps: Vec<Step>,
    /// The largest [`Day::reach`].
    pub(super) reach: i32,
}

/// One hour, in steps of the grid.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Hour {
    pub(super) available: i32,
    pub(super) requested: i32,
    pub(super) garden: i32,
    pub(super) evaporation: i32,
    /// Evaporation and leak.
    pub(super) loss: i32,
}

impl Hour {
    /// The same as the tank's hour takes it.
    #[inline(always)]
    pub(super) fn met(&self) -> Met<i32> {
        Met {
            available: self.available,
            free: 0,
            requested: self.requested,
            garden: self.garden,
            evaporation: self.evaporation,
            leak: self.loss - self.evaporation,
        }
    }
}

/// A stretch of hours that a lane with water in it passes in one go.
#[derive(Debug, Clone, Copy)]
pub(super) enum Step {
    /// An hour with inflow and no garden: what is available, and all that goes.
    Inflow { available: i32, draw: i32 },
    /// Hours without inflow and gardens: what goes in the first, and in all.
    Rest { first: i32, draw: i32 },
    /// An hour in which gardens ask.
    Garden(Hour),
}

/// A day as the one clip that a tank without a band makes of it, while it has water: `x → min(x + sum, L + top)`.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Clip {
    pub(super) sum: i32,
    pub(super) top: i32,
    /// The lowest of the day is `min(x + low_sum, L + low_top)`.
    pub(super) low_sum: i32,
    pub(super) low_top: i32,
}

/// Runs of flagged hours in a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Runs {
    pub(super) lead: i32,
    pub(super) longest: i32,
    pub(super) trail: i32,
    pub(super) whole: bool,
}

/// One day.
#[derive(Debug, Clone)]
pub(super) struct Day {
    pub(super) hours: [Hour; HOURS_PER_DAY],
    /// Its steps among those of all days.
    pub(super) steps: Range<usize>,
    /// `None` where gardens ask: what they get depends on the level.
    pub(super) clip: Option<Clip>,
    /// Sums of the day.
    pub(super) available: i32,
    pub(super) requested: i32,
    pub(super) garden: i32,
    pub(super) evaporation: i32,
    pub(super) loss: i32,
    /// All that can go in the day.
    pub(super) draw: i32,
    /// Bound of all that can come and go in the day.
    pub(super) reach: i32,
    /// Whether any stock draws.
    pub(super) stock: bool,
    /// Whether there are troughs between tank and animals.
    pub(super) troughs: bool,
    /// Demand of the stock, m³, as the counters know it.
    pub(super) demand_m3: f64,
    /// Short between tank and animals, m³.
    pub(super) way_short_m3: f64,
    /// The groups of the herd.
    pub(super) groups: Vec<Group>,
    /// Least shortage of the tank that makes this a day of shortfall; [`i32::MAX`] when none does.
    pub(super) least_short: i32,
    /// Hours in which any group stands dry though the tank has water all day.
    pub(super) dry_hours: i32,
}

/// A group of the herd on a day.
#[derive(Debug, Clone)]
pub(super) struct Group {
    pub(super) day: GroupDay,
    /// Dry and idle hours where the tank has water all day.
    pub(super) dry: Runs,
    pub(super) idle: Runs,
}

impl Days {
    fn new(flows: &Flows, demand: &Demand, tolerance: f64) -> Option<Self> {
        let available = column(&flows.available_m3)?;
        let requested = column(&flows.requested_m3)?;
        let garden = column(&flows.garden_m3)?;
        let evaporation = column(&flows.evaporation_m3)?;
        let leak = column(&flows.leak_m3)?;
        let mut days = Vec::with_capacity(flows.hours() / HOURS_PER_DAY);
        let mut steps = Vec::with_capacity(flows.hours() / 2);
        for day in 0..flows.hours() / HOURS_PER_DAY {
            let first = day * HOURS_PER_DAY;
            let mut hours = [Hour::default(); HOURS_PER_DAY];
            for (hour, h) in hours.iter_mut().zip(first..) {
                *hour = Hour {
                    available: available[h],
                    requested: requested[h],
                    garden: garden[h],
                    evaporation: evaporation[h],
                    loss: evaporation[h].checked_add(leak[h])?,
                };
            }
            days.push(Day::new(hours, &mut steps, demand, tolerance, day)?);
        }
        let reach = days.iter().map(|day| day.reach).max().unwrap_or(0);
        Some(Self { days, steps, reach })
    }
}

impl Day {
    fn new(
        hours: [Hour; HOURS_PER_DAY],
        all_steps: &mut Vec<Step>,
        demand: &Demand,
        tolerance: f64,
        day: usize,
    ) -> Option<Self> {
        let mut tank = TankDay::default();
        let (mut available, mut requested, mut garden, mut evaporation, mut loss) =
            (0_i64, 0_i64, 0_i64, 0_i64, 0_i64);
        for hour in &hours {
            available += i64::from(hour.available);
            requested += i64::from(hour.requested);
            garden += i64::from(hour.garden);
            evaporation += i64::from(hour.evaporation);
            loss += i64::from(hour.loss);
            tank.drawn = tank.drawn << 1 | u32::from(hour.requested > 0);
        }
        let draw = requested + garden + loss;
        // Where this fits, so does every part of it.
        let reach = i32::try_from(available + draw).ok()?;
        let part = |sum: i64| i32::try_from(sum).ok();
        let stock = demand.is_stock_day(day);
        let first_step = all_steps.len();
        add_steps(&hours, all_steps);
        Some(Self {
            steps: first_step..all_steps.len(),
            clip: (garden == 0).then(|| Clip::new(&hours)),
            available: part(available)?,
            requested: part(requested)?,
            garden: part(garden)?,
            evaporation: part(evaporation)?,
            loss: part(loss)?,
            draw: part(draw)?,
            reach,
            stock,
            troughs: demand.has_troughs(),
            demand_m3: demand.demand_m3(day),
            way_short_m3: demand.delivery_shortage_m3(day),
            least_short: least_short(
                tolerance * demand.demand_m3(day) - demand.delivery_shortage_m3(day),
                |short_m3| demand.is_short_day(day, short_m3, tolerance),
            ),
            groups: demand
                .groups_on(day)
                .map(|group| Group {
                    day: *group,
                    dry: Runs::new(group.dry(&tank)),
                    idle: Runs::new(group.idle(&tank)),
                })
                .collect(),
            dry_hours: small(demand.dry_hours(day, 0)),
            hours,
        })
    }

    /// Whether the day can be one of shortfall, or the worst, for a tank that lacks nothing.
    pub(super) fn delivery_shortage(&self) -> bool {
        self.least_short <= 0 || self.way_short_m3 > 0.0
    }
}

impl Clip {
    fn new(hours: &[Hour; HOURS_PER_DAY]) -> Self {
        let mut clip = Self { sum: 0, top: i32::MAX, low_sum: i32::MAX, low_top: i32::MAX };
        for hour in hours {
            let change = hour.available - hour.requested - hour.loss;
            clip.sum += change;
            // What the hours after a full tank took from it, or nothing where this hour fills it.
            clip.top = if clip.top == i32::MAX { 0 } else { (clip.top + change).min(0) };
            clip.low_sum = clip.low_sum.min(clip.sum);
            clip.low_top = clip.low_top.min(clip.top);
        }
        clip
    }
}

impl Runs {
    fn new(bits: u32) -> Self {
        Self {
            lead: small(groups::lead(bits)),
            longest: small(groups::longest_run(bits)),
            trail: small(groups::trail(bits)),
            whole: bits == ALL_HOURS,
        }
    }
}

fn small(count: u32) -> i32 {
    i32::try_from(count).unwrap_or(i32::MAX)
}

/// Joins hours without inflow and gardens.
fn add_steps(hours: &[Hour; HOURS_PER_DAY], steps: &mut Vec<Step>) {
    let mut rest: Option<(i32, i32)> = None;
    for hour in hours {
        let goes = hour.requested + hour.loss;
        if hour.available == 0 && hour.garden == 0 {
            rest = Some(rest.map_or((goes, goes), |(first, draw)| (first, draw + goes)));
            continue;
        }
        steps.extend(rest.take().map(|(first, draw)| Step::Rest { first, draw }));
        steps.push(if hour.garden > 0 {
            Step::Garden(*hour)
        } else {
            Step::Inflow { available: hour.available, draw: goes }
        });
    }
    steps.extend(rest.map(|(first, draw)| Step::Rest { first, draw }));
}

/// The least shortage for which a day is short. The rule itself stays with the demand: it is asked on either side of a
/// guess, and where that is off the answer is found by halving.
fn least_short(guess_m3: f64, is_short: impl Fn(f64) -> bool) -> i32 {
    let short = |steps: i32| is_short(f64::from(steps) * grid::STEP_M3);
    if !short(MOST) {
        return i32::MAX;
    }
    if short(0) {
        return 0;
    }
    let (mut not, mut is) = (0, MOST);
    let guess = volume(libm::floor(guess_m3 * grid::STEPS_PER_M3) * grid::STEP_M3);
    if let Some(guess) = guess
        && guess < MOST
        && !short(guess)
        && short(guess + 1)
    {
        return guess + 1;
    }
    while is - not > 1 {
        let middle = not + (is - not) / 2;
        if short(middle) {
            is = middle;
        } else {
            not = middle;
        }
    }
    is
}

/// A volume in steps of the grid; `None` off the grid, below zero, or too large.
#[inline]
pub(super) fn volume(volume_m3: f64) -> Option<i32> {
    let (steps, fits) = steps_of(volume_m3);
    fits.then_some(steps)
}

/// A volume in steps, and whether it is that.
#[expect(clippy::cast_possible_truncation, reason = "a cast that loses anything is seen at once")]
#[expect(clippy::float_cmp, reason = "volumes are on the grid or not")]
#[inline]
fn steps_of(volume_m3: f64) -> (i32, bool) {
    let steps = volume_m3 * grid::STEPS_PER_M3;
    let whole = steps as i32;
    (whole, f64::from(whole) == steps && (0..=MOST).contains(&whole))
}

/// A column in steps of the grid; `None` when any volume is off it, below zero, or too large.
fn column(volumes_m3: &[f64]) -> Option<Vec<i32>> {
    let mut fit = true;
    let mut steps = vec![0; volumes_m3.len()];
    for (step, volume_m3) in steps.iter_mut().zip(volumes_m3) {
        let (whole, fits) = steps_of(*volume_m3);
        *step = whole;
        fit &= fits;
    }
    fit.then_some(steps)
}
