//! What one thing changed does to the answer.

use crate::array::soiling::Soiling;
use crate::edition::EditionRef;
use crate::fault::{Fault, Faults};
use crate::plan::Plan;
use crate::record::Record;
use crate::simulate::{Memo, Run, at_tank};
use crate::tank;
use crate::units::{Quantity, System, show};

/// One line of the table.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What was changed.
    pub what: String,
    /// Days of shortfall in a mean year; `None` where it could not run.
    pub days: Option<f64>,
    /// Days that a full tank lasts from the worst start hour.
    pub autonomy_days: Option<f64>,
    /// Why it could not run, or what there is to say.
    pub note: Option<String>,
}

/// Heads more and fewer, as a share.
const HERD: f64 = 0.2;
/// Light more and less, as a share.
const SUN: f64 = 0.1;
/// Dirt more, as a share of light.
const DIRT: f64 = 0.05;
/// Yield less, as a share.
const YIELD: f64 = 0.25;
/// Water deeper, m.
const DEEPER_M: f64 = 3.0;

/// The table: the run itself, then one thing changed at a time; lengths in words are in `units`.
///
/// # Errors
/// The run itself does not work; a change that does not is a line with its reason.
pub fn table(plan: &Plan, record: &Record, units: System) -> Result<Vec<Line>, Faults> {
    let mut memo = Memo::default();
    let record = EditionRef::new(record);
    // Days of shortfall are judged without the backup.
    let plan = &Plan { backup: None, ..plan.clone() };
    let base = at_tank(&memo.upstream(plan, record)?, plan)?;
    let mut lines = vec![line("as it stands", Ok(&base))];
    let mut with = |what: String, plan: &Plan, record: EditionRef<'_, Record>| {
        let run = memo.upstream(plan, record).and_then(|up| at_tank(&up, plan));
        lines.push(line(&what, run.as_ref().map_err(|faults| &**faults)));
    };
    for (sign, word) in [(1.0, "more"), (-1.0, "fewer")] {
        let mut other = plan.clone();
        for group in &mut other.draw.groups {
            group.count *= 1.0 + sign * HERD;
            group.counts.iter_mut().for_each(|(_, n)| *n *= 1.0 + sign * HERD);
        }
        with(format!("herd: {:.0} % {word} head", 100.0 * HERD), &other, record);
    }
    for (sign, word) in [(-1.0, "less"), (1.0, "more")] {
        let other = record.value().with_light(1.0 + sign * SUN);
        with(format!("sun: {:.0} % {word}", 100.0 * SUN), plan, EditionRef::new(&other));
    }
    let mut dirty = plan.clone();
    for array in &mut dirty.array.arrays {
        if let Soiling::Share(share) = array.soiling {
            array.soiling = Soiling::Share((share + DIRT).min(1.0));
        }
    }
    if dirty != *plan {
        with(format!("panels: {:.0} % more soiling", 100.0 * DIRT), &dirty, record);
    }
    // The last string or the last module of the first array that has more than one.
    let mut fewer = plan.clone();
    if let Some(array) = fewer.array.arrays.iter_mut().find(|a| a.series * a.parallel > 1) {
        let what = if array.parallel > 1 { "string" } else { "module" };
        if array.parallel > 1 {
            array.parallel -= 1;
        } else {
            array.series -= 1;
        }
        let what = format!("panels: one {what} of {} lost", array.name);
        with(what, &fewer, record);
    }
    let mut dry = plan.clone();
    if let Some(q) = &mut dry.supply.well.yield_m3_per_h {
        *q *= 1.0 - YIELD;
        with(format!("well: yield {:.0} % less", 100.0 * YIELD), &dry, record);
    }
    let mut deep = plan.clone();
    deep.supply.well.static_level_m.iter_mut().for_each(|z| *z += DEEPER_M);
    with(format!("well: static level {} deeper", show(DEEPER_M, Quantity::Length, units)), &deep, record);
    if plan.tank.float_stop_m3.is_some() {
        let mut stuck = plan.clone();
        stuck.tank = tank::Settings { float_stop_m3: None, float_start_m3: None, ..plan.tank.clone() };
        with("float stuck open: the excess overflows".into(), &stuck, record);
    }
    let years = base.calendar.years();
    let per_year = |days: u32| Some(f64::from(days) / years);
    if let Some(ends) = base.start_ends {
        let [dry, hopeful] = if plan.supply.pump.is_scaled_by_voltage() {
            ["pump: the head takes as much flow at any voltage", "pump: flow in proportion to voltage"]
        } else {
            ["pump: no flow below the table's lowest power", "pump: linear to the hydraulic minimum below it"]
        };
        for (what, days) in [(dry, ends.zero_days), (hopeful, ends.best_line_days)] {
            lines.push(Line {
                what: what.into(),
                days: per_year(days),
                autonomy_days: base.full_tank.worst,
                note: None,
            });
        }
    }
    for (what, days) in ["least", "most"].into_iter().zip(base.snow_ends.iter().flatten()) {
        lines.push(Line {
            what: format!("snow: the {what} that rain and frost allow"),
            days: per_year(*days),
            autonomy_days: base.full_tank.worst,
            note: None,
        });
    }
    for covered in &base.covered {
        lines.push(Line {
            what: format!("snow: panels covered {} days from the spell's start", covered.days),
            days: per_year(covered.shortfall_days),
            autonomy_days: base.full_tank.worst,
            note: None,
        });
    }
    if plan.tank.float_stop_m3.is_some() {
        lines.push(Line {
            what: "float stuck shut, or the pump fails".into(),
            days: None,
            autonomy_days: base.full_tank.worst,
            note: Some("the tank lasts no longer than its autonomy: someone must check".into()),
        });
    }
    Ok(lines)
}

/// A run as a line of the table, or why it could not run.
#[must_use]
pub fn line(what: &str, run: Result<&Run, &[Fault]>) -> Line {
    match run {
        Ok(run) => Line {
            what: what.to_owned(),
            days: Some(f64::from(run.outcome.counts.shortfall_days) / run.calendar.years()),
            autonomy_days: run.full_tank.worst,
            note: None,
        },
        Err(faults) => Line {
            what: what.to_owned(),
            days: None,
            autonomy_days: None,
            note: Some(format!(
                "cannot run: {}",
                faults.first().map_or_else(String::new, ToString::to_string)
            )),
        },
    }
}
