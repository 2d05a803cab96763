//! Strips to pages.

use super::blocks::{BLACK, Builder, Column, SMALL, leading, rule, words};
use super::fonts::Fonts;
use super::set::Setter;
use super::sheet::Sheet;
use super::strip::{Frame, Item, Strip};
#[cfg(test)]
use super::strip::{Kind, PlacedBox, What};
use super::tree::Tree;
use crate::model::{Attached, Document, Paper, Text};

/// A document on pages.
#[derive(Debug)]
pub(crate) struct Layout {
    /// Its title.
    pub(super) title: String,
    /// Size of its pages.
    pub(super) paper: Paper,
    /// What is on them, from back to front, measured from the left upper corner.
    pub(super) pages: Vec<Vec<Item>>,
    /// Its parts.
    pub(super) tree: Tree,
    /// Files that it carries with it.
    pub(super) attached: Vec<Attached>,
}

impl Layout {
    /// Number of pages.
    #[cfg(test)]
    pub(crate) const fn count(&self) -> usize {
        self.pages.len()
    }

    /// All that was put on pages.
    #[cfg(test)]
    pub(crate) fn boxes(&self) -> Vec<PlacedBox> {
        let mut out = Vec::new();
        for (page, items) in self.pages.iter().enumerate() {
            for item in items {
                let mut put = |kind, (x, y, width, height), text: Option<(String, f32)>| {
                    let (text, size) = text.unwrap_or((String::new(), f32::INFINITY));
                    out.push(PlacedBox { page, kind, x, y, width, height, text, size });
                };
                let area = (item.x, item.y, item.width, item.height);
                match &item.what {
                    What::Words(line) => put(Kind::Text, area, Some((line.text(), line.size))),
                    What::Rule(_) => put(Kind::Rule, area, None),
                    What::Frame(_) => put(Kind::Frame, area, None),
                    What::Picture(drawing) => {
                        put(Kind::Chart, area, None);
                        let (across, down) = (item.width / drawing.size().0, item.height / drawing.size().1);
                        for label in drawing.labels() {
                            let (x, y, width, height) = label.area;
                            let area =
                                (item.x + x * across, item.y + y * down, width * across, height * down);
                            put(Kind::Label, area, Some((label.text, label.size * across.min(down))));
                        }
                    }
                }
            }
        }
        out
    }
}

/// Puts a document on pages.
///
/// # Errors
/// A letter that no font has, a chart that cannot be read, a row higher than a page.
pub(crate) fn layout(document: &Document, paper: Paper, fonts: &Fonts) -> Result<Layout, String> {
    let setter = Setter::new(fonts)?;
    let (left, top, right, bottom) = paper.inside();
    let column = Column { x: left, width: right - left, inside: false };
    let foot = setter.lines(&Text::from(document.foot.as_str()), SMALL, 0.8 * column.width)?;
    let foot_height: f32 = foot.iter().map(leading).sum::<f32>() + 10.0;
    let page = bottom - foot_height - top;
    let mut builder =
        Builder { setter: &setter, tree: Tree::new(), frames: Vec::new(), heads: Vec::new(), page };
    let mut strips = builder.title(&document.title, column)?;
    strips.append(&mut builder.blocks(&document.blocks, column, 0)?);
    let Builder { tree, frames, heads, .. } = builder;
    let mut pages = balanced(&strips, &heads, &frames, top, page)?;
    let count = pages.len();
    for (at, items) in pages.iter_mut().enumerate() {
        let mut y = bottom - foot_height + 10.0;
        items.push(rule(left, y - 3.0, column.width, 0.4, BLACK));
        let number = Text::from(format!("page {} of {count}", at + 1));
        for line in setter.lines(&number, SMALL, 0.2 * column.width)? {
            let x = right - line.width;
            items.push(words(line, x, y, None));
        }
        for line in foot.clone() {
            let step = leading(&line);
            items.push(words(line, left, y, None));
            y += step;
        }
    }
    Ok(Layout { title: document.title.clone(), paper, pages, tree, attached: document.attached.clone() })
}

/// Puts strips on pages, and where the last would be more than half blank, gives it some of the page before, so that the emptier of
/// the two is as full as can be.
fn balanced(
    strips: &[Strip],
    heads: &[Strip],
    frames: &[Frame],
    top: f32,
    room: f32,
) -> Result<Vec<Vec<Item>>, String> {
    /// Share of a page that is no longer mostly blank.
    const HALF: f32 = 0.5;
    let put = |short| paginate(strips, heads, frames, (top, room), short);
    let emptier = |pages: &[Page]| pages.iter().rev().take(2).map(|page| page.height).fold(room, f32::min);
    let mut best = put(None)?;
    let count = best.len();
    for hundredths in (30..100_u8).rev().step_by(2) {
        if count < 2 || emptier(&best) >= HALF * room {
            break;
        }
        let pages = put(Some((count - 2, room * f32::from(hundredths) / 100.0)))?;
        if pages.len() == count && emptier(&pages) > emptier(&best) {
            best = pages;
        }
    }
    Ok(best.into_iter().map(|page| page.items).collect())
}

/// A page that is filled.
struct Page {
    items: Vec<Item>,
    /// How far down, points.
    height: f32,
}

/// Puts strips on pages whose inside begins at `top` and is `room` high, one of them less high where it is said. What is bound
/// together stays together if a page can hold it.
fn paginate(
    strips: &[Strip],
    heads: &[Strip],
    frames: &[Frame],
    (top, room): (f32, f32),
    short: Option<(usize, f32)>,
) -> Result<Vec<Page>, String> {
    let mut pages: Vec<Page> = Vec::new();
    let room_of = |page: usize| short.filter(|(at, _)| *at == page).map_or(room, |(_, room)| room);
    let ended = |sheet: Sheet| Page { height: sheet.y - top, items: sheet.items };
    let fresh = || Sheet { y: top, ..Sheet::default() };
    let mut sheet = fresh();
    let head = |strip: &Strip| strip.head.and_then(|at| heads.get(at));
    for chain in strips.chunk_by(|before, _| before.glue) {
        let height = |chain: &[Strip], started: bool| {
            let first = chain.first();
            let above =
                first.map_or(0.0, |s| if started { s.before } else { head(s).map_or(0.0, |h| h.height) });
            let inner: f32 = chain.iter().skip(1).map(|s| s.before).sum();
            above + inner + chain.iter().map(|s| s.height).sum::<f32>()
        };
        // A chain that no page can hold is put strip by strip.
        let parts: Vec<&[Strip]> =
            if height(chain, false) <= room { vec![chain] } else { chain.chunks(1).collect() };
        for part in parts {
            if sheet.started && sheet.y + height(part, true) > top + room_of(pages.len()) + 0.01 {
                sheet.close(frames);
                pages.push(ended(std::mem::replace(&mut sheet, fresh())));
            }
            if height(part, sheet.started) > room + 0.01 {
                return Err(
                    "a piece of the document is higher than a page; its texts must be shorter".to_owned()
                );
            }
            for strip in part {
                if !sheet.started
                    && let Some(head) = head(strip)
                {
                    let mut head = head.clone();
                    head.items = head.items.into_iter().map(Item::unheard).collect();
                    sheet.put(&head, frames);
                }
                sheet.put(strip, frames);
            }
        }
    }
    sheet.close(frames);
    pages.push(ended(sheet));
    Ok(pages)
}
