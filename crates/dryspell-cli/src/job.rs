//! A scheme file opened: read, given its weather, run.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use dryspell::fault::{Fault, Faults, Location};
use dryspell::record::Record;
use dryspell::scheme::{Scheme, WeatherOrigin, WhatIf};
use dryspell::simulate::{Run, simulate};
use dryspell::sweep::set;
use dryspell_report::{Input, Inputs, Role};

use crate::Failure;
use crate::files::{self, Outputs};
use crate::kinds::FileNeed;
use crate::source::{self, Source, in_file};
use crate::tables::Tables;

/// A scheme without faults, and where it came from.
pub(crate) struct Job {
    /// The file as typed, with the values that were set anew.
    pub(crate) file: String,
    /// The file.
    path: PathBuf,
    /// Its text.
    pub(crate) text: String,
    /// What it says.
    pub(crate) scheme: Scheme,
    /// Its folder.
    pub(crate) folder: PathBuf,
    /// Files that it names beside its weather.
    pub(crate) tables: Arc<Tables>,
    /// The scheme's own questions: the name of each, and the scheme as it would then be.
    pub(crate) what_ifs: Vec<(String, Scheme)>,
}

impl Job {
    /// Reads a scheme file and sets values of it anew.
    pub(crate) fn open(path: &Path, settings: &[String]) -> Result<Self, Failure> {
        Self::open_with(path, settings, &Arc::new(Tables::beside(path)))
    }

    /// The same with tables that are read through `tables`, which knows them even if the scheme is refused.
    pub(crate) fn open_with(path: &Path, settings: &[String], tables: &Arc<Tables>) -> Result<Self, Failure> {
        let mut text = files::read_text(path, FileNeed::Scheme)?;
        let mut file = files::name_of(path);
        if !settings.is_empty() {
            text = set(&text, settings).map_err(|fault| in_file(&file, fault.into()))?;
            file += &as_typed(settings);
        }
        let folder = path.parent().unwrap_or(Path::new("")).to_owned();
        let scheme = Scheme::from_toml_with(&text, &|name| tables.text(name))
            .map_err(|faults| in_file(&file, faults))?;
        for hint in &scheme.hints {
            let _ = writeln!(std::io::stderr(), "dryspell: hint: {file}, {hint}");
        }
        let what_ifs = what_ifs(&scheme, (&file, &text), &|name| tables.text(name))?;
        Ok(Self { file, path: path.to_owned(), text, scheme, folder, tables: Arc::clone(tables), what_ifs })
    }

    /// The paths of weather of a scheme in this job's folder.
    pub(crate) fn weather_paths(&self, scheme: &Scheme) -> Vec<PathBuf> {
        match &scheme.weather.origin {
            WeatherOrigin::Files(files) => files.iter().map(|file| self.folder.join(file)).collect(),
            WeatherOrigin::Climate { file, .. } => vec![self.folder.join(file)],
        }
    }

    /// Outputs kept apart from all that it reads: the scheme itself, its tables and its weather.
    pub(crate) fn outputs(&self) -> Outputs {
        let tables = self.tables.inputs().into_iter().map(|table| self.folder.join(table.name));
        let scheme = std::iter::once(self.path.clone());
        Outputs::apart_from(scheme.chain(tables).chain(self.weather_paths(&self.scheme)))
    }

    /// All that its results rest on.
    pub(crate) fn inputs(&self, source: &Source) -> Inputs {
        Inputs::new(
            self.own_inputs()
                .into_iter()
                .chain(source.inputs.iter().cloned())
                .chain(Input::seed(&self.scheme)),
        )
    }

    /// The scheme and its tables.
    pub(crate) fn own_inputs(&self) -> Vec<Input> {
        let mut own = vec![Input::of(Role::Scheme, self.file.clone(), self.text.as_bytes())];
        own.extend(self.tables.inputs());
        own
    }

    /// The weather that it names, from its own folder.
    pub(crate) fn weather(&self) -> Result<Source, Failure> {
        source::of_scheme(&self.scheme, &self.file, &self.folder)
    }

    /// Runs it; a fault found on the way carries the line that caused it.
    pub(crate) fn run(&self, record: &Record) -> Result<Run, Failure> {
        simulate(&self.scheme.plan(), record).map_err(|faults| self.located(faults))
    }

    /// Faults found on the way, with the line that caused each.
    pub(crate) fn located(&self, faults: Faults) -> Failure {
        in_file(&self.file, faults.into_iter().map(|fault| self.scheme.locate(fault)).collect())
    }
}

/// The schemes that the questions of a scheme come to, from its file and text; `tables` gives the text of a table by its name.
pub(crate) fn what_ifs(
    scheme: &Scheme,
    (file, text): (&str, &str),
    tables: &dyn Fn(&str) -> Result<String, String>,
) -> Result<Vec<(String, Scheme)>, Failure> {
    let mut found = Vec::new();
    for WhatIf { name, set: settings } in &scheme.what_ifs {
        let key = format!("what_if.{name}.set");
        let place = |mut fault: Fault| {
            // The slip is told where the question stands; what it would have set stands nowhere.
            let place = fault.location.key.take().filter(|key| key != "--set");
            fault.found =
                place.map_or_else(|| fault.found.clone(), |place| format!("{place}: {}", fault.found));
            fault.location = Location { key: Some(key.clone()), ..Location::default() };
            scheme.locate(fault)
        };
        let asked = set(text, settings)
            .map_err(Faults::from)
            .and_then(|text| Scheme::from_toml_with(&text, tables))
            .map_err(|faults| in_file(file, faults.into_iter().map(place).collect()))?;
        found.push((name.clone(), asked));
    }
    Ok(found)
}

/// The options that set values anew, as they are typed.
pub(crate) fn as_typed(settings: &[String]) -> String {
    let one = |setting: &String| {
        // What a shell would read within double quotes.
        let quoted = if setting.contains(['"', '$', '`', '\\']) {
            in_quotes(setting)
        } else {
            format!("\"{setting}\"")
        };
        format!(" --set {quoted}")
    };
    settings.iter().map(one).collect()
}

/// A word as a shell takes it unread.
pub(crate) fn in_quotes(word: &str) -> String {
    format!("'{}'", word.replace('\'', r"'\''"))
}
