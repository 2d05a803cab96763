//! Dull days, cold days and frost in a record's days.

use dryspell::calendar::{Calendar, Day};
use dryspell::frost;
use serde::Serialize;

/// So many days in a row are looked for.
pub(crate) const DULL_LENGTHS: [usize; 4] = [3, 5, 10, 20];
/// Length of the coldest spell, days.
const COLD_DAYS: usize = 5;

/// A run of days with its mean.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Spell {
    /// Number of days.
    pub days: usize,
    /// First day, `YYYY-MM-DD` with the year that the data come from.
    pub from: String,
    /// Last day, included.
    pub to: String,
    /// Mean over the days: kWh/m² a day, or °C.
    pub mean: f64,
}

/// Cold.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cold {
    /// The coldest five days in a row, by mean temperature in °C; fewer where the record is shorter.
    pub coldest_spell: Option<Spell>,
    /// The most days in a row whose mean stays below 0 °C; `None` where no day's does.
    pub longest_frost: Option<Spell>,
    /// Lowest hour, °C.
    pub lowest_degc: f64,
    /// Start of the lowest hour.
    pub lowest_at: String,
    /// Freezing index of each winter, °C·days.
    pub freezing_index: Vec<Winter>,
}

/// The frost of one winter.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Winter {
    /// First day of the twelve months.
    pub from: String,
    /// Last day.
    pub to: String,
    /// Greatest fall of the running sum of daily mean temperatures from an earlier peak, °C·days.
    pub freezing_index_degc_days: f64,
}

/// A day as text.
pub(crate) fn text(day: Day) -> String {
    format!("{:04}-{:02}-{:02}", day.year, day.month, day.day)
}

/// The run of `length` days with the lowest mean; `None` where the record is shorter. One-year records wrap round.
pub(crate) fn lowest_run(calendar: &Calendar, daily: &[f64], length: usize) -> Option<Spell> {
    let n = daily.len();
    if length == 0 || n < length {
        return None;
    }
    let starts = if calendar.is_one_year() { n } else { n - length + 1 };
    let mean_from = |start: usize| (0..length).map(|k| daily[(start + k) % n]).sum::<f64>() / length as f64;
    let (start, mean) = (0..starts)
        .map(|start| (start, mean_from(start)))
        .fold((0, f64::INFINITY), |best, this| if this.1 < best.1 { this } else { best });
    Some(spell(calendar, start, length, mean))
}

fn spell(calendar: &Calendar, start: usize, length: usize, mean: f64) -> Spell {
    let days = calendar.days();
    let day = |k: usize| days.get(k % days.len()).copied().map_or_else(String::new, text);
    Spell { days: length, from: day(start), to: day(start + length - 1), mean }
}

/// The longest run of days below 0 °C.
fn longest_frost(calendar: &Calendar, daily: &[f64]) -> Option<Spell> {
    let n = daily.len();
    let reach = if calendar.is_one_year() { 2 * n } else { n };
    let (mut best, mut run) = ((0, 0), 0);
    for k in 0..reach {
        run = if daily[k % n] < 0.0 { run + 1 } else { 0 };
        if run.min(n) > best.1 {
            best = (k + 1 - run, run);
        }
    }
    let (start, length) = best;
    if length == 0 {
        return None;
    }
    let mean = (0..length).map(|k| daily[(start + k) % n]).sum::<f64>() / length as f64;
    Some(spell(calendar, start % n, length, mean))
}

/// The freezing index of each winter.
fn winters(calendar: &Calendar, daily: &[f64], north: bool) -> Vec<Winter> {
    let winter = |w: frost::Winter| Winter {
        from: text(w.from),
        to: text(w.to),
        freezing_index_degc_days: w.fall.degc_days,
    };
    frost::winters(calendar, daily, north).into_iter().map(winter).collect()
}

/// What there is to say about cold; `daily` and `hourly` are air temperatures in °C.
pub(crate) fn cold(calendar: &Calendar, daily: &[f64], hourly: &[f64], latitude_deg: f64) -> Cold {
    let lowest = (0..hourly.len()).fold(0, |best, h| if hourly[h] < hourly[best] { h } else { best });
    Cold {
        coldest_spell: lowest_run(calendar, daily, COLD_DAYS.min(daily.len())),
        longest_frost: longest_frost(calendar, daily),
        lowest_degc: hourly.get(lowest).copied().unwrap_or(f64::NAN),
        lowest_at: calendar.start_text(lowest),
        freezing_index: winters(calendar, daily, latitude_deg >= 0.0),
    }
}

#[cfg(test)]
#[allow(clippy::float_cmp, reason = "sums of small whole numbers are exact")]
mod tests {
    use super::*;

    /// A year at 5 °C with the given days (from 0) changed.
    fn year(changes: &[(std::ops::Range<usize>, f64)]) -> (Calendar, Vec<f64>) {
        let mut daily = vec![5.0; 365];
        for (days, value) in changes {
            daily[days.clone()].fill(*value);
        }
        (Calendar::year(2019), daily)
    }

    #[test]
    fn a_spell_over_the_years_end_is_found_in_one_year_and_not_in_many() {
        let (calendar, daily) = year(&[(0..2, -1.0), (363..365, -3.0)]);
        let spell = lowest_run(&calendar, &daily, 4).unwrap();
        assert_eq!((spell.from.as_str(), spell.to.as_str(), spell.mean), ("2019-12-30", "2019-01-02", -2.0));
        let frost = longest_frost(&calendar, &daily).unwrap();
        assert_eq!((frost.days, frost.from.as_str(), frost.mean), (4, "2019-12-30", -2.0));
        let two: Vec<Day> = calendar.days().iter().chain(Calendar::year(2020).days()).copied().collect();
        let two = Calendar::new(two, 0);
        let daily: Vec<f64> = daily.iter().copied().chain(vec![5.0; 366]).collect();
        // The earliest of equals.
        assert_eq!(lowest_run(&two, &daily, 4).unwrap().from, "2019-12-28");
        assert_eq!(longest_frost(&two, &daily).unwrap().days, 2);
    }

    #[test]
    fn frost_all_year_is_one_run_of_the_year() {
        let (calendar, daily) = year(&[(0..365, -1.0)]);
        assert_eq!(longest_frost(&calendar, &daily).unwrap().days, 365);
        assert_eq!(longest_frost(&calendar, &year(&[]).1), None);
    }

    #[test]
    fn the_freezing_index_is_the_greatest_fall_of_the_running_sum() {
        // 40 days at -6 with a thaw of 5 days at +2 in the middle: 240 less the 10 that the thaw gives back.
        let (calendar, daily) = year(&[(350..365, -6.0), (0..5, 2.0), (5..30, -6.0)]);
        let winters = winters(&calendar, &daily, true);
        assert_eq!(winters.len(), 1);
        assert_eq!(winters[0].freezing_index_degc_days, 230.0);
        assert_eq!((winters[0].from.as_str(), winters[0].to.as_str()), ("2019-07-01", "2019-06-30"));
    }
}
