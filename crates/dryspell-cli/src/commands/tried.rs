//! What is tried beside a run, for the pages that show it.

use dryspell::sensitivity::{Line, line};
use dryspell::simulate::{Run, simulate};
use dryspell::units::System;
use dryspell_report::Tried;

use crate::Failure;
use crate::job::Job;
use crate::source::{self, Source};

/// All of it: changes that mend it, stresses that break it, the scheme's own questions.
pub(super) fn tried(job: &Job, run: &Run, source: &Source, system: System) -> Result<Tried, Failure> {
    let found = Tried::of(run, &source.record, system).map_err(|faults| job.located(faults))?;
    Ok(Tried { what_if: what_if(job, source)?, ..found })
}

/// The scheme's own questions, each a run; one on other weather reads that.
pub(super) fn what_if(job: &Job, source: &Source) -> Result<Vec<Line>, Failure> {
    job.what_ifs
        .iter()
        .map(|(name, scheme)| {
            let other = if scheme.weather == job.scheme.weather {
                None
            } else {
                Some(source::of_scheme(scheme, &job.file, &job.folder)?)
            };
            let record = &other.as_ref().unwrap_or(source).record;
            // Judged without the backup, as all counts.
            let plan = dryspell::plan::Plan { backup: None, ..scheme.plan() };
            let found = simulate(&plan, record);
            Ok(line(&format!("what if: {name}"), found.as_ref().map_err(|faults| &**faults)))
        })
        .collect()
}
