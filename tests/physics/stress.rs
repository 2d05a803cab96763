//! What breaks a scheme first, by hand and against runs of the scheme so changed.

use dryspell::ageing::Ageing;
use dryspell::calendar::{Calendar, Day};
use dryspell::plan::Plan;
use dryspell::pump::Settings as Pump;
use dryspell::record::Record;
use dryspell::reliability::goal;
use dryspell::scheme::Scheme;
use dryspell::simulate::{Out, Outage, simulate};
use dryspell::stress::{Bearing, Kind, Stress, bearing, older};
use dryspell::tank;

use crate::support::data;
use crate::tmy3;

fn of(found: &Bearing, kind: Kind) -> Stress {
    found.stresses.iter().copied().find(|stress| stress.kind == kind).unwrap()
}

/// Twenty days on which 1.2 m³ comes and 1.2 m³ is drunk, in even hours, from a full tank of 4 m³.
fn even() -> (Plan, Record) {
    let record = Record::without_weather(Calendar::starting(Day { year: 2023, month: 3, day: 1 }, 20));
    let column = vec![0.05; 480];
    (Plan::of_columns(column.clone(), column, tank::Settings::open("main", 4.0)), record)
}

#[test]
fn an_outage_empties_a_tank_that_only_just_keeps_up() {
    let (plan, record) = even();
    let found = bearing(&plan, &record).unwrap();
    assert!(!found.broken);
    // Three days take 3.6 of 4 m³ and nothing comes back; of the fourth day's 1.2 m³ 0.4 are left.
    let out = of(&found, Kind::PumpOut);
    assert_eq!((out.breaks_at, out.short_days, out.first_day), (Some(4.0), Some(1.0), Some(0)));
    // Neither herd nor panels stand behind columns of one's own.
    assert!(found.stresses.iter().all(|stress| matches!(stress.kind, Kind::PumpOut | Kind::AllOlder)));
}

#[test]
fn a_goal_breaks_before_a_day_is_short() {
    let (mut plan, record) = even();
    plan.goal = Some(goal::Settings { lowest_level_m3: Some(2.0), ..goal::Settings::default() });
    let out = of(&bearing(&plan, &record).unwrap(), Kind::PumpOut);
    // One day leaves 2.8 m³, two leave 1.6: less than asked, and no day short.
    assert_eq!((out.breaks_at, out.short_days), (Some(2.0), Some(0.0)));
}

#[test]
fn what_is_broken_is_not_tried() {
    let (mut plan, record) = even();
    plan.goal = Some(goal::Settings { lowest_level_m3: Some(5.0), ..goal::Settings::default() });
    let found = bearing(&plan, &record).unwrap();
    assert!(found.broken && found.stresses.is_empty() && found.aged.is_empty());
}

#[test]
fn the_worst_days_of_an_outage_lie_before_the_deepest_hour() {
    // 0.6 m³ a day too little on days 10 to 14, plenty before and after: an outage hurts most where the gap is deepest.
    let (_, record) = even();
    let available: Vec<f64> =
        (0..480).map(|h| if (10..15).contains(&(h / 24)) { 0.025 } else { 0.1 }).collect();
    let plan = Plan::of_columns(available, vec![0.05; 480], tank::Settings::open("main", 4.0));
    let run = simulate(&plan, &record).unwrap();
    assert_eq!(run.outcome.counts.shortfall_days, 0);
    let days: Vec<usize> = (1..=3).map(|k| Outage::worst(&run, Out::Pump, k).first_day).collect();
    // Without an outage 1 of 4 m³ is left after day 14. Day 9 or day 15 without water takes 1.2 m³ before the tank is full again; days
    // 10 to 14 only 0.6. Of two alike the first.
    assert_eq!(days[0], 9);
    // Every other date of one day leaves no less.
    let lowest = |first_day| {
        let outage = Outage { out: Out::Pump, first_day, days: 1 };
        outage.run(&run, &record).unwrap().outcome.lowest_m3
    };
    let least = lowest(days[0]);
    assert!((0..20).all(|day| lowest(day) >= least - 1e-9));
}

/// Each amount is held against the scheme so changed: it goes short with it, and does not with one step less.
#[test]
fn each_stress_is_the_least_that_breaks_a_shipped_scheme() {
    let record = tmy3::read(&data("weather/703165TY.csv"));
    let text = std::fs::read_to_string(data("demo/roomy.toml")).unwrap();
    let mut plan = Scheme::from_toml(&text).unwrap().plan();
    plan.tank = plan.tank.resized(60.0);
    let found = bearing(&plan, &record).unwrap();
    assert!(!found.broken);
    let goes_short = |plan: &Plan, record: &Record| {
        simulate(plan, record).map_or(true, |run| run.outcome.counts.shortfall_days > 0)
    };
    let with = |kind: Kind, amount: f64| {
        let mut other = plan.clone();
        match kind {
            Kind::MoreHeads => {
                for group in &mut other.draw.groups {
                    group.count *= 1.0 + amount / 100.0;
                    group.counts.iter_mut().for_each(|(_, n)| *n *= 1.0 + amount / 100.0);
                }
            }
            Kind::LessSun => return goes_short(&other, &record.with_light(1.0 - amount / 100.0)),
            Kind::LowerYield => *other.supply.well.yield_m3_per_h.as_mut().unwrap() *= 1.0 - amount / 100.0,
            Kind::DeeperWater => other.supply.well.static_level_m.iter_mut().for_each(|z| *z += amount),
            Kind::FewerModules => other.array.arrays[0].series -= amount as u32,
            Kind::AllOlder => other = older(&plan, &Ageing::default(), amount as u32),
            Kind::PumpOut => {
                // Whatever the date: so many days break it on one, one day less on none.
                let base = simulate(&plan, &record).unwrap();
                return (0..base.days.len()).any(|first_day| {
                    let outage = Outage { out: Out::Pump, first_day, days: amount as u32 };
                    outage.run(&base, &record).unwrap().outcome.counts.shortfall_days > 0
                });
            }
            _ => unreachable!("{kind:?}"),
        }
        goes_short(&other, &record)
    };
    let mut held = Vec::new();
    for stress in &found.stresses {
        let Some(least) = stress.breaks_at else { continue };
        if matches!(stress.kind, Kind::OlderModules | Kind::OlderPump) {
            continue;
        }
        assert!(with(stress.kind, least), "{stress:?}");
        let before = least - stress.kind.step();
        assert!(before == 0.0 || !with(stress.kind, before), "{stress:?}");
        held.push(stress.kind);
    }
    assert!(held.contains(&Kind::PumpOut) && held.len() >= 5, "{held:?}");
}

/// A module's current and a pump's flow after ten years, by hand.
#[test]
fn ten_years_take_five_and_ten_percent() {
    let text = std::fs::read_to_string(data("demo/roomy.toml")).unwrap();
    let plan = Scheme::from_toml(&text).unwrap().plan();
    let ageing = Ageing { herd: 0.02, ..Ageing::default() };
    let aged = older(&plan, &ageing, 10);
    let left = |plan: &Plan| 1.0 - plan.array.arrays[0].mismatch;
    assert!((left(&aged) / left(&plan) - 0.95).abs() < 1e-12);
    assert!((aged.draw.groups[0].count / plan.draw.groups[0].count - 1.2).abs() < 1e-12);
    let (Pump::Duty(new), Pump::Duty(old)) = (&plan.supply.pump, &aged.supply.pump) else { panic!() };
    for (new, old) in new.rows.iter().zip(&old.rows) {
        assert_eq!((new.head_m, new.power_w), (old.head_m, old.power_w));
        assert!((old.flow_m3_per_h - 0.9 * new.flow_m3_per_h).abs() < 1e-12);
    }
}
