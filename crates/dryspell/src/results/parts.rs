//! Figures of the parts of a scheme, a row each: panels, pipes from the well, herds, hydrants.

use super::{Field, Figure};
use crate::calendar::HOURS_PER_DAY;
use crate::delivery::HydrantColumns;
use crate::draw::GroupKind;
use crate::inflow::WhenFull;
use crate::reliability::books::{BookDay, HerdBook};
use crate::simulate::Run;

/// Every array: a row each, in the order of the plan.
pub const ARRAYS: &[Field] = &[
    Field {
        name: "name",
        unit: "",
        meaning: "name in the scheme",
        get: |run, i| Figure::Text(run.plan.array.arrays[i].name.clone()),
    },
    Field {
        name: "module_w",
        unit: "W",
        meaning: "power of a module at its datasheet's point; null where it is given by five parameters",
        get: |run, i| {
            let sheet = run.plan.array.arrays[i].module.sheet();
            sheet.map(|sheet| sheet.imp_a * sheet.vmp_v).into()
        },
    },
    Field {
        name: "rated_w",
        unit: "W",
        meaning: "power of all its modules at the datasheet's point; null where the module is given by five parameters",
        get: |run, i| {
            let array = &run.plan.array.arrays[i];
            let modules = f64::from(array.series) * f64::from(array.parallel);
            array.module.sheet().map(|sheet| modules * sheet.imp_a * sheet.vmp_v).into()
        },
    },
    Field {
        name: "azimuth_deg",
        unit: "deg",
        meaning: "direction that it faces, from north, clockwise",
        get: |run, i| run.plan.array.arrays[i].azimuth_deg.into(),
    },
];

/// Every run of pipe from the well to the tank at the highest flow of the record: a row each, in the water's order.
pub const PIPES: &[Field] = &[
    Field {
        name: "name",
        unit: "",
        meaning: "name in the scheme",
        get: |run, i| Figure::Text(run.head.runs[i].name.clone()),
    },
    Field {
        name: "velocity_m_per_s",
        unit: "m/s",
        meaning: "mean velocity at the highest flow of the record",
        get: |run, i| run.head.runs[i].velocity_m_per_s.into(),
    },
    Field {
        name: "friction_m",
        unit: "m",
        meaning: "friction at that flow",
        get: |run, i| run.head.runs[i].friction_m.into(),
    },
    Field {
        name: "roughness_m",
        unit: "m",
        meaning: "roughness of its wall",
        get: |run, i| run.plan.supply.pipe.runs[i].roughness_m.into(),
    },
    Field {
        name: "fittings_k",
        unit: "",
        meaning: "sum of the loss coefficients of its fittings",
        get: |run, i| run.plan.supply.pipe.runs[i].fittings_k.into(),
    },
];

/// Every herd and other drinker: a row each, in the order of the plan.
pub const HERDS: &[Field] = &[
    Field {
        name: "name",
        unit: "",
        meaning: "name in the scheme",
        get: |run, i| Figure::Text(run.draw.by_group_m3_per_day[i].0.clone()),
    },
    Field {
        name: "demand_m3_per_day",
        unit: "m3/day",
        meaning: "demand of a mean day on which it is there, January first; null where it is not",
        get: |run, i| by_month(run, &run.draw.by_group_m3_per_day[i].1, |sum, days, _| sum / days),
    },
    Field {
        name: "days",
        unit: "days",
        meaning: "days on which it is there, in a mean month of the record, January first; null where it is not",
        get: |run, i| by_month(run, &run.draw.by_group_m3_per_day[i].1, |_, days, times| days / times),
    },
    Field {
        name: "per_head_m3_per_day",
        unit: "m3/day",
        meaning: "of that demand the part of one head, January first; null where it is not there, where its number changes by date, \
                  and of extras",
        get: |run, i| {
            let (name, daily) = &run.draw.by_group_m3_per_day[i];
            let Some(heads) = head_count(run, name) else { return Figure::Null };
            let one: Vec<f64> = daily.iter().map(|m3| m3 / heads).collect();
            by_month(run, &one, |sum, days, _| sum / days)
        },
    },
    Field {
        name: "short_m3",
        unit: "m3",
        meaning: "short by its own book, whatever the cause; null where the columns answer, and for extras",
        get: |run, i| book(run, i).map(|b| b.days.iter().map(BookDay::short_m3).sum::<f64>()).into(),
    },
    Field {
        name: "demand_m3",
        unit: "m3",
        meaning: "demand over the record by its own book; null where the columns answer, and for extras",
        get: |run, i| sum_of(run, i, |day| day.demand_m3),
    },
    Field {
        name: "drunk_m3",
        unit: "m3",
        meaning: "drunk by its own book",
        get: |run, i| sum_of(run, i, |day| day.drunk_m3),
    },
    Field {
        name: "short_by_cause_m3.frozen",
        unit: "m3",
        meaning: "short because the line was frozen or shut",
        get: |run, i| sum_of(run, i, |day| day.short_frozen_m3),
    },
    Field {
        name: "short_by_cause_m3.pump_too_small",
        unit: "m3",
        meaning: "short because booster, pipe and trough were too small for the rush",
        get: |run, i| sum_of(run, i, |day| day.short_too_small_m3),
    },
    Field {
        name: "short_by_cause_m3.battery_empty",
        unit: "m3",
        meaning: "short because the booster's battery was empty",
        get: |run, i| sum_of(run, i, |day| day.short_battery_m3),
    },
    Field {
        name: "short_by_cause_m3.tank_empty",
        unit: "m3",
        meaning: "short because the tank was empty",
        get: |run, i| sum_of(run, i, |day| day.short_tank_m3),
    },
    Field {
        name: "dry_hours",
        unit: "h",
        meaning: "hours that end with it standing dry, on days on which it draws",
        get: |run, i| {
            let dry = |day: &BookDay| if day.demand_m3 > 0.0 { u64::from(day.dry.count_ones()) } else { 0 };
            book(run, i).map_or(Figure::Null, |b| Figure::Count(b.days.iter().map(dry).sum()))
        },
    },
    Field {
        name: "short_days",
        unit: "days",
        meaning: "days on which more than the tolerance of its demand was short",
        get: |run, i| {
            book(run, i).map_or(Figure::Null, |b| Figure::Count(b.short_days(run.plan.tank.tolerance) as u64))
        },
    },
];

/// The book of a herd, where it has one.
fn book(run: &Run, index: usize) -> Option<&HerdBook> {
    let name = &run.draw.by_group_m3_per_day[index].0;
    run.herds.as_ref()?.iter().find(|book| book.name == *name)
}

fn sum_of(run: &Run, index: usize, get: fn(&BookDay) -> f64) -> Figure {
    book(run, index).map(|book| book.days.iter().map(get).sum::<f64>()).into()
}

/// Every inflow besides the pump: a row each, in the order of the plan.
pub const INFLOWS: &[Field] = &[
    Field {
        name: "name",
        unit: "",
        meaning: "name in the scheme",
        get: |run, i| Figure::Text(run.inflows[i].name.clone()),
    },
    Field {
        name: "brought_m3",
        unit: "m3",
        meaning: "what it brings to the tank over the record, whether or not there is room",
        get: |run, i| run.inflows[i].m3.iter().sum::<f64>().into(),
    },
    Field {
        name: "when_full",
        unit: "",
        meaning: "what becomes of it at a full tank",
        get: |run, i| {
            Figure::Text(match run.inflows[i].when_full {
                WhenFull::Refused => "shut off".into(),
                WhenFull::Spilled => "spill".into(),
            })
        },
    },
];

/// Every hydrant: a row each, in the order of the plan.
pub const HYDRANTS: &[Field] = &[
    Field {
        name: "name",
        unit: "",
        meaning: "name in the scheme",
        get: |run, i| hydrant(run, i, |h| Figure::Text(h.name.clone())),
    },
    Field {
        name: "flow_alone_m3_per_h",
        unit: "m3/h",
        meaning: "flow while no other hydrant is open",
        get: |run, i| hydrant(run, i, |h| h.alone_m3_per_h.into()),
    },
    Field {
        name: "flow_all_open_m3_per_h",
        unit: "m3/h",
        meaning: "flow while all hydrants are open",
        get: |run, i| hydrant(run, i, |h| h.together_m3_per_h.into()),
    },
    Field {
        name: "demand_m3",
        unit: "m3",
        meaning: "demand of what drinks there",
        get: |run, i| hydrant(run, i, |h| demand(run, h).iter().sum::<f64>().into()),
    },
    Field {
        name: "short_by_cause_m3.frozen",
        unit: "m3",
        meaning: "short there because the line was frozen or shut",
        get: |run, i| hydrant(run, i, |h| h.short_frozen_m3.iter().sum::<f64>().into()),
    },
    Field {
        name: "short_by_cause_m3.pump_too_small",
        unit: "m3",
        meaning: "short there because booster, pipe and trough were too small for the rush",
        get: |run, i| hydrant(run, i, |h| h.short_too_small_m3.iter().sum::<f64>().into()),
    },
    Field {
        name: "short_by_cause_m3.battery_empty",
        unit: "m3",
        meaning: "short there because the booster's battery was empty",
        get: |run, i| hydrant(run, i, |h| h.short_battery_m3.iter().sum::<f64>().into()),
    },
    Field {
        name: "delivery_shortage_m3",
        unit: "m3",
        meaning: "the sum of the three",
        get: |run, i| {
            hydrant(run, i, |h| {
                let causes = [&h.short_frozen_m3, &h.short_too_small_m3, &h.short_battery_m3];
                causes.map(|hours| hours.iter().sum::<f64>()).iter().sum::<f64>().into()
            })
        },
    },
    Field {
        name: "short_by_cause_m3.tank_empty",
        unit: "m3",
        meaning: "short there because the tank was empty; 0 where the columns answer",
        get: |run, i| hydrant(run, i, |h| h.short_tank_m3.iter().sum::<f64>().into()),
    },
    Field {
        name: "short_days",
        unit: "days",
        meaning: "days on which the delivery shortage there exceeds the tolerance of the demand there",
        get: |run, i| hydrant(run, i, |h| Figure::Count(short_days(run, h))),
    },
];

fn hydrant(run: &Run, index: usize, get: impl FnOnce(&HydrantColumns) -> Figure) -> Figure {
    run.delivery.as_ref().and_then(|found| found.hydrants.get(index)).map_or(Figure::Null, get)
}

/// Demand at a hydrant by hour; nothing where nothing drinks.
fn demand<'a>(run: &'a Run, hydrant: &HydrantColumns) -> &'a [f64] {
    run.draw.places.iter().find(|p| p.name == hydrant.name).map_or(&[], |p| &p.demand_m3)
}

fn short_days(run: &Run, hydrant: &HydrantColumns) -> u64 {
    let mut days = 0;
    for (day, demand) in demand(run, hydrant).chunks(HOURS_PER_DAY).enumerate() {
        let short: f64 = (0..demand.len()).map(|h| hydrant.short_m3(day * HOURS_PER_DAY + h)).sum();
        let demand: f64 = demand.iter().sum();
        days += u64::from(demand > 0.0 && short > run.plan.tank.tolerance * demand);
    }
    days
}

/// Heads of a herd; `None` where their number changes by date, and of what is no stock.
#[must_use]
pub fn head_count(run: &Run, herd: &str) -> Option<f64> {
    let group = run.plan.draw.groups.iter().find(|group| group.name == herd)?;
    (group.kind == GroupKind::Stock && group.counts.is_empty() && group.count > 0.0).then_some(group.count)
}

/// A figure a month from the sum over its days with demand, how many those are, and how often the record holds it.
pub(super) fn by_month(run: &Run, daily_m3: &[f64], get: fn(f64, f64, f64) -> f64) -> Figure {
    let month = |month: u8| {
        let there = || {
            let days = daily_m3.iter().zip(run.calendar.days());
            days.filter(move |(m3, day)| day.month == month && **m3 > 0.0)
        };
        let sum: f64 = there().map(|(m3, _)| m3).sum();
        let days = f64::from(u32::try_from(there().count()).unwrap_or(u32::MAX));
        if days > 0.0 {
            get(sum, days, run.months[usize::from(month) - 1].times).into()
        } else {
            Figure::Null
        }
    };
    Figure::List((1..=12).map(month).collect())
}
