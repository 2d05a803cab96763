//! Who drinks, how much, by month, and where that figure comes from.

use dryspell::draw::{Group, GroupKind, Need};
use dryspell::results::{DETAILS, HERDS, head_count};
use dryspell::units::{Quantity, System, column_number, column_unit, column_value, retold};

use super::{Matter, days, heading, numbers};
use crate::figures::numbers_of;
use crate::layout::MONTHS;
use crate::model::{Block, Text};

/// Names the row of one head below that of its herd.
const ONE_HEAD: &str = "one head";

/// Litres in a cubic metre.
const L_PER_M3: f64 = 1000.0;

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
        .flat_map(|herd| {
            let list = |name| numbers_of(HERDS, name, m.run, herd);
            let mut name = m.run.draw.by_group_m3_per_day[herd].0.clone();
            let extra = |group: &Group| group.name == name && group.kind != GroupKind::Stock;
            // Of a count that changes by date the note tells.
            if let Some(heads) = head_count(m.run, &name) {
                name.push_str(&format!(" ({heads:.0})"));
            } else if m.run.plan.draw.groups.iter().any(extra) {
                name.push_str(" (extra)");
            }
            let all = std::iter::once(name).chain(cells(&list("demand_m3_per_day"), &list("days"))).collect();
            std::iter::once(all).chain(per_head(m, herd))
        })
        .collect();
    if m.run.draw.by_group_m3_per_day.len() > 1 {
        let list = |name| numbers_of(DETAILS, name, m.run, 0);
        let all = cells(&list("demand_m3_per_day_by_month"), &list("demand_days_by_month"));
        rows.push(std::iter::once("all stock".to_owned()).chain(all).collect());
    }
    rows.push(air(m));
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
        "{}Mean times days, summed over the herds{}, gives the last row. Air: mean of the month.",
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

/// What one head drinks; nothing where no month has a figure.
fn per_head(m: &Matter<'_>, herd: usize) -> Option<Vec<String>> {
    let months = numbers_of(HERDS, "per_head_m3_per_day", m.run, herd);
    let unit = match m.system {
        System::Si => "L/day",
        System::Us => "gal/day",
    };
    let cell = |m3: &Option<f64>| match (m3, m.system) {
        (None, _) => String::new(),
        (Some(m3), System::Si) => format!("{:.1}", m3 * L_PER_M3),
        (Some(m3), System::Us) => format!("{:.1}", column_value(*m3, Quantity::DailyVolume, System::Us)),
    };
    let name = format!("{ONE_HEAD}, {unit}");
    (!months.is_empty()).then(|| std::iter::once(name).chain(months.iter().map(cell)).collect())
}

/// How warm the months are, which sets what most stock drinks.
fn air(m: &Matter<'_>) -> Vec<String> {
    let months = numbers_of(DETAILS, "air_degc_by_month", m.run, 0);
    let cell = |degc: &Option<f64>| {
        degc.map_or_else(String::new, |degc| {
            format!("{:.1}", column_value(degc, Quantity::Temperature, m.system))
        })
    };
    let name = format!("air, {}", column_unit(Quantity::Temperature, m.system));
    std::iter::once(name).chain(months.iter().map(cell)).collect()
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
