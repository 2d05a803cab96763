//! Where an array faces on a date, and what its glass does to diffuse light there.

use crate::array::ArraySettings;
use crate::array::incidence::DiffuseShares;
use crate::calendar::{DateSpan, MonthDay};
use crate::sun::Horizon;
use crate::sun::plane::Plane;

/// Dates on which an array stands at another tilt.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Season {
    /// When, both days included.
    pub dates: DateSpan,
    /// Tilt from the horizontal, degrees, 0 to 90.
    pub tilt_deg: f64,
}

/// A plane with its tilt and the shares of diffuse light that enter its glass.
#[derive(Debug, Clone, PartialEq)]
pub struct Facing {
    /// Tilt from the horizontal, degrees.
    pub tilt_deg: f64,
    /// The plane.
    pub plane: Plane,
    /// Shares of diffuse light that enter the glass.
    pub diffuse: DiffuseShares,
}

/// An array's facings: the usual one, and those of its seasons.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Facings {
    usual: Facing,
    seasons: Vec<(DateSpan, Facing)>,
}

impl Facings {
    pub(crate) fn new(settings: &ArraySettings, horizon: Option<&Horizon>) -> Self {
        let facing = |tilt_deg: f64| Facing {
            tilt_deg,
            plane: Plane::within(tilt_deg, settings.azimuth_deg, horizon),
            diffuse: settings.glass.diffuse(tilt_deg),
        };
        Self {
            usual: facing(settings.tilt_deg),
            seasons: settings.seasons.iter().map(|s| (s.dates, facing(s.tilt_deg))).collect(),
        }
    }

    /// The facing on a date: of the first season that holds it, or the usual one.
    pub(crate) fn on(&self, date: MonthDay) -> &Facing {
        self.seasons.iter().find(|(dates, _)| dates.contains(date)).map_or(&self.usual, |(_, facing)| facing)
    }
}
