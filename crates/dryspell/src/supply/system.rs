//! Pump, well and pipe made ready, and the hour in which they meet the sun.

use super::head::head_at;
use super::operate::{Drawdown, Here, operate};
use super::state::{State, Wait};
use super::{Head, Limit, Settings};
use crate::coupling::{self, Offer, Passed, Power};
use crate::fault::{Fault, FaultKind};
use crate::pipe::{Advice, Line, advice, water_density_kg_per_m3};
use crate::pump::{Pump, Running, Surface};
use crate::root::falling_root;
use crate::well::{Bore, Restart};

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// Stops within one hour after which the pump is taken to hold at what the well sustains.
const MOST_STOPS: u32 = 500;

/// Pump, well and pipe made ready: the flow of any hour.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | P | what the coupling offers | W, or A by voltage | ≥ 0 |
/// | Q | flow | m³/h | ≥ 0 |
/// | H_sys | head that the system needs at a flow | m | |
///
/// # Equation
/// The flow is where pump and system meet: `Q = Q_pump(H_sys(Q), P)`, with a [`crate::pump::Machine`] for the pump and
/// [`Head`] for the system. One side falls with Q, the other rises: there is one such flow. Where the pump has a voltage,
/// its current must be the one that the coupling offers at it ([`Offer`]): offered current falls along the pump's drive,
/// current needed rises, so that there is again one such point, found to 10⁻¹¹ of the greatest drive. A point is taken
/// only where the offer suffices.
/// - A pump at rest must first break away ([`crate::pump::Breakaway`]); one that ran in the hour before keeps running.
/// - Below the lowest tabulated head the pump gives the flow of that head.
/// - Where the pump would be driven beyond the highest tabulated head, the flow is the one at which the system needs
///   exactly that head: less than the true one, because the system curve rises.
/// - Without a start power or voltage there is no flow at less than the lowest tabulated one at the head, interpolated
///   between the tabulated heads; the flow is held where the head just asks for what there is.
/// - A well that sustains less takes the flow's place ([`crate::well::Settings::sustained_m3_per_h`]): the pump is
///   throttled, and is taken to draw the power of the free flow. With the standing water of the bore in play
///   ([`Bore`]) the drawdown is the hour's mean instead; where it comes to the cut-out the pump stops, waits as the
///   scheme says, and starts again, as often as it takes.
/// - The weep hole takes its flow all the time; at a start the drained pipe is filled first.
///
/// # Validity
/// The hour's mean power stands for the hour. Within an hour that reaches the cut-out the flow of each run is that at
/// the mean of the drawdowns between which it runs. A static head that the pump does not reach is refused.
///
/// # Example
/// ```
/// use dryspell::{coupling, pipe, pump, supply, well};
/// let row = |head_m, power_w, flow_m3_per_h| pump::DutyPoint { head_m, power_w, flow_m3_per_h };
/// let settings = supply::Settings {
///     pump: pump::Settings::duty(
///         vec![row(20.0, 100.0, 0.6), row(20.0, 200.0, 1.2), row(40.0, 100.0, 0.2), row(40.0, 200.0, 0.8)],
///         pump::Start::Zero,
///     ),
///     coupling: coupling::Settings::tracking(1.0),
///     // 10 m of drawdown for each m³/h.
///     well: well::Settings {
///         static_level_m: [20.0; 12], specific_capacity_m3_per_h_m: Some(0.1), ..Default::default()
///     },
///     pipe: pipe::Settings { water_degc: 15.0, ..Default::default() },
/// };
/// let system = supply::System::new(&settings).map_err(|faults| faults[0].to_string())?;
/// // At 200 W the pump gives 1.2 − 0.02 (H − 20), the system needs 20 + 10 Q: Q = 1.2 − 0.2 Q = 1 m³/h at 30 m.
/// let hour = system.hour(6, 200.0);
/// assert!((hour.flow_m3_per_h - 1.0).abs() < 1e-10 && (hour.head.total_m() - 30.0).abs() < 1e-8);
/// # Ok::<(), String>(())
/// ```
///
/// # References
/// The intersection of pump and system curve, and of pump and array, is in any text on the matter, such as G. M. Masters,
/// *Renewable and Efficient Electric Power Systems* (2004), section 9.6.
#[derive(Debug, Clone, PartialEq)]
pub struct System {
    pub(super) settings: Settings,
    pump: Pump,
    pub(super) line: Line,
    bore: Option<Bore>,
    pub(super) full_flow_m3_per_h: f64,
    /// By month: the flow at which the system needs each tabulated head, m³/h. Zero where standing water already needs
    /// as much or more; infinite where no flow of this pump needs so much.
    pub(super) reach_m3_per_h: [Vec<f64>; 12],
}

/// One hour with all that it was worked out from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hour {
    /// Power that the array can give at the coupling, W.
    pub array_w: f64,
    /// Power offered to the pump, W: after the tracker or the booster; that of the array when wired directly.
    pub available_w: f64,
    /// How it came through the tracker, where there is one.
    pub passed: Option<Passed>,
    /// Power that the pump took, W, as the mean of the hour.
    pub power_taken_w: f64,
    /// Voltage at the pump, V, where it has one.
    pub voltage_v: Option<f64>,
    /// Current into the pump, A, where it has one.
    pub current_a: Option<f64>,
    /// Speed of the shaft, rad/s, where it is known.
    pub speed_rad_per_s: Option<f64>,
    /// Flow lifted while running, m³/h.
    pub flow_m3_per_h: f64,
    /// Flow before the well held it back, m³/h.
    pub free_flow_m3_per_h: f64,
    /// The head by cause; at no flow the static head.
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
    /// Offered to the tank, m³.
    pub offered_m3: f64,
    /// There is flow, at a drive below the lowest tabulated one at this head: the start rule made it.
    pub below_lowest_power: bool,
    /// The system curve left the table at its highest head.
    pub table_end: bool,
    /// There is flow, at a head below the lowest tabulated one.
    pub below_lowest_head: bool,
}

impl System {
    /// Makes pump, well and pipe ready.
    ///
    /// # Errors
    /// Every fault of the settings; a coupling that needs a voltage where the pump has none; a month whose static head the
    /// pump does not reach, or at which it has no flow even at full power.
    pub fn new(settings: &Settings) -> Result<Self, Vec<Fault>> {
        let mut faults = settings.well.faults();
        faults.extend(settings.coupling.faults());
        let mut keep = |mut found: Vec<Fault>| faults.append(&mut found);
        let line = Line::new(&settings.pipe).map_err(&mut keep).ok();
        let density = water_density_kg_per_m3(settings.pipe.water_degc);
        let pump = Pump::new(&settings.pump, density).map_err(&mut keep).ok();
        if let Some(pump) = &pump
            && !pump.machine().has_voltage()
            && !matches!(settings.coupling, coupling::Settings::Tracking(_))
        {
            faults.push(coupling::no_voltage(&settings.coupling));
        }
        let (Some(pump), Some(line), true) = (pump, line, faults.is_empty()) else {
            return Err(faults);
        };
        let mut system = Self {
            settings: settings.clone(),
            full_flow_m3_per_h: pump.machine().full_flow_m3_per_h(),
            pump,
            line,
            bore: settings.well.storage(),
            reach_m3_per_h: Default::default(),
        };
        system.check_static_head()?;
        if let (Some(table), None) = (system.pump.machine().table(), system.bore) {
            let heads: Vec<f64> = table.heads_m().collect();
            for month in 1..=12_u8 {
                let reach = system.reach(month, &heads);
                system.reach_m3_per_h[usize::from(month) - 1] = reach;
            }
        }
        Ok(system)
    }

    /// The settings it was made from.
    #[must_use]
    pub const fn settings(&self) -> &Settings {
        &self.settings
    }

    /// The pump.
    #[must_use]
    pub const fn pump(&self) -> &Pump {
        &self.pump
    }

    /// The pump's table, where it is made of one.
    #[must_use]
    pub fn table(&self) -> Option<&Surface> {
        self.pump.machine().table()
    }

    /// The head of a month, 1 to 12, at a flow with its settled drawdown.
    #[must_use]
    pub fn head(&self, month: u8, flow_m3_per_h: f64) -> Head {
        let drawdown_m = self.settings.well.drawdown_m(flow_m3_per_h);
        head_at(&self.settings, &self.line, month, flow_m3_per_h, drawdown_m).0
    }

    /// Advice on velocity and pressure class, for the greatest flow and the greatest pressure at the pump's outlet.
    #[must_use]
    pub fn advice(&self, flow_m3_per_h: f64, pressure_m: f64) -> Vec<Advice> {
        advice(&self.settings.pipe.runs, self.line.runs(), flow_m3_per_h, pressure_m)
    }

    /// The state before the first hour: the pump stands, the well is at rest, the riser is drained.
    #[must_use]
    pub fn at_rest(&self) -> State {
        State { running: false, drawdown_m: 0.0, empty_m3: self.line.drains_m3(), wait: Wait::No }
    }

    /// One hour by itself, from rest: its month, 1 to 12, and what the array can give, W.
    #[must_use]
    pub fn hour(&self, month: u8, array_w: f64) -> Hour {
        self.step(&mut self.at_rest(), month, &Power::watts(array_w), &mut Vec::new())
    }

    /// One hour by itself, from rest, with the array's curve.
    #[must_use]
    pub fn hour_on(&self, month: u8, power: &Power<'_>) -> Hour {
        self.step(&mut self.at_rest(), month, power, &mut Vec::new())
    }

    /// One hour after another: takes and leaves what is carried between them. `flows` is room to work in.
    pub fn step(&self, state: &mut State, month: u8, power: &Power<'_>, flows: &mut Vec<f64>) -> Hour {
        let offer = self.settings.coupling.offer(power);
        let mut hour = self.still(month, power, &offer);
        if offer.is_nothing() {
            hour.limit = Limit::Night;
            self.rest(state, 1.0);
        } else if let Some(bore) = self.bore {
            self.pump_from_bore(bore, state, month, &offer, &mut hour, flows);
        } else {
            self.pump_settled(state, month, &offer, &mut hour, flows);
        }
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
            Offer::Boosted { booster, best, .. } => (booster.efficiency * best.power_w, None),
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
                static_lift_m: level + self.settings.pipe.inlet_height_m,
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
            offered_m3: 0.0,
            below_lowest_power: false,
            table_end: false,
            below_lowest_head: false,
        }
    }

    /// The pump stands for a time: the water comes back, the riser drains.
    fn rest(&self, state: &mut State, time_h: f64) {
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
        here: &Here<'_>,
        hour: &mut Hour,
        flows: &mut Vec<f64>,
    ) -> Option<Running> {
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

    /// An hour without the bore's standing water.
    fn pump_settled(
        &self,
        state: &mut State,
        month: u8,
        offer: &Offer<'_>,
        hour: &mut Hour,
        flows: &mut Vec<f64>,
    ) {
        let here = Here { system: self, month, drawdown: Drawdown::Settled };
        let Some(running) = self.point(state, offer, &here, hour, flows) else {
            self.rest(state, 1.0);
            return;
        };
        let well = self.settings.well.sustained_m3_per_h(month);
        let held = running.flow_m3_per_h > well;
        self.add(state, hour, &here, &running, running.flow_m3_per_h.min(well), 1.0);
        if held {
            hour.limit = Limit::Well;
        }
    }

    /// Adds a run of the pump to the hour.
    fn add(
        &self,
        state: &mut State,
        hour: &mut Hour,
        here: &Here<'_>,
        running: &Running,
        flow_m3_per_h: f64,
        time_h: f64,
    ) {
        let (head, split) = here.head(flow_m3_per_h);
        state.running = true;
        hour.head = head;
        hour.limit = if running.table_end {
            Limit::TableEnd
        } else if running.at_limit {
            Limit::PumpLimit
        } else {
            Limit::Sun
        };
        (hour.voltage_v, hour.current_a) = (running.voltage_v, running.current_a);
        hour.speed_rad_per_s = running.speed_rad_per_s;
        hour.free_flow_m3_per_h = running.flow_m3_per_h;
        hour.power_taken_w += running.power_w * time_h;
        hour.running_h += time_h;
        hour.below_lowest_power |= running.below_lowest_drive;
        hour.table_end |= running.table_end;
        hour.below_lowest_head |= running.below_lowest_head;
        hour.lifted_m3 += flow_m3_per_h * time_h;
        hour.flow_m3_per_h = if hour.running_h > 0.0 { hour.lifted_m3 / hour.running_h } else { 0.0 };
        if !self.line.has_weep_hole() {
            hour.offered_m3 += flow_m3_per_h * time_h;
            return;
        }
        hour.weep_m3 += split.weep_m3_per_h * time_h;
        if split.delivered_m3_per_h > 0.0 {
            let filling_h = (state.empty_m3 / split.delivered_m3_per_h).min(time_h);
            let refill = split.delivered_m3_per_h * filling_h;
            state.empty_m3 = (state.empty_m3 - refill).max(0.0);
            hour.riser_refill_m3 += refill;
            hour.offered_m3 += split.delivered_m3_per_h * (time_h - filling_h);
        }
    }

    /// An hour with the bore's standing water: runs and stops until it is over.
    fn pump_from_bore(
        &self,
        bore: Bore,
        state: &mut State,
        month: u8,
        offer: &Offer<'_>,
        hour: &mut Hour,
        flows: &mut Vec<f64>,
    ) {
        let well = &self.settings.well;
        let level = well.static_level_m[usize::from(month.clamp(1, 12)) - 1];
        let cut_out = well.cut_out_level_m().map(|depth| depth - level);
        let mut left_h = 1.0;
        let mut cut = false;
        while left_h > 0.0 {
            let pause = match (state.wait, well.restart) {
                (Wait::No, _) => 0.0,
                (Wait::Hours(hours), _) => hours,
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
                Here { system: self, month, drawdown: Drawdown::Mean { bore, from_m, time_h: left_h } };
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

    /// The flow at which the system of a month needs each head.
    fn reach(&self, month: u8, heads: &[f64]) -> Vec<f64> {
        let need = |q: f64| self.head(month, q).total_m();
        let (still, full) = (need(0.0), need(self.full_flow_m3_per_h));
        heads
            .iter()
            .map(|&h| {
                if still >= h {
                    0.0
                } else if full < h {
                    f64::INFINITY
                } else {
                    falling_root(|q| h - need(q), 0.0, self.full_flow_m3_per_h, 1e-14 * h)
                }
            })
            .collect()
    }

    fn check_static_head(&self) -> Result<(), Vec<Fault>> {
        let machine = self.pump.machine();
        let top = machine.highest_head_m();
        let heads: Vec<f64> = (1..=12).map(|m| self.head(m, 0.0).total_m()).collect();
        let unreached = |h: &f64| *h > top || machine.full_flow_at(*h) <= 0.0;
        let count = heads.iter().filter(|h| unreached(h)).count();
        let worst = heads.iter().enumerate().max_by(|a, b| a.1.total_cmp(b.1));
        let Some((month, head_m)) = worst.filter(|_| count > 0) else {
            return Ok(());
        };
        let well = &self.settings.well;
        let pipe = &self.settings.pipe;
        let others = match count {
            1 => String::new(),
            n => format!(" and {} other month{}", n - 1, if n == 2 { "" } else { "s" }),
        };
        let is_table = machine.table().is_some();
        let accepted = match (*head_m > top, is_table) {
            (true, true) => format!("at most {top} m, the highest head of the table"),
            (true, false) => format!("at most {top:.2} m, the highest head of the pump"),
            (false, true) => "a head at which the table has flow".into(),
            (false, false) => "a head at which the pump has flow".into(),
        };
        Err(vec![Fault::at_key(
            self.settings.pump.key(),
            FaultKind::CannotRun,
            format!(
                "static head {head_m:.2} m in {}{others} (level {} m, inlet {} m, discharge pressure {} m)",
                MONTHS[month], well.static_level_m[month], pipe.inlet_height_m, pipe.discharge_pressure_m
            ),
            accepted,
            if is_table {
                "add the maker's rows for greater heads, choose a pump that reaches it, or check well.static_level and \
                 the heights"
            } else {
                "choose a pump that reaches it, or check well.static_level and the heights"
            },
        )])
    }
}
