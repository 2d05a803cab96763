//! The chance of a dry year for many sizes, all on the same years.
//!
//! Every size meets the same made years, so that two sizes differ by their size alone and not by the luck of other years.
//! Tanks behind the same panels run side by side ([`crate::lanes`]).

use crate::edition::EditionRef;
use crate::fault::Faults;
use crate::lanes::{self, Course};
use crate::plan::Plan;
use crate::record::Record;
use crate::reliability::year::tank_years;
use crate::simulate::{Memo, Upstream, acted_back};
use crate::tank::Settings;
use crate::tank::ledger::{State, Tanks};

/// Sizes that share all that lies before the tank.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// What they share; its own tank counts only for what reaches before the tank (leak, open water, tolerance, thirst).
    pub plan: Plan,
    /// The tanks.
    pub tanks: Vec<Settings>,
}

impl Group {
    /// Puts plans that differ in the tank's size, float or reserve alone into groups. The second list says where each plan
    /// went: group and tank.
    #[must_use]
    pub fn gather<'a>(plans: impl IntoIterator<Item = &'a Plan>) -> (Vec<Self>, Vec<(usize, usize)>) {
        let mut groups: Vec<Self> = Vec::new();
        let mut shared: Vec<Plan> = Vec::new();
        let places = plans
            .into_iter()
            .map(|plan| {
                let before = before_the_tank(plan);
                // Sizes mostly follow others of their group.
                let at = shared.iter().rposition(|other| *other == before).unwrap_or_else(|| {
                    groups.push(Self { plan: plan.clone(), tanks: Vec::new() });
                    shared.push(before);
                    groups.len() - 1
                });
                groups[at].tanks.push(plan.tank.clone());
                (at, groups[at].tanks.len() - 1)
            })
            .collect();
        (groups, places)
    }
}

/// The plan without what only the tank itself feels.
fn before_the_tank(plan: &Plan) -> Plan {
    let tank = Settings {
        capacity_m3: 0.0,
        float_stop_m3: None,
        float_start_m3: None,
        garden_reserve_m3: 0.0,
        year_starts_in_month: None,
        ..plan.tank.clone()
    };
    Plan { tank, ..plan.clone() }
}

/// How many of so many tank years have at least one day of shortfall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Chance {
    /// Years with at least one day of shortfall.
    pub dry: u32,
    /// All years.
    pub years: u32,
}

impl Chance {
    /// Their share, 0 to 1; `None` without years.
    #[must_use]
    pub fn share(self) -> Option<f64> {
        (self.years > 0).then(|| f64::from(self.dry) / f64::from(self.years))
    }

    /// Standard error of the share, years taken as independent: that of having made only so many. It says nothing about
    /// the record.
    ///
    /// ```
    /// use dryspell::sizing::Chance;
    /// // The standard deviation of 0 and 1 in equal parts is 0.5; over √100 that is 0.05 (99 in the divisor).
    /// let half = Chance { dry: 50, years: 100 };
    /// assert!((half.standard_error().unwrap() - 0.5 / 99.0_f64.sqrt()).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn standard_error(self) -> Option<f64> {
        let share = self.share().filter(|_| self.years > 1)?;
        Some((share * (1.0 - share) / f64::from(self.years - 1)).sqrt())
    }

    /// Both together.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self { dry: self.dry + other.dry, years: self.years + other.years }
    }
}

/// Counts the dry years of every tank of every group over the first `years` whole tank years of a record of many years.
/// A group that cannot run on it gives its faults.
///
/// # Validity
/// The record starts with full tanks and runs straight through. Of a one-year record nothing is counted: it has no other
/// years.
#[must_use]
pub fn count(
    groups: &[Group],
    record: &Record,
    tank_year_month: u8,
    years: usize,
) -> Vec<Result<Vec<Chance>, Faults>> {
    // One memory for all: sun, herd and frost are the same for every array.
    let mut memo = Memo::default();
    let lent = EditionRef::new(record);
    groups
        .iter()
        .map(|group| {
            let upstream = memo.driven(&group.plan, lent)?;
            dry_years(&upstream, group, tank_year_month, years)
        })
        .collect()
}

/// The dry years of tanks at the end of the same flows: by lanes, and by the march for those where something acts back.
fn dry_years(upstream: &Upstream, group: &Group, month: u8, years: usize) -> Result<Vec<Chance>, Faults> {
    let (mut chances, ran_dry) = by_lanes(upstream, &group.tanks, month, years);
    if upstream.calendar.is_one_year() {
        return Ok(chances);
    }
    for ((chance, tank), ran_dry) in chances.iter_mut().zip(&group.tanks).zip(ran_dry) {
        let tank = Settings { year_starts_in_month: Some(month), ..tank.clone() };
        let plan = Plan { tank, ..group.plan.clone() };
        if let Some((_, outcome)) = acted_back(upstream, &plan, ran_dry)? {
            let whole = outcome.years.iter().filter(|(year, _)| year.whole).take(years);
            *chance = whole.fold(Chance::default(), |sum, (_, counts)| {
                sum.and(Chance { dry: u32::from(counts.shortfall_days > 0), years: 1 })
            });
        }
    }
    Ok(chances)
}

/// The dry years of tanks as if nothing acted back, and whether each ran dry.
fn by_lanes(upstream: &Upstream, settings: &[Settings], month: u8, years: usize) -> (Vec<Chance>, Vec<bool>) {
    let mut ran_dry = vec![false; settings.len()];
    let mut chances = vec![Chance::default(); settings.len()];
    if upstream.calendar.is_one_year() {
        return (chances, ran_dry);
    }
    let tolerance = settings.first().map_or(0.0, |tank| tank.tolerance);
    let course = Course::new(&upstream.flows, &upstream.demand, tolerance);
    let tanks: Vec<Tanks<1>> = settings.iter().map(|tank| Tanks::new([tank])).collect();
    let mut states: Vec<State<1>> = tanks.iter().map(Tanks::full).collect();
    let mut counted = 0;
    for year in tank_years(&upstream.calendar, month) {
        if counted == years {
            break;
        }
        let lanes = lanes::run(&course, &tanks, &states, &year.stretches);
        if year.whole {
            counted += 1;
            for (chance, lane) in chances.iter_mut().zip(&lanes) {
                *chance = chance.and(Chance { dry: u32::from(lane.counts.shortfall_days > 0), years: 1 });
            }
        }
        ran_dry.iter_mut().zip(&lanes).for_each(|(any, lane)| *any |= lane.ran_dry);
        states = lanes.iter().map(|lane| lane.end).collect();
    }
    (chances, ran_dry)
}
