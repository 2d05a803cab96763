//! What a scheme calls uncertain (`[uncertain]`), and how far that and the record's years leave its answer open.
//!
//! An interval from drawing the record's years anew ([`crate::odds`]) takes herd, well and pump as they are written. Where the writer says
//! how sure of a value he is, schemes are drawn too: each drawing of the record's years is run with two schemes, each with values of
//! its own for all that is uncertain. The percentiles of what comes out are the interval from both together, and the pairs tell how
//! much of its spread is owed to the years and to each value ([`mod@shares`]).

pub mod shares;

pub use crate::uncertain::{FURTHEST, Unknown};

use std::num::NonZeroUsize;

use crate::fault::Faults;
use crate::odds::{Making, Years, made_record, years_of};
use crate::record::Record;
use crate::reliability::interval::{Interval, Level};
use crate::resample::Archive;
use crate::resample::interval::{Replicate, of_values};
use crate::resample::threads::in_order;
use crate::scheme::Scheme;
use crate::simulate::Run;
use crate::sweep::with_values;
use shares::{Share, Shares, shares};

/// What is asked: a scheme's text with what it calls uncertain, and the run of it as it is written.
#[expect(missing_debug_implementations, reason = "it holds a function")]
pub struct Asked<'a> {
    /// The scheme's text.
    pub text: &'a str,
    /// The text of a file by its name in the scheme.
    pub files: &'a (dyn Fn(&str) -> Result<String, String> + Sync),
    /// What it calls uncertain.
    pub unknowns: &'a [Unknown],
    /// The run of the scheme as it is written.
    pub run: &'a Run,
    /// Its record.
    pub record: &'a Record,
    /// How years are made. There is a pair of schemes to each of its drawings.
    pub making: &'a Making,
}

/// What schemes drawn from what is uncertain came to.
#[derive(Debug, Clone, PartialEq)]
pub struct Together {
    /// Schemes drawn, two for each drawing.
    pub schemes: usize,
    /// Whether the record's years were drawn as well: not from a single year, nor from years that were themselves made.
    pub with_years: bool,
    /// Schemes left out because they cannot run, and the reason of the first.
    pub left_out: Option<(usize, String)>,
    /// Schemes with a day of shortfall in any of their years.
    pub dry_schemes: usize,
    /// Share of years with a day of shortfall, 0 to 1.
    pub dry_share: Open,
    /// Days of shortfall in a mean year, days.
    pub mean_days: Open,
}

/// How far one figure is open.
#[derive(Debug, Clone, PartialEq)]
pub struct Open {
    /// Its 95 % interval; `None` with too few schemes that run.
    pub interval: Option<Interval>,
    /// What its spread is owed to; `None` where all drawn schemes come to the same.
    pub shares: Option<Shares>,
}

/// Something that the spread of an answer is owed to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Owed<'a> {
    /// `years`, the key as it stands under `[uncertain]`, or `together`.
    pub name: &'a str,
    /// The uncertain value, where it is one.
    pub unknown: Option<&'a Unknown>,
    /// Its share of the variance of the share of dry years; `None` where that never changes.
    pub of_dry: Option<Share>,
    /// Its share of the variance of the days of shortfall; `None` where they never change.
    pub of_days: Option<Share>,
}

impl Together {
    /// What the spread is owed to: the years where they were drawn, each uncertain value in order, the rest as `together`.
    #[must_use]
    pub fn owed<'a>(&self, unknowns: &'a [Unknown]) -> Vec<Owed<'a>> {
        let owed = |name: &'a str, unknown, of: &dyn Fn(&Shares) -> Option<Share>| {
            let [of_dry, of_days] =
                [&self.dry_share, &self.mean_days].map(|open| open.shares.as_ref().and_then(of));
            Owed { name, unknown, of_dry, of_days }
        };
        let years = self.with_years.then(|| owed("years", None, &|shares| shares.years));
        let each = unknowns
            .iter()
            .enumerate()
            .map(|(i, unknown)| owed(&unknown.name, Some(unknown), &|shares| shares.inputs.get(i).copied()));
        let together = owed("together", None, &|shares| Some(shares.together));
        years.into_iter().chain(each).chain([together]).collect()
    }
}

/// Draws a pair of schemes for each drawing of the record's years and runs them. `done` is told how many years each pair had. `None`
/// where nothing is uncertain, no drawing is asked for, or the tank runs down from year to year, so that no chance can be told.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | B | `making.drawings`: pairs of schemes | – | 0, or 200 or more |
/// | N | years of the record | years | ≥ 1 |
///
/// # Equation
/// Pair `b` of B: N years made from drawing `b` of the record's years, and two schemes, each with `v + z s` for each uncertain value
/// `v` of deviation `s`, `z` from [`Unknown::law`]. The 2.5th and the 97.5th percentile of the 2B figures; [`fn@shares::shares`] of the pairs.
///
/// # Validity
/// Values independent of each other and of the years. From one year, or from years that were themselves made, no years are drawn: all
/// schemes run on the record as it is. The same seed gives the same values with any number of threads.
///
/// # Errors
/// No drawn scheme that can run: the faults of the first.
///
/// # References
/// Percentiles as in [`crate::resample::interval`]; drawing inputs with the rest: plain Monte Carlo.
pub fn together(
    asked: &Asked<'_>,
    threads: NonZeroUsize,
    done: impl Fn(usize) + Sync,
) -> Result<Option<Together>, Faults> {
    let Asked { run, record, making, .. } = *asked;
    if asked.unknowns.is_empty() || making.drawings == 0 || run.runs_down() {
        return Ok(None);
    }
    let archive = Archive::of(record).map_err(Faults::from)?;
    let (n, pairs) = (archive.years(), making.drawings);
    let with_years = making.drawings_that_tell(record, n) > 0;
    let settings = making.settings(&archive, run.full_tank.worst);
    let drawn: Vec<Vec<[f64; 2]>> =
        asked.unknowns.iter().map(|unknown| unknown.draw_pairs(pairs, making.seed)).collect();
    let found: Vec<[Result<Years, Faults>; 2]> = in_order(pairs, threads, |pair| {
        let made = with_years
            .then(|| {
                let replicate = Replicate::new(n, making.seed, pair);
                made_record(&archive, &replicate.years, settings, replicate.seed, n)
            })
            .transpose()
            .map_err(Faults::from)?;
        let of = |member: usize| {
            let values: Vec<f64> = drawn.iter().map(|pairs| pairs[pair][member]).collect();
            one(asked, &values, made.as_ref().unwrap_or(record), made.as_ref().map(|_| n))
        };
        let both = [of(0), of(1)];
        done(2 * n);
        Ok::<_, Faults>(both)
    })?;
    let all = || found.iter().flatten();
    let failed = all().filter(|years| years.is_err()).count();
    let first = all().find_map(|years| years.as_ref().err());
    if let (Some(first), true) = (first, failed == 2 * pairs) {
        return Err(first.clone());
    }
    let open = |value: fn(&Years) -> Option<f64>| {
        let values: Vec<f64> = all().filter_map(|years| value(years.as_ref().ok()?)).collect();
        let of = |years: &Result<Years, Faults>| years.as_ref().ok().and_then(value);
        let complete = |(p, [a, b]): (usize, &[Result<Years, Faults>; 2])| Some((p, [of(a)?, of(b)?]));
        let (at, values_of_pairs): (Vec<usize>, Vec<[f64; 2]>) =
            found.iter().enumerate().filter_map(complete).unzip();
        let inputs: Vec<Vec<[f64; 2]>> =
            drawn.iter().map(|pairs| at.iter().map(|p| pairs[*p]).collect()).collect();
        Open {
            interval: of_values(&values, Level::default()).ok(),
            shares: shares(&values_of_pairs, &inputs, with_years),
        }
    };
    Ok(Some(Together {
        schemes: 2 * pairs,
        with_years,
        left_out: first.map(|faults| (failed, faults.first().map(ToString::to_string).unwrap_or_default())),
        dry_schemes: all().flatten().filter(|years| years.dry() > 0).count(),
        dry_share: open(Years::dry_share),
        mean_days: open(Years::mean_days),
    }))
}

/// The years of one drawn scheme, on `n` made years or on the record itself.
fn one(asked: &Asked<'_>, drawn: &[f64], record: &Record, n: Option<usize>) -> Result<Years, Faults> {
    let values: Vec<(String, String)> =
        asked.unknowns.iter().zip(drawn).flat_map(|(unknown, z)| unknown.literals(*z)).collect();
    let values: Vec<(&str, &str)> = values.iter().map(|(k, v)| (k.as_str(), v.as_str())).collect();
    let text = with_values(asked.text, &values)?;
    let plan = Scheme::from_toml_with(&text, asked.files)?.plan();
    let mut years = years_of(&plan, record, asked.run.outcome.tank_year_month)?;
    if let Some(n) = n {
        years.counts.truncate(n);
    }
    Ok(years)
}
