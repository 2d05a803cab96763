//! Weather for random schemes: years made by the weather crate's generator for places of every kind, with the columns that it
//! does not make drawn beside them, in files of a folder of their own; and the shipped files.

use std::fmt::Write;
use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};

use dryspell::calendar::{Calendar, HOURS_PER_DAY};
use dryspell::record::Record;
use dryspell_weather::formats::plain;
use dryspell_weather::synth::{Climate, Generator, Method};

use super::super::random::Random;
use super::draft::{Draft, bare, quantity, text};
use crate::support::data;
use dryspell::units::Quantity as Q;

/// A file that a scheme can name, and what it must say about it.
#[derive(Debug, Clone)]
pub struct Site {
    pub file: PathBuf,
    /// The climate that it was made from, in a file of its own.
    pub climate: Option<PathBuf>,
    pub latitude_deg: f64,
    /// Needed where the file does not say: longitude, elevation, clock.
    pub place: Option<(f64, f64, f64)>,
    pub part_of_year: bool,
    pub one_year: bool,
}

/// All sites, in a folder that goes when this is dropped.
#[derive(Debug)]
pub struct Pool {
    _folder: tempfile::TempDir,
    pub sites: Vec<Site>,
}

/// Place of a climate and what its record holds.
struct Make {
    name: &'static str,
    latitude_deg: f64,
    longitude_deg: f64,
    offset_h: f64,
    /// Mean of the year, half its swing between summer and winter, both in degrees Celsius.
    air_degc: (f64, f64),
    years: usize,
    /// The first days alone; 0 for all.
    days: usize,
    /// Humidity, rain, snow, albedo and pressure beside what is made.
    more: bool,
}

const MADE: [Make; 8] = [
    Make {
        name: "moor",
        latitude_deg: 47.1,
        longitude_deg: -108.4,
        offset_h: -7.0,
        air_degc: (5.5, 13.0),
        years: 1,
        days: 0,
        more: true,
    },
    Make {
        name: "plain",
        latitude_deg: 52.0,
        longitude_deg: 15.0,
        offset_h: 1.0,
        air_degc: (8.5, 10.0),
        years: 1,
        days: 0,
        more: false,
    },
    // The clocks of these two stand at half an hour.
    Make {
        name: "south",
        latitude_deg: -33.2,
        longitude_deg: 141.6,
        offset_h: 9.5,
        air_degc: (17.0, 8.0),
        years: 1,
        days: 0,
        more: true,
    },
    Make {
        name: "tropic",
        latitude_deg: 17.4,
        longitude_deg: 78.5,
        offset_h: 5.5,
        air_degc: (26.0, 5.0),
        years: 1,
        days: 0,
        more: true,
    },
    Make {
        name: "north",
        latitude_deg: 61.0,
        longitude_deg: 25.0,
        offset_h: 2.0,
        air_degc: (3.5, 13.5),
        years: 1,
        days: 0,
        more: true,
    },
    Make {
        name: "two_years",
        latitude_deg: 44.0,
        longitude_deg: -103.0,
        offset_h: -7.0,
        air_degc: (8.0, 12.0),
        years: 2,
        days: 0,
        more: true,
    },
    Make {
        name: "three_years",
        latitude_deg: -42.0,
        longitude_deg: 171.0,
        offset_h: 12.0,
        air_degc: (11.0, 6.0),
        years: 3,
        days: 0,
        more: false,
    },
    Make {
        name: "spring",
        latitude_deg: 46.0,
        longitude_deg: 3.0,
        offset_h: 1.0,
        air_degc: (10.5, 9.0),
        years: 1,
        days: 130,
        more: true,
    },
];

impl Pool {
    /// Makes all files.
    pub fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut sites: Vec<Site> = MADE.iter().map(|make| make.site(folder.path())).collect();
        let shipped = |name: &str, latitude_deg: f64, place| Site {
            file: data("weather").join(name),
            climate: None,
            latitude_deg,
            place,
            part_of_year: false,
            one_year: true,
        };
        sites.push(Site { file: data("demo").join("weather.csv"), ..shipped("", 47.1, None) });
        sites.push(shipped("703165TY.csv", 55.3, None));
        sites.push(shipped("723170TYA.CSV", 36.1, None));
        sites.push(shipped("tmy_45.000_8.000_2005_2023.csv", 45.0, Some((8.0, 250.0, 1.0))));
        sites.push(shipped("test_psm4_tmy-2023.csv", 40.53, Some((-108.54, 2168.0, -7.0))));
        Self { _folder: folder, sites }
    }
}

impl Make {
    fn site(&self, folder: &Path) -> Site {
        let climate_text = self.climate();
        let climate_file = folder.join(format!("{}.toml", self.name));
        std::fs::write(&climate_file, &climate_text).unwrap();
        let climate = Climate::from_toml(&climate_text, self.name).unwrap();
        let generator = Generator::new(climate, Method::Free, 2026).unwrap();
        let mut record = generator.record(self.years, NonZeroUsize::MIN).unwrap();
        if self.days > 0 {
            cut(&mut record, self.days);
        }
        if self.more {
            more(&mut record, &mut Random::new(7, u64::from(self.name.as_bytes()[0])));
        }
        let file = folder.join(format!("{}.csv", self.name));
        let mut bytes = Vec::new();
        plain::write(&record, &mut bytes).unwrap();
        std::fs::write(&file, bytes).unwrap();
        Site {
            file,
            climate: Some(climate_file),
            latitude_deg: self.latitude_deg,
            place: None,
            part_of_year: self.days > 0,
            one_year: self.years == 1 && self.days == 0,
        }
    }

    /// A climate file: half of what reaches the air, warmest a month after the longest day.
    fn climate(&self) -> String {
        let mut lines = String::new();
        writeln!(lines, "name = \"{} (invented)\"", self.name).unwrap();
        writeln!(lines, "latitude_deg = {}\nlongitude_deg = {}", self.latitude_deg, self.longitude_deg)
            .unwrap();
        writeln!(lines, "elevation_m = 300.0\nutc_offset_h = {}", self.offset_h).unwrap();
        let months = |of: &dyn Fn(f64) -> f64| {
            (0..12).map(|m| format!("{:.2}", of(f64::from(m)))).collect::<Vec<_>>().join(", ")
        };
        let side = if self.latitude_deg < 0.0 { -1.0 } else { 1.0 };
        let season =
            |month: f64, warmest: f64| side * ((month - warmest) / 12.0 * std::f64::consts::TAU).cos();
        // Half of what arrives outside the air.
        let outside: Vec<f64> =
            (0..12).map(|m| outside_kwh_per_m2_day(self.latitude_deg, f64::from(m))).collect();
        writeln!(lines, "global_kwh_per_m2_day = [{}]", months(&|m| 0.5 * outside[m as usize])).unwrap();
        let (mean, swing) = self.air_degc;
        writeln!(lines, "air_degc = [{}]", months(&|m| mean + swing * season(m, 6.5))).unwrap();
        writeln!(lines, "daily_range_degc = [{}]", months(&|m| 10.0 + 3.0 * season(m, 6.0))).unwrap();
        writeln!(lines, "wind_m_per_s = [{}]", months(&|_| 3.2)).unwrap();
        lines
    }
}

/// What arrives outside the air on a level plane in the middle of a month (0 to 11), by the textbook formula (such as J. A.
/// Duffie and W. A. Beckman, *Solar Engineering of Thermal Processes*, equation 1.10.3).
fn outside_kwh_per_m2_day(latitude_deg: f64, month: f64) -> f64 {
    let day = 15.0 + 30.42 * month;
    let declination = (23.45_f64).to_radians() * ((284.0 + day) / 365.0 * std::f64::consts::TAU).sin();
    let latitude = latitude_deg.to_radians();
    let sunset = (-latitude.tan() * declination.tan()).clamp(-1.0, 1.0).acos();
    let near = 1.0 + 0.033 * (day / 365.0 * std::f64::consts::TAU).cos();
    let (sin, cos) = (latitude.sin() * declination.sin(), latitude.cos() * declination.cos());
    24.0 / std::f64::consts::PI * 1.361 * near * (sunset * sin + cos * sunset.sin())
}

/// The first days of a record alone.
fn cut(record: &mut Record, days: usize) {
    record.calendar = Calendar::new(record.calendar.days()[..days].to_vec(), 0);
    for_each_column(record, |column| column.truncate(days * HOURS_PER_DAY));
}

/// Does the same to every column.
pub fn for_each_column(record: &mut Record, mut change: impl FnMut(&mut Vec<f64>)) {
    change(&mut record.ghi_w_per_m2);
    change(&mut record.air_degc);
    for column in [
        &mut record.dni_w_per_m2,
        &mut record.dhi_w_per_m2,
        &mut record.wind_m_per_s,
        &mut record.albedo,
        &mut record.snow_depth_m,
        &mut record.precipitation_mm,
        &mut record.relative_humidity,
        &mut record.pressure_pa,
    ]
    .into_iter()
    .flatten()
    {
        change(column);
    }
}

/// Rain and snow by the day's temperature, and what goes with them.
fn more(record: &mut Record, r: &mut Random) {
    let (mut rain, mut snow, mut albedo, mut damp, mut pressure) =
        (Vec::new(), Vec::new(), Vec::new(), Vec::new(), Vec::new());
    let mut depth_cm = 0.0_f64;
    for day in record.air_degc.chunks(HOURS_PER_DAY) {
        let mean = day.iter().sum::<f64>() / 24.0;
        let wet = r.chance(0.3);
        let humid = if wet { 0.9 } else { 0.4 + 0.4 * r.unit() };
        let air_pa = 97_500.0 + (r.unit() * 1500.0).round();
        for _ in 0..HOURS_PER_DAY {
            let falls_mm = if wet && r.chance(0.25) { (r.unit() * 40.0).round() / 10.0 } else { 0.0 };
            if mean < 0.0 {
                depth_cm += falls_mm;
            } else {
                depth_cm = (depth_cm - 0.2 * mean).max(0.0);
            }
            rain.push(falls_mm);
            snow.push(depth_cm.round() / 100.0);
            albedo.push(if depth_cm > 1.0 { 0.7 } else { 0.2 });
            damp.push((humid * 100.0_f64).round() / 100.0);
            pressure.push(air_pa);
        }
    }
    record.precipitation_mm = Some(rain);
    record.snow_depth_m = Some(snow);
    record.albedo = Some(albedo);
    record.relative_humidity = Some(damp);
    record.pressure_pa = Some(pressure);
}

/// The table `[weather]` for a site.
pub fn draw(d: &mut Draft, r: &mut Random, site: &Site) {
    let at = "weather";
    if let Some(climate) = site.climate.as_ref().filter(|_| !site.part_of_year && r.chance(0.12)) {
        d.set(at, "climate", text(climate.display().to_string()));
        if r.chance(0.8) {
            d.set(at, "seed", bare(r.below(1000)));
        }
        if r.chance(0.6) {
            d.set(at, "made_years", bare(1 + r.below(2)));
        }
        return;
    }
    d.set(at, "file", text(site.file.display().to_string()));
    if let Some((longitude, elevation, clock)) = site.place {
        d.set(at, "latitude", quantity(site.latitude_deg, "deg", Q::Angle));
        d.set(at, "longitude", quantity(longitude, "deg", Q::Angle));
        d.set(at, "elevation", quantity(elevation, "m", Q::Length));
        d.set(at, "utc_offset", quantity(clock, "h", Q::Duration));
    } else if r.chance(0.2) {
        d.set(at, "elevation", quantity(r.between(50.0, 1500.0), "m", Q::Length));
    }
    let made = site.climate.is_some();
    if made && r.chance(0.25) {
        d.set(at, "stamps", text("start"));
    }
    if made && r.chance(0.25) {
        // Years one after another are not typical ones.
        let kinds = ["calendar", "synthetic", "typical"];
        d.set(at, "years", text(*r.pick(&kinds[..if site.one_year { 3 } else { 2 }])));
    }
    if site.part_of_year || r.chance(0.1) {
        d.set(at, "part_of_year", bare(true));
    }
    for flag in ["accept_shift", "fill_long_gaps"] {
        if r.chance(0.1) {
            d.set(at, flag, bare(r.chance(0.7)));
        }
    }
}
