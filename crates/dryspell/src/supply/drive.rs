//! A record's hours made ready for the pump: what the sun gives in each, and whether the way is frozen.

use super::state::{State, Wait};
use super::{Hour, Source, System, check_arrays, check_power};
use crate::array::circuit::Circuit;
use crate::array::circuit_of;
use crate::calendar::Calendar;
use crate::coupling::Power;
use crate::fault::Faults;

/// A minute, h.
const MINUTE_H: f64 = 1.0 / 60.0;

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

    /// The same with the standing water of a bore followed in steps of ten minutes while the pump runs, since the flow falls with the
    /// water; and minute by minute where it falls to the cut-out, since one stop more or less decides over the hours that follow.
    pub fn step_finely(&mut self, state: &mut State, h: usize, time_h: f64) -> Hour {
        let before = *state;
        let at_once = self.step(state, h, time_h);
        let waits = !matches!(before.wait, Wait::No);
        let piece_h = match (at_once.drawdown_end_m, at_once.stops) {
            (None, _) => return at_once,
            (Some(_), 0) if waits => MINUTE_H,
            (Some(_), 0) if at_once.running_h > 0.0 => 10.0 * MINUTE_H,
            (Some(_), 0) => return at_once,
            (Some(_), _) => MINUTE_H,
        };
        *state = before;
        let most_h = piece_h;
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
