//! Text laid out for a terminal or an e-mail: wrapped lines and tables.

use std::fmt::Write;

use dryspell::calendar::MonthDay;

/// Short names of the months.
pub const MONTHS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
/// Width that text is wrapped to.
const WIDTH: usize = 100;

/// Day and month, such as `15 Dec`.
pub(crate) fn day_month(date: MonthDay) -> String {
    format!("{} {}", date.day, MONTHS[usize::from(date.month.clamp(1, 12)) - 1])
}

/// A number: whole where it is whole, else with so many places.
pub(crate) fn trimmed(value: f64, places: usize) -> String {
    if value.fract().abs() < 1e-9 { format!("{value:.0}") } else { format!("{value:.places$}") }
}

/// A share as text.
pub(crate) fn percent(share: f64) -> String {
    format!("{:.1} %", 100.0 * share)
}

/// What a part of the scheme is, and what it is like.
pub(crate) type Lines = Vec<(&'static str, String)>;

/// A line of the scheme: label, then text wrapped beside it.
pub(crate) fn line(out: &mut String, label: &str, text: &str) {
    wrap_to(out, &format!("  {label:<9}"), &" ".repeat(11), text);
}

/// Rows of cells, right-aligned under each other but for the first column.
pub(crate) fn table(out: &mut String, rows: &[Vec<String>]) {
    let columns = rows.first().map_or(0, Vec::len);
    let widths: Vec<usize> =
        (0..columns).map(|c| rows.iter().map(|r| r[c].chars().count()).max().unwrap_or(0)).collect();
    for row in rows {
        let mut text = String::from(" ");
        for (c, cell) in row.iter().enumerate() {
            let pad = " ".repeat(widths[c] - cell.chars().count());
            let _ = if c == 0 { write!(text, " {cell}{pad}") } else { write!(text, "  {pad}{cell}") };
        }
        let _ = writeln!(out, "{}", text.trim_end());
    }
}

/// Wraps text, with the rest set in under the first line's beginning.
pub(crate) fn wrap(out: &mut String, first: &str, text: &str) {
    wrap_to(out, first, &" ".repeat(first.chars().count()), text);
}

/// Wraps text at 100 characters, with one beginning for the first line and another for the rest.
pub fn wrap_to(out: &mut String, first: &str, rest: &str, text: &str) {
    let mut current = first.to_owned();
    let mut empty = true;
    for word in text.split_whitespace() {
        if !empty && current.chars().count() + 1 + word.chars().count() > WIDTH {
            let _ = writeln!(out, "{}", current.trim_end());
            current = rest.to_owned();
            empty = true;
        }
        if !empty {
            current.push(' ');
        }
        current.push_str(word);
        empty = false;
    }
    let _ = writeln!(out, "{}", current.trim_end());
}
