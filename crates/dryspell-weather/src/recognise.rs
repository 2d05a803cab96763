//! Which format a file has, told by its content and never by its name.

use crate::error::{Error, ErrorKind, clip};
use crate::formats::{FORMATS, Format, names, plain};
use crate::input::{HEAD_BYTES, Head};

/// The format whose marks the head carries.
pub(crate) fn recognise(name: &str, head: &Head) -> Result<&'static Format, Error> {
    FORMATS.iter().copied().find(|f| (f.matches)(head)).ok_or_else(|| {
        let first = head.lines.iter().find(|l| !l.trim().is_empty());
        let kind = match first {
            Some(line) => ErrorKind::NotRecognised { first_line: clip(line), known: names() },
            None => ErrorKind::Empty,
        };
        Error::new(name, kind)
    })
}

/// Name of the weather format that a file's first bytes carry the marks of; `None` where it is no weather file.
///
/// Stricter than reading: a plain file is known by its columns here, not by the `#` of its first line, which other files
/// have too.
///
/// ```
/// use dryspell_weather::format_of;
/// assert_eq!(format_of(b"# place: x\ntime,ghi_w_per_m2,air_degc\n"), Some("plain CSV"));
/// assert_eq!(format_of(b"# a scheme\n[weather]\nfile = \"weather.csv\"\n"), None);
/// ```
#[must_use]
pub fn format_of(bytes: &[u8]) -> Option<&'static str> {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    let head = Head::of(&bytes[..bytes.len().min(HEAD_BYTES)]);
    let found = FORMATS.iter().find(|f| (f.matches)(&head))?;
    (found.name != plain::FORMAT.name || plain::has_columns(&head)).then_some(found.name)
}
