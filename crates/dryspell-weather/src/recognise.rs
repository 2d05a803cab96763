//! Which format a file has, told by its content and never by its name.

use crate::error::{Error, ErrorKind, clip};
use crate::formats::{FORMATS, Format};

/// The first lines of a file, decoded.
#[derive(Debug)]
pub(crate) struct Head {
    /// Lines without their ends; the last one may be cut.
    pub(crate) lines: Vec<String>,
}

impl Head {
    /// The line of that number, from 0; empty where there is none.
    pub(crate) fn line(&self, n: usize) -> &str {
        self.lines.get(n).map_or("", String::as_str)
    }
}

/// The format whose marks the head carries.
pub(crate) fn recognise(name: &str, head: &Head) -> Result<&'static Format, Error> {
    FORMATS.iter().copied().find(|f| (f.matches)(head)).ok_or_else(|| {
        let first = head.lines.iter().find(|l| !l.trim().is_empty());
        let kind = match first {
            Some(line) => ErrorKind::NotRecognised { first_line: clip(line) },
            None => ErrorKind::Empty,
        };
        Error::new(name, kind)
    })
}
