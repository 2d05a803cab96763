//! The tanks of a plan: the one that the pump fills, and others beside it.

use std::borrow::Cow;

use super::Plan;
use crate::tank::Settings;

impl Plan {
    /// All tanks: first the one that the pump fills, then the others in their order.
    pub fn tanks(&self) -> impl Iterator<Item = &Settings> {
        std::iter::once(&self.tank).chain(&self.other_tanks)
    }

    /// Number of tanks.
    #[must_use]
    pub fn tank_count(&self) -> usize {
        1 + self.other_tanks.len()
    }

    /// Whether there is one tank that one pump fills.
    #[must_use]
    pub fn is_one_tank(&self) -> bool {
        self.other_tanks.is_empty() && self.lifts.is_empty()
    }

    /// The number of a tank by its name; nothing named is the one that the pump fills. `None` where no tank has the name.
    #[must_use]
    pub fn tank_number(&self, name: Option<&str>) -> Option<usize> {
        name.map_or(Some(0), |name| self.tanks().position(|tank| tank.name == name))
    }

    /// Their names.
    pub(crate) fn tank_names(&self) -> Vec<&str> {
        self.tanks().map(|tank| tank.name.as_str()).collect()
    }

    /// The tank, or all tanks together: sums of what they hold.
    #[must_use]
    pub fn all_tanks(&self) -> Cow<'_, Settings> {
        if self.other_tanks.is_empty() {
            return Cow::Borrowed(&self.tank);
        }
        let sum = |of: fn(&Settings) -> f64| self.tanks().map(of).sum::<f64>();
        Cow::Owned(Settings {
            name: self.tank_names().join(" + "),
            capacity_m3: sum(|tank| tank.capacity_m3),
            float_stop_m3: self
                .tanks()
                .any(|tank| tank.float_stop_m3.is_some())
                .then(|| sum(Settings::full_m3)),
            float_start_m3: None,
            leak_m3_per_h: sum(|tank| tank.leak_m3_per_h),
            open_surface_m2: sum(|tank| tank.open_surface_m2),
            garden_reserve_m3: sum(|tank| tank.garden_reserve_m3),
            ..self.tank.clone()
        })
    }

    /// The same plan with one of its tanks exchanged for another of the same name.
    #[must_use]
    pub fn with_tank(&self, tank: Settings) -> Self {
        let mut plan = self.clone();
        match plan.other_tanks.iter_mut().find(|other| other.name == tank.name) {
            Some(other) => *other = tank,
            None => plan.tank = tank,
        }
        plan
    }
}
