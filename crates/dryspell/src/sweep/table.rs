//! A table of cases: a column for each key, a row for each case.

use super::Axis;
use super::axis::{literal, several, unknown};
use super::literals::Literals;
use super::typed::{columns, of_column};
use crate::fault::{Fault, FaultKind, Faults, quoted};
use crate::keys::{self, KeyDoc};
use crate::results::{Content, HEADLINES};

/// A column of a table of results that says where a case comes from.
#[derive(Debug, Clone, Copy)]
pub struct AboutACase {
    /// Its name.
    pub name: &'static str,
    /// What its cells are.
    pub content: Content,
    /// Its unit; empty for text.
    pub unit: &'static str,
    /// What it means.
    pub meaning: &'static str,
}

impl AboutACase {
    const fn new(name: &'static str, content: Content, unit: &'static str, meaning: &'static str) -> Self {
        Self { name, content, unit, meaning }
    }
}

/// The column that tells cases apart.
pub const CASE: AboutACase = AboutACase::new("case", Content::Count, "", "number of the case, from 0");

/// Columns of a table of results that say where a case comes from.
pub const ABOUT_A_CASE: [AboutACase; 9] = [
    AboutACase::new("site_name", Content::Text, "", "name of the weather's place"),
    AboutACase::new("latitude_deg", Content::Number, "deg", "its latitude, north positive"),
    AboutACase::new("longitude_deg", Content::Number, "deg", "its longitude, east positive"),
    AboutACase::new("scheme_sha256", Content::Text, "", "SHA-256 of the scheme as given"),
    AboutACase::new(
        "weather_sha256",
        Content::Text,
        "",
        "SHA-256 of the weather; of several files joined by `+`",
    ),
    AboutACase::new(
        "inputs_hash",
        Content::Text,
        "",
        "SHA-256 of the list of all that the table rests on: scheme, weather, tables, cases, program",
    ),
    AboutACase::new("case_hash", Content::Text, "", "that of `run --json` for the same case"),
    AboutACase::new("seed", Content::Count, "", "seed of made years; empty where the weather is a file"),
    AboutACase::new("fault", Content::Text, "", "why the case could not run; its headlines are then empty"),
];

/// Whether a column sets nothing: a label, or one of a table of results.
fn sets_nothing(name: &str) -> bool {
    name == CASE.name
        || ABOUT_A_CASE.iter().any(|own| own.name == name)
        || HEADLINES.iter().any(|headline| headline.name == name)
}

/// A table of cases on its way to axes that go together.
#[derive(Debug, Clone)]
pub struct CaseTable {
    columns: Vec<CaseColumn>,
    rows: usize,
}

#[derive(Debug, Clone)]
struct CaseColumn {
    /// Where it stands in a row.
    at: usize,
    key: String,
    doc: &'static KeyDoc,
    /// Unit of its numbers, where the name says one.
    unit: Option<&'static str>,
    literals: Literals,
}

impl CaseTable {
    /// A table by the names of its columns: dotted keys, with the unit of their numbers behind them or without. A column `case` is a
    /// label; columns of a table of results set nothing, so that such a table is one of cases, too.
    ///
    /// # Example
    /// Two sites, each with its own tilt; the second keeps the scheme's tank.
    /// ```
    /// use dryspell::sweep::CaseTable;
    /// let mut table = CaseTable::new(&["weather.file", "array.shed.tilt_deg", "tank.main.capacity"])?;
    /// table.add(&["a.csv", "55", "12 m3"]);
    /// table.add(&["b.csv", "61.5", ""]);
    /// let axes = table.axes()?;
    /// assert_eq!(axes[1].key, "array.shed.tilt");
    /// assert_eq!(axes[1].shown(1), "61.5 deg");
    /// # Ok::<(), dryspell::fault::Faults>(())
    /// ```
    ///
    /// # Errors
    /// Names that are no key, no name at all.
    pub fn new(names: &[&str]) -> Result<Self, Faults> {
        let mut faults = Vec::new();
        let mut columns = Vec::new();
        for (at, name) in
            names.iter().map(|name| name.trim()).enumerate().filter(|(_, name)| !sets_nothing(name))
        {
            let one = of_column(name).filter(|_| !name.contains('*'));
            let known = one.and_then(|(key, unit)| Some((key, keys::of_path(key)?, unit)));
            match known {
                Some((key, doc, unit)) => {
                    columns.push(CaseColumn {
                        at,
                        key: key.to_owned(),
                        doc,
                        unit,
                        literals: Literals::default(),
                    });
                }
                None => faults.push(no_column(name)),
            }
        }
        if columns.is_empty() && faults.is_empty() {
            faults.push(Fault::at_key(
                "--cases",
                FaultKind::MissingKey,
                format!("no column of a key in {}", quoted(&names.join(","))),
                "a first line with keys of the scheme, such as tank.main.capacity_m3",
                "name what each column sets",
            ));
        }
        if faults.is_empty() { Ok(Self { columns, rows: 0 }) } else { Err(faults.into()) }
    }

    /// Adds a case. A cell stands as in a scheme; where the name of its column has a unit it is a number; an empty one leaves the
    /// scheme's value.
    pub fn add(&mut self, row: &[&str]) {
        for column in &mut self.columns {
            let cell = row.get(column.at).map_or("", |cell| cell.trim());
            match column.unit {
                _ if cell.is_empty() => column.literals.push(""),
                // A list or a table stands as it would in the file.
                None if cell.starts_with(['[', '{']) => column.literals.push(cell),
                None => column.literals.push(&literal(column.doc, cell.trim_matches('"'))),
                Some(unit) => column.literals.push(&format!("\"{cell} {unit}\"")),
            }
        }
        self.rows += 1;
    }

    /// The axes, which go together.
    ///
    /// # Errors
    /// A table without rows.
    pub fn axes(self) -> Result<Vec<Axis>, Fault> {
        if self.rows == 0 {
            return Err(Fault::at_key(
                "--cases",
                FaultKind::OutOfRange,
                "a table without rows",
                "a row for each case",
                "add the cases below the names of the columns",
            ));
        }
        Ok(self
            .columns
            .into_iter()
            .map(|column| Axis { key: column.key, literals: column.literals })
            .collect())
    }
}

/// The fault of a name that is no column: where only its ending is none, the endings that are.
fn no_column(name: &str) -> Fault {
    if name.contains('*') {
        return several("--cases", name);
    }
    let mut ends = name.rmatch_indices('_').map(|(at, _)| &name[..at]);
    let known = ends.find_map(|key| keys::of_path(key).map(|doc| (key, doc)));
    let Some((key, doc)) = known else { return unknown("--cases", name) };
    let axis = Axis { key: key.to_owned(), literals: std::iter::once("0".to_owned()).collect() };
    let columns: Vec<String> = columns(&axis).into_iter().map(|column| column.name).collect();
    Fault::at_key(
        "--cases",
        FaultKind::UnknownKey,
        format!("{} is no column of {key}", quoted(name)),
        format!("{key}, with cells as in a scheme ({}), or {}", doc.example, columns.join(", ")),
        "convert the numbers, or write the unit into each cell",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_stand_as_in_a_scheme_or_are_numbers_in_the_unit_of_their_name() {
        let names = [
            "case",
            "herd.cows.count",
            "array.shed.soiling_percent",
            "array.shed.azimuth_deg",
            "snow.covered",
            "well.static_level_m",
        ];
        let mut table = CaseTable::new(&names).unwrap();
        table.add(&["first", "46", "3.5", "182.5", "[\"12-01 to 12-03\"]", "18.25"]);
        table.add(&["second", "", "3", "", "01-02", "x"]);
        let axes = table.axes().unwrap();
        let row = |row: usize| axes.iter().map(|axis| axis.literals.get(row)).collect::<Vec<_>>();
        assert_eq!(row(0), ["46", "\"3.5 %\"", "\"182.5 deg\"", "[\"12-01 to 12-03\"]", "\"18.25 m\""]);
        assert_eq!(row(1), ["", "\"3 %\"", "", "\"01-02\"", "\"x m\""]);
    }

    #[test]
    fn names_that_are_no_keys_are_all_told() {
        let faults =
            CaseTable::new(&["tank.main.capasity", "herd.cows.count", "well.static_level_ft"]).unwrap_err();
        let text = faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n");
        assert!(
            text.contains("did you mean tank.main.capacity?") && text.contains("static_level_ft"),
            "{text}"
        );
        // A wrong ending is answered with the right one, a star with what to do.
        assert!(text.contains("or well.static_level_m; convert the numbers"), "{text}");
        let star = CaseTable::new(&["herd.*.count"]).unwrap_err();
        assert!(star[0].to_string().contains("name each key"), "{star:?}");
        assert!(CaseTable::new(&["case"]).unwrap_err()[0].to_string().contains("no column of a key"));
        assert!(
            CaseTable::new(&["herd.cows.count"])
                .unwrap()
                .axes()
                .unwrap_err()
                .to_string()
                .contains("without rows")
        );
    }
}
