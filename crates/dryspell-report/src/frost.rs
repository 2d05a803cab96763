//! What the frost reaches, in the words of somebody with a trench to dig.

use std::fmt::Write;

use dryspell::calendar::Day;
use dryspell::frost::{
    Basis, CAUTIONS, Drain, Drains, ExposedReport, FrostReport, Kind, OpenReport, PartReport, SOILS,
    Settings, Soil, UNBROKEN_ICE_M, Verdict, Way, frost_depth,
};
use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, column_number, column_unit, counted, show};

use super::layout::{day_month, line, table, wrap, wrap_to};

/// Winters that are listed one by one.
const MOST_WINTERS: usize = 12;
/// Events that are listed for an exposed part.
const MOST_EVENTS: usize = 5;

/// The whole page.
#[must_use]
pub fn page(run: &Run, settings: &Settings, report: &FrostReport, file: &str, system: System) -> String {
    let mut out = String::new();
    wrap(&mut out, "", &answer(run, settings, report, system));
    let _ = writeln!(out, "\nFROST  {file}");
    winters(&mut out, report, system);
    depth(&mut out, run, settings, report, system);
    parts(&mut out, run, settings, report, system);
    in_the_run(&mut out, run, system);
    out.push_str("\nCAUTIONS\n");
    for text in CAUTIONS {
        wrap_to(&mut out, "  - ", "    ", text);
    }
    out
}

/// The answer in a sentence or two.
pub(crate) fn answer(run: &Run, settings: &Settings, report: &FrostReport, system: System) -> String {
    let Some(depth) = report.ground.depth else {
        return if report.ground.frozen_all_year {
            "The mean temperature of the year is at or below freezing: ground may stay frozen all year, and no cover is \
             safe."
                .to_owned()
        } else {
            "The record has no whole winter and the scheme no design index: no frost depth can be given."
                .to_owned()
        };
    };
    let deep = length(depth.depth_m, system);
    let whose = match report.ground.basis {
        Basis::Design => "In the design winter given".to_owned(),
        basis => format!("In this record's winter ({})", basis.text()),
    };
    let buried: Vec<(&str, &PartReport)> = report
        .parts
        .iter()
        .filter(|(_, p)| matches!(p, PartReport::Buried(_)))
        .map(|(n, p)| (n.as_str(), p))
        .collect();
    let names = |wanted: &[Verdict]| -> Vec<&str> {
        buried
            .iter()
            .filter(|(_, p)| matches!(p, PartReport::Buried(b) if wanted.contains(&b.verdict)))
            .map(|(n, _)| *n)
            .collect()
    };
    let shallow = names(&[Verdict::Fails, Verdict::Shallower]);
    let cover = match (buried.is_empty(), shallow.is_empty()) {
        (true, _) => "the scheme names no buried part".to_owned(),
        (false, true) => "every buried part named is deeper".to_owned(),
        (false, false) => format!("it reaches {}", shallow.join(", ")),
    };
    let standing = if report.standing.is_empty() {
        String::new()
    } else {
        format!(" Exposed with standing water: {}.", report.standing.join(", "))
    };
    let drained = if report.drained.is_empty() {
        String::new()
    } else {
        format!(" Exposed, must be empty in frost: {}.", report.drained.join(", "))
    };
    let advice = if report.ground.basis == Basis::Design {
        ""
    } else {
        " Pass or fail needs a design index from the local authority: [frost] design_index."
    };
    let soil = soil_words(settings);
    let place = if run.place.name.is_empty() { String::new() } else { format!(" at {}", run.place.name) };
    format!("{whose}{place} frost goes {deep} deep in {soil}; {cover}.{standing}{drained}{advice}")
}

fn soil_words(settings: &Settings) -> String {
    SOILS
        .iter()
        .find(|(name, ..)| Soil::named(name).is_some_and(|s| s == settings.soil))
        .map_or_else(|| "the soil given".to_owned(), |(name, ..)| (*name).to_owned())
}

fn winters(out: &mut String, report: &FrostReport, system: System) {
    out.push_str("\nFREEZING INDEX  fall of the cumulative daily mean temperature from its peak\n");
    if report.ground.winters.is_empty() {
        out.push_str("  no whole winter in the record\n");
        return;
    }
    let mut rows = vec![
        ["winter", "index", "freezing season"].map(str::to_owned).to_vec(),
        vec![String::new(), column_unit(Quantity::DegreeDays, system).to_owned(), "days".to_owned()],
    ];
    let mut shown: Vec<_> = report.ground.winters.iter().collect();
    if shown.len() > MOST_WINTERS {
        shown.sort_by(|a, b| b.fall.degc_days.total_cmp(&a.fall.degc_days));
        shown.truncate(MOST_WINTERS);
    }
    for winter in &shown {
        rows.push(vec![
            format!("{} to {}", date(winter.from), date(winter.to)),
            column_number(winter.fall.degc_days, Quantity::DegreeDays, system),
            winter.fall.days.to_string(),
        ]);
    }
    table(out, &rows);
    if report.ground.winters.len() > shown.len() {
        let _ = writeln!(out, "  the {} coldest of {} winters", shown.len(), report.ground.winters.len());
    }
}

fn depth(out: &mut String, run: &Run, settings: &Settings, report: &FrostReport, system: System) {
    out.push_str("\nFROST DEPTH  modified Berggren method, exact lambda (UFC 3-130-06)\n");
    let Some(index) = report.ground.index_degc_days else {
        out.push_str("  no index: see above\n");
        return;
    };
    line(
        out,
        "index",
        &format!("{} of the air: {}", show(index, Quantity::DegreeDays, system), report.ground.basis.text()),
    );
    line(
        out,
        "surface",
        &format!(
            "n-factor {}: share of the air index that reaches the ground{}",
            settings.surface,
            if settings.surface < 1.0 { "" } else { "; no cover counted (conservative)" }
        ),
    );
    line(
        out,
        "year",
        &format!("mean temperature {}", show(report.ground.mean_annual_degc, Quantity::Temperature, system)),
    );
    if let Some(depth) = report.ground.depth {
        line(
            out,
            "depth",
            &format!(
                "{} in {} (lambda {:.2}; upper bound by Stefan's formula {})",
                length(depth.depth_m, system),
                soil_words(settings),
                depth.lambda,
                length(depth.stefan_m, system)
            ),
        );
    }
    let mut rows = vec![
        ["in other soils", "depth"].map(str::to_owned).to_vec(),
        vec![String::new(), column_unit(Quantity::Length, system).to_owned()],
    ];
    for (name, ..) in SOILS {
        let found = Soil::named(name).and_then(|soil| {
            frost_depth(&soil, settings.surface * index, report.ground.days, report.ground.mean_annual_degc)
        });
        if let Some(found) = found {
            rows.push(vec![(*name).to_owned(), column_number(found.depth_m, Quantity::Length, system)]);
        }
    }
    if rows.len() > 2 {
        table(out, &rows);
    }
    if run.plan.frost.is_none() {
        wrap(
            out,
            "  ",
            "The scheme says nothing about frost: silt with no cover was assumed. Add [frost] with soil and \
             design_index, and a table [frost.part.NAME] for each pipe, standpipe and trough.",
        );
    }
}

fn parts(out: &mut String, run: &Run, settings: &Settings, report: &FrostReport, system: System) {
    if report.parts.is_empty() {
        return;
    }
    out.push_str("\nPARTS\n");
    for ((name, found), part) in report.parts.iter().zip(&settings.parts) {
        let stops = if part.stops.is_empty() {
            String::new()
        } else {
            let ways: Vec<&str> = part.stops.iter().map(way).collect();
            format!(" If frozen, it stops {}.", ways.join(", "))
        };
        let text = match found {
            PartReport::Buried(buried) => format!(
                "buried under {} of cover: {}.{stops}",
                length(buried.cover_m, system),
                match buried.verdict {
                    Verdict::Passes => "PASSES, deeper than the design frost depth".to_owned(),
                    Verdict::Fails => "FAILS, shallower than the design frost depth".to_owned(),
                    Verdict::Deeper =>
                        "deeper than frost in this record's winter; not a design check".to_owned(),
                    Verdict::Shallower => "shallower than frost in this record's winter".to_owned(),
                    Verdict::Unknown => "unknown".to_owned(),
                }
            ),
            PartReport::Exposed(exposed) => {
                format!("{}{stops}", exposed_text(run, &part.kind, exposed, system))
            }
            PartReport::Open(open) => open_text(open, system),
        };
        wrap_to(out, &format!("  {name}: "), "      ", &text);
    }
    if !report.drained.is_empty() {
        wrap_to(out, "  must be empty in frost: ", "      ", &report.drained.join(", "));
    }
    if !report.standing.is_empty() {
        wrap_to(out, "  standing water in: ", "      ", &report.standing.join(", "));
    }
}

fn way(way: &Way) -> &str {
    match way {
        Way::Supply => "the supply (well to tank)",
        Way::Delivery => "all hydrants",
        Way::Hydrant(name) | Way::Tank(name) | Way::Lift(name) => name,
    }
}

fn exposed_text(run: &Run, kind: &Kind, part: &ExposedReport, system: System) -> String {
    let mut text = match kind {
        Kind::Exposed { drain: Drain::ByHand(spans), .. } => {
            let dates: Vec<String> = spans.iter().map(span).collect();
            format!("exposed, drained by hand and shut on {}.", dates.join(", "))
        }
        Kind::Exposed { drain: Drain::Itself { hours }, .. } => format!(
            "exposed, drains by itself in {:.0} min: {}.",
            60.0 * hours,
            match part.drains {
                Some(Drains::InTime) => "in time, provided it falls all the way and the hole is clear",
                Some(Drains::Doubtful) => "doubtful, counted as standing water",
                _ => "too slow, counted as standing water",
            }
        ),
        _ => "exposed, holds standing water.".to_owned(),
    };
    let held = format!(
        " Standing water would contain ice in {} of the record, in {}",
        counted(part.hours, "hour"),
        counted(part.events.len(), "spell")
    );
    text.push_str(&held);
    let mut worst: Vec<_> = part.events.iter().collect();
    worst.sort_by_key(|e| (std::cmp::Reverse(e.hours), e.from_hour));
    let listed: Vec<String> = worst
        .iter()
        .take(MOST_EVENTS)
        .map(|e| {
            let day = run.calendar.day_of(e.from_hour);
            format!(
                "from {} for {} (down to {})",
                date(day),
                spell(e.hours),
                show(e.lowest_degc, Quantity::Temperature, system)
            )
        })
        .collect();
    if listed.is_empty() {
        text.push('.');
    } else {
        let _ = write!(text, ", the longest {}.", listed.join(", "));
    }
    if let Some(hours) = part.to_zero_h {
        let _ =
            write!(text, " In the coldest hour well water cools to freezing point in {}.", show_time(hours));
    }
    text
}

fn open_text(open: &OpenReport, system: System) -> String {
    let ice = |m: f64| {
        format!(
            "{:.1} {}",
            if system == System::Us { m / 0.0254 } else { 100.0 * m },
            if system == System::Us { "in" } else { "cm" }
        )
    };
    format!(
        "open water: ice up to {} ({} without inflow); {} with ice, {} with more than {}, which cattle do not reliably \
         break; inflow keeps it open in {}. On the coldest day {} of well water would keep it open.",
        ice(open.most_ice_m),
        ice(open.most_ice_without_inflow_m),
        counted(open.ice_hours, "hour"),
        open.unbroken_hours,
        ice(UNBROKEN_ICE_M),
        counted(open.kept_open_hours, "hour"),
        show(open.keeps_open_m3_per_h, Quantity::Flow, system)
    )
}

fn in_the_run(out: &mut String, run: &Run, system: System) {
    if run.plan.frost.is_none() {
        return;
    }
    out.push_str("\nIN THE RUN  a frozen part stops its flow until it thaws\n");
    line(out, "supply", &format!("frozen in {}", counted(run.frozen.supply_hours(), "hour")));
    if let Some(delivery) = &run.plan.delivery {
        for (i, hydrant) in delivery.hydrants.iter().enumerate() {
            let hours = run.frozen.hydrants.get(i).map_or(0, |f| f.iter().filter(|f| **f).count());
            line(out, &hydrant.name, &format!("frozen or shut in {}", counted(hours, "hour")));
        }
    }
    if let Some(delivery) = &run.delivery {
        line(
            out,
            "short",
            &format!(
                "{} because a line was frozen or shut",
                show(delivery.volumes.short_frozen_m3, Quantity::Volume, system)
            ),
        );
    }
    let days = run.outcome.counts.shortfall_days;
    match run.shortfall_days_without_frost {
        Some(without) => {
            line(out, "days", &format!("{} of shortfall, {without} without frost", counted(days, "day")));
        }
        None => line(
            out,
            "days",
            &format!("{} of shortfall; frost stops nothing in this record", counted(days, "day")),
        ),
    }
}

fn span(span: &dryspell::calendar::DateSpan) -> String {
    if span.from == span.to {
        day_month(span.from)
    } else {
        format!("{} to {}", day_month(span.from), day_month(span.to))
    }
}

fn date(day: Day) -> String {
    day_month(day.month_day())
}

/// A depth: to the centimetre or the inch.
fn length(m: f64, system: System) -> String {
    if system == System::Us { format!("{:.0} in", m / 0.0254) } else { format!("{:.2} m", m) }
}

/// A spell: in hours up to three days, then in days.
fn spell(hours: usize) -> String {
    #[allow(clippy::cast_precision_loss, reason = "hours of a record")]
    let days = hours as f64 / 24.0;
    if hours < 72 { counted(hours, "hour") } else { format!("{days:.0} days") }
}

fn show_time(hours: f64) -> String {
    if hours < 2.0 { format!("{:.0} min", 60.0 * hours) } else { format!("{hours:.1} h") }
}
