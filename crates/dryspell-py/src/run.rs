//! What a run came to.

use dryspell::results::{COLUMNS, DAYS, Field, Figure, HEADLINES, MONTHS, answer};
use dryspell::units::System;
use numpy::IntoPyArray;
use pyo3::prelude::*;
use pyo3::types::{PyDate, PyDict, PyList};

/// A run: its headlines, and its hours, days and months as columns.
#[pyclass(frozen, module = "dryspell")]
#[derive(Debug)]
pub(crate) struct Run {
    pub(crate) run: dryspell::simulate::Run,
}

/// A figure as Python has it; what is not known is `None`.
pub(crate) fn figure<'py>(py: Python<'py>, figure: &Figure) -> PyResult<Bound<'py, PyAny>> {
    Ok(match figure {
        Figure::Null => py.None().into_bound(py),
        Figure::Count(n) => n.into_pyobject(py)?.into_any(),
        Figure::Number(x) if x.is_finite() => x.into_pyobject(py)?.into_any(),
        Figure::Number(_) => py.None().into_bound(py),
        Figure::Text(text) => text.into_pyobject(py)?.into_any(),
        Figure::Date(year, month, day) => PyDate::new(py, *year, *month, *day)?.into_any(),
        Figure::Flag(flag) => flag.into_pyobject(py)?.to_owned().into_any(),
        Figure::List(list) => {
            let all = list.iter().map(|one| self::figure(py, one)).collect::<PyResult<Vec<_>>>()?;
            PyList::new(py, all)?.into_any()
        }
    })
}

/// A table of a run: columns of numbers as arrays, others as lists.
fn table<'py>(
    py: Python<'py>,
    run: &dryspell::simulate::Run,
    fields: &[Field],
    rows: usize,
) -> PyResult<Bound<'py, PyDict>> {
    let found = PyDict::new(py);
    for field in fields {
        let numbers: Option<Vec<f64>> = (0..rows).map(|row| (field.get)(run, row).number()).collect();
        match numbers {
            Some(numbers) => found.set_item(field.name, numbers.into_pyarray(py))?,
            None => {
                let texts = (0..rows).map(|row| figure(py, &(field.get)(run, row)));
                found.set_item(field.name, texts.collect::<PyResult<Vec<_>>>()?)?;
            }
        }
    }
    Ok(found)
}

#[pymethods]
impl Run {
    /// Every headline by name, as in the JSON of `dryspell run`; dots stand in the names.
    #[getter]
    fn headlines<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let found = PyDict::new(py);
        for headline in HEADLINES {
            found.set_item(headline.name, figure(py, &(headline.get)(&self.run.found, 0))?)?;
        }
        Ok(found)
    }

    /// The first lines of the report.
    #[getter]
    fn answer(&self) -> String {
        answer(&self.run, System::Si)
    }

    /// Every hour: a dict of columns.
    fn hours<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        table(py, &self.run, COLUMNS, self.run.hours.len())
    }

    /// Every day: a dict of columns.
    fn days<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        table(py, &self.run, DAYS, self.run.days.len())
    }

    /// The twelve months: a dict of columns.
    fn months<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        table(py, &self.run, MONTHS, self.run.months.len())
    }

    fn __repr__(&self) -> String {
        let counts = &self.run.outcome.counts;
        format!("Run({} days of shortfall of {} days with stock)", counts.shortfall_days, counts.stock_days)
    }
}
