//! The herds by their own books.

use dryspell::simulate::Run;
use dryspell::units::System;

use crate::layout::{table, wrap};
use crate::told;

/// The section of the report; nothing where the columns answer.
pub(super) fn herds(run: &Run, system: System) -> String {
    let Some(parts) = told::herds(run, system) else { return String::new() };
    let mut out = String::from("EACH HERD  by its own book\n");
    table(&mut out, &parts.concat());
    wrap(&mut out, "  ", told::HERDS_NOTE);
    out
}
