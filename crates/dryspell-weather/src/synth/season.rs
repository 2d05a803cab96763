//! Twelve monthly means joined to a smooth course through the year that keeps each of them.
//!
//! # Units
//!
//! The unit of the values is kept.
//!
//! # Equation
//!
//! Straight lines join values `x_m` at the middle of each month, round the year; the `x_m` are those for which the mean
//! over the days of each month is the one given (a system of twelve equations).
//!
//! # Validity
//!
//! Common practice, no source. The lines bend at mid-month, and values there lie a little outside the means.
//!
//! # Example
//!
//! Equal means give a level line.
//!
//! # References
//!
//! None.

/// Days of each month of a year of 365 days.
const DAYS: [usize; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/// The value of each of 365 days.
pub(super) fn daily(means: &[f64; 12]) -> Vec<f64> {
    let weights = weights();
    // Share of each node in the mean of each month: mostly its own, so that repeated substitution converges fast.
    let mut share = [[0.0; 12]; 12];
    let mut day = 0;
    for (month, days) in DAYS.into_iter().enumerate() {
        let mut count = 0.0;
        for (node, next, at) in &weights[day..day + days] {
            share[month][*node] += 1.0 - at;
            share[month][*next] += at;
            count += 1.0;
        }
        for s in &mut share[month] {
            *s /= count;
        }
        day += days;
    }
    let mut nodes = *means;
    // The error falls to about a third in each pass: after 60 it is below a rounding.
    for _ in 0..60 {
        for month in 0..12 {
            let others: f64 = (0..12).filter(|n| *n != month).map(|n| share[month][n] * nodes[n]).sum();
            nodes[month] = (means[month] - others) / share[month][month];
        }
    }
    weights.iter().map(|(node, next, at)| nodes[*node] * (1.0 - at) + nodes[*next] * at).collect()
}

/// For each day: the month whose middle was last, the next one, and how far between them the day is.
fn weights() -> Vec<(usize, usize, f64)> {
    let mut middles = [0.0; 13];
    let mut start = 0.0;
    for (middle, days) in
        middles.iter_mut().zip([31.0, 28.0, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0])
    {
        *middle = start + 0.5 * days;
        start += days;
    }
    middles[12] = middles[0] + 365.0;
    let mut out = Vec::with_capacity(365);
    let mut noon = 0.5;
    for _ in 0..365 {
        let at = if noon < middles[0] { noon + 365.0 } else { noon };
        let node = (0..12).rev().find(|m| middles[*m] <= at).unwrap_or(11);
        out.push((node, (node + 1) % 12, (at - middles[node]) / (middles[node + 1] - middles[node])));
        noon += 1.0;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_month_keeps_its_mean_and_the_course_has_no_steps() {
        let means = [-7.0, -5.0, -0.5, 5.0, 10.5, 14.8, 18.5, 17.8, 12.4, 6.2, -0.8, -5.8];
        let daily = daily(&means);
        let mut day = 0;
        for (mean, days) in means.into_iter().zip(DAYS) {
            let got: f64 =
                daily[day..day + days].iter().sum::<f64>() / f64::from(u32::try_from(days).unwrap());
            assert!((got - mean).abs() < 1e-9, "{got} {mean}");
            day += days;
        }
        for d in 0..365 {
            assert!((daily[d] - daily[(d + 1) % 365]).abs() < 0.5, "{d}");
        }
    }
}
