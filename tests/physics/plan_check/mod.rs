//! A plan that was made or changed in code: no number of it may be out of range or no number, and no column short.

mod numbers;

use dryspell::array::incidence::Glass;
use dryspell::array::soiling::{Dust, Soiling};
use dryspell::array::{self, Module, Terminals};
use dryspell::coupling::{self, Efficiency, Tracking};
use dryspell::draw;
use dryspell::frost;
use dryspell::inflow::{self, Catchment, Kind, Steady, WhenFull};
use dryspell::plan::Plan;
use dryspell::scheme::Scheme;
use dryspell::simulate::simulate;

use crate::support::data;
use crate::tmy3;
use numbers::numbers;

fn plan(file: &str) -> Plan {
    let text = std::fs::read_to_string(data(&format!("demo/{file}"))).unwrap();
    Scheme::from_toml(&text).unwrap_or_else(|f| panic!("{file}: {}", f[0])).plan()
}

/// The shipped schemes, and the settings that none of them has.
fn plans() -> Vec<(&'static str, Plan)> {
    let mut out: Vec<_> =
        ["scheme.toml", "brushed.toml", "five_herds.toml", "rounds.toml", "roomy.toml", "three_tanks.toml"]
            .map(|f| (f, plan(f)))
            .into();
    let mut tracker = plan("scheme.toml");
    tracker.supply.coupling = coupling::Settings::Tracking(Tracking {
        efficiency: Efficiency::ByLoad(vec![(0.1, 0.8), (0.5, 0.96), (1.0, 0.94)]),
        rated_power_w: Some(500.0),
        window_v: Some((20.0, 150.0)),
        highest_voltage_v: Some(400.0),
        record_low_degc: Some(-30.0),
    });
    tracker.array.arrays[0].soiling =
        Soiling::Rain(Dust { per_day: 0.001, washed_by_mm: 6.0, damp_days: 14 });
    tracker.array.arrays[0].glass = Glass::Ashrae { coefficient: 0.05 };
    out.push(("a tracker with all its limits", tracker));
    for (name, pump) in crate::couplings::pumps() {
        let mut other = plan("brushed.toml");
        other.supply.pump = pump;
        other.supply.coupling = coupling::Settings::tracking(0.97);
        other.array.arrays[0].module = Module::Parameters(crate::checks::array::module("m36"));
        out.push((name, other));
    }
    out
}

/// A plan with an inflow of each kind that has numbers.
fn with_inflows() -> (&'static str, Plan) {
    let mut plan = plan("scheme.toml");
    plan.tank.open_surface_m2 = 6.0;
    let tank = plan.tank.name.clone();
    let of = |name: &str, kind: Kind| inflow::Settings {
        name: name.into(),
        kind,
        tank: tank.clone(),
        when_full: WhenFull::Refused,
    };
    plan.inflows = vec![
        of("spring", Kind::Steady(Steady::of(0.1))),
        of("roof", Kind::Rain(Catchment { area_m2: 100.0, runoff_coefficient: 0.9, first_flush_mm: 1.0 })),
        inflow::Settings::open_water(tank.clone(), 6.0),
    ];
    ("inflows", plan)
}

#[test]
fn any_number_of_an_inflow_that_is_none_or_endless_is_refused() {
    let (_, plan) = with_inflows();
    let check = |plan: &Plan| -> Vec<String> {
        let faults = plan.check().err().unwrap_or_default();
        faults.iter().map(ToString::to_string).collect()
    };
    assert_eq!(check(&plan), Vec::<String>::new());
    let count = numbers(&mut plan.clone()).len();
    // Twelve months, three of a roof, one of open water.
    assert_eq!(count, numbers(&mut self::plan("scheme.toml")).len() + 16);
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1e30] {
        for i in 0..count {
            let mut other = plan.clone();
            *numbers(&mut other)[i].1 = bad;
            assert!(!check(&other).is_empty(), "{} = {bad}", numbers(&mut other)[i].0);
        }
    }
}

#[test]
fn the_walk_over_a_plan_meets_every_number_of_it() {
    const MARK: f64 = 7.25e77;
    for (name, mut plan) in plans().into_iter().chain([with_inflows()]) {
        // A profile is checked when it is made and cannot be altered.
        plan.sun.horizon = None;
        for (_, value) in numbers(&mut plan) {
            *value = MARK;
        }
        // What a class of animals is made of is no setting.
        let mut text = String::new();
        let mut rest = format!("{plan:?}");
        while let Some(at) = rest.find("class: Class {") {
            text.push_str(&rest[..at]);
            let mut depth = 0;
            let end = rest[at..].char_indices().find(|(_, c)| {
                depth += i32::from(*c == '{') - i32::from(*c == '}');
                *c == '}' && depth == 0
            });
            rest = rest[at + end.unwrap().0 + 1..].to_owned();
        }
        text.push_str(&rest);
        let missed: Vec<&str> = text
            .split([' ', ',', '(', ')', '[', ']'])
            .filter(|word| word.contains('.') && word.parse::<f64>().is_ok_and(|v| v != MARK))
            .collect();
        assert!(missed.is_empty(), "{name}: {missed:?} in {text}");
    }
}

#[test]
fn a_plan_with_any_number_that_is_none_or_endless_is_refused() {
    let mut accepted = Vec::new();
    for (name, plan) in plans() {
        assert_eq!(plan.check(), Ok(()), "{name}");
        let count = numbers(&mut plan.clone()).len();
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1e30] {
            for i in 0..count {
                let mut other = plan.clone();
                let field = {
                    let mut numbers = numbers(&mut other);
                    *numbers[i].1 = bad;
                    numbers[i].0.clone()
                };
                let faults = other.check().err().unwrap_or_default();
                if faults.is_empty() {
                    accepted.push(format!("{name}: {field} = {bad}"));
                }
                for fault in faults {
                    assert!(fault.location.key.is_some() && !fault.to_string().contains('\n'), "{fault}");
                }
            }
        }
    }
    assert!(accepted.is_empty(), "accepted: {accepted:#?}");
}

#[test]
fn a_plan_with_values_that_no_scheme_may_have_is_refused() {
    let refused = |what: &str, change: fn(&mut Plan)| {
        let mut plan = plan("scheme.toml");
        change(&mut plan);
        let keys: Vec<_> =
            plan.check().err().unwrap_or_default().into_iter().filter_map(|f| f.location.key).collect();
        assert!(keys.iter().any(|key| key == what), "{what}: {keys:?}");
        let record = tmy3::read(&data("weather/723170TYA.CSV"));
        assert!(simulate(&plan, &record).is_err(), "{what}");
    };
    refused("array", |p| p.array.arrays.clear());
    refused("array.shed.tilt", |p| p.array.arrays[0].tilt_deg = 91.0);
    refused("array.shed.series", |p| p.array.arrays[0].series = 0);
    refused("array.shed.slope_strings", |p| p.array.arrays[0].slope_strings = 0);
    refused("snow.swept_at", |p| p.array.snow.swept_at_h = 25.0);
    refused("snow.covered_days", |p| p.array.snow.covered_days[3] = 32);
    refused("site.albedo", |p| p.sun.albedo = 1.5);
    refused("tank.main.leak", |p| p.tank.leak_m3_per_h = -1.0);
    refused("tank.main.capacity", |p| p.tank.capacity_m3 = 0.0);
    refused("tank.main.float_stop", |p| p.tank.float_stop_m3 = Some(2.0 * p.tank.capacity_m3));
    refused("tank.main.float_start", |p| {
        p.tank.float_stop_m3 = Some(0.5 * p.tank.capacity_m3);
        p.tank.float_start_m3 = Some(0.6 * p.tank.capacity_m3);
    });
    refused("rules.tolerance", |p| p.tank.tolerance = 1.1);
    refused("rules.tank_year_starts", |p| p.tank.year_starts_in_month = Some(13));
    refused("coupling.tracker_inputs", |p| {
        let mut second = p.array.arrays[0].clone();
        second.name = "second".into();
        p.array.arrays.push(second);
        p.array.terminals = Terminals::Separate;
        p.supply.coupling = coupling::Settings::Direct;
    });
}

#[test]
fn a_record_with_a_short_column_is_a_fault() {
    let with_garden = plan("rounds.toml");
    let plan = plan("scheme.toml");
    let record = tmy3::read(&data("weather/723170TYA.CSV"));
    /// A column of a record, where it has it.
    type Column = fn(&mut dryspell::record::Record) -> Option<&mut Vec<f64>>;
    let columns: [Column; 10] = [
        |r| Some(&mut r.ghi_w_per_m2),
        |r| Some(&mut r.air_degc),
        |r| r.dni_w_per_m2.as_mut(),
        |r| r.dhi_w_per_m2.as_mut(),
        |r| Some(r.wind_m_per_s.get_or_insert_with(|| vec![1.0; 8760])),
        |r| Some(r.albedo.get_or_insert_with(|| vec![0.2; 8760])),
        |r| Some(r.snow_depth_m.get_or_insert_with(|| vec![0.0; 8760])),
        |r| Some(r.precipitation_mm.get_or_insert_with(|| vec![0.0; 8760])),
        |r| Some(r.relative_humidity.get_or_insert_with(|| vec![0.5; 8760])),
        |r| Some(r.pressure_pa.get_or_insert_with(|| vec![1e5; 8760])),
    ];
    for column in columns {
        let mut short = record.clone();
        let Some(values) = column(&mut short) else { continue };
        values.pop();
        let faults = simulate(&plan, &short).unwrap_err();
        assert!(faults[0].to_string().contains("8759 values"), "{}", faults[0]);
        // So does each stage that reads the record, by itself.
        let whole = dryspell::sun::sky(&plan.sun, &record).unwrap();
        let settings = with_garden.frost.as_ref().unwrap();
        for fault in [
            dryspell::sun::sky(&plan.sun, &short).unwrap_err(),
            array::array(&plan.array, &whole, &plan.sun, &short).unwrap_err(),
            draw::garden::garden(&with_garden.draw.gardens, &short).unwrap_err()[0].clone(),
            frost::columns(settings, &short).unwrap_err()[0].clone(),
        ] {
            assert!(fault.to_string().contains("8759 values"), "{fault}");
        }
    }
}
