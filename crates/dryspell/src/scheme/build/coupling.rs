//! What lies between array and pump.

use super::super::reader::{Reader, Section, Value};
use crate::array::Terminals;
use crate::coupling::{Booster, Efficiency, Settings, Tracking};
use crate::fault::FaultKind;
use crate::scheme::DefaultUsed;
use crate::scheme::keys::{KeyDoc, Kind, Range};
use crate::units::Quantity;

const TRACKING: &[&str] = &[
    "efficiency",
    "efficiency_curve",
    "rated_power",
    "tracker_inputs",
    "lowest_tracking_voltage",
    "highest_tracking_voltage",
    "highest_voltage",
    "record_low",
];
const BOOSTER: &[&str] = &["efficiency", "bypass", "current_limit"];
const ALL: [(&str, &[&str]); 3] =
    [("maximum power tracking", TRACKING), ("linear current booster", BOOSTER), ("direct", &[])];

/// Efficiency of a booster where none is given.
const BOOSTER_EFFICIENCY: f64 = 0.95;

/// How the arrays, so many of them, meet the coupling.
pub(super) fn terminals(r: &mut Reader<'_>, root: &Section<'_>, arrays: usize) -> Option<Terminals> {
    let s = r.table(root, "coupling")?;
    if !s.may_have("tracker_inputs") {
        if arrays > 1 {
            r.defaults.push(DefaultUsed {
                key: s.key("tracker_inputs"),
                value: "common".into(),
                why: "all arrays share one pair of terminals and one voltage; only a controller with an input for each \
                 array holds each at its own maximum"
                    .into(),
            });
        }
        return Some(Terminals::Common);
    }
    r.word(&s, "tracker_inputs").map(|word| match word {
        "one each" => Terminals::Separate,
        _ => Terminals::Common,
    })
}

/// The coupling; `pump` is the pump's table, where the tracker's efficiency may stand as well.
pub(super) fn coupling(
    r: &mut Reader<'_>,
    root: &Section<'_>,
    pump: Option<&Section<'_>>,
) -> Option<Settings> {
    let s = r.table(root, "coupling")?;
    let kind = if s.may_have("kind") { r.word(&s, "kind") } else { Some("maximum power tracking") };
    let efficiency = r.ratio(&s, "efficiency");
    let by_load = r.key(&s, "efficiency_curve", by_load);
    let rated_power_w = r.quantity(&s, "rated_power");
    let lowest = r.quantity(&s, "lowest_tracking_voltage");
    let highest = r.quantity(&s, "highest_tracking_voltage");
    let highest_voltage_v = r.quantity(&s, "highest_voltage");
    let record_low_degc = r.quantity(&s, "record_low");
    let bypass = r.flag(&s, "bypass");
    let current_limit_a = r.quantity(&s, "current_limit");
    let tracks = kind == Some("maximum power tracking");
    let of_pump = pump.and_then(|pump| tracker_of_pump(r, &s, pump, tracks));
    let kind = kind?;
    keys_of_others(r, &s, kind);
    match kind {
        "direct" => Some(Settings::Direct),
        "linear current booster" => {
            if !s.may_have("efficiency") {
                r.defaults.push(DefaultUsed {
                    key: s.key("efficiency"),
                    value: format!("{BOOSTER_EFFICIENCY}"),
                    why: "makers state 0.92 to 0.97; common practice, from memory".into(),
                });
            }
            if !s.may_have("bypass") {
                r.defaults.push(DefaultUsed {
                    key: s.key("bypass"),
                    value: "true".into(),
                    why: "the booster passes the array's own current where that is higher".into(),
                });
            }
            Some(Settings::Booster(Booster {
                efficiency: if s.may_have("efficiency") { efficiency? } else { BOOSTER_EFFICIENCY },
                bypass: if s.may_have("bypass") { bypass? } else { true },
                current_limit_a,
            }))
        }
        _ => {
            if s.may_have("lowest_tracking_voltage") || s.may_have("highest_tracking_voltage") {
                r.missing_here(&s, "lowest_tracking_voltage");
                r.missing_here(&s, "highest_tracking_voltage");
            }
            if s.may_have("efficiency") && s.may_have("efficiency_curve") {
                r.fault_at(
                    &s,
                    "efficiency_curve",
                    FaultKind::Contradiction,
                    "efficiency_curve given as well as efficiency",
                    "either one efficiency or a curve",
                    "keep one of them",
                );
            }
            let efficiency = by_load
                .map(Efficiency::ByLoad)
                .or(efficiency.map(Efficiency::Constant))
                .or(of_pump.map(Efficiency::Constant))?;
            Some(Settings::Tracking(Tracking {
                efficiency,
                rated_power_w,
                window_v: lowest.zip(highest),
                highest_voltage_v,
                record_low_degc,
            }))
        }
    }
}

/// The older place of the tracker's efficiency, the pump's table; its default is the one that is listed.
fn tracker_of_pump(r: &mut Reader<'_>, s: &Section<'_>, pump: &Section<'_>, tracks: bool) -> Option<f64> {
    let elsewhere = ["efficiency", "efficiency_curve"].into_iter().find(|name| s.may_have(name));
    let given = pump.has("tracking_efficiency");
    let listed = tracks && elsewhere.is_none();
    if !(given || listed) {
        return None;
    }
    let of_pump = r.ratio(pump, "tracking_efficiency");
    let clash = elsewhere.or((!tracks).then_some("kind"));
    if let (true, Some(clash)) = (given, clash) {
        r.fault_at(
            pump,
            "tracking_efficiency",
            FaultKind::Contradiction,
            format!("tracking_efficiency given as well as coupling.{clash}"),
            "one efficiency for the coupling between array and pump",
            "remove tracking_efficiency and give coupling.efficiency",
        );
    }
    of_pump
}

/// Keys that belong to another kind of coupling.
fn keys_of_others(r: &mut Reader<'_>, s: &Section<'_>, kind: &str) {
    let own = ALL.iter().find(|(name, _)| *name == kind).map_or(TRACKING, |(_, keys)| keys);
    for (other, keys) in ALL {
        for name in keys.iter().filter(|name| s.has(name) && !own.contains(name)) {
            r.fault_at(
                s,
                name,
                FaultKind::Contradiction,
                format!("{name} with the coupling \"{kind}\""),
                if own.is_empty() {
                    "no key besides kind".into()
                } else {
                    format!("keys of it: {}", own.join(", "))
                },
                format!("write kind = \"{other}\", or remove {name}"),
            );
        }
    }
}

fn by_load(r: &mut Reader<'_>, v: Value<'_>, doc: &'static KeyDoc) -> Option<Vec<(f64, f64)>> {
    let load = doc.part(Kind::Quantity(Quantity::Fraction), Range::Above(0.0, 2.0), "load", "\"50 %\"");
    let share =
        doc.part(Kind::Quantity(Quantity::Fraction), Range::Above(0.0, 1.0), "efficiency", "\"95 %\"");
    r.pairs(v, doc, &["load", "efficiency"], &load, &share)
}
