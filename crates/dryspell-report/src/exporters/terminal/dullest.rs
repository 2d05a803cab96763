//! The dullest days in a row.

use dryspell::simulate::Run;
use dryspell::units::System;

use crate::layout::table;
use crate::told;

/// A row for each length, least water against demand first found.
pub(super) fn dullest(run: &Run, system: System) -> String {
    let rows = told::dullest(run, system);
    if rows.is_empty() {
        return String::new();
    }
    let mut out = String::from(
        "DULLEST DAYS IN A ROW  least water available against the demand, stock there on all of them\n",
    );
    table(&mut out, &rows);
    out
}
