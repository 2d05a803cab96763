//! One hour of all stores together.

use smallvec::smallvec;

use super::herds::{AT_TANK, Few, Mostly1, Owed, Place, share, turn};
use super::one_hour::Between;
use super::source::PumpHour;
use super::stores::{Kept, Scheme, State, Sums, TankKept};
use super::vessel::{Draw, Inflow};
use crate::calendar::HOURS_PER_DAY;
use crate::delivery::{Energy, FillHour, FillState, FillStep, Reach};
use crate::draw::Carry;
use crate::grid;
use crate::inflow::BackupState;
use crate::tank::ledger::Hour;

/// What the places ask for in an hour, and what is on its way to them.
struct Asked {
    /// By place, in the order of [`Scheme::places`], m³ on the grid.
    could_m3: Few<f64>,
    /// Into each trough, m³ on the grid.
    fill: Option<FillHour>,
    /// Troughs and battery before the hour, demand not yet taken.
    before: Option<FillState>,
    energy_before: Energy,
    /// Level in each trough once all there have drunk what they want, before anything flows in, m³.
    unfilled_m3: Few<f64>,
}

/// What the tanks give in an hour, m³ on the grid.
struct Given {
    /// To each place: its share of what its tank has.
    share_m3: Few<f64>,
    /// To each tank through the link that feeds it.
    link_m3: Mostly1<f64>,
    /// In each tank and coming to it, what its link brings included.
    at_hand_m3: Mostly1<f64>,
    /// Whether each has less than its places could take.
    rations: Mostly1<bool>,
}

/// What came of the drinking.
struct Drunk {
    /// Owed at each tank itself, m³.
    owed_at_tank_m3: Mostly1<f64>,
    /// Drunk at each hydrant by extras, m³.
    extras_m3: Vec<f64>,
}

impl Scheme<'_> {
    /// The state with all full and nothing owed.
    pub(super) fn full(&mut self) -> State {
        let trough_m3 = self.trough_m3.clone();
        State {
            tanks: self.tanks.iter().map(|tank| tank.vessel.full()).collect(),
            pumps: self.sources.iter().map(super::Source::at_rest).collect(),
            delivery: self
                .delivery
                .as_mut()
                .map(|delivery| FillState { level_m3: trough_m3, ..delivery.full() }),
            owed: vec![[0.0; 4]; self.drinkers.len()],
            backup: BackupState::default(),
        }
    }

    /// Hour `h`: the pumps step; requests go up from the last tank to the first; water comes down, each tank giving what it has; the
    /// herds drink; where a float stopped a pump within the hour, the pump repeats its step for its part of it.
    pub(super) fn hour(&mut self, h: usize, state: &mut State, sums: &mut Sums) -> Kept {
        let day = h / HOURS_PER_DAY;
        let before = (self.watched == Some(h)).then(|| state.clone());
        let wants: Few<f64> = self
            .drinkers
            .iter()
            .zip(&state.owed)
            .map(|(drinker, owed)| owed.iter().sum::<f64>() + drinker.demand_m3[h])
            .collect();
        let (available, comes) = self.comes(h, &wants, state, sums);
        let mut asked = self.ask(h, &wants, state, sums);
        let requested_m3: f64 = asked.could_m3.iter().sum();
        let given = self.give(h, &asked.could_m3, &comes, state);
        let mut given_m3 = asked.could_m3.clone();
        let mut without_tank = None;
        if given.rations.contains(&true) {
            without_tank = asked.fill.clone();
            given_m3 = self.ration(h, &given, &mut asked, state, sums);
        }
        let causes = self.causes(h, &wants, &asked, without_tank.as_ref());
        let books = self.carry == Carry::None || h % HOURS_PER_DAY == HOURS_PER_DAY - 1;
        let drunk = self.drink(h, &wants, &given_m3, &causes, state, sums, &mut asked);
        let owed = before.as_ref().map(|_| state.owed.clone());
        // A garden waits while any animal owes itself a drink, whatever the reason.
        let waits = state.owed.iter().flatten().sum::<f64>() > grid::STEP_M3;
        let tanks = self.fill_and_draw(h, waits, &comes, &given, &given_m3, state);
        if let Some(backup) = self.backup {
            let date = self.calendar.day_of(h).month_day();
            let midnight = h % HOURS_PER_DAY == HOURS_PER_DAY - 1;
            let filled = self.backup_tank;
            let (level_m3, taken_m3) = (state.tanks[filled].level_m3[0], tanks[filled].let_in.backup_m3);
            backup.end_of_hour(&mut state.backup, level_m3, taken_m3, date, midnight);
        }
        let pumped_m3 = self.settle(h, &available, &comes, &tanks, state, sums);
        let mut kept_tanks = tanks;
        for (tank, owed_m3) in kept_tanks.iter_mut().zip(&drunk.owed_at_tank_m3) {
            if *owed_m3 > 0.0 {
                // The level below zero stands for what is owed at the tank itself, as where the tank has the only book.
                tank.hour.level_m3[0] = -owed_m3;
            }
        }
        let (mut tank, let_in) = all_tanks(&kept_tanks);
        let mut short_m3 = vec![[0.0; 4]; self.trough_m3.len()];
        if books {
            tank.short_m3[0] = self.book(day, state, sums, &mut short_m3);
        }
        if let (Some(fill), Some(delivery)) = (&mut asked.fill, &state.delivery) {
            fill.stored_wh = delivery.charge.stored_wh;
        }
        let several = self.tanks.len() > 1;
        let kept = Kept {
            available_m3: available.iter().map(|(m3, _)| m3).sum(),
            offered_m3: if self.sources.len() > 1 {
                available.iter().map(|(m3, _)| *m3).collect()
            } else {
                Vec::new()
            },
            requested_m3,
            garden_m3: if waits { 0.0 } else { self.tanks.iter().map(|tank| tank.garden_m3[h]).sum() },
            tank,
            let_in,
            tanks: if several { kept_tanks.to_vec() } else { Vec::new() },
            pump: available.into_iter().next().and_then(|(_, pump)| pump),
            pumped_m3: if self.sources.len() > 1 { pumped_m3.to_vec() } else { Vec::new() },
            fill: asked.fill.take(),
            short_m3,
            extras_m3: drunk.extras_m3,
        };
        if let (Some(before), Some(owed)) = (before, owed) {
            let offered: Mostly1<Inflow> = comes
                .iter()
                .zip(&given.link_m3)
                .map(|((comes, _), link_m3)| Inflow { link_m3: *link_m3, ..*comes })
                .collect();
            let found = Between {
                before: &before,
                after: state,
                offered: &offered,
                at_hand_m3: &given.at_hand_m3,
                wants: &wants,
                could_m3: &asked.could_m3,
                share_m3: &given.share_m3,
                given_m3: &given_m3,
                causes: &causes,
                owed: &owed,
                books,
            };
            self.seen = Some(self.step_by_step(h, &found, &kept));
        }
        kept
    }

    /// What each pump could lift, and what of its own sources comes to each tank, with whether its float lets pumps run.
    #[expect(clippy::type_complexity, reason = "by pump, and by tank")]
    fn comes(
        &mut self,
        h: usize,
        wants: &[f64],
        state: &State,
        sums: &Sums,
    ) -> (Mostly1<(f64, Option<PumpHour>)>, Mostly1<(Inflow, bool)>) {
        let wants_m3 = wants.iter().sum::<f64>();
        let troughs_m3 = self.trough_m3.iter().sum::<f64>();
        let mut available = smallvec![(0.0, None); self.sources.len()];
        let mut comes = Mostly1::with_capacity(self.tanks.len());
        for (t, tank) in self.tanks.iter().enumerate() {
            let losses_m3 = tank.garden_m3[h] + tank.evaporation_m3[h] + tank.leak_m3[h];
            let mut room_m3 = tank.vessel.room_m3(&state.tanks[t]) + wants_m3 + losses_m3 + troughs_m3;
            for fed in &self.tree.feeds[t] {
                room_m3 += self.tanks[*fed].feed.as_ref().map_or(0.0, |feed| feed.most_m3(h, true));
            }
            let mut pump_m3 = 0.0;
            for pump in &tank.pumps {
                let found =
                    self.sources[*pump].available(h, room_m3, state.pumps[*pump], &sums.accounts[*pump]);
                pump_m3 += found.0;
                available[*pump] = found;
            }
            let backup = self.backup.filter(|_| self.backup_tank == t);
            let inflow = Inflow {
                pump_m3,
                valve_m3: tank.valve_m3.get(h).copied().unwrap_or(0.0),
                free_m3: tank.free_m3.get(h).copied().unwrap_or(0.0),
                backup_m3: backup.map_or(0.0, |backup| grid::floor_m3(backup.offer_m3(&state.backup))),
                link_m3: 0.0,
            };
            comes.push((inflow, state.tanks[t].permits[0]));
        }
        (available, comes)
    }

    /// Requests go up from the last tank to the first, water comes down: what each place and each link is given. Places come
    /// before links.
    fn give(&self, h: usize, could_m3: &[f64], comes: &[(Inflow, bool)], state: &State) -> Given {
        let n = self.tanks.len();
        let own_m3 = |t: usize| {
            let (inflow, permits) = &comes[t];
            let pump_m3 = if *permits { inflow.pump_m3 } else { 0.0 };
            pump_m3 + inflow.valve_m3 + inflow.free_m3 + inflow.backup_m3
        };
        let mut places_m3: Mostly1<f64> = smallvec![0.0; n];
        for (t, could) in self.tank_of.iter().zip(could_m3) {
            places_m3[*t] += could;
        }
        // What each tank could pass on to those that it feeds, from the last to the first.
        let mut asks_m3: Mostly1<f64> = smallvec![0.0; n];
        for t in self.tree.order.iter().rev().copied() {
            let Some(feed) = &self.tanks[t].feed else { continue };
            let links_m3: f64 = self.tree.feeds[t].iter().map(|fed| asks_m3[*fed]).sum();
            let full_m3 = self.tanks[t].vessel.full().level_m3[0];
            let lacks_m3 = full_m3 - state.tanks[t].level_m3[0] + places_m3[t] + links_m3 - own_m3(t);
            asks_m3[t] = lacks_m3.max(0.0).min(feed.most_m3(h, comes[t].1));
        }
        let mut given = Given {
            share_m3: Few::from_slice(could_m3),
            link_m3: smallvec![0.0; n],
            at_hand_m3: smallvec![0.0; n],
            rations: smallvec![false; n],
        };
        for t in self.tree.order.iter().copied() {
            let at_hand_m3 = state.tanks[t].level_m3[0] + own_m3(t) + given.link_m3[t];
            given.at_hand_m3[t] = at_hand_m3;
            let mut left_m3 = at_hand_m3 - places_m3[t];
            if places_m3[t] > at_hand_m3 {
                given.rations[t] = true;
                let here: Few<usize> =
                    (0..could_m3.len()).filter(|place| self.tank_of[*place] == t).collect();
                let could: Few<f64> = here.iter().map(|place| could_m3[*place]).collect();
                for (place, share_m3) in here.into_iter().zip(share(at_hand_m3, &could)) {
                    given.share_m3[place] = share_m3;
                }
                left_m3 = 0.0;
            }
            let fed = &self.tree.feeds[t];
            if !fed.is_empty() {
                let asks: Few<f64> = fed.iter().map(|fed| asks_m3[*fed]).collect();
                for (fed, link_m3) in fed.iter().zip(share(left_m3, &asks)) {
                    given.link_m3[*fed] = link_m3;
                }
            }
        }
        given
    }

    /// The hour of each tank, once it is known what is taken from it.
    fn fill_and_draw(
        &self,
        h: usize,
        waits: bool,
        comes: &[(Inflow, bool)],
        given: &Given,
        given_m3: &[f64],
        state: &mut State,
    ) -> Mostly1<TankKept> {
        let mut places_m3: Mostly1<f64> = smallvec![0.0; self.tanks.len()];
        for (t, m3) in self.tank_of.iter().zip(given_m3) {
            places_m3[*t] += m3;
        }
        let mut kept = Mostly1::with_capacity(self.tanks.len());
        for (t, tank) in self.tanks.iter().enumerate() {
            let passed_on_m3: f64 = self.tree.feeds[t].iter().map(|fed| given.link_m3[*fed]).sum();
            let comes = Inflow { link_m3: given.link_m3[t], ..comes[t].0 };
            let draw = Draw {
                given_m3: places_m3[t] + passed_on_m3,
                garden_m3: if waits { 0.0 } else { tank.garden_m3[h] },
                evaporation_m3: tank.evaporation_m3[h],
                leak_m3: tank.leak_m3[h],
            };
            let (hour, let_in) = tank.vessel.hour(comes, draw, &mut state.tanks[t]);
            kept.push(TankKept { hour, let_in, passed_on_m3 });
        }
        kept
    }

    /// The pumps come to rest where the float stopped them: what each brought to its tank, m³.
    fn settle(
        &mut self,
        h: usize,
        available: &[(f64, Option<PumpHour>)],
        comes: &[(Inflow, bool)],
        tanks: &[TankKept],
        state: &mut State,
        sums: &mut Sums,
    ) -> Mostly1<f64> {
        let mut pumped_m3 = smallvec![0.0; available.len()];
        for (t, tank) in self.tanks.iter().enumerate() {
            let offered: Mostly1<f64> = tank.pumps.iter().map(|pump| available[*pump].0).collect();
            for (pump, m3) in tank.pumps.iter().zip(share(tanks[t].hour.pumped_m3[0], &offered)) {
                pumped_m3[*pump] = m3;
                if let (offered_m3, Some(hour)) = &available[*pump] {
                    let moved = (*offered_m3, m3);
                    state.pumps[*pump] = Some(self.sources[*pump].settle(
                        h,
                        hour,
                        comes[t].1,
                        moved,
                        &mut sums.accounts[*pump],
                    ));
                }
            }
        }
        pumped_m3
    }

    /// Wants of all who drink at a place, m³.
    fn wants_at(&self, place: Place, day: usize, wants: &[f64]) -> f64 {
        let here = self.drinkers.iter().zip(wants).filter(|(d, _)| d.place_of_day[day] == place);
        here.map(|(_, want)| want).sum()
    }

    /// What each place could take in the hour if its tank held all of it.
    fn ask(&mut self, h: usize, wants: &[f64], state: &mut State, sums: &mut Sums) -> Asked {
        let day = h / HOURS_PER_DAY;
        let before = state.delivery.clone();
        let energy_before = sums.energy;
        let levels = before.iter().flat_map(|troughs| &troughs.level_m3).enumerate();
        let unfilled_m3: Few<f64> =
            levels.map(|(i, level)| level - self.wants_at(Place::Hydrant(i), day, wants)).collect();
        let fill = state.delivery.as_mut().map(|troughs| {
            troughs.level_m3.copy_from_slice(&unfilled_m3);
            self.fill(Reach::Battery, h, None, troughs, &mut sums.energy)
        });
        let could = |place: &Place| match (place, &fill) {
            (Place::Hydrant(i), Some(fill)) => fill.requested_m3[*i],
            _ => self.wants_at(*place, day, wants),
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

    /// Some tank has less than all its places could take: each of them has its share, stock and wildlife alike.
    fn ration(
        &mut self,
        h: usize,
        given: &Given,
        asked: &mut Asked,
        state: &mut State,
        sums: &mut Sums,
    ) -> Few<f64> {
        let mut given_m3 = given.share_m3.clone();
        let Some(before) = &asked.before else { return given_m3 };
        // The troughs fill again, each up to its share: the booster runs as much less.
        sums.energy = asked.energy_before;
        let mut troughs = FillState { level_m3: asked.unfilled_m3.to_vec(), ..before.clone() };
        let mut shut_m3 = self.trough_m3.clone();
        for (place, given_m3) in self.places.iter().zip(&given_m3) {
            if let Place::Hydrant(i) = *place {
                shut_m3[i] = shut_m3[i].min(troughs.level_m3[i] + given_m3);
            }
        }
        let fill = self.fill(Reach::Battery, h, Some(&shut_m3), &mut troughs, &mut sums.energy);
        let mut left_m3 = given.at_hand_m3.clone();
        for (number, place) in self.places.iter().enumerate() {
            if let Place::Hydrant(i) = place {
                given_m3[number] = fill.requested_m3[*i];
            }
            left_m3[self.tank_of[number]] -= given_m3[number];
        }
        // What a hydrant did not fetch after all stays for those at the tank.
        for (number, place) in self.places.iter().enumerate() {
            if let Place::Tank(t) = *place
                && given.rations[t]
            {
                let more = left_m3[t].max(0.0).min(asked.could_m3[number] - given_m3[number]);
                given_m3[number] += more;
            }
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
    ) -> Few<Owed> {
        let day = h / HOURS_PER_DAY;
        let n = self.trough_m3.len();
        let mut causes = smallvec![[0.0; 4]; n];
        let (Some(before), Some(fill)) = (&asked.before, &asked.fill) else { return causes };
        let unfilled_m3 = &asked.unfilled_m3;
        let lack = |fill: &FillHour, i: usize| (-(unfilled_m3[i] + fill.requested_m3[i])).max(0.0);
        if (0..n).all(|i| lack(fill, i) <= 0.0) {
            return causes;
        }
        let mut troughs = FillState { level_m3: unfilled_m3.to_vec(), ..before.clone() };
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
                .filter(|(drinker, _)| drinker.place_of_day[day] == Place::Hydrant(i))
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
        let mut out = Drunk {
            owed_at_tank_m3: smallvec![0.0; self.tanks.len()],
            extras_m3: vec![0.0; self.trough_m3.len()],
        };
        for (number, place) in self.places.iter().enumerate() {
            let water_m3 = match (place, &asked.before) {
                (Place::Hydrant(i), Some(before)) => before.level_m3[*i] + given_m3[number],
                _ => given_m3[number],
            };
            let mut left_m3 = water_m3;
            let mut owed_here_m3 = 0.0;
            for (i, drunk_m3) in self.drunk_at(*place, day, wants, water_m3) {
                let drinker = &self.drinkers[i];
                let owed_m3 = wants[i] - drunk_m3;
                left_m3 -= drunk_m3;
                if drinker.stock {
                    let cause = match *place {
                        Place::Tank(_) => AT_TANK,
                        Place::Hydrant(hydrant) => causes[hydrant],
                    };
                    turn(&mut state.owed[i], owed_m3, &cause);
                    owed_here_m3 += owed_m3;
                } else if let Place::Hydrant(hydrant) = *place {
                    out.extras_m3[hydrant] += drunk_m3;
                }
                let figures = [drinker.demand_m3[h], drunk_m3, owed_m3];
                sums.books.hour(i, day, drinker.stock, figures);
            }
            match *place {
                Place::Hydrant(i) => {
                    if let Some(troughs) = &mut state.delivery {
                        troughs.level_m3[i] = left_m3;
                    }
                    if let Some(fill) = &mut asked.fill {
                        fill.level_m3[i] = if owed_here_m3 > 0.0 { -owed_here_m3 } else { left_m3 };
                    }
                }
                Place::Tank(t) => out.owed_at_tank_m3[t] = owed_here_m3,
            }
        }
        out
    }

    /// What each of those at a place drinks of the water there, m³, with its number.
    pub(super) fn drunk_at(
        &self,
        place: Place,
        day: usize,
        wants: &[f64],
        water_m3: f64,
    ) -> impl Iterator<Item = (usize, f64)> + use<> {
        let here: Few<usize> =
            (0..self.drinkers.len()).filter(|i| self.drinkers[*i].place_of_day[day] == place).collect();
        let wants_here: Few<f64> = here.iter().map(|i| wants[*i]).collect();
        here.into_iter().zip(share(water_m3, &wants_here))
    }

    /// What is owed is booked as short and forgotten. Returns what of it is short for want of water in the tank, m³.
    fn book(&self, day: usize, state: &mut State, sums: &mut Sums, short_m3: &mut [Owed]) -> f64 {
        let mut tank_m3 = 0.0;
        for (i, owed) in state.owed.iter_mut().enumerate() {
            if let Place::Hydrant(hydrant) = self.drinkers[i].place_of_day[day] {
                short_m3[hydrant].iter_mut().zip(&*owed).for_each(|(sum, owed)| *sum += owed);
            }
            sums.books.short(i, day, owed);
            tank_m3 += owed[3];
            *owed = [0.0; 4];
        }
        tank_m3
    }
}

/// The tank's hour, or the sum of several: what links carry from one to the other is neither drawn nor let in, and thirst at one of
/// several stands in its own hour alone.
fn all_tanks(tanks: &[TankKept]) -> (Hour<1>, Inflow) {
    if let [only] = tanks {
        return (only.hour, only.let_in);
    }
    let sum = |of: &dyn Fn(&TankKept) -> f64| [tanks.iter().map(of).sum::<f64>()];
    let hour = Hour {
        pumped_m3: sum(&|t| t.hour.pumped_m3[0]),
        drawn_m3: sum(&|t| t.hour.drawn_m3[0] - t.passed_on_m3),
        garden_m3: sum(&|t| t.hour.garden_m3[0]),
        garden_short_m3: sum(&|t| t.hour.garden_short_m3[0]),
        evaporated_m3: sum(&|t| t.hour.evaporated_m3[0]),
        leaked_m3: sum(&|t| t.hour.leaked_m3[0]),
        curtailed_m3: sum(&|t| t.hour.curtailed_m3[0]),
        spilled_m3: sum(&|t| t.hour.spilled_m3[0]),
        short_m3: [0.0],
        level_m3: sum(&|t| t.hour.level_m3[0].max(0.0)),
    };
    let let_in = Inflow {
        pump_m3: sum(&|t| t.let_in.pump_m3)[0],
        valve_m3: sum(&|t| t.let_in.valve_m3)[0],
        free_m3: sum(&|t| t.let_in.free_m3)[0],
        backup_m3: sum(&|t| t.let_in.backup_m3)[0],
        link_m3: 0.0,
    };
    (hour, let_in)
}

/// Energy in store on a grid of 2⁻³⁰ W·h, rounded down.
fn on_grid_wh(stored_wh: f64) -> f64 {
    libm::floor(stored_wh * grid::FINE_STEPS) / grid::FINE_STEPS
}
