//! Pump, coupling, low water and weep hole in the report.

use dryspell::array::{self, Terminals};
use dryspell::coupling;
use dryspell::pump::{Motor, RatedCurve, Settings, Start};
use dryspell::simulate::Run;
use dryspell::supply;
use dryspell::units::{Quantity, System, counted, show, show_alike};
use dryspell::well::{self, Restart};

/// The pump and what couples it to the panels.
pub(super) fn pump(supply: &supply::Settings, array: &array::Settings, system: System) -> String {
    let what = match &supply.pump {
        Settings::Duty(table) => format!(
            "duty table of {}: head {}, power {}, flow {}",
            counted(table.rows.len(), "point"),
            span(table.rows.iter().map(|p| p.head_m), Quantity::Length, system),
            span(table.rows.iter().map(|p| p.power_w), Quantity::Power, system),
            span(table.rows.iter().map(|p| p.flow_m3_per_h), Quantity::Flow, system)
        ),
        Settings::Volts(table) => format!(
            "table of {}: head {}, {}, flow {}, current {}",
            counted(table.rows.len(), "point"),
            span(table.rows.iter().map(|p| p.head_m), Quantity::Length, system),
            span(table.rows.iter().map(|p| p.voltage_v), Quantity::Voltage, system),
            span(table.rows.iter().map(|p| p.flow_m3_per_h), Quantity::Flow, system),
            span(table.rows.iter().map(|p| p.current_a), Quantity::Current, system)
        ),
        Settings::Displacement(p) => format!(
            "positive displacement, {} of displacement, permanent-magnet motor of {} and {}; up to {} and {}",
            show(p.displacement_m3, Quantity::Displacement, system),
            show(p.motor.constant_nm_per_a, Quantity::TorqueConstant, system),
            show(p.motor.armature_ohm, Quantity::Resistance, system),
            show(p.highest_voltage_v, Quantity::Voltage, system),
            show(p.highest_head_m, Quantity::Length, system)
        ),
        Settings::Own(own) => own.name().to_owned(),
        Settings::Centrifugal(p) => {
            let curve = match &p.curve {
                RatedCurve::OnePoint { head_m } => format!("at {}", show(*head_m, Quantity::Length, system)),
                RatedCurve::Points(points) => format!("curve of {}", counted(points.len(), "point")),
            };
            let motor = match p.motor {
                Motor::Efficiency(eta) => format!("motor efficiency {:.0} %", 100.0 * eta),
                Motor::PermanentMagnet { rated_speed_rad_per_s, .. } => format!(
                    "permanent-magnet motor, {} rated",
                    show(rated_speed_rad_per_s, Quantity::Turning, system)
                ),
            };
            format!(
                "centrifugal, rated {} {curve}; {motor}",
                show(p.rated_flow_m3_per_h, Quantity::Flow, system)
            )
        }
    };
    let start = match &supply.pump {
        Settings::Duty(table) => start(table.start, "power", Quantity::Power, system),
        Settings::Volts(table) => start(table.start, "voltage", Quantity::Voltage, system),
        Settings::Displacement(_) | Settings::Centrifugal(_) | Settings::Own(_) => String::new(),
    };
    let coupling = match &supply.coupling {
        coupling::Settings::Tracking(_) if array.arrays.len() < 2 => "maximum-power tracking".to_owned(),
        coupling::Settings::Tracking(_) => match array.terminals {
            Terminals::Common => "maximum-power tracking on one input for all arrays".to_owned(),
            Terminals::Separate => "maximum-power tracking with an input for each array".to_owned(),
        },
        coupling::Settings::Booster(b) => {
            let bypass = if b.bypass { "with bypass" } else { "without bypass" };
            format!("linear current booster, {:.0} %, {bypass}", 100.0 * b.efficiency)
        }
        coupling::Settings::Direct => "wired straight to the panels".to_owned(),
    };
    format!("{what}; {coupling}{start}")
}

fn start(start: Start, drive: &str, quantity: Quantity, system: System) -> String {
    match start {
        Start::Zero => format!("; no flow below the lowest {drive} in the table"),
        Start::From(from) => format!("; starts at {}", show(from, quantity, system)),
        Start::BestEfficiency => "; linear to the hydraulic minimum below the table".to_owned(),
        Start::Proportional => format!("; below the table's {drive} flow in proportion to it"),
        Start::SameLoss => format!("; below the table's {drive} the head takes as much of the flow as at it"),
    }
}

fn span(values: impl Iterator<Item = f64>, quantity: Quantity, system: System) -> String {
    let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), x| (l.min(x), h.max(x)));
    if low < high {
        show_alike([low, high], quantity, system).join(" to ")
    } else {
        show(low, quantity, system)
    }
}

/// What is said of the well running low; empty where nothing is.
pub(super) fn low_water(well: &well::Settings, system: System) -> String {
    let length = |m| show(m, Quantity::Length, system);
    let mut text = String::new();
    if let Some(bore) = well.bore {
        text += &format!("; bore {}", length(bore.diameter_m));
    }
    if let Some(level) = well.cut_out_level_m() {
        text += &format!("; pump stopped at {}", length(level));
        text += &match well.restart {
            Some(Restart::Delay(hours)) => format!(", for {}", show(hours, Quantity::Duration, system)),
            Some(Restart::Level(level)) => format!(" until the water is back at {}", length(level)),
            None => ", flow held at what the well sustains there".to_owned(),
        };
    }
    text
}

/// What is said of the weep hole in a run of pipe, and of its water; empty where there is none.
pub(super) fn weep(run: &Run, index: usize, system: System) -> String {
    let Some(hole) = run.plan.supply.pipe.weep_hole.as_ref().filter(|hole| hole.run == index) else {
        return String::new();
    };
    let ledger = run.well.as_ref().map(|well| well.ledger).unwrap_or_default();
    let volumes = [ledger.lifted_m3, ledger.weep_m3, ledger.riser_refill_m3];
    let [lifted, lost, refill] = show_alike(volumes, Quantity::Volume, system);
    format!(
        "; weep hole {} at {}: loses {lost} of {lifted} lifted; refilling the drained pipe takes {refill}",
        show(hole.diameter_m, Quantity::Length, system),
        show(hole.depth_m, Quantity::Length, system),
    )
}
