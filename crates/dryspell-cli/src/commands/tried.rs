//! What is tried beside a run, for the pages that show it.

use std::path::Path;

use dryspell::plan::Plan;
use dryspell::scheme::Scheme;
use dryspell::sensitivity::{Line, line};
use dryspell::simulate::{Run, simulate};
use dryspell::units::System;
use dryspell_report::Tried;

use crate::Failure;
use crate::job::Job;
use crate::source::{self, Source, in_file};

/// A scheme with its own questions, each as the scheme would then be.
pub(super) struct Asking<'a> {
    pub(super) scheme: &'a Scheme,
    pub(super) what_ifs: &'a [(String, Scheme)],
    /// Its file, as it is named.
    pub(super) file: &'a str,
    /// The folder of its weather.
    pub(super) folder: &'a Path,
}

impl<'a> From<&'a Job> for Asking<'a> {
    fn from(job: &'a Job) -> Self {
        Self { scheme: &job.scheme, what_ifs: &job.what_ifs, file: &job.file, folder: &job.folder }
    }
}

/// All of it: changes that mend it, stresses that break it, the scheme's own questions.
pub(super) fn tried<'a>(
    asking: impl Into<Asking<'a>>,
    run: &Run,
    source: &Source,
    system: System,
) -> Result<Tried, Failure> {
    let asking = asking.into();
    let found = Tried::of(run, &source.record, system).map_err(|faults| {
        in_file(asking.file, faults.into_iter().map(|fault| asking.scheme.locate(fault)).collect())
    })?;
    Ok(Tried { what_if: what_if(asking, source)?, ..found })
}

/// The scheme's own questions, each a run; one on other weather reads that.
pub(super) fn what_if<'a>(asking: impl Into<Asking<'a>>, source: &Source) -> Result<Vec<Line>, Failure> {
    let asking = asking.into();
    asking
        .what_ifs
        .iter()
        .map(|(name, scheme)| {
            let other = if scheme.weather == asking.scheme.weather {
                None
            } else {
                Some(source::of_scheme(scheme, asking.file, asking.folder)?)
            };
            let record = &other.as_ref().unwrap_or(source).record;
            // Judged without the backup, as all counts.
            let plan = Plan { backup: None, ..scheme.plan() };
            let found = simulate(&plan, record);
            Ok(line(&format!("what if: {name}"), found.as_ref().map_err(|faults| &**faults)))
        })
        .collect()
}
