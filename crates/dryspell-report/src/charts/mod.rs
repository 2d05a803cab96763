//! The pictures of the document, in the order in which it shows them, and that of the days ahead.
//!
//! Each file draws one. All numbers are read from the run; the finding stands in [`Chart::title`] and is set as text by
//! the page. Nothing is told by colour alone: what must be told apart differs in lightness, in hatch, in dashes or in shape.

mod ahead;
mod calendar;
mod critical_spell;
mod head;
mod legend;
mod pump;
mod schematic;
mod tank_level;
#[cfg(test)]
mod tests;
mod water_by_month;
mod words;
mod years;

use dryspell::simulate::Run;
use dryspell::units::System;

use crate::model::Chart;
use crate::setting::paper::Paper;

pub use ahead::days_ahead;
pub(crate) use calendar::calendar;
pub(crate) use critical_spell::critical_spell;
pub(crate) use head::head;
pub(crate) use pump::pump;
pub(crate) use schematic::schematic;
pub(crate) use tank_level::tank_level;
pub(crate) use water_by_month::water_by_month;

/// Width of every picture, points.
const PAGE: u32 = 510;

/// All pictures, in page order.
///
/// # Errors
/// What keeps one from being drawn.
pub(crate) fn all(run: &Run, units: System) -> Result<Vec<Chart>, String> {
    let mut charts = vec![
        schematic(run, units)?,
        head(run, units)?,
        pump(run, units)?,
        water_by_month(run, units)?,
        tank_level(run, units)?,
        calendar(run)?,
    ];
    // Where inflow covers the draw of every hour there is no such spell.
    charts.extend(critical_spell(run, units)?);
    Ok(charts)
}

/// A sheet with its words.
fn finished(name: &'static str, title: String, alternative: String, paper: &Paper) -> Chart {
    let svg = paper.svg(&alternative);
    Chart { name, title, alternative, svg, size: paper.size() }
}
