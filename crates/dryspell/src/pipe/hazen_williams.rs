//! The Hazen-Williams loss, by which most printed pipe tables are made.

/// Head lost to friction by the formula of Hazen and Williams.
///
/// The program itself uses Darcy-Weisbach; this law serves to compare with printed tables.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | Q | flow | m³/s | any; the loss is odd in it |
/// | C | coefficient | – | 100 (old iron) to 150 (plastic) |
/// | D | inside diameter | m | > 0 |
/// | L | length | m | ≥ 0 |
///
/// # Equation
/// `h = 10.67 L Q^1.852 / (C^1.852 D^4.8704)`
///
/// # Validity
/// Water near 15 °C, velocity near 1 m/s, diameter above 50 mm. At the part flow of a solar pump in a small
/// plastic pipe it lies 15 to 25 % below Darcy-Weisbach.
///
/// # Example
/// ```
/// use dryspell::pipe::hazen_williams_m;
/// // 10 gallons a minute in 1 1/4 in polyethylene pipe, C 140: published 1.66 m per 100 m.
/// let h = hazen_williams_m(0.630_902e-3, 140.0, 1.380 * 0.0254, 100.0);
/// assert!((h - 1.66).abs() < 0.01);
/// ```
///
/// # References
/// L. A. Rossman et al., *EPANET 2.2 User Manual*, US EPA (2020), table 3.1 (in feet and ft³/s); the SI form is from memory.
#[must_use]
pub fn hazen_williams_m(flow_m3_per_s: f64, coefficient: f64, bore_m: f64, length_m: f64) -> f64 {
    let ratio = libm::pow(flow_m3_per_s.abs() / coefficient, 1.852);
    (10.67 * length_m * ratio / libm::pow(bore_m, 4.8704)).copysign(flow_m3_per_s)
}
