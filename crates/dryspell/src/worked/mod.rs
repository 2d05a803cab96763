//! One hour worked on paper: every intermediate with its symbol, unit, equation and source.
//!
//! The numbers come from the same one-hour functions that the run's columns are made of ([`crate::sun::hour_of`],
//! [`crate::sun::plane::plane_light`], [`crate::array::ArrayModel::hour`], [`crate::supply::System::hour_of`],
//! [`crate::draw::hour`], the ledger's [`crate::tank::ledger::Hour`]): one calculation, shown in full. Where the march answers,
//! its hour is told by [`crate::simulate::MarchedHour`], from a march that kept all of this one hour.

mod march;
mod panels;
mod sun;
mod water;

use crate::fault::Faults;
use crate::record::Record;
use crate::simulate::Run;
use crate::supply::{Source, System};

/// One line of the working.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Symbol, as used in the equations that follow.
    pub symbol: String,
    /// What it is.
    pub name: String,
    /// Its value, in `unit`.
    pub value: f64,
    /// Unit; empty for ratios.
    pub unit: &'static str,
    /// How it follows from what stands above; empty for what is given.
    pub equation: String,
    /// Where the equation or the number comes from.
    pub source: &'static str,
}

/// Steps that belong together.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// Heading.
    pub title: String,
    /// The steps, each using only what stands above it.
    pub steps: Vec<Step>,
}

impl Section {
    fn new(title: impl Into<String>) -> Self {
        Self { title: title.into(), steps: Vec::new() }
    }

    /// Adds a step.
    fn step(
        &mut self,
        symbol: impl Into<String>,
        name: impl Into<String>,
        value: f64,
        unit: &'static str,
        equation: impl Into<String>,
        source: &'static str,
    ) {
        self.steps.push(Step {
            symbol: symbol.into(),
            name: name.into(),
            value,
            unit,
            equation: equation.into(),
            source,
        });
    }

    /// Adds what is given.
    fn given(
        &mut self,
        symbol: impl Into<String>,
        name: impl Into<String>,
        value: f64,
        unit: &'static str,
        source: &'static str,
    ) {
        self.step(symbol, name, value, unit, "", source);
    }
}

/// Works hour `h` of a run on paper.
///
/// # Errors
/// What kept the run itself from being made: none that a finished run can meet but for a record that is not its own.
pub fn hour(run: &Run, record: &Record, h: usize) -> Result<Vec<Section>, Faults> {
    let mut sections = vec![sun::position(record, run, h)?, sun::light(record, run, h)];
    for array in &run.plan.array.arrays {
        sections.extend(panels::array(run, record, array, h)?);
    }
    let marched = run.marched_hour(h, false)?;
    let supply = match marched.as_ref().and_then(|marched| marched.pump) {
        // Well and riser are as the hours before left them with the float acting.
        Some(free) => free,
        None => {
            let source = Source::from(&*run.array).stopped(&run.frozen.supply);
            System::new(&run.plan.supply)?.hour_of(source, &run.calendar, h)?
        }
    };
    let source = Source::from(&*run.array).stopped(&run.frozen.supply);
    let parts = System::new(&run.plan.supply)?.parts_of(source, &run.calendar, h)?;
    sections.extend(panels::parts(run, h, &parts, marched.is_none()));
    sections.push(panels::coupling(run, h, &supply));
    sections.push(water::supply(run, h, &supply)?);
    sections.push(water::draw(run, record, h)?);
    match &marched {
        Some(marched) => sections.extend(march::sections(run, marched, None, h)),
        None => {
            sections.extend(water::hydrants(run, h));
            sections.push(water::tank(run, h));
            sections.extend(march::well(run, h));
        }
    }
    if let (Some(backup), Some(marched)) = (&run.plan.backup, run.marched_hour(h, true)?) {
        sections.extend(march::sections(run, &marched, Some(backup), h));
    }
    Ok(sections)
}
