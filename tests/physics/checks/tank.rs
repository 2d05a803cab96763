//! Storage, shortfall and autonomy on inflow that can be worked by hand.

use super::{Evaluator, Row};
use dryspell::draw::Carry;
use dryspell::reliability::autonomy::{Autonomy, Days};
use dryspell::reliability::storage::needed;
use dryspell::tank::Settings;
use dryspell::tank::ledger::{Flows, Hour, Sink, Tanks, Totals, run};

pub const EVALUATORS: &[(&str, Evaluator)] = &[
    ("tank.storage_needed_m3", |row| {
        let q = row.numbers("q");
        needed(&Flows::lossless(&q, &vec![row.number("r"); q.len()]), row.number("wraps") > 0.0)
            .storage_m3
            .unwrap()
    }),
    ("tank.spilled_m3", |row| cycles(row).0.spilled_m3[0]),
    ("tank.short_m3", |row| cycles(row).0.short_m3[0]),
    ("tank.end_m3", |row| cycles(row).1),
    ("tank.square_storage_m3", |row| needed(&square(row), false).storage_m3.unwrap()),
    ("tank.square_short_hours", |row| square_run(row).0),
    ("tank.square_short_days", |row| square_run(row).1),
    ("tank.square_short_m3", |row| square_run(row).2),
    ("tank.square_autonomy_days", |row| {
        let flows = Flows::lossless(&[0.0; 8760], &[1.0; 8760]);
        lasts(&flows, row.number("capacity"))
    }),
    ("tank.autonomy_even_days", |row| {
        let flows = Flows::lossless(&[0.0; 8760], &[row.number("daily") / 32.0 * 32.0 / 24.0; 8760]);
        lasts(&flows, row.number("capacity"))
    }),
];

fn lasts(flows: &Flows, level_m3: f64) -> f64 {
    match Autonomy::new(flows, true).from(0, level_m3) {
        Days::Lasts(days) => days,
        other => panic!("{other:?}"),
    }
}

/// Books each hour's lack at once, so that an hour is a period of the textbook's.
fn by_the_hour(capacity_m3: f64) -> Settings {
    Settings { carry: Carry::None, ..Settings::open("main", capacity_m3) }
}

/// The nine periods, repeated, padded with idle hours to whole days.
fn cycles(row: &Row) -> (Totals<1>, f64) {
    let q = row.numbers("q");
    let mut available = Vec::new();
    for _ in 0..row.number("cycles") as usize {
        available.extend(&q);
    }
    let mut requested = vec![row.number("r"); available.len()];
    let whole = available.len().next_multiple_of(24);
    available.resize(whole, 0.0);
    requested.resize(whole, 0.0);
    let flows = Flows::lossless(&available, &requested);
    let tanks = Tanks::new([&by_the_hour(row.number("capacity"))]);
    let mut state = tanks.full();
    let totals = run(&tanks, &flows, 0..whole, &mut state, &mut dryspell::tank::ledger::NoSink);
    (totals, state.level_m3[0])
}

/// Ten days of 3 m³ an hour from 08 to 16 h but on the dry days, and 1 m³ requested each hour.
fn square(row: &Row) -> Flows {
    let dry: Vec<usize> =
        row.text("dry").split(',').filter(|t| !t.is_empty()).map(|t| t.parse().unwrap()).collect();
    let available: Vec<f64> = (0..240)
        .map(|h| if (8..16).contains(&(h % 24)) && !dry.contains(&(h / 24)) { 3.0 } else { 0.0 })
        .collect();
    Flows::lossless(&available, &[1.0; 240])
}

/// Short hours, days with a short hour, and the volume short.
fn square_run(row: &Row) -> (f64, f64, f64) {
    #[derive(Default)]
    struct Short {
        hours: f64,
        days: std::collections::BTreeSet<usize>,
    }
    impl Sink<1> for Short {
        fn hour(&mut self, index: usize, hour: &Hour<1>) {
            if hour.short_m3[0] > 0.0 {
                self.hours += 1.0;
                self.days.insert(index / 24);
            }
        }
    }
    let flows = square(row);
    let tanks = Tanks::new([&by_the_hour(row.number("capacity"))]);
    let mut short = Short::default();
    let totals = run(&tanks, &flows, 0..240, &mut tanks.full(), &mut short);
    (short.hours, short.days.len() as f64, totals.short_m3[0])
}
