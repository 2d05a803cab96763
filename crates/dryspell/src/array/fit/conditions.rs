//! The conditions of the fit: which series resistance, currents and shunt follow from an ideality.

use crate::array::Datasheet;
use crate::array::one_diode::{BAND_GAP_PER_K, BOLTZMANN_EV_PER_K, REFERENCE_K};
use libm::{exp, log};

/// Temperature step of the open-circuit condition, K.
pub(super) const STEP_K: f64 = 2.0;
/// Ideality of one cell: real cells lie between 0.8 and 2, rounded datasheets a little outside. Half of that is a wrong
/// count of cells.
pub(super) const LEAST_IDEALITY: f64 = 0.6;
/// See [`LEAST_IDEALITY`].
pub(super) const MOST_IDEALITY: f64 = 2.5;
/// Cells of the grid of series resistances.
const GRID: u32 = 60;

/// Modified ideality of a module with ideality 1, V.
pub(super) fn unit_v(sheet: &Datasheet) -> f64 {
    BOLTZMANN_EV_PER_K * REFERENCE_K * f64::from(sheet.cells)
}

/// The three points that a curve passes through; at the middle one power is flat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Points {
    pub(super) isc_a: f64,
    pub(super) voc_v: f64,
    pub(super) imp_a: f64,
    pub(super) vmp_v: f64,
}

/// The curve through the points for one ideality.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Through {
    pub(super) photocurrent_a: f64,
    pub(super) saturation_current_a: f64,
    pub(super) series_resistance_ohm: f64,
    pub(super) shunt_conductance_per_ohm: f64,
    pub(super) modified_ideality_v: f64,
}

impl Points {
    pub(super) const fn of(sheet: &Datasheet) -> Self {
        Self { isc_a: sheet.isc_a, voc_v: sheet.voc_v, imp_a: sheet.imp_a, vmp_v: sheet.vmp_v }
    }

    /// The curve for a modified ideality; only where the series resistance and the shunt come out positive.
    pub(super) fn through(&self, a: f64) -> Option<Through> {
        let most = (self.voc_v - self.vmp_v) / self.imp_a;
        let flat = |rs: f64| {
            let (_, saturation, conductance) = self.linear_part(a, rs)?;
            let slope = saturation / a * exp((self.vmp_v + self.imp_a * rs) / a) + conductance;
            (saturation > 0.0).then_some(self.imp_a - slope * (self.vmp_v - self.imp_a * rs))
        };
        let rs = bracketed(0.0, most * (1.0 - 1e-6), GRID, flat)?;
        let (photocurrent_a, saturation_current_a, conductance) = self.linear_part(a, rs)?;
        (conductance > 0.0).then_some(Through {
            photocurrent_a,
            saturation_current_a,
            series_resistance_ohm: rs,
            shunt_conductance_per_ohm: conductance,
            modified_ideality_v: a,
        })
    }

    /// Light current, saturation current and shunt conductance that put the curve through its three points.
    fn linear_part(&self, a: f64, rs: f64) -> Option<(f64, f64, f64)> {
        let diode = |v: f64, i: f64| (exp((v + i * rs) / a) - 1.0, v + i * rs);
        let (e_sc, v_sc) = diode(0.0, self.isc_a);
        let (e_mp, v_mp) = diode(self.vmp_v, self.imp_a);
        let (e_oc, v_oc) = diode(self.voc_v, 0.0);
        // IL drops out of the differences to the short circuit.
        let (m11, m12, r1) = (e_mp - e_sc, v_mp - v_sc, self.isc_a - self.imp_a);
        let (m21, m22, r2) = (e_oc - e_sc, v_oc - v_sc, self.isc_a);
        let bottom = m11 * m22 - m12 * m21;
        let saturation = (r1 * m22 - m12 * r2) / bottom;
        let conductance = (m11 * r2 - r1 * m21) / bottom;
        let light = self.isc_a + saturation * e_sc + conductance * v_sc;
        [light, saturation, conductance].iter().all(|v| v.is_finite()).then_some((
            light,
            saturation,
            conductance,
        ))
    }
}

impl Through {
    /// The band gap with which the open-circuit voltage two kelvin higher is as the datasheet's coefficient has it, eV.
    pub(super) fn band_gap_ev(&self, sheet: &Datasheet) -> Option<f64> {
        let warm_k = REFERENCE_K + STEP_K;
        let warmth = warm_k / REFERENCE_K;
        let voltage = sheet.voc_v + STEP_K * sheet.voc_temperature_v_per_k;
        // No current flows there, which fixes the saturation current, and that fixes the gap.
        let current = self.photocurrent_a + STEP_K * sheet.isc_temperature_a_per_k
            - voltage * self.shunt_conductance_per_ohm;
        let saturation = current / (exp(voltage / (self.modified_ideality_v * warmth)) - 1.0);
        let growth = log(saturation / (self.saturation_current_a * warmth * warmth * warmth));
        let gap =
            growth * BOLTZMANN_EV_PER_K / (1.0 / REFERENCE_K - (1.0 + BAND_GAP_PER_K * STEP_K) / warm_k);
        gap.is_finite().then_some(gap)
    }
}

/// The first root on a grid of a function that is not defined everywhere: a change of sign between neighbours, halved.
pub(super) fn bracketed(from: f64, to: f64, cells: u32, f: impl Fn(f64) -> Option<f64>) -> Option<f64> {
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
