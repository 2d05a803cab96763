//! Pump, well and pipe together: the operating point.

use super::head::head;
use super::root::falling_root;
use super::{Head, Limit, Settings};
use crate::fault::{Fault, FaultKind};
use crate::pipe::Line;
use crate::pump::{Duty, Place, Start, duty::between};

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

/// Share of the table's greatest flow to which the operating point is found.
const FLOW_TOLERANCE: f64 = 1e-11;

/// Pump, well and pipe made ready: the flow of any hour.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | P | power after the tracker | W | ≥ 0 |
/// | Q | flow | m³/h | ≥ 0 |
/// | H_sys | head that the system needs at a flow | m | |
///
/// # Equation
/// The flow is where pump and system meet: `Q = Q_pump(H_sys(Q), P)`, with [`Duty`] for the pump and [`Head`] for the
/// system. One side falls with Q, the other rises: there is one such flow, found to 10⁻¹¹ of the table's greatest.
/// - Below the lowest tabulated head the pump gives the flow of that head.
/// - Where the pump would be driven beyond the highest tabulated head, the flow is the one at which the system needs
///   exactly that head: less than the true one, because the system curve rises.
/// - Without a start power there is no flow at less than the lowest tabulated power at the head, interpolated between the
///   tabulated heads; the flow is held where the head just asks for the power there is.
/// - A yield below that flow takes its place: the pump is throttled, and is taken to draw the power of the free flow.
///
/// # Validity
/// The hour's mean power stands for the hour. No memory from hour to hour. A static head above the highest tabulated
/// head is refused.
///
/// # Example
/// ```
/// use dryspell::{pipe, pump, supply, well};
/// let row = |head_m, power_w, flow_m3_per_h| pump::DutyPoint { head_m, power_w, flow_m3_per_h };
/// let settings = supply::Settings {
///     pump: pump::Settings {
///         duty: vec![row(20.0, 100.0, 0.6), row(20.0, 200.0, 1.2), row(40.0, 100.0, 0.2), row(40.0, 200.0, 0.8)],
///         start: pump::Start::Zero,
///         tracking_efficiency: 1.0,
///     },
///     // 10 m of drawdown for each m³/h.
///     well: well::Settings {
///         static_level_m: [20.0; 12], specific_capacity_m3_per_h_m: Some(0.1), yield_m3_per_h: None,
///     },
///     pipe: pipe::Settings { runs: vec![], inlet_height_m: 0.0, discharge_pressure_m: 0.0, water_degc: 15.0 },
/// };
/// let system = supply::System::new(&settings).map_err(|faults| faults[0].to_string())?;
/// // At 200 W the pump gives 1.2 − 0.02 (H − 20), the system needs 20 + 10 Q: Q = 1.2 − 0.2 Q = 1 m³/h at 30 m.
/// let hour = system.hour(6, 200.0);
/// assert!((hour.flow_m3_per_h - 1.0).abs() < 1e-10 && (hour.head.total_m() - 30.0).abs() < 1e-8);
/// # Ok::<(), String>(())
/// ```
///
/// # References
/// The intersection of pump and system curve is in any hydraulics text, such as G. M. Masters, *Renewable and Efficient
/// Electric Power Systems* (2004), section 9.6.
#[derive(Debug, Clone, PartialEq)]
pub struct System {
    settings: Settings,
    duty: Duty,
    line: Line,
    full_flow_m3_per_h: f64,
    /// By month: the flow at which the system needs each tabulated head, m³/h. Zero where standing water already needs
    /// as much or more; infinite where no flow of this pump needs so much.
    reach_m3_per_h: [Vec<f64>; 12],
}

/// One hour with all that it was worked out from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hour {
    /// Power that the array can give at the coupling, W.
    pub array_w: f64,
    /// Power offered to the pump after the tracker, W.
    pub available_w: f64,
    /// Power that the pump took, W.
    pub power_taken_w: f64,
    /// Flow, m³/h.
    pub flow_m3_per_h: f64,
    /// Flow before the well's yield held it back, m³/h.
    pub free_flow_m3_per_h: f64,
    /// The head by cause; at no flow the static head.
    pub head: Head,
    /// What set the flow.
    pub limit: Limit,
    /// There is flow, at a power below the lowest tabulated one at this head: the start rule made it.
    pub below_lowest_power: bool,
    /// The system curve left the table at its highest head.
    pub table_end: bool,
    /// There is flow, at a head below the lowest tabulated one.
    pub below_lowest_head: bool,
}

/// Where the pump meets the system.
struct Meeting {
    flow_m3_per_h: f64,
    place: Place,
    table_end: bool,
    below_lowest_head: bool,
}

impl System {
    /// Makes pump, well and pipe ready.
    ///
    /// # Errors
    /// Every fault of the settings; a month whose static head the pump's table does not reach, or at which it has no flow
    /// even at full power.
    pub fn new(settings: &Settings) -> Result<Self, Vec<Fault>> {
        let mut faults = settings.well.faults();
        let mut keep = |mut found: Vec<Fault>| faults.append(&mut found);
        let duty = Duty::new(&settings.pump).map_err(&mut keep).ok();
        let line = Line::new(&settings.pipe).map_err(&mut keep).ok();
        let (Some(duty), Some(line), true) = (duty, line, faults.is_empty()) else {
            return Err(faults);
        };
        let mut system = Self {
            settings: settings.clone(),
            full_flow_m3_per_h: duty.full_flow_m3_per_h(),
            duty,
            line,
            reach_m3_per_h: Default::default(),
        };
        system.check_static_head()?;
        for month in 1..=12_u8 {
            let reach = system.reach(month);
            system.reach_m3_per_h[usize::from(month) - 1] = reach;
        }
        Ok(system)
    }

    /// The pump's surface.
    #[must_use]
    pub fn duty(&self) -> &Duty {
        &self.duty
    }

    /// The head of a month, 1 to 12, at a flow.
    #[must_use]
    pub fn head(&self, month: u8, flow_m3_per_h: f64) -> Head {
        head(&self.settings, &self.line, month, flow_m3_per_h)
    }

    /// One hour: its month, 1 to 12, and what the array can give, W.
    #[must_use]
    pub fn hour(&self, month: u8, array_w: f64) -> Hour {
        self.solve(month, array_w, &mut Vec::new())
    }

    /// [`System::hour`] with room for the flows at the tabulated heads.
    pub(super) fn solve(&self, month: u8, array_w: f64, flows: &mut Vec<f64>) -> Hour {
        let available_w = array_w * self.settings.pump.tracking_efficiency;
        let none = |limit| Hour {
            array_w,
            available_w,
            power_taken_w: 0.0,
            flow_m3_per_h: 0.0,
            free_flow_m3_per_h: 0.0,
            head: self.head(month, 0.0),
            limit,
            below_lowest_power: false,
            table_end: false,
            below_lowest_head: false,
        };
        if available_w.is_nan() || available_w <= 0.0 {
            return none(Limit::Night);
        }
        self.duty.at_power(available_w, flows);
        let mut met = self.meet(month, flows);
        if self.settings.pump.start == Start::Zero && available_w < self.duty.lowest_power_w(met.place) {
            met = self.hold_at_lowest_power(month, available_w, met);
        }
        if met.flow_m3_per_h <= 0.0 {
            return none(Limit::SunBelowStart);
        }
        let well = self.settings.well.yield_m3_per_h.unwrap_or(f64::INFINITY);
        let limit = if met.flow_m3_per_h > well {
            Limit::Well
        } else if met.table_end {
            Limit::TableEnd
        } else if self.duty.at_limit(met.place, available_w) {
            Limit::PumpLimit
        } else {
            Limit::Sun
        };
        let flow_m3_per_h = met.flow_m3_per_h.min(well);
        Hour {
            array_w,
            available_w,
            power_taken_w: self.duty.power_taken_w(met.place, available_w),
            flow_m3_per_h,
            free_flow_m3_per_h: met.flow_m3_per_h,
            head: self.head(month, flow_m3_per_h),
            limit,
            below_lowest_power: available_w < self.duty.lowest_power_w(met.place),
            table_end: met.table_end,
            below_lowest_head: met.below_lowest_head,
        }
    }

    /// Between two tabulated heads the lower one's curve still gives flow at powers below the lowest of both at that
    /// head, interpolated. Without a start power there is none there: the pump stops, the water falls back, it starts
    /// again, and the flow is the one whose head just asks for the power there is. None at all when standing water
    /// already asks for more.
    fn hold_at_lowest_power(&self, month: u8, available_w: f64, met: Meeting) -> Meeting {
        let place = |flow: f64| self.duty.place(self.head(month, flow).total_m());
        let suffices = |flow: f64| available_w >= self.duty.lowest_power_w(place(flow));
        let (mut low, mut high) = (0.0, met.flow_m3_per_h);
        if !suffices(low) {
            return Meeting { flow_m3_per_h: 0.0, ..met };
        }
        while high - low > FLOW_TOLERANCE * self.full_flow_m3_per_h {
            let middle = 0.5 * (low + high);
            if suffices(middle) { low = middle } else { high = middle }
        }
        Meeting { flow_m3_per_h: low, place: place(low), ..met }
    }

    /// Where the pump, with these flows at the tabulated heads, meets the system of a month.
    fn meet(&self, month: u8, flows: &[f64]) -> Meeting {
        let reach = &self.reach_m3_per_h[usize::from(month.clamp(1, 12)) - 1];
        // Up the heads, the pump gives ever less and the system passes ever more: they cross once.
        let above = flows.iter().zip(reach).position(|(pump, system)| pump < system).unwrap_or(flows.len());
        let end = |index: usize, flow_m3_per_h, table_end| Meeting {
            flow_m3_per_h,
            place: Place { index, weight: 0.0 },
            table_end,
            below_lowest_head: !table_end,
        };
        if above == 0 {
            return end(0, flows[0], false);
        }
        let k = above - 1;
        if above == flows.len() {
            return end(k, reach[k], flows[k] > reach[k]);
        }
        let place = |q: f64| Place { index: k, weight: self.duty.weight(k, self.head(month, q).total_m()) };
        let low = reach[k].max(flows[k + 1]);
        let high = flows[k].min(reach[k + 1]);
        let surplus = |q: f64| between(flows, place(q)) - q;
        let flow_m3_per_h = falling_root(surplus, low, high, FLOW_TOLERANCE * self.full_flow_m3_per_h);
        Meeting { flow_m3_per_h, place: place(flow_m3_per_h), table_end: false, below_lowest_head: false }
    }

    /// The flow at which the system of a month needs each tabulated head.
    fn reach(&self, month: u8) -> Vec<f64> {
        let need = |q: f64| self.head(month, q).total_m();
        let (still, full) = (need(0.0), need(self.full_flow_m3_per_h));
        self.duty
            .heads_m()
            .map(|h| {
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
        let top = self.duty.highest_head_m();
        let heads: Vec<f64> = (1..=12).map(|m| self.head(m, 0.0).total_m()).collect();
        let full = |h: f64| self.duty.flow_m3_per_h(h, f64::INFINITY);
        let unreached = |h: &f64| *h > top || full(*h) <= 0.0;
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
        let accepted = if *head_m > top {
            format!("at most {top} m, the highest head of the table")
        } else {
            "a head at which the table has flow".into()
        };
        Err(vec![Fault::at_key(
            "pump.duty",
            FaultKind::CannotRun,
            format!(
                "static head {head_m:.2} m in {}{others} (level {} m, inlet {} m, discharge pressure {} m)",
                MONTHS[month], well.static_level_m[month], pipe.inlet_height_m, pipe.discharge_pressure_m
            ),
            accepted,
            "add the maker's rows for greater heads, choose a pump that reaches it, or check well.static_level and the \
             heights",
        )])
    }
}
