//! `dryspell columns`: what every column and figure means.

use dryspell_report::{answers, columns};

use crate::args::ColumnsArgs;
use crate::files::{Answer, Outputs};
use crate::{Failure, Verdict};

/// Prints the columns that have the words given.
pub(crate) fn columns(args: &ColumnsArgs) -> Result<Verdict, Failure> {
    let answer = Answer::open(&mut Outputs::default(), args.json.as_deref())?;
    if columns::found(&args.words).is_empty() {
        return Err(Failure(vec![format!(
            "columns {}: no column has this in its name or meaning; words such as shortfall, autonomy or pumped; dryspell columns lists all",
            args.words.join(" ")
        )]));
    }
    answer.give(|| answers::text(&columns::dictionary(&args.words)), || columns::page(&args.words))?;
    Ok(Verdict::Answered)
}
