//! Pages made from the program's own lists.

use std::fmt::Write as _;

use dryspell::results::HEADLINES;

use super::blocks::Page;
use super::{guide, refresh};

/// What stands in the JSON of a run besides the lists.
const OTHERS: [(&str, &str); 33] = [
    ("`goal`", "a row for each thing that the scheme's goal asks, below; empty without a goal"),
    ("`months`", "the month table, twelve rows"),
    ("`years`", "the table of tank years"),
    ("`worksheet`", "the conventional worksheet; null where the scheme does not run in full sun"),
    ("`why`", "why it goes short, or what came nearest to it, below; null where no pump lifts"),
    ("`dullest_days`", "the dullest 3, 5, 10 and 20 days in a row, below"),
    (
        "`heads`",
        "the head at the highest flow, at the deepest water and in the hardest month, below; empty where no pump lifts",
    ),
    (
        "`worst_year`",
        "the worst tank year by month and whole, thirteen rows, below; empty with fewer than two whole tank years",
    ),
    (
        "`checks`",
        "what the parts must bear: velocity, pressure, water in the well, head, voltage in the cold, below",
    ),
    ("`mends`", "what would mend it, below; tried with `--full` alone"),
    (
        "`stresses`",
        "what breaks it first, below; null without `--full`, empty where it is broken as it stands",
    ),
    ("`aged`", "the scheme after 10 and 20 years, below; null and empty as `stresses`"),
    ("`what_if`", "a row for each question of the scheme, below; asked with `--full` alone"),
    ("`details`", "what else the page shows, below"),
    ("`arrays`", "a row for each array, below"),
    ("`pipes`", "a row for each pipe from the well to the tank, below"),
    ("`herds`", "a row for each group, below"),
    ("`inflows`", "a row for each inflow besides the pump, below; none without"),
    ("`tanks`", "a row for each tank, below; none where there is one"),
    ("`wells`", "a row for each well, below; none where there is one"),
    ("`hydrants`", "a row for each hydrant, below; none without"),
    ("`answer`", "the first lines of the report, as one text"),
    ("`warnings`", "what must not be overlooked, the worst first"),
    ("`assumptions`", "every default and every note of the weather: `what`, `value`, `source`"),
    ("`values`", "every value that the run rests on, with line and source, below"),
    ("`simplifications`", "what the calculation leaves aside, and on which side that errs"),
    ("`cautions`", "the cautions that every output carries"),
    ("`scheme`", "`name`, `file`, `sha256`"),
    (
        "`weather`",
        "place, clock, format, files and `sha256` of the weather; `station`: the file's own place with distance and height, null where the site is taken there",
    ),
    ("`inputs`", "every file and text that the run rests on: `role`, `name`, `bytes`, `sha256`"),
    ("`inputs_hash`", "SHA-256 of that list: equal only for the same files"),
    (
        "`case_hash`",
        "SHA-256 of what the numbers depend on: equal cases, equal hash, however they are written",
    ),
    ("`program`", "`name` and `version`"),
];

fn listed(page: &mut String, heading: &str, about: &str, rows: &[(&str, &str)]) {
    write!(page, "\n## {heading}\n\n{about}\n\n| name | meaning |\n| --- | --- |\n").unwrap();
    for (name, meaning) in rows {
        writeln!(page, "| {name} | {meaning} |").unwrap();
    }
}

fn columns() -> String {
    let mut page = String::from(
        "# Columns and headlines\n\nEvery figure of every file, with unit and meaning. Files are SI, with the unit in the \
         name, whatever the report's units; tables of hours and days have `_gal`, `_ft` and `_degf` with `run --units us`. \
         What is not known is empty in CSV and `null` in JSON, not 0. Terms are \
         explained in the [glossary](glossary.md).\n",
    );
    for table in dryspell_report::columns::tables() {
        let kinds = table.columns.iter().any(|column| column.kind.is_some());
        let (head, rule) = if kinds { (" kind |", " --- |") } else { ("", "") };
        write!(
            page,
            "\n## {}\n\n{}\n\n| name | unit |{head} meaning |\n| --- | --- |{rule} --- |\n",
            table.heading, table.about
        )
        .unwrap();
        for column in &table.columns {
            let unit = if column.unit.is_empty() { "–" } else { column.unit };
            let kind = column.kind.map_or_else(String::new, |kind| format!(" {kind} |"));
            writeln!(page, "| `{}` | {unit} |{kind} {} |", column.name, column.meaning.replace('|', "\\|"))
                .unwrap();
        }
    }
    listed(&mut page, "What else the JSON of a run holds", "Beside the headlines:", &OTHERS);
    page.push_str(
        "\nThis page is made from the program's lists: \
         `DRYSPELL_WRITE=1 cargo test -p dryspell-cli --test cli readme` writes it anew.\n",
    );
    page
}

fn keys() -> String {
    let page = dryspell::keys::page();
    let tables = page.strip_prefix("# Keys\n").unwrap();
    // What stands above a table is its heading.
    let parts: Vec<&str> = tables.split("\n\n").collect();
    let tables: String = parts
        .iter()
        .enumerate()
        .map(|(i, part)| {
            let above = parts.get(i + 1).is_some_and(|next| next.starts_with("| "));
            format!("{}{}\n\n", if above { "## " } else { "" }, part.trim_matches([':', '\n']))
        })
        .collect();
    let tables = tables.trim_end();
    format!(
        "# Keys of a scheme\n\nEvery key that a scheme may have, one table for each table of the file. \"holds\" says how a \
         value is written: a number with a dimension carries its unit in quotes, and metric and US units are equal. \
         \"when left out\" is the default with its source. `NAME` is a name of your own. `dryspell new` writes a scheme \
         with most of these keys as notes.\n\n{tables}\n\nThis page is made from the program's list of keys: \
         `DRYSPELL_WRITE=1 cargo test -p dryspell-cli --test cli readme` writes it anew.\n"
    )
}

fn is_up_to_date(name: &str, page: &str) {
    let file = guide().join(name);
    if refresh::wanted() {
        std::fs::write(&file, page).unwrap();
    }
    let found = std::fs::read_to_string(&file).unwrap_or_default();
    assert!(found == page, "run with DRYSPELL_WRITE=1 to write {} anew", file.display());
}

#[test]
fn the_page_of_columns_is_made_from_the_lists() {
    is_up_to_date("columns.md", &columns());
}

#[test]
fn the_page_of_keys_is_made_from_the_list() {
    is_up_to_date("keys.md", &keys());
}

/// The names that this page gives to the parts of the JSON are those that the program writes.
#[test]
fn the_json_of_a_run_holds_what_the_page_says() {
    let answer =
        crate::program::run_in(&crate::support::root(), &["run", "data/demo/scheme.toml", "--json", "-"]);
    let json: serde_json::Value = serde_json::from_str(&answer.out).unwrap();
    let headlines: Vec<&str> = HEADLINES.iter().map(|f| f.name.split('.').next().unwrap()).collect();
    let others: Vec<&str> = OTHERS.iter().map(|o| o.0.trim_matches('`')).collect();
    for key in json.as_object().unwrap().keys() {
        assert!(headlines.contains(&key.as_str()) || others.contains(&key.as_str()), "{key} is on no list");
    }
    for other in others {
        assert!(json.get(other).is_some(), "the JSON has no {other}");
    }
}

/// Each name in the last column of the glossary and of the assumptions is a field, a key or a command.
#[test]
fn the_guide_names_what_there_is() {
    let tables = dryspell_report::columns::tables();
    let fields: Vec<&str> = tables.iter().flat_map(|table| table.columns.iter().map(|c| c.name)).collect();
    let is_command = |name: &str| {
        let command = name.strip_prefix("dryspell ").and_then(|rest| rest.split(' ').next());
        command.is_some_and(|c| crate::program::Desk::new().run(&[c, "--help"]).code == 0)
    };
    for (file, least) in [("glossary.md", 60), ("assumptions.md", 40)] {
        let page = std::fs::read_to_string(guide().join(file)).unwrap();
        let mut rows = 0;
        for row in page.lines().filter(|l| l.starts_with("| ") && !l.starts_with("| --- ")) {
            let place = row.trim_matches('|').rsplit('|').next().unwrap();
            for name in place.split('`').skip(1).step_by(2) {
                let key = dryspell::keys::of_path(&name.replace("NAME", "main")).is_some();
                assert!(
                    fields.contains(&name) || key || is_command(name),
                    "{file}: {name} is nowhere: {row}"
                );
            }
            rows += 1;
        }
        assert!(rows > least, "{file}: only {rows} rows");
    }
}

/// The sections of the document that the applicant's page lists are those that the document has. Written anew, each takes
/// the name of the section in its place.
pub fn sections(page: &mut Page) -> Result<(), String> {
    let desk = crate::program::Desk::new();
    let out = desk.path("summary.html");
    let args = ["summary", "data/demo/scheme.toml", "-o", out.to_str().unwrap()];
    assert_eq!(crate::program::run_in(&crate::support::root(), &args).code, 0);
    let document = desk.read("summary.html");
    let headings: Vec<&str> = document
        .split("<h")
        .filter(|rest| rest.starts_with(['2', '3']))
        .map(|rest| rest.split('>').nth(1).unwrap().split('<').next().unwrap().trim())
        .filter(|heading| *heading != "Cautions")
        .collect();
    // Below the table's head, its line and the answer, which has no heading.
    let rows: Vec<&mut String> = page.table("| section |").skip(3).collect();
    let listed: Vec<String> =
        rows.iter().map(|row| row.split(" | ").next().unwrap()[2..].to_owned()).collect();
    if refresh::wanted() && listed.len() == headings.len() {
        for ((row, old), new) in rows.into_iter().zip(&listed).zip(headings) {
            *row = row.replacen(old, new, 1);
        }
        return Ok(());
    }
    if listed == headings {
        Ok(())
    } else {
        Err(format!("the page lists {listed:?}, the document has {headings:?}"))
    }
}
