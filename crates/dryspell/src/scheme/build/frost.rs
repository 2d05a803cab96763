//! Soil, design winter, and the parts that frost can reach.

use super::super::reader::{Reader, Section};
use crate::fault::{FaultKind, quoted};
use crate::frost::{BarePipe, Drain, Kind, OpenWater, Part, SURFACES, Settings, Soil, Way};
use crate::nearest::{nearest, some_of};

/// Heat that a pipe in wind passes to the air, W/(m²·K).
const PIPE_FILM: f64 = 25.0;
/// Heat that open water passes to the air, W/(m²·K).
const WATER_FILM: f64 = 15.0;
/// Conductivity of dry foam, W/(m·K).
const FOAM: f64 = 0.04;

/// Keys of an exposed part.
const EXPOSED: [&str; 8] = [
    "bore",
    "outside",
    "insulation",
    "insulation_conductivity",
    "heat_to_air",
    "empties",
    "drains_in",
    "shut",
];
/// Keys of open water.
const OPEN: [&str; 5] = ["area", "depth", "heat_to_air", "inflow_temperature", "fed_by"];

/// The frost stage: `Some(None)` where the scheme says nothing about frost.
pub(super) fn frost(
    r: &mut Reader<'_>,
    root: &Section<'_>,
    water_degc: Option<f64>,
) -> Option<Option<Settings>> {
    if !root.may_have("frost") {
        return Some(None);
    }
    let s = r.table(root, "frost")?;
    let preset = r.word(&s, "soil").and_then(Soil::named);
    let density = r.quantity(&s, "soil_density");
    let water = r.quantity(&s, "soil_water");
    let frozen = r.quantity(&s, "soil_conductivity_frozen");
    let thawed = r.quantity(&s, "soil_conductivity_thawed");
    let surface = r.word(&s, "surface").and_then(|w| SURFACES.iter().find(|s| s.0 == w)).map(|s| s.1);
    let index = r.quantity(&s, "design_index");
    let days_h = r.quantity(&s, "design_days");
    if s.has("design_days") && !s.may_have("design_index") {
        r.fault_at(
            &s,
            "design_days",
            FaultKind::Contradiction,
            "design_days without design_index",
            "design_days only together with design_index",
            "add design_index, or remove design_days",
        );
    }
    // Those of the text, so that a fault of a hydrant makes no others here.
    let names = Ways {
        hydrants: root.names_within("hydrant"),
        tanks: root.names_within("tank"),
        lifts: root.names_within("lift"),
    };
    let parts: Vec<_> = r
        .named_tables(&s, "part")
        .into_iter()
        .map(|(name, part_s)| part(r, name, &part_s, &names, water_degc))
        .collect();
    let parts: Option<Vec<_>> = parts.into_iter().collect();
    let soil = preset.map(|p| {
        let mut soil = if density.is_some() || water.is_some() {
            p.with(density.unwrap_or(p.dry_density_kg_per_m3), water.unwrap_or(p.water_share))
        } else {
            p
        };
        soil.frozen_w_per_m_k = frozen.unwrap_or(soil.frozen_w_per_m_k);
        soil.thawed_w_per_m_k = thawed.unwrap_or(soil.thawed_w_per_m_k);
        soil
    });
    Some(Some(Settings {
        soil: soil?,
        surface: surface?,
        design_index_degc_days: index,
        design_days: days_h.map(|h| h / 24.0),
        parts: parts?,
    }))
}

fn part(
    r: &mut Reader<'_>,
    name: String,
    s: &Section<'_>,
    names: &Ways<'_>,
    water_degc: Option<f64>,
) -> Option<Part> {
    let lies = r.word(s, "location");
    let stops = r.texts(s, "stops", "a name in quotes, or a list of them");
    let cover = r.quantity(s, "cover");
    let bore = r.quantity(s, "bore");
    let outside = r.quantity(s, "outside");
    let insulation = r.quantity(s, "insulation");
    let conductivity = r.quantity(s, "insulation_conductivity");
    let film = r.quantity(s, "heat_to_air");
    let empties = r.word(s, "empties");
    let drains_h = r.quantity(s, "drains_in");
    let shut = r.dates(s, "shut");
    let area = r.quantity(s, "area");
    let depth = r.quantity(s, "depth");
    let inflow = r.quantity(s, "inflow_temperature");
    let fed_by = r.text(s, "fed_by");
    keys_of_kind(r, s, lies?);
    let stops: Option<Vec<Way>> = match stops {
        None if s.has("stops") => None,
        None => Some(Vec::new()),
        Some(list) => list.iter().map(|word| way(r, s, "stops", word, names)).collect(),
    };
    let fed_by = match fed_by {
        None => Some(None),
        Some(word) => way(r, s, "fed_by", &word, names).map(Some),
    };
    let kind = match lies? {
        "buried" => Kind::Buried { cover_m: cover? },
        "exposed" => {
            let drain = drain(r, s, empties, drains_h, shut)?;
            let (bore_m, outside_m) = (bore?, outside?);
            if bore_m > outside_m {
                r.fault_at(
                    s,
                    "outside",
                    FaultKind::Contradiction,
                    "an outside diameter below the bore",
                    "outside at least the bore",
                    "correct the diameters",
                );
                return None;
            }
            Kind::Exposed {
                pipe: BarePipe {
                    bore_m,
                    outside_m,
                    insulation_m: insulation.unwrap_or(0.0),
                    insulation_w_per_m_k: conductivity.unwrap_or(FOAM),
                    film_w_per_m2_k: Some(film.unwrap_or(PIPE_FILM)),
                },
                drain,
            }
        }
        _ => Kind::Open(OpenWater {
            area_m2: area?,
            depth_m: depth?,
            film_w_per_m2_k: film.unwrap_or(WATER_FILM),
            inflow_degc: inflow.or(water_degc)?,
        }),
    };
    let (stops, fed_by) = (stops?, fed_by?);
    if matches!(kind, Kind::Open(_)) && !stops.is_empty() {
        r.fault_at(
            s,
            "stops",
            FaultKind::Contradiction,
            "open water given with stops",
            "stops only with a buried or exposed part: ice on open water is reported and stops nothing",
            "remove stops, or describe the pipe that freezes as a part of its own",
        );
    }
    Some(Part { name, kind, stops, fed_by })
}

/// The keys that a part needs by how it lies, and those of other kinds told as a contradiction.
fn keys_of_kind(r: &mut Reader<'_>, s: &Section<'_>, lies: &str) {
    let (needed, own): (&[&str], &[&str]) = match lies {
        "buried" => (&["cover"], &["cover"]),
        "exposed" => (&["bore", "outside"], &EXPOSED),
        _ => (&["area", "depth"], &OPEN),
    };
    for key in needed {
        r.missing_here(s, key);
    }
    let others = ["cover"].into_iter().chain(EXPOSED).chain(OPEN);
    let mut told: Vec<&str> = Vec::new();
    for key in others.filter(|key| !own.contains(key)) {
        if s.has(key) && !told.contains(&key) {
            told.push(key);
            r.fault_at(
                s,
                key,
                FaultKind::Contradiction,
                format!("{key} in a part that lies {lies}"),
                format!("with it only location, stops, {}", own.join(", ")),
                "remove it, or correct location",
            );
        }
    }
}

fn drain(
    r: &mut Reader<'_>,
    s: &Section<'_>,
    empties: Option<&str>,
    drains_h: Option<f64>,
    shut: Vec<crate::calendar::DateSpan>,
) -> Option<Drain> {
    let word = if s.has("empties") { empties? } else { "not at all" };
    let needs = match word {
        "by itself" => Some("drains_in"),
        "by hand" => Some("shut"),
        _ => None,
    };
    for key in ["drains_in", "shut"] {
        if needs == Some(key) {
            r.missing_here(s, key);
        } else if s.has(key) {
            r.fault_at(
                s,
                key,
                FaultKind::Contradiction,
                format!("{key} with empties = \"{word}\""),
                "drains_in with \"by itself\", shut with \"by hand\"",
                "remove it, or correct empties",
            );
        }
    }
    if needs == Some("shut") && s.is_empty_list("shut") {
        r.fault_at(
            s,
            "shut",
            FaultKind::Contradiction,
            "no dates on which it is shut",
            "the dates from which it stands empty, such as \"11-15 to 04-10\"",
            "add them, or leave out empties",
        );
    }
    match word {
        "by itself" => Some(Drain::Itself { hours: drains_h? }),
        "by hand" => (!shut.is_empty()).then_some(Drain::ByHand(shut)),
        _ => Some(Drain::Stands),
    }
}

/// Names that a way can have.
struct Ways<'d> {
    hydrants: Vec<&'d str>,
    tanks: Vec<&'d str>,
    lifts: Vec<&'d str>,
}

fn way(r: &mut Reader<'_>, s: &Section<'_>, key: &str, word: &str, names: &Ways<'_>) -> Option<Way> {
    let Ways { hydrants, tanks, lifts } = names;
    match word {
        "supply" => return Some(Way::Supply),
        "delivery" if !hydrants.is_empty() => return Some(Way::Delivery),
        _ if hydrants.contains(&word) => return Some(Way::Hydrant(word.to_string())),
        _ if tanks.len() > 1 && tanks.contains(&word) => return Some(Way::Tank(word.to_string())),
        _ if lifts.contains(&word) => return Some(Way::Lift(word.to_string())),
        _ => {}
    }
    let mut known = vec!["supply"];
    if !hydrants.is_empty() {
        known.push("delivery");
        known.extend(hydrants);
    }
    if tanks.len() > 1 {
        known.extend(tanks);
    }
    known.extend(lifts);
    let way_out = nearest(word, known.iter().copied()).map_or_else(
        || "correct the name, or add the hydrant under [hydrant.NAME]".to_string(),
        |near| format!("did you mean {near}?"),
    );
    let list = some_of(&known);
    r.fault_at(
        s,
        key,
        FaultKind::UnknownWord,
        format!("no water line named {}", quoted(word)),
        format!("one of: {list}"),
        way_out,
    );
    None
}
