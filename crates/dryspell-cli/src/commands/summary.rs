//! `dryspell summary`: the document that goes with an application.

use std::path::Path;

use dryspell::record::YearKind;
use dryspell::simulate::Run;
use dryspell_report::changes::{State, page};
use dryspell_report::{DocumentSettings, EXPORTERS, Error, Exporter, MadeYears, Paper, Report, pictures};

use super::odds;
use super::tried::tried;
use crate::args::{PaperSize, SummaryArgs};
use crate::files::Format;
use crate::job::Job;
use crate::watch::watch;
use crate::{Failure, Verdict, files};

/// Runs the scheme with all that the document tells, and writes it whole or not at all.
pub(crate) fn summary(args: &SummaryArgs) -> Result<Verdict, Failure> {
    let form = form(&args.out)?;
    for (flag, given) in [("--paper", args.paper.is_some()), ("--font", !args.font.is_empty())] {
        if given && form.name() == "html" {
            return Err(Failure(vec![format!(
                "{flag}: HTML uses the reader's own paper and fonts; {flag} is for a PDF; leave it out, or take a name \
                 that ends in .pdf"
            )]));
        }
    }
    if args.watch {
        return watch(&args.scheme, |watched, before| {
            once(args, form, &watched.open(&args.set.set)?, before)
        });
    }
    once(args, form, &Job::open(&args.scheme, &args.set.set)?, None)?;
    Ok(Verdict::Answered)
}

/// The document of a scheme as it is now, and what has changed since the one before.
fn once(
    args: &SummaryArgs,
    form: &'static dyn Exporter,
    job: &Job,
    before: Option<&State>,
) -> Result<State, Failure> {
    // Opened before the work, so that a path that cannot be written fails at once.
    let mut outputs = job.outputs();
    for font in &args.font {
        outputs.keep_from(font);
    }
    let target = outputs.open("--out", &args.out, &[Format::Html, Format::Pdf])?;
    args.charts.as_deref().map(files::folder_can_be).transpose()?;
    let fonts = args.font.iter().map(|path| font(path)).collect::<Result<Vec<_>, _>>()?;
    odds::check(&args.made)?;
    let source = job.weather()?;
    let run = job.run(&source.record)?;
    let system = args.units.map_or(job.scheme.units, Into::into);
    let made = years(args, job, &run, &source.record)?;
    let tables = job.tables.texts();
    let inputs = job.inputs(&source);
    let tried = tried(job, &run, &source, system)?;
    let report = Report {
        system,
        tried: &tried,
        document: DocumentSettings {
            changed: &args.set.set,
            tables: &tables,
            paper: args.paper.map(paper),
            fonts: &fonts,
            made: made.as_ref(),
            seed: args.made.seed,
        },
        ..Report::new(&run, &source.record, &job.scheme, (&job.file, &job.text), &inputs)
    };
    let mut bytes = Vec::new();
    form.write(&report, &mut bytes).map_err(|error| match error {
        Error::Faults(faults) => job.located(faults),
        Error::Setting(what) => {
            let place = letter_in(job, &what).unwrap_or_else(|| args.out.display().to_string());
            Failure(vec![format!("{place}: {what}")])
        }
        other => other.into(),
    })?;
    if let Some(folder) = &args.charts {
        std::fs::create_dir_all(folder).map_err(|e| {
            Failure(vec![format!(
                "--charts {}: {e}; a folder, or a name in a folder that can be written; check the path",
                folder.display()
            )])
        })?;
        for chart in pictures(&run, system)? {
            let path = folder.join(format!("{}.svg", chart.name));
            outputs.open("--charts", &path, &[Format::Svg])?.write(&chart.svg)?;
        }
    }
    target.write_with(|file| file.write_all(&bytes))?;
    let state = State { text: job.text.clone(), scheme: job.scheme.clone(), run, inputs };
    if let Some(before) = before {
        files::print(&format!("\n{}", page(before, &state, system)))?;
    }
    files::print(&format!("{}\n", args.out.display()))?;
    Ok(state)
}

/// The form by the file's ending.
fn form(path: &Path) -> Result<&'static dyn Exporter, Failure> {
    let ending = path.extension().and_then(|e| e.to_str()).unwrap_or("").to_lowercase();
    let forms = EXPORTERS.iter().filter(|form| form.is_document());
    match forms.copied().find(|form| form.endings().contains(&ending.as_str())) {
        Some(form) => Ok(form),
        None if ending == "pdf" => Err(Failure(vec![
            "this program was built without PDF; a build with --features pdf; build it so, or take a name that ends in .html"
                .to_owned(),
        ])),
        None => Err(Failure(vec![format!(
            "--out {}: not a document format; a name that ends in .html or .pdf; such as summary.pdf",
            path.display()
        )])),
    }
}

/// Years are made only from a record of several: from one they would look like knowledge of others.
fn years(
    args: &SummaryArgs,
    job: &Job,
    run: &Run,
    record: &dryspell::record::Record,
) -> Result<Option<MadeYears>, Failure> {
    if record.calendar.is_one_year()
        || matches!(record.kind, YearKind::Synthetic | YearKind::Projected)
        || run.calendar.days().len() < 365
    {
        return Ok(None);
    }
    odds::made(&args.made, job, run, record)
}

/// Where a letter that no font has stands in the scheme, if it stands there.
fn letter_in(job: &Job, what: &str) -> Option<String> {
    job.text.lines().zip(1..).find_map(|(line, number)| {
        let named = |letter: &char| what.contains(&format!("(U+{:04X})", u32::from(*letter)));
        let column = line.chars().position(|letter| named(&letter))? + 1;
        Some(format!("{}, line {number}, column {column}", job.file))
    })
}

fn font(path: &Path) -> Result<(String, Vec<u8>), Failure> {
    let bytes = std::fs::read(path).map_err(|e| {
        Failure(vec![format!(
            "--font {}: {e}; a font file (.ttf, .otf) that can be read; check the path",
            path.display()
        )])
    })?;
    Ok((format!("--font {}", path.display()), bytes))
}

const fn paper(size: PaperSize) -> Paper {
    match size {
        PaperSize::A4 => Paper::A4,
        PaperSize::Letter => Paper::Letter,
    }
}
