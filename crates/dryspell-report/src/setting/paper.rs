//! A sheet on which a picture is drawn, in points, and written as SVG.
//!
//! Nothing but plain shapes: no patterns, no clip paths, no style sheet. Every reader of SVG draws them alike.

use std::fmt::Write;

/// Ink of lines and words.
pub(crate) const INK: &str = "#1a1a1a";
/// Ink of what stands back.
pub(crate) const FAINT: &str = "#6b6b6b";
/// Lines of the mesh.
pub(crate) const MESH: &str = "#d9d9d9";
/// Water: light in grey, too.
pub(crate) const WATER: &str = "#bfdcee";
/// Deeper water: dark in grey, too.
pub(crate) const DEEP: &str = "#1d5b8c";
/// Ground.
pub(crate) const GROUND: &str = "#efe9df";
/// White.
pub(crate) const WHITE: &str = "#ffffff";
/// Size of usual words, points.
pub(crate) const WORDS: f64 = 8.0;
/// Size of the smallest words, points.
pub(crate) const SMALL: f64 = 7.5;

/// A line's look.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pen {
    /// Colour.
    pub(crate) colour: &'static str,
    /// Width, points.
    pub(crate) width: f64,
    /// Dashes and gaps, points; empty for a full line.
    pub(crate) dashes: &'static str,
}

/// A full line.
pub(crate) const fn pen(colour: &'static str, width: f64) -> Pen {
    Pen { colour, width, dashes: "" }
}

/// A broken line.
pub(crate) const fn dashed(colour: &'static str, width: f64, dashes: &'static str) -> Pen {
    Pen { colour, width, dashes }
}

/// Where words stand against their point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Anchor {
    /// They begin there.
    Start,
    /// Their middle is there.
    Middle,
    /// They end there.
    End,
}

/// A box.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Area {
    /// Left edge.
    pub(crate) x: f64,
    /// Upper edge.
    pub(crate) y: f64,
    /// Width.
    pub(crate) width: f64,
    /// Height.
    pub(crate) height: f64,
}

/// A box by its left upper corner and size.
pub(crate) const fn area(x: f64, y: f64, width: f64, height: f64) -> Area {
    Area { x, y, width, height }
}

/// Direction of a hatch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Lean {
    /// From the left lower to the right upper corner.
    Right,
    /// From the left upper to the right lower corner.
    Left,
}

/// The sheet.
#[derive(Debug)]
pub(crate) struct Paper {
    width: u32,
    height: u32,
    body: String,
}

impl Paper {
    /// An empty sheet.
    pub(crate) const fn new(width: u32, height: u32) -> Self {
        Self { width, height, body: String::new() }
    }

    /// Its size.
    pub(crate) const fn size(&self) -> (u32, u32) {
        (self.width, self.height)
    }

    /// A sheet of this size with what was drawn on this one: for pictures whose height is known only at the end.
    pub(crate) fn cut_to(mut self, height: f64) -> Self {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "points of a page")]
        let height = height.ceil().clamp(1.0, 10_000.0) as u32;
        self.height = height;
        self
    }

    /// Lays another sheet over this one.
    pub(crate) fn under(mut self, front: &Self) -> Self {
        self.body.push_str(&front.body);
        self.width = self.width.max(front.width);
        self.height = self.height.max(front.height);
        self
    }

    /// The SVG; `alternative` is what it shows, for those who cannot see it.
    pub(crate) fn svg(&self, alternative: &str) -> String {
        let (w, h) = (self.width, self.height);
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}\" height=\"{h}\" viewBox=\"0 0 {w} {h}\" role=\"img\" \
             aria-label=\"{}\" font-family=\"sans-serif\">\n<rect x=\"0\" y=\"0\" width=\"{w}\" height=\"{h}\" \
             fill=\"#ffffff\"/>\n{}</svg>\n",
            escaped(alternative),
            self.body
        )
    }

    /// A straight line.
    pub(crate) fn line(&mut self, from: (f64, f64), to: (f64, f64), pen: Pen) {
        let _ = writeln!(
            self.body,
            "<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"{}/>",
            n(from.0),
            n(from.1),
            n(to.0),
            n(to.1),
            stroke(Some(pen))
        );
    }

    /// A line through points.
    pub(crate) fn path(&mut self, points: &[(f64, f64)], pen: Pen) {
        if points.len() > 1 {
            let _ = writeln!(
                self.body,
                "<polyline points=\"{}\" fill=\"none\"{}/>",
                list(points),
                stroke(Some(pen))
            );
        }
    }

    /// A filled shape.
    pub(crate) fn shape(&mut self, points: &[(f64, f64)], fill: &str, pen: Option<Pen>) {
        if points.len() > 2 {
            let _ =
                writeln!(self.body, "<polygon points=\"{}\" fill=\"{fill}\"{}/>", list(points), stroke(pen));
        }
    }

    /// A rectangle; `fill` may be `none`.
    pub(crate) fn rect(&mut self, area: Area, fill: &str, pen: Option<Pen>) {
        let _ = writeln!(
            self.body,
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{fill}\"{}/>",
            n(area.x),
            n(area.y),
            n(area.width.max(0.0)),
            n(area.height.max(0.0)),
            stroke(pen)
        );
    }

    /// A circle.
    pub(crate) fn circle(&mut self, middle: (f64, f64), radius: f64, fill: &str, pen: Option<Pen>) {
        let _ = writeln!(
            self.body,
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"{fill}\"{}/>",
            n(middle.0),
            n(middle.1),
            n(radius),
            stroke(pen)
        );
    }

    /// Slanting lines over a rectangle, cut at its edges.
    pub(crate) fn hatch(&mut self, area: Area, gap: f64, lean: Lean, pen: Pen) {
        let (w, h) = (area.width, area.height);
        if w <= 0.0 || h <= 0.0 {
            return;
        }
        let mut path = String::new();
        // A line of slope 1 that crosses the lower edge at `at`, beginning left of the box.
        let mut at = gap * 0.5 - h;
        while at < w {
            let (x0, x1) = (at.max(0.0), (at + h).min(w));
            if x1 > x0 {
                let (y0, y1) = (h - (x0 - at), h - (x1 - at));
                let (ax, bx) = match lean {
                    Lean::Right => (x0, x1),
                    Lean::Left => (w - x0, w - x1),
                };
                let _ = write!(
                    path,
                    "M{} {}L{} {}",
                    n(area.x + ax),
                    n(area.y + y0),
                    n(area.x + bx),
                    n(area.y + y1)
                );
            }
            at += gap;
        }
        if !path.is_empty() {
            let _ = writeln!(self.body, "<path d=\"{path}\" fill=\"none\"{}/>", stroke(Some(pen)));
        }
    }

    /// Words on one line; the point is on their base line.
    pub(crate) fn words(&mut self, at: (f64, f64), size: f64, anchor: Anchor, text: &str) {
        self.set(at, size, anchor, INK, "", "", text);
    }

    /// The same in bold.
    pub(crate) fn bold(&mut self, at: (f64, f64), size: f64, anchor: Anchor, text: &str) {
        self.set(at, size, anchor, INK, " font-weight=\"bold\"", "", text);
    }

    /// The same in a colour.
    pub(crate) fn tinted(&mut self, at: (f64, f64), size: f64, anchor: Anchor, colour: &str, text: &str) {
        self.set(at, size, anchor, colour, "", "", text);
    }

    /// Words that run upwards.
    pub(crate) fn upwards(&mut self, at: (f64, f64), size: f64, anchor: Anchor, text: &str) {
        let turn = format!(" transform=\"rotate(-90 {} {})\"", n(at.0), n(at.1));
        self.set(at, size, anchor, INK, "", &turn, text);
    }

    #[expect(clippy::too_many_arguments, reason = "the one place where words are written")]
    fn set(
        &mut self,
        at: (f64, f64),
        size: f64,
        anchor: Anchor,
        colour: &str,
        weight: &str,
        turn: &str,
        text: &str,
    ) {
        if text.trim().is_empty() {
            return;
        }
        let anchor = match anchor {
            Anchor::Start => "",
            Anchor::Middle => " text-anchor=\"middle\"",
            Anchor::End => " text-anchor=\"end\"",
        };
        let _ = writeln!(
            self.body,
            "<text x=\"{}\" y=\"{}\" font-size=\"{}\" fill=\"{colour}\"{anchor}{weight}{turn}>{}</text>",
            n(at.0),
            n(at.1),
            n(size),
            escaped(text.trim())
        );
    }
}

fn stroke(pen: Option<Pen>) -> String {
    let Some(pen) = pen else { return String::new() };
    let dashes =
        if pen.dashes.is_empty() { String::new() } else { format!(" stroke-dasharray=\"{}\"", pen.dashes) };
    format!(" stroke=\"{}\" stroke-width=\"{}\"{dashes}", pen.colour, n(pen.width))
}

fn list(points: &[(f64, f64)]) -> String {
    let mut out = String::new();
    for (x, y) in points {
        if !out.is_empty() {
            out.push(' ');
        }
        let _ = write!(out, "{},{}", n(*x), n(*y));
    }
    out
}

/// A length to the hundredth of a point. What is no number would make the picture unreadable: it stands at 0.
fn n(value: f64) -> String {
    let value = if value.is_finite() { value } else { 0.0 };
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Text as it may stand in an element or attribute. Control characters have no place in XML.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}
