//! Supply: where the pump meets the well and the pipe, hour by hour.
//!
//! Supply is made as if the float never stopped the pump. From hour to hour it carries whether the pump runs, how far the
//! bore is drawn down, what keeps the pump from running and how far the riser is drained ([`State`]); a scheme without
//! such things has hours that stand alone.

mod columns;
mod drive;
mod head;
mod ledger;
mod lift;
mod operate;
mod peak_hours;
mod state;
mod step;
mod system;

pub use columns::{Columns, Limit};
pub use drive::Drive;
pub use head::{Head, HeadBuildUp, RunBuildUp, head_build_up};
pub use ledger::SourceLedger;
pub use lift::Lift;
pub use peak_hours::{peak_hours_flow_m3_per_h, peak_hours_volume_m3_per_day, strings_needed, wire_power_w};
pub use state::{State, Wait};
pub use step::Hour;
pub use system::System;

use crate::array::{self, OneArray, Terminals};
use crate::calendar::Calendar;
use crate::coupling;
use crate::fault::{Fault, FaultKind, Faults};
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

/// A tracker without loss (a duty table is taken at the input of its controller), water of 10 °C standing at the wellhead, a pipe without length; the pump's table is empty and is to be
/// given.
impl Default for Settings {
    fn default() -> Self {
        Self {
            pump: pump::Settings::duty(Vec::new(), pump::Start::Zero),
            coupling: coupling::Settings::tracking(1.0),
            well: well::Settings::default(),
            pipe: pipe::Settings { water_degc: 10.0, ..pipe::Settings::default() },
        }
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
    /// The arrays in equal parts of the hours, in their order; empty where each hour is one.
    pub parts: &'a [array::Columns],
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
        Self {
            array_w: &columns.array_w,
            each: &columns.each,
            terminals: columns.terminals,
            frozen: &[],
            parts: &columns.parts,
        }
    }
}

impl<'a> From<&'a [f64]> for Source<'a> {
    fn from(array_w: &'a [f64]) -> Self {
        Self { array_w, each: &[], terminals: Terminals::Common, frozen: &[], parts: &[] }
    }
}

impl<'a> From<&'a Vec<f64>> for Source<'a> {
    fn from(array_w: &'a Vec<f64>) -> Self {
        Self { array_w, each: &[], terminals: Terminals::Common, frozen: &[], parts: &[] }
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
) -> Result<Columns, Faults> {
    System::new(settings)?.supply(source, calendar)
}

impl System {
    /// The supply of every hour of a record; see [`supply`]. A year that repeats begins with what its end leaves in the bore and
    /// the riser, to 10⁻⁹ m and m³.
    ///
    /// # Errors
    /// A power that is negative or not a number, a column that does not fit the calendar, a coupling that needs the
    /// arrays' curves where there are none, an array whose voltage in the cold is more than the controller bears.
    pub fn supply<'a>(&self, source: impl Into<Source<'a>>, calendar: &Calendar) -> Result<Columns, Faults> {
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
    ) -> Result<Hour, Faults> {
        let mut last = None;
        let hours = self.hours_until(calendar, h);
        self.follow(&source.into(), calendar, hours, |at, hour| {
            if at == h {
                last = Some(*hour);
            }
        })?;
        last.ok_or_else(|| {
            Faults::from(Fault::at_key(
                "array",
                FaultKind::WrongLength,
                format!("hour {h} of a record of {} hours", calendar.hours()),
                "an hour of the record",
                "count from 0",
            ))
        })
    }

    /// Hours to follow so that hour `h` is as it is: a year that is followed round and round needs all.
    fn hours_until(&self, calendar: &Calendar, h: usize) -> usize {
        let whole = calendar.is_one_year() && self.remembers();
        if whole { calendar.hours() } else { calendar.hours().min(h.saturating_add(1)) }
    }

    /// The parts of hour `h`, where its light differs inside it, as [`System::hour_of`] goes through them; none where it does not.
    ///
    /// # Errors
    /// Those of [`System::hour_of`].
    pub fn parts_of<'a>(
        &self,
        source: impl Into<Source<'a>>,
        calendar: &Calendar,
        h: usize,
    ) -> Result<Vec<Hour>, Faults> {
        let source = source.into();
        let mut parts = Vec::new();
        if source.parts.is_empty() {
            return Ok(parts);
        }
        let hours = self.hours_until(calendar, h);
        self.follow_by_parts(&source, calendar, hours, |at, look| match look {
            Look::Part(part) if at == h => parts.push(*part),
            Look::Hour(_) if at < h => parts.clear(),
            _ => {}
        })?;
        Ok(parts)
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
    ) -> Result<(), Faults> {
        self.follow_by_parts(source, calendar, hours, |h, look| {
            if let Look::Hour(hour) = look {
                take(h, hour);
            }
        })
    }

    /// The same with a look at the parts of each hour, before the hour.
    fn follow_by_parts(
        &self,
        source: &Source<'_>,
        calendar: &Calendar,
        hours: usize,
        mut take: impl FnMut(usize, Look<'_>),
    ) -> Result<(), Faults> {
        let mut drive = Drive::new(self, *source, calendar)?;
        let mut state = self.at_rest();
        let repeats = calendar.is_one_year();
        if repeats {
            (source.array_w.len() - self.remembers_h()..source.array_w.len())
                .for_each(|h| _ = drive.step(&mut state, h, 1.0));
        }
        for _ in 0..MOST_ROUNDS {
            let begun = state;
            for h in 0..hours {
                let hour = drive.step_by_parts(&mut state, h, 1.0, |part| take(h, Look::Part(part)));
                take(h, Look::Hour(&hour));
            }
            if !(repeats && self.remembers() && hours == calendar.hours()) || state.is_near(&begun) {
                break;
            }
        }
        Ok(())
    }
}

/// What is seen on the way through a record.
#[derive(Debug, Clone, Copy)]
enum Look<'a> {
    /// A part of an hour.
    Part(&'a Hour),
    /// The whole hour, after its parts.
    Hour(&'a Hour),
}

/// Whether the arrays' curves are there where they are needed, and what the coupling says to them.
fn check_arrays(coupling: &coupling::Settings, needs_curve: bool, source: &Source<'_>) -> Result<(), Faults> {
    let hours = source.array_w.len();
    let whole = |a: &OneArray| {
        a.wiring.is_some() && [a.light_w_per_m2.len(), a.cell_degc.len(), a.power_w.len()] == [hours; 3]
    };
    if needs_curve && (source.each.is_empty() || !source.each.iter().all(whole)) {
        return Err(Faults::from(Fault::at_key(
            "coupling.kind",
            FaultKind::CannotRun,
            format!("coupling \"{}\" with the arrays' power alone", coupling.word()),
            "light and cell temperature of each array for every hour",
            "hand over the columns of the array stage",
        )));
    }
    let faults = coupling.array_faults(source.each);
    // What the mean of an hour hides, its parts may show.
    let of_part =
        || source.parts.iter().map(|part| coupling.array_faults(&part.each)).find(|f| !f.is_empty());
    let faults = if faults.is_empty() { of_part().unwrap_or_default() } else { faults };
    if faults.is_empty() { Ok(()) } else { Err(faults.into()) }
}

fn check_power(array_w: &[f64], calendar: &Calendar) -> Result<(), Faults> {
    if array_w.len() != calendar.hours() {
        return Err(Faults::from(Fault::at_key(
            "array",
            FaultKind::WrongLength,
            format!("{} hours of array power for a record of {} hours", array_w.len(), calendar.hours()),
            "one power for each hour",
            "make the power from the same record",
        )));
    }
    match array_w.iter().position(|w| !(w.is_finite() && *w >= 0.0)) {
        None => Ok(()),
        Some(h) => Err(Faults::from(Fault::at_key(
            "array",
            FaultKind::OutOfRange,
            format!("array power {} W in the hour from {}", array_w[h], calendar.start_text(h)),
            "0 W or more",
            "check the weather of that hour",
        ))),
    }
}
