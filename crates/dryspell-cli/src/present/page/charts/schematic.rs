//! The water's way as a section through the ground, with heights; across it nothing is to scale.

use std::collections::BTreeSet;

use dryspell::array::Module;
use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, show};

use super::paper::{Anchor, DEEP, FAINT, GROUND, INK, Paper, SMALL, WATER, WHITE, area, dashed, pen};
use super::words::{broken, shortened};
use super::{PAGE, finished};
use crate::present::page::model::Chart;

/// The ground at the well.
const WELL_GROUND: f64 = 90.0;
/// How far a tank that lies higher or lower is drawn above or below it.
const STEP: f64 = 22.0;
/// Middle of the well.
const WELL: f64 = 122.0;
/// Edges of the tank.
const TANK: (f64, f64) = (262.0, 330.0);
/// Depth of the tank in the ground.
const DEEP_TANK: f64 = 52.0;
/// The line that leads to the hydrants, and where their words begin.
const BRANCH: f64 = 354.0;
const LIST: f64 = 378.0;
/// Between two lines of words.
const LINE: f64 = 9.0;

/// Panels, well, pipes, tank, booster, hydrants, with heights and sizes.
///
/// # Errors
/// None so far: what stands in a scheme can be drawn.
pub(crate) fn schematic(run: &Run, units: System) -> Result<Chart, String> {
    let places = places(run, units);
    let list_height: f64 = 14.0 + places.iter().map(|place| place.height() + 5.0).sum::<f64>();
    let height = f64::max(206.0, list_height + 14.0);
    let inlet = run.plan.supply.pipe.inlet_height_m;
    let step = if inlet > 0.05 {
        -STEP
    } else if inlet < -0.05 {
        STEP
    } else {
        0.0
    };
    let tank_ground = WELL_GROUND + step;
    let mut paper = Paper::new(PAGE, 1000);
    // The ground ends before the words of who drinks where.
    let edge = BRANCH - 8.0;
    let surface = [(0.0, WELL_GROUND), (158.0, WELL_GROUND), (232.0, tank_ground), (edge, tank_ground)];
    let below = [(edge, height - 12.0), (0.0, height - 12.0)];
    let ground: Vec<(f64, f64)> = surface.iter().chain(&below).copied().collect();
    paper.shape(&ground, GROUND, None);
    paper.path(&surface, pen(INK, 1.2));

    panels(&mut paper, run, units);
    well(&mut paper, run, units);
    frost(&mut paper, run, units);
    pipes(&mut paper, run, units, tank_ground);
    tank(&mut paper, run, units, tank_ground);
    list(&mut paper, &places, tank_ground + DEEP_TANK - 6.0);
    paper.tinted(
        (4.0, height - 3.0),
        SMALL,
        Anchor::Start,
        FAINT,
        "Not to scale. Heights and lengths as the scheme gives them.",
    );

    let days = run
        .rule_sheet_storage_days()
        .map_or_else(String::new, |days| format!(", {days:.1} days of the peak month's draw"));
    let title = format!(
        "Water is lifted against {} into a tank of {}{days}",
        show(run.head.total_m, Quantity::Length, units),
        show(run.plan.tank.capacity_m3, Quantity::Volume, units)
    );
    let told: Vec<String> = places.iter().map(|place| place.lines.join(" ")).collect();
    let alternative = format!(
        "A section through the ground: panels, the well with its water, pipes, the tank, and where the stock drinks. {title}. {}",
        told.join("; ")
    );
    Ok(finished("schematic", title, alternative, &paper.cut_to(height)))
}

fn panels(paper: &mut Paper, run: &Run, units: System) {
    let arrays = &run.plan.array.arrays;
    for (i, _) in arrays.iter().take(3).enumerate() {
        let x = 12.0 + 30.0 * super::words::f(i);
        paper.shape(
            &[(x, 34.0), (x + 20.0, 14.0), (x + 25.0, 18.0), (x + 5.0, 38.0)],
            DEEP,
            Some(pen(INK, 0.6)),
        );
        paper.line((x + 15.0, 28.0), (x + 15.0, 42.0), pen(INK, 1.0));
    }
    // The cable to the pump.
    paper.path(&[(38.0, 42.0), (WELL, 42.0), (WELL, WELL_GROUND)], dashed(FAINT, 0.7, "2 2"));
    let mut y = 53.0;
    for array in arrays.iter().take(3) {
        let module = match &array.module {
            Module::Datasheet(d) => format!(" of {}", show(d.imp_a * d.vmp_v, Quantity::Power, units)),
            Module::Parameters(_) => String::new(),
        };
        let text = format!(
            "{}: {} modules{module}, tilt {:.0}°",
            array.name,
            array.series * array.parallel,
            array.tilt_deg
        );
        let lines = if arrays.len() > 1 { 1 } else { 4 };
        for line in broken(&text, 108.0, SMALL, lines) {
            paper.words((4.0, y), SMALL, Anchor::Start, &line);
            y += LINE;
        }
    }
}

fn well(paper: &mut Paper, run: &Run, units: System) {
    let length = |m: f64| show(m, Quantity::Length, units);
    let levels = &run.plan.supply.well.static_level_m;
    let shallow = levels.iter().copied().fold(f64::INFINITY, f64::min);
    let deep = levels.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let (standing, pumping, foot) = (WELL_GROUND + 46.0, WELL_GROUND + 70.0, WELL_GROUND + 100.0);
    paper.rect(
        area(WELL - 7.0, WELL_GROUND - 6.0, 14.0, foot - WELL_GROUND + 6.0),
        WHITE,
        Some(pen(INK, 0.9)),
    );
    paper.rect(area(WELL - 6.5, pumping, 13.0, foot - pumping - 0.5), WATER, None);
    paper.line((WELL - 6.5, standing), (WELL + 6.5, standing), dashed(DEEP, 0.9, "2 1.5"));
    paper.line((WELL - 6.5, pumping), (WELL + 6.5, pumping), pen(DEEP, 0.9));
    paper.rect(area(WELL - 4.0, foot - 20.0, 8.0, 14.0), INK, None);
    let mut label = |y: f64, text: &str| {
        paper.line((WELL - 8.0, y), (WELL - 14.0, y), pen(FAINT, 0.6));
        let mut at = y + 2.5;
        for line in broken(text, 98.0, SMALL, 3) {
            paper.words((WELL - 16.0, at), SMALL, Anchor::End, &line);
            at += LINE;
        }
    };
    let standing_text = if deep - shallow < 1e-9 {
        format!("standing water {}", length(deep))
    } else {
        format!("standing water {} to {} by month", length(shallow), length(deep))
    };
    label(standing, &standing_text);
    label(
        pumping,
        &format!(
            "pumping {} at {}",
            length(run.head.static_level_m + run.head.drawdown_m),
            show(run.head.flow_m3_per_h, Quantity::Flow, units)
        ),
    );
    label(foot - 12.0, "pump");
}

fn frost(paper: &mut Paper, run: &Run, units: System) {
    let Some(ground) = &run.frozen.ground else { return };
    let Some(depth) = ground.depth else { return };
    let y = WELL_GROUND + 17.0;
    paper.line((2.0, y), (WELL - 10.0, y), dashed(INK, 0.8, "6 2 1.5 2"));
    let text = format!("frost {}, {}", show(depth.depth_m, Quantity::Length, units), ground.basis.text());
    let mut at = y + 9.0;
    for line in broken(&text, 106.0, SMALL, 2) {
        paper.words((2.0, at), SMALL, Anchor::Start, &line);
        at += LINE;
    }
}

fn pipes(paper: &mut Paper, run: &Run, units: System, tank_ground: f64) {
    let down = 9.0;
    let way = [
        (WELL, WELL_GROUND + 82.0),
        (WELL, WELL_GROUND + down),
        (158.0, WELL_GROUND + down),
        (232.0, tank_ground + down),
        (TANK.0, tank_ground + down),
    ];
    paper.path(&way, pen(DEEP, 2.0));
    let inlet = run.plan.supply.pipe.inlet_height_m;
    let height = if inlet < 0.0 {
        format!("inlet {} below the wellhead", show(-inlet, Quantity::Length, units))
    } else {
        format!("inlet {} above the wellhead", show(inlet, Quantity::Length, units))
    };
    let mut y = WELL_GROUND.max(tank_ground) + 26.0;
    let mut texts = vec![height];
    texts.extend(run.plan.supply.pipe.runs.iter().map(|pipe| {
        format!(
            "{}: {} of {}",
            pipe.name,
            show(pipe.length_m, Quantity::Length, units),
            show(pipe.bore_m, Quantity::Length, units)
        )
    }));
    // Five lines of pipes have room above the well's foot.
    let more = texts.len().saturating_sub(6);
    texts.truncate(6);
    if more > 0 {
        texts.push(format!("and {more} more"));
    }
    for text in texts {
        for line in broken(&text, TANK.0 - WELL - 24.0, SMALL, 2) {
            paper.words((WELL + 16.0, y), SMALL, Anchor::Start, &line);
            y += LINE;
        }
        y += 2.0;
    }
}

fn tank(paper: &mut Paper, run: &Run, units: System, ground: f64) {
    let tank = &run.plan.tank;
    let (left, right) = TANK;
    let (top, bottom) = (ground + 3.0, ground + DEEP_TANK);
    let up = |m3: f64| bottom - 1.0 - (bottom - top - 8.0) * (m3 / tank.capacity_m3).clamp(0.0, 1.0);
    paper.rect(area(left, top, right - left, bottom - top), WHITE, Some(pen(INK, 1.1)));
    let full = up(tank.full_m3());
    paper.rect(area(left + 0.6, full, right - left - 1.2, bottom - full - 0.6), WATER, None);
    paper.line((left, full), (right, full), pen(DEEP, 0.9));
    if let Some(start) = tank.float_start_m3 {
        paper.line((left, up(start)), (right, up(start)), dashed(DEEP, 0.9, "3 2"));
    }
    let volume = |m3: f64| show(m3, Quantity::Volume, units);
    let float = match (tank.float_stop_m3, tank.float_start_m3) {
        (None, _) => "no float".to_owned(),
        (Some(stop), None) => format!("float stops at {}", volume(stop)),
        (Some(stop), Some(start)) => format!("float stops at {}, starts at {}", volume(stop), volume(start)),
    };
    let mut y = bottom + 11.0;
    for text in [format!("{}: {} usable", tank.name, volume(tank.capacity_m3)), float] {
        for line in broken(&text, BRANCH - left + 2.0, SMALL, 3) {
            paper.words((left - 14.0, y), SMALL, Anchor::Start, &line);
            y += LINE;
        }
    }
}

/// Where water goes from the tank.
struct Place {
    kind: Kind,
    lines: Vec<String>,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Booster,
    Trough,
    Garden,
}

impl Place {
    fn new(kind: Kind, text: &str) -> Self {
        Self { kind, lines: broken(text, f64::from(PAGE) - LIST - 4.0, SMALL, 3) }
    }

    fn height(&self) -> f64 {
        LINE * super::words::f(self.lines.len().max(1))
    }
}

/// Booster, hydrants with who drinks there, gardens.
fn places(run: &Run, units: System) -> Vec<Place> {
    let volume = |m3: f64| show(m3, Quantity::Volume, units);
    let mut list = Vec::new();
    // Who stands nowhere in particular drinks at the tank.
    let at_tank: Vec<&str> =
        run.plan.draw.groups.iter().filter(|g| g.places.is_empty()).map(|g| g.name.as_str()).collect();
    if !at_tank.is_empty() {
        list.push(Place::new(Kind::Trough, &format!("at the tank: {}", at_tank.join(", "))));
    }
    if let Some(delivery) = &run.plan.delivery {
        if let Some(b) = &delivery.booster {
            let tank =
                b.tank.map_or_else(String::new, |t| format!(", pressure tank {}", volume(t.volume_m3)));
            let text = format!(
                "booster: battery {:.0} Ah at {}{tank}",
                b.battery.capacity_ah,
                show(b.voltage_v, Quantity::Voltage, units)
            );
            list.push(Place::new(Kind::Booster, &text));
        }
        for hydrant in &delivery.hydrants {
            let here: BTreeSet<&str> = run
                .plan
                .draw
                .groups
                .iter()
                .filter(|g| g.places.iter().any(|(place, _)| *place == hydrant.name))
                .map(|g| g.name.as_str())
                .collect();
            let way = if hydrant.height_m < 0.0 { "below" } else { "above" };
            let trough = if hydrant.trough_m3 > 0.0 {
                format!(", trough {}", volume(hydrant.trough_m3))
            } else {
                String::new()
            };
            let who: Vec<&str> = here.into_iter().collect();
            let who = if who.is_empty() { String::new() } else { format!(": {}", who.join(", ")) };
            let name = shortened(&hydrant.name, 90.0, SMALL, false);
            let text = format!(
                "{name}, {} {way} the outlet{trough}{who}",
                show(hydrant.height_m.abs(), Quantity::Length, units)
            );
            list.push(Place::new(Kind::Trough, &text));
        }
    }
    for garden in &run.plan.draw.gardens {
        let text = format!(
            "garden {}, {}, after the stock",
            garden.name,
            show(garden.area_m2, Quantity::Area, units)
        );
        list.push(Place::new(Kind::Garden, &text));
    }
    list
}

/// The places one below the other on the line from the tank.
fn list(paper: &mut Paper, places: &[Place], outlet: f64) {
    let mut y = 14.0;
    let (mut first, mut last) = (outlet, outlet);
    for place in places {
        let middle = y - 2.5;
        (first, last) = (first.min(middle), last.max(middle));
        paper.line((BRANCH, middle), (LIST - 16.0, middle), pen(DEEP, 1.4));
        let x = LIST - 16.0;
        match place.kind {
            Kind::Booster => {
                paper.rect(area(x, middle - 4.0, 12.0, 8.0), WHITE, Some(pen(INK, 0.9)));
                paper.line((x + 3.0, middle - 4.0), (x + 3.0, middle - 6.0), pen(INK, 0.9));
                paper.line((x + 9.0, middle - 4.0), (x + 9.0, middle - 6.0), pen(INK, 0.9));
            }
            Kind::Trough => {
                let trough = [
                    (x, middle - 3.0),
                    (x + 12.0, middle - 3.0),
                    (x + 9.5, middle + 4.0),
                    (x + 2.5, middle + 4.0),
                ];
                paper.shape(&trough, WATER, Some(pen(INK, 0.8)));
            }
            Kind::Garden => paper.circle((x + 6.0, middle), 3.5, WHITE, Some(pen(INK, 0.8))),
        }
        for line in &place.lines {
            paper.words((LIST, y), SMALL, Anchor::Start, line);
            y += LINE;
        }
        y += 5.0;
    }
    if !places.is_empty() {
        paper.path(&[(TANK.1, outlet), (BRANCH, outlet)], pen(DEEP, 1.6));
        paper.line((BRANCH, first), (BRANCH, last), pen(DEEP, 1.6));
    }
}
