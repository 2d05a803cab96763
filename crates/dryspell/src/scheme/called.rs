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
    ("array.*", "slope", "tilt"),
    ("array.*", "orientation", "azimuth"),
];

/// The key of a table that is meant by a name of [`CALLED_OTHERWISE`], as long as it is not there.
pub(super) fn called_otherwise(doc: &str, name: &str, free: &[&'static str]) -> Option<&'static str> {
    let meant = CALLED_OTHERWISE.iter().find(|(table, called, _)| *table == doc && *called == name)?.2;
    free.iter().copied().find(|key| *key == meant)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scheme::keys::find;

    #[test]
    fn each_name_is_none_of_its_table_and_means_one_that_is() {
        for (table, called, key) in CALLED_OTHERWISE {
            assert!(find(table, called).is_none(), "{table}.{called} is a key");
            assert!(find(table, key).is_some(), "{table}.{key} is none");
            assert_eq!(called_otherwise(table, called, &[*key]), Some(*key));
        }
    }
}
