//! A record gone through until troughs and battery come round.

use super::battery::Energy;
use super::ledger::{Drive, Hour, Points, Reach, Works};

/// Most times that a one-year record is repeated until troughs and battery come round to where they began.
pub(crate) const MOST_PASSES: usize = 20;

/// A pass through the record.
#[derive(Debug, Clone, Default)]
pub(super) struct Pass {
    pub(super) hours: Vec<Hour>,
    pub(super) energy: Energy,
    pub(super) start_m3: f64,
    pub(super) end_m3: f64,
    /// Whether it ends as it began, or need not.
    pub(super) settled: bool,
}

impl Pass {
    fn short_m3(&self) -> f64 {
        self.hours.iter().flat_map(|hour| &hour.short_m3).sum()
    }
}

pub(super) fn pass(
    works: &Works<'_>,
    reach: Reach,
    drive: &Drive<'_>,
    hours: usize,
    wraps: bool,
    points: &mut Points,
) -> Pass {
    let mut state = works.full();
    let mut driest: Option<(f64, Pass)> = None;
    for _ in 0..MOST_PASSES {
        let start = state.clone();
        let mut energy = Energy { start_wh: start.charge.stored_wh, ..Energy::default() };
        let column: Vec<Hour> =
            (0..hours).map(|h| works.hour(reach, drive, h, &mut state, points, &mut energy)).collect();
        energy.end_wh = state.charge.stored_wh;
        let sum = |levels: &[f64]| levels.iter().sum();
        let found = Pass {
            hours: column,
            energy,
            start_m3: sum(&start.level_m3),
            end_m3: sum(&state.level_m3),
            settled: !wraps || state == start,
        };
        if found.settled {
            return found;
        }
        let short_m3 = found.short_m3();
        if driest.as_ref().is_none_or(|(most_m3, _)| short_m3 > *most_m3) {
            driest = Some((short_m3, found));
        }
    }
    driest.map_or_else(Pass::default, |(_, pass)| pass)
}
