//! One tank, one hour: written once, for any number it is counted in. The ledger, the lanes and the march all call it.

use std::ops::{Add, BitAnd, BitOr, Sub};

/// A number that volumes are counted in: `f64`, m³ on the grid, or `i32`, steps of the grid.
pub(crate) trait Number: Copy + Add<Output = Self> + Sub<Output = Self> {
    /// Yes or no, joined by `&` and `|`. For `i32` it is as wide as the volume, so that rows of both share registers: a
    /// number below zero is yes.
    type Flag: Copy + BitAnd<Output = Self::Flag> + BitOr<Output = Self::Flag>;

    /// Nothing.
    const ZERO: Self;

    /// The lesser of two.
    fn lesser(self, other: Self) -> Self;

    /// The number, or zero where it is below.
    fn above_zero(self) -> Self;

    /// Whether it is below another.
    fn below(self, other: Self) -> Self::Flag;

    /// Whether it is at or below another.
    fn at_most(self, other: Self) -> Self::Flag;

    /// A flag as it is kept from hour to hour and as [`Number::only_if`] needs it: for `i32`, −1 or 0.
    fn firm(flag: Self::Flag) -> Self::Flag;

    /// The number where a firm flag says yes, otherwise zero.
    fn only_if(self, flag: Self::Flag) -> Self;
}

/// From plain zeros no step of the hour makes a negative one.
impl Number for f64 {
    type Flag = bool;

    const ZERO: Self = 0.0;

    // Compare-and-select compiles to one instruction a lane; `f64::min` must also think about NaN.
    #[inline(always)]
    fn lesser(self, other: Self) -> Self {
        if self < other { self } else { other }
    }

    #[inline(always)]
    fn above_zero(self) -> Self {
        if self > 0.0 { self } else { 0.0 }
    }

    #[inline(always)]
    fn below(self, other: Self) -> bool {
        self < other
    }

    #[inline(always)]
    fn at_most(self, other: Self) -> bool {
        self <= other
    }

    #[inline(always)]
    fn firm(flag: bool) -> bool {
        flag
    }

    #[inline(always)]
    fn only_if(self, flag: bool) -> Self {
        if flag { self } else { 0.0 }
    }
}

impl Number for i32 {
    type Flag = i32;

    const ZERO: Self = 0;

    #[inline(always)]
    fn lesser(self, other: Self) -> Self {
        self.min(other)
    }

    #[inline(always)]
    fn above_zero(self) -> Self {
        self.max(0)
    }

    #[inline(always)]
    fn below(self, other: Self) -> i32 {
        self - other
    }

    #[inline(always)]
    fn at_most(self, other: Self) -> i32 {
        !(other - self)
    }

    #[inline(always)]
    fn firm(flag: i32) -> i32 {
        flag >> (i32::BITS - 1)
    }

    #[inline(always)]
    fn only_if(self, flag: i32) -> Self {
        self & flag
    }
}

/// The levels of one tank.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Levels<T> {
    /// Level at which a float refuses inflow; without a float, the rim.
    pub(crate) stop: T,
    /// Level at or below which a float that has stopped the pump lets it run again. Where the float only holds the level, or
    /// there is none: the stop, or if the level may begin above it, any level that is not reached.
    pub(crate) start: T,
    /// Level at which water goes over the top.
    pub(crate) rim: T,
    /// Level down to which gardens may draw.
    pub(crate) reserve: T,
}

/// What a tank meets in an hour.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Met<T> {
    /// Available by the pump, which the float controls.
    pub(crate) available: T,
    /// Inflow that no float controls: rain, a spring that runs on.
    pub(crate) free: T,
    /// Requested for the stock.
    pub(crate) requested: T,
    /// Requested for gardens.
    pub(crate) garden: T,
    /// Evaporation, at most.
    pub(crate) evaporation: T,
    /// Leak, at most.
    pub(crate) leak: T,
}

/// How losses are had.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Losses {
    /// There are none.
    No,
    /// At most the water there is.
    AtMost,
    /// In full: the tank is known to have water left at the hour's end.
    InFull,
}

/// The parts of the hour that are worked out. All are known when the program is compiled, so that what is left out costs
/// nothing; whatever of [`Passed`] the caller does not look at costs nothing either.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Parts {
    /// The pump may bring water; otherwise `available` is taken as nothing.
    pub(crate) inflow: bool,
    /// Water may come that no float controls; otherwise `free` is taken as nothing and `rim` is not looked at.
    pub(crate) free: bool,
    /// Gardens may ask; otherwise `garden` is taken as nothing.
    pub(crate) garden: bool,
    /// The losses.
    pub(crate) losses: Losses,
    /// A float may keep the pump off; otherwise it runs, whatever the flag.
    pub(crate) band: bool,
    /// The level may begin above the stop, as it always may with inflow that no float controls. Otherwise what lies above it
    /// at the end is this hour's inflow, without a look.
    pub(crate) above_stop: bool,
}

/// What an hour did to a tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Passed<T: Number> {
    /// Level at the hour's end, before anything owed is forgotten.
    pub(crate) level: T,
    /// Whether the float lets the pump run in the next hour, firm.
    pub(crate) permits: T::Flag,
    /// What the float let the pump bring.
    pub(crate) inflow: T,
    /// Drawn for the stock, earlier thirst of the day included.
    pub(crate) drawn: T,
    /// Drawn for gardens.
    pub(crate) garden: T,
    /// Requested for gardens and not drawn.
    pub(crate) garden_short: T,
    /// Lost to the air.
    pub(crate) evaporated: T,
    /// Lost through leaks.
    pub(crate) leaked: T,
    /// Lost to the air and through leaks.
    pub(crate) lost: T,
    /// Of the pump's inflow, what lay above the stop: with a float it was not lifted, without one it is spilled.
    pub(crate) over: T,
    /// Of the inflow that no float controls, what lay above the rim: spilled.
    pub(crate) free_over: T,
}

/// One hour of one tank: steps 1 to 5 of [`super::ledger::run`], with an inflow that no float controls.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | x | level: usable water, or thirst owed today when negative | m³ or steps | on the grid |
/// | L, B | stop and start of the float (`L = C` without a float) | m³ or steps | 0 < B ≤ L |
/// | C, R | the rim; the level down to which gardens may draw | m³ or steps | C ≥ L, R ≥ 0 |
/// | Q, F | available by the pump; inflow that no float controls | m³ or steps | ≥ 0, on the grid |
/// | W, G | requested for the stock and for gardens | m³ or steps | ≥ 0, on the grid |
/// | E, K | evaporation and leak | m³ or steps | ≥ 0, on the grid |
///
/// # Equation
/// 1. Where the float does not permit, `Q = 0`. `x ← x + Q + F`.
/// 2. `x ← x − W`; drawn is `min(x + Q + F, W) − min(x, 0)` of the level before, which is the lesser of all that is at hand and all
///    that is owed. Then gardens: `x ← x − min(G, (x − R)⁺)`.
/// 3. `x ← x − min(E + K, x⁺)`, of which the air has `min(E, x⁺)` and leaks the rest, `min(K, (x⁺ − E)⁺)`.
/// 4. `o = min((x − L)⁺, Q)`, `x ← x − o`, then `s = min((x − C)⁺, F)`, `x ← x − s`. With a float `o` was not lifted and `s` is
///    spilled; without one `o + s = min((x − C)⁺, Q + F)` is spilled.
/// 5. The float permits the next hour if it permitted this one and `x < L`, or if `x ≤ B`.
///
/// # Validity
/// Sums of grid volumes are exact, so `f64` and `i32` agree to the last step while nothing leaves the range of `i32`.
/// `f64` keeps the grid below 2³³ m³. A level that begins at or below `L` ends so if `F = 0`, and one at or below `C` always.
#[inline(always)]
pub(crate) fn hour<T: Number>(
    parts: Parts,
    tank: Levels<T>,
    met: Met<T>,
    level: T,
    permits: T::Flag,
) -> Passed<T> {
    let zero = T::ZERO;
    // 1.
    let inflow = match (parts.inflow, parts.band) {
        (false, _) => zero,
        (true, false) => met.available,
        (true, true) => met.available.only_if(permits),
    };
    let mut at_hand = level + inflow;
    if parts.free {
        at_hand = at_hand + met.free;
    }
    // 2. What is drunk, and what gardens lack, are worked out by themselves, not as what is left over.
    let drawn = at_hand.lesser(met.requested) - level.lesser(zero);
    let mut x = at_hand - met.requested;
    let (mut garden, mut garden_short) = (zero, zero);
    if parts.garden {
        let to_spare = (x - tank.reserve).above_zero();
        garden = met.garden.lesser(to_spare);
        garden_short = (met.garden - to_spare).above_zero();
        x = x - garden;
    }
    // 3.
    let loss = met.evaporation + met.leak;
    let (evaporated, leaked, lost) = match parts.losses {
        Losses::No => (zero, zero, zero),
        Losses::InFull => (met.evaporation, met.leak, loss),
        Losses::AtMost => {
            let there = x.above_zero();
            let leaked = met.leak.lesser((there - met.evaporation).above_zero());
            (met.evaporation.lesser(there), leaked, loss.lesser(there))
        }
    };
    x = x - lost;
    // 4.
    let (mut over, mut free_over) = (zero, zero);
    if parts.inflow {
        if parts.above_stop || parts.free {
            over = (x - tank.stop).above_zero().lesser(inflow);
            x = x - over;
        } else {
            let clipped = x.lesser(tank.stop);
            over = x - clipped;
            x = clipped;
        }
    }
    if parts.free {
        free_over = (x - tank.rim).above_zero().lesser(met.free);
        x = x - free_over;
    }
    // 5.
    let permits = if parts.band { float(permits, x, x, tank.stop, tank.start) } else { permits };
    Passed {
        level: x,
        permits,
        inflow,
        drawn,
        garden,
        garden_short,
        evaporated,
        leaked,
        lost,
        over,
        free_over,
    }
}

/// Step 5, for hours in which the level was highest at `highest` and ends at `end`: the pump stays on unless the stop was reached,
/// and comes on at or below the start.
#[inline(always)]
pub(crate) fn float<T: Number>(permits: T::Flag, highest: T, end: T, stop: T, start: T) -> T::Flag {
    T::firm((permits & highest.below(stop)) | end.at_most(start))
}

/// Step 6, midnight: what is owed, which is booked as short and forgotten, and the level after it.
#[inline(always)]
pub(crate) fn book<T: Number>(level: T) -> (T, T) {
    let there = level.above_zero();
    (there - level, there)
}

#[cfg(test)]
mod tests;
