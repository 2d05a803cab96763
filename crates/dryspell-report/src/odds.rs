//! How often, how long, how sure.

use crate::layout::trimmed;
use std::fmt::Write;

use dryspell::calendar::HOURS_PER_DAY;
use dryspell::odds::{MadeYears, Years};
use dryspell::record::YearKind;
use dryspell::reliability::interval::clopper_pearson::clopper_pearson;
use dryspell::reliability::interval::wilson::wilson;
use dryspell::reliability::interval::{Interval, Level, Tally};
use dryspell::reliability::returns::ReturnLevels;
use dryspell::resample::blocks::no_longer_spell;
use dryspell::resample::interval::{COVERAGE_MEASURED, of_values};
use dryspell::sensitivity::Line;
use dryspell::simulate::Run;
use dryspell::units::{System, counted, percent_number};
use dryspell_weather::synth::judged::{FROM_MEANS, Judged, LIKE_A_RECORD, SHUFFLED, Sun};

use super::goal;
pub(crate) use super::layout::percent;
use super::layout::{self, Lines, MONTHS, table, wrap, wrap_to};
use super::unknowns::{self, Uncertain};

/// Return periods that are asked, years.
pub(crate) const PERIODS: [f64; 5] = [2.0, 5.0, 10.0, 20.0, 50.0];

/// What the page is made from.
#[derive(Debug)]
pub struct Page<'a> {
    /// Scheme file as typed.
    pub file: &'a str,
    /// The run on the record.
    pub run: &'a Run,
    /// The record's own tank years.
    pub own: &'a Years,
    /// Years made from it, where there are any.
    pub made: Option<&'a MadeYears>,
    /// What schemes drawn from what is uncertain came to, where the scheme says that something is.
    pub uncertain: Option<Uncertain<'a>>,
    /// Where they started from.
    pub seed: u64,
    /// Units of the page.
    pub system: System,
    /// One thing changed at a time.
    pub sensitivity: &'a [Line],
}

/// The page.
#[must_use]
pub fn page(p: &Page<'_>) -> String {
    let mut out = String::new();
    wrap(&mut out, "", &answer(p));
    let goal = goal::block(p.run, p.system);
    if !goal.is_empty() {
        out.push('\n');
        out.push_str(&goal);
    }
    let _ = writeln!(out, "\nODDS  {}", p.file);
    layout::line(
        &mut out,
        "years",
        &format!("tank years from 1 {}, {}", month(p.run), p.run.outcome.tank_year_by.text()),
    );
    let n = p.own.number();
    let _ = writeln!(out, "\nTHE RECORD'S OWN YEARS  {}", counted(n, "whole tank year"));
    for (label, text) in record(p) {
        layout::line(&mut out, label, &text);
    }
    if let Some(made) = p.made {
        let _ = writeln!(
            out,
            "\nYEARS MADE FROM THE RECORD  {} from {}",
            counted(made.years.number(), "tank year"),
            counted(made.record_years, "year")
        );
        for (label, text) in made_years(p, made) {
            layout::line(&mut out, label, &text);
        }
        if let Some(text) = held(made) {
            wrap_to(&mut out, "  ", "  ", &text);
        }
        if let Some(warning) = too_short_blocks(p, made) {
            wrap(&mut out, "! ", &warning);
        }
    }
    if let Some(uncertain) = &p.uncertain {
        let alone = [Years::dry_share, Years::mean_days];
        let alone = alone.map(|value| p.made.and_then(|made| interval(made, value)));
        out.push_str(&unknowns::block(uncertain, &alone, p.system));
    }
    spells(&mut out, p);
    sensitivity(&mut out, p);
    out.push_str("\nLIMITS OF THIS ANSWER\n");
    for text in limits(p) {
        wrap_to(&mut out, "  - ", "    ", &text);
    }
    out
}

fn line(out: &mut Lines, label: &'static str, text: &str) {
    out.push((label, text.to_owned()));
}

fn month(run: &Run) -> &'static str {
    MONTHS[usize::from(run.outcome.tank_year_month) - 1]
}

/// The chance of a dry year over drawings of the record: the answer.
pub(crate) fn interval(made: &MadeYears, value: impl Fn(&Years) -> Option<f64>) -> Option<Interval> {
    let values: Vec<f64> = made.drawn.iter().filter_map(value).collect();
    of_values(&values, Level::default()).ok().filter(|_| !made.drawn.is_empty())
}

/// The answer in a sentence or two.
pub(crate) fn answer(p: &Page<'_>) -> String {
    let clause = p.uncertain.as_ref().and_then(unknowns::clause).unwrap_or_default();
    own_answer(p) + &clause
}

/// The answer for the scheme as it is written.
fn own_answer(p: &Page<'_>) -> String {
    let what = match p.run.kind {
        YearKind::Typical => "one typical year",
        YearKind::Synthetic if p.run.calendar.is_one_year() => "one synthetic year",
        YearKind::Synthetic => "synthetic years",
        YearKind::Projected if p.run.calendar.is_one_year() => "one projected year of a climate scenario",
        YearKind::Projected => "projected years of a climate scenario",
        YearKind::Calendar if p.run.calendar.is_one_year() => "one calendar year",
        YearKind::Calendar if p.run.calendar.days().len() < 365 => "a part of a year",
        YearKind::Calendar => "measured years",
    };
    if p.run.runs_down() {
        return "This scheme runs down: the longer it runs, the more years are short, so no chance of a dry year can be \
         given."
            .to_owned();
    }
    // The record's own years come first: made years add no measurement.
    if let Some((tally, own)) =
        measured(p).and_then(|tally| Some((tally, clopper_pearson(tally, Level::default())?)))
    {
        let made = p.made.and_then(|made| made.years.dry_share()).map_or_else(String::new, |share| {
            format!(" Years made from the record put it at about {}.", percent(share))
        });
        return format!(
            "{} of the record's {} have at least one day of shortfall; as far as they tell, the chance of such a year lies \
             between {} and {}.{made}",
            tally.with(),
            counted(tally.of(), "whole tank year"),
            percent(own.low),
            percent(own.high)
        );
    }
    match p.own.number() {
        0 | 1 => format!(
            "How often this scheme goes short cannot be known from this record: it is {what}, with {} of shortfall.",
            counted(p.run.outcome.counts.shortfall_days, "day")
        ),
        n => format!(
            "{} of {n} {what} have at least one day of shortfall; how far that holds for other years cannot be known from \
             this record.",
            p.own.dry()
        ),
    }
}

/// Dry years of the years that somebody measured; nothing where they are fewer than two.
pub(crate) fn measured(p: &Page<'_>) -> Option<Tally> {
    let n = p.own.number();
    if p.run.kind != YearKind::Calendar || n < 2 {
        return None;
    }
    Tally::new(p.own.dry(), n).ok()
}

/// What the record's own years came to, figure by figure.
pub(crate) fn record(p: &Page<'_>) -> Lines {
    let n = p.own.number();
    let mut list = Lines::new();
    let out = &mut list;
    if n == 0 {
        return list;
    }
    let cut = !p.run.calendar.is_one_year() && p.run.outcome.years.iter().any(|(year, _)| !year.whole);
    let whole = if cut { ", incomplete tank years included" } else { "" };
    line(out, "short", &format!("{} of {n} with at least one day of shortfall", p.own.dry()));
    if let Some(days) = p.own.mean_days() {
        line(out, "days", &format!("{days:.2} of shortfall in a mean whole tank year"));
    }
    if let Some(served) = p.own.served_percent {
        line(out, "served", &format!("{} % of the demand{whole}", percent_number(served, 2)));
    }
    if let Some(a) = p.run.in_service {
        line(
            out,
            "autonomy",
            &format!(
                "in service: lowest {:.1}, 5th percentile {:.1}, median {:.1} days; full tank {} days from the worst \
                 hour{whole}",
                a.min,
                a.p05,
                a.median,
                p.run.full_tank.worst.map_or_else(|| "-".to_owned(), |d| format!("{d:.1}"))
            ),
        );
    }
    if let Some(tally) = measured(p) {
        let level = Level::default();
        let text = |i: Option<Interval>| {
            i.map_or_else(|| "-".to_owned(), |i| format!("{} to {}", percent(i.low), percent(i.high)))
        };
        line(
            out,
            "interval",
            &format!(
                "chance of a dry year, 95 %: {} (Clopper and Pearson; covers the true value in 95 of 100 records or \
                 more), {} (Wilson; nearer to 95 on average), if years are independent and identically distributed",
                text(clopper_pearson(tally, level)),
                text(wilson(tally, level))
            ),
        );
        line(
            out,
            "next",
            &format!(
                "a year worse than the worst of these: a chance of at most {}, one in {}, if years are alike in law and one \
                 tells nothing of the next; years that tie make it less",
                percent(1.0 / f64::from(n + 1)),
                n + 1
            ),
        );
    } else {
        line(out, "interval", "cannot be known from this record");
    }
    list
}

/// What years made from the record came to, figure by figure.
pub(crate) fn made_years(p: &Page<'_>, made: &MadeYears) -> Lines {
    let mut list = Lines::new();
    let out = &mut list;
    line(
        out,
        "how",
        &format!(
            "blocks of days, {} on average, from within {} days of the date in any year, radiation adjusted to the sun \
             of the new date; seed {}",
            made.settings.mean_block_days, made.settings.window_days, p.seed
        ),
    );
    let row = |out: &mut Lines,
               label: &'static str,
               what: &str,
               share: bool,
               value: fn(&Years) -> Option<f64>,
               error: Option<f64>| {
        let Some(found) = value(&made.years) else { return };
        let number = |v: f64| if share { percent(v) } else { format!("{v:.2}") };
        // Where all made years agree, their spread says nothing of how sure that is.
        let error = error.filter(|e| *e > 0.0).map_or_else(String::new, |e| {
            format!(" +- {} (2 standard errors, from the number of years made)", number(2.0 * e))
        });
        let range = interval(made, value).map_or_else(
            || "interval from the record: cannot be known from this record".to_owned(),
            |i| format!("interval from the record, 95 %: {} to {}", number(i.low), number(i.high)),
        );
        line(out, label, &format!("{what}: {}{error}; {range}", number(found)));
    };
    let dry = made.years.standard_error(|c| f64::from(u8::from(c.shortfall_days > 0)));
    row(out, "short", "share with a day of shortfall", true, Years::dry_share, dry);
    let days = made.years.standard_error(|c| f64::from(c.shortfall_days));
    row(out, "days", "of shortfall in a mean year", false, Years::mean_days, days);
    if let Some(served) = made.years.served_percent {
        line(out, "served", &format!("{} % of the demand", percent_number(served, 2)));
    }
    list
}

/// How far the interval can be trusted; nothing where there is none.
pub(crate) fn held(made: &MadeYears) -> Option<String> {
    (!made.drawn.is_empty()).then(|| coverage_words(made.record_years, made.drawn.len()))
}

/// A warning where blocks are too short to have made a longer spell than was seen.
pub(crate) fn too_short_blocks(p: &Page<'_>, made: &MadeYears) -> Option<String> {
    let longest = p.own.counts.iter().map(|c| c.longest_spell_days).max().unwrap_or(0);
    let critical = p.run.storage.critical.map_or(0, |c| {
        let hours = if c.deepest >= c.began {
            c.deepest - c.began
        } else {
            c.deepest + p.run.calendar.hours() - c.began
        };
        u32::try_from(hours / 24).unwrap_or(u32::MAX)
    });
    let years = u32::try_from(made.record_years).unwrap_or(1);
    no_longer_spell(critical.max(longest), years, made.years.number(), made.settings.mean_block_days)
}

/// How the interval is made, and how often it was found to hold the truth.
pub(crate) fn coverage_words(record_years: usize, drawings: usize) -> String {
    let cells: Vec<f64> = COVERAGE_MEASURED
        .iter()
        .filter(|f| f.years == f.made_years)
        .map(|f| f.dry_year.min(f.days))
        .collect();
    let (low, high) = cells.iter().fold((1.0_f64, 0.0_f64), |(l, h), c| (l.min(*c), h.max(*c)));
    let fewer = cells.iter().filter(|c| **c < 0.95).count();
    let verdict =
        if 4 * fewer <= cells.len() { "too wide rather than too narrow" } else { "often too narrow" };
    format!(
        "The interval redraws the record's {record_years} years {drawings} times and makes as many years from each \
         drawing. On climates whose true value is known, and on a synthetic site of 5000 years, it covered the true \
         value in {:.0} to {:.0} of 100 records of 10 to 30 years (95 nominal; fewer in {fewer} of {} cases): \
         {verdict}.",
        100.0 * low,
        100.0 * high,
        cells.len()
    )
}

/// The longest spell by return period, days, for each of [`PERIODS`]: of the record's own years, then of those made from it; nothing
/// where the record holds no years to tell one from another. Made years are shuffled from the record: a period longer than the record
/// is long is none of the place.
pub(crate) fn longest_spells(p: &Page<'_>) -> Option<[Vec<Option<f64>>; 2]> {
    // One year shuffled is still one year, and years that were never measured tell nothing of how often.
    let years = p.own.number();
    if p.run.kind != YearKind::Calendar || years < 2 {
        return None;
    }
    let longest = f64::from(years) + 1.0;
    let each = |spells: Option<Vec<f64>>| {
        let levels = spells.and_then(|spells| ReturnLevels::of(&spells).ok());
        let at = |t: &f64| levels.as_ref().filter(|_| *t <= longest).and_then(|l| l.at(*t));
        PERIODS.iter().map(at).collect()
    };
    Some([each(Some(p.own.longest_spells())), each(p.made.map(|made| made.years.longest_spells()))])
}

/// The same as text: what it rests on, then a figure for each period.
pub(crate) fn spell_rows(p: &Page<'_>) -> Vec<(&'static str, Vec<String>)> {
    let Some([record, made]) = longest_spells(p) else { return Vec::new() };
    let told = |row: Vec<Option<f64>>| {
        row.into_iter().map(|days| days.map_or_else(|| "-".to_owned(), |v| format!("{v:.1}"))).collect()
    };
    let mut rows = vec![("record", told(record))];
    if p.made.is_some() {
        rows.push(("made years", told(made)));
    }
    rows
}

fn spells(out: &mut String, p: &Page<'_>) {
    let rows = spell_rows(p);
    out.push_str("\nLONGEST SPELL BY RETURN PERIOD  days of shortfall in a row\n");
    if rows.is_empty() {
        out.push_str("  no return period: that needs several measured years\n");
        return;
    }
    let mut cells = vec![
        std::iter::once(String::new())
            .chain(PERIODS.iter().map(|t| format!("{t} years")))
            .collect::<Vec<_>>(),
    ];
    for (name, row) in rows {
        cells.push(std::iter::once(name.to_owned()).chain(row).collect());
    }
    table(out, &cells);
    out.push_str("  plotting position k/(n+1); - is beyond the range of the record\n");
}

fn sensitivity(out: &mut String, p: &Page<'_>) {
    out.push_str("\nONE CHANGE AT A TIME\n");
    let mut rows = vec![["", "days short", "autonomy"].map(str::to_owned).to_vec()];
    rows.push(["", "a year", "days"].map(str::to_owned).to_vec());
    for l in p.sensitivity {
        let days = l.days.map_or_else(|| "-".to_owned(), |days| trimmed(days, 2));
        rows.push(vec![
            l.what.clone(),
            days,
            l.autonomy_days.map_or_else(|| "-".to_owned(), |a| format!("{a:.1}")),
        ]);
    }
    table(out, &rows);
    for l in p.sensitivity {
        if let Some(note) = &l.note {
            wrap_to(out, "  ", "    ", &format!("{}: {note}", l.what));
        }
    }
}

/// How many times the days of shortfall, over all places.
fn times(judged: &Judged) -> String {
    let (least, most) = judged.range();
    format!("{least:.1} to {most:.1} times")
}

/// The sun of the run's record, day by day.
fn sun(run: &Run) -> Option<Sun> {
    let light = run.sky.ghi_w_per_m2.chunks(HOURS_PER_DAY);
    let days: Vec<(u8, f64)> = run
        .calendar
        .days()
        .iter()
        .zip(light)
        .map(|(date, hours)| (date.month, hours.iter().sum::<f64>() / 1000.0))
        .collect();
    Sun::of(&days)
}

/// What the figures can and cannot say.
pub(crate) fn limits(p: &Page<'_>) -> Vec<String> {
    let mut list = Vec::new();
    match p.run.kind {
        YearKind::Typical => list.push(
            "A typical year leaves out the extremes. Years made from it reshuffle its days and have none worse. They \
             give no chance and no return period for the place."
                .to_owned(),
        ),
        YearKind::Synthetic => list.push(format!(
            "The years are synthetic: they prove nothing about a real place, and no interval is given. Held against four \
             measured records, years from twelve means had {} the record's days of shortfall ({}; {}); years like a record \
             of many years {}.",
            times(&FROM_MEANS),
            FROM_MEANS.words(),
            FROM_MEANS.nearest_words(sun(p.run)),
            times(&LIKE_A_RECORD)
        )),
        YearKind::Projected => list.push(
            "The years come from a climate model: a scenario, not measurements. They give no chance, interval or return \
             period for the place."
                .to_owned(),
        ),
        YearKind::Calendar => {}
    }
    if p.made.is_some() {
        list.push(
            "Made years contain only hours of the record: a spell of weather worse than any in it arises only where \
             blocks join. Persistence over months is partly lost between blocks."
                .to_owned(),
        );
        if p.run.kind == YearKind::Calendar {
            list.push(format!(
                "Held against four measured records of many years, years made from them in blocks of 15 days had {} their \
                 days of shortfall ({}; {}).",
                times(&SHUFFLED),
                SHUFFLED.words(),
                SHUFFLED.nearest_words(sun(p.run))
            ));
        }
    }
    list.push(
        format!(
            "Herd, well, pump and habits are those of the scheme in every year{}. The table of one change at a time shows how \
             much they matter.",
            if p.uncertain.is_some() { ", but where drawn schemes are named" } else { "" }
        ),
    );
    list
}
