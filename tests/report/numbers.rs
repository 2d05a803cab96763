//! Every number on the pages of a run is one of the lists'.
//!
//! Read are all numbers of three and more significant digits on the report of the terminal and on the document, in both
//! systems of units. Left out are, and nothing else: hashes, versions, dates, names with figures in them (they are no
//! numbers), the years of the works named in [`WORKS`], and the ticks of axes, round numbers that a drawing chooses.

use std::path::Path;

use dryspell::scheme::Scheme;
use dryspell::simulate::simulate;
use dryspell::units::System;
use dryspell_report::{Input, Inputs, Report, Role, Tried, exporter};

use crate::known::Known;

/// Shipped schemes, and what is added to them.
const DEMOS: [(&str, &str); 9] = [
    ("scheme", ""),
    ("roomy", ""),
    ("rounds", ""),
    ("brushed", ""),
    ("five_herds", ""),
    ("three_tanks", ""),
    ("scheme", INFLOWS),
    ("scheme", BACKUP),
    ("roomy", GOAL),
];

/// All that a goal can ask.
const GOAL: &str = "
[goal]
short_days = 1.25
dry_hours_in_a_row = 317
lowest_level = \"1.37 m3\"
autonomy = \"4.81 days\"
dry_years_in_ten = 1.25
";

/// Two inflows, one with a valve, and water hauled in loads.
const INFLOWS: &str = "
[inflow.beck]
flow = \"0.4 L/min\"
[inflow.main]
flow = \"0.3 L/min\"
hours = [6, 7]
when_full = \"shut off\"
[backup]
name = \"hauled water\"
load = \"3 m3\"
starts_below = \"1.5 m3\"
stops_at = \"5 m3\"
delay = \"5 h\"
cost_per_load = 90
";

/// Water by a flow where the columns answer without it.
const BACKUP: &str = "
[backup]
flow = \"15 L/min\"
starts_below = \"2 m3\"
stops_at = \"5 m3\"
daily_limit = \"6 m3\"
cost_per_hour = 9
";

/// A number on a page.
#[derive(Debug, Clone, PartialEq)]
pub struct Token {
    /// As it stands there.
    pub text: String,
    pub value: f64,
    /// Half a unit of its last digit.
    pub half: f64,
    /// The unit behind it; empty where the page names it elsewhere.
    pub unit: String,
}

/// Significant digits; zeros at the end of a whole number are none.
fn digits(text: &str) -> usize {
    let text = text.trim_start_matches('-');
    let digits = text.replace('.', "");
    let digits = digits.trim_start_matches('0');
    if text.contains('.') { digits.len() } else { digits.trim_end_matches('0').len() }
}

/// Units that are read behind a number.
const UNITS: [&str; 21] = [
    "m³", "L", "gal", "L/min", "m³/h", "gpm", "L/h", "m³/day", "L/day", "gal/day", "m", "mm", "ft", "m/s",
    "ft/s", "W", "kW", "kWh", "W/m²", "%", "kWh/m²",
];

/// Numbers of three and more significant digits. Dates, hashes and names with figures in them are no numbers.
pub fn numbers(text: &str) -> Vec<Token> {
    let parts = |c: char| c.is_whitespace() || "(),;:|×=+/\"".contains(c);
    let mut out = Vec::new();
    let mut at = 0;
    for word in text.split(parts) {
        at += word.len();
        let behind = &text[at..];
        at += behind.chars().next().map_or(0, char::len_utf8);
        let bare = word.trim_end_matches(['.', '%', '°']);
        let Ok(value) = bare.parse::<f64>() else { continue };
        if digits(bare) < 3 || !bare.chars().all(|c| c.is_ascii_digit() || c == '.' || c == '-') {
            continue;
        }
        let decimals = bare.split_once('.').map_or(0, |(_, after)| after.len());
        // Four digits are shown of a large number.
        let zeros = bare.len() - bare.trim_end_matches('0').len();
        let places = if decimals == 0 && bare.len() > 4 {
            i32::try_from(zeros).unwrap()
        } else {
            -i32::try_from(decimals).unwrap()
        };
        let after =
            behind.trim_start().split(|c: char| c.is_whitespace() || "(),;:|×=+".contains(c)).next().unwrap();
        let after = after.trim_end_matches('.');
        let unit = if behind.starts_with(' ') && UNITS.contains(&after) { after } else { "" };
        out.push(Token {
            text: bare.to_owned(),
            value,
            half: format!("5e{}", places - 1).parse().unwrap(),
            unit: unit.to_owned(),
        });
    }
    out
}

/// Works that a page names with their year.
const WORKS: [&str; 3] =
    ["Jordan and Kurtz 2013", "Fritsch and Butland 1984", "Design Technical Note SD2006-1 (2010)"];

/// A page without a work, wherever its lines break.
fn without(page: &str, work: &str) -> String {
    let words: Vec<&str> = work.split(' ').collect();
    let mut out = String::new();
    let mut rest = page;
    while let Some(at) = rest.find(words[0]) {
        // Every word of the work follows, with any white space between.
        let mut after = &rest[at..];
        let whole = words.iter().all(|word| {
            let next = after.trim_start().strip_prefix(word);
            after = next.unwrap_or(after);
            next.is_some()
        });
        let end = if whole { rest.len() - after.len() } else { at + words[0].len() };
        out.push_str(if whole { &rest[..at] } else { &rest[..end] });
        rest = &rest[end..];
    }
    out + rest
}

/// Whether the words of a picture are a tick of an axis: a round number, which the drawing chooses.
fn is_tick(text: &str) -> bool {
    text.parse::<u32>().is_ok_and(|tick| tick % 25 == 0)
}

/// The words of a page of HTML, without the ticks of its pictures' axes.
fn words(html: &str) -> String {
    let (_, body) = html.split_once("</style>").unwrap();
    let mut out = String::new();
    for piece in body.split('<') {
        let (tag, text) = piece.split_once('>').unwrap_or(("", piece));
        if tag.starts_with("text ") && is_tick(text) {
            continue;
        }
        if tag != "wbr" {
            out.push_str(" | ");
        }
        out.push_str(text);
    }
    [("&quot;", "\""), ("&#39;", "'"), ("&lt;", "<"), ("&gt;", ">"), ("&amp;", "&"), ("\u{a0}", " ")]
        .iter()
        .fold(out, |out, (from, to)| out.replace(from, to))
}

/// Pages of a shipped scheme with the numbers on them that no list holds.
fn unknown((name, added): (&str, &str), system: System, plant: &str) -> Vec<(String, Token)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo");
    let file = format!("{name}.toml");
    let text = std::fs::read_to_string(folder.join(&file)).unwrap() + added;
    let scheme = Scheme::from_toml(&text).unwrap();
    let weather = dryspell_weather::open(&scheme, &folder).unwrap();
    let run = simulate(&scheme.plan(), &weather.record).unwrap();
    let own = Input::of(Role::Scheme, file.clone(), text.as_bytes());
    let inputs = Inputs::new([own].into_iter().chain(Input::of_weather(&scheme, weather.files, &folder)));
    let tried = Tried::of(&run, &weather.record, system).unwrap();
    let report = Report::new(&run, &weather.record, &scheme, (&file, &text), &inputs);
    let report = Report { system, tried: &tried, ..report };
    let known = Known::of(&run, &weather.record, (&scheme, &text), &tried, system, &inputs).unwrap();
    let mut found = Vec::new();
    for output in ["terminal", "html"] {
        let mut bytes = Vec::new();
        exporter(output).unwrap().write(&report, &mut bytes).unwrap();
        let page = String::from_utf8(bytes).unwrap();
        let page = if output == "html" { words(&page) } else { page } + plant;
        // A year of a work may stand on the next line.
        let page = WORKS.iter().fold(page, |page, work| without(&page, work));
        for line in page.split(if output == "html" { "|" } else { "\n" }) {
            for token in numbers(line).into_iter().filter(|token| !known.holds(token)) {
                found.push((format!("{output}: {}", line.trim()), token));
            }
        }
    }
    found
}

#[test]
fn every_number_on_a_page_is_in_a_list() {
    let mut lines = String::new();
    for (name, added) in DEMOS {
        for system in [System::Si, System::Us] {
            for (place, token) in unknown((name, added), system, "") {
                lines += &format!("{name} {system:?} {} {}: {place}\n", token.text, token.unit);
            }
        }
    }
    assert!(lines.is_empty(), "numbers that no list holds:\n{lines}");
}

/// How many of 200 numbers, none of them of the scheme, are seen on both pages.
fn seen(show: impl Fn(f64) -> String) -> usize {
    let lines: String =
        (0..200).map(|i| format!("\nplanted {}|", show(17.03 + 0.43 * f64::from(i)))).collect();
    unknown(("scheme", ""), System::Si, &lines)
        .into_iter()
        .filter(|(line, _)| line.contains("planted"))
        .count()
}

#[test]
fn numbers_of_no_list_are_seen() {
    // Of numbers put together at random some are roundings of a number of a list by chance; most where a cell of a table
    // names no unit and has three digits.
    let shares = [seen(|n| format!("{n:.2} m³")), seen(|n| format!("{n:.2}")), seen(|n| format!("{n:.1}"))];
    assert!(shares[0] > 380 && shares[1] > 380 && shares[2] > 320, "of 400 seen: {shares:?}");
}
