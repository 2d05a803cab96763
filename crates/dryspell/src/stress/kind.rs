//! The stresses that a scheme is put to.

use super::older::{more_heads, older};
use crate::ageing::Ageing;
use crate::draw::GroupKind;
use crate::plan::Plan;
use crate::record::Record;
use crate::simulate::Run;
use crate::supply;

/// What is done to a scheme.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Pump or controller out of work for so many days, from the day on which it hurts most.
    PumpOut,
    /// All panels covered for so many days, those of the booster too.
    PanelsCovered,
    /// More heads in the herd.
    MoreHeads,
    /// Less sun in every hour.
    LessSun,
    /// The well yields less.
    LowerYield,
    /// The static water level lies deeper all year.
    DeeperWater,
    /// Strings lost of the first array, or modules of its only string.
    FewerModules,
    /// Modules older.
    OlderModules,
    /// Pump older.
    OlderPump,
    /// Modules, pump and herd older together.
    AllOlder,
}

/// Longest outage tried, days.
const MOST_DAYS: f64 = 60.0;
/// Most heads more, %.
const MOST_HEADS_PERCENT: f64 = 300.0;
/// Sun or yield less at most, %.
const MOST_LESS_PERCENT: f64 = 95.0;
/// Water deeper at most, m.
const MOST_DEEPER_M: f64 = 100.0;
/// Oldest that is tried, years.
const MOST_YEARS: f64 = 40.0;

impl Kind {
    /// All of them, in the order of the page.
    pub const ALL: [Self; 10] = [
        Self::PumpOut,
        Self::PanelsCovered,
        Self::MoreHeads,
        Self::LessSun,
        Self::LowerYield,
        Self::DeeperWater,
        Self::FewerModules,
        Self::OlderModules,
        Self::OlderPump,
        Self::AllOlder,
    ];

    /// In words.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::PumpOut => "pump or controller out of work",
            Self::PanelsCovered => "panels covered",
            Self::MoreHeads => "more heads",
            Self::LessSun => "less sun",
            Self::LowerYield => "lower yield of the well",
            Self::DeeperWater => "static level lower",
            Self::FewerModules => "strings or modules lost",
            Self::OlderModules => "modules older",
            Self::OlderPump => "pump older",
            Self::AllOlder => "modules, pump and herd older",
        }
    }

    /// Unit of its amount.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::PumpOut | Self::PanelsCovered => "days",
            Self::MoreHeads | Self::LessSun | Self::LowerYield => "%",
            Self::DeeperWater => "m",
            Self::FewerModules => "",
            Self::OlderModules | Self::OlderPump | Self::AllOlder => "years",
        }
    }

    /// Step of its amount.
    #[must_use]
    pub const fn step(self) -> f64 {
        match self {
            Self::DeeperWater => 0.5,
            _ => 1.0,
        }
    }

    /// The most of it that is tried on a scheme; `None` where it does not fit.
    #[must_use]
    pub fn most(self, run: &Run) -> Option<f64> {
        let plan = &run.plan;
        let pumps = plan.columns.available_m3.is_none();
        #[expect(clippy::cast_precision_loss, reason = "days of a record")]
        let record_days = run.days.len() as f64;
        match self {
            Self::PumpOut => Some(MOST_DAYS.min(record_days)),
            // Without panels of its own to feed, a booster or none, it is what a pump out of work is.
            Self::PanelsCovered => {
                let booster = plan.delivery.as_ref().and_then(|delivery| delivery.booster.as_ref());
                (pumps && booster.is_some()).then_some(MOST_DAYS.min(record_days))
            }
            Self::MoreHeads => {
                let herd = |group: &crate::draw::Group| group.kind != GroupKind::Extra;
                (plan.columns.demand_m3.is_none() && plan.draw.groups.iter().any(herd))
                    .then_some(MOST_HEADS_PERCENT)
            }
            Self::LessSun => pumps.then_some(MOST_LESS_PERCENT),
            Self::LowerYield => {
                (pumps && plan.supply.well.yield_m3_per_h.is_some()).then_some(MOST_LESS_PERCENT)
            }
            Self::DeeperWater => pumps.then_some(MOST_DEEPER_M),
            Self::FewerModules => {
                let array = plan.array.arrays.first().filter(|_| pumps)?;
                let pieces = if array.parallel > 1 { array.parallel } else { array.series };
                (pieces > 1).then_some(f64::from(pieces - 1))
            }
            Self::OlderModules => pumps.then_some(MOST_YEARS),
            Self::OlderPump => (pumps && plan.supply.pump.worn(0.0).is_some()).then_some(MOST_YEARS),
            Self::AllOlder => Some(MOST_YEARS),
        }
    }

    /// The scheme, and the record where it changes, with so many steps of it. Outages are days of the run and change neither.
    pub(super) fn on(
        self,
        plan: &Plan,
        record: &Record,
        steps: u32,
        ageing: &Ageing,
    ) -> (Plan, Option<Record>) {
        let amount = self.step() * f64::from(steps);
        let share = amount / 100.0;
        let alone = |ageing: &Ageing| older(plan, ageing, steps);
        let none = Ageing { modules: 0.0, pump: 0.0, herd: 0.0 };
        let mut changed = plan.clone();
        match self {
            Self::PumpOut | Self::PanelsCovered => {}
            Self::MoreHeads => more_heads(&mut changed, share),
            Self::LessSun => return (changed, Some(record.with_light(1.0 - share))),
            Self::LowerYield => wells(&mut changed, |supply| {
                if let Some(q) = &mut supply.well.yield_m3_per_h {
                    *q *= 1.0 - share;
                }
            }),
            Self::DeeperWater => {
                wells(&mut changed, |supply| {
                    supply.well.static_level_m.iter_mut().for_each(|z| *z += amount)
                });
            }
            Self::FewerModules => {
                if let Some(array) = changed.array.arrays.first_mut() {
                    let of = if array.parallel > 1 { &mut array.parallel } else { &mut array.series };
                    *of = of.saturating_sub(steps).max(1);
                }
            }
            Self::OlderModules => changed = alone(&Ageing { modules: ageing.modules, ..none }),
            Self::OlderPump => changed = alone(&Ageing { pump: ageing.pump, ..none }),
            Self::AllOlder => changed = alone(ageing),
        }
        (changed, None)
    }
}

/// Does something to every well.
fn wells(plan: &mut Plan, change: impl Fn(&mut supply::Settings)) {
    change(&mut plan.supply);
    plan.lifts.iter_mut().for_each(|lift| change(&mut lift.supply));
}
