//! Charts on a page: the SVG that serves every form of the document, read once and drawn with the fonts of the PDF.
//!
//! The charts are plain: paths of one colour and text. What else an SVG may hold is refused, not left out.

use std::sync::Arc;

use krilla::color::{luma, rgb};
use krilla::geom::{Path, PathBuilder, Point, Transform};
use krilla::num::NormalizedF32;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Paint, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{GlyphId, KrillaGlyph};
use usvg::layout::PositionedGlyph;
use usvg::tiny_skia_path::PathSegment;
use usvg::{FontResolver, Group, Node, Options, Tree, fontdb, roxmltree};

use super::fonts::Fonts;
use super::set::Setter;
use crate::model::Chart;

/// A chart that was read.
#[derive(Debug)]
pub(super) struct Drawing {
    name: &'static str,
    tree: Tree,
}

/// Words of a chart and their box in the chart's units.
#[cfg(test)]
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Label {
    /// The words.
    pub(super) text: String,
    /// Left edge, upper edge, width and height of their ink.
    pub(super) area: (f32, f32, f32, f32),
    /// Size of the smallest of its letters.
    pub(super) size: f32,
}

impl Drawing {
    /// Reads a chart.
    pub(super) fn read(chart: &Chart, setter: &Setter<'_>) -> Result<Self, String> {
        let wrong = |what: String| format!("the chart \"{}\" cannot be drawn: {what}", chart.name);
        let document = roxmltree::Document::parse(&chart.svg).map_err(|e| wrong(e.to_string()))?;
        // Letters that no font has would be left out without a word.
        for words in document.descendants().filter(|n| n.is_text()) {
            if words.ancestors().any(|n| n.has_tag_name("text")) {
                setter.check(words.text().unwrap_or_default())?;
            }
        }
        let options = Options {
            font_family: "sans-serif".to_owned(),
            font_resolver: resolver(setter.fonts()),
            fontdb: setter.fonts().database(),
            ..Options::default()
        };
        let tree = Tree::from_xmltree(&document, &options).map_err(|e| wrong(e.to_string()))?;
        plain(tree.root()).map_err(|what| wrong(format!("{what} is not known here")))?;
        Ok(Self { name: chart.name, tree })
    }

    /// Its width and height, in its own units.
    pub(super) fn size(&self) -> (f32, f32) {
        (self.tree.size().width(), self.tree.size().height())
    }

    /// Its words.
    #[cfg(test)]
    pub(super) fn labels(&self) -> Vec<Label> {
        let mut out = Vec::new();
        labels(self.tree.root(), &mut out);
        out
    }

    /// Draws it in a box.
    pub(super) fn draw(
        &self,
        surface: &mut Surface<'_>,
        fonts: &Fonts,
        at: (f32, f32),
        to: (f32, f32),
    ) -> Result<(), String> {
        let (width, height) = self.size();
        surface.push_transform(&Transform::from_row(to.0 / width, 0.0, 0.0, to.1 / height, at.0, at.1));
        let done = group(self.tree.root(), surface, fonts);
        surface.pop();
        done.map_err(|what| format!("the chart \"{}\" cannot be drawn: {what}", self.name))
    }
}

/// Whatever family a chart asks for, it is set in the fonts of the document.
fn resolver(fonts: &Fonts) -> FontResolver<'static> {
    let faces: Vec<(fontdb::ID, bool)> = fonts.faces().iter().map(|face| (face.id, face.bold)).collect();
    let others = faces.clone();
    FontResolver {
        select_font: Box::new(move |font, _| {
            let bold = font.weight() >= 600;
            faces.iter().find(|(_, b)| *b == bold).or(faces.first()).map(|(id, _)| *id)
        }),
        select_fallback: Box::new(move |letter, tried, database| {
            let mut fitting = others.iter().filter(|(id, _)| {
                !tried.contains(id)
                    && database
                        .with_face_data(*id, |data, index| {
                            rustybuzz::ttf_parser::Face::parse(data, index)
                                .is_ok_and(|face| face.glyph_index(letter).is_some())
                        })
                        .unwrap_or(false)
            });
            fitting.next().map(|(id, _)| *id)
        }),
    }
}

/// Refuses what is not drawn here.
fn plain(group: &Group) -> Result<(), &'static str> {
    if group.clip_path().is_some() {
        return Err("a clip path");
    }
    if group.mask().is_some() {
        return Err("a mask");
    }
    if !group.filters().is_empty() {
        return Err("a filter");
    }
    if group.blend_mode() != usvg::BlendMode::Normal {
        return Err("a blend mode");
    }
    let paint = |paint: Option<&usvg::Paint>| match paint {
        None | Some(usvg::Paint::Color(_)) => Ok(()),
        Some(usvg::Paint::Pattern(_)) => Err("a pattern"),
        Some(_) => Err("a gradient"),
    };
    for node in group.children() {
        match node {
            Node::Group(inner) => plain(inner)?,
            Node::Path(path) => {
                paint(path.fill().map(usvg::Fill::paint))?;
                paint(path.stroke().map(usvg::Stroke::paint))?;
            }
            Node::Text(text) => {
                for span in text.layouted() {
                    paint(span.fill.as_ref().map(usvg::Fill::paint))?;
                    if span.stroke.is_some() {
                        return Err("text with an outline");
                    }
                }
            }
            Node::Image(_) => return Err("an image"),
        }
    }
    Ok(())
}

#[cfg(test)]
fn labels(group: &Group, out: &mut Vec<Label>) {
    for node in group.children() {
        match node {
            Node::Group(inner) => labels(inner, out),
            Node::Text(text) => {
                let ink = text.flattened().bounding_box();
                // The flattened letters do not know where their text stands.
                let ink = ink.transform(text.abs_transform()).unwrap_or(ink);
                let words = text.chunks().iter().map(usvg::TextChunk::text).collect();
                let spans = text.chunks().iter().flat_map(usvg::TextChunk::spans);
                let size = spans.map(|span| span.font_size().get()).fold(f32::INFINITY, f32::min);
                let area = (ink.x(), ink.y(), ink.width(), ink.height());
                out.push(Label { text: words, area, size });
            }
            Node::Path(_) | Node::Image(_) => {}
        }
    }
}

fn group(inner: &Group, surface: &mut Surface<'_>, fonts: &Fonts) -> Result<(), String> {
    surface.push_transform(&transform(inner.transform()));
    let faint = inner.opacity().get() < 1.0;
    if faint {
        surface.push_opacity(share(inner.opacity().get()));
    }
    let done = inner.children().iter().try_for_each(|node| match node {
        Node::Group(inner) => group(inner, surface, fonts),
        Node::Path(drawn) => {
            path(drawn, surface);
            Ok(())
        }
        Node::Text(words) => text(words, surface, fonts),
        Node::Image(_) => Err("an image".to_owned()),
    });
    if faint {
        surface.pop();
    }
    surface.pop();
    done
}

fn path(drawn: &usvg::Path, surface: &mut Surface<'_>) {
    if !drawn.is_visible() {
        return;
    }
    let (fill, stroke) = (drawn.fill().map(filling), drawn.stroke().map(stroking));
    let Some(outline) = outline(drawn.data()) else { return };
    let mut paint = |fill: Option<Fill>, stroke: Option<Stroke>| {
        // Without either the writer would fill it black.
        if fill.is_some() || stroke.is_some() {
            surface.set_fill(fill);
            surface.set_stroke(stroke);
            surface.draw_path(&outline);
        }
    };
    match drawn.paint_order() {
        usvg::PaintOrder::FillAndStroke => paint(fill, stroke),
        usvg::PaintOrder::StrokeAndFill => {
            paint(None, stroke);
            paint(fill, None);
        }
    }
}

/// Words: letters of one face on one line go into the PDF as one run, so that they can be found there.
fn text(words: &usvg::Text, surface: &mut Surface<'_>, fonts: &Fonts) -> Result<(), String> {
    for span in words.layouted().iter().filter(|span| span.visible) {
        let size = span.font_size.get();
        surface.set_fill(span.fill.as_ref().map(filling));
        surface.set_stroke(None);
        let mut rest = span.positioned_glyphs.as_slice();
        while let Some(first) = rest.first() {
            let face = fonts.faces().iter().find(|face| face.id == first.font).ok_or("a font is missing")?;
            let em = face.font.units_per_em();
            // Where a glyph stands, its scale from font units to the size taken out.
            let place = |glyph: &PositionedGlyph| glyph.transform().pre_scale(em / size, em / size);
            let start = place(first);
            let back = start.invert().ok_or("text without size")?;
            let along = |glyph: &PositionedGlyph| {
                let at = place(glyph);
                let mut point = usvg::tiny_skia_path::Point::from_xy(at.tx, at.ty);
                back.map_point(&mut point);
                (point, (at.sx, at.kx, at.ky, at.sy) == (start.sx, start.kx, start.ky, start.sy))
            };
            let count = rest
                .iter()
                .position(|glyph| {
                    let (_, same) = along(glyph);
                    glyph.font != first.font || !same
                })
                .unwrap_or(rest.len());
            let (run, after) = rest.split_at_checked(count.max(1)).unwrap_or((rest, &[]));
            rest = after;
            let mut letters = String::new();
            let mut glyphs = Vec::new();
            for (at, glyph) in run.iter().enumerate() {
                let (here, _) = along(glyph);
                let advance = run.get(at + 1).map_or(0.0, |next| along(next).0.x - here.x);
                let from = letters.len();
                letters.push_str(&glyph.text);
                glyphs.push(KrillaGlyph::new(
                    GlyphId::new(u32::from(glyph.id.0)),
                    advance / size,
                    0.0,
                    -here.y / size,
                    0.0,
                    from..letters.len(),
                    None,
                ));
            }
            surface.push_transform(&transform(start));
            surface.draw_glyphs(Point::from_xy(0.0, 0.0), &glyphs, face.font.clone(), &letters, size, false);
            surface.pop();
        }
    }
    Ok(())
}

fn outline(data: &usvg::tiny_skia_path::Path) -> Option<Path> {
    let mut to = PathBuilder::new();
    for segment in data.segments() {
        match segment {
            PathSegment::MoveTo(p) => to.move_to(p.x, p.y),
            PathSegment::LineTo(p) => to.line_to(p.x, p.y),
            PathSegment::QuadTo(a, p) => to.quad_to(a.x, a.y, p.x, p.y),
            PathSegment::CubicTo(a, b, p) => to.cubic_to(a.x, a.y, b.x, b.y, p.x, p.y),
            PathSegment::Close => to.close(),
        }
    }
    to.finish()
}

fn transform(t: usvg::Transform) -> Transform {
    Transform::from_row(t.sx, t.ky, t.kx, t.sy, t.tx, t.ty)
}

fn share(value: f32) -> NormalizedF32 {
    NormalizedF32::new(value.clamp(0.0, 1.0)).unwrap_or(NormalizedF32::ONE)
}

/// Only colours are left: [`plain`] has refused the rest.
fn colour(paint: &usvg::Paint) -> Paint {
    match paint {
        usvg::Paint::Color(c) if c.red == c.green && c.green == c.blue => luma::Color::new(c.red).into(),
        usvg::Paint::Color(c) => rgb::Color::new(c.red, c.green, c.blue).into(),
        _ => luma::Color::black().into(),
    }
}

fn filling(fill: &usvg::Fill) -> Fill {
    let rule = match fill.rule() {
        usvg::FillRule::NonZero => FillRule::NonZero,
        usvg::FillRule::EvenOdd => FillRule::EvenOdd,
    };
    Fill { paint: colour(fill.paint()), opacity: share(fill.opacity().get()), rule }
}

fn stroking(stroke: &usvg::Stroke) -> Stroke {
    Stroke {
        paint: colour(stroke.paint()),
        width: stroke.width().get(),
        miter_limit: stroke.miterlimit().get(),
        line_cap: match stroke.linecap() {
            usvg::LineCap::Butt => LineCap::Butt,
            usvg::LineCap::Round => LineCap::Round,
            usvg::LineCap::Square => LineCap::Square,
        },
        line_join: match stroke.linejoin() {
            usvg::LineJoin::Miter | usvg::LineJoin::MiterClip => LineJoin::Miter,
            usvg::LineJoin::Round => LineJoin::Round,
            usvg::LineJoin::Bevel => LineJoin::Bevel,
        },
        opacity: share(stroke.opacity().get()),
        dash: stroke
            .dasharray()
            .map(|array| StrokeDash { array: array.to_vec(), offset: stroke.dashoffset() }),
    }
}

/// A chart ready to be put on pages.
pub(super) fn drawing(chart: &Chart, setter: &Setter<'_>) -> Result<Arc<Drawing>, String> {
    Drawing::read(chart, setter).map(Arc::new)
}
