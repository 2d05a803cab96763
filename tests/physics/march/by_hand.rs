//! Cases worked by hand. Volumes are binary fractions, so that the grid holds them exactly.

use dryspell::calendar::{Calendar, DateSpan, Day, MonthDay};
use dryspell::delivery::{Hydrant, Settings as Delivery};
use dryspell::draw::{Carry, Group, GroupKind, Need};
use dryspell::inflow::{self, Backup, Bringing, Cost, Kind, Steady, WhenFull};
use dryspell::pipe::{FrictionLaw, Run as Pipe};
use dryspell::plan::Plan;
use dryspell::record::Record;
use dryspell::simulate::{AnswersBy, Run, simulate};
use dryspell::tank::Settings;

const FIRST: Day = Day { year: 2023, month: 3, day: 1 };
const ALL_YEAR: DateSpan =
    DateSpan { from: MonthDay { month: 1, day: 1 }, to: MonthDay { month: 12, day: 31 } };

fn run(plan: &Plan, days: usize) -> Run {
    let run = simulate(plan, &Record::without_weather(Calendar::starting(FIRST, days))).unwrap();
    assert!(run.residual() <= 1e-9);
    run
}

fn level(run: &Run, h: usize) -> f64 {
    run.hours[h].level_m3[0]
}

/// A tank, and a demand of so much in these hours of each day; no pump.
fn at_tank(tank: Settings, days: usize, demand: impl Fn(usize) -> f64) -> Plan {
    let demand = (0..days * 24).map(|h| demand(h % 24)).collect();
    Plan::of_columns(vec![0.0; days * 24], demand, tank)
}

fn spring(when_full: WhenFull) -> inflow::Settings {
    let kind = Kind::Steady(Steady::of(0.0625));
    inflow::Settings { name: "spring".into(), kind, tank: "main".into(), when_full }
}

fn noon(hour: usize) -> f64 {
    if hour == 12 { 1.0 } else { 0.0 }
}

/// 1/16 m³ an hour into 2 m³, 1 m³ drunk at noon. Day 1: full, 12 hours spill; 2 + 1/16 − 1 = 1.0625 after noon, 1.75 at midnight.
/// Day 2: full again after 4 hours, 8 hours spill; the same afternoon.
#[test]
fn a_spring_that_runs_on() {
    let plan =
        Plan { inflows: vec![spring(WhenFull::Spilled)], ..at_tank(Settings::open("main", 2.0), 2, noon) };
    let run = run(&plan, 2);
    assert_eq!(run.answers_by, AnswersBy::March);
    for (h, by_hand) in [(11, 2.0), (12, 1.0625), (23, 1.75), (27, 2.0), (35, 2.0), (36, 1.0625), (47, 1.75)]
    {
        assert_eq!(level(&run, h), by_hand, "hour {h}");
    }
    let ledgers = &run.outcome.ledgers;
    assert_eq!(
        [ledgers.inflow_m3, ledgers.spilled_m3, ledgers.drawn_m3, ledgers.end_m3],
        [3.0, 1.25, 2.0, 1.75]
    );
    assert_eq!(run.outcome.counts.shortfall_days, 0);
}

/// A float at 2 m³ in a tank of 2.5 m³. Shut off there, what does not fit stays in the spring: 1.25 m³ fewer. Run on, the spring
/// fills it to the rim in 8 hours, 4 spill; 1.5625 after noon, 2.25 at midnight; full to the rim after 4 hours, 8 spill.
#[test]
fn a_spring_with_a_valve_and_one_without_under_a_float() {
    let tank = Settings { float_stop_m3: Some(2.0), ..Settings::open("main", 2.5) };
    let with =
        |when_full| run(&Plan { inflows: vec![spring(when_full)], ..at_tank(tank.clone(), 2, noon) }, 2);
    let shut = with(WhenFull::Refused);
    let ledgers = &shut.outcome.ledgers;
    assert_eq!([ledgers.inflow_m3, ledgers.spilled_m3, ledgers.end_m3], [1.75, 0.0, 1.75]);
    let on = with(WhenFull::Spilled);
    for (h, by_hand) in [(7, 2.5), (11, 2.5), (12, 1.5625), (23, 2.25), (27, 2.5), (47, 2.25)] {
        assert_eq!(level(&on, h), by_hand, "hour {h}");
    }
    assert_eq!([on.outcome.ledgers.inflow_m3, on.outcome.ledgers.spilled_m3], [3.0, 0.75]);
}

/// 10 mm fall on 100 m² in two hours, 0.9 of it runs off, the first millimetre is lost: 0.27 and 0.54 m³. Its own open surface
/// of 8 m² catches 0.08 m³ besides.
#[test]
fn rain_on_a_roof_and_on_open_water() {
    let calendar = Calendar::starting(Day { month: 6, ..FIRST }, 1);
    let mut record = Record::without_weather(calendar);
    let mut rain = vec![0.0; 24];
    (rain[3], rain[4]) = (4.0, 6.0);
    record.precipitation_mm = Some(rain);
    record.air_degc = vec![15.0; 24];
    let roof = inflow::Catchment { area_m2: 100.0, runoff_coefficient: 0.9, first_flush_mm: 1.0 };
    let caught = |name: &str, catchment| inflow::Settings {
        name: name.into(),
        kind: Kind::Rain(catchment),
        tank: "main".into(),
        when_full: WhenFull::Spilled,
    };
    let mut plan = at_tank(Settings::open("main", 4.0), 1, |h| if h == 0 { 2.0 } else { 0.0 });
    plan.inflows = vec![caught("roof", roof)];
    let run = simulate(&plan, &record).unwrap();
    for (h, by_hand) in [(0, 2.0), (2, 2.0), (3, 2.27), (4, 2.81), (23, 2.81)] {
        assert!((level(&run, h) - by_hand).abs() < 2e-6, "hour {h}: {}", level(&run, h));
    }
    plan.inflows.push(caught("surface", inflow::Catchment::open_water(8.0)));
    let run = simulate(&plan, &record).unwrap();
    assert!((run.outcome.ledgers.inflow_m3 - 0.89).abs() < 4e-6, "{}", run.outcome.ledgers.inflow_m3);
    assert!(run.residual() <= 1e-9);
}

fn backup(bringing: Bringing, stops_at_m3: f64) -> Backup {
    Backup {
        name: "hauled water".into(),
        bringing,
        tank: None,
        starts_below_m3: 1.0,
        stops_at_m3,
        delay_h: 2.0,
        most_m3_per_day: None,
        dates: Vec::new(),
        cost: Cost { per_m3: 2.0, per_hour: 0.0, per_load: 50.0 },
    }
}

/// A quarter of a cubic metre an hour out of 4 m³. Without a backup it is empty after 16 hours, and 2 m³ are short. With half a cubic
/// metre an hour, called at 1 m³ (after 12 hours), there two hours later, stopped at 2 m³: 0.75, 0.5, 0.75, 1 … 2 at 20 h, 1 at midnight;
/// 3 m³ in six hours.
#[test]
fn a_backup_that_flows() {
    let plan = at_tank(Settings::open("main", 4.0), 1, |_| 0.25);
    let run = run(&Plan { backup: Some(backup(Bringing::Flow(0.5), 2.0)), ..plan }, 1);
    assert_eq!((run.outcome.counts.shortfall_days, run.short_m3()), (1, 2.0));
    let with = run.backup.as_ref().unwrap();
    for (h, by_hand) in [(11, 1.0), (12, 0.75), (13, 0.5), (14, 0.75), (19, 2.0), (20, 1.75), (23, 1.0)] {
        assert_eq!(with.stored_m3[h], by_hand, "hour {h}");
    }
    assert_eq!((with.counts.shortfall_days, with.short_m3, with.brought_m3), (0, 0.0, 3.0));
    assert_eq!((with.running_h, with.loads, with.days, with.first_day), (6.0, 0, 1, Some(0)));
    assert_eq!((with.most_in_a_spell_m3, with.cost), (3.0, Some(6.0)));
    // Verdict and autonomy are those without it.
    assert_eq!(run.full_tank.worst, Some(16.0 / 24.0));
}

/// The same with loads of 3 m³ up to 3.5 m³: the load is there in the 14th hour, 0.75 + 3 − 0.25.
#[test]
fn a_backup_in_loads() {
    let plan = at_tank(Settings::open("main", 4.0), 1, |_| 0.25);
    let run = run(&Plan { backup: Some(backup(Bringing::Load(3.0), 3.5)), ..plan }, 1);
    let with = run.backup.as_ref().unwrap();
    for (h, by_hand) in [(12, 0.75), (13, 3.5), (14, 3.25), (23, 1.0)] {
        assert_eq!(with.stored_m3[h], by_hand, "hour {h}");
    }
    assert_eq!((with.loads, with.brought_m3, with.cost), (1, 3.0, Some(56.0)));
}

fn herd(name: &str, day_m3: f64, shares: &[(usize, f64)], place: Option<&str>) -> Group {
    let mut pattern = [0.0; 24];
    shares.iter().for_each(|(hour, share)| pattern[*hour] = *share);
    let places = place.map(|place| (place.to_owned(), ALL_YEAR)).into_iter().collect();
    Group { places, ..Group::new(name, 1.0, Need::ByMonth([day_m3; 12]), pattern) }
}

/// Herds behind one gravity hydrant with a trough, without a pump.
fn behind_a_hydrant(tank_m3: f64, trough_m3: f64, groups: Vec<Group>, days: usize) -> Plan {
    let mut plan = at_tank(Settings::open("main", tank_m3), days, |_| 0.0);
    plan.columns.demand_m3 = None;
    plan.draw.groups = groups;
    plan.delivery = Some(Delivery {
        shared: Vec::new(),
        hydrants: vec![Hydrant {
            name: "hill".into(),
            runs: vec![Pipe {
                name: "pipe".into(),
                length_m: 20.0,
                bore_m: 0.08,
                roughness_m: 1.5e-6,
                ..Pipe::default()
            }],
            height_m: -10.0,
            pressure_m: 0.0,
            trough_m3,
            walk_m: None,
            open_surface_m2: 0.0,
            overflow_m3_per_h: 0.0,
            tank: None,
        }],
        booster: None,
        friction: FrictionLaw::DarcyWeisbach,
        water_degc: 10.0,
        carry: Carry::WithinDay,
        tank: None,
        other_lines: Vec::new(),
    });
    plan
}

/// 1 m³ in the tank, 0.25 m³ in the trough; a quarter of a cubic metre is drunk at 12, half at 14.
/// Day 1: the tank makes both good, 0.25 is left in it. Day 2: 0.25 at 12 empties the tank, the trough is full; at 14 the herd drinks
/// the trough and lacks 0.25. Day 3: nothing. So 0.25 and 0.75 m³ short, for want of water in the tank alone. It stands dry from 14 to
/// midnight of day 2 and all of day 3.
#[test]
fn a_hydrant_on_a_tank_that_empties() {
    let cows = herd("cows", 0.75, &[(12, 1.0 / 3.0), (14, 2.0 / 3.0)], Some("hill"));
    let run = run(&behind_a_hydrant(1.0, 0.25, vec![cows], 3), 3);
    assert_eq!(run.answers_by, AnswersBy::March);
    for (h, by_hand) in [(12, 0.75), (14, 0.25), (36, 0.0), (38, 0.0)] {
        assert_eq!(level(&run, h), by_hand, "hour {h}");
    }
    let trough = &run.delivery.as_ref().unwrap().hydrants[0].level_m3;
    assert_eq!(
        [trough[35], trough[36], trough[37], trough[38], trough[60]],
        [0.25, 0.25, 0.25, -0.25, -0.25]
    );
    let book = &run.herds.as_ref().unwrap()[0];
    let day = |day: usize| [book.days[day].demand_m3, book.days[day].drunk_m3, book.days[day].short_tank_m3];
    assert_eq!([day(0), day(1), day(2)], [[0.75, 0.75, 0.0], [0.75, 0.5, 0.25], [0.75, 0.0, 0.75]]);
    assert_eq!(run.short_m3(), 1.0);
    let counts = &run.outcome.counts;
    assert_eq!((counts.shortfall_days, counts.dry_hours, counts.longest_dry_hours), (2, 34, 34));
}

/// Cows and ewes want 0.5 and 0.25 m³ at once, deer a quarter beside them, and 0.5 m³ are there: half of all that is wanted, so half for
/// each. The deer are owed nothing: at 13, when another 0.25 m³ runs in, cows and ewes drink it, two thirds and one third, rounded down, the
/// step left over to the first by name.
#[test]
fn herds_share_by_what_they_want_and_extras_are_owed_nothing() {
    let mut deer = herd("deer", 0.25, &[(12, 1.0)], None);
    deer.kind = GroupKind::Extra;
    let groups = vec![herd("ewes", 0.25, &[(12, 1.0)], None), deer, herd("cows", 0.5, &[(12, 1.0)], None)];
    let mut plan = at_tank(Settings::open("main", 0.5), 1, |_| 0.0);
    plan.columns.demand_m3 = None;
    plan.draw.groups = groups;
    let mut later = vec![0.0; 24];
    later[13] = 0.25;
    plan.columns.available_m3 = Some(dryspell::edition::Edition::new(later));
    let run = run(&plan, 1);
    assert_eq!(run.answers_by, AnswersBy::March);
    let herds = run.herds.as_ref().unwrap();
    let book = |name: &str| &herds.iter().find(|book| book.name == name).unwrap().days[0];
    // At 12: 0.25 and 0.125. At 13: 2/3 and 1/3 of 0.25, of 262144 steps 174762.67 and 87381.33.
    let step = dryspell::grid::STEP_M3;
    assert_eq!(book("cows").drunk_m3, 0.25 + 174_763.0 * step);
    assert_eq!(book("ewes").drunk_m3, 0.125 + 87_381.0 * step);
    let ledgers = &run.outcome.ledgers;
    assert_eq!([ledgers.extra_drunk_m3, ledgers.extra_short_m3], [0.125, 0.125]);
    assert_eq!(run.demand_sum_m3, 0.75);
    assert_eq!(herds.len(), 2, "deer have no book");
}
