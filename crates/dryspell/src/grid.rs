//! Volumes on a grid of 2⁻²⁰ m³, so that sums are exact.

/// Steps of the grid in one cubic metre: 2²⁰, so that a step is about 1 mL.
pub const STEPS_PER_M3: f64 = 1_048_576.0;
/// One step, m³.
pub const STEP_M3: f64 = 1.0 / STEPS_PER_M3;

/// Steps in one unit of the fine grid, 2³⁰, on which what is no volume of the tank is held between hours so that a year repeats
/// exactly or not at all: a step is about 1 nm, 1 µL, 3 µs, 1 nW·h.
pub(crate) const FINE_STEPS: f64 = 1_073_741_824.0;

/// Rounds one volume to the grid, m³.
///
/// # Example
/// ```
/// assert_eq!(dryspell::grid::volume_m3(0.5), 0.5);
/// assert_eq!(dryspell::grid::volume_m3(1.0 / 3.0) * 1_048_576.0, 349_525.0);
/// ```
#[must_use]
pub fn volume_m3(volume_m3: f64) -> f64 {
    libm::rint(volume_m3 * STEPS_PER_M3) / STEPS_PER_M3
}

/// Puts a column of hourly volumes on the grid by differencing the rounded running sum.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | v | volume of each hour | m³ | 0 … 10⁶, finite |
///
/// # Equation
/// `g_k = round(S_k) − round(S_{k−1})`, `S_k = Σ_{i≤k} v_i`, rounding to a multiple of 2⁻²⁰ m³.
///
/// # Validity
/// The rounded sum never strays by more than half a step (0.5 mL) from the true one, however long the column, and a
/// column that is not negative stays so. Every later sum of grid volumes below 2³³ m³ is exact in `f64`, so order,
/// lanes and threads cannot change a result.
///
/// # Example
/// ```
/// let g = dryspell::grid::column_m3(&[0.1, 0.1, 0.1]);
/// assert!((g.iter().sum::<f64>() - 0.3).abs() <= 0.5 / 1_048_576.0);
/// ```
#[must_use]
pub fn column_m3(hourly_m3: &[f64]) -> Vec<f64> {
    let mut sum = 0.0;
    let mut before = 0.0;
    hourly_m3
        .iter()
        .map(|v| {
            sum += v;
            let rounded = volume_m3(sum);
            let step = rounded - before;
            before = rounded;
            step
        })
        .collect()
}

/// Rounds one volume down to the grid, m³.
///
/// # Example
/// ```
/// assert_eq!(dryspell::grid::floor_m3(1.0 / 3.0) * 1_048_576.0, 349_525.0);
/// assert_eq!(dryspell::grid::floor_m3(2.0 / 3.0) * 1_048_576.0, 699_050.0);
/// ```
#[must_use]
pub fn floor_m3(volume_m3: f64) -> f64 {
    libm::floor(volume_m3 * STEPS_PER_M3) / STEPS_PER_M3
}
