//! Inflows besides the pump.

use dryspell::units::Quantity as Q;

use super::super::random::{Random, three_digits};
use super::draft::{Draft, Value, bare, flow, percent, quantity, text};

/// One or two inflows, each of another kind, and now and then rain on open water. `hours` is the length of the record.
pub fn inflows(d: &mut Draft, r: &mut Random, need_l: f64, hours: usize) {
    let first = r.below(3);
    for (kind, name) in [(first, "spring"), ((first + 1) % 3, "shed")].into_iter().take(1 + r.below(2)) {
        let path = format!("inflow.{name}");
        match kind {
            0 => steady(d, r, &path, need_l),
            1 => column(d, r, &path, need_l, hours),
            _ => roof(d, r, &path, need_l),
        }
        if r.chance(0.4) {
            d.set(&path, "into", text("main"));
        }
        if r.chance(0.5) {
            d.set(&path, "when_full", text(*r.pick(&["spill", "shut off"])));
        }
    }
    if d.has("tank.main", "open_surface") && r.chance(0.7) {
        d.set("tank.main", "rain_on_open_surface", bare(r.chance(0.8)));
    }
}

/// Water that is brought when the tank is low, up to a level that any float leaves free.
pub fn backup(d: &mut Draft, r: &mut Random, need_l: f64, full_m3: f64) {
    let at = "backup";
    let volume = |m3: f64| quantity(three_digits(m3), "m3", Q::Volume);
    let stops_at = full_m3 * r.between(0.4, 0.98);
    d.set(at, "starts_below", volume(stops_at * r.between(0.05, 0.9)));
    d.set(at, "stops_at", volume(stops_at));
    if r.chance(0.5) {
        d.set(at, "name", text("hauled water"));
        d.set(at, "load", volume(need_l / 1000.0 * r.between(0.5, 3.0)));
        d.set(at, "cost_per_load", bare(three_digits(r.between(20.0, 300.0))));
    } else {
        d.set(at, "flow", flow(three_digits(need_l / 1440.0 * r.between(1.0, 10.0))));
        d.set(at, "cost_per_hour", bare(three_digits(r.between(1.0, 30.0))));
    }
    if r.chance(0.5) {
        d.set(at, "delay", quantity(three_digits(r.between(0.0, 30.0)), "h", Q::Duration));
    }
    if r.chance(0.3) {
        d.set(at, "daily_limit", volume(need_l / 1000.0 * r.between(0.5, 2.0)));
    }
    if r.chance(0.3) {
        d.set(at, "dates", Value::List(vec![text("11-01 to 04-30")]));
    }
    if r.chance(0.3) {
        d.set(at, "cost_per_m3", bare(three_digits(r.between(0.1, 5.0))));
    }
}

/// Up to half of what they need.
pub fn steady(d: &mut Draft, r: &mut Random, path: &str, need_l: f64) {
    let mean = 0.5 * need_l / 1440.0;
    if r.chance(0.4) {
        let months = (0..12).map(|_| flow(three_digits(mean * r.unit())));
        d.set(path, "flow", Value::List(months.collect()));
    } else {
        d.set(path, "flow", flow(three_digits(mean * r.between(0.1, 1.0))));
    }
    if r.chance(0.4) {
        d.set(path, "hours", Value::List([6, 7, 18].map(bare).to_vec()));
    }
    if r.chance(0.4) {
        d.set(path, "dates", Value::List(vec![text("04-15 to 10-31")]));
    }
}

/// A file of hours, which rise and fall over a day.
fn column(d: &mut Draft, r: &mut Random, path: &str, need_l: f64, hours: usize) {
    let mean = 0.4 * need_l / 24.0 * r.unit();
    let named = r.chance(0.5);
    let own = path.rsplit('.').next().unwrap();
    let title = if named { "gauge" } else { own };
    let mut csv = format!("# measured\n{title} L/h\n");
    for h in 0..hours {
        let l = three_digits(mean * (0.5 + (h % 24) as f64 / 24.0));
        csv.push_str(&format!("{l}\n"));
    }
    let name = format!("{own}.csv");
    d.files.insert(name.clone(), csv);
    d.set(path, "file", text(name));
    if named {
        d.set(path, "column", text("gauge"));
    }
}

fn roof(d: &mut Draft, r: &mut Random, path: &str, need_l: f64) {
    d.set(path, "catchment_area", quantity(three_digits(0.03 * need_l * r.between(0.2, 1.0)), "m2", Q::Area));
    d.set(path, "runoff_coefficient", percent(r.between(0.6, 0.95)));
    if r.chance(0.6) {
        d.set(path, "first_flush", quantity(three_digits(r.between(0.2, 3.0)), "mm", Q::Length));
    }
}
