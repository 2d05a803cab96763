//! The smallest sizes that meet a target.

use dryspell::sweep::Axis;
use dryspell::units::System;
use schemars::JsonSchema;
use serde::Serialize;

use super::{About, Ends};
use crate::goal::asked;
use crate::size::{Page, SizeResult, answer_of, smallest_of, words};

/// What `dryspell size --json` writes: the smallest tank and array that meet a target, and every size tried.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SizeAnswer {
    /// Name and version of this shape.
    schema: &'static str,
    /// The answer in words.
    answer: String,
    /// The scheme, and what the answer rests on.
    scheme: About,
    /// What a size must meet, all of it.
    targets: Vec<String>,
    /// Whether any size tried meets them.
    met: bool,
    /// The smallest tank from which all larger ones tried meet them, with the scheme's own array; null where none does.
    smallest_tank: Option<SizeTold>,
    /// The smallest array from which all larger ones tried meet them, with the scheme's own tank; null where none does.
    smallest_array: Option<SizeTold>,
    /// Every tank tried with the scheme's own array.
    tanks: Vec<SizeTold>,
    /// Every array tried with the scheme's own tank.
    arrays: Vec<SizeTold>,
    /// Every tank with every array.
    all: Vec<SizeTold>,
    /// The made years that the chance of a dry year rests on; null where it is not asked, or rests on the record's own.
    made: Option<MadeTold>,
}

/// The made years that a chance rests on.
#[derive(Debug, Serialize, JsonSchema)]
struct MadeTold {
    /// Years made.
    years: usize,
    /// Whole years of the record that they were made from.
    record_years: usize,
    /// Drawings of the record's years; 0 where they would say nothing.
    drawings: usize,
    /// Mean length of a block, days.
    mean_block_days: f64,
    /// Seed that they were made from: the same one gives the same years.
    seed: u64,
}

/// One size.
#[derive(Debug, Clone, Serialize, JsonSchema)]
struct SizeTold {
    /// The tank as tried; null where it is the scheme's own.
    tank: Option<String>,
    /// The array as tried; null where it is the scheme's own.
    array: Option<String>,
    /// Capacity of the tank that is sized, m3; null where it cannot run.
    capacity_m3: Option<f64>,
    /// Modules of all arrays; null where it cannot run.
    modules: Option<u32>,
    /// Whether it meets all targets.
    met: bool,
    /// Days of shortfall in a mean year, days.
    shortfall_days: Option<f64>,
    /// Share of the demand served, %.
    volume_served_percent: Option<f64>,
    /// Days that a full tank lasts from the worst start hour, days.
    full_tank_autonomy_days: Option<f64>,
    /// Least water in the tank at the end of any hour, m3.
    lowest_m3: Option<f64>,
    /// Dry hours in a row, h.
    longest_dry_hours: Option<u32>,
    /// Share of made years with a day of shortfall, %; null where no years were made.
    dry_percent: Option<f64>,
    /// Its standard error, from the number of years made, %.
    dry_standard_error_percent: Option<f64>,
    /// 95 % interval from drawing the record's years anew, %; null where it was not asked.
    dry_interval_percent: Option<Ends>,
    /// Whole tank years of the record with a day of shortfall.
    record_dry_years: usize,
    /// Whole tank years of the record.
    record_years: usize,
    /// Why it cannot run; null where it can.
    fault: Option<String>,
}

impl SizeTold {
    fn of(found: &SizeResult, tank: Option<&str>, array: Option<&str>) -> Self {
        let runs = found.fault.is_none();
        Self {
            tank: tank.map(str::to_owned),
            array: array.map(str::to_owned),
            capacity_m3: runs.then_some(found.capacity_m3),
            modules: runs.then_some(found.modules),
            met: found.met,
            shortfall_days: runs.then_some(found.days),
            volume_served_percent: found.served,
            full_tank_autonomy_days: found.autonomy,
            lowest_m3: runs.then_some(found.lowest_m3),
            longest_dry_hours: runs.then_some(found.longest_dry_hours),
            dry_percent: found.chance.and_then(|chance| chance.share()).map(|share| 100.0 * share),
            dry_standard_error_percent: found
                .chance
                .and_then(|chance| chance.standard_error())
                .map(|error| 100.0 * error),
            dry_interval_percent: found.interval.map(Ends::percent),
            record_dry_years: found.own_years.0,
            record_years: found.own_years.1,
            fault: found.fault.clone(),
        }
    }
}

/// The answer of a page's matter.
#[must_use]
pub fn size_answer(p: &Page<'_>, scheme: About) -> SizeAnswer {
    let [arrays, tanks] = [0, 1].map(|i| &p.axes[i]);
    let along = |axis: &Axis, found: &[SizeResult], of: fn(&SizeResult, &str) -> SizeTold| {
        found.iter().enumerate().map(|(i, size)| of(size, axis.shown(i))).collect::<Vec<_>>()
    };
    let own_tanks = along(tanks, p.own_tanks, |size, shown| SizeTold::of(size, Some(shown), None));
    let own_arrays = along(arrays, p.own_arrays, |size, shown| SizeTold::of(size, None, Some(shown)));
    let all = p.grid.iter().enumerate().flat_map(|(a, row)| {
        row.iter()
            .enumerate()
            .map(move |(t, size)| SizeTold::of(size, Some(tanks.shown(t)), Some(arrays.shown(a))))
    });
    let (answer, met) = answer_of(p);
    let goal = asked(&p.base.plan, System::Si);
    SizeAnswer {
        schema: "dryspell-size-1",
        answer,
        scheme,
        targets: p.targets.iter().map(|target| words(*target, &goal, System::Si)).collect(),
        met,
        smallest_tank: smallest_of(p.own_tanks).map(|i| own_tanks[i].clone()),
        smallest_array: smallest_of(p.own_arrays).map(|i| own_arrays[i].clone()),
        all: all.collect(),
        tanks: own_tanks,
        arrays: own_arrays,
        made: p.made.as_ref().map(|made| MadeTold {
            years: made.made_years,
            record_years: made.record_years,
            drawings: made.drawings,
            mean_block_days: made.settings.mean_block_days,
            seed: made.seed,
        }),
    }
}
