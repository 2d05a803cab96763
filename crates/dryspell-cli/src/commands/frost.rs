//! `dryspell frost`: what the frost of the record, or of a design winter, reaches.

use dryspell::frost::{self, Settings, Soil};
use dryspell::simulate::frost_report;

use dryspell_report::answers::{self, About, frost_answer};

use crate::args::FrostArgs;
use crate::files::Answer;
use crate::job::Job;
use crate::{Failure, Verdict};

/// Prints the report.
pub(crate) fn frost(args: &FrostArgs) -> Result<Verdict, Failure> {
    let job = Job::open(&args.scheme, &args.set.set)?;
    let answer = Answer::open(&mut job.outputs(), args.json.as_deref())?;
    let weather = job.weather()?;
    let record = &weather.record;
    let run = job.run(record)?;
    let system = args.units.map_or(job.scheme.units, Into::into);
    // Without a word on frost in the scheme, the winter and the depth by soil can still be told.
    let settings = run.plan.frost.clone().or_else(|| {
        Some(Settings {
            soil: Soil::named("silt")?,
            surface: 1.0,
            design_index_degc_days: None,
            design_days: None,
            parts: Vec::new(),
        })
    });
    let Some(settings) = settings else { return Err(Failure(vec!["no soil".into()])) };
    let report = match frost_report(&run, record).map_err(|faults| job.located(faults))? {
        Some(report) => report,
        None => frost::report(&settings, record, &[]).map_err(|faults| job.located(faults))?,
    };
    answer.give(
        || {
            let about = About::of(&job.scheme, &job.file, &job.inputs(&weather))?;
            answers::text(&frost_answer(&run, &settings, &report, about))
        },
        || dryspell_report::frost::page(&run, &settings, &report, &job.file, system),
    )?;
    Ok(Verdict::Answered)
}
