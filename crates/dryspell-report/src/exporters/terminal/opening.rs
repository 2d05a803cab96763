//! The answer, and what must not be overlooked.

use dryspell::results::{alerts, answer};
use dryspell::simulate::Run;

use crate::layout::wrap;
use crate::report::Report;

pub(super) fn opening(run: &Run, context: &Report<'_>) -> String {
    let mut out = String::new();
    wrap(&mut out, "", &answer(run, context.system));
    let alerts = alerts(run, context.system);
    if !alerts.is_empty() {
        out.push('\n');
    }
    for alert in alerts {
        wrap(&mut out, "! ", &alert.text);
    }
    out
}
