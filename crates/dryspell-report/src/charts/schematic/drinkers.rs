//! Where the stock drinks: hydrants by height, the tank itself, gardens.

use dryspell::delivery::Hydrant;
use dryspell::draw::garden::Garden;
use dryspell::draw::{Group, Need};
use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, counted, show};

use super::DRINK;
use super::drawn::drawn_hydrants;
use super::labels::{LINE, Stack, pipe_size};
use crate::charts::words::height;
use crate::setting::paper::{Anchor, FAINT, Paper, SMALL};

/// More hydrants than this are told without their pipes and troughs.
const ROOMY: usize = 4;
/// More than this are told in two lines each.
const SOME: usize = 12;
/// Most hydrants that are drawn.
const MOST: usize = 16;
/// Where the first row begins.
const TOP: f64 = 12.0;

/// What stands at the end of a branch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sign {
    /// A trough.
    Trough,
    /// A hydrant from whose pipe they drink.
    Tap,
    /// A garden.
    Garden,
}

/// Where the branches are.
#[derive(Debug, Clone)]
pub(super) struct Drinkers {
    /// Height of each branch on the sheet, and what it feeds: hydrants first.
    pub(super) branches: Vec<(f64, Sign)>,
    /// How many of them are hydrants; the rest draws from the tank itself.
    pub(super) hydrants: usize,
    /// Height of the line that stands for the tank's outlet.
    pub(super) outlet: Option<f64>,
    /// Where the words end.
    pub(super) bottom: f64,
}

/// Writes them from the highest to the lowest, so far down the sheet.
pub(super) fn drinkers(paper: &mut Paper, run: &Run, units: System, down: f64) -> Drinkers {
    let mut out = Drinkers { branches: Vec::new(), hydrants: 0, outlet: None, bottom: TOP };
    paper.bold((352.0, TOP + down), SMALL, Anchor::Start, "where the stock drinks");
    let mut y = TOP + down + 6.0 + LINE;
    let mut hydrants: Vec<&Hydrant> = drawn_hydrants(run).collect();
    // Stable: equal heights stay in the scheme's order.
    hydrants.sort_by(|a, b| b.height_m.total_cmp(&a.height_m));
    let left_out = hydrants.len().saturating_sub(MOST);
    let lowest = hydrants.last().map_or(0.0, |h| h.height_m);
    hydrants.truncate(MOST);
    let many = hydrants.len();
    if many > SOME {
        paper.words((352.0, y - LINE + 2.0), SMALL, Anchor::Start, "heights above the tank's outlet");
        y += LINE;
    }
    for hydrant in &hydrants {
        if hydrant.height_m < 0.0 && out.outlet.is_none() {
            y = outlet(paper, &mut out, y);
        }
        let sign = if hydrant.trough_m3 > 0.0 { Sign::Trough } else { Sign::Tap };
        out.branches.push((y - 2.5, sign));
        let mut stack = Stack::new(paper, DRINK, y);
        stack.name(&hydrant.name);
        let herds = herds(run, Some(&hydrant.name));
        if many <= SOME {
            stack.words(&height(hydrant.height_m, units), 2);
            if many <= ROOMY {
                stack.words(&way(hydrant, units), 3);
            }
            stack.several(&herds, if many <= ROOMY { 2 } else { 1 });
        } else {
            let more = match herds.as_slice() {
                [] | [_] => String::new(),
                [_, rest @ ..] => format!(" and {} more", rest.len()),
            };
            let first = herds.first().map_or("no stock", String::as_str);
            stack.pair(&format!("{}; {first}", signed(hydrant.height_m, units)), &more);
        }
        y = stack.y + 5.0;
    }
    if left_out > 0 {
        let mut stack = Stack::new(paper, DRINK, y);
        stack.words(
            &format!("and {} more, down to {}", counted(left_out, "hydrant"), signed(lowest, units)),
            2,
        );
        y = stack.y + 5.0;
    }
    // Where some are left out the line might lie among them.
    if !hydrants.is_empty() && left_out == 0 && out.outlet.is_none() {
        y = outlet(paper, &mut out, y);
    }
    out.hydrants = out.branches.len();
    let at_tank = herds(run, None);
    if hydrants.is_empty() || !at_tank.is_empty() {
        out.branches.push((y - 2.5, Sign::Trough));
        let mut stack = Stack::new(paper, DRINK, y);
        stack.name("at the tank");
        stack.several(&at_tank, 6);
        y = stack.y + 5.0;
    }
    let gardens: Vec<&Garden> = run.plan.draw.gardens.iter().filter(|garden| garden.tank.is_none()).collect();
    for garden in gardens.iter().take(4) {
        out.branches.push((y - 2.5, Sign::Garden));
        let mut stack = Stack::new(paper, DRINK, y);
        stack.name(&format!("garden {}", garden.name));
        stack.words(&format!("{}, after the stock", show(garden.area_m2, Quantity::Area, units)), 1);
        y = stack.y + 5.0;
    }
    if gardens.len() > 4 {
        let mut stack = Stack::new(paper, DRINK, y);
        stack.words(&format!("and {} more", counted(gardens.len() - 4, "garden")), 1);
        y = stack.y + 5.0;
    }
    out.bottom = y - LINE + 4.0;
    out
}

/// The level of the tank's outlet between those above it and those below.
fn outlet(paper: &mut Paper, out: &mut Drinkers, y: f64) -> f64 {
    paper.tinted((DRINK.x, y), SMALL, Anchor::Start, FAINT, "level of the tank's outlet");
    out.outlet = Some(y + 2.5);
    y + LINE + 5.0
}

/// A height against the tank's outlet in short.
fn signed(m: f64, units: System) -> String {
    let text = show(m, Quantity::Length, units);
    if m > 0.0 { format!("+{text}") } else { text }
}

/// Its pipe and its trough.
fn way(hydrant: &Hydrant, units: System) -> String {
    let pipe = match hydrant.runs.as_slice() {
        [run] => pipe_size(run, units),
        runs => format!(
            "{} in {}",
            show(runs.iter().map(|r| r.length_m).sum(), Quantity::Length, units),
            counted(runs.len(), "pipe")
        ),
    };
    if hydrant.trough_m3 > 0.0 {
        format!("{pipe}; trough {}", show(hydrant.trough_m3, Quantity::Volume, units))
    } else {
        format!("{pipe}; no trough")
    }
}

/// The groups that drink at a hydrant, or at none of them.
fn herds(run: &Run, hydrant: Option<&str>) -> Vec<String> {
    let known = |place: &str| run.plan.delivery.iter().flat_map(|d| &d.hydrants).any(|h| h.name == place);
    let here = |group: &&Group| match hydrant {
        Some(name) => group.places.iter().any(|(place, _)| place == name),
        None => {
            let other_tank = |place: &str| run.plan.other_tanks.iter().any(|tank| tank.name == place);
            let elsewhere = |place: &str| known(place) || other_tank(place);
            let own = group.tank.is_none() && group.places.is_empty();
            own || group.places.iter().any(|(place, _)| !elsewhere(place))
        }
    };
    run.plan
        .draw
        .groups
        .iter()
        .filter(here)
        .map(|group| match group.need {
            Need::ShareOfHerd(_) => group.name.clone(),
            Need::ByMonth(_) | Need::Class { .. } => format!("{} ({})", group.name, group.count),
        })
        .collect()
}
