//! Faults as Python exceptions.

use dryspell::fault::{Fault, Faults};
use pyo3::create_exception;
use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyList};

create_exception!(
    dryspell,
    DryspellError,
    PyValueError,
    "What is wrong with a scheme, its weather or a case. `faults` lists each fault as a dict: place, found, accepted, way_out."
);

/// All faults in one exception, a line each.
pub(crate) fn raised(py: Python<'_>, faults: &[Fault]) -> PyErr {
    let text = faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n");
    let error = DryspellError::new_err(text);
    let list = PyList::empty(py);
    for fault in faults {
        let dict = PyDict::new(py);
        let told = [
            ("place", fault.location.to_string()),
            ("found", fault.found.clone()),
            ("accepted", fault.accepted.clone()),
            ("way_out", fault.way_out.clone()),
        ];
        let filled = told.into_iter().try_for_each(|(name, text)| dict.set_item(name, text));
        if filled.and_then(|()| list.append(dict)).is_err() {
            break;
        }
    }
    let _ = error.value(py).setattr("faults", list);
    error
}

/// What a call without the interpreter's lock came to.
pub(crate) fn unlocked<T: Send>(
    py: Python<'_>,
    work: impl FnOnce() -> Result<T, Faults> + Send,
) -> PyResult<T> {
    py.detach(work).map_err(|faults| raised(py, &faults))
}

/// Text as an exception.
pub(crate) fn told(text: impl ToString) -> PyErr {
    DryspellError::new_err(text.to_string())
}
