//! The whole way of the water: a plan and a record in, a [`Run`] out.

mod backup;
mod covered;
mod drain;
mod endurance;
mod frozen;
mod goal;
mod levels;
mod losses;
mod march;
mod memo;
mod outage;
mod passes;
mod put;
mod requests;
mod several;
mod slot;
mod stages;
mod tanks;
mod upstream;

pub use backup::WithBackup;
pub use endurance::Endurance;
pub use frozen::{FrozenHours, frost_report};
pub(crate) use goal::judged;
pub use levels::{FromLevels, from_levels};
pub use losses::Losses;
use march::Marched;
pub use march::{
    DrinkerHour, Inflow, Inputs as MarchInputs, LiftBook, MarchedHour, PlaceHour, TankBook, TankHour,
    WellHour, WellLedger,
};
pub use memo::Memo;
pub use outage::{Out, Outage};
pub use passes::{Marches, OutcomeAt, at_tank, by_march, outcome_at};
pub(crate) use passes::{acted_back, by_lowest_row};
pub use put::{Put, Water};
pub use requests::{Requests, RequestsBy};
pub use several::{Lifted, LinkHours, Several};
pub use tanks::at_tanks;
pub(crate) use tanks::down_sizes;
pub use upstream::{Upstream, Variant, Variants};

use std::ops::Deref;
use std::sync::Arc;

use crate::calendar::HOURS_PER_DAY;
use crate::draw;
use crate::edition::EditionRef;
use crate::fault::Faults;
use crate::plan::Plan;
use crate::record::Record;
use crate::reliability::autonomy::{FullTank, InService};
use crate::reliability::books::HerdBook;
use crate::reliability::outcome::Outcome;
use crate::reliability::periods::{DayFigures, LimitHours, MonthFigures};
use crate::tank::ledger::Hour;

/// Everything that one simulation found. All that is printed, written or drawn is read from here.
///
/// A run follows the water: its hours and days rest on what was found at the tank ([`TankResult`]), and that on all that lies
/// before the tank ([`Upstream`]); their fields are read as if they were its own.
#[derive(Debug, Clone)]
pub struct Run {
    /// What it comes to.
    pub found: TankResult,
    /// The tank's hours in record order.
    pub hours: Vec<Hour<1>>,
    /// Sums by day.
    pub days: Vec<DayFigures>,
    /// Sums by calendar month.
    pub months: [MonthFigures; 12],
    /// What the well's water came to with the float acting; `None` where each hour of the supply stands alone.
    pub well: Option<WellWithFloat>,
}

/// What the well's water came to with the float acting, from the march.
#[derive(Debug, Clone, PartialEq)]
pub struct WellWithFloat {
    /// Where the water went.
    pub ledger: WellLedger,
    /// Days of shortfall with the float resting the well.
    pub shortfall_days: u32,
    /// Passes of the march until the year repeated.
    pub passes: u32,
    /// Whether it repeated.
    pub settled: bool,
    /// Each hour.
    pub hours: Vec<WellHour>,
}

/// The pass that a run's counts come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AnswersBy {
    /// Columns, each made once: nothing acted back.
    Columns,
    /// The march: all stores stepped together.
    March,
}

impl AnswersBy {
    /// In a word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Columns => "columns",
            Self::March => "march",
        }
    }
}

/// What a tank comes to, without its hours: all that the headlines are read from, and the same to the last bit whether the
/// tank was run by itself or beside a thousand others.
#[derive(Debug, Clone)]
pub struct TankResult {
    /// All that lies before the tank.
    pub upstream: Arc<Upstream>,
    /// The settings it ran with.
    pub plan: Plan,
    /// What the tank did over the record.
    pub outcome: Outcome,
    /// The pass that the counts come from.
    pub answers_by: AnswersBy,
    /// Each herd's book; `None` where the columns answer.
    pub herds: Option<Arc<Vec<HerdBook>>>,
    /// Each tank's book; empty where there is one tank.
    pub tanks: Arc<Vec<TankBook>>,
    /// Whether stock drinks at each tank, at hydrants or at the tank itself; empty where there is one tank.
    pub serving_tanks: Vec<bool>,
    /// Each well's book; empty where there is one well.
    pub lifts: Arc<Vec<LiftBook>>,
    /// The same record with the backup of the scheme; `None` without one.
    pub backup: Option<WithBackup>,
    /// Hours by what set the water.
    pub limit_hours: LimitHours,
    /// Whether any hour of the record, in the pass that counts, ended owing water: something requested of the tank could not be
    /// given at once.
    pub ran_dry: bool,
    /// Days a full tank lasts.
    pub full_tank: FullTank,
    /// Days the tank would have lasted at the levels it had.
    pub in_service: Option<InService>,
    /// Counts for the two ends of what a duty table leaves open below its lowest power; `None` for a pump whose start
    /// is not left open by a table.
    pub start_ends: Option<StartEnds>,
    /// The same year with the panels covered for the first days of the critical spell.
    pub covered: Vec<PanelCover>,
    /// Days of shortfall with the least and the most snow on the panels that the record's rain and temperature allow; `None` where snow is
    /// said, or the record has no credible rain, or no month is cold.
    pub snow_ends: Option<[u32; 2]>,
    /// Days of shortfall if nothing froze; `None` where frost stops nothing.
    pub shortfall_days_without_frost: Option<u32>,
    /// Days of shortfall when the record starts with an empty tank; `None` for a one-year record, which repeats.
    pub shortfall_days_if_started_empty: Option<u32>,
}

impl Deref for Run {
    type Target = TankResult;

    fn deref(&self) -> &TankResult {
        &self.found
    }
}

impl Deref for TankResult {
    type Target = Upstream;

    fn deref(&self) -> &Upstream {
        &self.upstream
    }
}

/// Days of shortfall for both ends of the start rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StartEnds {
    /// Nothing flows below the lowest tabulated power.
    pub zero_days: u32,
    /// Linear interpolation to the hydraulic minimum at the table's best efficiency.
    pub best_line_days: u32,
}

/// Days of shortfall with the panels covered at the start of the critical spell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PanelCover {
    /// So many days covered.
    pub days: u32,
    /// Days of shortfall then.
    pub shortfall_days: u32,
}

/// Days that the panels are covered in the question that is always asked.
pub(crate) const COVERED_DAYS: [u32; 3] = [3, 7, 14];

/// Mean temperature of a month below which snow must be spoken of, °C.
pub(crate) const SNOW_MONTH_DEGC: f64 = 2.0;

/// Simulates a plan on a record.
///
/// # Example
/// ```
/// # use dryspell::{calendar::{Calendar, Day}, plan::Plan, record::Record, simulate::simulate, tank};
/// # let calendar = Calendar::starting(Day { year: 2023, month: 3, day: 1 }, 10);
/// # let (available, demand) = (vec![0.02; 240], vec![0.05; 240]);
/// # let plan = Plan::of_columns(available, demand, tank::Settings::open("main", 4.0));
/// # let record = Record::without_weather(calendar);
/// // 0.48 m³ a day comes, 1.2 m³ is needed, and 4 m³ stand in the tank: it lasts five days.
/// let run = simulate(&plan, &record)?;
/// assert_eq!(run.outcome.counts.shortfall_days, 5);
/// assert_eq!(run.outcome.counts.longest_spell_days, 5);
/// # Ok::<(), dryspell::fault::Faults>(())
/// ```
///
/// # Errors
/// Everything that keeps the scheme from running (a static head above the pump's reach, a record with a hole), each as
/// a [`crate::fault::Fault`] with the key that caused it; or a ledger that does not close.
pub fn simulate(plan: &Plan, record: &Record) -> Result<Run, Faults> {
    let upstream = Memo::default().upstream(plan, EditionRef::new(record))?;
    at_tank(&upstream, plan)
}

impl Run {
    /// Hour `h` of the march, step by step; with the scheme's backup where `with_backup` says so. `None` where the columns
    /// answer, or where there is no backup.
    ///
    /// # Errors
    /// What kept the march itself from being made: none that a finished run can meet.
    pub fn marched_hour(&self, h: usize, with_backup: bool) -> Result<Option<MarchedHour>, Faults> {
        let backup = self.plan.backup.as_ref().filter(|_| with_backup);
        if with_backup && backup.is_none() || !with_backup && self.answers_by == AnswersBy::Columns {
            return Ok(None);
        }
        self.march.watch(&self.plan, backup, h)
    }

    /// Whether it is a year that repeats: its end is followed by its beginning.
    #[must_use]
    pub fn repeats(&self) -> bool {
        self.calendar.is_one_year() && self.outcome.settled
    }

    /// Whether the tank runs down from year to year: the longer it runs, the more years are short.
    #[must_use]
    pub fn runs_down(&self) -> bool {
        self.storage.missing_m3 > 0.0 && !self.calendar.is_one_year()
    }

    /// Whether the float refused some of the first pump's water in hour `h`.
    ///
    /// # Panics
    /// If `h` lies outside the record.
    #[must_use]
    pub fn float_shut(&self, h: usize) -> bool {
        passes::float_shut(&self.lifts, &self.hours, h)
    }

    /// Level at the start of hour `h`, m³: what the hour before left, once what it booked as short is forgotten. Usable
    /// water, or thirst owed from earlier hours of the day below zero.
    ///
    /// # Panics
    /// If `h` lies outside the record.
    #[must_use]
    pub fn level_before(&self, h: usize) -> f64 {
        let Some(before) = h.checked_sub(1) else {
            return self.outcome.start.level_m3[0];
        };
        let level = self.hours[before].level_m3[0];
        let forgets = h.is_multiple_of(HOURS_PER_DAY) || self.plan.tank.carry == draw::Carry::None;
        if forgets { level.max(0.0) } else { level }
    }
}
