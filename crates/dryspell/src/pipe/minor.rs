//! Losses in fittings.

use crate::pump::GRAVITY_M_PER_S2;

/// Head lost in fittings.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | K | sum of loss coefficients | – | ≥ 0 |
/// | V | mean velocity in the pipe | m/s | any; the loss is odd in it |
/// | h | head lost | m | |
///
/// # Equation
/// `h = K V |V| / (2 g)`
///
/// # Validity
/// Turbulent flow, fittings a few diameters apart. K of one trade name varies by half with make and size.
///
/// # Example
/// ```
/// use dryspell::pipe::fittings_loss_m;
/// // K 2.5 at 1.5 m/s: 2.5 · 2.25 / 19.6133 = 0.2868 m.
/// assert!((fittings_loss_m(2.5, 1.5) - 0.286_795).abs() < 1e-6);
/// ```
///
/// # References
/// L. A. Rossman et al., *EPANET 2.2 User Manual*, US EPA (2020), section 3.1 (minor losses).
#[must_use]
pub fn fittings_loss_m(coefficient: f64, velocity_m_per_s: f64) -> f64 {
    coefficient * velocity_m_per_s * velocity_m_per_s.abs() / (2.0 * GRAVITY_M_PER_S2)
}

/// Loss coefficients K of fittings by trade name, fully open.
///
/// The exit into the tank is already counted by [`super::Line`]; `exit` is for any other place where the water comes
/// to rest in the line.
///
/// Source: L. A. Rossman et al., *EPANET 2.2 User Manual*, US EPA (2020), table 3.3. `elbow` is that table's
/// short-radius elbow, `entrance` its square one.
pub const FITTINGS: &[(&str, f64)] = &[
    ("elbow", 0.9),
    ("medium elbow", 0.8),
    ("long elbow", 0.6),
    ("45 elbow", 0.4),
    ("return bend", 2.2),
    ("tee run", 0.6),
    ("tee branch", 1.8),
    ("gate valve", 0.2),
    ("globe valve", 10.0),
    ("angle valve", 5.0),
    ("swing check", 2.5),
    ("entrance", 0.5),
    ("exit", 1.0),
];

/// Those of them that a hand can shut, against the pump.
///
/// Source: common practice, no source.
pub const SHUT_BY_HAND: [&str; 3] = ["gate valve", "globe valve", "angle valve"];

/// Wall roughness of new pipe by material, m.
///
/// Source: L. A. Rossman et al., *EPANET 2.2 User Manual*, US EPA (2020), table 3.2 (given there in 10⁻³ ft: plastic
/// 0.005, galvanised iron 0.5, commercial steel 0.15, cast iron 0.85). `pe` and `pvc` are plastic.
pub const MATERIALS: &[(&str, f64)] = &[
    ("plastic", 0.005 * 0.000_304_8),
    ("pe", 0.005 * 0.000_304_8),
    ("pvc", 0.005 * 0.000_304_8),
    ("galvanised iron", 0.5 * 0.000_304_8),
    ("galvanized iron", 0.5 * 0.000_304_8),
    ("steel", 0.15 * 0.000_304_8),
    ("cast iron", 0.85 * 0.000_304_8),
];

/// Hazen-Williams coefficients C of new pipe by material.
///
/// Source: L. A. Rossman et al., *EPANET 2.2 User Manual*, US EPA (2020), table 3.2 (plastic and steel 140 to 150, cast
/// iron 130 to 140: the rougher end is taken). Printed tables of polyethylene pipe use 140, those of PVC pipe 150.
pub const HAZEN_WILLIAMS_C: &[(&str, f64)] = &[
    ("plastic", 140.0),
    ("pe", 140.0),
    ("pvc", 150.0),
    ("galvanised iron", 120.0),
    ("galvanized iron", 120.0),
    ("steel", 140.0),
    ("cast iron", 130.0),
];
