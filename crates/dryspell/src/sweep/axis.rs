//! One value of a scheme and what it is set to.

use super::literals::Literals;
use crate::fault::{Fault, FaultKind, quoted};
use crate::nearest::nearest;
use crate::scheme::keys::{self, KEYS, KeyDoc, Kind};
use crate::uncertain::number_and_unit;

/// Most values of one axis.
pub(crate) const MOST_VALUES: usize = 10_000_000;

/// One value of a scheme and what it is set to, one after another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Axis {
    /// Dotted key, such as `tank.main.capacity`.
    pub key: String,
    /// What it is set to, as it would stand in the file: `"2 m3"` with its quotes, `40` without. An empty one leaves the value
    /// as the scheme has it.
    pub literals: Literals,
}

impl Axis {
    /// Reads keys whose values go together, with `;` between: `weather.file = a.csv, b.csv; array.shed.tilt = 50, 60 deg`; one key
    /// alone is a list of one.
    ///
    /// # Errors
    /// As [`Self::parse`], and keys with unequal numbers of values.
    pub fn parse_together(text: &str) -> Result<Vec<Self>, Fault> {
        let axes: Vec<Self> = text.split(';').map(Self::parse).collect::<Result<_, _>>()?;
        equally_long("--vary", &axes)?;
        Ok(axes)
    }

    /// Reads `KEY = 2 to 10 by 0.5 m3` or `KEY = 40, 60, 80`.
    ///
    /// # Errors
    /// A key that no scheme has, a range without steps, no value at all.
    pub fn parse(text: &str) -> Result<Self, Fault> {
        let fault = |found: String, accepted: &str, way_out: &str| {
            Fault::at_key("--vary", FaultKind::WrongType, found, accepted, way_out)
        };
        let form = "KEY = FIRST to LAST by STEP UNIT, or KEY = VALUE, VALUE, ...";
        let Some((key, values)) = text.split_once('=') else {
            return Err(fault(
                format!("{} has no =", quoted(text)),
                form,
                "write it like \"tank.main.capacity = 2 to 10 by 0.5 m3\"",
            ));
        };
        let (key, values) = (key.trim().to_owned(), values.trim());
        let doc = key_of("--vary", &key)?;
        let written: Vec<String> = if let Some((first, rest)) = values.split_once(" to ") {
            let (last, step) = rest.split_once(" by ").ok_or_else(|| {
                fault(
                    format!("{} has no step", quoted(values)),
                    form,
                    "add how far apart the values lie: \"2 to 10 by 0.5 m3\"",
                )
            })?;
            range(&key, first, last, step)?
        } else {
            list(values)
        };
        if written.is_empty() || written.iter().any(String::is_empty) {
            return Err(fault(
                format!("{} has an empty value", quoted(text)),
                form,
                "give each value, with commas between",
            ));
        }
        let literals = written.into_iter().map(|v| literal(doc, &v)).collect();
        Ok(Self { key, literals })
    }

    /// A value as it is told: without quotes; empty where the scheme's own stays.
    #[must_use]
    pub fn shown(&self, index: usize) -> &str {
        self.literals.get(index).trim_matches('"')
    }
}

/// Refuses keys that go together and have unequal numbers of values.
pub(super) fn equally_long(option: &str, axes: &[Axis]) -> Result<(), Fault> {
    let Some((first, rest)) = axes.split_first() else { return Ok(()) };
    let Some(other) = rest.iter().find(|axis| axis.literals.len() != first.literals.len()) else {
        return Ok(());
    };
    Err(Fault::at_key(
        option,
        FaultKind::Contradiction,
        format!(
            "{} values of {} beside {} of {}",
            other.literals.len(),
            other.key,
            first.literals.len(),
            first.key
        ),
        "as many values of each key that goes together with others",
        "give each as many, or take a --vary for each: every combination is then run",
    ))
}

/// The key that a path of one value means.
pub(super) fn key_of(option: &str, path: &str) -> Result<&'static KeyDoc, Fault> {
    if path.contains('*') {
        return Err(several(option, path));
    }
    keys::of_path(path).ok_or_else(|| unknown(option, path))
}

/// The fault of a path that stands for several keys where one is asked for.
pub(super) fn several(option: &str, path: &str) -> Fault {
    Fault::at_key(
        option,
        FaultKind::WrongType,
        format!("{} stands for several keys", quoted(path)),
        "one key, with the names of the scheme; * is for --set and [uncertain]",
        "name each key; in --vary keys with ; between go together",
    )
}

/// The fault of a key that no scheme has.
pub(super) fn unknown(option: &str, key: &str) -> Fault {
    let names: Vec<String> = KEYS.iter().map(KeyDoc::path).collect();
    // The user's own names stand where the list has a star.
    let parts: Vec<&str> = key.split('.').collect();
    let starred = |path: &String| {
        let own: Vec<&str> = path.split('.').collect();
        let same = own.len() == parts.len();
        if same {
            own.iter().zip(&parts).map(|(a, b)| if *a == "*" { *b } else { *a }).collect::<Vec<_>>().join(".")
        } else {
            path.clone()
        }
    };
    let named: Vec<String> = names.iter().map(starred).collect();
    let way_out = nearest(key, named.iter().map(String::as_str)).map_or_else(
        || "see the keys of a scheme in the starter: dryspell new -".to_owned(),
        |near| format!("did you mean {near}?"),
    );
    Fault::at_key(
        option,
        FaultKind::UnknownKey,
        format!("{} is no key of a scheme", quoted(key)),
        "a dotted key with the names of the scheme, such as tank.main.capacity or herd.cows.count",
        way_out,
    )
}

/// A list, with a unit that stands only at the last value given to all.
pub(super) fn list(values: &str) -> Vec<String> {
    let parts: Vec<String> = values.split(',').map(|v| v.trim().trim_matches('"').to_owned()).collect();
    let unit = parts.last().and_then(|last| number_and_unit(last)).map(|(_, unit)| unit.to_owned());
    match unit {
        Some(unit) if !unit.is_empty() && parts.len() > 1 => parts
            .iter()
            .map(|p| match number_and_unit(p) {
                Some((_, "")) => format!("{p} {unit}"),
                _ => p.clone(),
            })
            .collect(),
        _ => parts,
    }
}

/// From the first to the last, both included where the step meets it.
fn range(key: &str, first: &str, last: &str, step: &str) -> Result<Vec<String>, Fault> {
    let refuse = |found: String, way_out: &str| {
        Fault::at_key(
            "--vary",
            FaultKind::OutOfRange,
            format!("{key}: {found}"),
            "FIRST to LAST by STEP, with a step above 0 that reaches the last from the first",
            way_out,
        )
    };
    let read = |text: &str| refuse(format!("{} is not a number", quoted(text.trim())), "write plain numbers");
    let part = |text| number_and_unit(trimmed(text));
    let (a, ua) = part(first).ok_or_else(|| read(first))?;
    let (b, ub) = part(last).ok_or_else(|| read(last))?;
    let (s, us) = part(step).ok_or_else(|| read(step))?;
    let units: Vec<&str> = [ua, ub, us].into_iter().filter(|u| !u.is_empty()).collect();
    let unit = units.first().copied().unwrap_or("");
    if units.iter().any(|u| *u != unit) {
        return Err(refuse("more than one unit".into(), "give first, last and step in one unit"));
    }
    let steps = (b - a) / s;
    if !(s > 0.0 && steps.is_finite() && steps >= 0.0) {
        return Err(refuse(
            format!("no step of {s} reaches {b} from {a}"),
            "swap the ends, or correct the step",
        ));
    }
    #[expect(clippy::cast_precision_loss, reason = "a constant far below 2^53")]
    if steps >= MOST_VALUES as f64 {
        return Err(refuse(format!("{:.0} values", steps + 1.0), "take larger steps, or narrow the range"));
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 0 and ten million")]
    let count = (steps + 1e-9).floor() as u32;
    Ok((0..=count)
        .map(|i| {
            // Twelve digits: what lies beyond comes from the step's binary fraction.
            let value = a + f64::from(i) * s;
            let rounded: f64 = format!("{value:.11e}").parse().unwrap_or(value);
            if unit.is_empty() { format!("{rounded}") } else { format!("{rounded} {unit}") }
        })
        .collect())
}

fn trimmed(text: &str) -> &str {
    text.trim().trim_matches('"')
}

/// A value as it would stand in the file.
pub(super) fn literal(doc: &KeyDoc, value: &str) -> String {
    let bare = match doc.kind {
        // A word in quotes is refused in words that say what is needed.
        Kind::Number | Kind::Count | Kind::Flag => value.parse::<toml_edit::Value>().is_ok(),
        Kind::Ratio | Kind::Direction | Kind::Month => value.parse::<f64>().is_ok(),
        _ => false,
    };
    if bare { value.to_owned() } else { format!("\"{value}\"") }
}
