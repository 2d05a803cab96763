//! Snow on the ground where the record has rain and temperature but no depth: what falls as snow, how it lies, how it melts.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | P | rain and melted snow of the hour | mm | ≥ 0 |
//! | T | air temperature | °C | |
//! | W | water in the snow on the ground | mm | ≥ 0 |
//! | d | depth of the snow on the ground | m | ≥ 0 |
//! | s | fresh snow | m | ≥ 0 |
//!
//! # Equation
//!
//! An hour with T at most `T₀` brings P as snow; in a warmer one `m T/24` of W melts: `W ← max(0, W + P − m·max(T, 0)/24)`, `d = W·n/1000`,
//! where a millimetre of water makes n millimetres of snow. Fresh snow counts by the hour at the one end, and by the 24 hours that end with an
//! hour of snowfall at the other, so that slow snow covers, too.
//!
//! | end | T₀, °C | n | m, mm/(°C day) | fresh snow of |
//! |---|---|---|---|---|
//! | least | 0 | 7 | 5.5 | the hour |
//! | most | 2 | 15 | 2.5 | 24 hours |
//!
//! # Validity
//!
//! Two ends, not a most likely value: between them lie the spreads of the sources. Neither wind nor drift, nor snow that settles. A year
//! that repeats begins with the snow that its end leaves.
//!
//! # Example
//!
//! Two millimetres at −3 °C make 14 mm of snow at the least and 30 mm at the most.
//!
//! # References
//!
//! Melt by degree-days, 2.5 to 5.5 mm/(°C day) for snow: R. Hock, *Temperature index melt modelling in mountain areas*, Journal of Hydrology
//! 282 (2003) 104; from memory. Snow below 0 to 2 °C: common practice, no source. Fresh snow 7 to 15 times as deep as its water: A. Judson
//! and N. Doesken, *Density of freshly fallen snow in the central Rocky Mountains*, Bulletin of the American Meteorological Society 81 (2000)
//! 1577; from memory.

use crate::calendar::HOURS_PER_DAY;
use crate::record::Record;

/// Which end of what rain and temperature leave open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub enum SnowEnd {
    /// The least snow.
    Least,
    /// The most snow.
    Most,
}

impl SnowEnd {
    /// Warmest air in which it snows, °C; depth of fresh snow over its water; melt, mm/(°C day).
    const fn numbers(self) -> (f64, f64, f64) {
        match self {
            Self::Least => (0.0, 7.0, 5.5),
            Self::Most => (2.0, 15.0, 2.5),
        }
    }
}

/// Snow on the ground and fresh snow, m, hour by hour.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ground {
    /// Depth on the ground.
    pub depth_m: Vec<f64>,
    /// Fresh snow that decides whether panels are covered in the hour; none in an hour without snowfall.
    pub fresh_m: Vec<f64>,
}

/// The snow of a record by its rain and temperature; `None` where it has depths of its own or no credible rain.
#[must_use]
pub fn ground(record: &Record, end: SnowEnd) -> Option<Ground> {
    let rain_mm = record.precipitation_mm.as_ref().filter(|_| record.snow_depth_m.is_none())?;
    let (warmest_degc, depth_over_water, melt_mm) = end.numbers();
    let snow_mm: Vec<f64> = rain_mm
        .iter()
        .zip(&record.air_degc)
        .map(|(rain, air)| if *air <= warmest_degc { *rain } else { 0.0 })
        .collect();
    let m_of = |water_mm: f64| water_mm * depth_over_water / 1000.0;
    let mut water_mm = 0.0;
    let mut depth_m = Vec::new();
    // A year that repeats is gone through once to learn what its end leaves.
    for _ in 0..if record.calendar.is_one_year() { 2 } else { 1 } {
        depth_m.clear();
        for (snow, air) in snow_mm.iter().zip(&record.air_degc) {
            let melts_mm = melt_mm * air.max(0.0) / 24.0;
            water_mm = f64::max(water_mm + snow - melts_mm, 0.0);
            depth_m.push(m_of(water_mm));
        }
    }
    let fallen_mm = |h: usize| match end {
        SnowEnd::Least => snow_mm[h],
        SnowEnd::Most => snow_mm[(h + 1).saturating_sub(HOURS_PER_DAY)..=h].iter().sum(),
    };
    let fresh_m =
        (0..snow_mm.len()).map(|h| if snow_mm[h] > 0.0 { m_of(fallen_mm(h)) } else { 0.0 }).collect();
    Some(Ground { depth_m, fresh_m })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::{Calendar, Day};

    fn record(rain_mm: &[(usize, f64)], air_degc: impl Fn(usize) -> f64) -> Record {
        let calendar = Calendar::starting(Day { year: 2023, month: 1, day: 1 }, 4);
        let mut rain = vec![0.0; 96];
        rain_mm.iter().for_each(|(h, mm)| rain[*h] = *mm);
        Record {
            precipitation_mm: Some(rain),
            air_degc: (0..96).map(air_degc).collect(),
            ..Record::without_weather(calendar)
        }
    }

    /// By hand: 2 mm at −3 °C; after 48 hours +6 °C melts 5.5·6/24 = 1.375 mm an hour at the least, 0.625 at the most.
    #[test]
    fn snow_falls_lies_and_melts() {
        let record = record(&[(10, 2.0)], |h| if h < 48 { -3.0 } else { 6.0 });
        let [least, most] = [SnowEnd::Least, SnowEnd::Most].map(|end| ground(&record, end).unwrap());
        assert!((least.depth_m[10] - 0.014).abs() < 1e-12 && (most.depth_m[47] - 0.030).abs() < 1e-12);
        assert!((least.depth_m[48] - 0.007 * 0.625).abs() < 1e-12 && least.depth_m[49] < 1e-12);
        assert!((most.depth_m[50] - 0.015 * 0.125).abs() < 1e-12 && most.depth_m[51] < 1e-12);
        assert!((least.fresh_m[10] - 0.014).abs() < 1e-12 && least.fresh_m[11] < 1e-12);
    }

    /// Slow snow, 0.3 mm an hour: never a centimetre in an hour, but 5 cm in half a day.
    #[test]
    fn slow_snow_covers_at_the_most_alone() {
        let rain: Vec<(usize, f64)> = (0..12).map(|h| (h, 0.3)).collect();
        let record = record(&rain, |_| -5.0);
        let fresh = |end| ground(&record, end).unwrap().fresh_m[11];
        assert!((fresh(SnowEnd::Least) - 0.0021).abs() < 1e-12);
        assert!((fresh(SnowEnd::Most) - 0.054).abs() < 1e-12);
    }

    #[test]
    fn between_the_ends_it_rains_or_snows() {
        let record = record(&[(5, 3.0)], |_| 1.0);
        assert!(ground(&record, SnowEnd::Least).unwrap().depth_m[5] < 1e-12);
        assert!(ground(&record, SnowEnd::Most).unwrap().depth_m[5] > 0.04);
        let own = Record { snow_depth_m: Some(vec![0.0; 96]), ..record.clone() };
        assert!(ground(&own, SnowEnd::Most).is_none());
        assert!(ground(&Record { precipitation_mm: None, ..record }, SnowEnd::Most).is_none());
    }
}
