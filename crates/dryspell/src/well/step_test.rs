//! Aquifer and well loss from a step test.

/// Fits `s = B Q + C Q²` to the steps of a pumping test.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | Q | flow of a step | any flow | > 0 |
/// | s | drawdown at the end of the step | m | > 0 |
/// | B | aquifer loss | m per flow | |
/// | C | well loss | m per flow² | |
///
/// # Equation
/// The straight line `s/Q = B + C Q` by least squares.
///
/// # Validity
/// Steps of equal length. Drawdown read at the end of a step holds a little of the earlier steps, which lifts B. At least
/// two different flows; a negative B or C means that the well changed during the test.
///
/// # Example
/// ```
/// use dryspell::well::step_test;
/// // 1, 2 and 3 m³/h with s = 2 Q + 0.5 Q².
/// let (b, c) = step_test(&[(1.0, 2.5), (2.0, 6.0), (3.0, 10.5)]).ok_or("steps")?;
/// assert!((b - 2.0).abs() < 1e-12 && (c - 0.5).abs() < 1e-12);
/// # Ok::<(), &str>(())
/// ```
///
/// # References
/// - C. E. Jacob, *Drawdown test to determine effective radius of artesian well*, Trans. ASCE 112 (1947) 1047; M. I. Rorabaugh
///   (1953) for other powers (from memory).
/// - Worked data: L. Clark, *The analysis and planning of step drawdown tests*, Q. J. Eng. Geol. 10 (1977) 125.
#[must_use]
pub fn step_test(steps: &[(f64, f64)]) -> Option<(f64, f64)> {
    if steps.len() < 2 || steps.iter().any(|(q, s)| !(*q > 0.0 && s.is_finite())) {
        return None;
    }
    let count = u32::try_from(steps.len()).ok()?;
    let n = f64::from(count);
    let mean_q = steps.iter().map(|(q, _)| q).sum::<f64>() / n;
    let mean_y = steps.iter().map(|(q, s)| s / q).sum::<f64>() / n;
    let spread: f64 = steps.iter().map(|(q, _)| (q - mean_q) * (q - mean_q)).sum();
    if spread <= 0.0 {
        return None;
    }
    let c = steps.iter().map(|(q, s)| (q - mean_q) * (s / q - mean_y)).sum::<f64>() / spread;
    Some((mean_y - c * mean_q, c))
}
