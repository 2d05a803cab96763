//! Hour after hour through tanks side by side: every run and size search goes through here, and what the lanes do is defined here.
//! The hour of one tank is in `tank/hour`.

use std::ops::Range;

use super::Settings;
use super::hour::{Levels, Losses, Met, Parts, book};
use crate::calendar::HOURS_PER_DAY;
use crate::draw::Carry;
use crate::grid;

/// `N` tanks side by side, each a lane, all met by the same inflow and the same herd. Volumes in m³ on the grid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tanks<const N: usize> {
    /// Level at which inflow is refused (float stop), or the overflow where there is no float.
    pub(crate) stop_m3: [f64; N],
    /// Level at which a float lets the pump start again; equal to the stop when the float only holds the level.
    pub(crate) start_m3: [f64; N],
    /// Whether there is a float.
    pub(crate) float: [bool; N],
    /// Level down to which gardens may draw.
    pub(crate) reserve_m3: [f64; N],
    /// What becomes of unmet thirst, one rule for all lanes.
    pub(crate) carry: Carry,
}

impl<const N: usize> Tanks<N> {
    /// The tanks of `N` settings. The carry rule of the first holds for all.
    #[must_use]
    pub fn new(settings: [&Settings; N]) -> Self {
        let stop_m3 = settings.map(|s| grid::volume_m3(s.full_m3()));
        let start_m3 = settings.map(|s| grid::volume_m3(s.float_start_m3.unwrap_or_else(|| s.full_m3())));
        Self {
            stop_m3,
            start_m3,
            float: settings.map(|s| s.float_stop_m3.is_some()),
            reserve_m3: settings.map(|s| grid::volume_m3(s.garden_reserve_m3)),
            carry: settings.first().map_or(Carry::WithinDay, |s| s.carry),
        }
    }

    /// All lanes full, floats letting the pump run.
    #[must_use]
    pub fn full(&self) -> State<N> {
        State { level_m3: self.stop_m3, permits: [true; N] }
    }

    /// All lanes empty.
    #[must_use]
    pub fn empty(&self) -> State<N> {
        State { level_m3: [0.0; N], permits: [true; N] }
    }

    /// Level at which each lane counts as full, m³.
    #[must_use]
    pub fn full_m3(&self) -> [f64; N] {
        self.stop_m3
    }
}

/// What the tanks carry from hour to hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State<const N: usize> {
    /// Usable water when positive, thirst still owed today when negative, m³; never both.
    pub level_m3: [f64; N],
    /// Whether the float lets the pump run.
    pub permits: [bool; N],
}

/// The columns that drive the tanks, m³ in the hour, on the grid, of equal length.
#[derive(Debug, Clone, PartialEq)]
pub struct Flows {
    /// Available by the pump.
    pub available_m3: Vec<f64>,
    /// Requested of the tank for the stock.
    pub requested_m3: Vec<f64>,
    /// Requested for gardens, which come after the stock.
    pub garden_m3: Vec<f64>,
    /// Evaporation from the open water, at most.
    pub evaporation_m3: Vec<f64>,
    /// Leak, at most.
    pub leak_m3: Vec<f64>,
}

impl Flows {
    /// Puts the columns on the grid: the ledger's door.
    #[must_use]
    pub fn new(available_m3: &[f64], requested_m3: &[f64], evaporation_m3: &[f64], leak_m3: &[f64]) -> Self {
        let on = grid::column_m3;
        Self {
            available_m3: on(available_m3),
            requested_m3: on(requested_m3),
            garden_m3: vec![0.0; requested_m3.len()],
            evaporation_m3: on(evaporation_m3),
            leak_m3: on(leak_m3),
        }
    }

    /// The same with water requested for gardens, put on the grid.
    #[must_use]
    pub fn with_garden(mut self, garden_m3: &[f64]) -> Self {
        self.garden_m3 = grid::column_m3(garden_m3);
        self
    }

    /// Inflow and draw alone, without losses.
    #[must_use]
    pub fn lossless(available_m3: &[f64], requested_m3: &[f64]) -> Self {
        let none = vec![0.0; available_m3.len()];
        Self::new(available_m3, requested_m3, &none, &none)
    }

    /// Number of hours.
    #[must_use]
    pub fn hours(&self) -> usize {
        self.available_m3.len()
    }
}

/// All that happened in one hour, by lane, m³.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hour<const N: usize> {
    /// Lifted into the tank.
    pub pumped_m3: [f64; N],
    /// Drawn for the stock, earlier thirst of the day included.
    pub drawn_m3: [f64; N],
    /// Drawn for gardens.
    pub garden_m3: [f64; N],
    /// Requested for gardens and not drawn.
    pub garden_short_m3: [f64; N],
    /// Lost to the air.
    pub evaporated_m3: [f64; N],
    /// Lost through leaks.
    pub leaked_m3: [f64; N],
    /// Available but never lifted, because the float had stopped the pump.
    pub curtailed_m3: [f64; N],
    /// Lifted and gone over the top (no float).
    pub spilled_m3: [f64; N],
    /// Booked as short: at midnight what was still owed, or the hour's own lack without carry-over.
    pub short_m3: [f64; N],
    /// Level at the hour's end, before anything owed is forgotten at midnight: usable water, or thirst below zero.
    pub level_m3: [f64; N],
}

/// Watches the hours go by.
pub trait Sink<const N: usize> {
    /// Called once an hour, in order.
    fn hour(&mut self, index: usize, hour: &Hour<N>);
}

/// Looks at nothing: for the ledger alone.
#[derive(Debug, Clone, Copy, Default)]
pub struct NoSink;

impl<const N: usize> Sink<N> for NoSink {
    fn hour(&mut self, _: usize, _: &Hour<N>) {}
}

impl<const N: usize, A: Sink<N>, B: Sink<N>> Sink<N> for (&mut A, &mut B) {
    fn hour(&mut self, index: usize, hour: &Hour<N>) {
        self.0.hour(index, hour);
        self.1.hour(index, hour);
    }
}

/// Sums of every term, each accumulated on its own, by lane, m³.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Totals<const N: usize> {
    /// Available by the pump.
    pub available_m3: [f64; N],
    /// Lifted into the tank.
    pub pumped_m3: [f64; N],
    /// Requested for the stock.
    pub requested_m3: [f64; N],
    /// Drawn for the stock.
    pub drawn_m3: [f64; N],
    /// Short.
    pub short_m3: [f64; N],
    /// Requested for gardens.
    pub garden_requested_m3: [f64; N],
    /// Drawn for gardens.
    pub garden_m3: [f64; N],
    /// Requested for gardens and not drawn.
    pub garden_short_m3: [f64; N],
    /// Refused by the float.
    pub curtailed_m3: [f64; N],
    /// Over the top.
    pub spilled_m3: [f64; N],
    /// To the air.
    pub evaporated_m3: [f64; N],
    /// Through leaks.
    pub leaked_m3: [f64; N],
}

impl<const N: usize> Default for Totals<N> {
    fn default() -> Self {
        let zero = [0.0; N];
        Self {
            available_m3: zero,
            pumped_m3: zero,
            requested_m3: zero,
            drawn_m3: zero,
            short_m3: zero,
            garden_requested_m3: zero,
            garden_m3: zero,
            garden_short_m3: zero,
            curtailed_m3: zero,
            spilled_m3: zero,
            evaporated_m3: zero,
            leaked_m3: zero,
        }
    }
}

/// Runs `N` tanks through the hours of whole days, from `state`, which is left as it is at the end.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | x | level: usable water, or thirst owed today when negative | m³ | on the grid |
/// | L, B | float stop and start level (`L` is the overflow without a float) | m³ | 0 < B ≤ L |
/// | Q, W | available and requested in the hour | m³ | ≥ 0, on the grid |
/// | G, R | requested for gardens in the hour; the level down to which they may draw | m³ | ≥ 0, on the grid |
/// | E, K | evaporation and leak in the hour | m³ | ≥ 0, on the grid |
///
/// # Equation
/// 1. If the float permits, `x ← x + Q`.
/// 2. `x ← x − W`; what is not there becomes thirst. Then gardens, from what is left above R:
///    `x ← x − min(G, (x − R)⁺)`; what they do not get is forgotten at once.
/// 3. Losses, at most the water there is: `x ← x − min(E, x⁺)`, then `x ← x − min(K, x⁺)`, which is together
///    `x ← x − min(E + K, x⁺)`.
/// 4. What lies above `L`, but no more than this hour's inflow, goes: with a float the pump stopped within the hour and
///    it was never lifted; without one it is spilled.
/// 5. With a band (`B < L`) the float stops the pump when `L` was reached and lets it run again when the level is at
///    or below `B` at the hour's end, acting on the next hour.
/// 6. At midnight what is still owed is booked as short and forgotten.
///
/// # Validity
/// `hours` starts and ends at midnight. Inflow and draw of an hour meet within the hour: the order inside it is not
/// known from hourly data.
///
/// # Example
/// One tank of 1 m³, full; a day without inflow in which 0.1 m³ is requested each hour: ten hours are served.
/// ```
/// use dryspell::tank::{self, ledger};
/// let settings = tank::Settings::open("main", 1.0);
/// let tanks = ledger::Tanks::new([&settings]);
/// let flows = ledger::Flows::lossless(&[0.0; 24], &[0.1; 24]);
/// let mut state = tanks.full();
/// let totals = ledger::run(&tanks, &flows, 0..24, &mut state, &mut ledger::NoSink);
/// assert!((totals.drawn_m3[0] - 1.0).abs() < 1e-6);
/// assert!((totals.short_m3[0] - 1.4).abs() < 1e-5);
/// ```
///
/// # References
/// The order of the steps is this project's definition; storage accounting of this kind goes back to P. A. P. Moran,
/// "A probability theory of dams and storage systems", Aust. J. Appl. Sci. 5 (1954), from memory.
pub fn run<const N: usize, S: Sink<N>>(
    tanks: &Tanks<N>,
    flows: &Flows,
    hours: Range<usize>,
    state: &mut State<N>,
    sink: &mut S,
) -> Totals<N> {
    debug_assert!(hours.start.is_multiple_of(HOURS_PER_DAY) && hours.end.is_multiple_of(HOURS_PER_DAY));
    let mut totals = Totals::default();
    for h in hours {
        let midnight = h % HOURS_PER_DAY == HOURS_PER_DAY - 1;
        let hour = one_hour(tanks, flows, h, midnight, state);
        totals.add(flows, h, &hour);
        sink.hour(h, &hour);
    }
    totals
}

impl<const N: usize> Totals<N> {
    #[inline(always)]
    fn add(&mut self, flows: &Flows, h: usize, hour: &Hour<N>) {
        for i in 0..N {
            self.available_m3[i] += flows.available_m3[h];
            self.requested_m3[i] += flows.requested_m3[h];
            self.pumped_m3[i] += hour.pumped_m3[i];
            self.drawn_m3[i] += hour.drawn_m3[i];
            self.short_m3[i] += hour.short_m3[i];
            self.garden_requested_m3[i] += flows.garden_m3[h];
            self.garden_m3[i] += hour.garden_m3[i];
            self.garden_short_m3[i] += hour.garden_short_m3[i];
            self.curtailed_m3[i] += hour.curtailed_m3[i];
            self.spilled_m3[i] += hour.spilled_m3[i];
            self.evaporated_m3[i] += hour.evaporated_m3[i];
            self.leaked_m3[i] += hour.leaked_m3[i];
        }
    }

    /// Adds the sums of another stretch of hours.
    pub fn join(&mut self, other: &Self) {
        for i in 0..N {
            self.available_m3[i] += other.available_m3[i];
            self.requested_m3[i] += other.requested_m3[i];
            self.pumped_m3[i] += other.pumped_m3[i];
            self.drawn_m3[i] += other.drawn_m3[i];
            self.short_m3[i] += other.short_m3[i];
            self.garden_requested_m3[i] += other.garden_requested_m3[i];
            self.garden_m3[i] += other.garden_m3[i];
            self.garden_short_m3[i] += other.garden_short_m3[i];
            self.curtailed_m3[i] += other.curtailed_m3[i];
            self.spilled_m3[i] += other.spilled_m3[i];
            self.evaporated_m3[i] += other.evaporated_m3[i];
            self.leaked_m3[i] += other.leaked_m3[i];
        }
    }
}

/// One hour of all lanes: [`super::hour::hour`] of each, its terms by name, and step 6.
#[inline(always)]
fn one_hour<const N: usize>(
    tanks: &Tanks<N>,
    flows: &Flows,
    h: usize,
    midnight: bool,
    state: &mut State<N>,
) -> Hour<N> {
    let zero = [0.0; N];
    let mut hour = Hour {
        pumped_m3: zero,
        drawn_m3: zero,
        garden_m3: zero,
        garden_short_m3: zero,
        evaporated_m3: zero,
        leaked_m3: zero,
        curtailed_m3: zero,
        spilled_m3: zero,
        short_m3: zero,
        level_m3: zero,
    };
    let parts = Parts {
        inflow: true,
        free: false,
        garden: true,
        losses: Losses::AtMost,
        band: true,
        above_stop: true,
    };
    let met = Met {
        available: flows.available_m3[h],
        free: 0.0,
        requested: flows.requested_m3[h],
        garden: flows.garden_m3[h],
        evaporation: flows.evaporation_m3[h],
        leak: flows.leak_m3[h],
    };
    let books_short = midnight || tanks.carry == Carry::None;
    for i in 0..N {
        let stop = tanks.stop_m3[i];
        // Without a band (B = L) the float only holds the level and never keeps the pump off.
        let start = if tanks.start_m3[i] < stop { tanks.start_m3[i] } else { f64::INFINITY };
        let levels = Levels { stop, start, rim: stop, reserve: tanks.reserve_m3[i] };
        let passed = super::hour::hour(parts, levels, met, state.level_m3[i], state.permits[i]);
        let stopped_short = if tanks.float[i] { passed.over } else { 0.0 };
        hour.pumped_m3[i] = passed.inflow - stopped_short;
        hour.drawn_m3[i] = passed.drawn;
        hour.garden_m3[i] = passed.garden;
        hour.garden_short_m3[i] = passed.garden_short;
        hour.evaporated_m3[i] = passed.evaporated;
        hour.leaked_m3[i] = passed.leaked;
        hour.curtailed_m3[i] = (met.available - passed.inflow) + stopped_short;
        hour.spilled_m3[i] = if tanks.float[i] { 0.0 } else { passed.over };
        hour.level_m3[i] = passed.level;
        state.permits[i] = passed.permits;
        // 6.
        let (owed, there) = book(passed.level);
        hour.short_m3[i] = if books_short { owed } else { 0.0 };
        state.level_m3[i] = if books_short { there } else { passed.level };
    }
    hour
}
