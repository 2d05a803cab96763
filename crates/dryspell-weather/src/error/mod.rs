//! What can be wrong with a weather file, said in one line: place, found, accepted, way out.

mod kind;
mod wording;

pub use kind::ErrorKind;
pub(crate) use kind::YEARS;

use crate::options::Choice;
use dryspell::fault::one_line;
use std::fmt;
use wording::{Parts, parts_of};

/// Why a file was refused. One word wide; [`Error::kind`] has the facts.
#[derive(Debug, Clone, PartialEq)]
pub struct Error(Box<Inner>);

#[derive(Debug, Clone, PartialEq)]
struct Inner {
    at: At,
    kind: ErrorKind,
}

/// Where in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct At {
    /// File as the user named it.
    pub file: String,
    /// Line, from 1.
    pub line: Option<u64>,
    /// Name of the column, as the file has it.
    pub column: Option<String>,
}

impl Error {
    /// An error of a whole file.
    pub(crate) fn new(file: &str, kind: ErrorKind) -> Self {
        Self(Box::new(Inner { at: At { file: file.to_owned(), line: None, column: None }, kind }))
    }

    /// The same at a line.
    pub(crate) fn at_line(mut self, line: u64) -> Self {
        self.0.at.line = Some(line);
        self
    }

    /// The same in a column.
    pub(crate) fn in_column(mut self, column: impl Into<String>) -> Self {
        self.0.at.column = Some(column.into());
        self
    }

    /// Which kind, with its facts.
    #[must_use]
    pub fn kind(&self) -> &ErrorKind {
        &self.0.kind
    }

    /// Where.
    #[must_use]
    pub fn at(&self) -> &At {
        &self.0.at
    }
}

impl Error {
    /// The message, with the options that help named as the user gives them: a command its flags, a scheme its keys.
    ///
    /// ```
    /// use dryspell_weather::{Options, read_bytes};
    /// let error = read_bytes("x.csv", b"# stamps: end\ntime,ghi_w_per_m2,air_degc\n", &Options::default()).unwrap_err();
    /// let told = error.told(&|choices| choices.iter().map(|c| format!("--{}", c.name())).collect::<Vec<_>>().join(" "));
    /// assert!(told.ends_with("state what is missing (--latitude --longitude --elevation --utc_offset)"));
    /// ```
    #[must_use]
    pub fn told(&self, how: &dyn Fn(&[Choice]) -> String) -> String {
        let At { file, line, column } = &self.0.at;
        let place = match (line, column) {
            (Some(line), Some(column)) => format!("line {line}, column {column}: "),
            (Some(line), None) => format!("line {line}: "),
            (None, Some(column)) => format!("column {column}: "),
            (None, None) => String::new(),
        };
        let Parts { found, accepted, way_out } = parts_of(&self.0.kind, how);
        one_line(&format!("{file}: {place}{found}; {accepted}; {way_out}"))
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.told(&Choice::plainly))
    }
}

impl std::error::Error for Error {}

/// At most 40 characters of a text, for messages.
pub(crate) fn clip(text: &str) -> String {
    let text = text.trim();
    match text.char_indices().nth(40) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}
