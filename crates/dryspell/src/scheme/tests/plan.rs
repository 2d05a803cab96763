//! What a scheme without faults means.

use super::{BASE, report, with};
use crate::array::Module;
use crate::array::incidence::Glass;
use crate::array::soiling::{Dust, Soiling};
use crate::calendar::{DateSpan, MonthDay};
use crate::draw::Carry;
use crate::draw::{Need, pattern};
use crate::fault::{Fault, FaultKind};
use crate::plan::Plan;
use crate::pump::Start;
use crate::record::YearKind;
use crate::scheme::WeatherOrigin;
use crate::scheme::keys::{KEYS, Presence};
use crate::scheme::{STARTER, Scheme, StampedAt};
use crate::sun::SkyModel;
use crate::units::System;

fn read(text: &str) -> Scheme {
    Scheme::from_toml(text).unwrap_or_else(|_| panic!("{}", report(text)))
}

fn plan(section: &str, name: &str, literal: &str) -> Plan {
    read(&with(section, name, literal).0).plan()
}

#[track_caller]
fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() <= 1e-9 * expected.abs().max(1e-6), "{found}, not {expected}");
}

#[test]
fn base_scheme_becomes_settings() {
    let scheme = read(BASE);
    assert_eq!((scheme.name.as_deref(), scheme.units), (Some("Test"), System::Si));
    assert_eq!(scheme.weather.origin, WeatherOrigin::Files(vec!["weather.csv".into()]));
    let plan = scheme.plan();
    assert_eq!(plan.sun.sky_model, SkyModel::Perez);
    near(plan.sun.albedo, 0.25);
    let array = &plan.array.arrays[0];
    assert_eq!((array.name.as_str(), array.series, array.parallel), ("roof", 2, 1));
    near(array.azimuth_deg, 225.0);
    assert_eq!(array.soiling, Soiling::Share(0.03));
    // 60 m of 4 mm² at 75 °C: 60 × 1.7241e-8 × 1.21615 / 4e-6.
    near(array.cable_ohm, 60.0 * 1.7241e-8 * 1.216_15 / 4e-6);
    let Module::Datasheet(module) = array.module else { panic!("{:?}", array.module) };
    near(module.isc_temperature_a_per_k, 9.3 * 0.0005);
    near(module.voc_temperature_v_per_k, -0.146);
    let supply = &plan.supply;
    let crate::pump::Settings::Duty(table) = &supply.pump else { panic!("{:?}", supply.pump) };
    assert_eq!(table.rows.len(), 4);
    near(table.rows[3].flow_m3_per_h, 0.54);
    assert_eq!(table.start, Start::Zero);
    near(supply.well.static_level_m[11], 18.0);
    let names: Vec<&str> = supply.pipe.runs.iter().map(|r| r.name.as_str()).collect();
    // The water's order is the file's, not the alphabet's.
    assert_eq!(names, ["drop", "buried"]);
    near(supply.pipe.runs[0].fittings_k, 2.0 * 0.9 + 2.5);
    near(supply.pipe.runs[1].roughness_m, 1.5e-6);
    near(supply.pipe.inlet_height_m, 4.0);
    let [cows, deer] = &plan.draw.groups[..] else { panic!() };
    near(cows.count, 40.0);
    for (found, share) in cows.pattern.iter().zip(pattern::preset("two visits").unwrap()) {
        near(*found, share);
    }
    assert_eq!(deer.need, Need::ByMonth([0.04; 12]));
    near(deer.count, 1.0);
    near(plan.tank.capacity_m3, 12.0);
    assert_eq!(
        (plan.tank.carry, plan.tank.float_start_m3, plan.tank.year_starts_in_month),
        (Carry::None, None, None)
    );
    near(plan.tank.tolerance, 0.01);
}

#[test]
fn each_spelling_of_a_value_is_understood() {
    for (azimuth, degrees) in [
        ("\"south\"", 180.0),
        ("180", 180.0),
        ("\"35.5 deg\"", 35.5),
        ("\"SouthWest\"", 225.0),
        ("\"nnw\"", 337.5),
        ("360", 0.0),
    ] {
        near(plan("array.*", "azimuth", azimuth).array.arrays[0].azimuth_deg, degrees);
    }
    for (month, number) in [("\"may\"", 5), ("\"December\"", 12), ("\"Sep\"", 9), ("3", 3)] {
        assert_eq!(plan("rules", "tank_year_starts", month).tank.year_starts_in_month, Some(number));
    }
    near(plan("site", "albedo", "\"30 %\"").sun.albedo, 0.3);
    assert_eq!(plan("site", "sky", "\"Hay Davies\"").sun.sky_model, SkyModel::HayDavies);
    let span = |from: (u8, u8), to: (u8, u8)| DateSpan {
        from: MonthDay { month: from.0, day: from.1 },
        to: MonthDay { month: to.0, day: to.1 },
    };
    assert_eq!(
        plan("snow", "covered", "[\"12-24 to 01-02\", \"02-29\"]").array.snow.covered,
        [span((12, 24), (1, 2)), span((2, 29), (2, 29))]
    );
    assert_eq!(plan("herd.*", "present", "\"5-1 to 9-30\"").draw.groups[0].present, [span((5, 1), (9, 30))]);
    let months = "[\"1 m\",\"2 m\",\"3 m\",\"4 m\",\"5 m\",\"6 m\",\"7 m\",\"8 m\",\"9 m\",\"10 m\",\"11 m\",\"12 m\"]";
    near(plan("well", "static_level", months).supply.well.static_level_m[6], 7.0);
    let pump = plan("pump", "start_power", "\"35 W\"").supply.pump;
    let crate::pump::Settings::Duty(table) = &pump else { panic!("{pump:?}") };
    assert_eq!(table.start, Start::From(35.0));
    let mut shares = vec!["0"; 24];
    shares[7] = "0.25";
    shares[17] = "0.75";
    near(plan("herd.*", "pattern", &format!("[{}]", shares.join(", "))).draw.groups[0].pattern[17], 0.75);
    let horizon = plan("site", "horizon", "[[\"north\", \"2 deg\"], [180, \"10 deg\"]]").sun.horizon.unwrap();
    assert_eq!(horizon.points_deg, [(0.0, 2.0), (180.0, 10.0)]);
    near(plan("tank.*", "discharge_pressure", "\"10 m water\"").supply.pipe.discharge_pressure_m, 10.0);
    near(plan("tank.*", "inlet_height", "\"-2 m\"").supply.pipe.inlet_height_m, -2.0);
    let entry = read(&with("weather", "file", "[\"a.csv\", \"b.csv\"]").0).weather;
    assert_eq!(entry.origin, WeatherOrigin::Files(vec!["a.csv".into(), "b.csv".into()]));
    let entry = read(&with("weather", "stamps", "\"end\"").0).weather;
    assert_eq!((entry.stamps, entry.years, entry.part_of_year), (Some(StampedAt::End), None, false));
    let entry = read(&with("weather", "years", "\"typical\"").0).weather;
    assert_eq!(entry.years, Some(YearKind::Typical));
    near(read(&with("weather", "utc_offset", "\"-7 h\"").0).weather.utc_offset_h.unwrap(), -7.0);
}

#[test]
fn modules_cables_and_cows_come_in_more_than_one_form() {
    let model = BASE
        .replace("isc = \"9.3 A\"", "photocurrent = \"9.31 A\"\nsaturation_current = \"2e-10 A\"")
        .replace("voc = \"45.6 V\"", "series_resistance = \"0.35 ohm\"\nshunt_resistance = \"400 ohm\"")
        .replace("imp = \"8.7 A\"", "ideality = \"1.9 V\"")
        .replace("vmp = \"37.2 V\"\ncells = 72\n", "")
        .replace("voc_temperature = \"-146 mV/K\"\n", "");
    let Module::Parameters(m) = read(&model).plan().array.arrays[0].module else { panic!() };
    near(m.saturation_current_a, 2e-10);
    near(m.isc_temperature_a_per_k, 9.31 * 0.0005);
    let ohm = |cable: &str| {
        let text = BASE.replace("length = \"30 m\"\narea = \"4 mm2\"", cable);
        read(&text).plan().array.arrays[0].cable_ohm
    };
    near(ohm("resistance = \"0.25 ohm\""), 0.25);
    near(
        ohm("length = \"30 m\"\nawg = 10"),
        crate::array::cable::copper_ohm(30.0, crate::array::cable::gauge_area_m2(10)),
    );
    let none = read(&BASE.replace("[array.roof.cable]\nlength = \"30 m\"\narea = \"4 mm2\"\n", ""));
    near(none.plan().array.arrays[0].cable_ohm, 0.0);
    assert!(none.defaults_used.iter().any(|d| d.key == "array.roof.cable"));
    let cow = BASE.replace("drinks = \"55 L\"", "class = \"beef cow\"\nmass = \"1100 lb\"\nmilk = \"25 lb\"");
    let Need::Class { class, animal } = read(&cow).plan().draw.groups[0].need else { panic!() };
    // The published table's own corner is inside its range.
    assert!(class.name == "beef cow" && class.curve(&animal).is_ok());
}

/// The same scheme in US units gives the same settings.
#[test]
fn both_systems_mean_the_same() {
    let us = BASE
        .replace("\"18 m\"", "\"59.0551181102 ft\"")
        .replace("\"12 m3\"", "\"3170.06462829 gal\"")
        .replace("\"26 mm\"", "\"1.0236220472 in\"")
        .replace("\"20 L/min\"", "\"5.28344104715 gpm\"")
        .replace("\"55 L\"", "\"14.5294628797 gal\"")
        .replace("units = \"si\"", "units = \"us\"");
    let (si, us) = (read(BASE).plan(), read(&us).plan());
    let close = |a: f64, b: f64| assert!((a / b - 1.0).abs() < 1e-10, "{a} against {b}");
    close(us.supply.well.static_level_m[0], si.supply.well.static_level_m[0]);
    close(us.tank.capacity_m3, si.tank.capacity_m3);
    close(us.supply.pipe.runs[0].bore_m, si.supply.pipe.runs[0].bore_m);
    let row = |plan: &Plan| match &plan.supply.pump {
        crate::pump::Settings::Duty(table) => table.rows[1].flow_m3_per_h,
        other => panic!("{other:?}"),
    };
    close(row(&us), row(&si));
    let (Need::ByMonth(a), Need::ByMonth(b)) = (&us.draw.groups[0].need, &si.draw.groups[0].need) else {
        panic!()
    };
    close(a[0], b[0]);
}

#[test]
fn starter_reads_and_knows_its_defaults() {
    let scheme = read(STARTER);
    assert_eq!(scheme.name.as_deref(), Some("Example paddock"));
    let lines: Vec<String> =
        scheme.defaults_used.iter().map(|d| format!("{} = {}: {}", d.key, d.value, d.why)).collect();
    let has =
        |line: &str| assert!(lines.iter().any(|l| l == line), "{line} is not among\n{}", lines.join("\n"));
    has(
        "well.water_temperature = 10 °C: near the mean air temperature of a temperate year; common practice, from \
         memory",
    );
    has("well.yield = no limit: the well yields all the pump can lift");
    has("tank.main.leak = 0 L/day: no leak");
    has("tank.main.float_start = as float_stop: no float band");
    let us = read(&STARTER.replace("units = \"si\"", "units = \"us\""));
    assert!(us.defaults_used.iter().any(|d| d.key == "well.water_temperature" && d.value == "50 °F"));
}

/// Whatever was left out and matters is listed, once.
#[test]
fn every_default_is_listed() {
    let scheme = read(BASE);
    let mut listed: Vec<&str> = scheme.defaults_used.iter().map(|d| d.key.as_str()).collect();
    for key in KEYS {
        let path = if key.section.is_empty() {
            key.name.to_string()
        } else {
            format!("{}.{}", super::header(key.section), key.name)
        };
        let written = scheme.places.contains_key(&path);
        let matters = matches!(key.presence, Presence::Default { .. } | Presence::Without { .. });
        // The float, the battery and the pressure tank are there, but not all that is said of them.
        let special = [
            "tank.main.float_start",
            "booster.battery.peukert",
            "booster.battery.reconnect",
            "booster.battery.temperature",
            "booster.pressure_tank.precharge",
        ]
        .contains(&path.as_str());
        assert_eq!(listed.contains(&path.as_str()), (matters || special) && !written, "{path}");
    }
    listed.sort_unstable();
    let all = listed.len();
    listed.dedup();
    assert_eq!(listed.len(), all);
    assert!(scheme.defaults_used.iter().all(|d| !d.value.is_empty() && !d.why.is_empty()));
}

#[test]
fn a_fault_of_the_run_finds_its_line() {
    let scheme = read(BASE);
    let fault = |key: &str| Fault::at_key(key, FaultKind::CannotRun, "found", "accepted", "way out");
    let line = |key: &str| scheme.locate(fault(key)).location;
    let duty = BASE.lines().position(|l| l.starts_with("duty")).unwrap() + 1;
    assert_eq!((line("pump.duty").line, line("pump.duty").column), (Some(duty), Some(8)));
    assert_eq!((line("pump.duty[2]").line, line("pump.duty[2]").column), (Some(duty), Some(38)));
    // A key that was left out has the line of its table.
    assert_eq!(line("pump.start_power").line, Some(duty - 1));
    assert_eq!(line("array").line, Some(7));
    assert_eq!(line("moon.phase").line, None);
    assert_eq!(line("pump.duty[9]").key.as_deref(), Some("pump.duty[9]"));
    // A line that is known already stays.
    let mut known = fault("pump.duty");
    known.location.line = Some(3);
    assert_eq!(scheme.locate(known).location.line, Some(3));
    assert_eq!(scheme.place_of("tank.main.capacity").and_then(|p| p.column), Some(12));
}

#[test]
fn losses_of_light_become_settings() {
    let dates = |from: (u8, u8), to: (u8, u8)| DateSpan {
        from: MonthDay { month: from.0, day: from.1 },
        to: MonthDay { month: to.0, day: to.1 },
    };
    let one = |name: &str, literal: &str| plan("array.*", name, literal).array.arrays[0].clone();
    assert_eq!(one("incidence_loss", "true").glass, Glass::Fresnel);
    assert_eq!(one("incidence_loss", "false").glass, Glass::Clear);
    assert_eq!(one("ashrae_coefficient", "0.1").glass, Glass::Ashrae { coefficient: 0.1 });
    assert_eq!(one("slope_strings", "3").slope_strings, 3);
    let Soiling::Rain(dust) = one("dust", "\"0.2 %\"").soiling else { panic!() };
    assert_eq!(dust, Dust { per_day: 0.002, washed_by_mm: 6.0, damp_days: 14 });
    let tilted = one("seasonal_tilt", "[[\"10-15 to 02-28\", \"65 deg\"], [\"06-01\", \"20 deg\"]]");
    assert_eq!(tilted.seasons.len(), 2);
    assert_eq!(tilted.seasons[0].dates, dates((10, 15), (2, 28)));
    near(tilted.seasons[1].tilt_deg, 20.0);
    let snow = |name: &str, literal: &str| plan("snow", name, literal).array.snow;
    assert_eq!(snow("covered_days", "\"36 h\"").covered_days, [2; 12]);
    assert!(!snow("from_weather", "false").from_weather && snow("from_weather", "true").from_weather);
    let swept = read(&with("snow", "swept", "\"02-10\"\nswept_at = \"9 h\"").0).plan().array.snow;
    assert_eq!(swept.swept, [dates((2, 10), (2, 10))]);
    near(swept.swept_at_h, 9.0);
}

#[test]
fn losses_of_light_that_contradict_themselves_are_faults() {
    for (section, name, literal, found) in [
        ("array.*", "cleaning_rain", "\"5 mm\"", "cleaning_rain has no effect without dust"),
        ("array.*", "soiling", "\"3 %\"\ndust = \"0.1 %\"", "dust given as well as soiling"),
        (
            "array.*",
            "incidence_loss",
            "false\nashrae_coefficient = 0.05",
            "no effect with incidence_loss = false",
        ),
        ("snow", "swept_at", "\"9 h\"", "swept_at has no effect without swept"),
        ("snow", "swept", "\"02-10\"", "swept_at"),
        (
            "array.*",
            "seasonal_tilt",
            "[[\"10-15 to 02-28\", \"65 deg\"], [\"02-01 to 03-01\", \"20 deg\"]]",
            "dates already in an earlier row",
        ),
    ] {
        let report = report(&with(section, name, literal).0);
        assert!(report.contains(found) && report.lines().count() == 1, "{name} = {literal}:\n{report}");
    }
}

#[test]
fn no_dates_of_snow_are_not_told_as_no_snow_where_there_is_some() {
    let why = |literal: Option<(&str, &str)>| {
        let scheme =
            literal.map_or_else(|| read(BASE), |(name, literal)| read(&with("snow", name, literal).0));
        scheme.defaults_used.into_iter().find(|d| d.key == "snow.covered").map(|d| d.why)
    };
    assert_eq!(why(Some(("covered_days", "\"2 d\""))), None);
    assert_eq!(
        why(None).as_deref(),
        Some("no dates: snow covers the panels only where the weather file has snow depth")
    );
    assert_eq!(why(Some(("from_weather", "false"))).as_deref(), Some("no day has snow on the panels"));
}
