//! The figures of a conventional worksheet beside those of the run: what a reviewer used to worksheets looks for.

use crate::curve::{CELL_DEGC, PLANE_W_PER_M2, sun_curve};
use crate::fault::Faults;
use crate::pressure::{PipePressure, pressures};
use crate::reliability::periods::hardest_month;
use crate::reliability::refill::{Refill, slowest_refills};
use crate::results::{Field, Figure};
use crate::simulate::Run;
use crate::sizing::{EnoughTank, enough_tank};

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
/// mean draw of the peak month's days with stock; the well gives yield × 24 h. Common practice, no source.
///
/// # Validity
/// A mean day of a month: a worksheet knows no dull fortnight. Full sun counts as if the pump answered in proportion.
///
/// # References
/// Peak sun hours: common practice, no source. Storage: [`RULE_DAYS`]. Pressure: [`crate::pressure`].
#[derive(Debug, Clone, PartialEq)]
pub struct Worksheet {
    /// Month (1 to 12) in which the water available covers least of demand.
    pub design_month: u8,
    /// Sun on the plane in that month, kWh/m² a day.
    pub peak_sun_hours: f64,
    /// Flow in full sun at that month's water level, m³/h.
    pub full_sun_m3_per_h: f64,
    /// Their product, m³ a day.
    pub by_hand_m3_per_day: f64,
    /// What the run's pump could lift in a mean day of that month, m³.
    pub available_m3_per_day: f64,
    /// Demand of the stock in a mean day of that month on which it is there, m³.
    pub demand_m3_per_day: f64,
    /// Peak month (1 to 12) of the stock's draw.
    pub peak_month: u8,
    /// Mean draw of its days with stock, m³.
    pub peak_draw_m3_per_day: f64,
    /// Storage by the rule, m³.
    pub rule_storage_m3: f64,
    /// Usable volume up to the float stop, or to the overflow, less the rule's, m³.
    pub rule_margin_m3: f64,
    /// The smallest tank that serves every day of the record.
    pub enough_tank: Option<EnoughTank>,
    /// Usable volume of the tank over the peak month's draw, days.
    pub rule_sheet_storage_days: Option<f64>,
    /// What the well yields in a day, m³; `None` where its yield is not stated.
    pub well_m3_per_day: Option<f64>,
    /// Highest flow of the run out of the well, m³/h.
    pub highest_flow_m3_per_h: f64,
    /// Each pipe, from the well to the hydrants.
    pub pipes: Vec<PipePressure>,
    /// The slowest filling of an empty tank by month of its start; see [`slowest_refills`].
    pub refills: [Option<Refill>; 12],
}

impl Worksheet {
    /// Fills the worksheet from a run; `unit_m3` is the unit in which tanks are tried at round steps.
    ///
    /// # Errors
    /// What keeps the scheme from running in full sun.
    pub fn of(run: &Run, unit_m3: f64) -> Result<Self, Faults> {
        let number = hardest_month(&run.months);
        let month = &run.months[usize::from(number) - 1];
        let curve = sun_curve(&run.plan, number)?;
        let row = PLANE_W_PER_M2.iter().position(|w| *w >= FULL_SUN.0).unwrap_or(0);
        let column = CELL_DEGC.iter().position(|t| *t >= FULL_SUN.1).unwrap_or(0);
        let full_sun = curve.points[row][column].flow_m3_per_h;
        let (peak_draw, peak_month) = run.peak_month;
        Ok(Self {
            design_month: number,
            peak_sun_hours: month.plane_kwh_per_m2_day,
            full_sun_m3_per_h: full_sun,
            by_hand_m3_per_day: month.plane_kwh_per_m2_day * full_sun,
            available_m3_per_day: month.available_m3_per_day(),
            demand_m3_per_day: month.demand_m3_per_day(),
            peak_month,
            peak_draw_m3_per_day: peak_draw,
            rule_storage_m3: RULE_DAYS * peak_draw,
            rule_margin_m3: rule_margin_m3(run),
            // Of several tanks no one volume is enough or not.
            enough_tank: run.tanks.is_empty().then(|| enough_tank(run, unit_m3)),
            rule_sheet_storage_days: run.rule_sheet_storage_days(),
            well_m3_per_day: run.plan.supply.well.yield_m3_per_h.map(|q| 24.0 * q),
            highest_flow_m3_per_h: run.head.flow_m3_per_h,
            pipes: pressures(run),
            refills: if run.tanks.is_empty() {
                slowest_refills(&run.plan.tank, &run.flows, &run.calendar)
            } else {
                [None; 12]
            },
        })
    }
}

/// Usable volume up to the float stop, or to the overflow, less [`RULE_DAYS`] of the peak month's mean draw, m³.
#[must_use]
pub fn rule_margin_m3(run: &Run) -> f64 {
    run.plan.all_tanks().full_m3() - RULE_DAYS * run.peak_month.0
}

/// Every figure of the worksheet: name, unit, meaning.
pub const WORKSHEET: &[Field<Worksheet>] = &[
    Field {
        name: "design_month",
        unit: "",
        meaning: "month (1 to 12) in which available water covers the smallest share of demand",
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
        meaning: "flow at 1000 W/m2 and cells at 25 degC with that month's static level",
        get: |w, _| w.full_sun_m3_per_h.into(),
    },
    Field {
        name: "by_hand_m3_per_day",
        unit: "m3/day",
        meaning: "peak sun hours times flow in full sun",
        get: |w, _| w.by_hand_m3_per_day.into(),
    },
    Field {
        name: "available_m3_per_day",
        unit: "m3/day",
        meaning: "water available to the run in a mean day of that month",
        get: |w, _| w.available_m3_per_day.into(),
    },
    Field {
        name: "demand_m3_per_day",
        unit: "m3/day",
        meaning: "demand of the stock in a mean day of that month with stock present",
        get: |w, _| w.demand_m3_per_day.into(),
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
        meaning: "mean draw of the days with stock in the peak month",
        get: |w, _| w.peak_draw_m3_per_day.into(),
    },
    Field {
        name: "rule_storage_m3",
        unit: "m3",
        meaning: "three days of the peak month's draw",
        get: |w, _| w.rule_storage_m3.into(),
    },
    Field {
        name: "rule_margin_m3",
        unit: "m3",
        meaning: "usable volume up to the float stop, or the overflow, less the rule's; below 0 where it is less",
        get: |w, _| w.rule_margin_m3.into(),
    },
    Field {
        name: "enough_tank_m3",
        unit: "m3",
        meaning: "smallest usable volume tried, in equal steps, for which it and all larger ones have no day of \
         shortfall in this record; null where none has, and for several tanks",
        get: |w, _| w.enough_tank.and_then(|found| found.capacity_m3).into(),
    },
    Field {
        name: "enough_tank_step_m3",
        unit: "m3",
        meaning: "the step between them; the largest tried is 64 times as large",
        get: |w, _| w.enough_tank.map(|found| found.step_m3).into(),
    },
    Field {
        name: "enough_tank_largest_m3",
        unit: "m3",
        meaning: "the largest tried",
        get: |w, _| w.enough_tank.map(|found| found.largest_m3).into(),
    },
    Field {
        name: "enough_tank_longest_dry_hours",
        unit: "h",
        meaning: "hours in its longest dry run; 0 where none is enough",
        get: |w, _| w.enough_tank.map(|found| found.longest_dry_hours).into(),
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
        meaning: "highest flow of the run from the well",
        get: |w, _| w.highest_flow_m3_per_h.into(),
    },
    Field {
        name: "static_head_m",
        unit: "m",
        meaning: "static head at the lower end of the first pipe at the deepest static level",
        get: |w, _| w.pipes.first().map(|pipe| pipe.static_m).into(),
    },
    Field {
        name: "working_head_m",
        unit: "m",
        meaning: "greatest head at the pump while flowing",
        get: |w, _| w.pipes.first().and_then(|pipe| pipe.working_m).into(),
    },
    Field {
        name: "shut_off_head_m",
        unit: "m",
        meaning: "head at the lower end of the first pipe with the pump running against a closed hand valve, as far as \
         the pump's data reach; null where no hand valve is stated",
        get: |w, _| w.pipes.first().and_then(|pipe| pipe.shut_off_m).into(),
    },
    Field {
        name: "refill_days",
        unit: "days",
        meaning: "time to fill an empty tank with the herd drinking, from the slowest day of each month, January first; \
         null where it takes more than a year or the record ends first, and for several tanks",
        get: |w, _| Figure::List(w.refills.iter().map(|refill| refill.and_then(|r| r.days).into()).collect()),
    },
];

/// Every pipe of the worksheet, from the well to the hydrants, a row each: heads at its lowest point.
pub const PIPE_HEADS: &[Field<Worksheet>] = &[
    Field {
        name: "key",
        unit: "",
        meaning: "the pipe in the scheme",
        get: |w, i| Figure::Text(w.pipes[i].key.clone()),
    },
    Field {
        name: "static_m",
        unit: "m",
        meaning: "head at its lowest point while nothing flows",
        get: |w, i| w.pipes[i].static_m.into(),
    },
    Field {
        name: "working_m",
        unit: "m",
        meaning: "greatest head there while water flows; null where it is not known",
        get: |w, i| w.pipes[i].working_m.into(),
    },
    Field {
        name: "shut_off_m",
        unit: "m",
        meaning: "head there with a valve shut, as far as the pump's data reach; null without a valve",
        get: |w, i| w.pipes[i].shut_off_m.into(),
    },
    Field {
        name: "class_m",
        unit: "m",
        meaning: "its pressure class; null where it is not stated",
        get: |w, i| w.pipes[i].class_m.into(),
    },
    Field {
        name: "allowed_m",
        unit: "m",
        meaning: "head that its class allows; null without one",
        get: |w, i| w.pipes[i].allowed_m().into(),
    },
];
