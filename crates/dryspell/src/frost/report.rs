//! What there is to say about frost.

use super::buried::Ground;
use super::drain::{Drains, drains};
use super::exposed::standing_hours;
use super::ice::{OpenWater, UNBROKEN_ICE_M, ice_hours};
use super::index::{Winter, daily_means, winters};
use super::part::{Drain, Kind, Settings, check, mean_annual_degc, stands};
use super::{FrostDepth, frost_depth};
use crate::calendar::{Calendar, DateSpan, MonthDay};
use crate::fault::Faults;
use crate::record::{Record, YearKind};

/// What a frost depth rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Basis {
    /// The user's design index: a word of pass or fail may be said.
    Design,
    /// A typical or synthetic year: typical winter, not design.
    TypicalWinter,
    /// The coldest of so many measured winters; still not design.
    ColdestOf(usize),
    /// No whole winter in the record and no design index: no depth.
    None,
}

impl Basis {
    /// In words.
    #[must_use]
    pub fn text(self) -> String {
        match self {
            Self::Design => "design index given".into(),
            Self::TypicalWinter => "typical winter, not design".into(),
            Self::ColdestOf(1) => "one winter, not design".into(),
            Self::ColdestOf(n) => format!("coldest of {n} winters, not design"),
            Self::None => "no whole winter in the record".into(),
        }
    }
}

/// Cover against frost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Design index: the cover is deeper than the frost.
    Passes,
    /// Design index: it is not.
    Fails,
    /// No design index: the cover is deeper than that winter's frost, and no more is said.
    Deeper,
    /// No design index: it is shallower.
    Shallower,
    /// Nothing can be said.
    Unknown,
}

impl Verdict {
    /// In words.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Passes => "passes",
            Self::Fails => "fails",
            Self::Deeper => "deeper",
            Self::Shallower => "shallower",
            Self::Unknown => "unknown",
        }
    }
}

/// A buried part.
#[derive(Debug, Clone, PartialEq)]
pub struct BuriedReport {
    /// Cover, m.
    pub cover_m: f64,
    /// The cover against the frost.
    pub verdict: Verdict,
}

/// A time in which an exposed part holds ice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Event {
    /// First hour of the record.
    pub from_hour: usize,
    /// Hours; it may go round the end of a one-year record.
    pub hours: usize,
    /// Lowest air temperature in it, °C.
    pub lowest_degc: f64,
    /// Greatest share of the water that was ice at an hour's end.
    pub most_ice: f64,
}

/// An exposed part, as if water always stood in it.
#[derive(Debug, Clone, PartialEq)]
pub struct ExposedReport {
    /// Whether it empties in time by itself (`None`: it does not empty itself).
    pub drains: Option<Drains>,
    /// Whether water that can freeze stands in it.
    pub stands: bool,
    /// Hours in which standing water would hold ice.
    pub hours: usize,
    /// The events in which it would.
    pub events: Vec<Event>,
    /// Time from the well's temperature to 0 °C in the record's coldest hour, h.
    pub to_zero_h: Option<f64>,
    /// From there to solid ice in the same air, h; not to be counted on.
    pub to_solid_h: Option<f64>,
}

impl ExposedReport {
    /// Hours of the record in which the part would hold ice on dates on which it is not emptied.
    #[must_use]
    pub fn hours_outside(&self, emptied: &[DateSpan], calendar: &Calendar) -> usize {
        let all = calendar.hours();
        let hours = self.events.iter().flat_map(|event| event.from_hour..event.from_hour + event.hours);
        hours
            .filter(|h| {
                let day = calendar.day_of(h % all);
                !emptied.iter().any(|span| span.contains(MonthDay { month: day.month, day: day.day }))
            })
            .count()
    }
}

/// Open water.
#[derive(Debug, Clone, PartialEq)]
pub struct OpenReport {
    /// Thickest ice with the inflow given, m.
    pub most_ice_m: f64,
    /// Hours with any ice.
    pub ice_hours: usize,
    /// Hours with ice that cattle do not reliably break ([`UNBROKEN_ICE_M`]).
    pub unbroken_hours: usize,
    /// The same three without inflow: thickest, m.
    pub most_ice_without_inflow_m: f64,
    /// Hours with any ice without inflow.
    pub ice_hours_without_inflow: usize,
    /// Hours that the inflow kept open: with ice without it, and none with it.
    pub kept_open_hours: usize,
    /// Inflow that would keep it open in the record's coldest day, m³/h.
    pub keeps_open_m3_per_h: f64,
}

/// One part.
#[derive(Debug, Clone, PartialEq)]
pub enum PartReport {
    /// In the ground.
    Buried(BuriedReport),
    /// In the air.
    Exposed(ExposedReport),
    /// Open to the sky.
    Open(OpenReport),
}

/// How deep the frost goes in a record, and what that rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct GroundFrost {
    /// Each whole winter of the record.
    pub winters: Vec<Winter>,
    /// The winter with the greatest index; the first of equals.
    pub coldest: Option<Winter>,
    /// What the depth rests on.
    pub basis: Basis,
    /// Index that the depth is for, of the air, °C·day.
    pub index_degc_days: Option<f64>,
    /// Days of the freezing season that goes with it: of the settings, or of the coldest winter.
    pub days: f64,
    /// Mean annual air temperature of the record, °C.
    pub mean_annual_degc: f64,
    /// Depth of frost; `None` without a winter, or where ground may stay frozen all year.
    pub depth: Option<FrostDepth>,
    /// Ground may stay frozen all year: no cover is safe.
    pub frozen_all_year: bool,
}

/// What there is to say about frost.
#[derive(Debug, Clone, PartialEq)]
pub struct FrostReport {
    /// How deep it goes, and what that rests on.
    pub ground: GroundFrost,
    /// The parts by name, in the order of the settings.
    pub parts: Vec<(String, PartReport)>,
    /// Parts that keep no standing water in frost: they empty themselves in time, or by hand on dates.
    pub drained: Vec<String>,
    /// Exposed parts in which water stands.
    pub standing: Vec<String>,
}

/// What has to be said under every report on frost.
pub const CAUTIONS: &[&str] = &[
    "figures and advice, not a guarantee: local codes and the official frost line decide",
    "trench fill that is drier or looser than the ground, cleared snow, traffic and metal risers let frost go deeper",
    "drained means: falls all the way, no sag, no closed valve, hole clear",
    "a float valve or a check valve can hold water in a pipe that looks drained",
];

/// Water temperature from which an exposed pipe cools in the report, °C, where nothing else is known.
const START_DEGC: f64 = 8.0;

/// How deep the frost goes in a record.
///
/// # Errors
/// Settings outside their range.
pub(crate) fn ground_frost(settings: &Settings, record: &Record) -> Result<GroundFrost, Faults> {
    check(settings)?;
    let daily = daily_means(&record.air_degc);
    let winters = winters(&record.calendar, &daily, record.place.latitude_deg >= 0.0);
    let coldest = winters.iter().fold(None, |best: Option<Winter>, w| match best {
        Some(b) if b.fall.degc_days >= w.fall.degc_days => Some(b),
        _ => Some(*w),
    });
    let basis = match (settings.design_index_degc_days, record.kind, winters.len()) {
        (Some(_), _, _) => Basis::Design,
        (None, _, 0) => Basis::None,
        (None, YearKind::Calendar, n) => Basis::ColdestOf(n),
        (None, YearKind::Typical | YearKind::Synthetic | YearKind::Projected, _) => Basis::TypicalWinter,
    };
    let mean_annual_degc = mean_annual_degc(&daily);
    let ground = Ground { soil: settings.soil, surface: settings.surface, mean_annual_degc };
    let index_degc_days = settings.design_index_degc_days.or(coldest.map(|w| w.fall.degc_days));
    let days = season_days(settings, coldest);
    let depth = index_degc_days
        .and_then(|index| frost_depth(&ground.soil, ground.surface * index, days, ground.mean_annual_degc));
    Ok(GroundFrost {
        winters,
        coldest,
        basis,
        index_degc_days,
        days,
        mean_annual_degc,
        depth,
        frozen_all_year: mean_annual_degc <= 0.0,
    })
}

/// What there is to say about frost in a record.
///
/// `inflows_m3` are the hourly inflows of the open parts, in the order of these parts; leave it empty without a run.
///
/// # Errors
/// Settings outside their range.
pub fn report(settings: &Settings, record: &Record, inflows_m3: &[&[f64]]) -> Result<FrostReport, Faults> {
    let ground = ground_frost(settings, record)?;
    let GroundFrost { basis, depth, frozen_all_year, .. } = ground;
    let daily = daily_means(&record.air_degc);
    let wraps = record.calendar.is_one_year();
    let mut inflows = inflows_m3.iter();
    let mut out = FrostReport { ground, parts: Vec::new(), drained: Vec::new(), standing: Vec::new() };
    for part in &settings.parts {
        let report = match &part.kind {
            Kind::Buried { cover_m } => PartReport::Buried(BuriedReport {
                cover_m: *cover_m,
                verdict: verdict(basis, depth, frozen_all_year, *cover_m),
            }),
            Kind::Exposed { pipe, drain } => {
                let list = if matches!(drain, Drain::Stands)
                    || (stands(drain) && !matches!(drain, Drain::ByHand(_)))
                {
                    &mut out.standing
                } else {
                    &mut out.drained
                };
                list.push(part.name.clone());
                let (held, ice) = standing_hours(pipe, &record.air_degc, wraps);
                let lowest = record.air_degc.iter().copied().fold(f64::INFINITY, f64::min);
                PartReport::Exposed(ExposedReport {
                    drains: match drain {
                        Drain::Itself { hours } => Some(drains(*hours)),
                        Drain::Stands | Drain::ByHand(_) => None,
                    },
                    stands: stands(drain),
                    hours: held.iter().filter(|f| **f).count(),
                    events: events(&held, &ice, &record.air_degc, wraps),
                    to_zero_h: pipe.cooling_h(START_DEGC, lowest),
                    to_solid_h: pipe.freezing_h(lowest),
                })
            }
            Kind::Open(open) => {
                PartReport::Open(open_water(open, record, inflows.next().copied(), wraps, &daily))
            }
        };
        out.parts.push((part.name.clone(), report));
    }
    Ok(out)
}

/// Days of the freezing season: of the settings where they give the index, else of the coldest winter.
fn season_days(settings: &Settings, coldest: Option<Winter>) -> f64 {
    // Where neither is known, a short winter is the deep side where winters are mild.
    const FEWEST_DAYS: f64 = 30.0;
    #[allow(clippy::cast_precision_loss, reason = "days of a winter are far below 2^53")]
    let own = coldest.map_or(0.0, |w| w.fall.days as f64);
    match settings.design_index_degc_days {
        Some(_) => settings.design_days.unwrap_or(own.max(FEWEST_DAYS)),
        None => own,
    }
}

fn verdict(basis: Basis, depth: Option<FrostDepth>, frozen_all_year: bool, cover_m: f64) -> Verdict {
    let deeper = match (depth, frozen_all_year) {
        (Some(frost), false) => cover_m > frost.depth_m,
        (_, true) => false,
        (None, false) => return Verdict::Unknown,
    };
    match (basis, deeper) {
        (Basis::Design, true) => Verdict::Passes,
        (Basis::Design, false) => Verdict::Fails,
        (_, true) => Verdict::Deeper,
        (_, false) => Verdict::Shallower,
    }
}

/// Runs of hours with ice; the one that goes round a one-year record's end is one event.
fn events(held: &[bool], ice: &[f64], air_degc: &[f64], wraps: bool) -> Vec<Event> {
    let n = held.len();
    // Begin at an open hour, so that no event is cut; a year frozen throughout is one event.
    let Some(open) = held.iter().position(|f| !f) else {
        let whole = (0..n).collect::<Vec<_>>();
        return if n == 0 { Vec::new() } else { vec![event(&whole, ice, air_degc)] };
    };
    let order: Vec<usize> = if wraps { (open..open + n).map(|h| h % n).collect() } else { (0..n).collect() };
    let mut out: Vec<Event> = order
        .chunk_by(|a, b| held[*a] == held[*b])
        .filter(|run| held[run[0]])
        .map(|run| event(run, ice, air_degc))
        .collect();
    out.sort_by_key(|e| e.from_hour);
    out
}

fn event(run: &[usize], ice: &[f64], air_degc: &[f64]) -> Event {
    Event {
        from_hour: run.first().copied().unwrap_or(0),
        hours: run.len(),
        lowest_degc: run.iter().map(|h| air_degc[*h]).fold(f64::INFINITY, f64::min),
        most_ice: run.iter().map(|h| ice[*h]).fold(0.0, f64::max),
    }
}

fn open_water(
    open: &OpenWater,
    record: &Record,
    inflow_m3: Option<&[f64]>,
    wraps: bool,
    daily: &[f64],
) -> OpenReport {
    let fed = ice_hours(open, &record.air_degc, inflow_m3, wraps);
    let still =
        if inflow_m3.is_some() { ice_hours(open, &record.air_degc, None, wraps) } else { fed.clone() };
    let most = |ice: &[f64]| ice.iter().copied().fold(0.0, f64::max);
    let count = |ice: &[f64], above: f64| ice.iter().filter(|i| **i > above).count();
    let coldest_day = daily.iter().copied().fold(f64::INFINITY, f64::min);
    OpenReport {
        most_ice_m: most(&fed),
        ice_hours: count(&fed, 0.0),
        unbroken_hours: count(&fed, UNBROKEN_ICE_M),
        most_ice_without_inflow_m: most(&still),
        ice_hours_without_inflow: count(&still, 0.0),
        kept_open_hours: fed.iter().zip(&still).filter(|(f, s)| **f <= 0.0 && **s > 0.0).count(),
        keeps_open_m3_per_h: open.keeps_open_m3_per_h(coldest_day),
    }
}
