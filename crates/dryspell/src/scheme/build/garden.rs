//! Gardens.

use super::super::reader::{Reader, Section, Value};
use super::draw::one_each;
use crate::draw::garden::{Garden, Growth, Method, crops};
use crate::fault::FaultKind;
use crate::scheme::keys::{KeyDoc, Kind};
use crate::scheme::values::values;
use toml::de::DeValue;

pub(super) fn gardens(r: &mut Reader<'_>, root: &Section<'_>) -> Option<Vec<Garden>> {
    let tables = r.named_tables(root, "garden");
    let gardens: Vec<_> = tables.into_iter().map(|(name, section)| garden(r, name, &section)).collect();
    gardens.into_iter().collect()
}

fn garden(r: &mut Reader<'_>, name: String, s: &Section<'_>) -> Option<Garden> {
    let area_m2 = r.quantity(s, "area");
    let growth = growth(r, s);
    let efficiency = r.quantity(s, "efficiency");
    let hours = r.key(s, "hours", hours);
    let soil_storage = r.quantity(s, "soil_storage");
    let method = r.word(s, "evapotranspiration").map(|word| match word {
        "hargreaves" => Method::Hargreaves,
        "penman-monteith hourly" => Method::Hourly,
        _ => Method::Daily,
    });
    let tank = r.text(s, "tank");
    Some(Garden {
        name,
        area_m2: area_m2?,
        growth: growth?,
        efficiency: efficiency?,
        hours: hours?,
        soil_holds_mm: 1000.0 * soil_storage?,
        method: method?,
        tank,
    })
}

fn growth(r: &mut Reader<'_>, s: &Section<'_>) -> Option<Growth> {
    let crop = r.word(s, "crop").and_then(crops::find);
    let kc = r.number(s, "kc");
    let planted = r.month_day(s, "planted");
    let stages = r.key(s, "stages", stages);
    let season = r.dates(s, "season");
    one_each(r, s, "season", &season);
    let mut sound = true;
    let mut refuse = |r: &mut Reader<'_>, key: &str, found: &str, accepted: &str, way_out: &str| {
        r.fault_at(s, key, FaultKind::Contradiction, found, accepted, way_out);
        sound = false;
    };
    if s.may_have("kc") && s.may_have("crop") {
        refuse(r, "kc", "kc given as well as crop", "either crop or kc", "keep one of them");
    }
    if s.may_have("planted") && s.may_have("season") {
        refuse(
            r,
            "season",
            "season given as well as planted",
            "either planted or season",
            "keep one of them",
        );
    }
    if s.may_have("kc") && s.may_have("planted") {
        refuse(
            r,
            "planted",
            "stages need three coefficients and kc is one",
            "planted only with crop",
            "name a crop, or give season in place of planted",
        );
    }
    if s.has("stages") && !s.may_have("planted") {
        refuse(
            r,
            "stages",
            "stages has no effect without planted",
            "stages only with planted",
            "remove it, or give the date of planting",
        );
    }
    if !s.may_have("crop") && !s.may_have("kc") {
        r.missing_here(s, "crop");
    }
    if s.may_have("planted") {
        let crop = crop?;
        let days = if s.may_have("stages") { stages } else { crop.stages_days };
        if days.is_none() {
            r.missing_here(s, "stages");
        }
        return sound.then_some(Growth::Stages { planted: planted?, days: days?, kc: crop.kc });
    }
    let kc = kc.or(crop.map(|c| c.kc[1]))?;
    sound.then_some(Growth::Season { dates: season, kc })
}

fn stages(r: &mut Reader<'_>, v: Value<'_>, doc: &'static KeyDoc) -> Option<[f64; 4]> {
    let DeValue::Array(list) = v.de else {
        r.wrong_type(v, "a list of four numbers of days", doc);
        return None;
    };
    if list.len() != 4 {
        r.refuse(
            v,
            FaultKind::WrongLength,
            format!("a list of {}", values(list.len())),
            "days of the initial, development, mid-season and late stages",
            "give four numbers",
        );
        return None;
    }
    let day = doc.part(Kind::Number, doc.range, "days of a stage", "30");
    let mut days = [0.0; 4];
    let mut sound = true;
    for (slot, item) in days.iter_mut().zip(list) {
        let item = Value { path: v.path, at: Some(item.span().start), de: item.get_ref() };
        match r.number_value(item, &day) {
            Some(value) => *slot = value,
            None => sound = false,
        }
    }
    let year: f64 = days.iter().sum();
    if sound && !(1.0..=365.0).contains(&year) {
        r.refuse(
            v,
            FaultKind::OutOfRange,
            format!("stages that sum to {year} days"),
            "stages that sum to 1 to 365 days",
            "shorten them to fit a year",
        );
        return None;
    }
    sound.then_some(days)
}

pub(super) fn hours(r: &mut Reader<'_>, v: Value<'_>, doc: &'static KeyDoc) -> Option<[bool; 24]> {
    let DeValue::Array(list) = v.de else {
        r.wrong_type(v, "a list of clock hours, each named by its start", doc);
        return None;
    };
    if list.is_empty() {
        r.refuse(
            v,
            FaultKind::WrongLength,
            "an empty list",
            "at least one clock hour",
            format!("write {} = {}", doc.name, r.example(doc)),
        );
        return None;
    }
    let hour = doc.part(Kind::Number, doc.range, "a clock hour", "5");
    let mut on = [false; 24];
    let mut sound = true;
    for item in list {
        let item = Value { path: v.path, at: Some(item.span().start), de: item.get_ref() };
        let Some(value) = r.number_value(item, &hour) else {
            sound = false;
            continue;
        };
        match (0_u8..24).find(|h| (f64::from(*h) - value).abs() < 1e-9) {
            Some(h) => on[usize::from(h)] = true,
            None => {
                r.wrong_type(item, "a whole clock hour from 0 to 23", doc);
                sound = false;
            }
        }
    }
    sound.then_some(on)
}
