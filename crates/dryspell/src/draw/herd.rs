//! A herd whose settings have been checked against the record.

use super::classes::{Curve, DayAir};
use super::presence::{self, Whereabouts};
use super::{Group, GroupKind, Need, Settings};
use crate::calendar::{Calendar, HOURS_PER_DAY};
use crate::fault::{Fault, FaultKind, Faults};

/// A pattern given by hand may miss 1 by a rounding in its last digit.
const SUM_TOLERANCE: f64 = 1e-6;

/// One group on one day.
#[derive(Debug, Clone, Copy)]
pub(super) struct GroupDay<'a> {
    /// Where it is.
    pub(super) place: Whereabouts<'a>,
    /// Heads that are there.
    pub(super) heads: f64,
    /// Need of one head, waste included, m³.
    pub(super) head_m3: f64,
}

impl GroupDay<'_> {
    /// Need of the group, m³.
    pub(super) fn day_m3(self) -> f64 {
        self.heads * self.head_m3
    }
}

/// Settings, record and the tables looked up once.
#[derive(Debug)]
pub(super) struct Herd<'a> {
    groups: &'a [Group],
    curves: Vec<Option<Curve>>,
    calendar: &'a Calendar,
    air_degc: &'a [f64],
}

impl<'a> Herd<'a> {
    pub(super) fn new(
        settings: &'a Settings,
        calendar: &'a Calendar,
        air_degc: &'a [f64],
    ) -> Result<Self, Faults> {
        let mut faults = Vec::new();
        if air_degc.len() != calendar.hours() {
            faults.push(Fault::at_key(
                "weather.air_degc",
                FaultKind::Weather,
                format!("{} values", air_degc.len()),
                format!("{} hours need as many values", calendar.hours()),
                "use the record that the calendar belongs to",
            ));
        }
        let mut curves = Vec::with_capacity(settings.groups.len());
        for group in &settings.groups {
            faults.extend(check(group));
            faults.extend(presence::faults(group));
            let curve = match &group.need {
                Need::Class { class, animal } => match class.curve(animal) {
                    Ok(curve) => {
                        faults.extend(check_forage(group, Some(&curve)));
                        Some(curve)
                    }
                    Err(wrong) => {
                        faults.extend(wrong.into_iter().map(|fault| under(group, fault)));
                        None
                    }
                },
                Need::ByMonth(_) | Need::ShareOfHerd(_) => {
                    faults.extend(check_forage(group, None));
                    None
                }
            };
            curves.push(curve);
        }
        if faults.is_empty() {
            Ok(Self { groups: &settings.groups, curves, calendar, air_degc })
        } else {
            Err(faults.into())
        }
    }

    /// Air temperatures of a local day.
    pub(super) fn air(&self, day: usize) -> DayAir {
        let first = day * HOURS_PER_DAY;
        DayAir::of(&self.air_degc[first..first + HOURS_PER_DAY])
    }

    /// Every group on a day of that air, in the order of the settings.
    pub(super) fn groups_on(&self, day: usize, air: DayAir) -> Vec<GroupDay<'a>> {
        let mut out: Vec<GroupDay<'a>> =
            (0..self.groups.len()).map(|i| self.group_day(i, day, air)).collect();
        let stock_m3: f64 = out
            .iter()
            .zip(self.groups)
            .filter(|(_, g)| g.kind == GroupKind::Stock)
            .map(|(d, _)| d.day_m3())
            .sum();
        for (on_day, group) in out.iter_mut().zip(self.groups) {
            if let Need::ShareOfHerd(share) = group.need {
                on_day.head_m3 = share * stock_m3 * (1.0 + group.waste);
            }
        }
        out
    }

    /// Need of group `i` by itself.
    fn group_day(&self, i: usize, day: usize, air: DayAir) -> GroupDay<'a> {
        let group = &self.groups[i];
        let date = self.calendar.days()[day];
        let place = group.whereabouts(date.month_day());
        let month = usize::from(date.month.clamp(1, 12)) - 1;
        let drinks_m3 = match (&group.need, &self.curves[i]) {
            (Need::ByMonth(months), _) => months[month],
            (Need::Class { .. }, Some(curve)) => {
                let all = curve.litres_per_day(air);
                let in_forage = group.forage.as_ref().map_or(0.0, |forage| {
                    let eats = forage.dry_matter_kg.or(curve.dry_matter_kg()).unwrap_or(0.0);
                    forage_litres(eats, forage.moisture[month])
                });
                (all - in_forage).max(0.0) / 1000.0
            }
            // The share is put in once all others are known.
            (Need::Class { .. } | Need::ShareOfHerd(_), _) => 0.0,
        };
        let heads = if place == Whereabouts::Away { 0.0 } else { group.count_on(date.month_day()) };
        GroupDay { place, heads, head_m3: drinks_m3 * (1.0 + group.waste) }
    }
}

/// Water in forage that holds so much dry matter, L: `D m / (1 − m)`, with the moisture `m` as a share of its mass.
///
/// ```
/// // 11.34 kg of dry matter in pasture of 80 % moisture carry four times their mass of water: 45.4 L.
/// assert!((dryspell::draw::forage_litres(11.34, 0.8) - 45.36).abs() < 1e-9);
/// ```
#[must_use]
pub fn forage_litres(dry_matter_kg: f64, moisture: f64) -> f64 {
    dry_matter_kg * moisture / (1.0 - moisture)
}

/// The fault of an hour that the record does not have.
pub(super) fn no_such_hour(h: usize, hours: usize) -> Fault {
    Fault::at_key(
        "hour",
        FaultKind::OutOfRange,
        format!("hour {h}"),
        format!("the record has the hours 0 to {}", hours.saturating_sub(1)),
        "name an hour of the record",
    )
}

/// The same fault below the group's key.
fn under(group: &Group, mut fault: Fault) -> Fault {
    let key = fault.location.key.unwrap_or_default();
    fault.location.key = Some(format!("{}.{}.{key}", group.kind.table(), group.name));
    fault
}

fn check_forage(group: &Group, curve: Option<&Curve>) -> Vec<Fault> {
    let Some(forage) = &group.forage else { return Vec::new() };
    let mut faults = Vec::new();
    let mut refuse = |key: &str, kind: FaultKind, found: String, accepted: &str, way_out: &str| {
        faults.push(under(group, Fault::at_key(key, kind, found, accepted, way_out)));
    };
    let counts = matches!(&group.need, Need::Class { class, .. } if class.counts_feed_water);
    if !counts {
        refuse(
            "forage_moisture",
            FaultKind::Contradiction,
            "forage water would be deducted from a figure of water drunk".to_string(),
            "only with a class whose figure includes the water in the feed",
            "remove it",
        );
    } else if forage.dry_matter_kg.or(curve.and_then(Curve::dry_matter_kg)).is_none() {
        refuse(
            "dry_matter",
            FaultKind::MissingKey,
            "this key is missing".to_string(),
            "needed with forage_moisture: the class does not say what the animal eats",
            "add dry_matter",
        );
    }
    if let Some(m) = forage.moisture.iter().position(|m| !(0.0..1.0).contains(m)) {
        refuse(
            "forage_moisture",
            FaultKind::OutOfRange,
            format!("{} in month {}", forage.moisture[m], m + 1),
            "a moisture must be 0 or more and below 1",
            "give the share of water in the forage",
        );
    }
    faults
}

fn check(group: &Group) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut refuse = |key: &str, found: String, accepted: &str, way_out: &str| {
        faults.push(under(group, Fault::at_key(key, FaultKind::OutOfRange, found, accepted, way_out)));
    };
    let counts = std::iter::once(&group.count).chain(group.counts.iter().map(|c| &c.1));
    for count in counts.filter(|n| !(n.is_finite() && **n >= 0.0)) {
        refuse("count", format!("{count} head"), "a count must be 0 or more", "give the number of heads");
    }
    if !(group.waste.is_finite() && group.waste >= 0.0) {
        refuse(
            "waste",
            format!("{}", group.waste),
            "a waste must be 0 or more",
            "give a share of what they drink",
        );
    }
    let needs: &[f64] = match &group.need {
        Need::ByMonth(months) => months,
        Need::ShareOfHerd(share) => std::slice::from_ref(share),
        Need::Class { .. } => &[],
    };
    if let Some(m) = needs.iter().position(|v| !(v.is_finite() && *v >= 0.0)) {
        refuse(
            "need",
            format!("{} m3 in month {}", needs[m], m + 1),
            "a need must be 0 or more",
            "give what one head drinks in a day",
        );
    }
    if let Some(hour) = group.pattern.iter().position(|s| !(0.0..=1.0).contains(s)) {
        refuse(
            "pattern",
            format!("{} in hour {hour}", group.pattern[hour]),
            "a share must be between 0 and 1",
            "give 24 shares of the day that sum to 1, or the name of a preset",
        );
        return faults;
    }
    let sum: f64 = group.pattern.iter().sum();
    if (sum - 1.0).abs() > SUM_TOLERANCE {
        refuse(
            "pattern",
            format!("shares that sum to {sum}"),
            "24 shares sum to 1",
            "divide each share by their sum, or give the name of a preset",
        );
    }
    faults
}
