//! `dryspell sweep`: many cases of one scheme.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use dryspell::sweep::{Axis, Sweep};
use indicatif::{ProgressBar, ProgressStyle};

use crate::args::SweepArgs;
use crate::job::{Job, beside};
use crate::source::{hash, in_file};
use crate::sweep::kept::{Header, Kept, piece_of};
use crate::sweep::rows;
use crate::sweep::work::{self, Records};
use crate::{Failure, Verdict, files};

/// Works off all cases, then writes the table; or, as one part of several, the part.
pub(crate) fn sweep(args: &SweepArgs) -> Result<Verdict, Failure> {
    let job = Job::open(&args.scheme)?;
    let folder = args.scheme.parent().unwrap_or(Path::new("")).to_owned();
    let axes: Vec<Result<Axis, _>> = args.vary.iter().map(|text| Axis::parse(text)).collect();
    let faults: Vec<String> = axes.iter().filter_map(|a| a.as_ref().err()).map(ToString::to_string).collect();
    if !faults.is_empty() {
        return Err(Failure(faults));
    }
    let axes: Vec<Axis> = axes.into_iter().flatten().collect();
    let beside = |name: &str| beside(&folder, name);
    let sweep = Sweep::new(&job.text, &beside, axes).map_err(|faults| in_file(&job.file, faults))?;
    let part = args.part.as_deref().map_or(Ok((1, 1)), part)?;
    let records = Records::default();
    let header = header(&job, &sweep, &records, &folder, part)?;
    let out = &args.out;
    // Opened before the work, so that a path that cannot be written fails at once.
    let mut taken = job.inputs();
    let target = files::Target::open_apart(out, &mut taken)?;
    let picture = args.plot.as_deref().map(|plot| files::Target::open_apart(plot, &mut taken)).transpose()?;
    let parquet = out.extension().is_some_and(|e| e == "parquet");
    if parquet && !cfg!(feature = "parquet") {
        return Err(built_without("Parquet", "parquet", "--out FILE.csv"));
    }
    if picture.is_some() && !cfg!(feature = "charts") {
        return Err(built_without("pictures", "charts", "the table alone"));
    }
    if target.is_stdout() {
        return Err(Failure(vec![
            "--out -: a sweep is kept in a file while it grows; a file name such as sweep.csv; name one"
                .to_owned(),
        ]));
    }
    let whole = part == (1, 1);
    let kept_path = if whole { with_ending(out, ".partial") } else { part_name(out, part) };
    let mut kept = Kept::open(&kept_path, &header)?;
    let (from, to) = header.range();
    let missing: u64 = kept.missing().iter().map(|p| header.piece(*p)).map(|(a, b)| b - a).sum();
    if missing < to - from {
        files::say(&format!(
            "{}: {} of {} cases are there; going on",
            kept_path.display(),
            to - from - missing,
            to - from
        ));
    }
    let stop = Arc::new(AtomicBool::new(false));
    let asked = stop.clone();
    // Without a handler Ctrl-C kills at once, which loses nothing either.
    let _ = ctrlc::set_handler(move || asked.store(true, Ordering::Relaxed));
    let bar = progress(to - from, to - from - missing);
    let scheme_sha256 = hash(job.text.as_bytes());
    let work = work::Job {
        sweep: &sweep,
        file: &job.file,
        folder: &folder,
        scheme_sha256: &scheme_sha256,
        records: &records,
        stop: &stop,
    };
    let all = work.work(&mut kept, |cases| bar.inc(cases))?;
    bar.finish_and_clear();
    if !all {
        kept.sync()?;
        files::say(&format!(
            "interrupted; every finished case is kept in {}; run the same command again to go on",
            kept_path.display()
        ));
        return Ok(Verdict::Interrupted);
    }
    kept.sync()?;
    if whole {
        if let Some(picture) = picture {
            draw(picture, &mut kept, &args.vary, &job, &sweep)?;
        }
        if parquet {
            write_parquet(target, &mut kept, &job, &records, &sweep, &folder)?;
        } else {
            write_table(target, &mut [kept])?;
        }
        std::fs::remove_file(&kept_path).map_err(|e| {
            Failure(vec![format!(
                "{}: cannot be removed: {e}; the table is complete; remove this file by hand",
                kept_path.display()
            )])
        })?;
        files::print(&format!("{} cases in {}\n", to - from, out.display()))?;
    } else {
        files::print(&format!(
            "part {} of {}: cases {from} to {} in {}\n",
            part.0,
            part.1,
            to.saturating_sub(1),
            kept_path.display()
        ))?;
    }
    Ok(Verdict::Answered)
}

fn built_without(what: &str, feature: &str, way_out: &str) -> Failure {
    Failure(vec![format!(
        "this program was built without {what}; a build with --features {feature}; build it so, or take {way_out}"
    )])
}

#[cfg(feature = "parquet")]
fn write_parquet(
    target: files::Target,
    kept: &mut Kept,
    job: &Job,
    records: &Records,
    sweep: &Sweep<'_>,
    folder: &Path,
) -> Result<(), Failure> {
    let (record, ..) = records.of(sweep.base(), &job.file, folder)?;
    let run = job.run(&record)?;
    let columns: Vec<String> = csv::ReaderBuilder::new()
        .from_reader(kept.header.columns.as_bytes())
        .headers()?
        .iter()
        .map(ToOwned::to_owned)
        .collect();
    target.write_with(|file| {
        let mut table = crate::present::parquet::Table::new(file, &columns, &run)?;
        for piece in 0..kept.header.pieces() {
            table.add(&kept.rows(piece).map_err(|f| std::io::Error::other(f.0.join("; ")))?)?;
        }
        table.finish()
    })
}

#[cfg(not(feature = "parquet"))]
fn write_parquet(
    _: files::Target,
    _: &mut Kept,
    _: &Job,
    _: &Records,
    _: &Sweep<'_>,
    _: &Path,
) -> Result<(), Failure> {
    Err(built_without("Parquet", "parquet", "--out FILE.csv"))
}

/// Draws the days of shortfall over the first two axes as they were typed.
#[cfg(feature = "charts")]
fn draw(
    target: files::Target,
    kept: &mut Kept,
    typed: &[String],
    job: &Job,
    sweep: &Sweep<'_>,
) -> Result<(), Failure> {
    use crate::present::map::{Gatherer, Map, svg};
    let axes = sweep.axes();
    let key = |text: &String| text.split('=').next().unwrap_or("").trim().to_owned();
    let number = |i: usize| typed.get(i).and_then(|t| axes.iter().position(|a| a.key == key(t)));
    let (first, second) = (number(0).unwrap_or(0), number(1));
    let mut reader = csv::ReaderBuilder::new().from_reader(kept.header.columns.as_bytes());
    let days_at = reader.headers()?.iter().position(|n| n == "shortfall_days").unwrap_or(0);
    let shown =
        |axis: usize| -> Vec<&str> { (0..axes[axis].literals.len()).map(|i| axes[axis].shown(i)).collect() };
    let mut found = Gatherer::default();
    let place = |axis: usize, text: Option<&str>| shown(axis).iter().position(|v| Some(*v) == text);
    for piece in 0..kept.header.pieces() {
        let rows = kept.rows(piece)?;
        for row in csv::ReaderBuilder::new().has_headers(false).from_reader(rows.as_slice()).records() {
            let row = row?;
            let Some(days) = row.get(days_at).and_then(|d| d.parse().ok()) else { continue };
            let across = place(first, row.get(1 + first));
            let up = second.map_or(Some(0), |s| place(s, row.get(1 + s)));
            if let Some(at) = across.zip(up) {
                found.add(at, days);
            }
        }
    }
    let others: Vec<String> = (0..axes.len())
        .filter(|i| *i != first && Some(*i) != second)
        .map(|i| format!("{} = {}", axes[i].key, axes[i].shown(0)))
        .collect();
    let text = svg(&Map {
        scheme: job.scheme.name.as_deref().unwrap_or(&job.file),
        across: (&axes[first].key, shown(first)),
        up: second.map(|s| (axes[s].key.as_str(), shown(s))),
        held: if others.is_empty() { String::new() } else { format!(" (with {})", others.join(", ")) },
        points: found.points(),
    })
    .map_err(|e| Failure(vec![format!("the picture cannot be drawn: {e}; the table; leave out --plot")]))?;
    target.write(&text)
}

#[cfg(not(feature = "charts"))]
fn draw(_: files::Target, _: &mut Kept, _: &[String], _: &Job, _: &Sweep<'_>) -> Result<(), Failure> {
    Err(built_without("pictures", "charts", "the table alone"))
}

/// Writes the table from complete files, in the order of parts.
pub(crate) fn write_table(target: files::Target, parts: &mut [Kept]) -> Result<(), Failure> {
    let Some(first) = parts.first() else { return Ok(()) };
    let columns = first.header.columns.clone();
    target.write_with(|file| {
        file.write_all(columns.as_bytes())?;
        for kept in parts.iter_mut() {
            for piece in 0..kept.header.pieces() {
                let rows = kept.rows(piece).map_err(|f| std::io::Error::other(f.0.join("; ")))?;
                file.write_all(&rows)?;
            }
        }
        Ok(())
    })
}

fn header(
    job: &Job,
    sweep: &Sweep<'_>,
    records: &Records,
    folder: &Path,
    part: (u64, u64),
) -> Result<Header, Failure> {
    // Every weather that the sweep can ask for; other axes leave it as the scheme has it.
    let of_weather = sweep.axes().iter().any(|a| a.key.starts_with("weather."));
    let mut hashes = Vec::new();
    if of_weather {
        // The first case of each group: cases of one group share their weather.
        for group in 0..sweep.cases() / sweep.tanks() {
            let Ok(scheme) = sweep.scheme(group * sweep.tanks()) else { continue };
            let sha256 = records.of(&scheme, &job.file, folder)?.1;
            if !hashes.contains(&sha256) {
                hashes.push(sha256);
            }
        }
    } else {
        hashes.push(records.of(sweep.base(), &job.file, folder)?.1);
    }
    let names: Vec<&str> = sweep.axes().iter().map(|a| a.key.as_str()).collect();
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(rows::columns(&names))?;
    let columns = String::from_utf8(writer.into_inner().map_err(|e| e.to_string())?)?;
    Ok(Header {
        dryspell_sweep: 1,
        version: env!("CARGO_PKG_VERSION").to_owned(),
        scheme_sha256: hash(job.text.as_bytes()),
        weather_sha256: hashes.join(" "),
        axes: sweep.axes().iter().map(|a| (a.key.clone(), a.literals.clone())).collect(),
        cases: sweep.cases(),
        piece: piece_of(sweep.tanks()),
        columns,
        part,
    })
}

/// `K/N`.
fn part(text: &str) -> Result<(u64, u64), Failure> {
    let read = text.split_once('/').and_then(|(k, n)| Some((k.trim().parse().ok()?, n.trim().parse().ok()?)));
    match read {
        Some((k, n)) if (1..=n).contains(&k) && n <= 100_000 => Ok((k, n)),
        _ => Err(Failure(vec![format!(
            "--part {text}: no part; K/N with K from 1 to N and N at most 100000; such as --part 3/16"
        )])),
    }
}

fn with_ending(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}

/// The file of one part.
fn part_name(out: &Path, (k, n): (u64, u64)) -> PathBuf {
    with_ending(out, &format!(".part-{k}-of-{n}"))
}

fn progress(cases: u64, done: u64) -> ProgressBar {
    let bar = ProgressBar::new(cases).with_position(done);
    let style =
        ProgressStyle::with_template("{wide_bar} {human_pos} of {human_len} cases, {per_sec}, {eta} left");
    if let Ok(style) = style {
        bar.set_style(style);
    }
    bar.reset_eta();
    bar
}
