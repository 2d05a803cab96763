//! Who drinks, how much, by month, and where that figure comes from.

use dryspell::draw::{Group, GroupKind, Need};
use dryspell::results::{DETAILS, HERDS};
use dryspell::units::{Quantity, System, column_number, column_unit, retold};

use super::{Matter, days, heading, numbers};
use crate::figures::numbers_of;
use crate::layout::MONTHS;
use crate::model::{Block, Text};

pub(super) fn stock(m: &Matter<'_>) -> Vec<Block> {
    let unit = column_unit(Quantity::DailyVolume, m.system);
    let dates = m.run.calendar.days();
    // The mean of the days on which it is there, by month, and how many those are where it is not there in all.
    let cells = |daily: &[Option<f64>], there: &[Option<f64>]| -> Vec<String> {
        (1..=12_u8)
            .zip(daily.iter().zip(there))
            .map(|(month, (mean, there))| {
                let Some((mean, there)) = mean.zip(*there) else { return String::new() };
                let mean = column_number(mean, Quantity::DailyVolume, m.system);
                let all = dates.iter().filter(|date| date.month == month).count();
                let all = f64::from(u32::try_from(all).unwrap_or(u32::MAX));
                let times = m.run.months[usize::from(month) - 1].times;
                if there * times < all - 0.5 { format!("{mean}\u{a0}×\u{a0}{}", days(there)) } else { mean }
            })
            .collect()
    };
    let mut rows: Vec<Vec<String>> = (0..m.run.draw.by_group_m3_per_day.len())
        .map(|herd| {
            let list = |name| numbers_of(HERDS, name, m.run, herd);
            let mut name = m.run.draw.by_group_m3_per_day[herd].0.clone();
            // Of a count that changes by date the note tells.
            if let Some(group) =
                m.run.plan.draw.groups.iter().find(|group| group.name == name && group.count > 0.0)
            {
                if group.kind == GroupKind::Stock && group.counts.is_empty() {
                    name = format!("{name} ({:.0})", group.count);
                }
            }
            if m.run.plan.draw.groups.iter().any(|group| group.name == name && group.kind != GroupKind::Stock)
            {
                name.push_str(" (extra)");
            }
            std::iter::once(name).chain(cells(&list("demand_m3_per_day"), &list("days"))).collect()
        })
        .collect();
    if rows.len() > 1 {
        let list = |name| numbers_of(DETAILS, name, m.run, 0);
        let all = cells(&list("demand_m3_per_day_by_month"), &list("demand_days_by_month"));
        rows.push(std::iter::once("all stock".to_owned()).chain(all).collect());
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
    let columns = std::iter::once(unit.to_owned()).chain(MONTHS.iter().map(|month| (*month).to_owned()));
    let columns = m.in_tank_year(columns.collect());
    let rows: Vec<Vec<String>> = rows.into_iter().map(|row| m.in_tank_year(row)).collect();
    let part = rows.iter().flatten().any(|cell| cell.contains('×'));
    let extras = m.run.plan.draw.groups.iter().any(|group| group.kind != GroupKind::Stock);
    let note = format!(
        "{}Mean times days, summed over the herds{}, gives the last row.",
        if part {
            "Mean of the days on which a herd is present; after ×, the number of days if not the whole month. "
        } else {
            ""
        },
        if extras { " without the extras" } else { "" }
    );
    let table = numbers("Mean daily demand of the stock, waste included", &columns, rows, &note);
    let mut sources = Text::default();
    for group in &m.run.plan.draw.groups {
        sources.0.extend(source(group, m.system).0);
    }
    vec![heading("Stock and what it drinks"), table, Block::Fine(sources)]
}

fn source(group: &Group, system: System) -> Text {
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
    Text::strong(group.name.clone()).then(format!(": {}. ", retold(&from, system)))
}
