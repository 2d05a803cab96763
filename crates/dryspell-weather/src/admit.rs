//! What a single value of weather can be.

use crate::error::ErrorKind;
use crate::quantity::Quantity;

/// Radiation down to this is an instrument's night-time offset and taken as zero, W/m².
const SMALL_NEGATIVE: f64 = -5.0;

/// The sun's radiation outside the air at the year's nearest, W/m²: 1361 × 1.0344.
pub(crate) const NEAREST_SUN: f64 = 1408.0;

/// The most that radiation can be with the sun overhead, W/m².
///
/// Physically possible limits of Long and Dutton, BSRN Global Network recommended QC tests V2.0 (2002), with the
/// cosine of the zenith angle at one: global 1.5 S + 100, diffuse 0.95 S + 50, direct normal S.
fn most_radiation(q: Quantity) -> f64 {
    match q {
        Quantity::Ghi => 1.5 * NEAREST_SUN + 100.0,
        Quantity::Dhi => 0.95 * NEAREST_SUN + 50.0,
        _ => NEAREST_SUN,
    }
}

/// Least and most of what is not radiation: a little beyond the weather records of the Earth.
const fn range(q: Quantity) -> (f64, f64) {
    match q {
        Quantity::Air => (-90.0, 60.0),
        Quantity::Wind => (0.0, 115.0),
        Quantity::Albedo => (0.0, 1.0),
        Quantity::Snow => (0.0, 20.0),
        Quantity::Humidity => (0.0, 1.10),
        Quantity::Pressure => (30_000.0, 110_000.0),
        // Judged as a whole column.
        Quantity::Precipitation | Quantity::Ghi | Quantity::Dni | Quantity::Dhi => (f64::MIN, f64::MAX),
    }
}

/// What [`admit`] mended, in counts.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Repairs {
    /// Radiation just below zero set to zero.
    pub(crate) negatives: usize,
}

/// A value as it enters the table, or why it cannot.
pub(crate) fn admit(q: Quantity, value: f64, mended: &mut Repairs) -> Result<f64, ErrorKind> {
    if q.is_radiation() {
        if value < SMALL_NEGATIVE {
            return Err(ErrorKind::NegativeRadiation { value });
        }
        let limit = most_radiation(q);
        if value > limit {
            return Err(ErrorKind::ImpossibleRadiation { value, limit });
        }
        if value < 0.0 {
            mended.negatives += 1;
        }
        // Also turns a negative zero into zero.
        return Ok(if value > 0.0 { value } else { 0.0 });
    }
    let (from, to) = range(q);
    if !(from..=to).contains(&value) {
        return Err(ErrorKind::Implausible { quantity: q, value, from, to });
    }
    Ok(if q == Quantity::Humidity { value.min(1.0) } else { value + 0.0 })
}
