//! The hour of a march: what comes to the tank, what each place could take, who drank, the tank's line.

use super::Section;
use crate::inflow::{self, Backup, WhenFull};
use crate::simulate::{DrinkerHour, MarchedHour, PlaceHour, Run, TankHour};
use crate::tank;

const GRID: &str = "grid of 2^-20 m3";
const SHARES: &str = "shares rounded down to the grid of 2^-20 m3";

/// All of the hour; `backup`: the pass in which it may be called.
pub(super) fn sections(run: &Run, hour: &MarchedHour, backup: Option<&Backup>, h: usize) -> Vec<Section> {
    let with = if backup.is_some() { "WITH THE BACKUP: " } else { "" };
    let tanks: Vec<At<'_>> = hour.tanks.iter().map(|tank| At::new(run, hour, tank, backup)).collect();
    // Of several tanks each has what its feeder passes on: what comes to it is told after that.
    let several = tanks.len() > 1;
    let mut all: Vec<Section> = Vec::new();
    if several {
        all.push(wants(hour, with));
    }
    for tank in &tanks {
        all.push(comes(tank, h, with));
        if !several {
            all.push(wants(hour, with));
        }
        all.push(places(tank, h, with));
    }
    all.push(drunk(hour, with));
    all.extend(tanks.iter().map(|tank| tank_line(tank, with)));
    if let Some(last) = all.last_mut() {
        battery(last, run, hour);
    }
    // The well of this pass is kept without the backup alone.
    if backup.is_none() {
        all.extend(well(run, h));
    }
    all
}

/// A tank, one of several or the only one.
struct At<'a> {
    run: &'a Run,
    hour: &'a MarchedHour,
    tank: &'a TankHour,
    settings: &'a tank::Settings,
    /// The backup that fills it, in a pass in which it may be called.
    backup: Option<&'a Backup>,
    /// What stands behind a symbol: nothing for the only tank, else its name.
    of: String,
    /// What stands behind a title.
    title: String,
}

impl<'a> At<'a> {
    fn new(run: &'a Run, hour: &'a MarchedHour, tank: &'a TankHour, backup: Option<&'a Backup>) -> Self {
        let settings = run.plan.tanks().nth(tank.number).unwrap_or(&run.plan.tank);
        let several = hour.tanks.len() > 1;
        let filled = |backup: &&Backup| run.plan.tank_number(backup.tank.as_deref()) == Some(tank.number);
        Self {
            run,
            hour,
            tank,
            settings,
            backup: backup.filter(filled),
            of: if several { format!(" {}", settings.name) } else { String::new() },
            title: if several { format!(": {}", settings.name) } else { String::new() },
        }
    }

    /// The inflows that run into it.
    fn inflows(&self) -> impl Iterator<Item = &inflow::Column> {
        self.run.inflows.iter().filter(|inflow| inflow.tank == self.settings.name)
    }

    fn has_inflows(&self) -> bool {
        self.inflows().next().is_some()
    }

    /// The tank that feeds it.
    fn feeder(&self) -> Option<&str> {
        let several = self.run.several.as_ref()?;
        Some(several.names[several.tree.from[self.tank.number]?].as_str())
    }

    /// Whether a pump from a well fills it.
    fn has_pump(&self) -> bool {
        let lifts = self.run.several.iter().flat_map(|several| &several.lifts);
        self.tank.number == 0 || lifts.into_iter().any(|lift| lift.into == self.tank.number)
    }

    /// Its places, each with its number among all.
    fn places(&self) -> impl Iterator<Item = (usize, &PlaceHour)> {
        self.hour.places.iter().enumerate().filter(|(_, place)| place.tank == self.tank.number)
    }

    /// The names of other tanks.
    fn name(&self, number: usize) -> &str {
        self.run.plan.tanks().nth(number).map_or("", |tank| tank.name.as_str())
    }
}

/// What is in a tank and what comes to it.
fn comes(at: &At<'_>, h: usize, with: &str) -> Section {
    let (run, of, backup, hour) = (at.run, &at.of, at.backup, at.tank);
    let mut s = Section::new(format!("{with}WHAT THE TANK HAS FOR THE HOUR{}", at.title));
    s.given(format!("x0{of}"), "in the tank at the hour's start", hour.stored_m3, "m3", "the hour before");
    let several = run.lifts.len() > 1;
    let available = if several {
        "each pump into it as if no float stopped it: Q x time running, in sum"
    } else if run.plan.supply.pipe.weep_hole.is_some() {
        "Qd, as if no float stopped the pump"
    } else {
        "Q x time running, as if no float stopped the pump"
    };
    if at.has_pump() {
        s.step(format!("Qo{of}"), "available", hour.offered.pump_m3, "m3", available, GRID);
    }
    for inflow in at.inflows() {
        let source = match inflow.when_full {
            WhenFull::Refused => "its own column; a valve shuts it at the float's stop",
            WhenFull::Spilled => "its own column; it runs on at a full tank",
        };
        s.given(format!("I {}", inflow.name), "inflow", inflow.m3[h], "m3", source);
    }
    if at.has_inflows() {
        s.step(
            format!("Iv{of}"),
            "inflows with a valve",
            hour.offered.valve_m3,
            "m3",
            "sum of those I",
            "sum",
        );
        s.step(format!("If{of}"), "inflows that run on", hour.offered.free_m3, "m3", "sum of those I", "sum");
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
    if let Some(feeder) = at.feeder() {
        let link_m3 = hour.offered.link_m3;
        s.step(
            format!("Lk{of}"),
            format!("from the tank {feeder}"),
            link_m3,
            "m3",
            format!("p{of}"),
            "the section of that tank",
        );
    }
    let mut sum = format!("x0{of}");
    let mut add = |symbol: &str, counts: bool| {
        if counts {
            sum.push_str(&format!(" + {symbol}{of}"));
        }
    };
    add("Qo", hour.float_permits && at.has_pump());
    add("Iv", at.has_inflows());
    add("If", at.has_inflows());
    if backup.is_some() {
        sum.push_str(" + Bo");
    }
    if at.feeder().is_some() {
        sum.push_str(&format!(" + Lk{of}"));
    }
    if !hour.float_permits {
        sum.push_str("; the float keeps the pump off");
    }
    s.step(format!("T{of}"), "at hand", hour.at_hand_m3, "m3", sum, "sum");
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
fn places(at: &At<'_>, h: usize, with: &str) -> Section {
    let (run, hour, of) = (at.run, at.hour, &at.of);
    let mut s = Section::new(format!("{with}WHAT EACH PLACE TAKES OF THE TANK{}", at.title));
    for (number, place) in at.places() {
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
    let sum: f64 = at.places().map(|(_, place)| place.could_m3).sum();
    s.step(format!("C{of}"), "all places together", sum, "m3", "sum of c", "sum");
    let enough = sum <= at.tank.at_hand_m3;
    for (_, place) in at.places().filter(|(_, place)| place.could_m3 > 0.0) {
        let PlaceHour { name: n, share_m3, taken_m3, hydrant, .. } = place;
        s.step(
            format!("v {n}"),
            "its share",
            *share_m3,
            "m3",
            if enough {
                format!("c {n}: the tank has enough")
            } else {
                format!("c {n} x T{of}/C{of}, rounded down; the remainder goes to the first by name")
            },
            SHARES,
        );
        let (name, how) = match (hydrant, enough) {
            (None, true) => ("taken at the tank", format!("v {n}")),
            (None, false) => (
                "taken at the tank",
                format!("v {n}, and what hydrants left of theirs: T{of} - sum of the other f, at most c {n}"),
            ),
            (Some(_), true) => ("into the trough", format!("v {n}")),
            (Some(_), false) => {
                ("into the trough", format!("v {n}, as far as it flows within the hour beside the others"))
            }
        };
        s.step(format!("f {n}"), name, *taken_m3, "m3", how, "march");
    }
    s.step(
        format!("U{of}"),
        "drawn from the tank",
        at.places().map(|(_, place)| place.taken_m3).sum(),
        "m3",
        "sum of f; where c is 0 nothing is taken",
        "sum",
    );
    for (fed, m3) in &at.tank.passed_on_m3 {
        let name = at.name(*fed);
        let most_m3 = run.several.as_ref().and_then(|several| Some(several.links[*fed].as_ref()?.most_m3[h]));
        s.step(
            format!("p {name}"),
            format!("passed on to the tank {name}"),
            *m3,
            "m3",
            format!(
                "what {name} lacks to its stop once its own sources have run and its places and links have taken theirs; \
                 at most {:.9}, what the link passes in the hour, and at most its share of C{of} left of T{of}",
                most_m3.unwrap_or_default()
            ),
            SHARES,
        );
    }
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
fn tank_line(at: &At<'_>, with: &str) -> Section {
    let (hour, of) = (at.tank, &at.of);
    let mut s = Section::new(format!("{with}THE TANK{of} (usable water)"));
    let done = &hour.hour;
    let taken = lost(&mut s, at);
    s.step(
        format!("M{of}"),
        "level if nothing were refused",
        hour.at_hand_m3 - done.drawn_m3[0] - done.garden_m3[0] - done.evaporated_m3[0] - done.leaked_m3[0],
        "m3",
        format!("T{of} - {taken}"),
        "ledger",
    );
    let_in(&mut s, at);
    s.step(
        format!("O{of}"),
        "spilled",
        done.spilled_m3[0],
        "m3",
        format!("what would stand above the rim at {:.5}, at most what came", at.settings.capacity_m3),
        "ledger",
    );
    let end = format!(
        "x0{of}{}{}{}{} - {taken} - O{of}",
        if at.has_pump() { format!(" + Qp{of}") } else { String::new() },
        if at.has_inflows() { format!(" + Qv{of} + Qf{of}") } else { String::new() },
        if at.backup.is_some() { " + Qb" } else { "" },
        if at.feeder().is_some() { format!(" + Lk{of}") } else { String::new() }
    );
    s.step(format!("x1{of}"), "in the tank at the hour's end", hour.left_m3, "m3", end, "ledger");
    s
}

/// What gardens take and what is lost; returns all that is taken, as it stands in an equation.
fn lost(s: &mut Section, at: &At<'_>) -> String {
    let (hour, of) = (at.tank, &at.of);
    let done = &hour.hour;
    let passed: String = hour.passed_on_m3.iter().map(|(fed, _)| format!(" - p {}", at.name(*fed))).collect();
    let gardens = !at.run.garden.gardens.is_empty();
    if gardens {
        let waits = "evapotranspiration; nothing while an animal is owed water";
        s.given(format!("G{of}"), "requested for gardens", hour.garden_m3, "m3", waits);
        s.step(
            format!("Ug{of}"),
            "drawn for gardens",
            done.garden_m3[0],
            "m3",
            format!(
                "G{of}, at most T{of} - U{of}{passed} - {:.5}, what is left above the reserve",
                at.settings.garden_reserve_m3
            ),
            "ledger",
        );
    }
    let ug = if gardens { format!(" - Ug{of}") } else { String::new() };
    let losses = [
        ("Le", "evaporated", hour.losses_m3[0], done.evaporated_m3[0]),
        ("Ll", "leaked", hour.losses_m3[1], done.leaked_m3[0]),
    ];
    for (symbol, name, most_m3, m3) in losses {
        let before = if symbol == "Ll" { format!(" - Le{of}") } else { String::new() };
        s.step(
            format!("{symbol}{of}"),
            name,
            m3,
            "m3",
            format!("{most_m3:.9}, at most T{of} - U{of}{passed}{ug}{before}"),
            "ledger",
        );
    }
    format!("U{of}{passed}{ug} - Le{of} - Ll{of}")
}

/// What the tank lets in of each source.
fn let_in(s: &mut Section, at: &At<'_>) {
    let (hour, backup, of, tank) = (at.tank, at.backup, &at.of, at.settings);
    let done = &hour.hour;
    let float = tank.float_stop_m3.is_some();
    let inflows = at.has_inflows();
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
    let pump = if hour.float_permits { format!("Qo{of}") } else { "0".to_owned() };
    let rest = if backup.is_some() { format!("M{of} - (Bo - Qb)") } else { format!("M{of}") };
    let how = match (float, inflows) {
        (true, false) => {
            format!("{pump}, less {rest} - {:.5} where that is above 0: the float's stop", tank.full_m3())
        }
        (true, true) => format!(
            "{pump}, less its part of {rest} - {:.5} where that is above 0: the float's stop; pump and inflows with a \
             valve are refused in proportion to what they bring",
            tank.full_m3()
        ),
        (false, _) => pump,
    };
    if at.has_pump() {
        s.step(format!("Qp{of}"), "pumped into the tank", done.pumped_m3[0], "m3", how, "float rule");
        let curtailed = format!("Qo{of} - Qp{of}");
        s.step(
            format!("Qt{of}"),
            "curtailed by the float",
            done.curtailed_m3[0],
            "m3",
            curtailed,
            "float rule",
        );
    }
    if inflows {
        s.step(
            format!("Qv{of}"),
            "let in of inflows with a valve",
            hour.let_in.valve_m3,
            "m3",
            format!("Iv{of}, less the rest of what is refused"),
            "float rule",
        );
        s.step(
            format!("Qf{of}"),
            "let in of those that run on",
            hour.let_in.free_m3,
            "m3",
            format!("If{of}: what does not fit is spilled"),
            "no float",
        );
    }
}

/// The booster's battery.
fn battery(s: &mut Section, run: &Run, hour: &MarchedHour) {
    if run.booster().is_some() {
        s.step("P", "power of the booster", hour.booster_wh, "W", "current x voltage x time", "its table");
        s.step("E", "in the battery at the hour's end", hour.battery_wh, "Wh", "charge - drain", "battery");
    }
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
