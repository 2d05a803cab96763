//! Several tanks and wells, a row each.

use dryspell::simulate::Run;
use dryspell::units::System;

use crate::layout::{table, wrap_to};
use crate::told;

/// The tables of tanks and of wells; nothing where there is one of each.
pub(super) fn stores(run: &Run, system: System) -> String {
    let mut out = String::new();
    for (title, note, found) in [
        ("EACH TANK  by its own ledger", told::TANKS_NOTE, told::tanks(run, system)),
        ("EACH WELL", told::WELLS_NOTE, told::wells(run, system)),
    ] {
        let Some([head, rows]) = found else { continue };
        if !out.is_empty() {
            out.push('\n');
        }
        out.push_str(title);
        out.push('\n');
        table(&mut out, &[head, rows].concat());
        wrap_to(&mut out, "  ", "  ", note);
    }
    out
}
