//! Rows at any step → hours, and the light of their parts at the rows' own step.
//!
//! Means are averaged by the share of each row in the hour. Snapshots stand for the step around them: their clearness
//! is taken to hold there, so global and diffuse light follow the height of the sun within the step, and beam lasts
//! while the sun is up. A half-hourly snapshot at the full hour thus gives a quarter of an hour to each side. Where the
//! sun stands too low in a snapshot to tell the clearness, the nearest higher one within two hours stands in, so that
//! the light between sunrise and the first snapshot is not lost.

use crate::quantity::{Columns, Quantity};
use crate::sunlight::Sunlight;
use crate::table::RowData;
use crate::timing::RowPlaces;
use dryspell::record::{PartLight, YearKind};

/// Seconds in an hour.
const HOUR_S: i64 = 3600;
/// An hour needs rows for this much of it; the hours at the ends of a file of snapshots lack a part.
const LEAST_SHARE: f64 = 0.5;
/// Below this cosine of the zenith angle a snapshot says nothing about the clearness of the sky (as in the core).
const LEAST_COSINE: f64 = 0.065;

/// Hourly columns with NaN where values are missing.
#[derive(Debug, Clone)]
pub(crate) struct Hours {
    pub(crate) columns: Columns,
    /// Whether the file has rows for the hour, or for half of it.
    pub(crate) has_row: Vec<bool>,
}

/// Rows that are hours already, each at its place.
pub(crate) fn place(rows: &mut RowData, laid: &RowPlaces) -> Hours {
    let n = laid.calendar.hours();
    let in_place =
        |(row, middle): (usize, &i64)| usize::try_from(middle.div_euclid(HOUR_S)).is_ok_and(|h| h == row);
    if laid.middles_s.len() == n && laid.middles_s.iter().enumerate().all(in_place) {
        return Hours { columns: std::mem::take(&mut rows.columns), has_row: vec![true; n] };
    }
    let slot = |middle: &i64| usize::try_from(middle.div_euclid(HOUR_S)).unwrap_or(usize::MAX);
    let mut has_row = vec![false; n];
    for middle in &laid.middles_s {
        if let Some(here) = has_row.get_mut(slot(middle)) {
            *here = true;
        }
    }
    let mut columns = Columns::default();
    for q in Quantity::ALL {
        let Some(values) = rows.columns.get(q) else { continue };
        let mut hours = vec![f64::NAN; n];
        for (middle, value) in laid.middles_s.iter().zip(values) {
            if let Some(hour) = hours.get_mut(slot(middle)) {
                *hour = *value;
            }
        }
        *columns.get_mut(q) = Some(hours);
    }
    Hours { columns, has_row }
}

/// A stretch of a row within one slot.
struct Piece {
    row: usize,
    slot: usize,
    seconds: f64,
    light: Light,
}

/// Light of a stretch: the row that it is taken from, and what its values are multiplied with.
#[derive(Debug, Clone, Copy)]
struct Light {
    row: usize,
    /// Factor of global and diffuse light.
    level: f64,
    /// Row of the beam: the row itself where the sun is up in it.
    beam_row: usize,
    /// Factor of beam.
    beam: f64,
}

/// Hours made from rows of `step_min` minutes.
pub(crate) fn resample(
    rows: &RowData,
    laid: &RowPlaces,
    step_min: i64,
    snapshots: bool,
    sunlight: &mut Sunlight<'_>,
) -> Hours {
    onto(rows, laid, (step_min, HOUR_S), snapshots, sunlight, &Quantity::ALL)
}

/// Light of the parts of the hours, at the rows' own step, beside the filled hours. A part without rows takes the light of its hour, so
/// that the mean stays; so does every part of an hour that was filled, since nothing in it was measured.
pub(crate) fn parts(
    rows: &RowData,
    laid: &RowPlaces,
    step_min: i64,
    snapshots: bool,
    sunlight: &mut Sunlight<'_>,
    (measured, filled): (&Hours, &Columns),
) -> Vec<PartLight> {
    let light = [Quantity::Ghi, Quantity::Dni, Quantity::Dhi];
    let fine = onto(rows, laid, (step_min, step_min * 60), snapshots, sunlight, &light);
    let count = usize::try_from(60 / step_min).unwrap_or(1);
    let column = |q: Quantity, part: usize| -> Option<Vec<f64>> {
        let (steps, before, hours) = (fine.columns.get(q)?, measured.columns.get(q)?, filled.get(q)?);
        let of_hour = |(h, hour): (usize, &f64)| {
            let step = steps[h * count + part];
            if before[h].is_nan() || step.is_nan() { *hour } else { step }
        };
        Some(hours.iter().enumerate().map(of_hour).collect())
    };
    let part = |part: usize| PartLight {
        ghi_w_per_m2: column(Quantity::Ghi, part).unwrap_or_default(),
        dni_w_per_m2: column(Quantity::Dni, part),
        dhi_w_per_m2: column(Quantity::Dhi, part),
    };
    (0..count).map(part).collect()
}

/// Columns of slots of `slot_s` seconds, a whole number of which make an hour.
fn onto(
    rows: &RowData,
    laid: &RowPlaces,
    (step_min, slot_s): (i64, i64),
    snapshots: bool,
    sunlight: &mut Sunlight<'_>,
    quantities: &[Quantity],
) -> Hours {
    let n = laid.calendar.hours() * usize::try_from(HOUR_S / slot_s).unwrap_or(1);
    let least_s = LEAST_SHARE * slot_s as f64;
    let wraps = laid.kind == YearKind::Typical;
    let length = n as i64 * slot_s;
    let half = step_min * 30;
    let ghi = rows.columns.get(Quantity::Ghi);
    let shines = |row: usize| ghi.and_then(|g| g.get(row)).is_some_and(|v| *v > 0.0);
    let mut pieces = Vec::with_capacity(laid.middles_s.len() * 2);
    for (row, middle) in laid.middles_s.iter().enumerate() {
        let (from, to) = (middle - half, middle + half);
        let lit = snapshots && (shines(row) || shines(row + 1) || (row > 0 && shines(row - 1)));
        let source = if lit { sky_of(sunlight, laid, row, step_min, &shines) } else { None };
        let mut at = from;
        while at < to {
            let until = ((at.div_euclid(slot_s) + 1) * slot_s).min(to);
            let on_record = if wraps { at.rem_euclid(length) } else { at };
            if let Ok(slot) = usize::try_from(on_record.div_euclid(slot_s))
                && slot < n
            {
                let light = match source {
                    Some(source) => light(sunlight, row, source, at - middle, until - middle),
                    None => Light { row, level: 1.0, beam_row: row, beam: 1.0 },
                };
                pieces.push(Piece { row, slot, seconds: (until - at) as f64, light });
            }
            at = until;
        }
    }
    let mut covered = vec![0.0; n];
    for piece in &pieces {
        covered[piece.slot] += piece.seconds;
    }
    let has_row = covered.into_iter().map(|seconds| seconds >= least_s).collect();
    let mut columns = Columns::default();
    for &q in quantities {
        let Some(values) = rows.columns.get(q) else { continue };
        let mut sums = vec![(0.0, 0.0); n];
        for piece in &pieces {
            let (row, factor) = match q {
                Quantity::Ghi | Quantity::Dhi => (piece.light.row, piece.light.level),
                Quantity::Dni => (piece.light.beam_row, piece.light.beam),
                // Amounts in the step, not means.
                Quantity::Precipitation => (piece.row, 60.0 / step_min as f64),
                _ => (piece.row, 1.0),
            };
            let value = values[row];
            if value.is_nan() || values[piece.row].is_nan() {
                continue;
            }
            let sum = &mut sums[piece.slot];
            sum.0 += value * factor * piece.seconds;
            sum.1 += piece.seconds;
        }
        let mean = |(sum, seconds): (f64, f64)| if seconds >= least_s { sum / seconds } else { f64::NAN };
        *columns.get_mut(q) = Some(sums.into_iter().map(mean).collect());
    }
    Hours { columns, has_row }
}

/// The row whose sky stands for a row's, with the cosine of its zenith angle; `None` where none is near.
fn sky_of(
    sunlight: &mut Sunlight<'_>,
    laid: &RowPlaces,
    row: usize,
    step_min: i64,
    shines: &impl Fn(usize) -> bool,
) -> Option<(usize, f64)> {
    let own = sunlight.cosine(row, 0.0);
    if own >= LEAST_COSINE {
        return Some((row, own));
    }
    let reach = usize::try_from(120 / step_min).unwrap_or(1);
    let near = (1..=reach).flat_map(|k| [row.checked_sub(k), row.checked_add(k)]).flatten();
    for other in near {
        let apart = laid.middles_s.get(other).map(|m| (m - laid.middles_s[row]).abs());
        if apart.is_some_and(|s| s <= 7200) && shines(other) {
            let cosine = sunlight.cosine(other, 0.0);
            if cosine >= LEAST_COSINE {
                return Some((other, cosine));
            }
        }
    }
    None
}

/// The light of a row between two times, in seconds from the row, from the sky of the row `source`.
fn light(sunlight: &mut Sunlight<'_>, row: usize, source: (usize, f64), from: i64, to: i64) -> Light {
    let (source, cosine) = source;
    let (from, to) = (from as f64, to as f64);
    let ends =
        [sunlight.cosine(row, from), sunlight.cosine(row, 0.5 * (from + to)), sunlight.cosine(row, to)];
    let beam_row = if sunlight.cosine(row, 0.0) > 0.0 { row } else { source };
    let (mut mean, mut beam) = (0.0, 0.0);
    for (there, weight) in ends.iter().zip([1.0 / 6.0, 4.0 / 6.0, 1.0 / 6.0]) {
        if *there > 0.0 {
            mean += there * weight;
            beam += weight * if beam_row == row { 1.0 } else { through_air(*there) / through_air(cosine) };
        }
    }
    Light { row: source, level: mean / cosine, beam_row, beam }
}

/// Beam that a clear sky lets through: 0.7 to the power of the air mass to the 0.678 (Meinel and Meinel 1976, from
/// memory). Another row's beam is weakened by it towards the horizon.
fn through_air(cosine: f64) -> f64 {
    libm::pow(0.7, libm::pow(1.0 / cosine.max(0.01), 0.678))
}
