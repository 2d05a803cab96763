//! `dryspell run`: a scheme on its weather.

use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use dryspell::scheme::Scheme;
use dryspell::simulate::Run;

use crate::args::RunArgs;
use crate::files::{self, Format, Target};
use crate::job::Job;
use crate::present::context::{Assumption, Context};
use crate::present::terminal::report;
use crate::present::{csv, json};
use crate::source::case_hash;
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
    let job = Job::open(&args.scheme)?;
    // Opened before the work, so that a path that cannot be written fails at once.
    let mut outputs = job.outputs();
    let mut open = |option: &str, file: &Option<PathBuf>, format| {
        file.as_deref().map(|f| outputs.open(option, f, &[format])).transpose()
    };
    let hourly = open("--hourly", &args.hourly, Format::Csv)?;
    let daily = open("--daily", &args.daily, Format::Csv)?;
    let json_target = open("--json", &args.json, Format::Json)?;
    let quiet = [&hourly, &daily, &json_target].iter().any(|t| t.as_ref().is_some_and(Target::is_stdout));

    let source = job.weather()?;
    let found = job.run(&source.record)?;
    let scheme = &job.scheme;
    let context = Context {
        name: scheme.name.as_deref().unwrap_or("(no name)"),
        scheme_file: job.file.clone(),
        inputs: job.inputs(&source),
        case_hash: case_hash(scheme, &source)?,
        system: args.units.map_or(scheme.units, Into::into),
        assumptions: assumptions(scheme),
        blocks: std::io::stdout().is_terminal(),
    };
    if let Some(target) = hourly {
        target.write(&csv::hourly(&found)?)?;
    }
    if let Some(target) = daily {
        target.write(&csv::daily(&found)?)?;
    }
    if let Some(target) = json_target {
        target.write(&json::document(&found, &context)?)?;
    }
    if !quiet {
        files::print(&report(&found, &context))?;
    }
    Ok(verdict(&found, args.fail_if_short))
}

fn verdict(run: &Run, asked: bool) -> Verdict {
    if asked && run.outcome.counts.shortfall_days > 0 { Verdict::No } else { Verdict::Answered }
}

fn assumptions(scheme: &Scheme) -> Vec<Assumption> {
    scheme
        .defaults_used
        .iter()
        .map(|d| Assumption { what: d.key.clone(), value: d.value.clone(), source: d.why.to_string() })
        .collect()
}
