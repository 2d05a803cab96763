//! The duty table of a pump as a surface: flow by head and power.

use super::{Pchip, Settings, Start, check};
use crate::fault::Fault;

/// The flow of a pump by head and power, from its duty table.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | H | total dynamic head | m | below the highest tabulated head |
/// | P | electrical power into the pump's controller | W | ≥ 0 |
/// | Q | flow | m³/h | ≥ 0 |
///
/// # Equation
/// Rows of exactly equal head form a curve `q_i(P)`:
/// - between its lowest and highest power, the monotone cubic [`Pchip`];
/// - above its highest power, the flow of that power: the pump is at its limit;
/// - below its lowest power `(P₁, Q₁)`, what [`Start`] says. [`Start::Zero`]: nothing. [`Start::Power`]: a straight
///   line from zero flow at that power. [`Start::BestEfficiency`]: a straight line to zero flow at
///   `P₁ − ρ g H Q₁ / η*`, with `η*` the greatest `ρ g H Q / P` of the whole table (`ρ g` cancels).
///
/// A lower head never gives less: `q*_i(P) = max(q_j(P), H_j ≥ H_i)`. In a table whose heads share their powers this
/// changes nothing; elsewhere it lets a row at a greater head speak for the lower heads that have no row there.
///
/// Between two heads `Q = q*_i (1 − w) + q*_{i+1} w`. The weight `w` runs from 0 to 1 as the monotone cubic across
/// heads does at the table's full power; so at full power this *is* that cubic. A cubic made afresh at each power
/// would let flow fall as power rises (see [`Pchip`], validity); one fixed weight cannot. Below the lowest head the flow
/// is that of the lowest head, on the dry side. Above the highest head nothing is known: [`Duty::at_power`] keeps the
/// flow of the highest head, and whoever asks must not use it for more than finding where the system curve leaves the
/// table.
///
/// # Validity
/// Flow never rises with head and never falls with power. A start rule other than zero goes beyond the table; with
/// zero the flow jumps from nothing to `Q₁` at the lowest power.
///
/// # Example
/// ```
/// use dryspell::pump::{Duty, DutyPoint, Settings, Start};
/// let row = |head_m, power_w, flow_m3_per_h| DutyPoint { head_m, power_w, flow_m3_per_h };
/// let duty = Duty::new(&Settings {
///     duty: vec![row(20.0, 100.0, 0.6), row(20.0, 200.0, 1.2), row(40.0, 100.0, 0.2), row(40.0, 200.0, 0.8)],
///     start: Start::Zero,
///     tracking_efficiency: 1.0,
/// })
/// .map_err(|faults| faults[0].to_string())?;
/// // Two points each way: straight lines, so the middle is the mean of the four.
/// assert!((duty.flow_m3_per_h(30.0, 150.0) - 0.7).abs() < 1e-12);
/// # Ok::<(), String>(())
/// ```
///
/// # References
/// Interpolation: see [`Pchip`]. The surface between heads is our own construction. Test data of this shape (flow by
/// power at constant head) are what IEC 62253:2011 asks of a maker.
#[derive(Debug, Clone, PartialEq)]
pub struct Duty {
    heads: Vec<Head>,
    best_head_flow_per_power: f64,
}

/// One head's curve and the shape of the step to the next head.
#[derive(Debug, Clone, PartialEq)]
struct Head {
    head_m: f64,
    curve: Pchip,
    start: StartLine,
    /// Power above which more power gives no more flow, W.
    top_power_w: f64,
    /// Least power at which this head or a higher one has a row: a lower head never asks for more.
    lowest_power_w: f64,
    /// Height of the interval up to the next head, m; infinite at the last one.
    step_m: f64,
    /// Slopes of the weight at the interval's ends, for an interval of unit height.
    weight_slopes: [f64; 2],
}

/// Flow below the lowest tabulated power: `slope · (power − from)`, nothing below `from`.
#[derive(Debug, Clone, Copy, PartialEq)]
struct StartLine {
    from_w: f64,
    slope_m3_per_h_w: f64,
}

impl Head {
    fn flow(&self, power_w: f64) -> f64 {
        if power_w >= self.curve.first().0 {
            self.curve.at(power_w)
        } else if power_w > self.start.from_w {
            (power_w - self.start.from_w) * self.start.slope_m3_per_h_w
        } else {
            0.0
        }
    }

    fn weight(&self, head_m: f64) -> f64 {
        let t = ((head_m - self.head_m) / self.step_m).clamp(0.0, 1.0);
        let [a, b] = self.weight_slopes;
        (t * (a + t * (3.0 - 2.0 * a - b + t * (a + b - 2.0)))).clamp(0.0, 1.0)
    }
}

/// Where a head lies between the tabulated ones.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Index of the tabulated head below, or of the nearest one beyond the table's ends.
    pub index: usize,
    /// Weight of the next head, 0 to 1.
    pub weight: f64,
}

impl Duty {
    /// The surface of a duty table.
    ///
    /// # Errors
    /// All faults of the table and of the start power, each naming its row.
    pub fn new(settings: &Settings) -> Result<Self, Vec<Fault>> {
        let groups = check::groups(settings)?;
        let best = settings.duty.iter().map(|p| p.head_m * p.flow_m3_per_h / p.power_w).fold(0.0, f64::max);
        let mut heads: Vec<Head> = groups
            .into_iter()
            .map(|(head_m, curve)| {
                let start = start_line(settings.start, head_m, curve.first(), best);
                let (lowest_power_w, top_power_w) = (curve.first().0, curve.last().0);
                Head {
                    head_m,
                    curve,
                    start,
                    top_power_w,
                    lowest_power_w,
                    step_m: f64::INFINITY,
                    weight_slopes: [1.0, 1.0],
                }
            })
            .collect();
        let full = lift_from_above(&mut heads);
        shape_weights(&mut heads, &full);
        Ok(Self { heads, best_head_flow_per_power: best })
    }

    /// The tabulated heads, m, rising.
    #[must_use]
    pub fn heads_m(&self) -> impl ExactSizeIterator<Item = f64> + '_ {
        self.heads.iter().map(|h| h.head_m)
    }

    /// The lowest tabulated head, m.
    #[must_use]
    pub fn lowest_head_m(&self) -> f64 {
        self.heads.first().map_or(0.0, |h| h.head_m)
    }

    /// The highest tabulated head, m.
    #[must_use]
    pub fn highest_head_m(&self) -> f64 {
        self.heads.last().map_or(0.0, |h| h.head_m)
    }

    /// The greatest flow of the table, m³/h.
    #[must_use]
    pub fn full_flow_m3_per_h(&self) -> f64 {
        self.heads.iter().map(|h| h.curve.last().1).fold(0.0, f64::max)
    }

    /// The best efficiency of the table's rows, wire to water, 0 to 1.
    #[must_use]
    pub fn best_efficiency(&self, density_kg_per_m3: f64) -> f64 {
        super::hydraulic_power_w(density_kg_per_m3, 1.0, self.best_head_flow_per_power)
    }

    /// Fills `flows` with the flow at each tabulated head at one power, m³/h; they never rise along the list.
    pub fn at_power(&self, power_w: f64, flows: &mut Vec<f64>) {
        flows.clear();
        flows.extend(self.heads.iter().map(|h| h.flow(power_w)));
        for i in (1..flows.len()).rev() {
            flows[i - 1] = flows[i - 1].max(flows[i]);
        }
    }

    /// Where a head lies between the tabulated ones.
    #[must_use]
    pub fn place(&self, head_m: f64) -> Place {
        let upper = self.heads.partition_point(|h| h.head_m <= head_m);
        if upper == 0 {
            Place { index: 0, weight: 0.0 }
        } else if upper == self.heads.len() {
            Place { index: upper - 1, weight: 0.0 }
        } else {
            Place { index: upper - 1, weight: self.heads[upper - 1].weight(head_m) }
        }
    }

    /// Weight of head `index + 1` at a head, known to lie between heads `index` and `index + 1`.
    pub(crate) fn weight(&self, index: usize, head_m: f64) -> f64 {
        self.heads[index].weight(head_m)
    }

    /// Flow, m³/h, at a head and a power (above the highest head: the flow of the highest head).
    #[must_use]
    pub fn flow_m3_per_h(&self, head_m: f64, power_w: f64) -> f64 {
        let mut flows = Vec::with_capacity(self.heads.len());
        self.at_power(power_w, &mut flows);
        between(&flows, self.place(head_m))
    }

    /// Power that the pump takes of what is offered, W, at a place: none above what gives more flow.
    #[must_use]
    pub fn power_taken_w(&self, place: Place, power_w: f64) -> f64 {
        self.mix(place, |h| power_w.min(h.top_power_w))
    }

    /// Whether more power would give no more flow at a place.
    #[must_use]
    pub fn at_limit(&self, place: Place, power_w: f64) -> bool {
        let next = if place.weight > 0.0 { place.index + 1 } else { place.index };
        self.heads[place.index..=next].iter().all(|h| power_w >= h.top_power_w)
    }

    /// The lowest tabulated power at a place, W; between heads in the same proportion as the flow.
    #[must_use]
    pub fn lowest_power_w(&self, place: Place) -> f64 {
        self.mix(place, |h| h.lowest_power_w)
    }

    fn mix(&self, place: Place, value: impl Fn(&Head) -> f64) -> f64 {
        let low = value(&self.heads[place.index]);
        match self.heads.get(place.index + 1) {
            Some(next) if place.weight > 0.0 => low + (value(next) - low) * place.weight,
            _ => low,
        }
    }
}

/// The flow at a place, from the flows at the tabulated heads.
pub(crate) fn between(flows: &[f64], place: Place) -> f64 {
    let low = flows[place.index];
    match flows.get(place.index + 1) {
        Some(next) if place.weight > 0.0 => low + (next - low) * place.weight,
        _ => low,
    }
}

fn start_line(start: Start, head_m: f64, (power_w, flow): (f64, f64), best: f64) -> StartLine {
    let from_w = match start {
        Start::Zero => power_w,
        Start::Power(from_w) => from_w,
        Start::BestEfficiency if best > 0.0 => power_w - head_m * flow / best,
        Start::BestEfficiency => power_w,
    };
    if from_w < power_w {
        StartLine { from_w, slope_m3_per_h_w: flow / (power_w - from_w) }
    } else {
        StartLine { from_w: power_w, slope_m3_per_h_w: 0.0 }
    }
}

/// Full flow at each head once a lower head gives no less than a higher one; sets the power where it is reached.
fn lift_from_above(heads: &mut [Head]) -> Vec<f64> {
    let mut full: Vec<f64> = heads.iter().map(|h| h.curve.last().1).collect();
    for i in (1..heads.len()).rev() {
        heads[i - 1].lowest_power_w = heads[i - 1].lowest_power_w.min(heads[i].lowest_power_w);
        if full[i - 1] < full[i] {
            full[i - 1] = full[i];
            heads[i - 1].top_power_w = heads[i].top_power_w;
        }
    }
    full
}

/// Sets the weights between heads to the course of the monotone cubic through the full flows.
fn shape_weights(heads: &mut [Head], full: &[f64]) {
    let x: Vec<f64> = heads.iter().map(|h| h.head_m).collect();
    let Some(cubic) = Pchip::new(&x, full) else {
        return;
    };
    let slopes = cubic.slopes();
    for i in 0..heads.len() - 1 {
        let step = x[i + 1] - x[i];
        heads[i].step_m = step;
        let rise = full[i + 1] - full[i];
        if rise < 0.0 {
            heads[i].weight_slopes = [slopes[i] * step / rise, slopes[i + 1] * step / rise];
        }
    }
}
