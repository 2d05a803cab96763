//! Bytes in, lines and rows out: bounded memory, byte-order mark, Latin-1, line ends.

use crate::error::{Error, ErrorKind};
use crate::file::why;
use csv::ByteRecord;
use dryspell::record::MOST_YEARS;
use std::cell::Cell;
use std::io::{BufRead, BufReader, Cursor, Read};
use std::rc::Rc;

/// How much of a file is looked at to recognise it.
pub(crate) const HEAD_BYTES: usize = 64 * 1024;
/// Longest line or row: the longest header line seen in real files has 3 kB.
pub(crate) const LINE_BYTES: usize = 256 * 1024;
/// Most lines above the columns.
const HEADER_LINES: u64 = 1000;
/// Most rows of a file: the hours of as many years as are made from one seed, or 16 years of single minutes.
pub(crate) const MOST_ROWS: usize = MOST_YEARS * 8784;

/// The first lines of a file, decoded.
#[derive(Debug)]
pub(crate) struct Head {
    /// Lines without their ends; the last one may be cut.
    pub(crate) lines: Vec<String>,
}

impl Head {
    /// The lines of a file's first bytes.
    pub(crate) fn of(bytes: &[u8]) -> Self {
        Self { lines: bytes.split(|b| *b == b'\n').map(|l| decode(trim_cr(l))).collect() }
    }

    /// The line of that number, from 0; empty where there is none.
    pub(crate) fn line(&self, n: usize) -> &str {
        self.lines.get(n).map_or("", String::as_str)
    }
}

/// A file being read.
pub(crate) struct Input<'a> {
    /// File as the user named it.
    pub(crate) name: String,
    source: Box<dyn BufRead + 'a>,
    /// Lines taken so far.
    line: u64,
}

impl std::fmt::Debug for Input<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Input").field("name", &self.name).field("line", &self.line).finish_non_exhaustive()
    }
}

impl<'a> Input<'a> {
    /// Reads the head; refuses what is no text.
    pub(crate) fn new(name: &str, mut source: impl Read + 'a) -> Result<(Self, Head), Error> {
        let mut bytes = Vec::with_capacity(HEAD_BYTES);
        source
            .by_ref()
            .take(HEAD_BYTES as u64)
            .read_to_end(&mut bytes)
            .map_err(|e| Error::new(name, why(&e)))?;
        if bytes.is_empty() {
            return Err(Error::new(name, ErrorKind::Empty));
        }
        if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
            return Err(Error::new(name, ErrorKind::Utf16));
        }
        if let Some(at) = bytes.iter().position(|b| *b == 0) {
            return Err(Error::new(name, ErrorKind::NotText { byte: at }));
        }
        if bytes.starts_with(&[0xEF, 0xBB, 0xBF]) {
            bytes.drain(..3);
        }
        let head = Head::of(&bytes);
        let source = Box::new(BufReader::with_capacity(HEAD_BYTES, Cursor::new(bytes).chain(source)));
        Ok((Self { name: name.to_owned(), source, line: 0 }, head))
    }

    /// The next line without its end; `None` at the end of the file.
    pub(crate) fn next_line(&mut self) -> Result<Option<String>, Error> {
        let mut bytes = Vec::new();
        let n = self
            .source
            .by_ref()
            .take(LINE_BYTES as u64 + 1)
            .read_until(b'\n', &mut bytes)
            .map_err(|e| Error::new(&self.name, why(&e)))?;
        if n == 0 {
            return Ok(None);
        }
        self.line += 1;
        if self.line > HEADER_LINES {
            return Err(self.error(ErrorKind::HeaderTooLong { lines: HEADER_LINES }));
        }
        if n > LINE_BYTES {
            return Err(self.error(ErrorKind::LineTooLong { limit_bytes: LINE_BYTES }));
        }
        if bytes.ends_with(b"\n") {
            bytes.pop();
        }
        Ok(Some(decode(trim_cr(&bytes))))
    }

    /// The next line's fields, trimmed; a header cut short is an error.
    pub(crate) fn header_fields(&mut self, lines_needed: u64) -> Result<Vec<String>, Error> {
        match self.next_line()? {
            Some(line) => Ok(fields(&line)),
            None => {
                let kind = ErrorKind::HeaderCutShort { lines: self.line, lines_needed };
                Err(Error::new(&self.name, kind))
            }
        }
    }

    /// Number of the line taken last, from 1.
    pub(crate) const fn line(&self) -> u64 {
        self.line
    }

    /// An error at the line taken last.
    pub(crate) fn error(&self, kind: ErrorKind) -> Error {
        Error::new(&self.name, kind).at_line(self.line)
    }

    /// Turns to the rows of data.
    pub(crate) fn into_rows(self) -> Rows<'a> {
        let since = Rc::new(Cell::new(0));
        let guard = Guard { inner: self.source, since: Rc::clone(&since) };
        let reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            // Carriage returns fall to the trimming of fields: as terminators they would upset the count of lines.
            .terminator(csv::Terminator::Any(b'\n'))
            .buffer_capacity(HEAD_BYTES)
            .from_reader(guard);
        Rows { name: self.name, reader, since, lines_before: self.line, record: ByteRecord::new(), rows: 0 }
    }
}

/// Rows of data, one at a time.
pub(crate) struct Rows<'a> {
    pub(crate) name: String,
    reader: csv::Reader<Guard<'a>>,
    since: Rc<Cell<usize>>,
    lines_before: u64,
    record: ByteRecord,
    rows: usize,
}

impl Rows<'_> {
    /// Takes the next row that is not blank; `false` at the end.
    pub(crate) fn advance(&mut self) -> Result<bool, Error> {
        loop {
            self.since.set(0);
            match self.reader.read_byte_record(&mut self.record) {
                Ok(false) => return Ok(false),
                Ok(true) if self.record.len() == 1 && self.field(0).is_empty() => {}
                Ok(true) => {
                    self.rows += 1;
                    if self.rows > MOST_ROWS {
                        return Err(self.error(ErrorKind::TooManyRows { limit: MOST_ROWS }));
                    }
                    return Ok(true);
                }
                Err(e) => return Err(self.stopped(&e)),
            }
        }
    }

    /// Why reading stopped.
    fn stopped(&self, error: &csv::Error) -> Error {
        let kind = match error.kind() {
            csv::ErrorKind::Io(e) if e.get_ref().is_some_and(|e| e.is::<TooLong>()) => {
                ErrorKind::LineTooLong { limit_bytes: LINE_BYTES }
            }
            csv::ErrorKind::Io(e) => why(e),
            _ => ErrorKind::CannotRead { reason: std::io::ErrorKind::InvalidData },
        };
        self.error(kind)
    }

    /// The row's fields.
    pub(crate) const fn record(&self) -> &ByteRecord {
        &self.record
    }

    /// A field's bytes, trimmed; empty where there is none.
    pub(crate) fn field(&self, n: usize) -> &[u8] {
        self.record.get(n).unwrap_or_default().trim_ascii()
    }

    /// A field as text.
    pub(crate) fn text(&self, n: usize) -> String {
        decode(self.field(n))
    }

    /// Number of the row's line, from 1.
    pub(crate) fn line(&self) -> u64 {
        // Where the row's reading began, or where the next one begins: blank lines may lie before the row, and the
        // last row may have no end of line.
        let began = self.record.position().map_or(0, csv::Position::line);
        self.lines_before + began.max(self.reader.position().line() - 1)
    }

    /// An error at the row.
    pub(crate) fn error(&self, kind: ErrorKind) -> Error {
        Error::new(&self.name, kind).at_line(self.line())
    }
}

/// Lets no single row grow beyond bounds (an endless line, a quote that is never closed, endless blank lines).
struct Guard<'a> {
    inner: Box<dyn BufRead + 'a>,
    since: Rc<Cell<usize>>,
}

/// The mark of [`Guard`] in an input error.
#[derive(Debug, thiserror::Error)]
#[error("row too long")]
struct TooLong;

impl Read for Guard<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let n = self.inner.read(buffer)?;
        self.since.set(self.since.get() + n);
        if self.since.get() > LINE_BYTES + HEAD_BYTES {
            return Err(std::io::Error::other(TooLong));
        }
        Ok(n)
    }
}

/// Text of bytes: UTF-8 where it is valid, else Latin-1.
pub(crate) fn decode(bytes: &[u8]) -> String {
    match std::str::from_utf8(bytes) {
        Ok(text) => text.to_owned(),
        Err(_) => bytes.iter().map(|b| char::from(*b)).collect(),
    }
}

/// Without a carriage return at the end.
pub(crate) fn trim_cr(line: &[u8]) -> &[u8] {
    line.strip_suffix(b"\r").unwrap_or(line)
}

/// Fields of one line, trimmed; quotes reach no further than the line.
pub(crate) fn fields(line: &str) -> Vec<String> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(line.as_bytes());
    let mut record = ByteRecord::new();
    match reader.read_byte_record(&mut record) {
        Ok(true) => record.iter().map(|f| decode(f.trim_ascii())).collect(),
        _ => Vec::new(),
    }
}

/// Powers of ten that are exact.
const TENS: [f64; 16] =
    [1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15];

/// A number, or `None` where the bytes are none; `inf` and `nan` are none.
pub(crate) fn number(bytes: &[u8]) -> Option<f64> {
    short_number(bytes).or_else(|| {
        let plain = |b: &u8| matches!(b, b'0'..=b'9' | b'+' | b'-' | b'.' | b'e' | b'E');
        if !bytes.iter().all(plain) {
            return None;
        }
        let value: f64 = std::str::from_utf8(bytes).ok()?.parse().ok()?;
        value.is_finite().then_some(value)
    })
}

/// A number of at most fifteen digits without an exponent. Its digits and its power of ten are exact, so their quotient
/// is the nearest there is: the same as by the slow way.
fn short_number(bytes: &[u8]) -> Option<f64> {
    let (negative, digits) = match bytes.split_first()? {
        (b'-', rest) => (true, rest),
        _ => (false, bytes),
    };
    let mut mantissa = 0i64;
    let mut point = None;
    for (n, b) in digits.iter().enumerate() {
        match b {
            b'0'..=b'9' => mantissa = mantissa * 10 + i64::from(b - b'0'),
            b'.' if point.is_none() => point = Some(n),
            _ => return None,
        }
        if n > 15 {
            return None;
        }
    }
    let behind = point.map_or(0, |p| digits.len() - 1 - p);
    let count = digits.len() - usize::from(point.is_some());
    if count == 0 || count > 15 {
        return None;
    }
    let value = mantissa as f64 / TENS[behind];
    Some(if negative { -value } else { value })
}

/// A whole number of at most nine digits.
pub(crate) fn whole(bytes: &[u8]) -> Option<i32> {
    if bytes.is_empty() || bytes.len() > 9 {
        return None;
    }
    bytes.iter().try_fold(0i32, |n, b| b.is_ascii_digit().then(|| n * 10 + i32::from(b - b'0')))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_number_is_none() {
        for text in
            ["", "-", ".", "-.", "1.2.3", "1,2", "12o", "inf", "nan", "1e", "--1", "1 2", "+", "e5", "1e999"]
        {
            assert_eq!(number(text.as_bytes()), None, "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn numbers_are_those_of_the_standard_library(text in "-?[0-9]{0,18}(\\.[0-9]{0,18})?(e-?[0-9]{1,2})?") {
            let expected = text.parse::<f64>().ok().filter(|v| v.is_finite());
            proptest::prop_assert_eq!(
                number(text.as_bytes()).map(f64::to_bits), expected.map(f64::to_bits), "{}", text
            );
        }
    }
}
