//! What the run comes to, how sure that is, and what one thing changed does.

use dryspell::frost::{Basis, Drain, Kind, PartReport};
use dryspell::reliability::refill::Refill;
use dryspell::results::HYDRANTS;
use dryspell::sensitivity::Line;
use dryspell::units::{Quantity, column_number, column_unit, counted, percent_number};

use super::{Matter, days, fact, heading, numbers};
use crate::figures::{number, storage_above};
use crate::layout::MONTHS;
use crate::model::{Align, Block, Table, Text};
use crate::{delivery, frost};

/// Hydrants that are listed.
const MOST_HYDRANTS: usize = 8;

pub(super) fn figures(m: &Matter<'_>) -> Vec<Block> {
    let run = m.run;
    let counts = &run.outcome.counts;
    let volume = |m3| m.both(m3, Quantity::Volume);
    let date = |day: Option<usize>| {
        day.map_or_else(String::new, |d| {
            let day = run.calendar.days()[d];
            format!("{} {} {}", day.day, MONTHS[usize::from(day.month) - 1], day.year)
        })
    };
    let percent =
        |p: Option<f64>| p.map_or_else(|| "-".to_owned(), |p| format!("{} %", percent_number(p, 2)));
    let lasts = |d: Option<f64>| d.map_or_else(|| "-".to_owned(), |d| format!("{d:.1} days"));
    let mut served = vec![
        fact(
            "days of shortfall",
            Text::strong(counts.shortfall_days.to_string()).then(match counts.spells {
                0 => format!(" of {} with stock", counts.stock_days),
                spells => format!(
                    " of {} with stock, in {}; the longest {}",
                    counts.stock_days,
                    counted(spells, "spell"),
                    counted(counts.longest_spell_days, "day")
                ),
            }),
        ),
        fact(
            "a day counts",
            format!("when more than {:.1} % of its draw is short", 100.0 * run.plan.tank.tolerance),
        ),
        fact("days served", percent(run.days_served_percent())),
        fact("water served", percent(run.volume_served_percent())),
        fact("dry hours", format!("{}, at most {} in a row", counts.dry_hours, counts.longest_dry_hours)),
    ];
    if counts.worst_day.is_some() {
        let text = format!(
            "{} % short, {}",
            percent_number(100.0 * counts.worst_day_short, 0),
            date(counts.worst_day)
        );
        served.push(fact("worst day", text));
    }
    served.push(match counts.haul_by_day {
        Some(_) => fact(
            "to haul in the worst spell",
            Text::strong(volume(counts.haul_m3)).then(format!(", needed by {}", date(counts.haul_by_day))),
        ),
        None => fact("to haul", "nothing in this record"),
    });
    let refills: Vec<Refill> = m.worksheet.refills.into_iter().flatten().collect();
    let slowest = refills.iter().copied().reduce(|a, b| match (a.days, b.days) {
        (None, _) => a,
        (Some(_), None) => b,
        (Some(x), Some(y)) => {
            if y > x {
                b
            } else {
                a
            }
        }
    });
    served.push(fact(
        "to refill from empty",
        slowest.map_or_else(
            || "the record is too short to tell".to_owned(),
            |refill| match refill.days {
                Some(days) => format!(
                    "at most {} (empty on {}) to the float stop or the rim, with the herd drinking what it can",
                    counted(days, "day"),
                    date(Some(refill.from_day))
                ),
                None => format!("not within a year if empty on {}", date(Some(refill.from_day))),
            },
        ),
    ));
    let mut stored = vec![fact(
        "full tank",
        Text::strong(lasts(run.full_tank.worst)).then(if run.full_tank.always_outlasts_stay() {
            " without inflow: the stock leaves before the water runs out, from any start hour"
        } else {
            " without inflow, from the worst start hour of the year"
        }),
    )];
    if let Some((battery, scheme)) = run.battery_days().zip(run.scheme_autonomy_days()) {
        stored.push(fact(
            "the scheme",
            Text::strong(lasts(Some(scheme))).then(format!(
                ": the smaller of the full tank's and that of the booster's battery, {:.1} days",
                battery.worst_days
            )),
        ));
    }
    if let Some(a) = run.in_service {
        stored.push(fact(
            "in service",
            Text::strong(format!("{:.1} days", a.min)).then(format!(
                " at the lowest level in the run; 5th percentile {:.1}, median {:.1}",
                a.p05, a.median
            )),
        ));
    }
    stored.push(fact(
        "rule-sheet storage",
        Text::strong(lasts(run.rule_sheet_storage_days())).then(format!(
            ": usable volume up to the float stop divided by the mean daily draw with stock in {}, the peak month",
            MONTHS[usize::from(run.peak_month.1) - 1]
        )),
    ));
    stored.push(fact(
        "storage needed",
        match run.storage.storage_m3 {
            Some(m3) => Text::strong(volume(m3)).then(format!(
                " by the sequent peak: every hour's draw met in that hour, without float band, leak or tolerance{}",
                storage_above(run, m.system)
            )),
            None => Text::strong("no tank is enough").then(format!(
                ": supply is {} a year short of demand",
                m.one(run.storage.missing_m3 / run.calendar.years(), Quantity::Volume)
            )),
        },
    ));
    let enough = m.worksheet.enough_tank;
    stored.push(fact(
        "sufficient tank",
        match enough.capacity_m3 {
            Some(m3) => Text::strong(volume(m3)).then(format!(
                " usable, the smallest in steps of {} that, like all larger ones, leaves no day of this record short: \
                 thirst carried to midnight, the float at the same share; {}",
                m.one(enough.step_m3, Quantity::Volume),
                match enough.longest_dry_hours {
                    0 => "empty in no hour".to_owned(),
                    hours => format!("empty for at most {} in a row", counted(hours, "hour")),
                }
            )),
            None if run.storage.missing_m3 > 0.0 => "none: annual supply is too small, and a tank only delays the \
             shortage".into(),
            None => format!(
                "none up to {}: a larger tank does not cure the shortage",
                volume(enough.largest_m3)
            )
            .into(),
        },
    ));
    if let Some(without) = run.shortfall_days_without_frost {
        stored.push(fact("without frost", format!("{} of shortfall", counted(without, "day"))));
    }
    let causes = run.delivery.as_ref().map(|d| {
        let v = &d.volumes;
        fact(
            "short by cause",
            format!(
                "frozen {}, pump or pipe too small {}, battery empty {}, tank empty {}",
                m.one(v.short_frozen_m3, Quantity::Volume),
                m.one(v.short_too_small_m3, Quantity::Volume),
                m.one(v.short_battery_m3, Quantity::Volume),
                m.one(run.outcome.ledgers.short_m3, Quantity::Volume)
            ),
        )
    });
    served.extend(causes);
    if !run.plan.draw.gardens.is_empty() {
        served.push(fact(
            "gardens",
            format!(
                "{} of a demand of {}, after the stock",
                m.one(run.outcome.ledgers.garden_m3, Quantity::Volume),
                m.one(run.garden_sum_m3, Quantity::Volume)
            ),
        ));
    }
    let mut right = vec![Block::Paragraph(Text::strong("Autonomy and storage")), Block::Facts(stored)];
    right.extend(by_hydrant(m));
    let mut blocks = vec![
        heading("Results of the run"),
        Block::Beside(vec![
            vec![Block::Paragraph(Text::strong("Served and short")), Block::Facts(served)],
            right,
        ]),
    ];
    let mut behind = Text::default();
    for (label, text) in delivery::lines(run, m.system) {
        behind = behind.then_strong(format!("{label} ")).then(format!("{text}. "));
    }
    if !behind.0.is_empty() {
        blocks.push(Block::Fine(behind));
    }
    blocks
}

/// What is short at each hydrant, by cause; nothing where nothing is short on the way.
fn by_hydrant(m: &Matter<'_>) -> Option<Block> {
    let delivery = m.run.delivery.as_ref().filter(|d| d.short_m3().iter().any(|m3| *m3 > 0.0))?;
    let mut rows: Vec<(f64, Vec<String>)> = delivery
        .hydrants
        .iter()
        .enumerate()
        .map(|(row, h)| {
            let names = [
                "short_by_cause_m3.frozen",
                "short_by_cause_m3.pump_too_small",
                "short_by_cause_m3.battery_empty",
                "short_on_the_way_m3",
            ];
            let sums = names.map(|name| number(HYDRANTS, name, m.run, row).unwrap_or(0.0));
            let cells = sums.map(|m3| column_number(m3, Quantity::Volume, m.system));
            (sums[3], std::iter::once(h.name.clone()).chain(cells).collect())
        })
        .filter(|(short, _)| *short > 0.0)
        .collect();
    rows.sort_by(|a, b| b.0.total_cmp(&a.0));
    let left_out = rows.len().saturating_sub(MOST_HYDRANTS);
    rows.truncate(MOST_HYDRANTS);
    let volume = column_unit(Quantity::Volume, m.system);
    let columns = ["hydrant", "frozen", "flow too small", "battery empty", "in all"].map(str::to_owned);
    let note = if left_out > 0 {
        format!("And {} with less shortage than these.", counted(left_out, "hydrant"))
    } else {
        String::new()
    };
    let title = format!("Delivery shortage between tank and hydrant, {volume}");
    Some(numbers(&title, &columns, rows.into_iter().map(|(_, row)| row).collect(), &note))
}

pub(super) fn odds(m: &Matter<'_>) -> Vec<Block> {
    let mut blocks =
        vec![heading("How certain this is"), Block::Paragraph(Text::strong(m.odds.answer.clone()))];
    // The figures of a single year stand above.
    if !m.odds.lines.is_empty() && m.run.outcome.years.len() > 1 {
        blocks
            .push(Block::Facts(m.odds.lines.iter().map(|(name, text)| fact(name, text.as_str())).collect()));
    }
    blocks.push(Block::List(m.odds.limits.iter().map(|text| text.as_str().into()).collect()));
    blocks
}

pub(super) fn sensitivity(m: &Matter<'_>) -> Vec<Block> {
    let row = |line: &Line| {
        vec![
            line.what.clone(),
            line.days.map_or_else(|| "-".to_owned(), days),
            line.autonomy_days.map_or_else(|| "-".to_owned(), |d| format!("{d:.1}")),
        ]
    };
    let columns = ["days", "short a year", "tank lasts"].map(str::to_owned);
    let (left, right) = m.sensitivity.split_at(m.sensitivity.len().div_ceil(2));
    let half = |title: &str, lines: &[Line]| numbers(title, &columns, lines.iter().map(row).collect(), "");
    let mut notes: Vec<String> = m
        .sensitivity
        .iter()
        .filter_map(|line| line.note.as_ref().map(|note| format!("{}: {note}.", line.what)))
        .collect();
    if !m.run.covered.is_empty() {
        notes.push(
            "Snow cases begin with the critical spell: on other dates the same snow may cost more days."
                .to_owned(),
        );
    }
    if !m.run.calendar.is_one_year() {
        let years = m.run.calendar.years();
        notes.push(format!(
            "Days short a year: those of the record over its {years:.1} years, incomplete tank years included."
        ));
    }
    let halves = vec![vec![half("One change at a time", left)], vec![half("continued", right)]];
    let mut blocks = vec![Block::Beside(halves)];
    if !notes.is_empty() {
        blocks.push(Block::Fine(notes.join(" ").into()));
    }
    blocks
}

pub(super) fn frost(m: &Matter<'_>) -> Vec<Block> {
    let mut blocks = vec![heading("Frost")];
    let Some((settings, report)) = m.frost else {
        blocks.push(Block::Paragraph(
            "The scheme gives no frost data for pipes, valves and troughs, so this run leaves frost out. Add [frost] \
             and its parts where winter matters."
                .into(),
        ));
        return blocks;
    };
    blocks.push(Block::Paragraph(frost::answer(m.run, settings, report, m.system).into()));
    let rows = report
        .parts
        .iter()
        .zip(&settings.parts)
        .map(|((name, found), part)| {
            let (lies, frost) = match found {
                PartReport::Buried(buried) => (
                    format!("{} of cover", m.both(buried.cover_m, Quantity::Length)),
                    if report.ground.basis == Basis::Design {
                        buried.verdict.word().to_uppercase()
                    } else {
                        format!("{}, not design", buried.verdict.word())
                    },
                ),
                PartReport::Exposed(exposed) => (
                    match &part.kind {
                        Kind::Exposed { drain: Drain::ByHand(_), .. } => {
                            "exposed, drained by hand on the dates given"
                        }
                        Kind::Exposed { drain: Drain::Itself { .. }, .. } if exposed.stands => {
                            "exposed, drains too slowly"
                        }
                        Kind::Exposed { drain: Drain::Itself { .. }, .. } => {
                            "exposed, drains by itself in time"
                        }
                        _ => "exposed, holds standing water",
                    }
                    .to_owned(),
                    match &part.kind {
                        Kind::Exposed { drain: Drain::ByHand(dates), .. } => format!(
                            "ice in {} outside those dates",
                            counted(exposed.hours_outside(dates, &m.run.calendar), "hour")
                        ),
                        _ if exposed.stands => format!("ice in {}", counted(exposed.hours, "hour")),
                        _ => format!(
                            "empty; standing water would contain ice in {}",
                            counted(exposed.hours, "hour")
                        ),
                    },
                ),
                PartReport::Open(open) => (
                    "open water".to_owned(),
                    format!(
                        "ice in {}, at most {}",
                        counted(open.ice_hours, "hour"),
                        m.both((1e3 * open.most_ice_m).round() / 1e3, Quantity::Length)
                    ),
                ),
            };
            [name.clone(), lies, frost].map(Text::from).to_vec()
        })
        .collect();
    blocks.push(Block::Table(Table {
        title: "Parts; dryspell frost prints the winters, the depth and each event".to_owned(),
        columns: ["part", "position", "frost"].map(|name| (name.to_owned(), Align::Left)).to_vec(),
        rows,
        note: String::new(),
    }));
    blocks
}
