//! `dryspell run`: a scheme on its weather.

use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use dryspell::mends::{Mend, mends};
use dryspell::simulate::Run;
use dryspell::units::System;
use dryspell_report::{Report, Screen, exporter};

use crate::args::RunArgs;
use crate::files::{self, Format, Target};
use crate::job::Job;
use crate::{Failure, Verdict};

/// Runs the scheme, writes what was asked for, prints the report unless standard output is taken.
pub(crate) fn run(args: &RunArgs) -> Result<Verdict, Failure> {
    let asked = [&args.hourly, &args.daily, &args.json];
    if asked.iter().filter(|f| f.as_deref() == Some(Path::new("-"))).count() > 1 {
        return Err(Failure(vec![
            "more than one of --hourly, --daily and --json is `-`; standard output takes one of them; name a file for the \
             others"
                .to_owned(),
        ]));
    }
    let job = Job::open(&args.scheme, &args.set.set)?;
    // Opened before the work, so that a path that cannot be written fails at once.
    let mut outputs = job.outputs();
    let mut open = |option: &str, file: &Option<PathBuf>, format| {
        file.as_deref().map(|f| outputs.open(option, f, &[format])).transpose()
    };
    let hourly = open("--hourly", &args.hourly, Format::Csv)?;
    let daily = open("--daily", &args.daily, Format::Csv)?;
    let json = open("--json", &args.json, Format::Json)?;
    let quiet = [&hourly, &daily, &json].iter().any(|t| t.as_ref().is_some_and(Target::is_stdout));

    let source = job.weather()?;
    let found = job.run(&source.record)?;
    let inputs = job.inputs(&source);
    let system = args.units.map_or(job.scheme.units, Into::into);
    let report = Report {
        system,
        // Whoever reads files by their columns' names gets SI unless US units are asked for by name.
        tables: args.units.map_or(System::Si, Into::into),
        blocks: std::io::stdout().is_terminal(),
        screen: if args.full { Screen::Whole } else { Screen::First },
        ..Report::new(&found, &source.record, &job.scheme, (&job.file, &job.text), &inputs)
    };
    for (output, target) in [("hourly", hourly), ("daily", daily), ("json", json)] {
        if let Some(target) = target {
            target.write(&text(output, &report)?)?;
        }
    }
    if !quiet {
        print(&report, args, || {
            mends(&found.plan, &source.record, system).map_err(|faults| job.located(faults))
        })?;
    }
    Ok(verdict(&found, args.fail_if_short))
}

/// The report on standard output: what is known at once before what is tried beside it.
fn print(
    report: &Report<'_>,
    args: &RunArgs,
    tried: impl FnOnce() -> Result<Vec<Mend>, Failure>,
) -> Result<(), Failure> {
    let mends = || if args.no_mends { Ok(Vec::new()) } else { tried() };
    if args.full {
        return files::print(&text("terminal", &Report { mends: &mends()?, ..*report })?);
    }
    files::print(&text("terminal", report)?)?;
    let mends = dryspell_report::mends::mends(report.run, &mends()?);
    if !mends.is_empty() {
        files::print(&format!("\n{mends}"))?;
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

/// An output of the run as text.
fn text(name: &str, report: &Report<'_>) -> Result<String, Failure> {
    let output = exporter(name).ok_or_else(|| Failure(vec![format!("{name}: no output of a run")]))?;
    let mut bytes = Vec::new();
    output.write(report, &mut bytes)?;
    Ok(String::from_utf8(bytes)?)
}
