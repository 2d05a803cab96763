//! Herd and extra draws.

use super::super::reader::{Reader, Section, Value};
use crate::draw::{Group, Need, Settings, pattern};
use crate::fault::FaultKind;
use crate::scheme::keys::{KeyDoc, Kind};
use crate::scheme::values::values;
use toml::de::DeValue;

/// How far the shares of a pattern may be from summing to 1.
const SUM_TOLERANCE: f64 = 1e-6;

pub(super) fn draw(r: &mut Reader<'_>, root: &Section<'_>) -> Option<Settings> {
    let herds = r.named_tables(root, "herd");
    let extras = r.named_tables(root, "extra");
    if !root.may_have("herd") && !root.may_have("extra") {
        r.fault_at(
            root,
            "herd",
            FaultKind::MissingKey,
            "nothing draws water",
            "at least one group of animals, or an extra draw",
            "add [herd.cows] with count and drinks",
        );
    }
    let mut seen: Vec<String> = Vec::new();
    let mut groups = Vec::new();
    for (name, section) in herds {
        seen.push(name.clone());
        groups.push(herd(r, name, &section));
    }
    for (name, section) in extras {
        if seen.contains(&name) {
            let path = section.path.clone();
            let at = section.at();
            r.fault(
                &path,
                at,
                FaultKind::Contradiction,
                format!("[herd.{name}] has the same name"),
                "one name for each group and extra draw",
                "rename one of them: the name heads its columns",
            );
        }
        groups.push(extra(r, name, &section));
    }
    groups.into_iter().collect::<Option<Vec<_>>>().map(|groups| Settings { groups })
}

fn herd(r: &mut Reader<'_>, name: String, s: &Section<'_>) -> Option<Group> {
    let count = r.number(s, "count");
    let drinks = r.months(s, "drinks");
    let class = r.word(s, "class");
    let mass = r.quantity(s, "mass");
    let milk = r.quantity(s, "milk");
    let pattern = r.key(s, "pattern", pattern_value);
    let present = r.dates(s, "present");
    let need = if s.may_have("class") {
        if s.may_have("drinks") {
            r.fault_at(
                s,
                "class",
                FaultKind::Contradiction,
                "class stands beside drinks",
                "either drinks, or class with mass and milk",
                "keep one of them",
            );
        }
        r.missing_here(s, "mass");
        r.missing_here(s, "milk");
        class.and_then(|_| Some(Need::BeefCow { mass_kg: mass?, milk_kg: milk? }))
    } else {
        for key in ["mass", "milk"] {
            if s.has(key) {
                r.fault_at(
                    s,
                    key,
                    FaultKind::Contradiction,
                    format!("{key} has no effect without class"),
                    "mass and milk only with class",
                    "remove it, or write class = \"beef cow\" in place of drinks",
                );
            }
        }
        r.missing_here(s, "drinks");
        drinks.map(Need::ByMonth)
    };
    Some(Group { name, count: count?, need: need?, pattern: pattern?, present })
}

fn extra(r: &mut Reader<'_>, name: String, s: &Section<'_>) -> Option<Group> {
    let drinks = r.months(s, "drinks");
    let pattern = r.key(s, "pattern", pattern_value);
    let present = r.dates(s, "present");
    Some(Group { name, count: 1.0, need: Need::ByMonth(drinks?), pattern: pattern?, present })
}

fn pattern_value(r: &mut Reader<'_>, v: Value<'_>, doc: &'static KeyDoc) -> Option<[f64; 24]> {
    let list = match v.de {
        DeValue::Array(list) => list,
        DeValue::String(_) => {
            return r.word_value(v, pattern::PRESETS.iter().copied(), doc).and_then(pattern::preset);
        }
        _ => {
            r.wrong_type(v, "a pattern's name, or 24 shares that sum to 1", doc);
            return None;
        }
    };
    if list.len() != 24 {
        r.refuse(
            v,
            FaultKind::WrongLength,
            format!("a list of {}", values(list.len())),
            "24 shares, one for each clock hour from midnight, that sum to 1",
            "give 24 shares, or the name of a pattern",
        );
    }
    let mut shares = [0.0; 24];
    let mut sound = list.len() == 24;
    let share_doc = doc.part(Kind::Number, doc.range, "share of the day's draw", "0.25");
    for (i, item) in list.iter().enumerate() {
        let path = format!("{}[{}]", v.path, i + 1);
        let at = item.span().start;
        r.note(&path, at);
        let item = Value { path: &path, at: Some(at), de: item.get_ref() };
        match (r.number_value(item, &share_doc), shares.get_mut(i)) {
            (Some(share), Some(slot)) => *slot = share,
            _ => sound = false,
        }
    }
    let sum: f64 = shares.iter().sum();
    if sound && (sum - 1.0).abs() > SUM_TOLERANCE {
        r.refuse(
            v,
            FaultKind::Contradiction,
            format!("24 shares that sum to {sum}"),
            "shares that sum to 1 within 0.000001",
            "divide each by their sum",
        );
        sound = false;
    }
    // What the tolerance lets pass is evened out: the day's need is drawn in full.
    sound.then(|| shares.map(|share| share / sum))
}
