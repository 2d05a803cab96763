//! The weather of a sweep: what it rests on is known before the work, the records are made as cases need them.

use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError, Weak};

use dryspell::edition::Edition;
use dryspell::record::Record;
use dryspell::scheme::{Scheme, WeatherOrigin};
use dryspell::sweep::Sweep;

use crate::job::Job;
use crate::source::{Source, input, of_scheme, weather_files};
use crate::{Failure, files};
use dryspell_report::{Input, Role, as_written};

/// Most hours of weather that are held for later cases, about 400 MB: some 450 sites of one year. What goes beyond
/// is read or made again when it is asked for.
const MOST_HOURS: usize = 4_000_000;

/// The records of a sweep, one for each way in which its schemes name their weather.
pub(crate) struct Records<'a> {
    job: &'a Job,
    known: Mutex<BTreeMap<String, Arc<Mutex<Slot>>>>,
    /// Files by name, as they were when they were first looked at: they may not change.
    inputs: Mutex<BTreeMap<String, Input>>,
    held: Mutex<HeldRecord>,
}

/// One weather.
#[derive(Default)]
struct Slot {
    record: Weak<Edition<Record>>,
    sha256: String,
}

/// Records held for later cases, the newest last.
#[derive(Default)]
struct HeldRecord {
    records: VecDeque<Arc<Edition<Record>>>,
    hours: usize,
}

/// A record, and the hash of its files.
pub(crate) type RecordAndHash = (Edition<Record>, String);

fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl<'a> Records<'a> {
    /// None yet.
    pub(crate) fn new(job: &'a Job) -> Self {
        Self { job, known: Mutex::default(), inputs: Mutex::default(), held: Mutex::default() }
    }

    fn slot(&self, scheme: &Scheme) -> Arc<Mutex<Slot>> {
        lock(&self.known).entry(format!("{:?}", scheme.weather)).or_default().clone()
    }

    /// The record of a scheme.
    pub(crate) fn of(&self, scheme: &Scheme) -> Result<RecordAndHash, Failure> {
        let slot = self.slot(scheme);
        // Others who want the same record wait for it; those who want another do not.
        let mut slot = lock(&slot);
        let record = match slot.record.upgrade() {
            Some(record) => record,
            None => self.read(scheme, &mut slot)?,
        };
        Ok(((*record).clone(), slot.sha256.clone()))
    }

    fn read(&self, scheme: &Scheme, slot: &mut Slot) -> Result<Arc<Edition<Record>>, Failure> {
        let Source { record, inputs } = of_scheme(scheme, &self.job.file, &self.job.folder)?;
        for new in &inputs {
            let mut known = lock(&self.inputs);
            if *known.entry(new.name.clone()).or_insert_with(|| new.clone()) != *new {
                return Err(Failure(vec![format!(
                    "{}: changed while the sweep ran; weather that stays the same; run the sweep again",
                    new.name
                )]));
            }
        }
        slot.sha256 = inputs.iter().map(|input| input.sha256.as_str()).collect::<Vec<_>>().join("+");
        let record = Arc::new(Edition::new(record));
        slot.record = Arc::downgrade(&record);
        let mut held = lock(&self.held);
        held.hours += record.hours();
        held.records.push_back(record.clone());
        while held.hours > MOST_HOURS && held.records.len() > 1 {
            held.hours -= held.records.pop_front().map_or(0, |old| old.hours());
        }
        Ok(record)
    }

    /// What the weather of all cases rests on, looked at before the work. Where an axis changes the weather its files are
    /// hashed, not kept; one that cannot be read is told by its name alone, and its cases will have the fault.
    pub(crate) fn inputs(&self, sweep: &Sweep<'_>) -> Result<Vec<Input>, Failure> {
        let mut seeds = Vec::new();
        if sweep.axes().iter().any(|axis| axis.key.starts_with("weather.")) {
            // Cases with equal values of these keys share their weather.
            let weather: Vec<usize> =
                (0..sweep.axes().len()).filter(|i| sweep.axes()[*i].key.starts_with("weather.")).collect();
            let mut seen = BTreeSet::new();
            for group in 0..sweep.cases() / sweep.tanks() {
                let case = group * sweep.tanks();
                let values = sweep.values(case);
                if seen.insert(weather.iter().map(|i| values[*i]).collect::<Vec<_>>())
                    && let Ok(scheme) = sweep.scheme(case)
                {
                    self.hash_files(&scheme)?;
                }
            }
        } else {
            self.of(sweep.base())?;
            seeds.extend(Input::seed(sweep.base()));
        }
        let inputs = lock(&self.inputs);
        Ok(inputs.values().cloned().chain(seeds).collect())
    }

    /// Hashes the files of a scheme's weather that have not been looked at.
    fn hash_files(&self, scheme: &Scheme) -> Result<(), Failure> {
        let folder = &self.job.folder;
        let role = role(scheme);
        for path in self.job.weather_paths(scheme).iter().flat_map(|path| weather_files(path)) {
            let name = as_written(&path, folder);
            if lock(&self.inputs).contains_key(&name) {
                continue;
            }
            if files::is_pipe(&path) {
                return Err(Failure(vec![format!(
                    "{}: a pipe, which can be read only once; files, where the weather is varied; write it to a file \
                     first",
                    path.display()
                )]));
            }
            let found = input(role, &path, folder).unwrap_or_else(|_| Input::of(role, name.clone(), b""));
            lock(&self.inputs).insert(name, found);
        }
        Ok(())
    }
}

fn role(scheme: &Scheme) -> Role {
    match &scheme.weather.origin {
        WeatherOrigin::Files(_) => Role::Weather,
        WeatherOrigin::Climate { .. } => Role::Climate,
    }
}
