//! From what the animals and gardens want to what is asked of the tank.

use std::sync::Arc;

use crate::delivery;
use crate::draw;
use crate::evaporation::air::pressure_kpa;
use crate::fault::Fault;
use crate::record::Record;
use crate::reliability::demand::Demand;
use crate::tank::{Carry, grid};

/// What is asked of the tank, and what was short on the way to the animals.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// Wanted by all stock, m³ in each hour, on the ledger's grid.
    pub wanted_m3: Arc<Vec<f64>>,
    /// Asked of the tank for the stock, m³ in each hour.
    pub stock_m3: Vec<f64>,
    /// Asked of the tank for gardens, m³ in each hour.
    pub garden_m3: Vec<f64>,
    /// The way to the hydrants; `None` where all stock drinks at the tank.
    pub delivery: Option<Arc<delivery::Columns>>,
    /// The draw by day, for the counters.
    pub demand: Arc<Demand>,
}

impl Asked {
    /// What is asked of the tank. `delivery` is the way to the hydrants, `carry` and `tolerance` are the tank's rules;
    /// `garden_m3` is what gardens want, `frozen` are the hours in which the way to each hydrant is frozen (empty: never),
    /// `panel_w` is the power of the booster's panels (empty without a booster).
    ///
    /// # Errors
    /// Everything that keeps the delivery from running, or a delivery whose ledger does not close.
    pub fn of(
        delivery: Option<&delivery::Settings>,
        carry: Carry,
        tolerance: f64,
        record: &Record,
        (draw, garden_m3): (&draw::Columns, &[f64]),
        frozen: &[Vec<bool>],
        panel_w: &[f64],
    ) -> Result<Self, Vec<Fault>> {
        let wanted_m3 = Arc::new(grid::column_m3(&draw.wanted_m3));
        let Some(settings) = delivery else {
            let demand = Arc::new(Demand::at_tank(&wanted_m3));
            return Ok(Self {
                stock_m3: draw.wanted_m3.clone(),
                garden_m3: garden_m3.to_vec(),
                wanted_m3,
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
                place.map_or(nothing.as_slice(), |p| p.wanted_m3.as_slice())
            })
            .collect();
        let frozen: Vec<&[bool]> = frozen.iter().map(Vec::as_slice).collect();
        let inputs = delivery::Inputs {
            calendar: &record.calendar,
            wanted_m3: &at_hydrants,
            frozen: &frozen,
            panel_w,
            air_degc: &record.air_degc,
            air_pa: 1000.0 * pressure_kpa(record.place.elevation_m),
        };
        // One rule for thirst, the tank's.
        let settings = delivery::Settings { carry, ..settings.clone() };
        let columns = delivery::delivery(&settings, &inputs)?;
        columns.close().map_err(|fault| vec![fault])?;
        let stock_m3 = draw.at_tank_m3.iter().zip(&columns.asked_m3).map(|(a, b)| a + b).collect();
        // A garden waits while any animal owes itself a drink, whatever the reason.
        let garden_m3 =
            garden_m3.iter().enumerate().map(|(h, g)| if columns.owes(h) { 0.0 } else { *g }).collect();
        let demand = Arc::new(Demand::behind_hydrants(&wanted_m3, &at_hydrants, &columns, tolerance));
        Ok(Self { wanted_m3, stock_m3, garden_m3, delivery: Some(Arc::new(columns)), demand })
    }
}
