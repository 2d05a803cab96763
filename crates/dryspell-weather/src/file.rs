//! A file as it is read: once, from its first byte to its last, within bounds, with the hash of the very bytes.

use crate::error::{Error, ErrorKind};
use sha2::{Digest, Sha256};
use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

/// Most bytes of a weather file: 1 GiB, ten times seven years of single minutes.
pub const MOST_BYTES: u64 = 1 << 30;

/// A file that was read, told by its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileRead {
    /// File as the user named it.
    pub name: String,
    /// Bytes of it, all of them.
    pub bytes: u64,
    /// SHA-256 of these bytes, as hexadecimal digits.
    pub sha256: String,
}

/// A reader that counts and hashes what passes, and lets no more than a limit pass.
#[derive(Debug)]
pub(crate) struct HashReader<R> {
    source: R,
    limit: u64,
    bytes: u64,
    hash: Sha256,
}

/// The mark of [`HashReader`] in an input error: more bytes than the limit, which it holds.
#[derive(Debug, thiserror::Error)]
#[error("more than {0} bytes")]
struct TooLarge(u64);

/// What an input error means for the file.
pub(crate) fn why(error: &io::Error) -> ErrorKind {
    match error.get_ref().and_then(|e| e.downcast_ref::<TooLarge>()) {
        Some(TooLarge(limit)) => ErrorKind::FileTooLarge { limit_bytes: *limit },
        None => ErrorKind::CannotRead { reason: error.kind() },
    }
}

impl<R: Read> HashReader<R> {
    pub(crate) fn new(source: R, limit: u64) -> Self {
        Self { source, limit, bytes: 0, hash: Sha256::new() }
    }

    /// Reads what is left (below the rows there may be a legend) and says what passed.
    pub(crate) fn finish(mut self, name: &str) -> io::Result<FileRead> {
        io::copy(&mut self, &mut io::sink())?;
        let sha256 = self.hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect();
        Ok(FileRead { name: name.to_owned(), bytes: self.bytes, sha256 })
    }

    /// The same of a weather file.
    pub(crate) fn finish_weather(self, name: &str) -> Result<FileRead, Error> {
        self.finish(name).map_err(|e| Error::new(name, why(&e)))
    }
}

impl<R: Read> Read for HashReader<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let n = self.source.read(buffer)?;
        self.bytes += n as u64;
        if self.bytes > self.limit {
            return Err(io::Error::other(TooLarge(self.limit)));
        }
        self.hash.update(&buffer[..n]);
        Ok(n)
    }
}

/// Opens a file within a limit. Nothing is asked of the path beside what the open file tells: a pipe is read once.
pub(crate) fn open(path: &Path, limit: u64) -> io::Result<HashReader<File>> {
    let file = File::open(path)?;
    if let Ok(about) = file.metadata() {
        if about.is_dir() {
            return Err(io::ErrorKind::IsADirectory.into());
        }
        if about.len() > limit {
            return Err(io::Error::other(TooLarge(limit)));
        }
    }
    Ok(HashReader::new(file, limit))
}

/// Opens a weather file.
pub(crate) fn open_weather(path: &Path) -> Result<(String, HashReader<File>), Error> {
    let name = path.display().to_string();
    match open(path, MOST_BYTES) {
        Ok(file) => Ok((name, file)),
        Err(e) => {
            let kind = match why(&e) {
                ErrorKind::CannotRead { reason } => ErrorKind::CannotOpen { reason },
                too_large => too_large,
            };
            Err(Error::new(&name, kind))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hash_is_that_of_all_bytes_however_far_they_were_read() {
        // FIPS 180-2, appendix B.1: SHA-256 of "abc".
        let mut abc = HashReader::new(&b"abc"[..], 3);
        let mut first = [0; 1];
        abc.read_exact(&mut first).unwrap();
        let read = abc.finish("abc").unwrap();
        assert_eq!(read.bytes, 3);
        assert_eq!(read.sha256, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }

    #[test]
    fn one_byte_beyond_the_limit_is_refused_with_the_limit() {
        let error = HashReader::new(&b"abcd"[..], 3).finish_weather("abcd").unwrap_err();
        assert_eq!(*error.kind(), ErrorKind::FileTooLarge { limit_bytes: 3 });
    }
}
