//! Each hydrant's trough held against the published rules.

use crate::calendar::HOURS_PER_DAY;
use crate::draw::Need;
use crate::draw::trough::{Advice, Arrival, Watering, advice};
use crate::simulate::Run;
use crate::tank::Settings;
use crate::units::{Quantity, System, show};

/// A hydrant's trough and who drinks from it on its hardest day.
#[derive(Debug, Clone, PartialEq)]
pub struct TroughCheck {
    /// Name of the hydrant.
    pub hydrant: String,
    /// The day with the largest demand there, as an index into the record.
    pub day: usize,
    /// Trough, refill and herd.
    pub watering: Watering,
    /// The rules, each with what it asks and what there is.
    pub advice: Vec<Advice>,
}

/// The troughs of all hydrants at which anything drinks.
#[must_use]
pub fn troughs(run: &Run) -> Vec<TroughCheck> {
    let Some((settings, columns)) = run.plan.delivery.as_ref().zip(run.delivery.as_ref()) else {
        return Vec::new();
    };
    settings
        .hydrants
        .iter()
        .zip(&columns.hydrants)
        .filter_map(|(hydrant, found)| {
            let number = run.draw.places.iter().position(|p| p.name == hydrant.name)?;
            let demand = &run.draw.places[number].demand_m3;
            let sums: Vec<f64> = demand.chunks(HOURS_PER_DAY).map(|d| d.iter().sum()).collect(); // The first of equals.
            let day = (0..sums.len()).max_by(|a, b| sums[*a].total_cmp(&sums[*b]).then(b.cmp(a)))?;
            if sums[day] <= 0.0 {
                return None;
            }
            let hours = &demand[day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY];
            let date = run.calendar.days()[day].month_day();
            let there: Vec<_> = run
                .plan
                .draw
                .groups
                .iter()
                .zip(&run.draw.stays)
                .filter(|(_, stays)| stays.place_of_day[day] == Some(number))
                .map(|(group, _)| group)
                .collect();
            let heads = there
                .iter()
                .map(|g| g.counts.iter().find(|(span, _)| span.contains(date)).map_or(g.count, |(_, n)| *n))
                .sum();
            let sheep = there.iter().any(|g| match &g.need {
                Need::Class { class, .. } => class.name.contains("ewe") || class.name.contains("lamb"),
                Need::ByMonth(_) | Need::ShareOfHerd(_) => false,
            });
            let number = run.plan.tank_number(hydrant.tank.as_deref()).unwrap_or_default();
            let tank = run.plan.tanks().nth(number);
            let watering = Watering {
                heads,
                day_m3: sums[day],
                peak_hour_m3: hours.iter().copied().fold(0.0, f64::max),
                trough_m3: hydrant.trough_m3,
                refill_m3_per_h: found.alone_m3_per_h,
                storage_m3: hydrant.trough_m3 + tank.map_or(0.0, Settings::full_m3),
                // Where nothing is known they are taken to come together: the side that asks more.
                coming: hydrant.walk_m.and_then(Arrival::from_distance_m).unwrap_or(Arrival::Together),
                unreliable: false,
                sheep,
            };
            Some(TroughCheck { hydrant: hydrant.name.clone(), day, watering, advice: advice(&watering) })
        })
        .collect()
}

/// One rule in words: what it asks, what there is, where it is published.
#[must_use]
pub fn rule_text(advice: &Advice, system: System) -> String {
    let quantity = if advice.unit == "m3/h" { Quantity::Flow } else { Quantity::Volume };
    let text = |v: f64| show(v, quantity, system);
    format!(
        "{}: {} {} needed, {} provided ({})",
        advice.rule.name(),
        advice.what,
        text(advice.needed),
        text(advice.found),
        advice.rule.source()
    )
}
