//! Arrays and cables.

use super::super::reader::{Reader, Section};
use super::module;
use crate::array::cable::{copper_ohm, gauge_area_m2};
use crate::array::facing::Season;
use crate::array::incidence::Glass;
use crate::array::soiling::{Dust, Soiling};
use crate::array::{ArraySettings, Faiman};
use crate::fault::FaultKind;
use crate::scheme::DefaultUsed;
use crate::scheme::keys::{Kind, Range};
use crate::units::Quantity;

pub(super) fn arrays(r: &mut Reader<'_>, root: &Section<'_>) -> Option<Vec<ArraySettings>> {
    let tables = r.named_tables(root, "array");
    let read: Vec<_> = tables.into_iter().map(|(name, section)| one(r, name, &section)).collect();
    read.into_iter().collect()
}

/// One array.
pub(super) fn one(r: &mut Reader<'_>, name: String, section: &Section<'_>) -> Option<ArraySettings> {
    let tilt_deg = r.quantity(section, "tilt");
    let (seasons, sound) = seasons(r, section);
    let azimuth_deg = r.direction(section, "azimuth");
    let series = r.count(section, "series");
    let parallel = r.count(section, "parallel");
    let soiling = soiling(r, section);
    let slope_strings = r.count(section, "slope_strings");
    let mismatch = r.quantity(section, "mismatch");
    let glass = glass(r, section);
    let u0 = r.quantity(section, "heat_loss");
    let u1 = r.quantity(section, "wind_heat_loss");
    let module = r.table(section, "module").and_then(|s| module::module(r, &s));
    let cable_ohm = cable(r, section);
    Some(ArraySettings {
        name,
        tilt_deg: tilt_deg?,
        seasons: sound.then_some(seasons)?,
        azimuth_deg: azimuth_deg?,
        module: module?,
        series: series?,
        parallel: parallel?,
        soiling: soiling?,
        mismatch: mismatch?,
        cable_ohm: cable_ohm?,
        glass: glass?,
        faiman: Faiman { u0: u0?, u1: u1? },
        slope_strings: slope_strings.unwrap_or(1),
    })
}

/// Dates with a tilt of their own, and whether all of them are sound.
fn seasons(r: &mut Reader<'_>, section: &Section<'_>) -> (Vec<Season>, bool) {
    let mut seasons: Vec<Season> = Vec::new();
    let sound = r.key(section, "seasonal_tilt", |r, v, doc| {
        let span = doc.part(Kind::Dates, Range::Any, "dates", "\"10-15 to 02-28\"");
        let tilt = doc.part(
            Kind::Quantity(Quantity::Angle),
            Range::Between(0.0, 90.0),
            "tilt from the horizontal",
            "\"65 deg\"",
        );
        Some(r.rows(v, doc, 2, |r, row, cells| {
            let dates = r.span_value(cells[0], &span);
            let tilt_deg = r.quantity_value(cells[1], &tilt);
            let (dates, tilt_deg) = (dates?, tilt_deg?);
            let meets = |other: &Season| {
                other.dates.contains(dates.from)
                    || other.dates.contains(dates.to)
                    || dates.contains(other.dates.from)
            };
            if seasons.iter().any(meets) {
                r.refuse(
                    row,
                    FaultKind::Contradiction,
                    "dates already in an earlier row",
                    "each date in one row at most",
                    "separate the dates so that they do not overlap",
                );
            }
            seasons.push(Season { dates, tilt_deg });
            Some(())
        }))
    });
    (seasons, sound != Some(false))
}

/// A constant share, or dust that rain washes off.
fn soiling(r: &mut Reader<'_>, s: &Section<'_>) -> Option<Soiling> {
    let per_day = r.quantity(s, "dust");
    let washed_by_m = r.quantity(s, "cleaning_rain");
    let damp_h = r.quantity(s, "dust_free_for");
    if !s.may_have("dust") {
        for key in ["cleaning_rain", "dust_free_for"] {
            if s.has(key) {
                r.fault_at(
                    s,
                    key,
                    FaultKind::Contradiction,
                    format!("{key} has no effect without dust"),
                    "cleaning_rain and dust_free_for only with dust",
                    "remove it, or give dust in place of soiling",
                );
            }
        }
        return r.quantity(s, "soiling").map(Soiling::Share);
    }
    if s.has("soiling") {
        r.quantity(s, "soiling");
        r.fault_at(
            s,
            "dust",
            FaultKind::Contradiction,
            "dust given as well as soiling",
            "either soiling, a constant share, or dust, which rain washes off",
            "keep one of them",
        );
    }
    let days = libm::round(damp_h.unwrap_or(14.0 * 24.0) / 24.0).clamp(0.0, 365.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a whole number from 0 to 365"
    )]
    let damp_days = days as u32;
    Some(Soiling::Rain(Dust {
        per_day: per_day?,
        washed_by_mm: washed_by_m.map_or(6.0, |m| 1000.0 * m),
        damp_days,
    }))
}

fn glass(r: &mut Reader<'_>, s: &Section<'_>) -> Option<Glass> {
    let counted = r.flag(s, "incidence_loss");
    let coefficient = r.number(s, "ashrae_coefficient");
    if counted == Some(false) && s.has("ashrae_coefficient") {
        r.fault_at(
            s,
            "ashrae_coefficient",
            FaultKind::Contradiction,
            "ashrae_coefficient has no effect with incidence_loss = false",
            "ashrae_coefficient only where the loss at the glass is counted",
            "remove one of them",
        );
    }
    Some(match (counted?, coefficient) {
        (false, _) => Glass::Clear,
        (true, Some(coefficient)) => Glass::Ashrae { coefficient },
        (true, None) => Glass::Fresnel,
    })
}

/// Resistance of the cable, Ω; none counts as no resistance and is listed.
fn cable(r: &mut Reader<'_>, array: &Section<'_>) -> Option<f64> {
    let s = r.table(array, "cable")?;
    if !array.has("cable") {
        if !array.may_have("cable") {
            r.defaults.push(DefaultUsed {
                key: array.key("cable"),
                value: "none".into(),
                why: "cable loss left out".into(),
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
            format!("{second} given as well as {first}"),
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
            why: "as in common resistance tables; cooler copper loses less".into(),
        });
    }
    let area = area.or_else(|| gauge.map(gauge_area_m2));
    Some(copper_ohm(length?, area?))
}
