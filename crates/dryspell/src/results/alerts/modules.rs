//! Modules: what their fit could not take from the datasheet, and what is assumed where there is none.

use super::list::{Alerts, Severity};
use crate::array::fit::Tier;
use crate::array::nameplate::typical;
use crate::array::{Module, OneArray};
use crate::coupling;
use crate::simulate::Run;

pub(in crate::results) fn add(list: &mut Alerts, run: &Run) {
    list.add_all(Severity::Input, run.array.each.iter().filter_map(fitted_otherwise));
    assumed(list, run);
}

/// What a module's fit could not take from its datasheet as it stands.
fn fitted_otherwise(array: &OneArray) -> Option<String> {
    let fitted = array.fitted.filter(|f| f.tier != Tier::Exact || f.in_parallel > 1)?;
    let mut text = format!("array.{}.module: {}", array.name, fitted.tier.text());
    if fitted.isc_miss > 0.0 {
        text.push_str(&format!("; Isc is raised by {:.1} %", 100.0 * fitted.isc_miss));
    }
    if fitted.vmp_miss.abs() > 0.0 {
        text.push_str(&format!(
            "; Vmp is shifted by {:+.1} % and Imp the other way",
            100.0 * fitted.vmp_miss
        ));
    }
    if fitted.in_parallel > 1 {
        text.push_str(&format!(
            "; {} cells are taken in series, since the stated count fits no cell's voltage",
            fitted.cells
        ));
    }
    text.push_str("; check the datasheet's values");
    Some(text)
}

/// Modules of which only the plate is known: what is assumed of them, and how much that matters.
fn assumed(list: &mut Alerts, run: &Run) {
    let lifts = run.plan.lifts.iter().map(|lift| (format!("lift.{}.", lift.name), &lift.array, &lift.supply));
    let first = std::iter::once((String::new(), &run.plan.array, &run.plan.supply));
    for (path, arrays, supply) in first.chain(lifts) {
        // A tracker takes the power at any voltage in its window; all else takes what the voltage gives.
        let by_power = matches!(supply.coupling, coupling::Settings::Tracking(_));
        for array in &arrays.arrays {
            assumed_module(list, &format!("{path}array.{}.module", array.name), &array.module, by_power);
        }
    }
    for panel in run.plan.delivery.iter().filter_map(|d| d.booster.as_ref()).flat_map(|b| &b.panel.arrays) {
        assumed_module(list, "booster.panel.module", &panel.module, true);
    }
}

fn assumed_module(list: &mut Alerts, key: &str, module: &Module, by_power: bool) {
    let Module::Nameplate(plate) = module else { return };
    let sheet = typical(plate);
    let (severity, matters) = if by_power {
        (Severity::Note, "the power, which counts most here, is as given")
    } else {
        (Severity::Advice, "the pump runs at the voltage of the panels, so they bear on every hour")
    };
    list.add(severity, format!(
        "{key}: Voc {:.1} V, Vmp {:.1} V, Isc {:.2} A, Imp {:.2} A and the temperature coefficients are assumed, typical of \
         {} cells; {matters}; give the datasheet's values if you find it",
        sheet.voc_v, sheet.vmp_v, sheet.isc_a, sheet.imp_a, plate.cells
    ));
}
