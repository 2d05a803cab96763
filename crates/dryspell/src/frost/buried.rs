//! Days in which a buried pipe lies in frozen ground.

use super::berggren::frost_depth;
use super::soil::Soil;
use super::stefan::stefan_depth_m;

/// What lies over a buried pipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ground {
    /// The soil.
    pub soil: Soil,
    /// n-factor of the surface, see [`super::SURFACES`].
    pub surface: f64,
    /// Mean annual temperature, °C.
    pub mean_annual_degc: f64,
}

/// The days in which a pipe under `cover_m` of ground is frozen.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | T | mean air temperature of each day | °C | |
/// | c | cover | m | > 0 |
/// | F, t | fall of the running sum of T from its peak so far, and days since the peak | °C·day, day | |
/// | I | rise of the running sum from its lowest point since | °C·day | |
///
/// # Equation
/// Frozen from the day on which [`frost_depth`] of `n F` in t days passes c, until `λ √(2 k_thawed · 86400 I / L)` passes
/// c, with the λ at which it froze: thaw goes down from the surface as frost did. Then, or when the sum passes its old
/// peak, the count begins anew.
///
/// # Validity
/// That of [`frost_depth`]. Thaw from below is left out, which is slow. The surface's index is that of the air in thaw
/// (sun makes it more: slow again). Where the mean annual temperature is at or below 0 °C all days count as frozen.
/// A year that repeats is worked on from summer: use `from_summer`.
///
/// # Example
/// ```
/// use dryspell::frost::{Ground, Soil, buried_days};
/// let ground = Ground { soil: Soil::named("silt").ok_or("soil")?, surface: 1.0, mean_annual_degc: 7.0 };
/// let mut days = vec![10.0; 30];
/// days.extend([-8.0; 60]);
/// days.extend([8.0; 60]);
/// assert!(buried_days(&ground, 0.3, &days).contains(&true));
/// assert!(!buried_days(&ground, 1.5, &days).contains(&true));
/// # Ok::<(), &str>(())
/// ```
///
/// # References
/// This project's own use of UFC 3-130-06 day by day.
#[must_use]
pub fn buried_days(ground: &Ground, cover_m: f64, daily_degc: &[f64]) -> Vec<bool> {
    if ground.mean_annual_degc <= 0.0 {
        return vec![true; daily_degc.len()];
    }
    let soil = &ground.soil;
    let fusion = soil.fusion_j_per_m3();
    let (mut sum, mut peak, mut peak_day, mut lowest) = (0.0_f64, 0.0_f64, 0, 0.0_f64);
    // λ at which it froze, while it is frozen.
    let mut frozen: Option<f64> = None;
    daily_degc
        .iter()
        .enumerate()
        .map(|(day, t)| {
            sum += t;
            if sum < lowest {
                lowest = sum;
                #[allow(clippy::cast_precision_loss, reason = "days of a record are far below 2^53")]
                let days = (day + 1 - peak_day) as f64;
                let frost = frost_depth(soil, ground.surface * (peak - sum), days, ground.mean_annual_degc);
                frozen = match frost {
                    Some(frost) if frost.depth_m > cover_m => Some(frost.lambda),
                    // Once frozen it stays so, whatever the rounding of a slower winter says.
                    _ => frozen,
                };
            }
            let thawed = frozen.is_some_and(|lambda| {
                lambda * stefan_depth_m(soil.thawed_w_per_m_k, sum - lowest, fusion) > cover_m
            });
            if thawed || sum >= peak {
                frozen = None;
                (peak, peak_day, lowest) = (sum, day + 1, sum);
            }
            frozen.is_some()
        })
        .collect()
}

/// Works on the days of a year that repeats from summer on, twice round, and puts the second round back in order: frost that
/// stays in the ground beyond that day goes on into the next year.
///
/// `daily_degc` is the mean air temperature of each day, °C, in the record's order; `first` the day from which to work, from 0,
/// taken round the year's end where it lies beyond. `work` is given two years of days and gives one value for each.
#[must_use]
pub(crate) fn from_summer<T: Clone>(
    daily_degc: &[f64],
    first: usize,
    work: impl FnOnce(&[f64]) -> Vec<T>,
) -> Vec<T> {
    let n = daily_degc.len();
    if n == 0 {
        return Vec::new();
    }
    let first = first % n;
    let mut turned = daily_degc.repeat(2);
    turned.rotate_left(first);
    let mut out = work(&turned).split_off(n);
    out.rotate_right(first);
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frost::freezing_index;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn it_freezes_just_when_the_winters_depth_passes_the_cover(
            low in -12.0_f64..3.0,
            swing in 5.0_f64..15.0,
            noise in proptest::collection::vec(-6.0_f64..6.0, 365),
            cover in 0.05_f64..1.5,
        ) {
            // From July to June.
            let daily: Vec<f64> = noise
                .iter()
                .enumerate()
                .map(|(d, n)| {
                    let season = libm::cos(std::f64::consts::TAU * f64::from(u32::try_from(d).unwrap()) / 365.0);
                    low + swing + swing * season + n
                })
                .collect();
            let mean_annual_degc = daily.iter().sum::<f64>() / 365.0;
            prop_assume!(mean_annual_degc > 0.1);
            let ground = Ground { soil: Soil::named("loam").unwrap(), surface: 0.7, mean_annual_degc };
            let fall = freezing_index(daily.iter().copied());
            let days = f64::from(u32::try_from(fall.days).unwrap());
            let depth = frost_depth(&ground.soil, 0.7 * fall.degc_days, days, mean_annual_degc).unwrap().depth_m;
            let frozen = buried_days(&ground, cover, &daily);
            if depth > cover {
                prop_assert!(frozen.contains(&true));
            }
            // A shorter, sharper part of the winter may reach deeper than the whole: at most Stefan's depth.
            if depth * 1.5 < cover {
                prop_assert!(!frozen.contains(&true));
            }
            let deeper = buried_days(&ground, cover * 1.2, &daily);
            prop_assert!(deeper.iter().any(|f| *f) <= frozen.iter().any(|f| *f));
        }
    }

    #[test]
    fn frost_that_outlasts_june_goes_on_in_the_year_that_repeats_as_in_two_years_given() {
        // Deep frost and a late spring: from January, 150 days at -12, 60 at +4, the rest at +14.
        let daily: Vec<f64> = (0..365)
            .map(|d| match d {
                0..150 => -12.0,
                150..210 => 4.0,
                _ => 14.0,
            })
            .collect();
        let ground = Ground { soil: Soil::named("loam").unwrap(), surface: 0.9, mean_annual_degc: 1.7 };
        let year = from_summer(&daily, 181, |d| buried_days(&ground, 1.0, d));
        let two_years = buried_days(&ground, 1.0, &daily.repeat(2));
        assert_eq!(year, two_years[365..]);
        assert!(year[180] && year[181] && !year[360], "it must be frozen over 1 July and thaw");
    }

    #[test]
    fn a_year_is_worked_on_from_summer_and_put_back() {
        let daily = [1.0, 2.0, 3.0, 4.0, 5.0];
        let same: Vec<f64> = from_summer(&daily, 3, <[f64]>::to_vec);
        assert_eq!(same, daily);
        let first: Vec<bool> = from_summer(&daily, 3, |d| d.iter().map(|t| *t < 3.5 && *t > 2.5).collect());
        assert_eq!(first, [false, false, true, false, false]);
    }

    #[test]
    fn thaw_comes_from_above_and_takes_as_long_as_its_degree_days() {
        let ground = Ground { soil: Soil::named("silt").unwrap(), surface: 1.0, mean_annual_degc: 6.0 };
        let mut daily = vec![8.0; 10];
        daily.extend([-10.0; 40]);
        daily.extend([10.0; 40]);
        let frozen = buried_days(&ground, 0.4, &daily);
        let first = frozen.iter().position(|f| *f).unwrap();
        let last = frozen.iter().rposition(|f| *f).unwrap();
        assert!(first > 12 && first < 30, "{first}");
        // Stefan at k 1.24: 0.4 m takes 80.48e6 · 0.16 / (2 · 1.238 · 86400) = 60 °C·days of thaw, over λ².
        let lambda = frost_depth(&ground.soil, 400.0, 40.0, 6.0).unwrap().lambda;
        let days = 80.48e6 * 0.16 / (2.0 * 1.238 * 86_400.0) / (lambda * lambda) / 10.0;
        let thaw = f64::from(u32::try_from(last + 1 - 50).unwrap());
        assert!((thaw - days).abs() <= 1.0, "{thaw} v {days}");
    }
}
