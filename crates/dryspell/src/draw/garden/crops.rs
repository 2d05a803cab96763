//! Crop coefficients and stage lengths.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `i` | days since planting (or since green-up) | day | ≥ 0 |
//! | `L_1` to `L_4` | lengths: initial, development, mid-season, late | day | ≥ 1 |
//! | `K_ini`, `K_mid`, `K_end` | crop coefficients | – | 0 to 1.5 |
//! | `K_c` | coefficient of the day | – | ≥ 0 |
//!
//! # Equation
//!
//! `K_c` is `K_ini` in the initial stage, is linearly interpolated to `K_mid` through development, stays, and is linearly
//! interpolated to `K_end` through the late stage. Outside the stages it is zero: nothing is watered.
//!
//! # Validity
//!
//! Coefficients for a sub-humid climate; FAO-56 corrects `K_mid` and `K_end` for dry wind, which is not done here. Stage
//! lengths differ much with climate: give your own where you know them.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::garden::crops;
//! // Lettuce, 20/30/15/10 days, 0.70/1.00/0.95: half-way through development, day 35, 0.85.
//! let lettuce = crops::find("lettuce").unwrap();
//! let k = crops::coefficient(lettuce.kc, lettuce.stages_days.unwrap(), 35.0);
//! assert!((k - 0.85).abs() < 1e-12);
//! ```
//!
//! # References
//!
//! - Allen, R. G., Pereira, L. S., Raes, D. and Smith, M. (1998). FAO Irrigation and Drainage Paper 56, tables 11 and 12,
//!   as transcribed in the library pyfao56 1.4.3.

/// A crop of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crop {
    /// Name in a scheme.
    pub name: &'static str,
    /// Coefficients: initial, mid-season, end.
    pub kc: [f64; 3],
    /// Lengths of the four stages, days, where they are known.
    pub stages_days: Option<[f64; 4]>,
}

const fn crop(name: &'static str, ini: f64, mid: f64, end: f64, stages_days: Option<[f64; 4]>) -> Crop {
    Crop { name, kc: [ini, mid, end], stages_days }
}

/// The crops, in the table's order.
pub(crate) const CROPS: &[Crop] = &[
    crop("small vegetables", 0.70, 1.05, 0.95, None),
    crop("lettuce", 0.70, 1.00, 0.95, Some([20.0, 30.0, 15.0, 10.0])),
    crop("carrot", 0.70, 1.05, 0.95, Some([20.0, 30.0, 30.0, 20.0])),
    crop("dry onion", 0.70, 1.05, 0.75, None),
    crop("tomato", 0.60, 1.15, 0.80, Some([30.0, 40.0, 40.0, 25.0])),
    crop("bell pepper", 0.60, 1.05, 0.90, None),
    crop("cucumber", 0.60, 1.00, 0.75, None),
    crop("winter squash", 0.50, 1.00, 0.80, None),
    crop("zucchini", 0.50, 0.95, 0.75, None),
    crop("roots", 0.50, 1.10, 0.95, None),
    crop("potato", 0.50, 1.15, 0.75, Some([25.0, 30.0, 40.0, 30.0])),
    crop("legumes", 0.40, 1.15, 0.55, None),
    crop("green bean", 0.50, 1.05, 0.90, None),
    crop("berries", 0.30, 1.05, 0.50, None),
    crop("apple with cover", 0.50, 1.20, 0.95, None),
    crop("alfalfa", 0.40, 0.95, 0.90, None),
    crop("rotated pasture", 0.40, 0.90, 0.85, None),
    crop("extensive pasture", 0.30, 0.75, 0.75, None),
    crop("cool turf", 0.90, 0.95, 0.95, None),
    crop("warm turf", 0.80, 0.85, 0.85, None),
];

/// Names of `CROPS`, in the same order.
pub const NAMES: &[&str] = &{
    let mut names = [""; CROPS.len()];
    let mut i = 0;
    while i < CROPS.len() {
        names[i] = CROPS[i].name;
        i += 1;
    }
    names
};

/// The crop of that name.
#[must_use]
pub fn find(name: &str) -> Option<&'static Crop> {
    CROPS.iter().find(|c| c.name == name)
}

/// The coefficient so many days after planting; zero outside the stages.
#[must_use]
pub fn coefficient(kc: [f64; 3], stages_days: [f64; 4], day: f64) -> f64 {
    let [ini, mid, end] = kc;
    let [first, development, middle, late] = stages_days;
    let mut left = day;
    if left < 0.0 {
        return 0.0;
    }
    if left < first {
        return ini;
    }
    left -= first;
    if left < development {
        return ini + (mid - ini) * left / development;
    }
    left -= development;
    if left < middle {
        return mid;
    }
    left -= middle;
    if left < late { mid + (end - mid) * left / late } else { 0.0 }
}
