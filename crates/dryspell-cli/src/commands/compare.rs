//! `dryspell compare`: schemes side by side.

use std::path::Path;

use crate::args::CompareArgs;
use crate::files::{Answer, Format, Outputs};
use crate::job::Job;
use crate::{Failure, Verdict};
use dryspell_report::answers::{self, About, compare_answer};
use dryspell_report::compare::{Side, headlines_csv, page};

/// Runs every scheme and prints what they come to beside each other.
pub(crate) fn compare(args: &CompareArgs) -> Result<Verdict, Failure> {
    let jobs = args.schemes.iter().map(|path| Job::open(path, &args.set.set)).collect::<Vec<_>>();
    // The faults of all schemes at once.
    let faults: Vec<String> =
        jobs.iter().filter_map(|job| job.as_ref().err()).flat_map(|failure| failure.0.clone()).collect();
    if !faults.is_empty() {
        return Err(Failure(faults));
    }
    let jobs: Vec<Job> = jobs.into_iter().flatten().collect();
    let mut outputs = Outputs::default();
    for job in &jobs {
        outputs.join(job.outputs());
    }
    let csv = args.csv.as_deref().map(|path| outputs.open("--csv", path, &[Format::Csv])).transpose()?;
    let answer = Answer::open(&mut outputs, args.json.as_deref())?;
    let quiet = args.csv.as_deref() == Some(Path::new("-"));
    let found = jobs
        .iter()
        .map(|job| {
            let source = job.weather()?;
            let run = job.run(&source.record)?;
            let about = About::of(&job.scheme, &job.file, &job.inputs(&source))?;
            let side = Side {
                file: &job.file,
                text: &job.text,
                scheme: &job.scheme,
                run,
                weather_sha256: source.inputs.into_iter().map(|input| input.sha256).collect(),
            };
            Ok((side, about))
        })
        .collect::<Result<Vec<_>, Failure>>()?;
    let (sides, about): (Vec<Side<'_>>, Vec<About>) = found.into_iter().unzip();
    let system = args.units.map_or(jobs[0].scheme.units, Into::into);
    if let Some(target) = csv {
        target.write(&headlines_csv(&sides)?)?;
    }
    answer.give(
        || answers::text(&compare_answer(&sides, about)?),
        || if quiet { String::new() } else { page(&sides, system) },
    )?;
    Ok(Verdict::Answered)
}
