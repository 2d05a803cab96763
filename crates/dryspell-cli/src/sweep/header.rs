//! The first line of a file of finished pieces: what sweep it belongs to.

use serde::{Deserialize, Serialize};

use dryspell::results::Content;
use dryspell_report::{Input, Role, hash};

/// Cases of a piece where each must be worked out by itself.
const PIECE: u64 = 100;
/// Most cases of a piece of tanks side by side.
const MOST_OF_A_PIECE: u64 = 100;
/// Most parts of one sweep.
pub(crate) const MOST_PARTS: u64 = 100_000;
/// What such a file begins with.
const MARK: &[u8] = b"{\"dryspell_sweep\":";
/// Version of the format.
const FORMAT: u32 = 3;
/// Longest first line that is believed: room for the hashes of a hundred thousand sites.
pub(super) const LONGEST: u64 = 1 << 25;

/// What sweep a file belongs to. Two files with equal headers but for the part belong together.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Header {
    /// All that the rows rest on but the path of the scheme: scheme, tables, weather, axes, program.
    pub(crate) inputs: Vec<Input>,
    /// All cases of the sweep.
    pub(crate) cases: u64,
    /// Cases of a piece.
    pub(crate) piece: u64,
    /// Line of column names.
    pub(crate) columns: String,
    /// What the cells of each column are, a letter each.
    pub(crate) contents: String,
    /// Part and number of parts.
    pub(crate) part: (u64, u64),
}

/// The line as it stands in the file.
#[derive(Serialize, Deserialize)]
struct Line {
    dryspell_sweep: u32,
    sha256: String,
    sweep: Header,
}

impl Header {
    /// The line, with the checksum of what it says.
    pub(super) fn line(&self) -> Result<Vec<u8>, serde_json::Error> {
        let sha256 = hash(&serde_json::to_vec(self)?);
        let mut line = serde_json::to_vec(&Line { dryspell_sweep: FORMAT, sha256, sweep: self.clone() })?;
        line.push(b'\n');
        Ok(line)
    }

    /// Reads a line; `None` where it is none of ours, or not as it was written.
    pub(super) fn read(line: &[u8]) -> Option<Self> {
        if !line.starts_with(MARK) {
            return None;
        }
        let read: Line = serde_json::from_slice(line).ok()?;
        // Byte by byte: what stands between the values counts as well.
        (read.dryspell_sweep == FORMAT && read.sweep.is_sound() && read.sweep.line().ok()?.as_slice() == line)
            .then_some(read.sweep)
    }

    /// Whether the numbers can be those of a sweep.
    fn is_sound(&self) -> bool {
        let (k, n) = self.part;
        (1..=n).contains(&k)
            && n <= MOST_PARTS
            && (1..=dryspell::sweep::MOST_CASES).contains(&self.cases)
            && (1..=MOST_OF_A_PIECE).contains(&self.piece)
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
        (to - from).div_ceil(self.piece)
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

    /// What keeps a file from belonging to the sweep given.
    pub(super) fn differs_by(&self, wanted: &Self) -> String {
        let of = |header: &Self, role: Role| {
            header.inputs.iter().filter(|i| i.role == role).cloned().collect::<Vec<_>>()
        };
        let other = |role: Role| of(self, role) != of(wanted, role);
        let named = |role: Role| {
            let (here, there) = (of(self, role), of(wanted, role));
            let differs = |i: &&Input| !here.contains(i);
            there.iter().find(differs).or(here.first()).map_or_else(String::new, |i| i.name.clone())
        };
        if other(Role::Program) || other(Role::Schema) {
            let program = of(self, Role::Program).first().map_or_else(String::new, |i| i.name.clone());
            format!("another version of the program ({program})")
        } else if other(Role::Scheme) {
            "another scheme".to_owned()
        } else if other(Role::Table) {
            format!("another table {}", named(Role::Table))
        } else if other(Role::Weather) || other(Role::Climate) {
            "other weather".to_owned()
        } else if other(Role::Cases) || other(Role::Seed) {
            "other axes".to_owned()
        } else if self.part != wanted.part {
            format!("part {} of {}", self.part.0, self.part.1)
        } else {
            "other columns".to_owned()
        }
    }
}

/// What the cells of columns are, a letter each.
const LETTERS: [(Content, char); 5] = [
    (Content::Count, 'c'),
    (Content::Number, 'n'),
    (Content::Flag, 'f'),
    (Content::Date, 'd'),
    (Content::Text, 't'),
];

/// The letter of a content.
pub(crate) fn letter(content: Content) -> char {
    LETTERS.iter().find(|(own, _)| *own == content).map_or('t', |(_, letter)| *letter)
}

/// The content of a letter.
#[cfg(feature = "parquet")]
pub(crate) fn of_letter(letter: char) -> Content {
    LETTERS.iter().find(|(_, own)| *own == letter).map_or(Content::Text, |(content, _)| *content)
}

/// Cases of a piece, where so many tanks share what lies before them: quick to work out, and pieces end with groups.
pub(crate) fn piece_of(tanks: u64) -> u64 {
    if tanks < PIECE { PIECE } else { tanks.div_ceil(tanks.div_ceil(MOST_OF_A_PIECE)) }
}
