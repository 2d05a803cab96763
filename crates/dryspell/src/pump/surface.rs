//! Flow by head and drive (power or voltage) from tabulated rows.

use super::{Pchip, Row, Start};

/// Share of a table's voltage that a pump needs at the least to turn at all; common practice, no source.
const LEAST_LOSS: f64 = 0.1;

/// Flow by head and *drive*: the electrical power, or the voltage, that a table's rows are given for.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | H | total dynamic head | m | below the highest tabulated head |
/// | x | drive | W or V | ≥ 0 |
/// | Q | flow | m³/h | ≥ 0 |
///
/// # Equation
/// Rows of exactly equal head form a curve `q_i(x)`:
/// - between its lowest and highest drive, the monotone cubic [`Pchip`];
/// - above its highest drive, the flow of that drive: the pump is at its limit;
/// - below its lowest drive `(x₁, Q₁)`, what [`Start`] says. [`Start::Zero`]: nothing. [`Start::From`]: a straight line
///   from zero flow at that drive. [`Start::BestEfficiency`]: a straight line to zero flow at
///   `x₁ (1 − ρ g H Q₁ / (η* P₁))`, with `P₁` the power of that row and `η*` the greatest `ρ g H Q / P` of the whole
///   table (`ρ g` cancels). [`Start::Proportional`]: a straight line from zero flow at zero drive. [`Start::SameLoss`]: a
///   straight line from zero flow at `x₁ · max(1 − Q₁ / Q₀, 0.1)`, with `Q₀` the full flow extrapolated to no head through
///   the two lowest heads. (A permanent-magnet motor's speed falls with torque, and slip grows with head, by so much at
///   any voltage: `Q = c U − (Q₀ − Q₁)`. The tenth stands for friction without load; common practice, no source.)
///
/// A lower head never gives less: `q*_i(x) = max(q_j(x), H_j ≥ H_i)`. In a table whose heads share their drives this
/// changes nothing; elsewhere it lets a row at a greater head speak for the lower heads that have no row there.
///
/// Between two heads `Q = q*_i (1 − w) + q*_{i+1} w`. The weight `w` runs from 0 to 1 as the monotone cubic across
/// heads does at the table's full drive; so at full drive this *is* that cubic. A cubic made afresh at each drive
/// would let flow fall as the drive rises (see [`Pchip`], validity); one fixed weight cannot. Below the lowest head the
/// flow is that of the lowest head (conservative). Above the highest head nothing is known: [`Surface::at_drive`]
/// keeps the flow of the highest head, and whoever asks must not use it for more than finding where the system curve
/// leaves the table.
///
/// # Validity
/// Flow never rises with head and never falls with drive. A start rule other than zero goes beyond the table; with
/// zero the flow jumps from nothing to `Q₁` at the lowest drive.
///
/// # Example
/// See [`super::Duty`] and [`super::VoltPump`], which are made of it.
///
/// # References
/// Interpolation: see [`Pchip`]. The surface between heads is our own construction.
#[derive(Debug, Clone, PartialEq)]
pub struct Surface {
    heads: Vec<Head>,
    best_head_flow_per_power: f64,
    stands_below_lowest: bool,
}

/// One head's curve and the shape of the step to the next head.
#[derive(Debug, Clone, PartialEq)]
struct Head {
    head_m: f64,
    curve: Pchip,
    start: StartLine,
    /// Drive above which more gives no more flow.
    top: f64,
    /// Least drive at which this head or a higher one has a row: a lower head never asks for more.
    lowest: f64,
    /// Height of the interval up to the next head, m; infinite at the last one.
    step_m: f64,
    /// Slopes of the weight at the interval's ends, for an interval of unit height.
    weight_slopes: [f64; 2],
}

/// Flow below the lowest tabulated drive: `slope · (drive − from)`, nothing below `from`.
#[derive(Debug, Clone, Copy, PartialEq)]
struct StartLine {
    from: f64,
    slope: f64,
}

impl Head {
    fn flow(&self, drive: f64) -> f64 {
        if drive >= self.curve.first().0 {
            self.curve.at(drive)
        } else if drive > self.start.from {
            (drive - self.start.from) * self.start.slope
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

impl Surface {
    /// The surface through checked rows, heads rising and drives rising at each head.
    pub(super) fn new(groups: &[Vec<Row>], curves: Vec<Pchip>, start: Start) -> Self {
        let stands_below_lowest = start == Start::Zero;
        let rows = groups.iter().flatten();
        let best = rows.map(|p| p.head_m * p.flow_m3_per_h / p.power_w).fold(0.0, f64::max);
        let reference = Reference { best, free_m3_per_h: free_flow_m3_per_h(groups) };
        let mut heads: Vec<Head> = groups
            .iter()
            .zip(curves)
            .map(|(group, curve)| {
                let start = start_line(start, &group[0], &reference);
                let (lowest, top) = (curve.first().0, curve.last().0);
                let (head_m, step_m, weight_slopes) = (group[0].head_m, f64::INFINITY, [1.0, 1.0]);
                Head { head_m, curve, start, top, lowest, step_m, weight_slopes }
            })
            .collect();
        let full = lift_from_above(&mut heads);
        shape_weights(&mut heads, &full);
        Self { heads, best_head_flow_per_power: best, stands_below_lowest }
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

    /// The greatest tabulated drive.
    #[must_use]
    pub fn top_drive(&self) -> f64 {
        self.heads.iter().map(|h| h.top).fold(0.0, f64::max)
    }

    /// The best efficiency of the table's rows, wire to water, 0 to 1.
    #[must_use]
    pub fn best_efficiency(&self, density_kg_per_m3: f64) -> f64 {
        super::hydraulic_power_w(density_kg_per_m3, 1.0, self.best_head_flow_per_power)
    }

    /// Fills `flows` with the flow at each tabulated head at one drive, m³/h; they never rise along the list.
    pub fn at_drive(&self, drive: f64, flows: &mut Vec<f64>) {
        flows.clear();
        flows.extend(self.heads.iter().map(|h| h.flow(drive)));
        for i in (1..flows.len()).rev() {
            flows[i - 1] = flows[i - 1].max(flows[i]);
        }
    }

    /// Flow of one tabulated head by its own rows alone.
    pub(super) fn own_flow(&self, index: usize, drive: f64) -> f64 {
        self.heads[index].flow(drive)
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

    /// Flow, m³/h, at a head and a drive (above the highest head: the flow of the highest head).
    #[must_use]
    pub fn flow_m3_per_h(&self, head_m: f64, drive: f64) -> f64 {
        let mut flows = Vec::with_capacity(self.heads.len());
        self.at_drive(drive, &mut flows);
        between(&flows, self.place(head_m))
    }

    /// The drive that the pump takes of what is available, at a place: none above what gives more flow.
    #[must_use]
    pub fn drive_taken(&self, place: Place, drive: f64) -> f64 {
        self.mix(place, |h| drive.min(h.top))
    }

    /// Whether more drive would give no more flow at a place.
    #[must_use]
    pub fn at_limit(&self, place: Place, drive: f64) -> bool {
        let next = if place.weight > 0.0 { place.index + 1 } else { place.index };
        self.heads[place.index..=next].iter().all(|h| drive >= h.top)
    }

    /// The lowest tabulated drive at a place; between heads in the same proportion as the flow.
    #[must_use]
    pub fn lowest_drive(&self, place: Place) -> f64 {
        self.mix(place, |h| h.lowest)
    }

    /// Whether the pump stands at less than [`Surface::lowest_drive`].
    #[must_use]
    pub const fn stands_below_lowest(&self) -> bool {
        self.stands_below_lowest
    }

    fn mix(&self, place: Place, value: impl Fn(&Head) -> f64) -> f64 {
        let low = value(&self.heads[place.index]);
        match self.heads.get(place.index + 1) {
            Some(next) if place.weight > 0.0 => low + (value(next) - low) * place.weight,
            _ => low,
        }
    }
}

/// The value at a place, from the values at the tabulated heads.
pub(crate) fn between(values: &[f64], place: Place) -> f64 {
    let low = values[place.index];
    match values.get(place.index + 1) {
        Some(next) if place.weight > 0.0 => low + (next - low) * place.weight,
        _ => low,
    }
}

/// What a row is compared with to tell where its flow begins.
struct Reference {
    /// The greatest head times flow over power of the table.
    best: f64,
    /// Full flow against no head, m³/h.
    free_m3_per_h: f64,
}

/// Full flow extrapolated to no head through the two lowest heads; that of the lowest head where it stands alone.
fn free_flow_m3_per_h(groups: &[Vec<Row>]) -> f64 {
    let full = |group: &[Row]| group.last().map(|row| (row.head_m, row.flow_m3_per_h));
    match (groups.first().and_then(|g| full(g)), groups.get(1).and_then(|g| full(g))) {
        (Some((h, q)), Some((above, less))) => q + (q - less).max(0.0) * h / (above - h),
        (Some((_, q)), None) => q,
        (None, _) => 0.0,
    }
}

fn start_line(start: Start, row: &Row, reference: &Reference) -> StartLine {
    let best = reference.best;
    let (drive, flow) = (row.drive, row.flow_m3_per_h);
    let from = match start {
        Start::Zero => drive,
        Start::From(from) => from,
        Start::BestEfficiency if best > 0.0 => drive - drive / row.power_w * row.head_m * flow / best,
        Start::BestEfficiency => drive,
        Start::Proportional => 0.0,
        Start::SameLoss if flow > 0.0 => drive * (1.0 - flow / reference.free_m3_per_h).max(LEAST_LOSS),
        Start::SameLoss => drive,
    };
    if from < drive {
        StartLine { from, slope: flow / (drive - from) }
    } else {
        StartLine { from: drive, slope: 0.0 }
    }
}

/// Full flow at each head once a lower head gives no less than a higher one; sets the drive where it is reached.
fn lift_from_above(heads: &mut [Head]) -> Vec<f64> {
    let mut full: Vec<f64> = heads.iter().map(|h| h.curve.last().1).collect();
    for i in (1..heads.len()).rev() {
        heads[i - 1].lowest = heads[i - 1].lowest.min(heads[i].lowest);
        if full[i - 1] < full[i] {
            full[i - 1] = full[i];
            heads[i - 1].top = heads[i].top;
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
