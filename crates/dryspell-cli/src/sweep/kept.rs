//! The file in which finished pieces of a sweep are kept.
//!
//! Its first line says what sweep it is ([`Header`]); then each finished piece: its number, its length, how many of its
//! cases have a fault, a checksum and its rows. A piece that fails its checksum, because the program was killed while it was
//! written or because the file was damaged, is dropped and worked out again. The file is locked while a program works on
//! it; the system takes the lock away when the program ends, however it ends.

use std::collections::BTreeMap;
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{BufRead, BufReader, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

use super::header::{self, Header};
use crate::Failure;
use crate::files::{self, Identity, Temporary};

/// Bytes of number, length, faults and checksum before the rows of a piece.
const HEAD: usize = 40;
/// Longest piece that is believed; a longer one is a broken length.
const LONGEST: u64 = 1 << 31;
/// How often a file is opened anew that others replace in between.
const MOST_TRIES: u32 = 100;

/// Where the rows of a finished piece stand, and how many of its cases have a fault.
#[derive(Debug, Clone, Copy)]
struct Place {
    at: u64,
    length: u64,
    faults: u64,
}

/// An open file of finished pieces.
#[derive(Debug)]
pub(crate) struct PieceFile {
    path: PathBuf,
    file: File,
    /// What it says about itself.
    pub(crate) header: Header,
    places: BTreeMap<u64, Place>,
    /// Where the next piece goes.
    end: u64,
}

impl PieceFile {
    /// Opens the file of a sweep and locks it, or begins it. What does not belong to this sweep is refused and left alone.
    pub(crate) fn open(path: &Path, header: &Header) -> Result<Self, Failure> {
        let file = own(path)?;
        let line = header.line().map_err(|e| cannot(path, &e))?;
        let size = file.metadata().map_err(|e| cannot(path, &e))?.len();
        // A header that was cut while it was written holds nothing that could be lost.
        let mut begun = Vec::new();
        (&file).take(line.len() as u64).read_to_end(&mut begun).map_err(|e| cannot(path, &e))?;
        if size < line.len() as u64 && line.starts_with(&begun) {
            return Self::begin(path, file, header, &line);
        }
        let kept = Self::read(path, file)?;
        if kept.header != *header {
            return Err(of_another(path, &kept.header, header));
        }
        // What stands behind the last sound piece was being written when the program was killed.
        if kept.end < size {
            kept.file.set_len(kept.end).map_err(|e| cannot(path, &e))?;
        }
        Ok(kept)
    }

    fn begin(path: &Path, mut file: File, header: &Header, line: &[u8]) -> Result<Self, Failure> {
        let written =
            file.set_len(0).and_then(|()| file.seek(SeekFrom::Start(0))).and_then(|_| file.write_all(line));
        written.map_err(|e| cannot(path, &e))?;
        let end = line.len() as u64;
        Ok(Self { path: path.to_owned(), file, header: header.clone(), places: BTreeMap::new(), end })
    }

    /// Reads a file of finished pieces as it stands. One that a program is still working on is refused.
    pub(crate) fn load(path: &Path) -> Result<Self, Failure> {
        let file = File::open(path).map_err(|e| cannot(path, &e))?;
        match file.try_lock_shared() {
            Err(TryLockError::WouldBlock) => Err(busy(path)),
            _ => Self::read(path, file),
        }
    }

    fn read(path: &Path, file: File) -> Result<Self, Failure> {
        let size = file.metadata().map_err(|e| cannot(path, &e))?.len();
        let mut reader = BufReader::new(file);
        reader.seek(SeekFrom::Start(0)).map_err(|e| cannot(path, &e))?;
        let mut line = Vec::new();
        reader.by_ref().take(header::LONGEST).read_until(b'\n', &mut line).map_err(|e| cannot(path, &e))?;
        let header = Header::read(&line).ok_or_else(|| foreign(path))?;
        let pieces = header.pieces();
        let mut places = BTreeMap::new();
        let mut at = line.len() as u64;
        let mut end = at;
        let mut rows = Vec::new();
        while at < size {
            let mut head = [0_u8; HEAD];
            if reader.read_exact(&mut head).is_err() {
                break;
            }
            let (piece, length, faults) = (number(&head[..8]), number(&head[8..16]), number(&head[16..24]));
            let begin = at + HEAD as u64;
            if length > LONGEST || begin + length > size {
                break;
            }
            rows.resize(usize::try_from(length).unwrap_or(0), 0);
            if reader.read_exact(&mut rows).is_err() {
                break;
            }
            at = begin + length;
            // A piece that was damaged where it lies does not take the ones behind it along.
            if piece < pieces && head[24..] == checksum(piece, faults, &rows) {
                places.insert(piece, Place { at: begin, length, faults });
                end = at;
            }
        }
        Ok(Self { path: path.to_owned(), file: reader.into_inner(), header, places, end })
    }

    /// Its path as it is told to the user.
    pub(crate) fn name(&self) -> String {
        files::name_of(&self.path)
    }

    /// Numbers of the pieces that are not finished.
    pub(crate) fn missing(&self) -> impl Iterator<Item = u64> {
        (0..self.header.pieces()).filter(|piece| !self.places.contains_key(piece))
    }

    /// Numbers of the finished pieces.
    pub(crate) fn finished(&self) -> Vec<u64> {
        self.places.keys().copied().collect()
    }

    /// How many pieces are not finished.
    pub(crate) fn missing_pieces(&self) -> u64 {
        self.header.pieces() - self.places.len() as u64
    }

    /// How many cases of the finished pieces have a fault.
    pub(crate) fn faults(&self) -> u64 {
        self.places.values().map(|place| place.faults).sum()
    }

    /// Adds a finished piece, of whose cases so many have a fault.
    pub(crate) fn add(&mut self, piece: u64, faults: u64, rows: &[u8]) -> Result<(), Failure> {
        self.stay()?;
        let mut record = Vec::with_capacity(HEAD + rows.len());
        record.extend(piece.to_le_bytes());
        record.extend((rows.len() as u64).to_le_bytes());
        record.extend(faults.to_le_bytes());
        record.extend(checksum(piece, faults, rows));
        record.extend(rows);
        let at = self.end;
        if let Err(e) = self.file.seek(SeekFrom::Start(at)).and_then(|_| self.file.write_all(&record)) {
            // What was written of it is cut off again where that is possible; its checksum drops it anyway.
            let _ = self.file.set_len(at);
            return Err(self.no_room(&e));
        }
        self.end = at + record.len() as u64;
        self.places.insert(piece, Place { at: at + HEAD as u64, length: rows.len() as u64, faults });
        Ok(())
    }

    fn no_room(&self, e: &std::io::Error) -> Failure {
        Failure(vec![format!(
            "{}: cannot be written: {e}; all finished pieces are kept; free some space and run the same command again",
            self.path.display()
        )])
    }

    /// The rows of a finished piece, as they were written.
    pub(crate) fn rows(&mut self, piece: u64) -> Result<Vec<u8>, Failure> {
        let Some(place) = self.places.get(&piece).copied() else {
            return Err(Failure(vec![format!(
                "{}: piece {piece} is not finished; every piece; run its command again",
                self.path.display()
            )]));
        };
        let mut record = vec![0; HEAD + usize::try_from(place.length).unwrap_or(0)];
        self.file
            .seek(SeekFrom::Start(place.at - HEAD as u64))
            .and_then(|_| self.file.read_exact(&mut record))
            .map_err(|e| cannot(&self.path, &e))?;
        let rows = record.split_off(HEAD);
        if number(&record[..8]) != piece || record[24..] != checksum(piece, place.faults, &rows) {
            return Err(Failure(vec![format!(
                "{}: piece {piece} is not what was written; unchanged finished pieces; run the same command again: it \
                 recalculates what was damaged",
                self.path.display()
            )]));
        }
        Ok(rows)
    }

    /// Brings all to the disk, under its name.
    pub(crate) fn sync(&mut self) -> Result<(), Failure> {
        self.stay()?;
        self.file.sync_all().map_err(|e| cannot(&self.path, &e))
    }

    /// Whether the file is still the one under its name.
    fn is_there(&self) -> bool {
        Identity::of_file(&self.file).is_none_or(|own| own == Identity::of(&self.path))
    }

    /// Where somebody has removed the file, writes what is finished into a new one. One that stands there now is left alone:
    /// it is another program's.
    fn stay(&mut self) -> Result<(), Failure> {
        if self.is_there() {
            return Ok(());
        }
        let cannot = |e: std::io::Error| cannot(&self.path, &e);
        if self.path.exists() {
            return Err(Failure(vec![format!(
                "{}: is not the file this sweep began; that file; run one sweep at a time on one --out",
                self.path.display()
            )]));
        }
        let mut new = Temporary::beside(&self.path)?;
        self.file.seek(SeekFrom::Start(0)).map_err(cannot)?;
        std::io::copy(&mut (&self.file).take(self.end), new.file()).map_err(|e| self.no_room(&e))?;
        lock(&self.path, new.file())?;
        self.file = new.persist(&self.path).map_err(cannot)?;
        files::say(&format!(
            "{}: was removed while the sweep ran; finished pieces are in a new file of this name",
            self.path.display()
        ));
        Ok(())
    }

    /// Takes the file away: its table is complete.
    pub(crate) fn remove(self) -> Result<(), Failure> {
        if !self.is_there() {
            return Ok(());
        }
        std::fs::remove_file(&self.path).map_err(|e| {
            Failure(vec![format!(
                "{}: cannot be removed: {e}; the table is complete; remove this file by hand",
                self.path.display()
            )])
        })
    }
}

/// Opens a file, or makes it, and takes it for this program alone.
fn own(path: &Path) -> Result<File, Failure> {
    for _ in 0..MOST_TRIES {
        let mut options = OpenOptions::new();
        options.read(true).write(true).create(true).truncate(false);
        let file = options.open(path).map_err(|e| cannot(path, &e))?;
        lock(path, &file)?;
        // Whoever held it may have finished and removed it between opening and locking.
        if Identity::of_file(&file).is_none_or(|own| own == Identity::of(path)) {
            return Ok(file);
        }
    }
    Err(busy(path))
}

/// Locks a file, where the file system can.
fn lock(path: &Path, file: &File) -> Result<(), Failure> {
    match file.try_lock() {
        Ok(()) => Ok(()),
        Err(TryLockError::WouldBlock) => Err(busy(path)),
        Err(TryLockError::Error(e)) => {
            files::say(&format!(
                "{}: cannot be locked here ({e}); make sure no other sweep has the same --out",
                path.display()
            ));
            Ok(())
        }
    }
}

fn number(bytes: &[u8]) -> u64 {
    bytes.iter().rev().fold(0, |n, b| (n << 8) | u64::from(*b))
}

/// The first half of a SHA-256 over number, length, faults and rows.
fn checksum(piece: u64, faults: u64, rows: &[u8]) -> [u8; 16] {
    let mut digest = Sha256::new();
    digest.update(piece.to_le_bytes());
    digest.update((rows.len() as u64).to_le_bytes());
    digest.update(faults.to_le_bytes());
    digest.update(rows);
    let mut half = [0; 16];
    half.copy_from_slice(&digest.finalize()[..16]);
    half
}

fn cannot(path: &Path, e: &dyn std::fmt::Display) -> Failure {
    Failure(vec![format!(
        "{}: {e}; a file that can be read and written, in a folder that exists; check the path and the space on the \
         disk",
        path.display()
    )])
}

fn busy(path: &Path) -> Failure {
    Failure(vec![format!(
        "{}: another program is working on this file; one sweep at a time on one --out; wait for it, or choose another \
         --out",
        path.display()
    )])
}

fn foreign(path: &Path) -> Failure {
    Failure(vec![format!(
        "{}: is not a sweep, or its first line is damaged; a file of this name begun by this version of dryspell sweep, \
         or none; move it or choose another --out",
        path.display()
    )])
}

fn of_another(path: &Path, found: &Header, wanted: &Header) -> Failure {
    Failure(vec![format!(
        "{}: holds pieces of a sweep with {}; the pieces of this one; remove the file to start again, or choose another \
         --out",
        path.display(),
        found.differs_by(wanted)
    )])
}

#[cfg(test)]
mod tests;
