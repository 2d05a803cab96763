//! The document as one HTML file: no network, no script, the charts inside.
//!
//! No font is put in: the charts are measured for the widest of the usual faces, the rest flows.

use std::fmt::Write;

use base64::Engine as _;
use base64::prelude::BASE64_STANDARD;

use super::ties::with_ties;
use crate::model::{Align, Attached, Block, Chart, Document, Table, Text};

/// Look on the screen and on paper. The sheet is the printer's: no size is set, only margins.
const STYLE: &str = include_str!("style.css");

/// What stands before the name of an attached file.
pub(crate) const ATTACHED_BEGIN: &str = "<a class=\"attached\" download=\"";
/// What stands behind its contents.
pub(crate) const ATTACHED_END: &str = "\">";

/// A word longer than this may be broken in a table.
const LONG: usize = 16;
/// Letters between two such places.
const STEP: usize = 10;

/// The document as HTML.
///
/// # Errors
/// A chart that is no SVG.
pub(crate) fn html(document: &Document) -> Result<String, String> {
    let mut page = Page::default();
    let title = escaped(&document.title);
    let _ = write!(
        page.out,
        "<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{title}</title>\n<style>\n\
         {STYLE}@page {{ @bottom-left {{ content: \"{}\"; }} }}\n</style>\n</head>\n<body>\n<main>\n<h1>{}</h1>\n",
        quoted(&document.foot),
        escaped(&document.title)
    );
    for block in &document.blocks {
        if let Block::Heading(_) = block {
            page.end_section();
            page.out.push_str("<section>\n");
            page.section = true;
        }
        page.block(block, false)?;
    }
    page.end_section();
    page.attached(&document.attached);
    let foot = escaped(&document.foot);
    let _ = write!(page.out, "</main>\n<footer><p>{foot}</p></footer>\n</body>\n</html>\n");
    Ok(page.out)
}

#[derive(Debug, Default)]
struct Page {
    out: String,
    section: bool,
    charts: usize,
}

impl Page {
    fn end_section(&mut self) {
        if std::mem::take(&mut self.section) {
            self.out.push_str("</section>\n");
        }
    }

    /// Files to be saved from the page: each is whole within its own link.
    fn attached(&mut self, files: &[Attached]) {
        if files.is_empty() {
            return;
        }
        let out = &mut self.out;
        out.push_str("<section>\n<h2>Attached</h2>\n<ul class=\"fine\">\n");
        for Attached { name, about, kind, bytes } in files {
            let data = BASE64_STANDARD.encode(bytes);
            let (name, about) = (escaped(name), escaped(about));
            let _ = writeln!(
                out,
                "<li>{ATTACHED_BEGIN}{name}\" href=\"data:{kind};base64,{data}{ATTACHED_END}{name}</a>: {about}</li>"
            );
        }
        out.push_str("</ul>\n</section>\n");
    }

    /// A block; `inside` a column it is part of a section.
    fn block(&mut self, block: &Block, inside: bool) -> Result<(), String> {
        let out = &mut self.out;
        match block {
            Block::Heading(title) => {
                let level = if inside && self.section { 3 } else { 2 };
                let _ = writeln!(out, "<h{level}>{}</h{level}>", escaped(title));
            }
            Block::Paragraph(text) => {
                let _ = writeln!(out, "<p>{}</p>", words(text, escaped));
            }
            Block::Fine(text) => {
                let _ = writeln!(out, "<p class=\"fine\">{}</p>", words(text, escaped));
            }
            Block::Answer(text) => {
                let _ = writeln!(out, "<p class=\"answer\">{}</p>", words(text, escaped));
            }
            Block::Notice(text) => {
                let _ = writeln!(out, "<p class=\"notice\" role=\"note\">{}</p>", words(text, escaped));
            }
            Block::List(points) | Block::Ticks(points) if !points.is_empty() => {
                let ticks = matches!(block, Block::Ticks(_));
                out.push_str(if ticks { "<ul class=\"ticks\">\n" } else { "<ul>\n" });
                for point in points {
                    let _ = writeln!(out, "<li>{}</li>", words(point, escaped));
                }
                out.push_str("</ul>\n");
            }
            Block::Facts(facts) if !facts.is_empty() => {
                out.push_str("<dl class=\"facts\">\n");
                for (name, value) in facts {
                    let name = escaped(name);
                    let _ = writeln!(out, "<div><dt>{name}</dt><dd>{}</dd></div>", words(value, escaped));
                }
                out.push_str("</dl>\n");
            }
            Block::List(_) | Block::Ticks(_) | Block::Facts(_) => {}
            Block::Table(table) => self.table(table),
            Block::Chart(chart) => self.chart(chart)?,
            Block::Beside(columns) => {
                out.push_str("<div class=\"beside\">\n");
                for column in columns {
                    self.out.push_str("<div>\n");
                    for block in column {
                        self.block(block, true)?;
                    }
                    self.out.push_str("</div>\n");
                }
                self.out.push_str("</div>\n");
            }
            Block::Blanks(labels) => {
                out.push_str("<div class=\"blanks\">\n");
                for label in labels {
                    let _ = writeln!(out, "<p><span>{}</span></p>", escaped(label));
                }
                out.push_str("</div>\n");
            }
        }
        Ok(())
    }

    fn table(&mut self, table: &Table) {
        let out = &mut self.out;
        out.push_str("<div class=\"table\">\n<table>\n");
        if !table.title.is_empty() {
            let _ = writeln!(out, "<caption>{}</caption>", escaped(&table.title));
        }
        let class = |align: Align| if align == Align::Right { " class=\"number\"" } else { "" };
        out.push_str("<thead>\n<tr>");
        for (head, align) in &table.columns {
            let _ = write!(out, "<th scope=\"col\"{}>{}</th>", class(*align), breakable(head));
        }
        out.push_str("</tr>\n</thead>\n<tbody>\n");
        for row in &table.rows {
            out.push_str("<tr>");
            for (at, (cell, (_, align))) in row.iter().zip(&table.columns).enumerate() {
                // Words in the first column name the row.
                let (open, close) = if at == 0 && *align == Align::Left && !cell.0.is_empty() {
                    ("th scope=\"row\"", "th")
                } else {
                    ("td", "td")
                };
                let _ = write!(out, "<{open}{}>{}</{close}>", class(*align), words(cell, breakable));
            }
            out.push_str("</tr>\n");
        }
        out.push_str("</tbody>\n</table>\n");
        if !table.note.is_empty() {
            let _ = writeln!(out, "<p class=\"small\">{}</p>", escaped(&table.note));
        }
        out.push_str("</div>\n");
    }

    fn chart(&mut self, chart: &Chart) -> Result<(), String> {
        self.charts += 1;
        let svg = inline(chart, self.charts)
            .ok_or_else(|| format!("the chart \"{}\" is no SVG picture", chart.name))?;
        let caption = escaped(&chart.title);
        let _ = write!(self.out, "<figure>\n<figcaption>{caption}</figcaption>\n{svg}\n</figure>\n");
        Ok(())
    }
}

/// The picture as part of the page: its root says what it shows and leaves its size to the page, its ids are its own.
fn inline(chart: &Chart, number: usize) -> Option<String> {
    let (_, after) = chart.svg.split_once("<svg")?;
    let (attributes, body) = split_tag(after)?;
    let (body, _) = body.rsplit_once("</svg>")?;
    let kept: String = attributes
        .iter()
        .filter(|(name, _)| !matches!(*name, "role" | "aria-label" | "width" | "height" | "version"))
        .map(|(name, value)| format!(" {name}={value}"))
        .collect();
    let (width, height) = chart.size;
    let mut svg = format!(
        "<svg role=\"img\" aria-label=\"{}\" width=\"{width}\" height=\"{height}\"{kept}>{body}</svg>",
        escaped(&chart.alternative)
    );
    if svg.contains(" id=\"") {
        for (before, after) in [(" id=\"", ""), ("url(#", ""), ("href=\"#", ""), ("url('#", "")] {
            svg = svg.replace(before, &format!("{before}chart{number}-{after}"));
        }
    }
    Some(svg)
}

/// Attributes of a start tag, names and quoted values, and what follows the tag.
fn split_tag(text: &str) -> Option<(Vec<(&str, &str)>, &str)> {
    let mut attributes = Vec::new();
    let mut rest = text.trim_start();
    while !rest.starts_with('>') {
        let (name, after) = rest.split_once('=')?;
        let quote = after.chars().next().filter(|c| *c == '"' || *c == '\'')?;
        let end = after.get(1..)?.find(quote)? + 2;
        let (value, after) = after.split_at_checked(end)?;
        attributes.push((name.trim(), value));
        rest = after.trim_start();
    }
    Some((attributes, rest.get(1..)?))
}

fn words(text: &Text, set: fn(&str) -> String) -> String {
    let mut out = String::new();
    for span in &text.0 {
        let words = set(&with_ties(&span.text));
        if span.strong && !words.is_empty() {
            let _ = write!(out, "<strong>{words}</strong>");
        } else {
            out.push_str(&words);
        }
    }
    out
}

/// Text as it may stand in HTML; what has no place there becomes a space or the sign for what cannot be shown.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    text.chars().for_each(|letter| escape(letter, &mut out));
    out
}

fn escape(letter: char, out: &mut String) {
    match letter {
        '&' => out.push_str("&amp;"),
        '<' => out.push_str("&lt;"),
        '>' => out.push_str("&gt;"),
        '"' => out.push_str("&quot;"),
        '\'' => out.push_str("&#39;"),
        '\u{fdd0}'..='\u{fdef}' => out.push('\u{fffd}'),
        c if u32::from(c) & 0xfffe == 0xfffe => out.push('\u{fffd}'),
        c if c.is_control() => out.push(' '),
        c => out.push(c),
    }
}

/// Escaped text whose long words may be broken. In a table a browser would rather let such a word leave the sheet.
fn breakable(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for piece in text.split_inclusive(|c: char| c.is_whitespace() || c == '-') {
        let long = piece.chars().count() > LONG;
        let mut since = 0;
        for letter in piece.chars() {
            if long && since == STEP {
                out.push_str("<wbr>");
                since = 0;
            }
            escape(letter, &mut out);
            since = if letter == '/' { 0 } else { since + 1 };
            if long && letter == '/' {
                out.push_str("<wbr>");
            }
        }
    }
    out
}

/// Text in quotation marks of a style sheet: all but letters and figures by number, spaces too: one after a
/// number would be taken for its end.
fn quoted(text: &str) -> String {
    let mut out = String::new();
    for letter in text.chars() {
        if letter.is_alphanumeric() {
            out.push(letter);
        } else {
            let _ = write!(out, "\\{:06x}", u32::from(letter));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::setting::sample::{SPECIAL, document};
    use html5ever::tendril::TendrilSink;
    use html5ever::{ParseOpts, parse_document, tokenizer::TokenizerOpts, tree_builder::TreeBuilderOpts};
    use markup5ever_rcdom::{Handle, NodeData, RcDom};

    fn parsed(text: &str) -> RcDom {
        let options = ParseOpts {
            tokenizer: TokenizerOpts { exact_errors: true, ..TokenizerOpts::default() },
            tree_builder: TreeBuilderOpts { exact_errors: true, ..TreeBuilderOpts::default() },
        };
        parse_document(RcDom::default(), options).one(text)
    }

    type See<'a> = dyn FnMut(&str, &[(String, String)], &str) + 'a;

    /// Every node below, with its tag name; text nodes have none.
    fn walk(node: &Handle, see: &mut See<'_>) {
        match &node.data {
            NodeData::Element { name, attrs, .. } => {
                let attrs: Vec<(String, String)> =
                    attrs.borrow().iter().map(|a| (a.name.local.to_string(), a.value.to_string())).collect();
                see(&name.local, &attrs, "");
            }
            NodeData::Text { contents } => see("", &[], &contents.borrow()),
            _ => {}
        }
        for child in node.children.borrow().iter() {
            walk(child, see);
        }
    }

    #[test]
    fn parses_without_an_error_and_keeps_every_letter() {
        let text = html(&document()).unwrap();
        let dom = parsed(&text);
        assert_eq!(dom.errors.borrow().as_slice(), &[] as &[std::borrow::Cow<'static, str>]);
        let (mut tags, mut all, mut labels) = (Vec::new(), String::new(), Vec::new());
        walk(&dom.document, &mut |tag, attributes, words| {
            tags.push(tag.to_owned());
            all.push_str(words);
            labels.extend(attributes.iter().filter(|(n, _)| n == "aria-label").map(|(_, v)| v.clone()));
        });
        assert!(all.matches(SPECIAL).count() >= 8, "{SPECIAL} in {all}");
        assert!(labels.iter().any(|label| label.contains(SPECIAL)), "{labels:?}");
        for tag in [
            "main",
            "section",
            "h1",
            "h2",
            "h3",
            "table",
            "caption",
            "thead",
            "figure",
            "figcaption",
            "svg",
            "dl",
        ] {
            assert!(tags.iter().any(|t| t == tag), "{tag}");
        }
        // The parser would make an element of any text that was not escaped.
        for tag in ["script", "img", "b", "link", "object", "iframe"] {
            assert!(!tags.iter().any(|t| t == tag), "{tag}");
        }
    }

    #[test]
    fn a_parse_error_would_be_seen() {
        for broken in [
            "<!DOCTYPE html><p>a & b <c d=</p>",
            "<p>",
            "<!DOCTYPE html><title>a</title><table><p>b</p></table>",
        ] {
            assert!(!parsed(broken).errors.borrow().is_empty(), "{broken}");
        }
    }

    #[test]
    fn asks_the_network_for_nothing_and_has_each_id_once() {
        let text = html(&document()).unwrap();
        let mut ids = Vec::new();
        walk(&parsed(&text).document, &mut |tag, attributes, _| {
            for (name, value) in attributes {
                assert!(!matches!(name.as_str(), "src" | "onload" | "onclick" | "style"), "{tag} {name}");
                assert!(
                    name != "href" || value.starts_with('#') || value.starts_with("data:"),
                    "{tag} {value}"
                );
                if name == "id" {
                    ids.push(value.clone());
                }
            }
        });
        let count = ids.len();
        ids.sort();
        ids.dedup();
        assert!(count >= 2 && ids.len() == count, "{ids:?}");
        assert!(!STYLE.contains("url(") && !STYLE.contains("@import"));
    }

    #[test]
    fn a_chart_that_is_no_picture_is_refused() {
        let mut bad = document();
        bad.blocks = vec![Block::Chart(std::sync::Arc::new(Chart {
            name: "none",
            title: String::new(),
            alternative: String::new(),
            svg: "<p>no</p>".to_owned(),
            size: (1, 1),
        }))];
        assert_eq!(html(&bad).unwrap_err(), "the chart \"none\" is no SVG picture");
    }
}
