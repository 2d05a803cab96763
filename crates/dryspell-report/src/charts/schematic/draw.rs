//! What is drawn behind the words: ground, well, panels, pipes, tank, troughs.

use dryspell::simulate::Run;

use super::drinkers::{Drinkers, Sign};
use super::labels::{FALL_X, Places, RISE_X, cover_m};
use crate::setting::paper::{DEEP, FAINT, GROUND, INK, Lean, Paper, Pen, WATER, WHITE, area, dashed, pen};

/// Walls of the well.
const BORE: (f64, f64) = (30.0, 44.0);
/// Walls of the tank.
const TANK: (f64, f64) = (238.0, 316.0);
/// Depth of the tank below the ground beside it.
const TANK_DEEP: f64 = 64.0;
/// The pipe along which the hydrants hang.
const RISER_X: f64 = 350.0;
/// The pipe of those that drink from the tank itself, where there are hydrants.
const DIRECT_X: f64 = 330.0;
/// A pipe.
const PIPE: Pen = pen(DEEP, 2.2);

/// The section behind the words.
pub(super) fn section(paper: &mut Paper, run: &Run, at: &Places, drinkers: &Drinkers, bottom: f64) {
    ground(paper, at, bottom);
    panels(paper, at);
    well(paper, run, at);
    let inlet = supply_pipe(paper, run, at);
    tank(paper, run, at, inlet);
    delivery(paper, run, at, drinkers);
}

fn ground(paper: &mut Paper, at: &Places, bottom: f64) {
    let (foot, brow) = if at.tank_ground <= at.ground { (166.0, 186.0) } else { (216.0, 226.0) };
    let line = [(4.0, at.ground), (foot, at.ground), (brow, at.tank_ground), (332.0, at.tank_ground)];
    let mut shape = line.to_vec();
    shape.extend([(332.0, bottom), (4.0, bottom)]);
    paper.shape(&shape, GROUND, None);
    paper.path(&line, pen(INK, 1.1));
    // Strokes under the surface, as ground is drawn.
    for (from, to, y) in [(6.0, 26.0, at.ground), (48.0, foot - 4.0, at.ground)] {
        let mut x = from;
        while x < to {
            paper.line((x + 3.0, y), (x, y + 3.0), pen(FAINT, 0.4));
            x += 6.0;
        }
    }
}

fn panels(paper: &mut Paper, at: &Places) {
    let y = at.ground;
    for degrees in 0..8_u8 {
        let (c, s) = direction(degrees);
        paper.line((14.0 + 7.5 * c, 14.0 + 7.5 * s), (14.0 + 10.5 * c, 14.0 + 10.5 * s), pen(INK, 0.7));
    }
    paper.circle((14.0, 14.0), 5.5, WHITE, Some(pen(INK, 0.8)));
    paper.path(&[(56.0, y), (56.0, y - 22.0), (46.0, y - 30.0)], pen(INK, 1.6));
    let (low, high) = ((47.0, y - 16.0), (69.0, y - 40.0));
    let back = |p: (f64, f64)| (p.0 - 17.0, p.1 - 8.0);
    paper.shape(&[low, high, back(high), back(low)], DEEP, Some(pen(INK, 0.8)));
    for share in [0.33, 0.67] {
        let along = (low.0 + share * (high.0 - low.0), low.1 + share * (high.1 - low.1));
        paper.line(along, back(along), pen(WHITE, 0.7));
    }
    let middle = |a: (f64, f64), b: (f64, f64)| (0.5 * (a.0 + b.0), 0.5 * (a.1 + b.1));
    paper.line(middle(low, back(low)), middle(high, back(high)), pen(WHITE, 0.7));
}

/// Eight directions.
fn direction(eighth: u8) -> (f64, f64) {
    const HALF: f64 = std::f64::consts::FRAC_1_SQRT_2;
    match eighth % 8 {
        0 => (1.0, 0.0),
        1 => (HALF, HALF),
        2 => (0.0, 1.0),
        3 => (-HALF, HALF),
        4 => (-1.0, 0.0),
        5 => (-HALF, -HALF),
        6 => (0.0, -1.0),
        _ => (HALF, -HALF),
    }
}

fn well(paper: &mut Paper, run: &Run, at: &Places) {
    let (left, right) = BORE;
    let floor = at.well_end + 4.0;
    paper.rect(area(left, at.ground - 6.0, right - left, floor - at.ground + 6.0), WHITE, None);
    // Above the pumping level the water stands only while the pump rests.
    let rests = area(left, at.standing, right - left, at.pumping - at.standing);
    paper.hatch(rests, 4.0, Lean::Right, pen("#7fb0d3", 0.7));
    paper.rect(area(left, at.pumping, right - left, floor - at.pumping), WATER, None);
    for (y, look) in [(at.standing, dashed(DEEP, 1.0, "3 1.5")), (at.pumping, pen(DEEP, 1.0))] {
        paper.line((left, y), (right, y), look);
        paper.line((right + 1.0, y), (63.0, y), pen(FAINT, 0.5));
    }
    for x in [left, right] {
        paper.line((x, at.ground - 6.0), (x, floor), pen(INK, 1.1));
    }
    paper.line((left, floor), (right, floor), dashed(INK, 1.1, "2 1.5"));
    paper.line((left - 2.0, at.ground - 6.0), (right + 2.0, at.ground - 6.0), pen(INK, 1.6));
    // The pump: dashed where nothing says how deep it hangs.
    let known = run.plan.supply.well.pump_setting_m.is_some();
    let edge = if known { pen(INK, 0.9) } else { dashed(INK, 0.9, "2 1.2") };
    paper.rect(area(34.0, at.pump - 3.0, 6.0, 13.0), if known { "#5a5a5a" } else { WHITE }, Some(edge));
    paper.line((right + 1.0, at.pump), (63.0, at.pump), pen(FAINT, 0.5));
    paper.line((37.0, at.pump - 3.0), (37.0, at.ground + 22.0), PIPE);
}

/// The pipe from the well to the tank; returns the height of its end.
fn supply_pipe(paper: &mut Paper, run: &Run, at: &Places) -> f64 {
    let depth = run.frozen.ground.as_ref().and_then(|g| g.depth).map(|d| d.depth_m);
    let shallow = matches!((depth, cover_m(run)), (Some(frost), Some(cover)) if cover <= frost);
    // Below the line of the frost, unless the scheme says that it lies above.
    let y = at.ground + if shallow { 12.5 } else { 22.0 };
    let frost_y = at.ground + if shallow { 22.0 } else { 13.0 };
    if depth.is_some() {
        paper.line((48.0, frost_y), (224.0, frost_y), dashed(INK, 0.9, "1.5 2 5 2"));
    }
    let inlet = at.tank_ground + 5.0;
    paper.path(
        &[(37.0, at.ground + 22.0), (37.0, y), (229.0, y), (229.0, inlet), (TANK.0 + 6.0, inlet)],
        PIPE,
    );
    arrow(paper, (TANK.0 + 9.0, inlet), (1.0, 0.0));
    if (at.ground - at.tank_ground).abs() > 1.0 {
        let x = if at.ground > at.tank_ground { RISE_X } else { FALL_X };
        if at.ground < at.tank_ground {
            paper.line((222.0, at.ground), (x + 3.0, at.ground), dashed(FAINT, 0.5, "2 2"));
        }
        paper.line((x, at.ground), (x, at.tank_ground), pen(INK, 0.6));
        for y in [at.ground, at.tank_ground] {
            paper.line((x - 3.0, y), (x + 3.0, y), pen(INK, 0.6));
        }
    }
    inlet
}

fn tank(paper: &mut Paper, run: &Run, at: &Places, inlet: f64) {
    let (left, right) = TANK;
    let (top, floor) = (at.tank_ground - 4.0, at.tank_ground + TANK_DEEP);
    paper.rect(area(left, top, right - left, floor - top), WHITE, None);
    let full = at.tank_ground + super::levels::FULL;
    paper.rect(area(left, full, right - left, floor - full), WATER, None);
    paper.line((left, full), (right, full), pen(DEEP, 1.0));
    if run.plan.tank.float_start_m3.is_some() {
        let start = at.tank_ground + super::levels::START;
        paper.line((left, start), (right, start), dashed(DEEP, 0.9, "3 1.5"));
    }
    let lid = if run.plan.tank.open_surface_m2 > 0.0 { None } else { Some(pen(INK, 1.8)) };
    for (a, b) in
        [((left, top), (left, floor)), ((right, top), (right, floor)), ((left, floor), (right, floor))]
    {
        paper.line(a, b, pen(INK, 1.4));
    }
    if let Some(lid) = lid {
        paper.line((left - 3.0, top), (right + 3.0, top), lid);
    }
    // The inlet's end stands before the wall.
    paper.line((229.0, inlet), (left + 6.0, inlet), PIPE);
    arrow(paper, (left + 9.0, inlet), (1.0, 0.0));
}

/// Where the water leaves the tank.
pub(super) fn outlet(at: &Places) -> f64 {
    at.tank_ground + TANK_DEEP - 6.0
}

fn delivery(paper: &mut Paper, run: &Run, at: &Places, drinkers: &Drinkers) {
    let outlet = outlet(at);
    let (behind, direct) = drinkers.branches.split_at(drinkers.hydrants.min(drinkers.branches.len()));
    // What drinks from the tank itself has a pipe of its own, before the booster.
    let pipes = [(RISER_X, behind), (if behind.is_empty() { RISER_X } else { DIRECT_X }, direct)];
    for (x, branches) in pipes.iter().filter(|(_, branches)| !branches.is_empty()) {
        let ys = branches.iter().map(|(y, _)| *y).chain([outlet]);
        let (high, low) = ys.fold((outlet, outlet), |(a, b), y| (a.min(y), b.max(y)));
        paper.line((TANK.1, outlet), (*x, outlet), PIPE);
        paper.line((*x, high), (*x, low), PIPE);
        for (y, _) in *branches {
            paper.line((*x, *y), (360.0, *y), PIPE);
        }
    }
    if run.booster().is_some() && run.plan.delivery.as_ref().is_some_and(|d| d.tank.is_none()) {
        paper.circle((340.0, outlet), 5.5, WHITE, Some(pen(INK, 1.1)));
        paper.shape(&[(337.5, outlet - 3.5), (344.5, outlet), (337.5, outlet + 3.5)], INK, None);
    }
    if let Some(y) = drinkers.outlet {
        paper.line((354.0, y), (506.0, y), dashed(FAINT, 0.8, "4 2"));
    }
    for (y, sign) in &drinkers.branches {
        match sign {
            Sign::Trough => {
                let trough = [(361.0, y - 4.0), (378.0, y - 4.0), (375.0, y + 5.0), (364.0, y + 5.0)];
                paper.shape(&trough, WATER, Some(pen(INK, 1.0)));
            }
            Sign::Tap => {
                paper.circle((366.0, *y), 4.0, WHITE, Some(pen(INK, 1.1)));
                paper.line((366.0, y - 4.0), (366.0, y + 4.0), pen(INK, 1.1));
            }
            Sign::Garden => {
                let bed = area(361.0, y - 4.0, 16.0, 9.0);
                paper.rect(bed, WHITE, None);
                paper.hatch(bed, 2.6, Lean::Left, pen(INK, 0.6));
                paper.rect(bed, "none", Some(pen(INK, 0.8)));
            }
        }
    }
}

/// The head of an arrow.
fn arrow(paper: &mut Paper, (x, y): (f64, f64), (dx, dy): (f64, f64)) {
    let (px, py) = (-dy, dx);
    let back = |side: f64| (x - 5.0 * dx + side * 3.0 * px, y - 5.0 * dy + side * 3.0 * py);
    paper.shape(&[(x, y), back(1.0), back(-1.0)], DEEP, None);
}
