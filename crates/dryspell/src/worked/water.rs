//! Pump, well and pipe; the herd; the tank.

use super::Section;
use crate::fault::Faults;
use crate::pump::Settings as Pump;
use crate::pump::{GRAVITY_M_PER_S2, hydraulic_power_w};
use crate::record::Record;
use crate::simulate::Run;
use crate::supply::{HeadBuildUp, Hour, RunBuildUp, Settings, head_build_up};

/// Where the pump meets the system.
pub(super) fn supply(run: &Run, h: usize, hour: &Hour) -> Result<Section, Faults> {
    let settings = &run.plan.supply;
    let month = run.calendar.day_of(h).month;
    let build = head_build_up(settings, month, hour.flow_m3_per_h)?;
    let mut s = Section::new(format!("PUMP, WELL AND PIPE; limited by: {}", run.supply.limit[h].word()));
    operating_point(&mut s, &settings.pump, hour);
    levels(&mut s, settings, &build, hour);
    // Beyond a weep hole flows what it leaves.
    let flow =
        if settings.pipe.weep_hole.is_some() { "(Q less what a weep hole before it loses)" } else { "Q" };
    for run in &build.runs {
        pipe_run(&mut s, run, flow, settings.pipe.water_degc);
    }
    s.step(
        "hd",
        "discharge: pressure kept and velocity head",
        build.discharge_m,
        "m",
        "pressure head + V^2/(2 g) of the last run",
        "exit loss K = 1",
    );
    let sum = if hour.stops > 0 {
        "zw + zi + sw + all hf + all hm + hd of each run between two stops; mean by the volume that each lifts"
    } else {
        "zw + zi + sw + all hf + all hm + hd"
    };
    s.step("H", "total dynamic head", hour.head.total_m(), "m", sum, "sum");
    power(&mut s, settings.pipe.water_degc, hour);
    if settings.pipe.weep_hole.is_some() {
        weep_hole(&mut s, hour);
    }
    Ok(s)
}

/// The flow, and what the pump's motor runs on.
fn operating_point(s: &mut Section, pump: &Pump, hour: &Hour) {
    s.step(
        "Q",
        "flow",
        hour.flow_m3_per_h,
        "m3/h",
        "operating point: flow at which the pump meets head H below on what the coupling offers, at most what the well \
         sustains",
        match pump {
            Pump::Duty(_) => "duty table; monotone cubic in power (Fritsch and Butland 1984)",
            Pump::Volts(_) => "table with voltage; monotone cubic in voltage (Fritsch and Butland 1984)",
            Pump::Displacement(_) => "displacement, slip and permanent-magnet motor",
            Pump::Centrifugal(_) => "rated curve and affinity laws",
            Pump::Own(_) => "law handed in by the user of the library",
        },
    );
    if let (Some(volts), Some(amps)) = (hour.voltage_v, hour.current_a) {
        s.step(
            "Vp",
            "voltage at the pump",
            volts,
            "V",
            "where available and required current agree",
            "coupling",
        );
        s.step("Ip", "current into the pump", amps, "A", "available at Vp", "coupling");
    }
    if let Some(speed) = hour.speed_rad_per_s {
        s.step("ωp", "speed of the shaft", speed, "rad/s", "(Vp - R Ip)/k", "permanent-magnet motor");
    }
}

/// From the water in the well up to the inlet.
fn levels(s: &mut Section, settings: &Settings, build: &HeadBuildUp, hour: &Hour) {
    s.given("zw", "static level below the wellhead", build.static_level_m, "m", "scheme, by month");
    if build.inlet_height_m < 0.0 {
        let what = "rise above the wellhead: none, the tank is lower";
        s.given("zi", what, build.rise_m, "m", "scheme");
    } else {
        s.given("zi", "inlet above the wellhead", build.rise_m, "m", "scheme");
    }
    let mut drawdown = settings
        .well
        .specific_capacity_m3_per_h_m
        .map_or_else(|| "0: no specific capacity is given".to_owned(), |c| format!("Q / {c:.5}"));
    if settings.well.well_loss_h2_per_m5 > 0.0 {
        drawdown += &format!(" + {} Q^2", settings.well.well_loss_h2_per_m5);
    }
    if settings.well.bore.is_some() {
        drawdown = "mean of the hour, from the level that the hour before left".to_owned();
    }
    if hour.stops > 0 {
        drawdown =
            "mean of the runs between the stops at the cut-out, by the volume that each lifts".to_owned();
    }
    s.step("sw", "drawdown", hour.head.drawdown_m, "m", drawdown, "B Q + C Q^2 (Jacob 1947)");
}

/// Velocity, friction and fittings of one run of pipe; `flow` is the symbol of what flows there.
fn pipe_run(s: &mut Section, run: &RunBuildUp, flow: &str, water_degc: f64) {
    let n = &run.name;
    s.step(
        format!("V {n}"),
        "velocity",
        run.velocity_m_per_s,
        "m/s",
        format!("{flow}/3600 / (pi/4 {:.5}^2)", run.bore_m),
        "continuity",
    );
    s.step(
        format!("Re {n}"),
        "Reynolds number",
        run.reynolds,
        "",
        format!("V {:.5} / {:.5e}", run.bore_m, crate::pipe::water_viscosity_m2_per_s(water_degc)),
        "definition; viscosity by IAPWS",
    );
    s.step(
        format!("hf {n}"),
        format!("friction in {:.1} m", run.length_m),
        run.friction_m,
        "m",
        format!(
            "f L/{:.5} V^2/(2 {GRAVITY_M_PER_S2}), f by Colebrook above Re 4000, 64/Re below 2000, joined between",
            run.bore_m
        ),
        "Darcy-Weisbach",
    );
    s.step(
        format!("hm {n}"),
        "fittings",
        run.fittings_m,
        "m",
        format!("sum K V^2/(2 {GRAVITY_M_PER_S2})"),
        "K of Rossman et al. 2020, US EPA",
    );
}

/// What the pump takes and what the water gets of it.
fn power(s: &mut Section, water_degc: f64, hour: &Hour) {
    s.step(
        "Pp",
        "power taken by the pump",
        hour.power_taken_w,
        "W",
        "Pv, at most what gives more flow; mean of the hour",
        "pump",
    );
    let density = crate::pipe::water_density_kg_per_m3(water_degc);
    let hydraulic = hydraulic_power_w(density, hour.head.total_m(), hour.lifted_m3);
    s.step(
        "Ph",
        "hydraulic power",
        hydraulic,
        "W",
        format!("{density:.1} x {GRAVITY_M_PER_S2} x H x Q/3600, for the part of the hour that it runs"),
        "definition",
    );
    if hour.power_taken_w > 0.0 {
        s.step("η", "wire-to-water efficiency", hydraulic / hour.power_taken_w, "", "Ph/Pp", "definition");
    }
}

/// What a weep hole loses and the drained pipe takes, of the water lifted.
fn weep_hole(s: &mut Section, hour: &Hour) {
    s.step("Ql", "lifted", hour.lifted_m3, "m3", "Q x time running", "product");
    s.step(
        "Qw",
        "through the weep hole",
        hour.weep_m3,
        "m3",
        "Cd A sqrt(2 g h) x time running",
        "Torricelli",
    );
    s.step(
        "Qr",
        "to fill the drained pipe",
        hour.riser_refill_m3,
        "m3",
        "what it lacked",
        "volume of the pipe",
    );
    s.step("Qd", "available to the tank", hour.available_m3, "m3", "Ql - Qw - Qr", "ledger of the source");
}

/// What the animals want in the hour.
pub(super) fn draw(run: &Run, record: &Record, h: usize) -> Result<Section, Faults> {
    let hour = crate::draw::hour(&run.plan.draw, &record.calendar, &record.air_degc, h)?;
    let mut s = Section::new("DEMAND OF THE STOCK");
    s.given("Td", "air, mean of the day", hour.air_day_degc, "degC", "weather file");
    for group in &hour.groups {
        let n = &group.name;
        s.given(format!("n {n}"), "head present", group.heads, "", "scheme");
        s.given(
            format!("d {n}"),
            "daily need per head",
            1000.0 * group.head_m3_per_day,
            "L",
            "scheme, or its class by the day's air temperature; waste included",
        );
        s.given(format!("q {n}"), "share of the day in this hour", group.share, "", "pattern");
        s.step(format!("w {n}"), "demand", group.demand_m3, "m3", "n d q / 1000", "product");
    }
    s.step(
        "W",
        "demand of all",
        run.demand_m3[h] + run.extra_m3[h],
        "m3",
        "sum of w, on the grid of 2^-20 m3",
        "sum",
    );
    Ok(s)
}

/// The troughs of the hydrants, where there are any.
pub(super) fn hydrants(run: &Run, h: usize) -> Option<Section> {
    let delivery = run.delivery.as_ref()?;
    let mut s =
        Section::new("AT THE HYDRANTS (water in each trough; unmet thirst of the day counts below zero)");
    for hydrant in &delivery.hydrants {
        let n = &hydrant.name;
        let place = run.draw.places.iter().find(|p| p.name == *n);
        let demand = place.map_or(0.0, |p| p.demand_m3[h]);
        let before = h.checked_sub(1).map_or_else(
            || hydrant.level_m3[h] + demand - hydrant.requested_m3[h],
            |b| hydrant.level_m3[b] + hydrant.short_m3(b),
        );
        s.given(
            format!("y0 {n}"),
            "in the trough at the hour's start",
            before,
            "m3",
            "the hour before, cleared of what was counted as short",
        );
        s.given(format!("w {n}"), "demand there", demand, "m3", "the groups at this place");
        s.step(
            format!("f {n}"),
            "into the trough",
            hydrant.requested_m3[h],
            "m3",
            format!(
                "at most {:.5} - y0 + w, the room left; at most the flow of {:.4} m3/h alone, {:.4} m3/h with all open; \
                 nothing while frozen or with the battery empty",
                hydrant.trough_m3, hydrant.alone_m3_per_h, hydrant.together_m3_per_h
            ),
            "pipes and booster",
        );
        s.step(
            format!("y1 {n}"),
            "in the trough at the hour's end",
            hydrant.level_m3[h],
            "m3",
            "y0 - w + f",
            "ledger of the trough",
        );
        s.step(
            format!("Sf {n}"),
            "counted as short: frozen",
            hydrant.short_frozen_m3[h],
            "m3",
            "what would be unmet with frost alone",
            "order of causes",
        );
        s.step(
            format!("Sp {n}"),
            "counted as short: pump or pipe too small",
            hydrant.short_too_small_m3[h],
            "m3",
            "what pump and pipes add to it",
            "order of causes",
        );
        s.step(
            format!("Sb {n}"),
            "counted as short: battery empty",
            hydrant.short_battery_m3[h],
            "m3",
            "what the battery adds to it: with the two above max(-y1, 0) at midnight",
            "order of causes",
        );
    }
    if run.booster().is_some() {
        s.step(
            "P",
            "power of the booster",
            delivery.booster_w[h],
            "W",
            "current x voltage x time",
            "its table",
        );
        s.step(
            "E",
            "in the battery at the hour's end",
            delivery.stored_wh[h],
            "Wh",
            "charge - drain",
            "battery",
        );
    }
    s.step(
        "A",
        "requested of the tank",
        run.flows.requested_m3[h],
        "m3",
        "sum of f, and demand of stock at no hydrant, on the grid of 2^-20 m3",
        "sum",
    );
    Some(s)
}

/// The tank's hour.
pub(super) fn tank(run: &Run, h: usize) -> Section {
    let mut s = Section::new("THE TANK (usable water; unmet thirst of the day counts below zero)");
    let hour = &run.hours[h];
    let before = run.level_before(h);
    s.given("x0", "level at the hour's start", before, "m3", "the hour before");
    s.step(
        "Qo",
        "available",
        run.flows.available_m3[h],
        "m3",
        if run.plan.supply.pipe.weep_hole.is_some() {
            "Qd, on the grid of 2^-20 m3"
        } else {
            "Q x time running, on the grid of 2^-20 m3"
        },
        "PUMP, WELL AND PIPE",
    );
    s.step(
        "Qp",
        "pumped into the tank",
        hour.pumped_m3[0],
        "m3",
        "Qo, less what the float refuses",
        "float rule",
    );
    s.step("Qt", "curtailed by the float", hour.curtailed_m3[0], "m3", "Qo - Qp", "float rule");
    s.step(
        "U",
        if run.delivery.is_some() { "drawn for the hydrants" } else { "drunk" },
        hour.drawn_m3[0],
        "m3",
        format!(
            "the smaller of water in the tank max(x0,0) + inflow and the request, max(-x0,0) + {}",
            if run.delivery.is_some() { "A" } else { "W" }
        ),
        "ledger",
    );
    if !run.garden.gardens.is_empty() {
        s.given(
            "G",
            "requested for gardens",
            run.flows.garden_m3[h],
            "m3",
            "evapotranspiration; nothing while stock is short",
        );
        s.step(
            "Ug",
            "drawn for gardens",
            hour.garden_m3[0],
            "m3",
            format!("at most what is left above the reserve of {:.5}", run.plan.tank.garden_reserve_m3),
            "ledger",
        );
    }
    s.step(
        "L",
        "evaporated and leaked",
        hour.evaporated_m3[0] + hour.leaked_m3[0],
        "m3",
        "at most the water there is",
        "ledger",
    );
    s.step("O", "spilled", hour.spilled_m3[0], "m3", "above the overflow, at most the inflow", "ledger");
    s.step(
        "x1",
        "level at the hour's end",
        hour.level_m3[0],
        "m3",
        match (run.delivery.is_some(), run.garden.gardens.is_empty()) {
            (false, true) => "x0 + Qp - W - L - O",
            (false, false) => "x0 + Qp - W - Ug - L - O",
            (true, true) => "x0 + Qp - A - L - O",
            (true, false) => "x0 + Qp - A - Ug - L - O",
        },
        "ledger",
    );
    s.step(
        "Sh",
        "counted as short",
        hour.short_m3[0],
        "m3",
        "max(-x1, 0) at midnight, else 0 (with carry-over)",
        "ledger",
    );
    s
}
