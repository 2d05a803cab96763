//! The pressure tank.

/// Weight of water by volume, Pa for each metre of head: 1000 kg/m³ · 9.80665 m/s².
pub(crate) const WATER_PA_PER_M: f64 = 9806.65;
/// Shortest run of a pump that spares its motor, h: one minute.
pub(crate) const SHORTEST_RUN_H: f64 = 1.0 / 60.0;

/// A pre-charged tank and the switch that starts and stops the booster. Pressures are gauge pressures at the pump.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct PressureTank {
    /// Volume of the whole tank, m³, > 0.
    pub volume_m3: f64,
    /// Pressure of its air when empty of water, Pa, > 0.
    pub precharge_pa: f64,
    /// Pressure at which the pump starts, Pa, at least the pre-charge.
    pub cut_in_pa: f64,
    /// Pressure at which it stops, Pa, above the cut-in.
    pub cut_out_pa: f64,
}

/// Share of a pre-charged tank's volume that is drawn between the pump's stop and its next start.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | p₁, p₂, p₃ | pre-charge, cut-in, cut-out, gauge | Pa | 0 < p₁ ≤ p₂ < p₃ |
/// | p_a | pressure of the air | Pa | > 0 |
/// | D/V | result | – | 0 to 1 |
///
/// # Equation
/// `D/V = (p₁ + p_a)/(p₂ + p_a) − (p₁ + p_a)/(p₃ + p_a)`
///
/// # Validity
/// Boyle's law: the air keeps its temperature. A tank that has lost its pre-charge holds less; the switch is at the tank.
///
/// # Example
/// ```
/// use dryspell::delivery::drawdown_share;
/// // 28, 30 and 50 psi at 14.7 psia: 42.7/44.7 − 42.7/64.7 = 0.2953; 25.1 of 85 gal.
/// assert!((drawdown_share(28.0, 30.0, 50.0, 14.7) - 0.295_288).abs() < 1e-6);
/// ```
///
/// # References
/// - R. Boyle, *New Experiments Physico-Mechanicall*, 2nd ed. (1662).
/// - B. Pelikan, in *National Driller*, February 2006: the worked examples.
#[must_use]
pub fn drawdown_share(precharge_pa: f64, cut_in_pa: f64, cut_out_pa: f64, air_pa: f64) -> f64 {
    let empty = precharge_pa + air_pa;
    empty / (cut_in_pa + air_pa) - empty / (cut_out_pa + air_pa)
}

/// A pump that goes on and off at a pressure tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cycle {
    /// Time that it runs, h.
    pub on_h: f64,
    /// Time that it stands, h.
    pub off_h: f64,
}

/// The cycle of a pump at a pressure tank.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | D | drawdown | m³ | ≥ 0 |
/// | Q_p | flow of the pump | m³/h | above Q_d |
/// | Q_d | flow that is drawn | m³/h | > 0 |
///
/// # Equation
/// `on = D/(Q_p − Q_d)`, `off = D/Q_d`; shortest together, `4 D/Q_p`, where Q_d is half of Q_p.
///
/// # Validity
/// Both flows steady; `None` where the pump cannot get ahead of what is drawn: it runs on.
///
/// # Example
/// ```
/// use dryspell::delivery::cycle;
/// // 25.1 gal, 10 gpm, half of it drawn: 5.02 minutes on and as long off.
/// let c = cycle(25.1, 10.0, 5.0).ok_or("no cycle")?;
/// assert!((c.on_h + c.off_h - 10.04).abs() < 1e-9);
/// # Ok::<(), &str>(())
/// ```
///
/// # References
/// Conservation of volume.
#[must_use]
pub fn cycle(drawdown_m3: f64, pump_m3_per_h: f64, drawn_m3_per_h: f64) -> Option<Cycle> {
    (pump_m3_per_h > drawn_m3_per_h && drawn_m3_per_h > 0.0).then(|| Cycle {
        on_h: drawdown_m3 / (pump_m3_per_h - drawn_m3_per_h),
        off_h: drawdown_m3 / drawn_m3_per_h,
    })
}

impl PressureTank {
    /// Water drawn between stop and start, m³.
    #[must_use]
    pub fn drawdown_m3(&self, air_pa: f64) -> f64 {
        self.volume_m3 * drawdown_share(self.precharge_pa, self.cut_in_pa, self.cut_out_pa, air_pa)
    }

    /// Whether the drawdown lasts the pump for its shortest run when nothing is drawn.
    #[must_use]
    pub fn spares_the_motor(&self, air_pa: f64, pump_m3_per_h: f64) -> bool {
        self.drawdown_m3(air_pa) >= pump_m3_per_h * SHORTEST_RUN_H
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn drawdown_is_a_share_and_grows_with_the_band(
            pre in 5e4_f64..3e5,
            above in 0.0_f64..5e4,
            band in 1e4_f64..3e5,
            more in 1.0_f64..1e5,
            air in 6e4_f64..1.05e5,
        ) {
            let share = drawdown_share(pre, pre + above, pre + above + band, air);
            prop_assert!(share > 0.0 && share < 1.0);
            prop_assert!(drawdown_share(pre, pre + above, pre + above + band + more, air) > share);
            // Thin air gives more where the pre-charge is that of the cut-in.
            let matched = |air: f64| drawdown_share(pre, pre, pre + band, air);
            prop_assert!(matched(air - 1e4) > matched(air));
        }

        #[test]
        fn a_cycle_brings_what_it_draws_and_half_is_the_quickest(d in 0.001_f64..0.2, pump in 0.1_f64..3.0, share in 0.01_f64..0.99) {
            let c = cycle(d, pump, share * pump).unwrap();
            prop_assert!((pump * c.on_h - share * pump * (c.on_h + c.off_h)).abs() < 1e-9);
            prop_assert!(c.on_h + c.off_h >= 4.0 * d / pump - 1e-12);
        }
    }
}
