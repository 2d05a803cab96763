//! One array in one hour: from the light on its plane to its power.

use super::circuit::{Wiring, array_power_w};
use super::facing::{Facing, Facings};
use super::faiman::{DEFAULT_WIND_M_PER_S, cell_degc};
use super::fit::{self, FittedModule};
use super::nameplate::typical;
use super::one_diode::curve;
use super::settings::{ArraySettings, Datasheet, Module, OneDiode};
use super::snow::working_share;
use super::soiling::{Soiling, dust_share, dust_share_of_a_ring};
use crate::calendar::MonthDay;
use crate::fault::{Fault, FaultKind};
use crate::record::Record;
use crate::sun::plane::{PlaneLight, plane_light};
use crate::sun::{Horizon, SkyHour, SkyModel};

/// An array with what does not change from hour to hour worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct ArrayModel<'a> {
    /// What the scheme says.
    pub settings: &'a ArraySettings,
    /// The module's five parameters, given or fitted.
    pub module: OneDiode,
    /// Peak power, W.
    pub peak_w: f64,
    /// How the module was fitted; `None` where the parameters were given.
    pub fitted: Option<FittedModule>,
    facings: Facings,
}

/// One hour of one array, with everything between light and power.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ArrayHour {
    /// Light on the plane, by where it comes from.
    pub plane: PlaneLight,
    /// Share of the beam that enters the glass, 0 to 1.
    pub beam_share: f64,
    /// Light that reaches the cells: after glass, dirt and snow, W/m².
    pub light_w_per_m2: f64,
    /// Cell temperature, °C.
    pub cell_degc: f64,
    /// Share of the strings free of snow, 0 to 1.
    pub working_share: f64,
    /// Maximum power at the load's end of the cable, W.
    pub power_w: f64,
}

/// What surrounds the panels in one hour, besides the sun.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// The date.
    pub date: MonthDay,
    /// Air temperature, °C.
    pub air_degc: f64,
    /// Wind, m/s.
    pub wind_m_per_s: f64,
    /// Share of the slope covered with snow, 0 to 1.
    pub snow_cover: f64,
    /// Share of light lost to dirt, 0 to 1.
    pub soiling: f64,
}

impl Conditions {
    /// Those of hour `h` of a record; wind missing counts as `DEFAULT_WIND_M_PER_S`.
    #[must_use]
    pub fn of(record: &Record, h: usize, snow_cover: f64, soiling: f64) -> Self {
        Self {
            date: record.calendar.day_of(h).month_day(),
            air_degc: record.air_degc[h],
            wind_m_per_s: record.wind_m_per_s.as_ref().map_or(DEFAULT_WIND_M_PER_S, |w| w[h]),
            snow_cover,
            soiling,
        }
    }
}

impl<'a> ArrayModel<'a> {
    /// Works out the module and the planes of an array.
    ///
    /// # Errors
    /// No physical set of five parameters meets the module's datasheet.
    pub fn new(settings: &'a ArraySettings, horizon: Option<&Horizon>) -> Result<Self, Fault> {
        let (module, fitted) = match &settings.module {
            Module::Parameters(module) => (*module, None),
            Module::Datasheet(sheet) => fitted_to(&settings.name, sheet)?,
            Module::Nameplate(plate) => fitted_to(&settings.name, &typical(plate))?,
        };
        let peak = curve(&module, 1000.0, 25.0).map_or(0.0, |c| c.maximum_power().power_w);
        Ok(Self {
            settings,
            module,
            peak_w: peak * f64::from(settings.series) * f64::from(settings.parallel),
            fitted,
            facings: Facings::new(settings, horizon),
        })
    }

    /// Module, strings and cable.
    #[must_use]
    pub const fn wiring(&self) -> Wiring {
        let s = self.settings;
        Wiring {
            module: self.module,
            series: s.series,
            parallel: s.parallel,
            cable_ohm: s.cable_ohm,
            mismatch: s.mismatch,
        }
    }

    /// Where the array faces on a date.
    #[must_use]
    pub fn facing(&self, date: MonthDay) -> &Facing {
        self.facings.on(date)
    }

    /// Light, cell temperature and power of one hour.
    #[must_use]
    pub fn hour(&self, model: SkyModel, sky: &SkyHour, conditions: &Conditions) -> ArrayHour {
        let facing = self.facing(conditions.date);
        self.lit_hour(facing, &plane_light(model, sky, &facing.plane), conditions)
    }

    /// The same from the light on the plane.
    ///
    /// Cell temperature follows all the light on the plane; power follows what passes glass and dirt. Panels that snow
    /// covers wholly are as warm as the air; strings that it covers give nothing.
    pub(super) fn lit_hour(&self, facing: &Facing, plane: &PlaneLight, conditions: &Conditions) -> ArrayHour {
        let s = self.settings;
        let plane = *plane;
        let total = plane.total();
        let beam_share = s.glass.beam(plane.cos_incidence);
        let working_share = if conditions.snow_cover > 0.0 {
            working_share(conditions.snow_cover, s.slope_strings)
        } else {
            1.0
        };
        if total <= 0.0 || conditions.snow_cover >= 1.0 {
            return ArrayHour {
                plane,
                beam_share,
                light_w_per_m2: 0.0,
                cell_degc: conditions.air_degc,
                working_share,
                power_w: 0.0,
            };
        }
        let entering = beam_share * (plane.beam + plane.sky.circumsolar)
            + facing.diffuse.sky * plane.sky.isotropic
            + facing.diffuse.horizon * plane.sky.horizon
            + facing.diffuse.ground * plane.ground;
        let light_w_per_m2 = entering.max(0.0) * (1.0 - conditions.soiling);
        let cell_degc = cell_degc(&s.faiman, conditions.air_degc, total, conditions.wind_m_per_s);
        let power_w = curve(&self.module, light_w_per_m2, cell_degc)
            .map_or(0.0, |c| array_power_w(&c, s.series, s.parallel, s.cable_ohm, s.mismatch))
            * working_share;
        ArrayHour { plane, beam_share, light_w_per_m2, cell_degc, working_share, power_w }
    }

    /// Share of light lost to dirt in each hour of a record.
    pub(super) fn soiling(&self, record: &Record) -> Result<Vec<f64>, Fault> {
        let dust = match &self.settings.soiling {
            Soiling::Share(share) => return Ok(vec![*share; record.hours()]),
            Soiling::Rain(dust) => dust,
        };
        let rain = record.precipitation_mm.as_ref().ok_or_else(|| no_rain(&self.settings.name))?;
        Ok(if record.calendar.is_one_year() {
            dust_share_of_a_ring(dust, rain)
        } else {
            dust_share(dust, rain, 0.0)
        })
    }
}

/// The module of a datasheet and how it was fitted.
fn fitted_to(name: &str, sheet: &Datasheet) -> Result<(OneDiode, Option<FittedModule>), Fault> {
    let fitted = fit::fit(sheet).ok_or_else(|| no_fit(name, sheet))?;
    Ok((fitted.module, Some(fitted)))
}

/// The fault for dust without rain in the record.
fn no_rain(name: &str) -> Fault {
    Fault::at_key(
        format!("array.{name}.dust"),
        FaultKind::CannotRun,
        "the weather file has no credible rain",
        "dust needs rain in the weather file to wash it off",
        "give soiling, a constant share, in place of dust",
    )
}

/// A coefficient without the tail that a conversion of units leaves.
fn six_digits(value: f64) -> f64 {
    (1e6 * value).round() / 1e6
}

/// The fault for a datasheet that nothing fits.
fn no_fit(name: &str, sheet: &Datasheet) -> Fault {
    Fault::at_key(
        format!("array.{name}.module"),
        FaultKind::CannotRun,
        format!(
            "no one-diode module has Isc {} A, Voc {} V, Imp {} A, Vmp {} V, {} A/K, {} V/K with {} cells",
            sheet.isc_a,
            sheet.voc_v,
            sheet.imp_a,
            sheet.vmp_v,
            six_digits(sheet.isc_temperature_a_per_k),
            six_digits(sheet.voc_temperature_v_per_k),
            sheet.cells
        ),
        "values of one crystalline silicon module at 1000 W/m2 and 25 degC: Imp below Isc, Vmp below Voc, a negative \
         Voc coefficient, cells in series",
        "check the values and their units (A/K and V/K, not %/K; half-cut modules count half the cells), or give the \
         five parameters",
    )
}
