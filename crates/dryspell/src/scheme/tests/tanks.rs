//! Several tanks and wells.

use super::{BASE, report};
use crate::link::Way;
use crate::plan::Plan;
use crate::scheme::Scheme;

/// The base scheme with the tank of its inflow named.
fn base() -> String {
    BASE.replace("[inflow.main]", "[inflow.main]\ninto = \"main\"")
}

/// It with more tables at its end.
fn with(tables: &str) -> String {
    format!("{}\n{tables}\n", base())
}

fn read(tables: &str) -> Plan {
    Scheme::from_toml(&with(tables)).unwrap_or_else(|faults| panic!("{faults}")).plan()
}

#[track_caller]
fn refused(tables: &str, key: &str, expected: &str) {
    let faults = report(&with(tables));
    let told = faults.lines().any(|line| line.contains(key) && line.contains(expected));
    assert!(told, "{tables}:\n{faults}\nnot at {key}: {expected}");
}

const RIDGE: &str = "[tank.ridge]\ncapacity = \"6 m3\"\n";
const PUMP: &str = "[tank.ridge.feed]\nfrom = \"main\"\npump_flow = \"20 L/min\"\n";
/// The base scheme's well once more, as a further one into the tank on the ridge.
fn lift() -> String {
    let from = BASE.find("[array.roof]").unwrap();
    BASE[from..BASE.find("[pipe.buried]").unwrap()]
        .replace("[array", "[lift.east.array")
        .replace("[well]", "[lift.east.well]")
        .replace("[pump]", "[lift.east.pump]\ninto = \"ridge\"")
        .replace("[pipe", "[lift.east.pipe")
}

#[test]
fn a_pipe_a_transfer_pump_and_a_second_well_are_read() {
    let low = "[tank.low]\ncapacity = \"3 m3\"\n[tank.low.feed]\nfrom = \"ridge\"\nheight = \"-5 m\"\npressure = \"20 \
               kPa\"\n[tank.low.feed.pipe.line]\nlength = \"80 m\"\nbore = \"26 mm\"\nmaterial = \"plastic\"\n";
    let plan = read(&format!("{RIDGE}inlet_height = \"9 m\"\n{PUMP}hours = [1, 2]\n{low}{}", lift()));
    assert_eq!(plan.tank.name, "main");
    let names: Vec<&str> = plan.other_tanks.iter().map(|tank| tank.name.as_str()).collect();
    assert_eq!(names, ["ridge", "low"]);
    assert_eq!((plan.links[0].from.as_str(), plan.links[1].from.as_str()), ("main", "ridge"));
    let Way::Pump { flow, needs_sun: false } = &plan.links[0].way else { panic!() };
    assert!((flow.flow_m3_per_h[0] - 1.2).abs() < 1e-12 && flow.hours.iter().filter(|on| **on).count() == 2);
    let Way::Pipe { height_m, pressure_m, .. } = &plan.links[1].way else { panic!() };
    assert!((height_m + 5.0).abs() < 1e-12 && (pressure_m - 2.039_432).abs() < 1e-6);
    let lift = &plan.lifts[0];
    assert_eq!((lift.name.as_str(), lift.into.as_str()), ("east", "ridge"));
    assert!((lift.supply.pipe.inlet_height_m - 9.0).abs() < 1e-12);
    plan.check().unwrap();
}

#[test]
fn the_pump_fills_the_tank_that_no_other_feeds() {
    let feed = "[tank.ridge]\ncapacity = \"6 m3\"\ninlet_height = \"9 m\"\n";
    let fed =
        base().replace("[rules]", "[tank.main.feed]\nfrom = \"ridge\"\npump_flow = \"9 L/min\"\n[rules]");
    let plan = Scheme::from_toml(&format!("{fed}\n{feed}")).unwrap_or_else(|f| panic!("{f}")).plan();
    assert_eq!((plan.tank.name.as_str(), plan.other_tanks[0].name.as_str()), ("ridge", "main"));
    // Herds that name no tank drink where the pump fills; a tank named is kept, that of the pump forgotten.
    let named = fed.replace("drinks = \"55 L\"", "drinks = \"55 L\"\ntank = \"main\"");
    let plan = Scheme::from_toml(&format!("{named}\n{feed}")).unwrap().plan();
    assert_eq!(plan.draw.groups[0].tank.as_deref(), Some("main"));
    let named = fed.replace("drinks = \"55 L\"", "drinks = \"55 L\"\ntank = \"ridge\"");
    assert_eq!(Scheme::from_toml(&format!("{named}\n{feed}")).unwrap().plan().draw.groups[0].tank, None);
}

#[test]
fn what_is_no_tree_is_refused() {
    refused(
        &format!("{RIDGE}{}", PUMP.replace("main", "mian")),
        "tank.ridge.feed.from",
        "did you mean \"main\"?",
    );
    refused(
        &format!(
            "{RIDGE}{}[tank.low]\ncapacity = \"1 m3\"\n[tank.low.feed]\nfrom = \"ridge\"\npump_flow = \"1 L/min\"",
            PUMP.replace("main", "low")
        ),
        "tank.ridge.feed.from",
        "tanks that feed each other: ridge, low",
    );
    refused(&format!("{RIDGE}inlet_height = \"9 m\""), "pump.into", "this key is missing");
    let into = base().replace("[pump]", "[pump]\ninto = \"main\"");
    let faults = report(&format!("{into}\n{RIDGE}"));
    assert!(
        faults.contains("tank.ridge: nothing fills the tank \"ridge\"; [tank.ridge.feed] from another tank"),
        "{faults}"
    );
}

#[test]
fn a_feed_is_a_pipe_or_a_pump() {
    refused(
        &format!("{RIDGE}[tank.ridge.feed]\nfrom = \"main\""),
        "tank.ridge.feed.pipe",
        "nothing says how the water comes",
    );
    refused(
        &format!("{RIDGE}{PUMP}height = \"-3 m\""),
        "tank.ridge.feed.height",
        "height has no effect on a transfer pump",
    );
    let pipe = "[tank.ridge.feed]\nfrom = \"main\"\nheight = \"3 m\"\n[tank.ridge.feed.pipe.line]\nlength = \"80 m\"\nbore = \"26 mm\"\n\
                material = \"plastic\"\n";
    refused(
        &format!("{RIDGE}{pipe}"),
        "tank.ridge.feed.height",
        "below that outlet where no pump lifts the water",
    );
    refused(
        &format!("{RIDGE}{}", pipe.replace("height = \"3 m\"\n", "")),
        "tank.ridge.feed.height",
        "this key is missing",
    );
    refused(
        &format!("{RIDGE}{}", pipe.replace("\"3 m\"", "\"-3 m\"\nhours = [3]")),
        "tank.ridge.feed.hours",
        "hours has no effect on a pipe",
    );
}

#[test]
fn who_names_a_tank_names_one_of_the_scheme() {
    let ridge = format!("{RIDGE}{PUMP}");
    refused(
        &format!("{ridge}[inflow.spring]\nflow = \"1 L/min\""),
        "inflow.spring.into",
        "this key is missing",
    );
    refused(
        &format!("{ridge}[garden.plot]\narea = \"9 m2\"\nkc = 1\nhours = [5]\ntank = \"ridg\""),
        "garden.plot.tank",
        "did you mean \"ridge\"?",
    );
    refused(
        &format!("{ridge}[herd.ewes]\ncount = 3\ndrinks = \"5 L\"\ntank = \"x\""),
        "herd.ewes.tank",
        "no tank \"x\"",
    );
    refused(
        &format!("{ridge}[hydrant.ridge]\nheight = \"-3 m\""),
        "hydrant.ridge",
        "a hydrant and a tank with the name \"ridge\"",
    );
    refused(
        &format!("{ridge}{}", lift().replace("into = \"ridge\"", "into = \"rigde\"")),
        "lift.east.pump.into",
        "did you mean \"ridge\"?",
    );
    refused(&format!("{ridge}{}", lift()), "tank.ridge", "needed where [lift.east.pump] fills the tank");
    let deep = lift().replace("\"18 m\"", "\"80 m\"");
    refused(&format!("{RIDGE}inlet_height = \"9 m\"\n{PUMP}{deep}"), "lift.east.", "static head");
}
