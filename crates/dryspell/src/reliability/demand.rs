//! What the animals want by day, and what is short before the tank has a say.

use super::books::{BookDay, HerdBook};
use super::groups::{ALL_HOURS, GroupDay, Herd, OwnDay, TankDay, WayDay};
use crate::calendar::HOURS_PER_DAY;
use crate::delivery;
use crate::grid;

/// What the counters must know of the draw, besides the tank's own hours. It is the same for every tank.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// Demand of the stock on each day, m³.
    demand_m3: Vec<f64>,
    /// Each group of the herd on each day; groups that always do alike stand once.
    groups: Vec<Vec<GroupDay>>,
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
    /// Each hydrant on each day.
    hydrants: Vec<Vec<WayDay>>,
    /// What the tank is asked for; `None` where each herd's own book says on which day it was short.
    refills: Option<Refills>,
    /// Whether the year goes on where it began.
    repeats: bool,
}

/// Troughs ask the tank for what was drunk from them before, perhaps on the day before.
#[derive(Debug, Clone, PartialEq)]
struct Refills {
    /// Requests on each day for what is drunk on it, m³.
    own_m3: Vec<f64>,
    /// Drunk on each day and asked for later, m³.
    later_m3: Vec<f64>,
    /// Whether the record goes round: the first days ask for what was drunk on the last.
    repeats: bool,
}

impl Refills {
    /// `requested_m3` of the tank on each day, `drunk_m3` on each day if the tank gives it all, and what the troughs lack at the
    /// record's start. What is requested makes good the earliest drinking first.
    fn new(requested_m3: &[f64], drunk_m3: &[f64], lack_m3: f64, repeats: bool) -> Self {
        let mut lack_m3 = lack_m3.max(0.0);
        let mut out = Self { own_m3: Vec::new(), later_m3: Vec::new(), repeats };
        for (asked, drunk) in requested_m3.iter().zip(drunk_m3) {
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

impl Demand {
    /// Whether the year of a one-year record goes on where it began: what comes from hydrants that did not settle does not.
    #[must_use]
    pub(crate) fn comes_round(&self) -> bool {
        self.way.as_ref().is_none_or(|way| way.repeats)
    }

    /// All stock drinks at the tank; its demand in each hour, m³.
    #[must_use]
    pub fn at_tank(demand_m3: &[f64]) -> Self {
        let wants = bits_by_day(demand_m3.len(), |h| demand_m3[h] > 0.0);
        let hydrant = vec![None; wants.len()];
        Self { demand_m3: by_day(demand_m3), groups: Vec::new(), way: None }
            .of_herds(&[Herd { wants, hydrant }])
    }

    /// Stock drinks at hydrants, some perhaps at the tank itself. `demand_m3` is the demand of all of it in each hour, on
    /// the grid; `at_hydrants_m3` the demand at each hydrant, in the order of the columns; `tolerance` the share of
    /// a hydrant's day that may be short; `repeats` where the record is one year that goes round.
    #[must_use]
    pub fn behind_hydrants(
        demand_m3: &[f64],
        at_hydrants_m3: &[&[f64]],
        delivery: &delivery::Columns,
        tolerance: f64,
        repeats: bool,
    ) -> Self {
        let hours = demand_m3.len();
        let demand_by_day = by_day(demand_m3);
        // Each column is rounded to the grid by itself: a day must not lack a step more than its demand.
        let short_m3: Vec<f64> = by_day(&grid::column_m3(&delivery.short_m3()))
            .into_iter()
            .zip(&demand_by_day)
            .map(|(short, demand)| short.min(*demand))
            .collect();
        let drunk_m3: Vec<f64> = demand_by_day.iter().zip(&short_m3).map(|(w, s)| w - s).collect();
        let at_tank = |h: usize| (demand_m3[h] - at_hydrants_m3.iter().map(|w| w[h]).sum::<f64>()).max(0.0);
        let asked: Vec<f64> = (0..hours).map(|h| at_tank(h) + delivery.requested_m3[h]).collect();
        let lack_m3 = delivery.hydrants.iter().map(|h| h.trough_m3).sum::<f64>() - delivery.volumes.start_m3;
        let mut way = Way {
            refills: Some(Refills::new(
                &by_day(&grid::column_m3(&asked)),
                &drunk_m3,
                grid::volume_m3(lack_m3),
                repeats,
            )),
            repeats,
            short_m3,
            hydrant_short: vec![false; hours / HOURS_PER_DAY],
            hydrants: Vec::new(),
        };
        for (hydrant, demand) in delivery.hydrants.iter().zip(at_hydrants_m3) {
            way.hydrants.push(way_days(hydrant, demand, repeats));
            let short: Vec<f64> = (0..hours).map(|h| hydrant.short_m3(h)).collect();
            let days = by_day(demand).into_iter().zip(by_day(&short));
            for (day, (demand_day, short_day)) in days.enumerate() {
                if demand_day <= 0.0 {
                    continue;
                }
                // Thirst below the ledger's grid is rounding, not thirst.
                way.hydrant_short[day] |= short_day > tolerance * demand_day + grid::STEP_M3;
            }
        }
        let at = |number: Option<usize>, demand: &dyn Fn(usize) -> f64| Herd {
            wants: bits_by_day(hours, |h| demand(h) > grid::STEP_M3),
            hydrant: vec![number; hours / HOURS_PER_DAY],
        };
        let mut herds: Vec<Herd> = at_hydrants_m3
            .iter()
            .enumerate()
            .map(|(number, demand)| at(Some(number), &|h| demand[h]))
            .collect();
        herds.push(at(None, &at_tank));
        Self { demand_m3: demand_by_day, groups: Vec::new(), way: Some(way) }.of_herds(&herds)
    }

    /// Each herd has a book of its own, so that it is known on which day it was short. `repeats` where the record is one year
    /// that goes round.
    #[must_use]
    pub fn of_books(books: &[HerdBook], tolerance: f64, repeats: bool) -> Self {
        let days = books.first().map_or(0, |book| book.days.len());
        let sum = |of: &dyn Fn(&BookDay) -> f64| -> Vec<f64> {
            (0..days).map(|day| books.iter().map(|book| of(&book.days[day])).sum()).collect()
        };
        let one_short =
            |day: usize| books.iter().map(|book| &book.days[day]).any(|book| book.is_short(tolerance));
        let way = Way {
            short_m3: sum(&|day| day.short_m3() - day.short_tank_m3),
            hydrant_short: (0..days).map(one_short).collect(),
            hydrants: Vec::new(),
            refills: None,
            repeats,
        };
        let group = |book: &HerdBook| -> Vec<GroupDay> {
            let day = |day: &BookDay| GroupDay {
                counted: if day.demand_m3 > 0.0 { ALL_HOURS } else { 0 },
                own: Some(OwnDay { dry: day.dry, idle: day.idle }),
                ..GroupDay::default()
            };
            book.days.iter().map(day).collect()
        };
        Self {
            demand_m3: sum(&|day| day.demand_m3),
            groups: books.iter().map(group).collect(),
            way: Some(way),
        }
    }

    /// Demand of the stock on a day, m³.
    #[must_use]
    pub fn demand_m3(&self, day: usize) -> f64 {
        self.demand_m3[day]
    }

    /// Whether any stock draws on a day.
    #[must_use]
    pub fn is_stock_day(&self, day: usize) -> bool {
        self.demand_m3[day] > 0.0
    }

    /// Short between tank and animals on a day, m³.
    #[must_use]
    pub fn delivery_shortage_m3(&self, day: usize) -> f64 {
        self.way.as_ref().map_or(0.0, |way| way.short_m3[day])
    }

    /// Whether there are troughs between tank and animals: then the tank may be asked on a day for what was drunk on the
    /// day before.
    #[must_use]
    pub const fn has_troughs(&self) -> bool {
        matches!(&self.way, Some(Way { refills: Some(_), .. }))
    }

    /// What the tank lacked, m³, on days that follow each other in this order, put down to the days of the demand.
    ///
    /// A trough's refill that the tank cannot give is water drunk before: it is short on the day of that drinking. So no day
    /// lacks more than its demand, and the sum stays. Of what is requested on a day the last is short first, as the tank
    /// gives the first first. A refill for a day before the first of these days is left out, unless they are a whole record
    /// that goes round.
    #[must_use]
    pub fn short_on_its_day(&self, mut lacked: Vec<(usize, f64)>) -> Vec<(usize, f64)> {
        let Some(refills) = self.way.as_ref().and_then(|way| way.refills.as_ref()) else { return lacked };
        let n = lacked.len();
        let around = refills.repeats && n == self.demand_m3.len();
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
        let short = tank_short_m3 + self.delivery_shortage_m3(day);
        self.is_stock_day(day)
            && (short > tolerance * self.demand_m3[day]
                || self.way.as_ref().is_some_and(|way| way.hydrant_short[day]))
    }

    /// The same with each herd followed by itself. Without it the stock at the tank is one group, and that at each hydrant.
    #[must_use]
    pub fn of_herds(mut self, herds: &[Herd]) -> Self {
        let way = |number: usize, day: usize| self.way.as_ref()?.hydrants.get(number)?.get(day).copied();
        let mut groups: Vec<Vec<GroupDay>> = Vec::new();
        for herd in herds {
            let days = herd.wants.iter().zip(&herd.hydrant).enumerate().map(|(day, (wants, hydrant))| {
                let there = *wants > 0;
                GroupDay {
                    counted: if there { ALL_HOURS } else { 0 },
                    wants: *wants,
                    way: hydrant.filter(|_| there).and_then(|number| way(number, day)),
                    own: None,
                }
            });
            let days: Vec<GroupDay> = days.collect();
            if days.iter().any(|day| day.counted > 0) && !groups.contains(&days) {
                groups.push(days);
            }
        }
        self.groups = groups;
        self
    }

    /// Number of groups that are followed by themselves.
    pub(crate) fn groups(&self) -> usize {
        self.groups.len()
    }

    /// The groups on a day.
    pub(crate) fn groups_on(&self, day: usize) -> impl Iterator<Item = &GroupDay> {
        self.groups.iter().map(move |group| &group[day])
    }

    /// Whether any group that draws on a day drinks nothing all day.
    pub(crate) fn leaves_one_without(&self, day: usize, tank: &TankDay) -> bool {
        self.groups_on(day).any(|group| group.idle(tank) == ALL_HOURS)
    }

    /// Hours of a day in which any group stands dry; the tank is empty in the hours given as bits.
    pub(crate) fn dry_hours(&self, day: usize, empty: u32) -> u32 {
        let tank = TankDay { empty, ..TankDay::default() };
        self.groups_on(day).fold(0, |all, group| all | group.dry(&tank)).count_ones()
    }
}

/// A hydrant by day. It is dry when thirst is owed there, or when its trough is empty and nothing reaches it in the next hour.
fn way_days(hydrant: &delivery::HydrantColumns, demand_m3: &[f64], repeats: bool) -> Vec<WayDay> {
    let hours = demand_m3.len();
    let owes = |h: usize| hydrant.level_m3[h] < -grid::STEP_M3;
    let reached = |h: usize| hydrant.requested_m3.get(h).is_some_and(|m3| *m3 > 0.0);
    let next = |h: usize| match h + 1 {
        after if after < hours => Some(after),
        _ => repeats.then_some(0),
    };
    let dry = bits_by_day(hours, |h| {
        let empty = hydrant.trough_m3 > 0.0 && hydrant.level_m3[h] <= 0.0;
        owes(h) || empty && !next(h).is_some_and(reached)
    });
    let drink = bits_by_day(hours, |h| hydrant.drunk_m3(h, demand_m3[h]) > grid::STEP_M3);
    // What is booked in its hour is no longer owed.
    let owes = bits_by_day(hours, |h| owes(h) && hydrant.short_m3(h) <= 0.0);
    dry.into_iter().zip(drink).zip(owes).map(|((dry, drink), owes)| WayDay { dry, drink, owes }).collect()
}

/// Bits of each day's hours, the first hour highest.
fn bits_by_day(hours: usize, of: impl Fn(usize) -> bool) -> Vec<u32> {
    let mut days = vec![0_u32; hours / HOURS_PER_DAY];
    for (day, bits) in days.iter_mut().enumerate() {
        for h in day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY {
            *bits = *bits << 1 | u32::from(of(h));
        }
    }
    days
}

/// Sums of each day.
fn by_day(hourly: &[f64]) -> Vec<f64> {
    hourly.chunks(HOURS_PER_DAY).map(|day| day.iter().sum()).collect()
}
