//! What would mend a scheme that goes short: single changes, each a run of its own.

use crate::array::ArraySettings;
use crate::array::snow::Snow;
use crate::coupling::{Booster, Settings as Coupling};
use crate::delivery::BoosterSettings;
use crate::edition::EditionRef;
use crate::fault::Faults;
use crate::plan::Plan;
use crate::record::Record;
use crate::simulate::{Memo, Run, by_lowest_row};
use crate::tank;
use crate::units::{Quantity, System, show_alike};

/// One change and what it does.
#[derive(Debug, Clone, PartialEq)]
pub struct Mend {
    /// What is changed.
    pub what: String,
    /// Days of shortfall a year.
    pub days: f64,
    /// Days that a full tank lasts.
    pub autonomy_days: Option<f64>,
}

/// Tank sizes that are tried, as shares of the one that there is.
const LARGER: [f64; 4] = [1.25, 1.5, 2.0, 3.0];
/// Efficiency of a tracker or a current booster that is not yet there: common practice, no source.
const EFFICIENCY: f64 = 0.95;
/// For most sun in midwinter panels stand steeper than the latitude by this, deg: common practice, no source.
const WINTER_DEG: f64 = 15.0;
/// Steepest tilt that is tried, and what tilts are rounded to, deg.
const STEEPEST_DEG: f64 = 80.0;
const TILT_STEP_DEG: f64 = 5.0;

/// What would mend a scheme: single changes that fit it, each run on the record; of larger tanks those that gain more than
/// smaller ones, up to the first that leaves no day short. First what leaves no day short, then what gains most days. A change
/// that cannot run (a voltage too high for the controller) is left out. Empty where no day is short.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | n | days of shortfall | days a year | ≥ 0 |
///
/// # Validity
/// One change at a time: two together may do more or less than their sum. A coupling that is not yet there is taken with an
/// efficiency of 95 %.
///
/// # Errors
/// What keeps the scheme itself from running.
///
/// # Example
/// ```
/// # use dryspell::{calendar::{Calendar, Day}, plan::Plan, record::Record, tank, units::System};
/// # let calendar = Calendar::starting(Day { year: 2023, month: 3, day: 1 }, 10);
/// # let plan = Plan::of_columns(vec![0.02; 240], vec![0.05; 240], tank::Settings::open("main", 4.0));
/// // 1.2 m³ a day of which 0.48 come: ten days need 7.2 m³ of storage, and twice 4 m³ are enough.
/// let mends = dryspell::mends::mends(&plan, &Record::without_weather(calendar), System::Si)?;
/// assert_eq!((mends[0].what.as_str(), mends[0].days), ("tank: 8000 L instead of 4000 L", 0.0));
/// # Ok::<(), dryspell::fault::Faults>(())
/// ```
///
/// # References
/// The list is this project's.
pub fn mends(plan: &Plan, record: &Record, units: System) -> Result<Vec<Mend>, Faults> {
    let mut memo = Memo::default();
    let record = EditionRef::new(record);
    // Judged without the backup, as all counts.
    let plan = &Plan { backup: None, ..plan.clone() };
    let mut run = |plan: &Plan| -> Result<Run, Faults> { by_lowest_row(&memo.driven(plan, record)?, plan) };
    let base = run(plan)?;
    if base.outcome.counts.shortfall_days == 0 {
        return Ok(Vec::new());
    }
    let mut found: Vec<Mend> = Vec::new();
    for (what, changed) in changes(plan, &base) {
        found.extend(run(&changed).ok().map(|run| mend(what, &run)));
    }
    let mut short_days = base.outcome.counts.shortfall_days;
    for (what, larger) in larger_tanks(plan, units) {
        let Ok(run) = run(&larger) else { continue };
        // A larger tank that gains no more than a smaller one is no choice.
        if run.outcome.counts.shortfall_days < short_days {
            short_days = run.outcome.counts.shortfall_days;
            found.push(mend(what, &run));
        }
        if short_days == 0 {
            break;
        }
    }
    let autonomy = |mend: &Mend| mend.autonomy_days.unwrap_or(0.0);
    found.sort_by(|a, b| a.days.total_cmp(&b.days).then(autonomy(b).total_cmp(&autonomy(a))));
    Ok(found)
}

fn mend(what: String, run: &Run) -> Mend {
    let days = f64::from(run.outcome.counts.shortfall_days) / run.calendar.years();
    Mend { what, days, autonomy_days: run.full_tank.worst }
}

/// All but the tank's size.
fn changes(plan: &Plan, run: &Run) -> Vec<(String, Plan)> {
    let mut list = Vec::new();
    panels(&mut list, plan, run);
    coupling(&mut list, plan);
    let mut other = |what: &str, change: &dyn Fn(&mut Plan) -> bool| {
        let mut changed = plan.clone();
        if change(&mut changed) {
            list.push((what.to_owned(), changed));
        }
    };
    other("float: pump starts again as soon as there is room", &|plan| {
        plan.tank.float_start_m3.take().is_some_and(|start| start < plan.tank.full_m3())
    });
    let mut booster = |what: &str, change: fn(&mut BoosterSettings)| {
        other(what, &|plan| {
            plan.delivery.as_mut().and_then(|delivery| delivery.booster.as_mut()).map(change).is_some()
        });
    };
    booster("booster: battery of twice the capacity", |booster| booster.battery.capacity_ah *= 2.0);
    booster("booster: twice the panels", |booster| {
        booster.panel.arrays.iter_mut().for_each(|array| array.parallel *= 2);
    });
    list
}

/// More of them, steeper, swept.
fn panels(list: &mut Vec<(String, Plan)>, plan: &Plan, run: &Run) {
    for (i, array) in plan.array.arrays.iter().enumerate() {
        let mut more = |what: String, change: &dyn Fn(&mut ArraySettings)| {
            let mut changed = plan.clone();
            change(&mut changed.array.arrays[i]);
            list.push((what, changed));
        };
        more(
            format!("{}: {} in series instead of {}", array.name, array.series + 1, array.series),
            &|array| {
                array.series += 1;
            },
        );
        more(
            format!("{}: {} in parallel instead of {}", array.name, array.parallel + 1, array.parallel),
            &|array| array.parallel += 1,
        );
        let steep = TILT_STEP_DEG * ((run.place.latitude_deg.abs() + WINTER_DEG) / TILT_STEP_DEG).round();
        let steep = steep.min(STEEPEST_DEG);
        if array.seasons.is_empty() && steep > array.tilt_deg {
            more(
                format!("{}: tilt {steep:.0} deg instead of {:.0} deg", array.name, array.tilt_deg),
                &|array| {
                    array.tilt_deg = steep;
                },
            );
        }
    }
    let snow = |h: &f64| *h > 0.0;
    if run.array.each.iter().any(|array| array.snow_cover.iter().any(snow)) {
        let mut swept = plan.clone();
        swept.array.snow = Snow { from_weather: false, ..Snow::default() };
        list.push(("snow: panels kept free of it".to_owned(), swept));
    }
}

/// Another kind of coupling than there is, where the pump can be on it.
fn coupling(list: &mut Vec<(String, Plan)>, plan: &Plan) {
    let booster = Coupling::Booster(Booster { efficiency: EFFICIENCY, bypass: false, current_limit_a: None });
    let others = match &plan.supply.coupling {
        Coupling::Tracking(_) => Vec::new(),
        Coupling::Booster(_) => vec![Coupling::tracking(EFFICIENCY)],
        Coupling::Direct => vec![booster, Coupling::tracking(EFFICIENCY)],
    };
    for other in others {
        let what = format!("coupling: {} instead of {}", other.word(), plan.supply.coupling.word());
        let mut changed = plan.clone();
        changed.supply.coupling = other;
        list.push((what, changed));
    }
}

/// The first tank, larger and larger, its float at the same share.
fn larger_tanks(plan: &Plan, units: System) -> impl Iterator<Item = (String, Plan)> + '_ {
    LARGER.iter().map(move |share| {
        let capacity_m3 = share * plan.tank.capacity_m3;
        let [larger, now] = show_alike([capacity_m3, plan.tank.capacity_m3], Quantity::Volume, units);
        let what = format!("tank: {larger} instead of {now}");
        let tank: tank::Settings = plan.tank.resized(capacity_m3);
        (what, Plan { tank, ..plan.clone() })
    })
}
