//! The list of usual ranges.

use super::of_plan::{arrays, of_modules, pipes, sheet};
use super::usual_range::{Display, Usual};
use crate::array::ArraySettings;
use crate::array::soiling::Soiling;
use crate::draw::{GroupKind, Need};
use crate::pipe;
use crate::pump::{Motor, Settings as Pump, hydraulic_power_w};
use crate::units::Quantity;
use crate::units::table::METRE_OF_WATER_PA;
use crate::well::Restart;

/// Where most of these ranges come from.
const PRACTICE: &str = "common practice, no source";
/// Density of cool water, kg/m³, for efficiencies.
const WATER_KG_PER_M3: f64 = 1000.0;

/// Every usual range.
pub(super) const USUAL: &[Usual] = &[
    Usual {
        what: "inside diameter",
        shown: Display::As(Quantity::Length),
        low: 0.010,
        high: 0.160,
        source: PRACTICE,
        look: "check the number and its unit: bores are given in mm or in",
        values: |run| pipes(run).into_iter().map(|(key, p)| (format!("{key}.bore"), p.bore_m)).collect(),
    },
    Usual {
        what: "length",
        shown: Display::As(Quantity::Length),
        low: 0.1,
        high: 8000.0,
        source: PRACTICE,
        look: "check the number and its unit",
        values: |run| pipes(run).into_iter().map(|(key, p)| (format!("{key}.length"), p.length_m)).collect(),
    },
    Usual {
        what: "pressure class",
        shown: Display::As(Quantity::Pressure),
        low: 200e3,
        high: 3500e3,
        source: "common practice, no source: plastic pipe of 2 to 35 bar",
        look: "check the number and its unit",
        values: |run| {
            let class = |(key, p): (String, &pipe::Run)| {
                Some((format!("{key}.pressure_class"), p.pressure_class_m? * METRE_OF_WATER_PA))
            };
            pipes(run).into_iter().filter_map(class).collect()
        },
    },
    Usual {
        what: "length of all pipe to the tank as a share of the lift from the deepest static level to the inlet:",
        shown: Display::As(Quantity::Fraction),
        low: 0.98,
        high: f64::INFINITY,
        source: "geometry",
        look: "the pipe does not reach; check its lengths, the water level and the inlet's height",
        values: |run| {
            let deepest = run.plan.supply.well.static_level_m.iter().copied().fold(0.0, f64::max);
            let line = &run.plan.supply.pipe;
            let lift_m = deepest + line.rise_m();
            let length_m: f64 = line.runs.iter().map(|run| run.length_m).sum();
            if lift_m > 0.0 { vec![("pipe".into(), length_m / lift_m)] } else { Vec::new() }
        },
    },
    Usual {
        what: "open-circuit voltage of a string",
        shown: Display::As(Quantity::Voltage),
        low: 10.0,
        high: 600.0,
        source: "600 V: NEC article 690.7 for dwellings, from memory; 10 V: common practice, no source",
        look: "check the modules in series and their Voc",
        values: |run| {
            let volts = |(key, a): (String, &ArraySettings)| {
                Some((format!("{key}.series"), f64::from(a.series) * sheet(a)?.voc_v))
            };
            arrays(run).into_iter().filter_map(volts).collect()
        },
    },
    Usual {
        what: "power of one module, Imp times Vmp,",
        shown: Display::As(Quantity::Power),
        low: 5.0,
        high: 800.0,
        source: PRACTICE,
        look: "check Imp and Vmp: give those of one module",
        values: |run| of_modules(run, "imp", |d| d.imp_a * d.vmp_v),
    },
    Usual {
        what: "change of Isc per kelvin",
        shown: Display::As(Quantity::FractionPerKelvin),
        low: 0.0,
        high: 0.0015,
        source: "crystalline silicon 0.03 to 0.1 %/K; common practice, no source",
        look: "check the decimal point and the unit",
        values: |run| of_modules(run, "isc_temperature", |d| d.isc_temperature_a_per_k / d.isc_a),
    },
    Usual {
        what: "change of Voc per kelvin",
        shown: Display::As(Quantity::FractionPerKelvin),
        low: -0.0055,
        high: -0.0015,
        source: "crystalline silicon -0.24 to -0.4 %/K; common practice, no source",
        look: "check the decimal point and the unit",
        values: |run| of_modules(run, "voc_temperature", |d| d.voc_temperature_v_per_k / d.voc_v),
    },
    Usual {
        what: "tilt from the horizontal, less the latitude,",
        shown: Display::As(Quantity::Angle),
        low: -35.0,
        high: 42.0,
        source: PRACTICE,
        look: "tilt is measured from the horizontal: 0 deg is flat, 90 deg is upright",
        values: |run| {
            let tilt = |(key, a): (String, &ArraySettings)| {
                (format!("{key}.tilt"), a.tilt_deg - run.place.latitude_deg.abs())
            };
            arrays(run).into_iter().filter(|(_, a)| a.seasons.is_empty()).map(tilt).collect()
        },
    },
    Usual {
        what: "soiling loss",
        shown: Display::As(Quantity::Fraction),
        low: 0.0,
        high: 0.25,
        source: PRACTICE,
        look: "give what is lost, not what is left",
        values: |run| {
            let dirt = |(key, a): (String, &ArraySettings)| match a.soiling {
                Soiling::Share(share) => Some((format!("{key}.soiling"), share)),
                Soiling::Rain(_) => None,
            };
            arrays(run).into_iter().filter_map(dirt).collect()
        },
    },
    Usual {
        what: "mismatch loss",
        shown: Display::As(Quantity::Fraction),
        low: 0.0,
        high: 0.1,
        source: PRACTICE,
        look: "give what is lost, not what is left",
        values: |run| {
            arrays(run).into_iter().map(|(key, a)| (format!("{key}.mismatch"), a.mismatch)).collect()
        },
    },
    Usual {
        what: "voltage drop in the cable at full power",
        shown: Display::As(Quantity::Fraction),
        low: 0.001,
        high: 0.15,
        source: "2 to 3 % is the usual target and 5 % the usual limit, here three times that; common practice, no \
         source",
        look: "check the cable's length and area (copper of 1.5 to 50 mm2)",
        values: |run| {
            let drop = |(key, a): (String, &ArraySettings)| {
                let d = sheet(a)?;
                let amps = d.imp_a * f64::from(a.parallel);
                (a.cable_ohm > 0.0)
                    .then(|| (format!("{key}.cable"), amps * a.cable_ohm / (d.vmp_v * f64::from(a.series))))
            };
            arrays(run).into_iter().filter_map(drop).collect()
        },
    },
    Usual {
        what: "static level",
        shown: Display::As(Quantity::Length),
        low: 0.5,
        high: 300.0,
        source: PRACTICE,
        look: "check the number and its unit: it is measured down from the wellhead",
        values: |run| {
            let levels = run.plan.supply.well.static_level_m;
            let mut ends = vec![
                levels.iter().copied().fold(f64::INFINITY, f64::min),
                levels.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            ];
            ends.dedup();
            ends.into_iter().map(|level| ("well.static_level".to_owned(), level)).collect()
        },
    },
    Usual {
        what: "flow per metre of drawdown",
        shown: Display::As(Quantity::SpecificCapacity),
        low: 0.005,
        high: 30.0,
        source: PRACTICE,
        look: "check the number and its unit",
        values: |run| {
            let capacity = run.plan.supply.well.specific_capacity_m3_per_h_m;
            capacity.map(|c| ("well.specific_capacity".to_owned(), c)).into_iter().collect()
        },
    },
    Usual {
        what: "yield of the well",
        shown: Display::As(Quantity::Flow),
        low: 0.03,
        high: 60.0,
        source: PRACTICE,
        look: "check the number and its unit",
        values: |run| {
            let flow = run.plan.supply.well.yield_m3_per_h;
            flow.map(|q| ("well.yield".to_owned(), q)).into_iter().collect()
        },
    },
    Usual {
        what: "inside diameter of the casing",
        shown: Display::As(Quantity::Length),
        low: 0.05,
        high: 2.0,
        source: PRACTICE,
        look: "check the number and its unit",
        values: |run| {
            let bore = run.plan.supply.well.bore;
            bore.map(|b| ("well.bore".to_owned(), b.diameter_m)).into_iter().collect()
        },
    },
    Usual {
        what: "delay before the pump restarts",
        shown: Display::As(Quantity::Duration),
        low: 0.0,
        high: 12.0,
        source: PRACTICE,
        look: "check the number and its unit",
        values: |run| match run.plan.supply.well.restart {
            Some(Restart::Delay(hours)) => vec![("well.restart_delay".into(), hours)],
            _ => Vec::new(),
        },
    },
    Usual {
        what: "best wire-to-water efficiency in its table",
        shown: Display::As(Quantity::Fraction),
        low: 0.08,
        high: 0.75,
        source: "small solar diaphragm pumps peak at 25 to 48 %: Vick and Clark, USDA-ARS Bushland; the limits are \
         common practice, no source",
        look: "check the columns and the units of head, power and flow",
        values: |run| {
            let best = |list: Vec<f64>| list.into_iter().reduce(f64::max);
            let share = |head_m, flow, watts: f64| hydraulic_power_w(WATER_KG_PER_M3, head_m, flow) / watts;
            let pump = &run.plan.supply.pump;
            let found = match pump {
                Pump::Duty(t) => {
                    best(t.rows.iter().map(|r| share(r.head_m, r.flow_m3_per_h, r.power_w)).collect())
                }
                Pump::Volts(t) => best(
                    t.rows
                        .iter()
                        .map(|r| share(r.head_m, r.flow_m3_per_h, r.voltage_v * r.current_a))
                        .collect(),
                ),
                Pump::Displacement(_) | Pump::Centrifugal(_) | Pump::Own(_) => None,
            };
            let booster = run.plan.delivery.iter().filter_map(|d| d.booster.as_ref()).filter_map(|b| {
                let shares =
                    b.rows.iter().map(|r| share(r.head_m, r.flow_m3_per_h, b.voltage_v * r.current_a));
                best(shares.collect()).map(|s| ("booster.table".to_owned(), s))
            });
            found.map(|share| (pump.key().to_owned(), share)).into_iter().chain(booster).collect()
        },
    },
    Usual {
        what: "torque per ampere",
        shown: Display::As(Quantity::TorqueConstant),
        low: 0.01,
        high: 0.8,
        source: "motors of 12 to 120 V; common practice, no source",
        look: "check the decimal point and the unit",
        values: |run| {
            let motor = match &run.plan.supply.pump {
                Pump::Displacement(p) => Some(p.motor),
                Pump::Centrifugal(p) => match p.motor {
                    Motor::PermanentMagnet { motor, .. } => Some(motor),
                    Motor::Efficiency(_) => None,
                },
                Pump::Duty(_) | Pump::Volts(_) | Pump::Own(_) => None,
            };
            motor.map(|m| ("pump.torque_constant".to_owned(), m.constant_nm_per_a)).into_iter().collect()
        },
    },
    Usual {
        what: "height of the tank's inlet above the wellhead",
        shown: Display::As(Quantity::Length),
        low: -100.0,
        high: 150.0,
        source: PRACTICE,
        look: "check the number and its unit: not its elevation above sea level",
        values: |run| {
            vec![(format!("tank.{}.inlet_height", run.plan.tank.name), run.plan.supply.pipe.inlet_height_m)]
        },
    },
    Usual {
        what: "usable volume in days of the peak month's draw:",
        shown: Display::Number("days"),
        low: 0.25,
        high: 60.0,
        source: PRACTICE,
        look: "check the tank's volume, the heads and what each drinks, and their units",
        values: |run| {
            let (draw, _) = run.peak_month;
            let tank = &run.plan.tank;
            if draw > 0.0 {
                vec![(format!("tank.{}.capacity", tank.name), tank.capacity_m3 / draw)]
            } else {
                Vec::new()
            }
        },
    },
    Usual {
        what: "float stop as a share of the usable volume:",
        shown: Display::As(Quantity::Fraction),
        low: 0.5,
        high: 1.0,
        source: PRACTICE,
        look: "the tank is not filled above it; check float_stop",
        values: |run| {
            let tank = &run.plan.tank;
            let stop = tank.float_stop_m3.filter(|_| tank.capacity_m3 > 0.0);
            stop.map(|stop| (format!("tank.{}.float_stop", tank.name), stop / tank.capacity_m3))
                .into_iter()
                .collect()
        },
    },
    Usual {
        what: "daily drinking water per head",
        shown: Display::As(Quantity::DailyVolume),
        low: 0.0001,
        high: 0.2,
        source: "from a laying hen to a dairy cow in heat; common practice, no source",
        look: "check the number and its unit: it is for one head",
        values: |run| {
            run.plan
                .draw
                .groups
                .iter()
                .filter(|g| g.kind == GroupKind::Stock)
                .filter_map(|g| match &g.need {
                    Need::ByMonth(months) => {
                        let most = months.iter().copied().fold(0.0, f64::max);
                        Some((format!("herd.{}.drinks", g.name), most))
                    }
                    Need::Class { .. } | Need::ShareOfHerd(_) => None,
                })
                .collect()
        },
    },
    Usual {
        what: "water spilled as a share of what they drink:",
        shown: Display::As(Quantity::Fraction),
        low: 0.0,
        high: 0.5,
        source: PRACTICE,
        look: "check the number",
        values: |run| {
            let waste = |g: &crate::draw::Group| (format!("{}.{}.waste", g.kind.table(), g.name), g.waste);
            run.plan.draw.groups.iter().map(waste).collect()
        },
    },
    Usual {
        what: "trough volume",
        shown: Display::As(Quantity::Volume),
        low: 0.02,
        high: 30.0,
        source: PRACTICE,
        look: "check the number and its unit",
        values: |run| {
            let hydrants = run.plan.delivery.iter().flat_map(|d| &d.hydrants).filter(|h| h.trough_m3 > 0.0);
            hydrants.map(|h| (format!("hydrant.{}.trough", h.name), h.trough_m3)).collect()
        },
    },
    Usual {
        what: "battery capacity",
        shown: Display::As(Quantity::Charge),
        low: 5.0,
        high: 3000.0,
        source: PRACTICE,
        look: "check the number and its unit",
        values: |run| {
            let boosters = run.plan.delivery.iter().filter_map(|d| d.booster.as_ref());
            boosters.map(|b| ("booster.battery.capacity".to_owned(), b.battery.capacity_ah)).collect()
        },
    },
];
