//! The tank and the rules of counting.

use super::super::reader::{Reader, Section};
use crate::draw::Carry;
use crate::fault::FaultKind;
use crate::pipe::FrictionLaw;
use crate::scheme::DefaultUsed;
use crate::tank::Settings;
use crate::units::table::METRE_OF_WATER_PA;
use crate::units::{Quantity, show};

/// Where the pipe ends.
pub(super) struct Inlet {
    pub(super) height_m: f64,
    pub(super) pressure_m: f64,
    /// Whether rain on the tank's open water is counted.
    pub(super) rain: bool,
    /// The law of friction, which stands among the rules.
    pub(super) friction: FrictionLaw,
}

pub(super) fn tank(r: &mut Reader<'_>, root: &Section<'_>) -> Option<(Settings, Inlet)> {
    let tanks = r.named_tables(root, "tank");
    let rules = r.table(root, "rules");
    let tolerance = rules.as_ref().and_then(|s| r.quantity(s, "tolerance"));
    let carry = rules.as_ref().and_then(|s| r.word(s, "carry"));
    let year_starts_in_month = rules.as_ref().and_then(|s| r.month(s, "tank_year_starts"));
    let friction = rules.as_ref().and_then(|s| r.word(s, "pipe_friction"));
    let mut read: Vec<_> = tanks.into_iter().map(|(name, section)| one(r, name, &section)).collect();
    if read.is_empty() {
        return None;
    }
    let (mut settings, mut inlet) = read.swap_remove(0)?;
    if friction == Some("hazen-williams") {
        inlet.friction = FrictionLaw::HazenWilliams;
    }
    settings.tolerance = tolerance?;
    settings.carry = if carry? == "none" { Carry::None } else { Carry::WithinDay };
    settings.year_starts_in_month = year_starts_in_month;
    Some((settings, inlet))
}

fn one(r: &mut Reader<'_>, name: String, s: &Section<'_>) -> Option<(Settings, Inlet)> {
    let capacity = r.quantity(s, "capacity");
    let height_m = r.quantity(s, "inlet_height");
    let pressure_pa = r.quantity(s, "discharge_pressure");
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
    let settings = Settings {
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
    };
    Some((
        settings,
        Inlet {
            height_m: height_m?,
            pressure_m: pressure_pa? / METRE_OF_WATER_PA,
            rain,
            friction: FrictionLaw::default(),
        },
    ))
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
