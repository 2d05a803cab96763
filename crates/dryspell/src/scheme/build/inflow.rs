//! Inflows besides the pump.

use super::super::reader::{Reader, Section};
use super::draw::one_each;
use super::garden::hours;
use super::tank::AllTanks;
use crate::fault::FaultKind;
use crate::inflow::{Catchment, Kind, Settings, Steady, WhenFull};
use crate::scheme::DefaultUsed;

/// Keys that say where the water comes from, each with those that go with it alone.
const KINDS: [(&str, &[&str]); 3] = [
    ("flow", &["hours", "dates"]),
    ("file", &["column"]),
    ("catchment_area", &["runoff_coefficient", "first_flush"]),
];

/// All inflows, and rain on the open water of those tanks that count it.
pub(super) fn inflows(
    r: &mut Reader<'_>,
    root: &Section<'_>,
    tanks: Option<&AllTanks>,
) -> Option<Vec<Settings>> {
    let tables = r.named_tables(root, "inflow");
    let mut inflows: Vec<_> =
        tables.into_iter().map(|(own, section)| inflow(r, own, &section, tanks)).collect();
    for tank in tanks.iter().flat_map(|all| &all.tanks).filter(|tank| tank.rain) {
        let tank = &tank.settings;
        inflows.push(Some(Settings::open_water(tank.name.clone(), tank.open_surface_m2)));
    }
    inflows.into_iter().collect()
}

fn inflow(r: &mut Reader<'_>, name: String, s: &Section<'_>, tanks: Option<&AllTanks>) -> Option<Settings> {
    let flow_m3_per_h = r.months(s, "flow");
    let hours = r.key(s, "hours", hours);
    let dates = r.dates(s, "dates");
    one_each(r, s, "dates", &dates);
    let hourly = r.hourly(s, "file", "column", &name);
    let area_m2 = r.quantity(s, "catchment_area");
    let runoff_coefficient = r.ratio(s, "runoff_coefficient");
    let first_flush_m = r.quantity(s, "first_flush");
    let into = r.text(s, "into");
    let when_full = r.word(s, "when_full");
    let kind = match kind(r, s)? {
        "file" => Kind::Column(hourly?),
        "catchment_area" => {
            r.missing_here(s, "runoff_coefficient");
            if !s.may_have("first_flush") {
                r.defaults.push(DefaultUsed {
                    key: s.key("first_flush"),
                    value: "none".into(),
                    why: "the beginning of each rain arrives, too".into(),
                });
            }
            let first_flush_m = if s.has("first_flush") { first_flush_m? } else { 0.0 };
            Kind::Rain(Catchment {
                area_m2: area_m2?,
                runoff_coefficient: runoff_coefficient?,
                first_flush_mm: 1000.0 * first_flush_m,
            })
        }
        _ => Kind::Steady(Steady {
            flow_m3_per_h: flow_m3_per_h?,
            hours: if s.has("hours") { hours? } else { [true; 24] },
            dates,
        }),
    };
    let when_full = if when_full? == "shut off" { WhenFull::Refused } else { WhenFull::Spilled };
    Some(Settings { name, kind, tank: tank(r, s, into, tanks)?, when_full })
}

/// The one key that says where the water comes from; faults for none, for two, and for keys that belong to another.
fn kind(r: &mut Reader<'_>, s: &Section<'_>) -> Option<&'static str> {
    let names = KINDS.map(|(key, _)| key);
    let accepted = format!("one of {}", names.join(", "));
    let mut given = KINDS.iter().filter(|(key, _)| s.may_have(key));
    let Some((kind, _)) = given.next() else {
        r.fault_at(
            s,
            names[0],
            FaultKind::MissingKey,
            "nothing says where the water comes from",
            accepted,
            "add flow = \"2 L/min\", or another of them",
        );
        return None;
    };
    let mut sound = true;
    for (other, _) in given {
        r.fault_at(
            s,
            other,
            FaultKind::Contradiction,
            format!("{other} given as well as {kind}"),
            accepted.clone(),
            "keep one of them, or make two inflows of it",
        );
        sound = false;
    }
    for (other, keys) in KINDS.iter().filter(|(other, _)| other != kind) {
        for key in keys.iter().filter(|key| sound && s.has(key)) {
            r.fault_at(
                s,
                key,
                FaultKind::Contradiction,
                format!("{key} has no effect without {other}"),
                format!("{key} only with {other}"),
                format!("remove it, or give {other} in place of {kind}"),
            );
        }
    }
    Some(kind)
}

/// The name of the tank into which it runs: where there are several it has to be said.
fn tank(
    r: &mut Reader<'_>,
    s: &Section<'_>,
    into: Option<String>,
    tanks: Option<&AllTanks>,
) -> Option<String> {
    let all = tanks?;
    if all.tanks.len() > 1 && !s.may_have("into") {
        r.missing_here(s, "into");
        return None;
    }
    Some(all.tanks[all.named(r, s, "into", into, 0)?].settings.name.clone())
}
