//! `dryspell gather`: the parts of a sweep joined into one table.

use crate::args::GatherArgs;
use crate::commands::sweep::{all_faults, told, write_parquet, write_table};
use crate::files::{Format, Outputs};
use crate::sweep::kept::PieceFile;
use crate::{Failure, Verdict, files};

/// Checks that the parts belong together and are complete, then joins them.
pub(crate) fn gather(args: &GatherArgs) -> Result<Verdict, Failure> {
    let mut parts = Vec::new();
    let mut lines = Vec::new();
    for path in &args.parts {
        match PieceFile::load(path) {
            Ok(kept) => parts.push((path, kept)),
            Err(failure) => lines.extend(failure.0),
        }
    }
    if !lines.is_empty() {
        return Err(Failure(lines));
    }
    parts.sort_by_key(|(_, kept)| kept.header.part.0);
    let Some((first_path, first)) = parts.first() else { return Ok(Verdict::Answered) };
    let n = first.header.part.1;
    for (path, kept) in &parts {
        if !kept.header.same_sweep(&first.header) || kept.header.part.1 != n {
            lines.push(format!(
                "{}: belongs to another sweep than {}; parts of one sweep, made with the same scheme, tables, weather, axes and \
                 number of parts; leave it out",
                path.display(),
                first_path.display()
            ));
        }
        let missing = kept.missing_pieces();
        if missing > 0 {
            lines.push(format!(
                "{}: {missing} of its {} pieces are missing; a finished part; run its command again",
                path.display(),
                kept.header.pieces()
            ));
        }
    }
    if lines.is_empty() {
        for pair in parts.windows(2) {
            if pair[0].1.header.part == pair[1].1.header.part {
                lines.push(format!(
                    "{}: is the same part as {}; each part once; leave one out",
                    pair[1].0.display(),
                    pair[0].0.display()
                ));
            }
        }
        let absent: Vec<String> = (1..=n)
            .filter(|k| !parts.iter().any(|(_, kept)| kept.header.part.0 == *k))
            .map(|k| k.to_string())
            .collect();
        if !absent.is_empty() {
            lines.push(format!(
                "part {} of {n}: not given; every part; run dryspell sweep --part for it, or name its file",
                absent.join(", ")
            ));
        }
    }
    if !lines.is_empty() {
        return Err(Failure(lines));
    }
    let target =
        Outputs::apart_from(&args.parts).open("--out", &args.out, &[Format::Csv, Format::Parquet])?;
    let to_stdout = target.is_stdout();
    let cases = first.header.cases;
    let mut kept: Vec<PieceFile> = parts.into_iter().map(|(_, kept)| kept).collect();
    if target.format() == Some(Format::Parquet) {
        write_parquet(target, &mut kept)?;
    } else {
        write_table(target, &mut kept)?;
    }
    all_faults(&kept, &args.out.display().to_string())?;
    if !to_stdout {
        files::print(&told(cases, kept.iter().map(PieceFile::faults).sum(), &args.out))?;
    }
    Ok(Verdict::Answered)
}
