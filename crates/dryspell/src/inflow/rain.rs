//! Rain caught on an area: a roof, a paved slope, or the tank's own open water.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `A` | area of the catchment, as seen from above | m² | 0 to 10⁶ |
//! | `C` | runoff coefficient | – | 0 to 1 |
//! | `F` | first flush, lost at the beginning of each rain | mm | 0 to 100 |
//! | `P` | rain since this rain began | mm | ≥ 0 |
//! | `V` | volume from the beginning of this rain | m³ | ≥ 0 |
//!
//! # Equation
//!
//! `V = C · A · max(0, P − F) / 1000`; what an hour brings is the growth of `V` in it.
//!
//! A rain is over after [`DRY_GAP_H`] hours without rain; the next one begins a new flush. On open water `C` is 1 and `F` is 0.
//!
//! # Validity
//!
//! No delay on the way: the water arrives in the hour in which it falls. The coefficient is the same in a drizzle and in a
//! downpour, in which gutters overflow. Rain in hours below [`SNOW_BELOW_DEGC`] counts as nothing, and so does the melt that
//! follows ([`liquid_mm`]): that errs against the scheme. Rain given once a day is right but for its hour. A total spread evenly over many
//! days is not ([`spread_evenly`]): a tank that overflows in a storm keeps all of it when the storm is spread.
//!
//! # Example
//!
//! ```
//! use dryspell::inflow::{Catchment, rain::runoff_m3};
//! // 10 mm on 100 m², of which the first 1 mm is lost and 90 % of the rest arrives: 0.81 m³.
//! let roof = Catchment { area_m2: 100.0, runoff_coefficient: 0.9, first_flush_mm: 1.0 };
//! let mut rain_mm = [0.0; 24];
//! (rain_mm[3], rain_mm[4]) = (4.0, 6.0);
//! let m3 = runoff_m3(&roof, &rain_mm, false);
//! assert!((m3[3] - 0.27).abs() < 1e-12 && (m3[4] - 0.54).abs() < 1e-12);
//! ```
//!
//! # References
//!
//! - `V = C · A · P` is the rational method of any textbook. Texas Water Development Board (2005). The Texas Manual on
//!   Rainwater Harvesting, 3rd edition: 0.62 gal from a square foot and an inch of rain, a first flush of at least 10 gal from
//!   1000 square feet (0.4 mm); from memory.
//! - A gap of 6 hours: Driscoll, E. D., Palhegyi, G. E., Strecker, E. W. and Shelley, P. E. (1989). Analysis of storm event
//!   characteristics for selected rainfall gages throughout the United States. US EPA; from memory.
//! - The bound of 2 °C is our own choice. US Army Corps of Engineers (1956), Snow Hydrology: rain and snow fall mixed from
//!   about 1 to 3 °C; from memory.

/// Hours without rain after which a rain is over.
pub const DRY_GAP_H: u32 = 6;

/// Air temperature below which precipitation is taken as snow, °C.
pub const SNOW_BELOW_DEGC: f64 = 2.0;

/// Days one after another with the same rain from which it was not measured.
const SAME_DAYS: usize = 14;

/// An area that catches rain.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Catchment {
    /// Area as seen from above, m², > 0.
    pub area_m2: f64,
    /// Share of the rain that arrives, > 0, at most 1.
    pub runoff_coefficient: f64,
    /// Depth lost at the beginning of each rain, mm, ≥ 0.
    pub first_flush_mm: f64,
}

impl Catchment {
    /// Open water: every drop arrives.
    #[must_use]
    pub const fn open_water(area_m2: f64) -> Self {
        Self { area_m2, runoff_coefficient: 1.0, first_flush_mm: 0.0 }
    }
}

/// The rain that falls now and the hours since.
struct Event {
    fallen_mm: f64,
    dry_h: u32,
}

impl Event {
    /// What of an hour's rain is left after the first flush, mm.
    fn left_mm(&mut self, rain_mm: f64, first_flush_mm: f64) -> f64 {
        if rain_mm <= 0.0 {
            self.dry_h = self.dry_h.saturating_add(1);
            return 0.0;
        }
        if self.dry_h >= DRY_GAP_H {
            self.fallen_mm = 0.0;
        }
        self.dry_h = 0;
        let left = |fallen_mm: f64| (fallen_mm - first_flush_mm).max(0.0);
        let before = left(self.fallen_mm);
        self.fallen_mm += rain_mm;
        // A rounding must not make more than fell.
        (left(self.fallen_mm) - before).min(rain_mm)
    }
}

/// Volume that a catchment brings in each hour, m³; see the [law](self). Where the hours are a year that `repeats`, a rain
/// that falls over its end goes on at its beginning.
#[must_use]
pub fn runoff_m3(catchment: &Catchment, rain_mm: &[f64], repeats: bool) -> Vec<f64> {
    let Catchment { area_m2, runoff_coefficient, first_flush_mm } = *catchment;
    let mut event = Event { fallen_mm: 0.0, dry_h: DRY_GAP_H };
    if repeats {
        for rain in rain_mm {
            event.left_mm(*rain, first_flush_mm);
        }
    }
    let m3 = |rain: &f64| runoff_coefficient * area_m2 * event.left_mm(*rain, first_flush_mm) / 1000.0;
    rain_mm.iter().map(m3).collect()
}

/// Precipitation without that of hours below [`SNOW_BELOW_DEGC`], mm.
///
/// ```
/// use dryspell::inflow::rain::liquid_mm;
/// assert_eq!(liquid_mm(&[3.0, 3.0, 3.0], &[1.9, 2.0, 12.0]), [0.0, 3.0, 3.0]);
/// ```
#[must_use]
pub fn liquid_mm(precipitation_mm: &[f64], air_degc: &[f64]) -> Vec<f64> {
    let liquid = |(mm, degc): (&f64, &f64)| if *degc < SNOW_BELOW_DEGC { 0.0 } else { *mm };
    precipitation_mm.iter().zip(air_degc).map(liquid).collect()
}

/// The first day of two weeks with the same rain on each, which is a total spread evenly and no weather. The two weeks are
/// our own choice, without a source.
///
/// ```
/// use dryspell::inflow::rain::spread_evenly;
/// // 60 mm in a month of 30 days, after a dry day.
/// let mut rain_mm = vec![0.0; 31 * 24];
/// rain_mm[24..].fill(60.0 / 720.0);
/// assert_eq!(spread_evenly(&rain_mm), Some(1));
/// assert_eq!(spread_evenly(&rain_mm[..14 * 24]), None);
/// ```
#[must_use]
pub fn spread_evenly(precipitation_mm: &[f64]) -> Option<usize> {
    let days: Vec<f64> = precipitation_mm.chunks(24).map(|day| day.iter().sum()).collect();
    let same = |two: &[f64]| (two[1] - two[0]).abs() <= 1e-6 * two[0];
    days.windows(SAME_DAYS).position(|days| days[0] > 0.0 && days.windows(2).all(same))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const ROOF: Catchment = Catchment { area_m2: 100.0, runoff_coefficient: 0.9, first_flush_mm: 1.0 };

    fn total(m3: &[f64]) -> f64 {
        m3.iter().sum()
    }

    /// Hours of rain in a day, mm.
    fn day(hours: &[(usize, f64)]) -> Vec<f64> {
        let mut mm = vec![0.0; 24];
        hours.iter().for_each(|(h, rain)| mm[*h] = *rain);
        mm
    }

    #[test]
    fn a_roof_by_hand() {
        // 0.9 · 100 · (10 − 1) / 1000.
        for hours in [&[(5, 10.0)][..], &[(5, 0.6), (6, 0.4), (7, 9.0)], &[(5, 4.0), (11, 6.0)]] {
            assert!((total(&runoff_m3(&ROOF, &day(hours), false)) - 0.81).abs() < 1e-12, "{hours:?}");
        }
        // Six dry hours between them: two flushes, 0.9 · 100 · (3 + 5) / 1000.
        let m3 = runoff_m3(&ROOF, &day(&[(5, 4.0), (12, 6.0)]), false);
        assert!((m3[5] - 0.27).abs() < 1e-12 && (m3[12] - 0.45).abs() < 1e-12, "{m3:?}");
        // Less than the flush: nothing.
        assert_eq!(runoff_m3(&ROOF, &day(&[(5, 0.5), (20, 1.0)]), false), [0.0; 24]);
        // All of it: 6 m² of open water, 10 mm.
        let water = runoff_m3(&Catchment::open_water(6.0), &day(&[(5, 10.0)]), false);
        assert!((water[5] - 0.06).abs() < 1e-15);
    }

    #[test]
    fn a_rain_over_the_end_of_a_year_that_repeats_has_one_flush() {
        let rain = day(&[(0, 3.0), (23, 5.0)]);
        // One rain of 8 mm, of which 1 mm is lost in the hour in which it began.
        let ring = runoff_m3(&ROOF, &rain, true);
        assert!((ring[0] - 0.27).abs() < 1e-12 && (ring[23] - 0.36).abs() < 1e-12, "{ring:?}");
        let line = runoff_m3(&ROOF, &rain, false);
        assert!((line[0] - 0.18).abs() < 1e-12 && (line[23] - 0.36).abs() < 1e-12, "{line:?}");
    }

    #[test]
    fn what_is_spread_evenly_is_found_whether_by_hours_or_by_days() {
        let once_a_day: Vec<f64> = (0..20).flat_map(|_| day(&[(6, 2.0)])).collect();
        assert_eq!(spread_evenly(&once_a_day), Some(0));
        let mut weather = once_a_day;
        weather[10 * 24 + 6] = 2.1;
        assert_eq!(spread_evenly(&weather), None);
        assert_eq!(spread_evenly(&vec![0.0; 40 * 24]), None);
    }

    fn weather() -> impl Strategy<Value = Vec<f64>> {
        prop::collection::vec(prop_oneof![3 => Just(0.0), 1 => 0.0..30.0_f64], 1..400)
    }

    fn catchment() -> impl Strategy<Value = Catchment> {
        (0.1..2000.0_f64, 0.01..=1.0_f64, 0.0..20.0_f64).prop_map(
            |(area_m2, runoff_coefficient, first_flush_mm)| Catchment {
                area_m2,
                runoff_coefficient,
                first_flush_mm,
            },
        )
    }

    proptest! {
        #[test]
        fn no_hour_brings_less_than_nothing_or_more_than_fell(rain in weather(), roof in catchment(), ring: bool) {
            for (m3, mm) in runoff_m3(&roof, &rain, ring).iter().zip(&rain) {
                prop_assert!(*m3 >= 0.0 && *m3 <= roof.area_m2 * mm / 1000.0 * (1.0 + 1e-12), "{m3} of {mm} mm");
            }
        }

        /// Whatever is added, wherever: rain in a dry hour may join two rains into one, or begin one more.
        #[test]
        fn more_rain_gives_no_less(
            rain in weather(), roof in catchment(), more in weather(), ring: bool,
        ) {
            let wetter: Vec<f64> =
                rain.iter().enumerate().map(|(h, mm)| mm + more.get(h).unwrap_or(&0.0)).collect();
            let (less, more) = (total(&runoff_m3(&roof, &rain, ring)), total(&runoff_m3(&roof, &wetter, ring)));
            prop_assert!(more >= less - 1e-9 * less.max(1.0), "{more} m3 of more rain, {less} m3 of less");
        }

        /// A year that repeats has no beginning: turned, it brings the same in each hour.
        #[test]
        fn a_turned_year_brings_the_same(rain in weather(), roof in catchment(), by in 0_usize..400) {
            // A dry spell somewhere, as in any year.
            let mut rain = rain;
            rain.extend([0.0; DRY_GAP_H as usize]);
            let by = by % rain.len();
            let mut expected = runoff_m3(&roof, &rain, true);
            expected.rotate_left(by);
            rain.rotate_left(by);
            prop_assert_eq!(runoff_m3(&roof, &rain, true), expected);
        }

        #[test]
        fn a_longer_flush_and_a_lower_coefficient_bring_no_more(rain in weather(), roof in catchment()) {
            let m3 = total(&runoff_m3(&roof, &rain, false));
            let flush = Catchment { first_flush_mm: roof.first_flush_mm + 1.0, ..roof };
            let rough = Catchment { runoff_coefficient: 0.5 * roof.runoff_coefficient, ..roof };
            prop_assert!(total(&runoff_m3(&flush, &rain, false)) <= m3 * (1.0 + 1e-12));
            prop_assert!((total(&runoff_m3(&rough, &rain, false)) - 0.5 * m3).abs() <= 1e-12 * m3.max(1.0));
        }
    }
}
