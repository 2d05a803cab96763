//! `dryspell columns`: what every column and figure means.

use dryspell_report::answers;
use dryspell_report::columns::{self, Dictionary};

use crate::args::ColumnsArgs;
use crate::files::{Answer, Outputs};
use crate::{Failure, Verdict};

/// Prints the columns that have the words given.
pub(crate) fn columns(args: &ColumnsArgs) -> Result<Verdict, Failure> {
    let answer = Answer::open(&mut Outputs::default(), args.json.as_deref())?;
    let tables = columns::found(&args.words);
    if tables.is_empty() {
        return Err(Failure(vec![format!(
            "columns {}: no column has this in its name or meaning; words such as shortfall, autonomy or pumped; dryspell columns lists all",
            args.words.join(" ")
        )]));
    }
    let page = columns::page(&tables, args.words.is_empty());
    answer.give(|| answers::text(&Dictionary::new(tables)), || page)?;
    Ok(Verdict::Answered)
}
