//! Levels put on some days of a record.

use crate::grid;
use crate::tank::ledger::{State, Tanks};

/// What is done to the tanks at the first moment of a day.
#[derive(Debug, Clone, PartialEq)]
pub struct Put {
    /// The day, as an index into the record.
    pub day: usize,
    /// What is done.
    pub water: Water,
}

/// Water in the tanks, m³.
#[derive(Debug, Clone, PartialEq)]
pub enum Water {
    /// Usable water in each tank, in the plan's order: whatever stood there is forgotten.
    Levels(Vec<f64>),
    /// Brought to a tank, by its number in the plan: what it does not hold is lost.
    Brought {
        /// The tank.
        tank: usize,
        /// How much.
        m3: f64,
    },
}

impl Water {
    /// The state of a tank once this is done. Between its two levels a float with a band may have left the pump on or off; it is taken to
    /// let it run below full.
    pub(super) fn put(&self, number: usize, tanks: &Tanks<1>, state: &mut State<1>) {
        let level_m3 = match self {
            Self::Levels(levels_m3) => levels_m3.get(number).copied(),
            Self::Brought { tank, m3 } if *tank == number => Some(state.level_m3[0] + m3),
            Self::Brought { .. } => None,
        };
        if let Some(level_m3) = level_m3 {
            let full_m3 = tanks.full_m3()[0];
            let band = tanks.start_m3[0] < full_m3;
            *state = State {
                level_m3: [grid::volume_m3(level_m3).min(full_m3)],
                permits: [!band || level_m3 < full_m3],
            };
        }
    }
}
