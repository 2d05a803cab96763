//! The sun over a file's rows.

use crate::error::{Error, ErrorKind};
use crate::timing::{DAY_S, julian, month_of};
use dryspell::record::Place;
use dryspell::sun::position::{Ephemeris, Geocentric, Site};
use std::collections::BTreeMap;

/// The slow terms of the sun at both ends of days, joined by lines: within a day they bend by less than 0.001 degrees.
/// Each day is worked out once, however often and in whatever order it is asked for.
#[derive(Debug, Default)]
pub(crate) struct DaySuns {
    ephemeris: Ephemeris,
    days: BTreeMap<i64, [Geocentric; 2]>,
    last: Option<(i64, [Geocentric; 2])>,
}

impl DaySuns {
    /// The sun at a Julian date within the years of [`crate::timing::civil_minute`].
    pub(crate) fn at(&mut self, julian_date: f64) -> Geocentric {
        let midnight = libm::floor(julian_date - 0.5);
        #[expect(clippy::cast_possible_truncation, reason = "a few million days")]
        let day = midnight as i64;
        let [a, b] = match self.last {
            Some((last, ends)) if last == day => ends,
            _ => {
                let ends = self.ends(day, midnight + 0.5);
                self.last = Some((day, ends));
                ends
            }
        };
        let share = julian_date - 0.5 - midnight;
        let mix = |a: f64, b: f64| a + share * (b - a);
        Geocentric {
            sin_declination: mix(a.sin_declination, b.sin_declination),
            equation_of_time_deg: mix(a.equation_of_time_deg, b.equation_of_time_deg),
            distance_au: mix(a.distance_au, b.distance_au),
        }
    }

    fn ends(&mut self, day: i64, from: f64) -> [Geocentric; 2] {
        if let Some(ends) = self.days.get(&day) {
            return *ends;
        }
        // Years are held within 1800 to 2998 when stamps are read, where the ephemeris always answers.
        let nothing = Geocentric { sin_declination: 0.0, equation_of_time_deg: 0.0, distance_au: 1.0 };
        let ends = [from, from + 1.0].map(|date| self.ephemeris.at(date).unwrap_or(nothing));
        self.days.insert(day, ends);
        ends
    }
}

/// The sun at the time of each row: the middle of what a mean covers, or the instant.
#[derive(Debug)]
pub(crate) struct Sunlight<'a> {
    site: Site,
    suns: DaySuns,
    middles: &'a [i64],
    clock_offset_h: f64,
    after_middle_min: f64,
}

/// Sun of one row.
#[derive(Debug, Clone, Copy)]
pub(crate) struct RowSun {
    /// Sine of the declination.
    pub(crate) sin_declination: f64,
    /// Hour angle, rad.
    pub(crate) hour_angle_rad: f64,
    /// Sine of the true elevation.
    pub(crate) up: f64,
}

impl<'a> Sunlight<'a> {
    /// `after_middle_min` is how long after the middle radiation was taken.
    pub(crate) fn new(place: &Place, middles: &'a [i64], clock_offset_h: f64, after_middle_min: f64) -> Self {
        let mut suns = DaySuns::default();
        let mut day = i64::MIN;
        for middle in middles {
            let here = middle.div_euclid(DAY_S);
            if here != day {
                day = here;
                suns.at(julian(*middle, clock_offset_h));
            }
        }
        Self { site: Site::new(place), suns, middles, clock_offset_h, after_middle_min }
    }

    /// The same rows with radiation taken at another time.
    pub(crate) fn taken(self, after_middle_min: f64) -> Self {
        Self { after_middle_min, ..self }
    }

    /// The suns, for others.
    pub(crate) fn into_suns(self) -> DaySuns {
        self.suns
    }

    /// Sun of a row, some seconds after its time.
    pub(crate) fn at(&mut self, row: usize, after_s: f64) -> RowSun {
        let at_middle = julian(self.middles[row], self.clock_offset_h);
        let date = at_middle + self.after_middle_min / 1440.0 + after_s / 86_400.0;
        let sun = self.suns.at(date);
        let there = self.site.true_direction(&sun, date);
        RowSun { sin_declination: sun.sin_declination, hour_angle_rad: there.hour_angle_rad, up: there.up }
    }

    /// Month of a row on its own clock, 1 to 12.
    pub(crate) fn month(&self, row: usize) -> u32 {
        month_of(self.middles[row])
    }

    /// Cosine of the zenith angle, likewise.
    pub(crate) fn cosine(&mut self, row: usize, after_s: f64) -> f64 {
        self.at(row, after_s).up
    }
}

/// A fault of the core, which checks what this reader has checked before: an error of the reader.
pub(crate) fn unforeseen(file: &str, fault: &dryspell::fault::Fault) -> Error {
    Error::new(file, ErrorKind::Record { message: fault.to_string() })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_within_a_day_keep_to_the_ephemeris() {
        let mut suns = DaySuns::default();
        let mut full = Ephemeris::default();
        let mut worst = (0.0_f64, 0.0_f64);
        for hour in 0..8760 {
            let date = 2_450_083.5 + f64::from(hour) / 24.0 + 0.01;
            let (ours, theirs) = (suns.at(date), full.at(date).unwrap());
            worst.0 = worst.0.max((ours.sin_declination - theirs.sin_declination).abs());
            worst.1 = worst.1.max((ours.equation_of_time_deg - theirs.equation_of_time_deg).abs());
        }
        assert!(worst.0 < 2e-5 && worst.1 < 1e-3, "{worst:?}");
    }
}
