//! A delivery made ready for a record: any hour of it can be stepped from any state.

use super::Settings;
use super::battery::{Battery, Energy};
use super::check::check;
use super::ledger::{Drive, Hour, Points, Reach, State, Step, Works};
use super::network::Network;
use super::operate::Lift;
use super::run::{Inputs, lengths};
use crate::calendar::HOURS_PER_DAY;
use crate::draw::Carry;
use crate::fault::Faults;
use crate::frost::daily_means;

/// Pipes, booster and battery on the hours of a record.
#[derive(Debug)]
pub(crate) struct Ready<'a> {
    pub(super) network: Network,
    pub(super) lift: Option<Lift>,
    pub(super) battery: Option<&'a Battery>,
    standby_w: f64,
    trough_m3: Vec<f64>,
    carry: Carry,
    demand_m3: &'a [&'a [f64]],
    frozen: &'a [&'a [bool]],
    panel_w: Vec<f64>,
    pub(super) battery_degc: Vec<f64>,
    points: Points,
}

impl<'a> Ready<'a> {
    /// Checks the settings and the columns that drive them.
    pub(crate) fn new(settings: &'a Settings, inputs: &Inputs<'a>) -> Result<Self, Faults> {
        let (network, lift) = check(settings, inputs.air_pa)?;
        lengths(settings, inputs, inputs.calendar.hours())?;
        let booster = settings.booster.as_ref();
        let handed_on = |efficiency: f64| inputs.panel_w.iter().map(|w| w.max(0.0) * efficiency).collect();
        Ok(Self {
            network,
            lift,
            battery: booster.map(|b| &b.battery),
            standby_w: booster.map_or(0.0, |b| b.standby_w),
            trough_m3: settings.hydrants.iter().map(|h| h.trough_m3).collect(),
            carry: settings.carry,
            demand_m3: inputs.demand_m3,
            frozen: inputs.frozen,
            panel_w: booster.map_or_else(Vec::new, |b| handed_on(b.controller_efficiency)),
            battery_degc: match booster.map(|b| b.battery_degc) {
                None => Vec::new(),
                Some(Some(degc)) => vec![degc; inputs.air_degc.len()],
                Some(None) => daily_means(inputs.air_degc).iter().flat_map(|t| [*t; HOURS_PER_DAY]).collect(),
            },
            points: Points::new(),
        })
    }

    /// What does not change, what drives it, and the operating points that are known already.
    pub(super) fn parts(&mut self) -> (Works<'_>, Drive<'_>, &mut Points) {
        let works = Works {
            network: &self.network,
            lift: self.lift.as_ref(),
            battery: self.battery,
            standby_w: self.standby_w,
            trough_m3: &self.trough_m3,
            carry: self.carry,
        };
        let drive = Drive {
            demand_m3: self.demand_m3,
            frozen: self.frozen,
            panel_w: &self.panel_w,
            battery_degc: &self.battery_degc,
        };
        (works, drive, &mut self.points)
    }

    /// Troughs and battery full.
    pub(crate) fn full(&mut self) -> State {
        self.parts().0.full()
    }

    /// Whether the way to hydrant `i` is frozen in hour `h`.
    pub(crate) fn is_frozen(&self, i: usize, h: usize) -> bool {
        self.frozen.get(i).is_some_and(|frozen| frozen[h])
    }

    /// Fills the troughs for a step, once the demand is taken from their levels.
    pub(crate) fn fill(
        &mut self,
        reach: Reach,
        step: &Step<'_>,
        state: &mut State,
        energy: &mut Energy,
    ) -> Hour {
        let reach = if reach == Reach::Battery && self.battery.is_none() { Reach::Pipes } else { reach };
        let (works, drive, points) = self.parts();
        works.fill(reach, &drive, step, state, points, energy)
    }
}
