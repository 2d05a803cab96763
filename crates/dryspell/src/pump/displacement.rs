//! Positive displacement with a permanent-magnet motor.

use super::machine::{Breakaway, Machine, OperatingPoint, Site};
use super::{GRAVITY_M_PER_S2, PermanentMagnet};
use crate::fault::{Fault, FaultKind, Faults};
use std::f64::consts::PI;

/// Settings of a positive-displacement pump (diaphragm, piston, helical rotor) on a permanent-magnet motor.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct DisplacementSettings {
    /// Water for each turn of the motor, m³, > 0.
    pub displacement_m3: f64,
    /// Flow that slips back for each metre of head, m³/h per m, ≥ 0.
    pub slip_m3_per_h_m: f64,
    /// The motor.
    pub motor: PermanentMagnet,
    /// Friction of motor and pump while running, N m, ≥ 0.
    pub friction_torque_nm: f64,
    /// Friction to overcome at rest, N m, no less than the running one.
    pub breakaway_torque_nm: f64,
    /// Highest voltage, V, > 0.
    pub highest_voltage_v: f64,
    /// Highest head, m, > 0.
    pub highest_head_m: f64,
}

/// A positive-displacement pump made ready.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | D | displacement | m³ a turn | > 0 |
/// | σ | slip | m³/h per m | ≥ 0 |
/// | H | total dynamic head | m | up to the highest head |
/// | Q | flow | m³/h | ≥ 0 |
/// | ω | speed | rad/s | |
/// | T | torque | N m | |
/// | ρ | density of water | kg/m³ | |
///
/// # Equation
/// `Q = 3600 D ω/(2 π) − σ H`, `T = ρ g H D/(2 π) + T_friction`, voltage and current by [`PermanentMagnet`]. To break
/// away it needs the current `(ρ g H₀ D/(2 π) + T_breakaway)/k` at rest, `H₀` being the standing head.
///
/// # Validity
/// Friction does not depend on speed; the torque within one turn is even. A negative head counts as none. Beyond the
/// highest voltage or head nothing is known: the flow there is kept.
///
/// # Example
/// ```
/// use dryspell::pump::{Displacement, DisplacementSettings, PermanentMagnet};
/// let pump = Displacement::new(&DisplacementSettings {
///     displacement_m3: 10e-6,
///     slip_m3_per_h_m: 0.0,
///     motor: PermanentMagnet { armature_ohm: 0.8, constant_nm_per_a: 0.12 },
///     friction_torque_nm: 0.1,
///     breakaway_torque_nm: 0.1,
///     highest_voltage_v: 40.0,
///     highest_head_m: 80.0,
/// }, 1000.0)
/// .map_err(|faults| faults[0].to_string())?;
/// // 20 m: 1000 · 9.80665 · 20 · 1e-5/(2π) = 0.3122 N m and 0.1 of friction: 3.435 A.
/// assert!((pump.current_a(20.0) - 3.435).abs() < 1e-3);
/// // At 40 V: (40 − 0.8 · 3.435)/0.12 = 310.4 rad/s, 49.4 turns a second, 0.494 L/s.
/// assert!((pump.flow_m3_per_h(20.0, 40.0) / 3.6 - 0.494).abs() < 1e-3);
/// # Ok::<(), String>(())
/// ```
///
/// # References
/// Displacement, slip and torque of a positive-displacement pump: any text on hydraulic machines (from memory).
#[derive(Debug, Clone, PartialEq)]
pub struct Displacement {
    settings: DisplacementSettings,
    torque_per_head: f64,
}

impl Displacement {
    /// Makes the pump ready for water of a density.
    ///
    /// # Errors
    /// Every value out of its range.
    pub fn new(settings: &DisplacementSettings, density_kg_per_m3: f64) -> Result<Self, Faults> {
        let s = settings;
        let mut faults = Vec::new();
        let mut need = |ok: bool, key: &str, what: &str, value: f64, accepted: &str| {
            if !ok {
                faults.push(Fault::at_key(
                    format!("pump.{key}"),
                    FaultKind::OutOfRange,
                    format!("{what} {value}"),
                    accepted,
                    "correct the value",
                ));
            }
        };
        let positive = |v: f64| v.is_finite() && v > 0.0;
        let none_or_more = |v: f64| v.is_finite() && v >= 0.0;
        let constant = s.motor.constant_nm_per_a;
        need(
            positive(s.displacement_m3),
            "displacement",
            "displacement, m³ per turn,",
            s.displacement_m3,
            "above 0",
        );
        need(none_or_more(s.slip_m3_per_h_m), "slip", "slip, m³/h per m,", s.slip_m3_per_h_m, "0 or more");
        need(positive(constant), "torque_constant", "torque constant, N m/A,", constant, "above 0");
        let ohm = s.motor.armature_ohm;
        need(none_or_more(ohm), "armature_resistance", "resistance, Ω,", ohm, "0 or more");
        let friction = s.friction_torque_nm;
        need(none_or_more(friction), "friction_torque", "torque, N m,", friction, "0 or more");
        need(
            s.breakaway_torque_nm >= s.friction_torque_nm && s.breakaway_torque_nm.is_finite(),
            "breakaway_torque",
            "torque at rest, N m,",
            s.breakaway_torque_nm,
            "no less than the friction torque while running",
        );
        need(positive(s.highest_voltage_v), "highest_voltage", "voltage, V,", s.highest_voltage_v, "above 0");
        need(positive(s.highest_head_m), "highest_head", "head, m,", s.highest_head_m, "above 0");
        if !faults.is_empty() {
            return Err(faults.into());
        }
        let torque_per_head = density_kg_per_m3 * GRAVITY_M_PER_S2 * s.displacement_m3 / (2.0 * PI);
        Ok(Self { settings: *settings, torque_per_head })
    }

    /// Torque while running against a head, N m.
    #[must_use]
    pub fn torque_nm(&self, head_m: f64) -> f64 {
        self.torque_per_head * head_m.max(0.0) + self.settings.friction_torque_nm
    }

    /// Current while running against a head, A.
    #[must_use]
    pub fn current_a(&self, head_m: f64) -> f64 {
        self.settings.motor.current_a(self.torque_nm(head_m))
    }

    /// Flow at a head and a voltage, m³/h; none where the motor stalls.
    #[must_use]
    pub fn flow_m3_per_h(&self, head_m: f64, voltage_v: f64) -> f64 {
        let speed = self.settings.motor.speed_rad_per_s(voltage_v, self.current_a(head_m)).max(0.0);
        (self.flow_per_speed() * speed - self.settings.slip_m3_per_h_m * head_m.max(0.0)).max(0.0)
    }

    fn flow_per_speed(&self) -> f64 {
        3600.0 * self.settings.displacement_m3 / (2.0 * PI)
    }
}

impl Machine for Displacement {
    fn full_flow_m3_per_h(&self) -> f64 {
        self.full_flow_at(0.0)
    }

    fn highest_head_m(&self) -> f64 {
        self.settings.highest_head_m
    }

    fn full_flow_at(&self, head_m: f64) -> f64 {
        self.flow_m3_per_h(head_m, self.settings.highest_voltage_v)
    }

    fn top_drive(&self) -> f64 {
        self.full_flow_m3_per_h()
    }

    fn run(&self, drive: f64, site: &dyn Site, _flows: &mut Vec<f64>) -> OperatingPoint {
        let s = &self.settings;
        let head_m = site.head_m(drive);
        let speed = (drive + s.slip_m3_per_h_m * head_m.max(0.0)) / self.flow_per_speed();
        let current_a = self.current_a(head_m);
        let voltage_v = s.motor.voltage_v(current_a, speed);
        let (volts_left, head_left) =
            (1.0 - voltage_v / s.highest_voltage_v, 1.0 - head_m / s.highest_head_m);
        OperatingPoint {
            flow_m3_per_h: drive,
            voltage_v: Some(voltage_v),
            current_a: Some(current_a),
            power_w: voltage_v * current_a,
            speed_rad_per_s: Some(speed),
            margin: volts_left.min(head_left),
            at_limit: volts_left < 1e-9,
            below_lowest_drive: false,
            table_end: head_left < 1e-9,
            below_lowest_head: false,
        }
    }

    fn breakaway(&self, standing_head_m: f64) -> Option<Breakaway> {
        let s = &self.settings;
        let torque = self.torque_per_head * standing_head_m.max(0.0) + s.breakaway_torque_nm;
        Some(Breakaway { current_a: s.motor.current_a(torque), resistance_ohm: s.motor.armature_ohm })
    }
}
