//! One hour worked on paper.

use std::fmt::Write;

use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, retold, show};
use dryspell::worked::{Section, Step};

use super::layout::wrap_to;

/// The page: a line a step, with its equation and source set in below.
#[must_use]
pub fn page(run: &Run, sections: &[Section], h: usize, scheme: &str, system: System) -> String {
    let mut out =
        format!("ONE HOUR STEP BY STEP  {scheme}, hour {h} of the record, {}\n", run.calendar.start_text(h));
    out.push_str(
        "Values are rounded to six figures; each step uses the values above it. Angles in degrees.\n",
    );
    if system == System::Us {
        out.push_str("The equations are those of the literature, in SI; behind each step stands its value in US units.\n");
    }
    for section in sections {
        let _ = writeln!(out, "\n{}", section.title);
        for step in &section.steps {
            let first = format!(
                "  {:<10} {:>12} {:<7} {}{}",
                step.symbol,
                figure(step.value),
                step.unit,
                retold(&step.name, system),
                in_us(step, system)
            );
            if step.equation.is_empty() {
                wrap_to(&mut out, &format!("{first} "), &" ".repeat(34), &format!("[{}]", step.source));
            } else {
                let _ = writeln!(out, "{first}");
                let from = format!("= {}  [{}]", step.equation, step.source);
                wrap_to(&mut out, &" ".repeat(13), &" ".repeat(15), &from);
            }
        }
    }
    out
}

/// A step's value in US units behind its name, where these differ; empty in SI.
fn in_us(step: &Step, system: System) -> String {
    if system == System::Si {
        return String::new();
    }
    let si = format!("{:.9} {}", step.value, step.unit);
    let us = if step.unit == "m/s" && step.name.starts_with("wind") {
        show(step.value, Quantity::Speed, system)
    } else {
        retold(&si, system)
    };
    if us == si { String::new() } else { format!(" = {us}") }
}

/// Six significant figures, as a person would write them.
fn figure(x: f64) -> String {
    let size = x.abs();
    if x == 0.0 {
        return "0".to_owned();
    }
    if !(1e-4..1e7).contains(&size) {
        return format!("{x:.5e}");
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 9")]
    let decimals = (5.0 - libm::log10(size).floor()).clamp(0.0, 9.0) as usize;
    format!("{x:.decimals$}")
}
