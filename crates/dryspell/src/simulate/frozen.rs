//! Which ways are frozen, and when.

use crate::fault::Faults;
use crate::frost::{self, FrostReport, GroundFrost, Kind, Way};
use crate::record::Record;

use super::Run;

/// The hours in which frost stops a way.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FrozenHours {
    /// Each part of the scheme.
    pub parts: frost::Columns,
    /// From the well to the tank: empty where no part stops it.
    pub supply: Vec<bool>,
    /// To each hydrant, in the order of the settings: empty where no part stops any.
    pub hydrants: Vec<Vec<bool>>,
    /// Ways between tanks and from further wells that some part stops.
    pub others: Vec<(Way, Vec<bool>)>,
    /// How deep the frost goes; `None` where the scheme says nothing about frost.
    pub ground: Option<GroundFrost>,
}

impl FrozenHours {
    /// The ways of a scheme in a record: `hydrants` are their names, in order.
    ///
    /// # Errors
    /// Frost settings outside their range.
    pub fn of(
        settings: Option<&frost::Settings>,
        hydrants: &[String],
        record: &Record,
    ) -> Result<Self, Faults> {
        let Some(settings) = settings else { return Ok(Self::default()) };
        let parts = frost::columns(settings, record)?;
        let hours = record.hours();
        let stopped = |stops: &dyn Fn(&Way) -> bool| -> Vec<bool> {
            let names: Vec<&str> = settings
                .parts
                .iter()
                .filter(|p| p.stops.iter().any(stops))
                .map(|p| p.name.as_str())
                .collect();
            if names.is_empty() { Vec::new() } else { parts.any(&names, hours) }
        };
        let supply = stopped(&|way| *way == Way::Supply);
        let mut hydrants: Vec<Vec<bool>> = hydrants
            .iter()
            .map(|hydrant| {
                stopped(&|way| match way {
                    Way::Supply | Way::Tank(_) | Way::Lift(_) => false,
                    Way::Delivery => true,
                    Way::Hydrant(name) => name == hydrant,
                })
            })
            .collect();
        if hydrants.iter().all(Vec::is_empty) {
            hydrants.clear();
        } else {
            hydrants.iter_mut().filter(|h| h.is_empty()).for_each(|h| *h = vec![false; hours]);
        }
        let mut others: Vec<(Way, Vec<bool>)> = Vec::new();
        for way in settings.parts.iter().flat_map(|part| &part.stops) {
            let other = matches!(way, Way::Tank(_) | Way::Lift(_));
            if other && !others.iter().any(|(known, _)| known == way) {
                others.push((way.clone(), stopped(&|stops| stops == way)));
            }
        }
        Ok(Self { parts, supply, hydrants, others, ground: Some(frost::ground_frost(settings, record)?) })
    }

    /// Whether frost stops anything in any hour.
    #[must_use]
    pub fn stops_anything(&self) -> bool {
        let others = self.others.iter().map(|(_, hours)| hours);
        self.supply.contains(&true) || self.hydrants.iter().chain(others).any(|h| h.contains(&true))
    }

    /// The hours in which a way between tanks or from a further well is frozen; empty where none stops it.
    pub(super) fn of_way(&self, way: &Way) -> Vec<bool> {
        self.others.iter().find(|(known, _)| known == way).map_or_else(Vec::new, |(_, hours)| hours.clone())
    }

    /// Hours in which the way from the well is frozen.
    #[must_use]
    pub fn supply_hours(&self) -> usize {
        self.supply.iter().filter(|f| **f).count()
    }
}

/// What there is to say about frost in a run; `None` where the scheme has no such table. Open water is fed by what the
/// run brought to it.
///
/// # Errors
/// Frost settings outside their range.
pub fn frost_report(run: &Run, record: &Record) -> Result<Option<FrostReport>, Faults> {
    let Some(settings) = &run.plan.frost else { return Ok(None) };
    let pumped: Vec<f64> = run.hours.iter().map(|h| h.pumped_m3[0]).collect();
    let none = vec![0.0; record.hours()];
    let inflows: Vec<&[f64]> = settings
        .parts
        .iter()
        .filter(|p| matches!(p.kind, Kind::Open(_)))
        .map(|p| match (&p.fed_by, &run.delivery) {
            (Some(Way::Supply), _) => pumped.as_slice(),
            (Some(Way::Delivery), Some(d)) => d.requested_m3.as_slice(),
            (Some(Way::Hydrant(name)), Some(d)) => d
                .hydrants
                .iter()
                .find(|h| h.name == *name)
                .map_or(none.as_slice(), |h| h.requested_m3.as_slice()),
            _ => none.as_slice(),
        })
        .collect();
    frost::report(settings, record, &inflows).map(Some)
}
