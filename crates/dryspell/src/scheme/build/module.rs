//! A module: by its datasheet, by five parameters, or by what stands on its plate.

use super::super::reader::{Reader, Section};
use super::super::values::Coefficient;
use crate::array::nameplate::{Class, MOST_CELLS, NOMINAL, cells_of, class, typical};
use crate::array::one_diode::SILICON_BAND_GAP_EV;
use crate::array::{Datasheet, Module, Nameplate, OneDiode};
use crate::fault::FaultKind;
use crate::scheme::DefaultUsed;
use crate::units::{Quantity, show};

/// Keys that only a module by its datasheet has.
const SHEET: [&str; 6] = ["isc", "voc", "imp", "vmp", "voc_temperature", "cells"];
/// Keys that only a module by its parameters has.
const MODEL: [&str; 5] =
    ["photocurrent", "saturation_current", "series_resistance", "shunt_resistance", "ideality"];

/// Keys that only a module by its plate has.
const PLATE: [&str; 2] = ["power", "nominal_voltage"];
/// Keys that a plate leaves out.
const NOT_ON_PLATE: [&str; 4] = ["voc", "vmp", "isc", "imp"];

/// The temperature coefficients that the scheme gives.
struct Coefficients {
    isc: Option<Coefficient>,
    voc: Option<Coefficient>,
}

pub(super) fn module(r: &mut Reader<'_>, s: &Section<'_>) -> Option<Module> {
    let sheet = SHEET.into_iter().find(|k| s.may_have(k));
    let model = MODEL.into_iter().find(|k| s.may_have(k));
    r.labels(s, &["make", "model"]);
    // All keys that are there are read, whichever kind of module it is, so that each is checked.
    let power = r.quantity(s, "power");
    let nominal = r.quantity(s, "nominal_voltage");
    let photocurrent = r.quantity(s, "photocurrent");
    let saturation = r.quantity(s, "saturation_current");
    let series = r.quantity(s, "series_resistance");
    let shunt = r.quantity(s, "shunt_resistance");
    let ideality = r.quantity(s, "ideality");
    let isc = r.quantity(s, "isc");
    let voc = r.quantity(s, "voc");
    let imp = r.quantity(s, "imp");
    let vmp = r.quantity(s, "vmp");
    let cells = r.count(s, "cells");
    let isc_temperature = r.coefficient(s, "isc_temperature");
    let voc_temperature = r.coefficient(s, "voc_temperature");
    if PLATE.into_iter().any(|k| s.may_have(k)) {
        let coefficients = Coefficients { isc: isc_temperature, voc: voc_temperature };
        return nameplate(r, s, (power, nominal, cells), &coefficients);
    }
    if let (Some(sheet), Some(model)) = (sheet, model) {
        r.fault_at(
            s,
            model,
            FaultKind::Contradiction,
            format!("{model} given as well as {sheet}"),
            "either the datasheet's values or the five parameters",
            format!("keep one of the two: {}; or {}", SHEET.join(", "), MODEL.join(", ")),
        );
    }
    r.missing_here(s, "isc_temperature");
    let isc_temperature =
        r.absolute(s, "isc_temperature", isc_temperature, if model.is_some() { photocurrent } else { isc });
    let voc_temperature = r.absolute(s, "voc_temperature", voc_temperature, voc);
    below(r, s, ("imp", imp), ("isc", isc), "current at maximum power is below the short-circuit current");
    below(r, s, ("vmp", vmp), ("voc", voc), "voltage at maximum power is below the open-circuit voltage");
    if model.is_some() {
        if sheet.is_none() {
            MODEL.into_iter().for_each(|k| r.missing_here(s, k));
        }
        return Some(Module::Parameters(OneDiode {
            photocurrent_a: photocurrent?,
            saturation_current_a: saturation?,
            series_resistance_ohm: series?,
            shunt_resistance_ohm: shunt?,
            modified_ideality_v: ideality?,
            isc_temperature_a_per_k: isc_temperature?,
            band_gap_ev: SILICON_BAND_GAP_EV,
        }));
    }
    SHEET.into_iter().for_each(|k| r.missing_here(s, k));
    Some(Module::Datasheet(Datasheet {
        isc_a: isc?,
        voc_v: voc?,
        imp_a: imp?,
        vmp_v: vmp?,
        isc_temperature_a_per_k: isc_temperature?,
        voc_temperature_v_per_k: voc_temperature?,
        cells: cells?,
    }))
}

fn below(
    r: &mut Reader<'_>,
    s: &Section<'_>,
    low: (&str, Option<f64>),
    high: (&str, Option<f64>),
    rule: &str,
) {
    if let ((name, Some(low)), (other, Some(high))) = (low, high)
        && low >= high
    {
        r.fault_at(
            s,
            name,
            FaultKind::Contradiction,
            format!("{name} is not below {other}"),
            rule,
            format!("check {name} and {other} against the datasheet"),
        );
    }
}

/// A module by its power and its nominal voltage or cells.
fn nameplate(
    r: &mut Reader<'_>,
    s: &Section<'_>,
    (power, nominal, cells): (Option<f64>, Option<f64>, Option<u32>),
    given: &Coefficients,
) -> Option<Module> {
    unmixed(r, s);
    r.missing_here(s, "power");
    if !s.may_have("cells") {
        r.missing_here(s, "nominal_voltage");
    }
    let cells = cells_in_series(r, s, nominal, cells)?;
    let mut plate =
        Nameplate { power_w: power?, cells, isc_temperature_a_per_k: None, voc_temperature_v_per_k: None };
    let sheet = typical(&plate);
    plate.isc_temperature_a_per_k = r.absolute(s, "isc_temperature", given.isc, Some(sheet.isc_a));
    plate.voc_temperature_v_per_k = r.absolute(s, "voc_temperature", given.voc, Some(sheet.voc_v));
    list_assumed(r, s, &plate);
    Some(Module::Nameplate(plate))
}

/// Faults of a plate that is mixed with a datasheet or with the five parameters.
fn unmixed(r: &mut Reader<'_>, s: &Section<'_>) {
    let plate = if s.may_have("nominal_voltage") { PLATE[1] } else { PLATE[0] };
    for name in NOT_ON_PLATE.into_iter().chain(MODEL).filter(|name| s.has(name)) {
        let way_out = if MODEL.contains(&name) {
            format!("remove {}, or the five parameters", PLATE.join(" and "))
        } else {
            format!("with the whole datasheet remove {}; without it remove {name}", PLATE.join(" and "))
        };
        r.fault_at(
            s,
            name,
            FaultKind::Contradiction,
            format!("{name} given as well as {plate}"),
            "either the datasheet's values, or power with nominal_voltage or cells, from which typical values are assumed",
            way_out,
        );
    }
    if s.has("cells") && s.has("nominal_voltage") {
        r.fault_at(
            s,
            "cells",
            FaultKind::Contradiction,
            "cells given as well as nominal_voltage",
            "either cells or nominal_voltage, which stands for a count of cells",
            "keep cells, if they were counted",
        );
    }
}

/// Cells in series, counted or by the nominal voltage.
fn cells_in_series(
    r: &mut Reader<'_>,
    s: &Section<'_>,
    nominal: Option<f64>,
    cells: Option<u32>,
) -> Option<u32> {
    if let Some(cells) = cells {
        if cells <= MOST_CELLS {
            return Some(cells);
        }
        r.fault_at(
            s,
            "cells",
            FaultKind::OutOfRange,
            format!("{cells} cells with a power alone"),
            format!("cells in series, at most {MOST_CELLS}: a module of half cells has two strings of them side by side"),
            format!("write cells = {} if these are half cells, or give the datasheet's values", cells / 2),
        );
        return None;
    }
    let nominal_v = nominal?;
    let found = cells_of(nominal_v);
    if found.is_none() {
        let known = NOMINAL.map(|(v, cells)| format!("{v} V ({cells} cells)")).join(", ");
        r.fault_at(
            s,
            "nominal_voltage",
            FaultKind::UnknownWord,
            format!(
                "no class of modules has a nominal voltage of {}",
                show(nominal_v, Quantity::Voltage, r.system)
            ),
            known,
            "count the cells and write cells in its place; a voltage such as 17.5 V is vmp, of the datasheet",
        );
    }
    found
}

/// What is assumed of a plate, among the values that the user left out.
fn list_assumed(r: &mut Reader<'_>, s: &Section<'_>, plate: &Nameplate) {
    let sheet = typical(plate);
    let class: &Class = class(plate.cells);
    let of = class.cells.map_or_else(String::new, |n| format!(" of {n} cells"));
    let why = format!(
        "assumed, typical of {} cells: the median of {} modules{of} in a public list, that of pvlib 0.16.1",
        plate.cells, class.rows
    );
    let share = |coefficient: f64, base: f64| format!("{:.3} %/K", 100.0 * coefficient / base);
    let mut assumed = vec![
        ("voc", format!("{:.1} V", sheet.voc_v)),
        ("vmp", format!("{:.1} V", sheet.vmp_v)),
        ("isc", format!("{:.2} A", sheet.isc_a)),
        ("imp", format!("{:.2} A", sheet.imp_a)),
    ];
    if plate.isc_temperature_a_per_k.is_none() {
        assumed.push(("isc_temperature", share(sheet.isc_temperature_a_per_k, sheet.isc_a)));
    }
    if plate.voc_temperature_v_per_k.is_none() {
        assumed.push(("voc_temperature", share(sheet.voc_temperature_v_per_k, sheet.voc_v)));
    }
    for (name, value) in assumed {
        r.defaults.push(DefaultUsed { key: s.key(name), value, why: why.clone() });
    }
}
