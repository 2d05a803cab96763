//! The place and its clock: what the file says, what the user says, and whether they belong together.

use crate::error::{Error, ErrorKind};
use crate::input;
use crate::options::{Choice, PlaceOptions};
use dryspell::record::Place;

/// How far a clock may lie from its longitude, degrees.
///
/// China keeps one clock for all its width: 46.5 degrees at its western end, the widest found. A sign turned round
/// or rows in UTC taken for local time lie further off anywhere but near the prime meridian.
const FARTHEST_DEG: f64 = 50.0;

/// What a file says about its place.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct FilePlace {
    pub(crate) name: String,
    pub(crate) latitude_deg: Option<f64>,
    pub(crate) longitude_deg: Option<f64>,
    pub(crate) elevation_m: Option<f64>,
    /// Local standard time minus UTC, h.
    pub(crate) utc_offset_h: Option<f64>,
}

impl FilePlace {
    /// The place, where the file says where it is; its clock may be unknown.
    pub(crate) fn known(&self) -> Option<Place> {
        Some(Place {
            name: self.name.trim().to_owned(),
            latitude_deg: self.latitude_deg?,
            longitude_deg: self.longitude_deg?,
            elevation_m: self.elevation_m?,
            utc_offset_h: self.utc_offset_h.unwrap_or_default(),
        })
    }
}

/// Unit behind an offset from UTC.
const CLOCK_UNIT: &str = " h";

/// Distance of a file's own place from the one stated, km, above which it is said loudly. Common practice, no source.
const FAR_KM: f64 = 25.0;
/// Difference of their heights, m, above which it is said loudly. Common practice, no source.
const FAR_UP_M: f64 = 200.0;

/// What to think of weather of another place than the site; `None` where it is near enough.
pub(crate) fn far(own: &Place, site: &Place) -> Option<String> {
    let (km, higher_m) = (own.km_to(site), own.elevation_m - site.elevation_m);
    let reason = match (km > FAR_KM, higher_m.abs() > FAR_UP_M) {
        (false, false) => return None,
        (true, false) => "cloud and snow may differ",
        (false, true) => "air, frost, snow and cloud differ with height",
        (true, true) => "cloud may differ, and air, frost and snow do with height",
    };
    let up = if higher_m < 0.0 { "lower" } else { "higher" };
    Some(format!(
        "the file's own place ({}, {} degrees, {} m) is {km:.0} km from the site stated and {:.0} m {up}: {reason}; check the place under \
         [weather], or take a nearer file (said above {FAR_KM:.0} km or {FAR_UP_M:.0} m: common practice, no source)",
        own.latitude_deg,
        own.longitude_deg,
        own.elevation_m,
        higher_m.abs()
    ))
}

/// Reads a number of a header.
pub(crate) fn header_number(
    name: &str,
    text: &str,
    error: impl FnOnce(ErrorKind) -> Error,
) -> Result<f64, Error> {
    input::number(text.trim().as_bytes()).ok_or_else(|| {
        error(ErrorKind::HeaderValue {
            name: name.to_owned(),
            found: crate::error::clip(text),
            accepted: "a number with a decimal point",
        })
    })
}

/// Puts file and options together and checks the result.
pub(crate) fn settle(
    file: &str,
    found: &FilePlace,
    stated: &PlaceOptions,
    notes: &mut Vec<String>,
    alerts: &mut Vec<String>,
) -> Result<Place, Error> {
    let mut choose = |what: &'static str, unit: &str, found: Option<f64>, stated: Option<f64>| {
        if let (Some(found), Some(stated)) = (found, stated)
            && (found - stated).abs() > 0.0
        {
            let text = format!("{what} taken as {stated}{unit} as stated; the file says {found}{unit}");
            // How far apart two places are is told by distance and height.
            if unit == CLOCK_UNIT {
                alerts.push(format!(
                    "{text}; the sun is calculated by the clock stated: check it under [weather]"
                ));
            }
            notes.push(text);
        }
        stated.or(found)
    };
    let latitude = choose("latitude", " degrees", found.latitude_deg, stated.latitude_deg);
    let longitude = choose("longitude", " degrees", found.longitude_deg, stated.longitude_deg);
    let elevation = choose("elevation", " m", found.elevation_m, stated.elevation_m);
    let offset = choose("offset from UTC", CLOCK_UNIT, found.utc_offset_h, stated.utc_offset_h);
    let all = [
        ("latitude", Choice::Latitude, latitude, -90.0, 90.0),
        ("longitude", Choice::Longitude, longitude, -180.0, 180.0),
        ("elevation", Choice::Elevation, elevation, -450.0, 9000.0),
        ("offset from UTC", Choice::UtcOffset, offset, -12.0, 14.0),
    ];
    // All that is missing at once: a file without a place lacks all four.
    let (Some(latitude), Some(longitude), Some(elevation), Some(offset)) =
        (latitude, longitude, elevation, offset)
    else {
        let missing = || all.into_iter().filter(|(_, _, value, ..)| value.is_none());
        let names: Vec<&str> = missing().map(|(what, ..)| what).collect();
        let choices = missing().map(|(_, choice, ..)| choice).collect();
        return Err(Error::new(file, ErrorKind::NotSaid { what: names.join(", "), line: None, choices }));
    };
    for (what, choice, value, from, to) in all {
        if let Some(value) = value.filter(|v| !(from..=to).contains(v)) {
            return Err(Error::new(file, ErrorKind::NoSuchPlace { what, choice, value, from, to }));
        }
    }
    let off = ((15.0 * offset - longitude + 540.0).rem_euclid(360.0) - 180.0).abs();
    if off > FARTHEST_DEG {
        let kind = ErrorKind::ClockFarFromLongitude { utc_offset_h: offset, longitude_deg: longitude };
        return Err(Error::new(file, kind));
    }
    let name = stated.name.clone().unwrap_or_else(|| found.name.trim().to_owned());
    Ok(Place {
        name,
        latitude_deg: latitude,
        longitude_deg: longitude,
        elevation_m: elevation,
        utc_offset_h: offset,
    })
}

/// The clock of the longitude, for files in UTC that do not say the local one.
pub(crate) fn offset_of_longitude(place: &mut FilePlace, stated: &PlaceOptions, notes: &mut Vec<String>) {
    if stated.utc_offset_h.is_some() {
        return;
    }
    if let Some(longitude) = stated.longitude_deg.or(place.longitude_deg) {
        let hours = libm::round(longitude / 15.0);
        place.utc_offset_h = Some(hours);
        notes.push(format!(
            "local standard time taken as UTC{hours:+} from the longitude: the file does not give it; state utc_offset \
             if the place uses another"
        ));
    }
}
