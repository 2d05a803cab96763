//! From a file's rows to a record: place, clock, limits, hours, gaps, doubts.

use crate::Weather;
use crate::closure::{self, Closure};
use crate::error::Error;
use crate::file::FileRead;
use crate::gaps::{self, Fill, Filling};
use crate::hours;
use crate::options::{Options, Stamps};
use crate::place;
use crate::quality;
use crate::quantity::{Columns, Quantity};
use crate::report;
use crate::sunlight::{Sunlight, unforeseen};
use crate::table::{Meaning, RowData, Table};
use crate::timing::{self, Clock, RowPlaces};
use dryspell::calendar::Calendar;
use dryspell::record::{PartLight, Place, RadiationTime, Record, Source, YearKind};
use std::time::SystemTime;

/// Latest minute after the stamp at which a satellite scan is taken to have happened, where the file does not say.
const LATEST_SCAN_MIN: f64 = 35.0;

/// Places further apart are two, km: a coordinate told with two decimals is as coarse.
const APART_KM: f64 = 1.0;

/// Formats whose files are mostly typical years.
const OFTEN_TYPICAL: [&str; 2] = ["TMY3", "EPW"];

/// Makes the record and the report. `files` is asked last: a file that is refused is not read to its end.
pub(crate) fn finish(
    table: Table,
    options: &Options,
    files: impl FnOnce() -> Result<Vec<FileRead>, Error>,
) -> Result<Weather, Error> {
    let Table {
        format,
        place,
        rows_offset_h,
        kind,
        scenario,
        meaning,
        zero_snow_is_said,
        mut rows,
        mut notes,
    } = table;
    let mut alerts = Vec::new();
    let of_file = place.known();
    let place = place::settle(rows.file(), &place, &options.place, &mut notes, &mut alerts)?;
    alerts.extend(of_file.as_ref().and_then(|own| place::far(own, &place)));
    let stated = options.stamps.is_some();
    let meaning = as_stated(meaning, options.stamps, &mut notes);
    let step_min = timing::step_of(&rows)?;
    let middles = timing::middles(&rows, meaning, step_min);
    let rows_clock_h = rows_offset_h.unwrap_or(place.utc_offset_h);
    let after_middle = meaning.after_middle_min(step_min);
    let mut sunlight = Sunlight::new(&place, &middles, rows_clock_h, after_middle);
    let closure = closure::test(&rows.columns, place.latitude_deg, &mut sunlight);
    let (meaning, fitted_min) = agree_with_sun(&rows, meaning, &closure, options, &mut notes)?;
    let after_middle = meaning.after_middle_min(step_min) + fitted_min as f64;
    let mut sunlight = sunlight.taken(after_middle);
    let mended = quality::limit(&mut rows, &mut sunlight, meaning, step_min, stated)?;
    mended.note(&mut notes);

    let snapshots = meaning == Meaning::Centred;
    let full_hour = rows.stamps.first().is_some_and(|s| s.rem_euclid(60) != 30);
    let resampled = step_min < 60 || (snapshots && full_hour);
    let clock = Clock {
        shift_min: timing::minutes(place.utc_offset_h - rows_clock_h) + fitted_min,
        kind: layout_kind(options.kind, kind),
        stamps_stated: stated,
        part_of_year: options.part_of_year,
        resampled,
    };
    let laid = timing::lay_out(&rows, &middles, step_min, &clock, &mut notes)?;
    let record_kind = kind_of_record(options.kind, kind, scenario.as_deref(), laid.kind, &mut notes);
    if record_kind == YearKind::Calendar {
        alerts.extend(to_come(&laid.calendar, this_year(SystemTime::now())));
        notes.extend(perhaps_typical(&laid, options.kind.or(kind), format));
    }
    let mut hourly = if resampled {
        hours::resample(&rows, &laid, step_min, snapshots, &mut sunlight)
    } else {
        hours::place(&mut rows, &laid)
    };
    let radiation_time = radiation_time(meaning, resampled);
    let filling = Filling {
        file: rows.file(),
        calendar: &laid.calendar,
        place: &place,
        kind: laid.kind,
        long_gaps: options.fill_long_gaps,
        last_row: rows.stamps.last().copied(),
    };
    quality::distrust(&mut hourly.columns, zero_snow_is_said, &laid.calendar, &mut notes);
    let measured =
        (resampled && step_min < 60 && radiation_time == RadiationTime::HourMean).then(|| hourly.clone());
    let fills = gaps::fill(&filling, &mut hourly, &mut notes)?;
    let parts = measured.map_or_else(Vec::new, |measured| {
        hours::parts(&rows, &laid, step_min, snapshots, &mut sunlight, (&measured, &hourly.columns))
    });
    tell_fills(&fills, &mut notes, &mut alerts);
    let station = of_file
        .filter(|own| own.km_to(&place) >= APART_KM || (own.elevation_m - place.elevation_m).abs() >= 1.0);
    let file_names = rows.file_names();
    let first_file = rows.file().to_owned();
    let source = Source { format: format.to_owned(), files: file_names, notes, alerts, station };
    let record =
        record_of(place, laid.calendar, record_kind, radiation_time, (hourly.columns, parts), source);
    record.check().map_err(|fault| unforeseen(&first_file, &fault))?;
    let reading = report::Reading {
        rows: rows.stamps.len(),
        step_min,
        stamps: meaning.words(resampled),
        rows_clock_h,
        closure,
        fills,
        small_negatives: rows.mended.negatives,
        beam_at_night: mended.beam_at_night,
    };
    let report = report::report(&record, reading, &mut sunlight.into_suns())
        .map_err(|fault| unforeseen(&first_file, &fault))?;
    Ok(Weather { record, report, files: files()? })
}

/// What rows mean, where the options say it otherwise.
fn as_stated(meaning: Meaning, stated: Option<Stamps>, notes: &mut Vec<String>) -> Meaning {
    match stated {
        Some(stamps) if meaning != Meaning::Mean(stamps) => {
            notes.push(format!(
                "rows taken to be means, stamped at the {} of their interval, as stated",
                stamps.word()
            ));
            Meaning::Mean(stamps)
        }
        _ => meaning,
    }
}

/// What rows mean as the sun agrees with them, and the shift that was accepted, min.
fn agree_with_sun(
    rows: &RowData,
    meaning: Meaning,
    closure: &Closure,
    options: &Options,
    notes: &mut Vec<String>,
) -> Result<(Meaning, i64), Error> {
    let Meaning::Instant { minutes_after_start: None } = meaning else {
        let stated = options.stamps.is_some();
        return Ok((meaning, closure::judge(rows.file(), closure, stated, options.accept_shift, notes)?));
    };
    let meaning = scan_time(closure, notes);
    if let Meaning::Instant { minutes_after_start: None } = meaning
        && let Some(kind) = closure.off()
    {
        return Err(rows.error(kind));
    }
    Ok((meaning, 0))
}

/// Kind of years as the record says it: `laid` by the dates, unless projected years are stated or a climate scenario is named.
fn kind_of_record(
    stated: Option<YearKind>,
    of_file: Option<YearKind>,
    scenario: Option<&str>,
    laid: YearKind,
    notes: &mut Vec<String>,
) -> YearKind {
    match (stated, of_file, scenario) {
        (Some(YearKind::Projected), ..) | (None, Some(YearKind::Projected), _) => YearKind::Projected,
        (None, _, Some(name)) => {
            notes.push(format!(
                "the header names the climate scenario {name}: projected years, not measured; state years = \
                 \"calendar\" or \"typical\" if they are not"
            ));
            YearKind::Projected
        }
        _ => laid,
    }
}

/// What there is to say of one calendar year in a format whose files are mostly typical years, where nothing states the kind.
fn perhaps_typical(laid: &RowPlaces, known: Option<YearKind>, format: &str) -> Option<String> {
    let one_year = laid.calendar.is_one_year() && laid.kind == YearKind::Calendar;
    (one_year && known.is_none() && OFTEN_TYPICAL.contains(&format)).then(|| {
        "all rows have one year: taken as a calendar year; state years = \"typical\" if it is one".into()
    })
}

/// When in its hour the radiation of a record is.
fn radiation_time(meaning: Meaning, resampled: bool) -> RadiationTime {
    match meaning {
        Meaning::Instant { minutes_after_start: Some(minutes_after_start) } => {
            RadiationTime::Instant { minutes_after_start }
        }
        Meaning::Centred if !resampled => RadiationTime::Instant { minutes_after_start: 30.0 },
        _ => RadiationTime::HourMean,
    }
}

/// Says how many missing hours were filled, and how.
fn tell_fills(fills: &[Fill], notes: &mut Vec<String>, alerts: &mut Vec<String>) {
    let hours_of = |how| fills.iter().filter(|fill| fill.how == how).map(|fill| fill.hours).sum::<usize>();
    let (bridged, copied) = (hours_of(gaps::How::Bridged), hours_of(gaps::How::NeighbouringDays));
    if copied > 0 {
        alerts.push(format!(
            "{copied} missing hours were filled from neighbouring days, as requested: dull or cold weather in them is \
             not the real weather; dryspell weather lists them"
        ));
    }
    if bridged > 0 {
        notes.push(format!("{bridged} missing hours interpolated between their neighbours"));
    }
}

/// The record of hourly columns.
fn record_of(
    place: Place,
    calendar: Calendar,
    kind: YearKind,
    radiation_time: RadiationTime,
    (mut columns, parts): (Columns, Vec<PartLight>),
    source: Source,
) -> Record {
    Record {
        place,
        calendar,
        kind,
        radiation_time,
        ghi_w_per_m2: columns.take(Quantity::Ghi).unwrap_or_default(),
        dni_w_per_m2: columns.take(Quantity::Dni),
        dhi_w_per_m2: columns.take(Quantity::Dhi),
        air_degc: columns.take(Quantity::Air).unwrap_or_default(),
        wind_m_per_s: columns.take(Quantity::Wind),
        albedo: columns.take(Quantity::Albedo),
        snow_depth_m: columns.take(Quantity::Snow),
        precipitation_mm: columns.take(Quantity::Precipitation),
        relative_humidity: columns.take(Quantity::Humidity),
        pressure_pa: columns.take(Quantity::Pressure),
        parts,
        source,
    }
}

/// Kind of years as rows are laid out by it, where it is known. Projected years may be typical or not: their dates tell.
pub(crate) fn layout_kind(stated: Option<YearKind>, of_file: Option<YearKind>) -> Option<YearKind> {
    let of_dates = |kind: &YearKind| *kind != YearKind::Projected;
    stated.filter(of_dates).or_else(|| of_file.filter(of_dates))
}

/// The year of the clock.
fn this_year(now: SystemTime) -> Option<i32> {
    let seconds = now.duration_since(SystemTime::UNIX_EPOCH).ok()?.as_secs();
    let days = i64::try_from(seconds / 86_400).ok()?;
    chrono::NaiveDate::from_ymd_opt(1970, 1, 1)?
        .checked_add_signed(chrono::TimeDelta::days(days))
        .map(|date| chrono::Datelike::year(&date))
}

/// What there is to say of calendar years that have not been yet.
fn to_come(calendar: &Calendar, this_year: Option<i32>) -> Option<String> {
    let last = calendar.days().iter().map(|day| day.year).max()?;
    let this_year = this_year.filter(|year| last > *year)?;
    Some(format!(
        "dates up to {last} are taken as measured, but it is {this_year}: state years = \"projected\" if they come from \
         a climate model, or correct the dates"
    ))
}

/// The minute of the satellite's scan, from the sun, where the file does not say it.
fn scan_time(closure: &Closure, notes: &mut Vec<String>) -> Meaning {
    let minutes = match closure.best_shift_min {
        None => {
            notes.push(
                "radiation taken at the stamp itself: the file does not give the minute and it cannot be tested".into(),
            );
            0.0
        }
        Some(shift) if (-5.0..=LATEST_SCAN_MIN).contains(&shift) => {
            let minutes = shift.max(0.0);
            notes.push(format!(
                "radiation taken {minutes:.1} min after the stamp: the file does not give the minute, and the sun \
                 agrees best there"
            ));
            minutes
        }
        Some(_) => return Meaning::Instant { minutes_after_start: None },
    };
    Meaning::Instant { minutes_after_start: Some(minutes) }
}
