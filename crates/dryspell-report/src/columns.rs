//! What every column and figure means: the tables that the program writes, with name, unit, kind and meaning of each column.

use dryspell::results::{
    AGED, ARRAYS, CHECKS, Content, DETAILS, DULLEST, Field, GOAL, HEADLINES, HEADS, HELD_BACK, HERDS,
    HYDRANTS, INFLOWS, MENDS, PIPES, RUN_TABLES, STRESSES, TANKS, WELLS, WHAT_IF, WHY, WORST_YEAR, content,
};
use dryspell::simulate::TankResult;
use dryspell::sweep::{ABOUT_A_CASE, CASE};
use dryspell::worksheet::{PIPE_HEADS, WORKSHEET};
use serde::Serialize;

use crate::layout::wrap_to;
use crate::values::VALUES;

/// A column.
#[derive(Debug, Clone, Serialize)]
pub struct ColumnTold {
    /// Its name.
    pub name: &'static str,
    /// Its unit; empty for counts, dates and text.
    pub unit: &'static str,
    /// What its cells are: count, number, flag, date or text; `None` where a table has no types.
    pub kind: Option<&'static str>,
    /// What it means.
    pub meaning: &'static str,
}

/// A table that the program writes.
#[derive(Debug, Clone, Serialize)]
pub struct ColumnTable {
    /// What it is called where a word must do, such as in JSON.
    pub name: &'static str,
    /// Its heading.
    pub heading: &'static str,
    /// Where it stands, and what its rows are.
    pub about: String,
    /// Its columns, in order.
    pub columns: Vec<ColumnTold>,
}

/// A meaning with its unit.
#[must_use]
pub fn told(meaning: &str, unit: &str) -> String {
    if unit.is_empty() { meaning.to_owned() } else { format!("{meaning} [{unit}]") }
}

fn table<R: ?Sized>(
    name: &'static str,
    heading: &'static str,
    about: impl Into<String>,
    fields: &[Field<R>],
) -> ColumnTable {
    let column = |field: &Field<R>| ColumnTold {
        name: field.name,
        unit: field.unit,
        kind: None,
        meaning: field.meaning,
    };
    ColumnTable { name, heading, about: about.into(), columns: fields.iter().map(column).collect() }
}

/// A table whose columns have kinds.
fn typed(table: ColumnTable, contents: impl IntoIterator<Item = Content>) -> ColumnTable {
    let kinds = contents.into_iter().map(|content| Some(content.word()));
    let columns = table.columns.into_iter().zip(kinds).map(|(column, kind)| ColumnTold { kind, ..column });
    ColumnTable { columns: columns.collect(), ..table }
}

/// Where a list stands in the JSON.
fn part(name: &str) -> String {
    format!("`{name}` in the JSON of a run.")
}

/// Every table, in the order in which a reader meets them.
#[must_use]
pub fn tables() -> Vec<ColumnTable> {
    let mut all: Vec<ColumnTable> = RUN_TABLES
        .iter()
        .map(|run| {
            let (heading, about) = of_run(run.name);
            typed(table(run.name, heading, about, run.fields), run.contents())
        })
        .collect();
    all.push(typed(
        table::<TankResult>(
            "headlines",
            "Headlines",
            "One figure each. Under one `schema` names are only ever added. They are the top of `dryspell run SCHEME --json FILE`, the \
             columns of a sweep and the lines of `dryspell compare`. A dot in a name is a table within the table in JSON, and part of \
             the column's name in CSV.",
            HEADLINES,
        ),
        HEADLINES.iter().map(content),
    ));
    all.push(case());
    all.push(table(
        "worksheet",
        "Worksheet",
        "`worksheet` in the JSON of a run: the figures of a conventional worksheet, for a reviewer who works by one.",
        WORKSHEET,
    ));
    all.push(table(
        "goal",
        "Goal",
        "`goal` in the JSON of a run: a row for each thing that the scheme's table `[goal]` asks. Empty without a goal.",
        GOAL,
    ));
    judged(&mut all);
    tried(&mut all);
    all.push(table("details", "Details", part("details"), DETAILS));
    all.push(table("values", "Values and their sources", part("values"), VALUES));
    all.push(table("arrays", "Arrays", part("arrays"), ARRAYS));
    all.push(table("pipes", "Pipes", part("pipes"), PIPES));
    all.push(table("herds", "Herds and other draws", part("herds"), HERDS));
    all.push(table("inflows", "Inflows besides the pump", part("inflows"), INFLOWS));
    all.push(table("tanks", "Tanks", part("tanks") + " Empty where there is one.", TANKS));
    all.push(table("wells", "Wells", part("wells") + " Empty where there is one.", WELLS));
    all.push(table("hydrants", "Hydrants", part("hydrants"), HYDRANTS));
    all
}

/// Heading and words for a table of a run.
fn of_run(name: &str) -> (&'static str, &'static str) {
    match name {
        "hours" => (
            "Every hour",
            "`dryspell run SCHEME --hourly FILE`: one row an hour. A scheme with several arrays has a column for each at the end, such \
             as `plane_w_per_m2.roof`; one with several tanks or wells `tank_stored_m3.hill`, `tank_from_tank_m3.hill` and \
             `well_pumped_m3.east` (the scheme's own well is `first`).",
        ),
        "days" => ("Every day", "`dryspell run SCHEME --daily FILE`: one row a day."),
        "months" => ("Months", "`months` in the JSON of a run, from January on."),
        _ => ("Tank years", "`years` in the JSON of a run: one row for each tank year."),
    }
}

/// What stands before the headlines in a sweep's row.
fn case() -> ColumnTable {
    let about = [CASE].into_iter().chain(ABOUT_A_CASE).map(|own| ColumnTold {
        name: own.name,
        unit: own.unit,
        kind: Some(own.content.word()),
        meaning: own.meaning,
    });
    ColumnTable {
        name: "case",
        heading: "What else a row of a sweep holds",
        about: "Before the headlines, in `dryspell sweep SCHEME … --out FILE`. Behind `case` stand the keys varied, a column for each: a \
                number in the key's base unit, which its name ends with, such as `tank.main.capacity_m3`; twelve columns where its values \
                are lists by months; text as it was given; empty where the scheme's value stays; those of the tank come last."
            .to_owned(),
        columns: about.collect(),
    }
}

/// Lists by which a reviewer judges the run.
fn judged(all: &mut Vec<ColumnTable>) {
    all.push(table("worksheet.pipes", "Pipes of the worksheet", part("worksheet.pipes"), PIPE_HEADS));
    all.push(table(
        "why",
        "Why it goes short",
        part("why")
            + " What led to the lowest level of the worst spell, or of the critical spell where none is short; null where no pump lifts.",
        WHY,
    ));
    all.push(table("why.held_back", "What held the flow back", part("why.held_back"), HELD_BACK));
    all.push(table(
        "dullest_days",
        "Dullest days in a row",
        part("dullest_days") + " A row for 3, 5, 10 and 20 days in a row, as far as the stock stays so long.",
        DULLEST,
    ));
    all.push(table(
        "heads",
        "Heads",
        part("heads") + " A row for the hour of the highest flow, for that of the deepest water, and for the hardest month.",
        HEADS,
    ));
    all.push(table(
        "worst_year",
        "Worst year",
        part("worst_year") + " A row for each calendar month of the tank year with most days of shortfall, and one for all of it.",
        WORST_YEAR,
    ));
    all.push(table(
        "checks",
        "What the parts must bear",
        part("checks") + " A row for each check that fits the scheme.",
        CHECKS,
    ));
}

/// Lists of what is tried beside a run.
fn tried(all: &mut Vec<ColumnTable>) {
    all.push(table(
        "mends",
        "What mends it",
        "`mends` in the JSON of `dryspell run --full`: single changes, the first first. Empty where nothing needs mending.",
        MENDS,
    ));
    all.push(table(
        "stresses",
        "What breaks it first",
        "`stresses` in the JSON of `dryspell run --full`: a row for each stress that fits the scheme, each by itself.",
        STRESSES,
    ));
    all.push(table(
        "aged",
        "The scheme some years older",
        "`aged` in the JSON of `dryspell run --full`.",
        AGED,
    ));
    all.push(table(
        "what_if",
        "The scheme's own questions",
        "`what_if` in the JSON of `dryspell run --full`: a row for each table `[what_if.NAME]`.",
        WHAT_IF,
    ));
}

/// Tables and what their columns mean, as a page; `about` tells of each table where it stands.
#[must_use]
pub fn page(tables: &[ColumnTable], about: bool) -> String {
    let mut out = String::new();
    for table in tables {
        if !out.is_empty() {
            out.push('\n');
        }
        out.push_str(&table.heading.to_uppercase());
        out.push('\n');
        if about {
            wrap_to(&mut out, "  ", "  ", &table.about.replace('`', ""));
        }
        for column in &table.columns {
            let told = told(&column.meaning.replace('`', ""), column.unit);
            wrap_to(&mut out, &format!("  {}: ", column.name), "      ", &told);
        }
    }
    out
}

/// The tables with the columns whose name or meaning has every word given; a word that is a table's name asks for that table.
#[must_use]
pub fn found(words: &[String]) -> Vec<ColumnTable> {
    let mut tables = tables();
    let words: Vec<String> = words.iter().map(|word| word.to_lowercase()).collect();
    let (named, words): (Vec<String>, Vec<String>) =
        words.into_iter().partition(|word| tables.iter().any(|table| table.name == word));
    tables.retain(|table| named.is_empty() || named.iter().any(|name| name == table.name));
    for table in &mut tables {
        table.columns.retain(|column| {
            let (name, meaning) = (column.name.to_lowercase(), column.meaning.to_lowercase());
            words.iter().all(|word| name.contains(word) || meaning.contains(word))
        });
    }
    tables.retain(|table| !table.columns.is_empty());
    tables
}

/// All of it for other programs.
#[derive(Debug, Serialize)]
pub struct Dictionary {
    /// Name and version of this shape.
    pub schema: &'static str,
    /// The tables.
    pub tables: Vec<ColumnTable>,
}

impl Dictionary {
    /// Of these tables.
    #[must_use]
    pub const fn new(tables: Vec<ColumnTable>) -> Self {
        Self { schema: "dryspell-columns-1", tables }
    }
}
