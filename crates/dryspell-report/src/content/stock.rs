//! Who drinks, how much, by month, and where that figure comes from.

use dryspell::draw::{Group, Need};
use dryspell::units::{Quantity, column_number, column_unit};

use super::{Matter, days, heading, numbers};
use crate::layout::MONTHS;
use crate::model::{Block, Text};

pub(super) fn stock(m: &Matter<'_>) -> Vec<Block> {
    let unit = column_unit(Quantity::DailyVolume, m.system);
    let dates = m.run.calendar.days();
    let count = |n: usize| f64::from(u32::try_from(n).unwrap_or(u32::MAX));
    // Mean of the days on which the group is there, by month, and how many those are where it is not there in all.
    let by_month = |daily: &[f64]| -> Vec<String> {
        (1..=12)
            .map(|month| {
                let all = || daily.iter().zip(dates).filter(|(_, date)| date.month == month);
                let here = count(all().filter(|(d, _)| **d > 0.0).count());
                if here <= 0.0 {
                    return String::new();
                }
                let sum: f64 = all().map(|(d, _)| d).sum();
                let mean = column_number(sum / here, Quantity::DailyVolume, m.system);
                if here < count(all().count()) {
                    format!("{mean}\u{a0}×\u{a0}{}", days(here / m.run.months[usize::from(month) - 1].times))
                } else {
                    mean
                }
            })
            .collect()
    };
    let mut rows: Vec<Vec<String>> = m
        .run
        .draw
        .by_group_m3_per_day
        .iter()
        .map(|(name, daily)| std::iter::once(name.clone()).chain(by_month(daily)).collect())
        .collect();
    if rows.len() > 1 {
        let all: Vec<f64> = m.run.days.iter().map(|day| day.demand_m3).collect();
        rows.push(std::iter::once("all stock".to_owned()).chain(by_month(&all)).collect());
    }
    let volume = column_unit(Quantity::Volume, m.system);
    let sums = m.run.months.iter().map(|month| {
        if month.stock_days > 0 {
            column_number(month.demand_m3, Quantity::Volume, m.system)
        } else {
            String::new()
        }
    });
    rows.push(std::iter::once(format!("in the month, {volume}")).chain(sums).collect());
    let columns: Vec<String> =
        std::iter::once(unit.to_owned()).chain(MONTHS.iter().map(|month| (*month).to_owned())).collect();
    let part = rows.iter().flatten().any(|cell| cell.contains('×'));
    let table = numbers(
        "Mean daily demand of the stock, waste included",
        &columns,
        rows,
        if part {
            "Mean of the days on which a herd is present; after ×, the number of days if not the whole month. Mean \
             times days, summed over the herds, gives the last row."
        } else {
            "Mean times days, summed over the herds, gives the last row."
        },
    );
    let mut sources = Text::default();
    for group in &m.run.plan.draw.groups {
        sources.0.extend(source(group).0);
    }
    vec![heading("Stock and what it drinks"), table, Block::Fine(sources)]
}

fn source(group: &Group) -> Text {
    let from = match &group.need {
        Need::ByMonth(_) => "monthly figures given in the scheme".to_owned(),
        Need::Class { class, .. } => format!(
            "{}: {}. Source: {}{}",
            class.name,
            class.formula,
            class.source,
            class.from_memory.map_or_else(String::new, |what| format!(" (from memory: {what})"))
        ),
        Need::ShareOfHerd(share) => format!("{:.0} % of the animals' need, an allowance", 100.0 * share),
    };
    Text::strong(group.name.clone()).then(format!(": {from}. "))
}
