//! The steady year of many tanks, as [`crate::reliability::year::settle`] defines it.

use super::follow::follow;
use super::{Course, Lane, arrange, block_of, blocks, run};
use crate::reliability::year::{self, MOST_PASSES, Steady};
use crate::tank::ledger::{State, Tanks};

/// Repeats a one-year record, each tank starting full, until its level and float state repeat; only tanks that have not
/// settled go on. The rule, and what becomes of tanks that never settle, are those of [`year::settle`].
///
/// # Example
/// ```
/// use dryspell::reliability::demand::Demand;
/// use dryspell::reliability::year;
/// use dryspell::{lanes, tank, tank::ledger};
/// let flows = ledger::Flows::lossless(&[0.125; 24], &[0.25; 24]);
/// let demand = Demand::at_tank(&flows.requested_m3);
/// let course = lanes::Course::new(&flows, &demand, 0.01);
/// let tanks = [5.0, 10.0].map(|m3| ledger::Tanks::new([&tank::Settings::open("main", m3)]));
/// let steady = lanes::settle(&course, &tanks);
/// // Three cubic metres a day are missing: the tank of 5 m³ is empty after two days, that of 10 m³ after four.
/// assert_eq!([steady[0].passes, steady[1].passes], [3, 5]);
/// assert_eq!(steady[1], year::settle(&tanks[1], &flows));
/// ```
#[must_use]
pub fn settle(course: &Course, tanks: &[Tanks<1>]) -> Vec<Steady> {
    search(course, tanks).into_iter().map(|found| found.steady).collect()
}

/// The steady year of each tank, and what it did in the pass that counts, over the record from its first day.
#[must_use]
pub fn steady_year(course: &Course, tanks: &[Tanks<1>]) -> Vec<(Steady, Lane)> {
    let found = search(course, tanks);
    let missing = || found.iter().zip(tanks).filter(|(found, _)| found.lane.is_none());
    let again: Vec<Tanks<1>> = missing().map(|(_, tank)| *tank).collect();
    let from: Vec<State<1>> = missing().map(|(found, _)| found.steady.start).collect();
    let days = 0..course.days();
    let mut rest = run(course, &again, &from, std::slice::from_ref(&days)).into_iter();
    let both = found.iter().map(|found| Some((found.steady, found.lane.or_else(|| rest.next())?)));
    both.flatten().collect()
}

/// A tank on its way to the steady year.
#[derive(Debug, Clone, Copy)]
struct LaneYear {
    /// What is known so far: not settled, the driest pass.
    steady: Steady,
    most_short_m3: f64,
    /// What it did in the pass that counts, where that was worked out on the way.
    lane: Option<Lane>,
}

fn search(course: &Course, tanks: &[Tanks<1>]) -> Vec<LaneYear> {
    let mut found: Vec<LaneYear> = tanks
        .iter()
        .map(|tank| LaneYear {
            steady: Steady { start: tank.full(), passes: MOST_PASSES, settled: false },
            most_short_m3: -1.0,
            lane: None,
        })
        .collect();
    // The tanks still going on, and where each is.
    let mut on: Vec<usize> = (0..tanks.len()).collect();
    let mut starts: Vec<State<1>> = tanks.iter().map(Tanks::full).collect();
    let days = 0..course.days();
    for pass in 1..=MOST_PASSES {
        let here: Vec<Tanks<1>> = on.iter().map(|i| tanks[*i]).collect();
        let (order, alone) = arrange(course, &here, &starts);
        for place in alone {
            found[on[place]].steady = year::settle(&here[place], course.flows);
        }
        // Hardly any tank ends its first pass as full as it began: it is not worth counting.
        let count = pass > 1;
        let mut next = Vec::new();
        for group in blocks(&order) {
            let (Some(mut block), Some(ready)) = (block_of(course, group), &course.days) else { continue };
            follow(&mut block, ready, std::slice::from_ref(&days), count);
            for (lane, (place, _)) in group.iter().enumerate() {
                let (index, start, end) = (on[*place], starts[*place], block.state(lane));
                let short_m3 = block.short_m3(lane);
                let found = &mut found[index];
                if end == start {
                    found.steady = Steady { start, passes: pass, settled: true };
                    found.lane = count.then(|| block.lane(lane, tanks[index].float[0], course));
                    continue;
                }
                if short_m3 > found.most_short_m3 {
                    found.most_short_m3 = short_m3;
                    found.steady.start = start;
                }
                next.push((index, end));
            }
        }
        if next.is_empty() {
            break;
        }
        (on, starts) = next.into_iter().unzip();
    }
    found
}
