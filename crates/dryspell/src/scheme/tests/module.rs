//! A module by its plate: power with nominal voltage or cells.

use super::{BASE, report};
use crate::array::{Module, Nameplate};
use crate::scheme::Scheme;

/// The base scheme with these lines in place of the module's.
fn text(keys: &str) -> String {
    let (before, rest) = BASE.split_once("[array.roof.module]\n").unwrap();
    let after = &rest[rest.find("\n[").unwrap()..];
    format!("{before}[array.roof.module]\n{keys}{after}")
}

fn plate(keys: &str) -> Nameplate {
    let scheme = Scheme::from_toml(&text(keys)).unwrap_or_else(|_| panic!("{}", report(&text(keys))));
    let Module::Nameplate(plate) = scheme.plan().array.arrays[0].module else { panic!() };
    plate
}

#[test]
fn power_with_nominal_voltage_or_cells_is_enough() {
    let bare = |power_w, cells| Nameplate {
        power_w,
        cells,
        isc_temperature_a_per_k: None,
        voc_temperature_v_per_k: None,
    };
    assert_eq!(plate("power = \"100 W\"\nnominal_voltage = \"12 V\""), bare(100.0, 36));
    assert_eq!(plate("power = \"0.25 kW\"\nnominal_voltage = \"20 V\""), bare(250.0, 60));
    assert_eq!(plate("power = \"180 W\"\nnominal_voltage = \"24 V\""), bare(180.0, 72));
    assert_eq!(plate("power = \"55 W\"\ncells = 33"), bare(55.0, 33));
    let given =
        plate("power = \"100 W\"\ncells = 36\nvoc_temperature = \"-80 mV/K\"\nisc_temperature = \"0.1 %/K\"");
    assert_eq!(given.voc_temperature_v_per_k, Some(-0.08));
    // 100 W / (36 · 0.615 V · 0.800) / 0.923 = 6.1169 A.
    assert!((given.isc_temperature_a_per_k.unwrap() - 0.001 * 6.1169).abs() < 1e-7);
}

#[test]
fn a_plate_that_is_mixed_or_incomplete_is_refused_with_the_way_out() {
    let refused = |keys: &str, parts: &[&str]| {
        let lines = report(&text(keys));
        assert_eq!(lines.lines().count(), 1, "{keys}: {lines}");
        for part in parts {
            assert!(lines.contains(part), "{keys}: {lines}");
        }
    };
    refused(
        "power = \"100 W\"\nnominal_voltage = \"12 V\"\nvmp = \"17.5 V\"",
        &["array.roof.module.vmp: vmp given as well as nominal_voltage", "without it remove vmp"],
    );
    refused("power = \"100 W\"\ncells = 36\nideality = \"1 V\"", &["ideality given as well as power"]);
    refused(
        "power = \"100 W\"\ncells = 36\nnominal_voltage = \"12 V\"",
        &["cells given as well as nominal_voltage"],
    );
    refused(
        "power = \"100 W\"\nnominal_voltage = \"17.5 V\"",
        &[
            "no class of modules has a nominal voltage of 17.5 V",
            "12 V (36 cells), 20 V (60 cells), 24 V (72 cells)",
        ],
    );
    refused("power = \"400 W\"\ncells = 144", &["write cells = 72"]);
    refused("power = \"100 W\"", &["array.roof.module.nominal_voltage: this key is missing"]);
    refused("nominal_voltage = \"12 V\"", &["array.roof.module.power: this key is missing"]);
    refused("power = \"100\"\ncells = 36", &["\"100\" has no unit"]);
    refused("power = \"100 W\"\ncells = 36\nvoc_temperature = \"-3 %/K\"", &["out of range"]);
}
