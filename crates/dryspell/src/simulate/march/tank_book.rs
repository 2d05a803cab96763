//! What each of several tanks, and each of several wells, comes to.

use super::stores::{Kept, TankKept};
use super::{Pass, WellLedger};
use crate::fault::Fault;
use crate::residual;
use crate::tank::Settings;

/// What one of several tanks came to. Each term is added up on its own.
///
/// # Equation
/// `start + pumped + inflow + backup + from another tank = drawn + gardens + to other tanks + spilled + evaporated + leaked + end`
#[derive(Debug, Clone, PartialEq)]
pub struct TankBook {
    /// Name in the scheme.
    pub name: String,
    /// Usable volume, m³.
    pub capacity_m3: f64,
    /// The level at which it is full: the float's stop, or the overflow, m³.
    pub full_m3: f64,
    /// In it at the start, m³.
    pub start_m3: f64,
    /// Pumped into it from wells, m³.
    pub pumped_m3: f64,
    /// Let in from inflows, m³.
    pub inflow_m3: f64,
    /// Brought by a backup, m³.
    pub backup_m3: f64,
    /// From another tank, m³.
    pub from_tank_m3: f64,
    /// To animals and hydrants, m³.
    pub drawn_m3: f64,
    /// To gardens, m³.
    pub garden_m3: f64,
    /// To other tanks, m³.
    pub passed_on_m3: f64,
    /// Over the top, m³.
    pub spilled_m3: f64,
    /// To the air, m³.
    pub evaporated_m3: f64,
    /// Through leaks, m³.
    pub leaked_m3: f64,
    /// In it at the end, m³.
    pub end_m3: f64,
    /// Hours that end with it empty.
    pub empty_hours: u32,
    /// Level at each hour's end, m³.
    pub level_m3: Vec<f64>,
    /// From another tank, m³ in each hour.
    pub from_tank_hourly_m3: Vec<f64>,
}

impl TankBook {
    fn of(tank: &Settings, number: usize, pass: &Pass) -> Self {
        let kept = || pass.hours.iter().filter_map(|kept: &Kept| kept.tanks.get(number));
        let sum = |of: fn(&TankKept) -> f64| kept().map(of).sum::<f64>();
        let level_m3: Vec<f64> = kept().map(|kept| kept.hour.level_m3[0].max(0.0)).collect();
        Self {
            name: tank.name.clone(),
            capacity_m3: tank.capacity_m3,
            full_m3: tank.full_m3(),
            start_m3: pass.start.tanks[number].level_m3[0],
            pumped_m3: sum(|kept| kept.hour.pumped_m3[0]),
            inflow_m3: sum(|kept| kept.let_in.valve_m3 + kept.let_in.free_m3),
            backup_m3: sum(|kept| kept.let_in.backup_m3),
            from_tank_m3: sum(|kept| kept.let_in.link_m3),
            drawn_m3: sum(|kept| kept.hour.drawn_m3[0] - kept.passed_on_m3),
            garden_m3: sum(|kept| kept.hour.garden_m3[0]),
            passed_on_m3: sum(|kept| kept.passed_on_m3),
            spilled_m3: sum(|kept| kept.hour.spilled_m3[0]),
            evaporated_m3: sum(|kept| kept.hour.evaporated_m3[0]),
            leaked_m3: sum(|kept| kept.hour.leaked_m3[0]),
            end_m3: pass.end.tanks[number].level_m3[0],
            empty_hours: level_m3.iter().map(|level| u32::from(*level <= 0.0)).sum(),
            from_tank_hourly_m3: kept().map(|kept| kept.let_in.link_m3).collect(),
            level_m3,
        }
    }

    /// The lowest level and the first hour that ends with it.
    #[must_use]
    pub fn lowest(&self) -> Option<(f64, usize)> {
        let lowest = self.level_m3.iter().copied().reduce(f64::min)?;
        Some((lowest, self.level_m3.iter().position(|level| *level <= lowest)?))
    }

    /// What is left over in its ledger, as a share of the largest of what came, what went and what it holds.
    #[must_use]
    pub fn residual(&self) -> f64 {
        let came = self.pumped_m3 + self.inflow_m3 + self.backup_m3 + self.from_tank_m3;
        let went = self.drawn_m3
            + self.garden_m3
            + self.passed_on_m3
            + self.spilled_m3
            + self.evaporated_m3
            + self.leaked_m3;
        let left_over = (self.start_m3 + came - went - self.end_m3).abs();
        let share = left_over / came.max(went).max(self.capacity_m3);
        // A term that is not a number, or endless, must not pass.
        if share.is_finite() { share } else { f64::INFINITY }
    }

    /// The residual, if the ledger closes.
    ///
    /// # Errors
    /// A [`crate::fault::FaultKind::Ledger`] fault when it is above 1e-9.
    pub fn close(&self) -> Result<f64, Fault> {
        let terms = Self { level_m3: Vec::new(), from_tank_hourly_m3: Vec::new(), ..self.clone() };
        residual::close(self.residual(), "ledger", "a tank's ledger does not close", &format!("{terms:?}"))
    }
}

/// What one of several wells came to.
#[derive(Debug, Clone, PartialEq)]
pub struct LiftBook {
    /// Name in the scheme; empty for the scheme's first well.
    pub name: String,
    /// The tank that it fills.
    pub into: String,
    /// What its pump could have lifted, m³.
    pub available_m3: f64,
    /// Pumped into the tank, m³.
    pub pumped_m3: f64,
    /// Its water with the float acting; `None` where each hour of its supply stands alone.
    pub well: Option<WellLedger>,
    /// Pumped, m³ in each hour.
    pub hourly_m3: Vec<f64>,
    /// Whether the float refused some of its water, in each hour.
    pub float_shut: Vec<bool>,
}

/// The books of all tanks, none where there is one.
pub(super) fn tank_books<'a>(tanks: impl Iterator<Item = &'a Settings>, pass: &Pass) -> Vec<TankBook> {
    let several = pass.hours.first().is_some_and(|kept| !kept.tanks.is_empty());
    if !several {
        return Vec::new();
    }
    tanks.enumerate().map(|(number, tank)| TankBook::of(tank, number, pass)).collect()
}

/// Checks that what links took out of tanks is what they brought to others.
pub(super) fn links_cancel(books: &[TankBook]) -> Result<(), Fault> {
    let out: f64 = books.iter().map(|book| book.passed_on_m3).sum();
    let into: f64 = books.iter().map(|book| book.from_tank_m3).sum();
    let share = (out - into).abs() / out.max(1.0);
    let found = format!("{out} m3 left tanks for others, {into} m3 came");
    residual::close(share, "ledger", "the links between tanks do not cancel", &found).map(|_| ())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn book() -> TankBook {
        TankBook {
            name: "hill".into(),
            capacity_m3: 8.0,
            full_m3: 8.0,
            start_m3: 4.0,
            pumped_m3: 3.0,
            inflow_m3: 2.0,
            backup_m3: 1.0,
            from_tank_m3: 5.0,
            drawn_m3: 6.0,
            garden_m3: 0.5,
            passed_on_m3: 2.5,
            spilled_m3: 0.25,
            evaporated_m3: 0.5,
            leaked_m3: 0.25,
            end_m3: 5.0,
            empty_hours: 0,
            level_m3: vec![4.0, 2.0, 5.0],
            from_tank_hourly_m3: vec![5.0, 0.0, 0.0],
        }
    }

    #[test]
    fn each_term_that_is_wrong_is_refused() {
        assert!(book().close().is_ok());
        assert_eq!(book().lowest(), Some((2.0, 1)));
        let broken: [fn(&mut TankBook) -> &mut f64; 12] = [
            |b| &mut b.start_m3,
            |b| &mut b.pumped_m3,
            |b| &mut b.inflow_m3,
            |b| &mut b.backup_m3,
            |b| &mut b.from_tank_m3,
            |b| &mut b.drawn_m3,
            |b| &mut b.garden_m3,
            |b| &mut b.passed_on_m3,
            |b| &mut b.spilled_m3,
            |b| &mut b.evaporated_m3,
            |b| &mut b.leaked_m3,
            |b| &mut b.end_m3,
        ];
        for term in broken {
            for wrong in [1e-6, f64::NAN] {
                let mut book = book();
                *term(&mut book) += wrong;
                assert!(book.close().is_err());
            }
        }
    }

    #[test]
    fn a_link_that_loses_water_is_refused() {
        let (mut from, mut into) = (book(), book());
        (from.from_tank_m3, into.passed_on_m3) = (0.0, 0.0);
        (from.passed_on_m3, into.from_tank_m3) = (5.0, 5.0);
        assert!(links_cancel(&[from.clone(), into.clone()]).is_ok());
        into.from_tank_m3 -= 1e-6;
        assert!(links_cancel(&[from, into]).is_err());
    }
}
