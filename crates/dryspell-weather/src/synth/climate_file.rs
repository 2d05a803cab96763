//! A climate from TOML text: every fault in one pass, each with its line and column.

use super::Climate;
use dryspell::fault::{Fault, FaultKind, Faults, Location};
use dryspell::record::Place;
use dryspell::units::table::FOOT_M;
use std::collections::BTreeMap;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Keys that hold one number, and whether each is needed.
const NUMBERS: [&str; 4] = ["latitude_deg", "longitude_deg", "elevation_m", "utc_offset_h"];
/// Keys that hold twelve numbers; the last may be absent.
const MONTHS: [&str; 4] = ["global_kwh_per_m2_day", "air_degc", "daily_range_degc", WIND];
const WIND: &str = "wind_m_per_s";
const NAME: &str = "name";
/// Names with a US unit, as the plain weather format has them: value of the key = (number + shift) × scale.
const US: [UsName; 4] = [
    UsName { name: "elevation_ft", key: "elevation_m", shift: 0.0, scale: FOOT_M },
    UsName { name: "air_degf", key: "air_degc", shift: -32.0, scale: 5.0 / 9.0 },
    UsName { name: "daily_range_degf", key: "daily_range_degc", shift: 0.0, scale: 5.0 / 9.0 },
    UsName { name: "wind_mph", key: WIND, shift: 0.0, scale: 0.447_04 },
];

/// A name with a US unit for one of the keys.
struct UsName {
    name: &'static str,
    key: &'static str,
    shift: f64,
    scale: f64,
}

/// What has been read so far.
struct Reader<'t> {
    text: &'t str,
    file: &'t str,
    faults: Vec<Fault>,
    places: BTreeMap<String, Range<usize>>,
    numbers: BTreeMap<&'static str, f64>,
    months: BTreeMap<&'static str, [f64; 12]>,
    /// Keys that the file gives under a name with a US unit.
    us: BTreeMap<&'static str, &'static UsName>,
    name: String,
}

impl Climate {
    /// Reads a climate from the text of a TOML file; `file` is its name for messages.
    ///
    /// The keys: `name` (text), `latitude_deg`, `longitude_deg`, `elevation_m`, `utc_offset_h` (numbers),
    /// `global_kwh_per_m2_day`, `air_degc`, `daily_range_degc` and, if known, `wind_m_per_s` (twelve numbers each,
    /// January first). With US units: `elevation_ft`, `air_degf`, `daily_range_degf` and `wind_mph` in place of theirs.
    ///
    /// # Errors
    /// Whatever is wrong with the text or with the climate, in the order of the lines.
    pub fn from_toml(text: &str, file: &str) -> Result<Self, Faults> {
        let mut reader = Reader {
            text,
            file,
            faults: Vec::new(),
            places: BTreeMap::new(),
            numbers: BTreeMap::new(),
            months: BTreeMap::new(),
            us: BTreeMap::new(),
            name: String::new(),
        };
        let table = DeTable::parse(text).map_err(|e| vec![reader.syntax(&e)])?;
        for (key, value) in table.get_ref() {
            reader.entry(key.get_ref(), key.span(), value);
        }
        let climate = reader.climate();
        if let Some(climate) = &climate {
            let written = |key: &str, value: f64| match reader.us.get(key) {
                Some(us) => value / us.scale - us.shift,
                None => value,
            };
            for fault in climate.faults(&written) {
                let found = reader.located(fault);
                reader.faults.push(found);
            }
        }
        reader.faults.sort_by_key(|f| (f.location.line.is_none(), f.location.line, f.location.column));
        match climate {
            Some(climate) if reader.faults.is_empty() => Ok(climate),
            _ => Err(reader.faults.into()),
        }
    }
}

impl Reader<'_> {
    fn entry(&mut self, key: &str, at: Range<usize>, value: &Spanned<DeValue<'_>>) {
        if key == NAME {
            match value.get_ref() {
                DeValue::String(name) => name.as_ref().clone_into(&mut self.name),
                other => self.wrong_type(key, value.span(), other.type_str(), "text in quotes"),
            }
            return;
        }
        let us = US.iter().find(|us| us.name == key);
        let canonical = us.map_or(key, |us| us.key);
        if let Some(other) = US.iter().find(|us| us.key == canonical)
            && self.places.contains_key(canonical)
        {
            self.fault(
                key,
                at,
                FaultKind::Contradiction,
                format!("{} given as well as {}", other.name, other.key),
                "one of the two".into(),
                "keep one of them",
            );
            return;
        }
        if let Some(us) = us {
            self.us.insert(us.key, us);
        }
        let in_base = |number: f64| us.map_or(number, |us| (number + us.shift) * us.scale);
        if let Some(key) = NUMBERS.into_iter().find(|k| *k == canonical) {
            self.places.insert(key.to_owned(), value.span());
            if let Some(number) = self.number(us.map_or(key, |us| us.name), value) {
                self.numbers.insert(key, in_base(number));
            }
        } else if let Some(key) = MONTHS.into_iter().find(|k| *k == canonical) {
            self.places.insert(key.to_owned(), value.span());
            if let Some(months) = self.twelve(key, us.map_or(key, |us| us.name), value) {
                self.months.insert(key, months.map(in_base));
            }
        } else {
            let us: Vec<&str> = US.iter().map(|us| us.name).collect();
            let known = [&[NAME][..], &NUMBERS, &MONTHS, &us].concat().join(", ");
            self.fault(
                key,
                at,
                FaultKind::UnknownKey,
                format!("unknown key {key:?}"),
                format!("climate keys: {known}"),
                "correct or remove it",
            );
        }
    }

    /// Twelve numbers as they are written; their places are kept under the key, faults name what is written.
    fn twelve(&mut self, key: &str, name: &str, value: &Spanned<DeValue<'_>>) -> Option<[f64; 12]> {
        let Some(array) = value.get_ref().as_array() else {
            self.wrong_type(
                name,
                value.span(),
                value.get_ref().type_str(),
                "a list of twelve numbers, January first",
            );
            return None;
        };
        if array.len() != 12 {
            self.fault(
                name,
                value.span(),
                FaultKind::WrongLength,
                format!("{} values", array.len()),
                "twelve values, January first".into(),
                "give one value for each month",
            );
            return None;
        }
        let mut months = [0.0; 12];
        let mut complete = true;
        for (m, (slot, item)) in months.iter_mut().zip(array.iter()).enumerate() {
            self.places.insert(format!("{key}[{}]", m + 1), item.span());
            match self.number(&format!("{name}[{}]", m + 1), item) {
                Some(number) => *slot = number,
                None => complete = false,
            }
        }
        complete.then_some(months)
    }

    fn number(&mut self, key: &str, value: &Spanned<DeValue<'_>>) -> Option<f64> {
        let parsed = match value.get_ref() {
            DeValue::Integer(n) => n.as_str().parse().ok(),
            DeValue::Float(n) => n.as_str().parse().ok(),
            other => {
                let found = other.type_str();
                self.wrong_type(key, value.span(), found, "a number without quotes; its unit is in the key");
                return None;
            }
        };
        if parsed.is_none() {
            self.fault(
                key,
                value.span(),
                FaultKind::NotANumber,
                "a number that cannot be read".into(),
                "a decimal number such as 4.5".into(),
                "write it in decimals",
            );
        }
        parsed
    }

    /// The climate, if nothing that it needs is missing or unreadable; each missing key becomes a fault.
    fn climate(&mut self) -> Option<Climate> {
        let broken: Vec<String> = self.faults.iter().filter_map(|f| f.location.key.clone()).collect();
        let absent = |key: &str, has: bool| {
            let name = self.us.get(key).map_or(key, |us| us.name);
            !has && !broken.iter().any(|b| b == name || b.starts_with(&format!("{name}[")))
        };
        let missing: Vec<&str> = NUMBERS
            .into_iter()
            .filter(|k| absent(k, self.numbers.contains_key(k)))
            .chain(MONTHS.into_iter().filter(|k| *k != WIND && absent(k, self.months.contains_key(k))))
            .collect();
        for key in missing {
            self.faults.push(Fault {
                location: Location {
                    file: Some(self.file.to_owned()),
                    key: Some(key.to_owned()),
                    ..Location::default()
                },
                kind: FaultKind::MissingKey,
                found: "no such key".into(),
                accepted: "a climate needs it".into(),
                way_out: if MONTHS.contains(&key) {
                    format!("add {key} = [ twelve numbers, January first ]")
                } else {
                    format!("add {key} = NUMBER")
                },
            });
        }
        Some(Climate {
            place: Place {
                name: self.name.clone(),
                latitude_deg: *self.numbers.get("latitude_deg")?,
                longitude_deg: *self.numbers.get("longitude_deg")?,
                elevation_m: *self.numbers.get("elevation_m")?,
                utc_offset_h: *self.numbers.get("utc_offset_h")?,
            },
            global_kwh_per_m2_day: *self.months.get("global_kwh_per_m2_day")?,
            air_degc: *self.months.get("air_degc")?,
            daily_range_degc: *self.months.get("daily_range_degc")?,
            wind_m_per_s: self.months.get(WIND).copied(),
        })
    }

    fn wrong_type(&mut self, key: &str, at: Range<usize>, found: &str, accepted: &str) {
        self.fault(
            key,
            at,
            FaultKind::WrongType,
            format!("a value of type {found}"),
            accepted.into(),
            "write it so",
        );
    }

    fn fault(
        &mut self,
        key: &str,
        at: Range<usize>,
        kind: FaultKind,
        found: String,
        accepted: String,
        way_out: &str,
    ) {
        let mut fault = Fault::at_key(key, kind, found, accepted, way_out);
        self.locate(&mut fault, Some(at));
        self.faults.push(fault);
    }

    /// A fault of the climate's check, with the place of the value that caused it.
    fn located(&self, mut fault: Fault) -> Fault {
        let at = fault.location.key.as_ref().and_then(|k| self.places.get(k)).cloned();
        if let Some(key) = &mut fault.location.key
            && let Some(us) = self.us.values().find(|us| key.split('[').next() == Some(us.key))
        {
            *key = key.replacen(us.key, us.name, 1);
        }
        self.locate(&mut fault, at);
        fault
    }

    fn locate(&self, fault: &mut Fault, at: Option<Range<usize>>) {
        fault.location.file = Some(self.file.to_owned());
        if let Some(before) = at.and_then(|at| self.text.get(..at.start)) {
            fault.location.line = Some(before.matches('\n').count() + 1);
            fault.location.column = before.rsplit('\n').next().map(|line| line.chars().count() + 1);
        }
    }

    fn syntax(&self, error: &toml::de::Error) -> Fault {
        let message: Vec<&str> = error.message().split_whitespace().collect();
        let mut fault = Fault {
            location: Location::default(),
            kind: FaultKind::Syntax,
            found: format!("not TOML: {}", message.join(" ")),
            accepted: "lines such as latitude_deg = 47.1".into(),
            way_out: "correct this line; other faults show once the file is valid TOML".into(),
        };
        self.locate(&mut fault, error.span());
        fault
    }
}
