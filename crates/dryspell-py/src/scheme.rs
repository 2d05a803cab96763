//! A scheme, and the program as a whole.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use dryspell::edition::Edition;
use dryspell::fault::Faults;
use dryspell::plan::Plan;
use dryspell::pump::Settings as Pump;
use dryspell::simulate::simulate;
use dryspell_weather::OpenError;
use numpy::{AllowTypeChange, PyArrayLike1};
use pyo3::prelude::*;

use crate::error::{raised, told, unlocked};
use crate::own_pump::PythonLaw;
use crate::run::Run;
use crate::weather::Weather;

/// A scheme without faults, read from the text of its file.
#[pyclass(frozen, module = "dryspell")]
#[derive(Debug)]
pub(crate) struct Scheme {
    /// The text, with the values that were set anew.
    #[pyo3(get)]
    pub(crate) text: String,
    pub(crate) folder: PathBuf,
    pub(crate) scheme: dryspell::scheme::Scheme,
}

/// The text of a file that a scheme names.
pub(crate) fn beside(folder: &Path, name: &str) -> Result<String, String> {
    let path = folder.join(name);
    std::fs::read_to_string(&path)
        .map_err(|e| format!("{}: {e}; a text file; check the path", path.display()))
}

#[pymethods]
impl Scheme {
    /// Reads a scheme: `text` as it stands in a file, files that it names from `folder`, with values set anew as
    /// `--set` does: `set=["tank.main.capacity = 12 m3"]`.
    #[new]
    #[pyo3(signature = (text, folder = PathBuf::from("."), set = Vec::new()))]
    fn new(py: Python<'_>, text: &str, folder: PathBuf, set: Vec<String>) -> PyResult<Self> {
        let text = dryspell::sweep::set(text, &set).map_err(|fault| raised(py, &[fault]))?;
        let scheme = dryspell::scheme::Scheme::from_toml_with(&text, &|name| beside(&folder, name))
            .map_err(|faults| raised(py, &faults))?;
        Ok(Self { text, folder, scheme })
    }

    /// The same scheme with values set anew: `scheme.with_values("herd.*.count * 1.25")`.
    #[pyo3(signature = (*set))]
    fn with_values(&self, py: Python<'_>, set: Vec<String>) -> PyResult<Self> {
        Self::new(py, &self.text, self.folder.clone(), set)
    }

    /// The weather that the scheme names.
    fn weather(&self, py: Python<'_>) -> PyResult<Weather> {
        self.weather_of(py)
    }

    /// Runs the scheme on its own weather, or on the weather given. Hourly columns may stand in the place of a stage:
    /// `available_m3` in place of panels, pump, well and pipe; `demand_m3` in place of what the scheme's herds would draw. A pump of your own is a
    /// function `pump(power_w, head_m) -> flow in m3/h` with its highest head and power.
    #[pyo3(signature = (weather = None, *, available_m3 = None, demand_m3 = None, pump = None, highest_head_m = None,
        highest_power_w = None))]
    #[allow(clippy::too_many_arguments, reason = "keywords of a Python call")]
    fn run(
        &self,
        py: Python<'_>,
        weather: Option<&Bound<'_, Weather>>,
        available_m3: Option<PyArrayLike1<'_, f64, AllowTypeChange>>,
        demand_m3: Option<PyArrayLike1<'_, f64, AllowTypeChange>>,
        pump: Option<Py<PyAny>>,
        highest_head_m: Option<f64>,
        highest_power_w: Option<f64>,
    ) -> PyResult<Run> {
        let record = match weather {
            Some(weather) => Arc::clone(&weather.get().record),
            None => self.weather_of(py)?.record,
        };
        let mut plan: Plan = self.scheme.plan();
        if let Some(column) = available_m3 {
            plan.columns.available_m3 = Some(Edition::new(column.as_slice()?.to_vec()));
        }
        if let Some(column) = demand_m3 {
            plan.columns.demand_m3 = Some(Edition::new(column.as_slice()?.to_vec()));
            plan.draw.groups.clear();
        }
        if let Some(law) = pump {
            let (Some(highest_head_m), Some(highest_power_w)) = (highest_head_m, highest_power_w) else {
                return Err(told(
                    "pump: a law without its ends; a function with highest_head_m and highest_power_w; give both",
                ));
            };
            plan.supply.pump = Pump::own("own law", PythonLaw { law, highest_head_m, highest_power_w });
        }
        let run = unlocked(py, || {
            simulate(&plan, &record).map_err(|faults| -> Faults {
                faults.into_iter().map(|fault| self.scheme.locate(fault)).collect()
            })
        })?;
        Ok(Run { run })
    }

    fn __repr__(&self) -> String {
        format!("Scheme({:?})", self.scheme.name.as_deref().unwrap_or("without a name"))
    }
}

impl Scheme {
    /// The weather that the scheme names.
    pub(crate) fn weather_of(&self, py: Python<'_>) -> PyResult<Weather> {
        let opened =
            py.detach(|| dryspell_weather::open(&self.scheme, &self.folder)).map_err(|e| match e {
                OpenError::Faults(faults) => raised(py, &faults),
                other => told(other),
            })?;
        Ok(Weather { record: Arc::new(Edition::new(opened.record)) })
    }
}

/// The program `dryspell` with the words of a command line; its exit code.
#[pyfunction]
pub(crate) fn program(py: Python<'_>, words: Vec<String>) -> u8 {
    py.detach(|| dryspell_cli::run_with(words))
}
