//! Climate scenarios named in a header: the years below it are a model's, not what was measured.

use crate::input::Head;

/// Lines of a file that can be its header.
const MOST_LINES: usize = 200;

/// The scenario that the lines above the data name, but for the name of the place in the plain format: a shared socio-economic pathway (`SSP5-8.5`), a representative
/// concentration pathway (`RCP 4.5`) or one of the special report on emissions (`SRES A1B`).
pub(crate) fn named_in(head: &Head) -> Option<String> {
    let below = |line: &str| line.trim_start().starts_with(|c: char| c.is_ascii_digit());
    let place = |line: &str| line.trim_start_matches(['#', ' ']).starts_with("place:");
    let header = head
        .lines
        .iter()
        .take(MOST_LINES)
        .enumerate()
        .filter(|(n, line)| (*n == 0 || !below(line)) && !place(line));
    header.map(|(_, line)| line).find_map(|line| in_line(line))
}

/// Forcings at the end of the century, W/m², with and without their point.
const FORCINGS: [&str; 14] =
    ["1.9", "19", "2.6", "26", "3.4", "34", "4.5", "45", "6.0", "60", "7.0", "70", "8.5", "85"];

/// A family of scenarios: its mark, whether a pathway from 1 to 5 stands before the forcing, and what may follow.
const FAMILIES: [(&str, bool, &[&str]); 3] =
    [("SSP", true, &FORCINGS), ("RCP", false, &FORCINGS), ("SRES", false, &["A1", "A2", "B1", "B2"])];

fn in_line(line: &str) -> Option<String> {
    let upper = line.to_ascii_uppercase();
    FAMILIES.iter().find_map(|(mark, pathway, values)| {
        upper.match_indices(mark).find_map(|(at, _)| {
            let before = upper[..at].chars().next_back();
            let after = upper[at + mark.len()..].trim_start_matches([' ', '-', '_', ':']);
            let is_word = !before.is_some_and(char::is_alphanumeric);
            let behind = match after.strip_prefix(|c: char| *pathway && ('1'..='5').contains(&c)) {
                Some(rest) => rest.trim_start_matches(['-', '_']),
                None if *pathway => "",
                None => after,
            };
            let known = values.iter().any(|value| behind.starts_with(value));
            (is_word && known).then(|| {
                let part = |c: &char| c.is_ascii_alphanumeric() || matches!(c, '.' | '-');
                let value: String = after.chars().take_while(part).collect();
                format!("{mark} {}", value.trim_end_matches(['.', '-']))
            })
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scenarios_are_known_by_their_mark_and_a_value_that_they_can_have() {
        for (line, name) in [
            ("COMMENTS 1,morphed to SSP5-8.5 of 2050", Some("SSP 5-8.5")),
            ("# note: CMIP6 ssp245, bias corrected", Some("SSP 245")),
            ("LOCATION,Dry Creek_RCP85_2050,MT,USA", Some("RCP 85")),
            ("# scenario: RCP 4.5", Some("RCP 4.5")),
            ("COMMENTS 2,IPCC SRES A1B", Some("SRES A1B")),
            ("# note: SSP raingauge, RCP office 12", None),
            ("# note: Well SSP-1 pasture, SSP 3", None),
            ("# place: Gossp5 farm", None),
            ("# note: measured 2010 to 2020", None),
        ] {
            assert_eq!(in_line(line).as_deref(), name, "{line}");
        }
    }

    #[test]
    fn rows_of_data_name_no_scenario() {
        assert_eq!(named_in(&Head::of(b"# place: Rcp26 Creek\ntime,ghi_w_per_m2\n")), None);
        assert_eq!(named_in(&Head::of(b"# place: x\ntime,ghi_w_per_m2\n2020-01-01T00:00,SSP5\n")), None);
    }
}
