//! How sure the values are.

use super::{BASE, one_fault, report, with_table};
use crate::scheme::Scheme;
use crate::units::System;

fn with(lines: &str) -> String {
    with_table("uncertain", lines)
}

#[test]
fn a_deviation_is_a_share_or_an_amount_and_changes_no_plan() {
    let text = with("\"herd.cows.count\" = \"10 %\"\nwell.static_level = \"6 ft\"\n\"herd.*.count\" = 3");
    let scheme = Scheme::from_toml(&text).unwrap_or_else(|f| panic!("{f}"));
    let told: Vec<(&str, [String; 2])> =
        scheme.unknowns.iter().map(|u| (u.name.as_str(), u.told(System::Si))).collect();
    let count = scheme.plan().draw.groups[0].count.to_string();
    assert_eq!(told.len(), 3);
    assert_eq!((told[0].0, &told[0].1[0]), ("herd.cows.count", &count));
    assert_eq!((told[1].0, told[1].1[1].as_str()), ("well.static_level", "1.829 m"));
    assert_eq!((told[2].0, told[2].1[1].as_str()), ("herd.*.count", "3"));
    assert_eq!(scheme.plan(), Scheme::from_toml(BASE).unwrap().plan());
}

#[test]
fn what_cannot_be_uncertain_is_refused_with_its_line() {
    for (line, found, way_out) in [
        ("\"well.static_levl\" = \"10 %\"", "no value and no table", "did you mean well.static_level?"),
        ("\"well\" = \"10 %\"", "well is a table", "name one of its keys"),
        ("\"site.sky\" = \"10 %\"", "site.sky is not given", "give the value, or remove this line"),
        ("\"well.static_level\" = \"10 kg\"", "\"10 kg\"", "write it like \"herd.cows.count\" = \"10 %\""),
        ("\"well.static_level\" = \"0 %\"", "\"0 %\"", "write it like"),
        ("\"well.static_level\" = \"110 %\"", "\"110 %\"", "write it like"),
        ("\"well.static_level\" = \"-2 m\"", "\"-2 m\"", "write it like"),
        ("\"well.static_level\" = true", "true or false", "write it like"),
        ("\"weather.file\" = \"10 %\"", "weather.file holds no number", "remove the line"),
        (
            "\"well.static_level\" = \"2 m\"\nwell.static_level = \"3 m\"",
            "a second deviation",
            "keep one of the two lines",
        ),
    ] {
        one_fault("uncertain", line, (found, way_out));
    }
    let text = BASE.replacen("[weather]", "uncertain = 3\n[weather]", 1);
    assert!(report(&text).contains("a table of deviations"));
}
