//! Why a run goes short, as figures.

use super::{Field, Figure};
use crate::why::{HeldBack, Spell, Why};

/// What led to the lowest level of the worst spell: one row.
pub const WHY: &[Field<Why>] = &[
    Field {
        name: "first_hour",
        unit: "",
        meaning: "hour of the record, from 0, with which the time looked at begins: the one after a full tank",
        get: |why, _| Figure::Count(why.window.first as u64),
    },
    Field {
        name: "hours",
        unit: "h",
        meaning: "how many hours it has, up to the lowest level",
        get: |why, _| Figure::Count(why.window.length as u64),
    },
    Field {
        name: "from_full",
        unit: "",
        meaning: "whether the tank was full before it; else it begins after its highest level",
        get: |why, _| Figure::Flag(why.window.from_full),
    },
    Field {
        name: "lit_hours",
        unit: "h",
        meaning: "hours of it in which the panels had light",
        get: |why, _| Figure::Count(why.lit_hours as u64),
    },
    Field {
        name: "demand_m3",
        unit: "m3",
        meaning: "demand of the stock in it",
        get: |why, _| why.demand_m3.into(),
    },
    Field {
        name: "pumped_m3",
        unit: "m3",
        meaning: "pumped in it from the first well",
        get: |why, _| why.pumped_m3.into(),
    },
    Field {
        name: "at_full_input_m3",
        unit: "m3",
        meaning: "what the pump would have given in its lit hours with all the power that it can take",
        get: |why, _| why.at_full_input_m3().into(),
    },
    Field {
        name: "starts_at_w_per_m2",
        unit: "W/m2",
        meaning: "irradiance on the panels from which water flows; null where none up to 1500 does",
        get: |why, _| why.starts_at_w_per_m2.into(),
    },
    Field {
        name: "full_from_w_per_m2",
        unit: "W/m2",
        meaning: "irradiance on the panels from which the pump has 98 % of its flow at full input; null where none up to 1500 does",
        get: |why, _| why.full_from_w_per_m2.into(),
    },
    Field {
        name: "cell_degc",
        unit: "degC",
        meaning: "mean temperature of the cells in the lit hours, for both",
        get: |why, _| why.cell_degc.into(),
    },
    Field {
        name: "spell_days",
        unit: "days",
        meaning: "days of the spell with most water short; null where none is",
        get: |why, _| spell(why, |spell| Figure::Count(spell.days as u64)),
    },
    Field {
        name: "spell_short_m3",
        unit: "m3",
        meaning: "short on them",
        get: |why, _| spell(why, |spell| spell.short_m3.into()),
    },
    Field {
        name: "spell_short_by_cause_m3.frozen",
        unit: "m3",
        meaning: "of it because the line was frozen or shut",
        get: |why, _| spell(why, |spell| spell.by_cause_m3[0].into()),
    },
    Field {
        name: "spell_short_by_cause_m3.pump_too_small",
        unit: "m3",
        meaning: "of it because booster, pipe and trough were too small for the rush",
        get: |why, _| spell(why, |spell| spell.by_cause_m3[1].into()),
    },
    Field {
        name: "spell_short_by_cause_m3.battery_empty",
        unit: "m3",
        meaning: "of it because the booster's battery was empty",
        get: |why, _| spell(why, |spell| spell.by_cause_m3[2].into()),
    },
    Field {
        name: "spell_short_by_cause_m3.tank_empty",
        unit: "m3",
        meaning: "of it because the tank was empty",
        get: |why, _| spell(why, |spell| spell.by_cause_m3[3].into()),
    },
];

fn spell(why: &Why, get: fn(&Spell) -> Figure) -> Figure {
    why.spell.as_ref().map_or(Figure::Null, get)
}

/// What held the flow back in that time, most first and night last: a row each.
pub const HELD_BACK: &[Field<Why>] = &[
    Field {
        name: "by",
        unit: "",
        meaning: "what held the flow back",
        get: |why, i| held(why, i, |held| Figure::Text(held.by.word().into())),
    },
    Field {
        name: "m3",
        unit: "m3",
        meaning: "what is missing for it against the flow at full input",
        get: |why, i| held(why, i, |held| held.m3.into()),
    },
    Field {
        name: "hours",
        unit: "h",
        meaning: "hours in which something is",
        get: |why, i| held(why, i, |held| Figure::Count(held.hours.into())),
    },
];

fn held(why: &Why, row: usize, get: fn(&HeldBack) -> Figure) -> Figure {
    why.held_back.get(row).map_or(Figure::Null, get)
}
