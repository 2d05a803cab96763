//! Slips of a practitioner: a wrong unit, a lost point, a swapped column, a part that does nothing. Each is refused with a
//! way out that mends it, or named in an alert; a scheme without slips has none of these alerts.

use serde_json::Value;

use crate::program::Desk;
use crate::support::data;

/// A shipped scheme with texts replaced, beside its weather.
fn desk(name: &str, changes: &[(&str, &str)]) -> Desk {
    let desk = Desk::new();
    std::fs::copy(data("demo").join("weather.csv"), desk.path("weather.csv")).unwrap();
    let mut text = std::fs::read_to_string(data("demo").join(name)).unwrap();
    for (from, to) in changes {
        assert!(text.contains(from), "{name} has no {from:?}");
        text = text.replacen(from, to, 1);
    }
    desk.write("s.toml", &text);
    desk
}

/// The alerts of a scheme with texts replaced.
fn alerts(name: &str, changes: &[(&str, &str)]) -> Vec<String> {
    let answer = desk(name, changes).run(&["run", "s.toml", "--json", "-"]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    let json: Value = serde_json::from_str(&answer.out).unwrap();
    json["warnings"].as_array().unwrap().iter().map(|w| w.as_str().unwrap().to_owned()).collect()
}

/// Whether an alert begins with each of `keys`, and no other alert speaks of what is usual.
fn told(alerts: &[String], keys: &[&str]) {
    for key in keys {
        assert!(alerts.iter().any(|a| a.starts_with(key)), "nothing about {key}: {alerts:#?}");
    }
    let usual: Vec<&String> = alerts.iter().filter(|a| a.contains("; usual: ")).collect();
    for alert in usual {
        assert!(keys.iter().any(|key| alert.starts_with(key)), "{alert}");
    }
}

/// What a scheme with one text replaced is refused with.
fn refused(name: &str, from: &str, to: &str) -> String {
    let answer = desk(name, &[(from, to)]).run(&["run", "s.toml"]);
    assert_eq!((answer.code, answer.out.as_str()), (2, ""), "{to}");
    answer.err
}

#[test]
fn the_shipped_schemes_raise_no_alert_about_what_is_usual_or_unused() {
    for name in
        ["scheme.toml", "roomy.toml", "five_herds.toml", "rounds.toml", "brushed.toml", "three_tanks.toml"]
    {
        let found = alerts(name, &[]);
        for word in ["; usual: ", "not needed", "leave it out", "stops nothing"] {
            assert!(!found.iter().any(|a| a.contains(word)), "{name}: {found:#?}");
        }
    }
}

#[test]
fn values_far_from_what_is_usual_raise_an_alert_each() {
    let found = alerts(
        "scheme.toml",
        &[
            ("bore = \"32.6 mm\"", "bore = \"41 in\""),
            ("series = 2", "series = 40"),
            ("float_stop = \"10.5 m3\"\nfloat_start = \"9 m3\"", "float_stop = \"2.86 m3\""),
            ("specific_capacity = \"9 L/min/m\"", "specific_capacity = \"9 L/s/m\""),
            ("yield = \"24 L/min\"", "yield = \"24 L/s\""),
            ("tilt = \"60 deg\"", "tilt = \"10 deg\""),
            ("drinks = \"4.5 L\"", "drinks = \"450 L\""),
            ("area = \"4 mm2\"", "area = \"4 cm2\""),
            ("soiling = \"2 %\"", "soiling = \"98 %\""),
            ("mismatch = \"2 %\"", "mismatch = \"98 %\""),
            ("isc_temperature = \"0.05 %/K\"", "isc_temperature = \"0.5 %/K\""),
        ],
    );
    told(
        &found,
        &[
            "pipe.buried.bore: inside diameter 1.041 m;",
            "array.shed.series: open-circuit voltage of a string 1608 V;",
            // 2.86/11 = 26 %.
            "tank.main.float_stop: float stop as a share of the usable volume: 26 %;",
            "well.specific_capacity: flow per metre of drawdown 540 L/min/m;",
            "well.yield: ",
            // 10 − 47.1.
            "array.shed.tilt: tilt from the horizontal, less the latitude, -37.1°;",
            "herd.ewes.drinks: daily drinking water per head 450 L/day;",
            "array.shed.cable: ",
            "array.shed.soiling: soiling loss 98 %;",
            "array.shed.mismatch: ",
            "array.shed.module.isc_temperature: ",
        ],
    );
    let found = alerts(
        "rounds.toml",
        &[
            ("capacity = \"150 Ah\"", "capacity = \"15000 Ah\""),
            ("trough = \"700 L\"", "trough = \"0.7 L\""),
            ("trough = \"900 L\"", "trough = \"900 m3\""),
            ("static_level = \"21 m\"", "static_level = \"21 cm\""),
            ("length = \"1200 m\"", "length = \"12 km\""),
        ],
    );
    told(
        &found,
        &[
            "booster.battery.capacity: battery capacity 15000 Ah;",
            "hydrant.brook.trough: trough volume 0.7 L;",
            "hydrant.moor.trough: trough volume 900 m³;",
            "well.static_level: static level 0.21 m;",
            "hydrant.moor.pipe.branch.length: ",
        ],
    );
    let found = alerts(
        "brushed.toml",
        &[
            ("restart_delay = \"30 min\"", "restart_delay = \"30 h\""),
            ("torque_constant = \"0.115 N m/A\"", "torque_constant = \"1.15 N m/A\""),
            ("pressure_class = \"160 psi\"", "pressure_class = \"1.6 psi\""),
        ],
    );
    told(
        &found,
        &["well.restart_delay: ", "pump.torque_constant: ", "pipe.drop.pressure_class: pressure class"],
    );
    // 1.6 psi are 1.1 m of water: the pipe would burst, and that comes before all that is not a danger.
    assert!(found[0].starts_with("WELFARE ALARM"), "{found:#?}");
    assert!(
        found[1].starts_with("pipe.drop.pressure_class: ") && found[1].contains("ABOVE ITS CLASS"),
        "{found:#?}"
    );
}

#[test]
fn parts_that_are_declared_and_do_nothing_raise_an_alert_each() {
    // Nobody goes to the moor: calves stay on the hill, cows too; deer draw no share; the ring's frost stops nothing.
    let found = alerts(
        "rounds.toml",
        &[
            (
                "[\"moor\", \"06-15 to 09-09\"],\n  [\"hill\", \"09-10 to 11-14\"]",
                "[\"hill\", \"06-15 to 11-14\"]",
            ),
            (
                "[\"moor\", \"06-15 to 09-09\"], [\"hill\", \"09-10 to 10-15\"]",
                "[\"hill\", \"06-15 to 10-15\"]",
            ),
            ("share_of_herd = \"4 %\"", "share_of_herd = \"0 %\""),
            ("stops = \"delivery\"\n", ""),
        ],
    );
    for key in
        ["hydrant.moor: no stock drinks there", "extra.deer: draws nothing", "frost.part.ring: stops nothing"]
    {
        assert!(found.iter().any(|a| a.starts_with(key)), "nothing about {key}: {found:#?}");
    }
    // All hydrants far below the tank: the water runs down by itself.
    let found = alerts(
        "rounds.toml",
        &[
            ("height = \"3 m\"", "height = \"-30 m\""),
            ("height = \"14 m\"", "height = \"-30 m\""),
            ("height = \"13 m\"", "height = \"-30 m\""),
            ("bore = \"16 mm\"", "bore = \"32.6 mm\""),
        ],
    );
    assert!(found.iter().any(|a| a.starts_with("booster: not needed: by gravity alone")), "{found:#?}");
}

#[test]
fn a_hint_never_keeps_a_number_that_was_meant_for_something_else() {
    // Head and power swapped: neither "45 m" nor "20 W" is what the table says.
    let swapped = refused("scheme.toml", "[\"20 m\", \"45 W\",", "[\"45 W\", \"20 m\",");
    assert!(
        swapped.contains("\"45 W\" is a power") && swapped.contains("move it to where a power belongs"),
        "{swapped}"
    );
    assert!(!swapped.contains("\"45 m\"") && !swapped.contains("\"20 W\""), "{swapped}");
    let flow = refused("scheme.toml", "\"45 W\", \"2.5 L/min\"", "\"2.5 L/min\", \"45 W\"");
    assert!(!flow.contains("write") && flow.contains("move it to where a flow belongs"), "{flow}");
    let volume = refused("scheme.toml", "yield = \"24 L/min\"", "yield = \"24 gal\"");
    assert!(!volume.contains("write") && !volume.contains("did you mean"), "{volume}");
    // A unit that is only cut short is another matter.
    let area = refused("scheme.toml", "area = \"4 mm2\"", "area = \"4 mm\"");
    assert!(area.contains("did you mean \"4 mm2\"?"), "{area}");
    let capacity = refused("scheme.toml", "\"9 L/min/m\"", "\"9 L/min\"");
    assert!(capacity.contains("did you mean \"9 L/min/m\"?"), "{capacity}");
    // The nearest spelling would be 3600 times as much, or a hundredth.
    let seconds = refused("scheme.toml", "\"9 L/min/m\"", "\"540 gal/h/ft\"");
    assert!(!seconds.contains("did you mean") && seconds.contains("convert it to one of these"), "{seconds}");
    let decilitres = refused("scheme.toml", "\"4.5 L\"", "\"45 dL\"");
    assert!(!decilitres.contains("did you mean"), "{decilitres}");
    // A mass in the wrong unit.
    let pounds = refused("scheme.toml", "\"590 kg\"", "\"1300 kg\"");
    assert!(pounds.contains("1300 lb is in range: check the unit"), "{pounds}");
    let kilograms = refused("scheme.toml", "\"590 kg\"", "\"590 lb\"");
    assert!(kilograms.contains("590 kg is in range: check the unit"), "{kilograms}");
}

#[test]
fn litres_an_hour_for_each_metre_are_read() {
    let found = |unit: &str| {
        let desk = desk("scheme.toml", &[("\"9 L/min/m\"", unit)]);
        let answer = desk.run(&["run", "s.toml", "--json", "-"]);
        assert_eq!((answer.code, answer.err.as_str()), (0, ""));
        let json: Value = serde_json::from_str(&answer.out).unwrap();
        (json["available_m3"].clone(), json["shortfall_days"].clone())
    };
    assert_eq!(found("\"540 L/h/m\""), found("\"9 L/min/m\""));
}

#[test]
fn a_fault_of_the_boosters_table_stands_at_its_key() {
    // 36 m at 0.5 A and 24 V: the water alone takes more.
    let fault =
        refused("rounds.toml", "[\"6 L/min\", \"36 m\", \"5 A\"]", "[\"6 L/min\", \"36 m\", \"0.5 A\"]");
    assert!(fault.contains("booster.table") && !fault.contains("head_flow"), "{fault}");
    // The name that the well's pump has for such a table.
    let named = refused("rounds.toml", "table = [\n  [\"0 L/min\"", "head_flow = [\n  [\"0 L/min\"");
    assert!(named.contains("did you mean table?") && named.lines().count() == 1, "{named}");
    let volume = refused("scheme.toml", "capacity = \"11 m3\"", "volume = \"11 m3\"");
    assert!(volume.contains("did you mean capacity?") && volume.lines().count() == 1, "{volume}");
}
