//! The spell that tries the tank most, day by day.

use dryspell::calendar::HOURS_PER_DAY;
use dryspell::reliability::storage::CriticalSpell;
use dryspell::results::{DAYS, day_inflow_m3, snow_on_panels};
use dryspell::simulate::Run;
use dryspell::units::{Quantity, column_number, column_unit, counted};

use super::{Matter, heading, numbers};
use crate::figures::{day_text, number};
use crate::layout::MONTHS;
use crate::model::Block;
use crate::told;

/// Days of the critical spell that are listed.
const MOST_DAYS: usize = 14;

/// A difference that no table shows, m³.
const SMALL_M3: f64 = 1e-6;

pub(super) fn spell(m: &Matter<'_>) -> Vec<Block> {
    let run = m.run;
    let Some(critical) = run.storage.critical else { return Vec::new() };
    let dates = run.calendar.days();
    let n = dates.len();
    let first = critical.began / HOURS_PER_DAY;
    let until = critical.refilled.unwrap_or(critical.deepest) / HOURS_PER_DAY;
    let length = if until >= first { until - first + 1 } else { until + n - first + 1 };
    let on = |day: usize| if day >= first { day - first } else { day + n - first };
    let short = |i: usize| run.days[(first + i) % n].short_m3;
    let listed: Vec<usize> =
        listed(length, on(critical.deepest / HOURS_PER_DAY), short).map(|i| (first + i) % n).collect();
    let columns: Vec<String> = std::iter::once(String::new())
        .chain(listed.iter().map(|day| {
            let date = dates[*day];
            format!("{}\u{a0}{}", date.day, MONTHS[usize::from(date.month) - 1])
        }))
        .collect();
    let choice = RowChoice::of(run, &listed);
    let (title, note) = (title(run, &listed, length), note(run, &listed, &choice));
    vec![
        heading("The critical spell, day by day"),
        m.chart("critical_spell")
            .unwrap_or_else(|| Block::Paragraph(in_words(run, &critical, length).into())),
        numbers(&title, &columns, rows(m, &listed, &choice), &note),
    ]
}

/// The dullest days in a row: a row a length. Where what is short never came to the tank's want of water, they prove nothing.
pub(super) fn dullest(m: &Matter<'_>) -> Option<Block> {
    if !m.why.is_none_or(told::tank_ran_out) {
        return None;
    }
    let mut rows = told::dullest(m.run, m.system).into_iter();
    let columns = rows.next()?;
    let title =
        "The dullest days in a row, stock there on all of them: least water available against the demand";
    Some(numbers(title, &columns, rows.collect(), ""))
}

/// Which rows the table has besides those that it has always.
struct RowChoice {
    /// All that the pump could lift was pumped: that row would repeat another.
    all_lifted: bool,
    gardens: bool,
    /// Whether water was lost or went over the top.
    gone: bool,
}

impl RowChoice {
    fn of(run: &Run, listed: &[usize]) -> Self {
        let all_lifted =
            listed.iter().all(|d| (run.days[*d].pumped_m3 - run.days[*d].available_m3).abs() < SMALL_M3);
        let gardens = listed.iter().any(|day| run.days[*day].garden_m3 > 0.0);
        let gone = listed.iter().any(|day| gone_m3(run, *day) > 0.0);
        Self { all_lifted, gardens, gone }
    }
}

/// Water lost or over the top on a day, m³.
fn gone_m3(run: &Run, day: usize) -> f64 {
    number(DAYS, "lost_and_spilled_m3", run, day).unwrap_or(0.0)
}

/// A row a quantity, a column a day.
fn rows(m: &Matter<'_>, listed: &[usize], choice: &RowChoice) -> Vec<Vec<String>> {
    let run = m.run;
    let v = |m3: f64| column_number(m3, Quantity::Volume, m.system);
    let volume = column_unit(Quantity::Volume, m.system);
    let row = |name: String, cell: &dyn Fn(usize) -> String| {
        std::iter::once(name).chain(listed.iter().map(|day| cell(*day))).collect::<Vec<String>>()
    };
    let mut rows = vec![
        row("sun on the plane, kWh/m²".to_owned(), &|d| {
            format!("{:.2}{}", run.days[d].plane_kwh_per_m2, if snow_on_panels(run, d) { "*" } else { "" })
        }),
        row(format!("available, {volume}"), &|d| v(run.days[d].available_m3)),
    ];
    // A row that would repeat others is left out.
    if !choice.all_lifted {
        rows.push(row(format!("pumped, {volume}"), &|d| v(run.days[d].pumped_m3)));
    }
    if !run.inflows.is_empty() {
        rows.push(row(format!("other inflows, {volume}"), &|d| {
            day_inflow_m3(run, d).map_or_else(String::new, v)
        }));
    }
    rows.push(row(format!("demand, {volume}"), &|d| v(run.days[d].demand_m3)));
    rows.push(row(format!("short, {volume}"), &|d| v(run.days[d].short_m3)));
    if run.delivery.is_some() {
        rows.push(row(format!("drawn from the tank, {volume}"), &|d| v(run.days[d].drawn_m3)));
    }
    if choice.gardens {
        rows.push(row(format!("to gardens, {volume}"), &|d| v(run.days[d].garden_m3)));
    }
    if choice.gone {
        rows.push(row(format!("lost or over the top, {volume}"), &|d| v(gone_m3(run, d))));
    }
    rows.push(row(format!("level at midnight, {volume}"), &|d| v(run.days[d].end_m3)));
    rows
}

/// Which of the spell's days are listed.
fn title(run: &Run, listed: &[usize], length: usize) -> String {
    if listed.len() < length {
        if listed.iter().any(|day| run.days[*day].short_m3 > 0.0) {
            format!("Of the {length} days, the {} consecutive days with most water short", listed.len())
        } else {
            format!("Of the {length} days the {} about the deepest", listed.len())
        }
    } else {
        "Day by day".to_owned()
    }
}

/// How the rows lead from one midnight to the next.
fn note(run: &Run, listed: &[usize], choice: &RowChoice) -> String {
    let besides = match (choice.gardens, choice.gone) {
        (false, false) => "",
        (true, false) => " plus garden draw",
        (false, true) => " plus losses and spill",
        (true, true) => " plus garden draw, losses and spill",
    };
    let lifted = match (choice.all_lifted, run.inflows.is_empty()) {
        (true, true) => "the water available",
        (true, false) => "the water available and other inflows",
        (false, true) => "the water pumped",
        (false, false) => "the water pumped and other inflows",
    };
    let note = if run.delivery.is_some() {
        format!(
            "From midnight to midnight the level rises by {lifted} and falls by the water drawn{besides}; drawn differs \
             from demand less short by what the troughs stored or released."
        )
    } else {
        format!(
            "From midnight to midnight the level rises by {lifted} and falls by demand less short{besides}."
        )
    };
    if listed.iter().any(|day| snow_on_panels(run, *day)) {
        format!("* Snow on the panels: the sun shown is that above the snow. {note}")
    } else {
        note
    }
}

/// The spell in a sentence, where it was not drawn.
fn in_words(run: &Run, critical: &CriticalSpell, length: usize) -> String {
    let refilled = critical.refilled.map_or_else(
        || "it was not made up".to_owned(),
        |h| format!("it was made up on {}", day_text(run, h)),
    );
    format!(
        "The spell that needs most storage, {}: it began on {}, was deepest on {}, and {refilled}.",
        counted(length, "day"),
        day_text(run, critical.began),
        day_text(run, critical.deepest),
    )
}

/// The days of a spell that are listed: all, or as many in a row as have most water short; where none is short, or several stretches are
/// alike, those around its deepest day.
fn listed(length: usize, deepest: usize, short_m3: impl Fn(usize) -> f64) -> std::ops::Range<usize> {
    if length <= MOST_DAYS {
        return 0..length;
    }
    let within = |first: usize| (first..first + MOST_DAYS).map(&short_m3).sum::<f64>();
    // Some days before the deepest and a few behind.
    let usual = deepest.saturating_sub(MOST_DAYS - 4).min(length - MOST_DAYS);
    let better = |at: usize, best: usize| {
        let more = within(at) - within(best);
        more > SMALL_M3 || more > -SMALL_M3 && at.abs_diff(usual) < best.abs_diff(usual)
    };
    let first = (0..=length - MOST_DAYS).fold(usual, |best, at| if better(at, best) { at } else { best });
    first..first + MOST_DAYS
}

#[cfg(test)]
mod tests {
    use super::{MOST_DAYS, listed};

    #[test]
    fn the_days_listed_are_those_in_a_row_with_most_water_short() {
        assert_eq!(listed(9, 4, |_| 0.0), 0..9);
        assert_eq!(listed(60, 30, |_| 0.0), 20..20 + MOST_DAYS);
        assert_eq!(listed(60, 59, |_| 1.0), 46..60);
        // The one short day, wherever it lies; as near to the deepest as can be.
        assert_eq!(listed(60, 30, |d| if d == 18 { 2.0 } else { 0.0 }), 18..18 + MOST_DAYS);
        assert_eq!(listed(60, 30, |d| if d == 2 { 9.0 } else { 0.0 }), 2..2 + MOST_DAYS);
        // Most short, not the deepest.
        assert_eq!(listed(60, 30, |d| if d < 14 { 1.0 } else { 0.5 }), 0..MOST_DAYS);
    }
}
