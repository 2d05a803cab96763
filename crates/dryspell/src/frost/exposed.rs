//! Hours in which water standing in an exposed pipe holds ice.

use super::pipe_cooling::{BarePipe, ICE_J_PER_KG_K, WATER_J_PER_KG_K};

/// Water standing in a pipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StandingWater {
    /// Temperature, °C: below 0 only when all of it is ice.
    pub degc: f64,
    /// Share that is ice, 0 to 1.
    pub ice: f64,
}

/// Water that stands in an exposed pipe for one hour of steady air.
///
/// Returns what it is at the end, and whether it held ice at any moment.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | T, f | temperature of the water or ice, share of ice | °C, – | f 0 to 1 |
/// | t_a | air | °C | |
/// | τ | [`BarePipe::time_constant_h`]; that of ice is smaller by the ratio of heat capacities | h | |
/// | D | [`BarePipe::solid_k_h`] | K·h | |
///
/// # Equation
/// Water: `dT/dt = (t_a − T)/τ` until 0 °C; then `df/dt = −t_a/D` until f is 1 (freezing) or 0 (thawing); ice alone:
/// `dT/dt = (t_a − T)/τ_ice`. Each part of the hour is exact.
///
/// # Validity
/// That of [`BarePipe`]; no sun, no water that passes and brings warmth. Ice counts as a stop from its first moment,
/// because water may cool below 0 °C and freeze at once, until the last of it has thawed.
///
/// # Example
/// ```
/// use dryspell::frost::{BarePipe, StandingWater, stand};
/// let pipe = BarePipe { bore_m: 0.032, outside_m: 0.040, insulation_m: 0.0, insulation_w_per_m_k: 0.04,
///     film_w_per_m2_k: Some(25.0) };
/// // 4.4 minutes to 0 °C, then 55.6 of the 79.2 that freeze it solid.
/// let (after, ice) = stand(&pipe, StandingWater { degc: 5.0, ice: 0.0 }, -18.0);
/// assert!(ice && (after.ice - 0.702).abs() < 0.002);
/// ```
///
/// # References
/// The equations of [`BarePipe`], kept going from hour to hour.
#[must_use]
pub fn stand(pipe: &BarePipe, before: StandingWater, air_degc: f64) -> (StandingWater, bool) {
    let water_h = pipe.time_constant_h();
    let ice_h = water_h * ICE_J_PER_KG_K / WATER_J_PER_KG_K;
    let solid_k_h = pipe.solid_k_h();
    let (mut s, mut left_h, mut held) = (before, 1.0_f64, before.ice > 0.0);
    let relax = |from: f64, tau: f64, hours: f64| air_degc + (from - air_degc) * libm::exp(-hours / tau);
    // At most three parts: through one end of the ice and out of the other.
    for _ in 0..4 {
        if left_h <= 0.0 {
            break;
        }
        let solid = s.ice >= 1.0 && (s.degc < 0.0 || air_degc < 0.0);
        let liquid = s.ice <= 0.0 && (s.degc > 0.0 || air_degc >= 0.0);
        if solid || liquid {
            let tau = if solid { ice_h } else { water_h };
            // Time to 0 °C, if it gets there.
            let crosses = s.degc * air_degc < 0.0;
            let to_zero =
                if crosses { tau * libm::log((s.degc - air_degc) / -air_degc) } else { f64::INFINITY };
            if to_zero < left_h {
                s.degc = 0.0;
                left_h -= to_zero;
                held |= liquid;
            } else {
                s.degc = relax(s.degc, tau, left_h);
                left_h = 0.0;
            }
        } else {
            if air_degc.abs() <= 0.0 {
                break;
            }
            held = true;
            let to_end = if air_degc < 0.0 { 1.0 - s.ice } else { s.ice } * solid_k_h / air_degc.abs();
            let end = if air_degc < 0.0 { 1.0 } else { 0.0 };
            if to_end < left_h {
                s.ice = end;
                left_h -= to_end;
            } else {
                s.ice = (s.ice - air_degc * left_h / solid_k_h).clamp(0.0, 1.0);
                left_h = 0.0;
            }
        }
    }
    (s, held)
}

/// The hours of a record in which water standing in an exposed pipe holds ice, and its share at each hour's end.
///
/// A one-year record is repeated: it begins with what its end left. Others begin with water as warm as the first hour's
/// air, or at 0 °C.
#[must_use]
pub(crate) fn standing_hours(pipe: &BarePipe, air_degc: &[f64], wraps: bool) -> (Vec<bool>, Vec<f64>) {
    let mut state = StandingWater { degc: air_degc.first().map_or(0.0, |t| t.max(0.0)), ice: 0.0 };
    if wraps {
        for t in air_degc {
            state = stand(pipe, state, *t).0;
        }
    }
    air_degc
        .iter()
        .map(|t| {
            let (after, held) = stand(pipe, state, *t);
            state = after;
            (held, after.ice)
        })
        .unzip()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn pipe(insulation_m: f64, film: f64) -> BarePipe {
        BarePipe {
            bore_m: 0.032,
            outside_m: 0.040,
            insulation_m,
            insulation_w_per_m_k: 0.04,
            film_w_per_m2_k: Some(film),
        }
    }

    /// Heat of the water above ice at 0 °C, in K of liquid water.
    fn heat(s: StandingWater) -> f64 {
        let fusion = 334_000.0 / WATER_J_PER_KG_K;
        let sensible = if s.degc < 0.0 { ICE_J_PER_KG_K / WATER_J_PER_KG_K * s.degc } else { s.degc };
        sensible - fusion * s.ice
    }

    proptest! {
        #[test]
        fn exact_parts_agree_with_small_steps(air in proptest::collection::vec(-20.0_f64..10.0, 1..12)) {
            let pipe = pipe(0.0, 15.0);
            let mut exact = StandingWater { degc: 4.0, ice: 0.0 };
            let mut h = heat(exact);
            let fusion = 334_000.0 / WATER_J_PER_KG_K;
            for t in air {
                exact = stand(&pipe, exact, t).0;
                for _ in 0..20_000 {
                    let degc = if h > 0.0 {
                        h
                    } else if h < -fusion {
                        (h + fusion) * WATER_J_PER_KG_K / ICE_J_PER_KG_K
                    } else {
                        0.0
                    };
                    h += (t - degc) / pipe.time_constant_h() / 20_000.0;
                }
                prop_assert!((heat(exact) - h).abs() < 0.02, "{exact:?}: {} v {h}", heat(exact));
            }
        }

        #[test]
        fn colder_air_never_has_less_ice(
            air in proptest::collection::vec(-15.0_f64..10.0, 24..72),
            colder in 0.0_f64..5.0,
        ) {
            let p = pipe(0.02, 15.0);
            let (held, ice) = standing_hours(&p, &air, false);
            let cold: Vec<f64> = air.iter().map(|t| t - colder).collect();
            let (held_cold, ice_cold) = standing_hours(&p, &cold, false);
            for h in 0..air.len() {
                prop_assert!(ice_cold[h] >= ice[h] - 1e-12);
                prop_assert!(held_cold[h] || !held[h]);
            }
        }
    }

    #[test]
    fn a_year_that_ends_frozen_begins_frozen() {
        let mut air = vec![5.0; 24];
        air[20..].fill(-10.0);
        let held = standing_hours(&pipe(0.0, 25.0), &air, true).0;
        assert!(held[0] && held[23] && !held[19]);
        assert!(!standing_hours(&pipe(0.0, 25.0), &air, false).0[0]);
    }

    #[test]
    fn insulation_only_delays() {
        // A clear night of 4 h at -3 °C: bare pipe freezes, a thickly wrapped one does not; a week of it freezes both.
        let mut air = vec![6.0; 48];
        air[24..28].fill(-3.0);
        assert!(standing_hours(&pipe(0.0, 25.0), &air, false).0.iter().any(|f| *f));
        assert!(!standing_hours(&pipe(0.05, 25.0), &air, false).0.iter().any(|f| *f));
        assert!(standing_hours(&pipe(0.05, 25.0), &[-3.0; 168], false).0.iter().any(|f| *f));
    }
}
