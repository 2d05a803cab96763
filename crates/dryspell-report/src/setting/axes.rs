//! A pair of axes on a sheet: plotters draws mesh, ticks, labels and series; what it has no words for (hatches, broken
//! lines, labels at a line) is drawn on the sheet through the same [`Axes::at`].

use std::ops::Range;

use plotters::coord::cartesian::Cartesian2d;
use plotters::coord::ranged1d::{KeyPointHint, NoDefaultFormatting, Ranged, ValueFormatter};
use plotters::prelude::*;

use super::backend::{Easel, TENTHS};
use super::ink::colour;
use super::paper::{Area, INK, MESH, Paper, SMALL};

/// A chart of plotters on a sheet.
pub(crate) type Plot<'a, 'b> = ChartContext<'a, Easel<'b>, Cartesian2d<Scale, Scale>>;

/// What can go wrong in plotters.
pub(crate) type PlotError = Box<dyn std::error::Error>;

/// An axis: its ends and where it has ticks.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Scale {
    ends: (f64, f64),
    ticks: Vec<f64>,
    decimals: usize,
}

impl Scale {
    /// From nothing, or from the lowest below, to at least the highest, in steps of 1, 2, 2.5 or 5 times a power of ten.
    pub(crate) fn over(lowest: f64, highest: f64, most_ticks: u32) -> Self {
        let low = if lowest.is_finite() { lowest.min(0.0) } else { 0.0 };
        let high = if highest.is_finite() && highest > low { highest } else { low + 1.0 };
        let step = step(high - low, most_ticks);
        let (first, last) = ((low / step + 1e-9).floor(), (high / step - 1e-9).ceil());
        let mut ticks = Vec::new();
        let mut k = first;
        while k <= last + 0.5 {
            ticks.push(k * step);
            k += 1.0;
        }
        Self { ends: (first * step, last * step), ticks, decimals: decimals(step) }
    }

    /// The same ticks, with an end that is the highest value itself.
    pub(crate) fn up_to(highest: f64, most_ticks: u32) -> Self {
        let mut scale = Self::over(0.0, highest, most_ticks);
        if highest.is_finite() && highest > 0.0 {
            scale.ends.1 = highest;
            scale.ticks.retain(|t| *t <= highest * (1.0 + 1e-9));
        }
        scale
    }

    /// Without ticks.
    pub(crate) const fn bare(from: f64, to: f64) -> Self {
        Self { ends: (from, to), ticks: Vec::new(), decimals: 0 }
    }

    /// Its upper end.
    pub(crate) const fn end(&self) -> f64 {
        self.ends.1
    }

    /// Share of the way from one end to the other.
    fn share(&self, value: f64) -> f64 {
        let (from, to) = self.ends;
        ((value - from) / (to - from)).clamp(-1.0, 2.0)
    }

    fn text(&self, value: f64) -> String {
        let text = format!("{value:.*}", self.decimals);
        if text.trim_start_matches(['-', '0', '.']).is_empty() { text.replace('-', "") } else { text }
    }
}

/// A step of ticks, so that a span has no more than so many.
fn step(span: f64, most: u32) -> f64 {
    let raw = span / f64::from(most.max(1));
    let power = libm::pow(10.0, libm::floor(libm::log10(raw)));
    // Quarters only of hundreds and more: a tick has no more digits than the step's power of ten.
    let parts: &[f64] = if power >= 10.0 { &[1.0, 2.0, 2.5, 5.0, 10.0] } else { &[1.0, 2.0, 5.0, 10.0] };
    parts.iter().map(|m| m * power).find(|step| *step >= raw * (1.0 - 1e-9)).unwrap_or(10.0 * power)
}

fn decimals(step: f64) -> usize {
    (0..6)
        .find(|d| step * libm::pow(10.0, f64::from(*d)) > 0.999)
        .map_or(6, |d| usize::try_from(d).unwrap_or(0))
}

impl Ranged for Scale {
    type FormatOption = NoDefaultFormatting;
    type ValueType = f64;

    fn map(&self, value: &f64, limit: (i32, i32)) -> i32 {
        let (from, to) = (f64::from(limit.0), f64::from(limit.1));
        let at = from + (to - from) * self.share(*value);
        #[expect(clippy::cast_possible_truncation, reason = "tenths of a point on a page")]
        let at = at.round() as i32;
        at
    }

    fn key_points<Hint: KeyPointHint>(&self, hint: Hint) -> Vec<f64> {
        // The light mesh has no lines of its own.
        if hint.weight().allow_light_points() { Vec::new() } else { self.ticks.clone() }
    }

    fn range(&self) -> Range<f64> {
        self.ends.0..self.ends.1
    }
}

impl ValueFormatter<f64> for Scale {
    fn format_ext(&self, value: &f64) -> String {
        self.text(*value)
    }
}

/// Axes and where they stand.
#[derive(Debug, Clone)]
pub(crate) struct Axes {
    /// The box between the axes.
    pub(crate) frame: Area,
    /// Across.
    pub(crate) x: Scale,
    /// Up.
    pub(crate) y: Scale,
    /// What stands below; empty where the picture writes its own.
    pub(crate) x_title: String,
    /// What stands on the left, running upwards.
    pub(crate) y_title: String,
    /// Room for the ticks' labels and the title on the left, points.
    pub(crate) left: f64,
    /// Room below.
    pub(crate) below: f64,
}

impl Axes {
    /// Where a value stands on the sheet.
    pub(crate) fn at(&self, x: f64, y: f64) -> (f64, f64) {
        (self.across(x), self.up(y))
    }

    /// Where a value across stands.
    pub(crate) fn across(&self, x: f64) -> f64 {
        self.frame.x + self.frame.width * self.x.share(x)
    }

    /// Where a value upwards stands.
    pub(crate) fn up(&self, y: f64) -> f64 {
        self.frame.y + self.frame.height * (1.0 - self.y.share(y))
    }

    /// Draws mesh and axes, and then the series.
    pub(crate) fn draw(
        &self,
        paper: &mut Paper,
        series: impl FnOnce(&mut Plot<'_, '_>) -> Result<(), PlotError>,
    ) -> Result<(), String> {
        self.plot(paper, series).map_err(|e| e.to_string())
    }

    fn plot(
        &self,
        paper: &mut Paper,
        series: impl FnOnce(&mut Plot<'_, '_>) -> Result<(), PlotError>,
    ) -> Result<(), PlotError> {
        let (width, height) = paper.size();
        let (width, height) = (f64::from(width), f64::from(height));
        let Area { x, y, width: w, height: h } = self.frame;
        let root = Easel(paper).into_drawing_area();
        let mut chart = ChartBuilder::on(&root)
            .margin_left(tenths(x - self.left))
            .margin_right(tenths(width - x - w))
            .margin_top(tenths(y))
            .margin_bottom(tenths(height - y - h - self.below))
            .y_label_area_size(tenths(self.left))
            .x_label_area_size(tenths(self.below))
            .build_cartesian_2d(self.x.clone(), self.y.clone())?;
        let words = ("sans-serif", f64::from(TENTHS) * SMALL).into_font().color(&colour(INK));
        let mut mesh = chart.configure_mesh();
        mesh.bold_line_style(colour(MESH).stroke_width(4))
            .light_line_style(TRANSPARENT)
            .axis_style(colour(INK).stroke_width(6))
            .label_style(words.clone())
            .axis_desc_style(words)
            .set_all_tick_mark_size(20)
            .y_desc(self.y_title.as_str());
        if self.below > 0.0 {
            mesh.x_desc(self.x_title.as_str());
        }
        if self.x.ticks.is_empty() {
            mesh.disable_x_mesh();
        }
        mesh.draw()?;
        series(&mut chart)?;
        root.present()?;
        Ok(())
    }
}

fn tenths(points: f64) -> i32 {
    #[expect(clippy::cast_possible_truncation, reason = "tenths of a point on a page")]
    let tenths = (points * f64::from(TENTHS)).round().clamp(0.0, 1e6) as i32;
    tenths
}

#[cfg(test)]
mod tests {
    use super::Scale;

    fn labels(scale: &Scale) -> Vec<String> {
        scale.ticks.iter().map(|t| scale.text(*t)).collect()
    }

    #[test]
    fn ticks_are_round_and_reach_over_the_values() {
        assert_eq!(labels(&Scale::over(0.0, 10.5, 6)), ["0", "2", "4", "6", "8", "10", "12"]);
        assert_eq!(labels(&Scale::over(0.0, 0.9, 5)), ["0.0", "0.2", "0.4", "0.6", "0.8", "1.0"]);
        assert_eq!(labels(&Scale::over(-6.0, 31.0, 5)), ["-10", "0", "10", "20", "30", "40"]);
        assert_eq!(labels(&Scale::over(0.0, 0.0, 5)), ["0.0", "0.2", "0.4", "0.6", "0.8", "1.0"]);
        assert_eq!(labels(&Scale::up_to(10.5, 5)), ["0", "5", "10"]);
    }
}
