//! Five parameters from a datasheet.

mod conditions;

use crate::array::one_diode::{SILICON_BAND_GAP_EV, curve};
use crate::array::{Datasheet, OneDiode};
use conditions::{LEAST_IDEALITY, MOST_IDEALITY, Points, Through, bracketed};

/// Open-circuit voltage below which no cell of any kind lies, V: the count then holds cells that stand in parallel.
const LEAST_CELL_V: f64 = 0.45;
/// Usual open-circuit voltage of a silicon cell, V.
const USUAL_CELL_V: f64 = 0.65;
/// Cells of the grid of idealities on which the exact fit is bracketed.
const GRID: u32 = 120;
/// Band gap that may stand for a voltage coefficient, eV: silicon's own over an ideality from 2 down to 0.6 lies between
/// 0.56 and 1.9, thin films reach higher. What lies outside is a wrong coefficient or a wrong count of cells.
const GAPS_EV: std::ops::RangeInclusive<f64> = 0.8..=2.2;
/// Steps in which the short-circuit current gives way, and their size: together just below 1 %.
const ISC_STEPS: u32 = 10;
/// See [`ISC_STEPS`].
const ISC_STEP: f64 = 0.000_99;
/// Steps in which the voltage of maximum power gives way, each way, and their size: together 10 %.
const VMP_STEPS: u32 = 50;
/// See [`VMP_STEPS`].
const VMP_STEP: f64 = 0.002;

/// How a module was fitted to its datasheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Tier {
    /// All five conditions hold.
    Exact,
    /// The voltage coefficient does not fit the other values; it is met by a band gap of the module's own.
    OwnBandGap,
    /// No one-diode module has its maximum at the stated voltage; power and open-circuit voltage are met, the rest as
    /// nearly as can be.
    LeastSquares,
}

impl Tier {
    /// The tier in words, for the list of assumptions.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Exact => "all datasheet values met",
            Self::OwnBandGap => "the voltage coefficient is met by fitting the module's band gap",
            Self::LeastSquares => {
                "power and open-circuit voltage are met, current and voltage at maximum power as closely as possible"
            }
        }
    }
}

/// A module that meets its datasheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FittedModule {
    /// The parameters.
    pub module: OneDiode,
    /// How they were found.
    pub tier: Tier,
    /// By what share the short-circuit current had to be raised, 0 to 0.01.
    pub isc_miss: f64,
    /// By what share the voltage of maximum power had to be moved (the current goes the other way, power stays).
    pub vmp_miss: f64,
    /// Cells in series that the fit took; fewer than stated where the stated count holds cells in parallel.
    pub cells: u32,
    /// What the stated count of cells was divided by.
    pub in_parallel: u32,
}

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
/// Datasheets are rounded, and not every one is met so. In this order ([`Tier`]):
/// 1. *Exact*: all five.
/// 2. *Own band gap*: the first four hold for a range of idealities, but none of them with the stated βoc. That
///    condition is dropped; of the range the ideality is taken whose voltage coefficient is nearest, and the rest of
///    βoc is carried by the band gap Eg of the module, which sets how fast I0 grows with temperature and nothing else.
///    (The published model has silicon's 1.121 eV for any ideality n, although a real junction's current grows with
///    Eg/n: for low n the effective gap is larger.) Where the four leave no positive shunt (power too good for the stated
///    Isc, often by rounding) Isc is raised in steps of 0.1 %, by less than 1 %.
/// 3. *Least squares*: no curve has its maximum at (Vmp, Imp). Voc and the power Vmp·Imp are kept; the maximum moves
///    along the line of that power, and Isc up, so that the sum of the squares of the relative misses of Isc, Vmp and Imp
///    is least, within 1 % for Isc and 10 % for Vmp. βoc is met as in 2.
///
/// The count of cells only bounds the ideality. Half-cut and shingled modules are often stated with cells in parallel
/// counted: where Voc/Ns lies below 0.45 V, Ns is divided by the whole number that brings it nearest to 0.65 V.
///
/// # Validity
///
/// Crystalline silicon; thin films as far as a single diode carries. A set counts only if Rs ≥ 0, Rsh > 0,
/// a/(Ns·kT/q) lies between 0.6 and 2.5 and Eg between 0.8 and 2.2 eV, all are finite, and the finished curve gives back
/// the maximum power and Voc within 0.1 % and Isc within 1 %.
///
/// # Example
///
/// ```
/// use dryspell::array::{Datasheet, fit::{Tier, fit}};
/// let sheet = Datasheet { isc_a: 4.97, voc_v: 21.8, imp_a: 4.58, vmp_v: 17.5, isc_temperature_a_per_k: 0.004423,
///     voc_temperature_v_per_k: -0.081532, cells: 36 };
/// let fitted = fit(&sheet).unwrap();
/// assert_eq!(fitted.tier, Tier::Exact);
/// let p = dryspell::array::one_diode::curve(&fitted.module, 1000.0, 25.0).unwrap().maximum_power();
/// assert!((p.power_w - 4.58 * 17.5).abs() < 1e-4);
/// ```
///
/// # References
///
/// W. De Soto, S. A. Klein and W. A. Beckman, *Improvement and validation of a model for photovoltaic array performance*,
/// Solar Energy 80 (2006) 78, doi 10.1016/j.solener.2005.06.010, section 3 (equations 2, 4 to 7). The second and third
/// tier are our own; A. P. Dobos, *An improved coefficient calculator for the California Energy Commission 6 parameter
/// photovoltaic module model*, J. Solar Energy Engineering 134 (2012) 021011, doi 10.1115/1.4005759, also drops the
/// stated coefficients where they do not fit, and scales them.
#[must_use]
pub fn fit(sheet: &Datasheet) -> Option<FittedModule> {
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
    let in_parallel = cells_in_parallel(sheet);
    let sheet = &Datasheet { cells: (sheet.cells / in_parallel).max(1), ..*sheet };
    exact(sheet)
        .or_else(|| own_band_gap(sheet))
        .or_else(|| least_squares(sheet))
        .map(|fitted| FittedModule { in_parallel, ..fitted })
}

/// How many cells of the stated count stand side by side.
fn cells_in_parallel(sheet: &Datasheet) -> u32 {
    let per_cell = sheet.voc_v / f64::from(sheet.cells);
    if per_cell >= LEAST_CELL_V {
        return 1;
    }
    (2..=64_u32)
        .min_by(|a, b| {
            let off = |n: u32| (per_cell * f64::from(n) - USUAL_CELL_V).abs();
            off(*a).total_cmp(&off(*b))
        })
        .unwrap_or(1)
}

/// The five conditions.
fn exact(sheet: &Datasheet) -> Option<FittedModule> {
    let points = Points::of(sheet);
    let miss = |a: f64| {
        let through = points.through(a)?;
        Some(through.band_gap_ev(sheet)? - SILICON_BAND_GAP_EV)
    };
    let unit = conditions::unit_v(sheet);
    let a = bracketed(LEAST_IDEALITY * unit, MOST_IDEALITY * unit, GRID, miss)?;
    finished(sheet, &points.through(a)?, SILICON_BAND_GAP_EV, Tier::Exact, 0.0, 0.0)
}

/// Four conditions, with the band gap nearest to silicon's that the range of idealities leaves.
fn own_band_gap(sheet: &Datasheet) -> Option<FittedModule> {
    raised(sheet, &Points::of(sheet))
        .and_then(|(miss, through, gap)| finished(sheet, &through, gap, Tier::OwnBandGap, miss, 0.0))
}

/// The least that the short-circuit current must be raised for a physical set of four conditions.
fn raised(sheet: &Datasheet, points: &Points) -> Option<(f64, Through, f64)> {
    (0..=ISC_STEPS).find_map(|step| {
        let miss = f64::from(step) * ISC_STEP;
        let (through, gap) = nearest_gap(sheet, &Points { isc_a: points.isc_a * (1.0 + miss), ..*points })?;
        Some((miss, through, gap))
    })
}

/// Of all idealities that leave a physical set, the one with the band gap nearest to silicon's.
fn nearest_gap(sheet: &Datasheet, points: &Points) -> Option<(Through, f64)> {
    let unit = conditions::unit_v(sheet);
    let cells = 95;
    let far = |gap: f64| (gap - SILICON_BAND_GAP_EV).abs();
    (0..=cells)
        .filter_map(|k| {
            let ideality =
                LEAST_IDEALITY + (MOST_IDEALITY - LEAST_IDEALITY) * f64::from(k) / f64::from(cells);
            let through = points.through(ideality * unit)?;
            let gap = through.band_gap_ev(sheet).filter(|gap| GAPS_EV.contains(gap))?;
            Some((through, gap))
        })
        .min_by(|a, b| far(a.1).total_cmp(&far(b.1)))
}

/// The maximum moved along the line of its power, and the short-circuit current raised, by the least squares.
fn least_squares(sheet: &Datasheet) -> Option<FittedModule> {
    let stated = Points::of(sheet);
    let mut best: Option<(f64, FittedModule)> = None;
    for step in 1..=VMP_STEPS {
        let move_by = f64::from(step) * VMP_STEP;
        // Vmp and Imp miss by the same share.
        if best.as_ref().is_some_and(|(least, _)| *least <= 2.0 * move_by * move_by) {
            break;
        }
        for vmp_miss in [-move_by, move_by] {
            let points = Points {
                vmp_v: stated.vmp_v * (1.0 + vmp_miss),
                imp_a: stated.imp_a / (1.0 + vmp_miss),
                ..stated
            };
            if points.vmp_v >= points.voc_v || points.imp_a >= points.isc_a {
                continue;
            }
            let Some((isc_miss, through, gap)) = raised(sheet, &points) else { continue };
            let squares = 2.0 * vmp_miss * vmp_miss + isc_miss * isc_miss;
            if best.as_ref().is_none_or(|(least, _)| squares < *least) {
                best = finished(sheet, &through, gap, Tier::LeastSquares, isc_miss, vmp_miss)
                    .map(|fitted| (squares, fitted))
                    .or(best);
            }
        }
    }
    best.map(|(_, fitted)| fitted)
}

/// A module from what its conditions left, if it gives the datasheet back.
fn finished(
    sheet: &Datasheet,
    through: &Through,
    band_gap_ev: f64,
    tier: Tier,
    isc_miss: f64,
    vmp_miss: f64,
) -> Option<FittedModule> {
    let module = OneDiode {
        photocurrent_a: through.photocurrent_a,
        saturation_current_a: through.saturation_current_a,
        series_resistance_ohm: through.series_resistance_ohm,
        shunt_resistance_ohm: 1.0 / through.shunt_conductance_per_ohm,
        modified_ideality_v: through.modified_ideality_v,
        isc_temperature_a_per_k: sheet.isc_temperature_a_per_k,
        band_gap_ev,
    };
    let cells = sheet.cells;
    accepted(sheet, &module).then_some(FittedModule {
        module,
        tier,
        isc_miss,
        vmp_miss,
        cells,
        in_parallel: 1,
    })
}

/// Whether a finished module gives the datasheet back.
fn accepted(sheet: &Datasheet, module: &OneDiode) -> bool {
    let finite = [
        module.photocurrent_a,
        module.saturation_current_a,
        module.series_resistance_ohm,
        module.shunt_resistance_ohm,
        module.modified_ideality_v,
        module.band_gap_ev,
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

#[cfg(test)]
mod tests;
