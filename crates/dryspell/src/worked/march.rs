//! The hour of a march: what comes to the tank, what each place could take, who drank, the tank's line.

use super::Section;
use crate::inflow::{Backup, WhenFull};
use crate::simulate::{DrinkerHour, MarchedHour, PlaceHour, Run};

const GRID: &str = "grid of 2^-20 m3";
const SHARES: &str = "shares rounded down to the grid of 2^-20 m3";

/// All of the hour; `backup`: the pass in which it may be called.
pub(super) fn sections(run: &Run, hour: &MarchedHour, backup: Option<&Backup>, h: usize) -> Vec<Section> {
    let with = if backup.is_some() { "WITH THE BACKUP: " } else { "" };
    let mut all = vec![
        comes(run, hour, backup, h, with),
        wants(hour, with),
        places(run, hour, h, with),
        drunk(hour, with),
        tank(run, hour, backup, with),
    ];
    // The well of this pass is kept without the backup alone.
    if backup.is_none() {
        all.extend(well(run, h));
    }
    all
}

/// What is in the tank and what comes to it.
fn comes(run: &Run, hour: &MarchedHour, backup: Option<&Backup>, h: usize, with: &str) -> Section {
    let mut s = Section::new(format!("{with}WHAT THE TANK HAS FOR THE HOUR"));
    s.given("x0", "in the tank at the hour's start", hour.stored_m3, "m3", "the hour before");
    let available = if run.plan.supply.pipe.weep_hole.is_some() {
        "Qd, as if no float stopped the pump"
    } else {
        "Q x time running, as if no float stopped the pump"
    };
    s.step("Qo", "available", hour.offered.pump_m3, "m3", available, GRID);
    for inflow in run.inflows.iter() {
        let source = match inflow.when_full {
            WhenFull::Refused => "its own column; a valve shuts it at the float's stop",
            WhenFull::Spilled => "its own column; it runs on at a full tank",
        };
        s.given(format!("I {}", inflow.name), "inflow", inflow.m3[h], "m3", source);
    }
    if !run.inflows.is_empty() {
        s.step("Iv", "inflows with a valve", hour.offered.valve_m3, "m3", "sum of those I", "sum");
        s.step("If", "inflows that run on", hour.offered.free_m3, "m3", "sum of those I", "sum");
    }
    if let Some(backup) = backup {
        s.given(
            "Bo",
            format!("offered by {}", backup.name),
            hour.offered.backup_m3,
            "m3",
            "scheme: nothing before it is called and its delay is over; then its flow or load, up to its daily limit",
        );
    }
    let mut sum = String::from("x0");
    if hour.float_permits {
        sum.push_str(" + Qo");
    }
    sum.push_str(if run.inflows.is_empty() { "" } else { " + Iv + If" });
    sum.push_str(if backup.is_some() { " + Bo" } else { "" });
    if !hour.float_permits {
        sum.push_str("; the float keeps the pump off");
    }
    s.step("T", "at hand", hour.at_hand_m3, "m3", sum, "sum");
    s
}

/// What each herd wants.
fn wants(hour: &MarchedHour, with: &str) -> Section {
    let mut s = Section::new(format!("{with}WHAT EACH HERD WANTS"));
    for drinker in hour.drinkers.iter().filter(|drinker| wants_m3(drinker) > 0.0) {
        let n = &drinker.name;
        let DrinkerHour { owed_before_m3, demand_m3, .. } = drinker;
        s.given(
            format!("o0 {n}"),
            "owed from earlier hours of the day",
            *owed_before_m3,
            "m3",
            if drinker.stock {
                "the hour before; nothing after midnight"
            } else {
                "an extra: nothing is owed to it"
            },
        );
        s.step(
            format!("g {n}"),
            "demand on the grid",
            *demand_m3,
            "m3",
            format!("w {n} of the demand above"),
            GRID,
        );
        let place = drinker.place.map_or("nowhere", |place| hour.places[place].name.as_str());
        s.step(
            format!("e {n}"),
            format!("wants, at {place}"),
            owed_before_m3 + demand_m3,
            "m3",
            format!("o0 {n} + g {n}"),
            "sum",
        );
    }
    s
}

/// What it wants, m³. Of those who want nothing no lines are made.
fn wants_m3(drinker: &DrinkerHour) -> f64 {
    drinker.owed_before_m3 + drinker.demand_m3
}

/// The names of those who drink at a place, each behind a letter.
fn each(hour: &MarchedHour, place: usize, letter: &str) -> String {
    let here = hour.drinkers.iter().filter(|drinker| drinker.place == Some(place) && wants_m3(drinker) > 0.0);
    let terms: Vec<String> = here.map(|drinker| format!("{letter} {}", drinker.name)).collect();
    if terms.is_empty() { "0".into() } else { terms.join(" + ") }
}

/// What each place could take, its share, and what it took.
fn places(run: &Run, hour: &MarchedHour, h: usize, with: &str) -> Section {
    let mut s = Section::new(format!("{with}WHAT EACH PLACE TAKES OF THE TANK"));
    for (number, place) in hour.places.iter().enumerate() {
        let n = &place.name;
        let wants = each(hour, number, "e");
        let hydrant = place.hydrant.and_then(|i| run.delivery.as_ref()?.hydrants.get(i));
        let Some(hydrant) = hydrant else {
            s.step(format!("c {n}"), "could be taken at the tank", place.could_m3, "m3", wants, "sum");
            continue;
        };
        s.given(
            format!("y0 {n}"),
            "in the trough at the hour's start",
            place.before_m3,
            "m3",
            "the hour before",
        );
        let frozen = place.hydrant.and_then(|i| run.frozen.hydrants.get(i)).is_some_and(|hours| hours[h]);
        s.step(
            format!("c {n}"),
            "could flow into the trough",
            place.could_m3,
            "m3",
            if frozen { "0: frozen or shut".to_owned() } else { format!(
                "at most {:.6} - y0 {n} + {wants}, the room left; at most what flows: {:.4} m3/h alone, {:.4} m3/h with \
                 all open; nothing with the battery empty",
                hydrant.trough_m3, hydrant.alone_m3_per_h, hydrant.together_m3_per_h
            ) },
            "pipes and booster, on the grid",
        );
    }
    let sum: f64 = hour.places.iter().map(|place| place.could_m3).sum();
    s.step("C", "all places together", sum, "m3", "sum of c", "sum");
    let enough = sum <= hour.at_hand_m3;
    for place in hour.places.iter().filter(|place| place.could_m3 > 0.0) {
        let PlaceHour { name: n, share_m3, taken_m3, hydrant, .. } = place;
        s.step(
            format!("v {n}"),
            "its share",
            *share_m3,
            "m3",
            if enough {
                format!("c {n}: the tank has enough")
            } else {
                format!("c {n} x T/C, rounded down; the remainder goes to the first by name")
            },
            SHARES,
        );
        let (name, how) = match (hydrant, enough) {
            (None, true) => ("taken at the tank", format!("v {n}")),
            (None, false) => (
                "taken at the tank",
                format!("v {n}, and what hydrants left of theirs: T - sum of the other f, at most c {n}"),
            ),
            (Some(_), true) => ("into the trough", format!("v {n}")),
            (Some(_), false) => {
                ("into the trough", format!("v {n}, as far as it flows within the hour beside the others"))
            }
        };
        s.step(format!("f {n}"), name, *taken_m3, "m3", how, "march");
    }
    s.step(
        "U",
        "drawn from the tank",
        hour.places.iter().map(|place| place.taken_m3).sum(),
        "m3",
        "sum of f; where c is 0 nothing is taken",
        "sum",
    );
    s
}

/// What each herd drank and what is owed to it; what is left in the troughs.
fn drunk(hour: &MarchedHour, with: &str) -> Section {
    let mut s = Section::new(format!("{with}WHAT EACH HERD DRINKS"));
    for (number, place) in hour.places.iter().enumerate() {
        let n = &place.name;
        let here: Vec<&DrinkerHour> =
            hour.drinkers.iter().filter(|d| d.place == Some(number) && wants_m3(d) > 0.0).collect();
        let flows = place.could_m3 > 0.0;
        let water = match (place.hydrant.is_some(), flows) {
            (true, true) => format!("y0 {n} + f {n}"),
            (true, false) => format!("y0 {n}"),
            (false, _) => format!("f {n}"),
        };
        let all: f64 = here.iter().map(|drinker| wants_m3(drinker)).sum();
        let enough = all <= place.before_m3 + place.taken_m3;
        if place.hydrant.is_some() && here.iter().any(|drinker| drinker.stock && drinker.lacks_m3 > 0.0) {
            for ((mark, why), m3) in CAUSES.iter().zip(place.causes_m3) {
                let how = "growth of what is owed there with frost alone in the way, then what each next cause adds; where it does not grow, of all \
                           that is lacking";
                s.given(format!("k{mark} {n}"), format!("lacking in this hour: {why}"), m3, "m3", how);
            }
        }
        for drinker in &here {
            one_drinker(&mut s, hour, drinker, (place, &water, enough));
        }
        if place.hydrant.is_some() && (flows || !here.is_empty()) {
            s.step(
                format!("y1 {n}"),
                "in the trough at the hour's end",
                place.left_m3,
                "m3",
                format!("{water} - ({})", each(hour, number, "u")),
                "ledger of the trough",
            );
        }
    }
    s
}

fn one_drinker(
    s: &mut Section,
    hour: &MarchedHour,
    drinker: &DrinkerHour,
    (place, water, enough): (&PlaceHour, &str, bool),
) {
    let at = &place.name;
    let d = &drinker.name;
    let how = if enough {
        format!("e {d}: there is enough at {at}")
    } else {
        format!("e {d} x ({water}) / sum of e at {at}, rounded down; the remainder goes to the first by name")
    };
    s.step(format!("u {d}"), "drunk", drinker.drunk_m3, "m3", how, SHARES);
    let lacks = format!("e {d} - u {d}");
    if !drinker.stock {
        s.step(format!("o1 {d}"), "not had, and not owed", drinker.lacks_m3, "m3", lacks, "an extra");
        return;
    }
    s.step(format!("o1 {d}"), "owed at the hour's end", drinker.lacks_m3, "m3", lacks, "the herd's book");
    if drinker.lacks_m3 > 0.0 {
        by_cause(s, drinker, place);
    }
    let (short, when) = if hour.books {
        (drinker.lacks_m3, format!("o1 {d}: booked now, and forgotten"))
    } else {
        (0.0, "0 before midnight".to_owned())
    };
    s.step(format!("Sh {d}"), "counted as short", short, "m3", when, "the herd's book");
}

/// The causes, with the letter that stands for each.
const CAUSES: [(&str, &str); 4] =
    [("f", "frozen"), ("p", "pump or pipe too small"), ("b", "battery empty"), ("t", "tank empty")];

/// What is owed by cause.
fn by_cause(s: &mut Section, drinker: &DrinkerHour, place: &PlaceHour) {
    let (d, n) = (&drinker.name, &place.name);
    let more = drinker.lacks_m3 > drinker.owed_before_m3;
    let both = drinker.owed_before_by_cause_m3.into_iter().zip(drinker.owed_by_cause_m3);
    for ((mark, why), (before_m3, now_m3)) in CAUSES.into_iter().zip(both) {
        s.given(format!("o0{mark} {d}"), format!("owed before: {why}"), before_m3, "m3", "the hour before");
        let how = match (more, place.hydrant) {
            (true, Some(_)) => format!("o0{mark} {d} + (o1 {d} - o0 {d}) x k{mark} {n} / sum of k {n}"),
            (true, None) if mark == "t" => format!("o0t {d} + o1 {d} - o0 {d}"),
            (true, None) => format!("o0{mark} {d}"),
            (false, _) => format!("o0{mark} {d} x o1 {d} / o0 {d}"),
        };
        s.step(format!("o{mark} {d}"), format!("owed now: {why}"), now_m3, "m3", how, SHARES);
    }
}

/// The tank's line.
fn tank(run: &Run, hour: &MarchedHour, backup: Option<&Backup>, with: &str) -> Section {
    let mut s = Section::new(format!("{with}THE TANK (usable water)"));
    let (tank, plan, done) = (&run.plan.tank, &run.plan, &hour.tank);
    let gardens = !run.garden.gardens.is_empty();
    if gardens {
        let waits = "evapotranspiration; nothing while an animal is owed water";
        s.given("G", "requested for gardens", hour.garden_m3, "m3", waits);
        s.step(
            "Ug",
            "drawn for gardens",
            done.garden_m3[0],
            "m3",
            format!("G, at most T - U - {:.5}, what is left above the reserve", plan.tank.garden_reserve_m3),
            "ledger",
        );
    }
    let ug = if gardens { " - Ug" } else { "" };
    let losses = [
        ("Le", "evaporated", hour.losses_m3[0], done.evaporated_m3[0]),
        ("Ll", "leaked", hour.losses_m3[1], done.leaked_m3[0]),
    ];
    for (symbol, name, most_m3, m3) in losses {
        let before = if symbol == "Ll" { " - Le" } else { "" };
        s.step(symbol, name, m3, "m3", format!("{most_m3:.9}, at most T - U{ug}{before}"), "ledger");
    }
    let float = tank.float_stop_m3.is_some();
    s.step(
        "M",
        "level if nothing were refused",
        hour.at_hand_m3 - done.drawn_m3[0] - done.garden_m3[0] - done.evaporated_m3[0] - done.leaked_m3[0],
        "m3",
        format!("T - U{ug} - Le - Ll"),
        "ledger",
    );
    let inflows = !run.inflows.is_empty();
    if let Some(backup) = backup {
        s.step(
            "Qb",
            format!("brought by {}", backup.name),
            hour.let_in.backup_m3,
            "m3",
            format!(
                "Bo, less what would stand above {:.5}, its stop; it is refused first",
                backup.stops_at_m3
            ),
            "scheme",
        );
    }
    let pump = if hour.float_permits { "Qo" } else { "0" };
    let rest = if backup.is_some() { "M - (Bo - Qb)" } else { "M" };
    let how = match (float, inflows) {
        (true, false) => {
            format!("{pump}, less {rest} - {:.5} where that is above 0: the float's stop", tank.full_m3())
        }
        (true, true) => format!(
            "{pump}, less its part of {rest} - {:.5} where that is above 0: the float's stop; pump and inflows with a \
             valve are refused in proportion to what they bring",
            tank.full_m3()
        ),
        (false, _) => pump.to_owned(),
    };
    s.step("Qp", "pumped into the tank", done.pumped_m3[0], "m3", how, "float rule");
    s.step("Qt", "curtailed by the float", done.curtailed_m3[0], "m3", "Qo - Qp", "float rule");
    if inflows {
        s.step(
            "Qv",
            "let in of inflows with a valve",
            hour.let_in.valve_m3,
            "m3",
            "Iv, less the rest of what is refused",
            "float rule",
        );
        s.step(
            "Qf",
            "let in of those that run on",
            hour.let_in.free_m3,
            "m3",
            "If: what does not fit is spilled",
            "no float",
        );
    }
    s.step(
        "O",
        "spilled",
        done.spilled_m3[0],
        "m3",
        format!("what would stand above the rim at {:.5}, at most what came", tank.capacity_m3),
        "ledger",
    );
    let end = format!(
        "x0 + Qp{}{} - U{ug} - Le - Ll - O",
        if inflows { " + Qv + Qf" } else { "" },
        if backup.is_some() { " + Qb" } else { "" }
    );
    s.step("x1", "in the tank at the hour's end", hour.left_m3, "m3", end, "ledger");
    if run.booster().is_some() {
        s.step("P", "power of the booster", hour.booster_wh, "W", "current x voltage x time", "its table");
        s.step("E", "in the battery at the hour's end", hour.battery_wh, "Wh", "charge - drain", "battery");
    }
    s
}

/// The well with the float acting, where it remembers.
pub(super) fn well(run: &Run, h: usize) -> Option<Section> {
    let hour = run.well.as_ref()?.hours.get(h)?;
    let mut s = Section::new("THE WELL WITH THE FLOAT ACTING (from the march)");
    s.step(
        "tr",
        "time that the pump ran",
        hour.running_h,
        "h",
        "the whole hour less rests at the cut-out where the tank took all; 0 where it took nothing; else the part after which \
         the tank had what it took, found by repeating the pump's hour from the state at its start",
        "float rule",
    );
    s.given("Lr", "lifted in that time", hour.lifted_m3, "m3", "pump, well and pipe over tr");
    s.given("Wr", "of it through the weep hole", hour.weep_m3, "m3", "Torricelli, over tr");
    s.given("Rr", "of it to fill the drained pipe", hour.riser_refill_m3, "m3", "what it lacked");
    s.step(
        "Ar",
        "arrived in the tank",
        hour.lifted_m3 - hour.weep_m3 - hour.riser_refill_m3,
        "m3",
        "Lr - Wr - Rr; counted on the grid, what is less than a step of it goes to the next hour",
        "ledger of the well",
    );
    if run.plan.supply.well.bore.is_some() {
        s.given("sr", "drawdown in the bore at the hour's end", hour.drawdown_m, "m", "well");
    }
    Some(s)
}
