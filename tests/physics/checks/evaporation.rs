//! Evapotranspiration, open water, crops.

use super::{Evaluator, Row};
use dryspell::draw::garden::{crops, irrigation_m3};
use dryspell::evaporation::air;
use dryspell::evaporation::grass::Day;
use dryspell::evaporation::grass_hourly::Hour;
use dryspell::evaporation::radiation::{self, FAO_ZERO_K, Sun};
use dryspell::evaporation::{hargreaves, open_water, soil_heat};

pub const EVALUATORS: &[(&str, Evaluator)] = &[
    ("pressure_kpa", |row| air::pressure_kpa(row.number("elevation_m"))),
    ("gamma", |row| air::psychrometric_kpa_per_k(air::pressure_kpa(row.number("elevation_m")))),
    ("saturation_kpa", |row| air::saturation_kpa(row.number("degc"))),
    ("slope", |row| air::slope_kpa_per_k(row.number("degc"))),
    ("day_saturation_kpa", |row| air::day_saturation_kpa(row.number("greatest"), row.number("least"))),
    ("day_vapour_kpa", vapour),
    ("day_deficit_kpa", |row| {
        air::day_saturation_kpa(row.number("greatest"), row.number("least")) - vapour(row)
    }),
    ("wet_bulb_kpa", |row| {
        let pressure = air::pressure_kpa(row.number("elevation_m"));
        air::wet_bulb_vapour_kpa(row.number("dry"), row.number("wet"), pressure, row.number("a"))
    }),
    ("wind_2_m", |row| air::wind_at_2_m(row.number("wind"), row.number("height"))),
    ("sun_distance", |row| sun(row).distance),
    ("sun_declination", |row| sun(row).declination),
    ("sun_sunset", |row| sun(row).sunset),
    ("sky_mj", |row| sun(row).extraterrestrial_mj()),
    ("sky_mm", |row| 0.408 * sun(row).extraterrestrial_mj()),
    ("longest_sunshine_h", |row| sun(row).daylight_h()),
    ("sunshine_mj", sunshine),
    ("clear_mj", |row| radiation::clear_sky_mj(sun(row).extraterrestrial_mj(), row.number("elevation_m"))),
    ("range_mj", range),
    ("longwave_mj", longwave),
    ("net_mj", |row| 0.77 * row.number("global") - longwave(row)),
    ("soil_mj", |row| soil_heat::month_mj_per_day(row.number("before"), row.number("after"))),
    ("grass_saturation", |row| day(row).steps().saturation_kpa),
    ("grass_vapour", |row| day(row).vapour_kpa),
    ("grass_deficit", |row| day(row).steps().saturation_kpa - day(row).vapour_kpa),
    ("grass_slope", |row| day(row).steps().slope_kpa_per_k),
    ("grass_gamma", |row| day(row).steps().psychrometric_kpa_per_k),
    ("grass_ra", |row| day(row).steps().extraterrestrial_mj),
    ("grass_rs", |row| day(row).global_mj),
    ("grass_clear", |row| day(row).steps().clear_mj),
    ("grass_ratio", |row| radiation::clearness(day(row).global_mj, day(row).steps().clear_mj)),
    ("grass_shortwave", |row| day(row).steps().net_shortwave_mj),
    ("grass_longwave", |row| day(row).steps().net_longwave_mj),
    ("grass_net", |row| day(row).steps().net_mj),
    ("grass_radiation", |row| day(row).steps().radiation_mm),
    ("grass_wind", |row| day(row).steps().wind_mm),
    ("grass_grass", |row| day(row).grass_mm()),
    ("hour_angle", |row| hour_steps(row).hour_angle),
    ("hour_ra", |row| hour_steps(row).extraterrestrial_mj),
    ("hour_clear", |row| hour_steps(row).clear_mj),
    ("hour_saturation", |row| hour_steps(row).saturation_kpa),
    ("hour_vapour", |row| hour_steps(row).vapour_kpa),
    ("hour_shortwave", |row| hour_steps(row).net_shortwave_mj),
    ("hour_longwave", |row| hour_steps(row).net_longwave_mj),
    ("hour_net", |row| hour_steps(row).net_mj),
    ("hour_soil", |row| hour_steps(row).soil_heat_mj),
    ("hour_radiation", |row| hour_steps(row).radiation_mm),
    ("hour_wind", |row| hour_steps(row).wind_mm),
    ("hour_grass", |row| hour(row).grass_mm(row.number("night"))),
    ("hargreaves_mm", |row| {
        hargreaves::grass_mm(row.number("greatest"), row.number("least"), sun(row).extraterrestrial_mj())
    }),
    ("open_water_mm", |row| open_water::evaporation_mm(&day(row))),
    ("irrigation_l", |row| {
        1000.0 * irrigation_m3(row.number("depth"), row.number("area"), row.number("efficiency"))
    }),
    ("crop_kc", |row| {
        let at = ["ini", "mid", "end"].iter().position(|s| *s == row.text("stage")).unwrap();
        crop(row).kc[at]
    }),
    ("crop_stage_days", |row| crop(row).stages_days.unwrap()[row.number("stage") as usize - 1]),
    ("kc_on_day", |row| crops::coefficient(crop(row).kc, crop(row).stages_days.unwrap(), row.number("day"))),
    ("open_column_l", |row| {
        let iced = row.number_or("iced", 0.0) > 0.0;
        let column = open_water::column_m3(&[row.number("depth")], &[iced], row.number("area"));
        assert_eq!(column.len(), 24);
        1000.0 * column.iter().sum::<f64>()
    }),
];

fn crop(row: &Row) -> &'static crops::Crop {
    crops::find(&row.text("crop").replace('_', " ")).unwrap()
}

fn sun(row: &Row) -> Sun {
    Sun::new(row.number("latitude"), row.number("day") as u32)
}

fn vapour(row: &Row) -> f64 {
    air::day_vapour_kpa(
        row.number("greatest"),
        row.number("least"),
        row.number("rh_greatest"),
        row.number("rh_least"),
    )
}

fn sunshine(row: &Row) -> f64 {
    radiation::from_sunshine_mj(
        &sun(row),
        row.number("sunshine_h"),
        row.number_or("a", 0.25),
        row.number_or("b", 0.5),
    )
}

fn range(row: &Row) -> f64 {
    radiation::from_range_mj(
        sun(row).extraterrestrial_mj(),
        row.number("greatest"),
        row.number("least"),
        row.number("k"),
    )
}

fn longwave(row: &Row) -> f64 {
    radiation::net_longwave_mj(
        row.number("greatest"),
        row.number("least"),
        if row.inputs.contains_key("vapour") { row.number("vapour") } else { vapour(row) },
        radiation::clearness(row.number("global"), row.number("clear")),
        row.number_or("zero_k", FAO_ZERO_K),
    )
}

/// The day of a row: vapour from `vapour`, `dew` or humidities, radiation from `global`, sunshine or the day's range.
fn day(row: &Row) -> Day {
    let has = |name: &str| row.inputs.contains_key(name);
    Day {
        latitude_deg: row.number("latitude"),
        elevation_m: row.number("elevation"),
        day_of_year: row.number("day") as u32,
        greatest_degc: row.number("greatest"),
        least_degc: row.number("least"),
        vapour_kpa: if has("vapour") {
            row.number("vapour")
        } else if has("dew") {
            air::saturation_kpa(row.number("dew"))
        } else {
            vapour(row)
        },
        wind_m_per_s: if has("wind") {
            row.number("wind")
        } else {
            air::wind_at_2_m(row.number("wind_10_m"), 10.0)
        },
        global_mj: if has("global") {
            row.number("global")
        } else if has("k") {
            range(row)
        } else {
            sunshine(row)
        },
        soil_heat_mj: row.number("soil"),
    }
}

fn hour(row: &Row) -> Hour {
    Hour {
        latitude_deg: row.number("latitude"),
        longitude_deg: row.number("longitude"),
        utc_offset_h: row.number("offset"),
        elevation_m: row.number("elevation"),
        day_of_year: row.number("day") as u32,
        middle_h: row.number("middle"),
        air_degc: row.number("degc"),
        humidity: row.number("rh"),
        wind_m_per_s: row.number("wind"),
        global_mj: row.number("global"),
    }
}

fn hour_steps(row: &Row) -> dryspell::evaporation::grass_hourly::Steps {
    hour(row).steps(row.number("night"))
}
