//! Snow on the panels.

use super::super::reader::{Reader, Section};
use crate::array::snow::Snow;
use crate::array::snowfall::SnowEnd;
use crate::fault::FaultKind;

pub(super) fn snow(r: &mut Reader<'_>, root: &Section<'_>) -> Option<Snow> {
    let s = r.table(root, "snow")?;
    let covered = r.dates(&s, "covered");
    let days = r.months(&s, "covered_days");
    let from_weather = r.flag(&s, "from_weather");
    let from_rain = r.word(&s, "from_rain").map(|word| match word {
        "least" => SnowEnd::Least,
        _ => SnowEnd::Most,
    });
    let swept = r.dates(&s, "swept");
    let swept_at_h = r.quantity(&s, "swept_at");
    if s.may_have("swept") {
        r.missing_here(&s, "swept_at");
    } else if s.has("swept_at") {
        r.fault_at(
            &s,
            "swept_at",
            FaultKind::Contradiction,
            "swept_at has no effect without swept",
            "swept_at only with swept",
            "remove it, or say on which dates the panels are swept: swept = [\"12-20 to 01-05\"]",
        );
    }
    say_what_is_true(r, days.is_some(), from_weather == Some(false));
    Some(Snow {
        covered,
        covered_days: days.map_or([0; 12], |months| months.map(whole_days)),
        from_weather: from_weather?,
        from_rain,
        swept,
        swept_at_h: swept_at_h.unwrap_or_else(|| Snow::default().swept_at_h),
    })
}

/// No dates are not no snow: days by month may stand in their place, and the weather file may have its own.
fn say_what_is_true(r: &mut Reader<'_>, days_by_month: bool, weather_left_out: bool) {
    let is_dates = |key: &str| key == "snow.covered";
    if days_by_month {
        r.defaults.retain(|d| !is_dates(&d.key));
    } else if weather_left_out && let Some(dates) = r.defaults.iter_mut().find(|d| is_dates(&d.key)) {
        dates.why = "no day has snow on the panels".into();
    }
}

/// Whole days in so many hours, a part of a day counting as one; the key's range ends at 31 days.
fn whole_days(hours: f64) -> u8 {
    let days = libm::ceil(hours / 24.0 - 1e-9).clamp(0.0, 31.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a whole number from 0 to 31"
    )]
    let days = days as u8;
    days
}
