//! One hour of a march with all that stands between the state before it and the state after, for the page that works it by hand.

use super::herds::{AT_TANK, Owed, Place};
use super::marched_hour::{DrinkerHour, MarchedHour, PlaceHour, TankHour};
use super::stores::{Kept, Scheme, State};
use super::vessel::Inflow;
use crate::calendar::HOURS_PER_DAY;

/// What an hour found beside what is kept of every hour.
pub(super) struct Between<'a> {
    pub(super) before: &'a State,
    pub(super) after: &'a State,
    /// By tank.
    pub(super) offered: &'a [Inflow],
    pub(super) at_hand_m3: &'a [f64],
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
        let trough = |state: &State, place: &Place| match place {
            Place::Hydrant(i) => state.delivery.as_ref().map_or(0.0, |troughs| troughs.level_m3[*i]),
            Place::Tank(_) => 0.0,
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
                    hydrant: match place {
                        Place::Hydrant(i) => Some(*i),
                        Place::Tank(_) => None,
                    },
                    tank: self.tank_of[number],
                    before_m3,
                    could_m3: found.could_m3[number],
                    share_m3: found.share_m3[number],
                    taken_m3: found.given_m3[number],
                    left_m3: trough(found.after, place),
                    causes_m3: match place {
                        Place::Hydrant(i) => found.causes[*i],
                        Place::Tank(_) => AT_TANK,
                    },
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
            tanks: self.tree.order.iter().map(|t| self.one_tank(h, *t, found, kept)).collect(),
            places,
            drinkers,
            pump: kept.pump.as_ref().map(|pump| pump.free),
            books: found.books,
            booster_wh: fill.map_or(0.0, |fill| fill.pump_wh),
            battery_wh: fill.map_or(0.0, |fill| fill.stored_wh),
        }
    }
    fn one_tank(&self, h: usize, t: usize, found: &Between<'_>, kept: &Kept) -> TankHour {
        let tank = &self.tanks[t];
        // One tank is kept as the scheme's own.
        let (hour, let_in) =
            kept.tanks.get(t).map_or((kept.tank, kept.let_in), |tank| (tank.hour, tank.let_in));
        let fed = self.tree.feeds[t].iter();
        TankHour {
            number: t,
            stored_m3: found.before.tanks[t].level_m3[0],
            float_permits: found.before.tanks[t].permits[0],
            offered: found.offered[t],
            at_hand_m3: found.at_hand_m3[t],
            passed_on_m3: fed.map(|fed| (*fed, found.offered[*fed].link_m3)).collect(),
            garden_m3: if kept.garden_m3 > 0.0 { tank.garden_m3[h] } else { 0.0 },
            losses_m3: [tank.evaporation_m3[h], tank.leak_m3[h]],
            hour,
            let_in,
            left_m3: found.after.tanks[t].level_m3[0],
        }
    }
}
