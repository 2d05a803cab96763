//! The page from its first line to its last.

use std::fmt::Write;

use dryspell::record::YearKind;
use dryspell::sizing::Target;
use dryspell::units::counted;

use super::answer::answer;
use super::matter::{ChanceBasis, Page};
use super::result::smallest_of;
use super::tables::{extra, frontier, sizes};
use super::words::{tried, words};
use crate::goal::asked;
use crate::layout::{line, wrap};
use crate::odds::coverage_words;

/// The page, and whether any size met the targets.
#[derive(Debug)]
pub struct SizePage {
    /// The page.
    pub text: String,
    /// Whether any size met the targets.
    pub met: bool,
}

/// The answer in words, and whether any size met the targets.
pub(crate) fn answer_of(p: &Page<'_>) -> (String, bool) {
    let own_tank = smallest_of(p.own_tanks);
    let own_array = smallest_of(p.own_arrays);
    let any =
        p.grid.iter().any(|row| smallest_of(row).is_some()) || own_tank.is_some() || own_array.is_some();
    (answer(p, own_tank, own_array, any), any)
}

/// Puts the page together.
#[must_use]
pub fn page(p: &Page<'_>) -> SizePage {
    let mut out = String::new();
    let met: Vec<Option<usize>> = p.grid.iter().map(|row| smallest_of(row)).collect();
    let own_tank = smallest_of(p.own_tanks);
    let own_array = smallest_of(p.own_arrays);
    let (answer, any) = answer_of(p);
    wrap(&mut out, "", &answer);
    let _ = writeln!(out, "\nSIZES  {}", p.file);
    let goal = asked(&p.base.plan, p.system);
    let targets: Vec<String> = p.targets.iter().map(|t| words(*t, &goal, p.system)).collect();
    line(&mut out, "target", &targets.join("; "));
    if !goal.is_empty() && !p.targets.contains(&Target::Goal) {
        line(
            &mut out,
            "goal",
            &format!("of the scheme, not asked here, since --target stands in its place: {goal}"),
        );
    }
    line(&mut out, "tanks", &tried(&p.axes[1]));
    line(&mut out, "arrays", &tried(&p.axes[0]));
    line(
        &mut out,
        "rule",
        "every size is run; the one reported is the smallest for which it and all larger sizes tried meet the target. \
         Float levels stay in proportion to capacity",
    );
    if let Some(m) = &p.made {
        rests(&mut out, p, m);
    }
    let asked = extra(p);
    sizes(&mut out, "TANKS with the scheme's own array", &p.axes[1], p.own_tanks, (own_tank, &asked));
    sizes(&mut out, "ARRAYS with the scheme's own tank", &p.axes[0], p.own_arrays, (own_array, &asked));
    frontier(&mut out, p, &met);
    let _ = writeln!(out);
    wrap(
        &mut out,
        "",
        "A simulation on this record is not a guarantee: a tank that only just suffices in it has no margin for a worse \
         year, unforeseen snow or a pump repaired late. Weight, footing and local codes decide on a tank.",
    );
    SizePage { text: out, met: any }
}

/// What the chance of a dry year rests on.
fn rests(out: &mut String, p: &Page<'_>, m: &ChanceBasis) {
    line(
        out,
        "chance",
        &format!(
            "of a dry year: share of {} with a day of shortfall, from {} of the record, the same for every size; blocks \
             of days, {} on average, from within {} days of the date, radiation adjusted to the sun of the new date; \
             seed {}. The record's own whole tank years are beside it",
            counted(m.made_years, "made tank year"),
            counted(m.record_years, "year"),
            m.settings.mean_block_days,
            m.settings.window_days,
            m.seed
        ),
    );
    line(
        out,
        "+-",
        "two standard errors, from the number of years made (< and >: where none or all are dry, 3 divided by their \
         number); more made years add nothing to the record",
    );
    if m.drawings == 0 {
        let why = if p.base.kind == YearKind::Calendar {
            "not requested (--drawings 0)"
        } else {
            "cannot be known from this record"
        };
        line(out, "interval", why);
    } else {
        line(
            out,
            "interval",
            &format!("from redrawing the record, 95 %: {}", coverage_words(m.record_years, m.drawings)),
        );
    }
}
