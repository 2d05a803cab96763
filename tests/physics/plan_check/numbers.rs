//! Every number of a plan.

use dryspell::array::incidence::Glass;
use dryspell::array::soiling::{Dust, Soiling};
use dryspell::array::{self, ArraySettings, Module};
use dryspell::coupling::{self, Booster, Efficiency, Tracking};
use dryspell::delivery::{self, RateLaw};
use dryspell::draw::garden::Growth;
use dryspell::draw::{self, Need};
use dryspell::frost::{self, Drain};
use dryspell::inflow::{Catchment, Kind};
use dryspell::link::Way;
use dryspell::pipe::{self, Run};
use dryspell::plan::Plan;
use dryspell::pump::{self, Motor, PumpEfficiency, RatedCurve, Start};
use dryspell::{supply, tank, well};

/// Each number with a name.
pub type Numbers<'a> = Vec<(String, &'a mut f64)>;

/// Every number of a plan, to be altered.
pub fn numbers(plan: &mut Plan) -> Numbers<'_> {
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
    for settings in std::iter::once(&mut plan.tank).chain(&mut plan.other_tanks) {
        tank(&mut out, settings);
    }
    for link in &mut plan.links {
        match &mut link.way {
            Way::Pipe { runs: pipes, height_m, pressure_m, friction: _, water_degc } => {
                runs(&mut out, pipes);
                all(&mut out, "link", [height_m, pressure_m, water_degc]);
            }
            Way::Pump { flow, needs_sun: _ } => all(&mut out, "pump flow", &mut flow.flow_m3_per_h),
            // A column is checked whole, and cannot be altered.
            Way::Column { .. } => {}
        }
    }
    for lift in &mut plan.lifts {
        arrays(&mut out, &mut lift.array);
        supply(&mut out, &mut lift.supply);
    }
    for inflow in &mut plan.inflows {
        match &mut inflow.kind {
            Kind::Steady(steady) => all(&mut out, "flow", &mut steady.flow_m3_per_h),
            Kind::Rain(Catchment { area_m2, runoff_coefficient, first_flush_mm }) => {
                all(&mut out, "catchment", [area_m2, runoff_coefficient, first_flush_mm]);
            }
            Kind::OpenWater { area_m2 } => all(&mut out, "open water", [area_m2]),
            // A column is checked whole, and cannot be altered.
            Kind::Column(_) => {}
        }
    }
    out
}

fn tank<'a>(out: &mut Numbers<'a>, settings: &'a mut tank::Settings) {
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
    } = settings;
    all(out, "float", float_stop_m3.iter_mut().chain(float_start_m3));
    all(out, "tank", [capacity_m3, leak_m3_per_h, open_surface_m2, garden_reserve_m3, tolerance]);
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
        Module::Nameplate(m) => {
            let coefficients = [&mut m.isc_temperature_a_per_k, &mut m.voc_temperature_v_per_k];
            all(out, "nameplate", std::iter::once(&mut m.power_w).chain(coefficients.into_iter().flatten()));
        }
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
        all(out, "walking_distance", h.walk_m.as_mut());
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
