//! Capacity of a battery by the rate at which it is emptied.

/// How a battery's capacity falls with the current drawn.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub enum RateLaw {
    /// Peukert's exponent, ≥ 1: 1.1 to 1.3 for lead-acid, near 1.05 for lithium (from memory).
    Peukert(f64),
    /// Capacities that the maker states: hours to empty, and capacity in A·h, in any order. Between two of them, and on
    /// from the quickest, Peukert's law with the exponent of that pair.
    Table(Vec<(f64, f64)>),
}

/// Charge that leaves a battery's store for each unit that reaches the load.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | C, n | rated capacity and the hours in which it is stated | A·h, h | > 0 |
/// | I | current | A | ≥ 0 |
/// | I_n | `C/n` | A | |
/// | k | Peukert's exponent | – | ≥ 1 |
/// | | result | – | ≥ 1 |
///
/// # Equation
/// `(I/I_n)^(k − 1)` above I_n, 1 below: a battery emptied at I lasts `n (C/(n I))^k`.
///
/// # Validity
/// A steady current at the temperature of the rating. What a quick discharge leaves in the store comes back in part with
/// rest; that is not counted, nor any gain below the rated current (conservative).
///
/// # Example
/// ```
/// use dryspell::delivery::{RateLaw, rate_factor};
/// // 100 A·h in 20 h, k 1.2, 10 A: 20 · 0.5^1.2 = 8.71 h, so 87.1 A·h.
/// let f = rate_factor(&RateLaw::Peukert(1.2), 100.0, 20.0, 10.0);
/// assert!((100.0 / f / 10.0 - 8.705_5).abs() < 1e-4);
/// ```
///
/// # References
/// W. Peukert, *Über die Abhängigkeit der Kapazität von der Entladestromstärke bei Bleiakkumulatoren*,
/// Elektrotechnische Zeitschrift 20 (1897), from memory.
#[must_use]
pub fn rate_factor(law: &RateLaw, capacity_ah: f64, rated_h: f64, current_a: f64) -> f64 {
    let rated_a = capacity_ah / rated_h;
    if current_a <= rated_a {
        return 1.0;
    }
    let peukert = |k: f64| libm::pow(current_a / rated_a, k - 1.0);
    match law {
        RateLaw::Peukert(k) => peukert(k.max(1.0)),
        RateLaw::Table(points) => {
            // By current, the rated point among them.
            let mut by: Vec<(f64, f64)> = points.iter().map(|(h, ah)| (ah / h, *ah)).collect();
            by.push((rated_a, capacity_ah));
            by.sort_by(|a, b| a.0.total_cmp(&b.0));
            by.dedup_by(|a, b| a.0 <= b.0);
            let upper = by.iter().position(|p| p.0 >= current_a).unwrap_or(by.len() - 1).max(1);
            let Some([(i0, c0), (i1, c1)]) =
                by.get(upper - 1..=upper).and_then(|w| <[_; 2]>::try_from(w).ok())
            else {
                return 1.0;
            };
            let slope = libm::log(c1 / c0) / libm::log(i1 / i0);
            let capacity = c0 * libm::pow(current_a / i0, slope.min(0.0));
            (capacity_ah / capacity).max(1.0)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_table_made_by_peukerts_law_gives_it_back() {
        let (k, c, n) = (1.25_f64, 120.0_f64, 20.0_f64);
        // Emptied in t hours: I = I_n (n/t)^(1/k).
        let point = |t: f64| (t, t * c / n * libm::pow(n / t, 1.0 / k));
        let table = RateLaw::Table(vec![point(5.0), point(10.0), point(1.0)]);
        for current in [3.0, 6.5, 8.0, 20.0, 70.0, 150.0] {
            let (a, b) =
                (rate_factor(&table, c, n, current), rate_factor(&RateLaw::Peukert(k), c, n, current));
            assert!((a / b - 1.0).abs() < 1e-12, "{current}: {a} {b}");
        }
    }

    proptest! {
        #[test]
        fn a_greater_current_never_takes_less(k in 1.0_f64..1.5, current in 0.1_f64..100.0, more in 1.0_f64..3.0) {
            let law = RateLaw::Peukert(k);
            prop_assert!(rate_factor(&law, 100.0, 20.0, current * more) >= rate_factor(&law, 100.0, 20.0, current));
        }
    }
}
