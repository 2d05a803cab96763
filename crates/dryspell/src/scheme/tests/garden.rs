//! Gardens: what a scheme says, and what is wrong with it.

use super::{BASE, report};
use crate::calendar::MonthDay;
use crate::draw::garden::{Growth, Method};
use crate::scheme::Scheme;

/// The base scheme with other keys for the beds.
fn beds(keys: &str) -> String {
    BASE.replace("area = \"120 m2\"\ncrop = \"tomato\"\nplanted = \"05-01\"", keys)
}

#[test]
fn a_garden_becomes_settings() {
    let plan = Scheme::from_toml(BASE).unwrap().plan();
    let [garden] = &plan.draw.gardens[..] else { panic!() };
    assert!((garden.area_m2 - 120.0).abs() < 1e-9 && (garden.efficiency - 0.9).abs() < 1e-9);
    assert!((garden.soil_holds_mm - 20.0).abs() < 1e-9);
    assert_eq!(garden.method, Method::Daily);
    let on: Vec<usize> = (0..24).filter(|h| garden.hours[*h]).collect();
    assert_eq!(on, [5, 6, 7]);
    let planted = MonthDay { month: 5, day: 1 };
    let stages = Growth::Stages { planted, days: [30.0, 40.0, 40.0, 25.0], kc: [0.6, 1.15, 0.8] };
    assert_eq!(garden.growth, stages);
    // Without a date of planting the mid-season coefficient holds over the season.
    let text = beds(
        "area = \"1300 ft2\"\ncrop = \"rotated_pasture\"\nseason = \"04-15 to 10-15\"\nhours = [22, 23]",
    );
    let plan = Scheme::from_toml(&text).unwrap_or_else(|_| panic!("{}", report(&text))).plan();
    let Growth::Season { dates, kc } = &plan.draw.gardens[0].growth else { panic!() };
    assert!(dates.len() == 1 && (kc - 0.9).abs() < 1e-12);
    assert!((plan.draw.gardens[0].area_m2 - 120.773_952).abs() < 1e-6);
}

#[test]
fn faults_of_a_garden_show_together() {
    let text = beds(
        "area = \"120\"\ncrop = \"tomatoe\"\nplanted = \"05-01 to 05-09\"\nstages = [30, 40]\nhours = [5, 24]",
    );
    let lines = report(&text);
    let lines: Vec<&str> = lines.lines().collect();
    assert_eq!(lines.len(), 5, "{lines:#?}");
    assert!(
        lines[0].contains("garden.beds.area: \"120\" has no unit;") && lines[0].ends_with("write \"120 m2\"")
    );
    assert!(
        lines[1].contains("\"tomatoe\" is not known here;") && lines[1].ends_with("did you mean \"tomato\"?")
    );
    assert!(lines[2].contains("garden.beds.planted: ") && lines[2].contains("one date, not a span"));
    assert!(lines[3].contains("garden.beds.stages: a list of 2 values;"));
    assert!(
        lines[4].contains("garden.beds.hours: \"24\" is out of range; a clock hour: 0 to 23;"),
        "{}",
        lines[4]
    );
}

#[test]
fn keys_that_exclude_each_other_are_said() {
    for (keys, said) in [
        ("crop = \"tomato\"\nkc = 0.9", "garden.beds.kc: kc given as well as crop;"),
        (
            "crop = \"tomato\"\nplanted = \"05-01\"\nseason = \"05-01\"",
            "garden.beds.season: season given as well as planted;",
        ),
        (
            "kc = 0.9\nplanted = \"05-01\"",
            "garden.beds.planted: stages need three coefficients and kc is one;",
        ),
        (
            "crop = \"tomato\"\nstages = [1, 2, 3, 4]",
            "garden.beds.stages: stages has no effect without planted;",
        ),
        ("crop = \"zucchini\"\nplanted = \"05-01\"", "garden.beds.stages: this key is missing;"),
        ("season = \"05-01\"", "garden.beds.crop: this key is missing;"),
        ("crop = \"tomato\"\nplanted = \"05-01\"\nstages = [200, 200, 1, 1]", "stages that sum to 402 days;"),
        ("crop = \"tomato\"\nhours = []", "garden.beds.hours: an empty list;"),
        ("crop = \"tomato\"\nhours = [5.5]", "a whole clock hour from 0 to 23;"),
    ] {
        let lines = report(&beds(&format!("area = \"120 m2\"\n{keys}")));
        assert!(lines.contains(said) && lines.lines().count() == 1, "{keys}\n{lines}");
    }
}
