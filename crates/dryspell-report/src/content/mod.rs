//! What the document says, in the order in which a reviewer reads. Every number is read from the run or from what was
//! worked out beside it; nothing is calculated here but shares and sums of a table's rows.

mod frost;
mod inputs;
mod lift;
mod opening;
mod results;
mod site;
mod spell;
mod stock;
mod strip;
mod sure;
mod tank;
mod tried;
mod why;
mod worksheet;

use std::sync::Arc;

use dryspell::curve::SunCurve;
use dryspell::frost::{FrostReport, Settings as FrostSettings};
use dryspell::results::HeadTold;
use dryspell::scheme::Scheme;
use dryspell::sensitivity::Line;
use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, show};
use dryspell::why::Why;
use dryspell::worksheet::Worksheet;

use crate::inputs::Inputs;
use crate::layout::trimmed;
use crate::model::{Align, Attached, Block, Chart, Document, Table, Text};
use crate::tried::Tried;

/// All that the document is made from.
pub(crate) struct Matter<'a> {
    /// Scheme file as typed.
    pub(crate) file: &'a str,
    /// Its text.
    pub(crate) text: &'a str,
    /// What it says.
    pub(crate) scheme: &'a Scheme,
    /// All that the run rests on.
    pub(crate) inputs: &'a Inputs,
    /// Values of the scheme that were changed for this once.
    pub(crate) changed: &'a [String],
    /// Heads from the water to the tank.
    pub(crate) heads: &'a [HeadTold],
    /// Units that come first.
    pub(crate) system: System,
    /// The run.
    pub(crate) run: &'a Run,
    /// How often it goes short, and how sure that is.
    pub(crate) odds: &'a Odds,
    /// One thing changed at a time.
    pub(crate) sensitivity: &'a [Line],
    /// What the frost reaches; `None` where the scheme says nothing of frost.
    pub(crate) frost: Option<&'a (FrostSettings, FrostReport)>,
    /// Why it goes short, or nearly does; `None` where no pump lifts.
    pub(crate) why: Option<&'a Why>,
    /// What was tried beside the run.
    pub(crate) tried: &'a Tried,
    /// A conventional worksheet.
    pub(crate) worksheet: &'a Worksheet,
    /// Flow against sun.
    pub(crate) curve: &'a SunCurve,
    /// The pictures.
    pub(crate) charts: &'a [Arc<Chart>],
    /// Files that it carries with it.
    pub(crate) attached: &'a [Attached],
}

/// What the record allows one to say of other years, in words.
#[derive(Debug, Clone, Default)]
pub(crate) struct Odds {
    /// The answer in a sentence.
    pub(crate) answer: String,
    /// Figure by figure.
    pub(crate) lines: Vec<(String, String)>,
    /// What it can and cannot say.
    pub(crate) limits: Vec<String>,
}

/// The whole document.
pub(crate) fn document(m: &Matter<'_>) -> Document {
    let name = m.scheme.name.as_deref().unwrap_or("(no name)");
    let parts = [
        opening::opening(m),
        stock::stock(m),
        lift::lift(m),
        tank::year(m),
        spell::spell(m),
        why::why(m).into_iter().chain(tried::mending(m)).chain(spell::dullest(m)).collect(),
        results::figures(m),
        sure::odds(m),
        sure::sensitivity(m),
        tried::bearing(m),
        frost::frost(m),
        worksheet::worksheet(m),
        site::site(m),
        inputs::inputs(m),
        inputs::end(m),
    ];
    Document {
        title: format!("Stock water, reliability summary: {name}"),
        foot: format!(
            "{name} · dryspell {} · scheme {} · weather {}",
            env!("CARGO_PKG_VERSION"),
            short(m.inputs.scheme_sha256()),
            m.inputs.weather_sha256().into_iter().map(short).collect::<Vec<_>>().join(" ")
        ),
        blocks: parts.into_iter().flatten().collect(),
        attached: m.attached.to_vec(),
    }
}

/// The first letters of a hash: enough to tell two files apart on paper.
fn short(hash: &str) -> &str {
    hash.get(..12).unwrap_or(hash)
}

impl Matter<'_> {
    /// A value in the units of the scheme, with the other units behind it: a reviewer may need either.
    fn both(&self, value: f64, quantity: Quantity) -> String {
        let other = match self.system {
            System::Si => System::Us,
            System::Us => System::Si,
        };
        format!("{} ({})", self.one(value, quantity), show(value, quantity, other))
    }

    /// A value in the units of the scheme.
    fn one(&self, value: f64, quantity: Quantity) -> String {
        show(value, quantity, self.system)
    }

    /// A row of a name and twelve months from January, put in the order of the pictures: from the first month of the tank year.
    fn in_tank_year(&self, mut row: Vec<String>) -> Vec<String> {
        let first = usize::from(self.run.outcome.tank_year_month) - 1;
        row[1..=12].rotate_left(first);
        row
    }

    /// A picture, where it was drawn.
    fn chart(&self, name: &str) -> Option<Block> {
        self.charts.iter().find(|chart| chart.name == name).map(|chart| Block::Chart(chart.clone()))
    }
}

fn heading(text: &str) -> Block {
    Block::Heading(text.to_owned())
}

fn fact(name: &str, text: impl Into<Text>) -> (String, Text) {
    (name.to_owned(), text.into())
}

/// A table of words and numbers; the first column is of words.
fn numbers(title: &str, columns: &[String], rows: Vec<Vec<String>>, note: &str) -> Block {
    Block::Table(Table {
        title: title.to_owned(),
        columns: columns
            .iter()
            .enumerate()
            .map(|(i, name)| (name.clone(), if i == 0 { Align::Left } else { Align::Right }))
            .collect(),
        rows: rows.into_iter().map(|row| row.into_iter().map(Text::from).collect()).collect(),
        note: note.to_owned(),
    })
}

/// A number of days: whole where it is whole.
fn days(days: f64) -> String {
    trimmed(days, 1)
}
