//! Draws schemes and relations, and counts them.
//!
//! `DRYSPELL_WHOLE_SCHEMES` says how many schemes (10), `DRYSPELL_WHOLE_SEED` from which seed (1), `DRYSPELL_WHOLE_MINUTES` for
//! how long instead, `DRYSPELL_WHOLE_ONLY` names one relation. A failure names seed and number: `DRYSPELL_WHOLE_NUMBER` runs
//! that one scheme with every relation and prints its text.

use std::collections::BTreeMap;
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

use crate::case::Bench;
use crate::random::Random;
use crate::relations::{Outcome, RELATIONS};
use crate::schemes::draft::Units;

/// Relations that each scheme draws.
const EACH: usize = 5;

fn setting(name: &str) -> Option<u64> {
    std::env::var(format!("DRYSPELL_WHOLE_{name}")).ok().map(|text| text.parse().unwrap())
}

#[derive(Default)]
struct Tally {
    schemes: u64,
    refused: BTreeMap<String, u64>,
    held: BTreeMap<&'static str, u64>,
    took: BTreeMap<&'static str, Duration>,
    failed: Vec<String>,
}

fn one(bench: &Bench, seed: u64, number: u64, all: bool, tally: &Mutex<Tally>) {
    let draft = crate::schemes::draw(&bench.pool, seed, number);
    let case = match bench.run(&draft, Units::Si) {
        Ok(case) => case,
        Err(faults) => {
            *tally.lock().unwrap().refused.entry(crate::case::about(&faults)).or_default() += 1;
            return;
        }
    };
    tally.lock().unwrap().schemes += 1;
    let only = std::env::var("DRYSPELL_WHOLE_ONLY").ok();
    let mut r = Random::new(seed ^ 0x5eed, number);
    let mut order: Vec<usize> = (0..RELATIONS.len()).collect();
    r.shuffle(&mut order);
    let mut drawn = 0;
    for relation in order.into_iter().map(|i| &RELATIONS[i]) {
        if only.as_deref().is_some_and(|name| name != relation.name) || (drawn == EACH && !all) {
            continue;
        }
        let begun = Instant::now();
        let outcome = (relation.holds)(&case, &mut r, bench);
        let mut tally = tally.lock().unwrap();
        *tally.took.entry(relation.name).or_default() += begun.elapsed();
        match outcome {
            Outcome::Held => {
                drawn += 1;
                *tally.held.entry(relation.name).or_default() += 1;
            }
            Outcome::NotHere => {}
            Outcome::Failed(why) => {
                drawn += 1;
                let failure = format!("{}: seed {seed}, number {number}: {why}", relation.name);
                println!("FAILED {failure}");
                tally.failed.push(failure);
            }
        }
    }
}

#[test]
fn relations_hold_between_runs_of_random_schemes() {
    let seed = setting("SEED").unwrap_or(1);
    let until = setting("MINUTES").map(|m| Instant::now() + Duration::from_secs(60 * m));
    let schemes = setting("SCHEMES").unwrap_or(if until.is_some() { u64::MAX } else { 10 });
    let bench = Bench::new();
    let tally = Mutex::new(Tally::default());
    if let Some(number) = setting("NUMBER") {
        println!("{}", crate::schemes::draw(&bench.pool, seed, number).text(Units::Si));
        one(&bench, seed, number, true, &tally);
    } else {
        let next = AtomicU64::new(0);
        let work = || {
            while tally.lock().unwrap().schemes < schemes && until.is_none_or(|end| Instant::now() < end) {
                one(&bench, seed, next.fetch_add(1, Ordering::Relaxed), false, &tally);
            }
        };
        std::thread::scope(|scope| (0..2).for_each(|_| drop(scope.spawn(work))));
    }
    let tally = tally.into_inner().unwrap();
    println!("{} schemes, {} refused", tally.schemes, tally.refused.values().sum::<u64>());
    for (fault, times) in &tally.refused {
        println!("  refused {times:4} × {fault}");
    }
    for relation in RELATIONS {
        let held = tally.held.get(relation.name).unwrap_or(&0);
        let took = tally.took.get(relation.name).map_or(0.0, Duration::as_secs_f64);
        println!("{:40} {held:5} held {took:8.1} s", relation.name);
    }
    assert!(tally.failed.is_empty(), "{} relations failed", tally.failed.len());
    let refused: u64 = tally.refused.values().sum();
    assert!(refused <= 10 + tally.schemes, "{refused} schemes refused, {} run", tally.schemes);
}
