//! The tanks, what feeds one from another, and the rules of counting.

use super::super::reader::{Reader, Section};
use super::draw::one_each;
use super::garden::hours;
use super::water;
use crate::draw::Carry;
use crate::fault::{Fault, FaultKind, quoted};
use crate::inflow::Steady;
use crate::link::{self, Way, no_tank};
use crate::pipe::{FrictionLaw, Run};
use crate::scheme::DefaultUsed;
use crate::tank::Settings;
use crate::units::table::METRE_OF_WATER_PA;
use crate::units::{Quantity, show};

/// All tanks, in the order in which they stand.
pub(super) struct AllTanks {
    pub(super) tanks: Vec<OneTank>,
    /// The law of friction, which stands among the rules.
    pub(super) friction: FrictionLaw,
}

/// A tank with what stands in its table beside its settings.
pub(super) struct OneTank {
    pub(super) settings: Settings,
    /// Where the pipe from the well ends; `None` where the table does not say.
    pub(super) height_m: Option<f64>,
    pub(super) pressure_m: f64,
    /// Whether rain on the tank's open water is counted.
    pub(super) rain: bool,
    /// What feeds it from another tank.
    pub(super) feed: Option<link::Settings>,
    /// The pipe that hydrants at it share.
    pub(super) shared: Vec<Run>,
}

impl AllTanks {
    pub(super) fn names(&self) -> Vec<&str> {
        self.tanks.iter().map(|tank| tank.settings.name.as_str()).collect()
    }

    /// What feeds one tank from another.
    pub(super) fn links(&self) -> Vec<link::Settings> {
        self.tanks.iter().filter_map(|tank| tank.feed.clone()).collect()
    }

    /// The name of the tank from which something draws, once the tanks are known: nothing for the one that the pump fills, a fault for
    /// one that there is none of.
    pub(super) fn settle(&self, r: &mut Reader<'_>, key: &str, named: &mut Option<String>, pumped: usize) {
        let Some(name) = named.as_deref() else { return };
        match self.names().iter().position(|other| *other == name) {
            None => r.place_faults(vec![no_tank(key.to_owned(), name, &self.names())].into()),
            Some(number) if number == pumped => *named = None,
            Some(_) => {}
        }
    }

    /// The tank that a name means, or a fault; `unnamed` where nothing is named.
    pub(super) fn named(
        &self,
        r: &mut Reader<'_>,
        s: &Section<'_>,
        key: &str,
        name: Option<String>,
        unnamed: usize,
    ) -> Option<usize> {
        let Some(name) = name else { return (!s.has(key)).then_some(unnamed) };
        let found = self.names().iter().position(|other| *other == name);
        if found.is_none() {
            r.place_faults(vec![no_tank(s.key(key), &name, &self.names())].into());
        }
        found
    }
}

/// The rules of counting, which each tank has.
struct Rules {
    tolerance: Option<f64>,
    carry: Option<Carry>,
    year_starts_in_month: Option<u8>,
    friction: FrictionLaw,
}

impl Rules {
    fn read(r: &mut Reader<'_>, root: &Section<'_>) -> Self {
        let rules = r.table(root, "rules");
        let of = rules.as_ref();
        Self {
            tolerance: of.and_then(|s| r.quantity(s, "tolerance")),
            carry: of.and_then(|s| r.word(s, "carry")).map(|word| match word {
                "none" => Carry::None,
                _ => Carry::WithinDay,
            }),
            year_starts_in_month: of.and_then(|s| r.month(s, "tank_year_starts")),
            friction: match of.and_then(|s| r.word(s, "pipe_friction")) {
                Some("hazen-williams") => FrictionLaw::HazenWilliams,
                _ => FrictionLaw::default(),
            },
        }
    }

    /// A tank under these rules.
    fn hold_for(&self, settings: Settings) -> Option<Settings> {
        Some(Settings {
            tolerance: self.tolerance?,
            carry: self.carry?,
            year_starts_in_month: self.year_starts_in_month,
            ..settings
        })
    }
}

pub(super) fn tanks(r: &mut Reader<'_>, root: &Section<'_>, water_degc: Option<f64>) -> Option<AllTanks> {
    let tables = r.named_tables(root, "tank");
    let rules = Rules::read(r, root);
    let read: Vec<_> =
        tables.into_iter().map(|(name, s)| one(r, name, &s, (rules.friction, water_degc))).collect();
    if read.is_empty() {
        return None;
    }
    let mut tanks = read.into_iter().collect::<Option<Vec<_>>>()?;
    for tank in &mut tanks {
        tank.settings = rules.hold_for(tank.settings.clone())?;
    }
    Some(AllTanks { tanks, friction: rules.friction })
}

/// The settings of the tank of a name, whatever feeds it.
pub(super) fn alone(r: &mut Reader<'_>, root: &Section<'_>, name: &str) -> Option<Settings> {
    let tables = r.named_tables(root, "tank");
    let rules = Rules::read(r, root);
    let (name, s) = tables.into_iter().find(|(own, _)| own == name)?;
    let settings = settings(r, name, &s)?;
    rules.hold_for(settings)
}

fn one(
    r: &mut Reader<'_>,
    name: String,
    s: &Section<'_>,
    pipes: (FrictionLaw, Option<f64>),
) -> Option<OneTank> {
    let height_m = r.quantity(s, "inlet_height");
    let pressure_pa = r.quantity(s, "discharge_pressure");
    let settings = settings(r, name.clone(), s);
    let rain = r.flag(s, "rain_on_open_surface").unwrap_or(false);
    let feed = if s.may_have("feed") { Some(feed(r, s, &name, pipes)) } else { None };
    let shared: Vec<_> =
        r.named_tables(s, "delivery").into_iter().map(|(name, s)| water::run(r, name, &s)).collect();
    if !s.may_have("inlet_height") && feed.is_some() {
        r.defaults.retain(|used| used.key != s.key("discharge_pressure"));
    }
    Some(OneTank {
        settings: settings?,
        height_m: if s.may_have("inlet_height") { Some(height_m?) } else { None },
        pressure_m: pressure_pa? / METRE_OF_WATER_PA,
        rain,
        feed: feed.map_or(Some(None), |feed| feed.map(Some))?,
        shared: shared.into_iter().collect::<Option<_>>()?,
    })
}

/// Size, float and losses of a tank; the rules of counting are not yet in it.
fn settings(r: &mut Reader<'_>, name: String, s: &Section<'_>) -> Option<Settings> {
    let capacity = r.quantity(s, "capacity");
    let stop = r.quantity(s, "float_stop");
    let start = r.quantity(s, "float_start");
    let leak = r.quantity(s, "leak");
    let open_surface = r.quantity(s, "open_surface");
    let rain = r.flag(s, "rain_on_open_surface").unwrap_or(false);
    if rain && open_surface == Some(0.0) && !s.resembled.contains(&"open_surface") {
        r.fault_at(
            s,
            "rain_on_open_surface",
            FaultKind::Contradiction,
            "rain on the open surface of a closed tank",
            "rain_on_open_surface only with open_surface",
            "give open_surface, or remove it",
        );
    }
    let reserve = r.quantity(s, "garden_reserve");
    not_above(r, s, ("garden_reserve", reserve), ("capacity", capacity));
    if s.has("float_stop") && !s.may_have("float_start") {
        r.defaults.push(DefaultUsed {
            key: s.key("float_start"),
            value: "as float_stop".into(),
            why: "no float band".into(),
        });
    }
    not_above(r, s, ("float_stop", stop), ("capacity", capacity));
    if s.has("float_start") && !s.may_have("float_stop") {
        r.fault_at(
            s,
            "float_start",
            FaultKind::Contradiction,
            "float_start without float_stop",
            "float_start only together with float_stop",
            "add float_stop, or remove float_start",
        );
    } else {
        not_above(r, s, ("float_start", start), ("float_stop", stop));
    }
    Some(Settings {
        name,
        capacity_m3: capacity?,
        float_stop_m3: stop,
        float_start_m3: start,
        leak_m3_per_h: leak?,
        open_surface_m2: open_surface?,
        garden_reserve_m3: reserve.unwrap_or(0.0),
        carry: Carry::default(),
        tolerance: 0.0,
        year_starts_in_month: None,
    })
}

/// Keys of a feed by pipe, and of one by pump.
const PIPE: [&str; 3] = ["height", "pressure", "pipe"];
const PUMP: [&str; 6] = ["pump_flow", "hours", "dates", "file", "column", "needs_sun"];

fn feed(
    r: &mut Reader<'_>,
    tank: &Section<'_>,
    name: &str,
    (friction, water_degc): (FrictionLaw, Option<f64>),
) -> Option<link::Settings> {
    let s = r.table(tank, "feed")?;
    let from = r.text(&s, "from");
    let height_m = r.quantity(&s, "height");
    let pressure_pa = r.quantity(&s, "pressure");
    let flow_m3_per_h = r.months(&s, "pump_flow");
    let hours = r.key(&s, "hours", hours);
    let dates = r.dates(&s, "dates");
    one_each(r, &s, "dates", &dates);
    let hourly = r.hourly(&s, "file", "column", name);
    let needs_sun = r.flag(&s, "needs_sun").unwrap_or(false);
    let runs: Vec<_> =
        r.named_tables(&s, "pipe").into_iter().map(|(name, s)| water::run(r, name, &s)).collect();
    let by_pump = s.may_have("pump_flow") || s.may_have("file");
    let (kind, foreign): (&str, &[&str]) =
        if by_pump { ("a transfer pump", &PIPE) } else { ("a pipe", &PUMP) };
    let mut sound = true;
    for key in foreign.iter().filter(|key| s.has(key)) {
        let other = if by_pump { "a pipe" } else { "pump_flow or file" };
        r.fault_at(
            &s,
            key,
            FaultKind::Contradiction,
            format!("{key} has no effect on {kind}"),
            format!("{key} only with {other}"),
            "remove it, or describe the other kind of feed",
        );
        sound = false;
    }
    if s.may_have("pump_flow") && s.may_have("file") {
        r.fault_at(
            &s,
            "file",
            FaultKind::Contradiction,
            "file given as well as pump_flow",
            "either pump_flow or file",
            "keep one of them",
        );
        sound = false;
    }
    if !by_pump {
        r.missing_here(&s, "height");
        if runs.is_empty() && !s.may_have("pipe") {
            r.fault_at(
                &s,
                "pipe",
                FaultKind::MissingKey,
                "nothing says how the water comes",
                "a pipe in which it runs down, or pump_flow of a transfer pump",
                format!("add [tank.{name}.feed.pipe.line] with length, bore and material, or pump_flow"),
            );
            return None;
        }
    }
    let way = if s.may_have("file") {
        Way::Column { hourly: hourly?, needs_sun }
    } else if by_pump {
        let flow = Steady {
            flow_m3_per_h: flow_m3_per_h?,
            hours: if s.has("hours") { hours? } else { [true; 24] },
            dates,
        };
        Way::Pump { flow, needs_sun }
    } else {
        let pressure_pa = if s.has("pressure") { pressure_pa? } else { 0.0 };
        Way::Pipe {
            runs: runs.into_iter().collect::<Option<_>>()?,
            height_m: height_m?,
            pressure_m: pressure_pa / METRE_OF_WATER_PA,
            friction,
            water_degc: water_degc?,
        }
    };
    let link = link::Settings { into: name.to_owned(), from: from?, way };
    if !sound {
        return None;
    }
    if let Err(faults) = link.flow_m3_per_h() {
        r.place_faults(faults);
        return None;
    }
    Some(link)
}

/// Whether something fills each tank.
pub(super) fn check_filled(r: &mut Reader<'_>, all: &AllTanks, filled: &[&str]) {
    for tank in all.tanks.iter().filter(|tank| tank.feed.is_none()) {
        let name = tank.settings.name.as_str();
        if filled.contains(&name) {
            continue;
        }
        r.place_faults(
            vec![Fault::at_key(
                format!("tank.{name}"),
                FaultKind::Contradiction,
                format!("nothing fills the tank {}", quoted(name)),
                format!("[tank.{name}.feed] from another tank, a pump or an inflow into it"),
                "add one; tanks connected at one level are one tank with the sum of their volumes",
            )]
            .into(),
        );
    }
}

fn not_above(r: &mut Reader<'_>, s: &Section<'_>, low: (&str, Option<f64>), high: (&str, Option<f64>)) {
    if let ((name, Some(low)), (other, Some(high))) = (low, high)
        && low > high
    {
        let text = |v| show(v, Quantity::Volume, r.system);
        let found = format!("{name} of {} above {other} of {}", text(low), text(high));
        r.fault_at(
            s,
            name,
            FaultKind::Contradiction,
            found,
            format!("{name} at most {other}"),
            format!("lower {name} or raise {other}"),
        );
    }
}
