//! The tank in the march: its hour once it is known what is given to those who drink.

use crate::grid;
use crate::tank::Settings;
use crate::tank::hour::{Levels, Losses, Met, Parts, hour};
use crate::tank::ledger::{Hour, State, Tanks};

/// A tank.
#[derive(Debug, Clone, Copy)]
pub(super) struct Vessel {
    tanks: Tanks<1>,
    levels: Levels<f64>,
}

impl Vessel {
    pub(super) fn new(settings: &Settings) -> Self {
        let tanks = Tanks::new([settings]);
        let levels = Levels {
            stop: tanks.stop_m3[0],
            start: tanks.start_m3[0],
            rim: grid::volume_m3(settings.capacity_m3),
            reserve: tanks.reserve_m3[0],
        };
        Self { tanks, levels }
    }

    pub(super) fn full(&self) -> State<1> {
        self.tanks.full()
    }

    pub(super) fn empty(&self) -> State<1> {
        self.tanks.empty()
    }

    /// One hour, in which no more is requested than there is.
    pub(super) fn hour(&self, met: Met<f64>, state: &mut State<1>) -> Hour<1> {
        let band = self.levels.start < self.levels.stop;
        let parts = Parts {
            inflow: true,
            free: met.free > 0.0 || state.level_m3[0] > self.levels.stop,
            garden: true,
            losses: Losses::AtMost,
            band,
            above_stop: true,
        };
        let passed = hour(parts, self.levels, met, state.level_m3[0], state.permits[0]);
        state.level_m3 = [passed.level];
        state.permits = [!band || passed.permits];
        let (refused, over) = if self.tanks.float[0] { (passed.over, 0.0) } else { (0.0, passed.over) };
        Hour {
            pumped_m3: [passed.inflow - refused],
            drawn_m3: [passed.drawn],
            garden_m3: [passed.garden],
            garden_short_m3: [passed.garden_short],
            evaporated_m3: [passed.evaporated],
            leaked_m3: [passed.leaked],
            curtailed_m3: [(met.available - passed.inflow) + refused],
            spilled_m3: [over + passed.free_over],
            short_m3: [0.0],
            level_m3: [passed.level],
        }
    }
}
