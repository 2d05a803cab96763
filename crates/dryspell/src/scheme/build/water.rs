//! Well, pump and pipe.

use super::super::reader::{Reader, Section, Value, described};
use crate::fault::{Fault, FaultKind, Location};
use crate::nearest::nearest;
use crate::pipe::{FITTINGS, MATERIALS};
use crate::pump::{DutyPoint, Settings as PumpSettings, Start};
use crate::scheme::keys::{KeyDoc, Kind, Range};
use crate::units::Quantity;
use crate::{coupling, pipe, pump, supply, well};
use toml::de::DeValue;

pub(super) fn well(r: &mut Reader<'_>, root: &Section<'_>) -> (Option<well::Settings>, Option<f64>) {
    let Some(s) = r.table(root, "well") else { return (None, None) };
    let level = r.months(&s, "static_level");
    let specific_capacity_m3_per_h_m = r.quantity(&s, "specific_capacity");
    let yield_m3_per_h = r.quantity(&s, "yield");
    let water_degc = r.quantity(&s, "water_temperature");
    let settings = level.map(|static_level_m| well::Settings {
        static_level_m,
        specific_capacity_m3_per_h_m,
        yield_m3_per_h,
        ..well::Settings::default()
    });
    (settings, water_degc)
}

pub(super) fn pump(r: &mut Reader<'_>, root: &Section<'_>) -> Option<(PumpSettings, coupling::Settings)> {
    let s = r.table(root, "pump")?;
    let duty = r.key(&s, "duty", duty);
    let start = r.quantity(&s, "start_power").map_or(Start::Zero, Start::From);
    let tracking_efficiency = r.ratio(&s, "tracking_efficiency");
    let coupling = tracking_efficiency.map(coupling::Settings::tracking);
    Some((PumpSettings::duty(duty?, start), coupling?))
}

fn duty(r: &mut Reader<'_>, v: Value<'_>, doc: &'static KeyDoc) -> Option<Vec<DutyPoint>> {
    let cell = |q, range, meaning, example| doc.part(Kind::Quantity(q), range, meaning, example);
    let head = cell(Quantity::Length, Range::Between(0.0, 2000.0), "total dynamic head", "\"20 m\"");
    let power = cell(Quantity::Power, Range::Above(0.0, 1e6), "electrical power", "\"60 W\"");
    let flow = cell(Quantity::Flow, Range::Between(0.0, 10_000.0), "flow", "\"7 L/min\"");
    let mut points = Vec::new();
    let sound = r.rows(v, doc, 3, |r, _, cells| {
        let head_m = r.quantity_value(cells[0], &head);
        let power_w = r.quantity_value(cells[1], &power);
        let flow_m3_per_h = r.quantity_value(cells[2], &flow);
        points.push(DutyPoint { head_m: head_m?, power_w: power_w?, flow_m3_per_h: flow_m3_per_h? });
        Some(())
    });
    sound.then_some(points)
}

pub(super) fn runs(r: &mut Reader<'_>, root: &Section<'_>) -> Option<Vec<pipe::Run>> {
    let tables = r.named_tables(root, "pipe");
    let read: Vec<_> = tables.into_iter().map(|(name, section)| run(r, name, &section)).collect();
    read.into_iter().collect()
}

fn run(r: &mut Reader<'_>, name: String, s: &Section<'_>) -> Option<pipe::Run> {
    let length_m = r.quantity(s, "length");
    let bore_m = r.quantity(s, "bore");
    let roughness = r.quantity(s, "roughness");
    let material = r.key(s, "material", |r, v, doc| {
        let word = r.word_value(v, MATERIALS.iter().map(|(name, _)| *name), doc)?;
        MATERIALS.iter().find(|(name, _)| *name == word).map(|(_, roughness_m)| *roughness_m)
    });
    match (s.may_have("roughness"), s.may_have("material")) {
        (true, true) => r.fault_at(
            s,
            "roughness",
            FaultKind::Contradiction,
            "roughness stands beside material",
            "either the material or the roughness of its wall",
            "keep one of them",
        ),
        (false, false) => r.missing_here(s, "material"),
        _ => {}
    }
    let fittings_k = if s.may_have("fittings") {
        r.key(s, "fittings", fittings)
    } else {
        // Notes that there are none.
        r.key(s, "fittings", |_, _, _| None).or(Some(0.0))
    };
    Some(pipe::Run {
        name,
        length_m: length_m?,
        bore_m: bore_m?,
        roughness_m: roughness.or(material)?,
        fittings_k: fittings_k?,
        ..pipe::Run::default()
    })
}

/// Sum of the loss coefficients.
fn fittings(r: &mut Reader<'_>, v: Value<'_>, doc: &'static KeyDoc) -> Option<f64> {
    let DeValue::Table(table) = v.de else {
        r.wrong_type(v, "a table of fittings and their number", doc);
        return None;
    };
    // Names have spaces, keys have underscores.
    let names: Vec<String> = FITTINGS.iter().map(|(name, _)| name.replace(' ', "_")).collect();
    let mut sum = 0.0;
    let mut sound = true;
    for (key, count) in table {
        let name: &str = key.get_ref();
        let path = format!("{}.{name}", v.path);
        let at = count.span().start;
        r.note(&path, at);
        let value = Value { path: &path, at: Some(at), de: count.get_ref() };
        let Some((_, k)) = FITTINGS.iter().zip(&names).find(|(_, n)| *n == name).map(|(f, _)| f) else {
            let way_out = match nearest(name, names.iter().map(String::as_str)) {
                Some(near) => format!("did you mean {near}?"),
                None => "choose the fitting most like it".to_string(),
            };
            let list = names.join(", ");
            r.fault(
                &path,
                Some(key.span().start),
                FaultKind::UnknownKey,
                "no fitting of this name",
                format!("known here: {list}"),
                way_out,
            );
            sound = false;
            continue;
        };
        let number = match count.get_ref() {
            DeValue::Integer(n) => n.as_str().parse::<f64>().ok(),
            _ => None,
        };
        match number {
            Some(n) => {
                match r.in_range(value, n, &doc.part(Kind::Count, doc.range, "number of fittings", "1")) {
                    Some(n) => sum += n * k,
                    None => sound = false,
                }
            }
            None => {
                let found = described(count.get_ref());
                r.refuse(
                    value,
                    FaultKind::WrongType,
                    found,
                    "a whole number without quotes",
                    format!("write {name} = 1"),
                );
                sound = false;
            }
        }
    }
    sound.then_some(sum)
}

/// The checks that pump, well and pipe make themselves, once their values are in range: the duty table's rows, and
/// whether it reaches the static head.
pub(super) fn check_together(
    r: &mut Reader<'_>,
    pump: Option<&PumpSettings>,
    all: Option<&supply::Settings>,
) {
    let faults = match (pump, all) {
        (_, Some(all)) => supply::System::new(all).err(),
        (Some(pump), None) => pump::Pump::new(pump, 1000.0).err(),
        (None, None) => None,
    };
    for mut fault in faults.into_iter().flatten() {
        fault.location = place(r, &fault);
        r.faults.push(fault);
    }
}

/// The line of the row that a fault of the duty table names first, else that of its key.
fn place(r: &Reader<'_>, fault: &Fault) -> Location {
    let key = fault.location.key.clone().unwrap_or_default();
    let number: String = fault
        .found
        .strip_prefix("row ")
        .map(|rest| rest.chars().take_while(char::is_ascii_digit).collect())
        .unwrap_or_default();
    let row = if number.is_empty() { key } else { format!("{key}[{number}]") };
    super::super::place_in(&r.places, &row).unwrap_or(fault.location.clone())
}
