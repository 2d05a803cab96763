//! The smallest tank that will do does, and the next smaller does not.

use dryspell::plan::Plan;
use dryspell::simulate::at_tank;
use dryspell::sizing::enough_tank;
use dryspell::units::Quantity as Q;

use super::program::Desk;
use super::{Outcome, held, refused};
use crate::case::{Bench, Case};
use crate::random::{Random, three_digits};
use crate::schemes::draft::{Draft, Units, quantity, text};

/// Days of shortfall with another tank.
fn days(case: &Case, capacity_m3: f64) -> u32 {
    let plan = Plan { tank: case.run.plan.tank.resized(capacity_m3), ..case.run.plan.clone() };
    at_tank(&case.run.found.upstream, &plan).unwrap().outcome.counts.shortfall_days
}

/// The tank that the worksheet calls enough.
pub fn enough(case: &Case, _: &mut Random, _: &Bench) -> Outcome {
    // Sixty-four marches; and of several tanks no one volume is enough or not.
    if case.always_marches() {
        return Outcome::NotHere;
    }
    // By days of shortfall alone: a goal may ask what no tank can give.
    let mut run = case.run.clone();
    run.found.plan.goal = None;
    let found = enough_tank(&run, 1.0);
    let Some(capacity_m3) = found.capacity_m3 else {
        let short = case.run.storage.missing_m3 > 0.0 || days(case, found.largest_m3) > 0;
        return held(if short { Vec::new() } else { vec![format!("none, yet {} m³ is", found.largest_m3)] });
    };
    let mut wrong = Vec::new();
    if days(case, capacity_m3) > 0 {
        wrong.push(format!("{capacity_m3} m³ has {} days short", days(case, capacity_m3)));
    }
    let less = capacity_m3 - found.step_m3;
    if less > 0.5 * found.step_m3 && days(case, less) == 0 {
        wrong.push(format!("{less} m³ would do for {capacity_m3} m³"));
    }
    held(wrong)
}

/// A draft with another tank, its float at the same share.
pub fn resized(case: &Case, draft: &Draft, capacity_m3: f64) -> Draft {
    let mut draft = draft.clone();
    let tank = case.run.plan.tank.resized(capacity_m3);
    draft.set("tank.main", "capacity", quantity(capacity_m3, "m3", Q::Volume));
    for (key, level) in [("float_stop", tank.float_stop_m3), ("float_start", tank.float_start_m3)] {
        if let Some(level) = level {
            draft.set("tank.main", key, text(format!("{level} m3")));
        }
    }
    draft
}

/// The answer of `dryspell size` among tanks of its own steps.
pub fn size(case: &Case, r: &mut Random, bench: &Bench) -> Outcome {
    if case.always_marches() {
        return Outcome::NotHere;
    }
    let capacity = case.run.plan.tank.capacity_m3;
    let step = three_digits(capacity / 4.0);
    let first = three_digits(step.max(1.01 * case.run.plan.tank.garden_reserve_m3));
    let sizes: Vec<f64> = (0..8).map(|n| three_digits(first + f64::from(n) * step)).collect();
    let most = *r.pick(&[0_u32, 1, 5, 20]);
    let desk = Desk::new(case);
    let list = sizes.iter().map(|s| format!("{s} m3")).collect::<Vec<_>>().join(", ");
    let array = format!("array.{}.parallel = 1, 2", case.draft.names("array")[0]);
    let target = format!("days={most}");
    let answer = desk.run(&[
        "size",
        "scheme.toml",
        "--target",
        &target,
        "--tank",
        &list,
        "--array",
        &array,
        "--units",
        "si",
    ]);
    // Twice the strings may pass what a coupling bears; then there is no answer to hold.
    if answer.code == 2 {
        return Outcome::NotHere;
    }
    let tanks = answer.out.split("\nTANKS").nth(1).unwrap_or("").split("\nARRAYS").next().unwrap_or("");
    let smallest: Option<f64> = tanks
        .lines()
        .find(|line| line.contains("<- smallest"))
        .and_then(|line| line.split_whitespace().next()?.parse().ok());
    let days = |capacity_m3: f64| {
        let draft = resized(case, &case.draft, capacity_m3);
        let run = bench.run(&draft, Units::Si).map_err(|faults| refused(&faults))?.run;
        Ok::<f64, Outcome>(f64::from(run.outcome.counts.shortfall_days) / run.calendar.years())
    };
    let meets = |capacity_m3: f64| days(capacity_m3).map(|days| days <= f64::from(most));
    let mut wrong = Vec::new();
    let mut check = |what: &str, capacity_m3: f64, wanted: bool| match meets(capacity_m3) {
        Ok(met) if met == wanted => {}
        Ok(_) => wrong.push(format!("{what}: {capacity_m3} m³ for {target}: meets it is not {wanted}")),
        Err(Outcome::Failed(why)) => wrong.push(why),
        Err(_) => {}
    };
    match smallest {
        None => check("no answer", sizes[7], false),
        Some(smallest) => {
            check("smallest", smallest, true);
            let at = sizes.iter().position(|s| (s - smallest).abs() < 1e-9 * s);
            match at {
                None => wrong.push(format!("{smallest} m³ is none of {sizes:?}")),
                Some(0) => {}
                Some(at) => check("one step less", sizes[at - 1], false),
            }
        }
    }
    held(wrong)
}
