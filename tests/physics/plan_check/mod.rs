//! A plan that was made or changed in code: no number of it may be out of range or no number, and no column short.

use dryspell::array::incidence::Glass;
use dryspell::array::soiling::{Dust, Soiling};
use dryspell::array::{self, ArraySettings, Module, Terminals};
use dryspell::coupling::{self, Booster, Efficiency, Tracking};
use dryspell::delivery::{self, RateLaw};
use dryspell::draw::garden::Growth;
use dryspell::draw::{self, Need};
use dryspell::frost::{self, Drain};
use dryspell::pipe::{self, Run};
use dryspell::plan::Plan;
use dryspell::pump::{self, Motor, PumpEfficiency, RatedCurve, Start};
use dryspell::scheme::Scheme;
use dryspell::simulate::simulate;
use dryspell::{supply, tank, well};

use crate::support::data;
use crate::tmy3;

type Numbers<'a> = Vec<(String, &'a mut f64)>;

fn plan(file: &str) -> Plan {
    let text = std::fs::read_to_string(data(&format!("demo/{file}"))).unwrap();
    Scheme::from_toml(&text).unwrap_or_else(|f| panic!("{file}: {}", f[0])).plan()
}

/// Every number of a plan, to be altered.
fn numbers(plan: &mut Plan) -> Numbers<'_> {
    let mut out: Numbers<'_> = vec![("albedo".into(), &mut plan.sun.albedo)];
    arrays(&mut out, &mut plan.array);
    supply(&mut out, &mut plan.supply);
    draw(&mut out, &mut plan.draw);
    if let Some(settings) = &mut plan.frost {
        frost(&mut out, settings);
    }
    if let Some(settings) = &mut plan.delivery {
        delivery(&mut out, settings);
    }
    let tank::Settings {
        name: _,
        capacity_m3,
        float_stop_m3,
        float_start_m3,
        leak_m3_per_h,
        open_surface_m2,
        garden_reserve_m3,
        carry: _,
        tolerance,
        year_starts_in_month: _,
    } = &mut plan.tank;
    all(&mut out, "float", float_stop_m3.iter_mut().chain(float_start_m3));
    all(&mut out, "tank", [capacity_m3, leak_m3_per_h, open_surface_m2, garden_reserve_m3, tolerance]);
    out
}

fn all<'a>(out: &mut Numbers<'a>, name: &str, values: impl IntoIterator<Item = &'a mut f64>) {
    out.extend(values.into_iter().enumerate().map(|(i, value)| (format!("{name} {i}"), value)));
}

fn arrays<'a>(out: &mut Numbers<'a>, settings: &'a mut array::Settings) {
    for array in &mut settings.arrays {
        one_array(out, array);
    }
    all(out, "swept at", [&mut settings.snow.swept_at_h]);
}

fn one_array<'a>(out: &mut Numbers<'a>, a: &'a mut ArraySettings) {
    all(out, "array", [&mut a.tilt_deg, &mut a.azimuth_deg, &mut a.mismatch, &mut a.cable_ohm]);
    all(out, "faiman", [&mut a.faiman.u0, &mut a.faiman.u1]);
    all(out, "season", a.seasons.iter_mut().map(|s| &mut s.tilt_deg));
    match &mut a.soiling {
        Soiling::Share(share) => all(out, "soiling", [share]),
        Soiling::Rain(Dust { per_day, washed_by_mm, .. }) => all(out, "dust", [per_day, washed_by_mm]),
    }
    if let Glass::Ashrae { coefficient } = &mut a.glass {
        all(out, "glass", [coefficient]);
    }
    match &mut a.module {
        Module::Parameters(m) => all(
            out,
            "parameters",
            [
                &mut m.photocurrent_a,
                &mut m.saturation_current_a,
                &mut m.series_resistance_ohm,
                &mut m.shunt_resistance_ohm,
                &mut m.modified_ideality_v,
                &mut m.isc_temperature_a_per_k,
                &mut m.band_gap_ev,
            ],
        ),
        Module::Datasheet(m) => all(
            out,
            "datasheet",
            [
                &mut m.isc_a,
                &mut m.voc_v,
                &mut m.imp_a,
                &mut m.vmp_v,
                &mut m.isc_temperature_a_per_k,
                &mut m.voc_temperature_v_per_k,
            ],
        ),
    }
}

fn runs<'a>(out: &mut Numbers<'a>, runs: &'a mut [Run]) {
    for run in runs {
        all(out, "run", [&mut run.length_m, &mut run.bore_m, &mut run.roughness_m, &mut run.fittings_k]);
        all(out, "hazen-williams", run.hazen_williams_c.as_mut());
        all(out, "pressure class", run.pressure_class_m.as_mut());
    }
}

fn start<'a>(out: &mut Numbers<'a>, start: &'a mut Start) {
    if let Start::From(from) = start {
        all(out, "start", [from]);
    }
}

fn supply<'a>(out: &mut Numbers<'a>, settings: &'a mut supply::Settings) {
    match &mut settings.pump {
        pump::Settings::Own(_) => {}
        pump::Settings::Duty(t) => {
            for p in &mut t.rows {
                all(out, "duty", [&mut p.head_m, &mut p.power_w, &mut p.flow_m3_per_h]);
            }
            start(out, &mut t.start);
        }
        pump::Settings::Volts(t) => {
            for p in &mut t.rows {
                all(out, "volts", [&mut p.head_m, &mut p.voltage_v, &mut p.flow_m3_per_h, &mut p.current_a]);
            }
            start(out, &mut t.start);
        }
        pump::Settings::Displacement(p) => {
            all(
                out,
                "displacement",
                [
                    &mut p.displacement_m3,
                    &mut p.slip_m3_per_h_m,
                    &mut p.motor.armature_ohm,
                    &mut p.motor.constant_nm_per_a,
                    &mut p.friction_torque_nm,
                    &mut p.breakaway_torque_nm,
                    &mut p.highest_voltage_v,
                    &mut p.highest_head_m,
                ],
            );
        }
        pump::Settings::Centrifugal(p) => {
            all(out, "rated flow", [&mut p.rated_flow_m3_per_h]);
            match &mut p.curve {
                RatedCurve::OnePoint { head_m } => all(out, "rated head", [head_m]),
                RatedCurve::Points(points) => all(out, "curve", points.iter_mut().flat_map(|(q, h)| [q, h])),
            }
            match &mut p.efficiency {
                PumpEfficiency::Best(best) => all(out, "best efficiency", [best]),
                PumpEfficiency::Points(points) => {
                    all(out, "efficiency", points.iter_mut().flat_map(|(q, eta)| [q, eta]));
                }
            }
            match &mut p.motor {
                Motor::Efficiency(eta) => all(out, "motor", [eta]),
                Motor::PermanentMagnet {
                    motor,
                    rated_speed_rad_per_s,
                    friction_torque_nm,
                    breakaway_torque_nm,
                } => all(
                    out,
                    "motor",
                    [
                        &mut motor.armature_ohm,
                        &mut motor.constant_nm_per_a,
                        rated_speed_rad_per_s,
                        friction_torque_nm,
                        breakaway_torque_nm,
                    ],
                ),
            }
        }
    }
    coupling(out, &mut settings.coupling);
    well(out, &mut settings.well);
    let pipe::Settings {
        runs: of_pipe,
        weep_hole,
        inlet_height_m,
        discharge_pressure_m,
        water_degc,
        friction: _,
    } = &mut settings.pipe;
    runs(out, of_pipe);
    all(out, "pipe", [inlet_height_m, discharge_pressure_m, water_degc]);
    if let Some(hole) = weep_hole {
        all(out, "weep hole", [&mut hole.depth_m, &mut hole.diameter_m, &mut hole.discharge_coefficient]);
    }
}

fn coupling<'a>(out: &mut Numbers<'a>, settings: &'a mut coupling::Settings) {
    match settings {
        coupling::Settings::Direct => {}
        coupling::Settings::Booster(Booster { efficiency, bypass: _, current_limit_a }) => {
            all(out, "booster", [efficiency]);
            all(out, "current limit", current_limit_a.as_mut());
        }
        coupling::Settings::Tracking(Tracking {
            efficiency,
            rated_power_w,
            window_v,
            highest_voltage_v,
            record_low_degc,
        }) => {
            match efficiency {
                Efficiency::Constant(eta) => all(out, "efficiency", [eta]),
                Efficiency::ByLoad(rows) => all(out, "by load", rows.iter_mut().flat_map(|(x, y)| [x, y])),
            }
            all(out, "rated power", rated_power_w.as_mut());
            all(out, "window", window_v.iter_mut().flat_map(|(low, high)| [low, high]));
            all(out, "highest voltage", highest_voltage_v.as_mut());
            all(out, "record low", record_low_degc.as_mut());
        }
    }
}

fn well<'a>(out: &mut Numbers<'a>, settings: &'a mut well::Settings) {
    let well::Settings {
        static_level_m,
        specific_capacity_m3_per_h_m,
        well_loss_h2_per_m5,
        yield_m3_per_h,
        pump_setting_m,
        submergence_m,
        bore,
        cut_out_m,
        restart,
    } = settings;
    all(out, "static level", static_level_m);
    all(out, "specific capacity", specific_capacity_m3_per_h_m.as_mut());
    all(out, "well", [well_loss_h2_per_m5, submergence_m]);
    all(out, "yield", yield_m3_per_h.as_mut());
    all(out, "pump setting", pump_setting_m.as_mut());
    all(out, "cut-out", cut_out_m.as_mut());
    if let Some(bore) = bore {
        all(out, "bore", [&mut bore.diameter_m, &mut bore.pipe_diameter_m]);
    }
    if let Some(well::Restart::Delay(value) | well::Restart::Level(value)) = restart {
        all(out, "restart", [value]);
    }
}

fn draw<'a>(out: &mut Numbers<'a>, settings: &'a mut draw::Settings) {
    for group in &mut settings.groups {
        all(out, "heads", [&mut group.count, &mut group.waste]);
        all(out, "counts", group.counts.iter_mut().map(|c| &mut c.1));
        all(out, "pattern", &mut group.pattern);
        match &mut group.need {
            Need::ByMonth(months) => all(out, "need", months),
            Need::ShareOfHerd(share) => all(out, "share", [share]),
            Need::Class { class: _, animal: a } => {
                let given = [&mut a.mass_kg, &mut a.milk_kg, &mut a.dry_matter_kg, &mut a.sodium_kg];
                all(out, "animal", given.into_iter().chain([&mut a.age_weeks, &mut a.laying]).flatten());
            }
        }
        if let Some(forage) = &mut group.forage {
            all(out, "forage", &mut forage.moisture);
            all(out, "dry matter", forage.dry_matter_kg.as_mut());
        }
    }
    for garden in &mut settings.gardens {
        all(out, "garden", [&mut garden.area_m2, &mut garden.efficiency, &mut garden.soil_holds_mm]);
        match &mut garden.growth {
            Growth::Stages { planted: _, days, kc } => all(out, "stages", days.iter_mut().chain(kc)),
            Growth::Season { dates: _, kc } => all(out, "season", [kc]),
        }
    }
}

fn frost<'a>(out: &mut Numbers<'a>, settings: &'a mut frost::Settings) {
    let soil = &mut settings.soil;
    all(
        out,
        "soil",
        [
            &mut soil.dry_density_kg_per_m3,
            &mut soil.water_share,
            &mut soil.frozen_w_per_m_k,
            &mut soil.thawed_w_per_m_k,
            &mut settings.surface,
        ],
    );
    all(out, "design", settings.design_index_degc_days.iter_mut().chain(&mut settings.design_days));
    for part in &mut settings.parts {
        match &mut part.kind {
            frost::Kind::Buried { cover_m } => all(out, "cover", [cover_m]),
            frost::Kind::Exposed { pipe, drain } => {
                all(out, "bare pipe", [&mut pipe.bore_m, &mut pipe.outside_m]);
                all(out, "insulation", [&mut pipe.insulation_m, &mut pipe.insulation_w_per_m_k]);
                all(out, "film", pipe.film_w_per_m2_k.as_mut());
                if let Drain::Itself { hours } = drain {
                    all(out, "drain", [hours]);
                }
            }
            frost::Kind::Open(w) => {
                all(
                    out,
                    "open",
                    [&mut w.area_m2, &mut w.depth_m, &mut w.film_w_per_m2_k, &mut w.inflow_degc],
                );
            }
        }
    }
}

fn delivery<'a>(out: &mut Numbers<'a>, settings: &'a mut delivery::Settings) {
    runs(out, &mut settings.shared);
    all(out, "water", [&mut settings.water_degc]);
    for h in &mut settings.hydrants {
        runs(out, &mut h.runs);
        all(out, "hydrant", [&mut h.height_m, &mut h.pressure_m, &mut h.trough_m3]);
        all(out, "trough", [&mut h.open_surface_m2, &mut h.overflow_m3_per_h]);
        all(out, "walk", h.walk_m.as_mut());
    }
    let Some(b) = &mut settings.booster else { return };
    for row in &mut b.rows {
        all(out, "booster row", [&mut row.flow_m3_per_h, &mut row.head_m, &mut row.current_a]);
    }
    all(out, "booster", [&mut b.voltage_v, &mut b.controller_efficiency, &mut b.standby_w]);
    all(out, "battery temperature", b.battery_degc.as_mut());
    arrays(out, &mut b.panel);
    let battery = &mut b.battery;
    all(
        out,
        "battery",
        [
            &mut battery.voltage_v,
            &mut battery.capacity_ah,
            &mut battery.rated_h,
            &mut battery.charge_efficiency,
            &mut battery.self_discharge_per_month,
            &mut battery.cold_per_k,
            &mut battery.cut_out,
            &mut battery.reconnect,
        ],
    );
    match &mut battery.rate {
        RateLaw::Peukert(k) => all(out, "peukert", [k]),
        RateLaw::Table(points) => all(out, "rate", points.iter_mut().flat_map(|(h, ah)| [h, ah])),
    }
    if let Some(t) = &mut b.tank {
        all(
            out,
            "pressure tank",
            [&mut t.volume_m3, &mut t.precharge_pa, &mut t.cut_in_pa, &mut t.cut_out_pa],
        );
    }
}

/// The shipped schemes, and the settings that none of them has.
fn plans() -> Vec<(&'static str, Plan)> {
    let mut out: Vec<_> = ["scheme.toml", "brushed.toml", "five_herds.toml", "rounds.toml", "roomy.toml"]
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

#[test]
fn the_walk_over_a_plan_meets_every_number_of_it() {
    const MARK: f64 = 7.25e77;
    for (name, mut plan) in plans() {
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
