//! What people call a key that has another name here.

/// Names under which a key stands in another table, or in a maker's sheet, but not here: table, name, the key here.
const CALLED_OTHERWISE: &[(&str, &str, &str)] = &[
    ("booster", "head_flow", "table"),
    ("booster", "voltage_table", "table"),
    ("booster", "duty", "table"),
    ("booster", "curve", "table"),
    ("pump", "table", "duty"),
    ("pump", "power_flow", "duty"),
    ("hydrant.*", "inlet_height", "height"),
    ("tank.*", "volume", "capacity"),
    ("tank.*", "height", "inlet_height"),
    ("inflow.*", "tank", "into"),
    ("inflow.*", "area", "catchment_area"),
    ("inflow.*", "coefficient", "runoff_coefficient"),
    ("goal", "shortfall_days", "short_days"),
    ("goal", "days_short", "short_days"),
    ("goal", "dry_hours", "dry_hours_in_a_row"),
    ("goal", "longest_dry_hours", "dry_hours_in_a_row"),
    ("goal", "level", "lowest_level"),
    ("goal", "dry_years", "dry_years_in_ten"),
    ("pipe.*", "diameter", "bore"),
    ("herd.*", "heads", "count"),
    ("herd.*", "weight", "mass"),
    ("herd.*", "head", "count"),
    ("herd.*", "number", "count"),
    ("herd.*", "intake", "drinks"),
    ("herd.*", "demand", "drinks"),
    ("herd.*", "season", "present"),
    ("herd.*", "dates", "present"),
    ("well", "water_level", "static_level"),
    ("well", "level", "static_level"),
    ("well", "pump_depth", "pump_setting"),
    ("well", "depth", "pump_setting"),
    ("backup", "rate", "flow"),
    ("backup", "volume", "load"),
    ("backup", "tank", "into"),
    ("", "borehole", "well"),
    ("", "controller", "coupling"),
    ("", "inverter", "coupling"),
    ("array.*", "slope", "tilt"),
    ("array.*", "orientation", "azimuth"),
];

/// What stands in another table here.
struct Elsewhere {
    /// The table in which it is looked for.
    table: &'static str,
    /// What it is called there.
    called: &'static [&'static str],
    /// The table in which it stands.
    here: &'static str,
    /// The keys to begin with.
    keys: &'static [&'static str],
    /// What that is.
    what: &'static str,
}

const fn there(
    table: &'static str,
    called: &'static [&'static str],
    here: &'static str,
    keys: &'static [&'static str],
    what: &'static str,
) -> Elsewhere {
    Elsewhere { table, called, here, keys, what }
}

/// Names of other places, with where they stand here.
const ELSEWHERE: &[Elsewhere] = &[
    there(
        "",
        &["roof", "rain", "rainwater", "catchment"],
        "inflow.*",
        &["catchment_area"],
        "rain from a roof is an inflow",
    ),
    there(
        "",
        &["spring", "creek", "hand_pump"],
        "inflow.*",
        &["flow"],
        "what runs into the tank by itself is an inflow",
    ),
    there(
        "",
        &["generator", "genset", "engine", "diesel"],
        "backup",
        &["flow", "cost_per_hour"],
        "water pumped by an engine when the tank is low is a backup",
    ),
    there(
        "",
        &["haul", "hauling", "haulage", "truck", "tanker", "bowser"],
        "backup",
        &["load", "cost_per_load"],
        "water hauled when the tank is low is a backup",
    ),
    there(
        "",
        &["mains", "town_water"],
        "backup",
        &["flow"],
        "a main that is opened when the tank is low is a backup; one that runs by the clock is an [inflow.NAME]",
    ),
    there("", &["battery"], "booster.battery", &["capacity"], "the battery is that of the booster"),
    there("", &["trough", "troughs", "drinker"], "hydrant.*", &["trough"], "a trough stands at its hydrant"),
    there(
        "",
        &["panel", "panels", "solar", "module"],
        "array.*.module",
        &["isc", "voc"],
        "panels stand in their array",
    ),
    there("", &["cable"], "array.*.cable", &["length"], "the cable is that of its array"),
    there(
        "",
        &["animals", "cattle", "cows", "sheep", "stock", "livestock"],
        "herd.*",
        &["count"],
        "animals are a herd",
    ),
    there("", &["wildlife", "deer"], "extra.*", &["drinks"], "a draw besides the stock's is an extra"),
    there(
        "",
        &["float", "float_switch"],
        "tank.*",
        &["float_stop", "float_start"],
        "the float is that of its tank",
    ),
    there("", &["evaporation"], "tank.*", &["open_surface"], "what evaporates goes by the tank's open water"),
    there("", &["shade", "shading"], "site", &["horizon"], "what shades the panels is told as a horizon"),
    there("", &["target", "requirement"], "goal", &["short_days"], "what is asked of the scheme is its goal"),
    there(
        "tank.*",
        &["fill", "refill", "top_up", "backup"],
        "backup",
        &["into", "starts_below", "stops_at"],
        "water brought when a tank is low is a backup, which names its tank",
    ),
    there(
        "tank.*",
        &["roof", "rain", "catchment"],
        "inflow.*",
        &["into", "catchment_area"],
        "rain from a roof is an inflow, which names its tank",
    ),
    there(
        "tank.*",
        &["inflow", "spring"],
        "inflow.*",
        &["into", "flow"],
        "an inflow has a table of its own and names its tank",
    ),
    there(
        "tank.*",
        &["pipe", "pump"],
        "tank.*.feed",
        &["from"],
        "what feeds a tank from another stands in its feed",
    ),
    there("tank.*", &["evaporation"], "tank.*", &["open_surface"], "what evaporates goes by the open water"),
    there(
        "well",
        &["drawdown"],
        "well",
        &["specific_capacity", "step_test"],
        "drawdown is told by the flow that makes it",
    ),
    there(
        "array.*",
        &["watts", "power", "peak_power"],
        "array.*.module",
        &["power", "nominal_voltage"],
        "power is that of the module",
    ),
    there(
        "array.*",
        &["panels", "modules", "count"],
        "array.*",
        &["series", "parallel"],
        "their number is strings times panels in each",
    ),
];

/// Where what is meant by a name stands here, in words.
pub(super) fn stands_elsewhere(doc: &str, name: &str) -> Option<String> {
    let Elsewhere { here, keys, what, .. } =
        ELSEWHERE.iter().find(|entry| entry.table == doc && entry.called.contains(&name))?;
    Some(format!("{what}: [{}] with {}", here.replace('*', "NAME"), keys.join(", ")))
}

/// The key of a table that is meant by a name of [`CALLED_OTHERWISE`], as long as it is not there.
pub(super) fn called_otherwise(doc: &str, name: &str, free: &[&'static str]) -> Option<&'static str> {
    let meant = CALLED_OTHERWISE.iter().find(|(table, called, _)| *table == doc && *called == name)?.2;
    free.iter().copied().find(|key| *key == meant)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scheme::Scheme;
    use crate::scheme::keys::{SECTIONS, find, names_in};

    #[test]
    fn what_stands_elsewhere_stands_there() {
        for Elsewhere { table, called, here, keys, .. } in ELSEWHERE {
            assert!(SECTIONS.iter().any(|section| section.path == *here), "[{here}]");
            for name in *called {
                assert!(!names_in(table).contains(name), "{table}.{name} is known");
                assert_eq!(
                    called_otherwise(table, name, &names_in(table)),
                    None,
                    "{table}.{name} is in both lists"
                );
            }
            for key in *keys {
                assert!(find(here, key).is_some(), "{here}.{key} is none");
            }
        }
    }

    #[test]
    fn a_table_under_another_word_is_led_to_the_one_here() {
        let told = |text: &str| {
            let faults = Scheme::from_toml(&format!("{}\n{text}", crate::scheme::STARTER)).unwrap_err();
            assert_eq!(faults.len(), 1, "{faults}");
            faults[0].way_out.clone()
        };
        assert_eq!(
            told("[roof]\narea = \"60 m2\""),
            "rain from a roof is an inflow: [inflow.NAME] with catchment_area"
        );
        assert_eq!(
            told("[generator]\nflow = \"30 L/min\""),
            "water pumped by an engine when the tank is low is a backup: [backup] with flow, cost_per_hour"
        );
        assert_eq!(
            told("[haul]\nload = \"4 m3\""),
            "water hauled when the tank is low is a backup: [backup] with load, cost_per_load"
        );
        assert_eq!(
            told("[tank.main.fill]\nbelow = \"2 m3\""),
            "water brought when a tank is low is a backup, which names its tank: [backup] with into, starts_below, \
             stops_at"
        );
    }

    #[test]
    fn each_name_is_none_of_its_table_and_means_one_that_is() {
        for (table, called, key) in CALLED_OTHERWISE {
            assert!(find(table, called).is_none(), "{table}.{called} is a key");
            let is_table = table.is_empty() && SECTIONS.iter().any(|section| section.path == *key);
            assert!(is_table || find(table, key).is_some(), "{table}.{key} is none");
            assert_eq!(called_otherwise(table, called, &[*key]), Some(*key));
        }
    }
}
