//! Several tanks and wells: by hand, against schemes run apart, against a naive model of the tree.

use dryspell::calendar::Calendar;
use dryspell::draw::{Group, GroupKind, Need};
use dryspell::inflow::{self, Backup, Kind, Steady, WhenFull};
use dryspell::link::{self, Way};
use dryspell::plan::Plan;
use dryspell::record::Record;
use dryspell::simulate::{AnswersBy, Run, simulate};
use dryspell::supply::Lift;
use dryspell::tank::Settings;
use proptest::prelude::*;

use super::{demo, year};

fn run(plan: &Plan, days: usize) -> Run {
    let first = dryspell::calendar::Day { year: 2023, month: 3, day: 1 };
    let run = simulate(plan, &Record::without_weather(Calendar::starting(first, days))).unwrap();
    assert_eq!(run.answers_by, AnswersBy::March);
    assert!(run.residual() <= 1e-9);
    run
}

/// A herd that wants so much a day, by shares at clock hours, at a tank.
fn herd(name: &str, day_m3: f64, shares: &[(usize, f64)], tank: Option<&str>) -> Group {
    let mut pattern = [0.0; 24];
    shares.iter().for_each(|(hour, share)| pattern[*hour] = *share);
    Group { tank: tank.map(str::to_owned), ..Group::new(name, 1.0, Need::ByMonth([day_m3; 12]), pattern) }
}

/// Tanks without a pump, with herds.
fn plan(tanks: &[Settings], links: Vec<link::Settings>, groups: Vec<Group>, days: usize) -> Plan {
    let mut plan = Plan::of_columns(vec![0.0; days * 24], vec![0.0; days * 24], tanks[0].clone());
    plan.columns.demand_m3 = None;
    plan.draw.groups = groups;
    plan.other_tanks = tanks[1..].to_vec();
    plan.links = links;
    plan
}

fn pump(into: &str, from: &str, m3_per_h: f64) -> link::Settings {
    let way = Way::Pump { flow: Steady::of(m3_per_h), needs_sun: false };
    link::Settings { into: into.into(), from: from.into(), way }
}

/// 2 m³ above, 1 m³ below, a transfer pump of a quarter of a cubic metre an hour between them; half a cubic metre is drunk below at 6,
/// one at 12.
/// Day 1, at 6: the pump gives 1/4, 1 + 1/4 − 1/2 = 3/4 are left, full an hour later. At 12: 1 + 1/4 − 1 = 1/4, full at the end of the hour
/// from 15; 1/2 is left above. Day 2: a quarter each in the hours from 6 and 7 empty the upper tank; at 12 the lower one is emptied.
/// Day 3: nothing, 1.5 m³ short. From full tanks it lasts, at the worst, two days: from 12 to 12, when 3 m³ are gone.
#[test]
fn two_tanks_in_series() {
    let tanks = [Settings::open("main", 2.0), Settings::open("low", 1.0)];
    let cows = herd("cows", 1.5, &[(6, 1.0 / 3.0), (12, 2.0 / 3.0)], Some("low"));
    let run = run(&plan(&tanks, vec![pump("low", "main", 0.25)], vec![cows], 3), 3);
    let [main, low] = &run.tanks[..] else { panic!("two tanks") };
    for (h, above, below) in [
        (5, 2.0, 1.0),
        (6, 1.75, 0.75),
        (7, 1.5, 1.0),
        (11, 1.5, 1.0),
        (12, 1.25, 0.25),
        (15, 0.5, 1.0),
        (30, 0.25, 0.75),
        (31, 0.0, 1.0),
        (36, 0.0, 0.0),
        (71, 0.0, 0.0),
    ] {
        assert_eq!((main.level_m3[h], low.level_m3[h]), (above, below), "hour {h}");
    }
    assert_eq!([main.passed_on_m3, low.from_tank_m3, low.drawn_m3], [2.0, 2.0, 3.0]);
    // What is in both: the drawn water of the scheme is that of the herds alone.
    assert_eq!(
        [run.outcome.ledgers.drawn_m3, run.outcome.ledgers.start_m3, run.outcome.ledgers.end_m3],
        [3.0, 3.0, 0.0]
    );
    assert_eq!((run.outcome.counts.shortfall_days, run.short_m3()), (1, 1.5));
    assert_eq!(run.full_tank.worst, Some(2.0));
    assert_eq!(run.storage.storage_m3, None);
    // Both tanks serve no stock but the lower one: 1 m³ for 1.5 m³ a day.
    assert!((run.rule_sheet_storage_days().unwrap() - 1.0 / 1.5).abs() < 1e-12);
}

/// The same with a pipe in place of the pump: 4.5 m of fall over 100 m of 26 mm pass half a litre a second (4.45 m of friction; Darcy and
/// Weisbach with Colebrook's factor at 10 °C), 1.8 m³ in an hour, so the lower tank is full at the end of every hour as long as there is
/// water above; a longer pipe passes what its friction leaves it.
#[test]
fn a_pipe_between_two_tanks() {
    let tanks = [Settings::open("main", 2.0), Settings::open("low", 1.0)];
    let line = |length_m| {
        let run = dryspell::pipe::Run {
            name: "line".into(),
            length_m,
            bore_m: 0.026,
            roughness_m: 1.5e-6,
            ..dryspell::pipe::Run::default()
        };
        let way = Way::pipe(vec![run], -4.5, 10.0);
        link::Settings { into: "low".into(), from: "main".into(), way }
    };
    let cows = || vec![herd("cows", 1.5, &[(6, 1.0 / 3.0), (12, 2.0 / 3.0)], Some("low"))];
    let short = run(&plan(&tanks, vec![line(100.0)], cows(), 2), 2);
    assert_eq!(
        [short.tanks[1].level_m3[6], short.tanks[1].level_m3[12], short.tanks[0].level_m3[12]],
        [1.0, 1.0, 0.5]
    );
    let long = run(&plan(&tanks, vec![line(10_000.0)], cows(), 2), 2);
    let flow = line(10_000.0).flow_m3_per_h().unwrap();
    // Laminar: Q = pi g (H/L) D^4 / (128 nu) with nu = 1.307e-6 m2/s (water at 10 degC, from memory), 0.136 m3/h at Re 1420.
    // Source of the law: Hagen and Poiseuille, as in any textbook of hydraulics.
    let by_hand = std::f64::consts::PI * 9.80665 * 4.5e-4 * 0.026_f64.powi(4) / (128.0 * 1.307e-6) * 3600.0;
    assert!((flow / by_hand - 1.0).abs() < 0.01 && (0.05..0.2).contains(&flow), "{flow} for {by_hand}");
    assert!((long.tanks[1].from_tank_hourly_m3[12] - flow).abs() < 2e-6);
}

/// Two trees that share nothing are two schemes run apart, to the bit: each herd's days, each tank's levels, each well's water.
#[test]
fn trees_that_share_nothing() {
    let record = year();
    let mut one = demo("scheme", &[]);
    one.draw.groups.truncate(1);
    let mut other = demo("scheme", &[("static_level = [\"21 m\"", "static_level = [\"24 m\"")]);
    other.tank = Settings { name: "far".into(), ..other.tank.resized(7.0) };
    other.draw.groups = vec![Group { name: "ewes".into(), count: 25.0, ..one.draw.groups[0].clone() }];
    let mut both = one.clone();
    both.other_tanks = vec![other.tank.clone()];
    both.draw.groups.push(Group { tank: Some("far".into()), ..other.draw.groups[0].clone() });
    both.lifts = vec![Lift {
        name: "east".into(),
        into: "far".into(),
        array: other.array.clone(),
        supply: other.supply.clone(),
    }];
    let together = simulate(&both, &record).unwrap();
    for (tank, alone) in [(0, super::by_march_run(&one, &record)), (1, super::by_march_run(&other, &record))]
    {
        let levels: Vec<f64> = alone.hours.iter().map(|hour| hour.level_m3[0].max(0.0)).collect();
        assert_eq!(together.tanks[tank].level_m3, levels, "tank {tank}");
        assert_eq!(together.herds.as_ref().unwrap()[tank], alone.herds.as_ref().unwrap()[0], "herd {tank}");
        assert_eq!(together.lifts[tank].pumped_m3, alone.outcome.ledgers.pumped_m3);
        assert_eq!(together.lifts[tank].available_m3, alone.outcome.ledgers.available_m3);
    }
    assert!(together.outcome.counts.shortfall_days > 0);
}

/// Two equal wells into one tank bring what a column of twice the water brings.
#[test]
fn two_wells_into_one_tank() {
    let record = year();
    let one = demo("scheme", &[]);
    let lift = |name: &str| Lift {
        name: name.into(),
        into: "main".into(),
        array: one.array.clone(),
        supply: one.supply.clone(),
    };
    let two = simulate(&Plan { lifts: vec![lift("east")], ..one.clone() }, &record).unwrap();
    let available = simulate(&one, &record).unwrap().supply.available_m3.clone();
    let on_grid = dryspell::grid::column_m3(&available);
    let mut twice = one.clone();
    twice.columns.available_m3 =
        Some(dryspell::edition::Edition::new(on_grid.iter().map(|m3| 2.0 * m3).collect()));
    let twice = super::by_march_run(&twice, &record);
    assert_eq!(two.outcome.counts, twice.outcome.counts);
    let level = |run: &Run| run.hours.iter().map(|hour| hour.level_m3).collect::<Vec<_>>();
    assert_eq!(level(&two), level(&twice));
    // Each brings half, but for the grid's steps where the float cuts an hour.
    let [first, east] = &two.lifts[..] else { panic!("two wells") };
    assert!((first.pumped_m3 - east.pumped_m3).abs() <= 8760.0 * dryspell::grid::STEP_M3);
    assert_eq!(first.pumped_m3 + east.pumped_m3, two.outcome.ledgers.pumped_m3);
    assert!(two.residual() <= 1e-9);
}

/// Wells that remember, each with its own ledger: two brushed wells into two tanks, the second fed by the first as well.
#[test]
fn wells_that_remember() {
    let one = demo("brushed", &[]);
    let far = Settings { name: "far".into(), ..one.tank.resized(6.0) };
    let lift = Lift {
        name: "east".into(),
        into: "far".into(),
        array: one.array.clone(),
        supply: one.supply.clone(),
    };
    let cows = Group { tank: Some("far".into()), name: "more".into(), ..one.draw.groups[0].clone() };
    let plan = Plan {
        other_tanks: vec![far],
        lifts: vec![lift],
        links: vec![pump("far", "main", 0.1)],
        draw: dryspell::draw::Settings {
            groups: one.draw.groups.iter().cloned().chain([cows]).collect(),
            ..one.draw.clone()
        },
        ..one
    };
    let run = simulate(&plan, &year()).unwrap();
    assert!(run.residual() <= 1e-9);
    for lift in run.lifts.iter() {
        let well = lift.well.expect("it remembers");
        assert!(well.residual() <= 1e-9);
        assert!((well.arrived_m3 - lift.pumped_m3).abs() < 1e-9 && well.lifted_m3 > lift.pumped_m3);
    }
    assert!(run.tanks[1].from_tank_m3 > 0.0);
}

/// A tree drawn at random, fed by springs, with herds at its tanks.
#[derive(Debug, Clone)]
struct Drawn {
    capacity_steps: Vec<u32>,
    from: Vec<Option<usize>>,
    link_steps: Vec<u32>,
    spring_steps: Vec<u32>,
    /// Tank, hour, steps.
    herds: Vec<(usize, usize, u32)>,
}

fn drawn() -> impl Strategy<Value = Drawn> {
    (1_usize..5).prop_flat_map(|tanks| {
        let from = (0..tanks).map(|i| proptest::option::weighted(0.8, 0..i.max(1))).collect::<Vec<_>>();
        (
            proptest::collection::vec(200_000_u32..3_000_000, tanks),
            from,
            proptest::collection::vec(10_000_u32..400_000, tanks),
            proptest::collection::vec(prop_oneof![Just(0_u32), 0_u32..60_000], tanks),
            proptest::collection::vec((0..tanks, 0_usize..24, 50_000_u32..900_000), 1..4),
        )
            .prop_map(|(capacity_steps, from, link_steps, spring_steps, herds)| Drawn {
                from: from.into_iter().enumerate().map(|(i, from)| from.filter(|_| i > 0)).collect(),
                capacity_steps,
                link_steps,
                spring_steps,
                herds,
            })
    })
}

const DAYS: usize = 4;

impl Drawn {
    fn m3(steps: u32) -> f64 {
        f64::from(steps) * dryspell::grid::STEP_M3
    }

    fn plan(&self) -> Plan {
        let name = |i: usize| format!("t{i}");
        let tanks: Vec<Settings> = self
            .capacity_steps
            .iter()
            .enumerate()
            .map(|(i, steps)| Settings::open(name(i), Self::m3(*steps)))
            .collect();
        let links = self.from.iter().enumerate().filter_map(|(i, from)| {
            from.map(|from| pump(&name(i), &name(from), Self::m3(self.link_steps[i])))
        });
        let groups = self.herds.iter().enumerate().map(|(i, (tank, hour, steps))| {
            let tank = (*tank > 0).then(|| name(*tank));
            herd(&format!("h{i}"), Self::m3(*steps), &[(*hour, 1.0)], tank.as_deref())
        });
        let mut plan = plan(&tanks, links.collect(), groups.collect(), DAYS);
        plan.inflows = self
            .spring_steps
            .iter()
            .enumerate()
            .map(|(i, steps)| inflow::Settings {
                name: format!("spring{i}"),
                kind: Kind::Steady(Steady::of(Self::m3(*steps))),
                tank: name(i),
                when_full: if i % 2 == 0 { WhenFull::Spilled } else { WhenFull::Refused },
            })
            .collect();
        plan
    }

    /// What tank `t` could take from above in the hour: what it and those below it lack.
    fn asks(&self, t: usize, levels: &[f64], wants: &[f64]) -> f64 {
        let below: f64 =
            (0..levels.len()).filter(|i| self.from[*i] == Some(t)).map(|i| self.asks(i, levels, wants)).sum();
        let lacks =
            Self::m3(self.capacity_steps[t]) - levels[t] + wants[t] + below - Self::m3(self.spring_steps[t]);
        if self.from[t].is_some() { lacks.clamp(0.0, Self::m3(self.link_steps[t])) } else { 0.0 }
    }

    /// Hands water down from tank `t`, which has had its own: drink, pass on, spill.
    fn hand_down(
        &self,
        t: usize,
        has: f64,
        asks: &[f64],
        wants: &[f64],
        levels: &mut [f64],
        drunk: &mut [f64],
    ) {
        let mut has = has + Self::m3(self.spring_steps[t]);
        drunk[t] = wants[t].min(has);
        has -= drunk[t];
        let fed: Vec<usize> = (0..levels.len()).filter(|i| self.from[*i] == Some(t)).collect();
        let asked: f64 = fed.iter().map(|i| asks[*i]).sum();
        let share = if asked > has { has / asked } else { 1.0 };
        for i in fed {
            let passed = asks[i] * share;
            has -= passed;
            self.hand_down(i, levels[i] + passed, asks, wants, levels, drunk);
        }
        levels[t] = has.clamp(0.0, Self::m3(self.capacity_steps[t]));
    }

    /// The naive model: levels by tank at each hour's end, and what was short by tank in all.
    fn naive(&self) -> (Vec<Vec<f64>>, Vec<f64>) {
        let n = self.capacity_steps.len();
        let mut levels: Vec<f64> = self.capacity_steps.iter().map(|steps| Self::m3(*steps)).collect();
        let (mut owed, mut short, mut all) = (vec![0.0; n], vec![0.0; n], Vec::new());
        for h in 0..24 * DAYS {
            let mut wants = owed.clone();
            for (tank, hour, steps) in &self.herds {
                if h % 24 == *hour {
                    wants[*tank] += Self::m3(*steps);
                }
            }
            let asks: Vec<f64> = (0..n).map(|t| self.asks(t, &levels, &wants)).collect();
            let mut drunk = vec![0.0; n];
            for t in (0..n).filter(|t| self.from[*t].is_none()) {
                let has = levels[t];
                self.hand_down(t, has, &asks, &wants, &mut levels, &mut drunk);
            }
            for t in 0..n {
                owed[t] = wants[t] - drunk[t];
                if h % 24 == 23 {
                    short[t] += owed[t];
                    owed[t] = 0.0;
                }
            }
            all.push(levels.clone());
        }
        (all, short)
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Tanks, herds and springs drawn at random against a naive model written the other way round: from each tank downward, in plain
    /// numbers. Every level agrees within the grid's steps, every herd's day adds up exactly.
    #[test]
    fn trees_against_a_naive_model(drawn in drawn()) {
        let run = run(&drawn.plan(), DAYS);
        let (levels, short) = drawn.naive();
        let n = drawn.capacity_steps.len();
        // Shares are rounded down to the grid in each hour.
        let slack = dryspell::grid::STEP_M3 * (8 * n * 24 * DAYS) as f64;
        for (h, at) in levels.iter().enumerate() {
            for (t, level) in at.iter().enumerate() {
                let found = if n == 1 { run.hours[h].level_m3[0].max(0.0) } else { run.tanks[t].level_m3[h] };
                prop_assert!((found - level).abs() <= slack, "hour {h}, tank {t}: {found} for {level}");
            }
        }
        prop_assert!((run.short_m3() - short.iter().sum::<f64>()).abs() <= slack);
        for book in run.herds.as_ref().unwrap().iter() {
            for day in &book.days {
                prop_assert!(day.demand_m3 - day.drunk_m3 - day.short_m3() == 0.0);
                prop_assert!(day.short_m3() >= 0.0 && day.short_m3() <= day.demand_m3);
            }
        }
        for tank in run.tanks.iter() {
            prop_assert!(tank.residual() <= 1e-9);
            prop_assert!(tank.level_m3.iter().all(|m3| (0.0..=tank.capacity_m3 + 1e-6).contains(m3)));
        }
    }
}

/// Hydrants, a garden, wildlife, hauled water, frost and rain at tanks other than the first: every ledger closes, each tank pays for its own.
#[test]
fn everything_at_another_tank() {
    let mut plan = demo("three_tanks", &[]);
    let record = year();
    plan.backup = Some(Backup { tank: Some("ridge".into()), ..Backup::flow("engine", 0.3, (1.0, 4.0)) });
    plan.tank = plan.tank.resized(3.0);
    plan.draw.groups.push(Group {
        kind: GroupKind::Extra,
        tank: Some("yard".into()),
        ..herd("deer", 0.2, &[(5, 1.0)], None)
    });
    plan.other_tanks[0].leak_m3_per_h = 0.001;
    plan.other_tanks[1].open_surface_m2 = 4.0;
    plan.draw.groups[0].count *= 2.0;
    let run = simulate(&plan, &record).unwrap();
    assert!(run.residual() <= 1e-9);
    let named = |name: &str| run.tanks.iter().find(|tank| tank.name == name).unwrap();
    assert!(named("yard").leaked_m3 > 8.0 && named("ridge").leaked_m3 == 0.0);
    assert!(named("ridge").evaporated_m3 > 0.1 && named("yard").evaporated_m3 == 0.0);
    let with = run.backup.as_ref().unwrap();
    assert!(with.brought_m3 > 0.0 && with.short_m3 < run.short_m3());
    // What the hydrant's herd lacks is booked there.
    assert!(run.delivery.as_ref().unwrap().hydrants[0].requested_m3.iter().sum::<f64>() > 0.0);
    assert!(run.outcome.counts.shortfall_days > 0);
}
