//! The document as PDF: laid out by [`layout()`], written by [`draw()`].
//!
//! The way is one: text is cut into [`set::Line`]s, blocks become [`strip::Strip`]s that are never cut, strips are put on
//! pages, pages are drawn. What was put where can be asked of the sheets by tests. No clock and no font of the machine takes
//! part: the same document gives the same bytes.

mod beside;
mod blocks;
mod chart;
mod draw;
mod fonts;
mod pages;
mod set;
mod sheet;
mod strip;
mod table;
#[cfg(test)]
pub(crate) mod tests;
mod tree;

use crate::model::{Document, Paper};
pub(crate) use draw::draw;
pub(crate) use fonts::Fonts;
pub(crate) use pages::layout;
#[cfg(test)]
pub(crate) use strip::{Kind, PlacedBox};

/// Points in a millimetre.
const MM: f32 = 72.0 / 25.4;

impl Paper {
    /// Width and height, points.
    pub(crate) const fn size(self) -> (f32, f32) {
        match self {
            Self::A4 => (210.0 * MM, 297.0 * MM),
            Self::Letter => (612.0, 792.0),
        }
    }

    /// What may be printed on: left, top, right and bottom edge, points.
    pub(crate) const fn inside(self) -> (f32, f32, f32, f32) {
        let (width, height) = self.size();
        (15.0 * MM, 12.0 * MM, width - 15.0 * MM, height - 10.0 * MM)
    }
}

/// The document as PDF.
///
/// # Errors
/// A letter that no font has, a chart that cannot be read, a row higher than a page.
pub(crate) fn pdf(document: &Document, paper: Paper, fonts: &Fonts) -> Result<Vec<u8>, String> {
    draw(&layout(document, paper, fonts)?, fonts)
}
