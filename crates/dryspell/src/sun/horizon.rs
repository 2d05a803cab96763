//! Hills and trees: the height of the horizon around a site.

use crate::sun::Horizon;
use libm::{atan, cos, sincos};
use std::f64::consts::FRAC_PI_2;

/// Elevation of the horizon in a direction.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | | `azimuth_deg` | degrees from north, clockwise | any (taken round the circle) |
/// | | result | degrees above the level | 0 to 90 |
///
/// # Equation
///
/// Straight lines between the profile's points, round the circle: after the last point comes the first.
///
/// # Validity
///
/// The sun counts as a point: it is wholly there or wholly hidden. Weather from a source that already counted the hills
/// must not meet them here again. No points is the flat horizon; one point is a ring of that height.
///
/// # Example
///
/// Halfway between a ridge of 10 degrees in the east and level ground in the south the horizon stands at 5.
///
/// ```
/// use dryspell::sun::{Horizon, horizon::elevation_deg};
/// let ridge = Horizon { points_deg: vec![(0.0, 0.0), (90.0, 10.0), (180.0, 0.0)] };
/// assert!((elevation_deg(&ridge, 135.0) - 5.0).abs() < 1e-12);
/// ```
///
/// # References
///
/// Common practice.
#[must_use]
pub fn elevation_deg(horizon: &Horizon, azimuth_deg: f64) -> f64 {
    let points = &horizon.points_deg;
    let (Some(&first), Some(&last)) = (points.first(), points.last()) else { return 0.0 };
    let azimuth = azimuth_deg.rem_euclid(360.0);
    let next = points.partition_point(|p| p.0 <= azimuth);
    let before = next.checked_sub(1).and_then(|i| points.get(i)).copied();
    let (a, b) = match (before, points.get(next).copied()) {
        (Some(a), Some(b)) => (a, b),
        (Some(a), None) => (a, (first.0 + 360.0, first.1)),
        (None, b) => ((last.0 - 360.0, last.1), b.unwrap_or(first)),
    };
    if b.0 <= a.0 {
        return a.1;
    }
    a.1 + (b.1 - a.1) * (azimuth - a.0) / (b.0 - a.0)
}

/// Share of an evenly bright sky that a tilted plane still sees over the horizon.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | β, γ | `tilt_deg`, `azimuth_deg` the plane faces | degrees | 0 to 90, any |
/// | h(α) | [`elevation_deg`] | degrees | 0 to 90 |
/// | | result | – | 0 to 1 |
///
/// # Equation
///
/// `∫∫ cos θ cos e de dα / [π(1 + cos β)/2]` over the directions above the horizon and before the plane, with
/// `cos θ = cos β sin e + sin β cos e cos(α − γ)`. Over the elevation e it is
/// `cos β (1 − sin² e0)/2 + sin β cos(α − γ)·[π/4 − e0/2 − sin(2 e0)/4]` from e0, the higher of the horizon and the plane's own
/// edge; over the azimuth α it is summed by degrees.
///
/// # Validity
///
/// Evenly bright sky. What hides it counts as dark: light that hills throw back is left out (conservative).
///
/// # Example
///
/// A ring of 30 degrees hides sin² 30° = a quarter of the light that a level plane gets.
///
/// ```
/// use dryspell::sun::{Horizon, horizon::sky_seen};
/// let ring = Horizon { points_deg: vec![(0.0, 30.0)] };
/// assert!((sky_seen(&ring, 0.0, 180.0) - 0.75).abs() < 1e-12);
/// ```
///
/// # References
///
/// The view factor of a plane and the sky: Liu and Jordan 1963 (see [`crate::sun::isotropic::isotropic_sky`]) with the
/// horizon as the limit of integration.
#[must_use]
pub fn sky_seen(horizon: &Horizon, tilt_deg: f64, azimuth_deg: f64) -> f64 {
    let (sin_tilt, cos_tilt) = sincos(tilt_deg.to_radians());
    let over = |from: f64, along: f64| {
        let (sin, cos) = sincos(from);
        let level = 0.5 * (FRAC_PI_2 - from) - 0.5 * sin * cos;
        0.5 * cos_tilt * (1.0 - sin * sin) + sin_tilt * along * level
    };
    let (mut seen, mut whole) = (0.0, 0.0);
    for degree in 0..360 {
        let azimuth = f64::from(degree) + 0.5;
        let along = cos((azimuth - azimuth_deg).to_radians());
        // Behind the plane its own edge is the horizon.
        let edge = if along >= 0.0 {
            0.0
        } else if cos_tilt <= 0.0 {
            FRAC_PI_2
        } else {
            atan(-along * sin_tilt / cos_tilt)
        };
        whole += over(edge, along);
        seen += over(edge.max(elevation_deg(horizon, azimuth).to_radians()), along);
    }
    (seen / whole).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_profile_closes_round_north_and_meets_its_points() {
        let h = Horizon { points_deg: vec![(90.0, 10.0), (270.0, 20.0)] };
        for (azimuth, expected) in
            [(90.0, 10.0), (270.0, 20.0), (180.0, 15.0), (0.0, 15.0), (360.0, 15.0), (45.0, 12.5)]
        {
            assert!((elevation_deg(&h, azimuth) - expected).abs() < 1e-12, "{azimuth}");
        }
        assert!((elevation_deg(&Horizon { points_deg: vec![(200.0, 7.0)] }, 3.0) - 7.0).abs() < 1e-12);
        assert!(elevation_deg(&Horizon { points_deg: vec![] }, 3.0).abs() < 1e-12);
    }

    /// Share of the sky over the horizon by brute force over patches.
    #[test]
    fn the_seen_sky_agrees_with_patches() {
        let h = Horizon {
            points_deg: vec![(60.0, 0.0), (80.0, 40.0), (110.0, 40.0), (180.0, 10.0), (300.0, 25.0)],
        };
        for (tilt_deg, azimuth_deg) in [(0.0_f64, 0.0_f64), (30.0, 180.0), (60.0, 100.0), (90.0, 300.0)] {
            let (sin_tilt, cos_tilt) = sincos(tilt_deg.to_radians());
            let (mut seen, mut whole) = (0.0, 0.0);
            for i in 0..900 {
                let elevation = 0.1 * (f64::from(i) + 0.5);
                let (up, level) = sincos(elevation.to_radians());
                for j in 0..720 {
                    let azimuth = 0.5 * (f64::from(j) + 0.5);
                    let c = up * cos_tilt + level * sin_tilt * cos((azimuth - azimuth_deg).to_radians());
                    if c > 0.0 {
                        whole += c * level;
                        seen += if elevation > elevation_deg(&h, azimuth) { c * level } else { 0.0 };
                    }
                }
            }
            let ours = sky_seen(&h, tilt_deg, azimuth_deg);
            assert!(
                (ours - seen / whole).abs() < 1e-3,
                "{tilt_deg} {azimuth_deg}: {ours} v {}",
                seen / whole
            );
        }
    }
}
