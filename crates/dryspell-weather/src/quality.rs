//! What weather can be: limits of values, and columns that are not to be believed.

use crate::error::{Error, ErrorKind};
use crate::quantity::{Columns, Quantity};

/// Radiation down to this is an instrument's night-time offset and taken as zero, W/m².
const SMALL_NEGATIVE: f64 = -5.0;

/// The sun's radiation outside the air at the year's nearest, W/m²: 1361 × 1.0344.
const NEAREST_SUN: f64 = 1408.0;

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
pub(crate) struct Mended {
    /// Radiation just below zero set to zero.
    pub(crate) negatives: usize,
}

/// A value as it enters the table, or why it cannot.
pub(crate) fn admit(q: Quantity, value: f64, mended: &mut Mended) -> Result<f64, ErrorKind> {
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

/// Drops hourly columns that are not to be believed, with a note for each.
pub(crate) fn distrust(columns: &mut Columns, zero_snow_is_said: bool, notes: &mut Vec<String>) {
    if let Some(albedo) = columns.get(Quantity::Albedo)
        && albedo.iter().all(|v| *v <= 0.0)
    {
        *columns.get_mut(Quantity::Albedo) = None;
        notes.push("ground albedo is 0 in every row of the file: treated as not given".into());
    }
    if let Some(snow) = columns.get(Quantity::Snow)
        && !zero_snow_is_said
        && snow.iter().all(|v| *v <= 0.0)
    {
        *columns.get_mut(Quantity::Snow) = None;
        notes.push("snow depth is 0 in every row of the file: treated as not given".into());
    }
    if let Some(rain) = columns.get(Quantity::Precipitation)
        && let Err(why) = credible_precipitation(rain)
    {
        *columns.get_mut(Quantity::Precipitation) = None;
        notes.push(format!("the precipitation column is not used: {why}"));
    }
}

/// Whether hourly precipitation can be weather: 50 to 4000 mm a year, no hour above 100 mm.
fn credible_precipitation(rain: &[f64]) -> Result<(), String> {
    let years = rain.len() as f64 / 8760.0;
    if let Some(bad) = rain.iter().find(|v| !(0.0..=100.0).contains(*v)) {
        return Err(format!("an hour of {bad} mm (0 to 100 mm is credible)"));
    }
    let a_year = rain.iter().sum::<f64>() / years.max(f64::MIN_POSITIVE);
    if !(50.0..=4000.0).contains(&a_year) {
        return Err(format!("{a_year:.0} mm a year (50 to 4000 mm is credible)"));
    }
    Ok(())
}

/// Refuses missing values in columns that are needed, and drops the others, with a note for each.
pub(crate) fn whole(
    file: &str,
    columns: &mut Columns,
    time: impl Fn(usize) -> String,
    notes: &mut Vec<String>,
) -> Result<(), Error> {
    for q in Quantity::ALL {
        let Some(column) = columns.get(q) else { continue };
        let missing = column.iter().filter(|v| v.is_nan()).count();
        if missing == 0 {
            continue;
        }
        if q.is_needed() {
            let first = column.iter().position(|v| v.is_nan()).unwrap_or(0);
            let run = column[first..].iter().take_while(|v| v.is_nan()).count() as f64;
            let kind = ErrorKind::MissingValues { quantity: q, from: time(first), hours: run };
            return Err(Error::new(file, kind));
        }
        let all = column.len();
        *columns.get_mut(q) = None;
        let words = q.words();
        notes.push(if missing == all {
            format!("the {words} column is marked as missing in every row")
        } else {
            format!("the {words} column is not used: {missing} of {all} hours are missing")
        });
    }
    Ok(())
}
