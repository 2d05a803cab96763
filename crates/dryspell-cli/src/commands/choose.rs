//! `dryspell choose`: which pump of a folder, with how many panels, by which coupling.

use std::path::{Path, PathBuf};

use dryspell::coupling::Settings as Coupling;
use dryspell::edition::Edition;
use dryspell::fault::{Fault, Faults};
use dryspell::plan::Plan;
use dryspell::price::Prices;
use dryspell::record::Record;
use dryspell::scheme::Scheme;
use dryspell::simulate::{Memo, at_tank};
use dryspell::sweep::{Axis, set, with_pump};
use dryspell::units::System;
use dryspell_report::choose::{Choice, LeftOut, Page, choices_csv, page};
use rayon::prelude::*;
use toml::Table;

use crate::args::ChooseArgs;
use crate::commands::size::array_axis;
use crate::files::{self, Format, Outputs};
use crate::job::Job;
use crate::kinds::FileNeed;
use crate::tables::Tables;
use crate::{Failure, Verdict};

/// Runs every pump of the folder with every size of array by every coupling, and prints them in order.
pub(crate) fn choose(args: &ChooseArgs) -> Result<Verdict, Failure> {
    let job = Job::open(&args.scheme, &args.set.set)?;
    let plan = job.scheme.plan();
    let pumps = pumps(&args.pumps)?;
    let axis = array_axis(args.array.as_deref(), &plan)?;
    let couplings: Vec<&str> = if args.coupling.is_empty() {
        Coupling::KINDS.to_vec()
    } else {
        args.coupling.iter().map(|word| coupling(word)).collect::<Result<_, _>>()?
    };
    let mut outputs = job.outputs();
    outputs.join(Outputs::apart_from(pump_files(&args.pumps)?));
    let csv = args.csv.as_deref().map(|path| outputs.open("--csv", path, &[Format::Csv])).transpose()?;
    let quiet = args.csv.as_deref() == Some(Path::new("-"));
    let record = Edition::new(job.weather()?.record);
    let system: System = args.units.map_or(job.scheme.units, Into::into);
    let beside = Tables::in_folder(&args.pumps);
    let cases: Vec<(&Pump, &str, usize)> = pumps
        .iter()
        .flat_map(|pump| couplings.iter().map(move |coupling| (pump, *coupling)))
        .flat_map(|(pump, coupling)| (0..axis.literals.len()).map(move |at| (pump, coupling, at)))
        .collect();
    let tried = Tried { job: &job, axis: &axis, beside: &beside, record: &record };
    let found: Vec<Result<Choice, LeftOut>> = cases
        .into_par_iter()
        .map_init(Memo::default, |memo, (pump, coupling, at)| tried.run(memo, pump, coupling, at))
        .collect();
    let (mut choices, mut left_out) = (Vec::new(), Vec::new());
    for found in found {
        match found {
            Ok(choice) => choices.push(choice),
            Err(left) => left_out.push(left),
        }
    }
    if let Some(target) = csv {
        target.write(&choices_csv(&choices)?)?;
    }
    let made = page(&Page {
        file: &job.file,
        folder: &args.pumps.display().to_string(),
        axis: &axis.key,
        choices,
        left_out,
        system,
    });
    if !quiet {
        files::print(&made.text)?;
    }
    Ok(if made.met { Verdict::Answered } else { Verdict::No })
}

/// A coupling by its kind, or by a word of it that no other has.
fn coupling(word: &str) -> Result<&'static str, Failure> {
    let found: Vec<&str> =
        Coupling::KINDS.into_iter().filter(|kind| kind.contains(&word.trim().to_lowercase())).collect();
    match found.as_slice() {
        [kind] => Ok(kind),
        _ => Err(Failure(vec![format!(
            "--coupling {word}: not a coupling; one of {}, or a word of it; write one of these",
            Coupling::KINDS.join(", ")
        )])),
    }
}

/// A pump of the folder.
struct Pump {
    /// Maker and model where they are told, or else its file.
    name: String,
    /// A text with its table `[pump]`.
    text: String,
    price: Option<f64>,
}

/// Files of a folder that may hold a pump, by name.
fn pump_files(folder: &Path) -> Result<Vec<PathBuf>, Failure> {
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder)
        .map_err(|e| no_pumps(folder, &e))?
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml" || ending == "csv"))
        .collect();
    paths.sort();
    Ok(paths)
}

fn no_pumps(folder: &Path, why: &dyn std::fmt::Display) -> Failure {
    Failure(vec![format!(
        "--pumps {}: {why}; a folder with a file for each pump, NAME.toml with a table [pump] or NAME.csv with its table; check the path",
        folder.display()
    )])
}

/// The pumps of a folder: of a file `NAME.toml` its table `[pump]`, with `price` before it where one is known; of a file `NAME.csv`
/// head, power and flow, or head, voltage, flow and current.
fn pumps(folder: &Path) -> Result<Vec<Pump>, Failure> {
    let mut texts = Vec::new();
    let mut faults = Vec::new();
    for path in pump_files(folder)? {
        match files::read_text(&path, FileNeed::Beside) {
            Ok(text) => texts.push((path, text)),
            Err(failure) => faults.extend(failure.0),
        }
    }
    // A table that a pump's own file names is no pump of its own, and may have columns of any kind.
    let named: Vec<String> =
        texts.iter().filter(|(path, _)| is_toml(path)).flat_map(|(_, text)| names_in(text)).collect();
    let mut found = Vec::new();
    for (path, text) in &texts {
        let file = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
        if !is_toml(path) && named.iter().any(|name| name == file) {
            continue;
        }
        match one(path, text) {
            Ok(pump) => found.extend(pump),
            Err(line) => faults.push(line),
        }
    }
    if !faults.is_empty() {
        Err(Failure(faults))
    } else if found.is_empty() {
        Err(no_pumps(folder, &"no pump in it"))
    } else {
        Ok(found)
    }
}

fn is_toml(path: &Path) -> bool {
    path.extension().is_some_and(|ending| ending == "toml")
}

/// Names of files that a pump's keys hold.
fn names_in(text: &str) -> Vec<String> {
    let Ok(table) = text.parse::<Table>() else { return Vec::new() };
    let Some(pump) = table.get("pump").and_then(toml::Value::as_table) else { return Vec::new() };
    pump.values()
        .filter_map(toml::Value::as_str)
        .filter(|text| text.ends_with(".csv"))
        .map(str::to_owned)
        .collect()
}

/// A pump from its file; `None` for a TOML file without a table `[pump]`, which is something else.
fn one(path: &Path, text: &str) -> Result<Option<Pump>, String> {
    let shown = path.display();
    let stem = path.file_stem().and_then(|stem| stem.to_str()).unwrap_or_default().to_owned();
    if !is_toml(path) {
        let file = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
        let head =
            text.lines().find(|line| !line.trim_start().starts_with('#')).unwrap_or_default().to_lowercase();
        let table = if head.contains("power") {
            format!("kind = \"duty table\"\nduty = {file:?}")
        } else if head.contains("voltage") && head.contains("current") {
            format!("kind = \"volt table\"\nvoltage_table = {file:?}")
        } else {
            return Err(format!(
                "{shown}: a table whose columns are {head:?}; head, power and flow, or head, voltage, flow and current; name the columns, or \
                 write NAME.toml with a table [pump] that names this file"
            ));
        };
        return Ok(Some(Pump { name: stem, text: format!("[pump]\n{table}\n"), price: None }));
    }
    let table: Table = text.parse().map_err(|e: toml::de::Error| {
        format!(
            "{shown}: {}; TOML with a table [pump]; correct it",
            e.message().lines().next().unwrap_or_default()
        )
    })?;
    let Some(pump) = table.get("pump").and_then(toml::Value::as_table) else { return Ok(None) };
    let price = match table.get("price") {
        None => None,
        Some(value) => {
            let number = value.as_float().or_else(|| value.as_integer().map(|n| n as f64));
            let price = number.filter(|price| price.is_finite() && *price >= 0.0);
            Some(price.ok_or_else(|| {
                format!("{shown}: price {value}; a number, 0 or more, in the currency of the scheme's [price]; correct it")
            })?)
        }
    };
    let word = |key: &str| pump.get(key).and_then(toml::Value::as_str);
    let name = match (word("make"), word("model")) {
        (Some(make), Some(model)) => format!("{make} {model}"),
        (Some(one), None) | (None, Some(one)) => one.to_owned(),
        (None, None) => stem,
    };
    Ok(Some(Pump { name, text: text.to_owned(), price }))
}

/// What every case rests on.
struct Tried<'a> {
    job: &'a Job,
    axis: &'a Axis,
    /// Tables that the pumps' files name.
    beside: &'a Tables,
    record: &'a Edition<Record>,
}

impl Tried<'_> {
    fn run(&self, memo: &mut Memo, pump: &Pump, coupling: &str, at: usize) -> Result<Choice, LeftOut> {
        let array = self.axis.shown(at).to_owned();
        let left = |fault: Option<&Fault>| LeftOut {
            pump: pump.name.clone(),
            coupling: coupling.to_owned(),
            array: array.clone(),
            why: fault.map_or_else(String::new, reason),
        };
        let table = |name: &str| self.beside.text(name).or_else(|_| self.job.tables.text(name));
        let first = |faults: Faults| left(faults.first());
        let scheme = with_pump(&self.job.text, &pump.text, Some(coupling))
            .and_then(|text| set(&text, &[format!("{} = {}", self.axis.key, array)]))
            .map_err(|fault| left(Some(&fault)))
            .and_then(|text| Scheme::from_toml_with(&text, &table).map_err(first))?;
        // Judged without the backup, as all counts.
        let plan = Plan { backup: None, ..scheme.plan() };
        let upstream = memo.driven(&plan, self.record).map_err(first)?;
        let run = at_tank(&upstream, &plan).map_err(first)?;
        let modules: u32 = plan.array.arrays.iter().map(|array| array.series * array.parallel).sum();
        Ok(Choice {
            pump: pump.name.clone(),
            coupling: coupling.to_owned(),
            array,
            modules,
            days: f64::from(run.outcome.counts.shortfall_days) / run.calendar.years(),
            lowest_m3: run.outcome.lowest_m3,
            goal_met: run.goal().map(|goal| goal.met()),
            cost: cost(plan.prices.unwrap_or_default(), pump, &plan.supply.coupling, modules),
        })
    }
}

/// A fault without line and column: they count in a text that the user never sees.
fn reason(fault: &Fault) -> String {
    let mut fault = fault.clone();
    (fault.location.line, fault.location.column) = (None, None);
    fault.to_string()
}

/// What pump, coupling and modules cost; `None` where one price is not known.
fn cost(prices: Prices, pump: &Pump, coupling: &Coupling, modules: u32) -> Option<f64> {
    let coupling = match coupling {
        Coupling::Tracking(_) => prices.tracker?,
        Coupling::Booster(_) => prices.current_booster?,
        Coupling::Direct => 0.0,
    };
    Some(pump.price? + coupling + prices.module? * f64::from(modules))
}
