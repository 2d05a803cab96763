//! Days of shortfall over the first two axes of a sweep, as a picture.

use std::collections::BTreeMap;

use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

/// Cells up to which each shows its number.
const NUMBERED: usize = 600;

/// One case: the places of its values on both axes, and its days of shortfall.
pub type Point = ((usize, usize), f64);

/// What is drawn.
#[derive(Debug)]
pub struct Map<'a> {
    /// Name of the scheme.
    pub scheme: &'a str,
    /// Key and values of the first axis.
    pub across: (&'a str, Vec<&'a str>),
    /// Key and values of the second; `None` for a single axis.
    pub up: Option<(&'a str, Vec<&'a str>)>,
    /// What other axes are held at, in words; empty without others.
    pub held: String,
    /// Cases that ran.
    pub points: Vec<Point>,
}

/// The picture as SVG.
///
/// # Errors
/// What keeps it from being drawn.
pub fn svg(map: &Map<'_>) -> Result<String, String> {
    let mut text = String::new();
    draw(map, &mut text).map_err(|e| e.to_string())?;
    // A picture without words is nothing to those who cannot see it.
    let spoken = format!("<svg role=\"img\" aria-label=\"{}\" ", escaped(&finding(map)));
    Ok(text.replacen("<svg ", &spoken, 1))
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('"', "&quot;")
}

/// The finding in words: the title.
fn finding(map: &Map<'_>) -> String {
    let n = map.points.len();
    let none = map.points.iter().filter(|(_, d)| *d <= 0.0).count();
    let most = map.points.iter().map(|(_, d)| *d).fold(0.0, f64::max);
    format!(
        "{}: {none} of {n} sizes have no day of shortfall, the worst has {most:.0}{}",
        map.scheme, map.held
    )
}

type PlotError = Box<dyn std::error::Error>;

fn draw(map: &Map<'_>, text: &mut String) -> Result<(), PlotError> {
    let columns = map.across.1.len();
    let rows = map.up.as_ref().map_or(1, |u| u.1.len());
    let root = SVGBackend::with_string(text, (900, 620)).into_drawing_area();
    root.fill(&WHITE)?;
    let most = map.points.iter().map(|(_, d)| *d).fold(1.0, f64::max);
    // A value stands at the middle of its cells; between two of them there is nothing to write.
    let label = |list: &[&str], i: f64| -> String {
        if (i - i.round()).abs() > 1e-6 || i < -0.25 {
            return String::new();
        }
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "places of a list")]
        let at = i.round() as usize;
        list.get(at).map_or_else(String::new, |s| (*s).to_owned())
    };
    #[expect(clippy::cast_precision_loss, reason = "values of an axis")]
    let (wide, high) = (columns as f64, rows as f64);
    let title = finding(map);
    let size = if title.len() > 90 { 15 } else { 18 };
    let mut builder = ChartBuilder::on(&root);
    builder.caption(&title, ("sans-serif", size)).margin(16).x_label_area_size(56).y_label_area_size(96);
    let Some((up, values)) = &map.up else {
        let mut chart = builder.build_cartesian_2d(-0.2..wide - 0.8, 0.0..most * 1.05)?;
        chart
            .configure_mesh()
            .x_labels(columns.min(12))
            .x_label_formatter(&|x| label(&map.across.1, *x))
            .x_desc(map.across.0)
            .y_desc("days of shortfall in the record")
            .draw()?;
        let mut line: Vec<(usize, f64)> = map.points.iter().map(|((i, _), d)| (*i, *d)).collect();
        line.sort_by_key(|p| p.0);
        #[expect(clippy::cast_precision_loss, reason = "values of an axis")]
        let points = || line.iter().map(|(i, d)| (*i as f64, *d));
        chart.draw_series(LineSeries::new(points(), BLACK.stroke_width(2)))?;
        chart.draw_series(points().map(|p| Circle::new(p, 3, BLACK.filled())))?;
        root.present()?;
        return Ok(());
    };
    let mut chart = builder.build_cartesian_2d(-0.5..wide - 0.5, -0.5..high - 0.5)?;
    chart
        .configure_mesh()
        .disable_mesh()
        .x_labels(columns.min(12))
        .y_labels(rows.min(20))
        .x_label_formatter(&|x| label(&map.across.1, *x))
        .y_label_formatter(&|y| label(values, *y))
        .x_desc(map.across.0)
        .y_desc(format!("{up}; darker: more days of shortfall, white: none"))
        .draw()?;
    #[expect(clippy::cast_precision_loss, reason = "values of an axis")]
    let corner = |i: usize, k: usize| (i as f64, k as f64);
    chart.draw_series(map.points.iter().map(|((i, k), days)| {
        let (x, y) = corner(*i, *k);
        Rectangle::new([(x - 0.5, y - 0.5), (x + 0.5, y + 0.5)], shade(*days, most).filled())
    }))?;
    if columns * rows <= NUMBERED {
        chart.draw_series(map.points.iter().map(|((i, k), days)| {
            let (x, y) = corner(*i, *k);
            let ink = if *days > 0.45 * most { WHITE } else { BLACK };
            let style = ("sans-serif", 11).into_font().color(&ink).pos(Pos::new(HPos::Center, VPos::Center));
            Text::new(format!("{days:.0}"), (x, y), style)
        }))?;
    }
    root.present()?;
    Ok(())
}

/// One hue from white to dark: it stays in order in black and white and for every kind of eye.
fn shade(days: f64, most: f64) -> RGBColor {
    if days <= 0.0 {
        return WHITE;
    }
    let share = 0.12 + 0.88 * (days / most).clamp(0.0, 1.0);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 255")]
    let mix = |light: f64, dark: f64| (light + (dark - light) * share).round() as u8;
    RGBColor(mix(255.0, 10.0), mix(255.0, 38.0), mix(255.0, 82.0))
}

/// Gathers the points of a map from rows: for each pair of values the first case, at which all other axes have their first
/// value.
#[derive(Debug, Default)]
pub struct Gatherer {
    points: BTreeMap<(usize, usize), f64>,
}

impl Gatherer {
    /// Adds a case.
    pub fn add(&mut self, place: (usize, usize), days: f64) {
        self.points.entry(place).or_insert(days);
    }

    /// The points in order.
    #[must_use]
    pub fn points(self) -> Vec<Point> {
        self.points.into_iter().collect()
    }
}
