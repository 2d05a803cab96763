//! `dryspell odds`: how often the scheme fails, and how sure that is.

use std::num::NonZeroUsize;

use dryspell::odds::{self, MadeYears, STRETCH, Years};
use dryspell::record::Record;
use dryspell::resample::Settings;
use dryspell::resample::blocks::MEAN_BLOCK_DAYS;
use dryspell::resample::interval::FEWEST_REPLICATES;
use dryspell::sensitivity;
use dryspell::simulate::Run;
use dryspell::unknowns::{self, Asked, Together};
use indicatif::ProgressBar;

use super::tried::what_if;
use crate::args::{MadeArgs, OddsArgs};
use crate::files::Answer;
use crate::job::Job;
use crate::{Failure, Verdict};
use dryspell_report::answers::{self, About, odds_answer};
use dryspell_report::odds::{Page, page};
use dryspell_report::unknowns::Uncertain;

/// Most drawings of the record's years: the interval's ends are then known to a hundredth of its width.
const MOST_DRAWINGS: usize = 100_000;

/// Runs the record, years made from it and drawings of it, and prints what they allow one to say.
pub(crate) fn odds(args: &OddsArgs) -> Result<Verdict, Failure> {
    check(&args.made)?;
    let job = Job::open(&args.scheme, &args.set.set)?;
    let answer = Answer::open(&mut job.outputs(), args.json.as_deref())?;
    let source = job.weather()?;
    let record = &source.record;
    let run = job.run(record)?;
    let own = Years::of(&run.outcome, &run.calendar, run.demand_sum_m3, run.short_m3());
    let made = made(&args.made, &job, &run, record)?;
    let together = together(&args.made, &job, &run, record)?;
    let mut lines =
        sensitivity::table(&run.plan, record, job.scheme.units).map_err(|faults| job.located(faults))?;
    lines.extend(what_if(&job, &source)?);
    let matter = Page {
        file: &job.file,
        run: &run,
        own: &own,
        made: made.as_ref(),
        uncertain: together.as_ref().map(|found| Uncertain { unknowns: &job.scheme.unknowns, found }),
        seed: args.made.seed,
        system: job.scheme.units,
        sensitivity: &lines,
    };
    answer.give(
        || {
            let about = About::of(&job.scheme, &job.file, &job.inputs(&source))?;
            answers::text(&odds_answer(&matter, about))
        },
        || page(&matter),
    )?;
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

/// Runs schemes drawn from what the scheme calls uncertain, where it says something.
fn together(args: &MadeArgs, job: &Job, run: &Run, record: &Record) -> Result<Option<Together>, Failure> {
    let unknowns = &job.scheme.unknowns;
    let making = args.making();
    let years = record.calendar.days().len() / 365;
    let bar = ProgressBar::new((2 * making.drawings * years) as u64);
    let files = |name: &str| job.tables.text(name);
    let asked = Asked { text: &job.text, files: &files, unknowns, run, record, making: &making };
    let found = unknowns::together(&asked, threads(), |years| bar.inc(years as u64));
    bar.finish_and_clear();
    found.map_err(|faults| job.located(faults))
}

fn threads() -> NonZeroUsize {
    NonZeroUsize::new(rayon::current_num_threads()).unwrap_or(NonZeroUsize::MIN)
}

const fn of_days(args: &MadeArgs, mean_block_days: f64) -> Settings {
    Settings { mean_block_days, window_days: args.window_days }
}

fn resample(args: &MadeArgs, record: &Record, run: &Run) -> Result<MadeYears, dryspell::fault::Faults> {
    let making = args.making();
    let years = record.calendar.days().len() / 365;
    let bar = ProgressBar::new((making.made_years + making.drawings_that_tell(record, years) * years) as u64);
    let found = odds::make(run, record, &making, threads(), |years| bar.inc(years as u64));
    bar.finish_and_clear();
    found
}
