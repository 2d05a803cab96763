//! A scheme's text with single values set anew, as `--set` does.

use toml_edit::{Item, TableLike, Value};

use super::axis::{literal, unknown};
use super::edit::{parsed, with_values};
use crate::fault::{Fault, FaultKind, quoted};
use crate::scheme::keys;
use crate::uncertain::number_and_unit;

/// Sets values of a scheme's text: `KEY = VALUE` sets one, `KEY * FACTOR` multiplies one that stands in the text, units and all. A `*`
/// in the key stands for every name: `herd.*.count * 1.25`.
///
/// # Errors
/// A setting of another form, a key that no scheme has, one to be multiplied that is not in the text or is no number.
///
/// # Example
/// ```
/// let text = "[herd.cows]\ncount = 40\n\n[tank.main]\ncapacity = \"11 m3\"\n";
/// let set = ["herd.*.count * 1.25".to_owned(), "tank.main.capacity = 12 m3".to_owned()];
/// let found = dryspell::sweep::set(text, &set).map_err(|fault| fault.to_string())?;
/// assert_eq!(found, "[herd.cows]\ncount = 50\n\n[tank.main]\ncapacity = \"12 m3\"\n");
/// # Ok::<(), String>(())
/// ```
pub fn set(text: &str, settings: &[String]) -> Result<String, Fault> {
    settings.iter().try_fold(text.to_owned(), |text, setting| one(&text, setting))
}

fn one(text: &str, setting: &str) -> Result<String, Fault> {
    let fault = |found: String, accepted: &str, way_out: &str| {
        Fault::at_key("--set", FaultKind::WrongType, found, accepted, way_out)
    };
    let form = "KEY = VALUE, or KEY * FACTOR for a number that stands in the scheme";
    let example = "write it like \"tank.main.capacity = 12 m3\" or \"herd.*.count * 1.25\"";
    let (key, factor, value) = match (setting.split_once('='), setting.rsplit_once(" * ")) {
        (Some((key, value)), _) => (key.trim(), None, value.trim()),
        (None, Some((key, factor))) => match factor.trim().parse::<f64>() {
            Ok(factor) if factor.is_finite() && factor >= 0.0 => (key.trim(), Some(factor), ""),
            _ => {
                return Err(fault(
                    format!("the factor {}", quoted(factor.trim())),
                    "a number, 0 or more",
                    example,
                ));
            }
        },
        (None, None) => return Err(fault(quoted(setting), form, example)),
    };
    let Some(doc) = keys::of_path(key) else { return Err(unknown("--set", key)) };
    let document = parsed(text)?;
    let parts: Vec<&str> = key.split('.').collect();
    let found = matches(document.as_table(), &parts);
    let new: Vec<(String, String)> = match factor {
        None if value.is_empty() => {
            return Err(fault(format!("{} has no value", quoted(setting)), form, example));
        }
        None => {
            // A list or a table stands as it would in the file.
            let whole = value.starts_with(['[', '{']);
            let literal = if whole { value.to_owned() } else { literal(doc, value.trim_matches('"')) };
            let keys = if key.contains('*') {
                found.into_iter().map(|(key, _)| key).collect()
            } else {
                vec![key.to_owned()]
            };
            keys.into_iter().map(|key| (key, literal.clone())).collect()
        }
        Some(factor) => {
            let mut new = Vec::new();
            for (key, value) in found {
                let times = value.and_then(|value| times(value, factor)).ok_or_else(|| {
                    Fault::at_key(
                        &key,
                        FaultKind::WrongType,
                        "a value that is not written as a number",
                        "a number, or numbers, with or without a unit",
                        format!("set it: --set \"{key} = VALUE\""),
                    )
                })?;
                new.push((key, times));
            }
            new
        }
    };
    if new.is_empty() {
        return Err(fault(
            format!("{key} does not stand in the scheme"),
            "a key that the scheme's text has",
            "write a whole key with its value: \"KEY = VALUE\"",
        ));
    }
    let new: Vec<(&str, &str)> = new.iter().map(|(key, literal)| (key.as_str(), literal.as_str())).collect();
    with_values(text, &new)
}

/// The values at a path in which `*` stands for any name, each with its own path.
fn matches<'a>(table: &'a dyn TableLike, parts: &[&str]) -> Vec<(String, Option<&'a Value>)> {
    let Some((first, rest)) = parts.split_first() else { return Vec::new() };
    let mut found = Vec::new();
    for (name, item) in table.iter().filter(|(name, _)| *first == "*" || first == name) {
        if rest.is_empty() {
            found.push((name.to_owned(), item.as_value()));
        } else if let Some(inner) = Item::as_table_like(item) {
            found.extend(
                matches(inner, rest).into_iter().map(|(path, value)| (format!("{name}.{path}"), value)),
            );
        }
    }
    found
}

/// A number, one with its unit, or a list of such, times a factor, as it is written in the scheme.
fn times(value: &Value, factor: f64) -> Option<String> {
    // A product of two decimals has digits that nobody wrote.
    let product = |x: f64| format!("{}", (x * factor * 1e9).round() / 1e9);
    match value {
        Value::Integer(n) => {
            #[expect(clippy::cast_precision_loss, reason = "counts of animals and parts")]
            let x = *n.value() as f64;
            Some(product(x))
        }
        Value::Float(x) => Some(product(*x.value())),
        Value::String(text) => {
            let plain = text.value().replace(',', "");
            let (x, unit) = number_and_unit(&plain)?;
            Some(format!("\"{}\"", format!("{} {unit}", product(x)).trim_end()))
        }
        Value::Array(all) => {
            let all: Option<Vec<String>> = all.iter().map(|value| times(value, factor)).collect();
            Some(format!("[{}]", all?.join(", ")))
        }
        _ => None,
    }
}
