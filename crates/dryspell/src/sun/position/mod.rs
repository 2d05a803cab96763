//! Where the sun stands: the NREL solar position algorithm at fixed knots, and geometry in between.

use crate::fault::{Fault, FaultKind};
use crate::record::Place;
use crate::sun::pressure::standard_pressure_pa;
use libm::{acos, asin, atan2, floor, sincos};
use solar_positioning::{Location, SolarPositions, delta_t, time::JulianDate};

/// Days between the instants at which the full algorithm is evaluated.
const KNOT_DAYS: f64 = 8.0;
/// Air temperature that the refraction formula is given, °C.
pub(crate) const REFRACTION_AIR_DEGC: f64 = 12.0;
/// Flattening of the Earth as the algorithm has it: polar over equatorial radius.
const POLAR_OVER_EQUATORIAL: f64 = 0.996_647_19;
/// Radius of the Earth as the algorithm has it, m.
const EARTH_RADIUS_M: f64 = 6_378_140.0;
/// Parallax of the sun on the horizon at one astronomical unit, degrees.
const PARALLAX_DEG: f64 = 8.794 / 3600.0;
/// Below this true elevation, degrees, light is not bent (sun's radius and bending at the horizon).
const REFRACTION_ENDS_DEG: f64 = -(0.266_67 + 0.5667);

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
    /// [`REFRACTION_AIR_DEGC`].
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

/// Position of the sun at a place and instant.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | JD | `julian_date` | days, universal time | years −500 to 3000 |
/// | φ, λ | latitude, longitude of the site | degrees | −90 to 90, −180 to 180 |
/// | p, T | air of the site, for refraction | Pa, °C | |
/// | θz, γ | zenith and azimuth of the result | degrees | 0 to 180, 0 to 360 from north clockwise |
///
/// # Equation
///
/// Declination, distance and the hour angle at Greenwich come from the NREL solar position algorithm (crate
/// `solar-positioning`), evaluated every eight days at noon of universal time and joined by a cubic through four knots;
/// in between only the Earth turns. Parallax is subtracted as a vector, then
/// `cos θz = sin φ sin δ + cos φ cos δ cos H`, and the elevation is raised by
/// `(p/1010 mbar)·(283/(273 + T))·1.02/(60·tan(e + 10.3/(e + 5.11)))` degrees.
///
/// # Validity
///
/// Within 0.01 degrees of the full algorithm at every hour of 1950 to 2100 (tested; the worst found is below 0.001).
/// UTC is taken for UT1 (less than a second apart, 0.004 degrees). Refraction is that of mean air.
///
/// # Example
///
/// The report's own example: 17 October 2003, 12:30:30 at seven hours behind UTC, 820 mbar, 11 °C.
///
/// ```
/// use dryspell::sun::position::{Ephemeris, Site, julian_date, sun_position};
/// let site = Site::with_air(39.742476, -105.1786, 1830.14, 82_000.0, 11.0);
/// let mut ephemeris = Ephemeris::new(Some(67.0));
/// let jd = julian_date(chrono::NaiveDate::from_ymd_opt(2003, 10, 17).unwrap(), (12.0 + 7.0) * 60.0 + 30.5);
/// let sun = sun_position(&mut ephemeris, &site, jd).unwrap();
/// assert!((sun.zenith_deg - 50.111622).abs() < 5e-4);
/// assert!((sun.azimuth_deg() - 194.340241).abs() < 5e-4);
/// ```
///
/// # References
///
/// I. Reda and A. Andreas, *Solar Position Algorithm for Solar Radiation Applications*, NREL/TP-560-34302, revised
/// 2008, doi 10.2172/15003974, sections 3.1 to 3.14.
///
/// # Errors
/// The date lies outside the years for which ΔT can be estimated.
pub fn sun_position(ephemeris: &mut Ephemeris, site: &Site, julian_date: f64) -> Result<SunPosition, Fault> {
    let sun = ephemeris.at(julian_date)?;
    Ok(site.position(&site.true_direction(&sun, julian_date)))
}

/// Julian date of a moment: minutes after midnight, universal time, of a civil date.
#[must_use]
pub fn julian_date(date: chrono::NaiveDate, minutes: f64) -> f64 {
    f64::from(chrono::Datelike::num_days_from_ce(&date)) + 1_721_424.5 + minutes / 1440.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use solar_positioning::RefractionCorrection;

    #[test]
    fn within_a_hundredth_of_a_degree_of_the_full_algorithm_every_hour() {
        let sites = [
            (36.1, -79.95, 273.0),
            (-34.0, 18.5, 1500.0),
            (0.3, 36.0, 1800.0),
            (69.6, 18.9, 10.0),
            (-77.8, 166.7, 0.0),
            (23.4, -110.0, 0.0),
        ];
        let mut worst = (0.0_f64, 0.0_f64);
        for (n, (latitude, longitude, elevation)) in sites.into_iter().enumerate() {
            let pressure_pa = standard_pressure_pa(elevation);
            let site = Site::with_air(latitude, longitude, elevation, pressure_pa, REFRACTION_AIR_DEGC);
            let mut ephemeris = Ephemeris::default();
            let refraction = RefractionCorrection::new(pressure_pa / 100.0, REFRACTION_AIR_DEGC).unwrap();
            for year in [1950, 1972, 1999, 2024, 2063, 2100] {
                for day in 0..365 {
                    let date = chrono::NaiveDate::from_yo_opt(year, 1 + day).unwrap();
                    // Every hour of the day is met over the sites and days; each at an odd minute.
                    for hour in [0_u32, 5, 8, 11, 12, 15, 19, 22] {
                        let minutes = f64::from((hour + day) % 24) * 60.0
                            + 7.0 * f64::from(u8::try_from(n).unwrap())
                            + 3.3;
                        let jd = julian_date(date, minutes);
                        let ours = sun_position(&mut ephemeris, &site, jd).unwrap();
                        let dt = delta_t::estimate_from_date(year, chrono::Datelike::month(&date)).unwrap();
                        let full = SolarPositions::new()
                            .at_from_julian(
                                JulianDate::new(jd, dt).unwrap(),
                                Location { latitude, longitude },
                                elevation,
                                Some(refraction),
                            )
                            .unwrap();
                        let zenith = (ours.zenith_deg - full.zenith_angle()).abs();
                        // An azimuth counts by the arc it moves the sun on the sky.
                        let turn = (ours.azimuth_deg() - full.azimuth() + 540.0).rem_euclid(360.0) - 180.0;
                        let (sin_zenith, _) = sincos(full.zenith_angle().to_radians());
                        worst = (worst.0.max(zenith), worst.1.max(turn.abs() * sin_zenith));
                        if full.zenith_angle() > 3.0 {
                            assert!(turn.abs() < 0.01, "{date} {minutes}: azimuth off by {turn}");
                        }
                    }
                }
            }
        }
        assert!(worst.0 < 0.001 && worst.1 < 0.001, "worst zenith and arc of azimuth {worst:?}");
    }

    #[test]
    fn a_jump_between_years_gives_what_a_fresh_start_gives() {
        let site = Site::with_air(36.1, -79.95, 273.0, 98_000.0, 12.0);
        let mut going = Ephemeris::default();
        for (year, ordinal) in [(1988, 30), (1988, 31), (1996, 32), (1996, 59), (1990, 60), (1980, 91)] {
            let jd = julian_date(chrono::NaiveDate::from_yo_opt(year, ordinal).unwrap(), 1000.0);
            let fresh = sun_position(&mut Ephemeris::default(), &site, jd).unwrap();
            assert_eq!(sun_position(&mut going, &site, jd).unwrap(), fresh);
        }
    }

    #[test]
    fn a_year_beyond_the_model_is_a_fault_that_says_so() {
        let site = Site::with_air(0.0, 0.0, 0.0, 101_325.0, 12.0);
        let fault = sun_position(&mut Ephemeris::default(), &site, 1e7).unwrap_err();
        assert_eq!(fault.kind, FaultKind::Weather);
        assert!(fault.to_string().contains("-500 to 3000"), "{fault}");
    }

    proptest::proptest! {
        #[test]
        fn zenith_and_azimuth_stay_in_range(
            latitude in -90.0..=90.0_f64, longitude in -180.0..=180.0_f64, days in 0.0..55_000.0_f64,
        ) {
            let site = Site::with_air(latitude, longitude, 0.0, 101_325.0, 12.0);
            let sun = sun_position(&mut Ephemeris::default(), &site, 2_433_282.5 + days).unwrap();
            proptest::prop_assert!((-0.01..=180.0).contains(&sun.zenith_deg));
            proptest::prop_assert!((0.0..=360.0).contains(&sun.azimuth_deg()));
            let [e, n, u] = sun.direction;
            proptest::prop_assert!((e * e + n * n + u * u - 1.0).abs() < 1e-9);
            let (sin_zenith, cos_zenith) = sincos(sun.zenith_deg.to_radians());
            proptest::prop_assert!((u - cos_zenith).abs() < 1e-7);
            proptest::prop_assert!((e - sin_zenith * libm::sin(sun.azimuth_deg().to_radians())).abs() < 1e-7);
        }
    }
}
