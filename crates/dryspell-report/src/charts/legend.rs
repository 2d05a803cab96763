//! What the signs of a picture mean, and the bars that several of them share.

use dryspell::reliability::periods::DayState;

use crate::setting::paper::{Anchor, Area, INK, Lean, Paper, Pen, SMALL, WHITE, area, pen};
use crate::setting::words::width;

/// Look of a bar.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bar {
    /// Its fill.
    pub(super) fill: &'static str,
    /// Its hatch.
    pub(super) hatch: Option<Lean>,
}

impl Bar {
    /// Draws it.
    pub(super) fn draw(self, paper: &mut Paper, area: Area) {
        paper.rect(area, self.fill, None);
        if let Some(lean) = self.hatch {
            paper.hatch(area, 3.0, lean, pen(INK, 0.6));
        }
        paper.rect(area, "none", Some(pen(INK, 0.5)));
    }
}

/// A sign of the legend.
#[derive(Debug, Clone, Copy)]
pub(super) enum Sign {
    /// A bar.
    Bar(Bar),
    /// A line.
    Line(Pen),
    /// A day of the calendar.
    Day(DayState),
    /// A mark of the strip of days.
    Mark(DayState),
    /// A dot.
    Dot,
}

/// Writes signs and their meanings from left to right, as many lines as they need; returns where the next line would be.
pub(super) fn legend(paper: &mut Paper, (left, top): (f64, f64), room: f64, items: &[(Sign, String)]) -> f64 {
    const SIGN: f64 = 16.0;
    const LINE: f64 = 11.5;
    let (mut x, mut y) = (left, top);
    for (sign, text) in items {
        let wide = SIGN + 4.0 + width(text, SMALL, false) + 12.0;
        if x > left && x + wide - 12.0 > left + room {
            x = left;
            y += LINE;
        }
        let place = area(x, y - 6.0, SIGN, 7.0);
        match sign {
            Sign::Bar(bar) => bar.draw(paper, place),
            Sign::Line(pen) => paper.line((x, y - 2.5), (x + SIGN, y - 2.5), *pen),
            Sign::Day(state) => day(paper, area(x + 4.0, y - 7.0, 9.0, 9.0), *state),
            Sign::Mark(state) => {
                paper.rect(area(x, y - 6.0, SIGN, 8.0), WHITE, Some(pen("#9a9a9a", 0.4)));
                mark(paper, area(x + 7.0, y - 6.0, 2.5, 8.0), *state);
            }
            Sign::Dot => paper.circle((x + 8.0, y - 2.5), 3.0, INK, None),
        }
        paper.words((x + SIGN + 4.0, y), SMALL, Anchor::Start, text);
        x += wide;
    }
    y + LINE
}

/// One day as a square: a dot, an empty square, a half-black one, a black one.
pub(super) fn day(paper: &mut Paper, place: Area, state: DayState) {
    let Area { x, y, width: w, height: h } = place;
    match state {
        DayState::NoStock => paper.circle((x + 0.5 * w, y + 0.5 * h), 0.8, "#8a8a8a", None),
        DayState::Served => paper.rect(place, WHITE, Some(pen("#9a9a9a", 0.5))),
        DayState::PartlyShort => {
            paper.rect(place, WHITE, Some(pen(INK, 0.6)));
            paper.shape(&[(x, y), (x + w, y + h), (x, y + h)], INK, None);
        }
        DayState::NothingServed => paper.rect(place, INK, Some(pen(INK, 0.6))),
    }
}

/// One day in a strip: nothing, a bar of half the height, a bar of the whole height.
pub(super) fn mark(paper: &mut Paper, place: Area, state: DayState) {
    let half = 0.5 * place.height;
    match state {
        DayState::NoStock | DayState::Served => {}
        DayState::PartlyShort => paper.rect(area(place.x, place.y + half, place.width, half), INK, None),
        DayState::NothingServed => paper.rect(place, INK, None),
    }
}
