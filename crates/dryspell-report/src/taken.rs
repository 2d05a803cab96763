//! What the result rests on: the laws of friction and of the pump's table, and everything taken for granted.

use dryspell::pipe::{DEFAULT_HAZEN_WILLIAMS_C, FrictionLaw, water_viscosity_m2_per_s};
use dryspell::pump::{Settings, Start};
use dryspell::results::simplifications;
use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, retold, show};

use super::layout::wrap_to;
use crate::report::Report;

/// What a reviewer needs to work the losses again.
pub(crate) fn friction(run: &Run, system: System) -> String {
    let pipe = &run.plan.supply.pipe;
    let law = match pipe.friction {
        FrictionLaw::DarcyWeisbach => format!(
            "friction by Darcy-Weisbach, water at {} (viscosity {:.3} mm²/s)",
            show(pipe.water_degc, Quantity::Temperature, system),
            1e6 * water_viscosity_m2_per_s(pipe.water_degc)
        ),
        FrictionLaw::HazenWilliams => "friction by Hazen-Williams".to_owned(),
    };
    let runs = pipe.runs.iter().map(|r| {
        let wall = match pipe.friction {
            FrictionLaw::DarcyWeisbach => {
                format!("roughness {}", show(r.roughness_m, Quantity::Length, system))
            }
            FrictionLaw::HazenWilliams => {
                format!("C {:.0}", r.hazen_williams_c.unwrap_or(DEFAULT_HAZEN_WILLIAMS_C))
            }
        };
        format!("{}: {wall}, fittings K {:.2} in total", r.name, r.fittings_k)
    });
    let parts: Vec<String> = std::iter::once(law)
        .chain(runs)
        .chain(std::iter::once("exit loss K 1 at the outlet".to_owned()))
        .collect();
    parts.join("; ")
}

/// Defaults, notes of the weather, simplifications, as a report has them.
pub(crate) fn assumptions(run: &Run, context: &Report<'_>) -> String {
    let mut out = String::from("ASSUMPTIONS\n");
    let system = context.system;
    let defaults = context.scheme.defaults_used.iter().map(|d| {
        let [value, why] = [&d.value, &d.why].map(|text| retold(text, system));
        format!("{}: {value} ({why})", d.key)
    });
    for text in defaults.chain(granted(run, system)) {
        wrap_to(&mut out, "  - ", "    ", &text);
    }
    out
}

/// How tables are read between their points, notes of the weather, simplifications.
pub(crate) fn granted(run: &Run, system: System) -> Vec<String> {
    let mut list: Vec<String> = between_points(&run.plan.supply.pump).into_iter().collect();
    list.extend(run.source.notes.iter().map(|note| format!("weather: {note}")));
    list.extend(simplifications(run).into_iter().map(str::to_owned));
    list.iter().map(|text| retold(text, system)).collect()
}

/// How flow is found between the points of a table; `None` for a pump that has none.
fn between_points(pump: &Settings) -> Option<String> {
    if let Settings::Volts(table) = pump
        && pump.is_scaled_by_voltage()
    {
        let below = if table.start == Start::Proportional {
            "is in proportion to voltage"
        } else {
            "falls so that the head takes as much of it at any voltage (and is none below a tenth of the voltage)"
        };
        return Some(format!(
            "pump: between the heads of the table flow is interpolated by a monotone cubic (Fritsch and Butland 1984); below \
             its voltage the flow {below}, at the row's current; above it the end value is held; nothing is extrapolated \
             beyond the highest head"
        ));
    }
    let drive = match pump {
        Settings::Duty(_) => "power",
        Settings::Volts(_) => "voltage",
        Settings::Displacement(_) | Settings::Centrifugal(_) | Settings::Own(_) => return None,
    };
    Some(format!(
        "pump: at each head of the table flow is interpolated in {drive} by a monotone cubic (Fritsch and Butland \
         1984); between two heads the flows are weighted as that cubic across heads gives at full {drive}; below the \
         lowest {drive} of the higher head only the lower head's share is left, and the curve steps; above the highest \
         {drive} and below the lowest head the end value is held; nothing is extrapolated beyond the highest head"
    ))
}
