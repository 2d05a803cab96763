//! From the tank to the hydrants: pipes, troughs, booster, battery.

use super::super::reader::{Reader, Section, Value};
use super::tank::AllTanks;
use super::{array, water};
use crate::array::snow::Snow;
use crate::delivery::{
    self, Battery, BoosterRow, BoosterSettings, Hydrant, OtherLine, PressureTank, RateLaw, Settings,
};
use crate::fault::FaultKind;
use crate::nearest::{nearest, some_of};
use crate::pipe::Run;
use crate::scheme::DefaultUsed;
use crate::scheme::keys::{KeyDoc, Kind, Range};
use crate::units::Quantity;
use crate::units::table::METRE_OF_WATER_PA;
use crate::{draw, scheme};

/// Peukert's exponent where nothing is said: lead-acid, from memory.
const PEUKERT: f64 = 1.2;
/// State of charge by which a battery must rise above the cut-out before the pump may run again.
const RECONNECT_ABOVE: f64 = 0.1;
/// How far the pre-charge lies below the cut-in where nothing is said, Pa: 2 psi.
const PRECHARGE_BELOW_PA: f64 = 13_789.5;
/// Pressure of the air at sea level, Pa, for what is checked before the place is known.
const SEA_LEVEL_PA: f64 = 101_325.0;

/// What other tables say that the delivery needs.
#[derive(Clone, Copy)]
pub(super) struct OtherTables<'a> {
    pub(super) water_degc: Option<f64>,
    pub(super) snow: Option<&'a Snow>,
    pub(super) tanks: Option<&'a AllTanks>,
    /// The number of the tank that the pump fills.
    pub(super) pumped: usize,
}

/// The delivery: `Some(None)` where the scheme has none.
pub(super) fn delivery(
    r: &mut Reader<'_>,
    root: &Section<'_>,
    beside: OtherTables<'_>,
) -> Option<Option<Settings>> {
    let shared: Vec<_> =
        r.named_tables(root, "delivery").into_iter().map(|(name, s)| run(r, name, &s)).collect();
    let hydrants: Vec<_> =
        r.named_tables(root, "hydrant").into_iter().map(|(name, s)| hydrant(r, name, &s, beside)).collect();
    let booster = root.may_have("booster").then(|| r.table(root, "booster")).flatten();
    let tank = match &booster {
        Some(s) => {
            let named = r.text(s, "tank");
            from_tank(r, s, named, beside)
        }
        None => Some(None),
    };
    let booster = booster.map(|s| booster_of(r, &s, beside.snow));
    if hydrants.is_empty() && !root.may_have("hydrant") {
        for table in ["delivery", "booster"] {
            if root.has(table) {
                r.fault_at(
                    root,
                    table,
                    FaultKind::MissingKey,
                    format!("[{table}] without a hydrant"),
                    "at least one table [hydrant.NAME] for it to serve",
                    "add [hydrant.trough] with its height and pipe, or remove the table",
                );
            }
        }
        return Some(None);
    }
    let shared: Option<Vec<_>> = shared.into_iter().collect();
    let hydrants: Option<Vec<_>> = hydrants.into_iter().collect();
    let booster = match booster {
        None => Some(None),
        Some(found) => found.map(Some),
    };
    let settings = Settings {
        shared: shared?,
        hydrants: hydrants?,
        booster: booster?,
        friction: beside.tanks?.friction,
        water_degc: beside.water_degc?,
        carry: beside.tanks?.tanks.first()?.settings.carry,
        tank: tank?,
        other_lines: other_lines(beside),
    };
    if let Err(faults) = delivery::check(&settings, SEA_LEVEL_PA) {
        r.place_faults(faults);
        return None;
    }
    Some(Some(settings))
}

/// Whether every place of the herd has its hydrant.
pub(super) fn check_places(
    r: &mut Reader<'_>,
    draw: &draw::Settings,
    delivery: Option<&Settings>,
    tanks: &[&str],
) {
    let Some(delivery) = delivery else { return };
    let names: Vec<&str> = delivery.hydrants.iter().map(|h| h.name.as_str()).collect();
    for group in &draw.groups {
        for (row, (place, _)) in group.places.iter().enumerate() {
            if names.contains(&place.as_str()) || tanks.len() > 1 && tanks.contains(&place.as_str()) {
                continue;
            }
            let way_out = nearest(place, names.iter().copied()).map_or_else(
                || format!("add [hydrant.{place}], or correct the name"),
                |near| format!("did you mean {near}?"),
            );
            let key = format!("{}.{}.at[{}]", group.kind.table(), group.name, row + 1);
            let at = scheme::place_in(&r.places, &key);
            let location = at.unwrap_or_else(|| crate::fault::Location::key(&key));
            r.faults.push(crate::fault::Fault {
                location,
                kind: FaultKind::UnknownWord,
                found: format!("the place \"{place}\" has no hydrant"),
                accepted: format!("a hydrant of the scheme: {}", some_of(&names)),
                way_out,
            });
        }
    }
}

/// A run of pipe that no water of the well stands in.
fn run(r: &mut Reader<'_>, name: String, s: &Section<'_>) -> Option<Run> {
    for key in ["weep_hole", "weep_hole_depth", "weep_hole_coefficient", "drains_back"] {
        if s.has(key) {
            r.fault_at(
                s,
                key,
                FaultKind::Contradiction,
                format!("{key} in a pipe after the tank"),
                format!("{key} only in the pipe from the well, [pipe.NAME]"),
                "remove it; say under [frost.part.NAME] how this pipe drains",
            );
        }
    }
    water::run(r, name, s)
}

/// The pipes that hydrants at other tanks share.
fn other_lines(beside: OtherTables<'_>) -> Vec<OtherLine> {
    let tanks = beside.tanks.iter().flat_map(|all| &all.tanks).filter(|tank| !tank.shared.is_empty());
    tanks.map(|tank| OtherLine { tank: tank.settings.name.clone(), shared: tank.shared.clone() }).collect()
}

/// The name of a tank, or nothing for the tank that the pump fills.
fn from_tank(
    r: &mut Reader<'_>,
    s: &Section<'_>,
    named: Option<String>,
    beside: OtherTables<'_>,
) -> Option<Option<String>> {
    let all = beside.tanks?;
    let number = all.named(r, s, "tank", named, beside.pumped)?;
    Some((number != beside.pumped).then(|| all.tanks[number].settings.name.clone()))
}

fn hydrant(r: &mut Reader<'_>, name: String, s: &Section<'_>, beside: OtherTables<'_>) -> Option<Hydrant> {
    let named = r.text(s, "tank");
    let tank = from_tank(r, s, named, beside);
    if let Some(all) = beside.tanks.filter(|all| all.tanks.len() > 1 && all.names().contains(&name.as_str()))
    {
        let path = s.path.clone();
        r.fault(
            &path,
            s.at(),
            FaultKind::Contradiction,
            format!("a hydrant and a tank with the name \"{name}\""),
            format!("a name beside those of the tanks: {}", some_of(&all.names())),
            "rename one of them: herds name the place at which they drink",
        );
    }
    if matches!(name.as_str(), "supply" | "delivery") {
        let path = s.path.clone();
        r.fault(
            &path,
            s.at(),
            FaultKind::UnknownWord,
            format!("a hydrant with the name \"{name}\""),
            "any other name: under [frost.part.NAME] this word means supply or delivery",
            "give it the name of its paddock",
        );
    }
    let height_m = r.quantity(s, "height");
    let pressure_pa = r.quantity(s, "pressure");
    let trough_m3 = r.quantity(s, "trough");
    let open_surface = r.quantity(s, "open_surface");
    let overflow = r.quantity(s, "overflow");
    let walk_m = r.quantity(s, "walking_distance");
    let runs: Vec<_> = r.named_tables(s, "pipe").into_iter().map(|(name, s)| run(r, name, &s)).collect();
    if runs.is_empty() && !s.may_have("pipe") {
        r.fault_at(
            s,
            "pipe",
            FaultKind::MissingKey,
            "this table is missing",
            "needed: at least one run of pipe to the hydrant, however short",
            format!("add [hydrant.{name}.pipe.branch] with length, bore and material"),
        );
        return None;
    }
    let runs: Option<Vec<_>> = runs.into_iter().collect();
    Some(Hydrant {
        name,
        runs: runs?,
        height_m: height_m?,
        pressure_m: pressure_pa? / METRE_OF_WATER_PA,
        trough_m3: trough_m3?,
        walk_m,
        open_surface_m2: open_surface?,
        overflow_m3_per_h: overflow.unwrap_or(0.0),
        tank: tank?,
    })
}

fn booster_of(r: &mut Reader<'_>, s: &Section<'_>, snow: Option<&Snow>) -> Option<BoosterSettings> {
    r.labels(s, &["make", "model"]);
    let voltage = r.quantity(s, "voltage");
    let rows = r.key(s, "table", rows);
    let controller = r.quantity(s, "controller_efficiency");
    let standby = r.quantity(s, "standby");
    let battery_section = r.table(s, "battery");
    let battery = battery_section.as_ref().and_then(|b| battery(r, b, voltage));
    let degc = battery_section.as_ref().and_then(|b| r.quantity(b, "temperature"));
    let tank = if s.may_have("pressure_tank") {
        r.table(s, "pressure_tank").map(|t| pressure_tank(r, &t))
    } else {
        None
    };
    // The panels' defaults only where there is a table: a booster without one is a fault.
    let panel = if s.may_have("panel") {
        r.table(s, "panel").and_then(|p| array::one(r, "booster".into(), &p))
    } else {
        r.fault_at(
            s,
            "panel",
            FaultKind::MissingKey,
            "this table is missing",
            "needed: the panels that charge the booster's battery",
            "add [booster.panel] with tilt, azimuth and series, and [booster.panel.module]",
        );
        None
    };
    let tank = match tank {
        None => Some(None),
        Some(found) => found.map(Some),
    };
    Some(BoosterSettings {
        rows: rows?,
        voltage_v: voltage?,
        tank: tank?,
        battery: battery?,
        panel: crate::array::Settings {
            arrays: vec![panel?],
            terminals: crate::array::Terminals::Common,
            snow: snow?.clone(),
        },
        controller_efficiency: controller?,
        standby_w: standby?,
        battery_degc: degc,
    })
}

fn rows(r: &mut Reader<'_>, v: Value<'_>, doc: &'static KeyDoc) -> Option<Vec<BoosterRow>> {
    let flow =
        doc.part(Kind::Quantity(Quantity::Flow), Range::Between(0.0, 10_000.0), "flow", "\"10 L/min\"");
    let head = doc.part(Kind::Quantity(Quantity::Length), Range::Between(0.0, 2000.0), "head", "\"30 m\"");
    let current =
        doc.part(Kind::Quantity(Quantity::Current), Range::Above(0.0, 10_000.0), "current", "\"6 A\"");
    let mut rows = Vec::new();
    let sound = r.table_rows(v, doc, &["flow", "head", "current"], |r, row| {
        let q = r.quantity_value(row[0], &flow);
        let h = r.head_value(row[1], &head);
        let i = r.quantity_value(row[2], &current);
        rows.push(BoosterRow { flow_m3_per_h: q?, head_m: h?, current_a: i? });
        Some(())
    });
    sound.then_some(rows)
}

fn battery(r: &mut Reader<'_>, s: &Section<'_>, voltage: Option<f64>) -> Option<Battery> {
    let capacity = r.quantity(s, "capacity");
    let rated = r.quantity(s, "rated_hours");
    let exponent = r.number(s, "peukert");
    let table = r.key(s, "capacities", |r, v, doc| {
        let hours =
            doc.part(Kind::Quantity(Quantity::Duration), Range::Above(0.0, 1000.0), "hours", "\"5 h\"");
        let charge =
            doc.part(Kind::Quantity(Quantity::Charge), Range::Above(0.0, 100_000.0), "capacity", "\"80 Ah\"");
        r.pairs(v, doc, &["hours", "capacity"], &hours, &charge)
    });
    if s.has("peukert") && s.has("capacities") {
        r.fault_at(
            s,
            "capacities",
            FaultKind::Contradiction,
            "capacities given as well as peukert",
            "either capacities or peukert",
            "keep one of them",
        );
    }
    let charging = r.quantity(s, "charge_efficiency");
    let idle = r.quantity(s, "self_discharge");
    let cold = r.quantity(s, "cold");
    let cut_out = r.quantity(s, "cut_out");
    let reconnect = r.quantity(s, "reconnect");
    let mut assumed = |key: &str, value: String, why: &str| {
        r.defaults.push(DefaultUsed { key: s.key(key), value, why: why.into() });
    };
    if !s.may_have("peukert") && !s.may_have("capacities") {
        assumed("peukert", format!("{PEUKERT}"), "lead-acid; from memory");
    }
    if !s.may_have("reconnect") {
        assumed("reconnect", "10 % above cut_out".into(), "our own choice");
    }
    if !s.may_have("temperature") {
        assumed(
            "temperature",
            "the day's mean air temperature".into(),
            "a battery in a box or shed outdoors",
        );
    }
    let rate = if s.may_have("capacities") {
        RateLaw::Table(table?)
    } else {
        RateLaw::Peukert(if s.may_have("peukert") { exponent? } else { PEUKERT })
    };
    let cut_out = cut_out?;
    Some(Battery {
        voltage_v: voltage?,
        capacity_ah: capacity?,
        rated_h: rated?,
        rate,
        charge_efficiency: charging?,
        self_discharge_per_month: idle?,
        cold_per_k: cold?,
        cut_out,
        reconnect: if s.may_have("reconnect") { reconnect? } else { (cut_out + RECONNECT_ABOVE).min(1.0) },
    })
}

fn pressure_tank(r: &mut Reader<'_>, s: &Section<'_>) -> Option<PressureTank> {
    let volume = r.quantity(s, "volume");
    let precharge = r.quantity(s, "precharge");
    let cut_in = r.quantity(s, "cut_in");
    let cut_out = r.quantity(s, "cut_out");
    let cut_in_pa = cut_in?;
    let precharge_pa = if s.may_have("precharge") {
        precharge?
    } else {
        r.defaults.push(DefaultUsed {
            key: s.key("precharge"),
            value: "2 psi below cut_in".into(),
            why: "makers' usual advice; common practice, no source".into(),
        });
        cut_in_pa - PRECHARGE_BELOW_PA
    };
    Some(PressureTank { volume_m3: volume?, precharge_pa, cut_in_pa, cut_out_pa: cut_out? })
}
