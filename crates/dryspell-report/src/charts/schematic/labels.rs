//! The words beside panels, well and tank, stacked so that none lies on another.

use dryspell::array::Datasheet;
use dryspell::frost::{Kind, Way};
use dryspell::pipe;
use dryspell::pump::Settings;
use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, column_number, column_unit, show, show_alike};

use super::{Column, TANK, WELL};
use crate::charts::words::{height, month};
use crate::scheme_lines::compass;
use crate::setting::paper::{Anchor, Paper, SMALL};
use crate::setting::words::{broken, shortened, width};

/// Distance of two base lines.
pub(super) const LINE: f64 = 8.8;
/// Most arrays, and most pipes of one kind, that are named one by one.
const MOST: usize = 4;
/// Where the first line stands.
const TOP: f64 = 12.0;

/// Where the measure of the tank's height stands: left of the tank where it lies higher than the well, else over it.
pub(super) const RISE_X: f64 = 221.0;
pub(super) const FALL_X: f64 = 325.0;

/// Where things are, from where their words are.
#[derive(Debug, Clone, Copy)]
pub(super) struct Places {
    /// Ground at the well.
    pub(super) ground: f64,
    /// Ground at the tank.
    pub(super) tank_ground: f64,
    /// Standing water in the well.
    pub(super) standing: f64,
    /// Water in the well while pumping.
    pub(super) pumping: f64,
    /// The pump.
    pub(super) pump: f64,
    /// Where the words beside the well end.
    pub(super) well_end: f64,
    /// Where the lowest words end.
    pub(super) bottom: f64,
}

/// A stack of words.
pub(super) struct Stack<'a> {
    paper: &'a mut Paper,
    column: Column,
    /// Base line of the next line.
    pub(super) y: f64,
}

impl<'a> Stack<'a> {
    /// An empty stack.
    pub(super) const fn new(paper: &'a mut Paper, column: Column, y: f64) -> Self {
        Self { paper, column, y }
    }

    /// A line in bold, shortened to its room.
    pub(super) fn name(&mut self, text: &str) {
        let text = shortened(text, self.column.room, SMALL, true);
        self.paper.bold((self.column.x, self.y), SMALL, Anchor::Start, &text);
        self.y += LINE;
    }

    /// Words below each other, at most so many lines.
    pub(super) fn words(&mut self, text: &str, most: usize) {
        for line in broken(text, self.column.room, SMALL, most) {
            self.paper.words((self.column.x, self.y), SMALL, Anchor::Start, &line);
            self.y += LINE;
        }
    }

    /// Short names in running text; where that takes too many lines, a line each, and how many were left out.
    pub(super) fn several(&mut self, names: &[String], most: usize) {
        let text = if names.is_empty() { "no stock".to_owned() } else { names.join(", ") };
        let fits = |text: &str, room: f64| width(text, SMALL, false) <= room;
        let cut = names.iter().any(|name| !fits(name, self.column.room));
        if !cut && broken(&text, self.column.room, SMALL, usize::MAX).len() <= most {
            self.words(&text, most);
            return;
        }
        let shown = if names.len() > most { most.saturating_sub(1).max(1) } else { names.len() };
        for (at, name) in names[..shown].iter().enumerate() {
            // What counts the heads stands at the end and is kept.
            let (name, heads) =
                name.rsplit_once(" (").map_or((name.as_str(), String::new()), |(n, h)| (n, format!(" ({h}")));
            let more = if at + 1 == shown && most == 1 && names.len() > 1 {
                format!("{heads} and {} more", names.len() - 1)
            } else {
                heads
            };
            self.pair(name, &more);
        }
        if shown < names.len() && most > 1 {
            self.words(&format!("and {} more", names.len() - shown), 1);
        }
    }

    /// A line of which the beginning is shortened where both have no room.
    pub(super) fn pair(&mut self, name: &str, kept: &str) {
        let room = self.column.room - width(kept, SMALL, false);
        let line = format!("{}{kept}", shortened(name, room, SMALL, false));
        self.words(&line, 1);
    }

    /// Several, each with its name, shortened as a list where there are many. A name never takes the room of what is said.
    fn list(&mut self, items: &[(String, String)], most_lines: usize) {
        // One line may say how many were left out, but not of one alone.
        let shown = if items.len() > MOST { MOST - 1 } else { items.len() };
        for (name, text) in &items[..shown] {
            let name = shortened(&format!("{name}:"), self.column.room, SMALL, false);
            let whole = format!("{name} {text}");
            if broken(&whole, self.column.room, SMALL, usize::MAX).len() <= most_lines {
                self.words(&whole, most_lines);
            } else {
                self.words(&name, 1);
                self.words(text, most_lines);
            }
        }
        if shown < items.len() {
            self.words(&format!("and {} more", items.len() - shown), 1);
        }
    }

    /// A gap.
    pub(super) fn gap(&mut self, points: f64) {
        self.y += points;
    }
}

/// Writes all that stands left of the hydrants.
pub(super) fn labels(paper: &mut Paper, run: &Run, units: System) -> Places {
    let metres = |m: f64| show(m, Quantity::Length, units);
    // As the table of the head has them.
    let fixed = |m: f64| {
        format!("{} {}", column_number(m, Quantity::Length, units), column_unit(Quantity::Length, units))
    };
    let sky = Column { x: 78.0, room: 112.0 };
    let mut stack = Stack::new(paper, sky, TOP);
    stack.name("panels");
    stack.list(&arrays(run, units), 4);
    let panels_end = stack.y;

    let above = Column { x: TANK.x, room: TANK.room };
    let mut stack = Stack::new(paper, above, TOP);
    stack.name(&format!("tank {}", run.plan.tank.name));
    stack.words(&tank(run, units), 5);
    let tank_end = stack.y;

    // The tank's ground is higher than the well's, or lower, or the same.
    let step = match run.head.inlet_height_m {
        h if h > 0.0 => 32.0,
        h if h < 0.0 => -32.0,
        _ => 0.0,
    };
    let ground = (panels_end + 2.0_f64).max(96.0).max(tank_end + 8.0 + step);
    let tank_ground = ground - step;
    if step.abs() > 0.0 {
        let middle = 0.5 * (ground + tank_ground) + 2.5;
        let text =
            shortened(&format!("{:+}", SignedHeight(run.head.inlet_height_m, units)), 60.0, SMALL, false);
        let x = if step > 0.0 { RISE_X } else { FALL_X };
        paper.words((x - 3.0, middle), SMALL, Anchor::End, &text);
    }

    let mut first = ground + 36.0;
    if let Some((depth, basis)) = frost(run, units) {
        // "Not design" stands with the frost's own section.
        let basis = basis.split(',').next().unwrap_or_default();
        let text = format!("frost to {depth} ({basis})");
        let line = shortened(&text, 142.0, SMALL, false);
        paper.words((WELL.x, ground + 9.0), SMALL, Anchor::Start, &line);
    }
    first += 2.0;
    let mut stack = Stack::new(paper, WELL, first);
    let standing = stack.y - 2.5;
    stack.words(&standing_water(run, units), 3);
    stack.gap(5.0);
    let pumping = stack.y - 2.5;
    let head = &run.head;
    stack.words(
        &if head.flow_m3_per_h > 0.0 {
            format!(
                "pumping level {}: drawdown {} at {}, the highest flow, in {}",
                fixed(head.static_level_m + head.drawdown_m),
                fixed(head.drawdown_m),
                show(head.flow_m3_per_h, Quantity::Flow, units),
                month(head.month)
            )
        } else {
            "pumping level: the pump lifts no water in this record".to_owned()
        },
        4,
    );
    stack.gap(5.0);
    let pump = stack.y - 2.5;
    stack.words(&pump_setting(run, units), 4);
    stack.words(
        &run.plan.supply.well.yield_m3_per_h.map_or_else(
            || "yield of the well not stated".to_owned(),
            |y| format!("the well yields {}", show(y, Quantity::Flow, units)),
        ),
        2,
    );
    let well_end = stack.y;

    let mut stack = Stack::new(paper, TANK, (tank_ground + 66.0).max(ground + 26.0) + 16.0);
    stack.name("pipe from well to tank");
    stack.list(&pipes(&run.plan.supply.pipe.runs, units), 2);
    if let Some(cover) = cover_m(run) {
        stack.words(&format!("under {} of cover", metres(cover)), 1);
    }
    if let Some(delivery) = run.plan.delivery.as_ref().filter(|delivery| delivery.tank.is_none()) {
        stack.gap(4.0);
        match booster(run, units) {
            Some(text) => {
                stack.name("booster");
                stack.words(&text, 6);
            }
            None => stack.words("no booster: gravity flow", 2),
        }
        if !delivery.shared.is_empty() {
            stack.gap(4.0);
            stack.name("pipe to all hydrants");
            stack.list(&pipes(&delivery.shared, units), 2);
        }
    }
    let bottom = stack.y.max(well_end + 10.0);
    Places { ground, tank_ground, standing, pumping, pump, well_end, bottom }
}

/// A height with its sign.
struct SignedHeight(f64, System);

impl std::fmt::Display for SignedHeight {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let text = show(self.0, Quantity::Length, self.1);
        if f.sign_plus() && self.0 > 0.0 { write!(f, "+{text}") } else { f.write_str(&text) }
    }
}

fn arrays(run: &Run, units: System) -> Vec<(String, String)> {
    run.plan
        .array
        .arrays
        .iter()
        .map(|array| {
            let power = |d: Datasheet| format!(" of {}", show(d.imp_a * d.vmp_v, Quantity::Power, units));
            let of = array.module.sheet().map_or_else(String::new, power);
            let text = format!(
                "{} in series, {} in parallel{of}; tilt {:.0}°, facing {} ({:.0}°)",
                array.series,
                array.parallel,
                array.tilt_deg,
                compass(array.azimuth_deg),
                array.azimuth_deg
            );
            (array.name.clone(), text)
        })
        .collect()
}

fn tank(run: &Run, units: System) -> String {
    let t = &run.plan.tank;
    let mut text = match (t.float_stop_m3, t.float_start_m3) {
        (None, _) => "no float: the excess overflows".to_owned(),
        (Some(_), None) => "a float holds the level".to_owned(),
        (Some(_), Some(_)) => "a float stops the pump and lets it start again".to_owned(),
    };
    if t.open_surface_m2 > 0.0 {
        text.push_str(&format!("; {} open to the sky", show(t.open_surface_m2, Quantity::Area, units)));
    }
    if t.garden_reserve_m3 > 0.0 {
        text.push_str(&format!(
            "; gardens leave {} to the stock",
            show(t.garden_reserve_m3, Quantity::Volume, units)
        ));
    }
    text
}

fn standing_water(run: &Run, units: System) -> String {
    let levels = &run.plan.supply.well.static_level_m;
    let (low, high) =
        levels.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), x| (l.min(*x), h.max(*x)));
    if high - low < 1e-12 {
        format!("static level {} below the wellhead", show(low, Quantity::Length, units))
    } else {
        let [low, high] = show_alike([low, high], Quantity::Length, units);
        format!("static level {low} to {high} below the wellhead, by month")
    }
}

fn pump_setting(run: &Run, units: System) -> String {
    let supply = &run.plan.supply;
    let kind = match &supply.pump {
        Settings::Duty(_) => "by its duty table",
        Settings::Volts(_) => "by its voltage table",
        Settings::Displacement(_) => "positive displacement",
        Settings::Centrifugal(_) => "centrifugal",
        Settings::Own(pump) => pump.name(),
    };
    let setting = supply.well.pump_setting_m.map_or_else(
        || "setting not stated".to_owned(),
        |m| format!("intake at {}", show(m, Quantity::Length, units)),
    );
    let stop = supply.well.cut_out_level_m().map_or_else(String::new, |m| {
        format!("; stops when the water falls to {}", show(m, Quantity::Length, units))
    });
    format!("pump ({kind}): {setting}{stop}")
}

fn pipes(runs: &[pipe::Run], units: System) -> Vec<(String, String)> {
    runs.iter().map(|run| (run.name.clone(), pipe_size(run, units))).collect()
}

/// Length and bore.
pub(super) fn pipe_size(run: &pipe::Run, units: System) -> String {
    format!(
        "{} of {} bore",
        show(run.length_m, Quantity::Length, units),
        show(run.bore_m, Quantity::Length, units)
    )
}

fn booster(run: &Run, units: System) -> Option<String> {
    let booster = run.plan.delivery.as_ref().filter(|d| d.tank.is_none())?.booster.as_ref()?;
    let panels: Vec<String> =
        booster.panel.arrays.iter().take(MOST).map(|a| format!("{} x {}", a.series, a.parallel)).collect();
    let tank = booster.tank.map_or_else(
        || "no pressure tank".to_owned(),
        |t| {
            let [low, high] = show_alike([t.cut_in_pa, t.cut_out_pa], Quantity::Pressure, units);
            format!("pressure tank of {}, {low} to {high}", show(t.volume_m3, Quantity::Volume, units))
        },
    );
    Some(format!(
        "{}; battery {}; own modules {}; {tank}",
        show(booster.voltage_v, Quantity::Voltage, units),
        show(booster.battery.capacity_ah, Quantity::Charge, units),
        panels.join(", ")
    ))
}

/// Depth of frost and what it rests on.
pub(super) fn frost(run: &Run, units: System) -> Option<(String, String)> {
    let ground = run.frozen.ground.as_ref()?;
    let depth = ground.depth?.depth_m;
    // To the centimetre or the inch: more digits than that are none of a frost's.
    let step = if units == System::Us { 0.0254 } else { 0.01 };
    let depth = step * (depth / step).round();
    Some((show(depth, Quantity::Length, units), ground.basis.text()))
}

/// The least cover of what frost would stop between well and tank.
pub(super) fn cover_m(run: &Run) -> Option<f64> {
    run.plan
        .frost
        .iter()
        .flat_map(|f| &f.parts)
        .filter(|p| p.stops.contains(&Way::Supply))
        .filter_map(|p| match p.kind {
            Kind::Buried { cover_m } => Some(cover_m),
            Kind::Exposed { .. } | Kind::Open(_) => None,
        })
        .reduce(f64::min)
}

/// Names and what is said of them, as a list.
fn joined(items: &[(String, String)]) -> String {
    let items: Vec<String> = items.iter().map(|(name, text)| format!("{name}: {text}")).collect();
    items.join(", ")
}

/// All of it as a sentence or two.
pub(super) fn spoken(run: &Run, units: System) -> String {
    let mut parts = vec![
        format!("Panels {}", joined(&arrays(run, units))),
        standing_water(run, units),
        pump_setting(run, units),
        format!("pipe from well to tank {}", joined(&pipes(&run.plan.supply.pipe.runs, units))),
        format!("tank {}: {}", run.plan.tank.name, tank(run, units)),
    ];
    parts.extend(booster(run, units).map(|b| format!("booster {b}")));
    parts.extend(
        super::drawn::drawn_hydrants(run)
            .map(|h| format!("hydrant {} {}", h.name, height(h.height_m, units))),
    );
    parts.extend(frost(run, units).map(|(depth, basis)| format!("frost to {depth} ({basis})")));
    format!("{}.", parts.join("; "))
}
