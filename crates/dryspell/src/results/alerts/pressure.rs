//! Pipes whose pressure is too much for their class.

use super::list::{Alerts, Severity};
use crate::pipe::PRESSURE_SHARE;
use crate::pressure::{PipePressure, Verdict, pressures};
use crate::simulate::Run;
use crate::units::{Quantity, System, show};

pub(super) fn add(list: &mut Alerts, run: &Run, system: System) {
    for pipe in pressures(run) {
        let severity = match pipe.verdict() {
            Verdict::AboveClass => Severity::Danger,
            Verdict::NoRoomForSurges => Severity::Advice,
            Verdict::NotStated | Verdict::Within => continue,
        };
        list.add(severity, sentence(&pipe, system));
    }
}

fn sentence(pipe: &PipePressure, system: System) -> String {
    let head = |metres: f64| show(metres, Quantity::Length, system);
    let class = pipe.class_m.unwrap_or(0.0);
    let rule = if pipe.verdict() == Verdict::AboveClass {
        format!("ABOVE ITS CLASS of {}: the pipe may burst; use a stronger one", head(class))
    } else {
        format!(
            "within its class of {}, but above {:.0} % of it, {}, which leaves room for surge (NRCS Conservation \
             Practice Standard 430, from memory)",
            head(class),
            100.0 * PRESSURE_SHARE,
            head(PRESSURE_SHARE * class)
        )
    };
    format!(
        "{}.pressure_class: {} of head at its lowest point, {}; {rule}",
        pipe.key,
        head(pipe.greatest_m()),
        when(pipe)
    )
}

/// When the greatest of its heads stands in a pipe.
fn when(pipe: &PipePressure) -> &'static str {
    let greatest = pipe.greatest_m();
    if pipe.static_m >= greatest {
        "static"
    } else if pipe.working_m.is_some_and(|working| working >= greatest) {
        "while flowing"
    } else {
        "with the pump running against a closed valve"
    }
}
