//! Reading: within bounds, once, and never what is of another kind.

use std::io::{self, Read};
use std::path::Path;

use super::name_of;
use crate::Failure;
use crate::kinds::FileNeed;

/// Reads a file of the user's as text.
pub(crate) fn read_text(path: &Path, wanted: FileNeed) -> Result<String, Failure> {
    let (name, what) = (name_of(path), wanted.what());
    String::from_utf8(read_bytes(path, wanted)?).map_err(|e| {
        let upto = e.utf8_error().valid_up_to();
        let line = e.as_bytes()[..upto].iter().filter(|b| **b == b'\n').count() + 1;
        Failure(vec![format!(
            "{name}: line {line}: bytes that are not UTF-8; {what} is UTF-8 text; save it again as UTF-8"
        )])
    })
}

/// Reads a file of the user's.
pub(crate) fn read_bytes(path: &Path, wanted: FileNeed) -> Result<Vec<u8>, Failure> {
    let name = name_of(path);
    let what = wanted.what();
    let bytes = bytes_within(path, wanted.most_bytes()).map_err(|e| match e {
        ReadFault::TooLarge(limit) => Failure(vec![format!(
            "{name}: larger than {} MiB; {what} of at most {limit} bytes; {}",
            limit >> 20,
            wanted.way_out()
        )]),
        ReadFault::Io(e) if e.kind() == io::ErrorKind::NotFound => {
            Failure(vec![format!("{name}: no such file; {what} is needed here; {}", wanted.way_out())])
        }
        ReadFault::Io(e) => Failure(vec![format!(
            "{name}: {e}; {what} that can be read is needed here; check the name and its permissions"
        )]),
    })?;
    if let Some(line) = wanted.refusal(&name, &bytes) {
        return Err(Failure(vec![line]));
    }
    Ok(bytes)
}

/// Why a file was not read.
enum ReadFault {
    /// It has more bytes than these.
    TooLarge(u64),
    /// What the system says.
    Io(io::Error),
}

/// All bytes of a file, of a pipe or a device too, if they are no more than so many.
fn bytes_within(path: &Path, limit: u64) -> Result<Vec<u8>, ReadFault> {
    let file = std::fs::File::open(path).map_err(ReadFault::Io)?;
    let size = file.metadata().map_or(0, |about| about.len());
    if size > limit {
        return Err(ReadFault::TooLarge(limit));
    }
    let mut bytes = Vec::with_capacity(usize::try_from(size).unwrap_or(0));
    file.take(limit + 1).read_to_end(&mut bytes).map_err(ReadFault::Io)?;
    if bytes.len() as u64 > limit { Err(ReadFault::TooLarge(limit)) } else { Ok(bytes) }
}

/// The beginning of an ordinary file, enough to tell what kind of file it is; `None` where it cannot be read.
pub(crate) fn beginning(path: &Path) -> Option<Vec<u8>> {
    // A pipe has been read already and has nothing left to tell; opening it again would wait for a writer.
    if !std::fs::metadata(path).ok()?.is_file() {
        return None;
    }
    let mut bytes = Vec::new();
    std::fs::File::open(path).ok()?.take(64 * 1024).read_to_end(&mut bytes).ok()?;
    Some(bytes)
}
