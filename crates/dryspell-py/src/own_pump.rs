//! A pump whose law is a Python function.

use std::fmt;

use dryspell::pump::FlowLaw;
use pyo3::prelude::*;

/// Calls a function of power and head for the flow. The lock is taken for each call: tens of thousands in a year.
pub(crate) struct PythonLaw {
    pub(crate) law: Py<PyAny>,
    pub(crate) highest_head_m: f64,
    pub(crate) highest_power_w: f64,
}

impl fmt::Debug for PythonLaw {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a law written in Python")
    }
}

impl FlowLaw for PythonLaw {
    /// Not a number where the function fails: the trial of the law then refuses it.
    fn flow_m3_per_h(&self, power_w: f64, head_m: f64) -> f64 {
        Python::attach(|py| {
            let found = self.law.call1(py, (power_w, head_m)).and_then(|flow| flow.extract::<f64>(py));
            found.unwrap_or(f64::NAN)
        })
    }

    fn highest_head_m(&self) -> f64 {
        self.highest_head_m
    }

    fn highest_power_w(&self) -> f64 {
        self.highest_power_w
    }
}
