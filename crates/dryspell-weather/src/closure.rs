//! Do the stamps mean what they are taken to mean? Global light must equal diffuse plus beam times the sine of the sun's
//! height; at the wrong time of day it does not.

use crate::error::{Error, ErrorKind};
use crate::quantity::{Columns, Quantity};
use crate::sunlight::Sunlight;
use dryspell::units::counted;
use serde::Serialize;

/// Most hours looked at.
const MOST: usize = 400;
/// Fewest hours that decide something.
const FEWEST: usize = 50;
/// Least beam, W/m².
const BEAM: f64 = 100.0;
/// Sines of 10 and 60 degrees: the sun's height between them moves fast enough to tell the time.
const HEIGHTS: std::ops::RangeInclusive<f64> = 0.173_648_177_666_930_33..=0.866_025_403_784_438_6;
/// Stamps may be off by this much, min.
pub(crate) const TOLERANCE_MIN: f64 = 10.0;

/// What the test of the stamps found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Closure {
    /// Rows compared; 0 where nothing could be tested.
    pub rows: usize,
    /// Why the stamps cannot be tested; `None` where they were.
    pub not_testable: Option<String>,
    /// Minutes to add to the times as read for the best agreement.
    pub best_shift_min: Option<f64>,
    /// Root mean square of global less diffuse less beam at the best shift, W/m².
    pub residual_w_per_m2: Option<f64>,
    /// The same with the times as read.
    pub residual_as_read_w_per_m2: Option<f64>,
    /// Best shift of April to September less that of November to February, min, where both seasons tell: about 0 on a
    /// clock without daylight saving, 60 to either side on one with it.
    pub summer_less_winter_min: Option<f64>,
}

impl Closure {
    fn untested(reason: impl Into<String>) -> Self {
        Self {
            rows: 0,
            not_testable: Some(reason.into()),
            best_shift_min: None,
            residual_w_per_m2: None,
            residual_as_read_w_per_m2: None,
            summer_less_winter_min: None,
        }
    }

    /// Whether the stamps were tested and found off.
    pub(crate) fn off(&self) -> Option<ErrorKind> {
        let shift_min = self.best_shift_min.filter(|s| s.abs() > TOLERANCE_MIN)?;
        Some(ErrorKind::StampsOff {
            shift_min,
            residual: self.residual_w_per_m2?,
            residual_as_read: self.residual_as_read_w_per_m2?,
        })
    }
}

/// One row with beam.
#[derive(Debug, Clone, Copy)]
struct Sample {
    level: f64,
    beam: f64,
    /// cos H, sin H with the constant factors of sin h = a + b cos(H + s).
    a: f64,
    b_cos: f64,
    b_sin: f64,
}

/// Root mean square residual with the sun turned by so many minutes.
fn residual(samples: &[Sample], shift_min: f64) -> f64 {
    let (sin_s, cos_s) = libm::sincos((shift_min / 4.0).to_radians());
    let sum: f64 = samples
        .iter()
        .map(|s| {
            let up = s.a + s.b_cos * cos_s - s.b_sin * sin_s;
            let left = s.level - s.beam * up.max(0.0);
            left * left
        })
        .sum();
    (sum / samples.len() as f64).sqrt()
}

/// Tests the times of rows against the sun.
pub(crate) fn test(columns: &Columns, latitude_deg: f64, sunlight: &mut Sunlight<'_>) -> Closure {
    let (Some(ghi), Some(dni), Some(dhi)) =
        (columns.get(Quantity::Ghi), columns.get(Quantity::Dni), columns.get(Quantity::Dhi))
    else {
        return Closure::untested("the file does not have global, direct and diffuse radiation");
    };
    let lit: Vec<usize> =
        (0..ghi.len()).filter(|i| dni[*i] > BEAM && ghi[*i].is_finite() && dhi[*i].is_finite()).collect();
    let spread = |list: &[usize], most: usize| -> Vec<usize> {
        let stride = list.len().div_ceil(most).max(1);
        list.iter().copied().step_by(stride).collect()
    };
    let lit = spread(&lit, 4 * MOST);
    let in_range: Vec<usize> =
        lit.iter().copied().filter(|i| HEIGHTS.contains(&sunlight.cosine(*i, 0.0))).collect();
    // On a clock hours off, beam stands at the wrong heights: then any row with beam is looked at.
    let chosen = if in_range.len() < FEWEST { spread(&lit, MOST) } else { spread(&in_range, MOST) };
    if chosen.len() < FEWEST {
        let rows = counted(chosen.len(), "row");
        return Closure::untested(format!("only {rows} with a beam above {BEAM} W/m2 ({FEWEST} are needed)"));
    }
    let (sin_latitude, cos_latitude) = libm::sincos(latitude_deg.to_radians());
    let samples: Vec<Sample> = chosen
        .iter()
        .map(|i| {
            let sun = sunlight.at(*i, 0.0);
            let cos_declination = (1.0 - sun.sin_declination * sun.sin_declination).max(0.0).sqrt();
            let (sin_h, cos_h) = libm::sincos(sun.hour_angle_rad);
            let b = cos_latitude * cos_declination;
            Sample {
                level: ghi[*i] - dhi[*i],
                beam: dni[*i],
                a: sin_latitude * sun.sin_declination,
                b_cos: b * cos_h,
                b_sin: b * sin_h,
            }
        })
        .collect();
    let season = |months: &[u32]| {
        let of_season: Vec<Sample> = chosen
            .iter()
            .zip(&samples)
            .filter(|(i, _)| months.contains(&sunlight.month(**i)))
            .map(|(_, s)| *s)
            .collect();
        Fit::of(&of_season).filter(|fit| of_season.len() >= FEWEST / 2 && fit.tells())
    };
    // Half a day to either side is the same.
    let apart = |(summer, winter): (Fit, Fit)| {
        (summer.shift_min - winter.shift_min + 720.0).rem_euclid(1440.0) - 720.0
    };
    let summer_less_winter_min = season(&SUMMER).zip(season(&WINTER)).map(apart);
    let Some(fit) = Fit::of(&samples) else { return Closure::untested("no rows with beam") };
    let Fit { shift_min, residual: at_best, beside } = fit;
    if !fit.tells() {
        let reason = format!(
            "global, direct and diffuse radiation do not match at any time of day (residual {at_best:.1} \
             W/m2 at best, {beside:.1} half an hour off)"
        );
        return Closure { summer_less_winter_min, ..Closure::untested(reason) };
    }
    Closure {
        rows: samples.len(),
        not_testable: None,
        best_shift_min: Some(shift_min),
        residual_w_per_m2: Some(at_best),
        residual_as_read_w_per_m2: Some(residual(&samples, 0.0)),
        summer_less_winter_min,
    }
}

/// Months in which clocks are put forward in either hemisphere, and those in which they are not, or the other way round.
const SUMMER: [u32; 6] = [4, 5, 6, 7, 8, 9];
const WINTER: [u32; 4] = [11, 12, 1, 2];
/// Seasons whose best shifts differ by more, min, are on different clocks.
const SEASONS_MIN: f64 = 30.0;

/// The shift at which radiation agrees best with the sun.
#[derive(Debug, Clone, Copy)]
struct Fit {
    shift_min: f64,
    residual: f64,
    /// The residual half an hour to either side.
    beside: f64,
}

impl Fit {
    fn of(samples: &[Sample]) -> Option<Self> {
        if samples.is_empty() {
            return None;
        }
        let best_of = |from: f64, steps: u32, step: f64| {
            (0..=steps).map(|n| from + f64::from(n) * step).fold((0.0, f64::INFINITY), |best, shift| {
                let r = residual(samples, shift);
                if r < best.1 { (shift, r) } else { best }
            })
        };
        let coarse = best_of(-720.0, 288, 5.0).0;
        let (shift_min, at_best) = best_of(coarse - 5.0, 40, 0.25);
        let beside = 0.5 * (residual(samples, shift_min - 30.0) + residual(samples, shift_min + 30.0));
        Some(Self { shift_min, residual: at_best, beside })
    }

    /// Whether the agreement is sharp enough to tell the time.
    fn tells(&self) -> bool {
        self.residual <= 0.6 * self.beside
    }
}

/// Refuses stamps that are off, unless the user has said what they mean or takes the fitted shift.
/// The result is the shift to apply, min.
pub(crate) fn judge(
    file: &str,
    closure: &Closure,
    stated: bool,
    accept_shift: bool,
    notes: &mut Vec<String>,
) -> Result<i64, Error> {
    if let Some(minutes) = closure.summer_less_winter_min.filter(|m| m.abs() > SEASONS_MIN && !stated) {
        return Err(Error::new(file, ErrorKind::ClockMovesWithTheSeasons { minutes }));
    }
    let Some(kind) = closure.off() else { return Ok(0) };
    let shift = closure.best_shift_min.unwrap_or(0.0);
    if stated {
        notes.push(format!(
            "the sun agrees best with times shifted by {shift:+.0} min; the stated meaning of the stamps is kept"
        ));
        return Ok(0);
    }
    if accept_shift {
        #[expect(clippy::cast_possible_truncation, reason = "within half a day")]
        let minutes = libm::round(shift) as i64;
        notes.push(format!("times shifted by {minutes:+} min to agree with the sun, as accepted"));
        return Ok(minutes);
    }
    Err(Error::new(file, kind))
}
