//! Duty table: flow by head and power.

use super::machine::{Machine, OperatingPoint, Site};
use super::{DutyTable, Surface, check};
use crate::fault::Faults;

/// The flow of a pump by head and electrical power, from its duty table.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | H | total dynamic head | m | below the highest tabulated head |
/// | P | electrical power into the pump's controller | W | ≥ 0 |
/// | Q | flow | m³/h | ≥ 0 |
///
/// # Equation
/// The [`Surface`] of the rows, power being the drive.
///
/// # Validity
/// That of [`Surface`]. The table has no voltage: it needs a coupling that tracks the array's maximum power.
///
/// # Example
/// ```
/// use dryspell::pump::{Duty, DutyPoint, DutyTable, Start};
/// let row = |head_m, power_w, flow_m3_per_h| DutyPoint { head_m, power_w, flow_m3_per_h };
/// let duty = Duty::new(&DutyTable {
///     rows: vec![row(20.0, 100.0, 0.6), row(20.0, 200.0, 1.2), row(40.0, 100.0, 0.2), row(40.0, 200.0, 0.8)],
///     start: Start::Zero,
/// })
/// .map_err(|faults| faults[0].to_string())?;
/// // Two points each way: linear interpolation, so the middle is the mean of the four.
/// assert!((duty.flow_m3_per_h(30.0, 150.0) - 0.7).abs() < 1e-12);
/// # Ok::<(), String>(())
/// ```
///
/// # References
/// Test data of this shape (flow by power at constant head) are what IEC 62253:2011 asks of a maker.
#[derive(Debug, Clone, PartialEq)]
pub struct Duty {
    surface: Surface,
}

impl std::ops::Deref for Duty {
    type Target = Surface;

    fn deref(&self) -> &Surface {
        &self.surface
    }
}

impl Duty {
    /// The surface of a duty table.
    ///
    /// # Errors
    /// All faults of the table and of the start power, each naming its row.
    pub fn new(table: &DutyTable) -> Result<Self, Faults> {
        Ok(Self { surface: check::surface(&check::DUTY, &table.points(), table.start)? })
    }
}

impl Machine for Duty {
    fn table(&self) -> Option<&Surface> {
        Some(&self.surface)
    }

    fn has_voltage(&self) -> bool {
        false
    }

    fn is_driven_by_power(&self) -> bool {
        true
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
        OperatingPoint {
            flow_m3_per_h: met.flow_m3_per_h,
            voltage_v: None,
            current_a: None,
            power_w: self.surface.drive_taken(met.place, drive),
            speed_rad_per_s: None,
            margin: f64::INFINITY,
            at_limit: self.surface.at_limit(met.place, drive),
            below_lowest_drive: drive < self.surface.lowest_drive(met.place),
            table_end: met.table_end,
            below_lowest_head: met.below_lowest_head,
        }
    }
}
