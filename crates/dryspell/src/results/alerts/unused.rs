//! Parts that are declared and do nothing.

use super::list::{Alerts, Severity};
use crate::delivery::{Settings, check, operate};
use crate::draw::GroupKind;
use crate::evaporation::air::pressure_kpa;
use crate::frost::Kind;
use crate::simulate::Run;
use crate::units::{Quantity, System, show};

pub(super) fn add(list: &mut Alerts, run: &Run, system: System) {
    let mut unused = |text: String| list.add(Severity::Input, text);
    for (group, (_, days)) in run.plan.draw.groups.iter().zip(&run.draw.by_group_m3_per_day) {
        if days.iter().all(|m3| *m3 <= 0.0) {
            let what = if group.kind == GroupKind::Stock { "drinks nothing" } else { "draws nothing" };
            unused(format!(
                "{}.{}: {what} on any day of this record; check its count, its dates and what it needs, or leave it out",
                group.kind.table(),
                group.name
            ));
        }
    }
    for garden in run.garden.gardens.iter().filter(|g| g.demand_m3.iter().all(|m3| *m3 <= 0.0)) {
        unused(format!(
            "garden.{}: needs no water on any day of this record; check its area and dates, or leave it out",
            garden.name
        ));
    }
    for part in run.plan.frost.iter().flat_map(|frost| &frost.parts) {
        if part.stops.is_empty() && !matches!(part.kind, Kind::Open(_)) {
            unused(format!(
                "frost.part.{}: stops nothing when it freezes, so it has no effect on days of shortfall; name under \
                 stops what it carries",
                part.name
            ));
        }
    }
    if let Some(settings) = &run.plan.delivery {
        delivery(&mut unused, run, settings, system);
    }
}

/// The largest demand at a hydrant in an hour, m³.
fn peak_m3(run: &Run, hydrant: &str) -> f64 {
    let place = run.draw.places.iter().find(|place| place.name == hydrant);
    place.map_or(0.0, |place| place.demand_m3.iter().copied().fold(0.0, f64::max))
}

fn delivery(unused: &mut dyn FnMut(String), run: &Run, settings: &Settings, system: System) {
    let peaks: Vec<f64> = settings.hydrants.iter().map(|h| peak_m3(run, &h.name)).collect();
    let dry: Vec<String> = settings
        .hydrants
        .iter()
        .zip(&peaks)
        .filter(|(_, peak)| **peak <= 0.0)
        .map(|(h, _)| format!("hydrant.{}", h.name))
        .collect();
    if !dry.is_empty() {
        unused(format!(
            "{}: no stock drinks there on any day of this record; a herd with no at drinks at the tank: give it \
             at = [[\"NAME\", \"01-01 to 12-31\"]], or leave the hydrant out",
            dry.join(", ")
        ));
    }
    if settings.booster.is_none() {
        return;
    }
    let used = peaks.iter().any(|peak| *peak > 0.0);
    if !used {
        unused("booster: nothing drinks from it; leave it out, or give a herd a hydrant with at".to_owned());
        return;
    }
    let air_pa = 1000.0 * pressure_kpa(run.place.elevation_m);
    let Ok((network, _)) = check(settings, air_pa) else { return };
    let open: Vec<bool> = peaks.iter().map(|peak| *peak > 0.0).collect();
    let flows = operate(&network, None, &open).flows_m3_per_h;
    // An hour's peak at the flow of that hour: one is as good as the other as a number.
    if flows.iter().zip(&peaks).all(|(flow, peak)| flow >= peak) {
        let least =
            flows.iter().zip(&open).filter(|(_, o)| **o).map(|(q, _)| *q).fold(f64::INFINITY, f64::min);
        unused(format!(
            "booster: not needed: by gravity alone every hydrant in use gets at least {} with all of them open, enough \
             for its peak hour; try the scheme without it",
            show(least, Quantity::Flow, system)
        ));
    }
}
