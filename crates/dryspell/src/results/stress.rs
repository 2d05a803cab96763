//! What breaks a scheme first, as figures.

use super::{Field, Figure};
use crate::stress::{Aged, Bearing, Stress};

/// What a scheme bears of each stress, by itself: a row each.
pub const STRESSES: &[Field<Bearing>] = &[
    Field {
        name: "stress",
        unit: "",
        meaning: "what is done to the scheme",
        get: |all, i| stress(all, i, |stress| Figure::Text(stress.kind.word().into())),
    },
    Field {
        name: "breaks_at",
        unit: "",
        meaning: "the least of it, in the unit of its row, that leaves a day short or breaks the goal; null where the most tried does not",
        get: |all, i| stress(all, i, |stress| stress.breaks_at.into()),
    },
    Field {
        name: "unit",
        unit: "",
        meaning: "unit of the two amounts",
        get: |all, i| stress(all, i, |stress| Figure::Text(stress.kind.unit().into())),
    },
    Field {
        name: "most_tried",
        unit: "",
        meaning: "the most of it that was tried",
        get: |all, i| stress(all, i, |stress| stress.most.into()),
    },
    Field {
        name: "shortfall_days_per_year",
        unit: "days/year",
        meaning: "days of shortfall a year with the least that breaks it; null where nothing breaks it, or it cannot run",
        get: |all, i| stress(all, i, |stress| stress.short_days.into()),
    },
    Field {
        name: "first_day",
        unit: "",
        meaning: "first day of the record, from 0, of an outage that breaks it; null for what acts at all times",
        get: |all, i| {
            stress(all, i, |stress| stress.first_day.map_or(Figure::Null, |day| Figure::Count(day as u64)))
        },
    },
];

fn stress(all: &Bearing, row: usize, get: impl Fn(&Stress) -> Figure) -> Figure {
    all.stresses.get(row).map_or(Figure::Null, get)
}

/// Modules, pump and herd older together: a row for each age.
pub const AGED: &[Field<Bearing>] = &[
    Field {
        name: "years",
        unit: "years",
        meaning: "how old",
        get: |all, i| aged(all, i, |aged| Figure::Count(aged.years.into())),
    },
    Field {
        name: "shortfall_days_per_year",
        unit: "days/year",
        meaning: "days of shortfall a year then; null where the scheme cannot run any more",
        get: |all, i| aged(all, i, |aged| aged.short_days.into()),
    },
    Field {
        name: "broken",
        unit: "",
        meaning: "whether a day is short, or the goal broken",
        get: |all, i| aged(all, i, |aged| Figure::Flag(aged.broken)),
    },
];

fn aged(all: &Bearing, row: usize, get: impl Fn(&Aged) -> Figure) -> Figure {
    all.aged.get(row).map_or(Figure::Null, get)
}
