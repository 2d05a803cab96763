//! Random whole schemes: every key of the scheme can occur, in parts that fit together, each with a record to run on.

mod behind;
pub mod draft;
mod drinkers;
pub mod inflows;
mod lift;
mod panels;
mod pump;
pub mod stores;
pub mod weather;

use dryspell::units::Quantity as Q;

use super::random::{Random, three_digits};
use draft::{Draft, Value, bare, quantity, text};
use weather::Pool;

/// The scheme of a seed and a number; most of them run.
pub fn draw(pool: &Pool, seed: u64, number: u64) -> Draft {
    let r = &mut Random::new(seed, number);
    let mut d = Draft::default();
    if r.chance(0.7) {
        d.set("", "name", text(format!("Random {seed}/{number}")));
    }
    if r.chance(0.5) {
        d.set("", "units", text(*r.pick(&["si", "us"])));
    }
    let site = r.pick(&pool.sites).clone();
    weather::draw(&mut d, r, &site);
    // Litres a day, and how far the lift goes beyond them.
    let need_l = r.between(400.0, 8000.0);
    let hydrants =
        if r.chance(0.3) { behind::hydrants(&mut d, r, need_l, site.latitude_deg) } else { Vec::new() };
    let plenty = !hydrants.is_empty();
    let beyond = if plenty { r.between(2.5, 5.0) } else { r.between(0.7, 3.0) };
    let flow = three_digits((need_l / (60.0 * 5.5) * beyond).max(2.0));
    lift::draw(&mut d, r, lift::Duty { flow_l_per_min: flow, latitude_deg: site.latitude_deg });
    drinkers::herds(&mut d, r, need_l, &hydrants);
    if r.chance(0.3) {
        drinkers::gardens(&mut d, r, need_l);
    }
    tank(&mut d, r, need_l, plenty);
    if r.chance(0.4) {
        behind::frost(&mut d, r, &hydrants);
    }
    rules(&mut d, r);
    more(&mut d, seed, number, need_l);
    d
}

/// The tank and its levels as much smaller: it runs dry on the hydrants.
fn small_tank(d: &mut Draft, share: f64) {
    for key in ["capacity", "float_stop", "float_start", "garden_reserve"] {
        if let Some(value) = d.table("tank.main").and_then(|table| table.get(key)).cloned() {
            d.set("tank.main", key, value.times(share));
        }
    }
}

/// Now and then a spring, a tank that runs dry on hydrants, further tanks and wells: drawn from a stream of their own.
fn more(d: &mut Draft, seed: u64, number: u64, need_l: f64) {
    let r = &mut Random::new(seed ^ 0x57_0e5, number);
    if r.chance(0.08) {
        inflows::steady(d, r, "inflow.spring", need_l);
    }
    if d.table("hydrant.brook").is_some() && r.chance(0.25) {
        small_tank(d, r.between(0.02, 0.3));
    }
    if r.chance(0.12) {
        stores::stores(d, r, need_l, None);
    }
    if r.chance(0.3) {
        goal(d, r, need_l);
    }
    if r.chance(0.3) {
        beside(d, r);
    }
    let r = &mut Random::new(seed ^ 0x5_0c5, number);
    if r.chance(0.2) {
        shown(d, r);
    }
}

/// What no figure of the run rests on: ageing, prices, a question.
fn beside(d: &mut Draft, r: &mut Random) {
    for key in ["modules", "pump", "herd"] {
        d.set("ageing", key, quantity(three_digits(r.between(0.0, 5.0)), "%", Q::Fraction));
    }
    let prices =
        ["module", "tank_per_m3", "current_booster", "tracker", "battery_per_ah", "steeper_rack", "sweeping"];
    for key in prices {
        d.set("price", key, bare(1 + r.below(900)));
    }
    d.set("what_if.milder", "set", text("rules.tolerance = 8 %"));
}

/// Names, numbers and sources, with which nothing is reckoned.
fn shown(d: &mut Draft, r: &mut Random) {
    for (table, keys) in [
        ("", &["applicant", "contract"][..]),
        ("well", &["number"]),
        ("pump", &["make", "model"]),
        ("booster", &["make", "model"]),
    ] {
        for key in keys {
            if (table.is_empty() || d.table(table).is_some()) && r.chance(0.8) {
                d.set(table, key, text(format!("{key} 7")));
            }
        }
    }
    let modules: Vec<String> =
        d.tables.iter().map(|t| t.path.clone()).filter(|p| p.ends_with(".module")).collect();
    for module in modules {
        for key in ["make", "model"] {
            d.set(&module, key, text(format!("{key} of a module")));
        }
    }
    for place in ["well", "\"well.static_level\"", "pump", "\"tank.main.capacity\""] {
        if r.chance(0.6) {
            d.set("sources", place, text("driller's log, 2024-05-03"));
        }
    }
    for (place, spread) in [("\"well.static_level\"", "10 %"), ("\"tank.main.capacity\"", "5 %")] {
        if r.chance(0.3) {
            d.set("uncertain", place, text(spread));
        }
    }
}

/// Something asked of the scheme; at least the days of shortfall.
fn goal(d: &mut Draft, r: &mut Random, need_l: f64) {
    let at = "goal";
    d.set(at, "short_days", bare(r.below(20)));
    if r.chance(0.5) {
        d.set(at, "dry_hours_in_a_row", bare(r.below(60)));
    }
    if r.chance(0.5) {
        let level = three_digits(need_l * r.between(0.1, 1.5) / 1000.0);
        d.set(at, "lowest_level", quantity(level, "m3", Q::Volume));
    }
    if r.chance(0.5) {
        d.set(at, "autonomy", quantity(three_digits(r.between(0.5, 6.0)), "days", Q::Duration));
    }
    if r.chance(0.5) {
        d.set(at, "dry_years_in_ten", bare(r.below(4)));
    }
}

/// A tank; behind it hydrants want one that never runs dry.
fn tank(d: &mut Draft, r: &mut Random, need_l: f64, plenty: bool) {
    let at = "tank.main";
    let days = if plenty { r.between(20.0, 40.0) } else { r.between(0.7, 9.0) };
    let capacity = three_digits(need_l * days / 1000.0);
    d.set(at, "capacity", quantity(capacity, "m3", Q::Volume));
    if r.chance(0.6) {
        let stop = three_digits(capacity * r.between(0.85, 0.99));
        d.set(at, "float_stop", quantity(stop, "m3", Q::Volume));
        if r.chance(0.6) {
            d.set(at, "float_start", quantity(three_digits(stop * r.between(0.5, 0.97)), "m3", Q::Volume));
        }
    }
    if r.chance(0.2) {
        d.set(at, "leak", quantity(r.between(1.0, 60.0), "L/day", Q::Flow));
    }
    if r.chance(0.3) {
        d.set(at, "open_surface", quantity(r.between(1.0, 12.0), "m2", Q::Area));
    }
    if r.chance(0.3) {
        d.set(at, "garden_reserve", quantity(three_digits(capacity * r.between(0.1, 0.6)), "m3", Q::Volume));
    }
}

fn rules(d: &mut Draft, r: &mut Random) {
    let at = "rules";
    if r.chance(0.3) {
        d.set(at, "tolerance", quantity(r.between(0.0, 8.0), "%", Q::Fraction));
    }
    if r.chance(0.3) {
        d.set(at, "carry", text(*r.pick(&["within day", "none"])));
    }
    if r.chance(0.4) {
        let month: Value = if r.chance(0.5) { text("may") } else { bare(1 + r.below(12)) };
        d.set(at, "tank_year_starts", month);
    }
}
