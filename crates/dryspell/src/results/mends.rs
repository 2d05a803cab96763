//! What would mend a scheme, as figures.

use super::{Field, Figure};
use crate::mends::Mend;

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
