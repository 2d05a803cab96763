//! Values that are words: choices, directions, months and dates.

use toml::de::DeValue;

use super::keys::{COMPASS, KeyDoc, Kind, MONTHS, Range, compass_deg, folded, month_number};
use super::reader::{Reader, Section, Value};
use super::values::number_of;
use crate::calendar::{DateSpan, MonthDay};
use crate::fault::{FaultKind, quoted};
use crate::nearest::nearest;
use crate::units::Quantity;

impl Reader<'_> {
    /// One of the words that the key allows, as its table spells it.
    pub(super) fn word(&mut self, section: &Section<'_>, name: &str) -> Option<&'static str> {
        self.key(section, name, |r, v, doc| match doc.kind {
            Kind::Word(words) => r.word_value(v, words.iter().copied(), doc),
            _ => None,
        })
    }

    pub(super) fn word_value<'w>(
        &mut self,
        v: Value<'_>,
        words: impl Iterator<Item = &'w str> + Clone,
        doc: &KeyDoc,
    ) -> Option<&'w str> {
        let list = words.clone().map(quoted).collect::<Vec<_>>().join(", ");
        let DeValue::String(text) = v.de else {
            self.wrong_type(v, &format!("one of {list}"), doc);
            return None;
        };
        let wanted = folded(text);
        // A hyphen is as good as a space: "hay davies".
        let same = |w: &&str| folded(w).replace('-', " ") == wanted.replace('-', " ");
        if let Some(word) = words.clone().find(same) {
            return Some(word);
        }
        let way_out = match nearest(&wanted, words) {
            Some(near) => format!("did you mean {}?", quoted(near)),
            None => "choose one of them".to_string(),
        };
        self.refuse(
            v,
            FaultKind::UnknownWord,
            format!("{} is not known here", quoted(text)),
            format!("one of {list}"),
            way_out,
        );
        None
    }

    pub(super) fn direction(&mut self, section: &Section<'_>, name: &str) -> Option<f64> {
        self.key(section, name, |r, v, doc| r.direction_value(v, doc))
    }

    /// Degrees from north, 0 ≤ a < 360.
    pub(super) fn direction_value(&mut self, v: Value<'_>, doc: &KeyDoc) -> Option<f64> {
        let turned = |a: f64| if a >= 360.0 { a - 360.0 } else { a };
        let range = Range::Between(0.0, 360.0);
        let doc = &doc.with(Kind::Quantity(Quantity::Angle), range);
        if let DeValue::String(text) = v.de {
            if !text
                .trim_start()
                .starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '+' | '.' | '−'))
            {
                if let Some(angle) = compass_deg(text) {
                    return Some(angle);
                }
                let word = folded(text).replace(' ', "-");
                let near = nearest(&word, COMPASS.iter().map(|(long, _)| *long));
                self.refuse(
                    v,
                    FaultKind::UnknownWord,
                    format!("{} is not a compass point", quoted(text)),
                    "degrees clockwise from north, such as 180, or a word such as \"south\" or \"south-west\"",
                    near.map_or_else(|| "write the degrees".to_string(), |n| format!("did you mean {}?", quoted(n))),
                );
                return None;
            }
            return self.quantity_value(v, doc).map(turned);
        }
        match number_of(v.de) {
            Some(value) => self.in_range(v, value, doc).map(turned),
            None => {
                self.wrong_type(v, "degrees clockwise from north, or a compass point", doc);
                None
            }
        }
    }

    pub(super) fn month(&mut self, section: &Section<'_>, name: &str) -> Option<u8> {
        self.key(section, name, |r, v, doc| {
            if let Some(n) = number_of(v.de) {
                let n = r.in_range(v, n, &doc.with(Kind::Number, Range::Between(1.0, 12.0)))?;
                let month = (1_u8..=12).find(|m| (f64::from(*m) - n).abs() < 1e-9);
                if month.is_none() {
                    r.wrong_type(v, "a month by name or by a whole number", doc);
                }
                return month;
            }
            if let DeValue::String(text) = v.de
                && let Some(month) = month_number(text)
            {
                return Some(month);
            }
            let word = r.word_value(v, MONTHS.iter().copied(), doc)?;
            month_number(word)
        })
    }

    pub(super) fn dates(&mut self, section: &Section<'_>, name: &str) -> Vec<DateSpan> {
        let read = self.key(section, name, |r, v, doc| match v.de {
            DeValue::Array(list) => {
                let mut spans = Vec::new();
                for (i, item) in list.iter().enumerate() {
                    let path = format!("{}[{}]", v.path, i + 1);
                    let at = item.span().start;
                    r.note(&path, at);
                    spans.extend(r.span_value(Value { path: &path, at: Some(at), de: item.get_ref() }, doc));
                }
                Some(spans)
            }
            _ => r.span_value(v, doc).map(|span| vec![span]),
        });
        read.unwrap_or_default()
    }

    /// A date without a year.
    pub(super) fn month_day(&mut self, section: &Section<'_>, name: &str) -> Option<MonthDay> {
        self.key(section, name, |r, v, doc| {
            let span = r.span_value(v, doc)?;
            if span.from == span.to {
                return Some(span.from);
            }
            r.wrong_type(v, "one date, not a span", doc);
            None
        })
    }

    pub(super) fn span_value(&mut self, v: Value<'_>, doc: &KeyDoc) -> Option<DateSpan> {
        let DeValue::String(text) = v.de else {
            self.wrong_type(v, "dates without a year as text: \"11-15\" or \"11-01 to 04-30\"", doc);
            return None;
        };
        let (from, to) = text.split_once(" to ").unwrap_or((text, text));
        let (from, to) = (MonthDay::read(from), MonthDay::read(to));
        if let (Some(from), Some(to)) = (from, to) {
            return Some(DateSpan { from, to });
        }
        self.refuse(
            v,
            FaultKind::OutOfRange,
            format!("{} is not a date or span of dates", quoted(text)),
            "month-day, or two of them: \"11-15\", \"11-01 to 04-30\"",
            "write the month first, then the day, without a year",
        );
        None
    }
}
