//! The tank in the march: its hour once it is known what is given to those who drink.

use crate::grid;
use crate::inflow::Backup;
use crate::simulate::put::Water;
use crate::tank::Settings;
use crate::tank::hour::{Levels, Losses, Met, Parts, float, hour};
use crate::tank::ledger::{Hour, State, Tanks};

/// A tank.
#[derive(Debug, Clone, Copy)]
pub(super) struct Vessel {
    tanks: Tanks<1>,
    levels: Levels<f64>,
    /// Level up to which a backup fills it, m³.
    backup_stop_m3: f64,
}

/// What runs into the tank in an hour, m³ on the grid.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Inflow {
    /// The pump's, as if no float stopped it.
    pub pump_m3: f64,
    /// Of inflows that a valve shuts at the float's stop.
    pub valve_m3: f64,
    /// Of inflows that run on.
    pub free_m3: f64,
    /// The backup's.
    pub backup_m3: f64,
    /// From another tank.
    pub link_m3: f64,
}

/// What is taken out of the tank in an hour, at most, m³ on the grid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Draw {
    /// Given to those who drink and to other tanks: no more than there is.
    pub(super) given_m3: f64,
    pub(super) garden_m3: f64,
    pub(super) evaporation_m3: f64,
    pub(super) leak_m3: f64,
}

impl Vessel {
    pub(super) fn new(settings: &Settings, backup: Option<&Backup>) -> Self {
        let tanks = Tanks::new([settings]);
        let levels = Levels {
            stop: tanks.stop_m3[0],
            start: tanks.start_m3[0],
            rim: grid::volume_m3(settings.capacity_m3),
            reserve: tanks.reserve_m3[0],
        };
        let backup_stop_m3 = backup.map_or(0.0, |backup| grid::volume_m3(backup.stops_at_m3));
        Self { tanks, levels, backup_stop_m3 }
    }

    pub(super) fn full(&self) -> State<1> {
        self.tanks.full()
    }

    pub(super) fn empty(&self) -> State<1> {
        self.tanks.empty()
    }

    /// Puts it to what is said for the tank of this number.
    pub(super) fn put(&self, water: &Water, number: usize, state: &mut State<1>) {
        water.put(number, &self.tanks, state);
    }

    /// Room below the float's stop, m³; without end where there is no float.
    pub(super) fn room_m3(&self, state: &State<1>) -> f64 {
        if !self.tanks.float[0] {
            return f64::INFINITY;
        }
        if state.permits[0] { (self.levels.stop - state.level_m3[0]).max(0.0) } else { 0.0 }
    }

    /// One hour, in which no more is given than there is: what it did, and of each inflow what the tank let in.
    pub(super) fn hour(&self, comes: Inflow, draw: Draw, state: &mut State<1>) -> (Hour<1>, Inflow) {
        let pump_m3 = if state.permits[0] { comes.pump_m3 } else { 0.0 };
        let parts = Parts {
            inflow: true,
            free: true,
            garden: true,
            losses: Losses::AtMost,
            band: false,
            above_stop: true,
        };
        let with = |backup_m3: f64| {
            let met = Met {
                available: pump_m3 + comes.valve_m3 + backup_m3,
                free: comes.free_m3 + comes.link_m3,
                requested: draw.given_m3,
                garden: draw.garden_m3,
                evaporation: draw.evaporation_m3,
                leak: draw.leak_m3,
            };
            hour(parts, self.levels, met, state.level_m3[0], state.permits[0])
        };
        let mut backup_m3 = comes.backup_m3;
        let mut passed = with(backup_m3);
        if backup_m3 > 0.0 {
            // The backup is refused first: what would stand above its own stop, whatever brought it.
            let above_m3 = (passed.level + passed.over - self.backup_stop_m3).max(0.0);
            if above_m3 > 0.0 {
                backup_m3 = (backup_m3 - above_m3).max(0.0);
                passed = with(backup_m3);
            }
        }
        let has_float = self.tanks.float[0];
        // The pump and inflows with a valve are refused alike, in proportion to what they bring.
        let controlled_m3 = pump_m3 + comes.valve_m3;
        let refused_m3 = if has_float { passed.over } else { 0.0 };
        let pump_refused_m3 = if comes.valve_m3 > 0.0 && controlled_m3 > 0.0 {
            let part = grid::floor_m3(refused_m3 * (pump_m3 / controlled_m3));
            part.max(refused_m3 - comes.valve_m3).min(pump_m3)
        } else {
            refused_m3.min(pump_m3)
        };
        let valve_refused_m3 = (refused_m3 - pump_refused_m3).min(comes.valve_m3);
        // What is left is the backup's, where it has no room of its own to speak of.
        let backup_refused_m3 = refused_m3 - pump_refused_m3 - valve_refused_m3;
        let let_in = Inflow {
            pump_m3: pump_m3 - pump_refused_m3,
            valve_m3: comes.valve_m3 - valve_refused_m3,
            free_m3: comes.free_m3,
            backup_m3: backup_m3 - backup_refused_m3,
            link_m3: comes.link_m3,
        };
        let x = passed.level;
        let band = self.levels.start < self.levels.stop;
        state.level_m3 = [x];
        state.permits = [!band || float(state.permits[0], x, x, self.levels.stop, self.levels.start)];
        let over_m3 = if has_float { 0.0 } else { passed.over };
        let hour = Hour {
            pumped_m3: [let_in.pump_m3],
            drawn_m3: [passed.drawn],
            garden_m3: [passed.garden],
            garden_short_m3: [passed.garden_short],
            evaporated_m3: [passed.evaporated],
            leaked_m3: [passed.leaked],
            curtailed_m3: [comes.pump_m3 - let_in.pump_m3],
            spilled_m3: [over_m3 + passed.free_over],
            short_m3: [0.0],
            level_m3: [x],
        };
        (hour, let_in)
    }
}
