//! `dryspell odds`: how often the scheme fails, and how sure that is.

use dryspell::odds::{self, STRETCH, Years, drawing, stretch_seed};
use dryspell::record::{Record, YearKind};
use dryspell::resample::block_length::mean_block_days;
use dryspell::resample::blocks::MEAN_BLOCK_DAYS;
use dryspell::resample::interval::{FEWEST_REPLICATES, Replicate};
use dryspell::resample::{Archive, Settings};
use dryspell::sensitivity;
use dryspell::simulate::Run;
use indicatif::ProgressBar;
use rayon::prelude::*;

use super::tried::what_if;
use crate::args::{MadeArgs, OddsArgs};
use crate::job::Job;
use crate::{Failure, Verdict, files};
use dryspell_report::odds::{MadeYears, Page, page};

/// Most drawings of the record's years: the interval's ends are then known to a hundredth of its width.
const MOST_DRAWINGS: usize = 100_000;

/// Runs the record, years made from it and drawings of it, and prints what they allow one to say.
pub(crate) fn odds(args: &OddsArgs) -> Result<Verdict, Failure> {
    check(&args.made)?;
    let job = Job::open(&args.scheme, &args.set.set)?;
    let source = job.weather()?;
    let record = &source.record;
    let run = job.run(record)?;
    let own = Years::of(&run.outcome, &run.calendar, run.demand_sum_m3, run.short_m3());
    let made = made(&args.made, &job, &run, record)?;
    let mut lines =
        sensitivity::table(&run.plan, record, job.scheme.units).map_err(|faults| job.located(faults))?;
    lines.extend(what_if(&job, &source)?);
    files::print(&page(&Page {
        file: &job.file,
        run: &run,
        own: &own,
        made: made.as_ref(),
        seed: args.made.seed,
        system: job.scheme.units,
        sensitivity: &lines,
    }))?;
    Ok(Verdict::Answered)
}

/// Makes years from a record; none where none were asked for.
pub(crate) fn made(
    args: &MadeArgs,
    job: &Job,
    run: &Run,
    record: &Record,
) -> Result<Option<MadeYears>, Failure> {
    if args.made_years == 0 {
        return Ok(None);
    }
    resample(args, record, run).map(Some).map_err(|faults| job.located(faults))
}

/// Whether all that is asked about made years is possible.
pub(crate) fn check(args: &MadeArgs) -> Result<(), Failure> {
    if args.drawings != 0 && args.drawings < FEWEST_REPLICATES {
        return Err(Failure(vec![format!(
            "--drawings {}: too few for percentiles; {FEWEST_REPLICATES} or more, or 0 for none; raise it",
            args.drawings
        )]));
    }
    if args.drawings > MOST_DRAWINGS {
        return Err(Failure(vec![format!(
            "--drawings {}: too many; at most {MOST_DRAWINGS}; more would not change the interval",
            args.drawings
        )]));
    }
    if args.made_years > 900 * STRETCH {
        return Err(Failure(vec![format!(
            "--made-years {}: too many; at most {}; more would add nothing to the record",
            args.made_years,
            900 * STRETCH
        )]));
    }
    of_days(args, args.block_days.unwrap_or(MEAN_BLOCK_DAYS)).check().map_err(|fault| {
        // The flag is named, not the field behind it.
        let flag = match fault.location.key.as_deref() {
            Some("mean_block_days") => "--block-days",
            _ => "--window-days",
        };
        Failure(vec![format!("{flag}: {}; {}; {}", fault.found, fault.accepted, fault.way_out)])
    })
}

const fn of_days(args: &MadeArgs, mean_block_days: f64) -> Settings {
    Settings { mean_block_days, window_days: args.window_days }
}

/// How blocks are drawn from a record, for a scheme whose full tank lasts so many days: as asked, else as long as suits both.
pub(crate) fn settings(args: &MadeArgs, archive: &Archive, full_tank_days: Option<f64>) -> Settings {
    of_days(args, args.block_days.unwrap_or_else(|| mean_block_days(archive, full_tank_days)))
}

/// Drawings that say something: one drawing of a single year is that year again, so it cannot be known how the record
/// could have been otherwise. Nor can it from years that were themselves made.
pub(crate) fn drawings(args: &MadeArgs, record: &Record, record_years: usize) -> usize {
    if record_years > 1 && record.kind == YearKind::Calendar { args.drawings } else { 0 }
}

fn resample(args: &MadeArgs, record: &Record, run: &Run) -> Result<MadeYears, dryspell::fault::Faults> {
    let (plan, month) = (&run.plan, run.outcome.tank_year_month);
    let archive = Archive::of(record).map_err(|fault| vec![fault])?;
    let settings = settings(args, &archive, run.full_tank.worst);
    let n = archive.years();
    let all: Vec<usize> = (0..n).collect();
    let stretches = args.made_years.div_ceil(STRETCH);
    let drawings = drawings(args, record, n);
    let bar = ProgressBar::new((stretches * STRETCH + drawings * n) as u64);
    let found: Vec<Years> = (0..stretches)
        .into_par_iter()
        .map(|i| {
            let years = STRETCH.min(args.made_years - i * STRETCH);
            let found =
                odds::made(plan, &archive, &all, settings, stretch_seed(n, args.seed, i), years, month);
            bar.inc(years as u64);
            found
        })
        .collect::<Result<_, _>>()?;
    let mut years = Years::default();
    let mut served = Vec::new();
    for stretch in found {
        served.extend(stretch.served_percent.map(|s| (s, stretch.counts.len())));
        years.join(stretch);
    }
    let drawn: Vec<Years> = (0..drawings)
        .into_par_iter()
        .map(|number| {
            let found = drawing(plan, &archive, &Replicate::new(n, args.seed, number), settings, month);
            bar.inc(n as u64);
            found
        })
        .collect::<Result<_, _>>()?;
    bar.finish_and_clear();
    #[expect(clippy::cast_precision_loss, reason = "years of a run")]
    let weight = served.iter().map(|(_, n)| *n as f64).sum::<f64>();
    #[expect(clippy::cast_precision_loss, reason = "years of a run")]
    let served_percent =
        (weight > 0.0).then(|| served.iter().map(|(s, n)| s * *n as f64).sum::<f64>() / weight);
    years.served_percent = served_percent;
    Ok(MadeYears { years, drawn, record_years: n, settings })
}
