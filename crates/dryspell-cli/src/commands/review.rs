//! `dryspell review`: many schemes, a row each.

use rayon::prelude::*;

use crate::args::ReviewArgs;
use crate::files::{self, Answer, Format, Outputs};
use crate::job::Job;
use crate::{Failure, Verdict};
use dryspell::units::System;
use dryspell_report::answers::{self, review_answer};
use dryspell_report::review::{Entry, Row, page};

/// Runs every scheme and prints a row for each; one that cannot be run is a row with its faults.
pub(crate) fn review(args: &ReviewArgs) -> Result<Verdict, Failure> {
    let mut outputs = Outputs::apart_from(&args.schemes);
    let out = args
        .out
        .as_deref()
        .map(|path| outputs.open("--out", path, &[Format::Html, Format::Pdf]))
        .transpose()?;
    let jobs: Vec<(String, Result<Job, Failure>)> =
        args.schemes.iter().map(|path| (files::name_of(path), Job::open(path, &args.set.set))).collect();
    for job in jobs.iter().filter_map(|(_, job)| job.as_ref().ok()) {
        outputs.join(job.outputs());
    }
    let answer = Answer::open(&mut outputs, args.json.as_deref())?;
    let first = jobs.iter().find_map(|(_, job)| job.as_ref().ok()).map(|job| job.scheme.units);
    let system = args.units.map(Into::into).or(first).unwrap_or(System::Si);
    let entries: Vec<Entry> = jobs
        .into_par_iter()
        .map(|(file, job)| Entry {
            file,
            found: job.and_then(|job| row(&job, system)).map_err(|failure| failure.0),
        })
        .collect();
    if let Some(target) = out {
        write(target, &entries, system)?;
    }
    answer.give(|| answers::text(&review_answer(&entries)), || page(&entries, system))?;
    Ok(Verdict::Answered)
}

fn row(job: &Job, system: System) -> Result<Row, Failure> {
    let source = job.weather()?;
    let run = job.run(&source.record)?;
    Ok(Row::of(&run, &job.scheme, &job.text, &job.inputs(&source), system))
}

fn write(target: files::Target, entries: &[Entry], system: System) -> Result<(), Failure> {
    if target.format() == Some(Format::Pdf) {
        return write_pdf(target, entries, system);
    }
    target.write(&dryspell_report::review_html(entries, system)?)
}

#[cfg(feature = "pdf")]
fn write_pdf(target: files::Target, entries: &[Entry], system: System) -> Result<(), Failure> {
    let bytes = dryspell_report::review_pdf(entries, system)?;
    target.write_with(|file| file.write_all(&bytes))?;
    Ok(())
}

#[cfg(not(feature = "pdf"))]
fn write_pdf(_: files::Target, _: &[Entry], _: System) -> Result<(), Failure> {
    Err(super::built_without("PDF", "pdf", "a name that ends in .html"))
}
