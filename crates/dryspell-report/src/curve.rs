//! Flow against sun, as a page to take to the site.

use dryspell::curve::{CELL_DEGC, PLANE_W_PER_M2, SunCurve, TOLERANCES, tolerance};
use dryspell::plan::Plan;
use dryspell::units::table::US_GALLON_M3;
use dryspell::units::{Quantity, System, column_number, column_unit, retold, show};

use super::layout::{MONTHS, table, wrap};

/// Column whose flow is drawn and timed: 25 °C.
const DRAWN: usize = 1;
/// Characters of the longest bar.
const BAR: usize = 24;

/// The page.
pub fn page(curve: &SunCurve, plan: &Plan, scheme: &str, system: System) -> String {
    let level = plan.supply.well.static_level_m[usize::from(curve.month) - 1];
    let mut out = format!(
        "FLOW AGAINST SUN  {scheme}; static level {} ({})\n",
        show(level, Quantity::Length, system),
        MONTHS[usize::from(curve.month) - 1]
    );
    let (bucket_m3, bucket) = match system {
        System::Si => (0.020, "20 L"),
        System::Us => (5.0 * US_GALLON_M3, "5 gal"),
    };
    let flow_unit = column_unit(Quantity::Flow, system);
    let degree = column_unit(Quantity::Temperature, system);
    let mut header = vec!["sun on plane".to_owned()];
    let mut units = vec!["W/m2".to_owned()];
    for cell in CELL_DEGC {
        header.push(format!(
            "cells {} {degree}",
            column_number(cell, Quantity::Temperature, system).trim_end_matches(".0")
        ));
        units.push(flow_unit.to_owned());
    }
    header.extend([format!("{bucket} bucket"), String::new()]);
    units.extend(["s at 25 °C".to_owned(), String::new()]);
    if system == System::Us {
        units[CELL_DEGC.len() + 1] = "s at 77 °F".to_owned();
    }
    let most = curve.points.iter().map(|row| row[DRAWN].flow_m3_per_h).fold(0.0, f64::max);
    let mut rows = vec![header, units];
    for (plane, points) in PLANE_W_PER_M2.iter().zip(&curve.points) {
        let mut row = vec![format!("{plane:.0}")];
        row.extend(points.iter().map(|p| {
            if p.flow_m3_per_h > 0.0 {
                column_number(p.flow_m3_per_h, Quantity::Flow, system)
            } else {
                "-".to_owned()
            }
        }));
        let drawn = points[DRAWN].flow_m3_per_h;
        row.push(if drawn > 0.0 { format!("{:.0}", bucket_m3 / drawn * 3600.0) } else { "-".to_owned() });
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            clippy::cast_precision_loss,
            reason = "0 to 24"
        )]
        let bar = if most > 0.0 { (drawn / most * BAR as f64).round() as usize } else { 0 };
        row.push(format!("{}{}", "#".repeat(bar), " ".repeat(BAR - bar)));
        rows.push(row);
    }
    let mut start = vec!["starts at".to_owned()];
    start.extend(
        curve.start_w_per_m2.iter().map(|s| s.map_or_else(|| "-".to_owned(), |s| format!("{s:.0} W/m2"))),
    );
    start.extend([String::new(), String::new()]);
    rows.push(start);
    table(&mut out, &rows);
    out.push('\n');
    let parts: Vec<String> =
        TOLERANCES.iter().map(|(what, share)| format!("{what} {:.0} %", 100.0 * share)).collect();
    for text in [
        "On site: measure the plane-of-array irradiance, the temperature at the back of a panel (the cells are about 2 \
         K warmer in full sun) and the time to fill the bucket at the tank's inlet. Wait for steady sun and a settled \
         water level, with the float calling for water and the sun within about 40 degrees of the panels' normal. \
         Interpolate linearly between rows and columns."
            .to_owned(),
        format!(
            "A flow within about {:.0} % of the table agrees with the calculation ({}; judgement, no source). If less: \
             look for dirt, shade, a deeper water level, a leak, a wrong cable or a worn pump. If more at low sun: the \
             pump starts earlier than its table says.",
            100.0 * tolerance(),
            parts.join(", ")
        ),
        "Panels are live in daylight. Local codes and licensed professionals decide on any work on them, the well or \
         the pump."
            .to_owned(),
    ] {
        wrap(&mut out, "", &retold(&text, system));
    }
    out
}

/// The month with the deepest water, 1 to 12.
#[must_use]
pub fn deepest(levels_m: &[f64; 12]) -> u8 {
    let mut deepest = 0;
    for month in 1..12 {
        if levels_m[month] > levels_m[deepest] {
            deepest = month;
        }
    }
    u8::try_from(deepest + 1).unwrap_or(1)
}
