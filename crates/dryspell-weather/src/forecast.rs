//! A forecast of daily sun, as a table of one's own.

use dryspell::calendar::MonthDay;
use dryspell::fault::{Fault, FaultKind, Location};
use dryspell::units::{Quantity, parse};

/// The columns of the sun that are read, and the unit of each.
const SUN: [(&str, &str); 3] =
    [("ghi_kwh_per_m2", "kWh/m2"), ("ghi_wh_per_m2", "Wh/m2"), ("ghi_mj_per_m2", "MJ/m2")];

/// What a table of a forecast is.
const ACCEPTED: &str =
    "a header `date,ghi_kwh_per_m2` (or ghi_wh_per_m2, ghi_mj_per_m2) and a row for each day";

/// A day of a forecast.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ForecastDay {
    /// Month and day.
    pub date: MonthDay,
    /// Global horizontal irradiation, kWh/m², ≥ 0.
    pub ghi_kwh_per_m2: f64,
}

/// Reads the days of a forecast, in the order of the rows: `date` as YYYY-MM-DD or MM-DD, and the sun of the day on the level. Lines that begin
/// with `#` are left out.
///
/// ```
/// use dryspell_weather::forecast;
/// let days = forecast::read("date,ghi_mj_per_m2\n2026-12-14,3.6\n2026-12-15,1.8\n").unwrap();
/// assert_eq!((days[0].date.month, days[0].date.day, days[0].ghi_kwh_per_m2), (12, 14, 1.0));
/// ```
///
/// # Errors
/// A [`Fault`] with the line for a missing column, a row of another length, or what is no date or no number of 0 or more.
pub fn read(text: &str) -> Result<Vec<ForecastDay>, Fault> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
    let header = reader.headers().map_err(|e| unread(&e))?.clone();
    let place = |names: &dyn Fn(&str) -> bool| header.iter().position(names);
    let missing = |what: &str| {
        let found: Vec<&str> = header.iter().collect();
        fault(1, format!("no column {what} among \"{}\"", found.join(",")), "name the columns so")
    };
    let date_at = place(&|name| name.eq_ignore_ascii_case("date")).ok_or_else(|| missing("date"))?;
    let named = |name: &str| SUN.into_iter().find(|(known, _)| known.eq_ignore_ascii_case(name));
    let sun_at = place(&|name| named(name).is_some()).ok_or_else(|| missing("of the sun"))?;
    let unit = header.get(sun_at).and_then(named).map_or("", |(_, unit)| unit);
    let mut days = Vec::new();
    for row in reader.records() {
        let row = row.map_err(|e| unread(&e))?;
        let line = row.position().map_or(0, csv::Position::line);
        let date = row.get(date_at).unwrap_or_default();
        let sun = row.get(sun_at).unwrap_or_default();
        let ghi_kwh_per_m2 = parse(&format!("{sun} {unit}"), Quantity::DailyIrradiation)
            .ok()
            .filter(|kwh| *kwh >= 0.0)
            .ok_or_else(|| {
                fault(line, format!("\"{sun}\" is no sum of sun"), "write a number of 0 or more")
            })?;
        let date = MonthDay::read_date(date)
            .ok_or_else(|| fault(line, format!("\"{date}\" is no date"), "write 2026-12-14 or 12-14"))?;
        days.push(ForecastDay { date, ghi_kwh_per_m2 });
    }
    Ok(days)
}

fn unread(error: &csv::Error) -> Fault {
    let line = error.position().map_or(1, csv::Position::line);
    fault(line, error.to_string().replace('\n', " "), "correct the row")
}

fn fault(line: u64, found: String, way_out: &str) -> Fault {
    let line = usize::try_from(line).ok();
    Fault {
        location: Location { line, ..Location::default() },
        kind: FaultKind::Weather,
        found,
        accepted: ACCEPTED.to_owned(),
        way_out: way_out.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_forecast_is_told_with_its_line() {
        for (text, wanted) in [
            ("", "line 1: no column date among \"\""),
            ("date,sun\n", "no column of the sun among \"date,sun\""),
            ("date,ghi_kwh_per_m2\n12-14,1\n13-14,1\n", "line 3: \"13-14\" is no date"),
            ("date,ghi_kwh_per_m2\n12-14,-1\n", "line 2: \"-1\" is no sum of sun"),
            ("date,ghi_kwh_per_m2\n12-14,1,5 \n", "line 2"),
            ("date,ghi_kwh_per_m2\n12-14\n", "line 2"),
        ] {
            let found = read(text).unwrap_err().to_string();
            assert!(found.contains(wanted), "{found}");
            assert_eq!(found.lines().count(), 1);
        }
        let days = read("# mine\nDATE, GHI_WH_PER_M2, note\n2026-02-29, 500, x\n").unwrap();
        assert_eq!(days, [ForecastDay { date: MonthDay { month: 2, day: 29 }, ghi_kwh_per_m2: 0.5 }]);
    }
}
