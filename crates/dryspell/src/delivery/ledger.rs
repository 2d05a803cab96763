//! Troughs, hour by hour.

use super::battery::{Battery, Charge, Energy, Load};
use super::network::Network;
use super::operate::{Lift, Point, operate};
use crate::calendar::HOURS_PER_DAY;
use crate::draw::Carry;
use std::collections::BTreeMap;

/// What stands between the tank and the animals in a pass of the ledger.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Reach {
    /// Only frost.
    Frost,
    /// Frost, pump and pipes.
    Pipes,
    /// Frost, pump, pipes and the battery.
    Battery,
}

/// Columns that drive the troughs.
#[derive(Debug, Clone, Copy)]
pub(super) struct Drive<'a> {
    /// Demand at each hydrant, m³ in each hour.
    pub(super) demand_m3: &'a [&'a [f64]],
    /// Whether each hydrant's way is frozen, in each hour; an empty list is never.
    pub(super) frozen: &'a [&'a [bool]],
    /// Power that the controller hands on, W, in each hour.
    pub(super) panel_w: &'a [f64],
    /// Temperature of the battery, °C, in each hour.
    pub(super) battery_degc: &'a [f64],
}

impl Drive<'_> {
    /// Whether the way to hydrant `i` is frozen in hour `h`.
    #[inline]
    fn is_frozen(&self, i: usize, h: usize) -> bool {
        self.frozen.get(i).is_some_and(|f| f[h])
    }
}

/// All that does not change.
#[derive(Debug)]
pub(super) struct Works<'a> {
    pub(super) network: &'a Network,
    pub(super) lift: Option<&'a Lift>,
    pub(super) battery: Option<&'a Battery>,
    pub(super) standby_w: f64,
    pub(super) trough_m3: &'a [f64],
    pub(super) carry: Carry,
}

/// Troughs and battery between two hours.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct State {
    /// Water in each trough, or thirst owed below zero, m³.
    pub(crate) level_m3: Vec<f64>,
    pub(crate) charge: Charge,
    /// Whether the booster ran on at the end of the hour before.
    pub(crate) runs_on: bool,
}

/// One hour.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Hour {
    /// Into each trough, m³.
    pub(crate) requested_m3: Vec<f64>,
    /// Booked as short at each hydrant, m³.
    pub(crate) short_m3: Vec<f64>,
    /// Level at the hour's end, before anything owed is forgotten, m³.
    pub(crate) level_m3: Vec<f64>,
    /// Energy that the booster took, W·h.
    pub(crate) pump_wh: f64,
    /// Energy that leaves the store for it where no panel helps, W·h, standby included.
    pub(crate) drain_wh: f64,
    /// Starts of the booster.
    pub(crate) starts: f64,
    /// Shortest run begun, h; infinite without one.
    pub(crate) shortest_run_h: f64,
    /// Whether the battery dropped the loads, or had them dropped at the start.
    pub(crate) cut_out: bool,
    /// In store at the hour's end, W·h.
    pub(crate) stored_wh: f64,
}

/// What part of the record is stepped, and up to where the troughs are filled.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Step<'a> {
    /// The hour whose frost, power and temperature hold.
    pub(crate) h: usize,
    /// Time, h, above 0 to 1.
    pub(crate) time_h: f64,
    /// Level at which each trough's valve shuts, m³: full, or less where the tank holds no more for it.
    pub(crate) full_m3: &'a [f64],
}

/// Operating points by which hydrants are open: they do not change from hour to hour.
pub(super) type Points = BTreeMap<Vec<bool>, Point>;

/// A need smaller than this is met: 1/8 of the ledger's grid of 2⁻²⁰ m³.
const MET_M3: f64 = 1.0 / 8_388_608.0;

impl Works<'_> {
    pub(super) fn full(&self) -> State {
        State {
            level_m3: self.trough_m3.to_vec(),
            charge: self.battery.map_or(Charge { stored_wh: 0.0, connected: true }, Battery::full),
            runs_on: false,
        }
    }

    /// One hour, in the order: demand is taken, troughs are filled as long as there is flow and power, at
    /// midnight what is owed is booked and forgotten.
    pub(super) fn hour(
        &self,
        reach: Reach,
        drive: &Drive<'_>,
        h: usize,
        state: &mut State,
        points: &mut Points,
        energy: &mut Energy,
    ) -> Hour {
        for (level, demand) in state.level_m3.iter_mut().zip(drive.demand_m3) {
            *level -= demand[h];
        }
        let step = Step { h, time_h: 1.0, full_m3: self.trough_m3 };
        let mut out = self.fill(reach, drive, &step, state, points, energy);
        let books = self.carry == Carry::None || h % HOURS_PER_DAY == HOURS_PER_DAY - 1;
        out.short_m3 = state
            .level_m3
            .iter_mut()
            .map(|level| {
                let owed = if books { (-*level).max(0.0) } else { 0.0 };
                *level += owed;
                owed
            })
            .collect();
        out
    }

    /// Troughs are filled as long as there is flow and power, once the demand of the step is taken from their levels.
    pub(super) fn fill(
        &self,
        reach: Reach,
        drive: &Drive<'_>,
        step: &Step<'_>,
        state: &mut State,
        points: &mut Points,
        energy: &mut Energy,
    ) -> Hour {
        let mut out = if reach == Reach::Frost {
            self.fill_what_is_open(drive, step, state)
        } else {
            let battery = self.battery.filter(|_| reach == Reach::Battery);
            let mut out = self.fill_by_pipes(battery, drive, step, state, points, energy);
            if self.network.has_others() {
                self.fill_at_other_tanks(drive, step, state, points, &mut out);
            }
            out
        };
        out.level_m3 = state.level_m3.clone();
        out
    }

    /// An hour before anything has happened.
    #[inline]
    fn begun(&self) -> Hour {
        let n = self.trough_m3.len();
        Hour { requested_m3: vec![0.0; n], shortest_run_h: f64::INFINITY, ..Hour::default() }
    }

    /// Fills each trough whose way is not frozen, as if pump and pipes were as large as one likes.
    #[inline]
    fn fill_what_is_open(&self, drive: &Drive<'_>, step: &Step<'_>, state: &mut State) -> Hour {
        let mut out = self.begun();
        for (i, full_m3) in step.full_m3.iter().enumerate().filter(|(i, _)| !drive.is_frozen(*i, step.h)) {
            out.requested_m3[i] = full_m3 - state.level_m3[i];
            state.level_m3[i] = *full_m3;
        }
        out
    }

    /// Fills the troughs by pump and pipes, and by the battery where there is one to heed: from one trough that is full to the
    /// next.
    #[inline]
    fn fill_by_pipes(
        &self,
        battery: Option<&Battery>,
        drive: &Drive<'_>,
        step: &Step<'_>,
        state: &mut State,
        points: &mut Points,
        energy: &mut Energy,
    ) -> Hour {
        let &Step { h, time_h, full_m3 } = step;
        let mut out = self.begun();
        let mut open = self.open(drive, step, state, false);
        let mut left_h = time_h;
        let load = |point: Option<&Point>, hours: f64| Load {
            hours,
            pump_w: point.map_or(0.0, |p| p.pump_w),
            duty: point.map_or(0.0, |p| p.duty),
            standby_w: self.standby_w,
            panel_w: drive.panel_w.get(h).copied().unwrap_or(0.0),
            degc: drive.battery_degc.get(h).copied().unwrap_or(super::battery::RATED_DEGC),
        };
        while left_h > 0.0 && open.contains(&true) {
            let point = points.entry(open.clone()).or_insert_with(|| operate(self.network, self.lift, &open));
            let (hours, first) = until_first_full(full_m3, state, point, &open, left_h);
            if point.flows_m3_per_h.iter().all(|q| *q <= 0.0) {
                break;
            }
            let asked = load(Some(point), hours);
            let powered = battery.map_or(hours, |b| b.step(&mut state.charge, &asked, energy));
            if powered > 0.0 {
                let full = first.filter(|_| powered >= hours);
                pour(full_m3, point, (powered, full), state, &mut out);
                if self.lift.is_some() {
                    self.run_booster(point, powered, state, &mut out);
                }
            }
            left_h -= hours;
            if powered < hours {
                out.cut_out = true;
                break;
            }
            for (i, open) in open.iter_mut().enumerate() {
                *open &= full_m3[i] - state.level_m3[i] > MET_M3;
            }
        }
        if left_h > 0.0 {
            state.runs_on = false;
            if let Some(b) = self.battery {
                out.drain_wh += b.drain_w(self.standby_w) * left_h;
            }
            if let Some(b) = battery {
                b.step(&mut state.charge, &load(None, left_h), energy);
            }
        }
        if let Some(b) = battery {
            b.rest(&mut state.charge, time_h, energy);
            out.cut_out |= !state.charge.connected;
            out.stored_wh = state.charge.stored_wh;
        }
        out
    }

    /// The hydrants of the first line, or of those at other tanks, that are not frozen and whose trough is not full.
    #[inline]
    fn open(&self, drive: &Drive<'_>, step: &Step<'_>, state: &State, others: bool) -> Vec<bool> {
        let lacks = |i: usize| step.full_m3[i] - state.level_m3[i] > MET_M3;
        let open: Vec<bool> =
            (0..step.full_m3.len()).map(|i| !drive.is_frozen(i, step.h) && lacks(i)).collect();
        if self.network.has_others() { self.network.open_of(&open, others) } else { open }
    }

    /// Fills the troughs at other tanks, to which the water runs down: whatever the booster does.
    fn fill_at_other_tanks(
        &self,
        drive: &Drive<'_>,
        step: &Step<'_>,
        state: &mut State,
        points: &mut Points,
        out: &mut Hour,
    ) {
        let mut left_h = step.time_h;
        loop {
            let open = self.open(drive, step, state, true);
            if left_h <= 0.0 || !open.contains(&true) {
                return;
            }
            let point = points.entry(open.clone()).or_insert_with(|| operate(self.network, None, &open));
            if point.flows_m3_per_h.iter().all(|q| *q <= 0.0) {
                return;
            }
            let (hours, first) = until_first_full(step.full_m3, state, point, &open, left_h);
            pour(step.full_m3, point, (hours, first), state, out);
            left_h -= hours;
        }
    }

    /// Energy and starts of the booster in so many hours with power.
    #[inline]
    fn run_booster(&self, point: &Point, powered_h: f64, state: &mut State, out: &mut Hour) {
        out.pump_wh += point.pump_w * point.duty * powered_h;
        if let Some(b) = self.battery {
            let (on, off) = (point.pump_w + self.standby_w, self.standby_w);
            out.drain_wh += powered_h * (point.duty * b.drain_w(on) + (1.0 - point.duty) * b.drain_w(off));
        }
        if point.starts_per_h > 0.0 {
            out.starts += point.starts_per_h * powered_h;
            out.shortest_run_h = out.shortest_run_h.min(point.run_h);
            state.runs_on = false;
        } else {
            out.starts += if state.runs_on { 0.0 } else { 1.0 };
            state.runs_on = true;
        }
    }
}

/// Time until the first of the open troughs is full, h, and which it is: at most what is left of the hour, in which none
/// may be full.
#[inline]
fn until_first_full(
    full_m3: &[f64],
    state: &State,
    point: &Point,
    open: &[bool],
    left_h: f64,
) -> (f64, Option<usize>) {
    let mut hours = left_h;
    let mut first = None;
    for (i, q) in point.flows_m3_per_h.iter().enumerate().filter(|(i, q)| open[*i] && **q > 0.0) {
        let until = (full_m3[i] - state.level_m3[i]) / q;
        if until <= hours {
            (hours, first) = (until, Some(i));
        }
    }
    (hours, first)
}

/// What flows into the troughs in so many hours with power; `full` is full at their end.
#[inline]
fn pour(
    full_m3: &[f64],
    point: &Point,
    (powered_h, full): (f64, Option<usize>),
    state: &mut State,
    out: &mut Hour,
) {
    for (i, full_m3) in full_m3.iter().enumerate() {
        let room = (full_m3 - state.level_m3[i]).max(0.0);
        let flowed = point.flows_m3_per_h[i] * powered_h;
        if flowed >= room || full == Some(i) {
            state.level_m3[i] = state.level_m3[i].max(*full_m3);
            out.requested_m3[i] += room;
        } else {
            state.level_m3[i] += flowed;
            out.requested_m3[i] += flowed;
        }
    }
}
