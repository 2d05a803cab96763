//! An hour of the march as it is worked on paper.

use super::vessel::Inflow;
use crate::supply;
use crate::tank::ledger::Hour;

/// What an hour of a march came to, step by step.
#[derive(Debug, Clone, PartialEq)]
pub struct MarchedHour {
    /// Each tank, each after the one that feeds it.
    pub tanks: Vec<TankHour>,
    /// Where water is taken, in the order of the names.
    pub places: Vec<PlaceHour>,
    /// Who drinks, in the order of the names.
    pub drinkers: Vec<DrinkerHour>,
    /// The first pump's whole hour without a float; `None` where each hour of the supply stands alone.
    pub pump: Option<supply::Hour>,
    /// Whether what is owed at the hour's end is booked as short and forgotten.
    pub books: bool,
    /// Taken by the booster, Wh, and in its battery at the hour's end, Wh.
    pub booster_wh: f64,
    /// In the booster's battery at the hour's end, Wh.
    pub battery_wh: f64,
}

/// A tank in one hour.
#[derive(Debug, Clone, PartialEq)]
pub struct TankHour {
    /// Its number in the plan: the tank that the first pump fills is 0.
    pub number: usize,
    /// In it at the hour's start, m³.
    pub stored_m3: f64,
    /// Whether its float lets pumps run.
    pub float_permits: bool,
    /// Offered by pumps as if no float stopped them, by inflows with a valve, by inflows that run on, by a backup, m³; from
    /// another tank what came.
    pub offered: Inflow,
    /// In it and coming to it, m³: what can be given in the hour.
    pub at_hand_m3: f64,
    /// The tanks that it feeds, by number, with what each was given, m³.
    pub passed_on_m3: Vec<(usize, f64)>,
    /// Asked of it for gardens, m³.
    pub garden_m3: f64,
    /// Lost to the air and through leaks, at most, m³.
    pub losses_m3: [f64; 2],
    /// What it did.
    pub hour: Hour<1>,
    /// What it let in.
    pub let_in: Inflow,
    /// In it at the hour's end, m³.
    pub left_m3: f64,
}

/// A place at which they drink, in one hour.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaceHour {
    /// Name of the tank or of the hydrant.
    pub name: String,
    /// Number of the hydrant; `None` at a tank.
    pub hydrant: Option<usize>,
    /// Number of the tank that its water comes from.
    pub tank: usize,
    /// In the trough at the hour's start, m³; nothing at the tank.
    pub before_m3: f64,
    /// What it could take of a tank that has enough, m³.
    pub could_m3: f64,
    /// Its share of what the tank has, m³.
    pub share_m3: f64,
    /// What it took, m³.
    pub taken_m3: f64,
    /// In the trough at the hour's end, m³; nothing at the tank.
    pub left_m3: f64,
    /// What of all wants there is lacking in this hour by cause, m³; at the tank only its being empty counts, as 1.
    pub causes_m3: [f64; 4],
}

/// A herd, or an extra such as wildlife, in one hour.
#[derive(Debug, Clone, PartialEq)]
pub struct DrinkerHour {
    /// Name in the scheme.
    pub name: String,
    /// Whether it is of the herd: only then is anything owed to it.
    pub stock: bool,
    /// Where it drinks, as an index into the places; `None` where it is nowhere.
    pub place: Option<usize>,
    /// Owed from earlier hours of the day, m³.
    pub owed_before_m3: f64,
    /// Demand of the hour, m³.
    pub demand_m3: f64,
    /// Drunk, m³.
    pub drunk_m3: f64,
    /// Not drunk, m³: owed, or of extras not had.
    pub lacks_m3: f64,
    /// What was owed by cause before it, m³: frozen, pump or pipe too small, battery empty, tank empty.
    pub owed_before_by_cause_m3: [f64; 4],
    /// What is owed by cause at its end, m³.
    pub owed_by_cause_m3: [f64; 4],
}
