//! The figures of a conventional worksheet beside those of the run: what a reviewer used to worksheets looks for.

use crate::curve::{CELL_DEGC, PLANE_W_PER_M2, sun_curve};
use crate::fault::Fault;
use crate::pipe::PRESSURE_SHARE;
use crate::reliability::refill::refill_days;
use crate::results::{Field, Figure};
use crate::simulate::Run;

/// Days of the peak month's draw that a sun-driven scheme should store.
///
/// # References
/// NRCS South Dakota, *Design Technical Note SD2006-1* (K. Taylor, 2010): at least three days where the supply is driven by
/// sun or wind.
pub const RULE_DAYS: f64 = 3.0;

/// Sun on the plane in the worksheet's full sun, W/m², and the cells' temperature, °C: those of module datasheets.
pub const FULL_SUN: (f64, f64) = (1000.0, 25.0);

/// What a conventional worksheet comes to, and what the run has in its place.
///
/// # Units
/// Each field's own.
///
/// # Equation
/// Volume a day = sun on the plane in kWh/m² a day (the "peak sun hours") × flow in full sun; storage = days of the rule ×
/// mean daily draw of the peak month; the well gives yield × 24 h. Common practice, no source.
///
/// # Validity
/// A mean day of a month: a worksheet knows no dull fortnight. Full sun counts as if the pump answered in proportion.
///
/// # References
/// Peak sun hours: common practice, no source. Storage: [`RULE_DAYS`]. Pressure: [`PRESSURE_SHARE`].
#[derive(Debug, Clone, PartialEq)]
pub struct Worksheet {
    /// Month (1 to 12) in which what is offered covers least of what is wanted.
    pub design_month: u8,
    /// Sun on the plane in that month, kWh/m² a day.
    pub peak_sun_hours: f64,
    /// Flow in full sun at that month's water level, m³/h.
    pub full_sun_m3_per_h: f64,
    /// Their product, m³ a day.
    pub by_hand_m3_per_day: f64,
    /// What the run's pump could lift in a mean day of that month, m³.
    pub offered_m3_per_day: f64,
    /// What the stock wants in a mean day of that month, m³.
    pub wanted_m3_per_day: f64,
    /// Peak month (1 to 12) of the stock's draw.
    pub peak_month: u8,
    /// Mean daily draw in it, m³.
    pub peak_draw_m3_per_day: f64,
    /// Storage by the rule, m³.
    pub rule_storage_m3: f64,
    /// Usable volume of the tank over the peak month's draw, days.
    pub rule_sheet_storage_days: Option<f64>,
    /// What the well yields in a day, m³; `None` where its yield is not stated.
    pub well_m3_per_day: Option<f64>,
    /// Highest flow of the run out of the well, m³/h.
    pub highest_flow_m3_per_h: f64,
    /// Each pipe from the well to the tank.
    pub pipes: Vec<PipePressure>,
    /// Days from an empty tank to a full one by month of the start; see [`refill_days`].
    pub refill_days: [Option<u32>; 12],
}

/// Pressure in a run of pipe.
#[derive(Debug, Clone, PartialEq)]
pub struct PipePressure {
    /// Name in the scheme.
    pub name: String,
    /// Static head at its lower end with the water standing deepest, m.
    pub static_m: f64,
    /// Greatest head at the pump while water flows, m.
    pub working_m: f64,
    /// Its pressure class, m; `None` where not stated.
    pub class_m: Option<f64>,
    /// [`PRESSURE_SHARE`] of the class, m.
    pub allowed_m: Option<f64>,
}

impl Worksheet {
    /// Fills the worksheet from a run.
    ///
    /// # Errors
    /// What keeps the scheme from running in full sun.
    pub fn of(run: &Run) -> Result<Self, Vec<Fault>> {
        let years = run.calendar.years();
        let daily = |m3: f64, days: u32| if days == 0 { 0.0 } else { m3 * years / f64::from(days) };
        // The month that is hardest to serve; among months without draw, the one with least water.
        let cover = |month: &crate::reliability::periods::MonthFigures| {
            if month.wanted_m3 > 0.0 { month.offered_m3 / month.wanted_m3 } else { f64::INFINITY }
        };
        let (number, month) = (1_u8..)
            .zip(&run.months)
            .filter(|(_, month)| month.days > 0)
            .min_by(|(_, a), (_, b)| cover(a).total_cmp(&cover(b)))
            .unwrap_or((1, &run.months[0]));
        let curve = sun_curve(&run.plan, number)?;
        let row = PLANE_W_PER_M2.iter().position(|w| *w >= FULL_SUN.0).unwrap_or(0);
        let column = CELL_DEGC.iter().position(|t| *t >= FULL_SUN.1).unwrap_or(0);
        let full_sun = curve.points[row][column].flow_m3_per_h;
        let working_m = run
            .supply
            .limit
            .iter()
            .zip(&run.supply.head_m)
            .filter(|(limit, _)| limit.flows())
            .map(|(_, head)| *head)
            .fold(0.0, f64::max);
        let supply = &run.plan.supply;
        let deepest = supply.well.static_level_m.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let (peak_draw, peak_month) = run.peak_month;
        Ok(Self {
            design_month: number,
            peak_sun_hours: month.plane_kwh_per_m2_day,
            full_sun_m3_per_h: full_sun,
            by_hand_m3_per_day: month.plane_kwh_per_m2_day * full_sun,
            offered_m3_per_day: daily(month.offered_m3, month.days),
            wanted_m3_per_day: daily(month.wanted_m3, month.days),
            peak_month,
            peak_draw_m3_per_day: peak_draw,
            rule_storage_m3: RULE_DAYS * peak_draw,
            rule_sheet_storage_days: run.rule_sheet_storage_days(),
            well_m3_per_day: supply.well.yield_m3_per_h.map(|q| 24.0 * q),
            highest_flow_m3_per_h: run.head.flow_m3_per_h,
            pipes: supply
                .pipe
                .runs
                .iter()
                .map(|pipe| PipePressure {
                    name: pipe.name.clone(),
                    static_m: deepest + supply.pipe.inlet_height_m + supply.pipe.discharge_pressure_m,
                    working_m,
                    class_m: pipe.pressure_class_m,
                    allowed_m: pipe.pressure_class_m.map(|class| PRESSURE_SHARE * class),
                })
                .collect(),
            refill_days: refill_days(&run.plan.tank, &run.flows, &run.calendar),
        })
    }
}

/// Every figure of the worksheet: name, unit, meaning.
pub const WORKSHEET: &[Field<Worksheet>] = &[
    Field {
        name: "design_month",
        unit: "",
        meaning: "month (1 to 12) in which what is offered covers least of what is wanted",
        get: |w, _| Figure::Count(w.design_month.into()),
    },
    Field {
        name: "peak_sun_hours",
        unit: "kWh/m2/day",
        meaning: "mean sun on the panels' plane in that month",
        get: |w, _| w.peak_sun_hours.into(),
    },
    Field {
        name: "full_sun_m3_per_h",
        unit: "m3/h",
        meaning: "flow at 1000 W/m2 and cells of 25 degC with that month's water level",
        get: |w, _| w.full_sun_m3_per_h.into(),
    },
    Field {
        name: "by_hand_m3_per_day",
        unit: "m3/day",
        meaning: "peak sun hours times flow in full sun",
        get: |w, _| w.by_hand_m3_per_day.into(),
    },
    Field {
        name: "offered_m3_per_day",
        unit: "m3/day",
        meaning: "what the run's pump could lift in a mean day of that month",
        get: |w, _| w.offered_m3_per_day.into(),
    },
    Field {
        name: "wanted_m3_per_day",
        unit: "m3/day",
        meaning: "what the stock wants in a mean day of that month",
        get: |w, _| w.wanted_m3_per_day.into(),
    },
    Field {
        name: "peak_month",
        unit: "",
        meaning: "month (1 to 12) of the largest mean daily draw",
        get: |w, _| Figure::Count(w.peak_month.into()),
    },
    Field {
        name: "peak_draw_m3_per_day",
        unit: "m3/day",
        meaning: "mean daily draw in the peak month",
        get: |w, _| w.peak_draw_m3_per_day.into(),
    },
    Field {
        name: "rule_storage_m3",
        unit: "m3",
        meaning: "three days of the peak month's draw",
        get: |w, _| w.rule_storage_m3.into(),
    },
    Field {
        name: "well_m3_per_day",
        unit: "m3/day",
        meaning: "yield of the well in 24 h; null where it is not stated",
        get: |w, _| w.well_m3_per_day.into(),
    },
    Field {
        name: "highest_flow_m3_per_h",
        unit: "m3/h",
        meaning: "highest flow of the run out of the well",
        get: |w, _| w.highest_flow_m3_per_h.into(),
    },
    Field {
        name: "static_head_m",
        unit: "m",
        meaning: "static head at the pipe's lower end with the water standing deepest",
        get: |w, _| w.pipes.first().map(|pipe| pipe.static_m).into(),
    },
    Field {
        name: "working_head_m",
        unit: "m",
        meaning: "greatest head at the pump while water flows",
        get: |w, _| w.pipes.first().map(|pipe| pipe.working_m).into(),
    },
    Field {
        name: "refill_days",
        unit: "days",
        meaning: "from an empty tank to a full one, the herd drinking, by month of the start, January first; null where it takes \
                  more than a year",
        get: |w, _| Figure::List(w.refill_days.iter().map(|days| (*days).into()).collect()),
    },
];
