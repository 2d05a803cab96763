//! The figures of a conventional worksheet beside those of the run: what a reviewer used to worksheets looks for.

use crate::curve::{CELL_DEGC, PLANE_W_PER_M2, sun_curve};
use crate::fault::Fault;
use crate::pipe::PRESSURE_SHARE;
use crate::reliability::periods::MonthFigures;
use crate::reliability::refill::{Refill, slowest_refills};
use crate::results::{Field, Figure};
use crate::simulate::Run;
use crate::sizing::{EnoughTank, enough_tank};
use crate::supply::HeadBuildUp;

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
    /// What the stock wants in a mean day of that month on which it is there, m³.
    pub wanted_m3_per_day: f64,
    /// Peak month (1 to 12) of the stock's draw.
    pub peak_month: u8,
    /// Mean draw of its days with stock, m³.
    pub peak_draw_m3_per_day: f64,
    /// Storage by the rule, m³.
    pub rule_storage_m3: f64,
    /// The smallest tank that serves every day of the record.
    pub enough_tank: EnoughTank,
    /// Usable volume of the tank over the peak month's draw, days.
    pub rule_sheet_storage_days: Option<f64>,
    /// What the well yields in a day, m³; `None` where its yield is not stated.
    pub well_m3_per_day: Option<f64>,
    /// Highest flow of the run out of the well, m³/h.
    pub highest_flow_m3_per_h: f64,
    /// Each pipe from the well to the tank.
    pub pipes: Vec<PipePressure>,
    /// The slowest filling of an empty tank by month of its start; see [`slowest_refills`].
    pub refills: [Option<Refill>; 12],
}

/// Pressure in a run of pipe.
#[derive(Debug, Clone, PartialEq)]
pub struct PipePressure {
    /// Name in the scheme.
    pub name: String,
    /// Depth of its lower end below the wellhead, m; see [`lower_ends_m`].
    pub lower_end_m: f64,
    /// Static head in it at its lower end with the water standing deepest, m.
    pub static_m: f64,
    /// Head in it at its lower end while water flows, m: of the first the greatest at the pump; of the others what lies before
    /// the water at the record's highest flow.
    pub working_m: f64,
    /// Its pressure class, m; `None` where not stated.
    pub class_m: Option<f64>,
    /// [`PRESSURE_SHARE`] of the class, m.
    pub allowed_m: Option<f64>,
}

impl Worksheet {
    /// Fills the worksheet from a run; `unit_m3` is the unit in which tanks are tried at round steps.
    ///
    /// # Errors
    /// What keeps the scheme from running in full sun.
    pub fn of(run: &Run, unit_m3: f64) -> Result<Self, Vec<Fault>> {
        // Stock that is there for a part of a month wants water on those days; the pump lifts on all.
        let offered = |month: &MonthFigures| month.daily(month.offered_m3, month.days);
        let wanted = |month: &MonthFigures| month.daily(month.wanted_m3, month.stock_days);
        // The month that is hardest to serve: where stock drinks, by what is offered for each litre wanted.
        let cover = |month: &MonthFigures| {
            if month.stock_days > 0 { offered(month) / wanted(month) } else { f64::INFINITY }
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
            .reduce(f64::max)
            // Where nothing flows the pump stands against the head without flow.
            .unwrap_or(run.head.total_m);
        let supply = &run.plan.supply;
        let pipe = &supply.pipe;
        let deepest = supply.well.static_level_m.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let lengths: Vec<f64> = pipe.runs.iter().map(|run| run.length_m).collect();
        let working = working_heads_m(&run.head, working_m, &lower_ends_m(run.head.static_level_m, &lengths));
        let lower_ends = lower_ends_m(supply.well.pump_setting_m.unwrap_or(deepest), &lengths);
        let (peak_draw, peak_month) = run.peak_month;
        Ok(Self {
            design_month: number,
            peak_sun_hours: month.plane_kwh_per_m2_day,
            full_sun_m3_per_h: full_sun,
            by_hand_m3_per_day: month.plane_kwh_per_m2_day * full_sun,
            offered_m3_per_day: offered(month),
            wanted_m3_per_day: wanted(month),
            peak_month,
            peak_draw_m3_per_day: peak_draw,
            rule_storage_m3: RULE_DAYS * peak_draw,
            enough_tank: enough_tank(run, unit_m3),
            rule_sheet_storage_days: run.rule_sheet_storage_days(),
            well_m3_per_day: supply.well.yield_m3_per_h.map(|q| 24.0 * q),
            highest_flow_m3_per_h: run.head.flow_m3_per_h,
            pipes: pipe
                .runs
                .iter()
                .zip(lower_ends)
                .zip(working)
                .map(|((run, lower_end_m), working_m)| PipePressure {
                    name: run.name.clone(),
                    lower_end_m,
                    static_m: static_head_m(lower_end_m.min(deepest), pipe.inlet_height_m)
                        + pipe.discharge_pressure_m,
                    working_m,
                    class_m: run.pressure_class_m,
                    allowed_m: run.pressure_class_m.map(|class| PRESSURE_SHARE * class),
                })
                .collect(),
            refills: slowest_refills(&run.plan.tank, &run.flows, &run.calendar),
        })
    }
}

/// Depth of the lower end of each run of pipe below the wellhead, m.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | D | depth of the pump below the wellhead | m | ≥ 0 |
/// | L | length of a run | m | ≥ 0 |
///
/// # Equation
/// `d_k = max(0, D − Σ_{j<k} L_j)`: the pipe rises straight up the well; what is left of it begins at the wellhead.
///
/// # Validity
/// Runs from the pump to the tank. Ground between wellhead and tank that lies lower than the wellhead is not known: a dip
/// adds its depth to the pressure there.
///
/// # Example
/// A pump at 23 m on 32 m of drop pipe: the buried pipe begins at the wellhead.
/// ```
/// assert_eq!(dryspell::worksheet::lower_ends_m(23.0, &[32.0, 140.0]), [23.0, 0.0]);
/// ```
///
/// # References
/// Geometry.
#[must_use]
pub fn lower_ends_m(pump_m: f64, lengths_m: &[f64]) -> Vec<f64> {
    lengths_m
        .iter()
        .scan(pump_m, |left, length| {
            let lower = left.max(0.0);
            *left -= length;
            Some(lower)
        })
        .collect()
}

/// Head at the lower end of each run while water flows: the greatest at the pump, then what the highest flow still has before
/// it, as it rises from there and rubs on the way.
fn working_heads_m(head: &HeadBuildUp, at_pump_m: f64, lower_ends_m: &[f64]) -> Vec<f64> {
    (0..head.runs.len())
        .map(|at| {
            let before: f64 = head.runs[at..].iter().map(|run| run.friction_m + run.fittings_m).sum();
            let depth = lower_ends_m.get(at).copied().unwrap_or(0.0);
            if at == 0 { at_pump_m } else { depth + head.rise_m + before + head.discharge_m }
        })
        .collect()
}

/// Static head at the deepest point of a run that begins `depth_m` below the wellhead, m of water.
///
/// # Equation
/// `d + max(z_i, 0)`; of a run that begins at the wellhead and falls to the tank `−z_i`, at the tank.
///
/// # Validity
/// The line stands full: closed at the tank where that lies lower. In the well `d` is no more than the depth of the standing
/// water, since below it the well presses from outside as much as the column grows inside.
///
/// # Example
/// ```
/// use dryspell::worksheet::static_head_m;
/// assert_eq!(static_head_m(23.0, 6.0), 29.0);
/// assert_eq!(static_head_m(0.0, -12.0), 12.0);
/// ```
///
/// # References
/// Hydrostatics.
#[must_use]
pub fn static_head_m(depth_m: f64, inlet_height_m: f64) -> f64 {
    if depth_m > 0.0 { depth_m + inlet_height_m.max(0.0) } else { inlet_height_m.abs() }
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
        meaning: "what the stock wants in a mean day of that month on which it is there",
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
        name: "enough_tank_m3",
        unit: "m3",
        meaning: "smallest usable volume of those tried, in equal steps, from which all larger ones go without a day of \
                  shortfall in this record; null where none does",
        get: |w, _| w.enough_tank.capacity_m3.into(),
    },
    Field {
        name: "enough_tank_step_m3",
        unit: "m3",
        meaning: "the step between them; the largest tried is 64 times as large",
        get: |w, _| w.enough_tank.step_m3.into(),
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
        meaning: "static head at the lower end of the first pipe with the water standing deepest",
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
        meaning: "from an empty tank to a full one, the herd drinking, from the slowest day of each month, January first; null \
                  where it takes more than a year or the record ends before",
        get: |w, _| Figure::List(w.refills.iter().map(|refill| refill.and_then(|r| r.days).into()).collect()),
    },
];
