//! dryspell: does the herd go without water in the weather given?

pub mod array;
pub mod calendar;
pub mod coupling;
pub mod curve;
pub mod delivery;
pub mod draw;
pub mod evaporation;
pub mod fault;
pub mod frost;
pub mod guide;
pub mod keys;
pub mod nearest;
pub mod odds;
pub mod pipe;
pub mod plan;
pub mod pressure;
pub mod pump;
pub mod record;
pub mod reliability;
pub mod resample;
pub mod results;
mod ring;
mod root;
#[cfg(feature = "scheme")]
pub mod scheme;
pub mod sensitivity;
pub mod simulate;
pub mod sizing;
pub mod sun;
pub mod supply;
#[cfg(feature = "scheme")]
pub mod sweep;
pub mod tank;
pub mod units;
pub mod well;
pub mod worked;
pub mod worksheet;
