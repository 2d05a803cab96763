//! The climate from which years are made.

use super::light::YearLight;
use dryspell::fault::{Fault, FaultKind, Faults};
use dryspell::record::Place;

/// Least mean clearness of a month.
const CLEARNESS_MIN: f64 = 0.1;
/// Greatest mean clearness of a month.
const CLEARNESS_MAX: f64 = 0.8;
/// Below this extraterrestrial radiation, kWh/m² a day, a month counts as polar night: its clearness says nothing.
const POLAR_NIGHT: f64 = 0.1;
/// Longitude may differ from the clock's meridian by so much, in hours of the sun.
const CLOCK_OFF_H: f64 = 3.0;

/// Keys that say where it is.
const PLACE: [&str; 4] = ["latitude_deg", "longitude_deg", "elevation_m", "utc_offset_h"];

/// Twelve monthly means at a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Climate {
    /// Where, with its clock.
    pub place: Place,
    /// Global radiation on the level, kWh/m² a day, January first.
    pub global_kwh_per_m2_day: [f64; 12],
    /// Air temperature, °C: the middle between the day's least and greatest.
    pub air_degc: [f64; 12],
    /// Difference between the day's greatest and least temperature, °C.
    pub daily_range_degc: [f64; 12],
    /// Wind at 10 m, m/s; `None` takes 3 m/s all year.
    pub wind_m_per_s: Option<[f64; 12]>,
}

impl Climate {
    /// Mean extraterrestrial radiation on the level in each month, kWh/m² a day, over a leap cycle (in January and
    /// February a single year may lie 1 % off).
    ///
    /// # Errors
    /// The sun cannot be worked out for the place.
    pub fn extraterrestrial_kwh_per_m2_day(&self) -> Result<[f64; 12], Fault> {
        let mut sums = [0.0; 12];
        for year in 0..4 {
            let months = YearLight::new(&self.place, year)?.outside_kwh_per_m2_day();
            for (sum, month) in sums.iter_mut().zip(months) {
                *sum += month;
            }
        }
        Ok(sums.map(|s| s / 4.0))
    }

    /// Mean clearness of each month, given the extraterrestrial radiation. Held within what the models accept: only the
    /// leap cycle and polar night make that differ from the quotient once [`Climate::check`] has passed.
    pub(super) fn clearness(&self, outside: &[f64; 12]) -> [f64; 12] {
        std::array::from_fn(|m| {
            if outside[m] > 0.0 {
                (self.global_kwh_per_m2_day[m] / outside[m]).clamp(CLEARNESS_MIN, CLEARNESS_MAX)
            } else {
                CLEARNESS_MIN
            }
        })
    }

    /// Checks every value.
    ///
    /// # Errors
    /// Each value that is out of range: the place, its clock, and each month's radiation against what arrives outside the
    /// air (0.1 to 0.8 of it), temperature, range and wind.
    pub fn check(&self) -> Result<(), Faults> {
        let faults = self.faults(&|_, value| value);
        if faults.is_empty() { Ok(()) } else { Err(faults.into()) }
    }

    /// As [`Self::check`]; `written` gives a value of a key in the unit in which the user wrote it.
    pub(super) fn faults(&self, written: &dyn Fn(&str, f64) -> f64) -> Vec<Fault> {
        let mut faults = Vec::new();
        let mut range = |name: &str, month: Option<usize>, value: f64, low: f64, high: f64| {
            if !(low..=high).contains(&value) {
                let shown = |value: f64| six_digits(written(name, value));
                faults.push(Fault::at_key(
                    month.map_or_else(|| name.to_owned(), |m| month_key(name, m)),
                    FaultKind::OutOfRange,
                    format!("{}", shown(value)),
                    format!("{} to {}", shown(low), shown(high)),
                    "check the value, its sign and its unit",
                ));
            }
        };
        let place = &self.place;
        range("latitude_deg", None, place.latitude_deg, -90.0, 90.0);
        range("longitude_deg", None, place.longitude_deg, -180.0, 180.0);
        range("elevation_m", None, place.elevation_m, -500.0, 6000.0);
        range("utc_offset_h", None, place.utc_offset_h, -12.0, 14.0);
        for (m, value) in self.air_degc.iter().enumerate() {
            range("air_degc", Some(m), *value, -80.0, 50.0);
        }
        for (m, value) in self.daily_range_degc.iter().enumerate() {
            range("daily_range_degc", Some(m), *value, 0.0, 40.0);
        }
        for (m, value) in self.wind_m_per_s.iter().flatten().enumerate() {
            range("wind_m_per_s", Some(m), *value, 0.0, 30.0);
        }
        let somewhere =
            !faults.iter().any(|f| f.location.key.as_deref().is_some_and(|key| PLACE.contains(&key)));
        if somewhere {
            self.check_clock(&mut faults);
            match self.extraterrestrial_kwh_per_m2_day() {
                Ok(outside) => self.check_radiation(&outside, &mut faults),
                Err(fault) => faults.push(fault),
            }
        }
        faults
    }

    fn check_clock(&self, faults: &mut Vec<Fault>) {
        let ahead = self.place.longitude_deg / 15.0 - self.place.utc_offset_h;
        // The date line: a clock a day ahead of its sun is the same clock.
        let ahead = ahead - 24.0 * libm::round(ahead / 24.0);
        if ahead.abs() > CLOCK_OFF_H {
            faults.push(Fault::at_key(
                "utc_offset_h",
                FaultKind::Contradiction,
                format!("{} h at longitude {}", self.place.utc_offset_h, self.place.longitude_deg),
                format!("a clock within {CLOCK_OFF_H} h of solar time at its longitude"),
                "check the sign of the longitude (east is positive) and of the offset",
            ));
        }
    }

    fn check_radiation(&self, outside: &[f64; 12], faults: &mut Vec<Fault>) {
        for (m, (global, outside)) in self.global_kwh_per_m2_day.iter().zip(outside).enumerate() {
            let (least, most) = (CLEARNESS_MIN * outside, CLEARNESS_MAX * outside);
            let possible = if *outside < POLAR_NIGHT {
                (0.0..=*outside).contains(global)
            } else {
                (least..=most).contains(global)
            };
            if !possible {
                faults.push(Fault::at_key(
                    month_key("global_kwh_per_m2_day", m),
                    FaultKind::OutOfRange,
                    format!("{global} kWh/m2 a day"),
                    format!("{least:.2} to {most:.2}, a tenth to four fifths of extraterrestrial radiation"),
                    "check the unit (kWh/m2 a day, not MJ, not the month's sum) and the latitude",
                ));
            }
        }
    }
}

/// The key of one month of a list, counted from 1.
fn month_key(key: &str, month: usize) -> String {
    format!("{key}[{}]", month + 1)
}

/// A number without the tail that a conversion of units leaves.
fn six_digits(value: f64) -> f64 {
    libm::round(1e6 * value) / 1e6
}
