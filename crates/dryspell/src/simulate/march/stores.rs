//! The stores of a scheme, what they hold between two hours, and what is written down of each.

use std::borrow::Cow;

use super::herds::{Books, Drinker, Owed, Place};
use super::marched_hour::MarchedHour;
use super::source::{Account, PumpHour, Source};
use super::vessel::{Inflow, Vessel};
use crate::calendar::{Calendar, HOURS_PER_DAY};
use crate::delivery::{Energy, FillHour, FillState, Ready};
use crate::draw::Carry;
use crate::inflow::{Backup, BackupState};
use crate::link::Tree;
use crate::simulate::put::Put;
use crate::supply;
use crate::tank::ledger::{Hour, State as TankState};

/// All that does not change from hour to hour.
#[derive(Debug)]
pub(super) struct Scheme<'a> {
    pub(super) calendar: &'a Calendar,
    /// The tanks: first the one that the first pump fills.
    pub(super) tanks: Vec<Tank<'a>>,
    /// What feeds what.
    pub(super) tree: Tree,
    pub(super) carry: Carry,
    /// The pumps: first that of the scheme's first well.
    pub(super) sources: Vec<Source<'a>>,
    pub(super) delivery: Option<Ready<'a>>,
    /// Water in each trough between full and empty, m³, on the grid.
    pub(super) trough_m3: Vec<f64>,
    /// The places in the order of their names: tanks and hydrants.
    pub(super) places: Vec<Place>,
    /// Their names.
    pub(super) names: Vec<String>,
    /// The tank that each takes its water from.
    pub(super) tank_of: Vec<usize>,
    pub(super) drinkers: Vec<Drinker>,
    /// Water brought when a tank is low; `None` without, or where it is left out.
    pub(super) backup: Option<&'a Backup>,
    /// The tank that it fills.
    pub(super) backup_tank: usize,
    /// Levels put on some days, in their order.
    pub(super) puts: &'a [Put],
    /// An hour that is to be told step by step, and what it came to.
    pub(super) watched: Option<usize>,
    pub(super) seen: Option<MarchedHour>,
}

/// A tank with all that drives it.
#[derive(Debug)]
pub(super) struct Tank<'a> {
    pub(super) vessel: Vessel,
    /// The pumps that fill it, by number.
    pub(super) pumps: Vec<usize>,
    /// What inflows bring that a valve shuts at the float's stop, and those that run on, m³ in each hour, on the grid.
    pub(super) valve_m3: Vec<f64>,
    pub(super) free_m3: Vec<f64>,
    /// What feeds it from another tank; `None` where nothing does.
    pub(super) feed: Option<Feed<'a>>,
    /// Demand of gardens, losses at most, m³ in each hour, on the grid.
    pub(super) garden_m3: Cow<'a, [f64]>,
    pub(super) evaporation_m3: &'a [f64],
    pub(super) leak_m3: &'a [f64],
}

/// What feeds a tank from another.
#[derive(Debug)]
pub(super) struct Feed<'a> {
    /// Most that it passes, m³ in each hour, on the grid.
    pub(super) most_m3: &'a [f64],
    /// Whether it is a pump, which heeds the float with its band.
    pub(super) is_pump: bool,
    /// Whether frost stops it, in each hour; empty where it never does.
    pub(super) frozen: &'a [bool],
}

impl Feed<'_> {
    /// Most that it passes in hour `h`, m³. `permits`: the float lets a pump run.
    pub(super) fn most_m3(&self, h: usize, permits: bool) -> f64 {
        let frozen = self.frozen.get(h).copied().unwrap_or(false);
        if frozen || self.is_pump && !permits { 0.0 } else { self.most_m3[h] }
    }
}

/// What all stores hold between two hours.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct State {
    pub(super) tanks: Vec<TankState<1>>,
    pub(super) pumps: Vec<Option<supply::State>>,
    /// Troughs and battery.
    pub(super) delivery: Option<FillState>,
    /// What is owed to each drinker.
    pub(super) owed: Vec<Owed>,
    pub(super) backup: BackupState,
}

impl State {
    /// The tanks together: what they hold, and the float of the first.
    pub(super) fn all_tanks(&self) -> TankState<1> {
        let level_m3 = self.tanks.iter().map(|tank| tank.level_m3[0]).sum();
        TankState { level_m3: [level_m3], permits: self.tanks.first().map_or([true], |tank| tank.permits) }
    }
}

impl Scheme<'_> {
    /// Puts the tanks to what is said for the day that begins with hour `h`, if it begins with it.
    pub(super) fn put(&self, h: usize, state: &mut State) {
        if self.puts.is_empty() || !h.is_multiple_of(HOURS_PER_DAY) {
            return;
        }
        let day = h / HOURS_PER_DAY;
        let first = self.puts.partition_point(|put| put.day < day);
        for put in self.puts[first..].iter().take_while(|put| put.day == day) {
            for (number, (tank, state)) in self.tanks.iter().zip(&mut state.tanks).enumerate() {
                tank.vessel.put(&put.water, number, state);
            }
        }
    }
}

/// What is written down of an hour.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Kept {
    pub(super) available_m3: f64,
    /// What all places could take of the tanks.
    pub(super) requested_m3: f64,
    pub(super) garden_m3: f64,
    /// The tank, or all tanks together: what links carry from one to the other is not drawn.
    pub(super) tank: Hour<1>,
    /// What the tanks let in, links left out.
    pub(super) let_in: Inflow,
    /// Each tank by itself, where there are several.
    pub(super) tanks: Vec<TankKept>,
    /// The first pump.
    pub(super) pump: Option<PumpHour>,
    /// What each pump could have brought to its tank, and what it brought, where there are several.
    pub(super) offered_m3: Vec<f64>,
    pub(super) pumped_m3: Vec<f64>,
    pub(super) fill: Option<FillHour>,
    /// Booked as short at each hydrant, by cause.
    pub(super) short_m3: Vec<Owed>,
    /// Drunk at each hydrant by extras, m³.
    pub(super) extras_m3: Vec<f64>,
}

/// What is written down of one tank of several.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct TankKept {
    pub(super) hour: Hour<1>,
    pub(super) let_in: Inflow,
    /// Of what was drawn, what went to other tanks.
    pub(super) passed_on_m3: f64,
}

/// What a pass adds up.
#[derive(Debug)]
pub(super) struct Sums {
    pub(super) books: Books,
    /// Of each pump.
    pub(super) accounts: Vec<Account>,
    pub(super) energy: Energy,
}
