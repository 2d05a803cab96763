//! From the demand of animals and gardens to what is requested of the tank.

use std::borrow::Cow;
use std::sync::Arc;

use crate::delivery;
use crate::draw;
use crate::draw::Carry;
use crate::evaporation::air::pressure_kpa;
use crate::fault::Faults;
use crate::grid;
use crate::plan::Plan;
use crate::record::Record;
use crate::reliability::demand::Demand;
use crate::reliability::groups::Herd;
use crate::tank::ledger::Flows;

/// What is requested of the tank, and what was short on the way to the animals.
#[derive(Debug, Clone, PartialEq)]
pub struct Requests {
    /// Demand of all stock, m³ in each hour, on the ledger's grid.
    pub demand_m3: Arc<Vec<f64>>,
    /// Demand of extras, such as wildlife, which load the tank and are not of the herd, m³ in each hour, on the grid.
    pub extra_m3: Arc<Vec<f64>>,
    /// Requested of the tank for the stock, m³ in each hour.
    pub stock_m3: Vec<f64>,
    /// Requested of the tank for gardens, m³ in each hour.
    pub garden_m3: Vec<f64>,
    /// The way to the hydrants; `None` where all stock drinks at the tank.
    pub delivery: Option<Arc<delivery::Columns>>,
    /// The draw by day, for the counters.
    pub demand: Arc<Demand>,
}

/// The settings on which the requests of the tank rest.
#[derive(Debug, Clone, PartialEq)]
pub struct RequestsBy {
    /// The way to the hydrants.
    pub delivery: Option<delivery::Settings>,
    /// The herds, each followed by itself.
    pub groups: Vec<draw::Group>,
    /// The tank's rule of thirst.
    pub carry: Carry,
    /// Share of a day's stock draw that may be short.
    pub tolerance: f64,
}

impl RequestsBy {
    /// Those of a plan.
    #[must_use]
    pub fn of(plan: &Plan) -> Self {
        Self {
            delivery: plan.delivery.clone(),
            groups: plan.draw.groups.clone(),
            carry: plan.tank.carry,
            tolerance: plan.tank.tolerance,
        }
    }
}

impl Requests {
    /// The flows at the tank with the demand of all stock and extras in the place of what a delivery requests: how long water
    /// lasts and how much storage is needed must not depend on a booster that fails.
    #[must_use]
    pub fn with_demand<'a>(&self, flows: &'a Flows) -> Cow<'a, Flows> {
        match self.delivery {
            None => Cow::Borrowed(flows),
            Some(_) => {
                let all = self.demand_m3.iter().zip(&*self.extra_m3).map(|(stock, extra)| stock + extra);
                Cow::Owned(Flows { requested_m3: all.collect(), ..flows.clone() })
            }
        }
    }

    /// What is requested of the tank. `garden_m3` is the demand of gardens, `frozen` are the hours in which the way to each hydrant
    /// is frozen (empty: never),
    /// `panel_w` is the power of the booster's panels (empty without a booster).
    ///
    /// # Errors
    /// Everything that keeps the delivery from running, or a delivery whose ledger does not close.
    pub fn of(
        by: &RequestsBy,
        record: &Record,
        (draw, garden_m3): (&draw::Columns, &[f64]),
        frozen: &[Vec<bool>],
        panel_w: &[f64],
    ) -> Result<Self, Faults> {
        let extras = by.groups.iter().any(|group| group.kind == draw::GroupKind::Extra);
        let stock_m3 = if extras {
            let stock = draw.demand_m3.iter().zip(&draw.extra_m3).map(|(all, extra)| (all - extra).max(0.0));
            Cow::Owned(stock.collect::<Vec<f64>>())
        } else {
            Cow::Borrowed(&draw.demand_m3)
        };
        let demand_m3 = Arc::new(grid::column_m3(&stock_m3));
        let extra_m3 = Arc::new(grid::column_m3(&draw.extra_m3));
        let Some(settings) = &by.delivery else {
            let demand = Arc::new(of_herds(Demand::at_tank(&demand_m3), by, draw));
            return Ok(Self {
                stock_m3: draw.demand_m3.clone(),
                garden_m3: garden_m3.to_vec(),
                demand_m3,
                extra_m3,
                delivery: None,
                demand,
            });
        };
        let nothing = vec![0.0; record.hours()];
        let at_hydrants: Vec<&[f64]> = settings
            .hydrants
            .iter()
            .map(|h| {
                let place = draw.places.iter().find(|p| p.name == h.name);
                place.map_or(nothing.as_slice(), |p| p.demand_m3.as_slice())
            })
            .collect();
        let frozen: Vec<&[bool]> = frozen.iter().map(Vec::as_slice).collect();
        let inputs = delivery::Inputs {
            calendar: &record.calendar,
            demand_m3: &at_hydrants,
            frozen: &frozen,
            panel_w,
            air_degc: &record.air_degc,
            air_pa: 1000.0 * pressure_kpa(record.place.elevation_m),
        };
        // One rule for thirst, the tank's.
        let settings = delivery::Settings { carry: by.carry, ..settings.clone() };
        let columns = delivery::delivery(&settings, &inputs)?;
        columns.close().map_err(Faults::from)?;
        let stock_m3 = draw.at_tank_m3.iter().zip(&columns.requested_m3).map(|(a, b)| a + b).collect();
        // A garden waits while any animal owes itself a drink, whatever the reason.
        let garden_m3 =
            garden_m3.iter().enumerate().map(|(h, g)| if columns.owes(h) { 0.0 } else { *g }).collect();
        let demand = Demand::behind_hydrants(
            &demand_m3,
            &at_hydrants,
            &columns,
            by.tolerance,
            record.calendar.is_one_year() && columns.settled,
        );
        let demand = Arc::new(of_herds(demand, by, draw));
        Ok(Self { demand_m3, extra_m3, stock_m3, garden_m3, delivery: Some(Arc::new(columns)), demand })
    }
}

/// The demand with each herd followed by itself, wherever it drinks. A scheme without a herd keeps what it had.
fn of_herds(demand: Demand, by: &RequestsBy, draw: &draw::Columns) -> Demand {
    let hydrants = || by.delivery.iter().flat_map(|d| &d.hydrants);
    // The hydrant of each place.
    let hydrant_of: Vec<Option<usize>> =
        draw.places.iter().map(|place| hydrants().position(|h| h.name == place.name)).collect();
    let herds: Vec<Herd> = by
        .groups
        .iter()
        .zip(&draw.by_group_m3_per_day)
        .zip(&draw.stays)
        .filter(|((group, _), _)| group.kind == draw::GroupKind::Stock)
        .map(|((group, (_, need_m3)), stays)| {
            let pattern = group.pattern.iter().fold(0, |bits, share| bits << 1 | u32::from(*share > 0.0));
            Herd {
                wants: need_m3.iter().map(|m3| if *m3 > 0.0 { pattern } else { 0 }).collect(),
                hydrant: stays
                    .place_of_day
                    .iter()
                    .map(|place| place.and_then(|place| hydrant_of.get(place).copied().flatten()))
                    .collect(),
            }
        })
        .collect();
    if herds.is_empty() { demand } else { demand.of_herds(&herds) }
}
