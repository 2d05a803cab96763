//! Hills and trees: the height of the horizon around a site.

use crate::sun::Horizon;

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
/// The sun counts as a point: it is wholly there or wholly hidden, and diffuse light is not reduced. No points is the
/// flat horizon; one point is a ring of that height.
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
}
