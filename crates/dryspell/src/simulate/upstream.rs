//! All of a run that lies before the tank.

use std::sync::Arc;

use super::march::{self, Marched};
use super::several::Several;
use super::{Endurance, FrozenHours, Losses, Requests};
use crate::calendar::{Calendar, HOURS_PER_DAY};
use crate::pipe::Advice;
use crate::record::{Place, Record, Source, YearKind};
use crate::reliability::demand::Demand;
use crate::reliability::storage::StorageNeeded;
use crate::tank::ledger::{Flows, Hour};
use crate::{array, delivery, draw, inflow, sun, supply};

/// All of a run that lies before the tank: the same for every size of tank and every float.
#[derive(Debug, Clone)]
pub struct Upstream {
    /// Where.
    pub place: Place,
    /// Kind of years.
    pub kind: YearKind,
    /// Where the weather came from.
    pub source: Source,
    /// Hours and days.
    pub calendar: Arc<Calendar>,
    /// Air temperature, °C.
    pub air_degc: Arc<Vec<f64>>,
    /// Sun and radiation.
    pub sky: Arc<sun::Sky>,
    /// Panels.
    pub array: Arc<array::Columns>,
    /// Pump, well and pipe.
    pub supply: Arc<supply::Columns>,
    /// What runs into the tank besides the pump's water, on the grid.
    pub inflows: Arc<Vec<inflow::Column>>,
    /// What of it the tank let in, m³ in each hour; empty without inflows.
    pub inflow_m3: Arc<Vec<f64>>,
    /// The head taken apart at the highest flow.
    pub head: supply::HeadBuildUp,
    /// The hour of that flow.
    pub head_hour: usize,
    /// What pipes deserve a word about.
    pub advice: Vec<Advice>,
    /// Herd.
    pub draw: Arc<draw::Columns>,
    /// Gardens.
    pub garden: Arc<draw::garden::Columns>,
    /// Frost.
    pub frozen: Arc<FrozenHours>,
    /// What is requested of the tank.
    pub requests: Arc<Requests>,
    /// From the tank to the hydrants; `None` where all stock drinks at the tank.
    pub delivery: Option<Arc<delivery::Columns>>,
    /// Demand of the stock, m³ in each hour, on the grid.
    pub demand_m3: Arc<Vec<f64>>,
    /// Demand of extras, such as wildlife, m³ in each hour, on the grid.
    pub extra_m3: Arc<Vec<f64>>,
    /// Demand of the stock over the record, m³.
    pub demand_sum_m3: f64,
    /// Demand of gardens over the record, m³.
    pub garden_sum_m3: f64,
    /// The stock's draw by day, and what is short before the tank has a say.
    pub demand: Arc<Demand>,
    /// Mean daily draw of the stock in the calendar month in which it is largest, m³ a day, and that month (1 to 12).
    pub peak_month: (f64, u8),
    /// What tank and troughs lose.
    pub losses: Arc<Losses>,
    /// How long water lasts with this draw and these losses.
    pub lasting: Arc<Endurance>,
    /// The columns that drive the tank.
    pub flows: Arc<Flows>,
    /// The same with one thing changed, for the questions that every run answers.
    pub variants: Arc<Variants>,
    /// What drives a march.
    pub march: Arc<march::Inputs>,
    /// The columns in whose place a march stands; `None` where these are they.
    pub before_march: Option<Arc<Upstream>>,
    /// Several tanks and wells; `None` for one tank that one pump fills.
    pub several: Option<Arc<Several>>,
    /// Storage needed by the sequent peak, with the critical spell.
    pub storage: StorageNeeded,
    /// Whether a month is colder than 2 °C and nothing says when snow lies on the panels.
    pub snow_not_modelled: bool,
}

impl Upstream {
    /// The columns, as they are if nothing acts back: other tanks are worked out from them, whatever a march made of this one.
    #[must_use]
    pub fn columns(self: &Arc<Self>) -> &Arc<Self> {
        self.before_march.as_ref().unwrap_or(self)
    }

    /// The same without the questions that a whole run answers, each of which may cost a march: for counts of many tanks alone.
    #[must_use]
    pub fn without_questions(&self) -> Self {
        let storage = self.variants.storage;
        let variants = Variants::none(storage);
        Self { variants: Arc::new(variants), ..self.clone() }
    }

    /// Puts what a march found in the place of the columns, and hands on the tank's hours.
    pub(super) fn take(&mut self, marched: Marched) -> Vec<Hour<1>> {
        let Marched { flows, hours, supply, delivery, demand_m3, extra_m3, demand, inflow_m3, .. } = marched;
        if let Some(supply) = supply {
            self.supply = Arc::new(supply);
        }
        if let (Some(delivery), Some(columns)) = (delivery, &self.delivery) {
            let mut delivery = Arc::unwrap_or_clone(delivery);
            delivery.battery_days = columns.battery_days;
            for (hydrant, column) in delivery.hydrants.iter_mut().zip(&columns.hydrants) {
                hydrant.alone_m3_per_h = column.alone_m3_per_h;
                hydrant.together_m3_per_h = column.together_m3_per_h;
            }
            self.delivery = Some(Arc::new(delivery));
        }
        self.demand_sum_m3 = demand_m3.iter().sum();
        if !self.inflows.is_empty() {
            self.inflow_m3 = Arc::new(inflow_m3);
        }
        (self.flows, self.demand_m3, self.extra_m3, self.demand) = (flows, demand_m3, extra_m3, demand);
        hours
    }
}

/// What drives a tank with one thing changed.
#[derive(Debug, Clone)]
pub struct Variant {
    /// The columns that drive the tank.
    pub flows: Arc<Flows>,
    /// The draw by day.
    pub demand: Arc<Demand>,
    /// What drives a march, with the same change.
    pub march: march::Inputs,
}

/// The columns of the questions that every run answers.
#[derive(Debug, Clone)]
pub struct Variants {
    /// Storage needed by the sequent peak, with the critical spell.
    pub storage: StorageNeeded,
    /// Both ends of what a duty table leaves open; an end that is the run itself is `None`.
    pub start_ends: Option<[Option<Variant>; 2]>,
    /// Panels covered for so many days.
    pub covered: Vec<(u32, Variant)>,
    /// Without frost; `None` where frost stops nothing.
    pub without_frost: Option<Variant>,
    /// With the least and the most snow on the panels that rain and temperature allow; `None` where snow is said or cannot be told.
    pub snow_ends: Option<[Variant; 2]>,
}

impl Variants {
    /// No question asked.
    pub(super) const fn none(storage: StorageNeeded) -> Self {
        Self { storage, start_ends: None, covered: Vec::new(), without_frost: None, snow_ends: None }
    }
}

/// Mean temperature of the coldest calendar month, °C.
pub(super) fn coldest_month_degc(record: &Record) -> f64 {
    let mut sums = [(0.0, 0_u32); 12];
    for (h, degc) in record.air_degc.iter().enumerate() {
        let month = &mut sums[usize::from(record.calendar.day_of(h).month) - 1];
        month.0 += degc;
        month.1 += 1;
    }
    sums.iter().filter(|m| m.1 > 0).map(|m| m.0 / f64::from(m.1)).fold(f64::INFINITY, f64::min)
}

/// The calendar month with the largest mean daily draw, m³ a day, and its number. The mean is that of the days with draw:
/// a herd that comes on the 28th needs as much on a day as in a whole month.
pub(super) fn peak_month(calendar: &Calendar, demand_m3: &[f64]) -> (f64, u8) {
    let mut months = [(0.0, 0_u32); 12];
    for (date, hours) in calendar.days().iter().zip(demand_m3.chunks(HOURS_PER_DAY)) {
        let month = &mut months[usize::from(date.month) - 1];
        let demand_m3 = hours.iter().sum::<f64>();
        month.0 += demand_m3;
        month.1 += u32::from(demand_m3 > 0.0);
    }
    let mut peak = (0.0, 1);
    for (number, (sum_m3, days)) in (1_u8..).zip(months) {
        let daily = if days == 0 { 0.0 } else { sum_m3 / f64::from(days) };
        // Months that differ by the grid's rounding alone are a tie: the first counts.
        if daily > peak.0 * (1.0 + 1e-5) {
            peak = (daily, number);
        }
    }
    peak
}

/// The hour of the highest value of a column; of those that differ from it by rounding alone the first.
pub(super) fn first_highest(column: &[f64]) -> usize {
    let most = column.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    column.iter().position(|value| *value >= most - 1e-9 * most.abs()).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::first_highest;

    #[test]
    fn hours_that_differ_by_rounding_alone_are_a_tie() {
        assert_eq!(first_highest(&[0.5, 1.0, 1.0 + 1e-15, 0.7]), 1);
        assert_eq!(first_highest(&[0.5, 1.0, 1.0 + 1e-6]), 2);
        assert_eq!(first_highest(&[]), 0);
    }
}
