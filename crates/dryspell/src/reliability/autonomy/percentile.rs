//! Percentiles of sorted values.

/// The order statistics on either side of percentile `p` of `last + 1` values, and how far it lies between them.
pub(super) fn ranks(last: usize, p: f64) -> (usize, usize, f64) {
    #[allow(clippy::cast_precision_loss, reason = "a record has far fewer hours than 2^53")]
    let at = p * last as f64;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 <= at <= last")]
    let below = (at.floor() as usize).min(last);
    (below, (below + 1).min(last), at - at.floor())
}

/// Percentile of sorted values, `p` from 0 to 1, by linear interpolation between order statistics: R. J. Hyndman and Y. Fan,
/// "Sample quantiles in statistical packages", Am. Stat. 50 (1996), definition 7. `None` for an empty slice.
#[must_use]
pub fn percentile(sorted: &[f64], p: f64) -> Option<f64> {
    let (below, above, between) = ranks(sorted.len().checked_sub(1)?, p);
    Some(sorted[below] + between * (sorted[above] - sorted[below]))
}
