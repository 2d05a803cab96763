//! How long several tanks last when no water comes: all of them drained together, links on.
//!
//! # Equation
//! Hour by hour from given levels, with nothing from pumps, inflows or a backup: each tank asks the one that feeds it for what it lacks
//! below its stop level; animals and hydrants come before links. It ends in the first hour in which the herds at a tank need more than
//! it has, that hour taken in proportion.
//!
//! # Validity
//! Herds' own demand, extras and losses, whatever the delivery passes on; no carry-over of thirst, no tolerance. A transfer pump that
//! needs sun stands still. In a year that repeats a start that lasts a whole year has no end.

use super::march::Inputs;
use crate::calendar::{Calendar, HOURS_PER_DAY};
use crate::grid;
use crate::link::Tree;
use crate::plan::Plan;
use crate::reliability::autonomy::{FullTank, InService, draws_within_a_day};

/// All that drains the tanks.
pub(super) struct Drain {
    tree: Tree,
    full_m3: Vec<f64>,
    /// Demand and losses of each, m³ in each hour.
    demand_m3: Vec<Vec<f64>>,
    losses_m3: Vec<Vec<f64>>,
    /// Whether stock drinks at it.
    pub(super) serves_stock: Vec<bool>,
    /// Most that the link into each passes, m³ in each hour; nothing where no tank feeds it or where it needs sun.
    most_m3: Vec<Vec<f64>>,
    /// Whether stock draws in the 24 hours from each hour.
    draws: Vec<bool>,
    hours: usize,
    wraps: bool,
}

/// When it ended.
enum End {
    /// After so many hours.
    After(f64),
    /// Not before the hours that were asked about.
    Later,
    /// Not within the record, or within a year that repeats.
    Outlasts,
}

impl Drain {
    /// Makes several tanks ready; `None` for one.
    pub(super) fn new(inputs: &Inputs, plan: &Plan) -> Option<Self> {
        let several = inputs.several.as_ref().filter(|_| !plan.other_tanks.is_empty())?;
        let (demand_m3, serves_stock) = inputs.demand_of_tanks(plan);
        let hours = demand_m3.first()?.len();
        let wraps = inputs.calendar.is_one_year();
        let most_m3 = several.links.iter().map(|link| match link {
            Some(link) if !link.needs_sun => {
                let mut most_m3 = link.most_m3.clone();
                for (most_m3, frozen) in most_m3.iter_mut().zip(&link.frozen) {
                    if *frozen && inputs.frozen.is_some() {
                        *most_m3 = 0.0;
                    }
                }
                most_m3
            }
            _ => vec![0.0; hours],
        });
        let losses = several.tanks.iter().map(|tank| {
            tank.evaporation_m3.iter().zip(&tank.leak_m3).map(|(air, leak)| air + leak).collect()
        });
        let mut stock_m3 = vec![0.0; hours];
        for (demand, _) in demand_m3.iter().zip(&serves_stock).filter(|(_, serves)| **serves) {
            stock_m3.iter_mut().zip(demand).for_each(|(sum, m3)| *sum += m3);
        }
        Some(Self {
            tree: several.tree.clone(),
            full_m3: plan.tanks().map(|tank| grid::volume_m3(tank.full_m3())).collect(),
            most_m3: most_m3.collect(),
            losses_m3: losses.collect(),
            draws: draws_within_a_day(&stock_m3, wraps),
            demand_m3,
            serves_stock,
            hours,
            wraps,
        })
    }

    /// Drains the tanks from the start of an hour, no further than `until_h`.
    fn lasts_from(&self, start: usize, levels_m3: &mut [f64], asks_m3: &mut [f64], until_h: f64) -> End {
        let mut lasted_h = 0.0;
        for passed in 0..self.hours {
            if lasted_h >= until_h {
                return End::Later;
            }
            let h = start + passed;
            let h = if h < self.hours {
                h
            } else if self.wraps {
                h - self.hours
            } else {
                return End::Outlasts;
            };
            // Requests go up.
            asks_m3.fill(0.0);
            for t in self.tree.order.iter().rev().copied() {
                let lacks_m3 = self.full_m3[t] - levels_m3[t] + self.demand_m3[t][h] + asks_m3[t];
                let Some(from) = self.tree.from[t] else { continue };
                let most_m3 = lacks_m3.max(0.0).min(self.most_m3[t][h]);
                // A tank keeps what it asks for in the place of its own, its feeder the sum.
                asks_m3[t] = most_m3;
                asks_m3[from] += most_m3;
            }
            // Water comes down.
            for t in self.tree.order.iter().copied() {
                let demand_m3 = self.demand_m3[t][h];
                if demand_m3 > levels_m3[t] && self.serves_stock[t] {
                    return End::After(lasted_h + levels_m3[t].max(0.0) / demand_m3);
                }
                levels_m3[t] = (levels_m3[t] - demand_m3).max(0.0);
                let fed = &self.tree.feeds[t];
                let asked_m3: f64 = fed.iter().map(|fed| asks_m3[*fed]).sum();
                if asked_m3 > 0.0 {
                    let share = (levels_m3[t] / asked_m3).min(1.0);
                    for fed in fed {
                        levels_m3[*fed] += asks_m3[*fed] * share;
                    }
                    levels_m3[t] -= asked_m3 * share;
                }
                levels_m3[t] = (levels_m3[t] - self.losses_m3[t][h]).max(0.0);
            }
            lasted_h += 1.0;
        }
        End::Outlasts
    }

    /// The worst start hour of each month and of the year, with all tanks full.
    pub(super) fn full_tank(&self, calendar: &Calendar) -> FullTank {
        let mut worst_h = [f64::INFINITY; 12];
        let mut worst_start = [0; 12];
        let mut left_out = 0;
        let (mut levels, mut asks) = (self.full_m3.clone(), vec![0.0; self.full_m3.len()]);
        for start in (0..self.hours).filter(|start| self.draws[*start]) {
            let month = usize::from(calendar.day_of(start).month) - 1;
            levels.copy_from_slice(&self.full_m3);
            match self.lasts_from(start, &mut levels, &mut asks, worst_h[month]) {
                End::After(hours) if hours < worst_h[month] => {
                    (worst_h[month], worst_start[month]) = (hours, start);
                }
                End::Outlasts => left_out += 1,
                End::After(_) | End::Later => {}
            }
        }
        let outlasts = |month: usize| {
            let lasts = worst_h[month];
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a cast ends at 0")]
            let until = if lasts.is_finite() { libm::ceil(lasts) as usize } else { 0 };
            (worst_start[month]..worst_start[month] + until.min(self.hours))
                .any(|h| !self.draws[h % self.hours])
        };
        FullTank::of_months(
            worst_h.map(|hours| hours.is_finite().then_some(hours / HOURS_PER_DAY as f64)),
            std::array::from_fn(outlasts),
            left_out,
        )
    }

    /// Days that the tanks last at the levels that they had at the start of each hour.
    pub(super) fn in_service(&self, level_m3: impl Fn(usize, usize) -> f64) -> Option<InService> {
        let mut days = Vec::new();
        let (mut levels, mut asks) = (self.full_m3.clone(), vec![0.0; self.full_m3.len()]);
        for start in (0..self.hours).filter(|start| self.draws[*start]) {
            levels.iter_mut().enumerate().for_each(|(t, level)| *level = level_m3(t, start).max(0.0));
            if let End::After(hours) = self.lasts_from(start, &mut levels, &mut asks, f64::INFINITY) {
                days.push(hours / HOURS_PER_DAY as f64);
            }
        }
        InService::of_days(days)
    }
}
