//! The coupling between array and pump: what is available to the pump.
//!
//! Each kind is a file; they are listed in [`Settings`].

mod booster;
mod tracking;

pub use booster::Booster;
pub use tracking::{Efficiency, TrackerOutput, Tracking};

use crate::array::circuit::Circuit;
use crate::array::hills::Envelope;
use crate::array::{OneArray, Terminals};
use crate::fault::{Fault, FaultKind};

/// Settings of the coupling, by kind.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub enum Settings {
    /// A controller that keeps the array at its maximum power.
    Tracking(Tracking),
    /// A linear current booster.
    Booster(Booster),
    /// The pump is wired to the array.
    Direct,
}

impl Settings {
    /// The kinds in words, as a scheme names them; the first is that of a scheme which names none.
    pub const KINDS: [&str; 3] = ["maximum power tracking", "linear current booster", "direct"];

    /// Maximum power tracking at one efficiency, without a window or a limit.
    #[must_use]
    pub const fn tracking(efficiency: f64) -> Self {
        Self::Tracking(Tracking {
            efficiency: Efficiency::Constant(efficiency),
            rated_power_w: None,
            window_v: None,
            highest_voltage_v: None,
            record_low_degc: None,
        })
    }

    /// The kind in words.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Tracking(_) => Self::KINDS[0],
            Self::Booster(_) => Self::KINDS[1],
            Self::Direct => Self::KINDS[2],
        }
    }

    /// Whether the array's curve is needed, not its maximum power alone.
    #[must_use]
    pub const fn needs_curve(&self) -> bool {
        match self {
            Self::Tracking(tracking) => tracking.window_v.is_some(),
            Self::Booster(_) | Self::Direct => true,
        }
    }

    /// Every value out of its range.
    #[must_use]
    pub fn faults(&self) -> Vec<Fault> {
        match self {
            Self::Tracking(tracking) => tracking.faults(),
            Self::Booster(booster) => booster.faults(),
            Self::Direct => Vec::new(),
        }
    }

    /// What can be told only once the arrays are known: their voltage in the cold.
    #[must_use]
    pub fn array_faults(&self, arrays: &[OneArray]) -> Vec<Fault> {
        match self {
            Self::Tracking(tracking) => tracking.cold_voltage(arrays).into_iter().collect(),
            Self::Booster(_) | Self::Direct => Vec::new(),
        }
    }

    /// What is available to the pump in an hour.
    #[must_use]
    pub fn offer<'a>(&self, power: &Power<'a>) -> Offer<'a> {
        let dark = || Offer::Power { watts: 0.0, passed: None };
        match (self, power.circuit) {
            (Self::Tracking(tracking), _) => {
                let passed = tracking.pass(power);
                Offer::Power { watts: passed.output_w, passed: Some(passed) }
            }
            (_, None) => dark(),
            (_, Some(circuit)) if circuit.strings.is_empty() => dark(),
            (Self::Booster(booster), Some(circuit)) => {
                Offer::Boosted { circuit, booster: *booster, envelope: Envelope::of(circuit) }
            }
            (Self::Direct, Some(circuit)) => Offer::Direct(circuit),
        }
    }
}

/// The array in one hour, as the coupling meets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Power<'a> {
    /// The most that the arrays give on their terminals, W.
    pub available_w: f64,
    /// The arrays; `None` where only the power is known.
    pub circuit: Option<&'a Circuit>,
    /// Whether they share one voltage.
    pub terminals: Terminals,
}

impl<'a> Power<'a> {
    /// Arrays on their terminals.
    #[must_use]
    pub fn of(circuit: &'a Circuit, terminals: Terminals) -> Self {
        Self { available_w: circuit.most_w(terminals), circuit: Some(circuit), terminals }
    }

    /// Power alone.
    #[must_use]
    pub const fn watts(available_w: f64) -> Self {
        Self { available_w, circuit: None, terminals: Terminals::Common }
    }
}

/// What is available to the pump in one hour.
///
/// # Equation
/// Current falls as the pump's voltage rises, in each case: `P/V` from a tracker, the array's own curve when wired
/// directly, [`Booster::current_a`] from a booster.
#[derive(Debug, Clone, PartialEq)]
pub enum Offer<'a> {
    /// A power at any voltage.
    Power {
        /// Power, W.
        watts: f64,
        /// How it came through the tracker.
        passed: Option<TrackerOutput>,
    },
    /// The array itself.
    Direct(&'a Circuit),
    /// The array through a booster.
    Boosted {
        /// The array.
        circuit: &'a Circuit,
        /// The booster.
        booster: Booster,
        /// The most power at each voltage or above it.
        envelope: Envelope,
    },
}

impl Offer<'_> {
    /// Whether there is nothing to have.
    #[must_use]
    pub fn is_nothing(&self) -> bool {
        matches!(self, Self::Power { watts, .. } if watts.is_nan() || *watts <= 0.0)
    }

    /// Current available at a voltage, A.
    #[must_use]
    pub fn current_a(&self, voltage_v: f64) -> f64 {
        match self {
            Self::Power { watts, .. } => watts / voltage_v.max(f64::MIN_POSITIVE),
            Self::Direct(circuit) => circuit.current_a(voltage_v),
            Self::Boosted { circuit, booster, envelope } => booster.current_a(circuit, envelope, voltage_v),
        }
    }
}

/// The fault of a pump without voltage behind a coupling that needs one.
pub(crate) fn no_voltage(settings: &Settings) -> Fault {
    Fault::at_key(
        "coupling.kind",
        FaultKind::Contradiction,
        format!("coupling \"{}\" to a pump whose data have no voltage", settings.word()),
        "a pump with voltage and current: voltage_table, head_flow, or the constants of its motor",
        "choose kind = \"maximum power tracking\", or give the pump's voltages and currents",
    )
}
