//! Blocks of the document to strips.

use super::beside::side_by_side;
use super::chart::drawing;
use super::set::{Line, Setter};
use super::strip::{Frame, Item, Look, Strip, What, glue, together};
use super::tree::{Role, Tree};
use crate::model::{Block, Chart, Text};

/// Sizes of letters, points.
pub(super) const BODY: f32 = 8.0;
pub(super) const SMALL: f32 = 7.5;
const ANSWER: f32 = 10.5;
const HEADING: f32 = 10.0;
const INNER_HEADING: f32 = 8.5;
const TITLE: f32 = 15.0;
/// Distance of base lines, in sizes.
const LEADING: f32 = 1.15;
/// Space between blocks, points.
const GAP: f32 = 4.0;
/// Space between columns side by side, points.
const GUTTER: f32 = 16.0;
/// Inner margin of frames, points.
const PADDING: f32 = 6.0;

/// Black, and the grey of fine rules.
pub(super) const BLACK: u8 = 0;
pub(super) const GREY: u8 = 150;

/// What gathers while blocks become strips.
pub(super) struct Builder<'a> {
    /// Sets the text.
    pub(super) setter: &'a Setter<'a>,
    /// Parts of the document.
    pub(super) tree: Tree,
    /// Frames that strips ask for.
    pub(super) frames: Vec<Frame>,
    /// Heads of tables.
    pub(super) heads: Vec<Strip>,
    /// Height of a page's inside, points.
    pub(super) page: f32,
}

/// A column to be filled.
#[derive(Debug, Clone, Copy)]
pub(super) struct Column {
    /// Left edge, points.
    pub(super) x: f32,
    /// Width, points.
    pub(super) width: f32,
    /// Whether others given as well as it.
    pub(super) inside: bool,
}

/// Puts a line at a place. Its box is as high as its letters.
pub(super) fn words(line: Line, x: f32, y: f32, node: Option<usize>) -> Item {
    let (width, height) = (line.width, line.ascent + line.descent);
    Item { x, y, width, height, what: What::Words(line), node }
}

/// A rule.
pub(super) const fn rule(x: f32, y: f32, width: f32, thick: f32, shade: u8) -> Item {
    Item { x, y, width, height: thick, what: What::Rule(shade), node: None }
}

/// Height that a line takes.
pub(super) fn leading(line: &Line) -> f32 {
    (line.size * LEADING).max(line.ascent + line.descent)
}

impl Builder<'_> {
    /// Title of the document.
    pub(super) fn title(&mut self, title: &str, column: Column) -> Result<Vec<Strip>, String> {
        let node = self.tree.add(0, Role::Title(title.to_owned()));
        let mut strips = self.text(&Text::strong(title), TITLE, column, node)?;
        let under = rule(column.x, 3.0, column.width, 1.2, BLACK);
        strips.push(Strip { height: 4.2, items: vec![under], ..Strip::default() });
        glue(&mut strips, true);
        Ok(strips)
    }

    /// Text in a column: a strip a line, the first two and the last two together.
    pub(super) fn text(
        &self,
        text: &Text,
        size: f32,
        column: Column,
        node: usize,
    ) -> Result<Vec<Strip>, String> {
        let mut strips: Vec<Strip> = self
            .setter
            .lines(text, size, column.width)?
            .into_iter()
            .map(|line| Strip {
                height: leading(&line),
                items: vec![words(line, column.x, 0.0, Some(node))],
                ..Strip::default()
            })
            .collect();
        together(&mut strips);
        Ok(strips)
    }

    /// Strips of blocks, one below the other.
    pub(super) fn blocks(
        &mut self,
        blocks: &[Block],
        column: Column,
        parent: usize,
    ) -> Result<Vec<Strip>, String> {
        let mut out: Vec<Strip> = Vec::new();
        for block in blocks {
            let mut strips = self.block(block, column, parent)?;
            let gap = match block {
                Block::Heading(_) => 2.2 * GAP,
                Block::Table(_) | Block::Chart(_) | Block::Beside(_) => 1.6 * GAP,
                _ => GAP,
            };
            if let Some(first) = strips.first_mut() {
                first.before = gap;
            }
            out.append(&mut strips);
        }
        Ok(out)
    }

    fn block(&mut self, block: &Block, column: Column, parent: usize) -> Result<Vec<Strip>, String> {
        match block {
            Block::Heading(title) => {
                let node = self.tree.add(parent, Role::Heading(title.clone(), column.inside));
                let size = if column.inside { INNER_HEADING } else { HEADING };
                let mut strips = self.text(&Text::strong(title.as_str()), size, column, node)?;
                if !column.inside {
                    let under = rule(column.x, 1.5, column.width, 0.5, BLACK);
                    strips.push(Strip { height: 2.0, items: vec![under], ..Strip::default() });
                }
                glue(&mut strips, true);
                Ok(strips)
            }
            Block::Paragraph(text) => {
                let node = self.tree.add(parent, Role::Paragraph);
                self.text(text, BODY, column, node)
            }
            Block::Fine(text) => {
                let node = self.tree.add(parent, Role::Paragraph);
                self.text(text, SMALL, column, node)
            }
            Block::Answer(text) => self.framed(text, ANSWER, Look::Line, column, parent),
            Block::Notice(text) => self.framed(text, BODY, Look::Edge, column, parent),
            Block::List(points) => self.list(points, false, column, parent),
            Block::Ticks(points) => self.list(points, true, column, parent),
            Block::Facts(facts) => self.facts(facts, column, parent),
            Block::Table(table) => self.table(table, column, parent),
            Block::Chart(chart) => self.chart(chart, column, parent),
            Block::Beside(columns) => self.beside(columns, column, parent),
            Block::Blanks(labels) => self.blanks(labels, column, parent),
        }
    }

    fn framed(
        &mut self,
        text: &Text,
        size: f32,
        look: Look,
        column: Column,
        parent: usize,
    ) -> Result<Vec<Strip>, String> {
        let node = self.tree.add(parent, Role::Paragraph);
        let left = if look == Look::Edge { PADDING + 3.0 } else { PADDING };
        let inner = Column { x: column.x + left, width: column.width - left - PADDING, ..column };
        let space = || Strip { height: PADDING, ..Strip::default() };
        let mut strips = vec![space()];
        strips.append(&mut self.text(text, size, inner, node)?);
        strips.push(space());
        let height: f32 = strips.iter().map(|s| s.height).sum();
        let frame = self.frames.len();
        self.frames.push(Frame { x: column.x, width: column.width, look });
        for strip in &mut strips {
            strip.frame = Some(frame);
        }
        if height < 0.5 * self.page {
            glue(&mut strips, false);
        } else {
            together(&mut strips);
        }
        Ok(strips)
    }

    /// Points with a bullet, or small ones with a box to tick.
    fn list(
        &mut self,
        points: &[Text],
        ticks: bool,
        column: Column,
        parent: usize,
    ) -> Result<Vec<Strip>, String> {
        const INDENT: f32 = 10.0;
        /// Side of a box to tick.
        const BOX: f32 = 5.5;
        let size = if ticks { SMALL } else { BODY };
        let list = self.tree.add(parent, Role::List);
        let inner = Column { x: column.x + INDENT, width: column.width - INDENT, ..column };
        let mut out = Vec::new();
        for point in points {
            let entry = self.tree.add(list, Role::Entry);
            // A box to tick says nothing to those who listen.
            let label = (!ticks).then(|| self.tree.add(entry, Role::Label));
            let body = self.tree.add(entry, Role::Body);
            let mut strips = self.text(point, size, inner, body)?;
            if let Some(first) = strips.first_mut() {
                first.before = 1.0;
                if ticks {
                    let what = What::Frame(Look::Line);
                    let (x, y) = (column.x + 1.0, 0.5 * (first.height - BOX));
                    first.items.insert(0, Item { x, y, width: BOX, height: BOX, what, node: None });
                } else {
                    let bullet = self.setter.lines(&Text::from("•"), size, INDENT)?;
                    let bullets = bullet.into_iter().map(|line| words(line, column.x + 1.0, 0.0, label));
                    first.items.splice(0..0, bullets);
                }
            }
            out.append(&mut strips);
        }
        Ok(out)
    }

    fn facts(
        &mut self,
        facts: &[(String, Text)],
        column: Column,
        parent: usize,
    ) -> Result<Vec<Strip>, String> {
        const BETWEEN: f32 = 8.0;
        let list = self.tree.add(parent, Role::Names);
        let mut names = 0.0_f32;
        for (name, _) in facts {
            names = names.max(self.setter.widths(&Text::from(name.as_str()), BODY)?.1);
        }
        let names = names.min(0.42 * column.width);
        let values =
            Column { x: column.x + names + BETWEEN, width: column.width - names - BETWEEN, ..column };
        let mut out = Vec::new();
        for (name, value) in facts {
            let entry = self.tree.add(list, Role::Entry);
            let label = self.tree.add(entry, Role::Label);
            let body = self.tree.add(entry, Role::Body);
            let name = Text::from(name.as_str());
            let mut left = self.text(&name, BODY, Column { width: names, ..column }, label)?;
            let right = self.text(value, BODY, values, body)?;
            left.resize_with(left.len().max(right.len()), Strip::default);
            for (strip, mut other) in left.iter_mut().zip(right) {
                strip.height = strip.height.max(other.height);
                strip.items.append(&mut other.items);
            }
            together(&mut left);
            if let Some(first) = left.first_mut() {
                first.before = 1.0;
            }
            out.append(&mut left);
        }
        Ok(out)
    }

    fn chart(&mut self, chart: &Chart, column: Column, parent: usize) -> Result<Vec<Strip>, String> {
        let drawing = drawing(chart, self.setter)?;
        let figure = self.tree.add(parent, Role::Figure(chart.alternative.clone()));
        let caption = self.tree.add(figure, Role::Caption);
        let mut strips = self.text(&Text::strong(chart.title.as_str()), BODY, column, caption)?;
        glue(&mut strips, true);
        let (width, height) = drawing.size();
        // A very high chart leaves room for its title and a heading above it.
        let scale = (column.width / width).min(0.8 * self.page / height);
        let (width, height) = (width * scale, height * scale);
        strips.push(Strip {
            before: 2.0,
            height,
            items: vec![Item {
                x: column.x + 0.5 * (column.width - width),
                y: 0.0,
                width,
                height,
                what: What::Picture(drawing),
                node: Some(figure),
            }],
            ..Strip::default()
        });
        Ok(strips)
    }

    fn beside(
        &mut self,
        columns: &[Vec<Block>],
        column: Column,
        parent: usize,
    ) -> Result<Vec<Strip>, String> {
        let count = f32::from(u16::try_from(columns.len().max(1)).unwrap_or(u16::MAX));
        let width = (column.width - GUTTER * (count - 1.0)) / count;
        let before = (self.tree.clone(), self.frames.len(), self.heads.len());
        let mut stacks = Vec::new();
        let mut x = column.x;
        for blocks in columns {
            stacks.push(self.blocks(blocks, Column { x, width, inside: true }, parent)?);
            x += width + GUTTER;
        }
        let strips = side_by_side(&stacks, &self.frames);
        if strips.iter().map(|s| s.height).sum::<f32>() <= 0.9 * self.page {
            return Ok(strips);
        }
        // Too high to stand side by side on one page: one below the other.
        self.tree = before.0;
        self.frames.truncate(before.1);
        self.heads.truncate(before.2);
        let mut out = Vec::new();
        for blocks in columns {
            out.append(&mut self.blocks(blocks, column, parent)?);
        }
        Ok(out)
    }

    fn blanks(&mut self, labels: &[String], column: Column, parent: usize) -> Result<Vec<Strip>, String> {
        let mut widest = 0.0_f32;
        for label in labels {
            widest = widest.max(self.setter.widths(&Text::from(label.as_str()), BODY)?.1);
        }
        let widest = widest.min(0.45 * column.width);
        let mut out = Vec::new();
        for label in labels {
            let node = self.tree.add(parent, Role::Paragraph);
            let inner = Column { width: widest, ..column };
            let mut strips = self.text(&Text::from(label.as_str()), BODY, inner, node)?;
            glue(&mut strips, false);
            if let Some(first) = strips.first_mut() {
                first.before = 14.0;
            }
            if let Some(last) = strips.last_mut() {
                let x = column.x + widest + 6.0;
                last.items.push(rule(x, last.height - 2.0, column.width - widest - 6.0, 0.5, BLACK));
            }
            out.append(&mut strips);
        }
        // A block to be signed is not torn.
        let height: f32 = out.iter().map(|s| s.before + s.height).sum();
        if height < 0.5 * self.page {
            glue(&mut out, false);
        }
        Ok(out)
    }
}
