//! What there is to say about frost.

use super::buried::Ground;
use super::drain::{Drains, drains};
use super::exposed::standing_hours;
use super::ice::{OpenWater, UNBROKEN_ICE_M, ice_hours};
use super::index::{Winter, daily_means, winters};
use super::part::{Drain, Kind, Settings, check, mean_annual_degc, stands};
use super::{FrostDepth, frost_depth};
use crate::fault::Fault;
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

/// What there is to say about frost.
#[derive(Debug, Clone, PartialEq)]
pub struct FrostReport {
    /// Each whole winter of the record.
    pub winters: Vec<Winter>,
    /// The winter with the greatest index; the first of equals.
    pub coldest: Option<Winter>,
    /// What the depth rests on.
    pub basis: Basis,
    /// Index that the depth was worked out for, of the air, °C·day.
    pub index_degc_days: Option<f64>,
    /// Mean annual air temperature of the record, °C.
    pub mean_annual_degc: f64,
    /// Depth of frost; `None` without a winter, or where ground may stay frozen all year.
    pub depth: Option<FrostDepth>,
    /// Ground may stay frozen all year: no cover is safe.
    pub frozen_all_year: bool,
    /// The parts by name, in the order of the settings.
    pub parts: Vec<(String, PartReport)>,
    /// Parts that keep no standing water in frost: they empty themselves in time, or by hand on dates.
    pub drained: Vec<String>,
    /// Exposed parts in which water stands.
    pub standing: Vec<String>,
}

/// What has to be said under every report on frost.
pub const CAUTIONS: &[&str] = &[
    "numbers and advice, no guarantee: local codes and the frost line that local authorities give decide",
    "trench fill that is drier or looser than the ground, cleared snow, traffic and metal risers let frost deeper",
    "drained means: falls all the way, no sag, no closed valve, hole clean",
    "a float valve or a check valve holds water up in a pipe that looks drained",
];

/// Water temperature from which an exposed pipe cools in the report, °C, where nothing else is known.
const START_DEGC: f64 = 8.0;

/// What there is to say about frost in a record.
///
/// `inflows_m3` are the hourly inflows of the open parts, in the order of these parts; leave it empty without a run.
///
/// # Errors
/// Settings outside their range.
pub fn report(
    settings: &Settings,
    record: &Record,
    inflows_m3: &[&[f64]],
) -> Result<FrostReport, Vec<Fault>> {
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
        (None, YearKind::Typical | YearKind::Synthetic, _) => Basis::TypicalWinter,
    };
    let mean_annual_degc = mean_annual_degc(&daily);
    let ground = Ground { soil: settings.soil, surface: settings.surface, mean_annual_degc };
    let index_degc_days = settings.design_index_degc_days.or(coldest.map(|w| w.fall.degc_days));
    let depth = index_degc_days.and_then(|index| depth(settings, &ground, index, coldest));
    let frozen_all_year = mean_annual_degc <= 0.0;
    let wraps = record.calendar.is_one_year();
    let mut inflows = inflows_m3.iter();
    let mut out = FrostReport {
        winters,
        coldest,
        basis,
        index_degc_days,
        mean_annual_degc,
        depth,
        frozen_all_year,
        parts: Vec::new(),
        drained: Vec::new(),
        standing: Vec::new(),
    };
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

/// Depth for an index, with the days of the settings or of the coldest winter.
fn depth(settings: &Settings, ground: &Ground, index: f64, coldest: Option<Winter>) -> Option<FrostDepth> {
    // Where neither is known, a short winter is the deep side where winters are mild.
    const FEWEST_DAYS: f64 = 30.0;
    #[allow(clippy::cast_precision_loss, reason = "days of a winter are far below 2^53")]
    let own = coldest.map_or(0.0, |w| w.fall.days as f64);
    let days = match settings.design_index_degc_days {
        Some(_) => settings.design_days.unwrap_or(own.max(FEWEST_DAYS)),
        None => own,
    };
    frost_depth(&ground.soil, ground.surface * index, days, ground.mean_annual_degc)
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::{Calendar, DateSpan, MonthDay};
    use crate::frost::{BarePipe, Columns, Part, Soil, columns};
    use crate::record::{Place, RadiationTime, Source};

    /// A made year: mean 9 °C, 14 K of season, 5 K of day.
    fn record(kind: YearKind, shift: f64) -> Record {
        let calendar = Calendar::year(2023);
        let n = calendar.hours();
        let wave = |x: f64| libm::cos(std::f64::consts::TAU * x);
        let air_degc = (0..n)
            .map(|h| {
                let h = f64::from(u32::try_from(h).unwrap());
                9.0 + shift - 14.0 * wave((h / 24.0 - 15.0) / 365.0) + 5.0 * wave((h - 15.0) / 24.0)
            })
            .collect();
        Record {
            place: Place {
                name: "made".into(),
                latitude_deg: 45.0,
                longitude_deg: 0.0,
                elevation_m: 0.0,
                utc_offset_h: 0.0,
            },
            calendar,
            kind,
            radiation_time: RadiationTime::HourMean,
            ghi_w_per_m2: vec![0.0; n],
            dni_w_per_m2: None,
            dhi_w_per_m2: None,
            air_degc,
            wind_m_per_s: None,
            albedo: None,
            snow_depth_m: None,
            precipitation_mm: None,
            relative_humidity: None,
            pressure_pa: None,
            source: Source::default(),
        }
    }

    fn settings(parts: Vec<(&str, Kind)>) -> Settings {
        Settings {
            soil: Soil::named("loam").unwrap(),
            surface: 0.7,
            design_index_degc_days: None,
            design_days: None,
            parts: parts.into_iter().map(|(name, kind)| Part { name: name.into(), kind }).collect(),
        }
    }

    const PIPE: BarePipe = BarePipe {
        bore_m: 0.026,
        outside_m: 0.032,
        insulation_m: 0.0,
        insulation_w_per_m_k: 0.04,
        film_w_per_m2_k: Some(25.0),
    };

    fn parts() -> Vec<(&'static str, Kind)> {
        let winter = DateSpan { from: MonthDay { month: 11, day: 15 }, to: MonthDay { month: 3, day: 31 } };
        let exposed = |drain| Kind::Exposed { pipe: PIPE, drain };
        vec![
            ("main", Kind::Buried { cover_m: 1.5 }),
            ("branch", Kind::Buried { cover_m: 0.1 }),
            ("riser", exposed(Drain::Stands)),
            ("drop", exposed(Drain::Itself { hours: 0.2 })),
            ("slow", exposed(Drain::Itself { hours: 0.6 })),
            ("garden", exposed(Drain::ByHand(vec![winter]))),
            (
                "trough",
                Kind::Open(OpenWater {
                    area_m2: 3.0,
                    depth_m: 0.5,
                    film_w_per_m2_k: 15.0,
                    inflow_degc: 10.0,
                }),
            ),
        ]
    }

    fn frozen<'a>(columns: &'a Columns, name: &str) -> &'a [bool] {
        &columns.frozen.iter().find(|c| c.0 == name).unwrap().1
    }

    #[test]
    fn columns_and_report_agree() {
        let record = record(YearKind::Typical, 0.0);
        let settings = settings(parts());
        let columns = columns(&settings, &record).unwrap();
        let inflow = vec![0.05; record.hours()];
        let report = report(&settings, &record, &[&inflow]).unwrap();
        assert_eq!(report.basis.text(), "typical winter, not design");
        let part = |name: &str| report.parts.iter().find(|p| p.0 == name).unwrap().1.clone();
        let any = |name: &str| frozen(&columns, name).iter().any(|f| *f);
        let PartReport::Buried(main) = part("main") else { panic!() };
        let PartReport::Buried(branch) = part("branch") else { panic!() };
        assert_eq!((main.verdict, any("main")), (Verdict::Deeper, false));
        assert_eq!((branch.verdict, any("branch")), (Verdict::Shallower, true));
        let PartReport::Exposed(riser) = part("riser") else { panic!() };
        assert_eq!(riser.hours, frozen(&columns, "riser").iter().filter(|f| **f).count());
        assert_eq!(riser.hours, riser.events.iter().map(|e| e.hours).sum::<usize>());
        assert!(riser.events.len() > 20 && riser.events.iter().all(|e| e.lowest_degc < 0.0));
        let PartReport::Exposed(drop) = part("drop") else { panic!() };
        assert_eq!((drop.drains, drop.stands, any("drop")), (Some(Drains::InTime), false, false));
        assert_eq!(drop.hours, riser.hours, "what would freeze if it stood");
        assert_eq!(frozen(&columns, "slow"), frozen(&columns, "riser"));
        // Shut on 15 November, whatever the weather.
        let november = 24 * (365 - 31 - 16) + 12;
        assert_eq!(record.calendar.day_of(november).month_day(), MonthDay { month: 11, day: 15 });
        assert!(frozen(&columns, "garden")[november]);
        assert_eq!(report.drained, ["drop", "garden"]);
        assert_eq!(report.standing, ["riser", "slow"]);
        let PartReport::Open(trough) = part("trough") else { panic!() };
        assert!(trough.ice_hours < trough.ice_hours_without_inflow && trough.kept_open_hours > 0);
        assert!(trough.most_ice_m < trough.most_ice_without_inflow_m);
        assert_eq!(columns.any(&["drop", "riser"], record.hours()), frozen(&columns, "riser"));
    }

    #[test]
    fn pass_and_fail_need_a_design_index() {
        let record = record(YearKind::Calendar, 0.0);
        let mut settings = settings(parts());
        let verdicts = |s: &Settings| -> Vec<Verdict> {
            let report = report(s, &record, &[]).unwrap();
            report
                .parts
                .iter()
                .filter_map(|p| if let PartReport::Buried(b) = &p.1 { Some(b.verdict) } else { None })
                .collect()
        };
        assert_eq!(verdicts(&settings), [Verdict::Deeper, Verdict::Shallower]);
        settings.design_index_degc_days = Some(800.0);
        assert_eq!(verdicts(&settings), [Verdict::Passes, Verdict::Fails]);
        let design = report(&settings, &record, &[]).unwrap();
        assert_eq!((design.basis, design.index_degc_days), (Basis::Design, Some(800.0)));
        // Where the ground is warm, a longer winter of the same index reaches less deep.
        settings.design_days = Some(200.0);
        let longer = report(&settings, &record, &[]).unwrap();
        assert!(longer.depth.unwrap().depth_m < design.depth.unwrap().depth_m);
        settings.design_index_degc_days = None;
        assert_eq!(report(&settings, &record, &[]).unwrap().basis.text(), "one winter, not design");
    }

    #[test]
    fn where_the_year_is_below_zero_no_cover_is_safe() {
        let record = record(YearKind::Typical, -10.0);
        let settings = settings(parts());
        let report = report(&settings, &record, &[]).unwrap();
        assert!(report.frozen_all_year && report.depth.is_none());
        let PartReport::Buried(main) = &report.parts[0].1 else { panic!() };
        assert_eq!(main.verdict, Verdict::Shallower);
        assert!(frozen(&columns(&settings, &record).unwrap(), "main").iter().all(|f| *f));
    }

    #[test]
    fn every_wrong_value_is_told_at_once() {
        let mut settings = settings(parts());
        settings.surface = 0.0;
        settings.design_index_degc_days = Some(-1.0);
        settings.parts[0].kind = Kind::Buried { cover_m: 0.0 };
        settings.parts[3].kind = Kind::Exposed {
            pipe: BarePipe { bore_m: 0.05, ..PIPE },
            drain: Drain::Itself { hours: f64::NAN },
        };
        let faults = check(&settings).unwrap_err();
        let keys: Vec<&str> = faults.iter().filter_map(|f| f.location.key.as_deref()).collect();
        assert_eq!(
            keys,
            [
                "frost.surface",
                "frost.design_index",
                "frost.main.cover",
                "frost.drop.bore",
                "frost.drop.drains_in"
            ]
        );
    }
}
