//! dryspell for Python: schemes, weather, runs, sweeps and odds, with arrays of numpy.
//!
//! What a Python user reads stands in the docstrings here and in `python/dryspell/_core.pyi`; nothing is worked out in this crate.

mod error;
mod many;
mod own_pump;
mod run;
mod scheme;
mod weather;

use pyo3::prelude::*;
use pyo3::types::PyTuple;

/// The compiled part of the package `dryspell`.
#[pymodule]
fn _core(m: &Bound<'_, PyModule>) -> PyResult<()> {
    let error = m.py().get_type::<error::DryspellError>();
    // Every one of them has faults, be it none.
    error.setattr("faults", PyTuple::empty(m.py()))?;
    m.add("DryspellError", error)?;
    m.add("__version__", env!("CARGO_PKG_VERSION"))?;
    m.add_class::<scheme::Scheme>()?;
    m.add_class::<weather::Weather>()?;
    m.add_class::<run::Run>()?;
    m.add_function(wrap_pyfunction!(many::sweep, m)?)?;
    m.add_function(wrap_pyfunction!(many::odds, m)?)?;
    m.add_function(wrap_pyfunction!(scheme::program, m)?)?;
    Ok(())
}
