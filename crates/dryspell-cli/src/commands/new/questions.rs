//! What is asked of a scheme, in the order of the water, and where the answers go.

use dryspell::draw::classes::{self, Fallback};
use dryspell::scheme::keys::{self, of_path};
use dryspell::units::{Quantity, parse};

use super::dialogue::{Dialogue, Question, Stop};
use super::draft::Draft;
use super::weather::take_weather;
use super::words::{folded, left_out, more, nearly};

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

/// The questions under way.
pub(super) struct Asking<'a, 'd> {
    pub(super) dialogue: &'a mut Dialogue<'d>,
    pub(super) draft: Draft,
}

impl Asking<'_, '_> {
    /// Asks for a key. Enter leaves it as the draft has it.
    fn key(&mut self, key: &str, words: &str, why: &str) -> Result<(), Stop> {
        self.key_or(key, words, why, None)
    }

    /// Asks for a key. Enter sets it to the value given.
    pub(super) fn key_or(
        &mut self,
        key: &str,
        words: &str,
        why: &str,
        default: Option<&str>,
    ) -> Result<(), Stop> {
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
}
