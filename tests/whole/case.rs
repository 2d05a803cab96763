//! A drawn scheme, read, with its record and its run.

use std::collections::BTreeMap;
use std::num::NonZeroUsize;
use std::path::Path;
use std::sync::{Arc, Mutex};

use dryspell::fault::{Fault, Faults};
use dryspell::record::Record;
use dryspell::scheme::{Scheme, WeatherEntry, WeatherOrigin};
use dryspell::simulate::{Marches, Run, simulate};
use dryspell_weather::synth::{Climate, Generator, Method};
use dryspell_weather::{Options, read_files};

use crate::schemes::draft::{Draft, Units};
use crate::schemes::weather::Pool;

/// The pool of weather, and the records read so far.
pub struct Bench {
    pub pool: Pool,
    records: Mutex<BTreeMap<String, Arc<Record>>>,
}

/// A scheme and what it comes to.
pub struct Case {
    pub draft: Draft,
    pub record: Arc<Record>,
    pub run: Run,
}

impl Bench {
    pub fn new() -> Self {
        Self { pool: Pool::new(), records: Mutex::default() }
    }

    /// Reads a draft, fetches its weather and runs it.
    pub fn run(&self, draft: &Draft, units: Units) -> Result<Case, Faults> {
        let scheme = self.read(draft, units)?;
        let record = self.record(&scheme.weather);
        let run = simulate(&scheme.plan(), &record)?;
        Ok(Case { draft: draft.clone(), record, run })
    }

    /// The same on a record of one's own.
    pub fn run_on(&self, draft: &Draft, record: Record) -> Result<Case, Faults> {
        let scheme = self.read(draft, Units::Si)?;
        let record = Arc::new(record);
        let run = simulate(&scheme.plan(), &record)?;
        Ok(Case { draft: draft.clone(), record, run })
    }

    pub fn read(&self, draft: &Draft, units: Units) -> Result<Scheme, Faults> {
        let files = |name: &str| draft.files.get(name).cloned().ok_or_else(|| "no such file".to_owned());
        Scheme::from_toml_with(&draft.text(units), &files)
    }

    fn record(&self, entry: &WeatherEntry) -> Arc<Record> {
        let key = format!("{entry:?}");
        if let Some(found) = self.records.lock().unwrap().get(&key) {
            return found.clone();
        }
        let record = Arc::new(read(entry));
        // Few enough to keep: some sites, some options; of made years each is met once.
        if matches!(entry.origin, WeatherOrigin::Files(_)) {
            self.records.lock().unwrap().insert(key, record.clone());
        }
        record
    }
}

/// The record that a scheme names, by the weather crate.
fn read(entry: &WeatherEntry) -> Record {
    match &entry.origin {
        WeatherOrigin::Files(files) => {
            let paths: Vec<&Path> = files.iter().map(Path::new).collect();
            read_files(&paths, &Options::from(entry)).unwrap().record
        }
        WeatherOrigin::Climate { file, seed, years } => {
            let text = std::fs::read_to_string(file).unwrap();
            let climate = Climate::from_toml(&text, file).unwrap();
            let generator = Generator::new(climate, Method::Free, u64::from(*seed)).unwrap();
            generator.record(*years as usize, NonZeroUsize::MIN).unwrap()
        }
    }
}

impl Case {
    pub fn one_year(&self) -> bool {
        self.record.calendar.is_one_year()
    }

    /// Whether the march answers whatever the columns say: then many sizes take many marches.
    pub fn always_marches(&self) -> bool {
        Marches::of(&self.run.plan) == Marches::All
    }

    /// Whether the float lets the level fall before it starts the pump again.
    pub fn has_band(&self) -> bool {
        let tank = &self.run.plan.tank;
        tank.float_start_m3.is_some_and(|start| start < tank.full_m3())
    }
}

/// A first fault without its line, to be counted.
pub fn about(faults: &[Fault]) -> String {
    let fault = &faults[0];
    format!("{}: {}; {}", fault.location.key.as_deref().unwrap_or(""), fault.found, fault.accepted)
}
