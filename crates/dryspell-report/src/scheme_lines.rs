//! The scheme in a few lines.

use dryspell::array::facing::Season;
use dryspell::array::nameplate::typical;
use dryspell::array::soiling::Soiling;
use dryspell::array::{self, Module};
use dryspell::calendar::{DateSpan, MonthDay};
use dryspell::draw::{Group, Need};
use dryspell::inflow::{Bringing, Kind, WhenFull};
use dryspell::link::{self, Way};
use dryspell::record::YearKind;
use dryspell::simulate::Run;
use dryspell::tank;
use dryspell::units::{Quantity, System, counted, show, show_alike};
use dryspell_weather::report::Station;

use super::layout::{self, Lines, MONTHS};
use super::pump::{low_water, pump, weep};
use super::weather::{at, station};
use crate::report::Report;

fn line(out: &mut Lines, label: &'static str, text: &str) {
    out.push((label, text.to_owned()));
}

/// What was simulated, from the weather to the tank, as a report has it.
pub(crate) fn scheme(run: &Run, context: &Report<'_>) -> String {
    let mut out = format!("SCHEME  {} ({})\n", context.name(), context.file);
    for (label, text) in lines(run, context.system) {
        layout::line(&mut out, label, &text);
    }
    out
}

/// What was simulated, from the weather to the tank.
pub(crate) fn lines(run: &Run, system: System) -> Lines {
    let mut out = Lines::new();
    weather(&mut out, run, system);
    panels(&mut out, &run.plan.array, "", system);
    line(&mut out, "pump", &pump(&run.plan.supply, &run.plan.array, system));
    line(&mut out, "well", &well(&run.plan.supply.well, system));
    pipes(&mut out, run, system);
    lifts(&mut out, run, system);
    herds(&mut out, run, system);
    gardens(&mut out, run, system);
    inflows(&mut out, run, system);
    tanks(&mut out, run, system);
    backup(&mut out, run, system);
    delivery(&mut out, run, system);
    out
}

/// The place, the kind of years and their files.
fn weather(out: &mut Lines, run: &Run, system: System) {
    let place = &run.place;
    let kind = match run.kind {
        YearKind::Typical => "typical year",
        YearKind::Calendar => "calendar years",
        YearKind::Synthetic => "invented (synthetic) years",
        YearKind::Projected => "projected years of a climate scenario",
    };
    let name = if place.name.is_empty() { String::new() } else { format!("{} at ", place.name) };
    let at = at(place.latitude_deg, place.longitude_deg, place.elevation_m, 2, system);
    let place_text = match &run.source.station {
        None => format!("{name}{at}, taken as the site"),
        Some(own) => format!("{at}, as stated; {name}{}", station(&Station::of(own, place), 2, system)),
    };
    line(
        out,
        "weather",
        &format!(
            "{place_text}; {kind}, {} from {}; clock is UTC{:+}",
            run.source.format,
            run.source.files.join(", "),
            place.utc_offset_h
        ),
    );
}

fn panels(out: &mut Lines, settings: &array::Settings, before: &str, system: System) {
    for array in &settings.arrays {
        let module = module(&array.module, system);
        line(
            out,
            "panels",
            &format!(
                "{before}{}: {} in series, {} in parallel, {module}; tilt {:.0} deg{}, facing {} ({:.0} deg from north); {}, \
                 mismatch {:.1} %, cable {:.2} ohm",
                array.name,
                array.series,
                array.parallel,
                array.tilt_deg,
                seasons(&array.seasons),
                compass(array.azimuth_deg),
                array.azimuth_deg,
                soiling(array.soiling),
                100.0 * array.mismatch,
                array.cable_ohm
            ),
        );
    }
}

/// Water besides the pump's.
fn inflows(out: &mut Lines, run: &Run, system: System) {
    for (inflow, column) in run.plan.inflows.iter().zip(run.inflows.iter()) {
        let from = match &inflow.kind {
            Kind::Steady(_) => "a stated flow".to_owned(),
            Kind::Column(_) => "a column of its own".to_owned(),
            Kind::OpenWater { area_m2 } => {
                format!("rain on {} of its own open water", show(*area_m2, Quantity::Area, system))
            }
            Kind::Rain(c) => format!(
                "rain on {}, {:.0} % of it running off, the first {} lost",
                show(c.area_m2, Quantity::Area, system),
                100.0 * c.runoff_coefficient,
                show(c.first_flush_mm / 1000.0, Quantity::Length, system)
            ),
        };
        let full = match inflow.when_full {
            WhenFull::Refused => "shut off at a full tank",
            WhenFull::Spilled => "runs on at a full tank",
        };
        let sum = show(column.m3.iter().sum::<f64>(), Quantity::Volume, system);
        line(out, "inflow", &format!("{}: {from}, {sum} over the record; {full}", inflow.name));
    }
}

/// Water brought when the tank is low.
fn backup(out: &mut Lines, run: &Run, system: System) {
    let Some(backup) = &run.plan.backup else { return };
    let volume = |m3| show(m3, Quantity::Volume, system);
    let how = match backup.bringing {
        Bringing::Flow(flow) => show(flow, Quantity::Flow, system),
        Bringing::Load(load) => format!("loads of {}", volume(load)),
    };
    let limit =
        backup.most_m3_per_day.map_or_else(String::new, |most| format!(", at most {} a day", volume(most)));
    let delay = if backup.delay_h > 0.0 {
        format!("{} after the call", show(backup.delay_h, Quantity::Duration, system))
    } else {
        "there at once".to_owned()
    };
    let when = if backup.dates.is_empty() { String::new() } else { format!("; on {}", dates(&backup.dates)) };
    line(
        out,
        "backup",
        &format!(
            "{}: {how}, called at {} and stopped at {}, {delay}{limit}{when}",
            backup.name,
            volume(backup.starts_below_m3),
            volume(backup.stops_at_m3)
        ),
    );
}

/// What one module is.
fn module(module: &Module, system: System) -> String {
    match module {
        Module::Datasheet(d) => {
            format!(
                "{} modules (Isc {} A, Voc {} V)",
                show(d.imp_a * d.vmp_v, Quantity::Power, system),
                d.isc_a,
                d.voc_v
            )
        }
        Module::Nameplate(plate) => {
            let sheet = typical(plate);
            format!(
                "{} modules of {} (assumed: Isc {:.2} A, Voc {:.1} V)",
                show(plate.power_w, Quantity::Power, system),
                counted(plate.cells, "cell"),
                sheet.isc_a,
                sheet.voc_v
            )
        }
        Module::Parameters(_) => "modules by their five parameters".to_owned(),
    }
}

fn well(well: &dryspell::well::Settings, system: System) -> String {
    let (shallow, deep) = ends(&well.static_level_m);
    format!(
        "static level {}; {}; {}{}",
        range(shallow, deep, Quantity::Length, system),
        well.specific_capacity_m3_per_h_m.map_or_else(
            || "drawdown taken as zero".to_owned(),
            |c| format!("specific capacity {}", show(c, Quantity::SpecificCapacity, system))
        ),
        well.yield_m3_per_h.map_or_else(
            || "yield not stated".to_owned(),
            |y| format!("yield {}", show(y, Quantity::Flow, system))
        ),
        low_water(well, system)
    )
}

/// Further wells, each with pump, panels and pipe.
fn lifts(out: &mut Lines, run: &Run, system: System) {
    for lift in &run.plan.lifts {
        let name = &lift.name;
        line(
            out,
            "well",
            &format!("{name}, into the tank {}: {}", lift.into, well(&lift.supply.well, system)),
        );
        panels(out, &lift.array, &format!("{name}, "), system);
        line(out, "pump", &format!("{name}: {}", pump(&lift.supply, &lift.array, system)));
        for run in &lift.supply.pipe.runs {
            line(out, "pipe", &format!("{name}, {}: {}", run.name, pipe(run, system)));
        }
    }
}

/// A run of pipe without its weep hole.
fn pipe(run: &dryspell::pipe::Run, system: System) -> String {
    format!(
        "{} of {} bore, fittings K {:.1}",
        show(run.length_m, Quantity::Length, system),
        show(run.bore_m, Quantity::Length, system),
        run.fittings_k
    )
}

fn pipes(out: &mut Lines, run: &Run, system: System) {
    for (i, own) in run.plan.supply.pipe.runs.iter().enumerate() {
        line(out, "pipe", &format!("{}: {}{}", own.name, pipe(own, system), weep(run, i, system)));
    }
}

/// The herds, and what else draws as they do.
fn herds(out: &mut Lines, run: &Run, system: System) {
    for group in &run.plan.draw.groups {
        let need = need(group, system);
        let waste = if group.waste > 0.0 {
            format!(", {:.0} % more for waste", 100.0 * group.waste)
        } else {
            String::new()
        };
        line(
            out,
            "draw",
            &format!(
                "{}: {} x {need}{waste}; {}{}",
                group.name,
                heads(group),
                whereabouts(group),
                at_tank(run, group)
            ),
        );
    }
}

/// The tank at which a group drinks, where there are several and it is at no place.
fn at_tank(run: &Run, group: &Group) -> String {
    if run.plan.other_tanks.is_empty() || !group.places.is_empty() {
        return String::new();
    }
    format!(", at the tank {}", group.tank.as_deref().unwrap_or(&run.plan.tank.name))
}

/// What one of a group needs.
fn need(group: &Group, system: System) -> String {
    match &group.need {
        Need::ByMonth(months) => {
            let (low, high) = ends(months);
            format!("{} each", range(low, high, Quantity::DailyVolume, system))
        }
        Need::Class { class, animal } => {
            let of = animal
                .mass_kg
                .map_or_else(String::new, |m| format!(" of {}", show(m, Quantity::Mass, system)));
            let mut parts = vec![format!("{}{of}", class.name)];
            parts.extend(animal.milk_kg.map(|m| {
                if m > 0.0 {
                    format!("{} of milk", show(m, Quantity::DailyMass, system))
                } else {
                    "dry".to_owned()
                }
            }));
            if group.forage.is_some() {
                parts.push("less the water in green forage (a bonus)".to_owned());
            }
            format!("{}, drinking by the day's temperature", parts.join(", "))
        }
        Need::ShareOfHerd(share) => format!("{:.0} % of the animals' need", 100.0 * share),
    }
}

fn gardens(out: &mut Lines, run: &Run, system: System) {
    for (garden, days) in run.plan.draw.gardens.iter().zip(&run.garden.gardens) {
        line(
            out,
            "garden",
            &format!(
                "{}: {}, evapotranspiration by {}, {:.0} % of the water reaching the roots",
                garden.name,
                show(garden.area_m2, Quantity::Area, system),
                days.method.name(),
                100.0 * garden.efficiency
            ),
        );
    }
}

fn tanks(out: &mut Lines, run: &Run, system: System) {
    for own in run.plan.tanks() {
        let feed = run.plan.links.iter().find(|link| link.into == own.name);
        tank(out, own, feed, system);
    }
}

/// What feeds a tank from another.
fn feed(link: &link::Settings, system: System) -> String {
    let from = &link.from;
    match &link.way {
        Way::Pipe { runs, height_m, .. } => {
            let runs: Vec<String> = runs.iter().map(|run| pipe(run, system)).collect();
            format!(
                "fed from {from} through {}, {} lower; a valve holds it full",
                runs.join(", "),
                show(-height_m, Quantity::Length, system)
            )
        }
        Way::Pump { flow, needs_sun } => {
            let (low, high) = ends(&flow.flow_m3_per_h);
            let sun = if *needs_sun { ", on sun" } else { "" };
            let hours = flow.hours.iter().filter(|on| **on).count();
            let when = if hours < 24 { format!(" in {hours} hours of the day") } else { String::new() };
            let dates =
                if flow.dates.is_empty() { String::new() } else { format!(", {}", dates(&flow.dates)) };
            let flow = range(low, high, Quantity::Flow, system);
            format!("fed from {from} by a transfer pump of {flow}{when}{dates}{sun}")
        }
        Way::Column { needs_sun, .. } => {
            let sun = if *needs_sun { ", on sun" } else { "" };
            format!("fed from {from} by a transfer pump with a column of its own{sun}")
        }
    }
}

fn tank(out: &mut Lines, t: &tank::Settings, link: Option<&link::Settings>, system: System) {
    let (stop_m3, start_m3) = (t.float_stop_m3.unwrap_or(0.0), t.float_start_m3.unwrap_or(0.0));
    let [usable, stop, start, reserve] =
        show_alike([t.capacity_m3, stop_m3, start_m3, t.garden_reserve_m3], Quantity::Volume, system);
    let float = match (t.float_stop_m3, t.float_start_m3) {
        (None, _) if link.is_some() => "no float".to_owned(),
        (None, _) => "no float: the excess overflows".to_owned(),
        (Some(_), None) => format!("float stops the pump at {stop}"),
        (Some(_), Some(_)) => format!("float stops the pump at {stop} and lets it start again at {start}"),
    };
    line(
        out,
        "tank",
        &format!(
            "{}: {usable} usable; {float}{}{}{}",
            t.name,
            link.map_or_else(String::new, |link| format!("; {}", feed(link, system))),
            if t.open_surface_m2 > 0.0 {
                format!("; {} open to the sky", show(t.open_surface_m2, Quantity::Area, system))
            } else {
                String::new()
            },
            if t.garden_reserve_m3 > 0.0 {
                format!("; gardens leave {reserve} to the stock")
            } else {
                String::new()
            }
        ),
    );
}

/// Hydrants, booster and battery.
fn delivery(out: &mut Lines, run: &Run, system: System) {
    let Some(settings) = &run.plan.delivery else { return };
    let pipe = |run: &dryspell::pipe::Run| {
        format!(
            "{} of {} bore",
            show(run.length_m, Quantity::Length, system),
            show(run.bore_m, Quantity::Length, system)
        )
    };
    let several = !run.plan.other_tanks.is_empty();
    let tank_of = |name: &Option<String>| name.clone().unwrap_or_else(|| run.plan.tank.name.clone());
    for run in &settings.shared {
        let by = if several {
            format!("the hydrants at the tank {}", tank_of(&settings.tank))
        } else {
            "all hydrants".to_owned()
        };
        line(out, "delivery", &format!("{}: {}, shared by {by}", run.name, pipe(run)));
    }
    for other in &settings.other_lines {
        for run in &other.shared {
            let text =
                format!("{}: {}, shared by the hydrants at the tank {}", run.name, pipe(run), other.tank);
            line(out, "delivery", &text);
        }
    }
    for hydrant in &settings.hydrants {
        let runs: Vec<String> = hydrant.runs.iter().map(pipe).collect();
        let height = if hydrant.height_m < 0.0 {
            format!("{} below", show(-hydrant.height_m, Quantity::Length, system))
        } else {
            format!("{} above", show(hydrant.height_m, Quantity::Length, system))
        };
        let trough = if hydrant.trough_m3 > 0.0 {
            format!("trough of {}", show(hydrant.trough_m3, Quantity::Volume, system))
        } else {
            "no trough".to_owned()
        };
        line(
            out,
            "hydrant",
            &format!(
                "{}: {height} the {}tank's outlet, {}; {trough}",
                hydrant.name,
                if several { format!("{} ", tank_of(&hydrant.tank)) } else { String::new() },
                runs.join(", ")
            ),
        );
    }
    match &settings.booster {
        None => line(out, "booster", "none: gravity flow"),
        Some(b) => {
            let panels: Vec<String> = b
                .panel
                .arrays
                .iter()
                .map(|a| format!("{} x {} modules, tilt {:.0} deg", a.series, a.parallel, a.tilt_deg))
                .collect();
            let tank = b.tank.map_or_else(String::new, |t| {
                format!(
                    "; pressure tank of {}, {} to {}",
                    show(t.volume_m3, Quantity::Volume, system),
                    show(t.cut_in_pa, Quantity::Pressure, system),
                    show(t.cut_out_pa, Quantity::Pressure, system)
                )
            });
            line(
                out,
                "booster",
                &format!(
                    "table of {} points at {}; battery {:.0} Ah in {:.0} h, cut out at {:.0} % of charge; {}{tank}",
                    b.rows.len(),
                    show(b.voltage_v, Quantity::Voltage, system),
                    b.battery.capacity_ah,
                    b.battery.rated_h,
                    100.0 * b.battery.cut_out,
                    panels.join(", ")
                ),
            );
        }
    }
}

fn ends(values: &[f64]) -> (f64, f64) {
    values.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), x| (l.min(*x), h.max(*x)))
}

fn range(low: f64, high: f64, quantity: Quantity, system: System) -> String {
    if high - low < 1e-12 {
        show(low, quantity, system)
    } else {
        format!("{} by month", show_alike([low, high], quantity, system).join(" to "))
    }
}

fn dates(spans: &[DateSpan]) -> String {
    if spans.is_empty() {
        return "all year".to_owned();
    }
    let text: Vec<String> = spans
        .iter()
        .map(|s| {
            format!(
                "{} {} to {} {}",
                s.from.day,
                MONTHS[usize::from(s.from.month) - 1],
                s.to.day,
                MONTHS[usize::from(s.to.month) - 1]
            )
        })
        .collect();
    text.join(", ")
}

pub(crate) fn compass(azimuth_deg: f64) -> &'static str {
    const POINTS: [&str; 8] =
        ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 8 after the remainder")]
    let index = (azimuth_deg.rem_euclid(360.0) / 45.0).round() as usize % 8;
    POINTS[index]
}

/// How many heads, with the dates on which they differ.
fn heads(group: &Group) -> String {
    let other: Vec<String> =
        group.counts.iter().map(|(span, n)| format!("{n} on {}", dates(&[*span]))).collect();
    if other.is_empty() { group.count.to_string() } else { format!("{} ({})", group.count, other.join(", ")) }
}

/// Where a group is and when.
fn whereabouts(group: &Group) -> String {
    if group.places.is_empty() {
        return dates(&group.present);
    }
    let stays: Vec<String> =
        group.places.iter().map(|(place, span)| format!("{place} {}", dates(&[*span]))).collect();
    stays.join(", ")
}

/// The other tilts of the year, behind the usual one.
fn seasons(seasons: &[Season]) -> String {
    let date = |d: MonthDay| format!("{:02}-{:02}", d.month, d.day);
    seasons
        .iter()
        .map(|s| format!(" ({:.0} deg {} to {})", s.tilt_deg, date(s.dates.from), date(s.dates.to)))
        .collect()
}

fn soiling(soiling: Soiling) -> String {
    match soiling {
        Soiling::Share(share) => format!("soiling {:.1} %", 100.0 * share),
        Soiling::Rain(dust) => format!(
            "dust {:.2} % a dry day, washed off by {:.0} mm of rain in 24 h",
            100.0 * dust.per_day,
            dust.washed_by_mm
        ),
    }
}
