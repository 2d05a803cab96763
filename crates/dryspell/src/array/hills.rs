//! The greatest power of unlike arrays on one pair of terminals: one hill for each set of arrays that still gives current.

use super::circuit::{Circuit, Strings};
use super::one_diode::Point;
use crate::array::Terminals;

/// Steps after which the search on a hill stops; it needs six.
const STEPS: usize = 80;

/// The hills of a circuit's power by voltage, lowest voltage first.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | V | voltage at the terminals | V | ≥ 0 |
/// | P | power there | W | ≥ 0 |
/// | Voc | an array's open-circuit voltage | V | > 0 |
///
/// # Equation
/// `P(V) = V·Σ I(V)` over the arrays with `Voc > V`: each lets no current back. Each `I` bends downwards, so between two
/// neighbouring open-circuit voltages P bends downwards too and has one maximum, where `Σ I + V·Σ dI/dV = 0`. At an
/// open-circuit voltage the slope of P steps *up*, as an array that loses drops out: so there may be a hill on each side.
///
/// # Validity
/// That of [`Circuit`].
///
/// # Example
/// ```
/// use dryspell::array::{circuit::{Circuit, Strings}, hills::Hills, one_diode::Curve};
/// let curve = Curve { photocurrent_a: 5.0, saturation_current_a: 1e-9, series_resistance_ohm: 0.3,
///     shunt_conductance_per_ohm: 0.007, modified_ideality_v: 1.0 };
/// // One module beside three in series: a hill near one module's best voltage, one near three times that.
/// let circuit = Circuit { strings: vec![Strings::new(&curve, 1, 2, 0.0, 0.0), Strings::new(&curve, 3, 1, 0.0, 0.0)] };
/// let hills: Vec<_> = Hills::of(&circuit).points().to_vec();
/// assert_eq!(hills.len(), 2);
/// assert!((hills[1].voltage_v / (3.0 * curve.maximum_power().voltage_v) - 1.0).abs() < 1e-9);
/// ```
///
/// # References
/// Kirchhoff's laws; a sum of functions that bend downwards does so too.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Hills {
    points: Vec<Point>,
}

/// An array with the two voltages that its hills rest on.
struct HillArray<'a> {
    strings: &'a Strings,
    best: Point,
    open_v: f64,
}

impl Hills {
    /// The hills of a circuit.
    #[must_use]
    pub fn of(circuit: &Circuit) -> Self {
        if let [only] = circuit.strings.as_slice() {
            return Self { points: vec![only.maximum_power()] };
        }
        let mut known: Vec<HillArray<'_>> = circuit
            .strings
            .iter()
            .map(|strings| HillArray {
                strings,
                best: strings.maximum_power(),
                open_v: strings.open_circuit_v(),
            })
            .collect();
        known.sort_by(|a, b| a.open_v.total_cmp(&b.open_v));
        let mut points = Vec::with_capacity(known.len());
        let mut from_v = 0.0;
        for k in 0..known.len() {
            let to_v = known[k].open_v;
            if let Some(voltage_v) = top(&known[k..], from_v, to_v) {
                points.push(circuit.at(voltage_v));
            }
            from_v = to_v;
        }
        Self { points }
    }

    /// The hills' tops, lowest voltage first.
    #[must_use]
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// The highest top; the one of lower voltage where two are equal. Nothing in the dark.
    #[must_use]
    pub fn highest(&self) -> Point {
        let mut best = Point { voltage_v: 0.0, current_a: 0.0, power_w: 0.0 };
        for point in &self.points {
            if point.power_w > best.power_w {
                best = *point;
            }
        }
        best
    }
}

/// What a circuit of several arrays gives at best.
impl Circuit {
    /// The greatest power at one common voltage: the highest of the circuit's [`Hills`].
    #[must_use]
    pub fn maximum_power(&self) -> Point {
        Hills::of(self).highest()
    }

    /// The most power that the arrays give on such terminals, W.
    #[must_use]
    pub fn most_w(&self, terminals: Terminals) -> f64 {
        match terminals {
            Terminals::Common => self.maximum_power().power_w,
            Terminals::Separate => self.strings.iter().map(|s| s.maximum_power().power_w).sum(),
        }
    }

    /// The same with every voltage held within a window, W. At one voltage that is the highest of the hills within, or an
    /// end of the window; a single array has one hill.
    #[must_use]
    pub fn most_within_w(&self, terminals: Terminals, window: (f64, f64)) -> f64 {
        if terminals == Terminals::Separate || self.strings.len() < 2 {
            return self.strings.iter().map(|s| s.within_w(window)).sum();
        }
        let (low, high) = window;
        let hills = Hills::of(self);
        let inside = hills.points().iter().filter(|top| (low..=high).contains(&top.voltage_v));
        let ends = [low, high].map(|voltage_v| self.at(voltage_v).power_w);
        inside.map(|top| top.power_w).chain(ends).fold(0.0, f64::max)
    }
}

/// The voltage of the greatest power between two neighbouring open-circuit voltages, of the arrays that give current there;
/// `None` where the power only rises or only falls: then a neighbour's hill stands above all of it.
fn top(arrays: &[HillArray<'_>], from_v: f64, to_v: f64) -> Option<f64> {
    // Below all their best voltages each array gains with voltage, above all of them each one loses.
    let least = arrays.iter().map(|a| a.best.voltage_v).fold(f64::INFINITY, f64::min);
    let most = arrays.iter().map(|a| a.best.voltage_v).fold(0.0, f64::max);
    let (mut low, mut high) = (least.max(from_v), most.min(to_v));
    if low > high {
        return None;
    }
    if low >= high * (1.0 - 1e-12) {
        return Some(low);
    }
    let slope = |voltage_v: f64| {
        let (mut current, mut first, mut second) = (0.0, 0.0, 0.0);
        for array in arrays {
            let (i, di, ddi) = array.strings.bend(voltage_v);
            current += i;
            first += di;
            second += ddi;
        }
        (current + voltage_v * first, 2.0 * first + voltage_v * second)
    };
    // An end that is an array's own best voltage is known to a part in 1e7 only: of arrays that are nearly alike both may lie
    // on one side of the top, and no power is lost by taking the nearer.
    if slope(low).0 < 0.0 {
        return (low > from_v).then_some(low);
    }
    if slope(high).0 > 0.0 {
        return (high < to_v).then_some(high);
    }
    let weight: f64 = arrays.iter().map(|a| a.best.power_w).sum();
    let mean = arrays.iter().map(|a| a.best.power_w * a.best.voltage_v).sum::<f64>() / weight;
    let mut voltage_v = if mean > low && mean < high { mean } else { 0.5 * (low + high) };
    // Newton's method on the slope, held within the bracket.
    for _ in 0..STEPS {
        let (rise, bend) = slope(voltage_v);
        if rise > 0.0 {
            low = voltage_v;
        } else {
            high = voltage_v;
        }
        let mut next = voltage_v - rise / bend;
        let newton = next >= low && next <= high;
        if !newton {
            next = 0.5 * (low + high);
        }
        let step = (next - voltage_v).abs();
        voltage_v = next;
        // The power is flat at its top: a step of 1e-7 leaves 1e-14 of it.
        if step <= 1e-7 * voltage_v && (newton || high - low <= 1e-7 * high) {
            break;
        }
    }
    Some(voltage_v)
}

/// The most power that a circuit can give at a voltage or above it.
///
/// # Units
/// As [`Hills`].
///
/// # Equation
/// `E(V) = max of P(Va) over Va ≥ V`: the power at V itself, or the highest of the hills whose tops lie at or above V.
///
/// # Validity
/// That of [`Circuit`].
///
/// # Example
/// ```
/// use dryspell::array::{circuit::{Circuit, Strings}, hills::Envelope, one_diode::Curve};
/// let curve = Curve { photocurrent_a: 5.0, saturation_current_a: 1e-9, series_resistance_ohm: 0.3,
///     shunt_conductance_per_ohm: 0.007, modified_ideality_v: 1.0 };
/// let circuit = Circuit { strings: vec![Strings::new(&curve, 1, 4, 0.0, 0.0), Strings::new(&curve, 3, 1, 0.0, 0.0)] };
/// let envelope = Envelope::of(&circuit);
/// // Low down all five strings give; between the hills the best is the second hill's top.
/// assert!(envelope.power_w(&circuit, 10.0) > envelope.power_w(&circuit, 25.0));
/// assert_eq!(envelope.power_w(&circuit, 25.0), envelope.power_w(&circuit, 40.0));
/// ```
///
/// # References
/// None: the definition of a maximum.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Envelope {
    /// Tops that no top at a higher voltage reaches: voltage rises, power falls.
    tops: Vec<Point>,
}

impl Envelope {
    /// The envelope of a circuit: made once for all voltages.
    #[must_use]
    pub fn of(circuit: &Circuit) -> Self {
        let mut tops: Vec<Point> = Vec::new();
        for point in Hills::of(circuit).points {
            while tops.last().is_some_and(|last| last.power_w <= point.power_w) {
                tops.pop();
            }
            tops.push(point);
        }
        Self { tops }
    }

    /// The point of greatest power of all.
    #[must_use]
    pub fn best(&self) -> Point {
        self.tops.first().copied().unwrap_or(Point { voltage_v: 0.0, current_a: 0.0, power_w: 0.0 })
    }

    /// The highest top at a voltage or above it; `None` above them all.
    #[must_use]
    pub fn top_from(&self, voltage_v: f64) -> Option<&Point> {
        self.tops.iter().find(|top| top.voltage_v >= voltage_v)
    }

    /// The most power at a voltage or above it, W; `circuit` is the one it was made of.
    #[must_use]
    pub fn power_w(&self, circuit: &Circuit, voltage_v: f64) -> f64 {
        let here = voltage_v * circuit.current_a(voltage_v);
        self.top_from(voltage_v).map_or(here, |top| top.power_w.max(here))
    }
}
