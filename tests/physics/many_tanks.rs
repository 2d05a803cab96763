//! What many tanks come to side by side equals what each comes to by itself: every headline and every tank year.

use std::num::NonZeroUsize;
use std::sync::Arc;

use dryspell::edition::EditionRef;
use dryspell::plan::Plan;
use dryspell::record::Record;
use dryspell::resample::{Archive, Resampler, Settings as Resampling};
use dryspell::results::HEADLINES;
use dryspell::scheme::{STARTER, Scheme};
use dryspell::simulate::{AnswersBy, Memo, at_tank, at_tanks};
use dryspell::tank::Settings;

use crate::support::data;
use crate::tmy3;

/// Tanks of half a cubic metre to more than lanes can hold, without a float, with one, with a band, with a month given.
fn tanks(base: &Settings) -> Vec<Settings> {
    let sizes = (1..70).map(|i| 0.5 * f64::from(i)).chain([90.0, 400.0, 3000.0]);
    sizes
        .enumerate()
        .map(|(i, capacity_m3)| Settings {
            capacity_m3,
            float_stop_m3: (i % 4 != 0).then_some(0.97 * capacity_m3),
            float_start_m3: (i % 4 > 1).then_some(0.6 * capacity_m3),
            garden_reserve_m3: if i % 3 == 0 { 0.3 * capacity_m3 } else { 0.0 },
            year_starts_in_month: (i % 7 == 0).then_some(10),
            ..base.clone()
        })
        .collect()
}

fn equal(plan: &Plan, record: &Record) {
    let upstream = Memo::default().upstream(plan, EditionRef::new(record)).unwrap();
    let tanks = tanks(&plan.tank);
    let many = at_tanks(&upstream, plan, &tanks);
    let mut days = std::collections::BTreeSet::new();
    let mut ran_dry = std::collections::BTreeSet::new();
    for (tank, many) in tanks.iter().zip(many) {
        let one = at_tank(&upstream, &Plan { tank: tank.clone(), ..plan.clone() }).unwrap();
        let many = many.unwrap();
        for field in HEADLINES {
            assert_eq!(
                (field.get)(&one, 0),
                (field.get)(&many, 0),
                "{} of a tank of {} m3",
                field.name,
                tank.capacity_m3
            );
        }
        assert_eq!(one.outcome.years, many.outcome.years, "tank of {} m3", tank.capacity_m3);
        assert_eq!(one.outcome.start, many.outcome.start);
        assert_eq!(one.outcome.tank_year_by, many.outcome.tank_year_by);
        assert_eq!(one.outcome.lowest_m3, many.outcome.lowest_m3, "tank of {} m3", tank.capacity_m3);
        assert_eq!(one.full_tank, many.full_tank);
        assert_eq!(one.ran_dry, many.ran_dry, "tank of {} m3", tank.capacity_m3);
        assert_eq!(one.plan, many.plan);
        // Where the march answers, what lies before the tank is the tank's own.
        assert!(one.answers_by == AnswersBy::March || Arc::ptr_eq(&one.upstream, &many.upstream));
        days.insert(one.outcome.counts.shortfall_days);
        ran_dry.insert(one.ran_dry);
    }
    assert!(days.len() > 10, "days of shortfall: {days:?}");
    assert_eq!(ran_dry.len(), 2, "tanks that ran dry, and such as did not");
}

fn plan_of(text: &str) -> Plan {
    Scheme::from_toml(text).unwrap().plan()
}

#[test]
fn one_year_at_the_tank() {
    let record = tmy3::read(&data("weather/723170TYA.CSV"));
    equal(&plan_of(&STARTER.replace("count = 40", "count = 150")), &record);
}

#[test]
fn one_year_behind_hydrants_with_frost_gardens_and_losses() {
    let record = tmy3::read(&data("weather/703165TY.csv"));
    let text = std::fs::read_to_string(data("demo/rounds.toml")).unwrap();
    equal(&plan_of(&text), &record);
}

#[test]
fn many_years() {
    let record = tmy3::read(&data("weather/703165TY.csv"));
    let archive = Archive::of(&record).unwrap();
    let made = Resampler::of_all(&archive, Resampling::default(), 20_261_125).unwrap();
    let record = made.record(4, NonZeroUsize::MIN).unwrap();
    assert!(!record.calendar.is_one_year());
    equal(&plan_of(&STARTER.replace("count = 40", "count = 90")), &record);
}
