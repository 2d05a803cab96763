//! What the run comes to: what was served and what was short, and how long the tank lasts.

use dryspell::reliability::refill::Refill;
use dryspell::results::HYDRANTS;
use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, column_number, column_unit, counted, percent_number, show};

use super::{Matter, fact, heading, numbers};
use crate::delivery;
use crate::figures::{STORAGE_OF_SEVERAL, full_tank_words, number, storage_above};
use crate::layout::MONTHS;
use crate::model::{Block, Text};
use crate::told;

/// Hydrants that are listed.
const MOST_HYDRANTS: usize = 8;

pub(super) fn figures(m: &Matter<'_>) -> Vec<Block> {
    let mut right = vec![Block::Paragraph(Text::strong("Autonomy and storage")), Block::Facts(stored(m))];
    right.extend(by_hydrant(m));
    let herds = by_herd(m);
    let mut blocks = vec![
        heading("Results of the run"),
        Block::Beside(vec![
            vec![Block::Paragraph(Text::strong("Served and short")), Block::Facts(served(m))],
            right,
        ]),
    ];
    blocks.extend(ledger(m));
    blocks.extend(by_store(m));
    blocks.extend(herds);
    let mut behind = Text::default();
    for (label, text) in delivery::lines(m.run, m.system) {
        behind = behind.then_strong(format!("{label} ")).then(format!("{text}. "));
    }
    if !behind.0.is_empty() {
        blocks.push(Block::Fine(behind));
    }
    blocks
}

fn date(run: &Run, day: usize) -> String {
    let day = run.calendar.days()[day];
    format!("{} {} {}", day.day, MONTHS[usize::from(day.month) - 1], day.year)
}

/// What was served and what was short.
fn served(m: &Matter<'_>) -> Vec<(String, Text)> {
    let run = m.run;
    let counts = &run.outcome.counts;
    let date = |day: Option<usize>| day.map_or_else(String::new, |d| date(run, d));
    let percent =
        |p: Option<f64>| p.map_or_else(|| "-".to_owned(), |p| format!("{} %", percent_number(p, 2)));
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
            Text::strong(m.both(counts.haul_m3, Quantity::Volume))
                .then(format!(", needed by {}", date(counts.haul_by_day))),
        ),
        None => fact("to haul", "nothing in this record"),
    });
    served.extend(refill(m));
    served.extend(causes(m));
    if let Some((days, text)) = told::backup(run, m.system) {
        served.push(fact("with the backup", Text::strong(days.to_string()).then(format!(" {text}"))));
    }
    let (pass, why) = told::pass(run);
    served.push(fact("counts come from", format!("{pass}: {why}")));
    if let Some((days, text)) = told::well(run) {
        served.push(fact("float resting the well", Text::strong(days.to_string()).then(format!(" {text}"))));
    }
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
    served
}

/// How long the tank takes to fill, from the day on which it takes longest.
fn refill(m: &Matter<'_>) -> Option<(String, Text)> {
    // Of several tanks each fills in its own time.
    if !m.run.tanks.is_empty() {
        return None;
    }
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
    Some(fact(
        "to refill from empty",
        slowest.map_or_else(
            || "the record is too short to tell".to_owned(),
            |refill| match refill.days {
                Some(days) => format!(
                    "at most {} (empty on {}) to the float stop or the rim, with the herd drinking what it can",
                    counted(days, "day"),
                    date(m.run, refill.from_day)
                ),
                None => format!("not within a year if empty on {}", date(m.run, refill.from_day)),
            },
        ),
    ))
}

/// What was short, by cause; nothing where the herd drinks at the tank.
fn causes(m: &Matter<'_>) -> Option<(String, Text)> {
    m.run.delivery.as_ref().map(|d| {
        let v = &d.volumes;
        fact(
            "short by cause",
            format!(
                "frozen {}, pump or pipe too small {}, battery empty {}, tank empty {}",
                m.one(v.short_frozen_m3, Quantity::Volume),
                m.one(v.short_too_small_m3, Quantity::Volume),
                m.one(v.short_battery_m3, Quantity::Volume),
                m.one(m.run.outcome.ledgers.short_m3, Quantity::Volume)
            ),
        )
    })
}

/// How long the tank lasts, and how much storage is needed.
fn stored(m: &Matter<'_>) -> Vec<(String, Text)> {
    let run = m.run;
    let lasts = |d: Option<f64>| d.map_or_else(|| "-".to_owned(), |d| format!("{d:.1} days"));
    let mut stored = vec![fact(
        if run.tanks.is_empty() { "full tank" } else { "full tanks" },
        Text::strong(lasts(run.full_tank.worst)).then(
            match (run.full_tank.always_outlasts_stay(), run.tanks.is_empty()) {
                (true, _) => {
                    " without inflow: the stock leaves before the water runs out, from any start hour"
                        .to_owned()
                }
                (false, true) => " without inflow, from the worst start hour of the year".to_owned(),
                (false, false) => format!(": {}", full_tank_words(run)),
            },
        ),
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
            Some(m3) => Text::strong(m.both(m3, Quantity::Volume)).then(format!(
                " by the sequent peak: every hour's draw met in that hour, without float band, leak or tolerance{}",
                storage_above(run, m.system)
            )),
            None if !run.tanks.is_empty() => STORAGE_OF_SEVERAL.into(),
            None => Text::strong("no tank is enough").then(format!(
                ": supply is {} a year short of demand",
                m.one(run.storage.missing_m3 / run.calendar.years(), Quantity::Volume)
            )),
        },
    ));
    stored.extend(sufficient(m));
    if let Some(without) = run.shortfall_days_without_frost {
        stored.push(fact("without frost", format!("{} of shortfall", counted(without, "day"))));
    }
    stored
}

/// The smallest tank that is enough; nothing for several.
fn sufficient(m: &Matter<'_>) -> Option<(String, Text)> {
    let enough = m.worksheet.enough_tank?;
    let (size, rest) = told::enough_tank(m.run, &enough, m.system);
    let other = enough.capacity_m3.map_or_else(String::new, |m3| {
        let other = if m.system == System::Us { System::Si } else { System::Us };
        format!(" ({})", show(m3, Quantity::Volume, other))
    });
    Some(fact("sufficient tank", Text::strong(size + &other).then(format!(" {rest}"))))
}

/// Each tank by its own ledger and each well; nothing where there is one of each.
fn by_store(m: &Matter<'_>) -> Vec<Block> {
    let volume = column_unit(Quantity::Volume, m.system);
    let tanks = told::tanks(m.run, m.system).map(|[head, rows]| {
        let title = format!("Each tank by its own ledger, {volume}; empty in hours");
        numbers(&title, &head[0], rows, told::TANKS_NOTE)
    });
    let wells = told::wells(m.run, m.system)
        .map(|[head, rows]| numbers(&format!("Each well, {volume}"), &head[0], rows, told::WELLS_NOTE));
    tanks.into_iter().chain(wells).collect()
}

/// The tank's water over the record: what was there and what came in, less what went out, is what is left.
fn ledger(m: &Matter<'_>) -> Option<Block> {
    let l = &m.run.outcome.ledgers;
    let volume = column_unit(Quantity::Volume, m.system);
    let several = !m.run.tanks.is_empty();
    // What never happened has no column.
    let all = [
        ("at the start", l.start_m3, true),
        ("+ pumped", l.pumped_m3, true),
        ("+ other inflows", l.inflow_m3, false),
        ("+ backup", l.backup_m3, false),
        (if m.run.plan.delivery.is_some() { "- drawn for the troughs" } else { "- drunk" }, l.drawn_m3, true),
        ("- to gardens", l.garden_m3, false),
        ("- to the air", l.evaporated_m3, false),
        ("- leaked", l.leaked_m3, false),
        ("- over the top", l.spilled_m3, false),
        ("= at the end", l.end_m3, true),
        ("left over", l.left_over_m3()[1], true),
    ];
    let shown: Vec<(&str, f64)> = all
        .into_iter()
        .filter(|(_, m3, always)| *always || *m3 > 0.0)
        .map(|(name, m3, _)| (name, m3))
        .collect();
    let mut columns = vec![String::new()];
    columns.extend(shown.iter().map(|(name, _)| (*name).to_owned()));
    let mut row = vec![if several { "all tanks" } else { "the tank" }.to_owned()];
    row.extend(shown.iter().map(|(_, m3)| column_number(m3.abs(), Quantity::Volume, m.system)));
    Some(numbers(&format!("The water of the record, {volume}"), &columns, vec![row], ""))
}

/// Each herd by its own book; nothing where the columns answer.
fn by_herd(m: &Matter<'_>) -> Option<Block> {
    let [_, rows] = told::herds(m.run, m.system)?;
    let heads = told::herd_titles(m.run);
    let volume = column_unit(Quantity::Volume, m.system);
    Some(numbers(&format!("Each herd by its own book, {volume}"), &heads, rows, told::HERDS_NOTE))
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
                "delivery_shortage_m3",
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
