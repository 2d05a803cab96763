//! The document of a run: all that it tells beside the run is worked out here.

use std::sync::Arc;

use dryspell::curve::sun_curve;
use dryspell::odds::Years;
use dryspell::results::heads;
use dryspell::sensitivity;
use dryspell::simulate::{Run, frost_report};
use dryspell::units::System;
use dryspell::why::why;
use dryspell::worksheet::Worksheet;

use crate::attached;
use crate::content::{self, Matter, Odds};
use crate::curve::deepest;
use crate::error::Error;
use crate::figures::round_unit_m3;
use crate::model::{Chart, Document};
use crate::odds::{self as words, Page};
use crate::report::Report;

/// The document before it has a form.
///
/// # Errors
/// A case beside the run that cannot be worked out, a picture that cannot be drawn.
pub(crate) fn document(report: &Report<'_>) -> Result<Document, Error> {
    let Report { run, record, system, .. } = *report;
    let settings = report.document;
    let own = Years::of(&run.outcome, &run.calendar, run.demand_sum_m3, run.short_m3());
    let mut sensitivity = sensitivity::table(&run.plan, record, system)?;
    sensitivity.extend(report.tried.what_if.iter().cloned());
    let frost = run.plan.frost.clone().zip(frost_report(run, record)?);
    let worksheet = Worksheet::of(run, round_unit_m3(system))?;
    let heads = heads(run)?;
    let month = deepest(&run.plan.supply.well.static_level_m);
    let curve = sun_curve(&run.plan, month)?;
    let charts = pictures(run, system)?;
    let why = why(run)?;
    let attached = attached::of(report)?;
    let odds = say(&Page {
        file: report.file,
        run,
        own: &own,
        made: settings.made,
        uncertain: None,
        seed: settings.seed,
        system,
        sensitivity: &sensitivity,
    });
    Ok(content::document(&Matter {
        file: report.file,
        text: report.text,
        scheme: report.scheme,
        inputs: report.inputs,
        changed: settings.changed,
        heads: &heads,
        system,
        run,
        odds: &odds,
        sensitivity: &sensitivity,
        frost: frost.as_ref(),
        why: why.as_ref(),
        tried: report.tried,
        worksheet: &worksheet,
        curve: &curve,
        charts: &charts,
        attached: &attached,
    }))
}

/// What the odds come to in words.
fn say(p: &Page<'_>) -> Odds {
    let owned = |(label, text): (&str, String)| (label.to_owned(), text);
    let mut lines: Vec<(String, String)> = words::record(p).into_iter().map(owned).collect();
    let mut limits = Vec::new();
    if let Some(made) = p.made {
        lines.extend(words::made_years(p, made).into_iter().map(|(l, t)| (format!("made years, {l}"), t)));
        limits.extend(words::held(made));
        limits.extend(words::too_short_blocks(p, made));
    }
    for (name, row) in words::spell_rows(p) {
        let each = words::PERIODS.iter().zip(row).filter(|(_, days)| days != "-");
        let text: Vec<String> =
            each.map(|(years, days)| format!("{days} days once in {years} years")).collect();
        if !text.is_empty() {
            lines.push((format!("longest spell, {name}"), text.join("; ")));
        }
    }
    limits.extend(words::limits(p));
    Odds { answer: words::answer(p), lines, limits }
}

/// The pictures of the document, where any are drawn.
///
/// # Errors
/// A picture that cannot be drawn.
#[cfg(feature = "charts")]
pub fn pictures(run: &Run, system: System) -> Result<Vec<Arc<Chart>>, Error> {
    let drawn = crate::charts::all(run, system).map_err(Error::Picture)?;
    Ok(drawn.into_iter().map(Arc::new).collect())
}

/// The pictures of the document: none are drawn without the feature `charts`.
///
/// # Errors
/// None.
#[cfg(not(feature = "charts"))]
pub fn pictures(_: &Run, _: System) -> Result<Vec<Arc<Chart>>, Error> {
    Ok(Vec::new())
}

#[cfg(all(test, feature = "charts", feature = "pdf"))]
mod tests {
    use dryspell::simulate::simulate;

    use super::*;
    use crate::demo::{DEMOS, demo};
    use crate::model::Paper;
    use crate::setting::pdf::tests::{clashes, outside};
    use crate::setting::pdf::{Fonts, Kind, PlacedBox, layout};

    /// The documents of the shipped schemes: what fails, what passes, many herds with long names, all optional parts, few
    /// of them.
    #[test]
    fn nothing_leaves_its_page_in_the_shipped_documents() {
        let fonts = Fonts::new(Vec::new()).unwrap();
        for name in DEMOS {
            let demo = demo(name);
            let run = simulate(&demo.scheme.plan(), &demo.record).unwrap();
            assert!(pictures(&run, demo.scheme.units).unwrap().len() >= 6);
            let of = (demo.file.as_str(), demo.text.as_str());
            let report = Report::new(&run, &demo.record, &demo.scheme, of, &demo.inputs);
            let document = document(&report).unwrap();
            for paper in [Paper::A4, Paper::Letter] {
                let boxes = layout(&document, paper, &fonts).unwrap().boxes();
                assert!(boxes.iter().filter(|b| b.kind == Kind::Label).count() > 50);
                assert_eq!(outside(&boxes, paper), Vec::<&PlacedBox>::new(), "{name}");
                assert_eq!(clashes(&boxes), Vec::new(), "{name}");
                // Readable on paper, in charts too; and no page more than half blank.
                let small: Vec<&PlacedBox> = boxes.iter().filter(|b| b.size < 7.49).collect();
                assert_eq!(small, Vec::<&PlacedBox>::new(), "{name}");
                let (_, top, _, bottom) = paper.inside();
                for page in 0..=boxes.iter().map(|b| b.page).max().unwrap() {
                    // Above the foot. What is bound together may leave a little less than half.
                    let foot = bottom - 25.0;
                    let inks = boxes.iter().filter(|b| b.page == page).map(|b| b.y + b.height);
                    let low = inks.filter(|y| *y < foot).fold(top, f32::max);
                    assert!(low - top > 0.47 * (foot - top), "{name}, page {}, {paper:?}: {low}", page + 1);
                }
                // No command of the program is asked of a reviewer.
                for word in ["curve", "frost", "run", "size", "odds", "summary", "herd"]
                    .map(|c| format!("dryspell {c}"))
                {
                    assert_eq!(boxes.iter().find(|b| b.text.contains(&word)), None, "{name}");
                }
                assert_eq!(boxes.iter().find(|b| b.text.contains(" --")), None, "{name}");
            }
        }
    }
}
