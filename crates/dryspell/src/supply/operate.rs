//! The operating point: where what the pump needs meets what is available to it.

use super::System;
use super::head::head_at;
use crate::coupling::Offer;
use crate::pipe::Split;
use crate::pump::{Machine, Meeting, OperatingPoint, Place, Site, Surface, surface::between};
use crate::root::{falling_root, last_sustained};
use crate::supply::Head;
use crate::well::Bore;

/// Share of the greatest flow to which a tabulated pump's flow is found.
const FLOW_TOLERANCE: f64 = 1e-11;
/// Share of the greatest drive to which the operating point is found.
const DRIVE_TOLERANCE: f64 = 1e-12;

/// How the water in the bore stands while a flow is tried.
#[derive(Debug, Clone, Copy)]
pub(super) enum Drawdown {
    /// Settled for the flow.
    Settled,
    /// The mean over a time, from a drawdown at its start.
    Mean { bore: Bore, from_m: f64, time_h: f64 },
    /// Held at this, before the well loss.
    At(f64),
}

/// A system in one month and state: what the pump meets.
#[derive(Debug, Clone, Copy)]
pub(super) struct SiteState<'a> {
    pub(super) system: &'a System,
    pub(super) month: u8,
    pub(super) drawdown: Drawdown,
}

impl SiteState<'_> {
    /// Head at a flow by cause, and where the water goes.
    pub(super) fn head(&self, flow_m3_per_h: f64) -> (Head, Split) {
        let well = &self.system.settings.well;
        let drawdown_m = match self.drawdown {
            Drawdown::Settled => well.drawdown_m(flow_m3_per_h),
            Drawdown::Mean { bore, from_m, time_h } => {
                bore.advance(from_m, flow_m3_per_h, time_h).1 + well.well_loss_m(flow_m3_per_h)
            }
            Drawdown::At(drawdown_m) => drawdown_m + well.well_loss_m(flow_m3_per_h),
        };
        head_at(&self.system.settings, &self.system.line, self.month, flow_m3_per_h, drawdown_m)
    }
}

impl Site for SiteState<'_> {
    fn head_m(&self, flow_m3_per_h: f64) -> f64 {
        self.head(flow_m3_per_h).0.total_m()
    }

    fn meet(&self, surface: &Surface, drive: f64, flows: &[f64]) -> Meeting {
        let met = match self.drawdown {
            Drawdown::Settled => meet_settled(self, surface, flows),
            Drawdown::Mean { .. } | Drawdown::At(_) => meet_anywhere(self, surface, flows),
        };
        if surface.stands_below_lowest() && drive < surface.lowest_drive(met.place) {
            hold_at_lowest_drive(self, surface, drive, met)
        } else {
            met
        }
    }
}

/// Between two tabulated heads the lower one's curve still gives flow at drives below the lowest of both at that head,
/// interpolated. Without a start power or voltage there is none there: the pump stops, the water falls back, it starts
/// again, and the flow is the one whose head just asks for the drive there is. None at all when standing water already
/// asks for more.
fn hold_at_lowest_drive(here: &SiteState<'_>, surface: &Surface, drive: f64, met: Meeting) -> Meeting {
    let place = |flow: f64| surface.place(here.head_m(flow));
    let suffices = |flow: f64| drive >= surface.lowest_drive(place(flow));
    let (mut low, mut high) = (0.0, met.flow_m3_per_h);
    if !suffices(low) {
        return Meeting { flow_m3_per_h: 0.0, ..met };
    }
    while high - low > FLOW_TOLERANCE * here.system.full_flow_m3_per_h {
        let middle = 0.5 * (low + high);
        if suffices(middle) { low = middle } else { high = middle }
    }
    Meeting { flow_m3_per_h: low, place: place(low), ..met }
}

/// Where a tabulated pump meets a system whose flows at the tabulated heads are known beforehand.
fn meet_settled(here: &SiteState<'_>, surface: &Surface, flows: &[f64]) -> Meeting {
    let reach = &here.system.reach_m3_per_h[usize::from(here.month.clamp(1, 12)) - 1];
    // Up the heads, the pump gives ever less and the system passes ever more: they cross once.
    let above = flows.iter().zip(reach).position(|(pump, system)| pump < system).unwrap_or(flows.len());
    let end = |index: usize, flow_m3_per_h, table_end| Meeting {
        flow_m3_per_h,
        place: Place { index, weight: 0.0 },
        table_end,
        below_lowest_head: !table_end,
    };
    if above == 0 {
        return end(0, flows[0], false);
    }
    let k = above - 1;
    if above == flows.len() {
        return end(k, reach[k], flows[k] > reach[k]);
    }
    let place = |q: f64| Place { index: k, weight: surface.weight(k, here.head_m(q)) };
    let low = reach[k].max(flows[k + 1]);
    let high = flows[k].min(reach[k + 1]);
    let surplus = |q: f64| between(flows, place(q)) - q;
    let tolerance = FLOW_TOLERANCE * here.system.full_flow_m3_per_h;
    let flow_m3_per_h = falling_root(surplus, low, high, tolerance);
    Meeting { flow_m3_per_h, place: place(flow_m3_per_h), table_end: false, below_lowest_head: false }
}

/// The same for any system.
fn meet_anywhere(here: &SiteState<'_>, surface: &Surface, flows: &[f64]) -> Meeting {
    let top = surface.highest_head_m();
    let full = here.system.full_flow_m3_per_h;
    let own = |head_m: f64| between(flows, surface.place(head_m));
    // Two falling functions: the lesser of their roots is the root of the lesser.
    let surplus = |q: f64| {
        let head_m = here.head_m(q);
        (own(head_m) - q).min((top - head_m) / top * full)
    };
    let most = flows.first().copied().unwrap_or(0.0);
    let flow_m3_per_h =
        if here.head_m(0.0) > top { 0.0 } else { falling_root(surplus, 0.0, most, FLOW_TOLERANCE * full) };
    let head_m = here.head_m(flow_m3_per_h);
    Meeting {
        flow_m3_per_h,
        place: surface.place(head_m.min(top)),
        table_end: own(head_m) - flow_m3_per_h > 1e-9 * full && head_m > top * (1.0 - 1e-9),
        below_lowest_head: head_m < surface.lowest_head_m(),
    }
}

/// Where a pump and what is available to it meet on a site; `None` where nothing flows.
pub(super) fn operate(
    machine: &dyn Machine,
    offer: &Offer<'_>,
    site: &dyn Site,
    flows: &mut Vec<f64>,
) -> Option<OperatingPoint> {
    let running = match offer {
        Offer::Power { watts, .. } if machine.is_driven_by_power() => machine.run(*watts, site, flows),
        _ => {
            let surplus = |drive: f64| {
                let running = machine.run(drive, site, flows);
                let left = match (offer, running.voltage_v, running.current_a) {
                    (Offer::Power { watts, .. }, _, _) => watts - running.power_w,
                    (_, Some(volts), Some(amps)) => offer.current_a(volts) - amps,
                    _ => -1.0,
                };
                left.min(running.margin)
            };
            let top = machine.top_drive();
            let drive = last_sustained(surplus, 0.0, top, DRIVE_TOLERANCE * top)?;
            machine.run(drive, site, flows)
        }
    };
    (running.flow_m3_per_h > 0.0).then_some(running)
}
