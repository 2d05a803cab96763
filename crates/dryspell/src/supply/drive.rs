//! A record's hours made ready for the pump: what the sun gives in each, and whether the way is frozen.

use super::state::{State, Wait};
use super::{Hour, Source, System, check_arrays, check_power};
use crate::array::Columns;
use crate::array::circuit::Circuit;
use crate::array::circuit_of;
use crate::calendar::Calendar;
use crate::coupling::{Offer, Power};
use crate::fault::Faults;
use crate::root::falling_root;

/// A minute, and half an hour, h.
const MINUTE_H: f64 = 1.0 / 60.0;
const HALF_H: f64 = 0.5;
/// Less than this of a part, h, is none.
const LEAST_H: f64 = 1e-12;
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
        self.step_by_parts(state, h, time_h, |_| {})
    }

    /// The same, with a look at each part where the hour has parts of different light.
    pub(super) fn step_by_parts(
        &mut self,
        state: &mut State,
        h: usize,
        time_h: f64,
        mut look: impl FnMut(&Hour),
    ) -> Hour {
        let parts = self.parts(h);
        if parts == 1 {
            return self.at(h, None, |at| at.step(state, time_h));
        }
        let part_h = 1.0 / count(parts);
        let (mut gone_h, mut sum) = (0.0, None::<Hour>);
        for part in 0..parts {
            let this_h = part_h.min(time_h - gone_h);
            if this_h <= LEAST_H && sum.is_some() {
                break;
            }
            let hour = self.at(h, Some(part), |at| at.step(state, this_h));
            look(&hour);
            sum = Some(sum.map_or(hour, |sum| sum.join(&hour, (gone_h, this_h))));
            gone_h += this_h;
        }
        sum.unwrap_or_else(|| self.at(h, None, |at| at.step(state, time_h)))
    }

    /// In how many parts hour `h` is followed: one where the sun gives the same in all, as at night.
    fn parts(&self, h: usize) -> usize {
        let parts = self.source.parts;
        let power_w = |part: &Columns| part.array_w[h];
        let alike = parts.windows(2).all(|pair| power_w(&pair[0]).to_bits() == power_w(&pair[1]).to_bits());
        if alike { 1 } else { parts.len() }
    }

    /// The pieces, h, in which an hour is to be followed that began in a state and came to `whole` at one step: minutes where the
    /// water falls to the cut-out, since one stop more or less decides over the hours that follow; halves where it comes near, since the flow
    /// falls with the water; else the whole hour.
    pub(crate) fn piece_h(&self, h: usize, before: &State, whole: &Hour) -> f64 {
        let Some(drawdown_m) = whole.drawdown_end_m else { return 1.0 };
        // A pump that stands all the time, or stops so often that one stop more is nothing.
        if whole.running_h <= 0.0 || whole.stops > MANY_STOPS {
            1.0
        } else if !matches!(before.wait, Wait::No) || whole.stops > 0 {
            MINUTE_H
        } else if self.nears_cut_out(h, drawdown_m.max(before.drawdown_m)) {
            HALF_H
        } else {
            1.0
        }
    }

    /// Hour `h` in pieces of `piece_h` from its beginning until `until.0` (m³) are available, to within `until.1`, and how long that
    /// takes, h; the whole hour if there is never so much or no `until`. `None` where not even the first moment is needed.
    pub(crate) fn step_in_pieces(
        &mut self,
        state: &mut State,
        h: usize,
        piece_h: f64,
        until: Option<(f64, f64)>,
    ) -> (Option<Hour>, f64) {
        let parts = self.parts(h);
        if parts == 1 {
            return self.at(h, None, |at| at.in_pieces(state, (1.0, piece_h), until));
        }
        let part_h = 1.0 / count(parts);
        let (mut gone_h, mut sum) = (0.0, None::<Hour>);
        for part in 0..parts {
            let had_m3 = sum.map_or(0.0, |sum| sum.available_m3);
            let left = until.map(|(target_m3, found_m3)| (target_m3 - had_m3, found_m3));
            let (ran, took_h) =
                self.at(h, Some(part), |at| at.in_pieces(state, (part_h, piece_h.min(part_h)), left));
            if let Some(ran) = ran {
                sum = Some(sum.map_or(ran, |sum| sum.join(&ran, (gone_h, took_h))));
            }
            gone_h += took_h;
            if took_h < part_h {
                return (sum, gone_h);
            }
        }
        (sum, 1.0)
    }

    /// Does something with an hour, or a part of it, whose sun is made ready once.
    fn at<T>(&mut self, h: usize, part: Option<usize>, what: impl FnOnce(&mut ThisHour<'_>) -> T) -> T {
        let (array_w, each) = match part.and_then(|part| self.source.parts.get(part)) {
            Some(part) => (part.array_w[h], &part.each[..]),
            None => (self.source.array_w[h], self.source.each),
        };
        let mut power = Power { terminals: self.source.terminals, ..Power::watts(array_w) };
        if self.needs_curve {
            circuit_of(each, h, &mut self.circuit);
            power.circuit = Some(&self.circuit);
        }
        what(&mut ThisHour {
            system: self.system,
            month: self.calendar.day_of(h).month,
            frozen: self.source.frozen.get(h).copied().unwrap_or(false),
            power,
            offer: self.system.settings().coupling.offer(&power),
            flows: &mut self.flows,
        })
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

/// A small count as a number.
fn count(n: usize) -> f64 {
    f64::from(u32::try_from(n).unwrap_or(u32::MAX))
}

/// One hour's sun, as often as it is stepped through.
struct ThisHour<'a> {
    system: &'a System,
    month: u8,
    frozen: bool,
    power: Power<'a>,
    offer: Offer<'a>,
    flows: &'a mut Vec<f64>,
}

impl ThisHour<'_> {
    /// A part of it, h, above 0 to 1.
    fn step(&mut self, state: &mut State, time_h: f64) -> Hour {
        let sun = (&self.power, &self.offer);
        if self.frozen {
            self.system.stand(state, self.month, sun, time_h)
        } else {
            self.system.step_on(state, self.month, sun, time_h, self.flows)
        }
    }

    /// See [`Drive::step_in_pieces`]: `whole_h` of it, in pieces of `piece_h`.
    fn in_pieces(
        &mut self,
        state: &mut State,
        (whole_h, piece_h): (f64, f64),
        until: Option<(f64, f64)>,
    ) -> (Option<Hour>, f64) {
        let mut gone_h = 0.0;
        let mut sum: Option<Hour> = None;
        let add = |sum: &Option<Hour>, piece: Hour, gone_h: f64, piece_h: f64| {
            Some(sum.map_or(piece, |sum| sum.join(&piece, (gone_h, piece_h))))
        };
        loop {
            let left_h = whole_h - gone_h;
            // What would be left over is less than a piece of its own.
            let is_last = left_h < 1.5 * piece_h;
            let this_h = if is_last { left_h } else { piece_h };
            let before = *state;
            let piece = self.step(state, this_h);
            let had_m3 = sum.map_or(0.0, |sum| sum.available_m3);
            if let Some((target_m3, found_m3)) = until
                && had_m3 + piece.available_m3 >= target_m3
            {
                let short_of = |time_h: f64| {
                    let m3 = if time_h <= 0.0 {
                        0.0
                    } else if time_h >= this_h {
                        piece.available_m3
                    } else {
                        self.step(&mut { before }, time_h).available_m3
                    };
                    target_m3 - had_m3 - m3
                };
                let part_h = falling_root(short_of, 0.0, this_h, found_m3);
                *state = before;
                if part_h > 0.0 {
                    let part = self.step(state, part_h);
                    sum = add(&sum, part, gone_h, part_h);
                }
                return (sum, gone_h + part_h);
            }
            sum = add(&sum, piece, gone_h, this_h);
            if is_last {
                return (sum, whole_h);
            }
            gone_h += this_h;
        }
    }
}
