//! A scheme split into the settings of each stage.
//!
//! A stage is a function of its settings and of the columns upstream. Two plans are compared stage by stage to learn
//! what a change touches; nothing else decides what must be computed again. Its serialised form holds all that two plans
//! are compared by, so that equal texts are equal plans, however the scheme was written.

mod check;
mod columns;
mod tanks;

pub use columns::OwnColumns;

use crate::ageing::Ageing;
use crate::edition::Edition;
use crate::price::Prices;
use crate::reliability::goal;
use crate::{array, delivery, draw, frost, inflow, link, sun, supply, tank};

/// The settings of every stage, in the water's order.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Plan {
    /// Sun.
    pub sun: sun::Settings,
    /// Panels.
    pub array: array::Settings,
    /// Pump, well and pipe.
    pub supply: supply::Settings,
    /// Herd.
    pub draw: draw::Settings,
    /// Frost; `None` where the scheme says nothing about it.
    pub frost: Option<frost::Settings>,
    /// From the tank to the hydrants; `None` where all stock drinks at the tank.
    pub delivery: Option<delivery::Settings>,
    /// The tank that the pump fills; the rules of counting stand in it.
    pub tank: tank::Settings,
    /// Tanks beside it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub other_tanks: Vec<tank::Settings>,
    /// What feeds one tank from another.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub links: Vec<link::Settings>,
    /// Further wells with pumps and panels of their own.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub lifts: Vec<supply::Lift>,
    /// What runs into the tank besides the pump's water.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub inflows: Vec<inflow::Settings>,
    /// Water that is brought when the tank is low; `None` without.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub backup: Option<inflow::Backup>,
    /// What is asked of the scheme; `None` where nothing is. No figure rests on it but the judgement itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub goal: Option<goal::Settings>,
    /// How it ages; `None` for the usual rates. No figure of a run rests on it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ageing: Option<Ageing>,
    /// What parts cost; `None` where nothing is known of it. No figure of a run rests on it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub prices: Option<Prices>,
    /// Whole hourly columns of the user's own in the place of a stage; a scheme's text has none.
    #[serde(skip_serializing_if = "OwnColumns::is_empty")]
    pub columns: OwnColumns,
}

impl Plan {
    /// Whether another plan is the same but for the tank that the pump fills.
    #[must_use]
    pub fn differs_in_the_tank_alone(&self, other: &Self) -> bool {
        let Self {
            sun,
            array,
            supply,
            draw,
            frost,
            delivery,
            tank: _,
            other_tanks,
            links,
            lifts,
            inflows,
            backup,
            goal,
            ageing,
            prices,
            columns,
        } = self;
        (sun, array, supply, draw, frost)
            == (&other.sun, &other.array, &other.supply, &other.draw, &other.frost)
            && (delivery, other_tanks, links) == (&other.delivery, &other.other_tanks, &other.links)
            && (lifts, inflows, backup, goal) == (&other.lifts, &other.inflows, &other.backup, &other.goal)
            && (ageing, prices, columns) == (&other.ageing, &other.prices, &other.columns)
    }

    /// A usual scheme: the Perez sky, no frost, no hydrants, no inflow besides the pump. What differs is changed in the fields.
    #[must_use]
    pub fn new(
        array: array::Settings,
        supply: supply::Settings,
        draw: draw::Settings,
        tank: tank::Settings,
    ) -> Self {
        Self {
            sun: sun::Settings::default(),
            array,
            supply,
            draw,
            frost: None,
            delivery: None,
            tank,
            other_tanks: Vec::new(),
            links: Vec::new(),
            lifts: Vec::new(),
            inflows: Vec::new(),
            backup: None,
            goal: None,
            ageing: None,
            prices: None,
            columns: OwnColumns::default(),
        }
    }

    /// A tank at the end of two whole columns: water available and demand of the stock, m³ in each hour; see
    /// [`OwnColumns`].
    #[must_use]
    pub fn of_columns(available_m3: Vec<f64>, demand_m3: Vec<f64>, tank: tank::Settings) -> Self {
        let columns = OwnColumns {
            available_m3: Some(Edition::new(available_m3)),
            demand_m3: Some(Edition::new(demand_m3)),
        };
        let none = (array::Settings::default(), supply::Settings::default(), draw::Settings::default());
        Self { columns, ..Self::new(none.0, none.1, none.2, tank) }
    }
}
