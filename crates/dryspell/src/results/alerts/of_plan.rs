//! Parts of a run's plan, each with its table in the scheme.

use crate::array::{ArraySettings, Datasheet};
use crate::pipe;
use crate::simulate::Run;

/// Every run of pipe, with its table in the scheme.
pub(super) fn pipes(run: &Run) -> Vec<(String, &pipe::Run)> {
    let well = run.plan.supply.pipe.runs.iter().map(|p| (format!("pipe.{}", p.name), p));
    let shared =
        run.plan.delivery.iter().flat_map(|d| &d.shared).map(|p| (format!("delivery.{}", p.name), p));
    let own = run
        .plan
        .delivery
        .iter()
        .flat_map(|d| &d.hydrants)
        .flat_map(|h| h.runs.iter().map(move |p| (format!("hydrant.{}.pipe.{}", h.name, p.name), p)));
    well.chain(shared).chain(own).collect()
}

/// Every array, with its table in the scheme.
pub(super) fn arrays(run: &Run) -> Vec<(String, &ArraySettings)> {
    let own = run.plan.array.arrays.iter().map(|a| (format!("array.{}", a.name), a));
    let boosters = run.plan.delivery.iter().filter_map(|d| d.booster.as_ref());
    let panels = boosters.flat_map(|b| &b.panel.arrays).map(|a| ("booster.panel".to_owned(), a));
    own.chain(panels).collect()
}

/// Its datasheet, stated or typical; `None` where the five parameters are given.
pub(super) fn sheet(array: &ArraySettings) -> Option<Datasheet> {
    array.module.sheet()
}

/// A value of each module given by its datasheet, under a key.
pub(super) fn of_modules(run: &Run, key: &str, value: fn(&Datasheet) -> f64) -> Vec<(String, f64)> {
    let one =
        |(table, a): (String, &ArraySettings)| Some((format!("{table}.module.{key}"), value(&sheet(a)?)));
    arrays(run).into_iter().filter_map(one).collect()
}
