//! Datasheets made from known parameters, awkward ones, and ones that contradict themselves.

use super::conditions::STEP_K;
use super::*;
use libm::exp;

/// A datasheet made from known parameters, with the open-circuit coefficient of the two-kelvin step.
fn sheet_of(m: &OneDiode, cells: u32) -> Datasheet {
    let c = curve(m, 1000.0, 25.0).unwrap();
    let p = c.maximum_power();
    let warm = curve(m, 1000.0, 25.0 + STEP_K).unwrap();
    Datasheet {
        isc_a: c.short_circuit_a(),
        voc_v: c.open_circuit_v(),
        imp_a: p.current_a,
        vmp_v: p.voltage_v,
        isc_temperature_a_per_k: m.isc_temperature_a_per_k,
        voc_temperature_v_per_k: (warm.open_circuit_v() - c.open_circuit_v()) / STEP_K,
        cells,
    }
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(40))]
    #[test]
    fn parameters_come_back_from_their_own_datasheet(
        cells in 20_u32..150, ideality in 0.8..1.9_f64, current in 1.0..12.0_f64, per_cell in 0.56..0.68_f64,
        rs_share in 0.01..0.06_f64, rsh in 30.0..300.0_f64,
    ) {
        let n = f64::from(cells);
        let a = ideality * 8.617_333_262e-5 * 298.15 * n;
        let resistance = per_cell * n / current;
        let module = OneDiode {
            photocurrent_a: current,
            saturation_current_a: current / (exp(per_cell * n / a) - 1.0),
            series_resistance_ohm: rs_share * resistance,
            shunt_resistance_ohm: rsh * resistance,
            modified_ideality_v: a,
            isc_temperature_a_per_k: 0.0005 * current,
            band_gap_ev: SILICON_BAND_GAP_EV,
        };
        let fitted = fit(&sheet_of(&module, cells)).unwrap();
        proptest::prop_assert_eq!(fitted.tier, Tier::Exact);
        let found = fitted.module;
        for (got, put) in [
            (found.modified_ideality_v, module.modified_ideality_v),
            (found.series_resistance_ohm, module.series_resistance_ohm),
            (found.photocurrent_a, module.photocurrent_a),
        ] {
            proptest::prop_assert!((got / put - 1.0).abs() < 1e-3, "{found:?} v {module:?}");
        }
    }
}

/// What every fit keeps: power and open-circuit voltage within 0.1 %, short-circuit current within 1 %, the voltage
/// coefficient.
fn keeps(sheet: &Datasheet, fitted: &FittedModule) {
    let at = |cell| curve(&fitted.module, 1000.0, cell).unwrap();
    let p = at(25.0).maximum_power();
    assert!((p.power_w / (sheet.imp_a * sheet.vmp_v) - 1.0).abs() < 1e-3, "{fitted:?}");
    assert!((at(25.0).open_circuit_v() / sheet.voc_v - 1.0).abs() < 1e-3, "{fitted:?}");
    assert!((at(25.0).short_circuit_a() / sheet.isc_a - 1.0 - fitted.isc_miss).abs() < 1e-6, "{fitted:?}");
    assert!((p.voltage_v / sheet.vmp_v - 1.0 - fitted.vmp_miss).abs() < 1e-4, "{fitted:?}");
    assert!((0.0..0.01).contains(&fitted.isc_miss) && fitted.vmp_miss.abs() <= 0.1);
    let warm = at(25.0 + STEP_K).open_circuit_v();
    assert!((warm - sheet.voc_v - STEP_K * sheet.voc_temperature_v_per_k).abs() < 1e-4, "{fitted:?}");
}

/// Rows of a public list, by what they need.
#[test]
fn each_tier_keeps_what_it_promises() {
    let sheet = |isc_a, voc_v, imp_a, vmp_v, alpha, beta, cells| Datasheet {
        isc_a,
        voc_v,
        imp_a,
        vmp_v,
        isc_temperature_a_per_k: alpha,
        voc_temperature_v_per_k: beta,
        cells,
    };
    // A positive shunt, but not with the stated voltage coefficient.
    let own_gap = sheet(9.0, 38.0, 8.56, 30.71, 0.00207, -0.11438, 60);
    // Power too good for the short-circuit current.
    let raised = sheet(9.97, 39.4, 9.63, 31.2, 0.003589, -0.11032, 60);
    // No curve has its maximum there.
    let moved = sheet(9.23, 39.26, 9.03, 31.01, 0.004532, -0.116602, 60);
    for (sheet, tier) in
        [(own_gap, Tier::OwnBandGap), (raised, Tier::OwnBandGap), (moved, Tier::LeastSquares)]
    {
        let fitted = fit(&sheet).unwrap();
        assert_eq!(fitted.tier, tier, "{fitted:?}");
        keeps(&sheet, &fitted);
        assert_eq!(fitted.vmp_miss.abs() > 0.0, tier == Tier::LeastSquares, "{fitted:?}");
    }
    assert!(fit(&own_gap).unwrap().isc_miss.abs() < 1e-12);
    assert!(fit(&raised).unwrap().isc_miss > 0.0);
}

#[test]
fn datasheets_that_contradict_themselves_have_no_fit() {
    let good = Datasheet {
        isc_a: 4.97,
        voc_v: 21.8,
        imp_a: 4.58,
        vmp_v: 17.5,
        isc_temperature_a_per_k: 0.004423,
        voc_temperature_v_per_k: -0.081532,
        cells: 36,
    };
    let fitted = fit(&good).unwrap();
    assert_eq!(fitted.cells, 36);
    // Half-cut cells, counted one by one.
    assert_eq!(fit(&Datasheet { cells: 72, ..good }), Some(FittedModule { in_parallel: 2, ..fitted }));
    for bad in [
        Datasheet { imp_a: 4.98, ..good },
        Datasheet { vmp_v: 21.9, ..good },
        Datasheet { voc_temperature_v_per_k: 0.08, ..good },
        Datasheet { cells: 0, ..good },
        Datasheet { vmp_v: 9.0, ..good },
        Datasheet { isc_a: f64::NAN, ..good },
    ] {
        assert!(fit(&bad).is_none(), "{bad:?}");
    }
}
