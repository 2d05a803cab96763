//! What the animals want by day, and what is short before the tank has a say.

use crate::calendar::HOURS_PER_DAY;
use crate::delivery;
use crate::tank::grid;

/// What the counters must know of the draw, besides the tank's own hours. It is the same for every tank.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// Wanted by the stock on each day, m³.
    wanted_m3: Vec<f64>,
    /// Behind hydrants: what happens there. `None` where all stock drinks at the tank.
    way: Option<Way>,
}

/// What happens on the way from the tank to the animals.
#[derive(Debug, Clone, PartialEq)]
struct Way {
    /// Short on the way, m³ on each day.
    short_m3: Vec<f64>,
    /// Whether a hydrant by itself is short by more than the tolerance, on each day.
    hydrant_short: Vec<bool>,
    /// Hours that end with nothing before the animals of some hydrant.
    dry: Vec<bool>,
    /// Hours in which the animals of some hydrant drink nothing.
    idle: Vec<bool>,
    /// What the tank is asked for.
    refills: Refills,
}

/// Troughs ask the tank for what was drunk from them before, perhaps on the day before.
#[derive(Debug, Clone, PartialEq)]
struct Refills {
    /// Asked on each day for what is drunk on it, m³.
    own_m3: Vec<f64>,
    /// Drunk on each day and asked for later, m³.
    later_m3: Vec<f64>,
    /// Whether the record goes round: the first days ask for what was drunk on the last.
    repeats: bool,
}

impl Refills {
    /// `asked_m3` of the tank on each day, `drunk_m3` on each day if the tank gives it all, and what the troughs lack at the
    /// record's start. What is asked makes good the earliest drinking first.
    fn new(asked_m3: &[f64], drunk_m3: &[f64], lack_m3: f64, repeats: bool) -> Self {
        let mut lack_m3 = lack_m3.max(0.0);
        let mut out = Self { own_m3: Vec::new(), later_m3: Vec::new(), repeats };
        for (asked, drunk) in asked_m3.iter().zip(drunk_m3) {
            let own = (asked - lack_m3).clamp(0.0, *drunk);
            out.own_m3.push(own);
            out.later_m3.push(drunk - own);
            lack_m3 = (lack_m3 + drunk - asked).max(0.0);
        }
        out
    }
}

/// Days back for which a refill is looked for: no trough holds more.
const LONGEST_REFILL_DAYS: usize = 31;

/// One hour on the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct WayHour {
    /// Whether there are troughs between tank and animals.
    pub troughs: bool,
    /// Whether it ends with nothing before the animals of some hydrant.
    pub dry: bool,
    /// Whether the animals of some hydrant drink nothing in it.
    pub idle: bool,
}

impl Demand {
    /// All stock drinks at the tank; what it wants in each hour, m³.
    #[must_use]
    pub fn at_tank(wanted_m3: &[f64]) -> Self {
        Self { wanted_m3: by_day(wanted_m3), way: None }
    }

    /// Stock drinks at hydrants, some perhaps at the tank itself. `wanted_m3` is what all of it wants in each hour, on
    /// the grid; `at_hydrants_m3` what is wanted at each hydrant, in the order of the columns; `tolerance` the share of
    /// a hydrant's day that may be short; `repeats` where the record is one year that goes round.
    #[must_use]
    pub fn behind_hydrants(
        wanted_m3: &[f64],
        at_hydrants_m3: &[&[f64]],
        delivery: &delivery::Columns,
        tolerance: f64,
        repeats: bool,
    ) -> Self {
        let hours = wanted_m3.len();
        let wanted_by_day = by_day(wanted_m3);
        // Each column is rounded to the grid by itself: a day must not lack a step more than it wants.
        let short_m3: Vec<f64> = by_day(&grid::column_m3(&delivery.short_m3()))
            .into_iter()
            .zip(&wanted_by_day)
            .map(|(short, wanted)| short.min(*wanted))
            .collect();
        let drunk_m3: Vec<f64> = wanted_by_day.iter().zip(&short_m3).map(|(w, s)| w - s).collect();
        let at_tank = |h: usize| (wanted_m3[h] - at_hydrants_m3.iter().map(|w| w[h]).sum::<f64>()).max(0.0);
        let asked: Vec<f64> = (0..hours).map(|h| at_tank(h) + delivery.asked_m3[h]).collect();
        let lack_m3 = delivery.hydrants.iter().map(|h| h.trough_m3).sum::<f64>() - delivery.volumes.start_m3;
        let mut way = Way {
            refills: Refills::new(
                &by_day(&grid::column_m3(&asked)),
                &drunk_m3,
                grid::volume_m3(lack_m3),
                repeats,
            ),
            short_m3,
            hydrant_short: vec![false; hours / HOURS_PER_DAY],
            dry: vec![false; hours],
            idle: vec![false; hours],
        };
        for (hydrant, wanted) in delivery.hydrants.iter().zip(at_hydrants_m3) {
            let short: Vec<f64> = (0..hours).map(|h| hydrant.short_m3(h)).collect();
            let days = by_day(wanted).into_iter().zip(by_day(&short));
            for (day, (wanted_day, short_day)) in days.enumerate() {
                if wanted_day <= 0.0 {
                    continue;
                }
                // Thirst below the ledger's grid is rounding, not thirst.
                way.hydrant_short[day] |= short_day > tolerance * wanted_day + grid::STEP_M3;
                for h in day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY {
                    way.dry[h] |= hydrant.is_dry(h);
                    way.idle[h] |= hydrant.drunk_m3(h, wanted[h]) <= grid::STEP_M3;
                }
            }
        }
        Self { wanted_m3: wanted_by_day, way: Some(way) }
    }

    /// Wanted by the stock on a day, m³.
    #[must_use]
    pub fn wanted_m3(&self, day: usize) -> f64 {
        self.wanted_m3[day]
    }

    /// Whether any stock draws on a day.
    #[must_use]
    pub fn is_stock_day(&self, day: usize) -> bool {
        self.wanted_m3[day] > 0.0
    }

    /// Short between tank and animals on a day, m³.
    #[must_use]
    pub fn short_on_the_way_m3(&self, day: usize) -> f64 {
        self.way.as_ref().map_or(0.0, |way| way.short_m3[day])
    }

    /// Whether there are troughs between tank and animals: then the tank may be asked on a day for what was drunk on the
    /// day before.
    #[must_use]
    pub const fn has_troughs(&self) -> bool {
        self.way.is_some()
    }

    /// What the tank lacked, m³, on days that follow each other in this order, put down to the days on which it was wanted.
    ///
    /// A trough's refill that the tank cannot give is water drunk before: it is short on the day of that drinking. So no day
    /// lacks more than is wanted on it, and the sum stays. Of what is asked on a day the last is short first, as the tank
    /// gives the first first. A refill for a day before the first of these days is left out, unless they are a whole record
    /// that goes round.
    #[must_use]
    pub fn short_on_its_day(&self, mut lacked: Vec<(usize, f64)>) -> Vec<(usize, f64)> {
        let Some(refills) = self.way.as_ref().map(|way| &way.refills) else { return lacked };
        let n = lacked.len();
        let around = refills.repeats && n == self.wanted_m3.len();
        let mut earlier: Vec<(usize, f64)> = Vec::new();
        for (place, (day, lacked_m3)) in lacked.iter_mut().enumerate() {
            let own = lacked_m3.min(refills.own_m3[*day]);
            if *lacked_m3 > own {
                earlier.push((place, *lacked_m3 - own));
            }
            *lacked_m3 = own;
        }
        let mut room_m3: Vec<f64> = lacked.iter().map(|(day, _)| refills.later_m3[*day]).collect();
        for (place, mut rest_m3) in earlier {
            for back in 1..=LONGEST_REFILL_DAYS.min(n - 1) {
                let Some(to) = place.checked_sub(back).or_else(|| around.then(|| place + n - back)) else {
                    break;
                };
                let part = rest_m3.min(room_m3[to]);
                lacked[to].1 += part;
                room_m3[to] -= part;
                rest_m3 -= part;
                if rest_m3 <= 0.0 {
                    break;
                }
            }
        }
        lacked
    }

    /// Whether a day on which the tank lacked so much is a day of shortfall.
    #[must_use]
    pub fn is_short_day(&self, day: usize, tank_short_m3: f64, tolerance: f64) -> bool {
        let short = tank_short_m3 + self.short_on_the_way_m3(day);
        self.is_stock_day(day)
            && (short > tolerance * self.wanted_m3[day]
                || self.way.as_ref().is_some_and(|way| way.hydrant_short[day]))
    }

    /// One hour on the way.
    #[must_use]
    pub fn hour(&self, h: usize) -> WayHour {
        self.way.as_ref().map_or_else(WayHour::default, |way| WayHour {
            troughs: true,
            dry: way.dry[h],
            idle: way.idle[h],
        })
    }
}

/// Sums of each day.
fn by_day(hourly: &[f64]) -> Vec<f64> {
    hourly.chunks(HOURS_PER_DAY).map(|day| day.iter().sum()).collect()
}
