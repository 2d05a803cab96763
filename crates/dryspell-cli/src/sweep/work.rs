//! Working off the pieces of a sweep.

use std::cell::RefCell;
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, mpsc};

use dryspell::record::Record;
use dryspell::scheme::{Scheme, WeatherEntry, WeatherOrigin};
use dryspell::simulate::{Kept as KeptValue, Memo};
use dryspell::sweep::Sweep;
use rayon::prelude::*;

use super::kept::{Header, Kept};
use super::rows::{Constants, Rows};
use crate::Failure;
use crate::source::{Source, of_scheme};

/// Records read so far, one for each way in which the scheme names its weather.
#[derive(Default)]
pub(crate) struct Records(Mutex<Vec<Known>>);

#[derive(Clone)]
struct Known {
    entry: WeatherEntry,
    record: KeptValue<Record>,
    sha256: String,
}

impl Records {
    /// The record of a scheme and its hash.
    pub(crate) fn of(
        &self,
        scheme: &Scheme,
        file: &str,
        folder: &Path,
    ) -> Result<(KeptValue<Record>, String), Failure> {
        let mut known = self.0.lock().map_err(|_| Failure(vec!["a worker failed".to_owned()]))?;
        if let Some(k) = known.iter().find(|k| k.entry == scheme.weather) {
            return Ok((k.record.clone(), k.sha256.clone()));
        }
        let Source { record, sha256 } = of_scheme(scheme, file, folder)?;
        let new =
            Known { entry: scheme.weather.clone(), record: KeptValue::new(record), sha256: sha256.join("+") };
        known.push(new.clone());
        Ok((new.record, new.sha256))
    }
}

/// What all pieces share.
pub(crate) struct Job<'a> {
    /// The sweep.
    pub(crate) sweep: &'a Sweep<'a>,
    /// The scheme file as typed.
    pub(crate) file: &'a str,
    /// Its folder.
    pub(crate) folder: &'a Path,
    /// SHA-256 of its text.
    pub(crate) scheme_sha256: &'a str,
    /// Weather read so far.
    pub(crate) records: &'a Records,
    /// Set when the user wants to stop.
    pub(crate) stop: &'a AtomicBool,
}

impl Job<'_> {
    /// Works off what is missing in a file. `done` is told how many cases each finished piece had. Whether all is done.
    pub(crate) fn work(&self, kept: &mut Kept, mut done: impl FnMut(u64)) -> Result<bool, Failure> {
        let missing = kept.missing();
        let header = kept.header.clone();
        let (send, receive) = mpsc::sync_channel::<(u64, Result<Vec<u8>, Failure>)>(64);
        std::thread::scope(|scope| {
            scope.spawn(|| {
                let send = send;
                missing.into_par_iter().for_each_init(
                    || (Memo::default(), send.clone()),
                    |(memo, send), piece| {
                        if self.stop.load(Ordering::Relaxed) {
                            return;
                        }
                        // A closed channel means that the writer gave up: nothing more to do.
                        let _ = send.send((piece, self.piece(&header, piece, memo)));
                    },
                );
            });
            let mut failed = None;
            for (piece, rows) in receive {
                match rows.and_then(|rows| kept.add(piece, &rows)) {
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
        Ok(kept.missing().is_empty())
    }

    /// The rows of one piece.
    fn piece(&self, header: &Header, piece: u64, memo: &mut Memo) -> Result<Vec<u8>, Failure> {
        let (from, to) = header.piece(piece);
        let mut rows = Rows::new(self.sweep, self.scheme_sha256);
        let mut next = from;
        while next < to {
            // Cases up to the end of the group: they share all but the tank.
            let end = (next / self.sweep.tanks() + 1).saturating_mul(self.sweep.tanks()).min(to);
            let constants = RefCell::new(Constants::default());
            let found = self.sweep.found(next..end, memo, |scheme| {
                let (record, sha256) = self.records.of(scheme, self.file, self.folder)?;
                constants.borrow_mut().weather_sha256 = sha256;
                if let WeatherOrigin::Climate { seed, .. } = &scheme.weather.origin {
                    constants.borrow_mut().seed = Some(*seed);
                }
                Ok::<_, Failure>(record)
            })?;
            let constants = constants.into_inner();
            for (case, found) in (next..end).zip(&found) {
                rows.add(case, &constants, found)?;
            }
            next = end;
        }
        rows.finish()
    }
}
