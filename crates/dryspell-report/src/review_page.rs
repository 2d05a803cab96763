//! The table of many schemes as a page to print or to pass on.

use dryspell::units::System;

use crate::error::Error;
use crate::model::{Align, Block, Document, Table, Text};
use crate::review::{COLUMNS, Entry, NOTES, cells, entry_title, points, title, units};
use crate::setting::html::html;

/// The page as HTML.
///
/// # Errors
/// What cannot be set.
pub fn review_html(entries: &[Entry], system: System) -> Result<String, Error> {
    html(&document(entries, system)).map_err(Error::Setting)
}

/// The page as PDF, on A4 or, where US units come first, on Letter.
///
/// # Errors
/// What cannot be set, such as a letter that no font has.
#[cfg(feature = "pdf")]
pub fn review_pdf(entries: &[Entry], system: System) -> Result<Vec<u8>, Error> {
    use crate::model::Paper;
    use crate::setting::pdf::{Fonts, pdf};
    let paper = if system == System::Us { Paper::Letter } else { Paper::A4 };
    let fonts = Fonts::new(Vec::new()).map_err(Error::Setting)?;
    pdf(&document(entries, system), paper, &fonts).map_err(Error::Setting)
}

fn document(entries: &[Entry], system: System) -> Document {
    let mut blocks = vec![Block::Answer(title(entries).into()), Block::Table(rows(entries, system))];
    for (number, entry) in entries.iter().enumerate() {
        blocks.push(Block::Heading(format!("{}. {}", number + 1, entry_title(entry))));
        let told = |(label, text): (&str, String)| (label.to_owned(), text.into());
        blocks.push(Block::Facts(points(entry).into_iter().map(told).collect()));
    }
    Document {
        title: "Schemes under review".to_owned(),
        foot: concat!("dryspell ", env!("CARGO_PKG_VERSION")).to_owned(),
        blocks,
        attached: Vec::new(),
    }
}

fn rows(entries: &[Entry], system: System) -> Table {
    let head = |(at, (name, unit)): (usize, (&str, &str))| {
        let name = match (name, unit) {
            ("", _) => "scheme".to_owned(),
            (name, "") => name.to_owned(),
            (name, unit) => format!("{name}, {unit}"),
        };
        (name, if matches!(at, 0 | 2) { Align::Left } else { Align::Right })
    };
    let row = |(number, entry): (usize, &Entry)| {
        let first = format!("{}. {}", number + 1, entry_title(entry));
        std::iter::once(first).chain(cells(entry, system)).map(Text::from).collect()
    };
    Table {
        title: "A row for each scheme".to_owned(),
        columns: COLUMNS.into_iter().zip(units(system)).enumerate().map(head).collect(),
        rows: entries.iter().enumerate().map(row).collect(),
        note: NOTES.join(" "),
    }
}
