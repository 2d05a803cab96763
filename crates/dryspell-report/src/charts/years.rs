//! The order of days in the pictures of a year, and what becomes of many years.

use dryspell::calendar::Day;
use dryspell::reliability::counters::Counts;
use dryspell::simulate::Run;
use dryspell::units::counted;

use super::legend::mark;
use super::words::{date, month};
use crate::layout::MONTHS;
use crate::layout::day_month;
use crate::setting::paper::{Anchor, Area, INK, MESH, Paper, SMALL, area, pen};
use crate::setting::words::width;

/// Days of the longest year.
pub(super) const LONGEST: f64 = 366.0;
/// Days of shortfall that lie within so many days are told by the first and the last alone.
const SEASON: f64 = 92.0;

/// A tank year of the record.
#[derive(Debug, Clone)]
pub(super) struct Year<'a> {
    /// Its name: one year, or two of which it has a part.
    pub(super) name: String,
    /// Its days, in order.
    pub(super) days: Vec<usize>,
    /// What was counted in it.
    pub(super) counts: &'a Counts,
}

/// The tank years of a run.
pub(super) fn years(run: &Run) -> Vec<Year<'_>> {
    run.outcome
        .years
        .iter()
        .map(|(year, counts)| {
            let days: Vec<usize> = year.days().collect();
            let source =
                |at: Option<&usize>| at.and_then(|d| run.calendar.days().get(*d)).map_or(0, |d| d.year);
            let (first, last) = (source(days.first()), source(days.last()));
            let name = if first == last {
                first.to_string()
            } else {
                format!("{first}/{:02}", last.rem_euclid(100))
            };
            Year { name, days, counts }
        })
        .collect()
}

/// The year that a picture shows when it shows one: most days of shortfall, then the lowest level; the first of equals.
pub(super) fn hardest(run: &Run, years: &[Year<'_>]) -> usize {
    let lowest = |y: &Year<'_>| y.days.iter().map(|d| run.days[*d].lowest_m3).fold(f64::INFINITY, f64::min);
    let mut best = 0;
    for at in 1..years.len() {
        let (a, b) = (&years[at], &years[best]);
        let days = a.counts.shortfall_days.cmp(&b.counts.shortfall_days);
        if days.is_gt() || (days.is_eq() && lowest(a) < lowest(b)) {
            best = at;
        }
    }
    best
}

/// The years that get a row: all, or where there are too many the hardest, in the record's order; and what to say of it.
pub(super) fn rows<'a>(years: Vec<Year<'a>>, most: usize) -> (Vec<Year<'a>>, String) {
    let all = years.len();
    if all <= most {
        return (years, String::new());
    }
    let mut order: Vec<usize> = (0..all).collect();
    order.sort_by_key(|at| (std::cmp::Reverse(years[*at].counts.shortfall_days), *at));
    order.truncate(most);
    let kept: Vec<Year<'a>> =
        years.into_iter().enumerate().filter(|(at, _)| order.contains(at)).map(|(_, y)| y).collect();
    (kept, format!("Shown are the {most} of {all} tank years with most days of shortfall."))
}

/// Place of a date in a year of 366 days that begins with a month, 0 to 365.
pub(super) fn place(day: Day, first_month: u8) -> f64 {
    const BEFORE: [u16; 12] = [0, 31, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335];
    let of = |month: u8| f64::from(BEFORE[usize::from(month.clamp(1, 12)) - 1]);
    (of(day.month) + f64::from(day.day) - 1.0 - of(first_month)).rem_euclid(LONGEST)
}

/// Writes the months below a year that begins with one, with a line down from `top` to `bottom` between each two.
pub(super) fn month_axis(
    paper: &mut Paper,
    (left, wide): (f64, f64),
    (top, bottom): (f64, f64),
    first_month: u8,
) {
    for step in 0..12_u8 {
        let this = (first_month - 1 + step) % 12 + 1;
        let start = place(Day { year: 2000, month: this, day: 1 }, first_month);
        let middle = place(Day { year: 2000, month: this, day: 15 }, first_month);
        let x = |at: f64| left + wide * at / LONGEST;
        if step > 0 {
            paper.line((x(start), top), (x(start), bottom), pen(MESH, 0.4));
        }
        paper.line((x(start), bottom), (x(start), bottom + 3.0), pen(INK, 0.5));
        paper.words((x(middle + 0.5), bottom + 9.5), SMALL, Anchor::Middle, month(this));
    }
    paper.line((left + wide, bottom), (left + wide, bottom + 3.0), pen(INK, 0.5));
}

/// The days of shortfall of a year in a strip; days of one state that follow each other are one mark.
pub(super) fn marks(paper: &mut Paper, run: &Run, year: &Year<'_>, strip: Area) {
    let one = strip.width / LONGEST;
    let at = |day: usize| place(run.calendar.days()[day], run.outcome.tank_year_month);
    // 29 February has its place in years without one, too: two days may be two places apart.
    let next = |a: usize, b: usize| at(b) > at(a) && at(b) - at(a) < 2.5;
    let state = |day: usize| run.days[day].state();
    for days in year.days.chunk_by(|a, b| state(*a) == state(*b) && next(*a, *b)) {
        if let [first, ..] = days
            && let Some(last) = days.last()
        {
            let wide = one * (at(*last) + 1.0 - at(*first));
            mark(paper, area(strip.x + one * at(*first), strip.y, wide, strip.height), state(*first));
        }
    }
}

/// From when the pictures count the year, in words.
pub(super) fn counted_from(run: &Run) -> String {
    format!(
        "The year runs from 1 {}, {}.",
        month(run.outcome.tank_year_month),
        run.outcome.tank_year_by.text()
    )
}

/// Between which days the days of shortfall lie: `, all between 31 Dec and 10 Jan`. Empty without any.
pub(super) fn when_short(run: &Run) -> String {
    let order: Vec<usize> =
        years(run).into_iter().flat_map(|y| y.days).filter(|d| run.days[*d].shortfall).collect();
    match order.as_slice() {
        [] => String::new(),
        [one] => format!(", {}", date(run, *one)),
        [first, .., last] if run.outcome.years.len() == 1 => {
            let (from, to) = (date(run, *first), date(run, *last));
            let place = |day: usize| place(run.calendar.days()[day], run.outcome.tank_year_month);
            if place(*last) - place(*first) <= SEASON {
                return format!(", all between {from} and {to}");
            }
            let mut most = 0;
            for month in 1..12 {
                if run.months[month].shortfall_days > run.months[most].shortfall_days {
                    most = month;
                }
            }
            format!(
                ", between {from} and {to}, most in {} ({:.0})",
                MONTHS[most], run.months[most].shortfall_days
            )
        }
        _ => {
            let in_years = years(run).iter().filter(|y| y.counts.shortfall_days > 0).count();
            let tank_years = counted(run.outcome.years.len(), "tank year");
            let cut = if run.outcome.years.iter().all(|(y, _)| y.whole) {
                ""
            } else {
                ", incomplete ones included"
            };
            format!(", in {in_years} of {tank_years}{cut}")
        }
    }
}

/// First and last day of a year, in words.
pub(super) fn span(run: &Run, year: &Year<'_>) -> String {
    let text = |at: Option<&usize>| {
        at.and_then(|d| run.calendar.days().get(*d))
            .map_or_else(String::new, |d| format!("{} {}", day_month(d.month_day()), d.year))
    };
    format!("{} to {}", text(year.days.first()), text(year.days.last()))
}

/// Room that the names of years need, points.
pub(super) fn name_room(years: &[Year<'_>]) -> f64 {
    years.iter().map(|y| width(&y.name, SMALL, false)).fold(0.0, f64::max)
}
