//! Snow on the panels: when it falls, how it slides off, what the scheme says about it, and who sweeps it.

use crate::array::snowfall::{Ground, SnowEnd, ground};
use crate::calendar::{DateSpan, HOURS_PER_DAY, MonthDay};
use crate::record::Record;
use libm::{ceil, round, sin};
use std::borrow::Cow;

/// Snowfall in an hour above which the panels are covered, mm (1 cm).
pub(crate) const COVERING_MM_PER_H: f64 = 10.0;
/// Depth on the ground below which no snow stays on panels, mm (1 cm).
pub(crate) const LEAST_DEPTH_MM: f64 = 10.0;
/// Snow may slide where the air is warmer than the light on the plane over this, W/(m²·K).
const SLIDES_W_PER_M2_K: f64 = -80.0;
/// Share of the slope's length that slides off in an hour, for each unit of the tilt's sine.
const SLIDES_PER_H: f64 = 0.197;

/// What is known about snow on all panels.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Snow {
    /// Dates on which snow covers all panels.
    pub covered: Vec<DateSpan>,
    /// How many days of each month, counted from its first, snow covers all panels.
    pub covered_days: [u8; 12],
    /// Whether the weather file's snow depth, where it has one, puts snow on the panels and lets it slide off.
    pub from_weather: bool,
    /// Which end of what rain and temperature say about snow counts, where the weather file has rain and no depths; `None` leaves it out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from_rain: Option<SnowEnd>,
    /// Dates on which the panels are swept.
    pub swept: Vec<DateSpan>,
    /// Clock hour at which they are swept, 0 to 24.
    pub swept_at_h: f64,
}

impl Default for Snow {
    /// No dates, no sweeping; the weather file's snow counts.
    fn default() -> Self {
        Self {
            covered: Vec::new(),
            covered_days: [0; 12],
            from_weather: true,
            from_rain: None,
            swept: Vec::new(),
            swept_at_h: 12.0,
        }
    }
}

impl Snow {
    /// Whether anything says when snow lies on the panels in this record.
    #[must_use]
    pub fn is_modelled(&self, record: &Record) -> bool {
        self.in_scheme() || self.in_weather(record) || self.in_rain(record)
    }

    fn in_scheme(&self) -> bool {
        !self.covered.is_empty() || self.covered_days.iter().any(|days| *days > 0)
    }

    /// Whether the snow on the panels follows the weather file.
    #[must_use]
    pub fn in_weather(&self, record: &Record) -> bool {
        self.from_weather && record.snow_depth_m.is_some()
    }

    /// Whether the snow on the panels follows the weather file's rain and temperature.
    #[must_use]
    pub fn in_rain(&self, record: &Record) -> bool {
        self.from_rain.is_some() && record.snow_depth_m.is_none() && record.precipitation_mm.is_some()
    }

    /// Whether the scheme says that snow covers the panels in the clock hour that begins `start_minute` after midnight.
    /// Sweeping clears them for the rest of that day.
    #[must_use]
    pub fn covers(&self, date: MonthDay, start_minute: i32) -> bool {
        let days = self.covered_days.get(usize::from(date.month).wrapping_sub(1)).copied().unwrap_or(0);
        let said = date.day <= days || self.covered.iter().any(|span| span.contains(date));
        said && !(self.is_swept_on(date) && self.after_sweeping(start_minute))
    }

    fn is_swept_on(&self, date: MonthDay) -> bool {
        self.swept.iter().any(|span| span.contains(date))
    }

    fn after_sweeping(&self, start_minute: i32) -> bool {
        f64::from(start_minute) >= 60.0 * self.swept_at_h
    }
}

/// Depth in whole millimetres. Depths are measured in centimetres or inches; in metres their differences are not exact, and
/// a rise of 1 cm comes out a hair above or below 0.01 m by chance.
fn whole_mm(depth_m: f64) -> f64 {
    round(1000.0 * depth_m)
}

/// Whether snow of this depth stays on panels.
fn lies(depth_m: f64) -> bool {
    whole_mm(depth_m) >= LEAST_DEPTH_MM
}

/// Snow on a slope, hour after hour.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | c | share of the slope's length covered | – | 0 to 1 |
/// | s | `snowfall_m`: fresh snow of the hour | m | ≥ 0 |
/// | d | `depth_m` on the ground | m | ≥ 0 |
/// | G | `plane_w_per_m2` | W/m² | ≥ 0 |
/// | T | `air_degc` | °C | |
/// | β | `tilt_deg` | degrees | 0 to 90 |
///
/// # Equation
///
/// With s above 1 cm in the hour and d at least 1 cm, `c = 1`. Else, where `T > −G/80`, `c` falls by `0.197·sin β`; with d
/// below 1 cm all slides off; never below zero. s and d are taken to the nearest millimetre, so that 1 cm is 1 cm.
///
/// # Validity
///
/// Fixed racks, validated in Colorado and Wisconsin. Nothing falls off a level panel until the ground is bare. Snowfall
/// is the rise of the record's depth since the hour before, so that snow which settles as it falls, or falls slower than
/// 1 cm in an hour, is missed: the panels then count as clear. A one-year record is a ring and begins with what its end
/// leaves on the panels; another that begins with snow on the ground begins with covered panels.
///
/// # Example
///
/// At 30 degrees a slope loses 9.85 % of its length an hour.
///
/// ```
/// use dryspell::array::snow::Slope;
/// let mut slope = Slope::new(30.0, 0.0);
/// assert_eq!(slope.hour(0.03, 0.1, 0.0, 1.0), 1.0);
/// assert!((slope.hour(0.0, 0.1, 0.0, 1.0) - 0.9015).abs() < 1e-12);
/// ```
///
/// # References
///
/// B. Marion, R. Schaefer, H. Caine and G. Sanchez, *Measured and modeled photovoltaic system energy losses from snow for
/// Colorado and Wisconsin locations*, Solar Energy 97 (2013) 112, doi 10.1016/j.solener.2013.07.029; D. Ryberg and
/// J. Freeman, *Integration, Validation, and Application of a PV Snow Coverage Model in SAM*, NREL/TP-6A20-68705, 2017.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slope {
    slides: f64,
    cover: f64,
}

impl Slope {
    /// A slope by its tilt, degrees, and how much of it is covered at the start, 0 to 1.
    #[must_use]
    pub fn new(tilt_deg: f64, cover: f64) -> Self {
        Self { slides: Self::slides(tilt_deg), cover }
    }

    fn slides(tilt_deg: f64) -> f64 {
        SLIDES_PER_H * sin(tilt_deg.to_radians())
    }

    /// The slope set to another tilt; what lies on it stays.
    pub fn set_tilt(&mut self, tilt_deg: f64) {
        self.slides = Self::slides(tilt_deg);
    }

    /// One hour: share covered at its end.
    pub fn hour(&mut self, snowfall_m: f64, depth_m: f64, plane_w_per_m2: f64, air_degc: f64) -> f64 {
        if whole_mm(snowfall_m) > COVERING_MM_PER_H && lies(depth_m) {
            self.cover = 1.0;
        } else if !lies(depth_m) {
            self.cover = 0.0;
        } else if air_degc > plane_w_per_m2 / SLIDES_W_PER_M2_K {
            self.cover = (self.cover - self.slides).max(0.0);
        }
        self.cover
    }

    /// All is swept off.
    pub const fn sweep(&mut self) {
        self.cover = 0.0;
    }
}

/// Share of an array's strings that work under snow: a string that is covered anywhere gives nothing.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | c | `cover` | – | 0 to 1 |
/// | n | `strings`: cell strings one above the other along the slope | – | ≥ 1 |
/// | | result | – | 0 to 1 |
///
/// # Equation
///
/// `1 − ceil(c·n)/n`
///
/// # Validity
///
/// Strings side by side in the circuit, snow from the lower edge up.
///
/// # Example
///
/// Three strings, the lowest a little covered: two thirds work.
///
/// ```
/// use dryspell::array::snow::working_share;
/// assert!((working_share(0.1, 3) - 2.0 / 3.0).abs() < 1e-12);
/// assert_eq!(working_share(0.1, 1), 0.0);
/// ```
///
/// # References
///
/// Marion et al. 2013 and Ryberg and Freeman 2017 (see [`Slope`]); the latter's equation 11.8 as the library pvlib has it.
#[must_use]
pub fn working_share(cover: f64, strings: u32) -> f64 {
    let n = f64::from(strings.max(1));
    // A whole number of strings that rounding has lifted by a hair is still that number.
    (1.0 - ceil(cover * n - 1e-12) / n).clamp(0.0, 1.0)
}

/// The snow of one array through a record: cover of the slope, hour by hour.
#[derive(Debug)]
pub(crate) struct Cover<'a> {
    snow: &'a Snow,
    record: &'a Record,
    /// Depth on the ground, where it is known.
    depth_m: Option<Cow<'a, [f64]>>,
    /// Fresh snow, where it is not the rise of the depth.
    fresh_m: Option<Vec<f64>>,
    slope: Slope,
    /// Whether the slope has its tilt: it is set at the first hour and at each midnight.
    tilted: bool,
}

impl<'a> Cover<'a> {
    pub(crate) fn new(snow: &'a Snow, record: &'a Record) -> Self {
        let measured = record.snow_depth_m.as_deref().filter(|_| snow.from_weather).map(Cow::Borrowed);
        let (depth_m, fresh_m) = match snow.from_rain.and_then(|end| ground(record, end)) {
            Some(Ground { depth_m, fresh_m }) => (Some(Cow::Owned(depth_m)), Some(fresh_m)),
            None => (measured, None),
        };
        let lies = depth_m.as_deref().and_then(<[f64]>::first).is_some_and(|d| lies(*d));
        Self {
            snow,
            record,
            depth_m,
            fresh_m,
            slope: Slope::new(0.0, f64::from(u8::from(lies))),
            tilted: false,
        }
    }

    /// Whether there is nothing to follow: no panel is ever covered.
    pub(crate) fn is_never(&self) -> bool {
        self.depth_m.is_none() && !self.snow.in_scheme()
    }

    /// Hours to follow before a repeating year begins, so that it begins with what its end leaves: from the last with bare
    /// ground on, which clears the panels; all where the ground is never bare. None for other records.
    pub(crate) fn before(&self) -> std::ops::Range<usize> {
        match &self.depth_m {
            Some(depth) if self.record.calendar.is_one_year() => {
                depth.iter().rposition(|d| !lies(*d)).unwrap_or(0)..depth.len()
            }
            _ => 0..0,
        }
    }

    /// Share of the slope covered in hour `h`; hours come one after the other.
    pub(crate) fn hour(&mut self, h: usize, tilt_deg: f64, plane_w_per_m2: f64) -> f64 {
        let calendar = &self.record.calendar;
        let date = calendar.day_of(h).month_day();
        let minute = calendar.start_minute_of_day(h);
        let slid = self.depth_m.as_deref().map_or(0.0, |depth| {
            if h.is_multiple_of(HOURS_PER_DAY) || !self.tilted {
                self.slope.set_tilt(tilt_deg);
                self.tilted = true;
            }
            let ring = self.record.calendar.is_one_year();
            if let Some(before) = h.checked_sub(1).or(ring.then_some(depth.len() - 1)) {
                let fresh = self.fresh_m.as_ref().map_or_else(|| depth[h] - depth[before], |fresh| fresh[h]);
                self.slope.hour(fresh, depth[h], plane_w_per_m2, self.record.air_degc[h]);
            }
            let swept_now = self.snow.is_swept_on(date)
                && self.snow.after_sweeping(minute)
                && !self.snow.after_sweeping(minute - 60);
            if swept_now {
                self.slope.sweep();
            }
            self.slope.cover
        });
        if self.snow.covers(date, minute) { 1.0 } else { slid }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn warmer_air_steeper_slopes_and_more_sun_never_leave_more_snow() {
        let after = |tilt: f64, air: f64, sun: f64| {
            let mut slope = Slope::new(tilt, 1.0);
            (0..6).map(|_| slope.hour(0.0, 0.2, sun, air)).collect::<Vec<_>>()
        };
        for (a, b) in [
            (after(30.0, -1.0, 300.0), after(60.0, -1.0, 300.0)),
            (after(30.0, -8.0, 300.0), after(30.0, -1.0, 300.0)),
            (after(30.0, -2.0, 100.0), after(30.0, -2.0, 500.0)),
        ] {
            assert!(a.iter().zip(&b).all(|(a, b)| b <= a) && b.last() < a.last(), "{a:?} {b:?}");
        }
    }

    #[test]
    fn bare_ground_clears_and_light_snow_does_not_cover() {
        let mut slope = Slope::new(0.0, 1.0);
        assert!((slope.hour(0.0, 0.05, 500.0, 5.0) - 1.0).abs() < 1e-12);
        assert!(slope.hour(0.0, 0.005, 0.0, -5.0).abs() < 1e-12);
        assert!(slope.hour(0.01, 0.1, 0.0, -5.0).abs() < 1e-12);
        assert!((slope.hour(0.011, 0.1, 0.0, -5.0) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn exactly_a_centimetre_of_snow_in_an_hour_never_covers_whatever_lies_below() {
        for cm in 1..200 {
            let depth = |cm: i32| f64::from(cm) / 100.0;
            for (rise, covered) in [(1, 0.0), (2, 1.0)] {
                let mut slope = Slope::new(0.0, 0.0);
                let cover = slope.hour(depth(cm + rise) - depth(cm), depth(cm + rise), 0.0, -5.0);
                assert!((cover - covered).abs() < 1e-12, "{rise} cm on {cm} cm: {cover}");
            }
        }
        // As depths come out of sums: 0.1 + 0.2 and the like.
        assert!((Slope::new(0.0, 1.0).hour(0.0, 0.3 - 0.29, 0.0, -5.0) - 1.0).abs() < 1e-12);
    }

    /// The ring begins in the middle of a day; snow slides from the tilt that the panels have, not from a level plane.
    #[test]
    fn snow_slides_from_the_first_hour_that_is_followed() {
        let record = Record {
            snow_depth_m: Some((0..8760).map(|h| if h < 8743 { 0.0 } else { 0.05 }).collect()),
            air_degc: vec![1.0; 8760],
            ..crate::sun::tests::record(45.0, crate::calendar::Calendar::year(2001).days().to_vec())
        };
        let snow = Snow::default();
        let mut cover = Cover::new(&snow, &record);
        assert_eq!(cover.before(), 8742..8760);
        let after: Vec<f64> = cover.before().map(|h| cover.hour(h, 60.0, 0.0)).collect();
        assert!((after[1] - 1.0).abs() < 1e-12 && after[17] < 1e-12, "{after:?}");
    }

    #[test]
    fn the_scheme_covers_by_date_and_month_and_the_broom_clears_the_rest_of_the_day() {
        let day = |month, day| MonthDay { month, day };
        let span = |from, to| DateSpan { from, to };
        let mut covered_days = [0; 12];
        covered_days[0] = 3;
        let snow = Snow {
            covered: vec![span(day(12, 30), day(12, 31))],
            covered_days,
            swept: vec![span(day(1, 2), day(1, 2))],
            swept_at_h: 10.0,
            ..Snow::default()
        };
        for (date, minute, covered) in [
            (day(12, 29), 600, false),
            (day(12, 30), 600, true),
            (day(1, 1), 900, true),
            (day(1, 2), 540, true),
            (day(1, 2), 600, false),
            (day(1, 3), 0, true),
            (day(1, 4), 0, false),
        ] {
            assert_eq!(snow.covers(date, minute), covered, "{date:?} {minute}");
        }
    }
}
