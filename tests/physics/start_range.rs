//! What the headline says about a pump's start: the two ends are a range only where the scheme leaves it open.

use dryspell::plan::Plan;
use dryspell::pump::{Settings, Start};
use dryspell::results::answer;
use dryspell::scheme::{STARTER, Scheme};
use dryspell::simulate::{Run, simulate};
use dryspell::units::System;

use crate::support::data;
use crate::tmy3;

fn with_start(plan: &Plan, start: Start) -> Run {
    let mut plan = plan.clone();
    if let Settings::Duty(table) = &mut plan.supply.pump {
        table.start = start;
    }
    simulate(&plan, &tmy3::read(&data("weather/723170TYA.CSV"))).unwrap_or_else(|f| panic!("{}", f[0]))
}

#[test]
fn a_start_power_that_is_given_is_not_put_between_the_ends_of_one_that_is_not() {
    let mut plan = Scheme::from_toml(STARTER).unwrap_or_else(|f| panic!("{}", f[0])).plan();
    // A herd at the edge of what the panels lift: every watt below the table counts.
    for group in &mut plan.draw.groups {
        group.count *= 2.6;
    }
    let Settings::Duty(table) = &plan.supply.pump else { panic!("the starter's pump is a table") };
    let lowest = table.rows.iter().map(|p| p.power_w).fold(f64::INFINITY, f64::min);
    let open = with_start(&plan, Start::Zero);
    let ends = open.start_ends.unwrap();
    assert!(ends.zero_days > ends.best_line_days + 1, "{ends:?}");
    let range = format!("Between {} and {} days", ends.best_line_days, ends.zero_days);
    assert!(answer(&open, System::Si).contains(&range), "{}", answer(&open, System::Si));
    let given = with_start(&plan, Start::From(0.05 * lowest));
    assert_eq!(given.start_ends, open.start_ends);
    let text = answer(&given, System::Si);
    assert!(!text.contains("Between"), "{text}");
    let others = format!(
        "This assumes the start power given. Without it: {} days with no flow below the lowest power in the pump's duty \
         table, {} days with linear interpolation",
        ends.zero_days, ends.best_line_days
    );
    assert!(text.contains(&others), "{text}");
}
