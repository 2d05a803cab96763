//! Figures of several tanks and of several wells, a row each.

use super::{Field, Figure};
use crate::simulate::{LiftBook, Run, TankBook};

/// A figure of a row of a list of books.
macro_rules! of_book {
    ($list:ident: $book:ty, $name:literal, $unit:literal, $meaning:literal, $get:expr $(,)?) => {
        Field {
            name: $name,
            unit: $unit,
            meaning: $meaning,
            get: |run, i| {
                let get: fn(&Run, &$book) -> Figure = $get;
                run.$list.get(i).map_or(Figure::Null, |book| get(run, book))
            },
        }
    };
}

/// A figure of a tank.
macro_rules! of_tank {
    ($($field:tt)*) => { of_book!(tanks: TankBook, $($field)*) };
}

/// A figure of a well.
macro_rules! of_well {
    ($($field:tt)*) => { of_book!(lifts: LiftBook, $($field)*) };
}

/// Every tank where there are several: a row each, first the one that the first pump fills, then the others in the order of the plan.
pub const TANKS: &[Field] = &[
    of_tank!("name", "", "name in the scheme", |_, t| Figure::Text(t.name.clone())),
    of_tank!("capacity_m3", "m3", "usable volume", |_, t| t.capacity_m3.into()),
    of_tank!("full_m3", "m3", "volume up to its float stop, or to the overflow without a float", |_, t| {
        t.full_m3.into()
    }),
    of_tank!("lowest_m3", "m3", "lowest level at the end of an hour", |_, t| {
        t.lowest().map(|(level, _)| level).into()
    }),
    of_tank!("lowest_at", "", "the first hour that ended with it", |run, t| {
        t.lowest().map_or(Figure::Null, |(_, h)| Figure::Text(run.calendar.start_text(h)))
    }),
    of_tank!("empty_hours", "h", "hours that end with it empty", |_, t| t.empty_hours.into()),
    of_tank!("ledger_m3.start", "m3", "in it at the start of the record", |_, t| t.start_m3.into()),
    of_tank!("ledger_m3.pumped", "m3", "pumped into it from wells", |_, t| t.pumped_m3.into()),
    of_tank!("ledger_m3.inflow", "m3", "let in from inflows", |_, t| t.inflow_m3.into()),
    of_tank!("ledger_m3.from_tank", "m3", "from another tank", |_, t| t.from_tank_m3.into()),
    of_tank!("ledger_m3.drawn", "m3", "to animals and hydrants", |_, t| t.drawn_m3.into()),
    of_tank!("ledger_m3.garden", "m3", "to gardens", |_, t| t.garden_m3.into()),
    of_tank!("ledger_m3.to_tanks", "m3", "to other tanks", |_, t| t.passed_on_m3.into()),
    of_tank!("ledger_m3.spilled", "m3", "over the top", |_, t| t.spilled_m3.into()),
    of_tank!("ledger_m3.evaporated", "m3", "to the air", |_, t| t.evaporated_m3.into()),
    of_tank!("ledger_m3.leaked", "m3", "through leaks", |_, t| t.leaked_m3.into()),
    of_tank!("ledger_m3.end", "m3", "in it at the end of the record", |_, t| t.end_m3.into()),
    of_tank!("residual", "", "what is missing in its ledger, as a share of its largest sum", |_, t| {
        t.residual().into()
    }),
];

/// Every well where there are several: a row each, first the scheme's own, whose name is empty, then the further ones.
pub const WELLS: &[Field] = &[
    of_well!("name", "", "name in the scheme; empty for the first", |_, w| Figure::Text(w.name.clone())),
    of_well!("into", "", "the tank that it fills", |_, w| Figure::Text(w.into.clone())),
    of_well!("available_m3", "m3", "what its pump could have lifted into the tank", |_, w| w
        .available_m3
        .into()),
    of_well!("pumped_m3", "m3", "pumped into the tank", |_, w| w.pumped_m3.into()),
    of_well!(
        "lifted_m3",
        "m3",
        "lifted with the float acting; null where each hour of its supply stands alone",
        |_, w| w.well.map(|well| well.lifted_m3).into()
    ),
    of_well!(
        "running_h",
        "h",
        "time that its pump ran with the float acting; null where each hour of its supply stands alone",
        |_, w| w.well.map(|well| well.running_h).into()
    ),
    of_well!(
        "cut_out_stops",
        "",
        "times that the water fell to its cut-out; null where each hour of its supply stands alone",
        |_, w| w.well.map(|well| well.cut_out_stops).into()
    ),
];
