//! What breaks a scheme first: the least of each stress, by itself, that leaves a day short or breaks its goal.
//!
//! Each file has one part of the answer.

mod kind;
mod older;

pub use kind::Kind;
pub use older::older;

use std::sync::Arc;

use crate::ageing::Ageing;
use crate::edition::EditionRef;
use crate::fault::Faults;
use crate::plan::Plan;
use crate::record::Record;
use crate::reliability::goal::{Judgement, Verdict};
use crate::simulate::{Memo, Out, Outage, Run, Upstream, by_lowest_row, judged, outcome_at};

/// Years after which the ageing of all is told.
const TOLD_YEARS: [u32; 2] = [10, 20];

/// One stress and how much of it the scheme bears.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stress {
    /// Which.
    pub kind: Kind,
    /// The least that breaks it, in the unit of [`Kind::unit`]; `None` where even the most that was tried does not.
    pub breaks_at: Option<f64>,
    /// The most that was tried.
    pub most: f64,
    /// Days of shortfall a year with that much of it; `None` where it does not break, or cannot run at all.
    pub short_days: Option<f64>,
    /// First day of the record on which it acts, from 0; `None` where it acts all the time.
    pub first_day: Option<usize>,
}

/// A scheme after some years.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aged {
    /// How many.
    pub years: u32,
    /// Days of shortfall a year then; `None` where it cannot run any more.
    pub short_days: Option<f64>,
    /// Whether it has broken.
    pub broken: bool,
}

/// What a scheme bears.
#[derive(Debug, Clone, PartialEq)]
pub struct Bearing {
    /// Whether it is broken as it stands: then nothing was tried.
    pub broken: bool,
    /// Each stress.
    pub stresses: Vec<Stress>,
    /// Modules, pump and herd older, all together.
    pub aged: Vec<Aged>,
    /// The rates of ageing.
    pub ageing: Ageing,
}

/// What a scheme bears of each stress that fits it, by itself.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | x | amount of the stress | days, %, m, pieces, years | whole steps of [`Kind::step`], to [`Kind::most`] |
///
/// # Equation
/// The least x for which a day is short; where the scheme has a goal, for which something that is met is met no more. It is
/// sought by doubling, then by halving: more of a stress is taken to do no less harm.
///
/// # Validity
/// Without backup. An outage begins on the day on which it would hurt most ([`Outage::worst`]). A stress with which the scheme cannot
/// run at all (water too deep for the pump's table) has broken it. One stress at a time: two together break it sooner.
///
/// # Errors
/// What keeps the scheme itself from running.
///
/// # Example
/// ```
/// # use dryspell::{calendar::{Calendar, Day}, plan::Plan, record::Record, stress::{Kind, bearing}, tank};
/// # let calendar = Calendar::starting(Day { year: 2023, month: 3, day: 1 }, 20);
/// # let column = vec![0.05; 480];
/// # let plan = Plan::of_columns(column.clone(), column, tank::Settings::open("main", 4.0));
/// // 1.2 m³ a day comes and is drunk, and 4 m³ stand in the tank: three days without a pump leave 0.4 m³.
/// let found = bearing(&plan, &Record::without_weather(calendar))?;
/// let out = found.stresses.iter().find(|stress| stress.kind == Kind::PumpOut).unwrap();
/// assert_eq!(out.breaks_at, Some(4.0));
/// # Ok::<(), dryspell::fault::Faults>(())
/// ```
///
/// # References
/// The definition is this project's.
pub fn bearing(plan: &Plan, record: &Record) -> Result<Bearing, Faults> {
    let tried = Trial::new(plan, record)?;
    let mut found =
        Bearing { broken: tried.broken(), stresses: Vec::new(), aged: Vec::new(), ageing: tried.ageing() };
    if found.broken {
        return Ok(found);
    }
    let kinds = Kind::ALL.into_iter().filter_map(|kind| Some((kind, kind.most(&tried.base)?)));
    found.stresses = kinds.map(|(kind, most)| tried.least(kind, most)).collect();
    for years in TOLD_YEARS {
        let (broken, short_days) = tried.with(Kind::AllOlder, years);
        found.aged.push(Aged { years, short_days, broken });
    }
    Ok(found)
}

/// A scheme on trial.
struct Trial<'a> {
    base: Run,
    /// What its goal comes to; `None` without a goal that the record can tell.
    goal: Option<Judgement>,
    record: EditionRef<'a, Record>,
    memo: Memo,
}

impl<'a> Trial<'a> {
    fn new(plan: &Plan, record: &'a Record) -> Result<Self, Faults> {
        let record = EditionRef::new(record);
        // Judged without the backup, as all counts.
        let plan = Plan { backup: None, ..plan.clone() };
        let mut memo = Memo::default();
        let base = by_lowest_row(&memo.driven(&plan, record)?, &plan)?;
        let told = |goal: &Judgement| goal.rows.iter().any(|row| row.verdict != Verdict::CannotTell);
        let goal = base.goal().filter(told);
        Ok(Self { base, goal, record, memo })
    }

    fn ageing(&self) -> Ageing {
        self.base.plan.ageing.unwrap_or_default()
    }

    /// Whether it is broken as it stands.
    fn broken(&self) -> bool {
        match &self.goal {
            Some(goal) => goal.rows.iter().any(|row| row.verdict == Verdict::NotMet),
            None => self.base.outcome.counts.shortfall_days > 0,
        }
    }

    /// Least of a stress that breaks it.
    fn least(&self, kind: Kind, most: f64) -> Stress {
        let at = |steps: u32| kind.step() * f64::from(steps);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some hundred at most")]
        let steps = libm::round(most / kind.step()) as u32;
        let mut holds = 0;
        let mut breaks = None;
        let mut next = 1.min(steps);
        while next > holds {
            let tried = self.with(kind, next);
            if tried.0 {
                breaks = Some((next, tried.1));
                break;
            }
            (holds, next) = (next, steps.min(2 * next));
        }
        while let Some((high, _)) = breaks
            && high - holds > 1
        {
            let middle = holds + (high - holds) / 2;
            let tried = self.with(kind, middle);
            if tried.0 { breaks = Some((middle, tried.1)) } else { holds = middle }
        }
        let first_day = breaks.and_then(|(steps, _)| Some(self.outage(kind, steps)?.first_day));
        Stress {
            kind,
            breaks_at: breaks.map(|(steps, _)| at(steps)),
            most: at(steps),
            short_days: breaks.and_then(|(_, days)| days),
            first_day,
        }
    }

    /// The outage that a stress is, where it is one.
    fn outage(&self, kind: Kind, days: u32) -> Option<Outage> {
        let out = match kind {
            Kind::PumpOut => Out::Pump,
            Kind::PanelsCovered => Out::Panels,
            _ => return None,
        };
        Some(Outage::worst(&self.base, out, days))
    }

    /// Whether so many steps of a stress break it, with the days of shortfall a year; no days where it cannot run.
    fn with(&self, kind: Kind, steps: u32) -> (bool, Option<f64>) {
        let tried = match self.outage(kind, steps) {
            Some(outage) => outage
                .upstream(&self.base.found.upstream, self.record.value())
                .map(|up| (Arc::new(up), self.base.plan.clone())),
            None => {
                let (plan, record) = kind.on(&self.base.plan, self.record.value(), steps, &self.ageing());
                let mut memo = self.memo.clone();
                let upstream = match &record {
                    None => memo.driven(&plan, self.record),
                    Some(record) => memo.driven(&plan, EditionRef::new(record)),
                };
                upstream.map(|up| (up, plan))
            }
        };
        tried.and_then(|(upstream, plan)| self.judge(&upstream, &plan)).unwrap_or((true, None))
    }

    fn judge(&self, upstream: &Arc<Upstream>, plan: &Plan) -> Result<(bool, Option<f64>), Faults> {
        // How long full tanks last needs the whole run; all else is told by the hours.
        let asks_autonomy = plan.goal.is_some_and(|goal| goal.autonomy_days.is_some());
        let (outcome, autonomy_days) = if asks_autonomy {
            let run = by_lowest_row(upstream, plan)?;
            (run.outcome.clone(), run.full_tank.worst)
        } else {
            (outcome_at(upstream, plan)?.outcome, None)
        };
        let days = f64::from(outcome.counts.shortfall_days) / upstream.calendar.years();
        let broken =
            match (&self.goal, &plan.goal) {
                (Some(before), Some(goal)) => {
                    let after = judged(goal, upstream, &outcome, autonomy_days);
                    before.rows.iter().zip(&after.rows).any(|(before, after)| {
                        before.verdict == Verdict::Met && after.verdict != Verdict::Met
                    })
                }
                _ => outcome.counts.shortfall_days > 0,
            };
        Ok((broken, Some(days)))
    }
}
