//! Arrays of panels held against the ranges of their keys.

use super::Check;
use crate::array::incidence::Glass;
use crate::array::nameplate::typical;
use crate::array::soiling::{Dust, Soiling};
use crate::array::{self, ArraySettings, Datasheet, Faiman, Module, OneDiode};
use crate::fault::{Fault, FaultKind};
use crate::keys::{self, Range};

impl Check {
    pub(super) fn arrays(&mut self, settings: &array::Settings, section: &str) {
        let array::Settings { arrays, terminals: _, snow } = settings;
        if arrays.is_empty() {
            self.0.push(Fault::at_key(
                section.trim_end_matches(".*"),
                FaultKind::MissingKey,
                "no array of panels",
                "at least one array",
                "add an array",
            ));
        }
        for array in arrays {
            self.array(array, section);
        }
        self.value("snow", "", "swept_at", snow.swept_at_h);
        for (month, days) in (1..).zip(snow.covered_days) {
            if days > 31 && !self.tells("snow.covered_days") {
                self.0.push(Fault::at_key(
                    "snow.covered_days",
                    FaultKind::OutOfRange,
                    format!("{days} days in month {month}"),
                    "0 to 31 days",
                    "correct the value",
                ));
            }
        }
    }

    fn array(&mut self, settings: &ArraySettings, section: &str) {
        let ArraySettings {
            name,
            tilt_deg,
            seasons,
            azimuth_deg,
            module,
            series,
            parallel,
            soiling,
            mismatch,
            cable_ohm,
            glass,
            faiman: Faiman { u0, u1 },
            slope_strings,
        } = settings;
        self.values(
            section,
            name,
            [
                ("tilt", *tilt_deg),
                ("azimuth", *azimuth_deg),
                ("series", f64::from(*series)),
                ("parallel", f64::from(*parallel)),
                ("mismatch", *mismatch),
                ("heat_loss", *u0),
                ("wind_heat_loss", *u1),
                ("slope_strings", f64::from(*slope_strings)),
            ],
        );
        let tilt = keys::find(section, "tilt").map_or(Range::Any, |k| k.range);
        if let Some(season) = seasons.iter().find(|s| !tilt.holds(s.tilt_deg)) {
            self.value(section, name, "tilt", season.tilt_deg);
        }
        match soiling {
            Soiling::Share(share) => self.value(section, name, "soiling", *share),
            Soiling::Rain(Dust { per_day, washed_by_mm, damp_days }) => self.values(
                section,
                name,
                [
                    ("dust", *per_day),
                    ("cleaning_rain", washed_by_mm / 1000.0),
                    ("dust_free_for", 24.0 * f64::from(*damp_days)),
                ],
            ),
        }
        if let Glass::Ashrae { coefficient } = glass {
            self.value(section, name, "ashrae_coefficient", *coefficient);
        }
        self.module(module, &format!("{section}.module"), name);
        self.value(&format!("{section}.cable"), name, "resistance", *cable_ohm);
    }

    fn module(&mut self, module: &Module, section: &str, name: &str) {
        match module {
            Module::Parameters(OneDiode {
                photocurrent_a,
                saturation_current_a,
                series_resistance_ohm,
                shunt_resistance_ohm,
                modified_ideality_v,
                isc_temperature_a_per_k,
                band_gap_ev,
            }) => {
                self.values(
                    section,
                    name,
                    [
                        ("photocurrent", *photocurrent_a),
                        ("saturation_current", *saturation_current_a),
                        ("series_resistance", *series_resistance_ohm),
                        ("shunt_resistance", *shunt_resistance_ohm),
                        ("ideality", *modified_ideality_v),
                        ("isc_temperature", isc_temperature_a_per_k / photocurrent_a),
                    ],
                );
                // It has no key: silicon's, or what a fit found.
                if !(0.1..=10.0).contains(band_gap_ev) {
                    self.value(section, name, "band_gap", f64::NAN);
                }
            }
            Module::Datasheet(Datasheet {
                isc_a,
                voc_v,
                imp_a,
                vmp_v,
                isc_temperature_a_per_k,
                voc_temperature_v_per_k,
                cells,
            }) => self.values(
                section,
                name,
                [
                    ("isc", *isc_a),
                    ("voc", *voc_v),
                    ("imp", *imp_a),
                    ("vmp", *vmp_v),
                    ("isc_temperature", isc_temperature_a_per_k / isc_a),
                    ("voc_temperature", voc_temperature_v_per_k / voc_v),
                    ("cells", f64::from(*cells)),
                ],
            ),
            Module::Nameplate(plate) => {
                let sheet = typical(plate);
                self.values(
                    section,
                    name,
                    [
                        ("power", plate.power_w),
                        ("cells", f64::from(plate.cells)),
                        ("isc_temperature", sheet.isc_temperature_a_per_k / sheet.isc_a),
                        ("voc_temperature", sheet.voc_temperature_v_per_k / sheet.voc_v),
                    ],
                );
            }
        }
    }
}
