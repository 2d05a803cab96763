//! Working off the pieces of a sweep.

use std::cell::RefCell;
use std::ops::Range;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc;

use dryspell::scheme::WeatherOrigin;
use dryspell::simulate::Memo;
use dryspell::sweep::{Column, Sweep};
use rayon::prelude::*;

use super::header::Header;
use super::kept::PieceFile;
use super::records::Records;
use super::rows::{Case, Constants, Hashes, Rows};
use crate::Failure;
use dryspell_report::CaseHash;

/// Rows of a piece, and how many of its cases have a fault.
type Piece = (Vec<u8>, u64);

/// What all pieces share.
pub(crate) struct Job<'a> {
    /// The sweep.
    pub(crate) sweep: &'a Sweep<'a>,
    /// The columns of its keys.
    pub(crate) axes: &'a [Vec<Column>],
    /// What all rows rest on.
    pub(crate) hashes: Hashes<'a>,
    /// Weather read so far.
    pub(crate) records: &'a Records<'a>,
    /// Tables of each case beside their rows.
    #[cfg(feature = "parquet")]
    pub(crate) tables: &'a super::case_tables::CaseTables,
    /// Set when the user wants to stop.
    pub(crate) stop: &'a AtomicBool,
}

impl Job<'_> {
    /// Works off what is missing in a file. `done` is told how many cases each finished piece had. Whether all is done.
    pub(crate) fn work(&self, kept: &mut PieceFile, mut done: impl FnMut(u64)) -> Result<bool, Failure> {
        let missing: Vec<u64> = kept.missing().collect();
        let header = kept.header.clone();
        let (send, receive) = mpsc::sync_channel::<(u64, Result<Piece, Failure>)>(64);
        std::thread::scope(|scope| {
            scope.spawn(|| {
                let send = send;
                missing.into_par_iter().for_each_init(
                    || (Memo::default(), send.clone()),
                    |(memo, send), piece| {
                        if self.stop.load(Ordering::Relaxed) {
                            return;
                        }
                        if let Some(rows) = self.piece(&header, piece, memo).transpose() {
                            // A closed channel means that the writer gave up: nothing more to do.
                            let _ = send.send((piece, rows));
                        }
                    },
                );
            });
            let mut failed = None;
            for (piece, rows) in receive {
                match rows.and_then(|(rows, faults)| kept.add(piece, faults, &rows)) {
                    Ok(()) => {
                        let (from, to) = header.piece(piece);
                        done(to - from);
                    }
                    Err(failure) => {
                        self.stop.store(true, Ordering::Relaxed);
                        failed.get_or_insert(failure);
                    }
                }
            }
            failed.map_or(Ok(()), Err)
        })?;
        Ok(kept.missing_pieces() == 0)
    }

    /// The rows of one piece; none where the user stops the sweep meanwhile: its cases may take minutes.
    fn piece(&self, header: &Header, piece: u64, memo: &mut Memo) -> Result<Option<Piece>, Failure> {
        let (from, to) = header.piece(piece);
        let mut rows = Rows::new(self.sweep, self.axes, self.hashes);
        let mut next = from;
        while next < to {
            if self.stop.load(Ordering::Relaxed) {
                return Ok(None);
            }
            // Cases up to the end of the group: they share all but the tank.
            let end = self.sweep.end_of_group(next, to - next);
            self.group(next..end, memo, &mut rows)?;
            next = end;
        }
        // Before the piece counts as finished.
        #[cfg(feature = "parquet")]
        if !self.tables.is_empty() {
            self.tables.write(header, piece, (self.sweep, self.records), memo)?;
        }
        rows.finish().map(Some)
    }

    /// The rows of cases that share all but the tank. Where their weather cannot be read they have that fault; other
    /// groups go on.
    fn group(&self, cases: Range<u64>, memo: &mut Memo, rows: &mut Rows<'_>) -> Result<(), Failure> {
        let constants = RefCell::new(Constants::default());
        let found = self.sweep.found(cases.clone(), memo, |scheme| {
            let (record, sha256) = self.records.of(scheme)?;
            let place = &record.place;
            let mut constants = constants.borrow_mut();
            constants.place = Some((place.name.clone(), place.latitude_deg, place.longitude_deg));
            constants.case_hash = CaseHash::new(&sha256.split('+').collect::<Vec<_>>(), scheme).ok();
            constants.weather_sha256 = sha256;
            if let WeatherOrigin::Climate { seed, .. } = &scheme.weather.origin {
                constants.seed = Some(*seed);
            }
            Ok::<_, Failure>(record)
        });
        let constants = constants.into_inner();
        match found {
            Ok(found) => {
                for (case, found) in cases.zip(&found) {
                    rows.add(case, &constants, Case::Worked(found))?;
                }
            }
            Err(Failure(lines)) => {
                for case in cases {
                    match self.sweep.scheme(case) {
                        Ok(_) => rows.add(case, &constants, Case::Unread(&lines))?,
                        Err(faults) => rows.add(case, &constants, Case::Worked(&Err(faults)))?,
                    }
                }
            }
        }
        Ok(())
    }
}
