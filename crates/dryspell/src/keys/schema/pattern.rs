//! Patterns of text, after ECMA 262: letters in either case, since their language has no flag for it.

use std::fmt::Write as _;

use super::super::{COMPASS, MONTHS};
use crate::units::Quantity;

/// Text on one line with something in it.
pub(super) const TEXT: &str = "^[^\\n\\r\\t]*\\S[^\\n\\r\\t]*$";

/// The name of a table.
pub(super) const NAME: &str = "^[A-Za-z0-9_-]+$";

/// A number: plain, a fraction, a mixed fraction.
const NUMBER: &str = "([-+−–]?([0-9]+\\.?[0-9]*|\\.[0-9]+)([eE][-+−–]?[0-9]+)?(\\s+[0-9]+\\s*/\\s*[0-9]+|\\s*/\\s*[0-9]+|\\s*[½¼¾])?|[½¼¾])";

/// A letter in either case.
fn push_letter(out: &mut String, c: char) {
    if c.is_ascii_alphabetic() {
        let _ = write!(out, "[{}{}]", c.to_ascii_lowercase(), c.to_ascii_uppercase());
    } else if c.is_ascii_alphanumeric() || matches!(c, '%' | '-') {
        out.push(c);
    } else {
        out.push('\\');
        out.push(c);
    }
}

/// A letter or sign of a unit, and those that are read as it.
fn push_sign(out: &mut String, c: char) {
    match c {
        'u' => out.push_str("[uUµμ]"),
        '2' => out.push_str("\\^?[2²]"),
        '3' => out.push_str("\\^?[3³]"),
        '5' => out.push_str("\\^?[5⁵]"),
        '/' => out.push_str("(\\s*/\\s*|\\s+per\\s+)"),
        ' ' => out.push_str("[\\s·⋅*]+"),
        c => push_letter(out, c),
    }
}

/// A spelling of a unit, with the signs that are read as its letters.
fn unit(spelling: &str) -> String {
    let mut out = String::new();
    let mut rest = spelling;
    while let Some(c) = rest.chars().next() {
        if let Some(after) = rest.strip_prefix("deg") {
            out.push_str("([dD][eE][gG]|[°º])");
            rest = after;
        } else if let Some(after) = rest.strip_prefix("ohm") {
            out.push_str("([oO][hH][mM]|[\u{3a9}\u{2126}])");
            rest = after;
        } else {
            push_sign(&mut out, c);
            rest = &rest[c.len_utf8()..];
        }
    }
    out
}

/// A number with a unit of a quantity.
pub(super) fn quantity(q: Quantity) -> String {
    let units: Vec<String> = q
        .units()
        .iter()
        .flat_map(|u| std::iter::once(u.symbol).chain(u.also.iter().copied()))
        .map(unit)
        .collect();
    format!("^\\s*{NUMBER}[\\s·⋅*]*({})\\s*$", units.join("|"))
}

/// One of some words, in any case, with spaces, `_` and `-` alike.
pub(super) fn words<'w>(words: impl IntoIterator<Item = &'w str>) -> String {
    let all: Vec<String> = words
        .into_iter()
        .map(|word| {
            let mut out = String::new();
            for c in word.chars() {
                if matches!(c, ' ' | '-' | '_') { out.push_str("[-_ ]") } else { push_letter(&mut out, c) }
            }
            out
        })
        .collect();
    format!("^\\s*({})\\s*$", all.join("|"))
}

/// A point of the compass: the parts of a long name may be joined.
pub(super) fn compass() -> String {
    let all = COMPASS
        .iter()
        .flat_map(|(long, short)| [(*long).to_owned(), long.replace('-', ""), (*short).to_owned()]);
    let all: Vec<String> = all.collect();
    words(all.iter().map(String::as_str))
}

/// A month by its name or the three letters that it begins with.
pub(super) fn month() -> String {
    words(MONTHS.iter().flat_map(|month| [Some(*month), month.get(..3)]).flatten())
}

/// A date without a year, or two of them.
pub(super) fn dates() -> String {
    const DATE: &str = "\\s*(0?[1-9]|1[0-2])-(0?[1-9]|[12][0-9]|3[01])\\s*";
    format!("^{DATE}( to {DATE})?$")
}
