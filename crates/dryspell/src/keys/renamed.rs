//! Keys whose name changed: the old one is read for one version, with a hint.

/// Section, name until 0.1, name now. Taken out with 0.3.
const RENAMED: &[(&str, &str, &str)] = &[
    ("array.*", "washed_by", "cleaning_rain"),
    ("array.*", "damp_for", "dust_free_for"),
    ("pump", "volt_duty", "voltage_table"),
    ("garden.*", "soil_holds", "soil_storage"),
    ("hydrant.*", "walk", "walking_distance"),
    ("frost.part.*", "lies", "location"),
];

/// The name that a key has now; `None` for a key whose name did not change.
pub(crate) fn renamed(section: &str, key: &str) -> Option<&'static str> {
    // The booster's panels have the keys of an array.
    let section = super::listed_under(section);
    RENAMED.iter().find(|(s, old, _)| *s == section && *old == key).map(|(_, _, now)| *now)
}

/// Keys of a table that had another name: the name until 0.1, the name now.
pub(crate) fn old_names(section: &str) -> impl Iterator<Item = (&'static str, &'static str)> {
    let section = super::listed_under(section);
    RENAMED.iter().filter(move |(s, ..)| *s == section).map(|(_, old, now)| (*old, *now))
}
