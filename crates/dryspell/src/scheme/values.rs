//! Values that are numbers, counts, switches or plain text.

use toml::de::DeValue;

use super::keys::{KeyDoc, Kind, Range};
use super::reader::{Reader, Section, Value, type_name};
use super::starter::line_in;
use crate::fault::{FaultKind, quoted};
use crate::units::table::METRE_OF_WATER_PA;
use crate::units::{Quantity, System, UnitError, UnitErrorKind, parse, parts, retold, show};

/// A change with temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Coefficient {
    /// In the quantity's own unit for each kelvin.
    Absolute(f64),
    /// As a share of the value at 25 °C for each kelvin.
    Relative(f64),
}

pub(super) fn number_of(de: &DeValue<'_>) -> Option<f64> {
    match de {
        // Text keeps what `i64` would not hold; underscores are TOML's own and gone by now.
        DeValue::Integer(n) if n.radix() == 10 => n.as_str().parse().ok(),
        // Only numbers in other bases come here. One too long for `i64` lies outside every range.
        DeValue::Integer(n) => Some(i64::from_str_radix(n.as_str(), n.radix()).map_or(f64::INFINITY, |v| {
            #[expect(clippy::cast_precision_loss, reason = "out of every range before it loses digits")]
            let v = v as f64;
            v
        })),
        DeValue::Float(n) => n.as_str().parse().ok(),
        _ => None,
    }
}

/// The number as the user wrote it.
fn number_text(de: &DeValue<'_>) -> String {
    match de {
        DeValue::Integer(n) => n.as_str().to_string(),
        DeValue::Float(n) => n.as_str().to_string(),
        DeValue::String(s) => s.to_string(),
        other => type_name(other).to_string(),
    }
}

/// The error for a coefficient: a relative one would be accepted as well.
fn either(mut error: UnitError, q: Quantity) -> UnitError {
    let symbols: Vec<&str> = q.units().iter().map(|u| u.symbol).collect();
    error.accepted = format!("{} carries its unit: %/K, {}", q.name(), symbols.join(", "));
    error
}

/// `1 value`, `3 values`.
pub(super) fn values(n: usize) -> String {
    if n == 1 { "1 value".to_string() } else { format!("{n} values") }
}

impl Reader<'_> {
    pub(super) fn quantity(&mut self, section: &Section<'_>, name: &str) -> Option<f64> {
        self.key(section, name, |r, v, doc| match doc.kind {
            Kind::Quantity(_) => r.quantity_value(v, doc),
            _ => None,
        })
    }

    /// A number with its unit; the kind in `doc` says of which quantity.
    pub(super) fn quantity_value(&mut self, v: Value<'_>, doc: &KeyDoc) -> Option<f64> {
        let (Kind::Quantity(q) | Kind::Months(q)) = doc.kind else { return None };
        match v.de {
            DeValue::String(text) => match parse(text, q) {
                Ok(value) => self.in_range(v, value, doc),
                Err(error) => self.unit_fault(v, error, doc),
            },
            DeValue::Integer(_) | DeValue::Float(_) => {
                self.unit_fault(v, UnitError::missing(&number_text(v.de), q), doc)
            }
            _ => {
                self.wrong_type(v, &format!("{} as text with its unit", q.name()), doc);
                None
            }
        }
    }

    /// A head: a length, or a pressure, which counts as the height of the water that it holds up.
    pub(super) fn head_value(&mut self, v: Value<'_>, doc: &KeyDoc) -> Option<f64> {
        if let DeValue::String(text) = v.de {
            match (parse(text, Quantity::Length), parse(text, Quantity::Pressure)) {
                (Err(_), Ok(pressure_pa)) => return self.in_range(v, pressure_pa / METRE_OF_WATER_PA, doc),
                (Err(mut error), Err(_)) => {
                    error.accepted.push_str("; or a pressure: psi, kPa, bar");
                    return self.unit_fault(v, error, doc);
                }
                (Ok(_), _) => {}
            }
        }
        self.quantity_value(v, doc)
    }

    fn unit_fault<T>(&mut self, v: Value<'_>, error: UnitError, doc: &KeyDoc) -> Option<T> {
        // The key's own example knows better than the quantity whether millimetres or metres suit.
        let example = self.example(doc);
        let (_, usual) = parts(example.trim_matches('"'));
        let (number, _) = parts(&number_text(v.de));
        let lacks = error.kind == UnitErrorKind::Missing;
        let kind = error.fault_kind();
        let way_out = match doc.kind {
            // A bare 0.01 may be one percent or a hundredth of one.
            Kind::Quantity(Quantity::Fraction) if lacks => match number.parse::<f64>() {
                Ok(share) if share > 0.0 && share <= 1.0 => {
                    let percent = show(share, Quantity::Fraction, self.system);
                    format!(
                        "write {} or {}, as you mean it",
                        quoted(&percent),
                        quoted(&format!("{number} %"))
                    )
                }
                _ => error.way_out,
            },
            Kind::Quantity(q) | Kind::Months(q)
                if lacks
                    && !number.is_empty()
                    && q.units().iter().take(2).all(|u| u.symbol != usual)
                    && parse(&format!("1 {usual}"), q).is_ok() =>
            {
                format!("write {}", quoted(&format!("{number} {usual}")))
            }
            Kind::Quantity(Quantity::FractionPerKelvin) if lacks && !number.is_empty() => {
                format!("write {}", quoted(&format!("{number} %/K")))
            }
            _ => error.way_out,
        };
        self.refuse(v, kind, error.found, error.accepted, way_out);
        None
    }

    /// The value, if it lies in the range.
    pub(super) fn in_range(&mut self, v: Value<'_>, value: f64, doc: &KeyDoc) -> Option<f64> {
        if doc.range.holds(value) {
            return Some(value);
        }
        let accepted = match doc.range {
            Range::Any => "a finite number".to_string(),
            range => format!("{}: {}", doc.meaning, range.text(doc.kind, self.system_of(v))),
        };
        self.refuse(
            v,
            FaultKind::OutOfRange,
            format!("{} is out of range", quoted(&number_text(v.de))),
            accepted,
            format!("correct the value, such as {}", line_in(doc.example, self.system_of(v))),
        );
        None
    }

    /// The system in which the user wrote a value; that of the reports where its unit belongs to both or to neither.
    fn system_of(&self, v: Value<'_>) -> System {
        let DeValue::String(text) = v.de else { return self.system };
        let foreign = |system: System| retold(text, system) != **text;
        match (foreign(System::Si), foreign(System::Us)) {
            (true, false) => System::Us,
            (false, true) => System::Si,
            _ => self.system,
        }
    }

    pub(super) fn months(&mut self, section: &Section<'_>, name: &str) -> Option<[f64; 12]> {
        self.key(section, name, |r, v, doc| {
            let DeValue::Array(list) = v.de else {
                return r.quantity_value(v, doc).map(|value| [value; 12]);
            };
            if list.len() != 12 {
                r.refuse(
                    v,
                    FaultKind::WrongLength,
                    format!("a list of {}", values(list.len())),
                    "one value for the whole year, or twelve from January to December",
                    "give twelve values, or one without brackets",
                );
            }
            let mut months = [0.0; 12];
            let mut sound = list.len() == 12;
            for (i, item) in list.iter().enumerate() {
                let path = format!("{}[{}]", v.path, i + 1);
                let at = item.span().start;
                r.note(&path, at);
                let item = Value { path: &path, at: Some(at), de: item.get_ref() };
                match (r.quantity_value(item, doc), months.get_mut(i)) {
                    (Some(value), Some(month)) => *month = value,
                    _ => sound = false,
                }
            }
            sound.then_some(months)
        })
    }

    pub(super) fn coefficient(&mut self, section: &Section<'_>, name: &str) -> Option<Coefficient> {
        self.key(section, name, |r, v, doc| {
            let Kind::Coefficient(q) = doc.kind else { return None };
            let relative = doc.with(Kind::Quantity(Quantity::FractionPerKelvin), doc.range);
            match v.de {
                DeValue::String(text) => {
                    if parse(text, Quantity::FractionPerKelvin).is_ok() {
                        return r.quantity_value(v, &relative).map(Coefficient::Relative);
                    }
                    match parse(text, q) {
                        Ok(value) => Some(Coefficient::Absolute(value)),
                        Err(error) => r.unit_fault(v, either(error, q), &relative),
                    }
                }
                DeValue::Integer(_) | DeValue::Float(_) => {
                    r.unit_fault(v, either(UnitError::missing(&number_text(v.de), q), q), &relative)
                }
                _ => r.quantity_value(v, &relative).map(Coefficient::Relative),
            }
        })
    }

    /// The coefficient for a value at 25 °C, once both are known.
    pub(super) fn absolute(
        &mut self,
        section: &Section<'_>,
        name: &str,
        coefficient: Option<Coefficient>,
        base: Option<f64>,
    ) -> Option<f64> {
        match (coefficient?, base?) {
            (Coefficient::Relative(share), base) => Some(share * base),
            (Coefficient::Absolute(value), base) => {
                let share = value / base;
                self.key(section, name, |r, v, doc| r.in_range(v, share, doc))?;
                Some(value)
            }
        }
    }

    pub(super) fn ratio(&mut self, section: &Section<'_>, name: &str) -> Option<f64> {
        self.key(section, name, |r, v, doc| match (number_of(v.de), v.de) {
            (Some(value), _) => r.in_range(v, value, doc),
            (None, DeValue::String(_)) => {
                r.quantity_value(v, &doc.with(Kind::Quantity(Quantity::Fraction), doc.range))
            }
            _ => {
                r.wrong_type(v, "a number from 0 to 1, or text with %", doc);
                None
            }
        })
    }

    pub(super) fn number(&mut self, section: &Section<'_>, name: &str) -> Option<f64> {
        self.key(section, name, |r, v, doc| r.number_value(v, doc))
    }

    pub(super) fn number_value(&mut self, v: Value<'_>, doc: &KeyDoc) -> Option<f64> {
        match number_of(v.de) {
            Some(value) => self.in_range(v, value, doc),
            None => {
                self.wrong_type(v, "a number without quotes", doc);
                None
            }
        }
    }

    pub(super) fn count(&mut self, section: &Section<'_>, name: &str) -> Option<u32> {
        self.key(section, name, |r, v, doc| {
            let DeValue::Integer(n) = v.de else {
                r.wrong_type(v, "a whole number, without quotes and decimal point", doc);
                return None;
            };
            let value = number_of(v.de)?;
            r.in_range(v, value, doc)?;
            u32::from_str_radix(n.as_str().trim_start_matches('+'), n.radix()).ok()
        })
    }

    pub(super) fn flag(&mut self, section: &Section<'_>, name: &str) -> Option<bool> {
        self.key(section, name, |r, v, doc| {
            if let DeValue::Boolean(flag) = v.de {
                return Some(*flag);
            }
            r.wrong_type(v, "true or false, without quotes", doc);
            None
        })
    }

    pub(super) fn text(&mut self, section: &Section<'_>, name: &str) -> Option<String> {
        self.key(section, name, |r, v, doc| r.text_value(v, doc))
    }

    /// Reads texts that are shown and not reckoned with.
    pub(super) fn labels(&mut self, section: &Section<'_>, names: &[&str]) {
        for name in names {
            if let Some(text) = self.text(section, name) {
                self.labels.insert(section.key(name), text);
            }
        }
    }

    pub(super) fn text_value(&mut self, v: Value<'_>, doc: &KeyDoc) -> Option<String> {
        match v.de {
            DeValue::String(text) if text.chars().any(char::is_control) => {
                self.refuse(
                    v,
                    FaultKind::UnknownWord,
                    "text with a line break, a tab or another control character",
                    "text on one line",
                    format!("write {} = {}", doc.name, self.example(doc)),
                );
                None
            }
            DeValue::String(text) if !text.trim().is_empty() => Some(text.to_string()),
            DeValue::String(_) => {
                self.refuse(
                    v,
                    FaultKind::WrongLength,
                    "empty text",
                    doc.meaning,
                    format!("write {} = {}", doc.name, self.example(doc)),
                );
                None
            }
            _ => {
                self.wrong_type(v, "text in quotes", doc);
                None
            }
        }
    }

    pub(super) fn files(&mut self, section: &Section<'_>, name: &str) -> Option<Vec<String>> {
        self.texts(section, name, "a file name in quotes, or a list of them")
    }

    /// One text or a list of them.
    pub(super) fn texts(&mut self, section: &Section<'_>, name: &str, accepted: &str) -> Option<Vec<String>> {
        self.key(section, name, |r, v, doc| match v.de {
            DeValue::Array(list) if !list.is_empty() => {
                let read: Vec<_> = list
                    .iter()
                    .enumerate()
                    .map(|(i, item)| {
                        let path = format!("{}[{}]", v.path, i + 1);
                        let at = item.span().start;
                        r.note(&path, at);
                        r.text_value(Value { path: &path, at: Some(at), de: item.get_ref() }, doc)
                    })
                    .collect();
                read.into_iter().collect()
            }
            DeValue::String(_) => r.text_value(v, doc).map(|file| vec![file]),
            _ => {
                r.wrong_type(v, accepted, doc);
                None
            }
        })
    }
}
