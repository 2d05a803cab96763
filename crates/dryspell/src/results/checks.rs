//! Checks of the parts against what they must bear, as figures: a limit, what was found, and whether it holds.

use super::details::largest_demand_m3;
use super::heads::HeadTold;
use super::{Field, Figure};
use crate::array::ArraySettings;
use crate::coupling;
use crate::draw::trough::Rule;
use crate::pipe::{VELOCITY_M_PER_S, water_density_kg_per_m3};
use crate::pressure::{PipePressure, Verdict as PipeVerdict};
use crate::pump::Pump;
use crate::simulate::Run;

/// Temperature of the cells at which a datasheet's voltages hold, °C.
const STANDARD_DEGC: f64 = 25.0;

/// Whether a check holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Holds {
    /// What was found is within the limit.
    Pass,
    /// It is not.
    Fail,
    /// The limit is not stated: whoever approves must hold what was found against it.
    NotStated,
}

impl Holds {
    /// In words.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Pass => "PASS",
            Self::Fail => "FAIL",
            Self::NotStated => "limit not stated",
        }
    }

    const fn of(holds: bool) -> Self {
        if holds { Self::Pass } else { Self::Fail }
    }
}

/// What a check is measured in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// Metres of height or head.
    Metres,
    /// Metres a second.
    MetresPerSecond,
    /// Volts.
    Volts,
    /// Cubic metres of water.
    CubicMetres,
}

impl Measure {
    /// Its symbol.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Metres => "m",
            Self::MetresPerSecond => "m/s",
            Self::Volts => "V",
            Self::CubicMetres => "m3",
        }
    }
}

/// A check.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// What is checked, such as `velocity in pipe.drop`.
    pub what: String,
    /// What was found, in its unit.
    pub found: f64,
    /// Its limit, likewise; `None` where not stated.
    pub limit: Option<f64>,
    /// Whether the limit is the least; else the most.
    pub at_least: bool,
    /// What it is measured in.
    pub unit: Measure,
    /// Whether it holds.
    pub holds: Holds,
    /// How it was found, and where the limit comes from.
    pub how: String,
}

impl Check {
    /// What is checked of the pressure in a pipe of the scheme.
    #[must_use]
    pub fn of_pressure_in(key: &str) -> String {
        format!("pressure in {key}")
    }
}

/// All checks that fit the scheme: water's speed and pressure in each pipe, the water in the well against the pump, the pump's
/// head, the panels' voltage in the cold, the water ready where the stock drinks at the tank.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | V | mean velocity at the highest flow | m/s | ≥ 0 |
/// | U | open-circuit voltage of a string at the lowest air temperature T, stated for the place or else of the record | V | > 0 |
/// | D | demand of the largest day, where the stock drinks at the tank | m³ | > 0 |
///
/// # Equation
/// `V ≤ 1.524 m/s` (5 ft/s); pressure ≤ 72 % of the class; deepest water ≤ pump setting less submergence; greatest head of the pump's
/// data ≥ head at the deepest water; `U = n (Voc + β (T − 25 °C))`, at most what the controller bears; full tank ≥ 2 D.
///
/// # Validity
/// Voltage at no light worth a degree of warmth: the coldest cell that the record has. Records of a few years do not hold the coldest
/// hour of a site.
///
/// # References
/// Those of [`crate::pipe::advice`] and [`crate::pressure`]; open-circuit voltage at the lowest expected temperature: NEC article
/// 690.7, from memory; two days for a solar source: [`crate::draw::trough`].
#[must_use]
pub fn checks(run: &Run, heads: &[HeadTold], pipes: &[PipePressure]) -> Vec<Check> {
    let velocities = run.head.runs.iter().map(|pipe| Check {
        what: format!("velocity in pipe.{}", pipe.name),
        found: pipe.velocity_m_per_s,
        limit: Some(VELOCITY_M_PER_S),
        at_least: false,
        unit: Measure::MetresPerSecond,
        holds: Holds::of(pipe.velocity_m_per_s <= VELOCITY_M_PER_S),
        how: "at the highest flow; printed sizing tables of PVC class-160 pipe".to_owned(),
    });
    let pressures = pipes.iter().map(|pipe| Check {
        what: Check::of_pressure_in(&pipe.key),
        found: pipe.greatest_m(),
        limit: pipe.allowed_m(),
        at_least: false,
        unit: Measure::Metres,
        holds: match pipe.verdict() {
            PipeVerdict::NotStated => Holds::NotStated,
            PipeVerdict::AboveClass | PipeVerdict::NoRoomForSurges => Holds::Fail,
            PipeVerdict::Within => Holds::Pass,
        },
        how: "the greatest of standing, flowing and shut off; 72 % of the class leaves room for surge"
            .to_owned(),
    });
    velocities.chain(pressures).chain(well(run, heads)).chain(voltages(run)).chain(at_the_tank(run)).collect()
}

/// The water in the well against the pump, and the pump's head against the well.
fn well(run: &Run, heads: &[HeadTold]) -> Vec<Check> {
    let settings = &run.plan.supply;
    let Some(deepest) = heads.iter().max_by(|a, b| a.water_level_m().total_cmp(&b.water_level_m())) else {
        return Vec::new();
    };
    let least = settings.well.pump_setting_m.map(|setting| setting - settings.well.submergence_m);
    let level_m = deepest.water_level_m();
    let density = water_density_kg_per_m3(settings.pipe.water_degc);
    let highest_m = Pump::new(&settings.pump, density).ok().map(|pump| pump.machine().highest_head_m());
    let needed_m = heads.iter().map(|head| head.build.total_m).fold(0.0, f64::max);
    let mut list = vec![Check {
        what: "deepest water while lifting".to_owned(),
        found: level_m,
        limit: least,
        at_least: false,
        unit: Measure::Metres,
        holds: least.map_or(Holds::NotStated, |least| Holds::of(level_m <= least + 1e-9)),
        how: "below the wellhead; the pump's setting less the water that must stay above it".to_owned(),
    }];
    list.extend(highest_m.filter(|metres| metres.is_finite()).map(|highest_m| Check {
        what: "greatest head of the pump's data".to_owned(),
        found: highest_m,
        limit: Some(needed_m),
        at_least: true,
        unit: Measure::Metres,
        holds: Holds::of(highest_m >= needed_m - 1e-9),
        how: "the head at the deepest water".to_owned(),
    }));
    list
}

/// The open-circuit voltage of each array in the cold, which the controller must bear: at the lowest temperature on record at the
/// place where the scheme states it, else at that of the run's record.
fn voltages(run: &Run) -> Vec<Check> {
    let (limit, stated) = match &run.plan.supply.coupling {
        coupling::Settings::Tracking(tracker) => (tracker.highest_voltage_v, tracker.record_low_degc),
        _ => (None, None),
    };
    let coldest = stated.unwrap_or_else(|| run.air_degc.iter().copied().fold(f64::INFINITY, f64::min));
    if !coldest.is_finite() {
        return Vec::new();
    }
    let of = |array: &ArraySettings| {
        let sheet = array.module.sheet()?;
        let volts = sheet.voc_v + sheet.voc_temperature_v_per_k * (coldest - STANDARD_DEGC);
        let found = f64::from(array.series) * volts;
        Some(Check {
            what: format!("open-circuit voltage of {} in the cold", array.name),
            found,
            limit,
            at_least: false,
            unit: Measure::Volts,
            holds: limit.map_or(Holds::NotStated, |most| Holds::of(found <= most)),
            how: format!(
                "{} in series at {coldest:.1} °C, the lowest air temperature {}; the controller must bear it",
                array.series,
                if stated.is_some() { "on record at the place" } else { "of this record" }
            ),
        })
    };
    run.plan.array.arrays.iter().filter_map(of).collect()
}

/// What stands ready where the stock drinks at the tank: a tank that hangs on the sun, by the published rule. Of hydrants the
/// troughs have rules of their own ([`super::troughs()`]).
fn at_the_tank(run: &Run) -> Option<Check> {
    let largest_m3 = largest_demand_m3(run);
    if run.plan.delivery.is_some() || largest_m3 <= 0.0 {
        return None;
    }
    // Heads do not enter this rule.
    let needed_m3 = Rule::SolarSource.trough_m3(0.0, largest_m3)?;
    let full_m3 = run.plan.all_tanks().full_m3();
    Some(Check {
        what: "water ready where the stock drinks".to_owned(),
        found: full_m3,
        limit: Some(needed_m3),
        at_least: true,
        unit: Measure::CubicMetres,
        holds: Holds::of(full_m3 >= needed_m3 - 1e-9),
        how: format!(
            "a full tank; two of the largest days, for a solar source ({})",
            Rule::SolarSource.source()
        ),
    })
}

/// The checks: a row for each.
pub const CHECKS: &[Field<[Check]>] = &[
    Field {
        name: "what",
        unit: "",
        meaning: "what is checked",
        get: |all, i| Figure::Text(all[i].what.clone()),
    },
    Field {
        name: "found",
        unit: "",
        meaning: "what was found, in the row's unit",
        get: |all, i| all[i].found.into(),
    },
    Field {
        name: "limit",
        unit: "",
        meaning: "its limit; null where not stated",
        get: |all, i| all[i].limit.into(),
    },
    Field {
        name: "at_least",
        unit: "",
        meaning: "whether the limit is the least; else the most",
        get: |all, i| Figure::Flag(all[i].at_least),
    },
    Field {
        name: "unit",
        unit: "",
        meaning: "unit of found and limit",
        get: |all, i| Figure::Text(all[i].unit.text().into()),
    },
    Field {
        name: "verdict",
        unit: "",
        meaning: "PASS, FAIL, or limit not stated",
        get: |all, i| Figure::Text(all[i].holds.text().into()),
    },
    Field {
        name: "how",
        unit: "",
        meaning: "how it was found, and where the limit comes from",
        get: |all, i| Figure::Text(all[i].how.clone()),
    },
];
