//! Panels: glass, cell temperature, the one-diode module, the datasheet fit, the cable.

use super::{Evaluator, Row};
use dryspell::array::cable::{copper_ohm, gauge_area_m2};
use dryspell::array::faiman::cell_degc;
use dryspell::array::fit::fit;
use dryspell::array::incidence::beam_share;
use dryspell::array::one_diode::{Curve, SILICON_BAND_GAP_EV, curve};
use dryspell::array::{Datasheet, Faiman, OneDiode};

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
    ("copper_ohm_per_1000ft", |r| {
        // Both wires of half the length are one wire of the whole.
        copper_ohm(0.5 * 304.8, gauge_area_m2(r.text("gauge").parse().unwrap()))
    }),
];

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

fn lit(r: &Row) -> Curve {
    curve(&module(r.text("module")), r.number("light"), r.number("cell")).unwrap()
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
