//! One hour on paper: the same numbers as the run's columns, and equations that a calculator can follow.

use std::collections::BTreeMap;

use dryspell::scheme::{STARTER, Scheme};
use dryspell::simulate::{Run, simulate};
use dryspell::worked::{Section, hour};

use crate::support::data;
use crate::tmy3;

fn year() -> (dryspell::record::Record, Run) {
    let record = tmy3::read(&data("weather/723170TYA.CSV"));
    let scheme = Scheme::from_toml(&STARTER.replace("count = 40", "count = 150")).unwrap();
    let run = simulate(&scheme.plan(), &record).unwrap();
    (record, run)
}

/// The values by symbol.
fn values(sections: &[Section]) -> BTreeMap<String, f64> {
    sections.iter().flat_map(|s| &s.steps).map(|step| (step.symbol.clone(), step.value)).collect()
}

#[test]
fn every_value_is_the_one_of_the_columns() {
    let (record, run) = year();
    for h in (0..8760).step_by(37) {
        let v = values(&hour(&run, &record, h).unwrap());
        for (symbol, column) in [
            ("z", run.sky.zenith_deg[h]),
            ("G", run.sky.ghi_w_per_m2[h]),
            ("Pa", run.array.array_w[h]),
            ("Pp", run.supply.power_w[h]),
            ("Q", run.supply.available_m3[h]),
            ("W", run.flows.requested_m3[h]),
            ("Qp", run.hours[h].pumped_m3[0]),
            ("x0", run.level_before(h)),
            ("x1", run.hours[h].level_m3[0]),
        ] {
            assert!((v[symbol] - column).abs() <= 1e-9, "{symbol} of hour {h}: {} and {column}", v[symbol]);
        }
        if run.array.plane_w_per_m2[h] > 0.0 {
            assert!((v["I"] - run.array.plane_w_per_m2[h]).abs() < 1e-9, "hour {h}");
            assert!((v["Tc"] - run.array.cell_degc[h]).abs() < 1e-9, "hour {h}");
        }
    }
}

#[test]
fn a_calculator_follows_the_equations() {
    let (record, run) = year();
    let mut lit = 0;
    for h in (0..8760).step_by(13) {
        let v = values(&hour(&run, &record, h).unwrap());
        let deg = |symbol: &str| v[symbol].to_radians();
        let close = |what: &str, by_hand: f64, printed: f64, within: f64| {
            assert!(
                (by_hand - printed).abs() <= within,
                "{what} of hour {h}: by hand {by_hand}, printed {printed}"
            );
        };
        // x1 = x0 + Qp - W - L - O.
        close("x1", v["x0"] + v["Qp"] - v["W"] - v["L"] - v["O"], v["x1"], 1e-9);
        close("Qt", v["Qo"] - v["Qp"], v["Qt"], 1e-9);
        let heads = v["zw"]
            + v["zi"]
            + v["sw"]
            + v["hf drop"]
            + v["hf buried"]
            + v["hm drop"]
            + v["hm buried"]
            + v["hd"];
        close("H", heads, v["H"], 1e-9);
        if v["z"] > 84.0 || v["G"] <= 0.0 {
            continue;
        }
        lit += 1;
        let omega = (v["t"] - 60.0 * v["tz"]) / 4.0 + v["E"] + v["λ"] - 180.0;
        close("ω", (omega + 180.0).rem_euclid(360.0) - 180.0, v["ω"], 1e-3);
        let sine = deg("φ").sin() * deg("δ").sin() + deg("φ").cos() * deg("δ").cos() * deg("ω").cos();
        close("h0", sine.asin().to_degrees() - 0.0024 * deg("h0").cos(), v["h0"], 5e-4);
        let bent = (v["p"] / 1010.0) * (283.0 / 285.0) * 1.02
            / (60.0 * (v["h0"] + 10.3 / (v["h0"] + 5.11)).to_radians().tan());
        close("z", 90.0 - v["h0"] - bent, v["z"], 1e-4);
        let azimuth = 180.0
            + deg("ω")
                .sin()
                .atan2(deg("ω").cos() * deg("φ").sin() - deg("δ").tan() * deg("φ").cos())
                .to_degrees();
        close("A", azimuth, v["A"], 0.01);
        let cosine =
            deg("z").cos() * deg("β").cos() + deg("z").sin() * deg("β").sin() * (deg("A") - deg("γ")).cos();
        close("θ", cosine.clamp(-1.0, 1.0).acos().to_degrees(), v["θ"], 1e-3);
        close("Ib", v["B"] * cosine.max(0.0), v["Ib"], 1e-6);
        if let Some(epsilon) = v.get("ε") {
            let cube = 1.041 * deg("z") * deg("z") * deg("z");
            close("ε", ((v["D"] + v["B"]) / v["D"] + cube) / (1.0 + cube), *epsilon, 1e-9);
            close("Δ", v["m"] * v["D"] / v["Eon"], v["Δ"], 1e-9);
            close("Ii", v["D"] * (1.0 - v["F1"]) * (1.0 + deg("β").cos()) / 2.0, v["Ii"], 1e-6);
        }
        close("Ig", v["G"] * v["ρ"] * (1.0 - deg("β").cos()) / 2.0, v["Ig"], 1e-6);
        close("I", v["Ib"] + v["Ii"] + v["Ic"] + v["Ih"] + v["Ig"], v["I"], 1e-6);
        close("Tc", v["Ta"] + v["I"] / (25.0 + 6.84 * v["v"]), v["Tc"], 1e-6);
        close("Pv", v["ηt"] * v["Pa"], v["Pv"], 1e-9);
        // No V gives more power than the one printed: the maximum of the equation that is stated.
        let (il, i0, a, rs, gsh) = (v["IL"], v["I0"], v["a"], v["Rs"], v["Gsh"]);
        let mut best = 0.0_f64;
        for step in 0..4000 {
            let diode = f64::from(step) * 0.015;
            let current = il - i0 * ((diode / a).exp() - 1.0) - diode * gsh;
            best = best.max((diode - current * rs) * current);
        }
        close("P", 2.0 * 0.98 * best, v["P"], 0.002 * v["P"] + 0.01);
    }
    assert!(lit > 200, "{lit} lit hours were followed");
}
