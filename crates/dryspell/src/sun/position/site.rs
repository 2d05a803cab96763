//! The sun as seen from a place: parallax, the turning of the Earth, refraction.

use super::ephemeris::{Geocentric, PARALLAX_DEG};
use crate::record::Place;
use crate::sun::pressure::standard_pressure_pa;
use libm::{acos, atan2, floor, sincos};

/// Air temperature that the refraction formula is given, °C.
pub(crate) const REFRACTION_AIR_DEGC: f64 = 12.0;
/// Flattening of the Earth as the algorithm has it: polar over equatorial radius.
const POLAR_OVER_EQUATORIAL: f64 = 0.996_647_19;
/// Radius of the Earth as the algorithm has it, m.
const EARTH_RADIUS_M: f64 = 6_378_140.0;
/// Below this true elevation, degrees, light is not bent (sun's radius and bending at the horizon).
const REFRACTION_ENDS_DEG: f64 = -(0.266_67 + 0.5667);

/// A place on the globe, with what does not change there worked out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Site {
    sin_latitude: f64,
    cos_latitude: f64,
    longitude_deg: f64,
    // Distance from the Earth's axis and from the equator's plane, in equatorial radii.
    from_axis: f64,
    from_equator: f64,
    refraction: f64,
}

impl Site {
    /// The site of a record, with the standard atmosphere's pressure at its elevation and
    /// `REFRACTION_AIR_DEGC`.
    #[must_use]
    pub fn new(place: &Place) -> Self {
        let pressure_pa = standard_pressure_pa(place.elevation_m);
        Self::with_air(
            place.latitude_deg,
            place.longitude_deg,
            place.elevation_m,
            pressure_pa,
            REFRACTION_AIR_DEGC,
        )
    }

    /// A site with its own air for the refraction formula.
    #[must_use]
    pub fn with_air(
        latitude_deg: f64,
        longitude_deg: f64,
        elevation_m: f64,
        pressure_pa: f64,
        air_degc: f64,
    ) -> Self {
        let latitude = latitude_deg.to_radians();
        let (sin_latitude, cos_latitude) = sincos(latitude);
        // The reduced latitude u: tan u = 0.9966 tan φ, written without the tangent so that poles work.
        let reduced = atan2(POLAR_OVER_EQUATORIAL * sin_latitude, cos_latitude);
        let (sin_u, cos_u) = sincos(reduced);
        let height = elevation_m / EARTH_RADIUS_M;
        Self {
            sin_latitude,
            cos_latitude,
            longitude_deg,
            from_axis: cos_u + height * cos_latitude,
            from_equator: POLAR_OVER_EQUATORIAL * sin_u + height * sin_latitude,
            refraction: pressure_pa / 101_000.0 * (283.0 / (273.0 + air_degc)) * 1.02 / 60.0,
        }
    }

    /// Cosine of the latitude.
    #[must_use]
    pub const fn cos_latitude(&self) -> f64 {
        self.cos_latitude
    }

    /// The direction to the sun at a Julian date, not yet bent by the air.
    #[must_use]
    pub fn true_direction(&self, sun: &Geocentric, julian_date: f64) -> TrueDirection {
        let mean_sun_deg = 360.0 * (julian_date - floor(julian_date));
        let angle = (mean_sun_deg + sun.equation_of_time_deg + self.longitude_deg).to_radians();
        self.direction(sun, &HourAngle::new(angle))
    }

    /// The same at a known hour angle.
    pub(crate) fn direction(&self, sun: &Geocentric, angle: &HourAngle) -> TrueDirection {
        let cos_declination = (1.0 - sun.sin_declination * sun.sin_declination).max(0.0).sqrt();
        // A sine is its angle here: the parallax is 4e-5.
        let parallax = (PARALLAX_DEG / sun.distance_au).to_radians();
        let to_meridian = cos_declination * angle.cos - self.from_axis * parallax;
        let to_west = cos_declination * angle.sin;
        let to_pole = sun.sin_declination - self.from_equator * parallax;
        let unit = 1.0 / (to_meridian * to_meridian + to_west * to_west + to_pole * to_pole).sqrt();
        TrueDirection {
            east: -to_west * unit,
            north: (self.cos_latitude * to_pole - self.sin_latitude * to_meridian) * unit,
            up: (self.cos_latitude * to_meridian + self.sin_latitude * to_pole) * unit,
            hour_angle_rad: angle.rad,
        }
    }

    /// Longitude, degrees, east positive.
    pub(crate) const fn longitude_deg(&self) -> f64 {
        self.longitude_deg
    }

    /// The position with the light bent by the air.
    #[must_use]
    pub fn position(&self, direction: &TrueDirection) -> SunPosition {
        let true_zenith_deg = acos(direction.up.clamp(-1.0, 1.0)).to_degrees();
        let elevation = 90.0 - true_zenith_deg;
        if elevation <= REFRACTION_ENDS_DEG {
            let unbent = [direction.east, direction.north, direction.up];
            return SunPosition { zenith_deg: true_zenith_deg, true_zenith_deg, direction: unbent };
        }
        let level = (direction.east * direction.east + direction.north * direction.north).sqrt();
        // The tangent of e + 10.3/(e + 5.11): that of e is known, and the second angle is small (below 0.05 rad, so that its
        // tangent is a short series, error below 1e-14).
        let more = (10.3 / (elevation + 5.11)).to_radians();
        let square = more * more;
        let tan_more = more
            * (1.0
                + square
                    * (1.0 / 3.0
                        + square * (2.0 / 15.0 + square * (17.0 / 315.0 + square * (62.0 / 2835.0)))));
        let bent = self.refraction * (level - direction.up * tan_more) / (direction.up + level * tan_more);
        let zenith_deg = true_zenith_deg - bent;
        // Bending turns the direction towards the zenith and keeps the azimuth. The angle is below 0.011 rad, so its sine
        // and cosine are short series (error below 1e-15).
        let turn = bent.to_radians();
        let square = turn * turn;
        let sin_turn = turn * (1.0 - square / 6.0 * (1.0 - square / 20.0));
        let cos_turn = 1.0 - square / 2.0 * (1.0 - square / 12.0 * (1.0 - square / 30.0));
        let stretch = if level > 0.0 { cos_turn - direction.up / level * sin_turn } else { 0.0 };
        let up = direction.up * cos_turn + level * sin_turn;
        let direction = [direction.east * stretch, direction.north * stretch, up];
        SunPosition { zenith_deg, true_zenith_deg, direction }
    }
}

/// An hour angle with its sine and cosine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct HourAngle {
    rad: f64,
    sin: f64,
    cos: f64,
}

impl HourAngle {
    pub(crate) fn new(rad: f64) -> Self {
        let (sin, cos) = sincos(rad);
        Self { rad, sin, cos }
    }

    /// The sum of two.
    pub(crate) fn turned(&self, by: &Self) -> Self {
        Self {
            rad: self.rad + by.rad,
            sin: self.sin * by.cos + self.cos * by.sin,
            cos: self.cos * by.cos - self.sin * by.sin,
        }
    }

    /// An angle of at most 0.14 rad, by series (error below 1e-17).
    pub(crate) fn small(rad: f64) -> Self {
        let square = rad * rad;
        let sin = rad
            * (1.0 - square / 6.0 * (1.0 - square / 20.0 * (1.0 - square / 42.0 * (1.0 - square / 72.0))));
        let cos = 1.0
            - square / 2.0
                * (1.0
                    - square / 12.0 * (1.0 - square / 30.0 * (1.0 - square / 56.0 * (1.0 - square / 90.0))));
        Self { rad, sin, cos }
    }
}

/// Unit vector to the sun as it would be seen without air, and the hour angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrueDirection {
    /// East part.
    pub east: f64,
    /// North part.
    pub north: f64,
    /// Upward part: the sine of the true elevation.
    pub up: f64,
    /// Hour angle from the Earth's centre, rad, not reduced to one turn.
    pub hour_angle_rad: f64,
}

/// Where the sun is seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SunPosition {
    /// Apparent zenith angle, with refraction, degrees.
    pub zenith_deg: f64,
    /// Zenith angle without refraction, degrees.
    pub true_zenith_deg: f64,
    /// Unit vector to the apparent sun: east, north, up.
    pub direction: [f64; 3],
}

impl SunPosition {
    /// Azimuth, degrees from north, clockwise, 0 to 360.
    #[must_use]
    pub fn azimuth_deg(&self) -> f64 {
        azimuth_deg(&self.direction)
    }
}

/// Azimuth of a direction (east, north, up), degrees from north, clockwise, 0 to 360.
#[must_use]
pub fn azimuth_deg(direction: &[f64; 3]) -> f64 {
    let azimuth = atan2(direction[0], direction[1]).to_degrees();
    if azimuth < 0.0 { azimuth + 360.0 } else { azimuth }
}
