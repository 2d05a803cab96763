//! Days on which nothing is lifted: a pump or a controller that failed, panels that lie covered.

use std::sync::Arc;

use super::covered::cover;
use super::passes::by_lowest_row;
use super::{Requests, Run, Upstream, march};
use crate::calendar::HOURS_PER_DAY;
use crate::edition::Edition;
use crate::fault::Faults;
use crate::record::Record;
use crate::tank::ledger::Flows;

/// What is out of work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Out {
    /// The pumps of all wells, or their controllers.
    Pump,
    /// All panels, those of the booster with them.
    Panels,
}

/// Whole days on which something is out of work, going round the end of a year that repeats.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Outage {
    /// What.
    pub out: Out,
    /// The first day, counted from 0.
    pub first_day: usize,
    /// How many days.
    pub days: u32,
}

impl Outage {
    /// The days on which it would hurt most: those after which the least would stand in the tank, if the water that came on them
    /// were missing until the tank is full again.
    ///
    /// # Units
    /// | symbol | name | unit | valid range |
    /// | --- | --- | --- | --- |
    /// | | `days` out of work | days | ≥ 1 |
    /// | D | water that is missing | m³ | ≥ 0 |
    ///
    /// # Equation
    /// From the first of its days on, `D` grows by what was pumped; after the last it falls by what the float refused or went
    /// over the top, since that fills the gap. The date is that with the lowest `level − D` while `D > 0`; of alike ones the first.
    ///
    /// # Validity
    /// Exact for a float that only holds the level; a float's band, thirst and evaporation shift it a little. Of several wells all are
    /// out, and the level is that of all tanks together.
    ///
    /// # References
    /// The definition is this project's; `tests/physics/stress.rs` holds it against every other date.
    #[must_use]
    pub fn worst(run: &Run, out: Out, days: u32) -> Self {
        let n = run.hours.len();
        let ring = run.repeats();
        let length = days as usize * HOURS_PER_DAY;
        let lowest_after = |first: usize| {
            let mut missing_m3 = 0.0;
            let mut lowest_m3 = f64::INFINITY;
            for step in 0..if ring { n } else { n - first } {
                let hour = &run.hours[(first + step) % n];
                if step < length {
                    missing_m3 += hour.pumped_m3[0];
                } else {
                    missing_m3 -= hour.curtailed_m3[0] + hour.spilled_m3[0];
                    if missing_m3 <= 0.0 {
                        break;
                    }
                }
                lowest_m3 = f64::min(lowest_m3, hour.level_m3[0] - missing_m3);
            }
            lowest_m3
        };
        let mut worst = (f64::INFINITY, 0);
        for day in 0..n / HOURS_PER_DAY {
            let lowest_m3 = lowest_after(day * HOURS_PER_DAY);
            if lowest_m3 < worst.0 {
                worst = (lowest_m3, day);
            }
        }
        Self { out, first_day: worst.1, days }
    }

    /// The run with it, by the pass that answers; without backup.
    ///
    /// # Errors
    /// What keeps pump or delivery from running; a ledger that does not close.
    pub fn run(&self, run: &Run, record: &Record) -> Result<Run, Faults> {
        let upstream = self.upstream(&run.upstream, record)?;
        by_lowest_row(&Arc::new(upstream), &run.plan)
    }

    /// All that lies before the tank with it.
    ///
    /// # Errors
    /// What keeps pump or delivery from running.
    pub(crate) fn upstream(&self, of: &Arc<Upstream>, record: &Record) -> Result<Upstream, Faults> {
        let of = of.columns();
        let began = self.first_day * HOURS_PER_DAY;
        let mut available_m3 = of.flows.available_m3.clone();
        cover(&mut available_m3, began, self.days);
        let mut changed = of.without_questions();
        let mut march =
            march::Inputs { covered: Some((began, self.days)), ..march::Inputs::clone(&of.march) };
        let mut flows = Flows { available_m3, ..Flows::clone(&of.flows) };
        if self.out == Out::Panels && !march.panel_w.is_empty() {
            let mut dark_w = Vec::clone(&march.panel_w);
            cover(&mut dark_w, began, self.days);
            let from = (&*of.draw, of.garden.demand_m3.as_slice());
            let asked = Requests::of(&march.by, record, from, &of.frozen.hydrants, &dark_w)?;
            flows = Flows::new(
                &flows.available_m3,
                &asked.stock_m3,
                &of.losses.evaporation_m3,
                &of.losses.leak_m3,
            )
            .with_garden(&asked.garden_m3);
            march.panel_w = Arc::new(dark_w);
            changed.demand_m3 = asked.demand_m3.clone();
            changed.delivery = asked.delivery.clone();
            changed.demand = asked.demand.clone();
            changed.requests = Edition::new(asked).shared().clone();
        }
        march.flows = Arc::new(flows);
        changed.flows = march.flows.clone();
        changed.march = Arc::new(march);
        Ok(changed)
    }
}
