//! The report on the terminal, in the order a designer reads: the answer, the scheme, the head, the year, the evidence.
//!
//! Each file prints one part.

mod closing;
mod goal;
mod head;
mod herds;
mod ledgers;
mod levels;
mod limits;
mod months;
mod opening;
mod reliability;
mod stores;

use std::io;

use dryspell::simulate::Run;

use crate::delivery::delivery;
use crate::error::Error;
use crate::exporter::Exporter;
use crate::report::Report;
use crate::scheme_lines::scheme;
use crate::taken::assumptions;

use closing::{cautions, reproduce};
use goal::goal;
use head::head;
use herds::herds;
use ledgers::ledgers;
use levels::levels;
use limits::limits;
use months::months;
use opening::opening;
use reliability::reliability;
use stores::stores;

/// The report as text.
#[derive(Debug)]
pub(super) struct Terminal;

impl Exporter for Terminal {
    fn name(&self) -> &'static str {
        "terminal"
    }

    fn endings(&self) -> &'static [&'static str] {
        &["txt"]
    }

    fn write(&self, of: &Report<'_>, to: &mut dyn io::Write) -> Result<(), Error> {
        Ok(to.write_all(report(of.run, of).as_bytes())?)
    }
}

/// The whole report.
fn report(run: &Run, context: &Report<'_>) -> String {
    let mut out = String::new();
    let parts = [
        opening(run, context),
        goal(run, context),
        scheme(run, context),
        head(run, context),
        months(run, context),
        levels(run, context),
        reliability(run, context),
        stores(run, context.system),
        herds(run, context.system),
        delivery(run, context.system),
        limits(run),
        ledgers(run, context),
        assumptions(run, context),
        cautions(),
        reproduce(context),
    ];
    for part in parts.into_iter().filter(|part| !part.is_empty()) {
        if !out.is_empty() {
            out.push('\n');
        }
        out.push_str(&part);
    }
    out
}
