//! Tables of hours, days, months and tank years beside a sweep's own: a folder each, a Parquet file for each piece of cases.

use std::collections::BTreeSet;
use std::io::Write;
use std::path::{Path, PathBuf};

use dryspell::results::{Content, Figure, RUN_TABLES, RunTable};
use dryspell::simulate::{Memo, Run, at_tank};
use dryspell::sweep::{CASE, Sweep};
use dryspell_report::parquet::{Column, Table};

use super::header::Header;
use super::kept::PieceFile;
use super::records::Records;
use crate::Failure;
use crate::files::{Temporary, folder_can_be};

/// So much is written without asking, bytes.
const WITHOUT_ASKING: f64 = 10e9;

/// The tables asked for, and where they go.
#[derive(Debug, Default)]
pub(crate) struct CaseTables {
    all: Vec<(RunTable, PathBuf)>,
}

impl CaseTables {
    /// The tables of these names beside a sweep's own: `sweep.parquet` has its days in the folder `sweep.days`.
    pub(crate) fn new(names: &[&str], out: &Path) -> Self {
        let asked = RUN_TABLES.into_iter().filter(|table| names.contains(&table.name));
        Self { all: asked.map(|table| (table, out.with_extension(table.name))).collect() }
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.all.is_empty()
    }

    /// Looks before the work whether the folders can be, hold nothing of another sweep, and have what finished pieces left there.
    pub(crate) fn open(&self, kept: &PieceFile) -> Result<(), Failure> {
        let header = &kept.header;
        let own: BTreeSet<PathBuf> = (0..header.pieces()).map(|piece| file_of(header, piece)).collect();
        let missing: BTreeSet<u64> = kept.missing().collect();
        for (table, folder) in &self.all {
            let shown = folder.display();
            folder_can_be(folder)?;
            let there = std::fs::read_dir(folder).into_iter().flatten().flatten();
            let there: BTreeSet<PathBuf> = there.map(|entry| PathBuf::from(entry.file_name())).collect();
            // Parts of one sweep share a folder.
            if header.part == (1, 1)
                && let Some(strange) = there.iter().find(|name| !own.contains(*name))
            {
                return Err(Failure(vec![format!(
                    "--{}: {shown} holds {}, which is not of this sweep; an empty folder, or none; remove it, or choose another \
                     --out",
                    table.name,
                    strange.display()
                )]));
            }
            let finished = (0..header.pieces()).filter(|piece| !missing.contains(piece));
            if let Some(gone) =
                finished.map(|piece| file_of(header, piece)).find(|file| !there.contains(file))
            {
                return Err(Failure(vec![format!(
                    "--{}: {} holds finished cases whose {} are not in {shown} ({} is missing); the tables with which the sweep \
                     began; run it as it was begun, or remove {} and begin anew",
                    table.name,
                    kept.name(),
                    table.name,
                    gone.display(),
                    kept.name()
                )]));
            }
            std::fs::create_dir_all(folder).map_err(|e| {
                Failure(vec![format!("{shown}: {e}; a folder that can be made; choose another --out")])
            })?;
        }
        Ok(())
    }

    /// How large the tables of so many cases become, from those of the scheme as it stands; refused where that is much and `large` does
    /// not say that it may be.
    pub(crate) fn weigh(&self, run: &Run, cases: u64, large: bool) -> Result<(), Failure> {
        let mut bytes = 0.0;
        for (table, _) in &self.all {
            let mut written = Table::new(Vec::new(), &columns(*table))?;
            add(&mut written, *table, 0, run)?;
            #[expect(clippy::cast_precision_loss, reason = "a size told in round numbers")]
            let own = written.finish()?.len() as f64;
            bytes += own;
        }
        #[expect(clippy::cast_precision_loss, reason = "a size told in round numbers")]
        let all = bytes * cases as f64;
        if all <= WITHOUT_ASKING || large {
            return Ok(());
        }
        let names: Vec<String> = self.all.iter().map(|(table, _)| format!("--{}", table.name)).collect();
        Err(Failure(vec![format!(
            "{}: about {:.0} GB for {cases} cases, {:.0} kB each; up to 10 GB without asking; add --over-10-gb, or ask for fewer cases or \
             tables",
            names.join(" "),
            all / 1e9,
            bytes / 1e3
        )]))
    }

    /// Writes the tables of one piece. A case that cannot run has no rows.
    pub(crate) fn write(
        &self,
        header: &Header,
        piece: u64,
        (sweep, records): (&Sweep<'_>, &Records<'_>),
        memo: &mut Memo,
    ) -> Result<(), Failure> {
        let mut files = Vec::new();
        for (table, folder) in &self.all {
            let path = folder.join(file_of(header, piece));
            let mut temporary = Temporary::beside(&path)?;
            let out = std::io::BufWriter::new(temporary.file().try_clone()?);
            files.push((*table, Table::new(out, &columns(*table))?, temporary, path));
        }
        let (from, to) = header.piece(piece);
        for case in from..to {
            let Ok(scheme) = sweep.scheme(case) else { continue };
            let Ok((record, _)) = records.of(&scheme) else { continue };
            let plan = scheme.plan();
            let Ok(run) = memo.upstream(&plan, &record).and_then(|upstream| at_tank(&upstream, &plan)) else {
                continue;
            };
            for (table, written, ..) in &mut files {
                add(written, *table, case, &run)?;
            }
        }
        for (_, written, temporary, path) in files {
            written.finish()?.flush()?;
            temporary.persist(&path)?;
        }
        Ok(())
    }
}

/// The file of a piece: named by its first case and its last.
fn file_of(header: &Header, piece: u64) -> PathBuf {
    let (from, to) = header.piece(piece);
    PathBuf::from(format!("cases-{from:010}-{:010}.parquet", to.saturating_sub(1)))
}

/// The columns of a table: the case, then its own.
fn columns(table: RunTable) -> Vec<Column> {
    let case = Column {
        name: CASE.name.to_owned(),
        content: Content::Count,
        unit: CASE.unit.to_owned(),
        meaning: CASE.meaning.to_owned(),
    };
    let own = table.fields.iter().zip(table.contents()).map(|(field, content)| Column::of(field, content));
    std::iter::once(case).chain(own).collect()
}

fn add<W: Write + Send>(
    written: &mut Table<W>,
    table: RunTable,
    case: u64,
    run: &Run,
) -> std::io::Result<()> {
    for row in 0..table.rows(run) {
        let figures = table.fields.iter().map(|field| (field.get)(run, row));
        written.add_figures(std::iter::once(Figure::Count(case)).chain(figures))?;
    }
    Ok(())
}
