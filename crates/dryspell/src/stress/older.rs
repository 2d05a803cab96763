//! A scheme after some years.

use crate::ageing::Ageing;
use crate::array;
use crate::draw::GroupKind;
use crate::plan::Plan;

/// The scheme after so many years.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | r | rate of [`Ageing`] | 1/year | 0 to 0.1 |
/// | n | `years` | years | ≥ 0 |
///
/// # Equation
/// Modules and pump have `1 − r·n` of their current and flow left, the herd has `1 + r·n` of its heads.
///
/// # Validity
/// Even wear of the pump's flow ([`crate::pump::Settings::worn`]); a pump of a user's own does not wear. Battery, pipes and well stay.
///
/// # References
/// See [`Ageing::default`].
#[must_use]
pub fn older(plan: &Plan, ageing: &Ageing, years: u32) -> Plan {
    let lost = |rate: f64| (rate * f64::from(years)).min(1.0);
    let mut aged = plan.clone();
    let fade = |settings: &mut array::Settings| {
        for array in &mut settings.arrays {
            array.mismatch = 1.0 - (1.0 - array.mismatch) * (1.0 - lost(ageing.modules));
        }
    };
    fade(&mut aged.array);
    if let Some(booster) = aged.delivery.as_mut().and_then(|delivery| delivery.booster.as_mut()) {
        fade(&mut booster.panel);
    }
    aged.lifts.iter_mut().for_each(|lift| fade(&mut lift.array));
    for supply in std::iter::once(&mut aged.supply).chain(aged.lifts.iter_mut().map(|lift| &mut lift.supply))
    {
        if let Some(worn) = supply.pump.worn(lost(ageing.pump)) {
            supply.pump = worn;
        }
    }
    more_heads(&mut aged, ageing.herd * f64::from(years));
    aged
}

/// Heads of the herd more by a share.
pub(super) fn more_heads(plan: &mut Plan, share: f64) {
    for group in plan.draw.groups.iter_mut().filter(|group| group.kind != GroupKind::Extra) {
        group.count *= 1.0 + share;
        group.counts.iter_mut().for_each(|(_, count)| *count *= 1.0 + share);
    }
}
