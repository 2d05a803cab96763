//! Many cases, many years.

use std::collections::BTreeMap;
use std::num::NonZeroUsize;
use std::ops::Range;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc;
use std::time::{Duration, Instant};

use dryspell::edition::Edition;
use dryspell::fault::Faults;
use dryspell::odds::{MadeYears, Making, Years, make};
use dryspell::record::{Record, YearKind};
use dryspell::reliability::interval::clopper_pearson::clopper_pearson;
use dryspell::reliability::interval::{Interval, Level, Tally};
use dryspell::resample::interval::of_values;
use dryspell::results::{Content, Figure, HEADLINES, content};
use dryspell::simulate::{Memo, simulate};
use dryspell::sweep::{CaseTable, Sweep, axes_together, columns};
use dryspell::unknowns::{Asked, Together, Unknown, together};
use numpy::IntoPyArray;
use pyo3::prelude::*;
use pyo3::types::{PyDate, PyDict};
use rayon::prelude::*;

use crate::error::{raised, told, unlocked};
use crate::scheme::{Scheme, beside};
use crate::weather::Weather;

/// Most cases that are worked out in one go.
const PIECE: u64 = 100;
/// How often a long call looks whether it is interrupted.
const LOOK: Duration = Duration::from_millis(50);

/// A column of what all cases came to.
enum Cells {
    Numbers(Content, Vec<f64>),
    Figures(Vec<Figure>),
}

/// Cases of a piece: what each came to by headline, and the fault of each that could not run.
struct Piece {
    from: u64,
    figures: Vec<Vec<Figure>>,
    faults: Vec<String>,
}

/// A table of cases, from its columns.
fn table_of((names, columns): &CaseColumns) -> Result<CaseTable, Faults> {
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let mut table = CaseTable::new(&names)?;
    for row in 0..columns.first().map_or(0, Vec::len) {
        let row: Vec<&str> =
            columns.iter().map(|column| column.get(row).map_or("", String::as_str)).collect();
        table.add(&row);
    }
    Ok(table)
}

/// Names of columns, and the columns as text.
type CaseColumns = (Vec<String>, Vec<Vec<String>>);

/// Works off a piece.
fn piece(
    sweep: &Sweep<'_>,
    cases: Range<u64>,
    wanted: &[usize],
    memo: &mut Memo,
    record_of: &(dyn Fn(&dryspell::scheme::Scheme) -> Result<Edition<Record>, String> + Sync),
) -> Piece {
    let from = cases.start;
    let n = usize::try_from(cases.end - cases.start).unwrap_or(0);
    let mut piece = Piece { from, figures: Vec::with_capacity(n), faults: vec![String::new(); n] };
    let nothing = || vec![Figure::Null; wanted.len()];
    match sweep.found(cases, memo, record_of) {
        Ok(found) => {
            for (i, found) in found.iter().enumerate() {
                match found {
                    Ok(Ok(found)) => {
                        piece.figures.push(wanted.iter().map(|h| (HEADLINES[*h].get)(found, 0)).collect());
                    }
                    Ok(Err(faults)) | Err(faults) => {
                        piece.faults[i] =
                            faults.iter().map(ToString::to_string).collect::<Vec<_>>().join(" | ");
                        piece.figures.push(nothing());
                    }
                }
            }
        }
        Err(text) => {
            piece.faults.fill(text);
            piece.figures = (0..n).map(|_| nothing()).collect();
        }
    }
    piece
}

/// Every case of a sweep, on all cores: a dict of columns. `vary`, `draw` as on the command line; `cases`: names of keys (with or
/// without a unit) and a column of each. `columns`: which headlines; all by default.
#[pyfunction]
#[pyo3(signature = (scheme, vary = Vec::new(), cases = None, draw = Vec::new(), draws = 0, seed = 1, weather = None, columns = None))]
#[allow(clippy::too_many_arguments, reason = "keywords of a Python call")]
pub(crate) fn sweep<'py>(
    py: Python<'py>,
    scheme: &Bound<'py, Scheme>,
    vary: Vec<String>,
    cases: Option<CaseColumns>,
    draw: Vec<String>,
    draws: usize,
    seed: u64,
    weather: Option<&Bound<'py, Weather>>,
    columns: Option<Vec<String>>,
) -> PyResult<Bound<'py, PyDict>> {
    let scheme = scheme.get();
    let wanted: Vec<usize> = match columns {
        None => (0..HEADLINES.len()).collect(),
        Some(names) => names
            .iter()
            .map(|name| {
                HEADLINES.iter().position(|h| h.name == name).ok_or_else(|| {
                    told(format!(
                        "columns: {name:?}; names of headlines, as in Run.headlines; see the page of columns in the guide"
                    ))
                })
            })
            .collect::<PyResult<_>>()?,
    };
    let together = cases
        .as_ref()
        .map(table_of)
        .transpose()
        .and_then(|table| axes_together(table, &draw, (draws, seed), &vary))
        .map_err(|faults| raised(py, &faults))?;
    let tables = |name: &str| beside(&scheme.folder, name);
    let sweep = Sweep::of(&scheme.text, &tables, together).map_err(|faults| raised(py, &faults))?;
    let given = weather.map(|weather| Edition::clone(&weather.get().record));
    let own = given.is_none() && !sweep.axes().iter().any(|axis| axis.key.starts_with("weather."));
    let given = if own { Some(Edition::clone(&scheme.weather_of(py)?.record)) } else { given };
    let record_of = move |case: &dryspell::scheme::Scheme| match &given {
        Some(record) => Ok(record.clone()),
        None => dryspell_weather::open(case, &scheme.folder)
            .map(|opened| Edition::new(opened.record))
            .map_err(|e| e.to_string()),
    };
    let (pieces, interrupted) = py.detach(|| worked(&sweep, &wanted, &record_of));
    interrupted?;
    as_dict(py, &sweep, &wanted, pieces)
}

/// All pieces in order; the second is the interrupt from the keyboard, where one came.
fn worked(
    sweep: &Sweep<'_>,
    wanted: &[usize],
    record_of: &(dyn Fn(&dryspell::scheme::Scheme) -> Result<Edition<Record>, String> + Sync),
) -> (Vec<Piece>, PyResult<()>) {
    let stop = AtomicBool::new(false);
    let (send, receive) = mpsc::channel();
    std::thread::scope(|scope| {
        scope.spawn(|| {
            let send = send;
            let mut ranges = Vec::new();
            let mut next = 0;
            while next < sweep.cases() {
                let end = sweep.end_of_group(next, PIECE).min(next + PIECE);
                ranges.push(next..end);
                next = end;
            }
            ranges.into_par_iter().for_each_init(
                || (Memo::default(), send.clone()),
                |(memo, send), cases| {
                    if !stop.load(Ordering::Relaxed) {
                        let _ = send.send(piece(sweep, cases, wanted, memo, record_of));
                    }
                },
            );
        });
        let mut pieces: BTreeMap<u64, Piece> = BTreeMap::new();
        let mut interrupted = Ok(());
        let mut looked = Instant::now();
        loop {
            match receive.recv_timeout(LOOK) {
                Ok(piece) => {
                    pieces.insert(piece.from, piece);
                }
                Err(mpsc::RecvTimeoutError::Timeout) => {}
                Err(mpsc::RecvTimeoutError::Disconnected) => break,
            }
            // Pieces may come faster than that.
            if looked.elapsed() >= LOOK {
                looked = Instant::now();
                if let Err(e) = Python::attach(|py| py.check_signals()) {
                    stop.store(true, Ordering::Relaxed);
                    interrupted = Err(e);
                }
            }
        }
        (pieces.into_values().collect(), interrupted)
    })
}

/// The cells of a column of numbers, flags or counts as an array, others as a list.
fn set<'py>(py: Python<'py>, dict: &Bound<'py, PyDict>, name: &str, cells: Cells) -> PyResult<()> {
    match cells {
        Cells::Numbers(Content::Count, all) if all.iter().all(|x| x.is_finite()) => {
            #[allow(clippy::cast_possible_truncation, reason = "counts")]
            let all: Vec<i64> = all.iter().map(|x| *x as i64).collect();
            dict.set_item(name, all.into_pyarray(py))
        }
        Cells::Numbers(Content::Flag, all) if all.iter().all(|x| x.is_finite()) => {
            let all: Vec<bool> = all.iter().map(|x| *x > 0.5).collect();
            dict.set_item(name, all.into_pyarray(py))
        }
        Cells::Numbers(_, all) => dict.set_item(name, all.into_pyarray(py)),
        Cells::Figures(all) => {
            let all = all.iter().map(|figure| match figure {
                Figure::Null => Ok(py.None().into_bound(py)),
                Figure::Date(year, month, day) => Ok(PyDate::new(py, *year, *month, *day)?.into_any()),
                other => Ok(other.to_string().into_pyobject(py)?.into_any()),
            });
            dict.set_item(name, all.collect::<PyResult<Vec<_>>>()?)
        }
    }
}

fn as_dict<'py>(
    py: Python<'py>,
    sweep: &Sweep<'_>,
    wanted: &[usize],
    pieces: Vec<Piece>,
) -> PyResult<Bound<'py, PyDict>> {
    let dict = PyDict::new(py);
    let n = usize::try_from(sweep.cases()).unwrap_or(0);
    let numbers: Vec<i64> = (0..).take(n).collect();
    dict.set_item("case", numbers.into_pyarray(py))?;
    let picks: Vec<Vec<usize>> = (0..sweep.cases()).map(|case| sweep.picks(case)).collect();
    for (at, axis) in sweep.axes().iter().enumerate() {
        for column in columns(axis) {
            // Each value once, however many cases have it.
            let of_value: Vec<String> = axis.literals.iter().map(|literal| column.cell(literal)).collect();
            let cells = match column.content {
                Content::Text | Content::Date => Cells::Figures(
                    picks.iter().map(|picks| Figure::Text(of_value[picks[at]].clone())).collect(),
                ),
                content => {
                    let of_value: Vec<f64> = of_value
                        .iter()
                        .map(|cell| match cell.as_str() {
                            "true" => 1.0,
                            "false" => 0.0,
                            number => number.parse().unwrap_or(f64::NAN),
                        })
                        .collect();
                    Cells::Numbers(content, picks.iter().map(|picks| of_value[picks[at]]).collect())
                }
            };
            set(py, &dict, &column.name, cells)?;
        }
    }
    let faults: Vec<Figure> = pieces
        .iter()
        .flat_map(|piece| piece.faults.iter())
        .map(|fault| if fault.is_empty() { Figure::Null } else { Figure::Text(fault.clone()) })
        .collect();
    set(py, &dict, "fault", Cells::Figures(faults))?;
    let mut rows: Vec<std::vec::IntoIter<Figure>> =
        pieces.into_iter().flat_map(|piece| piece.figures).map(IntoIterator::into_iter).collect();
    for headline in wanted {
        let field = &HEADLINES[*headline];
        let content = content(field);
        let figures = rows.iter_mut().map(|row| row.next().unwrap_or(Figure::Null));
        let cells = match content {
            Content::Text | Content::Date => Cells::Figures(figures.collect()),
            content => {
                Cells::Numbers(content, figures.map(|figure| figure.number().unwrap_or(f64::NAN)).collect())
            }
        };
        set(py, &dict, field.name, cells)?;
    }
    Ok(dict)
}

/// How often a scheme goes short: what the record's own tank years came to, and years made from the record, as `dryspell odds` has
/// them. Intervals are pairs; what cannot be known is `None`. `uncertain` has what the scheme's `[uncertain]` comes to.
#[pyfunction]
#[pyo3(signature = (scheme, weather = None, *, made_years = 300, drawings = 200, block_days = None, window_days = 15, seed = 1))]
#[allow(clippy::too_many_arguments, reason = "keywords of a Python call")]
pub(crate) fn odds<'py>(
    py: Python<'py>,
    scheme: &Bound<'py, Scheme>,
    weather: Option<&Bound<'py, Weather>>,
    made_years: usize,
    drawings: usize,
    block_days: Option<f64>,
    window_days: u32,
    seed: u64,
) -> PyResult<Bound<'py, PyDict>> {
    let scheme = scheme.get();
    let record = match weather {
        Some(weather) => Edition::clone(&weather.get().record),
        None => Edition::clone(&scheme.weather_of(py)?.record),
    };
    let making = Making { made_years, drawings, block_days, window_days, seed };
    let plan = scheme.scheme.plan();
    let threads = NonZeroUsize::new(rayon::current_num_threads()).unwrap_or(NonZeroUsize::MIN);
    let unknowns = &scheme.scheme.unknowns;
    let (own, made, open, kind) = unlocked(py, || {
        let run = simulate(&plan, &record)?;
        let own = Years::of(&run.outcome, &run.calendar, run.demand_sum_m3, run.short_m3());
        let made = make(&run, &record, &making, threads, |_| ())?;
        let files = |name: &str| beside(&scheme.folder, name);
        let asked = Asked {
            text: &scheme.text,
            files: &files,
            unknowns,
            run: &run,
            record: &record,
            making: &making,
        };
        let open = together(&asked, threads, |_| ())?;
        Ok((own, made, open, run.kind))
    })?;
    let dict = PyDict::new(py);
    dict.set_item("years", own.number())?;
    dict.set_item("dry_years", own.dry())?;
    let measured = kind == YearKind::Calendar;
    let interval = Tally::new(own.dry(), own.number()).ok().filter(|_| measured);
    let interval = interval.and_then(|tally| clopper_pearson(tally, Level::default()));
    dict.set_item("dry_share_interval", interval.map(pair))?;
    dict.set_item("mean_days", own.mean_days())?;
    dict.set_item("made_years", made.years.number())?;
    dict.set_item("made_dry_share", made.years.dry_share())?;
    dict.set_item("made_mean_days", made.years.mean_days())?;
    dict.set_item("made_dry_share_interval", drawn(&made, Years::dry_share).map(pair))?;
    dict.set_item("made_mean_days_interval", drawn(&made, Years::mean_days).map(pair))?;
    dict.set_item("mean_block_days", made.settings.mean_block_days)?;
    dict.set_item("uncertain", open.map(|found| uncertain(py, unknowns, &found)).transpose()?)?;
    let days: Vec<i64> = made.years.counts.iter().map(|c| i64::from(c.shortfall_days)).collect();
    dict.set_item("made_days_by_year", days.into_pyarray(py))?;
    Ok(dict)
}

/// What drawn schemes came to: intervals, and by name the share of the days' variance with its standard error.
fn uncertain<'py>(py: Python<'py>, unknowns: &[Unknown], found: &Together) -> PyResult<Bound<'py, PyDict>> {
    let dict = PyDict::new(py);
    dict.set_item("schemes", found.schemes)?;
    dict.set_item("with_years", found.with_years)?;
    dict.set_item("left_out", found.left_out.as_ref().map_or(0, |(schemes, _)| *schemes))?;
    dict.set_item("dry_share_interval", found.dry_share.interval.map(pair))?;
    dict.set_item("mean_days_interval", found.mean_days.interval.map(pair))?;
    let (of_dry, of_days) = (PyDict::new(py), PyDict::new(py));
    for owed in found.owed(unknowns) {
        for (dict, share) in [(&of_dry, owed.of_dry), (&of_days, owed.of_days)] {
            if let Some(share) = share {
                dict.set_item(owed.name, (share.value, share.standard_error))?;
            }
        }
    }
    dict.set_item("dry_share_owed_to", of_dry)?;
    dict.set_item("mean_days_owed_to", of_days)?;
    Ok(dict)
}

fn pair(interval: Interval) -> (f64, f64) {
    (interval.low, interval.high)
}

fn drawn(made: &MadeYears, value: impl Fn(&Years) -> Option<f64>) -> Option<Interval> {
    let values: Vec<f64> = made.drawn.iter().filter_map(value).collect();
    (!values.is_empty()).then(|| of_values(&values, Level::default()).ok()).flatten()
}
