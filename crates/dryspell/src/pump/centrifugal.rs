//! Centrifugal pump from its rated curve and the affinity laws.

use super::head_curve::{HeadCurve, RatedCurve};
use super::machine::{Breakaway, Machine, OperatingPoint, Site};
use super::{Pchip, PermanentMagnet, hydraulic_power_w};
use crate::fault::{Fault, FaultKind, Faults};

/// How well a centrifugal pump turns shaft power into lifted water, at rated speed.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub enum PumpEfficiency {
    /// Its best, 0 to 1, reached at the rated flow; away from it a parabola.
    Best(f64),
    /// Rows of flow, m³/h, and efficiency, 0 to 1, flows rising.
    Points(Vec<(f64, f64)>),
}

/// The motor of a centrifugal pump.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub enum Motor {
    /// Its efficiency alone, 0 to 1: the pump then has no voltage.
    Efficiency(f64),
    /// A permanent-magnet motor on the pump's shaft.
    PermanentMagnet {
        /// The motor.
        motor: PermanentMagnet,
        /// Rated speed of the pump, rad/s.
        rated_speed_rad_per_s: f64,
        /// Friction of motor and seal while running, N m.
        friction_torque_nm: f64,
        /// Friction to overcome at rest, N m.
        breakaway_torque_nm: f64,
    },
}

/// Settings of a centrifugal pump.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct CentrifugalSettings {
    /// Flow of best efficiency at rated speed, m³/h, > 0.
    pub rated_flow_m3_per_h: f64,
    /// Head by flow at rated speed.
    pub curve: RatedCurve,
    /// Efficiency of the pump itself.
    pub efficiency: PumpEfficiency,
    /// The motor.
    pub motor: Motor,
}

/// A centrifugal pump made ready.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | n | speed over rated speed | – | 0 to 1 |
/// | Q | flow | m³/h | ≥ 0 |
/// | H | total dynamic head | m | below `n²` times the shut-off head |
/// | P | shaft power | W | ≥ 0 |
///
/// # Equation
/// Affinity: `H = n² h(Q/n)`, `P = n³ p(Q/n)`, with `h` the [`HeadCurve`] and `p = ρ g h q/η` at rated speed. The speed
/// for a flow at a head solves the first. Above the shut-off head nothing flows.
/// - [`PumpEfficiency::Best`]: `η = η* x (2 − x)`, `x = q/q*`, so that `p = ρ g h q*/(η* (2 − x))` has its finite value at
///   shut-off; with the one-point curve it is the straight line `ρ g (4/3) h* q* (1 + x/2)/(2 η*)`.
/// - [`PumpEfficiency::Points`]: the monotone cubic through the power of each row; the first row's below it.
///
/// Electrical power is `P/η_m`, or voltage and current of the [`PermanentMagnet`] at torque `P/ω + T_friction`.
///
/// # Validity
/// Never faster than rated, never more than the curve's last flow times n: where the head lies lower, the flow is kept
/// there. Efficiency does not change with speed.
///
/// # Example
/// ```
/// use dryspell::pump::{Centrifugal, CentrifugalSettings, Motor, PumpEfficiency, RatedCurve};
/// let pump = Centrifugal::new(&CentrifugalSettings {
///     rated_flow_m3_per_h: 3.6,
///     curve: RatedCurve::OnePoint { head_m: 60.0 },
///     efficiency: PumpEfficiency::Best(0.5),
///     motor: Motor::Efficiency(0.8),
/// }, 1000.0)
/// .map_err(|faults| faults[0].to_string())?;
/// // Its rated point is run at rated speed: 1 kg/s against 60 m is 588.4 W, at the shaft 1176.8 W.
/// assert!((pump.speed(3.6, 60.0) - 1.0).abs() < 1e-12);
/// assert!((pump.shaft_w(3.6, 1.0) - 1176.8).abs() < 0.1);
/// // Half the flow against a quarter of the head takes half the speed and an eighth of the power.
/// assert!((pump.speed(1.8, 15.0) - 0.5).abs() < 1e-12);
/// assert!((pump.shaft_w(1.8, 0.5) - 147.1).abs() < 0.1);
/// # Ok::<(), String>(())
/// ```
///
/// # References
/// - L. A. Rossman et al., *EPANET 2.2 User Manual*, US EPA (2020): pump curves, effect of speed on flow and head.
/// - Power by the cube of speed and the parabola of efficiency: any text on pumps (from memory).
#[derive(Debug, Clone, PartialEq)]
pub struct Centrifugal {
    settings: CentrifugalSettings,
    curve: HeadCurve,
    density_kg_per_m3: f64,
    powers: Option<Pchip>,
}

impl Centrifugal {
    /// Makes the pump ready for water of a density.
    ///
    /// # Errors
    /// Every value out of its range.
    pub fn new(settings: &CentrifugalSettings, density_kg_per_m3: f64) -> Result<Self, Faults> {
        let mut faults = check(settings);
        let curve = match HeadCurve::new(settings.rated_flow_m3_per_h, &settings.curve) {
            Ok(curve) => curve,
            Err(more) => {
                faults.extend(more);
                return Err(faults.into());
            }
        };
        let mut powers = None;
        match &settings.efficiency {
            PumpEfficiency::Best(_) => {
                let most = 1.9 * settings.rated_flow_m3_per_h;
                if matches!(settings.curve, RatedCurve::Points(_)) && curve.last_flow_m3_per_h() > most {
                    faults.push(fault(
                        "curve",
                        format!("the curve ends at {} m³/h", curve.last_flow_m3_per_h()),
                        &format!("at most {most} m³/h, 1.9 times the rated flow, where the parabola of efficiency ends"),
                        "leave out the last rows, or give pump.efficiency_curve",
                    ));
                }
            }
            PumpEfficiency::Points(points) => {
                let sound: Vec<_> = points.iter().filter(|(q, e)| *q > 0.0 && *e > 0.0).collect();
                let x: Vec<f64> = sound.iter().map(|(q, _)| *q).collect();
                let y: Vec<f64> = sound
                    .iter()
                    .map(|(q, e)| hydraulic_power_w(density_kg_per_m3, curve.head_m(*q), *q) / e)
                    .collect();
                powers = Pchip::new(&x, &y);
                if powers.is_none() {
                    faults.push(fault(
                        "efficiency_curve",
                        format!("{} rows with flow and efficiency above 0", sound.len()),
                        "at least two, flows rising",
                        "copy them from the maker's curve",
                    ));
                }
            }
        }
        if !faults.is_empty() {
            return Err(faults.into());
        }
        Ok(Self { settings: settings.clone(), curve, density_kg_per_m3, powers })
    }

    /// The rated curve.
    #[must_use]
    pub const fn curve(&self) -> &HeadCurve {
        &self.curve
    }

    /// Speed over rated speed that gives a flow against a head.
    #[must_use]
    pub fn speed(&self, flow_m3_per_h: f64, head_m: f64) -> f64 {
        self.curve.speed(flow_m3_per_h, head_m)
    }

    /// Shaft power at a flow and a speed, W.
    #[must_use]
    pub fn shaft_w(&self, flow_m3_per_h: f64, speed: f64) -> f64 {
        if speed <= 0.0 {
            return 0.0;
        }
        let q = flow_m3_per_h / speed;
        let best = self.settings.rated_flow_m3_per_h;
        let lift = |head_m: f64| hydraulic_power_w(self.density_kg_per_m3, head_m, best);
        let rated_w = match (&self.settings.efficiency, &self.settings.curve) {
            (PumpEfficiency::Points(_), _) => self.powers.as_ref().map_or(0.0, |p| p.at(q)),
            (PumpEfficiency::Best(eta), RatedCurve::OnePoint { head_m }) => {
                lift(4.0 / 3.0 * head_m) * (1.0 + 0.5 * q / best) / (2.0 * eta)
            }
            (PumpEfficiency::Best(eta), RatedCurve::Points(_)) => {
                lift(self.curve.head_m(q)) / (eta * (2.0 - (q / best).min(1.9)))
            }
        };
        rated_w * speed * speed * speed
    }
}

impl Machine for Centrifugal {
    fn has_voltage(&self) -> bool {
        matches!(self.settings.motor, Motor::PermanentMagnet { .. })
    }

    fn full_flow_m3_per_h(&self) -> f64 {
        self.curve.last_flow_m3_per_h()
    }

    fn highest_head_m(&self) -> f64 {
        self.curve.shut_off_m()
    }

    fn full_flow_at(&self, head_m: f64) -> f64 {
        self.curve.flow_m3_per_h(head_m)
    }

    fn top_drive(&self) -> f64 {
        self.curve.last_flow_m3_per_h()
    }

    fn run(&self, drive: f64, site: &dyn Site, _flows: &mut Vec<f64>) -> OperatingPoint {
        let head_m = site.head_m(drive);
        let speed = self.speed(drive, head_m);
        let shaft_w = self.shaft_w(drive, speed);
        let (mut voltage_v, mut current_a, mut speed_rad_per_s) = (None, None, None);
        let power_w = match self.settings.motor {
            Motor::Efficiency(eta) => shaft_w / eta,
            Motor::PermanentMagnet { motor, rated_speed_rad_per_s, friction_torque_nm, .. } => {
                let omega = speed * rated_speed_rad_per_s;
                let torque = if omega > 0.0 { shaft_w / omega } else { 0.0 } + friction_torque_nm;
                let amps = motor.current_a(torque);
                let volts = motor.voltage_v(amps, omega);
                (voltage_v, current_a, speed_rad_per_s) = (Some(volts), Some(amps), Some(omega));
                volts * amps
            }
        };
        OperatingPoint {
            flow_m3_per_h: drive,
            voltage_v,
            current_a,
            power_w,
            speed_rad_per_s,
            margin: 1.0 - speed,
            at_limit: speed > 1.0 - 1e-9,
            below_lowest_drive: false,
            table_end: false,
            below_lowest_head: drive >= speed * self.curve.last_flow_m3_per_h() * (1.0 - 1e-12),
        }
    }

    fn breakaway(&self, _standing_head_m: f64) -> Option<Breakaway> {
        match self.settings.motor {
            Motor::Efficiency(_) => None,
            // A check valve holds the column: at rest the wheel turns freely.
            Motor::PermanentMagnet { motor, breakaway_torque_nm, .. } => Some(Breakaway {
                current_a: motor.current_a(breakaway_torque_nm),
                resistance_ohm: motor.armature_ohm,
            }),
        }
    }
}

fn fault(key: &str, found: String, accepted: &str, way_out: &str) -> Fault {
    Fault::at_key(format!("pump.{key}"), FaultKind::OutOfRange, found, accepted, way_out)
}

fn check(s: &CentrifugalSettings) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut need = |ok: bool, key: &str, value: f64, accepted: &str| {
        if !ok {
            faults.push(fault(
                key,
                format!("{} {value}", key.replace('_', " ")),
                accepted,
                "correct the value",
            ));
        }
    };
    let share = |v: f64| v > 0.0 && v <= 1.0;
    match &s.efficiency {
        PumpEfficiency::Best(eta) => need(share(*eta), "efficiency", *eta, "above 0, at most 1"),
        PumpEfficiency::Points(points) => {
            for (_, eta) in points {
                need((0.0..=1.0).contains(eta), "efficiency_curve", *eta, "efficiencies from 0 to 1");
            }
        }
    }
    match s.motor {
        Motor::Efficiency(eta) => need(share(eta), "motor_efficiency", eta, "above 0, at most 1"),
        Motor::PermanentMagnet { motor, rated_speed_rad_per_s, friction_torque_nm, breakaway_torque_nm } => {
            let positive = |v: f64| v.is_finite() && v > 0.0;
            need(positive(motor.constant_nm_per_a), "torque_constant", motor.constant_nm_per_a, "above 0");
            let ohm = motor.armature_ohm;
            need(ohm.is_finite() && ohm >= 0.0, "armature_resistance", ohm, "0 or more");
            need(positive(rated_speed_rad_per_s), "rated_speed", rated_speed_rad_per_s, "above 0");
            need(friction_torque_nm >= 0.0, "friction_torque", friction_torque_nm, "0 or more");
            let rest = breakaway_torque_nm;
            need(
                rest.is_finite() && rest >= friction_torque_nm,
                "breakaway_torque",
                rest,
                "no less than the friction torque while running",
            );
        }
    }
    faults
}
