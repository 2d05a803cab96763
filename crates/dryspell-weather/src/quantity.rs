//! What a column of weather can hold, in the record's units.

/// A quantity of weather. Its [`name`](Quantity::name) is the column's name in the plain format.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Quantity {
    /// Global horizontal irradiance, W/m².
    Ghi,
    /// Direct normal irradiance, W/m².
    Dni,
    /// Diffuse horizontal irradiance, W/m².
    Dhi,
    /// Air temperature, °C.
    Air,
    /// Wind speed, m/s.
    Wind,
    /// Ground albedo, 0 to 1.
    Albedo,
    /// Snow depth, m.
    Snow,
    /// Precipitation, mm in the hour.
    Precipitation,
    /// Relative humidity, 0 to 1.
    Humidity,
    /// Air pressure, Pa.
    Pressure,
}

impl Quantity {
    /// All quantities, in the order of the plain format's columns.
    pub const ALL: [Self; 10] = [
        Self::Ghi,
        Self::Dni,
        Self::Dhi,
        Self::Air,
        Self::Wind,
        Self::Albedo,
        Self::Snow,
        Self::Precipitation,
        Self::Humidity,
        Self::Pressure,
    ];

    /// Name with its unit, as the plain format writes it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Ghi => "ghi_w_per_m2",
            Self::Dni => "dni_w_per_m2",
            Self::Dhi => "dhi_w_per_m2",
            Self::Air => "air_degc",
            Self::Wind => "wind_m_per_s",
            Self::Albedo => "albedo",
            Self::Snow => "snow_depth_m",
            Self::Precipitation => "precipitation_mm",
            Self::Humidity => "relative_humidity_percent",
            Self::Pressure => "pressure_pa",
        }
    }

    /// What it is, in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Ghi => "global horizontal radiation",
            Self::Dni => "direct normal radiation",
            Self::Dhi => "diffuse horizontal radiation",
            Self::Air => "air temperature",
            Self::Wind => "wind speed",
            Self::Albedo => "ground albedo",
            Self::Snow => "snow depth",
            Self::Precipitation => "precipitation",
            Self::Humidity => "relative humidity",
            Self::Pressure => "air pressure",
        }
    }

    /// Unit for messages.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Ghi | Self::Dni | Self::Dhi => "W/m2",
            Self::Air => "degC",
            Self::Wind => "m/s",
            Self::Albedo | Self::Humidity => "(0 to 1)",
            Self::Snow => "m",
            Self::Precipitation => "mm",
            Self::Pressure => "Pa",
        }
    }

    /// Whether this is radiation.
    #[must_use]
    pub const fn is_radiation(self) -> bool {
        matches!(self, Self::Ghi | Self::Dni | Self::Dhi)
    }

    /// Whether no record can do without it.
    #[must_use]
    pub const fn is_needed(self) -> bool {
        matches!(self, Self::Ghi | Self::Air)
    }

    /// Place in [`Quantity::ALL`].
    pub(crate) const fn index(self) -> usize {
        self as usize
    }
}

/// A column for each quantity; `None` where the file has none.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Columns([Option<Vec<f64>>; 10]);

impl Columns {
    pub(crate) fn get(&self, q: Quantity) -> Option<&Vec<f64>> {
        self.0[q.index()].as_ref()
    }

    pub(crate) fn get_mut(&mut self, q: Quantity) -> &mut Option<Vec<f64>> {
        &mut self.0[q.index()]
    }

    pub(crate) fn take(&mut self, q: Quantity) -> Option<Vec<f64>> {
        self.0[q.index()].take()
    }
}
