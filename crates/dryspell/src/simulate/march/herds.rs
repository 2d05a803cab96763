//! Those who drink, each with a book of its own.

use smallvec::SmallVec;

use crate::calendar::HOURS_PER_DAY;
use crate::draw::{self, GroupKind};
use crate::grid;
use crate::reliability::books::{BookDay, HerdBook};

/// A place at which they drink, by its number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Place {
    /// A tank itself.
    Tank(usize),
    /// A hydrant.
    Hydrant(usize),
}

/// A herd, or an extra such as wildlife.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Drinker {
    pub(super) name: String,
    /// Whether it is of the herd: only then is anything owed to it.
    pub(super) stock: bool,
    /// Demand, m³ in each hour, on the grid.
    pub(super) demand_m3: Vec<f64>,
    /// Where it drinks on each day.
    pub(super) place_of_day: Vec<Place>,
}

/// A list that is a few long in most schemes: without an allocation in every hour.
pub(super) type Few<T> = SmallVec<[T; 4]>;

/// A list by tank or by pump, of which most schemes have one.
pub(super) type Mostly1<T> = SmallVec<[T; 1]>;

/// What is owed to a herd by cause, m³: frozen, pump or pipes too small, battery empty, tank empty.
pub(super) type Owed = [f64; 4];

/// The causes at the tank itself: that it is empty.
pub(super) const AT_TANK: Owed = [0.0, 0.0, 0.0, 1.0];

/// All who drink, in the order of their names; hydrants and tanks are given in their order. Who is at no hydrant is at the tank that
/// has the name of the place, else at its own tank, which is the first where it names none.
pub(super) fn drinkers(
    groups: &[draw::Group],
    draw: &draw::Columns,
    own_column: bool,
    hydrants: &[String],
    tanks: &[&str],
) -> Vec<Drinker> {
    if own_column {
        return vec![Drinker {
            name: "stock".into(),
            stock: true,
            demand_m3: grid::column_m3(&draw.demand_m3),
            place_of_day: vec![Place::Tank(0); draw.demand_m3.len() / HOURS_PER_DAY],
        }];
    }
    let mut all: Vec<Drinker> = groups
        .iter()
        .zip(&draw.by_group_m3_per_day)
        .zip(&draw.stays)
        .map(|((group, (_, day_m3)), stays)| {
            let hourly: Vec<f64> =
                day_m3.iter().flat_map(|day| group.pattern.iter().map(move |share| day * share)).collect();
            let tank = |name: &str| tanks.iter().position(|tank| *tank == name);
            let own = Place::Tank(group.tank.as_deref().and_then(tank).unwrap_or_default());
            let place = |number: &Option<usize>| {
                let Some(place) = number.and_then(|number| draw.places.get(number)) else { return own };
                let hydrant = hydrants.iter().position(|hydrant| *hydrant == place.name);
                hydrant.map(Place::Hydrant).or_else(|| tank(&place.name).map(Place::Tank)).unwrap_or(own)
            };
            Drinker {
                name: group.name.clone(),
                stock: group.kind == GroupKind::Stock,
                demand_m3: grid::column_m3(&hourly),
                place_of_day: stays.place_of_day.iter().map(place).collect(),
            }
        })
        .collect();
    all.sort_by(|a, b| a.name.cmp(&b.name));
    all
}

/// Shares water by wants, m³: all where it suffices, else in proportion, rounded down to the grid; what is left over goes to the first,
/// as far as it wants it, then to the next. Of what is no grid volume nothing is made.
///
/// # Example
/// Nine steps of the grid for wants of 4, 8 and 8: 1.8, 3.6 and 3.6, rounded down 1, 3 and 3; the first has the other two.
pub(super) fn share(water_m3: f64, wants_m3: &[f64]) -> Few<f64> {
    let sum: f64 = wants_m3.iter().sum();
    if sum <= water_m3 {
        return Few::from_slice(wants_m3);
    }
    let mut given: Few<f64> =
        wants_m3.iter().map(|want| grid::floor_m3(want * (water_m3 / sum)).min(*want)).collect();
    let mut left = water_m3 - given.iter().sum::<f64>();
    for (given, want) in given.iter_mut().zip(wants_m3) {
        let more = left.min(want - *given).max(0.0);
        *given += more;
        left -= more;
    }
    given
}

/// Takes a change of what is owed into account: more by the causes of this hour, less from all causes in proportion.
pub(super) fn turn(owed: &mut Owed, now_m3: f64, causes_m3: &Owed) {
    let before: f64 = owed.iter().sum();
    if now_m3 > before {
        let more = now_m3 - before;
        let sum: f64 = causes_m3.iter().sum();
        let mut left = more;
        let mut last = 3;
        for (k, cause) in causes_m3.iter().enumerate() {
            if *cause > 0.0 {
                let part = grid::floor_m3(more * (cause / sum)).min(left);
                owed[k] += part;
                left -= part;
                last = k;
            }
        }
        owed[last] += left;
    } else if now_m3 < before {
        let mut less = before - now_m3;
        let kept = now_m3 / before;
        for part in owed.iter_mut() {
            let taken = (*part - grid::floor_m3(*part * kept)).min(less);
            *part -= taken;
            less -= taken;
        }
        // What rounding has left is taken from the first that has it.
        for part in owed.iter_mut() {
            let taken = part.min(less);
            *part -= taken;
            less -= taken;
        }
    }
}

/// The books as they are written.
#[derive(Debug, Clone)]
pub(super) struct Books {
    pub(super) herds: Vec<HerdBook>,
    /// Owed at each hour's end: a bit for each, the first hour highest, by drinker and day.
    pub(super) owes: Vec<Vec<u32>>,
    /// Wanted by extras, drunk, and not had, m³.
    pub(super) extras_m3: [f64; 3],
}

impl Books {
    pub(super) fn new(drinkers: &[Drinker], days: usize) -> Self {
        let book = |d: &Drinker| HerdBook { name: d.name.clone(), days: vec![BookDay::default(); days] };
        Self {
            herds: drinkers.iter().map(book).collect(),
            owes: vec![vec![0; days]; drinkers.len()],
            extras_m3: [0.0; 3],
        }
    }

    /// Writes an hour of a drinker down: what it wanted anew, drank, owes at the end.
    pub(super) fn hour(&mut self, i: usize, day: usize, stock: bool, [demand, drunk, owed]: [f64; 3]) {
        if !stock {
            self.extras_m3[0] += demand;
            self.extras_m3[1] += drunk;
            self.extras_m3[2] += owed;
            return;
        }
        let page = &mut self.herds[i].days[day];
        page.demand_m3 += demand;
        page.drunk_m3 += drunk;
        page.idle = page.idle << 1 | u32::from(drunk <= grid::STEP_M3);
        self.owes[i][day] = self.owes[i][day] << 1 | u32::from(owed > grid::STEP_M3);
    }

    /// Books what is owed as short.
    pub(super) fn short(&mut self, i: usize, day: usize, owed: &Owed) {
        let page = &mut self.herds[i].days[day];
        page.short_frozen_m3 += owed[0];
        page.short_too_small_m3 += owed[1];
        page.short_battery_m3 += owed[2];
        page.short_tank_m3 += owed[3];
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const STEP: f64 = grid::STEP_M3;

    #[test]
    fn nine_steps_for_three() {
        let three = [3.0, 3.0, 3.0].map(|n| n * STEP);
        assert_eq!(share(9.0 * STEP, &[4.0, 8.0, 8.0].map(|n| n * STEP)).as_slice(), three);
    }

    proptest! {
        #[test]
        fn shares_add_up_and_nobody_has_more_than_it_wants(
            water in 0_u32..5_000_000, wants in proptest::collection::vec(0_u32..3_000_000, 0..6),
        ) {
            let wants: Vec<f64> = wants.into_iter().map(|n| f64::from(n) * STEP).collect();
            let water = f64::from(water) * STEP;
            let given = share(water, &wants);
            let (all, sum) = (wants.iter().sum::<f64>(), given.iter().sum::<f64>());
            prop_assert!(sum.total_cmp(&all.min(water)).is_eq(), "{sum} of {water} for {all}");
            for (given, want) in given.iter().zip(&wants) {
                prop_assert!((0.0..=*want).contains(given));
                prop_assert!(grid::volume_m3(*given).total_cmp(given).is_eq());
                // In proportion, but for what is rounded.
                prop_assert!(all <= water || *given + STEP * 6.0 >= want * (water / all));
            }
        }

        #[test]
        fn causes_add_up_to_what_is_owed(
            owed in proptest::array::uniform4(0_u32..1_000_000), now in 0_u32..4_000_000,
            causes in proptest::array::uniform4(0_u32..1_000_000),
        ) {
            let on = |n: u32| f64::from(n) * STEP;
            let mut turned = owed.map(on);
            turn(&mut turned, on(now), &causes.map(on));
            let sum: f64 = turned.iter().sum();
            prop_assert!(sum.total_cmp(&on(now)).is_eq());
            let before: f64 = owed.map(on).iter().sum();
            for (k, part) in turned.iter().enumerate() {
                prop_assert!(*part >= 0.0);
                if on(now) > before {
                    let none = causes[k] == 0 && causes.iter().any(|c| *c > 0);
                    prop_assert!(*part >= on(owed[k]) && !(none && *part > on(owed[k])));
                } else {
                    prop_assert!(*part <= on(owed[k]));
                }
            }
        }
    }
}
