//! What weather can be: limits of values, and columns that are not to be believed.

use crate::admit::NEAREST_SUN;
use crate::error::{Error, ErrorKind};
use crate::quantity::{Columns, Quantity};
use crate::snow;
use crate::sunlight::Sunlight;
use crate::table::{Meaning, RowData};
use dryspell::calendar::Calendar;
use dryspell::units::counted;

/// The sun's radiation outside the air at the year's farthest, W/m²: 1361 × 0.9666.
const FARTHEST_SUN: f64 = 1315.0;

/// Drops hourly columns that are not to be believed, with a note for each.
pub(crate) fn distrust(
    columns: &mut Columns,
    zero_snow_is_said: bool,
    calendar: &Calendar,
    notes: &mut Vec<String>,
) {
    if let Some(albedo) = columns.get(Quantity::Albedo)
        && all_zero(albedo)
    {
        *columns.get_mut(Quantity::Albedo) = None;
        notes.push("ground albedo is 0 in every row of the file: treated as missing".into());
    }
    if let Some(snow) = columns.get(Quantity::Snow)
        && !zero_snow_is_said
        && all_zero(snow)
    {
        *columns.get_mut(Quantity::Snow) = None;
        notes.push("snow depth is 0 in every row of the file: treated as missing".into());
    }
    if let (Some(depth), Some(air)) = (columns.get(Quantity::Snow), columns.get(Quantity::Air))
        && let Err(why) = snow::credible(depth, air, calendar)
    {
        *columns.get_mut(Quantity::Snow) = None;
        notes.push(format!("the snow depth column is not used: {why}"));
    }
    if let Some(rain) = columns.get(Quantity::Precipitation)
        && let Err(why) = credible_precipitation(rain)
    {
        *columns.get_mut(Quantity::Precipitation) = None;
        notes.push(format!("the precipitation column is not used: {why}"));
    }
}

/// Whether a column has values and all of them are zero.
fn all_zero(column: &[f64]) -> bool {
    column.iter().any(|v| v.is_finite()) && !column.iter().any(|v| *v > 0.0)
}

/// Whether hourly precipitation can be weather: 50 to 4000 mm a year, no hour above 100 mm.
fn credible_precipitation(rain: &[f64]) -> Result<(), String> {
    let given = || rain.iter().filter(|v| v.is_finite());
    let years = given().count() as f64 / 8760.0;
    if years <= 0.0 {
        // Said where gaps are dealt with.
        return Ok(());
    }
    if let Some(bad) = given().find(|v| !(0.0..=100.0).contains(*v)) {
        return Err(format!("an hour of {bad} mm (0 to 100 mm is credible)"));
    }
    let a_year = given().sum::<f64>() / years;
    if !(50.0..=4000.0).contains(&a_year) {
        return Err(format!("{a_year:.0} mm a year (50 to 4000 mm is credible)"));
    }
    Ok(())
}

/// What [`limit`] mended.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct LimitCounts {
    /// Rows whose beam was set to zero because the sun was down.
    pub(crate) beam_at_night: usize,
    /// Radiation just below zero set to zero.
    negatives: usize,
}

impl LimitCounts {
    /// Says what was mended.
    pub(crate) fn note(self, notes: &mut Vec<String>) {
        if self.negatives > 0 {
            notes.push(format!(
                "{} between -5 and 0 W/m2 set to 0",
                counted(self.negatives, "radiation value")
            ));
        }
        if self.beam_at_night > 0 {
            notes.push(format!(
                "direct radiation set to 0 in {} with the sun down",
                counted(self.beam_at_night, "row")
            ));
        }
    }
}

/// Beam below this is left as it is in the night, W/m².
const NIGHT_BEAM: f64 = 5.0;
/// So many rows with beam below twilight are mended; more say that the clock is wrong.
const NIGHT_ROWS: usize = 24;
/// Sine of the height at which the upper rim of the sun rises.
const RISE: f64 = -0.014_543_3;
/// Sine of the height at which civil twilight ends, -6 degrees. Satellite years of 2023 have beam down to -2.2 degrees.
const TWILIGHT: f64 = -0.104_528_463;
/// What half an hour can add to the sine of the sun's height: 7.5 degrees in rad.
const HALF_HOUR: f64 = 0.131;

/// Holds radiation to what the sun's height allows, and takes beam out of the night.
///
/// Physically possible limits of Long and Dutton (2002), as in [`crate::admit`]: with the cosine μ of the zenith angle
/// and radiation S outside the air, global at most 1.5 S μ^1.2 + 100, diffuse at most 0.95 S μ^1.2 + 50. Means over a
/// step are held to the highest sun that the step can have. Where the user has stated what stamps mean, beam at night is
/// set to zero and counted, however much there is.
pub(crate) fn limit(
    rows: &mut RowData,
    sunlight: &mut Sunlight<'_>,
    meaning: Meaning,
    step_min: i64,
    stated: bool,
) -> Result<LimitCounts, Error> {
    let within = match meaning {
        Meaning::Mean(_) => HALF_HOUR * step_min as f64 / 60.0,
        Meaning::Centred | Meaning::Instant { .. } => 0.0,
    };
    let value = |rows: &RowData, q: Quantity, i: usize| rows.columns.get(q).map_or(0.0, |c| c[i]);
    let mut limited = LimitCounts { negatives: rows.mended.negatives, ..LimitCounts::default() };
    let (mut dark, mut strongest) = (0, 0.0);
    for i in 0..rows.stamps.len() {
        let (ghi, dni, dhi) =
            (value(rows, Quantity::Ghi, i), value(rows, Quantity::Dni, i), value(rows, Quantity::Dhi, i));
        if !(ghi > 0.0 || dni > 0.0 || dhi > 0.0) {
            continue;
        }
        let highest = sunlight.cosine(i, 0.0) + within;
        let shape = highest.max(0.0);
        // The square lies below the power of 1.2: most rows pass without the power.
        for (q, found, slope, base) in [(Quantity::Ghi, ghi, 1.5, 100.0), (Quantity::Dhi, dhi, 0.95, 50.0)] {
            if found > slope * FARTHEST_SUN * shape * shape + base {
                let limit = slope * NEAREST_SUN * libm::pow(shape.min(1.0), 1.2) + base;
                if found > limit {
                    let kind = ErrorKind::ImpossibleRadiation { value: found, limit };
                    return Err(rows.error_at(i, kind).in_column(rows.name(q)));
                }
            }
        }
        if dni > NIGHT_BEAM && highest < RISE {
            limited.beam_at_night += 1;
            if highest < TWILIGHT {
                dark += 1;
                strongest = f64::max(strongest, dni);
            }
            if let Some(column) = rows.columns.get_mut(Quantity::Dni) {
                column[i] = 0.0;
            }
        }
    }
    if dark > NIGHT_ROWS && !stated {
        return Err(rows.error(ErrorKind::BeamAtNight { rows: dark, value: strongest }));
    }
    Ok(limited)
}
