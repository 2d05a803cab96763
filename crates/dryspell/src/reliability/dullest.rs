//! The days in a row that try a scheme most by what comes and what is needed: the proof of a dull fortnight.

use super::periods::DayFigures;

/// How many days in a row are looked at.
pub const LENGTHS: [usize; 4] = [3, 5, 10, 20];

/// Days in a row, all with stock, on which least water was available against the demand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dullest {
    /// How many days.
    pub days: usize,
    /// The first of them, counted from 0.
    pub first_day: usize,
    /// Sun on the panels' plane, kWh/m², of all of them together.
    pub plane_kwh_per_m2: f64,
    /// Available to the tank from the pump, m³.
    pub available_m3: f64,
    /// Pumped into it, m³.
    pub pumped_m3: f64,
    /// Demand of the stock, m³.
    pub demand_m3: f64,
    /// Of it short, m³.
    pub short_m3: f64,
    /// In the tank at the start of the first day, m³.
    pub from_m3: f64,
    /// Lowest level at an hour's end within them, m³.
    pub lowest_m3: f64,
    /// In the tank at the end of the last day, m³.
    pub to_m3: f64,
}

/// The days in a row, of each length, on which available water fell furthest short of demand; a length that no stay of the stock
/// reaches is left out.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | a | available water of a day | m³ | ≥ 0 |
/// | w | demand of the stock on a day | m³ | > 0 on a day with stock |
/// | n | length | days | 1 to the record's |
///
/// # Equation
/// The first day d with the least `Σ (a − w)` over the n days from d on, of those stretches in which every day has stock; the earliest of
/// those that are alike.
///
/// # Validity
/// What is in the tank has no part in the choice: the levels beside it tell what the tank made of it. A year that repeats goes round
/// its end (`wraps`). `start_m3` is the level before the first day of the record.
///
/// # Example
/// ```
/// use dryspell::reliability::dullest::dullest;
/// use dryspell::reliability::periods::DayFigures;
/// let day = |available_m3, end_m3| DayFigures {
///     available_m3, end_m3, demand_m3: 1.0, lowest_m3: end_m3, stock: true, ..DayFigures::default()
/// };
/// // Of any three days in a row the middle ones bring least: 0.75 m³ of 3 m³.
/// let days = [day(2.0, 5.0), day(0.5, 4.5), day(0.0, 3.5), day(0.25, 2.75), day(1.5, 3.25)];
/// let found = dullest(&days, 4.0, false);
/// assert_eq!((found[0].days, found[0].first_day, found[0].available_m3), (3, 1, 0.75));
/// assert_eq!((found[0].from_m3, found[0].lowest_m3, found[0].to_m3), (5.0, 2.75, 2.75));
/// // Five days are all of them, and ten there are not.
/// assert_eq!((found.len(), found[1].days, found[1].from_m3), (2, 5, 4.0));
/// ```
///
/// # References
/// The definition is this project's.
#[must_use]
pub fn dullest(days: &[DayFigures], start_m3: f64, wraps: bool) -> Vec<Dullest> {
    LENGTHS.iter().filter_map(|length| of_length(days, start_m3, wraps, *length)).collect()
}

fn of_length(days: &[DayFigures], start_m3: f64, wraps: bool, length: usize) -> Option<Dullest> {
    let n = days.len();
    let last_start = if wraps && n >= length { n } else { (n + 1).saturating_sub(length) };
    let stretch = |first: usize| (first..first + length).map(move |day| &days[day % n]);
    let balance = |first: usize| stretch(first).map(|day| day.available_m3 - day.demand_m3).sum::<f64>();
    let (first_day, _) = (0..last_start)
        .filter(|first| stretch(*first).all(|day| day.stock))
        .map(|first| (first, balance(first)))
        // What the grid rounds away is no difference: the earlier stays.
        .reduce(|least, next| if next.1 < least.1 - 1e-9 * least.1.abs().max(1.0) { next } else { least })?;
    let sum = |of: fn(&DayFigures) -> f64| stretch(first_day).map(of).sum::<f64>();
    let before = match (first_day.checked_sub(1), wraps) {
        (Some(day), _) => days[day].end_m3,
        (None, true) => days[n - 1].end_m3,
        (None, false) => start_m3,
    };
    Some(Dullest {
        days: length,
        first_day,
        plane_kwh_per_m2: sum(|day| day.plane_kwh_per_m2),
        available_m3: sum(|day| day.available_m3),
        pumped_m3: sum(|day| day.pumped_m3),
        demand_m3: sum(|day| day.demand_m3),
        short_m3: sum(|day| day.short_m3),
        from_m3: before.max(0.0),
        lowest_m3: stretch(first_day).map(|day| day.lowest_m3).fold(before.max(0.0), f64::min),
        to_m3: days[(first_day + length - 1) % n].end_m3,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(available_m3: f64, stock: bool) -> DayFigures {
        let demand_m3 = if stock { 1.0 } else { 0.0 };
        DayFigures { available_m3, demand_m3, stock, ..DayFigures::default() }
    }

    #[test]
    fn stock_stays_for_all_of_them_and_a_year_goes_round() {
        // The stock leaves on day 4: the dull days 3 to 5 are no stretch.
        let mut days: Vec<DayFigures> = (0..30).map(|_| day(2.0, true)).collect();
        days[3..6].iter_mut().for_each(|day| day.available_m3 = 0.0);
        days[4] = day(0.0, false);
        let found = dullest(&days, 0.0, false);
        assert_eq!((found[0].days, found[0].first_day), (3, 1));
        // Round the end of the year: two days before it and one after.
        let mut days: Vec<DayFigures> = (0..30).map(|_| day(2.0, true)).collect();
        for d in [28, 29, 0] {
            days[d].available_m3 = 0.0;
        }
        assert_eq!(dullest(&days, 0.0, true)[0].first_day, 28);
        assert_eq!(dullest(&days, 0.0, false)[0].first_day, 27);
        // All alike: the earliest.
        let alike: Vec<DayFigures> = (0..30).map(|_| day(0.5, true)).collect();
        assert!(dullest(&alike, 0.0, true).iter().all(|found| found.first_day == 0));
        assert!(dullest(&[], 0.0, true).is_empty());
    }
}
