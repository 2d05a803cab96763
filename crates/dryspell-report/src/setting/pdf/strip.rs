//! What is put on pages.

use std::sync::Arc;

use super::chart::Drawing;
use super::set::Line;

/// A piece of a page that is never cut.
#[derive(Debug, Clone, Default)]
pub(super) struct Strip {
    /// Space above it, points; none at the top of a page.
    pub(super) before: f32,
    /// Height, points.
    pub(super) height: f32,
    /// What is on it, measured from its upper edge.
    pub(super) items: Vec<Item>,
    /// Whether it stays on one page with what follows.
    pub(super) glue: bool,
    /// The frame around it.
    pub(super) frame: Option<usize>,
    /// The head that is put above it where it begins a page.
    pub(super) head: Option<usize>,
}

/// Something on a page.
#[derive(Debug, Clone)]
pub(super) struct Item {
    /// Left edge.
    pub(super) x: f32,
    /// Upper edge.
    pub(super) y: f32,
    /// Width.
    pub(super) width: f32,
    /// Height.
    pub(super) height: f32,
    /// What it is.
    pub(super) what: What,
    /// What it belongs to for those who listen to the document; `None` for ornament.
    pub(super) node: Option<usize>,
}

/// What an item is.
#[derive(Debug, Clone)]
pub(super) enum What {
    /// Words.
    Words(Line),
    /// A line of a shade, 0 black to 255 white.
    Rule(u8),
    /// A frame.
    Frame(Look),
    /// A picture.
    Picture(Arc<Drawing>),
}

/// Look of a frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Look {
    /// A line all round.
    Line,
    /// A ground of light grey with a thick left edge.
    Edge,
}

/// A frame that strips may ask for.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame {
    /// Left edge.
    pub(super) x: f32,
    /// Width.
    pub(super) width: f32,
    /// Look.
    pub(super) look: Look,
}

impl Item {
    /// Moved down and to the right.
    pub(super) fn moved(mut self, x: f32, y: f32) -> Self {
        self.x += x;
        self.y += y;
        self
    }

    /// For a head that is repeated: it is heard once.
    pub(super) fn unheard(mut self) -> Self {
        self.node = None;
        self
    }
}

/// Binds strips together, and to what follows if `on`.
pub(super) fn glue(strips: &mut [Strip], on: bool) {
    let last = strips.len().saturating_sub(1);
    for (at, strip) in strips.iter_mut().enumerate() {
        strip.glue = at < last || on;
    }
}

/// Binds the first two and the last two strips together, so that no line stands alone.
pub(super) fn together(strips: &mut [Strip]) {
    let count = strips.len();
    for (at, strip) in strips.iter_mut().enumerate() {
        strip.glue = at + 1 < count && (at == 0 || at + 2 == count);
    }
}

/// What something on a page is, for those who check the pages.
#[cfg(test)]
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// A line of text.
    Text,
    /// Words in a chart.
    Label,
    /// A frame.
    Frame,
    /// A rule.
    Rule,
    /// A chart.
    Chart,
}

/// A box on a page, in points from the page's left upper corner.
#[cfg(test)]
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PlacedBox {
    /// Page, from 0.
    pub(crate) page: usize,
    /// What it is.
    pub(crate) kind: Kind,
    /// Left edge.
    pub(crate) x: f32,
    /// Upper edge.
    pub(crate) y: f32,
    /// Width.
    pub(crate) width: f32,
    /// Height.
    pub(crate) height: f32,
    /// What it says; empty without words.
    pub(crate) text: String,
    /// Size of its letters, points; endless without any.
    pub(crate) size: f32,
}
