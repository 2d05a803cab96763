//! Axes, edits and the order of cases.

use super::{Axis, Sweep, with_values};
use crate::scheme::{STARTER, Scheme};

fn axis(text: &str) -> Axis {
    Axis::parse(text).unwrap_or_else(|f| panic!("{f}"))
}

fn refused(text: &str) -> String {
    Axis::parse(text).unwrap_err().to_string()
}

#[test]
fn ranges_and_lists_become_literals() {
    assert_eq!(
        axis("tank.main.capacity = 2 to 3 by 0.5 m3").literals,
        ["\"2 m3\"", "\"2.5 m3\"", "\"3 m3\""]
    );
    assert_eq!(axis("tank.main.capacity=4, 8 m3").literals, ["\"4 m3\"", "\"8 m3\""]);
    assert_eq!(axis("herd.cows.count = 40, 60, 80").literals, ["40", "60", "80"]);
    assert_eq!(axis("site.albedo = 0.1 to 0.3 by 0.1").literals, ["0.1", "0.2", "0.3"]);
    assert_eq!(axis("weather.file = a.csv, b.csv").literals, ["\"a.csv\"", "\"b.csv\""]);
    assert_eq!(axis("array.main.azimuth = south, 200").literals, ["\"south\"", "200"]);
    assert_eq!(axis("hydrant.hill.pipe.branch.bore = 20 to 32 by 6 mm").literals.len(), 3);
    // The last value is left out where the step does not meet it.
    assert_eq!(axis("herd.cows.count = 1 to 10 by 4").literals, ["1", "5", "9"]);
}

#[test]
fn what_is_no_axis_is_refused_with_the_way_out() {
    for (text, part) in [
        ("tank.main.capasity = 1, 2", "did you mean tank.main.capacity?"),
        ("tank.main.capacity 1, 2", "has no ="),
        ("tank.main.capacity = 2 to 10 m3", "has no step"),
        ("tank.main.capacity = 10 to 2 by 1 m3", "swap the ends"),
        ("tank.main.capacity = 2 to 10 by 0 m3", "no step of 0"),
        ("tank.main.capacity = 2 L to 10 by 1 m3", "one unit"),
        ("herd.cows.count = 1,,2", "empty value"),
        ("herd.cows.count = 0 to many by 1", "not a number"),
        ("herd.cows.count = 0 to 1000000000000 by 1", "1000000000001 values"),
    ] {
        let found = refused(text);
        assert!(found.contains(part), "{text}: {found}");
        assert!(found.matches("; ").count() >= 2, "{found}");
    }
    let many =
        vec![axis("herd.cows.count = 1 to 1000000 by 1"), axis("tank.main.capacity = 1 to 1000000 by 1 L")];
    let fault = Sweep::new(STARTER, &|_| Err(String::new()), many).unwrap_err();
    assert!(fault[0].to_string().contains("1.000e12 cases"), "{}", fault[0]);
}

#[test]
fn an_edit_changes_its_value_and_no_other() {
    let text =
        with_values(STARTER, &[("tank.main.capacity", "\"13 m3\""), ("rules.tolerance", "\"5 %\"")]).unwrap();
    let (before, after) =
        (Scheme::from_toml(STARTER).unwrap().plan(), Scheme::from_toml(&text).unwrap().plan());
    assert_eq!((after.tank.capacity_m3, after.tank.tolerance), (13.0, 0.05));
    let mut back = after;
    back.tank.capacity_m3 = before.tank.capacity_m3;
    back.tank.tolerance = before.tank.tolerance;
    assert_eq!(back, before);
    assert_eq!(text.lines().count(), STARTER.lines().count() + 1, "notes stay");
}

#[test]
fn tanks_run_fastest_and_floats_follow_the_capacity() {
    let axes = vec![axis("tank.main.capacity = 6, 12, 24 m3"), axis("herd.cows.count = 40, 60")];
    let sweep = Sweep::new(STARTER, &|_| Err(String::new()), axes).unwrap();
    assert_eq!((sweep.cases(), sweep.tanks()), (6, 3));
    let keys: Vec<&str> = sweep.axes().iter().map(|a| a.key.as_str()).collect();
    assert_eq!(keys, ["herd.cows.count", "tank.main.capacity"]);
    assert_eq!(sweep.values(0), ["40", "6 m3"]);
    assert_eq!(sweep.values(4), ["60", "12 m3"]);
    let plan = sweep.scheme(5).unwrap().plan();
    assert!((plan.draw.groups[0].count - 60.0).abs() < 1e-12);
    // 11.5 of 12 m3 in the starter.
    assert_eq!((plan.tank.capacity_m3, plan.tank.float_stop_m3), (24.0, Some(23.0)));
    // A float that is varied itself stays as it is set; one above the rim is refused with its case.
    let axes = vec![axis("tank.main.float_stop = 5, 11 m3"), axis("tank.main.capacity = 6, 12 m3")];
    let sweep = Sweep::new(STARTER, &|_| Err(String::new()), axes).unwrap();
    let faults: Vec<bool> = (0..4).map(|case| sweep.scheme(case).is_err()).collect();
    assert_eq!(faults, [false, false, true, false], "11 m3 stand above the rim of 6 m3");
    let fault = sweep.scheme(2).unwrap_err();
    assert!(fault[0].to_string().contains("with tank.main.float_stop = 11 m3"), "{fault:?}");
    // What reaches the draw is no axis of the tank alone.
    let axes = vec![axis("rules.tolerance = 1, 5 %"), axis("tank.main.capacity = 6, 12 m3")];
    let sweep = Sweep::new(STARTER, &|_| Err(String::new()), axes).unwrap();
    assert_eq!(sweep.tanks(), 2);
    let plan = sweep.scheme(3).unwrap().plan();
    assert_eq!((plan.tank.capacity_m3, plan.tank.tolerance), (12.0, 0.05));
}

/// What is kept of a tank's text is that of its own case: also where another axis that reaches the tank comes before its sizes, such as
/// one that goes together with a herd.
#[test]
fn the_tank_of_a_case_is_that_of_its_scheme() {
    let together = [
        vec![vec![axis("herd.cows.count = 40, 60")], vec![axis("tank.main.capacity = 6, 12, 24 m3")]],
        vec![
            vec![axis("tank.main.capacity = 14, 20 m3"), axis("herd.cows.count = 40, 60")],
            vec![axis("tank.main.float_stop = 5, 11 m3")],
        ],
        vec![vec![axis("rules.tolerance = 1, 5 %")], vec![axis("tank.main.capacity = 6, 12 m3")]],
    ];
    for axes in together {
        let sweep = Sweep::of(STARTER, &|_| Err(String::new()), axes).unwrap();
        for case in 0..sweep.cases() {
            assert_eq!(sweep.tank(case).unwrap(), sweep.scheme(case).unwrap().plan().tank, "{case}");
        }
    }
}

#[test]
fn a_table_taken_out_takes_its_sources_with_it() {
    let text = "[backup]\nflow = \"1 L/min\"\n[sources]\n\"backup\" = \"x\"\n\"backup.flow\" = \"y\"\n\"backups\" = \"z\"\n";
    assert_eq!(super::edit::without(text, "backup").unwrap(), "[sources]\n\"backups\" = \"z\"\n");
}
