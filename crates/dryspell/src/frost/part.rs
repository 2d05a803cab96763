//! The parts of a scheme that frost can reach.

use super::buried::{Ground, buried_days, from_summer};
use super::drain::{Drains, drains};
use super::exposed::standing_hours;
use super::index::daily_means;
use super::{BarePipe, OpenWater, Soil};
use crate::calendar::{DateSpan, HOURS_PER_DAY};
use crate::fault::{Fault, FaultKind, Faults};
use crate::record::Record;

/// How an exposed part empties.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub enum Drain {
    /// Water stands in it whenever it does not flow.
    Stands,
    /// It empties itself when the flow stops, in so many hours; see [`drains`] for what that is worth.
    Itself {
        /// Drain-down time, h.
        hours: f64,
    },
    /// It is emptied by hand and shut on these dates, in every year; on all others water stands in it.
    ByHand(Vec<DateSpan>),
}

/// Where a part lies.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub enum Kind {
    /// In the ground.
    Buried {
        /// From the surface to the top of the pipe, m, > 0.
        cover_m: f64,
    },
    /// In the air.
    Exposed {
        /// The pipe.
        pipe: BarePipe,
        /// How it empties.
        drain: Drain,
    },
    /// A trough or tank open to the sky. Its ice is reported and stops nothing.
    Open(OpenWater),
}

/// A way of the water that a part can stop, or that feeds open water.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub enum Way {
    /// From the well to the tank.
    Supply,
    /// From the tank to every hydrant.
    Delivery,
    /// To the hydrant of this name.
    Hydrant(String),
    /// From another tank into the tank of this name.
    Tank(String),
    /// From the further well of this name to its tank.
    Lift(String),
}

/// One part.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Part {
    /// Name in the scheme, such as `riser`.
    pub name: String,
    /// Where it lies.
    pub kind: Kind,
    /// What stops while it is frozen.
    pub stops: Vec<Way>,
    /// Where the water of open water comes from; `None` counts on no inflow.
    pub fed_by: Option<Way>,
}

/// Settings of the frost stage.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Settings {
    /// The soil over the buried parts.
    pub soil: Soil,
    /// n-factor of what lies on it, see [`super::SURFACES`]; 1 is conservative.
    pub surface: f64,
    /// The user's design freezing index of the air, °C·day; needed for a word of pass or fail.
    pub design_index_degc_days: Option<f64>,
    /// Days in which the design winter freezes the ground; `None` takes those of the record's coldest winter, which is
    /// shorter: the deep side where the ground's own warmth counts, that is where winters are mild.
    pub design_days: Option<f64>,
    /// The parts.
    pub parts: Vec<Part>,
}

/// The hours in which parts are frozen.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Columns {
    /// Each part by name, in the order of the settings: whether it is frozen, or emptied and shut, in each hour.
    pub frozen: Vec<(String, Vec<bool>)>,
}

impl Columns {
    /// Hours in which any of the named parts is frozen: the hours without flow for whatever they carry.
    #[must_use]
    pub fn any(&self, names: &[&str], hours: usize) -> Vec<bool> {
        let mut out = vec![false; hours];
        for (name, column) in &self.frozen {
            if names.contains(&name.as_str()) {
                for (o, f) in out.iter_mut().zip(column) {
                    *o |= f;
                }
            }
        }
        out
    }
}

/// Mean annual temperature of a record's air, °C: mean of its days, which for whole years is the mean of the years.
pub(super) fn mean_annual_degc(daily: &[f64]) -> f64 {
    #[allow(clippy::cast_precision_loss, reason = "days of a record are far below 2^53")]
    let n = daily.len().max(1) as f64;
    daily.iter().sum::<f64>() / n
}

/// The first day of the months from summer to summer in a year that repeats; `None` in other records, which run straight
/// through.
pub(super) fn first_summer_day(record: &Record) -> Option<usize> {
    let month = if record.place.latitude_deg >= 0.0 { 7 } else { 1 };
    let first = || record.calendar.days().iter().position(|d| (d.month, d.day) == (month, 1));
    record.calendar.is_one_year().then(|| first().unwrap_or(0))
}

/// Whether an exposed part holds water that can freeze whenever nothing flows.
pub(super) fn stands(drain: &Drain) -> bool {
    match drain {
        Drain::Itself { hours } => drains(*hours) != Drains::InTime,
        Drain::Stands | Drain::ByHand(_) => true,
    }
}

/// The hours in which each part is frozen: a function of air temperature and settings alone.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | | `record.air_degc` | °C | |
/// | | result: frozen or shut, by part and hour | – | |
///
/// # Equation
/// Buried parts by [`buried_days`], exposed ones by `standing_hours`; those that empty themselves in time are never
/// frozen; those emptied by hand are shut on their dates, and stand full on all others. Ice on open water stops nothing.
///
/// # Validity
/// Conservative: water that flows and brings warmth is not counted on, nor sun on a pipe.
///
/// # Errors
/// Settings outside their range.
pub fn columns(settings: &Settings, record: &Record) -> Result<Columns, Faults> {
    check(settings)?;
    record.check_lengths().map_err(Faults::from)?;
    let daily = daily_means(&record.air_degc);
    let ground =
        Ground { soil: settings.soil, surface: settings.surface, mean_annual_degc: mean_annual_degc(&daily) };
    let wraps = record.calendar.is_one_year();
    let first = first_summer_day(record);
    let hours = record.hours();
    let frozen = settings
        .parts
        .iter()
        .map(|part| {
            let column = match &part.kind {
                Kind::Buried { cover_m } => {
                    let work = |days: &[f64]| buried_days(&ground, *cover_m, days);
                    let days = match first {
                        Some(first) => from_summer(&daily, first, work),
                        None => work(&daily),
                    };
                    days.iter().flat_map(|f| [*f; HOURS_PER_DAY]).collect()
                }
                Kind::Exposed { drain, .. } if !stands(drain) => vec![false; hours],
                Kind::Exposed { pipe, drain } => {
                    let mut held = standing_hours(pipe, &record.air_degc, wraps).0;
                    if let Drain::ByHand(spans) = drain {
                        for (h, f) in held.iter_mut().enumerate() {
                            let date = record.calendar.day_of(h).month_day();
                            *f |= spans.iter().any(|s| s.contains(date));
                        }
                    }
                    held
                }
                Kind::Open(_) => vec![false; hours],
            };
            (part.name.clone(), column)
        })
        .collect();
    Ok(Columns { frozen })
}

/// Checks the settings.
///
/// # Errors
/// Every value outside its range.
pub fn check(settings: &Settings) -> Result<(), Faults> {
    let mut faults = Vec::new();
    let mut need = |ok: bool, key: String, found: String, accepted: &str, way_out: &str| {
        if !ok {
            faults.push(Fault::at_key(key, FaultKind::OutOfRange, found, accepted, way_out));
        }
    };
    let above = |v: f64| v.is_finite() && v > 0.0;
    let soil = &settings.soil;
    for (key, value, unit) in [
        ("soil_density", soil.dry_density_kg_per_m3, " kg/m³"),
        ("soil_water", soil.water_share, ""),
        ("soil_conductivity_frozen", soil.frozen_w_per_m_k, " W/(m·K)"),
        ("soil_conductivity_thawed", soil.thawed_w_per_m_k, " W/(m·K)"),
    ] {
        need(
            above(value),
            format!("frost.{key}"),
            format!("{value}{unit}"),
            &format!("above 0{unit}"),
            "name a soil, or give its density, water and conductivities",
        );
    }
    need(
        settings.surface > 0.0 && settings.surface <= 1.5,
        "frost.surface".into(),
        format!("n-factor {}", settings.surface),
        "above 0, at most 1.5",
        "1 means a surface as cold as the air",
    );
    for (key, value) in
        [("design_index", settings.design_index_degc_days), ("design_days", settings.design_days)]
    {
        need(
            value.is_none_or(above),
            format!("frost.{key}"),
            format!("{}", value.unwrap_or(0.0)),
            "above 0",
            "leave it out for the record's own winter",
        );
    }
    for part in &settings.parts {
        let key = |k: &str| format!("frost.{}.{k}", part.name);
        match &part.kind {
            Kind::Buried { cover_m } => need(
                above(*cover_m),
                key("cover"),
                format!("cover {cover_m} m"),
                "above 0 m",
                "a part without cover is exposed",
            ),
            Kind::Exposed { pipe, drain } => {
                need(
                    above(pipe.bore_m) && pipe.outside_m.is_finite() && pipe.outside_m >= pipe.bore_m,
                    key("bore"),
                    format!("bore {} m in a pipe of {} m", pipe.bore_m, pipe.outside_m),
                    "a bore above 0 m, at most the outside diameter",
                    "correct the diameters",
                );
                need(
                    pipe.insulation_m >= 0.0
                        && pipe.insulation_m.is_finite()
                        && above(pipe.insulation_w_per_m_k)
                        && pipe.film_w_per_m2_k.is_none_or(above)
                        && (pipe.insulation_m > 0.0 || pipe.film_w_per_m2_k.is_some()),
                    key("insulation"),
                    format!(
                        "insulation of {} m with {} W/(m·K)",
                        pipe.insulation_m, pipe.insulation_w_per_m_k
                    ),
                    "0 m or more, with a conductivity above 0",
                    "common foam has 0.04 W/(m·K)",
                );
                if let Drain::Itself { hours } = drain {
                    need(
                        hours.is_finite() && *hours >= 0.0,
                        key("drains_in"),
                        format!("drain-down time {hours} h"),
                        "0 h or more",
                        "leave it out if it holds standing water",
                    );
                }
            }
            Kind::Open(open) => need(
                above(open.area_m2)
                    && above(open.depth_m)
                    && above(open.film_w_per_m2_k)
                    && (0.0..=40.0).contains(&open.inflow_degc),
                key("open_water"),
                format!(
                    "{} m² of {} m, {} W/(m²·K), inflow at {} °C",
                    open.area_m2, open.depth_m, open.film_w_per_m2_k, open.inflow_degc
                ),
                "area, depth and heat transfer coefficient above 0, inflow from 0 to 40 °C",
                "correct the values",
            ),
        }
    }
    if faults.is_empty() { Ok(()) } else { Err(faults.into()) }
}
