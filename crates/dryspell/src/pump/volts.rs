//! Tables with a voltage: flow and current by head and voltage, or by head at one voltage.

use super::machine::{Machine, OperatingPoint, Site};
use super::surface::between;
use super::{Pchip, Row, Surface, VoltTable, check};
use crate::fault::{FaultKind, Faults};

/// A pump by its table of head, voltage, flow and current.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | H | total dynamic head | m | below the highest tabulated head |
/// | V | voltage at the pump | V | ≥ 0 |
/// | Q | flow | m³/h | ≥ 0 |
/// | I | current | A | ≥ 0 |
///
/// # Equation
/// Flow is the [`Surface`] of the rows, voltage being the drive. Current at each tabulated head is the monotone cubic
/// ([`Pchip`]) in voltage through its rows, that of the nearest row beyond them, and between heads mixed with the flow's
/// own weight. Where the pump stands still it takes none.
///
/// A table at one voltage is the same with one row a head: below that voltage nothing flows unless a start voltage is
/// given; from there the flow rises linearly, at the row's current (the torque is set by the head, so the
/// current is too).
///
/// # Validity
/// Flow never rises with head and never falls with voltage; current never falls with voltage. Above the highest
/// voltage the flow of that voltage is kept.
///
/// # Example
/// ```
/// use dryspell::pump::{Start, VoltPoint, VoltPump, VoltTable};
/// let row = |head_m, voltage_v, flow_m3_per_h, current_a| VoltPoint { head_m, voltage_v, flow_m3_per_h, current_a };
/// let pump = VoltPump::new(&VoltTable {
///     rows: vec![row(10.0, 12.0, 0.4, 3.0), row(10.0, 24.0, 0.8, 4.0), row(30.0, 12.0, 0.2, 5.0), row(30.0, 24.0, 0.6, 6.0)],
///     start: Start::Zero,
///     one_voltage: false,
/// })
/// .map_err(|faults| faults[0].to_string())?;
/// // The middle of four points.
/// assert!((pump.flow_m3_per_h(20.0, 18.0) - 0.5).abs() < 1e-12);
/// assert!((pump.current_a(20.0, 18.0) - 4.5).abs() < 1e-12);
/// # Ok::<(), String>(())
/// ```
///
/// # References
/// S. Kou, S. A. Klein, W. A. Beckman, *A method for estimating the long-term performance of direct-coupled PV pumping
/// systems*, Solar Energy 64:33–40 (1998): flow and current of a pump as functions of voltage and head (from memory;
/// their polynomials are replaced by monotone curves).
#[derive(Debug, Clone, PartialEq)]
pub struct VoltPump {
    surface: Surface,
    currents: Vec<Pchip>,
}

impl std::ops::Deref for VoltPump {
    type Target = Surface;

    fn deref(&self) -> &Surface {
        &self.surface
    }
}

impl VoltPump {
    /// The pump of a table.
    ///
    /// # Errors
    /// All faults of the table and of the start voltage, each naming its row.
    pub fn new(table: &VoltTable) -> Result<Self, Faults> {
        let words = if table.one_voltage { check::ONE_VOLTAGE } else { check::VOLTS };
        let mut faults = Vec::new();
        for (n, p) in (1..).zip(&table.rows) {
            if !(p.current_a.is_finite() && p.current_a > 0.0) {
                faults.push(words.fault(
                    FaultKind::OutOfRange,
                    format!("row {n}: current {} A", p.current_a),
                    "a current above 0 A",
                    "correct the row",
                ));
            }
        }
        if !faults.is_empty() {
            return Err(faults.into());
        }
        let rows: Vec<Row> = table
            .rows
            .iter()
            .map(|p| Row {
                head_m: p.head_m,
                drive: p.voltage_v,
                flow_m3_per_h: p.flow_m3_per_h,
                power_w: p.voltage_v * p.current_a,
            })
            .collect();
        let surface = check::surface(&words, &rows, table.start)?;
        let amps = |p: &Row| p.power_w / p.drive;
        for (n, p) in (1..).zip(&rows) {
            let before = rows[..n - 1].iter().rfind(|q| q.head_m.total_cmp(&p.head_m).is_eq());
            if before.is_some_and(|q| amps(p) < amps(q) * (1.0 - 1e-12)) {
                faults.push(words.fault(
                    FaultKind::Contradiction,
                    format!("row {n}: current falls to {} A at {} V, {} m", amps(p), p.drive, p.head_m),
                    "currents that do not fall with voltage",
                    "check the row against the datasheet",
                ));
            }
        }
        if faults.is_empty() {
            Ok(Self { surface, currents: check::curves(&rows, amps) })
        } else {
            Err(faults.into())
        }
    }

    /// Current, A, at a head and a voltage; none where nothing flows.
    #[must_use]
    pub fn current_a(&self, head_m: f64, voltage_v: f64) -> f64 {
        if self.surface.flow_m3_per_h(head_m, voltage_v) > 0.0 {
            between(&self.currents_a(voltage_v), self.surface.place(head_m))
        } else {
            0.0
        }
    }

    /// Current at each tabulated head; a head whose flow is lent by a greater one takes that one's current.
    fn currents_a(&self, voltage_v: f64) -> Vec<f64> {
        let mut currents = vec![0.0; self.currents.len()];
        let mut lent = (0.0, 0.0);
        for (i, curve) in self.currents.iter().enumerate().rev() {
            let flow = self.surface.own_flow(i, voltage_v);
            if flow >= lent.0 {
                lent = (flow, curve.at(voltage_v));
            }
            currents[i] = lent.1;
        }
        currents
    }
}

impl Machine for VoltPump {
    fn table(&self) -> Option<&Surface> {
        Some(&self.surface)
    }

    fn full_flow_m3_per_h(&self) -> f64 {
        self.surface.full_flow_m3_per_h()
    }

    fn highest_head_m(&self) -> f64 {
        self.surface.highest_head_m()
    }

    fn full_flow_at(&self, head_m: f64) -> f64 {
        self.surface.flow_m3_per_h(head_m, f64::INFINITY)
    }

    fn top_drive(&self) -> f64 {
        self.surface.top_drive()
    }

    fn run(&self, drive: f64, site: &dyn Site, flows: &mut Vec<f64>) -> OperatingPoint {
        self.surface.at_drive(drive, flows);
        let met = site.meet(&self.surface, drive, flows);
        let current_a =
            if met.flow_m3_per_h > 0.0 { between(&self.currents_a(drive), met.place) } else { 0.0 };
        OperatingPoint {
            flow_m3_per_h: met.flow_m3_per_h,
            voltage_v: Some(drive),
            current_a: Some(current_a),
            power_w: drive * current_a,
            speed_rad_per_s: None,
            margin: f64::INFINITY,
            at_limit: self.surface.at_limit(met.place, drive),
            below_lowest_drive: drive < self.surface.lowest_drive(met.place),
            table_end: met.table_end,
            below_lowest_head: met.below_lowest_head,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pump::{Displacement, DisplacementSettings, PermanentMagnet, Start, VoltPoint};

    /// A displacement pump without friction is told wholly by two heads at one voltage: slip and the motor's resistance are
    /// what the head takes of the flow at any voltage.
    #[test]
    fn two_heads_at_one_voltage_tell_a_displacement_pump_without_friction() {
        let whole = Displacement::new(
            &DisplacementSettings {
                displacement_m3: 10e-6,
                slip_m3_per_h_m: 0.002,
                motor: PermanentMagnet { armature_ohm: 1.2, constant_nm_per_a: 0.12 },
                friction_torque_nm: 0.0,
                breakaway_torque_nm: 0.0,
                highest_voltage_v: 60.0,
                highest_head_m: 80.0,
            },
            1000.0,
        )
        .unwrap();
        let row = |head_m: f64| VoltPoint {
            head_m,
            voltage_v: 24.0,
            flow_m3_per_h: whole.flow_m3_per_h(head_m, 24.0),
            current_a: whole.current_a(head_m),
        };
        let flyer = |start| {
            VoltPump::new(&VoltTable { rows: vec![row(20.0), row(50.0)], start, one_voltage: true }).unwrap()
        };
        let (same_loss, proportional) = (flyer(Start::SameLoss), flyer(Start::Proportional));
        for head_m in [20.0, 50.0] {
            for voltage_v in [4.0, 9.0, 15.0, 24.0] {
                let (found, expected) =
                    (same_loss.flow_m3_per_h(head_m, voltage_v), whole.flow_m3_per_h(head_m, voltage_v));
                assert!((found - expected).abs() < 1e-12, "{head_m} m, {voltage_v} V: {found} v {expected}");
                assert!(proportional.flow_m3_per_h(head_m, voltage_v) >= found);
            }
        }
    }
}
