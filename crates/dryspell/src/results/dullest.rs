//! The dullest days in a row, as figures.

use super::{Field, Figure};
use crate::reliability::dullest::{Dullest, dullest};
use crate::simulate::Run;

/// The dullest days in a row of a run: one for each length that the stock stays for.
#[must_use]
pub fn dullest_days(run: &Run) -> Vec<Dullest> {
    dullest(&run.days, run.outcome.start.level_m3[0], run.repeats())
}

/// The dullest days in a row: a row for each length.
pub const DULLEST: &[Field<[Dullest]>] = &[
    Field {
        name: "days",
        unit: "days",
        meaning: "how many days in a row, all with stock",
        get: |all, i| Figure::Count(all[i].days as u64),
    },
    Field {
        name: "first_day",
        unit: "",
        meaning: "the first of them, day of the record from 0",
        get: |all, i| Figure::Count(all[i].first_day as u64),
    },
    Field {
        name: "plane_kwh_per_m2",
        unit: "kWh/m2",
        meaning: "sun on the panels' plane, all of them together",
        get: |all, i| all[i].plane_kwh_per_m2.into(),
    },
    Field {
        name: "available_m3",
        unit: "m3",
        meaning: "available to the tank from the pump",
        get: |all, i| all[i].available_m3.into(),
    },
    Field {
        name: "pumped_m3",
        unit: "m3",
        meaning: "pumped into the tank",
        get: |all, i| all[i].pumped_m3.into(),
    },
    Field {
        name: "demand_m3",
        unit: "m3",
        meaning: "demand of the stock",
        get: |all, i| all[i].demand_m3.into(),
    },
    Field { name: "short_m3", unit: "m3", meaning: "of it short", get: |all, i| all[i].short_m3.into() },
    Field {
        name: "from_m3",
        unit: "m3",
        meaning: "in the tank at the start of the first day",
        get: |all, i| all[i].from_m3.into(),
    },
    Field { name: "lowest_m3", unit: "m3", meaning: "lowest level", get: |all, i| all[i].lowest_m3.into() },
    Field {
        name: "to_m3",
        unit: "m3",
        meaning: "in the tank at the end of the last day",
        get: |all, i| all[i].to_m3.into(),
    },
];
