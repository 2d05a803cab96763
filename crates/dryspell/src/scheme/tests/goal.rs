//! What is asked of a scheme.

use super::{BASE, report, with};
use crate::plan::Plan;
use crate::reliability::goal::Settings;
use crate::scheme::Scheme;

/// The base scheme with a goal of these keys.
fn text(keys: &str) -> String {
    format!("{BASE}[goal]\n{keys}\n")
}

#[test]
fn each_key_is_read_in_its_unit() {
    let goal = |keys: &str| Scheme::from_toml(&text(keys)).unwrap().plan().goal;
    let all = goal(
        "short_days = 0.5\ndry_hours_in_a_row = 12\nlowest_level = \"500 L\"\nautonomy = \"4 days\"\ndry_years_in_ten = 1",
    );
    let expected = Settings {
        short_days: Some(0.5),
        dry_hours_in_a_row: Some(12),
        lowest_level_m3: Some(0.5),
        autonomy_days: Some(4.0),
        dry_years_in_ten: Some(1.0),
    };
    assert_eq!(all, Some(expected));
    let one = goal("autonomy = \"36 h\"");
    assert_eq!(one, Some(Settings { autonomy_days: Some(1.5), ..Settings::default() }));
    assert_eq!(Scheme::from_toml(BASE).unwrap().plan().goal, None);
}

#[test]
fn a_goal_that_asks_nothing_is_refused_at_its_line() {
    let lines = report(&text(""));
    let line = BASE.lines().count() + 1;
    assert!(lines.starts_with(&format!("line {line}, column 1, goal: a goal that asks nothing;")), "{lines}");
    assert_eq!(lines.lines().count(), 1, "{lines}");
    // A misspelt key asks something: it has one fault, its own.
    let misspelt = report(&text("short_day = 0"));
    assert_eq!(misspelt.lines().count(), 1, "{misspelt}");
    assert!(misspelt.ends_with("did you mean short_days?"), "{misspelt}");
}

#[test]
fn values_out_of_range_are_refused_in_the_text_and_in_a_plan() {
    for (key, literal) in [
        ("short_days", "367"),
        ("dry_hours_in_a_row", "-1"),
        ("lowest_level", "\"-1 L\""),
        ("autonomy", "\"4000 days\""),
        ("dry_years_in_ten", "11"),
    ] {
        let (text, line) = with("goal", key, literal);
        let lines = report(&text);
        assert!(lines.starts_with(&format!("line {line}, ")) && lines.contains(key), "{lines}");
    }
    let plan = Scheme::from_toml(BASE).unwrap().plan();
    let told = |goal: Settings| {
        let plan = Plan { goal: Some(goal), ..plan.clone() };
        plan.check().err().map_or_else(String::new, |faults| faults.to_string())
    };
    let none = Settings::default();
    assert_eq!(told(Settings { autonomy_days: Some(3660.0), ..none }), "");
    assert!(told(Settings { autonomy_days: Some(3661.0), ..none }).contains("goal.autonomy"));
    assert!(told(Settings { short_days: Some(f64::NAN), ..none }).contains("goal.short_days"));
    assert!(told(Settings { lowest_level_m3: Some(-1.0), ..none }).contains("goal.lowest_level"));
    assert!(told(Settings { dry_years_in_ten: Some(10.5), ..none }).contains("goal.dry_years_in_ten"));
    assert!(told(none).contains("a goal that asks nothing"));
}
