//! The memory of a run's stages: it never gives one record's columns for another's.

use dryspell::edition::{Edition, EditionRef};
use dryspell::plan::Plan;
use dryspell::record::Record;
use dryspell::scheme::{STARTER, Scheme};
use dryspell::simulate::{Memo, Upstream, at_tank};

use crate::support::data;
use crate::tmy3;

fn records() -> [Record; 2] {
    let clear = tmy3::read(&data("weather/723170TYA.CSV"));
    let mut dull = clear.clone();
    dull.ghi_w_per_m2.iter_mut().for_each(|w| *w *= 0.5);
    dull.dni_w_per_m2 = None;
    dull.dhi_w_per_m2 = None;
    dull.air_degc.iter_mut().for_each(|t| *t += 4.0);
    [clear, dull]
}

fn plan() -> Plan {
    Scheme::from_toml(STARTER).unwrap_or_else(|f| panic!("{}", f[0])).plan()
}

/// Every column that a record reaches.
fn same(a: &Upstream, b: &Upstream) -> bool {
    a.sky == b.sky
        && a.array == b.array
        && a.frozen == b.frozen
        && a.supply == b.supply
        && a.draw == b.draw
        && a.garden == b.garden
        && a.requests == b.requests
        && a.losses == b.losses
        && a.storage == b.storage
        && a.air_degc == b.air_degc
        && a.calendar == b.calendar
}

#[test]
fn one_memory_keeps_two_records_apart() {
    let [clear, dull] = records();
    let plan = plan();
    let alone = |record: &Record| Memo::default().upstream(&plan, EditionRef::new(record)).unwrap();
    let (of_clear, of_dull) = (alone(&clear), alone(&dull));
    assert!(!same(&of_clear, &of_dull));
    let [clear, dull] = [clear, dull].map(Edition::new);
    let mut memo = Memo::default();
    for (record, want) in [(&clear, &of_clear), (&dull, &of_dull), (&dull, &of_dull), (&clear, &of_clear)] {
        let found = memo.upstream(&plan, record).unwrap();
        assert!(same(&found, want));
        let (found, want) = (at_tank(&found, &plan).unwrap(), at_tank(want, &plan).unwrap());
        assert_eq!(found.outcome.counts, want.outcome.counts);
        assert_eq!(found.full_tank, want.full_tank);
    }
}

#[test]
fn yearly_counts_from_one_memory_keep_two_records_apart() {
    let [clear, dull] = records();
    let plan = plan();
    let mut memo = Memo::default();
    let [of_clear, of_dull] =
        [&clear, &dull].map(|record| memo.driven(&plan, EditionRef::new(record)).unwrap());
    let fresh = Memo::default().driven(&plan, EditionRef::new(&dull)).unwrap();
    assert!(same(&of_dull, &fresh) && !same(&of_dull, &of_clear));
    // What a whole run asks besides is not left out because the counts alone were asked for before.
    let whole = memo.upstream(&plan, EditionRef::new(&dull)).unwrap();
    assert!(same(&whole, &fresh) && !whole.variants.covered.is_empty() && fresh.variants.covered.is_empty());
}

#[test]
fn one_record_is_worked_out_once() {
    let [clear, _] = records();
    let record = Edition::new(clear);
    let mut memo = Memo::default();
    let mut plan = plan();
    let first = memo.upstream(&plan, &record).unwrap();
    plan.tank.capacity_m3 *= 2.0;
    let second = memo.upstream(&plan, &record.clone()).unwrap();
    assert!(std::sync::Arc::ptr_eq(&first.sky, &second.sky));
    assert!(std::sync::Arc::ptr_eq(&first.flows, &second.flows));
    assert!(std::sync::Arc::ptr_eq(&first.lasting, &second.lasting));
    assert!(std::sync::Arc::ptr_eq(&first.variants, &second.variants));
}
