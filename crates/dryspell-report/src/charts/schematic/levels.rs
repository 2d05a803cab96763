//! The levels in the tank, with their volumes.

use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, show, show_alike};

use super::labels::Places;
use crate::setting::paper::{Anchor, Paper, SMALL};
use crate::setting::words::shortened;

/// Where the full tank's water stands below the ground beside it.
pub(super) const FULL: f64 = 13.0;
/// Where the float lets the pump start again.
pub(super) const START: f64 = 28.0;
/// Where the usable volume is written.
const USABLE: f64 = 52.0;
/// Where the words stand, and their room between the walls.
const WORDS: (f64, f64) = (241.5, 72.0);

/// Writes them.
pub(super) fn levels(paper: &mut Paper, run: &Run, units: System, at: &Places) {
    let t = &run.plan.tank;
    let mut write = |down: f64, text: &str| {
        let text = shortened(text, WORDS.1, SMALL, false);
        paper.words((WORDS.0, at.tank_ground + down), SMALL, Anchor::Start, &text);
    };
    match (t.float_stop_m3, t.float_start_m3) {
        (None, _) => {}
        (Some(stop), None) => write(FULL + 9.0, &format!("stop {}", show(stop, Quantity::Volume, units))),
        (Some(stop), Some(start)) => {
            let [stop, start] = show_alike([stop, start], Quantity::Volume, units);
            write(FULL + 9.0, &format!("stop {stop}"));
            write(START + 9.0, &format!("start {start}"));
        }
    }
    let usable =
        shortened(&format!("{} usable", show(t.capacity_m3, Quantity::Volume, units)), WORDS.1, SMALL, true);
    paper.bold((WORDS.0, at.tank_ground + USABLE), SMALL, Anchor::Start, &usable);
}
