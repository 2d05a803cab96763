//! Many sizes on the same years, side by side: the same as one after another.

use crate::support::data;
use dryspell::odds::years_of;
use dryspell::plan::Plan;
use dryspell::scheme::Scheme;
use dryspell::sizing::dry_years::count;
use dryspell::sizing::{Chance, Group};
use dryspell_weather::synth::{Climate, Generator, Method};
use std::num::NonZeroUsize;

fn demo(name: &str) -> String {
    std::fs::read_to_string(data("demo").join(name)).unwrap()
}

#[test]
fn tanks_in_lanes_have_the_dry_years_that_each_has_alone() {
    let climate = Climate::from_toml(&demo("climate.toml"), "climate.toml").unwrap();
    let record = Generator::new(climate, Method::Free, 5).unwrap().record(7, NonZeroUsize::MIN).unwrap();
    let base = Scheme::from_toml(&demo("scheme.toml")).unwrap().plan();
    // 11 tanks with their float bands, each with two arrays, mixed.
    let mut plans: Vec<Plan> = Vec::new();
    for step in 0..11 {
        for series in [2, 3] {
            let mut plan = base.clone();
            let share = 0.5 + 0.2 * f64::from(step);
            plan.tank.capacity_m3 *= share;
            plan.tank.float_stop_m3 = plan.tank.float_stop_m3.map(|level| level * share);
            plan.tank.float_start_m3 = plan.tank.float_start_m3.map(|level| level * share);
            plan.array.arrays[0].series = series;
            plans.push(plan);
        }
    }
    let (groups, places) = Group::gather(&plans);
    assert_eq!((groups.len(), groups[0].tanks.len(), groups[1].tanks.len()), (2, 11, 11));
    let mut seen = Vec::new();
    for (month, compared) in [(4, 22), (10, 5)] {
        let found = count(&groups, &record, month, 100);
        for (plan, (group, tank)) in plans.iter().zip(&places).take(compared) {
            let alone = years_of(plan, &record, month).unwrap();
            let chance = found[*group].as_ref().unwrap()[*tank];
            assert_eq!(chance, Chance { dry: alone.dry(), years: 6 }, "{} m3", plan.tank.capacity_m3);
            seen.push(chance.dry);
        }
    }
    // From every year to none: the comparison is not one of zeros.
    assert!(seen.contains(&0) && seen.contains(&6) && seen.iter().any(|d| (1..6).contains(d)), "{seen:?}");
    // No more years than asked; of one year none at all.
    let few = count(&groups, &record, 4, 2);
    assert_eq!(few[0].as_ref().unwrap()[0].years, 2);
    let one = dryspell::resample::years::sub_record(&record, &[0]).unwrap();
    assert_eq!(count(&groups, &one, 4, 5)[1].as_ref().unwrap()[3], Chance::default());
}

#[test]
fn a_size_that_cannot_run_says_so_and_leaves_the_others() {
    let climate = Climate::from_toml(&demo("climate.toml"), "climate.toml").unwrap();
    let record = Generator::new(climate, Method::Free, 5).unwrap().record(2, NonZeroUsize::MIN).unwrap();
    let base = Scheme::from_toml(&demo("scheme.toml")).unwrap().plan();
    // The pump's table ends at 50 m.
    let mut deep = base.clone();
    deep.supply.well.static_level_m = [90.0; 12];
    let (groups, places) = Group::gather([&deep, &base]);
    let found = count(&groups, &record, 4, 5);
    assert!(found[places[0].0].as_ref().unwrap_err()[0].to_string().contains("pump"));
    assert_eq!(found[places[1].0].as_ref().unwrap()[0].years, 1);
}
