//! The sun's place and the light on the level.

use super::Section;
use crate::fault::Faults;
use crate::record::{RadiationTime, Record};
use crate::simulate::Run;
use crate::sun::hour_of;
use crate::sun::position::{Ephemeris, Site, julian_date};
use crate::sun::pressure::standard_pressure_pa;

const SPA: &str = "Reda and Andreas, NREL/TP-560-34302 (2008)";

/// From the clock to zenith and azimuth.
pub(super) fn position(record: &Record, run: &Run, h: usize) -> Result<Section, Faults> {
    let mut s =
        Section::new(format!("THE SUN, hour from {} local standard time", run.calendar.start_text(h)));
    let place = &record.place;
    let day = record.calendar.day_of(h);
    let start_minute = f64::from(record.calendar.start_minute_of_day(h));
    s.given("φ", "latitude, north positive", place.latitude_deg, "deg", "weather file");
    s.given("λ", "longitude, east positive", place.longitude_deg, "deg", "weather file");
    s.given("tz", "local standard time minus UTC", place.utc_offset_h, "h", "weather file");
    s.given("n", "day of the year", f64::from(day.day_of_year()), "", "calendar");
    let Some(date) = day.date() else {
        return Ok(s);
    };
    let midnight = julian_date(date, -60.0 * place.utc_offset_h);
    let site = Site::new(place);
    let mut ephemeris = Ephemeris::default();
    let sun = hour_of(record, h).map_err(|f| vec![f])?;
    s.step(
        "f",
        "share of the hour with the sun up",
        sun.lit_fraction,
        "",
        "true elevation above -0.8333 deg",
        SPA,
    );
    let minute = start_minute + sun.minute;
    s.step(
        "t",
        "middle of the sunlit part, minutes from midnight",
        minute,
        "min",
        "",
        "common practice for hourly means",
    );
    let instant = midnight + minute / 1440.0;
    let slow = ephemeris.at(instant).map_err(|f| vec![f])?;
    let true_sun = site.true_direction(&slow, instant);
    let declination = libm::asin(slow.sin_declination).to_degrees();
    s.given("δ", "declination", declination, "deg", SPA);
    let equation_of_time = (slow.equation_of_time_deg + 180.0).rem_euclid(360.0) - 180.0;
    s.given("E", "equation of time, as an angle", equation_of_time, "deg", SPA);
    let hour_angle = (true_sun.hour_angle_rad.to_degrees() + 180.0).rem_euclid(360.0) - 180.0;
    s.step(
        "ω",
        "hour angle, afternoon positive",
        hour_angle,
        "deg",
        "(t - 60 tz)/4 + E + λ - 180, brought between -180 and 180",
        SPA,
    );
    s.step(
        "h0",
        "true elevation",
        90.0 - sun.position.true_zenith_deg,
        "deg",
        "asin(sin φ sin δ + cos φ cos δ cos ω), less about 0.0024 cos h0 of parallax",
        SPA,
    );
    s.step(
        "p",
        "air pressure, standard atmosphere",
        standard_pressure_pa(place.elevation_m) / 100.0,
        "mbar",
        format!("1013.25 (1 - 2.25577e-5 x {:.1})^5.25588", place.elevation_m),
        "ISA",
    );
    s.step(
        "z",
        "apparent zenith",
        sun.position.zenith_deg,
        "deg",
        "90 - h0 - (p/1010)(283/285) 1.02 / (60 tan(h0 + 10.3/(h0 + 5.11)))",
        SPA,
    );
    s.step(
        "A",
        "azimuth from north, clockwise",
        sun.position.azimuth_deg(),
        "deg",
        "180 + atan2(sin ω, cos ω sin φ - tan δ cos φ)",
        SPA,
    );
    Ok(s)
}

/// What the record gives and what is made of it.
pub(super) fn light(record: &Record, run: &Run, h: usize) -> Section {
    let mut s = Section::new("HORIZONTAL IRRADIANCE");
    let hour = run.sky.hour(h);
    s.step(
        "Eon",
        "extraterrestrial irradiance, normal to the sun",
        hour.extraterrestrial_normal_w_per_m2,
        "W/m2",
        "1366.1 (1.00011 + 0.034221 cos b + 0.00128 sin b + 0.000719 cos 2b + 0.000077 sin 2b), b = 360 (n - 1)/365",
        "Spencer 1971; ASTM E490",
    );
    let from = |column: &Option<Vec<f64>>| match (record.radiation_time, column) {
        (RadiationTime::Instant { .. }, _) => "rebuilt with the hour's own sun from the file's instant",
        (RadiationTime::HourMean, Some(_)) => "weather file",
        (RadiationTime::HourMean, None) => "split by Erbs et al. 1982, or by closure G = D + B cos z",
    };
    s.given("G", "global horizontal", hour.ghi_w_per_m2, "W/m2", from(&Some(Vec::new())));
    s.given("B", "direct normal", hour.dni_w_per_m2, "W/m2", from(&record.dni_w_per_m2));
    s.given("D", "diffuse horizontal", hour.dhi_w_per_m2, "W/m2", from(&record.dhi_w_per_m2));
    let albedo_source = if record.albedo.is_some() { "weather file" } else { "scheme, site.albedo" };
    s.given("ρ", "ground albedo", hour.albedo, "", albedo_source);
    s
}
