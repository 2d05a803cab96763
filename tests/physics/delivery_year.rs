//! A booster with its own panel and battery on a real year, against a plain loop over minutes.

use dryspell::calendar::HOURS_PER_DAY;
use dryspell::delivery::{
    Battery, BoosterRow, BoosterSettings, Columns, Hydrant, Inputs, RateLaw, Settings, delivery, panel_w,
};
use dryspell::draw::Carry;
use dryspell::frost::{self, BarePipe, Drain, Kind, Part, Soil};
use dryspell::pipe::{FrictionLaw, Run};
use dryspell::record::Record;
use dryspell::scheme::{STARTER, Scheme};
use dryspell::sun;
use dryspell::sun::pressure::standard_pressure_pa;

use crate::support::data;
use crate::tmy3;

fn settings() -> Settings {
    let mut panel = Scheme::from_toml(STARTER).unwrap().plan().array;
    panel.arrays.truncate(1);
    panel.arrays[0].series = 1;
    panel.arrays[0].parallel = 1;
    let row = |flow_m3_per_h, head_m, current_a| BoosterRow { flow_m3_per_h, head_m, current_a };
    Settings {
        shared: vec![],
        hydrants: vec![Hydrant {
            name: "hill".into(),
            runs: vec![Run {
                name: "hose".into(),
                length_m: 150.0,
                bore_m: 0.026,
                roughness_m: 1.5e-6,
                ..Run::default()
            }],
            height_m: 15.0,
            pressure_m: 1.0,
            walk_m: None,
            open_surface_m2: 0.0,
            overflow_m3_per_h: 0.0,
            tank: None,
            trough_m3: 0.8,
        }],
        booster: Some(BoosterSettings {
            rows: vec![row(0.9, 5.0, 3.0), row(0.75, 15.0, 5.0), row(0.55, 30.0, 7.5)],
            voltage_v: 24.0,
            tank: None,
            battery: Battery {
                voltage_v: 24.0,
                capacity_ah: 80.0,
                rated_h: 20.0,
                rate: RateLaw::Peukert(1.2),
                charge_efficiency: 0.85,
                self_discharge_per_month: 0.03,
                cold_per_k: 0.008,
                cut_out: 0.5,
                reconnect: 0.5,
            },
            panel,
            controller_efficiency: 0.92,
            standby_w: 1.0,
            battery_degc: Some(15.0),
        }),
        friction: FrictionLaw::DarcyWeisbach,
        water_degc: 14.0,
        carry: Carry::WithinDay,
        tank: None,
        other_lines: Vec::new(),
    }
}

/// 8 m³ a day, a quarter of it from 14 to 15 h.
fn demand(record: &Record) -> Vec<f64> {
    (0..record.hours())
        .map(|h| match h % HOURS_PER_DAY {
            14 => 2.0,
            7..20 => 0.5,
            _ => 0.0,
        })
        .collect()
}

/// The hours in which a riser in which water stands is frozen.
fn frozen(record: &Record) -> Vec<bool> {
    let riser = BarePipe {
        bore_m: 0.026,
        outside_m: 0.032,
        insulation_m: 0.025,
        insulation_w_per_m_k: 0.04,
        film_w_per_m2_k: Some(25.0),
    };
    let settings = frost::Settings {
        soil: Soil::named("loam").unwrap(),
        surface: 0.7,
        design_index_degc_days: None,
        design_days: None,
        parts: vec![Part {
            name: "riser".into(),
            kind: Kind::Exposed { pipe: riser, drain: Drain::Stands },
            stops: Vec::new(),
            fed_by: None,
        }],
    };
    let columns = frost::columns(&settings, record).unwrap();
    columns.any(&["riser"], record.hours())
}

/// Sums over the year: short by frost, by pump, by battery; and the store at each midnight.
struct Minutes {
    short_m3: f64,
    stored_wh: Vec<f64>,
}

/// The same year by a loop over minutes that knows nothing of events, for one hydrant and no sharing of causes.
fn by_minutes(
    s: &Settings,
    demand: &[f64],
    frozen: &[bool],
    panel: &[f64],
    flow: f64,
    pump_w: f64,
) -> Minutes {
    let booster = s.booster.as_ref().unwrap();
    let b = &booster.battery;
    let full = b.voltage_v * b.capacity_ah;
    let floor = full * (1.0 - 0.5 * (1.0 - 0.008 * 10.0));
    let lost_a_minute = 1.0 - libm::pow(0.97, 1.0 / 730.5 / 60.0);
    let drain = |w: f64| {
        let amperes = w / 24.0;
        if amperes > 4.0 { w * libm::pow(amperes / 4.0, 0.2) } else { w }
    };
    let (mut level, mut stored) = (0.8_f64, full);
    let (mut connected, mut out) = (true, Minutes { short_m3: 0.0, stored_wh: vec![] });
    for year in 0..2 {
        out = Minutes { short_m3: 0.0, stored_wh: vec![] };
        for h in 0..demand.len() {
            level -= demand[h];
            if !connected && stored > floor {
                connected = true;
            }
            let p = 0.92 * panel[h];
            for _ in 0..60 {
                connected &= stored > floor;
                let runs = connected && !frozen[h] && level < 0.8 - 1e-7;
                let load = if runs { pump_w + 1.0 } else { f64::from(u8::from(connected)) };
                let net = p - load;
                let change = if net > 0.0 { 0.85 * net } else { -drain(-net) };
                stored = (stored + change / 60.0).min(full);
                stored -= stored * lost_a_minute;
                if runs {
                    level = (level + flow / 60.0).min(0.8);
                }
            }
            if h % 24 == 23 {
                out.short_m3 += (-level).max(0.0);
                level = level.max(0.0);
                out.stored_wh.push(stored);
            }
        }
        assert!(year < 2);
    }
    out
}

#[test]
fn the_ledger_agrees_with_a_loop_over_minutes() {
    let record = tmy3::read(&data("weather/723170TYA.CSV"));
    let settings = settings();
    let sun_settings = Scheme::from_toml(STARTER).unwrap().plan().sun;
    let sky = sun::sky(&sun_settings, &record).unwrap();
    let panel = panel_w(settings.booster.as_ref().unwrap(), &sky, &sun_settings, &record).unwrap();
    let (demand, frozen) = (demand(&record), frozen(&record));
    let columns: Columns = delivery(
        &settings,
        &Inputs {
            calendar: &record.calendar,
            demand_m3: &[&demand],
            frozen: &[&frozen],
            panel_w: &panel,
            air_degc: &record.air_degc,
            air_pa: standard_pressure_pa(record.place.elevation_m),
        },
    )
    .unwrap();
    let v = columns.volumes;
    println!("{v:?}\n{:?}\n{:?}", columns.energy, columns.battery_days);
    assert!(v.residual_m3().abs() < 1e-9 * v.demand_m3);
    assert!(columns.energy.residual_wh() < 1e-9 * columns.energy.scale_wh());
    // The year has something of each, or the test tests little.
    assert!(frozen.iter().filter(|f| **f).count() > 100);
    assert!(v.short_battery_m3 > 10.0 && v.short_frozen_m3 > 1.0);
    let panel_wh: f64 = panel.iter().map(|w| 0.92 * w).sum();
    assert!((columns.energy.panel_wh / panel_wh - 1.0).abs() < 1e-9);
    // Each cubic metre takes the same pump time.
    let flow = columns.hydrants[0].alone_m3_per_h;
    let pump_w = columns.booster_w.iter().sum::<f64>() / v.requested_m3 * flow;
    let best = by_minutes(&settings, &demand, &frozen, &panel, flow, pump_w);
    let short = v.short_frozen_m3 + v.short_too_small_m3 + v.short_battery_m3;
    println!("short {short:.2} m3, by minutes {:.2}", best.short_m3);
    assert!((short - best.short_m3).abs() < 0.005 * v.demand_m3, "{short} and {}", best.short_m3);
    let full_wh = 24.0 * 80.0;
    let apart = |day: usize| (columns.stored_wh[day * 24 + 23] - best.stored_wh[day]).abs() / full_wh;
    let worst = (0..365).max_by(|a, b| apart(*a).total_cmp(&apart(*b))).unwrap();
    println!("worst midnight: day {worst}, {:.4} of the store", apart(worst));
    assert!(apart(worst) < 0.02, "day {worst}: {}", apart(worst));
}
