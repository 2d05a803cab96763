//! The readers.

use std::path::PathBuf;

use dryspell::calendar::{Calendar, Day};
use dryspell::fault::Faults;
use dryspell::record::{Place, Record, YearKind};
use dryspell::scheme::{STARTER, Scheme};
use dryspell::simulate::simulate;
use dryspell::sweep::{Axis, CaseTable, Drawn};
use dryspell::units::{Quantity, parse};
use dryspell_report::attached::{Package, PackageError};
use dryspell_weather::synth::Climate;
use dryspell_weather::{Options, PlaceOptions, Stamps, read_bytes};

use crate::corpus;
use crate::random::Random;

/// A reader to be tried.
pub struct Target {
    pub name: &'static str,
    /// Its corpus; whole files where asked.
    pub corpus: fn(bool) -> Vec<Vec<u8>>,
    /// What each worker has to itself.
    pub bench: fn() -> Bench,
    /// Whether a text is accepted; what is wrong with how it was refused.
    pub execute: fn(&mut Bench, &[u8], &mut Random) -> Result<bool, String>,
    /// Whether nothing of its corpus can be accepted.
    pub refuses_all: bool,
}

/// A file of one's own, and a short record.
pub struct Bench {
    folder: tempfile::TempDir,
    record: Record,
}

impl Bench {
    fn new() -> Self {
        // In memory where there is such a place: files are written by the hundred thousand.
        let shared = PathBuf::from("/dev/shm");
        let folder = if shared.is_dir() { tempfile::tempdir_in(shared) } else { tempfile::tempdir() };
        Self { folder: folder.unwrap(), record: record() }
    }
}

/// Three days of June.
fn record() -> Record {
    let days = (10..13).map(|day| Day { year: 2001, month: 6, day }).collect();
    let sun = |h: usize| (1.0 - ((h % 24) as f64 - 12.0).abs() / 7.0).max(0.0);
    Record {
        place: Place {
            name: "three days".into(),
            latitude_deg: 47.0,
            longitude_deg: -105.0,
            elevation_m: 900.0,
            utc_offset_h: -7.0,
        },
        kind: YearKind::Synthetic,
        ghi_w_per_m2: (0..72).map(|h| 800.0 * sun(h)).collect(),
        dni_w_per_m2: Some((0..72).map(|h| 700.0 * sun(h)).collect()),
        dhi_w_per_m2: Some((0..72).map(|h| 150.0 * sun(h)).collect()),
        air_degc: (0..72).map(|h| 8.0 + 12.0 * sun(h)).collect(),
        wind_m_per_s: Some(vec![3.0; 72]),
        precipitation_mm: Some(vec![0.0; 72]),
        relative_humidity: Some(vec![0.5; 72]),
        ..Record::without_weather(Calendar::new(days, 0))
    }
}

const fn target(
    name: &'static str,
    corpus: fn(bool) -> Vec<Vec<u8>>,
    execute: fn(&mut Bench, &[u8], &mut Random) -> Result<bool, String>,
) -> Target {
    Target { name, corpus, bench: Bench::new, execute, refuses_all: false }
}

const fn weather(name: &'static str, corpus: fn(bool) -> Vec<Vec<u8>>) -> Target {
    target(name, corpus, read_weather)
}

pub const TARGETS: &[Target] = &[
    weather("weather TMY3", |whole| corpus::weather(whole, |f| f.contains("TMY3"))),
    weather("weather EPW", |whole| corpus::weather(whole, |f| f.contains("EPW"))),
    weather("weather PVGIS", |whole| corpus::weather(whole, |f| f.contains("PVGIS"))),
    weather("weather PSM", |whole| corpus::weather(whole, |f| f.contains("PSM"))),
    weather("weather plain CSV", |whole| corpus::weather(whole, |f| f.contains("plain"))),
    Target { refuses_all: true, ..weather("weather of no format", corpus::letters) },
    target("scheme", corpus::schemes, read_scheme),
    target("run", corpus::schemes, run_scheme),
    target("climate", corpus::climates, read_climate),
    target("table in a file", corpus::tables, read_table),
    target("column of an inflow", corpus::inflows, read_inflow),
    target("forecast", corpus::forecasts, read_forecast),
    target("part of a sweep", parts, read_part),
    target("document in HTML", corpus::pages, read_page),
    target("document in PDF", corpus::pdfs, read_pdf),
    target("axis", corpus::axes, read_axis),
    target("law of a key", corpus::laws, read_law),
    target("table of cases", corpus::cases, read_cases),
    target("quantity", corpus::quantities, read_quantity),
];

/// A refusal of one line without letters that no terminal shows.
fn one_line(line: &str) -> Result<(), String> {
    if line.is_empty() || line.contains(char::is_control) {
        Err(format!("a refusal such as {line:?}"))
    } else {
        Ok(())
    }
}

fn told<T>(read: Result<T, Faults>) -> Result<Option<T>, String> {
    match read {
        Ok(found) => Ok(Some(found)),
        Err(faults) if faults.is_empty() => Err("refused without a fault".into()),
        Err(faults) => faults.iter().try_for_each(|f| one_line(&f.to_string())).map(|()| None),
    }
}

fn read_weather(_: &mut Bench, text: &[u8], r: &mut Random) -> Result<bool, String> {
    let place = if r.chance(0.7) {
        PlaceOptions {
            name: None,
            latitude_deg: Some(45.0),
            longitude_deg: Some(8.0),
            elevation_m: Some(250.0),
            utc_offset_h: r.chance(0.5).then_some(1.0),
        }
    } else {
        PlaceOptions::default()
    };
    let options = Options {
        place,
        kind: r.chance(0.2).then(|| *r.pick(&[YearKind::Typical, YearKind::Calendar, YearKind::Synthetic])),
        stamps: r.chance(0.2).then(|| *r.pick(&[Stamps::Start, Stamps::Middle, Stamps::End])),
        accept_shift: r.chance(0.8),
        fill_long_gaps: r.chance(0.8),
        part_of_year: r.chance(0.95),
    };
    match read_bytes("any.csv", text, &options) {
        Ok(weather) => {
            weather.record.check().map(|()| true).map_err(|fault| format!("accepted, yet {fault}"))
        }
        Err(error) => one_line(&error.to_string()).map(|()| false),
    }
}

fn scheme(text: &[u8]) -> Result<Option<Scheme>, String> {
    told(Scheme::from_toml_with(&String::from_utf8_lossy(text), &|_| Err("no such file".into())))
}

fn read_scheme(_: &mut Bench, text: &[u8], _: &mut Random) -> Result<bool, String> {
    scheme(text).map(|read| read.is_some())
}

/// What is accepted also runs, or says why not.
fn run_scheme(bench: &mut Bench, text: &[u8], _: &mut Random) -> Result<bool, String> {
    let Some(scheme) = scheme(text)? else { return Ok(false) };
    told(simulate(&scheme.plan(), &bench.record)).map(|run| run.is_some())
}

fn read_climate(_: &mut Bench, text: &[u8], _: &mut Random) -> Result<bool, String> {
    told(Climate::from_toml(&String::from_utf8_lossy(text), "climate.toml")).map(|read| read.is_some())
}

fn read_table(_: &mut Bench, text: &[u8], _: &mut Random) -> Result<bool, String> {
    let table = String::from_utf8_lossy(text).into_owned();
    let start = STARTER.find("\nduty = [").unwrap();
    let end = start + STARTER[start..].find("\n]").unwrap() + 2;
    let scheme = format!("{}\nduty = \"duty.csv\"{}", &STARTER[..start], &STARTER[end..]);
    told(Scheme::from_toml_with(&scheme, &|_| Ok(table.clone()))).map(|read| read.is_some())
}

/// The column `spring` of a file.
fn read_inflow(_: &mut Bench, text: &[u8], _: &mut Random) -> Result<bool, String> {
    let table = String::from_utf8_lossy(text).into_owned();
    let scheme = format!("{STARTER}\n[inflow.spring]\nfile = \"spring.csv\"\n");
    told(Scheme::from_toml_with(&scheme, &|_| Ok(table.clone()))).map(|read| read.is_some())
}

fn read_forecast(_: &mut Bench, text: &[u8], _: &mut Random) -> Result<bool, String> {
    match dryspell_weather::forecast::read(&String::from_utf8_lossy(text)) {
        Ok(days) if days.iter().all(|day| day.ghi_kwh_per_m2 >= 0.0) => Ok(true),
        Ok(days) => Err(format!("accepted, yet {days:?}")),
        Err(fault) => one_line(&fault.to_string()).map(|()| false),
    }
}

/// A whole part and an unfinished one, written by the program.
fn parts(_: bool) -> Vec<Vec<u8>> {
    let folder = tempfile::tempdir().unwrap();
    let scheme = crate::support::data("demo/scheme.toml");
    let key = "tank.main.capacity = 2 to 8 by 2 m3";
    let out = folder.path().join("s.csv");
    let done = std::process::Command::new(env!("CARGO_BIN_EXE_dryspell"))
        .args([
            "sweep".as_ref(),
            scheme.as_os_str(),
            "--vary".as_ref(),
            key.as_ref(),
            "--out".as_ref(),
            out.as_os_str(),
        ])
        .args(["--part", "2/3"])
        .output()
        .unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    let whole = std::fs::read(folder.path().join("s.csv.part-2-of-3")).unwrap();
    let head = whole.iter().position(|b| *b == b'\n').unwrap() + 1;
    vec![whole.clone(), whole[..head].to_vec(), whole[..whole.len() - 5].to_vec()]
}

fn read_part(bench: &mut Bench, text: &[u8], _: &mut Random) -> Result<bool, String> {
    let path = bench.folder.path().join("part");
    std::fs::write(&path, text).unwrap();
    match dryspell_cli::reading::part_of_a_sweep(&path) {
        Ok(_) => Ok(true),
        Err(lines) => lines.iter().try_for_each(|line| one_line(line)).map(|()| false),
    }
}

fn package(read: Result<Package, PackageError>) -> Result<bool, String> {
    match read {
        Ok(_) => Ok(true),
        Err(error) => one_line(&error.to_string()).map(|()| false),
    }
}

fn read_page(_: &mut Bench, text: &[u8], _: &mut Random) -> Result<bool, String> {
    package(Package::of_html(&String::from_utf8_lossy(text)))
}

fn read_pdf(_: &mut Bench, bytes: &[u8], _: &mut Random) -> Result<bool, String> {
    package(Package::of_pdf(bytes))
}

fn read_axis(_: &mut Bench, text: &[u8], _: &mut Random) -> Result<bool, String> {
    told(Axis::parse_together(&String::from_utf8_lossy(text)).map_err(Into::into)).map(|read| read.is_some())
}

fn read_law(_: &mut Bench, text: &[u8], _: &mut Random) -> Result<bool, String> {
    let drawn = Drawn::parse(&String::from_utf8_lossy(text)).and_then(|law| law.axis(20, 1));
    told(drawn.map_err(Into::into)).map(|read| read.is_some())
}

fn read_cases(_: &mut Bench, text: &[u8], _: &mut Random) -> Result<bool, String> {
    let text = String::from_utf8_lossy(text);
    let mut lines = text.lines().map(|line| line.split(',').collect::<Vec<_>>());
    let table = CaseTable::new(&lines.next().unwrap_or_default()).and_then(|mut table| {
        lines.for_each(|row| table.add(&row));
        let axes = table.axes().map_err(Faults::from)?;
        for axis in &axes {
            // A cell is a number in its column's unit, or nothing.
            for column in dryspell::sweep::columns(axis) {
                axis.literals.iter().for_each(|literal| drop(column.cell(literal)));
            }
        }
        Ok(axes)
    });
    told(table).map(|read| read.is_some())
}

fn read_quantity(_: &mut Bench, text: &[u8], r: &mut Random) -> Result<bool, String> {
    let quantity = *r.pick(&Quantity::ALL);
    match parse(&String::from_utf8_lossy(text), quantity) {
        Ok(number) if number.is_finite() => Ok(true),
        Ok(number) => Err(format!("{number} in {quantity:?}")),
        Err(error) => one_line(&error.to_string()).map(|()| false),
    }
}
