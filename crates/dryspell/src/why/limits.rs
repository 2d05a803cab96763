//! What held the flow back, hour by hour.

use super::Window;
use crate::curve::SteadySun;
use crate::simulate::Run;
use crate::supply::Limit;

/// What the grid's steps come to within an hour is no water held back, m³.
const SMALL_M3: f64 = 1e-5;

/// What holds the flow back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HeldBy {
    /// The water's way from the well is frozen.
    Frost,
    /// Snow lies on panels.
    Snow,
    /// There is light, but less than starts the pump.
    SunBelowStart,
    /// The pump runs on less power than it can take.
    Power,
    /// The head is greater than any of the pump's table.
    Head,
    /// The well gives less than the pump would lift, or has not come back.
    Well,
    /// What the weep hole loses and the drained pipe takes.
    WeepHole,
    /// The tank is not full, but its float has not yet let the pump start again; or another pump has filled it.
    Float,
    /// There is no light.
    Night,
}

impl HeldBy {
    /// All of them, in the order of their numbers.
    pub const ALL: [Self; 9] = [
        Self::Frost,
        Self::Snow,
        Self::SunBelowStart,
        Self::Power,
        Self::Head,
        Self::Well,
        Self::WeepHole,
        Self::Float,
        Self::Night,
    ];

    /// Its name.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Frost => "frozen",
            Self::Snow => "snow on the panels",
            Self::SunBelowStart => "sun below start",
            Self::Power => "sun below full flow",
            Self::Head => "head at the table's end",
            Self::Well => "well",
            Self::WeepHole => "weep hole",
            Self::Float => "float",
            Self::Night => "night",
        }
    }
}

/// How much one thing held back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeldBack {
    /// What it was.
    pub by: HeldBy,
    /// Water missing for it, m³.
    pub m3: f64,
    /// Hours in which something was missing for it.
    pub hours: u32,
}

/// Whether the panels have light.
pub(super) fn is_lit(run: &Run, h: usize) -> bool {
    run.array.plane_w_per_m2[h] > 0.0
}

/// What the first well's pump brought in an hour, m³.
pub(super) fn pumped_m3(run: &Run, h: usize) -> f64 {
    run.lifts.first().map_or(run.hours[h].pumped_m3[0], |first| first.hourly_m3[h])
}

/// What held the flow back in the hours of a window, most first and night last.
pub(super) fn held_back(run: &Run, sun: &SteadySun<'_>, window: &Window) -> Vec<HeldBack> {
    // What the pump alone could give, and what the well leaves of it, m³/h.
    let full: [(f64, f64); 12] = std::array::from_fn(|month| {
        let hour = sun.at_full_input(u8::try_from(month + 1).unwrap_or(12));
        (hour.free_flow_m3_per_h, hour.flow_m3_per_h)
    });
    let mut sums = HeldBy::ALL.map(|by| HeldBack { by, m3: 0.0, hours: 0 });
    for h in window.hours(run) {
        let had_m3 = pumped_m3(run, h);
        let month = usize::from(run.calendar.day_of(h).month) - 1;
        let (pump_m3, with_well_m3) = full[month];
        let mut missing_m3 = (pump_m3 - had_m3).max(0.0);
        let mut new = [true; HeldBy::ALL.len()];
        let mut take = |by: HeldBy, most_m3: f64| {
            let m3 = missing_m3.min(most_m3);
            if m3 > SMALL_M3 {
                missing_m3 -= m3;
                let (sum, is_new) = (&mut sums[by as usize], &mut new[by as usize]);
                sum.m3 += m3;
                sum.hours += u32::from(std::mem::take(is_new));
            }
        };
        if is_lit(run, h) {
            take(HeldBy::Well, pump_m3 - with_well_m3.max(had_m3));
        }
        let supply = &run.supply;
        let snow =
            run.array.each.iter().any(|array| array.snow_cover.get(h).is_some_and(|cover| *cover > 0.0));
        let rest = match supply.limit[h] {
            _ if !is_lit(run, h) => HeldBy::Night,
            Limit::Frozen => HeldBy::Frost,
            _ if snow => HeldBy::Snow,
            Limit::Night | Limit::SunBelowStart => HeldBy::SunBelowStart,
            Limit::CutOut => HeldBy::Well,
            flows @ (Limit::Sun | Limit::PumpLimit | Limit::TableEnd | Limit::Well) => {
                // What was there for the taking, and was not let in.
                take(HeldBy::Float, (supply.available_m3[h] - had_m3).max(0.0));
                take(HeldBy::WeepHole, supply.weep_m3[h] + supply.riser_refill_m3[h]);
                take(HeldBy::Well, supply.held_back_m3[h]);
                if flows == Limit::TableEnd { HeldBy::Head } else { HeldBy::Power }
            }
        };
        take(rest, f64::INFINITY);
    }
    let mut found: Vec<HeldBack> = sums.into_iter().filter(|sum| sum.hours > 0).collect();
    // Stable: of two alike the one that the water or the sun meets first.
    found.sort_by(|a, b| (a.by == HeldBy::Night).cmp(&(b.by == HeldBy::Night)).then(b.m3.total_cmp(&a.m3)));
    found
}
