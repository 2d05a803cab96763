//! The sun of a synthetic year: what arrives outside the air in each hour.

use dryspell::calendar::{Calendar, HOURS_PER_DAY};
use dryspell::fault::Fault;
use dryspell::record::{Place, Record, YearKind};
use dryspell::sun::geometry::{equation_of_time_min, solar_less_standard_min};
use dryspell::sun::split::Light;
use dryspell::sun::{Settings, sky};

/// Label of the first synthetic year. The label decides the date, and so the sun, and nothing else.
pub(super) const FIRST_YEAR: i32 = 2000;

/// One hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct HourLight {
    /// What splitting asks for.
    pub(super) light: Light,
    /// Extraterrestrial radiation on the level, mean of the hour, W/m².
    pub(super) outside_w_per_m2: f64,
    /// Solar time of the hour's middle, h; noon is 12.
    pub(super) solar_h: f64,
}

/// One year of 365 days.
#[derive(Debug, Clone)]
pub(super) struct YearLight {
    /// Its days; 29 February is left out.
    pub(super) calendar: Calendar,
    /// Its hours.
    pub(super) hours: Vec<HourLight>,
    /// Extraterrestrial radiation of each day, Wh/m².
    pub(super) outside_day_wh: Vec<f64>,
    /// Time with the sun up on each day, h.
    pub(super) day_length_h: Vec<f64>,
    /// Month of each day, 0 to 11.
    pub(super) month: Vec<usize>,
}

impl YearLight {
    /// The sun of year `index` at a place.
    ///
    /// # Errors
    /// The year lies beyond those for which the sun is worked out.
    pub(super) fn new(place: &Place, index: usize) -> Result<Self, Fault> {
        let label = i32::try_from(index).unwrap_or(i32::MAX).saturating_add(FIRST_YEAR);
        let mut days = Calendar::year(label).days().to_vec();
        days.retain(|d| (d.month, d.day) != (2, 29));
        let calendar = Calendar::new(days, 0);
        let sky = sky(&Settings::default(), &dark(place, &calendar))?;
        let mut hours = Vec::with_capacity(calendar.hours());
        let mut outside_day_wh = Vec::with_capacity(calendar.days().len());
        let mut day_length_h = Vec::with_capacity(calendar.days().len());
        for (n, day) in calendar.days().iter().enumerate() {
            let equation = equation_of_time_min(f64::from(day.day_of_year()));
            let zone_deg = 15.0 * place.utc_offset_h;
            let ahead_h = solar_less_standard_min(place.longitude_deg, zone_deg, equation) / 60.0;
            let (mut outside, mut length) = (0.0, 0.0);
            for h in n * HOURS_PER_DAY..(n + 1) * HOURS_PER_DAY {
                let cos_zenith = sky.direction[h][2];
                let light = Light {
                    zenith_deg: sky.zenith_deg[h],
                    cos_zenith,
                    extraterrestrial_normal: sky.extraterrestrial_normal_w_per_m2[h],
                    lit_fraction: sky.lit_fraction[h],
                };
                let clock_h = f64::from(calendar.start_minute_of_day(h)) / 60.0 + 0.5;
                let hour = HourLight {
                    light,
                    outside_w_per_m2: light.extraterrestrial_normal
                        * cos_zenith.max(0.0)
                        * light.lit_fraction,
                    solar_h: clock_h + ahead_h,
                };
                outside += hour.outside_w_per_m2;
                length += light.lit_fraction;
                hours.push(hour);
            }
            outside_day_wh.push(outside);
            day_length_h.push(length);
        }
        let month = calendar.days().iter().map(|d| usize::from(d.month.clamp(1, 12)) - 1).collect();
        Ok(Self { calendar, hours, outside_day_wh, day_length_h, month })
    }

    /// Mean extraterrestrial radiation of each month, kWh/m² a day.
    pub(super) fn outside_kwh_per_m2_day(&self) -> [f64; 12] {
        self.month_means(&self.outside_day_wh).map(|wh| wh / 1000.0)
    }

    /// Means over the days of each month.
    pub(super) fn month_means(&self, daily: &[f64]) -> [f64; 12] {
        let mut sums = [0.0; 12];
        let mut days = [0.0; 12];
        for (value, month) in daily.iter().zip(&self.month) {
            sums[*month] += value;
            days[*month] += 1.0;
        }
        std::array::from_fn(|m| sums[m] / f64::max(days[m], 1.0))
    }

    /// Clock time of solar noon on a day, h.
    pub(super) fn noon_h(&self, day: usize) -> f64 {
        let noon = &self.hours[day * HOURS_PER_DAY + 12];
        12.5 - (noon.solar_h - 12.0)
    }
}

/// A record with a sun and nothing else.
fn dark(place: &Place, calendar: &Calendar) -> Record {
    let nothing = vec![0.0; calendar.hours()];
    Record {
        place: place.clone(),
        kind: YearKind::Synthetic,
        dni_w_per_m2: Some(nothing.clone()),
        dhi_w_per_m2: Some(nothing.clone()),
        ghi_w_per_m2: nothing.clone(),
        air_degc: nothing,
        ..Record::without_weather(calendar.clone())
    }
}
