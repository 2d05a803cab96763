//! What a pump of any kind must be able to tell.

use super::{Place, Surface};

/// The well and the pipe line in one hour, as a pump meets them.
pub trait Site {
    /// Total dynamic head at a flow, m; it never falls with flow.
    fn head_m(&self, flow_m3_per_h: f64) -> f64;

    /// Where a tabulated pump at a drive, with these flows at its tabulated heads, meets the head.
    fn meet(&self, surface: &Surface, drive: f64, flows: &[f64]) -> Meeting;
}

/// Where a tabulated pump meets the system.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meeting {
    /// Flow, m³/h.
    pub flow_m3_per_h: f64,
    /// Where its head lies in the table.
    pub place: Place,
    /// The system curve left the table at its highest head.
    pub table_end: bool,
    /// The head lies below the lowest tabulated one.
    pub below_lowest_head: bool,
}

/// A pump running steadily on a site at one drive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OperatingPoint {
    /// Flow lifted, m³/h.
    pub flow_m3_per_h: f64,
    /// Voltage at the motor, V, where the kind has one.
    pub voltage_v: Option<f64>,
    /// Current into the motor, A, where the kind has one.
    pub current_a: Option<f64>,
    /// Electrical power, W.
    pub power_w: f64,
    /// Speed of the shaft, rad/s, where the kind has one.
    pub speed_rad_per_s: Option<f64>,
    /// Distance to the nearest end of what the pump's data cover; negative beyond it. It falls as the drive rises.
    pub margin: f64,
    /// More drive would give no more flow.
    pub at_limit: bool,
    /// The drive lies below the lowest tabulated one: the start rule made the flow.
    pub below_lowest_drive: bool,
    /// The system curve left the table at its highest head.
    pub table_end: bool,
    /// The head lies below the lowest tabulated one.
    pub below_lowest_head: bool,
}

/// What a motor needs to break away from standstill.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Breakaway {
    /// Current that turns it, A.
    pub current_a: f64,
    /// Resistance of the motor at rest, Ω: the voltage there is this times the current.
    pub resistance_ohm: f64,
}

/// A pump of any kind.
///
/// It is followed along one number, its *drive*: power or voltage for a table, flow for a pump worked out from its motor.
/// Flow, power, voltage and current never fall as the drive rises; that is what makes the operating point single.
pub trait Machine: std::fmt::Debug {
    /// The table, for kinds made of one.
    fn table(&self) -> Option<&Surface> {
        None
    }

    /// Whether voltage and current are known, so that the pump can be wired to an array directly.
    fn has_voltage(&self) -> bool {
        true
    }

    /// Whether the drive is the power itself.
    fn is_driven_by_power(&self) -> bool {
        false
    }

    /// The greatest flow, m³/h: the scale of the root's tolerance.
    fn full_flow_m3_per_h(&self) -> f64;

    /// The highest head of the pump's data, m.
    fn highest_head_m(&self) -> f64;

    /// The greatest flow at a head, m³/h; zero where it gives none.
    fn full_flow_at(&self, head_m: f64) -> f64;

    /// The greatest drive.
    fn top_drive(&self) -> f64;

    /// The pump on a site at a drive from 0 to [`Machine::top_drive`].
    fn run(&self, drive: f64, site: &dyn Site, flows: &mut Vec<f64>) -> OperatingPoint;

    /// What it takes to break away against a head at no flow; `None` where nothing is known of it.
    fn breakaway(&self, _standing_head_m: f64) -> Option<Breakaway> {
        None
    }
}
