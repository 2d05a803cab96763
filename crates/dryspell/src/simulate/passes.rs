//! The tank at the end of what flows and what is requested, by the pass that answers.

use std::sync::Arc;

use super::backup::with_backup;
use super::drain::Drain;
use super::march::{Begins, LiftBook, Marched, TankBook};
use super::{AnswersBy, PanelCover, Run, StartEnds, TankResult, Upstream, Variant, WellWithFloat};
use crate::draw::GroupKind;
use crate::fault::Faults;
use crate::plan::Plan;
use crate::reliability::autonomy::InService;
use crate::reliability::books::HerdBook;
use crate::reliability::outcome::{Outcome, follow, shortfall_days, shortfall_days_from_empty};
use crate::reliability::periods::{self, LimitHours, by_limit};
use crate::tank::ledger::Hour;

/// The part of a run that the tank's own size and float decide.
///
/// # Example
/// ```
/// # use dryspell::{calendar::{Calendar, Day}, plan::Plan, record::Record, simulate::simulate, tank};
/// # let calendar = Calendar::starting(Day { year: 2023, month: 3, day: 1 }, 10);
/// # let (available, demand) = (vec![0.02; 240], vec![0.05; 240]);
/// # let plan = Plan::of_columns(available, demand, tank::Settings::open("main", 4.0));
/// # let record = Record::without_weather(calendar);
/// use dryspell::simulate::{Memo, at_tank};
/// // All that lies before the tank is worked out once.
/// let upstream = Memo::default().upstream(&plan, &dryspell::edition::Edition::new(record))?;
/// let larger = Plan { tank: plan.tank.resized(8.0), ..plan.clone() };
/// assert_eq!(at_tank(&upstream, &plan)?.outcome.counts.shortfall_days, 5);
/// assert_eq!(at_tank(&upstream, &larger)?.outcome.counts.shortfall_days, 0);
/// # Ok::<(), dryspell::fault::Faults>(())
/// ```
///
/// # Errors
/// A ledger that does not close.
pub fn at_tank(upstream: &Arc<Upstream>, plan: &Plan) -> Result<Run, Faults> {
    let upstream = upstream.columns();
    let run = by_lowest_row(upstream, plan)?;
    if run.well.is_some() || !upstream.march.feels_the_float {
        return Ok(run);
    }
    // Only the well remembers: the columns count, the march tells what the well's water came to.
    let (marched, outcome) = upstream.march.march(plan, Begins::Full)?;
    Ok(Run { well: well_with_float(&marched, outcome.counts.shortfall_days), ..run })
}

/// The run by the pass that answers: the columns, or the march where something acted back on them.
pub(crate) fn by_lowest_row(upstream: &Arc<Upstream>, plan: &Plan) -> Result<Run, Faults> {
    let upstream = upstream.columns();
    if marches_always(upstream, plan) {
        return by_march(upstream, plan);
    }
    let run = by_columns(upstream, plan)?;
    if acts_back(upstream, plan, run.ran_dry) { by_march(upstream, plan) } else { Ok(run) }
}

/// Whether the march would answer for a plan.
pub(super) fn would_march(upstream: &Upstream, plan: &Plan) -> Result<bool, Faults> {
    let (hours, _) = follow(&plan.tank, &upstream.flows, &upstream.demand, &upstream.calendar)?;
    Ok(acts_back(upstream, plan, ran_dry(&hours)))
}

/// What a tank did over a record, without its hours.
#[derive(Debug, Clone)]
pub struct OutcomeAt {
    /// What it did.
    pub outcome: Outcome,
    /// Demand of the stock over the record, m³.
    pub demand_m3: f64,
    /// Short over the record, whatever the cause, m³.
    pub short_m3: f64,
    /// The pass that the counts come from.
    pub answers_by: AnswersBy,
}

/// What a tank did over a record and no more, by the pass that answers: for years in great number.
///
/// # Errors
/// A ledger that does not close; everything that keeps pump or delivery from running.
pub fn outcome_at(upstream: &Upstream, plan: &Plan) -> Result<OutcomeAt, Faults> {
    let (hours, outcome) = follow(&plan.tank, &upstream.flows, &upstream.demand, &upstream.calendar)?;
    if let Some((marched, outcome)) = acted_back(upstream, plan, ran_dry(&hours))? {
        return Ok(OutcomeAt {
            demand_m3: marched.demand_m3.iter().sum(),
            short_m3: outcome.ledgers.short_m3 + outcome.ledgers.delivery_shortage_m3,
            outcome,
            answers_by: AnswersBy::March,
        });
    }
    let way = upstream.delivery.as_ref().map_or(0.0, |d| d.volumes.delivery_shortage_m3());
    Ok(OutcomeAt {
        demand_m3: upstream.demand_sum_m3,
        short_m3: outcome.ledgers.short_m3 + way,
        outcome,
        answers_by: AnswersBy::Columns,
    })
}

/// Whether an hour of the columns ended with water owed at the tank.
fn ran_dry(hours: &[Hour<1>]) -> bool {
    hours.iter().any(|hour| hour.level_m3[0] < 0.0)
}

/// What the march comes to where something acted back on the columns; `None` where the columns answer. `ran_dry`: some hour ended
/// with water owed at the tank.
pub(crate) fn acted_back(
    upstream: &Upstream,
    plan: &Plan,
    ran_dry: bool,
) -> Result<Option<(Marched, Outcome)>, Faults> {
    if acts_back(upstream, plan, ran_dry) {
        upstream.march.march(plan, Begins::Full).map(Some)
    } else {
        Ok(None)
    }
}

/// Which cases of a plan the march has to answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Marches {
    /// None: nothing can act back on the columns.
    Nothing,
    /// Those whose tank runs dry on troughs or extras.
    RanDry,
    /// All: there are several tanks or wells, inflows besides the pump, or a backup.
    All,
}

impl Marches {
    /// What may act back in a plan.
    #[must_use]
    pub fn of(plan: &Plan) -> Self {
        let extras = plan.draw.groups.iter().any(|group| group.kind == GroupKind::Extra);
        if !plan.inflows.is_empty() || plan.backup.is_some() || !plan.is_one_tank() {
            Self::All
        } else if plan.delivery.is_some() || extras {
            Self::RanDry
        } else {
            Self::Nothing
        }
    }
}

/// Whether the march answers whatever the columns would say: inflows besides the pump, several tanks or wells.
pub(super) fn marches_always(upstream: &Upstream, plan: &Plan) -> bool {
    !upstream.inflows.is_empty() || !plan.is_one_tank()
}

/// Whether something acted back on the columns: inflows besides the pump, hydrants on a tank that ran dry, or extras, which are owed
/// nothing, beside herds that went thirsty. `thirsty`: some hour ended with water owed at the tank.
pub(super) fn acts_back(upstream: &Upstream, plan: &Plan, thirsty: bool) -> bool {
    let extras = upstream.extra_m3.iter().any(|m3| *m3 > 0.0);
    let hydrants = plan.delivery.is_some();
    let owed = || {
        let delivery = upstream.delivery.as_ref();
        delivery.is_some_and(|columns| (0..upstream.calendar.hours()).any(|h| columns.owes(h)))
    };
    marches_always(upstream, plan) || (thirsty && (hydrants || extras)) || (extras && owed())
}

/// The run by the columns, as if nothing acted back.
fn by_columns(upstream: &Arc<Upstream>, plan: &Plan) -> Result<Run, Faults> {
    let (calendar, flows) = (&upstream.calendar, &upstream.flows);
    let (hours, outcome) = follow(&plan.tank, flows, &upstream.demand, calendar)?;
    let from_empty =
        (!calendar.is_one_year()).then(|| shortfall_days_from_empty(&plan.tank, flows, &upstream.demand));
    let found =
        Found { outcome, from_empty, pass: AnswersBy::Columns, herds: None, well: None, several: None };
    run_of(upstream, plan, hours, found)
}

/// The run by the march, whatever acts back: what [`at_tank`] gives where something does, and else nearly what the columns
/// give.
///
/// # Errors
/// A ledger that does not close; everything that keeps pump or delivery from running.
pub fn by_march(upstream: &Arc<Upstream>, plan: &Plan) -> Result<Run, Faults> {
    let upstream = upstream.columns();
    let inputs = &upstream.march;
    let (marched, outcome) = inputs.march(plan, Begins::Full)?;
    let from_empty = if upstream.calendar.is_one_year() {
        None
    } else {
        Some(inputs.march(plan, Begins::Empty)?.1.counts.shortfall_days)
    };
    let well = well_with_float(&marched, outcome.counts.shortfall_days);
    let herds = Some(marched.herds.clone());
    let several = Some((marched.tanks.clone(), marched.lifts.clone()));
    let found = Found { outcome, from_empty, pass: AnswersBy::March, herds, well, several };
    let mut with = Upstream { before_march: Some(upstream.clone()), ..Upstream::clone(upstream) };
    let hours = with.take(marched);
    run_of(&Arc::new(with), plan, hours, found)
}

/// What the well came to in a march, with its days of shortfall.
fn well_with_float(marched: &Marched, shortfall_days: u32) -> Option<WellWithFloat> {
    Some(WellWithFloat {
        ledger: marched.well?,
        shortfall_days,
        passes: marched.passes,
        settled: marched.settled(),
        hours: marched.well_hours.clone(),
    })
}

/// Each tank's and each well's book.
type Several = (Arc<Vec<TankBook>>, Arc<Vec<LiftBook>>);

/// What a pass found, beside its hours.
struct Found {
    outcome: Outcome,
    from_empty: Option<u32>,
    pass: AnswersBy,
    herds: Option<Arc<Vec<HerdBook>>>,
    well: Option<WellWithFloat>,
    /// Each tank's and each well's book.
    several: Option<Several>,
}

/// All that a run shows, from the hours of the pass that answers.
fn run_of(upstream: &Arc<Upstream>, plan: &Plan, hours: Vec<Hour<1>>, found: Found) -> Result<Run, Faults> {
    let Found { outcome, from_empty, pass, herds, well, several } = found;
    let (tanks, lifts) = several.unwrap_or_default();
    let calendar = &upstream.calendar;
    let ends = hours.iter().map(|hour| hour.level_m3[0]);
    // Several tanks are drained together.
    let drain = Drain::new(&upstream.march, plan);
    let in_service = match &drain {
        None => {
            InService::of(upstream.lasting.autonomy(), std::iter::once(outcome.start.level_m3[0]).chain(ends))
        }
        Some(drain) => drain.in_service(|t, h| match h.checked_sub(1) {
            None => tanks[t].start_m3,
            Some(before) => tanks[t].level_m3[before],
        }),
    };
    let limits = || upstream.supply.limit.iter().copied();
    let refused =
        limits().enumerate().filter(|(h, _)| float_shut(&lifts, &hours, *h)).map(|(_, limit)| limit);
    let days_of = |other: &Variant| days_with(other, upstream, plan, pass);
    let days = periods::days(&periods::Columns {
        plane_w_per_m2: &upstream.array.plane_w_per_m2,
        flows: &upstream.flows,
        demand_m3: &upstream.demand_m3,
        demand: &upstream.demand,
        hours: &hours,
        tolerance: plan.tank.tolerance,
    });
    let start_end = |end: &Option<Variant>| end.as_ref().map_or(Ok(outcome.counts.shortfall_days), days_of);
    let start_ends = match &upstream.variants.start_ends {
        None => None,
        Some([zero, best]) => {
            Some(StartEnds { zero_days: start_end(zero)?, best_line_days: start_end(best)? })
        }
    };
    let mut covered = Vec::new();
    for (days, variant) in &upstream.variants.covered {
        covered.push(PanelCover { days: *days, shortfall_days: days_of(variant)? });
    }
    let snow_ends = match &upstream.variants.snow_ends {
        None => None,
        Some([least, most]) => Some([days_of(least)?, days_of(most)?]),
    };
    let found = TankResult {
        plan: plan.clone(),
        ran_dry: match pass {
            AnswersBy::Columns => ran_dry(&hours),
            AnswersBy::March => {
                let given = hours.iter().map(|hour| hour.drawn_m3[0]);
                upstream.flows.requested_m3.iter().zip(given).any(|(asked, given)| *asked > given)
            }
        },
        full_tank: match &drain {
            None => upstream.lasting.full_tank(&plan.tank, calendar),
            Some(drain) => drain.full_tank(calendar),
        },
        in_service,
        limit_hours: LimitHours::new(&by_limit(limits()), &by_limit(refused)),
        start_ends,
        covered,
        snow_ends,
        shortfall_days_without_frost: upstream.variants.without_frost.as_ref().map(days_of).transpose()?,
        shortfall_days_if_started_empty: from_empty,
        outcome,
        answers_by: pass,
        backup: plan.backup.as_ref().map(|backup| with_backup(upstream, plan, backup)).transpose()?,
        herds,
        tanks,
        serving_tanks: drain.map_or_else(Vec::new, |drain| drain.serves_stock),
        lifts,
        upstream: upstream.clone(),
    };
    let months = periods::months(calendar.days(), &days);
    Ok(Run { found, hours, days, months, well })
}

/// Whether the float refused some of the first pump's water in an hour.
pub(super) fn float_shut(lifts: &[LiftBook], hours: &[Hour<1>], h: usize) -> bool {
    lifts.first().map_or(hours[h].curtailed_m3[0] > 0.0, |first| first.float_shut[h])
}

/// Days of shortfall with one thing changed: by the march where that answers for the scheme as it is or where something acted
/// back with the change.
fn days_with(other: &Variant, upstream: &Upstream, plan: &Plan, pass: AnswersBy) -> Result<u32, Faults> {
    if pass == AnswersBy::Columns {
        let (days, thirsty) = shortfall_days(&plan.tank, &other.flows, &other.demand, &upstream.calendar);
        if !acts_back(upstream, plan, thirsty) {
            return Ok(days);
        }
    }
    Ok(other.march.march(plan, Begins::Full)?.1.counts.shortfall_days)
}
