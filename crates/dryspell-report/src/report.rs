//! What every output of a run is made from.

use dryspell::record::Record;
use dryspell::scheme::Scheme;
use dryspell::simulate::Run;
use dryspell::units::System;

use crate::inputs::Inputs;
#[cfg(feature = "setting")]
use crate::model::Paper;
use crate::tried::Tried;
#[cfg(feature = "setting")]
use dryspell::odds::MadeYears;

/// What a report begins with.
static NOTHING_TRIED: Tried = Tried::NOTHING;

/// A run with all that its outputs tell.
#[derive(Debug, Clone, Copy)]
pub struct Report<'a> {
    /// The run.
    pub run: &'a Run,
    /// The weather that it ran on.
    pub record: &'a Record,
    /// The scheme that was run.
    pub scheme: &'a Scheme,
    /// Its file, as it shall be named.
    pub file: &'a str,
    /// Its text.
    pub text: &'a str,
    /// All that the run rests on.
    pub inputs: &'a Inputs,
    /// Units that come first.
    pub system: System,
    /// Units of the tables of hours and days.
    pub tables: System,
    /// Whether the terminal shows block characters.
    pub blocks: bool,
    /// How much the terminal shows.
    pub screen: Screen,
    /// What was tried beside it.
    pub tried: &'a Tried,
    /// What only the document needs.
    #[cfg(feature = "setting")]
    pub document: DocumentSettings<'a>,
}

/// How much of a run the terminal shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Screen {
    /// The answer, the margin, why.
    First,
    /// All of it.
    #[default]
    Whole,
}

/// What only the document needs.
#[cfg(feature = "setting")]
#[derive(Debug, Clone, Copy, Default)]
pub struct DocumentSettings<'a> {
    /// Values of the scheme that were changed for this once, as `KEY = VALUE`.
    pub changed: &'a [String],
    /// Name in the scheme and text of each table that was read for it: they go with the document.
    pub tables: &'a [(String, String)],
    /// Size of its sheets as PDF; without one that of the country of the units.
    pub paper: Option<Paper>,
    /// Fonts besides those built in, each as its name and its bytes.
    pub fonts: &'a [(String, Vec<u8>)],
    /// Years made from the record, where there are any.
    pub made: Option<&'a MadeYears>,
    /// Where they started from.
    pub seed: u64,
}

impl<'a> Report<'a> {
    /// A run in the units of its scheme, with nothing else set.
    #[must_use]
    pub fn new(
        run: &'a Run,
        record: &'a Record,
        scheme: &'a Scheme,
        (file, text): (&'a str, &'a str),
        inputs: &'a Inputs,
    ) -> Self {
        Self {
            run,
            record,
            scheme,
            file,
            text,
            inputs,
            system: scheme.units,
            tables: System::Si,
            blocks: false,
            screen: Screen::Whole,
            tried: &NOTHING_TRIED,
            #[cfg(feature = "setting")]
            document: DocumentSettings::default(),
        }
    }

    /// Name of the scheme.
    pub(crate) fn name(&self) -> &'a str {
        self.scheme.name.as_deref().unwrap_or("(no name)")
    }
}
