//! The page of all keys.

use super::{KEYS, Kind, Presence, SECTIONS};
use crate::draw::pattern::PRESETS;
use crate::pipe::{FITTINGS, MATERIALS};
use crate::units::{Quantity, System};

/// The page of all keys, in Markdown: one table for each table of the file.
#[must_use]
pub fn page() -> String {
    use std::fmt::Write as _;

    let mut out = String::from("# Keys\n");
    let mut part = |section: &str, heading: String| {
        // Writing to a String cannot fail.
        let _ = writeln!(out, "\n{heading}");
        if !KEYS.iter().any(|k| k.section == section) {
            return;
        }
        let _ = write!(
            out,
            "\n| key | holds | range | when left out | example | meaning |\n| --- | --- | --- | --- | --- \
             | --- |\n"
        );
        for key in KEYS.iter().filter(|k| k.section == section) {
            let left_out = match key.presence {
                Presence::Needed => "needed".to_string(),
                Presence::Default { literal, source } => format!("`{literal}`: {source}"),
                Presence::Without { value, means } => format!("{value}: {means}"),
                Presence::Free { note } => note.to_string(),
            };
            let _ = writeln!(
                out,
                "| `{}` | {} | {} | {left_out} | `{}` | {} |",
                key.name,
                key.kind.words(),
                key.range.text(key.kind, System::Si),
                key.example,
                key.meaning
            );
        }
    };
    part("", "At the top of the file:".to_string());
    let mut alike = Vec::new();
    for section in SECTIONS {
        let need = if section.needed { "" } else { " (may be left out)" };
        let path = section.path.replace('*', "NAME");
        match section.like {
            None => part(section.path, format!("`[{path}]`: {}{need}", section.meaning)),
            Some(other) => alike.push(format!(
                "`[{path}]`: {}{need}; its keys are those of `[{}]`.",
                section.meaning,
                other.replace('*', "NAME")
            )),
        }
    }
    for line in alike {
        out.push('\n');
        out.push_str(&line);
        out.push('\n');
    }
    out
}

fn listed<'a>(words: impl Iterator<Item = &'a str>) -> String {
    words.map(|w| format!("`\"{w}\"`")).collect::<Vec<_>>().join(" or ")
}

impl Kind {
    /// What a key of this kind holds, in words.
    #[must_use]
    pub fn words(self) -> String {
        let unit = |q: Quantity| match q.units() {
            [first, second, ..] => format!("{} (`{}`, `{}`, …)", q.name(), first.symbol, second.symbol),
            [first] => format!("{} (`{}`)", q.name(), first.symbol),
            [] => q.name().to_string(),
        };
        match self {
            Self::Text => "text".into(),
            Self::Names => "a name or a list of them".into(),
            Self::Settings => "one setting as `--set` takes it, or a list".to_owned(),
            Self::Files => "a file name or a list of them".into(),
            Self::Word(words) => listed(words.iter().copied()),
            Self::Material => listed(MATERIALS.iter().map(|(name, _)| *name)),
            Self::Quantity(q) => unit(q),
            Self::Months(q) => format!("{}, or twelve from January", unit(q)),
            Self::Coefficient(q) => format!("{}, or in `%/K`", unit(q)),
            Self::Ratio => "a number, or a share in `%`".into(),
            Self::Number => "a number".into(),
            Self::Count => "a whole number".into(),
            Self::Flag => "`true` or `false`".into(),
            Self::Direction => "a compass point, or degrees from north".into(),
            Self::Month => "a month".into(),
            Self::Dates => "dates: `\"11-15\"`, `\"11-01 to 04-30\"`, or a list".into(),
            Self::MonthDay => "a date: `\"05-01\"`".into(),
            Self::Stages => "four numbers of days".into(),
            Self::Hours => "a list of whole numbers".into(),
            Self::Places => "rows of a place and its dates".into(),
            Self::Counts => "rows of dates and number of head".into(),
            Self::Pattern => format!("{}, or 24 shares that sum to 1", listed(PRESETS.iter().copied())),
            Self::Seasons => "pairs of dates and tilt".into(),
            Self::Horizon => "pairs of azimuth and elevation".into(),
            Self::Rows(what) => format!("{what}, or the name of a CSV file with these columns"),
            Self::Duty => "rows of head, power and flow, or the name of a CSV file with these columns".into(),
            Self::Fittings => {
                let names: Vec<String> =
                    FITTINGS.iter().map(|(n, _)| format!("`{}`", n.replace(' ', "_"))).collect();
                format!("a table of {} and the number of each", names.join(", "))
            }
        }
    }
}
