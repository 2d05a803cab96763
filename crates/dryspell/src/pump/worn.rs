//! A pump that has worn.

use super::{Displacement, DutyTable, Machine, PumpEfficiency, RatedCurve, Settings, VoltTable};

impl Settings {
    /// The pump after wear has taken a share of its flow; `None` for a pump of a user's own, whose law is not known.
    ///
    /// # Units
    /// | symbol | name | unit | valid range |
    /// | --- | --- | --- | --- |
    /// | w | `share` of the flow lost | – | 0 to below 1 |
    /// | Q | flow of each row | m³/h | ≥ 0 |
    ///
    /// # Equation
    /// `Q' = (1 − w) Q` at the same head and drive, for tables and for a centrifugal pump's rated curve. A positive-displacement
    /// pump slips: the slip grows so that its flow at the highest head and voltage is `(1 − w) Q`.
    ///
    /// # Validity
    /// A share that is the same at every head. A worn table pump takes the same power for less water.
    ///
    /// # Example
    /// ```
    /// use dryspell::pump::{DutyPoint, Settings, Start};
    /// let row = |flow_m3_per_h| DutyPoint { head_m: 30.0, power_w: 200.0, flow_m3_per_h };
    /// let new = Settings::duty(vec![row(1.0)], Start::Zero);
    /// assert_eq!(new.worn(0.25), Some(Settings::duty(vec![row(0.75)], Start::Zero)));
    /// ```
    ///
    /// # References
    /// The definition is this project's.
    #[must_use]
    pub fn worn(&self, share: f64) -> Option<Self> {
        let left = 1.0 - share;
        let mut worn = self.clone();
        match &mut worn {
            Self::Duty(DutyTable { rows, .. }) => rows.iter_mut().for_each(|row| row.flow_m3_per_h *= left),
            Self::Volts(VoltTable { rows, .. }) => rows.iter_mut().for_each(|row| row.flow_m3_per_h *= left),
            Self::Centrifugal(pump) => {
                pump.rated_flow_m3_per_h *= left;
                if let RatedCurve::Points(points) = &mut pump.curve {
                    points.iter_mut().for_each(|(flow, _)| *flow *= left);
                }
                // Less water for the same power.
                match &mut pump.efficiency {
                    PumpEfficiency::Best(best) => *best *= left,
                    PumpEfficiency::Points(points) => {
                        for (flow, efficiency) in points {
                            *flow *= left;
                            *efficiency *= left;
                        }
                    }
                }
            }
            Self::Displacement(pump) => {
                let full = Displacement::new(pump, WATER_KG_PER_M3).ok()?.full_flow_at(pump.highest_head_m);
                pump.slip_m3_per_h_m += share * full / pump.highest_head_m;
            }
            Self::Own(_) => return None,
        }
        Some(worn)
    }
}

/// The flow at a given voltage hangs on the density only by the motor's droop.
const WATER_KG_PER_M3: f64 = 1000.0;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pump::{DutyPoint, Start};

    #[test]
    fn a_tables_flow_falls_by_the_share_and_its_power_stays() {
        let row = |head_m, power_w, flow_m3_per_h| DutyPoint { head_m, power_w, flow_m3_per_h };
        let new = Settings::duty(vec![row(20.0, 200.0, 1.0), row(40.0, 200.0, 0.5)], Start::Zero);
        let worn = Settings::duty(vec![row(20.0, 200.0, 0.75), row(40.0, 200.0, 0.375)], Start::Zero);
        assert_eq!(new.worn(0.25), Some(worn));
    }
}
