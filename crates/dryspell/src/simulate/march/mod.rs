//! The march: one forward pass in which all stores are stepped hour by hour together.
//!
//! Columns are exact for as long as nothing acts back. Where something does (troughs cannot fill from an empty tank, a pump
//! that the float stops lets the well come back), the march answers. It needs no iteration over the year: within an hour a float's
//! trip is found, and the pump repeats its step from the saved state for its part of the hour.

mod herds;
mod hour;
mod marched;
mod marched_hour;
mod one_hour;
mod source;
mod stores;
mod vessel;

pub(super) use marched::Marched;
pub use marched_hour::{DrinkerHour, MarchedHour, PlaceHour};
pub use source::{WellHour, WellLedger};

use std::sync::Arc;

use super::FrozenHours;
use super::covered::covered_hours;
use super::requests::RequestsBy;
use crate::calendar::{Calendar, HOURS_PER_DAY};
use crate::delivery::{Energy, MOST_PASSES, Ready};
use crate::fault::Faults;
use crate::inflow::{self, Backup, WhenFull};
use crate::reliability::outcome::Outcome;
use crate::tank::Settings;
use crate::tank::ledger::Flows;
use crate::{array, delivery, draw, grid, supply};
use herds::{Books, Drinker, drinkers};
use source::{Account, Source};
use stores::{Kept, Scheme, State, Sums};
pub use vessel::Inflow;
use vessel::Vessel;

/// All that a march is driven by: what lies before the tank, shared, so that a copy with one thing changed costs nothing.
#[derive(Debug, Clone)]
pub struct Inputs {
    /// Hours and days.
    pub(super) calendar: Arc<Calendar>,
    /// Air temperature, °C.
    pub(super) air_degc: Arc<Vec<f64>>,
    /// Pressure of the air, Pa.
    pub(super) air_pa: f64,
    /// Pump, well and pipe; `None` where a column of the user's own stands in their place.
    pub(super) supply: Option<Arc<supply::Settings>>,
    /// Whether well, riser or motor feel it when the float stops the pump.
    pub(super) feels_the_float: bool,
    /// Panels.
    pub(super) array: Arc<array::Columns>,
    /// The columns that would drive the tank if nothing acted back: water available and losses.
    pub(super) flows: Arc<Flows>,
    /// Frost; `None` where nothing freezes.
    pub(super) frozen: Option<Arc<FrozenHours>>,
    /// Days on which the panels are covered, from a first hour.
    pub(super) covered: Option<(usize, u32)>,
    /// Herds.
    pub(super) draw: Arc<draw::Columns>,
    /// Whether their demand is a column of the user's own.
    pub(super) own_demand: bool,
    /// Gardens.
    pub(super) garden: Arc<draw::garden::Columns>,
    /// Herds and hydrants, as they are set.
    pub(super) by: RequestsBy,
    /// What runs in besides the pump's water, on the grid.
    pub(super) inflows: Arc<Vec<inflow::Column>>,
    /// Power of the booster's panels, W, in each hour; empty without a booster.
    pub(super) panel_w: Arc<Vec<f64>>,
}

/// Where the record begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Begins {
    /// With all full.
    Full,
    /// With an empty tank.
    Empty,
}

impl Inputs {
    /// Takes the stores through the record, one year until it ends as it began, others straight through, and says what they come to.
    ///
    /// # Errors
    /// Everything that keeps pump or delivery from running; a ledger that does not close.
    pub(crate) fn march(&self, tank: &Settings, begins: Begins) -> Result<(Marched, Outcome), Faults> {
        let (marched, _) = self.go(tank, begins, None, None)?;
        let outcome = marched.outcome(tank, self)?;
        Ok((marched, outcome))
    }

    /// One hour of a march from full stores, step by step.
    ///
    /// # Errors
    /// As [`Self::march`].
    pub(crate) fn watch(
        &self,
        tank: &Settings,
        backup: Option<&Backup>,
        hour: usize,
    ) -> Result<Option<MarchedHour>, Faults> {
        Ok(self.go(tank, Begins::Full, backup, Some(hour))?.1)
    }

    /// The same from full stores, with water brought by a backup.
    ///
    /// # Errors
    /// As [`Self::march`].
    pub(crate) fn with_backup(&self, tank: &Settings, backup: &Backup) -> Result<(Marched, Outcome), Faults> {
        let (marched, _) = self.go(tank, Begins::Full, Some(backup), None)?;
        let outcome = marched.outcome(tank, self)?;
        Ok((marched, outcome))
    }

    /// A march, and what a watched hour of it came to.
    fn go(
        &self,
        tank: &Settings,
        begins: Begins,
        backup: Option<&Backup>,
        watched: Option<usize>,
    ) -> Result<(Marched, Option<MarchedHour>), Faults> {
        let remembers = self.supply.as_deref().filter(|_| self.feels_the_float);
        let system = remembers.map(supply::System::new).transpose()?;
        let stops = self.stops();
        let source = match &system {
            Some(system) => {
                let source = supply::Source::from(&*self.array).stopped(&stops);
                Source::Pump(Box::new(supply::Drive::new(system, source, &self.calendar)?))
            }
            None => Source::Column(&self.flows.available_m3),
        };
        let hours = self.calendar.hours();
        let settings = self.by.delivery.as_ref();
        let names: Vec<String> = settings.iter().flat_map(|d| &d.hydrants).map(|h| h.name.clone()).collect();
        let frozen: Vec<&[bool]> =
            self.frozen.iter().flat_map(|frozen| &frozen.hydrants).map(Vec::as_slice).collect();
        let nothing = vec![0.0; hours];
        let demand_m3 = vec![nothing.as_slice(); names.len()];
        let inputs = delivery::Inputs {
            calendar: &self.calendar,
            demand_m3: &demand_m3,
            frozen: &frozen,
            panel_w: &self.panel_w,
            air_degc: &self.air_degc,
            air_pa: self.air_pa,
        };
        let garden_m3 = grid::column_m3(&self.garden.demand_m3);
        let mut places: Vec<Option<usize>> =
            std::iter::once(None).chain((0..names.len()).map(Some)).collect();
        let name = |place: &Option<usize>| place.map_or(tank.name.as_str(), |i| names[i].as_str());
        places.sort_by(|a, b| name(a).cmp(name(b)));
        let trough = |h: &delivery::Hydrant| grid::volume_m3(h.trough_m3);
        let mut scheme = Scheme {
            calendar: &self.calendar,
            tank: Vessel::new(tank, backup),
            carry: tank.carry,
            source,
            delivery: settings.map(|settings| Ready::new(settings, &inputs)).transpose()?,
            trough_m3: settings.iter().flat_map(|d| &d.hydrants).map(trough).collect(),
            names: places.iter().map(|place| name(place).to_owned()).collect(),
            places,
            drinkers: drinkers(&self.by.groups, &self.draw, self.own_demand, &names),
            valve_m3: self.brought_m3(WhenFull::Refused),
            free_m3: self.brought_m3(WhenFull::Spilled),
            backup,
            garden_m3: &garden_m3,
            evaporation_m3: &self.flows.evaporation_m3,
            leak_m3: &self.flows.leak_m3,
            watched,
            seen: None,
        };
        let start = match begins {
            Begins::Full => scheme.full(),
            Begins::Empty => State { tank: scheme.tank.empty(), ..scheme.full() },
        };
        let mut pass = round(&mut scheme, start, hours, self.calendar.is_one_year());
        let seen = pass.seen.take();
        Ok((Marched::of(self, tank, &scheme, pass), seen))
    }

    /// What all inflows of one kind bring, m³ in each hour, on the grid; empty without any.
    fn brought_m3(&self, when_full: WhenFull) -> Vec<f64> {
        let mut sum: Vec<f64> = Vec::new();
        for inflow in self.inflows.iter().filter(|inflow| inflow.when_full == when_full) {
            sum.resize(inflow.m3.len(), 0.0);
            sum.iter_mut().zip(&inflow.m3).for_each(|(sum, m3)| *sum += m3);
        }
        sum
    }

    /// Hours in which nothing may flow from the well: frozen, or the panels covered.
    fn stops(&self) -> Vec<bool> {
        let mut stops = self.frozen.as_ref().map_or_else(Vec::new, |frozen| frozen.supply.clone());
        if let Some((began, days)) = self.covered {
            let hours = self.calendar.hours();
            stops.resize(hours, false);
            covered_hours(hours, began, days).for_each(|h| stops[h] = true);
        }
        stops
    }
}

/// A pass through the record.
#[derive(Debug)]
struct Pass {
    hours: Vec<Kept>,
    sums: Sums,
    start: State,
    end: State,
    /// Which pass it is.
    passes: u32,
    /// Whether it ends as it began, or need not.
    settled: bool,
    /// The hour that was watched.
    seen: Option<MarchedHour>,
}

impl Pass {
    /// Short in all, m³.
    fn short_m3(&self) -> f64 {
        self.sums.books.herds.iter().flat_map(|herd| &herd.days).map(|day| day.short_m3()).sum()
    }
}

/// Goes through the record until it ends as it began, at most [`MOST_PASSES`] times; then the driest pass counts.
fn round(scheme: &mut Scheme<'_>, mut start: State, hours: usize, repeats: bool) -> Pass {
    let mut driest: Option<Pass> = None;
    let mut passes = 0;
    loop {
        passes += 1;
        let mut state = start.clone();
        let stored_wh =
            |state: &State| state.delivery.as_ref().map_or(0.0, |delivery| delivery.charge.stored_wh);
        let mut sums = Sums {
            books: Books::new(&scheme.drinkers, hours / HOURS_PER_DAY),
            account: Account::default(),
            energy: Energy { start_wh: stored_wh(&state), ..Energy::default() },
        };
        let kept: Vec<Kept> = (0..hours).map(|h| scheme.hour(h, &mut state, &mut sums)).collect();
        sums.energy.end_wh = stored_wh(&state);
        let settled = !repeats || state == start;
        let next = state.clone();
        let pass = Pass { hours: kept, sums, start, end: state, passes, settled, seen: scheme.seen.take() };
        if settled {
            return pass;
        }
        // Of passes that are equally dry the first.
        let driest_yet = match driest.take() {
            Some(before) if before.short_m3() >= pass.short_m3() => before,
            _ => pass,
        };
        if passes as usize >= MOST_PASSES {
            return Pass { passes, ..driest_yet };
        }
        driest = Some(driest_yet);
        start = next;
    }
}

/// The demand of all who drink, of one kind, m³ in each hour, on the grid.
fn demand_m3(drinkers: &[Drinker], stock: bool, hours: usize) -> Vec<f64> {
    let mut sum = vec![0.0; hours];
    for drinker in drinkers.iter().filter(|drinker| drinker.stock == stock) {
        sum.iter_mut().zip(&drinker.demand_m3).for_each(|(sum, m3)| *sum += m3);
    }
    sum
}
