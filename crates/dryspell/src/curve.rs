//! Flow against sun: what an inspector checks on site with an irradiance meter, a bucket and a watch.

use crate::array::circuit::Circuit;
use crate::array::{ArrayModel, Terminals};
use crate::coupling::Power;
use crate::fault::Faults;
use crate::pipe::water_density_kg_per_m3;
use crate::plan::Plan;
use crate::pump::surface::between;
use crate::pump::{self, Meeting, Pump, Site, Surface};
use crate::supply::{self, Hour, Limit, System};
use crate::well;

/// Irradiances on the panels' plane in the table, W/m².
pub const PLANE_W_PER_M2: [f64; 12] =
    [100.0, 200.0, 300.0, 400.0, 500.0, 600.0, 700.0, 800.0, 900.0, 1000.0, 1100.0, 1200.0];
/// Cell temperatures in the table, °C.
pub const CELL_DEGC: [f64; 4] = [10.0, 25.0, 40.0, 55.0];

/// The parts of the tolerance to expect on site, as shares: irradiance meter, panels, duty table, bucket and watch.
/// Judgement, no source.
pub const TOLERANCES: [(&str, f64); 4] =
    [("irradiance meter", 0.05), ("panels", 0.05), ("duty table", 0.10), ("bucket and watch", 0.03)];

/// The tolerance to expect of a measured flow: the root of the sum of the squares of [`TOLERANCES`].
///
/// # Example
/// ```
/// assert!((dryspell::curve::tolerance() - 0.126).abs() < 5e-4);
/// ```
#[must_use]
pub fn tolerance() -> f64 {
    TOLERANCES.iter().map(|(_, share)| share * share).sum::<f64>().sqrt()
}

/// One point of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Power of the arrays at the coupling, W.
    pub array_w: f64,
    /// Flow, m³/h.
    pub flow_m3_per_h: f64,
    /// Total dynamic head, m.
    pub head_m: f64,
    /// What sets the flow.
    pub limit: Limit,
}

/// Flow by irradiance and cell temperature at one month's water level.
#[derive(Debug, Clone, PartialEq)]
pub struct SunCurve {
    /// Month of the water level, 1 to 12.
    pub month: u8,
    /// Rows by [`PLANE_W_PER_M2`], columns by [`CELL_DEGC`].
    pub points: Vec<[Point; CELL_DEGC.len()]>,
    /// Irradiance at which water begins to flow, by [`CELL_DEGC`], W/m²; `None` where none up to 1500 W/m² does.
    pub start_w_per_m2: [Option<f64>; CELL_DEGC.len()],
}

/// Works out flow against sun for a plan, with the water level of a month (1 to 12).
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | I | irradiance on the panels' plane, measured in that plane | W/m² | 0 to 1500 |
/// | Tc | cell temperature (back of a panel plus about 2 K) | °C | −40 to 90 |
/// | Q | flow into the tank, the riser filled | m³/h | ≥ 0 |
///
/// # Equation
/// The chain of the run with `I (1 − soiling)` as the light on the cells of every array and `Tc` as their temperature:
/// one-diode module, cable, coupling, pump against the system curve, starting from rest.
///
/// # Validity
/// The sun within about 40° of the panels' normal (glass losses are left out), steady for some minutes, the same light
/// on every array, the float letting the pump run, the drawdown settled. Where rain washes dust off, the glass counts as clean.
///
/// # Example
/// ```
/// # use dryspell::scheme::{STARTER, Scheme};
/// # let plan = Scheme::from_toml(STARTER)?.plan();
/// use dryspell::curve::sun_curve;
/// let curve = sun_curve(&plan, 1)?;
/// assert_eq!(curve.month, 1);
/// # Ok::<(), dryspell::fault::Faults>(())
/// ```
///
/// # Errors
/// What keeps the scheme from running.
pub fn sun_curve(plan: &Plan, month: u8) -> Result<SunCurve, Faults> {
    let sun = SteadySun::new(plan)?;
    let point = |plane: f64, cell_degc: f64| {
        let hour = sun.hour(month, plane, cell_degc);
        Point {
            array_w: hour.array_w,
            flow_m3_per_h: delivered_m3(&hour),
            head_m: hour.head.total_m(),
            limit: if hour.limit == Limit::Night { Limit::SunBelowStart } else { hour.limit },
        }
    };
    Ok(SunCurve {
        month,
        points: PLANE_W_PER_M2.iter().map(|plane| CELL_DEGC.map(|cell| point(*plane, cell))).collect(),
        start_w_per_m2: CELL_DEGC.map(|cell| sun.reaches(month, cell, |hour| delivered_m3(hour) > 0.0)),
    })
}

/// What flows into the tank where the riser is full: what the weep hole leaves, m³ in an hour.
fn delivered_m3(hour: &Hour) -> f64 {
    hour.available_m3 + hour.riser_refill_m3
}

/// Panels, coupling, pump, well and pipe in a steady sun, the water level settled; see [`sun_curve`] for equation and validity.
#[derive(Debug)]
pub(crate) struct SteadySun<'a> {
    arrays: Vec<ArrayModel<'a>>,
    terminals: Terminals,
    system: System,
}

impl<'a> SteadySun<'a> {
    /// Makes the parts of a plan ready.
    ///
    /// # Errors
    /// What keeps the scheme from running.
    pub(crate) fn new(plan: &'a Plan) -> Result<Self, Faults> {
        let models = plan.array.arrays.iter().map(|array| ArrayModel::new(array, None));
        let arrays = models.collect::<Result<Vec<_>, _>>().map_err(Faults::from)?;
        // The standing water of the bore has run its course.
        let well = well::Settings { bore: None, restart: None, ..plan.supply.well.clone() };
        let system = System::new(&supply::Settings { well, ..plan.supply.clone() })?;
        Ok(Self { arrays, terminals: plan.array.terminals, system })
    }

    /// An hour from rest at an irradiance on the plane, W/m², and a cell temperature, °C, with the water level of a month, 1 to 12.
    pub(crate) fn hour(&self, month: u8, plane_w_per_m2: f64, cell_degc: f64) -> Hour {
        let light = |a: &ArrayModel| plane_w_per_m2 * (1.0 - a.settings.soiling.constant());
        let strings = self.arrays.iter().filter_map(|a| a.wiring().string(light(a), cell_degc)).collect();
        self.system.hour_on(month, &Power::of(&Circuit { strings }, self.terminals))
    }

    /// The least irradiance on the plane, W/m², at which something holds that holds at all above it; `None` where it does not at
    /// 1500 W/m².
    pub(crate) fn reaches(&self, month: u8, cell_degc: f64, holds: impl Fn(&Hour) -> bool) -> Option<f64> {
        let holds = |plane: f64| holds(&self.hour(month, plane, cell_degc));
        let (mut low, mut high) = (0.0, 1500.0);
        if !holds(high) {
            return None;
        }
        // More sun is never less flow, so halving finds the threshold; 0.1 W/m² is finer than any meter.
        while high - low > 0.1 {
            let middle = 0.5 * (low + high);
            if holds(middle) { high = middle } else { low = middle }
        }
        Some(high)
    }

    /// An hour from rest in which the pump has all the power that it can take.
    pub(crate) fn at_full_input(&self, month: u8) -> Hour {
        self.system.at_full_input(month)
    }
}

/// A pump at one head: what it gives at a power.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PowerPoint {
    /// Electrical power that it takes, W.
    pub power_w: f64,
    /// Flow, m³/h.
    pub flow_m3_per_h: f64,
}

/// Steps of the drive from nothing to the pump's greatest, see [`power_curve`].
const POWER_STEPS: u32 = 200;

/// What a pump gives against the power that it takes, at one head: the curve of its data sheet at the head of the scheme.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | H | head, held whatever the flow | m | below the pump's highest |
/// | P | electrical power into the pump or its controller | W | |
/// | Q | flow | m³/h | |
///
/// # Equation
/// The pump's own law ([`crate::pump::Machine`]) along its drive, in 200 even steps; the first point is the one at which water
/// begins to flow. Empty where the pump gives nothing at the head.
///
/// # Validity
/// That of the pump. The well's yield, the pipe and the coupling have no part in it, nor has what it takes to break away.
///
/// # Example
/// ```
/// use dryspell::curve::power_curve;
/// use dryspell::pump::{DutyPoint, Settings, Start};
/// let row = |head_m, power_w, flow_m3_per_h| DutyPoint { head_m, power_w, flow_m3_per_h };
/// let rows = vec![row(20.0, 100.0, 0.6), row(20.0, 200.0, 1.2), row(40.0, 100.0, 0.2), row(40.0, 200.0, 0.8)];
/// let curve = power_curve(&Settings::duty(rows, Start::Zero), 15.0, 30.0).map_err(|faults| faults[0].to_string())?;
/// // Two points each way: linear interpolation, from 0.4 m³/h at 100 W to 1.0 m³/h at 200 W.
/// let (first, last) = (curve[0], curve[curve.len() - 1]);
/// assert!((first.power_w, last.power_w) == (100.0, 200.0));
/// assert!((first.flow_m3_per_h - 0.4).abs() < 1e-12 && (last.flow_m3_per_h - 1.0).abs() < 1e-12);
/// # Ok::<(), String>(())
/// ```
///
/// # References
/// Flow by power at constant head is what IEC 62253:2011 asks of a maker's test.
///
/// # Errors
/// Every fault of the pump's settings.
pub fn power_curve(pump: &pump::Settings, water_degc: f64, head_m: f64) -> Result<Vec<PowerPoint>, Faults> {
    let pump = Pump::new(pump, water_density_kg_per_m3(water_degc))?;
    let machine = pump.machine();
    let at = ConstantHead { head_m };
    let mut flows = Vec::new();
    let top = machine.top_drive();
    let mut points: Vec<PowerPoint> = Vec::new();
    for step in 1..=POWER_STEPS {
        let drive = top * f64::from(step) / f64::from(POWER_STEPS);
        let running = machine.run(drive, &at, &mut flows);
        if running.margin < 0.0 {
            break;
        }
        if running.flow_m3_per_h > 0.0 {
            points.push(PowerPoint { power_w: running.power_w, flow_m3_per_h: running.flow_m3_per_h });
        }
    }
    Ok(points)
}

/// A head that does not change with the flow.
struct ConstantHead {
    head_m: f64,
}

impl Site for ConstantHead {
    fn head_m(&self, _flow_m3_per_h: f64) -> f64 {
        self.head_m
    }

    fn meet(&self, surface: &Surface, drive: f64, flows: &[f64]) -> Meeting {
        let place = surface.place(self.head_m);
        let beyond = self.head_m > surface.highest_head_m();
        let stands = beyond || (surface.stands_below_lowest() && drive < surface.lowest_drive(place));
        Meeting {
            flow_m3_per_h: if stands { 0.0 } else { between(flows, place) },
            place,
            table_end: beyond,
            below_lowest_head: self.head_m < surface.lowest_head_m(),
        }
    }
}
