//! One hour of a march with all that stands between the state before it and the state after, for the page that works it by hand.

use super::herds::{AT_TANK, Owed};
use super::hour::{Kept, Scheme, State};
use super::vessel::Inflow;
use crate::calendar::HOURS_PER_DAY;
use crate::supply;
use crate::tank::ledger::Hour;

/// What an hour of a march came to, step by step.
#[derive(Debug, Clone, PartialEq)]
pub struct MarchedHour {
    /// In the tank at the hour's start, m³.
    pub stored_m3: f64,
    /// Whether the float lets the pump run.
    pub float_permits: bool,
    /// Offered by the pump as if no float stopped it, by inflows with a valve, by inflows that run on, by a backup, m³.
    pub offered: Inflow,
    /// In the tank and coming to it, m³: what can be given in the hour.
    pub at_hand_m3: f64,
    /// Where water is taken, in the order of the names.
    pub places: Vec<PlaceHour>,
    /// Who drinks, in the order of the names.
    pub drinkers: Vec<DrinkerHour>,
    /// Asked of the tank for gardens, m³.
    pub garden_m3: f64,
    /// Lost to the air and through leaks, at most, m³.
    pub losses_m3: [f64; 2],
    /// What the tank did.
    pub tank: Hour<1>,
    /// What it let in.
    pub let_in: Inflow,
    /// In the tank at the hour's end, m³.
    pub left_m3: f64,
    /// The pump's whole hour without a float; `None` where each hour of the supply stands alone.
    pub pump: Option<supply::Hour>,
    /// Whether what is owed at the hour's end is booked as short and forgotten.
    pub books: bool,
    /// Taken by the booster, Wh, and in its battery at the hour's end, Wh.
    pub booster_wh: f64,
    /// In the booster's battery at the hour's end, Wh.
    pub battery_wh: f64,
}

/// A place at which they drink, in one hour.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaceHour {
    /// Name of the tank or of the hydrant.
    pub name: String,
    /// Number of the hydrant; `None` at the tank.
    pub hydrant: Option<usize>,
    /// In the trough at the hour's start, m³; nothing at the tank.
    pub before_m3: f64,
    /// What it could take of a tank that has enough, m³.
    pub could_m3: f64,
    /// Its share of what the tank has, m³.
    pub share_m3: f64,
    /// What it took, m³.
    pub taken_m3: f64,
    /// In the trough at the hour's end, m³; nothing at the tank.
    pub left_m3: f64,
    /// What of all wants there is lacking in this hour by cause, m³; at the tank only its being empty counts, as 1.
    pub causes_m3: [f64; 4],
}

/// A herd, or an extra such as wildlife, in one hour.
#[derive(Debug, Clone, PartialEq)]
pub struct DrinkerHour {
    /// Name in the scheme.
    pub name: String,
    /// Whether it is of the herd: only then is anything owed to it.
    pub stock: bool,
    /// Where it drinks, as an index into the places; `None` where it is nowhere.
    pub place: Option<usize>,
    /// Owed from earlier hours of the day, m³.
    pub owed_before_m3: f64,
    /// Demand of the hour, m³.
    pub demand_m3: f64,
    /// Drunk, m³.
    pub drunk_m3: f64,
    /// Not drunk, m³: owed, or of extras not had.
    pub lacks_m3: f64,
    /// What was owed by cause before it, m³: frozen, pump or pipe too small, battery empty, tank empty.
    pub owed_before_by_cause_m3: [f64; 4],
    /// What is owed by cause at its end, m³.
    pub owed_by_cause_m3: [f64; 4],
}

/// What an hour found beside what is kept of every hour.
pub(super) struct Between<'a> {
    pub(super) before: &'a State,
    pub(super) after: &'a State,
    pub(super) offered: Inflow,
    pub(super) at_hand_m3: f64,
    pub(super) wants: &'a [f64],
    pub(super) could_m3: &'a [f64],
    pub(super) share_m3: &'a [f64],
    pub(super) given_m3: &'a [f64],
    /// What is lacking at each hydrant, by cause.
    pub(super) causes: &'a [Owed],
    /// Owed before anything is booked.
    pub(super) owed: &'a [Owed],
    pub(super) books: bool,
}

impl Scheme<'_> {
    /// The hour step by step.
    pub(super) fn step_by_step(&self, h: usize, found: &Between<'_>, kept: &Kept) -> MarchedHour {
        let day = h / HOURS_PER_DAY;
        let trough = |state: &State, place: &Option<usize>| {
            place.and_then(|i| Some(state.delivery.as_ref()?.level_m3[i])).unwrap_or(0.0)
        };
        let mut drunk = vec![0.0; self.drinkers.len()];
        let places = self
            .places
            .iter()
            .enumerate()
            .map(|(number, place)| {
                let before_m3 = trough(found.before, place);
                let water_m3 = before_m3 + found.given_m3[number];
                for (i, m3) in self.drunk_at(*place, day, found.wants, water_m3) {
                    drunk[i] = m3;
                }
                PlaceHour {
                    name: self.names[number].clone(),
                    hydrant: *place,
                    before_m3,
                    could_m3: found.could_m3[number],
                    share_m3: found.share_m3[number],
                    taken_m3: found.given_m3[number],
                    left_m3: trough(found.after, place),
                    causes_m3: place.map_or(AT_TANK, |i| found.causes[i]),
                }
            })
            .collect();
        let drinkers = self
            .drinkers
            .iter()
            .enumerate()
            .map(|(i, drinker)| DrinkerHour {
                name: drinker.name.clone(),
                stock: drinker.stock,
                place: self.places.iter().position(|place| *place == drinker.place_of_day[day]),
                owed_before_m3: found.before.owed[i].iter().sum(),
                demand_m3: drinker.demand_m3[h],
                drunk_m3: drunk[i],
                lacks_m3: found.wants[i] - drunk[i],
                owed_before_by_cause_m3: found.before.owed[i],
                owed_by_cause_m3: found.owed[i],
            })
            .collect();
        let fill = kept.fill.as_ref();
        MarchedHour {
            stored_m3: found.before.tank.level_m3[0],
            float_permits: found.before.tank.permits[0],
            offered: found.offered,
            at_hand_m3: found.at_hand_m3,
            places,
            drinkers,
            garden_m3: kept.garden_m3,
            losses_m3: [self.evaporation_m3[h], self.leak_m3[h]],
            tank: kept.tank,
            let_in: kept.let_in,
            left_m3: found.after.tank.level_m3[0],
            pump: kept.pump.as_ref().map(|pump| pump.free),
            books: found.books,
            booster_wh: fill.map_or(0.0, |fill| fill.pump_wh),
            battery_wh: fill.map_or(0.0, |fill| fill.stored_wh),
        }
    }
}
