//! `dryspell new`: the commented starter scheme.

use std::path::Path;

use crate::args::NewArgs;
use crate::files::{self, Target};
use crate::{Failure, Verdict};

/// Writes the starter, and leaves an existing file alone.
pub(crate) fn new(args: &NewArgs) -> Result<Verdict, Failure> {
    let path = &args.file;
    if path != Path::new("-") && path.exists() {
        return Err(Failure(vec![format!(
            "{}: the file already exists; a starter is only written to a new file; choose another name or move the old \
             file",
            path.display()
        )]));
    }
    let target = Target::open(path)?;
    let to_stdout = target.is_stdout();
    target.write(&dryspell::scheme::starter(args.units.into()))?;
    if !to_stdout {
        files::print(&format!(
            "{} written. Name your weather file in it under [weather], then: dryspell run {0}\n",
            path.display()
        ))?;
    }
    Ok(Verdict::Answered)
}
