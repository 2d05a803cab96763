//! `--set`: values of a scheme changed for this once.

use serde_json::Value;

use crate::program::Desk;
use crate::support::root;

fn demo() -> Desk {
    let desk = Desk::new();
    for file in ["scheme.toml", "weather.csv"] {
        std::fs::copy(root().join("data/demo").join(file), desk.path(file)).unwrap();
    }
    desk
}

fn json(desk: &Desk, args: &[&str]) -> Value {
    let answer = desk.run(&[&["run", "scheme.toml", "--json", "-"], args].concat());
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    serde_json::from_str(&answer.out).unwrap()
}

/// What is set is what the file so written comes to: the same case, whatever the command.
#[test]
fn a_value_set_is_the_scheme_so_written() {
    let desk = demo();
    let as_it_is = json(&desk, &[]);
    let set = json(&desk, &["--set", "tank.main.capacity = 14 m3", "--set", "herd.*.count * 0.5"]);
    let text = desk.read("scheme.toml");
    let changed = text
        .replace("capacity = \"11 m3\"", "capacity = \"14 m3\"")
        .replace("count = 46", "count = 23")
        .replace("count = 60", "count = 30");
    desk.write("changed.toml", &changed);
    let written: Value =
        serde_json::from_str(&desk.run(&["run", "changed.toml", "--json", "-"]).out).unwrap();
    assert_eq!(set["case_hash"], written["case_hash"]);
    assert_eq!(set["shortfall_days"], written["shortfall_days"]);
    assert_ne!(set["case_hash"], as_it_is["case_hash"]);
    // The file itself is as it was, and the report names what was set.
    assert_eq!(desk.read("scheme.toml"), text);
    assert_eq!(
        set["scheme"]["file"],
        "scheme.toml --set \"tank.main.capacity = 14 m3\" --set \"herd.*.count * 0.5\""
    );
    let hour = |args: &[&str]| desk.run(&[&["hour"], args, &["12-21 12:00"]].concat()).out;
    let of_set = hour(&["scheme.toml", "--set", "tank.main.capacity = 14 m3", "--set", "herd.*.count * 0.5"]);
    let below = |page: &str| page.split_once('\n').unwrap().1.to_owned();
    assert_eq!(below(&of_set), below(&hour(&["changed.toml"])));
}

/// Lists, tables of one line, quantities with their units and decimals as a person writes them.
#[test]
fn numbers_are_multiplied_where_they_stand() {
    let desk = demo();
    let scheme =
        |args: &[&str]| desk.run(&[&["run", "--full", "--no-mends", "scheme.toml"], args].concat()).out;
    assert!(scheme(&["--set", "well.yield * 0.1"]).contains("yield 2.4 L/min"));
    let levels = scheme(&["--set", "well.static_level * 1.1"]);
    assert!(levels.contains("static level 20.9 m to 25.3 m by month"), "{levels}");
    assert!(scheme(&["--set", "array.shed.module.isc * 1.5"]).contains("Isc 14.4 A"));
    let list = scheme(&["--set", "herd.ewes.counts = [[\"01-01 to 01-31\", 5]]"]);
    assert!(list.contains("60 (5 on 1 Jan to 31 Jan)"), "{list}");
    // Where the report tells what was set, a shell takes it as it stands.
    assert!(list.contains("--set 'herd.ewes.counts = [[\"01-01 to 01-31\", 5]]'"), "{list}");
}

#[test]
fn a_slip_is_told_in_a_line() {
    let desk = demo();
    for (setting, told) in [
        ("tank.main.capasity = 12 m3", "did you mean tank.main.capacity?"),
        ("tank.main.capacity", "KEY = VALUE, or KEY * FACTOR"),
        ("tank.main.capacity = ", "has no value"),
        ("herd.*.count * many", "the factor \"many\""),
        ("herd.*.mass * -1", "the factor \"-1\""),
        ("garden.*.area * 2", "does not stand in the scheme"),
        ("array.shed.azimuth * 2", "a value that is not written as a number"),
        ("tank.main.capacity = 12", "has no unit"),
        ("herd.cows.counts = [5", "a value that does not fit there"),
    ] {
        let answer = desk.run(&["run", "scheme.toml", "--set", setting]);
        assert_eq!(answer.code, 2, "{setting}");
        assert_eq!(answer.err.lines().count(), 1, "{}", answer.err);
        assert!(answer.err.contains(told), "{setting}: {}", answer.err);
    }
}
