//! Sun geometry by the short textbook formulas: for checks by hand and for daily sums, not for the hourly run.

use libm::{acos, cos, sin, sincos};

/// Declination of the sun on a day of the year, degrees.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | n | `day_of_year` | – | 1 to 366 |
/// | δ | result | degrees | −23.45 to 23.45 |
///
/// # Equation
///
/// `δ = 23.45·sin(360·(284 + n)/365)`
///
/// # Validity
///
/// Within about 1.5 degrees near the equinoxes, 0.5 elsewhere.
///
/// # Example
///
/// On day 81 the sine's argument is a whole turn, so the declination is zero.
///
/// ```
/// assert!(dryspell::sun::geometry::declination_deg(81.0).abs() < 1e-9);
/// ```
///
/// # References
///
/// P. I. Cooper, *The absorption of radiation in solar stills*, Solar Energy 12 (1969) 333,
/// doi 10.1016/0038-092X(69)90047-4.
#[must_use]
pub fn declination_deg(day_of_year: f64) -> f64 {
    23.45 * sin((360.0 * (284.0 + day_of_year) / 365.0).to_radians())
}

/// Equation of time on a day of the year, minutes: sun time less mean time.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | n | `day_of_year` | – | 1 to 366 |
/// | E | result | min | −14.3 to 16.5 |
///
/// # Equation
///
/// `E = 229.2·(0.000075 + 0.001868 cos B − 0.032077 sin B − 0.014615 cos 2B − 0.04089 sin 2B)`, `B = 360·(n − 1)/365`
///
/// # Validity
///
/// Within half a minute.
///
/// # Example
///
/// On 1 January B is zero: E = 229.2·(0.000075 + 0.001868 − 0.014615) = −2.90 min.
///
/// ```
/// assert!((dryspell::sun::geometry::equation_of_time_min(1.0) + 2.9044).abs() < 1e-4);
/// ```
///
/// # References
///
/// J. W. Spencer, *Fourier series representation of the position of the sun*, Search 2 (1971) 172, as printed in
/// J. A. Duffie and W. A. Beckman, *Solar Engineering of Thermal Processes*, 4th edition, 2013, equation 1.5.3.
#[must_use]
pub fn equation_of_time_min(day_of_year: f64) -> f64 {
    let (sin_b, cos_b) = sincos((360.0 * (day_of_year - 1.0) / 365.0).to_radians());
    let (sin_2b, cos_2b) = (2.0 * sin_b * cos_b, 2.0 * cos_b * cos_b - 1.0);
    229.2 * (0.000_075 + 0.001_868 * cos_b - 0.032_077 * sin_b - 0.014_615 * cos_2b - 0.040_89 * sin_2b)
}

/// Solar time less standard time, minutes, at a longitude and zone meridian, both in degrees **east**.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | λ | `longitude_deg` | degrees, east positive | −180 to 180 |
/// | λs | `zone_meridian_deg` | degrees, east positive | 15 × UTC offset |
/// | E | `equation_of_time` | min | |
///
/// # Equation
///
/// `4·(λ − λs) + E` (four minutes a degree)
///
/// # Validity
///
/// Standard time, never daylight saving.
///
/// # Example
///
/// One degree east of the zone's meridian the sun is four minutes early.
///
/// ```
/// assert_eq!(dryspell::sun::geometry::solar_less_standard_min(-89.0, -90.0, 0.0), 4.0);
/// ```
///
/// # References
///
/// Duffie and Beckman 2013, equation 1.5.2 (there with longitudes west positive).
#[must_use]
pub fn solar_less_standard_min(longitude_deg: f64, zone_meridian_deg: f64, equation_of_time: f64) -> f64 {
    4.0 * (longitude_deg - zone_meridian_deg) + equation_of_time
}

/// Cosine of the angle between the sun's rays and a plane's normal, from declination and hour angle.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | δ | `declination` | degrees | −23.45 to 23.45 |
/// | φ | `latitude` | degrees, north positive | −90 to 90 |
/// | β | `tilt` | degrees | 0 to 180 |
/// | γ | `from_south` | degrees from south, west positive | −180 to 180 |
/// | ω | `hour_angle` | degrees from noon, afternoon positive | −180 to 180 |
///
/// # Equation
///
/// `cos θ = sin δ sin φ cos β − sin δ cos φ sin β cos γ + cos δ cos φ cos β cos ω + cos δ sin φ sin β cos γ cos ω +
/// cos δ sin β sin γ sin ω`; with β = 0 it is the cosine of the zenith angle.
///
/// # Validity
///
/// Geometry: no refraction, no horizon. Negative when the sun is behind the plane.
///
/// # Example
///
/// At the equinox noon a plane tilted by the latitude and facing the equator looks straight at the sun.
///
/// ```
/// let c = dryspell::sun::geometry::cos_incidence(0.0, 40.0, 40.0, 0.0, 0.0);
/// assert!((c - 1.0).abs() < 1e-12);
/// ```
///
/// # References
///
/// Duffie and Beckman 2013, equation 1.6.2.
#[must_use]
pub fn cos_incidence(declination: f64, latitude: f64, tilt: f64, from_south: f64, hour_angle: f64) -> f64 {
    let (sd, cd) = sincos(declination.to_radians());
    let (sl, cl) = sincos(latitude.to_radians());
    let (st, ct) = sincos(tilt.to_radians());
    let (sg, cg) = sincos(from_south.to_radians());
    let (sh, ch) = sincos(hour_angle.to_radians());
    sd * sl * ct - sd * cl * st * cg + cd * cl * ct * ch + cd * sl * st * cg * ch + cd * st * sg * sh
}

/// Azimuth of the sun from south, west positive, degrees.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | δ, φ, ω | `declination`, `latitude`, `hour_angle` | degrees | as for [`cos_incidence`] |
/// | γs | result | degrees from south, west positive | −180 to 180 |
///
/// # Equation
///
/// `γs = sign(ω)·|acos((cos θz sin φ − sin δ)/(sin θz cos φ))|`
///
/// # Validity
///
/// Not at the poles, nor with the sun at the zenith.
///
/// # Example
///
/// Six hours from noon at the equinox the sun is due west.
///
/// ```
/// assert!((dryspell::sun::geometry::solar_azimuth_from_south_deg(0.0, 40.0, 90.0) - 90.0).abs() < 1e-9);
/// ```
///
/// # References
///
/// Duffie and Beckman 2013, equation 1.6.6.
#[must_use]
pub fn solar_azimuth_from_south_deg(declination: f64, latitude: f64, hour_angle: f64) -> f64 {
    let cos_zenith = cos_incidence(declination, latitude, 0.0, 0.0, hour_angle);
    let sin_zenith = (1.0 - cos_zenith * cos_zenith).max(0.0).sqrt();
    let (sl, cl) = sincos(latitude.to_radians());
    let c = (cos_zenith * sl - sin(declination.to_radians())) / (sin_zenith * cl);
    acos(c.clamp(-1.0, 1.0)).to_degrees().copysign(hour_angle)
}

/// Hour angle of sunset, degrees: half the day's length at 15 degrees an hour.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | δ, φ | `declination`, `latitude` | degrees | |
/// | ωs | result | degrees | 0 (polar night) to 180 (midnight sun) |
///
/// # Equation
///
/// `cos ωs = −tan φ tan δ`
///
/// # Validity
///
/// The sun's centre on a flat horizon, no refraction.
///
/// # Example
///
/// ```
/// assert!((dryspell::sun::geometry::sunset_hour_angle_deg(0.0, 50.0) - 90.0).abs() < 1e-9);
/// ```
///
/// # References
///
/// Duffie and Beckman 2013, equation 1.6.10.
#[must_use]
pub fn sunset_hour_angle_deg(declination: f64, latitude: f64) -> f64 {
    let (sd, cd) = sincos(declination.to_radians());
    let (sl, cl) = sincos(latitude.to_radians());
    let bottom = cl * cd;
    if bottom <= 0.0 {
        return if sl * sd > 0.0 { 180.0 } else { 0.0 };
    }
    acos((-sl * sd / bottom).clamp(-1.0, 1.0)).to_degrees()
}

/// Extraterrestrial radiation on a horizontal plane over a whole day.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | Gon | `normal_w_per_m2` | W/m² | about 1320 to 1415 |
/// | δ, φ | `declination`, `latitude` | degrees | |
/// | H0 | result | MJ/m² | ≥ 0 |
///
/// # Equation
///
/// `H0 = (86400/π)·Gon·(cos φ cos δ sin ωs + ωs sin φ sin δ)`, ωs in radians
///
/// # Validity
///
/// Declination fixed through the day.
///
/// # Example
///
/// At the equator at an equinox the bracket is 1, so a normal radiation of 1000 W/m² gives 86.4/π = 27.502 MJ/m².
///
/// ```
/// let h = dryspell::sun::geometry::daily_extraterrestrial_mj_per_m2(1000.0, 0.0, 0.0);
/// assert!((h - 27.502).abs() < 1e-3);
/// ```
///
/// # References
///
/// Duffie and Beckman 2013, equation 1.10.3; R. G. Allen et al., *Crop evapotranspiration*, FAO Irrigation and Drainage
/// Paper 56, 1998, equation 21 (the same with its own constants).
#[must_use]
pub fn daily_extraterrestrial_mj_per_m2(normal_w_per_m2: f64, declination: f64, latitude: f64) -> f64 {
    let sunset = sunset_hour_angle_deg(declination, latitude).to_radians();
    let (sd, cd) = sincos(declination.to_radians());
    let (sl, cl) = sincos(latitude.to_radians());
    0.0864 / std::f64::consts::PI * normal_w_per_m2 * (cl * cd * sin(sunset) + sunset * sl * sd)
}

/// Extraterrestrial radiation on a horizontal plane between two hour angles.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | Gon | `normal_w_per_m2` | W/m² | about 1320 to 1415 |
/// | ω1, ω2 | `from_hour_angle`, `to_hour_angle` | degrees | sun up throughout |
/// | I0 | result | MJ/m² | ≥ 0 |
///
/// # Equation
///
/// `I0 = (43200/π)·Gon·(cos φ cos δ (sin ω2 − sin ω1) + (ω2 − ω1) sin φ sin δ)`
///
/// # Validity
///
/// The sun is up from ω1 to ω2.
///
/// # Example
///
/// At the equator at an equinox, noon to sunset is half of the day's 27.502 MJ/m².
///
/// ```
/// let i = dryspell::sun::geometry::hourly_extraterrestrial_mj_per_m2(1000.0, 0.0, 0.0, 0.0, 90.0);
/// assert!((i - 13.751).abs() < 1e-3);
/// ```
///
/// # References
///
/// Duffie and Beckman 2013, equation 1.10.4; Allen et al. 1998, equation 28.
#[must_use]
pub fn hourly_extraterrestrial_mj_per_m2(
    normal_w_per_m2: f64,
    declination: f64,
    latitude: f64,
    from_hour_angle: f64,
    to_hour_angle: f64,
) -> f64 {
    let (a, b) = (from_hour_angle.to_radians(), to_hour_angle.to_radians());
    let (sd, cd) = sincos(declination.to_radians());
    let (sl, cl) = sincos(latitude.to_radians());
    0.0432 / std::f64::consts::PI * normal_w_per_m2 * (cl * cd * (sin(b) - sin(a)) + (b - a) * sl * sd)
}

/// Inverse square of the sun's relative distance, by the one-term formula.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | n | `day_of_year` | – | 1 to 366 |
/// | dr | result | – | 0.967 to 1.033 |
///
/// # Equation
///
/// `dr = 1 + 0.033·cos(2π n/365)`
///
/// # Validity
///
/// Within 0.3 % of [`crate::sun::extraterrestrial::extraterrestrial_normal`].
///
/// # Example
///
/// ```
/// assert!((dryspell::sun::geometry::inverse_distance_squared(365.0) - 1.033).abs() < 1e-12);
/// ```
///
/// # References
///
/// Duffie and Beckman 2013, equation 1.4.1a; Allen et al. 1998, equation 23.
#[must_use]
pub fn inverse_distance_squared(day_of_year: f64) -> f64 {
    1.0 + 0.033 * cos((360.0 * day_of_year / 365.0).to_radians())
}
