//! Water that is brought when the tank is low.

use super::BASE;
use crate::inflow::{Backup, Bringing, Cost};
use crate::scheme::Scheme;

/// The base scheme with a backup of these keys in the place of its own, and the line on which `[backup]` stands.
fn text(keys: &str) -> (String, usize) {
    let without = BASE.split("[backup]").next().unwrap();
    (format!("{without}[backup]\n{keys}\n"), without.lines().count() + 1)
}

fn read(keys: &str) -> Backup {
    Scheme::from_toml(&text(keys).0).unwrap().plan().backup.unwrap()
}

/// Faults, each without what stands before its key, and the lines below `[backup]` on which they stand.
fn faults(keys: &str) -> Vec<(usize, String)> {
    let (text, table) = text(keys);
    let faults = Scheme::from_toml(&text).unwrap_err();
    faults
        .iter()
        .map(|fault| (fault.location.line.unwrap() - table, format!("{}: {}", fault.found, fault.accepted)))
        .collect()
}

#[test]
fn loads_and_flows_are_read() {
    let truck = read(
        "name = \"truck\"\nload = \"4 m3\"\nstarts_below = \"2 m3\"\nstops_at = \"9 m3\"\ndelay = \"90 min\"\n\
         daily_limit = \"8 m3\"\ndates = [\"11-01 to 04-30\"]\ncost_per_load = 120",
    );
    assert_eq!((truck.name.as_str(), truck.bringing), ("truck", Bringing::Load(4.0)));
    assert_eq!((truck.starts_below_m3, truck.stops_at_m3, truck.delay_h), (2.0, 9.0, 1.5));
    assert_eq!((truck.most_m3_per_day, truck.dates.len()), (Some(8.0), 1));
    assert_eq!(truck.cost, Cost { per_load: 120.0, ..Cost::default() });
    // 30 L/min are 1.8 m³/h.
    let main = read("flow = \"30 L/min\"\nstarts_below = \"0 m3\"\nstops_at = \"11 m3\"");
    let Bringing::Flow(flow) = main.bringing else { panic!() };
    assert!((flow - 1.8).abs() < 1e-12);
    assert_eq!((main.name.as_str(), main.delay_h, main.most_m3_per_day), ("backup", 0.0, None));
}

#[test]
fn faults_stand_at_their_lines() {
    let levels = "starts_below = \"2 m3\"\nstops_at = \"9 m3\"";
    let both = faults(&format!("flow = \"30 L/min\"\nload = \"4 m3\"\n{levels}"));
    assert_eq!(both, [(2, "load given as well as flow: either flow or load".to_owned())]);
    let neither = faults(levels);
    assert!(neither[0].1.starts_with("nothing says how the backup brings its water"), "{neither:?}");
    let low = faults("flow = \"30 L/min\"\nstarts_below = \"2 m3\"\nstops_at = \"2 m3\"");
    assert_eq!(low[0].0, 3);
    assert!(low[0].1.ends_with("stops_at above starts_below"), "{low:?}");
    // The float stops at 11 m³. Another fault in the same table hides neither.
    let high =
        faults("flow = \"30 L/min\"\nstarts_below = \"2 m3\"\nstops_at = \"11.5 m3\"\ndates = [\"13-01\"]");
    let lines: Vec<usize> = high.iter().map(|(line, _)| *line).collect();
    assert_eq!(lines, [3, 4], "{high:?}");
}

#[test]
fn a_backup_made_in_code_is_held_against_the_same_ranges() {
    let (text, _) = text("flow = \"30 L/min\"\nstarts_below = \"2 m3\"\nstops_at = \"9 m3\"");
    let plan = Scheme::from_toml(&text).unwrap().plan();
    let faults = |change: fn(&mut Backup)| {
        let mut plan = plan.clone();
        change(plan.backup.as_mut().unwrap());
        plan.check().err().map_or_else(String::new, |faults| faults.to_string())
    };
    assert_eq!(faults(|_| ()), "");
    assert!(faults(|b| b.bringing = Bringing::Flow(0.0)).contains("backup.flow"));
    assert!(faults(|b| b.bringing = Bringing::Load(f64::NAN)).contains("backup.load"));
    assert!(faults(|b| b.delay_h = -1.0).contains("backup.delay"));
    assert!(faults(|b| b.most_m3_per_day = Some(0.0)).contains("backup.daily_limit"));
    assert!(faults(|b| b.cost.per_hour = -1.0).contains("backup.cost_per_hour"));
    assert!(faults(|b| b.stops_at_m3 = 1.0).contains("backup.stops_at"));
    assert!(faults(|b| b.stops_at_m3 = 11.5).contains("backup.stops_at"));
}
