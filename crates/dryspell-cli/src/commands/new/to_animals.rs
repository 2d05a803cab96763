//! The last questions: how the water reaches the animals.

use dryspell::scheme::keys::of_path;

use super::dialogue::{Question, Stop};
use super::questions::Asking;

/// The hydrant's name, and that of the herd's place at it.
const PLACE: &str = "paddock";

impl Asking<'_, '_> {
    /// At the tank, by gravity to a hydrant, or lifted there by a booster.
    pub(super) fn way_to_the_animals(&mut self, herd: &str) -> Result<(), Stop> {
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
