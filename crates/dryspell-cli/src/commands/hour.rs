//! `dryspell hour`: one hour worked on paper.

use dryspell::calendar::Calendar;
use dryspell::worked;

use crate::args::HourArgs;
use crate::job::Job;
use crate::source::in_file;
use crate::{Failure, Verdict, files};

/// Runs the scheme and prints the working of one hour.
pub(crate) fn hour(args: &HourArgs) -> Result<Verdict, Failure> {
    let job = Job::open(&args.scheme, &args.set.set)?;
    let source = job.weather()?;
    let run = job.run(&source.record)?;
    let h = find(&args.when, &run.calendar)?;
    let sections = worked::hour(&run, &source.record, h).map_err(|faults| in_file(&job.file, faults))?;
    let system = args.units.map_or(job.scheme.units, Into::into);
    files::print(&dryspell_report::worked::page(&run, &sections, h, &job.file, system))?;
    Ok(Verdict::Answered)
}

/// The hour of the record that a text means.
fn find(when: &str, calendar: &Calendar) -> Result<usize, Failure> {
    let text = when.trim();
    if let Ok(h) = text.parse::<usize>() {
        return (h < calendar.hours()).then_some(h).ok_or_else(|| {
            Failure(vec![format!(
                "WHEN {text}: there is no such hour; the record has hours 0 to {}; choose one of them",
                calendar.hours() - 1
            )])
        });
    }
    let wanted = text.replace('T', " ");
    // With or without the year: the first hour that fits.
    let hour = (0..calendar.hours()).find(|h| {
        let start = calendar.start_text(*h).replace('T', " ");
        start == wanted || start.get(5..) == Some(wanted.as_str())
    });
    hour.ok_or_else(|| {
        Failure(vec![format!(
            "WHEN {text}: no hour of the record starts then; hours run from {} to {}; write it like \"12-21 12:00\", with \
             the year in front where there are several",
            calendar.start_text(0),
            calendar.start_text(calendar.hours() - 1)
        )])
    })
}
