//! One hour of all stores together.

use super::herds::{AT_TANK, Owed, share, turn};
use super::one_hour::Between;
use super::stores::{Kept, Scheme, State, Sums};
use super::vessel::{Draw, Inflow};
use crate::calendar::HOURS_PER_DAY;
use crate::delivery::{Energy, FillHour, FillState, FillStep, Reach};
use crate::draw::Carry;
use crate::grid;
use crate::inflow::BackupState;

/// What the places ask for in an hour, and what is on its way to them.
struct Asked {
    /// By place, in the order of [`Scheme::places`], m³ on the grid.
    could_m3: Vec<f64>,
    /// Into each trough, m³ on the grid.
    fill: Option<FillHour>,
    /// Troughs and battery before the hour, demand not yet taken.
    before: Option<FillState>,
    energy_before: Energy,
    /// Level in each trough once all there have drunk what they want, before anything flows in, m³.
    unfilled_m3: Vec<f64>,
}

/// What came of the drinking.
struct Drunk {
    /// Owed at the tank itself, m³.
    owed_at_tank_m3: f64,
    /// Drunk at each hydrant by extras, m³.
    extras_m3: Vec<f64>,
}

impl Scheme<'_> {
    /// The state with all full and nothing owed.
    pub(super) fn full(&mut self) -> State {
        let trough_m3 = self.trough_m3.clone();
        State {
            tank: self.tank.full(),
            pump: self.source.at_rest(),
            delivery: self
                .delivery
                .as_mut()
                .map(|delivery| FillState { level_m3: trough_m3, ..delivery.full() }),
            owed: vec![[0.0; 4]; self.drinkers.len()],
            backup: BackupState::default(),
        }
    }

    /// Hour `h`: the pump steps; the places ask; the tank gives what it has; the herds drink; where the float stopped the pump
    /// within the hour, the pump repeats its step for its part of it.
    pub(super) fn hour(&mut self, h: usize, state: &mut State, sums: &mut Sums) -> Kept {
        let day = h / HOURS_PER_DAY;
        let before = (self.watched == Some(h)).then(|| state.clone());
        let wants: Vec<f64> = self
            .drinkers
            .iter()
            .zip(&state.owed)
            .map(|(drinker, owed)| owed.iter().sum::<f64>() + drinker.demand_m3[h])
            .collect();
        let losses_m3 = self.garden_m3[h] + self.evaporation_m3[h] + self.leak_m3[h];
        let troughs_m3 = self.trough_m3.iter().sum::<f64>();
        let room_m3 = self.tank.room_m3(&state.tank) + wants.iter().sum::<f64>() + losses_m3 + troughs_m3;
        let (available_m3, pump) = self.source.available(h, room_m3, state.pump, &sums.account);
        let comes = Inflow {
            pump_m3: available_m3,
            valve_m3: self.valve_m3.get(h).copied().unwrap_or(0.0),
            free_m3: self.free_m3.get(h).copied().unwrap_or(0.0),
            backup_m3: self.backup.map_or(0.0, |backup| grid::floor_m3(backup.offer_m3(&state.backup))),
        };
        let permits = state.tank.permits[0];
        let pump_m3 = if permits { available_m3 } else { 0.0 };
        let at_hand_m3 = state.tank.level_m3[0] + pump_m3 + comes.valve_m3 + comes.free_m3 + comes.backup_m3;
        let mut asked = self.ask(h, &wants, state, sums);
        let requested_m3: f64 = asked.could_m3.iter().sum();
        let mut given_m3 = asked.could_m3.clone();
        let mut without_tank = None;
        if requested_m3 > at_hand_m3 {
            without_tank = asked.fill.clone();
            given_m3 = self.ration(h, at_hand_m3, &mut asked, state, sums);
        }
        let causes = self.causes(h, &wants, &asked, without_tank.as_ref());
        let books = self.carry == Carry::None || h % HOURS_PER_DAY == HOURS_PER_DAY - 1;
        let drunk = self.drink(h, &wants, &given_m3, &causes, state, sums, &mut asked);
        let owed = before.as_ref().map(|_| state.owed.clone());
        // A garden waits while any animal owes itself a drink, whatever the reason.
        let waits = state.owed.iter().flatten().sum::<f64>() > grid::STEP_M3;
        let garden_m3 = if waits { 0.0 } else { self.garden_m3[h] };
        let draw = Draw {
            given_m3: given_m3.iter().sum(),
            garden_m3,
            evaporation_m3: self.evaporation_m3[h],
            leak_m3: self.leak_m3[h],
        };
        let (mut tank, let_in) = self.tank.hour(comes, draw, &mut state.tank);
        if let Some(backup) = self.backup {
            let date = self.calendar.day_of(h).month_day();
            let midnight = h % HOURS_PER_DAY == HOURS_PER_DAY - 1;
            let (level_m3, taken_m3) = (state.tank.level_m3[0], let_in.backup_m3);
            backup.end_of_hour(&mut state.backup, level_m3, taken_m3, date, midnight);
        }
        if drunk.owed_at_tank_m3 > 0.0 {
            // The level below zero stands for what is owed at the tank itself, as where the tank has the only book.
            tank.level_m3[0] = -drunk.owed_at_tank_m3;
        }
        if let Some(pump) = &pump {
            let taken_m3 = tank.pumped_m3[0];
            state.pump =
                Some(self.source.settle(h, pump, permits, (available_m3, taken_m3), &mut sums.account));
        }
        let mut short_m3 = vec![[0.0; 4]; self.trough_m3.len()];
        if books {
            tank.short_m3[0] = self.book(day, state, sums, &mut short_m3);
        }
        if let (Some(fill), Some(delivery)) = (&mut asked.fill, &state.delivery) {
            fill.stored_wh = delivery.charge.stored_wh;
        }
        let extras_m3 = drunk.extras_m3;
        let fill = asked.fill;
        let kept =
            Kept { available_m3, requested_m3, garden_m3, tank, let_in, pump, fill, short_m3, extras_m3 };
        if let (Some(before), Some(owed)) = (before, owed) {
            let found = Between {
                before: &before,
                after: state,
                offered: comes,
                at_hand_m3,
                wants: &wants,
                could_m3: &asked.could_m3,
                share_m3: &share(at_hand_m3, &asked.could_m3),
                given_m3: &given_m3,
                causes: &causes,
                owed: &owed,
                books,
            };
            self.seen = Some(self.step_by_step(h, &found, &kept));
        }
        kept
    }

    /// Wants of all who drink at a place, m³.
    fn wants_at(&self, place: Option<usize>, day: usize, wants: &[f64]) -> f64 {
        let here = self.drinkers.iter().zip(wants).filter(|(d, _)| d.place_of_day[day] == place);
        here.map(|(_, want)| want).sum()
    }

    /// What each place could take in the hour if the tank held all of it.
    fn ask(&mut self, h: usize, wants: &[f64], state: &mut State, sums: &mut Sums) -> Asked {
        let day = h / HOURS_PER_DAY;
        let before = state.delivery.clone();
        let energy_before = sums.energy;
        let levels = before.iter().flat_map(|troughs| &troughs.level_m3).enumerate();
        let unfilled_m3: Vec<f64> =
            levels.map(|(i, level)| level - self.wants_at(Some(i), day, wants)).collect();
        let fill = state.delivery.as_mut().map(|troughs| {
            troughs.level_m3.clone_from(&unfilled_m3);
            self.fill(Reach::Battery, h, None, troughs, &mut sums.energy)
        });
        let could = |place: &Option<usize>| match (place, &fill) {
            (Some(i), Some(fill)) => fill.requested_m3[*i],
            _ => self.wants_at(None, day, wants),
        };
        let could_m3 = self.places.iter().map(could).collect();
        Asked { could_m3, fill, before, energy_before, unfilled_m3 }
    }

    /// One step of the delivery, with what flows into the troughs and the battery's store on their grids. `shut_m3`: levels at which
    /// the valves shut where that is below full.
    fn fill(
        &mut self,
        reach: Reach,
        h: usize,
        shut_m3: Option<&[f64]>,
        troughs: &mut FillState,
        energy: &mut Energy,
    ) -> FillHour {
        let levels = troughs.level_m3.clone();
        let Some(delivery) = &mut self.delivery else { return FillHour::default() };
        let full_m3 = shut_m3.unwrap_or(&self.trough_m3);
        let mut hour = delivery.fill(reach, &FillStep { h, time_h: 1.0, full_m3 }, troughs, energy);
        for (i, level) in troughs.level_m3.iter_mut().enumerate() {
            hour.requested_m3[i] = grid::floor_m3(hour.requested_m3[i]);
            *level = levels[i] + hour.requested_m3[i];
        }
        troughs.charge.stored_wh = on_grid_wh(troughs.charge.stored_wh);
        hour
    }

    /// The tank has less than all could take: each place has its share, stock and wildlife alike.
    fn ration(
        &mut self,
        h: usize,
        at_hand_m3: f64,
        asked: &mut Asked,
        state: &mut State,
        sums: &mut Sums,
    ) -> Vec<f64> {
        let mut given_m3 = share(at_hand_m3, &asked.could_m3);
        let Some(before) = &asked.before else { return given_m3 };
        // The troughs fill again, each up to its share: the booster runs as much less.
        sums.energy = asked.energy_before;
        let mut troughs = FillState { level_m3: asked.unfilled_m3.clone(), ..before.clone() };
        let mut shut_m3 = self.trough_m3.clone();
        for (place, given) in self.places.iter().zip(&given_m3) {
            if let Some(i) = *place {
                shut_m3[i] = shut_m3[i].min(troughs.level_m3[i] + given);
            }
        }
        let fill = self.fill(Reach::Battery, h, Some(&shut_m3), &mut troughs, &mut sums.energy);
        let mut left_m3 = at_hand_m3;
        let mut at_tank = None;
        for (number, place) in self.places.iter().enumerate() {
            match place {
                Some(i) => given_m3[number] = fill.requested_m3[*i],
                None => at_tank = Some(number),
            }
            left_m3 -= given_m3[number];
        }
        // What a hydrant did not fetch after all stays for those at the tank.
        if let Some(number) = at_tank {
            let more = left_m3.max(0.0).min(asked.could_m3[number] - given_m3[number]);
            given_m3[number] += more;
        }
        state.delivery = Some(troughs);
        asked.fill = Some(fill);
        given_m3
    }

    /// By how much what is owed at each hydrant grows in the hour, by cause: with frost alone in the way, what pump and pipes add,
    /// what the battery adds, what the tank adds. A herd that is owed a whole day is not served in an hour: pump and pipes are charged
    /// only with what they let grow. Where it does not grow in all but among those there, the parts of all that is lacking.
    fn causes(
        &mut self,
        h: usize,
        wants: &[f64],
        asked: &Asked,
        without_tank: Option<&FillHour>,
    ) -> Vec<Owed> {
        let day = h / HOURS_PER_DAY;
        let n = self.trough_m3.len();
        let mut causes = vec![[0.0; 4]; n];
        let (Some(before), Some(fill)) = (&asked.before, &asked.fill) else { return causes };
        let unfilled_m3 = &asked.unfilled_m3;
        let lack = |fill: &FillHour, i: usize| (-(unfilled_m3[i] + fill.requested_m3[i])).max(0.0);
        if (0..n).all(|i| lack(fill, i) <= 0.0) {
            return causes;
        }
        let mut troughs = FillState { level_m3: unfilled_m3.clone(), ..before.clone() };
        let pipes = self.fill(Reach::Pipes, h, None, &mut troughs, &mut Energy::default());
        for (i, by) in causes.iter_mut().enumerate() {
            let frozen = self.delivery.as_ref().is_some_and(|delivery| delivery.is_frozen(i, h));
            let frost = if frozen { (-unfilled_m3[i]).max(0.0) } else { 0.0 };
            let all = lack(fill, i);
            let lacks = [frost, lack(&pipes, i), lack(without_tank.unwrap_or(fill), i), all];
            let owed_m3: f64 = self
                .drinkers
                .iter()
                .zip(wants)
                .filter(|(drinker, _)| drinker.place_of_day[day] == Some(i))
                .map(|(drinker, want)| want - drinker.demand_m3[h])
                .sum();
            let before = if all > owed_m3 { owed_m3 } else { 0.0 };
            let mut so_far = 0.0;
            for (by, lack) in by.iter_mut().zip(lacks) {
                let grown = (lack - before).clamp(so_far, all - before);
                *by = grown - so_far;
                so_far = grown;
            }
        }
        causes
    }

    /// The herds drink; what they lack is owed.
    #[expect(clippy::too_many_arguments, reason = "one hour's parts, each used once")]
    fn drink(
        &self,
        h: usize,
        wants: &[f64],
        given_m3: &[f64],
        causes: &[Owed],
        state: &mut State,
        sums: &mut Sums,
        asked: &mut Asked,
    ) -> Drunk {
        let day = h / HOURS_PER_DAY;
        let mut out = Drunk { owed_at_tank_m3: 0.0, extras_m3: vec![0.0; self.trough_m3.len()] };
        for (number, place) in self.places.iter().enumerate() {
            let water_m3 = match (place, &asked.before) {
                (Some(i), Some(before)) => before.level_m3[*i] + given_m3[number],
                _ => given_m3[number],
            };
            let mut left_m3 = water_m3;
            let mut owed_here_m3 = 0.0;
            for (i, drunk_m3) in self.drunk_at(*place, day, wants, water_m3) {
                let drinker = &self.drinkers[i];
                let owed_m3 = wants[i] - drunk_m3;
                left_m3 -= drunk_m3;
                if drinker.stock {
                    let cause = place.map_or(AT_TANK, |hydrant| causes[hydrant]);
                    turn(&mut state.owed[i], owed_m3, &cause);
                    owed_here_m3 += owed_m3;
                } else if let Some(hydrant) = place {
                    out.extras_m3[*hydrant] += drunk_m3;
                }
                let figures = [drinker.demand_m3[h], drunk_m3, owed_m3];
                sums.books.hour(i, day, drinker.stock, figures);
            }
            match place {
                Some(i) => {
                    if let Some(troughs) = &mut state.delivery {
                        troughs.level_m3[*i] = left_m3;
                    }
                    if let Some(fill) = &mut asked.fill {
                        fill.level_m3[*i] = if owed_here_m3 > 0.0 { -owed_here_m3 } else { left_m3 };
                    }
                }
                None => out.owed_at_tank_m3 = owed_here_m3,
            }
        }
        out
    }

    /// What each of those at a place drinks of the water there, m³, with its number.
    pub(super) fn drunk_at(
        &self,
        place: Option<usize>,
        day: usize,
        wants: &[f64],
        water_m3: f64,
    ) -> impl Iterator<Item = (usize, f64)> + use<> {
        let here: Vec<usize> =
            (0..self.drinkers.len()).filter(|i| self.drinkers[*i].place_of_day[day] == place).collect();
        let wants_here: Vec<f64> = here.iter().map(|i| wants[*i]).collect();
        here.into_iter().zip(share(water_m3, &wants_here))
    }

    /// What is owed is booked as short and forgotten. Returns what of it is short for want of water in the tank, m³.
    fn book(&self, day: usize, state: &mut State, sums: &mut Sums, short_m3: &mut [Owed]) -> f64 {
        let mut tank_m3 = 0.0;
        for (i, owed) in state.owed.iter_mut().enumerate() {
            if let Some(hydrant) = self.drinkers[i].place_of_day[day] {
                short_m3[hydrant].iter_mut().zip(&*owed).for_each(|(sum, owed)| *sum += owed);
            }
            sums.books.short(i, day, owed);
            tank_m3 += owed[3];
            *owed = [0.0; 4];
        }
        tank_m3
    }
}

/// Energy in store on a grid of 2⁻³⁰ W·h, rounded down.
fn on_grid_wh(stored_wh: f64) -> f64 {
    libm::floor(stored_wh * grid::FINE_STEPS) / grid::FINE_STEPS
}
