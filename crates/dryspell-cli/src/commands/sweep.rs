//! `dryspell sweep`: many cases of one scheme.

use std::path::{Path, PathBuf};
use std::time::Instant;

use dryspell::scheme::keys;
use dryspell::simulate::{Marches, Memo, by_march};
use dryspell::sweep::{Axis, Sweep};
use indicatif::{ProgressBar, ProgressStyle};

use crate::args::SweepArgs;
use crate::files::{self, Format};
use crate::job::Job;
use crate::source::in_file;
#[cfg(feature = "parquet")]
use crate::sweep::case_tables::CaseTables;
use crate::sweep::cases;
#[cfg(feature = "parquet")]
use crate::sweep::header::of_letter;
use crate::sweep::header::{Header, MOST_PARTS, letter, piece_of};
use crate::sweep::kept::PieceFile;
use crate::sweep::records::Records;
use crate::sweep::{rows, work};
use crate::{Failure, Verdict, stop};
use dryspell_report::{Input, Inputs, Role, hash};

/// No tables of each case.
#[cfg(not(feature = "parquet"))]
struct NoTables;
#[cfg(not(feature = "parquet"))]
type CaseTables = NoTables;

/// Works off all cases, then writes the table; or, as one part of several, the part.
pub(crate) fn sweep(args: &SweepArgs) -> Result<Verdict, Failure> {
    let job = Job::open(&args.scheme, &args.set.set)?;
    let tables = |name: &str| job.tables.text(name);
    let sweep = Sweep::of(&job.text, &tables, cases::together(args, &job.folder)?)
        .map_err(|faults| in_file(&job.file, faults))?;
    let part = args.part.as_deref().map_or(Ok((1, 1)), part)?;
    let records = Records::new(&job);
    let header = header(&job, &sweep, &records, part)?;
    // Opened before the work, so that a path that cannot be written fails at once.
    let (target, picture) = targets(args, &job, &header)?;
    let whole = part == (1, 1);
    let out = &args.out;
    let kept_path = if whole { with_ending(out, ".partial") } else { part_name(out, part) };
    let case_tables = case_tables(args, &job, &records, header.range())?;
    let mut kept = PieceFile::open(&kept_path, &header)?;
    #[cfg(feature = "parquet")]
    if let Err(failure) = case_tables.open(&kept) {
        // Nothing is left of a sweep that did not begin.
        if kept.missing_pieces() == kept.header.pieces() {
            kept.remove()?;
        }
        return Err(failure);
    }
    if let Some(stopped) = work_off(&job, (&sweep, &records, &case_tables), &mut kept)? {
        kept.sync()?;
        files::say(&format!(
            "interrupted; finished pieces of up to 100 cases are kept in {}; run the same command again to resume",
            kept_path.display()
        ));
        return Ok(Verdict::Interrupted(stopped));
    }
    kept.sync()?;
    let (from, to) = header.range();
    if !whole {
        files::print(&format!(
            "part {} of {}: cases {from} to {} in {}\n",
            part.0,
            part.1,
            to.saturating_sub(1),
            kept_path.display()
        ))?;
        return Ok(Verdict::Answered);
    }
    if let Some(picture) = picture {
        draw(picture, &mut kept, &args.vary, &job, &sweep)?;
    }
    if target.format() == Some(Format::Parquet) {
        write_parquet(target, std::slice::from_mut(&mut kept))?;
    } else {
        write_table(target, std::slice::from_mut(&mut kept))?;
    }
    let faults = kept.faults();
    let all_faults = all_faults(std::slice::from_ref(&kept), &out.display().to_string());
    kept.remove()?;
    all_faults?;
    files::print(&told(to - from, faults, out))?;
    Ok(Verdict::Answered)
}

/// The tables of each case that are asked for, weighed.
#[cfg(feature = "parquet")]
fn case_tables(
    args: &SweepArgs,
    job: &Job,
    records: &Records<'_>,
    (from, to): (u64, u64),
) -> Result<CaseTables, Failure> {
    let asked = [("hours", args.hours), ("days", args.days), ("months", args.months), ("years", args.years)];
    let names: Vec<&str> = asked.into_iter().filter(|(_, asked)| *asked).map(|(name, _)| name).collect();
    let tables = CaseTables::new(&names, &args.out);
    if !tables.is_empty() {
        // Where the weather is varied the scheme's own may not be there, and nothing is known of the size.
        if let Ok((record, _)) = records.of(&job.scheme)
            && let Ok(run) = job.run(&record)
        {
            tables.weigh(&run, to - from, args.over_10_gb)?;
        }
    }
    Ok(tables)
}

/// Without Parquet there are none.
#[cfg(not(feature = "parquet"))]
#[expect(clippy::unnecessary_wraps, reason = "as the other")]
fn case_tables(_: &SweepArgs, _: &Job, _: &Records<'_>, _: (u64, u64)) -> Result<CaseTables, Failure> {
    Ok(NoTables)
}

/// Where the table and the picture go.
fn targets(
    args: &SweepArgs,
    job: &Job,
    header: &Header,
) -> Result<(files::Target, Option<files::Target>), Failure> {
    let mut outputs = job.outputs();
    if let Some(cases) = &args.cases {
        outputs.keep_from(cases);
    }
    for input in header.inputs.iter().filter(|i| matches!(i.role, Role::Weather | Role::Climate)) {
        outputs.keep_from(&job.folder.join(&input.name));
    }
    let target = outputs.open("--out", &args.out, &[Format::Csv, Format::Parquet])?;
    let picture =
        args.plot.as_deref().map(|plot| outputs.open("--plot", plot, &[Format::Svg])).transpose()?;
    if target.format() == Some(Format::Parquet) && !cfg!(feature = "parquet") {
        return Err(super::built_without("Parquet", "parquet", "--out FILE.csv"));
    }
    if picture.is_some() && args.vary.is_empty() {
        return Err(Failure(vec![
            "--plot: no --vary; a picture over the values of one or two --vary; vary a key, or leave out --plot".to_owned(),
        ]));
    }
    if picture.is_some() && !cfg!(feature = "charts") {
        return Err(super::built_without("pictures", "charts", "the table alone"));
    }
    if target.is_stdout() {
        return Err(Failure(vec![format!(
            "--out {}: a sweep is kept in a file while it grows; a file name such as sweep.csv; name one",
            args.out.display()
        )]));
    }
    Ok((target, picture))
}

/// Works off what is missing. The signal that stopped it, if one did.
fn work_off(
    job: &Job,
    (sweep, records, tables): (&Sweep<'_>, &Records<'_>, &CaseTables),
    kept: &mut PieceFile,
) -> Result<Option<i32>, Failure> {
    #[cfg(not(feature = "parquet"))]
    let NoTables = tables;
    let header = kept.header.clone();
    let (from, to) = header.range();
    let missing: u64 = kept.missing().map(|p| header.piece(p)).map(|(a, b)| b - a).sum();
    let there = to - from - missing;
    if there > 0 {
        files::say(&format!("{}: {there} of {} cases are done; resuming", kept.name(), to - from));
    }
    let asked = stop::when_asked();
    let bar = progress(to - from, there);
    let scheme_sha256 = hash(job.text.as_bytes());
    let inputs = Inputs::hash_of(&header.inputs)?;
    let hashes = rows::Hashes { scheme: &scheme_sha256, inputs: &inputs };
    let axes = rows::of_axes(sweep.axes());
    let work = work::Job {
        sweep,
        axes: &axes,
        hashes,
        records,
        #[cfg(feature = "parquet")]
        tables,
        stop: asked.flag(),
    };
    bar.suspend(|| tell_the_cost(job, sweep, records, missing))?;
    let all = work.work(kept, |cases| bar.inc(cases))?;
    bar.finish_and_clear();
    Ok(if all { None } else { Some(asked.signal()) })
}

/// Shortest time of all cases that is worth a word, s.
const WORTH_A_WORD_S: f64 = 10.0;

/// So few cases are soon done, and not worth a march to time.
const FEW_CASES: u64 = 100;

/// Where cases must or may be marched, how long that takes: told before the work, from the scheme as it stands.
fn tell_the_cost(job: &Job, sweep: &Sweep<'_>, records: &Records<'_>, cases: u64) -> Result<(), Failure> {
    let plan = sweep.base().plan();
    let marches = Marches::of(&plan);
    if marches == Marches::Nothing || cases < FEW_CASES {
        return Ok(());
    }
    let (record, _) = records.of(sweep.base())?;
    let upstream = Memo::default().upstream(&plan, &record).map_err(|faults| job.located(faults))?;
    let start = Instant::now();
    by_march(&upstream, &plan).map_err(|faults| job.located(faults))?;
    let one_s = start.elapsed().as_secs_f64();
    if let Some(text) = cost(marches, cases, one_s, rayon::current_num_threads()) {
        files::say(&text);
    }
    Ok(())
}

/// What so many cases cost that take `one_s` each; `None` where it is soon done.
fn cost(marches: Marches, cases: u64, one_s: f64, threads: usize) -> Option<String> {
    let which = match marches {
        Marches::Nothing => return None,
        Marches::All => "each of",
        Marches::RanDry => "those whose tank runs dry among",
    };
    #[expect(clippy::cast_precision_loss, reason = "numbers of cases and threads")]
    let all_s = one_s * cases as f64 / threads as f64;
    (all_s >= WORTH_A_WORD_S).then(|| {
        let (all, unit) = if all_s < 3600.0 { (all_s / 60.0, "minutes") } else { (all_s / 3600.0, "hours") };
        format!(
            "all stores are stepped together, hour by hour, for {which} {cases} cases: about {:.0} ms a case, at most {all:.1} \
             {unit} for all",
            1000.0 * one_s
        )
    })
}

/// The line that a finished table is told with.
pub(crate) fn told(cases: u64, faults: u64, out: &Path) -> String {
    let of_them = match faults {
        0 => String::new(),
        faults => format!("; {faults} of them could not run: their column fault says why"),
    };
    format!("{cases} cases in {}{of_them}\n", out.display())
}

/// Refuses a table that says nothing: every case has a fault.
pub(crate) fn all_faults(parts: &[PieceFile], out: &str) -> Result<(), Failure> {
    let cases: u64 = parts.iter().map(|kept| kept.header.range()).map(|(from, to)| to - from).sum();
    let faults: u64 = parts.iter().map(PieceFile::faults).sum();
    if faults < cases {
        return Ok(());
    }
    Err(Failure(vec![format!(
        "{out}: each of the {cases} cases has a fault, given in column fault; at least one case that can run; correct \
         the scheme or the values of --vary"
    )]))
}

/// Writes the table as Parquet from complete files, in the order of parts.
#[cfg(feature = "parquet")]
pub(crate) fn write_parquet(target: files::Target, parts: &mut [PieceFile]) -> Result<(), Failure> {
    use dryspell_report::parquet::Table;
    let Some(first) = parts.first() else { return Ok(()) };
    let names = csv::ReaderBuilder::new().from_reader(first.header.columns.as_bytes()).headers()?.clone();
    let columns: Vec<_> = names
        .iter()
        .zip(first.header.contents.chars())
        .map(|(name, content)| rows::told(name, of_letter(content)))
        .collect();
    target.write_with(|file| {
        let mut table = Table::new(file, &columns)?;
        for kept in parts.iter_mut() {
            for piece in 0..kept.header.pieces() {
                table.add(&kept.rows(piece).map_err(|f| std::io::Error::other(f.0.join("; ")))?)?;
            }
        }
        table.finish().map(drop)
    })
}

#[cfg(not(feature = "parquet"))]
pub(crate) fn write_parquet(_: files::Target, _: &mut [PieceFile]) -> Result<(), Failure> {
    Err(super::built_without("Parquet", "parquet", "--out FILE.csv"))
}

/// Draws the days of shortfall over the first two axes as they were typed.
#[cfg(feature = "charts")]
fn draw(
    target: files::Target,
    kept: &mut PieceFile,
    typed: &[String],
    job: &Job,
    sweep: &Sweep<'_>,
) -> Result<(), Failure> {
    use dryspell_report::map::{Gatherer, Map, svg};
    let axes = sweep.axes();
    let key = |text: &String| text.split(['=', ';']).next().unwrap_or("").trim().to_owned();
    let number = |i: usize| typed.get(i).and_then(|t| axes.iter().position(|a| a.key == key(t)));
    let (first, second) = (number(0).unwrap_or(0), number(1));
    let mut reader = csv::ReaderBuilder::new().from_reader(kept.header.columns.as_bytes());
    let days_at = reader.headers()?.iter().position(|n| n == "shortfall_days").unwrap_or(0);
    let shown =
        |axis: usize| -> Vec<&str> { (0..axes[axis].literals.len()).map(|i| axes[axis].shown(i)).collect() };
    let mut found = Gatherer::default();
    for piece in 0..kept.header.pieces() {
        let rows = kept.rows(piece)?;
        for row in csv::ReaderBuilder::new().has_headers(false).from_reader(rows.as_slice()).records() {
            let row = row?;
            let Some(days) = row.get(days_at).and_then(|d| d.parse().ok()) else { continue };
            let Some(case) = row.get(0).and_then(|case| case.parse().ok()) else { continue };
            let picks = sweep.picks(case);
            found.add((picks[first], second.map_or(0, |s| picks[s])), days);
        }
    }
    let others: Vec<String> = (0..axes.len())
        .filter(|i| *i != first && Some(*i) != second)
        .filter(|i| !axes[*i].shown(0).is_empty())
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
fn draw(_: files::Target, _: &mut PieceFile, _: &[String], _: &Job, _: &Sweep<'_>) -> Result<(), Failure> {
    Err(super::built_without("pictures", "charts", "the table alone"))
}

/// Writes the table from complete files, in the order of parts.
pub(crate) fn write_table(target: files::Target, parts: &mut [PieceFile]) -> Result<(), Failure> {
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

fn header(job: &Job, sweep: &Sweep<'_>, records: &Records<'_>, part: (u64, u64)) -> Result<Header, Failure> {
    read_tables(job, sweep);
    let weather = records.inputs(sweep)?;
    let axes = sweep.axes().iter().map(|axis| {
        let values = axis.literals.iter().collect::<Vec<_>>().join("\n");
        Input::of(Role::Cases, axis.key.clone(), values.as_bytes())
    });
    // The same sweep is the same wherever its folder lies.
    let own = job.own_inputs().into_iter().map(|input| match input.role {
        Role::Scheme => Input { name: String::new(), ..input },
        _ => input,
    });
    let all = rows::columns(sweep.axes());
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(all.iter().map(|(name, _)| name))?;
    let columns = String::from_utf8(writer.into_inner().map_err(|e| e.to_string())?)?;
    Ok(Header {
        inputs: Inputs::new(own.chain(weather).chain(axes)).sorted(),
        cases: sweep.cases(),
        piece: piece_of(sweep.tanks()),
        columns,
        contents: all.iter().map(|(_, content)| letter(*content)).collect(),
        part,
    })
}

/// Reads every table that an axis names: all that a sweep rests on is known before it begins. One that cannot be read is
/// a fault of its cases.
fn read_tables(job: &Job, sweep: &Sweep<'_>) {
    let of_tables = |axis: &&Axis| {
        keys::of_path(&axis.key).is_some_and(|key| matches!(key.kind, keys::Kind::Duty | keys::Kind::Rows(_)))
    };
    for axis in sweep.axes().iter().filter(of_tables) {
        for value in 0..axis.literals.len() {
            let _ = job.tables.text(axis.shown(value));
        }
    }
}

/// `K/N`.
fn part(text: &str) -> Result<(u64, u64), Failure> {
    let read = text.split_once('/').and_then(|(k, n)| Some((k.trim().parse().ok()?, n.trim().parse().ok()?)));
    match read {
        Some((k, n)) if (1..=n).contains(&k) && n <= MOST_PARTS => Ok((k, n)),
        _ => Err(Failure(vec![format!(
            "--part {text}: not a part; K/N with K from 1 to N and N at most 100000; such as --part 3/16"
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_cost_of_marching_is_told_where_it_is_long() {
        // 20,000 cases of 36 ms on two threads are 360 s, of 3.6 ms 36 s, of 0.36 ms 3.6 s.
        let told = |marches, one_s| cost(marches, 20_000, one_s, 2);
        let dry = told(Marches::RanDry, 0.036).unwrap();
        assert!(dry.contains("runs dry among 20000 cases: about 36 ms a case, at most 6.0 minutes"), "{dry}");
        assert!(told(Marches::All, 0.0036).unwrap().contains("each of 20000 cases: about 4 ms"));
        assert_eq!(told(Marches::All, 0.000_36), None);
        assert_eq!(told(Marches::Nothing, 1.0), None);
        assert!(told(Marches::All, 3.6).unwrap().ends_with("10.0 hours for all"));
    }
}
