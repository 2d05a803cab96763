//! Beam and diffuse light where a file lacks one of them.

/// Cosine of the zenith angle below which clearness is formed with this value instead.
const LEAST_COS_ZENITH: f64 = 0.065;
/// Zenith angle, degrees, beyond which no beam is made from global light: the division by its cosine would decide.
const LAST_ZENITH_DEG: f64 = 87.0;

/// Diffuse share of global light from the clearness index.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | kt | `clearness` | – | 0 to 1 |
/// | kd | result | – | 0.165 to 1 |
///
/// # Equation
///
/// `kd = 1 − 0.09 kt` up to 0.22; `0.9511 − 0.1604 kt + 4.388 kt² − 16.638 kt³ + 12.336 kt⁴` up to 0.80; then `0.165`
///
/// # Validity
///
/// Hourly means; fitted to five stations between 31 and 42 degrees north. The published curve has steps of 0.0003 at
/// 0.22 and 0.80.
///
/// # Example
///
/// At 0.10 the share is 1 − 0.009 = 0.991.
///
/// ```
/// assert!((dryspell::sun::split::erbs_diffuse_share(0.10) - 0.991).abs() < 1e-12);
/// ```
///
/// # References
///
/// D. G. Erbs, S. A. Klein and J. A. Duffie, *Estimation of the diffuse radiation fraction for hourly, daily and
/// monthly-average global radiation*, Solar Energy 28 (1982) 293, doi 10.1016/0038-092X(82)90302-4, equation 1.
#[must_use]
pub fn erbs_diffuse_share(clearness: f64) -> f64 {
    let k = clearness;
    if k <= 0.22 {
        1.0 - 0.09 * k
    } else if k <= 0.80 {
        0.9511 + k * (-0.1604 + k * (4.388 + k * (-16.638 + k * 12.336)))
    } else {
        0.165
    }
}

/// Radiation as a file gives it at one time, W/m².
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Radiation {
    /// Global on the level.
    pub ghi: f64,
    /// Beam facing the sun, where the file has it.
    pub dni: Option<f64>,
    /// Diffuse on the level, where the file has it.
    pub dhi: Option<f64>,
}

/// The sun that belongs to a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Light {
    /// Apparent zenith angle, degrees.
    pub zenith_deg: f64,
    /// Its cosine.
    pub cos_zenith: f64,
    /// Extraterrestrial radiation facing the sun, W/m².
    pub extraterrestrial_normal: f64,
    /// Share of the time with the sun up, 0 to 1: a mean over an hour spreads its light over the dark part too.
    pub lit_fraction: f64,
}

/// Global, beam and diffuse light that belong together, W/m², and how they were split.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parts {
    /// Global on the level.
    pub ghi: f64,
    /// Beam facing the sun.
    pub dni: f64,
    /// Diffuse on the level.
    pub dhi: f64,
    /// Clearness index, 0 to 1: global light over the extraterrestrial on the level, while the sun is up.
    pub clearness: f64,
}

/// Clearness index with its guards: the cosine held above 0.065, the index within 0 and 1.
#[must_use]
pub fn clearness(ghi: f64, light: &Light) -> f64 {
    let outside = light.extraterrestrial_normal * light.cos_zenith.max(LEAST_COS_ZENITH) * light.lit_fraction;
    if outside > 0.0 { (ghi / outside).clamp(0.0, 1.0) } else { 0.0 }
}

/// Fills in what a reading lacks.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | G, Gb, Gd | `ghi`, `dni`, `dhi` | W/m² | ≥ 0 |
/// | θz | `zenith_deg` | degrees | 0 to 180 |
///
/// # Equation
///
/// Closure `G = Gb·cos θz + Gd`. With beam and no diffuse: `Gd = G − Gb cos θz`, at least 0. With diffuse and no beam:
/// `Gb = (G − Gd)/cos θz`. With neither: `Gd = kd(kt)·G` by [`erbs_diffuse_share`], then the same. Complete readings
/// pass unchanged.
///
/// # Validity
///
/// Beyond a zenith angle of 87 degrees no beam is made: all of the light counts as diffuse. A beam that is made is never
/// above the extraterrestrial; what is over counts as diffuse. A beam that the file gives is kept as given.
///
/// # Example
///
/// 800 W/m² with the sun at 30 degrees from the zenith on 21 June (extraterrestrial 1321.62): the clearness is 0.699, of
/// which 24.6 % is diffuse.
///
/// ```
/// use dryspell::sun::split::{Light, Radiation, split};
/// let light = Light { zenith_deg: 30.0, cos_zenith: 0.75_f64.sqrt(), extraterrestrial_normal: 1321.6236,
///     lit_fraction: 1.0 };
/// let parts = split(&Radiation { ghi: 800.0, dni: None, dhi: None }, &light);
/// assert!((parts.dni - 696.885).abs() < 0.001 && (parts.dhi - 196.480).abs() < 0.001);
/// ```
///
/// # References
///
/// Erbs et al. 1982 (above); the guards are those of the library pvlib (`erbs`: 0.065, 87 degrees).
#[must_use]
pub fn split(given: &Radiation, light: &Light) -> Parts {
    let ghi = given.ghi;
    let clearness = clearness(ghi, light);
    let low = light.zenith_deg > LAST_ZENITH_DEG || light.cos_zenith <= 0.0;
    let (dni, dhi) = match (given.dni, given.dhi) {
        (Some(dni), Some(dhi)) => (dni, dhi),
        (Some(dni), None) => (dni, (ghi - dni * light.cos_zenith.max(0.0)).max(0.0)),
        (None, _) if low => (0.0, ghi),
        (None, dhi) => {
            let dhi = dhi.unwrap_or_else(|| erbs_diffuse_share(clearness) * ghi).min(ghi);
            let dni = ((ghi - dhi) / light.cos_zenith).min(light.extraterrestrial_normal);
            // Closure holds also where the beam was capped.
            (dni, ghi - dni * light.cos_zenith)
        }
    };
    Parts { ghi, dni, dhi, clearness }
}

/// Rebuilds an hour's mean from the clearness index and the diffuse share of a reading at an instant.
///
/// # Units
///
/// As for [`split`]; `diffuse_share` is 0 to 1.
///
/// # Equation
///
/// `G = kt·Gon·cos θz·(lit share of the hour)`, `Gd = share·G`, `Gb = (G − Gd)/cos θz`, with the hour's own sun
///
/// # Validity
///
/// Supposes that the sky of the instant holds for the hour: the best that one satellite scan an hour allows. No beam
/// beyond 87 degrees from the zenith.
///
/// # Example
///
/// Half of 1400 W/m² at 60 degrees from the zenith, 40 % diffuse: 350 W/m², of which 140 diffuse; beam 210/0.5.
///
/// ```
/// use dryspell::sun::split::{Light, rebuild};
/// let light = Light { zenith_deg: 60.0, cos_zenith: 0.5, extraterrestrial_normal: 1400.0, lit_fraction: 1.0 };
/// let parts = rebuild(0.5, 0.4, &light);
/// assert!((parts.ghi - 350.0).abs() < 1e-9 && (parts.dhi - 140.0).abs() < 1e-9);
/// assert!((parts.dni - 420.0).abs() < 1e-9);
/// ```
///
/// # References
///
/// Definition of the clearness index: Duffie and Beckman 2013, section 2.9.
#[must_use]
pub fn rebuild(clearness: f64, diffuse_share: f64, light: &Light) -> Parts {
    let ghi = clearness * light.extraterrestrial_normal * light.cos_zenith.max(0.0) * light.lit_fraction;
    let given = Radiation { ghi, dni: None, dhi: Some(diffuse_share * ghi) };
    Parts { clearness, ..split(&given, light) }
}

/// Whether a clearness index formed with this sun says something about the sky.
pub(crate) fn sound(light: &Light) -> bool {
    light.cos_zenith >= LEAST_COS_ZENITH
}

#[cfg(test)]
mod tests {
    use super::*;

    const LIGHT: Light =
        Light { zenith_deg: 60.0, cos_zenith: 0.5, extraterrestrial_normal: 1400.0, lit_fraction: 1.0 };

    #[test]
    fn closure_gives_the_missing_part() {
        let beam = split(&Radiation { ghi: 500.0, dni: Some(600.0), dhi: None }, &LIGHT);
        assert!((beam.dhi - 200.0).abs() < 1e-12);
        let diffuse = split(&Radiation { ghi: 500.0, dni: None, dhi: Some(200.0) }, &LIGHT);
        assert!((diffuse.dni - 600.0).abs() < 1e-12);
        // A beam too strong for the global light leaves no diffuse, never a negative one.
        assert!(split(&Radiation { ghi: 200.0, dni: Some(600.0), dhi: None }, &LIGHT).dhi.abs() < 1e-12);
    }

    #[test]
    fn low_sun_makes_no_beam_and_loses_no_light() {
        for zenith_deg in [87.1_f64, 89.99, 90.0, 91.0, 120.0] {
            let light = Light { zenith_deg, cos_zenith: libm::cos(zenith_deg.to_radians()), ..LIGHT };
            for dhi in [None, Some(5.0)] {
                let parts = split(&Radiation { ghi: 20.0, dni: None, dhi }, &light);
                assert_eq!((parts.dni, parts.dhi), (0.0, 20.0), "{zenith_deg}");
            }
        }
    }

    proptest::proptest! {
        #[test]
        fn what_is_made_closes_and_stays_in_range(
            ghi in 0.0..1500.0_f64, share in 0.0..=1.0_f64, zenith_deg in 0.0..95.0_f64, lit in 0.01..=1.0_f64,
            kind in 0..2,
        ) {
            let light = Light { zenith_deg, cos_zenith: libm::cos(zenith_deg.to_radians()), lit_fraction: lit, ..LIGHT };
            let dhi = (kind == 1).then_some(share * ghi);
            let parts = split(&Radiation { ghi, dni: None, dhi }, &light);
            let level = parts.dni * light.cos_zenith.max(0.0) + parts.dhi;
            proptest::prop_assert!((level - ghi).abs() < 1e-9);
            proptest::prop_assert!(parts.dni >= 0.0 && parts.dhi >= 0.0 && parts.dni <= 1400.0);
        }
    }
}
