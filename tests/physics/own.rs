//! A pump, and whole columns, of the user's own.

use std::sync::Arc;

use dryspell::calendar::Calendar;
use dryspell::edition::Edition;
use dryspell::plan::Plan;
use dryspell::pump::{self, FlowLaw};
use dryspell::record::{Record, Source};
use dryspell::results::{COLUMNS, Figure};
use dryspell::scheme::{STARTER, Scheme};
use dryspell::simulate::{Memo, Run, simulate};
use dryspell::{coupling, pipe, supply, well};
use proptest::prelude::*;

use crate::support::data;
use crate::tmy3;

/// `Q = a P − b H`, not below nothing.
#[derive(Debug)]
struct Straight {
    per_w: f64,
    per_m: f64,
}

impl FlowLaw for Straight {
    fn flow_m3_per_h(&self, power_w: f64, head_m: f64) -> f64 {
        (self.per_w * power_w - self.per_m * head_m).max(0.0)
    }

    fn highest_head_m(&self) -> f64 {
        500.0
    }

    fn highest_power_w(&self) -> f64 {
        400.0
    }
}

fn settings(pump: pump::Settings, static_m: f64, capacity: f64) -> supply::Settings {
    supply::Settings {
        pump,
        coupling: coupling::Settings::tracking(1.0),
        well: well::Settings {
            static_level_m: [static_m; 12],
            specific_capacity_m3_per_h_m: Some(capacity),
            ..well::Settings::default()
        },
        pipe: pipe::Settings { water_degc: 15.0, ..pipe::Settings::default() },
    }
}

proptest! {
    /// Closed form: with `H = z + Q/c` the flow is `(a P − b z)/(1 + b/c)`; more than the highest power changes nothing.
    #[test]
    fn an_own_pump_meets_the_system_where_algebra_says(
        per_w in 0.002..0.02_f64, per_m in 0.0..0.02_f64, static_m in 1.0..40.0_f64, capacity in 0.05..2.0_f64, w in 0.0..600.0_f64,
    ) {
        let own = pump::Settings::own("straight", Straight { per_w, per_m });
        // A head at which nothing flows at full power is refused, as with any pump.
        prop_assume!(per_w * 400.0 - per_m * static_m > 1e-6);
        let system = supply::System::new(&settings(own, static_m, capacity)).unwrap();
        let hour = system.hour(6, w);
        let expected = ((per_w * w.min(400.0) - per_m * static_m) / (1.0 + per_m / capacity)).max(0.0);
        prop_assert!((hour.flow_m3_per_h - expected).abs() < 1e-9, "{} and {expected}", hour.flow_m3_per_h);
    }
}

/// Closed form: with `H = 19 + Q` the highest head of 20 m is met at 1 m³/h, though the law would give 3 there.
#[test]
fn beyond_its_highest_head_an_own_pump_gives_what_the_system_passes_there() {
    #[derive(Debug)]
    struct Short;
    impl FlowLaw for Short {
        fn flow_m3_per_h(&self, _: f64, _: f64) -> f64 {
            3.0
        }
        fn highest_head_m(&self) -> f64 {
            20.0
        }
        fn highest_power_w(&self) -> f64 {
            400.0
        }
    }
    let system = supply::System::new(&settings(pump::Settings::own("short", Short), 19.0, 1.0)).unwrap();
    let flow = system.hour(6, 200.0).flow_m3_per_h;
    assert!((flow - 1.0).abs() < 1e-9, "{flow}");
}

/// A law against its word is refused before the first hour, with the place where it breaks it.
#[test]
fn a_law_that_cannot_be_a_pump_is_refused() {
    #[derive(Debug)]
    struct Wrong(fn(f64, f64) -> f64);
    impl FlowLaw for Wrong {
        fn flow_m3_per_h(&self, power_w: f64, head_m: f64) -> f64 {
            self.0(power_w, head_m)
        }
        fn highest_head_m(&self) -> f64 {
            80.0
        }
        fn highest_power_w(&self) -> f64 {
            400.0
        }
    }
    let refused = |law: fn(f64, f64) -> f64| {
        let pump = pump::Settings::own("mine", Wrong(law));
        supply::System::new(&settings(pump, 20.0, 1.0)).unwrap_err().to_string()
    };
    assert!(refused(|w, m| w * m).contains("pump: mine: flow rises with the head to 5 m"));
    assert!(refused(|w, _| 400.0 - w).contains("flow falls as power rises to 25 W"));
    assert!(refused(|_, m| -m).contains("flow -5 m3/h at 0 W and 5 m"));
    assert!(refused(|_, _| f64::NAN).contains("flow NaN m3/h"));
}

/// The memory knows an own pump by its version: a clone is the same, another with the same law is not.
#[test]
fn an_own_pump_is_equal_to_its_clone_alone() {
    let record = Edition::new(tmy3::read(&data("weather/723170TYA.CSV")));
    let mut plan = Scheme::from_toml(STARTER).unwrap().plan();
    let law = || pump::Settings::own("straight", Straight { per_w: 0.01, per_m: 0.01 });
    plan.supply.pump = law();
    let mut memo = Memo::default();
    let first = memo.upstream(&plan, &record).unwrap();
    let again = memo.upstream(&plan.clone(), &record).unwrap();
    assert!(Arc::ptr_eq(&first.supply, &again.supply));
    plan.supply.pump = law();
    let other = memo.upstream(&plan, &record).unwrap();
    assert!(!Arc::ptr_eq(&first.supply, &other.supply));
    assert_eq!(first.supply, other.supply);
}

fn starter() -> (Plan, Record) {
    (Scheme::from_toml(STARTER).unwrap().plan(), tmy3::read(&data("weather/723170TYA.CSV")))
}

/// What a run made, handed back as columns of one's own, gives the same tank to the last bit.
#[test]
fn the_columns_of_a_run_handed_back_give_the_same_tank() {
    let (plan, record) = starter();
    let run = simulate(&plan, &record).unwrap();
    let (available, demand) = (run.supply.available_m3.clone(), run.draw.demand_m3.clone());
    let own = Plan::of_columns(available, demand, plan.tank.clone());
    let again = simulate(&own, &record).unwrap();
    let tank =
        |run: &Run| (run.hours.clone(), run.outcome.counts, run.outcome.ledgers, run.full_tank, run.storage);
    assert_eq!(tank(&run), tank(&again));
    assert!(again.outcome.ledgers.pumped_m3 > 100.0);

    // Demand alone: the pump still lifts.
    let mut herdless = plan.clone();
    herdless.draw.groups.clear();
    herdless.columns.demand_m3 = own.columns.demand_m3.clone();
    assert_eq!(tank(&simulate(&herdless, &record).unwrap()), tank(&run));
    // Beside a herd it contradicts.
    herdless.draw = plan.draw.clone();
    let faults = simulate(&herdless, &record).unwrap_err();
    assert!(faults.to_string().starts_with("columns.demand_m3: a column of demand beside herds"), "{faults}");
}

#[test]
fn a_column_that_does_not_fit_is_refused() {
    let (plan, record) = starter();
    let of = |hours: usize, m3: f64| {
        let own = Plan::of_columns(vec![m3; hours], vec![0.1; 8760], plan.tank.clone());
        simulate(&own, &record).unwrap_err().to_string()
    };
    assert!(
        of(24, 0.1).starts_with("columns.available_m3: 24 values; 8760 values of 0 or more"),
        "{}",
        of(24, 0.1)
    );
    for wrong in [-1.0, f64::NAN, f64::INFINITY] {
        assert!(of(8760, wrong).starts_with("columns.available_m3: "), "{wrong}");
    }
}

/// A record cut into days of unlike number and joined again is the same record.
#[test]
fn a_record_in_pieces_is_joined_to_what_it_was() {
    let (_, whole) = starter();
    let piece = |days: std::ops::Range<usize>| {
        let hours = days.start * 24..days.end * 24;
        let cut = |column: &Option<Vec<f64>>| column.as_ref().map(|c| c[hours.clone()].to_vec());
        Record {
            calendar: Calendar::new(whole.calendar.days()[days].to_vec(), whole.calendar.start_minute()),
            ghi_w_per_m2: whole.ghi_w_per_m2[hours.clone()].to_vec(),
            air_degc: whole.air_degc[hours.clone()].to_vec(),
            dni_w_per_m2: cut(&whole.dni_w_per_m2),
            dhi_w_per_m2: cut(&whole.dhi_w_per_m2),
            wind_m_per_s: cut(&whole.wind_m_per_s),
            albedo: cut(&whole.albedo),
            snow_depth_m: cut(&whole.snow_depth_m),
            precipitation_mm: cut(&whole.precipitation_mm),
            relative_humidity: cut(&whole.relative_humidity),
            pressure_pa: cut(&whole.pressure_pa),
            parts: Vec::new(),
            source: Source::default(),
            ..whole.clone()
        }
    };
    let joined = Record::join(&[piece(0..1), piece(1..200), piece(200..365)]).unwrap();
    assert_eq!(joined, Record { source: Source::default(), ..whole.clone() });
    let mut bare = piece(1..2);
    bare.dni_w_per_m2 = None;
    assert_eq!(Record::join(&[piece(0..1), bare]).unwrap().dni_w_per_m2, None);
    let mut elsewhere = piece(1..2);
    elsewhere.place.latitude_deg += 1.0;
    let fault = Record::join(&[piece(0..1), elsewhere]).unwrap_err().to_string();
    assert!(fault.contains("record 2 is of another place"), "{fault}");
    assert!(Record::join(&[]).is_err());
}

/// A tank that is just empty owes nothing, and nothing has no sign.
#[test]
fn no_hour_of_an_empty_tank_holds_a_negative_zero() {
    let (plan, record) = starter();
    let hours = record.hours();
    let demand = (0..hours).map(|h| if h % 24 == 8 { 1.0 } else { 0.0 }).collect();
    let run = simulate(&Plan::of_columns(vec![0.0; hours], demand, plan.tank), &record).unwrap();
    let empty = run.hours.iter().filter(|hour| hour.level_m3[0] == 0.0).count();
    assert!(empty > 1000, "{empty} hours end with nothing there and nothing owed");
    for field in COLUMNS {
        for h in 0..hours {
            if let Figure::Number(x) = (field.get)(&run, h) {
                assert!(x != 0.0 || x.is_sign_positive(), "{} of hour {h} is a negative zero", field.name);
            }
        }
    }
}
