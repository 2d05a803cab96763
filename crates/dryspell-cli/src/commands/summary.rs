//! `dryspell summary`: the document that goes with an application.

use std::path::Path;
use std::sync::Arc;

use dryspell::curve::sun_curve;
use dryspell::odds::Years;
use dryspell::record::YearKind;
use dryspell::sensitivity;
use dryspell::simulate::{Run, frost_report};
use dryspell::units::System;
use dryspell::worksheet::Worksheet;

use super::odds;
use crate::args::{PaperSize, SummaryArgs};
use crate::files::Format;
use crate::job::Job;
use crate::present::json::round_unit_m3;
use crate::present::odds::{self as words, Page};
use crate::present::page::content::{Matter, Odds, document};
use crate::present::page::html::html;
use crate::present::page::model::{Chart, Document};
use crate::{Failure, Verdict, files};

/// Forms that the document takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    Html,
    Pdf,
}

/// Runs the scheme with all that the document tells, and writes it whole or not at all.
pub(crate) fn summary(args: &SummaryArgs) -> Result<Verdict, Failure> {
    let form = form(&args.out)?;
    for (flag, given) in [("--paper", args.paper.is_some()), ("--font", !args.font.is_empty())] {
        if given && form == Form::Html {
            return Err(Failure(vec![format!(
                "{flag}: HTML uses the reader's own paper and fonts; {flag} is for a PDF; leave it out, or take a name \
                 that ends in .pdf"
            )]));
        }
    }
    let job = Job::open(&args.scheme)?;
    // Opened before the work, so that a path that cannot be written fails at once.
    let mut outputs = job.outputs();
    for font in &args.font {
        outputs.keep_from(font);
    }
    let target = outputs.open("--out", &args.out, &[Format::Html, Format::Pdf])?;
    args.charts.as_deref().map(files::folder_can_be).transpose()?;
    let fonts = args.font.iter().map(|path| font(path)).collect::<Result<Vec<_>, _>>()?;
    let (made, charts) = made(args, &job)?;
    let bytes = match form {
        Form::Html => html(&made).map_err(|e| about(&args.out.display().to_string(), &e))?.into_bytes(),
        Form::Pdf => {
            let bytes = pdf(&made, paper(args.paper, system(args, &job)), fonts);
            bytes.map_err(|e| {
                about(&letter_in(&job, &e).unwrap_or_else(|| args.out.display().to_string()), &e)
            })?
        }
    };
    if let Some(folder) = &args.charts {
        std::fs::create_dir_all(folder).map_err(|e| {
            Failure(vec![format!(
                "--charts {}: {e}; a folder, or a name in a folder that can be written; check the path",
                folder.display()
            )])
        })?;
        for chart in &charts {
            let path = folder.join(format!("{}.svg", chart.name));
            outputs.open("--charts", &path, &[Format::Svg])?.write(&chart.svg)?;
        }
    }
    target.write_with(|file| file.write_all(&bytes))?;
    files::print(&format!("{}\n", args.out.display()))?;
    Ok(Verdict::Answered)
}

fn system(args: &SummaryArgs, job: &Job) -> System {
    args.units.map_or(job.scheme.units, Into::into)
}

/// The document and its pictures.
pub(crate) fn made(args: &SummaryArgs, job: &Job) -> Result<(Document, Vec<Arc<Chart>>), Failure> {
    let settings = odds::settings(&args.made)?;
    let source = job.weather()?;
    let record = &source.record;
    let run = job.run(record)?;
    let system = system(args, job);
    let located = |faults| job.located(faults);
    let found = years(args, settings, job, &run, record)?;
    let sensitivity = sensitivity::table(&run.plan, record, system).map_err(located)?;
    let frost = run.plan.frost.clone().zip(frost_report(&run, record).map_err(located)?);
    let worksheet = Worksheet::of(&run, round_unit_m3(system)).map_err(located)?;
    let deepest = super::curve::deepest(&run.plan.supply.well.static_level_m);
    let curve = sun_curve(&run.plan, deepest).map_err(located)?;
    let charts = pictures(&run, system)?;
    let odds = say(&Page {
        file: &job.file,
        run: &run,
        own: &found.own,
        made: found.made.as_ref(),
        settings,
        seed: args.made.seed,
        sensitivity: &sensitivity,
    });
    let made = document(&Matter {
        file: &job.file,
        text: &job.text,
        scheme: &job.scheme,
        inputs: &job.inputs(&source),
        command: &command(args),
        system,
        run: &run,
        odds: &odds,
        sensitivity: &sensitivity,
        frost: frost.as_ref(),
        worksheet: &worksheet,
        curve: &curve,
        charts: &charts,
    });
    Ok((made, charts))
}

/// The form by the file's ending.
fn form(path: &Path) -> Result<Form, Failure> {
    let ending = path.extension().and_then(|e| e.to_str()).unwrap_or("").to_lowercase();
    match ending.as_str() {
        "html" | "htm" => Ok(Form::Html),
        "pdf" if cfg!(feature = "pdf") => Ok(Form::Pdf),
        "pdf" => Err(Failure(vec![
            "this program was built without PDF; a build with --features pdf; build it so, or take a name that ends in \
             .html"
                .to_owned(),
        ])),
        _ => Err(Failure(vec![format!(
            "--out {}: not a document format; a name that ends in .html or .pdf; such as summary.pdf",
            path.display()
        )])),
    }
}

/// Years are made only from a record of several: from one they would look like knowledge of others.
fn years(
    args: &SummaryArgs,
    settings: dryspell::resample::Settings,
    job: &Job,
    run: &Run,
    record: &dryspell::record::Record,
) -> Result<odds::OddsYears, Failure> {
    if record.calendar.is_one_year()
        || matches!(record.kind, YearKind::Synthetic | YearKind::Projected)
        || run.calendar.days().len() < 365
    {
        let own = Years::of(&run.outcome, &run.calendar, run.demand_sum_m3, run.short_m3());
        return Ok(odds::OddsYears { own, made: None });
    }
    odds::found(&args.made, settings, job, run, record)
}

/// What the odds come to in words.
fn say(p: &Page<'_>) -> Odds {
    let owned = |(label, text): (&str, String)| (label.to_owned(), text);
    let mut lines: Vec<(String, String)> = words::record(p).into_iter().map(owned).collect();
    let mut limits = Vec::new();
    if let Some(made) = p.made {
        lines.extend(words::made_years(p, made).into_iter().map(|(l, t)| (format!("made years, {l}"), t)));
        limits.extend(words::held(made));
        limits.extend(words::too_short_blocks(p, made));
    }
    for (name, row) in words::spell_rows(p) {
        let each = words::PERIODS.iter().zip(row).filter(|(_, days)| days != "-");
        let text: Vec<String> =
            each.map(|(years, days)| format!("{days} days once in {years} years")).collect();
        if !text.is_empty() {
            lines.push((format!("longest spell, {name}"), text.join("; ")));
        }
    }
    limits.extend(words::limits(p));
    Odds { answer: words::answer(p), lines, limits }
}

/// The command that makes the same document again.
fn command(args: &SummaryArgs) -> String {
    let quoted = |path: &Path| {
        let text = path.display().to_string();
        if text.chars().all(|c| c.is_ascii_alphanumeric() || "._-/".contains(c)) {
            text
        } else {
            format!("'{}'", text.replace('\'', r"'\''"))
        }
    };
    let mut text = format!("dryspell summary {} -o {}", quoted(&args.scheme), quoted(&args.out));
    if let Some(units) = args.units {
        text += if System::from(units) == System::Us { " --units us" } else { " --units si" };
    }
    if let Some(paper) = args.paper {
        text += if paper == PaperSize::A4 { " --paper a4" } else { " --paper letter" };
    }
    for font in &args.font {
        text += &format!(" --font {}", quoted(font));
    }
    let m = &args.made;
    let defaults = crate::args::MadeArgs::default();
    if *m != defaults {
        text += &format!(
            " --made-years {} --drawings {} --block-days {} --window-days {} --seed {}",
            m.made_years, m.drawings, m.block_days, m.window_days, m.seed
        );
    }
    text
}

fn about(place: &str, what: &str) -> Failure {
    Failure(vec![format!("{place}: {what}")])
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

/// The pictures, where the program draws any.
#[cfg(feature = "charts")]
fn pictures(run: &Run, system: System) -> Result<Vec<Arc<Chart>>, Failure> {
    let drawn = crate::present::page::charts::all(run, system)
        .map_err(|e| Failure(vec![format!("a picture cannot be drawn: {e}")]))?;
    Ok(drawn.into_iter().map(Arc::new).collect())
}

#[cfg(not(feature = "charts"))]
fn pictures(_: &Run, _: System) -> Result<Vec<Arc<Chart>>, Failure> {
    Ok(Vec::new())
}

fn paper(asked: Option<PaperSize>, system: System) -> PaperSize {
    asked.unwrap_or(if system == System::Us { PaperSize::Letter } else { PaperSize::A4 })
}

#[cfg(feature = "pdf")]
fn pdf(document: &Document, paper: PaperSize, fonts: Vec<(String, Vec<u8>)>) -> Result<Vec<u8>, String> {
    use crate::present::page::pdf::{Fonts, Paper, pdf};
    let paper = match paper {
        PaperSize::A4 => Paper::A4,
        PaperSize::Letter => Paper::Letter,
    };
    pdf(document, paper, &Fonts::new(fonts)?)
}

#[cfg(not(feature = "pdf"))]
fn pdf(_: &Document, _: PaperSize, _: Vec<(String, Vec<u8>)>) -> Result<Vec<u8>, String> {
    Err("this program was built without PDF".to_owned())
}
