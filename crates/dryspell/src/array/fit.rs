//! Five parameters from a datasheet.

use crate::array::one_diode::{REFERENCE_K, curve, saturation_ratio};
use crate::array::{Datasheet, OneDiode};
use libm::exp;

/// Temperature step of the open-circuit condition, K.
const STEP_K: f64 = 2.0;
/// Ideality of one cell: real cells lie between 0.8 and 2, rounded datasheets a little outside. Half of that is a wrong
/// count of cells.
const LEAST_IDEALITY: f64 = 0.6;
/// See [`LEAST_IDEALITY`].
const MOST_IDEALITY: f64 = 2.5;
/// Conductance that stands for no shunt, as a share of Isc/Voc.
const NO_SHUNT: f64 = 1e-6;
/// Thermal voltage of a cell at 25 °C, V.
const THERMAL_V: f64 = 8.617_333_262e-5 * REFERENCE_K;

/// Fits the five reference parameters to a datasheet; `None` where no physical set meets it.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | Isc, Imp | `isc_a`, `imp_a` | A | 0 < Imp < Isc |
/// | Voc, Vmp | `voc_v`, `vmp_v` | V | 0 < Vmp < Voc |
/// | αsc | `isc_temperature_a_per_k` | A/K | usually 0.0002 to 0.001 of Isc |
/// | βoc | `voc_temperature_v_per_k` | V/K | < 0, usually −0.0025 to −0.004 of Voc |
/// | Ns | `cells` | – | ≥ 1 |
///
/// # Equation
///
/// Five conditions: the curve at 1000 W/m² and 25 °C passes through (0, Isc), (Vmp, Imp), (Voc, 0); power is flat at
/// Vmp, `Imp = gd·(Vmp − Imp·Rs)` with `gd = (I0/a)·exp((Vmp + Imp·Rs)/a) + 1/Rsh`; and two kelvin higher the open-circuit
/// voltage is Voc + 2·βoc. For given a and Rs the first three are linear in IL, I0 and 1/Rsh; the flatness then fixes Rs
/// for each a, and the warm open-circuit voltage fixes a. Both roots are bracketed on a grid and halved.
///
/// Where that leaves no positive shunt (the stated power is too good for the stated short-circuit current, often by
/// rounding), the shunt is left out, and with it the condition on Isc, which may then miss by up to 1 %.
///
/// # Validity
///
/// Crystalline silicon. A set counts only if Rs ≥ 0, Rsh > 0, a/(Ns·kT/q) lies between 0.6 and 2.5, all are
/// finite, and the finished curve gives back the maximum power and Voc within 0.1 % and Isc within 1 %.
///
/// # Example
///
/// ```
/// use dryspell::array::{Datasheet, fit::fit};
/// let sheet = Datasheet { isc_a: 4.97, voc_v: 21.8, imp_a: 4.58, vmp_v: 17.5, isc_temperature_a_per_k: 0.004423,
///     voc_temperature_v_per_k: -0.081532, cells: 36 };
/// let module = fit(&sheet).unwrap();
/// let p = dryspell::array::one_diode::curve(&module, 1000.0, 25.0).unwrap().maximum_power();
/// assert!((p.power_w - 4.58 * 17.5).abs() < 1e-4);
/// ```
///
/// # References
///
/// W. De Soto, S. A. Klein and W. A. Beckman, *Improvement and validation of a model for photovoltaic array performance*,
/// Solar Energy 80 (2006) 78, doi 10.1016/j.solener.2005.06.010, section 3 (equations 2, 4 to 7).
#[must_use]
pub fn fit(sheet: &Datasheet) -> Option<OneDiode> {
    let sound = sheet.isc_a > sheet.imp_a
        && sheet.imp_a > 0.0
        && sheet.voc_v > sheet.vmp_v
        && sheet.vmp_v > 0.0
        && sheet.cells >= 1
        && sheet.isc_temperature_a_per_k.is_finite()
        && sheet.voc_temperature_v_per_k.is_finite();
    if !sound {
        return None;
    }
    solve(sheet, Conditions::Five).or_else(|| solve(sheet, Conditions::NoShunt))
}

/// Which conditions the light current, the saturation current and the shunt are made to meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Conditions {
    /// All five, as published.
    Five,
    /// Without the shunt, and without the short-circuit current that would determine it.
    NoShunt,
}

/// The root of the remaining two conditions, in the ideality and the series resistance.
fn solve(sheet: &Datasheet, conditions: Conditions) -> Option<OneDiode> {
    let unit = THERMAL_V * f64::from(sheet.cells);
    let miss = |a: f64| series_resistance(sheet, conditions, a).map(|rs| warm_miss(sheet, conditions, a, rs));
    let a = bracketed(LEAST_IDEALITY * unit, MOST_IDEALITY * unit, 120, miss)?;
    let rs = series_resistance(sheet, conditions, a)?;
    let (photocurrent_a, saturation_current_a, conductance) = linear_part(sheet, conditions, a, rs)?;
    let module = OneDiode {
        photocurrent_a,
        saturation_current_a,
        series_resistance_ohm: rs,
        shunt_resistance_ohm: 1.0 / conductance,
        modified_ideality_v: a,
        isc_temperature_a_per_k: sheet.isc_temperature_a_per_k,
    };
    accepted(sheet, &module).then_some(module)
}

/// Whether a finished module gives the datasheet back.
fn accepted(sheet: &Datasheet, module: &OneDiode) -> bool {
    let finite = [
        module.photocurrent_a,
        module.saturation_current_a,
        module.series_resistance_ohm,
        module.shunt_resistance_ohm,
        module.modified_ideality_v,
    ]
    .iter()
    .all(|v| v.is_finite());
    let Some(curve) = curve(module, 1000.0, 25.0) else { return false };
    let near = |got: f64, wanted: f64, share: f64| (got - wanted).abs() <= share * wanted;
    finite
        && module.saturation_current_a > 0.0
        && module.series_resistance_ohm >= 0.0
        && module.shunt_resistance_ohm > 0.0
        && near(curve.maximum_power().power_w, sheet.imp_a * sheet.vmp_v, 0.001)
        && near(curve.open_circuit_v(), sheet.voc_v, 0.001)
        && near(curve.short_circuit_a(), sheet.isc_a, 0.01)
}

/// Light current, saturation current and shunt conductance that put the curve through its three points.
fn linear_part(sheet: &Datasheet, conditions: Conditions, a: f64, rs: f64) -> Option<(f64, f64, f64)> {
    let diode = |v: f64, i: f64| (exp((v + i * rs) / a) - 1.0, v + i * rs);
    let finite =
        |parts: (f64, f64, f64)| [parts.0, parts.1, parts.2].iter().all(|v| v.is_finite()).then_some(parts);
    if conditions == Conditions::NoShunt {
        let (e_mp, v_mp) = diode(sheet.vmp_v, sheet.imp_a);
        let (e_oc, v_oc) = diode(sheet.voc_v, 0.0);
        let conductance = NO_SHUNT * sheet.isc_a / sheet.voc_v;
        let saturation = (sheet.imp_a - (v_oc - v_mp) * conductance) / (e_oc - e_mp);
        return finite((saturation * e_oc + conductance * v_oc, saturation, conductance));
    }
    let (e_sc, v_sc) = diode(0.0, sheet.isc_a);
    let (e_mp, v_mp) = diode(sheet.vmp_v, sheet.imp_a);
    let (e_oc, v_oc) = diode(sheet.voc_v, 0.0);
    // IL drops out of the differences to the short circuit.
    let (m11, m12, r1) = (e_mp - e_sc, v_mp - v_sc, sheet.isc_a - sheet.imp_a);
    let (m21, m22, r2) = (e_oc - e_sc, v_oc - v_sc, sheet.isc_a);
    let bottom = m11 * m22 - m12 * m21;
    let saturation = (r1 * m22 - m12 * r2) / bottom;
    let conductance = (m11 * r2 - r1 * m21) / bottom;
    let light = sheet.isc_a + saturation * e_sc + conductance * v_sc;
    finite((light, saturation, conductance))
}

/// Series resistance that makes power flat at the stated maximum, for a given ideality; only where the shunt
/// conductance comes out positive.
fn series_resistance(sheet: &Datasheet, conditions: Conditions, a: f64) -> Option<f64> {
    let most = (sheet.voc_v - sheet.vmp_v) / sheet.imp_a;
    let flat = |rs: f64| {
        let (_, saturation, conductance) = linear_part(sheet, conditions, a, rs)?;
        let slope = saturation / a * exp((sheet.vmp_v + sheet.imp_a * rs) / a) + conductance;
        (saturation > 0.0).then_some(sheet.imp_a - slope * (sheet.vmp_v - sheet.imp_a * rs))
    };
    let rs = bracketed(0.0, most * (1.0 - 1e-6), 100, flat)?;
    let (_, _, conductance) = linear_part(sheet, conditions, a, rs)?;
    (conductance > 0.0).then_some(rs)
}

/// Current at the stated open-circuit voltage of a module two kelvin warmer, as a share of the short-circuit current:
/// zero when the datasheet's coefficient is met.
fn warm_miss(sheet: &Datasheet, conditions: Conditions, a: f64, rs: f64) -> f64 {
    let Some((light, saturation, conductance)) = linear_part(sheet, conditions, a, rs) else {
        return f64::NAN;
    };
    let voltage = sheet.voc_v + STEP_K * sheet.voc_temperature_v_per_k;
    let warm_a = a * (REFERENCE_K + STEP_K) / REFERENCE_K;
    let current = light + STEP_K * sheet.isc_temperature_a_per_k
        - saturation * saturation_ratio(25.0 + STEP_K) * (exp(voltage / warm_a) - 1.0)
        - voltage * conductance;
    current / sheet.isc_a
}

/// The first root on a grid of a function that is not defined everywhere: a change of sign between neighbours, halved.
fn bracketed(from: f64, to: f64, cells: u32, f: impl Fn(f64) -> Option<f64>) -> Option<f64> {
    let mut before: Option<(f64, f64)> = None;
    for k in 0..=cells {
        let x = from + (to - from) * f64::from(k) / f64::from(cells);
        let here = f(x).filter(|y| y.is_finite()).map(|y| (x, y));
        if let (Some((x0, y0)), Some((x1, y1))) = (before, here)
            && (y0 > 0.0) != (y1 > 0.0)
        {
            return halved((x0, y0), x1, &f);
        }
        before = here;
    }
    None
}

fn halved((mut a, ya): (f64, f64), mut b: f64, f: impl Fn(f64) -> Option<f64>) -> Option<f64> {
    let rising = ya <= 0.0;
    for _ in 0..60 {
        let x = 0.5 * (a + b);
        if (f(x)? > 0.0) == rising {
            b = x;
        } else {
            a = x;
        }
    }
    Some(0.5 * (a + b))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A datasheet made from known parameters, with the open-circuit coefficient of the two-kelvin step.
    fn sheet_of(m: &OneDiode, cells: u32) -> Datasheet {
        let c = curve(m, 1000.0, 25.0).unwrap();
        let p = c.maximum_power();
        let warm = curve(m, 1000.0, 25.0 + STEP_K).unwrap();
        Datasheet {
            isc_a: c.short_circuit_a(),
            voc_v: c.open_circuit_v(),
            imp_a: p.current_a,
            vmp_v: p.voltage_v,
            isc_temperature_a_per_k: m.isc_temperature_a_per_k,
            voc_temperature_v_per_k: (warm.open_circuit_v() - c.open_circuit_v()) / STEP_K,
            cells,
        }
    }

    proptest::proptest! {
        #![proptest_config(proptest::prelude::ProptestConfig::with_cases(40))]
        #[test]
        fn parameters_come_back_from_their_own_datasheet(
            cells in 20_u32..150, ideality in 0.8..1.9_f64, current in 1.0..12.0_f64, per_cell in 0.56..0.68_f64,
            rs_share in 0.01..0.06_f64, rsh in 30.0..300.0_f64,
        ) {
            let n = f64::from(cells);
            let a = ideality * THERMAL_V * n;
            let resistance = per_cell * n / current;
            let module = OneDiode {
                photocurrent_a: current,
                saturation_current_a: current / (exp(per_cell * n / a) - 1.0),
                series_resistance_ohm: rs_share * resistance,
                shunt_resistance_ohm: rsh * resistance,
                modified_ideality_v: a,
                isc_temperature_a_per_k: 0.0005 * current,
            };
            let found = fit(&sheet_of(&module, cells)).unwrap();
            for (got, put) in [
                (found.modified_ideality_v, module.modified_ideality_v),
                (found.series_resistance_ohm, module.series_resistance_ohm),
                (found.photocurrent_a, module.photocurrent_a),
            ] {
                proptest::prop_assert!((got / put - 1.0).abs() < 1e-3, "{found:?} v {module:?}");
            }
        }
    }

    #[test]
    fn a_power_too_good_for_its_current_is_met_without_the_shunt() {
        // A public list's row (38 V, 60 cells) whose five conditions would need a negative shunt.
        let sheet = Datasheet {
            isc_a: 9.0,
            voc_v: 38.0,
            imp_a: 8.56,
            vmp_v: 30.71,
            isc_temperature_a_per_k: 0.00207,
            voc_temperature_v_per_k: -0.11438,
            cells: 60,
        };
        assert!(solve(&sheet, Conditions::Five).is_none());
        let module = fit(&sheet).unwrap();
        let c = curve(&module, 1000.0, 25.0).unwrap();
        let p = c.maximum_power();
        assert!((p.power_w / (8.56 * 30.71) - 1.0).abs() < 1e-6 && (p.current_a - 8.56).abs() < 1e-4);
        assert!((c.open_circuit_v() - 38.0).abs() < 1e-6);
        assert!((c.short_circuit_a() / 9.0 - 1.0).abs() < 0.01);
        let warm = curve(&module, 1000.0, 35.0).unwrap().open_circuit_v();
        assert!((warm - 38.0 + 1.1438).abs() < 0.02, "{warm}");
    }

    #[test]
    fn datasheets_that_contradict_themselves_have_no_fit() {
        let good = Datasheet {
            isc_a: 4.97,
            voc_v: 21.8,
            imp_a: 4.58,
            vmp_v: 17.5,
            isc_temperature_a_per_k: 0.004423,
            voc_temperature_v_per_k: -0.081532,
            cells: 36,
        };
        assert!(fit(&good).is_some());
        for bad in [
            Datasheet { imp_a: 4.98, ..good },
            Datasheet { vmp_v: 21.9, ..good },
            Datasheet { voc_temperature_v_per_k: 0.08, ..good },
            Datasheet { cells: 72, ..good },
            Datasheet { cells: 0, ..good },
            Datasheet { vmp_v: 9.0, ..good },
            Datasheet { isc_a: f64::NAN, ..good },
        ] {
            assert!(fit(&bad).is_none(), "{bad:?}");
        }
    }
}
