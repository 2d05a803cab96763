//! Booster, pressure tank, battery, pipes to the hydrants.

use super::{Evaluator, Row};
use dryspell::delivery::{
    Battery, Booster, BoosterRow, Energy, Lift, Load, Network, RateLaw, cycle, drawdown_share, operate,
    rate_factor,
};
use dryspell::pipe::{FrictionLaw, Run};
use dryspell::pump::hydraulic_power_w;
use dryspell::sun::pressure::standard_pressure_pa;
use dryspell::supply::wire_power_w;

const PSI: f64 = 6_894.757_293_168;
const GPM: f64 = 3.785_411_784e-3 * 60.0;

pub const EVALUATORS: &[(&str, Evaluator)] = &[
    ("drawdown_share", drawdown),
    ("drawdown_gal", |r| drawdown(r) * r.number("tank_gal")),
    ("drawdown_gal_at_height", |r| {
        let air = standard_pressure_pa(r.number("height_ft") * 0.3048) / PSI;
        let [pre, cut_in, cut_out] = ["pre", "cut_in", "cut_out"].map(|n| r.number(n));
        drawdown_share(pre, cut_in, cut_out, air) * r.number("tank_gal")
    }),
    ("air_psi", |r| standard_pressure_pa(r.number("height_ft") * 0.3048) / PSI),
    ("cycle_min", |r| {
        let c = cycle(r.number("drawdown_gal"), r.number("pump_gpm"), r.number("drawn_gpm")).unwrap();
        c.on_h + c.off_h
    }),
    ("duty_hydraulic_w", |r| hydraulic_power_w(1000.0, head_m(r), r.number("gpm") * GPM)),
    ("duty_wire_w", wire),
    ("duty_amperes", |r| wire(r) / r.number("volts")),
    ("battery_hours", |r| {
        let (ah, amperes) = (r.number("ah"), r.number("amperes"));
        ah / amperes / rate_factor(&RateLaw::Peukert(r.number("k")), ah, r.number("rated_h"), amperes)
    }),
    ("battery_day_wh", battery_day),
    ("battery_floor_wh", |r| battery(r).floor_wh(r.number("degc"))),
    ("hydrant_l_per_s", hydrants),
];

fn drawdown(r: &Row) -> f64 {
    drawdown_share(r.number("pre"), r.number("cut_in"), r.number("cut_out"), r.number("air"))
}

fn head_m(r: &Row) -> f64 {
    r.number("psi") * PSI / 9806.65
}

fn wire(r: &Row) -> f64 {
    wire_power_w(1000.0, head_m(r), r.number("gpm") * GPM, r.number("efficiency"))
}

fn battery(r: &Row) -> Battery {
    Battery {
        voltage_v: r.number("volts"),
        capacity_ah: r.number("ah"),
        rated_h: r.number_or("rated_h", 20.0),
        rate: RateLaw::Peukert(r.number_or("k", 1.0)),
        charge_efficiency: r.number_or("eta", 1.0),
        self_discharge_per_month: r.number_or("self_discharge", 0.0),
        cold_per_k: r.number_or("cold", 0.0),
        cut_out: r.number_or("cut_out", 0.5),
        reconnect: r.number_or("cut_out", 0.5),
    }
}

/// A load by night and sun by day, from full, for so many days; one of the energies at the end.
fn battery_day(r: &Row) -> f64 {
    let b = battery(r);
    let mut charge = b.full();
    let mut energy = Energy { start_wh: charge.stored_wh, ..Energy::default() };
    let [pump, night, panel, sun] = ["pump_w", "night_h", "panel_w", "sun_h"].map(|n| r.number(n));
    let mut powered_h = 0.0;
    for hour in 0..24 {
        let hour = f64::from(hour);
        let duty = if hour < night { 1.0 } else { 0.0 };
        let panel_w = if hour >= 24.0 - sun { panel } else { 0.0 };
        let load = Load { hours: 1.0, pump_w: pump, duty, standby_w: 0.0, panel_w, degc: 25.0 };
        powered_h += b.step(&mut charge, &load, &mut energy) * duty;
        b.rest(&mut charge, 1.0, &mut energy);
    }
    match r.text("out") {
        "stored" => charge.stored_wh,
        "unused" => energy.unused_wh,
        "charge_loss" => energy.charge_loss_wh,
        "rate_loss" => energy.rate_loss_wh,
        "self_discharge" => energy.self_discharge_wh,
        "powered_h" => powered_h,
        other => panic!("{}: {other}", r.id),
    }
}

/// One or two hydrants on a shared pipe.
fn hydrants(r: &Row) -> f64 {
    let run = |numbers: &[f64]| Run {
        name: "run".into(),
        length_m: numbers[0],
        bore_m: numbers[1],
        roughness_m: 1.5e-6,
        ..Run::default()
    };
    let shared: Vec<Run> =
        if r.inputs.contains_key("shared") { vec![run(&r.numbers("shared"))] } else { vec![] };
    let ends: Vec<(Vec<Run>, f64)> = ["a", "b"]
        .iter()
        .filter(|n| r.inputs.contains_key(**n))
        .map(|n| (vec![run(&r.numbers(n))], r.numbers(n)[2]))
        .collect();
    let list: Vec<(&[Run], f64, f64)> = ends.iter().map(|(runs, z)| (runs.as_slice(), *z, 0.0)).collect();
    let network = Network::new(&shared, &list, FrictionLaw::DarcyWeisbach, 15.0).unwrap();
    let lift = r.inputs.contains_key("booster").then(|| {
        let rows: Vec<BoosterRow> = r
            .numbers("booster")
            .chunks(2)
            .map(|p| BoosterRow { flow_m3_per_h: p[0], head_m: p[1], current_a: 50.0 })
            .collect();
        Lift { booster: Booster::new(&rows, 24.0).unwrap(), tank: None, air_pa: 101_325.0 }
    });
    let point = operate(&network, lift.as_ref(), &vec![true; list.len()]);
    match r.text("out") {
        "a" => point.flows_m3_per_h[0] / 3.6,
        "b" => point.flows_m3_per_h[1] / 3.6,
        "head" => point.head_m,
        other => panic!("{}: {other}", r.id),
    }
}
