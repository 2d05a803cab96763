//! What a plan must be before it can run, wherever it was made: the ranges are those of the scheme's keys.

mod backup;
mod goal;
mod inflows;
mod panels;
mod tanks;

use super::Plan;
use crate::ageing::Ageing;
use crate::array::Terminals;
use crate::calendar::{Calendar, HOURS_PER_DAY};
use crate::coupling::{self, Booster, Efficiency, Tracking};
use crate::draw::{Settings as Draw, draw, garden};
use crate::evaporation::air::pressure_kpa;
use crate::fault::{Fault, FaultKind, Faults};
use crate::keys::{self, Kind, Range};
use crate::pipe::water_density_kg_per_m3;
use crate::pump::Pump;
use crate::units::System;
use crate::{delivery, frost, pipe, sun, supply, tank, well};

impl Plan {
    /// Every value out of its range, every one that is no number, and every one that contradicts another. A scheme's text is
    /// held against the same ranges when it is read; a plan that was made or changed in code is held against them here.
    /// Every run begins with it.
    ///
    /// # Errors
    /// All that is wrong, each as a fault with its key.
    pub fn check(&self) -> Result<(), Faults> {
        let Self {
            sun,
            array,
            supply,
            draw,
            frost,
            delivery,
            tank,
            other_tanks: _,
            links: _,
            lifts: _,
            inflows,
            backup,
            goal,
            ageing,
            prices,
            columns,
        } = self;
        let mut found = Check::default();
        let pumped = columns.available_m3.is_none();
        if pumped {
            found.supply(supply);
        }
        found.draw(draw);
        if columns.demand_m3.is_some() && !(draw.groups.is_empty() && delivery.is_none()) {
            found.add(Some(vec![Fault::at_key(
                "columns.demand_m3",
                FaultKind::Contradiction,
                "a column of demand beside herds or hydrants",
                "the column alone, or herds and hydrants",
                "take one of them out of the plan",
            )]));
        }
        if let Some(settings) = frost {
            found.add(frost::check(settings).err().map(Vec::from));
        }
        if let Some(settings) = delivery {
            // At sea level; the height above it changes the volume of a pressure tank, not what is in range.
            let air_pa = 1000.0 * pressure_kpa(0.0);
            found.add(delivery::check(settings, air_pa).err().map(Vec::from));
            found.delivery(settings);
        }
        found.sun(sun);
        if pumped {
            found.arrays(array, "array.*");
        }
        let direct = !matches!(supply.coupling, coupling::Settings::Tracking(_));
        if direct && array.terminals == Terminals::Separate && array.arrays.len() > 1 {
            found.add(Some(vec![Fault::at_key(
                "coupling.tracker_inputs",
                FaultKind::Contradiction,
                format!("an input for each array with the coupling \"{}\"", supply.coupling.word()),
                "one pair of terminals for all arrays, or a tracker",
                "put all arrays on common terminals",
            )]));
        }
        found.value("tank.*", &tank.name, "inlet_height", supply.pipe.inlet_height_m);
        found.tank(tank);
        found.tanks(self);
        found.inflows(inflows, self);
        if let Some(backup) = backup {
            let tank = self.tank_number(backup.tank.as_deref()).and_then(|number| self.tanks().nth(number));
            found.backup(backup, tank.unwrap_or(&self.tank));
        }
        if let Some(goal) = goal {
            found.goal(goal);
        }
        if let Some(prices) = prices {
            for (key, price) in prices.by_key() {
                price.into_iter().for_each(|price| found.value("price", "", key, price));
            }
        }
        if let Some(Ageing { modules, pump, herd }) = ageing {
            for (key, share) in [("modules", modules), ("pump", pump), ("herd", herd)] {
                found.value("ageing", "", key, *share);
            }
        }
        if found.0.is_empty() { Ok(()) } else { Err(found.0.into()) }
    }
}

/// The faults found so far.
#[derive(Default)]
struct Check(Vec<Fault>);

impl Check {
    fn add(&mut self, faults: Option<Vec<Fault>>) {
        self.0.extend(faults.into_iter().flatten());
    }

    /// Holds a value against the range of its key. `section` is the table's path in the list of keys, `name` stands for its
    /// `*`. A key that has a fault already is not told twice.
    fn value(&mut self, section: &str, name: &str, key: &str, value: f64) {
        let path = format!("{}.{key}", section.replacen('*', name, 1));
        let (kind, range) =
            keys::find(section, key).map_or((Kind::Number, Range::Any), |k| (k.kind, k.range));
        if (value.is_finite() && range.holds(value)) || self.tells(&path) {
            return;
        }
        let text = range.text(kind, System::Si);
        self.0.push(Fault::at_key(
            path,
            FaultKind::OutOfRange,
            format!("{} {value}", key.replace('_', " ")),
            if text.is_empty() { "a finite number".to_owned() } else { text },
            "correct the value (it is in the base unit of its name)",
        ));
    }

    fn tells(&self, path: &str) -> bool {
        self.0.iter().any(|f| f.location.key.as_deref() == Some(path))
    }

    fn values<const N: usize>(&mut self, section: &str, name: &str, values: [(&str, f64); N]) {
        for (key, value) in values {
            self.value(section, name, key, value);
        }
    }

    fn sun(&mut self, settings: &sun::Settings) {
        // The profile was checked when it was made.
        let sun::Settings { sky_model: _, albedo, horizon: _, inside_hour: _ } = settings;
        self.value("site", "", "albedo", *albedo);
    }

    fn supply(&mut self, settings: &supply::Settings) {
        let supply::Settings { pump, coupling, well, pipe } = settings;
        self.add(Some(well.faults()));
        self.well(well);
        self.add(Some(coupling.faults()));
        self.coupling(coupling);
        self.add(pipe::Line::new(pipe).err().map(Vec::from));
        self.classes(&pipe.runs, "pipe");
        self.add(
            Pump::new(pump, water_density_kg_per_m3(pipe.water_degc.clamp(0.0, 40.0))).err().map(Vec::from),
        );
    }

    fn well(&mut self, settings: &well::Settings) {
        let (delay_h, level_m) = match settings.restart {
            None => (None, None),
            Some(well::Restart::Delay(hours)) => (Some(hours), None),
            Some(well::Restart::Level(depth)) => (None, Some(depth)),
        };
        for level in settings.static_level_m {
            self.value("well", "", "static_level", level);
        }
        self.value("well", "", "well_loss", settings.well_loss_h2_per_m5);
        self.value("well", "", "submergence", settings.submergence_m);
        let given = [
            ("specific_capacity", settings.specific_capacity_m3_per_h_m),
            ("yield", settings.yield_m3_per_h),
            ("bore", settings.bore.map(|bore| bore.diameter_m)),
            ("pump_setting", settings.pump_setting_m),
            ("cut_out", settings.cut_out_m),
            ("restart_delay", delay_h),
            ("restart_level", level_m),
        ];
        for (key, value) in given {
            if let Some(value) = value {
                self.value("well", "", key, value);
            }
        }
    }

    fn coupling(&mut self, settings: &coupling::Settings) {
        let given = match settings {
            coupling::Settings::Direct => return,
            coupling::Settings::Booster(Booster { efficiency, bypass: _, current_limit_a }) => {
                vec![("efficiency", Some(*efficiency)), ("current_limit", *current_limit_a)]
            }
            coupling::Settings::Tracking(Tracking {
                efficiency,
                rated_power_w,
                window_v,
                highest_voltage_v,
                record_low_degc,
            }) => {
                let constant = match efficiency {
                    Efficiency::Constant(eta) => Some(*eta),
                    Efficiency::ByLoad(_) => None,
                };
                vec![
                    ("efficiency", constant),
                    ("rated_power", *rated_power_w),
                    ("lowest_tracking_voltage", window_v.map(|w| w.0)),
                    ("highest_tracking_voltage", window_v.map(|w| w.1)),
                    ("highest_voltage", *highest_voltage_v),
                    ("record_low", *record_low_degc),
                ]
            }
        };
        for (key, value) in given {
            if let Some(value) = value {
                self.value("coupling", "", key, value);
            }
        }
    }

    /// A day of it finds all that is wrong with it.
    fn draw(&mut self, settings: &Draw) {
        let mild = [15.0; HOURS_PER_DAY];
        let day = Calendar::new(Calendar::year(2001).days().iter().take(1).copied().collect(), 0);
        self.add(draw(settings, &day, &mild).err().map(Vec::from));
        for group in &settings.groups {
            if let Some(kg) = group.forage.as_ref().and_then(|f| f.dry_matter_kg) {
                self.value("herd.*", &group.name, "dry_matter", kg);
            }
        }
        self.add(Some(garden::faults(&settings.gardens)));
    }

    /// What the way to the hydrants does not need in order to run, but what rests on it does.
    fn delivery(&mut self, settings: &delivery::Settings) {
        for hydrant in &settings.hydrants {
            let name = &hydrant.name;
            self.value("hydrant.*", name, "height", hydrant.height_m);
            self.value("hydrant.*", name, "trough", hydrant.trough_m3);
            self.value("hydrant.*", name, "open_surface", hydrant.open_surface_m2);
            self.value("hydrant.*", name, "overflow", hydrant.overflow_m3_per_h);
            if let Some(walk_m) = hydrant.walk_m {
                self.value("hydrant.*", name, "walking_distance", walk_m);
            }
            self.classes(&hydrant.runs, &format!("hydrant.{name}.pipe"));
        }
        self.classes(&settings.shared, "delivery");
        if let Some(booster) = &settings.booster {
            if let Some(degc) = booster.battery_degc {
                self.value("booster.battery", "", "temperature", degc);
            }
            self.arrays(&booster.panel, "booster.panel");
        }
    }

    /// Pressure classes, which are given as pressures and kept as heads.
    fn classes(&mut self, runs: &[pipe::Run], table: &str) {
        for (run, head_m) in runs.iter().filter_map(|run| Some((run, run.pressure_class_m?))) {
            let path = format!("{table}.{}.pressure_class", run.name);
            let sound = head_m.is_finite() && head_m > 0.0;
            if !sound && !self.tells(&path) {
                self.0.push(Fault::at_key(
                    path,
                    FaultKind::OutOfRange,
                    format!("pressure class {head_m} m of water"),
                    "above 0",
                    "correct the value, or leave it out",
                ));
            }
        }
    }

    fn tank(&mut self, settings: &tank::Settings) {
        let tank::Settings {
            name,
            capacity_m3,
            float_stop_m3,
            float_start_m3,
            leak_m3_per_h,
            open_surface_m2,
            garden_reserve_m3,
            carry: _,
            tolerance,
            year_starts_in_month,
        } = settings;
        self.values(
            "tank.*",
            name,
            [
                ("capacity", *capacity_m3),
                ("leak", *leak_m3_per_h),
                ("open_surface", *open_surface_m2),
                ("garden_reserve", *garden_reserve_m3),
            ],
        );
        let levels = [
            ("float_stop", *float_stop_m3, *capacity_m3),
            ("float_start", *float_start_m3, settings.full_m3()),
        ];
        for (key, level, most) in levels {
            let Some(level) = level else { continue };
            self.value("tank.*", name, key, level);
            let path = format!("tank.{name}.{key}");
            if level > most && !self.tells(&path) {
                self.0.push(Fault::at_key(
                    path,
                    FaultKind::Contradiction,
                    format!("{} at {level} m3, above {most} m3", key.replace('_', " ")),
                    "a start level at most the stop level, a stop level at most the capacity",
                    "correct the levels",
                ));
            }
        }
        self.value("rules", "", "tolerance", *tolerance);
        if let Some(month) = year_starts_in_month.filter(|m| !(1..=12).contains(m)) {
            self.0.push(Fault::at_key(
                "rules.tank_year_starts",
                FaultKind::OutOfRange,
                format!("month {month}"),
                "1 to 12",
                "correct the month, or leave it out",
            ));
        }
    }
}
