//! Herd and extra draws.

use super::super::reader::{Reader, Section, Value};
use crate::calendar::{DateSpan, MonthDay};
use crate::draw::classes::{self, Animal, Ask, Class, Input};
use crate::draw::{Forage, Group, GroupKind, Need, Settings, pattern, presence};
use crate::fault::{FaultKind, quoted};
use crate::scheme::keys::{KeyDoc, Kind, Range};
use crate::scheme::values::values;
use crate::units::table::POUND_KG;
use crate::units::{Quantity, show};
use toml::de::DeValue;

/// How far the shares of a pattern may be from summing to 1.
const SUM_TOLERANCE: f64 = 1e-6;

const HOURS_PER_WEEK: f64 = 7.0 * 24.0;

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
    groups.into_iter().collect::<Option<Vec<_>>>().map(Settings::of)
}

fn herd(r: &mut Reader<'_>, name: String, s: &Section<'_>) -> Option<Group> {
    let count = r.number(s, "count");
    let drinks = r.months(s, "drinks");
    let class = r.word(s, "class").and_then(classes::find);
    let animal = Animal {
        mass_kg: r.quantity(s, "mass"),
        milk_kg: r.quantity(s, "milk"),
        dry_matter_kg: r.quantity(s, "dry_matter"),
        sodium_kg: r.quantity(s, "sodium"),
        age_weeks: r.quantity(s, "age").map(|h| h / HOURS_PER_WEEK),
        laying: r.quantity(s, "laying"),
    };
    let moisture = r.months(s, "forage_moisture");
    let waste = if s.may_have("waste") { r.quantity(s, "waste") } else { Some(0.0) };
    let pattern = r.key(s, "pattern", pattern_value);
    // A group with places is there on their dates: nothing is taken for granted of present.
    let present = if s.may_have("at") && !s.may_have("present") { Vec::new() } else { r.dates(s, "present") };
    one_each(r, s, "present", &present);
    let places = if s.may_have("at") { r.key(s, "at", places) } else { Some(Vec::new()) };
    let counts = if s.may_have("counts") { r.key(s, "counts", counts) } else { Some(Vec::new()) };
    if s.may_have("at") && s.may_have("present") {
        r.fault_at(
            s,
            "present",
            FaultKind::Contradiction,
            "present given as well as at",
            "either present, or at with places and dates",
            "keep one of them: a group with places is present on their dates",
        );
    }
    let mut forage = None;
    let need = if s.may_have("class") {
        if s.may_have("drinks") {
            r.fault_at(
                s,
                "class",
                FaultKind::Contradiction,
                "class given as well as drinks",
                "either drinks, or class with its own keys",
                "keep one of them",
            );
        }
        let class = class?;
        let (asked, dry_matter_kg) = asked(class, animal, moisture.is_some());
        let sound = check_animal(r, s, class, &asked);
        if s.may_have("forage_moisture") {
            forage = Some(Forage { moisture: forage_of(r, s, class, moisture, animal)?, dry_matter_kg });
        }
        sound.then_some(Need::Class { class, animal: asked })
    } else {
        for key in Ask::ALL.map(Ask::key).into_iter().chain(["forage_moisture"]) {
            if s.has(key) {
                r.fault_at(
                    s,
                    key,
                    FaultKind::Contradiction,
                    format!("{key} has no effect without class"),
                    format!("{key} only with class"),
                    "remove it, or write class = \"beef cow\" in place of drinks",
                );
            }
        }
        r.missing_here(s, "drinks");
        drinks.map(Need::ByMonth)
    };
    let tank = r.text(s, "tank");
    Some(Group {
        present,
        places: places?,
        counts: counts?,
        forage,
        waste: waste?,
        tank,
        ..Group::new(name, count?, need?, pattern?)
    })
}

/// What of the animal the class asks, and the dry matter that only the forage needs.
fn asked(class: &Class, animal: Animal, has_forage: bool) -> (Animal, Option<f64>) {
    let eats = class.inputs.iter().any(|i| i.ask == Ask::DryMatter);
    if eats || !has_forage {
        return (animal, None);
    }
    (Animal { dry_matter_kg: None, ..animal }, animal.dry_matter_kg)
}

/// Whether the animal suits its class; each thing that does not is a fault at its own key.
fn check_animal(r: &mut Reader<'_>, s: &Section<'_>, class: &Class, animal: &Animal) -> bool {
    let Err(faults) = class.curve(animal) else { return true };
    for fault in faults {
        let Some(ask) = Ask::ALL.into_iter().find(|a| fault.location.key.as_deref() == Some(a.key())) else {
            continue;
        };
        let key = ask.key();
        match fault.kind {
            FaultKind::MissingKey => r.missing_here(s, key),
            FaultKind::OutOfRange => {
                let input = class.inputs.iter().find(|i| i.ask == ask);
                let (Some(input), Some(value)) = (input, animal.get(ask)) else { continue };
                let accepted = format!("the class {} is valid {}", class.name, range(r, input));
                let found = format!("{} is out of range for this class", amount(r, ask, value));
                let way_out = match meant_mass(input, value) {
                    Some(meant) => format!("{meant} is in range: check the unit; else {}", fault.way_out),
                    None => fault.way_out,
                };
                r.fault_at(s, key, fault.kind, found, accepted, way_out);
            }
            _ => r.fault_at(s, key, fault.kind, fault.found, fault.accepted, fault.way_out),
        }
    }
    false
}

/// The mass that the class takes with the same number in the other unit, lb for kg or kg for lb.
fn meant_mass(input: &Input, kg: f64) -> Option<String> {
    let fits = |kg: f64| (input.least..=input.most).contains(&kg);
    if input.ask != Ask::Mass {
        None
    } else if fits(kg * POUND_KG) {
        Some(format!("{kg:.0} lb"))
    } else {
        fits(kg / POUND_KG).then(|| format!("{:.0} kg", kg / POUND_KG))
    }
}

fn forage_of(
    r: &mut Reader<'_>,
    s: &Section<'_>,
    class: &Class,
    moisture: Option<[f64; 12]>,
    animal: Animal,
) -> Option<[f64; 12]> {
    if !class.counts_feed_water {
        r.fault_at(
            s,
            "forage_moisture",
            FaultKind::Contradiction,
            format!("the figure of the class {} is water drunk, without that in the feed", class.name),
            "forage_moisture only with a class whose figure includes the water in the feed",
            "remove it",
        );
        return None;
    }
    let knows = class.inputs.iter().any(|i| i.ask == Ask::DryMatter);
    if !knows && animal.dry_matter_kg.is_none() {
        r.missing_here(s, "dry_matter");
        return None;
    }
    moisture
}

/// A quantity of an animal in the units of the report.
fn amount(r: &Reader<'_>, ask: Ask, value: f64) -> String {
    match ask {
        Ask::Mass => show(value, Quantity::Mass, r.system),
        Ask::Milk | Ask::DryMatter => show(value, Quantity::DailyMass, r.system),
        _ => format!("{} {}", ask.shown(value), ask.unit()),
    }
}

fn range(r: &Reader<'_>, input: &Input) -> String {
    format!("from {} to {}", amount(r, input.ask, input.least), amount(r, input.ask, input.most))
}

/// Faults for spans of one list that share a date, at the later of the two.
pub(super) fn one_each(r: &mut Reader<'_>, s: &Section<'_>, name: &str, spans: &[DateSpan]) {
    for (i, j, day) in presence::overlaps(spans) {
        let path = format!("{}[{}]", s.key(name), j + 1);
        overlap(r, &path, (spans[i], spans[j], day), "each date once");
    }
}

fn overlap(r: &mut Reader<'_>, path: &str, (a, b, day): (DateSpan, DateSpan, MonthDay), what: &str) {
    let place = r.places.get(path).cloned();
    let day = presence::text(DateSpan { from: day, to: day });
    r.fault(
        path,
        None,
        FaultKind::Contradiction,
        format!("{day} is in both {} and {}", quoted(&presence::text(a)), quoted(&presence::text(b))),
        what,
        "let one span end on the day before the other begins",
    );
    if let (Some(place), Some(fault)) = (place, r.faults.last_mut()) {
        fault.location = place;
    }
}

/// Rows of dates and something else, and no date twice.
fn dated<T>(
    r: &mut Reader<'_>,
    v: Value<'_>,
    doc: &'static KeyDoc,
    what: &str,
    mut read: impl FnMut(&mut Reader<'_>, &[Value<'_>]) -> Option<(T, DateSpan)>,
) -> Option<Vec<(T, DateSpan)>> {
    let mut rows: Vec<(usize, T, DateSpan)> = Vec::new();
    let mut number = 0;
    let mut sound = r.rows(v, doc, 2, |r, row, cells| {
        // The row's own number stands in its path.
        number = row.path.rsplit(['[', ']']).nth(1).and_then(|n| n.parse().ok()).unwrap_or(number + 1);
        let (value, span) = read(r, cells)?;
        rows.push((number, value, span));
        Some(())
    });
    let spans: Vec<DateSpan> = rows.iter().map(|row| row.2).collect();
    for (i, j, day) in presence::overlaps(&spans) {
        overlap(r, &format!("{}[{}]", v.path, rows[j].0), (spans[i], spans[j], day), what);
        sound = false;
    }
    sound.then(|| rows.into_iter().map(|(_, value, span)| (value, span)).collect())
}

fn places(r: &mut Reader<'_>, v: Value<'_>, doc: &'static KeyDoc) -> Option<Vec<(String, DateSpan)>> {
    let place = doc.part(Kind::Text, Range::Any, "the name of a place", "\"hill\"");
    let dates = doc.part(Kind::Dates, Range::Any, "dates at the place", "\"11-01 to 03-15\"");
    dated(r, v, doc, "one place on a date", |r, cells| {
        let name = r.text_value(cells[0], &place);
        let span = r.span_value(cells[1], &dates);
        Some((name?, span?))
    })
}

fn counts(r: &mut Reader<'_>, v: Value<'_>, doc: &'static KeyDoc) -> Option<Vec<(DateSpan, f64)>> {
    let heads = doc.part(Kind::Number, doc.range, "number of heads", "40");
    let dates = doc.part(Kind::Dates, Range::Any, "dates of that number", "\"04-01 to 09-30\"");
    let rows = dated(r, v, doc, "one count on a date", |r, cells| {
        let span = r.span_value(cells[0], &dates);
        let count = r.number_value(cells[1], &heads);
        Some((count?, span?))
    })?;
    Some(rows.into_iter().map(|(count, span)| (span, count)).collect())
}

fn extra(r: &mut Reader<'_>, name: String, s: &Section<'_>) -> Option<Group> {
    let drinks = r.months(s, "drinks");
    let share = r.quantity(s, "share_of_herd");
    let pattern = r.key(s, "pattern", pattern_value);
    let present = r.dates(s, "present");
    one_each(r, s, "present", &present);
    if s.may_have("share_of_herd") && s.may_have("drinks") {
        r.fault_at(
            s,
            "share_of_herd",
            FaultKind::Contradiction,
            "share_of_herd given as well as drinks",
            "either drinks or share_of_herd",
            "keep one of them",
        );
    }
    let need = if s.may_have("share_of_herd") {
        share.map(Need::ShareOfHerd)
    } else {
        r.missing_here(s, "drinks");
        drinks.map(Need::ByMonth)
    };
    let tank = r.text(s, "tank");
    Some(Group { kind: GroupKind::Extra, present, tank, ..Group::new(name, 1.0, need?, pattern?) })
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
