//! Columns side by side.

use super::sheet::stack;
use super::strip::{Frame, Strip};

/// Strips of columns as strips over the full width: a page may end where all columns have come to the end of a line.
pub(super) fn side_by_side(columns: &[Vec<Strip>], frames: &[Frame]) -> Vec<Strip> {
    /// Lines end together that end within so many points.
    const TOGETHER: f32 = 3.5;
    /// Fewest strips of a column above and below a cut: a heading with a line or two is not left alone.
    const FEWEST: usize = 3;
    let ends: Vec<Vec<(usize, f32)>> = columns.iter().map(|strips| line_ends(strips)).collect();
    let mut taken = vec![0; columns.len()];
    let mut top = 0.0;
    let mut out = Vec::new();
    let mut piece = |taken: &mut Vec<usize>, upto: &[usize]| {
        let mut all = Strip::default();
        for (column, (from, to)) in columns.iter().zip(taken.iter().zip(upto)) {
            let (mut items, height) = stack(&column[*from..*to], frames);
            // The space above is lost at the top of a page; between pieces it is kept.
            all.before = all.before.max(column[*from..*to].first().map_or(0.0, |s| s.before));
            all.height = all.height.max(height);
            all.items.append(&mut items);
        }
        taken.clone_from(&upto.to_vec());
        out.push(all);
    };
    for (at, y) in ends.first().into_iter().flatten() {
        let near =
            |ends: &Vec<(usize, f32)>| ends.iter().find(|(_, e)| (e - y).abs() <= TOGETHER).map(|(i, _)| *i);
        let upto: Option<Vec<usize>> =
            std::iter::once(Some(*at)).chain(ends.iter().skip(1).map(near)).collect();
        let far = |(column, at): (&Vec<Strip>, &usize)| *at >= FEWEST && at + FEWEST <= column.len();
        if let Some(upto) = upto.filter(|upto| columns.iter().zip(upto).all(far))
            && *y > top
        {
            piece(&mut taken, &upto);
            top = *y;
        }
    }
    let all: Vec<usize> = columns.iter().map(Vec::len).collect();
    if taken != all {
        piece(&mut taken, &all);
    }
    out
}

/// After which strips a column may be cut, as their number and the height used up to there.
fn line_ends(strips: &[Strip]) -> Vec<(usize, f32)> {
    let mut y = 0.0;
    let mut ends = Vec::new();
    for (at, pair) in strips.windows(2).enumerate() {
        let [strip, next] = pair else { continue };
        y += strip.height + if at == 0 { 0.0 } else { strip.before };
        let framed = strip.frame.is_some() && strip.frame == next.frame;
        // A table's rows ask for its head on the next page: it is not cut here.
        if !strip.glue && !framed && next.head.is_none() {
            ends.push((at + 1, y));
        }
    }
    ends
}
