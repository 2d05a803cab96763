//! The fonts that the PDF is set in: two built in, more from the user.

use std::fmt;
use std::sync::Arc;

use krilla::text::Font;
use rustybuzz::ttf_parser;
use usvg::fontdb;

/// Bytes of a font file, shared by those who read it.
pub(super) type Bytes = Arc<dyn AsRef<[u8]> + Send + Sync>;

/// Faces in the order in which they are asked for a letter.
#[derive(Clone)]
pub(crate) struct Fonts {
    faces: Vec<Face>,
    database: Arc<fontdb::Database>,
}

/// One face.
#[derive(Clone)]
pub(super) struct Face {
    /// Its file's bytes.
    pub(super) bytes: Bytes,
    /// Its place in the file.
    pub(super) index: u32,
    /// Whether its strokes are bold.
    pub(super) bold: bool,
    /// As the PDF's writer knows it.
    pub(super) font: Font,
    /// As the charts know it.
    pub(super) id: fontdb::ID,
}

/// The built-in faces; what letters they have is told in `fonts/subset.py`.
const REGULAR: &[u8] = include_bytes!("../../../fonts/regular.ttf");
const BOLD: &[u8] = include_bytes!("../../../fonts/bold.ttf");

impl fmt::Debug for Fonts {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Fonts({} faces)", self.faces.len())
    }
}

impl Fonts {
    /// The built-in faces and those of the files given, each as its name and its bytes.
    ///
    /// # Errors
    /// A file that is no font, has no outlines, or may not be embedded.
    pub(crate) fn new(files: Vec<(String, Vec<u8>)>) -> Result<Self, String> {
        let mut fonts = Self { faces: Vec::new(), database: Arc::default() };
        fonts.add("built-in font", Arc::new(REGULAR))?;
        fonts.add("built-in bold font", Arc::new(BOLD))?;
        for (name, bytes) in files {
            fonts.add(&name, Arc::new(bytes))?;
        }
        Ok(fonts)
    }

    fn add(&mut self, name: &str, bytes: Bytes) -> Result<(), String> {
        const ACCEPTED: &str = "give a TrueType or OpenType font (.ttf, .otf, .ttc)";
        let data = (*bytes).as_ref();
        let count = ttf_parser::fonts_in_collection(data).unwrap_or(1);
        let ids = Arc::make_mut(&mut self.database).load_font_source(fontdb::Source::Binary(bytes.clone()));
        for (index, id) in (0..count).zip(ids.iter()) {
            let face = ttf_parser::Face::parse(data, index)
                .map_err(|e| format!("{name}: no font ({e}); {ACCEPTED}"))?;
            let tables = face.tables();
            if tables.glyf.is_none() && tables.cff.is_none() && tables.cff2.is_none() {
                return Err(format!("{name}: a font of pictures, not of outlines; {ACCEPTED} with outlines"));
            }
            if face.permissions() == Some(ttf_parser::Permissions::Restricted) {
                return Err(format!("{name}: this font may not be embedded; give one that may"));
            }
            let font = Font::new(bytes.clone().into(), index)
                .ok_or_else(|| format!("{name}: a font with missing parts; {ACCEPTED}"))?;
            self.faces.push(Face { bytes: bytes.clone(), index, bold: face.is_bold(), font, id: *id });
        }
        if ids.is_empty() || usize::try_from(count).is_ok_and(|n| ids.len() < n) {
            return Err(format!("{name}: no font; {ACCEPTED}"));
        }
        Ok(())
    }

    /// The faces.
    pub(super) fn faces(&self) -> &[Face] {
        &self.faces
    }

    /// The same faces for the reader of charts.
    pub(super) fn database(&self) -> Arc<fontdb::Database> {
        self.database.clone()
    }
}

/// What is said of a letter that no font has.
pub(super) fn missing(letter: char) -> String {
    // A mark shows itself only on a letter; the dotted circle is the usual one.
    let shown = if ('\u{300}'..='\u{36f}').contains(&letter) {
        format!("\u{25cc}{letter}")
    } else {
        letter.to_string()
    };
    format!(
        "the letter \"{shown}\" (U+{:04X}) is in no font; the built-in font has Latin, Greek and Cyrillic letters; \
         give one that has it with --font FILE",
        u32::from(letter)
    )
}

/// Signs that steer others and show nothing: no font needs to have them.
pub(super) fn silent(letter: char) -> bool {
    matches!(letter, '\u{200c}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'
        | '\u{fe00}'..='\u{fe0f}' | '\u{34f}' | '\u{61c}')
}

/// Text with one kind of space, without what cannot be printed.
pub(super) fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            // Places for a hyphen or a break that nobody sees.
            '\u{ad}' | '\u{200b}' | '\u{2060}' | '\u{feff}' => {}
            ' ' | '\u{2028}' | '\u{2029}' => out.push(' '),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}
