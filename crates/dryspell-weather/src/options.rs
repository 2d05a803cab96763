//! What the user states about a file.

use dryspell::record::YearKind;

/// Which end of its interval a row's time names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stamps {
    /// The row covers the time that begins at its stamp.
    Start,
    /// The stamp lies in the middle of the time that the row covers.
    Middle,
    /// The row covers the time that ends at its stamp.
    End,
}

impl Stamps {
    /// The word for it in the plain format.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

/// What the user states about the place; it prevails over the file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PlaceOptions {
    /// Name of the place.
    pub name: Option<String>,
    /// Latitude, degrees, north positive.
    pub latitude_deg: Option<f64>,
    /// Longitude, degrees, east positive.
    pub longitude_deg: Option<f64>,
    /// Elevation above sea level, m.
    pub elevation_m: Option<f64>,
    /// Local standard time minus UTC, h.
    pub utc_offset_h: Option<f64>,
}

/// How to read. The default takes nothing on trust that the file does not say.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Options {
    /// Place, where the file has none or a wrong one.
    pub place: PlaceOptions,
    /// Kind of years, where the file's own dates tell it wrongly.
    pub kind: Option<YearKind>,
    /// What the stamps mean, where the file does not say or says it wrongly.
    pub stamps: Option<Stamps>,
    /// Move the times as the sun fits them best, where they are off.
    pub accept_shift: bool,
    /// Fill gaps longer than three hours from the same hours of neighbouring days.
    pub fill_long_gaps: bool,
    /// Accept whole days that are no whole year.
    pub part_of_year: bool,
}

/// One of the [`Options`], by the name that a scheme and a command share: messages say which of them helps, and whoever
/// shows a message says how it is given ([`crate::Error::told`]).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Choice {
    /// [`PlaceOptions::latitude_deg`].
    Latitude,
    /// [`PlaceOptions::longitude_deg`].
    Longitude,
    /// [`PlaceOptions::elevation_m`].
    Elevation,
    /// [`PlaceOptions::utc_offset_h`].
    UtcOffset,
    /// [`Options::kind`].
    Years,
    /// [`Options::stamps`].
    Stamps,
    /// [`Options::accept_shift`].
    AcceptShift,
    /// [`Options::fill_long_gaps`].
    FillLongGaps,
    /// [`Options::part_of_year`].
    PartOfYear,
}

impl Choice {
    /// All of them.
    pub const ALL: [Self; 9] = [
        Self::Latitude,
        Self::Longitude,
        Self::Elevation,
        Self::UtcOffset,
        Self::Years,
        Self::Stamps,
        Self::AcceptShift,
        Self::FillLongGaps,
        Self::PartOfYear,
    ];

    /// Its name, in words joined by `_`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Latitude => "latitude",
            Self::Longitude => "longitude",
            Self::Elevation => "elevation",
            Self::UtcOffset => "utc_offset",
            Self::Years => "years",
            Self::Stamps => "stamps",
            Self::AcceptShift => "accept_shift",
            Self::FillLongGaps => "fill_long_gaps",
            Self::PartOfYear => "part_of_year",
        }
    }

    /// Whether it is yes or no, and carries no value of its own.
    #[must_use]
    pub const fn is_flag(self) -> bool {
        matches!(self, Self::AcceptShift | Self::FillLongGaps | Self::PartOfYear)
    }

    /// Choices where nobody says how they are given.
    pub(crate) fn plainly(choices: &[Self]) -> String {
        let names: Vec<&str> = choices.iter().map(|c| c.name()).collect();
        format!("option{} {}", if names.len() == 1 { "" } else { "s" }, names.join(", "))
    }
}
