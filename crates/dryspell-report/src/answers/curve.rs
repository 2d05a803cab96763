//! Flow against sun.

use dryspell::curve::{CELL_DEGC, PLANE_W_PER_M2, SunCurve, tolerance};
use dryspell::plan::Plan;
use schemars::JsonSchema;
use serde::Serialize;

use super::About;

/// What `dryspell curve --json` writes: flow against sun in a month's water level, to be checked on site.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CurveAnswer {
    /// Name and version of this shape.
    schema: &'static str,
    /// The scheme, and what the answer rests on.
    scheme: About,
    /// Month of the water level, 1 to 12.
    month: u8,
    /// Static level of that month, m below ground.
    static_level_m: f64,
    /// Tolerance to expect of a flow measured on site, %.
    tolerance_percent: f64,
    /// By cell temperature, the least sun at which water flows.
    starts: Vec<Start>,
    /// Every point of the table: each irradiance at each cell temperature.
    points: Vec<Point>,
}

/// The least sun at which water flows.
#[derive(Debug, Serialize, JsonSchema)]
struct Start {
    /// Cell temperature, degC.
    cell_degc: f64,
    /// Irradiance on the panels' plane, W/m2; null where none up to 1500 does.
    plane_w_per_m2: Option<f64>,
}

/// One point.
#[derive(Debug, Serialize, JsonSchema)]
struct Point {
    /// Irradiance on the panels' plane, W/m2.
    plane_w_per_m2: f64,
    /// Cell temperature, degC.
    cell_degc: f64,
    /// Power of the arrays at the coupling, W.
    array_w: f64,
    /// Total dynamic head, m; null where nothing flows.
    head_m: Option<f64>,
    /// Flow into the tank, m3/h.
    flow_m3_per_h: f64,
    /// What sets the flow.
    limited_by: &'static str,
}

/// The answer of a curve.
#[must_use]
pub fn curve_answer(curve: &SunCurve, plan: &Plan, scheme: About) -> CurveAnswer {
    let points = PLANE_W_PER_M2.iter().zip(&curve.points).flat_map(|(plane, row)| {
        CELL_DEGC.iter().zip(row).map(|(cell, point)| Point {
            plane_w_per_m2: *plane,
            cell_degc: *cell,
            array_w: point.array_w,
            head_m: (point.flow_m3_per_h > 0.0).then_some(point.head_m),
            flow_m3_per_h: point.flow_m3_per_h,
            limited_by: point.limit.word(),
        })
    });
    let starts = CELL_DEGC.iter().zip(curve.start_w_per_m2);
    CurveAnswer {
        schema: "dryspell-curve-1",
        scheme,
        month: curve.month,
        static_level_m: plan.supply.well.static_level_m[usize::from(curve.month) - 1],
        tolerance_percent: 100.0 * tolerance(),
        starts: starts.map(|(cell, start)| Start { cell_degc: *cell, plane_w_per_m2: start }).collect(),
        points: points.collect(),
    }
}
