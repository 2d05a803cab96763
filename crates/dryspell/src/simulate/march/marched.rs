//! What a march comes to, in the shape of the columns in whose place it stands.

use std::sync::Arc;

use super::herds::{Drinker, Place};
use super::source::{Source, WellHour, WellLedger};
use super::stores::{Kept, Scheme};
use super::tank_book::{LiftBook, TankBook, links_cancel, tank_books};
use super::{Inputs, Pass, demand_m3};
use crate::calendar::HOURS_PER_DAY;
use crate::delivery::{self, FillHour};
use crate::fault::Faults;
use crate::grid;
use crate::plan::Plan;
use crate::reliability::books::HerdBook;
use crate::reliability::demand::Demand;
use crate::reliability::outcome::{Course, Outcome};
use crate::supply;
use crate::tank::balance::Ledgers;
use crate::tank::ledger::{Flows, Hour};

/// What a march comes to.
#[derive(Debug, Clone)]
pub(crate) struct Marched {
    /// The columns that drove the tank.
    pub flows: Arc<Flows>,
    /// The tank's hours.
    pub hours: Vec<Hour<1>>,
    /// What they come to.
    pub(crate) course: Course,
    /// The supply's columns, each hour from the state that it had; `None` where each hour stands alone.
    pub supply: Option<supply::Columns>,
    /// The delivery's columns; `None` where all stock drinks at the tank.
    pub delivery: Option<Arc<delivery::Columns>>,
    /// Demand of the stock, m³ in each hour, on the grid.
    pub demand_m3: Arc<Vec<f64>>,
    /// Demand of extras, m³ in each hour, on the grid.
    pub extra_m3: Arc<Vec<f64>>,
    /// The draw by day, with what was short.
    pub demand: Arc<Demand>,
    /// Each herd's book.
    pub herds: Arc<Vec<HerdBook>>,
    /// Each tank's book, where there are several.
    pub tanks: Arc<Vec<TankBook>>,
    /// Each well's book, where there are several.
    pub lifts: Arc<Vec<LiftBook>>,
    /// What the first well's water came to; `None` where each hour of the supply stands alone.
    pub well: Option<WellLedger>,
    /// Its hours; empty where there is none.
    pub well_hours: Vec<WellHour>,
    /// Passes of a one-year record until it repeated.
    pub passes: u32,
    /// Let in from inflows, and brought by a backup, m³ in each hour.
    pub inflow_m3: Vec<f64>,
    pub backup_m3: Vec<f64>,
}

impl Marched {
    pub(super) fn of(inputs: &Inputs, plan: &Plan, scheme: &Scheme<'_>, pass: Pass) -> Self {
        let hours = pass.hours.len();
        let repeats = inputs.calendar.is_one_year() && pass.settled;
        let mut books = pass.sums.books.clone();
        stand_dry(&mut books.herds, &books.owes, scheme, &pass.hours, repeats);
        let herds: Vec<HerdBook> = books
            .herds
            .into_iter()
            .zip(&scheme.drinkers)
            .filter(|(_, drinker)| drinker.stock)
            .map(|(book, _)| book)
            .collect();
        let flows = Flows {
            available_m3: pass.hours.iter().map(|kept| kept.available_m3).collect(),
            requested_m3: pass.hours.iter().map(|kept| kept.requested_m3).collect(),
            garden_m3: pass.hours.iter().map(|kept| kept.garden_m3).collect(),
            evaporation_m3: sum_of(scheme.tanks.iter().map(|tank| tank.evaporation_m3)),
            leak_m3: sum_of(scheme.tanks.iter().map(|tank| tank.leak_m3)),
        };
        let delivery = inputs.by.delivery.as_ref().map(|settings| {
            let fills: Vec<FillHour> = pass.hours.iter().filter_map(|kept| kept.fill.clone()).collect();
            let demand = at_hydrants(&scheme.drinkers, &pass.hours, settings.hydrants.len());
            let demand: Vec<&[f64]> = demand.iter().map(Vec::as_slice).collect();
            let mut columns =
                delivery::Columns::of_hours(settings, &demand, &fills, |h, i| pass.hours[h].short_m3[i]);
            columns.volumes.start_m3 = troughs_m3(&pass.start);
            columns.volumes.end_m3 = troughs_m3(&pass.end);
            columns.energy = pass.sums.energy;
            columns.settled = pass.settled;
            Arc::new(columns)
        });
        let ledgers = ledgers(plan, &pass, &flows, &herds, pass.sums.books.extras_m3);
        let course = Course {
            passes: inputs.calendar.is_one_year().then_some(pass.passes),
            settled: pass.settled,
            start: pass.start.all_tanks(),
            ledgers,
        };
        Self {
            inflow_m3: pass.hours.iter().map(|kept| kept.let_in.valve_m3 + kept.let_in.free_m3).collect(),
            backup_m3: pass.hours.iter().map(|kept| kept.let_in.backup_m3).collect(),
            hours: pass.hours.iter().map(|kept| kept.tank).collect(),
            course,
            supply: supply_of(inputs, &pass.hours),
            delivery,
            demand_m3: Arc::new(demand_m3(&scheme.drinkers, true, hours)),
            extra_m3: Arc::new(demand_m3(&scheme.drinkers, false, hours)),
            demand: Arc::new(Demand::of_books(&herds, plan.tank.tolerance, repeats)),
            tanks: Arc::new(tank_books(plan.tanks(), &pass)),
            lifts: Arc::new(lift_books(inputs, plan, scheme, &pass)),
            herds: Arc::new(herds),
            well_hours: pass.sums.accounts[0].hours.clone(),
            well: well_of(scheme, &pass, 0),
            passes: pass.passes,
            flows: Arc::new(flows),
        }
    }

    /// Whether the year repeated.
    pub(crate) const fn settled(&self) -> bool {
        self.course.settled
    }

    /// What the hours come to.
    ///
    /// # Errors
    /// A [`crate::fault::FaultKind::Ledger`] fault when the tank's, the well's, a herd's or the delivery's ledger does not
    /// close.
    pub(super) fn outcome(&self, plan: &Plan, inputs: &Inputs) -> Result<Outcome, Faults> {
        for well in self.well.iter().chain(self.lifts.iter().filter_map(|lift| lift.well.as_ref())) {
            well.close().map_err(Faults::from)?;
        }
        for tank in self.tanks.iter() {
            tank.close().map_err(Faults::from)?;
        }
        links_cancel(&self.tanks).map_err(Faults::from)?;
        if let Some(delivery) = &self.delivery {
            delivery.close().map_err(Faults::from)?;
        }
        for herd in self.herds.iter() {
            herd.close().map_err(Faults::from)?;
        }
        Outcome::of(&plan.all_tanks(), &self.hours, self.course, &self.demand, &inputs.calendar)
    }
}

/// The well's ledger of a pump that remembers.
fn well_of(scheme: &Scheme<'_>, pass: &Pass, number: usize) -> Option<WellLedger> {
    matches!(scheme.sources[number], Source::Pump(_)).then_some(pass.sums.accounts[number].ledger)
}

/// The books of all wells, none where there is one.
fn lift_books(inputs: &Inputs, plan: &Plan, scheme: &Scheme<'_>, pass: &Pass) -> Vec<LiftBook> {
    let Some(several) = inputs.several.as_ref().filter(|several| !several.lifts.is_empty()) else {
        return Vec::new();
    };
    let further = several.lifts.iter().map(|lift| (lift.name.as_str(), several.names[lift.into].as_str()));
    let all = std::iter::once(("", plan.tank.name.as_str())).chain(further);
    all.enumerate()
        .map(|(number, (name, into))| {
            let hourly = |of: fn(&Kept) -> &[f64]| -> Vec<f64> {
                pass.hours.iter().map(|kept| of(kept)[number]).collect()
            };
            let hourly_m3 = hourly(|kept| &kept.pumped_m3);
            let offered_m3 = hourly(|kept| &kept.offered_m3);
            LiftBook {
                name: name.to_owned(),
                into: into.to_owned(),
                available_m3: offered_m3.iter().sum(),
                pumped_m3: hourly_m3.iter().sum(),
                well: well_of(scheme, pass, number),
                float_shut: offered_m3.iter().zip(&hourly_m3).map(|(offered, m3)| offered > m3).collect(),
                hourly_m3,
            }
        })
        .collect()
}

/// The sum of columns of equal length.
fn sum_of<'a>(mut columns: impl Iterator<Item = &'a [f64]>) -> Vec<f64> {
    let mut sum = columns.next().map_or_else(Vec::new, <[f64]>::to_vec);
    for column in columns {
        sum.iter_mut().zip(column).for_each(|(sum, m3)| *sum += m3);
    }
    sum
}

/// The supply's columns.
fn supply_of(inputs: &Inputs, hours: &[Kept]) -> Option<supply::Columns> {
    let free: Vec<&supply::Hour> = hours.iter().filter_map(|kept| Some(&kept.pump.as_ref()?.free)).collect();
    if free.is_empty() {
        return None;
    }
    let mut columns = supply::Columns::of_hours(free.into_iter());
    columns.tell_night_by(&inputs.array.plane_w_per_m2);
    Some(columns)
}

/// Water in all troughs, m³.
fn troughs_m3(state: &super::State) -> f64 {
    state.delivery.iter().flat_map(|delivery| &delivery.level_m3).sum()
}

/// Demand at each hydrant: of the herds there, and of extras what they drank, since nothing is owed to them. m³ in each hour.
fn at_hydrants(drinkers: &[Drinker], hours: &[Kept], hydrants: usize) -> Vec<Vec<f64>> {
    let mut demand = vec![vec![0.0; hours.len()]; hydrants];
    for drinker in drinkers.iter().filter(|drinker| drinker.stock) {
        for (h, m3) in drinker.demand_m3.iter().enumerate() {
            if let Place::Hydrant(hydrant) = drinker.place_of_day[h / HOURS_PER_DAY] {
                demand[hydrant][h] += m3;
            }
        }
    }
    for (h, kept) in hours.iter().enumerate() {
        kept.extras_m3.iter().enumerate().for_each(|(hydrant, m3)| demand[hydrant][h] += m3);
    }
    demand
}

/// Writes down in which hours each herd stands dry: it owes more than a step of the grid; its trough is empty and nothing
/// reaches it in the next hour; at the tank itself, which is its trough, the tank is empty.
fn stand_dry(herds: &mut [HerdBook], owes: &[Vec<u32>], scheme: &Scheme<'_>, hours: &[Kept], repeats: bool) {
    let n = hours.len();
    let trough_m3 = &scheme.trough_m3;
    let empty_at = |place: Place, h: usize| match place {
        // One tank is kept as the scheme's own.
        Place::Tank(t) => hours[h].tanks.get(t).map_or(hours[h].tank, |tank| tank.hour).level_m3[0] <= 0.0,
        Place::Hydrant(i) => {
            let next = if h + 1 < n { Some(h + 1) } else { repeats.then_some(0) };
            let flows = |h: usize| hours[h].fill.as_ref().is_some_and(|fill| fill.requested_m3[i] > 0.0);
            let level = hours[h].fill.as_ref().map_or(0.0, |fill| fill.level_m3[i]);
            trough_m3[i] > 0.0 && level <= 0.0 && !next.is_some_and(flows)
        }
    };
    // A column of days for each place.
    let empty: Vec<Vec<u32>> = scheme
        .places
        .iter()
        .map(|place| {
            let bits = |day: usize| {
                (0..HOURS_PER_DAY).fold(0_u32, |bits, hour| {
                    let h = day * HOURS_PER_DAY + hour;
                    bits << 1 | u32::from(empty_at(*place, h))
                })
            };
            (0..n / HOURS_PER_DAY).map(bits).collect()
        })
        .collect();
    for ((herd, owes), drinker) in herds.iter_mut().zip(owes).zip(&scheme.drinkers) {
        for (day, page) in herd.days.iter_mut().enumerate() {
            let place = scheme.places.iter().position(|place| *place == drinker.place_of_day[day]);
            page.dry = owes[day] | place.map_or(0, |place| empty[place][day]);
        }
    }
}

/// The ledgers' terms.
fn ledgers(
    plan: &Plan,
    pass: &Pass,
    flows: &Flows,
    herds: &[HerdBook],
    [extra_m3, extra_drunk_m3, extra_short_m3]: [f64; 3],
) -> Ledgers {
    let sum = |of: &dyn Fn(&Hour<1>) -> f64| pass.hours.iter().map(|kept| of(&kept.tank)).sum::<f64>();
    let days = || herds.iter().flat_map(|herd| &herd.days);
    Ledgers {
        available_m3: flows.available_m3.iter().sum(),
        curtailed_m3: sum(&|hour| hour.curtailed_m3[0]),
        pumped_m3: sum(&|hour| hour.pumped_m3[0]),
        inflow_m3: pass.hours.iter().map(|kept| kept.let_in.valve_m3 + kept.let_in.free_m3).sum(),
        backup_m3: pass.hours.iter().map(|kept| kept.let_in.backup_m3).sum(),
        start_m3: pass.start.all_tanks().level_m3[0],
        end_m3: pass.end.all_tanks().level_m3[0],
        drawn_m3: sum(&|hour| hour.drawn_m3[0]),
        garden_m3: sum(&|hour| hour.garden_m3[0]),
        spilled_m3: sum(&|hour| hour.spilled_m3[0]),
        evaporated_m3: sum(&|hour| hour.evaporated_m3[0]),
        leaked_m3: sum(&|hour| hour.leaked_m3[0]),
        requested_m3: days().map(|day| day.demand_m3).sum::<f64>() + extra_m3,
        drunk_m3: days().map(|day| day.drunk_m3).sum::<f64>() + extra_drunk_m3,
        short_m3: sum(&|hour| hour.short_m3[0]),
        delivery_shortage_m3: days().map(|day| day.short_m3() - day.short_tank_m3).sum(),
        extra_drunk_m3,
        extra_short_m3,
        troughs_start_m3: troughs_m3(&pass.start),
        troughs_end_m3: troughs_m3(&pass.end),
        garden_requested_m3: flows.garden_m3.iter().sum(),
        garden_short_m3: sum(&|hour| hour.garden_short_m3[0]),
        capacity_m3: grid::volume_m3(plan.all_tanks().capacity_m3),
    }
}
