//! Pages to bytes.

use std::num::NonZeroU16;

use krilla::Document;
use krilla::SerializeSettings;
use krilla::color::luma;
use krilla::configure::{Accessibility, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::embed::{AssociationKind, EmbeddedFile, MimeType};
use krilla::geom::{Path, PathBuilder, Point, Rect};
use krilla::metadata::Metadata;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::Fill;
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, BBox, ContentTag, Identifier, ListNumbering, SpanTag, TableHeaderScope, Tag,
    TagGroup, TagKind, TagTree,
};

use super::fonts::Fonts;
use super::pages::Layout;
use super::set::Line;
use super::strip::{Item, Look, What};
use super::tree::{Role, Tree};

/// Language of the document.
const LANGUAGE: &str = "en-GB";

/// Writes the pages. The writer checks that the document can be read aloud (PDF/UA-1).
///
/// # Errors
/// What the writer of PDF refuses.
pub(crate) fn draw(laid: &Layout, fonts: &Fonts) -> Result<Vec<u8>, String> {
    let configuration = ConfigurationBuilder::new()
        .with_accessibility_validator(Accessibility::UA1)
        .finish()
        .map_err(|e| format!("the PDF cannot be written: {e:?}"))?;
    let mut document =
        Document::new_with(SerializeSettings { configuration, ..SerializeSettings::default() });
    // No date: the same document gives the same bytes.
    document.set_metadata(
        Metadata::new()
            .title(laid.title.clone())
            .language(LANGUAGE.to_owned())
            .creator(format!("dryspell {}", env!("CARGO_PKG_VERSION"))),
    );
    let (width, height) = laid.paper.size();
    let mut heard: Vec<Heard> = vec![Heard::default(); laid.tree.0.len()];
    let mut outline = Outline::new();
    let mut listed: Option<usize> = None;
    for (at, items) in laid.pages.iter().enumerate() {
        let settings = PageSettings::from_wh(width, height).ok_or("a page without size")?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        for item in items {
            let tag = match (&item.what, item.node) {
                (_, None) => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Other)),
                (What::Words(_), Some(_)) => ContentTag::Span(SpanTag::empty()),
                (_, Some(_)) => ContentTag::Other,
            };
            let identifier = surface.start_tagged(tag);
            let done = put(item, &mut surface, fonts);
            surface.end_tagged();
            done?;
            let Some(node) = item.node else { continue };
            if let Some(heard) = heard.get_mut(node) {
                heard.pieces.push(identifier);
                if matches!(item.what, What::Picture(_)) {
                    heard.area = Rect::from_xywh(item.x, item.y, item.width, item.height)
                        .map(|area| BBox::new(at, area));
                }
            }
            // Headings and the title, where their first line stands.
            if listed != Some(node)
                && let Some(Role::Heading(title, false) | Role::Title(title)) =
                    laid.tree.0.get(node).map(|n| &n.role)
            {
                listed = Some(node);
                let place = XyzDestination::new(at, Point::from_xy(item.x, item.y));
                outline.push_child(OutlineNode::new(title.clone(), place));
            }
        }
        surface.finish();
        page.finish();
    }
    document.set_outline(outline);
    for file in &laid.attached {
        let attached = EmbeddedFile {
            path: file.name.clone(),
            mime_type: MimeType::new(file.kind),
            description: Some(file.about.clone()),
            association_kind: AssociationKind::Source,
            data: file.bytes.clone().into(),
            modification_date: None,
            compress: Some(true),
            location: None,
        };
        document
            .embed_file(attached)
            .ok_or_else(|| format!("two attached files are called {}", file.name))?;
    }
    let mut tags = TagTree::new();
    for part in laid.tree.0.first().map_or(&[] as &[usize], |node| &node.parts) {
        tags.push(group(&laid.tree, *part, &heard)?);
    }
    document.set_tag_tree(tags);
    document.finish().map_err(|e| format!("the PDF cannot be written: {e}"))
}

/// What was drawn of a part of the document.
#[derive(Debug, Clone, Default)]
struct Heard {
    pieces: Vec<Identifier>,
    /// Where a picture stands.
    area: Option<BBox>,
}

/// A part of the document with what was drawn of it.
fn group(tree: &Tree, at: usize, heard: &[Heard]) -> Result<TagGroup, String> {
    let node = tree.0.get(at).ok_or("a part of the document is missing")?;
    let level = |n| NonZeroU16::new(n).unwrap_or(NonZeroU16::MIN);
    let tag: TagKind = match &node.role {
        Role::Document => Tag::Div.into(),
        Role::Title(title) => Tag::Hn(level(1), Some(title.clone())).into(),
        Role::Heading(title, inside) => {
            Tag::Hn(level(if *inside { 3 } else { 2 }), Some(title.clone())).into()
        }
        Role::Paragraph => Tag::P.into(),
        Role::List => Tag::L(ListNumbering::Disc).into(),
        Role::Names => Tag::L(ListNumbering::None).into(),
        Role::Entry => Tag::LI.into(),
        Role::Label => Tag::Lbl.into(),
        Role::Body => Tag::LBody.into(),
        Role::Table => Tag::Table.into(),
        Role::Caption => Tag::Caption.into(),
        Role::Head => Tag::THead.into(),
        Role::Rows => Tag::TBody.into(),
        Role::Row => Tag::TR.into(),
        Role::HeadCell => Tag::TH(TableHeaderScope::Column).into(),
        Role::RowName => Tag::TH(TableHeaderScope::Row).into(),
        Role::Cell => Tag::TD.into(),
        Role::Figure(alternative) => {
            let area = heard.get(at).and_then(|heard| heard.area);
            Tag::Figure(Some(alternative.clone())).with_bbox(area).into()
        }
    };
    let mut group = TagGroup::new(tag);
    for part in &node.parts {
        group.push(self::group(tree, *part, heard)?);
    }
    for identifier in heard.get(at).into_iter().flat_map(|heard| &heard.pieces) {
        group.push(*identifier);
    }
    Ok(group)
}

fn put(item: &Item, surface: &mut Surface<'_>, fonts: &Fonts) -> Result<(), String> {
    match &item.what {
        What::Words(line) => words(line, item, surface, fonts),
        What::Rule(shade) => fill(surface, *shade, &[(item.x, item.y, item.width, item.height)]),
        What::Frame(Look::Edge) => {
            fill(surface, 238, &[(item.x, item.y, item.width, item.height)])?;
            fill(surface, 0, &[(item.x, item.y, 3.0, item.height)])
        }
        What::Frame(Look::Line) => {
            let thick = 1.2;
            fill(
                surface,
                0,
                &[
                    (item.x, item.y, item.width, thick),
                    (item.x, item.y + item.height - thick, item.width, thick),
                    (item.x, item.y, thick, item.height),
                    (item.x + item.width - thick, item.y, thick, item.height),
                ],
            )
        }
        What::Picture(drawing) => drawing.draw(surface, fonts, (item.x, item.y), (item.width, item.height)),
    }
}

fn words(line: &Line, item: &Item, surface: &mut Surface<'_>, fonts: &Fonts) -> Result<(), String> {
    surface.set_stroke(None);
    surface.set_fill(Some(shade(0)));
    for run in &line.runs {
        let face = fonts.faces().get(run.face).ok_or("a font is missing")?;
        let start = Point::from_xy(item.x + run.x, item.y + line.ascent);
        surface.draw_glyphs(start, &run.glyphs, face.font.clone(), &run.text, line.size, false);
    }
    Ok(())
}

fn fill(surface: &mut Surface<'_>, grey: u8, areas: &[(f32, f32, f32, f32)]) -> Result<(), String> {
    surface.set_stroke(None);
    surface.set_fill(Some(shade(grey)));
    for area in areas {
        surface.draw_path(&rectangle(*area).ok_or("a rectangle without size")?);
    }
    Ok(())
}

fn shade(grey: u8) -> Fill {
    Fill { paint: luma::Color::new(grey).into(), ..Fill::default() }
}

fn rectangle((x, y, width, height): (f32, f32, f32, f32)) -> Option<Path> {
    let mut path = PathBuilder::new();
    path.push_rect(Rect::from_xywh(x, y, width, height)?);
    path.finish()
}
