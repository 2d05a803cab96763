//! Schemes side by side: what they come to, and in what they differ.

use std::fmt::Write;

use dryspell::results::{Figure, HEADLINES, answer};
use dryspell::scheme::{Scheme, written};
use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, column_number, column_unit, retold};

use super::layout::{table, wrap_to};
use crate::error::Error;

/// One scheme and its run.
#[derive(Debug)]
pub struct Side<'a> {
    /// Scheme file as typed.
    pub file: &'a str,
    /// Its text.
    pub text: &'a str,
    /// What it says.
    pub scheme: &'a Scheme,
    /// Its run.
    pub run: Run,
    /// SHA-256 of each file of its weather.
    pub weather_sha256: Vec<String>,
}

/// Widest cell of a table; what is longer is told below it.
pub(crate) const WIDEST: usize = 26;

/// The page.
#[must_use]
pub fn page(sides: &[Side<'_>], system: System) -> String {
    let mut out = String::from("SCHEMES\n");
    for (i, side) in sides.iter().enumerate() {
        let name = side.scheme.name.as_deref().unwrap_or("(no name)");
        wrap_to(
            &mut out,
            &format!("  {}  ", letter(i)),
            "     ",
            &format!("{name} ({}): {}", side.file, answer(&side.run, system)),
        );
    }
    if sides.windows(2).any(|pair| pair[0].weather_sha256 != pair[1].weather_sha256) {
        wrap_to(
            &mut out,
            "! ",
            "  ",
            "the schemes ran on different weather: differences below may come from it",
        );
    }
    differences(&mut out, sides, system);
    headlines(&mut out, sides, system);
    out
}

/// A, B, …, Z, A2, B2, …
fn letter(index: usize) -> String {
    let letter = char::from(b'A' + u8::try_from(index % 26).unwrap_or(0));
    if index < 26 { letter.to_string() } else { format!("{letter}{}", index / 26 + 1) }
}

fn head(first: &[&str], sides: &[Side<'_>]) -> Vec<String> {
    first.iter().map(|s| (*s).to_owned()).chain((0..sides.len()).map(letter)).collect()
}

/// Every key that is not the same in all schemes, in the order of the first scheme that has it, with its value in each.
pub(crate) fn differing(sides: &[Side<'_>], system: System) -> Vec<(String, Vec<Option<String>>)> {
    let told = |side: &Side<'_>| -> Vec<(String, String)> {
        let keys = keys(side.text, side.scheme);
        keys.into_iter().map(|(key, value)| (key, retold(&value, system))).collect()
    };
    // In the units of the table, so that one value in two units does not differ.
    let given: Vec<Vec<(String, String)>> = sides.iter().map(told).collect();
    let mut order: Vec<&str> = Vec::new();
    for list in &given {
        for (key, _) in list {
            if !order.contains(&key.as_str()) {
                order.push(key);
            }
        }
    }
    let values = |key: &str| -> Vec<Option<String>> {
        given.iter().map(|list| list.iter().find(|(k, _)| k == key).map(|(_, value)| value.clone())).collect()
    };
    let rows = order.into_iter().map(|key| (key.to_owned(), values(key)));
    rows.filter(|(_, values)| values.windows(2).any(|pair| pair[0] != pair[1])).collect()
}

fn differences(out: &mut String, sides: &[Side<'_>], system: System) {
    let mut rows = vec![head(&["key"], sides)];
    let mut long = Vec::new();
    for (key, values) in differing(sides, system) {
        let mut row = vec![key.clone()];
        for (i, value) in values.iter().enumerate() {
            let text = value.as_deref().unwrap_or("-");
            if text.chars().count() > WIDEST {
                long.push((format!("{key} in {}", letter(i)), text.to_owned()));
                row.push("see below".to_owned());
            } else {
                row.push(text.to_owned());
            }
        }
        rows.push(row);
    }
    out.push_str("\nDIFFERENCES BETWEEN THE SCHEMES\n");
    if rows.len() == 1 {
        out.push_str("  nothing: every key has the same value\n");
        return;
    }
    table(out, &rows);
    for (what, text) in long {
        wrap_to(out, "  ", "      ", &format!("{what}: {text}"));
    }
}

/// Every key with its value: as written, and by default where it was left out.
pub(crate) fn keys(text: &str, scheme: &Scheme) -> Vec<(String, String)> {
    let mut list: Vec<(String, String)> = written(text)
        .into_iter()
        .flat_map(|table| {
            let name = table.table;
            table
                .values
                .into_iter()
                .map(move |(key, value)| (if name.is_empty() { key } else { format!("{name}.{key}") }, value))
        })
        .collect();
    list.extend(scheme.defaults_used.iter().map(|d| (d.key.clone(), d.value.clone())));
    list
}

fn headlines(out: &mut String, sides: &[Side<'_>], system: System) {
    let mut rows = vec![head(&["headline", "unit"], sides)];
    let mut same = Vec::new();
    for field in HEADLINES {
        let values: Vec<String> =
            sides.iter().map(|side| shown(&(field.get)(&side.run, 0), field.unit, system)).collect();
        let (name, unit) = (name(field.name), unit(field.unit, system));
        if values.iter().any(|v| v.chars().count() > WIDEST) {
            continue;
        }
        if values.windows(2).all(|pair| pair[0] == pair[1]) {
            if values[0] != "-" {
                same.push(format!("{name} {} {unit}", values[0]).trim_end().to_owned());
            }
            continue;
        }
        rows.push([name, unit.to_owned()].into_iter().chain(values).collect());
    }
    out.push_str("\nHEADLINES THAT DIFFER\n");
    if rows.len() == 1 {
        out.push_str("  none\n");
    } else {
        table(out, &rows);
    }
    if !same.is_empty() {
        out.push_str("\nTHE SAME IN ALL\n");
        wrap_to(out, "  ", "  ", &same.join("; "));
    }
    let _ = writeln!(
        out,
        "\n  Differences apply to this record only; dryspell odds shows how far they hold beyond it."
    );
}

/// A headline's name without its unit, which has a column of its own.
pub(crate) fn name(name: &str) -> String {
    const UNITS: [&str; 7] = ["_m3_per_h", "_m3_per_year", "_m3", "_percent", "_w", "_min", "_m"];
    let bare = UNITS.iter().find_map(|unit| name.strip_suffix(unit)).unwrap_or(name);
    bare.replace("_m3.", ".").replace(['_', '.'], " ")
}

/// What a headline measures, where its number is shown in another unit than its own.
fn quantity(unit: &str, system: System) -> Option<Quantity> {
    match (unit, system) {
        ("m3", _) => Some(Quantity::Volume),
        ("m", System::Us) => Some(Quantity::Length),
        ("m3/h", System::Us) => Some(Quantity::Flow),
        _ => None,
    }
}

pub(crate) fn unit(unit: &'static str, system: System) -> &'static str {
    quantity(unit, system).map_or(unit, |quantity| column_unit(quantity, system))
}

pub(crate) fn shown(figure: &Figure, unit: &str, system: System) -> String {
    match figure {
        Figure::Number(x) if let Some(quantity) = quantity(unit, system) => {
            column_number(*x, quantity, system)
        }
        Figure::Number(x) if x.abs() < 1e-3 && x.abs() > 0.0 => format!("{x:.1e}"),
        Figure::Number(x) => format!("{x:.2}"),
        Figure::Null => "-".to_owned(),
        Figure::List(list) => list.iter().map(|f| shown(f, unit, system)).collect::<Vec<_>>().join(" "),
        other => other.to_string(),
    }
}

/// All headlines as CSV: a row each, a column for each scheme.
///
/// # Errors
/// A table that cannot be written.
pub fn headlines_csv(sides: &[Side<'_>]) -> Result<String, Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(["headline", "unit"].into_iter().chain(sides.iter().map(|side| side.file)))?;
    for field in HEADLINES {
        let values = sides.iter().map(|side| (field.get)(&side.run, 0).to_string());
        writer.write_record([field.name.to_owned(), field.unit.to_owned()].into_iter().chain(values))?;
    }
    let bytes = writer.into_inner().map_err(csv::IntoInnerError::into_error)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
