//! Water that is brought when the tank is low.

use super::super::reader::{Reader, Section};
use super::draw::one_each;
use super::tank::AllTanks;
use crate::fault::FaultKind;
use crate::inflow::{Backup, Bringing, Cost};
use crate::units::{Quantity, show};

/// `Some(None)` where the scheme has none.
pub(super) fn backup(
    r: &mut Reader<'_>,
    root: &Section<'_>,
    tanks: Option<(&AllTanks, usize)>,
) -> Option<Option<Backup>> {
    if !root.may_have("backup") {
        return Some(None);
    }
    let s = r.table(root, "backup")?;
    let name = r.text(&s, "name");
    let flow = r.quantity(&s, "flow");
    let load = r.quantity(&s, "load");
    let starts_below = r.quantity(&s, "starts_below");
    let stops_at = r.quantity(&s, "stops_at");
    let delay_h = r.quantity(&s, "delay");
    let daily_limit = r.quantity(&s, "daily_limit");
    let dates = r.dates(&s, "dates");
    one_each(r, &s, "dates", &dates);
    let into = r.text(&s, "into");
    let into = tanks.and_then(|(all, pumped)| all.named(r, &s, "into", into, pumped));
    let tank = into.and_then(|into| Some(&tanks?.0.tanks[into].settings));
    let sound = match (starts_below, stops_at, tank) {
        (Some(low), Some(high), Some(tank)) => levels(r, &s, (low, high), tank.full_m3()),
        _ => None,
    };
    let [per_m3, per_hour, per_load] =
        ["cost_per_m3", "cost_per_hour", "cost_per_load"].map(|key| r.number(&s, key).unwrap_or(0.0));
    let bringing = match (s.may_have("flow"), s.may_have("load")) {
        (true, false) => Bringing::Flow(flow?),
        (false, true) => Bringing::Load(load?),
        (both, _) => {
            let (kind, found) = if both {
                (FaultKind::Contradiction, "load given as well as flow")
            } else {
                (FaultKind::MissingKey, "nothing says how the backup brings its water")
            };
            let way_out = "keep flow for a generator or a main, load for hauled water";
            r.fault_at(&s, if both { "load" } else { "flow" }, kind, found, "either flow or load", way_out);
            return None;
        }
    };
    let found = Backup {
        name: name.unwrap_or_else(|| "backup".into()),
        bringing,
        tank: if into? == tanks?.1 { None } else { tank.map(|tank| tank.name.clone()) },
        starts_below_m3: starts_below?,
        stops_at_m3: stops_at?,
        delay_h: delay_h?,
        most_m3_per_day: if s.has("daily_limit") { Some(daily_limit?) } else { None },
        dates,
        cost: Cost { per_m3, per_hour, per_load },
    };
    sound.map(|()| Some(found))
}

/// Called below where it stops, and stopped where the float would stop the pump at the latest.
fn levels(r: &mut Reader<'_>, s: &Section<'_>, (low, high): (f64, f64), full_m3: f64) -> Option<()> {
    let text = |m3| show(m3, Quantity::Volume, r.system);
    if high <= low {
        let found = format!("stops_at of {} with starts_below of {}", text(high), text(low));
        r.fault_at(
            s,
            "stops_at",
            FaultKind::Contradiction,
            found,
            "stops_at above starts_below",
            "raise stops_at or lower starts_below",
        );
        return None;
    }
    if high > full_m3 {
        let found = format!("stops_at of {} in a tank that is full at {}", text(high), text(full_m3));
        let accepted = format!("stops_at at most {}", text(full_m3));
        r.fault_at(s, "stops_at", FaultKind::Contradiction, found, accepted, "lower stops_at");
        return None;
    }
    Some(())
}
