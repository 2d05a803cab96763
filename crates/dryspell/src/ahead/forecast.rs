//! A forecast of one's own laid over the first days ahead of every year.

use crate::calendar::{Day, HOURS_PER_DAY};
use crate::record::Record;

/// Most that a day's sun brings on the level, kWh/m²: above the top of the air it is less than 13 at any place and date (from memory).
pub(super) const MOST_KWH_PER_M2: f64 = 13.0;

/// Days before and after a date among which a day of the record is looked for.
const WINDOW_DAYS: u32 = 15;

/// Puts days of the record in the place of the first days from each start: for each the one within 15 days of its date, of any year, whose sum
/// of sun is nearest to the forecast's, its light then scaled to it. Sun, air and wind are those of the day; snow depth and rain stay,
/// since they go on from the day before. All years then begin with the same weather: the forecast is taken as certain.
pub(super) fn lay(record: &mut Record, starts: &[usize], forecast_kwh_per_m2: &[f64]) {
    if forecast_kwh_per_m2.is_empty() {
        return;
    }
    let from = record.clone();
    let days = from.calendar.days();
    let kwh_per_m2: Vec<f64> =
        from.ghi_w_per_m2.chunks(HOURS_PER_DAY).map(|day| day.iter().sum::<f64>() / 1000.0).collect();
    for start in starts {
        for (number, wanted) in forecast_kwh_per_m2.iter().enumerate() {
            let to = start + number;
            // A start's own day is always a candidate, so the search finds one.
            let near = (0..days.len()).filter(|day| apart(days[*day], days[to]) <= WINDOW_DAYS);
            let distance = |day: &usize| (kwh_per_m2[*day] - wanted).abs();
            let Some(day) = near.min_by(|a, b| distance(a).total_cmp(&distance(b))) else { continue };
            let factor = if kwh_per_m2[day] > 0.0 { wanted / kwh_per_m2[day] } else { 0.0 };
            copy(&from, record, day, to, factor);
        }
    }
}

/// Days between two dates in the circle of the year.
fn apart(a: Day, b: Day) -> u32 {
    let days = a.day_of_year().abs_diff(b.day_of_year());
    days.min(365_u32.saturating_sub(days))
}

fn copy(from: &Record, into: &mut Record, day: usize, to: usize, factor: f64) {
    let hours = |day: usize| day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY;
    let scaled = |from: &[f64], into: &mut [f64], factor: f64| {
        for (into, from) in into[hours(to)].iter_mut().zip(&from[hours(day)]) {
            *into = from * factor;
        }
    };
    let some = |from: &Option<Vec<f64>>, into: &mut Option<Vec<f64>>, factor: f64| {
        if let (Some(from), Some(into)) = (from, into) {
            scaled(from, into, factor);
        }
    };
    scaled(&from.ghi_w_per_m2, &mut into.ghi_w_per_m2, factor);
    some(&from.dni_w_per_m2, &mut into.dni_w_per_m2, factor);
    some(&from.dhi_w_per_m2, &mut into.dhi_w_per_m2, factor);
    for (from, into) in from.parts.iter().zip(&mut into.parts) {
        scaled(&from.ghi_w_per_m2, &mut into.ghi_w_per_m2, factor);
        some(&from.dni_w_per_m2, &mut into.dni_w_per_m2, factor);
        some(&from.dhi_w_per_m2, &mut into.dhi_w_per_m2, factor);
    }
    scaled(&from.air_degc, &mut into.air_degc, 1.0);
    some(&from.wind_m_per_s, &mut into.wind_m_per_s, 1.0);
    some(&from.relative_humidity, &mut into.relative_humidity, 1.0);
}
