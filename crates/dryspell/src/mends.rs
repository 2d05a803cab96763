//! What would mend a scheme that goes short: single changes, each a run of its own.

use crate::array::ArraySettings;
use crate::array::snow::Snow;
use crate::coupling::{Booster, Settings as Coupling};
use crate::delivery::BoosterSettings;
use crate::edition::EditionRef;
use crate::fault::Faults;
use crate::plan::Plan;
use crate::price::Prices;
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
    /// Whether the goal is met; `None` without a goal.
    pub goal_met: Option<bool>,
    /// What it costs, in the currency of the prices; `None` where they do not tell.
    pub cost: Option<f64>,
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
/// smaller ones, up to the first that leaves no day short and meets the goal. A change that cannot run (a voltage too high for the
/// controller) is left out. Empty where no day is short and no goal is missed.
///
/// Without prices first what meets the goal, then what leaves fewest days short, then what lets a full tank last longest. With prices
/// first what costs least for each day of shortfall less; what has no price, or saves no day, stands behind.
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
    let stands = mend("as it stands".to_owned(), None, &base);
    if stands.is_enough() {
        return Ok(Vec::new());
    }
    let mut found: Vec<Mend> = Vec::new();
    for change in changes(plan, &base) {
        found.extend(run(&change.plan).ok().map(|run| mend(change.what, change.cost, &run)));
    }
    let mut best = stands.clone();
    for change in larger_tanks(plan, units) {
        let Ok(run) = run(&change.plan) else { continue };
        let larger = mend(change.what, change.cost, &run);
        // A larger tank that gains no more than a smaller one is no choice.
        if larger.days < best.days || larger.is_enough() {
            best = larger.clone();
            found.push(larger);
        }
        if best.is_enough() {
            break;
        }
    }
    let missed = |mend: &Mend| mend.goal_met == Some(false);
    let autonomy = |mend: &Mend| mend.autonomy_days.unwrap_or(0.0);
    let each = |mend: &Mend| mend.cost_per_day(&stands).unwrap_or(f64::INFINITY);
    found.sort_by(|a, b| {
        let usual = missed(a)
            .cmp(&missed(b))
            .then(a.days.total_cmp(&b.days))
            .then(autonomy(b).total_cmp(&autonomy(a)));
        each(a).total_cmp(&each(b)).then(usual)
    });
    Ok(found)
}

impl Mend {
    /// Whether no day is short and no goal missed with it.
    #[must_use]
    pub fn is_enough(&self) -> bool {
        self.days == 0.0 && self.goal_met != Some(false)
    }

    /// Its cost for each day of shortfall a year that it saves against the scheme as it stands; `None` where it has no price or
    /// saves none.
    #[must_use]
    pub fn cost_per_day(&self, stands: &Self) -> Option<f64> {
        let saved = stands.days - self.days;
        (saved > 0.0).then_some(self.cost? / saved)
    }
}

/// A run as a row.
#[must_use]
pub fn mend(what: String, cost: Option<f64>, run: &Run) -> Mend {
    let days = f64::from(run.outcome.counts.shortfall_days) / run.calendar.years();
    let goal_met = run.goal().map(|goal| goal.met());
    Mend { what, days, autonomy_days: run.full_tank.worst, goal_met, cost }
}

/// A scheme with one thing changed.
struct Change {
    what: String,
    plan: Plan,
    cost: Option<f64>,
}

/// All but the tank's size.
fn changes(plan: &Plan, run: &Run) -> Vec<Change> {
    let prices = plan.prices.unwrap_or_default();
    let mut list = Vec::new();
    panels(&mut list, plan, run, &prices);
    coupling(&mut list, plan, &prices);
    let mut other = |what: &str, cost: Option<f64>, change: &dyn Fn(&mut Plan) -> bool| {
        let mut changed = plan.clone();
        if change(&mut changed) {
            list.push(Change { what: what.to_owned(), plan: changed, cost });
        }
    };
    other("float: pump starts again as soon as there is room", None, &|plan| {
        plan.tank.float_start_m3.take().is_some_and(|start| start < plan.tank.full_m3())
    });
    let mut booster =
        |what: &str, cost: &dyn Fn(&BoosterSettings) -> Option<f64>, change: fn(&mut BoosterSettings)| {
            let now = plan.delivery.as_ref().and_then(|delivery| delivery.booster.as_ref());
            other(what, now.and_then(cost), &|plan| {
                plan.delivery.as_mut().and_then(|delivery| delivery.booster.as_mut()).map(change).is_some()
            });
        };
    booster(
        "booster: battery of twice the capacity",
        &|booster| Some(prices.battery_per_ah? * booster.battery.capacity_ah),
        |booster| booster.battery.capacity_ah *= 2.0,
    );
    booster(
        "booster: twice the panels",
        &|booster| {
            let modules: u32 = booster.panel.arrays.iter().map(|array| array.series * array.parallel).sum();
            Some(prices.module? * f64::from(modules))
        },
        |booster| booster.panel.arrays.iter_mut().for_each(|array| array.parallel *= 2),
    );
    list
}

/// More of them, steeper, swept.
fn panels(list: &mut Vec<Change>, plan: &Plan, run: &Run, prices: &Prices) {
    for (i, array) in plan.array.arrays.iter().enumerate() {
        let mut more = |what: String, cost: Option<f64>, change: &dyn Fn(&mut ArraySettings)| {
            let mut changed = plan.clone();
            change(&mut changed.array.arrays[i]);
            list.push(Change { what, plan: changed, cost });
        };
        let modules = |count: u32| Some(prices.module? * f64::from(count));
        more(
            format!("{}: {} in series instead of {}", array.name, array.series + 1, array.series),
            modules(array.parallel),
            &|array| array.series += 1,
        );
        more(
            format!("{}: {} in parallel instead of {}", array.name, array.parallel + 1, array.parallel),
            modules(array.series),
            &|array| array.parallel += 1,
        );
        let steep = TILT_STEP_DEG * ((run.place.latitude_deg.abs() + WINTER_DEG) / TILT_STEP_DEG).round();
        let steep = steep.min(STEEPEST_DEG);
        if array.seasons.is_empty() && steep > array.tilt_deg {
            more(
                format!("{}: tilt {steep:.0} deg instead of {:.0} deg", array.name, array.tilt_deg),
                prices.steeper_rack,
                &|array| array.tilt_deg = steep,
            );
        }
    }
    let snow = |h: &f64| *h > 0.0;
    if run.array.each.iter().any(|array| array.snow_cover.iter().any(snow)) {
        let mut swept = plan.clone();
        swept.array.snow = Snow { from_weather: false, ..Snow::default() };
        let what = "snow: panels kept free of it".to_owned();
        list.push(Change { what, plan: swept, cost: prices.sweeping });
    }
}

/// Another kind of coupling than there is, where the pump can be on it.
fn coupling(list: &mut Vec<Change>, plan: &Plan, prices: &Prices) {
    let booster = Coupling::Booster(Booster { efficiency: EFFICIENCY, bypass: false, current_limit_a: None });
    let booster = (booster, prices.current_booster);
    let tracking = (Coupling::tracking(EFFICIENCY), prices.tracker);
    let others = match &plan.supply.coupling {
        Coupling::Tracking(_) => Vec::new(),
        Coupling::Booster(_) => vec![tracking],
        Coupling::Direct => vec![booster, tracking],
    };
    for (other, cost) in others {
        let what = format!("coupling: {} instead of {}", other.word(), plan.supply.coupling.word());
        let mut changed = plan.clone();
        changed.supply.coupling = other;
        list.push(Change { what, plan: changed, cost });
    }
}

/// The first tank, larger and larger, its float at the same share.
fn larger_tanks(plan: &Plan, units: System) -> impl Iterator<Item = Change> + '_ {
    let each = plan.prices.and_then(|prices| prices.tank_per_m3);
    LARGER.iter().map(move |share| {
        let capacity_m3 = share * plan.tank.capacity_m3;
        let [larger, now] = show_alike([capacity_m3, plan.tank.capacity_m3], Quantity::Volume, units);
        let what = format!("tank: {larger} instead of {now}");
        let tank: tank::Settings = plan.tank.resized(capacity_m3);
        let cost = each.map(|each| each * (capacity_m3 - plan.tank.capacity_m3));
        Change { what, plan: Plan { tank, ..plan.clone() }, cost }
    })
}
