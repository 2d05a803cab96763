//! What drives several tanks and wells, beside what drives the first pump and its tank.

use std::sync::Arc;

use super::{FrozenHours, Losses};
use crate::draw::garden::{Garden, garden};
use crate::fault::Faults;
use crate::frost::Way;
use crate::link::{self, Tree};
use crate::plan::Plan;
use crate::record::Record;
use crate::{array, delivery, grid, link::Settings as Link, sun, supply};

/// The settings on which it rests: all but the sizes of the tanks.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SeveralBy {
    tanks: Vec<OneTank>,
    links: Vec<Link>,
    lifts: Vec<supply::Lift>,
    gardens: Vec<Garden>,
    hydrants: Vec<delivery::Hydrant>,
    sun: sun::Settings,
}

/// What of a tank bears on what drives it.
#[derive(Debug, Clone, PartialEq)]
struct OneTank {
    name: String,
    leak_m3_per_h: f64,
    open_surface_m2: f64,
}

impl SeveralBy {
    /// Those of a plan; `None` for one tank that one pump fills.
    pub(super) fn of(plan: &Plan) -> Option<Self> {
        if plan.is_one_tank() {
            return None;
        }
        let tank = |tank: &crate::tank::Settings| OneTank {
            name: tank.name.clone(),
            leak_m3_per_h: tank.leak_m3_per_h,
            open_surface_m2: tank.open_surface_m2,
        };
        Some(Self {
            tanks: plan.tanks().map(tank).collect(),
            links: plan.links.clone(),
            lifts: plan.lifts.clone(),
            gardens: plan.draw.gardens.clone(),
            hydrants: plan.delivery.iter().flat_map(|d| &d.hydrants).cloned().collect(),
            sun: plan.sun.clone(),
        })
    }
}

/// What drives several tanks and wells.
#[derive(Debug, Clone)]
pub struct Several {
    /// The tanks in order.
    pub tree: Tree,
    /// Their names.
    pub names: Vec<String>,
    /// What each loses, and what its gardens want.
    pub(super) tanks: Vec<TankHours>,
    /// What feeds each from another tank; `None` where nothing does.
    pub links: Vec<Option<LinkHours>>,
    /// The tank of each hydrant.
    pub(super) hydrant_tank: Vec<usize>,
    /// Further wells.
    pub lifts: Vec<Lifted>,
}

/// Columns of one tank, m³ in each hour, on the grid.
#[derive(Debug, Clone)]
pub(super) struct TankHours {
    pub(super) evaporation_m3: Vec<f64>,
    pub(super) leak_m3: Vec<f64>,
    pub(super) garden_m3: Vec<f64>,
}

/// A link over the record.
#[derive(Debug, Clone)]
pub struct LinkHours {
    /// Most that it passes, m³ in each hour, on the grid.
    pub most_m3: Vec<f64>,
    /// Whether it stands still without sun.
    pub needs_sun: bool,
    /// Whether it is a pump, which heeds the float with its band.
    pub is_pump: bool,
    /// Whether frost stops it, in each hour; empty where it never does.
    pub frozen: Vec<bool>,
}

/// A further well over the record.
#[derive(Debug, Clone)]
pub struct Lifted {
    /// Its name.
    pub name: String,
    /// The number of the tank that it fills.
    pub into: usize,
    /// Its settings.
    pub settings: Arc<supply::Settings>,
    /// Its panels.
    pub array: Arc<array::Columns>,
    /// What it could lift.
    pub supply: Arc<supply::Columns>,
    /// What it could lift if nothing froze; `None` where frost does not stop it.
    pub(super) thawed: Option<Arc<supply::Columns>>,
    /// Whether frost stops it, in each hour; empty where it never does.
    pub(super) frozen: Vec<bool>,
    /// Whether well, riser or motor feel it when the float stops the pump.
    pub(super) feels_the_float: bool,
}

impl Lifted {
    /// What it could lift, with frost or without, m³ in each hour, on the grid.
    pub(super) fn available_m3(&self, thawed: bool) -> Vec<f64> {
        let columns = self.thawed.as_ref().filter(|_| thawed).unwrap_or(&self.supply);
        grid::column_m3(&columns.available_m3)
    }
}

impl Several {
    pub(super) fn of(
        by: &SeveralBy,
        record: &Record,
        sky: &crate::edition::Edition<sun::Sky>,
        frozen: &FrozenHours,
    ) -> Result<Self, Faults> {
        let names: Vec<&str> = by.tanks.iter().map(|tank| tank.name.as_str()).collect();
        let tree = Tree::new(&names, &by.links).map_err(Faults::from)?;
        let number = |name: Option<&str>| {
            name.and_then(|name| names.iter().position(|other| *other == name)).unwrap_or_default()
        };
        let hydrant_tank: Vec<usize> = by.hydrants.iter().map(|h| number(h.tank.as_deref())).collect();
        let mut tanks = Vec::with_capacity(names.len());
        for (i, tank) in by.tanks.iter().enumerate() {
            let hydrants = by.hydrants.iter().zip(&hydrant_tank).filter(|(_, at)| **at == i).map(|(h, _)| h);
            let losses = Losses::of(tank.leak_m3_per_h, tank.open_surface_m2, hydrants, record);
            let gardens: Vec<Garden> =
                by.gardens.iter().filter(|g| number(g.tank.as_deref()) == i).cloned().collect();
            tanks.push(TankHours {
                evaporation_m3: grid::column_m3(&losses.evaporation_m3),
                leak_m3: grid::column_m3(&losses.leak_m3),
                garden_m3: grid::column_m3(&garden(&gardens, record)?.demand_m3),
            });
        }
        let links = names.iter().map(|name| {
            let Some(link) = by.links.iter().find(|link| link.into == **name) else { return Ok(None) };
            let link::Settings { way, .. } = link;
            Ok(Some(LinkHours {
                most_m3: link.column_m3(&record.calendar)?.into_iter().map(grid::floor_m3).collect(),
                needs_sun: way.needs_sun(),
                is_pump: way.is_pump(),
                frozen: frozen.of_way(&Way::Tank((*name).to_owned())),
            }))
        });
        let links = links.collect::<Result<_, Faults>>()?;
        let lifts = by.lifts.iter().map(|lift| {
            lifted(lift, number(Some(&lift.into)), (record, sky, &by.sun), frozen)
                .map_err(|faults| under(faults, &lift.name))
        });
        let lifts = lifts.collect::<Result<_, Faults>>()?;
        Ok(Self {
            tree,
            names: names.iter().map(|name| (*name).to_owned()).collect(),
            tanks,
            links,
            hydrant_tank,
            lifts,
        })
    }
}

/// Puts the faults of a further well under its own keys.
fn under(faults: Faults, name: &str) -> Faults {
    let under = |mut fault: crate::fault::Fault| {
        if let Some(key) = &mut fault.location.key {
            *key = format!("lift.{name}.{key}");
        }
        fault
    };
    Vec::from(faults).into_iter().map(under).collect::<Vec<_>>().into()
}

fn lifted(
    lift: &supply::Lift,
    into: usize,
    (record, sky, sun): (&Record, &crate::edition::Edition<sun::Sky>, &sun::Settings),
    frozen: &FrozenHours,
) -> Result<Lifted, Faults> {
    let array = array::array(&lift.array, sky, sun, record).map_err(Faults::from)?;
    let frozen = frozen.of_way(&Way::Lift(lift.name.clone()));
    let found = |stops: &[bool]| -> Result<supply::Columns, Faults> {
        let source = supply::Source::from(&array).stopped(stops);
        let mut columns = supply::supply(&lift.supply, source, &record.calendar)?;
        columns.ledger.close().map_err(Faults::from)?;
        columns.tell_night_by(&array.plane_w_per_m2);
        Ok(columns)
    };
    let thawed = if frozen.contains(&true) { Some(Arc::new(found(&[])?)) } else { None };
    Ok(Lifted {
        name: lift.name.clone(),
        into,
        supply: Arc::new(found(&frozen)?),
        feels_the_float: supply::System::new(&lift.supply)?.feels_the_float(),
        settings: Arc::new(lift.supply.clone()),
        array: Arc::new(array),
        thawed,
        frozen,
    })
}
