//! Arrays, modules and cables.

use super::super::reader::{Reader, Section};
use crate::array::cable::{copper_ohm, gauge_area_m2};
use crate::array::one_diode::SILICON_BAND_GAP_EV;
use crate::array::{ArraySettings, Datasheet, Faiman, Module, OneDiode};
use crate::fault::FaultKind;
use crate::scheme::DefaultUsed;

/// Keys that only a module by its datasheet has.
const SHEET: [&str; 6] = ["isc", "voc", "imp", "vmp", "voc_temperature", "cells"];
/// Keys that only a module by its parameters has.
const MODEL: [&str; 5] =
    ["photocurrent", "saturation_current", "series_resistance", "shunt_resistance", "ideality"];

pub(super) fn arrays(r: &mut Reader<'_>, root: &Section<'_>) -> Option<Vec<ArraySettings>> {
    let tables = r.named_tables(root, "array");
    let read: Vec<_> = tables.into_iter().map(|(name, section)| one(r, name, &section)).collect();
    read.into_iter().collect()
}

fn one(r: &mut Reader<'_>, name: String, section: &Section<'_>) -> Option<ArraySettings> {
    let tilt_deg = r.quantity(section, "tilt");
    let azimuth_deg = r.direction(section, "azimuth");
    let series = r.count(section, "series");
    let parallel = r.count(section, "parallel");
    let soiling = r.quantity(section, "soiling");
    let mismatch = r.quantity(section, "mismatch");
    let incidence_loss = r.flag(section, "incidence_loss");
    let u0 = r.quantity(section, "heat_loss");
    let u1 = r.quantity(section, "wind_heat_loss");
    let module = r.table(section, "module").and_then(|s| module(r, &s));
    let cable_ohm = cable(r, section);
    Some(ArraySettings {
        name,
        tilt_deg: tilt_deg?,
        azimuth_deg: azimuth_deg?,
        module: module?,
        series: series?,
        parallel: parallel?,
        soiling: soiling?,
        mismatch: mismatch?,
        cable_ohm: cable_ohm?,
        incidence_loss: incidence_loss?,
        faiman: Faiman { u0: u0?, u1: u1? },
    })
}

fn module(r: &mut Reader<'_>, s: &Section<'_>) -> Option<Module> {
    let sheet = SHEET.into_iter().find(|k| s.may_have(k));
    let model = MODEL.into_iter().find(|k| s.may_have(k));
    if let (Some(sheet), Some(model)) = (sheet, model) {
        r.fault_at(
            s,
            model,
            FaultKind::Contradiction,
            format!("{model} stands beside {sheet}"),
            "either the datasheet's values or the five parameters",
            format!("keep one of the two: {}; or {}", SHEET.join(", "), MODEL.join(", ")),
        );
    }
    // All keys that are there are read, whichever kind of module it is, so that each is checked.
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
    let isc_temperature =
        r.absolute(s, "isc_temperature", isc_temperature, if model.is_some() { photocurrent } else { isc });
    let voc_temperature = r.absolute(s, "voc_temperature", voc_temperature, voc);
    below(r, s, ("imp", imp), ("isc", isc), "current at maximum power lies below the short-circuit current");
    below(r, s, ("vmp", vmp), ("voc", voc), "voltage at maximum power lies below the open-circuit voltage");
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

/// Resistance of the cable, Ω; none counts as no resistance and is listed.
fn cable(r: &mut Reader<'_>, array: &Section<'_>) -> Option<f64> {
    let s = r.table(array, "cable")?;
    if !array.has("cable") {
        if !array.may_have("cable") {
            r.defaults.push(DefaultUsed {
                key: array.key("cable"),
                value: "none".into(),
                why: "no power is lost in the cable".into(),
            });
        }
        return Some(0.0);
    }
    let length = r.quantity(&s, "length");
    let area = r.quantity(&s, "area");
    let gauge = r.count(&s, "awg");
    let resistance = r.quantity(&s, "resistance");
    let given: Vec<&str> = ["area", "awg", "resistance"].into_iter().filter(|k| s.may_have(k)).collect();
    match given[..] {
        [] => r.missing_here(&s, "area"),
        [_] => {}
        [first, second, ..] => r.fault_at(
            &s,
            second,
            FaultKind::Contradiction,
            format!("{second} stands beside {first}"),
            "exactly one of area, awg and resistance",
            "keep one of them",
        ),
    }
    if s.has("resistance") {
        return resistance;
    }
    if !given.is_empty() {
        r.missing_here(&s, "length");
        r.defaults.push(DefaultUsed {
            key: array.key("cable"),
            value: "copper at 75 °C".into(),
            why: "as common resistance tables; cooler copper loses less".into(),
        });
    }
    let area = area.or_else(|| gauge.map(gauge_area_m2));
    Some(copper_ohm(length?, area?))
}
