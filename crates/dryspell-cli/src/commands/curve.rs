//! `dryspell curve`: flow against sun, to be checked on site.

use dryspell::curve::sun_curve;
use dryspell_report::answers::{self, About, curve_answer};
use dryspell_report::{Inputs, MONTHS, curve};

use crate::args::CurveArgs;
use crate::files::Answer;
use crate::job::Job;
use crate::source::in_file;
use crate::{Failure, Verdict};

/// Prints the table for a month's water level; without one, for the month in which the water stands deepest.
pub(crate) fn curve(args: &CurveArgs) -> Result<Verdict, Failure> {
    let job = Job::open(&args.scheme, &args.set.set)?;
    let answer = Answer::open(&mut job.outputs(), args.json.as_deref())?;
    let plan = job.scheme.plan();
    let month = match &args.month {
        Some(text) => month(text)?,
        None => curve::deepest(&plan.supply.well.static_level_m),
    };
    let found = sun_curve(&plan, month)
        .map_err(|faults| in_file(&job.file, faults.into_iter().map(|f| job.scheme.locate(f)).collect()))?;
    let system = args.units.map_or(job.scheme.units, Into::into);
    answer.give(
        || {
            // No weather: it rests on the scheme and its tables alone.
            let about = About::of(&job.scheme, &job.file, &Inputs::new(job.own_inputs()))?;
            answers::text(&curve_answer(&found, &plan, about))
        },
        || curve::page(&found, &plan, &job.file, system),
    )?;
    Ok(Verdict::Answered)
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
