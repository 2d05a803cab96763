//! Tables: columns as wide as their contents ask for, cells that wrap, rows that are never cut.

use super::blocks::{BLACK, Builder, Column, GREY, SMALL, leading, rule, words};
use super::strip::{Strip, glue};
use super::tree::Role;
use crate::model::{Align, Table, Text};

/// Size of the letters, space left and right in a cell, and width from which on a word may be broken, points: the first
/// that lets the table fit.
const SIZES: [Size; 4] = [
    Size { letters: SMALL, side: 4.0, word: 110.0 },
    Size { letters: 7.5, side: 3.0, word: 90.0 },
    Size { letters: SMALL, side: 2.5, word: 70.0 },
    Size { letters: 6.5, side: 2.0, word: 50.0 },
];

/// How the cells of a table are set.
#[derive(Debug, Clone, Copy)]
struct Size {
    letters: f32,
    side: f32,
    word: f32,
}

/// Space above and below in a cell, points.
const ABOVE: f32 = 1.4;
/// What a column gets beyond its contents when the page has room, points.
const LOOSE: f32 = 22.0;

impl Builder<'_> {
    /// A table.
    pub(super) fn table(
        &mut self,
        table: &Table,
        column: Column,
        parent: usize,
    ) -> Result<Vec<Strip>, String> {
        let node = self.tree.add(parent, Role::Table);
        let mut out = Vec::new();
        if !table.title.is_empty() {
            let caption = self.tree.add(node, Role::Caption);
            out = self.text(&Text::strong(table.title.as_str()), BODY_TITLE, column, caption)?;
            glue(&mut out, true);
        }
        let heads: Vec<Text> = table.columns.iter().map(|(name, _)| Text::strong(name.as_str())).collect();
        let (size, widths) = self.column_widths(table, &heads, column.width)?;
        let total: f32 = widths.iter().sum();
        let head_node = self.tree.add(node, Role::Head);
        let mut head = self.row(table, &heads, (size, &widths), column.x, (head_node, Role::HeadCell))?;
        head.items.push(rule(column.x, 0.0, total, 0.8, BLACK));
        head.items.push(rule(column.x, head.height - 0.8, total, 0.8, BLACK));
        head.before = 2.0;
        head.glue = true;
        let head_at = self.heads.len();
        self.heads.push(head.clone());
        let room = self.page - head.height;
        out.push(head);
        let body = self.tree.add(node, Role::Rows);
        let last = table.rows.len().saturating_sub(1);
        for (at, cells) in table.rows.iter().enumerate() {
            let mut row = self.row(table, cells, (size, &widths), column.x, (body, Role::Cell))?;
            if row.height > room {
                return Err(format!(
                    "row {} of the table \"{}\" is higher than a page; its texts must be shorter",
                    at + 1,
                    table.title
                ));
            }
            let (thick, shade) = if at == last { (0.8, BLACK) } else { (0.3, GREY) };
            row.items.push(rule(column.x, row.height - thick, total, thick, shade));
            row.head = Some(head_at);
            // No row alone at the foot or at the top of a page, and the note stays with the last.
            row.glue = last >= 2 && (at == 0 || at + 1 == last) || at == last && !table.note.is_empty();
            out.push(row);
        }
        // A small table is not torn.
        let height: f32 = out.iter().map(|strip| strip.before + strip.height).sum();
        if height < SMALL_TABLE * self.page {
            glue(&mut out, !table.note.is_empty());
        }
        if !table.note.is_empty() {
            let note = self.tree.add(parent, Role::Paragraph);
            let mut strips = self.text(&Text::from(table.note.as_str()), SMALL, column, note)?;
            if let Some(first) = strips.first_mut() {
                first.before = 2.0;
            }
            out.append(&mut strips);
        }
        Ok(out)
    }

    fn row(
        &mut self,
        table: &Table,
        cells: &[Text],
        (size, widths): (Size, &[f32]),
        x: f32,
        (parent, role): (usize, Role),
    ) -> Result<Strip, String> {
        let bottom = role == Role::HeadCell;
        let row = self.tree.add(parent, Role::Row);
        let mut columns = Vec::new();
        for (at, ((cell, width), (_, align))) in cells.iter().zip(widths).zip(&table.columns).enumerate() {
            // Words in the first column name the row.
            let names = !bottom && at == 0 && *align == Align::Left && !cell.0.is_empty();
            let node = self.tree.add(row, if names { Role::RowName } else { role.clone() });
            columns.push((
                self.setter.lines(cell, size.letters, width - 2.0 * size.side)?,
                *width,
                *align,
                node,
            ));
        }
        let height = |lines: &[super::set::Line]| lines.iter().map(leading).sum::<f32>();
        let high = columns.iter().map(|(lines, ..)| height(lines)).fold(0.0, f32::max);
        let mut strip = Strip { height: high + 2.0 * ABOVE, ..Strip::default() };
        let mut left = x;
        for (lines, width, align, node) in columns {
            // Heads stand on their rule; cells hang from the row's upper edge.
            let mut y = ABOVE + if bottom { high - height(&lines) } else { 0.0 };
            for line in lines {
                let start = match align {
                    Align::Left => left + size.side,
                    Align::Right => left + width - size.side - line.width,
                };
                let step = leading(&line);
                strip.items.push(words(line, start, y, Some(node)));
                y += step;
            }
            left += width;
        }
        Ok(strip)
    }

    /// Size of the letters and widths of the columns, in all no wider than `room`.
    fn column_widths(&self, table: &Table, heads: &[Text], room: f32) -> Result<(Size, Vec<f32>), String> {
        let mut out = (SIZES[0], Vec::new());
        for size in SIZES {
            let (mut least, mut cells, mut best) = (Vec::new(), Vec::new(), Vec::new());
            for (at, head) in heads.iter().enumerate() {
                let (mut narrow, mut wide) = (0.0_f32, 0.0_f32);
                for cell in table.rows.iter().filter_map(|row| row.get(at)) {
                    let (longest, whole) = self.setter.widths(cell, size.letters)?;
                    narrow = narrow.max(longest);
                    wide = wide.max(whole);
                }
                let (longest, whole) = self.setter.widths(head, size.letters)?;
                narrow = narrow.max(longest).min(size.word);
                cells.push(wide.max(narrow) + 2.0 * size.side);
                // A head wraps rather than to make a column of short numbers wide.
                wide = wide.max(whole.min(narrow.max(HEAD)));
                least.push(narrow + 2.0 * size.side);
                best.push(wide.max(narrow) + 2.0 * size.side);
            }
            // Heads wrap before cells do.
            let from = if cells.iter().sum::<f32>() <= room { &cells } else { &least };
            out = (size, shared(from, &best, room));
            if least.iter().sum::<f32>() <= room {
                break;
            }
        }
        Ok(out)
    }
}

/// Share of a page below which a table is not torn.
const SMALL_TABLE: f32 = 0.36;

/// Width from which on a head wraps, points.
const HEAD: f32 = 60.0;

/// Size of a table's title, points.
const BODY_TITLE: f32 = 8.5;

/// Shares `room` among columns that need at least `least` and would like to have `best`.
fn shared(least: &[f32], best: &[f32], room: f32) -> Vec<f32> {
    let (needed, liked): (f32, f32) = (least.iter().sum(), best.iter().sum());
    let count = f32::from(u16::try_from(best.len().max(1)).unwrap_or(u16::MAX));
    if liked <= room {
        let loose = ((room - liked) / count).min(LOOSE);
        return best.iter().map(|width| width + loose).collect();
    }
    if needed <= room {
        let share = (room - needed) / (liked - needed);
        return least.iter().zip(best).map(|(least, best)| least + (best - least) * share).collect();
    }
    // Some words must be broken: those of the widest columns. All columns above a common width get that width.
    let mut sorted = least.to_vec();
    sorted.sort_by(f32::total_cmp);
    let (mut left, mut rest) = (room, count);
    let mut limit = room / count;
    for width in sorted {
        limit = left / rest;
        if width > limit {
            break;
        }
        left -= width;
        rest -= 1.0;
    }
    least.iter().map(|width| width.min(limit)).collect()
}

#[cfg(test)]
mod tests {
    use super::shared;

    #[test]
    fn columns_share_the_room() {
        // By hand: 100 left over for 2 columns, at most 22 each.
        assert_eq!(shared(&[10.0, 20.0], &[50.0, 50.0], 200.0), [72.0, 72.0]);
        // Half of what is liked beyond what is needed.
        assert_eq!(shared(&[20.0, 20.0], &[60.0, 20.0], 60.0), [40.0, 20.0]);
        // The narrow column keeps its 10, the wide ones share 90.
        assert_eq!(shared(&[80.0, 10.0, 60.0], &[90.0, 10.0, 90.0], 100.0), [45.0, 10.0, 45.0]);
    }
}
