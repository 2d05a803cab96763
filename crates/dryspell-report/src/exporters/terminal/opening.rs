//! The answer, and what must not be overlooked.

use dryspell::results::{alerts, answer};
use dryspell::simulate::Run;
use dryspell::units::counted;

use crate::layout::wrap;
use crate::report::{Report, Screen};

/// Notices on the first screen, the worst first.
const MOST_ALERTS: usize = 5;

pub(super) fn opening(run: &Run, context: &Report<'_>) -> String {
    let mut out = String::new();
    wrap(&mut out, "", &answer(run, context.system));
    let alerts = alerts(run, context.system);
    if !alerts.is_empty() {
        out.push('\n');
    }
    let shown = match context.screen {
        Screen::First => alerts.len().min(MOST_ALERTS),
        Screen::Whole => alerts.len(),
    };
    for alert in &alerts[..shown] {
        wrap(&mut out, "! ", &alert.text);
    }
    if shown < alerts.len() {
        wrap(
            &mut out,
            "! ",
            &format!("and {} in the whole report", counted(alerts.len() - shown, "more notice")),
        );
    }
    out
}
