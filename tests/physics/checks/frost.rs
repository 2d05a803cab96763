//! Frost depth, pipes, ice.

use super::{Evaluator, Row};
use crate::support::data;
use crate::tmy3;
use dryspell::frost::{
    BarePipe, FrostDepth, Grain, OpenWater, SURFACES, Soil, daily_means, freezing_index, frost_depth, ice_m,
    kersten_w_per_m_k, lambda, stefan_depth_m, winters,
};

const FOOT: f64 = 0.3048;
const INCH: f64 = 0.0254;
/// One Btu/(h·ft·°F) in W/(m·K).
const BTU_W_PER_M_K: f64 = 1_055.055_852_62 / 3600.0 / FOOT / (5.0 / 9.0);
/// One pound per cubic foot in kg/m³.
const PCF: f64 = 0.453_592_37 / (FOOT * FOOT * FOOT);

pub const EVALUATORS: &[(&str, Evaluator)] = &[
    ("frost_depth_ft", |r| berggren(r).depth_m / FOOT),
    ("frost_stefan_ft", |r| berggren(r).stefan_m / FOOT),
    ("frost_lambda", |r| berggren(r).lambda),
    ("frost_alpha", |r| berggren(r).thermal_ratio),
    ("frost_mu", |r| berggren(r).fusion_parameter),
    ("lambda_of", |r| lambda(r.number("mu"), r.number("alpha"))),
    ("stefan_m", |r| stefan_depth_m(r.number("k"), r.number("index"), 1e6 * r.number("l_mj"))),
    ("soil_fusion_btu_per_ft3", |r| silt(r).fusion_j_per_m3() / 1_055.055_852_62 * FOOT * FOOT * FOOT),
    ("soil_heat_btu_per_ft3_f", |r| {
        silt(r).heat_j_per_m3_k() / 1_055.055_852_62 * FOOT * FOOT * FOOT * 5.0 / 9.0
    }),
    ("soil_fusion_mj_per_m3", |r| silt(r).fusion_j_per_m3() / 1e6),
    ("kersten_btu", kersten),
    ("n_factor", |r| SURFACES.iter().find(|s| s.0 == r.text("surface").replace('_', " ")).unwrap().1),
    ("freezing_index", |r| freezing_index(r.numbers("days")).degc_days),
    ("pipe_to_freezing_h", ashrae),
    ("pipe_to_zero_min", |r| 60.0 * bare(r).cooling_h(r.number("start"), r.number("air")).unwrap()),
    ("pipe_to_solid_min", |r| 60.0 * bare(r).freezing_h(r.number("air")).unwrap()),
    ("ice_cm", |r| {
        100.0 * ice_m(0.0, r.number_or("film", f64::INFINITY), r.number("frost"), r.number("hours"))
    }),
    ("ice_degf_days", ice_degree_days),
    ("inflow_mj", |r| {
        let water =
            OpenWater { area_m2: 1.0, depth_m: 1.0, film_w_per_m2_k: 10.0, inflow_degc: r.number("degc") };
        water.inflow_w(r.number("m3")) * 3600.0 / 1e6
    }),
    ("inflow_kg_ice", |r| {
        let water =
            OpenWater { area_m2: 1.0, depth_m: 1.0, film_w_per_m2_k: 10.0, inflow_degc: r.number("degc") };
        water.inflow_w(r.number("m3")) * 3600.0 / 334_000.0
    }),
    ("open_loss_w", |r| {
        let water = OpenWater {
            area_m2: r.number("area"),
            depth_m: 0.5,
            film_w_per_m2_k: r.number("film"),
            inflow_degc: 10.0,
        };
        water.loss_w(r.number("air"))
    }),
    ("cover_less_frost_is_positive", valve_in_the_hills),
];

/// Silt of 100 lb/ft³ and 15 % with the conductivity of the printed cases.
fn silt(r: &Row) -> Soil {
    let k = r.number_or("k_btu", 0.76) * BTU_W_PER_M_K;
    Soil {
        grain: Grain::Fine,
        dry_density_kg_per_m3: r.number_or("pcf", 100.0) * PCF,
        water_share: r.number_or("water", 15.0) / 100.0,
        frozen_w_per_m_k: k,
        thawed_w_per_m_k: k,
    }
}

fn berggren(r: &Row) -> FrostDepth {
    let [index, days, mean] = ["index_degf_days", "days", "mean_degf"].map(|n| r.number(n));
    frost_depth(&silt(r), index / 1.8, days, (mean - 32.0) / 1.8).unwrap()
}

fn kersten(r: &Row) -> f64 {
    let (frozen, thawed) = kersten_w_per_m_k(Grain::Fine, r.number("pcf") * PCF, r.number("water") / 100.0);
    (if r.text("state") == "frozen" { frozen } else { thawed }) / BTU_W_PER_M_K
}

/// Insulated steel pipe: insulation alone, as the handbook has it.
fn ashrae(r: &Row) -> f64 {
    let pipe = BarePipe {
        bore_m: r.number("bore_in") * INCH,
        outside_m: r.number("outside_in") * INCH,
        insulation_m: r.number("insulation_in") * INCH,
        // Btu·in/(h·ft²·°F)
        insulation_w_per_m_k: r.number("k_btu_in") / 12.0 * BTU_W_PER_M_K,
        film_w_per_m2_k: None,
    };
    let degc = |name: &str| (r.number(name) - 32.0) / 1.8;
    pipe.cooling_h(degc("start_degf"), degc("air_degf")).unwrap()
}

fn bare(r: &Row) -> BarePipe {
    BarePipe {
        bore_m: r.number("bore_mm") / 1000.0,
        outside_m: r.number("outside_mm") / 1000.0,
        insulation_m: 0.0,
        insulation_w_per_m_k: 0.04,
        film_w_per_m2_k: Some(r.number("film")),
    }
}

/// Degree-days, in °F, in which ice grows from one thickness to another: found from our thickness by halving.
fn ice_degree_days(r: &Row) -> f64 {
    let (from, to) = (r.number("from_in") * INCH, r.number("to_in") * INCH);
    let film = r.number("film");
    let (mut low, mut high) = (0.0, 200.0);
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        // At 10 K of frost.
        if ice_m(from, film, 10.0, 2.4 * middle) < to { low = middle } else { high = middle }
    }
    1.8 * low
}

/// An outlet valve below grade in a mild hill climate: 1 when frost stays above it.
fn valve_in_the_hills(r: &Row) -> f64 {
    let record = tmy3::read(&data("weather/723170TYA.CSV"));
    let rise_m = r.number("height_ft") * FOOT - record.place.elevation_m;
    let lapse = 0.0065 * rise_m;
    let air: Vec<f64> = record.air_degc.iter().map(|t| t - lapse).collect();
    let daily = daily_means(&air);
    let winter = winters(&record.calendar, &daily, true)[0];
    let mean = daily.iter().sum::<f64>() / daily.len() as f64;
    let soil = Soil::named(r.text("soil")).unwrap();
    let surface = SURFACES.iter().find(|s| s.0 == r.text("surface").replace('_', " ")).unwrap().1;
    let frost = frost_depth(&soil, surface * winter.fall.degc_days, winter.fall.days as f64, mean).unwrap();
    f64::from(u8::from(r.number("cover_in") * INCH > frost.depth_m))
}
