//! A pump of the user's own: anything that gives flow for power and head.

use std::fmt;

use super::machine::{Machine, OperatingPoint, Site};
use crate::edition::Edition;
use crate::fault::{Fault, FaultKind, Faults};
use crate::root::falling_root;

/// Share of the greatest flow to which an operating point is found.
const TOLERANCE: f64 = 1e-11;
/// Places each way at which a law is tried before it is used.
const TRIALS: u32 = 16;

/// What a pump gives, as a law that dryspell does not know.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | P | electrical power at the pump | W | 0 to [`FlowLaw::highest_power_w`] |
/// | H | total dynamic head | m | 0 to [`FlowLaw::highest_head_m`] |
/// | Q | flow | m³/h | ≥ 0 |
///
/// # Equation
/// `Q = Q(P, H)`, the user's own.
///
/// # Validity
/// Q does not fall as P rises and does not rise with H: that is what makes the operating point single. It is tried on a net
/// of places before the first hour. More power than the highest gives the flow of the highest. Where the system would need
/// more than the highest head, the flow is the one at which it needs just that, as with a table.
///
/// # Example
/// ```
/// use dryspell::pump::{FlowLaw, Settings};
///
/// /// Half of the electrical power lifts water.
/// #[derive(Debug)]
/// struct HalfLost;
/// impl FlowLaw for HalfLost {
///     fn flow_m3_per_h(&self, power_w: f64, head_m: f64) -> f64 {
///         (0.5 * power_w * 3600.0 / (9810.0 * head_m.max(1.0))).min(3.0)
///     }
///     fn highest_head_m(&self) -> f64 { 80.0 }
///     fn highest_power_w(&self) -> f64 { 600.0 }
/// }
/// let pump = Settings::own("half lost", HalfLost);
/// // It is equal to its own clone and to nothing else.
/// assert_eq!(pump, pump.clone());
/// assert_ne!(pump, Settings::own("half lost", HalfLost));
/// ```
pub trait FlowLaw: fmt::Debug + Send + Sync {
    /// Flow at a power, W, and a total dynamic head, m, in m³/h.
    fn flow_m3_per_h(&self, power_w: f64, head_m: f64) -> f64;

    /// The highest head at which it lifts water, m, > 0.
    fn highest_head_m(&self) -> f64;

    /// The power above which more gives no more flow, W, > 0.
    fn highest_power_w(&self) -> f64;
}

/// A pump of the user's own. Two are equal when one is the clone of the other.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnPump {
    name: String,
    law: Edition<Box<dyn FlowLaw>>,
}

impl OwnPump {
    /// A pump by its law; the name is what reports call it.
    #[must_use]
    pub fn new(name: impl Into<String>, law: impl FlowLaw + 'static) -> Self {
        Self { name: name.into(), law: Edition::new(Box::new(law)) }
    }

    /// What reports call it.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The same, once its law has been tried.
    pub(super) fn tried(self) -> Result<Self, Faults> {
        match self.wrong() {
            None => Ok(self),
            Some(found) => Err(Faults::from(Fault::at_key(
                "pump",
                FaultKind::CannotRun,
                format!("{}: {found}", self.name),
                "a flow of 0 or more that does not fall as power rises and does not rise with head",
                "correct the law of the pump",
            ))),
        }
    }

    fn wrong(&self) -> Option<String> {
        let (head_m, power_w) = (self.law.highest_head_m(), self.law.highest_power_w());
        if !(head_m > 0.0 && power_w > 0.0 && head_m.is_finite() && power_w.is_finite()) {
            return Some(format!("highest head {head_m} m, highest power {power_w} W"));
        }
        let at = |power: u32, head: u32| {
            let share = |i: u32| f64::from(i) / f64::from(TRIALS);
            (share(power) * power_w, share(head) * head_m)
        };
        let flow = |power: u32, head: u32| {
            let (power_w, head_m) = at(power, head);
            self.law.flow_m3_per_h(power_w, head_m)
        };
        for power in 0..=TRIALS {
            for head in 0..=TRIALS {
                let q = flow(power, head);
                let (w, m) = at(power, head);
                if !(q >= 0.0 && q.is_finite()) {
                    return Some(format!("flow {q} m3/h at {w} W and {m} m"));
                }
                if power > 0 && flow(power - 1, head) > q {
                    return Some(format!("flow falls as power rises to {w} W at {m} m"));
                }
                if head > 0 && flow(power, head - 1) < q {
                    return Some(format!("flow rises with the head to {m} m at {w} W"));
                }
            }
        }
        None
    }
}

/// Its name, and the version that tells it from others in this process: a law has no text.
impl serde::Serialize for OwnPump {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        (&self.name, self.law.version()).serialize(to)
    }
}

impl Machine for OwnPump {
    fn has_voltage(&self) -> bool {
        false
    }

    fn is_driven_by_power(&self) -> bool {
        true
    }

    fn full_flow_m3_per_h(&self) -> f64 {
        self.full_flow_at(0.0)
    }

    fn highest_head_m(&self) -> f64 {
        self.law.highest_head_m()
    }

    fn full_flow_at(&self, head_m: f64) -> f64 {
        if head_m > self.law.highest_head_m() {
            return 0.0;
        }
        self.law.flow_m3_per_h(self.law.highest_power_w(), head_m)
    }

    fn top_drive(&self) -> f64 {
        self.law.highest_power_w()
    }

    fn run(&self, drive: f64, site: &dyn Site, _flows: &mut Vec<f64>) -> OperatingPoint {
        let power_w = drive.min(self.law.highest_power_w());
        let highest_m = self.law.highest_head_m();
        let given = |head_m: f64| {
            if head_m > highest_m { 0.0 } else { self.law.flow_m3_per_h(power_w, head_m) }
        };
        let top = given(site.head_m(0.0));
        let flow_m3_per_h = if top > 0.0 {
            falling_root(|q| given(site.head_m(q)) - q, 0.0, top, TOLERANCE * top)
        } else {
            0.0
        };
        OperatingPoint {
            flow_m3_per_h,
            voltage_v: None,
            current_a: None,
            power_w,
            speed_rad_per_s: None,
            margin: f64::INFINITY,
            at_limit: drive >= self.law.highest_power_w(),
            below_lowest_drive: false,
            table_end: false,
            below_lowest_head: false,
        }
    }
}
