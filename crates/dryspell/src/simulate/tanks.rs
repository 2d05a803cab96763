//! Many tanks side by side at the end of the same flows.

use std::sync::Arc;

use super::backup::with_backup;
use super::passes::{acts_back, by_lowest_row, by_march, marches_always, would_march};
use super::{AnswersBy, Marches, PanelCover, StartEnds, TankResult, Upstream, Variant};
use crate::calendar::Calendar;
use crate::fault::Faults;
use crate::lanes::{self, Course, Lane};
use crate::plan::Plan;
use crate::reliability::autonomy::InService;
use crate::reliability::counters::Counts;
use crate::reliability::outcome::{Outcome, is_ring, ledgers, lowest_m3};
use crate::reliability::periods::{LimitHours, by_limit};
use crate::reliability::year::{DayLevels, StartsBy, first_month, tank_years};
use crate::supply::Limit;
use crate::tank::Settings;
use crate::tank::ledger::{State, Tanks};

/// Tanks from which on a block of lanes, most of them idle, is quicker than one tank after the other.
const FEW: usize = 6;

/// What many tanks come to at the end of the same flows, each by itself; in the order of `tanks`, and equal to what
/// [`super::at_tank`] finds to the last bit. `plan` says all but the tank; the tanks share its leak, open water, tolerance and rule
/// of thirst, which reach what lies before the tank.
///
/// # Example
/// ```
/// # use dryspell::{calendar::{Calendar, Day}, plan::Plan, record::Record, simulate::simulate, tank};
/// # let calendar = Calendar::starting(Day { year: 2023, month: 3, day: 1 }, 10);
/// # let (available, demand) = (vec![0.02; 240], vec![0.05; 240]);
/// # let plan = Plan::of_columns(available, demand, tank::Settings::open("main", 4.0));
/// # let record = Record::without_weather(calendar);
/// use dryspell::simulate::{Memo, at_tanks};
/// let upstream = Memo::default().upstream(&plan, &dryspell::edition::Edition::new(record))?;
/// let tanks = [4.0, 6.0, 8.0].map(|m3| tank::Settings::open("main", m3));
/// let short: Result<Vec<u32>, _> = at_tanks(&upstream, &plan, &tanks)
///     .into_iter()
///     .map(|result| result.map(|result| result.outcome.counts.shortfall_days))
///     .collect();
/// assert_eq!(short?, [5, 2, 0]);
/// # Ok::<(), dryspell::fault::Faults>(())
/// ```
#[must_use]
pub fn at_tanks(
    upstream: &Arc<Upstream>,
    plan: &Plan,
    tanks: &[Settings],
) -> Vec<Result<TankResult, Faults>> {
    let upstream = upstream.columns();
    let with = |tank: &Settings| plan.with_tank(tank.clone());
    let mut found: Vec<Option<Result<TankResult, Faults>>> = Vec::new();
    // Inflows are the march's; where it turns out that something acted back, the march answers, too.
    if tanks.len() >= FEW && !marches_always(upstream, plan) {
        found = Many::new(upstream, tanks).found(plan, &with);
    }
    found.resize_with(tanks.len(), || None);
    let alone = |tank| by_lowest_row(upstream, &with(tank)).map(|run| run.found);
    found.into_iter().zip(tanks).map(|(found, tank)| found.unwrap_or_else(|| alone(tank))).collect()
}

/// What sizes of one search come to for a judge, in their order: from the last down to the first for which he has nothing to say, after
/// which none is asked. Where the march answers for one of all sizes it answers for all, so that two sizes differ by their size
/// alone.
pub(crate) fn down_sizes<T>(
    upstream: &Arc<Upstream>,
    plan: &Plan,
    tanks: &[Settings],
    judge: impl Fn(&TankResult) -> Option<T>,
) -> Vec<Option<T>> {
    let upstream = upstream.columns();
    let with = |tank: &Settings| plan.with_tank(tank.clone());
    let marches = marches_always(upstream, plan)
        || Marches::of(plan) != Marches::Nothing
            && tanks.iter().any(|tank| would_march(upstream, &with(tank)).unwrap_or(false));
    let judged = |found: Result<TankResult, Faults>| found.ok().and_then(|found| judge(&found));
    if !marches {
        return at_tanks(upstream, plan, tanks).into_iter().map(judged).collect();
    }
    let mut all: Vec<Option<T>> = tanks.iter().map(|_| None).collect();
    for (tank, of) in tanks.iter().zip(&mut all).rev() {
        // One at a time: the hours of many hydrants are large.
        *of = judged(by_march(upstream, &with(tank)).map(|run| run.found));
        if of.is_none() {
            break;
        }
    }
    all
}

/// Tanks side by side at the end of the same flows.
struct Many<'a> {
    upstream: &'a Arc<Upstream>,
    calendar: &'a Calendar,
    settings: &'a [Settings],
    tanks: Vec<Tanks<1>>,
    tolerance: f64,
    course: Course<'a>,
}

/// What one tank came to in the record's own order.
struct OneTank {
    lane: Lane,
    held: [u32; Limit::ALL.len()],
    month: (u8, StartsBy),
    in_service: Option<InService>,
    lowest_m3: f64,
    /// State at the start of each tank year of a record of many, and the counts of each.
    at_years: Vec<State<1>>,
    years: Vec<Counts>,
}

impl<'a> Many<'a> {
    fn new(upstream: &'a Arc<Upstream>, settings: &'a [Settings]) -> Self {
        let tolerance = settings.first().map_or(0.0, |tank| tank.tolerance);
        Self {
            upstream,
            calendar: &upstream.calendar,
            settings,
            tanks: settings.iter().map(|tank| Tanks::new([tank])).collect(),
            tolerance,
            course: Course::new(&upstream.flows, &upstream.demand, tolerance),
        }
    }

    /// What each came to; `None` for those that do not fit lanes, and where something acted back.
    fn found(
        &self,
        plan: &Plan,
        with: &impl Fn(&Settings) -> Plan,
    ) -> Vec<Option<Result<TankResult, Faults>>> {
        let wraps = self.calendar.is_one_year();
        let full: Vec<State<1>> = self.tanks.iter().map(Tanks::full).collect();
        let steady = if wraps { lanes::settle(&self.course, &self.tanks) } else { Vec::new() };
        let starts = if wraps { steady.iter().map(|steady| steady.start).collect() } else { full };
        let seen = self.seen(&starts);
        let variants = self.upstream.variants.as_ref();
        let start_ends = variants
            .start_ends
            .as_ref()
            .map(|ends| ends.each_ref().map(|end| end.as_ref().map(|v| self.days_of(v))));
        let covered: Vec<(u32, Vec<(u32, bool)>)> =
            variants.covered.iter().map(|(days, variant)| (*days, self.days_of(variant))).collect();
        let without_frost = variants.without_frost.as_ref().map(|variant| self.days_of(variant));
        let snow_ends = variants.snow_ends.as_ref().map(|ends| ends.each_ref().map(|end| self.days_of(end)));
        let all_days = || {
            let ends = start_ends.iter().flatten().flatten();
            ends.chain(covered.iter().map(|(_, of)| of))
                .chain(&without_frost)
                .chain(snow_ends.iter().flatten())
        };
        let acts_back = |place: usize, ran_dry: bool| {
            let thirsty = ran_dry || all_days().any(|of| of[place].1);
            acts_back(self.upstream, plan, thirsty)
        };
        let empty: Vec<State<1>> = self.tanks.iter().map(Tanks::empty).collect();
        let from_empty = (!wraps).then(|| self.days_from(&self.course, &empty));
        let all = by_limit(self.upstream.supply.limit.iter().copied());
        let one = |(place, seen): (usize, Option<OneTank>)| {
            let (seen, tank) = (seen?, &self.settings[place]);
            if acts_back(place, seen.lane.ran_dry) {
                return None;
            }
            let settled = steady.get(place).is_none_or(|steady| steady.settled);
            let ledgers = ledgers(&seen.lane.totals, &starts[place], &seen.lane.end, tank);
            if let Err(fault) = ledgers.close() {
                return Some(Err(fault.into()));
            }
            let counts = if is_ring(self.calendar, &self.upstream.demand, settled) {
                seen.lane.ring
            } else {
                seen.lane.counts
            };
            let years = if wraps { vec![counts] } else { seen.years };
            let outcome = Outcome {
                counts,
                ledgers,
                lowest_m3: seen.lowest_m3,
                passes: steady.get(place).map(|steady| steady.passes),
                settled,
                start: starts[place],
                tank_year_month: seen.month.0,
                tank_year_by: seen.month.1,
                years: tank_years(self.calendar, seen.month.0).into_iter().zip(years).collect(),
            };
            Some(Ok(TankResult {
                plan: with(tank),
                ran_dry: seen.lane.ran_dry,
                full_tank: self.upstream.lasting.full_tank(tank, self.calendar),
                in_service: seen.in_service,
                limit_hours: LimitHours::new(&all, &seen.held),
                start_ends: start_ends.as_ref().map(|ends| {
                    let [zero_days, best_line_days] = ends
                        .each_ref()
                        .map(|end| end.as_ref().map_or(outcome.counts.shortfall_days, |days| days[place].0));
                    StartEnds { zero_days, best_line_days }
                }),
                covered: covered
                    .iter()
                    .map(|(days, of)| PanelCover { days: *days, shortfall_days: of[place].0 })
                    .collect(),
                snow_ends: snow_ends.as_ref().map(|ends| ends.each_ref().map(|days| days[place].0)),
                shortfall_days_without_frost: without_frost.as_ref().map(|days| days[place].0),
                shortfall_days_if_started_empty: from_empty.as_ref().map(|days| days[place].0),
                outcome,
                answers_by: AnswersBy::Columns,
                backup: match plan
                    .backup
                    .as_ref()
                    .map(|backup| with_backup(self.upstream, &with(tank), backup))
                {
                    Some(Err(faults)) => return Some(Err(faults)),
                    Some(Ok(backup)) => Some(backup),
                    None => None,
                },
                herds: None,
                tanks: Arc::default(),
                serving_tanks: Vec::new(),
                lifts: Arc::default(),
                upstream: self.upstream.clone(),
            }))
        };
        seen.into_iter().enumerate().map(one).collect()
    }

    /// Every hour of every tank that fits lanes.
    fn seen(&self, starts: &[State<1>]) -> Vec<Option<OneTank>> {
        let mut all: Vec<Option<OneTank>> = self.settings.iter().map(|_| None).collect();
        lanes::watch(&self.course, &self.tanks, starts, &self.upstream.supply.limit, |place, seen| {
            let full_m3 = self.tanks[place].full_m3()[0];
            let month = match self.settings[place].year_starts_in_month {
                Some(month) => (month, StartsBy::Scheme),
                None => first_month(self.calendar, |day| DayLevels {
                    full_hours: seen.full_hours(day, full_m3),
                    start_m3: seen.state_at(day).level_m3[0].max(0.0),
                    stock: self.upstream.demand.is_stock_day(day),
                }),
            };
            let levels = std::iter::once(starts[place].level_m3[0]).chain(seen.ends_m3());
            let years = tank_years(self.calendar, month.0);
            let first_days = years.iter().filter_map(|year| year.days().next());
            all[place] = Some(OneTank {
                lane: seen.lane,
                held: seen.held,
                month,
                in_service: InService::of(self.upstream.lasting.autonomy(), levels),
                lowest_m3: lowest_m3(seen.ends_m3()),
                at_years: first_days.map(|day| seen.state_at(day)).collect(),
                years: Vec::new(),
            });
        });
        // One year's table has one row, however it is cut.
        if !self.calendar.is_one_year() {
            self.count_years(&mut all);
        }
        all
    }

    /// The tank years of a record of many, each from its first day.
    fn count_years(&self, all: &mut [Option<OneTank>]) {
        for month in 1..=12 {
            let those: Vec<usize> = (0..all.len())
                .filter(|i| all[*i].as_ref().is_some_and(|seen| seen.month.0 == month))
                .collect();
            if those.is_empty() {
                continue;
            }
            let tanks: Vec<Tanks<1>> = those.iter().map(|i| self.tanks[*i]).collect();
            for (number, year) in tank_years(self.calendar, month).iter().enumerate() {
                let starts: Vec<State<1>> =
                    those.iter().filter_map(|i| all[*i].as_ref()?.at_years.get(number).copied()).collect();
                let lanes = lanes::run(&self.course, &tanks, &starts, &year.stretches);
                for (i, lane) in those.iter().zip(lanes) {
                    if let Some(seen) = &mut all[*i] {
                        seen.years.push(lane.counts);
                    }
                }
            }
        }
    }

    /// Days of shortfall of every tank with one thing changed, and whether it ran dry.
    fn days_of(&self, other: &Variant) -> Vec<(u32, bool)> {
        let course = Course::new(&other.flows, &other.demand, self.tolerance);
        if self.calendar.is_one_year() {
            let years = lanes::steady_year(&course, &self.tanks);
            return years.into_iter().map(|(_, lane)| (lane.counts.shortfall_days, lane.ran_dry)).collect();
        }
        let full: Vec<State<1>> = self.tanks.iter().map(Tanks::full).collect();
        self.days_from(&course, &full)
    }

    fn days_from(&self, course: &Course<'_>, starts: &[State<1>]) -> Vec<(u32, bool)> {
        let days = 0..course.days();
        let lanes = lanes::run(course, &self.tanks, starts, std::slice::from_ref(&days));
        lanes.into_iter().map(|lane| (lane.counts.shortfall_days, lane.ran_dry)).collect()
    }
}
