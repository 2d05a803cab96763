//! The report on the terminal, in the order a designer reads: the answer, the scheme, the head, the year, the evidence.
//!
//! Each file prints one part.

mod bearing;
mod closing;
mod dullest;
mod goal;
mod head;
mod herds;
mod ledgers;
mod levels;
mod limits;
mod margin;
mod months;
mod opening;
mod reliability;
mod stores;
mod what_if;
mod why;

use std::io;

use dryspell::simulate::Run;
use dryspell::why::Why;

use crate::delivery::delivery;
use crate::error::Error;
use crate::exporter::Exporter;
use crate::mends::mends;
use crate::report::{Report, Screen};
use crate::scheme_lines::scheme;
use crate::taken::assumptions;

use bearing::bearing;
use closing::{cautions, reproduce};
use dullest::dullest;
use goal::goal;
use head::head;
use herds::herds;
use ledgers::ledgers;
use levels::levels;
use limits::limits;
use margin::margin;
use months::months;
use opening::opening;
use reliability::reliability;
use stores::stores;
use what_if::what_if;
use why::why;

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

    fn write(&self, of: &Report<'_>, to: &mut (dyn io::Write + Send)) -> Result<(), Error> {
        let why = dryspell::why::why(of.run)?;
        Ok(to.write_all(report(of.run, of, why.as_ref()).as_bytes())?)
    }
}

/// The parts of the report that are asked for.
fn report(run: &Run, context: &Report<'_>, found: Option<&Why>) -> String {
    let begins = [
        opening(run, context),
        goal(run, context),
        margin(run, context.system),
        levels(run, context),
        found.map_or_else(String::new, |found| why(run, found, context.system)),
        mends(run, &context.tried.mends),
    ];
    match context.screen {
        Screen::First => joined(begins),
        Screen::Whole => joined(begins.into_iter().chain(rest(run, context))),
    }
}

/// What follows the first screen.
fn rest(run: &Run, context: &Report<'_>) -> impl Iterator<Item = String> {
    [
        scheme(run, context),
        head(run, context),
        months(run, context),
        dullest(run, context.system),
        bearing(run, context),
        what_if(run, context),
        reliability(run, context),
        stores(run, context.system),
        herds(run, context.system),
        delivery(run, context.system),
        limits(run),
        ledgers(run, context),
        assumptions(run, context),
        cautions(context.system),
        reproduce(context),
    ]
    .into_iter()
}

/// Parts under each other, with a line between.
fn joined(parts: impl IntoIterator<Item = String>) -> String {
    let mut out = String::new();
    for part in parts.into_iter().filter(|part| !part.is_empty()) {
        if !out.is_empty() {
            out.push('\n');
        }
        out.push_str(&part);
    }
    out
}
