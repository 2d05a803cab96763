//! Dirt on the glass: a constant share, or dust that gathers until rain washes it off.

use crate::calendar::HOURS_PER_DAY;
use crate::ring::come_round;

/// Hours over which rain is added up.
const RAIN_HOURS: usize = 24;
/// Largest share lost to dust.
const MOST: f64 = 0.3;

/// Share of light lost to dirt.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub enum Soiling {
    /// The same at all times, 0 to 1.
    Share(f64),
    /// Dust that rain washes off; needs rain in the record.
    Rain(Dust),
}

impl Soiling {
    /// The share that is lost at all times: none where rain washes the glass.
    #[must_use]
    pub const fn constant(self) -> f64 {
        match self {
            Self::Share(share) => share,
            Self::Rain(_) => 0.0,
        }
    }
}

/// How dust gathers and what washes it off.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Dust {
    /// Share of light lost for each dry day.
    pub per_day: f64,
    /// Rain in 24 hours above which the glass is clean, mm.
    pub washed_by_mm: f64,
    /// Days after such rain on which the ground is damp and no dust flies.
    pub damp_days: u32,
}

/// Share of light lost to dust in each hour.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | | `rain_mm` of each hour | mm | ≥ 0 |
/// | r | `per_day` | 1/d | usually 0.001 to 0.003 |
/// | | `start`: share lost before the first hour | – | 0 to 0.3 |
/// | | result | – | 0 to 0.3 |
///
/// # Equation
///
/// The share grows by r/24 an hour. Where the last 24 hours brought more rain than `washed_by_mm` (both to the nearest
/// thousandth of a millimetre) it falls to zero, and stays there until `damp_days` have passed since. The first hour
/// gathers nothing; at most 0.3.
///
/// # Validity
///
/// Dust alone: not droppings, not pollen, not snow that melts and washes. Weaker rain does not clean at all.
///
/// # Example
///
/// Ten dry days at 0.15 % a day: 1.5 %, less the first hour.
///
/// ```
/// use dryspell::array::soiling::{Dust, dust_share};
/// let dust = Dust { per_day: 0.0015, washed_by_mm: 6.0, damp_days: 14 };
/// let share = dust_share(&dust, &[0.0; 240], 0.0);
/// assert!((share[239] - 0.0015 * 239.0 / 24.0).abs() < 1e-12);
/// ```
///
/// # References
///
/// A. Kimber, L. Mitchell, S. Nogradi and H. Wenger, *The effect of soiling on large grid-connected photovoltaic systems in
/// California and the southwest region of the United States*, IEEE 4th World Conference on Photovoltaic Energy
/// Conversion, 2006, doi 10.1109/WCPEC.2006.279690.
#[must_use]
pub fn dust_share(dust: &Dust, rain_mm: &[f64], start: f64) -> Vec<f64> {
    let mut film = Film { share: start, damp_left: 0 };
    (0..rain_mm.len())
        .map(|h| {
            // Added afresh each hour: a running sum would keep the rounding of all rain before.
            let rain = rain_mm[(h + 1).saturating_sub(RAIN_HOURS)..=h].iter().sum();
            film.hour(dust, if h > 0 { dust.per_day / 24.0 } else { 0.0 }, rain)
        })
        .collect()
}

/// The same for a year that repeats: it begins with the dust, the damp and the rain that its end leaves.
#[must_use]
pub(crate) fn dust_share_of_a_ring(dust: &Dust, rain_mm: &[f64]) -> Vec<f64> {
    let n = rain_mm.len();
    let before = RAIN_HOURS.min(n) - usize::from(n > 0);
    let turned: Vec<f64> = rain_mm[n - before..].iter().chain(rain_mm).copied().collect();
    let rain: Vec<f64> = turned.windows(before + 1).map(|hours| hours.iter().sum()).collect();
    let per_hour = dust.per_day / 24.0;
    let mut film = come_round(Film { share: 0.0, damp_left: 0 }, |mut film| {
        rain.iter().for_each(|rain| {
            film.hour(dust, per_hour, *rain);
        });
        film
    });
    rain.iter().take(n).map(|rain| film.hour(dust, per_hour, *rain)).collect()
}

/// Rain in whole thousandths of a millimetre. It is measured in tenths of a millimetre or hundredths of an inch, whose binary
/// sums are not exact: without this the last bit would decide whether exactly `washed_by_mm` washes.
fn thousandths(rain_mm: f64) -> f64 {
    (1000.0 * rain_mm).round()
}

/// What lies on the glass.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Film {
    share: f64,
    damp_left: usize,
}

impl Film {
    /// One more hour with its dust and the rain of the last [`RAIN_HOURS`]; the share lost in it.
    fn hour(&mut self, dust: &Dust, gathers: f64, rain_mm: f64) -> f64 {
        self.share = (self.share + gathers).min(MOST);
        if thousandths(rain_mm) > thousandths(dust.washed_by_mm) {
            let days = usize::try_from(dust.damp_days).unwrap_or(usize::MAX);
            self.damp_left = days.saturating_mul(HOURS_PER_DAY).max(1);
        }
        if self.damp_left > 0 {
            self.damp_left -= 1;
            self.share = 0.0;
        }
        self.share
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rain_of_exactly_the_threshold_does_not_wash_however_it_adds_up() {
        // 0.1 + 0.1 + 0.1 is more than 0.3 in binary, and 3 x 0.01 inch is not 0.762 mm.
        for (hourly, washed_by_mm) in [(0.1, 0.3), (0.254, 0.762), (0.7, 2.1), (0.3 * 25.4, 0.9 * 25.4)] {
            let dust = Dust { per_day: 0.0024, washed_by_mm, damp_days: 0 };
            let mut rain = vec![0.0; 48];
            rain[10..13].fill(hourly);
            assert!(dust_share(&dust, &rain, 0.0)[12] > 0.0, "{hourly} x 3 washed at {washed_by_mm}");
            rain[13] = 0.1;
            assert!(dust_share(&dust, &rain, 0.0)[13].abs() < 1e-15, "{hourly} x 3 + 0.1 did not wash");
        }
    }

    #[test]
    fn a_ring_of_dust_goes_on_over_its_end_wherever_it_is_begun() {
        let dust = Dust { per_day: 0.0024, washed_by_mm: 5.0, damp_days: 3 };
        // One rain a day before the year's end: washed, damp over the end, then dust.
        let mut rain = vec![0.0; 30 * 24];
        rain[29 * 24] = 6.0;
        let ring = dust_share_of_a_ring(&dust, &rain);
        // The rain of the last hours is that of 24: the damp is counted from the year's last hour, which is the first of it.
        assert!(ring[..71].iter().all(|share| *share <= 0.0) && ring[71] > 0.0);
        let mut turned = rain.clone();
        turned.rotate_left(240);
        let mut back = dust_share_of_a_ring(&dust, &turned);
        back.rotate_right(240);
        assert_eq!(back, ring);
        // Without rain the glass is as dirty as it gets, in every hour.
        assert_eq!(dust_share_of_a_ring(&Dust { per_day: 0.02, ..dust }, &[0.0; 720]), [MOST; 720]);
        assert!(dust_share_of_a_ring(&dust, &[]).is_empty());
    }

    proptest::proptest! {
        #[test]
        fn more_rain_never_leaves_more_dust(
            rain in proptest::collection::vec(0.0..4.0_f64, 24 * 30), more in 0.0..3.0_f64, damp in 0_u32..20,
        ) {
            let dust = Dust { per_day: 0.002, washed_by_mm: 40.0, damp_days: damp };
            let wetter: Vec<f64> = rain.iter().map(|r| r + more).collect();
            let (dry, wet) = (dust_share(&dust, &rain, 0.05), dust_share(&dust, &wetter, 0.05));
            proptest::prop_assert!(dry.iter().zip(&wet).all(|(d, w)| w <= d && *d <= MOST && *w >= 0.0));
        }
    }
}
