//! Pump, well and pipe made ready.

use super::head::head_at;
use super::state::{State, Wait};
use super::{Head, Hour, Settings};
use crate::calendar::HOURS_PER_DAY;
use crate::coupling::{self, Offer, Power};
use crate::fault::{Fault, FaultKind, Faults};
use crate::pipe::{Advice, Line, advice, water_density_kg_per_m3};
use crate::pump::{Pump, Surface};
use crate::root::falling_root;
use crate::well::Bore;

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
/// its current must be the one that the coupling offers at it ([`crate::coupling::Offer`]): available current falls along the pump's drive,
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
    pub(super) pump: Pump,
    pub(super) line: Line,
    pub(super) bore: Option<Bore>,
    pub(super) full_flow_m3_per_h: f64,
    /// By month: the flow at which the system needs each tabulated head, m³/h. Zero where standing water already needs
    /// as much or more; infinite where no flow of this pump needs so much.
    pub(super) reach_m3_per_h: [Vec<f64>; 12],
}

impl System {
    /// Makes pump, well and pipe ready.
    ///
    /// # Errors
    /// Every fault of the settings; a coupling that needs a voltage where the pump has none; a month whose static head the
    /// pump does not reach, or at which it has no flow even at full power.
    pub fn new(settings: &Settings) -> Result<Self, Faults> {
        let mut faults = settings.well.faults();
        faults.extend(settings.coupling.faults());
        let mut keep = |found: Faults| faults.extend(found);
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
            return Err(faults.into());
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

    /// Advice on velocity at the greatest flow.
    #[must_use]
    pub fn advice(&self, flow_m3_per_h: f64) -> Vec<Advice> {
        advice(&self.settings.pipe.runs, self.line.runs(), flow_m3_per_h)
    }

    /// The state before the first hour: the pump stands, the well is at rest, the riser is drained.
    #[must_use]
    pub fn at_rest(&self) -> State {
        State { running: false, drawdown_m: 0.0, empty_m3: self.line.drains_m3(), wait: Wait::No }
    }

    /// Whether the bore or the riser hands something on that may last for more than a night.
    pub(super) fn remembers(&self) -> bool {
        self.bore.is_some() || self.line.drains_m3() > 0.0
    }

    /// Whether it makes a difference to later hours that the float stops the pump: the well comes back, the riser drains, a
    /// motor must break away again.
    #[must_use]
    pub fn feels_the_float(&self) -> bool {
        self.remembers() || self.pump.machine().breakaway(0.0).is_some()
    }

    /// Hours before a repeating year that are followed first: most wells and risers have forgotten by then what came before,
    /// and the year ends as it began in its first round.
    pub(super) fn remembers_h(&self) -> usize {
        if self.remembers() { 31 * HOURS_PER_DAY } else { HOURS_PER_DAY }
    }

    /// One hour by itself, from rest: its month, 1 to 12, and what the array can give, W.
    #[must_use]
    pub fn hour(&self, month: u8, array_w: f64) -> Hour {
        self.step(&mut self.at_rest(), month, &Power::watts(array_w), 1.0, &mut Vec::new())
    }

    /// One hour by itself, from rest, with the array's curve.
    #[must_use]
    pub fn hour_on(&self, month: u8, power: &Power<'_>) -> Hour {
        self.step(&mut self.at_rest(), month, power, 1.0, &mut Vec::new())
    }

    /// One hour by itself, from rest, in which the pump has all the power that it can take: month from 1 to 12.
    #[must_use]
    pub fn at_full_input(&self, month: u8) -> Hour {
        let machine = self.pump.machine();
        let watts = if machine.is_driven_by_power() { machine.top_drive() } else { f64::INFINITY };
        let offer = Offer::Power { watts, passed: None };
        let power = Power::watts(watts);
        self.step_on(&mut self.at_rest(), month, (&power, &offer), 1.0, &mut Vec::new())
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

    fn check_static_head(&self) -> Result<(), Faults> {
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
        let levels = &well.static_level_m;
        let when = match count {
            12 if levels.iter().all(|level| level.total_cmp(&levels[0]).is_eq()) => "all year".to_owned(),
            1 => format!("in {}", MONTHS[month]),
            n => format!("in {} and {} other month{}", MONTHS[month], n - 1, if n == 2 { "" } else { "s" }),
        };
        let is_table = machine.table().is_some();
        let accepted = match (*head_m > top, is_table) {
            (true, true) => format!("at most {top} m, the highest head of the table"),
            (true, false) => format!("at most {top:.2} m, the highest head of the pump"),
            (false, true) => "a head at which the table has flow".into(),
            (false, false) => "a head at which the pump has flow".into(),
        };
        Err(Faults::from(Fault::at_key(
            self.settings.pump.key(),
            FaultKind::CannotRun,
            format!(
                "static head {head_m:.2} m {when} (level {} m, inlet {} m, discharge pressure {} m)",
                levels[month], pipe.inlet_height_m, pipe.discharge_pressure_m
            ),
            accepted,
            if is_table {
                "add the maker's rows for greater heads, choose a pump that reaches it, or check well.static_level and \
                 the heights"
            } else {
                "choose a pump that reaches it, or check well.static_level, the heights, and the pump's own values with their units"
            },
        )))
    }
}
