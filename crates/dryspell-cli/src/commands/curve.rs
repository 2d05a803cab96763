//! `dryspell curve`: flow against sun, to be checked on site.

use dryspell::curve::sun_curve;

use crate::args::CurveArgs;
use crate::job::Job;
use crate::present::layout::MONTHS;
use crate::source::in_file;
use crate::{Failure, Verdict, files, present};

/// Prints the table for a month's water level; without one, for the month in which the water stands deepest.
pub(crate) fn curve(args: &CurveArgs) -> Result<Verdict, Failure> {
    let job = Job::open(&args.scheme)?;
    let plan = job.scheme.plan();
    let month = match &args.month {
        Some(text) => month(text)?,
        None => deepest(&plan.supply.well.static_level_m),
    };
    let found = sun_curve(&plan, month)
        .map_err(|faults| in_file(&job.file, faults.into_iter().map(|f| job.scheme.locate(f)).collect()))?;
    let system = args.units.map_or(job.scheme.units, Into::into);
    files::print(&present::curve::page(&found, &plan, &job.file, system))?;
    Ok(Verdict::Answered)
}

/// The month with the deepest water.
pub(crate) fn deepest(levels_m: &[f64; 12]) -> u8 {
    let mut deepest = 0;
    for month in 1..12 {
        if levels_m[month] > levels_m[deepest] {
            deepest = month;
        }
    }
    u8::try_from(deepest + 1).unwrap_or(1)
}

/// A month by number or by the first three letters of its name.
fn month(text: &str) -> Result<u8, Failure> {
    let lower = text.trim().to_lowercase();
    if let Ok(number @ 1..=12) = lower.parse::<u8>() {
        return Ok(number);
    }
    (1..)
        .zip(MONTHS)
        .find(|(_, name)| lower.len() >= 3 && lower.starts_with(&name.to_lowercase()))
        .map(|(number, _)| number)
        .ok_or_else(|| {
            Failure(vec![format!(
                "--month {text}: no such month; 1 to 12 or a name such as jul; leave it out for the \
             deepest static level"
            )])
        })
}
