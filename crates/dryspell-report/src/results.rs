//! The results of a run as JSON: what is written, and what a document carries with it.

use dryspell::pressure::pressures;
use dryspell::results::{
    AGED, ARRAYS, CAUTIONS, CHECKS, DETAILS, DULLEST, Field, Figure, GOAL, HEADLINES, HEADS, HELD_BACK,
    HERDS, HYDRANTS, INFLOWS, MENDS, MONTHS, PIPES, STRESSES, TANKS, WELLS, WHAT_IF, WHY, WORST_YEAR, YEARS,
    alerts, answer, checks, dullest_days, heads, simplifications, worst_year,
};
use dryspell::simulate::Run;
use dryspell::stress::Bearing;
use dryspell::units::System;
use dryspell::why;
use dryspell::worksheet::{PIPE_HEADS, WORKSHEET, Worksheet};
use dryspell_weather::report::Station;
use serde_json::{Map, Value, json};

use crate::error::Error;
use crate::figures::round_unit_m3;
use crate::report::Report;
use crate::values::{VALUES, values};

/// The whole of it.
///
/// # Errors
/// What keeps one of its lists from being put together.
pub(crate) fn results(context: &Report<'_>) -> Result<Value, Error> {
    let run = context.run;
    let mut top = object(HEADLINES, run, 0)?;
    let goal = match run.goal() {
        Some(judged) => rows(GOAL, &judged, judged.rows.len())?,
        None => Value::Array(Vec::new()),
    };
    top.insert("goal".into(), goal);
    top.insert("months".into(), rows(MONTHS, run, 12)?);
    top.insert("years".into(), rows(YEARS, run, run.outcome.years.len())?);
    let worst = worst_year(run);
    let worst = worst.as_ref().map_or(Ok(Value::Array(Vec::new())), |year| rows(WORST_YEAR, year, 13))?;
    top.insert("worst_year".into(), worst);
    top.insert("worksheet".into(), worksheet(run, context.system)?);
    top.insert("why".into(), why(run)?);
    let dullest = dullest_days(run);
    top.insert("dullest_days".into(), rows(DULLEST, dullest.as_slice(), dullest.len())?);
    let built = heads(run)?;
    top.insert("heads".into(), rows(HEADS, built.as_slice(), built.len())?);
    let checked = checks(run, &built, &pressures(run));
    top.insert("checks".into(), rows(CHECKS, checked.as_slice(), checked.len())?);
    let tried = context.tried;
    top.insert("mends".into(), rows(MENDS, tried.mends.as_slice(), tried.mends.len())?);
    top.insert("stresses".into(), bearing(tried.bearing.as_ref(), STRESSES, |found| found.stresses.len())?);
    top.insert("aged".into(), bearing(tried.bearing.as_ref(), AGED, |found| found.aged.len())?);
    top.insert("what_if".into(), rows(WHAT_IF, tried.what_if.as_slice(), tried.what_if.len())?);
    top.insert("details".into(), object(DETAILS, run, 0)?.into());
    top.insert("arrays".into(), rows(ARRAYS, run, run.plan.array.arrays.len())?);
    top.insert("pipes".into(), rows(PIPES, run, run.head.runs.len())?);
    top.insert("herds".into(), rows(HERDS, run, run.draw.by_group_m3_per_day.len())?);
    top.insert("inflows".into(), rows(INFLOWS, run, run.inflows.len())?);
    top.insert("tanks".into(), rows(TANKS, run, run.tanks.len())?);
    top.insert("wells".into(), rows(WELLS, run, run.lifts.len())?);
    let hydrants = run.delivery.as_ref().map_or(0, |found| found.hydrants.len());
    top.insert("hydrants".into(), rows(HYDRANTS, run, hydrants)?);
    top.insert("answer".into(), answer(run, context.system).into());
    let warnings: Vec<String> = alerts(run, context.system).into_iter().map(|alert| alert.text).collect();
    top.insert("warnings".into(), warnings.into());
    let assumptions: Vec<Value> = context
        .scheme
        .defaults_used
        .iter()
        .map(|d| json!({"what": d.key, "value": d.value, "source": d.why.to_string()}))
        .collect();
    top.insert("assumptions".into(), assumptions.into());
    let values = values(run, context.scheme, context.text, context.inputs, context.system);
    top.insert("values".into(), rows(VALUES, values.as_slice(), values.len())?);
    top.insert("simplifications".into(), simplifications(run).into());
    top.insert("cautions".into(), CAUTIONS.to_vec().into());
    top.insert(
        "scheme".into(),
        json!({"name": context.name(), "file": context.file, "sha256": context.inputs.scheme_sha256()}),
    );
    let place = &run.place;
    top.insert(
        "weather".into(),
        json!({
            "place": place.name,
            "latitude_deg": place.latitude_deg,
            "longitude_deg": place.longitude_deg,
            "elevation_m": place.elevation_m,
            "utc_offset_h": place.utc_offset_h,
            "station": run.source.station.as_ref().map(|own| Station::of(own, place)),
            "format": run.source.format,
            "files": run.source.files,
            "sha256": context.inputs.weather_sha256(),
        }),
    );
    top.insert("inputs".into(), serde_json::to_value(context.inputs.sorted())?);
    top.insert("inputs_hash".into(), context.inputs.hash()?.into());
    top.insert("case_hash".into(), context.inputs.case_hash(context.scheme)?.into());
    top.insert("program".into(), json!({"name": "dryspell", "version": env!("CARGO_PKG_VERSION")}));
    Ok(Value::Object(top))
}

/// What it bears; null where that was not tried, empty where it is broken as it stands.
fn bearing(
    found: Option<&Bearing>,
    fields: &[Field<Bearing>],
    length: fn(&Bearing) -> usize,
) -> Result<Value, Error> {
    found.map_or(Ok(Value::Null), |found| rows(fields, found, length(found)))
}

/// Why it goes short, or nearly does; null where no pump lifts.
fn why(run: &Run) -> Result<Value, Error> {
    let Some(found) = why::why(run)? else { return Ok(Value::Null) };
    let mut table = object(WHY, &found, 0)?;
    table.insert("held_back".into(), rows(HELD_BACK, &found, found.held_back.len())?);
    Ok(Value::Object(table))
}

/// The conventional worksheet; null where the scheme does not run in full sun.
fn worksheet(run: &Run, system: System) -> Result<Value, Error> {
    let Ok(found) = Worksheet::of(run, round_unit_m3(system)) else { return Ok(Value::Null) };
    let mut table = object(WORKSHEET, &found, 0)?;
    table.insert("pipes".into(), rows(PIPE_HEADS, &found, found.pipes.len())?);
    Ok(Value::Object(table))
}

/// Puts a figure under a dotted name.
fn put(top: &mut Map<String, Value>, name: &str, value: Value) {
    match name.split_once('.') {
        None => {
            top.insert(name.to_owned(), value);
        }
        Some((outer, inner)) => {
            let table = top.entry(outer).or_insert_with(|| Value::Object(Map::new()));
            if let Value::Object(table) = table {
                put(table, inner, value);
            }
        }
    }
}

fn figure(figure: Figure) -> Result<Value, Error> {
    Ok(serde_json::to_value(figure)?)
}

/// One row of a list, with tables within it where names have dots.
pub(crate) fn object<R: ?Sized>(
    fields: &[Field<R>],
    of: &R,
    row: usize,
) -> Result<Map<String, Value>, Error> {
    let mut table = Map::new();
    for field in fields {
        put(&mut table, field.name, figure((field.get)(of, row))?);
    }
    Ok(table)
}

fn rows<R: ?Sized>(fields: &[Field<R>], of: &R, count: usize) -> Result<Value, Error> {
    (0..count)
        .map(|row| object(fields, of, row).map(Value::Object))
        .collect::<Result<_, Error>>()
        .map(Value::Array)
}
