//! The permanent-magnet motor.

/// A brushed permanent-magnet motor in steady running.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | V | voltage at the terminals | V | |
/// | I | current | A | |
/// | R | armature resistance with brushes | Ω | ≥ 0 |
/// | k | torque constant (N m/A) = voltage constant (V s/rad) | | > 0 |
/// | ω | speed of the shaft | rad/s | |
/// | T | torque of the load, friction of the motor included | N m | |
///
/// # Equation
/// `V = R I + k ω`, `k I = T`. At rest `V = R I`.
///
/// # Validity
/// The field does not change with load or heat; no brush drop, no inductance. A warm winding has more resistance than
/// a cold one.
///
/// # Example
/// A motor of 1.03 Ω and 0.22 V s/rad at 1700 rpm from 48 V takes `(48 − 39.2)/1.03 = 8.6` A, 275 W after 61 W of losses.
/// ```
/// use dryspell::pump::PermanentMagnet;
/// let motor = PermanentMagnet { armature_ohm: 1.03, constant_nm_per_a: 0.22 };
/// let omega = 1700.0 * std::f64::consts::PI / 30.0;
/// let current = motor.current_at(48.0, omega);
/// assert!((current - 8.577).abs() < 1e-3);
/// assert!((0.22 * omega * current - 61.0 - 274.9).abs() < 0.1);
/// ```
///
/// # References
/// A. E. Fitzgerald, C. Kingsley, S. D. Umans, *Electric Machinery*, chapter on DC machines: the permanent-magnet motor
/// and its example (from memory).
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct PermanentMagnet {
    /// Armature resistance with brushes, Ω.
    pub armature_ohm: f64,
    /// Torque constant, N m/A, equal to the voltage constant, V s/rad.
    pub constant_nm_per_a: f64,
}

impl PermanentMagnet {
    /// Current at a torque, A.
    #[must_use]
    pub fn current_a(&self, torque_nm: f64) -> f64 {
        torque_nm / self.constant_nm_per_a
    }

    /// Voltage at a current and a speed, V.
    #[must_use]
    pub fn voltage_v(&self, current_a: f64, speed_rad_per_s: f64) -> f64 {
        self.armature_ohm * current_a + self.constant_nm_per_a * speed_rad_per_s
    }

    /// Current at a voltage and a speed, A; the motor's resistance must not be zero.
    #[must_use]
    pub fn current_at(&self, voltage_v: f64, speed_rad_per_s: f64) -> f64 {
        (voltage_v - self.constant_nm_per_a * speed_rad_per_s) / self.armature_ohm
    }

    /// Speed at a voltage and a current, rad/s.
    #[must_use]
    pub fn speed_rad_per_s(&self, voltage_v: f64, current_a: f64) -> f64 {
        (voltage_v - self.armature_ohm * current_a) / self.constant_nm_per_a
    }
}
