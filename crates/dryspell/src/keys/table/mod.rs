//! The table of all tables and keys: a file for each part of a scheme, one list of them all.

mod ageing;
mod array;
mod backup;
mod coupling;
mod delivery;
mod frost;
mod garden;
mod goal;
mod herd;
mod inflow;
mod pipe;
mod price;
mod pump;
mod rules;
mod site;
mod tank;
mod top;
mod weather;
mod well;
mod what_if;

use super::{KeyDoc, Kind, Presence, Range, SectionDoc};

/// All tables, in the water's order.
pub const SECTIONS: &[SectionDoc] = &[
    section("weather", true, "the weather record"),
    section("site", false, "surroundings of the panels"),
    section("snow", false, "snow on the panels"),
    section("array.*", true, "an array of solar panels in one plane (several add up)"),
    section("array.*.module", true, "the module (panel), by its datasheet or by five model parameters"),
    section("array.*.cable", false, "the cable from the array to the pump's controller"),
    section("well", true, "the well"),
    section("pump", true, "the pump"),
    section("coupling", false, "the coupling between array and pump"),
    section("pipe.*", true, "a run of pipe of one bore, in the order in which the water flows"),
    section("herd.*", false, "a group of animals"),
    section("extra.*", false, "a steady draw in addition to the herd, such as wildlife"),
    section("garden.*", false, "a garden or small field, watered after the stock"),
    section("inflow.*", false, "water that runs into the tank besides the pump's, such as a spring"),
    section("tank.*", true, "a tank"),
    section(
        "tank.*.feed",
        false,
        "what feeds this tank from another: a pipe in which the water runs down, or a transfer pump",
    ),
    alike("tank.*.feed.pipe.*", "pipe.*", "a run of pipe between the two tanks, in the water's order"),
    alike("tank.*.delivery.*", "pipe.*", "a run of pipe from this tank shared by the hydrants that name it"),
    section("lift.*", false, "a further well with pump, pipe and panels of its own"),
    SectionDoc { needed: true, ..alike("lift.*.array.*", "array.*", "an array of its panels") },
    SectionDoc {
        needed: true,
        ..alike("lift.*.array.*.module", "array.*.module", "a module of these panels")
    },
    alike("lift.*.array.*.cable", "array.*.cable", "the cable from these panels"),
    SectionDoc { needed: true, ..alike("lift.*.well", "well", "this well") },
    SectionDoc {
        needed: true,
        ..alike("lift.*.pump", "pump", "its pump; into names the tank that it fills")
    },
    alike("lift.*.coupling", "coupling", "the coupling between its array and its pump"),
    SectionDoc { needed: true, ..alike("lift.*.pipe.*", "pipe.*", "a run of pipe from this well") },
    section(
        "backup",
        false,
        "water brought when the tank is low: by a generator, from a main, in hauled loads",
    ),
    alike("delivery.*", "pipe.*", "a run of pipe from the tank shared by all hydrants"),
    section("hydrant.*", false, "a hydrant with its trough, at the herd's place of the same name"),
    alike("hydrant.*.pipe.*", "pipe.*", "a run of pipe to this hydrant alone"),
    section("booster", false, "a battery-fed pump between tank and hydrants"),
    section("booster.battery", false, "its battery"),
    section("booster.pressure_tank", false, "its pre-charged pressure tank and switch"),
    alike("booster.panel", "array.*", "its own panels"),
    SectionDoc {
        needed: true,
        ..alike("booster.panel.module", "array.*.module", "a module of these panels")
    },
    alike("booster.panel.cable", "array.*.cable", "the cable from these panels"),
    section("frost", false, "soil and design winter, against which buried parts are checked"),
    section("frost.part.*", false, "a part of the scheme exposed to frost"),
    section("rules", false, "how days of shortfall are counted"),
    section("goal", false, "what is asked of the scheme, one thing or more; judged without a backup"),
    section(
        "ageing",
        false,
        "what a year takes of modules and pump and adds to the herd, for what breaks the scheme first",
    ),
    section("price", false, "what parts cost, to order what would mend the scheme"),
    section(
        "what_if.*",
        false,
        "a question: the same scheme with something set anew; in run --full, odds and the document",
    ),
    section(
        "uncertain",
        false,
        "how sure the values are, for `odds`: one standard deviation, a line each, under the key as it stands in the file, as a share of its value or as an \
         amount: `\"herd.cows.count\" = \"10 %\"`, `\"well.static_level\" = \"2 m\"`. A `*` takes all of a kind together: `\"herd.*.count\"`",
    ),
    section(
        "sources",
        false,
        "where values come from, a line each, under the key or table as it stands in the file: `\"well.static_level\" = \"driller's log, 2024-05-03\"`, \
         `\"pump\" = \"maker's sheet 7\"`. Shown beside the values; nothing is reckoned with them",
    ),
];

const fn section(path: &'static str, needed: bool, meaning: &'static str) -> SectionDoc {
    SectionDoc { path, needed, like: None, meaning }
}

const fn alike(path: &'static str, like: &'static str, meaning: &'static str) -> SectionDoc {
    SectionDoc { path, needed: false, like: Some(like), meaning }
}

const fn key(
    section: &'static str,
    name: &'static str,
    kind: Kind,
    range: Range,
    presence: Presence,
    example: &'static str,
    meaning: &'static str,
) -> KeyDoc {
    KeyDoc { section, name, kind, range, presence, example, meaning }
}

const fn default(literal: &'static str, source: &'static str) -> Presence {
    Presence::Default { literal, source }
}

const fn without(value: &'static str, means: &'static str) -> Presence {
    Presence::Without { value, means }
}

const fn free(note: &'static str) -> Presence {
    Presence::Free { note }
}

const COUNT: Range = Range::Between(1.0, 1000.0);

/// The parts, in the water's order.
const PARTS: &[&[KeyDoc]] = &[
    top::KEYS,
    weather::KEYS,
    site::KEYS,
    array::KEYS,
    well::KEYS,
    pump::KEYS,
    coupling::KEYS,
    pipe::KEYS,
    herd::KEYS,
    garden::KEYS,
    inflow::KEYS,
    tank::KEYS,
    backup::KEYS,
    delivery::KEYS,
    frost::KEYS,
    rules::KEYS,
    goal::KEYS,
    ageing::KEYS,
    price::KEYS,
    what_if::KEYS,
];

const fn total(parts: &[&[KeyDoc]]) -> usize {
    let (mut sum, mut part) = (0, 0);
    while part < parts.len() {
        sum += parts[part].len();
        part += 1;
    }
    sum
}

const fn joined<const N: usize>(parts: &[&[KeyDoc]]) -> [KeyDoc; N] {
    let mut all = [parts[0][0]; N];
    let (mut at, mut part) = (0, 0);
    while part < parts.len() {
        let mut i = 0;
        while i < parts[part].len() {
            all[at] = parts[part][i];
            at += 1;
            i += 1;
        }
        part += 1;
    }
    all
}

static ALL: [KeyDoc; total(PARTS)] = joined(PARTS);

/// All keys.
pub const KEYS: &[KeyDoc] = &ALL;
