//! What would mend a scheme, and what it asks of itself, as figures.

use super::{Field, Figure};
use crate::mends::Mend;
use crate::sensitivity::Line;

/// What would mend it: a row for each change that was tried.
pub const MENDS: &[Field<[Mend]>] = &[
    Field {
        name: "change",
        unit: "",
        meaning: "the one thing changed",
        get: |all, i| Figure::Text(all[i].what.clone()),
    },
    Field {
        name: "shortfall_days_per_year",
        unit: "days/year",
        meaning: "days of shortfall a year with it",
        get: |all, i| all[i].days.into(),
    },
    Field {
        name: "full_tank_days",
        unit: "days",
        meaning: "how long a full tank lasts with it, from the worst start hour",
        get: |all, i| all[i].autonomy_days.into(),
    },
    Field {
        name: "goal_met",
        unit: "",
        meaning: "whether the goal is met with it; null without a goal",
        get: |all, i| all[i].goal_met.map_or(Figure::Null, Figure::Flag),
    },
    Field {
        name: "cost",
        unit: "",
        meaning: "what it costs by the scheme's prices; null where they do not tell",
        get: |all, i| all[i].cost.into(),
    },
];

/// The scheme's own questions: a row each.
pub const WHAT_IF: &[Field<[Line]>] = &[
    Field {
        name: "question",
        unit: "",
        meaning: "its name",
        get: |all, i| Figure::Text(all[i].what.clone()),
    },
    Field {
        name: "shortfall_days_per_year",
        unit: "days/year",
        meaning: "days of shortfall a year; null where it cannot run",
        get: |all, i| all[i].days.into(),
    },
    Field {
        name: "full_tank_days",
        unit: "days",
        meaning: "how long a full tank lasts, from the worst start hour",
        get: |all, i| all[i].autonomy_days.into(),
    },
    Field {
        name: "note",
        unit: "",
        meaning: "why it cannot run; null where it can",
        get: |all, i| all[i].note.clone().map_or(Figure::Null, Figure::Text),
    },
];
