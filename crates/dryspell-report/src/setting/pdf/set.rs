//! Setting text: letters to glyphs, glyphs to lines of a width.

use std::ops::Range;

use krilla::text::{GlyphId, KrillaGlyph};
use rustybuzz::{Direction, UnicodeBuffer};
use unicode_bidi::{BidiInfo, Level};
use unicode_linebreak::linebreaks;

use super::fonts::{Fonts, clean, missing, silent};
use crate::model::Text;
use crate::setting::ties::tied;

/// Glyphs of one face side by side.
#[derive(Debug, Clone)]
pub(super) struct Run {
    /// Place of the face among the fonts.
    pub(super) face: usize,
    /// Distance from the line's left edge, points.
    pub(super) x: f32,
    /// Width, points.
    pub(super) width: f32,
    /// What the glyphs say.
    pub(super) text: String,
    /// The glyphs; their measures are in sizes.
    pub(super) glyphs: Vec<KrillaGlyph>,
}

/// A line of text.
#[derive(Debug, Clone)]
pub(super) struct Line {
    /// From left to right.
    pub(super) runs: Vec<Run>,
    /// Width without the space at its end, points.
    pub(super) width: f32,
    /// Height above the base line, points.
    pub(super) ascent: f32,
    /// Depth below the base line, points.
    pub(super) descent: f32,
    /// Size of its letters, points.
    pub(super) size: f32,
}

impl Line {
    /// What it says.
    #[cfg(test)]
    pub(super) fn text(&self) -> String {
        self.runs.iter().map(|run| run.text.as_str()).collect()
    }
}

/// Letters that stay together, of one face and one direction.
#[derive(Debug, Clone)]
struct Atom {
    face: usize,
    level: Level,
    text: String,
    glyphs: Vec<KrillaGlyph>,
    width: f32,
    /// Whether it is nothing but the space between words.
    space: bool,
    /// Whether a line may end after it.
    last: bool,
}

/// Sets text in some fonts.
pub(super) struct Setter<'a> {
    fonts: &'a Fonts,
    faces: Vec<rustybuzz::Face<'a>>,
}

impl<'a> Setter<'a> {
    /// Reads the faces.
    pub(super) fn new(fonts: &'a Fonts) -> Result<Self, String> {
        let faces = fonts
            .faces()
            .iter()
            .map(|face| rustybuzz::Face::from_slice((*face.bytes).as_ref(), face.index))
            .collect::<Option<Vec<_>>>()
            .ok_or("a font cannot be read for setting text; give another with --font FILE")?;
        Ok(Self { fonts, faces })
    }

    /// The fonts it sets in.
    pub(super) const fn fonts(&self) -> &'a Fonts {
        self.fonts
    }

    fn has(&self, face: usize, letter: char) -> bool {
        self.faces.get(face).is_some_and(|f| f.glyph_index(letter).is_some())
    }

    /// The face for a letter: one of the weight asked for, else any.
    fn face(&self, letter: char, strong: bool, before: Option<usize>) -> Result<usize, String> {
        // A mark goes with its letter.
        if let Some(before) = before
            && (silent(letter) || matches!(letter, '\u{300}'..='\u{36f}') && self.has(before, letter))
        {
            return Ok(before);
        }
        let faces = self.fonts.faces();
        let mut fitting = (0..faces.len()).filter(|at| self.has(*at, letter));
        let exact = fitting.clone().find(|at| faces.get(*at).is_some_and(|f| f.bold == strong));
        match exact.or_else(|| fitting.next()) {
            Some(face) => Ok(face),
            None if silent(letter) => Ok(usize::from(strong)),
            None => Err(missing(letter)),
        }
    }

    /// Whether every letter is in a font.
    pub(super) fn check(&self, text: &str) -> Result<(), String> {
        clean(text).chars().try_for_each(|letter| self.face(letter, false, None).map(|_| ()))
    }

    fn shape(&self, face: usize, text: &str, level: Level) -> (Vec<KrillaGlyph>, f32) {
        let Some(shaper) = self.faces.get(face) else { return (Vec::new(), 0.0) };
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(text);
        buffer.guess_segment_properties();
        buffer.set_direction(if level.is_rtl() { Direction::RightToLeft } else { Direction::LeftToRight });
        let shaped = rustybuzz::shape(shaper, &[], buffer);
        let starts: Vec<usize> =
            shaped.glyph_infos().iter().filter_map(|info| usize::try_from(info.cluster).ok()).collect();
        let mut sorted = starts.clone();
        sorted.push(text.len());
        sorted.sort_unstable();
        let em = float(shaper.units_per_em());
        let mut width = 0.0;
        let glyphs = shaped
            .glyph_infos()
            .iter()
            .zip(shaped.glyph_positions())
            .zip(starts)
            .map(|((info, at), start)| {
                let end = sorted.iter().find(|next| **next > start).copied().unwrap_or(text.len());
                let advance = float(at.x_advance) / em;
                width += advance;
                let (x, y) = (float(at.x_offset) / em, float(at.y_offset) / em);
                KrillaGlyph::new(GlyphId::new(info.glyph_id), advance, x, y, 0.0, start..end, None)
            })
            .collect();
        (glyphs, width)
    }

    fn atom(&self, face: usize, text: &str, level: Level, size: f32, last: bool) -> Atom {
        let (glyphs, width) = self.shape(face, text, level);
        let space = text.chars().all(|c| c == ' ');
        Atom { face, level, text: text.to_owned(), glyphs, width: width * size, space, last }
    }

    /// Text in pieces that one face sets in one direction, cut wherever a line may end.
    fn atoms(&self, text: &Text, size: f32) -> Result<Vec<Atom>, String> {
        let mut whole = String::new();
        let mut strong: Vec<(Range<usize>, bool)> = Vec::new();
        for span in &text.0 {
            let from = whole.len();
            whole.push_str(&clean(&span.text));
            strong.push((from..whole.len(), span.strong));
        }
        let bidi = BidiInfo::new(&whole, Some(Level::ltr()));
        let ends = ends(&whole);
        let mut atoms: Vec<Atom> = Vec::new();
        let mut from = 0;
        let mut current: Option<(usize, Level, bool)> = None;
        let mut push = |range: Range<usize>, (face, level, _): (usize, Level, bool)| {
            if let Some(piece) = whole.get(range.clone()).filter(|p| !p.is_empty()) {
                let last = ends.binary_search(&range.end).is_ok();
                atoms.push(self.atom(face, piece, level, size, last));
            }
        };
        for (at, letter) in whole.char_indices() {
            let bold = strong.iter().any(|(range, strong)| *strong && range.contains(&at));
            let level = bidi.levels.get(at).copied().unwrap_or_else(Level::ltr);
            let space = letter == ' ';
            let face = self.face(letter, bold, current.map(|(face, ..)| face))?;
            let next = (face, level, space);
            if let Some(before) = current
                && (before != next || ends.binary_search(&at).is_ok())
            {
                push(from..at, before);
                from = at;
            }
            current = Some(next);
        }
        if let Some(last) = current {
            push(from..whole.len(), last);
        }
        Ok(atoms)
    }

    /// Width of the longest piece that is not broken, and of the whole on one line.
    pub(super) fn widths(&self, text: &Text, size: f32) -> Result<(f32, f32), String> {
        let (mut piece, mut longest, mut whole, mut spaces) = (0.0_f32, 0.0_f32, 0.0_f32, 0.0_f32);
        for atom in self.atoms(text, size)? {
            if atom.space {
                spaces += atom.width;
            } else {
                whole += spaces + atom.width;
                piece += atom.width;
                spaces = 0.0;
            }
            longest = longest.max(piece);
            if atom.last {
                piece = 0.0;
            }
        }
        Ok((longest, whole))
    }

    /// Text in lines no wider than `width`. A word that is wider is broken between letters.
    pub(super) fn lines(&self, text: &Text, size: f32, width: f32) -> Result<Vec<Line>, String> {
        // What fits by a hair in measuring must fit in setting.
        let room = width + 0.01;
        let mut lines: Vec<Line> = Vec::new();
        let mut current: Vec<Atom> = Vec::new();
        let mut used = 0.0;
        for piece in self.atoms(text, size)?.chunk_by(|before, _| !before.last) {
            // A space at the end hangs over; one between a number and its unit takes its room.
            let words = piece.iter().rposition(|a| !a.space).map_or(0, |last| last + 1);
            let wide: f32 = piece.iter().take(words).map(|a| a.width).sum();
            if used + wide > room && !current.is_empty() {
                lines.push(self.line(std::mem::take(&mut current), size));
                used = 0.0;
            }
            for atom in piece {
                let mut rest = atom.clone();
                while used + rest.width > room && !rest.space {
                    let (head, tail) = self.split(&rest, size, room - used, current.is_empty());
                    if let Some(head) = head {
                        current.push(head);
                    }
                    let Some(tail) = tail else { break };
                    lines.push(self.line(std::mem::take(&mut current), size));
                    used = 0.0;
                    rest = tail;
                    if rest.text.is_empty() {
                        break;
                    }
                }
                if !rest.text.is_empty() {
                    used += rest.width;
                    current.push(rest);
                }
            }
        }
        if !current.is_empty() || lines.is_empty() {
            lines.push(self.line(current, size));
        }
        Ok(lines)
    }

    /// The part of an atom that fits, and the rest. At least one cluster is taken when the line is empty.
    fn split(&self, atom: &Atom, size: f32, room: f32, empty: bool) -> (Option<Atom>, Option<Atom>) {
        let mut clusters: Vec<(Range<usize>, f32)> = Vec::new();
        for glyph in &atom.glyphs {
            match clusters.iter_mut().find(|(range, _)| *range == glyph.text_range) {
                Some((_, width)) => *width += glyph.x_advance * size,
                None => clusters.push((glyph.text_range.clone(), glyph.x_advance * size)),
            }
        }
        clusters.sort_by_key(|(range, _)| range.start);
        let (mut end, mut used) = (0, 0.0);
        for (range, width) in clusters {
            if used + width > room && !(empty && end == 0) {
                break;
            }
            used += width;
            end = range.end;
        }
        let (head, tail) = atom.text.split_at_checked(end).unwrap_or((&atom.text, ""));
        let part =
            |text: &str, last| (!text.is_empty()).then(|| self.atom(atom.face, text, atom.level, size, last));
        (part(head, true), Some(part(tail, atom.last).unwrap_or_else(|| empty_atom(atom))))
    }

    /// Puts atoms side by side, those that run from right to left in their own order.
    fn line(&self, mut atoms: Vec<Atom>, size: f32) -> Line {
        let end = atoms.iter().rposition(|a| !a.space).map_or(0, |at| at + 1);
        let tail = atoms.split_off(end);
        let levels: Vec<Level> = atoms.iter().map(|a| a.level).collect();
        let order = BidiInfo::reorder_visual(&levels);
        let width = atoms.iter().map(|a| a.width).sum();
        let mut runs: Vec<Run> = Vec::new();
        let mut x = 0.0;
        // The space at the end is kept, unseen, so that the words of two lines stay apart when the text is copied.
        for atom in order.iter().filter_map(|at| atoms.get(*at)).chain(&tail) {
            match runs.last_mut().filter(|run| run.face == atom.face) {
                Some(run) => {
                    let shift = run.text.len();
                    run.text.push_str(&atom.text);
                    run.width += atom.width;
                    run.glyphs.extend(atom.glyphs.iter().cloned().map(|mut glyph| {
                        glyph.text_range = glyph.text_range.start + shift..glyph.text_range.end + shift;
                        glyph
                    }));
                }
                None => runs.push(Run {
                    face: atom.face,
                    x,
                    width: atom.width,
                    text: atom.text.clone(),
                    glyphs: atom.glyphs.clone(),
                }),
            }
            x += atom.width;
        }
        let (mut ascent, mut descent) = (0.0_f32, 0.0_f32);
        for face in runs.iter().map(|run| run.face).chain([0]).filter_map(|face| self.faces.get(face)) {
            let em = float(face.units_per_em());
            ascent = ascent.max(f32::from(face.ascender()) / em);
            descent = descent.max(-f32::from(face.descender()) / em);
        }
        Line { runs, width, ascent: ascent * size, descent: descent * size, size }
    }
}

fn empty_atom(like: &Atom) -> Atom {
    Atom { text: String::new(), glyphs: Vec::new(), width: 0.0, ..like.clone() }
}

/// Places at which a line may end. Not every one that stands in the book is a good one: `m³/h` and `12 m³` stay whole.
fn ends(text: &str) -> Vec<usize> {
    let by_the_book: Vec<usize> = linebreaks(text).map(|(at, _)| at).collect();
    text.char_indices()
        .map(|(at, letter)| at + letter.len_utf8())
        .filter(|at| {
            let (before, after) = text.split_at_checked(*at).unwrap_or((text, ""));
            if after.is_empty() {
                return true;
            }
            if before.ends_with(' ') && after.starts_with('/') {
                return true;
            }
            if before.ends_with('_') {
                let word = before.rsplit(' ').next().unwrap_or(before).chars().count();
                return word > 1 && word + after.split(' ').next().unwrap_or(after).chars().count() > LONG;
            }
            if by_the_book.binary_search(at).is_err() {
                return false;
            }
            if before.ends_with('/') {
                let word = before.rsplit(' ').next().unwrap_or(before).chars().count();
                return word > 1 && word + after.split(' ').next().unwrap_or(after).chars().count() > LONG;
            }
            !tied(before, after)
        })
        .collect()
}

/// Letters of a word with strokes, such as a path, from which on it may end a line at a stroke.
const LONG: usize = 20;

/// Font units are far below 2²⁴.
const fn float(n: i32) -> f32 {
    n as f32
}
