//! The sun: where it stands, what arrives outside the air, how the ground's radiation splits and falls on a plane.

pub mod airmass;
pub mod clear_sky;
pub mod extraterrestrial;
pub mod geometry;
pub mod hay_davies;
pub mod horizon;
pub mod hours;
pub mod inside_hour;
pub mod isotropic;
pub mod perez;
pub mod plane;
pub mod position;
pub mod pressure;
mod sky_light;
pub mod split;

use crate::calendar::HOURS_PER_DAY;
use crate::fault::{Fault, FaultKind};
use crate::record::{PartLight, RadiationTime, Record};
use extraterrestrial::{SOLAR_CONSTANT_W_PER_M2, extraterrestrial_normal};
use hours::{HourSun, hour_sun_at};
use inside_hour::{Inside, InsideHour};
use position::{Ephemeris, HourAngle, Site, julian_date, sun_position};
use split::{Light, Parts, Radiation, rebuild, sound, split};

/// How diffuse light from the sky is put on a tilted plane.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize)]
pub enum SkyModel {
    /// Equal from all of the sky.
    Isotropic,
    /// Isotropic with a circumsolar part (Hay and Davies 1980).
    HayDavies,
    /// Circumsolar and horizon parts by sky clearness and brightness (Perez et al. 1990).
    #[default]
    Perez,
}

/// Height of the horizon around the site.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Horizon {
    /// Pairs of azimuth (degrees from north, clockwise, 0 ≤ a < 360, rising) and elevation (degrees, 0 to 90), joined
    /// by linear interpolation round the circle.
    pub points_deg: Vec<(f64, f64)>,
}

/// Settings of the sun stage.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Settings {
    /// Sky model for tilted planes.
    pub sky_model: SkyModel,
    /// Ground albedo where the record has none, 0 to 1.
    pub albedo: f64,
    /// Horizon profile; `None` is the flat horizon.
    pub horizon: Option<Horizon>,
    /// How the light moves inside an hour.
    #[serde(skip_serializing_if = "InsideHour::is_usual")]
    pub inside_hour: InsideHour,
}

impl Default for Settings {
    fn default() -> Self {
        Self { sky_model: SkyModel::Perez, albedo: 0.2, horizon: None, inside_hour: InsideHour::Steps }
    }
}

/// What the sun stage hands on: one value an hour in each column.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sky {
    /// Apparent zenith angle, degrees.
    pub zenith_deg: Vec<f64>,
    /// Minutes after the hour's start at which the sun is taken.
    pub sun_minute: Vec<f64>,
    /// Share of the hour with the sun above the flat horizon, 0 to 1.
    pub lit_fraction: Vec<f64>,
    /// Extraterrestrial radiation facing the sun, W/m².
    pub extraterrestrial_normal_w_per_m2: Vec<f64>,
    /// Global light on the level, W/m².
    pub ghi_w_per_m2: Vec<f64>,
    /// Beam facing the sun, W/m².
    pub dni_w_per_m2: Vec<f64>,
    /// Diffuse light on the level, W/m².
    pub dhi_w_per_m2: Vec<f64>,
    /// Ground albedo, 0 to 1.
    pub albedo: Vec<f64>,
    /// Unit vector to the apparent sun: east, north, up.
    pub direction: Vec<[f64; 3]>,
    /// Whether the sun stands above the horizon, the flat one and the site's.
    pub sun_seen: Vec<bool>,
    /// How the light moves inside the hours.
    pub inside: Inside,
}

/// One hour of the sky.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SkyHour {
    /// Apparent zenith angle, degrees.
    pub zenith_deg: f64,
    /// Unit vector to the apparent sun: east, north, up.
    pub direction: [f64; 3],
    /// Extraterrestrial radiation facing the sun, W/m².
    pub extraterrestrial_normal_w_per_m2: f64,
    /// Global light on the level, W/m².
    pub ghi_w_per_m2: f64,
    /// Beam facing the sun, W/m².
    pub dni_w_per_m2: f64,
    /// Diffuse light on the level, W/m².
    pub dhi_w_per_m2: f64,
    /// Ground albedo, 0 to 1.
    pub albedo: f64,
    /// Whether the sun stands above the horizon, the flat one and the site's.
    pub sun_seen: bool,
}

impl SkyHour {
    /// Azimuth of the sun, degrees from north, clockwise.
    #[must_use]
    pub fn azimuth_deg(&self) -> f64 {
        position::azimuth_deg(&self.direction)
    }
}

impl Sky {
    /// Number of hours.
    #[must_use]
    pub fn hours(&self) -> usize {
        self.zenith_deg.len()
    }

    /// One hour of the columns.
    ///
    /// # Panics
    /// If `h` lies outside the record.
    #[must_use]
    pub fn hour(&self, h: usize) -> SkyHour {
        SkyHour {
            zenith_deg: self.zenith_deg[h],
            direction: self.direction[h],
            extraterrestrial_normal_w_per_m2: self.extraterrestrial_normal_w_per_m2[h],
            ghi_w_per_m2: self.ghi_w_per_m2[h],
            dni_w_per_m2: self.dni_w_per_m2[h],
            dhi_w_per_m2: self.dhi_w_per_m2[h],
            albedo: self.albedo[h],
            sun_seen: self.sun_seen[h],
        }
    }

    fn with_capacity(n: usize) -> Self {
        let column = || Vec::with_capacity(n);
        Self {
            zenith_deg: column(),
            sun_minute: column(),
            lit_fraction: column(),
            extraterrestrial_normal_w_per_m2: column(),
            ghi_w_per_m2: column(),
            dni_w_per_m2: column(),
            dhi_w_per_m2: column(),
            albedo: column(),
            direction: Vec::with_capacity(n),
            sun_seen: Vec::with_capacity(n),
            inside: Inside::Mean,
        }
    }
}

/// The sun over a record: its place each hour and radiation with nothing missing.
///
/// # Errors
/// The record does not keep what [`Record::check`] asks for, or holds a date that does not exist.
pub fn sky(settings: &Settings, record: &Record) -> Result<Sky, Fault> {
    record.check()?;
    let mut sky = placed(settings, record, WHOLE_HOUR)?;
    let n = sky.hours();
    sky.albedo = record.albedo.clone().unwrap_or_else(|| vec![settings.albedo; n]);
    radiation(&mut sky, record, instants(record, &Site::new(&record.place))?.as_deref());
    sky.inside = match settings.inside_hour {
        InsideHour::Steps if !record.parts.is_empty() => Inside::Steps(parts(settings, record, &sky.albedo)?),
        InsideHour::Spread => Inside::spread(&sky),
        InsideHour::Steps | InsideHour::Mean => Inside::Mean,
    };
    Ok(sky)
}

/// The sky of each part of the hours, where the record has their light: its own sun, its own split.
fn parts(settings: &Settings, record: &Record, albedo: &[f64]) -> Result<Vec<Sky>, Fault> {
    #[expect(clippy::cast_precision_loss, reason = "sixty at most")]
    let part_of = |n: usize| n as f64 / record.parts.len() as f64;
    let one = |(k, light): (usize, &PartLight)| {
        let mut sky = placed(settings, record, (part_of(k), part_of(1)))?;
        sky.albedo = albedo.to_vec();
        for h in 0..sky.hours() {
            let parts = split(&given(light, h), &light_of(&sky, h));
            sky.ghi_w_per_m2.push(parts.ghi);
            sky.dni_w_per_m2.push(parts.dni);
            sky.dhi_w_per_m2.push(parts.dhi);
        }
        Ok(sky)
    };
    record.parts.iter().enumerate().map(one).collect()
}

/// From when to when in each hour the sun is looked at: the start and the length, h.
type PartOfHour = (f64, f64);

/// All of it.
const WHOLE_HOUR: PartOfHour = (0.0, 1.0);

/// The sun's place in each hour, or in the same part of each; no light yet.
fn placed(settings: &Settings, record: &Record, part: PartOfHour) -> Result<Sky, Fault> {
    let n = record.hours();
    let site = Site::new(&record.place);
    let mut ephemeris = Ephemeris::default();
    let mut sky = Sky::with_capacity(n);
    let mut clock = Clock::new(part);
    for h in 0..n {
        if h % HOURS_PER_DAY == 0 {
            clock.begin_day(&site, &mut ephemeris, record, h)?;
            let outside = outside(record, h);
            sky.extraterrestrial_normal_w_per_m2.extend([outside; HOURS_PER_DAY]);
        }
        let middle = clock.middle(h % HOURS_PER_DAY);
        ephemeris.aim(middle)?;
        let sun = clock.hour(&site, &ephemeris, h % HOURS_PER_DAY);
        let position = &sun.position;
        sky.zenith_deg.push(position.zenith_deg);
        sky.direction.push(position.direction);
        sky.sun_minute.push(sun.minute);
        sky.lit_fraction.push(sun.lit_fraction);
        let seen = position.zenith_deg < 90.0
            && settings.horizon.as_ref().is_none_or(|profile| {
                90.0 - position.zenith_deg >= horizon::elevation_deg(profile, position.azimuth_deg())
            });
        sky.sun_seen.push(seen);
    }
    Ok(sky)
}

/// The sun of one hour of a record, as [`sky`] works it out.
///
/// # Errors
/// The hour's date does not exist, or lies outside the years for which the sun is worked out.
///
/// # Panics
/// If `h` lies outside the record.
pub fn hour_of(record: &Record, h: usize) -> Result<HourSun, Fault> {
    let site = Site::new(&record.place);
    let mut ephemeris = Ephemeris::default();
    let mut clock = Clock::new(WHOLE_HOUR);
    let hour = h % HOURS_PER_DAY;
    clock.begin_day(&site, &mut ephemeris, record, h - hour)?;
    ephemeris.aim(clock.middle(hour))?;
    Ok(clock.hour(&site, &ephemeris, hour))
}

/// Extraterrestrial radiation facing the sun on the day of hour `h`, W/m².
fn outside(record: &Record, h: usize) -> f64 {
    let day = record.calendar.day_of(h);
    extraterrestrial_normal(f64::from(day.day_of_year()), SOLAR_CONSTANT_W_PER_M2)
}

/// The columns of radiation: as the record has them, or filled in, or rebuilt from readings at instants.
fn radiation(sky: &mut Sky, record: &Record, at_instant: Option<&[Reading]>) {
    if let (None, Some(dni), Some(dhi)) = (at_instant, &record.dni_w_per_m2, &record.dhi_w_per_m2) {
        // Nothing is missing: a split would pass each hour unchanged.
        sky.ghi_w_per_m2.clone_from(&record.ghi_w_per_m2);
        sky.dni_w_per_m2.clone_from(dni);
        sky.dhi_w_per_m2.clone_from(dhi);
        return;
    }
    for h in 0..sky.hours() {
        let light = light_of(sky, h);
        let parts = match at_instant {
            None => split(&recorded(record, h), &light),
            Some(readings) => rebuild_hour(readings, h, &light),
        };
        sky.ghi_w_per_m2.push(parts.ghi);
        sky.dni_w_per_m2.push(parts.dni);
        sky.dhi_w_per_m2.push(parts.dhi);
    }
}

/// What a split needs of an hour's sun.
fn light_of(sky: &Sky, h: usize) -> Light {
    Light {
        zenith_deg: sky.zenith_deg[h],
        cos_zenith: sky.direction[h][2],
        extraterrestrial_normal: sky.extraterrestrial_normal_w_per_m2[h],
        lit_fraction: sky.lit_fraction[h],
    }
}

/// The hours of a day: the first one's hour angle is worked out, and the Earth turns 15 degrees an hour from there.
struct Clock {
    /// From when in each hour, and how long.
    part: PartOfHour,
    /// Turns from the first hour's middle.
    turns: [HourAngle; HOURS_PER_DAY],
    /// Start of the first hour.
    start: f64,
    /// Hour angle at the first hour's middle.
    first: HourAngle,
    /// Equation of time then.
    equation_of_time_deg: f64,
}

impl Clock {
    fn new(part: PartOfHour) -> Self {
        let mut deg = -15.0;
        let turns = std::array::from_fn(|_| {
            deg += 15.0;
            HourAngle::new(f64::to_radians(deg))
        });
        Self { part, turns, start: 0.0, first: HourAngle::new(0.0), equation_of_time_deg: 0.0 }
    }

    fn begin_day(
        &mut self,
        site: &Site,
        ephemeris: &mut Ephemeris,
        record: &Record,
        h: usize,
    ) -> Result<(), Fault> {
        self.start = local_midnight(record, h)? + f64::from(record.calendar.start_minute_of_day(h)) / 1440.0;
        let middle = self.middle(0);
        self.equation_of_time_deg = ephemeris.at(middle)?.equation_of_time_deg;
        let mean_sun_deg = 360.0 * (middle - libm::floor(middle));
        let first_deg = mean_sun_deg + self.equation_of_time_deg + site.longitude_deg();
        self.first = HourAngle::new(first_deg.to_radians());
        Ok(())
    }

    /// Julian date of the middle of an hour's part.
    fn middle(&self, hour: usize) -> f64 {
        let (from_h, length_h) = self.part;
        self.start + (f64::from(u8::try_from(hour).unwrap_or(0)) + (from_h + 0.5 * length_h)) / 24.0
    }

    /// The sun of an hour, by an ephemeris that is aimed at its middle.
    fn hour(&self, site: &Site, ephemeris: &Ephemeris, hour: usize) -> HourSun {
        let middle = self.middle(hour);
        let sun = ephemeris.beside(middle);
        let drift = HourAngle::small((sun.equation_of_time_deg - self.equation_of_time_deg).to_radians());
        let angle = self.first.turned(&self.turns[hour]).turned(&drift);
        let (_, length_h) = self.part;
        hour_sun_at(ephemeris, site, (middle - 0.5 * length_h / 24.0, length_h), &sun, &angle)
    }
}

/// Julian date of the local midnight that begins the day of hour `h`.
fn local_midnight(record: &Record, h: usize) -> Result<f64, Fault> {
    let day = record.calendar.day_of(h);
    let date = day.date().ok_or_else(|| {
        Fault::at_key(
            "weather.date",
            FaultKind::Weather,
            format!("{:04}-{:02}-{:02} in hour {h}", day.year, day.month, day.day),
            "dates that exist",
            "correct the date in the weather file",
        )
    })?;
    Ok(julian_date(date, -60.0 * record.place.utc_offset_h))
}

fn recorded(record: &Record, h: usize) -> Radiation {
    radiation_of((&record.ghi_w_per_m2, &record.dni_w_per_m2, &record.dhi_w_per_m2), h)
}

fn given(part: &PartLight, h: usize) -> Radiation {
    radiation_of((&part.ghi_w_per_m2, &part.dni_w_per_m2, &part.dhi_w_per_m2), h)
}

type LightColumns<'a> = (&'a [f64], &'a Option<Vec<f64>>, &'a Option<Vec<f64>>);

fn radiation_of((ghi, dni, dhi): LightColumns<'_>, h: usize) -> Radiation {
    Radiation { ghi: ghi[h], dni: dni.as_ref().map(|c| c[h]), dhi: dhi.as_ref().map(|c| c[h]) }
}

/// A reading at an instant: what it says about the sky, and whether the sun stood high enough to say it.
#[derive(Debug, Clone, Copy)]
struct Reading {
    clearness: f64,
    diffuse_share: f64,
    sound: bool,
}

/// Clearness and diffuse share of each reading, where the record holds instants.
fn instants(record: &Record, site: &Site) -> Result<Option<Vec<Reading>>, Fault> {
    let RadiationTime::Instant { minutes_after_start } = record.radiation_time else { return Ok(None) };
    let mut ephemeris = Ephemeris::default();
    let mut readings = Vec::with_capacity(record.hours());
    let (mut midnight, mut normal) = (0.0, 0.0);
    for h in 0..record.hours() {
        if h % HOURS_PER_DAY == 0 {
            midnight = local_midnight(record, h)?;
            normal = outside(record, h);
        }
        let minute = f64::from(record.calendar.start_minute_of_day(h)) + minutes_after_start;
        let position = sun_position(&mut ephemeris, site, midnight + minute / 1440.0)?;
        let light = Light {
            zenith_deg: position.zenith_deg,
            cos_zenith: position.direction[2],
            extraterrestrial_normal: normal,
            lit_fraction: 1.0,
        };
        let Parts { ghi, dhi, clearness, .. } = split(&recorded(record, h), &light);
        let diffuse_share = if ghi > 0.0 { (dhi / ghi).clamp(0.0, 1.0) } else { 1.0 };
        readings.push(Reading { clearness, diffuse_share, sound: sound(&light) });
    }
    Ok(Some(readings))
}

/// The hour's mean from its reading. A reading with the sun too low says nothing about the sky: the nearest sound one
/// within two hours of the same day stands in, so that the hour of sunrise is not lost when the scan came before it.
fn rebuild_hour(readings: &[Reading], h: usize, light: &Light) -> Parts {
    let day = h / HOURS_PER_DAY;
    let near = [h, h + 1, h.wrapping_sub(1), h + 2, h.wrapping_sub(2)];
    let found = near
        .into_iter()
        .filter(|k| k / HOURS_PER_DAY == day)
        .filter_map(|k| readings.get(k))
        .find(|r| r.sound)
        .unwrap_or(&readings[h]);
    rebuild(found.clearness, found.diffuse_share, light)
}

#[cfg(test)]
pub(crate) mod tests;
