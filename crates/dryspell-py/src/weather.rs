//! Weather: read from files, or from arrays.

use std::path::PathBuf;
use std::sync::Arc;

use dryspell::calendar::{Calendar, Day};
use dryspell::edition::Edition;
use dryspell::record::{Place, Record, YearKind};
use numpy::{IntoPyArray, PyArray1, PyReadonlyArray1};
use pyo3::prelude::*;

use crate::error::{raised, told};

/// A record of weather, hour by hour.
#[pyclass(frozen, module = "dryspell")]
#[derive(Debug)]
pub(crate) struct Weather {
    pub(crate) record: Arc<Edition<Record>>,
}

type Column<'py> = Option<PyReadonlyArray1<'py, f64>>;

fn taken(column: Column<'_>) -> PyResult<Option<Vec<f64>>> {
    Ok(column.map(|column| column.as_slice().map(<[f64]>::to_vec)).transpose()?)
}

#[pymethods]
impl Weather {
    /// Reads a weather file; its format is recognised by its content.
    #[staticmethod]
    fn read(py: Python<'_>, path: PathBuf) -> PyResult<Self> {
        let read = py.detach(|| dryspell_weather::read_file(&path, &dryspell_weather::Options::default()));
        Ok(Self { record: Arc::new(Edition::new(read.map_err(told)?.record)) })
    }

    /// Makes a record from columns of whole days that begin at midnight of local standard time. Use
    /// `dryspell.weather_from`, which takes times with their zone.
    #[staticmethod]
    #[pyo3(signature = (first_day, ghi_w_per_m2, air_degc, *, dni_w_per_m2 = None, dhi_w_per_m2 = None, wind_m_per_s = None,
        precipitation_mm = None, snow_depth_m = None, relative_humidity = None, pressure_pa = None, name = String::new(),
        latitude_deg, longitude_deg, elevation_m = 0.0, utc_offset_h, years = "calendar"))]
    #[allow(clippy::too_many_arguments, reason = "keywords of a Python call")]
    fn from_columns(
        py: Python<'_>,
        first_day: (i32, u8, u8),
        ghi_w_per_m2: PyReadonlyArray1<'_, f64>,
        air_degc: PyReadonlyArray1<'_, f64>,
        dni_w_per_m2: Column<'_>,
        dhi_w_per_m2: Column<'_>,
        wind_m_per_s: Column<'_>,
        precipitation_mm: Column<'_>,
        snow_depth_m: Column<'_>,
        relative_humidity: Column<'_>,
        pressure_pa: Column<'_>,
        name: String,
        latitude_deg: f64,
        longitude_deg: f64,
        elevation_m: f64,
        utc_offset_h: f64,
        years: &str,
    ) -> PyResult<Self> {
        let ghi = ghi_w_per_m2.as_slice()?.to_vec();
        let (year, month, day) = first_day;
        let calendar = Calendar::starting(Day { year, month, day }, ghi.len() / 24);
        let kind = match years {
            "typical" => YearKind::Typical,
            "calendar" => YearKind::Calendar,
            "synthetic" => YearKind::Synthetic,
            "projected" => YearKind::Projected,
            other => {
                return Err(told(format!(
                    "years: {other:?}; \"typical\", \"calendar\", \"synthetic\" or \"projected\"; take one of them"
                )));
            }
        };
        let mut record = Record::without_weather(calendar);
        record.kind = kind;
        record.place = Place { name, latitude_deg, longitude_deg, elevation_m, utc_offset_h };
        record.ghi_w_per_m2 = ghi;
        record.air_degc = air_degc.as_slice()?.to_vec();
        record.dni_w_per_m2 = taken(dni_w_per_m2)?;
        record.dhi_w_per_m2 = taken(dhi_w_per_m2)?;
        record.wind_m_per_s = taken(wind_m_per_s)?;
        record.precipitation_mm = taken(precipitation_mm)?;
        record.snow_depth_m = taken(snow_depth_m)?;
        record.relative_humidity = taken(relative_humidity)?;
        record.pressure_pa = taken(pressure_pa)?;
        record.source.format = "columns of a Python program".to_owned();
        record.check().map_err(|fault| raised(py, &[fault]))?;
        Ok(Self { record: Arc::new(Edition::new(record)) })
    }

    /// Number of hours.
    #[getter]
    fn hours(&self) -> usize {
        self.record.hours()
    }

    /// Name, latitude, longitude, elevation and the clock's offset from UTC.
    #[getter]
    fn place(&self) -> (String, f64, f64, f64, f64) {
        let Place { name, latitude_deg, longitude_deg, elevation_m, utc_offset_h } = &self.record.place;
        (name.clone(), *latitude_deg, *longitude_deg, *elevation_m, *utc_offset_h)
    }

    /// Global horizontal irradiance, W/m2, and air temperature, degC.
    #[getter]
    fn columns<'py>(&self, py: Python<'py>) -> (Bound<'py, PyArray1<f64>>, Bound<'py, PyArray1<f64>>) {
        (self.record.ghi_w_per_m2.clone().into_pyarray(py), self.record.air_degc.clone().into_pyarray(py))
    }

    fn __repr__(&self) -> String {
        format!("Weather({:?}, {} hours)", self.record.place.name, self.record.hours())
    }
}
