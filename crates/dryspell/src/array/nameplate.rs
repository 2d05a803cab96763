//! A module of which only the power and the nominal voltage or the cells are known.

use super::settings::{Datasheet, Module, Nameplate};

/// What modules with a count of cells typically have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Class {
    /// Cells in series; `None` for every other count.
    pub cells: Option<u32>,
    /// Rows of the list that it is taken from.
    pub rows: u32,
    /// Open-circuit voltage of a cell, V.
    pub voc_per_cell_v: f64,
    /// Voltage at maximum power over open-circuit voltage.
    pub vmp_over_voc: f64,
    /// Current at maximum power over short-circuit current.
    pub imp_over_isc: f64,
    /// Relative temperature coefficient of the short-circuit current, 1/K.
    pub isc_temperature_per_k: f64,
    /// Relative temperature coefficient of the open-circuit voltage, 1/K.
    pub voc_temperature_per_k: f64,
}

/// The classes: medians of the rows of `data/reference/modules.csv` with so many cells, to the digits shown; the last one
/// of all rows with 0.5 to 0.75 V a cell. (Every tenth of the 21 535 rows of the module list in pvlib 0.16.1, the values
/// that makers gave to the California Energy Commission.)
pub const CLASSES: [Class; 4] = [
    Class {
        cells: Some(36),
        rows: 28,
        voc_per_cell_v: 0.615,
        vmp_over_voc: 0.800,
        imp_over_isc: 0.923,
        isc_temperature_per_k: 0.000_54,
        voc_temperature_per_k: -0.003_33,
    },
    Class {
        cells: Some(60),
        rows: 949,
        voc_per_cell_v: 0.627,
        vmp_over_voc: 0.809,
        imp_over_isc: 0.939,
        isc_temperature_per_k: 0.000_51,
        voc_temperature_per_k: -0.003_39,
    },
    Class {
        cells: Some(72),
        rows: 877,
        voc_per_cell_v: 0.627,
        vmp_over_voc: 0.812,
        imp_over_isc: 0.939,
        isc_temperature_per_k: 0.000_50,
        voc_temperature_per_k: -0.003_34,
    },
    Class {
        cells: None,
        rows: 2111,
        voc_per_cell_v: 0.626,
        vmp_over_voc: 0.810,
        imp_over_isc: 0.938,
        isc_temperature_per_k: 0.000_51,
        voc_temperature_per_k: -0.003_37,
    },
];

/// Nominal voltages by which modules are sold, V, and the cells in series that each stands for. Common practice, no
/// source: 36 cells charge a battery of 12 V, 72 one of 24 V, and 60 are called 20 V after them.
pub const NOMINAL: [(f64, u32); 3] = [(12.0, 36), (20.0, 60), (24.0, 72)];

/// The most cells that a power with a count of cells is read for: beyond, the count usually holds halves of cells, two
/// strings of them side by side (common practice, no source).
pub const MOST_CELLS: u32 = 96;

/// The class of a count of cells.
#[must_use]
pub fn class(cells: u32) -> &'static Class {
    let last = &CLASSES[CLASSES.len() - 1];
    CLASSES.iter().find(|class| class.cells == Some(cells)).unwrap_or(last)
}

/// The cells in series that a nominal voltage stands for; `None` for one that is not in [`NOMINAL`].
#[must_use]
pub fn cells_of(nominal_v: f64) -> Option<u32> {
    NOMINAL.iter().find(|(v, _)| (nominal_v - v).abs() < 0.01).map(|(_, cells)| *cells)
}

/// The datasheet that a module of this power and count of cells typically has.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | P | `power_w` | W | > 0 |
/// | N | `cells` | – | 1 to 96 |
///
/// # Equation
/// With the ratios of its [`Class`]: `Voc = N·(Voc/N)`, `Vmp = Voc·(Vmp/Voc)`, `Imp = P/Vmp`, `Isc = Imp/(Imp/Isc)`. A
/// coefficient that is given prevails over the typical one.
///
/// # Validity
/// Crystalline silicon with all cells in series. Of the modules in the list, four in five have Voc within 5 % and Vmp
/// within 6 % of it; the power is as it is given. Thin films lie far from it.
///
/// # Example
/// ```
/// use dryspell::array::Nameplate;
/// use dryspell::array::nameplate::typical;
/// let sheet = typical(&Nameplate {
///     power_w: 100.0, cells: 36, isc_temperature_a_per_k: None, voc_temperature_v_per_k: None,
/// });
/// assert!((sheet.voc_v - 22.14).abs() < 1e-9 && (sheet.vmp_v - 17.712).abs() < 1e-9);
/// assert!((sheet.vmp_v * sheet.imp_a - 100.0).abs() < 1e-9);
/// ```
///
/// # References
/// The list of [`CLASSES`]; `tests/physics/modules.rs` takes the medians again.
#[must_use]
pub fn typical(plate: &Nameplate) -> Datasheet {
    let class = class(plate.cells);
    let voc_v = f64::from(plate.cells) * class.voc_per_cell_v;
    let vmp_v = voc_v * class.vmp_over_voc;
    let imp_a = plate.power_w / vmp_v;
    let isc_a = imp_a / class.imp_over_isc;
    Datasheet {
        isc_a,
        voc_v,
        imp_a,
        vmp_v,
        isc_temperature_a_per_k: plate.isc_temperature_a_per_k.unwrap_or(isc_a * class.isc_temperature_per_k),
        voc_temperature_v_per_k: plate.voc_temperature_v_per_k.unwrap_or(voc_v * class.voc_temperature_per_k),
        cells: plate.cells,
    }
}

impl Module {
    /// Its datasheet, stated or typical; `None` where the five parameters are given.
    #[must_use]
    pub fn sheet(&self) -> Option<Datasheet> {
        match self {
            Self::Parameters(_) => None,
            Self::Datasheet(sheet) => Some(*sheet),
            Self::Nameplate(plate) => Some(typical(plate)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::array::fit::{Tier, fit};
    use crate::array::one_diode::curve;

    /// Every power and every count that the keys let through has a module of its power.
    #[test]
    fn every_typical_module_is_fitted_exactly_and_gives_its_power() {
        for cells in 1..=MOST_CELLS {
            for power_w in [0.5, 5.0, 50.0, 100.0, 320.0, 700.0] {
                let plate = Nameplate {
                    power_w,
                    cells,
                    isc_temperature_a_per_k: None,
                    voc_temperature_v_per_k: None,
                };
                let fitted = fit(&typical(&plate)).unwrap_or_else(|| panic!("{power_w} W, {cells} cells"));
                assert_eq!(fitted.tier, Tier::Exact, "{power_w} W, {cells} cells");
                let found = curve(&fitted.module, 1000.0, 25.0).unwrap().maximum_power().power_w;
                assert!((found / power_w - 1.0).abs() < 1e-4, "{power_w} W, {cells} cells: {found}");
            }
        }
    }

    #[test]
    fn a_nominal_voltage_stands_for_cells_or_for_nothing() {
        assert_eq!([12.0, 20.0, 24.0, 17.0].map(cells_of), [Some(36), Some(60), Some(72), None]);
    }
}
