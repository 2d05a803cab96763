//! What a delivery must be before it can run.

use super::battery::Battery;
use super::booster::Booster;
use super::network::Network;
use super::operate::{Lift, operate};
use super::pressure_tank::{PressureTank, WATER_PA_PER_M};
use super::rate::RateLaw;
use super::{BoosterSettings, Settings};
use crate::fault::{Fault, FaultKind, Faults};

/// Checks the settings and makes pipes and booster ready.
///
/// # Errors
/// Every value outside its range, every hydrant that nothing reaches, a battery below one hour of pump.
pub fn check(settings: &Settings, air_pa: f64) -> Result<(Network, Option<Lift>), Faults> {
    let mut faults = Vec::new();
    for hydrant in &settings.hydrants {
        let key = |k: &str| format!("hydrant.{}.{k}", hydrant.name);
        let mut need = |ok: bool, key: String, found: String, accepted: &str, way_out: &str| {
            if !ok {
                faults.push(Fault::at_key(key, FaultKind::OutOfRange, found, accepted, way_out));
            }
        };
        need(
            !hydrant.runs.is_empty(),
            key("pipe"),
            "no pipe".into(),
            "at least one run of pipe",
            "give its length and bore, however short",
        );
        need(
            hydrant.height_m.is_finite(),
            key("height"),
            format!("height {} m", hydrant.height_m),
            "a finite height, negative below the tank's outlet",
            "correct the height",
        );
        for (name, value, unit) in
            [("pressure", hydrant.pressure_m, "m of water"), ("trough", hydrant.trough_m3, "m³")]
        {
            need(
                value.is_finite() && value >= 0.0,
                key(name),
                format!("{name} {value} {unit}"),
                &format!("0 {unit} or more"),
                "correct the value",
            );
        }
    }
    if settings.hydrants.is_empty() {
        faults.push(Fault::at_key(
            "hydrant",
            FaultKind::MissingKey,
            "no hydrant",
            "at least one hydrant",
            "add [hydrant.trough], or leave the delivery out",
        ));
    }
    let booster = settings.booster.as_ref().and_then(|b| booster(b, &mut faults));
    let hydrants: Vec<_> =
        settings.hydrants.iter().map(|h| (h.runs.as_slice(), h.height_m, h.pressure_m)).collect();
    let network = Network::new(&settings.shared, &hydrants, settings.friction, settings.water_degc)
        .and_then(|network| {
            let (others, line_of) = settings.lines();
            if others.is_empty() {
                return Ok(network);
            }
            network.with_others(&others, &line_of, settings.friction, settings.water_degc)
        })
        .map_err(|f| faults.extend(f))
        .ok();
    let (Some(network), true) = (network, faults.is_empty()) else { return Err(faults.into()) };
    let lift =
        settings.booster.as_ref().zip(booster).map(|(b, booster)| Lift { booster, tank: b.tank, air_pa });
    reach(settings, &network, lift.as_ref(), &mut faults);
    if faults.is_empty() { Ok((network, lift)) } else { Err(faults.into()) }
}

/// Whether each hydrant gets anything when it alone is open.
fn reach(settings: &Settings, network: &Network, lift: Option<&Lift>, faults: &mut Vec<Fault>) {
    for (i, hydrant) in settings.hydrants.iter().enumerate() {
        let open: Vec<bool> = (0..settings.hydrants.len()).map(|k| k == i).collect();
        if operate(network, lift, &open).flows_m3_per_h.get(i).is_some_and(|q| *q > 0.0) {
            continue;
        }
        let needs_m = hydrant.height_m + hydrant.pressure_m;
        let key = format!("hydrant.{}.height", hydrant.name);
        faults.push(match lift.filter(|_| hydrant.tank == settings.tank) {
            None => Fault::at_key(
                key,
                FaultKind::CannotRun,
                format!("{needs_m} m above the tank's outlet, its valve's pressure included"),
                "below the tank's outlet where no booster feeds it",
                "add a booster, set the tank higher or the hydrant lower",
            ),
            Some(lift) => {
                let highest = lift.booster.highest_head_m();
                let has_m = lift.tank.map_or(highest, |t| highest.min(t.cut_in_pa / WATER_PA_PER_M));
                Fault::at_key(
                    key,
                    FaultKind::CannotRun,
                    format!(
                        "needs {needs_m:.1} m above the tank's outlet; booster and switch give {has_m:.1} m"
                    ),
                    "a hydrant below the booster's highest head and the switch's cut-in",
                    "take a stronger booster or a higher cut-in, or set the hydrant lower",
                )
            }
        });
    }
}

fn booster(settings: &BoosterSettings, faults: &mut Vec<Fault>) -> Option<Booster> {
    let booster = Booster::new(&settings.rows, settings.voltage_v).map_err(|f| faults.extend(f)).ok();
    let mut found = BoosterFaults(faults);
    found.controller(settings);
    found.battery(&settings.battery);
    found.need(
        (settings.battery.voltage_v - settings.voltage_v).abs() <= 0.1 * settings.voltage_v.abs(),
        "voltage",
        format!("a battery of {} V for a booster of {} V", settings.battery.voltage_v, settings.voltage_v),
        "equal nominal voltages",
        "give the table of the booster at the battery's voltage",
    );
    if let Some(tank) = &settings.tank {
        found.pressure_tank(tank, booster.as_ref());
    }
    if let Some(pump) = &booster {
        found.endurance(&settings.battery, pump);
    }
    booster
}

fn above(v: f64) -> bool {
    v.is_finite() && v > 0.0
}

/// The faults found so far, to which those of a booster are added.
struct BoosterFaults<'a>(&'a mut Vec<Fault>);

impl BoosterFaults<'_> {
    fn need(&mut self, ok: bool, key: &str, found: String, accepted: &str, way_out: &str) {
        if !ok {
            self.0.push(Fault::at_key(
                format!("booster.{key}"),
                FaultKind::OutOfRange,
                found,
                accepted,
                way_out,
            ));
        }
    }

    fn controller(&mut self, settings: &BoosterSettings) {
        self.need(
            settings.controller_efficiency > 0.0 && settings.controller_efficiency <= 1.0,
            "controller_efficiency",
            format!("controller efficiency {}", settings.controller_efficiency),
            "above 0, at most 1",
            "leave it out for the usual one",
        );
        self.need(
            settings.standby_w.is_finite() && settings.standby_w >= 0.0,
            "standby",
            format!("standby power {} W", settings.standby_w),
            "0 W or more",
            "correct the power",
        );
    }

    fn battery(&mut self, b: &Battery) {
        self.need(
            above(b.voltage_v) && above(b.capacity_ah) && above(b.rated_h),
            "battery.capacity",
            format!("{} A·h in {} h at {} V", b.capacity_ah, b.rated_h, b.voltage_v),
            "capacity, hours and voltage above 0",
            "copy them from the label",
        );
        self.need(
            is_sound_rate(b),
            "battery.capacities",
            "a capacity by rate that is none".into(),
            "an exponent from 1 to 2, or hours with capacities that do not fall as the hours rise",
            "copy the maker's table",
        );
        self.need(
            b.charge_efficiency > 0.0 && b.charge_efficiency <= 1.0,
            "battery.charge_efficiency",
            format!("charge efficiency {}", b.charge_efficiency),
            "above 0, at most 1",
            "lead-acid has about 0.85",
        );
        self.need(
            (0.0..1.0).contains(&b.self_discharge_per_month),
            "battery.self_discharge",
            format!("self-discharge {} a month", b.self_discharge_per_month),
            "0 to below 1",
            "lead-acid has about 0.03",
        );
        self.need(
            (0.0..=0.03).contains(&b.cold_per_k),
            "battery.cold",
            format!("{} of the capacity per kelvin of cold", b.cold_per_k),
            "0 to 0.03",
            "lead-acid has about 0.008",
        );
        self.need(
            (0.0..1.0).contains(&b.cut_out) && b.reconnect >= b.cut_out && b.reconnect <= 1.0,
            "battery.cut_out",
            format!("cut-out at {}, reconnection at {}", b.cut_out, b.reconnect),
            "states of charge from 0 to below 1, reconnection not below the cut-out",
            "lead-acid lasts longer with 0.5",
        );
    }

    fn pressure_tank(&mut self, t: &PressureTank, booster: Option<&Booster>) {
        self.need(
            above(t.volume_m3)
                && above(t.precharge_pa)
                && t.precharge_pa <= t.cut_in_pa
                && t.cut_in_pa < t.cut_out_pa
                && t.cut_out_pa.is_finite(),
            "pressure_tank",
            format!(
                "{} m³, pre-charge {:.0}, cut-in {:.0}, cut-out {:.0} kPa",
                t.volume_m3,
                t.precharge_pa / 1e3,
                t.cut_in_pa / 1e3,
                t.cut_out_pa / 1e3
            ),
            "pre-charge at most the cut-in, cut-in below the cut-out, all above 0",
            "the usual pre-charge is 14 kPa (2 psi) below the cut-in",
        );
        if let Some(pump) = booster {
            let cut_out_m = t.cut_out_pa / WATER_PA_PER_M;
            self.need(
                cut_out_m <= pump.highest_head_m() && pump.flow_m3_per_h(cut_out_m) > 0.0,
                "pressure_tank.cut_out",
                format!("cut-out at {cut_out_m:.1} m, the booster reaches {:.1} m", pump.highest_head_m()),
                "a cut-out at which the table still has flow; otherwise the pump does not stop",
                "lower the cut-out, or add the table's rows at higher heads",
            );
        }
    }

    /// Whether the battery lasts an hour of pump.
    fn endurance(&mut self, b: &Battery, pump: &Booster) {
        let hour_wh = b.drain_w(pump.most_power_w());
        let usable_wh = b.full_wh() - b.floor_wh(super::RATED_DEGC);
        self.need(
            usable_wh.is_finite() && usable_wh >= hour_wh,
            "battery.capacity",
            format!("{usable_wh:.0} Wh to use, and the pump takes {hour_wh:.0} Wh an hour"),
            "at least one hour of pump between full and cut-out",
            "take a larger battery",
        );
    }
}

/// Whether the capacity by rate can be one.
fn is_sound_rate(b: &Battery) -> bool {
    match &b.rate {
        RateLaw::Peukert(k) => (1.0..=2.0).contains(k),
        RateLaw::Table(points) => {
            // Quicker never gives more, the rated point included.
            let mut all: Vec<(f64, f64)> = points.clone();
            all.push((b.rated_h, b.capacity_ah));
            all.sort_by(|p, q| p.0.total_cmp(&q.0));
            !points.is_empty()
                && all.iter().all(|p| above(p.0) && above(p.1))
                && all
                    .windows(2)
                    .all(|w| w[0].0 >= w[1].0 || (w[0].1 <= w[1].1 && w[0].1 / w[0].0 > w[1].1 / w[1].0))
        }
    }
}
