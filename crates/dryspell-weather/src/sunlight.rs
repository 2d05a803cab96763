//! The sun over a file's rows.

use crate::error::{Error, ErrorKind};
use crate::timing::julian;
use dryspell::record::Place;
use dryspell::sun::position::{Ephemeris, Site};

/// The sun at the time of each row: the middle of what a mean covers, or the instant.
#[derive(Debug)]
pub(crate) struct Sunlight<'a> {
    site: Site,
    ephemeris: Ephemeris,
    middles: &'a [i64],
    /// Clock of the middles minus UTC, h.
    offset_h: f64,
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
        Self {
            site: Site::new(place),
            ephemeris: Ephemeris::default(),
            middles,
            offset_h: clock_offset_h - after_middle_min / 60.0,
        }
    }

    /// Sun of a row, some seconds after its time.
    pub(crate) fn at(&mut self, row: usize, after_s: f64) -> RowSun {
        let date = julian(self.middles[row], self.offset_h) + after_s / 86_400.0;
        // Years are held within 1800 to 2200 when stamps are read, where the ephemeris always answers.
        let Ok(sun) = self.ephemeris.at(date) else {
            return RowSun { sin_declination: 0.0, hour_angle_rad: 0.0, up: 0.0 };
        };
        let there = self.site.true_direction(&sun, date);
        RowSun { sin_declination: sun.sin_declination, hour_angle_rad: there.hour_angle_rad, up: there.up }
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
