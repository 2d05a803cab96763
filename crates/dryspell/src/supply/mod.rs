//! Supply: where the pump meets the well and the pipe, hour by hour.
//!
//! Supply is made as if the float never stopped the pump. From hour to hour it carries whether the pump runs, how far the
//! bore is drawn down, what keeps the pump from running and how far the riser is drained ([`State`]); a scheme without
//! such things has hours that stand alone.

mod head;
mod ledger;
mod operate;
mod peak_hours;
mod state;
mod step;
mod system;

pub use head::{Head, HeadBuildUp, RunBuildUp, head_build_up};
pub use ledger::SourceLedger;
pub use peak_hours::{peak_hours_flow_m3_per_h, peak_hours_volume_m3_per_day, strings_needed, wire_power_w};
pub use state::{State, Wait};
pub use step::Hour;
pub use system::System;

use crate::array::{self, OneArray, Terminals, circuit::Circuit, circuit_of};
use crate::calendar::Calendar;
use crate::coupling::{self, Power};
use crate::fault::{Fault, FaultKind};
use crate::ring::MOST_ROUNDS;
use crate::{pipe, pump, well};

/// Settings of the supply stage.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Settings {
    /// The pump.
    pub pump: pump::Settings,
    /// What lies between array and pump.
    pub coupling: coupling::Settings,
    /// The well.
    pub well: well::Settings,
    /// The pipe line.
    pub pipe: pipe::Settings,
}

/// What set the flow of an hour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Limit {
    /// No power at all: the sun is down, or nothing reaches the cells.
    Night,
    /// Some power, too little to lift any water.
    SunBelowStart,
    /// Running: more sun would have lifted more.
    Sun,
    /// Running at the greatest tabulated power: more sun would not have lifted more.
    PumpLimit,
    /// Running beyond the table's highest head: the flow is the one that the pipe line passes at that head.
    TableEnd,
    /// Held back to what the well gives.
    Well,
    /// Standing all hour because the water fell to the cut-out.
    CutOut,
    /// Standing all hour because a part of the pipe is frozen, or emptied and shut for the frost.
    Frozen,
}

impl Limit {
    /// All limits, from no water to most.
    pub const ALL: [Self; 8] = [
        Self::Night,
        Self::SunBelowStart,
        Self::Sun,
        Self::PumpLimit,
        Self::TableEnd,
        Self::Well,
        Self::CutOut,
        Self::Frozen,
    ];

    /// Its place in [`Self::ALL`].
    #[must_use]
    pub const fn place(self) -> usize {
        self as usize
    }

    /// Whether water flows.
    #[must_use]
    pub const fn flows(self) -> bool {
        !matches!(self, Self::Night | Self::SunBelowStart | Self::CutOut | Self::Frozen)
    }

    /// The limit in words, as tables show it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Night => "night",
            Self::SunBelowStart => "sun below start",
            Self::Sun => "sun",
            Self::PumpLimit => "pump at its limit",
            Self::TableEnd => "head at the table's end",
            Self::Well => "well",
            Self::CutOut => "well at the cut-out",
            Self::Frozen => "frozen",
        }
    }
}

/// What the supply stage makes: one value for each hour of the record, and counts.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Columns {
    /// Water available to the tank, m³ in the hour.
    pub available_m3: Vec<f64>,
    /// Water lifted by the pump, m³ in the hour.
    pub lifted_m3: Vec<f64>,
    /// Flow lifted while the pump runs, m³/h: more than the hour's volume where it stops at the cut-out.
    pub flow_m3_per_h: Vec<f64>,
    /// Water lost through the weep hole, m³ in the hour.
    pub weep_m3: Vec<f64>,
    /// Water that filled the drained pipe, m³ in the hour.
    pub riser_refill_m3: Vec<f64>,
    /// The sums of these four.
    pub ledger: SourceLedger,
    /// Power that the pump took, W: none while nothing flows, and none above what gives more flow.
    pub power_w: Vec<f64>,
    /// Total dynamic head, m; the static head while nothing flows.
    pub head_m: Vec<f64>,
    /// What set the flow.
    pub limit: Vec<Limit>,
    /// Hours with flow in which the power was below the lowest tabulated one: the start rule made their water.
    pub hours_below_lowest_power: u32,
    /// Water of those hours, m³.
    pub m3_below_lowest_power: f64,
    /// Hours in which the system curve left the table at its highest head.
    pub hours_table_end: u32,
    /// Hours with flow below the lowest tabulated head, where the flow of that head was kept.
    pub hours_below_lowest_head: u32,
    /// Times that the pump was stopped because the water fell to the cut-out.
    pub cut_out_stops: u32,
    /// Hours in which the sun gave something, but not the current that breaks the motor away.
    pub hours_held_fast: u32,
}

impl Columns {
    /// Number of hours with a limit.
    #[must_use]
    pub fn hours(&self, limit: Limit) -> usize {
        self.limit.iter().filter(|l| **l == limit).count()
    }
}

/// What the array stage hands to the supply stage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Source<'a> {
    /// What the arrays can give at the coupling, W, each hour.
    pub array_w: &'a [f64],
    /// Each array, for its curve; empty where only the power is known.
    pub each: &'a [OneArray],
    /// Whether the arrays share one voltage.
    pub terminals: Terminals,
    /// Hours in which nothing may flow because the way is frozen; empty where nothing freezes.
    pub frozen: &'a [bool],
}

impl<'a> Source<'a> {
    /// The same with the hours in which nothing may flow.
    #[must_use]
    pub const fn stopped(self, frozen: &'a [bool]) -> Self {
        Self { frozen, ..self }
    }
}

impl<'a> From<&'a array::Columns> for Source<'a> {
    fn from(columns: &'a array::Columns) -> Self {
        Self { array_w: &columns.array_w, each: &columns.each, terminals: columns.terminals, frozen: &[] }
    }
}

impl<'a> From<&'a [f64]> for Source<'a> {
    fn from(array_w: &'a [f64]) -> Self {
        Self { array_w, each: &[], terminals: Terminals::Common, frozen: &[] }
    }
}

impl<'a> From<&'a Vec<f64>> for Source<'a> {
    fn from(array_w: &'a Vec<f64>) -> Self {
        Self { array_w, each: &[], terminals: Terminals::Common, frozen: &[] }
    }
}

/// The supply of every hour of a record.
///
/// # Errors
/// Every fault of the settings (see [`System::new`]), or those of [`System::supply`].
pub fn supply<'a>(
    settings: &Settings,
    source: impl Into<Source<'a>>,
    calendar: &Calendar,
) -> Result<Columns, Vec<Fault>> {
    System::new(settings)?.supply(source, calendar)
}

impl System {
    /// The supply of every hour of a record; see [`supply`]. A year that repeats begins with what its end leaves in the bore and
    /// the riser, to 10⁻⁹ m and m³.
    ///
    /// # Errors
    /// A power that is negative or not a number, a column that does not fit the calendar, a coupling that needs the
    /// arrays' curves where there are none, an array whose voltage in the cold is more than the controller bears.
    pub fn supply<'a>(
        &self,
        source: impl Into<Source<'a>>,
        calendar: &Calendar,
    ) -> Result<Columns, Vec<Fault>> {
        let source = source.into();
        let hours = source.array_w.len();
        let mut columns = Columns::default();
        self.follow(&source, calendar, hours, |h, hour| {
            if h == 0 {
                columns = Columns::with_capacity(hours);
            }
            columns.push(hour);
        })?;
        Ok(columns)
    }

    /// Hour `h` of a record, with what the hours before it left: the same calculation as [`System::supply`].
    ///
    /// # Errors
    /// Those of [`System::supply`], or an hour outside the record.
    pub fn hour_of<'a>(
        &self,
        source: impl Into<Source<'a>>,
        calendar: &Calendar,
        h: usize,
    ) -> Result<Hour, Vec<Fault>> {
        let mut last = None;
        // A year that is followed round and round needs all its hours.
        let whole = calendar.is_one_year() && self.remembers();
        let hours = if whole { calendar.hours() } else { calendar.hours().min(h.saturating_add(1)) };
        self.follow(&source.into(), calendar, hours, |at, hour| {
            if at == h {
                last = Some(*hour);
            }
        })?;
        last.ok_or_else(|| {
            vec![Fault::at_key(
                "array",
                FaultKind::WrongLength,
                format!("hour {h} of a record of {} hours", calendar.hours()),
                "an hour of the record",
                "count from 0",
            )]
        })
    }

    /// Goes through the first hours of a record. A whole year that repeats, and whose well or riser remembers, is gone through
    /// until it ends as it began, at most [`MOST_ROUNDS`] times; each round begins with hour 0 again. The first round is taken
    /// as it goes, since it is nearly always the last: no round more than needed.
    fn follow(
        &self,
        source: &Source<'_>,
        calendar: &Calendar,
        hours: usize,
        mut take: impl FnMut(usize, &Hour),
    ) -> Result<(), Vec<Fault>> {
        check_power(source.array_w, calendar)?;
        let coupling = &self.settings().coupling;
        let needs_curve = coupling.needs_curve();
        check_arrays(coupling, needs_curve, source)?;
        let mut flows = Vec::new();
        let mut circuit = Circuit::default();
        let mut hour = |state: &mut State, h: usize| {
            let mut power = Power { terminals: source.terminals, ..Power::watts(source.array_w[h]) };
            if needs_curve {
                circuit_of(source.each, h, &mut circuit);
                power.circuit = Some(&circuit);
            }
            let month = calendar.day_of(h).month;
            if source.frozen.get(h).copied().unwrap_or(false) {
                self.stand(state, month, &power)
            } else {
                self.step(state, month, &power, &mut flows)
            }
        };
        let mut state = self.at_rest();
        let repeats = calendar.is_one_year();
        if repeats {
            (source.array_w.len() - self.remembers_h()..source.array_w.len())
                .for_each(|h| _ = hour(&mut state, h));
        }
        for _ in 0..MOST_ROUNDS {
            let begun = state;
            (0..hours).for_each(|h| take(h, &hour(&mut state, h)));
            if !(repeats && self.remembers() && hours == calendar.hours()) || state.is_near(&begun) {
                break;
            }
        }
        Ok(())
    }
}

impl Columns {
    fn with_capacity(hours: usize) -> Self {
        Self {
            available_m3: Vec::with_capacity(hours),
            lifted_m3: Vec::with_capacity(hours),
            flow_m3_per_h: Vec::with_capacity(hours),
            weep_m3: Vec::with_capacity(hours),
            riser_refill_m3: Vec::with_capacity(hours),
            power_w: Vec::with_capacity(hours),
            head_m: Vec::with_capacity(hours),
            limit: Vec::with_capacity(hours),
            ..Self::default()
        }
    }

    fn push(&mut self, hour: &Hour) {
        self.available_m3.push(hour.available_m3);
        self.lifted_m3.push(hour.lifted_m3);
        self.flow_m3_per_h.push(hour.flow_m3_per_h);
        self.weep_m3.push(hour.weep_m3);
        self.riser_refill_m3.push(hour.riser_refill_m3);
        self.ledger.add(hour);
        self.power_w.push(hour.power_taken_w);
        self.head_m.push(hour.head.total_m());
        self.limit.push(hour.limit);
        if hour.below_lowest_power {
            self.hours_below_lowest_power += 1;
            self.m3_below_lowest_power += hour.available_m3;
        }
        self.hours_table_end += u32::from(hour.table_end);
        self.hours_below_lowest_head += u32::from(hour.below_lowest_head);
        self.cut_out_stops += hour.stops;
        self.hours_held_fast += u32::from(hour.held_fast);
    }
}

/// Whether the arrays' curves are there where they are needed, and what the coupling says to them.
fn check_arrays(
    coupling: &coupling::Settings,
    needs_curve: bool,
    source: &Source<'_>,
) -> Result<(), Vec<Fault>> {
    let hours = source.array_w.len();
    let whole = |a: &OneArray| {
        a.wiring.is_some() && [a.light_w_per_m2.len(), a.cell_degc.len(), a.power_w.len()] == [hours; 3]
    };
    if needs_curve && (source.each.is_empty() || !source.each.iter().all(whole)) {
        return Err(vec![Fault::at_key(
            "coupling.kind",
            FaultKind::CannotRun,
            format!("coupling \"{}\" with the arrays' power alone", coupling.word()),
            "light and cell temperature of each array for every hour",
            "hand over the columns of the array stage",
        )]);
    }
    let faults = coupling.array_faults(source.each);
    if faults.is_empty() { Ok(()) } else { Err(faults) }
}

fn check_power(array_w: &[f64], calendar: &Calendar) -> Result<(), Vec<Fault>> {
    if array_w.len() != calendar.hours() {
        return Err(vec![Fault::at_key(
            "array",
            FaultKind::WrongLength,
            format!("{} hours of array power for a record of {} hours", array_w.len(), calendar.hours()),
            "one power for each hour",
            "make the power from the same record",
        )]);
    }
    match array_w.iter().position(|w| !(w.is_finite() && *w >= 0.0)) {
        None => Ok(()),
        Some(h) => Err(vec![Fault::at_key(
            "array",
            FaultKind::OutOfRange,
            format!("array power {} W in the hour from {}", array_w[h], calendar.start_text(h)),
            "0 W or more",
            "check the weather of that hour",
        )]),
    }
}
