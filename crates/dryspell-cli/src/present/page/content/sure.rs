//! What the run comes to, how sure that is, and what one thing changed does.

use dryspell::frost::{Basis, PartReport};
use dryspell::sensitivity::Line;
use dryspell::units::{Quantity, counted};

use super::super::model::{Block, Text};
use super::{Matter, days, fact, heading, numbers};
use crate::present::frost;
use crate::present::layout::MONTHS;

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
    let percent = |p: Option<f64>| p.map_or_else(|| "-".to_owned(), |p| format!("{p:.2} %"));
    let lasts = |d: Option<f64>| d.map_or_else(|| "-".to_owned(), |d| format!("{d:.1} days"));
    let mut served = vec![
        fact(
            "days of shortfall",
            Text::strong(counts.shortfall_days.to_string()).then(format!(
                " of {} with stock, in {}; the longest {}",
                counts.stock_days,
                counted(counts.spells, "spell"),
                counted(counts.longest_spell_days, "day")
            )),
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
        let text = format!("{:.0} % short, {}", 100.0 * counts.worst_day_short, date(counts.worst_day));
        served.push(fact("worst day", text));
    }
    served.push(match counts.haul_by_day {
        Some(_) => fact(
            "to haul in the worst spell",
            Text::strong(volume(counts.haul_m3)).then(format!(", there by {}", date(counts.haul_by_day))),
        ),
        None => fact("to haul", "nothing in this record"),
    });
    let refill = m.worksheet.refill_days.iter().zip(MONTHS);
    let slowest =
        refill.clone().filter_map(|(days, month)| Some(((*days)?, month))).max_by_key(|(days, _)| *days);
    let never: Vec<&str> = refill.filter(|(days, _)| days.is_none()).map(|(_, month)| month).collect();
    served.push(fact(
        "to refill from empty",
        match (slowest, never.is_empty()) {
            (Some((days, month)), true) => {
                format!("at most {} (from 1 {month}), the herd drinking", counted(days, "day"))
            }
            (_, false) => format!("not within a year from the first of {}", never.join(", ")),
            (None, true) => "-".to_owned(),
        },
    ));
    let mut stored = vec![fact(
        "full tank",
        Text::strong(lasts(run.full_tank.worst))
            .then(" without inflow, from the worst start hour of the year"),
    )];
    if let Some(a) = run.in_service {
        stored.push(fact(
            "in service",
            Text::strong(format!("{:.1} days", a.min)).then(format!(
                " at the lowest level the run had; 5th percentile {:.1}, median {:.1}",
                a.p05, a.median
            )),
        ));
    }
    stored.push(fact(
        "rule sheet",
        Text::strong(lasts(run.rule_sheet_storage_days())).then(format!(
            ": usable volume over the mean daily draw of {}, the peak month",
            MONTHS[usize::from(run.peak_month.1) - 1]
        )),
    ));
    stored.push(fact(
        "storage needed",
        Text::strong(run.storage.storage_m3.map_or_else(|| "no tank is enough".to_owned(), volume))
            .then(" by the sequent peak: without float band, leak or tolerance"),
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
    vec![
        heading("What the run comes to"),
        Block::Beside(vec![
            vec![Block::Paragraph(Text::strong("Served and short")), Block::Facts(served)],
            vec![Block::Paragraph(Text::strong("Autonomy and storage, three ways")), Block::Facts(stored)],
        ]),
    ]
}

pub(super) fn odds(m: &Matter<'_>) -> Vec<Block> {
    let mut blocks = vec![heading("How sure that is"), Block::Paragraph(Text::strong(m.odds.answer.clone()))];
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
    let columns = ["", "days short a year", "full tank, days"].map(str::to_owned);
    let (left, right) = m.sensitivity.split_at(m.sensitivity.len().div_ceil(2));
    let half = |title: &str, lines: &[Line]| numbers(title, &columns, lines.iter().map(row).collect(), "");
    let notes: Vec<String> = m
        .sensitivity
        .iter()
        .filter_map(|line| line.note.as_ref().map(|note| format!("{}: {note}.", line.what)))
        .collect();
    let halves = vec![vec![half("What one thing changed does", left)], vec![half("and on", right)]];
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
            "The scheme says nothing of frost in pipes, valves and troughs: this run leaves it aside. Give [frost] and its \
             parts where winter matters."
                .into(),
        ));
        return blocks;
    };
    blocks.push(Block::Paragraph(frost::answer(m.run, settings, report, m.system).into()));
    let rows = report
        .parts
        .iter()
        .map(|(name, part)| match part {
            PartReport::Buried(buried) => vec![
                name.clone(),
                format!("{} of cover", m.both(buried.cover_m, Quantity::Length)),
                if report.ground.basis == Basis::Design {
                    buried.verdict.word().to_uppercase()
                } else {
                    format!("{}, not design", buried.verdict.word())
                },
            ],
            PartReport::Exposed(exposed) => vec![
                name.clone(),
                if exposed.stands { "in the air, water stands in it" } else { "in the air, drained" }
                    .to_owned(),
                format!("frozen for {}", counted(exposed.hours, "hour")),
            ],
            PartReport::Open(open) => vec![
                name.clone(),
                "open water".to_owned(),
                format!(
                    "ice in {}, at most {}",
                    counted(open.ice_hours, "hour"),
                    m.both(open.most_ice_m, Quantity::Length)
                ),
            ],
        })
        .collect();
    let columns = ["part", "how it lies", "frost"].map(str::to_owned);
    blocks.push(numbers(
        "Parts",
        &columns,
        rows,
        "dryspell frost prints the winters, the depth and each event.",
    ));
    blocks
}
