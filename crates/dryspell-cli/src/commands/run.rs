//! `dryspell run`: a scheme on its weather.

use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use dryspell::mends::mends;
use dryspell::simulate::Run;
use dryspell::units::System;
use dryspell_report::changes::{State, page};
use dryspell_report::{Exporter, Report, Screen, Tried, exporter};

use super::tried::tried;

use crate::args::RunArgs;
use crate::files::{self, Format, Target};
use crate::job::Job;
use crate::watch::watch;
use crate::{Failure, Verdict};

/// Runs the scheme, writes what was asked for, prints the report unless standard output is taken.
pub(crate) fn run(args: &RunArgs) -> Result<Verdict, Failure> {
    let asked = [&args.hourly, &args.daily, &args.json];
    let to_stdout = asked.iter().filter(|f| f.as_deref() == Some(Path::new("-"))).count();
    if to_stdout > 1 {
        return Err(Failure(vec![
            "more than one of --hourly, --daily and --json is `-`; standard output takes one of them; name a file for the \
             others"
                .to_owned(),
        ]));
    }
    if args.watch && to_stdout > 0 {
        return Err(Failure(vec![
            "--watch: standard output takes its answers; files for --hourly, --daily and --json; name a file in place of `-`"
                .to_owned(),
        ]));
    }
    if args.watch {
        return watch(&args.scheme, |watched, before| once(args, &watched.open(&args.set.set)?, before));
    }
    let state = once(args, &Job::open(&args.scheme, &args.set.set)?, None)?;
    Ok(verdict(&state.run, args.fail_if_short))
}

/// One run of a scheme: the report, or what has changed since the run before.
fn once(args: &RunArgs, job: &Job, before: Option<&State>) -> Result<State, Failure> {
    // Opened before the work, so that a path that cannot be written fails at once.
    let mut outputs = job.outputs();
    let mut open = |option: &str, file: &Option<PathBuf>, formats: &[Format]| {
        file.as_deref().map(|f| outputs.open(option, f, formats)).transpose()
    };
    let hourly = open("--hourly", &args.hourly, TABLES)?;
    let daily = open("--daily", &args.daily, TABLES)?;
    let json = open("--json", &args.json, &[Format::Json])?;
    let quiet = [&hourly, &daily, &json].iter().any(|t| t.as_ref().is_some_and(Target::is_stdout));

    let source = job.weather()?;
    let found = job.run(&source.record)?;
    let inputs = job.inputs(&source);
    let system = args.units.map_or(job.scheme.units, Into::into);
    // What is tried beside the run takes longer than the run.
    let mut tried = if args.full { tried(job, &found, &source, system)? } else { Tried::NOTHING };
    if args.no_mends {
        tried.mends.clear();
    }
    let report = Report {
        system,
        // Whoever reads files by their columns' names gets SI unless US units are asked for by name.
        tables: args.units.map_or(System::Si, Into::into),
        blocks: std::io::stdout().is_terminal(),
        screen: if args.full { Screen::Whole } else { Screen::First },
        tried: &tried,
        ..Report::new(&found, &source.record, &job.scheme, (&job.file, &job.text), &inputs)
    };
    for (output, target) in [("hourly", hourly), ("daily", daily), ("json", json)] {
        if let Some(target) = target {
            let parquet = target.format() == Some(Format::Parquet);
            let output = exported(&format!("{output}{}", if parquet { " parquet" } else { "" }))?;
            // Row by row: the hours of a thousand years are larger than the memory.
            target.write_with(|file| output.write(&report, file).map_err(std::io::Error::other))?;
        }
    }
    if !quiet && args.full {
        files::print(&text("terminal", &report)?)?;
    } else if !quiet && before.is_none() {
        first_screen(&report, args, job)?;
    }
    let state = State { text: job.text.clone(), scheme: job.scheme.clone(), run: found, inputs };
    if let Some(before) = before {
        files::print(&format!("\n{}", page(before, &state, system)))?;
    }
    Ok(state)
}

/// What is known at once before what is tried beside it.
fn first_screen(report: &Report<'_>, args: &RunArgs, job: &Job) -> Result<(), Failure> {
    files::print(&text("terminal", report)?)?;
    if !args.no_mends {
        let found =
            mends(&report.run.plan, report.record, report.system).map_err(|faults| job.located(faults))?;
        let mends = dryspell_report::mends::mends(report.run, &found);
        if !mends.is_empty() {
            files::print(&format!("\n{mends}"))?;
        }
    }
    files::print(&format!(
        "\nThe whole report: dryspell run --full {0}\nA document for a reviewer: dryspell summary {0}\n\
         A simulation is neither a guarantee nor an approval: check the animals every day, and keep a backup.\n",
        report.file
    ))
}

/// By the scheme's goal; where it has none, any day of shortfall is one too many.
fn verdict(run: &Run, asked: bool) -> Verdict {
    let short = run.goal().map_or(run.outcome.counts.shortfall_days > 0, |judged| !judged.met());
    if asked && short { Verdict::No } else { Verdict::Answered }
}

/// What tables of hours and days may be written as.
const TABLES: &[Format] =
    if cfg!(feature = "parquet") { &[Format::Csv, Format::Parquet] } else { &[Format::Csv] };

/// An output of the run.
fn exported(name: &str) -> Result<&'static dyn Exporter, Failure> {
    exporter(name).ok_or_else(|| Failure(vec![format!("{name}: no output of a run")]))
}

/// An output of the run as text.
fn text(name: &str, report: &Report<'_>) -> Result<String, Failure> {
    let mut bytes = Vec::new();
    exported(name)?.write(report, &mut bytes)?;
    Ok(String::from_utf8(bytes)?)
}
