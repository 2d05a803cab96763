//! The cautions, and what the report was made from.

use std::fmt::Write;

use dryspell::results;
use dryspell::units::System;

use crate::inputs::Role;
use crate::layout::wrap_to;
use crate::report::Report;

pub(super) fn cautions(system: System) -> String {
    let mut out = String::from("CAUTIONS\n");
    for text in results::cautions(system) {
        wrap_to(&mut out, "  - ", "    ", &text);
    }
    out
}

pub(super) fn reproduce(context: &Report<'_>) -> String {
    let mut out = format!("PRODUCED BY  dryspell {}\n", env!("CARGO_PKG_VERSION"));
    let _ = writeln!(out, "  scheme   sha256 {}", context.inputs.scheme_sha256());
    for hash in context.inputs.weather_sha256() {
        let _ = writeln!(out, "  weather  sha256 {hash}");
    }
    for table in context.inputs.of(Role::Table) {
        let _ = writeln!(out, "  table    sha256 {}  {}", table.sha256, table.name);
    }
    out
}
