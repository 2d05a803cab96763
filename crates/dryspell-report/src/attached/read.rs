//! From the bytes of a document to what was attached to it.

use std::collections::BTreeMap;
use std::fmt;

use base64::Engine as _;
use base64::prelude::BASE64_STANDARD;
use dryspell::units::System;

use super::{LIST, List, Package, RESULTS, SCHEME, spaced};
use crate::inputs::hash;
use crate::setting::html::{ATTACHED_BEGIN, ATTACHED_END};

/// Why nothing could be taken out of a document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PackageError {
    /// It cannot be read as the file that it claims to be.
    Damaged(String),
    /// It is locked with a password.
    Locked,
    /// Nothing of this program is attached to it; it says that this program wrote it, or it does not.
    NothingAttached {
        /// Whether it says that dryspell wrote it.
        ours: bool,
    },
    /// The list of what is attached cannot be read, or names what is not there.
    Incomplete(String),
}

impl fmt::Display for PackageError {
    /// What was found, what is accepted, the way out.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Damaged(why) => write!(
                f,
                "this document is damaged ({why}); one as dryspell summary wrote it; ask for the file again"
            ),
            Self::Locked => f.write_str(
                "this document is locked with a password; one that opens without; ask for it as dryspell summary wrote it",
            ),
            Self::NothingAttached { ours: true } => f.write_str(
                "nothing is attached; a document with its scheme and results inside, as dryspell summary writes since 0.2.0; it was \
                 saved anew by another program, or is older: ask for the file as it was written, or for scheme and weather",
            ),
            Self::NothingAttached { ours: false } => f.write_str(
                "not made by dryspell summary; a PDF or HTML file as it wrote it; name that file",
            ),
            Self::Incomplete(what) => write!(
                f,
                "what is attached is not whole ({what}); a document as dryspell summary wrote it; ask for the file again"
            ),
        }
    }
}

impl std::error::Error for PackageError {}

/// Whether bytes begin as a PDF does.
#[must_use]
pub fn is_pdf(bytes: &[u8]) -> bool {
    bytes.iter().take(1024).copied().collect::<Vec<u8>>().windows(5).any(|five| five == b"%PDF-")
}

impl Package {
    /// Takes it out of a document in HTML.
    ///
    /// # Errors
    /// Why that cannot be done.
    pub fn of_html(text: &str) -> Result<Self, PackageError> {
        let mut files = BTreeMap::new();
        let mut rest = text;
        while let Some((_, after)) = rest.split_once(ATTACHED_BEGIN) {
            let damaged = || PackageError::Damaged("an attached file breaks off".to_owned());
            let (name, after) = after.split_once('"').ok_or_else(damaged)?;
            let (_, after) = after.split_once(";base64,").ok_or_else(damaged)?;
            let (data, after) = after.split_once(ATTACHED_END).ok_or_else(damaged)?;
            let bytes = BASE64_STANDARD
                .decode(data)
                .map_err(|_| PackageError::Damaged(format!("{name:?} is not whole")))?;
            files.insert(unescaped(name), bytes);
            rest = after;
        }
        if !files.is_empty() && !text.trim_end().ends_with("</html>") {
            return Err(PackageError::Damaged("its end is missing".to_owned()));
        }
        let mut package = Self::of_files(&files, text.contains("<footer><p>dryspell "))?;
        package.words = Some(words(text));
        Ok(package)
    }

    /// Takes it out of a document in PDF.
    ///
    /// # Errors
    /// Why that cannot be done.
    #[cfg(feature = "pdf")]
    pub fn of_pdf(bytes: &[u8]) -> Result<Self, PackageError> {
        use lopdf::{Document, Error, Object};

        /// Most bytes of an attached file.
        const MOST: usize = 256 << 20;
        // The library would mend what is cut off, and what is missing would be missed by nobody.
        let end = bytes.get(bytes.len().saturating_sub(1024)..).unwrap_or_default();
        if !end.windows(5).any(|five| five == b"%%EOF") {
            return Err(PackageError::Damaged("its end is missing".to_owned()));
        }
        let document = Document::load_mem(bytes).map_err(|error| match error {
            Error::Decryption(_) | Error::InvalidPassword | Error::UnsupportedSecurityHandler(_) => {
                PackageError::Locked
            }
            other => PackageError::Damaged(other.to_string().escape_default().to_string()),
        })?;
        if document.is_encrypted() {
            return Err(PackageError::Locked);
        }
        let mut files = BTreeMap::new();
        let dictionaries = document.objects.values().filter_map(|object| object.as_dict().ok());
        for about in dictionaries.filter(|about| about.has(b"EF")) {
            let name = about.get(b"UF").or_else(|_| about.get(b"F")).and_then(lopdf::decode_text_string);
            let stream = about
                .get(b"EF")
                .and_then(Object::as_dict)
                .and_then(|ef| ef.get(b"F"))
                .and_then(|file| document.dereference(file))
                .and_then(|(_, file)| file.as_stream());
            let (Ok(name), Ok(stream)) = (name, stream) else {
                return Err(PackageError::Damaged("an attached file has no name or no contents".to_owned()));
            };
            let contents = if stream.is_compressed() {
                stream.decompressed_content_with_limit(MOST)
            } else {
                Ok(stream.content.clone())
            };
            let contents = contents.map_err(|_| PackageError::Damaged(format!("{name:?} is not whole")))?;
            files.insert(name, contents);
        }
        let creator = document
            .trailer
            .get(b"Info")
            .and_then(|info| document.dereference(info))
            .and_then(|(_, info)| info.as_dict())
            .and_then(|info| info.get(b"Creator"))
            .and_then(lopdf::decode_text_string);
        let mut package =
            Self::of_files(&files, creator.is_ok_and(|creator| creator.starts_with("dryspell ")))?;
        package.words = document.extract_text(&[1]).ok().map(|text| spaced(&text));
        Ok(package)
    }

    /// Puts it together; `ours`: the document says that this program wrote it.
    fn of_files(files: &BTreeMap<String, Vec<u8>>, ours: bool) -> Result<Self, PackageError> {
        let missing = |name: &str| PackageError::Incomplete(format!("{name:?} is missing"));
        let text = |name: &str| {
            let bytes = files.get(name).ok_or_else(|| missing(name))?;
            String::from_utf8(bytes.clone())
                .map_err(|_| PackageError::Incomplete(format!("{name:?} is no text")))
        };
        let list = files.get(LIST).ok_or(PackageError::NothingAttached { ours })?;
        let list: List = serde_json::from_slice(list).map_err(|error| {
            PackageError::Incomplete(format!("{LIST}: {}", error.to_string().escape_debug()))
        })?;
        let entries = list.attached.iter().chain(&list.not_attached);
        let words =
            entries.flat_map(|entry| [Some(&entry.file), entry.in_scheme.as_ref(), Some(&entry.sha256)]);
        let words = words.flatten().chain([&list.dryspell, &list.schema]);
        if words
            .into_iter()
            .any(|word| word.is_empty() || word.len() > 1024 || word.contains(char::is_control))
        {
            return Err(PackageError::Incomplete(format!("{LIST}: a name that is none")));
        }
        let system = match list.units.as_str() {
            "us" => System::Us,
            "si" => System::Si,
            _ => return Err(PackageError::Incomplete(format!("{LIST}: units that are not known"))),
        };
        let (mut tables, mut hashes) = (BTreeMap::new(), Vec::new());
        for entry in list.attached {
            if let Some(in_scheme) = &entry.in_scheme {
                tables.insert(in_scheme.clone(), text(&entry.file)?);
            }
            let own = hash(files.get(&entry.file).ok_or_else(|| missing(&entry.file))?);
            hashes.push((entry, own));
        }
        for needed in [SCHEME, RESULTS] {
            if !hashes.iter().any(|(entry, _)| entry.file == needed) {
                return Err(PackageError::Incomplete(format!("{LIST} does not name {needed}")));
            }
        }
        Ok(Self {
            version: list.dryspell,
            schema: list.schema,
            system,
            scheme: text(SCHEME)?,
            tables,
            weather: list.not_attached,
            results: serde_json::from_str(&text(RESULTS)?).map_err(|error| {
                PackageError::Incomplete(format!("{RESULTS}: {}", error.to_string().escape_debug()))
            })?,
            hashes,
            words: None,
        })
    }
}

/// Words of a page, without its tags.
fn words(page: &str) -> String {
    let mut out = String::new();
    for piece in page.split('<') {
        out.push_str(piece.split_once('>').map_or(piece, |(_, text)| text));
        out.push(' ');
    }
    spaced(&unescaped(&out))
}

/// A name as it was before it stood in an attribute.
fn unescaped(name: &str) -> String {
    let name = name.replace("&quot;", "\"").replace("&#39;", "'").replace("&lt;", "<").replace("&gt;", ">");
    name.replace("&amp;", "&")
}
