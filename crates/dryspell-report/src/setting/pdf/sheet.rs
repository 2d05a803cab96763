//! Strips one below the other.

use super::strip::{Frame, Item, Strip, What};

/// A page that is being filled, or a column of any height.
#[derive(Debug, Default)]
pub(super) struct Sheet {
    pub(super) items: Vec<Item>,
    pub(super) y: f32,
    /// The frame that is open: which, where its items begin, and its upper edge.
    pub(super) open: Option<(usize, usize, f32)>,
    pub(super) started: bool,
}

impl Sheet {
    pub(super) fn put(&mut self, strip: &Strip, frames: &[Frame]) {
        let before = if self.started { strip.before } else { 0.0 };
        if self.open.map(|(frame, ..)| frame) != strip.frame {
            self.close(frames);
        }
        self.y += before;
        if let Some(frame) = strip.frame
            && self.open.is_none()
        {
            self.open = Some((frame, self.items.len(), self.y));
        }
        let y = self.y;
        self.items.extend(strip.items.iter().cloned().map(|item| item.moved(0.0, y)));
        self.y += strip.height;
        self.started = true;
    }

    /// Draws the frame behind what it holds.
    pub(super) fn close(&mut self, frames: &[Frame]) {
        if let Some((frame, at, top)) = self.open.take()
            && let Some(frame) = frames.get(frame)
        {
            let item = Item {
                x: frame.x,
                y: top,
                width: frame.width,
                height: self.y - top,
                what: What::Frame(frame.look),
                node: None,
            };
            self.items.insert(at, item);
        }
    }
}

/// Strips one below the other, and their height.
pub(super) fn stack(strips: &[Strip], frames: &[Frame]) -> (Vec<Item>, f32) {
    let mut sheet = Sheet::default();
    for strip in strips {
        sheet.put(strip, frames);
    }
    sheet.close(frames);
    (sheet.items, sheet.y)
}
