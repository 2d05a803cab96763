//! The one-diode module: its parameters in any light and heat, its current at a voltage, its maximum power.

use crate::array::OneDiode;
use libm::{exp, log};

/// Boltzmann's constant over the electron's charge, V/K (eV/K).
pub(crate) const BOLTZMANN_EV_PER_K: f64 = 8.617_333_262e-5;
/// Band gap of silicon at 25 °C, eV.
pub const SILICON_BAND_GAP_EV: f64 = 1.121;
/// Change of the band gap with temperature, as a share of it, 1/K.
pub(crate) const BAND_GAP_PER_K: f64 = -0.000_267_7;
/// Reference cell temperature, K.
pub(crate) const REFERENCE_K: f64 = 298.15;
/// Reference light, W/m².
const REFERENCE_W_PER_M2: f64 = 1000.0;
/// Steps after which a search stops; it needs five.
const STEPS: usize = 60;

/// A module at one light and cell temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Curve {
    /// Light current, A.
    pub photocurrent_a: f64,
    /// Diode saturation current, A.
    pub saturation_current_a: f64,
    /// Series resistance, Ω, with what hangs before the load.
    pub series_resistance_ohm: f64,
    /// Shunt conductance, 1/Ω.
    pub shunt_conductance_per_ohm: f64,
    /// Modified ideality factor, V.
    pub modified_ideality_v: f64,
}

/// A point on a module's curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Voltage, V.
    pub voltage_v: f64,
    /// Current, A.
    pub current_a: f64,
    /// Power, W.
    pub power_w: f64,
}

/// What the module's curve is with this light and cell temperature; `None` in the dark.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | G | `light_w_per_m2` that reaches the cells | W/m² | > 0 |
/// | Tc | `cell_degc` | °C | −60 to 120 |
/// | | [`OneDiode`] at 1000 W/m² and 25 °C | A, Ω, V | |
///
/// # Equation
///
/// `IL = G/1000·[IL,ref + αsc(Tc − 25)]`; `I0 = I0,ref·(T/Tref)³·exp[(Eg,ref/Tref − Eg/T)/k]`,
/// `Eg = Eg,ref·[1 − 0.0002677(T − Tref)]`, Eg,ref 1.121 eV for silicon; `a = aref·T/Tref`; `Rsh = Rsh,ref·1000/G`; Rs stays.
///
/// # Validity
///
/// Crystalline silicon. The light's colour is that of the reference.
///
/// # Example
///
/// At the reference the parameters are their own.
///
/// ```
/// use dryspell::array::{OneDiode, one_diode::{SILICON_BAND_GAP_EV, curve}};
/// let m = OneDiode { photocurrent_a: 4.980938, saturation_current_a: 9.686902e-10, series_resistance_ohm: 0.326085,
///     shunt_resistance_ohm: 148.161652, modified_ideality_v: 0.976234, isc_temperature_a_per_k: 0.004423,
///     band_gap_ev: SILICON_BAND_GAP_EV };
/// let c = curve(&m, 1000.0, 25.0).unwrap();
/// assert!((c.photocurrent_a - 4.980938).abs() < 1e-12);
/// // Half the light: half the current, half the leak.
/// let c = curve(&m, 500.0, 25.0).unwrap();
/// assert!((c.photocurrent_a - 2.490469).abs() < 1e-12);
/// assert!((1.0 / c.shunt_conductance_per_ohm - 296.323304).abs() < 1e-6);
/// ```
///
/// # References
///
/// W. De Soto, S. A. Klein and W. A. Beckman, *Improvement and validation of a model for photovoltaic array performance*,
/// Solar Energy 80 (2006) 78, doi 10.1016/j.solener.2005.06.010, equations 3 and 8 to 11.
#[must_use]
pub fn curve(module: &OneDiode, light_w_per_m2: f64, cell_degc: f64) -> Option<Curve> {
    let light = light_w_per_m2 * (1.0 / REFERENCE_W_PER_M2);
    let photocurrent_a =
        light * (module.photocurrent_a + module.isc_temperature_a_per_k * (cell_degc - 25.0));
    if !(light > 0.0 && photocurrent_a > 0.0) {
        return None;
    }
    let kelvin = cell_degc + 273.15;
    let warmth = kelvin * (1.0 / REFERENCE_K);
    let gap_ev = module.band_gap_ev * (1.0 + BAND_GAP_PER_K * (kelvin - REFERENCE_K));
    let growth = (module.band_gap_ev * (1.0 / REFERENCE_K) - gap_ev / kelvin) * (1.0 / BOLTZMANN_EV_PER_K);
    Some(Curve {
        photocurrent_a,
        saturation_current_a: module.saturation_current_a * warmth * warmth * warmth * exp(growth),
        series_resistance_ohm: module.series_resistance_ohm,
        shunt_conductance_per_ohm: light / module.shunt_resistance_ohm,
        modified_ideality_v: module.modified_ideality_v * warmth,
    })
}

impl Curve {
    /// Current at the diode's voltage Vd and its slope: `I = IL − I0[exp(Vd/a) − 1] − Vd/Rsh`.
    fn at_diode(&self, diode_v: f64) -> (f64, f64, f64) {
        self.at_grown(diode_v, self.saturation_current_a * exp(diode_v / self.modified_ideality_v))
    }

    /// The same where `I0·exp(Vd/a)` is known; with the second derivative.
    fn at_grown(&self, diode_v: f64, grown: f64) -> (f64, f64, f64) {
        let current = self.photocurrent_a
            - (grown - self.saturation_current_a)
            - diode_v * self.shunt_conductance_per_ohm;
        let per_v = 1.0 / self.modified_ideality_v;
        let bend = grown * per_v;
        (current, -bend - self.shunt_conductance_per_ohm, -bend * per_v)
    }

    /// Diode voltage above which no current leaves the module, without the shunt: `a·ln(1 + IL/I0)`.
    fn diode_limit_v(&self) -> f64 {
        self.modified_ideality_v * log(1.0 + self.photocurrent_a / self.saturation_current_a)
    }

    /// Current at a voltage.
    ///
    /// # Units
    ///
    /// | symbol | name | unit | valid range |
    /// |---|---|---|---|
    /// | V | `voltage_v` | V | 0 to the open-circuit voltage; beyond it the current is negative |
    /// | I | result | A | |
    ///
    /// # Equation
    ///
    /// `I = IL − I0[exp((V + I·Rs)/a) − 1] − (V + I·Rs)/Rsh`, solved by Newton's method for the diode's voltage
    /// `Vd = V + I·Rs`, which has one root and bends one way.
    ///
    /// # Validity
    ///
    /// One module evenly lit. Beyond the open-circuit voltage the current is negative: a blocking diode makes it zero.
    ///
    /// # Example
    ///
    /// Without resistances the equation is explicit: 5 A less 1e-9·(e^20 − 1).
    ///
    /// ```
    /// use dryspell::array::one_diode::Curve;
    /// let c = Curve { photocurrent_a: 5.0, saturation_current_a: 1e-9, series_resistance_ohm: 0.0,
    ///     shunt_conductance_per_ohm: 0.0, modified_ideality_v: 1.0 };
    /// assert!((c.current_a(20.0) - (5.0 - 0.485165194)).abs() < 1e-8);
    /// ```
    ///
    /// # References
    ///
    /// De Soto et al. 2006, equation 1; J. W. Bishop, *Computer simulation of the effects of electrical mismatches in
    /// photovoltaic cell interconnection circuits*, Solar Cells 25 (1988) 73, doi 10.1016/0379-6787(88)90059-2.
    #[must_use]
    pub fn current_a(&self, voltage_v: f64) -> f64 {
        self.near(voltage_v).0
    }

    /// Current at a voltage and its first two derivatives by that voltage: with `Vd = V + I·Rs` and `I = f(Vd)`,
    /// `dI/dV = f'/(1 − Rs·f')` and `d²I/dV² = f''/(1 − Rs·f')³`.
    pub(super) fn bend(&self, voltage_v: f64) -> (f64, f64, f64) {
        let (current, slope, bend) = self.near(voltage_v);
        let widening = 1.0 / (1.0 - self.series_resistance_ohm * slope);
        (current, slope * widening, bend * widening * widening * widening)
    }

    /// Current at a voltage, with its slope and bend by the diode's voltage.
    fn near(&self, voltage_v: f64) -> (f64, f64, f64) {
        let rs = self.series_resistance_ohm;
        let per_v = 1.0 / self.modified_ideality_v;
        // The root lies below both starts; the second needs a logarithm and is seldom the lower one.
        let most = self.photocurrent_a + self.saturation_current_a;
        let mut diode = voltage_v + self.photocurrent_a * rs;
        let mut grown = self.saturation_current_a * exp(diode * per_v);
        if grown > most {
            (diode, grown) = (self.diode_limit_v(), most);
        }
        for _ in 0..STEPS {
            let (current, slope, _) = self.at_grown(diode, grown);
            let step = (diode - rs * current - voltage_v) / (1.0 - rs * slope);
            diode -= step;
            grown *= exp_of_step(-step * per_v);
            // Newton's error is the square of the step.
            if (step * per_v).abs() < 1e-6 {
                break;
            }
        }
        self.at_grown(diode, grown)
    }

    /// Open-circuit voltage, V.
    #[must_use]
    pub fn open_circuit_v(&self) -> f64 {
        let mut diode = self.diode_limit_v();
        for _ in 0..STEPS {
            let (current, slope, _) = self.at_diode(diode);
            let step = current / slope;
            diode -= step;
            if step.abs() < 1e-12 * (1.0 + diode.abs()) {
                break;
            }
        }
        diode
    }

    /// Short-circuit current, A.
    #[must_use]
    pub fn short_circuit_a(&self) -> f64 {
        self.current_a(0.0)
    }

    /// The point of maximum power.
    ///
    /// # Units
    ///
    /// | symbol | name | unit | valid range |
    /// |---|---|---|---|
    /// | V, I, P | [`Point`] | V, A, W | ≥ 0 |
    ///
    /// # Equation
    ///
    /// `d(V·I)/dVd = 0` with `V = Vd − I·Rs`: `I + (dI/dVd)·(Vd − 2·I·Rs) = 0`, by Halley's method held within the bracket
    /// from zero to the open-circuit voltage. The start is the maximum of a diode without a shunt, to first order.
    ///
    /// # Validity
    ///
    /// One module evenly lit: one maximum.
    ///
    /// # Example
    ///
    /// The 80 W module of [`curve`]'s example gives 80.15 W at 17.50 V.
    ///
    /// ```
    /// # use dryspell::array::{OneDiode, one_diode::{SILICON_BAND_GAP_EV, curve}};
    /// # let m = OneDiode { photocurrent_a: 4.980938, saturation_current_a: 9.686902e-10, series_resistance_ohm: 0.326085,
    /// #     shunt_resistance_ohm: 148.161652, modified_ideality_v: 0.976234, isc_temperature_a_per_k: 0.004423,
    /// #     band_gap_ev: SILICON_BAND_GAP_EV };
    /// let p = curve(&m, 1000.0, 25.0).unwrap().maximum_power();
    /// assert!((p.power_w - 80.15).abs() < 1e-3 && (p.voltage_v - 17.50).abs() < 1e-3);
    /// ```
    ///
    /// # References
    ///
    /// Bishop 1988 (see [`Curve::current_a`]).
    #[must_use]
    pub fn maximum_power(&self) -> Point {
        let rs = self.series_resistance_ohm;
        let a = self.modified_ideality_v;
        let per_v = 1.0 / a;
        // The start: without a shunt the maximum lies where exp(v)·(1 + v - 2·Rs·I/a) = 1 + IL/I0, in units of a. The
        // bracketed factor may be rough, so the open-circuit value in it comes from the power of two below.
        let ratio = 1.0 + self.photocurrent_a / self.saturation_current_a;
        let limit = std::f64::consts::LN_2 * (f64::from(libm::ilogb(ratio)) + 0.5);
        let factor = (1.0 + limit - 2.0 * rs * self.photocurrent_a * per_v).max(0.25 * limit).max(1.0);
        let (mut low, mut high) = (0.0, a * (limit + 0.5));
        let start = ratio / factor;
        let mut diode = a * log(start);
        let mut grown = self.saturation_current_a * start;
        for _ in 0..STEPS {
            let (current, slope, bend) = self.at_grown(diode, grown);
            let lever = diode - 2.0 * current * rs;
            let rise = current + slope * lever;
            if rise > 0.0 {
                low = diode;
            } else {
                high = diode;
            }
            // Halley's step: the third derivative costs nothing, as each is the one before over a.
            let widening = 1.0 - 2.0 * slope * rs;
            let change = slope * (1.0 + widening) + bend * lever;
            let curl = bend * (3.0 * widening) + bend * per_v * lever;
            let mut next = diode - rise * change / (change * change - 0.5 * rise * curl);
            if !(next > low && next < high) {
                next = 0.5 * (low + high);
            }
            let step = next - diode;
            diode = next;
            grown *= exp_of_step(step * per_v);
            // The error left is about the cube of the step: 3e-7 a in voltage, 1e-13 in power, which is flat there. A step is also short where
            // the rise is flat, far from its root; there Newton's step would be long.
            if step.abs() < 1e-3 * a && rise.abs() < 2e-3 * a * change.abs() {
                break;
            }
        }
        let current_a = self.at_grown(diode, grown).0.max(0.0);
        let voltage_v = (diode - current_a * rs).max(0.0);
        Point { voltage_v, current_a, power_w: voltage_v * current_a }
    }
}

/// exp(x): by its series for the small steps of a search that is nearly there (error below 4e-16 of the value).
fn exp_of_step(x: f64) -> f64 {
    if x.abs() > 0.25 {
        return exp(x);
    }
    // Two short chains run side by side: even and odd powers.
    let xx = x * x;
    let even = 1.0
        + xx * (1.0 / 2.0
            + xx * (1.0 / 24.0 + xx * (1.0 / 720.0 + xx * (1.0 / 40_320.0 + xx * (1.0 / 3_628_800.0)))));
    let odd = 1.0
        + xx * (1.0 / 6.0
            + xx * (1.0 / 120.0 + xx * (1.0 / 5040.0 + xx * (1.0 / 362_880.0 + xx * (1.0 / 39_916_800.0)))));
    even + x * odd
}

#[cfg(test)]
mod tests {
    use super::*;

    pub(crate) const M36: OneDiode = OneDiode {
        photocurrent_a: 4.980938,
        saturation_current_a: 9.686902e-10,
        series_resistance_ohm: 0.326085,
        shunt_resistance_ohm: 148.161652,
        modified_ideality_v: 0.976234,
        isc_temperature_a_per_k: 0.004423,
        band_gap_ev: SILICON_BAND_GAP_EV,
    };

    #[test]
    fn the_series_is_the_exponential() {
        for k in -260..=260 {
            let x = f64::from(k) * 0.001;
            assert!((exp_of_step(x) / exp(x) - 1.0).abs() < 4e-16, "{x}");
        }
    }

    #[test]
    fn the_dark_has_no_curve() {
        assert!(curve(&M36, 0.0, 25.0).is_none());
        assert!(curve(&M36, -1.0, 25.0).is_none());
    }

    #[test]
    fn no_point_of_the_curve_has_more_power() {
        for light in [0.5, 3.0, 20.0, 100.0, 400.0, 1200.0] {
            for cell in [-40.0, 0.0, 25.0, 80.0] {
                for extra in [0.0, 0.5, 5.0, 40.0] {
                    let mut c = curve(&M36, light, cell).unwrap();
                    c.series_resistance_ohm += extra;
                    let best = c.maximum_power();
                    let open = c.open_circuit_v();
                    assert!(c.current_a(open).abs() < 1e-9);
                    assert!(
                        (c.current_a(best.voltage_v) - best.current_a).abs() < 1e-9 * (1.0 + best.current_a)
                    );
                    for k in 0..=2000 {
                        let v = open * f64::from(k) / 2000.0;
                        assert!(
                            v * c.current_a(v) <= best.power_w * (1.0 + 1e-9),
                            "{light} {cell} {extra}: {v} V gives more than {best:?}"
                        );
                    }
                }
            }
        }
    }

    #[test]
    fn the_current_satisfies_its_equation() {
        let c = curve(&M36, 700.0, 40.0).unwrap();
        for v in [-5.0, 0.0, 12.0, 17.5, 20.0, 25.0] {
            let i = c.current_a(v);
            let vd = v + i * c.series_resistance_ohm;
            let right = c.photocurrent_a
                - c.saturation_current_a * (exp(vd / c.modified_ideality_v) - 1.0)
                - vd * c.shunt_conductance_per_ohm;
            assert!((i - right).abs() < 1e-9 * (1.0 + i.abs()), "{v}");
        }
    }

    proptest::proptest! {
        #[test]
        fn more_light_never_gives_less_power(
            light in 0.1..1400.0_f64, more in 1.0..1.5_f64, cell in -40.0..90.0_f64, extra in 0.0..10.0_f64,
        ) {
            let power = |g: f64| {
                let mut c = curve(&M36, g, cell).unwrap();
                c.series_resistance_ohm += extra;
                c.maximum_power().power_w
            };
            proptest::prop_assert!(power(light * more) >= power(light) * (1.0 - 1e-12));
        }
    }
}
