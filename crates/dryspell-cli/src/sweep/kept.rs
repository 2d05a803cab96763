//! The file in which finished pieces of a sweep are kept.
//!
//! One line of JSON says what sweep it is; then each finished piece: its number, its length, a checksum and its rows. A
//! piece that was being written when the program was killed fails its checksum and is dropped; it is worked out again.

use std::fs::{File, OpenOptions};
use std::io::{BufRead, BufReader, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use dryspell::sweep::MOST_CASES;

use crate::Failure;

/// Cases of a piece where each must be worked out by itself.
const PIECE: u64 = 100;
/// Most cases of a piece of tanks side by side.
const MOST_OF_A_PIECE: u64 = 100;
/// Bytes of number, length and checksum before the rows of a piece.
const HEAD: usize = 32;
/// Most parts of a sweep.
const MOST_PARTS: u64 = 100_000;
/// Longest piece that is believed; a longer one is a broken length.
const LONGEST: u64 = 1 << 31;

/// What sweep a file belongs to. Two files with equal headers but for the part belong together.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Header {
    /// Marks the file and its format.
    pub(crate) dryspell_sweep: u32,
    /// Version of the program.
    pub(crate) version: String,
    /// SHA-256 of the scheme file.
    pub(crate) scheme_sha256: String,
    /// SHA-256 of the weather files, of every value of a weather axis.
    pub(crate) weather_sha256: String,
    /// Key and values of each axis.
    pub(crate) axes: Vec<(String, Vec<String>)>,
    /// All cases of the sweep.
    pub(crate) cases: u64,
    /// Cases of a piece.
    pub(crate) piece: u64,
    /// Line of column names.
    pub(crate) columns: String,
    /// Part and number of parts.
    pub(crate) part: (u64, u64),
}

impl Header {
    /// Whether its numbers are those of a sweep that this program works on.
    fn is_sound(&self) -> bool {
        let (k, n) = self.part;
        (1..=n).contains(&k)
            && n <= MOST_PARTS
            && (1..=MOST_CASES).contains(&self.cases)
            && self.piece >= PIECE / 2
    }

    /// First case of the part and the one behind its last.
    pub(crate) fn range(&self) -> (u64, u64) {
        let (k, n) = self.part;
        // Exact for as many cases as a sweep may have: both factors are far below 2^32.
        ((k - 1) * self.cases / n, k * self.cases / n)
    }

    /// Number of pieces of the part.
    pub(crate) fn pieces(&self) -> u64 {
        let (from, to) = self.range();
        (to - from).div_ceil(self.piece.max(1))
    }

    /// Cases of a piece: the first, and the one behind the last.
    pub(crate) fn piece(&self, piece: u64) -> (u64, u64) {
        let (from, to) = self.range();
        (from + piece * self.piece, (from + (piece + 1) * self.piece).min(to))
    }

    /// Whether another file is of the same sweep, whatever its part.
    pub(crate) fn same_sweep(&self, other: &Self) -> bool {
        Self { part: (1, 1), ..self.clone() } == Self { part: (1, 1), ..other.clone() }
    }
}

/// Cases of a piece, where so many tanks share what lies before them: quick to work out, and pieces end with groups.
pub(crate) fn piece_of(tanks: u64) -> u64 {
    if tanks < PIECE { PIECE } else { tanks.div_ceil(tanks.div_ceil(MOST_OF_A_PIECE)) }
}

/// An open file of finished pieces.
#[derive(Debug)]
pub(crate) struct Kept {
    path: PathBuf,
    file: File,
    /// What it says about itself.
    pub(crate) header: Header,
    /// Where the rows of each finished piece stand: offset and length.
    places: Vec<Option<(u64, u64)>>,
}

impl Kept {
    /// Opens the file of a sweep, or begins it. What does not belong to this sweep is refused and left alone.
    pub(crate) fn open(path: &Path, header: &Header) -> Result<Self, Failure> {
        let cannot = |e: &dyn std::fmt::Display| cannot(path, e);
        let there = match std::fs::metadata(path) {
            Ok(data) => data.len() > 0,
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => false,
            Err(e) => return Err(cannot(&e)),
        };
        if there {
            // A header that was cut while it was written holds nothing that could be lost.
            match Self::read(path, true) {
                Ok(kept) if kept.header == *header => return Ok(kept),
                Ok(kept) => return Err(of_another(path, &kept.header, header)),
                Err(Torn::Header) => {}
                Err(Torn::Failure(failure)) => return Err(failure),
            }
        }
        let mut file = OpenOptions::new()
            .read(true)
            .write(true)
            .create(true)
            .truncate(true)
            .open(path)
            .map_err(|e| cannot(&e))?;
        let mut line = serde_json::to_vec(header).map_err(|e| cannot(&e))?;
        line.push(b'\n');
        file.write_all(&line).map_err(|e| cannot(&e))?;
        let pieces = usize::try_from(header.pieces()).unwrap_or(0);
        Ok(Self { path: path.to_owned(), file, header: header.clone(), places: vec![None; pieces] })
    }

    /// Reads a file of finished pieces as it stands.
    pub(crate) fn load(path: &Path) -> Result<Self, Failure> {
        Self::read(path, false).map_err(|torn| match torn {
            Torn::Failure(failure) => failure,
            Torn::Header => Failure(vec![format!(
                "{}: no part of a sweep; a file that dryspell sweep --part has written; check the name",
                path.display()
            )]),
        })
    }

    fn read(path: &Path, repair: bool) -> Result<Self, Torn> {
        let fail = |e: &dyn std::fmt::Display| Torn::Failure(cannot(path, e));
        let file = OpenOptions::new().read(true).write(repair).open(path).map_err(|e| fail(&e))?;
        let size = file.metadata().map_err(|e| fail(&e))?.len();
        let mut reader = BufReader::new(file);
        let mut line = Vec::new();
        reader.by_ref().take(1 << 26).read_until(b'\n', &mut line).map_err(|e| fail(&e))?;
        let marked = line.starts_with(b"{\"dryspell_sweep\":");
        if line.last() != Some(&b'\n') {
            // The beginning of our own header, cut short; anything else is somebody's file.
            let ours = marked || b"{\"dryspell_sweep\":".starts_with(&line);
            return Err(if ours { Torn::Header } else { Torn::Failure(foreign(path)) });
        }
        let header: Header = serde_json::from_slice(&line).map_err(|_| Torn::Failure(foreign(path)))?;
        if !header.is_sound() {
            return Err(Torn::Failure(foreign(path)));
        }
        let pieces = usize::try_from(header.pieces()).unwrap_or(0);
        let mut places = vec![None; pieces];
        let mut at = line.len() as u64;
        let mut rows = Vec::new();
        let sound_until = loop {
            let mut head = [0_u8; HEAD];
            if at == size || reader.read_exact(&mut head).is_err() {
                break at;
            }
            let (piece, length) = (number(&head[..8]), number(&head[8..16]));
            if length > LONGEST || at + HEAD as u64 + length > size {
                break at;
            }
            rows.resize(usize::try_from(length).unwrap_or(0), 0);
            if reader.read_exact(&mut rows).is_err() || head[16..] != checksum(piece, &rows) {
                break at;
            }
            let Some(place) = usize::try_from(piece).ok().and_then(|p| places.get_mut(p)) else { break at };
            *place = Some((at + HEAD as u64, length));
            at += HEAD as u64 + length;
        };
        let mut file = reader.into_inner();
        if repair && sound_until < size {
            file.set_len(sound_until).map_err(|e| fail(&e))?;
        }
        file.seek(SeekFrom::Start(sound_until)).map_err(|e| fail(&e))?;
        Ok(Self { path: path.to_owned(), file, header, places })
    }

    /// Numbers of the pieces that are not finished.
    pub(crate) fn missing(&self) -> Vec<u64> {
        (0..).zip(&self.places).filter(|(_, place)| place.is_none()).map(|(n, _)| n).collect()
    }

    /// Adds a finished piece.
    pub(crate) fn add(&mut self, piece: u64, rows: &[u8]) -> Result<(), Failure> {
        let at = self.file.stream_position().map_err(|e| cannot(&self.path, &e))?;
        let mut record = Vec::with_capacity(HEAD + rows.len());
        record.extend(piece.to_le_bytes());
        record.extend((rows.len() as u64).to_le_bytes());
        record.extend(checksum(piece, rows));
        record.extend(rows);
        if let Err(e) = self.file.write_all(&record) {
            // What was written of it is cut off again where that is possible; its checksum drops it anyway.
            let _ = self.file.set_len(at).and_then(|()| self.file.seek(SeekFrom::Start(at)));
            return Err(Failure(vec![format!(
                "{}: cannot be written: {e}; all finished pieces are kept; free some space and run the same command again",
                self.path.display()
            )]));
        }
        if let Some(place) = usize::try_from(piece).ok().and_then(|p| self.places.get_mut(p)) {
            *place = Some((at + HEAD as u64, rows.len() as u64));
        }
        Ok(())
    }

    /// The rows of a finished piece.
    pub(crate) fn rows(&mut self, piece: u64) -> Result<Vec<u8>, Failure> {
        let place = usize::try_from(piece).ok().and_then(|p| self.places.get(p).copied().flatten());
        let Some((at, length)) = place else {
            return Err(Failure(vec![format!(
                "{}: piece {piece} is not finished; every piece; run its command again",
                self.path.display()
            )]));
        };
        let mut rows = vec![0; usize::try_from(length).unwrap_or(0)];
        self.file
            .seek(SeekFrom::Start(at))
            .and_then(|_| self.file.read_exact(&mut rows))
            .map_err(|e| cannot(&self.path, &e))?;
        Ok(rows)
    }

    /// Brings all to the disk.
    pub(crate) fn sync(&self) -> Result<(), Failure> {
        self.file.sync_all().map_err(|e| cannot(&self.path, &e))
    }
}

/// Why a file could not be read.
enum Torn {
    /// Killed while its first line was written.
    Header,
    /// Anything else.
    Failure(Failure),
}

fn number(bytes: &[u8]) -> u64 {
    bytes.iter().rev().fold(0, |n, b| (n << 8) | u64::from(*b))
}

/// The first half of a SHA-256 over number, length and rows.
fn checksum(piece: u64, rows: &[u8]) -> [u8; 16] {
    let mut digest = Sha256::new();
    digest.update(piece.to_le_bytes());
    digest.update((rows.len() as u64).to_le_bytes());
    digest.update(rows);
    let mut half = [0; 16];
    half.copy_from_slice(&digest.finalize()[..16]);
    half
}

fn cannot(path: &Path, e: &dyn std::fmt::Display) -> Failure {
    Failure(vec![format!(
        "{}: {e}; a file that can be read and written, in a folder that exists; check the path and the space on the disk",
        path.display()
    )])
}

fn foreign(path: &Path) -> Failure {
    Failure(vec![format!(
        "{}: holds something else than a sweep; a file of this name that dryspell sweep has begun, or none; move it away or \
         choose another --out",
        path.display()
    )])
}

fn of_another(path: &Path, found: &Header, wanted: &Header) -> Failure {
    let what = if found.version != wanted.version {
        format!("version {} of the program", found.version)
    } else if found.scheme_sha256 != wanted.scheme_sha256 {
        "another scheme".to_owned()
    } else if found.weather_sha256 != wanted.weather_sha256 {
        "other weather".to_owned()
    } else if found.axes != wanted.axes {
        "other axes".to_owned()
    } else if found.part != wanted.part {
        format!("part {} of {}", found.part.0, found.part.1)
    } else {
        "other columns".to_owned()
    };
    Failure(vec![format!(
        "{}: holds pieces of a sweep with {what}; the pieces of this one; remove the file to begin anew, or choose another \
         --out",
        path.display()
    )])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn header(cases: u64, part: (u64, u64)) -> Header {
        Header {
            dryspell_sweep: 1,
            version: "0".into(),
            scheme_sha256: "a".into(),
            weather_sha256: "b".into(),
            axes: vec![("k".into(), vec!["1".into()])],
            cases,
            piece: 100,
            columns: "c".into(),
            part,
        }
    }

    #[test]
    fn parts_hold_every_case_once() {
        for (cases, n) in [(1, 1), (1000, 3), (7, 8), (250_001, 16)] {
            let mut next = 0;
            for k in 1..=n {
                let h = header(cases, (k, n));
                for piece in 0..h.pieces() {
                    let (from, to) = h.piece(piece);
                    assert_eq!(from, next);
                    assert!(to > from || to == from && from == cases);
                    next = to;
                }
                assert_eq!(next, h.range().1);
            }
            assert_eq!(next, cases);
        }
    }

    #[test]
    fn a_torn_tail_is_dropped_at_every_byte_and_the_rest_is_kept() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("s.partial");
        let header = header(300, (1, 1));
        let mut kept = Kept::open(&path, &header).unwrap();
        kept.add(2, b"third").unwrap();
        let whole = std::fs::metadata(&path).unwrap().len();
        kept.add(0, b"first piece").unwrap();
        drop(kept);
        let bytes = std::fs::read(&path).unwrap();
        for cut in usize::try_from(whole).unwrap()..bytes.len() {
            std::fs::write(&path, &bytes[..cut]).unwrap();
            let mut kept = Kept::open(&path, &header).unwrap();
            assert_eq!(kept.missing(), [0, 1], "cut at {cut}");
            assert_eq!(kept.rows(2).unwrap(), b"third");
            kept.add(0, b"first piece").unwrap();
            drop(kept);
            assert_eq!(std::fs::read(&path).unwrap(), bytes);
        }
        // A header cut short holds nothing; a flipped byte in the tail drops it.
        for cut in 0..20 {
            std::fs::write(&path, &bytes[..cut]).unwrap();
            assert_eq!(Kept::open(&path, &header).unwrap().missing(), [0, 1, 2]);
        }
        let mut flipped = bytes.clone();
        *flipped.last_mut().unwrap() ^= 1;
        std::fs::write(&path, &flipped).unwrap();
        assert_eq!(Kept::open(&path, &header).unwrap().missing(), [0, 1]);
    }

    #[test]
    fn what_is_not_of_this_sweep_is_refused_and_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("s.partial");
        let mine = header(300, (1, 1));
        drop(Kept::open(&path, &mine).unwrap());
        let before = std::fs::read(&path).unwrap();
        let other = Header { scheme_sha256: "z".into(), ..mine.clone() };
        assert!(Kept::open(&path, &other).unwrap_err().0[0].contains("another scheme"));
        let other = Header { part: (2, 3), ..mine.clone() };
        assert!(Kept::open(&path, &other).unwrap_err().0[0].contains("part 1 of 1"));
        assert_eq!(std::fs::read(&path).unwrap(), before);
        std::fs::write(&path, "a letter to my aunt").unwrap();
        assert!(Kept::open(&path, &mine).unwrap_err().0[0].contains("something else"));
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "a letter to my aunt");
    }
}
