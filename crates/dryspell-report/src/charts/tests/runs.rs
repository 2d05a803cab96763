//! The runs that are drawn: those of the shipped schemes, and some that are odd in one way each.

use dryspell::calendar::{Calendar, Day};
use dryspell::plan::Plan;
use dryspell::record::{Record, YearKind};
use dryspell::simulate::{Run, simulate};
use dryspell::units::System;

use crate::demo::DEMOS;

pub(super) fn demo(name: &str) -> (Plan, Record, System) {
    let demo = crate::demo::demo(name);
    (demo.scheme.plan(), demo.record, demo.scheme.units)
}

pub(super) fn run(plan: &Plan, record: &Record) -> Run {
    simulate(plan, record)
        .map_err(|faults| faults.iter().map(ToString::to_string).collect::<Vec<_>>())
        .unwrap()
}

/// A run that is odd in one way, by name.
pub(super) fn odd() -> Vec<(&'static str, Run, System)> {
    let (plan, record, si) = demo("scheme");
    let mut list = vec![];

    let mut no_draw = plan.clone();
    no_draw.draw.groups.clear();
    list.push(("no draw", run(&no_draw, &record), si));

    let mut dark = record.clone();
    dark.ghi_w_per_m2.fill(0.0);
    dark.dni_w_per_m2.iter_mut().for_each(|c| c.fill(0.0));
    dark.dhi_w_per_m2.iter_mut().for_each(|c| c.fill(0.0));
    list.push(("no sun", run(&plan, &dark), si));

    list.push(("twelve years", run(&plan, &years(&record, 12)), si));
    list.push(("thirty years", run(&plan, &years(&record, 30)), System::Us));
    list.push(("part of a year", run(&plan, &part(&record, 100)), si));

    let mut south = record.clone();
    south.place.latitude_deg = -record.place.latitude_deg;
    // Half a year on, so that its winter is in July.
    let half = 24 * 182;
    south.ghi_w_per_m2.rotate_left(half);
    south.air_degc.rotate_left(half);
    (south.dni_w_per_m2, south.dhi_w_per_m2) = (None, None);
    let mut north = plan.clone();
    north.array.arrays.iter_mut().for_each(|a| a.azimuth_deg = 0.0);
    north.draw.groups.iter_mut().for_each(|g| g.present.clear());
    list.push(("southern", run(&north, &south), System::Us));

    let mut low = plan.clone();
    low.supply.pipe.inlet_height_m = -4.0;
    low.tank.float_stop_m3 = None;
    low.tank.float_start_m3 = None;
    list.push(("low open tank", run(&low, &record), si));

    let (rounds, record, si) = demo("rounds");
    let mut one = rounds.clone();
    let delivery = one.delivery.as_mut().unwrap();
    delivery.hydrants.truncate(1);
    let brook = delivery.hydrants[0].name.clone();
    one.draw.groups.iter_mut().flat_map(|g| &mut g.places).for_each(|(place, _)| place.clone_from(&brook));
    one.frost = None;
    list.push(("one hydrant", run(&one, &record), si));

    for (what, many, frost) in [("eight hydrants", 8, true), ("thirty hydrants", 30, false)] {
        let plan = hydrants(&rounds, many, frost);
        list.push((what, run(&plan, &record), System::Us));
    }
    list
}

/// A scheme whose every name is as long and as awkward as it may be.
fn hydrants(rounds: &Plan, many: usize, frost: bool) -> Plan {
    const AWKWARD: &str = "<Brunnen & \"Tränke\"> πηγάδι колодец у дальнего холма за рекой WWWWWWWW";
    let name = |n: usize| format!("{n} {}", AWKWARD.chars().take(60).collect::<String>());
    let mut plan = rounds.clone();
    let delivery = plan.delivery.as_mut().unwrap();
    let model = delivery.hydrants.clone();
    delivery.hydrants = (0..many)
        .map(|n| {
            let mut hydrant = model[n % model.len()].clone();
            hydrant.name = name(n);
            hydrant.height_m = if n % 3 == 0 { -2.5 - n as f64 / 10.0 } else { 1.0 + n as f64 / 10.0 };
            if n % 4 == 1 {
                hydrant.trough_m3 = 0.0;
                hydrant.runs.push(hydrant.runs[0].clone());
            }
            hydrant
        })
        .collect();
    let group = plan.draw.groups[0].clone();
    plan.draw.groups.truncate(1);
    for n in 0..many {
        let mut other = group.clone();
        other.name = name(n);
        other.count = 3.0;
        other.places = vec![(name(n), group.places[0].1)];
        plan.draw.groups.push(other);
    }
    plan.draw.groups.remove(0);
    plan.tank.name = name(0);
    plan.array.arrays[0].name = name(1);
    plan.supply.pipe.runs.iter_mut().for_each(|r| r.name = name(2));
    plan.draw.gardens.iter_mut().for_each(|g| g.name = name(3));
    if frost {
        // No part may name a hydrant that is gone.
        plan.frost.iter_mut().for_each(|f| f.parts.truncate(3));
    } else {
        plan.frost = None;
    }
    plan
}

/// A record of many calendar years, each a little duller or brighter than the one given.
fn years(record: &Record, many: u16) -> Record {
    let mut out = record.clone();
    out.kind = YearKind::Calendar;
    let mut days: Vec<Day> = vec![];
    for column in [&mut out.ghi_w_per_m2, &mut out.air_degc] {
        column.clear();
    }
    let spread = |column: &Option<Vec<f64>>| column.as_ref().map(|_| Vec::new());
    out.dni_w_per_m2 = spread(&record.dni_w_per_m2);
    out.dhi_w_per_m2 = spread(&record.dhi_w_per_m2);
    out.wind_m_per_s = spread(&record.wind_m_per_s);
    (out.albedo, out.snow_depth_m, out.precipitation_mm) = (None, None, None);
    (out.relative_humidity, out.pressure_pa) = (None, None);
    for year in 0..many {
        let bright = 0.82 + 0.06 * f64::from((year * 5) % 7);
        days.extend(record.calendar.days().iter().map(|d| Day { year: 2001 + i32::from(year), ..*d }));
        out.ghi_w_per_m2.extend(record.ghi_w_per_m2.iter().map(|x| x * bright));
        out.air_degc.extend(&record.air_degc);
        for (to, from) in
            [(&mut out.dni_w_per_m2, &record.dni_w_per_m2), (&mut out.dhi_w_per_m2, &record.dhi_w_per_m2)]
        {
            if let (Some(to), Some(from)) = (to, from) {
                to.extend(from.iter().map(|x| x * bright));
            }
        }
        if let (Some(to), Some(from)) = (&mut out.wind_m_per_s, &record.wind_m_per_s) {
            to.extend(from);
        }
    }
    out.calendar = Calendar::new(days, 0);
    out
}

/// The last days of a record.
fn part(record: &Record, days: usize) -> Record {
    let mut out = record.clone();
    let first = record.calendar.days().len() - days;
    out.calendar = Calendar::new(record.calendar.days()[first..].to_vec(), 0);
    let cut = |column: &Vec<f64>| column[first * 24..].to_vec();
    out.ghi_w_per_m2 = cut(&record.ghi_w_per_m2);
    out.air_degc = cut(&record.air_degc);
    out.dni_w_per_m2 = record.dni_w_per_m2.as_ref().map(cut);
    out.dhi_w_per_m2 = record.dhi_w_per_m2.as_ref().map(cut);
    out.wind_m_per_s = record.wind_m_per_s.as_ref().map(cut);
    (out.albedo, out.snow_depth_m, out.precipitation_mm) = (None, None, None);
    (out.relative_humidity, out.pressure_pa) = (None, None);
    out
}

pub(super) fn runs() -> Vec<(&'static str, Run, System)> {
    let mut list: Vec<_> = DEMOS
        .into_iter()
        .map(|name| {
            let (plan, record, units) = demo(name);
            (name, run(&plan, &record), units)
        })
        .collect();
    list.extend(odd());
    list
}
