//! The stores of a scheme, what they hold between two hours, and what is written down of each.

use super::herds::{Books, Drinker, Owed};
use super::marched_hour::MarchedHour;
use super::source::{Account, PumpHour, Source};
use super::vessel::{Inflow, Vessel};
use crate::calendar::Calendar;
use crate::delivery::{Energy, FillHour, FillState, Ready};
use crate::draw::Carry;
use crate::inflow::{Backup, BackupState};
use crate::supply;
use crate::tank::ledger::{Hour, State as TankState};

/// All that does not change from hour to hour.
#[derive(Debug)]
pub(super) struct Scheme<'a> {
    pub(super) calendar: &'a Calendar,
    pub(super) tank: Vessel,
    pub(super) carry: Carry,
    pub(super) source: Source<'a>,
    pub(super) delivery: Option<Ready<'a>>,
    /// Water in each trough between full and empty, m³, on the grid.
    pub(super) trough_m3: Vec<f64>,
    /// The places in the order of their names: the tank itself (`None`) and the hydrants.
    pub(super) places: Vec<Option<usize>>,
    /// Their names.
    pub(super) names: Vec<String>,
    pub(super) drinkers: Vec<Drinker>,
    /// What inflows bring that a valve shuts at the float's stop, and those that run on, m³ in each hour, on the grid.
    pub(super) valve_m3: Vec<f64>,
    pub(super) free_m3: Vec<f64>,
    /// Water brought when the tank is low; `None` without, or where it is left out.
    pub(super) backup: Option<&'a Backup>,
    /// Demand of gardens, losses at most, m³ in each hour, on the grid.
    pub(super) garden_m3: &'a [f64],
    pub(super) evaporation_m3: &'a [f64],
    pub(super) leak_m3: &'a [f64],
    /// An hour that is to be told step by step, and what it came to.
    pub(super) watched: Option<usize>,
    pub(super) seen: Option<MarchedHour>,
}

/// What all stores hold between two hours.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct State {
    pub(super) tank: TankState<1>,
    pub(super) pump: Option<supply::State>,
    /// Troughs and battery.
    pub(super) delivery: Option<FillState>,
    /// What is owed to each drinker.
    pub(super) owed: Vec<Owed>,
    pub(super) backup: BackupState,
}

/// What is written down of an hour.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Kept {
    pub(super) available_m3: f64,
    /// What all places could take of the tank.
    pub(super) requested_m3: f64,
    pub(super) garden_m3: f64,
    pub(super) tank: Hour<1>,
    /// What the tank let in.
    pub(super) let_in: Inflow,
    pub(super) pump: Option<PumpHour>,
    pub(super) fill: Option<FillHour>,
    /// Booked as short at each hydrant, by cause.
    pub(super) short_m3: Vec<Owed>,
    /// Drunk at each hydrant by extras, m³.
    pub(super) extras_m3: Vec<f64>,
}

/// What a pass adds up.
#[derive(Debug)]
pub(super) struct Sums {
    pub(super) books: Books,
    pub(super) account: Account,
    pub(super) energy: Energy,
}
