//! Where values come from, and the names beside them.

use super::{BASE, one_fault, report, with_table};
use crate::scheme::Scheme;

fn with(lines: &str) -> String {
    with_table("sources", lines)
}

#[test]
fn a_source_is_that_of_a_key_or_of_its_table() {
    let text = with(
        "\"well\" = \"driller's log\"\n\"well.static_level\" = \"own dip\"\ntank.main.capacity = \"gauge\"\nherd = \"count\"",
    );
    let scheme = Scheme::from_toml(&text).unwrap_or_else(|f| panic!("{f}"));
    let of = |key: &str| scheme.sources.of(key);
    assert_eq!(of("well.static_level"), Some("own dip"));
    assert_eq!(of("well.specific_capacity"), Some("driller's log"));
    assert_eq!(of("tank.main.capacity"), Some("gauge"));
    assert_eq!(of("tank.main.float_stop"), None);
    assert_eq!(of("herd.cows.count"), Some("count"));
    assert_eq!(scheme.sources.own("herd.cows.count"), None);
    // Nothing is reckoned with them.
    assert_eq!(scheme.plan(), Scheme::from_toml(BASE).unwrap().plan());
}

#[test]
fn a_source_of_what_is_not_there_is_refused_with_its_line() {
    for (line, found, way_out) in [
        (
            "\"well.static_levl\" = \"x\"",
            "no value and no table of this name",
            "did you mean well.static_level?",
        ),
        ("\"pumpe\" = \"x\"", "no value and no table of this name", "did you mean pump?"),
        ("\"a.b.c.d\" = \"x\"", "no value and no table of this name", "name it as it stands in this file"),
        ("\"*.main.capacity\" = \"x\"", "no value and no table", "tank.main.capacity?"),
        ("\"sources\" = \"x\"", "sources is not given in this scheme", "give the table, or remove this line"),
        (
            "\"site.sky\" = \"x\"",
            "site.sky is not given in this scheme",
            "give the value, or remove this line",
        ),
        (
            "\"lift.east\" = \"x\"",
            "lift.east is not given in this scheme",
            "give the table, or remove this line",
        ),
        ("\"pump.duty[1]\" = \"x\"", "no value and no table of this name", "did you mean pump.duty?"),
        ("\"pump\" = \" \"", "an empty source", "say where the value comes from"),
        ("\"pump\" = \"a\\tb\"", "a source with a control character", "say where the value comes from"),
        ("\"pump\" = 7", "\"7\" (a whole number)", "write it like \"well.static_level\""),
        (
            "\"well.static_level\" = \"x\"\nwell.static_level = \"y\"",
            "a second source",
            "keep one of the two lines",
        ),
    ] {
        one_fault("sources", line, (found, way_out));
    }
    assert!(report(&BASE.replacen("[weather]", "sources = 3\n[weather]", 1)).contains("a table of sources"));
}

#[test]
fn names_beside_the_values_change_no_plan() {
    let text = BASE
        .replacen("[weather]", "applicant = \"A\"\ncontract = \"C\"\n[weather]", 1)
        .replace("[well]\n", "[well]\nnumber = \"W-1\"\n")
        .replace("[pump]\n", "[pump]\nmake = \"M\"\nmodel = \"20\"\n")
        .replace("[booster]\n", "[booster]\nmake = \"B\"\n");
    let scheme = Scheme::from_toml(&text).unwrap_or_else(|f| panic!("{f}"));
    let labels: Vec<(&str, &str)> = scheme.labels.iter().map(|(k, v)| (k.as_str(), v.as_str())).collect();
    assert_eq!(
        labels,
        [
            ("applicant", "A"),
            ("booster.make", "B"),
            ("contract", "C"),
            ("pump.make", "M"),
            ("pump.model", "20"),
            ("well.number", "W-1")
        ]
    );
    assert_eq!(scheme.plan(), Scheme::from_toml(BASE).unwrap().plan());
}
