//! Every key of a scheme: kind, range, default, source, meaning. The reader, the page of keys and the tests of the
//! starter scheme all use this one table.

use crate::units::table::POUND_KG;
use crate::units::{Quantity, System, show};

/// What a key holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Any text.
    Text,
    /// One file name or a list of them.
    Files,
    /// One of these words.
    Word(&'static [&'static str]),
    /// A material of `pipe::MATERIALS`.
    Material,
    /// A number with a unit, as text.
    Quantity(Quantity),
    /// One number with a unit for the whole year, or a list of twelve from January.
    Months(Quantity),
    /// A change with temperature, absolute (of this quantity) or in `%/K`.
    Coefficient(Quantity),
    /// A share as a number from 0 to 1, or as text with `%`.
    Ratio,
    /// A number without unit.
    Number,
    /// A whole number.
    Count,
    /// `true` or `false`.
    Flag,
    /// A direction: degrees from north, clockwise, as a number or with its unit, or a point of the compass.
    Direction,
    /// A month: its name or its number.
    Month,
    /// Dates without a year: `"11-15"`, `"11-01 to 04-30"`, or a list of these.
    Dates,
    /// A preset's name or 24 shares that sum to 1.
    Pattern,
    /// Rows of azimuth and elevation.
    Horizon,
    /// Rows of head, power and flow.
    Duty,
    /// A table of fittings and how many there are of each.
    Fittings,
}

/// Valid values, in base units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Range {
    /// Anything of the kind.
    Any,
    /// From the first to the second, both allowed.
    Between(f64, f64),
    /// Above the first, up to the second.
    Above(f64, f64),
    /// From the first, but below the second.
    Below(f64, f64),
}

impl Range {
    /// Whether a value lies in the range; a value that is no number does not.
    #[must_use]
    pub fn holds(self, value: f64) -> bool {
        match self {
            Self::Any => value.is_finite(),
            Self::Between(low, high) => (low..=high).contains(&value),
            Self::Above(low, high) => value > low && value <= high,
            Self::Below(low, high) => value >= low && value < high,
        }
    }

    /// The range in words, in the units of a system; empty when anything goes.
    #[must_use]
    pub fn text(self, kind: Kind, system: System) -> String {
        let number = |v: f64| match kind {
            Kind::Quantity(q) | Kind::Months(q) => show(v, q, system),
            Kind::Coefficient(_) => show(v, Quantity::FractionPerKelvin, system),
            Kind::Direction => format!("{v}°"),
            _ => format!("{v}"),
        };
        match self {
            Self::Any => String::new(),
            Self::Between(low, high) => format!("{} to {}", number(low), number(high)),
            Self::Above(low, high) => format!("above {}, at most {}", number(low), number(high)),
            Self::Below(low, high) => format!("from {}, below {}", number(low), number(high)),
        }
    }
}

/// What happens when a key is left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Presence {
    /// It may not be left out.
    Needed,
    /// It is read as this TOML literal, and listed with the assumptions of the run.
    Default {
        /// The literal, as it would stand in the file.
        literal: &'static str,
        /// Where the value comes from.
        source: &'static str,
    },
    /// The scheme then has no such thing, which is listed with the assumptions of the run.
    Without {
        /// What that means.
        means: &'static str,
    },
    /// Nothing to list: another key takes its place, or nothing hangs on it.
    Free {
        /// When it is needed, or what is used then.
        note: &'static str,
    },
}

/// One key.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KeyDoc {
    /// Table that it stands in; `*` stands for a name that the user chooses, empty is the top of the file.
    pub section: &'static str,
    /// Its name.
    pub name: &'static str,
    /// What it holds.
    pub kind: Kind,
    /// Valid values.
    pub range: Range,
    /// What happens when it is left out.
    pub presence: Presence,
    /// An example, as it would stand in the file.
    pub example: &'static str,
    /// What it means.
    pub meaning: &'static str,
}

impl KeyDoc {
    /// This key's documentation for a part of its value: a number in a list or row.
    #[must_use]
    pub(super) const fn with(&self, kind: Kind, range: Range, meaning: &'static str) -> Self {
        Self { kind, range, meaning, ..*self }
    }

    /// Dotted path, such as `array.*.tilt`.
    #[must_use]
    pub fn path(&self) -> String {
        if self.section.is_empty() {
            self.name.to_string()
        } else {
            format!("{}.{}", self.section, self.name)
        }
    }
}

/// One table of the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SectionDoc {
    /// Path; a last part `*` is a name that the user chooses.
    pub path: &'static str,
    /// Whether a scheme must have it.
    pub needed: bool,
    /// Most tables of this path; 0 for any number.
    pub most: usize,
    /// What it describes.
    pub meaning: &'static str,
}

/// All tables, in the water's order.
pub const SECTIONS: &[SectionDoc] = &[
    section("weather", true, 0, "the weather record"),
    section("site", false, 0, "what surrounds the panels"),
    section("snow", false, 0, "snow on the panels"),
    section("array.*", true, 0, "an array of solar panels in one plane; several are added"),
    section("array.*.module", true, 0, "the module (panel), by its datasheet or by five model parameters"),
    section("array.*.cable", false, 0, "the cable from the array to the pump's controller"),
    section("well", true, 0, "the well"),
    section("pump", true, 0, "the pump"),
    section("pipe.*", true, 0, "a run of pipe of one bore, in the order in which the water flows"),
    section("herd.*", false, 0, "a group of animals"),
    section("extra.*", false, 0, "a constant draw besides the herd, such as wildlife"),
    section("tank.*", true, 1, "the tank"),
    section("rules", false, 0, "how days of shortfall are counted"),
];

const fn section(path: &'static str, needed: bool, most: usize, meaning: &'static str) -> SectionDoc {
    SectionDoc { path, needed, most, meaning }
}

const fn key(
    section: &'static str,
    name: &'static str,
    kind: Kind,
    range: Range,
    presence: Presence,
    example: &'static str,
    meaning: &'static str,
) -> KeyDoc {
    KeyDoc { section, name, kind, range, presence, example, meaning }
}

const fn default(literal: &'static str, source: &'static str) -> Presence {
    Presence::Default { literal, source }
}

const fn without(means: &'static str) -> Presence {
    Presence::Without { means }
}

const fn free(note: &'static str) -> Presence {
    Presence::Free { note }
}

use Presence::Needed;
use Quantity as Q;
use Range::{Above, Any, Below, Between};

const SHEET: Presence = free("needed unless the five parameters are given");
const MODEL: Presence = free("one of the five parameters, in place of the datasheet's values");
const NEED: Presence = free("either this, or class with mass and milk");
const COW: Presence = free("needed with class");
const CABLE: Presence = free("exactly one of area, awg and resistance");
const FROM_FILE: Presence = free("as the weather file says");
const COUNT: Range = Between(1.0, 1000.0);

/// All keys.
pub const KEYS: &[KeyDoc] = &[
    key(
        "",
        "name",
        Kind::Text,
        Any,
        free("the scheme has no name"),
        "\"North paddock\"",
        "a name for the reports",
    ),
    key(
        "",
        "units",
        Kind::Word(&["si", "us"]),
        Any,
        default("\"si\"", "choice of output only; input may use either"),
        "\"us\"",
        "the units that reports use: metres and litres, or feet and US gallons",
    ),
    // Weather.
    key(
        "weather",
        "file",
        Kind::Files,
        Any,
        Needed,
        "\"weather.csv\"",
        "the weather file, or a list of files, as a path from the scheme's own folder",
    ),
    key(
        "weather",
        "latitude",
        Kind::Quantity(Q::Angle),
        Between(-90.0, 90.0),
        FROM_FILE,
        "\"42.1 deg\"",
        "latitude, north positive",
    ),
    key(
        "weather",
        "longitude",
        Kind::Quantity(Q::Angle),
        Between(-180.0, 180.0),
        FROM_FILE,
        "\"-109.5 deg\"",
        "longitude, east positive",
    ),
    key(
        "weather",
        "elevation",
        Kind::Quantity(Q::Length),
        Between(-500.0, 9000.0),
        FROM_FILE,
        "\"1250 m\"",
        "height above sea level",
    ),
    key(
        "weather",
        "utc_offset",
        Kind::Quantity(Q::Duration),
        Between(-12.0, 14.0),
        FROM_FILE,
        "\"-7 h\"",
        "local standard time minus UTC, the year round",
    ),
    key(
        "weather",
        "stamps",
        Kind::Word(&["start", "middle", "end"]),
        Any,
        FROM_FILE,
        "\"start\"",
        "which end of its hour a row's time names",
    ),
    key(
        "weather",
        "years",
        Kind::Word(&["typical", "calendar", "synthetic"]),
        Any,
        FROM_FILE,
        "\"calendar\"",
        "what kind of years the file holds; a typical year allows no return period",
    ),
    key(
        "weather",
        "part_of_year",
        Kind::Flag,
        Any,
        free("false: whole years only"),
        "true",
        "whether whole days that make no whole year are accepted",
    ),
    // Site.
    key(
        "site",
        "albedo",
        Kind::Ratio,
        Between(0.0, 1.0),
        default("0.2", "grass or bare ground; common practice, from memory"),
        "0.25",
        "share of sunlight that the ground throws back, where the weather file has none",
    ),
    key(
        "site",
        "sky",
        Kind::Word(&["perez", "hay-davies", "isotropic"]),
        Any,
        default("\"perez\"", "Perez et al. 1990, the most tested of the three"),
        "\"hay-davies\"",
        "how diffuse light is put on a tilted plane",
    ),
    key(
        "site",
        "horizon",
        Kind::Horizon,
        Any,
        without("the horizon is flat: no hill or tree shades the panels"),
        "[[\"0 deg\", \"2 deg\"], [\"180 deg\", \"10 deg\"]]",
        "height of the horizon: pairs of azimuth (rising) and elevation",
    ),
    key(
        "snow",
        "covered",
        Kind::Dates,
        Any,
        without("no snow lies on the panels on any day"),
        "[\"12-20 to 01-05\", \"02-10\"]",
        "dates on which snow covers all panels, so that they give nothing",
    ),
    // Array.
    key(
        "array.*",
        "tilt",
        Kind::Quantity(Q::Angle),
        Between(0.0, 90.0),
        Needed,
        "\"55 deg\"",
        "tilt from the horizontal",
    ),
    key(
        "array.*",
        "azimuth",
        Kind::Direction,
        Between(0.0, 360.0),
        Needed,
        "\"south\"",
        "where the panels face: degrees from north, clockwise, or a point of the compass",
    ),
    key("array.*", "series", Kind::Count, COUNT, Needed, "3", "modules in series in a string"),
    key("array.*", "parallel", Kind::Count, COUNT, default("1", "one string"), "2", "strings in parallel"),
    key(
        "array.*",
        "soiling",
        Kind::Quantity(Q::Fraction),
        Between(0.0, 1.0),
        default("\"3 %\"", "common practice (2 to 5 % where rain washes the glass), from memory"),
        "\"4 %\"",
        "share of light lost to dirt",
    ),
    key(
        "array.*",
        "mismatch",
        Kind::Quantity(Q::Fraction),
        Between(0.0, 1.0),
        default("\"2 %\"", "common practice (1 to 3 %), from memory"),
        "\"1.5 %\"",
        "share of power lost because modules differ",
    ),
    key(
        "array.*",
        "incidence_loss",
        Kind::Flag,
        Any,
        default("true", "light that strikes the glass at a slant is partly thrown back (Fresnel)"),
        "false",
        "whether beam light lost at the glass is counted",
    ),
    key(
        "array.*",
        "heat_loss",
        Kind::Quantity(Q::HeatLoss),
        Above(0.0, 200.0),
        default("\"25 W/m2/K\"", "Faiman 2008, free-standing modules"),
        "\"29 W/m2/K\"",
        "heat that the module loses in still air",
    ),
    key(
        "array.*",
        "wind_heat_loss",
        Kind::Quantity(Q::WindHeatLoss),
        Between(0.0, 100.0),
        default("\"6.84 W s/m3/K\"", "Faiman 2008, free-standing modules"),
        "\"0 W s/m3/K\"",
        "heat that the module loses for each m/s of wind",
    ),
    key(
        "array.*.module",
        "isc",
        Kind::Quantity(Q::Current),
        Above(0.0, 100.0),
        SHEET,
        "\"9.3 A\"",
        "short-circuit current",
    ),
    key(
        "array.*.module",
        "voc",
        Kind::Quantity(Q::Voltage),
        Above(0.0, 2000.0),
        SHEET,
        "\"45.6 V\"",
        "open-circuit voltage",
    ),
    key(
        "array.*.module",
        "imp",
        Kind::Quantity(Q::Current),
        Above(0.0, 100.0),
        SHEET,
        "\"8.7 A\"",
        "current at maximum power",
    ),
    key(
        "array.*.module",
        "vmp",
        Kind::Quantity(Q::Voltage),
        Above(0.0, 2000.0),
        SHEET,
        "\"37.2 V\"",
        "voltage at maximum power",
    ),
    key("array.*.module", "cells", Kind::Count, COUNT, SHEET, "72", "cells in series"),
    key(
        "array.*.module",
        "isc_temperature",
        Kind::Coefficient(Q::CurrentPerKelvin),
        Between(-0.005, 0.005),
        Needed,
        "\"0.05 %/K\"",
        "change of the short-circuit current with temperature",
    ),
    key(
        "array.*.module",
        "voc_temperature",
        Kind::Coefficient(Q::VoltagePerKelvin),
        Below(-0.01, 0.0),
        SHEET,
        "\"-0.32 %/K\"",
        "change of the open-circuit voltage with temperature",
    ),
    key(
        "array.*.module",
        "photocurrent",
        Kind::Quantity(Q::Current),
        Above(0.0, 100.0),
        MODEL,
        "\"9.31 A\"",
        "light current",
    ),
    key(
        "array.*.module",
        "saturation_current",
        Kind::Quantity(Q::Current),
        Above(0.0, 0.01),
        MODEL,
        "\"2e-10 A\"",
        "diode saturation current",
    ),
    key(
        "array.*.module",
        "series_resistance",
        Kind::Quantity(Q::Resistance),
        Between(0.0, 100.0),
        MODEL,
        "\"0.35 ohm\"",
        "series resistance",
    ),
    key(
        "array.*.module",
        "shunt_resistance",
        Kind::Quantity(Q::Resistance),
        Above(0.0, 1e9),
        MODEL,
        "\"400 ohm\"",
        "shunt resistance",
    ),
    key(
        "array.*.module",
        "ideality",
        Kind::Quantity(Q::Voltage),
        Above(0.0, 200.0),
        MODEL,
        "\"1.9 V\"",
        "modified ideality factor n Ns k T / q",
    ),
    key(
        "array.*.cable",
        "length",
        Kind::Quantity(Q::Length),
        Between(0.0, 10_000.0),
        free("needed with area or awg"),
        "\"30 m\"",
        "length one way; both wires are counted",
    ),
    key(
        "array.*.cable",
        "area",
        Kind::Quantity(Q::Area),
        Above(0.0, 1e-3),
        CABLE,
        "\"4 mm2\"",
        "copper section of one wire",
    ),
    key(
        "array.*.cable",
        "awg",
        Kind::Count,
        Between(0.0, 30.0),
        CABLE,
        "10",
        "American wire gauge of one copper wire",
    ),
    key(
        "array.*.cable",
        "resistance",
        Kind::Quantity(Q::Resistance),
        Between(0.0, 10_000.0),
        CABLE,
        "\"0.25 ohm\"",
        "resistance of both wires together",
    ),
    // Well.
    key(
        "well",
        "static_level",
        Kind::Months(Q::Length),
        Between(0.0, 2000.0),
        Needed,
        "\"18 m\"",
        "depth of the standing water below the wellhead",
    ),
    key(
        "well",
        "specific_capacity",
        Kind::Quantity(Q::SpecificCapacity),
        Above(0.0, 10_000.0),
        without("the drawdown is not known and taken as zero: the head is too low by it"),
        "\"0.5 gpm/ft\"",
        "flow for each metre or foot that the water falls while pumping",
    ),
    key(
        "well",
        "yield",
        Kind::Quantity(Q::Flow),
        Above(0.0, 10_000.0),
        without("the well gives all that the pump can lift"),
        "\"20 L/min\"",
        "the most that the well gives",
    ),
    key(
        "well",
        "water_temperature",
        Kind::Quantity(Q::Temperature),
        Between(0.0, 40.0),
        default(
            "\"10 degC\"",
            "near the mean air temperature of a temperate year; common practice, from memory",
        ),
        "\"50 degF\"",
        "temperature of the water; it sets its viscosity",
    ),
    // Pump.
    key(
        "pump",
        "duty",
        Kind::Duty,
        Any,
        Needed,
        "[[\"20 m\", \"60 W\", \"7 L/min\"], [\"20 m\", \"120 W\", \"13 L/min\"]]",
        "rows of the maker's table: total head, electrical power, flow",
    ),
    key(
        "pump",
        "start_power",
        Kind::Quantity(Q::Power),
        Between(0.0, 1e6),
        without(
            "below the lowest tabulated power at a head the flow is zero, the dry end of what a table leaves open",
        ),
        "\"35 W\"",
        "power at which the pump starts; from there a straight line to the lowest tabulated power",
    ),
    key(
        "pump",
        "tracking_efficiency",
        Kind::Ratio,
        Above(0.0, 1.0),
        default("1.0", "the duty table's power is taken at the controller's input"),
        "0.97",
        "efficiency of the maximum power tracker between array and pump",
    ),
    // Pipe.
    key(
        "pipe.*",
        "length",
        Kind::Quantity(Q::Length),
        Between(0.0, 100_000.0),
        Needed,
        "\"120 ft\"",
        "length of the run",
    ),
    key(
        "pipe.*",
        "bore",
        Kind::Quantity(Q::Length),
        Above(0.0, 2.0),
        Needed,
        "\"26 mm\"",
        "inside diameter; not the nominal size",
    ),
    key(
        "pipe.*",
        "material",
        Kind::Material,
        Any,
        free("either this or roughness"),
        "\"plastic\"",
        "material of new pipe",
    ),
    key(
        "pipe.*",
        "roughness",
        Kind::Quantity(Q::Length),
        Between(0.0, 0.01),
        free("either this or material"),
        "\"0.0015 mm\"",
        "roughness of the wall",
    ),
    key(
        "pipe.*",
        "fittings",
        Kind::Fittings,
        Between(0.0, 1000.0),
        without("the run has no fittings, only straight pipe"),
        "{ elbow = 2 }",
        "how many fittings of each kind",
    ),
    // Herd.
    key("herd.*", "count", Kind::Number, Between(0.0, 1e6), Needed, "40", "number of heads"),
    key(
        "herd.*",
        "drinks",
        Kind::Months(Q::DailyVolume),
        Between(0.0, 1.0),
        NEED,
        "\"55 L\"",
        "what one head drinks in a day",
    ),
    key(
        "herd.*",
        "class",
        Kind::Word(&["beef cow"]),
        Any,
        free("either this or drinks"),
        "\"beef cow\"",
        "a class with a published need that follows the day's temperature",
    ),
    key(
        "herd.*",
        "mass",
        Kind::Quantity(Q::Mass),
        Between(1100.0 * POUND_KG, 1500.0 * POUND_KG),
        COW,
        "\"1200 lb\"",
        "live mass of one cow",
    ),
    key(
        "herd.*",
        "milk",
        Kind::Quantity(Q::DailyMass),
        Between(0.0, 25.0 * POUND_KG),
        COW,
        "\"4 kg\"",
        "milk of one cow in a day",
    ),
    key(
        "herd.*",
        "pattern",
        Kind::Pattern,
        Between(0.0, 1.0),
        default("\"two visits\"", "constructed to agree with measured peaks, not published"),
        "\"spread\"",
        "when in the day they drink",
    ),
    key(
        "herd.*",
        "present",
        Kind::Dates,
        Any,
        without("they are there all year"),
        "[\"11-01 to 04-30\"]",
        "dates on which the group is there",
    ),
    key(
        "extra.*",
        "drinks",
        Kind::Months(Q::DailyVolume),
        Between(0.0, 10_000.0),
        Needed,
        "\"200 L\"",
        "what is drawn in a day",
    ),
    key(
        "extra.*",
        "pattern",
        Kind::Pattern,
        Between(0.0, 1.0),
        default("\"even\"", "the same in every hour"),
        "\"even\"",
        "when in the day it is drawn",
    ),
    key(
        "extra.*",
        "present",
        Kind::Dates,
        Any,
        without("it is drawn all year"),
        "[\"05-01 to 09-30\"]",
        "dates on which it is drawn",
    ),
    // Tank.
    key(
        "tank.*",
        "capacity",
        Kind::Quantity(Q::Volume),
        Above(0.0, 100_000.0),
        Needed,
        "\"20 m3\"",
        "usable volume between outlet and overflow",
    ),
    key(
        "tank.*",
        "inlet_height",
        Kind::Quantity(Q::Length),
        Between(-1000.0, 1000.0),
        Needed,
        "\"4 m\"",
        "height of the inlet above the wellhead; negative when the tank lies lower",
    ),
    key(
        "tank.*",
        "discharge_pressure",
        Kind::Quantity(Q::Pressure),
        Between(0.0, 1e7),
        default("\"0 kPa\"", "the pipe ends in free air"),
        "\"20 kPa\"",
        "pressure that is kept at the inlet, such as at a float valve",
    ),
    key(
        "tank.*",
        "float_stop",
        Kind::Quantity(Q::Volume),
        Above(0.0, 100_000.0),
        without("no float stops the pump: what the tank cannot hold is spilled"),
        "\"19 m3\"",
        "stored volume at which a float stops the pump",
    ),
    key(
        "tank.*",
        "float_start",
        Kind::Quantity(Q::Volume),
        Between(0.0, 100_000.0),
        free("as float_stop: the float only holds the level"),
        "\"15 m3\"",
        "stored volume at which the float lets the pump start again",
    ),
    key(
        "tank.*",
        "leak",
        Kind::Quantity(Q::Flow),
        Between(0.0, 1000.0),
        default("\"0 L/day\"", "a tight tank"),
        "\"5 L/day\"",
        "water that the tank loses all the time",
    ),
    // Rules.
    key(
        "rules",
        "tolerance",
        Kind::Quantity(Q::Fraction),
        Between(0.0, 1.0),
        default("\"1 %\"", "dryspell's definition of a day of shortfall"),
        "\"5 %\"",
        "share of a day's draw that may be short before the day counts",
    ),
    key(
        "rules",
        "carry",
        Kind::Word(&["within day", "none"]),
        Any,
        default("\"within day\"", "dryspell's definition: animals drink later the same day if they can"),
        "\"none\"",
        "what becomes of thirst that the tank could not meet in its hour",
    ),
    key(
        "rules",
        "tank_year_starts",
        Kind::Month,
        Any,
        without("the month in which the tank is most often full, found by the run"),
        "\"may\"",
        "first month of the year that yearly figures are counted by",
    ),
];

/// The key of a table, if there is one.
#[must_use]
pub fn find(section: &str, name: &str) -> Option<&'static KeyDoc> {
    KEYS.iter().find(|k| k.section == section && k.name == name)
}

/// Names that may stand in a table: its keys and the tables inside it.
pub(super) fn names_in(section: &str) -> Vec<&'static str> {
    let keys = KEYS.iter().filter(|k| k.section == section).map(|k| k.name);
    let inner = SECTIONS.iter().filter_map(|s| {
        let rest =
            if section.is_empty() { Some(s.path) } else { s.path.strip_prefix(section)?.strip_prefix('.') }?;
        let (first, after) = rest.split_once('.').unwrap_or((rest, ""));
        (first != "*" && matches!(after, "" | "*")).then_some(first)
    });
    keys.chain(inner).collect()
}

/// The page of all keys, in Markdown: one table for each table of the file.
#[must_use]
pub fn page() -> String {
    use std::fmt::Write as _;

    let mut out = String::from("# Keys\n");
    let mut part = |section: &str, heading: String| {
        // Writing to a String cannot fail.
        let _ = write!(
            out,
            "\n{heading}\n\n| key | holds | range | when left out | example | meaning |\n| --- | --- | --- | --- | --- | --- |\n"
        );
        for key in KEYS.iter().filter(|k| k.section == section) {
            let left_out = match key.presence {
                Needed => "needed".to_string(),
                Presence::Default { literal, source } => format!("`{literal}`: {source}"),
                Presence::Without { means } => means.to_string(),
                Presence::Free { note } => note.to_string(),
            };
            let _ = writeln!(
                out,
                "| `{}` | {} | {} | {left_out} | `{}` | {} |",
                key.name,
                key.kind.words(),
                key.range.text(key.kind, System::Si),
                key.example,
                key.meaning
            );
        }
    };
    part("", "At the top of the file:".to_string());
    for section in SECTIONS {
        let need = match (section.needed, section.most) {
            (true, 1) => " (exactly one)",
            (true, _) => "",
            (false, _) => " (may be left out)",
        };
        let path = section.path.replace('*', "NAME");
        part(section.path, format!("`[{path}]`: {}{need}", section.meaning));
    }
    out
}

impl Kind {
    /// What a key of this kind holds, in words.
    #[must_use]
    pub fn words(self) -> String {
        let unit = |q: Quantity| match q.units() {
            [first, second, ..] => format!("{} (`{}`, `{}`, …)", q.name(), first.symbol, second.symbol),
            [first] => format!("{} (`{}`)", q.name(), first.symbol),
            [] => q.name().to_string(),
        };
        match self {
            Self::Text => "text".into(),
            Self::Files => "a file name or a list of them".into(),
            Self::Word(words) => words.iter().map(|w| format!("`\"{w}\"`")).collect::<Vec<_>>().join(" or "),
            Self::Material => "a material".into(),
            Self::Quantity(q) => unit(q),
            Self::Months(q) => format!("{}, or twelve from January", unit(q)),
            Self::Coefficient(q) => format!("{}, or in `%/K`", unit(q)),
            Self::Ratio => "a number, or a share in `%`".into(),
            Self::Number => "a number".into(),
            Self::Count => "a whole number".into(),
            Self::Flag => "`true` or `false`".into(),
            Self::Direction => "a point of the compass, or degrees from north".into(),
            Self::Month => "a month".into(),
            Self::Dates => "dates: `\"11-15\"`, `\"11-01 to 04-30\"`, or a list".into(),
            Self::Pattern => "a pattern's name, or 24 shares that sum to 1".into(),
            Self::Horizon => "pairs of azimuth and elevation".into(),
            Self::Duty => "rows of head, power and flow".into(),
            Self::Fittings => "a table of fittings".into(),
        }
    }
}
