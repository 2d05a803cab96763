//! The march: one forward pass in which all stores are stepped hour by hour together.
//!
//! Columns are exact for as long as nothing acts back. Where something does (troughs cannot fill from an empty tank, a pump
//! that the float stops lets the well come back), the march answers. It needs no iteration over the year: within an hour a float's
//! trip is found, and the pump repeats its step from the saved state for its part of the hour.

mod herds;
mod hour;
mod marched;
mod marched_hour;
mod one_hour;
mod source;
mod stores;
mod tank_book;
mod vessel;

pub(super) use marched::Marched;
pub use marched_hour::{DrinkerHour, MarchedHour, PlaceHour, TankHour};
pub use source::{WellHour, WellLedger};

use std::borrow::Cow;
use std::sync::Arc;

use super::FrozenHours;
use super::covered::{cover, covered_hours};
use super::put::Put;
use super::requests::RequestsBy;
use super::several::Several;
use crate::calendar::{Calendar, HOURS_PER_DAY};
use crate::delivery::{Energy, MOST_PASSES, Ready};
use crate::fault::Faults;
use crate::inflow::{self, Backup, WhenFull};
use crate::link::Tree;
use crate::plan::Plan;
use crate::reliability::outcome::Outcome;
use crate::tank::ledger::Flows;
use crate::{array, delivery, draw, grid, supply};
use herds::{Books, Drinker, Place, drinkers};
use source::{Account, Source};
use stores::{Feed, Kept, Scheme, State, Sums, Tank};
pub use tank_book::{LiftBook, TankBook};
pub use vessel::Inflow;
use vessel::Vessel;

/// All that a march is driven by: what lies before the tank, shared, so that a copy with one thing changed costs nothing.
#[derive(Debug, Clone)]
pub struct Inputs {
    /// Hours and days.
    pub(super) calendar: Arc<Calendar>,
    /// Air temperature, °C.
    pub(super) air_degc: Arc<Vec<f64>>,
    /// Pressure of the air, Pa.
    pub(super) air_pa: f64,
    /// Pump, well and pipe; `None` where a column of the user's own stands in their place.
    pub(super) supply: Option<Arc<supply::Settings>>,
    /// Whether well, riser or motor feel it when the float stops the pump.
    pub(super) feels_the_float: bool,
    /// Panels.
    pub(super) array: Arc<array::Columns>,
    /// The columns that would drive the tank if nothing acted back: water available and losses.
    pub(super) flows: Arc<Flows>,
    /// Frost; `None` where nothing freezes.
    pub(super) frozen: Option<Arc<FrozenHours>>,
    /// Days on which the panels are covered, from a first hour.
    pub(super) covered: Option<(usize, u32)>,
    /// Herds.
    pub(super) draw: Arc<draw::Columns>,
    /// Whether their demand is a column of the user's own.
    pub(super) own_demand: bool,
    /// Gardens.
    pub(super) garden: Arc<draw::garden::Columns>,
    /// Herds and hydrants, as they are set.
    pub(super) by: RequestsBy,
    /// What runs in besides the pump's water, on the grid.
    pub(super) inflows: Arc<Vec<inflow::Column>>,
    /// Power of the booster's panels, W, in each hour; empty without a booster.
    pub(super) panel_w: Arc<Vec<f64>>,
    /// Several tanks and wells; `None` for one tank that one pump fills.
    pub(super) several: Option<Arc<Several>>,
}

/// Where the record begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Begins {
    /// With all full.
    #[default]
    Full,
    /// With an empty tank.
    Empty,
}

/// What a march is asked besides the plan.
#[derive(Debug, Clone, Copy, Default)]
struct Asked<'a> {
    begins: Begins,
    /// Water brought when a tank is low.
    backup: Option<&'a Backup>,
    /// An hour to be told step by step.
    watched: Option<usize>,
    /// Levels put on some days, in their order.
    puts: &'a [Put],
}

impl Inputs {
    /// Takes the stores through the record, one year until it ends as it began, others straight through, and says what they come to.
    ///
    /// # Errors
    /// Everything that keeps pump or delivery from running; a ledger that does not close.
    pub(crate) fn march(&self, plan: &Plan, begins: Begins) -> Result<(Marched, Outcome), Faults> {
        let (marched, _) = self.go(plan, Asked { begins, ..Asked::default() })?;
        let outcome = marched.outcome(plan, self)?;
        Ok((marched, outcome))
    }

    /// A march from full stores in which the tanks are put to levels on some days. What comes in by `puts` stands in no ledger, so none is
    /// closed.
    ///
    /// # Errors
    /// Everything that keeps pump or delivery from running.
    pub(super) fn march_with(&self, plan: &Plan, puts: &[Put]) -> Result<Marched, Faults> {
        Ok(self.go(plan, Asked { puts, ..Asked::default() })?.0)
    }

    /// One hour of a march from full stores, step by step.
    ///
    /// # Errors
    /// As [`Self::march`].
    pub(crate) fn watch(
        &self,
        plan: &Plan,
        backup: Option<&Backup>,
        hour: usize,
    ) -> Result<Option<MarchedHour>, Faults> {
        Ok(self.go(plan, Asked { backup, watched: Some(hour), ..Asked::default() })?.1)
    }

    /// The same from full stores, with water brought by a backup.
    ///
    /// # Errors
    /// As [`Self::march`].
    pub(crate) fn with_backup(&self, plan: &Plan, backup: &Backup) -> Result<(Marched, Outcome), Faults> {
        let (marched, _) = self.go(plan, Asked { backup: Some(backup), ..Asked::default() })?;
        let outcome = marched.outcome(plan, self)?;
        Ok((marched, outcome))
    }

    /// A march, and what a watched hour of it came to.
    fn go(&self, plan: &Plan, asked: Asked<'_>) -> Result<(Marched, Option<MarchedHour>), Faults> {
        let Asked { begins, backup, watched, puts } = asked;
        let pumps = self.pumps()?;
        let sources = pumps.iter().map(|pump| pump.source(&self.calendar)).collect::<Result<_, Faults>>()?;
        let hours = self.calendar.hours();
        let settings = self.by.delivery.as_ref();
        let names = self.hydrants();
        let frozen: Vec<&[bool]> =
            self.frozen.iter().flat_map(|frozen| &frozen.hydrants).map(Vec::as_slice).collect();
        let nothing = vec![0.0; hours];
        let demand_m3 = vec![nothing.as_slice(); names.len()];
        let inputs = delivery::Inputs {
            calendar: &self.calendar,
            demand_m3: &demand_m3,
            frozen: &frozen,
            panel_w: &self.panel_w,
            air_degc: &self.air_degc,
            air_pa: self.air_pa,
        };
        let tank_names: Vec<&str> = plan.tanks().map(|tank| tank.name.as_str()).collect();
        let mut places: Vec<Place> =
            (0..tank_names.len()).map(Place::Tank).chain((0..names.len()).map(Place::Hydrant)).collect();
        let name = |place: &Place| match place {
            Place::Tank(t) => tank_names[*t],
            Place::Hydrant(i) => names[*i].as_str(),
        };
        places.sort_by(|a, b| name(a).cmp(name(b)));
        let trough = |h: &delivery::Hydrant| grid::volume_m3(h.trough_m3);
        let backup_tank =
            backup.and_then(|backup| plan.tank_number(backup.tank.as_deref())).unwrap_or_default();
        let mut scheme = Scheme {
            calendar: &self.calendar,
            tanks: self.tanks(plan, backup.map(|backup| (backup, backup_tank))),
            tree: self.several.as_ref().map_or_else(Tree::of_one, |several| several.tree.clone()),
            carry: plan.tank.carry,
            sources,
            delivery: settings.map(|settings| Ready::new(settings, &inputs)).transpose()?,
            trough_m3: settings.iter().flat_map(|d| &d.hydrants).map(trough).collect(),
            names: places.iter().map(|place| name(place).to_owned()).collect(),
            tank_of: places.iter().map(|place| self.tank_of(*place)).collect(),
            places,
            drinkers: drinkers(&self.by.groups, &self.draw, self.own_demand, &names, &tank_names),
            backup,
            backup_tank,
            puts,
            watched,
            seen: None,
        };
        let mut start = scheme.full();
        if begins == Begins::Empty {
            start.tanks = scheme.tanks.iter().map(|tank| tank.vessel.empty()).collect();
        }
        let mut pass = round(&mut scheme, start, hours, self.calendar.is_one_year());
        let seen = pass.seen.take();
        Ok((Marched::of(self, plan, &scheme, pass), seen))
    }

    /// Demand of herds and extras at each tank, m³ in each hour, and whether a herd drinks there, at hydrants or at the tank itself.
    pub(super) fn demand_of_tanks(&self, plan: &Plan) -> (Vec<Vec<f64>>, Vec<bool>) {
        let hydrants = self.hydrants();
        let names: Vec<&str> = plan.tanks().map(|tank| tank.name.as_str()).collect();
        let hours = self.calendar.hours();
        let mut demand_m3 = vec![vec![0.0; hours]; names.len()];
        let mut serves_stock = vec![false; names.len()];
        for drinker in drinkers(&self.by.groups, &self.draw, self.own_demand, &hydrants, &names) {
            for (h, m3) in drinker.demand_m3.iter().enumerate().filter(|(_, m3)| **m3 > 0.0) {
                let tank = self.tank_of(drinker.place_of_day[h / HOURS_PER_DAY]);
                demand_m3[tank][h] += m3;
                serves_stock[tank] |= drinker.stock;
            }
        }
        (demand_m3, serves_stock)
    }

    /// The tanks with all that drives them.
    fn tanks<'a>(&'a self, plan: &Plan, backup: Option<(&Backup, usize)>) -> Vec<Tank<'a>> {
        let thawed = self.frozen.is_none();
        let one = |number: usize, settings| {
            let several = self.several.as_deref();
            let hours = several.map(|several| &several.tanks[number]);
            let lifts = several.iter().flat_map(|several| several.lifts.iter().enumerate());
            let further = lifts.filter(|(_, lift)| lift.into == number).map(|(i, _)| i + 1);
            let feed = several.and_then(|several| several.links[number].as_ref());
            let own = backup.filter(|(_, filled)| *filled == number).map(|(backup, _)| backup);
            Tank {
                vessel: Vessel::new(settings, own),
                pumps: (0..usize::from(number == 0)).chain(further).collect(),
                valve_m3: self.brought_m3(WhenFull::Refused, &settings.name),
                free_m3: self.brought_m3(WhenFull::Spilled, &settings.name),
                feed: feed.map(|feed| Feed {
                    most_m3: &feed.most_m3,
                    is_pump: feed.is_pump,
                    frozen: if thawed { &[] } else { &feed.frozen },
                }),
                garden_m3: match hours {
                    Some(hours) => Cow::Borrowed(&hours.garden_m3),
                    None => Cow::Owned(grid::column_m3(&self.garden.demand_m3)),
                },
                evaporation_m3: hours.map_or(&self.flows.evaporation_m3, |hours| &hours.evaporation_m3),
                leak_m3: hours.map_or(&self.flows.leak_m3, |hours| &hours.leak_m3),
            }
        };
        plan.tanks().enumerate().map(|(number, settings)| one(number, settings)).collect()
    }

    /// What all inflows of one kind bring to a tank, m³ in each hour, on the grid; empty without any.
    fn brought_m3(&self, when_full: WhenFull, tank: &str) -> Vec<f64> {
        let mut sum: Vec<f64> = Vec::new();
        let of_kind = |inflow: &&inflow::Column| inflow.when_full == when_full && inflow.tank == tank;
        for inflow in self.inflows.iter().filter(of_kind) {
            sum.resize(inflow.m3.len(), 0.0);
            sum.iter_mut().zip(&inflow.m3).for_each(|(sum, m3)| *sum += m3);
        }
        sum
    }

    /// Names of the hydrants, in their order.
    fn hydrants(&self) -> Vec<String> {
        self.by.delivery.iter().flat_map(|d| &d.hydrants).map(|h| h.name.clone()).collect()
    }

    /// The number of the tank that the water of a place comes from.
    fn tank_of(&self, place: Place) -> usize {
        match place {
            Place::Tank(t) => t,
            Place::Hydrant(i) => self.several.as_ref().map_or(0, |several| several.hydrant_tank[i]),
        }
    }

    /// All pumps: first that of the scheme's first well.
    fn pumps(&self) -> Result<Vec<Pump<'_>>, Faults> {
        let system = |settings: Option<&supply::Settings>, feels: bool| {
            settings.filter(|_| feels).map(supply::System::new).transpose()
        };
        let mut pumps = vec![Pump {
            system: system(self.supply.as_deref(), self.feels_the_float)?,
            array: &self.array,
            stops: self.stopped(self.frozen.as_ref().map_or(&[], |frozen| &frozen.supply)),
            available_m3: Cow::Borrowed(&self.flows.available_m3),
        }];
        for lift in self.several.iter().flat_map(|several| &several.lifts) {
            let mut available_m3 = lift.available_m3(self.frozen.is_none());
            if let Some((began, days)) = self.covered {
                cover(&mut available_m3, began, days);
            }
            pumps.push(Pump {
                system: system(Some(&*lift.settings), lift.feels_the_float)?,
                array: &lift.array,
                stops: self.stopped(if self.frozen.is_some() { &lift.frozen } else { &[] }),
                available_m3: Cow::Owned(available_m3),
            });
        }
        Ok(pumps)
    }

    /// Frozen hours, and those with the panels covered.
    fn stopped(&self, frozen: &[bool]) -> Vec<bool> {
        let mut stops = frozen.to_vec();
        if let Some((began, days)) = self.covered {
            let hours = self.calendar.hours();
            stops.resize(hours, false);
            covered_hours(hours, began, days).for_each(|h| stops[h] = true);
        }
        stops
    }
}

/// A pump with what drives it.
struct Pump<'a> {
    /// Pump, well and pipe where they remember; `None` where each hour stands alone.
    system: Option<supply::System>,
    array: &'a array::Columns,
    /// Hours in which it may not run.
    stops: Vec<bool>,
    /// What it could lift where each hour stands alone, m³ in each, on the grid.
    available_m3: Cow<'a, [f64]>,
}

impl Pump<'_> {
    fn source<'a>(&'a self, calendar: &'a Calendar) -> Result<Source<'a>, Faults> {
        let Some(system) = &self.system else { return Ok(Source::Column(&self.available_m3)) };
        let source = supply::Source::from(self.array).stopped(&self.stops);
        Ok(Source::Pump(Box::new(supply::Drive::new(system, source, calendar)?)))
    }
}

/// A pass through the record.
#[derive(Debug)]
struct Pass {
    hours: Vec<Kept>,
    sums: Sums,
    start: State,
    end: State,
    /// Which pass it is.
    passes: u32,
    /// Whether it ends as it began, or need not.
    settled: bool,
    /// The hour that was watched.
    seen: Option<MarchedHour>,
}

impl Pass {
    /// Short in all, m³.
    fn short_m3(&self) -> f64 {
        self.sums.books.herds.iter().flat_map(|herd| &herd.days).map(|day| day.short_m3()).sum()
    }
}

/// Goes through the record until it ends as it began, at most [`MOST_PASSES`] times; then the driest pass counts.
fn round(scheme: &mut Scheme<'_>, mut start: State, hours: usize, repeats: bool) -> Pass {
    let mut driest: Option<Pass> = None;
    let mut passes = 0;
    loop {
        passes += 1;
        let mut state = start.clone();
        let stored_wh =
            |state: &State| state.delivery.as_ref().map_or(0.0, |delivery| delivery.charge.stored_wh);
        let mut sums = Sums {
            books: Books::new(&scheme.drinkers, hours / HOURS_PER_DAY),
            accounts: scheme.sources.iter().map(|_| Account::default()).collect(),
            energy: Energy { start_wh: stored_wh(&state), ..Energy::default() },
        };
        let hour = |h: usize| {
            scheme.put(h, &mut state);
            scheme.hour(h, &mut state, &mut sums)
        };
        let kept: Vec<Kept> = (0..hours).map(hour).collect();
        sums.energy.end_wh = stored_wh(&state);
        let settled = !repeats || state == start;
        let next = state.clone();
        let pass = Pass { hours: kept, sums, start, end: state, passes, settled, seen: scheme.seen.take() };
        if settled {
            return pass;
        }
        // Of passes that are equally dry the first.
        let driest_yet = match driest.take() {
            Some(before) if before.short_m3() >= pass.short_m3() => before,
            _ => pass,
        };
        if passes as usize >= MOST_PASSES {
            return Pass { passes, ..driest_yet };
        }
        driest = Some(driest_yet);
        start = next;
    }
}

/// The demand of all who drink, of one kind, m³ in each hour, on the grid.
fn demand_m3(drinkers: &[Drinker], stock: bool, hours: usize) -> Vec<f64> {
    let mut sum = vec![0.0; hours];
    for drinker in drinkers.iter().filter(|drinker| drinker.stock == stock) {
        sum.iter_mut().zip(&drinker.demand_m3).for_each(|(sum, m3)| *sum += m3);
    }
    sum
}
