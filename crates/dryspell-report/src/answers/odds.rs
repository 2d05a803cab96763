//! How often a scheme goes short.

use dryspell::odds::{MadeYears, Years};
use dryspell::reliability::interval::Level;
use dryspell::reliability::interval::clopper_pearson::clopper_pearson;
use dryspell::reliability::interval::wilson::wilson;
use dryspell::sensitivity::Line;
use dryspell::units::System;
use dryspell::unknowns;
use dryspell::unknowns::shares::Share;
use schemars::JsonSchema;
use serde::Serialize;

use super::{About, Ends};
use crate::odds::{
    PERIODS, Page, answer, held, interval, limits, longest_spells, measured, too_short_blocks,
};
use crate::unknowns::Uncertain;

/// What `dryspell odds --json` writes: how often a scheme goes short, and how sure that is.
#[derive(Debug, Serialize, JsonSchema)]
pub struct OddsAnswer {
    /// Name and version of this shape.
    schema: &'static str,
    /// The answer in words.
    answer: String,
    /// The scheme, and what the answer rests on.
    scheme: About,
    /// Month, 1 to 12, in which tank years begin.
    tank_year_starts_in_month: u8,
    /// The record's own whole tank years.
    record: OwnYears,
    /// Years made from the record; null where none were asked for.
    made: Option<Made>,
    /// Longest spell in a year by return period; empty where the record holds no years to tell one from another.
    longest_spells: Vec<SpellTold>,
    /// What schemes drawn from what the scheme calls uncertain came to; null where it says nothing, or no interval was asked for.
    uncertain: Option<UncertainTold>,
    /// The scheme as it stands, then with one thing changed at a time.
    changes: Vec<Change>,
    /// What limits this answer.
    limits: Vec<String>,
}

/// The record's own whole tank years.
#[derive(Debug, Serialize, JsonSchema)]
struct OwnYears {
    /// Their number.
    years: u32,
    /// Those with at least one day of shortfall.
    dry_years: u32,
    /// Days of shortfall in a mean year, days; null without years.
    mean_shortfall_days: Option<f64>,
    /// Share of the demand served over the record, %.
    volume_served_percent: Option<f64>,
    /// Chance of a dry year, 95 % interval of Clopper and Pearson, %; null where the years were not measured, or fewer than two.
    clopper_pearson_percent: Option<Ends>,
    /// The same by Wilson, %.
    wilson_percent: Option<Ends>,
    /// Each year in order.
    each: Vec<YearTold>,
}

/// One tank year.
#[derive(Debug, Serialize, JsonSchema)]
struct YearTold {
    /// Days of shortfall.
    shortfall_days: u32,
    /// Days in the longest spell.
    longest_spell_days: u32,
    /// Dry hours.
    dry_hours: u32,
}

/// Years made from the record.
#[derive(Debug, Serialize, JsonSchema)]
struct Made {
    /// Years made.
    years: u32,
    /// Whole years of the record that they were made from.
    record_years: usize,
    /// Seed that they were made from: the same one gives the same years.
    seed: u64,
    /// Mean length of a block, days.
    mean_block_days: f64,
    /// Largest shift of a block from its date, days.
    window_days: u32,
    /// Drawings of the record's years; 0 where they would say nothing.
    drawings: usize,
    /// Share of years with a day of shortfall, %.
    dry_percent: Estimate,
    /// Days of shortfall in a mean year.
    shortfall_days: Estimate,
    /// Share of the demand served, %.
    volume_served_percent: Option<f64>,
    /// How far the interval can be trusted; null where there is none.
    coverage: Option<String>,
    /// A warning where blocks are too short to have made a longer spell than was seen; null where there is none.
    warning: Option<String>,
}

/// A figure with how sure it is.
#[derive(Debug, Serialize, JsonSchema)]
struct Estimate {
    /// The figure.
    value: Option<f64>,
    /// Its standard error, from the number of years made.
    standard_error: Option<f64>,
    /// 95 % interval from drawing the record's years anew: the answer; null where the record cannot tell.
    interval: Option<Ends>,
}

/// The longest spell of a return period.
#[derive(Debug, Serialize, JsonSchema)]
struct SpellTold {
    /// Return period, years.
    return_period_years: f64,
    /// By the record's own years, days; null beyond its range.
    record_days: Option<f64>,
    /// By made years, days; null beyond the record's range, and without made years.
    made_days: Option<f64>,
}

/// What schemes drawn from what is uncertain came to.
#[derive(Debug, Serialize, JsonSchema)]
struct UncertainTold {
    /// Schemes drawn.
    schemes: usize,
    /// Whether the record's years were drawn with them.
    with_years: bool,
    /// Schemes left out because they cannot run.
    left_out: usize,
    /// Why the first of them cannot run; null where none was left out.
    reason: Option<String>,
    /// Schemes with a day of shortfall in any of their years.
    dry_schemes: usize,
    /// Share of years with a day of shortfall, 95 % interval, %.
    dry_percent: Option<Ends>,
    /// Days of shortfall in a mean year, 95 % interval, days.
    shortfall_days: Option<Ends>,
    /// What the spread is owed to: the years where they were drawn, each uncertain value, and the rest as `together`.
    owed_to: Vec<Owed>,
}

/// Something that an answer's spread is owed to.
#[derive(Debug, Serialize, JsonSchema)]
struct Owed {
    /// `years`, the key as it stands under `[uncertain]`, or `together`.
    name: String,
    /// What is written, with its unit; null for years and together.
    value: Option<String>,
    /// One standard deviation, with its unit; null for years and together.
    standard_deviation: Option<String>,
    /// Its share of the variance of the share of years with a day of shortfall; null where that never changes.
    of_dry: Option<Part>,
    /// Its share of the variance of the days of shortfall in a mean year; null where they never change.
    of_days: Option<Part>,
}

/// A share of a variance of the first order.
#[derive(Debug, Serialize, JsonSchema)]
struct Part {
    /// The share, %.
    percent: f64,
    /// Its standard error, % of the whole.
    standard_error_percent: f64,
}

impl From<Share> for Part {
    fn from(share: Share) -> Self {
        Self { percent: 100.0 * share.value, standard_error_percent: 100.0 * share.standard_error }
    }
}

/// One thing changed.
#[derive(Debug, Serialize, JsonSchema)]
struct Change {
    /// What was changed.
    what: String,
    /// Days of shortfall in a mean year, days; null where it cannot run.
    shortfall_days: Option<f64>,
    /// Days that a full tank lasts from the worst start hour, days.
    full_tank_autonomy_days: Option<f64>,
    /// Why it cannot run, or what there is to say.
    note: Option<String>,
}

impl From<&Line> for Change {
    fn from(line: &Line) -> Self {
        Self {
            what: line.what.clone(),
            shortfall_days: line.days,
            full_tank_autonomy_days: line.autonomy_days,
            note: line.note.clone(),
        }
    }
}

/// The answer of a page's matter.
#[must_use]
pub fn odds_answer(p: &Page<'_>, scheme: About) -> OddsAnswer {
    let spells = longest_spells(p);
    OddsAnswer {
        schema: "dryspell-odds-1",
        answer: answer(p),
        scheme,
        tank_year_starts_in_month: p.run.outcome.tank_year_month,
        record: own(p),
        made: p.made.map(|made| made_years(p, made)),
        longest_spells: spells.map_or_else(Vec::new, |[record, made]| {
            let rows = PERIODS.iter().zip(record).zip(made);
            rows.map(|((period, record_days), made_days)| SpellTold {
                return_period_years: *period,
                record_days,
                made_days,
            })
            .collect()
        }),
        uncertain: p.uncertain.as_ref().map(|uncertain| uncertain_told(uncertain, p.system)),
        changes: p.sensitivity.iter().map(Change::from).collect(),
        limits: limits(p),
    }
}

fn uncertain_told(p: &Uncertain<'_>, system: System) -> UncertainTold {
    let found = p.found;
    let owed = |owed: unknowns::Owed<'_>| {
        let [value, standard_deviation] =
            owed.unknown.map_or([None, None], |unknown| unknown.told(system).map(Some));
        Owed {
            name: owed.name.to_owned(),
            value,
            standard_deviation,
            of_dry: owed.of_dry.map(Part::from),
            of_days: owed.of_days.map(Part::from),
        }
    };
    UncertainTold {
        schemes: found.schemes,
        with_years: found.with_years,
        left_out: found.left_out.as_ref().map_or(0, |(schemes, _)| *schemes),
        reason: found.left_out.as_ref().map(|(_, reason)| reason.clone()),
        dry_schemes: found.dry_schemes,
        dry_percent: found.dry_share.interval.map(Ends::percent),
        shortfall_days: found.mean_days.interval.map(Ends::of),
        owed_to: found.owed(p.unknowns).into_iter().map(owed).collect(),
    }
}

fn own(p: &Page<'_>) -> OwnYears {
    let tally = measured(p);
    let each = p.own.counts.iter().map(|counts| YearTold {
        shortfall_days: counts.shortfall_days,
        longest_spell_days: counts.longest_spell_days,
        dry_hours: counts.dry_hours,
    });
    OwnYears {
        years: p.own.number(),
        dry_years: p.own.dry(),
        mean_shortfall_days: p.own.mean_days(),
        volume_served_percent: p.own.served_percent,
        clopper_pearson_percent: tally
            .and_then(|tally| clopper_pearson(tally, Level::default()))
            .map(Ends::percent),
        wilson_percent: tally.and_then(|tally| wilson(tally, Level::default())).map(Ends::percent),
        each: each.collect(),
    }
}

fn made_years(p: &Page<'_>, made: &MadeYears) -> Made {
    let dry_error = made.years.standard_error(|c| f64::from(u8::from(c.shortfall_days > 0)));
    Made {
        years: made.years.number(),
        record_years: made.record_years,
        seed: p.seed,
        mean_block_days: made.settings.mean_block_days,
        window_days: made.settings.window_days,
        drawings: made.drawn.len(),
        dry_percent: Estimate {
            value: made.years.dry_share().map(|share| 100.0 * share),
            standard_error: dry_error.map(|error| 100.0 * error),
            interval: interval(made, Years::dry_share).map(Ends::percent),
        },
        shortfall_days: Estimate {
            value: made.years.mean_days(),
            standard_error: made.years.standard_error(|c| f64::from(c.shortfall_days)),
            interval: interval(made, Years::mean_days).map(Ends::of),
        },
        volume_served_percent: made.years.served_percent,
        coverage: held(made),
        warning: too_short_blocks(p, made),
    }
}
