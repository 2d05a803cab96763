//! Snow on the panels by the weather file's rain and temperature.

use dryspell::results::alerts;
use dryspell::scheme::Scheme;
use dryspell::simulate::simulate;
use dryspell::units::System;

use crate::support::data;

/// Snow by rain and frost: the ends that are told are those of runs that count them.
#[test]
fn the_ends_of_snow_are_runs_of_their_own() {
    let record = crate::tmy3::read(&data("weather/723170TYA.CSV"));
    let wet = |h: usize| (h / 24).is_multiple_of(6) && (3..9).contains(&(h % 24));
    // Snow fast enough to cover within an hour on every other wet day alone.
    let mm = |h: usize| if (h / 24).is_multiple_of(12) { 1.6 } else { 0.7 };
    let record = dryspell::record::Record {
        snow_depth_m: None,
        precipitation_mm: Some((0..8760).map(|h| if wet(h) { mm(h) } else { 0.0 }).collect()),
        air_degc: record.air_degc.iter().map(|degc| degc - 6.0).collect(),
        ..record
    };
    let text = std::fs::read_to_string(data("demo/scheme.toml")).unwrap();
    let dates = "covered = [\"12-18 to 12-19\", \"01-23 to 01-25\"]";
    let run = |line: &str| {
        let mut plan = Scheme::from_toml(&text.replace(dates, line)).unwrap().plan();
        // A herd at the edge of what the panels lift.
        plan.draw.groups.iter_mut().for_each(|group| group.count *= 2.0);
        simulate(&plan, &record).unwrap()
    };
    let open = run("");
    let [least, most] = open.snow_ends.unwrap();
    let days = |run: &dryspell::simulate::Run| run.outcome.counts.shortfall_days;
    assert!(days(&open) < least && least < most, "{} {least} {most}", days(&open));
    assert_eq!(days(&run("from_rain = \"least\"")), least);
    assert_eq!(days(&run("from_rain = \"most\"")), most);
    // Where the scheme says when snow lies, nothing is left open.
    assert_eq!(run(dates).snow_ends, None);
    let told: Vec<String> = alerts(&open, System::Si).into_iter().map(|alert| alert.text).collect();
    let told = told.join("\n");
    assert!(
        told.contains(&format!(
            "it would be {least} to {most} days of shortfall in place of {}",
            days(&open)
        )),
        "{told}"
    );
}
