//! What is asked of a scheme, in the order of the water, and where the answers go.

use dryspell::draw::classes::{self, Fallback};
use dryspell::scheme::keys::{self, KeyDoc, Presence, of_path};
use dryspell::units::{Quantity, System, parse};

use super::dialogue::{Dialogue, Question, Stop};
use super::draft::Draft;
use crate::files;
use crate::kinds::{FileNeed, Kind};
use crate::source;

/// The hydrant's name, and that of the herd's place at it.
const PLACE: &str = "paddock";

/// Example rows of no real pump, which reach the heads of the starter.
const VOLT_ROWS: &str = "[[\"20 m\", \"12 V\", \"4 L/min\", \"3 A\"], [\"20 m\", \"24 V\", \"9 L/min\", \"4 A\"], \
                         [\"45 m\", \"12 V\", \"2 L/min\", \"4 A\"], [\"45 m\", \"24 V\", \"6 L/min\", \"5 A\"]]";
/// The same at one voltage.
const HEAD_ROWS: &str = "[[\"0 m\", \"22 L/min\", \"18 A\"], [\"45 m\", \"4 L/min\", \"18 A\"]]";

/// Asks for a scheme that will run: the draft with the answers in it.
pub(super) fn ask(dialogue: &mut Dialogue<'_>, draft: Draft) -> Result<Draft, Stop> {
    let mut asking = Asking { dialogue, draft };
    asking.dialogue.say(
        "Enter takes the value in brackets, ? tells more, Ctrl-C ends without a file. Numbers carry their unit: \
         18 m or 60 ft.",
    )?;
    asking.place_and_weather()?;
    let herd = asking.herd()?;
    asking.well()?;
    asking.pump()?;
    asking.panels()?;
    asking.tank_and_pipe()?;
    asking.way_to_the_animals(&herd)?;
    Ok(asking.draft)
}

struct Asking<'a, 'd> {
    dialogue: &'a mut Dialogue<'d>,
    draft: Draft,
}

impl Asking<'_, '_> {
    /// Asks for a key. Enter leaves it as the draft has it.
    fn key(&mut self, key: &str, words: &str, why: &str) -> Result<(), Stop> {
        self.key_or(key, words, why, None)
    }

    /// Asks for a key. Enter sets it to the value given.
    fn key_or(&mut self, key: &str, words: &str, why: &str, default: Option<&str>) -> Result<(), Stop> {
        let shown = match (default, self.draft.value(key)) {
            (Some(default), _) => default.to_owned(),
            (None, Some(written)) => written,
            (None, None) => left_out(key),
        };
        let shown = if shown.starts_with(['[', '(']) { "the example rows".to_owned() } else { shown };
        let more = more(key, why);
        let is_table =
            of_path(key).is_some_and(|doc| matches!(doc.kind, keys::Kind::Duty | keys::Kind::Rows(_)));
        let mut refused = None;
        let draft = &mut self.draft;
        self.dialogue.ask(&Question { words, default: &shown, more: &more }, |answer| {
            let Some(answer) = answer.or(default) else { return Ok(()) };
            // Who has no table of a pump that suits can still write the rest.
            if is_table && refused.as_deref() == Some(answer) {
                return draft.keep(key, answer);
            }
            draft.set(key, answer).map_err(|fault| {
                refused = Some(answer.to_owned());
                if is_table {
                    format!("{fault}; the same answer again keeps it, to be mended in the file")
                } else {
                    fault
                }
            })
        })
    }

    fn place_and_weather(&mut self) -> Result<(), Stop> {
        self.dialogue.say("\nPLACE AND WEATHER")?;
        self.key("name", "Name of the scheme", "it heads the reports")?;
        self.key("units", "Units of the reports, si or us", "what you type may be in either")?;
        self.key(
            "weather.latitude",
            "Latitude, north positive, such as 42.1 deg",
            "the sun's path goes by it",
        )?;
        self.key(
            "weather.longitude",
            "Longitude, east positive, such as -109.5 deg",
            "noon by the sun goes by it",
        )?;
        let default = self.draft.value("weather.file").unwrap_or_default();
        let mut refused = None;
        let draft = &mut self.draft;
        let note = self.dialogue.ask(
            &Question {
                words: "Weather: an hourly file, or a climate file of twelve monthly means",
                default: &default,
                more: "a path from the scheme's own folder; a climate file makes synthetic years, which prove nothing about a \
                       site; the guide's page on weather says where to get hourly files",
            },
            |answer| {
                let name = answer.unwrap_or(&default);
                let again = refused.as_deref() == Some(name);
                take_weather(draft, name, again).inspect_err(|_| refused = Some(name.to_owned()))
            },
        )?;
        note.map_or(Ok(()), |note| self.dialogue.say(&format!("  {note}")))
    }

    /// The table of the herd, by the name that it gets.
    fn herd(&mut self) -> Result<String, Stop> {
        self.dialogue.say("\nANIMALS")?;
        let draft = &mut self.draft;
        let herd = self.dialogue.ask(
            &Question {
                words: "What they are called, one word of letters a to z",
                default: "cows",
                more: "the name of the group in the scheme and in the columns of the results; more groups can be added in the file",
            },
            |answer| {
                let herd = format!("herd.{}", answer.unwrap_or("cows"));
                let mut renamed = draft.clone();
                renamed.text = renamed.text.replace("[herd.cows]", &format!("[{herd}]"));
                let of_name = |fault: &dryspell::fault::Fault| {
                    fault.location.line.is_none() || fault.location.key.as_deref().is_some_and(|key| key.starts_with("herd"))
                };
                if renamed.faults().iter().any(of_name) || renamed.value(&format!("{herd}.count")).is_none() {
                    return Err("one word of letters a to z, digits, _ and -".to_owned());
                }
                *draft = renamed;
                Ok(herd)
            },
        )?;
        let (class, drinks) = (format!("{herd}.class"), format!("{herd}.drinks"));
        let more_of_class = more(
            &class,
            "their need then follows each day's weather, by a published formula; dryspell herd lists the classes",
        );
        let draft = &mut self.draft;
        let found = self.dialogue.ask(
            &Question {
                words: "Class of animals, such as beef cow",
                default: "none: a figure of your own",
                more: &more_of_class,
            },
            |answer| {
                let Some(word) = answer else { return Ok(None) };
                let mut with_class = draft.clone();
                with_class.leave_out(&drinks);
                with_class.set(&class, word)?;
                *draft = with_class;
                let same = |name: &&&str| folded(name) == folded(word);
                Ok(classes::NAMES.iter().find(same).and_then(|name| classes::find(name)))
            },
        )?;
        match found {
            None => self.key(
                &drinks,
                "What each drinks a day, such as 55 L or 15 gal",
                "twelve values in brackets: by month",
            )?,
            Some(class) => {
                for input in class.inputs {
                    let key = format!("{herd}.{}", input.ask.key());
                    let unit = input.ask.unit().split(' ').next().unwrap_or_default();
                    let typical =
                        class.typical.get(input.ask).map(|v| format!("{} {unit}", input.ask.shown(v)));
                    let words = format!("Of each animal: {}", input.ask.key().replace('_', " "));
                    let default = typical.filter(|_| input.left_out == Fallback::Needed);
                    self.key_or(&key, &words, "the class needs it", default.as_deref())?;
                }
            }
        }
        self.key(
            &format!("{herd}.count"),
            "How many head",
            "the number may change by date: counts, in the file",
        )?;
        self.key(
            &format!("{herd}.present"),
            "When they are there, such as 11-01 to 04-30 (month-day)",
            "days without stock make no day of shortfall",
        )?;
        Ok(herd)
    }

    fn well(&mut self) -> Result<(), Stop> {
        self.dialogue.say("\nWELL")?;
        self.key(
            "well.static_level",
            "Static level: depth of the water at rest, such as 18 m",
            "the head begins with it",
        )?;
        self.key(
            "well.pump_setting",
            "Depth of the pump's intake, such as 30 m",
            "if it is given, the pump stops where the water falls to it",
        )?;
        self.key(
            "well.specific_capacity",
            "Flow for each metre that the water is drawn down, such as 20 L/min/m",
            "from the pumping test: flow divided by drawdown",
        )?;
        self.key(
            "well.yield",
            "Largest flow that the well sustains, such as 25 L/min",
            "the pump gets no more than that",
        )
    }

    fn pump(&mut self) -> Result<(), Stop> {
        self.dialogue.say("\nPUMP")?;
        self.key_or(
            "pump.kind",
            "How the pump is described (? lists the kinds)",
            "it says which of the maker's figures are needed",
            Some("duty table"),
        )?;
        let kind = folded(&self.draft.value("pump.kind").unwrap_or_default());
        let needed: &[(&str, &str)] = match kind.as_str() {
            "volt table" => &[("voltage_table", "CSV file of head, voltage, flow and current")],
            "head flow table" => &[("head_flow", "CSV file of head, flow and current"), ("voltage", "Its voltage")],
            "positive displacement" => &[
                ("displacement", "Water for each turn"),
                ("slip", "Slip flow for each metre of head"),
                ("armature_resistance", "Armature resistance of the motor"),
                ("torque_constant", "Torque constant of the motor"),
                ("friction_torque", "Friction torque"),
                ("highest_voltage", "Highest voltage of the motor"),
                ("highest_head", "Highest head it may work against"),
            ],
            "centrifugal" => &[
                ("rated_flow", "Flow at best efficiency"),
                ("rated_head", "Head at that flow"),
                ("efficiency", "Efficiency of the pump at that flow"),
                ("motor_efficiency", "Efficiency of the motor with its drive"),
            ],
            _ => return self.key(
                "pump.duty",
                "The maker's table: a CSV file of head, power and flow",
                "a header such as head m,power W,flow L/min and a row for each point; the example rows are of no real pump",
            ),
        };
        self.draft.leave_out("pump.duty");
        for (name, words) in needed {
            let key = format!("pump.{name}");
            let example = match *name {
                "voltage_table" => Some(VOLT_ROWS),
                "head_flow" => Some(HEAD_ROWS),
                _ => of_path(&key).map(|doc| doc.example.trim_matches('"')),
            };
            self.key_or(&key, words, "the default is an example of no real pump", example)?;
        }
        Ok(())
    }

    fn panels(&mut self) -> Result<(), Stop> {
        self.dialogue.say("\nPANELS")?;
        self.watts()?;
        self.key("array.main.series", "Panels in series in a string", "their voltages add up")?;
        self.key("array.main.parallel", "Strings in parallel", "their currents add up")?;
        self.key(
            "array.main.tilt",
            "Tilt from the horizontal, such as 55 deg",
            "steep suits winter and sheds snow",
        )?;
        self.key(
            "array.main.azimuth",
            "Direction they face, such as south",
            "north in the southern hemisphere",
        )?;
        self.key(
            "coupling.kind",
            "Coupling between panels and pump (? lists the kinds)",
            "what the controller does",
        )
    }

    /// The power of a panel: the example's currents in proportion, at its voltages.
    fn watts(&mut self) -> Result<(), Stop> {
        let of = |draft: &Draft, name: &str, q| {
            draft
                .value(&format!("array.main.module.{name}"))
                .and_then(|text| parse(&text, q).ok())
                .unwrap_or(0.0)
        };
        let draft = &mut self.draft;
        let (vmp, imp) = (of(draft, "vmp", Quantity::Voltage), of(draft, "imp", Quantity::Current));
        let isc = of(draft, "isc", Quantity::Current);
        self.dialogue.ask(
            &Question {
                words: "Power of one panel at full sun, such as 320 W",
                default: &format!("{:.0} W", vmp * imp),
                more: "the example panel with its currents in proportion; put the figures of the datasheet in the file, under \
                       [array.main.module]: the pump may depend on the voltage",
            },
            |answer| {
                let Some(text) = answer else { return Ok(()) };
                let watts = parse(text, Quantity::Power).map_err(|error| error.to_string())?;
                let mut scaled = draft.clone();
                for (name, amperes) in [("isc", isc), ("imp", imp)] {
                    let key = format!("array.main.module.{name}");
                    let now = format!("{:.2} A", amperes * watts / (vmp * imp));
                    scaled.set(&key, &now).map_err(|fault| format!("{text} is {now} at {vmp} V: {fault}"))?;
                }
                *draft = scaled;
                Ok(())
            },
        )
    }

    fn tank_and_pipe(&mut self) -> Result<(), Stop> {
        self.dialogue.say("\nTANK AND PIPE")?;
        // A float above a smaller tank would be a fault of the capacity's.
        self.draft.leave_out("tank.main.float_stop");
        self.key(
            "tank.main.capacity",
            "Tank: usable volume, such as 12 m3 or 3200 gal",
            "what carries the herd through cloudy days",
        )?;
        let full = self.draft.value("tank.main.capacity").unwrap_or_default();
        let float = nearly(&full);
        self.float_stop(&float)?;
        self.key(
            "tank.main.inlet_height",
            "Height of its inlet above the wellhead, such as 4 m",
            "negative if it is lower",
        )?;
        let setting = self.draft.value("well.pump_setting");
        self.key_or(
            "pipe.drop.length",
            "Length of the pipe in the well",
            "down to the pump",
            setting.as_deref(),
        )?;
        self.key(
            "pipe.buried.length",
            "Length of the pipe from the well to the tank",
            "friction goes by it",
        )?;
        self.key("pipe.buried.bore", "Its bore, the inside diameter, such as 32.6 mm", "not the nominal size")
    }

    fn float_stop(&mut self, default: &str) -> Result<(), Stop> {
        let key = "tank.main.float_stop";
        let more = more(key, "none: the pump runs on and the excess spills");
        let draft = &mut self.draft;
        self.dialogue.ask(
            &Question { words: "Volume at which a float stops the pump, or none", default, more: &more },
            |answer| match answer {
                Some("none") => Ok(()),
                other => draft.set(key, other.unwrap_or(default)),
            },
        )
    }

    /// At the tank, by gravity to a hydrant, or lifted there by a booster.
    fn way_to_the_animals(&mut self, herd: &str) -> Result<(), Stop> {
        self.dialogue.say("\nTO THE ANIMALS")?;
        let ways = ["tank", "gravity", "booster"];
        let way = self.dialogue.ask(
            &Question {
                words: "Where they drink: at the tank, or at a hydrant by gravity or by a booster",
                default: "tank",
                more: "tank, gravity or booster; a booster is a small pump fed from a battery with panels of its own",
            },
            |answer| {
                let word = answer.unwrap_or("tank");
                ways.into_iter().find(|way| *way == word).ok_or_else(|| "tank, gravity or booster".to_owned())
            },
        )?;
        if way == "tank" {
            return Ok(());
        }
        let hydrant = format!("hydrant.{PLACE}");
        let height = if way == "gravity" { "-6 m" } else { "12 m" };
        self.key_or(
            &format!("{hydrant}.height"),
            "Height of the hydrant's valve above the tank's outlet",
            "negative if lower",
            Some(height),
        )?;
        let pipe = format!("{hydrant}.pipe.branch");
        self.key_or(
            &format!("{pipe}.length"),
            "Length of the pipe to it",
            "friction goes by it",
            Some("180 m"),
        )?;
        self.key_or(
            &format!("{pipe}.bore"),
            "Its bore, the inside diameter",
            "not the nominal size",
            Some("26 mm"),
        )?;
        self.fill_in(&[(&format!("{pipe}.material"), "plastic")]);
        // The herd is at the hydrant on the dates on which it is there at all.
        let present =
            self.draft.value(&format!("{herd}.present")).unwrap_or_else(|| "01-01 to 12-31".to_owned());
        self.draft.leave_out(&format!("{herd}.present"));
        let rows: Vec<String> =
            present.split(", ").map(|dates| format!("[\"{PLACE}\", \"{dates}\"]")).collect();
        self.fill_in(&[(&format!("{herd}.at"), &format!("[{}]", rows.join(", ")))]);
        if way == "booster" { self.booster() } else { Ok(()) }
    }

    fn booster(&mut self) -> Result<(), Stop> {
        let rows = of_path("booster.table").map(|doc| doc.example);
        self.key_or(
            "booster.voltage",
            "Voltage of booster and battery",
            "the maker's table is at it",
            Some("24 V"),
        )?;
        self.key_or(
            "booster.table",
            "The booster's table: a CSV file of flow, head and current",
            "from no flow on",
            rows,
        )?;
        self.key_or(
            "booster.battery.capacity",
            "Capacity of the battery, such as 100 Ah",
            "at the hours it is rated for",
            Some("100 Ah"),
        )?;
        self.fill_in(&[
            ("booster.pressure_tank.volume", "80 L"),
            ("booster.pressure_tank.cut_in", "138 kPa"),
            ("booster.pressure_tank.cut_out", "276 kPa"),
            ("booster.panel.series", "1"),
        ]);
        // Its panel is one of those of the pump.
        for key in [
            "tilt",
            "azimuth",
            "module.isc",
            "module.voc",
            "module.imp",
            "module.vmp",
            "module.cells",
            "module.isc_temperature",
            "module.voc_temperature",
        ] {
            if let Some(value) = self.draft.value(&format!("array.main.{key}")) {
                self.fill_in(&[(&format!("booster.panel.{key}"), &value)]);
            }
        }
        Ok(())
    }

    /// What is not asked for. What the reader refuses is told at the end, with all that is at fault.
    fn fill_in(&mut self, values: &[(&str, &str)]) {
        for (key, value) in values {
            let _ = self.draft.set(key, value);
        }
    }
}

/// A word as the reader of schemes compares it.
fn folded(word: &str) -> String {
    word.trim().to_lowercase().replace(['_', '-'], " ")
}

/// What Enter means for a key that the starter leaves out.
fn left_out(key: &str) -> String {
    match of_path(key).map(|doc| doc.presence) {
        Some(Presence::Default { literal, .. }) => literal.trim_matches('"').to_owned(),
        Some(Presence::Free { note }) => format!("leave out: {note}"),
        Some(Presence::Without { means, .. }) => format!("leave out: {means}"),
        Some(Presence::Needed) | None => "leave out".to_owned(),
    }
}

/// What the list of keys says of a key, and what it is for.
fn more(key: &str, why: &str) -> String {
    let Some(KeyDoc { meaning, kind, range, example, .. }) = of_path(key) else { return why.to_owned() };
    let range = range.text(*kind, System::Si);
    let range = if range.is_empty() { range } else { format!("; {range}") };
    format!("{key}: {meaning}; {}{range}; such as {example}; {why}", kind.words().replace('`', ""))
}

/// A float a little below the top, in the user's unit.
fn nearly(full: &str) -> String {
    let at = full.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(full.len());
    let (number, unit) = full.split_at(at);
    number
        .parse::<f64>()
        .map_or_else(|_| full.to_owned(), |n| format!("{} {}", (n * 95.0).round() / 100.0, unit.trim()))
}

/// Takes a file of weather: what it is shows by its content, and it is read as the run will read it. A file that is not there
/// yet is noted; one that is refused is taken if it is named again.
fn take_weather(draft: &mut Draft, name: &str, again: bool) -> Result<Option<String>, String> {
    let path = draft.folder.join(name);
    let mut then = draft.clone();
    let kind = files::beginning(&path).and_then(|bytes| Kind::of(&bytes));
    match kind {
        Some(Kind::Climate) => {
            then.leave_out("weather.file");
            then.set("weather.climate", name)?;
        }
        Some(Kind::Scheme) => {
            return Err(files::beginning(&path)
                .and_then(|bytes| FileNeed::Weather.refusal(name, &bytes))
                .unwrap_or_default());
        }
        Some(Kind::Weather(_)) | None => then.set("weather.file", name)?,
    }
    let mut note = None;
    if !path.exists() {
        note = Some(format!("{} is not there yet: put it there before you run the scheme", path.display()));
    } else if !again && let Ok(scheme) = then.read() {
        source::of_scheme(&scheme, "the scheme", &then.folder)
            .map_err(|failure| format!("{}; or give the same name again to keep it", failure.0.join("; ")))?;
    }
    *draft = then;
    Ok(note)
}
