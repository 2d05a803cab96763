//! The sun as seen from the Earth's centre: the full algorithm at fixed knots, and a cubic in between.

use crate::fault::{Fault, FaultKind};
use libm::{asin, atan2, floor, sincos};
use solar_positioning::{Location, SolarPositions, delta_t, time::JulianDate};

/// Days between the instants at which the full algorithm is evaluated.
const KNOT_DAYS: f64 = 8.0;
/// Parallax of the sun on the horizon at one astronomical unit, degrees.
pub(super) const PARALLAX_DEG: f64 = 8.794 / 3600.0;

/// What changes slowly: the sun as seen from the Earth's centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Geocentric {
    /// Sine of the declination.
    pub sin_declination: f64,
    /// Hour angle at Greenwich less the angle of the mean sun, degrees: the equation of time as an angle.
    pub equation_of_time_deg: f64,
    /// Distance of the sun, astronomical units.
    pub distance_au: f64,
}

/// The algorithm's slow terms, evaluated at knots and interpolated; it remembers the last four knots.
#[derive(Debug, Clone)]
pub struct Ephemeris {
    delta_t_s: Option<f64>,
    interval: f64,
    knots: [Geocentric; 4],
    // Cubics through the knots of the interval, in powers of the way through it.
    sin_declination: [f64; 4],
    equation_of_time_deg: [f64; 4],
    distance_au: [f64; 4],
}

impl Default for Ephemeris {
    fn default() -> Self {
        Self::new(None)
    }
}

impl Ephemeris {
    /// An ephemeris with a given ΔT (terrestrial time less universal time), s, or with the estimate that the crate
    /// `solar-positioning` makes from the date (polynomials of Espenak and Meeus, refitted from 2015 on).
    #[must_use]
    pub fn new(delta_t_s: Option<f64>) -> Self {
        let nothing = Geocentric { sin_declination: 0.0, equation_of_time_deg: 0.0, distance_au: 1.0 };
        Self {
            delta_t_s,
            interval: f64::NAN,
            knots: [nothing; 4],
            sin_declination: [0.0; 4],
            equation_of_time_deg: [0.0; 4],
            distance_au: [0.0; 4],
        }
    }

    /// The slow terms at a Julian date (universal time), by a cubic through the four knots around it.
    ///
    /// # Errors
    /// The date lies outside the years for which ΔT can be estimated (−500 to 3000).
    pub fn at(&mut self, julian_date: f64) -> Result<Geocentric, Fault> {
        self.aim(julian_date)?;
        Ok(self.beside(julian_date))
    }

    /// Works out the knots around a Julian date, unless they are there already.
    pub(crate) fn aim(&mut self, julian_date: f64) -> Result<(), Fault> {
        let interval = floor(julian_date / KNOT_DAYS);
        let moved = interval - self.interval;
        if moved.abs() < 0.5 {
            return Ok(());
        }
        // Following days share three of the four knots.
        let kept = if (moved - 1.0).abs() < 0.5 {
            self.knots.rotate_left(1);
            3
        } else {
            0
        };
        for (knot, offset) in self.knots.iter_mut().zip([-1.0, 0.0, 1.0, 2.0]).skip(kept) {
            *knot = geocentric((interval + offset) * KNOT_DAYS, self.delta_t_s)?;
        }
        self.interval = interval;
        self.sin_declination = cubic(self.knots.map(|k| k.sin_declination));
        self.equation_of_time_deg = cubic(self.knots.map(|k| k.equation_of_time_deg));
        self.distance_au = cubic(self.knots.map(|k| k.distance_au));
        Ok(())
    }

    /// The slow terms by the knots of the moment last aimed at, which lies within an hour.
    pub(crate) fn beside(&self, julian_date: f64) -> Geocentric {
        let way = julian_date / KNOT_DAYS - self.interval;
        let at = |[a, b, c, d]: &[f64; 4]| a + way * (b + way * (c + way * d));
        Geocentric {
            sin_declination: at(&self.sin_declination),
            equation_of_time_deg: at(&self.equation_of_time_deg),
            distance_au: at(&self.distance_au),
        }
    }
}

/// Coefficients of the cubic through values at −1, 0, 1 and 2.
fn cubic([a, b, c, d]: [f64; 4]) -> [f64; 4] {
    [b, c - a / 3.0 - b / 2.0 - d / 6.0, 0.5 * (a + c) - b, (d - a) / 6.0 + 0.5 * (b - c)]
}

/// The slow terms at noon of universal time, by the full algorithm.
fn geocentric(julian_date: f64, delta_t_s: Option<f64>) -> Result<Geocentric, Fault> {
    let outside = |_| {
        Fault::at_key(
            "weather.year",
            FaultKind::Weather,
            format!("Julian date {julian_date}"),
            "the sun is calculated for the years -500 to 3000",
            "correct the years in the weather file",
        )
    };
    let year = 2000.0 + (julian_date - 2_451_544.5) / 365.2425;
    let delta_t_s = delta_t_s.map_or_else(|| delta_t::estimate(year), Ok).map_err(outside)?;
    let time = JulianDate::new(julian_date, delta_t_s).map_err(outside)?;
    let sun = SolarPositions::new().for_time_from_julian(time).map_err(outside)?;
    let seen = sun.at(Location { latitude: 0.0, longitude: 0.0 }, 0.0, None).map_err(outside)?;
    let distance_au = sun.earth_radius_vector().unwrap_or(1.0);
    let (sin_declination, cos_declination) = sincos(sun.declination().to_radians());
    // The crate keeps sidereal time to itself. At latitude and longitude zero the hour angle can be read off the
    // position; what parallax adds to it is taken out exactly.
    let (sin_zenith, cos_zenith) = sincos(seen.zenith_angle().to_radians());
    let (sin_azimuth, _) = sincos(seen.azimuth().to_radians());
    let seen_angle = atan2(-sin_zenith * sin_azimuth, cos_zenith);
    let (sin_parallax, _) = sincos((PARALLAX_DEG / distance_au).to_radians());
    let (sin_seen, _) = sincos(seen_angle);
    let angle = seen_angle - asin(sin_parallax * sin_seen / cos_declination);
    Ok(Geocentric { sin_declination, equation_of_time_deg: angle.to_degrees(), distance_au })
}
