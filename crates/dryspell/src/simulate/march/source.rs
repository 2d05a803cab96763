//! What lifts the water: a column, or a pump that remembers.

use crate::fault::Fault;
use crate::grid;
use crate::residual;
use crate::supply::{Drive, Hour, State};

/// Water of a part of an hour is found to this, m³, a fortieth of a step of the grid; what is left over is carried on.
const FOUND_M3: f64 = 0.025 * grid::STEP_M3;

/// What gives the tank its water.
#[derive(Debug)]
pub(super) enum Source<'a> {
    /// Each hour stands alone: m³ in each, on the grid.
    Column(&'a [f64]),
    /// Well, riser or motor feel it when the float stops the pump.
    Pump(Box<Drive<'a>>),
}

/// An hour of the pump: what it could have done, and what it did.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PumpHour {
    /// The whole hour without a float.
    pub(super) free: Hour,
    /// The pieces in which it is followed, h.
    piece_h: f64,
    /// State when it began.
    before: State,
    /// State after the whole hour without a float.
    after: State,
}

/// What a well's water came to with the float acting. Each term is summed on its own: what is lifted by the pump, what arrives by
/// the tank.
///
/// # Equation
/// `lifted = weep + riser refill + arrived`
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WellLedger {
    /// Lifted by the pump, m³.
    pub lifted_m3: f64,
    /// Of it lost through the weep hole, m³.
    pub weep_m3: f64,
    /// Of it used to fill the drained pipe at starts, m³.
    pub riser_refill_m3: f64,
    /// Taken in by the tank, m³.
    pub arrived_m3: f64,
    /// Times that the pump was stopped because the water fell to the cut-out.
    pub cut_out_stops: u32,
    /// Time that the pump ran, h.
    pub running_h: f64,
}

impl WellLedger {
    /// What is missing, as a share of the water lifted.
    #[must_use]
    pub fn residual(&self) -> f64 {
        let missing = self.lifted_m3 - self.weep_m3 - self.riser_refill_m3 - self.arrived_m3;
        // A term that is not a number, or endless, must not pass.
        if !missing.is_finite() {
            return f64::INFINITY;
        }
        // The tank counts on its grid: half a step of it is no water lost.
        (missing.abs() - 0.5 * grid::STEP_M3).max(0.0) / self.lifted_m3.max(1.0)
    }

    /// The residual, if the ledger closes.
    ///
    /// # Errors
    /// A [`crate::fault::FaultKind::Ledger`] fault when it is above 1e-9.
    pub fn close(&self) -> Result<f64, Fault> {
        residual::close(self.residual(), "ledger", "the well's ledger does not close", &format!("{self:?}"))
    }

    fn add(&mut self, hour: &Hour) {
        self.lifted_m3 += hour.lifted_m3;
        self.weep_m3 += hour.weep_m3;
        self.riser_refill_m3 += hour.riser_refill_m3;
        self.cut_out_stops += hour.stops;
        self.running_h += hour.running_h;
    }
}

/// What well and pump did in an hour, with the float acting.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WellHour {
    /// Time that the pump ran, h.
    pub running_h: f64,
    /// Times that it was stopped because the water fell to the cut-out.
    pub stops: u32,
    /// Lifted, m³.
    pub lifted_m3: f64,
    /// Of it lost through the weep hole, m³.
    pub weep_m3: f64,
    /// Of it used to fill the drained pipe, m³.
    pub riser_refill_m3: f64,
    /// Drawdown of the water in the bore at the hour's end, m.
    pub drawdown_m: f64,
}

/// What the source hands on, and what it did.
#[derive(Debug, Default)]
pub(super) struct Account {
    pub(super) ledger: WellLedger,
    pub(super) hours: Vec<WellHour>,
    /// Lifted and not yet counted on the tank's grid, m³: less than a step.
    over_m3: f64,
}

impl Account {
    fn ran(&mut self, hour: &Hour, after: &State) {
        self.ledger.add(hour);
        self.hours.push(WellHour {
            running_h: hour.running_h,
            stops: hour.stops,
            lifted_m3: hour.lifted_m3,
            weep_m3: hour.weep_m3,
            riser_refill_m3: hour.riser_refill_m3,
            drawdown_m: after.drawdown_m,
        });
    }
}

impl Source<'_> {
    /// Before the first hour of all.
    pub(super) fn at_rest(&self) -> Option<State> {
        match self {
            Self::Column(_) => None,
            Self::Pump(drive) => Some(drive.system().at_rest()),
        }
    }

    /// Available in hour `h` from a state, m³ on the grid, if no float stopped it. Where the float is going to, because there is
    /// room for no more than `room_m3`, the hour that will not be is not followed finely.
    pub(super) fn available(
        &mut self,
        h: usize,
        room_m3: f64,
        state: Option<State>,
        account: &Account,
    ) -> (f64, Option<PumpHour>) {
        match (self, state) {
            (Self::Column(column_m3), _) => (column_m3[h], None),
            (Self::Pump(drive), Some(before)) => {
                let mut after = before;
                let mut free = drive.step(&mut after, h, 1.0);
                let piece_h = drive.piece_h(h, &before, &free);
                if free.available_m3 <= room_m3 && piece_h < 1.0 {
                    after = before;
                    free = drive.step_in_pieces(&mut after, h, piece_h, None).0.unwrap_or(free);
                }
                let m3 = grid::volume_m3(free.available_m3 + account.over_m3).max(0.0);
                (m3, Some(PumpHour { free, piece_h, before, after: after.on_grid() }))
            }
            (Self::Pump(_), None) => (0.0, None),
        }
    }

    /// What the pump did when the tank took `taken_m3` of `available_m3`: all of it, nothing, or for a part of the hour, which is
    /// found by repeating its step from the saved state. `permits`: the float let it run when the hour began.
    pub(super) fn settle(
        &mut self,
        h: usize,
        hour: &PumpHour,
        permits: bool,
        (available_m3, taken_m3): (f64, f64),
        account: &mut Account,
    ) -> State {
        let Self::Pump(drive) = self else { return hour.before };
        account.ledger.arrived_m3 += taken_m3;
        if permits && taken_m3 >= available_m3 {
            account.over_m3 += hour.free.available_m3 - taken_m3;
            account.ran(&hour.free, &hour.after);
            return hour.after;
        }
        let mut state = hour.before;
        let target_m3 = taken_m3 - account.over_m3;
        let (ran, part_h) = if taken_m3 > 0.0 && target_m3 > 0.0 {
            drive.step_in_pieces(&mut state, h, hour.piece_h, Some((target_m3, FOUND_M3)))
        } else {
            (None, 0.0)
        };
        account.over_m3 += ran.map_or(0.0, |ran| ran.available_m3) - taken_m3;
        if part_h < 1.0 {
            drive.rest(&mut state, 1.0 - part_h);
        }
        let state = state.on_grid();
        match ran {
            Some(ran) => account.ran(&ran, &state),
            None => account.hours.push(WellHour { drawdown_m: state.drawdown_m, ..WellHour::default() }),
        }
        state
    }
}
