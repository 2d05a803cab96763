//! The water's way as a section, with its heights.
//!
//! Three columns: well and panels, tank, and where the stock drinks. Words are stacked in each column and drawn first; the
//! ground and what stands in it follow from where the words ended, so that no label lies on another whatever its length.

mod draw;
mod drawn;
mod drinkers;
mod labels;
mod levels;

use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, show};

use super::words::{height, month};
use super::{PAGE, finished};
use crate::model::Chart;
use crate::setting::paper::{Anchor, FAINT, Paper, SMALL};

/// Where the columns of words begin and how much room they have.
#[derive(Debug, Clone, Copy)]
pub(super) struct Column {
    /// Left edge.
    pub(super) x: f64,
    /// Room for words.
    pub(super) room: f64,
}

/// Beside panels and well.
pub(super) const WELL: Column = Column { x: 66.0, room: 124.0 };
/// Below the tank.
pub(super) const TANK: Column = Column { x: 206.0, room: 122.0 };
/// Where the stock drinks.
pub(super) const DRINK: Column = Column { x: 384.0, room: 122.0 };

/// The section.
///
/// # Errors
/// None so far; alike to the other pictures.
pub(crate) fn schematic(run: &Run, units: System) -> Result<Chart, String> {
    let mut front = Paper::new(PAGE, 2000);
    let places = labels::labels(&mut front, run, units);
    levels::levels(&mut front, run, units, &places);
    // Where there is room, the line of the tank's outlet stands at the tank's outlet.
    let outlet = draw::outlet(&places);
    let first = drinkers::drinkers(&mut Paper::new(PAGE, 2000), run, units, 0.0);
    let line = match drawn::drawn_hydrants(run).next() {
        Some(_) => first.outlet,
        None => first.branches.first().map(|(y, _)| *y),
    };
    let down = line.map_or(0.0, |y| (outlet - y).max(0.0));
    let drinkers = drinkers::drinkers(&mut front, run, units, down);
    let bottom = places.bottom.max(drinkers.bottom) + 16.0;
    front.tinted((8.0, places.bottom + 12.0), SMALL, Anchor::Start, FAINT, "not to scale");
    let mut back = Paper::new(PAGE, 2000);
    draw::section(&mut back, run, &places, &drinkers, places.bottom + 2.0);
    let title = title(run, units);
    let alternative =
        format!("Schematic from well to stock, not to scale. {title}. {}", labels::spoken(run, units));
    Ok(finished("schematic", title, alternative, &back.under(&front).cut_to(bottom)))
}

fn title(run: &Run, units: System) -> String {
    let metres = |m: f64| show(m, Quantity::Length, units);
    let head = &run.head;
    let inlet = match head.inlet_height_m {
        h if h > 0.0 => format!("to an inlet {} above the wellhead", metres(h)),
        h if h < 0.0 => format!("to the wellhead, from where it falls {} to the tank", metres(-h)),
        _ => "to an inlet level with the wellhead".to_owned(),
    };
    let heights: Vec<f64> = drawn::drawn_hydrants(run).map(|h| h.height_m).collect();
    let (low, high) =
        heights.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), x| (l.min(*x), h.max(*x)));
    let hydrants = match heights.len() {
        0 => String::new(),
        1 => format!("; its one hydrant is {}", height(low, units)),
        n => format!("; its {n} hydrants are {} to {}", metres(low), height(high, units)),
    };
    let only = if run.plan.is_one_tank() { "" } else { ". Only the first well and its tank are drawn" };
    format!(
        "From a static level of {} in {} the pump must lift water {}, {inlet}; the tank holds {} of usable \
         water{hydrants}{only}",
        metres(head.static_level_m),
        month(head.month),
        metres(head.static_lift_m),
        show(run.plan.tank.capacity_m3, Quantity::Volume, units)
    )
}
