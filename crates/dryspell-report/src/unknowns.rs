//! How far what a scheme calls uncertain leaves its answer open, on the page of `odds`.

use dryspell::reliability::interval::Interval;
use dryspell::units::{System, counted};
use dryspell::unknowns::shares::Share;
use dryspell::unknowns::{FURTHEST, Open, Together, Unknown};

use crate::layout::{line, percent, table, wrap_to};

/// What is uncertain, and what it came to.
#[derive(Debug)]
pub struct Uncertain<'a> {
    /// As the scheme says it.
    pub unknowns: &'a [Unknown],
    /// What drawn schemes came to.
    pub found: &'a Together,
}

/// The intervals from the years alone: share of dry years, days of shortfall; nothing where the record cannot tell.
pub(crate) type YearsAlone = [Option<Interval>; 2];

/// The answer's clause: one interval from all that is uncertain.
pub(crate) fn clause(p: &Uncertain<'_>) -> Option<String> {
    let found = p.found;
    if found.with_years {
        let open = found.dry_share.interval?;
        return Some(format!(
            " With what the scheme calls uncertain, it lies between {} and {}.",
            percent(open.low),
            percent(open.high)
        ));
    }
    let open = found.mean_days.interval?;
    Some(format!(
        " With what the scheme calls uncertain, days of shortfall of these same years lie between {:.1} and {:.1} a year.",
        open.low, open.high
    ))
}

/// The block of the page.
pub(crate) fn block(p: &Uncertain<'_>, alone: &YearsAlone, system: System) -> String {
    let found = p.found;
    let years = if found.with_years {
        "two on each drawing of the record's years"
    } else {
        "all on the record as it is"
    };
    let mut out = format!("\nWITH WHAT IS UNCERTAIN  {}, {years}\n", counted(found.schemes, "drawn scheme"));
    let days = |v: f64| format!("{v:.2}");
    let mut row =
        |label: &str, what: &str, open: &Open, alone: &Option<Interval>, number: &dyn Fn(f64) -> String| {
            let told = open.interval.map_or_else(
                || "-".to_owned(),
                |open| format!("{} to {}", number(open.low), number(open.high)),
            );
            let beside = alone.as_ref().map_or_else(String::new, |alone| {
                format!(" (years alone: {} to {})", number(alone.low), number(alone.high))
            });
            line(&mut out, label, &format!("{what}, 95 %: {told}{beside}"));
        };
    if found.with_years {
        row("short", "share with a day of shortfall", &found.dry_share, &alone[0], &percent);
    }
    row("days", "of shortfall in a mean year", &found.mean_days, &alone[1], &days);
    let ran = found.schemes - found.left_out.as_ref().map_or(0, |(schemes, _)| *schemes);
    let text = format!("{} of {ran} have a day of shortfall in their years", found.dry_schemes);
    line(&mut out, "schemes", &text);
    out.push('\n');
    table(&mut out, &rows(p, system));
    if let Some((schemes, reason)) = &found.left_out {
        wrap_to(
            &mut out,
            "! ",
            "  ",
            &format!(
                "{} cannot run and are left out; the first: {reason}",
                counted(*schemes, "drawn scheme")
            ),
        );
    }
    for text in notes(found) {
        wrap_to(&mut out, "  ", "  ", &text);
    }
    out
}

fn rows(p: &Uncertain<'_>, system: System) -> Vec<Vec<String>> {
    let cells = |row: [&str; 5]| row.map(str::to_owned).to_vec();
    let mut rows = vec![
        cells(["", "value", "standard", "% of spread:", "% of spread:"]),
        cells(["", "", "deviation", "dry years", "days"]),
    ];
    let cell = |told: Option<String>| told.unwrap_or_else(|| "-".to_owned());
    for owed in p.found.owed(p.unknowns) {
        let [value, deviation] = owed.unknown.map_or([None, None], |unknown| unknown.told(system).map(Some));
        let mut row = vec![owed.name.to_owned()];
        row.extend([value, deviation, owed.of_dry.map(share), owed.of_days.map(share)].map(cell));
        rows.push(row);
    }
    rows
}

fn share(share: Share) -> String {
    format!("{:.0} +- {:.0}", 100.0 * share.value, 200.0 * share.standard_error)
}

fn notes(found: &Together) -> Vec<String> {
    let mut notes = vec![format!(
        "Each value is drawn from a normal distribution round what is written, cut at {FURTHEST} standard deviations and at what \
         its key allows. A share is the part of the variance that one alone accounts for (first order), +- 2 standard errors of having \
         drawn only so many; together: the rest, which no single one accounts for."
    )];
    if !found.with_years {
        notes.push(
            "Years were not drawn: this record cannot tell how years differ, so the true spread is wider."
                .to_owned(),
        );
    }
    notes
}
