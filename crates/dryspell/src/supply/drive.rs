//! A record's hours made ready for the pump: what the sun gives in each, and whether the way is frozen.

use super::state::{State, Wait};
use super::{Hour, Source, System, check_arrays, check_power};
use crate::array::circuit::Circuit;
use crate::array::circuit_of;
use crate::calendar::Calendar;
use crate::coupling::Power;
use crate::fault::Faults;

/// A minute, and half an hour, h.
const MINUTE_H: f64 = 1.0 / 60.0;
const HALF_H: f64 = 0.5;
/// Stops in a step beyond which it is not followed by the minute: our own choice.
const MANY_STOPS: u32 = 3;
/// Share of the drawdown to the cut-out from which on the water is near it: our own choice, with which hours' ends are within 2 cm of
/// five-second steps (`tests/physics/march/seconds.rs`).
const NEAR_CUT_OUT: f64 = 0.2;

/// Pump, well and pipe on the hours of a record: any of them can be stepped from any state, for the whole hour or a part.
#[derive(Debug)]
pub struct Drive<'a> {
    system: &'a System,
    source: Source<'a>,
    calendar: &'a Calendar,
    needs_curve: bool,
    /// Room to work in.
    flows: Vec<f64>,
    circuit: Circuit,
}

impl<'a> Drive<'a> {
    /// Holds what drives the pump against the calendar.
    ///
    /// # Errors
    /// Those of [`System::supply`].
    pub fn new(system: &'a System, source: Source<'a>, calendar: &'a Calendar) -> Result<Self, Faults> {
        check_power(source.array_w, calendar)?;
        let coupling = &system.settings().coupling;
        let needs_curve = coupling.needs_curve();
        check_arrays(coupling, needs_curve, &source)?;
        Ok(Self { system, source, calendar, needs_curve, flows: Vec::new(), circuit: Circuit::default() })
    }

    /// Hour `h` of the record, or the first `time_h` of it (h, above 0 to 1): takes and leaves what is carried between hours.
    pub fn step(&mut self, state: &mut State, h: usize, time_h: f64) -> Hour {
        let mut power = Power { terminals: self.source.terminals, ..Power::watts(self.source.array_w[h]) };
        if self.needs_curve {
            circuit_of(self.source.each, h, &mut self.circuit);
            power.circuit = Some(&self.circuit);
        }
        let month = self.calendar.day_of(h).month;
        if self.source.frozen.get(h).copied().unwrap_or(false) {
            self.system.stand(state, month, &power, time_h)
        } else {
            self.system.step(state, month, &power, time_h, &mut self.flows)
        }
    }

    /// The same; minute by minute where the water falls to the cut-out, since one stop more or less decides over the hours that
    /// follow, and in halves where it comes near: the flow falls with the water.
    pub fn step_finely(&mut self, state: &mut State, h: usize, time_h: f64) -> Hour {
        let before = *state;
        let at_once = self.step(state, h, time_h);
        let waits = !matches!(before.wait, Wait::No);
        let most_h = match at_once.drawdown_end_m {
            // A pump that stands all the time, or stops so often that one stop more is nothing.
            Some(_) if at_once.running_h <= 0.0 || at_once.stops > MANY_STOPS => return at_once,
            Some(_) if waits || at_once.stops > 0 => MINUTE_H,
            Some(drawdown_m) if self.nears_cut_out(h, drawdown_m.max(before.drawdown_m)) => HALF_H,
            _ => return at_once,
        };
        *state = before;
        let mut left_h = time_h;
        let mut sum: Option<Hour> = None;
        while left_h > 0.0 {
            // What would be left over is less than a step of its own.
            let piece_h = if left_h < 1.5 * most_h { left_h } else { most_h };
            let piece = self.step(state, h, piece_h);
            sum = Some(match sum {
                None => piece,
                Some(sum) => sum.join(&piece, (time_h - left_h, piece_h)),
            });
            left_h -= piece_h;
        }
        sum.unwrap_or(at_once)
    }

    /// Whether a drawdown is a good part of the way to the cut-out.
    fn nears_cut_out(&self, h: usize, drawdown_m: f64) -> bool {
        let well = &self.system.settings().well;
        let level_m = well.static_level_m[usize::from(self.calendar.day_of(h).month.clamp(1, 12)) - 1];
        well.cut_out_level_m().is_some_and(|depth_m| drawdown_m > NEAR_CUT_OUT * (depth_m - level_m))
    }

    /// The pump stands for a time, h.
    pub fn rest(&self, state: &mut State, time_h: f64) {
        self.system.rest(state, time_h);
    }

    /// Pump, well and pipe.
    #[must_use]
    pub const fn system(&self) -> &System {
        self.system
    }
}
