//! Panels: glass, cell temperature, the one-diode module, the datasheet fit, the cable.

use super::{Evaluator, Row};
use dryspell::array::cable::{copper_ohm, gauge_area_m2};
use dryspell::array::faiman::cell_degc;
use dryspell::array::fit::fit;
use dryspell::array::incidence::{Glass, ashrae_share, beam_share};
use dryspell::array::nameplate::typical;
use dryspell::array::one_diode::{Curve, SILICON_BAND_GAP_EV, curve};
use dryspell::array::snow::{Slope, working_share};
use dryspell::array::soiling::{Dust, dust_share};
use dryspell::array::{Datasheet, Faiman, Nameplate, OneDiode};
use libm::cos;

pub const EVALUATORS: &[(&str, Evaluator)] = &[
    ("glass_share", |r| beam_share(r.number("incidence"))),
    ("cell_degc", |r| cell_degc(&Faiman::default(), r.number("air"), r.number("light"), r.number("wind"))),
    ("short_circuit_a", |r| lit(r).short_circuit_a()),
    ("open_circuit_v", |r| lit(r).open_circuit_v()),
    ("maximum_power_w", |r| lit(r).maximum_power().power_w),
    ("maximum_power_v", |r| lit(r).maximum_power().voltage_v),
    ("current_a", |r| lit(r).current_a(r.number("voltage"))),
    ("fit_il", |r| fitted(r).photocurrent_a),
    ("fit_rs", |r| fitted(r).series_resistance_ohm),
    ("fit_a", |r| fitted(r).modified_ideality_v),
    ("fit_rsh", |r| fitted(r).shunt_resistance_ohm),
    ("typical_voc_v", |r| plate(r).voc_v),
    ("typical_vmp_v", |r| plate(r).vmp_v),
    ("typical_isc_a", |r| plate(r).isc_a),
    ("ashrae_share", |r| ashrae_share(cos(r.number("incidence").to_radians()), r.number("coefficient"))),
    ("diffuse_sky", |r| glass(r).diffuse(r.number("tilt")).sky),
    ("diffuse_horizon", |r| glass(r).diffuse(r.number("tilt")).horizon),
    ("diffuse_ground", |r| glass(r).diffuse(r.number("tilt")).ground),
    ("snow_cover", snow_cover),
    ("snow_loss", |r| 1.0 - working_share(r.number("cover"), r.text("strings").parse().unwrap())),
    ("dust_share", |r| {
        let at = |name: &str| r.text(name).parse::<usize>().unwrap();
        let mut rain = vec![0.0; 60 * 24];
        rain[at("rain_hour")] = r.number("rain_mm");
        let dust = Dust { per_day: r.number("rate"), washed_by_mm: 6.0, damp_days: 14 };
        dust_share(&dust, &rain, 0.0)[at("hour")]
    }),
    ("copper_ohm_per_1000ft", |r| {
        // Both wires of half the length are one wire of the whole.
        copper_ohm(0.5 * 304.8, gauge_area_m2(r.text("gauge").parse().unwrap()))
    }),
];

/// The typical module of a power and a count of cells.
fn plate(r: &Row) -> Datasheet {
    typical(&Nameplate {
        power_w: r.number("power"),
        cells: r.text("cells").parse().unwrap(),
        isc_temperature_a_per_k: None,
        voc_temperature_v_per_k: None,
    })
}

/// Two modules of a public list: 80 W with 36 cells, 175 W with 72.
pub fn module(name: &str) -> OneDiode {
    match name {
        "m36" => OneDiode {
            photocurrent_a: 4.980938,
            saturation_current_a: 9.686902e-10,
            series_resistance_ohm: 0.326085,
            shunt_resistance_ohm: 148.161652,
            modified_ideality_v: 0.976234,
            isc_temperature_a_per_k: 0.004423,
            band_gap_ev: SILICON_BAND_GAP_EV,
        },
        "m72" => OneDiode {
            photocurrent_a: 5.175703,
            saturation_current_a: 1.149158e-9,
            series_resistance_ohm: 0.316688,
            shunt_resistance_ohm: 287.102203,
            modified_ideality_v: 1.981696,
            isc_temperature_a_per_k: 0.002146,
            band_gap_ev: SILICON_BAND_GAP_EV,
        },
        other => panic!("no module {other}"),
    }
}

fn glass(r: &Row) -> Glass {
    match r.text("glass") {
        "fresnel" => Glass::Fresnel,
        "ashrae" => Glass::Ashrae { coefficient: 0.05 },
        other => panic!("no glass {other}"),
    }
}

/// Cover of a slope that starts clear, at the end of an hour; the ground holds enough snow throughout.
fn snow_cover(r: &Row) -> f64 {
    let mut slope = Slope::new(r.number("tilt"), 0.0);
    let hour = r.text("hour").parse::<usize>().unwrap();
    let (fall, plane, air) = (r.numbers("fall_cm"), r.numbers("plane"), r.numbers("air"));
    (0..=hour).map(|h| slope.hour(0.01 * fall[h], 1.0, plane[h], air[h])).last().unwrap()
}

fn lit(r: &Row) -> Curve {
    let gap = r.number_or("gap", SILICON_BAND_GAP_EV);
    curve(&OneDiode { band_gap_ev: gap, ..module(r.text("module")) }, r.number("light"), r.number("cell"))
        .unwrap()
}

fn fitted(r: &Row) -> OneDiode {
    let sheet = Datasheet {
        isc_a: r.number("isc"),
        voc_v: r.number("voc"),
        imp_a: r.number("imp"),
        vmp_v: r.number("vmp"),
        isc_temperature_a_per_k: r.number("alpha"),
        voc_temperature_v_per_k: r.number("beta"),
        cells: r.text("cells").parse().unwrap(),
    };
    fit(&sheet).unwrap_or_else(|| panic!("{}: no fit", r.id)).module
}
