//! The document before it has a form: what it says, in order. HTML and PDF are made from the same [`Document`].

use std::sync::Arc;

/// A document of a few pages.
#[derive(Debug, Clone)]
pub(crate) struct Document {
    /// Its title, for the first page, the window and the PDF's properties.
    pub(crate) title: String,
    /// What stands at the foot of every page beside the page's number.
    pub(crate) foot: String,
    /// What it says.
    pub(crate) blocks: Vec<Block>,
    /// Files that it carries with it.
    pub(crate) attached: Vec<Attached>,
}

/// A file that a document carries with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Attached {
    /// Its name.
    pub(crate) name: String,
    /// What it is, in words.
    pub(crate) about: String,
    /// Its media type.
    pub(crate) kind: &'static str,
    /// Its contents.
    pub(crate) bytes: Vec<u8>,
}

/// A piece of the document.
#[derive(Debug, Clone)]
pub(crate) enum Block {
    /// Heading of a section.
    Heading(String),
    /// Running text.
    Paragraph(Text),
    /// Running text that few will read in full: small.
    Fine(Text),
    /// The answer: the largest text after the title, in a frame.
    Answer(Text),
    /// What must not be overlooked, in a frame with a thick edge.
    Notice(Text),
    /// Short points.
    List(Vec<Text>),
    /// Short points to be ticked off by hand: small.
    Ticks(Vec<Text>),
    /// Name and value, one a line.
    Facts(Vec<(String, Text)>),
    /// Rows and columns.
    Table(Table),
    /// A picture over the full width.
    Chart(Arc<Chart>),
    /// Blocks side by side, in columns of equal width.
    Beside(Vec<Vec<Block>>),
    /// Lines to be filled in by hand, each with its label.
    Blanks(Vec<String>),
}

/// Words, some of them strong.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Text(pub(crate) Vec<Span>);

/// Words of one weight.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Span {
    /// The words.
    pub(crate) text: String,
    /// Whether they are set in bold type.
    pub(crate) strong: bool,
}

impl<S: Into<String>> From<S> for Text {
    fn from(text: S) -> Self {
        Self(vec![Span { text: text.into(), strong: false }])
    }
}

impl Text {
    /// Strong words.
    pub(crate) fn strong(text: impl Into<String>) -> Self {
        Self(vec![Span { text: text.into(), strong: true }])
    }

    /// Strong words after these.
    pub(crate) fn then_strong(mut self, text: impl Into<String>) -> Self {
        self.0.push(Span { text: text.into(), strong: true });
        self
    }

    /// Plain words after these.
    pub(crate) fn then(mut self, text: impl Into<String>) -> Self {
        self.0.push(Span { text: text.into(), strong: false });
        self
    }
}

/// Rows and columns.
#[derive(Debug, Clone)]
pub(crate) struct Table {
    /// What it shows; above the table.
    pub(crate) title: String,
    /// Head of each column, with its unit, and how the column is set.
    pub(crate) columns: Vec<(String, Align)>,
    /// One cell a column.
    pub(crate) rows: Vec<Vec<Text>>,
    /// What must be known to read it; below the table, small. May be empty.
    pub(crate) note: String,
}

/// How a column is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Align {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// A picture, drawn once for every form of the document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chart {
    /// Name of its file without ending.
    pub name: &'static str,
    /// What it says: the finding, in one sentence, set as text above the picture.
    pub(crate) title: String,
    /// What it shows, for those who cannot see it.
    pub(crate) alternative: String,
    /// The picture; its root element has `width`, `height` and `viewBox` in the units of `size`.
    pub svg: String,
    /// Width and height in points of 1/72 inch at full page width (about 510 wide).
    pub(crate) size: (u32, u32),
}

/// Size of the sheets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// 210 mm × 297 mm.
    #[default]
    A4,
    /// 8.5 in × 11 in.
    Letter,
}
