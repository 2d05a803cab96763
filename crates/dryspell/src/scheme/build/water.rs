//! Well, pump and pipe.

use super::super::reader::{Reader, Section, Value, described};
use crate::fault::{Fault, FaultKind, Location};
use crate::nearest::nearest;
use crate::pipe::{FITTINGS, HAZEN_WILLIAMS_C, MATERIALS, SHUT_BY_HAND};
use crate::pump::Settings as PumpSettings;
use crate::scheme::DefaultUsed;
use crate::scheme::keys::{KeyDoc, Kind, Range};
use crate::units::table::METRE_OF_WATER_PA;
use crate::units::{Quantity, retold_fault};
use crate::{pipe, pump, supply, well};
use toml::de::DeValue;

pub(super) fn well(r: &mut Reader<'_>, root: &Section<'_>) -> (Option<well::Settings>, Option<f64>) {
    let Some(s) = r.table(root, "well") else { return (None, None) };
    r.labels(&s, &["number"]);
    let level = r.months(&s, "static_level");
    let steps = r.key(&s, "step_test", step_test);
    let specific_capacity = if s.may_have("step_test") && !s.has("specific_capacity") {
        None
    } else {
        r.quantity(&s, "specific_capacity")
    };
    let well_loss = r.quantity(&s, "well_loss");
    let yield_m3_per_h = r.quantity(&s, "yield");
    let pump_setting_m = r.quantity(&s, "pump_setting");
    let submergence = r.quantity(&s, "submergence");
    let bore = r.quantity(&s, "bore");
    let drop_pipe = r.quantity(&s, "drop_pipe_diameter");
    let cut_out_m = r.quantity(&s, "cut_out");
    let delay = r.quantity(&s, "restart_delay");
    let back = r.quantity(&s, "restart_level");
    let water_degc = r.quantity(&s, "water_temperature");
    for other in ["specific_capacity", "well_loss"] {
        if s.has("step_test") && s.has(other) {
            beside(r, &s, "step_test", other);
        }
    }
    if delay.is_some() && back.is_some() {
        beside(r, &s, "restart_level", "restart_delay");
    }
    let (specific_capacity_m3_per_h_m, well_loss_h2_per_m5) = match steps {
        Some((b, c)) => (Some(1.0 / b), c),
        None => (specific_capacity, well_loss.unwrap_or(0.0)),
    };
    let settings = level.map(|static_level_m| well::Settings {
        static_level_m,
        specific_capacity_m3_per_h_m,
        well_loss_h2_per_m5,
        yield_m3_per_h,
        pump_setting_m,
        submergence_m: submergence.unwrap_or(0.0),
        bore: bore.map(|diameter_m| well::BoreSize { diameter_m, pipe_diameter_m: drop_pipe.unwrap_or(0.0) }),
        cut_out_m,
        restart: delay.map(well::Restart::Delay).or(back.map(well::Restart::Level)),
    });
    (settings, water_degc)
}

fn beside(r: &mut Reader<'_>, s: &Section<'_>, name: &str, other: &str) {
    r.fault_at(
        s,
        name,
        FaultKind::Contradiction,
        format!("{name} given as well as {other}"),
        format!("either {name} or {other}"),
        "keep one of them",
    );
}

/// B and C of a step test.
fn step_test(r: &mut Reader<'_>, v: Value<'_>, doc: &'static KeyDoc) -> Option<(f64, f64)> {
    let flow = doc.part(Kind::Quantity(Quantity::Flow), Range::Above(0.0, 10_000.0), "flow", "\"20 L/min\"");
    let fall = doc.part(Kind::Quantity(Quantity::Length), Range::Above(0.0, 2000.0), "drawdown", "\"1.2 m\"");
    let steps = r.pairs(v, doc, &["flow", "drawdown"], &flow, &fall)?;
    let fit = well::step_test(&steps).filter(|(b, c)| *b > 0.0 && *c >= 0.0);
    if fit.is_none() {
        r.refuse(
            v,
            FaultKind::Contradiction,
            "steps whose drawdown per unit of flow does not rise with flow, or a single flow",
            "two or more flows with s = B Q + C Q^2, B above 0, C not below 0",
            "check the rows; if drawdown is proportional to flow, give specific_capacity",
        );
    }
    fit
}

/// The runs and the weep hole, if one of them has it.
type Pipes = (Vec<pipe::Run>, Option<pipe::WeepHole>);

pub(super) fn runs(r: &mut Reader<'_>, root: &Section<'_>) -> Option<Pipes> {
    let tables = r.named_tables(root, "pipe");
    let mut hole: Option<pipe::WeepHole> = None;
    let mut runs = Vec::new();
    for (i, (name, s)) in tables.into_iter().enumerate() {
        runs.push(run(r, name, &s));
        let Some(found) = weep_hole(r, &s, i) else { continue };
        if hole.is_some() {
            r.fault_at(
                &s,
                "weep_hole",
                FaultKind::Contradiction,
                "a second weep hole",
                "one weep hole, in the run that ends at the wellhead",
                "remove it",
            );
        }
        hole = Some(found);
    }
    let runs: Option<Vec<_>> = runs.into_iter().collect();
    Some((runs?, hole))
}

fn weep_hole(r: &mut Reader<'_>, s: &Section<'_>, run: usize) -> Option<pipe::WeepHole> {
    let diameter = r.quantity(s, "weep_hole");
    let depth = r.quantity(s, "weep_hole_depth");
    let coefficient = r.number(s, "weep_hole_coefficient");
    if s.may_have("weep_hole") {
        r.missing_here(s, "weep_hole_depth");
    } else if s.may_have("weep_hole_depth") || s.may_have("weep_hole_coefficient") {
        r.missing_here(s, "weep_hole");
    }
    let (diameter_m, depth_m) = (diameter?, depth?);
    if !s.may_have("weep_hole_coefficient") {
        r.defaults.push(DefaultUsed {
            key: s.key("weep_hole_coefficient"),
            value: format!("{WEEP_HOLE_COEFFICIENT}"),
            why: "a hole deeper than twice its diameter, as in a pipe wall; 0.61 for a sharp edge".into(),
        });
    }
    let discharge_coefficient =
        if s.may_have("weep_hole_coefficient") { coefficient? } else { WEEP_HOLE_COEFFICIENT };
    Some(pipe::WeepHole { run, depth_m, diameter_m, discharge_coefficient })
}

/// Discharge coefficient of a weep hole where none is given.
const WEEP_HOLE_COEFFICIENT: f64 = 0.8;

/// One run of pipe.
pub(super) fn run(r: &mut Reader<'_>, name: String, s: &Section<'_>) -> Option<pipe::Run> {
    let length_m = r.quantity(s, "length");
    let bore_m = r.quantity(s, "bore");
    let roughness = r.quantity(s, "roughness");
    let material =
        r.key(s, "material", |r, v, doc| r.word_value(v, MATERIALS.iter().map(|(name, _)| *name), doc));
    let of = |table: &[(&str, f64)]| {
        material.and_then(|word| table.iter().find(|(name, _)| *name == word).map(|(_, value)| *value))
    };
    let coefficient = r.number(s, "hazen_williams_c");
    let class = r.quantity(s, "pressure_class");
    let drains_back = r.flag(s, "drains_back");
    match (s.may_have("roughness"), s.may_have("material")) {
        (true, true) => r.fault_at(
            s,
            "roughness",
            FaultKind::Contradiction,
            "roughness given as well as material",
            "either the material or the roughness of its wall",
            "keep one of them",
        ),
        (false, false) => r.missing_here(s, "material"),
        _ => {}
    }
    let fittings = if s.may_have("fittings") {
        r.key(s, "fittings", fittings)
    } else {
        // Notes that there are none.
        r.key(s, "fittings", |_, _, _| None).or(Some(Fittings::default()))
    };
    let Fittings { coefficient: fittings_k, can_be_shut } = fittings?;
    Some(pipe::Run {
        name,
        length_m: length_m?,
        bore_m: bore_m?,
        roughness_m: roughness.or(of(MATERIALS))?,
        fittings_k,
        hazen_williams_c: coefficient.or(of(HAZEN_WILLIAMS_C)),
        pressure_class_m: class.map(|pa| pa / METRE_OF_WATER_PA),
        can_be_shut,
        drains_back: drains_back.unwrap_or(false),
    })
}

/// What the fittings of a run do together.
#[derive(Default)]
struct Fittings {
    /// Sum of the loss coefficients.
    coefficient: f64,
    /// Whether one of them is a hand valve.
    can_be_shut: bool,
}

/// Reads the fittings of a run.
fn fittings(r: &mut Reader<'_>, v: Value<'_>, doc: &'static KeyDoc) -> Option<Fittings> {
    let DeValue::Table(table) = v.de else {
        r.wrong_type(v, "a table of fittings and their number", doc);
        return None;
    };
    // Names have spaces, keys have underscores.
    let names: Vec<String> = FITTINGS.iter().map(|(name, _)| name.replace(' ', "_")).collect();
    let mut all = Fittings::default();
    let mut sound = true;
    for (key, count) in table {
        let name: &str = key.get_ref();
        let path = format!("{}.{name}", v.path);
        let at = count.span().start;
        r.note(&path, at);
        let value = Value { path: &path, at: Some(at), de: count.get_ref() };
        let Some((trade, k)) = FITTINGS.iter().zip(&names).find(|(_, n)| *n == name).map(|(f, _)| f) else {
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
                    Some(n) => {
                        all.coefficient += n * k;
                        all.can_be_shut |= n > 0.0 && SHUT_BY_HAND.contains(trade);
                    }
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
    sound.then_some(all)
}

/// The checks that pump, well and pipe make themselves, once their values are in range: the duty table's rows, and
/// whether it reaches the static head.
pub(super) fn check_together(
    r: &mut Reader<'_>,
    table: &str,
    pump: Option<&PumpSettings>,
    all: Option<&supply::Settings>,
) {
    let faults = match (pump, all) {
        (_, Some(all)) => supply::System::new(all).err(),
        (Some(pump), None) => pump::Pump::new(pump, 1000.0).err(),
        (None, None) => None,
    };
    for mut fault in faults.into_iter().flatten() {
        if let Some(key) = fault.location.key.as_mut().filter(|_| !table.is_empty()) {
            *key = format!("{table}.{key}");
        }
        fault.location = place(r, &fault);
        r.faults.push(retold_fault(fault, r.system));
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
