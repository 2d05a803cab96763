//! What the program reads besides schemes and weather, for those who test the readers.

use std::path::Path;

use crate::sweep::kept::PieceFile;

/// Reads a part of a sweep, or what was kept of one, as it stands: how many of its pieces are missing.
///
/// # Errors
/// The lines that the program would print.
pub fn part_of_a_sweep(path: &Path) -> Result<u64, Vec<String>> {
    let mut kept = PieceFile::load(path).map_err(|failure| failure.0)?;
    for piece in kept.finished() {
        kept.rows(piece).map_err(|failure| failure.0)?;
    }
    Ok(kept.missing_pieces())
}
