//! A small chart of the tank's level through the year, in characters.

/// Rows of the chart.
const ROWS: usize = 8;
/// Most columns.
const COLUMNS: usize = 73;

/// Draws the lowest level of each stretch of days against the full tank, as lines of text. `blocks` uses eighths of a
/// character cell, for terminals; otherwise `#`.
pub(crate) fn levels(lowest_m3: &[f64], full_m3: f64, blocks: bool) -> Vec<String> {
    let step = lowest_m3.len().div_ceil(COLUMNS).max(1);
    let columns: Vec<f64> = lowest_m3
        .chunks(step)
        .map(|days| days.iter().copied().fold(f64::INFINITY, f64::min) / full_m3)
        .collect();
    (0..ROWS)
        .rev()
        .map(|row| {
            columns.iter().map(|share| cell(*share, row, blocks)).collect::<String>().trim_end().to_owned()
        })
        .collect()
}

/// The character of one cell: how much of it lies below the level.
fn cell(share: f64, row: usize, blocks: bool) -> char {
    const EIGHTHS: [char; 9] = [' ', '▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];
    #[allow(clippy::cast_precision_loss, reason = "eight rows")]
    let (rows, row) = (ROWS as f64, row as f64);
    let filled = (share * rows - row).clamp(0.0, 1.0);
    if !blocks {
        return if filled >= 0.5 { '#' } else { ' ' };
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 8")]
    let eighths = (filled * 8.0).round() as usize;
    EIGHTHS[eighths]
}

/// Days that one column of the chart stands for.
pub(crate) fn days_a_column(days: usize) -> usize {
    days.div_ceil(COLUMNS).max(1)
}

#[cfg(test)]
mod tests {
    use super::levels;

    #[test]
    fn a_full_tank_fills_and_an_empty_one_does_not() {
        let lines = levels(&[10.0, 0.0, 5.0], 10.0, false);
        assert_eq!(lines[0], "#");
        assert_eq!(lines[7], "# #");
        assert_eq!(lines[4], "# #");
        assert_eq!(lines[3], "#");
    }
}
