//! What a user can get wrong, said in one line: place, what was found, what is accepted, the way out.

use std::fmt;

/// Where in the user's text something stands.
///
/// All parts are optional: a fault found while the scheme runs still carries the line of the value that
/// caused it; one in a computed column may know only the key.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Location {
    /// File as the user named it, filled in by whoever opened it.
    pub file: Option<String>,
    /// Line, counted from 1.
    pub line: Option<usize>,
    /// Column in characters, counted from 1.
    pub column: Option<usize>,
    /// Dotted key, such as `well.static_level`.
    pub key: Option<String>,
}

impl Location {
    /// A place known only by its dotted key.
    #[must_use]
    pub fn key(key: impl Into<String>) -> Self {
        Self { key: Some(key.into()), ..Self::default() }
    }
}

impl fmt::Display for Location {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut first = true;
        let mut part = |f: &mut fmt::Formatter<'_>, text: fmt::Arguments<'_>| {
            if !std::mem::replace(&mut first, false) {
                f.write_str(", ")?;
            }
            f.write_fmt(text)
        };
        if let Some(file) = &self.file {
            part(f, format_args!("{file}"))?;
        }
        if let Some(line) = self.line {
            part(f, format_args!("line {line}"))?;
        }
        if let Some(column) = self.column {
            part(f, format_args!("column {column}"))?;
        }
        if let Some(key) = &self.key {
            part(f, format_args!("{key}"))?;
        }
        if first { f.write_str("scheme") } else { Ok(()) }
    }
}

/// The kind of a [`Fault`], for tests and for programs that act on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[non_exhaustive]
pub enum FaultKind {
    /// The text is not TOML.
    Syntax,
    /// A key or a name that is not known here.
    UnknownKey,
    /// A key that is needed and not there.
    MissingKey,
    /// A value of the wrong type (a number where text is needed, a table where a list is needed).
    WrongType,
    /// A dimensional value without its unit.
    UnitMissing,
    /// A unit of another kind (litres where metres are needed), or an unknown one.
    UnitWrong,
    /// A number that cannot be read.
    NotANumber,
    /// A word that is not one of the choices.
    UnknownWord,
    /// A value outside its valid range.
    OutOfRange,
    /// A list with the wrong number of values.
    WrongLength,
    /// Values that contradict each other.
    Contradiction,
    /// The scheme cannot work with these values, found while it ran (head above the pump's reach).
    CannotRun,
    /// The record of weather does not suit the run.
    Weather,
    /// A ledger that does not close: an error of the program, never of the user.
    Ledger,
}

/// One fault: place, found, accepted, way out. Prints as one line, lower case, no full stop.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Where.
    pub location: Location,
    /// Which kind.
    pub kind: FaultKind,
    /// What was found, in the user's own characters where there are any.
    pub found: String,
    /// What would be accepted.
    pub accepted: String,
    /// What to do about it.
    pub way_out: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let line = format!("{}: {}; {}; {}", self.location, self.found, self.accepted, self.way_out);
        f.write_str(&one_line(&line))
    }
}

impl std::error::Error for Fault {}

impl Fault {
    /// A fault at a dotted key, with no line yet; [`crate::scheme`] adds the line where it is known.
    #[must_use]
    pub fn at_key(
        key: impl Into<String>,
        kind: FaultKind,
        found: impl Into<String>,
        accepted: impl Into<String>,
        way_out: impl Into<String>,
    ) -> Self {
        Self {
            location: Location::key(key),
            kind,
            found: found.into(),
            accepted: accepted.into(),
            way_out: way_out.into(),
        }
    }
}

/// All that is wrong at once: the one error of this library. It carries the facts ([`Fault`]) and is put into words where it is
/// shown, a line each.
///
/// # Example
/// ```
/// use dryspell::scheme::Scheme;
/// fn site(text: &str) -> Result<String, Box<dyn std::error::Error>> {
///     Ok(Scheme::from_toml(text)?.plan().tank.name)
/// }
/// let error = site("[tank.main]\ncapacity = \"12 m\"").unwrap_err();
/// assert!(error.to_string().lines().any(|line| line.starts_with("line 2, column 12, tank.main.capacity: ")));
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Faults(Vec<Fault>);

impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, fault) in self.0.iter().enumerate() {
            let end = if i == 0 { "" } else { "\n" };
            write!(f, "{end}{fault}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Faults {}

impl std::ops::Deref for Faults {
    type Target = [Fault];

    fn deref(&self) -> &[Fault] {
        &self.0
    }
}

impl From<Vec<Fault>> for Faults {
    fn from(faults: Vec<Fault>) -> Self {
        Self(faults)
    }
}

impl From<Fault> for Faults {
    fn from(fault: Fault) -> Self {
        Self(vec![fault])
    }
}

impl From<Faults> for Vec<Fault> {
    fn from(faults: Faults) -> Self {
        faults.0
    }
}

impl FromIterator<Fault> for Faults {
    fn from_iter<I: IntoIterator<Item = Fault>>(faults: I) -> Self {
        Self(faults.into_iter().collect())
    }
}

impl<'a> IntoIterator for &'a Faults {
    type Item = &'a Fault;
    type IntoIter = std::slice::Iter<'a, Fault>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter()
    }
}

impl IntoIterator for Faults {
    type Item = Fault;
    type IntoIter = std::vec::IntoIter<Fault>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

/// A user's text in quotes, on one line: control characters escaped, long text cut.
#[must_use]
pub fn quoted(text: &str) -> String {
    const MOST: usize = 60;
    let mut out = String::from("\"");
    for (n, c) in text.chars().enumerate() {
        if n == MOST {
            out.push('…');
            break;
        }
        push_on_line(&mut out, c);
    }
    out.push('"');
    out
}

/// A text on one line: control characters, which a key or a column's name of the user's may hold, escaped.
#[must_use]
pub fn one_line(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    text.chars().for_each(|c| push_on_line(&mut out, c));
    out
}

fn push_on_line(out: &mut String, c: char) {
    if c.is_control() || matches!(c, '\u{2028}' | '\u{2029}') {
        out.extend(c.escape_default());
    } else {
        out.push(c);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fault_is_one_line_whatever_the_users_names_hold() {
        let fault = Fault::at_key("herd.a\nb", FaultKind::UnknownKey, "\tx", "y", "did you mean c\u{2028}d?");
        assert_eq!(fault.to_string(), "herd.a\\nb: \\tx; y; did you mean c\\u{2028}d?");
    }
}
