//! The starter scheme, in either system.

use super::STARTER;
use crate::units::{System, retold, typed};

/// The starter in the units of a system: [`STARTER`] itself, or with each of its values in US units. The heading, which
/// shows both, stays.
///
/// ```
/// use dryspell::scheme::{Scheme, starter};
/// use dryspell::units::System;
/// let text = starter(System::Us);
/// assert!(text.contains("static_level = \"60 ft\""));
/// assert_eq!(Scheme::from_toml(&text)?.units, System::Us);
/// # Ok::<(), dryspell::fault::Faults>(())
/// ```
#[must_use]
pub fn starter(system: System) -> String {
    if system == System::Si {
        return STARTER.to_owned();
    }
    let heading = STARTER.find("\nname = ").unwrap_or(0);
    let (heading, body) = STARTER.split_at(heading);
    let body: String = body.lines().map(|line| line_in_us(line) + "\n").collect();
    let mut text = format!("{heading}{body}");
    // What has no number to turn over: the choice of units, a gauge for an area, the example of a row.
    for (si, us) in IN_WORDS {
        text = text.replace(si, us);
    }
    text
}

/// Passages of the starter and what stands for them in US units.
const IN_WORDS: [(&str, &str); 4] = [
    ("units = \"si\" ", "units = \"us\" "),
    (
        "area = \"4 mm2\"                       # copper cross-section of one wire; or awg or resistance in its place:\n\
         # awg = 10                           # American wire gauge\n",
        "awg = 12                             # American wire gauge of one copper wire; or area or resistance in its place:\n\
         # area = \"4 mm2\"\n",
    ),
    (
        "In US units: [\"65 ft\", \"120 W\", \"3.2 gpm\"]",
        "In metric units: [\"20 m\", \"120 W\", \"12 L/min\"]",
    ),
    ("per metre of", "per foot of"),
];

/// A line of a scheme in the units of a system, as examples in faults are.
pub(super) fn line_in(line: &str, system: System) -> String {
    match system {
        System::Si => line.to_owned(),
        System::Us => line_in_us(line),
    }
}

/// A line with each value in quotes in US units; `"18 m" … or "60 ft"` changes places.
fn line_in_us(line: &str) -> String {
    let mut parts: Vec<String> = line.split('"').map(str::to_owned).collect();
    let mut i = 1;
    while i < parts.len() {
        let us = in_us(&parts[i]);
        if us == parts[i] {
            i += 2;
            continue;
        }
        let other = i + 2;
        let is_choice = parts.get(other).is_some_and(|text| retold(text, System::Si) != *text)
            && parts[i + 1].trim_end().ends_with("or");
        if is_choice {
            parts.swap(i, other);
            i += 4;
        } else {
            parts[i] = us;
            i += 2;
        }
    }
    let told = parts.join("\"");
    // Remarks stay below one another.
    match (remark(line), remark(&told)) {
        (Some(column), Some(at)) => {
            let (value, rest) = told.split_at(at);
            format!("{:<column$}{rest}", format!("{} ", value.trim_end()))
        }
        _ => told,
    }
}

/// Where the remark behind a value begins.
fn remark(line: &str) -> Option<usize> {
    line.get(1..)?.find(" # ").map(|at| at + 2)
}

/// A value in US units as one types it.
fn in_us(value: &str) -> String {
    let told = retold(value, System::Us);
    if told == value { told } else { typed(&told) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scheme::Scheme;
    use crate::units::Quantity;
    use crate::units::show;

    #[test]
    fn the_us_starter_is_nearly_the_same_scheme() {
        let us = Scheme::from_toml(&starter(System::Us)).unwrap_or_else(|f| panic!("{f}"));
        let si = Scheme::from_toml(STARTER).unwrap();
        assert_eq!((us.units, si.units), (System::Us, System::Si));
        let (us, si) = (us.plan(), si.plan());
        let near = |a: f64, b: f64, what: &str| assert!((a / b - 1.0).abs() < 0.03, "{what}: {a} v {b}");
        near(us.tank.capacity_m3, si.tank.capacity_m3, "tank");
        near(us.supply.well.static_level_m[0], si.supply.well.static_level_m[0], "level");
        for (a, b) in us.supply.pipe.runs.iter().zip(&si.supply.pipe.runs) {
            near(a.length_m, b.length_m, &a.name);
            near(a.bore_m, b.bore_m, &a.name);
        }
        assert_eq!(show(us.supply.well.static_level_m[0], Quantity::Length, System::Us), "60 ft");
    }

    #[test]
    fn every_passage_that_has_no_number_is_there_and_no_si_value_is_left() {
        let body = STARTER;
        for (si, _) in IN_WORDS.iter().take(3) {
            assert!(body.contains(si), "{si}");
        }
        let us = starter(System::Us);
        let values = us[us.find("\nname = ").unwrap()..]
            .lines()
            .filter(|line| !line.contains(" or \"") && !line.contains("metric"));
        for line in values {
            for value in line.split('"').skip(1).step_by(2) {
                assert_eq!(retold(value, System::Us), value, "{line}");
            }
        }
    }
}
