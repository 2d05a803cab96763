//! Classes, places and counts of a herd: what a scheme says, and what is wrong with it.

use super::{BASE, report};
use crate::calendar::{DateSpan, MonthDay};
use crate::draw::{GroupKind, Need};
use crate::scheme::Scheme;

/// The base scheme with other keys for the cows.
fn cows(keys: &str) -> String {
    BASE.replace("count = 40\ndrinks = \"55 L\"", keys)
}

fn span(from: (u8, u8), to: (u8, u8)) -> DateSpan {
    DateSpan { from: MonthDay { month: from.0, day: from.1 }, to: MonthDay { month: to.0, day: to.1 } }
}

#[test]
fn a_herd_that_moves_and_wastes_becomes_settings() {
    let text = cows(
        "count = 40\nclass = \"growing_cattle\"\nmass = \"500 lb\"\nforage_moisture = \"75 %\"\nwaste = \"10 %\"\n\
         at = [[\"hill\", \"11-01 to 03-15\"], [\"home\", \"03-16 to 05-05\"]]\ncounts = [[\"04-01 to 09-30\", 25]]",
    )
    .replace("drinks = \"40 L\"", "share_of_herd = \"5 %\"");
    let plan = Scheme::from_toml(&text).unwrap_or_else(|_| panic!("{}", report(&text))).plan();
    let [cows, deer] = &plan.draw.groups[..] else { panic!() };
    let Need::Class { class, animal } = cows.need else { panic!() };
    assert_eq!(class.name, "growing cattle");
    assert!((animal.mass_kg.unwrap() - 226.796_185).abs() < 1e-9);
    assert!((cows.waste - 0.1).abs() < 1e-12);
    let forage = cows.forage.as_ref().unwrap();
    assert!((forage.moisture[6] - 0.75).abs() < 1e-12 && forage.dry_matter_kg.is_none());
    assert_eq!(
        cows.places,
        [("hill".to_string(), span((11, 1), (3, 15))), ("home".to_string(), span((3, 16), (5, 5)))]
    );
    assert_eq!(cows.counts, [(span((4, 1), (9, 30)), 25.0)]);
    assert_eq!((deer.kind, &deer.need), (GroupKind::Extra, &Need::ShareOfHerd(0.05)));
}

/// A beef cow's table does not say what she eats: with forage she wants her dry matter, which the class does not ask.
#[test]
fn dry_matter_may_be_for_the_forage_alone() {
    let keys =
        "count = 40\nclass = \"beef cow\"\nmass = \"600 kg\"\nmilk = \"0 kg\"\nforage_moisture = \"75 %\"";
    assert_eq!(
        report(&cows(keys)),
        "line 35, column 1, herd.cows.dry_matter: this key is missing; needed: dry matter that one head eats in a day; \
         add dry_matter = \"11 kg\""
    );
    let plan = Scheme::from_toml(&cows(&format!("{keys}\ndry_matter = \"11 kg\""))).unwrap().plan();
    let group = &plan.draw.groups[0];
    assert_eq!(group.forage.as_ref().unwrap().dry_matter_kg, Some(11.0));
    assert!(crate::draw::draw(&plan.draw, &crate::calendar::Calendar::year(2023), &[5.0; 8760]).is_ok());
}

/// A misspelt class, overlapping dates, a date outside the year and a pattern that does not sum to one: all at once.
#[test]
fn faults_of_a_herd_show_together() {
    let text = cows(
        "count = 40\nclass = \"lactatng ewe\"\nmass = \"70 kg\"\nat = [[\"hill\", \"11-01 to 03-15\"], [\"home\", \
         \"03-10 to 05-05\"], [\"moor\", \"06-31\"]]\ncounts = [[\"04-01 to 09-30\", 25], [\"09-30 to 10-02\", \
         3]]\npattern = [0.5, 0.5, 0.5, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0]",
    );
    let lines = report(&text);
    let lines: Vec<&str> = lines.lines().collect();
    assert_eq!(lines.len(), 5, "{lines:#?}");
    assert!(lines[0].starts_with(
        "line 37, column 9, herd.cows.class: \"lactatng ewe\" is not known here; one of \"beef cow\","
    ));
    assert!(lines[0].ends_with("did you mean \"lactating ewe\"?"), "{}", lines[0]);
    assert_eq!(
        lines[1],
        "line 39, column 35, herd.cows.at[2]: 03-10 is in both \"11-01 to 03-15\" and \"03-10 to 05-05\"; one place on \
         a date; let one span end on the day before the other begins"
    );
    assert!(lines[2].contains("herd.cows.at[3]: \"06-31\" is not a date or span of dates;"), "{}", lines[2]);
    assert!(lines[3].contains("herd.cows.counts[2]: 09-30 is in both"), "{}", lines[3]);
    assert!(lines[4].contains("herd.cows.pattern: 24 shares that sum to 1.5;"), "{}", lines[4]);
}

#[test]
fn an_animal_outside_its_class_is_refused_in_the_units_of_the_report() {
    let keys = "count = 40\nclass = \"beef cow\"\nmass = \"900 lb\"\nmilk = \"40 lb\"\nage = \"3 weeks\"";
    let text = cows(keys).replace("units = \"si\"", "units = \"us\"");
    assert_eq!(
        report(&text),
        "line 38, column 8, herd.cows.mass: 900 lb is out of range for this class; the class beef cow is valid from \
         1100 lb to 1500 lb; give what one head drinks in a day instead, or choose another class\nline 39, column 8, \
         herd.cows.milk: 40 lb/day is out of range for this class; the class beef cow is valid from 0 lb/day to 25 \
         lb/day; give what one head drinks in a day instead, or choose another class\nline 40, column 7, herd.cows.age: \
         age has no effect on the class beef cow; this class needs mass from 498.95 to 680.39 kg, milk from 0 to 11.34 \
         kg a day; remove it, or choose another class"
    );
    // A value that cannot be read is one fault, not a missing one as well.
    let broken = report(&cows("count = 40\nclass = \"horse\"\nmass = \"500\""));
    assert_eq!(broken.lines().count(), 1, "{broken}");
}

#[test]
fn keys_that_exclude_each_other_are_said() {
    let both =
        report(&cows("count = 4\ndrinks = \"55 L\"\npresent = \"05-01\"\nat = [[\"hill\", \"11-01\"]]"));
    assert!(both.contains("herd.cows.present: present given as well as at;"), "{both}");
    let dairy = "count = 4\nclass = \"dairy cow\"\nmilk = \"20 kg\"\nforage_moisture = \"70 %\"";
    let lines = report(&cows(dairy));
    assert!(
        lines.contains("herd.cows.forage_moisture: the figure of the class dairy cow is water drunk"),
        "{lines}"
    );
    let extra = report(&BASE.replace("drinks = \"40 L\"", "drinks = \"40 L\"\nshare_of_herd = \"5 %\""));
    assert!(extra.contains("extra.deer.share_of_herd: share_of_herd given as well as drinks;"), "{extra}");
    let twice = report(&cows("count = 4\ndrinks = \"55 L\"\npresent = [\"05-01 to 05-20\", \"05-20\"]"));
    assert!(
        twice.contains("herd.cows.present[2]: 05-20 is in both \"05-01 to 05-20\" and \"05-20\";"),
        "{twice}"
    );
}
