//! The hour in which pump, well and pipe meet the sun, and what it leaves to the next.

use super::operate::{Drawdown, SiteState, operate};
use super::state::{State, Wait};
use super::{Head, Limit, System, head::mean};
use crate::coupling::{Offer, Power, TrackerOutput};
use crate::pump::OperatingPoint;
use crate::well::{Bore, Restart};

/// Stops within one hour after which the pump is taken to hold at what the well sustains.
const MOST_STOPS: u32 = 500;

/// One hour with all that it was worked out from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hour {
    /// Power that the array can give at the coupling, W.
    pub array_w: f64,
    /// Power available to the pump, W: after the tracker or the booster; that of the array when wired directly.
    pub available_w: f64,
    /// How it came through the tracker, where there is one.
    pub passed: Option<TrackerOutput>,
    /// Power that the pump took, W, as the mean of the hour.
    pub power_taken_w: f64,
    /// Voltage at the pump, V, where it has one; as the current and the speed below, the mean of the time that it runs.
    pub voltage_v: Option<f64>,
    /// Current into the pump, A, where it has one.
    pub current_a: Option<f64>,
    /// Speed of the shaft, rad/s, where it is known.
    pub speed_rad_per_s: Option<f64>,
    /// Flow lifted, m³/h: the mean of the time that the pump runs.
    pub flow_m3_per_h: f64,
    /// Flow before the well held it back, m³/h: the mean of the time that the pump runs.
    pub free_flow_m3_per_h: f64,
    /// The head by cause; at no flow the static head. Where the pump ran more than once in the hour it is the mean of the
    /// runs, each weighed by the volume that it lifted: so head times volume is the work done on the water.
    pub head: Head,
    /// What set the flow.
    pub limit: Limit,
    /// Part of the hour in which the pump ran, h.
    pub running_h: f64,
    /// Times that it was stopped at the cut-out.
    pub stops: u32,
    /// The sun gave something, but not the current that breaks the motor away.
    pub held_fast: bool,
    /// Drawdown in the bore at the hour's end, m; `None` where its standing water is left out.
    pub drawdown_end_m: Option<f64>,
    /// Lifted by the pump, m³.
    pub lifted_m3: f64,
    /// Lost through the weep hole, m³.
    pub weep_m3: f64,
    /// Used to fill the drained pipe, m³.
    pub riser_refill_m3: f64,
    /// Available to the tank, m³.
    pub available_m3: f64,
    /// There is flow, at a drive below the lowest tabulated one at this head: the start rule made it.
    pub below_lowest_power: bool,
    /// The system curve left the table at its highest head.
    pub table_end: bool,
    /// There is flow, at a head below the lowest tabulated one.
    pub below_lowest_head: bool,
}

impl Hour {
    /// This step with the one that follows it: `times_h` are the lengths of both, h.
    #[must_use]
    pub(crate) fn join(self, next: &Self, (this_h, next_h): (f64, f64)) -> Self {
        let by_time = |a: f64, b: f64| mean(a, this_h, b, next_h);
        let by_run = |a: f64, b: f64| mean(a, self.running_h, b, next.running_h);
        let known = |a: Option<f64>, b: Option<f64>| match (a, b) {
            (Some(a), Some(b)) => Some(by_run(a, b)),
            (a, b) => b.or(a),
        };
        let (lifted_m3, running_h) = (self.lifted_m3 + next.lifted_m3, self.running_h + next.running_h);
        let stops = self.stops + next.stops;
        // Pieces of one light have one power to the bit; parts of an hour differ.
        let of_light = |a: f64, b: f64| if a.to_bits() == b.to_bits() { a } else { by_time(a, b) };
        Self {
            array_w: of_light(self.array_w, next.array_w),
            available_w: of_light(self.available_w, next.available_w),
            power_taken_w: by_time(self.power_taken_w, next.power_taken_w),
            voltage_v: known(self.voltage_v, next.voltage_v),
            current_a: known(self.current_a, next.current_a),
            speed_rad_per_s: known(self.speed_rad_per_s, next.speed_rad_per_s),
            flow_m3_per_h: if running_h > 0.0 { lifted_m3 / running_h } else { 0.0 },
            free_flow_m3_per_h: by_run(self.free_flow_m3_per_h, next.free_flow_m3_per_h),
            head: if next.lifted_m3 > 0.0 {
                self.head.mean(self.lifted_m3, &next.head, next.lifted_m3)
            } else {
                self.head
            },
            limit: match (stops, next.running_h > 0.0) {
                (0, true) => next.limit,
                (0, false) if self.limit == Limit::Night => next.limit,
                (0, false) => self.limit,
                _ => Limit::Well,
            },
            running_h,
            stops,
            held_fast: self.held_fast || next.held_fast,
            drawdown_end_m: next.drawdown_end_m,
            lifted_m3,
            weep_m3: self.weep_m3 + next.weep_m3,
            riser_refill_m3: self.riser_refill_m3 + next.riser_refill_m3,
            available_m3: self.available_m3 + next.available_m3,
            below_lowest_power: self.below_lowest_power || next.below_lowest_power,
            table_end: self.table_end || next.table_end,
            below_lowest_head: self.below_lowest_head || next.below_lowest_head,
            ..self
        }
    }
}

impl System {
    /// One step of `time_h` (h, above 0 to 1) after another: takes and leaves what is carried between them. Volumes are those of
    /// the step, means are over the step. `flows` is room to work in.
    pub fn step(
        &self,
        state: &mut State,
        month: u8,
        power: &Power<'_>,
        time_h: f64,
        flows: &mut Vec<f64>,
    ) -> Hour {
        self.step_on(state, month, (power, &self.settings.coupling.offer(power)), time_h, flows)
    }

    /// The same where the offer is known.
    pub(super) fn step_on(
        &self,
        state: &mut State,
        month: u8,
        (power, offer): (&Power<'_>, &Offer<'_>),
        time_h: f64,
        flows: &mut Vec<f64>,
    ) -> Hour {
        let mut hour = self.still(month, power, offer);
        if offer.is_nothing() {
            hour.limit = Limit::Night;
            self.rest(state, time_h);
        } else if let Some(bore) = self.bore {
            self.pump_from_bore(bore, state, (month, time_h), offer, &mut hour, flows);
        } else {
            self.pump_settled(state, (month, time_h), offer, &mut hour, flows);
        }
        hour.power_taken_w /= time_h;
        if self.bore.is_some() {
            hour.drawdown_end_m = Some(state.drawdown_m);
        }
        hour
    }

    /// A step in which nothing may flow, whatever the sun gives: the pump stands and the well comes back.
    pub(super) fn stand(
        &self,
        state: &mut State,
        month: u8,
        (power, offer): (&Power<'_>, &Offer<'_>),
        time_h: f64,
    ) -> Hour {
        let mut hour = self.still(month, power, offer);
        hour.limit = if power.available_w > 0.0 { Limit::Frozen } else { Limit::Night };
        self.rest(state, time_h);
        if self.bore.is_some() {
            hour.drawdown_end_m = Some(state.drawdown_m);
        }
        hour
    }

    /// An hour in which nothing has happened yet.
    fn still(&self, month: u8, power: &Power<'_>, offer: &Offer<'_>) -> Hour {
        let (available_w, passed) = match offer {
            Offer::Power { watts, passed } => (*watts, *passed),
            Offer::Direct(_) => (power.available_w, None),
            Offer::Boosted { booster, envelope, .. } => (booster.efficiency * envelope.best().power_w, None),
        };
        let level = self.settings.well.static_level_m[usize::from(month.clamp(1, 12)) - 1];
        Hour {
            array_w: power.available_w,
            available_w,
            passed,
            power_taken_w: 0.0,
            voltage_v: None,
            current_a: None,
            speed_rad_per_s: None,
            flow_m3_per_h: 0.0,
            free_flow_m3_per_h: 0.0,
            head: Head {
                static_lift_m: level + self.settings.pipe.rise_m(),
                discharge_m: self.settings.pipe.discharge_pressure_m,
                ..Head::default()
            },
            limit: Limit::SunBelowStart,
            running_h: 0.0,
            stops: 0,
            held_fast: false,
            drawdown_end_m: None,
            lifted_m3: 0.0,
            weep_m3: 0.0,
            riser_refill_m3: 0.0,
            available_m3: 0.0,
            below_lowest_power: false,
            table_end: false,
            below_lowest_head: false,
        }
    }

    /// The pump stands for a time: the water comes back, the riser drains.
    pub(super) fn rest(&self, state: &mut State, time_h: f64) {
        state.running = false;
        if let Some(bore) = self.bore {
            state.drawdown_m = bore.advance(state.drawdown_m, 0.0, time_h).0;
        }
        if let Wait::Hours(left) = state.wait {
            state.wait = if left > time_h { Wait::Hours(left - time_h) } else { Wait::No };
        }
        if self.line.has_weep_hole() {
            state.drain(time_h, self.line.drains_m3(), self.line.drain_down_h());
        }
    }

    /// The pump's point on a site, unless it stands and cannot break away.
    fn point(
        &self,
        state: &State,
        offer: &Offer<'_>,
        here: &SiteState<'_>,
        hour: &mut Hour,
        flows: &mut Vec<f64>,
    ) -> Option<OperatingPoint> {
        let machine = self.pump.machine();
        if !state.running
            && let Some(b) = machine.breakaway(hour.head.total_m())
            && offer.current_a(b.current_a * b.resistance_ohm) < b.current_a
        {
            hour.held_fast = true;
            return None;
        }
        operate(machine, offer, here, flows)
    }

    /// A step without the bore's standing water.
    fn pump_settled(
        &self,
        state: &mut State,
        (month, time_h): (u8, f64),
        offer: &Offer<'_>,
        hour: &mut Hour,
        flows: &mut Vec<f64>,
    ) {
        let here = SiteState { system: self, month, drawdown: Drawdown::Settled };
        let Some(running) = self.point(state, offer, &here, hour, flows) else {
            self.rest(state, time_h);
            return;
        };
        let well = self.settings.well.sustained_m3_per_h(month);
        let held = running.flow_m3_per_h > well;
        self.add(state, hour, &here, &running, running.flow_m3_per_h.min(well), time_h);
        if held {
            hour.limit = Limit::Well;
        }
    }

    /// Adds a run of the pump to the hour.
    fn add(
        &self,
        state: &mut State,
        hour: &mut Hour,
        here: &SiteState<'_>,
        running: &OperatingPoint,
        flow_m3_per_h: f64,
        time_h: f64,
    ) {
        let (head, split) = here.head(flow_m3_per_h);
        state.running = true;
        hour.head = hour.head.mean(hour.lifted_m3, &head, flow_m3_per_h * time_h);
        hour.limit = if running.table_end {
            Limit::TableEnd
        } else if running.at_limit {
            Limit::PumpLimit
        } else {
            Limit::Sun
        };
        let by_time = |so_far: f64, this: f64| mean(so_far, hour.running_h, this, time_h);
        let known = |so_far: Option<f64>, this: Option<f64>| match (so_far, this) {
            (Some(so_far), Some(this)) => Some(by_time(so_far, this)),
            (so_far, this) => this.or(so_far),
        };
        hour.voltage_v = known(hour.voltage_v, running.voltage_v);
        hour.current_a = known(hour.current_a, running.current_a);
        hour.speed_rad_per_s = known(hour.speed_rad_per_s, running.speed_rad_per_s);
        hour.free_flow_m3_per_h = by_time(hour.free_flow_m3_per_h, running.flow_m3_per_h);
        hour.power_taken_w += running.power_w * time_h;
        hour.running_h += time_h;
        hour.below_lowest_power |= running.below_lowest_drive;
        hour.table_end |= running.table_end;
        hour.below_lowest_head |= running.below_lowest_head;
        hour.lifted_m3 += flow_m3_per_h * time_h;
        hour.flow_m3_per_h = if hour.running_h > 0.0 { hour.lifted_m3 / hour.running_h } else { 0.0 };
        if !self.line.has_weep_hole() {
            hour.available_m3 += flow_m3_per_h * time_h;
            return;
        }
        hour.weep_m3 += split.weep_m3_per_h * time_h;
        if split.delivered_m3_per_h > 0.0 {
            let filling_h = (state.empty_m3 / split.delivered_m3_per_h).min(time_h);
            let refill = split.delivered_m3_per_h * filling_h;
            state.empty_m3 = (state.empty_m3 - refill).max(0.0);
            hour.riser_refill_m3 += refill;
            hour.available_m3 += split.delivered_m3_per_h * (time_h - filling_h);
        }
    }

    /// A step with the bore's standing water: runs and stops until it is over.
    fn pump_from_bore(
        &self,
        bore: Bore,
        state: &mut State,
        (month, time_h): (u8, f64),
        offer: &Offer<'_>,
        hour: &mut Hour,
        flows: &mut Vec<f64>,
    ) {
        let well = &self.settings.well;
        let level = well.static_level_m[usize::from(month.clamp(1, 12)) - 1];
        let cut_out = well.cut_out_level_m().map(|depth| depth - level);
        let mut left_h = time_h;
        let mut cut = false;
        while left_h > 0.0 {
            let pause = match (state.wait, well.restart) {
                (Wait::No, _) => 0.0,
                (Wait::Hours(hours), _) => hours,
                // It may have come back in a night.
                (Wait::Level, Some(Restart::Level(depth))) if state.drawdown_m <= depth - level => 0.0,
                (Wait::Level, Some(Restart::Level(depth))) => {
                    bore.time_to(state.drawdown_m, 0.0, depth - level, left_h).unwrap_or(f64::INFINITY)
                }
                (Wait::Level, _) => 0.0,
            };
            if pause > 0.0 {
                let stands = pause.min(left_h);
                self.rest(state, stands);
                left_h -= stands;
                if pause > stands {
                    hour.limit = if hour.running_h > 0.0 { Limit::Well } else { Limit::CutOut };
                    return;
                }
            }
            state.wait = Wait::No;
            let from_m = state.drawdown_m;
            let mut here =
                SiteState { system: self, month, drawdown: Drawdown::Mean { bore, from_m, time_h: left_h } };
            let Some(mut running) = self.point(state, offer, &here, hour, flows) else {
                self.rest(state, left_h);
                break;
            };
            let mut flow = running.flow_m3_per_h;
            let floor = |flow: f64| cut_out.map_or(f64::INFINITY, |m| (m - well.well_loss_m(flow)).max(0.0));
            let mut runs_h = left_h;
            if bore.advance(from_m, flow, left_h).0 > floor(flow) {
                // It will not last the hour: the flow on the way down, and how long that takes.
                here.drawdown = Drawdown::At(0.5 * (from_m + floor(flow).max(from_m)));
                if let Some(falling) = operate(self.pump.machine(), offer, &here, flows) {
                    running = falling;
                    flow = falling.flow_m3_per_h;
                }
                let target = floor(flow);
                runs_h = if from_m >= target {
                    0.0
                } else {
                    bore.time_to(from_m, flow, target, left_h).unwrap_or(left_h)
                };
            }
            self.add(state, hour, &here, &running, flow, runs_h);
            state.drawdown_m = bore.advance(from_m, flow, runs_h).0;
            left_h -= runs_h;
            if left_h <= 1e-9 {
                break;
            }
            cut = true;
            hour.stops += 1;
            match well.restart {
                Some(Restart::Delay(hours)) if hour.stops < MOST_STOPS => state.wait = Wait::Hours(hours),
                Some(Restart::Level(_)) if hour.stops < MOST_STOPS => state.wait = Wait::Level,
                _ => {
                    // Many short stops: the mean is what flows in at that level.
                    here.drawdown = Drawdown::At(state.drawdown_m);
                    let flow = flow.min(well.sustained_m3_per_h(month));
                    self.add(state, hour, &here, &running, flow, left_h);
                    state.drawdown_m = bore.advance(state.drawdown_m, flow, left_h).0;
                    break;
                }
            }
            state.running = false;
        }
        if cut {
            hour.limit = Limit::Well;
        }
    }
}
