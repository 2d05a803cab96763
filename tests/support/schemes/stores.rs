//! Further tanks and wells beside a scheme that has one of each.

use dryspell::units::Quantity as Q;

use super::super::random::{Random, three_digits};
use super::draft::{Draft, Table, Value, bare, flow, quantity, text};
use super::lift;

/// One or two further tanks, each fed from the first or from the other, now and then a further well; herds, gardens, hydrants and the
/// backup spread over them. `hours` is the length of the record where the transfer pump may be a column of it.
pub fn stores(d: &mut Draft, r: &mut Random, need_l: f64, hours: Option<usize>) {
    let names = &["yard", "ridge"][..1 + r.below(2)];
    if r.chance(0.5) {
        d.set("pump", "into", text("main"));
    }
    for (i, name) in names.iter().enumerate() {
        let path = format!("tank.{name}");
        let capacity = three_digits(need_l * r.between(0.3, 5.0) / 1000.0);
        d.set(&path, "capacity", quantity(capacity, "m3", Q::Volume));
        if r.chance(0.3) {
            d.set(&path, "leak", quantity(r.between(1.0, 30.0), "L/day", Q::Flow));
        }
        if r.chance(0.3) {
            d.set(
                &path,
                "float_stop",
                quantity(three_digits(capacity * r.between(0.8, 0.99)), "m3", Q::Volume),
            );
        }
        let from = if i == 1 && r.chance(0.5) { names[0] } else { "main" };
        feed(d, r, name, (from, need_l), hours);
    }
    let mut all = vec!["main"];
    all.extend(names);
    for table in ["herd", "extra", "garden", "hydrant"] {
        for name in d.names(table) {
            if r.chance(0.6) {
                let tank = *r.pick(&all);
                d.set(&format!("{table}.{name}"), "tank", text(tank));
            }
        }
    }
    if d.table("booster").is_some() && r.chance(0.5) {
        let tank = *r.pick(&all);
        d.set("booster", "tank", text(tank));
        // What it feeds starts at its tank.
        for name in d.names("hydrant") {
            d.set(&format!("hydrant.{name}"), "tank", text(tank));
        }
    }
    if d.table("backup").is_some() && r.chance(0.7) {
        d.set("backup", "into", text("main"));
    }
    for name in d.names("inflow") {
        let tank = *r.pick(&all);
        d.set(&format!("inflow.{name}"), "into", text(tank));
    }
    if r.chance(0.4) {
        let tank = *r.pick(&all);
        further_well(d, tank);
    }
}

fn feed(d: &mut Draft, r: &mut Random, name: &str, (from, need_l): (&str, f64), hours: Option<usize>) {
    let at = format!("tank.{name}.feed");
    d.set(&at, "from", text(from));
    let l_per_min = three_digits(need_l / 1440.0 * r.between(0.5, 8.0));
    match r.below(if hours.is_some() { 3 } else { 2 }) {
        0 => {
            d.set(&at, "height", quantity(-r.between(1.0, 20.0), "m", Q::Length));
            if r.chance(0.3) {
                d.set(&at, "pressure", quantity(5.0, "kPa", Q::Pressure));
            }
            let length_m = r.between(20.0, 400.0);
            lift::run(d, r, &format!("{at}.pipe.line"), length_m, 40.8);
        }
        1 => {
            d.set(&at, "pump_flow", flow(l_per_min));
            if r.chance(0.4) {
                d.set(&at, "hours", Value::List([9, 10, 11, 12, 13].map(bare).to_vec()));
            }
            if r.chance(0.3) {
                d.set(&at, "dates", Value::List(vec![text("03-15 to 11-20")]));
            }
            if r.chance(0.4) {
                d.set(&at, "needs_sun", bare(r.chance(0.7)));
            }
        }
        _ => {
            let mut csv = String::from("gauge L/h\n");
            for h in 0..hours.unwrap_or_default() {
                csv.push_str(&format!(
                    "{}\n",
                    three_digits(60.0 * l_per_min * (0.5 + (h % 24) as f64 / 24.0))
                ));
            }
            let file = format!("{name}_transfer.csv");
            d.files.insert(file.clone(), csv);
            d.set(&at, "file", text(file));
            d.set(&at, "column", text("gauge"));
        }
    }
}

/// A well like the scheme's own.
fn further_well(d: &mut Draft, tank: &str) {
    let of_the_first = |path: &str| {
        let first = path.split('.').next().unwrap();
        ["array", "well", "pump", "coupling", "pipe"].contains(&first)
    };
    let copies: Vec<Table> = d
        .tables
        .iter()
        .filter(|table| of_the_first(&table.path))
        .map(|table| Table { path: format!("lift.east.{}", table.path), ..table.clone() })
        .collect();
    d.tables.extend(copies);
    d.set("lift.east.pump", "into", text(tank));
    if !d.has(&format!("tank.{tank}"), "inlet_height") {
        let height = d.table("tank.main").unwrap().get("inlet_height").cloned().unwrap();
        d.set(&format!("tank.{tank}"), "inlet_height", height);
    }
}
